// The library as it stands: the shipped figures with the keeper's own values and species in force, made anew when the ledger changed. Also
// notices at a start that the shipped figures are others than they were, and what that did to the scores.

import { type CheckedSpecies, checkSpecies } from '../seed/library.ts';
import {
  bareValue,
  beforeChanges,
  figureIn,
  isSameValue,
  keepersLibrary,
  keptWhole,
  librarySpecies,
  type Override,
  type OwnSpecies,
  overridden,
  ownSource,
  shippedChanges,
  snapshotOf,
  speciesFile,
} from '../src/care-overrides.ts';
import type { CareLibrary, Source, Species } from '../src/species.ts';
import {
  addCareUpdate,
  listOverrides,
  listOwnSpecies,
  type MovedScore,
  readSnapshot,
  saveSnapshot,
} from './db/care.ts';
import { ledgerVersion } from './db/ledger.ts';
import { type Db, inTransaction, type Session } from './db/open.ts';
import { gatherScoring, scoreCollection } from './scores.ts';

/** The care library of one ledger. */
export type Care = {
  /** What species need, with everything that the keeper put in place of shipped figures. */
  library: () => CareLibrary;
  /** The same with no figure overridden: what ships, and the keeper's own species as they were entered. */
  withoutOverrides: () => CareLibrary;
  /** The library as it would stand over another ledger. */
  libraryOver: (other: Session) => CareLibrary;
  /** Makes the library anew: for when the whole ledger was replaced, and its count of changes tells nothing. */
  forget: () => void;
  /** Whether a species came with the ledger. */
  isShipped: (speciesId: string) => boolean;
  /** Checks a value of the keeper's by the rules of the shipped figures, within the species or the animal it is for. */
  checkOverride: (override: Omit<Override, 'shipped'>) => CheckedSpecies;
  /** Checks a whole species that the keeper brings along. */
  checkSpecies: (content: unknown) => CheckedSpecies;
  /** A checked species with every source it cites, ready to be kept. */
  whole: (species: Species, sources?: readonly Source[]) => OwnSpecies;
  /** A species as it stands, as a file that can be brought along elsewhere. */
  fileOf: (species: Species) => object;
  /** Compares the shipped figures with those of the last start and writes down what changed, and whose scores moved. */
  noticeUpdate: (now: Date) => void;
};

/** Two scores nearer than this show as the same. */
const SCORE_MOVED = 0.05;

/** Opens the care library of a ledger over the one that ships with the program. */
export function openCare(db: Db, shipped: CareLibrary): Care {
  let made: { version: number; from: string; library: CareLibrary } | null = null;
  const library = (): CareLibrary => {
    const version = ledgerVersion(db);
    if (made?.version !== version) {
      // The same object as long as it is made of the same, so that what was found from it stays found when something else was changed.
      const own = { species: listOwnSpecies(db), overrides: listOverrides(db) };
      const from = JSON.stringify(own);
      made = { version, from, library: made?.from === from ? made.library : keepersLibrary(shipped, own) };
    }
    return made.library;
  };
  const withoutOverrides = () => librarySpecies(shipped, listOwnSpecies(db));
  return {
    library,
    withoutOverrides,
    libraryOver: (other) => libraryOver(other, shipped),
    forget: () => {
      made = null;
    },
    isShipped: (speciesId) => shipped.species.some(({ id }) => id === speciesId),
    checkOverride(override) {
      const base = withoutOverrides();
      const species = base.species.find(({ id }) => id === override.speciesId);
      if (species === undefined) throw new RangeError(`no species has the id ${override.speciesId}`);
      return checkSpecies({ ...overridden(species, override), sources: [ownSource(override)] }, base.sources);
    },
    checkSpecies: (content) => checkSpecies(content, shipped.sources),
    whole: (species, sources = []) => keptWhole(species, [...shipped.sources, ...sources, ...library().sources]),
    fileOf: (species) => speciesFile(species, library(), shipped),
    noticeUpdate: (now) => inTransaction(db, (tx) => noticeUpdate(tx, shipped, now)),
  };
}

function libraryOver(session: Session, shipped: CareLibrary): CareLibrary {
  return keepersLibrary(shipped, { species: listOwnSpecies(session), overrides: listOverrides(session) });
}

const isSameText = (one: unknown, other: unknown) => JSON.stringify(one) === JSON.stringify(other);

function noticeUpdate(session: Session, shipped: CareLibrary, now: Date): void {
  const kept = readSnapshot(session);
  // Most starts find what the last one kept; then nothing is compared figure by figure, and nothing is written.
  const others = Object.entries(snapshotOf(shipped)).filter(([id, now]) => !isSameText(kept[id], now));
  if (others.length === 0) return;
  const changes = shippedChanges(kept, shipped);
  saveSnapshot(session, Object.fromEntries(others));
  if (changes.length === 0) return;
  const scoresWith = (library: CareLibrary) =>
    scoreCollection(gatherScoring(session, libraryOver(session, library), now).scoring).scored;
  const before = new Map(
    scoresWith(beforeChanges(shipped, changes)).map(({ animal, score }) => [animal.id, score.score]),
  );
  const moved = scoresWith(shipped).flatMap(({ animal, score }): MovedScore[] => {
    const then = before.get(animal.id) ?? score.score;
    const { id: animalId, name, speciesId } = animal;
    return Math.abs(then - score.score) < SCORE_MOVED
      ? []
      : [{ animalId, name, speciesId, before: then, after: score.score }];
  });
  const { today } = gatherScoring(session, shipped, now);
  addCareUpdate(session, { happenedOn: today, changes, moved });
}

/** Whether what ships now is another value than the one that an override was made in place of. */
export function hasShippedChanged(base: CareLibrary, { speciesId, figure, shipped }: Override): boolean {
  const species = base.species.find(({ id }) => id === speciesId);
  const now = species === undefined ? null : figureIn(species, figure);
  return !isSameValue(now === null ? null : bareValue(now), shipped);
}

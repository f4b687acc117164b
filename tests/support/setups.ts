// Set-ups for tests of scoring, with every field filled: one enclosure, who lives there, what is fitted and read. Everything stands in
// enclosure '1' unless told otherwise.

import { readCareLibrary } from '../../seed/library.ts';
import type { PlainDate } from '../../src/calendar.ts';
import { plainDate } from '../../src/calendar.ts';
import type {
  Animal,
  Answer,
  Check,
  Collection,
  Enclosure,
  Fitting,
  FittingKind,
  Reading,
  ReadingKind,
} from '../../src/collection.ts';
import { UNKNOWN_BUILD } from '../../src/collection.ts';
import { type AnimalScore, DEFAULT_CHOICES, scoreAnimal, type ValueChoices } from '../../src/score.ts';
import type { CareLibrary, Need } from '../../src/species.ts';
import { bareFitting, fittedOnDay } from '../../src/upgrades.ts';

export const library = readCareLibrary();

/** The day on which set-ups are judged unless told otherwise. */
export const today = plainDate('2026-01-15');

export function anAnimal(speciesId: string, parts: Partial<Animal> = {}): Animal {
  return {
    id: 'a',
    name: 'Subject',
    speciesId,
    enclosureId: '1',
    lengthMm: null,
    measuredOn: plainDate('2026-01-01'),
    hatchedOn: null,
    sex: 'unknown',
    paleMorph: false,
    seasons: [],
    ...parts,
  };
}

export function aBox(lengthMm: number, depthMm: number, heightMm: number, parts: Partial<Enclosure> = {}): Enclosure {
  return {
    id: '1',
    name: 'Box',
    lengthMm,
    depthMm,
    heightMm,
    material: 'wood',
    top: 'mesh',
    boxSince: plainDate('2025-01-01'),
    build: UNKNOWN_BUILD,
    ...parts,
  };
}

let numbered = 0;

export function aFitting(kind: FittingKind, parts: Partial<Fitting> = {}): Fitting {
  numbered += 1;
  return { ...fittedOnDay(bareFitting(kind, kind), `f${numbered}`, '1', plainDate('2025-02-01')), ...parts };
}

export function aReading(kind: ReadingKind, value: number | null, parts: Partial<Reading> = {}): Reading {
  numbered += 1;
  return {
    id: `r${numbered}`,
    enclosureId: '1',
    kind,
    evidence: value === null ? 'unknown' : 'measured',
    value,
    typed: '',
    takenOn: plainDate('2026-01-10'),
    hour: null,
    roomCelsius: null,
    instrument: 'probe',
    accuracy: null,
    ...parts,
  };
}

/** Both critical checks answered well. */
export const soundAnswers: Answer[] = (['escape-proof', 'nothing-toxic'] as Check[]).map((check) => ({
  enclosureId: '1',
  check,
  answer: 'yes',
  answeredOn: plainDate('2026-01-02'),
}));

export function aCollection(parts: Partial<Collection> & { enclosures: Enclosure[] }): Collection {
  return { animals: [], fittings: [], readings: [], answers: soundAnswers, ...parts };
}

/** The shipped library as it would be if what is from memory had been read where it was published. */
export const readUp: CareLibrary = {
  ...library,
  sources: library.sources.map((one) =>
    one.standing === 'from-memory' ? { ...one, standing: 'published' as const } : one,
  ),
};

/** The score of the first animal of a collection. */
export function scoreFirst(
  collection: Collection,
  {
    on = today,
    choices = DEFAULT_CHOICES,
    library: care = library,
  }: { on?: PlainDate; choices?: ValueChoices; library?: CareLibrary } = {},
): AnimalScore {
  const score = scoreAnimal(collection.animals[0]!, { collection, library: care, choices, on, knownOn: on });
  if (score === null) throw new Error('the first animal lives in no enclosure');
  return score;
}

/** One need of a score. Throws when it was not scored. */
export function needOf(score: AnimalScore, need: Need): AnimalScore['needs'][number] {
  const found = score.needs.find((one) => one.need === need);
  if (found === undefined) throw new Error(`${need} was not scored`);
  return found;
}

/** Why a need lost points. */
export function whys(score: AnimalScore, need: Need): string[] {
  return needOf(score, need).reasons.map(({ reason }) => reason.why);
}

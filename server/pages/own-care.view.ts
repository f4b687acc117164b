// What the page of a species shows of the keeper's own values beside the shipped ones, what could be given, what one animal alone is held
// against, and what updates changed. The page itself only says which row is which figure.

import { formatDate } from '../../src/calendar.ts';
import { type FigureContent, type FigureKey, figureIn, missingFigures, type Time } from '../../src/care-overrides.ts';
import type { Animal } from '../../src/collection.ts';
import type { Scoring } from '../../src/score.ts';
import { type CareLibrary, type Cited, type Species, speciesOf } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { hasShippedChanged } from '../care.ts';
import { careSentences, changeText, figureName, figureText, movedText } from '../care-words.ts';
import type { CareUpdate, OverrideRecord, OwnSpeciesRecord } from '../db/care.ts';
import { paths } from '../paths.ts';
import { capital, sharedWords } from '../words.ts';
import { type RemovedList, removedList } from './removed-list.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

/** A step as views/partials/acts.hbs draws it. */
type Act = { label: string; href: string; fields: null; spoken: string; look: 'button-secondary' | 'button-link' };

/** Everything that own values are shown from. `base` is the library with no figure overridden. */
export type OwnCareGiven = {
  species: Species;
  base: CareLibrary;
  overrides: OverrideRecord[];
  removed: OverrideRecord[];
  /** The row of a species of the keeper's own; null for one that ships. */
  own: OwnSpeciesRecord | null;
  updates: CareUpdate[];
  locale: string;
  system: UnitSystem;
};

/** What stands at a row that is a figure: its text, what ships beside it, and the steps. */
export type AroundFigure = {
  text: string;
  shipped: { text: string; source: SourceNote | null; changed: string | null } | null;
  acts: Act[];
};

/** The part of the page of a species that is about the keeper's own values. */
export type OwnCare = {
  updates: { heading: string; changes: string[]; moved: string[] }[];
  individuals: { what: string; text: string; source: SourceNote; acts: Act[] }[];
  missing: Act[];
  space: { lead: string; acts: Act[] };
  removed: RemovedList | null;
  acts: Act[];
};

/** An update on the first page: changed targets of kept species, scores that moved, and a sentence about the rest. */
export type UnreadUpdate = {
  heading: string;
  lines: { text: string; href: string }[];
  moved: string[];
  others: string | null;
  action: string;
};

/** The key of a figure at a stage or in a season; the usual one when there is none. */
export function figureAt(time: Time | null, figure: FigureKey): FigureKey {
  return time === null ? figure : (`${time}.${figure}` as FigureKey);
}

/** A row of the page as it is shown when it is a figure, or as it is when it is none. */
export function aroundFigure(figure: FigureKey | null, text: string, given: OwnCareGiven): AroundFigure {
  if (figure === null) return { text, shipped: null, acts: [] };
  const own = given.overrides.find((one) => one.animalId === null && one.figure === figure);
  if (own === undefined) return { text, shipped: null, acts: [useAnother(figure, given.species)] };
  return { text: `Yours: ${text}`, shipped: shippedOf(own, given), acts: actsOf(own, '') };
}

function shippedOf(own: OverrideRecord, { base, species, system }: OwnCareGiven): NonNullable<AroundFigure['shipped']> {
  const content = figureIn(base.species.find(({ id }) => id === species.id)!, own.figure);
  return {
    text: content === null ? 'Shipped: no value.' : `Shipped: ${figureText(own.figure, content, system)}`,
    source: content === null ? null : sourceNote(base, citedOf(content)),
    changed: hasShippedChanged(base, own) ? careSentences.shippedChanged : null,
  };
}

// Several sources may stand behind one figure; the page lists them all where the figure is not overridden.
function citedOf(content: FigureContent): Cited {
  return Array.isArray(content) ? content[0]! : content;
}

function useAnother(figure: FigureKey, species: Species, label: string = careSentences.useAnother): Act {
  const spoken = `${careSentences.useAnother} for ${figureName(figure)}`;
  return { label, spoken, href: paths.careValues.new(species.id, figure), fields: null, look: 'button-link' };
}

function actsOf({ id, figure }: OverrideRecord, whose: string): Act[] {
  const act = (label: string, href: string): Act => ({
    label,
    href,
    spoken: `${label}: ${figureName(figure)}${whose}`,
    fields: null,
    look: 'button-link',
  });
  return [act(careSentences.change, paths.careValues.edit(id)), act(careSentences.back, paths.careValues.remove(id))];
}

/** Everything about own values that is not at the row of a figure. */
export function ownCare(given: OwnCareGiven, library: CareLibrary, animals: readonly Animal[]): OwnCare {
  const { species, overrides, removed, own, updates, locale, system } = given;
  const nameOf = (animalId: string | null) => animals.find(({ id }) => id === animalId)?.name ?? 'a removed animal';
  const ownSpace = overrides.find((one) => one.animalId === null && one.figure === 'space');
  const step = (label: string, href: string): Act => ({
    label,
    href,
    spoken: `${label}: ${species.commonName}`,
    fields: null,
    look: 'button-secondary',
  });
  return {
    updates: updates.flatMap(({ happenedOn, changes, moved }) => {
      const here = changes.filter(({ speciesId }) => speciesId === species.id);
      if (here.length === 0) return [];
      return [
        {
          heading: sharedWords.shippedChanged(formatDate(happenedOn, locale)),
          changes: here.map((one) => changeText(one, system)),
          moved: moved.filter(({ speciesId }) => speciesId === species.id).map(movedText),
        },
      ];
    }),
    individuals: overrides.flatMap((one) => {
      const { animalId, figure } = one;
      if (animalId === null) return [];
      const content = figureIn(speciesOf(library, { id: animalId, speciesId: species.id }), figure);
      if (content === null) return [];
      const mine = Array.isArray(content) ? content.filter((each) => each.source.startsWith('own-value-')) : [];
      const cited = mine[0] ?? citedOf(content);
      return [
        {
          what: `${nameOf(animalId)}: ${figureName(figure)}`,
          text: figureText(figure, content, system),
          source: sourceNote(library, cited),
          acts: actsOf(one, ` for ${nameOf(animalId)}`),
        },
      ];
    }),
    missing: missingFigures(species).map((figure) => useAnother(figure, species, capital(figureName(figure)))),
    space: {
      lead: species.space.some((rule) => rule.ruleSet === 'own')
        ? careSentences.ownSpaceHolds
        : careSentences.strictestHolds,
      acts:
        ownSpace !== undefined
          ? actsOf(ownSpace, '')
          : species.space.length === 0
            ? []
            : [useAnother('space', species)],
    },
    removed: removedList(
      removed.map((one) => ({
        name: `${capital(figureName(one.figure))}${one.animalId === null ? '' : ` for ${nameOf(one.animalId)}`}, ${one.source.title}`,
        removedOn: one.removedOn,
        version: one.version,
        action: paths.careValues.putBack(one.id),
      })),
      locale,
    ),
    acts: [
      step('Save as a file', paths.species.file(species.id)),
      ...(own === null
        ? []
        : [
            step('Change its names', paths.ownSpecies.edit(own.id)),
            step('Remove it', paths.ownSpecies.remove(own.id)),
          ]),
    ],
  };
}

/** What updates changed that the keeper has not read yet, for the first page: the targets of species that are kept, and how many others. */
export function unreadUpdates(
  updates: readonly CareUpdate[],
  { library, collection }: Pick<Scoring, 'library' | 'collection'>,
  locale: string,
  system: UnitSystem,
): UnreadUpdate[] {
  const kept = new Set(collection.animals.map(({ speciesId }) => speciesId));
  return updates
    .filter(({ readOn }) => readOn === null)
    .map(({ id, happenedOn, changes, moved }) => {
      const lines = changes.flatMap((one) => {
        const species = library.species.find((each) => each.id === one.speciesId);
        if (species === undefined || !kept.has(species.id)) return [];
        return [{ text: `${species.commonName}. ${changeText(one, system)}`, href: paths.species.show(species.id) }];
      });
      const others = changes.length - lines.length;
      return {
        heading: sharedWords.shippedChanged(formatDate(happenedOn, locale)),
        lines,
        moved: moved.map(movedText),
        others: others === 0 ? null : careSentences.otherChanges(others, lines.length > 0),
        action: paths.careValues.updateRead(id),
      };
    });
}

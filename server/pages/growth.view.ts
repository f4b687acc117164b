// How growth is told on the pages of an animal and beside proposed boxes: lengths ahead, the score today and at the horizon, and until when
// a box is large enough.

import { addMonthsToDate, formatMonth } from '../../src/calendar.ts';
import type { Animal } from '../../src/collection.ts';
import { lengthsAhead, type Outgrown, outgrownIn } from '../../src/growth.ts';
import { bandOfAnimal, type Scoring, scoreAnimal } from '../../src/score.ts';
import { type BoxMeasures, extentOf } from '../../src/space.ts';
import { speciesOf } from '../../src/species.ts';
import { formatSpan } from '../../src/units.ts';
import type { Change } from '../../src/upgrades.ts';
import type { Ledger } from '../db/ledger.ts';
import { oncePer } from '../db/unchanged.ts';
import { measureNames } from '../kind-words.ts';
import { growthWords as words } from '../paper-words.ts';
import { scoreText } from '../score-words.ts';
import { listed } from '../words.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

/** What views/partials/growth.hbs shows. */
export type GrowthView = { heading: string; verdict: string; lines: string[]; source: SourceNote };

type Writing = Pick<Ledger, 'locale' | 'unitSystem' | 'horizonMonths'>;

/** Growth of one animal over the planning horizon; null for one that was never measured or lives nowhere, since nothing can be told. */
export function growthView(animal: Animal, scoring: Scoring, writing: Writing): GrowthView | null {
  const { collection, library, choices, on } = scoring;
  const { locale, unitSystem: system, horizonMonths } = writing;
  const box = collection.enclosures.find((one) => one.id === animal.enclosureId);
  if (animal.lengthMm === null || box === undefined) return null;
  const species = speciesOf(library, animal);
  const occupants = collection.animals.filter((one) => one.enclosureId === box.id);
  const question = { species, animal, occupants, ruleSets: choices.ruleSets, on, there: extentOf(box) };
  const lengths = lengthsAhead(question, horizonMonths, 12);
  const last = lengths[lengths.length - 1]!;
  const span = ({ lowMm, highMm }: { lowMm: number; highMm: number }) => formatSpan(lowMm, highMm, 'length', system);
  const grows = last.span.highMm > lengths[0]!.span.highMm;
  const month = formatMonth(last.month, locale);
  const told = (score: NonNullable<ReturnType<typeof scoreAnimal>>) =>
    scoreText(bandOfAnimal(score), score.score, score.low, score.high);
  const today = scoreAnimal(animal, scoring)!;
  const later = scoreAnimal(animal, { ...scoring, on: addMonthsToDate(on, horizonMonths), knownOn: on })!;
  return {
    heading: words.heading(month),
    verdict: words.presentBox(box.name, outgrownWords(outgrownIn(question, box), locale)),
    lines: [
      grows
        ? words.grows(
            measureNames[species.adultSize.measure],
            listed(lengths.map((one) => words.lengthIn(span(one.span), formatMonth(one.month, locale)))),
          )
        : words.grown(span(lengths[0]!.span)),
      words.adult(span(species.adultSize)),
      words.score(told(today), month, told(later)),
    ],
    source: sourceNote(library, species.growth),
  };
}

/** Until when a box is large enough, as the end of a sentence. */
export function outgrownWords(outgrown: Outgrown, locale: string): string {
  switch (outgrown.status) {
    case 'for-adults':
      return words.forAdults;
    case 'short-today':
      return words.shortToday;
    case 'unknown':
      return words.noRule;
    case 'outgrown': {
      const earliest = formatMonth(outgrown.earliest, locale);
      return words.outgrown(earliest, outgrown.latest === null ? null : formatMonth(outgrown.latest, locale));
    }
  }
}

/**
 * For each animal that a proposed box would house, until when it is large enough; nothing where the changes bring no box. Kept with the
 * scoring, which goes with the state of the ledger: proposals outlive it.
 */
export const boxLasts = oncePer((scoring: Scoring, changes: readonly Change[], locale: string): string[] => {
  const { collection, library, choices, on } = scoring;
  return changes.flatMap((change) => {
    if (change.change !== 'replace-box') return [];
    const occupants = collection.animals.filter((one) => one.enclosureId === change.enclosureId);
    const box: BoxMeasures = change;
    return occupants.map((animal) => {
      const question = { species: speciesOf(library, animal), animal, occupants, ruleSets: choices.ruleSets, on };
      const outgrown = outgrownIn(question, box);
      return words.proposedBox(
        animal.name,
        animal.lengthMm === null ? words.unmeasured(outgrownWords(outgrown, locale)) : outgrownWords(outgrown, locale),
      );
    });
  });
});

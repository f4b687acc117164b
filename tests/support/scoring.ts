// What tests of scoring ask of a made collection: the score of its first animal, one need of it, and why that lost points.

import type { PlainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { type AnimalScore, DEFAULT_CHOICES, scoreAnimal, type ValueChoices } from '../../src/score.ts';
import type { CareLibrary, Need } from '../../src/species.ts';
import { library, planDate } from './make.ts';

/** The day on which set-ups are judged unless told otherwise. */
export const today = planDate;

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

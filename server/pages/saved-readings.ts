// What readings that were just saved together changed: which they are, by the address they are shown at, and each animal's score without
// and with them.

import { type Scoring, scoreAnimal } from '../../src/score.ts';
import { findReading, type ReadingRecord } from '../db/collection.ts';
import type { Session } from '../db/open.ts';
import type { ScoreChange } from './round.view.ts';

/** The readings whose numbers an address names, at most 100; none when it names anything else. Removed ones are left out. */
export function savedReadings(session: Session, query: unknown): ReadingRecord[] {
  const { readings: asked } = query as { readings?: unknown };
  if (typeof asked !== 'string' || !/^\d{1,15}(,\d{1,15}){0,99}$/.test(asked)) return [];
  return asked.split(',').flatMap((id) => {
    const reading = findReading(session, Number(id));
    return reading === null || reading.removedOn !== null ? [] : [reading];
  });
}

/** The scores of whoever lives where some readings were taken, as they would be today without these, and with them. */
export function scoreChanges(scoring: Scoring, saved: readonly ReadingRecord[]): ScoreChange[] {
  const { collection } = scoring;
  const ids = new Set(saved.map(({ id }) => id));
  const boxes = new Set(saved.map(({ enclosureId }) => enclosureId));
  const without = {
    ...scoring,
    collection: { ...collection, readings: collection.readings.filter(({ id }) => !ids.has(id)) },
  };
  return collection.animals.flatMap((animal) => {
    if (animal.enclosureId === null || !boxes.has(animal.enclosureId)) return [];
    const [before, after] = [scoreAnimal(animal, without), scoreAnimal(animal, scoring)];
    return before === null || after === null ? [] : [{ animal, before, after }];
  });
}

// What upgrades promised when they were fitted. Rows are only ever added: what was read afterwards is found in the readings.

import { asc } from 'drizzle-orm';
import type { Promised } from '../../src/promises.ts';
import type { Session } from './open.ts';
import { predictions } from './schema.ts';

/** Keeps what an upgrade promises on the day it is fitted. */
export function savePredictions(session: Session, promised: readonly Promised[]): void {
  for (const { upgradeId, enclosureId, ...rest } of promised) {
    session
      .insert(predictions)
      .values({ ...rest, upgradeId: Number(upgradeId), enclosureId: Number(enclosureId) })
      .run();
  }
}

/** Everything that was ever promised, in the order in which it was written down. */
export function listPredictions(session: Session): Promised[] {
  return session
    .select()
    .from(predictions)
    .orderBy(asc(predictions.id))
    .all()
    .map(({ id: _, readingId: _reading, upgradeId, enclosureId, ...rest }) => ({
      ...rest,
      upgradeId: String(upgradeId),
      enclosureId: String(enclosureId),
    }));
}

// What happened and when: bought, not bought, put right, fitted, renewed, broken, counted, planned. Rows are only ever added, so that the past stays as it was.

import { asc, eq } from 'drizzle-orm';
import type { PaidRenewal } from '../../src/budget.ts';
import type { PlainDate } from '../../src/calendar.ts';
import type { Money } from '../../src/money.ts';
import type { Session } from './open.ts';
import { events } from './schema.ts';
import { whileUnchanged } from './unchanged.ts';

/**
 * One thing that happened; `upgradeId` and `amount` where it is about a purchase or a sum. The note of 'renewed' is the name of the fitted
 * thing, the amount what the new one cost; the amount of 'corrected' is what was really paid. The note of 'broke' and 'works-after-all' begins with the name, and `upgradeId` is what replaces it.
 */
export type Happening = {
  happenedOn: PlainDate;
  what: (typeof events.$inferSelect)['what'];
  upgradeId: string | null;
  amount: Money | null;
  note: string;
};

/** Writes down that something happened. */
export function recordEvent(session: Session, event: Happening): void {
  const { upgradeId, ...rest } = event;
  session
    .insert(events)
    .values({ ...rest, upgradeId: upgradeId === null ? null : Number(upgradeId) })
    .run();
}

/** Everything that happened, by day and then in the order in which it was written down. */
export const listEvents = whileUnchanged((session): Happening[] =>
  session
    .select()
    .from(events)
    .orderBy(asc(events.happenedOn), asc(events.id))
    .all()
    .map(({ id: _, upgradeId, ...rest }) => ({ ...rest, upgradeId: upgradeId === null ? null : String(upgradeId) })),
);

/** Every renewal that was paid, by day. */
export function listPaidRenewals(session: Session): PaidRenewal[] {
  return session
    .select()
    .from(events)
    .where(eq(events.what, 'renewed'))
    .orderBy(asc(events.happenedOn), asc(events.id))
    .all()
    .map(({ note, amount, happenedOn }) => ({ name: note, paid: amount!, renewedOn: happenedOn }));
}

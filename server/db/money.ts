// One-off sums as rows, paid renewals, and everything a budget is found from, gathered in one place. The only file that knows how
// one-off sums are stored.

import { and, asc, eq, isNotNull, isNull } from 'drizzle-orm';
import type { MoneyFacts, OneOffSum } from '../../src/budget.ts';
import type { PlainDate } from '../../src/calendar.ts';
import type { Money } from '../../src/money.ts';
import { capAmounts } from './cap.ts';
import type { Saved } from './collection.ts';
import { changeFitting, findFitting, loadCollection } from './collection.ts';
import { listEvents, listPaidRenewals, recordEvent } from './events.ts';
import { readLedger, touchLedger } from './ledger.ts';
import type { Session } from './open.ts';
import { fittings, oneOffSums } from './schema.ts';
import { listSetAside, listVetPayments, signAmounts } from './signs.ts';
import { whileUnchanged } from './unchanged.ts';
import { listPaid, listReturns, listStillCosting, listUpgrades } from './upgrades.ts';

/** A one-off sum as it is kept. */
export type OneOffRecord = OneOffSum & { removedOn: PlainDate | null; version: number };

/** The one-off sums that were not removed, or those that were, by month. */
export function listOneOffSums(session: Session, which: 'kept' | 'removed' = 'kept'): OneOffRecord[] {
  return session
    .select()
    .from(oneOffSums)
    .where(which === 'kept' ? isNull(oneOffSums.removedOn) : isNotNull(oneOffSums.removedOn))
    .orderBy(asc(oneOffSums.month), asc(oneOffSums.id))
    .all()
    .map(oneOffOf);
}

/** A one-off sum, removed or not; null when there never was one of this number. */
export function findOneOffSum(session: Session, id: number): OneOffRecord | null {
  const row = session.select().from(oneOffSums).where(eq(oneOffSums.id, id)).get();
  return row === undefined ? null : oneOffOf(row);
}

/** Adds a one-off sum and returns its id. */
export function addOneOffSum(session: Session, facts: Omit<OneOffSum, 'id'>): string {
  const { lastInsertRowid } = session.insert(oneOffSums).values(facts).run();
  touchLedger(session);
  return String(lastInsertRowid);
}

/** Replaces what is known of a one-off sum. */
export function changeOneOffSum(session: Session, id: number, version: number, facts: Omit<OneOffSum, 'id'>): Saved {
  return marked(session, id, version, facts, false);
}

/** Removes a one-off sum on a day; it can be put back. */
export function removeOneOffSum(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, id, version, { removedOn: on }, false);
}

/** Puts a removed one-off sum back as it was. */
export function putBackOneOffSum(session: Session, id: number, version: number): Saved {
  return marked(session, id, version, { removedOn: null }, true);
}

/**
 * Records that a fitted thing was replaced by a new one of its kind on a day and what that cost: its life begins anew, and the sum leaves
 * the cash. 'conflict', with nothing changed, when it was changed since the given version.
 */
export function renewFitting(session: Session, id: number, version: number, on: PlainDate, paid: Money): Saved {
  const fitting = findFitting(session, id);
  if (fitting === null) return 'conflict';
  const { id: _, removedOn: _removed, version: _version, ...facts } = fitting;
  const saved = changeFitting(session, id, version, { ...facts, fittedOn: on });
  if (saved === 'saved')
    recordEvent(session, { happenedOn: on, what: 'renewed', upgradeId: null, amount: paid, note: fitting.name });
  return saved;
}

/** Whether any amount above or below 0 is kept, in what was removed too: such amounts mean something else in another currency's decimals. */
export function holdsAmounts(session: Session): boolean {
  const { monthlySum, monthlyFood, monthlyVet, cashCounted, floorKept } = readLedger(session);
  const [lists, events] = [['kept', 'removed'] as const, listEvents(session)];
  const amounts = [
    ...[monthlySum, monthlyFood, monthlyVet, cashCounted, floorKept],
    ...lists.flatMap((which) => listOneOffSums(session, which)).map((one) => one.amount),
    ...lists
      .flatMap((which) => listUpgrades(session, which))
      .flatMap((one) => [one.priceHigh, one.monthlyCost, one.renewalPrice, one.paid, one.proceeds?.amount ?? null]),
    ...session
      .select({ price: fittings.renewalPrice })
      .from(fittings)
      .all()
      .map((one) => one.price),
    ...events.map((one) => one.amount),
    ...signAmounts(session),
    ...capAmounts(session),
  ];
  return amounts.some((one) => one !== null && one !== 0);
}

/** Everything the budget of a day is found from. */
export const readMoneyFacts = whileUnchanged(
  (session, today: PlainDate): MoneyFacts => ({
    settings: readLedger(session),
    fittings: loadCollection(session).fittings,
    oneOffs: listOneOffSums(session),
    setAside: listSetAside(session),
    vetPaid: listVetPayments(session),
    paid: listPaid(session),
    refunds: listReturns(session).map(({ name, refund, returnedOn }) => ({ name, amount: refund, on: returnedOn })),
    renewed: listPaidRenewals(session),
    stillCosting: listStillCosting(session),
    today,
  }),
);

function marked(
  session: Session,
  id: number,
  version: number,
  values: Partial<typeof oneOffSums.$inferInsert>,
  wasRemoved: boolean,
): Saved {
  const before = wasRemoved ? isNotNull(oneOffSums.removedOn) : isNull(oneOffSums.removedOn);
  const { changes } = session
    .update(oneOffSums)
    .set({ ...values, version: version + 1 })
    .where(and(eq(oneOffSums.id, id), eq(oneOffSums.version, version), before))
    .run();
  if (changes === 0) return 'conflict';
  touchLedger(session);
  return 'saved';
}

function oneOffOf({ id, ...rest }: typeof oneOffSums.$inferSelect): OneOffRecord {
  return { ...rest, id: String(id) };
}

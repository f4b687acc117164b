// Closed months as rows, each complete in itself, and the corrections of them. Rows are only ever added: a month is closed once and kept as
// it was. The only file that knows how they are stored.

import { and, asc, eq, isNull } from 'drizzle-orm';
import type { PaidPurchase } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { monthOf } from '../../src/calendar.ts';
import type { Money } from '../../src/money.ts';
import { money, sumMoney } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import type { Saved } from './collection.ts';
import type { Session } from './open.ts';
import { closedMonths, events, ledger, monthCorrections, plans, returnedPurchases, upgrades } from './schema.ts';

/** A month as it was closed on a day. */
export type ClosedMonth = { month: PlainMonth; closedOn: PlainDate; record: MonthRecord };

/**
 * What turned out otherwise in a closed month; `amount` is money spent beyond what was kept, below 0 where less, null where it is not about
 * money. `upgradeId` is of the purchase of which the sum or the day was put right, and `note` then its name; null where a keeper wrote the correction.
 */
export type MonthCorrection = {
  id: string;
  month: PlainMonth;
  enteredOn: PlainDate;
  amount: Money | null;
  note: string;
  upgradeId: string | null;
};

/** Every closed month, the oldest first. */
export function listClosedMonths(session: Session): ClosedMonth[] {
  return session
    .select()
    .from(closedMonths)
    .orderBy(asc(closedMonths.month))
    .all()
    .map(({ id: _, ...rest }) => rest);
}

/** A closed month; null while it is not closed. */
export function findClosedMonth(session: Session, month: PlainMonth): ClosedMonth | null {
  const row = session.select().from(closedMonths).where(eq(closedMonths.month, month)).get();
  if (row === undefined) return null;
  const { id: _, ...rest } = row;
  return rest;
}

/** Keeps a month as it is closed; 'conflict', with nothing changed, when it was closed already. */
export function closeMonth(session: Session, closedOn: PlainDate, record: MonthRecord): Saved {
  const { changes } = session
    .insert(closedMonths)
    .values({ month: record.month, closedOn, record })
    .onConflictDoNothing()
    .run();
  return changes === 0 ? 'conflict' : 'saved';
}

/** Every correction of a closed month, in the order in which it was entered. */
export function listCorrections(session: Session, month: PlainMonth): MonthCorrection[] {
  return session
    .select()
    .from(monthCorrections)
    .where(eq(monthCorrections.month, month))
    .orderBy(asc(monthCorrections.id))
    .all()
    .map(correctionOf);
}

function correctionOf({ id, upgradeId, ...rest }: typeof monthCorrections.$inferSelect): MonthCorrection {
  return { ...rest, id: String(id), upgradeId: upgradeId === null ? null : String(upgradeId) };
}

/** Adds a correction to a closed month. Throws when the month is not closed. */
export function addCorrection(session: Session, { upgradeId, ...rest }: Omit<MonthCorrection, 'id'>): void {
  const values = { ...rest, upgradeId: upgradeId === null ? null : Number(upgradeId) };
  session.insert(monthCorrections).values(values).run();
}

/**
 * Adds to each closed month what it keeps too much or too little of one purchase, `paid` being all that was ever really paid for it. What
 * a month keeps of it is its record with the corrections it has already, so that a month is put right once and never twice.
 */
export function correctPurchaseInMonths(
  session: Session,
  { id, name }: { id: string; name: string },
  paid: readonly PaidPurchase[],
  enteredOn: PlainDate,
): void {
  const isOf = (one: { upgradeId: string }) => one.upgradeId === id;
  for (const { month, record } of listClosedMonths(session)) {
    const corrected = session
      .select()
      .from(monthCorrections)
      .where(and(eq(monthCorrections.month, month), eq(monthCorrections.upgradeId, Number(id))))
      .all();
    const kept = sumMoney([
      ...record.bought.filter(isOf).map((one) => one.paid),
      ...corrected.map((one) => one.amount ?? 0),
    ]);
    const really = sumMoney(paid.filter((one) => isOf(one) && monthOf(one.boughtOn) === month).map((one) => one.paid));
    if (really !== kept)
      addCorrection(session, { month, enteredOn, amount: money(really - kept), note: name, upgradeId: id });
  }
}

/**
 * The first month that can be reviewed: of a plan, a purchase that still counts as made, or a count of cash; null before any. What was renewed or fitted before the
 * ledger was begun is the past of a thing, not a month of the ledger.
 */
export function firstMonthKnown(session: Session): PlainMonth | null {
  const days = [
    ...session.select({ day: plans.madeOn }).from(plans).all(),
    // The day as it was put right, not as it was first typed.
    ...session
      .select({ day: upgrades.boughtOn })
      .from(events)
      .innerJoin(upgrades, eq(upgrades.id, events.upgradeId))
      .where(and(eq(events.what, 'bought'), isNull(upgrades.removedOn)))
      .all(),
    ...session.select({ day: returnedPurchases.boughtOn }).from(returnedPurchases).all(),
    ...session.select({ day: ledger.cashCountedOn }).from(ledger).all(),
  ].flatMap(({ day }) => (day === null ? [] : [monthOf(day)]));
  return days.reduce<PlainMonth | null>((first, one) => (first === null || one < first ? one : first), null);
}

// Closed months as rows, each complete in itself, and the corrections of them. Rows are only ever added: a month is closed once and kept as
// it was. The only file that knows how they are stored.

import { asc, eq } from 'drizzle-orm';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { monthOf } from '../../src/calendar.ts';
import type { Money } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import type { Saved } from './collection.ts';
import type { Session } from './open.ts';
import { closedMonths, events, ledger, monthCorrections, plans } from './schema.ts';

/** A month as it was closed on a day. */
export type ClosedMonth = { month: PlainMonth; closedOn: PlainDate; record: MonthRecord };

/** What turned out otherwise in a closed month; `amount` is money spent beyond what was kept, below 0 where less, null where it is not about money. */
export type MonthCorrection = {
  id: string;
  month: PlainMonth;
  enteredOn: PlainDate;
  amount: Money | null;
  note: string;
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
    .map(({ id, ...rest }) => ({ ...rest, id: String(id) }));
}

/** Adds a correction to a closed month. Throws when the month is not closed. */
export function addCorrection(session: Session, correction: Omit<MonthCorrection, 'id'>): void {
  session.insert(monthCorrections).values(correction).run();
}

/**
 * The first month that can be reviewed: of a plan, a purchase or a count of cash; null before any. What was renewed or fitted before the
 * ledger was begun is the past of a thing, not a month of the ledger.
 */
export function firstMonthKnown(session: Session): PlainMonth | null {
  const days = [
    ...session.select({ day: plans.madeOn }).from(plans).all(),
    ...session.select({ day: events.happenedOn }).from(events).where(eq(events.what, 'bought')).all(),
    ...session.select({ day: ledger.cashCountedOn }).from(ledger).all(),
  ].flatMap(({ day }) => (day === null ? [] : [monthOf(day)]));
  return days.reduce<PlainMonth | null>((first, one) => (first === null || one < first ? one : first), null);
}

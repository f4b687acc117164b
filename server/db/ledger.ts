// The one row of settings, money and value choices, and the count of changes that tells a plan made from older facts.

import { and, eq, sql } from 'drizzle-orm';
import { wallClockOf } from '../../src/calendar.ts';
import { DEFAULT_CREDIT_MONTHS, DEFAULT_HORIZON_MONTHS } from '../../src/choice-effects.ts';
import { type Currency, currencyOf, noMoney } from '../../src/money.ts';
import { DEFAULT_CALM_THRESHOLD } from '../../src/plan-changes.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { degreesOf, measuresOf, type UnitSystem, unitSystemOf } from '../../src/units.ts';
import type { Session } from './open.ts';
import { ledger, ledgerState } from './schema.ts';
import { whileUnchanged } from './unchanged.ts';

type LedgerRow = typeof ledger.$inferSelect;

/** The keeper's settings, money and value choices. What was never said is null, never 0. */
export type Ledger = Omit<LedgerRow, 'id' | 'currency' | 'unitSystem' | 'degrees'> & {
  currency: Currency;
  unitSystem: UnitSystem;
};

/** A new ledger: nothing is known of the keeper's money, and every setting has its usual answer. */
export const firstLedger: Ledger = {
  currency: { code: 'EUR', decimals: 2 },
  locale: 'en-GB',
  timeZone: 'UTC',
  unitSystem: 'metric',
  clockHours: 24,
  ruleSets: DEFAULT_CHOICES.ruleSets,
  horizonMonths: DEFAULT_HORIZON_MONTHS,
  creditMonths: DEFAULT_CREDIT_MONTHS,
  monthlySum: null,
  coversFood: false,
  coversVet: false,
  coversPower: false,
  monthlyFood: null,
  monthlyVet: null,
  pricePerKwh: null,
  cashCounted: null,
  cashCountedOn: null,
  sumArrived: false,
  floorKept: noMoney,
  needWeights: DEFAULT_CHOICES.weights,
  allowances: DEFAULT_CHOICES.allowances,
  priority: DEFAULT_CHOICES.priority,
  changeThreshold: DEFAULT_CALM_THRESHOLD,
  latitude: null,
  isDemo: false,
  version: 1,
};

/** The settings as they are kept; those of a new ledger when none were saved yet. */
export const readLedger = whileUnchanged((session): Ledger => {
  const row = session.select().from(ledger).where(eq(ledger.id, 1)).get();
  if (row === undefined) return firstLedger;
  const { id: _, currency: code, unitSystem: measures, degrees, ...rest } = row;
  const currency = currencyOf(code);
  if (currency === null) throw new RangeError(`the ledger's currency is no ISO 4217 code: ${code}`);
  return { ...rest, currency, unitSystem: unitSystemOf(measures, degrees) };
});

/** Begins a ledger in which nothing was saved yet in the time zone of the computer it is on; any other ledger keeps its own. */
export function beginInTimeZone(session: Session, timeZone: string): void {
  if (wallClockOf(timeZone) === null) return;
  session
    .insert(ledger)
    .values({ ...firstLedger, ...columnsOf(firstLedger), timeZone, id: 1 })
    .onConflictDoNothing()
    .run();
}

/** Saves some settings when nobody changed any since the given version, and says whether it did. */
export function changeLedger(
  session: Session,
  version: number,
  changes: Partial<Omit<Ledger, 'version'>>,
): 'saved' | 'conflict' {
  const { currency, unitSystem, ...rest } = changes;
  session
    .insert(ledger)
    .values({ ...firstLedger, ...columnsOf(firstLedger), id: 1 })
    .onConflictDoNothing()
    .run();
  const { changes: rows } = session
    .update(ledger)
    .set({ ...rest, ...columnsOf({ currency, unitSystem }), version: version + 1 })
    .where(and(eq(ledger.id, 1), eq(ledger.version, version)))
    .run();
  if (rows === 0) return 'conflict';
  touchLedger(session);
  return 'saved';
}

// What is kept in another form than it is used in.
function columnsOf(given: Pick<Ledger, 'currency' | 'unitSystem'>): Kept;
function columnsOf(given: { currency: Currency | undefined; unitSystem: UnitSystem | undefined }): Partial<Kept>;
function columnsOf({
  currency,
  unitSystem,
}: {
  currency: Currency | undefined;
  unitSystem: UnitSystem | undefined;
}): Partial<Kept> {
  return {
    ...(currency === undefined ? {} : { currency: currency.code }),
    ...(unitSystem === undefined ? {} : { unitSystem: measuresOf(unitSystem), degrees: degreesOf(unitSystem) }),
  };
}

type Kept = Pick<LedgerRow, 'currency' | 'unitSystem' | 'degrees'>;

/** How many changes there were that a plan depends on. */
export function ledgerVersion(session: Session): number {
  const row = session.select().from(ledgerState).where(eq(ledgerState.id, 1)).get();
  if (row === undefined) throw new Error('the ledger has lost its count of changes');
  return row.version;
}

/** What tells this ledger from every other one: 32 hexadecimal digits, made by chance with the ledger and kept when it is moved. */
export function ledgerIdentity(session: Session): string {
  const row = session.select().from(ledgerState).where(eq(ledgerState.id, 1)).get();
  if (row === undefined) throw new Error('the ledger has lost its identity');
  return row.identity;
}

/** Counts one more change that a plan depends on. */
export function touchLedger(session: Session): void {
  session
    .update(ledgerState)
    .set({ version: sql`${ledgerState.version} + 1` })
    .where(eq(ledgerState.id, 1))
    .run();
}

// The list of upgrades as rows: wanted, refused, ordered and fitted ones, with what they change in a set-up. The only file that knows
// how they are stored and which steps lead from one standing to another. Proposals are not rows until the keeper answers them.

import { and, asc, eq, inArray, isNotNull, isNull, ne } from 'drizzle-orm';
import type { PaidPurchase, StillCosting } from '../../src/budget.ts';
import { powerCost } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { groupsOf } from '../../src/ledger-problem.ts';
import type { Money } from '../../src/money.ts';
import { noMoney, sumMoney } from '../../src/money.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import type { Saved } from './collection.ts';
import { recordEvent } from './events.ts';
import { readLedger, touchLedger } from './ledger.ts';
import { correctPurchaseInMonths } from './months.ts';
import type { Session } from './open.ts';
import { fittings, returnedPurchases, upgrades } from './schema.ts';
import { rowsAsBefore, whileUnchanged } from './unchanged.ts';

/** What the keeper can say about an upgrade; where it stands changes only by the steps below. */
export type UpgradeFacts = Omit<Upgrade, 'id' | 'status' | 'origin' | 'proposalKey' | 'pinnedMonth' | 'arrivesMonth'>;

/**
 * An upgrade with how its purchase went; the dates and the sum are null until then. `returnBy` is the last day on which it can go back,
 * `unaskedSince` the day on which planning put it on the list by itself, null once the keeper wanted it.
 */
export type UpgradeRecord = Upgrade & {
  status: 'wanted' | 'refused' | 'ordered' | 'fitted';
  unaskedSince: PlainDate | null;
  boughtOn: PlainDate | null;
  paid: Money | null;
  returnBy: PlainDate | null;
  fittedOn: PlainDate | null;
  removedOn: PlainDate | null;
  version: number;
};

/** How a purchase went. `arrivesMonth` is null when it is already here, `returnBy` where nobody said until when it can go back. */
export type BoughtFacts = {
  boughtOn: PlainDate;
  paid: Money;
  arrivesMonth: PlainMonth | null;
  returnBy?: PlainDate | null;
};

/** The upgrades that were not removed, or those that were, in the order of entry. */
export const listUpgrades = whileUnchanged((session, which: 'kept' | 'removed' = 'kept'): UpgradeRecord[] =>
  rowsAsBefore(
    session,
    `${which} upgrades`,
    upgrades,
    session
      .select()
      .from(upgrades)
      .where(which === 'kept' ? isNull(upgrades.removedOn) : isNotNull(upgrades.removedOn))
      .orderBy(asc(upgrades.id)),
    upgradeOf,
  ),
);

/** An upgrade, removed or not; null when there never was one of this number. */
export function findUpgrade(session: Session, id: number): UpgradeRecord | null {
  const row = session.select().from(upgrades).where(eq(upgrades.id, id)).get();
  return row === undefined ? null : upgradeOf(row);
}

/** Whether a proposal was answered already, by accepting or by refusing it. Once it is fitted it can be proposed anew, as lamps wear out. */
export function isAnswered(session: Session, proposalKey: string): boolean {
  const row = session
    .select({ id: upgrades.id })
    .from(upgrades)
    .where(and(eq(upgrades.proposalKey, proposalKey), ne(upgrades.status, 'fitted'), isNull(upgrades.removedOn)))
    .get();
  return row !== undefined;
}

/**
 * Adds an upgrade that is wanted or refused and returns its id; `unaskedSince` is the day where planning adds it by itself. Throws for another
 * standing, and when its proposal was answered already.
 */
export function addUpgrade(
  session: Session,
  upgrade: Omit<Upgrade, 'id'>,
  unaskedSince: PlainDate | null = null,
): string {
  const { status, origin, proposalKey, pinnedMonth, arrivesMonth: _, ...facts } = upgrade;
  if (status !== 'wanted' && status !== 'refused') throw new RangeError(`an upgrade cannot begin as ${status}`);
  const { lastInsertRowid } = session
    .insert(upgrades)
    .values({ ...rowOf(facts), status, origin, proposalKey, pinnedMonth, unaskedSince })
    .run();
  touchLedger(session);
  return String(lastInsertRowid);
}

/** Replaces what is known of an upgrade that is not fitted. */
export function changeUpgrade(session: Session, id: number, version: number, facts: UpgradeFacts): Saved {
  return step(session, id, version, ['wanted', 'refused', 'ordered'], rowOf(facts));
}

/** Refuses an upgrade that was wanted: it is kept, and enters no plan. */
export function refuseUpgrade(session: Session, id: number, version: number): Saved {
  return step(session, id, version, ['wanted'], { status: 'refused', pinnedMonth: null });
}

/** Wants an upgrade again that was refused. */
export function wantUpgrade(session: Session, id: number, version: number): Saved {
  return step(session, id, version, ['refused'], { status: 'wanted' });
}

/** Wants an upgrade that planning had put on the list by itself. It changes no plan. */
export function keepUnasked(session: Session, id: number, version: number): Saved {
  return writeRow(session, id, version, ['wanted'], { unaskedSince: null });
}

/** Fixes the month in which a wanted upgrade is bought, or frees it again (null). */
export function pinUpgrade(session: Session, id: number, version: number, month: PlainMonth | null): Saved {
  return step(session, id, version, ['wanted'], { pinnedMonth: month });
}

/**
 * Records that an upgrade was bought: it is on the way, or here and not fitted yet. Others of its one-of group are refused. `shop` is where,
 * '' where nobody said.
 */
export function buyUpgrade(session: Session, id: number, version: number, bought: BoughtFacts, shop = ''): Saved {
  const saved = step(session, id, version, ['wanted'], { ...bought, status: 'ordered', pinnedMonth: null });
  if (saved === 'conflict') return saved;
  refuseRivals(session, id);
  const { boughtOn, paid } = bought;
  recordEvent(session, { happenedOn: boughtOn, what: 'bought', upgradeId: String(id), amount: paid, note: shop });
  return saved;
}

/**
 * Puts right what was paid for a purchase that stands and when it was bought, with the reason if one was given. Of one that went back after
 * it was fitted, what is kept of its return follows; throws when more would have come back than was paid.
 */
export function correctPurchase(
  session: Session,
  id: number,
  version: number,
  { boughtOn, paid }: Pick<BoughtFacts, 'boughtOn' | 'paid'>,
  on: PlainDate,
  why: string,
): Saved {
  const before = findUpgrade(session, id);
  if (before === null || before.boughtOn === null) return 'conflict';
  const saved = step(session, id, version, ['ordered', 'fitted'], { boughtOn, paid });
  if (saved === 'conflict') return saved;
  const gone = refundOf(session, before);
  if (gone > paid) throw new RangeError('no more can have come back than was paid');
  session
    .update(returnedPurchases)
    .set({ boughtOn, paid })
    .where(
      and(
        eq(returnedPurchases.upgradeId, id),
        eq(returnedPurchases.wasFitted, true),
        eq(returnedPurchases.boughtOn, before.boughtOn),
      ),
    )
    .run();
  recordEvent(session, { happenedOn: on, what: 'corrected', upgradeId: String(id), amount: paid, note: why });
  return saved;
}

/** What came back of the price of a purchase that stands; nothing where it did not go back. */
export function refundOf(session: Session, { id, boughtOn }: UpgradeRecord): Money {
  const own = listReturns(session).filter((one) => one.upgradeId === id && one.wasFitted && one.boughtOn === boughtOn);
  return sumMoney(own.map((one) => one.refund));
}

/** Brings what closed months keep of a purchase in line with what was really paid for it: each difference is a correction of its month. */
export function correctClosedMonths(session: Session, id: number, on: PlainDate): void {
  const upgrade = findUpgrade(session, id);
  if (upgrade !== null) correctPurchaseInMonths(session, upgrade, listPaid(session), on);
}

/** Corrects until when a purchase can go back, or says that it is not known (null). It changes no plan. */
export function changeReturnBy(session: Session, id: number, version: number, returnBy: PlainDate | null): Saved {
  return writeRow(session, id, version, ['ordered', 'fitted'], { returnBy });
}

// What an upgrade is again once it was not bought, or went back before it was fitted.
const unbought = {
  status: 'wanted',
  boughtOn: null,
  paid: null,
  arrivesMonth: null,
  pinnedMonth: null,
  returnBy: null,
} as const;

/** Records that an upgrade was not bought after all, with the reason if one was given: it is wanted, and the next plan decides when. */
export function leaveUnbought(session: Session, id: number, version: number, on: PlainDate, why: string): Saved {
  const saved = step(session, id, version, ['wanted', 'ordered'], unbought);
  if (saved === 'saved') {
    recordEvent(session, { happenedOn: on, what: 'not-bought', upgradeId: String(id), amount: null, note: why });
  }
  return saved;
}

/** Records that a wanted or ordered upgrade is fitted; what it changes in the collection is recorded by fitUpgrade. */
export function markFitted(
  session: Session,
  id: number,
  version: number,
  fitted: { fittedOn: PlainDate; boughtOn: PlainDate; paid: Money; returnBy?: PlainDate | null },
): Saved {
  const saved = step(session, id, version, ['wanted', 'ordered'], {
    ...fitted,
    status: 'fitted',
    arrivesMonth: null,
    pinnedMonth: null,
  });
  if (saved === 'conflict') return saved;
  refuseRivals(session, id);
  const { fittedOn: happenedOn, paid } = fitted;
  recordEvent(session, { happenedOn, what: 'fitted', upgradeId: String(id), amount: paid, note: '' });
  return saved;
}

/** Removes an upgrade that is not fitted on a day; it can be put back. */
export function removeUpgrade(session: Session, id: number, version: number, on: PlainDate): Saved {
  return step(session, id, version, ['wanted', 'refused', 'ordered'], { removedOn: on });
}

/** Puts a removed upgrade back as it was; a conflict when its proposal was answered anew meanwhile. */
export function putBackUpgrade(session: Session, id: number, version: number): Saved {
  const row = session.select().from(upgrades).where(eq(upgrades.id, id)).get();
  if (row?.removedOn == null || (row.proposalKey !== null && isAnswered(session, row.proposalKey))) return 'conflict';
  const { changes } = session
    .update(upgrades)
    .set({ removedOn: null, version: version + 1 })
    .where(and(eq(upgrades.id, id), eq(upgrades.version, version)))
    .run();
  if (changes === 0) return 'conflict';
  touchLedger(session);
  return 'saved';
}

/** The wanted upgrades that will be refused when this one is bought: those of its one-of group, and other new boxes for its enclosure. */
export function rivalsOf(session: Session, upgrade: UpgradeRecord): UpgradeRecord[] {
  const groups = groupsOf(upgrade);
  return listUpgrades(session).filter(
    (one) => one.id !== upgrade.id && one.status === 'wanted' && groupsOf(one).some((group) => groups.includes(group)),
  );
}

/** Every purchase that was paid, in the order of buying: ordered and fitted ones, and what went back before it was fitted. */
export function listPaid(session: Session): PaidPurchase[] {
  const standing = session
    .select()
    .from(upgrades)
    .where(and(inArray(upgrades.status, ['ordered', 'fitted']), isNull(upgrades.removedOn)))
    .orderBy(asc(upgrades.boughtOn), asc(upgrades.id))
    .all()
    .map((row) => ({ upgradeId: String(row.id), name: row.name, paid: row.paid!, boughtOn: row.boughtOn! }));
  const gone = listReturns(session)
    .filter((one) => !one.wasFitted)
    .map(({ upgradeId, name, paid, boughtOn }) => ({ upgradeId, name, paid, boughtOn }));
  if (gone.length === 0) return standing;
  return [...standing, ...gone].sort((a, b) => (a.boughtOn < b.boughtOn ? -1 : a.boughtOn > b.boughtOn ? 1 : 0));
}

/** A purchase that failed or went back, with what came back of its price. */
export type ReturnedPurchase = {
  upgradeId: string;
  name: string;
  boughtOn: PlainDate;
  paid: Money;
  returnedOn: PlainDate;
  refund: Money;
  why: 'failed' | 'returned';
  wasFitted: boolean;
};

/** Every purchase that failed or went back, in the order in which it was written down. */
export function listReturns(session: Session): ReturnedPurchase[] {
  return session
    .select()
    .from(returnedPurchases)
    .orderBy(asc(returnedPurchases.id))
    .all()
    .map(({ id: _, upgradeId, ...rest }) => ({ ...rest, upgradeId: String(upgradeId) }));
}

/**
 * Records that a purchase failed or went back. One that was not fitted yet is wanted again; of a fitted one only the refund is written down,
 * since what stands in its place is said where it stands. Throws when more would come back than was paid.
 */
export function returnUpgrade(
  session: Session,
  id: number,
  version: number,
  { returnedOn, refund, why }: Pick<ReturnedPurchase, 'returnedOn' | 'refund' | 'why'>,
): Saved {
  const upgrade = findUpgrade(session, id);
  if (upgrade === null || upgrade.boughtOn === null || upgrade.paid === null) return 'conflict';
  if (refund > upgrade.paid) throw new RangeError('no more can come back than was paid');
  const wasFitted = upgrade.status === 'fitted';
  const saved = wasFitted
    ? step(session, id, version, ['fitted'], { returnBy: null })
    : step(session, id, version, ['ordered'], unbought);
  if (saved === 'conflict') return saved;
  const { name, boughtOn, paid } = upgrade;
  session
    .insert(returnedPurchases)
    .values({ upgradeId: id, name, boughtOn, paid, returnedOn, refund, why, wasFitted })
    .run();
  return saved;
}

/**
 * What fitted upgrades go on costing a month, or saving when below 0. Left out is what the set-up itself prices: an upgrade of which a
 * thing has power that is known and paid out of the sum.
 */
export function listStillCosting(session: Session): StillCosting[] {
  const fitted = session
    .select()
    .from(upgrades)
    .where(and(eq(upgrades.status, 'fitted'), isNull(upgrades.removedOn), ne(upgrades.monthlyCost, noMoney)))
    .orderBy(asc(upgrades.id))
    .all();
  const { coversPower, pricePerKwh, currency } = readLedger(session);
  return fitted.flatMap((row): StillCosting[] => {
    const things = session
      .select()
      .from(fittings)
      .where(eq(fittings.upgradeId, row.id))
      .orderBy(asc(fittings.id))
      .all();
    if (coversPower && things.some((one) => powerCost(one, pricePerKwh, currency).status === 'known')) return [];
    const first = things[0];
    const fittingId = first === undefined ? null : String(first.id);
    return [{ upgradeId: String(row.id), name: row.name, monthlyCost: row.monthlyCost, fittingId }];
  });
}

/**
 * Puts the numbers of fitted rows in place of the names that things of an upgrade had on paper, in every upgrade that is still to come;
 * removed ones too, since they can be put back.
 */
export function nameFittedThings(session: Session, numbers: ReadonlyMap<string, string>): void {
  const waiting = [...listUpgrades(session), ...listUpgrades(session, 'removed')].filter(
    (one) => one.status !== 'fitted',
  );
  const known = (id: string) => numbers.get(id) ?? id;
  const named = (id: string | null) => (id === null ? null : known(id));
  for (const one of waiting) {
    const changes = one.changes.map((change) => {
      if (change.change === 'fit') {
        const { regulates, guards } = change.fitting;
        return { ...change, fitting: { ...change.fitting, regulates: named(regulates), guards: named(guards) } };
      }
      return 'fittingId' in change ? { ...change, fittingId: known(change.fittingId) } : change;
    });
    if (JSON.stringify(changes) === JSON.stringify(one.changes)) continue;
    session
      .update(upgrades)
      .set({ changes, version: one.version + 1 })
      .where(eq(upgrades.id, Number(one.id)))
      .run();
  }
}

function step(
  session: Session,
  id: number,
  version: number,
  from: UpgradeRecord['status'][],
  values: Partial<typeof upgrades.$inferInsert>,
): Saved {
  // Whatever the keeper does with it, it is no longer there unasked.
  const saved = writeRow(session, id, version, from, { ...values, unaskedSince: null });
  if (saved === 'saved') touchLedger(session);
  return saved;
}

// Without counting it as a change that a plan depends on.
function writeRow(
  session: Session,
  id: number,
  version: number,
  from: UpgradeRecord['status'][],
  values: Partial<typeof upgrades.$inferInsert>,
): Saved {
  const { changes } = session
    .update(upgrades)
    .set({ ...values, version: version + 1 })
    .where(
      and(
        eq(upgrades.id, id),
        eq(upgrades.version, version),
        inArray(upgrades.status, from),
        isNull(upgrades.removedOn),
      ),
    )
    .run();
  return changes === 0 ? 'conflict' : 'saved';
}

function refuseRivals(session: Session, id: number): void {
  const upgrade = findUpgrade(session, id);
  if (upgrade === null) return;
  for (const rival of rivalsOf(session, upgrade)) refuseUpgrade(session, Number(rival.id), rival.version);
}

function upgradeOf(row: typeof upgrades.$inferSelect): UpgradeRecord {
  const { id, requires, groupName, proceedsAmount, proceedsAfter, notes, ...rest } = row;
  return {
    ...rest,
    id: String(id),
    requires: requires.map((set) => set.map(String)),
    group: groupName,
    proceeds:
      proceedsAmount === null || proceedsAfter === null ? null : { amount: proceedsAmount, afterMonths: proceedsAfter },
    note: notes,
  };
}

function rowOf({ requires, group, proceeds, note, ...rest }: UpgradeFacts) {
  return {
    ...rest,
    requires: requires.map((set) => set.map(Number)),
    groupName: group,
    proceedsAmount: proceeds?.amount ?? null,
    proceedsAfter: proceeds?.afterMonths ?? null,
    notes: note,
  };
}

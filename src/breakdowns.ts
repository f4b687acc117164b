// What follows when a fitted thing breaks: how a ledger counts from then on, what takes the place of the thing, what a new one may cost,
// and in which month that can be paid.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths } from './calendar.ts';
import type { Fitting } from './collection.ts';
import { isBroken } from './collection.ts';
import { firstBrokenRule, prepareProblem } from './evaluate.ts';
import { buildMoneyProblem, type LedgerFacts } from './ledger-problem.ts';
import type { Currency, Money } from './money.ts';
import { money, noMoney } from './money.ts';
import type { Part, PartsList } from './parts.ts';
import type { Upgrade } from './upgrades.ts';

/** Where the price of a new one was found: what was entered for this thing, or a part of the catalogue that is like it. */
export type KnownPrice = { price: Money; from: 'renewal-price' } | { price: Money; from: 'catalogue'; part: string };

/**
 * What a new one of a thing costs as far as it is known: its renewal price, else the high price of the part of its kind that is nearest in
 * watts, the dearest where that does not tell. Null when neither is known, or the catalogue is in another currency.
 */
export function knownPriceOf(
  fitting: Pick<Fitting, 'kind' | 'watts' | 'renewalPrice'>,
  { currency, parts }: PartsList,
  own: Currency,
): KnownPrice | null {
  if (fitting.renewalPrice !== null) return { price: fitting.renewalPrice, from: 'renewal-price' };
  if (currency !== own.code) return null;
  const { watts } = fitting;
  const distance = (one: Part) => (watts === null || one.watts === null ? 0 : Math.abs(one.watts - watts));
  const nearest = parts
    .filter((one) => one.what === fitting.kind)
    .toSorted((a, b) => distance(a) - distance(b) || b.priceHigh - a.priceHigh)[0];
  return nearest === undefined ? null : { price: nearest.priceHigh, from: 'catalogue', part: nearest.name };
}

/** Whether an upgrade puts a new one in place of a thing. */
export function renews(upgrade: Pick<Upgrade, 'changes'>, fittingId: string): boolean {
  return upgrade.changes.some((change) => change.change === 'renew' && change.fittingId === fittingId);
}

/** The broken thing that an upgrade puts a new one in place of; null when it does so for none. */
export function brokenThingOf(upgrade: Pick<Upgrade, 'changes'>, fittings: readonly Fitting[]): Fitting | null {
  return fittings.find((one) => isBroken(one) && renews(upgrade, one.id)) ?? null;
}

/**
 * The upgrade by which a new one of the same kind takes the place of a broken thing, bought in a month (null: the plan decides) and in use
 * `leadMonths` later. Power and running cost are those of the thing itself, which go on once it is renewed.
 */
export function replacementFor(
  fitting: Fitting,
  bought: { name: string; price: Money; month: PlainMonth | null; leadMonths: number; note: string },
): Omit<Upgrade, 'id'> {
  const { name, price, month, leadMonths, note } = bought;
  const { lifeMonths, renewalPrice } = fitting;
  return {
    name,
    status: 'wanted',
    origin: 'own',
    proposalKey: replacementKey(fitting.id),
    priceLow: price,
    priceHigh: price,
    monthlyCost: noMoney,
    lifeMonths,
    renewalPrice: lifeMonths === null ? null : renewalPrice,
    leadMonths,
    earliestMonth: null,
    pinnedMonth: month,
    arrivesMonth: null,
    requires: [],
    group: null,
    proceeds: null,
    changes: [{ change: 'renew', fittingId: fitting.id }],
    note,
  };
}

/** By which key the upgrade that was entered because a thing broke is told from one that was wanted before. */
export function replacementKey(fittingId: string): string {
  return `broke ${fittingId}`;
}

/** A ledger in which a thing broke on a day and `replacement` is wanted, in place of the upgrade of the same id if there is one. */
export function withBroken(facts: LedgerFacts, fittingId: string, on: PlainDate, replacement: Upgrade): LedgerFacts {
  return {
    ...facts,
    collection: {
      ...facts.collection,
      fittings: facts.collection.fittings.map((one) =>
        one.id === fittingId ? { ...one, retiredOn: on, brokenOn: on } : one,
      ),
    },
    money: {
      ...facts.money,
      owned: facts.money.owned.map((one) => (one.fittingId === fittingId ? { ...one, isBroken: true } : one)),
    },
    upgrades: [...facts.upgrades.filter((one) => one.id !== replacement.id), replacement],
  };
}

/**
 * Whether an upgrade can be paid in the month it is pinned to when nothing else is bought that can be left out. Where it is short: in
 * which month the money ends below the floor, by how much, and the first month of the plan in which it can be paid (null: in none). Where
 * what is fixed besides cannot be paid or cannot stand together, no month helps.
 */
export type Payable =
  | { status: 'payable' }
  | { status: 'short'; month: PlainMonth; by: Money; earliest: PlainMonth | null }
  | { status: 'blocked-by-the-rest' };

/** Finds whether a pinned upgrade can be paid; one that is not pinned always can, as it may be left out. */
export function payableAsPinned(facts: LedgerFacts, upgradeId: string): Payable {
  const pinned = facts.upgrades.find((one) => one.id === upgradeId)?.pinnedMonth ?? null;
  if (pinned === null) return { status: 'payable' };
  const broken = ruleBroken(facts, upgradeId, pinned);
  if (broken === null) return { status: 'payable' };
  if (broken.rule !== 'reserve' || ruleBroken(facts, upgradeId, null) !== null)
    return { status: 'blocked-by-the-rest' };
  const months = Array.from({ length: facts.months }, (_, index) => addMonths(facts.firstMonth, index));
  return {
    status: 'short',
    month: addMonths(facts.firstMonth, broken.month),
    by: money(Math.ceil(broken.shortBy)),
    earliest: months.find((month) => ruleBroken(facts, upgradeId, month) === null) ?? null,
  };
}

// The first rule that is broken when only what leaves no choice is bought, and the upgrade in a month or not at all.
function ruleBroken(facts: LedgerFacts, upgradeId: string, month: PlainMonth | null) {
  const upgrades = facts.upgrades.map((one) => (one.id === upgradeId ? { ...one, pinnedMonth: month } : one));
  const prepared = prepareProblem(buildMoneyProblem({ ...facts, upgrades }));
  return firstBrokenRule(prepared, prepared.fixedMonth);
}

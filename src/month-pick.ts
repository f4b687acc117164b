// What gains most with one month's money: a small program over the best offers of this month and the next few, so that something dearer is
// saved for where that wins. Month after month this makes a whole plan, the one that others begin from.

import type { PreparedProblem } from './evaluate.ts';
import {
  addCashFlow,
  firstBrokenRule,
  NEVER,
  retirementMonth,
  scoreRoom,
  serviceStart,
  slackOf,
  sumScores,
} from './evaluate.ts';
import { bundlesOf } from './search.ts';
import type { Program } from './solver.ts';
import { solveSmall } from './solver.ts';

const INFINITY = Number.POSITIVE_INFINITY;

/** Things bought together, what they cost and what they gain. */
type Offer = {
  purchases: number[];
  /** Month of buying. */
  month: number;
  /** Weighted points gained up to the end of the plan, a severe need-month ended counting as much as the search counts it. */
  gain: number;
};

/** What gains most with this month's money: what to buy now, and what the rest is saved for. */
export type MonthPick = { status: 'picked'; now: Offer[]; savedFor: Offer[] } | { status: 'nothing-to-gain' };

const MONTHS_OF_SAVING = 3;

const OFFERS_A_MONTH = 12;

const SEVERE_POINTS = 600;

/**
 * Picks what to buy in `month` on top of what is bought already: a small program that chooses among the offers with most
 * points for the money, each to be bought now or in one of the next three months, at most one an animal, as far as the
 * balances reach. Looking ahead is what makes it save: something dearer may win over something affordable now.
 */
export function pickForMonth(prepared: PreparedProblem, bought: Int32Array, month: number): MonthPick {
  const { months } = prepared;
  const starts = Int32Array.from(bought, (when, index) => serviceStart(prepared, index, when));
  const slack = slackOf(prepared, bought);
  const lastDelay = Math.min(MONTHS_OF_SAVING, months - 1 - month);
  const checks = [...new Set([...Array.from({ length: lastDelay + 1 }, (_, delay) => month + delay), months - 1])];
  const offers = offersFor(prepared, bought, starts, month);
  const dated: { offer: number; entry: Offer; paid: number[] }[] = [];
  offers.forEach((purchases, offer) => {
    for (let delay = 0; delay <= lastDelay; delay++) {
      const when = month + delay;
      if (purchases.some((index) => when < prepared.earliest[index]!)) continue;
      const flow = new Float64Array(months);
      for (const index of purchases) {
        addCashFlow(prepared, index, when, retirementMonth(prepared, index, bought), 1, flow);
      }
      let sum = 0;
      const paid: number[] = [];
      let fits = true;
      for (let t = 0; t < months; t++) {
        sum -= flow[t]!;
        if (sum > slack[t]! && sum > 0) fits = false;
        if (checks.includes(t)) paid.push(sum);
      }
      const gain = gainOf(prepared, starts, purchases, when);
      if (fits && gain > 1e-9) dated.push({ offer, entry: { purchases, month: when, gain }, paid });
    }
  });
  if (dated.length === 0) return { status: 'nothing-to-gain' };

  const rows: Program['rows'] = [];
  checks.forEach((check, k) => {
    rows.push({ lower: -INFINITY, upper: slack[check]!, entries: dated.map(({ paid }, j) => [j, paid[k]!]) });
  });
  const atMostOne = (key: (offer: number) => Iterable<number | string>): void => {
    const members = new Map<number | string, [number, number][]>();
    dated.forEach(({ offer }, j) => {
      for (const name of new Set(key(offer))) members.set(name, [...(members.get(name) ?? []), [j, 1]]);
    });
    for (const entries of members.values()) if (entries.length > 1) rows.push({ lower: -INFINITY, upper: 1, entries });
  };
  atMostOne((offer) => offers[offer]!);
  atMostOne((offer) => offers[offer]!.flatMap((index) => [...prepared.animalsOf[index]!]));
  atMostOne((offer) => offers[offer]!.flatMap((index) => [...prepared.groups[index]!]));
  const outcome = solveSmall({
    sense: 'maximise',
    variables: dated.map(({ entry }) => ({ cost: entry.gain, lower: 0, upper: 1, whole: true })),
    rows,
  });
  if (outcome.status !== 'optimal') return { status: 'nothing-to-gain' };
  const chosen = dated.filter((_, j) => outcome.values[j] === 1).map(({ entry }) => entry);
  return {
    status: 'picked',
    now: chosen.filter((entry) => entry.month === month),
    savedFor: chosen.filter((entry) => entry.month > month),
  };
}

function pointsOf(prepared: PreparedProblem, animals: Iterable<number>, starts: Int32Array): number {
  const room = scoreRoom(prepared);
  const sums = new Float64Array(3);
  let points = 0;
  for (const animal of animals) {
    sumScores(prepared, prepared.animals[animal]!, starts, room, sums);
    points += sums[1]! - SEVERE_POINTS * sums[0]! + 0.01 * sums[2]!;
  }
  return points;
}

function gainOf(prepared: PreparedProblem, starts: Int32Array, purchases: readonly number[], month: number): number {
  const animals = new Set(purchases.flatMap((index) => [...prepared.animalsOf[index]!]));
  const before = pointsOf(prepared, animals, starts);
  const kept = purchases.map((index) => starts[index]!);
  for (const index of purchases) starts[index] = serviceStart(prepared, index, month);
  const gain = pointsOf(prepared, animals, starts) - before;
  purchases.forEach((index, k) => {
    starts[index] = kept[k]!;
  });
  return gain;
}

/** The sets of purchases, completed by what they require, that gain most points for their price. */
function offersFor(prepared: PreparedProblem, bought: Int32Array, starts: Int32Array, month: number): number[][] {
  const takenGroups = new Set<number>();
  bought.forEach((when, index) => {
    if (when >= 0) for (const group of prepared.groups[index]!) takenGroups.add(group);
  });
  const found = new Map<string, { purchases: number[]; ratio: number }>();
  for (const bundle of bundlesOf(prepared)) {
    const purchases: number[] = [];
    const groups = new Set(takenGroups);
    const add = (index: number, depth: number): boolean => {
      if (starts[index] !== NEVER || purchases.includes(index)) return true;
      if (depth > 8) return false;
      for (const group of prepared.groups[index]!) {
        if (groups.has(group)) return false;
        groups.add(group);
      }
      for (const alternatives of prepared.requires[index]!) {
        if (alternatives.some((other) => starts[other] !== NEVER || purchases.includes(other))) continue;
        const byPrice = [...alternatives].sort((a, b) => prepared.price[a]! - prepared.price[b]!);
        if (!byPrice.some((other) => add(other, depth + 1))) return false;
      }
      purchases.push(index);
      return true;
    };
    if (!bundle.every((index) => add(index, 0)) || purchases.length === 0) continue;
    const gain = gainOf(prepared, starts, purchases, month);
    if (gain <= 1e-9) continue;
    const price = purchases.reduce((sum, index) => sum + prepared.price[index]!, 0);
    const key = [...purchases].sort((a, b) => a - b).join();
    found.set(key, { purchases, ratio: gain / Math.max(1, price) });
  }
  return [...found.values()]
    .sort((a, b) => b.ratio - a.ratio)
    .slice(0, OFFERS_A_MONTH)
    .map((offer) => offer.purchases);
}

/** A whole plan made month by month, each month by its pick; months bought by index. It may be poor, but it is quick. */
export function planMonthByMonth(prepared: PreparedProblem): Int32Array {
  const bought = Int32Array.from(prepared.fixedMonth);
  for (let month = 0; month < prepared.months; month++) {
    // A second pick spends what the first left over: one animal may be worth two offers in a month.
    for (let turn = 0; turn < 3; turn++) {
      const pick = pickForMonth(prepared, bought, month);
      if (pick.status !== 'picked' || pick.now.length === 0) break;
      let kept = false;
      for (const offer of pick.now) {
        for (const index of offer.purchases) bought[index] = month;
        if (firstBrokenRule(prepared, bought) === null) kept = true;
        else for (const index of offer.purchases) bought[index] = -1;
      }
      if (!kept) break;
    }
  }
  return bought;
}

// What a plan means to its keeper: month by month what to buy and why now, the cash, the scores with and without it, what the saving is
// for, and why the rest did not fit. Every "why" is a difference found by changing the schedule and working it out again.

import { brokenThingOf } from './breakdowns.ts';
import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths } from './calendar.ts';
import { cheapestSetToTarget } from './cheapest-set.ts';
import type { Animal, Collection, Fitting, ReadingKind } from './collection.ts';
import { aroundEnclosures } from './collection.ts';
import type { BrokenRule, Evaluation } from './evaluate.ts';
import {
  boughtMonths,
  evaluateBought,
  evaluatePrepared,
  firstBrokenRule,
  type PreparedProblem,
  prepareProblem,
  slackOf,
} from './evaluate.ts';
import type { BuiltProblem, LedgerFacts, LeftOut } from './ledger-problem.ts';
import {
  byEnclosure,
  isLeftBehind,
  needNamed,
  ownedId,
  plannedCollection,
  renewalId,
  scoreInMonth,
} from './ledger-problem.ts';
import type { Money } from './money.ts';
import { money, noMoney, sumMoney } from './money.ts';
import type { Buy, PlanningProblem, Purchase } from './problem.ts';
import { alternativesRequired, monthWeight } from './problem.ts';
import { type AnimalScore, NEAR_TARGET } from './score.ts';
import type { Need } from './species.ts';
import type { Upgrade } from './upgrades.ts';
import { enclosuresOf, readingsAfter } from './upgrades.ts';

/** One need that a purchase raises or lowers in the month it enters service, everything else of that month in place. */
export type Effect = {
  animalId: string;
  need: Need;
  from: number;
  to: number;
  severe: 'ends' | 'begins' | 'unchanged';
  /** True where what it mends was held against targets from memory alone; left out elsewhere and in plans kept before this was told. */
  fromMemory?: true;
};

/** What waiting a month longer would cost: points x months over all animals, and severe needs x months; null when it cannot wait. */
export type DelayCost = { points: number; severe: number };

/** Why a purchase stands in its month and not in another. */
export type WhyNow =
  | { why: 'ordered' }
  | { why: 'pinned' }
  | { why: 'replaces-broken'; fitting: string }
  | { why: 'free'; delay: DelayCost | null }
  | { why: 'first-payable'; delay: DelayCost | null }
  | { why: 'first-month'; delay: DelayCost | null }
  | { why: 'not-before-earliest'; delay: DelayCost | null }
  | { why: 'after-what-it-needs'; delay: DelayCost | null }
  | { why: 'others-gain-more-before'; delay: DelayCost | null }
  /** Until then the money is held for a purchase whose month the keeper fixed. */
  | { why: 'pinned-takes-money'; name: string; delay: DelayCost | null }
  | { why: 'no-gain-before'; delay: DelayCost | null }
  /** A month earlier could be paid and would gain `points` and end `severe` severe needs x months more. */
  | { why: 'gains-before'; points: number; severe: number; delay: DelayCost | null };

/**
 * One purchase of the roadmap. `worth` is what the collection loses, in points x months and severe needs x months with the credit, when
 * it is left out with all that needs it; null when the rest could not be paid then. `readings` are those to take once it is fitted.
 */
export type RoadmapBuy = {
  upgradeId: string;
  name: string;
  price: Money;
  arrives: PlainMonth;
  animalIds: string[];
  effects: Effect[];
  /**
   * What it would do without anything else that comes in the same month; told only where `effects` is empty because of those. Absent in
   * plans kept before this was found.
   */
  alone?: Effect[];
  worth: DelayCost | null;
  whyNow: WhyNow;
  readings: { enclosureId: string; enclosureName: string; readings: ReadingKind[] }[];
};

/** One animal in one month: its score with its range, the score without what arrives this month, and its severe needs. */
type MonthScore = { animalId: string; score: number; low: number; high: number; before: number; severe: number };

/** One month of the roadmap. Cash is at the month's end; `running` holds running costs, renewals and resale, less money in. */
export type RoadmapMonth = {
  month: PlainMonth;
  buys: RoadmapBuy[];
  arrivals: { upgradeId: string; name: string }[];
  renewals: { name: string; amount: Money }[];
  savingFor: { upgradeId: string; name: string; price: Money; month: PlainMonth } | null;
  income: Money;
  committed: Money;
  bought: Money;
  running: Money;
  cash: Money;
  scores: MonthScore[];
};

/**
 * Why an upgrade is not in the plan. `shortBy` is what is missing at best, in the month where least is missing; `points` is what it would
 * change in points x months with the credit: at best, were there money for it, or in the month where it fits.
 */
export type WhyNot =
  | { why: 'never-payable'; shortBy: Money; points: number }
  | { why: 'no-money-beside-the-rest'; shortBy: Money; points: number }
  | { why: 'adds-nothing' }
  | { why: 'does-harm'; points: number }
  | { why: 'would-fit'; points: number }
  | { why: 'another-of-its-group'; boughtId: string; boughtName: string }
  | { why: 'needs-what-is-not-bought'; names: string[] }
  | { why: 'useless-after-new-box'; boxId: string; boxName: string }
  | { why: 'too-dear-to-keep' };

/**
 * What brings every need of one animal to at least NEAR_TARGET by the end of the plan for the least money, whatever the rest would miss
 * for it; or that nothing is needed, or the needs that nothing on the list brings there.
 */
export type CheapestSet = { animalId: string; name: string } & (
  | { status: 'already-met' }
  | { status: 'found'; upgrades: { upgradeId: string; name: string; price: Money }[]; price: Money }
  | { status: 'out-of-reach'; needs: Need[] }
);

/** A whole roadmap, complete in itself: names are kept as they were when it was made. */
export type Roadmap = {
  planDate: PlainDate;
  firstMonth: PlainMonth;
  creditMonths: number;
  animals: {
    animalId: string;
    name: string;
    planned: number[];
    baseline: number[];
    /** How many of its needs are severely short, month by month. */
    severePlanned: number[];
    severeBaseline: number[];
  }[];
  months: RoadmapMonth[];
  /** `animalIds` are those in whose enclosures it would change something; absent in plans made before it was kept. */
  notBought: { upgradeId: string; name: string; price: Money; animalIds?: string[]; why: WhyNot }[];
  leftOut: (LeftOut & { name: string })[];
  cheapest: CheapestSet[];
  tailRule: BuiltProblem['tailRule'];
  reserve: Money;
  points: { planned: number; baseline: number };
  severe: { planned: number; baseline: number };
  spend: Money;
};

/** A month in which money is missing, and how much at most. */
type Missing = { month: PlainMonth; by: Money };

/**
 * Where less is in hand than the floor, by what is owed and not by the plan: the month in which most of it is missing, and the first month
 * from which it is whole to the end (null: none). `unpaid` where not even the cash is enough, with the month from which it is again.
 */
export type UnderFloor = Missing & {
  from: PlainMonth;
  wholeFrom: PlainMonth | null;
  unpaid: (Missing & { coveredFrom: PlainMonth | null }) | null;
};

/** Finds where a plan is under its floor; null where it never is. */
export function underFloor({ months, reserve }: Pick<Roadmap, 'months' | 'reserve'>): UnderFloor | null {
  const floor = missingBelow(reserve);
  if (floor === null) return null;
  const owed = missingBelow(noMoney);
  return {
    ...floor.most,
    from: floor.from,
    wholeFrom: floor.until,
    unpaid: owed === null ? null : { ...owed.most, coveredFrom: owed.until },
  };

  function missingBelow(line: Money) {
    const short = months.filter((one) => one.cash < line);
    const [first] = short;
    if (first === undefined) return null;
    const worst = short.reduce((least, one) => (one.cash < least.cash ? one : least));
    const until = months[months.indexOf(short.at(-1)!) + 1]?.month ?? null;
    return { from: first.month, most: { month: worst.month, by: money(line - worst.cash) }, until };
  }
}

/**
 * Draws the roadmap of a plan. Throws when the buys break the problem's rules: a planner never hands such a plan out.
 */
export function drawRoadmap(facts: LedgerFacts, built: BuiltProblem, buys: readonly Buy[]): Roadmap {
  const { problem } = built;
  const prepared = prepareProblem(problem);
  const evaluation = evaluatePrepared(prepared, buys);
  if (evaluation.status !== 'feasible') throw new RangeError(`the plan breaks the rule ${evaluation.rule}`);
  const { tailIncome: _, ...anyTail } = problem;
  const schedule: Schedule = {
    problem,
    prepared,
    moneyNoObject: prepareProblem({ ...anyTail, openingCash: (problem.openingCash ?? 0) + ENOUGH }),
    buys,
    bought: boughtMonths(prepared, buys),
    evaluation,
    points: pointsOf(problem, evaluation),
    start: serviceStarts(problem, buys),
  };
  const scoreOf = scorerOf(facts, built.upgrades, plannedCollection(facts));
  const bareScoreOf = scorerOf(facts, built.upgrades, facts.collection);
  const upgradeOf = new Map(built.upgrades.map((one) => [one.id, one]));
  const inService = (month: number) =>
    built.upgrades.filter((one) => (schedule.start.get(one.id) ?? Infinity) <= month);
  const arriving = (month: number) => built.upgrades.filter((one) => schedule.start.get(one.id) === month);
  const fittingName = new Map(
    facts.collection.fittings.flatMap((one) => [
      [ownedId(one.id), one.name],
      [renewalId(one.id), one.name],
    ]),
  );
  const nameOf = (id: string) => upgradeOf.get(id)?.name ?? fittingName.get(id) ?? id;
  const housed = facts.collection.animals.filter((one) => one.enclosureId !== null);
  const dayOf = (month: number) => addMonths(facts.firstMonth, month);

  const months = Array.from({ length: facts.months }, (_, month): RoadmapMonth => {
    const bought = buys
      .filter((one) => one.month === month)
      .map((one) => upgradeOf.get(one.purchase))
      .filter((one) => one !== undefined);
    const paid = sumMoney(bought.map((one) => priceOf(problem, one.id)));
    const income = money(problem.income[month]!);
    const committed = money(problem.committed?.[month] ?? 0);
    const opening = month === 0 ? (problem.openingCash ?? 0) : evaluation.balances[month - 1]!;
    const cash = money(evaluation.balances[month]!);
    const service = inService(month);
    const arrived = arriving(month);
    const without = service.filter((one) => !arrived.includes(one));
    return {
      month: dayOf(month),
      buys: bought.map((one) => describeBuy(one, month)),
      arrivals: arrived.map((one) => ({ upgradeId: one.id, name: one.name })),
      renewals: renewalsIn(schedule, month).map(({ id, amount }) => ({ name: nameOf(id), amount })),
      savingFor: savingFor(schedule, month, upgradeOf, dayOf),
      income,
      committed,
      bought: paid,
      running: money(opening + income - committed - paid - cash),
      cash,
      scores: housed.map((animal): MonthScore => {
        const after = scoreOf(animal, service, month);
        const before = arrived.length === 0 ? after : scoreOf(animal, without, month);
        return {
          animalId: animal.id,
          score: plannedMonth(evaluation, animal.id, month).score,
          low: after.low,
          high: after.high,
          before: before.score,
          severe: plannedMonth(evaluation, animal.id, month).severe,
        };
      }),
    };
  });

  // Buying nothing still lets come what is ordered; nothing is renewed, so lamps pass their life.
  const ordered = months.map((_, month) => inService(month).filter((one) => one.status === 'ordered'));
  const baseline = housed.map((animal) => months.map((_, month) => bareScoreOf(animal, ordered[month]!, month)));
  const weights = months.map((_, month) => monthWeight(problem, month));
  const weigh = (values: number[]) => values.reduce((sum, value, month) => sum + value * weights[month]!, 0);
  const animals = housed.map((animal, index) => ({
    animalId: animal.id,
    name: animal.name,
    planned: months.map((one) => one.scores[index]!.score),
    baseline: baseline[index]!.map((one) => one.score),
    severePlanned: months.map((one) => one.scores[index]!.severe),
    severeBaseline: baseline[index]!.map((one) => one.needs.filter((need) => need.severe).length),
  }));
  const total = (pick: (animal: (typeof animals)[number]) => number) =>
    animals.reduce((sum, one) => sum + pick(one), 0);
  const boughtIds = new Set(buys.map((one) => one.purchase));
  return {
    planDate: facts.planDate,
    firstMonth: facts.firstMonth,
    creditMonths: facts.creditMonths,
    animals,
    months,
    notBought: built.upgrades
      .filter((one) => !boughtIds.has(one.id))
      .map((one) => ({
        upgradeId: one.id,
        name: one.name,
        price: one.priceHigh,
        animalIds: touchedBy(one).map(({ id }) => id),
        why: whyNotBought(schedule, one, upgradeOf, facts.collection.fittings),
      })),
    leftOut: built.leftOut.map((one) => ({
      ...one,
      name: facts.upgrades.find((each) => each.id === one.upgradeId)?.name ?? one.upgradeId,
    })),
    cheapest: housed.map(({ id, name }) => ({ animalId: id, name, ...cheapestSet(prepared, id, upgradeOf) })),
    tailRule: built.tailRule,
    reserve: facts.money.reserve,
    points: { planned: total((one) => weigh(one.planned)), baseline: total((one) => weigh(one.baseline)) },
    severe: { planned: total((one) => weigh(one.severePlanned)), baseline: total((one) => weigh(one.severeBaseline)) },
    spend: money(evaluation.spend),
  };

  // Those in whose enclosures it changes something.
  function touchedBy(upgrade: Upgrade): typeof housed {
    const places = enclosuresOf(upgrade, facts.collection);
    return housed.filter((one) => places.includes(one.enclosureId!));
  }

  function describeBuy(upgrade: Upgrade, month: number): RoadmapBuy {
    const start = schedule.start.get(upgrade.id)!;
    const seen = Math.min(start, facts.months - 1);
    const service = inService(start);
    const without = service.filter((one) => one !== upgrade);
    const places = enclosuresOf(upgrade, facts.collection);
    const touched = touchedBy(upgrade);
    const effectsOf = (beside: readonly Upgrade[]): Effect[] =>
      touched.flatMap((animal) => {
        const after = scoreOf(animal, [...beside, upgrade], seen);
        const before = scoreOf(animal, beside, seen);
        return after.needs.flatMap((need): Effect[] => {
          const old = before.needs.find((one) => one.need === need.need);
          if (old === undefined || (Math.abs(need.value - old.value) <= 0.05 && old.severe === need.severe)) return [];
          const severe = old.severe === need.severe ? 'unchanged' : old.severe ? 'ends' : 'begins';
          const told = old.fromMemory === 1 ? { fromMemory: true as const } : {};
          return [{ animalId: animal.id, need: need.need, from: old.value, to: need.value, severe, ...told }];
        });
      });
    const effects = effectsOf(without);
    const earlier = without.filter((one) => schedule.start.get(one.id)! < start);
    const dropped = evaluateWithout(schedule, upgrade.id);
    return {
      upgradeId: upgrade.id,
      name: upgrade.name,
      price: money(priceOf(problem, upgrade.id)),
      arrives: dayOf(start),
      animalIds: touched.map((one) => one.id),
      effects,
      alone: effects.length === 0 ? effectsOf(earlier) : [],
      worth: dropped === null ? null : lossFrom(schedule, dropped),
      whyNow: whyNow(schedule, upgrade, month, facts.collection.fittings, nameOf),
      readings: readingsAfter(upgrade, aroundEnclosures(facts.collection, places), facts.library).map((one) => ({
        ...one,
        enclosureName: facts.collection.enclosures.find((each) => each.id === one.enclosureId)?.name ?? '',
      })),
    };
  }
}

type ScoreOf = (animal: Animal, inService: readonly Upgrade[], month: number) => AnimalScore;

// A month is asked for again and again with the same things in service for most animals, since a purchase touches few.
function scorerOf(facts: LedgerFacts, upgrades: readonly Upgrade[], base: Collection): ScoreOf {
  const touching = byEnclosure(upgrades, base);
  const places = new Map<string, { around: Collection; here: ReadonlySet<Upgrade>; known: Map<string, AnimalScore> }>();
  return (animal, inService, month) => {
    let place = places.get(animal.id);
    if (place === undefined) {
      const enclosureId = animal.enclosureId!;
      const around = aroundEnclosures(base, [enclosureId]);
      place = { around, here: new Set(touching.get(enclosureId)), known: new Map() };
      places.set(animal.id, place);
    }
    const { around, here, known } = place;
    const chosen = inService.filter((one) => here.has(one));
    const key = `${month} ${chosen.map((one) => one.id).join(' ')}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    const score = scoreInMonth(facts, animal, chosen, month, around)!;
    known.set(key, score);
    return score;
  };
}

type SetFound = CheapestSet extends infer One ? (One extends unknown ? Omit<One, 'animalId' | 'name'> : never) : never;

function cheapestSet(prepared: PreparedProblem, animalId: string, upgradeOf: ReadonlyMap<string, Upgrade>): SetFound {
  const { problem } = prepared;
  const found = cheapestSetToTarget(prepared, animalId, problem.months - 1, NEAR_TARGET);
  switch (found.status) {
    case 'already-met':
      return found;
    case 'out-of-reach':
      return { status: 'out-of-reach', needs: [...new Set(found.needs.map(needNamed))] };
    case 'found': {
      const upgrades = found.purchases
        .map((id) => ({ upgradeId: id, name: upgradeOf.get(id)!.name, price: money(priceOf(problem, id)) }))
        .sort((a, b) => b.price - a.price);
      return { status: 'found', upgrades, price: money(found.price) };
    }
  }
}

type Feasible = Extract<Evaluation, { status: 'feasible' }>;
// The problem is turned into indexes once, since a roadmap works hundreds of changed schedules out.
type Schedule = {
  problem: PlanningProblem;
  prepared: PreparedProblem;
  moneyNoObject: PreparedProblem;
  buys: readonly Buy[];
  bought: Int32Array;
  evaluation: Feasible;
  points: number;
  start: Map<string, number>;
};

/** Points x months of a plan: the scores of all animals, each month by its weight. */
export function pointsOf(problem: PlanningProblem, evaluation: Feasible): number {
  const weights = Array.from({ length: problem.months }, (_, month) => monthWeight(problem, month));
  let points = 0;
  for (const { months } of evaluation.animals) {
    for (let month = 0; month < months.length; month++) {
      const one = months[month];
      if (one != null) points += one.score * weights[month]!;
    }
  }
  return points;
}

function priceOf(problem: PlanningProblem, id: string): number {
  return purchaseOf(problem, id).price;
}

function purchaseOf(problem: PlanningProblem, id: string): Purchase {
  return problem.purchases.find((one) => one.id === id)!;
}

function serviceStarts(problem: PlanningProblem, buys: readonly Buy[]): Map<string, number> {
  const starts = new Map<string, number>();
  for (const { purchase, month } of buys) starts.set(purchase, month + (purchaseOf(problem, purchase).lead ?? 0));
  for (const purchase of problem.purchases) {
    if (purchase.ownedSince !== undefined) starts.set(purchase.id, purchase.ownedSince);
  }
  return starts;
}

function plannedMonth(evaluation: Feasible, animalId: string, month: number): { score: number; severe: number } {
  const planned = evaluation.animals.find((one) => one.id === animalId)?.months[month];
  if (planned === undefined || planned === null)
    throw new RangeError(`the plan has no animal ${animalId} in month ${month}`);
  return planned;
}

function renewalsIn({ problem, start }: Schedule, month: number): { id: string; amount: Money }[] {
  return problem.purchases.flatMap(({ id, life, renewal }) => {
    const since = start.get(id);
    if (since === undefined || life === undefined || renewal === undefined || renewal === 0) return [];
    const due = month > since && (month - since) % life === 0;
    const retired = problem.purchases.some(
      (one) => (one.retires ?? []).includes(id) && (start.get(one.id) ?? Infinity) <= month,
    );
    return due && !retired ? [{ id, amount: money(renewal) }] : [];
  });
}

function moved({ prepared, buys }: Schedule, id: string, month: number): Evaluation {
  return evaluatePrepared(prepared, [...buys.filter((one) => one.purchase !== id), { purchase: id, month }]);
}

// Leaves a purchase out, pinned or not, with everything that cannot stand without it; null when the rest cannot be paid then.
function evaluateWithout({ problem, prepared, buys }: Schedule, id: string): Feasible | null {
  const isFixed = purchaseOf(problem, id).fixedMonth !== undefined;
  const purchases = problem.purchases.map((one) => (one.id === id ? { ...one, fixedMonth: undefined } : one));
  const unpinned = isFixed ? prepareProblem({ ...problem, purchases }) : prepared;
  let kept = buys.filter((one) => one.purchase !== id);
  for (;;) {
    const result = evaluatePrepared(unpinned, kept);
    if (result.status === 'feasible') return result;
    if (result.rule !== 'requires') return null;
    kept = kept.filter((one) => one.purchase !== result.purchase);
  }
}

// What a plan loses against the schedule's own: points x months, and severe needs x months that come back.
function lossFrom({ problem, evaluation, points }: Schedule, other: Feasible): DelayCost {
  return {
    points: points - pointsOf(problem, other),
    severe: other.severe - evaluation.severe,
  };
}

// A purchase of a fixed month, then or later, without which the rest of the plan could pay for another one already in a month; null for none.
function pinnedThatTakes(schedule: Schedule, id: string, month: number): string | null {
  const { problem, prepared, buys } = schedule;
  const earlier = [...buys.filter((one) => one.purchase !== id), { purchase: id, month }];
  const pinned = buys.find(
    (one) =>
      one.month >= month &&
      one.purchase !== id &&
      purchaseOf(problem, one.purchase).fixedMonth !== undefined &&
      priceOf(problem, one.purchase) > 0 &&
      // What is fixed cannot be left out of a plan, so the money alone is asked about.
      slackOf(
        prepared,
        boughtMonths(
          prepared,
          earlier.filter((each) => each !== one),
        ),
      ).every((left) => left >= 0),
  );
  return pinned?.purchase ?? null;
}

function whyNow(
  schedule: Schedule,
  upgrade: Upgrade,
  month: number,
  fittings: readonly Fitting[],
  nameOf: (id: string) => string,
): WhyNow {
  if (upgrade.status === 'ordered') return { why: 'ordered' };
  const { problem } = schedule;
  if (purchaseOf(problem, upgrade.id).fixedMonth !== undefined) {
    const broken = brokenThingOf(upgrade, fittings);
    return broken === null ? { why: 'pinned' } : { why: 'replaces-broken', fitting: broken.name };
  }
  const later = month + 1 < problem.months ? moved(schedule, upgrade.id, month + 1) : null;
  const delay = later !== null && later.status === 'feasible' ? lossFrom(schedule, later) : null;
  if (priceOf(problem, upgrade.id) === 0) return { why: 'free', delay };
  if (month === 0) return { why: 'first-month', delay };
  const earlier = moved(schedule, upgrade.id, month - 1);
  if (earlier.status === 'feasible') {
    const lost = lossFrom(schedule, earlier);
    const gains = lost.severe < 0 || (lost.severe === 0 && lost.points < -0.05);
    return gains
      ? { why: 'gains-before', points: -lost.points, severe: -lost.severe, delay }
      : { why: 'no-gain-before', delay };
  }
  switch (earlier.rule) {
    case 'too-early':
      return { why: 'not-before-earliest', delay };
    case 'requires':
      return { why: 'after-what-it-needs', delay };
    default: {
      const { prepared } = schedule;
      const alone = boughtMonths(prepared, withItsNeeds(schedule, upgrade.id, month - 1));
      const pinned = earlier.rule === 'reserve' ? pinnedThatTakes(schedule, upgrade.id, month - 1) : null;
      if (pinned !== null) return { why: 'pinned-takes-money', name: nameOf(pinned), delay };
      return { why: firstBrokenRule(prepared, alone) === null ? 'others-gain-more-before' : 'first-payable', delay };
    }
  }
}

// What leaves no choice, one purchase in a month, and what the plan buys for it to build on.
function withItsNeeds({ problem, buys }: Schedule, id: string, month: number): Buy[] {
  const kept = new Map(fixedBuys(problem).map((one) => [one.purchase, one]));
  kept.set(id, { purchase: id, month });
  for (const one of kept.keys()) {
    for (const any of alternativesRequired(purchaseOf(problem, one))) {
      const met = any.some((other) => kept.has(other) || purchaseOf(problem, other).ownedSince !== undefined);
      const bought = met ? undefined : buys.find((buy) => any.includes(buy.purchase));
      if (bought !== undefined) kept.set(bought.purchase, bought);
    }
  }
  return [...kept.values()];
}

// What is kept at a month's end is saved for the dearest purchase of the first later month that ends with less than that in hand.
function savingFor(
  schedule: Schedule,
  month: number,
  upgradeOf: ReadonlyMap<string, Upgrade>,
  dayOf: (month: number) => PlainMonth,
): RoadmapMonth['savingFor'] {
  const { problem, buys, evaluation } = schedule;
  const kept = evaluation.balances[month]!;
  const drawn = evaluation.balances.findIndex((balance, later) => later > month && balance < kept);
  const dearest = buys
    .filter((one) => one.month === drawn && upgradeOf.has(one.purchase) && priceOf(problem, one.purchase) > 0)
    .sort((a, b) => priceOf(problem, b.purchase) - priceOf(problem, a.purchase))[0];
  if (dearest === undefined) return null;
  const { id, name } = upgradeOf.get(dearest.purchase)!;
  return { upgradeId: id, name, price: money(priceOf(problem, id)), month: dayOf(drawn) };
}

function whyNotBought(
  schedule: Schedule,
  upgrade: Upgrade,
  upgradeOf: ReadonlyMap<string, Upgrade>,
  fittings: readonly Fitting[],
): WhyNot {
  const { problem, buys, evaluation } = schedule;
  const nameOf = (id: string) => upgradeOf.get(id)?.name ?? id;
  const newBox = buys.find(({ purchase }) => {
    const changes = upgradeOf.get(purchase)?.changes ?? [];
    const boxes = changes.flatMap((change) => (change.change === 'replace-box' ? [change.enclosureId] : []));
    return boxes.length > 0 && isLeftBehind(upgrade, boxes, fittings);
  });
  if (newBox !== undefined)
    return { why: 'useless-after-new-box', boxId: newBox.purchase, boxName: nameOf(newBox.purchase) };
  const index = schedule.prepared.indexOf.get(upgrade.id)!;
  const withIt = (others: Int32Array) =>
    Array.from({ length: problem.months }, (_, month) => {
      const tried = others.slice();
      tried[index] = month;
      return tried;
    });
  // The best that adding it can do in the planner's own order: fewest severe needs, then most points.
  const effect = (among: PreparedProblem, tries: readonly Int32Array[]): WhyNot => {
    const { severe, points } = tries
      .map((one) => evaluateBought(among, one))
      .filter((one) => one.status === 'feasible')
      .map((one) => ({
        severe: one.severe - evaluation.severe,
        points: pointsOf(problem, one) - schedule.points,
      }))
      .reduce((a, b) => (b.severe < a.severe || (b.severe === a.severe && b.points > a.points) ? b : a));
    if (severe > 0 || (severe === 0 && points < -0.05)) return { why: 'does-harm', points };
    return severe === 0 && points < 0.05 ? { why: 'adds-nothing' } : { why: 'would-fit', points };
  };
  const tries = withIt(schedule.bought);
  const broken: BrokenRule[] = [];
  const possible: Int32Array[] = [];
  for (const one of tries) {
    const rule = firstBrokenRule(schedule.prepared, one);
    if (rule?.rule === 'group') {
      const other = rule.other === upgrade.id ? rule.purchase : rule.other;
      return { why: 'another-of-its-group', boughtId: other, boughtName: nameOf(other) };
    }
    if (rule === null) possible.push(one);
    else broken.push(rule);
  }
  if (possible.length > 0) return effect(schedule.prepared, possible);
  // Where only the time after the plan stands in the way, there is money for it.
  if (broken.some((one) => one.rule === 'tail')) return { why: 'too-dear-to-keep' };
  const shortBy = (rules: readonly (BrokenRule | null)[]) =>
    rules.flatMap((one) => (one?.rule === 'reserve' ? [one.shortBy] : []));
  const missing = broken.find((one) => one.rule === 'requires');
  const short = shortBy(broken);
  if (short.length === 0) return { why: 'needs-what-is-not-bought', names: (missing?.oneOf ?? []).map(nameOf) };
  const worth = effect(schedule.moneyNoObject, tries);
  const alone = withIt(schedule.prepared.fixedMonth);
  const shortAlone = shortBy(alone.map((one) => firstBrokenRule(schedule.prepared, one)));
  if (shortAlone.length === alone.length) {
    const points = 'points' in worth ? worth.points : 0;
    return { why: 'never-payable', shortBy: money(Math.min(...shortAlone)), points };
  }
  if (worth.why !== 'would-fit') return worth;
  return { why: 'no-money-beside-the-rest', shortBy: money(Math.min(...short)), points: worth.points };
}

/** More than any plan can cost, in minor units: to see what something would do were money no object. */
const ENOUGH = 1e11;

function fixedBuys(problem: PlanningProblem): Buy[] {
  return problem.purchases.flatMap((one) =>
    one.fixedMonth === undefined ? [] : [{ purchase: one.id, month: one.fixedMonth }],
  );
}

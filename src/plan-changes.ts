// How two plans of the same problem are compared, and when a change of plan is worth the upset: each purchase that moves costs the
// keeper a threshold of points, and what does not gain that much stays where it was.

import {
  boughtMonths,
  compareObjectives,
  firstBrokenRule,
  listBuys,
  measureSchedule,
  nearlyEqual,
  type PreparedProblem,
  prepareProblem,
  scoreRoom,
  serviceStart,
  slackOf,
  sumScores,
} from './evaluate.ts';
import type { Buy, Objective, PlanningProblem } from './problem.ts';

/** A purchase that two plans put in different months of the same problem; null where it is not bought. */
export type PlanChange = { purchase: string; was: number | null; is: number | null };

/**
 * A change that was made, and why. `together`: the purchases that must change with it, none when it stands alone. `gain` (weighted points
 * x months) and `severe` (severe needs x months fewer) are those of the whole group: what would be lost by undoing it. 'forced': it cannot
 * be undone, since the earlier month is no longer possible, by itself or beside the rest of the plan; then both figures are what the
 * purchase is worth in its new month against leaving it out (with what needs it), 0 when it is not bought or cannot be left out. 'saves':
 * it brings nothing any more and the best plan does without it, so its money is kept whatever the threshold.
 */
export type ReasonedChange = PlanChange & {
  why: 'forced' | 'fewer-severe' | 'gains' | 'saves';
  gain: number;
  severe: number;
  together: string[];
};

/**
 * A change that the best plan would make and the calm one does not, with what must go with it. `gain` (weighted points x months) and
 * `severe` (severe needs x months fewer, negative when more) are what the whole group would bring on top of the calm plan.
 */
export type HeldChange = PlanChange & { gain: number; severe: number; together: string[] };

/** A plan kept calm: what to buy, its figures, the changes from the earlier plan, and those the best plan would make besides. */
export type CalmPlan = { buys: Buy[]; objective: Objective; changes: ReasonedChange[]; held: HeldChange[] };

/** What each changed purchase must gain, in weighted points x months (common practice, no source: this ledger's own value choice). */
export const DEFAULT_CALM_THRESHOLD = 10;

/** The purchases that two plans put in different months, by the first month concerned and then by id; none when the plans agree. */
export function planChanges(before: readonly Buy[], after: readonly Buy[]): PlanChange[] {
  const was = new Map(before.map((one) => [one.purchase, one.month]));
  const is = new Map(after.map((one) => [one.purchase, one.month]));
  const changes = [...new Set([...was.keys(), ...is.keys()])]
    .map((purchase): PlanChange => ({ purchase, was: was.get(purchase) ?? null, is: is.get(purchase) ?? null }))
    .filter((one) => one.was !== one.is);
  const first = (one: PlanChange) => Math.min(one.was ?? Number.POSITIVE_INFINITY, one.is ?? Number.POSITIVE_INFINITY);
  return changes.sort((a, b) => first(a) - first(b) || (a.purchase < b.purchase ? -1 : 1));
}

/**
 * Keeps an earlier plan of the same months as far as it is worth it. Each purchase stays in its earlier month or takes the one of the best
 * plan (where its earlier month is not possible, it may also be left out or follow as soon as it can); of all feasible plans of that kind
 * the calm one has fewest severe needs, then most weighted points less `threshold` (0 or more, may be infinite) for each purchase that
 * changes, then the figures in their usual order, then fewest changes. So it is never worse in severe needs than the best plan, and lacks
 * at most `threshold` points for each change held. Few differences are all tried; many are searched, by groups that must change together.
 */
export function calmPlan(
  problem: PlanningProblem,
  earlier: readonly Buy[],
  best: { buys: readonly Buy[] },
  threshold = DEFAULT_CALM_THRESHOLD,
): CalmPlan {
  const prepared = prepareProblem(problem);
  const bestMonths = boughtMonths(prepared, best.buys);
  const broken = firstBrokenRule(prepared, bestMonths);
  if (broken !== null) throw new RangeError(`the best plan breaks the rule '${broken.rule}'`);
  const was = earlierMonths(prepared, earlier);
  const possible = was.map((month, index) => (isPossible(prepared, index, month) ? 1 : 0));
  const options = Array.from(was, (month, index) => optionsOf(prepared, index, month, bestMonths[index]!));
  let meter = makeMeter(prepared, was);
  const isBetter = (a: Weighed, b: Weighed) => compareCalm(a, b, threshold) < 0;

  let calm = calmest(meter, options, was, bestMonths, isBetter);
  const saved: ReasonedChange[] = [];
  for (let idle = idleIn(prepared, calm.months, bestMonths); idle.length > 0; ) {
    for (const index of idle) {
      const [purchase, month] = [problem.purchases[index]!.id, was[index]!];
      if (month >= 0) saved.push({ purchase, was: month, is: null, why: 'saves', gain: 0, severe: 0, together: [] });
      was[index] = -1;
      options[index] = optionsOf(prepared, index, -1, bestMonths[index]!);
    }
    meter = makeMeter(prepared, was);
    calm = calmest(meter, options, was, bestMonths, isBetter);
    idle = idleIn(prepared, calm.months, bestMonths);
  }
  let account = accountOf(calm);
  // Where not all mixed plans were tried, the account tries more of them and may come upon a calmer one; it then tells of that one.
  for (let round = 0; account.calmer !== null && round < prepared.count; round++) {
    calm = account.calmer;
    account = accountOf(calm);
  }
  const known = new Set(problem.purchases.map((one) => one.id));
  const gone = planChanges(
    earlier.filter((one) => !known.has(one.purchase)),
    [],
  ).map((one): ReasonedChange => ({ ...one, why: 'forced', gain: 0, severe: 0, together: [] }));
  const inOrder = <Change extends PlanChange>(changes: Change[]): Change[] => {
    const order = planChanges(
      changes.flatMap((one) => (one.was === null ? [] : [{ purchase: one.purchase, month: one.was }])),
      changes.flatMap((one) => (one.is === null ? [] : [{ purchase: one.purchase, month: one.is }])),
    );
    return order.map(({ purchase }) => changes.find((one) => one.purchase === purchase)!);
  };
  return {
    buys: listBuys(prepared, calm.months),
    objective: measureSchedule(prepared, calm.months).sums,
    changes: inOrder([...gone, ...saved, ...account.changes]),
    held: inOrder(account.held),
  };

  function accountOf(plan: Weighed): { changes: ReasonedChange[]; held: HeldChange[]; calmer: Weighed | null } {
    const { months } = plan;
    const idOf = (index: number) => problem.purchases[index]!.id;
    const orNull = (month: number) => (month < 0 ? null : month);
    const earlierMonth = new Map(earlier.map((one) => [one.purchase, one.month]));
    const differing = (other: Int32Array) =>
      Array.from(months.keys()).filter((index) => months[index] !== other[index]);
    const figures = (group: Group) => ({
      gain:
        measureSchedule(prepared, group.plan.months).sums.weighted - measureSchedule(prepared, months).sums.weighted,
      severe: plan.objective.severe - group.plan.objective.severe,
      together: group.members.slice(1).map(idOf),
    });
    const changed = differing(was);
    const undone = changed.filter((index) => possible[index] === 1);
    const left = new Int32Array(months.length).fill(-1);
    const leavable = Array.from(months.keys()).filter(
      (index) => months[index]! >= 0 && prepared.fixedMonth[index]! < 0,
    );
    let calmer: Weighed | null = null;
    const watch = (group: Group | null): Group | null => {
      if (group !== null && isBetter(group.plan, calmer ?? plan)) calmer = group.plan;
      return group;
    };
    const changes = changed.map((index): ReasonedChange => {
      const change = { purchase: idOf(index), was: earlierMonth.get(idOf(index)) ?? null, is: orNull(months[index]!) };
      const group = possible[index] === 1 ? watch(smallestGroup(meter, plan, index, undone, was, isBetter)) : null;
      if (group !== null) {
        const { gain, severe, together } = figures(group);
        return {
          ...change,
          why: severe < -1e-9 ? 'fewer-severe' : 'gains',
          gain: 0 - gain,
          severe: 0 - severe,
          together,
        };
      }
      const without = leavable.includes(index) ? smallestGroup(meter, plan, index, leavable, left, isBetter) : null;
      const { gain, severe } = without === null ? { gain: 0, severe: 0 } : figures(without);
      return { ...change, why: 'forced', gain: 0 - gain, severe: 0 - severe, together: [] };
    });
    const remaining = differing(bestMonths);
    const held = remaining.map((index): HeldChange => {
      const group = watch(smallestGroup(meter, plan, index, remaining, bestMonths, isBetter))!;
      const change = { purchase: idOf(index), was: orNull(months[index]!), is: orNull(bestMonths[index]!) };
      return { ...change, ...figures(group) };
    });
    return { changes, held, calmer };
  }
}

/** A feasible plan with its figures, and how many purchases it buys in another month than the earlier plan. */
type Weighed = { months: Int32Array; objective: Objective; changed: number };

/** Works plans out; null when a plan breaks a rule. */
type Meter = (months: Int32Array) => Weighed | null;

/** Purchases that change together, the one asked for first, and the plan after it. */
type Group = { members: number[]; plan: Weighed };

/** A month before the first one, told apart from -1, which is not bought. */
const PAST = -2;

/** Up to this many mixed plans are tried one by one; beyond, they are searched. */
const MOST_TRIED = 4096;

/** Up to this many groups of a size are tried one by one; beyond, a group is found by leaving out what need not change. */
const MOST_GROUPS = 1000;

// Fewest severe needs, then most points less the threshold a change, then the usual order, then fewest changes.
function compareCalm(a: Weighed, b: Weighed, threshold: number): number {
  if (Math.abs(a.objective.severe - b.objective.severe) > 1e-9) return a.objective.severe - b.objective.severe;
  const more = a.changed - b.changed;
  if (more !== 0) {
    const [gained, asked] = [a.objective.weighted - b.objective.weighted, threshold * more];
    if (!Number.isFinite(asked)) return more;
    if (!nearlyEqual(a.objective.weighted - asked, b.objective.weighted)) return asked - gained;
  }
  const usual = compareObjectives(a.objective, b.objective);
  return usual === 0 ? more : usual;
}

/** What a plan buys and the best one does not, and what could be left out of it without any loss. */
function idleIn(prepared: PreparedProblem, plan: Int32Array, bestMonths: Int32Array): number[] {
  const months = plan.slice();
  const found: number[] = [];
  for (let again = true; again; ) {
    again = false;
    for (const [index, month] of months.entries()) {
      if (month < 0 || bestMonths[index]! >= 0 || prepared.fixedMonth[index]! >= 0) continue;
      const before = measureSchedule(prepared, months).sums;
      months[index] = -1;
      const isIdle = compareObjectives(measureSchedule(prepared, months).sums, before) < 0;
      if (isIdle && firstBrokenRule(prepared, months) === null) {
        found.push(index);
        again = true;
      } else months[index] = month;
    }
  }
  return found;
}

function earlierMonths(prepared: PreparedProblem, earlier: readonly Buy[]): Int32Array {
  const monthOf = new Map(earlier.map((one) => [one.purchase, one.month]));
  return Int32Array.from(prepared.problem.purchases, ({ id }, index) => {
    const month = prepared.owned[index] ? undefined : monthOf.get(id);
    if (month === undefined) return -1;
    return Number.isInteger(month) && month >= 0 ? month : PAST;
  });
}

function isPossible(prepared: PreparedProblem, index: number, month: number): boolean {
  if (prepared.owned[index]) return true;
  if (month === -1) return prepared.fixedMonth[index]! < 0;
  return month >= prepared.earliest[index]! && month <= prepared.latest[index]!;
}

// The months a purchase may take in a calm plan, its earlier one first; -1 is not bought.
function optionsOf(prepared: PreparedProblem, index: number, was: number, best: number): number[] {
  if (isPossible(prepared, index, was)) return was === best ? [was] : [was, best];
  if (prepared.fixedMonth[index]! >= 0) return [best];
  const next = Math.max(was, prepared.earliest[index]!);
  return [...new Set([...(next <= prepared.latest[index]! ? [next] : []), best, -1])];
}

function makeMeter(prepared: PreparedProblem, was: Int32Array): Meter {
  const room = scoreRoom(prepared);
  // A change concerns few animals; the others were worked out before.
  const known = prepared.animals.map(() => new Map<string, Float64Array>());
  return (months) => {
    if (firstBrokenRule(prepared, months) !== null) return null;
    const starts = Int32Array.from(months, (month, index) => serviceStart(prepared, index, month));
    const objective = { severe: 0, weighted: 0, mean: 0, spend: 0 };
    prepared.animals.forEach((animal, position) => {
      const key = animal.concerns.reduce((text, index) => `${text} ${months[index]}`, '');
      let sums = known[position]!.get(key);
      if (sums === undefined) {
        sums = new Float64Array(3);
        sumScores(prepared, animal, starts, room, sums);
        known[position]!.set(key, sums);
      }
      objective.severe += sums[0]!;
      objective.weighted += sums[1]!;
      objective.mean += sums[2]!;
    });
    objective.spend = prepared.bareSlack.at(-1)! - slackOf(prepared, months).at(-1)!;
    let changed = 0;
    months.forEach((month, index) => {
      if (month !== was[index]) changed++;
    });
    return { months: months.slice(), objective, changed };
  };
}

type IsBetter = (a: Weighed, b: Weighed) => boolean;

// The calmest of all mixed plans where they are few; otherwise the calmer of two searches, from the best plan and from the earlier one.
function calmest(
  meter: Meter,
  options: readonly (readonly number[])[],
  was: Int32Array,
  best: Int32Array,
  isBetter: IsBetter,
): Weighed {
  let calm = meter(best)!;
  const open = Array.from(options.keys()).filter((index) => options[index]!.length > 1);
  const mixed = open.reduce((count, index) => count * options[index]!.length, 1);
  const first = Int32Array.from(options, (list) => list[0]!);
  if (mixed <= MOST_TRIED) {
    const months = first.slice();
    const fill = (place: number): void => {
      if (place === open.length) {
        const plan = meter(months);
        if (plan !== null && isBetter(plan, calm)) calm = plan;
        return;
      }
      for (const month of options[open[place]!]!) {
        months[open[place]!] = month;
        fill(place + 1);
      }
    };
    fill(0);
    return calm;
  }
  const keepable = Int32Array.from(first, (month, index) => (month === was[index] ? month : -1));
  const starts = [calm, meter(first), meter(keepable)].filter((plan) => plan !== null);
  for (const start of starts) {
    const found = improve(meter, start, options, [best, first], isBetter);
    if (isBetter(found, calm)) calm = found;
  }
  return calm;
}

// Moves one purchase, or two, or the few that must move together, towards one plan or the other as long as it gets better.
function improve(
  meter: Meter,
  start: Weighed,
  options: readonly (readonly number[])[],
  targets: readonly Int32Array[],
  isBetter: IsBetter,
): Weighed {
  let plan = start;
  const differing = (target: Int32Array) =>
    Array.from(target.keys()).filter((index) => plan.months[index] !== target[index]);
  const take = (next: Weighed | null): boolean => {
    if (next === null || !isBetter(next, plan)) return false;
    plan = next;
    return true;
  };
  for (let [moved, pass] = [true, 0]; moved && pass < options.length; pass++) {
    moved = false;
    for (const target of targets) {
      for (const index of differing(target)) {
        const others = differing(target).filter((other) => other !== index);
        if (plan.months[index] === target[index]) continue;
        const alone = move(meter, plan, [index], target);
        if (take(alone) || others.some((other) => take(move(meter, plan, [index, other], target)))) moved = true;
        else if (alone === null && take(leastGroup(meter, plan, index, others, target)?.plan ?? null)) moved = true;
      }
    }
    options.forEach((list, index) => {
      for (const month of list) {
        if (month === plan.months[index]) continue;
        if (take(meter(plan.months.with(index, month)))) moved = true;
      }
    });
  }
  return plan;
}

function move(meter: Meter, plan: Weighed, members: readonly number[], target: Int32Array): Weighed | null {
  const months = plan.months.slice();
  for (const index of members) months[index] = target[index]!;
  return meter(months);
}

// The smallest group of these with which a purchase can move to its month in `target`, of several as small the one that leaves the best
// plan; null when no group was found.
function smallestGroup(
  meter: Meter,
  plan: Weighed,
  index: number,
  candidates: readonly number[],
  target: Int32Array,
  isBetter: IsBetter,
): Group | null {
  const others = candidates.filter((other) => other !== index);
  let groups = 1;
  for (let size = 0; size <= others.length; size++) {
    if (groups > MOST_GROUPS) return leastGroup(meter, plan, index, others, target);
    let found: Group | null = null;
    for (const chosen of subsets(others, size)) {
      const members = [index, ...chosen];
      const after = move(meter, plan, members, target);
      if (after !== null && (found === null || isBetter(after, found.plan))) found = { members, plan: after };
    }
    if (found !== null) return found;
    groups = (groups * (others.length - size)) / (size + 1);
  }
  return null;
}

function* subsets(list: readonly number[], size: number, from = 0): Generator<number[]> {
  if (size === 0) yield [];
  else
    for (let k = from; k <= list.length - size; k++)
      for (const rest of subsets(list, size - 1, k + 1)) yield [list[k]!, ...rest];
}

// From all of these down to a group from which nothing can be left out; null when not even all together can move.
function leastGroup(
  meter: Meter,
  plan: Weighed,
  index: number,
  others: readonly number[],
  target: Int32Array,
): Group | null {
  let rest = [...others];
  let after = move(meter, plan, [index, ...rest], target);
  if (after === null) return null;
  for (let block = Math.ceil(rest.length / 2); rest.length > 0; ) {
    let smaller = false;
    for (let from = 0; from < rest.length; ) {
      const kept = [...rest.slice(0, from), ...rest.slice(from + block)];
      const next = move(meter, plan, [index, ...kept], target);
      if (next === null) from += block;
      else {
        [rest, after, smaller] = [kept, next, true];
      }
    }
    if (block === 1 && !smaller) break;
    block = Math.max(1, Math.ceil(block / 2));
  }
  return { members: [index, ...rest], plan: after };
}

// Planning problems written as linear programs: the whole plan with one whole number for each purchase and month, the month's
// pick, and the cheapest set that brings one animal to a target. It knows how each rule becomes rows; which engine
// solves them is none of its business.

import { type PreparedNeed, type PreparedProblem, RELATIVE_TOLERANCE } from './evaluate.ts';
import type { Objective } from './problem.ts';
import type { Program, ProgramVariable } from './solver.ts';

const INFINITY = Number.POSITIVE_INFINITY;

/** One of the four figures, in the order in which plans are compared. */
export type Stage = 'severe' | 'weighted' | 'mean' | 'spend';

/** The stages in their order. */
export const STAGES: readonly Stage[] = ['severe', 'weighted', 'mean', 'spend'];

/** A sum of constants and variables. */
type Sum = { constant: number; entries: [variable: number, coefficient: number][] };

/** The whole plan as one program without an objective, and each figure as a sum over its variables. */
export type WholePlan = {
  variables: ProgramVariable[];
  rows: Program['rows'];
  figures: Record<Stage, Sum>;
  /** `boughtBy[index][month]`: the variable that is 1 when the purchase is bought in that month or before; -1 for always 0. */
  boughtBy: Int32Array[];
  /** What everything in service in the last month costs a month from then on. */
  tail: Sum;
  prepared: PreparedProblem;
};

/** The number of whole variables that the whole plan of a problem takes: purchases x months, as far as they are free. */
export function wholePlanSize(prepared: PreparedProblem): number {
  let size = 0;
  for (let index = 0; index < prepared.count; index++) {
    if (prepared.owned[index] || prepared.fixedMonth[index]! >= 0) continue;
    size += Math.max(0, lastUsefulMonth(prepared, index) - prepared.earliest[index]! + 1);
  }
  return size;
}

/**
 * Buying so late that service starts after the plan costs money and gives nothing, unless a purchase fixed so late
 * requires it.
 */
function lastUsefulMonth(prepared: PreparedProblem, index: number): number {
  const last = prepared.months - 1;
  for (let other = 0; other < prepared.count; other++) {
    const month = prepared.fixedMonth[other]!;
    if (month >= 0 && month + prepared.lead[other]! > last) return last;
  }
  return last - prepared.lead[index]!;
}

/**
 * Writes the whole plan. With whole numbers for the purchases everything else follows from them, so only they are whole:
 * the values of the needs may be continuous because more value is never worse in any stage (scoring: the mean and the
 * caps rise with every value), and costs that a retirement ends are bounded from the side that matters.
 * `moneyUntil`: the balances of this month and later are left free, and `spend` is the money spent up to and with this month;
 * `withTail` false: the carrying cost at the end is left free. `allows`: whether a purchase may be bought in a month (the number
 * of months: never), so that what is ruled out takes no variable.
 */
export function writeWholePlan(
  prepared: PreparedProblem,
  options: {
    moneyUntil?: number | undefined;
    withTail?: boolean | undefined;
    allows?: ((index: number, month: number) => boolean) | undefined;
  } = {},
): WholePlan {
  const { months, count } = prepared;
  const variables: ProgramVariable[] = [];
  const rows: Program['rows'] = [];
  const allows = options.allows ?? (() => true);
  const addVariable = (lower: number, upper: number, whole = false): number =>
    variables.push({ cost: 0, lower, upper, whole }) - 1;
  const addRow = (lower: number, upper: number, sum: Sum): void => {
    rows.push({ lower: lower - sum.constant, upper: upper - sum.constant, entries: sum.entries });
  };
  const emptySum = (): Sum => ({ constant: 0, entries: [] });
  const add = (sum: Sum, other: Sum, factor: number): void => {
    if (factor === 0) return;
    sum.constant += factor * other.constant;
    for (const [variable, coefficient] of other.entries) sum.entries.push([variable, factor * coefficient]);
  };

  const boughtBy = prepared.problem.purchases.map((_, index) => {
    const list = new Int32Array(months).fill(-1);
    if (prepared.owned[index] || prepared.fixedMonth[index]! >= 0) return list;
    const last = lastUsefulMonth(prepared, index);
    for (let month = prepared.earliest[index]!; month <= last; month++) {
      const before = month > 0 ? list[month - 1]! : -1;
      if (!allows(index, month)) {
        list[month] = before;
        continue;
      }
      list[month] = addVariable(0, 1, true);
      if (before >= 0)
        addRow(0, INFINITY, {
          constant: 0,
          entries: [
            [list[month]!, 1],
            [before, -1],
          ],
        });
    }
    if (last >= 0 && list[last]! >= 0 && !allows(index, months)) variables[list[last]!]!.lower = 1;
    for (let month = Math.max(last, -1) + 1; month < months; month++) list[month] = last >= 0 ? list[last]! : -1;
    return list;
  });

  /** 1 when bought in this month or before. */
  const bought = (index: number, month: number): Sum => {
    if (month < 0) return emptySum();
    const fixed = prepared.fixedMonth[index]!;
    if (fixed >= 0) return { constant: month >= fixed ? 1 : 0, entries: [] };
    const variable = boughtBy[index]![Math.min(month, months - 1)]!;
    return variable < 0 ? emptySum() : { constant: 0, entries: [[variable, 1]] };
  };
  /** 1 when in service in this month. */
  const inService = (index: number, month: number): Sum =>
    prepared.owned[index]
      ? { constant: month >= prepared.ownedSince[index]! ? 1 : 0, entries: [] }
      : bought(index, month - prepared.lead[index]!);
  /** 1 when service starts exactly in this month. */
  const entersIn = (index: number, month: number): Sum => {
    if (prepared.owned[index]) return { constant: month === prepared.ownedSince[index] ? 1 : 0, entries: [] };
    const sum = inService(index, month);
    add(sum, inService(index, month - 1), -1);
    return sum;
  };
  const isConstant = (sum: Sum) => sum.entries.every(([, coefficient]) => coefficient === 0);

  /** `sum`, which is 0 or 1, as long as nothing that retires `index` is in service; exact for a cost of the given sign. */
  const unlessRetired = (index: number, month: number, sum: Sum, cost: number): Sum => {
    const retirers = [...prepared.retiredBy[index]!].map((other) => inService(other, month));
    if (retirers.some((retirer) => isConstant(retirer) && retirer.constant === 1)) return emptySum();
    const open = retirers.filter((retirer) => !isConstant(retirer));
    if (open.length === 0 || cost === 0 || (isConstant(sum) && sum.constant === 0)) return sum;
    const active: Sum = { constant: 0, entries: [[addVariable(0, 1), 1]] };
    if (cost > 0) {
      // active >= sum - retirers: paying less is never refused by another row, so only this side is needed.
      const row = emptySum();
      add(row, active, 1);
      add(row, sum, -1);
      for (const retirer of open) add(row, retirer, 1);
      addRow(0, INFINITY, row);
    } else {
      const row = emptySum();
      add(row, active, 1);
      add(row, sum, -1);
      addRow(-INFINITY, 0, row);
      for (const retirer of open) {
        const other = emptySum();
        add(other, active, 1);
        add(other, retirer, 1);
        addRow(-INFINITY, 1, other);
      }
    }
    return active;
  };

  const holdersOf = new Map<number, number[]>();
  for (let index = 0; index < count; index++) {
    for (const group of prepared.groups[index]!) holdersOf.set(group, [...(holdersOf.get(group) ?? []), index]);
    if (prepared.owned[index]) continue;
    for (const alternatives of prepared.requires[index]!) {
      const first = prepared.earliest[index]!;
      for (let month = first; month < months; month++) {
        const row = bought(index, month);
        if (isConstant(row) && row.constant === 0) continue;
        const start = month + prepared.lead[index]!;
        for (const other of alternatives) add(row, inService(other, start), -1);
        if (!isConstant(row) || row.constant > 0) addRow(-INFINITY, 0, row);
      }
    }
  }
  for (const members of holdersOf.values()) {
    if (members.length < 2) continue;
    const row = emptySum();
    for (const index of members) add(row, bought(index, months - 1), 1);
    addRow(-INFINITY, 1, row);
  }

  const spend = emptySum();
  let carriedBefore = -1;
  for (let month = 0; month < months; month++) {
    const costs = emptySum();
    for (let index = 0; index < count; index++) {
      const monthly = prepared.monthlyCost[index]!;
      if (monthly !== 0) add(costs, unlessRetired(index, month, inService(index, month), monthly), monthly);
      const renewal = prepared.renewal[index]!;
      const life = prepared.life[index]!;
      if (life === 0 || renewal === 0) continue;
      const due = emptySum();
      const firstService = prepared.owned[index] ? prepared.ownedSince[index]! : 0;
      for (let start = month - life; start >= firstService; start -= life) add(due, entersIn(index, start), 1);
      if (due.entries.length > 0 || due.constant !== 0) add(costs, unlessRetired(index, month, due, renewal), renewal);
    }
    // What has been paid for running and renewing up to this month is one variable, so that the rows stay short.
    const carried = addVariable(-INFINITY, INFINITY);
    const chain: Sum = { constant: 0, entries: [[carried, 1]] };
    if (carriedBefore >= 0) chain.entries.push([carriedBefore, -1]);
    add(chain, costs, -1);
    addRow(0, 0, chain);
    carriedBefore = carried;

    const out: Sum = { constant: 0, entries: [[carried, 1]] };
    for (let index = 0; index < count; index++) {
      if (prepared.owned[index]) continue;
      add(out, bought(index, month), prepared.price[index]!);
      const amount = prepared.proceedsAmount[index]!;
      const wait = prepared.lead[index]! + prepared.proceedsAfter[index]!;
      if (amount !== 0) add(out, bought(index, month - wait), -amount);
    }
    if (month < (options.moneyUntil ?? months)) addRow(-INFINITY, prepared.bareSlack[month]!, out);
    if (month === Math.min(options.moneyUntil ?? months, months - 1)) add(spend, out, 1);
  }

  const tail = emptySum();
  if (prepared.tailIncome !== INFINITY) {
    for (let index = 0; index < count; index++) {
      const cost = prepared.tailCost[index]!;
      if (cost !== 0) add(tail, unlessRetired(index, months - 1, inService(index, months - 1), cost), cost);
    }
    if (options.withTail !== false) addRow(-INFINITY, prepared.tailIncome, tail);
  }

  const figures: Record<Stage, Sum> = { severe: emptySum(), weighted: emptySum(), mean: emptySum(), spend };
  for (const animal of prepared.animals) {
    for (let month = animal.from; month < animal.until; month++) {
      const times = prepared.weight[month]! * animal.share;
      const total = animal.totalWeight[month]!;
      const mean = emptySum();
      const caps: Sum[] = [];
      for (const need of animal.needs) {
        if (need.counts[month] === 0) continue;
        const { value, severe } = writeNeed(need, month);
        if (total > 0) add(mean, value, need.weight / total);
        const cap: Sum = emptySum();
        add(cap, value, 1);
        cap.constant += need.allowance;
        caps.push(cap);
        if (severe) add(figures.severe, severe, times);
      }
      if (total <= 0) continue;
      add(figures.mean, mean, times);
      const low = addVariable(0, 40);
      const middle = addVariable(0, 30);
      const high = addVariable(0, INFINITY);
      const score: Sum = {
        constant: 0,
        entries: [
          [low, 1],
          [middle, 1],
          [high, 1],
        ],
      };
      for (const limit of [mean, ...caps]) {
        const row = emptySum();
        add(row, score, 1);
        add(row, limit, -1);
        addRow(-INFINITY, 0, row);
      }
      [low, middle, high].forEach((part, k) => {
        figures.weighted.entries.push([part, prepared.priority[k]! * times]);
      });
    }
  }

  /** The value of a need in a month, and whether it is severe (null when it never is). */
  function writeNeed(need: PreparedNeed, month: number): { value: Sum; severe: Sum | null } {
    let base = 0;
    let alwaysSafe = !need.lifeCritical;
    const open: { value: number; safe: boolean; needs: number[]; blockers: number[] }[] = [];
    for (const state of need.states) {
      const safe = state.severe[month] === 0;
      const value = state.values[month]!;
      const needs: number[] = [];
      const blockers: number[] = [];
      let possible = true;
      for (const index of state.needs) {
        const sum = inService(index, month);
        if (!isConstant(sum)) needs.push(index);
        else if (sum.constant === 0) possible = false;
      }
      for (const index of state.blockedBy) {
        const sum = inService(index, month);
        if (!isConstant(sum)) blockers.push(index);
        else if (sum.constant === 1) possible = false;
      }
      if (!possible || needs.some((index) => blockers.includes(index))) continue;
      if (needs.length === 0 && blockers.length === 0) {
        base = Math.max(base, value);
        alwaysSafe ||= safe;
      } else open.push({ value, safe, needs, blockers });
    }

    const chosen = (states: typeof open): number[] => {
      const picks = states.map(() => addVariable(0, 1));
      if (picks.length > 1) addRow(-INFINITY, 1, { constant: 0, entries: picks.map((pick) => [pick, 1]) });
      const using = new Map<number, number[]>();
      const against = new Map<number, number[]>();
      states.forEach((state, k) => {
        for (const index of state.needs) using.set(index, [...(using.get(index) ?? []), picks[k]!]);
        for (const index of state.blockers) against.set(index, [...(against.get(index) ?? []), picks[k]!]);
      });
      // Only one state is picked, so all picks that take a purchase share its one row.
      for (const [index, list] of using) {
        const row: Sum = { constant: 0, entries: list.map((pick) => [pick, 1]) };
        add(row, inService(index, month), -1);
        addRow(-INFINITY, 0, row);
      }
      for (const [index, list] of against) {
        const row: Sum = { constant: 0, entries: list.map((pick) => [pick, 1]) };
        add(row, inService(index, month), 1);
        addRow(-INFINITY, 1, row);
      }
      return picks;
    };

    const better = open.filter((state) => state.value > base);
    const picks = chosen(better);
    const value: Sum = { constant: base, entries: better.map((state, k) => [picks[k]!, state.value - base]) };
    if (alwaysSafe) return { value, severe: null };
    const safeStates = open.filter((state) => state.safe);
    // The picks made for value also show safety when every safe state is worth more than every severe one.
    const worstSafe = Math.min(...safeStates.map((state) => state.value));
    const bestSevere = Math.max(base, ...open.filter((state) => !state.safe).map((state) => state.value));
    const shared = worstSafe > bestSevere && safeStates.every((state) => better.includes(state));
    const safePicks = shared ? safeStates.map((state) => picks[better.indexOf(state)]!) : chosen(safeStates);
    if (safePicks.length === 0) return { value, severe: { constant: 1, entries: [] } };
    return { value, severe: { constant: 1, entries: safePicks.map((pick) => [pick, -1]) } };
  }

  return { variables, rows, figures, boughtBy, tail, prepared };
}

/**
 * The program of one stage: the figures of the stages before it may not be worse than in `reached`, within the tolerance
 * by which two plans count as equal.
 */
export function stageProgram(plan: WholePlan, stage: Stage, reached: Objective): Program {
  const rows = [...plan.rows];
  for (const earlier of STAGES.slice(0, STAGES.indexOf(stage))) {
    const sum = plan.figures[earlier];
    const value = reached[earlier];
    const slack = earlier === 'severe' ? 1e-4 : Math.abs(value) * RELATIVE_TOLERANCE;
    const lower = earlier === 'severe' ? -INFINITY : value - slack - sum.constant;
    const upper = earlier === 'severe' ? value + slack - sum.constant : INFINITY;
    rows.push({ lower, upper, entries: sum.entries });
  }
  const variables = plan.variables.map((variable) => ({ ...variable }));
  for (const [variable, coefficient] of plan.figures[stage].entries) variables[variable]!.cost += coefficient;
  return { sense: stage === 'severe' || stage === 'spend' ? 'minimise' : 'maximise', variables, rows };
}

/** The months bought that a point of the whole plan stands for; -1 where not bought. */
export function monthsOfPoint(plan: WholePlan, values: ArrayLike<number>): Int32Array {
  return Int32Array.from({ length: plan.prepared.count }, (_, index) => {
    if (plan.prepared.owned[index]) return -1;
    if (plan.prepared.fixedMonth[index]! >= 0) return plan.prepared.fixedMonth[index]!;
    return plan.boughtBy[index]!.findIndex((variable) => variable >= 0 && Math.round(values[variable]!) === 1);
  });
}

/** The whole variables of the program set as a schedule says, for an engine to start from. */
export function pointOfMonths(plan: WholePlan, bought: Int32Array): { variable: number; value: number }[] {
  const entries = new Map<number, number>();
  plan.boughtBy.forEach((list, index) => {
    list.forEach((variable, month) => {
      if (variable >= 0) entries.set(variable, bought[index]! >= 0 && bought[index]! <= month ? 1 : 0);
    });
  });
  return Array.from(entries, ([variable, value]) => ({ variable, value }));
}

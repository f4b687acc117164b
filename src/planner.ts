// The planner: a problem in, a row of plans out, each no worse than the one before, with what has been proved about the best.
// It decides when to search, when to prove and when to stop; it has no clock, so the same problem, seed and rounds give the
// same plan, and a caller with a clock simply stops asking.

import {
  boughtMonths,
  compareObjectives,
  firstBrokenRule,
  listBuys,
  measureSchedule,
  type PreparedProblem,
  prepareProblem,
} from './evaluate.ts';
import { planMonthByMonth } from './month-pick.ts';
import type { Buy, PlanAnswer, PlanningProblem } from './problem.ts';
import { monthsOfPoint, type WholePlan, wholePlanSize, writeWholePlan } from './program.ts';
import { MIDDLE_SIZE, proveBest, SMALL_SIZE, TINY_SIZE } from './proof.ts';
import { type FoundPlan, polishPlan, startSearch } from './search.ts';
import { type Program, solveLarge } from './solver.ts';
import { makeStanding } from './standing.ts';

/** How a plan is looked for. */
export type PlanOptions = {
  /** Seed of the search (1). */
  seed?: number | undefined;
  /** Rounds of search after the first plan; each takes about a tenth of a second (without end). */
  rounds?: number | undefined;
  /**
   * 'full': bounds and proofs for any size, however long they take; 'bounds' (default): bounds for any size, and whole proofs where they
   * take a few seconds; 'small': only those proofs; 'none': search alone.
   */
  exact?: 'full' | 'bounds' | 'small' | 'none' | undefined;
  /** A plan to start from, such as last month's; what is no longer possible in it is dropped. */
  start?: readonly Buy[] | undefined;
  /** Asked while an engine works and between rounds; true ends the planning with what there is. */
  stop?: (() => boolean) | undefined;
  /** Told of every better plan or bound at once, also while an engine works. */
  report?: ((answer: PlanAnswer) => void) | undefined;
};

/** Rounds of search before the first piece of proof: few where a proof is short, more where a search gains much at first; found by trial. */
function roundsBeforeProof(size: number): number {
  if (size <= TINY_SIZE) return 1;
  return size <= SMALL_SIZE ? 3 : 28;
}

/**
 * While an engine works on a larger proof, the search goes on in slices between, in step with the engine's simplex steps and
 * not with time; a step takes time in proportion to the rows. This many steps x rows take about as long as a slice.
 */
const SIMPLEX_WORK = 470_000;

/**
 * Plans, a round at a time. The first answer comes at once, each later one after a round of search or a finished proof, and
 * the sequence ends when the plan is proved best, when there is no plan, or after the rounds asked for.
 */
export async function* improvePlan(problem: PlanningProblem, options: PlanOptions = {}): AsyncGenerator<PlanAnswer> {
  const prepared = prepareProblem(problem);
  const exact = options.exact ?? 'bounds';
  const rounds = options.rounds ?? Number.POSITIVE_INFINITY;
  const size = wholePlanSize(prepared);
  const steps = Math.round(Math.max(300, Math.min(100 * size, 7_000_000 / Math.max(1, size))));
  const stopped = () => options.stop?.() === true;
  const search = startSearch(prepared, options.seed ?? 1);
  const standing = makeStanding(prepared);
  let round = 0;
  const answer = () => standing.answer(round);
  const take = (plan: FoundPlan | null): void => {
    if (plan !== null && standing.offer(plan)) options.report?.(answer());
  };

  if (options.start !== undefined) {
    const kept = keepPossible(prepared, options.start);
    if (kept !== null) search.adopt(kept);
  }
  take(search.best());
  if (standing.best() === null) {
    search.improve(steps);
    take(search.best());
  }
  if (standing.best() === null) {
    const outcome = await findAnyPlan(prepared, stopped);
    if (outcome.status === 'infeasible') {
      yield { ...outcome, rounds: round };
      return;
    }
    if (outcome.status === 'found') {
      search.adopt(outcome.bought);
      take(search.best());
    }
  }
  yield answer();
  if (rounds > 0 && !stopped()) {
    const monthly = planMonthByMonth(prepared);
    if (firstBrokenRule(prepared, monthly) === null) {
      const plan = polishPlan(prepared, { bought: monthly, objective: measureSchedule(prepared, monthly).sums });
      const best = standing.best();
      if (best === null || compareObjectives(plan.objective, best.objective) < 0) search.adopt(plan.bought);
      take(plan);
    }
  }

  let searchedAt = 0;
  const during = (simplexSteps: number, rows: number): boolean => {
    // Up to the middle size a search has found what it can before a proof begins, so the engine may work longer between.
    const stepsBetween = ((size <= MIDDLE_SIZE ? 5 : 1) * SIMPLEX_WORK) / rows;
    if (simplexSteps < searchedAt) searchedAt = 0;
    if (size > TINY_SIZE && simplexSteps - searchedAt >= stepsBetween) {
      searchedAt = simplexSteps;
      search.improve(Math.ceil(steps / 2));
      take(search.best());
    }
    return stopped();
  };
  const report = () => options.report?.(answer());
  const { adopt } = search;
  const thorough = exact === 'full';
  const proof = proveBest({ prepared, standing, thorough, size, adopt, during, report });
  let proving = exact !== 'none' && (exact !== 'small' || size <= SMALL_SIZE);
  try {
    while (round < rounds && !stopped()) {
      search.improve(steps);
      round++;
      take(search.best());
      const isDue = round >= roundsBeforeProof(size);
      if (proving && isDue && standing.best() !== null) proving = (await proof.next()).done !== true;
      yield answer();
      if (standing.isOptimal()) return;
    }
  } finally {
    await proof.return(undefined);
  }
}

/** Whether a problem is so small, by the whole variables of its whole plan, that the best plan is found and proved in a few seconds. */
export function isProvedInSeconds(problem: PlanningProblem): boolean {
  return wholePlanSize(prepareProblem(problem)) <= SMALL_SIZE;
}

/** The last and best answer of a planning: it ends by proof, by `rounds` or by `stop`, so one of the last two must be given. */
export async function bestPlan(problem: PlanningProblem, options: PlanOptions): Promise<PlanAnswer> {
  let last: PlanAnswer = { status: 'undecided', rounds: 0 };
  for await (const answer of improvePlan(problem, options)) last = answer;
  return last;
}

/**
 * A plan with each purchase that costs nothing in the earliest month in which all four figures stay as they are: a search that gains nothing by
 * its month leaves it in any, and nobody is asked to wait for what is free. Those of `urgent` are taken in too where they do no harm: what
 * cannot wait for a purchase is no less urgent because the purchase would do as much.
 */
export function freeAtOnce(
  problem: PlanningProblem,
  buys: readonly Buy[],
  urgent: ReadonlySet<string> = new Set(),
): Buy[] {
  const prepared = prepareProblem(problem);
  const months = boughtMonths(prepared, buys);
  const { sums } = measureSchedule(prepared, months);
  problem.purchases.forEach(({ id, price, monthlyCost }, index) => {
    const kept = months[index]!;
    const isFree = price === 0 && (monthlyCost ?? 0) === 0 && prepared.fixedMonth[index]! < 0 && !prepared.owned[index];
    if (!isFree || (kept < 0 && !urgent.has(id))) return;
    for (let month = prepared.earliest[index]!; month < (kept < 0 ? prepared.months : kept); month++) {
      months[index] = month;
      const isAllowed = firstBrokenRule(prepared, months) === null;
      if (isAllowed && compareObjectives(measureSchedule(prepared, months).sums, sums) <= 0) return;
    }
    months[index] = kept;
  });
  return listBuys(prepared, months);
}

/** The buys of an earlier plan that are still possible, as months; null when even these break a rule. */
function keepPossible(prepared: PreparedProblem, buys: readonly Buy[]): Int32Array | null {
  const indexOf = new Map(prepared.problem.purchases.map((purchase, index) => [purchase.id, index]));
  const possible = buys.filter(({ purchase, month }) => {
    const index = indexOf.get(purchase);
    if (index === undefined || prepared.owned[index] || !Number.isInteger(month)) return false;
    return month >= prepared.earliest[index]! && month <= prepared.latest[index]!;
  });
  const once = [...new Map(possible.map((buy) => [buy.purchase, buy])).values()];
  const bought = boughtMonths(prepared, once);
  prepared.fixedMonth.forEach((month, index) => {
    if (month >= 0) bought[index] = month;
  });
  return firstBrokenRule(prepared, bought) === null ? bought : null;
}

type AnyPlan =
  | { status: 'found'; bought: Int32Array }
  | { status: 'infeasible'; shortMonth: number; shortBy: number }
  | { status: 'undecided' };

/** Looks for any plan at all, or for the month in which the money that lasts longest is short, and by how much. */
async function findAnyPlan(prepared: PreparedProblem, stopped: () => boolean): Promise<AnyPlan> {
  const leastSpend = (plan: WholePlan) =>
    solveLarge(stageWithoutOthers(plan, plan.figures.spend), { during: () => stopped() });
  const whole = writeWholePlan(prepared);
  const outcome = await leastSpend(whole);
  if (outcome.status === 'optimal' || outcome.status === 'within-bound') {
    const bought = monthsOfPoint(whole, outcome.values);
    return firstBrokenRule(prepared, bought) === null ? { status: 'found', bought } : { status: 'undecided' };
  }
  if (outcome.status !== 'infeasible') return { status: 'undecided' };
  for (let month = 0; month < prepared.months; month++) {
    const plan = writeWholePlan(prepared, { moneyUntil: month, withTail: false });
    const least = await leastSpend(plan);
    if (least.status === 'infeasible') {
      // Only the first month can fail without money: what is fixed breaks a rule that no money mends.
      return { status: 'infeasible', shortMonth: month, shortBy: 0 };
    }
    if (least.status !== 'optimal') return { status: 'undecided' };
    const short = Math.round(least.objective + plan.figures.spend.constant - prepared.bareSlack[month]!);
    if (short > 0) return { status: 'infeasible', shortMonth: month, shortBy: short };
  }
  const free = writeWholePlan(prepared, { withTail: false });
  const tail = await solveLarge(stageWithoutOthers(free, free.tail), { during: () => stopped() });
  if (tail.status !== 'optimal') return { status: 'undecided' };
  const excess = tail.objective + free.tail.constant - prepared.tailIncome;
  return { status: 'infeasible', shortMonth: prepared.months - 1, shortBy: Math.max(1, Math.ceil(excess - 1e-6)) };
}

function stageWithoutOthers(plan: WholePlan, sum: { entries: [number, number][] }): Program {
  const variables = plan.variables.map((variable) => ({ ...variable }));
  for (const [variable, coefficient] of sum.entries) variables[variable]!.cost += coefficient;
  return { sense: 'minimise', variables, rows: plan.rows };
}

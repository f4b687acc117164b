// The planner: a problem in, a row of plans out, each no worse than the one before, with what has been proved about the best.
// It decides when to search, when to prove and when to stop; it has no clock, so the same problem, seed and rounds give the
// same plan, and a caller with a clock simply stops asking.

import {
  boughtMonths,
  compareObjectives,
  firstBrokenRule,
  listBuys,
  measureSchedule,
  nearlyEqual,
  type PreparedProblem,
  prepareProblem,
} from './evaluate.ts';
import type { Buy, Objective, PlanningProblem } from './problem.ts';
import {
  monthsOfPoint,
  planMonthByMonth,
  pointOfMonths,
  STAGES,
  type Stage,
  stageProgram,
  type WholePlan,
  wholePlanSize,
  writeWholePlan,
} from './program.ts';
import { type FoundPlan, polishPlan, startSearch } from './search.ts';
import { type Outcome, type Program, solveLarge } from './solver.ts';

/**
 * A plan and how sure it is. 'optimal': all four stages are proved. 'within-bound': both bounds are proved and a gap may be
 * left. 'best-found': nothing better was found. `severeBound`: no plan has fewer severe needs. `weightedBound`: no plan with
 * at most this plan's severe count has more points. A bound is null until it is proved. 'undecided': no plan was found, and
 * it was not proved that there is none. 'infeasible': the longest-lasting money is short in `shortMonth` by `shortBy`.
 */
export type PlanAnswer =
  | ({
      status: 'optimal' | 'within-bound' | 'best-found';
      buys: Buy[];
      severeBound: number | null;
      weightedBound: number | null;
      rounds: number;
    } & Objective)
  | { status: 'infeasible'; shortMonth: number; shortBy: number; rounds: number }
  | { status: 'undecided'; rounds: number };

/** An answer that is a plan. */
export type FoundAnswer = Extract<PlanAnswer, { buys: Buy[] }>;

/** How a plan is looked for. */
export type PlanOptions = {
  /** Seed of the search (1). */
  seed?: number | undefined;
  /** Rounds of search after the first plan; each takes about a tenth of a second (without end). */
  rounds?: number | undefined;
  /**
   * 'full': bounds and proofs for any size, however long they take; 'small' (default): only where they take a few seconds;
   * 'none': search alone.
   */
  exact?: 'full' | 'small' | 'none' | undefined;
  /** A plan to start from, such as last month's; what is no longer possible in it is dropped. */
  start?: readonly Buy[] | undefined;
  /** Asked while an engine works and between rounds; true ends the planning with what there is. */
  stop?: (() => boolean) | undefined;
  /** Told of every better plan or bound at once, also while an engine works. */
  report?: ((answer: PlanAnswer) => void) | undefined;
};

/** Whole variables up to which every stage is proved soon, and up to which bounds come before long. */
const SMALL_SIZE = 260;
const MIDDLE_SIZE = 1100;
const LARGE_SIZE = 3200;

/**
 * While an engine works on a larger proof, the search goes on in slices between, in step with the engine's simplex steps and
 * not with time; a step takes time in proportion to the rows. This many steps x rows take about as long as a slice.
 */
const SIMPLEX_WORK = 470_000;

/** A bound from an engine is moved by its tolerance, so that rounding never puts it on the wrong side of a plan. */
const BOUND_MARGIN = 2e-6;

/**
 * Plans, a round at a time. The first answer comes at once, each later one after a round of search or a finished proof, and
 * the sequence ends when the plan is proved best, when there is no plan, or after the rounds asked for.
 */
export async function* improvePlan(problem: PlanningProblem, options: PlanOptions = {}): AsyncGenerator<PlanAnswer> {
  const prepared = prepareProblem(problem);
  const exact = options.exact ?? 'small';
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

  const whenToProve = proofSchedule(size, exact);
  let proof: Proof | null = null;
  while (round < rounds && !stopped()) {
    search.improve(steps);
    round++;
    take(search.best());
    const tasks = whenToProve.filter((entry) => entry.round === round);
    for (const { task } of tasks) {
      if (standing.best() === null || stopped()) break;
      proof ??= { plan: writeWholePlan(prepared) };
      // On problems of middle size a search has found what it can before a proof begins, so the engine goes first.
      const stepsBetween = ((size <= MIDDLE_SIZE ? 5 : 1) * SIMPLEX_WORK) / proof.plan.rows.length;
      let searchedAt = 0;
      const during = (simplexSteps: number): boolean => {
        if (simplexSteps < searchedAt) searchedAt = 0;
        if (size > SMALL_SIZE && simplexSteps - searchedAt >= stepsBetween) {
          searchedAt = simplexSteps;
          search.improve(Math.ceil(steps / 2));
          take(search.best());
        }
        return stopped();
      };
      await prove(prepared, proof.plan, task, standing, search.adopt, during, () => options.report?.(answer()));
      if (standing.isOptimal()) break;
    }
    yield answer();
    if (standing.isOptimal()) return;
  }
}

/** The last and best answer of a planning: it ends by proof, by `rounds` or by `stop`, so one of the last two must be given. */
export async function bestPlan(problem: PlanningProblem, options: PlanOptions): Promise<PlanAnswer> {
  let last: PlanAnswer = { status: 'undecided', rounds: 0 };
  for await (const answer of improvePlan(problem, options)) last = answer;
  return last;
}

type Proof = { plan: WholePlan };
type Task = 'bounds' | 'severe' | 'all';

/** After which rounds which proof is tried: cheap bounds first, whole proofs once a search can gain little more. */
function proofSchedule(size: number, exact: 'full' | 'small' | 'none'): { round: number; task: Task }[] {
  if (exact === 'none') return [];
  if (size <= SMALL_SIZE) return [{ round: size <= 60 ? 1 : 3, task: 'all' }];
  if (exact === 'small') return [];
  if (size <= MIDDLE_SIZE) {
    return [
      { round: 10, task: 'bounds' },
      { round: 20, task: 'all' },
    ];
  }
  if (size <= LARGE_SIZE) {
    return [
      { round: 40, task: 'bounds' },
      { round: 60, task: 'severe' },
      { round: 140, task: 'all' },
    ];
  }
  return [
    { round: 60, task: 'bounds' },
    { round: 250, task: 'severe' },
    { round: 400, task: 'all' },
  ];
}

/** The best plan so far and what is proved about it. */
type Standing = {
  best(): FoundPlan | null;
  /** Takes a plan when it is feasible and better; true when taken. */
  offer(plan: FoundPlan): boolean;
  /** No plan has fewer severe needs than this (may be fractional). */
  proveSevere(bound: number): void;
  /** No plan with at most `severe` severe needs has more points than this. */
  proveWeighted(severe: number, bound: number): void;
  /** The best plan has all four figures proved. */
  proveOptimal(): void;
  isOptimal(): boolean;
  severeIsProved(): boolean;
  answer(rounds: number): PlanAnswer;
};

function makeStanding(prepared: PreparedProblem): Standing {
  let best: FoundPlan | null = null;
  let severeBound: number | null = null;
  let weightedBounds: { severe: number; bound: number }[] = [];
  let optimal = false;
  // With whole weights a month, the count of severe needs is whole too and its bound may be rounded up.
  const wholeCount = prepared.weight.every(Number.isInteger);
  const provedSevere = (): boolean =>
    best !== null && severeBound !== null && best.objective.severe <= severeBound + 1e-9;
  const weightedBound = (): number | null => {
    if (best === null) return null;
    const { severe, weighted } = best.objective;
    const fitting = weightedBounds.filter((entry) => severe <= entry.severe + 1e-9).map((entry) => entry.bound);
    return fitting.length === 0 ? null : Math.max(weighted, Math.min(...fitting));
  };
  return {
    best: () => best,
    offer(plan) {
      if (best !== null && compareObjectives(plan.objective, best.objective) >= 0) return false;
      if (firstBrokenRule(prepared, plan.bought) !== null) return false;
      best = { bought: plan.bought.slice(), objective: measureSchedule(prepared, plan.bought).sums };
      return true;
    },
    proveSevere(bound) {
      const safe = bound - BOUND_MARGIN * Math.max(1, Math.abs(bound)) * 10;
      const usable = Math.max(0, wholeCount ? Math.ceil(safe) : safe);
      severeBound = Math.max(severeBound ?? 0, usable);
    },
    proveWeighted(severe, bound) {
      weightedBounds = [...weightedBounds, { severe, bound: bound + BOUND_MARGIN * Math.max(1, Math.abs(bound)) }];
    },
    proveOptimal() {
      optimal = true;
    },
    isOptimal: () => optimal,
    severeIsProved: provedSevere,
    answer(rounds) {
      if (best === null) return { status: 'undecided', rounds };
      const { objective } = best;
      const bound = optimal ? objective.weighted : weightedBound();
      const severe = severeBound === null ? null : Math.min(severeBound, objective.severe);
      const status = optimal ? 'optimal' : severe !== null && bound !== null ? 'within-bound' : 'best-found';
      return {
        status,
        buys: listBuys(prepared, best.bought),
        ...objective,
        severeBound: severe,
        weightedBound: bound,
        rounds,
      };
    },
  };
}

function relaxed(program: Program): Program {
  return { ...program, variables: program.variables.map((variable) => ({ ...variable, whole: false })) };
}

/** Tries one proof and tells the standing what came out. Leaves everything as it was when nothing came out. */
async function prove(
  prepared: PreparedProblem,
  plan: WholePlan,
  task: Task,
  standing: Standing,
  adopt: (bought: Int32Array) => void,
  during: (simplexSteps: number) => boolean,
  report: () => void,
): Promise<void> {
  const reached = (): Objective => standing.best()!.objective;
  const tell = (stage: Stage, severe: number, bound: number): void => {
    if (stage === 'severe') standing.proveSevere(bound + plan.figures.severe.constant);
    else if (stage === 'weighted') standing.proveWeighted(severe, bound + plan.figures.weighted.constant);
  };
  for (const stage of task === 'severe' ? STAGES.slice(0, 1) : STAGES) {
    if (task === 'bounds') {
      if (stage === 'mean') return;
      const severe = reached().severe;
      const outcome = await solveLarge(relaxed(stageProgram(plan, stage, reached())), {
        during: () => during(0),
      });
      if (outcome.status === 'optimal') tell(stage, severe, outcome.objective);
      report();
      continue;
    }
    if (stage === 'severe' && standing.severeIsProved()) continue;
    const from = reached();
    const outcome: Outcome = await solveLarge(stageProgram(plan, stage, from), {
      start: pointOfMonths(plan, standing.best()!.bought),
      during: (bound, simplexSteps) => {
        if (bound !== null) tell(stage, from.severe, bound);
        if (during(simplexSteps)) return true;
        return stage === 'severe' && standing.severeIsProved();
      },
    });
    if (outcome.status === 'undecided' && outcome.bound !== null) tell(stage, from.severe, outcome.bound);
    if (outcome.status === 'optimal' || outcome.status === 'within-bound') {
      tell(stage, from.severe, outcome.bound);
      const bought = monthsOfPoint(plan, outcome.values);
      if (firstBrokenRule(prepared, bought) === null) {
        const { sums } = measureSchedule(prepared, bought);
        const found = polishPlan(prepared, { bought, objective: sums });
        if (standing.offer(found)) adopt(found.bought);
      }
    }
    report();
    if (stage === 'severe') {
      if (!standing.severeIsProved()) return;
      continue;
    }
    // A stage counts as proved only when the best plan reaches the engine's own optimum of that stage.
    if (outcome.status !== 'optimal') return;
    const figure = outcome.objective + plan.figures[stage].constant;
    const own = reached()[stage];
    const equal = stage === 'spend' ? Math.abs(own - figure) < 0.5 : nearlyEqual(own, figure);
    const better = stage === 'spend' ? own < figure : own > figure;
    if (!equal && !better) return;
  }
  if (task === 'all') standing.proveOptimal();
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

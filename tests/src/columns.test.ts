// Work by columns against every schedule: bounds that no plan passes at any round, nothing ruled out that a wanted plan holds, and plans
// from the choice of columns that the referee accepts.

import { expect, test, vi } from 'vitest';
import { type Aim, type ColumnWork, startColumns } from '../../src/columns.ts';
import { measureSchedule, type PreparedProblem, prepareProblem, serviceStart } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import { stageProgram, writeWholePlan } from '../../src/program.ts';
import { startSearch } from '../../src/search.ts';
import { solveLarge } from '../../src/solver.ts';
import { bestByExactProgram } from '../support/exact-program.ts';
import { randomProblem } from '../support/random-problem.ts';
import { everySchedule, judge, type Verdict } from '../support/referee.ts';

vi.setConfig({ testTimeout: 120_000 });

type Plan = { bought: Int32Array; verdict: Extract<Verdict, { feasible: true }> };
type Tried = { problem: PlanningProblem; prepared: PreparedProblem; plans: Plan[]; seed: number };

const MOST_ROUNDS = 200;

/** Random problems with all their feasible schedules whose service starts inside the plan, as the columns know no other. */
const problems: Tried[] = [];
for (let seed = 12_001; seed <= 12_070; seed++) {
  const problem = randomProblem(seed);
  const prepared = prepareProblem(problem);
  const plans: Plan[] = [];
  for (const months of everySchedule(problem)) {
    const bought = Int32Array.from(months, (month) => month ?? -1);
    const late = (month: number, index: number) => month >= 0 && serviceStart(prepared, index, month) >= problem.months;
    if (bought.some(late)) continue;
    const verdict = judge(problem, months);
    if (verdict.feasible) plans.push({ bought, verdict });
  }
  if (plans.length > 1) problems.push({ problem, prepared, plans, seed });
}

const fewest = (plans: readonly Plan[]) => Math.min(...plans.map(({ verdict }) => verdict.severe));
const mostPoints = (plans: readonly Plan[], severeAtMost: number) =>
  Math.max(...plans.filter(({ verdict }) => verdict.severe <= severeAtMost).map(({ verdict }) => verdict.weighted));

/** Works on each problem that can be cut into blocks, from its first feasible schedule, which is seldom a good one. */
async function onEach(work: (columns: ColumnWork, tried: Tried) => Promise<void> | void): Promise<number> {
  let count = 0;
  for (const tried of problems) {
    const columns = await startColumns(tried.prepared, tried.plans[0]!.bought);
    if (columns === null) continue;
    try {
      await work(columns, tried);
    } finally {
      columns.close();
    }
    count++;
  }
  return count;
}

/** Tightens until nothing is missing, with a look at every bound on the way. */
function settle(columns: ColumnWork, aim: Aim, look: (bound: number) => void): number {
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { bound, settled } = columns.tighten(aim);
    look(bound);
    if (settled) return bound;
  }
  throw new Error(`the columns are not settled after ${MOST_ROUNDS} rounds`);
}

test('at every round no schedule has fewer severe needs, or more points with as few, than the bound allows', async () => {
  let [rounds, met] = [0, 0];
  const count = await onEach((columns, { plans, seed }) => {
    const least = fewest(plans);
    settle(columns, { aim: 'severe' }, (bound) => {
      expect(bound, `seed ${seed}`).toBeLessThanOrEqual(least + 1e-6);
      rounds++;
    });
    for (const severeAtMost of new Set([least, plans[0]!.verdict.severe])) {
      const most = mostPoints(plans, severeAtMost);
      columns.learn(plans.find(({ verdict }) => verdict.severe <= severeAtMost)!.bought);
      const bound = settle(columns, { aim: 'weighted', severeAtMost }, (one) => {
        expect(one, `seed ${seed}`).toBeGreaterThanOrEqual(most * (1 - 1e-9) - 1e-6);
        rounds++;
      });
      if (bound <= most * 1.001 + 1e-6) met++;
    }
  });
  expect(count).toBeGreaterThan(40);
  expect(rounds).toBeGreaterThan(300);
  // A bound that is never met would show nothing when it is too weak.
  expect(met).toBeGreaterThan(20);
});

test('the settled bound is nearly always as tight as the relaxed program of the whole plan', async () => {
  let [tighter, compared] = [0, 0];
  await onEach(async (columns, { prepared, plans }) => {
    const severeAtMost = fewest(plans);
    const whole = writeWholePlan(prepared);
    const reached = { severe: severeAtMost, weighted: 0, mean: 0, spend: 0 };
    const program = stageProgram(whole, 'weighted', reached);
    const variables = program.variables.map((one) => ({ ...one, whole: false }));
    const outcome = await solveLarge({ ...program, variables });
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    const relaxed = outcome.objective + whole.figures.weighted.constant;
    columns.learn(plans.find(({ verdict }) => verdict.severe === severeAtMost)!.bought);
    const bound = settle(columns, { aim: 'weighted', severeAtMost }, () => undefined);
    if (bound <= relaxed * (1 + 1e-5) + 1e-3) tighter++;
    compared++;
  });
  expect(compared).toBeGreaterThan(40);
  expect(tighter / compared).toBeGreaterThan(0.9);
});

test('what is ruled out is in no schedule that is good enough, and bounds hold for those afterwards', async () => {
  let [ruledOut, kept] = [0, 0];
  await onEach((columns, { prepared, plans, seed }) => {
    const severeAtMost = fewest(plans);
    const aim: Aim = { aim: 'weighted', severeAtMost };
    const most = mostPoints(plans, severeAtMost);
    columns.learn(plans.find(({ verdict }) => verdict.severe === severeAtMost)!.bought);
    settle(columns, aim, () => undefined);
    const needed = most - 0.002 * Math.abs(most);
    ruledOut += columns.narrow(aim, needed);
    const enough = plans.filter(({ verdict }) => verdict.severe <= severeAtMost && verdict.weighted >= needed);
    for (const { bought } of enough) {
      bought.forEach((month, index) => {
        if (prepared.owned[index] || prepared.fixedMonth[index]! >= 0) return;
        expect(columns.allows(index, month < 0 ? prepared.months : month), `seed ${seed}`).toBe(true);
        kept++;
      });
    }
    columns.learn(enough[0]!.bought);
    settle(columns, aim, (bound) => expect(bound, `seed ${seed}`).toBeGreaterThanOrEqual(most * (1 - 1e-9) - 1e-6));
  });
  expect(ruledOut).toBeGreaterThan(300);
  expect(kept).toBeGreaterThan(200);
});

test('what was ruled out for one count of severe needs does not narrow the bound for a smaller one', async () => {
  let compared = 0;
  await onEach((columns, { plans, seed }) => {
    const least = fewest(plans);
    const higher = Math.max(...plans.map(({ verdict }) => verdict.severe));
    const [most, fewer] = [mostPoints(plans, higher), mostPoints(plans, least)];
    if (fewer >= most * (1 - 1e-4)) return;
    settle(columns, { aim: 'weighted', severeAtMost: higher }, () => undefined);
    columns.narrow({ aim: 'weighted', severeAtMost: higher }, most);
    columns.learn(plans.find(({ verdict }) => verdict.severe === least)!.bought);
    const aim: Aim = { aim: 'weighted', severeAtMost: least };
    settle(columns, aim, (bound) => expect(bound, `seed ${seed}`).toBeGreaterThanOrEqual(fewer * (1 - 1e-9) - 1e-6));
    for (let split = 0; split < 3; split++) {
      expect(columns.branch(aim, fewer * (1 - 2e-6)).bound, `seed ${seed}`).toBeGreaterThanOrEqual(fewer * (1 - 2e-6));
    }
    compared++;
  });
  expect(compared).toBeGreaterThanOrEqual(5);
});

test('splitting ends with a bound that the best schedule meets, and never passes below it', async () => {
  let [ended, met] = [0, 0];
  await onEach((columns, { plans, seed }) => {
    const severeAtMost = fewest(plans);
    const aim: Aim = { aim: 'weighted', severeAtMost };
    const most = mostPoints(plans, severeAtMost);
    columns.learn(plans.find(({ verdict }) => verdict.severe === severeAtMost)!.bought);
    settle(columns, aim, () => undefined);
    const needed = most - 2e-6 * Math.abs(most);
    for (let split = 0; split < 60; split++) {
      const { bound, open } = columns.branch(aim, needed);
      expect(bound, `seed ${seed}`).toBeGreaterThanOrEqual(most * (1 - 2.1e-6) - 1e-9);
      if (open > 0) continue;
      ended++;
      if (bound <= most * (1 + 1e-5) + 1e-6) met++;
      break;
    }
  });
  expect(ended).toBeGreaterThan(35);
  expect(met / ended).toBeGreaterThan(0.8);
});

test('splitting loses no schedule: where less is asked for than the best has, the bound stays at or above the best', async () => {
  let splits = 0;
  for (let seed = 12_101; seed <= 12_112; seed++) {
    const problem = randomProblem(seed, 7, 6);
    const best = await bestByExactProgram(problem);
    if (best === null) continue;
    const prepared = prepareProblem(problem);
    const search = startSearch(prepared, 1);
    search.improve(300);
    const start = search.best();
    const columns = start && (await startColumns(prepared, start.bought));
    if (start === null || columns === null) continue;
    for (const severeAtMost of [best.severe, start.objective.severe + 1]) {
      const aim: Aim = { aim: 'weighted', severeAtMost };
      settle(columns, aim, () => undefined);
      const needed = best.weighted - 0.1 * Math.abs(best.weighted);
      for (let split = 0; split < 40; split++) {
        const { bound, open } = columns.branch(aim, needed);
        expect(bound, `seed ${seed}, split ${split}`).toBeGreaterThanOrEqual(best.weighted * (1 - 1e-7) - 1e-6);
        if (open === 0) break;
        splits++;
      }
    }
    columns.close();
  }
  expect(splits).toBeGreaterThan(40);
});

test('a choice among the columns is nearly always a plan the referee accepts, with the points that the choice counts', async () => {
  let [chosen, plans, best] = [0, 0, 0];
  await onEach(async (columns, tried) => {
    const severeAtMost = fewest(tried.plans);
    const aim: Aim = { aim: 'weighted', severeAtMost };
    columns.learn(tried.plans.find(({ verdict }) => verdict.severe === severeAtMost)!.bought);
    settle(columns, aim, () => undefined);
    const { program, planOf } = columns.choice(aim);
    const outcome = await solveLarge(program);
    if (outcome.status !== 'optimal') throw new Error(`seed ${tried.seed}: ${outcome.status}`);
    const bought = planOf(outcome.values);
    const verdict = judge(
      tried.problem,
      Array.from(bought, (month) => (month < 0 ? null : month)),
    );
    // The blocks may look better than they are, so a choice may break a rule; whoever uses it looks at that first.
    chosen++;
    if (!verdict.feasible) return;
    expect(verdict.severe).toBeLessThanOrEqual(severeAtMost);
    expect(-outcome.objective, `seed ${tried.seed}`).toBeCloseTo(verdict.weighted, 4);
    expect(measureSchedule(tried.prepared, bought).sums.spend).toBe(verdict.spend);
    plans++;
    if (verdict.weighted >= mostPoints(tried.plans, severeAtMost) - 1e-6) best++;
  });
  expect(plans).toBeGreaterThan(40);
  expect(plans / chosen).toBeGreaterThan(0.9);
  expect(best / plans).toBeGreaterThan(0.5);
});

// The programs against trying everything: each stage of the whole plan, bounds by relaxation.

import { expect, test, vi } from 'vitest';
import { firstBrokenRule, measureSchedule, prepareProblem } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import { monthsOfPoint, pointOfMonths, STAGES, stageProgram, writeWholePlan } from '../../src/program.ts';
import { solveLarge, solveSmall } from '../../src/solver.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { randomProblem, withMoreRetired } from '../support/random-problem.ts';
import { bestByTryingAll, everySchedule, judge } from '../support/referee.ts';

vi.setConfig({ testTimeout: 120_000 });

const example = workedExample as PlanningProblem;

test('every schedule is feasible in the program exactly when the referee says so, with the same four figures', async () => {
  let feasible = 0;
  let refused = 0;
  for (let seed = 2001; seed <= 2020; seed++) {
    const random = randomProblem(seed, 3);
    const problem = seed <= 2012 ? random : withMoreRetired(random, seed);
    const prepared = prepareProblem(problem);
    const plan = writeWholePlan(prepared);
    let number = 0;
    for (const months of everySchedule(problem)) {
      if (number++ % 4 !== 0) continue;
      const bought = Int32Array.from(months, (month) => month ?? -1);
      // Service that starts after the plan is left out of the program when nothing fixed asks for it.
      if (months.some((m, i) => m !== null && m + (problem.purchases[i]!.lead ?? 0) >= problem.months)) continue;
      const verdict = judge(problem, months);
      const pinned = new Map(pointOfMonths(plan, bought).map(({ variable, value }) => [variable, value]));
      for (const stage of verdict.feasible ? STAGES : STAGES.slice(0, 1)) {
        const { sense, rows, variables } = stageProgram({ ...plan }, stage, {
          severe: 1e6,
          weighted: 0,
          mean: 0,
          spend: 0,
        });
        const outcome = await solveLarge({
          sense,
          rows,
          variables: variables.map((variable, k) => {
            const value = pinned.get(k);
            return value === undefined ? variable : { ...variable, lower: value, upper: value };
          }),
        });
        if (!verdict.feasible) {
          expect(outcome.status, `${seed} ${months}`).toBe('infeasible');
          refused++;
          continue;
        }
        if (outcome.status !== 'optimal') throw new Error(`${seed} ${months}: ${outcome.status}`);
        expect(outcome.objective + plan.figures[stage].constant, `${seed} ${stage} ${months}`).toBeCloseTo(
          verdict[stage],
          3,
        );
        feasible++;
      }
    }
  }
  expect(feasible).toBeGreaterThan(100);
  expect(refused).toBeGreaterThan(30);
});

test.each([0, 1, 2, 3])('money that is short in month %i alone is enough to refuse a purchase', async (short) => {
  const problem: PlanningProblem = {
    months: 4,
    creditMonths: 0,
    openingCash: 1000,
    // What is promised in one month comes back in the next.
    income: [0, 1, 2, 3].map((month) => (month === short + 1 ? 700 : 0)),
    committed: [0, 1, 2, 3].map((month) => (month === short ? 700 : 0)),
    purchases: [{ id: 'a', price: 400 }],
    animals: [],
  };
  const plan = writeWholePlan(prepareProblem(problem));
  const { sense, rows, variables } = stageProgram(plan, 'severe', { severe: 0, weighted: 0, mean: 0, spend: 0 });
  for (const bought of [0, -1]) {
    const pinned = new Map(
      pointOfMonths(plan, Int32Array.from([bought])).map(({ variable, value }) => [variable, value]),
    );
    const outcome = await solveLarge({
      sense,
      rows,
      variables: variables.map((one, k) => ({
        ...one,
        lower: pinned.get(k) ?? one.lower,
        upper: pinned.get(k) ?? one.upper,
      })),
    });
    expect(outcome.status).toBe(bought === 0 ? 'infeasible' : 'optimal');
    expect(judge(problem, [bought === 0 ? 0 : null]).feasible).toBe(bought !== 0);
  }
});

test('the relaxation is never on the wrong side of the best of all schedules', async () => {
  let compared = 0;
  for (let seed = 3001; seed <= 3060; seed++) {
    const problem = randomProblem(seed);
    const best = bestByTryingAll(problem);
    if (best === null) continue;
    const plan = writeWholePlan(prepareProblem(problem));
    for (const stage of ['severe', 'weighted'] as const) {
      const program = stageProgram(plan, stage, best);
      const outcome = await solveLarge({
        ...program,
        variables: program.variables.map((v) => ({ ...v, whole: false })),
      });
      if (outcome.status !== 'optimal') throw new Error(outcome.status);
      const bound = outcome.objective + plan.figures[stage].constant;
      if (stage === 'severe') expect(bound).toBeLessThanOrEqual(best.severe + 1e-5);
      else expect(bound).toBeGreaterThanOrEqual(best.weighted - 1e-5 * best.weighted);
      compared++;
    }
  }
  expect(compared).toBeGreaterThan(60);
});

test('each stage, with what the stages before it reached, ends at the figure of the best of all schedules', async () => {
  let compared = 0;
  for (let seed = 3101; seed <= 3150; seed++) {
    const problem = seed <= 3130 ? randomProblem(seed) : withMoreRetired(randomProblem(seed), seed);
    const best = bestByTryingAll(problem);
    if (best === null) continue;
    const plan = writeWholePlan(prepareProblem(problem));
    for (const stage of STAGES) {
      const outcome = await solveLarge(stageProgram(plan, stage, best));
      if (outcome.status !== 'optimal') throw new Error(`seed ${seed}, ${stage}: ${outcome.status}`);
      const figure = outcome.objective + plan.figures[stage].constant;
      // What is kept of an earlier stage may be less by the millionth within which two sums are equal.
      const margin = stage === 'severe' || stage === 'spend' ? 1e-3 : 3e-5 * Math.abs(best[stage]) + 1e-3;
      if (stage !== 'spend') expect(Math.abs(figure - best[stage]), `seed ${seed}, ${stage}`).toBeLessThan(margin);
      else expect(figure, `seed ${seed}`).toBeLessThanOrEqual(best.spend + margin);
      compared++;
    }
  }
  expect(compared).toBeGreaterThan(100);
});

test('a stage keeps what the stages before it reached', async () => {
  const prepared = prepareProblem(example);
  const plan = writeWholePlan(prepared);
  const outcome = await solveLarge(stageProgram(plan, 'spend', { severe: 0, weighted: 3845, mean: 0, spend: 0 }));
  if (outcome.status !== 'optimal') throw new Error(outcome.status);
  const bought = monthsOfPoint(plan, outcome.values);
  expect(firstBrokenRule(prepared, bought)).toBeNull();
  // Worked example: the runner-up reaches 3845 and spends 125.00 where the best spends 170.00.
  expect(measureSchedule(prepared, bought).sums).toMatchObject({ severe: 0, spend: 12500 });
});

test('both engines reach the same optimum on single stages of small whole plans', async () => {
  let compared = 0;
  for (let seed = 5001; seed <= 5030; seed++) {
    const problem = { ...randomProblem(seed, 3), months: 2 };
    const prepared = prepareProblem(shorten(problem, 2));
    const plan = writeWholePlan(prepared);
    const program = stageProgram(plan, 'severe', { severe: 0, weighted: 0, mean: 0, spend: 0 });
    // The small engine needs finite lower bounds: what is paid for running is at least minus all savings.
    const bounded = { ...program, variables: program.variables.map((v) => ({ ...v, lower: Math.max(v.lower, -1e6) })) };
    const small = solveSmall(bounded);
    const large = await solveLarge(program);
    expect(small.status).toBe(large.status);
    if (small.status !== 'optimal' || large.status !== 'optimal') continue;
    expect(small.objective).toBeCloseTo(large.objective, 4);
    compared++;
  }
  expect(compared).toBeGreaterThan(15);
});

function shorten(problem: PlanningProblem, months: number): PlanningProblem {
  const cut = <T>(list: T): T => (Array.isArray(list) ? (list.slice(0, months) as T) : list);
  return {
    ...problem,
    months,
    income: cut(problem.income),
    committed: cut(problem.committed),
    reserve: cut(problem.reserve),
    purchases: problem.purchases.map((purchase) =>
      purchase.fixedMonth === undefined ? purchase : { ...purchase, fixedMonth: Math.min(purchase.fixedMonth, 1) },
    ),
    animals: problem.animals.map((animal) => ({
      ...animal,
      from: Math.min(animal.from ?? 0, months),
      until: Math.min(animal.until ?? months, months),
      needs: animal.needs.map((need) => ({
        ...need,
        offMonths: need.offMonths?.filter((month) => month < months),
        states: need.states.map((state) => ({ ...state, value: cut(state.value) })),
      })),
    })),
  };
}

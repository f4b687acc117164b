// The benchmark's own parts: what it reads off a run, the made-up problems, the rivals, and the checks, each seen to fail as well.

import { describe, expect, test } from 'vitest';
import { readProblem } from '../../server/problem-file.ts';
import { listBuys, prepareProblem } from '../../src/evaluate.ts';
import type { Objective, PlanningProblem } from '../../src/problem.ts';
import tiny from '../cases/plan/tiny.json' with { type: 'json' };
import { better, judgeBuys } from '../support/referee.ts';
import { annealPlainly } from './annealer.ts';
import { caseNamed, FILED_CASES } from './cases.ts';
import { type CaseRuns, checksOf, uselessBuys } from './goals.ts';
import { type EngineNews, solveByEngineAlone } from './highs-alone.ts';
import { fitExponent, gapOf, standingAt } from './marks.ts';
import type { Standing } from './run.ts';

const cases = tiny as unknown as { seed: number; problem: PlanningProblem; optimum: 'infeasible' | Objective }[];
const solvable = cases.filter(({ optimum }) => optimum !== 'infeasible').slice(0, 20) as {
  problem: PlanningProblem;
  optimum: Objective;
}[];

/** A clock that has passed after so many looks. */
const looks = (most: number) => {
  let count = 0;
  return () => ++count / most;
};

test('the plain annealer reaches the proved optimum of nearly every tiny problem, and never claims more', () => {
  let reached = 0;
  for (const { problem, optimum } of solvable) {
    const prepared = prepareProblem(problem);
    let best: Standing['buys'] = [];
    annealPlainly(prepared, 1, looks(100), (bought) => {
      best = listBuys(prepared, bought);
    });
    const verdict = judgeBuys(problem, best);
    if (!verdict.feasible) continue;
    expect(better(verdict, optimum)).toBe(false);
    if (!better(optimum, verdict)) reached++;
  }
  expect(reached).toBeGreaterThanOrEqual(15);
});

test('the engine alone proves the severe count and the points of the tiny problems', async () => {
  for (const { problem, optimum } of solvable) {
    let last: EngineNews | null = null;
    await solveByEngineAlone(
      prepareProblem(problem),
      () => 0,
      (news) => {
        last = news;
      },
    );
    const { buys, severeBound, weightedBound } = last as unknown as EngineNews;
    const verdict = judgeBuys(problem, buys);
    if (!verdict.feasible) throw new Error(verdict.because);
    expect(verdict.severe).toBe(optimum.severe);
    expect(verdict.weighted).toBeCloseTo(optimum.weighted, 3);
    expect(severeBound).toBeCloseTo(optimum.severe, 3);
    expect(weightedBound).toBeCloseTo(optimum.weighted, 3);
  }
});

test.each([
  [2, 6],
  [3, 12],
  [24, 24],
  [48, 12],
])('a made-up problem of %i animals over %i months keeps every rule of the form', (animals, months) => {
  return caseNamed(`made-up-${animals}-${months}`).then(({ problem }) => {
    expect(readProblem(JSON.stringify(problem))).toMatchObject({ status: 'read' });
    expect([problem.animals.length, problem.months]).toEqual([animals, months]);
    // As in the filed cases, ten to twelve purchases an animal with what it shares and owns.
    expect(problem.purchases.length / animals).toBeGreaterThan(10);
    expect(problem.purchases.length / animals).toBeLessThan(13);
    const nothing = judgeBuys(
      problem,
      problem.purchases.flatMap(({ id, fixedMonth: month }) => (month === undefined ? [] : [{ purchase: id, month }])),
    );
    expect(nothing.feasible).toBe(true);
  });
});

test('every filed case can be read', async () => {
  for (const name of FILED_CASES) expect((await caseNamed(name)).problem.purchases.length).toBeGreaterThan(20);
});

test('a power law gives its exponent back, and one size gives none', () => {
  const points = [2, 4, 8, 48].map((size) => ({ size, time: 0.3 * size ** 1.7 }));
  expect(fitExponent(points)).toBeCloseTo(1.7, 9);
  expect(fitExponent([points[0]!, points[0]!])).toBeNull();
});

describe('the checks of a case', () => {
  const problem: PlanningProblem = {
    months: 2,
    creditMonths: 0,
    income: [100, 100],
    purchases: [
      { id: 'lamp', price: 100 },
      { id: 'shade', price: 50, requires: ['lamp'] },
    ],
    animals: [
      {
        id: 'a',
        needs: [
          {
            need: 'heat',
            weight: 1,
            allowance: 100,
            lifeCritical: true,
            states: [
              { value: 10, needs: [] },
              { value: 50, needs: ['lamp'] },
            ],
          },
        ],
      },
    ],
  };
  const plan = (buys: Standing['buys'], parts: Partial<Standing> = {}): Standing => {
    const verdict = judgeBuys(problem, buys);
    if (!verdict.feasible) throw new Error(verdict.because);
    const { severe, weighted, mean, spend } = verdict;
    const none = { severeBound: null, weightedBound: null };
    return { status: 'best-found', buys, severe, weighted, mean, spend, ...none, ...parts };
  };
  const lamp = { purchase: 'lamp', month: 0 };
  const good = plan([lamp], { severeBound: 0, weightedBound: 282 });
  const runs = (planner: Standing, parts: Partial<CaseRuns> = {}): CaseRuns => ({
    name: 'made by hand',
    problem,
    bestKnown: null,
    seconds: 5,
    planner: [{ at: 500, standing: planner }],
    annealer: [{ at: 500, standing: plan([lamp]) }],
    engine: [{ at: 500, standing: plan([]) }],
    ...parts,
  });
  const missed = (given: CaseRuns) =>
    checksOf(given)
      .filter(({ held }) => !held)
      .map(({ goal }) => goal);

  test('hold for the best plan with bounds above it', () => {
    expect(missed(runs(good))).toEqual([]);
    expect(checksOf(runs(good)).length).toBeGreaterThan(5);
    // By hand: 3 x 40 + 2 x 10 a month; a bound of 282 is two of 280 above.
    expect(good.weighted).toBe(280);
    expect(gapOf(good)).toBeCloseTo(2 / 280, 9);
    expect(standingAt([{ at: 500, standing: good }], 0.4)).toBeNull();
  });

  test('fail for a plan that is late, beaten, falsely bounded, falsely told or holds what is useless', () => {
    expect(missed(runs(good, { planner: [{ at: 1500, standing: good }] }))).toContain('a complete plan in 1 s');
    const late = { ...lamp, month: 1 };
    expect(missed(runs(plan([late]))).join()).toContain('worse than a plain annealer');
    expect(missed(runs(plan([]), { annealer: null, engine: [{ at: 1, standing: good }] })).join()).toContain(
      'not worse than the engine alone',
    );
    expect(missed(runs({ ...good, severeBound: 1 })).join()).toContain('wrong side');
    expect(missed(runs({ ...good, weightedBound: 279 })).join()).toContain('wrong side');
    expect(missed(runs({ ...good, spend: 99 })).join()).toContain('by the referee');
    const withShade = plan([lamp, { purchase: 'shade', month: 1 }]);
    expect(uselessBuys(problem, withShade.buys)).toEqual(['shade']);
    expect(missed(runs(withShade)).join()).toContain('dropped without loss');
  });

  test('compare with the best known by severe needs first and then points', () => {
    const bestKnown = { severe: 1, weighted: 500, mean: 0, spend: 0 };
    const own = (planner: Standing) =>
      checksOf(runs(planner, { name: 'two-animals-six-months', bestKnown })).find(({ goal }) =>
        goal.startsWith('at least the best known'),
      )!.held;
    expect(own(good)).toBe(true);
    expect(own({ ...good, severe: 1 })).toBe(false);
    expect(own({ ...good, severe: 1, weighted: 500 })).toBe(true);
  });
});

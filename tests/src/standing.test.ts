// How a bound becomes a claim: moved to the safe side, never told for plans it was not proved for, and never 'optimal' by itself.

import { expect, test } from 'vitest';
import { firstBrokenRule, measureSchedule, prepareProblem } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import type { FoundPlan } from '../../src/search.ts';
import { makeStanding } from '../../src/standing.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };

const example = workedExample as PlanningProblem;
const prepared = prepareProblem(example);

/** A plan of the worked example by the months of its four purchases, -1 for not bought. */
function planOf(...months: number[]): FoundPlan {
  const bought = Int32Array.from(months);
  return { bought, objective: measureSchedule(prepared, bought).sums };
}
// By hand in the worked example: the best has 3852 points, the runner-up 3845; doing nothing 2904, with severe needs.
const best = planOf(0, -1, 2, -1);
const runnerUp = planOf(0, 2, -1, 1);
const nothing = planOf(-1, -1, -1, -1);

function answerOf(plans: FoundPlan[], prove: (standing: ReturnType<typeof makeStanding>) => void, problem = prepared) {
  const standing = makeStanding(problem);
  for (const plan of plans) standing.offer(plan);
  prove(standing);
  const answer = standing.answer(7);
  if (!('buys' in answer)) throw new Error(answer.status);
  return answer;
}

test('a plan is taken only when it is feasible and better', () => {
  const standing = makeStanding(prepared);
  expect(standing.answer(0)).toEqual({ status: 'undecided', rounds: 0 });
  expect(standing.offer(runnerUp)).toBe(true);
  expect(standing.offer(nothing)).toBe(false);
  expect(standing.offer(runnerUp)).toBe(false);
  const tooDear = planOf(0, 0, 0, 0);
  expect(firstBrokenRule(prepared, tooDear.bought)).not.toBeNull();
  expect(standing.offer({ ...tooDear, objective: { ...best.objective, weighted: 9999 } })).toBe(false);
  expect(standing.offer(best)).toBe(true);
  expect(standing.best()!.objective.weighted).toBeCloseTo(3852, 6);
});

test('nothing proved is told as nothing, one bound is not enough, and two bounds are not an optimum', () => {
  const none = answerOf([best], () => undefined);
  expect(none).toMatchObject({ status: 'best-found', severeBound: null, weightedBound: null, rounds: 7 });
  expect(answerOf([best], (standing) => standing.proveSevere(0)).status).toBe('best-found');
  const met = answerOf([best], (standing) => {
    standing.proveSevere(0);
    standing.proveWeighted(0, 3852);
  });
  expect(met.status).toBe('within-bound');
  const closed = answerOf([best], (standing) => {
    standing.proveSevere(0);
    standing.proveWeighted(0, 3800);
  });
  // Mean and spend may still be bettered.
  expect(closed).toMatchObject({ status: 'within-bound', weightedBound: best.objective.weighted });
  expect(answerOf([best], (standing) => standing.proveOptimal())).toMatchObject({
    status: 'optimal',
    weightedBound: best.objective.weighted,
  });
});

test('a bound of points is told for as few severe needs as it was proved for, the lowest of them, and never below the plan', () => {
  const more = nothing.objective.severe;
  expect(more).toBeGreaterThan(1);
  const bound = (plans: FoundPlan[], bounds: [severe: number, points: number][]) =>
    answerOf(plans, (standing) => {
      for (const [severe, points] of bounds) standing.proveWeighted(severe, points);
    }).weightedBound;
  // Proved for plans without severe needs: it says nothing of a plan that has some.
  expect(bound([nothing], [[0, 3900]])).toBeNull();
  expect(bound([nothing], [[more - 1, 3900]])).toBeNull();
  expect(bound([nothing], [[more, 3900]])).toBeCloseTo(3900, 1);
  // Proved for plans with as many severe needs: it holds for those with fewer too.
  expect(bound([best], [[more, 3900]])).toBeCloseTo(3900, 1);
  const lowest: [number, number][] = [
    [0, 3890],
    [more, 3870],
    [0, 3880],
  ];
  expect(bound([best], lowest)).toBeCloseTo(3870, 1);
  expect(bound([best], [[0, 3800]])).toBe(best.objective.weighted);
});

test('bounds are moved by the tolerance of engines to the side on which they still hold', () => {
  const points = answerOf([best], (standing) => standing.proveWeighted(0, 3900)).weightedBound!;
  expect(points).toBeGreaterThan(3900 * (1 + 1e-6));
  expect(points).toBeLessThan(3900 * (1 + 1e-5));
  const severe = (bound: number) => answerOf([nothing], (standing) => standing.proveSevere(bound)).severeBound;
  // A count is whole: a bound of 1.5 is 2, one a rounding above 2 is still 2, and one a rounding below is too.
  expect(severe(1.5)).toBe(2);
  expect(severe(2)).toBe(2);
  expect(severe(2 + 1e-6)).toBe(2);
  expect(severe(2 - 1e-6)).toBe(2);
  expect(severe(-3)).toBe(0);
  expect(severe(1e6)).toBe(nothing.objective.severe);
});

test('a lower bound proved later takes nothing back, and severe is proved only by a bound that the plan meets', () => {
  const standing = makeStanding(prepared);
  standing.offer(nothing);
  const { severe } = nothing.objective;
  standing.proveSevere(severe - 1);
  expect(standing.severeIsProved()).toBe(false);
  standing.proveSevere(severe);
  expect(standing.severeIsProved()).toBe(true);
  standing.proveSevere(0);
  expect(standing.severeIsProved()).toBe(true);
});

test('where a month counts by a fraction, a bound of severe needs is not rounded up', () => {
  const fractional = prepareProblem({ ...example, creditMonths: 0.5 });
  const plan = { ...nothing, objective: measureSchedule(fractional, nothing.bought).sums };
  const { severeBound } = answerOf([plan], (standing) => standing.proveSevere(1.25), fractional);
  expect(severeBound).toBeGreaterThan(1.2);
  expect(severeBound).toBeLessThanOrEqual(1.25);
});

import { expect, test } from 'vitest';
import { evaluateSchedule } from '../../src/evaluate.ts';
import { carryProof, provedGap } from '../../src/plan-certificate.ts';
import { bestPlan } from '../../src/planner.ts';
import type { FoundAnswer } from '../../src/problem.ts';
import { randomProblem } from '../support/random-problem.ts';

const found: FoundAnswer = {
  status: 'optimal',
  buys: [{ purchase: 'lamp', month: 0 }],
  severe: 3,
  weighted: 2000,
  mean: 900,
  spend: 5000,
  severeBound: 3,
  weightedBound: 2000,
  rounds: 4,
};

test('The gap is told only as far as it is proved', () => {
  expect(provedGap({ ...found, severeBound: null, weightedBound: null })).toEqual({ severe: null, weighted: null });
  // Fewer than none there cannot be, proof or not.
  expect(provedGap({ ...found, severe: 0, severeBound: null }).severe).toBe('fewest');
  expect(provedGap(found)).toEqual({ severe: 'fewest', weighted: { points: 0, share: 0 } });
  expect(provedGap({ ...found, severeBound: 2, weightedBound: 2030 })).toEqual({
    severe: { notBelow: 2 },
    weighted: { points: 30, share: 0.015 },
  });
  // Without points of its own there is nothing to take a share of.
  expect(provedGap({ ...found, weighted: 0, weightedBound: 8 }).weighted).toEqual({ points: 8, share: null });
  // A millionth of 2000 is 0.002.
  expect(provedGap({ ...found, weightedBound: 2000.0019 }).weighted?.points).toBe(0);
  expect(provedGap({ ...found, weightedBound: 2000.0021 }).weighted?.points).toBeCloseTo(0.0021, 6);
});

test.each([
  ['severe', 2],
  ['weighted', 1999],
  ['mean', 899],
  ['spend', 5001],
] as const)('A plan that differs in %s from one that is proved best is not called so', (figure, value) => {
  const { severe, weighted, mean, spend } = found;
  const other = carryProof(found, [], { severe, weighted, mean, spend, [figure]: value });
  expect(other.status).toBe('within-bound');
  expect(other).toMatchObject({ [figure]: value, buys: [], weightedBound: 2000, severeBound: 3 });
});

test('A plan equal in all four figures is proved best too, and the bounds of a better plan hold for a worse one', () => {
  const { severe, weighted, mean, spend } = found;
  expect(carryProof(found, [], { severe, weighted, mean, spend }).status).toBe('optimal');
  const bounded: FoundAnswer = { ...found, status: 'within-bound', weightedBound: 2010 };
  const calmer = carryProof(bounded, [], { severe, weighted: 1980, mean, spend });
  expect(provedGap(calmer)).toEqual({ severe: 'fewest', weighted: { points: 30, share: 30 / 1980 } });
  expect(() => carryProof(found, [], { severe: 4, weighted, mean, spend })).toThrow(RangeError);
});

test('The bound carried over to a plan that buys less leaves it exactly the gap that it lost against the proved best', async () => {
  let compared = 0;
  for (let seed = 1; seed <= 30; seed++) {
    const problem = randomProblem(seed);
    const best = await bestPlan(problem, { rounds: 6, exact: 'full' });
    if (best.status !== 'optimal') continue;
    for (const left of best.buys) {
      const buys = best.buys.filter((one) => one !== left);
      const result = evaluateSchedule(problem, buys);
      if (result.status !== 'feasible' || result.severe > best.severe) continue;
      const carried = carryProof(best, buys, result);
      expect(carried.weightedBound! - carried.weighted).toBeCloseTo(best.weighted - result.weighted, 6);
      expect(carried.status === 'optimal').toBe(result.weighted === best.weighted && result.spend === best.spend);
      compared++;
    }
  }
  expect(compared).toBeGreaterThan(10);
});

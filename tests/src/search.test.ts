// The search alone: feasible by the referee, repeatable, near the best of all schedules, and without a useless purchase.

import { expect, test, vi } from 'vitest';
import { listBuys, prepareProblem } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import { randomNumbers, startSearch } from '../../src/search.ts';
import twentyFourAnimals from '../cases/plan/twenty-four-animals-two-years.json' with { type: 'json' };
import { randomProblem } from '../support/random-problem.ts';
import { bestByTryingAll, better, judgeBuys } from '../support/referee.ts';

vi.setConfig({ testTimeout: 120_000 });

const large = twentyFourAnimals as unknown as PlanningProblem;

test('the search reaches the best of all schedules in nearly every one of 100 random problems', () => {
  let reached = 0;
  let solvable = 0;
  for (let seed = 1001; seed <= 1100; seed++) {
    const problem = randomProblem(seed);
    const best = bestByTryingAll(problem);
    const prepared = prepareProblem(problem);
    const search = startSearch(prepared, 1);
    search.improve(1500);
    const found = search.best();
    if (best === null) {
      expect(found).toBeNull();
      continue;
    }
    solvable++;
    if (found === null) continue;
    const verdict = judgeBuys(problem, listBuys(prepared, found.bought));
    if (!verdict.feasible) throw new Error(`seed ${seed}: ${verdict.because}`);
    expect(better(verdict, best)).toBe(false);
    if (!better(best, verdict)) reached++;
  }
  expect(solvable).toBeGreaterThan(50);
  expect(reached / solvable).toBeGreaterThan(0.9);
});

test('the same seed and steps find the same plan, and a search continued in parts finds it too', () => {
  const prepared = prepareProblem(large);
  const inOne = startSearch(prepared, 5);
  inOne.improve(600);
  const inParts = startSearch(prepared, 5);
  inParts.improve(200);
  inParts.improve(400);
  expect(listBuys(prepared, inParts.best()!.bought)).toEqual(listBuys(prepared, inOne.best()!.bought));
});

test('no single purchase of a found plan can be dropped without loss', () => {
  const prepared = prepareProblem(large);
  const search = startSearch(prepared, 2);
  search.improve(500);
  const buys = listBuys(prepared, search.best()!.bought);
  const plan = judgeBuys(large, buys);
  if (!plan.feasible) throw new Error(plan.because);
  let tried = 0;
  for (const dropped of buys) {
    const rest = judgeBuys(
      large,
      buys.filter((buy) => buy !== dropped),
    );
    if (!rest.feasible) continue;
    tried++;
    expect(better(rest, plan), dropped.purchase).toBe(false);
  }
  expect(tried).toBeGreaterThan(50);
});

test('the stream of numbers is repeatable, differs by seed and covers 0 to 1 evenly', () => {
  const a = randomNumbers(1);
  const b = randomNumbers(1);
  const c = randomNumbers(2);
  const numbers = Array.from({ length: 2000 }, () => a());
  expect(Array.from({ length: 2000 }, () => b())).toEqual(numbers);
  expect(c()).not.toBe(numbers[0]);
  expect(numbers.every((number) => number >= 0 && number < 1)).toBe(true);
  const tenths = Array.from({ length: 10 }, (_, k) => numbers.filter((n) => Math.floor(n * 10) === k).length);
  for (const count of tenths) expect(count).toBeGreaterThan(150);
});

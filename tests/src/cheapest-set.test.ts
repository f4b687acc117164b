// The cheapest set to a target, against trying every set.

import { describe, expect, test, vi } from 'vitest';
import { cheapestSetToTarget } from '../../src/cheapest-set.ts';
import { boughtMonths, prepareProblem } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { randomProblem } from '../support/random-problem.ts';

vi.setConfig({ testTimeout: 120_000 });

const example = workedExample as PlanningProblem;

/** Price of the cheapest set, by trying every set bought as early as can be; null when none reaches the target. */
function cheapestByTryingAll(problem: PlanningProblem, id: string, month: number, target: number): number | null {
  const items = problem.purchases;
  const animal = problem.animals.find((one) => one.id === id)!;
  let cheapest: number | null = null;
  for (let set = 0; set < 2 ** items.length; set++) {
    const has = (name: string) => {
      const i = items.findIndex((item) => item.id === name);
      return items[i]!.ownedSince !== undefined || (set & (1 << i)) !== 0;
    };
    const bought = items.filter((item, i) => item.ownedSince === undefined && (set & (1 << i)) !== 0);
    if (items.some((item, i) => item.ownedSince !== undefined && (set & (1 << i)) !== 0)) continue;
    if (items.some((item) => item.fixedMonth !== undefined && !bought.includes(item))) continue;
    const serviceOf = (item: (typeof items)[number]) => (item.fixedMonth ?? item.earliest ?? 0) + (item.lead ?? 0);
    const inTime = (item: (typeof items)[number]) => serviceOf(item) <= month;
    if (bought.some((item) => item.fixedMonth === undefined && !inTime(item))) continue;
    const free = bought.filter((item) => item.fixedMonth === undefined);
    if (
      free.some((item) =>
        (item.requires ?? []).some(
          (entry) =>
            !(typeof entry === 'string' ? [entry] : entry).some(
              (other) =>
                has(other) &&
                (items.find((one) => one.id === other)!.ownedSince !== undefined ||
                  inTime(items.find((one) => one.id === other)!)),
            ),
        ),
      )
    ) {
      continue;
    }
    const groups = bought.flatMap((item) => item.groups ?? []);
    if (new Set(groups).size < groups.length) continue;
    const serves = (name: string) => {
      const item = items.find((one) => one.id === name)!;
      return has(name) && (item.ownedSince !== undefined || inTime(item));
    };
    const reached = animal.needs.every((need) => {
      if (need.offMonths?.includes(month)) return true;
      if (month < (animal.from ?? 0) || month >= (animal.until ?? problem.months)) return true;
      return need.states.some(
        (state) =>
          state.needs.every(serves) &&
          !(state.blockedBy ?? []).some(serves) &&
          (typeof state.value === 'number' ? state.value : state.value[month]!) >= target,
      );
    });
    if (!reached) continue;
    const price = free.reduce((sum, item) => sum + item.price, 0);
    if (cheapest === null || price < cheapest) cheapest = price;
  }
  return cheapest;
}

describe('the cheapest set to a target', () => {
  test('is what trying every set of purchases finds, over many random problems', () => {
    let found = 0;
    let outOfReach = 0;
    for (let seed = 4001; seed <= 4120; seed++) {
      const problem = randomProblem(seed);
      const prepared = prepareProblem(problem);
      const month = problem.months - 1;
      const target = 30 + (seed % 4) * 10;
      for (const animal of problem.animals) {
        const answer = cheapestSetToTarget(prepared, animal.id, month, target);
        const cheapest = cheapestByTryingAll(problem, animal.id, month, target);
        if (cheapest === null) {
          expect(answer.status, `${seed} ${animal.id}`).toBe('out-of-reach');
          outOfReach++;
        } else if (cheapest === 0) expect(answer.status, `${seed} ${animal.id}`).toBe('already-met');
        else {
          expect(answer, `${seed} ${animal.id}`).toMatchObject({ status: 'found', price: cheapest });
          found++;
        }
      }
    }
    expect(found).toBeGreaterThan(30);
    expect(outOfReach).toBeGreaterThan(30);
  });

  test('is lamp and heating for the lizard of the worked example to reach 50 in every need', () => {
    const prepared = prepareProblem(example);
    expect(cheapestSetToTarget(prepared, 'A', 2, 50)).toEqual({
      status: 'found',
      purchases: ['P1', 'P2'],
      price: 10500,
    });
    expect(cheapestSetToTarget(prepared, 'B', 2, (need) => (need === 'hides' ? 90 : 0))).toEqual({
      status: 'found',
      purchases: ['P4'],
      price: 2000,
    });
    expect(cheapestSetToTarget(prepared, 'A', 2, 95)).toMatchObject({ status: 'out-of-reach' });
    expect(cheapestSetToTarget(prepared, 'A', 2, 50, boughtMonths(prepared, [{ purchase: 'P1', month: 0 }]))).toEqual({
      status: 'found',
      purchases: ['P2'],
      price: 4500,
    });
  });
});

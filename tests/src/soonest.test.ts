// How soon an animal can be free of severe shortfalls, against every schedule judged by the referee, which shares no code with it.

import { describe, expect, test, vi } from 'vitest';
import { bestPlan } from '../../src/planner.ts';
import type { Buy, PlannedAnimal, PlanningProblem, Purchase } from '../../src/problem.ts';
import { soonestFree } from '../../src/soonest.ts';
import fourAnimals from '../cases/plan/four-animals-twelve-months.json' with { type: 'json' };
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { lcg, randomProblem } from '../support/random-problem.ts';
import { everySchedule, judge, judgeBuys } from '../support/referee.ts';

vi.setConfig({ testTimeout: 240_000 });

const RICH = 1_000_000_000;

function rich(problem: PlanningProblem, amount = RICH): PlanningProblem {
  return { ...problem, openingCash: (problem.openingCash ?? 0) + amount };
}

/** Only one animal, counted from a month on. */
function only(problem: PlanningProblem, animal: PlannedAnimal, from: number): PlanningProblem {
  return { ...problem, animals: [{ ...animal, from: Math.max(from, animal.from ?? 0) }] };
}

function isFree(problem: PlanningProblem, animal: PlannedAnimal, from: number, buys: readonly Buy[]): boolean {
  const verdict = judgeBuys(only(problem, animal, from), buys);
  return verdict.feasible && verdict.severe === 0;
}

/** The first of an animal's months from which a schedule leaves it none severe, by asking the referee for each; null for none. */
function firstFree(problem: PlanningProblem, animal: PlannedAnimal, months: readonly (number | null)[]): number | null {
  for (let from = animal.from ?? 0; from < Math.min(animal.until ?? problem.months, problem.months); from++) {
    const verdict = judge(only(problem, animal, from), months);
    if (verdict.feasible && verdict.severe === 0) return from;
  }
  return null;
}

type Truth = { soonest: number | null; atAll: number | null; bridge: number | null; neverEnded: string[] };

/** The truth about one animal by trying every schedule. */
function truthOf(problem: PlanningProblem, animal: PlannedAnimal): Truth {
  const affluent = rich(problem);
  const last = Math.min(animal.until ?? problem.months, problem.months) - 1;
  const reserveIn = (month: number) =>
    typeof problem.reserve === 'number' ? problem.reserve : (problem.reserve?.[month] ?? 0);
  let [soonest, atAll, bridge]: [number | null, number | null, number | null] = [null, null, null];
  const { tailIncome: _, ...noTail } = affluent;
  const ended = new Set<string>();
  for (const months of everySchedule(problem)) {
    const needy = judge(noTail, months);
    if (!needy.feasible) continue;
    for (const need of animal.needs) {
      const alone = { ...animal, needs: [need] };
      const verdict = judge(only(noTail, alone, last), months);
      if (verdict.feasible && verdict.severe === 0) ended.add(need.need);
    }
    const verdict = judge(affluent, months);
    if (!verdict.feasible) continue;
    const free = firstFree(affluent, animal, months);
    if (free === null) continue;
    const short = Math.max(0, ...verdict.balances.map((balance, month) => reserveIn(month) - (balance - RICH)));
    if (short === 0 && (soonest === null || free < soonest)) soonest = free;
    if (atAll === null || free < atAll) [atAll, bridge] = [free, short];
    else if (free === atAll) bridge = Math.min(bridge!, short);
  }
  const neverEnded = animal.needs.filter((one) => one.lifeCritical && !ended.has(one.need)).map((one) => one.need);
  return { soonest, atAll, bridge, neverEnded };
}

describe('on random problems', () => {
  test('every figure is that of trying every schedule', async () => {
    const count = {
      animals: 0,
      sooner: 0,
      asPlanned: 0,
      neverInside: 0,
      neededEnded: 0,
      bridged: 0,
      bridgedFromNever: 0,
      bridgeAtOnce: 0,
      noBridge: 0,
      notWithMoney: 0,
      savers: 0,
    };
    for (let seed = 1; seed <= 110; seed++) {
      const problem = randomProblem(seed, 3 + (seed % 2));
      const feasible: (number | null)[][] = [];
      for (const months of everySchedule(problem)) {
        if (judge(problem, months).feasible) feasible.push([...months]);
      }
      if (feasible.length === 0) continue;
      const random = lcg(seed + 900);
      const months = feasible[Math.floor(random() * feasible.length)]!;
      const plan = problem.purchases.flatMap(({ id }, index) =>
        months[index] === null ? [] : [{ purchase: id, month: months[index]! }],
      );
      for (const animal of problem.animals) {
        const name = `${seed} ${animal.id}`;
        const truth = truthOf(problem, animal);
        const found = await soonestFree(problem, plan, animal.id);
        expect(found.planned, name).toBe(firstFree(problem, animal, months));
        const { soonest, bridge } = found;
        count.animals++;
        if (soonest.status === 'not-known' || bridge.status === 'not-known') throw new Error(name);
        if (soonest.status === 'month') {
          expect(soonest.month, name).toBe(truth.soonest);
          expect(soonest.proved, name).toBe(true);
          expect(isFree(problem, animal, soonest.month, soonest.buys), name).toBe(true);
          if (found.planned !== null) expect(soonest.month, name).toBeLessThanOrEqual(found.planned);
          if (soonest.month === found.planned) count.asPlanned++;
          else count.sooner++;
          for (const one of soonest.buys) {
            const rest = soonest.buys.filter((other) => other !== one);
            expect(isFree(problem, animal, soonest.month, rest), `${name} without ${one.purchase}`).toBe(false);
          }
          if (soonest.buys.some((one) => !concerns(animal, one.purchase))) count.savers++;
        } else {
          expect(truth.soonest, name).toBe(null);
          if (truth.atAll === null) expect(soonest.needs, name).toEqual(truth.neverEnded);
          count.neverInside++;
          if (soonest.needs.length > 0) count.neededEnded++;
        }
        if (bridge.status === 'found') {
          expect(bridge.month, name).toBe(truth.atAll);
          expect(bridge.amount, name).toBe(truth.bridge);
          expect(bridge.amount, name).toBeGreaterThan(0);
          expect(bridge.proved, name).toBe(true);
          expect(isFree(rich(problem, bridge.amount), animal, bridge.month, bridge.buys), name).toBe(true);
          expect(isFree(rich(problem, bridge.amount - 1), animal, bridge.month, bridge.buys), name).toBe(false);
          count.bridged++;
          if (soonest.status === 'never-inside') count.bridgedFromNever++;
        } else if (bridge.status === 'none-needed') {
          expect([truth.soonest, truth.bridge], name).toEqual([truth.atAll, 0]);
          count.noBridge++;
        } else {
          expect(truth.atAll, name).toBe(null);
          count.notWithMoney++;
        }
        if (truth.atAll === (animal.from ?? 0)) count.bridgeAtOnce++;
      }
    }
    expect(count.animals).toBeGreaterThan(100);
    for (const [name, times] of Object.entries(count)) expect(times, name).toBeGreaterThan(3);
  });
});

function concerns(animal: PlannedAnimal, id: string): boolean {
  return animal.needs.some((need) =>
    need.states.some((state) => state.needs.includes(id) || state.blockedBy?.includes(id)),
  );
}

// The lizard of the worked example lacks UV-B (a severe need) until its lamp at 60.00 hangs; nothing else is severe.
describe('in the worked example', () => {
  const example = workedExample as PlanningProblem;
  const lamp = (month: number): Buy => ({ purchase: 'P1', month });
  const lizard = example.animals[0]!.id;

  test('the plan frees the lizard at once and the snake was never short', async () => {
    const plan = [lamp(0), { purchase: 'P3', month: 2 }];
    expect(await soonestFree(example, plan, lizard)).toEqual({
      animalId: lizard,
      now: 1,
      planned: 0,
      soonest: { status: 'month', month: 0, buys: [lamp(0)], proved: true },
      bridge: { status: 'none-needed' },
    });
    expect(await soonestFree(example, plan, example.animals[1]!.id)).toMatchObject({
      now: 0,
      planned: 0,
      soonest: { month: 0, buys: [] },
    });
  });

  test('with half the money the lamp comes a month later, and 30.00 in hand would bring it at once', async () => {
    const poorer = { ...example, income: [3000, 3000, 3000] };
    const plan = [{ purchase: 'P4', month: 0 }, lamp(2)];
    expect(await soonestFree(poorer, plan, lizard)).toEqual({
      animalId: lizard,
      now: 1,
      planned: 2,
      soonest: { status: 'month', month: 1, buys: [lamp(1)], proved: true },
      bridge: { status: 'found', amount: 3000, month: 0, buys: [lamp(0)], proved: true },
    });
  });

  // 30.00 a month, a lamp for 60.00: it hangs in month 0 only if something else brings 30.00 in month 0 on top of its own price of 5.00.
  const old: Purchase = { id: 'old', price: 0, ownedSince: -3, monthlyCost: 3500 };
  test.each<[string, Omit<Purchase, 'id' | 'price'>, Purchase[], number]>([
    ['what costs less a month', { monthlyCost: -3500 }, [], 0],
    ['what is sold for it', { proceeds: { amount: 3500, after: 0 } }, [], 0],
    ['what ends a running cost', { retires: ['old'] }, [old], 3500],
    ['what ends a renewal', { retires: ['old'] }, [{ ...old, monthlyCost: 0, life: 3, renewal: 3500 }], 3500],
  ])('%s is bought first, although the lizard needs nothing of it', async (_, parts, owned, more) => {
    const poorer: PlanningProblem = {
      ...example,
      income: [3000 + more, 3000 + more, 3000 + more],
      purchases: [...example.purchases, { id: 'saver', price: 500, ...parts }, ...owned],
    };
    const { soonest, bridge } = await soonestFree(poorer, [], lizard);
    expect(soonest).toEqual({
      status: 'month',
      month: 0,
      buys: expect.arrayContaining([lamp(0), { purchase: 'saver', month: 0 }]),
      proved: true,
    });
    expect(bridge).toEqual({ status: 'none-needed' });
  });

  test('a lamp that is not on the list is named as what nothing ends', async () => {
    const without = {
      ...example,
      purchases: example.purchases.filter((one) => one.id !== 'P1'),
      animals: example.animals.map((animal) => ({
        ...animal,
        needs: animal.needs.map((need) => ({
          ...need,
          states: need.states.filter((state) => !state.needs.includes('P1')),
        })),
      })),
    };
    const found = await soonestFree(without, [], lizard);
    expect(found.planned).toBe(null);
    expect(found.soonest.status).toBe('never-inside');
    expect(found.soonest).toMatchObject({ needs: [expect.stringMatching(/uv/i)] });
    expect(found.bridge).toEqual({ status: 'not-with-money' });
  });

  test('a plan that breaks a rule and an unknown animal are refused', async () => {
    await expect(soonestFree(example, [{ purchase: 'P3', month: 0 }], lizard)).rejects.toThrow(/reserve/);
    await expect(soonestFree(example, [], 'nobody')).rejects.toThrow(/nobody/);
  });

  test('work that is stopped leaves the planned month unproved, and nothing known where the plan has none', async () => {
    const poorer = { ...example, income: [3000, 3000, 3000] };
    const stopped = { stop: () => true };
    expect(await soonestFree(poorer, [lamp(2)], lizard, stopped)).toMatchObject({
      planned: 2,
      soonest: { status: 'month', month: 2, buys: [lamp(2)], proved: false },
      bridge: { status: 'not-known' },
    });
    expect(await soonestFree(poorer, [], lizard, stopped)).toEqual({
      animalId: lizard,
      now: 1,
      planned: null,
      soonest: { status: 'not-known' },
      bridge: { status: 'not-known' },
    });
  });
});

test('on four animals over a year every month is proved, never after the planned one, and the sums are enough', async () => {
  const problem = fourAnimals as unknown as PlanningProblem;
  const plan = await bestPlan(problem, { rounds: 3, exact: 'none' });
  if (!('buys' in plan)) throw new Error(plan.status);
  let [found, bridged] = [0, 0];
  for (const animal of problem.animals) {
    const { soonest, bridge, planned } = await soonestFree(problem, plan.buys, animal.id);
    if (soonest.status !== 'month') throw new Error(soonest.status);
    expect(soonest.proved).toBe(true);
    expect(soonest.month).toBeLessThanOrEqual(planned ?? problem.months);
    expect(isFree(problem, animal, soonest.month, soonest.buys)).toBe(true);
    found++;
    if (bridge.status !== 'found') continue;
    expect(bridge.proved).toBe(true);
    expect(bridge.month).toBeLessThan(soonest.month);
    expect(isFree(rich(problem, bridge.amount), animal, bridge.month, bridge.buys)).toBe(true);
    expect(isFree(rich(problem, bridge.amount - 1), animal, bridge.month, bridge.buys)).toBe(false);
    // With that sum in hand the animal can be free in that month, and with one unit less it cannot.
    const withSum = await soonestFree(rich(problem, bridge.amount), plan.buys, animal.id);
    expect(withSum.soonest).toMatchObject({ month: bridge.month, proved: true });
    const withLess = await soonestFree(rich(problem, bridge.amount - 1), plan.buys, animal.id);
    expect(withLess.soonest).not.toMatchObject({ month: bridge.month });
    bridged++;
  }
  expect(found).toBe(4);
  expect(bridged).toBeGreaterThan(0);
});

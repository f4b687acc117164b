// Laws that the best plan of any problem keeps, whatever finds it. Each counts the random problems it applied to.

import { beforeAll, expect, test, vi } from 'vitest';
import type { PlannedNeed, PlanningProblem } from '../../src/problem.ts';
import { seedsFrom } from '../support/hostile.ts';
import { type Plan, planJudged } from '../support/judged-planning.ts';
import { randomProblem } from '../support/random-problem.ts';
import { better } from '../support/referee.ts';

vi.setConfig({ testTimeout: 240_000 });

// Twice as many and more by `npm run fuzz -- --only planner-laws`.
const seeds = seedsFrom(7001, 20);

/** The proved best plan; null when there is none. */
async function bestOf(problem: PlanningProblem): Promise<Plan | null> {
  const { last } = await planJudged(problem);
  if (last.status === 'infeasible') return null;
  if (last.status !== 'optimal') throw new Error(`a small problem ended '${last.status}'`);
  return last;
}

const planned: { problem: PlanningProblem; plan: Plan; seed: number }[] = [];

beforeAll(async () => {
  for (const seed of seeds) {
    const problem = randomProblem(seed);
    const plan = await bestOf(problem);
    if (plan !== null) planned.push({ problem, plan, seed });
  }
});

/** Goes through the problems that have a plan, with a law to check on each, and counts those to which it applied. */
async function countApplied(law: (problem: PlanningProblem, plan: Plan, seed: number) => Promise<boolean>) {
  let applied = 0;
  for (const { problem, plan, seed } of planned) if (await law(problem, plan, seed)) applied++;
  return applied;
}

function expectSame(one: Plan | null, other: Plan, name: string): void {
  if (one === null) throw new Error(`${name}: no plan any more`);
  expect(better(one, other), name).toBe(false);
  expect(better(other, one), name).toBe(false);
}

test.each([1, 700, 2500])('%i more at once never makes the best plan worse, and sometimes better', async (more) => {
  let gained = 0;
  const applied = await countApplied(async (problem, poor, seed) => {
    const rich = await bestOf({ ...problem, openingCash: (problem.openingCash ?? 0) + more });
    if (rich === null) throw new Error(`seed ${seed}: no plan any more`);
    expect(better(poor, rich), `seed ${seed}`).toBe(false);
    if (better(rich, poor)) gained++;
    return true;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
  if (more > 1000) expect(gained).toBeGreaterThanOrEqual(4);
});

test('more every month never makes the best plan worse, and sometimes better', async () => {
  let gained = 0;
  const applied = await countApplied(async (problem, poor, seed) => {
    const rich = await bestOf({ ...problem, income: problem.income.map((sum) => sum + 800) });
    if (rich === null) throw new Error(`seed ${seed}: no plan any more`);
    expect(better(poor, rich), `seed ${seed}`).toBe(false);
    if (better(rich, poor)) gained++;
    return true;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
  expect(gained).toBeGreaterThanOrEqual(4);
});

test('taking away what the best plan does not buy changes nothing', async () => {
  const applied = await countApplied(async (problem, plan, seed) => {
    const bought = new Set(plan.buys.map((buy) => buy.purchase));
    const unbought = problem.purchases.filter((one) => one.ownedSince === undefined && !bought.has(one.id));
    for (const { id } of unbought) expectSame(await bestOf(without(problem, id)), plan, `seed ${seed} without ${id}`);
    return unbought.length > 0;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
});

/** The problem without a purchase: what needs it can never be, what it would block is never blocked by it. */
function without(problem: PlanningProblem, id: string): PlanningProblem {
  const never = { id: 'never', price: 1e9 };
  const others = problem.purchases
    .filter((one) => one.id !== id)
    .map((one) => ({
      ...one,
      requires: (one.requires ?? [])
        .map((entry) => [entry].flat().filter((other) => other !== id))
        .map((entry) => (entry.length === 0 ? ['never'] : entry)),
      ...(one.retires ? { retires: one.retires.filter((other) => other !== id) } : {}),
    }));
  const needOf = (need: PlannedNeed): PlannedNeed => ({
    ...need,
    states: need.states
      .filter((state) => !state.needs.includes(id))
      .map((state) => ({ ...state, blockedBy: (state.blockedBy ?? []).filter((other) => other !== id) })),
  });
  return {
    ...problem,
    purchases: [...others, never],
    animals: problem.animals.map((animal) => ({ ...animal, needs: animal.needs.map(needOf) })),
  };
}

test('an empty month before all others changes nothing but the dates', async () => {
  const applied = await countApplied(async (problem, plan, seed) => {
    const { later, paidBefore } = oneMonthLater(problem);
    const moved = await bestOf(later);
    expectSame(moved === null ? null : { ...moved, spend: moved.spend - paidBefore }, plan, `seed ${seed}`);
    return true;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
});

/** The problem with everything a month later, and what the empty month costs and brings in for what is owned. */
function oneMonthLater(problem: PlanningProblem): { later: PlanningProblem; paidBefore: number } {
  let paidBefore = 0;
  const purchases = problem.purchases.map((one) => {
    if (one.ownedSince === undefined) {
      return one.fixedMonth === undefined
        ? { ...one, earliest: (one.earliest ?? 0) + 1 }
        : { ...one, fixedMonth: one.fixedMonth + 1 };
    }
    // What has been owned for a month would be owned since month 0; a whole life earlier its renewals fall in the same months.
    const since = one.ownedSince + 1 < 0 ? one.ownedSince + 1 : one.ownedSince + 1 - (one.life ?? 1);
    paidBefore += one.monthlyCost ?? 0;
    if (one.life !== undefined && since % one.life === 0) paidBefore += one.renewal ?? 0;
    return { ...one, ownedSince: since };
  });
  const later = (value: number | readonly number[]) => (typeof value === 'number' ? value : [0, ...value]);
  return {
    paidBefore,
    later: {
      ...problem,
      months: problem.months + 1,
      income: [paidBefore, ...problem.income],
      ...(problem.committed ? { committed: [0, ...problem.committed] } : {}),
      reserve: [0, ...problem.income.map((_, month) => reserveIn(problem, month))],
      purchases,
      animals: problem.animals.map((animal) => ({
        ...animal,
        from: (animal.from ?? 0) + 1,
        until: (animal.until ?? problem.months) + 1,
        needs: animal.needs.map((need) => ({
          ...need,
          ...(need.offMonths ? { offMonths: need.offMonths.map((month) => month + 1) } : {}),
          states: need.states.map((state) => ({ ...state, value: later(state.value) })),
        })),
      })),
    },
  };
}

const reserveIn = ({ reserve }: PlanningProblem, month: number): number =>
  (typeof reserve === 'object' ? reserve[month] : reserve) ?? 0;

test('seven times the money at seven times the price is the same plan', async () => {
  const seven = <T>(money: T): T =>
    (typeof money === 'number' ? money * 7 : Array.isArray(money) ? money.map((one) => one * 7) : money) as T;
  const applied = await countApplied(async (problem, plan, seed) => {
    const scaled = await bestOf({
      ...problem,
      openingCash: seven(problem.openingCash),
      reserve: seven(problem.reserve),
      income: seven(problem.income),
      committed: seven(problem.committed),
      tailIncome: seven(problem.tailIncome),
      purchases: problem.purchases.map((one) => ({
        ...one,
        price: seven(one.price),
        monthlyCost: seven(one.monthlyCost),
        renewal: seven(one.renewal),
        proceeds: one.proceeds && { ...one.proceeds, amount: seven(one.proceeds.amount) },
      })),
    });
    expectSame(scaled === null ? null : { ...scaled, spend: scaled.spend / 7 }, plan, `seed ${seed}`);
    return true;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
});

test('the order in which purchases, animals and needs are listed changes nothing', async () => {
  const applied = await countApplied(async (problem, plan, seed) => {
    const turned = await bestOf({
      ...problem,
      purchases: [...problem.purchases].reverse(),
      animals: [...problem.animals].reverse().map((animal) => ({
        ...animal,
        needs: [...animal.needs].reverse().map((need) => ({ ...need, states: [...need.states].reverse() })),
      })),
    });
    expectSame(turned, plan, `seed ${seed}`);
    return true;
  });
  expect(applied).toBeGreaterThanOrEqual(12);
});

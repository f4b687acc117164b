// The blocks of a problem against every schedule of it: what blocks say of a schedule adds up to what the referee finds, and at any
// prices no schedule of a block is worth more than the best that the block gives.

import { describe, expect, test } from 'vitest';
import { type BlockCut, cutIntoBlocks, type Prices, type Schedule, type Worth } from '../../src/blocks.ts';
import { NEVER, prepareProblem, serviceStart } from '../../src/evaluate.ts';
import type { PlanningProblem } from '../../src/problem.ts';
import fourAnimals from '../cases/plan/four-animals-twelve-months.json' with { type: 'json' };
import { lcg, randomProblem, withMoreRetired } from '../support/random-problem.ts';
import { everySchedule, judge, type Verdict } from '../support/referee.ts';

type Feasible = Extract<Verdict, { feasible: true }>;
type Cut = {
  problem: PlanningProblem;
  cut: BlockCut;
  plans: { bought: Int32Array; verdict: Feasible }[];
  seed: number;
};

/** Random problems that can be cut, each with all its feasible schedules whose service starts inside the plan. */
const cuts: Cut[] = [];
for (let seed = 11_001; seed <= 11_120; seed++) {
  const problem = seed <= 11_080 ? randomProblem(seed) : withMoreRetired(randomProblem(seed), seed);
  const prepared = prepareProblem(problem);
  const cut = cutIntoBlocks(prepared);
  if (cut === null) continue;
  const plans: Cut['plans'] = [];
  for (const months of everySchedule(problem)) {
    const bought = Int32Array.from(months, (month) => month ?? -1);
    if (bought.some((month, index) => month >= 0 && serviceStart(prepared, index, month) >= problem.months)) continue;
    const verdict = judge(problem, months);
    if (verdict.feasible) plans.push({ bought, verdict });
  }
  if (plans.length > 0) cuts.push({ problem, cut, plans, seed });
}

const schedulesOf = (cut: BlockCut, bought: Int32Array): Schedule[] =>
  cut.members.map((_, block) => cut.scheduleIn(block, bought));

test('most random problems can be cut, and every free purchase is in a block', () => {
  expect(cuts.length).toBeGreaterThan(60);
  for (const { problem, cut } of cuts) {
    const inBlocks = new Set(cut.members.flatMap((members) => [...members]));
    problem.purchases.forEach((one, index) => {
      if (one.ownedSince === undefined && one.fixedMonth === undefined) expect(inBlocks).toContain(index);
    });
  }
});

test('the schedules of the blocks add up to the severe needs, the points and the cash that the referee finds', () => {
  let compared = 0;
  for (const { cut, plans, seed } of cuts) {
    let first: { paid: number[]; balances: number[] } | null = null;
    for (const { bought, verdict } of plans) {
      const schedules = schedulesOf(cut, bought);
      const total = (pick: (one: Schedule) => number) => schedules.reduce((sum, one) => sum + pick(one), 0);
      expect(total((one) => one.severe)).toBeCloseTo(verdict.severe, 9);
      expect(total((one) => one.weighted)).toBeCloseTo(verdict.weighted, 6);
      expect(total((one) => one.mean)).toBeCloseTo(verdict.mean, 6);
      // What no choice can change is in no block, so cash is compared between two schedules.
      const paid = verdict.balances.map((_, month) => total((one) => one.paid[month]!));
      first ??= { paid, balances: verdict.balances };
      verdict.balances.forEach((balance, month) => {
        expect(first!.balances[month]! - balance, `seed ${seed}`).toBeCloseTo(paid[month]! - first!.paid[month]!, 6);
      });
      compared++;
    }
  }
  expect(compared).toBeGreaterThan(1000);
});

test('every feasible schedule keeps the links between blocks', () => {
  let kept = 0;
  for (const { cut, plans } of cuts) {
    for (const { bought } of plans) {
      const schedules = schedulesOf(cut, bought);
      for (const { lower, upper, terms } of cut.links) {
        let sum = 0;
        for (const { block, member, month, coefficient } of terms) {
          if (schedules[block]!.starts[member]! <= month) sum += coefficient;
        }
        expect(sum).toBeGreaterThanOrEqual(lower);
        expect(sum).toBeLessThanOrEqual(upper);
        kept++;
      }
    }
  }
  expect(kept).toBeGreaterThan(1000);
});

test('two of a group break a link, or are in one block, which never holds both', () => {
  let [byLink, byBlock] = [0, 0];
  for (const { problem, cut } of cuts.slice(0, 60)) {
    const groupsOf = (index: number) => problem.purchases[index]!.groups ?? [];
    for (const months of everySchedule(problem)) {
      const verdict = judge(problem, months);
      if (verdict.feasible || verdict.because !== 'group') continue;
      const bought = Int32Array.from(months, (month) => month ?? -1);
      const prepared = prepareProblem(problem);
      if (bought.some((month, index) => month >= 0 && serviceStart(prepared, index, month) >= problem.months)) continue;
      const inOneBlock = cut.members.some((members) => {
        const held = [...members].filter((index) => bought[index]! >= 0).flatMap(groupsOf);
        return new Set(held).size < held.length;
      });
      if (inOneBlock) {
        byBlock++;
        continue;
      }
      const schedules = schedulesOf(cut, bought);
      const broken = cut.links.some(({ lower, upper, terms }) => {
        let sum = 0;
        for (const { block, member, month, coefficient } of terms) {
          if (schedules[block]!.starts[member]! <= month) sum += coefficient;
        }
        return sum < lower || sum > upper;
      });
      expect(broken).toBe(true);
      byLink++;
    }
  }
  expect(byLink).toBeGreaterThan(20);
  expect(byBlock).toBeGreaterThan(20);
});

describe('at any prices', () => {
  /** Prices of every kind: money dearer the sooner it is paid, as a balance that must last makes it, and the links'. */
  function randomPrices({ problem, cut }: Cut, random: () => number): { worth: Worth; prices: Prices } {
    const money = new Float64Array(problem.months);
    let sum = 0;
    for (let month = problem.months - 1; month >= 0; month--) {
      sum += random() < 0.5 ? 0 : random() * 0.05;
      money[month] = sum;
    }
    const links = Float64Array.from(cut.links, ({ lower, upper }) => {
      const price = random() * 60;
      if (lower === Number.NEGATIVE_INFINITY) return price;
      return upper === Number.POSITIVE_INFINITY ? -price : price - 30;
    });
    const worth = random() < 0.3 ? { weighted: 0, severe: 1 } : { weighted: 1, severe: random() * 300 };
    return { worth, prices: { money, tail: random() * 0.1, links } };
  }

  function worthOf(cut: BlockCut, schedule: Schedule, { worth, prices }: ReturnType<typeof randomPrices>): number {
    let value = worth.weighted * schedule.weighted - worth.severe * schedule.severe - prices.tail * schedule.tail;
    schedule.paid.forEach((sum, month) => {
      value -= prices.money[month]! * (sum - (schedule.paid[month - 1] ?? 0));
    });
    cut.links.forEach(({ terms }, link) => {
      for (const { block, member, month, coefficient } of terms) {
        if (block === schedule.block && schedule.starts[member]! <= month) value -= coefficient * prices.links[link]!;
      }
    });
    return value;
  }

  test('no schedule of a block is worth more than its best, which is as good as some schedule unless a retirement is forgotten', () => {
    let compared = 0;
    let exact = 0;
    let bests = 0;
    for (const one of cuts) {
      const { cut, plans, problem } = one;
      const given = randomPrices(one, lcg(one.seed));
      const retires = problem.purchases.some(({ retires: ends }) => (ends ?? []).length > 0);
      cut.members.forEach((_, block) => {
        const { schedule, value } = cut.best(block, given.worth, given.prices);
        const own = worthOf(cut, schedule, given);
        expect(own, `seed ${one.seed}`).toBeLessThanOrEqual(value + 1e-6);
        bests++;
        if (own >= value - 1e-6) exact++;
        else expect(retires, `seed ${one.seed}`).toBe(true);
        for (const { bought } of plans) {
          expect(worthOf(cut, cut.scheduleIn(block, bought), given)).toBeLessThanOrEqual(value + 1e-6);
          compared++;
        }
      });
    }
    expect(compared).toBeGreaterThan(2000);
    expect(exact / bests).toBeGreaterThan(0.9);
  });

  test('what is worth enough is never forgotten, what is not mostly is, and all of it comes back', () => {
    let [kept, bettered] = [0, 0];
    for (const one of cuts.slice(0, 40)) {
      const { cut, plans } = one;
      const given = randomPrices(one, lcg(one.seed + 700));
      cut.members.forEach((_, block) => {
        const worths = plans
          .map(({ bought }) => worthOf(cut, cut.scheduleIn(block, bought), given))
          .sort((a, b) => b - a);
        const least = worths[Math.floor(worths.length / 10)]!;
        const before = cut.reach(block, given.worth, given.prices, Number.NEGATIVE_INFINITY);
        cut.reach(block, given.worth, given.prices, least - 1e-9);
        const after = cut.reach(block, given.worth, given.prices, Number.NEGATIVE_INFINITY);
        for (const { bought } of plans) {
          const schedule = cut.scheduleIn(block, bought);
          if (worthOf(cut, schedule, given) < least) continue;
          kept++;
          schedule.starts.forEach((start, member) => {
            const at = member * (one.problem.months + 1) + Math.min(start, one.problem.months);
            expect(after[at]!, `seed ${one.seed}`).toBeGreaterThanOrEqual(least - 1e-6);
          });
        }
        if (after.some((most, at) => most < before[at]! - 1e-6)) bettered++;
        cut.remember();
        expect([...cut.reach(block, given.worth, given.prices, Number.NEGATIVE_INFINITY)]).toEqual([...before]);
      });
    }
    expect(kept).toBeGreaterThan(300);
    expect(bettered).toBeGreaterThan(30);
  });

  test('no schedule is worth more than what is said to be within reach with each of its months', () => {
    let compared = 0;
    for (const one of cuts.slice(0, 40)) {
      const { cut, plans, problem } = one;
      const given = randomPrices(one, lcg(one.seed + 500));
      cut.members.forEach((members, block) => {
        const most = cut.reach(block, given.worth, given.prices, Number.NEGATIVE_INFINITY);
        const { value } = cut.best(block, given.worth, given.prices);
        // The best schedule is within reach by one of each member's months.
        members.forEach((_, member) => {
          const its = most.subarray(member * (problem.months + 1), (member + 1) * (problem.months + 1));
          expect(Math.max(...its)).toBeCloseTo(value, 6);
        });
        for (const { bought } of plans) {
          const schedule = cut.scheduleIn(block, bought);
          const own = worthOf(cut, schedule, given);
          schedule.starts.forEach((start, member) => {
            const at = member * (problem.months + 1) + (start === NEVER ? problem.months : start);
            expect(own, `seed ${one.seed}`).toBeLessThanOrEqual(most[at]! + 1e-6);
            compared++;
          });
        }
      });
    }
    expect(compared).toBeGreaterThan(2000);
  });

  test('what is ruled out is in no best schedule', () => {
    let compared = 0;
    for (const one of cuts.slice(0, 60)) {
      const { cut, problem } = one;
      const random = lcg(one.seed + 900);
      const given = randomPrices(one, random);
      const before = cut.excluded.slice();
      cut.members.forEach((members, block) => {
        const { schedule, value } = cut.best(block, given.worth, given.prices);
        const held = [...schedule.starts.keys()].filter((member) => schedule.starts[member] !== NEVER);
        if (held.length === 0) return;
        const member = held[Math.floor(random() * held.length)]!;
        const start = schedule.starts[member]!;
        cut.excluded[members[member]! * (problem.months + 1) + start] = 1;
        expect(cut.holds(schedule)).toBe(false);
        const next = cut.best(block, given.worth, given.prices);
        expect(next.schedule.starts[member]).not.toBe(start);
        expect(next.value).toBeLessThanOrEqual(value + 1e-6);
        expect(cut.holds(next.schedule)).toBe(true);
        cut.excluded.set(before);
        compared++;
      });
    }
    expect(compared).toBeGreaterThan(20);
  });
});

test('two animals that share a controller each hold a copy of it, tied month by month', () => {
  const problem = fourAnimals as unknown as PlanningProblem;
  const cut = cutIntoBlocks(prepareProblem(problem))!;
  const shared = problem.purchases.findIndex(({ id }) => id === 'shared-controller-0');
  const holders = cut.members.flatMap((members, block) => (members.includes(shared) ? [block] : []));
  expect(holders).toHaveLength(2);
  const tied = cut.links.filter(({ terms }) =>
    terms.some(({ block, member }) => cut.members[block]![member] === shared),
  );
  expect(tied).toHaveLength(problem.months);
  for (const { lower, upper, terms } of tied) {
    expect([lower, upper]).toEqual([0, 0]);
    expect(terms.map(({ block }) => block).sort()).toEqual(holders);
    expect(terms.map(({ coefficient }) => coefficient).sort()).toEqual([-1, 1]);
  }
});

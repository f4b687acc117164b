// What measuring is worth, against worked values of decision analysis and against trying every schedule at many chances of a fault.

import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { bestPlan } from '../../src/planner.ts';
import type { PlannedAnimal, PlannedNeed, PlanningProblem } from '../../src/problem.ts';
import type { Solve } from '../../src/what-if.ts';
import {
  blindPlan,
  blindPoints,
  changesNothing,
  gainingChances,
  netWorth,
  type Unsettled,
  worthOfMeasuring,
} from '../../src/worth-of-measuring.ts';
import { lcg, randomProblem } from '../support/random-problem.ts';
import { everySchedule, judge } from '../support/referee.ts';

const solve: Solve = (problem, start) => bestPlan(problem, { start, rounds: 30, exact: 'full' });

// Two animals, four purchases, three months; UV of the first is read as 10 or as 70, the rest is the worked example of the planner.
const example: PlanningProblem = JSON.parse(
  readFileSync(new URL('../cases/plan/worked-example.json', import.meta.url), 'utf8'),
);
const uvUnread: Unsettled = { faulty: withBareValue(example, 'A', 10), fine: withBareValue(example, 'A', 70) };

function withBareValue(problem: PlanningProblem, animalId: string, value: number): PlanningProblem {
  const change = (need: PlannedNeed): PlannedNeed =>
    /^uv$/i.test(need.need)
      ? { ...need, states: need.states.map((one) => (one.needs.length === 0 ? { ...one, value } : one)) }
      : need;
  return {
    ...problem,
    animals: problem.animals.map((one) => (one.id === animalId ? { ...one, needs: one.needs.map(change) } : one)),
  };
}

// Made-up decision: one sum, spent on the animal that may have a fault or on another that surely gains.
function oneDecision(ifFaulty: number, ifFine: number, sure: number): Unsettled {
  const animal = (id: string, purchase: string, gain: number): PlannedAnimal => ({
    id,
    needs: [
      {
        need: 'heat',
        weight: 1,
        allowance: 100,
        lifeCritical: false,
        states: [
          { value: 50 - gain / 2, needs: [] },
          { value: 50 + gain / 2, needs: [purchase] },
        ],
      },
    ],
  });
  const problem = (gain: number): PlanningProblem => ({
    months: 1,
    creditMonths: 0,
    income: [100],
    priority: [1, 1, 1],
    purchases: [
      { id: 'mend', price: 100 },
      { id: 'other', price: 100 },
    ],
    animals: [animal('unknown', 'mend', gain), animal('known', 'other', sure)],
  });
  return { faulty: problem(ifFaulty), fine: problem(ifFine) };
}

describe('worked values', () => {
  // Decision with a fault at chance 0.4: mending gains 40 if there is one and nothing if not, the same money gains 22 elsewhere for sure.
  // Worth without knowing max(16, 22) = 22, with 0.4 x 40 + 0.6 x 22 = 29.2: worked by hand.
  test('perfect news in the small decision is worth 7.2 points', async () => {
    const worth = (await worthOfMeasuring(oneDecision(40, 0, 22), [0], solve))!;
    expect(netWorth(worth, worth.informed[0]!, 0.4)).toBeCloseTo(7.2, 9);
    expect(worth.proved).toBe(true);
  });

  test('news that cannot change what is bought is worth nothing at any chance', async () => {
    const worth = (await worthOfMeasuring(oneDecision(60, 50, 22), [0], solve))!;
    expect(changesNothing(worth)).toBe(true);
    for (const chance of [0, 0.3, 1]) expect(netWorth(worth, worth.informed[0]!, chance)).toBeCloseTo(0, 9);
    expect(gainingChances(worth, worth.informed[0]!)).toBeNull();
  });

  // The worked example's figures for a meter, in weighted points x months, were found by trying all 73 schedules in another program.
  test('in the worked example news is worth 171.2, a reading for 5 148.4, a meter for 10 to 30 66.8 at chance 0.6', async () => {
    const worth = (await worthOfMeasuring(uvUnread, [0, 500, 1000, 2000, 3000], solve))!;
    const nets = worth.informed.map((one) => netWorth(worth, one, 0.6));
    expect(nets.map((one) => Number(one!.toFixed(6)))).toEqual([171.2, 148.4, 66.8, 66.8, 66.8]);
    expect(blindPoints(worth, 0.6)).toBeCloseTo(3852, 6);
    expect(worth.proved).toBe(true);
  });

  test('at chance 0.2 a meter for 10 costs 112: its price delays what matters more', async () => {
    const worth = (await worthOfMeasuring(uvUnread, [1000], solve))!;
    expect(netWorth(worth, worth.informed[0]!, 0.2)).toBeCloseTo(-112, 6);
  });

  // One animal, one sum, three purchases: mending is worth 40 or nothing, the other 0 or 10, half a mend 10 or 9. At chance 0.2 the first
  // two bring 8 each and the third 9.2; knowing brings 0.2 x 40 + 0.8 x 10 = 16: worked by hand.
  test('a plan that is best only between its rivals is found', async () => {
    const problem = (bare: number, gains: Record<string, number>): PlanningProblem => ({
      ...oneDecision(0, 0, 0).fine,
      purchases: Object.keys(gains).map((id) => ({ id, price: 100 })),
      animals: [
        {
          id: 'unknown',
          needs: [
            {
              need: 'heat',
              weight: 1,
              allowance: 100,
              lifeCritical: false,
              states: [
                { value: bare, needs: [] },
                ...Object.entries(gains).map(([id, gain]) => ({ value: bare + gain, needs: [id] })),
              ],
            },
          ],
        },
      ],
    });
    const faulty = problem(10, { mend: 40, 'half a mend': 10, other: 0 });
    const fine = problem(50, { mend: 0, 'half a mend': 9, other: 10 });
    const worth = (await worthOfMeasuring({ faulty, fine }, [0], solve))!;
    expect(blindPlan(worth, 0.2).buys.map(({ purchase }) => purchase)).toEqual(['half a mend']);
    expect(netWorth(worth, worth.informed[0]!, 0.2)).toBeCloseTo(6.8, 9);
  });

  test('a price pays up to the chance at which nobody needs to ask any more', async () => {
    const worth = (await worthOfMeasuring(uvUnread, [1000], solve))!;
    const net = (chance: number) => netWorth(worth, worth.informed[0]!, chance)!;
    const { from, to } = gainingChances(worth, worth.informed[0]!)!;
    expect([net(from), net(to)].map((one) => Math.abs(one) < 1e-6)).toEqual([true, true]);
    expect([from > 0, to < 1]).toEqual([true, true]);
    expect([net(from - 0.01) < 0, net((from + to) / 2) > 0, net(to + 0.01) < 0]).toEqual([true, true, true]);
  });

  // Two months with one sum each: the certain animal is out of its shortfall in the first month, or in the second if that sum was paid.
  test('a price that delays the end of a severe shortfall says by how many months', async () => {
    const inTwoMonths = (problem: PlanningProblem): PlanningProblem => ({
      ...problem,
      months: 2,
      income: [100, 100],
      animals: problem.animals.map((animal) =>
        animal.id === 'known'
          ? {
              ...animal,
              needs: animal.needs.map((need) => ({
                ...need,
                lifeCritical: true,
                states: need.states.map((one) => ({ ...one, severe: one.needs.length === 0 })),
              })),
            }
          : animal,
      ),
    });
    const { faulty, fine } = oneDecision(40, 0, 22);
    const worth = (await worthOfMeasuring({ faulty: inTwoMonths(faulty), fine: inTwoMonths(fine) }, [0, 100], solve))!;
    expect(worth.informed.map((one) => one.status === 'planned' && one.severe)).toEqual([
      { faulty: 0, fine: 0 },
      { faulty: 1, fine: 1 },
    ]);
  });

  test('is proved only where every plan is', async () => {
    const unproved: Solve = async (problem, start) => {
      const answer = await solve(problem, start);
      return 'buys' in answer ? { ...answer, status: 'best-found' } : answer;
    };
    expect((await worthOfMeasuring(oneDecision(40, 0, 22), [0], unproved))!.proved).toBe(false);
  });

  test('a price that the first month cannot pay gives no worth', async () => {
    const worth = (await worthOfMeasuring(uvUnread, [6001], solve))!;
    expect(worth.informed).toEqual([{ status: 'cannot-be-paid', price: 6001 }]);
    expect(netWorth(worth, worth.informed[0]!, 0.5)).toBeNull();
  });
});

describe('against every schedule', () => {
  const chances = [0, 0.1, 0.25, 0.4, 0.5, 0.65, 0.8, 0.95, 1];

  // What the best schedule brings at a chance, fewest severe needs of the certain kind first, by a referee of its own.
  function bestBlind({ faulty, fine }: Unsettled, chance: number): number {
    let best = { severe: Number.POSITIVE_INFINITY, points: Number.NEGATIVE_INFINITY };
    for (const months of everySchedule(faulty)) {
      const [a, b] = [judge(faulty, months), judge(fine, months)];
      if (!a.feasible || !b.feasible) continue;
      const severe = chance * a.severe + (1 - chance) * b.severe;
      const points = chance * a.weighted + (1 - chance) * b.weighted;
      const fewer = severe < best.severe - 1e-9;
      const asFew = Math.abs(severe - best.severe) <= 1e-9;
      if (fewer || (asFew && points > best.points)) best = { severe, points };
    }
    return best.points;
  }

  // Two cases of a random problem: without purchases one need of the first animal is worth little in one and much in the other.
  function unsettledFrom(seed: number): Unsettled {
    const random = lcg(seed * 7 + 3);
    const problem = randomProblem(seed, 4, 3);
    const between = (low: number, high: number) => low + Math.round((high - low) * random());
    const asked = (need: PlannedNeed, bare: number): PlannedNeed => ({
      ...need,
      weight: 40,
      lifeCritical: false,
      states: [
        { value: bare, needs: [] },
        ...need.states.map((one) => ({ ...one, needs: one.needs.length === 0 ? ['a'] : one.needs })),
      ],
    });
    const version = (bare: number): PlanningProblem => ({
      ...problem,
      animals: problem.animals.map((animal, a) => ({
        ...animal,
        needs: animal.needs.map((need, n) => {
          const safe = { ...need, lifeCritical: need.lifeCritical && seed % 2 === 0 };
          return a === 0 && n === 0 ? asked(safe, bare) : safe;
        }),
      })),
    });
    return { faulty: version(between(0, 15)), fine: version(between(75, 100)) };
  }

  test('the best plans unread are those of trying every schedule, and a price pays exactly between the chances told', async () => {
    let [compared, choices, ranges] = [0, 0, 0];
    for (let seed = 1; seed <= 30; seed++) {
      const unsettled = unsettledFrom(seed);
      const worth = await worthOfMeasuring(unsettled, [0, 300], solve);
      if (worth === null) continue;
      if (worth.blind.length > 1) choices++;
      for (const chance of chances) {
        const found = blindPoints(worth, chance);
        expect(found).toBeCloseTo(bestBlind(unsettled, chance), 4);
        const plan = blindPlan(worth, chance);
        expect(chance * plan.faulty + (1 - chance) * plan.fine).toBe(found);
        compared++;
      }
      for (const informed of worth.informed) {
        if (informed.status !== 'planned') continue;
        const range = gainingChances(worth, informed);
        if (range !== null) ranges++;
        for (let step = 0; step <= 100; step++) {
          const net = netWorth(worth, informed, step / 100)!;
          if (Math.abs(net) < 1e-6) continue;
          expect(net > 0).toBe(range !== null && step / 100 > range.from && step / 100 < range.to);
        }
      }
    }
    expect(compared).toBeGreaterThan(150);
    expect(choices).toBeGreaterThan(5);
    expect(ranges).toBeGreaterThan(5);
  });
});

// What changed between two plans, and the calm plan against every mixed plan, each judged by the referee, which shares no code with it.

import { describe, expect, test } from 'vitest';
import { type CalmPlan, calmPlan, planChanges } from '../../src/plan-changes.ts';
import { bestPlan } from '../../src/planner.ts';
import type { Buy, PlanningProblem } from '../../src/problem.ts';
import fourAnimals from '../cases/plan/four-animals-twelve-months.json' with { type: 'json' };
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { lcg, randomProblem } from '../support/random-problem.ts';
import { better, everySchedule, judge, judgeBuys, type Verdict } from '../support/referee.ts';

type Judged = Extract<Verdict, { feasible: true }>;

function buysOf(problem: PlanningProblem, months: readonly (number | null)[]): Buy[] {
  return problem.purchases.flatMap(({ id }, index) => {
    const month = months[index] ?? null;
    return month === null ? [] : [{ purchase: id, month }];
  });
}

/** The best of every schedule and all feasible ones, by the referee; null when none is feasible. */
function allSchedules(problem: PlanningProblem): { best: Buys; feasible: (number | null)[][] } | null {
  let best: { months: (number | null)[]; verdict: Judged } | null = null;
  const feasible: (number | null)[][] = [];
  for (const months of everySchedule(problem)) {
    const verdict = judge(problem, months);
    if (!verdict.feasible) continue;
    feasible.push([...months]);
    if (best === null || better(verdict, best.verdict)) best = { months: [...months], verdict };
  }
  return best === null ? null : { best: { buys: buysOf(problem, best.months), ...best.verdict }, feasible };
}
type Buys = { buys: Buy[] } & Judged;

function refereed(problem: PlanningProblem, buys: readonly Buy[]): Judged {
  const verdict = judgeBuys(problem, buys);
  if (!verdict.feasible) throw new Error(verdict.because);
  return verdict;
}

test('only what differs between two plans is a change, by the first month concerned', () => {
  const before = [
    { purchase: 'lamp', month: 0 },
    { purchase: 'hide', month: 4 },
    { purchase: 'box', month: 2 },
  ];
  const after = [
    { purchase: 'lamp', month: 0 },
    { purchase: 'box', month: 3 },
    { purchase: 'mat', month: 1 },
    { purchase: 'cork', month: 1 },
  ];
  expect(planChanges(before, after)).toEqual([
    { purchase: 'cork', was: null, is: 1 },
    { purchase: 'mat', was: null, is: 1 },
    { purchase: 'box', was: 2, is: 3 },
    { purchase: 'hide', was: 4, is: null },
  ]);
  expect(planChanges(before, before)).toEqual([]);
});

// The figures are those of the worked example, done by hand: P1@0 P3@2 has 3852 points, P1@0 P4@1 P2@2 has 3845.
describe('in the worked example', () => {
  const example = workedExample as PlanningProblem;
  const best = {
    buys: [
      { purchase: 'P1', month: 0 },
      { purchase: 'P3', month: 2 },
    ],
  };
  const runnerUp = [
    { purchase: 'P1', month: 0 },
    { purchase: 'P4', month: 1 },
    { purchase: 'P2', month: 2 },
  ];

  test('three changes that gain 7 points together are held until a change costs less than a third of that', () => {
    const calm = calmPlan(example, runnerUp, best, 2.5);
    expect(calm.buys).toEqual(runnerUp);
    expect(calm.objective.weighted).toBeCloseTo(3845, 9);
    expect(calm.changes).toEqual([]);
    // P2 and P4 can be left out alone; the enclosure can be paid only without both.
    expect(calm.held.map(({ purchase, together }) => [purchase, together])).toEqual([
      ['P4', []],
      ['P2', []],
      ['P3', ['P2', 'P4']],
    ]);
    // Without P4 the snake loses 18 weighted points in month 1 and ten times 18 in the last; without P2 the lizard ten times 15.5.
    expect(calm.held.map(({ gain }) => gain)).toEqual([-198, -155, 7].map((gain) => expect.closeTo(gain, 9)));

    const moved = calmPlan(example, runnerUp, best, 2.3);
    expect(moved.buys).toEqual(best.buys);
    expect(moved.held).toEqual([]);
    // Undoing one alone is possible only for the enclosure; the other two come back only without it.
    expect(moved.changes.map(({ purchase, why, together }) => [purchase, why, together])).toEqual([
      ['P4', 'gains', ['P3']],
      ['P2', 'gains', ['P3']],
      ['P3', 'gains', []],
    ]);
    // 3852 less P1@0 P4@1 (291 + 309 + 10 x 309 = 3690), less P1@0 P2@2 (291 + 291 + 10 x 306.5 = 3647), less P1@0 (12 x 291 = 3492).
    expect(moved.changes.map(({ gain }) => gain)).toEqual([162, 205, 360].map((gain) => expect.closeTo(gain, 9)));
  });

  test('a month that has passed is forced, and what was planned for it follows at once', () => {
    const calm = calmPlan(example, [{ purchase: 'P1', month: -1 }], best, Number.POSITIVE_INFINITY);
    expect(calm.buys).toEqual([{ purchase: 'P1', month: 0 }]);
    // With P1 from the first month 12 x 291 = 3492, without anything 2904.
    expect(calm.changes).toEqual([
      { purchase: 'P1', was: -1, is: 0, why: 'forced', gain: expect.closeTo(588, 9), severe: 12, together: [] },
    ]);
    expect(calm.held).toMatchObject([{ purchase: 'P3', was: null, is: 2, together: [] }]);
  });

  test('what is no longer on the list is forced out', () => {
    const calm = calmPlan(example, [...runnerUp, { purchase: 'sold out', month: 1 }], best);
    expect(calm.changes).toEqual([
      { purchase: 'sold out', was: 1, is: null, why: 'forced', gain: 0, severe: 0, together: [] },
    ]);
  });

  test('a best plan that breaks a rule is refused', () => {
    const tooDear = { buys: [{ purchase: 'P3', month: 0 }] };
    expect(() => calmPlan(example, runnerUp, tooDear)).toThrow(/reserve/);
  });
});

const thresholds = [0, 10, 60, Number.POSITIVE_INFINITY];

/** Random problems with their best plan and an earlier plan: a feasible one, one made for other money, or months drawn blindly. */
function* randomCases(): Generator<{ seed: number; problem: PlanningProblem; best: Buys; earlier: Buy[] }> {
  for (let seed = 1; seed <= 210; seed++) {
    const problem = randomProblem(seed, 4 + (seed % 2));
    const all = allSchedules(problem);
    if (all === null) continue;
    const random = lcg(seed + 5000);
    const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
    let earlier: Buy[];
    if (seed % 3 === 0) earlier = buysOf(problem, pick(all.feasible));
    else if (seed % 3 === 1) {
      const richer = { ...problem, openingCash: (problem.openingCash ?? 0) + 3000 };
      earlier = allSchedules(richer)!.best.buys;
    } else {
      earlier = problem.purchases.flatMap(({ id, ownedSince }) =>
        ownedSince === undefined && random() < 0.6
          ? [{ purchase: id, month: Math.floor(random() * (problem.months + 1)) - 1 }]
          : [],
      );
    }
    yield { seed, problem, best: all.best, earlier };
  }
}

/** Each purchase's months in a calm plan, as the definition says: the earlier one or the best one; with a way out where neither serves. */
function mixedMonths(problem: PlanningProblem, earlier: readonly Buy[], best: readonly Buy[]): (number | null)[][] {
  return problem.purchases.map(({ id, ownedSince, fixedMonth, earliest }) => {
    if (ownedSince !== undefined) return [null];
    const was = earlier.find((one) => one.purchase === id)?.month ?? null;
    const bestMonth = best.find((one) => one.purchase === id)?.month ?? null;
    if (fixedMonth !== undefined) return [fixedMonth];
    if (was === null || (was >= (earliest ?? 0) && was < problem.months)) return [...new Set([was, bestMonth])];
    const next = Math.max(was, earliest ?? 0);
    return [...new Set([...(next < problem.months ? [next] : []), bestMonth, null])];
  });
}

const monthIn = (buys: readonly Buy[], id: string) => buys.find((one) => one.purchase === id)?.month ?? null;

function countChanges(problem: PlanningProblem, earlier: readonly Buy[], buys: readonly Buy[]): number {
  return problem.purchases.filter(({ id }) => monthIn(earlier, id) !== monthIn(buys, id)).length;
}

function withMonths(buys: readonly Buy[], ids: readonly string[], other: readonly Buy[]): Buy[] {
  return [...buys.filter((one) => !ids.includes(one.purchase)), ...other.filter((one) => ids.includes(one.purchase))];
}

function subsetsWith(first: string, others: readonly string[]): string[][] {
  const found: string[][] = [[first]];
  for (const other of others) for (const set of [...found]) found.push([...set, other]);
  return found;
}

/** Checks what a calm plan says of its changes, by trying every group of them with the referee. */
function checkAccount(
  problem: PlanningProblem,
  earlier: readonly Buy[],
  best: readonly Buy[],
  calm: CalmPlan,
): number[] {
  const own = refereed(problem, calm.buys);
  const changed = calm.changes.map((one) => one.purchase);
  let [groups, forced] = [0, 0];
  for (const change of calm.changes) {
    expect(change).toMatchObject({ was: monthIn(earlier, change.purchase), is: monthIn(calm.buys, change.purchase) });
    const undoings = subsetsWith(
      change.purchase,
      changed.filter((id) => id !== change.purchase),
    )
      .map((ids) => ({ ids, verdict: judgeBuys(problem, withMonths(calm.buys, ids, earlier)) }))
      .filter((one) => one.verdict.feasible);
    if (change.why === 'forced') {
      forced++;
      expect(undoings).toEqual([]);
      const left = judgeBuys(
        problem,
        calm.buys.filter((one) => one.purchase !== change.purchase),
      );
      if (left.feasible) {
        expect(change.gain).toBeCloseTo(own.weighted - left.weighted, 6);
        expect(change.severe).toBe(left.severe - own.severe);
      }
      continue;
    }
    expect(Math.min(...undoings.map(({ ids }) => ids.length))).toBe(change.together.length + 1);
    const undone = refereed(problem, withMonths(calm.buys, [change.purchase, ...change.together], earlier));
    expect(change.gain).toBeCloseTo(own.weighted - undone.weighted, 6);
    expect(change.severe).toBe(undone.severe - own.severe);
    expect(change.why).toBe(change.severe > 0 ? 'fewer-severe' : 'gains');
    groups++;
  }
  expect(calm.held.map(({ purchase, was, is }) => ({ purchase, was, is }))).toEqual(planChanges(calm.buys, best));
  for (const held of calm.held) {
    const others = calm.held.map((one) => one.purchase).filter((id) => id !== held.purchase);
    const makings = subsetsWith(held.purchase, others)
      .map((ids) => ({ ids, verdict: judgeBuys(problem, withMonths(calm.buys, ids, best)) }))
      .filter((one) => one.verdict.feasible);
    expect(Math.min(...makings.map(({ ids }) => ids.length))).toBe(held.together.length + 1);
    const made = refereed(problem, withMonths(calm.buys, [held.purchase, ...held.together], best));
    expect(held.gain).toBeCloseTo(made.weighted - own.weighted, 6);
    expect(held.severe).toBe(own.severe - made.severe);
  }
  return [groups, forced, calm.held.length];
}

test('a calm plan keeps its laws on random problems and is the calmest of all mixed plans', () => {
  const count = {
    cases: 0,
    kept: 0,
    groups: 0,
    forced: 0,
    held: 0,
    heldTogether: 0,
    fewerSevere: 0,
    tied: 0,
    nothingLeft: 0,
    saved: 0,
  };
  const mixedPlans = (problem: PlanningProblem, earlier: readonly Buy[], best: readonly Buy[]) => {
    const options = mixedMonths(problem, earlier, best);
    const mixed: { buys: Buy[]; verdict: Judged; changes: number }[] = [];
    const fill = (index: number, months: (number | null)[]): void => {
      if (index < options.length) {
        for (const month of options[index]!) fill(index + 1, [...months, month]);
        return;
      }
      const verdict = judge(problem, months);
      const buys = buysOf(problem, months);
      if (verdict.feasible) mixed.push({ buys, verdict, changes: countChanges(problem, earlier, buys) });
    };
    fill(0, []);
    return mixed;
  };
  for (const { seed, problem, best, earlier: before } of randomCases()) {
    for (const threshold of thresholds) {
      const whole = calmPlan(problem, before, best, threshold);
      const own = refereed(problem, whole.buys);
      const name = `${seed} at ${threshold}`;
      // What brings nothing is dropped whatever the threshold; the other laws hold of the earlier plan without it.
      const saved = whole.changes.filter(({ why }) => why === 'saves');
      for (const { purchase, was, is } of saved) {
        expect(is, name).toBeNull();
        const kept = judgeBuys(problem, [...whole.buys, { purchase, month: was! }]);
        if (kept.feasible) expect(better(own, kept), name).toBe(true);
        count.saved++;
      }
      const isSaved = (id: string) => saved.some(({ purchase }) => purchase === id);
      const earlier = before.filter(({ purchase }) => !isSaved(purchase));
      const calm = { ...whole, changes: whole.changes.filter(({ why }) => why !== 'saves') };
      const mixed = mixedPlans(problem, earlier, best.buys);
      expect(calm.objective.severe, name).toBe(own.severe);
      expect(calm.objective.weighted, name).toBeCloseTo(own.weighted, 6);
      expect(calm.objective.mean, name).toBeCloseTo(own.mean, 6);
      expect(calm.objective.spend, name).toBe(own.spend);
      expect(own.severe, name).toBeLessThanOrEqual(best.severe);
      const changes = countChanges(problem, earlier, calm.buys);
      const allowed = mixed.filter(({ verdict }) => verdict.severe === own.severe);
      expect(Math.min(...mixed.map(({ verdict }) => verdict.severe)), name).toBe(own.severe);
      if (threshold === Number.POSITIVE_INFINITY) {
        expect(changes, name).toBe(Math.min(...allowed.map((one) => one.changes)));
        const left = judgeBuys(problem, earlier);
        if (left.feasible && left.severe === best.severe) {
          expect(planChanges(earlier, calm.buys), name).toEqual([]);
          count.kept++;
        }
      } else {
        const worth = (verdict: Judged, number: number) => verdict.weighted - threshold * number;
        const most = Math.max(...allowed.map((one) => worth(one.verdict, one.changes)));
        expect(worth(own, changes), name).toBeGreaterThanOrEqual(most - 2e-6 * Math.abs(best.weighted));
        const held = calm.held.length;
        expect(own.weighted, name).toBeGreaterThanOrEqual(
          best.weighted - threshold * held - 1e-6 * Math.abs(best.weighted),
        );
      }
      if (threshold === 0) {
        expect(better(best, own), name).toBe(false);
        expect(better(own, best), name).toBe(false);
        const asGood = mixed.filter(({ verdict }) => !better(best, verdict));
        expect(changes, name).toBe(Math.min(...asGood.map((one) => one.changes)));
        if (asGood.length > 1) count.tied++;
      }
      const [groups, forced, held] = checkAccount(problem, earlier, best.buys, calm);
      for (const change of calm.changes) {
        if (change.why === 'fewer-severe') count.fewerSevere++;
        if (change.why !== 'gains' || threshold === Number.POSITIVE_INFINITY) continue;
        const least = threshold * (change.together.length + 1);
        expect(change.gain, name).toBeGreaterThanOrEqual(least - 1e-6 * Math.abs(own.weighted));
      }
      for (const one of calm.held) {
        if (one.together.length > 0) count.heldTogether++;
        if (one.severe < 0) continue;
        const most = threshold * (one.together.length + 1);
        expect(one.gain, name).toBeLessThanOrEqual(most + 1e-6 * Math.abs(own.weighted));
      }
      count.cases++;
      count.groups += groups!;
      count.forced += forced!;
      count.held += held!;
      if (!mixed.some(({ buys }) => planChanges(buys, best.buys).length > 0)) count.nothingLeft++;
    }
  }
  // Each law applied to many cases; a law that applied to none would fail here.
  expect(count.cases).toBeGreaterThan(500);
  expect(count.tied).toBeGreaterThan(0);
  for (const [law, times] of Object.entries({ ...count, tied: 11 })) expect(times, law).toBeGreaterThan(10);
});

test('a chain too long to try one by one changes together, and nothing else with it', () => {
  const links = Array.from({ length: 15 }, (_, k) => `link ${k}`);
  const all = [...links, 'hide', 'mat'].map((purchase) => ({ purchase, month: 0 }));
  const problem: PlanningProblem = {
    months: 2,
    creditMonths: 0,
    income: [0, 0],
    purchases: all.map(({ purchase }) => {
      const before = links[links.indexOf(purchase) - 1];
      return { id: purchase, price: 0, ...(before === undefined ? {} : { requires: [before] }) };
    }),
    animals: [
      {
        id: 'gecko',
        needs: [
          {
            need: 'heat',
            weight: 1,
            allowance: 100,
            lifeCritical: false,
            states: [
              { value: 10, needs: [] },
              { value: 30, needs: ['link 14'] },
            ],
          },
        ],
      },
    ],
  };
  const held = calmPlan(problem, [], { buys: all }, 10).held;
  expect(held).toHaveLength(17);
  for (const { purchase, gain, together } of held) {
    const place = Math.max(0, links.indexOf(purchase));
    expect([...together].sort()).toEqual(links.slice(0, place).sort());
    // Two months of 20 points that count three times each.
    expect(gain).toBeCloseTo(purchase === 'link 14' ? 120 : 0, 9);
  }
  // Fifteen changes gain 120 points: they are worth 8 each, and the two that gain nothing are not made for 0 either.
  expect(calmPlan(problem, [], { buys: all }, 8.01).changes).toEqual([]);
  const made = calmPlan(problem, [], { buys: all }, 7.99);
  expect(made.changes.map((one) => one.purchase).sort()).toEqual([...links].sort());
  expect(made.changes.every((one) => Math.abs(one.gain - 120) < 1e-9)).toBe(true);
  expect(calmPlan(problem, [], { buys: all }, 0).changes).toHaveLength(15);
});

test('with more differences than can be tried one by one, the laws hold on the plans of four animals', async () => {
  const problem = fourAnimals as unknown as PlanningProblem;
  const best = await bestPlan(problem, { rounds: 12, exact: 'none' });
  const poorer = { ...problem, income: problem.income.map((sum) => Math.round(sum * 0.8)) };
  const before = await bestPlan(poorer, { rounds: 3, exact: 'none' });
  if (!('buys' in best) || !('buys' in before)) throw new Error('no plan');
  expect(planChanges(before.buys, best.buys).length).toBeGreaterThan(12);
  const points: number[] = [];
  for (const threshold of [0, 10, 100, 1000, Number.POSITIVE_INFINITY]) {
    const calm = calmPlan(problem, before.buys, best, threshold);
    const own = refereed(problem, calm.buys);
    expect(own.weighted).toBeCloseTo(calm.objective.weighted, 6);
    expect(own.severe).toBeLessThanOrEqual(best.severe);
    if (threshold === 0) expect(better(best, own)).toBe(false);
    if (Number.isFinite(threshold)) {
      expect(own.weighted).toBeGreaterThanOrEqual(best.weighted * (1 - 1e-6) - threshold * calm.held.length);
    }
    for (const change of calm.changes) {
      if (change.why === 'forced') continue;
      const undone = refereed(problem, withMonths(calm.buys, [change.purchase, ...change.together], before.buys));
      expect(change.gain).toBeCloseTo(own.weighted - undone.weighted, 6);
      expect(change.severe).toBe(undone.severe - own.severe);
    }
    for (const held of calm.held) {
      const made = refereed(problem, withMonths(calm.buys, [held.purchase, ...held.together], best.buys));
      expect(held.gain).toBeCloseTo(made.weighted - own.weighted, 6);
    }
    points.push(calm.changes.length);
  }
  // The dearer a change, the fewer are made.
  expect(points).toEqual([...points].sort((a, b) => b - a));
  expect(points[0]).toBeGreaterThan(points[4]!);
});

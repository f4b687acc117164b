// The evaluator against a referee that shares no code with it, and against a worked example done by hand.

import { describe, expect, test, vi } from 'vitest';
import { compareObjectives, evaluateSchedule, priorityPoints } from '../../src/evaluate.ts';
import type { Buy, PlanningProblem } from '../../src/problem.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { randomProblem } from '../support/random-problem.ts';
import { everySchedule, judge } from '../support/referee.ts';

vi.setConfig({ testTimeout: 120_000 });

const example = workedExample as PlanningProblem;

const buysOf = (problem: PlanningProblem, months: readonly (number | null)[]): Buy[] =>
  months.flatMap((month, i) => (month === null ? [] : [{ purchase: problem.purchases[i]!.id, month }]));

test('every schedule of 60 random problems is judged as the referee judges it, to the minor unit', () => {
  let feasible = 0;
  const broken = new Map<string, number>();
  for (let seed = 1; seed <= 60; seed++) {
    const problem = randomProblem(seed);
    let number = 0;
    for (const months of everySchedule(problem)) {
      if (number++ % 9 !== 0) continue;
      const verdict = judge(problem, months);
      const evaluation = evaluateSchedule(problem, buysOf(problem, months));
      if (!verdict.feasible) {
        expect(evaluation.status).toBe('broken');
        broken.set(verdict.because, (broken.get(verdict.because) ?? 0) + 1);
        continue;
      }
      if (evaluation.status !== 'feasible') throw new Error(`seed ${seed}: ${JSON.stringify(evaluation)}`);
      feasible++;
      expect(evaluation.balances).toEqual(verdict.balances);
      expect(evaluation.severe).toBe(verdict.severe);
      expect(evaluation.spend).toBe(verdict.spend);
      expect(evaluation.weighted).toBeCloseTo(verdict.weighted, 9);
      expect(evaluation.mean).toBeCloseTo(verdict.mean, 9);
      evaluation.animals.forEach((animal, a) => {
        animal.months.forEach((month, t) => {
          const score = verdict.scores[a]![t]!;
          if (month === null) expect(score).toBeNull();
          else if (score !== null) expect(month.score).toBeCloseTo(score, 9);
        });
      });
    }
  }
  expect(feasible).toBeGreaterThan(150);
  for (const rule of ['group', 'requires', 'reserve', 'tail']) expect(broken.get(rule) ?? 0, rule).toBeGreaterThan(10);
});

// The worked example, by hand: a lizard A and a snake B; P1 lamp, P2 heating, P3 enclosure, P4 hides and branches.
describe('in the worked example', () => {
  const lastMonth = (buys: Buy[]) => {
    const rich: PlanningProblem = { ...example, openingCash: 100_000 };
    const evaluation = evaluateSchedule(rich, buys);
    if (evaluation.status !== 'feasible') throw new Error(evaluation.rule);
    return evaluation.animals.map((animal) => animal.months[2]!);
  };
  const buy = (...ids: string[]): Buy[] => ids.map((purchase) => ({ purchase, month: 0 }));

  test.each([
    { owned: buy(), animal: 0, mean: 52.5, score: 40, points: 120 },
    { owned: buy(), animal: 1, mean: 41, score: 41, points: 122 },
    { owned: buy('P1'), animal: 0, mean: 64.5, score: 64.5, points: 169 },
    { owned: buy('P2'), animal: 0, mean: 62.5, score: 40, points: 120 },
    { owned: buy('P1', 'P2'), animal: 0, mean: 74.5, score: 74.5, points: 184.5 },
    { owned: buy('P3'), animal: 1, mean: 59, score: 59, points: 158 },
    { owned: buy('P4'), animal: 1, mean: 56, score: 50, points: 140 },
    { owned: buy('P3', 'P4'), animal: 1, mean: 74, score: 74, points: 184 },
  ])('animal $animal scores $score with $owned', ({ owned, animal, mean, score, points }) => {
    const month = lastMonth(owned)[animal]!;
    expect(month.mean).toBeCloseTo(mean, 9);
    expect(month.score).toBeCloseTo(score, 9);
    expect(priorityPoints(month.score)).toBeCloseTo(points, 9);
  });

  test('the lizard is in severe shortfall of light until the lamp is in service', () => {
    const evaluation = evaluateSchedule(example, [{ purchase: 'P1', month: 1 }]);
    if (evaluation.status !== 'feasible') throw new Error(evaluation.rule);
    expect(evaluation.severe).toBe(1);
    const light = evaluation.animals[0]!.months.map((month) => month!.needs.find((need) => need.need === 'uv')!);
    expect(light.map((need) => need.value)).toEqual([10, 90, 90]);
    expect(light.map((need) => need.severe)).toEqual([true, false, false]);
    expect(evaluation.balances).toEqual([6000, 6000, 12000]);
  });
});

test.each([
  { buys: [{ purchase: 'P9', month: 0 }], rule: 'unknown-purchase' },
  { buys: [{ purchase: 'P1', month: 3 }], rule: 'outside-months' },
  { buys: [{ purchase: 'P1', month: 0.5 }], rule: 'outside-months' },
  {
    buys: [
      { purchase: 'P1', month: 0 },
      { purchase: 'P1', month: 1 },
    ],
    rule: 'bought-twice',
  },
  { buys: [{ purchase: 'P3', month: 0 }], rule: 'reserve' },
])('a schedule that breaks the rule $rule says so', ({ buys, rule }) => {
  expect(evaluateSchedule(example, buys)).toMatchObject({ status: 'broken', rule });
});

test('a short balance names the month and the money missing', () => {
  expect(evaluateSchedule(example, [{ purchase: 'P3', month: 0 }])).toEqual({
    status: 'broken',
    rule: 'reserve',
    month: 0,
    shortBy: 5000,
  });
});

test('plans are compared by severe, weighted, mean and spend, and sums within a millionth are equal', () => {
  const plan = { severe: 1, weighted: 1000, mean: 500, spend: 100 };
  expect(compareObjectives({ ...plan, severe: 0, weighted: 1 }, plan)).toBeLessThan(0);
  expect(compareObjectives({ ...plan, weighted: 1000.01 }, plan)).toBeLessThan(0);
  expect(compareObjectives({ ...plan, weighted: 1000.0005, mean: 499 }, plan)).toBeGreaterThan(0);
  expect(compareObjectives({ ...plan, mean: 501, spend: 900 }, plan)).toBeLessThan(0);
  expect(compareObjectives({ ...plan, spend: 99 }, plan)).toBeLessThan(0);
  expect(compareObjectives({ ...plan }, plan)).toBe(0);
});

// The month's pick, and whole plans made of it.

import { describe, expect, test } from 'vitest';
import { prepareProblem } from '../../src/evaluate.ts';
import { pickForMonth, planMonthByMonth } from '../../src/month-pick.ts';
import type { Buy, PlanningProblem } from '../../src/problem.ts';
import fourAnimals from '../cases/plan/four-animals-twelve-months.json' with { type: 'json' };
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { judgeBuys } from '../support/referee.ts';

const example = workedExample as PlanningProblem;

const listOf = (problem: PlanningProblem, bought: Int32Array): Buy[] =>
  [...bought].flatMap((month, i) => (month < 0 ? [] : [{ purchase: problem.purchases[i]!.id, month }]));

describe("the month's pick", () => {
  test('takes the lamp first in the worked example and then saves for the enclosure', () => {
    const prepared = prepareProblem(example);
    const none = new Int32Array(4).fill(-1);
    const first = pickForMonth(prepared, none, 0);
    if (first.status !== 'picked') throw new Error(first.status);
    expect(first.now.flatMap((offer) => offer.purchases)).toEqual([0]);
    const second = pickForMonth(prepared, Int32Array.from([0, -1, -1, -1]), 1);
    if (second.status !== 'picked') throw new Error(second.status);
    expect(second.now).toEqual([]);
    expect(second.savedFor.map((offer) => [offer.purchases, offer.month])).toEqual([[[2], 2]]);
  });

  test('gains exactly what the referee finds between the schedules with and without it', () => {
    const problem = fourAnimals as unknown as PlanningProblem;
    const prepared = prepareProblem(problem);
    const given = Int32Array.from(prepared.fixedMonth);
    const before = judgeBuys(problem, listOf(problem, given));
    if (!before.feasible) throw new Error(before.because);
    let compared = 0;
    for (const month of [0, 3, 7]) {
      const pick = pickForMonth(prepared, given, month);
      if (pick.status !== 'picked') continue;
      for (const offer of [...pick.now, ...pick.savedFor]) {
        const bought = given.slice();
        for (const index of offer.purchases) bought[index] = offer.month;
        const after = judgeBuys(problem, listOf(problem, bought));
        if (!after.feasible) throw new Error(after.because);
        const gain =
          after.weighted - before.weighted + 600 * (before.severe - after.severe) + 0.01 * (after.mean - before.mean);
        expect(offer.gain).toBeCloseTo(gain, 6);
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(2);
  });

  test('makes a whole feasible plan month by month', () => {
    const problem = fourAnimals as unknown as PlanningProblem;
    const verdict = judgeBuys(problem, listOf(problem, planMonthByMonth(prepareProblem(problem))));
    expect(verdict.feasible).toBe(true);
  });
});

// The other rival of the planner: the engine alone on the whole plan as one program, first the severe stage, then the points with
// the severe count it reached; nothing but the engine's own search finds plans.

import { listBuys, measureSchedule, type PreparedProblem } from '../../src/evaluate.ts';
import type { Buy } from '../../src/problem.ts';
import { monthsOfPoint, pointOfMonths, stageProgram, writeWholePlan } from '../../src/program.ts';
import { solveLarge } from '../../src/solver.ts';

/** Share of the time after which the severe stage ends unproved, so that some is left for the points. */
const SHARE_FOR_SEVERE = 2 / 3;

/** What the engine found and proved: a stage's bound is null while it has proved none. */
export type EngineNews = { buys: Buy[]; severeBound: number | null; weightedBound: number | null };

/** Solves until `done`, the share of the time that has passed, is 1; tells of the plan after each stage that has one. */
export async function solveByEngineAlone(
  prepared: PreparedProblem,
  done: () => number,
  tell: (news: EngineNews) => void,
): Promise<void> {
  const plan = writeWholePlan(prepared);
  const nothing = { severe: 0, weighted: 0, mean: 0, spend: 0 };
  const first = await solveLarge(stageProgram(plan, 'severe', nothing), { during: () => done() >= SHARE_FOR_SEVERE });
  if (first.status !== 'optimal' && first.status !== 'within-bound') return;
  const severeBound = first.bound + plan.figures.severe.constant;
  const bought = monthsOfPoint(plan, first.values);
  tell({ buys: listBuys(prepared, bought), severeBound, weightedBound: null });
  const reached = measureSchedule(prepared, bought).sums;
  const second = await solveLarge(stageProgram(plan, 'weighted', reached), {
    start: pointOfMonths(plan, bought),
    during: () => done() >= 1,
  });
  if (second.status !== 'optimal' && second.status !== 'within-bound') return;
  const weightedBound = second.bound + plan.figures.weighted.constant;
  tell({ buys: listBuys(prepared, monthsOfPoint(plan, second.values)), severeBound, weightedBound });
}

// What one change of the question does to the plan: a purchase refused, a purchase insisted on, more money or less. It writes each changed
// question as an ordinary planning problem, so that whoever solves and proves those solves and proves these.

import type { PlanChange } from './plan-changes.ts';
import type { PlanAnswer } from './planner.ts';
import type { Buy, Objective, PlanningProblem } from './problem.ts';

/** Plans a problem from a plan to start with; the caller decides how long, and may end it early with what there is. */
export type Solve = (problem: PlanningProblem, start: readonly Buy[]) => Promise<PlanAnswer>;

/**
 * Another plan less the present one, each summed over the months with the credit: severe needs x months, weighted points, plain score
 * points, and the money spent in minor units.
 */
export type Difference = { severe: number; weighted: number; points: number; spend: number };

/** A plan for a changed question against the present one. `proved`: both are proved to be the best there are. */
export type OtherPlan = {
  status: 'planned';
  buys: Buy[];
  objective: Objective;
  difference: Difference;
  changes: PlanChange[];
  proved: boolean;
};

/** No plan keeps the rules then; or none was found and it was not proved that there is none. */
export type NoPlan = { status: 'impossible' } | { status: 'not-known' };

/** Which purchase is asked about, and whether it is to be bought or not to be bought. */
export type Question = { purchase: string; forced: 'in' | 'out' };

/** What an objection costs. `month`: the month in which the purchase is bought then; null when it is forced out. */
export type Objection = Question & { outcome: (OtherPlan & { month: number | null }) | NoPlan };

/** The best plan that makes another choice. `share`: its weighted points fall short of the present plan's by this share of these. */
export type RunnerUp = {
  buys: Buy[];
  objective: Objective;
  difference: Difference;
  share: number;
  changes: PlanChange[];
  proved: boolean;
};

/** The first month from which an animal has no severe need to its end, in both plans; null when there is no such month. */
export type SevereEnd = { animalId: string; was: number | null; is: number | null };

/** The best plan with `amount` minor units more (less, when negative) than there are. */
export type MoneyStep = { amount: number; outcome: (OtherPlan & { severeEnds: SevereEnd[] }) | NoPlan };

/**
 * Amounts `from` to `to` that all bring the same. `gain`: what this brings beyond the amounts before; null for the first, and where one of
 * the two is no plan.
 */
export type MoneyRange = { from: number; to: number; outcome: MoneyStep['outcome']; gain: Difference | null };

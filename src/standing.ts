// The best plan so far and what is proved about it: the only place where a bound becomes a claim. A bound is moved by the engines'
// tolerance before it counts, and nothing is called optimal that was not proved in all four figures.

import {
  compareObjectives,
  countsSevereWhole,
  firstBrokenRule,
  listBuys,
  measureSchedule,
  type PreparedProblem,
} from './evaluate.ts';
import type { PlanAnswer } from './problem.ts';
import type { FoundPlan } from './search.ts';

/** A bound from an engine is moved by its tolerance, so that rounding never puts it on the wrong side of a plan. */
const BOUND_MARGIN = 2e-6;

/** The best plan so far and what is proved about it. */
export type PlanStanding = {
  best(): FoundPlan | null;
  /** Takes a plan when it is feasible and better; true when taken. */
  offer(plan: FoundPlan): boolean;
  /** No plan has fewer severe needs than this (may be fractional). */
  proveSevere(bound: number): void;
  /** No plan with at most `severe` severe needs has more points than this. */
  proveWeighted(severe: number, bound: number): void;
  /** The best plan has all four figures proved. */
  proveOptimal(): void;
  isOptimal(): boolean;
  severeIsProved(): boolean;
  answer(rounds: number): PlanAnswer;
};

/** Begins with no plan and nothing proved. */
export function makeStanding(prepared: PreparedProblem): PlanStanding {
  let best: FoundPlan | null = null;
  let severeBound: number | null = null;
  let weightedBounds: { severe: number; bound: number }[] = [];
  let optimal = false;
  // With whole weights and shares, the count of severe needs is whole too and its bound may be rounded up.
  const wholeCount = countsSevereWhole(prepared);
  const provedSevere = (): boolean =>
    best !== null && severeBound !== null && best.objective.severe <= severeBound + 1e-9;
  const weightedBound = (): number | null => {
    if (best === null) return null;
    const { severe, weighted } = best.objective;
    const fitting = weightedBounds.filter((entry) => severe <= entry.severe + 1e-9).map((entry) => entry.bound);
    return fitting.length === 0 ? null : Math.max(weighted, Math.min(...fitting));
  };
  return {
    best: () => best,
    offer(plan) {
      if (best !== null && compareObjectives(plan.objective, best.objective) >= 0) return false;
      if (firstBrokenRule(prepared, plan.bought) !== null) return false;
      best = { bought: plan.bought.slice(), objective: measureSchedule(prepared, plan.bought).sums };
      return true;
    },
    proveSevere(bound) {
      const safe = bound - BOUND_MARGIN * Math.max(1, Math.abs(bound)) * 10;
      const usable = Math.max(0, wholeCount ? Math.ceil(safe) : safe);
      severeBound = Math.max(severeBound ?? 0, usable);
    },
    proveWeighted(severe, bound) {
      weightedBounds = [...weightedBounds, { severe, bound: bound + BOUND_MARGIN * Math.max(1, Math.abs(bound)) }];
    },
    proveOptimal() {
      optimal = true;
    },
    isOptimal: () => optimal,
    severeIsProved: provedSevere,
    answer(rounds) {
      if (best === null) return { status: 'undecided', rounds };
      const { objective } = best;
      const bound = optimal ? objective.weighted : weightedBound();
      const severe = severeBound === null ? null : Math.min(severeBound, objective.severe);
      const status = optimal ? 'optimal' : severe !== null && bound !== null ? 'within-bound' : 'best-found';
      return {
        status,
        buys: listBuys(prepared, best.bought),
        ...objective,
        severeBound: severe,
        weightedBound: bound,
        rounds,
      };
    },
  };
}

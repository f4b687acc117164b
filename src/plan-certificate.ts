// What is known about a plan beside the plan itself: how much better any other could be, and what a proof made for one plan says about
// another that is shown in its place.

import { nearlyEqual } from './evaluate.ts';
import type { Buy, FoundAnswer, Objective } from './problem.ts';

/**
 * How far a plan may be from the best, as far as it is proved. `severe`: 'fewest' when no plan has fewer severe needs, as with none at
 * all, or the number that no plan is below, or null. `weighted`: by how many weighted points, and by what share of this plan's own (null when it has
 * none), a plan with no more severe needs could at most be better; null when nothing is proved.
 */
export type ProvedGap = {
  severe: 'fewest' | { notBelow: number } | null;
  weighted: { points: number; share: number | null } | null;
};

/** The proved gap of a plan; a difference of less than a millionth is none. */
export function provedGap({ severe, weighted, severeBound, weightedBound }: FoundAnswer): ProvedGap {
  const points =
    weightedBound === null || nearlyEqual(weighted, weightedBound) ? 0 : Math.max(0, weightedBound - weighted);
  return {
    severe:
      severe <= Math.max(0, severeBound ?? 0) + 1e-9
        ? 'fewest'
        : severeBound === null
          ? null
          : { notBelow: severeBound },
    weighted:
      weightedBound === null ? null : { points, share: points === 0 ? 0 : weighted > 0 ? points / weighted : null },
  };
}

/**
 * The answer for another plan of the same problem, with what the proofs of `found` say about it. It is 'optimal' only when it equals a
 * plan proved best in all four figures. The other plan must have no more severe needs than `found`, or the bound of the points would
 * not hold for it: RangeError.
 */
export function carryProof(found: FoundAnswer, buys: readonly Buy[], objective: Objective): FoundAnswer {
  if (objective.severe > found.severe + 1e-9)
    throw new RangeError('a plan with more severe needs than the one a bound was proved for');
  const { severe, weighted, mean, spend } = objective;
  const equal =
    nearlyEqual(severe, found.severe) &&
    nearlyEqual(weighted, found.weighted) &&
    nearlyEqual(mean, found.mean) &&
    spend === found.spend;
  return {
    status: found.status === 'optimal' && !equal ? 'within-bound' : found.status,
    buys: [...buys],
    severe,
    weighted,
    mean,
    spend,
    severeBound: found.severeBound,
    weightedBound: found.weightedBound === null ? null : Math.max(found.weightedBound, weighted),
    rounds: found.rounds,
  };
}

// How two plans of the same problem are compared, and when a change of plan is worth the upset: each purchase that moves costs the
// keeper a threshold of points, and what does not gain that much stays where it was.

import type { Buy, Objective } from './problem.ts';

/** A purchase that two plans put in different months of the same problem; null where it is not bought. */
export type PlanChange = { purchase: string; was: number | null; is: number | null };

/**
 * A change that was made, and why. `together`: the purchases that must change with it, none when it stands alone. `gain` (weighted points
 * x months) and `severe` (severe needs x months fewer) are those of the whole group: what would be lost by undoing it. 'forced': there is
 * no undoing it, since the earlier month is no longer possible; then both are what its new month is worth against leaving it out.
 */
export type ReasonedChange = PlanChange & {
  why: 'forced' | 'fewer-severe' | 'gains';
  gain: number;
  severe: number;
  together: string[];
};

/** A change that was not made, with what must go with it, and what the whole group would gain in weighted points x months. */
export type HeldChange = PlanChange & { gain: number; together: string[] };

/** A plan kept calm: what to buy, its figures, the changes from the earlier plan, and those the best plan would make besides. */
export type CalmPlan = { buys: Buy[]; objective: Objective; changes: ReasonedChange[]; held: HeldChange[] };

/** What each changed purchase must gain, in weighted points x months (common practice, no source: this ledger's own value choice). */
export const DEFAULT_CALM_THRESHOLD = 10;

/** The purchases that two plans put in different months, by the first month concerned and then by id; none when the plans agree. */
export function planChanges(before: readonly Buy[], after: readonly Buy[]): PlanChange[] {
  const was = new Map(before.map((one) => [one.purchase, one.month]));
  const is = new Map(after.map((one) => [one.purchase, one.month]));
  const changes = [...new Set([...was.keys(), ...is.keys()])]
    .map((purchase): PlanChange => ({ purchase, was: was.get(purchase) ?? null, is: is.get(purchase) ?? null }))
    .filter((one) => one.was !== one.is);
  const first = (one: PlanChange) => Math.min(one.was ?? Number.POSITIVE_INFINITY, one.is ?? Number.POSITIVE_INFINITY);
  return changes.sort((a, b) => first(a) - first(b) || (a.purchase < b.purchase ? -1 : 1));
}

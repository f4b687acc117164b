// Which purchases do not hang on our value choices: the other weights and the other ends of the evidence under which a plan is made
// again, and how often each purchase comes back.

import type { LedgerFacts } from './ledger-problem.ts';
import type { Buy } from './problem.ts';
import { DEFAULT_CHOICES } from './score.ts';
import { NEEDS, type Need } from './species.ts';

const WEIGHT_SETS = ['own', 'equal', 'rank-order'] as const;
const EVIDENCE_ENDS = ['own', 'low', 'high'] as const;

/** Under what a plan is made again: which weights, and which end of the evidence; 'own' is what the keeper chose. */
export type Variant = {
  weights: (typeof WEIGHT_SETS)[number];
  evidence: (typeof EVIDENCE_ENDS)[number];
};

/** A variant's name, by which plans are told apart: 'present', 'weights-equal', 'evidence-low', 'weights-equal-evidence-low' ... */
export type VariantName =
  | 'present'
  | 'weights-equal'
  | 'weights-rank-order'
  | 'evidence-low'
  | 'evidence-high'
  | `weights-${'equal' | 'rank-order'}-evidence-${'low' | 'high'}`;

/** A purchase and whether it is in every plan, in some or in none, with the names of the plans that hold it. */
export type RobustLabel = { purchase: string; label: 'every' | 'some' | 'none'; in: string[] };

/**
 * Rank-order-centroid weights of `count` needs, the heaviest first: w_k = (1/n) x (1/k + 1/(k + 1) + ... + 1/n). They add up to 1.
 * Source of the formula: Barron & Barrett 1996, Management Science 42(11), "Decision quality using ranked attribute weights" (from memory).
 */
export function rankOrderCentroid(count: number): number[] {
  return Array.from({ length: count }, (_, place) => {
    let sum = 0;
    for (let rank = place + 1; rank <= count; rank++) sum += 1 / rank;
    return sum / count;
  });
}

/** The needs from the heaviest to the lightest, by the default weights when not given; those that weigh the same in the order of NEEDS. */
export function needsByWeight(weights: Record<Need, number> = DEFAULT_CHOICES.weights): Need[] {
  return [...NEEDS].sort((a, b) => weights[b] - weights[a]);
}

/** Weights that add up to 100: all equal, or the rank-order-centroid ones of the needs from the heaviest to the lightest in `weights`. */
export function weightSet(
  name: 'equal' | 'rank-order',
  weights: Record<Need, number> = DEFAULT_CHOICES.weights,
): Record<Need, number> {
  const order = needsByWeight(weights);
  const shares = name === 'equal' ? order.map(() => 1 / order.length) : rankOrderCentroid(order.length);
  return Object.fromEntries(order.map((need, place) => [need, 100 * shares[place]!])) as Record<Need, number>;
}

/**
 * The facts of a ledger under three sets of weights (the keeper's own, all equal, rank-order-centroid) and three ends of the evidence (the
 * keeper's own place in the range, its low end, its high end): at most nine, the present one first, then those that differ from it in one
 * thing, then the rest. A variant that says the same as one before it is left out.
 */
export function variantsOf(facts: LedgerFacts): { name: VariantName; variant: Variant; facts: LedgerFacts }[] {
  const seen = new Set<string>();
  return WEIGHT_SETS.flatMap((weights) => EVIDENCE_ENDS.map((evidence): Variant => ({ weights, evidence })))
    .sort((a, b) => differences(a) - differences(b))
    .map((variant) => ({ name: nameOf(variant), variant, facts: factsUnder(facts, variant) }))
    .filter(({ facts: { choices } }) => {
      const shares = sharesOf(choices.weights);
      const key = JSON.stringify([NEEDS.map((need) => shares[need].toFixed(9)), choices.alpha]);
      if (seen.has(key)) return false;
      seen.add(key);
      return true;
    });
}

/** For each purchase, in the order given, whether it is in every one of these plans, in some or in none; no plans give none. */
export function robustLabels(
  purchases: readonly string[],
  plans: readonly { name: string; buys: readonly Buy[] }[],
): RobustLabel[] {
  return purchases.map((purchase) => {
    const holding = plans.filter(({ buys }) => buys.some((one) => one.purchase === purchase)).map(({ name }) => name);
    const label = holding.length === 0 ? 'none' : holding.length === plans.length ? 'every' : 'some';
    return { purchase, label, in: holding };
  });
}

function differences({ weights, evidence }: Variant): number {
  return (weights === 'own' ? 0 : 1) + (evidence === 'own' ? 0 : 1);
}

function nameOf({ weights, evidence }: Variant): VariantName {
  if (weights === 'own') return evidence === 'own' ? 'present' : `evidence-${evidence}`;
  return evidence === 'own' ? `weights-${weights}` : `weights-${weights}-evidence-${evidence}`;
}

function factsUnder(facts: LedgerFacts, { weights, evidence }: Variant): LedgerFacts {
  const { choices } = facts;
  return {
    ...facts,
    choices: {
      ...choices,
      weights: weights === 'own' ? choices.weights : weightSet(weights),
      alpha: evidence === 'low' ? 0 : evidence === 'high' ? 1 : choices.alpha,
    },
  };
}

function sharesOf(weights: Record<Need, number>): Record<Need, number> {
  const total = NEEDS.reduce((sum, need) => sum + weights[need], 0);
  return Object.fromEntries(NEEDS.map((need) => [need, weights[need] / total])) as Record<Need, number>;
}

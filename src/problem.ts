// The form of a planning problem: what can be bought, what it costs, what it gives each animal, and the money to come.
// It knows the fields and their plain-worded rules; it refuses to know how a plan is found.

/** One state of a need: it holds in a month when all of `needs` are in service and none of `blockedBy` is. */
export type NeedState = {
  /** What the need scores while this state holds, 0-100: one number, or one a month. */
  value: number | readonly number[];
  /** Ids of the purchases that must be in service. */
  needs: readonly string[];
  /** Ids of the purchases that end the state once in service (none). */
  blockedBy?: readonly string[] | undefined;
  /** Whether the state is a severe shortfall of a life-critical need (value below 20 in that month). */
  severe?: boolean | undefined;
};

/** One need of one animal. */
export type PlannedNeed = {
  need: string;
  /** Share of the mean, 0 or more; only ratios between needs count. */
  weight: number;
  /** Points by which the animal's score may exceed this need's value, 0 or more. */
  allowance: number;
  lifeCritical: boolean;
  /** Months in which the need does not count, such as winter rest (none). */
  offMonths?: readonly number[] | undefined;
  states: readonly NeedState[];
};

/** One animal, counted in months `from` <= t < `until`. */
export type PlannedAnimal = {
  id: string;
  /** First month counted (0). */
  from?: number | undefined;
  /** First month no longer counted (the number of months). */
  until?: number | undefined;
  /** How much it counts in every sum, above 0 (1): below 1 it is one of the states that something not known may be in, with its chance. */
  share?: number | undefined;
  needs: readonly PlannedNeed[];
};

/** One thing that can be bought once, or is owned already. Money is in whole minor units. */
export type Purchase = {
  id: string;
  /** Paid in the month of buying, 0 or more. */
  price: number;
  /** First month in which it may be bought (0). */
  earliest?: number | undefined;
  /** The month in which it is bought, no choice left: it is ordered or pinned. */
  fixedMonth?: number | undefined;
  /** Months from buying to service (0). */
  lead?: number | undefined;
  /** Paid in each month in service, the first included (0); a saving is negative. */
  monthlyCost?: number | undefined;
  /** Months between renewals, 1 or more (never renewed). */
  life?: number | undefined;
  /** Paid at each renewal, 0 or more (0). */
  renewal?: number | undefined;
  /** Ids, or lists of ids of which one is enough, that must be in service when this enters service. */
  requires?: readonly (string | readonly string[])[] | undefined;
  /** Names of groups of which at most one member may be bought. */
  groups?: readonly string[] | undefined;
  /** Ids that cost nothing any more from the month in which this is in service. */
  retires?: readonly string[] | undefined;
  /** Money in, `after` months after this enters service, if that is inside the plan. */
  proceeds?: { amount: number; after: number } | undefined;
  /** A negative month: owned and in service since then, price not paid again. */
  ownedSince?: number | undefined;
};

/** Everything a planner needs to know. Lists by month have `months` entries; ids are unique; every id named exists. */
export type PlanningProblem = {
  /** Months planned, 1 or more. */
  months: number;
  /** Months of credit for the state reached at the end, 0 or more: the last month weighs 1 + this, every other month 1. */
  creditMonths: number;
  /** Cash before month 0 (0). */
  openingCash?: number | undefined;
  /** Balance that no month may end below, one number or one a month (0). */
  reserve?: number | readonly number[] | undefined;
  /** Money still to come, by month. */
  income: readonly number[];
  /** Money already promised, by month (0). */
  committed?: readonly number[] | undefined;
  /** Most that the things in service in the last month may cost a month from then on, renewals spread over their lives (no rule). */
  tailIncome?: number | undefined;
  purchases: readonly Purchase[];
  animals: readonly PlannedAnimal[];
  /** How often a point of score counts below 40, from 40 to 70, and above 70; never rising (DEFAULT_PRIORITY). */
  priority?: Priority | undefined;
};

/** How often a point of an animal's score counts below 40, from 40 to 70, and above 70: none below 0, none above the one before. */
export type Priority = readonly [below40: number, to70: number, above70: number];

/** The worst-off first: a value choice of this ledger, not a published constant. */
export const DEFAULT_PRIORITY: Priority = [3, 2, 1];

/** A purchase and the month in which it is bought. A schedule is a list of these. */
export type Buy = { purchase: string; month: number };

/** The four figures by which plans are compared, in this order: fewest severe, most weighted, highest mean, least spend. */
export type Objective = { severe: number; weighted: number; mean: number; spend: number };

/**
 * A plan and how sure it is. 'optimal': all four stages are proved. 'within-bound': both bounds are proved and a gap may be
 * left. 'best-found': nothing better was found. `severeBound`: no plan has fewer severe needs. `weightedBound`: no plan with
 * at most this plan's severe count has more points. A bound is null until it is proved. 'undecided': no plan was found, and
 * it was not proved that there is none. 'infeasible': the longest-lasting money is short in `shortMonth` by `shortBy`.
 */
export type PlanAnswer =
  | ({
      status: 'optimal' | 'within-bound' | 'best-found';
      buys: Buy[];
      severeBound: number | null;
      weightedBound: number | null;
      rounds: number;
    } & Objective)
  | { status: 'infeasible'; shortMonth: number; shortBy: number; rounds: number }
  | { status: 'undecided'; rounds: number };

/** An answer that is a plan. */
export type FoundAnswer = Extract<PlanAnswer, { buys: Buy[] }>;

/** The score a need must reach not to be severe, unless its state says so itself. */
export const SEVERE_BELOW = 20;

/** The value in a month of something given as one number or as one a month; 0 when it is left out. */
export function valueInMonth(given: number | readonly number[] | undefined, month: number): number {
  if (given === undefined) return 0;
  return typeof given === 'number' ? given : (given[month] ?? 0);
}

/** How many times a month counts: 1, and for the last month 1 + `creditMonths`. */
export function monthWeight(problem: PlanningProblem, month: number): number {
  return month === problem.months - 1 ? 1 + problem.creditMonths : 1;
}

/** Each requirement of a purchase as the list of ids of which one is enough. */
export function alternativesRequired(purchase: Purchase): readonly (readonly string[])[] {
  return (purchase.requires ?? []).map((entry) => (typeof entry === 'string' ? [entry] : entry));
}

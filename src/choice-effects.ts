// What another value choice would do to the present plan: which other choices are worth trying, and how a plan made by one of them is
// judged, by the present choices (what would be lost by them) and by its own.

import {
  compareObjectives,
  type Evaluation,
  evaluatePrepared,
  type PreparedProblem,
  prepareProblem,
} from './evaluate.ts';
import { buildProblem, type LedgerFacts, type PlanMoney } from './ledger-problem.ts';
import { type PlanChange, planChanges } from './plan-changes.ts';
import { type Buy, DEFAULT_PRIORITY, type FoundAnswer, type PlanningProblem, type Priority } from './problem.ts';
import { pointsOf } from './roadmap.ts';
import { weightSet } from './robust.ts';
import { DEFAULT_CHOICES, type ValueChoices } from './score.ts';
import { NEEDS, type Need } from './species.ts';
import type { Difference, NoPlan, Solve } from './what-if.ts';

/** How many months a plan looks ahead in a new ledger (this ledger's own value choice). */
export const DEFAULT_HORIZON_MONTHS = 12;

/** How many months a plan may look ahead at most. */
export const LONGEST_HORIZON_MONTHS = 36;

/** How many months beyond the plan the state reached at its end counts in a new ledger (this ledger's own value choice). */
export const DEFAULT_CREDIT_MONTHS = 9;

/**
 * One value choice changed. 'default': as in a new ledger. Weights: all 'equal', or by the 'rank-order' of the needs alone. Allowances:
 * every one STEP points 'looser' or 'tighter', within 0 to 100. Priority 'flat': every point of score counts once. `months`: how many then.
 */
export type OtherChoice =
  | { choice: 'weights'; alternative: 'default' | 'equal' | 'rank-order' }
  | { choice: 'allowances'; alternative: 'default' | 'looser' | 'tighter' }
  | { choice: 'priority'; alternative: 'default' | 'flat' }
  | { choice: 'horizon'; alternative: 'default' | 'shorter' | 'longer'; months: number }
  | { choice: 'credit'; alternative: 'default' | 'none' | 'longer'; months: number };

/**
 * The plan of a changed question against the present plan. `byPresent`: judged by the present question, which keeps to the other plan in
 * the months that both have and plans on by itself in the months that only it has; null when that breaks a rule. `byOther`: judged by the
 * changed question; null when the present plan breaks a rule there. `proved`: both plans are proved to be the best there are.
 */
export type PlanEffect = {
  status: 'planned';
  changes: PlanChange[];
  byPresent: Difference | null;
  byOther: Difference | null;
  proved: boolean;
};

/** What one other value choice would do to the present plan. */
export type ChoiceEffect = OtherChoice & { outcome: PlanEffect | NoPlan };

/** How many months of money must be known for every alternative to a plan of so many months to be tried. */
export function monthsAhead(months: number): number {
  return Math.max(DEFAULT_HORIZON_MONTHS, longerThan(months));
}

function longerThan(months: number): number {
  return Math.max(months, Math.min(LONGEST_HORIZON_MONTHS, months + Math.ceil(months / 2)));
}

/** How many points every allowance is made looser or tighter to see what hangs on it (this ledger's own choice). */
export const ALLOWANCE_STEP = 20;

/** The alternatives to the present choices of a ledger, those that come to the same left out, each with the facts as it changes them. */
export function alternativesTo(
  facts: LedgerFacts,
  moneyAhead: PlanMoney,
): { other: OtherChoice; facts: LedgerFacts }[] {
  const { choices, months, creditMonths } = facts;
  const choosing = (changed: Partial<ValueChoices>): LedgerFacts => ({ ...facts, choices: { ...choices, ...changed } });
  const priorities = { flat: [1, 1, 1], default: DEFAULT_PRIORITY } satisfies Record<string, Priority>;
  const weights = {
    equal: weightSet('equal'),
    'rank-order': weightSet('rank-order', choices.weights),
    default: DEFAULT_CHOICES.weights,
  };
  const allowances = {
    looser: movedBy(choices.allowances, ALLOWANCE_STEP),
    tighter: movedBy(choices.allowances, -ALLOWANCE_STEP),
    default: DEFAULT_CHOICES.allowances,
  };
  const credits = { none: 0, longer: Math.max(1, 2 * creditMonths), default: DEFAULT_CREDIT_MONTHS };
  const reach = moneyAhead.income.length;
  const horizons = { shorter: Math.ceil(months / 2), longer: longerThan(months), default: DEFAULT_HORIZON_MONTHS };
  const all: { other: OtherChoice; facts: LedgerFacts }[] = [
    ...namesOf(priorities).map((alternative) => ({
      other: { choice: 'priority', alternative } as const,
      facts: choosing({ priority: priorities[alternative] }),
    })),
    ...namesOf(weights)
      // Weights that are all the same have no order.
      .filter((alternative) => alternative !== 'rank-order' || new Set(Object.values(choices.weights)).size > 1)
      .map((alternative) => ({
        other: { choice: 'weights', alternative } as const,
        facts: choosing({ weights: weights[alternative] }),
      })),
    ...namesOf(allowances).map((alternative) => ({
      other: { choice: 'allowances', alternative } as const,
      facts: choosing({ allowances: allowances[alternative] }),
    })),
    ...namesOf(credits).map((alternative) => ({
      other: { choice: 'credit', alternative, months: credits[alternative] } as const,
      facts: { ...facts, creditMonths: credits[alternative] },
    })),
    ...namesOf(horizons)
      .filter((alternative) => horizons[alternative] <= reach)
      .map((alternative) => ({
        other: { choice: 'horizon', alternative, months: horizons[alternative] } as const,
        facts: { ...facts, months: horizons[alternative], money: moneyOver(moneyAhead, horizons[alternative]) },
      })),
  ];
  const seen = new Set(all.map(({ other }) => whatCounts(other.choice, facts)));
  return all.filter(({ other, facts: changed }) => {
    const key = whatCounts(other.choice, changed);
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

/**
 * What each other value choice would do to the present plan of a ledger, one at a time, each as soon as it is known. `problem` is the one
 * that the present plan answers; `moneyAhead` the money over at least as many months, better over monthsAhead, and no plan looks further.
 */
export async function* choiceEffects(
  facts: LedgerFacts,
  problem: PlanningProblem,
  present: FoundAnswer,
  moneyAhead: PlanMoney,
  solve: Solve,
): AsyncGenerator<ChoiceEffect> {
  for (const { other, facts: changed } of alternativesTo(facts, moneyAhead)) {
    yield { ...other, outcome: await effectOf(problem, present, buildProblem(changed).problem, solve) };
  }
}

/**
 * What a changed question does to the present plan: one solve, and one more when the changed one looks less far ahead. With the priority
 * set flat, `byPresent.points` is the price of the priority: the plain points that favouring the worst off gives up.
 */
export async function effectOf(
  problem: PlanningProblem,
  present: FoundAnswer,
  changed: PlanningProblem,
  solve: Solve,
): Promise<PlanEffect | NoPlan> {
  const [here, there] = [prepareProblem(problem), prepareProblem(changed)];
  const found = await planFrom(there, present.buys, solve);
  if (!('buys' in found)) return found;
  const isShorter = changed.months < problem.months;
  const carried = isShorter
    ? await planFrom(prepareProblem(keptIn(problem, changed, found.buys)), present.buys, solve)
    : { buys: within(here, found.buys), proved: true };
  const isKept = 'buys' in carried;
  const then = isShorter && isKept ? carried.buys : found.buys;
  return {
    status: 'planned',
    // What only months beyond the present plan bring is no change of it.
    changes: planChanges(present.buys, then).filter(({ was, is }) => was !== null || (is ?? 0) < problem.months),
    byPresent: isKept ? differenceIn(here, carried.buys, present.buys) : null,
    byOther: differenceIn(there, found.buys, present.buys),
    proved: found.proved && (!isKept || carried.proved) && present.status === 'optimal',
  };
}

type Found = { buys: Buy[]; proved: boolean };

// Plans from as much of a plan as another question takes; a plan that is at hand is never given up for a worse one.
async function planFrom(prepared: PreparedProblem, buys: readonly Buy[], solve: Solve): Promise<Found | NoPlan> {
  const starts = [within(prepared, buys), within(prepared, [])];
  const start = starts.find((one) => evaluatePrepared(prepared, one).status === 'feasible');
  const answer = await solve(prepared.problem, start ?? []);
  if (!('buys' in answer)) {
    if (start !== undefined) return { buys: start, proved: false };
    return { status: answer.status === 'infeasible' ? 'impossible' : 'not-known' };
  }
  const known = start === undefined ? null : feasible(evaluatePrepared(prepared, start));
  return known !== null && compareObjectives(known, answer) < 0
    ? { buys: start!, proved: false }
    : { buys: answer.buys, proved: answer.status === 'optimal' };
}

// As much of a plan as a question allows in its months, and what it has fixed.
function within({ problem, months }: PreparedProblem, buys: readonly Buy[]): Buy[] {
  return problem.purchases.flatMap(({ id, earliest = 0, fixedMonth, ownedSince }) => {
    if (ownedSince !== undefined) return [];
    if (fixedMonth !== undefined) return [{ purchase: id, month: fixedMonth }];
    const month = buys.find((one) => one.purchase === id)?.month;
    return month === undefined || month < earliest || month >= months ? [] : [{ purchase: id, month }];
  });
}

// The present question when its first months are bought as the changed one says; what it left out there comes later or not at all.
function keptIn(problem: PlanningProblem, { months }: PlanningProblem, buys: readonly Buy[]): PlanningProblem {
  return {
    ...problem,
    purchases: problem.purchases.map((one) => {
      if (one.ownedSince !== undefined || one.fixedMonth !== undefined) return one;
      const month = buys.find(({ purchase }) => purchase === one.id)?.month;
      return month === undefined
        ? { ...one, earliest: Math.max(one.earliest ?? 0, months) }
        : { ...one, fixedMonth: month };
    }),
  };
}

function differenceIn(prepared: PreparedProblem, other: readonly Buy[], present: readonly Buy[]): Difference | null {
  const [is, was] = [other, present].map((buys) => feasible(evaluatePrepared(prepared, within(prepared, buys))));
  if (is == null || was == null) return null;
  const points = pointsOf(prepared.problem, is) - pointsOf(prepared.problem, was);
  return {
    severe: is.severe - was.severe,
    weighted: is.weighted - was.weighted,
    points,
    spend: is.spend - was.spend,
  };
}

function feasible(evaluation: Evaluation): Extract<Evaluation, { status: 'feasible' }> | null {
  return evaluation.status === 'feasible' ? evaluation : null;
}

function moneyOver(money: PlanMoney, months: number): PlanMoney {
  const [income, committed] = [money.income.slice(0, months), money.committed.slice(0, months)];
  const { floors } = money;
  return { ...money, income, committed, ...(floors === undefined ? {} : { floors: floors.slice(0, months) }) };
}

function movedBy(allowances: Record<Need, number>, step: number): Record<Need, number> {
  const moved = NEEDS.map((need) => [need, Math.min(100, Math.max(0, allowances[need] + step))]);
  return Object.fromEntries(moved) as Record<Need, number>;
}

function namesOf<Name extends string>(named: Record<Name, unknown>): Name[] {
  return Object.keys(named) as Name[];
}

// What a plan is decided by of one choice: of weights, and of the three of a priority, only the ratios.
function whatCounts(choice: OtherChoice['choice'], { choices, months, creditMonths }: LedgerFacts): string {
  const inOrder = (values: Record<Need, number>) => NEEDS.map((need) => values[need]);
  const sharesOf = (values: readonly number[]) => {
    const total = values.reduce((sum, one) => sum + one, 0);
    return values.map((one) => (one / total).toFixed(9));
  };
  const counts = {
    priority: () => sharesOf(choices.priority),
    weights: () => sharesOf(inOrder(choices.weights)),
    allowances: () => inOrder(choices.allowances),
    credit: () => [creditMonths],
    horizon: () => [months],
  };
  return `${choice} ${counts[choice]().join(' ')}`;
}

// What it is worth to measure something before money is spent on it: the best plans while it is not known, whatever the chance of a
// fault, against the best plans once it is known and the measuring is paid from the same money. Knows nothing of readings or meters.

import { boughtMonths, measureSchedule, type PreparedProblem, prepareProblem } from './evaluate.ts';
import type { Buy, FoundAnswer, Objective, PlannedAnimal, PlanningProblem } from './problem.ts';
import type { Solve } from './what-if.ts';

/**
 * Two planning problems that differ only in the animals' states: what is asked about is at fault in the one and in order in the other.
 * The purchases and the money are the same.
 */
export type Unsettled = { faulty: PlanningProblem; fine: PlanningProblem };

/** A plan and its weighted points x months in either case. */
export type Outlook = { buys: Buy[]; faulty: number; fine: number };

/**
 * What can be reached when the truth is known in the first month for a price in minor units. `faulty` and `fine` are the best plans of the
 * two cases after that price was paid, with their own weighted points; `severe` the severe need-months that paying costs or saves then.
 */
export type Informed =
  | {
      status: 'planned';
      price: number;
      faulty: { buys: Buy[]; points: number };
      fine: { buys: Buy[]; points: number };
      severe: { faulty: number; fine: number };
    }
  | { status: 'cannot-be-paid'; price: number };

/**
 * `blind`: the best plans while nothing is known, each best for some range of the chance of a fault. `informed`: one for each price asked,
 * in their order. `proved`: every plan among them is proved best.
 */
export type WorthOfMeasuring = { blind: Outlook[]; informed: Informed[]; proved: boolean };

// Each breakpoint between two plans takes a solve; with these the error left is far below a point a month (our own limit).
const MOST_BLIND_SOLVES = 9;

/**
 * Works out what measuring is worth at every chance of a fault at once. While nothing is known, the worth of a plan at chance p is
 * p x (its points if faulty) + (1 - p) x (its points if fine); the best over all plans is a convex, piecewise straight line of p, found
 * from its two ends inward. The need that is asked about is not counted as severe in either case, since it is only unknown. Null when one
 * of the cases has no plan.
 * Source of the idea: preposterior analysis, Raiffa & Schlaifer 1961, Applied Statistical Decision Theory (from memory); the way inward is
 * that of Eisner & Severance 1976, Journal of the ACM 23:619-635 (from memory).
 */
export async function worthOfMeasuring(
  unsettled: Unsettled,
  prices: readonly number[],
  solve: Solve,
  start: readonly Buy[] = [],
): Promise<WorthOfMeasuring | null> {
  const [faulty, fine] = withoutAskedSevere(unsettled);
  const cases = { faulty: prepareProblem(faulty), fine: prepareProblem(fine) };
  let proved = true;
  const known: Buy[][] = [[...start]];
  const plan = async (problem: PlanningProblem): Promise<FoundAnswer | null> => {
    const answer = await solve(problem, known.at(-1)!);
    if (!('buys' in answer)) return null;
    proved &&= answer.status === 'optimal';
    known.push(answer.buys);
    return answer;
  };
  const outlook = ({ buys }: FoundAnswer): Outlook => ({
    buys,
    faulty: pointsOf(cases.faulty, buys),
    fine: pointsOf(cases.fine, buys),
  });

  const ifFaulty = await plan(faulty);
  const ifFine = await plan(fine);
  if (ifFaulty === null || ifFine === null) return null;
  let blind = upperEnvelope([outlook(ifFaulty), outlook(ifFine)]);
  const asked = new Set<string>();
  for (let solves = 0; solves < MOST_BLIND_SOLVES; solves++) {
    const chance = crossings(blind).find((one) => !asked.has(one.toFixed(9)));
    if (chance === undefined) break;
    asked.add(chance.toFixed(9));
    const answer = await plan(atChance(faulty, fine, chance));
    if (answer === null) return null;
    blind = upperEnvelope([...blind, outlook(answer)]);
  }
  if (crossings(blind).some((one) => !asked.has(one.toFixed(9)))) proved = false;

  const severeFree = { faulty: severeOf(unsettled.faulty, ifFaulty.buys), fine: severeOf(unsettled.fine, ifFine.buys) };
  const informed: Informed[] = [];
  for (const price of prices) {
    const first = price === 0 ? ifFaulty : await plan(afterPaying(faulty, price));
    const second = price === 0 ? ifFine : first === null ? null : await plan(afterPaying(fine, price));
    if (first === null || second === null) {
      informed.push({ status: 'cannot-be-paid', price });
      continue;
    }
    informed.push({
      status: 'planned',
      price,
      faulty: { buys: first.buys, points: pointsOf(cases.faulty, first.buys) },
      fine: { buys: second.buys, points: pointsOf(cases.fine, second.buys) },
      severe: {
        faulty: severeOf(unsettled.faulty, first.buys) - severeFree.faulty,
        fine: severeOf(unsettled.fine, second.buys) - severeFree.fine,
      },
    });
  }
  return { blind, informed, proved };
}

/** The most weighted points x months to be expected while nothing is known, at a chance of a fault from 0 to 1. */
export function blindPoints({ blind }: Pick<WorthOfMeasuring, 'blind'>, chance: number): number {
  return Math.max(...blind.map((one) => expected(one, chance)));
}

/** The plan to follow while nothing is known, at a chance of a fault from 0 to 1. */
export function blindPlan({ blind }: Pick<WorthOfMeasuring, 'blind'>, chance: number): Outlook {
  return blind.reduce((best, one) => (expected(one, chance) > expected(best, chance) ? one : best));
}

/**
 * What measuring is worth at a chance of a fault, its price taken off: weighted points x months, negative when the price delays what
 * matters more. Null when the price cannot be paid.
 */
export function netWorth(worth: Pick<WorthOfMeasuring, 'blind'>, informed: Informed, chance: number): number | null {
  if (informed.status !== 'planned') return null;
  const { faulty, fine } = informed;
  return expected({ faulty: faulty.points, fine: fine.points }, chance) - blindPoints(worth, chance);
}

/**
 * The chances of a fault between which measuring gains, its price taken off; null when it gains at none. The net worth is concave in the
 * chance, so that there is at most one such range.
 */
export function gainingChances(
  worth: Pick<WorthOfMeasuring, 'blind'>,
  informed: Informed,
): { from: number; to: number } | null {
  if (informed.status !== 'planned') return null;
  const net = (chance: number) => netWorth(worth, informed, chance)!;
  const corners = cornersOf(worth);
  const scale = 1e-9 * Math.max(1, Math.abs(informed.faulty.points), Math.abs(informed.fine.points));
  const gains = corners.filter((chance) => net(chance) > scale);
  if (gains.length === 0) return null;
  const zeroBetween = (outside: number, inside: number): number =>
    outside + ((inside - outside) * net(outside)) / (net(outside) - net(inside));
  const firstIndex = corners.indexOf(gains[0]!);
  const lastIndex = corners.indexOf(gains.at(-1)!);
  return {
    from: firstIndex === 0 ? 0 : zeroBetween(corners[firstIndex - 1]!, corners[firstIndex]!),
    to: lastIndex === corners.length - 1 ? 1 : zeroBetween(corners[lastIndex + 1]!, corners[lastIndex]!),
  };
}

/** The chance of a fault at which measuring gains most, and the net worth there; null when its price cannot be paid. */
export function bestChance(
  worth: Pick<WorthOfMeasuring, 'blind'>,
  informed: Informed,
): { chance: number; net: number } | null {
  if (informed.status !== 'planned') return null;
  // A concave line of straight pieces is highest at one of its corners.
  return cornersOf(worth)
    .map((chance) => ({ chance, net: netWorth(worth, informed, chance)! }))
    .reduce((best, one) => (one.net > best.net ? one : best));
}

/** Whether the same plan is best whatever would be read, so that measuring can change nothing that is bought. */
export function changesNothing({ blind }: Pick<WorthOfMeasuring, 'blind'>): boolean {
  return blind.length === 1;
}

function expected({ faulty, fine }: { faulty: number; fine: number }, chance: number): number {
  return chance * faulty + (1 - chance) * fine;
}

// The plans that are best somewhere between 0 and 1, the one best at chance 0 first; of equals the one that came first.
function upperEnvelope(plans: readonly Outlook[]): Outlook[] {
  const envelope: Outlook[] = [];
  let chance = 0;
  let current = plans.reduce((best, one) => (isAbove(one, best, 0) ? one : best));
  envelope.push(current);
  for (;;) {
    let next: { plan: Outlook; at: number } | null = null;
    for (const plan of plans) {
      const at = crossing(current, plan);
      if (at === null || at < chance || at >= 1) continue;
      // Of those that take over at the same chance the steepest goes on.
      if (next === null || at < next.at || (at === next.at && slope(plan) > slope(next.plan))) next = { plan, at };
    }
    if (next === null) return envelope;
    current = next.plan;
    chance = next.at;
    envelope.push(current);
  }
}

function isAbove(one: Outlook, other: Outlook, chance: number): boolean {
  const [a, b] = [expected(one, chance), expected(other, chance)];
  return a > b || (a === b && slope(one) > slope(other));
}

const slope = ({ faulty, fine }: Outlook) => faulty - fine;

// From which chance on the second plan is better than the first; null when it never becomes so.
function crossing(first: Outlook, second: Outlook): number | null {
  const steeper = slope(second) - slope(first);
  const scale = 1e-9 * Math.max(1, Math.abs(first.fine), Math.abs(first.faulty));
  return steeper <= scale ? null : (first.fine - second.fine) / steeper;
}

function crossings(blind: readonly Outlook[]): number[] {
  return blind.slice(1).map((plan, index) => crossing(blind[index]!, plan)!);
}

function cornersOf({ blind }: Pick<WorthOfMeasuring, 'blind'>): number[] {
  return [0, ...crossings(blind), 1];
}

// Both cases as one problem: each animal that they judge alike once, every other once in each case, with the case's chance.
function atChance(faulty: PlanningProblem, fine: PlanningProblem, chance: number): PlanningProblem {
  const animals = faulty.animals.flatMap((animal): PlannedAnimal[] => {
    const other = fine.animals.find((one) => one.id === animal.id)!;
    if (JSON.stringify(animal) === JSON.stringify(other)) return [animal];
    return [
      { ...animal, id: `${animal.id} faulty`, share: chance },
      { ...other, id: `${animal.id} fine`, share: 1 - chance },
    ];
  });
  return { ...faulty, animals };
}

// A need that differs between the cases is the one asked about: being only unknown, it is not severe.
function withoutAskedSevere({ faulty, fine }: Unsettled): [PlanningProblem, PlanningProblem] {
  const calm = (own: PlanningProblem, other: PlanningProblem): PlanningProblem => ({
    ...own,
    animals: own.animals.map((animal) => {
      const twin = other.animals.find((one) => one.id === animal.id)!;
      return {
        ...animal,
        needs: animal.needs.map((need) =>
          JSON.stringify(need) === JSON.stringify(twin.needs.find((one) => one.need === need.need))
            ? need
            : { ...need, lifeCritical: false },
        ),
      };
    }),
  });
  return [calm(faulty, fine), calm(fine, faulty)];
}

function afterPaying(problem: PlanningProblem, price: number): PlanningProblem {
  const committed = Array.from({ length: problem.months }, (_, month) => problem.committed?.[month] ?? 0);
  committed[0]! += price;
  return { ...problem, committed };
}

function pointsOf(prepared: PreparedProblem, buys: readonly Buy[]): number {
  return sumsOf(prepared, buys).weighted;
}

function severeOf(problem: PlanningProblem, buys: readonly Buy[]): number {
  return sumsOf(prepareProblem(problem), buys).severe;
}

function sumsOf(prepared: PreparedProblem, buys: readonly Buy[]): Objective {
  return measureSchedule(prepared, boughtMonths(prepared, buys)).sums;
}

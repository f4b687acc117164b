// What one change of the question does to the plan: a purchase refused, a purchase insisted on, more money or less. It writes each changed
// question as an ordinary planning problem, so that whoever solves and proves those solves and proves these.

import {
  boughtMonths,
  compareObjectives,
  type Evaluation,
  evaluatePrepared,
  firstBrokenRule,
  listBuys,
  measureSchedule,
  nearlyEqual,
  type PreparedProblem,
  prepareProblem,
  serviceStart,
} from './evaluate.ts';
import { type PlanChange, planChanges } from './plan-changes.ts';
import {
  alternativesRequired,
  type Buy,
  type FoundAnswer,
  type Objective,
  type PlanAnswer,
  type PlanningProblem,
  type Purchase,
} from './problem.ts';
import { pointsOf } from './roadmap.ts';

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

/**
 * What can be asked about a plan, a solve each: whether to refuse what it buys, first month first, and whether to insist on what it does not
 * buy; what costs nothing comes last. What is owned is no question. What has a fixed month is none either, ordered or pinned being the same in a problem; those in
 * `pinned` are asked about too, since the keeper may take a pin out.
 */
export function questionsOf(
  problem: PlanningProblem,
  present: FoundAnswer,
  pinned: readonly string[] = [],
): Question[] {
  const open = (one: Purchase) =>
    one.ownedSince === undefined && (one.fixedMonth === undefined || pinned.includes(one.id));
  const openIds = new Set(problem.purchases.filter(open).map((one) => one.id));
  const bought = [...present.buys].sort((a, b) => a.month - b.month).map((buy) => buy.purchase);
  const questions = [
    ...bought.filter((id) => openIds.has(id)).map((purchase): Question => ({ purchase, forced: 'out' })),
    ...[...openIds].filter((id) => !bought.includes(id)).map((purchase): Question => ({ purchase, forced: 'in' })),
  ];
  // Whoever runs out of time has then asked what decides about money.
  const free = new Set(problem.purchases.filter((one) => one.price === 0).map((one) => one.id));
  return questions.sort((a, b) => Number(free.has(a.purchase)) - Number(free.has(b.purchase)));
}

/**
 * What each objection to the present plan costs: one solve for each of questionsOf, each told as soon as it is known. Both kinds are exact:
 * a refused purchase is taken out of the problem, and one insisted on must be in service by the last month, whichever month the solver
 * chooses. To be paid for and to come after the plan does not count as bought.
 */
export async function* objectionsTo(
  problem: PlanningProblem,
  present: FoundAnswer,
  solve: Solve,
  pinned: readonly string[] = [],
): AsyncGenerator<Objection> {
  const standing = standingOf(problem, present);
  const known: Buy[][] = [present.buys];
  for (const question of questionsOf(problem, present, pinned)) {
    const { purchase, forced } = question;
    const asked = forced === 'in' ? insistingOn(problem, purchase) : refusing(problem, purchase);
    if (asked === null) {
      yield { ...question, outcome: { status: 'impossible' } };
      continue;
    }
    const prepared = prepareProblem(asked);
    const starts = known
      .map((buys) => fixedAnd(prepared, buys))
      .filter((one) => firstBrokenRule(prepared, one) === null);
    starts.push(
      ...(forced === 'in'
        ? fittedIn(prepared, present.buys, purchase)
        : mended(prepared, fixedAnd(prepared, present.buys), [])),
    );
    const found = await planFrom(prepared, bestOf(prepared, starts), solve);
    if (!('buys' in found)) {
      yield { ...question, outcome: found };
      continue;
    }
    const other = against(standing, prepared, found);
    known.push(other.buys);
    const month = other.buys.find((buy) => buy.purchase === purchase)?.month ?? null;
    yield { ...question, outcome: { ...other, month } };
  }
}

/**
 * The best plan that makes another choice: it leaves out something that costs money, or takes in something that the present plan does not
 * buy. Left aside is what money does not decide: leaving out what costs nothing, and buying besides what changes neither severe needs nor
 * weighted points nor means; a plan that only differs so is no rival. Every other choice answers one of the objections that remain, so the
 * best answer among these is the best of all. Null when no other plan is known. Proved when every objection was answered with proof.
 */
export function runnerUpOf(
  problem: PlanningProblem,
  present: FoundAnswer,
  objections: readonly Objection[],
): RunnerUp | null {
  const free = questionsOf(problem, present);
  const answered = objections.filter((one) => free.some(({ purchase }) => purchase === one.purchase));
  const plans = answered.flatMap(({ purchase, forced, outcome }) => {
    if (outcome.status !== 'planned') return [];
    const costs = problem.purchases.some((one) => one.id === purchase && costsMoney(problem, one));
    return (forced === 'in' ? differOnlyInMoney(present, outcome.objective) : !costs) ? [] : [outcome];
  });
  const best = plans.sort((a, b) => compareObjectives(a.objective, b.objective))[0];
  if (best === undefined) return null;
  const { buys, objective, difference, changes } = best;
  const complete = free.every(({ purchase }) => answered.some((one) => one.purchase === purchase));
  const sure = answered.every(({ outcome }) =>
    outcome.status === 'planned' ? outcome.proved : outcome.status === 'impossible',
  );
  const share = present.weighted === 0 ? 0 : (present.weighted - objective.weighted) / present.weighted;
  return { buys, objective, difference, share, changes, proved: complete && sure };
}

function differOnlyInMoney(a: Objective, b: Objective): boolean {
  return Math.abs(a.severe - b.severe) < 1e-9 && nearlyEqual(a.weighted, b.weighted) && nearlyEqual(a.mean, b.mean);
}

function costsMoney(
  problem: PlanningProblem,
  { price, monthlyCost = 0, life, renewal = 0, retires = [] }: Purchase,
): boolean {
  const endsSaving = problem.purchases.some((one) => retires.includes(one.id) && (one.monthlyCost ?? 0) < 0);
  return price > 0 || monthlyCost > 0 || (life !== undefined && renewal > 0) || endsSaving;
}

/**
 * The best plans with other amounts of money, from the least to the most, each told as soon as it is known: 'once' is in hand before the
 * first month, 'monthly' comes in every month and may be spent on running costs after the plan as well. Among the amounts is always 0, the
 * present plan itself, which takes no solve; every other amount takes one. A plan that was found for less money is where the search for
 * more begins, so more never looks worse, proved or not.
 */
export async function* usefulAmounts(
  problem: PlanningProblem,
  present: FoundAnswer,
  amounts: readonly number[],
  kind: 'monthly' | 'once',
  solve: Solve,
): AsyncGenerator<MoneyStep> {
  const standing = standingOf(problem, present);
  const known: Buy[][] = [];
  for (const amount of [...new Set([0, ...amounts])].sort((a, b) => a - b)) {
    const prepared = prepareProblem(withMoney(problem, amount, kind));
    const possible = known
      .map((buys) => fixedAnd(prepared, buys))
      .filter((one) => firstBrokenRule(prepared, one) === null);
    const starts = [...mended(prepared, fixedAnd(prepared, present.buys), []), ...possible];
    const start = bestOf(prepared, starts);
    // Less money may have led to a plan that a present one without proof falls short of.
    const found =
      amount !== 0
        ? await planFrom(prepared, start, solve)
        : { buys: listBuys(prepared, start!), proved: present.status === 'optimal' && start === starts[0] };
    if (!('buys' in found)) {
      yield { amount, outcome: found };
      continue;
    }
    known.push(found.buys);
    const severeEnds = severeEndsOf(standing.evaluation, evaluatedIn(prepared, found.buys));
    yield { amount, outcome: { ...against(standing, prepared, found), severeEnds } };
  }
}

/** The amounts in order, those side by side joined whose best plans are equal in all four figures, or that have no plan alike. */
export function stepsOf(moneySteps: readonly MoneyStep[]): MoneyRange[] {
  const ranges: MoneyRange[] = [];
  for (const { amount, outcome } of [...moneySteps].sort((a, b) => a.amount - b.amount)) {
    const before = ranges.at(-1);
    if (before !== undefined && bringTheSame(before.outcome, outcome)) {
      before.to = amount;
      if ('proved' in before.outcome && 'proved' in outcome && !outcome.proved)
        before.outcome = { ...before.outcome, proved: false };
      continue;
    }
    const gain =
      before?.outcome.status === 'planned' && outcome.status === 'planned'
        ? lessOf(outcome.difference, before.outcome.difference)
        : null;
    ranges.push({ from: amount, to: amount, outcome, gain });
  }
  return ranges;
}

function bringTheSame(a: MoneyStep['outcome'], b: MoneyStep['outcome']): boolean {
  if (a.status !== 'planned' || b.status !== 'planned') return a.status === b.status;
  return compareObjectives(a.objective, b.objective) === 0;
}

// A purchase insisted on: something that costs and gives nothing comes into service in the last month and requires it. So every plan of the
// changed problem has the purchase in service by then, every plan that has it so is a plan of the changed problem, and no figure differs.
function insistingOn(problem: PlanningProblem, id: string): PlanningProblem | null {
  const last = problem.months - 1;
  const { earliest = 0, lead = 0 } = problem.purchases.find((one) => one.id === id)!;
  if (earliest + lead > last) return null;
  let name = `with ${id}`;
  while (problem.purchases.some((one) => one.id === name)) name += '+';
  return { ...problem, purchases: [...problem.purchases, { id: name, price: 0, fixedMonth: last, requires: [id] }] };
}

// A problem without a purchase, and so without what can stand no more; null when something that is fixed needs it.
function refusing(problem: PlanningProblem, id: string): PlanningProblem | null {
  const gone = new Set([id]);
  for (let before = 0; before < gone.size; ) {
    before = gone.size;
    for (const one of problem.purchases) {
      if (one.ownedSince !== undefined || gone.has(one.id)) continue;
      if (!alternativesRequired(one).some((any) => any.every((other) => gone.has(other)))) continue;
      if (one.fixedMonth !== undefined) return null;
      gone.add(one.id);
    }
  }
  const left = (ids: readonly string[] | undefined) => ids?.filter((other) => !gone.has(other));
  return {
    ...problem,
    purchases: problem.purchases
      .filter((one) => !gone.has(one.id))
      .map((one) => ({
        ...one,
        requires: one.ownedSince === undefined ? alternativesRequired(one).map((any) => left(any)!) : undefined,
        retires: left(one.retires),
      })),
    animals: problem.animals.map((animal) => ({
      ...animal,
      needs: animal.needs.map((need) => ({
        ...need,
        states: need.states
          .filter((state) => !state.needs.some((other) => gone.has(other)))
          .map((state) => ({ ...state, blockedBy: left(state.blockedBy) })),
      })),
    })),
  };
}

function withMoney(problem: PlanningProblem, amount: number, kind: 'monthly' | 'once'): PlanningProblem {
  if (kind === 'once') return { ...problem, openingCash: (problem.openingCash ?? 0) + amount };
  return {
    ...problem,
    income: problem.income.map((sum) => sum + amount),
    tailIncome: problem.tailIncome === undefined ? undefined : problem.tailIncome + amount,
  };
}

type Found = { buys: Buy[]; proved: boolean };

// Plans a changed problem. What is known already is never given up for something worse, as from a solver that was told to stop.
async function planFrom(prepared: PreparedProblem, start: Int32Array | null, solve: Solve): Promise<Found | NoPlan> {
  const known = start === null ? null : listBuys(prepared, start);
  const answer = await solve(prepared.problem, known ?? []);
  if (!('buys' in answer)) {
    if (known !== null) return { buys: known, proved: false };
    return { status: answer.status === 'infeasible' ? 'impossible' : 'not-known' };
  }
  const better =
    known === null || compareObjectives(measuredIn(prepared, answer.buys), measuredIn(prepared, known)) <= 0;
  return better ? { buys: answer.buys, proved: answer.status === 'optimal' } : { buys: known, proved: false };
}

function measuredIn(prepared: PreparedProblem, buys: readonly Buy[]): Objective {
  return measureSchedule(prepared, boughtMonths(prepared, buys)).sums;
}

function bestOf(prepared: PreparedProblem, schedules: readonly Int32Array[]): Int32Array | null {
  const measured = schedules.map((bought) => ({ bought, objective: measureSchedule(prepared, bought).sums }));
  return measured.sort((a, b) => compareObjectives(a.objective, b.objective))[0]?.bought ?? null;
}

// The months of a plan of another question as far as its purchases are in this one, and all that is fixed here.
function fixedAnd(prepared: PreparedProblem, buys: readonly Buy[]): Int32Array {
  const bought = Int32Array.from(prepared.fixedMonth);
  prepared.problem.purchases.forEach(({ id }, index) => {
    const buy = buys.find((one) => one.purchase === id);
    if (buy !== undefined && bought[index]! < 0 && !prepared.owned[index]) bought[index] = buy.month;
  });
  return bought;
}

// A plan with one more purchase, in each month in which the rest can make room for it.
function fittedIn(prepared: PreparedProblem, buys: readonly Buy[], id: string): Int32Array[] {
  const index = prepared.problem.purchases.findIndex((one) => one.id === id);
  const all: Int32Array[] = [];
  for (let month = prepared.earliest[index]!; month + prepared.lead[index]! < prepared.months; month++) {
    const bought = fixedAnd(prepared, buys);
    bought[index] = month;
    all.push(...mended(prepared, bought, [index]));
  }
  return all;
}

// Makes a schedule possible: what it lacks money for waits or is dropped, the last first; what `kept` requires is added. None when that fails.
function mended(prepared: PreparedProblem, given: Int32Array, kept: readonly number[]): Int32Array[] {
  const bought = given.slice();
  const held = new Set(kept);
  const indexOf = new Map(prepared.problem.purchases.map((one, index) => [one.id, index]));
  const canMove = (index: number) => bought[index]! >= 0 && prepared.fixedMonth[index]! < 0 && !held.has(index);
  const movable = () => Array.from(bought.keys()).filter(canMove);
  for (let tries = prepared.count * (prepared.months + 2); tries > 0; tries--) {
    const broken = firstBrokenRule(prepared, bought);
    if (broken === null) return [bought];
    switch (broken.rule) {
      case 'group': {
        const rival = [broken.other, broken.purchase].map((id) => indexOf.get(id)!).find(canMove);
        if (rival === undefined) return [];
        bought[rival] = -1;
        break;
      }
      case 'requires': {
        const index = indexOf.get(broken.purchase)!;
        if (canMove(index)) {
          bought[index] = -1;
          break;
        }
        const start = serviceStart(prepared, index, bought[index]!);
        const inTime = (other: number) => Math.min(start - prepared.lead[other]!, prepared.latest[other]!);
        const cheapest = broken.oneOf
          .map((id) => indexOf.get(id)!)
          .filter((other) => !prepared.owned[other] && prepared.fixedMonth[other]! < 0 && !held.has(other))
          .filter((other) => inTime(other) >= prepared.earliest[other]!)
          .sort((a, b) => prepared.price[a]! - prepared.price[b]!)[0];
        if (cheapest === undefined) return [];
        bought[cheapest] = inTime(cheapest);
        held.add(cheapest);
        break;
      }
      case 'reserve': {
        const last = movable()
          .filter((index) => bought[index]! <= broken.month)
          .sort((a, b) => bought[b]! - bought[a]! || prepared.price[b]! - prepared.price[a]!)[0];
        if (last === undefined) return [];
        const later = bought[last]! + 1;
        bought[last] = later + prepared.lead[last]! < prepared.months ? later : -1;
        break;
      }
      case 'tail': {
        const dearest = movable().sort((a, b) => prepared.tailCost[b]! - prepared.tailCost[a]!)[0];
        if (dearest === undefined) return [];
        bought[dearest] = -1;
        break;
      }
      default:
        return [];
    }
  }
  return [];
}

type Feasible = Extract<Evaluation, { status: 'feasible' }>;
type Standing = { problem: PlanningProblem; present: FoundAnswer; evaluation: Feasible; worth: Difference };

function standingOf(problem: PlanningProblem, present: FoundAnswer): Standing {
  const evaluation = evaluatedIn(prepareProblem(problem), present.buys);
  return { problem, present, evaluation, worth: worthOf(problem, evaluation) };
}

// The answer to a changed question against the present plan, without what stands in the changed problem alone.
function against({ problem, present, worth }: Standing, prepared: PreparedProblem, found: Found): OtherPlan {
  const evaluation = evaluatedIn(prepared, found.buys);
  const { severe, weighted, mean, spend } = evaluation;
  const buys = found.buys.filter((buy) => problem.purchases.some((one) => one.id === buy.purchase));
  return {
    status: 'planned',
    buys,
    objective: { severe, weighted, mean, spend },
    difference: lessOf(worthOf(prepared.problem, evaluation), worth),
    changes: planChanges(present.buys, buys),
    proved: found.proved && present.status === 'optimal',
  };
}

function worthOf(problem: PlanningProblem, evaluation: Feasible): Difference {
  const { severe, weighted, spend } = evaluation;
  return { severe, weighted, points: pointsOf(problem, evaluation), spend };
}

function lessOf(a: Difference, b: Difference): Difference {
  return {
    severe: a.severe - b.severe,
    weighted: a.weighted - b.weighted,
    points: a.points - b.points,
    spend: a.spend - b.spend,
  };
}

function severeEndsOf(present: Feasible, other: Feasible): SevereEnd[] {
  return present.animals.map((animal, index) => ({
    animalId: animal.id,
    was: freeFrom(animal),
    is: freeFrom(other.animals[index]!),
  }));
}

function freeFrom({ months }: Feasible['animals'][number]): number | null {
  let first: number | null = null;
  for (let month = months.length - 1; month >= 0; month--) {
    const one = months[month]!;
    if (one === null) continue;
    if (one.severe > 0) break;
    first = month;
  }
  return first;
}

function evaluatedIn(prepared: PreparedProblem, buys: readonly Buy[]): Feasible {
  const evaluation = evaluatePrepared(prepared, buys);
  if (evaluation.status !== 'feasible') throw new RangeError(`the plan breaks the rule ${evaluation.rule}`);
  return evaluation;
}

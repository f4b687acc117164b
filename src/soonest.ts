// How soon an animal can be free of severe shortfalls at all, when every other animal waits: with the money there is, and with the
// least sum in hand that ends them as soon as leads allow.

import {
  type Evaluation,
  evaluatePrepared,
  listBuys,
  measureSchedule,
  type PreparedProblem,
  prepareProblem,
  slackOf,
} from './evaluate.ts';
import {
  alternativesRequired,
  type Buy,
  type PlannedAnimal,
  type PlannedNeed,
  type PlanningProblem,
  type Purchase,
  SEVERE_BELOW,
  valueInMonth,
} from './problem.ts';
import { monthsOfPoint, pointOfMonths, type WholePlan, writeWholePlan } from './program.ts';
import { type Program, solveLarge } from './solver.ts';

/** The first month from which an animal can have no severe need to the end, or why there is none inside the plan. */
export type SoonestMonth =
  | { status: 'month'; month: number; buys: Buy[]; proved: boolean }
  /** `needs`: those that nothing on the list ends by then, whatever it costs; none when it is money, or things that exclude each other. */
  | { status: 'never-inside'; needs: string[] }
  /** The work was stopped before anything was found or proved. */
  | { status: 'not-known' };

/**
 * The least sum in hand now, in minor units, with which the severe needs end in the earliest month that leads and earliest months allow at
 * all. 'none-needed': they can end then without it. 'not-with-money': no sum in hand ends them inside the plan.
 */
export type Bridge =
  | { status: 'none-needed' }
  | { status: 'found'; amount: number; month: number; buys: Buy[]; proved: boolean }
  | { status: 'not-with-money' }
  | { status: 'not-known' };

/**
 * One animal's way out of severe shortfalls. `now`: its severe needs in month 0 before anything is bought. `planned`: the first month
 * from which the plan leaves none to the end; null when that never comes inside the plan. `soonest`: the same if all free money went to
 * this animal alone. Only months in which the animal and the need count are judged, so a need at rest is not severe.
 */
export type SoonestFree = {
  animalId: string;
  now: number;
  planned: number | null;
  soonest: SoonestMonth;
  bridge: Bridge;
};

/** How long the work may take: nodes of the search for each question, counted and not timed; and a stop asked now and then. */
export type SoonestOptions = { nodes?: number | undefined; stop?: (() => boolean) | undefined };

const USUAL_NODES = 20_000;

/**
 * Finds how soon one animal can be free of severe shortfalls to the end of the plan. Fixed purchases, what is owned, the reserve and the
 * rule for the time after the plan stay as they are; everything else may be bought, in whatever month, or not. What is not proved says so.
 * Throws when the plan breaks a rule or no animal has the id.
 */
export async function soonestFree(
  problem: PlanningProblem,
  plan: readonly Buy[],
  animalId: string,
  options: SoonestOptions = {},
): Promise<SoonestFree> {
  const animal = problem.animals.find((one) => one.id === animalId);
  if (animal === undefined) throw new RangeError(`no animal has the id '${animalId}'`);
  const alone: PlanningProblem = { ...problem, animals: [animal] };
  const evaluation = evaluatePrepared(prepareProblem(alone), plan);
  if (evaluation.status === 'broken') throw new RangeError(`the plan breaks the rule '${evaluation.rule}'`);
  const planned = freeFrom(animal, problem.months, evaluation);
  const first = animal.from ?? 0;
  const found = { animalId, now: severeNow(problem, animal), planned };
  if (planned === first) {
    const buys = withoutIdle(alone, plan, first);
    return {
      ...found,
      soonest: { status: 'month', month: first, buys, proved: true },
      bridge: { status: 'none-needed' },
    };
  }

  const question = askAbout(problem, animal, options);
  const known = planned === null ? null : { month: planned, buys: [...plan] };
  const atAll = await search(first, known, 'any-sum');
  if (atAll.status === 'never') {
    const needs = await question.neverEnded();
    return { ...found, soonest: { status: 'never-inside', needs }, bridge: { status: 'not-with-money' } };
  }
  if (atAll.status === 'not-known') {
    return { ...found, soonest: { status: 'not-known' }, bridge: { status: 'not-known' } };
  }
  const own = await search(atAll.proved ? atAll.month : first, known, 'own-money');
  const soonest: SoonestMonth =
    own.status === 'never'
      ? { status: 'never-inside', needs: [] }
      : own.status === 'not-known'
        ? own
        : { ...own, status: 'month', buys: withoutIdle(alone, own.buys, own.month) };
  if (soonest.status === 'month' && soonest.month <= atAll.month) {
    return { ...found, soonest, bridge: soonest.proved ? { status: 'none-needed' } : { status: 'not-known' } };
  }
  const bridge = await question.leastSum(atAll.month, atAll.buys);
  if (bridge === null) return { ...found, soonest, bridge: { status: 'not-known' } };
  const buys = withoutIdle(withCash(alone, bridge.amount), bridge.buys, atAll.month);
  if (bridge.amount === 0) {
    const same: SoonestMonth = { status: 'month', month: atAll.month, buys, proved: atAll.proved };
    return { ...found, soonest: same, bridge: { status: atAll.proved ? 'none-needed' : 'not-known' } };
  }
  const proved = atAll.proved && bridge.proved;
  return { ...found, soonest, bridge: { status: 'found', amount: bridge.amount, month: atAll.month, buys, proved } };

  // The months from which it is possible have no gap: free from one month on is free from every later one.
  async function search(
    from: number,
    start: { month: number; buys: Buy[] } | null,
    money: Money,
  ): Promise<
    { status: 'found'; month: number; buys: Buy[]; proved: boolean } | { status: 'never' } | { status: 'not-known' }
  > {
    let [low, best, proved] = [from, start, true];
    if (best === null) {
      const last = lastMonth(animal!, problem.months);
      const answer = await question.canBeFree(last, money);
      if (answer.status === 'no') return { status: 'never' };
      if (answer.status === 'not-known') return answer;
      best = answer;
    }
    while (low < best.month) {
      const middle = Math.floor((low + best.month) / 2);
      const answer = await question.canBeFree(middle, money);
      if (answer.status === 'yes') best = answer;
      else low = middle + 1;
      if (answer.status === 'not-known') proved = false;
    }
    return { status: 'found', month: best.month, buys: best.buys, proved };
  }
}

/** Whether balances bind ('own-money') or any sum in hand is given ('any-sum'). */
type Money = 'own-money' | 'any-sum';

/** What integer programs are asked about one animal, all on the problem cut to it. */
type Question = {
  /** Whether a schedule leaves it no severe need from a month on; with the month from which the one found does. */
  canBeFree(
    month: number,
    money: Money,
  ): Promise<{ status: 'yes'; month: number; buys: Buy[] } | { status: 'no' } | { status: 'not-known' }>;
  /** The least sum in hand with which it is free from a month on; `buys` is a schedule that is so with some sum. */
  leastSum(month: number, buys: readonly Buy[]): Promise<{ amount: number; buys: Buy[]; proved: boolean } | null>;
  /** The needs that are severe in its last month under every schedule, whatever money there is. */
  neverEnded(): Promise<string[]>;
};

function askAbout(problem: PlanningProblem, animal: PlannedAnimal, options: SoonestOptions): Question {
  const cut = cutTo(problem, animal);
  const critical = animal.needs.filter((one) => one.lifeCritical);
  const limits = (during: (bound: number | null) => boolean, start: ReturnType<typeof pointOfMonths>) => ({
    nodes: options.nodes ?? USUAL_NODES,
    start,
    during: (bound: number | null) => options.stop?.() === true || during(bound),
  });
  const inMonths = (prepared: PreparedProblem, buys: readonly Buy[]): Int32Array => {
    const monthOf = new Map(buys.map((one) => [one.purchase, one.month]));
    return Int32Array.from(prepared.problem.purchases, (one) => monthOf.get(one.id) ?? -1);
  };

  /** The least number of severe needs from a month on; only whether it is 0 is worked out to the end. */
  async function severeFrom(
    month: number,
    needs: readonly PlannedNeed[],
    free: { money: boolean; tail: boolean },
  ): Promise<{ status: 'none'; buys: Buy[] } | { status: 'some' } | { status: 'not-known' }> {
    if (options.stop?.() === true) return { status: 'not-known' };
    const prepared = prepareProblem({
      ...cut,
      animals: [{ ...animal, from: month, needs: needs.map((one) => safetyOf(one, problem.months)) }],
    });
    const plan = writeWholePlan(prepared, free.money ? { moneyUntil: 0, withTail: !free.tail } : {});
    const { constant, entries } = plan.figures.severe;
    const program = minimising(plan, entries);
    // A bound once proved ends the work, and the engine does not say it again when it was stopped.
    let proved = false;
    const some = (bound: number | null): boolean => {
      proved ||= bound !== null && bound + constant > SOME;
      return proved;
    };
    const outcome = await solveLarge(program, limits(some, []));
    if (outcome.status === 'infeasible' || outcome.status === 'unbounded') return { status: 'not-known' };
    if ('values' in outcome && outcome.objective + constant < SOME) {
      const bought = monthsOfPoint(plan, outcome.values);
      return { status: 'none', buys: listBuys(prepared, bought) };
    }
    return some(outcome.bound) ? { status: 'some' } : { status: 'not-known' };
  }

  return {
    async canBeFree(month, money) {
      const answer = await severeFrom(month, critical, { money: money === 'any-sum', tail: false });
      if (answer.status === 'some') return { status: 'no' };
      if (answer.status === 'not-known') return answer;
      const judged = money === 'any-sum' ? withCash(problem, shortOf(problem, answer.buys)) : problem;
      const evaluation = evaluatePrepared(prepareProblem({ ...judged, animals: [animal] }), answer.buys);
      const free = evaluation.status === 'feasible' ? freeFrom(animal, problem.months, evaluation) : null;
      return free === null || free > month
        ? { status: 'not-known' }
        : { status: 'yes', month: free, buys: answer.buys };
    },
    async leastSum(month, buys) {
      if (options.stop?.() === true) return null;
      const needs = critical.map((one) => safetyOf(one, problem.months));
      const narrowed = { ...cut, animals: [{ ...animal, from: month, needs }] };
      const prepared = prepareProblem(narrowed);
      const plan = writeWholePlan(prepared);
      const sum = plan.variables.push({ cost: 1, lower: 0, upper: Number.POSITIVE_INFINITY, whole: false }) - 1;
      // The rows that speak of balances are those that more cash in hand changes.
      const richer = writeWholePlan(prepareProblem(withCash(narrowed, 1000)));
      const rows = plan.rows.map((row, number): Program['rows'][number] =>
        row.upper === richer.rows[number]!.upper ? row : { ...row, entries: [...row.entries, [sum, -1]] },
      );
      const { constant, entries } = plan.figures.severe;
      rows.push({ lower: Number.NEGATIVE_INFINITY, upper: 1e-6 - constant, entries });
      const program: Program = { sense: 'minimise', variables: plan.variables, rows };
      const start = [
        ...pointOfMonths(plan, inMonths(prepared, buys)),
        { variable: sum, value: shortOf(problem, buys) },
      ];
      const outcome = await solveLarge(
        program,
        limits(() => false, start),
      );
      const found = 'values' in outcome ? listBuys(prepared, monthsOfPoint(plan, outcome.values)) : [...buys];
      const amount = shortOf(problem, found);
      const evaluation = evaluatePrepared(prepareProblem({ ...withCash(problem, amount), animals: [animal] }), found);
      const free = evaluation.status === 'feasible' ? freeFrom(animal, problem.months, evaluation) : null;
      if (free === null || free > month) return null;
      // Money is whole, so a bound within one unit is a proof.
      return { amount, buys: found, proved: 'values' in outcome && outcome.bound > amount - 0.5 };
    },
    async neverEnded() {
      const last = lastMonth(animal, problem.months);
      const needs: string[] = [];
      for (const need of critical) {
        const answer = await severeFrom(last, [need], { money: true, tail: true });
        if (answer.status === 'some') needs.push(need.need);
      }
      return needs;
    },
  };
}

/** A month's severe need counts 1 or more, so a bound above this proves that there is one. */
const SOME = 0.01;

function minimising(plan: WholePlan, entries: readonly [number, number][]): Program {
  const variables = plan.variables.map((variable) => ({ ...variable }));
  for (const [variable, coefficient] of entries) variables[variable]!.cost += coefficient;
  return { sense: 'minimise', variables, rows: plan.rows };
}

// What a need says of severity and nothing else: 100 in the months in which a state keeps it from being severe, else 0, without weight.
function safetyOf(need: PlannedNeed, months: number): PlannedNeed {
  const states = need.states.flatMap((state) => {
    const value = Array.from({ length: months }, (_, month) =>
      (state.severe ?? valueInMonth(state.value, month) < SEVERE_BELOW) ? 0 : 100,
    );
    const { needs, blockedBy } = state;
    return value.includes(100) ? [{ value, needs, ...(blockedBy === undefined ? {} : { blockedBy }) }] : [];
  });
  return { ...need, weight: 0, states };
}

/**
 * The problem with only the purchases that can matter to one animal: what its needs name, what is fixed or owned, what may bring more money
 * than it costs or make the time after the plan cheaper, and all that these require. Leaving anything else out of a schedule keeps it
 * feasible, since no balance falls by it.
 */
function cutTo(problem: PlanningProblem, animal: PlannedAnimal): PlanningProblem {
  const byId = new Map(problem.purchases.map((one) => [one.id, one]));
  const named = animal.needs.flatMap((need) =>
    need.lifeCritical ? need.states.flatMap((state) => [...state.needs, ...(state.blockedBy ?? [])]) : [],
  );
  const kept = new Set<string>();
  const keep = (id: string): void => {
    if (kept.has(id)) return;
    kept.add(id);
    for (const set of alternativesRequired(byId.get(id)!)) for (const other of set) keep(other);
  };
  for (const id of named) keep(id);
  for (const one of problem.purchases) {
    if (one.ownedSince !== undefined || one.fixedMonth !== undefined || mayBringMoney(problem, one, byId)) keep(one.id);
  }
  const purchases = problem.purchases
    .filter((one) => kept.has(one.id))
    .map((one) => (one.retires === undefined ? one : { ...one, retires: one.retires.filter((id) => kept.has(id)) }));
  return { ...problem, purchases, animals: [] };
}

function mayBringMoney(problem: PlanningProblem, one: Purchase, byId: ReadonlyMap<string, Purchase>): boolean {
  const { months } = problem;
  const tailOf = ({ monthlyCost, life, renewal }: Purchase) =>
    (monthlyCost ?? 0) + (life === undefined ? 0 : (renewal ?? 0) / life);
  const retired = (one.retires ?? []).map((id) => byId.get(id)!);
  const saved = retired.reduce((sum, other) => {
    const renewals = other.life === undefined ? 0 : Math.ceil(months / other.life) * (other.renewal ?? 0);
    return sum + Math.max(0, other.monthlyCost ?? 0) * months + renewals;
  }, 0);
  const earned = (one.proceeds?.amount ?? 0) + Math.max(0, -(one.monthlyCost ?? 0)) * months;
  if (saved + earned > one.price) return true;
  if (problem.tailIncome === undefined) return false;
  return retired.reduce((sum, other) => sum + Math.max(0, tailOf(other)), 0) > tailOf(one);
}

function withCash(problem: PlanningProblem, amount: number): PlanningProblem {
  return { ...problem, openingCash: (problem.openingCash ?? 0) + amount };
}

/** The cash in hand that a schedule lacks, minor units; 0 when it can be paid. */
function shortOf(problem: PlanningProblem, buys: readonly Buy[]): number {
  const prepared = prepareProblem(problem);
  const monthOf = new Map(buys.map((one) => [one.purchase, one.month]));
  const bought = Int32Array.from(problem.purchases, (one) => monthOf.get(one.id) ?? -1);
  return Math.max(0, -Math.min(...slackOf(prepared, bought)));
}

function lastMonth(animal: PlannedAnimal, months: number): number {
  return Math.min(animal.until ?? months, months) - 1;
}

// The first month from which no counted month is severe; null when the last one is.
function freeFrom(
  animal: PlannedAnimal,
  months: number,
  evaluation: Extract<Evaluation, { status: 'feasible' }>,
): number | null {
  const severe = evaluation.animals.find((one) => one.id === animal.id)!.months.map((one) => one?.severe ?? 0);
  const first = animal.from ?? 0;
  const last = lastMonth(animal, months);
  if (last < first) return first;
  let month = last + 1;
  while (month > first && severe[month - 1] === 0) month--;
  return month <= last ? month : null;
}

function severeNow(problem: PlanningProblem, animal: PlannedAnimal): number {
  const prepared = prepareProblem({ ...problem, months: 1, creditMonths: 0, animals: [animal] });
  return measureSchedule(prepared, new Int32Array(prepared.count).fill(-1)).sums.severe;
}

// The buys without those that can be left out, the dearest first, one or more at a time, the animal still being free from the month on.
function withoutIdle(alone: PlanningProblem, buys: readonly Buy[], month: number): Buy[] {
  const prepared = prepareProblem(alone);
  const [animal] = alone.animals;
  const serves = (list: readonly Buy[]): boolean => {
    const evaluation = evaluatePrepared(prepared, list);
    if (evaluation.status === 'broken') return false;
    const free = freeFrom(animal!, alone.months, evaluation);
    return free !== null && free <= month;
  };
  const priceOf = new Map(alone.purchases.map((one) => [one.id, one.price]));
  let kept = [...buys];
  for (let smaller = true; smaller; ) {
    smaller = false;
    for (const one of [...kept].sort((a, b) => priceOf.get(b.purchase)! - priceOf.get(a.purchase)!)) {
      const rest = kept.filter((other) => other !== one);
      if (!serves(rest)) continue;
      kept = rest;
      smaller = true;
    }
  }
  return kept;
}

// What a schedule of purchases does: every balance to the minor unit, every rule it breaks, and every animal's score by month.
// The arithmetic of a plan lives here and nowhere else; searches use the prepared form, pages the full account.

import {
  alternativesRequired,
  type Buy,
  DEFAULT_PRIORITY,
  monthWeight,
  type Objective,
  type PlanningProblem,
  type Priority,
  SEVERE_BELOW,
  valueInMonth,
} from './problem.ts';

/** Stands for a month that never comes. */
export const NEVER = 1_000_000_000;

/** Two sums of points are equal when they differ by less than this share of their size. */
export const RELATIVE_TOLERANCE = 1e-6;

/** Carrying costs are sums of fractions (a renewal over its life); equality with the limit must not hang on rounding. */
export const TAIL_TOLERANCE = 1e-7;

/** A state in indexes and lists by month. */
type PreparedState = {
  values: Float64Array;
  severe: Uint8Array;
  needs: Int32Array;
  blockedBy: Int32Array;
};

/** A need in indexes and lists by month. */
export type PreparedNeed = {
  weight: number;
  allowance: number;
  lifeCritical: boolean;
  counts: Uint8Array;
  states: PreparedState[];
};

/** An animal in indexes; `concerns` lists the purchases that can change its score. */
export type PreparedAnimal = {
  from: number;
  until: number;
  share: number;
  needs: PreparedNeed[];
  totalWeight: Float64Array;
  concerns: Int32Array;
};

/** A problem in indexes and typed lists, made once and then read many times. */
export type PreparedProblem = {
  problem: PlanningProblem;
  months: number;
  count: number;
  indexOf: ReadonlyMap<string, number>;
  price: Float64Array;
  monthlyCost: Float64Array;
  /** 0 when never renewed. */
  life: Int32Array;
  renewal: Float64Array;
  lead: Int32Array;
  earliest: Int32Array;
  latest: Int32Array;
  /** The fixed month, or -1. */
  fixedMonth: Int32Array;
  /** The month of entering service of what is owned, NEVER otherwise. */
  ownedSince: Int32Array;
  owned: Uint8Array;
  proceedsAmount: Float64Array;
  proceedsAfter: Int32Array;
  retires: Int32Array[];
  retiredBy: Int32Array[];
  /** Each requirement as the indexes of which one is enough. */
  requires: Int32Array[][];
  groups: Int32Array[];
  groupCount: number;
  /** What a purchase in service costs a month after the plan. */
  tailCost: Float64Array;
  tailIncome: number;
  /** Balance less reserve by month when nothing at all is bought or owned. */
  bareSlack: Float64Array;
  reserve: Float64Array;
  weight: Float64Array;
  priority: Priority;
  animals: PreparedAnimal[];
  /** The animals whose score a purchase can change. */
  animalsOf: Int32Array[];
};

/** Turns a problem into indexes. The problem must be valid: every id named exists. */
export function prepareProblem(problem: PlanningProblem): PreparedProblem {
  const { months, purchases } = problem;
  const count = purchases.length;
  const indexOf = new Map(purchases.map((purchase, index) => [purchase.id, index]));
  const lookUp = (ids: readonly string[] | undefined): Int32Array =>
    Int32Array.from(ids ?? [], (id) => {
      const index = indexOf.get(id);
      if (index === undefined) throw new RangeError(`no purchase has the id '${id}'`);
      return index;
    });
  const groupNames = [...new Set(purchases.flatMap((purchase) => purchase.groups ?? []))];
  const numbers = (read: (index: number) => number) => Float64Array.from(purchases, (_, index) => read(index));
  const wholes = (read: (index: number) => number) => Int32Array.from(purchases, (_, index) => read(index));
  const at = (index: number) => purchases[index]!;

  const reserve = Float64Array.from({ length: months }, (_, month) => valueInMonth(problem.reserve, month));
  const bareSlack = new Float64Array(months);
  let balance = problem.openingCash ?? 0;
  for (let month = 0; month < months; month++) {
    balance += (problem.income[month] ?? 0) - valueInMonth(problem.committed, month);
    bareSlack[month] = balance - reserve[month]!;
  }

  const retires = purchases.map((purchase) => lookUp(purchase.retires));
  const retiredBy: number[][] = purchases.map(() => []);
  retires.forEach((retired, index) => {
    for (const other of retired) retiredBy[other]!.push(index);
  });
  const owned = Uint8Array.from(purchases, (purchase) => (purchase.ownedSince === undefined ? 0 : 1));
  const life = wholes((index) => at(index).life ?? 0);
  const renewal = numbers((index) => at(index).renewal ?? 0);

  const animals = problem.animals.map((animal): PreparedAnimal => {
    const from = animal.from ?? 0;
    const until = Math.min(animal.until ?? months, months);
    const totalWeight = new Float64Array(months);
    const concerns = new Set<number>();
    const needs = animal.needs.map((need): PreparedNeed => {
      const counts = new Uint8Array(months);
      for (let month = from; month < until; month++) counts[month] = need.offMonths?.includes(month) ? 0 : 1;
      for (let month = 0; month < months; month++) totalWeight[month]! += counts[month]! * need.weight;
      const states = need.states.map((state): PreparedState => {
        const values = Float64Array.from({ length: months }, (_, month) => valueInMonth(state.value, month));
        const severe = Uint8Array.from(values, (value) => ((state.severe ?? value < SEVERE_BELOW) ? 1 : 0));
        const stateNeeds = lookUp(state.needs);
        const blockedBy = lookUp(state.blockedBy);
        for (const index of stateNeeds) concerns.add(index);
        for (const index of blockedBy) concerns.add(index);
        return { values, severe, needs: stateNeeds, blockedBy };
      });
      return { weight: need.weight, allowance: need.allowance, lifeCritical: need.lifeCritical, counts, states };
    });
    const list = Int32Array.from([...concerns].sort((a, b) => a - b));
    return { from, until, share: animal.share ?? 1, needs, totalWeight, concerns: list };
  });
  const animalsOf: number[][] = purchases.map(() => []);
  animals.forEach((animal, index) => {
    for (const purchase of animal.concerns) animalsOf[purchase]!.push(index);
  });

  return {
    problem,
    months,
    count,
    indexOf,
    price: numbers((index) => at(index).price),
    monthlyCost: numbers((index) => at(index).monthlyCost ?? 0),
    life,
    renewal,
    lead: wholes((index) => at(index).lead ?? 0),
    earliest: wholes((index) => at(index).fixedMonth ?? at(index).earliest ?? 0),
    latest: wholes((index) => at(index).fixedMonth ?? months - 1),
    fixedMonth: wholes((index) => (owned[index] ? -1 : (at(index).fixedMonth ?? -1))),
    ownedSince: wholes((index) => at(index).ownedSince ?? NEVER),
    owned,
    proceedsAmount: numbers((index) => (owned[index] ? 0 : (at(index).proceeds?.amount ?? 0))),
    proceedsAfter: wholes((index) => at(index).proceeds?.after ?? 0),
    retires,
    retiredBy: retiredBy.map((list) => Int32Array.from(list)),
    requires: purchases.map((purchase) =>
      purchase.ownedSince === undefined ? alternativesRequired(purchase).map((ids) => lookUp(ids)) : [],
    ),
    groups: purchases.map((purchase) =>
      Int32Array.from(purchase.ownedSince === undefined ? (purchase.groups ?? []) : [], (name) =>
        groupNames.indexOf(name),
      ),
    ),
    groupCount: groupNames.length,
    tailCost: numbers((index) => (at(index).monthlyCost ?? 0) + (life[index] ? renewal[index]! / life[index]! : 0)),
    tailIncome: problem.tailIncome ?? Number.POSITIVE_INFINITY,
    bareSlack,
    reserve,
    weight: Float64Array.from({ length: months }, (_, month) => monthWeight(problem, month)),
    priority: problem.priority ?? DEFAULT_PRIORITY,
    animals,
    animalsOf: animalsOf.map((list) => Int32Array.from(list)),
  };
}

/** The month in which purchase `index` bought in `month` (-1: not bought) enters service; NEVER when it does not. */
export function serviceStart(prepared: PreparedProblem, index: number, month: number): number {
  if (prepared.owned[index]) return prepared.ownedSince[index]!;
  return month < 0 ? NEVER : month + prepared.lead[index]!;
}

/**
 * Adds `sign` times the money that purchase `index` moves to `flow[month]` (money out is negative): price, monthly costs,
 * renewals and proceeds, when bought in `month` (-1: not bought, unless owned) and retired from month `retiredFrom`.
 */
export function addCashFlow(
  prepared: PreparedProblem,
  index: number,
  month: number,
  retiredFrom: number,
  sign: number,
  flow: Float64Array,
): void {
  const start = serviceStart(prepared, index, month);
  if (start === NEVER) return;
  const { months } = prepared;
  if (month >= 0 && !prepared.owned[index]) {
    flow[month]! -= sign * prepared.price[index]!;
    const amount = prepared.proceedsAmount[index]!;
    if (amount !== 0) {
      const paid = start + prepared.proceedsAfter[index]!;
      if (paid < months) flow[paid]! += sign * amount;
    }
  }
  const end = Math.min(months, retiredFrom);
  const cost = prepared.monthlyCost[index]!;
  if (cost !== 0) for (let t = Math.max(0, start); t < end; t++) flow[t]! -= sign * cost;
  const life = prepared.life[index]!;
  const renewal = prepared.renewal[index]!;
  if (life > 0 && renewal !== 0) {
    for (let t = start + life; t < end; t += life) if (t >= 0) flow[t]! -= sign * renewal;
  }
}

/** The month from which purchase `index` costs nothing because another retires it; NEVER when none does. */
export function retirementMonth(prepared: PreparedProblem, index: number, bought: Int32Array): number {
  let first = NEVER;
  for (const other of prepared.retiredBy[index]!) {
    const start = serviceStart(prepared, other, bought[other]!);
    if (start < first) first = start;
  }
  return first;
}

/** Room in which one animal's months are worked out; made once for a search. */
export type ScoreRoom = { values: Float64Array; safe: Uint8Array };

/** Room large enough for any animal of the problem. */
export function scoreRoom(prepared: PreparedProblem): ScoreRoom {
  const needs = Math.max(1, ...prepared.animals.map((animal) => animal.needs.length));
  return { values: new Float64Array(needs * prepared.months), safe: new Uint8Array(needs * prepared.months) };
}

/** Priority-weighted points of a score 0-100: by default points below 40 count three times, from 40 to 70 twice, above 70 once. */
export function priorityPoints(score: number, [low, middle, high]: Priority = DEFAULT_PRIORITY): number {
  return low * Math.min(score, 40) + middle * Math.min(Math.max(score - 40, 0), 30) + high * Math.max(score - 70, 0);
}

function fillRoom(prepared: PreparedProblem, animal: PreparedAnimal, starts: Int32Array, room: ScoreRoom): void {
  const { months } = prepared;
  const { values, safe } = room;
  const { from, until, needs } = animal;
  for (let n = 0; n < needs.length; n++) {
    const offset = n * months;
    values.fill(0, offset + from, offset + until);
    safe.fill(0, offset + from, offset + until);
    const { states } = needs[n]!;
    for (let l = 0; l < states.length; l++) {
      const state = states[l]!;
      let begin = from;
      for (let k = 0; k < state.needs.length; k++) {
        const start = starts[state.needs[k]!]!;
        if (start > begin) begin = start;
      }
      let end = until;
      for (let k = 0; k < state.blockedBy.length; k++) {
        const start = starts[state.blockedBy[k]!]!;
        if (start < end) end = start;
      }
      for (let t = begin; t < end; t++) {
        const value = state.values[t]!;
        if (value > values[offset + t]!) values[offset + t] = value;
        if (state.severe[t] === 0) safe[offset + t] = 1;
      }
    }
  }
}

/**
 * Writes severe needs, weighted points and mean points of one animal, each summed over the months with their weights,
 * to `sums[0]`, `sums[1]` and `sums[2]`. `starts` holds the month in which each purchase enters service.
 */
export function sumScores(
  prepared: PreparedProblem,
  animal: PreparedAnimal,
  starts: Int32Array,
  room: ScoreRoom,
  sums: Float64Array,
): void {
  fillRoom(prepared, animal, starts, room);
  sums.fill(0, 0, 3);
  for (let t = animal.from; t < animal.until; t++) addMonth(prepared, animal, t, room, sums, 0);
}

/**
 * Adds severe needs, weighted points and mean points of one animal in each month, with the month's weight, to
 * `sums[3 t]`, `sums[3 t + 1]` and `sums[3 t + 2]`.
 */
export function addScoresByMonth(
  prepared: PreparedProblem,
  animal: PreparedAnimal,
  starts: Int32Array,
  room: ScoreRoom,
  sums: Float64Array,
): void {
  fillRoom(prepared, animal, starts, room);
  for (let t = animal.from; t < animal.until; t++) addMonth(prepared, animal, t, room, sums, 3 * t);
}

function addMonth(
  prepared: PreparedProblem,
  animal: PreparedAnimal,
  t: number,
  room: ScoreRoom,
  sums: Float64Array,
  at: number,
): void {
  const { months } = prepared;
  const { needs } = animal;
  const times = prepared.weight[t]! * animal.share;
  const total = animal.totalWeight[t]!;
  let points = 0;
  let cap = Number.POSITIVE_INFINITY;
  let severeNow = 0;
  for (let n = 0; n < needs.length; n++) {
    const need = needs[n]!;
    if (need.counts[t] === 0) continue;
    const value = room.values[n * months + t]!;
    points += need.weight * value;
    if (value + need.allowance < cap) cap = value + need.allowance;
    if (need.lifeCritical && room.safe[n * months + t] === 0) severeNow++;
  }
  sums[at]! += times * severeNow;
  if (total > 0) {
    const mean = points / total;
    sums[at + 1]! += times * priorityPoints(Math.min(mean, cap), prepared.priority);
    sums[at + 2]! += times * mean;
  }
}

/** One need of one animal in one month: its value 0-100, whether it is a severe shortfall, whether it counts that month. */
type NeedInMonth = { need: string; value: number; severe: boolean; counts: boolean };

/** One animal in one month: score and mean 0-100, number of severe needs, and its needs; null when it is not counted. */
type AnimalInMonth = { score: number; mean: number; severe: number; needs: NeedInMonth[] } | null;

type AnimalByMonth = { id: string; months: readonly AnimalInMonth[] };

/** The rule that a schedule breaks, with the purchase and the month where it does. */
export type BrokenRule =
  | { rule: 'unknown-purchase' | 'bought-twice' | 'already-owned'; purchase: string }
  | { rule: 'outside-months' | 'too-early' | 'not-in-fixed-month'; purchase: string; month: number }
  | { rule: 'fixed-not-bought'; purchase: string }
  | { rule: 'group'; purchase: string; other: string }
  | { rule: 'requires'; purchase: string; month: number; oneOf: readonly string[] }
  | { rule: 'reserve'; month: number; shortBy: number }
  | { rule: 'tail'; month: number; shortBy: number };

/** What a schedule does, or the first rule that it breaks. */
export type Evaluation =
  | ({
      status: 'feasible';
      /** Cash at the end of each month, minor units. */
      balances: number[];
      animals: readonly AnimalByMonth[];
    } & Objective)
  | ({ status: 'broken' } & BrokenRule);

/** Works out a schedule in full: all rules, all balances, all scores. A broken schedule names the first broken rule. */
export function evaluateSchedule(problem: PlanningProblem, buys: readonly Buy[]): Evaluation {
  return evaluatePrepared(prepareProblem(problem), buys);
}

/** As evaluateSchedule, for a problem that was turned into indexes before. */
export function evaluatePrepared(prepared: PreparedProblem, buys: readonly Buy[]): Evaluation {
  const bought = new Int32Array(prepared.count).fill(-1);
  const misplaced = placeBuys(prepared, buys, bought);
  return misplaced ? { status: 'broken', ...misplaced } : evaluateBought(prepared, bought);
}

/** As evaluateSchedule, of months bought by index (-1 where not bought). */
export function evaluateBought(prepared: PreparedProblem, bought: Int32Array): Evaluation {
  const broken = firstBrokenRule(prepared, bought);
  if (broken) return { status: 'broken', ...broken };
  const starts = startsOf(prepared, bought);
  const room = scoreRoom(prepared);
  const accounts = prepared.animals.map((_, index) => accountOf(prepared, index, starts, room));
  const slack = slackOf(prepared, bought);
  let [severe, weighted, mean] = [0, 0, 0];
  for (const { sums } of accounts) {
    severe += sums[0]!;
    weighted += sums[1]!;
    mean += sums[2]!;
  }
  return {
    status: 'feasible',
    severe,
    weighted,
    mean,
    spend: spendOf(prepared, slack),
    balances: Array.from(slack, (value, month) => value + prepared.reserve[month]!),
    animals: accounts.map((one) => one.told),
  };
}

/** The month in which each purchase enters service; NEVER where it does not. */
function startsOf(prepared: PreparedProblem, bought: Int32Array): Int32Array {
  const starts = new Int32Array(prepared.count);
  for (let index = 0; index < prepared.count; index++) starts[index] = serviceStart(prepared, index, bought[index]!);
  return starts;
}

type Account = { starts: Int32Array; sums: Float64Array; told: AnimalByMonth };

// Schedules that are held against each other differ in few purchases, and most animals are in each as they were in the one before.
const lastAccounts = new WeakMap<PreparedAnimal, Account>();

function accountOf(prepared: PreparedProblem, index: number, starts: Int32Array, room: ScoreRoom): Account {
  const animal = prepared.animals[index]!;
  const { concerns } = animal;
  const last = lastAccounts.get(animal);
  if (last !== undefined) {
    let place = 0;
    while (place < concerns.length && starts[concerns[place]!] === last.starts[place]) place++;
    if (place === concerns.length) return last;
  }
  const sums = new Float64Array(3);
  sumScores(prepared, animal, starts, room, sums);
  const told = { id: prepared.problem.animals[index]!.id, months: monthsOfAnimal(prepared, index, room) };
  const account = { starts: concerns.map((purchase) => starts[purchase]!), sums, told };
  lastAccounts.set(animal, account);
  return account;
}

function placeBuys(prepared: PreparedProblem, buys: readonly Buy[], bought: Int32Array): BrokenRule | null {
  for (const { purchase, month } of buys) {
    const index = prepared.indexOf.get(purchase);
    if (index === undefined) return { rule: 'unknown-purchase', purchase };
    if (prepared.owned[index]) return { rule: 'already-owned', purchase };
    if (bought[index]! >= 0) return { rule: 'bought-twice', purchase };
    if (!Number.isInteger(month) || month < 0 || month >= prepared.months) {
      return { rule: 'outside-months', purchase, month };
    }
    bought[index] = month;
  }
  return null;
}

/** Months bought by index, -1 where not bought, from a list of buys. Throws when the list names a purchase wrongly. */
export function boughtMonths(prepared: PreparedProblem, buys: readonly Buy[]): Int32Array {
  const bought = new Int32Array(prepared.count).fill(-1);
  const misplaced = placeBuys(prepared, buys, bought);
  if (misplaced) throw new RangeError(`a buy breaks the rule '${misplaced.rule}'`);
  return bought;
}

/** The list of buys, by month and then in the problem's own order, of months bought by index. */
export function listBuys(prepared: PreparedProblem, bought: Int32Array): Buy[] {
  return prepared.problem.purchases
    .map((purchase, index) => ({ purchase: purchase.id, month: bought[index]! }))
    .filter((buy) => buy.month >= 0)
    .sort((a, b) => a.month - b.month);
}

/** Balance less reserve by month of a schedule, minor units; negative where the money is short. */
export function slackOf(prepared: PreparedProblem, bought: Int32Array): Float64Array {
  const flow = new Float64Array(prepared.months);
  for (let index = 0; index < prepared.count; index++) {
    addCashFlow(prepared, index, bought[index]!, retirementMonth(prepared, index, bought), 1, flow);
  }
  let sum = 0;
  return Float64Array.from(prepared.bareSlack, (slack, month) => {
    sum += flow[month]!;
    return slack + sum;
  });
}

/** What everything in service in the last month costs a month from then on, renewals spread over their lives. */
export function tailCostOf(prepared: PreparedProblem, bought: Int32Array): number {
  const last = prepared.months - 1;
  let sum = 0;
  for (let index = 0; index < prepared.count; index++) {
    if (serviceStart(prepared, index, bought[index]!) > last) continue;
    if (retirementMonth(prepared, index, bought) <= last) continue;
    sum += prepared.tailCost[index]!;
  }
  return sum;
}

/** The first rule that a schedule breaks, or null when it is feasible. */
export function firstBrokenRule(prepared: PreparedProblem, bought: Int32Array): BrokenRule | null {
  const id = (index: number) => prepared.problem.purchases[index]!.id;
  const holder = new Int32Array(prepared.groupCount).fill(-1);
  for (let index = 0; index < prepared.count; index++) {
    const month = bought[index]!;
    if (month < 0) {
      if (prepared.fixedMonth[index]! >= 0) return { rule: 'fixed-not-bought', purchase: id(index) };
      continue;
    }
    if (prepared.fixedMonth[index]! >= 0 && month !== prepared.fixedMonth[index]) {
      return { rule: 'not-in-fixed-month', purchase: id(index), month };
    }
    if (month < prepared.earliest[index]!) return { rule: 'too-early', purchase: id(index), month };
    for (const group of prepared.groups[index]!) {
      if (holder[group]! >= 0) return { rule: 'group', purchase: id(index), other: id(holder[group]!) };
      holder[group] = index;
    }
    const start = serviceStart(prepared, index, month);
    for (const alternatives of prepared.requires[index]!) {
      if (!alternatives.some((other) => serviceStart(prepared, other, bought[other]!) <= start)) {
        return { rule: 'requires', purchase: id(index), month, oneOf: Array.from(alternatives, id) };
      }
    }
  }
  const slack = slackOf(prepared, bought);
  const short = slack.findIndex((value) => value < 0);
  if (short >= 0) return { rule: 'reserve', month: short, shortBy: -slack[short]! };
  const excess = tailCostOf(prepared, bought) - prepared.tailIncome;
  if (excess > TAIL_TOLERANCE) {
    return { rule: 'tail', month: prepared.months - 1, shortBy: Math.ceil(excess - TAIL_TOLERANCE) };
  }
  return null;
}

/** The four figures of a schedule, feasible or not, with the month in which each purchase enters service. */
export function measureSchedule(
  prepared: PreparedProblem,
  bought: Int32Array,
): { sums: Objective; starts: Int32Array } {
  const starts = startsOf(prepared, bought);
  const room = scoreRoom(prepared);
  const sums = new Float64Array(3);
  const total = { severe: 0, weighted: 0, mean: 0, spend: 0 };
  for (const animal of prepared.animals) {
    sumScores(prepared, animal, starts, room, sums);
    total.severe += sums[0]!;
    total.weighted += sums[1]!;
    total.mean += sums[2]!;
  }
  total.spend = spendOf(prepared, slackOf(prepared, bought));
  return { sums: total, starts };
}

function spendOf({ months, bareSlack }: PreparedProblem, slack: Float64Array): number {
  return months > 0 ? bareSlack.at(-1)! - slack.at(-1)! : 0;
}

// The room must have been filled for this animal.
function monthsOfAnimal(prepared: PreparedProblem, index: number, room: ScoreRoom): AnimalInMonth[] {
  const animal = prepared.animals[index]!;
  const names = prepared.problem.animals[index]!.needs;
  return Array.from({ length: prepared.months }, (_, month) => {
    if (month < animal.from || month >= animal.until) return null;
    const needs = animal.needs.map((need, n): NeedInMonth => {
      const counts = need.counts[month] === 1;
      return {
        need: names[n]!.need,
        value: room.values[n * prepared.months + month]!,
        severe: counts && need.lifeCritical && room.safe[n * prepared.months + month] === 0,
        counts,
      };
    });
    let points = 0;
    let cap = Number.POSITIVE_INFINITY;
    animal.needs.forEach((need, n) => {
      if (!needs[n]!.counts) return;
      points += need.weight * needs[n]!.value;
      cap = Math.min(cap, needs[n]!.value + need.allowance);
    });
    const total = animal.totalWeight[month]!;
    const mean = total > 0 ? points / total : 0;
    return { mean, score: Math.min(mean, cap), severe: needs.filter((need) => need.severe).length, needs };
  });
}

/** Whether two sums of points count as equal: they differ by less than a millionth of their size. */
export function nearlyEqual(a: number, b: number): boolean {
  return Math.abs(a - b) <= RELATIVE_TOLERANCE * Math.max(Math.abs(a), Math.abs(b));
}

/** Whether every sum of severe needs is a whole number, so that the next better one is a whole one less. */
export function countsSevereWhole({ weight, animals }: PreparedProblem): boolean {
  return weight.every(Number.isInteger) && animals.every(({ share }) => Number.isInteger(share));
}

/** Negative when plan `a` is better than plan `b`, positive when worse, 0 when all four figures are equal. */
export function compareObjectives(a: Objective, b: Objective): number {
  if (Math.abs(a.severe - b.severe) > 1e-9) return a.severe - b.severe;
  if (!nearlyEqual(a.weighted, b.weighted)) return b.weighted - a.weighted;
  if (!nearlyEqual(a.mean, b.mean)) return b.mean - a.mean;
  return a.spend - b.spend;
}

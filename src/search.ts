// Finds good plans by trying orders of buying: buy in this order, each thing in the first month in which the money lasts,
// so that what is affordable but comes later in the order may be saved for. Seeded and without a clock: the same problem,
// seed and steps always give the same plan. It promises a plan, never that the plan is best.

import {
  addCashFlow,
  compareObjectives,
  firstBrokenRule,
  measureSchedule,
  NEVER,
  type PreparedProblem,
  scoreRoom,
  serviceStart,
  slackOf,
  sumScores,
  TAIL_TOLERANCE,
  tailCostOf,
} from './evaluate.ts';
import type { Objective } from './problem.ts';

/** A feasible plan: months bought by index (-1: not bought) and its four figures. */
export type FoundPlan = { bought: Int32Array; objective: Objective };

/** A search that can be continued for as long as wanted. */
export type Search = {
  /** Tries this many changed orders. */
  improve(steps: number): void;
  /** The best plan found so far; null while none is feasible. */
  best(): FoundPlan | null;
  /** Takes a feasible plan found elsewhere as a new starting point. */
  adopt(bought: Int32Array): void;
};

/** Points one severe need-month is worth to the search while it wanders; the choice of the best plan is strict. */
const SEVERE_POINTS = 600;
const BROKEN_POINTS = 1e7;

/** A repeatable stream of numbers from 0 (included) to 1 (excluded): mulberry32, a 32-bit counter-based generator. */
export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A number that stands for how well a plan does, smaller is better; for wandering, never for the last word. */
function energyOf(objective: Objective): number {
  return objective.severe * SEVERE_POINTS - objective.weighted - objective.mean * 1e-3 + objective.spend * 1e-6;
}

/** Begins a search. With `start`, a feasible plan is its first order; without, an order by points gained for the money. */
export function startSearch(prepared: PreparedProblem, seed: number, start?: Int32Array): Search {
  const { months, count } = prepared;
  const random = randomNumbers(seed);
  const pick = (limit: number) => Math.floor(random() * limit);
  const placer = makePlacer(prepared);
  const choices = choicesOf(prepared);
  const bundles = bundlesOf(prepared);
  const animalCount = prepared.animals.length;
  const scoreOf = makeScoreMemory(prepared);
  const sums = new Float64Array(3);

  let order: number[] = start ? orderOf(prepared, start) : orderByGain(prepared, bundles);
  const delay = new Int32Array(count);
  const starts = new Int32Array(count);
  const scores = new Float64Array(3 * animalCount);
  let energy = Number.POSITIVE_INFINITY;
  let best: FoundPlan | null = null;
  let polished = true;
  let bestOrder: number[] = order;
  const bestDelay = new Int32Array(count);

  let nextOrder: number[] = [];
  const nextDelay = new Int32Array(count);
  const nextScores = new Float64Array(3 * animalCount);
  const changed = new Uint8Array(animalCount);

  function decode(candidate: readonly number[], delays: Int32Array): { energy: number; objective: Objective } {
    placer.reset();
    for (let k = 0; k < candidate.length; k++) placer.place(candidate[k]!, delays[candidate[k]!]!);
    nextScores.set(scores);
    changed.fill(0);
    for (let index = 0; index < count; index++) {
      if (placer.starts[index] === starts[index]) continue;
      const concerned = prepared.animalsOf[index]!;
      for (let k = 0; k < concerned.length; k++) changed[concerned[k]!] = 1;
    }
    const objective = { severe: 0, weighted: 0, mean: 0, spend: 0 };
    for (let a = 0; a < animalCount; a++) {
      if (changed[a] === 1) {
        scoreOf(a, placer.starts, sums);
        nextScores.set(sums, 3 * a);
      }
      objective.severe += nextScores[3 * a]!;
      objective.weighted += nextScores[3 * a + 1]!;
      objective.mean += nextScores[3 * a + 2]!;
    }
    objective.spend = prepared.bareSlack[months - 1]! - placer.slack[months - 1]!;
    const shortage = placer.shortage();
    return { objective, energy: energyOf(objective) + (shortage > 0 ? BROKEN_POINTS + shortage : 0) };
  }

  function accept(decoded: { energy: number; objective: Objective }): void {
    energy = decoded.energy;
    starts.set(placer.starts);
    scores.set(nextScores);
    if (decoded.energy >= BROKEN_POINTS / 2) return;
    if (best !== null && compareObjectives(decoded.objective, best.objective) >= 0) return;
    if (firstBrokenRule(prepared, placer.bought) !== null) return;
    best = { bought: placer.bought.slice(), objective: decoded.objective };
    polished = false;
    bestOrder = order.slice();
    bestDelay.set(delay);
  }

  function restartFrom(candidate: readonly number[], delays: Int32Array | null): void {
    order = candidate.slice();
    if (delays) delay.set(delays);
    else delay.fill(0);
    starts.fill(-NEVER);
    accept(decode(order, delay));
  }

  function insertWithRequired(index: number, position: number, depth: number): number {
    const old = nextOrder.indexOf(index);
    let at = position;
    if (old >= 0) {
      nextOrder.splice(old, 1);
      if (old < at) at--;
    } else {
      for (const group of prepared.groups[index]!) {
        for (let k = nextOrder.length - 1; k >= 0; k--) {
          if (!prepared.groups[nextOrder[k]!]!.includes(group)) continue;
          nextOrder.splice(k, 1);
          if (k < at) at--;
        }
      }
    }
    if (at > nextOrder.length) at = nextOrder.length;
    nextOrder.splice(at, 0, index);
    if (depth > 6) return at;
    for (const alternatives of prepared.requires[index]!) {
      let met = false;
      for (let k = 0; k < alternatives.length && !met; k++) {
        const other = alternatives[k]!;
        if (placer.isGiven(other)) met = true;
        else {
          const where = nextOrder.indexOf(other);
          met = where >= 0 && where < at;
        }
      }
      if (met) continue;
      const other = alternatives[pick(alternatives.length)]!;
      if (prepared.owned[other]) continue;
      const here = insertWithRequired(other, at, depth + 1);
      at = Math.max(at, here + 1);
      const now = nextOrder.indexOf(index);
      if (now < 0) return at;
      at = now;
    }
    return at;
  }

  function propose(): void {
    nextOrder = order.slice();
    nextDelay.set(delay);
    const size = nextOrder.length;
    const roll = random();
    if (size === 0 || (roll < 0.12 && choices.length > 0)) {
      const index = choices[pick(choices.length)]!;
      nextDelay[index] = 0;
      insertWithRequired(index, pick(size + 1), 0);
    } else if (roll < 0.3 && bundles.length > 0) {
      const bundle = bundles[pick(bundles.length)]!;
      let at = pick(size + 1);
      for (const index of bundle) {
        nextDelay[index] = 0;
        at = insertWithRequired(index, Math.min(at, nextOrder.length), 0) + 1;
      }
    } else if (roll < 0.5) {
      const from = pick(size);
      const [index] = nextOrder.splice(from, 1);
      nextOrder.splice(pick(size), 0, index!);
    } else if (roll < 0.64) {
      const from = pick(size);
      const [index] = nextOrder.splice(from, 1);
      const reach = 1 + pick(6);
      const to = random() < 0.5 ? from - reach : from + reach;
      nextOrder.splice(Math.max(0, Math.min(size - 1, to)), 0, index!);
    } else if (roll < 0.78) {
      const a = pick(size);
      const b = pick(size);
      const kept = nextOrder[a]!;
      nextOrder[a] = nextOrder[b]!;
      nextOrder[b] = kept;
    } else if (roll < 0.88) {
      nextOrder.splice(pick(size), 1);
    } else if (roll < 0.94) {
      const at = pick(size);
      const rivals = placer.rivals(nextOrder[at]!);
      if (rivals.length > 0) nextOrder[at] = rivals[pick(rivals.length)]!;
      else nextOrder.splice(at, 1);
    } else {
      const index = nextOrder[pick(size)]!;
      nextDelay[index] = random() < 0.5 ? 0 : pick(months);
    }
  }

  // The temperature falls over ever longer cycles, because nobody says beforehand how long the search may go on.
  let cycle = 0;
  let cycleSteps = 0;
  let stepInCycle = 0;
  function temperature(): number {
    if (stepInCycle >= cycleSteps) {
      cycle++;
      cycleSteps = Math.round(4000 * 2 ** Math.min(cycle, 12));
      stepInCycle = 0;
      if (best !== null) restartFrom(bestOrder, bestDelay);
    }
    const progress = stepInCycle / cycleSteps;
    // Once the gentle cycles have found what they can, hotter ones leave what holds them; all four figures were found by trial.
    const [hotter, milder] = cycle > 2 ? [300, 120] : [90, 30];
    const hot = cycle % 2 === 1 ? hotter : milder;
    return hot * (0.4 / hot) ** progress;
  }

  restartFrom(order, null);

  return {
    improve(steps) {
      // With nothing to choose there is one plan at most, and it was looked at above.
      if (choices.length === 0) return;
      for (let step = 0; step < steps; step++) {
        const heat = temperature();
        stepInCycle++;
        propose();
        const decoded = decode(nextOrder, nextDelay);
        const worse = decoded.energy - energy;
        if (worse <= 0 || random() < Math.exp(-worse / heat)) {
          order = nextOrder;
          delay.set(nextDelay);
          accept(decoded);
        }
      }
    },
    best() {
      if (best !== null && !polished) {
        best = polishPlan(prepared, best);
        polished = true;
      }
      return best;
    },
    adopt(bought) {
      restartFrom(orderOf(prepared, bought), null);
      const { sums: objective } = measureSchedule(prepared, bought);
      if (firstBrokenRule(prepared, bought) !== null) return;
      if (best !== null && compareObjectives(objective, best.objective) >= 0) return;
      best = { bought: bought.slice(), objective };
      polished = false;
      bestOrder = order.slice();
      bestDelay.set(delay);
    },
  };
}

/** The purchases that may be bought and are not bound to a month. */
function choicesOf(prepared: PreparedProblem): number[] {
  const list: number[] = [];
  for (let index = 0; index < prepared.count; index++) {
    if (!prepared.owned[index] && prepared.fixedMonth[index]! < 0) list.push(index);
  }
  return list;
}

/** For each state that takes a purchase still to choose: the purchases it takes. Sets met twice are listed once. */
export function bundlesOf(prepared: PreparedProblem): number[][] {
  const seen = new Map<string, number[]>();
  for (const animal of prepared.animals) {
    for (const need of animal.needs) {
      for (const state of need.states) {
        const bundle = [...state.needs].filter((index) => !prepared.owned[index] && prepared.fixedMonth[index]! < 0);
        if (bundle.length > 0) seen.set(bundle.join(), bundle);
      }
    }
  }
  return [...seen.values()];
}

/** The order of buying that a plan followed. */
function orderOf(prepared: PreparedProblem, bought: Int32Array): number[] {
  return choicesOf(prepared)
    .filter((index) => bought[index]! >= 0)
    .sort(
      (a, b) =>
        bought[a]! - bought[b]! ||
        serviceStart(prepared, a, bought[a]!) - serviceStart(prepared, b, bought[b]!) ||
        prepared.requires[a]!.length - prepared.requires[b]!.length ||
        a - b,
    );
}

/** An order of buying by points gained for the money, each choice made as if everything before it were in service already. */
function orderByGain(prepared: PreparedProblem, bundles: readonly number[][]): number[] {
  const { count, months } = prepared;
  const starts = Int32Array.from({ length: count }, (_, index) =>
    serviceStart(prepared, index, prepared.fixedMonth[index]!),
  );
  const taken = new Uint8Array(count);
  for (let index = 0; index < count; index++) if (starts[index] !== NEVER) taken[index] = 1;
  const usedGroups = new Set<number>();
  for (let index = 0; index < count; index++) {
    if (prepared.fixedMonth[index]! >= 0) for (const group of prepared.groups[index]!) usedGroups.add(group);
  }
  const room = scoreRoom(prepared);
  const sums = new Float64Array(3);
  const flow = new Float64Array(months);

  const complete = (bundle: readonly number[]): number[] | null => {
    const list: number[] = [];
    const groups = new Set(usedGroups);
    const add = (index: number, depth: number): boolean => {
      if (taken[index] || list.includes(index)) return true;
      if (prepared.owned[index] || depth > 8) return false;
      for (const alternatives of prepared.requires[index]!) {
        if (alternatives.some((other) => taken[other] || list.includes(other))) continue;
        const cheapest = [...alternatives].sort((a, b) => prepared.price[a]! - prepared.price[b]!);
        if (!cheapest.some((other) => add(other, depth + 1))) return false;
      }
      for (const group of prepared.groups[index]!) {
        if (groups.has(group)) return false;
        groups.add(group);
      }
      list.push(index);
      return true;
    };
    return bundle.every((index) => add(index, 0)) && list.length > 0 ? list : null;
  };

  const value = (concerned: ReadonlySet<number>): number => {
    let total = 0;
    for (const a of concerned) {
      sumScores(prepared, prepared.animals[a]!, starts, room, sums);
      total += sums[1]! - SEVERE_POINTS * sums[0]! + 0.05 * sums[2]!;
    }
    return total;
  };

  type Offer = { list: number[]; ratio: number; concerned: Set<number> };
  const judge = (bundle: readonly number[]): Offer | null => {
    const list = complete(bundle);
    if (list === null) return null;
    const concerned = new Set(list.flatMap((index) => [...prepared.animalsOf[index]!]));
    const before = value(concerned);
    flow.fill(0);
    for (const index of list) {
      starts[index] = prepared.earliest[index]! + prepared.lead[index]!;
      addCashFlow(prepared, index, prepared.earliest[index]!, NEVER, 1, flow);
    }
    const gain = value(concerned) - before;
    for (const index of list) starts[index] = NEVER;
    const cost = -flow.reduce((sum, amount) => sum + amount, 0);
    return gain > 1e-9 ? { list, concerned, ratio: gain / Math.max(cost, 1) } : null;
  };

  const order: number[] = [];
  const offers: (Offer | null)[] = bundles.map(judge);
  for (;;) {
    let chosen: Offer | null = null;
    for (const offer of offers) if (offer !== null && (chosen === null || offer.ratio > chosen.ratio)) chosen = offer;
    if (chosen === null) return order;
    for (const index of chosen.list) {
      taken[index] = 1;
      starts[index] = prepared.earliest[index]! + prepared.lead[index]!;
      for (const group of prepared.groups[index]!) usedGroups.add(group);
      order.push(index);
    }
    for (let k = 0; k < bundles.length; k++) {
      const touched = bundles[k]!.some((index) =>
        prepared.animalsOf[index]!.some((animal) => chosen.concerned.has(animal)),
      );
      if (touched) offers[k] = judge(bundles[k]!);
    }
  }
}

type Placer = {
  bought: Int32Array;
  starts: Int32Array;
  slack: Float64Array;
  reset(): void;
  place(index: number, notBefore: number): void;
  shortage(): number;
  isGiven(index: number): boolean;
  rivals(index: number): readonly number[];
};

/** Puts purchases one after the other into the first month in which no later balance falls below the reserve. */
function makePlacer(prepared: PreparedProblem): Placer {
  const { months, count } = prepared;
  const bought = new Int32Array(count);
  const starts = new Int32Array(count);
  const retired = new Int32Array(count);
  const slack = new Float64Array(months);
  const floor = new Float64Array(months + 1);
  const groupTaken = new Uint8Array(Math.max(1, prepared.groupCount));
  const delta = new Float64Array(months);
  let tail = 0;

  const givenBought = Int32Array.from(prepared.fixedMonth);
  const givenStarts = Int32Array.from(givenBought, (month, index) => serviceStart(prepared, index, month));
  const givenRetired = new Int32Array(count).fill(NEVER);
  for (let index = 0; index < count; index++) {
    for (const other of prepared.retiredBy[index]!) {
      givenRetired[index] = Math.min(givenRetired[index]!, givenStarts[other]!);
    }
  }
  const givenSlack = slackOf(prepared, givenBought);
  const givenTail = tailCostOf(prepared, givenBought);
  const givenGroups = new Uint8Array(Math.max(1, prepared.groupCount));
  const fixedWithRequirements: number[] = [];
  for (let index = 0; index < count; index++) {
    if (givenBought[index]! < 0) continue;
    for (const group of prepared.groups[index]!) givenGroups[group] = 1;
    if (prepared.requires[index]!.length > 0) fixedWithRequirements.push(index);
  }
  const simple = Uint8Array.from({ length: count }, (_, index) =>
    prepared.monthlyCost[index]! >= 0 && prepared.proceedsAmount[index] === 0 && prepared.retires[index]!.length === 0
      ? 1
      : 0,
  );
  const rivalsOf: number[][] = Array.from({ length: count }, (_, index) =>
    choicesOf(prepared).filter(
      (other) => other !== index && prepared.groups[other]!.some((group) => prepared.groups[index]!.includes(group)),
    ),
  );

  function refreshFloor(): void {
    floor[months] = Number.POSITIVE_INFINITY;
    for (let t = months - 1; t >= 0; t--) floor[t] = Math.min(floor[t + 1]!, slack[t]!);
  }

  /** Fills `delta` from `month` on with the money moved; true when no balance falls below the reserve, or further below. */
  function fits(index: number, month: number): boolean {
    delta.fill(0, month);
    addCashFlow(prepared, index, month, retired[index]!, 1, delta);
    const retires = prepared.retires[index]!;
    if (retires.length > 0) {
      const start = month + prepared.lead[index]!;
      for (let k = 0; k < retires.length; k++) {
        const other = retires[k]!;
        if (starts[other] === NEVER || retired[other]! <= start) continue;
        addCashFlow(prepared, other, bought[other]!, retired[other]!, -1, delta);
        addCashFlow(prepared, other, bought[other]!, start, 1, delta);
      }
    }
    let sum = 0;
    for (let t = month; t < months; t++) {
      sum += delta[t]!;
      const before = slack[t]!;
      if (before + sum < 0 && sum < 0) return false;
    }
    return true;
  }

  function reset(): void {
    bought.set(givenBought);
    starts.set(givenStarts);
    retired.set(givenRetired);
    slack.set(givenSlack);
    groupTaken.set(givenGroups);
    tail = givenTail;
    refreshFloor();
  }

  function place(index: number, notBefore: number): void {
    if (starts[index] !== NEVER) return;
    const groups = prepared.groups[index]!;
    for (let k = 0; k < groups.length; k++) if (groupTaken[groups[k]!] === 1) return;
    let month = Math.max(prepared.earliest[index]!, notBefore);
    const lead = prepared.lead[index]!;
    const requires = prepared.requires[index]!;
    for (let k = 0; k < requires.length; k++) {
      const alternatives = requires[k]!;
      let first = NEVER;
      for (let j = 0; j < alternatives.length; j++) first = Math.min(first, starts[alternatives[j]!]!);
      if (first === NEVER) return;
      if (first - lead > month) month = first - lead;
    }
    const last = Math.min(prepared.latest[index]!, months - 1 - lead);
    const easy = simple[index] === 1;
    const price = prepared.price[index]!;
    for (; month <= last; month++) {
      if (easy && floor[month]! < price && floor[month]! >= 0) continue;
      if (!fits(index, month)) continue;
      const start = month + lead;
      let newTail = tail;
      if (retired[index]! > months - 1) newTail += prepared.tailCost[index]!;
      const retires = prepared.retires[index]!;
      for (let k = 0; k < retires.length; k++) {
        const other = retires[k]!;
        if (starts[other]! <= months - 1 && retired[other]! > months - 1) newTail -= prepared.tailCost[other]!;
      }
      if (newTail > prepared.tailIncome + TAIL_TOLERANCE && newTail > tail + TAIL_TOLERANCE) return;
      tail = newTail;
      bought[index] = month;
      starts[index] = start;
      for (let k = 0; k < groups.length; k++) groupTaken[groups[k]!] = 1;
      for (let k = 0; k < retires.length; k++) if (retired[retires[k]!]! > start) retired[retires[k]!] = start;
      let sum = 0;
      for (let t = month; t < months; t++) {
        sum += delta[t]!;
        slack[t]! += sum;
      }
      refreshFloor();
      return;
    }
  }

  function shortage(): number {
    let worst = Math.max(0, -floor[0]!);
    if (tail > prepared.tailIncome + TAIL_TOLERANCE) worst += tail - prepared.tailIncome;
    for (const index of fixedWithRequirements) {
      for (const alternatives of prepared.requires[index]!) {
        let first = NEVER;
        for (let j = 0; j < alternatives.length; j++) first = Math.min(first, starts[alternatives[j]!]!);
        if (first > starts[index]!) worst += 1000 * (Math.min(first, months) - starts[index]! + 1);
      }
    }
    return worst;
  }

  reset();
  return {
    bought,
    starts,
    slack,
    reset,
    place,
    shortage,
    isGiven: (index) => givenStarts[index] !== NEVER,
    rivals: (index) => rivalsOf[index]!,
  };
}

/**
 * Scores animals and remembers the latest answers, because a search asks for the same few schedules of an animal again
 * and again. The months in which an animal's purchases enter service are compared in full: nothing is guessed.
 */
function makeScoreMemory(prepared: PreparedProblem): (animal: number, starts: Int32Array, sums: Float64Array) => void {
  const slots = 4096;
  const room = scoreRoom(prepared);
  const { months } = prepared;
  const memories = prepared.animals.map((animal) => ({
    keys: new Uint16Array(slots * animal.concerns.length),
    known: new Uint8Array(slots),
    sums: new Float64Array(slots * 3),
  }));
  return (index, starts, sums) => {
    const animal = prepared.animals[index]!;
    const { concerns } = animal;
    const memory = memories[index]!;
    const width = concerns.length;
    let hash = 17;
    for (let k = 0; k < width; k++) hash = Math.imul(hash, 0x01000193) ^ Math.min(months, starts[concerns[k]!]!);
    const slot = ((hash ^ (hash >>> 13)) >>> 0) & (slots - 1);
    const base = slot * width;
    let same = memory.known[slot] === 1;
    for (let k = 0; same && k < width; k++) {
      same = memory.keys[base + k] === Math.max(0, Math.min(months, starts[concerns[k]!]!));
    }
    if (!same) {
      sumScores(prepared, animal, starts, room, sums);
      for (let k = 0; k < width; k++) memory.keys[base + k] = Math.max(0, Math.min(months, starts[concerns[k]!]!));
      memory.known[slot] = 1;
      memory.sums.set(sums, 3 * slot);
      return;
    }
    sums[0] = memory.sums[3 * slot]!;
    sums[1] = memory.sums[3 * slot + 1]!;
    sums[2] = memory.sums[3 * slot + 2]!;
  };
}

/**
 * Moves single purchases of a feasible plan to any other month, or drops them, while that makes the plan better in the
 * strict order of the four figures. What comes back is feasible and no single purchase of it can be dropped without loss.
 */
export function polishPlan(prepared: PreparedProblem, plan: FoundPlan): FoundPlan {
  const bought = plan.bought.slice();
  const scoreOf = makeScoreMemory(prepared);
  const { starts } = measureSchedule(prepared, bought);
  const sums = new Float64Array(3);
  let objective = plan.objective;

  function objectiveOf(index: number, month: number): Objective {
    const result = { ...objective };
    const concerned = prepared.animalsOf[index]!;
    const kept = starts[index]!;
    for (const sign of [-1, 1]) {
      starts[index] = sign < 0 ? kept : serviceStart(prepared, index, month);
      for (let k = 0; k < concerned.length; k++) {
        scoreOf(concerned[k]!, starts, sums);
        result.severe += sign * sums[0]!;
        result.weighted += sign * sums[1]!;
        result.mean += sign * sums[2]!;
      }
    }
    starts[index] = kept;
    const before = bought[index]!;
    bought[index] = month;
    result.spend = prepared.bareSlack[prepared.months - 1]! - slackOf(prepared, bought)[prepared.months - 1]!;
    bought[index] = before;
    return result;
  }

  const choices = choicesOf(prepared);
  for (let again = true; again; ) {
    again = false;
    for (const index of choices) {
      if (bought[index]! < 0) continue;
      for (let month = -1; month <= prepared.latest[index]!; month++) {
        const kept = bought[index]!;
        if (kept < 0) break;
        if (month === kept || (month >= 0 && month < prepared.earliest[index]!)) continue;
        const candidate = objectiveOf(index, month);
        if (compareObjectives(candidate, objective) >= 0) continue;
        bought[index] = month;
        if (firstBrokenRule(prepared, bought) !== null) {
          bought[index] = kept;
          continue;
        }
        starts[index] = serviceStart(prepared, index, month);
        objective = candidate;
        again = true;
      }
    }
  }
  return { bought, objective: measureSchedule(prepared, bought).sums };
}

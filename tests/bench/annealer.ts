// A plain annealer to compare the planner with: an order of buying, everything bought in the first month in which the money lasts,
// random swaps, insertions and removals, and cooling by a constant factor. It shares the evaluation of a schedule, not the search.

import {
  addCashFlow,
  compareObjectives,
  firstBrokenRule,
  NEVER,
  type PreparedProblem,
  retirementMonth,
  scoreRoom,
  serviceStart,
  sumScores,
  TAIL_TOLERANCE,
  tailCostOf,
} from '../../src/evaluate.ts';
import type { Objective } from '../../src/problem.ts';
import { lcg } from '../support/random-problem.ts';

const FIRST_TEMPERATURE = 400;
const LAST_TEMPERATURE = 0.5;
/** Points that one severe need-month counts while it wanders. */
const SEVERE_POINTS = 600;
const MOVES_BETWEEN_LOOKS = 20;

/**
 * Anneals until `done`, the share of the time that has passed, is 1; tells of each better plan, as months bought by index. A
 * problem in which nothing can be bought at first tells of nothing.
 */
export function annealPlainly(
  prepared: PreparedProblem,
  seed: number,
  done: () => number,
  tell: (bought: Int32Array, objective: Objective) => void,
): void {
  const { months, count } = prepared;
  const random = lcg(seed);
  const pick = (limit: number) => Math.floor(random() * limit);
  const open = Array.from({ length: count }, (_, index) => index).filter(
    (index) => !prepared.owned[index] && prepared.fixedMonth[index]! < 0,
  );
  const room = scoreRoom(prepared);
  const figures = new Float64Array(3);
  const slack = new Float64Array(months);
  const flow = new Float64Array(months);
  const bought = new Int32Array(count);
  const starts = new Int32Array(count);

  /** Adds the flows of a purchase and of what it retires, with a sign, to `flow`. */
  function addFlows(index: number, sign: number): void {
    for (const each of [index, ...prepared.retires[index]!]) {
      addCashFlow(prepared, each, bought[each]!, retirementMonth(prepared, each, bought), sign, flow);
    }
  }

  function place(index: number, groups: Set<number>): void {
    for (const group of prepared.groups[index]!) if (groups.has(group)) return;
    let first = prepared.earliest[index]!;
    for (const alternatives of prepared.requires[index]!) {
      const soonest = Math.min(NEVER, ...Array.from(alternatives, (other) => starts[other]!));
      if (soonest === NEVER) return;
      first = Math.max(first, soonest - prepared.lead[index]!);
    }
    for (let month = first; month < months; month++) {
      flow.fill(0);
      addFlows(index, -1);
      bought[index] = month;
      addFlows(index, 1);
      let sum = 0;
      let lasts = true;
      for (let t = 0; t < months; t++) {
        sum += flow[t]!;
        if (sum < 0 && slack[t]! + sum < 0) lasts = false;
      }
      if (lasts && tailCostOf(prepared, bought) <= prepared.tailIncome + TAIL_TOLERANCE) {
        sum = 0;
        for (let t = 0; t < months; t++) {
          sum += flow[t]!;
          slack[t]! += sum;
        }
        starts[index] = serviceStart(prepared, index, month);
        for (const group of prepared.groups[index]!) groups.add(group);
        return;
      }
      bought[index] = -1;
    }
  }

  const scores = new Float64Array(3 * prepared.animals.length);
  const before = new Int32Array(count).fill(-NEVER);
  function decode(order: readonly number[]): Objective {
    bought.set(prepared.fixedMonth);
    const groups = new Set<number>();
    for (let index = 0; index < count; index++) {
      starts[index] = serviceStart(prepared, index, bought[index]!);
      if (bought[index]! >= 0) for (const group of prepared.groups[index]!) groups.add(group);
    }
    flow.fill(0);
    for (let index = 0; index < count; index++) {
      addCashFlow(prepared, index, bought[index]!, retirementMonth(prepared, index, bought), 1, flow);
    }
    let sum = 0;
    for (let t = 0; t < months; t++) {
      sum += flow[t]!;
      slack[t] = prepared.bareSlack[t]! + sum;
    }
    for (const index of order) place(index, groups);
    const objective = { severe: 0, weighted: 0, mean: 0, spend: prepared.bareSlack.at(-1)! - slack[months - 1]! };
    prepared.animals.forEach((animal, a) => {
      if (animal.concerns.some((index) => starts[index] !== before[index])) {
        sumScores(prepared, animal, starts, room, figures);
        scores.set(figures, 3 * a);
      }
      objective.severe += scores[3 * a]!;
      objective.weighted += scores[3 * a + 1]!;
      objective.mean += scores[3 * a + 2]!;
    });
    before.set(starts);
    return objective;
  }

  const energyOf = ({ severe, weighted, mean, spend }: Objective) =>
    SEVERE_POINTS * severe - weighted - 1e-3 * mean + 1e-6 * spend;
  let order = [...open].sort(() => random() - 0.5);
  let objective = decode(order);
  let energy = energyOf(objective);
  let best: Objective | null = null;
  const offer = (): void => {
    if (best !== null && compareObjectives(objective, best) >= 0) return;
    if (firstBrokenRule(prepared, bought) !== null) return;
    best = objective;
    tell(bought.slice(), objective);
  };
  offer();
  if (open.length === 0) return;
  for (let share = done(); share < 1; share = done()) {
    const temperature = FIRST_TEMPERATURE * (LAST_TEMPERATURE / FIRST_TEMPERATURE) ** share;
    for (let move = 0; move < MOVES_BETWEEN_LOOKS; move++) {
      const next = [...order];
      const kind = random();
      if (kind < 0.4 && next.length > 1) {
        const [a, b] = [pick(next.length), pick(next.length)];
        [next[a], next[b]] = [next[b]!, next[a]!];
      } else if (kind < 0.9 || next.length === 0) {
        // What is in the order moves to another place in it, what was removed comes back.
        const index = open[pick(open.length)]!;
        const place = next.indexOf(index);
        if (place >= 0) next.splice(place, 1);
        next.splice(pick(next.length + 1), 0, index);
      } else next.splice(pick(next.length), 1);
      objective = decode(next);
      const nextEnergy = energyOf(objective);
      if (nextEnergy > energy && random() >= Math.exp((energy - nextEnergy) / temperature)) continue;
      order = next;
      energy = nextEnergy;
      offer();
    }
  }
}

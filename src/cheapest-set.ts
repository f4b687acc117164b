// The cheapest set of purchases that brings one animal, or each need of all, to a target, whatever month the money is there.

import type { PreparedProblem } from './evaluate.ts';
import { serviceStart } from './evaluate.ts';
import type { Program, ProgramVariable } from './solver.ts';
import { solveSmall } from './solver.ts';

const INFINITY = Number.POSITIVE_INFINITY;

/**
 * The cheapest set that brings every need of one animal to its target in one month, or the needs that nothing on offer
 * brings there; that list is empty when each need could be met but not all of them together.
 */
export type TargetSet =
  | { status: 'found'; purchases: string[]; price: number }
  | { status: 'already-met' }
  | { status: 'out-of-reach'; needs: string[] };

/**
 * Finds the cheapest purchases, in service by `month`, with which every need that counts for the animal reaches at least
 * `target` (0-100, one number or one by need), on top of what is owned and bought already. Price only, minor units.
 */
export function cheapestSetToTarget(
  prepared: PreparedProblem,
  animalId: string,
  month: number,
  target: number | ((need: string) => number),
  bought: Int32Array = Int32Array.from(prepared.fixedMonth),
): TargetSet {
  const position = prepared.problem.animals.findIndex((animal) => animal.id === animalId);
  if (position < 0) throw new RangeError(`no animal has the id '${animalId}'`);
  const found = cheapestSet(prepared, [position], month, target, bought);
  if (found.outOfReach.length > 0) return { status: 'out-of-reach', needs: found.outOfReach.map((one) => one.need) };
  if (found.purchases === null) return { status: 'out-of-reach', needs: [] };
  if (found.purchases.length === 0) return { status: 'already-met' };
  return { status: 'found', purchases: found.purchases, price: found.price };
}

/** The cheapest set for all animals together, and the needs of each that nothing on offer brings to the target. */
export type SetForAll = { purchases: string[]; price: number; outOfReach: { animalId: string; need: string }[] };

/**
 * As cheapestSetToTarget for all animals at once, so that what serves several is counted once; needs that nothing brings to the target are
 * named, and the set is the cheapest for the others. Where the needs of an animal exclude one another, all of them are named.
 */
export function cheapestSetForAll(prepared: PreparedProblem, month: number, target: number): SetForAll {
  const bought = Int32Array.from(prepared.fixedMonth);
  const whole: SetForAll = { purchases: [], price: 0, outOfReach: [] };
  for (const positions of sharingAnimals(prepared)) {
    const found = cheapestSet(prepared, positions, month, target, bought);
    whole.outOfReach.push(...found.outOfReach);
    if (found.purchases === null) {
      for (const position of positions) {
        const { id, needs } = prepared.problem.animals[position]!;
        whole.outOfReach.push(...needs.map(({ need }) => ({ animalId: id, need })));
      }
      continue;
    }
    whole.purchases.push(...found.purchases);
    whole.price += found.price;
  }
  return whole;
}

/** The animals in groups, by position, so that no purchase matters to two groups: each can be solved by itself. */
function sharingAnimals({ animals, groups, requires, count }: PreparedProblem): number[][] {
  const leader = Array.from({ length: count + animals.length }, (_, index) => index);
  const find = (index: number): number => {
    let at = index;
    while (leader[at] !== at) at = leader[at]!;
    return at;
  };
  const join = (a: number, b: number): void => {
    leader[find(a)] = find(b);
  };
  const firstOf = new Map<number, number>();
  for (let index = 0; index < count; index++) {
    for (const group of groups[index]!) join(index, firstOf.get(group) ?? index);
    for (const group of groups[index]!) firstOf.set(group, index);
    for (const alternatives of requires[index]!) for (const other of alternatives) join(index, other);
  }
  animals.forEach((animal, position) => {
    for (const need of animal.needs)
      for (const state of need.states)
        for (const index of [...state.needs, ...state.blockedBy]) join(count + position, index);
  });
  const found = new Map<number, number[]>();
  animals.forEach((_, position) => {
    const at = find(count + position);
    found.set(at, [...(found.get(at) ?? []), position]);
  });
  return [...found.values()];
}

/** The set for some animals, by position; `purchases` is null when the needs cannot all be met together. */
function cheapestSet(
  prepared: PreparedProblem,
  positions: readonly number[],
  month: number,
  target: number | ((need: string) => number),
  bought: Int32Array,
): { purchases: string[] | null; price: number; outOfReach: SetForAll['outOfReach'] } {
  const wanted = (need: string) => (typeof target === 'number' ? target : target(need));
  const given = (index: number) => serviceStart(prepared, index, bought[index]!) <= month;
  const variables: ProgramVariable[] = [];
  const rows: Program['rows'] = [];
  const variableOf = new Map<number, number>();
  const takenGroups = new Set<number>();
  bought.forEach((when, index) => {
    if (when >= 0) for (const group of prepared.groups[index]!) takenGroups.add(group);
  });
  /** The variable of a purchase still open; null when it is given already; undefined when it cannot come in time. */
  const openPurchase = (index: number): number | null | undefined => {
    if (given(index)) return null;
    if (bought[index]! >= 0 || prepared.owned[index]) return undefined;
    if (prepared.earliest[index]! + prepared.lead[index]! > month) return undefined;
    if ([...prepared.groups[index]!].some((group) => takenGroups.has(group))) return undefined;
    const known = variableOf.get(index);
    if (known !== undefined) return known;
    const variable = variables.push({ cost: prepared.price[index]!, lower: 0, upper: 1, whole: true }) - 1;
    variableOf.set(index, variable);
    for (const alternatives of prepared.requires[index]!) {
      const others = [...alternatives].map(openPurchase);
      if (others.some((other) => other === null)) continue;
      const entries: [number, number][] = [[variable, -1]];
      for (const other of others) if (typeof other === 'number') entries.push([other, 1]);
      rows.push({ lower: 0, upper: INFINITY, entries });
    }
    return variable;
  };

  const outOfReach: SetForAll['outOfReach'] = [];
  const counting = positions.flatMap((position) => {
    const { id, needs } = prepared.problem.animals[position]!;
    return prepared.animals[position]!.needs.map((need, n) => ({ need, animalId: id, name: needs[n]!.need }));
  });
  for (const { need, animalId, name } of counting) {
    if (need.counts[month] === 0 || wanted(name) <= 0) continue;
    const picks: [number, number][] = [];
    let met = false;
    for (const state of need.states) {
      if (state.values[month]! < wanted(name)) continue;
      const uses = [...state.needs].map(openPurchase);
      if (uses.some((use) => use === undefined) || [...state.blockedBy].some(given)) continue;
      const blockers = [...state.blockedBy].map((index) => variableOf.get(index) ?? openPurchase(index));
      const open = uses.filter((use) => typeof use === 'number');
      const against = blockers.filter((blocker) => typeof blocker === 'number');
      if (open.length === 0 && against.length === 0) met = true;
      const pick = variables.push({ cost: 0, lower: 0, upper: 1, whole: false }) - 1;
      for (const use of open) {
        rows.push({
          lower: -INFINITY,
          upper: 0,
          entries: [
            [pick, 1],
            [use, -1],
          ],
        });
      }
      for (const blocker of against) {
        rows.push({
          lower: -INFINITY,
          upper: 1,
          entries: [
            [pick, 1],
            [blocker, 1],
          ],
        });
      }
      picks.push([pick, 1]);
    }
    if (met) continue;
    if (picks.length === 0) outOfReach.push({ animalId, need: name });
    else rows.push({ lower: 1, upper: INFINITY, entries: picks });
  }

  const members = new Map<number, [number, number][]>();
  for (const [index, variable] of variableOf) {
    for (const group of prepared.groups[index]!) {
      members.set(group, [...(members.get(group) ?? []), [variable, 1]]);
    }
  }
  for (const entries of members.values()) if (entries.length > 1) rows.push({ lower: -INFINITY, upper: 1, entries });
  if (variables.length === 0) return { purchases: [], price: 0, outOfReach };
  const outcome = solveSmall({ sense: 'minimise', variables, rows });
  if (outcome.status !== 'optimal') return { purchases: null, price: 0, outOfReach };
  const chosen = [...variableOf].filter(([, variable]) => outcome.values[variable] === 1).map(([index]) => index);
  return {
    outOfReach,
    purchases: chosen.sort((a, b) => a - b).map((index) => prepared.problem.purchases[index]!.id),
    price: chosen.reduce((sum, index) => sum + prepared.price[index]!, 0),
  };
}

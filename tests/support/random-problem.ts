// Small random planning problems in which every feature of the form occurs, and the deletion of each feature, so that a test
// can count how often a feature decides what the best plan is.

import type { PlannedAnimal, PlanningProblem, Priority, Purchase } from '../../src/problem.ts';

type Random = () => number;

/** A repeatable stream of numbers from 0 to 1: a 32-bit linear congruential generator, high bits. */
export function lcg(seed: number): Random {
  let state = (seed * 2654435761 + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    let mixed = state ^ (state >>> 15);
    mixed = Math.imul(mixed, 0x2c1b3c6d);
    mixed ^= mixed >>> 12;
    return (mixed >>> 0) / 4294967296;
  };
}

/** Other ways to count the worst off: all points alike, the best off hardly at all, and fractions. */
const PRIORITIES: Priority[] = [
  [1, 1, 1],
  [5, 1, 0],
  [2, 2, 1],
  [4, 1.5, 0.5],
];

/** A problem of `count` purchases and 3-4 (or `given`) months, two animals, with prices near the money that comes in. */
export function randomProblem(seed: number, count = 4, given: number | null = null): PlanningProblem {
  const random = lcg(seed);
  const whole = (low: number, high: number) => low + Math.floor(random() * (high - low + 1));
  const chance = (share: number) => random() < share;
  const months = given ?? whole(3, 4);
  const monthly = 100 * whole(20, 60);
  const ids = 'abcdefghij'.slice(0, count).split('');
  const hasFixed = chance(0.3);
  const purchases: Purchase[] = ids.map((id, i) => {
    const others = ids.filter((other) => other !== id);
    const other = () => others[whole(0, others.length - 1)]!;
    const purchase: Purchase = { id, price: 100 * whole(5, Math.round((monthly * 2) / 100)) };
    if (chance(0.35)) purchase.monthlyCost = 100 * (chance(0.35) ? -whole(3, 15) : whole(1, 12));
    if (chance(0.3)) {
      purchase.life = whole(1, 2);
      purchase.renewal = 100 * whole(3, 20);
    }
    if (chance(0.3)) purchase.lead = whole(1, 2);
    if (chance(0.25)) purchase.earliest = whole(1, 2);
    if (chance(0.35)) purchase.groups = [chance(0.7) ? 'g' : 'h'];
    if (chance(0.3)) purchase.requires = [chance(0.5) || others.length < 2 ? other() : [others[0]!, others[1]!]];
    if (chance(0.3)) purchase.proceeds = { amount: 100 * whole(5, 40), after: whole(0, 1) };
    if (chance(0.35)) purchase.retires = ['old'];
    if (hasFixed && i === 0) {
      purchase.fixedMonth = whole(0, months - 1);
      delete purchase.requires;
    }
    return purchase;
  });
  purchases.push({
    id: 'old',
    price: 0,
    ownedSince: -whole(1, 6),
    monthlyCost: 100 * whole(2, 9),
    ...(chance(0.6) ? { life: whole(2, 4), renewal: 100 * whole(4, 18) } : {}),
  });
  const animals = ['x', 'y'].map((id): PlannedAnimal => {
    const animal: PlannedAnimal = {
      id,
      needs: ['heat', 'light', 'space'].map((need, n) => ({
        need,
        weight: 5 * whole(1, 4),
        allowance: [30, 30, 50][n]!,
        lifeCritical: n < 2,
        ...(chance(0.3) ? { offMonths: [whole(0, months - 1)] } : {}),
        states: [
          {
            value: whole(5, 45),
            needs: chance(0.15) ? ['old'] : [],
            ...(chance(0.4) ? { blockedBy: [ids[whole(0, count - 1)]!] } : {}),
            ...(chance(0.25) ? { severe: chance(0.5) } : {}),
          },
          ...Array.from({ length: whole(1, 2) }, () => ({
            value: chance(0.4) ? Array.from({ length: months }, () => whole(0, 100)) : whole(25, 100),
            needs: [...new Set(Array.from({ length: whole(1, 2) }, () => ids[whole(0, count - 1)]!))],
            ...(chance(0.2) ? { blockedBy: [ids[whole(0, count - 1)]!] } : {}),
            ...(chance(0.2) ? { severe: chance(0.5) } : {}),
          })),
        ],
      })),
    };
    if (chance(0.3)) animal.from = 1;
    if (chance(0.3)) animal.until = months - 1;
    return animal;
  });
  return {
    months,
    creditMonths: whole(0, 4),
    ...(chance(0.6) ? { openingCash: 100 * whole(10, 50) } : {}),
    ...(chance(0.6)
      ? { reserve: chance(0.5) ? 100 * whole(2, 20) : Array.from({ length: months }, () => 100 * whole(0, 20)) }
      : {}),
    income: Array.from({ length: months }, () => monthly + 100 * whole(0, 10)),
    ...(chance(0.6) ? { committed: Array.from({ length: months }, () => (chance(0.5) ? 100 * whole(0, 25) : 0)) } : {}),
    ...(chance(0.6) ? { tailIncome: 100 * whole(1, 14) } : {}),
    purchases,
    animals,
    ...(chance(0.3) ? { priority: PRIORITIES[whole(0, PRIORITIES.length - 1)]! } : {}),
  };
}

/** The problem with more that ends: what is owned may save money until it is retired, and one purchase retires another. */
export function withMoreRetired(problem: PlanningProblem, seed: number): PlanningProblem {
  const random = lcg(seed + 77);
  const free = problem.purchases.filter((one) => one.ownedSince === undefined).map(({ id }) => id);
  const [retirer, retired] = [free[Math.floor(random() * free.length)]!, free[Math.floor(random() * free.length)]!];
  const [savesOwned, savesBought] = [random() < 0.5, random() < 0.5];
  return {
    ...problem,
    purchases: problem.purchases.map((one) => {
      if (one.ownedSince !== undefined) return savesOwned ? { ...one, monthlyCost: -(one.monthlyCost ?? 0) } : one;
      const ends = one.id === retirer && retirer !== retired ? { retires: [...(one.retires ?? []), retired] } : {};
      return { ...one, ...ends, ...(one.id === retired ? { monthlyCost: savesBought ? -600 : 400 } : {}) };
    }),
  };
}

type Deletion = (problem: PlanningProblem) => PlanningProblem;

const fromPurchases =
  (change: (purchase: Purchase) => Purchase): Deletion =>
  (problem) => ({ ...problem, purchases: problem.purchases.map(change) });

const fromAnimals =
  (change: (animal: PlannedAnimal) => PlannedAnimal): Deletion =>
  (problem) => ({ ...problem, animals: problem.animals.map(change) });

const without = <T extends object>(object: T, ...fields: (keyof T)[]): T => {
  const copy = { ...object };
  for (const field of fields) delete copy[field];
  return copy;
};

const fromStates = (field: 'blockedBy' | 'severe'): Deletion =>
  fromAnimals((animal) => ({
    ...animal,
    needs: animal.needs.map((need) => ({ ...need, states: need.states.map((state) => without(state, field)) })),
  }));

/** Each feature of the form and the problem without it. */
export const deletions: Record<string, Deletion> = {
  openingCash: (problem) => without(problem, 'openingCash'),
  reserve: (problem) => without(problem, 'reserve'),
  committed: (problem) => without(problem, 'committed'),
  tailIncome: (problem) => without(problem, 'tailIncome'),
  creditMonths: (problem) => ({ ...problem, creditMonths: 0 }),
  earliest: fromPurchases((purchase) => without(purchase, 'earliest')),
  fixedMonth: fromPurchases((purchase) => without(purchase, 'fixedMonth')),
  lead: fromPurchases((purchase) => without(purchase, 'lead')),
  monthlyCost: fromPurchases((purchase) => without(purchase, 'monthlyCost')),
  renewal: fromPurchases((purchase) => without(purchase, 'life', 'renewal')),
  requires: fromPurchases((purchase) => without(purchase, 'requires')),
  groups: fromPurchases((purchase) => without(purchase, 'groups')),
  retires: fromPurchases((purchase) => without(purchase, 'retires')),
  proceeds: fromPurchases((purchase) => without(purchase, 'proceeds')),
  ownedSince: (problem) => ({
    ...problem,
    purchases: problem.purchases.map((purchase) =>
      purchase.ownedSince === undefined ? purchase : without({ ...purchase, monthlyCost: 0 }, 'life', 'renewal'),
    ),
  }),
  blockedBy: fromStates('blockedBy'),
  severe: fromStates('severe'),
  valueByMonth: fromAnimals((animal) => ({
    ...animal,
    needs: animal.needs.map((need) => ({
      ...need,
      states: need.states.map((state) => ({
        ...state,
        value: typeof state.value === 'number' ? state.value : state.value[0]!,
      })),
    })),
  })),
  offMonths: fromAnimals((animal) => ({
    ...animal,
    needs: animal.needs.map((need) => without(need, 'offMonths')),
  })),
  from: fromAnimals((animal) => without(animal, 'from')),
  until: fromAnimals((animal) => without(animal, 'until')),
  priority: (problem) => without(problem, 'priority'),
};

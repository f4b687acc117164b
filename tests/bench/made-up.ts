// Made-up problems of any size, of the same make as the cases in tests/cases/plan: to see how time grows with animals and months.
// Which purchases an animal has, what they need and give, and the ranges of all figures were read off those six cases.

import type { NeedState, PlannedAnimal, PlannedNeed, PlanningProblem, Purchase } from '../../src/problem.ts';
import { lcg } from '../support/random-problem.ts';

/** A problem of so many animals and months; the same seed gives the same problem. */
export function madeUpProblem(animalCount: number, months: number, seed: number): PlanningProblem {
  const random = lcg(seed);
  const whole = (low: number, high: number) => low + Math.floor(random() * (high - low + 1));
  const chance = (share: number) => random() < share;
  const price = (low: number, high: number) => 50 * whole(low / 50, high / 50);
  const byMonth = (value: (month: number) => number) => Array.from({ length: months }, (_, month) => value(month));
  const purchases: Purchase[] = [];
  const owned: Purchase[] = [];
  const shared: Purchase[] = [];
  const animals: PlannedAnimal[] = [];

  for (let number = 0; number < animalCount; number++) {
    const its = (thing: string) => `a${number}-${thing}`;
    const hasOldLamp = chance(0.48);
    const retires = hasOldLamp ? { retires: [its('old-lamp')] } : {};
    const hasMoistHide = chance(0.6);
    purchases.push(
      {
        id: its('enclosure-s'),
        price: price(14300, 25800),
        monthlyCost: chance(0.2) ? -whole(200, 350) : 0,
        lead: 1,
        groups: [its('enclosure')],
      },
      {
        id: its('enclosure-l'),
        price: price(28150, 59850),
        lead: chance(0.8) ? 1 : 2,
        groups: [its('enclosure')],
        ...(chance(0.4) ? { proceeds: { amount: whole(3500, 7800), after: 1 } } : {}),
        ...(chance(0.4) ? retires : {}),
      },
      {
        id: its('tube'),
        price: price(4000, 7000),
        monthlyCost: whole(80, 220),
        life: 12,
        renewal: price(2000, 3200),
        earliest: chance(0.72) ? 0 : whole(1, 3),
      },
      { id: its('guard'), price: price(1250, 3450), requires: [[its('tube'), its('heater')]] },
      { id: its('thermostat'), price: price(4550, 10950) },
      {
        id: its('heater'),
        price: price(2650, 7450),
        monthlyCost: whole(208, 689),
        ...(chance(0.46) ? { life: 6, renewal: price(800, 1400) } : {}),
        requires: [its('thermostat')],
        ...retires,
      },
      {
        id: its('hide'),
        price: price(1050, 2950),
        ...(number === 1 && animalCount > 2 && months > 6 ? { fixedMonth: 1 } : {}),
      },
      { id: its('hide-2'), price: price(1050, 3500) },
      { id: its('climb'), price: price(1500, 5600) },
      { id: its('substrate'), price: price(1500, 4400), life: 6, renewal: price(1000, 2400) },
    );
    if (hasMoistHide) purchases.push({ id: its('moist-hide'), price: price(800, 2500) });
    if (hasOldLamp) {
      const since = -whole(1, 10);
      const [monthlyCost, renewal] = [whole(208, 596), whole(818, 2078)];
      owned.push({ id: its('old-lamp'), price: 0, ownedSince: since, monthlyCost, life: 8, renewal });
    }
    // Two of three animals share a controller that does for both what a thermostat does for one.
    const pair = Math.floor(number / 3);
    const controller = number % 3 < 2 && 3 * pair + 1 < animalCount ? `shared-controller-${3 * pair}` : null;
    if (controller !== null && number % 3 === 0) shared.push({ id: controller, price: price(8050, 13750) });

    const state = (value: NeedState['value'], needs: string[], blockedBy: string[] = []): NeedState => ({
      value,
      needs: needs.map((thing) => (thing === controller ? thing : its(thing))),
      blockedBy: blockedBy.map(its),
    });
    const forBoth = (value: number, blockedBy: string[] = []) =>
      controller === null ? [] : [state(value, [controller], blockedBy)];
    const grows = chance(0.35);
    const shrink = 0.2 + random() * 0.4;
    const roomOf = (value: number): NeedState['value'] =>
      grows ? byMonth((month) => Math.max(0, Math.round(value * (1 - (shrink * month) / 18)))) : value;
    const hides = chance(0.33) ? 85 : 45;
    const damp = whole(13, 88);
    const oldTube = whole(0, 6);
    const needsUv = chance(0.65);
    const uvBefore = chance(0.35)
      ? byMonth((month) => Math.max(0, 85 - 15 * Math.max(0, month - oldTube)))
      : chance(0.3)
        ? 0
        : whole(22, 60);
    const need = (
      name: string,
      weight: number,
      allowance: number,
      lifeCritical: boolean,
    ): Omit<PlannedNeed, 'states'> => ({ need: name, weight, allowance, lifeCritical });
    animals.push({
      id: `a${number}`,
      ...(number === animalCount - 1 && animalCount > 2 ? { from: 2 } : {}),
      needs: [
        {
          ...need('safety', 10, 30, true),
          states: [
            state(chance(0.4) ? 0 : whole(60, 85), []),
            state(60, ['thermostat']),
            state(80, ['thermostat', 'guard']),
            ...forBoth(60),
          ],
        },
        {
          ...need('thermal', 20, 30, true),
          states: [
            state(whole(2, 58), [], ['enclosure-l']),
            state(60, ['thermostat'], ['enclosure-l']),
            state(90, ['heater']),
            state(100, ['heater', 'enclosure-l']),
            ...forBoth(60, ['enclosure-l']),
          ],
        },
        {
          ...need('uv', 15, needsUv ? 30 : 70, needsUv),
          states: [state(needsUv ? uvBefore : 40, []), state(90, ['tube']), state(100, ['tube', 'guard'])],
        },
        {
          ...need('humidity', 10, 30, true),
          states: [
            state(damp, []),
            state(Math.max(70, damp), ['substrate']),
            ...(hasMoistHide
              ? [state(Math.max(50, damp), ['moist-hide']), state(100, ['moist-hide', 'substrate'])]
              : []),
          ],
        },
        {
          ...need('space', 20, 50, false),
          states: [
            state(roomOf(whole(1, 57)), []),
            state(roomOf(75), ['enclosure-s']),
            state(roomOf(95), ['enclosure-l']),
          ],
        },
        {
          ...need('hides', 15, 50, false),
          ...(chance(0.33) ? { offMonths: [months - 2] } : {}),
          states: [
            state(chance(0.28) ? 0 : hides, []),
            state(hides, ['hide']),
            state(hides, ['hide-2']),
            state(chance(0.7) ? 100 : 85, ['hide', 'hide-2']),
          ],
        },
        {
          ...need('enrichment', 10, 70, false),
          states: [
            state(chance(0.63) ? 35 : chance(0.5) ? 0 : 60, []),
            state(60, ['climb']),
            state(60, ['substrate']),
            state(90, ['climb', 'substrate']),
            state(100, ['climb', 'substrate', 'enclosure-l']),
          ],
        },
      ],
    });
  }

  const floor = Math.max(500, 500 * Math.ceil(animalCount / 3));
  return {
    months,
    creditMonths: 6,
    openingCash: 100 * whole(7, 37),
    reserve: byMonth((month) => (month < 3 ? 0 : floor)),
    income: byMonth((month) => 1500 * animalCount + (month === 5 ? 4000 : 0)),
    committed: byMonth((month) => (month % 5 === 2 ? 100 * whole(10, 28) : 0)),
    tailIncome: 1200 * animalCount,
    purchases: [...purchases, ...owned, ...shared],
    animals,
  };
}

// A rescue that took in many animals at once, in the set-ups they came in: invented, but of the species and with the parts that the
// program ships, so that its planning problem is one a keeper could really have.

import { readCatalogue } from '../../seed/catalogue.ts';
import { monthlyKwh } from '../../src/budget.ts';
import { addMonthsToDate, monthOf } from '../../src/calendar.ts';
import type { Animal, Answer, Check, Enclosure, Fitting, Reading, ReadingKind } from '../../src/collection.ts';
import { UNKNOWN_BUILD } from '../../src/collection.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import { currencyOf, money } from '../../src/money.ts';
import { proposeUpgrades } from '../../src/proposals.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { findSpecies } from '../../src/species.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import {
  chanceOf,
  library,
  makeAnimal,
  makeEnclosure,
  makeFacts,
  makeFitting,
  makeReading,
  monthly,
  planDate,
} from '../support/make.ts';

// The first fifteen species that the ledger held: a longer library must not change the case.
const TAKEN_IN = [
  'bearded-dragon',
  'blue-tongued-skink',
  'california-king-snake',
  'corn-snake',
  'crested-gecko',
  'fire-bellied-toad',
  'green-anole',
  'hermanns-tortoise',
  'horsfields-tortoise',
  'leopard-gecko',
  'red-eared-slider',
  'royal-python',
  'veiled-chameleon',
  'western-hognose',
  'whites-tree-frog',
].map((id) => findSpecies(library, id));

const PRICE_PER_KWH = 0.3;
const MONTHLY_SUM_AN_ANIMAL = 1500;

/** What the boxes the animals came in are like: too small, heated without control, and either too dry or too wet. */
const poorReadings: Partial<Record<ReadingKind, [number, number]>> = {
  'hot-spot-surface': [26, 31],
  'warm-hide-floor': [24, 42],
  'warm-air': [20, 25],
  'cool-end-air': [19, 25],
  'night-air': [14, 20],
  water: [17, 23],
  'humidity-day': [28, 60],
};

/** The facts of the rescue, every proposal taken as a wanted upgrade. */
export function rescueFacts(animalCount: number, months: number): LedgerFacts {
  const chance = chanceOf(20_260_115);
  const animals: Animal[] = [];
  const enclosures: Enclosure[] = [];
  const fittings: Fitting[] = [];
  const readings: Reading[] = [];
  const answers: Answer[] = [];
  const owned: LedgerFacts['money']['owned'][number][] = [];
  for (let number = 1; number <= animalCount; number++) {
    const enclosureId = String(number);
    const species = TAKEN_IN[(number - 1) % TAKEN_IN.length]!;
    const { lowMm, highMm } = species.adultSize;
    animals.push(
      makeAnimal(species.id, {
        id: enclosureId,
        enclosureId,
        lengthMm: Math.round(chance.number(0.6 * lowMm, highMm)),
        measuredOn: addMonthsToDate(planDate, -1),
        hatchedOn: addMonthsToDate(planDate, -chance.whole(9, 90)),
      }),
    );
    const boxLength = 50 * chance.whole(8, 18);
    enclosures.push(
      makeEnclosure({
        id: enclosureId,
        lengthMm: boxLength,
        depthMm: Math.round(boxLength / 2),
        heightMm: 50 * chance.whole(6, 10),
        material: chance.pick(['glass', 'wood', 'pvc']),
        top: chance.pick(['mesh', 'closed']),
        boxSince: addMonthsToDate(planDate, -2),
        build: UNKNOWN_BUILD,
      }),
    );
    const put = (kind: Fitting['kind'], parts: Partial<Fitting> = {}): void => {
      const id = `${enclosureId}-${kind}`;
      const fitting = makeFitting(kind, { id, enclosureId, fittedOn: addMonthsToDate(planDate, -8), ...parts });
      fittings.push(fitting);
      const { watts, hoursPerDay, lifeMonths, renewalPrice } = fitting;
      if (watts === null || hoursPerDay === null) return;
      const power = money(Math.round(100 * PRICE_PER_KWH * monthlyKwh(watts, hoursPerDay, 1)));
      owned.push({ fittingId: id, monthlyCost: power, life: lifeMonths, renewalPrice, monthsInService: 8 });
    };
    if (chance.likely(0.5)) put('heat-mat', { watts: 15, hoursPerDay: 24 });
    else put('basking-lamp', { watts: 60, hoursPerDay: 12, lifeMonths: 10, renewalPrice: money(1200) });
    if (chance.likely(0.6)) put('hide', { place: 'warm' });
    if (chance.likely(0.7)) put('water-dish');
    for (const [kind, range] of Object.entries(poorReadings)) {
      if (chance.likely(0.25)) continue;
      const value = Math.round(10 * chance.number(...range)) / 10;
      readings.push(makeReading(kind as ReadingKind, value, { id: `${enclosureId}-${kind}`, enclosureId }));
    }
    const given: [Check, Answer['answer']][] = [
      ['escape-proof', chance.likely(0.8) ? 'yes' : 'no'],
      ['nothing-toxic', 'yes'],
      ['residual-current-device', 'yes'],
      ['smoke-alarm', 'yes'],
      ['dark-at-night', chance.likely(0.6) ? 'yes' : 'no'],
    ];
    for (const [check, answer] of given) answers.push({ enclosureId, check, answer, answeredOn: planDate });
  }
  const collection = { animals, enclosures, fittings, readings, answers };
  const proposals = proposeUpgrades({
    collection,
    library,
    choices: DEFAULT_CHOICES,
    rooms: [],
    parts: readCatalogue(),
    currency: currencyOf('EUR')!,
    powerPrice: PRICE_PER_KWH,
    on: planDate,
  });
  // What only a keeper could price is nobody's wish here.
  const priced = proposals.filter((one) => one.priced);
  const upgrades = priced.map(
    (one, index): Upgrade => ({
      ...one.upgrade,
      id: `u${index + 1}`,
      name: one.key,
      status: 'wanted',
      origin: 'proposed',
      note: '',
    }),
  );
  return makeFacts({
    collection,
    upgrades,
    months,
    firstMonth: monthOf(planDate),
    money: monthly(MONTHLY_SUM_AN_ANIMAL * animalCount, months, {
      openingCash: money(20_000),
      reserve: money(5_000),
      owned,
    }),
  });
}

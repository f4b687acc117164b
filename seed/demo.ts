// The demonstration ledger: an invented keeper's spare room in Porto, five animals, 70 EUR a month, and not a cosy start: some severe
// faults, an enclosure about to be replaced, a tube past its life, a reading missing and a wish that cannot be paid.

import {
  addAnimal,
  addEnclosure,
  addFitting,
  addReading,
  loadCollection,
  saveAnswers,
} from '../server/db/collection.ts';
import { changeLedger, firstLedger } from '../server/db/ledger.ts';
import { addOneOffSum } from '../server/db/money.ts';
import type { Db } from '../server/db/open.ts';
import { inTransaction } from '../server/db/open.ts';
import { addSign, type SignFacts } from '../server/db/signs.ts';
import { addUpgrade } from '../server/db/upgrades.ts';
import { planNow } from '../server/planning.ts';
import { proposalName } from '../server/words.ts';
import type { PlainDate } from '../src/calendar.ts';
import { addDays, addMonths, addMonthsToDate, dateOfInstant, monthOf } from '../src/calendar.ts';
import type { Answer, Collection, Enclosure, Fitting, Reading, ReadingKind } from '../src/collection.ts';
import { lampOf, UNKNOWN_BUILD } from '../src/collection.ts';
import { currencyOf, money } from '../src/money.ts';
import type { Proposal } from '../src/proposals.ts';
import { bareFitting, proposeUpgrades } from '../src/proposals.ts';
import { DEFAULT_CHOICES } from '../src/score.ts';
import type { Upgrade } from '../src/upgrades.ts';
import { readCatalogue } from './catalogue.ts';
import { readCareLibrary } from './library.ts';

const PRICE_PER_KWH = 0.24;
const euro = currencyOf('EUR')!;

/** The five enclosures and who lives in them, as of a day. Ids are 1, 2, 3 ... in the order of the lists. */
export function demoCollection(today: PlainDate): Collection {
  const daysAgo = (days: number) => addDays(today, -days);
  const monthsAgo = (months: number) => addMonthsToDate(today, -months);
  const box = (
    id: string,
    name: string,
    sizeCm: [number, number, number],
    material: Enclosure['material'],
    top: Enclosure['top'],
  ): Enclosure => ({
    id,
    name,
    lengthMm: sizeCm[0] * 10,
    depthMm: sizeCm[1] * 10,
    heightMm: sizeCm[2] * 10,
    material,
    top,
    boxSince: monthsAgo(26),
    build: UNKNOWN_BUILD,
  });
  const enclosures = [
    box('1', 'Shelf by the door', [60, 45, 40], 'glass', 'mesh'),
    box('2', 'Old corn snake box', [90, 45, 45], 'wood', 'closed'),
    box('3', 'Long box under the window', [120, 60, 60], 'wood', 'closed'),
    box('4', 'Tortoise table', [100, 50, 40], 'wood', 'open'),
    box('5', 'Tall glass by the wardrobe', [45, 45, 60], 'glass', 'mesh'),
  ];
  const animal = (id: string, name: string, speciesId: string, lengthCm: number, ageMonths: number) => ({
    id,
    name,
    speciesId,
    enclosureId: id,
    lengthMm: lengthCm * 10,
    measuredOn: daysAgo(12),
    hatchedOn: monthsAgo(ageMonths),
    sex: 'unknown' as const,
    paleMorph: false,
    seasons: [],
  });
  const animals: Collection['animals'] = [
    animal('1', 'Brasa', 'leopard-gecko', 12.5, 40),
    animal('2', 'Fio', 'corn-snake', 130, 62),
    animal('3', 'Pedra', 'blue-tongued-skink', 48, 70),
    {
      ...animal('4', 'Telha', 'hermanns-tortoise', 15, 130),
      seasons: [{ season: 'winter-rest', fromMonth: 12, toMonth: 2 }],
    },
    animal('5', 'Folha', 'whites-tree-frog', 8.5, 50),
  ];
  const fittings: Fitting[] = [];
  const put = (
    enclosureId: string,
    kind: Fitting['kind'],
    name: string,
    ageMonths: number,
    more: Partial<Fitting> = {},
  ): string => {
    const { key: _, ...bare } = bareFitting(kind, name);
    const id = String(fittings.length + 1);
    fittings.push({
      ...bare,
      id,
      enclosureId,
      fittedOn: monthsAgo(ageMonths),
      movedOn: null,
      retiredOn: null,
      brokenOn: null,
      ...more,
    });
    return id;
  };
  const always = { hoursPerDay: 24 };
  put('1', 'heat-mat', 'Heat mat, 14 W', 26, { watts: 14, ...always, whenBoxReplaced: 'stays-behind' });
  put('1', 'hide', 'Half log', 26, { place: 'warm' });
  put('1', 'water-dish', 'Shallow water dish', 26);

  const snakeMat = put('2', 'heat-mat', 'Heat mat, 28 W', 20, {
    watts: 28,
    ...always,
    duty: 0.5,
    whenBoxReplaced: 'stays-behind',
  });
  put('2', 'thermostat', 'Thermostat that switches', 20, { regulates: snakeMat });
  put('2', 'hide', 'Plastic cave', 26, { place: 'warm' });
  put('2', 'water-dish', 'Heavy water dish', 26);
  put('2', 'heat-mat', 'Heat mat that failed', 40, {
    watts: 20,
    ...always,
    retiredOn: monthsAgo(20),
    whenBoxReplaced: 'stays-behind',
  });

  const skinkLamp = put('3', 'basking-lamp', 'Basking lamp, 75 W', 4, {
    watts: 75,
    hoursPerDay: 12,
    lifeMonths: 6,
    renewalPrice: money(1400),
  });
  put('3', 'guard', 'Wire guard', 24, { guards: skinkLamp });
  put('3', 'uv-tube', 'T5 UV-B tube, 24 W, 55 cm lit', 17, {
    watts: 24,
    hoursPerDay: 12,
    lifeMonths: 12,
    renewalPrice: money(4800),
    lamp: lampOf(550, 300, 3),
    distanceMm: 380,
  });
  put('3', 'hide', 'Cork tube', 24, { place: 'warm' });
  put('3', 'hide', 'Flat slate cave', 24, { place: 'cool' });
  put('3', 'deep-substrate', 'Soil and leaf mix', 6);

  const tortoiseLamp = put('4', 'basking-lamp', 'Basking lamp, 50 W', 3, {
    watts: 50,
    hoursPerDay: 12,
    lifeMonths: 6,
    renewalPrice: money(1200),
    outOfReach: true,
  });
  put('4', 'timer', 'Timer plug', 20, { regulates: tortoiseLamp });
  put('4', 'uv-compact', 'Compact UV-B lamp, 23 W, output known only from its packaging', 5, {
    watts: 23,
    hoursPerDay: 12,
    lifeMonths: 9,
    renewalPrice: money(3000),
  });
  put('4', 'hide', 'Wooden shelter', 30, { place: 'cool' });

  const frogHeater = put('5', 'ceramic-heater', 'Heater without light, ceramic, 60 W', 10, {
    watts: 60,
    ...always,
    duty: 0.3,
    outOfReach: true,
  });
  put('5', 'thermostat', 'Thermostat that pulses', 10, { regulates: frogHeater });
  put('5', 'water-dish', 'Wide water bowl', 26);
  put('5', 'hide', 'Cork tube', 26, { place: 'high' });

  const readings: Reading[] = [];
  const read = (
    enclosureId: string,
    kind: ReadingKind,
    value: number,
    days: number,
    evidence: Reading['evidence'] = 'measured',
  ) => {
    readings.push({
      id: String(readings.length + 1),
      enclosureId,
      kind,
      evidence,
      value,
      typed: kind.startsWith('uvi') ? String(value) : kind.startsWith('humidity') ? `${value} %` : `${value} °C`,
      takenOn: daysAgo(days),
      hour: kind === 'night-air' || kind === 'humidity-night' ? 5 : 15,
      roomCelsius: 20,
      instrument: kind.startsWith('uvi')
        ? 'UV index meter on loan'
        : kind.startsWith('humidity')
          ? 'Digital hygrometer'
          : 'Digital thermometer with a probe',
      accuracy: null,
    });
  };
  read('1', 'warm-hide-floor', 41, 9);
  read('1', 'cool-end-air', 23, 9);
  read('1', 'night-air', 20, 9);
  read('1', 'humidity-day', 38, 9);
  read('2', 'warm-hide-floor', 30, 15);
  read('2', 'cool-end-air', 22, 15);
  read('2', 'night-air', 20, 15);
  read('2', 'humidity-day', 66, 15);
  read('3', 'hot-spot-surface', 37, 20);
  read('3', 'cool-end-air', 24, 20);
  read('3', 'night-air', 18, 20);
  read('3', 'humidity-day', 44, 20);
  read('3', 'uvi-basking', 1.9, 420);
  read('4', 'hot-spot-surface', 29, 18);
  read('4', 'cool-end-air', 20, 18);
  read('4', 'night-air', 16, 18);
  read('4', 'humidity-day', 55, 18, 'estimated');
  read('5', 'warm-air', 24, 11);
  read('5', 'cool-end-air', 22, 11);
  read('5', 'night-air', 20, 11);
  read('5', 'humidity-day', 88, 11);

  const answers: Answer[] = [];
  const answer = (enclosureId: string, given: Partial<Record<Answer['check'], Answer['answer']>>) => {
    for (const [check, value] of Object.entries(given)) {
      answers.push({ enclosureId, check: check as Answer['check'], answer: value, answeredOn: daysAgo(12) });
    }
  };
  const room = {
    'residual-current-device': 'yes',
    'smoke-alarm': 'no',
    'dark-at-night': 'yes',
    'nothing-toxic': 'yes',
    'escape-proof': 'yes',
  } as const;
  answer('1', { ...room, 'easy-exit': 'yes', 'drip-loop': 'no' });
  answer('2', { ...room, 'probe-in-place': 'yes', 'easy-exit': 'yes', 'drip-loop': 'no' });
  answer('3', room);
  answer('4', room);
  answer('5', {
    ...room,
    'probe-in-place': 'no',
    'easy-exit': 'no',
    'drip-loop': 'yes',
    'water-quality-tested': 'unknown',
  });
  return { animals, enclosures, fittings, readings, answers };
}

/** What the demo's keeper refused: every new box for the snake (one is coming from a neighbour) and soil for the old one. */
const refused = /^2:(box|kit dig)/;

/** Invented weighings of the first animal, a grown one. */
function demoWeights(today: PlainDate): SignFacts[] {
  return [
    [-240, 58],
    [-150, 61],
    [-75, 64],
    [-40, 63],
    [-9, 65],
  ].map(([days, grams]) => ({
    animalId: '1',
    kind: 'weight',
    notedOn: addDays(today, days!),
    grams: grams!,
    gramsTyped: `${grams} g`,
    alarm: null,
    worrying: false,
    setAside: null,
    notes: '',
  }));
}

/** Fills a new, empty ledger with the demonstration, as of the given moment, and plans it. */
export async function prepareDemo(db: Db, now: () => Date): Promise<void> {
  const timeZone = 'Europe/Lisbon';
  const today = dateOfInstant(now(), timeZone);
  const library = readCareLibrary();
  const collection = demoCollection(today);
  inTransaction(db, (tx) => {
    changeLedger(tx, firstLedger.version, {
      currency: euro,
      timeZone,
      monthlySum: money(7000),
      coversPower: false,
      coversFood: false,
      coversVet: false,
      pricePerKwh: PRICE_PER_KWH,
      cashCounted: money(11500),
      cashCountedOn: today,
      sumArrived: true,
      floorKept: money(2500),
      isDemo: true,
    });
    for (const one of collection.enclosures) {
      const typed = (mm: number) => `${mm / 10} cm`;
      const { id: _, ...facts } = one;
      addEnclosure(tx, {
        ...facts,
        lengthTyped: typed(one.lengthMm),
        depthTyped: typed(one.depthMm),
        heightTyped: typed(one.heightMm),
        notes: '',
      });
    }
    for (const { id: _, ...facts } of collection.animals)
      addAnimal(tx, { ...facts, lengthTyped: `${facts.lengthMm! / 10} cm`, notes: '' });
    for (const one of demoWeights(today)) addSign(tx, one);
    for (const { id: _, ...facts } of collection.fittings) {
      addFitting(tx, {
        ...facts,
        distanceTyped: facts.distanceMm === null ? '' : `${facts.distanceMm / 10} cm`,
        upgradeId: null,
      });
    }
    for (const { id: _, ...facts } of collection.readings) addReading(tx, { ...facts, roomTyped: '20 °C', notes: '' });
    saveAnswers(tx, collection.answers);
    addOneOffSum(tx, {
      month: addMonths(monthOf(today), 2),
      amount: money(-4500),
      note: 'Yearly check at the reptile vet, Telha',
      canWait: false,
    });
    addOneOffSum(tx, {
      month: addMonths(monthOf(today), 4),
      amount: money(6000),
      note: 'Birthday money',
      canWait: false,
    });
    const proposals = proposeUpgrades({
      collection: loadCollection(tx),
      library,
      choices: DEFAULT_CHOICES,
      rooms: [],
      parts: readCatalogue(),
      currency: euro,
      powerPrice: 'not-ours',
      on: today,
    });
    for (const one of proposals) {
      if (one.priced && !refused.test(one.key)) addUpgrade(tx, wantedFrom(one));
    }
    addUpgrade(tx, neighboursBox(today));
    addUpgrade(tx, floorForTheOldBox());
    addUpgrade(tx, wish());
  });
  await planNow(db, library, today);
}

function wantedFrom(proposal: Proposal): Omit<Upgrade, 'id'> {
  return {
    ...proposal.upgrade,
    name: proposalName(proposal.act, 'metric'),
    status: 'wanted',
    origin: 'proposed',
    note: '',
  };
}

const ownUpgrade: Omit<Upgrade, 'id' | 'name' | 'priceLow' | 'priceHigh' | 'changes'> = {
  status: 'wanted',
  origin: 'own',
  proposalKey: null,
  monthlyCost: money(0),
  lifeMonths: null,
  renewalPrice: null,
  leadMonths: 0,
  earliestMonth: null,
  pinnedMonth: null,
  arrivesMonth: null,
  requires: [],
  group: null,
  proceeds: null,
  note: '',
};

// Agreed with the neighbour for the third month; the old box is sold a month later for a cautious sum.
function neighboursBox(today: PlainDate): Omit<Upgrade, 'id'> {
  return {
    ...ownUpgrade,
    name: 'Used wooden enclosure from a neighbour, 140 x 70 x 140 cm',
    priceLow: money(16000),
    priceHigh: money(18000),
    pinnedMonth: addMonths(monthOf(today), 3),
    proceeds: { amount: money(2500), afterMonths: 1 },
    changes: [
      {
        change: 'replace-box',
        enclosureId: '2',
        lengthMm: 1400,
        depthMm: 700,
        heightMm: 1400,
        material: 'wood',
        top: 'closed',
      },
      {
        change: 'fit',
        enclosureId: '2',
        fitting: {
          ...bareFitting('heat-mat', 'Heat mat of the new box, 28 W'),
          watts: 28,
          hoursPerDay: 24,
          duty: 0.5,
          whenBoxReplaced: 'stays-behind',
        },
      },
      {
        change: 'fit',
        enclosureId: '2',
        fitting: {
          ...bareFitting('thermostat', 'Thermostat of the new box'),
          regulates: 'heat-mat',
          expects: [{ reading: 'warm-hide-floor', value: 30 }],
        },
      },
      { change: 'predict', enclosureId: '2', reading: 'cool-end-air', value: 22 },
      { change: 'predict', enclosureId: '2', reading: 'night-air', value: 20 },
      { change: 'predict', enclosureId: '2', reading: 'humidity-day', value: 58 },
    ],
  };
}

// Money that the new box would make useless: it is cut to the old one's floor and stays behind with it.
function floorForTheOldBox(): Omit<Upgrade, 'id'> {
  return {
    ...ownUpgrade,
    name: 'Fitted floor for the old corn snake box, deep enough to dig in',
    priceLow: money(3000),
    priceHigh: money(3800),
    changes: [
      {
        change: 'fit',
        enclosureId: '2',
        fitting: { ...bareFitting('deep-substrate', 'Fitted floor with soil'), whenBoxReplaced: 'stays-behind' },
      },
    ],
  };
}

// A wish that five animals and 70 EUR a month will not pay within the year; the roadmap says so with the figure.
function wish(): Omit<Upgrade, 'id'> {
  return {
    ...ownUpgrade,
    name: 'Built-in enclosure along the wall for Pedra, 240 x 80 x 80 cm',
    priceLow: money(98000),
    priceHigh: money(124000),
    leadMonths: 2,
    changes: [
      {
        change: 'replace-box',
        enclosureId: '3',
        lengthMm: 2400,
        depthMm: 800,
        heightMm: 800,
        material: 'wood',
        top: 'closed',
      },
    ],
  };
}

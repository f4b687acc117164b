import { expect, test } from 'vitest';
import {
  type AnimalFacts,
  addAnimal,
  addEnclosure,
  addFitting,
  addReading,
  changeAnimal,
  changeEnclosure,
  changeFitting,
  changeReading,
  type EnclosureFacts,
  type FittingFacts,
  findAnimal,
  findEnclosure,
  findFitting,
  findReading,
  listAnimals,
  listAnswers,
  listFittings,
  loadCollection,
  putBackAnimal,
  putBackEnclosure,
  putBackFitting,
  putBackReading,
  type ReadingFacts,
  removeAnimal,
  removeEnclosure,
  removeFitting,
  removeReading,
  saveAnswers,
} from '../../../server/db/collection.ts';
import { changeLedger, firstLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { type Db, inTransaction, openMemory } from '../../../server/db/open.ts';
import { plainDate } from '../../../src/calendar.ts';
import { lampOf, UNKNOWN_BUILD } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';

const box: EnclosureFacts = {
  name: 'Shelf',
  lengthMm: 1219.2,
  depthMm: 450,
  heightMm: 600,
  lengthTyped: '48 in',
  depthTyped: '45 cm',
  heightTyped: '600 mm',
  material: 'wood',
  top: 'mesh',
  boxSince: plainDate('2025-11-01'),
  build: UNKNOWN_BUILD,
  notes: '',
};

const animal: AnimalFacts = {
  name: 'Basil',
  speciesId: 'corn-snake',
  enclosureId: null,
  lengthMm: 1300,
  lengthTyped: '130 cm',
  measuredOn: plainDate('2025-12-01'),
  hatchedOn: null,
  sex: 'female',
  paleMorph: true,
  seasons: [{ season: 'cooling', fromMonth: 11, toMonth: 2 }],
  states: [{ state: 'gravid', from: plainDate('2026-01-01'), to: null }],
  vetCheckedOn: plainDate('2025-10-01'),
  notes: 'shy',
};

const lamp: FittingFacts = {
  enclosureId: '1',
  kind: 'uv-tube',
  name: 'T5 UV-B tube, 24 W',
  fittedOn: plainDate('2025-02-01'),
  movedOn: null,
  retiredOn: null,
  brokenOn: null,
  lifeMonths: 12,
  renewalPrice: money(2900),
  watts: 24,
  hoursPerDay: 12,
  duty: null,
  place: null,
  regulates: null,
  guards: null,
  outOfReach: true,
  lamp: lampOf(550, 300, 3),
  distanceMm: 254,
  distanceTyped: '10 in',
  meshShare: 0.85,
  expects: [{ reading: 'uvi-basking', value: 3.1 }],
  outdoors: null,
  whenBoxReplaced: 'moves',
  placed: null,
  outletId: null,
  upgradeId: null,
};

const reading: ReadingFacts = {
  enclosureId: '1',
  kind: 'warm-air',
  evidence: 'measured',
  value: 25.555555556,
  typed: '78F',
  takenOn: plainDate('2026-01-10'),
  hour: 14,
  roomCelsius: 19,
  roomTyped: '19 °C',
  instrument: 'probe',
  accuracy: 0.5,
  notes: '',
};

function furnished(): Db {
  const db = openMemory();
  addEnclosure(db, box);
  addAnimal(db, { ...animal, enclosureId: '1' });
  addFitting(db, lamp);
  addReading(db, reading);
  saveAnswers(db, [{ enclosureId: '1', check: 'escape-proof', answer: 'yes', answeredOn: plainDate('2026-01-02') }]);
  return db;
}

test('What was kept of a whole collection comes back the same, with ids as text', () => {
  const db = furnished();
  const { lengthTyped: _, notes: _notes, vetCheckedOn: _checked, ...animalBack } = animal;
  const { lengthTyped: _length, depthTyped: _depth, heightTyped: _height, notes: _boxNotes, ...boxBack } = box;
  const { distanceTyped: _distance, upgradeId: _upgrade, ...lampBack } = lamp;
  const { roomTyped: _room, notes: _readingNotes, ...readingBack } = reading;
  expect(loadCollection(db)).toEqual({
    animals: [{ ...animalBack, id: '1', enclosureId: '1' }],
    enclosures: [{ ...boxBack, id: '1' }],
    fittings: [{ ...lampBack, id: '1' }],
    readings: [{ ...readingBack, id: '1' }],
    answers: [{ enclosureId: '1', check: 'escape-proof', answer: 'yes', answeredOn: '2026-01-02' }],
    lightCorrection: null,
    rooms: [],
  });
  expect(findEnclosure(db, 1)).toEqual({ ...box, id: '1', removedOn: null, version: 1 });
  expect(findAnimal(db, 1)).toEqual({ ...animal, enclosureId: '1', id: '1', removedOn: null, version: 1 });
  expect(findFitting(db, 1)).toEqual({ ...lamp, id: '1', removedOn: null, version: 1 });
  expect(findReading(db, 1)).toEqual({ ...reading, id: '1', removedOn: null, version: 1 });
});

test('A row that was never there is null', () => {
  const db = openMemory();
  expect([findAnimal(db, 7), findEnclosure(db, 7), findFitting(db, 7), findReading(db, 7)]).toEqual([
    null,
    null,
    null,
    null,
  ]);
});

const today = plainDate('2026-01-15');

test.each([
  {
    what: 'animal',
    change: (db: Db, version: number) => changeAnimal(db, 1, version, { ...animal, name: 'New' }),
    remove: (db: Db, version: number) => removeAnimal(db, 1, version, today),
    putBack: (db: Db, version: number) => putBackAnimal(db, 1, version),
    find: (db: Db) => findAnimal(db, 1),
    listed: (db: Db) => loadCollection(db).animals.length,
  },
  {
    what: 'enclosure',
    change: (db: Db, version: number) => changeEnclosure(db, 1, version, { ...box, name: 'New' }),
    remove: (db: Db, version: number) => removeEnclosure(db, 1, version, today),
    putBack: (db: Db, version: number) => putBackEnclosure(db, 1, version),
    find: (db: Db) => findEnclosure(db, 1),
    listed: (db: Db) => loadCollection(db).enclosures.length,
  },
  {
    what: 'fitting',
    change: (db: Db, version: number) => changeFitting(db, 1, version, { ...lamp, name: 'New' }),
    remove: (db: Db, version: number) => removeFitting(db, 1, version, today),
    putBack: (db: Db, version: number) => putBackFitting(db, 1, version),
    find: (db: Db) => findFitting(db, 1),
    listed: (db: Db) => loadCollection(db).fittings.length,
  },
  {
    what: 'reading',
    change: (db: Db, version: number) => changeReading(db, 1, version, { ...reading, instrument: 'New' }),
    remove: (db: Db, version: number) => removeReading(db, 1, version, today),
    putBack: (db: Db, version: number) => putBackReading(db, 1, version),
    find: (db: Db) => findReading(db, 1),
    listed: (db: Db) => loadCollection(db).readings.length,
  },
])(
  'Of two changes to one $what from the same version the second changes nothing, and each that counts is counted',
  (row) => {
    const db = furnished();
    const before = ledgerVersion(db);
    expect(row.change(db, 1)).toBe('saved');
    const saved = row.find(db);
    expect(saved).toMatchObject({ version: 2 });
    expect(row.change(db, 1)).toBe('conflict');
    expect(row.remove(db, 1)).toBe('conflict');
    expect(row.find(db)).toEqual(saved);
    expect(ledgerVersion(db)).toBe(before + 1);

    expect(row.remove(db, 2)).toBe('saved');
    expect(row.find(db)).toMatchObject({ removedOn: today, version: 3 });
    expect(row.listed(db)).toBe(0);
    expect(row.remove(db, 3)).toBe('conflict');
    expect(row.change(db, 3)).toBe('conflict');
    expect(row.putBack(db, 2)).toBe('conflict');
    expect(row.putBack(db, 3)).toBe('saved');
    expect(row.putBack(db, 4)).toBe('conflict');
    expect(row.listed(db)).toBe(1);
    expect(row.find(db)).toEqual({ ...saved, version: 4 });
    expect(ledgerVersion(db)).toBe(before + 3);
  },
);

test('A removed enclosure takes what stands in it along and leaves its animal nowhere, until it is put back', () => {
  const db = furnished();
  const before = loadCollection(db);
  removeEnclosure(db, 1, 1, today);
  expect(loadCollection(db)).toEqual({
    animals: [{ ...before.animals[0]!, enclosureId: null }],
    enclosures: [],
    fittings: [],
    readings: [],
    answers: [],
    lightCorrection: null,
    rooms: [],
  });
  expect(listAnimals(db)[0]!.enclosureId).toBe('1');
  putBackEnclosure(db, 1, 2);
  expect(loadCollection(db)).toEqual(before);
});

test('A thermostat whose heater was removed regulates nothing until the heater is put back', () => {
  const db = furnished();
  addFitting(db, { ...lamp, kind: 'thermostat', name: 'Thermostat', regulates: '1', guards: '1' });
  const named = () => loadCollection(db).fittings.find((one) => one.id === '2');
  expect(named()).toMatchObject({ regulates: '1', guards: '1' });
  removeFitting(db, 1, 1, today);
  expect(named()).toMatchObject({ regulates: null, guards: null });
  putBackFitting(db, 1, 2);
  expect(named()).toMatchObject({ regulates: '1', guards: '1' });
});

test('A retired fitting stays in the collection with the day it was retired', () => {
  const db = furnished();
  changeFitting(db, 1, 1, { ...lamp, retiredOn: today });
  expect(listFittings(db, 1)[0]).toMatchObject({ retiredOn: today });
  expect(loadCollection(db).fittings).toHaveLength(1);
});

test('A second answer to a check takes the place of the first', () => {
  const db = furnished();
  saveAnswers(db, [{ enclosureId: '1', check: 'escape-proof', answer: 'no', answeredOn: today }]);
  expect(listAnswers(db, 1)).toEqual([{ enclosureId: '1', check: 'escape-proof', answer: 'no', answeredOn: today }]);
});

test('The database itself refuses a reading that is unknown and yet has a value', () => {
  const db = furnished();
  expect(() => addReading(db, { ...reading, evidence: 'unknown' })).toThrow();
  expect(() => addReading(db, { ...reading, value: null })).toThrow();
  expect(loadCollection(db).readings).toHaveLength(1);
});

test('A transaction that fails leaves neither the row nor the count of changes behind', () => {
  const db = furnished();
  const before = [loadCollection(db), ledgerVersion(db)];
  expect(() =>
    inTransaction(db, (tx) => {
      addAnimal(tx, animal);
      throw new Error('the light went out');
    }),
  ).toThrow('the light went out');
  expect([loadCollection(db), ledgerVersion(db)]).toEqual(before);
});

test('A ledger without saved settings has those of a new one, and a change keeps all others', () => {
  const db = openMemory();
  expect(readLedger(db)).toEqual(firstLedger);
  const count = ledgerVersion(db);
  const currency = { code: 'JPY', decimals: 0 };
  expect(changeLedger(db, 1, { unitSystem: 'imperial', currency })).toBe('saved');
  expect(readLedger(db)).toEqual({ ...firstLedger, unitSystem: 'imperial', currency, version: 2 });
  expect(changeLedger(db, 1, { unitSystem: 'metric' })).toBe('conflict');
  expect(readLedger(db).unitSystem).toBe('imperial');
  expect(ledgerVersion(db)).toBe(count + 1);
});

test('Value choices are kept as chosen, and a ledger kept before there were any has the defaults', () => {
  const db = openMemory();
  const { needWeights: weights, allowances, priority, changeThreshold } = firstLedger;
  db.$client.exec(
    `INSERT INTO ledger (id, currency, locale, time_zone, unit_system, rule_sets, horizon_months, credit_months, covers_food,
       covers_vet, covers_power, sum_arrived, floor_kept, is_demo)
     VALUES (1, 'EUR', 'en-GB', 'UTC', 'metric', '["DE-1997","DE-pages","AT","CH"]', 12, 9, 0, 0, 0, 0, 0, 0)`,
  );
  expect(readLedger(db)).toEqual(firstLedger);
  const chosen = {
    needWeights: { ...weights, uv: 0, space: 100 },
    allowances: { ...allowances, heat: 0 },
    priority: [5, 1, 0] as const,
    changeThreshold: 0,
  };
  expect(changeLedger(db, 1, chosen)).toBe('saved');
  expect(readLedger(db)).toEqual({ ...firstLedger, ...chosen, version: 2 });
  expect(changeLedger(db, 2, { needWeights: weights, allowances, priority, changeThreshold })).toBe('saved');
  expect(readLedger(db)).toEqual({ ...firstLedger, version: 3 });
  expect(() => changeLedger(db, 3, { changeThreshold: -1 })).toThrow(/CHECK/);
});

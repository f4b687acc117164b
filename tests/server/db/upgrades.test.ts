// Upgrades as rows, from wanted to fitted: every step counts as a change for plans, old versions change nothing, and fitting one leaves
// the stored set-up exactly as trying it out on paper did.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { demoCollection } from '../../../seed/demo.ts';
import { readCareLibrary } from '../../../seed/library.ts';
import {
  findEnclosure,
  findFitting,
  listFittings,
  loadCollection,
  saveAnswers,
} from '../../../server/db/collection.ts';
import { listEvents } from '../../../server/db/events.ts';
import { fitUpgrade } from '../../../server/db/fitting-upgrades.ts';
import { changeLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import {
  addOneOffSum,
  listOneOffSums,
  putBackOneOffSum,
  readMoneyFacts,
  removeOneOffSum,
} from '../../../server/db/money.ts';
import { type Db, inTransaction, openMemory } from '../../../server/db/open.ts';
import {
  addUpgrade,
  buyUpgrade,
  changeUpgrade,
  findUpgrade,
  leaveUnbought,
  listPaid,
  listStillCosting,
  listUpgrades,
  pinUpgrade,
  putBackUpgrade,
  refuseUpgrade,
  removeUpgrade,
  rivalsOf,
  wantUpgrade,
} from '../../../server/db/upgrades.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import type { Collection } from '../../../src/collection.ts';
import { UNKNOWN_BUILD } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import { proposeUpgrades } from '../../../src/proposals.ts';
import { DEFAULT_CHOICES, scoreAnimal } from '../../../src/score.ts';
import type { Change, Upgrade } from '../../../src/upgrades.ts';
import { applyUpgrades, askedAnew, bareFitting, bareUpgrade } from '../../../src/upgrades.ts';
import { keepAnimal, keepCollection, keepEnclosure, keepFitting, keepReading } from '../../support/ledger.ts';
import { makeAnimal, makeEnclosure, makeFitting, makeReading } from '../../support/make.ts';

const today = plainDate('2026-01-15');

function upgrade(parts: Partial<Omit<Upgrade, 'id'>> = {}): Omit<Upgrade, 'id'> {
  return { ...bareUpgrade('Hide at the cool end'), priceLow: money(8_00), priceHigh: money(12_00), ...parts };
}

/** A corn snake's box with an unregulated mat and readings that mostly hold. */
function snakeLedger(): Db {
  const db = openMemory();
  const box = { name: 'Snake box', boxSince: plainDate('2024-01-01'), notes: 'on the shelf' };
  const typed = { lengthTyped: '90 cm', depthTyped: '45 cm', heightTyped: '45 cm' };
  keepEnclosure(db, makeEnclosure({ id: '1' }), { ...box, ...typed });
  const snake = { id: '1', name: 'Fio', lengthMm: 1300 };
  const days = { measuredOn: plainDate('2026-01-01'), hatchedOn: plainDate('2020-01-01') };
  keepAnimal(db, makeAnimal('corn-snake', { ...snake, ...days }), { lengthTyped: '130 cm' });
  const put = (kind: 'heat-mat' | 'hide', name: string, more: object) =>
    keepFitting(db, makeFitting(kind, { id: '1', name, fittedOn: plainDate('2024-01-01'), ...more }));
  put('heat-mat', 'Old mat', { watts: 20, hoursPerDay: 24, whenBoxReplaced: 'stays-behind' });
  put('hide', 'Cork tube', { place: 'warm' });
  const read = (kind: 'warm-hide-floor' | 'cool-end-air' | 'humidity-day', value: number) =>
    keepReading(db, makeReading(kind, value, { hour: 15 }));
  read('warm-hide-floor', 38);
  read('cool-end-air', 22);
  read('humidity-day', 50);
  return db;
}

function store(db: Db, collection: Collection): void {
  keepCollection(db, collection);
  saveAnswers(db, collection.answers);
}

/** The upgrade without the readings it promises. */
function withoutPredictions(one: Upgrade): Upgrade {
  return { ...one, changes: one.changes.filter(({ change }) => change !== 'predict') };
}

const paidNow = { boughtOn: today, paid: money(11_00) };
const fitted = { ...paidNow, fittedOn: today, unitSystem: 'metric' as const, saleNote: 'Sale of the old box' };

test('An upgrade comes back as it was entered', () => {
  const db = openMemory();
  const entered = upgrade({
    requires: [['1', '2'], ['3']],
    group: 'one box',
    proceeds: { amount: money(20_00), afterMonths: 1 },
    earliestMonth: plainMonth('2026-03'),
    lifeMonths: 12,
    renewalPrice: money(5_00),
    changes: [{ change: 'retire', fittingId: '4' }],
  });
  const id = addUpgrade(db, entered);
  expect(findUpgrade(db, Number(id))).toMatchObject({ ...entered, id, version: 1, boughtOn: null, paid: null });
});

test('Nothing begins as ordered, fitted or proposed, and a proposal is answered once', () => {
  const db = openMemory();
  for (const status of ['ordered', 'fitted', 'proposed'] as const) {
    expect(() => addUpgrade(db, upgrade({ status }))).toThrow(status);
  }
  addUpgrade(db, upgrade({ origin: 'proposed', proposalKey: '1:box', status: 'refused' }));
  expect(() => addUpgrade(db, upgrade({ origin: 'proposed', proposalKey: '1:box' }))).toThrow(/UNIQUE/);
});

test('Every step counts as a change for plans, and a step from an old version changes nothing', () => {
  const db = openMemory();
  const id = Number(addUpgrade(db, upgrade()));
  const steps: ((version: number) => 'saved' | 'conflict')[] = [
    (version) => changeUpgrade(db, id, version, upgrade({ name: 'Cork hide' })),
    (version) => pinUpgrade(db, id, version, plainMonth('2026-04')),
    (version) => pinUpgrade(db, id, version, null),
    (version) => refuseUpgrade(db, id, version),
    (version) => wantUpgrade(db, id, version),
    (version) => removeUpgrade(db, id, version, today),
    (version) => putBackUpgrade(db, id, version),
    (version) => buyUpgrade(db, id, version, { ...paidNow, arrivesMonth: null }),
    (version) => leaveUnbought(db, id, version, today, 'sold out'),
  ];
  for (const [position, step] of steps.entries()) {
    const [version, count] = [position + 1, ledgerVersion(db)];
    const before = findUpgrade(db, id);
    expect(step(version + 7), `step ${position}`).toBe('conflict');
    expect(findUpgrade(db, id)).toEqual(before);
    expect(ledgerVersion(db)).toBe(count);
    expect(step(version), `step ${position}`).toBe('saved');
    expect(ledgerVersion(db)).toBeGreaterThan(count);
    expect(findUpgrade(db, id)!.version).toBe(version + 1);
  }
  expect(findUpgrade(db, id)).toMatchObject({ name: 'Cork hide', status: 'wanted', boughtOn: null, paid: null });
  expect(listEvents(db).map(({ what, amount, note }) => ({ what, amount, note }))).toEqual([
    { what: 'bought', amount: 11_00, note: '' },
    { what: 'not-bought', amount: null, note: 'sold out' },
  ]);
});

test('A refused upgrade cannot be pinned or bought, and a removed one cannot be changed', () => {
  const db = openMemory();
  const id = Number(addUpgrade(db, upgrade({ status: 'refused' })));
  expect(pinUpgrade(db, id, 1, plainMonth('2026-04'))).toBe('conflict');
  expect(buyUpgrade(db, id, 1, { ...paidNow, arrivesMonth: null })).toBe('conflict');
  expect(fitUpgrade(db, id, 1, fitted)).toBe('conflict');
  removeUpgrade(db, id, 1, today);
  expect(changeUpgrade(db, id, 2, upgrade())).toBe('conflict');
  expect(listUpgrades(db)).toEqual([]);
});

test('What was not bought in the month it was fixed to is free of that month', () => {
  const db = openMemory();
  const id = Number(addUpgrade(db, upgrade({ pinnedMonth: plainMonth('2026-01') })));
  expect(leaveUnbought(db, id, 1, today, '')).toBe('saved');
  expect(findUpgrade(db, id)).toMatchObject({ status: 'wanted', pinnedMonth: null });
});

test('Buying one of a group refuses the others that are still wanted', () => {
  const db = openMemory();
  const [first, second, other] = [upgrade({ group: 'box' }), upgrade({ group: 'box' }), upgrade({ group: 'lamp' })].map(
    (one) => Number(addUpgrade(db, one)),
  );
  buyUpgrade(db, first!, 1, { ...paidNow, arrivesMonth: plainMonth('2026-02') });
  expect([first, second, other].map((id) => findUpgrade(db, id!)!.status)).toEqual(['ordered', 'refused', 'wanted']);
});

test('Buying one new box for an enclosure refuses the other, and leaves that for another enclosure', () => {
  const db = openMemory();
  const box = (enclosureId: string) => upgrade({ changes: [{ ...largerBox, enclosureId }] });
  const ids = [box('1'), box('1'), box('2')].map((one) => Number(addUpgrade(db, one)));
  expect(rivalsOf(db, findUpgrade(db, ids[0]!)!).map((one) => Number(one.id))).toEqual([ids[1]]);
  buyUpgrade(db, ids[0]!, 1, { ...paidNow, arrivesMonth: null });
  expect(ids.map((id) => findUpgrade(db, id)!.status)).toEqual(['ordered', 'refused', 'wanted']);
});

test('A removed proposal cannot be put back once the same proposal was answered anew', () => {
  const db = openMemory();
  const proposal = upgrade({ origin: 'proposed', proposalKey: '1:box' });
  const id = Number(addUpgrade(db, proposal));
  removeUpgrade(db, id, 1, today);
  addUpgrade(db, { ...proposal, status: 'refused' });
  expect(putBackUpgrade(db, id, 2)).toBe('conflict');
});

const kit: Change[] = [
  { change: 'retire', fittingId: '1' },
  {
    change: 'fit',
    enclosureId: '1',
    fitting: {
      ...bareFitting('thermostat', 'Thermostat that switches'),
      key: 'thermostat',
      regulates: 'mat',
      expects: [{ reading: 'warm-hide-floor', value: 30 }],
    },
  },
  {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('heat-mat', 'New mat'), key: 'mat', watts: 14, hoursPerDay: 24 },
  },
  {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('hide', 'Slate cave'), key: 'hide', place: 'cool' },
  },
  { change: 'move', fittingId: '2', distanceMm: 120, meshShare: null, place: 'cool', outOfReach: null, placed: null },
  { change: 'answer', enclosureId: '1', check: 'probe-in-place' },
];

const largerBox: Extract<Change, { change: 'replace-box' }> = {
  change: 'replace-box',
  enclosureId: '1',
  lengthMm: 1500,
  depthMm: 600,
  heightMm: 600,
  material: 'wood',
  top: 'closed',
};

test.each<[string, Change[]]>([
  ['a kit of things', kit],
  ['a larger box', [largerBox]],
  ['a box that brings its own mat', [largerBox, kit[2]!]],
  [
    'hours and a renewal',
    [
      { change: 'set-hours', fittingId: '1', hoursPerDay: 12 },
      { change: 'renew', fittingId: '1' },
    ],
  ],
])('Fitting %s scores the stored set-up exactly as trying it out did', (_name, changes) => {
  const db = snakeLedger();
  const id = Number(addUpgrade(db, upgrade({ changes })));
  const before = loadCollection(db);
  const paper = applyUpgrades(before, [findUpgrade(db, id)!], today);
  expect(inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted))).toBe('saved');
  const stored = loadCollection(db);
  const library = readCareLibrary();
  const scored = (collection: typeof before) =>
    scoreAnimal(collection.animals[0]!, { collection, library, choices: DEFAULT_CHOICES, on: today, knownOn: today })!;
  expect(scored(stored)).toEqual(scored(paper));
  expect(scored(stored)).not.toEqual(scored(before));
});

test('Fitting any proposal for the demonstration scores the stored set-up exactly as trying it out did', () => {
  const library = readCareLibrary();
  const collection = demoCollection(today);
  const proposals = proposeUpgrades({
    collection,
    library,
    choices: DEFAULT_CHOICES,
    rooms: [],
    parts: readCatalogue(),
    currency: { code: 'EUR', decimals: 2 },
    powerPrice: null,
    on: today,
  });
  const changed = new Set<string>();
  for (const proposal of proposals) {
    const db = openMemory();
    store(db, collection);
    const id = Number(addUpgrade(db, { ...upgrade(), ...proposal.upgrade, origin: 'proposed' }));
    const before = loadCollection(db);
    const wanted = findUpgrade(db, id)!;
    const paper = applyUpgrades(before, [withoutPredictions(wanted)], today);
    // On paper what was seen to in the old box is seen to in the new one; whoever fits it is asked, and says so here.
    const answers = Object.fromEntries(askedAnew(wanted, before).map(({ check, answer }) => [check, answer]));
    expect(inTransaction(db, (tx) => fitUpgrade(tx, id, 1, { ...fitted, answers }))).toBe('saved');
    const stored = loadCollection(db);
    for (const animal of before.animals) {
      const scored = (on: typeof before) =>
        scoreAnimal(animal, { collection: on, library, choices: DEFAULT_CHOICES, on: today, knownOn: today });
      expect(scored(stored), `${proposal.key} for ${animal.name}`).toEqual(scored(paper));
      if (JSON.stringify(scored(stored)) !== JSON.stringify(scored(before))) changed.add(proposal.key);
    }
  }
  expect(changed.size).toBeGreaterThan(20);
});

test('The things of a kit are fitted as rows that know one another, and what it retires is retired', () => {
  const db = snakeLedger();
  const id = Number(addUpgrade(db, upgrade({ changes: kit })));
  inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted));
  const rows = listFittings(db, 1);
  const mat = rows.find((one) => one.name === 'New mat')!;
  const thermostat = rows.find((one) => one.name === 'Thermostat that switches')!;
  expect(thermostat.regulates).toBe(mat.id);
  expect([mat, thermostat].map((one) => [one.fittedOn, one.upgradeId])).toEqual([
    [today, String(id)],
    [today, String(id)],
  ]);
  expect(findFitting(db, 1)).toMatchObject({ name: 'Old mat', retiredOn: today });
  expect(findFitting(db, 2)).toMatchObject({ movedOn: today, place: 'cool', distanceMm: 120, distanceTyped: '12 cm' });
  expect(loadCollection(db).answers).toContainEqual({
    enclosureId: '1',
    check: 'probe-in-place',
    answer: 'yes',
    answeredOn: today,
  });
  expect(findUpgrade(db, id)).toMatchObject({ status: 'fitted', fittedOn: today, paid: 11_00 });
});

test('A larger box gets its measures and its day, keeps its notes, and leaves behind what stays behind', () => {
  const db = snakeLedger();
  const id = Number(addUpgrade(db, upgrade({ changes: [largerBox] })));
  inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted));
  expect(findEnclosure(db, 1)).toMatchObject({
    lengthMm: 1500,
    lengthTyped: '150 cm',
    boxSince: today,
    build: UNKNOWN_BUILD,
    notes: 'on the shelf',
  });
  expect(findFitting(db, 1)!.retiredOn).toBe(today);
  expect(findFitting(db, 2)!.retiredOn).toBeNull();
});

test('What an upgrade promises to read is not stored as a reading', () => {
  const db = snakeLedger();
  const changes: Change[] = [{ change: 'predict', enclosureId: '1', reading: 'warm-hide-floor', value: 30 }, ...kit];
  const id = Number(addUpgrade(db, upgrade({ changes })));
  const before = loadCollection(db);
  const promised = findUpgrade(db, id)!;
  inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted));
  expect(loadCollection(db).readings).toEqual(before.readings);
  expect(applyUpgrades(before, [promised], today).readings).toHaveLength(before.readings.length + 1);
});

test('Fitting from an old version changes no row at all', () => {
  const db = snakeLedger();
  const id = Number(addUpgrade(db, upgrade({ changes: kit })));
  const before = [loadCollection(db), listUpgrades(db), ledgerVersion(db)];
  expect(inTransaction(db, (tx) => fitUpgrade(tx, id, 2, fitted))).toBe('conflict');
  expect([loadCollection(db), listUpgrades(db), ledgerVersion(db)]).toEqual(before);
});

test('A renewal entered for the whole upgrade goes on with one of its things', () => {
  const db = snakeLedger();
  const id = Number(addUpgrade(db, upgrade({ changes: [kit[3]!], lifeMonths: 24, renewalPrice: money(12_00) })));
  inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted));
  expect(listFittings(db, 1).at(-1)).toMatchObject({ name: 'Slate cave', lifeMonths: 24, renewalPrice: 12_00 });
});

test('What the replaced things should bring becomes a one-off sum in its month', () => {
  const db = snakeLedger();
  const proceeds = { amount: money(25_00), afterMonths: 1 };
  const id = Number(addUpgrade(db, upgrade({ changes: [largerBox], proceeds })));
  inTransaction(db, (tx) => fitUpgrade(tx, id, 1, fitted));
  expect(listOneOffSums(db)).toMatchObject([{ month: '2026-02', amount: 25_00, note: 'Sale of the old box' }]);
});

test('An upgrade still to come that works on a thing of a fitted one follows it to its row', () => {
  const db = snakeLedger();
  const first = addUpgrade(db, upgrade({ changes: kit }));
  const later = addUpgrade(
    db,
    upgrade({ changes: [{ change: 'set-hours', fittingId: `${first}/mat`, hoursPerDay: 12 }] }),
  );
  inTransaction(db, (tx) => fitUpgrade(tx, Number(first), 1, fitted));
  const mat = listFittings(db, 1).find((one) => one.name === 'New mat')!;
  expect(findUpgrade(db, Number(later))!.changes).toEqual([
    { change: 'set-hours', fittingId: mat.id, hoursPerDay: 12 },
  ]);
});

test('An upgrade that was removed meanwhile still knows what it works on when it is put back', () => {
  const db = snakeLedger();
  const first = addUpgrade(db, upgrade({ changes: kit }));
  const changes: Change[] = [{ change: 'set-hours', fittingId: `${first}/mat`, hoursPerDay: 12 }];
  const later = Number(addUpgrade(db, upgrade({ changes })));
  removeUpgrade(db, later, 1, today);
  inTransaction(db, (tx) => fitUpgrade(tx, Number(first), 1, fitted));
  const { version } = findUpgrade(db, later)!;
  expect(putBackUpgrade(db, later, version)).toBe('saved');
  const mat = listFittings(db, 1).find((one) => one.name === 'New mat')!;
  expect(findUpgrade(db, later)!.changes).toEqual([{ change: 'set-hours', fittingId: mat.id, hoursPerDay: 12 }]);
});

test('What was paid and what goes on costing is there for the budget', () => {
  const db = snakeLedger();
  const litter = addUpgrade(db, upgrade({ name: 'Leaf litter', monthlyCost: money(1_50), changes: [kit[3]!] }));
  const mat = addUpgrade(db, upgrade({ name: 'Mat', monthlyCost: money(2_00), changes: [kit[2]!] }));
  const saving = addUpgrade(db, upgrade({ name: 'Lid', monthlyCost: money(-1_00) }));
  for (const id of [litter, mat, saving]) inTransaction(db, (tx) => fitUpgrade(tx, Number(id), 1, fitted));
  const cave = listFittings(db, 1).find((one) => one.name === 'Slate cave')!;
  const lasting = [
    { upgradeId: litter, name: 'Leaf litter', monthlyCost: 1_50, fittingId: cave.id },
    { upgradeId: saving, name: 'Lid', monthlyCost: -1_00, fittingId: null },
  ];
  // While power is paid from elsewhere, or has no known price, nothing but what was said tells what the mat costs.
  const said = { upgradeId: mat, name: 'Mat', monthlyCost: 2_00, fittingId: listFittings(db, 1).at(-1)!.id };
  for (const power of [{ pricePerKwh: 0.24 }, { coversPower: true, pricePerKwh: null }]) {
    changeLedger(db, readLedger(db).version, power);
    expect(listStillCosting(db)).toEqual([lasting[0], said, lasting[1]]);
  }
  // Once the set-up prices the mat by its watts, what was said of it would be counted twice.
  changeLedger(db, readLedger(db).version, { pricePerKwh: 0.24 });
  expect(listStillCosting(db)).toEqual(lasting);
  expect(listPaid(db).map((one) => one.paid)).toEqual([11_00, 11_00, 11_00]);
  const facts = readMoneyFacts(db, today);
  expect([facts.paid.length, facts.stillCosting.length, facts.fittings.length]).toEqual([3, 2, 4]);
});

test('A one-off sum can be removed and put back', () => {
  const db = openMemory();
  const sum = { month: plainMonth('2026-05'), amount: money(-30_00), note: 'vet check', canWait: true };
  const id = Number(addOneOffSum(db, sum));
  expect(removeOneOffSum(db, id, 1, today)).toBe('saved');
  expect(listOneOffSums(db)).toEqual([]);
  expect(putBackOneOffSum(db, id, 1)).toBe('conflict');
  expect(putBackOneOffSum(db, id, 2)).toBe('saved');
  expect(listOneOffSums(db)).toMatchObject([{ ...sum, version: 3 }]);
});

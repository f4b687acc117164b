// The library as it stands follows the ledger, scores and plans go by it, and an update of the shipped figures is written down once.

import { expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { openCare } from '../../server/care.ts';
import { addOverride, listCareUpdates, type OverrideFacts, removeOverride } from '../../server/db/care.ts';
import { ledgerVersion } from '../../server/db/ledger.ts';
import { openMemory } from '../../server/db/open.ts';
import { latestPlan } from '../../server/db/plans.ts';
import { planNow } from '../../server/planning.ts';
import { gatherScoring, scoreCollection } from '../../server/scores.ts';
import { plainDate } from '../../src/calendar.ts';
import { type FigureContent, type FigureKey, withFigure } from '../../src/care-overrides.ts';
import { type CareLibrary, findSpecies } from '../../src/species.ts';
import { keepGecko, keepSmallLedger } from '../support/ledger.ts';

const shipped = readCareLibrary();
const now = new Date('2026-01-15T12:00:00Z');

const hides: OverrideFacts = {
  speciesId: 'leopard-gecko',
  animalId: null,
  figure: 'hides',
  value: { zones: ['warm'] },
  typed: {},
  source: { title: 'My vet', year: null, address: '' },
  grade: 'hearsay',
  note: '',
  shipped: { zones: ['warm', 'cool', 'moist'] },
};

function updated(key: FigureKey, content: (was: CareLibrary['species'][number]) => FigureContent): CareLibrary {
  const change = (one: CareLibrary['species'][number]) =>
    one.id === 'leopard-gecko' ? withFigure(one, key, content(one)) : one;
  return { ...shipped, species: shipped.species.map(change) };
}

test('The library is the shipped one until a value is entered, follows every change, and is made once between changes', () => {
  const db = openMemory();
  const care = openCare(db, shipped);
  expect(care.library()).toBe(shipped);
  addOverride(db, hides);
  const library = care.library();
  expect(findSpecies(library, 'leopard-gecko').hides.zones).toEqual(['warm']);
  expect(care.library()).toBe(library);
  expect(care.withoutOverrides()).toBe(shipped);
  removeOverride(db, 1, 1, plainDate('2026-01-16'));
  expect(care.library()).toBe(shipped);
});

test('A plan goes by the value of the keeper: a hide that is not asked for any more is not bought', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  const care = openCare(db, shipped);
  const bought = async () => {
    await planNow(db, care.library(), plainDate('2026-01-15'), 300);
    const plan = latestPlan(db)!;
    return plan.roadmap!.months.flatMap(({ buys }) => buys.map(({ name }) => name));
  };
  expect(await bought()).toContain('Moss box');
  const made = latestPlan(db)!.ledgerVersion;
  const retreat = findSpecies(shipped, 'leopard-gecko').humidity;
  addOverride(db, hides);
  const { source: _, grade: _grade, note: _note, ...value } = { ...retreat, moistRetreat: 'not-needed' as const };
  addOverride(db, { ...hides, figure: 'humidity', value, shipped: null });
  expect(ledgerVersion(db)).toBeGreaterThan(made);
  const now = await bought();
  expect(now).toContain('Warm cave');
  expect(now).not.toContain('Moss box');
});

test.each([
  ['low above high', { low: 30, high: 20, toleranceBelow: 5, toleranceAbove: 5, criticalAbove: false }, 'low'],
  [
    'a number that cannot be',
    { low: 18, high: 60, toleranceBelow: 5, toleranceAbove: 5, criticalAbove: false },
    'high',
  ],
  [
    'a warm night that kills a reptile',
    { low: 18, high: 25, toleranceBelow: 5, toleranceAbove: 5, criticalAbove: true },
    'criticalAbove',
  ],
])('A value with %s is refused by the rule of the shipped figures', (_, band, field) => {
  const care = openCare(openMemory(), shipped);
  const value = { kind: 'night-air', criticalBelow: true, ...band } as never;
  const checked = care.checkOverride({ ...hides, id: '0', figure: 'temperature-night-air', value });
  if (checked.status === 'ok') throw new Error('it was taken');
  expect(checked.faults.map(({ path }) => path.at(-1))).toEqual([field]);
});

test('An amphibian that is too hot must stay critical within a degree, whoever says otherwise', () => {
  const care = openCare(openMemory(), shipped);
  const {
    source: _,
    grade: _grade,
    note: _note,
    ...target
  } = findSpecies(shipped, 'whites-tree-frog').temperatures[0]!;
  const frog = { ...hides, id: '0', speciesId: 'whites-tree-frog', figure: `temperature-${target.kind}` as FigureKey };
  const checkedWith = (parts: object) => care.checkOverride({ ...frog, value: { ...target, ...parts } as never });
  expect(checkedWith({}).status).toBe('ok');
  expect(checkedWith({ toleranceAbove: 4 }).status).toBe('bad');
  expect(checkedWith({ criticalAbove: false }).status).toBe('bad');
});

test('A first start and a start without news write nothing down', () => {
  const db = openMemory();
  const before = ledgerVersion(db);
  openCare(db, shipped).noticeUpdate(now);
  openCare(db, shipped).noticeUpdate(now);
  expect(listCareUpdates(db)).toEqual([]);
  expect(ledgerVersion(db)).toBe(before);
});

test('An update of a target is written down once, with the scores it moved on that day', () => {
  const db = openMemory();
  keepGecko(db);
  openCare(db, shipped).noticeUpdate(now);
  // Without a heater the floor of the warm hide is worth nothing and caps the score; without that target the rest is only unknown.
  const cooler = (one: CareLibrary['species'][number]) => ({
    ...one,
    temperatures: one.temperatures.filter(({ kind }) => kind !== 'warm-hide-floor'),
  });
  const later = { ...shipped, species: shipped.species.map((one) => (one.id === 'leopard-gecko' ? cooler(one) : one)) };
  const scoreBy = (library: CareLibrary) =>
    scoreCollection(gatherScoring(db, library, now).scoring).scored[0]!.score.score;
  openCare(db, later).noticeUpdate(now);
  openCare(db, later).noticeUpdate(now);
  const [update, ...others] = listCareUpdates(db);
  expect(others).toEqual([]);
  expect(update).toMatchObject({ happenedOn: '2026-01-15', readOn: null });
  expect(update?.changes).toMatchObject([
    { speciesId: 'leopard-gecko', figure: 'temperature-warm-hide-floor', after: null },
  ]);
  expect(update?.moved).toEqual([
    { animalId: '1', name: 'Ember', speciesId: 'leopard-gecko', before: scoreBy(shipped), after: scoreBy(later) },
  ]);
  expect(scoreBy(later)).not.toBe(scoreBy(shipped));
});

test('An update of a figure that the keeper overrides moves no score, and the value survives it', () => {
  const db = openMemory();
  keepGecko(db);
  openCare(db, shipped).noticeUpdate(now);
  addOverride(db, hides);
  const care = openCare(
    db,
    updated('hides', (one) => ({ ...one.hides, zones: ['cool', 'moist'] })),
  );
  care.noticeUpdate(now);
  expect(listCareUpdates(db)).toMatchObject([{ changes: [{ figure: 'hides' }], moved: [] }]);
  expect(findSpecies(care.library(), 'leopard-gecko').hides.zones).toEqual(['warm']);
});

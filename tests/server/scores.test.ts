import { expect, test } from 'vitest';
import { saveAnswers } from '../../server/db/collection.ts';
import { changeLedger, firstLedger } from '../../server/db/ledger.ts';
import { type Db, openMemory } from '../../server/db/open.ts';
import { gatherScoring, scoreCollection, valueChoicesOf } from '../../server/scores.ts';
import { plainDate } from '../../src/calendar.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { keepAnimal, keepEnclosure, keepFitting, keepReading } from '../support/ledger.ts';
import { library, makeAnimal, makeBox, makeFitting, makeReading, soundAnswers } from '../support/make.ts';

function withEnclosures(...sizes: [number, number, number][]): Db {
  const db = openMemory();
  for (const size of sizes) keepEnclosure(db, makeBox(...size));
  return db;
}

function keep(db: Db, speciesId: string, parts: Parameters<typeof makeAnimal>[1]): void {
  keepAnimal(db, makeAnimal(speciesId, parts));
}

const noon = new Date('2026-01-15T12:00:00Z');

test('Animals come worst off first, and those that live nowhere apart', () => {
  const db = withEnclosures([2000, 1200, 2000], [600, 400, 400]);
  keep(db, 'corn-snake', { name: 'Roomy', enclosureId: '1', lengthMm: 1300 });
  keep(db, 'corn-snake', { name: 'Cramped', enclosureId: '2', lengthMm: 1300 });
  keep(db, 'corn-snake', { name: 'Lodger', enclosureId: null });
  const { scored, homeless } = scoreCollection(gatherScoring(db, library, noon).scoring);
  expect(scored.map(({ animal }) => animal.name)).toEqual(['Cramped', 'Roomy']);
  expect(scored[0]!.score.score).toBeLessThan(scored[1]!.score.score);
  expect(homeless.map(({ name }) => name)).toEqual(['Lodger']);
});

test('What is unknown is listed once for an enclosure with everyone it concerns, the life-critical first', () => {
  const db = withEnclosures([2000, 1200, 2000], [900, 450, 450]);
  keep(db, 'corn-snake', { name: 'Other', enclosureId: '2', lengthMm: 1300 });
  for (const name of ['One', 'Two']) keep(db, 'whites-tree-frog', { name, enclosureId: '1', lengthMm: 80 });
  const { measureFirst } = scoreCollection(gatherScoring(db, library, noon).scoring);
  const damp = measureFirst.filter((one) => one.measure === 'reading' && one.kind === 'humidity-night');
  expect(damp).toEqual([
    {
      enclosureId: '1',
      animalIds: ['2', '3'],
      lifeCritical: true,
      measure: 'reading',
      kind: 'humidity-night',
      cause: 'never-read',
    },
  ]);
  const flags = measureFirst.map((one) => one.lifeCritical);
  expect(flags).toEqual(flags.toSorted((a, b) => Number(b) - Number(a)));
  expect(new Set(flags)).toEqual(new Set([true, false]));
  expect(
    measureFirst.filter((one) => one.measure === 'check').map((one) => one.measure === 'check' && one.check),
  ).toContain('escape-proof');
});

test('What is read, answered and measured is off the list', () => {
  const db = withEnclosures([2000, 1200, 2000]);
  keep(db, 'corn-snake', { enclosureId: '1' });
  const wanted = () => scoreCollection(gatherScoring(db, library, noon).scoring).measureFirst;
  expect(wanted().some((one) => one.measure === 'length')).toBe(true);
  expect(wanted().some((one) => one.measure === 'reading' && one.kind === 'humidity-day')).toBe(true);
  keepReading(db, makeReading('humidity-day', 50));
  saveAnswers(db, soundAnswers);
  expect(wanted().some((one) => one.measure === 'reading' && one.kind === 'humidity-day')).toBe(false);
  expect(wanted().some((one) => one.measure === 'check' && one.check === 'escape-proof')).toBe(false);
});

test('A UV lamp without its hours asks for them', () => {
  const db = withEnclosures([1500, 900, 800]);
  keep(db, 'bearded-dragon', { enclosureId: '1', lengthMm: 230 });
  keepFitting(db, makeFitting('uv-tube'));
  const { measureFirst } = scoreCollection(gatherScoring(db, library, noon).scoring);
  expect(measureFirst.map((one) => one.measure)).toContain('uv-hours');
});

test('A thermostat of a heater that was taken out asks what it holds now, one of a broken heater waits', () => {
  const db = withEnclosures([910, 460, 460]);
  keep(db, 'royal-python', { name: 'Nox', enclosureId: '1' });
  const held = () =>
    scoreCollection(gatherScoring(db, library, noon).scoring).measureFirst.filter((one) => one.measure === 'holds');
  const out = plainDate('2026-01-10');
  const dark = keepFitting(db, makeFitting('ceramic-heater', { name: 'Dark', retiredOn: out }));
  const broken = keepFitting(db, makeFitting('heat-mat', { retiredOn: out, brokenOn: out }));
  keepFitting(db, makeFitting('thermostat', { regulates: broken }));
  expect(held()).toEqual([]);
  const fittingId = keepFitting(db, makeFitting('thermostat', { name: 'Pulse', regulates: dark }));
  expect(held()).toMatchObject([{ fittingId, thermostat: 'Pulse', heater: 'Dark', animalIds: ['1'] }]);
});

test('Today is the day in the time zone of the ledger, and its rule lists count', () => {
  const db = openMemory();
  changeLedger(db, 1, { timeZone: 'Pacific/Auckland', ruleSets: ['AT'] });
  const late = gatherScoring(db, library, new Date('2026-01-15T18:00:00Z'));
  expect(late.today).toBe('2026-01-16');
  expect(late.scoring).toMatchObject({ on: '2026-01-16', knownOn: '2026-01-16' });
  expect(late.scoring.choices).toEqual({ ...DEFAULT_CHOICES, ruleSets: ['AT'] });
});

test('A ledger judges by its own value choices, and a new one by the defaults', () => {
  expect(valueChoicesOf(firstLedger)).toEqual(DEFAULT_CHOICES);
  const db = withEnclosures([1300, 650, 650]);
  keep(db, 'corn-snake', { enclosureId: '1', lengthMm: 1300 });
  const scoreOf = () => scoreCollection(gatherScoring(db, library, noon).scoring).scored[0]!.score;
  const before = scoreOf();
  const needWeights = { ...DEFAULT_CHOICES.weights, space: 100 };
  const allowances = { ...DEFAULT_CHOICES.allowances, safety: 0, heat: 0 };
  expect(changeLedger(db, 1, { needWeights, allowances, priority: [1, 1, 0] })).toBe('saved');
  const after = scoreOf();
  const space = after.needs.find((one) => one.need === 'space')!;
  expect(space.value).toBeGreaterThan(before.mean);
  expect(after.mean).toBeGreaterThan(before.mean);
  // By hand: nothing was read, so a life-critical need stands lowest, and with no allowance nothing lifts the score above it.
  const lowest = Math.min(
    ...after.needs.filter((one) => ['safety', 'heat'].includes(one.need)).map((one) => one.value),
  );
  expect(after.score).toBeCloseTo(lowest, 9);
  expect(before.score).toBeGreaterThan(after.score);
  expect(gatherScoring(db, library, noon).scoring.choices).toEqual({
    ...DEFAULT_CHOICES,
    weights: needWeights,
    allowances,
    priority: [1, 1, 0],
  });
});

// What a vet is told: changes since a visit, the newest reading of each kind, which targets are from memory.

import { expect, test } from 'vitest';
import { monthOf, plainDate } from '../../src/calendar.ts';
import type { Setup } from '../../src/collection.ts';
import { DEFAULT_CHOICES, targetsOn } from '../../src/score.ts';
import type { Sign } from '../../src/signs.ts';
import { findSource, findSpecies, targetsFor } from '../../src/species.ts';
import { changesSince, lastVetVisit, lastWeights, readingRows } from '../../src/vet-sheet.ts';
import { library, makeAnimal, makeEnclosure, makeFitting, makeReading } from '../support/make.ts';

const day = plainDate;
const today = day('2026-01-15');
const animal = makeAnimal('corn-snake', { id: '1' });

function signOn(id: string, notedOn: string, parts: Partial<Sign> = {}): Sign {
  return {
    id,
    animalId: '1',
    kind: 'other',
    notedOn: day(notedOn),
    grams: null,
    alarm: null,
    worrying: false,
    setAside: null,
    settled: null,
    ...parts,
  };
}

const setup: Setup = {
  enclosure: makeEnclosure({ id: '1', boxSince: day('2025-11-01') }),
  occupants: [animal],
  fittings: [
    makeFitting('hide', { id: '1', name: 'Old hide', fittedOn: day('2025-01-01'), retiredOn: day('2025-12-01') }),
    makeFitting('heat-mat', { id: '2', name: 'Mat', fittedOn: day('2024-01-01'), movedOn: day('2025-10-01') }),
    makeFitting('uv-tube', { id: '3', name: 'Tube', fittedOn: day('2025-12-20') }),
    makeFitting('timer', { id: '4', name: 'Timer', retiredOn: day('2026-01-02'), brokenOn: day('2026-01-02') }),
  ],
  readings: [
    makeReading('warm-air', 29, { takenOn: day('2025-10-10'), id: 'a' }),
    makeReading('warm-air', 30, { takenOn: day('2026-01-05'), id: 'b' }),
    makeReading('cool-end-air', 24, { takenOn: day('2025-10-10'), id: 'c' }),
  ],
  answers: [],
};

test('the last visit is the latest day on which a sign was settled by a vet', () => {
  const seen = (on: string) => ({ on: day(on), how: 'vet-seen' as const, paid: null });
  expect(lastVetVisit([signOn('1', '2025-01-01')])).toBeNull();
  expect(
    lastVetVisit([
      signOn('1', '2025-01-01', { settled: seen('2025-02-01') }),
      signOn('2', '2025-06-01', { settled: seen('2025-09-01') }),
      signOn('3', '2025-10-01', { settled: { on: day('2025-12-01'), how: 'passed', paid: null } }),
    ]),
  ).toBe('2025-09-01');
});

test('changes since a day are told newest first, what broke not also as taken out', () => {
  expect(changesSince(setup, day('2025-09-01'), today).map((one) => `${one.on} ${one.change}`)).toEqual([
    '2026-01-02 broke',
    '2025-12-20 fitted',
    '2025-12-01 taken-out',
    '2025-11-01 box',
    '2025-10-01 moved',
  ]);
  expect(changesSince(setup, day('2025-12-15'), today)).toHaveLength(2);
});

test('the newest reading of a kind stands beside its target; one from before the box is marked; unread stays unread', () => {
  const collection = { animals: [animal], enclosures: [setup.enclosure], fittings: [], readings: [], answers: [] };
  const scoring = { collection, library, choices: DEFAULT_CHOICES, on: today, knownOn: today };
  const targets = targetsOn(animal, scoring);
  const rows = readingRows(setup, targets, library, today);
  const row = (kind: string) => rows.find((one) => one.kind === kind);
  expect(row('warm-air')).toMatchObject({ reading: { id: 'b' }, before: false });
  expect(row('cool-end-air')).toMatchObject({ reading: { id: 'c' }, before: true });
  expect(row('humidity-day')).toMatchObject({
    reading: null,
    target: { low: targets.humidity.day.low, high: targets.humidity.day.high },
  });
  let compared = 0;
  for (const one of rows) {
    if (one.target === null) continue;
    compared += 1;
    expect(one.target.fromMemory).toBe(findSource(library, one.target.cited.source).standing === 'from-memory');
  }
  expect(compared).toBeGreaterThan(2);
});

test('a UV index that was never read is told where UV is needed or a lamp is fitted, and else not', () => {
  const lizard = findSpecies(library, 'bearded-dragon');
  const gecko = findSpecies(library, 'leopard-gecko');
  const bare = { ...setup, readings: [], fittings: [] };
  const kinds = (species: typeof lizard, there: Setup) =>
    readingRows(there, targetsFor(species, { hatchedOn: null, seasons: [] }, monthOf(today)), library, today).map(
      ({ kind }) => kind,
    );
  expect(kinds(lizard, bare)).toContain('uvi-basking');
  expect(kinds(gecko, bare)).not.toContain('uvi-basking');
  expect(kinds(gecko, { ...bare, fittings: [makeFitting('uv-tube', { id: '9' })] })).toContain('uvi-basking');
});

test('weights come newest first and no more than asked for', () => {
  const weights = ['2025-10-01', '2025-12-01', '2025-11-01'].map((on, index) =>
    signOn(String(index), on, { kind: 'weight', grams: 100 + index }),
  );
  expect(lastWeights(weights, 2)).toEqual([
    { on: '2025-12-01', grams: 101 },
    { on: '2025-11-01', grams: 102 },
  ]);
});

import { expect, test } from 'vitest';
import {
  addInstrument,
  changeInstrument,
  findInstrument,
  type InstrumentFacts,
  listInstruments,
  putBackInstrument,
  removeInstrument,
} from '../../../server/db/instruments.ts';
import { openMemory } from '../../../server/db/open.ts';
import { plainDate } from '../../../src/calendar.ts';

const meter: InstrumentFacts = {
  name: 'UV meter',
  measures: [{ kind: 'uvi-basking', accuracy: { by: 'share', value: 0.1, typed: '10 %' } }],
  standing: 'borrowed',
  borrowedFrom: plainDate('2026-01-10'),
  borrowedUntil: plainDate('2026-01-20'),
  notes: 'from the club',
};

test('An instrument is read back as it was entered, changed once a version, removed and put back', () => {
  const db = openMemory();
  const id = addInstrument(db, meter);
  expect(findInstrument(db, 1)).toEqual({ ...meter, id, removedOn: null, version: 1 });
  expect(changeInstrument(db, 1, 1, { ...meter, name: 'Club meter' })).toBe('saved');
  expect(changeInstrument(db, 1, 1, meter)).toBe('conflict');
  expect(removeInstrument(db, 1, 2, plainDate('2026-01-21'))).toBe('saved');
  expect(listInstruments(db)).toEqual([]);
  expect(listInstruments(db, 'removed').map((one) => one.name)).toEqual(['Club meter']);
  expect(putBackInstrument(db, 1, 3)).toBe('saved');
  expect(listInstruments(db)).toHaveLength(1);
});

test('The database refuses days of borrowing for an own instrument, and an end before the beginning', () => {
  const db = openMemory();
  expect(() => addInstrument(db, { ...meter, standing: 'own' })).toThrow(/CHECK/);
  expect(() => addInstrument(db, { ...meter, borrowedUntil: plainDate('2026-01-09') })).toThrow(/CHECK/);
});

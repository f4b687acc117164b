// Assumptions beside the rows they are about: they stand until the row is changed, removed or called right.

import { expect, test } from 'vitest';
import { addAnimal, changeAnimal, findAnimal, removeAnimal } from '../../../server/db/collection.ts';
import {
  firstStepsPutAway,
  listAssumptions,
  noteAssumption,
  putFirstStepsAway,
  settleAssumption,
} from '../../../server/db/first-steps.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';
import { plainDate } from '../../../src/calendar.ts';

const today = plainDate('2026-01-15');
const facts = {
  ...{ name: 'Moss', speciesId: 'fat-tailed-gecko', enclosureId: null, lengthMm: null, lengthTyped: '' },
  ...{ measuredOn: null, hatchedOn: null, sex: 'unknown' as const, paleMorph: false, seasons: [], notes: '' },
};

test('An assumption stands until its row is changed, removed or called right', () => {
  const db = openMemory();
  const rows = [1, 2, 3, 4].map(() => addAnimal(db, facts));
  for (const rowId of rows) noteAssumption(db, { of: 'animal', rowId }, 'counts-as-grown');
  const version = ledgerVersion(db);
  const [first, second, third] = rows.map(Number) as [number, number, number];
  expect(listAssumptions(db)).toHaveLength(4);
  expect(listAssumptions(db)[0]).toMatchObject({ of: 'animal', rowId: rows[0], what: 'counts-as-grown', name: 'Moss' });
  settleAssumption(db, Number(listAssumptions(db)[0]!.id), today);
  expect(ledgerVersion(db)).toBe(version);
  changeAnimal(db, second, findAnimal(db, second)!.version, facts);
  removeAnimal(db, third, 1, today);
  expect(listAssumptions(db).map((one) => one.rowId)).toEqual([rows[3]]);
  expect(first).toBe(1);
});

test('The way to the first plan is put away and taken out again without making a plan older', () => {
  const db = openMemory();
  const version = ledgerVersion(db);
  expect(firstStepsPutAway(db)).toBe(false);
  putFirstStepsAway(db, today);
  expect(firstStepsPutAway(db)).toBe(true);
  putFirstStepsAway(db, null);
  expect(firstStepsPutAway(db)).toBe(false);
  expect(ledgerVersion(db)).toBe(version);
});

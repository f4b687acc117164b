// Ledgers hold animals by the id of their species, and a start scores all of them: a species that once shipped has to ship for ever.

import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';

test('Every species that ever shipped still ships under its id, and each that ships is on that list', () => {
  const ever = JSON.parse(readFileSync('tests/cases/shipped-species.json', 'utf8')) as string[];
  const now = readCareLibrary()
    .species.map(({ id }) => id)
    .sort();
  expect(ever.length).toBeGreaterThan(50);
  // Of one that is to go, rename the words and keep the id; a new one goes on the list with its file.
  expect(ever.filter((id) => !now.includes(id))).toEqual([]);
  expect(now.filter((id) => !ever.includes(id))).toEqual([]);
});

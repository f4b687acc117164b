// Own values and species, snapshots and updates come back as they were kept, and every change of a target counts as one that plans hang on.

import { expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import {
  addCareUpdate,
  addOverride,
  addOwnSpecies,
  animalsOfSpecies,
  changeOverride,
  changeOwnSpecies,
  findOverride,
  listCareUpdates,
  listOverrides,
  listOwnSpecies,
  markUpdateRead,
  type OverrideFacts,
  putBackOverride,
  putBackOwnSpecies,
  readSnapshot,
  removeOverride,
  removeOwnSpecies,
  saveSnapshot,
} from '../../../server/db/care.ts';
import { removeAnimal } from '../../../server/db/collection.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';
import { plainDate } from '../../../src/calendar.ts';
import { shippedChanges, snapshotOf } from '../../../src/care-overrides.ts';
import { findSpecies } from '../../../src/species.ts';
import { keepGecko } from '../../support/ledger.ts';

const library = readCareLibrary();
const today = plainDate('2026-01-15');

const company: OverrideFacts = {
  speciesId: 'leopard-gecko',
  animalId: null,
  figure: 'grouping',
  value: { atMost: 2, atMostMales: 1 },
  typed: { atMost: '2', atMostMales: '1' },
  source: { title: 'My vet', year: 2025, address: 'https://example.org/vet' },
  grade: 'agreed-practice',
  note: 'Two females only.',
  shipped: { atMost: 1, atMostMales: null },
};

test('A value comes back as it was kept, is changed by version, given up and put back, each a change that plans hang on', () => {
  const db = openMemory();
  keepGecko(db);
  const versions = [ledgerVersion(db)];
  const mine = { ...company, animalId: '1', figure: 'temperature-night-air' as const };
  addOverride(db, company);
  addOverride(db, mine);
  versions.push(ledgerVersion(db));
  expect(listOverrides(db)).toEqual([
    { ...company, id: '1', removedOn: null, version: 1 },
    { ...mine, id: '2', removedOn: null, version: 1 },
  ]);
  expect(changeOverride(db, 1, 1, { ...company, note: '' })).toBe('saved');
  expect(changeOverride(db, 1, 1, company)).toBe('conflict');
  versions.push(ledgerVersion(db));
  expect(removeOverride(db, 1, 2, today)).toBe('saved');
  expect(listOverrides(db).map(({ id }) => id)).toEqual(['2']);
  expect(listOverrides(db, 'removed')).toMatchObject([{ id: '1', removedOn: today }]);
  versions.push(ledgerVersion(db));
  expect(putBackOverride(db, 1, 3)).toBe('saved');
  expect(findOverride(db, 1)).toMatchObject({ removedOn: null, note: '' });
  versions.push(ledgerVersion(db));
  expect(versions.toSorted((a, b) => a - b)).toEqual(versions);
  expect(new Set(versions).size).toBe(versions.length);
});

test('Two values for the same figure of the same animals never stand at once', () => {
  const db = openMemory();
  addOverride(db, company);
  expect(() => addOverride(db, company)).toThrow(/UNIQUE/);
  removeOverride(db, 1, 1, today);
  const second = addOverride(db, company);
  expect(putBackOverride(db, 1, 2)).toBe('conflict');
  removeOverride(db, Number(second), 1, today);
  expect(putBackOverride(db, 1, 2)).toBe('saved');
});

test('An own species comes back as it was kept, and stays as long as any animal is of it, also a removed one', () => {
  const db = openMemory();
  keepGecko(db);
  const gecko = findSpecies(library, 'leopard-gecko');
  const own = { species: { ...gecko, id: 'own-gecko' }, sources: library.sources.slice(0, 2) };
  addOwnSpecies(db, own);
  expect(listOwnSpecies(db)).toEqual([{ ...own, id: '1', removedOn: null, version: 1 }]);
  expect(() => addOwnSpecies(db, own)).toThrow(/UNIQUE/);
  expect(changeOwnSpecies(db, 1, 1, { ...own, species: { ...own.species, commonName: 'Other' } })).toBe('saved');
  expect(changeOwnSpecies(db, 1, 2, { ...own, species: gecko })).toBe('conflict');
  expect(removeOwnSpecies(db, 1, 2, today)).toBe('saved');
  expect(listOwnSpecies(db)).toEqual([]);
  expect(putBackOwnSpecies(db, 1, 3)).toBe('saved');

  addOwnSpecies(db, { ...own, species: gecko });
  expect(animalsOfSpecies(db, 'leopard-gecko')).toEqual(['Ember']);
  expect(removeOwnSpecies(db, 2, 1, today)).toBe('conflict');
  removeAnimal(db, 1, 1, today);
  expect(removeOwnSpecies(db, 2, 1, today)).toBe('conflict');
});

test('A snapshot of the shipped figures comes back so that nothing seems changed', () => {
  const db = openMemory();
  expect(readSnapshot(db)).toEqual({});
  const before = ledgerVersion(db);
  saveSnapshot(db, snapshotOf(library));
  saveSnapshot(db, snapshotOf(library));
  expect(shippedChanges(readSnapshot(db), library)).toEqual([]);
  expect(Object.keys(readSnapshot(db))).toHaveLength(library.species.length);
  expect(ledgerVersion(db)).toBe(before);
});

test('An update is unread until it is read, and counts as a change that plans hang on', () => {
  const db = openMemory();
  const before = ledgerVersion(db);
  const moved = [{ animalId: '1', name: 'Ember', speciesId: 'leopard-gecko', before: 50, after: 40 }];
  addCareUpdate(db, { happenedOn: today, changes: [], moved });
  expect(ledgerVersion(db)).toBe(before + 1);
  expect(listCareUpdates(db)).toEqual([{ id: '1', happenedOn: today, changes: [], moved, readOn: null }]);
  markUpdateRead(db, 1, today);
  markUpdateRead(db, 1, plainDate('2026-02-01'));
  expect(listCareUpdates(db)[0]?.readOn).toBe(today);
});

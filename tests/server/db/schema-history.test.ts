// Ledgers as earlier steps of the program kept them, with rows in every table that there was: brought forward, no row is lost on the way.

import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { readCandidate } from '../../../server/db/candidate.ts';
import { closeDatabase, newestStep, openDatabase } from '../../../server/db/open.ts';
import { faultOf, rowCounts } from '../../../server/db/verified-copy.ts';
import { tryOutLedger } from '../../../server/ledger-file.ts';
import { library } from '../../support/make.ts';

const folder = join(import.meta.dirname, '../../cases/schema');
const dumps = readdirSync(folder).sort();

function newFile(): string {
  const made = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(made, { recursive: true }));
  return join(made, 'ledger.sqlite');
}

test('There is a ledger of more than one step, and none of a step that does not exist', () => {
  expect(dumps.length).toBeGreaterThan(1);
  for (const name of dumps) expect(Number(/^(\d{4})\.sql$/.exec(name)![1])).toBeLessThanOrEqual(newestStep());
});

test.each(dumps)('The ledger of step %s comes forward with every row, and can be worked with', (name) => {
  const file = newFile();
  const made = new Database(file);
  made.pragma('foreign_keys = OFF');
  made.transaction(() => made.exec(readFileSync(join(folder, name), 'utf8')))();
  expect(faultOf(made)).toBeNull();
  const { applied_migrations: steps, ...before } = rowCounts(made);
  const oldThings = made.prepare('SELECT * FROM old_things').all();
  made.close();
  expect(steps).toBe(Number(name.slice(0, 4)));
  expect(Object.entries(before).filter(([, rows]) => rows === 0)).toEqual([]);
  expect(Object.keys(before).length).toBeGreaterThan(25);
  // As a backup from then it would be taken.
  expect(readCandidate(file)).toMatchObject({ status: 'ok', candidate: { step: steps } });

  const db = openDatabase(file);
  onTestFinished(() => closeDatabase(db));
  const { applied_migrations: now, ...after } = rowCounts(db.$client);
  expect(now).toBe(newestStep());
  expect(after).toMatchObject(before);
  // Made anew on the way.
  expect(db.$client.prepare('SELECT * FROM old_things').all()).toMatchObject(oldThings);
  expect(faultOf(db.$client)).toBeNull();
  tryOutLedger(db, library, new Date('2026-01-15T12:00:00Z'));
  // What was there before a change is kept as a copy.
  const copies = readdirSync(join(file, '..')).filter((one) => one.includes('.before-'));
  expect(copies).toHaveLength(steps === newestStep() ? 0 : 1);
});

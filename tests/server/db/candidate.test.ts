// Database files that somebody could bring along: what the program did not make is not taken, and none is changed by being looked at.

import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { type CandidateFault, readCandidate } from '../../../server/db/candidate.ts';
import { closeDatabase, newestStep, openDatabase, openMemoryAt } from '../../../server/db/open.ts';
import { keepGecko, keepSmallLedger } from '../../support/ledger.ts';

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** A copy of a small ledger, altered by another program. */
function altered(change: (client: Database.Database) => void): string {
  const file = join(newFolder(), 'copy.sqlite');
  const db = openDatabase(file);
  keepSmallLedger(db);
  closeDatabase(db);
  rmSync(`${file}.lock`);
  const client = new Database(file);
  client.unsafeMode(true);
  client.pragma('foreign_keys = OFF');
  change(client);
  client.pragma('journal_mode = DELETE');
  client.close();
  return file;
}

function faultOf(file: string): CandidateFault {
  const before = readFileSync(file);
  const read = readCandidate(file);
  expect(readFileSync(file).equals(before)).toBe(true);
  if (read.status === 'ok') throw new Error('the file was taken');
  return read.fault;
}

test('A plain copy is read whole, with the number of its step', () => {
  const read = readCandidate(altered(() => undefined));
  expect(read).toMatchObject({ status: 'ok', candidate: { step: newestStep(), hasLog: false } });
  expect(read.status === 'ok' && read.candidate.tables.animals).toHaveLength(1);
});

test.each<[string, (client: Database.Database) => void, object]>([
  [
    'a trigger',
    (client) => client.exec('CREATE TRIGGER t AFTER INSERT ON animals BEGIN DELETE FROM readings; END'),
    { fault: 'strange-schema', what: 'trigger t' },
  ],
  [
    'a view',
    (client) => client.exec('CREATE VIEW v AS SELECT * FROM animals'),
    { fault: 'strange-schema', what: 'view v' },
  ],
  ['another table', (client) => client.exec('CREATE TABLE more (id)'), { fault: 'strange-schema', what: 'table more' }],
  ['no table of animals', (client) => client.exec('DROP TABLE animals'), { fault: 'strange-schema' }],
  [
    'a table without its rules',
    (client) => {
      client.pragma('writable_schema = ON');
      client.exec("UPDATE sqlite_schema SET sql = replace(sql, 'STRICT', '') WHERE name = 'enclosures'");
    },
    { fault: 'strange-schema', what: 'table enclosures' },
  ],
  ['the mark of another program', (client) => client.pragma('application_id = 7'), { fault: 'not-ours' }],
  [
    'the step of a newer program',
    (client) => client.pragma('user_version = 999'),
    { fault: 'newer-database', found: 999 },
  ],
  ['no step', (client) => client.pragma('user_version = 0'), { fault: 'not-ours' }],
  ['rows that point at nothing', (client) => client.exec('DELETE FROM enclosures'), { fault: 'damaged' }],
  [
    'an edited record of its steps',
    (client) => client.exec("UPDATE applied_migrations SET sha256 = 'x' WHERE number = 1"),
    { fault: 'strange-history' },
  ],
])('A file with %s is not taken', (_, change, fault) => {
  expect(faultOf(altered(change))).toMatchObject(fault);
});

test('A damaged page, a beginning of zeros, a text and an empty file are not taken', () => {
  const file = altered(() => undefined);
  const bytes = readFileSync(file);
  for (const [content, fault] of [
    [Buffer.from(bytes).fill(0xa5, 4096 * 3, 4096 * 6), 'damaged'],
    [bytes.subarray(0, 8192), 'damaged'],
    [Buffer.from(bytes).fill(0, 0, 100), 'not-a-database'],
    [Buffer.from('SELECT 1'), 'not-a-database'],
    [Buffer.alloc(0), 'not-a-database'],
  ] as const) {
    writeFileSync(file, content);
    expect(faultOf(file).fault).toBe(fault);
  }
  expect(readCandidate(join(file, '../absent'))).toEqual({ status: 'bad', fault: { fault: 'absent' } });
});

test('A log that lies beside a file is neither played into it nor passed over in silence', () => {
  const folder = newFolder();
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepGecko(db);
  db.$client.pragma('wal_checkpoint(TRUNCATE)');
  db.$client.exec('DELETE FROM animals');
  const file = join(newFolder(), 'copy.sqlite');
  for (const part of ['', '-wal']) cpSync(join(folder, `ledger.sqlite${part}`), file + part);
  closeDatabase(db);
  const log = readFileSync(`${file}-wal`);
  const read = readCandidate(file);
  expect(read).toMatchObject({ status: 'ok', candidate: { hasLog: true } });
  expect(read.status === 'ok' && read.candidate.tables.animals).toHaveLength(1);
  expect(readFileSync(`${file}-wal`).equals(log)).toBe(true);
  expect(readdirSync(join(file, '..')).sort()).toEqual(['copy.sqlite', 'copy.sqlite-wal']);
});

test('A copy of an earlier step is read in the form of that step', () => {
  const file = join(newFolder(), 'earlier.sqlite');
  const db = openMemoryAt(3);
  writeFileSync(file, db.$client.serialize());
  closeDatabase(db);
  expect(readCandidate(file)).toMatchObject({ status: 'ok', candidate: { step: 3 } });
});

import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sql } from 'drizzle-orm';
import { expect, onTestFinished, test } from 'vitest';
import { closeDatabase, type Db, inTransaction, openDatabase, openMemory } from '../../../server/db/open.ts';

function newFile(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return join(folder, 'ledger.sqlite');
}

/** A folder with one step that makes a table of notes. */
function notesMigrations(): string {
  const folder = mkdtempSync(join(tmpdir(), 'migrations-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  writeFileSync(
    join(folder, '0001-notes.sql'),
    'CREATE TABLE notes (id INTEGER PRIMARY KEY, text TEXT NOT NULL) STRICT;',
  );
  return folder;
}

const pragma = (db: Db, name: string) => db.$client.pragma(name, { simple: true });

test('A reopened ledger still waits for the disk at every commit and keeps its other settings', () => {
  const file = newFile();
  closeDatabase(openDatabase(file));
  const db = openDatabase(file);
  // The numbers are SQLite's own: synchronous 2 is FULL (sqlite.org/pragma.html#pragma_synchronous).
  expect(pragma(db, 'synchronous')).toBe(2);
  expect(pragma(db, 'journal_mode')).toBe('wal');
  expect(pragma(db, 'foreign_keys')).toBe(1);
  expect(pragma(db, 'busy_timeout')).toBe(5000);
  expect(pragma(db, 'trusted_schema')).toBe(0);
  expect(pragma(db, 'cell_size_check')).toBe(1);
  expect(
    Buffer.from([0, 8, 16, 24].map((shift) => (Number(pragma(db, 'application_id')) >> (24 - shift)) & 255)).toString(),
  ).toBe('BLgr');
  closeDatabase(db);
});

test('A plain open of the same file would not wait for the disk, so the setting is what makes the difference', () => {
  const file = newFile();
  closeDatabase(openDatabase(file));
  const plain = new Database(file);
  expect(plain.pragma('synchronous', { simple: true })).toBe(1);
  plain.close();
});

test('Only its owner can read the ledger, and after closing it is one file', () => {
  const file = newFile();
  const before = process.umask();
  const db = openDatabase(file, notesMigrations());
  db.run(sql`INSERT INTO notes (text) VALUES ('kept')`);
  expect(existsSync(`${file}-wal`)).toBe(true);
  for (const part of ['', '-wal', '-shm']) expect(statSync(file + part).mode & 0o777).toBe(0o600);
  expect(process.umask()).toBe(before);
  closeDatabase(db);
  closeDatabase(db);
  for (const part of ['-wal', '-shm']) expect(existsSync(file + part)).toBe(false);
});

test('A file that is not a database is refused and left byte for byte', () => {
  const file = newFile();
  writeFileSync(file, 'my shopping list, which is long enough to have a header');
  const before = readFileSync(file);
  expect(() => openDatabase(file)).toThrow('is not a Basking Ledger database');
  expect(readFileSync(file)).toEqual(before);
});

test("Another program's database is refused and left byte for byte", () => {
  const file = newFile();
  const other = new Database(file);
  other.exec('CREATE TABLE things (id INTEGER)');
  other.close();
  const before = readFileSync(file);
  expect(() => openDatabase(file)).toThrow('is a database of another program');
  expect(readFileSync(file)).toEqual(before);
});

test('A damaged ledger is refused and left byte for byte', () => {
  const file = newFile();
  const db = openDatabase(file, notesMigrations());
  inTransaction(db, (tx) => {
    for (let row = 0; row < 500; row += 1) tx.run(sql`INSERT INTO notes (text) VALUES (${'x'.repeat(200)})`);
  });
  closeDatabase(db);
  const bytes = readFileSync(file);
  // Beyond the first page, which holds the header and the schema.
  bytes.fill(0xa5, 4096 * 4, 4096 * 9);
  writeFileSync(file, bytes);
  expect(() => openDatabase(file, notesMigrations())).toThrow('is damaged and was left as it is');
  expect(readFileSync(file)).toEqual(bytes);
});

test('A folder where the ledger should be is refused with a sentence', () => {
  const file = newFile();
  mkdirSync(file);
  expect(() => openDatabase(file)).toThrow('is not a file. Move it away or choose another folder.');
});

test('Work in a transaction is kept whole or not at all', () => {
  const db = openDatabase(':memory:', notesMigrations());
  onTestFinished(() => closeDatabase(db));
  const count = () => db.get<{ count: number }>(sql`SELECT count(*) AS count FROM notes`).count;
  expect(inTransaction(db, (tx) => tx.run(sql`INSERT INTO notes (text) VALUES ('one')`).changes)).toBe(1);
  expect(() =>
    inTransaction(db, (tx) => {
      tx.run(sql`INSERT INTO notes (text) VALUES ('two')`);
      throw new Error('stopped halfway');
    }),
  ).toThrow('stopped halfway');
  expect(count()).toBe(1);
});

test('A transaction takes the write lock at its start, so a second writer waits instead of failing later', () => {
  const file = newFile();
  const [first, second] = [openDatabase(file, notesMigrations()), openDatabase(file, notesMigrations())];
  onTestFinished(() => [first, second].forEach(closeDatabase));
  second.$client.pragma('busy_timeout = 20');
  inTransaction(first, () => {
    expect(() => inTransaction(second, () => undefined)).toThrow(/locked/);
  });
  expect(inTransaction(second, () => 'free')).toBe('free');
});

test('A transaction refuses work that would end after it', () => {
  const db = openMemory();
  onTestFinished(() => closeDatabase(db));
  expect(() => inTransaction(db, async () => 1)).toThrow('cannot return a promise');
});

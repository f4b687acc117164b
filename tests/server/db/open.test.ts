import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sql } from 'drizzle-orm';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { lockFileOf } from '../../../server/db/lock.ts';
import {
  closeDatabase,
  type Db,
  inTransaction,
  openDatabase,
  openMemory,
  openToRead,
} from '../../../server/db/open.ts';
import { keepSmallLedger } from '../../support/ledger.ts';

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

test('A ledger is opened once at a time: the second opening is refused at once and the first goes on', () => {
  const file = newFile();
  const first = openDatabase(file);
  const before = Date.now();
  expect(() => openDatabase(file)).toThrow(
    `${file} is in use by another Basking Ledger, which goes on undisturbed. Use its pages, or stop it and try again.`,
  );
  expect(Date.now() - before).toBeLessThan(1000);
  keepSmallLedger(first);
  const beside = openToRead(file);
  expect(beside.get(sql`SELECT name FROM animals`)).toEqual({ name: 'Ember' });
  expect(() => keepSmallLedger(beside)).toThrow(/readonly/);
  closeDatabase(beside);
  closeDatabase(first);
  closeDatabase(openDatabase(file));
});

test('Whoever closes the connection gives the ledger free, and so does an opening that fails', () => {
  const file = newFile();
  openDatabase(file).$client.close();
  writeFileSync(file, 'no database');
  for (let round = 0; round < 2; round += 1)
    expect(() => openDatabase(file)).toThrow('is not a Basking Ledger database');
});

test('A lock file that is something else is named, not taken for a damaged ledger', () => {
  const file = newFile();
  writeFileSync(lockFileOf(file), 'x'.repeat(5000));
  expect(() => openDatabase(file)).toThrow(`${lockFileOf(file)} is not the empty file that belongs there.`);
});

test('A ledger that is missing is not begun anew where its log or a backup of it is left', () => {
  const file = newFile();
  writeFileSync(`${file}-wal`, 'left');
  expect(() => openDatabase(file)).toThrow(`${file} is missing, though a ledger was kept there.`);
  rmSync(`${file}-wal`);
  mkdirSync(join(file, '../backups'));
  writeFileSync(join(file, '../backups/ledger-2026-01-15-1.sqlite'), '');
  expect(() => openDatabase(file)).toThrow(
    /There is one backup in .*Bring one back, with DATA_DIR set to .*, by: npm run restore -- ".*-1\.sqlite" --replace/,
  );
  expect(existsSync(file)).toBe(false);
  // Backups of another ledger do not count.
  closeDatabase(openDatabase(join(file, '../demo.sqlite')));
});

test('A start that was cut short while the file was made is begun again, and never seen as a ledger', () => {
  const file = newFile();
  writeFileSync(`${file}.unfinished`, 'half of it');
  closeDatabase(openDatabase(file));
  expect(existsSync(`${file}.unfinished`)).toBe(false);
});

test('Rows that their indexes do not have are found though the pages are in order', () => {
  const file = newFile();
  const steps = notesMigrations();
  writeFileSync(
    join(steps, '0002-more.sql'),
    "ALTER TABLE notes ADD COLUMN tag TEXT NOT NULL DEFAULT ''; CREATE INDEX notes_text ON notes (text);",
  );
  const db = openDatabase(file, steps);
  db.run(sql`INSERT INTO notes (text, tag) VALUES ('a', 'b'), ('c', 'd')`);
  closeDatabase(db);
  // An index of other words than the rows hold: the pages are in order all the same.
  const other = new Database(file);
  other.unsafeMode(true);
  other.pragma('writable_schema = ON');
  other.exec("UPDATE sqlite_schema SET sql = 'CREATE INDEX notes_text ON notes (tag)' WHERE name = 'notes_text'");
  other.close();
  const check = new Database(file, { readonly: true });
  expect(check.pragma('quick_check', { simple: true })).toBe('ok');
  check.close();
  for (const part of ['-wal', '-shm']) rmSync(file + part, { force: true });
  const before = readFileSync(file);
  expect(() => openDatabase(file, steps)).toThrow('is damaged and was left as it is');
  expect(readFileSync(file)).toEqual(before);
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
  const first = openDatabase(file, notesMigrations());
  // Past our own lock, as another program would.
  const second = drizzle(new Database(file, { timeout: 20 }));
  onTestFinished(() => [first, second].forEach(closeDatabase));
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

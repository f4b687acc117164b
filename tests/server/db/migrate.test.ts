import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sql } from 'drizzle-orm';
import { expect, onTestFinished, test } from 'vitest';
import { readMigrations, UnusableDatabase } from '../../../server/db/migrate.ts';
import { closeDatabase, openDatabase } from '../../../server/db/open.ts';

const parentsAndChildren = `
CREATE TABLE parents (id INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;
CREATE TABLE children (id INTEGER PRIMARY KEY, parent_id INTEGER NOT NULL REFERENCES parents ON DELETE CASCADE) STRICT;
`;

const rebuildParents = `
CREATE TABLE new_parents (id INTEGER PRIMARY KEY, name TEXT NOT NULL, note TEXT NOT NULL DEFAULT '') STRICT;
INSERT INTO new_parents (id, name) SELECT id, name FROM parents;
DROP TABLE parents;
ALTER TABLE new_parents RENAME TO parents;
`;

type Steps = Record<string, string>;

function newFolder(steps: Steps): { folder: string; write: (more: Steps) => void; remove: (name: string) => void } {
  const folder = mkdtempSync(join(tmpdir(), 'migrations-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const write = (more: Steps) => {
    for (const [name, text] of Object.entries(more)) writeFileSync(join(folder, name), text);
  };
  write(steps);
  return { folder, write, remove: (name) => rmSync(join(folder, name)) };
}

/** A ledger file with two parents and three children, closed, and the folder of steps it was made with. */
function family() {
  const steps = newFolder({ '0001-family.sql': parentsAndChildren });
  const file = join(steps.folder, 'ledger.sqlite');
  const db = openDatabase(file, steps.folder);
  db.run(sql`INSERT INTO parents (id, name) VALUES (1, 'one'), (2, 'two')`);
  db.run(sql`INSERT INTO children (parent_id) VALUES (1), (1), (2)`);
  closeDatabase(db);
  return { ...steps, file };
}

function count(file: string, table: string): number {
  const client = new Database(file, { readonly: true });
  try {
    return (client.prepare(`SELECT count(*) AS count FROM ${table}`).get() as { count: number }).count;
  } finally {
    client.close();
  }
}

function appliedNumbers(file: string): number[] {
  const client = new Database(file, { readonly: true });
  try {
    return (client.prepare('SELECT number FROM applied_migrations ORDER BY number').all() as { number: number }[]).map(
      (row) => row.number,
    );
  } finally {
    client.close();
  }
}

test('A table that is rebuilt keeps the rows that point at it', () => {
  const { file, folder, write } = family();
  write({ '0002-notes-on-parents.sql': rebuildParents });
  const db = openDatabase(file, folder);
  expect(db.$client.pragma('foreign_keys', { simple: true })).toBe(1);
  expect(db.$client.pragma('user_version', { simple: true })).toBe(2);
  expect(() => db.run(sql`INSERT INTO children (parent_id) VALUES (99)`)).toThrow();
  closeDatabase(db);
  expect([count(file, 'parents'), count(file, 'children')]).toEqual([2, 3]);
});

test('With foreign keys left on, the same rebuild would delete those rows, so the order of the steps is what saves them', () => {
  const { file } = family();
  const client = new Database(file);
  client.pragma('foreign_keys = ON');
  client.transaction(() => client.exec(rebuildParents))();
  client.close();
  expect(count(file, 'children')).toBe(0);
});

test('A ledger that holds rows is copied before it is changed, and the copy is whole', () => {
  const { file, folder, write } = family();
  write({ '0002-notes-on-parents.sql': rebuildParents });
  closeDatabase(openDatabase(file, folder));
  const copy = join(folder, 'ledger.before-0002.sqlite');
  expect(count(copy, 'children')).toBe(3);
  expect(appliedNumbers(copy)).toEqual([1]);
  expect(appliedNumbers(file)).toEqual([1, 2]);
});

test('An earlier copy is never written over', () => {
  const { file, folder, write } = family();
  write({ '0002-wrong.sql': 'CREATE TABLE;' });
  expect(() => openDatabase(file, folder)).toThrow(UnusableDatabase);
  expect(() => openDatabase(file, folder)).toThrow(UnusableDatabase);
  expect(
    readdirSync(folder)
      .filter((name) => name.includes('before'))
      .sort(),
  ).toEqual(['ledger.before-0002-2.sqlite', 'ledger.before-0002.sqlite']);
});

test('A new ledger, an empty one and one that is up to date are not copied', () => {
  const { folder, write } = newFolder({ '0001-family.sql': parentsAndChildren });
  const file = join(folder, 'ledger.sqlite');
  closeDatabase(openDatabase(file, folder));
  write({ '0002-notes-on-parents.sql': rebuildParents });
  closeDatabase(openDatabase(file, folder));
  closeDatabase(openDatabase(file, folder));
  expect(readdirSync(folder).filter((name) => name.endsWith('.sqlite'))).toEqual(['ledger.sqlite']);
  expect(appliedNumbers(file)).toEqual([1, 2]);
});

test('A step that fails halfway leaves the ledger as it was before that step, and says which', () => {
  const { file, folder, write } = family();
  write({
    '0002-notes-on-parents.sql': rebuildParents,
    '0003-half.sql': 'DELETE FROM children; CREATE TABLE nonsense (;',
  });
  expect(() => openDatabase(file, folder)).toThrow(
    /The step 0003-half\.sql could not be applied: .* A copy from before is .*before-0002/s,
  );
  expect(count(file, 'children')).toBe(3);
  expect(appliedNumbers(file)).toEqual([1, 2]);
});

test('A step that brings its own COMMIT is refused before it could keep half of itself', () => {
  const { file, folder, write } = family();
  write({ '0002-commits.sql': 'CREATE TABLE extra (id INTEGER); COMMIT; SELECT nonsense;' });
  expect(() => openDatabase(file, folder)).toThrow('must not begin or end a transaction');
  expect(appliedNumbers(file)).toEqual([1]);
});

test('A step that leaves rows pointing at nothing is undone', () => {
  const { file, folder, write } = family();
  write({ '0002-orphans.sql': 'DELETE FROM parents WHERE id = 2;' });
  expect(() => openDatabase(file, folder)).toThrow('it would leave rows of children that point at nothing');
  expect([count(file, 'parents'), count(file, 'children')]).toEqual([2, 3]);
  expect(appliedNumbers(file)).toEqual([1]);
});

test('A step that was edited after it was applied is refused, even by a space', () => {
  const { file, folder, write } = family();
  write({ '0001-family.sql': `${parentsAndChildren} ` });
  expect(() => openDatabase(file, folder)).toThrow(
    'The file migrations/0001-family.sql is not the one this database was changed with',
  );
});

test('A ledger of a newer program is refused and left alone', () => {
  const { file, folder, write, remove } = family();
  write({ '0002-notes-on-parents.sql': rebuildParents });
  closeDatabase(openDatabase(file, folder));
  remove('0002-notes-on-parents.sql');
  expect(() => openDatabase(file, folder)).toThrow(
    'was last changed by a newer Basking Ledger (its step 0002-notes-on-parents.sql',
  );
  expect(appliedNumbers(file)).toEqual([1, 2]);
});

test('A ledger whose record of steps has a hole, or disagrees with its version, is refused', () => {
  const { file, folder, write } = family();
  write({ '0002-notes-on-parents.sql': rebuildParents });
  closeDatabase(openDatabase(file, folder));
  const client = new Database(file);
  client.pragma('user_version = 7');
  client.close();
  expect(() => openDatabase(file, folder)).toThrow('says it is at step 7, but records 2 steps');
  const again = new Database(file);
  again.exec('DELETE FROM applied_migrations WHERE number = 1');
  again.close();
  expect(() => openDatabase(file, folder)).toThrow('skips number 1');
});

test.each([
  [['0002-late.sql'], 'migration 1 must be named like 0001-what-it-does.sql, found 0002-late.sql'],
  [['0001-a.sql', '0003-c.sql'], 'migration 2 must be named like 0002-what-it-does.sql, found 0003-c.sql'],
  [['0001-a.sql', '0001-b.sql'], 'migration 2 must be named like 0002-what-it-does.sql, found 0001-b.sql'],
  [['first.sql'], 'migration 1 must be named like 0001-what-it-does.sql, found first.sql'],
])('The step files %j are refused', (names, reason) => {
  const { folder } = newFolder(Object.fromEntries(names.map((name) => [name, ''])));
  expect(() => readMigrations(folder)).toThrow(reason);
});

test('Every beginning of our own steps makes a whole database, and a second start changes nothing', () => {
  const own = readMigrations(join(import.meta.dirname, '../../../migrations'));
  const { folder, write } = newFolder({});
  const file = join(folder, 'ledger.sqlite');
  for (const step of own) {
    write({ [step.name]: step.sql });
    const db = openDatabase(file, folder);
    expect(db.$client.pragma('integrity_check', { simple: true })).toBe('ok');
    closeDatabase(db);
    expect(appliedNumbers(file)).toHaveLength(step.number);
  }
  expect(own.length).toBeGreaterThan(0);
  const before = count(file, 'sqlite_schema');
  closeDatabase(openDatabase(file, folder));
  expect(existsSync(`${file}-wal`)).toBe(false);
  expect(count(file, 'sqlite_schema')).toBe(before);
});

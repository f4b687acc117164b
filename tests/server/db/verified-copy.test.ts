// A copy made while another process writes: it shows one moment between two transactions, and no half of one.

import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { copyVerified } from '../../../server/db/verified-copy.ts';

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** A database with two tables that each transaction of a writer adds one row to. */
function twins(folder: string): Database.Database {
  const client = new Database(join(folder, 'twins.sqlite'), { timeout: 5000 });
  onTestFinished(() => void client.close());
  client.pragma('journal_mode = WAL');
  client.exec(`CREATE TABLE one (id INTEGER PRIMARY KEY, text TEXT) STRICT;
    CREATE TABLE two (id INTEGER PRIMARY KEY REFERENCES one, text TEXT) STRICT;`);
  return client;
}

const counts = (file: string) => {
  const copy = new Database(file, { readonly: true });
  try {
    return copy.prepare('SELECT (SELECT max(id) FROM one) AS one, (SELECT max(id) FROM two) AS two').get() as {
      one: number;
      two: number;
    };
  } finally {
    copy.close();
  }
};

test('Copies made while another process writes show as much of each transaction as of every other', async () => {
  const folder = newFolder();
  const client = twins(folder);
  const script = `const db = new (require('better-sqlite3'))(${JSON.stringify(client.name)}, { timeout: 5000 });
    const [one, two] = ['one', 'two'].map((name) => db.prepare('INSERT INTO ' + name + " (text) VALUES (?)"));
    const both = db.transaction(() => { one.run('x'.repeat(300)); two.run('y'.repeat(300)); });
    for (let n = 0; ; n += 1) { both.immediate(); if (n === 20) console.log('writes'); }`;
  const writer = spawn(process.execPath, ['-e', script], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise((resolve) => writer.once('exit', resolve));
  await new Promise<void>((resolve) => writer.stdout.once('data', () => resolve()));
  const seen: number[] = [];
  for (let round = 0; round < 6; round += 1) {
    const file = join(folder, `copy-${round}.sqlite`);
    copyVerified(client, file);
    const { one, two } = counts(file);
    expect(one).toBe(two);
    seen.push(one);
  }
  writer.kill('SIGKILL');
  await ended;
  // It did write meanwhile.
  expect(new Set(seen).size).toBeGreaterThan(1);
});

test('A copy is its owner’s alone, and one that cannot be written leaves nothing behind', () => {
  const folder = newFolder();
  const client = twins(folder);
  client.exec("INSERT INTO one VALUES (1, 'a'); INSERT INTO two VALUES (1, 'b')");
  expect(copyVerified(client, join(folder, 'copy.sqlite'))).toBe(2);
  expect(statSync(join(folder, 'copy.sqlite')).mode & 0o777).toBe(0o600);
  expect(() => copyVerified(client, join(folder, 'absent', 'copy.sqlite'))).toThrow();
  // What a copy that was cut short left is no hindrance.
  writeFileSync(join(folder, 'again.sqlite.unfinished'), 'half');
  copyVerified(client, join(folder, 'again.sqlite'));
  expect(readdirSync(folder).filter((name) => name.includes('unfinished'))).toEqual([]);
});

test('Rows that point at nothing make a copy no copy', () => {
  const folder = newFolder();
  const client = twins(folder);
  client.pragma('foreign_keys = OFF');
  client.exec("INSERT INTO two VALUES (9, 'lost')");
  expect(() => copyVerified(client, join(folder, 'copy.sqlite'))).toThrow('rows of two point at nothing');
  expect(readdirSync(folder).filter((name) => name.includes('copy'))).toEqual([]);
});

// What a start makes of a ledger's file that is damaged: it says so and what to do, begins nothing anew, and leaves the file as it was.

import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { DamagedDatabase, UnusableDatabase } from '../../../server/db/migrate.ts';
import { closeDatabase, openDatabase } from '../../../server/db/open.ts';
import { rowCounts } from '../../../server/db/verified-copy.ts';
import { keepSmallLedger, wantHide } from '../../support/ledger.ts';

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** A ledger's file that was closed well, and how many rows each of its tables holds. */
function wholeFile(): { file: string; bytes: Buffer; rows: number[] } {
  const file = join(newFolder(), 'ledger.sqlite');
  const db = openDatabase(file);
  keepSmallLedger(db);
  const rows = Object.values(rowCounts(db.$client));
  closeDatabase(db);
  return { file, bytes: readFileSync(file), rows };
}

/** Opens a file as a start does; what it holds by table, or the sentence it is refused with. */
function started(file: string): { rows: number[] } | { refused: string } {
  try {
    const db = openDatabase(file);
    try {
      return { rows: Object.values(rowCounts(db.$client)) };
    } finally {
      closeDatabase(db);
    }
  } catch (problem) {
    expect(problem).toBeInstanceOf(UnusableDatabase);
    return { refused: (problem as Error).message };
  }
}

function expectRefused(file: string, bytes: Buffer): void {
  writeFileSync(file, bytes);
  expect(() => openDatabase(file)).toThrow(DamagedDatabase);
  expect(readFileSync(file).equals(bytes)).toBe(true);
  expect(readdirSync(join(file, '..')).sort()).toEqual(['ledger.sqlite', 'ledger.sqlite.lock']);
}

// Where what stands in the first page: sqlite.org/fileformat2.html, 1.3 and 1.6.
test.each([
  ['the words it begins with', 0],
  ['the size of its pages', 16],
  ['the number of its pages', 31],
  ['whose file it is', 68],
  ['the kind of its first page', 100],
  ['where the rows of its schema begin', 105],
])('A flipped byte in %s is found', (_, at) => {
  const { file, bytes } = wholeFile();
  const flipped = Buffer.from(bytes);
  flipped[at] = flipped[at]! ^ 0xff;
  expectRefused(file, flipped);
});

test('A file cut short anywhere, emptied, or with zeros for a beginning is refused, and named with what to do', () => {
  const { file, bytes } = wholeFile();
  for (const length of [0, 1, 15, 16, 99, 100, 511, 512, 4095, 4096, 4097, 8192, bytes.length - 4096, bytes.length - 1])
    expectRefused(file, bytes.subarray(0, length));
  expectRefused(file, Buffer.from(bytes).fill(0, 0, 100));
  expectRefused(file, Buffer.from(bytes).fill(0, 0, 4096));
  expectRefused(file, Buffer.alloc(bytes.length));
  writeFileSync(file, bytes.subarray(0, 8192));
  expect(started(file)).toEqual({
    refused: `${file} is damaged and was left as it is. There is no backup of it in ${join(file, '../backups')}. A good copy from elsewhere is brought back, with DATA_DIR set to ${join(file, '..')}, by: npm run restore -- FILE --replace (what is there now is kept under another name). Keep the file until you have your records back.`,
  });
});

test('A byte flipped anywhere is found and the file left alone, or it touches no row', () => {
  const { file, bytes, rows } = wholeFile();
  // A linear congruential generator with the constants of Numerical Recipes, so that the places are the same in every run.
  let seed = 20261127;
  const next = (below: number) => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed % below;
  };
  let refused = 0;
  for (let round = 0; round < 120; round += 1) {
    // The beginning of a page, where its kind and its cells are told, as often as any other place.
    const at = round % 2 === 0 ? next(bytes.length) : next(bytes.length / 4096) * 4096 + next(12);
    const flipped = Buffer.from(bytes);
    flipped[at] = flipped[at]! ^ (1 << next(8));
    writeFileSync(file, flipped);
    const found = started(file);
    if ('refused' in found) {
      refused += 1;
      expect(readFileSync(file).equals(flipped), `byte ${at}`).toBe(true);
    } else {
      // SQLite keeps no checksums of its pages, so that a letter in a text can change unseen; never how much there is.
      expect(found.rows, `byte ${at}`).toEqual(rows);
    }
    for (const part of ['-wal', '-shm']) expect(existsSync(file + part), `byte ${at}`).toBe(false);
  }
  expect(refused).toBeGreaterThan(5);
});

test("Another ledger's log in place of its own is found, and neither file is changed", () => {
  const { file, bytes } = wholeFile();
  const other = join(newFolder(), 'ledger.sqlite');
  const db = openDatabase(other);
  keepSmallLedger(db);
  for (let count = 0; count < 60; count += 1) wantHide(db, `Cork ${count}`, 'cool', count);
  db.$client.pragma('wal_checkpoint(TRUNCATE)');
  for (let count = 0; count < 60; count += 1) wantHide(db, `Bark ${count}`, 'cool', count);
  cpSync(`${other}-wal`, `${file}-wal`);
  closeDatabase(db);
  const log = readFileSync(`${file}-wal`);
  expect(() => openDatabase(file)).toThrow(DamagedDatabase);
  expect(readFileSync(file).equals(bytes)).toBe(true);
  expect(readFileSync(`${file}-wal`).equals(log)).toBe(true);
});

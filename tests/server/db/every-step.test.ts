// What is left of a ledger when its migration, its backup, a restore or an import fails, or is killed, before any of its steps.

import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'drizzle-orm';
import { expect, onTestFinished, test } from 'vitest';
import { makeBackup } from '../../../server/backups.ts';
import { listBackups } from '../../../server/db/backup-folder.ts';
import { readCandidate } from '../../../server/db/candidate.ts';
import { DamagedDatabase, UnusableDatabase } from '../../../server/db/migrate.ts';
import { closeDatabase, type Db, openDatabase, openMemory, replaceFile } from '../../../server/db/open.ts';
import { readWholeLedger, replaceWholeLedger, type WholeLedger } from '../../../server/db/whole-ledger.ts';
import { takeOverLedger, writeLedgerFile } from '../../../server/ledger-file.ts';
import { plainDate } from '../../../src/calendar.ts';
import { atEachStep, copyFolder, countSteps, someSteps } from '../../support/faults.ts';
import { keepSmallLedger, wantHide } from '../../support/ledger.ts';

const today = plainDate('2026-01-15');
const moment = new Date('2026-01-15T12:00:00Z');

class Injected extends Error {}

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** Does a piece of work in a folder, and returns the folder as it lay before each of the chosen steps, which is what a kill there leaves. */
function killedAt(folder: string, most: number, work: () => void): string[] {
  const copies = newFolder();
  const whole: string[] = [];
  atEachStep((step) => {
    whole.push(join(copies, String(step)));
    copyFolder(folder, whole[whole.length - 1]!);
  }, work);
  const chosen = someSteps(whole.length, most).map((step) => whole[step - 1]!);
  return [...chosen, folder];
}

function textIn(folder: string): string {
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  try {
    return writeLedgerFile(db, today);
  } finally {
    closeDatabase(db);
  }
}

/** A folder with a small ledger, and the rows of another that is to take its place. */
function twoLedgers(): { folder: string; db: Db; old: string; next: WholeLedger; nextText: string } {
  const folder = newFolder();
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const other = openMemory();
  keepSmallLedger(other);
  for (let count = 0; count < 30; count += 1) wantHide(other, `Cork ${count}`, 'cool', 100 + count);
  return {
    folder,
    db,
    old: writeLedgerFile(db, today),
    next: readWholeLedger(other),
    nextText: writeLedgerFile(other, today),
  };
}

const family = {
  '0001-family.sql': `
CREATE TABLE parents (id INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;
CREATE TABLE children (id INTEGER PRIMARY KEY, parent_id INTEGER NOT NULL REFERENCES parents ON DELETE CASCADE) STRICT;`,
  '0002-notes.sql': `
CREATE TABLE new_parents (id INTEGER PRIMARY KEY, name TEXT NOT NULL, note TEXT NOT NULL DEFAULT '') STRICT;
INSERT INTO new_parents (id, name) SELECT id, name FROM parents;
DROP TABLE parents;
ALTER TABLE new_parents RENAME TO parents;`,
  '0003-more.sql': "ALTER TABLE children ADD COLUMN name TEXT NOT NULL DEFAULT '';",
};

/** A folder with a ledger of two parents and three children at its first step, and its steps, of which two are yet to come. */
function familyAtStepOne(): { folder: string; steps: string; file: string } {
  const [folder, steps] = [newFolder(), newFolder()];
  const file = join(folder, 'ledger.sqlite');
  const [first, ...later] = Object.entries(family);
  writeFileSync(join(steps, first![0]), first![1]);
  const db = openDatabase(file, steps);
  db.run(sql`INSERT INTO parents (id, name) VALUES (1, 'one'), (2, 'two')`);
  db.run(sql`INSERT INTO children (parent_id) VALUES (1), (1), (2)`);
  closeDatabase(db);
  for (const [name, text] of later) writeFileSync(join(steps, name), text);
  return { folder, steps, file };
}

// Opens as the next start does, which brings it the rest of the way.
function familyIn(file: string, steps: string): unknown {
  const db = openDatabase(file, steps);
  try {
    const counts = db.get(
      sql`SELECT (SELECT count(*) FROM parents) AS parents, (SELECT count(*) FROM children) AS children`,
    );
    return { ...(counts as object), step: db.$client.pragma('user_version', { simple: true }) };
  } finally {
    closeDatabase(db);
  }
}

const wholeFamily = { parents: 2, children: 3, step: 3 };

test('A migration that is killed before any of its steps is finished by the next start, and no row is gone', () => {
  const { folder, steps, file } = familyAtStepOne();
  const left = killedAt(folder, 200, () => closeDatabase(openDatabase(file, steps)));
  expect(left.length).toBeGreaterThan(25);
  for (const one of left) expect(familyIn(join(one, 'ledger.sqlite'), steps), one).toEqual(wholeFamily);
});

test('A migration that fails at any of its steps leaves every row, and the next start finishes it', () => {
  const made = familyAtStepOne();
  const count = countSteps(() => {
    const copy = newFolder();
    copyFolder(made.folder, copy);
    closeDatabase(openDatabase(join(copy, 'ledger.sqlite'), made.steps));
  });
  let failed = 0;
  for (let at = 1; at <= count; at += 1) {
    const folder = newFolder();
    copyFolder(made.folder, folder);
    const file = join(folder, 'ledger.sqlite');
    try {
      atEachStep(
        (step) => {
          if (step === at) throw new Injected('the disk is gone');
        },
        () => closeDatabase(openDatabase(file, made.steps)),
      );
    } catch (problem) {
      failed += 1;
      expect(problem instanceof Injected || problem instanceof UnusableDatabase, String(problem)).toBe(true);
    }
    // A connection that could not even be closed keeps its lock in this process; a new process would not meet it.
    rmSync(`${file}.lock`, { force: true });
    expect(familyIn(file, made.steps), `step ${at}`).toEqual(wholeFamily);
  }
  expect(failed).toBeGreaterThan(20);
});

test('A restore and an import that are killed before any of their steps leave the old ledger or the new one, whole', () => {
  for (const before of ['restore', 'import'] as const) {
    const { folder, db, old, next, nextText } = twoLedgers();
    const left = killedAt(folder, before === 'restore' ? 40 : 15, () =>
      takeOverLedger(db, { tables: next }, today, { before }),
    );
    closeDatabase(db);
    const found = left.map((one) => textIn(one));
    expect(found.every((text) => text === old || text === nextText)).toBe(true);
    // Old up to some step, and new from there on.
    expect(found.indexOf(nextText)).toBe(found.lastIndexOf(old) + 1);
    expect(found.filter((text) => text === old).length).toBeGreaterThan(5);
  }
});

test('A restore that fails at any of its steps leaves the old ledger, in the running program and after a start', () => {
  const { folder, db, old, next, nextText } = twoLedgers();
  const rehearsal = twoLedgers();
  const count = countSteps(() => takeOverLedger(rehearsal.db, { tables: next }, today, { before: 'restore' }));
  closeDatabase(rehearsal.db);
  expect(count).toBeGreaterThan(60);
  for (const at of someSteps(count, 30)) {
    let thrown: unknown = null;
    try {
      atEachStep(
        (step) => {
          if (step === at) throw new Injected('the disk is gone');
        },
        () => takeOverLedger(db, { tables: next }, today, { before: 'restore' }),
      );
    } catch (problem) {
      thrown = problem;
    }
    // A query that the builder wrote tells its own story around what happened.
    const reasons = [thrown, (thrown as Error | null)?.cause];
    expect(
      reasons.some((one) => one instanceof Injected),
      `step ${at}: ${String(thrown)}`,
    ).toBe(true);
    expect(db.$client.inTransaction).toBe(false);
    expect(writeLedgerFile(db, today), `step ${at}`).toBe(old);
  }
  expect(takeOverLedger(db, { tables: next }, today, { before: 'restore' }).status).toBe('replaced');
  expect(writeLedgerFile(db, today)).toBe(nextText);
  closeDatabase(db);
  expect(textIn(folder)).toBe(nextText);
});

test('A disk that fills up at any page of a restore leaves the old ledger, and with room it goes through', () => {
  const { db, old, next, nextText } = twoLedgers();
  const pages = () => Number(db.$client.pragma('page_count', { simple: true }));
  const start = pages();
  let refused = 0;
  for (let most = start; ; most += 1) {
    db.$client.pragma(`max_page_count = ${most}`);
    try {
      replaceWholeLedger(db, next);
      break;
    } catch (problem) {
      refused += 1;
      expect(problem).toMatchObject({ code: 'SQLITE_FULL' });
      expect(writeLedgerFile(db, today)).toBe(old);
    }
  }
  expect(refused).toBeGreaterThan(1);
  expect(writeLedgerFile(db, today)).toBe(nextText);
  closeDatabase(db);
});

test('A backup that is killed or fails before any of its steps leaves the ledger, the backups before, and no half of one', () => {
  const { folder, db, old } = twoLedgers();
  makeBackup(db, new Date('2026-01-10T12:00:00Z'));
  const left = killedAt(folder, 60, () => expect(makeBackup(db, moment).status).toBe('made'));
  expect(left.length).toBeGreaterThan(10);
  let withNew = 0;
  for (const one of left) {
    const backups = listBackups(join(one, 'ledger.sqlite'));
    expect(backups.map(({ day }) => day)).toContain('2026-01-10');
    for (const { file } of backups) expect(readCandidate(file).status, file).toBe('ok');
    withNew += backups.length - 1;
  }
  expect(withNew).toBeGreaterThan(0);
  const count = countSteps(() => makeBackup(db, moment));
  for (let at = 1; at <= count; at += 1) {
    const outcome = atEachStep(
      (step) => {
        if (step === at) throw new Injected('the disk is gone');
      },
      () => makeBackup(db, moment),
    );
    const names = readdirSync(join(folder, 'backups'));
    expect(
      names.filter((name) => name.endsWith('.unfinished')),
      `step ${at}`,
    ).toEqual([]);
    if (outcome.status === 'failed') expect(outcome).toMatchObject({ failure: 'other', reason: 'the disk is gone' });
  }
  for (const { file } of listBackups(join(folder, 'ledger.sqlite'))) expect(readCandidate(file).status).toBe('ok');
  expect(writeLedgerFile(db, today)).toBe(old);
  closeDatabase(db);
});

test('A new file for a damaged ledger that is killed before any step never ends in an empty ledger or without the damaged file', () => {
  const { folder, db, next, nextText } = twoLedgers();
  closeDatabase(db);
  const file = join(folder, 'ledger.sqlite');
  const bytes = readFileSync(file).fill(0xa5, 4096 * 2, 4096 * 7);
  writeFileSync(file, bytes);
  mkdirSync(join(folder, 'elsewhere'));
  const left = killedAt(folder, 60, () => {
    expect(replaceFile(file, today, (anew) => replaceWholeLedger(anew, next))).toBe(
      join(folder, 'ledger.set-aside-2026-01-15.sqlite'),
    );
  });
  let restored = 0;
  for (const one of left) {
    const kept = readdirSync(one).filter(
      (name) => name.endsWith('.sqlite') && readFileSync(join(one, name)).equals(bytes),
    );
    expect(kept, one).toHaveLength(1);
    try {
      expect(textIn(one)).toBe(nextText);
      restored += 1;
    } catch (problem) {
      expect(problem, one).toBeInstanceOf(DamagedDatabase);
      // Begun again, it comes to its end.
      replaceFile(join(one, 'ledger.sqlite'), today, (anew) => replaceWholeLedger(anew, next));
      expect(textIn(one)).toBe(nextText);
    }
  }
  expect(restored).toBeGreaterThan(0);
  expect(restored).toBeLessThan(left.length);
});

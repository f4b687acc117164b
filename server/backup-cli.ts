// The three commands that keep a ledger from being lost: one makes a backup, one restores a backup or any other copy, one looks whether all
// is well. They know their options; what is amiss counts as not done.

import { existsSync, mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { readCareLibrary } from '../seed/library.ts';
import { dateOfInstant, daysBetween } from '../src/calendar.ts';
import { backupFailureSentence, backupWords, copyFaultSentence, doctorWords } from './backup-words.ts';
import { makeBackup, OLD_AFTER_DAYS } from './backups.ts';
import { openCare } from './care.ts';
import { fail, runCommand, withLedger } from './command.ts';
import { listBackups } from './db/backup-folder.ts';
import { readCandidate } from './db/candidate.ts';
import { readLedger } from './db/ledger.ts';
import { fileSystemAt } from './db/lock.ts';
import { DamagedDatabase, UnusableDatabase } from './db/migrate.ts';
import { type Db, newestStep, openDatabase, openToRead, replaceFile } from './db/open.ts';
import { faultOf } from './db/verified-copy.ts';
import { holdsAnything, replaceWholeLedger, type WholeLedger } from './db/whole-ledger.ts';
import { exportWords } from './export-words.ts';
import { readLedgerCopy, takeOverLedger, tryOutLedger } from './ledger-file.ts';

const USAGE = [
  'Usage: npm run backup [-- --demo]',
  '       npm run restore -- FILE [--replace] [--demo]',
  '       npm run doctor [-- --demo]',
].join('\n');

process.exitCode = await runCommand(
  { env: process.env, options: process.argv.slice(2), usage: USAGE },
  ([command, ...options], { database }) => {
    if (command === 'backup' && options.length === 0) return backUp(database);
    if (command === 'restore') return restore(database, options);
    if (command === 'doctor' && options.length === 0) return examine(database);
    return null;
  },
);

function backUp(database: string): number {
  if (!existsSync(database) && listBackups(database).length === 0) return fail(1, doctorWords.noLedger(database));
  return withLedger(openToRead(database), (db) => {
    const outcome = makeBackup(db, new Date());
    if (outcome.status === 'failed') return fail(1, backupFailureSentence(outcome));
    if (outcome.status === 'in-memory') return fail(1, backupWords.inMemory);
    console.log(backupWords.made(outcome.backup.file, outcome.rows));
    if (outcome.removed > 0) console.log(backupWords.removed(outcome.removed));
    return 0;
  });
}

function restore(database: string, options: readonly string[]): number | null {
  const files = options.filter((one) => one !== '--replace');
  const [file] = files;
  if (file === undefined || files.length > 1 || file.startsWith('--')) return null;
  const shipped = readCareLibrary();
  const now = new Date();
  const read = readLedgerCopy(file, (scratch) => tryOutLedger(scratch, openCare(scratch, shipped).library(), now));
  if (read.status === 'bad') return fail(1, backupWords.notRestored(copyFaultSentence(read.fault)));
  const { tables, hasLog } = read.copy;
  for (const [name, rows] of Object.entries(tables))
    if (rows.length > 0) console.log(`${name}: ${exportWords.rows(rows.length)}`);
  if (hasLog) console.log(backupWords.log);
  if (!options.includes('--replace')) {
    console.log(backupWords.nothingChanged);
    return 0;
  }
  mkdirSync(dirname(database), { recursive: true, mode: 0o700 });
  const copy = putInPlace(database, tables, now);
  console.log(backupWords.restored);
  if (copy !== null) console.log(backupWords.copy(copy));
  return 0;
}

// Rows go into the ledger that is there, where it can be opened at all; where it cannot, it is set aside and a new file takes its place.
function putInPlace(database: string, tables: WholeLedger, now: Date): string | null {
  let db: Db;
  try {
    db = openDatabase(database);
  } catch (problem) {
    if (!(problem instanceof DamagedDatabase)) throw problem;
    return replaceFile(database, dateOfInstant(now, 'UTC'), (anew) => replaceWholeLedger(anew, tables));
  }
  return withLedger(db, () => {
    const taken = takeOverLedger(db, { tables }, dateOfInstant(now, readLedger(db).timeZone), { before: 'restore' });
    return taken.status === 'replaced' ? taken.copy : null;
  });
}

function examine(database: string): number {
  if (!existsSync(database) && listBackups(database).length === 0) return fail(1, doctorWords.noLedger(database));
  let isWell = true;
  const say = (good: boolean, sentence: string): void => {
    isWell &&= good;
    console.log(`${good ? 'well   ' : 'AMISS  '}${sentence}`);
  };
  const place = fileSystemAt(dirname(database));
  say(place === 'local', doctorWords.place(dirname(database), place));
  let db: Db;
  try {
    db = openToRead(database);
  } catch (problem) {
    if (!(problem instanceof UnusableDatabase)) throw problem;
    say(false, problem.message);
    examineBackups(database, null, say);
    return 1;
  }
  return withLedger(db, () => {
    say(true, db.$client.readonly ? doctorWords.inUse : doctorWords.opened);
    const fault = faultOf(db.$client);
    say(fault === null, doctorWords.pages(fault));
    say(true, doctorWords.steps(newestStep()));
    const today = dateOfInstant(new Date(), readLedger(db).timeZone);
    if (holdsAnything(db)) examineBackups(database, today, say);
    return isWell ? 0 : 1;
  });
}

function examineBackups(
  database: string,
  today: ReturnType<typeof dateOfInstant> | null,
  say: (good: boolean, sentence: string) => void,
): void {
  const backups = listBackups(database);
  const [newest] = backups;
  if (newest === undefined) {
    say(false, backupWords.none);
    return;
  }
  for (const { file } of backups) {
    const read = readCandidate(file);
    if (read.status === 'bad') say(false, `${file}: ${copyFaultSentence(read.fault)}`);
  }
  const days = today === null ? 0 : daysBetween(newest.day, today);
  say(days <= OLD_AFTER_DAYS, doctorWords.backups(backups.length, newest.file));
}

// When a ledger is backed up, and which backups go when new ones come. One is made on the first day of a start and on each day that the
// program runs, and whenever the keeper asks; older ones are thinned out only after a new one was checked.

import { createReadStream, mkdirSync, type ReadStream, rmSync } from 'node:fs';
import { keptBackups } from '../src/backup-keeping.ts';
import { dateOfInstant, daysBetween } from '../src/calendar.ts';
import { type BackupFile, backupFolderOf, listBackups, nextBackup } from './db/backup-folder.ts';
import { readLedger } from './db/ledger.ts';
import type { Db } from './db/open.ts';
import { BadCopy, copyVerified } from './db/verified-copy.ts';
import { holdsAnything } from './db/whole-ledger.ts';

/** Why no backup was made. */
export type BackupFailure =
  | { failure: 'disk-full' }
  | { failure: 'not-writable'; folder: string }
  | { failure: 'bad-copy'; reason: string }
  | { failure: 'other'; reason: string };

/** What came of making a backup: it was checked and holds so many rows, and so many older ones went; or why there is none. */
export type BackupOutcome =
  | { status: 'made'; backup: BackupFile; rows: number; removed: number }
  | ({ status: 'failed' } & BackupFailure)
  | { status: 'in-memory' };

/** What a keeper should know: the last automatic or asked-for backup failed, the newest is so many days old, or there is none yet. */
export type BackupDoubt =
  | { doubt: 'failed'; failure: BackupFailure }
  | { doubt: 'old'; days: number }
  | { doubt: 'none' };

/** The backups of one ledger. */
export type Backups = {
  /** Where they lie; null for a ledger in memory. */
  folder: string | null;
  /** Whether one is made on each day by itself. */
  isDaily: boolean;
  /** The newest first. */
  list: () => BackupFile[];
  make: () => BackupOutcome;
  /** Null when all is well, or there is nothing to lose. */
  doubt: () => BackupDoubt | null;
  find: (name: string) => BackupFile | null;
  /** The bytes of one, to be sent. */
  read: (backup: BackupFile) => ReadStream;
  /** Makes one now if today has none, and looks again from time to time until it is closed. */
  begin: () => void;
  close: () => void;
};

/** From this many days on the newest backup is called old. Our own choice. */
export const OLD_AFTER_DAYS = 3;

const LOOK_EVERY_MILLISECONDS = 15 * 60_000;

/**
 * Makes a backup of a ledger's file, checked before it has its name, and thins out the older ones. For the program and for the command; never
 * throws for what the disk or the folder brings about.
 */
export function makeBackup(db: Db, now: Date): BackupOutcome {
  const { memory, name: ledgerFile } = db.$client;
  if (memory) return { status: 'in-memory' };
  const folder = backupFolderOf(ledgerFile);
  try {
    const day = dateOfInstant(now, readLedger(db).timeZone);
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const file = nextBackup(ledgerFile, day);
    const rows = copyVerified(db.$client, file);
    const all = listBackups(ledgerFile);
    const backup = all.find((one) => one.file === file)!;
    return { status: 'made', backup, rows, removed: thinOut(all, backup) };
  } catch (problem) {
    return { status: 'failed', ...failureOf(problem, folder) };
  }
}

// What was just checked stays in any case, also when a wrong clock gave others a later day.
function thinOut(all: readonly BackupFile[], made: BackupFile): number {
  const kept = new Set([...keptBackups(all), made]);
  const gone = all.filter((one) => !kept.has(one));
  for (const { file } of gone) rmSync(file, { force: true });
  return gone.length;
}

function failureOf(problem: unknown, folder: string): BackupFailure {
  if (problem instanceof BadCopy) return { failure: 'bad-copy', reason: problem.message };
  if (!(problem instanceof Error)) return { failure: 'other', reason: String(problem) };
  const code = 'code' in problem ? String(problem.code) : '';
  if (/^(SQLITE_FULL|ENOSPC|EDQUOT|EFBIG)/.test(code)) return { failure: 'disk-full' };
  if (/^(SQLITE_(CANTOPEN|READONLY|PERM)|EACCES|EPERM|EROFS|ENOTDIR|EEXIST|ENOENT)/.test(code))
    return { failure: 'not-writable', folder };
  return { failure: 'other', reason: problem.message };
}

/** The backups of a ledger for an application that runs. With `isDaily` one is made on each day on which the ledger holds anything. */
export function openBackups({
  db,
  now,
  isDaily,
  logFault,
}: {
  db: Db;
  now: () => Date;
  isDaily: boolean;
  logFault: (fault: unknown) => void;
}): Backups {
  const { memory, name: ledgerFile } = db.$client;
  let failure: BackupFailure | null = null;
  let timer: NodeJS.Timeout | null = null;
  const today = () => dateOfInstant(now(), readLedger(db).timeZone);
  const list = () => (memory ? [] : listBackups(ledgerFile));
  const make = (): BackupOutcome => {
    const outcome = makeBackup(db, now());
    if (outcome.status === 'made') failure = null;
    if (outcome.status === 'failed') {
      const { status: _, ...why } = outcome;
      failure = why;
      logFault(new Error(`no backup was made: ${JSON.stringify(why)}`));
    }
    return outcome;
  };
  const look = (): void => {
    try {
      const day = today();
      if (holdsAnything(db) && !list().some((one) => one.day === day)) make();
    } catch (fault) {
      logFault(fault);
    }
  };
  return {
    folder: memory ? null : backupFolderOf(ledgerFile),
    isDaily: isDaily && !memory,
    list,
    make,
    doubt() {
      if (failure !== null) return { doubt: 'failed', failure };
      if (memory || !isDaily || !holdsAnything(db)) return null;
      const day = today();
      // A day that is still to come was given by a wrong clock and tells nothing of how old a backup is.
      const newest = list().find((one) => one.day <= day);
      if (newest === undefined) return { doubt: 'none' };
      const days = daysBetween(newest.day, day);
      return days > OLD_AFTER_DAYS ? { doubt: 'old', days } : null;
    },
    find: (name) => list().find((one) => one.name === name) ?? null,
    read: ({ file }) => createReadStream(file),
    begin() {
      if (!isDaily || memory || timer !== null) return;
      look();
      timer = setInterval(look, LOOK_EVERY_MILLISECONDS);
      timer.unref();
    },
    close() {
      if (timer !== null) clearInterval(timer);
      timer = null;
    },
  };
}

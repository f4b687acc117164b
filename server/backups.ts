// When a ledger is backed up, and which backups go when new ones come. One is made on the first day of a start and on each day that the
// program runs, and whenever the keeper asks; older ones are thinned out only after a new one was checked.

import { createReadStream, mkdirSync, type ReadStream, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { keptBackups } from '../src/backup-keeping.ts';
import { dateOfInstant, daysBetween } from '../src/calendar.ts';
import { type BackupFile, backupFolderOf, listBackups, nextBackup } from './db/backup-folder.ts';
import { readLedger } from './db/ledger.ts';
import type { Db } from './db/open.ts';
import { BadCopy, copyVerified, removeUnfinished } from './db/verified-copy.ts';
import { holdsAnything } from './db/whole-ledger.ts';
import { startThread } from './typescript-thread.ts';

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
  /** Makes one, or waits for the one that is being made; pages are answered meanwhile. */
  make: () => Promise<BackupOutcome>;
  /** Null when all is well, or there is nothing to lose. */
  doubt: () => BackupDoubt | null;
  find: (name: string) => BackupFile | null;
  /** The bytes of one, to be sent. */
  read: (backup: BackupFile) => ReadStream;
  /** Makes one now if today has none, and looks again from time to time until it is closed. */
  begin: () => void;
  /** Gives up the one that is being made. */
  close: () => Promise<void>;
};

/** What the thread that copies is given, and what it tells: how many rows the copy holds, or why there is none. */
export type CopyTask = { file: string; target: string };
export type Copied = { status: 'copied'; rows: number } | ({ status: 'failed' } & BackupFailure);

/** From this many days on the newest backup is called old. Our own choice. */
export const OLD_AFTER_DAYS = 3;

const LOOK_EVERY_MILLISECONDS = 15 * 60_000;

const COPYING_THREAD = new URL('./backup-worker.ts', import.meta.url).href;

/** A smaller ledger is copied and checked sooner than a thread has begun: 7 MB in 37 ms of a processor. */
const ASIDE_FROM_BYTES = 8_000_000;

/**
 * Makes a backup of a ledger's file, checked before it has its name, and thins out the older ones. For the command, and for a program that can
 * wait; never throws for what the disk or the folder brings about.
 */
export function makeBackup(db: Db, now: Date): BackupOutcome {
  const begun = beginBackup(db, now);
  return begun.status === 'begun'
    ? endBackup(
        begun,
        copied(() => copyVerified(db.$client, begun.target), begun),
      )
    : begun;
}

type Begun = { status: 'begun'; ledgerFile: string; folder: string; target: string };

function beginBackup(db: Db, now: Date): Begun | Exclude<BackupOutcome, { status: 'made' }> {
  const { memory, name: ledgerFile } = db.$client;
  if (memory) return { status: 'in-memory' };
  const folder = backupFolderOf(ledgerFile);
  try {
    const day = dateOfInstant(now, readLedger(db).timeZone);
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    return { status: 'begun', ledgerFile, folder, target: nextBackup(ledgerFile, day) };
  } catch (problem) {
    return { status: 'failed', ...failureOf(problem, folder) };
  }
}

/** Copies, and tells what came of it without throwing for what the disk or the folder brings about. */
export function copied(copy: () => number, { target }: Pick<Begun, 'target'>): Copied {
  try {
    return { status: 'copied', rows: copy() };
  } catch (problem) {
    return { status: 'failed', ...failureOf(problem, dirname(target)) };
  }
}

function endBackup({ ledgerFile, folder, target }: Begun, outcome: Copied): BackupOutcome {
  if (outcome.status === 'failed') return outcome;
  try {
    const all = listBackups(ledgerFile);
    const backup = all.find((one) => one.file === target)!;
    return { status: 'made', backup, rows: outcome.rows, removed: thinOut(all, backup) };
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
  asideFrom = ASIDE_FROM_BYTES,
  logFault,
}: {
  db: Db;
  now: () => Date;
  isDaily: boolean;
  /** From so many bytes on a ledger is copied in a thread of its own. */
  asideFrom?: number | undefined;
  logFault: (fault: unknown) => void;
}): Backups {
  const { memory, name: ledgerFile } = db.$client;
  let failure: BackupFailure | null = null;
  let timer: NodeJS.Timeout | null = null;
  const today = () => dateOfInstant(now(), readLedger(db).timeZone);
  const list = () => (memory ? [] : listBackups(ledgerFile));
  let worker: Worker | null = null;
  let making: Promise<BackupOutcome> | null = null;
  let isClosed = false;
  const aside = (task: CopyTask) =>
    new Promise<Copied>((resolve) => {
      const given = (reason: string): Copied => ({ status: 'failed', failure: 'other', reason });
      worker = startThread(COPYING_THREAD, task);
      worker.once('message', resolve);
      worker.once('error', (fault) => resolve(given(fault instanceof Error ? fault.message : String(fault))));
      worker.once('exit', () => resolve(given('the copy was given up')));
    });
  const outcomeOf = async (): Promise<BackupOutcome> => {
    const begun = beginBackup(db, now());
    if (begun.status !== 'begun') return begun;
    const { target } = begun;
    const isSmall = (statSync(ledgerFile, { throwIfNoEntry: false })?.size ?? 0) < asideFrom;
    const outcome = isSmall
      ? copied(() => copyVerified(db.$client, target), begun)
      : await aside({ file: ledgerFile, target });
    worker = null;
    if (outcome.status === 'failed' && !isSmall) removeUnfinished(target);
    return endBackup(begun, outcome);
  };
  const makeOne = async (): Promise<BackupOutcome> => {
    const outcome = await outcomeOf();
    if (outcome.status === 'made') failure = null;
    if (outcome.status === 'failed' && !isClosed) {
      const { status: _, ...why } = outcome;
      failure = why;
      logFault(new Error(`no backup was made: ${JSON.stringify(why)}`));
    }
    return outcome;
  };
  const make = (): Promise<BackupOutcome> => {
    making ??= makeOne().finally(() => {
      making = null;
    });
    return making;
  };
  const look = async (): Promise<void> => {
    try {
      const day = today();
      if (holdsAnything(db) && !list().some((one) => one.day === day)) await make();
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
      void look();
      timer = setInterval(() => void look(), LOOK_EVERY_MILLISECONDS);
      timer.unref();
    },
    async close() {
      isClosed = true;
      if (timer !== null) clearInterval(timer);
      timer = null;
      await worker?.terminate();
      await making;
    },
  };
}

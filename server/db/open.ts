// How a connection to the ledger's file is opened, settled and closed. The only file that knows the connection settings, and the
// meaning of Db, Tx and Session.

import { closeSync, existsSync, openSync, readSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { type BetterSQLite3Database, drizzle } from 'drizzle-orm/better-sqlite3';
import type { BaseSQLiteDatabase } from 'drizzle-orm/sqlite-core';
import type { PlainDate } from '../../src/calendar.ts';
import { backupFolderOf, listBackups } from './backup-folder.ts';
import { fileSystemAt, type Lock, takeLock } from './lock.ts';
import {
  DamagedDatabase,
  type Migration,
  type MigrationReport,
  migrate,
  readMigrations,
  stepsDone,
  UnusableDatabase,
} from './migrate.ts';
import { faultOf, settleFolder, settleOnDisk } from './verified-copy.ts';

/** An open ledger. Only the shell opens, closes and begins transactions on it. */
export type Db = BetterSQLite3Database<Record<string, never>> & { $client: Database.Database };

/** An open transaction on the ledger; everything it wrote is kept, or nothing is. */
export type Tx = Parameters<Parameters<Db['transaction']>[0]>[0];

/** Anything a query can run on: the ledger itself or a transaction on it. Every query function takes it first. */
export type Session = BaseSQLiteDatabase<'sync', Database.RunResult, Record<string, never>>;

/** Tells our files from any other SQLite file: 'BLgr' in ASCII. */
export const APPLICATION_ID = 0x424c6772;

// SQLite 3.7.0 to 3.51.2 could lose committed writes when two connections write and checkpoint together (the WAL-reset bug,
// sqlite.org/wal.html).
const OLDEST_SQLITE = [3, 51, 3] as const;

const ownMigrations = fileURLToPath(new URL('../../migrations', import.meta.url));

// Each is read back: SQLite ignores a pragma it cannot obey without saying so.
const connectionSettings: readonly { pragma: string; wanted: string | number; readsBack: string | number }[] = [
  { pragma: 'foreign_keys', wanted: 'ON', readsBack: 1 },
  { pragma: 'busy_timeout', wanted: 5000, readsBack: 5000 },
  { pragma: 'trusted_schema', wanted: 'OFF', readsBack: 0 },
  { pragma: 'cell_size_check', wanted: 'ON', readsBack: 1 },
  // Without it a reopened WAL file is synchronous NORMAL, which may lose the last commits at a power cut.
  { pragma: 'synchronous', wanted: 'FULL', readsBack: 2 },
];

/**
 * Opens the ledger in a file for this process alone, making it when absent, and brings it to the newest migration of the folder (the
 * program's own unless told). Throws UnusableDatabase, with a sentence for the person who started the program, when another process has
 * it, when the file is not a ledger, is damaged, is missing though there are backups of it, or cannot be settled; such a file is left as
 * it was. Each opening checks every page, row and index, however the last stop was: 0.3 s for 46 MB.
 */
export function openDatabase(file: string, migrationsFolder: string = ownMigrations): Db {
  if (file === ':memory:') return drizzle(opened(file, readMigrations(migrationsFolder)));
  return withPrivateFiles(file, () => {
    refuseRemoteFolder(file);
    const lock = takeLock(file);
    if (lock === null) throw inUse(file);
    try {
      const migrations = readMigrations(migrationsFolder);
      if (existsSync(file)) inspect(file);
      else makeNew(file, migrations);
      return drizzle(releasing(opened(file, migrations), lock));
    } catch (problem) {
      lock.release();
      throw problem;
    }
  });
}

/**
 * Opens the ledger in a file to read it only, beside a program that has it, or as openDatabase does when none has. Throws
 * UnusableDatabase like that, and when the program that has it is of another version.
 */
export function openToRead(file: string): Db {
  const lock = withPrivateFiles(file, () => takeLock(file));
  if (lock !== null) {
    lock.release();
    return openDatabase(file);
  }
  return withPrivateFiles(file, () => {
    const client = new Database(file, { readonly: true });
    try {
      for (const pragma of ['trusted_schema = OFF', 'cell_size_check = ON', 'busy_timeout = 5000'])
        client.pragma(pragma);
      if (stepsDone(client, ownSteps()) < newestStep()) {
        throw new UnusableDatabase(
          `${file} is in use by an older Basking Ledger. Stop that one and start this version, which brings the ledger up to date.`,
        );
      }
      return drizzle(client);
    } catch (problem) {
      client.close();
      throw problem;
    }
  });
}

/**
 * Makes a ledger anew in place of a file that cannot be opened, or where there is none, filled by `fill`; what was there is kept as
 * 'ledger.set-aside-2026-11-27.sqlite', its log beside it, and that name returned; null where nothing was there. Whenever it is cut short, the old file is there under one of its names, and a start says so instead of
 * beginning an empty ledger. Throws UnusableDatabase when another process has the file.
 */
export function replaceFile(file: string, day: PlainDate, fill: (db: Db) => void): string | null {
  return withPrivateFiles(file, () => {
    refuseRemoteFolder(file);
    const lock = takeLock(file);
    if (lock === null) throw inUse(file);
    try {
      const staged = stagedFor(file);
      for (const part of ['', '-wal', '-shm']) rmSync(staged + part, { force: true });
      const db = drizzle(opened(staged, ownSteps()));
      try {
        fill(db);
      } finally {
        closeDatabase(db);
      }
      settleOnDisk(staged);
      const there = ['', '-wal', '-shm'].filter((part) => existsSync(file + part));
      const stem = `${file.replace(/\.sqlite$/, '')}.set-aside-${day}`;
      let aside = `${stem}.sqlite`;
      for (let again = 2; existsSync(aside); again += 1) aside = `${stem}-${again}.sqlite`;
      for (const part of there) renameSync(file + part, aside + part);
      renameSync(staged, file);
      settleFolder(dirname(file));
      return there.length === 0 ? null : aside;
    } finally {
      lock.release();
    }
  });
}

/** Opens a ledger that lives in memory only, with every migration applied. */
export function openMemory(): Db {
  return openDatabase(':memory:');
}

/** The steps that this program knows of a database's history. */
export function ownSteps(): Migration[] {
  return readMigrations(ownMigrations);
}

/** The number of the newest of them. */
export function newestStep(): number {
  return ownSteps().length;
}

/** Opens a ledger in memory as the program made them at a step of its history, 1 to the newest. */
export function openMemoryAt(step: number): Db {
  const client = new Database(':memory:');
  settle(client);
  migrate(client, ownSteps().slice(0, step));
  return drizzle(client);
}

/** Brings a ledger that was opened at an earlier step to the newest one. */
export function bringUpToDate(db: Db): void {
  migrate(db.$client, ownSteps());
}

const broughtForward = new WeakMap<Database.Database, MigrationReport>();

/** What opening a ledger did to bring it to the newest step: how many steps were applied, and the copy of what was there before, if any. */
export function upgradeOf({ $client }: Db): MigrationReport {
  return broughtForward.get($client) ?? { applied: 0, copy: null };
}

/** Closes the ledger with everything in its one file: no -wal and no -shm are left. */
export function closeDatabase(db: Db): void {
  if (!db.$client.open) return;
  const { memory, readonly } = db.$client;
  if (!memory && !readonly) db.$client.pragma('wal_checkpoint(TRUNCATE)');
  db.$client.close();
}

/**
 * Runs a piece of work in one transaction that holds the write lock from its start, and returns what the work returns. Throws, having
 * kept nothing, when the file is no longer where it was opened.
 */
export function inTransaction<Result>(db: Db, work: (tx: Tx) => Result): Result {
  return db.transaction(
    (tx) => {
      const result = work(tx);
      mustBeInPlace(db);
      return result;
    },
    { behavior: 'immediate' },
  );
}

/** Why the ledger's file cannot be written or read while the program runs. */
export type StorageFault = 'full' | 'read-only' | 'moved' | 'busy' | 'damaged' | 'failing';

/** What a failure says of the file and its disk; null when it is about something else. */
export function storageFaultOf(problem: unknown): StorageFault | null {
  if (problem instanceof LedgerMoved) return 'moved';
  // The query builder wraps what the database says.
  const { code, cause } = (problem ?? {}) as { code?: unknown; cause?: unknown };
  if (!(problem instanceof Database.SqliteError) || typeof code !== 'string')
    return cause === undefined || cause === problem ? null : storageFaultOf(cause);
  return storageFaults.find(([start]) => code.startsWith(start))?.[1] ?? null;
}

const storageFaults: readonly [string, StorageFault][] = [
  ['SQLITE_FULL', 'full'],
  ['SQLITE_READONLY_DBMOVED', 'moved'],
  ['SQLITE_READONLY', 'read-only'],
  ['SQLITE_PERM', 'read-only'],
  ['SQLITE_BUSY', 'busy'],
  ['SQLITE_LOCKED', 'busy'],
  ['SQLITE_CORRUPT', 'damaged'],
  ['SQLITE_NOTADB', 'damaged'],
  ['SQLITE_IOERR', 'failing'],
  ['SQLITE_CANTOPEN', 'failing'],
];

class LedgerMoved extends Error {
  override readonly name = 'LedgerMoved';
}

// Which file a connection was opened on: the same name can come to mean another one.
const openedOn = new WeakMap<Database.Database, { device: number; inode: number }>();

/** Throws when what would be written now is lost at the next start, because the file or its log was moved away, removed or replaced. */
export function mustBeInPlace({ $client: client }: Db): void {
  const opened = openedOn.get(client);
  if (opened === undefined) return;
  const there = statSync(client.name, { throwIfNoEntry: false });
  if (
    there === undefined ||
    there.dev !== opened.device ||
    there.ino !== opened.inode ||
    !existsSync(`${client.name}-wal`)
  )
    throw new LedgerMoved(`${client.name} or its log is not the file that was opened`);
}

// Other users of the computer may not read the ledger; SQLite would make the file 0644.
function withPrivateFiles<Result>(file: string, work: () => Result): Result {
  const umaskBefore = process.umask(0o077);
  try {
    return work();
  } catch (problem) {
    throw explained(problem, file);
  } finally {
    process.umask(umaskBefore);
  }
}

function opened(file: string, migrations: readonly Migration[]): Database.Database {
  const client = new Database(file);
  try {
    settle(client);
    broughtForward.set(client, migrate(client, migrations));
    if (!client.memory) {
      const { dev, ino } = statSync(file);
      openedOn.set(client, { device: dev, inode: ino });
    }
    return client;
  } catch (problem) {
    client.close();
    throw problem;
  }
}

// The lock ends with the connection, whoever closes it.
function releasing(client: Database.Database, lock: Lock): Database.Database {
  const close = client.close.bind(client);
  client.close = () => {
    close();
    lock.release();
    return client;
  };
  return client;
}

function stagedFor(file: string): string {
  return `${file}.restored`;
}

// Made under another name first, so that a start that was cut short leaves no half of a ledger, and an empty file is never taken for one.
function makeNew(file: string, migrations: readonly Migration[]): void {
  const [newest] = listBackups(file);
  if (newest !== undefined || existsSync(`${file}-wal`) || existsSync(stagedFor(file))) throw missing(file);
  const unfinished = `${file}.unfinished`;
  for (const part of ['', '-wal', '-shm']) rmSync(unfinished + part, { force: true });
  opened(unfinished, migrations).close();
  settleOnDisk(unfinished);
  renameSync(unfinished, file);
  settleFolder(dirname(file));
}

// Looked at through a connection that cannot write: closing one that can would carry a damaged write-ahead log over into the file.
function inspect(file: string): void {
  refuseOtherFiles(file);
  const absent = ['-wal', '-shm'].filter((part) => !existsSync(file + part));
  const client = new Database(file, { readonly: true });
  try {
    client.pragma('trusted_schema = OFF');
    client.pragma('cell_size_check = ON');
    if (client.pragma('application_id', { simple: true }) !== APPLICATION_ID) {
      throw new DamagedDatabase(
        `${file} is a database of another program. It was left as it is; choose another folder. If it was your ledger, it is damaged. ${howToRestore(file)}`,
      );
    }
    if (faultOf(client) !== null) throw damaged(file);
  } finally {
    client.close();
    for (const part of absent) rmSync(file + part, { force: true });
  }
}

function refuseRemoteFolder(file: string): void {
  const folder = dirname(file);
  if (existsSync(folder) && fileSystemAt(folder) === 'remote') {
    throw new UnusableDatabase(
      `The folder ${folder} lies on another computer, where a ledger can lose what was saved. Set DATA_DIR to a folder on this one.`,
    );
  }
}

function refuseOtherFiles(file: string): void {
  const status = statSync(file);
  if (!status.isFile()) throw new UnusableDatabase(`${file} is not a file. Move it away or choose another folder.`);
  const header = Buffer.alloc(18);
  const handle = openSync(file, 'r');
  readSync(handle, header, 0, header.length, 0);
  closeSync(handle);
  // The program never leaves an empty file, so one that is empty has lost what it held.
  if (status.size === 0) throw damaged(file);
  if (header.subarray(0, 16).toString('latin1') !== 'SQLite format 3\0') {
    throw new DamagedDatabase(
      `${file} is not a Basking Ledger database. It was left as it is; move it away or choose another folder. If it was your ledger, it is damaged. ${howToRestore(file)}`,
    );
  }
  // SQLite reads zeros past the end of a file. Where a log is left, the end may be in the log.
  if (status.size % header.readUInt16BE(16) !== 0 && !existsSync(`${file}-wal`)) throw damaged(file);
}

function settle(client: Database.Database): void {
  refuseOldSqlite(client);
  if (!client.memory) confirm('journal_mode', client.pragma('journal_mode = WAL', { simple: true }), 'wal');
  for (const { pragma, wanted, readsBack } of connectionSettings) {
    client.pragma(`${pragma} = ${wanted}`);
    confirm(pragma, client.pragma(pragma, { simple: true }), readsBack);
  }
  if (client.pragma('application_id', { simple: true }) === 0) client.pragma(`application_id = ${APPLICATION_ID}`);
  confirm('application_id', client.pragma('application_id', { simple: true }), APPLICATION_ID);
}

function refuseOldSqlite(client: Database.Database): void {
  const version = client.prepare<[], { version: string }>('SELECT sqlite_version() AS version').get()!.version;
  const parts = version.split('.').map(Number);
  const difference = OLDEST_SQLITE.map((oldest, place) => (parts[place] ?? 0) - oldest).find((gap) => gap !== 0) ?? 0;
  if (difference < 0) {
    throw new UnusableDatabase(
      `SQLite ${version} is too old to trust with the ledger; run npm ci to get ${OLDEST_SQLITE.join('.')} or later.`,
    );
  }
}

function confirm(pragma: string, got: unknown, wanted: string | number): void {
  if (got !== wanted) {
    throw new UnusableDatabase(`The database did not accept the setting ${pragma}: it is ${got} instead of ${wanted}.`);
  }
}

function damaged(file: string): DamagedDatabase {
  return new DamagedDatabase(`${file} is damaged and was left as it is. ${howToRestore(file)}`);
}

function missing(file: string): DamagedDatabase {
  return new DamagedDatabase(
    `${file} is missing, though a ledger was kept there. If you moved it, put it back. ${howToRestore(file)} To begin with an empty ledger, choose another folder with DATA_DIR.`,
  );
}

const MOST_NAMED = 3;

function howToRestore(file: string): string {
  const backups = listBackups(file);
  const demo = file.endsWith('demo.sqlite') ? ' --demo' : '';
  // Typed without it, the command would bring the backup to another ledger.
  const place = dirname(file) === 'data' ? '' : `, with DATA_DIR set to ${dirname(file)},`;
  if (backups.length === 0) {
    return `There is no backup of it in ${backupFolderOf(file)}. A good copy from elsewhere is brought back${place} by: npm run restore -- FILE --replace${demo} (what is there now is kept under another name). Keep the file until you have your records back.`;
  }
  const names = backups.slice(0, MOST_NAMED).map(({ name }) => name);
  return `There ${backups.length === 1 ? 'is one backup' : `are ${backups.length} backups`} in ${backupFolderOf(file)}, the newest first: ${names.join(', ')}. Bring one back${place} by: npm run restore -- "${backups[0]!.file}" --replace${demo} (what is there now is kept under another name).`;
}

function inUse(file: string): UnusableDatabase {
  return new UnusableDatabase(
    `${file} is in use by another Basking Ledger, which goes on undisturbed. Use its pages, or stop it and try again.`,
  );
}

function explained(problem: unknown, file: string): unknown {
  if (problem instanceof UnusableDatabase || !(problem instanceof Database.SqliteError)) return problem;
  if (problem.code.startsWith('SQLITE_CORRUPT') || problem.code === 'SQLITE_NOTADB') return damaged(file);
  if (problem.code.startsWith('SQLITE_BUSY')) {
    return new UnusableDatabase(`${file} is in use by another program. Stop that program and start again.`);
  }
  return new UnusableDatabase(`${file} could not be opened: ${problem.message}.`, { cause: problem });
}

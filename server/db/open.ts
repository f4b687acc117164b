// How a connection to the ledger's file is opened, settled and closed. The only file that knows the connection settings, and the
// meaning of Db, Tx and Session.

import { closeSync, existsSync, openSync, readSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { type BetterSQLite3Database, drizzle } from 'drizzle-orm/better-sqlite3';
import type { BaseSQLiteDatabase } from 'drizzle-orm/sqlite-core';
import { migrate, readMigrations, UnusableDatabase } from './migrate.ts';

/** An open ledger. Only the shell opens, closes and begins transactions on it. */
export type Db = BetterSQLite3Database<Record<string, never>> & { $client: Database.Database };

/** An open transaction on the ledger; everything it wrote is kept, or nothing is. */
export type Tx = Parameters<Parameters<Db['transaction']>[0]>[0];

/** Anything a query can run on: the ledger itself or a transaction on it. Every query function takes it first. */
export type Session = BaseSQLiteDatabase<'sync', Database.RunResult, Record<string, never>>;

// 'BLgr' in ASCII: tells our files from any other SQLite file.
const APPLICATION_ID = 0x424c6772;

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
 * Opens the ledger in a file, making it when absent, and brings it to the newest migration of the folder (the program's own unless
 * told). Throws UnusableDatabase, with a sentence for the person who started the program, when the file is not a ledger, is damaged,
 * or cannot be settled; such a file is left as it was.
 */
export function openDatabase(file: string, migrationsFolder: string = ownMigrations): Db {
  if (file !== ':memory:' && existsSync(file)) refuseOtherFiles(file);
  // Other users of the computer may not read the ledger; SQLite would make the file 0644.
  const umaskBefore = file === ':memory:' ? null : process.umask(0o077);
  try {
    const client = new Database(file);
    try {
      settle(client);
      migrate(client, readMigrations(migrationsFolder));
    } catch (problem) {
      client.close();
      throw problem;
    }
    return drizzle(client);
  } catch (problem) {
    throw explained(problem, file);
  } finally {
    if (umaskBefore !== null) process.umask(umaskBefore);
  }
}

/** Opens a ledger that lives in memory only, with every migration applied. */
export function openMemory(): Db {
  return openDatabase(':memory:');
}

/** The number of the newest step that this program knows of a database's history. */
export function newestStep(): number {
  return readMigrations(ownMigrations).length;
}

/** Opens a ledger in memory as the program made them at a step of its history, 1 to the newest. */
export function openMemoryAt(step: number): Db {
  const client = new Database(':memory:');
  settle(client);
  migrate(client, readMigrations(ownMigrations).slice(0, step));
  return drizzle(client);
}

/** Brings a ledger that was opened at an earlier step to the newest one. */
export function bringUpToDate(db: Db): void {
  migrate(db.$client, readMigrations(ownMigrations));
}

/** Whether another program has the ledger's file open. Leaving the write-ahead log takes the file alone, so that trying it tells. */
export function isInUse({ $client: client }: Db): boolean {
  if (client.memory) return false;
  try {
    const isAlone = client.pragma('journal_mode = DELETE', { simple: true }) === 'delete';
    client.pragma('journal_mode = WAL');
    return !isAlone;
  } catch (problem) {
    if (problem instanceof Database.SqliteError && problem.code.startsWith('SQLITE_BUSY')) return true;
    throw problem;
  }
}

/** Closes the ledger with everything in its one file: no -wal and no -shm are left. */
export function closeDatabase(db: Db): void {
  if (!db.$client.open) return;
  if (!db.$client.memory) db.$client.pragma('wal_checkpoint(TRUNCATE)');
  db.$client.close();
}

/** Runs a piece of work in one transaction that holds the write lock from its start, and returns what the work returns. */
export function inTransaction<Result>(db: Db, work: (tx: Tx) => Result): Result {
  return db.transaction(work, { behavior: 'immediate' });
}

function refuseOtherFiles(file: string): void {
  if (!statSync(file).isFile())
    throw new UnusableDatabase(`${file} is not a file. Move it away or choose another folder.`);
  const header = Buffer.alloc(16);
  const handle = openSync(file, 'r');
  const length = readSync(handle, header, 0, 16, 0);
  closeSync(handle);
  if (length > 0 && header.toString('latin1') !== 'SQLite format 3\0') {
    throw new UnusableDatabase(
      `${file} is not a Basking Ledger database. It was left as it is; move it away or choose another folder.`,
    );
  }
}

function settle(client: Database.Database): void {
  refuseOldSqlite(client);
  const tables = client.prepare<[], { count: number }>('SELECT count(*) AS count FROM sqlite_schema').get()!.count;
  const id = client.pragma('application_id', { simple: true });
  if (tables > 0 && id !== APPLICATION_ID) {
    throw new UnusableDatabase(
      `${client.name} is a database of another program. It was left as it is; choose another folder.`,
    );
  }
  if (tables > 0 && client.pragma('quick_check', { simple: true }) !== 'ok') throw damaged(client.name);
  if (!client.memory) confirm('journal_mode', client.pragma('journal_mode = WAL', { simple: true }), 'wal');
  for (const { pragma, wanted, readsBack } of connectionSettings) {
    client.pragma(`${pragma} = ${wanted}`);
    confirm(pragma, client.pragma(pragma, { simple: true }), readsBack);
  }
  if (id !== APPLICATION_ID) client.pragma(`application_id = ${APPLICATION_ID}`);
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

function damaged(file: string): UnusableDatabase {
  return new UnusableDatabase(
    `${file} is damaged and was left as it is. Keep it, put a good copy in its place, and start again; never start with an empty one.`,
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

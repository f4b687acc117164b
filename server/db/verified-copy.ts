// How a database is copied while it is in use, and what must be true of a copy before it is called one. A copy comes under another name
// first and takes its own only when it was checked and lies on the disk, so that a file with a copy's name is always a whole one.

import { closeSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';

/** A copy that was made and was not as it must be; it was removed again. */
export class BadCopy extends Error {
  override readonly name = 'BadCopy';
}

/** A copy that somebody writes past is counted anew this often; after that its own checks have to do. */
const MOST_COUNTS = 3;

/**
 * Copies a database into a new file that only its owner can read, as of one moment between two transactions, and returns how many rows the
 * copy holds. The copy is opened and held against the original: integrity, foreign keys, whose it is, its step, and the rows of each table.
 * Throws BadCopy when it is not as it must be, or SqliteError or a file error when it cannot be written; then nothing is left of it.
 */
export function copyVerified(client: Database.Database, target: string): number {
  const unfinished = unfinishedOf(target);
  try {
    beginPrivate(unfinished);
    let counts: Record<string, number> | null = null;
    for (let round = 1; ; round += 1) {
      const before = client.pragma('data_version', { simple: true });
      counts = rowCounts(client);
      client.prepare('VACUUM INTO ?').run(unfinished);
      if (client.pragma('data_version', { simple: true }) === before) break;
      // Another connection wrote between the count and the copy, so that the two need not agree.
      counts = null;
      if (round === MOST_COUNTS) break;
      beginPrivate(unfinished);
    }
    const rows = checked(unfinished, client, counts);
    settleOnDisk(unfinished);
    renameSync(unfinished, target);
    settleFolder(dirname(target));
    return rows;
  } catch (problem) {
    rmSync(unfinished, { force: true });
    throw problem;
  }
}

/** As copyVerified, of a ledger's file that another connection of this program has open and may write to meanwhile. */
export function copyVerifiedBeside(file: string, target: string): number {
  const client = new Database(file, { readonly: true });
  try {
    for (const pragma of ['trusted_schema = OFF', 'cell_size_check = ON', 'busy_timeout = 5000']) client.pragma(pragma);
    return copyVerified(client, target);
  } finally {
    client.close();
  }
}

/** Removes what a copy left behind that was given up. */
export function removeUnfinished(target: string): void {
  rmSync(unfinishedOf(target), { force: true });
}

function unfinishedOf(target: string): string {
  return `${target}.unfinished`;
}

// SQLite copies into an empty file as into none, and only its owner is ever let in.
function beginPrivate(file: string): void {
  rmSync(file, { force: true });
  closeSync(openSync(file, 'wx', 0o600));
}

/** Waits until what was written to a file lies on the disk. */
export function settleOnDisk(file: string): void {
  const handle = openSync(file, 'r+');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Waits until the names in a folder lie on the disk, where the system knows such a thing. */
export function settleFolder(folder: string): void {
  if (process.platform === 'win32') return;
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** How many rows each table of a database holds. */
export function rowCounts(client: Database.Database): Record<string, number> {
  const tables = client
    .prepare<[], { name: string }>(
      "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name",
    )
    .all();
  return Object.fromEntries(
    tables.map(({ name }) => [
      name,
      client.prepare<[], { count: number }>(`SELECT count(*) AS count FROM "${name.replaceAll('"', '""')}"`).get()!
        .count,
    ]),
  );
}

/**
 * What is wrong with a database, as SQLite says it: the first fault of its pages, rows and indexes, or of rows that point at nothing; null
 * when nothing is. All rows are counted too, since a page can pass for whole and still not be readable.
 */
export function faultOf(client: Database.Database): string | null {
  try {
    const verdict = String(client.pragma('integrity_check', { simple: true }));
    if (verdict !== 'ok') return verdict;
    rowCounts(client);
    const orphan = (client.pragma('foreign_key_check') as { table: string }[])[0];
    return orphan === undefined ? null : `rows of ${orphan.table} point at nothing`;
  } catch (problem) {
    if (problem instanceof Database.SqliteError && problem.code.startsWith('SQLITE_CORRUPT')) return problem.message;
    throw problem;
  }
}

function checked(file: string, original: Database.Database, counts: Record<string, number> | null): number {
  const copy = new Database(file, { readonly: true });
  try {
    const fault = faultOf(copy);
    if (fault !== null) throw new BadCopy(fault);
    for (const mark of ['application_id', 'user_version']) {
      const [wanted, got] = [original, copy].map((one) => one.pragma(mark, { simple: true }));
      if (wanted !== got) throw new BadCopy(`its ${mark} is ${String(got)} instead of ${String(wanted)}`);
    }
    const there = rowCounts(copy);
    for (const [table, wanted] of Object.entries(counts ?? {}))
      if (there[table] !== wanted) throw new BadCopy(`it holds ${there[table] ?? 0} of ${wanted} rows of ${table}`);
    return Object.values(there).reduce((sum, one) => sum + one, 0);
  } finally {
    copy.close();
  }
}

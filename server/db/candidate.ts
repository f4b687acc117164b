// What must be true of a database file from anywhere before a row of it is taken over. The file is read as bytes into memory and never
// opened where it lies, so that nothing is written to it and a log that lies beside it is not played into it; its rows are then put into
// tables made by the program itself.

import { existsSync, readFileSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { stepsDone, UnusableDatabase } from './migrate.ts';
import { APPLICATION_ID, closeDatabase, type Db, newestStep, openMemoryAt, ownSteps } from './open.ts';
import { faultOf } from './verified-copy.ts';
import { readWholeLedger, type WholeLedger } from './whole-ledger.ts';

/** Why a database file is not taken. */
export type CandidateFault =
  | { fault: 'absent' }
  | { fault: 'too-large'; most: number }
  | { fault: 'not-a-database' }
  | { fault: 'not-ours' }
  | { fault: 'newer-database'; found: number; known: number }
  | { fault: 'damaged'; reason: string }
  | { fault: 'strange-schema'; what: string }
  | { fault: 'strange-history'; reason: string };

/** A database file that was found whole: its rows in the form of its step, and whether a log lay beside it that was not read. */
export type Candidate = { tables: WholeLedger; step: number; hasLog: boolean };

/** The largest file that is taken, in bytes: it is held in memory as a whole. */
const MOST_BYTES = 1_000_000_000;

// Two bytes of the header say that there is a write-ahead log, without which such a file is not opened from memory
// (sqlite.org/fileformat2.html, 1.3.3, and sqlite.org/c3ref/deserialize.html).
const FORMAT_BYTES = [18, 19];
const PLAIN_FORMAT = 1;

/** Reads every row of a database file, changing nothing. */
export function readCandidate(
  file: string,
): { status: 'ok'; candidate: Candidate } | { status: 'bad'; fault: CandidateFault } {
  const bad = (fault: CandidateFault) => ({ status: 'bad' as const, fault });
  const status = existsSync(file) ? statSync(file) : undefined;
  if (status === undefined || !status.isFile()) return bad({ fault: 'absent' });
  if (status.size > MOST_BYTES) return bad({ fault: 'too-large', most: MOST_BYTES });
  const bytes = readFileSync(file);
  if (bytes.subarray(0, 16).toString('latin1') !== 'SQLite format 3\0') return bad({ fault: 'not-a-database' });
  for (const place of FORMAT_BYTES) bytes[place] = PLAIN_FORMAT;
  let client: Database.Database | null = null;
  try {
    client = new Database(bytes);
    client.pragma('trusted_schema = OFF');
    client.pragma('cell_size_check = ON');
    if (client.pragma('application_id', { simple: true }) !== APPLICATION_ID) return bad({ fault: 'not-ours' });
    const step = Number(client.pragma('user_version', { simple: true }));
    if (step > newestStep()) return bad({ fault: 'newer-database', found: step, known: newestStep() });
    if (step < 1) return bad({ fault: 'not-ours' });
    const strange = strangeIn(client, step);
    if (strange !== null) return bad({ fault: 'strange-schema', what: strange });
    const damage = faultOf(client);
    if (damage !== null) return bad({ fault: 'damaged', reason: damage });
    stepsDone(client, ownSteps());
    const hasLog = ['-wal', '-journal'].some((part) => existsSync(file + part) && statSync(file + part).size > 0);
    return { status: 'ok', candidate: { tables: readWholeLedger(drizzle(client) as Db), step, hasLog } };
  } catch (problem) {
    if (problem instanceof UnusableDatabase) return bad({ fault: 'strange-history', reason: problem.message });
    if (problem instanceof Database.SqliteError || problem instanceof SyntaxError)
      return bad({ fault: 'damaged', reason: problem.message });
    throw problem;
  } finally {
    client?.close();
  }
}

// Whatever the program did not make at that step: a trigger, a view, a table, an index or a column of another form.
function strangeIn(client: Database.Database, step: number): string | null {
  const own = openMemoryAt(step);
  try {
    const [there, wanted] = [partsOf(client), partsOf(own.$client)];
    const strange =
      [...there].find(([name, sql]) => wanted.get(name) !== sql) ?? [...wanted].find(([name]) => !there.has(name));
    return strange === undefined ? null : strange[0];
  } finally {
    closeDatabase(own);
  }
}

function partsOf(client: Database.Database): Map<string, string | null> {
  const rows = client
    .prepare<[], { type: string; name: string; sql: string | null }>(
      "SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'",
    )
    .all();
  return new Map(rows.map(({ type, name, sql }) => [`${type} ${name}`, sql]));
}

// How a database file comes to the shape this program knows: numbered SQL files, each applied once, in order, and never edited after.
// Foreign keys are off outside the transaction (inside one the pragma does nothing, and a table rebuild would then delete the rows of
// child tables by cascade) and are checked before each step is committed.

import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import { copyVerified } from './verified-copy.ts';

/** A step of the database's history: its number from 1 up, its file name, its SQL and the sha256 of that SQL. */
export type Migration = { number: number; name: string; sql: string; sha256: string };

/** A database that must not be used as it is; the message says why and what to do. The file has not been changed. */
export class UnusableDatabase extends Error {
  override readonly name: string = 'UnusableDatabase';
}

/** One that is damaged, missing or no ledger at all, so that only another in its place helps. */
export class DamagedDatabase extends UnusableDatabase {
  override readonly name = 'DamagedDatabase';
}

/** What was done to the database: how many steps were applied, and the copy that was made before, if there was data to copy. */
export type MigrationReport = { applied: number; copy: string | null };

/** Reads the migration files of a folder. Throws when numbers are not 1, 2, 3 ... without a gap, a name has another form, or a step holds COMMIT. */
export function readMigrations(folder: string): Migration[] {
  const names = readdirSync(folder)
    .filter((name) => name.endsWith('.sql'))
    .sort();
  return names.map((name, position) => {
    const number = Number(/^(\d{4})-[a-z0-9-]+\.sql$/.exec(name)?.[1]);
    if (number !== position + 1) {
      throw new Error(
        `migration ${position + 1} must be named like ${String(position + 1).padStart(4, '0')}-what-it-does.sql, found ${name}`,
      );
    }
    const sql = readFileSync(join(folder, name), 'utf8');
    // The runner wraps each step in a transaction; a COMMIT inside would keep half of a step that fails.
    if (/(^|;)\s*(COMMIT|ROLLBACK|END TRANSACTION|VACUUM|ATTACH)\b/im.test(sql)) {
      throw new Error(`migration ${name} must not begin or end a transaction, nor vacuum or attach`);
    }
    return { number, name, sql, sha256: createHash('sha256').update(sql).digest('hex') };
  });
}

/**
 * Brings a database to the newest migration. A database that holds rows is first copied beside itself as
 * 'name.before-0003.sqlite', and the copy is opened and checked. Throws UnusableDatabase, having changed nothing, when the database was
 * made by a newer program, when an applied migration was edited or is missing, or when a step fails.
 */
export function migrate(client: Database.Database, migrations: readonly Migration[]): MigrationReport {
  const done = stepsDone(client, migrations);
  const waiting = migrations.slice(done);
  if (waiting.length === 0) return { applied: 0, copy: null };
  const copy = done > 0 && !client.memory && holdsRows(client) ? copyBefore(client, waiting[0]!) : null;
  client.pragma('foreign_keys = OFF');
  try {
    for (const migration of waiting) applyOne(client, migration, copy);
  } finally {
    client.pragma('foreign_keys = ON');
  }
  return { applied: waiting.length, copy };
}

/**
 * How many steps a database has behind it. Throws UnusableDatabase when they are not the first ones of these migrations, or when the
 * database contradicts itself.
 */
export function stepsDone(client: Database.Database, migrations: readonly Migration[]): number {
  const done = appliedMigrations(client);
  refuseStrangeHistory(done, migrations);
  const version = client.pragma('user_version', { simple: true });
  if (version !== done.length) {
    throw new UnusableDatabase(
      `The database says it is at step ${version}, but records ${done.length} steps. Restore a copy made before it was altered.`,
    );
  }
  return done.length;
}

type Applied = { number: number; name: string; sha256: string };

function appliedMigrations(client: Database.Database): Applied[] {
  const recorded = client
    .prepare("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'applied_migrations'")
    .get();
  if (recorded === undefined) return [];
  return client.prepare<[], Applied>('SELECT number, name, sha256 FROM applied_migrations ORDER BY number').all();
}

function refuseStrangeHistory(done: readonly Applied[], migrations: readonly Migration[]): void {
  for (const [position, applied] of done.entries()) {
    const known = migrations[position];
    if (applied.number !== position + 1) {
      throw new UnusableDatabase(
        `The database's own record of its changes skips number ${position + 1}. Restore a copy made before the record was altered.`,
      );
    }
    if (known === undefined) {
      throw new UnusableDatabase(
        `The database was last changed by a newer Basking Ledger (its step ${applied.name} is unknown here). Start that newer version instead.`,
      );
    }
    if (known.sha256 !== applied.sha256) {
      throw new UnusableDatabase(
        `The file migrations/${known.name} is not the one this database was changed with (${applied.name}). Put the original file back.`,
      );
    }
  }
}

function holdsRows(client: Database.Database): boolean {
  const tables = client
    .prepare<[], { name: string }>(
      "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'applied_migrations'",
    )
    .all();
  return tables.some(
    ({ name }) => client.prepare(`SELECT 1 FROM "${name.replaceAll('"', '""')}" LIMIT 1`).get() !== undefined,
  );
}

function copyBefore(client: Database.Database, next: Migration): string {
  const number = String(next.number).padStart(4, '0');
  const stem = `${client.name.replace(/\.sqlite$/, '')}.before-${number}`;
  let copy = `${stem}.sqlite`;
  for (let again = 2; existsSync(copy); again += 1) copy = `${stem}-${again}.sqlite`;
  try {
    copyVerified(client, copy);
  } catch (problem) {
    const reason = problem instanceof Error ? problem.message : String(problem);
    throw new UnusableDatabase(
      `No copy could be made before changing the database (${reason}), so nothing was changed.`,
      {
        cause: problem,
      },
    );
  }
  return copy;
}

function applyOne(client: Database.Database, migration: Migration, copy: string | null): void {
  const whereIsTheCopy = copy === null ? '' : ` A copy from before is ${copy}.`;
  try {
    client
      .transaction(() => {
        client.exec(
          `CREATE TABLE IF NOT EXISTS applied_migrations (
             number INTEGER PRIMARY KEY, name TEXT NOT NULL, sha256 TEXT NOT NULL, applied_at TEXT NOT NULL DEFAULT CURRENT_TIMESTAMP
           ) STRICT`,
        );
        client.exec(migration.sql);
        const orphans = client.pragma('foreign_key_check') as { table: string }[];
        if (orphans.length > 0) throw new Error(`it would leave rows of ${orphans[0]!.table} that point at nothing`);
        const { number, name, sha256 } = migration;
        client
          .prepare('INSERT INTO applied_migrations (number, name, sha256) VALUES (?, ?, ?)')
          .run(number, name, sha256);
        client.pragma(`user_version = ${number}`);
      })
      .immediate();
  } catch (problem) {
    if (client.inTransaction) client.exec('ROLLBACK');
    const reason = problem instanceof Error ? problem.message : String(problem);
    throw new UnusableDatabase(
      `The step ${migration.name} could not be applied: ${reason}. The database is as it was before that step.${whereIsTheCopy}`,
      { cause: problem },
    );
  }
}

// Writes down what a database of the present step holds, as SQL: a ledger with rows in every table. Kept for each released step, so that
// tests can bring it forward by every later one.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import { closeDatabase, openMemory } from '../../server/db/open.ts';
import { fillEveryTable } from '../support/every-table.ts';

const folder = join(import.meta.dirname, '../cases/schema');

const db = openMemory();
await fillEveryTable(db);
const step = String(db.$client.pragma('user_version', { simple: true })).padStart(4, '0');
const empty = tablesOf(db.$client).filter(
  (table) => db.$client.prepare(`SELECT 1 FROM "${table}" LIMIT 1`).get() === undefined,
);
if (empty.length > 0) {
  console.error(`Nothing was written: no row is in ${empty.join(', ')}. Enter one in tests/support/every-table.ts.`);
  process.exitCode = 1;
} else {
  mkdirSync(folder, { recursive: true });
  const file = join(folder, `${step}.sql`);
  writeFileSync(file, dumpOf(db.$client));
  console.log(`Written: ${file}`);
}
closeDatabase(db);

function tablesOf(client: Database.Database): string[] {
  return client
    .prepare<[], string>(
      "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name",
    )
    .pluck()
    .all();
}

function dumpOf(client: Database.Database): string {
  const schema = client
    .prepare<[], string>("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type = 'index', rowid")
    .pluck()
    .all();
  const rows = tablesOf(client).flatMap((table) => {
    const columns = client.prepare<[string], string>('SELECT name FROM pragma_table_info(?)').pluck().all(table);
    const cells = columns.map((column) => `quote("${column}")`).join(" || ', ' || ");
    const values = client.prepare<[], string>(`SELECT ${cells} FROM "${table}"`).pluck().all();
    const names = columns.map((column) => `"${column}"`).join(', ');
    return values.map((value) => `INSERT INTO "${table}" (${names}) VALUES (${value});`);
  });
  const marks = ['application_id', 'user_version'].map(
    (mark) => `PRAGMA ${mark} = ${String(client.pragma(mark, { simple: true }))};`,
  );
  return `${[...marks, ...schema.map((sql) => `${sql};`), ...rows].join('\n')}\n`;
}

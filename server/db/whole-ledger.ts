// The whole ledger as rows: every table with every column, as the database of any step of its history holds them; taken out, tried in a
// database in memory, and put in place of what is there. The only SQL that knows no table by name.

import { existsSync } from 'node:fs';
import Database from 'better-sqlite3';
import type { PlainDate } from '../../src/calendar.ts';
import { type Db, mustBeInPlace, storageFaultOf } from './open.ts';
import type * as schema from './schema.ts';
import { leaveFormsBehind } from './sent-forms.ts';
import { copyVerified } from './verified-copy.ts';

/** The name of a table of the ledger, as the database knows it. */
export type TableName = Table['_']['name'];

type Table = (typeof schema)[keyof typeof schema];
type JsonColumnOf<One> = One extends Table
  ? {
      [Name in keyof One['_']['columns']]: One['_']['columns'][Name] extends {
        _: { dataType: 'json'; name: infer Column extends string };
      }
        ? `${One['_']['name']}.${Column}`
        : never;
    }[keyof One['_']['columns']]
  : never;

/** A column that the program reads as JSON, as 'table.column'. */
export type JsonColumn = JsonColumnOf<Table>;

/** Tables of a database file that are no part of the ledger, each with why. */
export const NOT_OF_THE_LEDGER: Readonly<Record<string, string>> = {
  applied_migrations: 'It tells how this file came to its form, which is not how another file comes to it.',
  sent_forms: 'It tells which forms this file took already, and they lead to rows of this file.',
  form_mark: 'It tells which forms were made from what this file holds now.',
};

/** What a cell holds: a number, a text, nothing, or in a column of JSON whatever JSON can hold. */
export type Cell = unknown;

/** The rows of one table in the order of their key; cells by the name of their column. */
export type Rows = Record<string, Cell>[];

/** Every table by name. */
export type WholeLedger = Record<string, Rows>;

/** One column as the database knows it; `isJson` where the database itself holds the text to be JSON. */
export type Column = { name: string; type: 'INTEGER' | 'REAL' | 'TEXT'; isRequired: boolean; isJson: boolean };

/** One table as the database knows it, with the columns of its key. */
export type TableShape = { name: string; columns: Column[]; key: string[] };

/** A row that the database does not take. Rows count from 1; no row where rows point at something that is not there. */
export class RefusedRow extends Error {
  override readonly name = 'RefusedRow';
  readonly table: string;
  readonly row: number | null;
  constructor(table: string, row: number | null, reason: string) {
    super(reason);
    this.table = table;
    this.row = row;
  }
}

type TableInfo = { name: string; type: Column['type']; notnull: number; pk: number };

/** The tables of the ledger that a database has, by name in the order of the alphabet. */
export function tableShapes({ $client: client }: Db): TableShape[] {
  return client
    .prepare<[], { name: string; sql: string }>(
      "SELECT name, sql FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name",
    )
    .all()
    .filter(({ name }) => !Object.hasOwn(NOT_OF_THE_LEDGER, name))
    .map(({ name, sql }) => {
      const info = client.prepare<[string], TableInfo>('SELECT * FROM pragma_table_info(?)').all(name);
      const json = new Set([...sql.matchAll(/json_valid\(\s*"?(\w+)"?\s*\)/g)].map((match) => match[1]!));
      return {
        name,
        columns: info.map((one) => ({
          name: one.name,
          type: one.type,
          isRequired: one.notnull === 1 || one.pk > 0,
          isJson: json.has(one.name),
        })),
        key: info
          .filter((one) => one.pk > 0)
          .sort((a, b) => a.pk - b.pk)
          .map((one) => one.name),
      };
    });
}

/** The tables whose rows point at rows of another one. */
export function tablesPointingAt(db: Db, table: TableName): string[] {
  const pointsAt = db.$client.prepare<[string, string], unknown>(
    'SELECT 1 FROM pragma_foreign_key_list(?) WHERE "table" = ?',
  );
  return tableShapes(db)
    .map(({ name }) => name)
    .filter((name) => pointsAt.get(name, table) !== undefined);
}

/** Every row of the ledger, removed ones too, as of one moment. */
export function readWholeLedger(db: Db): WholeLedger {
  return db.$client.transaction(() =>
    Object.fromEntries(tableShapes(db).map((shape) => [shape.name, rowsOf(db, shape)])),
  )();
}

/** Every row of one table, removed ones too, and its columns in their order. */
export function readTable(db: Db, table: TableName): { columns: string[]; rows: Rows } {
  const shape = tableShapes(db).find(({ name }) => name === table)!;
  return { columns: shape.columns.map((one) => one.name), rows: rowsOf(db, shape) };
}

function rowsOf({ $client: client }: Db, { name, columns, key }: TableShape): Rows {
  const [shown, order] = [columns.map((one) => quoted(one.name)).join(', '), key.map(quoted).join(', ')];
  return client
    .prepare<[], Record<string, number | string | null>>(`SELECT ${shown} FROM ${quoted(name)} ORDER BY ${order}`)
    .all()
    .map((row) =>
      Object.fromEntries(
        columns.map(({ name: column, isJson }) => {
          const cell = row[column] ?? null;
          return [column, isJson && typeof cell === 'string' ? (JSON.parse(cell) as unknown) : cell];
        }),
      ),
    );
}

/**
 * Puts rows in place of everything the ledger holds, in one transaction that holds the write lock from its start. Throws RefusedRow, having
 * changed nothing, when the database does not take a row, when a row points at nothing, or when what was written does not read back the same.
 * `also` is done in the same transaction.
 */
export function replaceWholeLedger(db: Db, ledger: WholeLedger, also: () => void = () => undefined): void {
  const { $client: client } = db;
  client
    .transaction(() => {
      // Rows point at each other in both directions, so that no order of tables would do.
      client.pragma('defer_foreign_keys = ON');
      const shapes = tableShapes(db);
      leaveFormsBehind(db);
      for (const { name } of shapes) client.prepare(`DELETE FROM ${quoted(name)}`).run();
      for (const shape of shapes) insertRows(client, shape, ledger[shape.name] ?? []);
      const orphan = (client.pragma('foreign_key_check') as { table: string }[])[0];
      if (orphan !== undefined) throw new RefusedRow(orphan.table, null, 'a row points at one that is not there');
      const wanted = Object.fromEntries(shapes.map(({ name }) => [name, ledger[name] ?? []]));
      const there = readWholeLedger(db);
      for (const { name } of shapes) {
        if (JSON.stringify(there[name]) !== JSON.stringify(wanted[name]))
          throw new RefusedRow(name, null, 'what was written does not read back the same');
      }
      also();
      mustBeInPlace(db);
    })
    .immediate();
}

function insertRows(client: Database.Database, { name, columns }: TableShape, rows: Rows): void {
  const insert = client.prepare(
    `INSERT INTO ${quoted(name)} (${columns.map((one) => quoted(one.name)).join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
  );
  rows.forEach((row, place) => {
    try {
      insert.run(columns.map((column) => kept(row[column.name], column)));
    } catch (problem) {
      if (storageFaultOf(problem) !== null) throw problem;
      if (problem instanceof Database.SqliteError || problem instanceof TypeError || problem instanceof RangeError)
        throw new RefusedRow(name, place + 1, problem.message);
      throw problem;
    }
  });
}

// In a column that may be empty, JSON's own null and an empty cell mean the same, and the cell is left empty.
function kept(cell: Cell, { isJson, isRequired }: Column): unknown {
  if (isJson && (cell !== null || isRequired)) return JSON.stringify(cell);
  return cell;
}

const OF_THE_PROGRAM: ReadonlySet<string> = new Set(['ledger', 'ledger_state', 'shipped_figures']);

/** Whether the ledger holds anything that a keeper entered or that followed from it. */
export function holdsAnything(db: Db): boolean {
  // The settings that a ledger begins with, its time zone among them, are of version 1 until a keeper changes one.
  if (db.$client.prepare('SELECT 1 FROM ledger WHERE version > 1').get() !== undefined) return true;
  return tableShapes(db)
    .filter(({ name }) => !OF_THE_PROGRAM.has(name))
    .some(({ name }) => db.$client.prepare(`SELECT 1 FROM ${quoted(name)} LIMIT 1`).get() !== undefined);
}

/**
 * Copies the ledger's file beside itself as 'name.before-import-2026-11-27.sqlite', checked like a backup, and returns where the copy is.
 * Throws when the ledger lives in memory or the copy is not as it must be.
 */
export function copyBeside({ $client: client }: Db, before: 'import' | 'restore', today: PlainDate): string {
  if (client.memory) throw new Error('a ledger in memory has no place beside it');
  const stem = `${client.name.replace(/\.sqlite$/, '')}.before-${before}-${today}`;
  let copy = `${stem}.sqlite`;
  for (let again = 2; existsSync(copy); again += 1) copy = `${stem}-${again}.sqlite`;
  copyVerified(client, copy);
  return copy;
}

function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

// Holds drizzle's picture of the tables against the tables that the migrations really make.

import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { is } from 'drizzle-orm';
import { getTableConfig, SQLiteTable } from 'drizzle-orm/sqlite-core';
import { expect, test } from 'vitest';
import { newestStep, openMemory } from '../../../server/db/open.ts';
import * as schema from '../../../server/db/schema.ts';
import { NOT_OF_THE_LEDGER } from '../../../server/db/whole-ledger.ts';

type Column = { name: string; type: string; notnull: number; pk: number };

test('Every table of the database has the columns that the program reads, of the same type and with the same gaps allowed', () => {
  const db = openMemory();
  const tables = Object.values(schema).filter((one) => is(one, SQLiteTable));
  const real = db.$client
    .prepare<[], { name: string }>("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    .all()
    .map((one) => one.name);
  expect(tables.map((one) => getTableConfig(one).name).sort()).toEqual(
    real.filter((name) => !Object.hasOwn(NOT_OF_THE_LEDGER, name)).sort(),
  );
  let compared = 0;
  for (const table of tables) {
    const { name, columns } = getTableConfig(table);
    const there = db.$client.pragma(`table_info(${name})`) as Column[];
    expect(
      columns.map((one) => ({
        name: one.name,
        type: one.getSQLType().toUpperCase(),
        required: one.notNull || one.primary,
      })),
      name,
    ).toEqual(there.map((one) => ({ name: one.name, type: one.type, required: one.notnull === 1 || one.pk > 0 })));
    compared += there.length;
  }
  expect(compared).toBeGreaterThan(100);
});

test('Every table is STRICT, so that no column holds a value of another type', () => {
  const db = openMemory();
  const tables = db.$client
    .prepare<[], { name: string; strict: number }>(
      "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'",
    )
    .all();
  expect(tables.length).toBeGreaterThan(9);
  expect(tables.filter((one) => one.strict === 0)).toEqual([]);
});

test('A ledger of the newest step is kept, to be brought forward by every later one: `npm run dump` writes it', () => {
  const kept = readdirSync(join(import.meta.dirname, '../../cases/schema')).map((name) => Number.parseInt(name, 10));
  expect(Math.max(...kept)).toBe(newestStep());
});

// How SQLite finds the rows that pages ask for, as it says itself (EXPLAIN QUERY PLAN): of the tables that grow with the years, which are
// read from one end to the other, and that each such reading is one that is kept until a row changes, or takes its rows from an index.

import { expect, test } from 'vitest';
import { prepareDemo } from '../../../seed/demo.ts';
import { openMemory } from '../../../server/db/open.ts';
import { patternOf } from '../../support/addresses.ts';
import { closeApp, openApp, testMoment } from '../../support/app.ts';
import { crawl } from '../../support/crawl.ts';

/** The tables that have more rows each month, with the queries that read all of each on purpose, by how they begin after FROM. */
const growing: Readonly<Record<string, readonly string[]>> = {
  // The collection is scored as a whole; server/db/unchanged.ts keeps it.
  readings: ['"readings" where "readings"."removed_on" is null order by'],
  // What happened to all upgrades is told beside them, and kept.
  events: ['"events" order by'],
  // The signs of all animals stand side by side on the pages that look for what is urgent; the rows are few and short.
  animal_signs: ['"animal_signs" inner join "animals"'],
  predictions: ['"predictions" order by'],
  plans: ['"plans" order by "plans"."id" desc limit ?'],
  plan_facts: [],
  plan_studies: [],
  closed_months: [],
  sent_forms: [],
  // One row.
  form_mark: [],
};

test('No page reads a table that grows with the years from end to end, but where all of it is wanted and kept', async () => {
  const db = openMemory();
  await prepareDemo(db, () => testMoment, 300);
  const app = await openApp({ db });
  const client = db.$client;
  const prepare = client.prepare.bind(client);
  const asked = new Set<string>();
  client.prepare = ((sql: string) => {
    asked.add(sql);
    return prepare(sql);
  }) as typeof client.prepare;
  await crawl(app, patternOf);
  const found: string[] = [];
  let looked = 0;
  for (const sql of asked) {
    // The whole ledger is written out by the export alone, table by table.
    if (!/^select\b/.test(sql)) continue;
    looked += 1;
    const steps = prepare(`EXPLAIN QUERY PLAN ${sql}`).all(...Array(sql.split('?').length - 1).fill(1)) as {
      detail: string;
    }[];
    for (const { detail } of steps) {
      const table = detail.match(/^SCAN (\w+)(?! .*USING (?:COVERING )?INDEX)/)?.[1];
      const wanted = table === undefined ? undefined : growing[table];
      const from = sql.slice(sql.indexOf(' from ') + 6);
      if (wanted !== undefined && !wanted.some((one) => from.startsWith(one))) found.push(`${detail}: ${sql}`);
    }
  }
  expect(looked).toBeGreaterThan(30);
  expect(found).toEqual([]);
  client.prepare = prepare;
  await closeApp(app);
}, 300_000);

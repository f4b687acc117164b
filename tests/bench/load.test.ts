// A short version of the load bench, which with 50 readers and 5 writers for a minute is `npm run load`; and the parts that read its figures.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { loadCollection } from '../../server/db/collection.ts';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { fillRescue } from './ledgers.ts';
import { runLoad, slopeOf } from './load.ts';
import { fetchedFromElsewhere } from './pages.ts';

test('Eight readers and two writers for three seconds, with a plan begun meanwhile, meet no error, and the program calls nobody and ends well', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'load-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const file = join(folder, 'ledger.sqlite');
  const db = openDatabase(file);
  fillDemo(db, () => new Date());
  closeDatabase(db);
  const result = await runLoad({ file, seconds: 3, readers: 8, writers: 2, pause: 200 });
  expect(result.errors).toEqual([]);
  // The clock is the machine's; of the processor a start took 1.1 s, and 2.8 s where it translated its sources again.
  expect(result.start.processor > 2000).toBe(false);
  expect(result.pages).toBeGreaterThanOrEqual(8);
  expect(result.changes).toBeGreaterThan(0);
  expect(result.plans).toBe(1);
  expect(result.exitCode).toBe(0);
}, 60_000);

test('The guard under which the program is put under load ends one that calls out, by address or by name', () => {
  const guard = new URL('../support/no-outbound.mjs', import.meta.url).href;
  const run = (code: string) => spawnSync(process.execPath, ['--import', guard, '--eval', code], { encoding: 'utf8' });
  for (const code of [
    "require('node:net').connect(9, '127.0.0.1')",
    "require('node:http').get('http://203.0.113.1/')",
    "fetch('https://example.invalid/')",
    "require('node:dns').lookup('example.invalid', () => {})",
  ])
    expect([code, run(code).status]).toEqual([code, 99]);
  const serves = "const s = require('node:http').createServer().listen(0, '127.0.0.1', () => s.close())";
  expect(run(serves).status).toBe(0);
});

test('A rescue is made of as many animals as asked, each read in each month', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'load-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  const today = '2026-01-15' as Parameters<typeof fillRescue>[1];
  await fillRescue(db, today, { animals: 4, monthsRead: 3, planMilliseconds: null });
  const { animals, readings } = loadCollection(db);
  closeDatabase(db);
  expect(animals).toHaveLength(4);
  expect(new Set(readings.map((one) => one.takenOn))).toEqual(new Set(['2025-11-13', '2025-12-13', '2026-01-13']));
});

test('The slope of a line is found through noise, and nothing is told from one value', () => {
  const line = Array.from({ length: 100 }, (_, at) => 200 + 0.5 * at + (at % 2 === 0 ? 3 : -3));
  expect(slopeOf(line)).toBeCloseTo(0.5, 1);
  expect(slopeOf(Array(50).fill(7))).toBe(0);
  expect(slopeOf([12])).toBe(0);
  expect(slopeOf([Number.NaN, 1, Number.NaN, 3])).toBe(1);
});

test('What a browser would fetch of another host is found, a link to follow is not', () => {
  const page = `<link rel="stylesheet" href="/assets/style.css"><a href="https://example.org/">source</a>
    <img src="//cdn.example/a.png"><script src="https://cdn.example/b.js"></script><form action="http://127.0.0.1/x">`;
  expect(fetchedFromElsewhere(page)).toEqual(['//cdn.example/a.png', 'https://cdn.example/b.js', 'http://127.0.0.1/x']);
});

// How long the program takes for each page of the demonstration. The limit is far above what a page takes, so that a slow machine does not
// fail the test and a page that plans or scores a hundred times over does.

import { expect, test } from 'vitest';
import { prepareDemo } from '../../seed/demo.ts';
import { openMemory } from '../../server/db/open.ts';
import { startApp, testMoment } from '../support/app.ts';
import { crawl, patternOf } from '../support/crawl.ts';

const LIMIT_MILLISECONDS = 500;

test('Every page of the demonstration is answered in well under half a second', async () => {
  const db = openMemory();
  await prepareDemo(db, () => testMoment);
  const app = await startApp({ db });
  const times: { address: string; milliseconds: number }[] = [];
  for (const { address } of await crawl(app, patternOf)) {
    const taken: number[] = [];
    for (let time = 0; time < 3; time += 1) {
      const start = performance.now();
      const answer = await app.app.inject({ method: 'GET', url: address });
      taken.push(performance.now() - start);
      expect(answer.statusCode, address).toBe(200);
    }
    times.push({ address, milliseconds: taken.sort((a, b) => a - b)[1]! });
  }
  times.sort((a, b) => b.milliseconds - a.milliseconds);
  const lines = times.slice(0, 12).map((one) => `${one.milliseconds.toFixed(1).padStart(7)} ms  ${one.address}`);
  const middle = times[Math.floor(times.length / 2)]!.milliseconds.toFixed(1);
  console.info(`${times.length} pages, half of them under ${middle} ms; the slowest:\n${lines.join('\n')}`);
  expect(times.length).toBeGreaterThan(80);
  expect(times.filter((one) => one.milliseconds > LIMIT_MILLISECONDS)).toEqual([]);
}, 90_000);

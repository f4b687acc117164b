// A closed month in a file that comes in, spoilt in one place at a time: it is refused, or the pages of months show it all the same.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { listClosedMonths } from '../../server/db/months.ts';
import { spoiltColumn } from '../../server/ledger-json.ts';
import { paths } from '../../server/paths.ts';
import { closeApp, openApp, type TestApp, testMoment } from '../support/app.ts';
import { quietMonth } from '../support/make.ts';

type Place = { holder: Record<string, unknown>; name: string };

let app: TestApp;
beforeAll(async () => {
  app = await openApp();
  fillDemo(app.db, () => testMoment);
});
afterAll(() => closeApp(app));

/** Every place of a value within another, and of its parts. */
function placesIn(value: unknown): Place[] {
  if (typeof value !== 'object' || value === null) return [];
  const holder = value as Place['holder'];
  return Object.keys(holder).flatMap((name) => [{ holder, name }, ...placesIn(holder[name])]);
}

const spoilt: readonly unknown[] = [
  undefined,
  null,
  'words',
  -1,
  0.5,
  1e300,
  '2026-02-30',
  true,
  [],
  {},
  [null],
  [[1]],
  { a: {} },
];

test('A closed month that is spoilt anywhere is refused, or its pages are answered without a number that is none', async () => {
  const [kept] = listClosedMonths(app.db);
  const whole = {
    ...kept!.record,
    earned: {
      ...{ budget: 100, planned: 100, earned: 50, spent: 60, costVariance: -10, scheduleVariance: -50 },
      ...{ costIndex: 0.8, scheduleIndex: 0.5, atCompletion: 120 },
    },
    counted: { cash: 100, on: kept!.record.judgedOn, expected: 90 },
    returned: [{ name: 'Lead', on: kept!.record.judgedOn, refund: 5, paid: 10, why: 'failed' }],
    renewed: [{ name: 'Tube', on: kept!.record.judgedOn, paid: 10 }],
    renewalsDue: [{ name: 'Tube', dueOn: kept!.record.judgedOn, price: null }],
    readings: [{ enclosure: 'Shelf', kind: 'water', typed: '20', takenOn: kept!.record.judgedOn }],
    scores: kept!.record.scores.slice(0, 1),
    events: [{ on: kept!.record.judgedOn, what: 'renewed', name: 'Tube', amount: 10 }],
  };
  const isWhole = (record: unknown) => spoiltColumn('closed_months', { record }) === null;
  const put = app.db.$client.prepare('UPDATE closed_months SET record = ? WHERE month = ?');
  expect(isWhole(whole)).toBe(true);
  expect(isWhole(quietMonth('2026-01', '2026-01-31'))).toBe(true);
  let [refused, shown] = [0, 0];
  for (let place = 0; place < placesIn(whole).length; place += 1) {
    for (const value of spoilt) {
      const copy = structuredClone(whole) as Record<string, unknown>;
      const { holder, name } = placesIn(copy)[place]!;
      if (value === undefined) delete holder[name];
      else holder[name] = value;
      if (!isWhole(copy)) {
        refused += 1;
        continue;
      }
      put.run(JSON.stringify(copy), kept!.month);
      for (const address of [paths.months.list, paths.months.show(kept!.month)]) {
        const page = await app.get(address);
        const told = `${address} with ${name} = ${JSON.stringify(value)}`;
        expect(page.status, told).toBe(200);
        expect(page.body, told).not.toMatch(/NaN|Infinity|undefined|\[object/);
      }
      shown += 1;
    }
  }
  expect(refused).toBeGreaterThan(500);
  expect(shown).toBeGreaterThan(50);
}, 240_000);

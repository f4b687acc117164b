// The weekend with meters as a keeper goes through it: tick meters, read the list, enter, and see what dropped out of the plan.

import { describe, expect, test, vi } from 'vitest';
import { loadCollection } from '../../../server/db/collection.ts';
import { addInstrument } from '../../../server/db/instruments.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { startApp, type TestApp, textOf, textsOf } from '../../support/app.ts';
import { keepFitting, keepGecko, keepMoney, keepReading } from '../../support/ledger.ts';
import { library, makeFitting, makeReading, makeUpgrade } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const page = paths.measuring.weekend;
const probe = { 'meter-thermometer-probe': 'yes' };
const value = 'value-1-warm-hide-floor';

// A gecko over a regulated mat whose warm hide nobody measured, and a stronger mat that is wanted in case it is too weak.
async function geckoOverMat(): Promise<TestApp> {
  const app = await startApp();
  const { db } = app;
  keepGecko(db);
  keepMoney(db, 3000, 6000);
  const regulates = keepFitting(db, makeFitting('heat-mat', { id: '1', outOfReach: true, watts: 14 }));
  keepFitting(db, makeFitting('thermostat', { id: '2', regulates }));
  for (const [kind, celsius] of [
    ['cool-end-air', 25],
    ['night-air', 22],
  ] as const) {
    keepReading(db, makeReading(kind, celsius, { takenOn: today }));
  }
  const { id: _own, ...stronger } = makeUpgrade(
    '0',
    [{ change: 'predict', enclosureId: '1', reading: 'warm-hide-floor', value: 31 }],
    { name: 'Stronger mat', priceLow: money(3000), priceHigh: money(3000) },
  );
  addUpgrade(db, stronger);
  return app;
}

function warmHides({ db }: TestApp) {
  return loadCollection(db).readings.filter((one) => one.kind === 'warm-hide-floor');
}

test('without a meter there is no list, and an instrument at hand is ticked at first', async () => {
  const app = await geckoOverMat();
  expect(textOf(await app.get(page))).toContain('Tick at least one meter to see a list.');
  addInstrument(app.db, {
    name: 'Borrowed probe',
    measures: [{ kind: 'warm-hide-floor', accuracy: { by: 'amount', value: 0.5, typed: '0.5' } }],
    standing: 'borrowed',
    borrowedFrom: today,
    borrowedUntil: today,
    notes: '',
  });
  const answer = await app.get(page);
  expect(answer.document.querySelector('input[name="meter-thermometer-probe"]')?.hasAttribute('checked')).toBe(true);
  expect(textOf(answer)).toContain('Read with: Borrowed probe (±0.5 °C).');
});

test('before a plan was studied the list goes by what narrows the scores, and says so', async () => {
  const { get } = await geckoOverMat();
  const answer = await get(`${page}?meter-thermometer-probe=yes`);
  expect(textOf(answer)).toContain('ranked by how much they narrow the scores');
  expect(answer.document.querySelector(`input[name="${value}"]`)).not.toBeNull();
});

describe('entering a list', () => {
  test('saves every reading with its instrument at once, once, and plans again', async () => {
    const app = await geckoOverMat();
    await planNow(app.db, library, today, 300);
    const first = latestPlan(app.db)!;
    expect('buys' in first.answer && first.answer.buys.map((one) => one.purchase)).toEqual(['1']);
    const sent = { ...probe, once: 'sent', takenOn: today, [value]: '31' };
    const answer = await app.post(page, sent);
    expect(answer.status).toBe(303);
    expect(warmHides(app)).toMatchObject([{ value: 31, evidence: 'measured', takenOn: today }]);
    const again = await app.post(page, sent);
    expect([again.status, warmHides(app).length]).toEqual([303, 1]);
    await vi.waitFor(() => expect(latestPlan(app.db)!.id).not.toBe(first.id), { timeout: 30_000, interval: 100 });
    const after = textOf(await app.get(String(answer.headers.location)));
    expect(after).toContain('Dropped out of the plan: “Stronger mat”.');
    expect(after).toContain('It is known more closely now.');
  });

  test('asks about a value that is hardly ever found, and takes it when it is said to be right', async () => {
    const app = await geckoOverMat();
    const bad = await app.post(page, { ...probe, takenOn: today, [value]: '80' });
    expect(bad.status).toBe(422);
    expect(textsOf(bad, '.error-summary a')[0]).toContain('Look again: 80');
    expect(bad.document.querySelector(`input[name="${value}"]`)?.getAttribute('value')).toBe('80');
    const sure = { ...probe, takenOn: today, [value]: '80', 'sure-1-warm-hide-floor': 'yes' };
    expect((await app.post(page, sure)).status).toBe(303);
  });

  test.each([
    ['nothing typed', {}, 'Fill in at least one value'],
    ['a day to come', { takenOn: '2026-01-16', [value]: '31' }, 'the day it was taken'],
    ['a word', { [value]: 'warm' }, ''],
  ])('%s is a mistake that loses nothing', async (_what, fields, message) => {
    const app = await geckoOverMat();
    const answer = await app.post(page, { ...probe, takenOn: today, ...fields });
    expect(answer.status).toBe(422);
    expect(textsOf(answer, '.error-summary a').join(' ')).toContain(message);
    expect(warmHides(app)).toEqual([]);
    for (const [name, typed] of Object.entries(fields)) {
      expect(answer.document.querySelector(`input[name="${name}"]`)?.getAttribute('value')).toBe(typed);
    }
  });
});

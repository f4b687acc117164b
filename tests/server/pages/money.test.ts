// The money pages as a browser sees them: what is shown for a ledger, and every form with good, bad and stale answers.

import { expect, test } from 'vitest';
import { listEvents } from '../../../server/db/events.ts';
import { changeLedger, firstLedger, readLedger } from '../../../server/db/ledger.ts';
import { addOneOffSum, listOneOffSums, removeOneOffSum } from '../../../server/db/money.ts';
import { offeredLocales } from '../../../server/pages/settings.ts';
import { paths } from '../../../server/paths.ts';
import { addMonths, plainDate, plainMonth } from '../../../src/calendar.ts';
import { currencyOf, formatMoney, money, parseMoney } from '../../../src/money.ts';
import {
  findForm,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  tableRows,
  textOf,
  textsOf,
} from '../../support/app.ts';
import { keepEnclosure, keepFitting, keepGecko, wantHide } from '../../support/ledger.ts';
import { makeEnclosure, makeFitting } from '../../support/make.ts';

const filled = {
  monthlySum: '70',
  floorKept: '25',
  payerOfFood: 'sum',
  monthlyFood: '12,50',
  payerOfVet: 'elsewhere',
  payerOfPower: 'sum',
  pricePerKwh: '0,24',
  cashCounted: '115.00',
  cashCountedOn: '2026-01-15',
  sumArrived: 'yes',
};

async function ledgerWithMoney(parts: Parameters<typeof changeLedger>[2] = {}): Promise<TestApp> {
  const app = await startApp();
  changeLedger(app.db, firstLedger.version, {
    monthlySum: money(70_00),
    cashCounted: money(115_00),
    cashCountedOn: plainDate('2026-01-15'),
    sumArrived: true,
    ...parts,
  });
  return app;
}

test('A new ledger is asked for its money', async () => {
  const { get } = await startApp();
  const page = await get(paths.money);
  expect(page.status).toBe(200);
  expect(textsOf(page, '.empty-state h2')).toEqual(['Nothing is known of your money yet']);
  expect(page.document.querySelector('.empty-state a')?.getAttribute('href')).toBe(paths.moneyChange);
});

test('The money as typed is kept, and counting the cash is written down', async () => {
  const { get, submit, db } = await startApp();
  const saved = await submit(await get(paths.moneyChange), filled);
  expect([saved.status, saved.location]).toEqual([303, `${paths.money}?done=saved`]);
  expect(readLedger(db)).toMatchObject({
    monthlySum: 70_00,
    floorKept: 25_00,
    coversFood: true,
    monthlyFood: 12_50,
    coversVet: false,
    monthlyVet: null,
    coversPower: true,
    pricePerKwh: 0.24,
    cashCounted: 115_00,
    cashCountedOn: '2026-01-15',
    sumArrived: true,
  });
  expect(listEvents(db)).toMatchObject([{ what: 'cash-counted', happenedOn: '2026-01-15', amount: 115_00 }]);
  await submit(await get(paths.moneyChange), { monthlySum: '80' });
  expect(readLedger(db).monthlySum).toBe(80_00);
  expect(listEvents(db)).toHaveLength(1);
});

test('The form of a count says what is taken off it and what must be removed by hand', async () => {
  const { get } = await startApp();
  const form = textOf(await get(paths.moneyChange));
  expect(form).toContain('What you buy or renew on the day of the count or later is taken off.');
  expect(form).toContain('Remove the one-off sums of that month that are in it already');
});

test('The month table counts from what is still to come this month', async () => {
  const { get, submit } = await startApp();
  await submit(await get(paths.moneyChange), filled);
  const page = await get(paths.money);
  const rows = tableRows(page, 'Owed and in hand');
  expect(rows).toHaveLength(12);
  // 17 of 31 days of January are left: 12.50 x 17 / 31 = 6.86, rounded up; then 70.00 - 12.50 a month.
  expect(rows.slice(0, 3)).toEqual([
    ['Jan 26', '€0.00', '€6.86', '€108.14'],
    ['Feb 26', '€70.00', '€12.50', '€165.64'],
    ['Mar 26', '€70.00', '€12.50', '€223.14'],
  ]);
  expect(textsOf(page, '.decision h2')).toEqual(['What is owed can be paid']);
});

test.each<[string, Record<string, string>, string]>([
  ['a negative sum', { monthlySum: '-70' }, 'monthlySum'],
  ['a huge sum', { monthlySum: '99999999999999999999' }, 'monthlySum'],
  ['words for a sum', { monthlySum: 'about seventy' }, 'monthlySum'],
  ['thirds of a cent', { monthlySum: '70.0001' }, 'monthlySum'],
  ['a negative floor', { floorKept: '-1' }, 'floorKept'],
  ['an answer that was not offered', { payerOfFood: 'perhaps' }, 'payerOfFood'],
  ['no answer', { payerOfPower: '' }, 'payerOfPower'],
  ['a price of power in words', { pricePerKwh: 'dear' }, 'pricePerKwh'],
  ['a price of power beyond belief', { pricePerKwh: '101' }, 'pricePerKwh'],
  ['a negative price of power', { pricePerKwh: '-0.2' }, 'pricePerKwh'],
  ['a day that does not exist', { cashCountedOn: '2026-02-31' }, 'cashCountedOn'],
  ['a count without its day', { cashCountedOn: '' }, 'cashCountedOn'],
  ['a day without its count', { cashCounted: '' }, 'cashCounted'],
  ['a count of tomorrow', { cashCountedOn: '2026-01-16' }, 'cashCountedOn'],
])('The money form refuses %s at its field and keeps what was typed', async (_name, wrong, field) => {
  const { get, submit, db } = await startApp();
  const typed = { ...filled, ...wrong };
  const page = await submit(await get(paths.moneyChange), typed);
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  for (const [name, value] of Object.entries(typed)) {
    if (name.startsWith('payer') || name === 'sumArrived') continue;
    const control = page.document.querySelector(`[name="${name}"]`);
    expect(control?.getAttribute('value'), name).toBe(value);
  }
  expect(readLedger(db)).toEqual(firstLedger);
  const again = await submit(page, filled);
  expect(again.status).toBe(303);
});

test('A money form opened before a change elsewhere shows both versions and loses nothing', async () => {
  const { get, submit, db } = await ledgerWithMoney();
  const stale = await get(paths.moneyChange);
  await submit(await get(paths.moneyChange), { monthlySum: '90' });
  const page = await submit(stale, { monthlySum: '55' });
  expect(page.status).toBe(409);
  expect(tableRows(page, 'Both versions')[0]).toEqual(['Sum a month', '90.00', '55']);
  expect(textOf(page)).toMatch(/ \d+ more answers are the same in both versions\. /);
  expect(readLedger(db).monthlySum).toBe(90_00);
  expect((await submit(page)).status).toBe(303);
  expect(readLedger(db).monthlySum).toBe(55_00);
});

test('A shortage names its month, its amount and what could be put off', async () => {
  const { get, db } = await ledgerWithMoney({ monthlySum: money(10_00), floorKept: money(20_00) });
  addOneOffSum(db, { month: plainMonth('2026-03'), amount: money(-150_00), note: 'Vet check', canWait: false });
  addOneOffSum(db, { month: plainMonth('2026-03'), amount: money(-80_00), note: 'New shelf', canWait: true });
  const page = await get(paths.money);
  // 115 + 10 + 10 - 150 - 80 = -95 at the end of March: 115 below the floor of 20.
  expect(textsOf(page, '.decision h2')).toEqual(['More is owed than there is']);
  const words = textOf(page.document.querySelector('.decision'));
  expect(words).toContain('In March 2026 you are €115.00 below the floor you keep');
  expect(words).toContain('“New shelf” (€80.00, March 2026)');
  expect(words).toContain('That alone is not enough.');
});

test('Where only the floor is broken into, it is not said that more is owed than there is', async () => {
  // 115 counted in January and 10 a month: 125 at the end of February, less 40 in February, is above 0 and below a floor of 100.
  const { get, db } = await ledgerWithMoney({ monthlySum: money(10_00), floorKept: money(100_00) });
  addOneOffSum(db, { month: plainMonth('2026-02'), amount: money(-40_00), note: 'Shelf', canWait: false });
  const page = await get(paths.money);
  expect(textsOf(page, '.decision h2')).toEqual(['What is owed can be paid, but not above the floor you keep']);
  expect(textOf(page.document.querySelector('.decision'))).toContain('The cash itself does not run out');
});

test('What is not known is named and never counted as nothing', async () => {
  const { get, db } = await ledgerWithMoney({ coversFood: true, coversPower: true });
  keepEnclosure(db, makeEnclosure({ id: '1' }));
  const tube = { watts: 24, hoursPerDay: 12, lifeMonths: 12, renewalPrice: money(48_00) };
  keepFitting(db, makeFitting('uv-tube', { id: '1', name: 'Tube, 24 W', fittedOn: plainDate('2024-10-01'), ...tube }));
  const page = await get(paths.money);
  expect(textsOf(page, '.reason-list li')).toEqual([
    'The sum must cover food, but what food costs a month was never entered; nothing is deducted for it.',
    'The price of a kilowatt-hour was never entered, so the cost of power is unknown and nothing is deducted for it.',
  ]);
  expect(textOf(page)).toContain('unknown a month, paid out of the sum');
  expect(tableRows(page, 'Renewals of what is fitted')).toEqual([
    ['Tube, 24 W', '1 October 2025', 'overdue: renewing it is a purchase to decide', '€48.00', '€4.00', '€48.00'],
  ]);
});

test('Months that passed since the count are shown as assumed', async () => {
  const { get } = await ledgerWithMoney({ cashCountedOn: plainDate('2025-12-20'), sumArrived: false });
  const page = await get(paths.money);
  expect(tableRows(page, 'Since the cash was counted')).toEqual([
    ['Counted on 20 December 2025', 'Dec 25', '€115.00'],
    ['The monthly sum, assumed', 'Dec 25', '€70.00'],
  ]);
});

const sum = { note: 'Yearly vet check', direction: 'out', amount: '45', month: '2026-03' };

test('A one-off sum is entered, changed, removed and put back', async () => {
  const { get, submit, post, db } = await ledgerWithMoney();
  expect((await submit(await get(paths.oneOffSums.new), { ...sum, canWait: 'yes' })).status).toBe(303);
  expect(listOneOffSums(db)).toMatchObject([
    { note: 'Yearly vet check', amount: -45_00, month: '2026-03', canWait: true },
  ]);
  await submit(await get(paths.oneOffSums.edit(1)), { direction: 'in', amount: '60,00', canWait: null });
  expect(tableRows(await get(paths.money), 'Sums that come or go once')).toEqual([
    ['Yearly vet check', 'March 2026', '€60.00', '–', 'Change Remove'],
  ]);
  await submit(await get(paths.oneOffSums.remove(1)));
  expect(listOneOffSums(db)).toEqual([]);
  await submit(await get(paths.money), {}, paths.oneOffSums.putBack(1));
  expect(listOneOffSums(db)).toHaveLength(1);
  expect((await post(paths.oneOffSums.putBack(1), { version: '1' })).status).toBe(409);
});

test.each<[string, Record<string, string>, string]>([
  ['a month that does not exist', { month: '2026-13' }, 'month'],
  ['a month in words', { month: 'March' }, 'month'],
  ['no month', { month: '' }, 'month'],
  ['no purpose', { note: '  ' }, 'note'],
  ['a purpose beyond reading', { note: 'x'.repeat(161) }, 'note'],
  ['a negative amount', { amount: '-45' }, 'amount'],
  ['a huge amount', { amount: '1e99' }, 'amount'],
  ['nothing', { amount: '0' }, 'amount'],
  ['a direction that was not offered', { direction: 'sideways' }, 'direction'],
])('The form of a one-off sum refuses %s at its field and keeps what was typed', async (_name, wrong, field) => {
  const { get, submit, db } = await ledgerWithMoney();
  const page = await submit(await get(paths.oneOffSums.new), { ...sum, ...wrong });
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  const typed = { ...sum, ...wrong };
  for (const name of ['note', 'amount', 'month'] as const) {
    expect(page.document.querySelector(`[name="${name}"]`)?.getAttribute('value')).toBe(typed[name]);
  }
  expect(listOneOffSums(db)).toEqual([]);
});

test('A one-off sum changed elsewhere is shown beside what was typed, and an unknown one is not found', async () => {
  const { get, submit, db } = await ledgerWithMoney();
  addOneOffSum(db, { month: plainMonth('2026-03'), amount: money(-45_00), note: 'Vet', canWait: false });
  const stale = await get(paths.oneOffSums.edit(1));
  await submit(await get(paths.oneOffSums.edit(1)), { amount: '50' });
  const page = await submit(stale, { amount: '60' });
  expect(page.status).toBe(409);
  expect(listOneOffSums(db)[0]!.amount).toBe(-50_00);
  for (const path of [paths.oneOffSums.edit(99), paths.oneOffSums.remove(99)])
    expect((await get(path)).status).toBe(404);
});

test('Sums as large as can be typed still give a page', async () => {
  const { get, submit, db } = await startApp();
  const most = '9,999,999.99';
  await submit(await get(paths.moneyChange), { ...filled, monthlySum: most, floorKept: most, cashCounted: most });
  for (let index = 0; index < 30; index++) {
    addOneOffSum(db, {
      month: addMonths(plainMonth('2026-01'), index),
      amount: money(-999_999_999),
      note: 'x',
      canWait: true,
    });
  }
  expect((await get(paths.money)).status).toBe(200);
});

const settings = {
  currency: 'gbp',
  locale: 'en-US',
  timeZone: 'Europe/Lisbon',
  measures: 'imperial',
  degrees: 'F',
  clock: '12',
};

test('Settings as chosen are kept and used', async () => {
  const { get, submit, db } = await ledgerWithMoney();
  const page = await submit(await get(paths.settings), { ...settings, 'rule-SE': 'yes', 'rule-AT': null });
  expect([page.status, page.location]).toEqual([303, `${paths.money}?done=saved`]);
  expect(readLedger(db)).toMatchObject({
    currency: { code: 'GBP', decimals: 2 },
    locale: 'en-US',
    timeZone: 'Europe/Lisbon',
    unitSystem: 'imperial',
    ruleSets: ['DE-1997', 'DE-pages', 'CH', 'SE'],
    monthlySum: 70_00,
  });
});

test.each<[string, Record<string, string>, string]>([
  ['a currency there is not', { currency: 'QQQ' }, 'currency'],
  ['a currency by its sign', { currency: '€' }, 'currency'],
  ['a currency with other decimals while amounts are kept', { currency: 'JPY' }, 'currency'],
  ['a way of writing that was not offered', { locale: 'tlh' }, 'locale'],
  ['a time zone there is not', { timeZone: 'Mars/Base' }, 'timeZone'],
  ['units that were not offered', { measures: 'cubits' }, 'measures'],
])('The settings refuse %s at its field', async (_name, wrong, field) => {
  const { get, submit, db } = await ledgerWithMoney();
  const before = readLedger(db);
  const page = await submit(await get(paths.settings), { ...settings, ...wrong });
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  expect(page.document.querySelector('[name="currency"]')?.getAttribute('value')).toBe(
    { ...settings, ...wrong }.currency,
  );
  expect(readLedger(db)).toEqual(before);
});

test.each<[string, (db: TestApp['db']) => void]>([
  ['the price of an upgrade', (db) => wantHide(db, 'Cave', 'warm', 12_00)],
  [
    'a one-off sum that was removed',
    (db) => {
      addOneOffSum(db, { month: plainMonth('2026-03'), amount: money(-9_00), note: 'x', canWait: false });
      removeOneOffSum(db, 1, 1, plainDate('2026-01-15'));
    },
  ],
  [
    'the price of a renewal',
    (db) => {
      keepFitting(db, makeFitting('uv-tube', { id: '1', lifeMonths: 12, renewalPrice: money(29_90) }));
    },
  ],
])('A currency of other decimals is refused while %s is kept', async (_name, keep) => {
  const { get, submit, db } = await startApp();
  keepGecko(db);
  const change = { ...settings, currency: 'JPY' };
  const form = await get(paths.settings);
  keep(db);
  const page = await submit(form, change);
  expect(mistakesOf(page).map((one) => one.field)).toEqual(['currency']);
  expect(readLedger(db).currency.code).toBe('EUR');
});

test('A currency of other decimals is taken while no amount is kept', async () => {
  const { get, submit, db } = await startApp();
  keepGecko(db);
  await submit(await get(paths.settings), { ...settings, currency: 'JPY' });
  expect(readLedger(db).currency).toEqual({ code: 'JPY', decimals: 0 });
});

test('A form without its version is refused with a plain page', async () => {
  const { post } = await startApp();
  for (const path of [paths.settings, paths.moneyChange]) expect((await post(path, settings)).status).toBe(422);
});

// Held against Intl and the CLDR data of this Node, which bring narrow spaces, lakhs and signs of their own.
test('An amount as written in any offered locale and currency reads back as the same amount', () => {
  const amounts = [0, 5, -7, 1000, 100_000, 123_456, -123_456, 12_345_678, 123_456_789].map(money);
  const wrong: string[] = [];
  let tried = 0;
  for (const code of Intl.supportedValuesOf('currency')) {
    const currency = currencyOf(code)!;
    for (const { value: locale } of offeredLocales) {
      for (const amount of amounts) {
        tried += 1;
        const written = formatMoney(amount, currency, locale);
        const read = parseMoney(written, currency, { allowNegative: true });
        if (read.status === 'bad' || read.amount !== amount) wrong.push(`${locale} ${code} ${written}`);
      }
    }
  }
  expect(tried).toBeGreaterThan(10_000);
  expect(wrong).toEqual([]);
});

test('Degrees and the clock are chosen apart from the other units', async () => {
  const { get, submit, db } = await ledgerWithMoney();
  await submit(await get(paths.settings), { ...settings, degrees: 'C' });
  expect(readLedger(db)).toMatchObject({ unitSystem: 'imperial-celsius', clockHours: 12 });
  expect(formValues(findForm(await get(paths.settings)))).toMatchObject({
    measures: 'imperial',
    degrees: 'C',
    clock: '12',
  });
  await submit(await get(paths.settings), { ...settings, measures: 'metric', degrees: 'F', clock: '24' });
  expect(readLedger(db)).toMatchObject({ unitSystem: 'metric-fahrenheit', clockHours: 24 });
});

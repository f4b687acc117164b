// Closing months as a browser does it: two months in their order, one of them corrected, and every mistake that is refused.

import { expect, test } from 'vitest';
import { fitUpgrade } from '../../../server/db/fitting-upgrades.ts';
import { changeLedger, readLedger } from '../../../server/db/ledger.ts';
import { readMoneyFacts } from '../../../server/db/money.ts';
import { findClosedMonth, firstMonthKnown, listClosedMonths, listCorrections } from '../../../server/db/months.ts';
import { inTransaction } from '../../../server/db/open.ts';
import { listPlans } from '../../../server/db/plans.ts';
import { findUpgrade, listReturns, listUpgrades } from '../../../server/db/upgrades.ts';
import { plansOfMonth } from '../../../server/month-record.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { budgetOf } from '../../../src/budget.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { CAUSES } from '../../../src/month-review.ts';
import { mistakesOf, startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { keepGecko, keepMoney, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const january = plainMonth('2026-01');
const close = paths.months.close('2026-01');

/** An app whose day can be changed. */
async function appOn(day: string): Promise<TestApp & { on: (day: string) => void }> {
  let moment = new Date(`${day}T12:00:00Z`);
  const app = await startApp({ now: () => moment });
  return {
    ...app,
    on: (next) => {
      moment = new Date(`${next}T12:00:00Z`);
    },
  };
}

/** A gecko, money and one plan of 15 January that buys the warm cave for 25.00 in January. */
async function plannedApp() {
  const app = await appOn('2026-01-15');
  keepSmallLedger(app.db);
  const outcome = await planNow(app.db, library, plainDate('2026-01-15'), 300);
  expect(outcome.status).toBe('saved');
  const cave = listUpgrades(app.db).find((one) => one.name === 'Warm cave')!;
  return { ...app, cave: cave.id };
}

test('two months are closed, the first is corrected, and both stay as they were', async () => {
  const app = await plannedApp();
  const { db, get, submit, cave } = app;
  app.on('2026-02-02');
  expect(textOf(await get(paths.home))).toContain('Look back at it while it is fresh');
  const list = await get(paths.months.list);
  expect(textOf(list)).toContain('Close January 2026');
  const page = await get(close);
  expect(textOf(page)).toContain('Warm cave: not bought, see below.');
  expect(textOf(page)).toContain('the sum of this month was in it already');
  const bought = { [`bought-${cave}`]: 'yes', [`boughtOn-${cave}`]: '2026-01-20', [`paid-${cave}`]: '27.50' };
  expect(mistakesOf(await submit(page, { ...bought, [`paid-${cave}`]: '275' }))).toMatchObject([
    { field: `paid-${cave}`, message: expect.stringContaining('Look again: €275.00 is far from the €25.00') },
  ]);
  const saved = await submit(page, {
    ...bought,
    [`shop-${cave}`]: 'corner shop',
    cash: '2.50',
    countedOn: '2026-01-31',
    sumArrived: 'yes',
    note: 'Snow kept us in.',
  });
  expect([saved.status, saved.location]).toEqual([303, `${paths.months.show('2026-01')}?done=month-closed`]);
  expect(findUpgrade(db, Number(cave))).toMatchObject({ status: 'ordered', paid: 27_50, boughtOn: '2026-01-20' });
  expect(readLedger(db)).toMatchObject({ cashCounted: 2_50, cashCountedOn: '2026-01-31' });
  const first = findClosedMonth(db, january)!;
  // The sum of January was in what was counted on the 15th.
  expect(first).toMatchObject({ closedOn: '2026-02-02', record: { judgedOn: '2026-01-31', cameIn: 0, sumPlanned: 0 } });
  expect(first.record.bought).toMatchObject([{ name: 'Warm cave', paid: 27_50, shop: 'corner shop', fittedOn: null }]);
  // Bought and lying about: nothing is earned by it, and welfare is lost to lateness alone.
  expect(first.record.earned).toMatchObject({ planned: 25_00, earned: 0, spent: 27_50, scheduleVariance: -25_00 });
  // 30.00 counted on the 15th, its sum in it, less 27.50.
  expect(first.record.counted).toEqual({ cash: 2_50, on: '2026-01-31', expected: 2_50 });
  const { welfare } = first.record;
  expect(welfare!.causes['bought-late']).toBeLessThanOrEqual(0);
  expect(CAUSES.reduce((sum, cause) => sum + welfare!.causes[cause], 0)).toBe(welfare!.actual - welfare!.planned);
  const shown = await get(paths.months.show('2026-01'));
  expect(tableRows(shown, 'Bought in this month')).toEqual([
    ['Warm cave', '20 Jan 26', '€27.50', 'corner shop', 'not fitted'],
  ]);
  expect(textOf(shown)).toContain('€2.50 was counted on 31 January 2026, as expected.');
  expect(tableRows(shown, 'Where the difference comes from')).toHaveLength(7);

  const correction = await submit(await get(paths.months.correct('2026-01')), {
    note: 'The shop charged delivery.',
    side: 'more',
    amount: '3',
  });
  expect(correction.status).toBe(303);
  const corrected = await get(paths.months.show('2026-01'));
  expect(tableRows(corrected, 'Added since it was closed')).toEqual([
    ['The shop charged delivery.', '2 February 2026', '€3.00 more spent'],
  ]);
  expect(textOf(corrected)).toContain('With its corrections, €30.50 was spent instead of €27.50.');
  expect(findClosedMonth(db, january)).toEqual(first);

  app.on('2026-02-28');
  inTransaction(db, (tx) => {
    const { version, boughtOn, paid } = findUpgrade(tx, Number(cave))!;
    const facts = { fittedOn: plainDate('2026-02-10'), boughtOn: boughtOn!, paid: paid!, saleNote: '' };
    expect(fitUpgrade(tx, Number(cave), version, { ...facts, unitSystem: 'metric' })).toBe('saved');
  });
  const second = await submit(await get(paths.months.close('2026-02')), { cash: '' });
  expect(second.status).toBe(303);
  const { record } = findClosedMonth(db, plainMonth('2026-02'))!;
  expect(record.earned).toMatchObject({ earned: 25_00, spent: 27_50 });
  expect(record.events.map((one) => [one.on, one.what, one.name])).toEqual([['2026-02-10', 'Fitted', 'Warm cave']]);
  expect(findClosedMonth(db, january)).toEqual(first);
  expect(textOf(await get(paths.home))).not.toContain('Look back at it while it is fresh');
  const months = tableRows(await get(paths.months.list), 'Closed months');
  expect(months.map((row) => row[0])).toEqual(['February 2026', 'January 2026']);
});

test('a purchase dated before its month, or after it, is refused beside its field and what was typed stays', async () => {
  const app = await plannedApp();
  app.on('2026-02-05');
  const { get, submit, cave, db } = app;
  const page = await get(close);
  const typed = { [`bought-${cave}`]: 'yes', [`paid-${cave}`]: '25', note: 'kept' };
  const send = (day: string) => submit(page, { ...typed, [`boughtOn-${cave}`]: day });
  const early = await send('2025-12-31');
  expect(early.status).toBe(422);
  expect(mistakesOf(early)).toEqual([
    {
      field: `boughtOn-${cave}`,
      message:
        'Check the day: it lies before January 2026. A purchase of an earlier month is a correction of that month.',
    },
  ]);
  expect(textOf(early.document.querySelector('textarea'))).toBe('kept');
  expect(mistakesOf(await send('2026-02-01'))[0]!.message).toContain('it lies after January 2026');
  expect(mistakesOf(await send('2026-02-06'))[0]!.message).toContain('it lies in the future');
  expect(mistakesOf(await submit(page, { [`bought-${cave}`]: 'yes' })).map((one) => one.field)).toEqual([
    `boughtOn-${cave}`,
    `paid-${cave}`,
  ]);
  expect(listClosedMonths(db)).toEqual([]);
  expect(findUpgrade(db, Number(cave))?.status).toBe('wanted');
});

test('a refund above the price is refused, one up to it is taken, and the thing is wanted again', async () => {
  const app = await plannedApp();
  const { get, submit, cave, db } = app;
  app.on('2026-01-20');
  await submit(await get(paths.upgrades.bought(cave)), { boughtOn: '2026-01-18', paid: '24' });
  app.on('2026-01-31');
  const page = await get(close);
  const back = { [`fate-${cave}`]: 'failed', [`returnedOn-${cave}`]: '2026-01-25' };
  const more = await submit(page, { ...back, [`refund-${cave}`]: '24.01' });
  expect([more.status, mistakesOf(more)]).toEqual([
    422,
    [
      {
        field: `refund-${cave}`,
        message: 'Check the refund: it is more than was paid. What came on top is a one-off sum on the money page.',
      },
    ],
  ]);
  const before = await submit(page, { ...back, [`refund-${cave}`]: '5', [`returnedOn-${cave}`]: '2026-01-17' });
  expect(mistakesOf(before)[0]).toMatchObject({ field: `returnedOn-${cave}` });
  expect((await submit(page, { ...back, [`refund-${cave}`]: '24' })).status).toBe(303);
  expect(listReturns(db)).toMatchObject([{ refund: 24_00, why: 'failed' }]);
  expect(findUpgrade(db, Number(cave))?.status).toBe('wanted');
  expect(findClosedMonth(db, january)!.record).toMatchObject({
    returned: [{ name: 'Warm cave', refund: 24_00 }],
    earned: { spent: 0 },
  });
});

test('a month is closed once: a form that was open says so, and the address leads to the record', async () => {
  const app = await plannedApp();
  app.on('2026-02-01');
  const { get, submit, db } = app;
  const [one, other] = [await get(close), await get(close)];
  expect((await submit(one)).status).toBe(303);
  const twice = await submit(other, { note: 'again' });
  expect(twice.status).toBe(409);
  expect(textOf(twice)).toContain('January 2026 is closed already and stays as it was closed.');
  expect(listClosedMonths(db)).toHaveLength(1);
  expect((await get(close)).location).toBe(paths.months.show('2026-01'));
});

test('a month that is not over, and one before an open one, are refused with a reason', async () => {
  const app = await appOn('2026-02-10');
  keepMoney(app.db, 20_00, 30_00, '2025-12-20');
  expect(textOf(await app.get(paths.months.close('2026-02')))).toContain(
    'February 2026 is not over: it can be closed from 28 February 2026 on.',
  );
  expect(textOf(await app.get(close))).toContain('Close December 2025 first');
  expect((await app.get(paths.months.close('2025-11'))).status).toBe(409);
  expect((await app.get('/months/2026-13')).status).toBe(404);
  expect((await app.get(paths.months.correct('2026-01'))).status).toBe(404);
});

test('a month without income says so instead of failing', async () => {
  const app = await appOn('2026-02-01');
  keepGecko(app.db);
  keepMoney(app.db, 0, 30_00);
  changeLedger(app.db, readLedger(app.db).version, { monthlySum: null });
  const page = await app.get(close);
  const missing = await app.submit(page);
  expect(mistakesOf(missing)).toEqual([
    { field: 'cameIn', message: 'Fill in what came in this month, 0 for nothing.' },
  ]);
  expect((await app.submit(page, { cameIn: '0' })).status).toBe(303);
  const shown = textOf(await app.get(paths.months.show('2026-01')));
  expect(shown).toContain('Nothing came in.');
  expect(shown).toContain('No plan of this month is kept');
});

test('missed months are closed in one go, with one count for the last', async () => {
  const app = await appOn('2026-03-05');
  const { db, get, submit } = app;
  keepGecko(db);
  keepMoney(db, 20_00, 30_00, '2025-12-20');
  wantHide(db, 'Warm cave', 'warm', 25_00);
  expect(textOf(await get(paths.home))).toContain('3 months wait to be closed');
  const page = await get(paths.months.catchUp);
  const wrong = await submit(page, { 'cameIn-2026-01': '', cash: '90' });
  expect(mistakesOf(wrong)).toEqual([
    { field: 'cameIn-2026-01', message: 'Fill in what came in for January 2026, 0 for nothing.' },
    { field: 'countedOn', message: 'Give the day on which the cash was counted.' },
  ]);
  const done = await submit(page, { 'cameIn-2026-01': '0', cash: '60', countedOn: '2026-03-05', sumArrived: 'no' });
  expect(done.status).toBe(303);
  const closed = listClosedMonths(db);
  expect(closed.map((one) => [one.month, one.record.cameIn, one.record.counted?.cash ?? null])).toEqual([
    ['2025-12', 0, null],
    ['2026-01', 0, null],
    ['2026-02', 20_00, 60_00],
  ]);
  // 30.00 and the sums of January and February: the ledger knows of no lost one until the count says so.
  expect(closed[2]!.record.counted?.expected).toBe(70_00);
  expect(textOf(await get(paths.months.show('2026-02')))).toContain('€10.00 less than the €70.00 expected');
  expect((await get(paths.months.catchUp)).location).toBe(paths.months.list);
});

test('a count asks whether the sum of the month is in it, and one that is off by about that sum says so first', async () => {
  const app = await plannedApp();
  const { get, submit } = app;
  app.on('2026-02-02');
  const page = await get(close);
  const count = { cash: '49', countedOn: '2026-02-02' };
  const unsaid = await submit(page, count);
  expect(mistakesOf(unsaid)).toMatchObject([{ field: 'sumArrived' }]);
  // 30.00 counted on 15 January, 20.00 of February not in it yet though it is said to be: 49.00 and not 50.00 were there.
  expect((await submit(unsaid, { ...count, cash: '29', sumArrived: 'yes' })).status).toBe(303);
  // What is changed later changes nothing of what is told of a closed month.
  changeLedger(app.db, readLedger(app.db).version, { monthlySum: money(90_00) });
  expect(textOf(await get(paths.months.show('2026-01')))).toContain(
    '€21.00 less than the €50.00 expected. That is about the sum of a month: it may have come later than was said here, and then it is €1.00 less.',
  );
});

test('a month whose first plans are of the day of its first purchase is held against the one followed', async () => {
  const app = await plannedApp();
  const { get, submit, db, cave } = app;
  expect((await planNow(db, library, plainDate('2026-01-15'), 60)).status).toBe('saved');
  const followed = listPlans(db)[0]!.id;
  await submit(await get(paths.upgrades.bought(cave)), { boughtOn: '2026-01-15', paid: '25' });
  expect((await planNow(db, library, plainDate('2026-01-15'), 60)).status).toBe('saved');
  app.on('2026-02-02');
  expect(plansOfMonth(db, january).usual?.id).toBe(followed);
});

test('a month is held against the plan in force on its first day, or against another one of the month by choice', async () => {
  const app = await plannedApp();
  const { db, get, submit, cave } = app;
  app.on('2026-02-10');
  await submit(await get(close));
  const usual = listPlans(db)[0]!.id;
  expect((await planNow(db, library, plainDate('2026-02-10'), 60)).status).toBe('saved');
  const later = listPlans(db)[0]!.id;
  app.on('2026-02-28');
  const page = await get(paths.months.close('2026-02'));
  expect(textOf(page)).toContain('Held against the plan of 15 January 2026, which was in force on its first day.');
  const other = await get(paths.months.closeAgainst('2026-02', later));
  expect(textOf(other)).toContain('Held against the plan of 10 February 2026, as you chose.');
  expect((await get(paths.months.closeAgainst('2026-02', '99'))).status).toBe(409);
  expect((await submit(other, { [`bought-${cave}`]: 'no' })).status).toBe(303);
  expect(findClosedMonth(db, plainMonth('2026-02'))!.record.planId).toBe(later);
  expect(textOf(await get(paths.months.show('2026-02')))).toContain('Held against the plan of 10 February 2026');
  expect(findClosedMonth(db, january)!.record.planId).toBe(usual);
});

test('catching up takes purchases of the missed months too, each kept in its own month', async () => {
  const app = await plannedApp();
  const { db, get, submit, cave } = app;
  app.on('2026-03-03');
  const page = await get(paths.months.catchUp);
  expect(textOf(page)).toContain('February 2026 is held against the plan of 15 January 2026');
  const typed = { [`bought-${cave}`]: 'yes', [`paid-${cave}`]: '26' };
  const late = await submit(page, { ...typed, [`boughtOn-${cave}`]: '2026-03-02' });
  expect(mistakesOf(late)[0]!.message).toContain('it lies after February 2026');
  expect((await submit(late, { [`boughtOn-${cave}`]: '2026-02-11' })).status).toBe(303);
  expect(listClosedMonths(db).map((one) => one.record.bought.map(({ paid }) => paid))).toEqual([[], [26_00]]);
});

test.each([
  ['Pacific/Auckland', 303],
  ['UTC', 409],
  ['Pacific/Honolulu', 409],
])('the ledger’s own calendar decides whether a month is over: %s', async (timeZone, status) => {
  // Already 31 January in Auckland, still the 30th in UTC and Honolulu.
  const app = await startApp({ now: () => new Date('2026-01-30T11:30:00Z') });
  keepMoney(app.db, 20_00, 30_00);
  changeLedger(app.db, readLedger(app.db).version, { timeZone });
  const answer = await app.post(close, { cameIn: '20', sumArrived: 'yes' });
  expect(answer.status).toBe(status);
  expect(findClosedMonth(app.db, january)?.closedOn ?? null).toBe(status === 303 ? '2026-01-31' : null);
});

test('what is entered or put right later leaves a closed month as it was, and each difference is a correction of it', async () => {
  const app = await plannedApp();
  const { get, submit, cave, db } = app;
  app.on('2026-02-01');
  await submit(await get(close));
  const before = findClosedMonth(db, january);
  await submit(await get(paths.upgrades.bought(cave)), { boughtOn: '2026-01-20', paid: '25' });
  expect(findUpgrade(db, Number(cave))).toMatchObject({ boughtOn: '2026-01-20', paid: money(25_00) });
  expect(findClosedMonth(db, january)).toEqual(before);
  const corrections = (month: string) => listCorrections(db, plainMonth(month)).map((one) => one.amount);
  const cash = () => budgetOf(readMoneyFacts(db, plainDate('2026-02-01')), plainMonth('2026-02'), 1).openingCash;
  expect(corrections('2026-01')).toEqual([25_00]);
  const held = cash();
  const { correctPurchase, fitted, notBought } = paths.upgrades;
  // The price before it is fitted, the price after, then the day, which moves it into a month that is open.
  await submit(await get(correctPurchase(cave)), { paid: '2,50', sure: 'yes', why: 'a zero too many' });
  expect([corrections('2026-01'), cash() - held]).toEqual([[25_00, -22_50], 22_50]);
  expect(textOf(await get(paths.months.show('2026-01')))).toContain(
    'What was paid for “Warm cave”, put right or entered later1 February 2026€22.50 less spent',
  );
  expect(textOf(await get(paths.upgrades.show(cave)))).toContain('Price or day put right: €2.50; a zero too many');
  await submit(await get(notBought(cave)), { why: 'the seller had none' });
  expect([corrections('2026-01'), cash() - held]).toEqual([[25_00, -22_50, -2_50], 25_00]);
  await submit(await get(paths.upgrades.bought(cave)), { boughtOn: '2026-01-20', paid: '25' });
  await submit(await get(fitted(cave)), { fittedOn: '2026-02-01' });
  const unclear = await submit(await get(correctPurchase(cave)), { paid: '1.234 €' });
  expect(mistakesOf(unclear)).toEqual([
    {
      field: 'paid',
      message: 'Write the sum paid so that it can mean one amount only: “1.234 €” may be 1234 or 1.23.',
    },
  ]);
  const wrong = await submit(await get(correctPurchase(cave)), { paid: 'x', boughtOn: '2026-02-02' });
  // What is wrong with one field hides nothing that is wrong with another.
  expect(mistakesOf(wrong).map((one) => one.field)).toEqual(['paid', 'boughtOn']);
  await submit(await get(correctPurchase(cave)), { boughtOn: '2026-02-01', paid: '24' });
  expect(corrections('2026-01').reduce((sum: number, one) => sum + (one ?? 0), 0)).toBe(0);
  expect(cash() - held).toBe(1_00);
  expect(findClosedMonth(db, january)).toEqual(before);
});

test('A day put right inside its closed month is nothing entered later, and no correction of money', async () => {
  const app = await plannedApp();
  const { get, submit, cave, db } = app;
  await submit(await get(paths.upgrades.bought(cave)), { paid: '25' });
  app.on('2026-02-01');
  await submit(await get(close));
  await submit(await get(paths.upgrades.correctPurchase(cave)), { boughtOn: '2026-01-14' });
  expect(findUpgrade(db, Number(cave))).toMatchObject({ boughtOn: '2026-01-14', paid: money(25_00) });
  expect(listCorrections(db, january)).toEqual([]);
  expect(textOf(await get(paths.months.show(january)))).not.toContain('Entered for this month since it was closed');
});

test('A day of buying typed years too early makes no months wait once it is put right', async () => {
  const app = await plannedApp();
  const { get, submit, cave, db } = app;
  const first = firstMonthKnown(db);
  await submit(await get(paths.upgrades.bought(cave)), { boughtOn: '2006-01-20', paid: '25' });
  expect(firstMonthKnown(db)).toBe('2006-01');
  await submit(await get(paths.upgrades.correctPurchase(cave)), { boughtOn: '2026-01-15' });
  expect(firstMonthKnown(db)).toBe(first);
});

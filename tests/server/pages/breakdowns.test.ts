import { expect, test } from 'vitest';
import { findReplacement } from '../../../server/db/breakdowns.ts';
import { findFitting, loadCollection } from '../../../server/db/collection.ts';
import { listEvents } from '../../../server/db/events.ts';
import { ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addUpgrade, buyUpgrade, findUpgrade, listUpgrades } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { gatherScoring, scoreCollection } from '../../../server/scores.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import type { Fitting } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import { planChanges } from '../../../src/plan-changes.ts';
import type { NeedScore } from '../../../src/score.ts';
import {
  findForm,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  testMoment,
  textOf,
  textsOf,
} from '../../support/app.ts';
import { keepFitting, keepGecko, keepMoney, keepReading, wantHide } from '../../support/ledger.ts';
import { library, makeFitting, makeReading, makeUpgrade } from '../../support/make.ts';

const { broke, worksAfterAll } = paths.enclosures.fittings;

/** A gecko with a heat mat (1) and its thermostat (2) since May 2025, and a warm floor of 31 °C read ten days ago. */
async function keepMat(
  parts: Partial<Fitting> = {},
  moneyKept: [number, number] = [2000, 6000],
  planningMilliseconds = 300,
): Promise<TestApp> {
  const app = await startApp({ planningMilliseconds });
  keepGecko(app.db);
  keepMoney(app.db, ...moneyKept);
  const put = (kind: Fitting['kind'], more: Partial<Fitting>) => {
    keepFitting(app.db, makeFitting(kind, { id: '1', fittedOn: plainDate('2025-05-01'), ...more }));
  };
  put('heat-mat', { name: 'Heat mat, 14 W', watts: 14, hoursPerDay: 24, renewalPrice: money(2500), ...parts });
  put('thermostat', { name: 'Thermostat', regulates: '1' });
  keepReading(app.db, makeReading('warm-hide-floor', 31));
  wantHide(app.db, 'Warm cave', 'warm', 3500);
  return app;
}

function heatOf({ db }: TestApp) {
  const { scored } = scoreCollection(gatherScoring(db, library, testMoment).scoring);
  const { score } = scored[0]!;
  return { score: score.score, heat: score.needs.find((one) => one.need === 'heat')! };
}

function whysOf({ reasons }: NeedScore) {
  return reasons.map((one) => one.reason);
}

async function untilPlanned({ get }: TestApp): Promise<void> {
  while ((await get(paths.roadmap.progress)).status === 200) await new Promise((resolve) => setTimeout(resolve, 50));
}

async function planned(app: TestApp) {
  await app.post(paths.roadmap.plan);
  await untilPlanned(app);
  return latestPlan(app.db)!;
}

async function breakMat(app: TestApp, changes: Record<string, string> = {}) {
  return app.submit(await app.get(broke(1, 1)), { brokeOn: '2026-01-14', ...changes });
}

test('What broke gives nothing from that day on: the score falls, and what was read with it is no longer known', async () => {
  const app = await keepMat();
  const before = heatOf(app);
  expect(before.heat.severe).toBe(false);
  expect((await breakMat(app)).location).toBe(paths.roadmap.progress);
  const after = heatOf(app);
  expect(after.score).toBeLessThan(before.score);
  expect(whysOf(after.heat)).toContainEqual(
    expect.objectContaining({ why: 'no-heat-fitted', kind: 'warm-hide-floor' }),
  );
  expect(findFitting(app.db, 1)).toMatchObject({ retiredOn: '2026-01-14', brokenOn: '2026-01-14' });
});

test('A new one is bought this month whatever else would gain more, says why, and what it pushed back is the change of plan', async () => {
  const app = await keepMat();
  const before = await planned(app);
  expect(before.answer).toMatchObject({ buys: [{ purchase: '1', month: 0 }] });
  expect((await breakMat(app, { price: '30', note: 'It was cold this morning.' })).location).toBe(
    paths.roadmap.progress,
  );
  await untilPlanned(app);
  const after = latestPlan(app.db)!;
  expect(after.id).not.toBe(before.id);
  const replacement = findReplacement(app.db, '1')!;
  expect(replacement).toMatchObject({
    name: 'A new one in place of what broke: Heat mat, 14 W',
    priceLow: 3000,
    priceHigh: 3000,
    pinnedMonth: '2026-01',
    changes: [{ change: 'renew', fittingId: '1' }],
    note: 'It was cold this morning.',
  });
  if (!('buys' in before.answer && 'buys' in after.answer)) throw new Error('no plan was found');
  // 60.00 in hand pay the 30.00 of the mat and not also the 35.00 of the cave, which 20.00 a month later can.
  const moved = [
    { purchase: '1', was: 0, is: 1 },
    { purchase: replacement.id, was: null, is: 0 },
  ];
  expect(planChanges(before.answer.buys, after.answer.buys)).toEqual(moved);
  expect(after.sinceLast?.changes).toMatchObject(moved);
  const bought = after.roadmap!.months[0]!.buys;
  expect(bought).toMatchObject([{ upgradeId: replacement.id, whyNow: { why: 'replaces-broken' } }]);
  expect(bought[0]!.effects).toMatchObject([{ need: 'heat', severe: 'ends' }]);
  expect(textOf(await app.get(paths.roadmap.show))).toContain(
    'It takes the place of “Heat mat, 14 W”, which broke, so its month is fixed.',
  );
  expect(listEvents(app.db)).toContainEqual({
    happenedOn: '2026-01-14',
    what: 'broke',
    upgradeId: replacement.id,
    amount: null,
    note: 'Heat mat, 14 W: It was cold this morning.',
  });
});

test('Once it is bought and fitted the same thing is in use again, its thermostat with it, and old readings are an estimate', async () => {
  const app = await keepMat();
  await breakMat(app);
  const { id } = findReplacement(app.db, '1')!;
  await app.submit(await app.get(paths.upgrades.fitted(id)), { fittedOn: '2026-01-15', boughtOn: '2026-01-15' });
  expect(findFitting(app.db, 1)).toMatchObject({ fittedOn: '2026-01-15', retiredOn: null, brokenOn: '2026-01-14' });
  const { heat } = heatOf(app);
  expect(heat.severe).toBe(false);
  expect(whysOf(heat)).toContainEqual(
    expect.objectContaining({ why: 'uncertain-reading', kind: 'warm-hide-floor', from: 'estimated' }),
  );
  const { needs } = scoreCollection(gatherScoring(app.db, library, testMoment).scoring).scored[0]!.score;
  const safety = needs.find((one) => one.need === 'safety')!;
  expect(whysOf(safety).map((one) => one.why)).not.toContain('heater-unregulated');
});

test('A plan under way when something breaks ends, and one that knows of it follows', async () => {
  const app = await keepMat({}, [2000, 6000], 1500);
  await app.post(paths.roadmap.plan);
  await breakMat(app);
  await untilPlanned(app);
  const { id } = findReplacement(app.db, '1')!;
  expect(latestPlan(app.db)).toMatchObject({ ledgerVersion: ledgerVersion(app.db) });
  expect(latestPlan(app.db)!.problem.purchases.map((one) => one.id)).toContain(id);
});

test('What is retired for good is broken no more, and no new one is wanted because of it', async () => {
  const app = await keepMat();
  await breakMat(app);
  const { id } = findReplacement(app.db, '1')!;
  const page = await app.get(paths.enclosures.fittings.retire(1, 1));
  expect(formValues(findForm(page)).retiredOn).toBe('2026-01-14');
  expect((await app.submit(page)).location).toBe('/enclosures/1?done=retired');
  expect(findFitting(app.db, 1)).toMatchObject({ retiredOn: '2026-01-14', brokenOn: null });
  expect(findUpgrade(app.db, Number(id))!.removedOn).toBe('2026-01-15');
  const enclosure = textOf(await app.get(paths.enclosures.show(1)));
  expect(enclosure).not.toContain('broken since');
});

test('The form offers the renewal price, then the high price of the catalogue, and else asks for it', async () => {
  const priceIn = async (parts: Partial<Fitting>) => {
    const app = await keepMat(parts);
    const page = await app.get(broke(1, 1));
    return [formValues(findForm(page)).price, textOf(page.document.getElementById('field-price-hint'))];
  };
  expect((await priceIn({}))[0]).toBe('25.00');
  // The catalogue's mat of 28 W costs at most 40.00.
  const [price, hint] = await priceIn({ renewalPrice: null, watts: 30 });
  expect(price).toBe('40.00');
  expect(hint).toContain('28 W');
  expect(await priceIn({ renewalPrice: null, kind: 'other' })).toEqual([
    '',
    'Nothing is known of its price: look it up. It is not taken as nothing.',
  ]);
});

test.each([
  ['brokeOn', '2026-01-16', 'Check the day it broke: it lies in the future.'],
  ['brokeOn', '2025-04-30', 'Check the day it broke: it lies before the day it was fitted.'],
  ['price', '', 'Fill in what it costs.'],
  ['arrivesMonth', '', 'Say in which month it arrives.'],
  ['arrivesMonth', '2025-12', 'It cannot arrive before the month in which it was bought.'],
  ['arrivesMonth', '2029-02', 'Choose a month within the next three years.'],
])(
  'A form with %s %j comes back with a sentence at the field, and nothing is written',
  async (field, typed, message) => {
    const app = await keepMat();
    const answer = await breakMat(app, { arrives: 'later', arrivesMonth: '2026-02', [field]: typed });
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    expect(formValues(findForm(answer))[field]).toBe(typed);
    expect(findFitting(app.db, 1)).toMatchObject({ brokenOn: null, retiredOn: null, version: 1 });
    expect(listUpgrades(app.db)).toHaveLength(1);
    expect(listEvents(app.db)).toEqual([]);
  },
);

test('What to see to at once depends on what broke: a heater is unplugged, missing UV-B is not urgent', async () => {
  const cautions = async (kind: Fitting['kind'], thing = 1) => {
    const app = await keepMat({ kind });
    return textsOf(await app.get(broke(1, thing)), '.caution li').join(' ');
  };
  const heater = await cautions('heat-mat');
  for (const words of ['Unplug it', 'measure the warm and the cool end now', 'Do not open or repair', 'electrician'])
    expect(heater).toContain(words);
  expect(await cautions('heat-mat', 2)).toContain('Unplug the heater that it regulates now');
  expect(await cautions('uv-tube')).toContain('Nothing is urgent about missing UV-B');
  expect(await cautions('filter')).toContain('Test the water today');
});

test('A new one that comes later is bought this month and in use when it arrives', async () => {
  const app = await keepMat();
  await breakMat(app, { arrives: 'later', arrivesMonth: '2026-03' });
  await untilPlanned(app);
  const replacement = findReplacement(app.db, '1')!;
  expect(replacement).toMatchObject({ pinnedMonth: '2026-01', leadMonths: 2 });
  const { months } = latestPlan(app.db)!.roadmap!;
  expect(months[0]!.buys).toContainEqual(expect.objectContaining({ upgradeId: replacement.id, arrives: '2026-03' }));
  expect(months.slice(0, 3).map((one) => one.scores[0]!.severe)).toEqual([1, 1, 0]);
});

test('Where the money is short the form says by how much and offers the first month in which it can be paid', async () => {
  const app = await keepMat({}, [2000, 500]);
  const short = await breakMat(app, { price: '50' });
  expect(short.status).toBe(422);
  const sentence =
    'It cannot be paid then: at the end of January 2026 €45.00 would be missing, even if nothing else is bought. ' +
    'The first month in which it can be paid is April 2026. Choose when it is bought.';
  expect(mistakesOf(short)).toEqual([{ field: 'when', message: sentence }]);
  expect(findFitting(app.db, 1)!.brokenOn).toBeNull();
  // 5.00 in hand and 20.00 at the beginning of February, March and April make 65.00.
  expect(formValues(findForm(short))).toMatchObject({ when: '2026-04', price: '50', brokeOn: '2026-01-14' });
  expect((await app.submit(short)).location).toBe(paths.roadmap.progress);
  await untilPlanned(app);
  const replacement = findReplacement(app.db, '1')!;
  expect(replacement.pinnedMonth).toBe('2026-04');
  const plan = latestPlan(app.db)!;
  expect('buys' in plan.answer && plan.answer.buys).toContainEqual({ purchase: replacement.id, month: 3 });
});

test('Where no month of the plan can pay it the break is written down all the same, without a month or with one', async () => {
  const app = await keepMat({}, [100, 0]);
  const short = await breakMat(app, { price: '500' });
  expect(mistakesOf(short)[0]!.message).toContain('Within the plan there is no month in which it can be paid.');
  expect(formValues(findForm(short)).when).toBe('open');
  await app.submit(short);
  await untilPlanned(app);
  expect(findReplacement(app.db, '1')!.pinnedMonth).toBeNull();
  expect(latestPlan(app.db)!.roadmap).not.toBeNull();
  await app.submit(await app.get(worksAfterAll(1, 1)));
  await app.submit(await breakMat(app, { price: '500' }), { when: '2026-01' });
  await untilPlanned(app);
  expect(findReplacement(app.db, '1')!.pinnedMonth).toBe('2026-01');
  expect(latestPlan(app.db)!.answer).toMatchObject({ status: 'infeasible', shortMonth: 0, shortBy: 50_000 });
  expect(textOf(await app.get(paths.roadmap.show))).toContain(
    '“A new one in place of what broke: Heat mat, 14 W”, in place of what broke, is €500.00 short as it is fixed.',
  );
});

test('It works after all as long as nothing was bought: thing, score and list are as before', async () => {
  const app = await keepMat();
  const before = { ...heatOf(app), upgrades: listUpgrades(app.db), collection: loadCollection(app.db) };
  await breakMat(app);
  expect(textOf(await app.get(paths.enclosures.show(1)))).toContain(
    'Heat mat, 14 W: Heat mat, broken since 14 January 2026. To come: A new one in place of what broke',
  );
  const { id } = findReplacement(app.db, '1')!;
  const confirm = await app.get(worksAfterAll(1, 1));
  expect(textOf(confirm)).toContain('is no longer bought because of it');
  expect((await app.submit(confirm)).location).toBe('/enclosures/1?done=works-after-all');
  expect({ ...heatOf(app), upgrades: listUpgrades(app.db), collection: loadCollection(app.db) }).toEqual(before);
  expect(findUpgrade(app.db, Number(id))!.removedOn).toBe('2026-01-15');
  expect(listEvents(app.db).map((one) => one.what)).toContain('works-after-all');
  expect((await app.get(worksAfterAll(1, 1))).status).toBe(409);
});

test('Once a new one was bought it cannot be taken back before the purchase is', async () => {
  const app = await keepMat();
  await breakMat(app);
  const { id, version } = findReplacement(app.db, '1')!;
  const bought = { boughtOn: plainDate('2026-01-15'), paid: money(2500), arrivesMonth: null };
  const confirm = await app.get(worksAfterAll(1, 1));
  buyUpgrade(app.db, Number(id), version, bought);
  expect(textOf(await app.get(paths.enclosures.show(1)))).not.toContain('It works after all');
  for (const answer of [await app.get(worksAfterAll(1, 1)), await app.submit(confirm)]) {
    expect(answer.status).toBe(409);
    expect(textOf(answer)).toContain('A new one was bought for it');
  }
  expect(findFitting(app.db, 1)!.brokenOn).toBe('2026-01-14');
});

test('A spare costs nothing: the thing is new from its day on, and nothing is wanted or bought', async () => {
  const app = await keepMat();
  const wanted = listUpgrades(app.db);
  expect((await breakMat(app, { spare: 'yes', spareOn: '2026-01-15', price: '' })).location).toBe(
    '/old-things/1?done=spare-fitted',
  );
  await untilPlanned(app);
  expect(findFitting(app.db, 1)).toMatchObject({ fittedOn: '2026-01-15', brokenOn: '2026-01-14', retiredOn: null });
  expect(listUpgrades(app.db)).toEqual(wanted);
  expect(listEvents(app.db)).toMatchObject([
    { what: 'broke', happenedOn: '2026-01-14' },
    { what: 'renewed', happenedOn: '2026-01-15', amount: 0 },
    { what: 'plan-made' },
  ]);
  expect(whysOf(heatOf(app).heat)).toContainEqual(
    expect.objectContaining({ why: 'uncertain-reading', from: 'estimated' }),
  );
  const page = await app.get(broke(1, 1));
  const early = await app.submit(page, { spare: 'yes', brokeOn: '2026-01-15', spareOn: '2026-01-14' });
  expect(mistakesOf(early)).toMatchObject([{ field: 'spareOn' }]);
});

test('A renewal that was wanted anyway becomes the replacement, and is free of its month again when the thing works', async () => {
  const app = await keepMat();
  const { id: _, ...renewal } = makeUpgrade('0', [{ change: 'renew', fittingId: '1' }], {
    name: 'A new mat',
    priceHigh: money(2000),
  });
  const id = addUpgrade(app.db, renewal);
  const page = await app.get(broke(1, 1));
  expect(textOf(page)).toContain('“A new mat” is on the list already.');
  expect(formValues(findForm(page)).price).toBe('20.00');
  await app.submit(page, { price: '22' });
  expect(listUpgrades(app.db)).toHaveLength(2);
  expect(findUpgrade(app.db, Number(id))).toMatchObject({ pinnedMonth: '2026-01', priceHigh: 2200 });
  await app.submit(await app.get(worksAfterAll(1, 1)));
  expect(findUpgrade(app.db, Number(id))).toMatchObject({ pinnedMonth: null, status: 'wanted', removedOn: null });
});

test('Where a new one is on its way already nothing more is bought', async () => {
  const app = await keepMat();
  const { id: _, ...renewal } = makeUpgrade('0', [{ change: 'renew', fittingId: '1' }], { name: 'A new mat' });
  const id = addUpgrade(app.db, renewal);
  const arrivesMonth = plainMonth('2026-02');
  buyUpgrade(app.db, Number(id), 1, { boughtOn: plainDate('2026-01-05'), paid: money(2000), arrivesMonth });
  const page = await app.get(broke(1, 1));
  expect(textOf(page)).toContain('A new one is on its way already: “A new mat”.');
  expect(Object.keys(formValues(findForm(page)))).not.toContain('price');
  expect((await app.submit(page)).location).toBe(paths.roadmap.progress);
  await untilPlanned(app);
  expect(listUpgrades(app.db)).toHaveLength(2);
  const { months } = latestPlan(app.db)!.roadmap!;
  expect(months.slice(0, 2).map((one) => one.scores[0]!.severe)).toEqual([1, 0]);
});

test('Without money to plan with the break is written down, and the page of the enclosure shows it', async () => {
  const app = await startApp();
  keepGecko(app.db);
  keepFitting(app.db, makeFitting('heat-mat', { id: '1', name: 'Mat' }));
  expect(readLedger(app.db).monthlySum).toBeNull();
  expect((await breakMat(app, { price: '20' })).location).toBe('/enclosures/1?done=broke');
  expect(latestPlan(app.db)).toBeNull();
  expect(findReplacement(app.db, '1')!.pinnedMonth).toBe('2026-01');
  expect((await app.get(broke(1, 1))).status).toBe(409);
});

test('A thing that was changed meanwhile is looked at again, with what was typed kept', async () => {
  const app = await keepMat();
  const page = await app.get(broke(1, 1));
  await app.submit(await app.get(paths.enclosures.fittings.edit(1, 1)), { name: 'Mat' });
  const again = await app.submit(page, { price: '31', note: 'cold' });
  expect(again.status).toBe(409);
  expect(formValues(findForm(again))).toMatchObject({ price: '31', note: 'cold' });
  expect((await app.submit(again)).status).toBe(303);
  expect(findReplacement(app.db, '1')!.priceHigh).toBe(3100);
});

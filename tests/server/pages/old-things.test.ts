// What becomes of replaced things as a browser sees it: a box is replaced, its old one goes to another snake, is sold, or is kept.

import { expect, test } from 'vitest';
import { listOneOffSums } from '../../../server/db/money.ts';
import { listOldThings } from '../../../server/db/old-things.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addUpgrade, findUpgrade, listUpgrades } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { findForm, formValues, mistakesOf, type TestApp, textOf } from '../../support/app.ts';
import { animalTexts, appWithSnake, enclosureTexts, enter } from '../../support/collection.ts';
import { keepMoney } from '../../support/ledger.ts';
import { boxUpgrade, library } from '../../support/make.ts';

async function snakes(): Promise<TestApp> {
  const app = await appWithSnake({
    enclosure: { length: '120 cm', depth: '60', height: '60' },
    animal: { length: '130 cm' },
  });
  await enter(app, '/enclosures/new', {
    ...enclosureTexts,
    name: 'Low shelf',
    length: '60 cm',
    depth: '40',
    height: '40',
  });
  await enter(app, '/animals/new', { ...animalTexts, name: 'Fio', enclosure: '2', length: '90 cm' });
  keepMoney(app.db, 200_00, 500_00);
  const price = { priceLow: money(150_00), priceHigh: money(200_00), name: 'Large box' };
  const { id: _, ...upgrade } = boxUpgrade('1', [150, 80, 80], price);
  addUpgrade(app.db, upgrade);
  return app;
}

const question = paths.upgrades.oldThing(1, 'box:1');

test('an upgrade that replaces a box asks what becomes of the old one, and says where it would help', async () => {
  const app = await snakes();
  const text = textOf(await app.get(paths.upgrades.show(1)));
  expect(text).toContain('What becomes of what it replaces');
  expect(text).toContain('It would help in “Low shelf” (Fio): Space of Fio from');
  expect(textOf(await app.get(paths.upgrades.fitted(1)))).toContain(
    'Then say what becomes of: the box of “Top shelf”.',
  );
  const page = await app.get(question);
  expect(textOf(page)).toContain('Empty, clean and disinfect it');
});

test('a hand-down becomes an upgrade at no cost that the plan chains after the new box', async () => {
  const app = await snakes();
  await app.submit(await app.get(question), { fate: 'handed-down', to: '2' });
  const handed = listUpgrades(app.db)[1]!;
  expect(handed).toMatchObject({ name: 'Hand down: the box of “Top shelf”', priceHigh: 0, requires: [['1']] });
  expect(handed.changes).toMatchObject([{ change: 'replace-box', enclosureId: '2', lengthMm: 1200 }]);
  await planNow(app.db, library, plainDate('2026-01-15'), 500);
  const bought = latestPlan(app.db)!.roadmap!.months.flatMap((one) => one.buys.map((buy) => buy.upgradeId));
  expect(bought).toEqual(expect.arrayContaining(['1', '2']));
  const sheet = textOf(await app.get(paths.thisMonth));
  expect(sheet).toContain('Hand down: the box of “Top shelf”. Fio: Space rises');
  expect(sheet).toMatch(/One replaced thing goes on in use instead of being thrown away, which spares at least €\d+/);
});

test('another answer takes the first one back', async () => {
  const app = await snakes();
  await app.submit(await app.get(question), { fate: 'handed-down', to: '2' });
  await app.submit(await app.get(question), { fate: 'sold', to: '', amount: '25' });
  expect(listUpgrades(app.db).map((one) => one.id)).toEqual(['1']);
  expect(findUpgrade(app.db, 1)!.proceeds).toEqual({ amount: 25_00, afterMonths: 1 });
  await app.submit(await app.get(question), { fate: 'quarantine', amount: '' });
  expect(findUpgrade(app.db, 1)!.proceeds).toBeNull();
  expect(listOldThings(app.db)).toMatchObject([{ fate: 'quarantine', amount: null, toUpgradeId: null, version: 3 }]);
});

test('what was not answered before it was fitted is asked afterwards, with the old box as it was', async () => {
  const app = await snakes();
  await app.submit(await app.get(paths.upgrades.fitted(1)));
  expect(listOldThings(app.db)).toMatchObject([{ fate: 'undecided', freed: { box: { lengthMm: 1200 } } }]);
  expect(textOf(await app.get(paths.thisMonth))).toContain('the box of “Top shelf”, replaced by “Large box”');
  await app.submit(await app.get(question), { fate: 'sold', amount: '30' });
  // A month after the day it is said, 15 January 2026.
  expect(listOneOffSums(app.db)).toMatchObject([
    { month: '2026-02', amount: 30_00, note: 'Sale: the box of “Top shelf”' },
  ]);
});

test('what is given away brings no sum, before and after the new one is fitted, and can be answered anew', async () => {
  const app = await snakes();
  await app.submit(await app.get(question), { fate: 'given-away' });
  expect(findUpgrade(app.db, 1)!.proceeds).toBeNull();
  expect(textOf(await app.get(paths.upgrades.show('1')))).toContain('is given away.');
  await app.submit(await app.get(paths.upgrades.fitted(1)));
  expect(formValues(findForm(await app.get(question))).fate).toBe('given-away');
  await app.submit(await app.get(question), { fate: 'spare' });
  await app.submit(await app.get(question), { fate: 'given-away' });
  expect(listOldThings(app.db)).toMatchObject([{ fate: 'sold', amount: 0, sumId: null }]);
  expect(listOneOffSums(app.db)).toEqual([]);
});

test('a hand-down without a place and a sale without a sum are asked again beside their fields', async () => {
  const app = await snakes();
  const page = await app.get(question);
  expect(mistakesOf(await app.submit(page, { fate: 'handed-down' }))).toMatchObject([{ field: 'to' }]);
  const unsold = await app.submit(page, { fate: 'sold', amount: '' });
  expect(unsold.status).toBe(422);
  expect(mistakesOf(unsold)).toMatchObject([{ field: 'amount' }]);
  expect(mistakesOf(await app.submit(page, { fate: 'sold', amount: '0' }))).toMatchObject([{ field: 'amount' }]);
  expect(mistakesOf(await app.submit(page, { fate: null }))).toMatchObject([{ field: 'fate' }]);
  expect(listOldThings(app.db)).toEqual([]);
});

test('an answer given to an older state of the question is not taken', async () => {
  const app = await snakes();
  const page = await app.get(question);
  await app.submit(page, { fate: 'spare' });
  const late = await app.submit(page, { fate: 'recycled' });
  expect(late.status).toBe(409);
  expect(listOldThings(app.db)).toMatchObject([{ fate: 'spare' }]);
});

/** A hide of the first box with a life of two years, fitted on a day. */
async function withCave(fittedOn: string): Promise<TestApp> {
  const app = await snakes();
  const cave = { name: 'Cork cave', place: 'warm', fittedOn, lifeMonths: '24', renewalPrice: '9' };
  const form = await app.get(paths.enclosures.fittings.newOf(1, 'hide'));
  expect((await app.submit(form, cave)).status).toBe(303);
  return app;
}

test('a renewal asks where the old thing goes as an upgrade does, and the list of replaced things keeps the answer', async () => {
  const app = await withCave('2025-07-01');
  const renewed = { renewedOn: '2026-01-10', paid: '9' };
  const done = await app.submit(await app.get(paths.enclosures.fittings.renewed(1, 1)), renewed);
  expect(done.location).toBe(`${paths.oldThings.show(1)}?done=renewed`);
  expect(textOf(await app.get(done.location!))).toContain('What becomes of: Cork cave?');
  for (const place of [paths.thisMonth, paths.oldThings.list])
    expect(textOf(await app.get(place)), place).toContain('Cork cave, renewed on 10 January 2026');
  expect((await app.get(paths.renewals)).document.querySelector('a[href="/old-things"]')).not.toBeNull();

  const ask = () => app.get(paths.oldThings.show(1));
  await app.submit(await ask(), { fate: 'handed-down', to: '2' });
  const handed = listUpgrades(app.db).find((one) => one.name === 'Hand down: Cork cave')!;
  // It has 18 of its 24 months left on 15 January 2026, and waits for nothing.
  expect(handed).toMatchObject({ priceHigh: 0, requires: [], changes: [{ change: 'fit', enclosureId: '2' }] });
  expect(handed.changes).toMatchObject([{ fitting: { name: 'Cork cave', lifeMonths: 18 } }]);
  // Another answer takes back what the first set going.
  await app.submit(await ask(), { fate: 'sold', amount: '4' });
  expect(listUpgrades(app.db).map((one) => one.name)).toEqual(['Large box']);
  expect(listOneOffSums(app.db)).toMatchObject([{ month: '2026-02', amount: 4_00, note: 'Sale: Cork cave' }]);
  await app.submit(await ask(), { fate: 'spare' });
  expect(listOneOffSums(app.db)).toEqual([]);
  const list = textOf(await app.get(paths.oldThings.list));
  expect(list).toContain('Cork cave, renewed on 10 January 2026: is kept as a spare.');
  expect(list).not.toContain('Not said yet');

  // Renewed again it is asked of the next old one, and the first answer stays.
  const again = await app.submit(await app.get(paths.enclosures.fittings.renewed(1, 1)), {
    renewedOn: '2026-01-15',
    paid: '9',
  });
  expect(again.location).toBe(`${paths.oldThings.show(2)}?done=renewed`);
  expect(listOldThings(app.db)).toMatchObject([
    { by: { fittingId: '1' }, fate: 'spare', freed: { fitting: { fittedOn: '2025-07-01', retiredOn: '2026-01-10' } } },
    { by: { fittingId: '1' }, fate: 'undecided', freed: { fitting: { fittedOn: '2026-01-10' } } },
  ]);
});

test('what is past its life, or broke and was replaced by a spare, is kept or thrown away and never handed on', async () => {
  const worn = await withCave('2023-12-01');
  await worn.submit(await worn.get(paths.enclosures.fittings.renewed(1, 1)), { renewedOn: '2026-01-10', paid: '9' });
  const broken = await withCave('2025-07-01');
  const spare = { brokeOn: '2026-01-10', spare: 'yes', spareOn: '2026-01-11' };
  const done = await broken.submit(await broken.get(paths.enclosures.fittings.broke(1, 1)), spare);
  expect(done.location).toBe(`${paths.oldThings.show(1)}?done=spare-fitted`);
  for (const app of [worn, broken]) {
    const page = await app.get(paths.oldThings.show(1));
    const offered = [...page.document.querySelectorAll('input[name="fate"]')].map((one) => one.getAttribute('value'));
    expect(offered).toEqual(['recycled', 'spare']);
    expect(textOf(page)).toContain('taken back');
    expect((await app.submit(page, { fate: 'handed-down', to: '2' })).status).toBe(422);
    expect((await app.submit(page, { fate: 'recycled' })).location).toBe(`${paths.oldThings.list}?done=saved`);
  }
});

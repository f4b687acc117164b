// What is done before anything else: an unheld heat mat is told first wherever a keeper looks, and a plan never leaves out what would end it
// only because nobody has opened the proposals. The sentence on heaters goes by burns-2008.

import { expect, test } from 'vitest';
import { addFitting, loadCollection } from '../../../server/db/collection.ts';
import { openMemory } from '../../../server/db/open.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { listUpgrades } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { startApp, textOf, textsOf } from '../../support/app.ts';
import { keepGecko, keepMoney, wantHide } from '../../support/ledger.ts';
import { library, makeFitting } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const pages = [paths.home, paths.roadmap.show, paths.thisMonth];

test('An unheld mat stands first on three pages with what ends it; planning puts that on the list, where it is kept or refused', async () => {
  // A gecko on a mat that no thermostat holds; only a hide is wanted, and planned.
  const db = openMemory();
  keepGecko(db);
  const { id: _, ...mat } = makeFitting('heat-mat', { id: '1', enclosureId: '1', name: 'Mat', watts: 15 });
  addFitting(db, { ...mat, distanceTyped: '', upgradeId: null });
  keepMoney(db, 4500, 8000);
  wantHide(db, 'Cork tube', 'cool', 2400);
  await planNow(db, library, today, 200);
  const app = await startApp({ db, planningMilliseconds: 200 });
  const first = async (address: string) => textOf((await app.get(address)).document.querySelector('main section'));
  for (const address of pages) {
    const said = await first(address);
    expect(said).toMatch(/^Before anything else Ember: Unplug “Mat” until a thermostat holds it/);
    expect(said).toMatch(
      /“Thermostat [^”]*” \(€28\.00 to €45\.00\) would end it\. It is proposed and not on your list/,
    );
    expect(said).toContain('Put it on the list and plan again');
  }
  const glance = textOf((await app.get(paths.home)).document.querySelector('.glance > li'));
  expect(glance).toMatch(/^At once Unplug “Mat” for Ember\./);

  expect((await app.post(paths.roadmap.plan)).location).toBe(paths.roadmap.progress);
  // Only what ends the shortfall: nothing else that is proposed.
  const [, taken] = listUpgrades(db);
  expect(listUpgrades(db).map((one) => one.name)).toEqual(['Cork tube', taken!.name]);
  expect(taken).toMatchObject({ status: 'wanted', unaskedSince: today, boughtOn: null });
  expect(taken!.name).toMatch(/^Thermostat/);
  await expect.poll(async () => (await app.get(paths.roadmap.progress)).status, { timeout: 30_000 }).toBe(303);
  expect(latestPlan(db)!.roadmap!.months[0]!.buys.map((one) => one.upgradeId)).toContain(taken!.id);
  for (const address of pages)
    expect(await first(address)).toContain('ends it. It is planned for January 2026. I bought it');
  expect(textOf(await app.get(paths.roadmap.show))).toContain('You have not said yet that you want it.');

  const shown = await app.get(paths.upgrades.show(taken!.id));
  expect((await app.submit(shown, {}, paths.upgrades.keep(taken!.id))).status).toBe(303);
  expect(listUpgrades(db)[1]).toMatchObject({ status: 'wanted', unaskedSince: null });
  const roadmap = textOf(await app.get(paths.roadmap.show));
  expect(roadmap).not.toContain('You have not said yet');
  expect(roadmap).not.toContain('The plan is out of date');

  // Refused it comes back on no list, and is told of as refused.
  const kept = await app.get(paths.upgrades.show(taken!.id));
  expect((await app.submit(kept, {}, paths.upgrades.refuse(taken!.id))).status).toBe(303);
  expect(await first(paths.home)).toContain('would end it. You refused it, so no plan holds it.');
  expect(await first(paths.home)).not.toContain('Put it on the list');

  // Wanted again, bought for less and fitted: where its probe is, nobody has said yet, and what it brings is to be read.
  const refused = await app.get(paths.upgrades.show(taken!.id));
  expect((await app.submit(refused, {}, paths.upgrades.accept(taken!.id))).status).toBe(303);
  const form = await app.get(paths.upgrades.fitted(taken!.id));
  expect(textOf(form)).toContain('Is the probe of each thermostat fixed where it should measure?');
  expect(textOf(form.document.querySelector('.lead'))).not.toContain('the answer becomes yes');
  expect((await app.submit(form, { paid: '39.90' })).status).toBe(303);
  expect(loadCollection(db).answers).toMatchObject([{ check: 'probe-in-place', answer: 'unknown' }]);
  const after = await app.get(paths.home);
  expect(textOf(after.document.querySelector('#decision'))).toMatch(
    /€39\.90 paid of what was planned for January 2026/,
  );
  expect(textsOf(after, '#decision .buy').find((one) => one.startsWith('Thermostat'))).toMatch(
    /€39\.90 for Ember fitted Bought for €39\.90 on 15 January 2026, fitted on 15 January 2026\.$/,
  );
  const awaited = 'The temperature of the floor of the warm hide is only what the things fitted should bring about';
  expect(textsOf(after, '.measure-first li').find((one) => one.includes('floor of the warm hide'))).toContain(awaited);
  expect(textsOf(await app.get(paths.measuring.show), '.measure-first li')[0]).toContain(awaited);
  expect(textOf(await app.get(paths.thisMonth))).toMatch(/Done this month Thermostat .* Bought for €39\.90/);
  await app.submit(await app.get(paths.enclosures.readings.newOf('1', 'warm-hide-floor')), { value: '31' });
  expect(textOf(await app.get(paths.measuring.show))).not.toContain(awaited);
  expect(textOf(await app.get(paths.home))).not.toContain(awaited);
});

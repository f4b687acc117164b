// The short way from an empty ledger to a first plan, with its rows, and what every empty page of the ledger says.

import { expect, test } from 'vitest';
import { listAnimals, listEnclosures, listFittings } from '../../../server/db/collection.ts';
import { listAssumptions } from '../../../server/db/first-steps.ts';
import { listUpgrades } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { patternOf } from '../../support/addresses.ts';
import { mistakesOf, startApp, textOf, textsOf } from '../../support/app.ts';
import { crawl } from '../../support/crawl.ts';
import { keepMoney } from '../../support/ledger.ts';

const answers = { name: 'Reed', length: '90', depth: '45', height: '45' };

test('A species is found by any of its names, by a nickname cut from one, and with a slip of the pen', async () => {
  const { get } = await startApp();
  const found = async (words: string) => textsOf(await get(paths.start.findBy(words)), '.species-list a')[0];
  expect(await found('ball python')).toBe('Royal python');
  expect(await found('Pantherophis')).toBe('Corn snake');
  expect(await found('beardie')).toBe('Bearded dragon');
  expect(await found('crestie')).toBe('Crested gecko');
  expect(await found('cron snake')).toBe('Corn snake');
  const none = await get(paths.start.findBy('zzz'));
  expect(textsOf(none, '.species-list a')).toEqual([]);
  expect(textOf(none)).toContain('No species is called “zzz” here.');
  expect(textOf(await get(paths.start.findBy('')))).toContain('Write a word of the name of its kind');
  expect(textOf(await get(paths.start.find))).not.toContain('Write a word of the name');
});

test('One short form writes the box, the animal and its things by the same rows as the long forms, with what was taken for granted', async () => {
  const app = await startApp();
  const page = await app.get(paths.start.animal('corn-snake'));
  const sent = { ...answers, warmer: 'mat-held', uv: 'tube-old', 'there-hide-warm': 'yes', animalLength: '120' };
  const saved = await app.submit(page, sent);
  expect([saved.status, saved.location]).toEqual([303, '/start?done=first-added']);
  expect(listEnclosures(app.db)).toMatchObject([{ name: 'Box of Reed', lengthMm: 900, lengthTyped: '90 cm' }]);
  expect(listAnimals(app.db)).toMatchObject([{ name: 'Reed', enclosureId: '1', lengthMm: 1200, hatchedOn: null }]);
  const things = listFittings(app.db, 1);
  expect(things.map((one) => one.kind)).toEqual(['heat-mat', 'thermostat', 'uv-tube', 'hide']);
  expect(things[1]!.regulates).toBe(things[0]!.id);
  expect(listAssumptions(app.db).map((one) => one.what)).toEqual([
    'in-use-for-a-year',
    'box-not-named',
    'counts-as-grown',
    'tube-used-up',
    'between-not-looked-at',
  ]);
  // The same form sent twice, as by a double tap, enters nothing twice.
  expect((await app.submit(page, sent)).location).toContain('sent-twice');
  expect(listAnimals(app.db)).toHaveLength(1);
  const settled = await app.post(paths.start.settle(listAssumptions(app.db)[0]!.id));
  expect(settled.status).toBe(303);
  expect(listAssumptions(app.db)).toHaveLength(4);
  // Each of the others leads to a form that corrects it.
  const links = [...(await app.get(paths.start.show)).document.querySelectorAll('#assumed .actions a')];
  expect(links).toHaveLength(4);
  for (const link of links) expect((await app.get(link.getAttribute('href')!)).status).toBe(200);
});

test('A mat whose thermostat nobody knows stays a mat with a question, which is left open or answered, and never called right', async () => {
  const app = await startApp();
  const enter = async () =>
    app.submit(await app.get(paths.start.animal('corn-snake')), {
      ...answers,
      sort: 'glass-mesh',
      age: 'grown',
      uv: 'none',
      warmer: 'mat-unsure',
    });
  await enter();
  expect(listFittings(app.db, 1).map((one) => one.kind)).toEqual(['heat-mat', 'unknown-thermostat']);
  const proposed = textOf(await app.get(paths.upgrades.list));
  expect(proposed).toContain('Nobody has looked whether a thermostat holds “Heat mat”');
  expect(proposed).toContain('Thermostat that switches on and off, for heat mats');
  const question = async () =>
    textsOf(await app.get(paths.start.show), '#assumed li').find((one) => one.includes('thermostat'));
  expect(await question()).toMatch(/Look now Leave it unknown$/);
  const { id } = listAssumptions(app.db).find((one) => one.what === 'thermostat-not-looked-for')!;
  expect((await app.post(paths.start.settle(id))).location).toContain('done=left-unknown');
  expect(await question()).toMatch(/Left unknown\. Look now$/);
  expect(textOf(await app.get(paths.animals.show('1')))).toContain(
    'Nobody has looked whether a thermostat holds “Heat mat”',
  );
  // Looked, and found none: now it is known to be unheld.
  const look = paths.enclosures.fittings.look('1', '2');
  expect((await app.submit(await app.get(look), { there: 'no' })).status).toBe(303);
  expect(listFittings(app.db, 1).map((one) => one.kind)).toEqual(['heat-mat']);
  expect(textOf(await app.get(paths.home))).toContain('Unplug “Heat mat” until a thermostat holds it');
  await enter();
  const [mat, unknown] = listFittings(app.db, 2);
  expect(
    (await app.submit(await app.get(paths.enclosures.fittings.look('2', unknown!.id)), { there: 'yes' })).status,
  ).toBe(303);
  expect(listFittings(app.db, 2)).toMatchObject([{ kind: 'heat-mat' }, { kind: 'thermostat', regulates: mat!.id }]);
});

test('A measure that is more likely a slip is asked back with what may be meant, and taken once it is called right', async () => {
  const app = await startApp();
  const page = await app.get(paths.start.animal('corn-snake'));
  const back = await app.submit(page, { ...answers, length: '8 m', animalLength: '130 mm', name: '' });
  expect(back.status).toBe(422);
  const [length] = mistakesOf(back);
  expect(length).toMatchObject({ field: 'length' });
  expect(length!.message).toContain('Did you mean 80 cm?');
  expect(listAnimals(app.db)).toEqual([]);
  expect((await app.submit(back, { sure: 'yes' })).status).toBe(303);
  expect(listEnclosures(app.db)).toMatchObject([{ lengthMm: 8000, lengthTyped: '8 m' }]);
  expect(listAnimals(app.db)).toMatchObject([{ name: 'Corn snake' }]);
  const small = await app.submit(page, { ...answers, length: '18', depth: '18', height: '24', name: '' });
  expect(mistakesOf(small)[0]!.message).toContain('Were the numbers inches?');
  expect((await app.submit(small, { length: '18 in', depth: '18 in', height: '24 in' })).status).toBe(303);
  await app.submit(await app.get(paths.start.animal('corn-snake')), { ...answers, name: '' });
  expect(listAnimals(app.db).map((one) => one.name)).toEqual(['Corn snake', 'Corn snake 2', 'Corn snake 3']);
});

test('One tap takes everything that is proposed at a price and begins to plan; a second tap takes nothing twice', async () => {
  const app = await startApp({ planningMilliseconds: 50 });
  await app.submit(await app.get(paths.start.animal('corn-snake')), { ...answers, warmer: 'mat-alone' });
  keepMoney(app.db, 3000, 6000);
  const page = await app.get(paths.start.show);
  const count = Number(/(\d+) things are proposed/.exec(textOf(page))![1]);
  expect(count).toBeGreaterThan(5);
  expect((await app.submit(page, {}, paths.start.plan)).location).toBe(paths.roadmap.progress);
  expect(listUpgrades(app.db)).toHaveLength(count);
  await app.post(paths.start.plan);
  expect(listUpgrades(app.db)).toHaveLength(count);
  for (let tries = 0; (await app.get(paths.roadmap.progress)).status !== 303; tries += 1) {
    expect(tries).toBeLessThan(600);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
});

test('In another currency than that of the shipped prices one rate is asked, and every price taken says so with its day', async () => {
  const app = await startApp({ planningMilliseconds: 50 });
  // The test's clock stands at noon of 15 January in UTC, which is the 16th in Kiritimati (UTC+14).
  await app.submit(await app.get(paths.start.writing), { currency: 'USD', timeZone: 'Pacific/Kiritimati' });
  expect(textOf(await app.get(paths.start.show))).toContain(
    'Today is 16 January 2026, by the clock of Pacific/Kiritimati.',
  );
  await app.submit(await app.get(paths.start.writing), { timeZone: 'UTC' });
  await app.submit(await app.get(paths.start.animal('corn-snake')), { ...answers, warmer: 'mat-alone' });
  keepMoney(app.db, 3000, 6000);
  const step = (await app.get(paths.start.show)).document.querySelector(`main a[href="${paths.start.prices}"]`);
  expect(textOf(step)).toBe('Take them all and plan');
  const other = await app.get(paths.start.prices);
  const asked = await app.submit(await app.get(paths.start.prices), { rate: 'half' });
  expect(mistakesOf(asked).map((one) => one.field)).toEqual(['rate']);
  expect(listUpgrades(app.db)).toEqual([]);
  expect((await app.submit(asked, { rate: '2' })).location).toBe(paths.roadmap.progress);
  const late = await app.submit(other, { rate: '2.75' });
  expect([late.status, textOf(late)]).toEqual([409, expect.stringContaining('so it was not used')]);
  expect(textOf(late)).toContain('2.75');
  const thermostat = listUpgrades(app.db).find((one) => one.name.startsWith('Thermostat'))!;
  // The shipped price of seed/parts.json, 45.00 at most, twice.
  expect(thermostat.priceHigh).toBe(9000);
  expect(thermostat.note).toBe('Price reckoned from the shipped one at 1 EUR = 2 USD, said by you on 15 January 2026.');
});

test('An empty ledger has no page without a word on what belongs there and a way to begin', async () => {
  const app = await startApp();
  const pages = await crawl(app, patternOf);
  expect(pages.length).toBeGreaterThan(25);
  // Who may come in is settled by a command, which its page names, and by nothing on a page.
  const byCommand: string[] = [paths.access.show];
  // Words have nothing to begin.
  const onlyWords: string[] = [paths.glossary];
  const silent = pages.filter(({ address, page }) => {
    const words = textOf(page);
    const says = words.length > 60;
    if (byCommand.includes(address)) return !words.includes('npm run');
    if (onlyWords.includes(address)) return !says;
    const acts = [...page.document.querySelectorAll('main a[href], main form button')].length > 0;
    return !says || !acts;
  });
  expect(silent.map((one) => one.address)).toEqual([]);
  // Lists of what a keeper enters say so in the place that is made for it, with one thing to press.
  const lists = [paths.animals.list, paths.enclosures.list, paths.upgrades.list, paths.roadmap.show, paths.money];
  const more = [paths.cap.show, paths.progress, paths.months.list, paths.renewals, paths.instruments.list];
  const others = [paths.rooms.list, paths.measuring.show, paths.measuring.weekend, paths.shopping, paths.thisMonth];
  for (const address of [...lists, ...more, ...others]) {
    const page = await app.get(address);
    expect([...page.document.querySelectorAll('.empty-state .button-primary')].length, address).toBe(1);
    expect(textOf(page.document.querySelector('.empty-state p')).length, address).toBeGreaterThan(20);
  }
});

test('A screw-in lamp of the short form is due, keeps what nobody looked at unknown, and makes way for a known tube where UV is needed', async () => {
  const app = await startApp();
  const add = async (species: string, name: string) =>
    app.submit(await app.get(paths.start.animal(species)), {
      ...answers,
      name,
      length: '120',
      depth: '60',
      height: '60',
      sort: 'wood',
      age: 'grown',
      warmer: 'lamp-unsure',
      uv: 'compact',
    });
  await add('bearded-dragon', 'Sultan');
  await add('corn-snake', 'Reed');
  // Nine months (common practice, no source), counted from as long before the day of the test.
  const lamp = listFittings(app.db, 1).find((one) => one.kind === 'uv-compact');
  expect(lamp).toMatchObject({ fittedOn: '2025-04-15', lifeMonths: 9, meshShare: null });
  const assumed = textsOf(await app.get(paths.start.show), '#assumed li');
  expect(assumed.filter((one) => one.includes('between it and the animal')).length).toBe(2);
  expect(assumed.filter((one) => one.includes('whether it can be touched')).length).toBe(2);
  // It asks to be read first, and a tube is proposed for the lizard that needs UV, not in place of the snake's lamp.
  const proposed = textsOf(await app.get(paths.upgrades.list), 'li').filter((one) => one.includes('T5 UV-B tube'));
  expect(proposed).toHaveLength(1);
  expect(proposed[0]).toMatch(/“Box of Sultan”.*UVI 3\.1 at the basking place.*Measure first/);
});

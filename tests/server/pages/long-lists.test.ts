// The lists of a rescue of many animals: a page of each is small enough for a telephone on a slow line, and every row can still be reached
// by links alone. 60 kB a page, style and script included, is our own limit.

import { gzipSync } from 'node:zlib';
import { beforeAll, expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { readAssets } from '../../../server/assets.ts';
import { listReadings, loadCollection } from '../../../server/db/collection.ts';
import { openMemory } from '../../../server/db/open.ts';
import { listUpgrades } from '../../../server/db/upgrades.ts';
import { isUrgent, severeShortfallsOf } from '../../../server/pages/before-anything-else.ts';
import { paths } from '../../../server/paths.ts';
import { gatherScoring } from '../../../server/scores.ts';
import { plainDate, yearOf } from '../../../src/calendar.ts';
import { enclosuresOf } from '../../../src/upgrades.ts';
import { fillRescue } from '../../bench/ledgers.ts';
import { type Answer, findForm, formValues, openApp, type TestApp, testMoment, textsOf } from '../../support/app.ts';
import { library } from '../../support/make.ts';

const ANIMALS = 54;
const MONTHS_READ = 14;
const MOST_BYTES = 60_000;

let rescue: TestApp;

beforeAll(async () => {
  const db = openMemory();
  await fillRescue(db, plainDate('2026-01-15'), { animals: ANIMALS, monthsRead: MONTHS_READ, planMilliseconds: null });
  db.$client.exec('UPDATE fittings SET regulates_id = NULL');
  rescue = await openApp({ db });
});

const shared = [...readAssets().values()]
  .filter((one) => /^text\/(css|javascript)/.test(one.type))
  .reduce((sum, one) => sum + one.packed.length, 0);

const links = (page: Answer, selector: string) =>
  [...page.document.querySelectorAll(selector)].map((one) => one.getAttribute('href')!);

/** What a selector of links finds on a page and on all that follow it, turned by the links to pages that stand in `pagesIn`. */
async function overPages(address: string, rows: string, pagesIn: string): Promise<{ rows: string[]; pages: number }> {
  const met: string[] = [];
  let pages = 0;
  for (let next: string | undefined = address; next !== undefined; ) {
    const page = await rescue.get(next);
    expect(page.status).toBe(200);
    expect(gzipSync(page.body).length + shared, next).toBeLessThan(MOST_BYTES);
    met.push(...links(page, rows));
    pages += 1;
    next = links(page, `${pagesIn} > .pages a[rel=next]`)[0];
  }
  return { rows: met, pages };
}

test('Each animal, enclosure and upgrade stands once on the pages of its list, none of which is heavy', async () => {
  const { animals, enclosures } = loadCollection(rescue.db);
  const wanted = listUpgrades(rescue.db).filter((one) => one.status === 'wanted');
  const ids = (all: { id: string }[], show: (id: string) => string) => all.map((one) => show(one.id)).sort();
  const ofAnimals = await overPages(paths.animals.list, 'main .needs h2 a', 'main');
  expect([ofAnimals.rows.toSorted(), ofAnimals.pages]).toEqual([ids(animals, paths.animals.show), 2]);
  const ofEnclosures = await overPages(paths.enclosures.list, 'main th a', 'main');
  expect([ofEnclosures.rows.toSorted(), ofEnclosures.pages]).toEqual([ids(enclosures, paths.enclosures.show), 2]);
  const free = await overPages(paths.upgrades.list, '#free h3 a', '#free');
  const bought = await overPages(paths.upgrades.list, '#wanted h3 a', '#wanted');
  expect([...free.rows, ...bought.rows].sort()).toEqual(ids(wanted, paths.upgrades.show));
  expect(free.pages + bought.pages).toBe(Math.ceil(free.rows.length / 50) + Math.ceil(bought.rows.length / 50));
});

test('What is done before anything else, and what else is severely short, stands once on the pages that they take', async () => {
  const gathered = gatherScoring(rescue.db, library, testMoment);
  const severe = severeShortfallsOf(rescue.db, readCatalogue(), gathered);
  const addresses = (all: typeof severe) => all.map((one) => paths.animals.show(one.animalId)).sort();
  const [urgent, others] = [true, false].map((wanted) => severe.filter((one) => isUrgent(one, false) === wanted));
  const atOnce = await overPages(paths.home, '#at-once > ul > li > a', '#at-once');
  const further = await overPages(paths.home, '#severe li > a[aria-label^=Why]', '#severe');
  expect([atOnce.rows.toSorted(), further.rows.toSorted()]).toEqual([addresses(urgent!), addresses(others!)]);
  expect([atOnce.pages, further.pages].every((pages) => pages > 1)).toBe(true);
  // The same lines stand on the sheet of the month, whose own lists are paged too.
  const sheet = await overPages(paths.thisMonth, '#at-once > ul > li > a', '#at-once');
  expect(sheet).toEqual(atOnce);
});

test('The form above the upgrades narrows them to one enclosure by its address', async () => {
  const page = await rescue.get(paths.upgrades.list);
  const form = findForm(page, paths.upgrades.list);
  expect(form.getAttribute('method')).toBe('get');
  expect(formValues(form)).toEqual({ enclosure: '' });
  const narrowed = await rescue.get(`${paths.upgrades.list}?enclosure=7`);
  const collection = loadCollection(rescue.db);
  const there = listUpgrades(rescue.db).filter((one) => enclosuresOf(one, collection).includes('7'));
  expect(there.length).toBeGreaterThan(3);
  expect(links(narrowed, 'main h3 a').toSorted()).toEqual(there.map((one) => paths.upgrades.show(one.id)).sort());
  expect(textsOf(narrowed, '.narrowing p')[0]).toContain('is shown.');
});

test('The form of an upgrade offers what is in the enclosure that is named, all of it at a button, and keeps what was typed', async () => {
  const formOf = (page: Answer) => page.document.querySelector('main form[method=post]')!;
  const offered = (page: Answer) => [...page.document.querySelectorAll('select[name=needs1] option')].length;
  const address = `${paths.upgrades.new}?enclosure=7`;
  const page = await rescue.get(address);
  expect(gzipSync(page.body).length + shared).toBeLessThan(MOST_BYTES);
  const collection = loadCollection(rescue.db);
  const upgrades = listUpgrades(rescue.db);
  const there = upgrades.filter((one) => enclosuresOf(one, collection).includes('7'));
  expect(offered(page)).toBe(there.length + 1);
  const typed = { ...formValues(formOf(page)), name: 'Rack for all', priceLow: '10', add: '' };
  const all = await rescue.post(paths.upgrades.new, { ...typed, step: 'all' });
  expect(all.status).toBe(200);
  expect(offered(all)).toBe(upgrades.length + 1);
  const kept = formValues(formOf(all));
  expect(kept).toMatchObject({ name: 'Rack for all', priceLow: '10', offered: 'all' });
  // What it needs may be of an enclosure that is named nowhere; it is taken, and offered again.
  const needs = upgrades.find((one) => !enclosuresOf(one, collection).includes('7'))!.id;
  const again = await rescue.post(paths.upgrades.new, { ...kept, needs1: needs, step: 'add' });
  expect(formValues(formOf(again)).needs1).toBe(needs);
  const saved = await rescue.post(paths.upgrades.new, {
    ...kept,
    offered: '',
    needs1: needs,
    name: '',
    add: '',
    step: 'save',
  });
  expect(saved.status).toBe(422);
  const shownAgain = formValues(formOf(saved));
  expect(shownAgain).toMatchObject({ priceLow: '10', needs1: needs });
});

test('All readings of an enclosure stand once on the pages of their years; its own page holds the newest', async () => {
  const readings = listReadings(rescue.db, 1);
  const years = [...new Set(readings.map((one) => yearOf(one.takenOn)))].sort();
  expect(years).toEqual([2024, 2025, 2026]);
  const edits = (page: Answer) => links(page, 'main a[href$="/edit"]').filter((one) => one.includes('/readings/'));
  const enclosure = await rescue.get(paths.enclosures.show(1));
  expect(edits(enclosure)).toHaveLength(20);
  const all = paths.enclosures.readings.all(1);
  expect(links(enclosure, 'main a')).toContain(all);
  const met: string[] = [];
  for (const address of links(await rescue.get(all), 'nav[aria-label=Years] a')) {
    const { rows } = await overPages(address, 'main td a[href$="/edit"]', 'main');
    met.push(...rows);
  }
  expect(met.toSorted()).toEqual(readings.map((one) => paths.enclosures.readings.edit(1, one.id)).sort());
  const marked = (await rescue.get(`${all}?year=2025`)).document.querySelectorAll(
    'nav[aria-label=Years] [aria-current]',
  );
  expect([...marked].map((one) => one.textContent)).toEqual(['2025']);
});

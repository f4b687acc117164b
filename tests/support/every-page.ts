// Every page the ledger can show, so that a new one cannot be forgotten: those that links lead to in a ledger lived in for a month, those
// that a form answers with, and a complaint about each route of the application that none of them came from.

import { join } from 'node:path';
import { fillDemo } from '../../seed/demo.ts';
import { readCareLibrary } from '../../seed/library.ts';
import { loadCollection } from '../../server/db/collection.ts';
import { type Db, openDatabase } from '../../server/db/open.ts';
import { addSign, removeSign } from '../../server/db/signs.ts';
import { paths } from '../../server/paths.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { money } from '../../src/money.ts';
import { patternOf } from './addresses.ts';
import { openApp, type TestApp } from './app.ts';
import { crawl, type Found } from './crawl.ts';
import { fillIn } from './filled-in.ts';
import { formsOf } from './full-ledger.ts';
import { routesOf } from './routes.ts';

const MONTH_BEFORE = new Date('2025-12-15T12:00:00Z');
const today = plainDate('2026-01-15');

/** An application over a ledger that was lived in, and the pages that could be seen only before what was done since. */
export type LivedIn = TestApp & { passed: Found[] };

/**
 * The demonstration a month old, in a folder of its own so that it has backups: December is closed, a sign was noted of an animal and one
 * taken back, money is set aside for its vet, and there are instruments, own care values, an own species and an answer about the cap.
 */
export async function openLivedIn(folder: string): Promise<LivedIn> {
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  fillDemo(db, () => MONTH_BEFORE);
  const library = readCareLibrary();
  await planNow(db, library, plainDate('2025-12-15'), 500);
  const app = await openApp({ db, planningMilliseconds: 700 });
  const shown = (address: string) => app.get(address).then((page): Found => ({ address, page, sent: true }));
  const passed = [await shown(paths.months.catchUp), await shown(paths.months.close('2025-12'))];
  await take(app, paths.months.close('2025-12'));
  noteSigns(db);
  for (const [address, texts] of [
    [paths.instruments.new, { name: 'Probe with a wire' }],
    [paths.instruments.new, { name: 'Lost thermometer' }],
    [paths.careValues.new('leopard-gecko', 'humidity'), {}],
    [paths.careValues.new('corn-snake', 'humidity'), {}],
    [paths.ownSpecies.newFrom('nothing'), { commonName: 'Sand boa', scientificName: 'Eryx exemplaris' }],
    [paths.ownSpecies.newFrom('corn-snake'), { commonName: 'Great Plains rat snake' }],
    [paths.instruments.remove(2), {}],
    [paths.careValues.remove(2), {}],
    [paths.cap.ask('emergency'), { amount: '500', month: '2026-01' }],
  ] as const)
    await take(app, address, texts);
  await settled(app, paths.cap.progress);
  const lamp = loadCollection(db).fittings.find((one) => one.lifeMonths !== null && one.retiredOn === null)!;
  await take(app, paths.enclosures.fittings.renewed(lamp.enclosureId, lamp.id), { renewedOn: '2026-01-14' });
  await app.submit(await app.get(paths.valueChoices.show), { credit: '6' });
  await app.post(paths.backups.list);
  await planNow(db, library, today, 1_000);
  return { ...app, passed };
}

/** What no keeper wishes for: an animal that has lost weight and breathes with its mouth open, and money set aside for its vet. */
function noteSigns(db: Db): void {
  const notedOn = plainDate('2026-01-14');
  const calm = { animalId: '1', grams: null, gramsTyped: '', alarm: null, worrying: false, setAside: null, notes: '' };
  addSign(db, { ...calm, kind: 'weight', notedOn, grams: 1, gramsTyped: '1 g' });
  addSign(db, {
    ...calm,
    kind: 'breathing',
    notedOn,
    alarm: 'open-mouth',
    setAside: { amount: money(1), month: plainMonth('2026-01') },
    notes: 'since the evening',
  });
  removeSign(db, Number(addSign(db, { ...calm, kind: 'shed', notedOn })), 1, notedOn);
}

/** Opens a page, fills in its form with likely texts and these, and throws when it is not taken. */
async function take(app: TestApp, address: string, texts: Readonly<Record<string, string>> = {}): Promise<void> {
  const page = await app.get(address);
  const form = formsOf([{ address, page }])[0];
  if (form === undefined) throw new Error(`${address} has no form: ${page.status}`);
  const answer = await fillIn(app, form, texts);
  if (answer.status !== 303) throw new Error(`${address} answered ${answer.status}: ${answer.body}`);
}

/** Waits until a page of progress leads on. */
async function settled(app: TestApp, address: string): Promise<void> {
  while ((await app.get(address)).status === 200) await new Promise((done) => setTimeout(done, 50));
}

/** Pages that no link leads to as things stand, each with an address that shows it. */
const unlinked = [
  paths.start.show,
  paths.start.find,
  paths.start.animal('leopard-gecko'),
  paths.start.money,
  paths.start.writing,
  // Linked where the ledger's money is another than that of the shipped prices.
  paths.start.prices,
  paths.export.imported,
  paths.backups.restored,
  // Linked where an enclosure has more readings than its own page shows.
  paths.enclosures.readings.all(1),
  paths.measuring.weekendSaved(1, [1, 2]),
  paths.enclosures.roundSaved(1, [1]),
  paths.enclosures.fittings.look(1, 1),
  '/nowhere',
];

/**
 * Every page of a ledger that is lived in; of pages that differ by what is written in them alone, one or a few. With `isWhole` also what
 * each form answers when it is sent empty.
 */
export async function everyPage(app: LivedIn, isWhole: boolean): Promise<Found[]> {
  // Rows of upgrades, animals and enclosures differ by what they hold, so each is opened.
  const found: Found[] = await crawl(app, (address) =>
    /^\/(upgrades|animals|enclosures)\/\d+$/.test(address) ? address : patternOf(address),
  );
  for (const address of unlinked) found.push({ address, page: await app.get(address) });
  found.push(...app.passed, ...(await passingPages(app)));
  return isWhole ? [...found, ...(await mistakenPages(app, found))] : found;
}

/** The pages of forms that were sent empty. */
async function mistakenPages(app: TestApp, pages: readonly Found[]): Promise<Found[]> {
  const found: Found[] = [];
  for (const form of formsOf(pages)) {
    if (form.shown.length === 0) continue;
    const empty = Object.fromEntries(form.shown.map((name) => [name, '']));
    const answer = await app.post(form.action, { ...form.values, ...empty });
    if (answer.status === 422) found.push({ address: `${form.action} sent empty`, page: answer, sent: true });
  }
  return found;
}

/** Pages that stand only for a while: a form overtaken by another window, and work that is under way. */
async function passingPages(app: TestApp): Promise<Found[]> {
  const found: Found[] = [];
  const add = (address: string, page: Found['page']) => found.push({ address, page, sent: true });
  const money = await app.get(paths.moneyChange);
  await app.submit(money);
  add(`${paths.moneyChange} sent twice`, await app.submit(money, { cashCounted: '90' }));
  await app.post(paths.roadmap.plan);
  add(paths.roadmap.progress, await app.get(paths.roadmap.progress));
  await app.post(paths.roadmap.stop);
  await settled(app, paths.roadmap.progress);
  await app.submit(await app.get(paths.cap.ask('price-rise')), { percent: '20' });
  add(paths.cap.progress, await app.get(paths.cap.progress));
  await app.post(paths.cap.stop);
  await settled(app, paths.cap.progress);
  const { broke, worksAfterAll } = paths.enclosures.fittings;
  await take(app, broke(1, 1));
  add(worksAfterAll(1, 1), await app.get(worksAfterAll(1, 1)));
  await take(app, worksAfterAll(1, 1));
  return found;
}

/** The routes that none of these pages came from. */
export function forgottenOf(app: TestApp, pages: readonly Found[]): string[] {
  return routesOf(app.app, 'GET').filter((route) => {
    const form = new RegExp(`^${route.replaceAll('.', '\\.').replace(/:\w+/g, '[^/?]+')}(\\?.*)?$`);
    return !pages.some(({ address }) => form.test(address));
  });
}

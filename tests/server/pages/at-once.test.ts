// Two things done to one ledger at once: it is replaced while a plan is made, studied or asked for; it is edited while a plan is made; one
// month is closed in two tabs. Nothing worked out from one ledger gets into another, and nothing that was typed is dropped.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { listQuestions } from '../../../server/db/cap.ts';
import { listAnimals } from '../../../server/db/collection.ts';
import { ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { listClosedMonths } from '../../../server/db/months.ts';
import { type Db, openDatabase, openMemory } from '../../../server/db/open.ts';
import { findPlan, latestPlan, listPlans } from '../../../server/db/plans.ts';
import { readWholeLedger } from '../../../server/db/whole-ledger.ts';
import { writeLedgerFile } from '../../../server/ledger-file.ts';
import type { Page } from '../../../server/page.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { type Answer, findForm, formValues, startApp, type TestApp, textOf } from '../../support/app.ts';
import { enclosureTexts, enter } from '../../support/collection.ts';
import { keepGecko, keepMoney, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const today = plainDate('2026-01-15');

/** A ledger in a file, since one in memory that holds something is never replaced, and the faults that the program wrote down. */
async function fileApp(pages: readonly Page[] = []): Promise<TestApp & { faults: string[] }> {
  const folder = mkdtempSync(join(tmpdir(), 'at-once-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const faults: string[] = [];
  const log = { write: (line: string) => void (/"level":(50|60)/.test(line) && faults.push(line)) };
  return { ...(await startApp({ db, planningMilliseconds: 500, log, morePages: pages })), faults };
}

/** The file of a ledger that has an animal of another name and no upgrade, so that nothing can be planned in it. */
function otherFile(): string {
  const db = openMemory();
  keepGecko(db);
  db.$client.prepare("UPDATE animals SET name = 'Cinder'").run();
  return writeLedgerFile(db, today);
}

async function until(isSo: () => Promise<boolean>): Promise<void> {
  while (!(await isSo())) await new Promise((resolve) => setTimeout(resolve, 20));
}

const untilPlanned = ({ get }: TestApp) => until(async () => (await get(paths.roadmap.progress)).status === 303);

/** Takes the other ledger over; looks again as often as a study was kept since the last look. */
async function bringIn(app: TestApp): Promise<void> {
  let page = await app.submit(await app.get(paths.export.import), { text: otherFile() });
  for (let tries = 0; tries < 20; tries += 1) {
    const answer = await app.submit(page);
    if (answer.status === 303) return;
    expect([answer.status, textOf(answer)]).toEqual([200, expect.stringContaining('Replace')]);
    page = answer;
  }
  throw new Error('it was never taken');
}

const workedOut = (db: Db) => ({
  animals: listAnimals(db).map(({ name }) => name),
  plans: listPlans(db).length,
  studies: (db.$client.prepare('SELECT count(*) AS count FROM plan_studies').get() as { count: number }).count,
  questions: listQuestions(db, 9).length,
});
const onlyTheOther = { animals: ['Cinder'], plans: 0, studies: 0, questions: 0 };

test('A ledger brought in while a plan is made is refused and kept, and while that is studied takes nothing of it over', async () => {
  const app = await fileApp();
  const preview = await app.submit(await app.get(paths.export.import), { text: otherFile() });
  await app.post(paths.roadmap.plan);
  const refused = await app.submit(preview);
  expect(refused.status).toBe(422);
  expect(textOf(refused)).toContain('A plan is being made.');
  expect(textOf(refused.document.querySelector('textarea'))).toContain('Cinder');
  expect(listAnimals(app.db).map(({ name }) => name)).toEqual(['Ember']);
  await untilPlanned(app);
  expect(listPlans(app.db)).toHaveLength(1);
  const studies = (await app.get(paths.roadmap.show)).document.getElementById('studies');
  expect(textOf(studies)).toContain('Being worked out in the background');
  await bringIn(app);
  expect(workedOut(app.db)).toEqual(onlyTheOther);
  // What the threads still say is heard before the app is closed.
  await app.app.close();
  expect([app.faults, app.db.$client.open && workedOut(app.db)]).toEqual([[], onlyTheOther]);
});

test('A plan asked for in the very moment in which another ledger comes in is not made of the old one', async () => {
  let ask: (answer: Promise<Answer>) => void = () => undefined;
  const plan = new Promise<Answer>((resolve) => (ask = resolve));
  const app: TestApp & { faults: string[] } = await fileApp([
    (server) =>
      server.addHook('preHandler', async (request) => {
        const { step } = (request.body ?? {}) as Record<string, unknown>;
        // After the import has begun, and as soon as it lets go of the thread.
        if (request.url === paths.export.import && step === 'take')
          setImmediate(() => ask(app.post(paths.roadmap.plan)));
      }),
  ]);
  // A thread that is ended takes a while, in which an import that waited for it would let others in.
  await app.submit(await app.get(paths.cap.ask('price-rise')), { percent: '20' });
  expect((await app.get(paths.cap.progress)).status).toBe(200);
  await bringIn(app);
  expect((await plan).location).toBe(paths.roadmap.show);
  expect((await app.get(paths.roadmap.progress)).status).toBe(303);
  expect((await app.get(paths.cap.progress)).status).toBe(303);
  expect([app.faults, workedOut(app.db)]).toEqual([[], onlyTheOther]);
});

test('A plan made while something was changed says so, and one asked for again is of what is there now', async () => {
  const app = await startApp({ planningMilliseconds: 500 });
  keepSmallLedger(app.db);
  for (let index = 0; index < 6; index += 1) wantHide(app.db, `Hide ${index}`, 'warm', 900 + 37 * index);
  await app.post(paths.roadmap.plan);
  // What ends a severe shortfall was put on the list when planning began.
  const before = ledgerVersion(app.db);
  const form = await app.get(paths.upgrades.edit(1));
  expect((await app.submit(form, { priceLow: '26', priceHigh: '26' })).status).toBe(303);
  expect((await app.get(paths.roadmap.progress)).status).toBe(200);
  await untilPlanned(app);
  const first = latestPlan(app.db)!;
  expect([first.ledgerVersion, ledgerVersion(app.db) > before]).toEqual([before, true]);
  const stale = 'Something that this plan depends on was changed after it was made.';
  expect(textOf(await app.get(paths.roadmap.show))).toContain(stale);

  await app.post(paths.roadmap.plan);
  await untilPlanned(app);
  expect(latestPlan(app.db)!.ledgerVersion).toBe(ledgerVersion(app.db));
  expect(textOf(await app.get(paths.roadmap.show))).not.toContain(stale);
  expect(findPlan(app.db, Number(first.id))!.ledgerVersion).toBe(before);
});

test('One month closed in two tabs is closed once, and what the second typed is shown again', async () => {
  let moment = new Date('2026-01-15T12:00:00Z');
  const app = await startApp({ now: () => moment });
  keepSmallLedger(app.db);
  expect((await planNow(app.db, library, today, 300)).status).toBe('saved');
  moment = new Date('2026-02-02T12:00:00Z');
  const path = paths.months.close('2026-01');
  const bought = { 'bought-1': 'yes', 'boughtOn-1': '2026-01-20', 'paid-1': '27.50', 'shop-1': 'corner <shop>' };
  const [second, third] = [await app.get(path), await app.get(path)];

  // Bought elsewhere meanwhile, the controls of the open page are gone.
  expect(
    (await app.submit(await app.get(paths.upgrades.bought(1)), { boughtOn: '2026-01-21', paid: '25' })).status,
  ).toBe(303);
  const late = await app.submit(second, { ...bought, cash: '2.50', countedOn: '2026-01-31', note: 'Snow kept us in.' });
  expect([late.status, listClosedMonths(app.db).length]).toEqual([409, 0]);
  for (const typed of ['27.50', '2026-01-20', 'corner <shop>', '2.50', 'Snow kept us in.'])
    expect(textOf(late), typed).toContain(typed);

  const present = await app.get(path);
  expect((await app.submit(present, { note: 'of the first' })).status).toBe(303);
  const again = await app.submit(third, {
    note: `of the second ${'x'.repeat(1900)}`,
    cash: '2.40',
    countedOn: '2026-01-31',
  });
  expect(again.status).toBe(409);
  expect(textOf(again)).toContain('January 2026 is closed already');
  for (const typed of [`of the second ${'x'.repeat(1900)}`, '2.40', '2026-01-31'])
    expect(textOf(again), typed).toContain(typed);
  expect(listClosedMonths(app.db)).toHaveLength(1);
  expect(readLedger(app.db).cashCounted).toBe(30_00);
});

test('Something removed in one tab and changed in the other is not changed, and what was typed is shown again', async () => {
  const app = await startApp();
  await enter(app, paths.enclosures.new, enclosureTexts);
  keepMoney(app.db, 2000, 3000);
  const open = await app.get(paths.enclosures.edit(1));
  expect((await app.submit(await app.get(paths.enclosures.remove(1)))).status).toBe(303);
  const late = await app.submit(open, { notes: 'Two lines\nof “notes” & more' });
  expect(late.status).toBe(409);
  expect(textOf(late)).toContain('This was removed while you were typing.');
  expect(formValues(findForm(late)).notes).toBe('Two lines\nof “notes” & more');
  expect(textOf(await app.post('/enclosures/9/edit', { notes: 'of one <never> there' }))).toContain(
    'What you typed, of which nothing was saved notesof one <never> there',
  );
  // Neither a page that was never there nor a form with a password is shown anything of.
  expect(textOf(await app.get('/enclosures/9/edit'))).not.toContain('What you typed');
  expect(textOf(await app.post('/enclosures/9/edit', { password: 'secret words', notes: 'n' }))).not.toContain(
    'secret',
  );
});

test('A form made from one ledger has no effect on the one that took its place, and says what was typed', async () => {
  const app = await fileApp();
  const sent = await app.get(paths.enclosures.new);
  expect((await app.submit(sent, enclosureTexts)).status).toBe(303);
  // Row 1 of both ledgers is an animal of the same version.
  const [open, press] = [await app.get(paths.animals.edit(1)), await app.get(paths.upgrades.fitted(1))];
  const [settings, other] = [await app.get(paths.settings), await app.get(paths.enclosures.new)];
  await bringIn(app);
  const now = readWholeLedger(app.db);
  for (const [page, texts] of [
    [sent, enclosureTexts],
    [open, { name: 'Typed in the old ledger' }],
    [press, {}],
    [settings, { currency: 'SEK' }],
    [other, { ...enclosureTexts, name: 'Typed in the old ledger' }],
  ] as const) {
    const answer = await app.submit(page, texts);
    expect(answer.status).toBe(409);
    expect(textOf(answer)).toContain('Another ledger was put in place of the one that this page was made from');
    for (const typed of Object.values(texts)) expect(textOf(answer)).toContain(typed);
  }
  expect(readWholeLedger(app.db)).toEqual(now);
  // What is opened now is of this ledger, also after the program was started again.
  const page = await app.get(paths.animals.edit(1));
  const again = await startApp({ db: app.db });
  expect((await again.submit(page, { name: 'Of this ledger' })).status).toBe(303);
  expect(listAnimals(app.db)[0]).toMatchObject({ name: 'Of this ledger' });
  // Brought in once more, the forms of the first time are strangers as well.
  const late = await again.get(paths.animals.edit(1));
  await bringIn(again);
  expect((await again.submit(late, { name: 'Typed in between' })).status).toBe(409);
});

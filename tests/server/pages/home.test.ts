import { expect, test } from 'vitest';
import { openMemory } from '../../../server/db/open.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addUpgrade, buyUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { type Answer, startApp, textOf, textsOf } from '../../support/app.ts';
import { keepFitting, keepGecko, keepMoney, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library, makeFitting, makeUpgrade } from '../../support/make.ts';

const today = plainDate('2026-01-15');

function ticked(page: Answer): boolean[] {
  return textsOf(page, 'ol.measure-first li').map((one) => one.startsWith('done'));
}

test('A new ledger begins with its own, with the demonstration or with a file, and is led to its first plan in steps that tick themselves', async () => {
  const shows = { open: () => Promise.reject(new Error('not asked for')), close: () => Promise.resolve() };
  const app = await startApp({ planningMilliseconds: 200, shows });
  const first = await app.get(paths.home);
  expect([...first.document.querySelectorAll('main .actions a')].map((one) => one.getAttribute('href'))).toEqual([
    paths.start.show,
    paths.demonstration,
    paths.backups.list,
    paths.export.import,
  ]);
  const steps = async () => ticked(await app.get(paths.start.show));
  expect(await steps()).toEqual([false, false, false, false, false]);
  keepGecko(app.db);
  expect((await steps()).slice(0, 3)).toEqual([true, false, false]);
  keepMoney(app.db, 2000, 3000);
  wantHide(app.db, 'Warm cave', 'warm', 2500);
  expect((await steps()).slice(0, 3)).toEqual([true, true, false]);
  const ready = await app.get(paths.start.show);
  expect(ready.document.querySelector(`main form[action="${paths.start.plan}"]`)).not.toBeNull();
  expect(textOf(await app.get(paths.home))).toContain('Next: Take what is proposed, and plan.');
  await planNow(app.db, library, today, 200);
  expect((await steps()).slice(0, 3)).toEqual([true, true, true]);
  const planned = await app.get(paths.home);
  expect(textOf(planned.document.querySelector('.decision h2'))).toBe('Buy: Warm cave');
  expect(textOf(planned)).toContain('first steps done');
  expect((await app.post(paths.start.putAway)).status).toBe(303);
  expect(textOf(await app.get(paths.home))).not.toContain('first steps done');
});

test('What a keeper asks first stands in one list: what to buy, what is free, who is worst off, what is overdue, what changed', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  const app = await startApp({ db });
  const page = await app.get(paths.home);
  const terms = ['At once', 'In hand', 'Buy now', 'Worst off', 'Overdue', 'Free', 'Since last month'];
  expect(textsOf(page, '.glance .glance-term')).toEqual(terms);
  const [atOnce, hand, buy, worst, overdue, free, since] = textsOf(page, '.glance > li');
  // Nothing warms the box, which is severe; what would is proposed, and no plan knows it.
  expect(atOnce).toMatch(/^At once Heat mat, .+ for Ember ends a severe shortfall and is not in the plan yet\. €/);
  expect(hand).toContain('€30.00');
  // What waiting costs is the plan's own sentence, in full further down.
  expect(buy).toMatch(/^Buy now Warm cave for Ember\. .+ €25\.00$/);
  expect(textOf(page.document.querySelector('.glance .entry:nth-child(3) .entry-sum'))).toBe('€25.00');
  expect(worst).toMatch(/^Worst off Ember Far short: \d+ of 100/);
  expect(overdue).toBe('Overdue Nothing.');
  expect(free).toContain('1 thing costs nothing.');
  expect(since).toContain('No month is closed yet');
});

test('The decision of the month comes first, with its price, for whom, why now, and the link to say it is bought', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  const app = await startApp({ db });
  const page = await app.get(paths.home);
  expect(textsOf(page, '.glance > li')[1]).toBe('In hand Money €30.00');
  const decision = page.document.querySelector('.decision');
  expect(textOf(decision)).toContain('for Ember €25.00 It can be paid now.');
  expect(decision?.querySelector(`a[href="${paths.upgrades.bought('1')}"]`)).not.toBeNull();
  expect(textOf(decision)).toContain('Cardboard hide, for Ember. Done');
  expect(textsOf(page, 'main h2').slice(0, 2)).toEqual(['Before anything else', 'Buy: Warm cave']);

  buyUpgrade(db, 1, 1, { boughtOn: today, paid: money(2500), arrivesMonth: null });
  const bought = await app.get(paths.home);
  const words = textsOf(bought, 'main h2');
  expect(words.slice(1, 3)).toEqual(['The plan is out of date', 'Everything planned for January 2026 is bought']);
  expect(textsOf(bought, '.glance > li')[1]).toBe('In hand Money €5.00');
});

test('What cools an animal that is too warm stands first among what is free, also where the plan gains nothing by it', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  const { id: _, ...cooling } = makeUpgrade(
    '0',
    [{ change: 'predict', enclosureId: '1', reading: 'warm-air', value: 25 }],
    { name: 'Cool it at once', origin: 'proposed', proposalKey: '1:cool-down warm-hide-floor' },
  );
  const id = addUpgrade(db, cooling);
  await planNow(db, library, today, 200);
  const plan = latestPlan(db)!;
  expect('buys' in plan.answer && plan.answer.buys).toContainEqual({ purchase: id, month: 0 });
  const app = await startApp({ db });
  const home = await app.get(paths.home);
  expect(textsOf(home, '.glance > li')[0]).toMatch(/^At once Cool it at once for Ember\. And \d more\.$/);
  const decision = home.document.querySelector('.decision');
  expect(textOf(decision?.querySelector('.reason-list li') ?? null)).toBe('Cool it at once, for Ember. Done');
  const sheet = (await app.get(paths.thisMonth)).document;
  expect(textOf(sheet.querySelector('#at-once ~ section .reason-list li'))).toMatch(
    /^Cool it at once, for .*Before anything else. Done$/,
  );
});

test('A month in which nothing is bought says so and for what is saved', async () => {
  const db = openMemory();
  keepGecko(db);
  keepMoney(db, 2000, 0);
  wantHide(db, 'Warm cave', 'warm', 4000);
  await planNow(db, library, today, 200);
  const decision = (await (await startApp({ db })).get(paths.home)).document.querySelector('.decision');
  expect(textOf(decision)).toContain('Buy nothing in January 2026');
  const later = await startApp({ db, now: () => new Date('2026-02-10T12:00:00Z') });
  const passed = textOf(await later.get(paths.home));
  expect(passed).toContain('This plan begins in January 2026, which is over.');
  // The month above is another than that of the plan, so that each sum names its own.
  expect(passed).toMatch(
    /was planned for January 2026, which is over; plan anew for this month\. In hand today: €[\d.]+, without the sum of February 2026 \(€[\d.]+\), which is still to come\./,
  );
});

test('What is overdue, who is severely short, who is worst off and what to measure are listed with links', async () => {
  const app = await startApp();
  keepGecko(app.db);
  keepFitting(
    app.db,
    makeFitting('uv-tube', {
      id: '1',
      name: 'Old tube',
      fittedOn: plainDate('2024-11-02'),
      lifeMonths: 12,
    }),
  );
  const page = await app.get(paths.home);
  expect(textOf(page)).toContain('Old tube was due for renewal on 2 November 2025.');
  expect(page.document.querySelector('a[href="/enclosures/1/fittings/1/renewed"]')).not.toBeNull();
  expect(textsOf(page, '.need-name')).toEqual(['Ember']);
  expect(textOf(page.document.querySelector('.need .score-text'))).toMatch(/^Far short: \d+ of 100/);
  const severe = textsOf(page, '.reason-list li').filter((one) => one.startsWith('Ember:'));
  expect(severe.length).toBeGreaterThan(0);
  expect(severe[0]).toContain('severely short');
  const measure = textsOf(page, '.measure-first li').filter((one) => one.startsWith('Shelf (Ember)'));
  expect(measure.length).toBeGreaterThan(0);
  expect(measure.length).toBeLessThanOrEqual(5);
});

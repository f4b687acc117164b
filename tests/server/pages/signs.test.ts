// The pages of signs as a browser sees them: every form with good, bad and stale answers, what stands first where, and what a sum set
// aside does to the money and the plan.

import { expect, test } from 'vitest';
import { changeAnimal, findAnimal } from '../../../server/db/collection.ts';
import { changeLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addSign, findSign, listSigns, type SignFacts } from '../../../server/db/signs.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { SIGN_KINDS } from '../../../src/signs.ts';
import { mistakesOf, startApp, type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { keepGecko, keepMoney, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const urls = paths.animals.signs;
const today = plainDate('2026-01-15');
const WEIGHINGS = 'Every weighing, newest first, with its change since the one before';

async function gecko(): Promise<TestApp> {
  const app = await startApp();
  keepGecko(app.db);
  return app;
}

async function note({ get, submit }: TestApp, kind: string, fields: Record<string, string>): Promise<void> {
  const saved = await submit(await get(urls.newOf(1, kind)), fields);
  expect([saved.status, saved.location]).toEqual([303, `${urls.list(1)}?done=added`]);
}

const facts: SignFacts = {
  animalId: '1',
  kind: 'appetite',
  notedOn: today,
  grams: null,
  gramsTyped: '',
  alarm: null,
  worrying: true,
  setAside: null,
  notes: '',
};

test('An animal without signs says so, and its page leads there', async () => {
  const { get } = await gecko();
  const page = await get(urls.list(1));
  expect(page.status).toBe(200);
  expect(textOf(page)).toContain('Never weighed in this ledger.');
  expect(textOf(page)).toContain('Nothing is noted.');
  expect(textOf(page)).toContain('The ledger does not diagnose. Ask a reptile vet');
  const animal = await get(paths.animals.show(1));
  expect(animal.document.querySelector(`a[href="${urls.list(1)}"]`)).not.toBeNull();
  expect(animal.document.querySelector('#flags-heading')).toBeNull();
});

test('The kind is asked first, and each kind has a form that warns and names a vet', async () => {
  const { get } = await gecko();
  const question = await get(urls.new(1));
  for (const kind of SIGN_KINDS) {
    expect(question.document.querySelector(`a[href="${urls.newOf(1, kind)}"]`), kind).not.toBeNull();
    const form = await get(urls.newOf(1, kind));
    expect(textsOf(form, '.caution li'), kind).toEqual([
      'The ledger does not diagnose. Ask a reptile vet about anything that worries you.',
    ]);
    expect(form.document.querySelector('[name="grams"]') !== null, kind).toBe(kind === 'weight');
  }
  expect((await get(urls.newOf(1, 'diagnosis'))).document.querySelector('main form')).toBeNull();
});

test('Weights are kept as typed in any unit and shown with the change, newest first', async () => {
  const app = await gecko();
  await note(app, 'weight', { notedOn: '2025-12-01', grams: '2 oz' });
  await note(app, 'weight', { notedOn: '2026-01-12', grams: '54,5' });
  expect(listSigns(app.db, 1)).toMatchObject([
    { grams: 56.69904625, gramsTyped: '2 oz', worrying: false },
    { grams: 54.5, gramsTyped: '54,5 g' },
  ]);
  const page = await app.get(urls.list(1));
  // 54.5 / 56.699 is 0.9612.
  expect(tableRows(page, WEIGHINGS).map((row) => row.slice(0, 3))).toEqual([
    ['12 January 2026', '54,5 g', '3.9 % less'],
    ['1 December 2025', '2 oz', '–'],
  ]);
  expect(textOf(page)).toContain('3.9 % less in 42 days: 56.7 g on 1 December 2025, 54.5 g on 12 January 2026.');
  expect(textOf(page.document.querySelector('svg title'))).toBe('Weight of Ember');
  expect(page.document.querySelector('svg .chart-line')?.getAttribute('d')).toMatch(/^M72,.*L348,/);
  expect(page.document.querySelector('#flags-heading')).toBeNull();
  expect(textOf(await app.get(paths.animals.show(1)))).toContain('54,5 g, on 12 January 2026');
});

test('A weight far from the last one is asked back about, and kept once it is called right', async () => {
  const app = await gecko();
  await note(app, 'weight', { notedOn: '2025-12-01', grams: '45' });
  const form = await app.get(urls.newOf(1, 'weight'));
  expect(form.document.querySelector('[name="sure"]')).toBeNull();
  const asked = await app.submit(form, { notedOn: '2026-01-12', grams: '1 lb' });
  expect(asked.status).toBe(422);
  expect(textOf(asked)).toContain('Look again: 1 lb is far from the 45 g of 1 December 2025.');
  expect((await app.submit(asked, { sure: 'yes' })).status).toBe(303);
  expect(listSigns(app.db, 1).map((one) => one.gramsTyped)).toEqual(['45 g', '1 lb']);
  // Nothing was weighed before that day, so there is nothing to hold this one against.
  expect((await app.submit(form, { notedOn: '2025-11-01', grams: '900' })).status).toBe(303);
});

test('A loss of a tenth stands first everywhere with its grade, and once the weighing is settled nowhere', async () => {
  const app = await gecko();
  await note(app, 'weight', { notedOn: '2025-12-01', grams: '60' });
  await note(app, 'weight', { notedOn: '2026-01-12', grams: '54' });
  const everywhere = [paths.home, paths.animals.show(1), paths.enclosures.show(1), urls.list(1)];
  for (const path of everywhere) {
    const page = await app.get(path);
    expect(textsOf(page, 'main > section:first-of-type h2'), path).toEqual(['Look at the animal first']);
    expect(textOf(page), path).toContain('10 % less in 42 days: 60 g on 1 December 2025, 54 g on 12 January 2026.');
    expect(textOf(page), path).toContain('from memory, check before relying on it');
    expect(textOf(page), path).toContain('Ask a reptile vet.');
  }
  const saved = await app.submit(await app.get(urls.settle(1, 2)), { how: 'vet-seen' });
  expect(saved.status).toBe(303);
  for (const path of everywhere) expect((await app.get(path)).document.querySelector('#flags-heading')).toBeNull();
  expect(tableRows(await app.get(urls.list(1)), WEIGHINGS)[0]![4]).toBe('ended on 15 January 2026: a vet has seen it');
});

test('What cannot wait comes before all else and says today', async () => {
  const app = await gecko();
  await note(app, 'appetite', { worrying: 'yes', notedOn: '2026-01-14', notes: 'left <two> crickets' });
  await note(app, 'injury', { worrying: 'no', notedOn: '2026-01-10', alarm: 'burn' });
  await note(app, 'shed', { worrying: 'no' });
  const home = await app.get(paths.home);
  expect(textOf(home.document.querySelector('#flags-heading'))).toBe('A vet today');
  const rows = textsOf(home, '.conflict li');
  expect(rows).toHaveLength(2);
  expect(rows[0]).toContain('Ember: A burn, noted on 10 January 2026. Ask a reptile vet today.');
  expect(rows[1]).toContain('Ember: Appetite, noted on 14 January 2026. “left <two> crickets” Ask a reptile vet.');
  expect(tableRows(await app.get(urls.list(1)), 'Signs, newest first').map((row) => [row[1], row[3]])).toEqual([
    ['Shedding', 'noted'],
    ['Appetite', 'open, worrying'],
    ['Injury or skin: a burn', 'open, worrying'],
  ]);
});

test('A dated winter rest that holds or comes soon is raised once for a flagged animal, and never for another', async () => {
  const app = await gecko();
  const dated = (fromMonth: number, toMonth: number) => {
    const { id: _, removedOn: _removed, version, ...rest } = findAnimal(app.db, 1)!;
    changeAnimal(app.db, 1, version, { ...rest, seasons: [{ season: 'winter-rest', fromMonth, toMonth }] });
  };
  dated(12, 2);
  expect(textOf(await app.get(urls.list(1)))).not.toContain('An ill animal');
  addSign(app.db, facts);
  addSign(app.db, facts);
  const page = textOf(await app.get(urls.list(1)));
  expect(page.match(/An ill animal is not kept cool or in winter rest/g)).toHaveLength(1);
  expect(page).toContain('secondary: a vet clinic’s advice');
  dated(3, 3);
  expect(textOf(await app.get(paths.home))).toContain(
    'Winter rest is dated for Ember from 1 March 2026. An ill animal is not cooled down or put to winter rest',
  );
  dated(4, 5);
  expect(textOf(await app.get(paths.home))).not.toContain('Winter rest is dated');
});

test.each([
  ['weight', { grams: '' }, 'grams', 'Fill in the weight.'],
  ['weight', { grams: '12 cm' }, 'grams', /g, kg, oz/],
  ['weight', { grams: '0' }, 'grams', /./],
  ['appetite', { worrying: '' }, 'worrying', 'Choose one of the answers listed for whether it worries you.'],
  ['appetite', { worrying: 'yes', notedOn: '2026-01-16' }, 'notedOn', /lies in the future/],
  ['appetite', { worrying: 'yes', setAside: '0' }, 'setAside', /above 0/],
  ['appetite', { worrying: 'yes', setAside: '60', setAsideMonth: '' }, 'setAsideMonth', /from which month/],
  ['injury', { worrying: 'yes', alarm: 'prolapse' }, 'alarm', /Choose one/],
])('A form of %s with %j is not saved, keeps what was typed and says why', async (kind, fields, field, message) => {
  const { get, submit, db } = await gecko();
  const typed = { notes: 'kept', ...fields };
  const page = await submit(await get(urls.newOf(1, kind)), typed);
  expect(page.status).toBe(422);
  const mistakes = mistakesOf(page);
  expect(mistakes.map((one) => one.field)).toEqual([field]);
  expect(mistakes[0]!.message).toMatch(message);
  expect(page.document.querySelector('[name="notes"]')?.textContent).toContain('kept');
  expect(listSigns(db, 1)).toEqual([]);
});

test('A sign is changed, removed and put back, and a form older than its row shows both', async () => {
  const app = await gecko();
  const { get, submit, db } = app;
  await note(app, 'stool', { worrying: 'yes', notes: 'runny' });
  const stale = await get(urls.edit(1, 1));
  expect((await submit(await get(urls.edit(1, 1)), { notes: 'bloody', alarm: 'bleeding' })).status).toBe(303);
  expect(findSign(db, 1)).toMatchObject({ notes: 'bloody', alarm: 'bleeding', version: 2 });
  const conflict = await submit(stale, { notes: 'dry' });
  expect(conflict.status).toBe(409);
  expect(textOf(conflict)).toContain('the sign was changed elsewhere');
  expect((await submit(await get(urls.remove(1, 1)))).location).toBe(`${urls.list(1)}?done=removed-kept`);
  expect((await get(urls.edit(1, 1))).status).toBe(404);
  expect((await get(urls.settle(1, 1))).status).toBe(404);
  expect((await submit(await get(urls.list(1)), {}, urls.putBack(1, 1))).status).toBe(303);
  expect(findSign(db, 1)).toMatchObject({ notes: 'bloody', removedOn: null });
});

test('A sign of another animal, of none, or of a removed one is not found', async () => {
  const app = await gecko();
  keepGecko(app.db);
  addSign(app.db, facts);
  for (const path of [urls.edit(2, 1), urls.settle(2, 1), urls.remove(2, 1), urls.settle(1, 9), urls.list(9)])
    expect((await app.get(path)).status, path).toBe(404);
  await app.submit(await app.get(paths.animals.remove(1)));
  expect((await app.get(urls.list(1))).status).toBe(404);
});

test.each([
  [{}, 'how', /Choose one/],
  [{ how: 'passed', on: '' }, 'on', 'Fill in the day.'],
  [{ how: 'passed', on: '2026-01-16' }, 'on', /lies in the future/],
  [{ how: 'passed', on: '2026-01-09' }, 'on', /lies before the day it was noted/],
  [{ how: 'vet-seen', paid: 'much' }, 'paid', /./],
])('An ending with %j is not saved and says why', async (fields, field, message) => {
  const { get, submit, db } = await gecko();
  addSign(db, { ...facts, notedOn: plainDate('2026-01-10') });
  const page = await submit(await get(urls.settle(1, 1)), fields);
  expect(page.status).toBe(422);
  expect(mistakesOf(page)).toMatchObject([{ field, message: expect.stringMatching(message) }]);
  expect(findSign(db, 1)?.settled).toBeNull();
});

test('An ending is written down, changed and taken back; an older form changes nothing and says so', async () => {
  const { get, submit, db } = await gecko();
  addSign(db, facts);
  const stale = await get(urls.settle(1, 1));
  await submit(await get(urls.settle(1, 1)), { how: 'vet-seen', paid: '45,50' });
  expect(findSign(db, 1)?.settled).toEqual({ on: today, how: 'vet-seen', paid: 45_50 });
  const again = await submit(stale, { how: 'passed' });
  expect([again.status, findSign(db, 1)?.settled?.how]).toEqual([409, 'vet-seen']);
  expect(textOf(await get(urls.list(1)))).toContain('ended on 15 January 2026: a vet has seen it; €45.50 paid');
  await submit(await get(urls.settle(1, 1)), { how: 'open' });
  expect(findSign(db, 1)?.settled).toBeNull();
});

test('A sum set aside is named on the money page and the roadmap, makes the plan older, and comes before the purchase', async () => {
  const app = await gecko();
  const { db, get, submit } = app;
  keepMoney(db, 20_00, 30_00);
  // Every gain is worth a change here, so that a plan follows its facts alone.
  changeLedger(db, readLedger(db).version, { changeThreshold: 0 });
  wantHide(db, 'Warm cave', 'warm', 25_00);
  await planNow(db, library, today, 300);
  const months = () => (latestPlan(db)!.answer as { buys: { month: number }[] }).buys.map((one) => one.month);
  // 30.00 in hand pays 25.00 at once.
  expect(months()).toEqual([0]);
  await note(app, 'appetite', { worrying: 'yes', setAside: '60', setAsideMonth: '2026-01' });
  expect(latestPlan(db)!.ledgerVersion).not.toBe(ledgerVersion(db));
  expect(textOf(await get(paths.roadmap.show))).toContain('The plan is out of date');

  await submit(await get(urls.edit(1, 1)), { setAside: '20' });
  await planNow(db, library, today, 300);
  // 10.00 is left in January and 20.00 come in February: 30.00 pay 25.00 then.
  expect(months()).toEqual([1]);
  const sentence = 'Set aside for Ember’s vet visit: €20.00 from January 2026 on, ahead of any purchase.';
  expect(textOf(await get(paths.roadmap.show))).toContain(sentence);
  const money = await get(paths.money);
  expect(textOf(money)).toContain('Set aside for Ember’s vet visit€20.00 from January 2026 on');
  expect(textsOf(money, 'table thead th')).toContain('Set aside for the vet');
  expect(textOf(await get(paths.roadmap.older(1)))).not.toContain('Set aside for Ember');
  expect(textOf(await get(paths.home))).toContain('Set aside for the vet: €20.00 from January 2026 on.');

  // Settled with what it really cost: the sum is no longer kept back, and the payment has left the cash.
  await submit(await get(urls.settle(1, 1)), { how: 'vet-seen', paid: '4.00' });
  const after = await get(paths.money);
  expect(textOf(after)).not.toContain('Set aside for Ember');
  expect(tableRows(after, 'Since the cash was counted').at(-1)).toEqual([
    'Vet on 15 January 2026, for Ember',
    'Jan 26',
    '−€4.00',
  ]);
  await planNow(db, library, today, 300);
  expect(months()).toEqual([0]);
});

test('Where more is set aside than there is, the money page says for whom, and nothing is planned ahead of it', async () => {
  const app = await gecko();
  keepMoney(app.db, 20_00, 30_00);
  await note(app, 'appetite', { worrying: 'yes', setAside: '45' });
  expect(textsOf(await app.get(paths.money), '.decision p').slice(0, 3)).toEqual([
    'In January 2026 you are €15.00 short, before anything new is bought.',
    'In it is what you set aside for vet visits: €45.00 for Ember. No purchase comes before it.',
    expect.stringContaining('Nothing among the one-off sums is marked as able to wait.'),
  ]);
});

test('Without a payment what was set aside is free again', async () => {
  const app = await gecko();
  keepMoney(app.db, 20_00, 30_00);
  await note(app, 'appetite', { worrying: 'yes', setAside: '20' });
  const endOfJanuary = async () => tableRows(await app.get(paths.money), 'Owed and in hand')[0]!.at(-1);
  expect(await endOfJanuary()).toBe('€10.00');
  await app.submit(await app.get(urls.settle(1, 1)), { how: 'passed' });
  expect(await endOfJanuary()).toBe('€30.00');
  await app.submit(await app.get(urls.settle(1, 1)), { how: 'open' });
  expect(await endOfJanuary()).toBe('€10.00');
});

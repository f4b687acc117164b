// The questions of the cap as a browser sees them: each form good and bad, and answers worked out to the end by the real thread.

import { expect, test } from 'vitest';
import { QUESTION_KINDS } from '../../../server/cap-words.ts';
import { listQuestions, readCap, saveCap } from '../../../server/db/cap.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { paths } from '../../../server/paths.ts';
import { DEFAULT_CAP_SETTINGS } from '../../../src/collection-cap.ts';
import { money } from '../../../src/money.ts';
import {
  type Answer,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  tableRows,
  textOf,
  textsOf,
} from '../../support/app.ts';
import { keepSmallLedger } from '../../support/ledger.ts';

async function ledger(): Promise<TestApp> {
  const app = await startApp({ planningMilliseconds: 2000 });
  keepSmallLedger(app.db);
  const said = {
    quarantinePlace: 'yes' as const,
    quarantineWeeks: 9,
    quarantineBox: money(10_00),
    newcomerVet: money(5_00),
  };
  saveCap(app.db, 1, { ...DEFAULT_CAP_SETTINGS, ...said }, []);
  return app;
}

async function answered({ get }: TestApp): Promise<Answer> {
  for (let tries = 0; tries < 300; tries++) {
    const page = await get(paths.cap.progress);
    if (page.status === 303) return get(page.location!);
    expect(textOf(page)).toContain('Working out the answer');
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('no answer came');
}

const newcomer = { species: 'leopard-gecko', food: '2', substrate: '1', vet: '1', ownPrice: '30' };

test('The page of the cap lists every question, and no other page leads to one more animal', async () => {
  const app = await ledger();
  const page = await app.get(paths.cap.show);
  for (const kind of QUESTION_KINDS)
    expect(page.document.querySelector(`a[href="${paths.cap.ask(kind)}"]`), kind).not.toBeNull();
  for (const path of [paths.home, paths.money, paths.upgrades.list, paths.species.list, paths.animals.list])
    expect((await app.get(path)).body).not.toContain(paths.cap.ask('one-more'));
});

test('One more animal is asked for, worked out to the end, kept, and told with the law first', async () => {
  const app = await ledger();
  const sent = await app.submit(await app.get(paths.cap.ask('one-more')), newcomer);
  expect([sent.status, sent.location]).toEqual([303, paths.cap.progress]);
  const page = await answered(app);
  expect(page.status).toBe(200);
  const text = textOf(page);
  expect(text).toContain('Check your local law');
  expect(text).toContain('No room for one more now');
  // Ember is without heat in every month, whatever is bought, so that no later month is promised.
  expect(text).toContain('In no month from January 2026 to');
  expect(text).toContain('animals severely short shuts the gate; in the last one: One animal is severely short then.');
  expect(text).toContain('Ember');
  expect(text).toContain('Its set-up: €30.00, by your own figure.');
  expect(tableRows(page, 'Animal by animal, against the present').map((one) => one[0])).toEqual(['Ember']);
  const kept = listQuestions(app.db, 9);
  expect(kept).toMatchObject([{ question: { ask: 'one-more' }, outcome: { status: 'planned' } }]);
  // It is no plan, and changes none.
  expect(latestPlan(app.db)).toBeNull();
  expect(textsOf(await app.get(paths.cap.show), `a[href="${paths.cap.answer(kept[0]!.id)}"]`)).toHaveLength(1);
  // What is not known is named with the form that takes it, and only that.
  expect(text).toContain('Minutes a week: Minutes a week for Ember were never said.');
  expect(page.document.querySelector(`.conflict li a[href="${paths.cap.change}"]`)).not.toBeNull();
  expect(text).not.toContain('The ledger has changed since');
  // What is said for the cap changes no plan and makes an answer old all the same.
  const { settings, version } = readCap(app.db);
  saveCap(app.db, version, { ...settings, minutesAWeek: 600 }, []);
  const later = await app.get(paths.cap.answer(kept[0]!.id));
  expect(textOf(later)).toContain('The ledger has changed since This was worked out on 15 January 2026');
  const again = await app.get(later.document.querySelector('.conflict a.button')!.getAttribute('href')!);
  expect(formValues(again.document.querySelector('main form')!)).toMatchObject({
    species: 'leopard-gecko',
    food: '2.00',
    ownPrice: '30.00',
  });
}, 60_000);

test('A bill that cannot be paid is told with month and sum', async () => {
  const app = await ledger();
  await app.submit(await app.get(paths.cap.ask('emergency')), { amount: '500', month: '2026-01' });
  expect(textOf(await app.get(paths.cap.progress))).toContain('a bill of €500.00 in January 2026');
  expect(textOf(await answered(app))).toContain('It cannot be paid: €470.00 would be lacking in January 2026');
}, 60_000);

test('A question can be stopped, and ends with what there is', async () => {
  const app = await ledger();
  await app.submit(await app.get(paths.cap.ask('price-rise')), { percent: '20' });
  expect((await app.post(paths.cap.stop)).location).toBe(paths.cap.progress);
  expect((await answered(app)).status).toBe(200);
}, 60_000);

test.each([
  ['one-more', { ...newcomer, species: '' }, 'species'],
  ['one-more', { ...newcomer, species: 'dragon' }, 'species'],
  ['one-more', { ...newcomer, food: '' }, 'food'],
  ['one-more', { ...newcomer, vet: '-1' }, 'vet'],
  ['one-more', { ...newcomer, length: 'long' }, 'length'],
  ['rehome', { animal: '99' }, 'animal'],
  ['rehome', { animal: '' }, 'animal'],
  ['price-rise', { percent: '0' }, 'percent'],
  ['price-rise', { percent: 'ten' }, 'percent'],
  ['tariff-rise', { percent: '20' }, 'percent'],
  ['lost-month', { month: '2026-01' }, 'month'],
  ['lost-month', { month: '2031-01' }, 'month'],
  ['lost-month', { month: 'May' }, 'month'],
  ['emergency', { month: '2025-12', amount: '5' }, 'month'],
  ['emergency', { month: '2026-02', amount: '0' }, 'amount'],
  ['emergency', { month: '2026-02', amount: '' }, 'amount'],
] as const)('A wrong %s (%o) is named at its field', async (kind, typed, field) => {
  const app = await ledger();
  const bad = await app.post(paths.cap.ask(kind), typed as Record<string, string>);
  expect(bad.status).toBe(422);
  expect(mistakesOf(bad).map((one) => one.field)).toEqual([field]);
  expect(listQuestions(app.db, 1)).toEqual([]);
});

test('Without money no question is answered, and without a word on quarantine one more animal asks for it and keeps it', async () => {
  const app = await startApp();
  expect((await app.get(paths.cap.ask('emergency'))).location).toBe(paths.roadmap.show);
  keepSmallLedger(app.db);
  const unsaid = await app.get(paths.cap.ask('one-more'));
  const asked = [...unsaid.document.querySelectorAll('[name^=quarantine], [name=newcomerVet]')];
  expect(new Set(asked.map((one) => one.getAttribute('name')))).toEqual(
    new Set(['quarantinePlace', 'quarantineWeeks', 'quarantineBox', 'newcomerVet']),
  );
  const said = { quarantineWeeks: '12', quarantineBox: '10', newcomerVet: '60' };
  expect((await app.submit(unsaid, { ...newcomer, ...said })).status).toBe(303);
  expect(readCap(app.db).settings.quarantinePlace).toBeNull();
  const place = await app.get(paths.cap.ask('one-more'));
  expect((await app.submit(place, { ...newcomer, quarantinePlace: 'yes' })).status).toBe(303);
  expect(readCap(app.db).settings).toMatchObject({ quarantineWeeks: 12, quarantineBox: 10_00, newcomerVet: 60_00 });
  const again = await app.get(paths.cap.ask('one-more'));
  expect(again.document.querySelector('[name="quarantineWeeks"]')).toBeNull();
});

test('An answer that never was is not found', async () => {
  const { get } = await startApp();
  expect((await get(paths.cap.answer('7'))).status).toBe(404);
  expect((await get(paths.cap.progress)).location).toBe(paths.cap.show);
});

import { expect, test } from 'vitest';
import { findReading, loadCollection } from '../../../server/db/collection.ts';
import { changeLedger } from '../../../server/db/ledger.ts';
import { READING_KINDS } from '../../../src/collection.ts';
import { findForm, formValues, mistakesOf, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { appWithSnake, enclosureTexts, enter, readingTexts } from '../../support/collection.ts';

async function withReading(texts: Record<string, string> = {}): Promise<TestApp> {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', { ...readingTexts, ...texts });
  return app;
}

test('The page asks first what was read, and offers every kind with how it is read', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/readings/new');
  const links = [...page.document.querySelectorAll('main li a')].map((one) => one.getAttribute('href'));
  expect(new Set(links)).toEqual(new Set(READING_KINDS.map((kind) => `/enclosures/1/readings/new?kind=${kind}`)));
  expect(textOf(page)).toContain('one never stands for another');
});

// 86 °F = 30 °C and a difference of 1.8 °F = 1 °C: exact by the definition of the scales (NIST SP 811, appendix B).
test('Degrees Fahrenheit are kept in Celsius, an instrument error as a difference, and both come back as typed', async () => {
  const app = await withReading({ value: '86F', room: '68 °F', accuracy: '1.8 F' });
  expect(findReading(app.db, 1)).toMatchObject({
    value: 30,
    typed: '86F',
    roomCelsius: 20,
    roomTyped: '68 °F',
    accuracy: 1,
  });
  const edit = await app.get('/enclosures/1/readings/1/edit');
  expect(formValues(findForm(edit))).toMatchObject({ value: '86F', room: '68 °F', accuracy: '1 °C', hour: '14' });
  changeLedger(app.db, 1, { unitSystem: 'imperial' });
  expect(formValues(findForm(await app.get('/enclosures/1/readings/1/edit')))).toMatchObject({
    value: '86F',
    accuracy: '1.8 °F',
  });
  await app.submit(await app.get('/enclosures/1/readings/1/edit'));
  expect(findReading(app.db, 1)).toMatchObject({ value: 30, typed: '86F', roomCelsius: 20, accuracy: 1 });
});

test('A decimal comma is read, and a bare number takes the unit of the ledger', async () => {
  const app = await withReading({ value: '28,5' });
  expect(findReading(app.db, 1)).toMatchObject({ value: 28.5, typed: '28,5 °C' });
});

test('An unknown reading is kept as unknown, without a value, and is listed to be measured first', async () => {
  const app = await withReading({ evidence: 'unknown', value: '' });
  await enter(app, '/enclosures/1/fittings/new?kind=heat-mat', {
    name: 'Mat',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  expect(findReading(app.db, 1)).toMatchObject({ evidence: 'unknown', value: null, typed: '' });
  const [what, value, , , evidence] = tableRows(await app.get('/enclosures/1'), 'Latest reading of each kind')[0]!;
  expect([what, value, evidence]).toEqual(['Temperature of the floor of the warm hide', 'unknown', 'unknown']);
  const list = textOf((await app.get('/animals/1')).document.querySelector('.measure-first'));
  expect(list).toContain('The temperature of the floor of the warm hide is entered as unknown.');
});

test.each([
  [{ value: '' }, 'value', 'Give the value, or choose “unknown”.'],
  [{ evidence: 'unknown' }, 'value', 'Empty the value, or choose “measured” or “estimated”.'],
  [{ evidence: 'guessed' }, 'evidence', 'Choose one of the answers listed for how it is known.'],
  [{ value: 'warm' }, 'value', 'Write the value as a number, with its unit if you like.'],
  [{ value: '1.234,5' }, 'value', 'Write the value as a number, with its unit if you like.'],
  [{ value: '300' }, 'value', 'Check the value: it must be between -30 °C and 120 °C.'],
  [{ value: '-40' }, 'value', 'Check the value: it must be between -30 °C and 120 °C.'],
  [{ value: '30 %' }, 'value', 'Write the value in °C or °F.'],
  [{ takenOn: '' }, 'takenOn', 'Fill in the day it was taken.'],
  [
    { takenOn: '2026-02-31' },
    'takenOn',
    'Give the day it was taken as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
  ],
  [{ takenOn: '2026-01-16' }, 'takenOn', 'Check the day it was taken: it lies in the future.'],
  [{ hour: '24' }, 'hour', 'Write the hour as a whole hour from 0 to 23, such as 18.'],
  [{ room: '70' }, 'room', 'Check the temperature of the room: it is hotter than any room.'],
  [{ accuracy: '-1' }, 'accuracy', 'Check the error of the instrument: it must be between 0 °C and 50 °C.'],
] as [Record<string, string>, string, string][])(
  'A reading with %j comes back with a sentence at the field',
  async (texts, field, message) => {
    const app = await appWithSnake();
    const typed: Record<string, string> = { ...readingTexts, notes: 'after\nlunch', ...texts };
    const answer = await app.post('/enclosures/1/readings/new?kind=warm-hide-floor', typed);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    const shown = formValues(findForm(answer));
    for (const [name, text] of Object.entries(typed))
      if (name !== 'evidence' || text !== 'guessed') expect(shown[name]).toBe(text);
    expect(loadCollection(app.db).readings).toEqual([]);
  },
);

test.each([
  ['uvi-basking', '61', 'Check the value: it must be between 0 and 60.'],
  ['humidity-day', '101', 'Check the value: it must be between 0 % and 100 %.'],
  ['water-depth', '30 l', 'Write the value in mm, cm, m, in or ft.'],
])('A reading of %s of %j is refused in the words of its own unit', async (kind, value, message) => {
  const app = await appWithSnake();
  const answer = await app.post(`/enclosures/1/readings/new?kind=${kind}`, { ...readingTexts, value });
  expect(mistakesOf(answer)).toEqual([{ field: 'value', message }]);
});

test('Of two changes to one reading the second is shown beside the first', async () => {
  const app = await withReading();
  const [first, second] = [
    await app.get('/enclosures/1/readings/1/edit'),
    await app.get('/enclosures/1/readings/1/edit'),
  ];
  await app.submit(first, { value: '31' });
  const conflict = await app.submit(second, { value: '32' });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toContainEqual(['Value', '31 °C', '32']);
  await app.submit(conflict);
  expect(findReading(app.db, 1)).toMatchObject({ value: 32 });
});

test('A removed reading gives way to the one before it, and can be put back', async () => {
  const app = await withReading();
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', {
    ...readingTexts,
    value: '24',
    takenOn: '2026-01-12',
  });
  const latest = async () => tableRows(await app.get('/enclosures/1'), 'Latest reading of each kind')[0]![1];
  expect(await latest()).toBe('24 °C');
  await app.submit(await app.get('/enclosures/1/readings/2/remove'));
  expect(await latest()).toBe('30 °C');
  await app.submit(await app.get('/enclosures/1'), {}, '/enclosures/1/readings/2/put-back');
  expect(await latest()).toBe('24 °C');
});

test('A reading is not found below an enclosure it was not taken in', async () => {
  const app = await withReading();
  await enter(app, '/enclosures/new', enclosureTexts);
  expect((await app.get('/enclosures/2/readings/1/edit')).status).toBe(404);
  expect((await app.get('/enclosures/1/readings/8/edit')).status).toBe(404);
});

test('By a clock of twelve hours an hour is typed and shown with am or pm, and a bare one is not guessed', async () => {
  const app = await appWithSnake();
  changeLedger(app.db, 1, { clockHours: 12, locale: 'en-US' });
  const form = '/enclosures/1/readings/new?kind=night-air';
  const bare = await app.submit(await app.get(form), { value: '21', hour: '6' });
  expect([bare.status, mistakesOf(bare)]).toEqual([
    422,
    [{ field: 'hour', message: 'Write am or pm after the hour, such as 6 pm.' }],
  ]);
  expect((await app.submit(bare, { hour: '6 PM' })).status).toBe(303);
  expect(textOf(await app.get('/enclosures/1'))).toContain('at 6:00 pm');
  expect(formValues(findForm(await app.get('/enclosures/1/readings/1/edit')))).toMatchObject({ hour: '6 pm' });
});

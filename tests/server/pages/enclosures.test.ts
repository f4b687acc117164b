import { expect, test } from 'vitest';
import { findEnclosure, loadCollection } from '../../../server/db/collection.ts';
import { changeLedger } from '../../../server/db/ledger.ts';
import { findForm, formValues, mistakesOf, startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enclosureTexts, enter, readingTexts } from '../../support/collection.ts';

test('Without an enclosure the list says what to do first', async () => {
  const { get } = await startApp();
  const page = await get('/enclosures');
  expect(textOf(page)).toContain('No enclosure is entered yet');
  expect(page.document.querySelector('a.button-primary')?.getAttribute('href')).toBe('/enclosures/new');
});

test('An enclosure typed in three units is kept in millimetres, and its form shows it as it was typed', async () => {
  const app = await startApp();
  const answer = await app.submit(await app.get('/enclosures/new'), {
    ...enclosureTexts,
    length: '4 ft',
    depth: '0,6 m',
    height: '457mm',
  });
  expect(answer.status).toBe(303);
  expect(answer.location).toBe('/enclosures/1?done=added');
  expect(findEnclosure(app.db, 1)).toMatchObject({
    lengthMm: 1219.2,
    depthMm: 600,
    heightMm: 457,
    boxSince: '2025-06-01',
  });
  expect(formValues(findForm(await app.get('/enclosures/1/edit')))).toMatchObject({
    length: '4 ft',
    depth: '0,6 m',
    height: '457mm',
    boxChanged: 'no',
  });
  const shown = await app.get('/enclosures/1');
  expect(textOf(shown)).toContain('4 ft × 0,6 m × 457mm (length × depth × height), which is 122 × 60 × 46 cm');
  expect(textOf(shown)).toContain('0.73 m²');
});

test('In a ledger of inches a bare number means inches', async () => {
  const app = await startApp();
  changeLedger(app.db, 1, { unitSystem: 'imperial' });
  await enter(app, '/enclosures/new', { ...enclosureTexts, length: '48', depth: '24', height: '24' });
  expect(findEnclosure(app.db, 1)).toMatchObject({ lengthMm: 1219.2, lengthTyped: '48 in' });
  const shown = await app.get('/enclosures/1');
  expect(textOf(shown)).toContain('8 sq ft');
  expect(tableRows(await app.get('/enclosures'), 'Enclosures')[0]![1]).toBe('48 × 24 × 24 in');
});

test.each([
  ['name', '', 'Fill in the name.'],
  ['name', 'x'.repeat(81), 'Shorten the name to at most 80 characters; it has 81.'],
  ['length', '', 'Fill in the inside length.'],
  ['length', '-90', 'Check the inside length: it must be between 0.1 cm and 2000 cm.'],
  ['length', '99999 m', 'Check the inside length: it must be between 0.1 cm and 2000 cm.'],
  ['depth', 'wide', 'Write the inside depth as a number, with its unit if you like.'],
  ['height', '45 kg', 'Write the inside height in mm, cm, m, in or ft.'],
  ['material', 'lava', 'Choose one of the answers listed for the walls.'],
  [
    'boxSince',
    '2026-02-31',
    'Give the day as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
  ],
  ['boxSince', '2026-01-16', 'Check the day: it lies in the future.'],
])(
  'A new enclosure with %s %j comes back with a sentence at the field and everything typed',
  async (field, typed, message) => {
    const app = await startApp();
    const typedTexts = { ...enclosureTexts, notes: 'north wall', [field]: typed };
    const answer = await app.post('/enclosures/new', typedTexts);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    const shown = formValues(findForm(answer));
    for (const [name, text] of Object.entries(typedTexts)) {
      if (name !== 'material' || text === 'glass') expect(shown[name]).toBe(text);
    }
    expect(loadCollection(app.db).enclosures).toEqual([]);
  },
);

test('A replaced box ends the readings taken before, and a correction of its measures does not', async () => {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/readings/new?kind=humidity-day', { ...readingTexts, value: '50' });
  const state = async () => tableRows(await app.get('/enclosures/1'), 'Latest reading of each kind')[0]![3];
  expect(await state()).toMatch(/^Holds: measured (today|\d+ days? ago)$/);

  await app.submit(await app.get('/enclosures/1/edit'), { length: '91 cm' });
  expect(findEnclosure(app.db, 1)).toMatchObject({ lengthMm: 910, boxSince: '2025-06-01' });
  expect(await state()).toMatch(/^Holds: measured (today|\d+ days? ago)$/);

  const dateless = await app.submit(await app.get('/enclosures/1/edit'), { boxChanged: 'yes' });
  expect(mistakesOf(dateless)).toEqual([{ field: 'boxChangedOn', message: 'Fill in the day.' }]);

  await app.submit(await app.get('/enclosures/1/edit'), {
    length: '150 cm',
    boxChanged: 'yes',
    boxChangedOn: '2026-01-12',
  });
  expect(findEnclosure(app.db, 1)).toMatchObject({ lengthMm: 1500, boxSince: '2026-01-12' });
  expect(await state()).toBe('No longer holds: the box has changed since');
  expect(textOf(await app.get('/animals/1'))).toContain(
    'The relative humidity by day was read before the enclosure was set up as it is now; that reading no longer holds.',
  );
});

test('Of two people who change an enclosure the second sees both versions and loses nothing', async () => {
  const app = await appWithSnake();
  const [first, second] = [await app.get('/enclosures/1/edit'), await app.get('/enclosures/1/edit')];
  expect((await app.submit(first, { name: 'Lower shelf' })).status).toBe(303);
  const conflict = await app.submit(second, { name: 'Middle shelf', length: '1 m' });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toContainEqual(['Name', 'Lower shelf', 'Middle shelf']);
  expect(findEnclosure(app.db, 1)).toMatchObject({ name: 'Lower shelf' });
  expect(formValues(findForm(conflict))).toMatchObject({ name: 'Middle shelf', length: '1 m' });
  expect((await app.submit(conflict)).status).toBe(303);
  expect(findEnclosure(app.db, 1)).toMatchObject({ name: 'Middle shelf', lengthMm: 1000 });
});

test('A removed enclosure is told to leave its animal without a home, and comes back with everything', async () => {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/fittings/new?kind=hide', {
    name: 'Bark',
    fittedOn: '2025-07-01',
    place: 'warm',
    whenBoxReplaced: 'moves',
  });
  const before = loadCollection(app.db);
  const question = await app.get('/enclosures/1/remove');
  expect(textsOf(question, '.reason-list li').join(' ')).toMatch(
    /Maize stays in the ledger without an enclosure.*\(1\)/,
  );
  const answer = await app.submit(question);
  expect(answer.location).toBe('/enclosures?done=removed-kept');
  expect((await app.get('/enclosures/1')).status).toBe(404);
  expect(textOf(await app.get('/animals/1'))).toContain('Maize lives in no enclosure of this ledger');
  expect(formValues(findForm(await app.get('/animals/1/edit'))).enclosure).toBe('1');

  const list = await app.get('/enclosures');
  expect((await app.submit(list, {}, '/enclosures/1/put-back')).location).toBe('/enclosures/1?done=put-back');
  expect(loadCollection(app.db)).toEqual(before);
});

test('Removing from a page that is out of date changes nothing', async () => {
  const app = await appWithSnake();
  const question = await app.get('/enclosures/1/remove');
  await app.submit(await app.get('/enclosures/1/edit'), { name: 'Other' });
  expect((await app.submit(question)).status).toBe(409);
  expect(findEnclosure(app.db, 1)).toMatchObject({ removedOn: null });
});

test('What was typed for an enclosure that was removed meanwhile is kept on the page', async () => {
  const app = await appWithSnake();
  const form = await app.get('/enclosures/1/edit');
  await app.submit(await app.get('/enclosures/1/remove'));
  const answer = await app.submit(form, { name: 'Mended' });
  expect(answer.status).toBe(409);
  expect(textsOf(answer, '.error-summary a')[0]).toMatch(/^This was removed while you were typing\. Put it back/);
  expect(formValues(findForm(answer))).toMatchObject({ name: 'Mended' });
});

test.each([
  '/enclosures/9',
  '/enclosures/9/edit',
  '/enclosures/9/remove',
  '/enclosures/0',
  '/enclosures/1e3',
  '/enclosures/x/edit',
])('There is no enclosure at %s', async (path) => {
  const app = await appWithSnake();
  expect((await app.get(path)).status).toBe(404);
});

test('A form without a version is refused before anything is read from it', async () => {
  const app = await appWithSnake();
  expect((await app.post('/enclosures/1/edit', { ...enclosureTexts, boxChanged: 'no' })).status).toBe(422);
  expect(findEnclosure(app.db, 1)).toMatchObject({ version: 1 });
});

test('Markup in a name is shown as text', async () => {
  const app = await appWithSnake({ enclosure: { name: '<img src=x onerror=alert(1)>' } });
  for (const path of ['/enclosures', '/enclosures/1', '/enclosures/1/edit', '/animals/1']) {
    const page = await app.get(path);
    expect(page.document.querySelector('img'), path).toBe(null);
    expect(page.body, path).toContain('&lt;img');
  }
});

import { expect, test } from 'vitest';
import { listAnswers } from '../../../server/db/collection.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { CHECKS } from '../../../src/collection.ts';
import { findForm, formValues, mistakesOf, startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake } from '../../support/collection.ts';

test('Checks that were never answered read as unknown, and only what was answered is kept', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/checks');
  const { version: _, ...values } = formValues(findForm(page));
  expect(values).toEqual(Object.fromEntries(CHECKS.map((check) => [check, 'unknown'])));
  const answer = await app.submit(page, { 'escape-proof': 'yes', 'smoke-alarm': 'no' });
  expect(answer.location).toBe('/enclosures/1?done=saved');
  expect(listAnswers(app.db, 1)).toEqual([
    { enclosureId: '1', check: 'escape-proof', answer: 'yes', answeredOn: '2026-01-15' },
    { enclosureId: '1', check: 'smoke-alarm', answer: 'no', answeredOn: '2026-01-15' },
  ]);
  const shown = tableRows(await app.get('/enclosures/1'), 'Questions that only you can answer');
  expect(shown.map((row) => row[1]).sort()).toEqual(['No', ...Array(CHECKS.length - 2).fill('Not answered'), 'Yes']);
});

test('Saving answers counts as a change that a plan depends on', async () => {
  const app = await appWithSnake();
  const before = ledgerVersion(app.db);
  await app.submit(await app.get('/enclosures/1/checks'), { 'nothing-toxic': 'yes' });
  expect(ledgerVersion(app.db)).toBeGreaterThan(before);
});

test('A failed critical check makes safety severe on the score page, and an unanswered one is only unknown', async () => {
  const app = await appWithSnake();
  const safety = async () => (await app.get('/animals/1')).document.getElementById('need-safety');
  expect(textOf((await safety())!.querySelector('.tag'))).not.toBe('severe');
  await app.submit(await app.get('/enclosures/1/checks'), { 'escape-proof': 'no' });
  expect(textOf((await safety())!.querySelector('.tag'))).toBe('severe');
  expect(textOf(await safety())).toContain('The enclosure is not escape-proof.');
});

test.each([[''], ['maybe']])('The answer %j is refused at its own question and the others are kept', async (typed) => {
  const app = await appWithSnake();
  const answer = await app.submit(await app.get('/enclosures/1/checks'), {
    'smoke-alarm': typed,
    'escape-proof': 'yes',
  });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([
    {
      field: 'smoke-alarm',
      message: 'Choose one of the answers listed for “Is there a tested smoke alarm in the room?”.',
    },
  ]);
  expect(formValues(findForm(answer))['escape-proof']).toBe('yes');
  expect(listAnswers(app.db, 1)).toEqual([]);
});

test('Of two pages of answers the second is shown what the first saved', async () => {
  const app = await appWithSnake();
  const [first, second] = [await app.get('/enclosures/1/checks'), await app.get('/enclosures/1/checks')];
  await app.submit(first, { 'escape-proof': 'yes' });
  const conflict = await app.submit(second, { 'escape-proof': 'no' });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toContainEqual(['Can nobody get out?', 'Yes', 'No']);
  expect(listAnswers(app.db, 1)).toMatchObject([{ answer: 'yes' }]);
  expect((await app.submit(conflict)).status).toBe(303);
  expect(listAnswers(app.db, 1)).toMatchObject([{ answer: 'no' }]);
});

test('There are no checks of an enclosure that does not exist', async () => {
  const app = await startApp();
  expect((await app.get('/enclosures/3/checks')).status).toBe(404);
  expect((await app.post('/enclosures/3/checks')).status).toBe(404);
});

test('The page says what each question is about', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/checks');
  expect(textsOf(page, 'legend')).toHaveLength(CHECKS.length);
  expect(textOf(page)).toContain('A probe that slips off its place lets the heater run on.');
});

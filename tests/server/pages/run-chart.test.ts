import { expect, test } from 'vitest';
import { addDays, plainDate } from '../../../src/calendar.ts';
import { type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';
import { keepReading } from '../../support/ledger.ts';
import { makeReading } from '../../support/make.ts';

const url = '/enclosures/1/readings/of/warm-hide-floor';

async function withReadings(values: readonly number[]): Promise<TestApp> {
  const app = await appWithSnake();
  for (const [day, value] of values.entries())
    keepReading(
      app.db,
      makeReading('warm-hide-floor', value, { takenOn: addDays(plainDate('2025-12-01'), day), instrument: 'Probe' }),
    );
  return app;
}

test('Without a reading the page says so and draws nothing', async () => {
  const app = await withReadings([]);
  const page = await app.get(url);
  expect(textOf(page)).toContain('Nothing was measured yet.');
  expect(page.document.querySelector('main svg')).toBeNull();
});

test('A few readings are drawn with target and median, and the page says why there are no limits', async () => {
  const app = await withReadings([30, 31, 35]);
  const page = await app.get(url);
  expect([...page.document.querySelectorAll('main circle')]).toHaveLength(3);
  expect([...page.document.querySelectorAll('main .chart-target')]).toHaveLength(1);
  expect([...page.document.querySelectorAll('main .chart-line-limit')]).toHaveLength(0);
  const findings = textsOf(page, '.reason-list li');
  expect(findings).toEqual([
    'Target for Maize today: 28 to 32 °C. 2 of 3 readings that count lie in it.',
    'Median of the 3 since 1 June 2025: 31 °C.',
    'No limits are drawn: that takes 12 readings of an unchanged set-up, and there are 3.',
  ]);
  expect(tableRows(page, 'In the order they were taken, newest first')[0]).toEqual([
    '3 December 2025',
    '35 °C',
    'Probe',
    '–',
    'Change',
  ]);
});

test('From twelve readings on limits are drawn and what lies beyond them is marked in drawing and table', async () => {
  const app = await withReadings([30, 31, 30, 29, 30, 31, 30, 29, 30, 31, 30, 38, 30]);
  const page = await app.get(url);
  expect([...page.document.querySelectorAll('main .chart-line-limit')]).toHaveLength(2);
  expect([...page.document.querySelectorAll('main .chart-dot-marked')]).toHaveLength(2);
  // Mean 399/13 = 30.69; the twelve steps sum to 26, so 2.660 x 26/12 = 5.76 either side.
  expect(textOf(page)).toContain('between 24.9 °C and 36.5 °C');
  expect(textOf(page)).toContain('Outside these limits: 1. Steps larger than is usual: 2.');
  expect(tableRows(page, 'In the order they were taken, newest first')[1]![3]).toBe(
    'outside the limits; a large step from the one before',
  );
});

test('After something that touches it was fitted earlier readings are shown and do not count', async () => {
  const app = await withReadings([30, 31, 30]);
  await enter(app, '/enclosures/1/fittings/new?kind=heat-mat', {
    name: 'Mat',
    fittedOn: '2025-12-20',
    whenBoxReplaced: 'moves',
  });
  const page = await app.get(url);
  expect([...page.document.querySelectorAll('main .chart-dot-old')]).toHaveLength(3);
  expect(textOf(page)).toContain('Nothing was measured since 20 December 2025');
  expect(tableRows(page, 'In the order they were taken, newest first')[0]![3]).toBe(
    'before 20 December 2025: does not count',
  );
});

test('One reading, and several on one day, are drawn too', async () => {
  const app = await withReadings([30]);
  expect((await app.get(url)).status).toBe(200);
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', { ...readingTexts, takenOn: '2025-12-01' });
  const page = await app.get(url);
  expect([...page.document.querySelectorAll('main circle')]).toHaveLength(2);
  expect(page.body).not.toContain('NaN');
});

test('The latest readings lead to the page, and a kind that does not exist has none', async () => {
  const app = await withReadings([30]);
  const links = [...(await app.get('/enclosures/1')).document.querySelectorAll('a')].map((one) =>
    one.getAttribute('href'),
  );
  expect(links).toContain(url);
  expect((await app.get('/enclosures/1/readings/of/mood')).status).toBe(404);
  expect((await app.get('/enclosures/9/readings/of/water')).status).toBe(404);
});

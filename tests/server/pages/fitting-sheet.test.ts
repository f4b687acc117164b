// Fitting sheets and promises as a browser sees them: a tube is bought, fitted by its sheet, read, and held against what it promised.

import { expect, test } from 'vitest';
import { listPredictions } from '../../../server/db/predictions.ts';
import { addUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { lampOf } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import type { Change } from '../../../src/upgrades.ts';
import { bareFitting } from '../../../src/upgrades.ts';
import { type TestApp, tableRows, textOf } from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';
import { makeUpgrade } from '../../support/make.ts';

const tube: Change = {
  change: 'fit',
  enclosureId: '1',
  fitting: {
    ...bareFitting('uv-tube', 'Weak tube'),
    key: 'tube',
    watts: 13,
    hoursPerDay: 10,
    lifeMonths: 12,
    // A weak 30 cm tube, 10 in lit: UVI 0.8 at 10 in (common practice, no source).
    lamp: lampOf(254, 254, 0.8),
    distanceMm: 254,
    meshShare: 0.66,
  },
};

async function tubeApp(changes: Change[] = [tube]): Promise<TestApp> {
  const app = await appWithSnake();
  const price = { priceLow: money(20_00), priceHigh: money(30_00) };
  const { id: _, ...upgrade } = makeUpgrade('1', changes, { name: 'UV for the snake', ...price });
  addUpgrade(app.db, upgrade);
  return app;
}

const caption = 'What it promises and what was measured';

test('the sheet says distance, datum, mesh, settling, socket and the readings, each with its grade', async () => {
  const app = await tubeApp();
  const page = await app.get(paths.upgrades.sheet(1));
  expect(page.status).toBe(200);
  const text = textOf(page);
  expect(text).toContain('Hang it 25.4 cm from the back of the basking animal');
  expect(text).toContain('the middle of the tube’s glass. as entered');
  expect(text).toContain('pass 66 % of its UV');
  expect(text).toContain('first 100 hours');
  expect(text).toContain('Find out what else hangs on the socket');
  expect(text).toContain('Maize had no UV before');
  expect(text).toContain('Ask your vet about the D3 supplement');
  expect(text).toContain('24 to 48 hours without the animal');
  expect(text).toContain('UV index at the basking place, at midday');
  for (const grade of ['published', 'common practice, no source', 'from memory']) expect(text).toContain(grade);
  expect(text).not.toMatch(/\bis safe\b/);
  expect(textOf(await app.get(paths.upgrades.show(1)))).toContain('The sheet to fit it by');
});

test('fitting keeps what was promised, and a reading is held against it', async () => {
  const app = await tubeApp();
  expect(tableRows(await app.get(paths.upgrades.show(1)), caption)).toMatchObject([
    ['UV index at the basking place, “Top shelf”', /0\.5 ± 0/, '–', '–', 'not fitted'].map((one) =>
      typeof one === 'string' ? one : expect.stringMatching(one),
    ),
  ]);
  expect(listPredictions(app.db)).toEqual([]);
  await app.submit(await app.get(paths.upgrades.fitted(1)), { fittedOn: '2026-01-01', boughtOn: '2026-01-01' });
  expect(listPredictions(app.db)).toMatchObject([{ kind: 'uvi-basking', madeOn: '2026-01-01' }]);
  expect(listPredictions(app.db)[0]!.predicted).toBeCloseTo(0.8 * 0.66, 6);

  const waiting = await app.get(paths.upgrades.show(1));
  expect(textOf(waiting)).toContain('Fitted, awaiting readings: UV index at the basking place and UV index');
  expect(textOf(await app.get(paths.upgrades.list))).toContain('Fitted, awaiting readings');
  expect(tableRows(waiting, caption)[0]!.at(-1)).toBe('not read yet');

  // Ten days of ten hours after the first of January.
  const reading = { ...readingTexts, value: '0.2', takenOn: '2026-01-12', instrument: 'meter', accuracy: '0.05' };
  await enter(app, paths.enclosures.readings.newOf(1, 'uvi-basking'), reading);
  const page = await app.get(paths.upgrades.show(1));
  expect(tableRows(page, caption)[0]!.slice(2)).toEqual([
    '0.2 on 12 January 2026',
    expect.stringMatching(/^−0\.3 \(± 0\.\d\)$/),
    'below what was promised by more than the error',
  ]);
  expect(textOf(page)).toContain('Measure the distance from lamp to animal again.');
  expect(textOf(page)).toContain('Your lamps so far gave 0.38 of what the light model says (1 compared reading)');
  await enter(app, paths.enclosures.readings.newOf(1, 'uvi-lowest'), { ...reading, value: '0' });
  expect(textOf(await app.get(paths.upgrades.show(1)))).not.toContain('awaiting readings');
});

test('the sheet of a fitted upgrade still says that its animal had no UV before it', async () => {
  const app = await tubeApp();
  await app.submit(await app.get(paths.upgrades.fitted(1)), { fittedOn: '2026-01-01', boughtOn: '2026-01-01' });
  const text = textOf(await app.get(paths.upgrades.sheet(1)));
  expect(text).toContain('Fitted on 1 January 2026.');
  expect(text).toContain('Maize had no UV before');
});

test('an upgrade that fits nothing says so, and one that never was is not found', async () => {
  const app = await tubeApp([]);
  expect(textOf(await app.get(paths.upgrades.sheet(1)))).toContain('there is nothing to fit');
  expect((await app.get(paths.upgrades.sheet(99))).status).toBe(404);
});

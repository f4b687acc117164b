// The last day on which a purchase can go back: typed when it is bought, corrected later, and shown wherever the purchase stands.

import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { paths } from '../../../server/paths.ts';
import { startApp, textOf, textsOf } from '../../support/app.ts';
import { keepSmallLedger } from '../../support/ledger.ts';

test('A last day to go back is typed when it is bought, corrected, and shown on each page until it is over', async () => {
  let now = new Date('2026-01-15T12:00:00Z');
  const app = await startApp({ now: () => now });
  keepSmallLedger(app.db);
  const wrong = await app.submit(await app.get(paths.upgrades.bought('1')), { returnBy: '2026-01-14' });
  expect(wrong.status).toBe(422);
  expect(textOf(wrong)).toContain('cannot be before the day it was bought');
  await app.submit(wrong, { returnBy: '2026-01-29' });
  const calm = await app.get(paths.upgrades.show('1'));
  expect(textOf(calm)).toContain('Can go back until29 January 2026');
  expect(textOf(await app.get(paths.thisMonth))).toContain('It can go back until 29 January 2026.');
  expect(textsOf(await app.get(paths.home), 'main h2')).not.toContain('Can go back only a few days more');

  const correct = await app.get(paths.upgrades.returnBy('1'));
  const early = await app.submit(correct, { returnBy: '2026-01-10' });
  expect(early.status).toBe(422);
  expect((await app.submit(early, { returnBy: '2026-01-22' })).status).toBe(303);
  expect(textOf(await app.get(paths.home))).toContain(
    'Warm cave: it can go back until 22 January 2026, which is in 7 days, and what it promised is not all read yet.',
  );
  const calendar = (await app.get(paths.export.calendar)).body;
  const event = new ICAL.Component(ICAL.parse(calendar))
    .getAllSubcomponents('vevent')
    .map((one) => new ICAL.Event(one))
    .find((one) => one.uid.startsWith('return-1-'))!;
  expect([event.startDate.toString(), event.startDate.isDate, event.summary]).toEqual([
    '2026-01-22',
    true,
    'Last day it can go back: Warm cave',
  ]);

  // Fitted and with no reading to wait for, nothing presses any more.
  await app.submit(await app.get(paths.upgrades.fitted('1')), { fittedOn: '2026-01-15' });
  expect(textsOf(await app.get(paths.home), 'main h2')).not.toContain('Can go back only a few days more');
  now = new Date('2026-01-23T12:00:00Z');
  expect(textOf(await app.get(paths.thisMonth))).not.toContain('22 January 2026');
  expect(textOf(await app.get(paths.upgrades.show('1')))).toContain('Could go back until22 January 2026');
  await app.submit(await app.get(paths.upgrades.returnBy('1')), { returnBy: '' });
  expect(textOf(await app.get(paths.upgrades.show('1')))).not.toMatch(/(Can|Could) go back until/);

  // What is fitted at once never had a form of its being bought.
  const fitted = await app.get(paths.upgrades.fitted('3'));
  const days = { fittedOn: '2026-01-23', boughtOn: '2026-01-20' };
  const before = await app.submit(fitted, { ...days, returnBy: '2026-01-19' });
  expect(before.status).toBe(422);
  expect(textOf(before)).toContain('cannot be before the day it was bought');
  await app.submit(before, { returnBy: '2026-02-20' });
  expect(textOf(await app.get(paths.upgrades.show('3')))).toContain('Can go back until20 February 2026');
});

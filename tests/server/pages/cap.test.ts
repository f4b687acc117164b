// The pages of the cap as a browser sees them: what is shown for a ledger, and the form with good, bad and stale answers.

import { expect, test } from 'vitest';
import { readCap, saveCap } from '../../../server/db/cap.ts';
import { changeLedger, ledgerVersion, readLedger } from '../../../server/db/ledger.ts';
import { holdsAmounts } from '../../../server/db/money.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { backlogOf, DEFAULT_CAP_SETTINGS } from '../../../src/collection-cap.ts';
import { money } from '../../../src/money.ts';
import { mistakesOf, startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { keepSmallLedger } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const said = {
  minutesAWeek: '300',
  floorM2: '2,5',
  largestEmergency: '150',
  quarantinePlace: 'yes',
  quarantineWeeks: '12',
  quarantineBox: '40',
  newcomerVet: '60',
  cushionPercent: '10',
  clearMonths: '12',
  'minutes-1': '60',
  'food-1': '5',
  'substrate-1': '1,50',
  'vet-1': '3',
};

test('Without an animal there is no cap, and one may be entered', async () => {
  const { get } = await startApp();
  const page = await get(paths.cap.show);
  expect(page.status).toBe(200);
  expect(textsOf(page, '.empty-state h2')).toEqual(['No animal is entered yet']);
  expect(textsOf(page, 'table')).toEqual([]);
});

test('What was never said is asked for, and never counts as room', async () => {
  const { get, db } = await startApp();
  keepSmallLedger(db);
  const page = await get(paths.cap.show);
  expect(textsOf(page, '.decision h2')[0]).not.toContain('there is room for one more');
  const asked = textsOf(page, '.reason-list li').join(' ');
  for (const one of [
    'Minutes a week for Ember',
    'minutes a week you have',
    'floor the enclosures may take',
    'emergency',
    'Quarantine',
    'No socket',
    'before a plan was made',
  ])
    expect(asked).toContain(one);
});

test('What is typed is kept with every gap, makes no plan older, and is shown', async () => {
  const { get, submit, db } = await startApp();
  keepSmallLedger(db);
  const version = ledgerVersion(db);
  const saved = await submit(await get(paths.cap.change), { ...said, 'substrate-1': '' });
  expect([saved.status, saved.location]).toEqual([303, `${paths.cap.show}?done=saved`]);
  expect(readCap(db)).toMatchObject({
    settings: {
      minutesAWeek: 300,
      floorM2: 2.5,
      largestEmergency: 150_00,
      quarantinePlace: 'yes',
      quarantineBox: 40_00,
    },
    upkeep: [{ animalId: '1', minutesAWeek: 60, food: 5_00, substrate: null, vet: 3_00 }],
    version: 2,
  });
  expect(ledgerVersion(db)).toBe(version);
  const rows = tableRows(await get(paths.cap.show), 'Used and there');
  expect(rows.find((one) => one[0] === 'Minutes a week')).toMatchObject([
    'Minutes a week',
    '60 min',
    '300 min',
    '5',
    'holds, also with one more',
    'One more still fits into the week.',
  ]);
});

test.each([
  ['minutesAWeek', '-5'],
  ['floorM2', 'much'],
  ['largestEmergency', '-150'],
  ['quarantinePlace', 'perhaps'],
  ['cushionPercent', ''],
  ['clearMonths', '0'],
  ['food-1', 'x'],
  ['minutes-1', '99999'],
])('A wrong %s is named at its field, and everything typed stays', async (field, typed) => {
  const { get, submit, db } = await startApp();
  keepSmallLedger(db);
  const bad = await submit(await get(paths.cap.change), { ...said, [field]: typed });
  expect(bad.status).toBe(422);
  expect(mistakesOf(bad).map((one) => one.field)).toEqual([field]);
  if (field !== 'quarantinePlace') expect(bad.body).toContain(`value="${typed}"`);
  expect(readCap(db).version).toBe(1);
});

test('A form older than what is kept shows both', async () => {
  const { get, submit, db } = await startApp();
  keepSmallLedger(db);
  const form = await get(paths.cap.change);
  saveCap(db, 1, { ...DEFAULT_CAP_SETTINGS, minutesAWeek: 10 }, []);
  const stale = await submit(form, said);
  expect(stale.status).toBe(409);
  expect(readCap(db).settings.minutesAWeek).toBe(10);
});

test('The backlog is that of the latest plan, and severe shortfalls have their earliest month', async () => {
  const { get, db } = await startApp();
  keepSmallLedger(db);
  await planNow(db, library, plainDate('2026-01-15'), 500, { study: true });
  const page = await get(paths.cap.show);
  const { outOfReach } = backlogOf(latestPlan(db)!.problem);
  expect(outOfReach.length).toBeGreaterThan(0);
  expect(textOf(page)).toContain('Nothing you want brings every need of Ember near its target');
  expect(textOf(page)).toContain('When severe shortfalls can end on this money');
  expect(tableRows(page, 'Severe shortfalls, at the earliest').map((one) => one[0])).toEqual(['Ember']);
});

test('Money and home lead to the cap, and its amounts hold the currency in place', async () => {
  const { get, db } = await startApp();
  keepSmallLedger(db);
  for (const path of [paths.money, paths.home])
    expect((await get(path)).document.querySelector(`a[href="${paths.cap.show}"]`), path).not.toBeNull();
  const bare = await startApp();
  expect(holdsAmounts(bare.db)).toBe(false);
  saveCap(bare.db, 1, { ...DEFAULT_CAP_SETTINGS, largestEmergency: money(5) }, []);
  expect(holdsAmounts(bare.db)).toBe(true);
});

test('A keeper of US units types floor in square feet, and gets back what was typed', async () => {
  const { get, submit, db } = await startApp();
  keepSmallLedger(db);
  changeLedger(db, readLedger(db).version, { unitSystem: 'imperial' });
  expect((await submit(await get(paths.cap.change), { floorM2: '40.5' })).status).toBe(303);
  // The foot is exactly 0.3048 m (NIST SP 811, appendix B).
  expect(readCap(db).settings.floorM2).toBeCloseTo(40.5 * 0.3048 ** 2, 9);
  const again = await get(paths.cap.change);
  expect(again.document.querySelector('input[name="floorM2"]')?.getAttribute('value')).toBe('40.5');
  expect(textOf(await get(paths.cap.show))).toContain('40.5 sq ft');
});

test('While a figure is unknown no number of animals is named for the cap, only what is missing and what binds so far', async () => {
  const { get, submit, db } = await startApp();
  keepSmallLedger(db);
  await submit(await get(paths.cap.change), { minutesAWeek: '120', 'minutes-1': '60' });
  const facts = textsOf(await get(paths.cap.show), 'main .facts dd');
  expect(facts[1]).toMatch(
    /^not known, since .*floor at adult size.* are not known well enough\. Of what is known, minutes a week binds first, enough for 2 animals by itself$/,
  );
});

// What leaves the ledger by its own page: read by a calendar reader and a CSV reader that share no line with the writers.

import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { addReading, listFittings } from '../../../server/db/collection.ts';
import { changeLedger, ledgerIdentity, readLedger } from '../../../server/db/ledger.ts';
import { renewFitting } from '../../../server/db/money.ts';
import { buyUpgrade, refuseUpgrade, removeUpgrade } from '../../../server/db/upgrades.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { readDelimited } from '../../../src/delimited.ts';
import { money } from '../../../src/money.ts';
import { type Answer, startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { enter } from '../../support/collection.ts';
import { keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const eventsOf = (answer: Answer) =>
  new ICAL.Component(ICAL.parse(answer.body)).getAllSubcomponents('vevent').map((one) => new ICAL.Event(one));

const listed = (answer: Answer) =>
  eventsOf(answer).map((one) => [one.startDate.toString(), one.summary, one.uid.replace(/-[0-9a-f]{32}$/, '')]);

function tableOf(answer: Answer): Record<string, string>[] {
  const read = readDelimited(answer.body, { rows: 999, columns: 99, cell: 99_999 });
  if (read.status === 'bad') throw new Error(JSON.stringify(read.faults));
  const { headings, rows } = read.table;
  return rows.map(({ cells }) => Object.fromEntries(headings.map((heading, place) => [heading, cells[place]!])));
}

async function withPlan(app: TestApp): Promise<void> {
  keepSmallLedger(app.db);
  const name = { name: 'Tube, 5 %; warm' };
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', {
    ...name,
    fittedOn: '2025-08-31',
    lifeMonths: '6',
    renewalPrice: '5',
    whenBoxReplaced: 'moves',
    mesh: '1',
  });
  await planNow(app.db, library, plainDate('2026-01-15'), 300);
}

test('The roadmap and the renewals are whole days of a calendar, with what a keeper needs to know', async () => {
  const app = await startApp();
  await withPlan(app);
  const answer = await app.get('/export/calendar.ics');
  expect(answer.headers['content-type']).toBe('text/calendar; charset=utf-8');
  expect(answer.headers['content-disposition']).toBe('attachment; filename="basking-ledger-2026-01-15.ics"');
  const events = listed(answer);
  expect(events).toContainEqual(['2026-01-15', 'Do: Cardboard hide', 'purchase-2']);
  // 31 August + 6 months is the last day of February, + 12 the 31st again: never counted from the 28th.
  expect(events).toContainEqual(['2026-02-28', 'Renew: Tube, 5 %; warm', 'renewal-1-1']);
  expect(events).toContainEqual(['2026-08-31', 'Renew: Tube, 5 %; warm', 'renewal-1-2']);
  // As far ahead as the page of renewals looks, also past the end of the plan.
  expect(events).toContainEqual(['2027-08-31', 'Renew: Tube, 5 %; warm', 'renewal-1-4']);
  const cave = eventsOf(answer).find((one) => one.summary.startsWith('Buy: Warm cave'))!;
  expect(cave.summary).toBe('Buy: Warm cave (€25.00)');
  expect(cave.description).toMatch(/^Costs €25\.00, for Ember\. Any day of January 2026 will do\.\n/);
  expect(cave.uid.endsWith(ledgerIdentity(app.db))).toBe(true);
  expect(new Set(eventsOf(answer).map((one) => one.uid)).size).toBe(events.length);
  expect(answer.body).not.toContain('VALARM');
  expect((await app.get('/export/calendar.ics?remind=yes')).body.match(/BEGIN:VALARM/g)).toHaveLength(events.length);
  // The same ledger on the same day is the same file, byte for byte.
  expect((await app.get('/export/calendar.ics')).body).toBe(answer.body);
});

test('Planning again moves an entry and keeps its name; what was refused, removed or fitted is no longer in the calendar', async () => {
  const app = await startApp();
  await withPlan(app);
  const before = eventsOf(await app.get('/export/calendar.ics'));
  await planNow(app.db, library, plainDate('2026-02-10'), 300);
  const after = eventsOf(await app.get('/export/calendar.ics'));
  const cave = (events: typeof before) => events.find((one) => one.summary.startsWith('Buy: Warm cave'))!;
  expect(cave(after).uid).toBe(cave(before).uid);
  expect(cave(before).startDate.toString()).toBe('2026-01-15');
  expect(cave(after).startDate.toString()).toBe('2026-02-10');
  expect(cave(after).sequence).toBeGreaterThan(cave(before).sequence);
  refuseUpgrade(app.db, 1, 1);
  removeUpgrade(app.db, 2, 1, plainDate('2026-01-15'));
  const left = listed(await app.get('/export/calendar.ics')).map(([, summary]) => summary);
  expect(left.filter((one) => /Warm cave|Cardboard/.test(one!))).toEqual([]);
  expect(left).toContain('Renew: Tube, 5 %; warm');
  // Renewed, the tube's next renewal is counted from that day.
  const [tube] = listFittings(app.db, 1);
  renewFitting(app.db, Number(tube!.id), tube!.version, plainDate('2026-01-10'), money(500));
  expect(listed(await app.get('/export/calendar.ics'))).toContainEqual([
    '2026-07-10',
    'Renew: Tube, 5 %; warm',
    'renewal-1-1',
  ]);
});

test('What is bought and not here yet stands on the day it comes', async () => {
  const app = await startApp();
  await withPlan(app);
  const slow = wantHide(app.db, 'Carved root', 'cool', 1000);
  buyUpgrade(app.db, Number(slow), 1, {
    boughtOn: plainDate('2026-01-15'),
    paid: money(1000),
    arrivesMonth: plainMonth('2026-03'),
  });
  await planNow(app.db, library, plainDate('2026-01-15'), 300);
  expect(listed(await app.get('/export/calendar.ics'))).toContainEqual([
    '2026-03-01',
    'Comes, to be fitted: Carved root',
    `arrival-${slow}`,
  ]);
});

test.each([
  ['Pacific/Auckland', '2026-01-16'],
  ['Pacific/Honolulu', '2026-01-15'],
  ['UTC', '2026-01-15'],
])('In %s the files carry the day it is there, and no dated day moves', async (timeZone, today) => {
  const app = await startApp({ now: () => new Date('2026-01-15T12:00:00Z') });
  await withPlan(app);
  changeLedger(app.db, readLedger(app.db).version, { timeZone });
  const answer = await app.get('/export/calendar.ics');
  expect(answer.headers['content-disposition']).toContain(today);
  expect(listed(answer)).toContainEqual(['2026-02-28', 'Renew: Tube, 5 %; warm', 'renewal-1-1']);
  expect(listed(answer)).toContainEqual(['2026-01-15', 'Do: Cardboard hide', 'purchase-2']);
  expect(JSON.parse((await app.get('/export/ledger.json')).body)).toMatchObject({ exportedOn: today });
});

test('Without anything dated there is no calendar, and both the page and the address say what to do', async () => {
  const app = await startApp();
  const page = await app.get('/export');
  expect(page.document.querySelector('a[href^="/export/calendar"]')).toBeNull();
  expect(textOf(page)).toContain('Nothing has a date yet.');
  const answer = await app.get('/export/calendar.ics');
  expect(answer.status).toBe(404);
  expect(textOf(answer)).toContain('Make a plan');
});

test('Each table opens as numbers and texts, in kept and typed units, with removed rows and nothing that runs', async () => {
  const app = await startApp();
  await withPlan(app);
  addReading(app.db, {
    enclosureId: '1',
    kind: 'warm-hide-floor',
    evidence: 'measured',
    value: 30,
    typed: '86 F',
    takenOn: plainDate('2026-01-10'),
    hour: 9,
    roomCelsius: -2.5,
    roomTyped: '-2.5 °C',
    instrument: "=cmd|' /C calc'!A0",
    accuracy: 0.5,
    notes: '@SUM(1), "two"\nlines',
  });
  const [reading] = tableOf(await app.get('/export/readings.csv'));
  expect(reading).toMatchObject({
    enclosure_id: '1',
    enclosure: 'Shelf',
    value: '30',
    unit: '°C',
    typed: '86 F',
    taken_on: '2026-01-10',
    room_celsius: '-2.5',
    room_typed: "'-2.5 °C",
    instrument: "'=cmd|' /C calc'!A0",
    notes: '\'@SUM(1), "two"\nlines',
  });
  const [, free, moss] = tableOf(await app.get('/export/upgrades.csv'));
  expect(free).toMatchObject({ name: 'Cardboard hide', price_low: '0', removed_on: '', currency: 'EUR' });
  expect(moss).toMatchObject({ name: 'Moss box', price_high: '60' });
  removeUpgrade(app.db, 3, 1, plainDate('2026-01-15'));
  expect(tableOf(await app.get('/export/upgrades.csv'))[2]).toMatchObject({ removed_on: '2026-01-15' });
  expect(tableOf(await app.get('/export/animals.csv'))).toMatchObject([
    { name: 'Ember', length_mm: '120', length_typed: '12 cm', is_pale_morph: 'no', enclosure: 'Shelf' },
  ]);
  expect(tableOf(await app.get('/export/renewals.csv'))).toMatchObject([
    { name: 'Tube, 5 %; warm', due_on: '2026-02-28', due_after_that: '2026-08-31', state: 'to come', price: '5' },
  ]);
  const money = tableOf(await app.get('/export/money.csv'));
  expect(money[0]).toMatchObject({ kind: 'counted', amount: '30', month: '2026-01' });
  expect(money).toContainEqual(
    expect.objectContaining({ month: '2026-02', kind: 'renewal', amount: '-5', currency: 'EUR' }),
  );
  const plan = tableOf(await app.get('/export/plan.csv'));
  expect(plan).toContainEqual(
    expect.objectContaining({ month: '2026-01', what: 'buy', name: 'Warm cave', for: 'Ember', amount: '25' }),
  );
  expect(new Set(plan.map((one) => one.month)).size).toBe(12);
});

test('Each table is linked, empty or not, and carries the mark of UTF-8 only where asked for', async () => {
  const app = await startApp();
  const page = await app.get('/export');
  const rows = tableRows(page, 'Tables for a spreadsheet');
  expect(rows).toHaveLength(11);
  for (const [file] of rows) {
    const [plain, marked] = [await app.get(`/export/${file}`), await app.get(`/export/${file}?mark=yes`)];
    expect(plain.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(plain.headers['content-disposition']).toBe(
      `attachment; filename="basking-ledger-${file!.replace('.csv', '')}-2026-01-15.csv"`,
    );
    expect(plain.body.split('\r\n')[0]).toMatch(/^[a-z_]+(,[a-z_]+)+$/);
    expect(plain.body.endsWith('\r\n')).toBe(true);
    expect(marked.body).toBe(`\uFEFF${plain.body}`);
  }
  expect((await app.get('/export/secrets.csv')).status).toBe(404);
  expect((await app.get('/export/ledger.json?without=animals')).status).toBe(404);
});

test('The page is reached from the settings and from the page about the score, and names every table of the file', async () => {
  const app = await startApp();
  for (const from of ['/settings', '/about'])
    expect((await app.get(from)).document.querySelector('main a[href="/export"]'), from).not.toBeNull();
  const page = await app.get('/export');
  const { tables } = JSON.parse((await app.get('/export/ledger.json')).body) as { tables: object };
  const named = [...page.document.querySelectorAll('dt')].map((one) => textOf(one));
  expect(named.sort()).toEqual(Object.keys(tables).sort());
});

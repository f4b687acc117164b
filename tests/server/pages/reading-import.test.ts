import { expect, test } from 'vitest';
import {
  addReading,
  listReadings,
  loadCollection,
  type ReadingFacts,
  removeReading,
} from '../../../server/db/collection.ts';
import { changeLedger } from '../../../server/db/ledger.ts';
import { plainDate } from '../../../src/calendar.ts';
import { findForm, formValues, mistakesOf, type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enclosureTexts, enter, enterInstrument, readingTexts } from '../../support/collection.ts';
import { awkwardTexts } from '../../support/hostile.ts';

const url = '/enclosures/1/readings/import';

async function withSnake(): Promise<TestApp> {
  const app = await appWithSnake();
  await enterInstrument(app, 'Probe', { 'kind-warm-hide-floor': 'yes', 'error-temperature': '2 %' });
  return app;
}

const readingsOf = ({ db }: TestApp) => loadCollection(db).readings;
const look = async (app: TestApp, text: string) => app.submit(await app.get(url), { text });

test('A table is looked at first and taken over after that, in any order of columns and case of headings', async () => {
  const app = await withSnake();
  const preview = await look(
    app,
    'Note;KIND;Date;value;Unit;instrument;accuracy\r\n"dry; warm";warm-hide-floor;2026-01-10;86;F;probe;\r\n;Relative humidity by day;2026-01-11;50,5;%;;3\r\n',
  );
  expect(preview.status).toBe(200);
  expect(textOf(preview)).toContain('2 readings would be taken over. Nothing was saved yet.');
  expect(tableRows(preview, 'Line by line')).toEqual([
    ['2', '10 January 2026', 'Temperature of the floor of the warm hide', '86 F', 'Probe', 'new'],
    ['3', '11 January 2026', 'Relative humidity by day', '50,5 %', '–', 'new'],
  ]);
  expect(readingsOf(app)).toEqual([]);
  expect((await app.submit(preview)).location).toBe('/enclosures/1?done=taken-over');
  // 86 °F is 30 °C (NIST SP 811, appendix B); the list's 2 % of it is 0.6.
  expect(readingsOf(app)).toMatchObject([
    {
      kind: 'warm-hide-floor',
      value: 30,
      typed: '86 F',
      evidence: 'measured',
      instrument: 'Probe',
      accuracy: expect.closeTo(0.6, 9),
      takenOn: '2026-01-10',
    },
    { kind: 'humidity-day', value: 50.5, accuracy: 3, instrument: '' },
  ]);
  expect(textOf(await app.get('/enclosures/1'))).toContain('dry; warm');
});

test('A table sent twice is taken over once; what is there already and what stands twice is left out', async () => {
  const app = await withSnake();
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', readingTexts);
  const text =
    'date,kind,value\n2026-01-10,warm-hide-floor,30\n2026-01-11,warm-hide-floor,31\n2026-01-11,warm-hide-floor,31\n2026-01-11,warm-hide-floor,31.5';
  const preview = await look(app, text);
  expect(tableRows(preview, 'Line by line').map((row) => row[5])).toEqual([
    'there already',
    'new',
    'twice in the text',
    'new',
  ]);
  expect((await app.submit(preview)).location).toBe('/enclosures/1?done=taken-over');
  expect((await app.submit(preview)).location).toBe('/enclosures/1?done=nothing-changed');
  expect(readingsOf(app).map((one) => one.value)).toEqual([30, 31, 31.5]);
  const again = await look(app, text);
  expect(textOf(again)).toContain('0 readings would be taken over');
  expect(again.document.querySelector('main button')).toBeNull();
});

test('Mistakes are named by line and nothing at all is taken over', async () => {
  const app = await withSnake();
  const text = [
    'date,kind,value,unit,accuracy',
    '2026-01-10,warm-hide-floor,30,,',
    '2026-02-31,warm-hide-floor,30,,',
    '2026-01-10,mood,30,,',
    '2026-01-10,warm-hide-floor,hot,,',
    '2026-01-10,warm-hide-floor,30,%,',
    '2026-01-10,warm-hide-floor,300,,',
    '2026-01-16,warm-hide-floor,30,,',
    ',warm-hide-floor,,,',
    '2026-01-10,warm-hide-floor,30,,good',
  ].join('\n');
  const answer = await look(app, text);
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([
    { field: 'text', message: 'Mend the 9 places named below and look again. Nothing was taken over.' },
  ]);
  expect(textsOf(answer, '.reason-list li')).toEqual([
    'Line 3: Write the date as a real day in the order that you chose, such as 2026-03-31, or choose the other order.',
    'Line 4: Give the kind as one of the words listed on this page.',
    'Line 5: Write the value as a number, with its unit if you like.',
    'Line 6: Write the value in °C or °F.',
    'Line 7: Check the value: it must be between -30 °C and 120 °C.',
    'Line 8: Check the date: it lies in the future.',
    'Line 9: Fill in the date.',
    'Line 9: Fill in the value.',
    'Line 10: Write the stated error of its temperatures as a number, with its unit if you like.',
  ]);
  expect(formValues(findForm(answer))).toMatchObject({ text });
  // Sent as if it had been looked at, it is refused all the same.
  expect((await app.post(url, { step: 'take', text })).status).toBe(422);
  expect(readingsOf(app)).toEqual([]);
});

test.each([
  ['', 'Fill in the table.', []],
  [
    'date,kind,value',
    'Mend what is named below and look again. Nothing was taken over.',
    ['There is no line below the headings.'],
  ],
  [
    'day,kind\n2026-01-10,water',
    'Mend the 3 places named below and look again. Nothing was taken over.',
    [
      'Add a column with the heading “date”.',
      'Add a column with the heading “value”.',
      'Take out or rename the column “day”: headings are date, kind, value, unit, instrument, accuracy, note.',
    ],
  ],
  [
    'date,kind,value\n2026-01-10,water',
    'Mend what is named below and look again. Nothing was taken over.',
    ['Line 2: It has 2 cells where the headings have 3. Put a cell with the separator in it in quotation marks.'],
  ],
  [
    'date,kind,value\n"2026-01-10,water,20',
    'Mend what is named below and look again. Nothing was taken over.',
    ['Line 2: A quotation mark opens here and is never closed.'],
  ],
] as [string, string, string[]][])('The table %j is refused', async (text, message, wrong) => {
  const app = await withSnake();
  const answer = await look(app, text);
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([{ field: 'text', message }]);
  expect(textsOf(answer, '.reason-list li')).toEqual(wrong);
});

test('Formulas and markup stay text, and the apostrophe that keeps a formula from running is no part of it', async () => {
  const app = await withSnake();
  const text = [
    'date,kind,value,note',
    '2026-01-10,water,20,"=HYPERLINK(""http://x"")"',
    "2026-01-11,water,21,'=1+1",
    '2026-01-12,water,22,<script>alert(1)</script>',
    "2026-01-13,water,23,'tis dry",
  ].join('\n');
  await app.submit(await look(app, text));
  const page = await app.get('/enclosures/1');
  for (const note of ['=HYPERLINK("http://x")', '; =1+1'.slice(2), '<script>alert(1)</script>', "'tis dry"])
    expect(textOf(page)).toContain(note);
  expect(page.body).not.toContain('<script>alert');
  // A value that is a formula is no number.
  const formula = await look(app, 'date,kind,value\n2026-01-10,water,=20');
  expect(formula.status).toBe(422);
});

test('A control character is refused, a value hardly ever seen is pointed out and can be taken over', async () => {
  const app = await withSnake();
  const bad = await look(app, 'date,kind,value,note\n2026-01-10,water,20,a\u0007b');
  expect(textsOf(bad, '.reason-list li')).toEqual([
    'Line 2: Take out the invisible control character in the note; retyping it is the surest way.',
  ]);
  const rare = await look(app, 'date,kind,value\n2026-01-10,water,60');
  expect(tableRows(rare, 'Line by line')[0]![5]).toBe('new; look again');
  await app.submit(rare);
  expect(readingsOf(app)).toHaveLength(1);
});

test('Two thousand lines are taken, one more is too many, and more bytes than the limit are refused', async () => {
  const app = await withSnake();
  const lines = (count: number) =>
    [
      'date,kind,value',
      ...Array.from({ length: count }, (_, index) => `2026-01-10,night-air,${(10 + index / 200).toFixed(3)}`),
    ].join('\n');
  const preview = await look(app, lines(2000));
  expect(preview.status).toBe(200);
  expect((await app.submit(preview)).status).toBe(303);
  expect(readingsOf(app)).toHaveLength(2000);
  const many = await look(app, lines(2001));
  expect(textsOf(many, '.reason-list li')).toEqual(['Take over at most 2000 lines at a time.']);
  expect(mistakesOf(await look(app, 'x'.repeat(200_001)))[0]!.message).toContain(
    'Shorten the table to at most 200000 characters',
  );
  expect((await look(app, 'x'.repeat(1_100_000))).status).toBe(413);
  // Other forms keep the smaller limit.
  expect((await app.post('/enclosures/1/round', { instrument: 'x'.repeat(70_000) })).status).toBe(413);
});

test('Dates in figures go by the order that is asked, which begins as the settings write them and is shown', async () => {
  const app = await withSnake();
  changeLedger(app.db, 1, { locale: 'en-US' });
  const page = await app.get(url);
  expect(formValues(findForm(page))).toMatchObject({ order: 'month-day-year' });
  const text = 'date,kind,value\n01/02/2026,night-air,70F';
  const preview = await app.submit(page, { text });
  expect(textOf(preview)).toContain('Dates were read in the order you chose: 01/02/2026 is January 2, 2026.');
  await app.submit(preview);
  expect(readingsOf(app)).toMatchObject([{ takenOn: '2026-01-02' }]);
  const other = await app.submit(await app.get(url), { text, order: 'day-month-year' });
  // 1 February lies ahead of the day on which the tests run, so nothing is guessed and it is refused.
  expect([other.status, textOf(other)]).toEqual([422, expect.stringContaining('it lies in the future')]);
  const unsaid = await app.post(url, { step: 'look', text });
  expect([unsaid.status, textOf(unsaid)]).toEqual([422, expect.stringContaining('in the order that you chose')]);
});

test('The readings of the export, pasted into a like enclosure of another ledger, are the same again, formulas included', async () => {
  const [one, other] = [await withSnake(), await withSnake()];
  const facts: ReadingFacts = {
    enclosureId: '1',
    kind: 'warm-hide-floor',
    evidence: 'measured',
    value: 30.55555555555556,
    typed: '87 F',
    takenOn: plainDate('2026-01-10'),
    hour: 9,
    roomCelsius: -2.5,
    roomTyped: '-2.5 °C',
    instrument: "=cmd|' /C calc'!A0",
    accuracy: 0.5,
    notes: '',
  };
  const notes = [
    ...['@SUM(1), "two"\nlines', "'=1+1", "''tis", '-', '\uFF1DSUM(A1)', '1;2\t3', "'", 'plain'],
    ...Object.values(awkwardTexts).map((text) => text.normalize('NFC').trim()),
  ].filter((text) => !/[^\P{Cc}\n\t]/u.test(text));
  for (const text of notes) addReading(one.db, { ...facts, notes: text });
  // The same value on the same day at another hour is another reading.
  addReading(one.db, { ...facts, notes: 'plain', hour: 17 });
  addReading(one.db, { ...facts, evidence: 'unknown', value: null, typed: '', accuracy: null, hour: null });
  addReading(one.db, { ...facts, kind: 'humidity-day', evidence: 'estimated', value: 55, typed: '55' });
  const gone = Number(addReading(one.db, { ...facts, notes: 'taken back' }));
  removeReading(one.db, gone, 1, plainDate('2026-01-12'));
  await enter(one, '/enclosures/new', { ...enclosureTexts, name: 'Another shelf' });
  addReading(one.db, { ...facts, enclosureId: '2', notes: 'of another box' });

  const csv = (await one.get('/export/readings.csv')).body;
  const preview = await look(other, csv);
  expect([preview.status, textOf(preview)]).toEqual([
    200,
    expect.stringContaining(`${notes.length + 3} readings would`),
  ]);
  expect((await other.submit(preview)).status).toBe(303);
  const kept = ({ db }: TestApp) => listReadings(db, 1).map(({ id: _, version: _version, ...rest }) => rest);
  expect(kept(other)).toEqual(kept(one));
  expect(kept(other)).toHaveLength(notes.length + 3);
  // Once more there is nothing new, and a changed cell is named.
  expect(textOf(await look(other, csv))).toContain(`${notes.length + 3} readings of the same kind`);
  const spoilt = await look(other, csv.replace(',measured,', ',guessed,'));
  expect([spoilt.status, textOf(spoilt)]).toEqual([422, expect.stringContaining('Leave the column evidence as')]);
  expect(textOf(await look(other, csv.replaceAll('Top shelf', 'Elsewhere')))).toContain('no row that was not removed');
});

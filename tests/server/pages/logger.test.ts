import { expect, test } from 'vitest';
import { loadCollection } from '../../../server/db/collection.ts';
import { findForm, formValues, mistakesOf, type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enterInstrument } from '../../support/collection.ts';

const url = '/enclosures/1/readings/logger';

async function withSnake(): Promise<TestApp> {
  const app = await appWithSnake();
  await enterInstrument(app, 'Logger', { 'kind-night-air': 'yes', 'error-temperature': '0.5' });
  return app;
}

/** Hourly samples of whole days: 28 by day from 8 to 20, 22 in the evening and 18 after midnight. */
function hourly(
  days: number,
  write = (on: string, hour: number, value: number) => `${on} ${hour}:00,${value}`,
): string {
  const lines = Array.from({ length: days * 24 }, (_, index) => {
    const hour = index % 24;
    return write(`2026-01-0${1 + Math.floor(index / 24)}`, hour, hour < 8 ? 18 : hour < 20 ? 28 : 22);
  });
  return lines.join('\n');
}

const readingsOf = ({ db }: TestApp) => loadCollection(db).readings;

test('Three steps lead from the text to one reading a date: the least of each night that was logged well enough', async () => {
  const app = await withSnake();
  const first = await app.get(url);
  const columns = await app.submit(first, {
    text: `Serial 7\ntime,temp\n${hourly(3)}`,
    headingLine: '2',
    zone: 'Europe/London',
  });
  expect(columns.status).toBe(200);
  expect(textOf(columns)).toContain('72 lines were found. Temperature of the air at night.');
  expect(tableRows(columns, 'First lines of the file')[0]).toEqual(['2026-01-01 0:00', '18']);
  expect(formValues(findForm(columns))).toMatchObject({
    time: '0',
    clock: '',
    value: '1',
    unit: '°C',
    figure: 'night-least',
  });
  const preview = await app.submit(columns, { meter: '1' });
  expect(preview.status).toBe(200);
  expect(textsOf(preview, '.reason-list li')).toEqual([
    'Temperature of the air at night. Day is from 08:00 to 20:00 as you said; a night belongs to the date on which it ends.',
    'A sample every 60 minutes as a rule.',
    'Left out: 2 dates of whose night less than 75 % was logged, so that its least value is not known.',
  ]);
  expect(tableRows(preview, 'Each date with its day and night')).toEqual([
    ['1 January 2026', '–', 'too little logged', '28 °C / 28 °C / 28 °C', '18 °C / 18 °C / 18 °C', '12 and 8'],
    ['2 January 2026', '18 °C', 'new', '28 °C / 28 °C / 28 °C', '18 °C / 18 °C / 22 °C', '12 and 12'],
    ['3 January 2026', '18 °C', 'new', '28 °C / 28 °C / 28 °C', '18 °C / 18 °C / 22 °C', '12 and 12'],
    ['4 January 2026', '–', 'too little logged', '–', '22 °C / 22 °C / 22 °C', '0 and 4'],
  ]);
  expect(readingsOf(app)).toEqual([]);
  expect((await app.submit(preview)).location).toBe('/enclosures/1?done=taken-over');
  expect(readingsOf(app)).toMatchObject([
    { kind: 'night-air', value: 18, takenOn: '2026-01-02', evidence: 'measured', instrument: 'Logger', accuracy: 0.5 },
    { takenOn: '2026-01-03' },
  ]);
  expect(textOf(await app.get('/enclosures/1'))).toContain(
    'Logger: 12 samples of the night (100 % of it), from 18 °C to 22 °C.',
  );
  // Sent twice it has one effect.
  expect((await app.submit(preview)).location).toBe('/enclosures/1?done=nothing-changed');
  expect(readingsOf(app)).toHaveLength(2);
});

test('Another zone shifts the samples, another figure and the hours of light change what is stored', async () => {
  const app = await withSnake();
  // Ten hours behind London: what the file calls 0:00 is 10:00 here.
  const columns = await app.submit(await app.get(url), {
    text: `time;temp\n${hourly(3).replaceAll(',', ';')}`,
    kind: 'warm-air',
    zone: 'Pacific/Honolulu',
    dayFrom: '10',
    dayTo: '18',
  });
  expect(formValues(findForm(columns))).toMatchObject({ figure: 'day-median' });
  const preview = await app.submit(columns, { figure: 'day-most' });
  // From 10:00 to 18:00 here it is midnight to 8:00 there: 18 degrees.
  expect(tableRows(preview, 'Each date with its day and night')[0]!.slice(0, 4)).toEqual([
    '1 January 2026',
    '18 °C',
    'new',
    '18 °C / 18 °C / 18 °C',
  ]);
});

test('Dates and times in columns of their own, decimal commas, silences and empty values are read and told', async () => {
  const app = await withSnake();
  const text = `Date;Time;°C\n${hourly(
    2,
    (on, hour, value) => `${on.split('-').reverse().join('.')};${hour}:00;${value},5`,
  )
    .split('\n')
    .map((line, index) => (index === 30 ? line.replace(/[^;]*$/, '--') : line))
    .filter((_, index) => index < 12 || index > 16)
    .join('\n')}`;
  const columns = await app.submit(await app.get(url), { text, kind: 'humidity-day', order: 'day-month-year' });
  expect(formValues(findForm(columns))).toMatchObject({ time: '0', clock: '1', value: '2', unit: '%' });
  const preview = await app.submit(columns);
  expect(preview.status).toBe(200);
  const notes = textsOf(preview, '.reason-list li');
  expect(notes).toContain('Commas were read as decimal marks.');
  expect(notes).toContain('Lines without a value, passed over: 1.');
  expect(notes).toContain('Nothing was logged from 1 January 2026, 11:00 to 1 January 2026, 17:00.');
});

test.each([
  [{ text: '' }, 'text', 'Fill in the table.'],
  [{ headingLine: '0' }, 'headingLine', 'Give the line of the headings as a whole number from 1 to 100.'],
  [{ zone: 'Middle of nowhere' }, 'zone', 'Name the time zone as region and city, such as Europe/London, or as UTC.'],
  [{ dayFrom: '20', dayTo: '8' }, 'dayTo', 'Give an hour after the one at which the lights come on.'],
  [{ text: 'a,b\n"1,2' }, 'text', 'Mend what is named below and look again. Nothing was taken over.'],
] as [Record<string, string>, string, string][])(
  'A first step with %j comes back with everything typed',
  async (texts, field, message) => {
    const app = await withSnake();
    const typed = { text: `time,temp\n${hourly(1)}`, ...texts };
    const answer = await app.submit(await app.get(url), typed);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    expect(formValues(findForm(answer))).toMatchObject(typed);
  },
);

test.each([
  [{ value: '0' }, 'value', 'Choose another column than that of the time.', 0],
  [{ time: '9' }, 'time', 'Choose one of the answers listed for the column of the time.', 0],
  [{ unit: '%' }, 'unit', 'Write the unit as in a reading, such as °C or °F; leave it empty where there is none.', 0],
  [{ meter: '1', instrument: 'x' }, 'instrument', 'Choose an instrument of the list or name another one, not both.', 0],
  [
    { time: '1', value: '0' },
    'time',
    'Choose another column or mend the 24 lines named below. Nothing was taken over.',
    24,
  ],
] as [Record<string, string>, string, string, number][])(
  'Columns chosen as %j come back with the mistake and the lines',
  async (texts, field, message, lines) => {
    const app = await withSnake();
    const columns = await app.submit(await app.get(url), { text: `time,temp\n${hourly(1)}` });
    const answer = await app.submit(columns, texts);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    expect(textsOf(answer, '.reason-list li')).toHaveLength(lines);
    expect(readingsOf(app)).toEqual([]);
  },
);

test('Times in the future are refused, as a wrong order of dates makes them', async () => {
  const app = await withSnake();
  const columns = await app.submit(await app.get(url), {
    text: 'time,temp\n01/12/2026 10:00,20',
    order: 'day-month-year',
  });
  const answer = await app.submit(columns);
  expect(mistakesOf(answer)[0]!.message).toBe(
    'Check the time zone and the order of dates: some times lie in the future.',
  );
});

test('Twenty thousand lines are summarised in seconds, and one more is too many', async () => {
  const app = await withSnake();
  const start = Date.UTC(2025, 2, 1);
  const lines = (count: number) =>
    `time,temp\n${Array.from({ length: count }, (_, index) => `${new Date(start + index * 300_000).toISOString().slice(0, 16)},${20 + (index % 7)}`).join('\n')}`;
  const columns = await app.submit(await app.get(url), { text: lines(20_000), zone: 'America/New_York' });
  // Time of the processor: the clock also counts what else the computer does.
  const began = process.cpuUsage();
  const preview = await app.submit(columns);
  const { user } = process.cpuUsage(began);
  expect(preview.status).toBe(200);
  expect(user / 1_000).toBeLessThan(10_000);
  // 20,000 samples every five minutes are 69 days and a half; clocks in New York went forward on 9 March 2025.
  expect(tableRows(preview, 'Each date with its day and night').length).toBeGreaterThanOrEqual(70);
  expect(textOf(preview)).not.toContain('Nothing was logged');
  expect((await app.submit(await app.get(url), { text: lines(20_001) })).status).toBe(422);
});

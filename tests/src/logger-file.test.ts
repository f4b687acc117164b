import { expect, test } from 'vitest';
import { plainDate, wallClockOf } from '../../src/calendar.ts';
import { type FileChoices, readLoggerRows, readMoment } from '../../src/logger-file.ts';
import { summariseLogger, USUAL_DAY } from '../../src/logger-summary.ts';

const choices: FileChoices = {
  time: 0,
  clock: null,
  value: 1,
  order: 'year-month-day',
  zone: 'Europe/Berlin',
  dimension: 'temperature',
  unit: '°C',
};
const own = { zone: 'Europe/Berlin', system: 'metric' } as const;
const rows = (...cells: string[][]) => cells.map((one, index) => ({ line: index + 2, cells: one }));
const samplesOf = (given: string[][], parts: Partial<FileChoices> = {}, zone: string = own.zone) => {
  const read = readLoggerRows(rows(...given), { ...choices, ...parts }, { ...own, zone });
  if (read.status === 'bad') throw new Error(JSON.stringify(read.faults));
  return read.samples;
};

test.each([
  ['2026-01-31 14:05', 'year-month-day', '2026-01-31', 845, null],
  ['2026-01-31T14:05:59.999Z', 'year-month-day', '2026-01-31', 845, 0],
  ['2026-01-31 14:05:00+0530', 'year-month-day', '2026-01-31', 845, 330],
  ['2026-01-31 14:05-03:30', 'month-day-year', '2026-01-31', 845, -210],
  ['31.1.2026 14:05', 'day-month-year', '2026-01-31', 845, null],
  ['03/04/2026 12:00 AM', 'day-month-year', '2026-04-03', 0, null],
  ['03/04/2026, 12:05 p.m.', 'month-day-year', '2026-03-04', 725, null],
  ['03/04/2026 11:59PM', 'month-day-year', '2026-03-04', 1439, null],
] as const)('%j in the order %s is %s, minute %d', (text, order, on, minute, offset) => {
  expect(readMoment(text, order)).toEqual({ on, minute, offset });
});

test.each([
  ['31.1.2026 14:05', 'year-month-day'],
  ['31.1.2026 14:05', 'month-day-year'],
  ['2026-02-30 10:00', 'year-month-day'],
  ['2026-01-31 24:00', 'year-month-day'],
  ['2026-01-31 10:60', 'year-month-day'],
  ['2026-01-31 13:00 PM', 'year-month-day'],
  ['31.1.26 14:05', 'day-month-year'],
  ['2026-01-31', 'year-month-day'],
  ['14:05', 'year-month-day'],
  ['', 'year-month-day'],
  ['=NOW()', 'year-month-day'],
] as const)('%j in the order %s is no moment', (text, order) => {
  expect(readMoment(text, order)).toBeNull();
});

test('A file of UTC is told in local time, over midnight too', () => {
  const samples = samplesOf(
    [
      ['2026-01-31 22:30', '20'],
      ['2026-01-31 23:30', '21'],
      ['2026-07-01 22:30', '22'],
    ],
    { zone: 'UTC' },
  );
  expect(samples.map(({ on, minute }) => `${on} ${minute}`)).toEqual([
    '2026-01-31 1410',
    '2026-02-01 30',
    '2026-07-02 30',
  ]);
  expect(samples[1]!.at - samples[0]!.at).toBe(60);
});

test('An offset in the text wins over the zone of the file', () => {
  const [sample] = samplesOf([['2026-01-31T14:05:00-05:00', '20']], { zone: 'Asia/Tokyo' });
  expect(sample).toMatchObject({ on: '2026-01-31', minute: 20 * 60 + 5 });
});

// Clocks in Berlin went from 02:00 to 03:00 on 29 March 2026 and go from 03:00 back to 02:00 on 25 October 2026 (Directive 2000/84/EC:
// last Sundays of March and October, at 01:00 UTC).
test('The hour passed over in spring is an hour later, and steps stay even across it', () => {
  const samples = samplesOf([
    ['2026-03-29 01:50', '1'],
    ['2026-03-29 03:00', '2'],
    ['2026-03-29 02:30', '3'],
  ]);
  expect(samples[1]!.at - samples[0]!.at).toBe(10);
  expect(samples[2]).toMatchObject({ on: '2026-03-29', minute: 3 * 60 + 30 });
  // Also where nothing stands before it.
  expect(samplesOf([['2026-03-29 02:30', '3']])[0]).toMatchObject({ minute: 3 * 60 + 30 });
});

test('The hour that comes twice in autumn is told apart by the order of the file', () => {
  const times = ['01:30', '02:00', '02:30', '02:00', '02:30', '03:00'];
  const samples = samplesOf(times.map((time) => [`2026-10-25 ${time}`, '20']));
  expect(samples.map((one) => one.at - samples[0]!.at)).toEqual([0, 30, 60, 90, 120, 150]);
  expect(samples.map((one) => one.minute)).toEqual([90, 120, 150, 120, 150, 180]);
  expect(summariseLogger(samples, USUAL_DAY).gaps).toEqual([]);
});

test('Both ways of a clock agree at every quarter of a year with both changes, also where clocks change by half an hour', () => {
  for (const zone of ['Europe/Berlin', 'America/New_York', 'Australia/Lord_Howe', 'Asia/Kolkata', 'UTC']) {
    const clock = wallClockOf(zone)!;
    const start = wallClockOf('UTC')!.minuteOf(plainDate('2026-01-01'), 0);
    let [asked, same] = [0, 0];
    for (let at = start; at < start + 365 * 1440; at += 15 * 29) {
      const { on, minute } = clock.localOf(at);
      asked++;
      if (clock.minuteOf(on, minute, at) === at) same++;
    }
    expect([zone, same]).toEqual([zone, asked]);
  }
  expect(wallClockOf('Nowhere/Atlantis')).toBeNull();
});

test('Decimal commas, units in the cell, degrees Fahrenheit and a clock of its own are read; cells that say nothing are counted', () => {
  expect(
    samplesOf([
      ['2026-01-31 10:00', '20,125'],
      ['2026-01-31 10:10', '21'],
    ]).map((one) => one.value),
  ).toEqual([20.125, 21]);
  expect(samplesOf([['2026-01-31 10:00', '68 °F']])[0]!.value).toBeCloseTo(20, 9);
  expect(samplesOf([['2026-01-31 10:00', '68']], { unit: 'F' })[0]!.value).toBeCloseTo(20, 9);
  expect(samplesOf([['31/01/2026', '20', '10:00']], { order: 'day-month-year', clock: 2 })[0]).toMatchObject({
    minute: 600,
  });
  const read = readLoggerRows(
    rows(['2026-01-31 10:00', 'NaN'], ['not read at all', ''], ['2026-01-31 10:20', '20']),
    choices,
    own,
  );
  expect(read).toMatchObject({ status: 'ok', blanks: 2, decimalComma: false });
});

test('What cannot be read is named by line, and nothing is given', () => {
  const read = readLoggerRows(
    rows(
      ['2026-01-31 10:00', '20.5'],
      ['yesterday', '20'],
      ['2026-01-31 10:00', '=1+1'],
      ['2026-01-31 10:00', '20 %'],
      ['2026-01-31 10:00', '900'],
      ['2026-01-31 10:00', '1,200.5'],
    ),
    choices,
    own,
  );
  expect(read).toEqual({
    status: 'bad',
    faults: [
      { line: 3, fault: 'time', text: 'yesterday' },
      { line: 4, fault: 'value', text: '=1+1' },
      { line: 5, fault: 'unit', text: '20 %' },
      { line: 6, fault: 'out-of-range', text: '900' },
      { line: 7, fault: 'value', text: '1,200.5' },
    ],
  });
});

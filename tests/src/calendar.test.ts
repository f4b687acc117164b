import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, test } from 'vitest';
import {
  addDays,
  addMonths,
  addMonthsToDate,
  ageInMonths,
  DAYS_A_MONTH,
  dateOfInstant,
  dateOrderOf,
  daysBetween,
  firstDay,
  formatClock,
  formatDate,
  formatMonth,
  formatShortMonth,
  lastDay,
  monthOf,
  monthOfYear,
  monthsBetween,
  type PlainDate,
  type PlainMonth,
  plainDate,
  plainMonth,
  readDate,
  readDateIn,
  readHour,
  readMonth,
  readTypedDate,
  readTypedMonth,
  typedHour,
} from '../../src/calendar.ts';

const someDate = fc
  .date({ min: new Date('1990-01-01T00:00:00Z'), max: new Date('2090-12-31T00:00:00Z'), noInvalidDate: true })
  .map((date) => date.toISOString().slice(0, 10) as PlainDate);

describe('Reading a date', () => {
  test.each(['2026-01-31', '2024-02-29', '2000-02-29', '1999-12-31'])('%s is a day', (text) => {
    expect(readDate(text)).toBe(text);
    expect(plainDate(text)).toBe(text);
  });

  // The Gregorian calendar: 2026 and 1900 have no 29 February.
  test.each([
    '2026-02-31',
    '2026-02-29',
    '1900-02-29',
    '2026-13-01',
    '2026-00-10',
    '2026-04-31',
    '26-01-01',
    '2026-1-1',
    '01/02/2026',
    '2026-01-01T00:00',
    ' 2026-01-01',
    '',
    '+002026-01-01',
  ])('%j is no day', (text) => {
    expect(readDate(text)).toBe(null);
    expect(() => plainDate(text)).toThrow(RangeError);
  });

  test('A month is read from 01 to 12', () => {
    expect(['2026-01', '2026-12'].map(readMonth)).toEqual(['2026-01', '2026-12']);
    expect(['2026-00', '2026-13', '2026-1', '2026', '2026-01-01'].map(readMonth)).toEqual([
      null,
      null,
      null,
      null,
      null,
    ]);
    expect(() => plainMonth('2026-13')).toThrow(RangeError);
  });
});

describe('Moving by months', () => {
  // The notes on physics, section D: dated renewals count from their anchor and are held to the end of the month.
  test.each([
    ['2024-01-31', 1, '2024-02-29'],
    ['2024-01-31', 2, '2024-03-31'],
    ['2023-01-31', 1, '2023-02-28'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2026-03-31', -1, '2026-02-28'],
    ['2026-05-15', 0, '2026-05-15'],
  ])('%s and %d months is %s', (anchor, count, date) => {
    expect(addMonthsToDate(plainDate(anchor), count)).toBe(date);
  });

  test('Counting from the anchor never drifts, where chained additions would', () => {
    const anchor = plainDate('2024-01-31');
    const chained = addMonthsToDate(addMonthsToDate(anchor, 1), 1);
    expect(chained).toBe('2024-03-29');
    expect(addMonthsToDate(anchor, 2)).toBe('2024-03-31');
  });

  test('Months added and taken away lead back, and their distance is their number', () => {
    let moved = 0;
    fc.assert(
      fc.property(someDate, fc.integer({ min: -400, max: 400 }), (date, count) => {
        const month = monthOf(date);
        expect(addMonths(addMonths(month, count), -count)).toBe(month);
        expect(monthsBetween(month, addMonths(month, count)) + 0).toBe(count + 0);
        expect(monthOf(addMonthsToDate(date, count))).toBe(addMonths(month, count));
        if (count !== 0) moved += 1;
      }),
    );
    expect(moved).toBeGreaterThan(50);
  });

  test('A month begins on its first day and ends before the next begins', () => {
    let leap = 0;
    fc.assert(
      fc.property(someDate, (date) => {
        const month = monthOf(date);
        expect(firstDay(month) <= date && date <= lastDay(month)).toBe(true);
        expect(addDays(lastDay(month), 1)).toBe(firstDay(addMonths(month, 1)));
        expect(monthOfYear(month)).toBe(Number(date.slice(5, 7)));
        leap += 1;
      }),
    );
    expect(leap).toBeGreaterThan(0);
    expect(lastDay('2024-02' as PlainMonth)).toBe('2024-02-29');
    expect(lastDay('2100-02' as PlainMonth)).toBe('2100-02-28');
  });
});

describe('Distances', () => {
  test('Days are counted over leap days and the ends of years', () => {
    expect(daysBetween(plainDate('2024-02-28'), plainDate('2024-03-01'))).toBe(2);
    expect(daysBetween(plainDate('2025-12-31'), plainDate('2026-01-01'))).toBe(1);
    expect(daysBetween(plainDate('2026-01-01'), plainDate('2025-01-01'))).toBe(-365);
  });

  test('Days added are days between', () => {
    let counted = 0;
    fc.assert(
      fc.property(someDate, fc.integer({ min: -5000, max: 5000 }), (date, days) => {
        expect(daysBetween(date, addDays(date, days)) + 0).toBe(days + 0);
        counted += 1;
      }),
    );
    expect(counted).toBeGreaterThan(50);
  });

  // The mean Gregorian year has 365.2425 days: 97 leap days in 400 years.
  test('A mean month is a twelfth of the mean Gregorian year', () => {
    expect(DAYS_A_MONTH * 12).toBeCloseTo(365 + 97 / 400, 12);
    expect(ageInMonths('1626-01-15' as PlainDate, plainDate('2026-01-15'))).toBeCloseTo(4800, 9);
    expect(ageInMonths(plainDate('2026-01-15'), plainDate('2026-01-15'))).toBe(0);
    expect(ageInMonths(plainDate('2026-02-15'), plainDate('2026-01-15'))).toBeLessThan(0);
  });
});

test('The day of an instant is that of the clock on the wall there', () => {
  const instant = new Date('2026-01-31T23:30:00Z');
  expect(dateOfInstant(instant, 'UTC')).toBe('2026-01-31');
  expect(dateOfInstant(instant, 'Pacific/Auckland')).toBe('2026-02-01');
  expect(dateOfInstant(instant, 'America/New_York')).toBe('2026-01-31');
  // Lisbon is on summer time from 29 March 2026, so half past eleven in UTC is already the next day.
  expect(dateOfInstant(new Date('2026-03-29T23:30:00Z'), 'Europe/Lisbon')).toBe('2026-03-30');
});

test('Dates and months are written for people in the keeper’s own order', () => {
  expect(formatDate(plainDate('2026-11-05'), 'en-GB')).toBe('5 November 2026');
  expect(formatDate(plainDate('2026-11-05'), 'en-US')).toBe('November 5, 2026');
  expect(formatMonth(plainMonth('2026-11'), 'en-GB')).toBe('November 2026');
  expect(formatShortMonth(plainMonth('2026-11'), 'en-GB')).toBe('Nov 26');
  expect(formatMonth(plainMonth('2026-03'), 'de-DE')).toBe('März 2026');
});

// Held against the calendar of the Temporal proposal (its polyfill), which this file's own counting stands in place of.
test('Moving by months and days is what Temporal gives, over years with and without a leap day', () => {
  const count = fc.integer({ min: -1500, max: 1500 });
  fc.assert(
    fc.property(someDate, count, (date, by) => {
      const plain = Temporal.PlainDate.from(date);
      expect(addMonthsToDate(date, by)).toBe(plain.add({ months: by }, { overflow: 'constrain' }).toString());
      expect(addDays(date, by)).toBe(plain.add({ days: by }).toString());
      const month = Temporal.PlainYearMonth.from(date);
      expect(addMonths(monthOf(date), by)).toBe(month.add({ months: by }).toString());
      expect(lastDay(monthOf(date))).toBe(month.toPlainDate({ day: month.daysInMonth }).toString());
    }),
    { numRuns: 1000 },
  );
  for (const year of [1900, 2000, 2024, 2025, 2100])
    expect(lastDay(`${year}-02` as PlainMonth)).toBe(
      Temporal.PlainYearMonth.from(`${year}-02`).toPlainDate({ day: 31 }).toString(),
    );
});

test('A date that cannot be written is refused, never written wrongly', () => {
  expect(() => addMonths('9999-12' as PlainMonth, 1)).toThrow(RangeError);
  expect(() => addDays('9999-12-31' as PlainDate, 1)).toThrow(RangeError);
  expect(() => addMonthsToDate('0000-01-15' as PlainDate, -1)).toThrow(RangeError);
});

test('An hour as it is written by either clock is read back by either', () => {
  let tried = 0;
  for (const written of [12, 24] as const) {
    for (let hour = 0; hour < 24; hour += 1) {
      expect(readHour(typedHour(hour, written), written)).toEqual({ status: 'ok', hour });
      expect(readHour(formatClock(hour * 60, written), written)).toEqual({ status: 'ok', hour });
      if (written === 12) expect(readHour(typedHour(hour, 12), 24)).toEqual({ status: 'ok', hour });
      tried += 1;
    }
  }
  expect(tried).toBe(48);
});

test.each([
  ['6', 12, 'morning-or-evening'],
  ['12', 12, 'morning-or-evening'],
  ['13 pm', 12, 'not-an-hour'],
  ['0 am', 12, 'not-an-hour'],
  ['25', 24, 'not-an-hour'],
  ['6:30', 24, 'not-an-hour'],
  ['noon', 24, 'not-an-hour'],
  ['-1', 24, 'not-an-hour'],
] as const)('The hour %j by a clock of %i is refused as %s', (typed, clock, fault) => {
  expect(readHour(typed, clock)).toEqual({ status: 'bad', fault });
});

// How noon and midnight are called: 12 am begins the day, as in the Chicago style and in NIST's page on times of day.
test('Noon is 12 pm, midnight 12 am, and the end of the day is written as the next 12 am', () => {
  expect([0, 720, 1439, 1440].map((minute) => formatClock(minute, 12))).toEqual([
    '12:00 am',
    '12:00 pm',
    '11:59 pm',
    '12:00 am',
  ]);
});

test('A typed day is read where it can be one day only, and a month in figures either way round', () => {
  const day = (text: string) => {
    const read = readTypedDate(text);
    return read.status === 'ok' ? read.date : read.status;
  };
  expect(['2026-3-1', '31.3.2026', '1.3.2026', '31/3/2026', '3/31/2026', '04-04-2026'].map(day)).toEqual([
    ...['2026-03-01', '2026-03-31', '2026-03-01', '2026-03-31', '2026-03-31', '2026-04-04'],
  ]);
  expect(readTypedDate('3/4/2026')).toEqual({ status: 'either', dates: ['2026-04-03', '2026-03-04'] });
  expect(['31/2/2026', '13/13/2026', '1/2/26', 'today', ''].map(day)).toEqual(Array(5).fill('none'));
  expect(['2026-03', '2026-3', '3/2026', '03.2026'].map(readTypedMonth)).toEqual(Array(4).fill('2026-03'));
  expect(['March 2026', 'mar. 2026', '2026 March', 'MARCH, 2026'].map(readTypedMonth)).toEqual(
    Array(4).fill('2026-03'),
  );
  expect(['13/2026', '2026', '3/26', 'March', 'ma 2026', 'Marsh 2026'].map(readTypedMonth)).toEqual(
    Array(6).fill(null),
  );
});

test('A date in figures is read in the order that is said, and never otherwise', () => {
  expect(readDateIn('01/31/2026', 'month-day-year')).toBe('2026-01-31');
  expect(readDateIn('31.1.2026', 'day-month-year')).toBe('2026-01-31');
  expect(readDateIn('2026-01-31', 'month-day-year')).toBe('2026-01-31');
  expect(readDateIn('01/31/2026', 'day-month-year')).toBeNull();
  expect(readDateIn('01/02/2026', 'year-month-day')).toBeNull();
  expect(readDateIn('1/2/26', 'day-month-year')).toBeNull();
});

// Unicode CLDR: figures of a date by locale.
test('The order of a date in figures is that of the locale', () => {
  expect(['en-GB', 'en-US', 'en-SE', 'en-AU', 'en-IN'].map(dateOrderOf)).toEqual([
    'day-month-year',
    'month-day-year',
    'year-month-day',
    'day-month-year',
    'day-month-year',
  ]);
});

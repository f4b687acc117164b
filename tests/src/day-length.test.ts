import { Body, Observer, SearchAltitude, SearchRiseSet } from 'astronomy-engine';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addDays, type PlainDate, plainDate } from '../../src/calendar.ts';
import {
  areSeasonsReversed,
  type DayEdge,
  dayLengthHours,
  declinationDegrees,
  TIMER_STEP_MINUTES,
  timerTable,
} from '../../src/day-length.ts';

// Provenance words: 'published' was read in a source, 'computed' is the output of an earlier prototype (a regression value only), 'from
// memory' was not read again.

const hoursOf = (clock: string) => {
  const [hours, minutes, seconds] = clock.split(':').map(Number);
  return hours! + minutes! / 60 + (seconds ?? 0) / 3600;
};
const secondsApart = (one: number, other: number) => Math.abs(one - other) * 3600;

/** The day length that an astronomy library finds from the sun's rise and set around noon at longitude 0. Throws when one is missing. */
function oracleHours(latitude: number, date: PlainDate, edge: DayEdge): number {
  const observer = new Observer(latitude, 0, 0);
  const noon = new Date(`${date}T12:00:00Z`);
  const find = (direction: 1 | -1) =>
    edge === 'sun-up'
      ? SearchRiseSet(Body.Sun, observer, direction, noon, direction === 1 ? -0.6 : 0.6)
      : SearchAltitude(Body.Sun, observer, direction, noon, direction === 1 ? -0.6 : 0.6, -6);
  const [rise, set] = [find(1), find(-1)];
  if (rise === null || set === null)
    throw new RangeError(`the sun does not both rise and set on ${date} at ${latitude}`);
  return (set.ut - rise.ut) * 24;
}

describe('The length of a day', () => {
  // Published: day lengths of London (51.5 N) on sunrise pages, read for 2021, 2007 and 2024; the last four to the minute.
  test.each([
    ['2021-06-16', '16:37:18'],
    ['2021-06-21', '16:38:33'],
    ['2021-06-26', '16:37:18'],
    ['2007-10-02', '11:34:58'],
    ['2007-12-22', '7:49:40'],
    ['2024-01-01', '7:55'],
    ['2024-01-15', '8:20'],
    ['2024-01-31', '9:06'],
    ['2024-02-15', '9:59'],
  ])('In London on %s it is %s within a minute', (date, published) => {
    expect(secondsApart(dayLengthHours(51.5, plainDate(date)), hoursOf(published))).toBeLessThan(60);
  });

  // Computed: the same formula in a prototype, to its rounding.
  test.each([
    [51.5, '2021-06-16', '16:37:14'],
    [51.5, '2021-06-21', '16:38:19'],
    [51.5, '2007-10-02', '11:35:07'],
    [51.5, '2024-02-15', '9:59:09'],
    [40, '2024-06-20', '15:00:51'],
    [40, '2024-12-21', '9:19:30'],
    [-33, '2024-06-20', '9:58:12'],
    [-33, '2024-12-21', '14:19:51'],
  ])('At latitude %d on %s it is %s', (latitude, date, computed) => {
    expect(secondsApart(dayLengthHours(latitude, plainDate(date)), hoursOf(computed))).toBeLessThan(20);
  });

  // Outside: astronomy-engine 2.1.19 (MIT), which follows VSOP87 and searches for the moments of rise and set.
  test.each(['sun-up', 'civil-twilight'] as const)(
    '%s: from 60 S to 60 N it is that of an astronomy library within a minute',
    (edge) => {
      let [compared, worst] = [0, 0];
      for (let latitude = -60; latitude <= 60; latitude += 7.5) {
        for (let day = 0; day < 365 * 4; day += 29) {
          const date = addDays(plainDate('2024-01-03'), day);
          const found = oracleHours(latitude, date, edge);
          worst = Math.max(worst, secondsApart(dayLengthHours(latitude, date, edge), found));
          compared += 1;
        }
      }
      expect(compared).toBeGreaterThan(800);
      expect(worst).toBeLessThan(60);
    },
  );

  // Computed: at 70 N the sun neither sets in June nor rises in December.
  test('It ends at 24 hours and at none', () => {
    expect(dayLengthHours(70, plainDate('2024-06-20'))).toBe(24);
    expect(dayLengthHours(70, plainDate('2024-12-21'))).toBe(0);
    expect(dayLengthHours(90, plainDate('2024-06-20'))).toBe(24);
    expect(dayLengthHours(-90, plainDate('2024-06-20'))).toBe(0);
  });

  // Computed: at the equator about 12 h 7 min the year round, from refraction and the sun's radius.
  test('At the equator it is twelve hours and seven minutes within a minute', () => {
    for (let day = 0; day < 366; day += 5) {
      const hours = dayLengthHours(0, addDays(plainDate('2024-01-01'), day));
      expect(secondsApart(hours, 12 + 7 / 60)).toBeLessThan(60);
    }
  });

  // From memory: Meeus, Astronomical Algorithms, example 25.a, 1992-10-13 at 0 h: declination -7.78507. Noon is half a day later.
  test('The declination lies between those of the midnights around it', () => {
    const [before, after] = [declinationDegrees(plainDate('1992-10-12')), declinationDegrees(plainDate('1992-10-13'))];
    expect((before + after) / 2).toBeCloseTo(-7.785, 2);
  });

  const days = fc.integer({ min: 0, max: 365 * 30 }).map((day) => addDays(plainDate('2000-01-01'), day));

  test('Half a year apart and across the equator it is the same within minutes', () => {
    let counted = 0;
    fc.assert(
      fc.property(fc.double({ min: 0, max: 50, noNaN: true }), days, (latitude, date) => {
        // The seasons differ by up to four days in length, at 50 degrees four minutes each.
        const apart = secondsApart(dayLengthHours(latitude, date), dayLengthHours(-latitude, addDays(date, 183)));
        expect(apart / 60).toBeLessThan(18);
        counted += 1;
      }),
    );
    expect(counted).toBeGreaterThan(50);
  });

  test('It and its mirror across the equator make a day and some minutes, and twilight is longer', () => {
    let counted = 0;
    fc.assert(
      fc.property(fc.double({ min: -50, max: 50, noNaN: true }), days, (latitude, date) => {
        const both = dayLengthHours(latitude, date) + dayLengthHours(-latitude, date);
        expect(both).toBeGreaterThan(24 + 13 / 60);
        expect(both).toBeLessThan(24.5);
        expect(dayLengthHours(latitude, date, 'civil-twilight')).toBeGreaterThan(dayLengthHours(latitude, date) + 0.5);
        counted += 1;
      }),
    );
    expect(counted).toBeGreaterThan(50);
  });

  test('A latitude beyond the poles is refused', () => {
    for (const latitude of [90.1, -91, Number.NaN])
      expect(() => dayLengthHours(latitude, plainDate('2024-06-20'))).toThrow(RangeError);
  });
});

describe('A timer table', () => {
  const question = { latitude: 51.5, year: 2024, seasonsReversed: false, middayMinutes: 780, allowedHours: null };

  // Published: London has 8:20 on 15 January 2024 and 9:59 on 15 February.
  test('Holds the day of the middle of each month, in steps of the timer', () => {
    const table = timerTable(question);
    expect(table.map((one) => one.month)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
    expect(table[0]!.timerHours).toBe(8.25);
    expect(table[1]!.timerHours).toBe(10);
    for (const { dayLengthHours: hours, timerHours, switches, held } of table) {
      expect(Math.abs(hours - timerHours)).toBeLessThanOrEqual(0.125);
      expect(held).toBe('no');
      const { onMinutes, offMinutes } = switches!;
      expect([onMinutes % TIMER_STEP_MINUTES, offMinutes % TIMER_STEP_MINUTES]).toEqual([0, 0]);
      expect(offMinutes - onMinutes).toBe(timerHours * 60);
      expect(Math.abs((onMinutes + offMinutes) / 2 - 780)).toBeLessThan(TIMER_STEP_MINUTES);
    }
  });

  test('Takes the day of half a year later where the seasons are reversed', () => {
    const home = timerTable({ ...question, latitude: -25 });
    const shifted = timerTable({ ...question, latitude: -25, seasonsReversed: true });
    expect(shifted.map((one) => one.timerHours)).toEqual(
      [...home.slice(6), ...home.slice(0, 6)].map((one) => one.timerHours),
    );
    expect(home[0]!.timerHours).toBeGreaterThan(home[6]!.timerHours);
    expect(shifted[0]!.timerHours).toBeLessThan(shifted[6]!.timerHours);
    expect([areSeasonsReversed(-25, 51), areSeasonsReversed(40, 51), areSeasonsReversed(0, 51)]).toEqual([
      true,
      false,
      false,
    ]);
  });

  test('Holds to the hours that a species allows', () => {
    const table = timerTable({ ...question, allowedHours: { low: 10.1, high: 14 } });
    expect(table[0]).toMatchObject({ timerHours: 10.25, held: 'raised' });
    expect(table[5]).toMatchObject({ timerHours: 14, held: 'lowered', switches: { onMinutes: 360, offMinutes: 1200 } });
    expect(() => timerTable({ ...question, allowedHours: { low: 12.1, high: 12.2 } })).toThrow(RangeError);
  });

  test('Crosses midnight when the middle of the day is late, and does not switch in polar day or night', () => {
    const late = timerTable({ ...question, middayMinutes: 1200 })[5]!;
    expect(late.switches!.offMinutes).toBeLessThan(late.switches!.onMinutes);
    const polar = timerTable({ ...question, latitude: 75 });
    expect([polar[5]!.timerHours, polar[11]!.timerHours]).toEqual([24, 0]);
    expect([polar[5]!.switches, polar[11]!.switches]).toEqual([null, null]);
  });
});

import { Body, Observer, SearchRiseSet } from 'astronomy-engine';
import { describe, expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { plainDate } from '../../src/calendar.ts';
import type { Fitting } from '../../src/collection.ts';
import { dayWaysOf, type LampHoursQuestion, type LightNeeds, lampsBeside, lightYear } from '../../src/light-hours.ts';
import { makeFitting } from '../support/make.ts';

const cited = { source: 'memory', grade: 'hearsay' } as const;
const needsAt = (low: number, high: number): LightNeeds => ({
  homeLatitude: { low, high, ...cited },
  lightHours: { summer: { low: 13, high: 14.5 }, winter: { low: 9.5, high: 11 }, ...cited },
  uv: { hours: { low: 8, high: 12, ...cited } },
});
const ask = (needs: LightNeeds, more: Partial<LampHoursQuestion> = {}) =>
  lightYear({ needs, way: 'home', seasons: 'keeper', keeperLatitude: 51.5, year: 2024, middayMinutes: 720, ...more });
const hoursOf = (year: ReturnType<typeof lightYear>) => year.months.map((one) => one.day.likely);

/** The day length on the 15th of a month of 2024 that an astronomy library finds, from rise and set around noon at longitude 0. */
function oracleHours(latitude: number, month: number): number {
  const observer = new Observer(latitude, 0, 0);
  const noon = new Date(Date.UTC(2024, month - 1, 15, 12));
  const [rise, set] = ([1, -1] as const).map((way) =>
    SearchRiseSet(Body.Sun, observer, way, noon, way === 1 ? -0.6 : 0.6),
  );
  if (!rise || !set) throw new RangeError(`the sun does not both rise and set in month ${month} at ${latitude}`);
  return (set.ut - rise.ut) * 24;
}

describe('The day at home', () => {
  // Outside: astronomy-engine 2.1.19 (MIT). Alice Springs lies at 23.7 S; the other ranges are of the tropics, one over the equator.
  test.each([
    [-23.7, -23.7],
    [-36, -20],
    [-5, 9],
    [10, 23],
  ])(
    'From %d to %d degrees it is that of an astronomy library in the middle and at the ends, within a minute',
    (low, high) => {
      const { months } = ask(needsAt(low, high), { keeperLatitude: null });
      for (const { month, day } of months) {
        const [likely, ...ends] = [(low + high) / 2, low, high].map((latitude) => oracleHours(latitude, month));
        const all = [likely!, ...ends];
        expect(Math.abs(day.likely - likely!) * 60, `month ${month}`).toBeLessThan(1);
        expect(Math.abs(day.low - Math.min(...all)) * 60, `month ${month}`).toBeLessThan(1);
        expect(Math.abs(day.high - Math.max(...all)) * 60, `month ${month}`).toBeLessThan(1);
      }
    },
  );

  // Outside: the same library, for Alice Springs in December: its midsummer is a keeper's in June.
  test('Of the other hemisphere is turned into the keeper’s seasons, unless its own calendar is chosen', () => {
    const desert = needsAt(-23.7, -23.7);
    const turned = ask(desert);
    expect(turned).toMatchObject({ way: 'home', latitude: -23.7, seasons: 'turned' });
    expect(Math.abs(hoursOf(turned)[5]! - oracleHours(-23.7, 12)) * 60).toBeLessThan(1);
    const kept = ask(desert, { seasons: 'home' });
    expect(kept).toMatchObject({ seasons: 'kept' });
    expect(Math.abs(hoursOf(kept)[5]! - oracleHours(-23.7, 6)) * 60).toBeLessThan(1);
    expect(ask(desert, { keeperLatitude: -34 })).toMatchObject({ seasons: 'alike' });
    expect(ask(desert, { keeperLatitude: null })).toMatchObject({ seasons: 'unknown' });
    expect(hoursOf(ask(desert, { keeperLatitude: -34 }))).toEqual(hoursOf(kept));
  });
});

test('The published hours hold for half a year each, the long half from April in the north and from October in the south', () => {
  const north = ask(needsAt(-36, -20), { way: 'published' });
  expect(north).toMatchObject({ longFrom: 4, seasonsOf: 'keeper' });
  expect(hoursOf(north)).toEqual([10.25, 10.25, 10.25, 13.75, 13.75, 13.75, 13.75, 13.75, 13.75, 10.25, 10.25, 10.25]);
  expect(north.months[3]!.day).toEqual({ low: 13, likely: 13.75, high: 14.5 });
  expect(north.months[3]!.light).toMatchObject({ timerHours: 13.75, held: 'no' });
  expect(north.months[3]!.uv).toMatchObject({ timerHours: 12, held: 'lowered' });
  const south = ask(needsAt(-36, -20), { way: 'published', seasons: 'home' });
  expect(south).toMatchObject({ longFrom: 10, seasonsOf: 'home' });
  expect(hoursOf(south)[0]).toBe(13.75);
  expect(ask(needsAt(-36, -20), { way: 'published', keeperLatitude: null })).toMatchObject({ seasonsOf: 'home' });
  const nowhere = { ...needsAt(0, 0), homeLatitude: null };
  expect(ask(nowhere, { way: 'published', keeperLatitude: null })).toMatchObject({ seasonsOf: 'north', longFrom: 4 });
});

test('The ways known for a species come with its home first, and one that is not known is refused', () => {
  expect(dayWaysOf(needsAt(10, 20), 51.5)).toEqual(['home', 'published', 'keeper']);
  const unknown = { ...needsAt(10, 20), homeLatitude: null, lightHours: null };
  expect(dayWaysOf(unknown, 51.5)).toEqual(['keeper']);
  expect(dayWaysOf(unknown, null)).toEqual([]);
  for (const way of ['home', 'published', 'keeper'] as const)
    expect(() => ask(unknown, { way, keeperLatitude: null })).toThrow(RangeError);
});

test('A lamp more than an hour from its month is apart, a UV lamp by the hours that are scored', () => {
  const on = plainDate('2026-06-15');
  const lamp = (id: string, kind: Fitting['kind'], hoursPerDay: number | null) =>
    makeFitting(kind, { id, hoursPerDay, name: id });
  const june = ask(needsAt(40, 40)).months[5]!;
  // Published in the test of day lengths: 15:01 at 40 N on 20 June; 15 h by the timer, 12 h of UV by the species.
  expect([june.light.timerHours, june.uv.timerHours]).toEqual([15, 12]);
  const fittings = [
    lamp('tube', 'uv-tube', 12),
    lamp('short tube', 'uv-tube', 10.75),
    lamp('spot', 'basking-lamp', 14),
    lamp('late spot', 'basking-lamp', 13.75),
    lamp('unset', 'uv-compact', null),
    lamp('mat', 'heat-mat', 24),
    { ...lamp('old tube', 'uv-tube', 6), retiredOn: plainDate('2026-06-01') },
  ];
  expect(lampsBeside(june, fittings, on).map(({ name, status, wanted }) => [name, status, wanted])).toEqual([
    ['tube', 'close', 12],
    ['short tube', 'apart', 12],
    ['spot', 'close', 15],
    ['late spot', 'apart', 15],
    ['unset', 'unknown', 12],
  ]);
});

test('Every species of the library gets a year of light by each way it has, never beyond a day', () => {
  let years = 0;
  for (const species of readCareLibrary().species) {
    for (const keeperLatitude of [51.5, -37, null]) {
      for (const way of dayWaysOf(species, keeperLatitude)) {
        const { months } = ask(species, { way, keeperLatitude });
        expect(months).toHaveLength(12);
        for (const { day, light, uv } of months) {
          expect(day.low).toBeLessThanOrEqual(day.likely);
          expect(day.high).toBeGreaterThanOrEqual(day.likely);
          expect(Math.abs(light.timerHours - day.likely)).toBeLessThanOrEqual(0.125 + 1e-9);
          expect(uv.timerHours).toBeGreaterThanOrEqual(species.uv.hours.low);
          expect(uv.timerHours).toBeLessThanOrEqual(species.uv.hours.high);
        }
        years += 1;
      }
    }
  }
  expect(years).toBeGreaterThan(300);
});

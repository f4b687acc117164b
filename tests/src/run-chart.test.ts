import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addDays, plainDate } from '../../src/calendar.ts';
import type { Fitting, Reading, Setup } from '../../src/collection.ts';
import { FEWEST_FOR_LIMITS, individualsLimits, longestRunOf, medianOf, runChartOf } from '../../src/run-chart.ts';
import { makeBox, makeFitting, makeReading } from '../support/make.ts';
import { today } from '../support/scoring.ts';

const first = plainDate('2025-06-01');
const series = (values: readonly number[], from = first): Reading[] =>
  values.map((value, day) => makeReading('warm-air', value, { takenOn: addDays(from, day) }));
const setup = (readings: Reading[], fittings: Fitting[] = []): Setup => ({
  enclosure: makeBox(900, 450, 450),
  occupants: [],
  fittings,
  readings,
  answers: [],
});

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2, flow rates of ten batches: centre 50.81, limits 55.8041 and 45.8159
// (quoted from memory; data and limits agree to the fourth decimal).
test('The limits of the flow rates of the NIST handbook are those it gives', () => {
  const limits = individualsLimits([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]);
  expect(limits.mean).toBeCloseTo(50.81, 4);
  expect(limits.high).toBeCloseTo(55.8041, 4);
  expect(limits.low).toBeCloseTo(45.8159, 4);
  expect(limits.meanRange).toBeCloseTo(1.8778, 4);
  expect(limits.rangeLimit / limits.meanRange).toBe(3.267);
});

test('Limits move and stretch with their values, and no value of a constant series lies outside', () => {
  const anyValues = fc.array(fc.double({ min: -50, max: 150, noNaN: true }), { minLength: 2, maxLength: 40 });
  fc.assert(
    fc.property(
      anyValues,
      fc.double({ min: -20, max: 20, noNaN: true }),
      fc.double({ min: 0.1, max: 9, noNaN: true }),
      (values, by, times) => {
        const [plain, other] = [
          individualsLimits(values),
          individualsLimits(values.map((value) => by + times * value)),
        ];
        expect(other.high).toBeCloseTo(by + times * plain.high, 6);
        expect(other.rangeLimit).toBeCloseTo(times * plain.rangeLimit, 6);
      },
    ),
  );
  expect(individualsLimits([7, 7, 7])).toMatchObject({ low: 7, high: 7, rangeLimit: 0 });
  expect(() => individualsLimits([7])).toThrow(RangeError);
});

test('Under twelve readings there is a median and no limit; with the twelfth the limits come', () => {
  const values = [30, 31, 29, 30, 32, 30, 31, 29, 30, 31, 30];
  expect(values).toHaveLength(FEWEST_FOR_LIMITS - 1);
  const few = runChartOf(setup(series(values)), 'warm-air', today);
  expect(few.limits).toEqual({ status: 'too-few', have: 11 });
  expect(few.median).toBe(30);
  expect(runChartOf(setup(series([...values, 30])), 'warm-air', today).limits).toMatchObject({ status: 'drawn' });
});

test('A reading beyond the limits and a step beyond the range limit stand out, and only they', () => {
  const chart = runChartOf(setup(series([30, 31, 30, 29, 30, 31, 30, 29, 30, 31, 30, 38, 30])), 'warm-air', today);
  expect(chart.points.filter((one) => one.outside).map((one) => one.value)).toEqual([38]);
  expect(chart.points.filter((one) => one.step).map((one) => one.value)).toEqual([38, 30]);
  const colder = runChartOf(setup(series([30, 31, 30, 29, 30, 31, 30, 29, 30, 31, 30, 22, 30])), 'warm-air', today);
  expect(colder.points.filter((one) => one.outside).map((one) => one.value)).toEqual([22]);
});

test('Readings from before the box or a lamp changed are shown and do not count', () => {
  const lamp = makeFitting('basking-lamp', { fittedOn: plainDate('2025-06-06') });
  const chart = runChartOf(setup(series([20, 20, 20, 20, 20, 30, 31, 32]), [lamp]), 'warm-air', today);
  expect(chart.since).toBe('2025-06-06');
  expect(chart.points.map((one) => one.stage).join(' ')).toBe(`${'earlier '.repeat(5)}present present present`);
  expect(chart.median).toBe(31);
  const since = (parts: Partial<Fitting>) =>
    runChartOf(setup(series([20, 20]), [makeFitting('basking-lamp', parts)]), 'warm-air', today).since;
  const fittedOn = plainDate('2025-03-01');
  for (const change of ['movedOn', 'retiredOn', 'brokenOn'] as const)
    expect(since({ fittedOn, [change]: plainDate('2025-06-09') }), change).toBe('2025-06-09');
  expect(since({ fittedOn, retiredOn: plainDate('2026-02-01') })).toBe('2025-03-01');
  const later = makeFitting('uv-tube', { fittedOn: plainDate('2025-06-07') });
  expect(runChartOf(setup(series([20, 20]), [later]), 'warm-air', today).since).toBe('2025-01-01');
});

test('Readings stand in the order they were taken; estimates and unknowns are left out and counted', () => {
  const readings = [
    makeReading('warm-air', 3, { takenOn: first, hour: 20 }),
    makeReading('warm-air', 2, { takenOn: first, hour: null }),
    makeReading('warm-air', 1, { takenOn: first, hour: 8 }),
    makeReading('warm-air', 9, { takenOn: first, evidence: 'estimated' }),
    makeReading('warm-air', null, { takenOn: first }),
    makeReading('night-air', 15, { takenOn: first }),
    makeReading('warm-air', 40, { takenOn: plainDate('2026-01-16') }),
  ];
  const chart = runChartOf(setup(readings), 'warm-air', today);
  expect(chart.points.map((one) => one.value)).toEqual([1, 2, 3]);
  expect(chart.leftOut).toBe(2);
});

test('Without a reading there is nothing but the day since when it would count', () => {
  expect(runChartOf(setup([]), 'warm-air', today)).toEqual({
    points: [],
    since: '2025-01-01',
    median: null,
    longestRun: null,
    limits: { status: 'too-few', have: 0 },
    leftOut: 0,
  });
});

test('The median of an even number is the mean of the middle two, and does not hang on the order', () => {
  expect(medianOf([4, 1, 3, 2])).toBe(2.5);
  expect(medianOf([10, 9, 2])).toBe(9);
  expect(() => medianOf([])).toThrow(RangeError);
});

// Anhøj & Olesen 2014: the longest run expected of 24 values is log2(24) + 3 = 7.6, so 8; of 10 it is 6.
test.each([
  [[1, 1, 1, 1, 1, 1, 1, 9, 9, 9], 5, { side: 'below', length: 7, longerThan: 6, isLong: true }],
  [[1, 9, 1, 9, 5, 9, 9], 5, { side: 'above', length: 3, longerThan: 6, isLong: false }],
  [
    [
      ...Array(8).fill(9),
      ...Array(16)
        .fill(0)
        .map((_, at) => (at % 2 === 0 ? 1 : 9)),
    ],
    5,
    { side: 'above', length: 8, longerThan: 8, isLong: false },
  ],
] as const)('The longest run of %j about %d is %j', (values, median, run) => {
  expect(longestRunOf([...values], median)).toEqual(run);
});

test('Values that all lie on the median have no run', () => {
  expect(longestRunOf([5, 5], 5)).toBeNull();
});

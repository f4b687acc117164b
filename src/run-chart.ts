// Repeated readings of one kind over time: their median and the longest run on one side of it, and from enough readings on the limits
// within which an unchanged set-up varies by itself. Says what stands out, never why, and knows no target.

import type { PlainDate } from './calendar.ts';
import type { Reading, ReadingKind, Setup } from './collection.ts';
import { influenceOf } from './collection.ts';

/** From how many readings limits are drawn; with fewer they wander too much to say anything (from memory: check before relying on it). */
export const FEWEST_FOR_LIMITS = 12;

// The mean of moving ranges of two over the standard deviation of a normal spread, d2 = 1.128, and the upper limit factor of such
// ranges, D4 = 3.267 (Shewhart chart of individuals; NIST/SEMATECH e-Handbook of Statistical Methods, sections 6.3.2 and 6.3.2.2).
const D2 = 1.128;
const D4 = 3.267;

/** Limits of an individuals chart, in the unit of the values: mean ± 3/1.128 (2.660) times the mean moving range, and 3.267 times that. */
export type ChartLimits = { mean: number; low: number; high: number; meanRange: number; rangeLimit: number };

/** The limits of at least two values in the order they were taken. Throws when there are fewer. */
export function individualsLimits(values: readonly number[]): ChartLimits {
  if (values.length < 2) throw new RangeError('a moving range takes at least two values');
  const mean = sum(values) / values.length;
  const ranges = values.slice(1).map((value, index) => Math.abs(value - values[index]!));
  const meanRange = sum(ranges) / ranges.length;
  const reach = (3 / D2) * meanRange;
  return { mean, low: mean - reach, high: mean + reach, meanRange, rangeLimit: D4 * meanRange };
}

/**
 * A measured reading of the chart. `stage` tells those taken since the box or a thing with an influence on them last changed, which alone
 * count, from earlier ones. `outside`: beyond a limit; `step`: further from the reading before than the range limit.
 */
export type ChartPoint = {
  reading: Reading;
  value: number;
  stage: 'present' | 'earlier';
  outside: boolean;
  step: boolean;
};

/** A run of readings on one side of the median; it is long when chance alone rarely makes one of that length. */
export type Run = { side: 'above' | 'below'; length: number; longerThan: number; isLong: boolean };

/** What the chart of one kind says. Median, run and limits are of the present stage; `since` is its first day, `leftOut` counts estimates and unknowns. */
export type RunChart = {
  points: ChartPoint[];
  since: PlainDate;
  median: number | null;
  longestRun: Run | null;
  limits: ({ status: 'drawn' } & ChartLimits) | { status: 'too-few'; have: number };
  leftOut: number;
};

/** The chart of the readings of a kind in an enclosure up to a day, by day, then hour, then order of entry. */
export function runChartOf(setup: Setup, kind: ReadingKind, on: PlainDate): RunChart {
  const readings = setup.readings.filter((one) => one.kind === kind && one.takenOn <= on);
  const measured = readings
    .filter((one) => one.evidence === 'measured' && one.value !== null)
    .map((reading, entered) => ({ reading, entered }))
    .sort(
      (a, b) =>
        compare(a.reading.takenOn, b.reading.takenOn) ||
        (a.reading.hour ?? 12) - (b.reading.hour ?? 12) ||
        a.entered - b.entered,
    )
    .map(({ reading }) => reading);
  const since = presentStage(setup, kind, on);
  const values = measured.filter((one) => one.takenOn >= since).map((one) => one.value!);
  const limits: RunChart['limits'] =
    values.length < FEWEST_FOR_LIMITS
      ? { status: 'too-few', have: values.length }
      : { status: 'drawn', ...individualsLimits(values) };
  const first = measured.length - values.length;
  const points = measured.map((reading, index): ChartPoint => {
    const value = reading.value!;
    const counts = index >= first && limits.status === 'drawn';
    return {
      reading,
      value,
      stage: index >= first ? 'present' : 'earlier',
      outside: counts && limits.status === 'drawn' && (value < limits.low || value > limits.high),
      step:
        counts &&
        index > first &&
        limits.status === 'drawn' &&
        Math.abs(value - measured[index - 1]!.value!) > limits.rangeLimit,
    };
  });
  const median = values.length === 0 ? null : medianOf(values);
  return {
    points,
    since,
    median,
    longestRun: median === null ? null : longestRunOf(values, median),
    limits,
    leftOut: readings.length - measured.length,
  };
}

/** The middle of some values, the mean of both middle ones of an even number. Throws when there are none. */
export function medianOf(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('no values have no median');
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/**
 * The longest run on one side of the median; values on it are passed over. It is long beyond log2(n) + 3, rounded, of n values off the
 * median (Anhøj & Olesen 2014, PLoS ONE 9: e113825; from memory: check before relying on it). Null when all lie on the median.
 */
export function longestRunOf(values: readonly number[], median: number): Run | null {
  const off = values.filter((value) => value !== median);
  const runs: { side: Run['side']; length: number }[] = [];
  for (const value of off) {
    const side = value > median ? 'above' : 'below';
    const current = runs.at(-1);
    if (current?.side === side) current.length++;
    else runs.push({ side, length: 1 });
  }
  const longest = runs.reduce<(typeof runs)[number] | null>(
    (most, one) => (most === null || one.length > most.length ? one : most),
    null,
  );
  if (longest === null) return null;
  const longerThan = Math.round(Math.log2(off.length) + 3);
  return { ...longest, longerThan, isLong: longest.length > longerThan };
}

// The last day on which the box or anything that touches this kind was set up, fitted, moved, retired or broken: before it another
// set-up was measured, and limits over both would hide the change they are to show.
function presentStage({ enclosure, fittings }: Setup, kind: ReadingKind, on: PlainDate): PlainDate {
  const days = fittings
    .filter((one) => influenceOf(one, fittings).includes(kind))
    .flatMap((one) => [one.fittedOn, one.movedOn, one.retiredOn, one.brokenOn])
    .filter((day): day is PlainDate => day !== null && day <= on);
  return [enclosure.boxSince, ...days].sort().at(-1)!;
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

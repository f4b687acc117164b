import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addDays, plainDate } from '../../src/calendar.ts';
import { READING_KINDS } from '../../src/collection.ts';
import {
  COVERED_ENOUGH,
  FIGURES,
  figureOf,
  type Sample,
  summariseLogger,
  USUAL_DAY,
  USUAL_FIGURE,
} from '../../src/logger-summary.ts';
import { medianOf } from '../../src/run-chart.ts';

const first = plainDate('2026-01-01');

/** Samples every so many minutes from the first midnight on, each with the value that a rule gives its minute. */
function logged(count: number, every: number, valueAt: (at: number) => number): Sample[] {
  return Array.from({ length: count }, (_, index) => {
    const at = index * every;
    return { on: addDays(first, Math.floor(at / 1440)), minute: at % 1440, at, value: valueAt(at) };
  });
}

const hourOf = (at: number) => Math.floor((at % 1440) / 60);

test('Day and night are told apart by the hours, and a night belongs to the morning on which it ends', () => {
  // 20 by day from 8 to 20, 15 in the evening, 10 after midnight: the night of 2 January holds the evening of the 1st.
  const samples = logged(48, 60, (at) => (hourOf(at) < 8 ? 10 : hourOf(at) < 20 ? 20 : 15));
  const { days, gaps, everyMinutes } = summariseLogger(samples, USUAL_DAY);
  expect(everyMinutes).toBe(60);
  expect(gaps).toEqual([]);
  expect(days.map((one) => one.on)).toEqual(['2026-01-01', '2026-01-02', '2026-01-03']);
  expect(days[0]).toMatchObject({
    day: { samples: 12, least: 20, most: 20, covered: 1 },
    night: { samples: 8, most: 10 },
  });
  expect(days[1]!.night).toEqual({ samples: 12, least: 10, median: 10, most: 15, covered: 1 });
  expect(days[2]).toMatchObject({ day: null, night: { samples: 4, least: 15 } });
});

test('A night of which less than three quarters is covered gives no figure', () => {
  const samples = logged(48, 60, () => 20);
  const { days } = summariseLogger(samples, USUAL_DAY);
  expect(days[0]!.night!.covered).toBeCloseTo(8 / 12, 12);
  expect(figureOf(days[0]!, 'night-least')).toBeNull();
  expect(figureOf(days[1]!, 'night-least')?.value).toBe(20);
  expect(figureOf(days[2]!, 'day-most')).toBeNull();
  expect(COVERED_ENOUGH).toBe(0.75);
});

test('A silence is named with the time before and after it; a usual jitter is none', () => {
  const samples = logged(200, 10, () => 20).filter((one) => one.at < 300 || one.at > 330);
  expect(summariseLogger(samples, USUAL_DAY).gaps).toEqual([
    { before: expect.objectContaining({ minute: 290 }), after: expect.objectContaining({ minute: 340 }), minutes: 50 },
  ]);
  const jittered = logged(200, 10, () => 20).map((one, index) => ({ ...one, at: one.at + (index % 3) }));
  expect(summariseLogger(jittered, USUAL_DAY).gaps).toEqual([]);
});

test('A step of just three usual ones is no silence', () => {
  const samples = logged(200, 10, () => 20).filter((one) => one.at <= 300 || one.at >= 330);
  expect(summariseLogger(samples, USUAL_DAY).gaps).toEqual([]);
});

test('Samples logged twice leave the usual step as it is and cover no more than the whole', () => {
  const samples = logged(144, 10, () => 20).flatMap((one) => [one, one]);
  const { everyMinutes, days } = summariseLogger(samples, USUAL_DAY);
  expect(everyMinutes).toBe(10);
  expect(days[0]!.day).toMatchObject({ samples: 144, covered: 1 });
});

test('A night is as long as its hours say', () => {
  // From 22 to 6 there are eight hours: five of them after midnight are five eighths.
  const samples = logged(24, 60, () => 20).filter((one) => hourOf(one.at) >= 1);
  expect(summariseLogger(samples, { from: 6, to: 22 }).days[0]!.night!.covered).toBeCloseTo(5 / 8, 12);
});

test('The hour that clocks leap over is no silence', () => {
  // In the night of 29 March the local minute leaps from 01:59 to 03:00 while an hour of true time passes in ten-minute steps.
  const samples = Array.from({ length: 144 }, (_, index) => {
    const at = index * 10;
    return { on: plainDate('2026-03-29'), minute: at < 120 ? at : at + 60, at, value: 15 };
  }).filter((one) => one.minute < 1440);
  const { gaps, days } = summariseLogger(samples, USUAL_DAY);
  expect(gaps).toEqual([]);
  expect(days[0]!.day).toMatchObject({ samples: 72, covered: 1 });
});

test('The order of samples does not matter, and least, middle and greatest are those of all values', () => {
  const values = fc.array(fc.double({ min: -20, max: 90, noNaN: true }), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(values, (found) => {
      const samples = found.map((value, index) => ({ on: first, minute: 480 + index, at: index, value }));
      const { days } = summariseLogger(samples, USUAL_DAY);
      expect(summariseLogger(samples.toReversed(), USUAL_DAY).days).toEqual(days);
      expect(days[0]!.day).toMatchObject({
        least: Math.min(...found),
        most: Math.max(...found),
        median: medianOf(found),
        samples: found.length,
      });
    }),
  );
});

test('Every kind has a figure, and the night kinds have one of the night', () => {
  for (const kind of READING_KINDS) expect(FIGURES).toContain(USUAL_FIGURE[kind]);
  expect(USUAL_FIGURE['night-air']).toBe('night-least');
  expect(USUAL_FIGURE['hot-spot-surface']).toBe('day-most');
  expect(USUAL_FIGURE['humidity-night']).toMatch(/^night/);
});

test('A hundred thousand samples are summarised in a moment', () => {
  const samples = logged(100_000, 1, (at) => at % 37);
  const { days } = summariseLogger(samples, USUAL_DAY);
  expect(days).toHaveLength(70);
  expect(days[5]!.day).toMatchObject({ samples: 720, least: 0, most: 36 });
});

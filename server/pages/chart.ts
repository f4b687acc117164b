// How figures over months are drawn: bars of cash and lines of a score, in units of a drawing 360 wide that is legible on a small
// screen. The only file that knows the measures of these drawings; every drawing says its finding in words, and a table holds its figures.

import { scaleLinear, scalePoint } from 'd3-scale';
import { line } from 'd3-shape';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { daysBetween, formatDate, formatShortDate, formatShortMonth } from '../../src/calendar.ts';

/** A drawing as views/partials/chart.hbs lays it out. */
export type Chart = {
  id: string;
  title: string;
  description: string;
  viewBox: string;
  grid: { path: string; x: string; y: string; label: string }[];
  bars: { x: string; y: string; width: string; height: string }[];
  lines: { kind: string; path: string }[];
  axis: string;
  labels: { x: string; y: string; anchor: 'start' | 'middle' | 'end'; text: string }[];
  caption: string;
};

const WIDTH = 360;
const TOP = 14;
const LINE_OF_TEXT = 15;

const write = (length: number) => length.toFixed(1);

function scoreGrid(left: number, right: number, y: (score: number) => number) {
  return [0, 50, 100].map((tick) => ({
    path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
    x: write(left - 6),
    y: write(y(tick) + 5),
    label: String(tick),
  }));
}

function monthLabels(months: readonly PlainMonth[], at: (month: PlainMonth) => number, y: number, locale: string) {
  // Four labels at most, so that they never touch.
  const step = Math.max(1, Math.ceil(months.length / 4));
  return months.flatMap((month, index) =>
    index % step === 0
      ? [{ x: write(at(month)), y: write(y), anchor: 'middle' as const, text: formatShortMonth(month, locale) }]
      : [],
  );
}

/** The cash at the end of each month as bars, with the floor that stays in hand as a broken line. */
export function cashChart(parts: {
  id: string;
  title: string;
  description: string;
  caption: string;
  months: readonly PlainMonth[];
  cash: readonly number[];
  floor: number;
  amount: (sum: number) => string;
  locale: string;
}): Chart {
  const { months, cash, floor, amount, locale } = parts;
  const [left, right, bottom] = [66, 6, 150];
  const most = Math.max(1, floor, ...cash);
  const least = Math.min(0, ...cash);
  const y = scaleLinear([least, most], [bottom, TOP]).nice(3);
  const x = scalePoint([...months], [left, WIDTH - right]).padding(0.5);
  const width = Math.max(4, x.step() * 0.62);
  const zero = y(0);
  return {
    ...parts,
    viewBox: `0 0 ${WIDTH} ${bottom + 24}`,
    grid: y.ticks(3).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: amount(tick),
    })),
    bars: months.map((month, index) => {
      const top = y(cash[index]!);
      return {
        x: write(x(month)! - width / 2),
        y: write(Math.min(top, zero)),
        width: write(width),
        height: write(Math.abs(zero - top)),
      };
    }),
    lines: floor === 0 ? [] : [{ kind: 'chart-line-second', path: `M${left} ${write(y(floor))}H${WIDTH - right}` }],
    axis: `M${left} ${write(zero)}H${WIDTH - right}`,
    labels: monthLabels(months, (month) => x(month)!, bottom + 18, locale),
  };
}

/** One animal's score over the months with the plan (drawn through) and without it (broken), from 0 to 100. */
export function scoreChart(parts: {
  id: string;
  title: string;
  description: string;
  caption: string;
  months: readonly PlainMonth[];
  planned: readonly number[];
  baseline: readonly number[];
  locale: string;
}): Chart {
  const { months, planned, baseline, locale } = parts;
  const [left, right, bottom] = [34, 92, 122];
  const y = scaleLinear([0, 100], [bottom, TOP]);
  const x = scalePoint([...months], [left + 4, WIDTH - right]);
  const draw = line<number>(
    (_, index) => x(months[index]!)!,
    (value) => y(value),
  );
  const end = (values: readonly number[]) => values[values.length - 1] ?? 0;
  let [high, low] = [y(end(planned)) + 5, y(end(baseline)) + 5];
  // Both labels stay apart even where the lines end together.
  const gap = LINE_OF_TEXT - Math.abs(high - low);
  if (gap > 0) {
    const above = high <= low ? -1 : 1;
    high += (above * gap) / 2;
    low -= (above * gap) / 2;
  }
  const label = (at: number, text: string) => ({
    x: write(WIDTH - right + 6),
    y: write(at),
    anchor: 'start' as const,
    text,
  });
  return {
    ...parts,
    viewBox: `0 0 ${WIDTH} ${bottom + 24}`,
    grid: scoreGrid(left, right, y),
    bars: [],
    lines: [
      { kind: 'chart-line-second', path: draw(baseline) ?? '' },
      { kind: 'chart-line', path: draw(planned) ?? '' },
    ],
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [
      ...monthLabels(months, (month) => x(month)!, bottom + 18, locale),
      label(high, `plan ${Math.round(end(planned))}`),
      label(low, `nothing ${Math.round(end(baseline))}`),
    ],
  };
}

/** The weights of one animal over its days, two or more, the oldest first; the scale begins near the lightest, and its ends say so. */
export function weightChart(parts: {
  id: string;
  title: string;
  description: string;
  caption: string;
  weights: readonly { on: PlainDate; grams: number }[];
  written: (grams: number) => string;
  locale: string;
}): Chart {
  const { weights, written, locale } = parts;
  const [left, right, bottom] = [66, 12, 122];
  const [first, last] = [weights[0]!.on, weights[weights.length - 1]!.on];
  const grams = weights.map((one) => one.grams);
  const [least, most] = [Math.min(...grams), Math.max(...grams)];
  // Weights that are all the same still need a height to be drawn at.
  const margin = least === most ? least / 10 : 0;
  const y = scaleLinear([least - margin, most + margin], [bottom, TOP]).nice(3);
  const x = scaleLinear([0, Math.max(1, daysBetween(first, last))], [left + 6, WIDTH - right]);
  const draw = line<{ on: PlainDate; grams: number }>(
    (one) => x(daysBetween(first, one.on)),
    (one) => y(one.grams),
  );
  const label = (at: number, anchor: 'start' | 'end', text: string) => ({
    x: write(at),
    y: write(bottom + 18),
    anchor,
    text,
  });
  return {
    ...parts,
    viewBox: `0 0 ${WIDTH} ${bottom + 24}`,
    grid: y.ticks(3).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: written(tick),
    })),
    bars: [],
    lines: [{ kind: 'chart-line', path: draw(weights) ?? '' }],
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [
      label(left, 'start', formatDate(first, locale)),
      ...(first === last ? [] : [label(WIDTH - right, 'end', formatDate(last, locale))]),
    ],
  };
}

/**
 * Scores from 0 to 100 over the days on which they were found, two or more: lines named at their right end, and events marked along the top
 * with their numbers, those that lie too close together under one mark.
 */
export function progressChart(parts: {
  id: string;
  title: string;
  description: string;
  caption: string;
  days: readonly PlainDate[];
  drawn: readonly { kind: 'chart-line' | 'chart-line-second'; values: readonly number[]; label: string }[];
  events: readonly { on: PlainDate; number: number }[];
  locale: string;
}): Chart {
  const { days, drawn, events, locale } = parts;
  const [left, right, top, bottom] = [34, 92, TOP + LINE_OF_TEXT + 4, 146];
  const [first, last] = [days[0]!, days[days.length - 1]!];
  const y = scaleLinear([0, 100], [bottom, top]);
  const x = scaleLinear([0, Math.max(1, daysBetween(first, last))], [left + 6, WIDTH - right]);
  const at = (on: PlainDate) => x(daysBetween(first, on));
  const draw = line<number>(
    (_, index) => at(days[index]!),
    (value) => y(value),
  );
  let lowest = Number.POSITIVE_INFINITY;
  // From the bottom upwards; of lines that end together the one named first stands on top.
  const names = drawn
    .toReversed()
    .map(({ values, label }) => ({ label, y: y(values[values.length - 1] ?? 0) + 5 }))
    .sort((a, b) => b.y - a.y)
    .map((one) => {
      lowest = Math.min(one.y, lowest - LINE_OF_TEXT);
      return { x: write(WIDTH - right + 6), y: write(lowest), anchor: 'start' as const, text: one.label };
    });
  const marks: { from: number; to: number; x: number }[] = [];
  for (const { on, number } of events.filter((one) => one.on >= first && one.on <= last)) {
    const before = marks[marks.length - 1];
    if (before !== undefined && at(on) - before.x < 30) before.to = number;
    else marks.push({ from: number, to: number, x: at(on) });
  }
  return {
    ...parts,
    viewBox: `0 0 ${WIDTH} ${bottom + 24}`,
    grid: scoreGrid(left, right, y),
    bars: [],
    lines: [
      ...marks.map((one) => ({ kind: 'chart-grid', path: `M${write(one.x)} ${top - 4}V${bottom}` })),
      ...drawn.map(({ kind, values }) => ({ kind, path: draw([...values]) ?? '' })),
    ],
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [
      ...marks.map((one) => ({
        x: write(one.x),
        y: write(TOP),
        anchor: 'middle' as const,
        text: one.from === one.to ? String(one.from) : `${one.from}–${one.to}`,
      })),
      { x: write(left), y: write(bottom + 18), anchor: 'start' as const, text: formatShortDate(first, locale) },
      { x: write(WIDTH - right), y: write(bottom + 18), anchor: 'end' as const, text: formatShortDate(last, locale) },
      ...names,
    ],
  };
}

/** A drawing of readings over time as views/partials/run-chart.hbs lays it out. */
export type ReadingsDrawing = Omit<Chart, 'bars'> & {
  bands: { x: string; y: string; width: string; height: string }[];
  dots: { kind: string; x: string; y: string; size: string }[];
};

/**
 * Readings over time: a dot each, joined by a line, bands as hatched rectangles, and level lines with their words at the right. A dot of
 * kind 'chart-dot-marked' is drawn larger. At least one dot; an end of a band that is null lies at the edge of the drawing.
 */
export function readingsChart(parts: {
  id: string;
  title: string;
  description: string;
  caption: string;
  dots: readonly { on: PlainDate; value: number; kind: 'chart-dot' | 'chart-dot-old' | 'chart-dot-marked' }[];
  bands: readonly { low: number | null; high: number | null }[];
  levels: readonly { value: number; kind: 'chart-line-second' | 'chart-line-limit'; label: string }[];
  amount: (value: number) => string;
  locale: string;
}): ReadingsDrawing {
  const { dots, bands, levels, amount, locale } = parts;
  const [left, right, bottom] = [62, 112, 190];
  const values = [
    ...dots.map((one) => one.value),
    ...levels.map((one) => one.value),
    ...bands.flatMap(({ low, high }) => [low, high].filter((end) => end !== null)),
  ];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const air = Math.max(0.5, (most - least) * 0.08);
  const y = scaleLinear([least - air, most + air], [bottom, TOP]).nice(4);
  const [first, last] = [dots[0]!.on, dots[dots.length - 1]!.on];
  const days = Math.max(1, daysBetween(first, last));
  const x = scaleLinear([0, days], [left + 8, WIDTH - right - 8]);
  const at = (on: PlainDate) => x(daysBetween(first, on));
  const draw = line<{ on: PlainDate; value: number }>(
    (one) => at(one.on),
    (one) => y(one.value),
  );
  let lowest = Number.POSITIVE_INFINITY;
  // From the bottom upwards, each label at least a line of text above the one before.
  const labels = levels
    .toSorted((a, b) => a.value - b.value)
    .map(({ value, label }) => {
      lowest = Math.min(y(value) + 5, lowest - LINE_OF_TEXT);
      return { x: write(WIDTH - right + 4), y: write(lowest), anchor: 'start' as const, text: label };
    });
  const dates =
    first === last
      ? [
          {
            x: write(at(first)),
            y: write(bottom + 18),
            anchor: 'middle' as const,
            text: formatShortDate(first, locale),
          },
        ]
      : [
          { x: write(left), y: write(bottom + 18), anchor: 'start' as const, text: formatShortDate(first, locale) },
          {
            x: write(WIDTH - right),
            y: write(bottom + 18),
            anchor: 'end' as const,
            text: formatShortDate(last, locale),
          },
        ];
  const [floor, ceiling] = y.domain() as [number, number];
  return {
    ...parts,
    viewBox: `0 0 ${WIDTH} ${bottom + 24}`,
    grid: y.ticks(4).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: amount(tick),
    })),
    bands: bands.map(({ low, high }) => ({
      x: write(left),
      y: write(y(high ?? ceiling)),
      width: write(WIDTH - right - left),
      height: write(y(low ?? floor) - y(high ?? ceiling)),
    })),
    lines: [
      ...levels.map(({ value, kind }) => ({ kind, path: `M${left} ${write(y(value))}H${WIDTH - right}` })),
      { kind: 'chart-line', path: draw([...dots]) ?? '' },
    ],
    dots: dots.map(({ on, value, kind }) => ({
      kind,
      x: write(at(on)),
      y: write(y(value)),
      size: kind === 'chart-dot-marked' ? '7' : '4',
    })),
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [...dates, ...labels],
  };
}

// How figures are drawn: cash saved up and spent, scores side by side and over time, weights and readings, in units of a drawing 360 wide
// whose letters are legible on a telephone. The only file that knows the measures of these drawings; every drawing says its finding in
// words, and a table holds its figures.

import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { daysBetween, formatDate, formatShortDate, formatShortMonth } from '../../src/calendar.ts';

/** A drawing as views/partials/chart.hbs lays it out. */
export type Chart = {
  id: string;
  title: string;
  description: string;
  viewBox: string;
  grid: { path: string; x: string; y: string; label: string }[];
  /** Faintly hatched shapes that lie under everything: what is gained, or how far something may lie off. */
  areas: { kind: 'chart-area' | 'chart-area chart-target'; path: string }[];
  /** Hatched rectangles: a range. */
  bands: Rectangle[];
  /** Filled rectangles: a sum. */
  bars: Rectangle[];
  axis: string;
  lines: { kind: string; path: string }[];
  dots: { kind: string; x: string; y: string; size: string }[];
  labels: { x: string; y: string; anchor: 'start' | 'middle' | 'end'; text: string }[];
  caption: string;
};

/** A row of figures that are drawn, and its name. */
type Named = { values: readonly number[]; label: string };

type Rectangle = { x: string; y: string; width: string; height: string };

/** What every drawing is told: its own id on the page, its title, the finding in a sentence, and what stands below it. */
type Told = { id: string; title: string; description: string; caption: string };

const WIDTH = 360;
const TOP = 14;
const LINE_OF_TEXT = 15;
// About as wide as a figure of the widest letters, and how far it reaches up from its line.
const LETTER = 9;
const FIGURE_HEIGHT = 11;

// The scores at which the word for a score changes (see bandOf in src/score.ts), and the words, the last of which ends at 100.
const WORD_ENDS = [40, 70, 90] as const;

const write = (length: number) => length.toFixed(1);

// A drawing with nothing on it yet; what is not told of a shape of it, it lacks.
function sheet({ id, title, description, caption }: Told, height: number, shapes: Partial<Chart>): Chart {
  return {
    id,
    title,
    description,
    caption,
    viewBox: `0 0 ${WIDTH} ${height}`,
    grid: [],
    areas: [],
    bands: [],
    bars: [],
    axis: '',
    lines: [],
    dots: [],
    labels: [],
    ...shapes,
  };
}

function scoreGrid(left: number, right: number, y: (score: number) => number) {
  return [0, ...WORD_ENDS].map((tick) => ({
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

/**
 * The cash in hand through the months as one line: it rises by what comes in and falls by what is owed and runs, and each month's purchases
 * are a bar as long as they cost, with the numbers of the purchases, that the line comes down by. The floor that stays in hand is broken.
 */
export function savingChart(
  parts: Told & {
    /** `before` is in hand when the month begins, `saved` after what came in and went out of itself, `cash` after the purchases. */
    months: readonly {
      month: PlainMonth;
      before: number;
      saved: number;
      cash: number;
      bought: { first: number; last: number } | null;
    }[];
    floor: number;
    amount: (sum: number) => string;
    locale: string;
  },
): Chart {
  const { months, floor, amount, locale } = parts;
  const [left, right, bottom, top] = [58, 6, 190, TOP + LINE_OF_TEXT + 4];
  const sums = months.flatMap((one) => [one.before, one.saved, one.cash]);
  const y = scaleLinear([Math.min(0, ...sums), Math.max(1, floor, ...sums)], [bottom, top]).nice(4);
  const step = (WIDTH - left - right) / months.length;
  // A month is saved over most of its width, and bought at the end of that.
  const spentAt = (index: number) => left + step * (index + 0.7);
  const path = months.flatMap(({ before, saved, cash }, index) => [
    `${index === 0 ? 'M' : 'L'}${write(left + step * index)} ${write(y(before))}`,
    `L${write(spentAt(index))} ${write(y(saved))}V${write(y(cash))}H${write(left + step * (index + 1))}`,
  ]);
  const thick = Math.min(10, step * 0.5);
  const spent = months.flatMap(({ saved, cash, bought }, index) =>
    bought === null ? [] : [{ index, saved, height: y(cash) - y(saved), ...bought }],
  );
  return sheet(parts, bottom + 24, {
    grid: y.ticks(4).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: amount(tick),
    })),
    bars: spent.map(({ index, saved, height }) => ({
      x: write(spentAt(index) - thick / 2),
      y: write(y(saved)),
      width: write(thick),
      height: write(Math.max(1, height)),
    })),
    axis: `M${left} ${write(y(0))}H${WIDTH - right}${months.map((_, index) => `M${write(left + step * index)} ${write(y(0))}v4`).join('')}`,
    lines: [
      ...(floor === 0 ? [] : [{ kind: 'chart-line-second', path: `M${left} ${write(y(floor))}H${WIDTH - right}` }]),
      { kind: 'chart-line', path: path.join('') },
    ],
    labels: [
      ...monthLabels(
        months.map((one) => one.month),
        (month) => left + step * (months.findIndex((one) => one.month === month) + 0.5),
        bottom + 18,
        locale,
      ),
      ...numbersOver(
        spent.map(({ index, saved, height, first, last }) => ({
          x: spentAt(index),
          top: y(saved),
          bottom: y(saved) + height,
          first,
          last,
        })),
        thick / 2,
      ),
    ],
  });
}

// The numbers of purchases over their bars: those that would touch another bar or number a line higher, or the first of them alone; where
// even that has no room, none, and the list of months tells them.
function numbersOver(
  bars: readonly { x: number; top: number; bottom: number; first: number; last: number }[],
  halfOfBar: number,
): Chart['labels'] {
  const taken = bars.map(({ x, top, bottom }) => ({
    fromX: x - halfOfBar,
    toX: x + halfOfBar,
    fromY: top,
    toY: bottom,
  }));
  return bars.flatMap(({ x, top, first, last }) => {
    for (const text of first === last ? [`${first}`] : [`${first}–${last}`, `${first}`]) {
      const half = (text.length * LETTER) / 2;
      const middle = Math.min(x, WIDTH - half);
      for (const raised of [0, 1, 2]) {
        const y = Math.max(TOP, top - 4 - raised * LINE_OF_TEXT);
        const own = { fromX: middle - half, toX: middle + half, fromY: y - FIGURE_HEIGHT, toY: y + 1 };
        if (taken.some((one) => overlap(one, own))) continue;
        taken.push(own);
        return [{ x: write(middle), y: write(y), anchor: 'middle' as const, text }];
      }
    }
    return [];
  });
}

type Extent = { fromX: number; toX: number; fromY: number; toY: number };

function overlap(a: Extent, b: Extent): boolean {
  return a.fromX < b.toX && b.fromX < a.toX && a.fromY < b.toY && b.fromY < a.toY;
}

/**
 * Scores side by side on one scale from 0 to 100, the first on top: a line up to the lowest a score may be, a hatched band up to the highest,
 * and a dot at the score. Upright lines stand where the word for a score changes.
 */
export function scoresChart(
  parts: Told & {
    rows: readonly { name: string; score: number; low: number; high: number }[];
    /** The words for a score, the lowest first, one more than there are lines. */
    words: readonly string[];
  },
): Chart {
  const { rows, words } = parts;
  const [left, right, top, row] = [8, 44, 30, 40];
  const x = scaleLinear([0, 100], [left, WIDTH - right]);
  const bottom = top + row * rows.length;
  const at = (index: number) => top + row * index + 29;
  const ends = [0, ...WORD_ENDS, 100];
  return sheet(parts, bottom + 4, {
    grid: WORD_ENDS.map((end) => ({ path: `M${write(x(end))} 22V${bottom}`, x: '0', y: '0', label: '' })),
    bands: rows.map(({ low, high }, index) => ({
      x: write(x(low)),
      y: write(at(index) - 5),
      width: write(x(high) - x(low)),
      height: '10',
    })),
    axis: `${rows.map((_, index) => `M${left} ${write(at(index))}H${write(x(100))}`).join('')}M${write(x(100))} 22V${bottom}M${write(x(100) + 3)} 22V${bottom}`,
    lines: rows.map(({ low }, index) => ({
      kind: 'chart-line',
      path: `M${left} ${write(at(index))}H${write(x(low))}`,
    })),
    dots: rows.map(({ score }, index) => ({
      kind: 'chart-dot-ember',
      x: write(x(score)),
      y: write(at(index)),
      size: '6',
    })),
    labels: [
      ...words.map((text, index) => ({
        // The last word is longer than its part of the scale, and begins where that does.
        x: write(index === words.length - 1 ? x(ends[index]!) + 4 : x((ends[index]! + ends[index + 1]!) / 2)),
        y: '15',
        anchor: index === words.length - 1 ? ('start' as const) : ('middle' as const),
        text,
      })),
      ...rows.flatMap(({ name, score }, index) => [
        { x: write(left), y: write(at(index) - 10), anchor: 'start' as const, text: name },
        { x: `${WIDTH - 2}`, y: write(at(index) + 5), anchor: 'end' as const, text: String(Math.round(score)) },
      ]),
    ],
  });
}

/**
 * One animal's score over the months as two flights of stairs, a tread a month: with the plan (drawn through, ending in a dot) and without it
 * (broken), from 0 to 100. What the plan gains is hatched.
 */
export function scoreChart(
  parts: Told & {
    months: readonly PlainMonth[];
    planned: readonly number[];
    baseline: readonly number[];
    locale: string;
  },
): Chart {
  const { months, planned, baseline, locale } = parts;
  const [left, right, bottom] = [34, 100, 132];
  const y = scaleLinear([0, 100], [bottom, TOP]);
  const step = (WIDTH - left - right) / months.length;
  const x = (index: number) => write(left + step * index);
  const stairs = (values: readonly number[]) =>
    values.map((value, index) => `${index === 0 ? `M${x(0)} ` : 'V'}${write(y(value))}H${x(index + 1)}`).join('');
  const back = baseline
    .map((value, index) => `V${write(y(Math.min(value, planned[index]!)))}H${x(index)}`)
    .toReversed()
    .join('');
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
    x: write(WIDTH - right + 10),
    y: write(at),
    anchor: 'start' as const,
    text,
  });
  return sheet(parts, bottom + 24, {
    grid: scoreGrid(left, right, y),
    areas: [{ kind: 'chart-area', path: `${stairs(planned)}${back}Z` }],
    lines: [
      { kind: 'chart-line-second', path: stairs(baseline) },
      { kind: 'chart-line', path: stairs(planned) },
    ],
    dots: [{ kind: 'chart-dot-ember', x: x(months.length), y: write(y(end(planned))), size: '6' }],
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [
      ...monthLabels(months, (month) => left + step * (months.indexOf(month) + 0.5), bottom + 18, locale),
      label(high, `plan ${Math.round(end(planned))}`),
      label(low, `nothing ${Math.round(end(baseline))}`),
    ],
  });
}

/** The weights of one animal over its days, two or more, the oldest first, a dot each; the scale ends near the lightest and the heaviest. */
export function weightChart(
  parts: Told & {
    weights: readonly { on: PlainDate; grams: number }[];
    written: (grams: number) => string;
    locale: string;
  },
): Chart {
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
  return sheet(parts, bottom + 24, {
    grid: y.ticks(3).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: written(tick),
    })),
    lines: [{ kind: 'chart-line', path: draw(weights) ?? '' }],
    dots: weights.map((one, index) => ({
      kind: index === weights.length - 1 ? 'chart-dot-ember' : 'chart-dot',
      x: write(x(daysBetween(first, one.on))),
      y: write(y(one.grams)),
      size: index === weights.length - 1 ? '6' : '3',
    })),
    axis: `M${left} ${write(bottom)}H${WIDTH - right}`,
    labels: [
      label(left, 'start', formatDate(first, locale)),
      ...(first === last ? [] : [label(WIDTH - right, 'end', formatDate(last, locale))]),
    ],
  });
}

/**
 * A score from 0 to 100 over the days on which it was found, two or more: drawn through, ending in a dot, with its range hatched, another
 * one broken, each named at its right end; and events marked along the top with their numbers, those that lie too close together under one
 * mark. A range that has closed at its end is not named.
 */
export function progressChart(
  parts: Told & {
    days: readonly PlainDate[];
    score: Named;
    range: { high: Named; low: Named } | null;
    other: Named | null;
    events: readonly { on: PlainDate; number: number }[];
    locale: string;
  },
): Chart {
  const { days, score, range, other, events, locale } = parts;
  const [left, right, top, bottom] = [34, 100, TOP + LINE_OF_TEXT + 4, 146];
  const [first, last] = [days[0]!, days[days.length - 1]!];
  const y = scaleLinear([0, 100], [bottom, top]);
  const x = scaleLinear([0, Math.max(1, daysBetween(first, last))], [left + 6, WIDTH - right]);
  const at = (on: PlainDate) => x(daysBetween(first, on));
  const draw = line<number>(
    (_, index) => at(days[index]!),
    (value) => y(value),
  );
  const between = area<[low: number, high: number]>(
    (_, index) => at(days[index]!),
    ([low]) => y(low),
    ([, high]) => y(high),
  );
  const endOf = ({ values }: Named) => values[values.length - 1] ?? 0;
  const isWide = range !== null && Math.round(endOf(range.high)) > Math.round(endOf(range.low));
  let lowest = Number.POSITIVE_INFINITY;
  // From the bottom upwards; of lines that end together the one named first stands on top.
  const names = [
    ...(isWide ? [range.high] : []),
    score,
    ...(other === null ? [] : [other]),
    ...(isWide ? [range.low] : []),
  ]
    .toReversed()
    .map((one) => ({ label: one.label, y: y(endOf(one)) + 5 }))
    .sort((a, b) => b.y - a.y)
    .map((one) => {
      lowest = Math.min(one.y, lowest - LINE_OF_TEXT);
      return { x: write(WIDTH - right + 10), y: write(lowest), anchor: 'start' as const, text: one.label };
    });
  const marks: { from: number; to: number; x: number }[] = [];
  for (const { on, number } of events.filter((one) => one.on >= first && one.on <= last)) {
    const before = marks[marks.length - 1];
    if (before !== undefined && at(on) - before.x < 30) before.to = number;
    else marks.push({ from: number, to: number, x: at(on) });
  }
  return sheet(parts, bottom + 24, {
    grid: scoreGrid(left, right, y),
    lines: [
      ...marks.map((one) => ({ kind: 'chart-grid', path: `M${write(one.x)} ${top - 4}V${bottom}` })),
      ...(other === null ? [] : [{ kind: 'chart-line-second', path: draw([...other.values]) ?? '' }]),
      { kind: 'chart-line', path: draw([...score.values]) ?? '' },
    ],
    areas:
      range === null
        ? []
        : [
            {
              kind: 'chart-area',
              path: between(range.high.values.map((high, index) => [range.low.values[index]!, high])) ?? '',
            },
          ],
    dots: [{ kind: 'chart-dot-ember', x: write(at(last)), y: write(y(endOf(score))), size: '6' }],
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
  });
}

/**
 * Readings over time: a dot each, joined by a line, targets hatched, and level lines with their words at the right. A dot of
 * kind 'chart-dot-marked' is drawn larger. At least one dot; an end of a band that is null lies at the edge of the drawing.
 */
export function readingsChart(
  parts: Told & {
    dots: readonly { on: PlainDate; value: number; kind: 'chart-dot' | 'chart-dot-old' | 'chart-dot-marked' }[];
    bands: readonly { low: number | null; high: number | null }[];
    levels: readonly { value: number; kind: 'chart-line-second' | 'chart-line-limit'; label: string }[];
    amount: (value: number) => string;
    locale: string;
  },
): Chart {
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
  return sheet(parts, bottom + 24, {
    grid: y.ticks(4).map((tick) => ({
      path: `M${left} ${write(y(tick))}H${WIDTH - right}`,
      x: write(left - 6),
      y: write(y(tick) + 5),
      label: amount(tick),
    })),
    areas: bands.map(({ low, high }) => ({
      kind: 'chart-area chart-target',
      path: `M${left} ${write(y(high ?? ceiling))}H${WIDTH - right}V${write(y(low ?? floor))}H${left}Z`,
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
  });
}

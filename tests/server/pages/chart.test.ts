import { expect, test } from 'vitest';
import { progressChart, savingChart, scoreChart, scoresChart } from '../../../server/pages/chart.ts';
import { addMonths, plainDate, plainMonth } from '../../../src/calendar.ts';

const told = { id: 'drawn', title: 'T', description: 'D', caption: 'C' };
const from = plainMonth('2026-01');

type Month = { before: number; saved: number; cash: number; bought: { first: number; last: number } | null };

const drawSaving = (months: Month[], floor = 0) =>
  savingChart({
    ...told,
    months: months.map((one, index) => ({ ...one, month: addMonths(from, index) })),
    floor,
    amount: String,
    locale: 'en-GB',
  });

/** The sum that stands at a height of the drawing, told from two lines of its own grid. */
function sumAt({ grid }: ReturnType<typeof savingChart>): (y: number) => number {
  const heights = grid.map(({ path, label }) => ({ y: Number(/^M\S+ (\S+)H/.exec(path)![1]), sum: Number(label) }));
  const [a, b] = [heights[0]!, heights.at(-1)!];
  return (y) => a.sum + ((y - a.y) * (b.sum - a.sum)) / (b.y - a.y);
}

test('The line of saving passes through what is in hand before, after saving and after buying; bars are what was spent', () => {
  const chart = drawSaving([
    { before: 100, saved: 160, cash: 160, bought: null },
    { before: 160, saved: 220, cash: 40, bought: { first: 1, last: 1 } },
    { before: 40, saved: 90, cash: 30, bought: { first: 2, last: 4 } },
  ]);
  const sum = sumAt(chart);
  const line = chart.lines.at(-1)!.path;
  const through = [...line.matchAll(/(?:[ML]\S+ |V)([\d.]+)/g)].map((one) => Math.round(sum(Number(one[1]))));
  expect(through).toEqual([100, 160, 160, 160, 220, 40, 40, 90, 30]);
  expect(
    chart.bars.map(({ y, height }) => [Math.round(sum(Number(y))), Math.round(sum(Number(y) + Number(height)))]),
  ).toEqual([
    [220, 40],
    [90, 30],
  ]);
  expect(chart.labels.map((one) => one.text)).toEqual(['Jan 26', 'Feb 26', 'Mar 26', '1', '2–4']);
});

test('The floor is drawn where it is, and not at all when there is none', () => {
  const month = { before: 100, saved: 160, cash: 160, bought: null };
  const chart = drawSaving([month], 50);
  const [, height] = /^M\S+ (\S+)H/.exec(chart.lines[0]!.path)!;
  expect(sumAt(chart)(Number(height))).toBeCloseTo(50, 0);
  expect(chart.lines[0]!.kind).toBe('chart-line-second');
  expect(drawSaving([month]).lines).toHaveLength(1);
});

test('Numbers of purchases never lie on each other nor beyond the drawing, with something bought in every month', () => {
  let pairs = 0;
  for (const count of [6, 12, 18, 24]) {
    for (const sums of [
      [10, 500],
      [300, 300],
      [0, 90, 40],
    ]) {
      const months = Array.from({ length: count }, (_, index) => {
        const cash = sums[index % sums.length]!;
        return { before: cash, saved: cash + 100, cash, bought: { first: 3 * index + 1, last: 3 * index + 3 } };
      });
      const { labels, bars, viewBox } = drawSaving(months);
      // As wide as 9 units a letter and as high as 11, by the style sheet's 14 pixels and DejaVu Sans, the widest of its faces.
      const boxes = labels
        .slice(-count)
        .map(({ x, y, text }) => ({ x: Number(x), y: Number(y), half: text.length * 4.5 }));
      const width = Number(viewBox.split(' ')[2]);
      expect(boxes.length, `${count} months of ${sums}`).toBeGreaterThanOrEqual(count / 2);
      for (const [index, one] of boxes.entries()) {
        expect(one.y).toBeGreaterThanOrEqual(13);
        expect(one.x + one.half).toBeLessThanOrEqual(width + 0.1);
        for (const bar of bars) {
          const [left, top] = [Number(bar.x), Number(bar.y)];
          const beside = left >= one.x + one.half - 0.1 || left + Number(bar.width) <= one.x - one.half + 0.1;
          expect(beside || top >= one.y - 0.1 || top + Number(bar.height) <= one.y - 11).toBe(true);
        }
        for (const other of boxes.slice(0, index)) {
          pairs += 1;
          const apart = Math.abs(one.x - other.x) >= one.half + other.half - 0.1 || Math.abs(one.y - other.y) >= 11;
          expect(apart, `${count} months of ${sums}: ${JSON.stringify([one, other])}`).toBe(true);
        }
      }
    }
  }
  expect(pairs).toBeGreaterThan(700);
});

test('Scores side by side share one scale: a dot at the score, a line to the least, a band to the most, the first on top', () => {
  const { dots, bands, lines, labels } = scoresChart({
    ...told,
    rows: [
      { name: 'Heat', score: 0, low: 0, high: 0 },
      { name: 'UV', score: 50, low: 25, high: 75 },
      { name: 'Space', score: 100, low: 100, high: 100 },
    ],
    words: ['far short', 'part way', 'near', 'meets'],
  });
  const [at0, at50, at100] = dots.map((one) => Number(one.x)) as [number, number, number];
  expect(at50).toBeCloseTo((at0 + at100) / 2, 1);
  const along = (share: number) => at0 + (at100 - at0) * share;
  expect(Number(bands[1]!.x)).toBeCloseTo(along(0.25), 1);
  expect(Number(bands[1]!.width)).toBeCloseTo(along(0.5) - at0, 1);
  expect(Number(lines[1]!.path.split('H')[1])).toBeCloseTo(along(0.25), 1);
  expect(dots.map((one) => Number(one.y))).toEqual([...dots.map((one) => Number(one.y))].sort((a, b) => a - b));
  expect(labels.map((one) => one.text)).toEqual(
    expect.arrayContaining(['far short', 'meets', 'Heat', '0', 'UV', '50', 'Space', '100']),
  );
});

/** The corners of a path of straight lines, H and V among them. */
function cornersOf(path: string): [x: number, y: number][] {
  let [x, y] = [0, 0];
  return [...path.matchAll(/([MLHV])([-\d.]+)(?:[ ,]([-\d.]+))?/g)].map(([, letter, first, second]) => {
    if (letter === 'V') y = Number(first);
    else x = Number(first);
    if (second !== undefined) y = Number(second);
    return [x, y];
  });
}

/** What a closed shape covers, by the formula of Gauss for polygons. */
function coveredBy(path: string): number {
  const corners = cornersOf(path);
  const twice = corners.reduce((sum, [x, y], index) => {
    const [nextX, nextY] = corners[(index + 1) % corners.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
  return Math.abs(twice) / 2;
}

test('A score has a tread a month with and without the plan, and what is hatched between is the gain, and none where there is none', () => {
  const drawn = (planned: number[], baseline: number[]) =>
    scoreChart({ ...told, months: [0, 1, 2].map((one) => addMonths(from, one)), planned, baseline, locale: 'en-GB' });
  const { areas, lines, grid, dots } = drawn([30, 60, 80], [30, 20, 20]);
  const [at0, at90] = [grid[0]!, grid.at(-1)!].map(({ path }) => cornersOf(path)[0]![1]) as [number, number];
  const point = (at0 - at90) / 90;
  const [nothing, plan] = lines.map(({ path }) => cornersOf(path));
  const scores = (corners: [number, number][]) => corners.map(([, y]) => Math.round((at0 - y) / point));
  expect(scores(plan!)).toEqual([30, 30, 60, 60, 80, 80]);
  expect(scores(nothing!)).toEqual([30, 30, 20, 20, 20, 20]);
  const month = plan![1]![0] - plan![0]![0];
  // 0, 40 and 60 points over a month each.
  expect(coveredBy(areas[0]!.path) / month / point).toBeCloseTo(100, 0);
  expect([Number(dots[0]!.x), Number(dots[0]!.y)]).toEqual(plan!.at(-1));
  expect(coveredBy(drawn([30, 40, 50], [30, 45, 60]).areas[0]!.path)).toBeCloseTo(0, 3);
});

test('The range of a score is hatched from the least to the most, and named only while it is open', () => {
  const drawn = (high: number[], low: number[]) =>
    progressChart({
      ...told,
      days: [plainDate('2026-01-01'), plainDate('2026-01-31')],
      score: { values: [40, 50], label: 'score 50' },
      range: { high: { values: high, label: 'at most' }, low: { values: low, label: 'at least' } },
      other: null,
      events: [],
      locale: 'en-GB',
    });
  const { areas, grid, labels } = drawn([60, 70], [20, 30]);
  const [at0, at90] = [grid[0]!, grid.at(-1)!].map(({ path }) => cornersOf(path)[0]![1]) as [number, number];
  const [right, left] = [Math.max, Math.min].map((most) => most(...cornersOf(areas[0]!.path).map(([x]) => x)));
  expect(coveredBy(areas[0]!.path) / (right! - left!) / ((at0 - at90) / 90)).toBeCloseTo(40, 0);
  const names = (chart: { labels: typeof labels }) => chart.labels.map((one) => one.text).slice(2);
  expect(names({ labels })).toEqual(['at least', 'score 50', 'at most']);
  expect(names(drawn([60, 50], [20, 50]))).toEqual(['score 50']);
});

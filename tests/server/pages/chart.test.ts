import { expect, test } from 'vitest';
import { savingChart, scoresChart } from '../../../server/pages/chart.ts';
import { addMonths, plainMonth } from '../../../src/calendar.ts';

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

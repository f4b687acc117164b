import { expect, test } from 'vitest';
import { scoreBar } from '../../server/score-bar.ts';

test('A bar is solid to the lowest score, hatched to the highest and marked at the score, on a length of 200 from 1', () => {
  expect(scoreBar('Part way: 50 of 100 (25 to 75)', 50, 25, 75)).toEqual({
    text: 'Part way: 50 of 100 (25 to 75)',
    bar: { known: '50.0', spanFrom: '51.0', span: '100.0', mark: '101.0' },
  });
});

test('A score beyond 0 to 100, or limits the wrong way round, never draw outside the bar', () => {
  expect(scoreBar('', 130, 140, -20).bar).toEqual({ known: '0.0', spanFrom: '1.0', span: '200.0', mark: '201.0' });
});

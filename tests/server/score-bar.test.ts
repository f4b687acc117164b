import { expect, test } from 'vitest';
import { scoreBar } from '../../server/score-bar.ts';

test('A rule is thick to the lowest score, hatched to the highest and marked at the score, on a length of 200 from 6', () => {
  expect(scoreBar('Part way: 50 of 100 (25 to 75)', 50, 25, 75)).toEqual({
    text: 'Part way: 50 of 100 (25 to 75)',
    bar: { known: '56.0', span: '100.0', mark: '106.0' },
  });
});

test('A score beyond 0 to 100, or limits the wrong way round, never draw beyond the rule', () => {
  expect(scoreBar('', 130, 140, -20).bar).toEqual({ known: '6.0', span: '200.0', mark: '206.0' });
});

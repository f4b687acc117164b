import { expect, test } from 'vitest';
import { listedBriefly } from '../../server/words.ts';

const names = (count: number) => Array.from({ length: count }, (_, index) => `N${index + 1}`);

test('A long list names the first and counts the rest; one that is hardly longer is told whole', () => {
  expect(listedBriefly(names(4), 3)).toBe('N1, N2, N3 and N4');
  expect(listedBriefly(names(200), 3)).toBe('N1, N2, N3 and 197 more');
});

// A few kills of the real program in the suite; `npm run crash -- --kills 200` is the long run of the same. See tests/support/crash.ts.

import { tmpdir } from 'node:os';
import { expect, test } from 'vitest';
import { surviveKills } from '../support/crash.ts';

test('What was acknowledged is there after each of ten kills, whole, once, and nothing else is there by half', async () => {
  const summary = await surviveKills({ kills: 10, seed: 2026, folder: tmpdir(), longest: 16 });
  expect(summary.problems).toEqual([]);
  expect(summary.kills).toBe(10);
  expect(summary.acknowledged).toBeGreaterThan(30);
  expect(Object.keys(summary.kinds).length).toBeGreaterThan(7);
  expect(summary.sentAgain).toBeGreaterThan(5);
});

test('A program that answers before it commits is found out', async () => {
  const { problems } = await surviveKills({ kills: 3, seed: 1, folder: tmpdir(), longest: 30, fault: 'early-answer' });
  expect(problems.join('\n')).toContain('was acknowledged and is lost');
});

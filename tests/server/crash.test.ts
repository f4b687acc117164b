// A few kills of the real program in the suite; `npm run crash -- --kills 200` is the long run of the same. See tests/support/crash.ts.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { surviveKills, writeKilledProgram } from '../support/crash.ts';

const folder = mkdtempSync(join(tmpdir(), 'kills-'));
let program: string;
beforeAll(async () => {
  program = await writeKilledProgram(folder);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('What was acknowledged is there after each of ten kills, whole, once, and nothing else is there by half', async () => {
  const summary = await surviveKills({ program, folder, kills: 10, seed: 2026, longest: 16 });
  expect(summary.problems).toEqual([]);
  expect(summary.kills).toBe(10);
  expect(summary.acknowledged).toBeGreaterThan(30);
  expect(Object.keys(summary.kinds).length).toBeGreaterThan(7);
  expect(summary.sentAgain).toBeGreaterThan(5);
});

test('A program that answers before it commits is found out', async () => {
  const { problems } = await surviveKills({ program, folder, kills: 3, seed: 1, longest: 30, fault: 'early-answer' });
  expect(problems.join('\n')).toContain('was acknowledged and is lost');
});

test('Readings entered together, with a kill between the second and the third, are found by half where there are no transactions', async () => {
  const inside = { program, folder, kills: 1, seed: 1, longest: 4000 };
  const spoilt = await surviveKills({ ...inside, fault: 'no-transaction' });
  expect(spoilt.problems).toHaveLength(1);
  expect(spoilt.problems[0]).toMatch(/(round|import) '.*' is half there: 2 of (3|28)$/);
  const whole = await surviveKills({ ...inside, fault: 'killed-inside' });
  expect(whole.problems).toEqual([]);
  expect([whole.cutOffAbsent > 0, whole.sentAgain > 0]).toEqual([true, true]);
});

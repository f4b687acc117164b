// The planning command as a person runs it: exit code, standard output, standard error.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test, vi } from 'vitest';
import { readProblem } from '../../server/problem-file.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { judgeBuys } from '../support/referee.ts';

vi.setConfig({ testTimeout: 120_000 });

const root = join(import.meta.dirname, '../..');
const cases = join(import.meta.dirname, '../cases/plan');
const folder = mkdtempSync(join(tmpdir(), 'plan-cli-'));
afterAll(() => rmSync(folder, { recursive: true }));

function run(...args: string[]) {
  const result = spawnSync(process.execPath, ['--import', 'tsx', join(root, 'server/plan-cli.ts'), ...args], {
    cwd: root,
    encoding: 'utf8',
    timeout: 60_000,
  });
  return { code: result.status, out: result.stdout, err: result.stderr };
}

test('the worked example is proved best and printed in the form of an answer, alone on standard output', () => {
  const { code, out, err } = run(join(cases, 'worked-example.json'));
  expect([code, err]).toEqual([0, '']);
  const answer = JSON.parse(out);
  expect(Object.keys(answer).sort()).toEqual(
    [
      'status',
      'buys',
      'severe',
      'weighted',
      'mean',
      'spend',
      'severeBound',
      'weightedBound',
      'elapsedMs',
      'rounds',
    ].sort(),
  );
  expect(answer).toMatchObject({ status: 'optimal', severe: 0, weighted: 3852, spend: 17000, severeBound: 0 });
  expect(answer.buys).toEqual([
    { purchase: 'P1', month: 0 },
    { purchase: 'P3', month: 2 },
  ]);
});

test('the seconds asked for hold on a problem far too large to prove, and the plan is feasible', () => {
  const file = join(cases, 'twenty-four-animals-two-years.json');
  const began = performance.now();
  const { code, out } = run(file, '--seconds', '2');
  expect(performance.now() - began).toBeLessThan(30_000);
  expect(code).toBe(0);
  const answer = JSON.parse(out);
  expect(['best-found', 'within-bound']).toContain(answer.status);
  const verdict = judgeBuys(JSON.parse(readFileSync(file, 'utf8')), answer.buys);
  if (!verdict.feasible) throw new Error(verdict.because);
  expect(answer).toMatchObject({ severe: verdict.severe, spend: verdict.spend });
});

test('the same seed and rounds print the same plan', () => {
  const file = join(cases, 'four-animals-twelve-months.json');
  const plans = [1, 2].map(() => JSON.parse(run(file, '--rounds', '2', '--seed', '7').out));
  expect(plans[0].rounds).toBe(2);
  expect({ ...plans[1], elapsedMs: 0 }).toEqual({ ...plans[0], elapsedMs: 0 });
});

test('without any plan the first short month and the money missing are printed', () => {
  const file = join(folder, 'short.json');
  const owned = { id: 'old', price: 0, ownedSince: -1, monthlyCost: 7000 };
  writeFileSync(file, JSON.stringify({ ...workedExample, purchases: [owned], animals: [] }));
  const { code, out } = run(file);
  expect(code).toBe(0);
  expect(JSON.parse(out)).toEqual({ status: 'infeasible', shortMonth: 0, shortBy: 1000 });
});

test.each([
  { name: 'no file', args: [], says: 'Name the problem file.' },
  { name: 'two files', args: ['a.json', 'b.json'], says: "not also 'b.json'" },
  { name: 'a file that is not there', args: ['no-such-file.json'], says: "'no-such-file.json' cannot be read" },
  { name: 'an unknown option', args: ['a.json', '--fast'], says: '--fast' },
  { name: 'a seed that is no number', args: ['a.json', '--seed', 'x'], says: '--seed must be a whole number' },
  { name: 'negative rounds', args: ['a.json', '--rounds=-1'], says: '--rounds must be a whole number' },
  { name: 'no seconds at all', args: ['a.json', '--seconds', '0'], says: '--seconds must be a number above 0' },
])('$name is refused with one sentence on standard error and exit code 2', ({ args, says }) => {
  const { code, out, err } = run(...args);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(says);
  expect(err.trim().split('\n')).toHaveLength(1);
});

test('a malformed problem is refused with the field on standard error and exit code 2', () => {
  const file = join(folder, 'bad.json');
  const [first, ...others] = workedExample.purchases;
  writeFileSync(file, JSON.stringify({ ...workedExample, purchases: [{ ...first, price: -1 }, ...others] }));
  const { code, out, err } = run(file);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain('purchases[0].price');
});

// biome-ignore lint/suspicious/noExplicitAny: the point is to break the form
type Loose = any;

describe('a problem file is refused, naming the field, when', () => {
  test.each<[string, string, (problem: Loose) => void]>([
    ['a field is missing', 'income', (p) => delete p.income],
    ['a field is unknown', 'incomes', (p) => (p.incomes = [])],
    ['months is text', 'months', (p) => (p.months = '3')],
    ['months is 0', 'months', (p) => (p.months = 0)],
    ['money has a fraction', 'openingCash', (p) => (p.openingCash = 0.5)],
    ['a list by month is short', 'income', (p) => p.income.pop()],
    ['the reserve list is long', 'reserve', (p) => (p.reserve = [1, 2, 3, 4])],
    ['the reserve is text', 'reserve', (p) => (p.reserve = 'none')],
    ['promised money is not a list', 'committed', (p) => (p.committed = 5)],
    ['two purchases share an id', 'purchases[1].id', (p) => (p.purchases[1].id = 'P1')],
    ['a price is missing', 'purchases[2].price', (p) => delete p.purchases[2].price],
    ['a lead is negative', 'purchases[0].lead', (p) => (p.purchases[0].lead = -1)],
    ['a life is 0', 'purchases[0].life', (p) => (p.purchases[0].life = 0)],
    ['a fixed month is after the plan', 'purchases[0].fixedMonth', (p) => (p.purchases[0].fixedMonth = 3)],
    ['owned since a month of the plan', 'purchases[0].ownedSince', (p) => (p.purchases[0].ownedSince = 0)],
    ['a required id is unknown', 'purchases[0].requires[0]', (p) => (p.purchases[0].requires = ['P9'])],
    [
      'one of several required ids is unknown',
      'purchases[0].requires[0][1]',
      (p) => (p.purchases[0].requires = [['P2', 'P9']]),
    ],
    ['a retired id is unknown', 'purchases[0].retires[0]', (p) => (p.purchases[0].retires = ['P9'])],
    ['a purchase retires itself', 'purchases[0].retires', (p) => (p.purchases[0].retires = ['P1'])],
    ['proceeds lack their month', 'purchases[0].proceeds.after', (p) => (p.purchases[0].proceeds = { amount: 5 })],
    ['two animals share an id', 'animals[1].id', (p) => (p.animals[1].id = 'A')],
    ['an animal ends after the plan', 'animals[0].until', (p) => (p.animals[0].until = 4)],
    ['an animal begins after it ends', 'animals[0].from', (p) => (p.animals[0].from = 4)],
    ['a need is listed twice', 'animals[0].needs[1].need', (p) => (p.animals[0].needs[1].need = 'safety')],
    ['a weight is negative', 'animals[0].needs[0].weight', (p) => (p.animals[0].needs[0].weight = -1)],
    ['lifeCritical is a number', 'animals[0].needs[0].lifeCritical', (p) => (p.animals[0].needs[0].lifeCritical = 1)],
    [
      'an off month is after the plan',
      'animals[0].needs[0].offMonths[0]',
      (p) => (p.animals[0].needs[0].offMonths = [3]),
    ],
    [
      'a value is above 100',
      'animals[0].needs[0].states[0].value',
      (p) => (p.animals[0].needs[0].states[0].value = 101),
    ],
    [
      'a value list is short',
      'animals[0].needs[0].states[0].value',
      (p) => (p.animals[0].needs[0].states[0].value = [1]),
    ],
    [
      'a state needs an unknown id',
      'animals[0].needs[0].states[0].needs[0]',
      (p) => (p.animals[0].needs[0].states[0].needs = ['P9']),
    ],
    [
      'a blocking id is unknown',
      'animals[0].needs[0].states[0].blockedBy[0]',
      (p) => (p.animals[0].needs[0].states[0].blockedBy = ['P9']),
    ],
    ['severe is text', 'animals[0].needs[0].states[0].severe', (p) => (p.animals[0].needs[0].states[0].severe = 'yes')],
  ])('%s', (_, field, breakIt) => {
    const problem = structuredClone(workedExample) as Loose;
    breakIt(problem);
    const read = readProblem(JSON.stringify(problem));
    if (read.status !== 'refused') throw new Error('the broken problem was read');
    expect(read.message).toMatch(new RegExp(`^The field ${field.replace(/[[\].]/g, '\\$&')} .*\\.$`));
  });

  test('it is not JSON, or not an object', () => {
    expect(readProblem('{"months":')).toMatchObject({ status: 'refused' });
    expect(readProblem('[]')).toMatchObject({ status: 'refused', message: expect.stringContaining('The problem') });
  });
});

test('a life or a renewal written as null is the same as none', () => {
  const problem = structuredClone(workedExample) as Loose;
  problem.purchases[0].life = null;
  problem.purchases[0].renewal = null;
  const read = readProblem(JSON.stringify(problem));
  if (read.status !== 'read') throw new Error(read.message);
  expect(read.problem.purchases[0]!.life).toBeUndefined();
});

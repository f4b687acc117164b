// The engines against capital-budgeting problems whose answers others published, and against points that must be refused.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { growProgram, objectiveOf, type Program, satisfies, solveLarge, solveSmall } from '../../src/solver.ts';

const none = Number.NEGATIVE_INFINITY;
const most = Number.POSITIVE_INFINITY;

function choice(values: number[], rows: { cost: number[]; limit: number }[], whole = true): Program {
  return {
    sense: 'maximise',
    variables: values.map((cost) => ({ cost, lower: 0, upper: 1, whole })),
    rows: rows.map(({ cost, limit }) => ({
      lower: none,
      upper: limit,
      entries: cost.map((coefficient, j): [number, number] => [j, coefficient]),
    })),
  };
}

const chosen = (values: Float64Array) => [...values].flatMap((value, j) => (Math.round(value) === 1 ? [j + 1] : []));

async function bothEngines(program: Program) {
  return [solveSmall(program), await solveLarge(program)];
}

type Case = { name: string; program: Program; objective: number; set?: number[] };

const lorieSavage = (limit1: number, limit2: number, whole = true) =>
  choice(
    [14, 17, 17, 15, 40, 12, 14, 10, 12],
    [
      { cost: [12, 54, 6, 6, 30, 6, 48, 36, 18], limit: limit1 },
      { cost: [3, 7, 6, 2, 35, 6, 4, 3, 3], limit: limit2 },
    ],
    whole,
  );
const starOil = (whole = true) =>
  choice(
    [13, 16, 16, 14, 39],
    [
      { cost: [11, 53, 5, 5, 29], limit: 40 },
      { cost: [3, 6, 5, 1, 34], limit: 20 },
    ],
    whole,
  );
const researchProjects = (): Program =>
  choice(
    [141, 187, 121, 83, 265, 127],
    [
      { cost: [75, 90, 60, 30, 100, 50], limit: 250 },
      { cost: [25, 35, 15, 20, 25, 20], limit: 75 },
      { cost: [20, 0, 15, 10, 20, 10], limit: 50 },
      { cost: [15, 0, 15, 5, 20, 30], limit: 50 },
      { cost: [10, 30, 15, 5, 20, 40], limit: 50 },
    ],
  );

// Each year's unspent money may be spent later: row k limits what is spent up to year k.
function withCarryOver(program: Program): Program {
  const rows = program.rows.map((_, k) => {
    const upTo = program.rows.slice(0, k + 1);
    return {
      lower: none,
      upper: upTo.reduce((sum, row) => sum + row.upper, 0),
      entries: program.variables.map((_variable, j): [number, number] => [
        j,
        upTo.reduce((sum, row) => sum + row.entries[j]![1], 0),
      ]),
    };
  });
  return { ...program, rows };
}

const published: Case[] = [
  {
    name: 'nine projects of Lorie and Savage (data from memory, checked by their linear optimum)',
    program: lorieSavage(50, 20),
    objective: 70,
    set: [1, 3, 4, 6, 9],
  },
  { name: 'one more in the first period changes nothing', program: lorieSavage(51, 20), objective: 70 },
  { name: 'one more in the second period changes nothing', program: lorieSavage(50, 21), objective: 70 },
  { name: 'one less in the second period', program: lorieSavage(50, 19), objective: 58 },
  { name: 'nine projects with carry-over', program: withCarryOver(lorieSavage(50, 20)), objective: 70 },
  {
    name: 'four items, limit 14 (a public textbook example)',
    program: choice([16, 22, 12, 8], [{ cost: [5, 7, 4, 3], limit: 14 }]),
    objective: 42,
    set: [2, 3, 4],
  },
  {
    name: 'four items, limit 14, other values (a public textbook example)',
    program: choice([8, 11, 6, 4], [{ cost: [5, 7, 4, 3], limit: 14 }]),
    objective: 21,
    set: [2, 3, 4],
  },
  {
    name: 'four projects, two limits (a public solver example)',
    program: choice(
      [16, 19, 23, 28],
      [
        { cost: [2, 3, 4, 5], limit: 7 },
        { cost: [3000, 3500, 5100, 7200], limit: 10000 },
      ],
    ),
    objective: 42,
    set: [2, 3],
  },
  { name: 'Star Oil in whole projects', program: starOil(), objective: 43, set: [1, 3, 4] },
  { name: 'six research projects over five years', program: researchProjects(), objective: 489, set: [1, 4, 5] },
  {
    name: 'six research projects with rules between them',
    program: {
      ...researchProjects(),
      rows: [
        ...researchProjects().rows,
        {
          lower: none,
          upper: 1,
          entries: [
            [0, 1],
            [4, 1],
            [5, 1],
          ],
        },
        {
          lower: 1,
          upper: 1,
          entries: [
            [0, 1],
            [2, 1],
            [5, 1],
          ],
        },
        {
          lower: 0,
          upper: most,
          entries: [
            [4, 1],
            [3, -1],
          ],
        },
      ],
    },
    objective: 469,
    set: [3, 4, 5],
  },
  {
    name: 'six research projects with carry-over',
    program: withCarryOver(researchProjects()),
    objective: 573,
    set: [2, 3, 5],
  },
  {
    name: 'ten items of ACM TOMS algorithm 632',
    program: choice(
      [92, 57, 49, 68, 60, 43, 67, 84, 87, 72],
      [{ cost: [23, 31, 29, 44, 53, 38, 63, 85, 89, 82], limit: 165 }],
    ),
    objective: 309,
    set: [1, 2, 3, 4, 6],
  },
  {
    name: 'four items that spend the limit exactly',
    program: choice([5714, 4286, 7857, 2857], [{ cost: [3571, 2857, 5000, 2143], limit: 10000 }]),
    objective: 15000,
    set: [2, 3, 4],
  },
];

describe.each(published)('$name', ({ program, objective, set }) => {
  test('is solved alike by both engines', async () => {
    for (const outcome of await bothEngines(program)) {
      if (outcome.status !== 'optimal') throw new Error(outcome.status);
      expect(outcome.objective).toBeCloseTo(objective, 6);
      expect(outcome.bound).toBeCloseTo(objective, 4);
      if (set) expect(chosen(outcome.values)).toEqual(set);
    }
  });
});

test('the linear optimum of the nine projects is 70.2727 with the published fractions and prices of the limits', async () => {
  for (const outcome of await bothEngines(lorieSavage(50, 20, false))) {
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    expect(outcome.objective).toBeCloseTo(70.2727, 4);
    expect(outcome.values[5]).toBeCloseTo(0.9697, 4);
    expect(outcome.values[6]).toBeCloseTo(0.0455, 4);
  }
  const large = await solveLarge(lorieSavage(50, 20, false));
  if (large.status !== 'optimal') throw new Error(large.status);
  expect(large.rowPrices![0]).toBeCloseTo(0.13636, 4);
  expect(large.rowPrices![1]).toBeCloseTo(1.86364, 4);
});

test('the linear optimum of Star Oil is 57.4490 with its published fractions and prices of the limits', async () => {
  for (const outcome of await bothEngines(starOil(false))) {
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    expect(outcome.objective).toBeCloseTo(57.449, 4);
    expect(outcome.values[1]).toBeCloseTo(0.20086, 4);
    expect(outcome.values[4]).toBeCloseTo(0.288084, 4);
  }
  const large = await solveLarge(starOil(false));
  if (large.status !== 'optimal') throw new Error(large.status);
  expect(large.rowPrices![0]).toBeCloseTo(0.190418, 4);
  expect(large.rowPrices![1]).toBeCloseTo(0.984644, 4);
});

// OR-Library, file mknap1: seven multi-dimensional knapsack problems with their optima beside them.
function readKnapsacks(): { program: Program; optimum: number }[] {
  const text = readFileSync(join(import.meta.dirname, '../cases/knapsack/mknap1.txt'), 'utf8');
  const numbers = text.trim().split(/\s+/).map(Number);
  let next = 0;
  const take = (count: number) => {
    next += count;
    return numbers.slice(next - count, next);
  };
  const [problems] = take(1);
  return Array.from({ length: problems! }, () => {
    const [items, limits, optimum] = take(3) as [number, number, number];
    const values = take(items);
    const costs = Array.from({ length: limits }, () => take(items));
    const limit = take(limits);
    return {
      program: choice(
        values,
        costs.map((cost, k) => ({ cost, limit: limit[k]! })),
      ),
      optimum,
    };
  });
}

const linearBounds = [4134.07, null, 4127.89, 6155.33, 12462.1, 10672.35, 16612.82];

test('the seven problems of mknap1 reach their published optima, and their linear bounds', async () => {
  const problems = readKnapsacks();
  expect(problems.map((problem) => problem.optimum)).toEqual([3800, 8706.1, 4015, 6120, 12400, 10618, 16537]);
  for (const [k, { program, optimum }] of problems.entries()) {
    const outcome = await solveLarge(program);
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    expect(outcome.objective).toBeCloseTo(optimum, 6);
    const linear = await solveLarge({ ...program, variables: program.variables.map((v) => ({ ...v, whole: false })) });
    if (linear.status !== 'optimal') throw new Error(linear.status);
    if (linearBounds[k] !== null) expect(linear.objective).toBeCloseTo(linearBounds[k]!, 1);
  }
});

test('both engines agree on the first five problems of mknap1', async () => {
  for (const { program, optimum } of readKnapsacks().slice(0, 5)) {
    const small = solveSmall(program);
    if (small.status !== 'optimal') throw new Error(small.status);
    expect(small.objective).toBeCloseTo(optimum, 6);
  }
});

test('the second problem of mknap1 has optimum 8705 where a copy has cut off the fractions', async () => {
  const { program } = readKnapsacks()[1]!;
  const cut = { ...program, variables: program.variables.map((v) => ({ ...v, cost: Math.trunc(v.cost) })) };
  for (const outcome of await bothEngines(cut)) {
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    expect(outcome.objective).toBeCloseTo(8705, 6);
    expect(chosen(outcome.values)).toEqual([2, 4, 5, 8, 10]);
  }
});

test('a program without a point is infeasible by both engines, and one without a limit unbounded', async () => {
  const never: Program = {
    sense: 'maximise',
    variables: [{ cost: 1, lower: 0, upper: 1, whole: true }],
    rows: [{ lower: 2, upper: most, entries: [[0, 1]] }],
  };
  const endless: Program = {
    sense: 'maximise',
    variables: [{ cost: 1, lower: 0, upper: most, whole: false }],
    rows: [{ lower: 0, upper: most, entries: [[0, 1]] }],
  };
  for (const outcome of await bothEngines(never)) expect(outcome.status).toBe('infeasible');
  for (const outcome of await bothEngines(endless)) expect(outcome.status).toBe('unbounded');
});

test('lower bounds other than 0 are kept by both engines', async () => {
  const program: Program = {
    sense: 'minimise',
    variables: [
      { cost: 3, lower: 2, upper: 9, whole: true },
      { cost: 2, lower: -4, upper: 5, whole: false },
    ],
    rows: [
      {
        lower: 1.5,
        upper: most,
        entries: [
          [0, 1],
          [1, 1],
        ],
      },
    ],
  };
  for (const outcome of await bothEngines(program)) {
    if (outcome.status !== 'optimal') throw new Error(outcome.status);
    expect(outcome.objective).toBeCloseTo(3 * 2 + 2 * -0.5, 5);
  }
});

test('a solve that is stopped before a plan hands out no point, only a bound or nothing', async () => {
  const { program } = readKnapsacks()[6]!;
  const outcome = await solveLarge(program, { during: () => true });
  if (outcome.status === 'optimal' || outcome.status === 'within-bound') {
    expect(satisfies(program, outcome.values)).toBe(true);
    expect(outcome.bound).toBeGreaterThanOrEqual(16537 - 1e-6);
  } else {
    expect(outcome.status).toBe('undecided');
    if (outcome.status === 'undecided' && outcome.bound !== null) expect(outcome.bound).toBeGreaterThanOrEqual(16537);
  }
});

test('a solve that ends at its limit calls its point within a bound, on the side where the published optimum lies', async () => {
  const { program } = readKnapsacks()[6]!;
  const negated = { ...program, sense: 'minimise', variables: program.variables.map((v) => ({ ...v, cost: -v.cost })) };
  for (const [one, sign] of [[program, 1] as const, [negated as Program, -1] as const]) {
    // Doing nothing is a point of every knapsack.
    const start = one.variables.map((_, variable) => ({ variable, value: 0 }));
    const told: number[] = [];
    const during = (bound: number | null) => bound !== null && told.push(bound) < 0;
    const full = await solveLarge(one, { start, during });
    expect(full).toMatchObject({ status: 'optimal' });
    expect(told.length).toBeGreaterThan(0);
    for (const bound of told) expect(sign * bound).toBeGreaterThanOrEqual(16537 - 1e-6);
    const short = await solveLarge(one, { start, nodes: 1 });
    if (short.status !== 'within-bound') throw new Error(short.status);
    expect(satisfies(one, short.values)).toBe(true);
    expect(objectiveOf(one, short.values)).toBeCloseTo(short.objective, 6);
    expect(sign * short.bound).toBeGreaterThan(16537 + 1);
    expect(sign * short.objective).toBeLessThanOrEqual(16537);
  }
});

test('a linear program that is stopped hands out no optimum', async () => {
  const count = 120;
  // A cycle of covers, each of three neighbours, takes the engine some steps.
  const program: Program = {
    sense: 'minimise',
    variables: Array.from({ length: count }, (_, j) => ({
      cost: 1 + ((j * 37) % 11),
      lower: 0,
      upper: most,
      whole: false,
    })),
    rows: Array.from({ length: count }, (_, k) => ({
      lower: 1 + ((k * 29) % 7),
      upper: most,
      entries: [0, 1, 5].map((step): [number, number] => [(k + step) % count, 1]),
    })),
  };
  expect((await solveLarge(program)).status).toBe('optimal');
  let asked = 0;
  const stopped = await solveLarge(program, { during: () => ++asked > 0 });
  expect(asked).toBeGreaterThan(0);
  expect(stopped.status).not.toBe('optimal');
});

// The linear relaxation of Lorie and Savage's nine projects, as costs to be minimised, one column a project.
test('a growing program has the optimum, the shares and the prices that the whole program has, and none when there is none', async () => {
  const { rows, variables } = lorieSavage(50, 20, false);
  const growing = await growProgram([...rows, ...variables.map(() => ({ lower: none, upper: 1 }))]);
  const columns = variables.map(({ cost }, j) => ({
    cost: -cost,
    entries: [
      ...rows.map((row, k): [number, number] => [k, row.entries[j]![1]]),
      [rows.length + j, 1] as [number, number],
    ],
  }));
  growing.addColumns(columns.slice(0, 4));
  growing.addColumns(columns.slice(4));
  const solved = growing.solve()!;
  expect(solved.cost).toBeCloseTo(-70.2727, 4);
  expect(solved.shares[5]).toBeCloseTo(0.9697, 4);
  expect(solved.shares[6]).toBeCloseTo(0.0455, 4);
  expect(solved.rowPrices[0]).toBeCloseTo(-0.13636, 4);
  expect(solved.rowPrices[1]).toBeCloseTo(-1.86364, 4);
  growing.limitShares(Float64Array.from(columns, (_, j) => (j === 0 ? 0 : 1)));
  expect(growing.solve()!.shares[0]).toBeCloseTo(0, 9);
  growing.setCosts(Float64Array.from(columns, (_, j) => (j === 8 ? -1 : 0)));
  expect(growing.solve()!.cost).toBeCloseTo(-1, 9);
  growing.setRow(0, none, 9);
  expect(growing.solve()!.cost).toBeCloseTo(-0.5, 9);
  growing.setRow(0, 1e4, most);
  expect(growing.solve()).toBeNull();
  growing.close();
});

test('a point that breaks a row, a range or a wholeness is not accepted', () => {
  const program = lorieSavage(50, 20);
  expect(satisfies(program, [1, 0, 1, 1, 0, 1, 0, 0, 1])).toBe(true);
  expect(satisfies(program, [1, 1, 1, 1, 0, 1, 0, 0, 1])).toBe(false);
  expect(satisfies(program, [0.5, 0, 0, 0, 0, 0, 0, 0, 0])).toBe(false);
  expect(satisfies(program, [-1, 0, 0, 0, 0, 0, 0, 0, 0])).toBe(false);
  expect(satisfies(program, [Number.NaN, 0, 0, 0, 0, 0, 0, 0, 0])).toBe(false);
  expect(objectiveOf(program, [1, 0, 1, 1, 0, 1, 0, 0, 1])).toBe(70);
});

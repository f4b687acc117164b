// The only file that knows the names of the engines. A small linear program with whole-number variables goes in, an outcome
// comes out, and every point is checked here against the program's own rows before anyone may use it: an engine's
// status is believed only together with a point or a bound that fits it.

import type { Highs } from 'highs';
import smallModule from 'javascript-lp-solver';

// Both packages describe themselves as CommonJS to the type checker and are ES modules when they run.
type HighsModule = typeof import('highs');
const smallEngine = smallModule as unknown as typeof smallModule.default;

/** A variable: its cost, its range and whether it must be whole. */
export type ProgramVariable = { cost: number; lower: number; upper: number; whole: boolean };

/** A row: `lower` <= sum of coefficient x variable <= `upper`; infinities where there is no limit. */
type ProgramRow = { lower: number; upper: number; entries: [variable: number, coefficient: number][] };

/** A linear program, some of whose variables must be whole. */
export type Program = { sense: 'maximise' | 'minimise'; variables: ProgramVariable[]; rows: ProgramRow[] };

/**
 * What an engine found. `values` has one number a variable. `bound`: no point does better. 'within-bound' is a checked
 * point with a gap left; 'undecided' has no point that may be used, and a bound only when the engine proved one.
 */
export type Outcome =
  | { status: 'optimal'; values: Float64Array; objective: number; bound: number; rowPrices: Float64Array | null }
  | { status: 'within-bound'; values: Float64Array; objective: number; bound: number }
  | { status: 'infeasible' }
  | { status: 'unbounded' }
  | { status: 'undecided'; bound: number | null; reason: string };

/** Limits of a solve; left out, it runs until proved. Nodes are counted, so a limit does not depend on the machine. */
export type SolverLimits = {
  nodes?: number | undefined;
  /** Values of some variables of a point known to be feasible, to start from. */
  start?: { variable: number; value: number }[] | undefined;
  /**
   * Called now and then while the engine works, with the bound proved so far (null: none yet) and the simplex steps
   * taken so far; true ends the work early.
   */
  during?: ((bound: number | null, simplexSteps: number) => boolean) | undefined;
};

const WHOLE_TOLERANCE = 1e-5;
const ROW_TOLERANCE = 1e-5;

/** The objective of a point. */
export function objectiveOf(program: Program, values: ArrayLike<number>): number {
  return program.variables.reduce((sum, variable, index) => sum + variable.cost * values[index]!, 0);
}

/** Whether a point keeps every range, every row and every wholeness, with a tolerance relative to the row's size. */
export function satisfies(program: Program, values: ArrayLike<number>): boolean {
  for (let index = 0; index < program.variables.length; index++) {
    const { lower, upper, whole } = program.variables[index]!;
    const value = values[index]!;
    if (!Number.isFinite(value)) return false;
    const tolerance = ROW_TOLERANCE * Math.max(1, Math.abs(value));
    if (value < lower - tolerance || value > upper + tolerance) return false;
    if (whole && Math.abs(value - Math.round(value)) > WHOLE_TOLERANCE) return false;
  }
  for (const { lower, upper, entries } of program.rows) {
    let sum = 0;
    let size = 1;
    for (const [variable, coefficient] of entries) {
      sum += coefficient * values[variable]!;
      size += Math.abs(coefficient * values[variable]!);
    }
    if (sum < lower - ROW_TOLERANCE * size || sum > upper + ROW_TOLERANCE * size) return false;
  }
  return true;
}

/**
 * Solves a small program, at once, by javascript-lp-solver. It has no limit to stop it (the engine ignores its own), so
 * the caller keeps programs small: about forty whole variables, one month at a time.
 */
export function solveSmall(program: Program): Outcome {
  // The engine knows no lower bound but 0, so each variable is measured from its own lower bound.
  const shift = program.variables.map((variable) => variable.lower);
  if (shift.some((lower) => !Number.isFinite(lower))) throw new RangeError('a small program needs finite lower bounds');
  const variables: Record<string, Record<string, number>> = {};
  const constraints: Record<string, { min?: number; max?: number }> = {};
  const ints: Record<string, 1> = {};
  program.variables.forEach((variable, index) => {
    const name = `x${index}`;
    variables[name] = { objective: variable.cost };
    if (variable.whole) ints[name] = 1;
    if (Number.isFinite(variable.upper)) {
      variables[name][`u${index}`] = 1;
      constraints[`u${index}`] = { max: variable.upper - variable.lower };
    }
  });
  for (const [number, row] of program.rows.entries()) {
    const moved = row.entries.reduce((sum, [variable, coefficient]) => sum + coefficient * shift[variable]!, 0);
    const limit: { min?: number; max?: number } = {};
    if (Number.isFinite(row.lower)) limit.min = row.lower - moved;
    if (Number.isFinite(row.upper)) limit.max = row.upper - moved;
    const used = row.entries.filter(([, coefficient]) => coefficient !== 0);
    if (used.length === 0) {
      if (row.lower > ROW_TOLERANCE || row.upper < -ROW_TOLERANCE) return { status: 'infeasible' };
      continue;
    }
    constraints[`r${number}`] = limit;
    for (const [variable, coefficient] of used) {
      const cells = variables[`x${variable}`]!;
      cells[`r${number}`] = (cells[`r${number}`] ?? 0) + coefficient;
    }
  }
  const answer = smallEngine.Solve({
    optimize: 'objective',
    opType: program.sense === 'maximise' ? 'max' : 'min',
    constraints,
    variables,
    ints,
  }) as unknown as Record<string, number | boolean | undefined>;
  if (answer.feasible !== true) return { status: 'infeasible' };
  if (answer.bounded === false) return { status: 'unbounded' };
  const values = Float64Array.from(program.variables, (variable, index) => {
    const value = Number(answer[`x${index}`] ?? 0) + variable.lower;
    return variable.whole ? Math.round(value) : value;
  });
  if (!satisfies(program, values)) return { status: 'undecided', bound: null, reason: 'the point breaks a row' };
  const objective = objectiveOf(program, values);
  if (
    Math.abs(objective - constantOf(program, shift) - Number(answer.result)) >
    1e-4 * Math.max(1, Math.abs(objective))
  ) {
    return { status: 'undecided', bound: null, reason: 'the point does not have the objective stated' };
  }
  return { status: 'optimal', values, objective, bound: objective, rowPrices: null };
}

function constantOf(program: Program, shift: readonly number[]): number {
  return program.variables.reduce((sum, variable, index) => sum + variable.cost * shift[index]!, 0);
}

let loading: Promise<Highs> | null = null;

// Only a thread that plans needs the large engine; to read it takes longer than to answer a page.
async function loadHighs(): Promise<Highs> {
  const { default: load } = (await import('highs')) as unknown as HighsModule;
  return (load as unknown as HighsModule['default'])();
}

/**
 * Solves a program of any size by HiGHS, as far as the limits allow. A status that does not fit its own point is taken
 * as a failure and tried once more without presolve; a point that breaks a row is never handed out.
 */
export async function solveLarge(program: Program, limits: SolverLimits = {}): Promise<Outcome> {
  loading ??= loadHighs();
  const highs = await loading;
  const first = runHighs(highs, program, limits, 'choose');
  if (first.status !== 'undecided' || first.reason === LIMIT_REACHED) return first;
  const second = runHighs(highs, program, limits, 'off');
  return second.status === 'undecided' && second.bound === null ? { ...second, bound: first.bound } : second;
}

const LIMIT_REACHED = 'the limit came before a plan';

const OPTIMAL = 7;
const INFEASIBLE = 8;
const UNBOUNDED = 10;
const STOPPED_AT_A_LIMIT = new Set([13, 14, 16, 17]);

function runHighs(highs: Highs, program: Program, limits: SolverLimits, presolve: 'choose' | 'off'): Outcome {
  const { variables, rows } = program;
  const whole = variables.some((variable) => variable.whole);
  const starts = new Int32Array(rows.length + 1);
  const indices: number[] = [];
  const coefficients: number[] = [];
  rows.forEach((row, number) => {
    for (const [variable, coefficient] of mergeEntries(row.entries)) {
      indices.push(variable);
      coefficients.push(coefficient);
    }
    starts[number + 1] = indices.length;
  });
  const limit = (value: number) => engineLimit(highs, value);
  const model = highs.createModel({
    numCols: variables.length,
    numRows: rows.length,
    sense:
      program.sense === 'maximise' ? highs.constants.objectiveSense.maximize : highs.constants.objectiveSense.minimize,
    colCost: Float64Array.from(variables, (variable) => variable.cost),
    colLower: Float64Array.from(variables, (variable) => limit(variable.lower)),
    colUpper: Float64Array.from(variables, (variable) => limit(variable.upper)),
    rowLower: Float64Array.from(rows, (row) => limit(row.lower)),
    rowUpper: Float64Array.from(rows, (row) => limit(row.upper)),
    matrix: {
      format: 'csr',
      numRows: rows.length,
      numCols: variables.length,
      starts,
      indices: Int32Array.from(indices),
      values: Float64Array.from(coefficients),
    },
    integrality: Int32Array.from(variables, (variable) => (variable.whole ? 1 : 0)),
  });
  try {
    model.options.set({ output_flag: false, presolve, random_seed: 0 });
    if (whole) {
      // The default gap of one part in ten thousand would call a plan optimal that is not.
      model.options.set({ mip_rel_gap: 0, mip_abs_gap: 1e-6 });
      if (limits.nodes !== undefined) model.options.set({ mip_max_nodes: limits.nodes });
      if (limits.start !== undefined) {
        model.setSolution({
          indices: Int32Array.from(limits.start, (entry) => entry.variable),
          values: Float64Array.from(limits.start, (entry) => entry.value),
        });
      }
    }
    const { during } = limits;
    const { mipInterrupt, simplexInterrupt } = highs.constants.callbackType;
    const { modelStatus } = during
      ? model.run({
          [mipInterrupt]: (event) => {
            const bound = usableBound(event.data.mip_dual_bound);
            if (during(bound, Number(event.data.mip_total_lp_iterations ?? 0))) event.interrupt();
          },
          [simplexInterrupt]: (event) => {
            if (!whole && during(null, event.data.simplex_iteration_count ?? 0)) event.interrupt();
          },
        })
      : model.run();
    if (modelStatus === INFEASIBLE) return { status: 'infeasible' };
    if (modelStatus === UNBOUNDED) return { status: 'unbounded' };
    if (modelStatus !== OPTIMAL && !STOPPED_AT_A_LIMIT.has(modelStatus)) {
      return { status: 'undecided', bound: null, reason: `the engine ended with status ${modelStatus}` };
    }
    const bound = whole ? usableBound(Number(model.info.get('mip_dual_bound'))) : null;
    const hasPoint = Number(model.info.get('primal_solution_status')) === highs.constants.solutionStatus.feasible;
    if (!hasPoint) {
      const reason = modelStatus === OPTIMAL ? 'the engine gave no point' : LIMIT_REACHED;
      return { status: 'undecided', bound, reason };
    }
    const solution = model.getSolution();
    const values = Float64Array.from(solution.colValue, (value, index) =>
      variables[index]!.whole ? Math.round(value) : value,
    );
    if (!satisfies(program, values)) return { status: 'undecided', bound, reason: 'the point breaks a row' };
    const objective = objectiveOf(program, values);
    if (modelStatus === OPTIMAL) {
      if (!whole) return { status: 'optimal', values, objective, bound: objective, rowPrices: solution.rowDual };
      if (bound === null || Math.abs(bound - objective) > 1e-6 * Math.max(1, Math.abs(objective))) {
        return { status: 'undecided', bound, reason: 'the bound does not meet the point' };
      }
      return { status: 'optimal', values, objective, bound, rowPrices: null };
    }
    if (bound === null) return { status: 'undecided', bound, reason: LIMIT_REACHED };
    return { status: 'within-bound', values, objective, bound };
  } finally {
    model.dispose();
  }
}

/** A column of a growing linear program: its cost and its entries; it may take any share from 0 on. */
type GrowingColumn = { cost: number; entries: readonly [row: number, coefficient: number][] };

/** A linear program (minimised) to which columns are added between solves, each solve starting from the last one's end. */
export type GrowingProgram = {
  addColumns(columns: readonly GrowingColumn[]): void;
  /** Sets the costs of all columns, in the order in which they were added. */
  setCosts(costs: Float64Array): void;
  setRow(row: number, lower: number, upper: number): void;
  /** Sets the most that each column's share may be, in the order in which they were added. */
  limitShares(upper: Float64Array): void;
  /** The shares, the cost, and the change of the cost with each row's limit; null when the engine did not end with an optimum. */
  solve(): { shares: Float64Array; cost: number; rowPrices: Float64Array } | null;
  close(): void;
};

/** Begins a linear program with these rows and no column. */
export async function growProgram(rows: readonly { lower: number; upper: number }[]): Promise<GrowingProgram> {
  loading ??= loadHighs();
  const highs = await loading;
  const limit = (value: number) => engineLimit(highs, value);
  const nothing = new Float64Array(0);
  const model = highs.createModel({
    numCols: 0,
    numRows: rows.length,
    sense: highs.constants.objectiveSense.minimize,
    colCost: nothing,
    colLower: nothing,
    colUpper: nothing,
    rowLower: Float64Array.from(rows, (row) => limit(row.lower)),
    rowUpper: Float64Array.from(rows, (row) => limit(row.upper)),
    matrix: {
      format: 'csc',
      numRows: rows.length,
      numCols: 0,
      starts: new Int32Array(1),
      indices: new Int32Array(0),
      values: nothing,
    },
  });
  model.options.set({ output_flag: false, random_seed: 0 });
  let count = 0;
  return {
    addColumns(columns) {
      if (columns.length === 0) return;
      const starts = new Int32Array(columns.length + 1);
      columns.forEach(({ entries }, k) => {
        starts[k + 1] = starts[k]! + entries.length;
      });
      model.addCols({
        cost: Float64Array.from(columns, ({ cost }) => cost),
        lower: new Float64Array(columns.length),
        upper: new Float64Array(columns.length).fill(highs.infinity),
        matrix: {
          format: 'csc',
          numRows: rows.length,
          numCols: columns.length,
          starts,
          indices: Int32Array.from(columns.flatMap(({ entries }) => entries.map(([row]) => row))),
          values: Float64Array.from(columns.flatMap(({ entries }) => entries.map(([, coefficient]) => coefficient))),
        },
      });
      count += columns.length;
    },
    setCosts(costs) {
      model.changeColsCost({ kind: 'range', from: 0, to: count - 1 }, costs);
    },
    setRow(row, lower, upper) {
      model.changeRowBounds(row, limit(lower), limit(upper));
    },
    limitShares(upper) {
      model.changeColsBounds({ kind: 'range', from: 0, to: count - 1 }, new Float64Array(count), upper.map(limit));
    },
    solve() {
      if (model.run().modelStatus !== OPTIMAL) return null;
      const { colValue, rowDual } = model.getSolution();
      return { shares: colValue, cost: model.getObjectiveValue(), rowPrices: rowDual };
    },
    close: () => model.dispose(),
  };
}

function engineLimit(highs: Highs, value: number): number {
  if (value === Number.POSITIVE_INFINITY) return highs.infinity;
  return value === Number.NEGATIVE_INFINITY ? -highs.infinity : value;
}

function usableBound(bound: number | undefined): number | null {
  return bound !== undefined && Number.isFinite(bound) && Math.abs(bound) < 1e19 ? bound : null;
}

function mergeEntries(entries: readonly [number, number][]): Iterable<[number, number]> {
  const merged = new Map<number, number>();
  for (const [variable, coefficient] of entries) merged.set(variable, (merged.get(variable) ?? 0) + coefficient);
  return merged;
}

// The benchmark: plans every case with the planner and with two rivals in one run on one machine, each in a process of its own, and
// prints what was reached when, what was proved, and which goals were missed. Ratios within one run are what can be compared.

import { type ChildProcess, fork } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, totalmem } from 'node:os';
import { dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { prepareProblem } from '../../src/evaluate.ts';
import { wholePlanSize } from '../../src/program.ts';
import { bestKnownOf, CASE_NAMES, caseNamed } from './cases.ts';
import { type Check, checksOf } from './goals.ts';
import { fitExponent, gapOf, MARKS, type Moment, standingAt } from './marks.ts';
import type { Memory, RunNews, RunTask } from './run.ts';

const USAGE =
  'Usage: npm run bench -- [--only CASE]... [--seconds N] [--seed N] [--no-rivals] [--jobs N] [--clock wall|processor] [--json FILE]. ' +
  `CASE is one of ${CASE_NAMES.join(', ')}, growth, or made-up-ANIMALS-MONTHS.`;
const GROWTH_ANIMALS = [2, 4, 8, 16, 24, 48];
const GROWTH_MONTHS = [6, 12, 18, 24, 36];
const GROWTH_GAP = 0.01;
/** The engine alone is given this long on every case, whatever the others are given. */
const ENGINE_SECONDS = 60;
/** As long as the command that plans a file waits after its seconds before it ends its thread. */
const GRACE_MILLISECONDS = 250;
/** A run that counts the processor's seconds may take so many times as long on the wall. */
const MOST_SHARED = 20;

const output = join(import.meta.dirname, '../output/bench');
const options = readOptions();
const print = (text: string) => process.stdout.write(`${text}\n`);

type Run = {
  moments: Moment[];
  startUp: number;
  /** Wall and processor milliseconds, from the beginning of planning to its end. */
  took: number;
  cpu: number;
  status: string | null;
  rounds: number;
  memory: Memory;
  endedByForce: boolean;
};

function readOptions() {
  const { values } = parseArgs({
    options: {
      only: { type: 'string', multiple: true },
      seconds: { type: 'string', default: '60' },
      seed: { type: 'string', default: '1' },
      jobs: { type: 'string', default: '1' },
      // On a machine that others use at the same time, seconds of the processor say more than those on the wall.
      clock: { type: 'string', default: 'wall' },
      'no-rivals': { type: 'boolean', default: false },
      json: { type: 'string', default: join(import.meta.dirname, '../output/bench.json') },
    },
  });
  const number = (name: 'seconds' | 'seed' | 'jobs') => {
    if (!/^\d{1,5}$/.test(values[name])) throw new Error(`--${name} must be a whole number. ${USAGE}`);
    return Number(values[name]);
  };
  const names = values.only ?? [...CASE_NAMES, 'growth'];
  for (const name of names) {
    if (!CASE_NAMES.includes(name) && name !== 'growth' && !/^made-up-\d+-\d+$/.test(name)) {
      throw new Error(`There is no case '${name}'. ${USAGE}`);
    }
  }
  const { clock } = values;
  if (clock !== 'wall' && clock !== 'processor') throw new Error(`--clock must be wall or processor. ${USAGE}`);
  return {
    names,
    clock: clock as RunTask['clock'],
    seconds: number('seconds'),
    seed: number('seed'),
    jobs: Math.max(1, number('jobs')),
    rivals: !values['no-rivals'],
    json: values.json,
  };
}

/** One run in its own process. Rejects when the process fails. */
function runApart(task: RunTask): Promise<Run> {
  const child: ChildProcess = fork(join(import.meta.dirname, 'run.ts'), { execArgv: ['--import', 'tsx'] });
  const run: Run = {
    moments: [],
    startUp: 0,
    took: 0,
    cpu: 0,
    status: null,
    rounds: 0,
    memory: { resident: 0, heap: 0, engine: 0 },
    endedByForce: false,
  };
  return new Promise((resolve, reject) => {
    let ended = false;
    let timer: NodeJS.Timeout | undefined;
    child.on('message', (news: RunNews) => {
      switch (news.news) {
        case 'began':
          run.startUp = news.startUp;
          // Only the planner must keep its seconds; how the rivals end is not what is measured.
          timer = setTimeout(
            () => {
              run.endedByForce = true;
              child.kill('SIGKILL');
            },
            1000 * task.seconds * (task.clock === 'wall' ? 1 : MOST_SHARED) +
              (task.who === 'planner' ? GRACE_MILLISECONDS : 20_000),
          );
          return;
        case 'standing':
          Object.assign(run, { took: news.at, cpu: news.cpu, memory: news.memory, status: news.standing.status });
          run.moments.push({ at: news.at, standing: news.standing });
          return;
        case 'ended':
          ended = true;
          Object.assign(run, { took: news.at, cpu: news.cpu, memory: news.memory, rounds: news.rounds });
          if (news.status !== null) run.status = news.status;
      }
    });
    child.on('error', reject);
    child.on('exit', (code) => {
      clearTimeout(timer);
      if (ended || run.endedByForce) resolve(run);
      else reject(new Error(`the ${task.who} on ${task.file} ended with ${code}`));
    });
    child.send(task);
  });
}

/** Does all the work, so many pieces at a time, and gives the results in the order of the work. */
async function inTurn<Result>(jobs: number, work: (() => Promise<Result>)[]): Promise<Result[]> {
  const results: Result[] = [];
  let next = 0;
  const worker = async (): Promise<void> => {
    while (next < work.length) {
      const index = next++;
      results[index] = await work[index]!();
    }
  };
  await Promise.all(Array.from({ length: jobs }, worker));
  return results;
}

const machine = () => ({
  processor: cpus()[0]?.model ?? 'unknown',
  cores: cpus().length,
  loadAverage: loadavg().map((value) => Math.round(100 * value) / 100),
  node: process.version,
  memoryGigabytes: Math.round(totalmem() / 1e8) / 10,
});

async function writeCase(name: string) {
  const built = await caseNamed(name);
  const file = join(output, `${name}.json`);
  writeFileSync(file, `${JSON.stringify(built.problem)}\n`);
  return { ...built, file, size: wholePlanSize(prepareProblem(built.problem)) };
}

const seconds = (milliseconds: number) => (milliseconds / 1000).toFixed(2);
const megabytes = (bytes: number) => Math.round(bytes / 1e6);
const percent = (share: number | null) => (share === null ? '-' : `${(100 * share).toFixed(3)} %`);

function printRows(rows: string[][]): void {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  for (const row of rows) print(row.map((cell, column) => cell.padStart(widths[column]!)).join('  '));
}

function printRun(who: string, run: Run): void {
  const first = run.moments[0];
  print(
    `${who}: ${run.status ?? 'no plan'}, first plan after ${first ? seconds(first.at) : '-'} s, ended after ${seconds(run.took)} s ` +
      `(${seconds(run.cpu)} s of processor, ${run.rounds} rounds${run.endedByForce ? ', ended by force' : ''}); ` +
      `started in ${seconds(run.startUp)} s; at most ${megabytes(run.memory.resident)} MB, heap ${megabytes(run.memory.heap)} MB, ` +
      `engine ${megabytes(run.memory.engine)} MB`,
  );
  const rows = [['  s', 'severe', 'bound', 'weighted', 'bound', 'gap', 'mean', 'spend', 'status']];
  for (const [index, mark] of MARKS.entries()) {
    // Nothing changes at the marks after the one by which the run had ended.
    if (index > 0 && MARKS[index - 1]! * 1000 >= run.took - GRACE_MILLISECONDS) break;
    const at = standingAt(run.moments, mark);
    if (at === null) continue;
    rows.push([
      String(mark),
      String(at.severe),
      at.severeBound?.toFixed(2) ?? '-',
      at.weighted.toFixed(2),
      at.weightedBound?.toFixed(2) ?? '-',
      percent(gapOf(at)),
      at.mean.toFixed(2),
      String(at.spend),
      at.status,
    ]);
  }
  printRows(rows);
}

/** A run for the file: where it stood at each mark instead of every moment. */
const filed = ({ moments, ...run }: Run) => ({
  ...run,
  firstPlan: moments[0]?.at ?? null,
  marks: MARKS.map((mark) => ({ seconds: mark, standing: standingAt(moments, mark) })),
  last: moments.at(-1)?.standing ?? null,
});

async function benchCase(name: string) {
  const { problem, file, size, buildMilliseconds, leftOut } = await writeCase(name);
  const { seconds: given, seed, rivals, jobs, clock } = options;
  const task = (who: RunTask['who'], allowed: number) => () =>
    runApart({ who, file, seconds: allowed, seed, untilGap: null, clock });
  const [planner, annealer, engine] = await inTurn(jobs, [
    task('planner', given),
    ...(rivals ? [task('annealer', given), task('engine', ENGINE_SECONDS)] : []),
  ]);
  const built = buildMilliseconds === null ? '' : `, written down from its ledger in ${seconds(buildMilliseconds)} s`;
  print(
    `\n== ${name}: ${problem.animals.length} animals, ${problem.months} months, ${problem.purchases.length} purchases, ` +
      `${size} whole variables${built}${leftOut > 0 ? `, ${leftOut} upgrades left out` : ''}`,
  );
  printRun('planner', planner!);
  if (annealer) printRun('plain annealer', annealer);
  if (engine) printRun('engine alone', engine);
  const checks = checksOf({
    name,
    problem,
    bestKnown: bestKnownOf(name),
    seconds: given,
    planner: planner!.moments,
    annealer: annealer?.moments ?? null,
    engine: engine?.moments ?? null,
  });
  printChecks(checks);
  const runs = { planner: filed(planner!), annealer: annealer && filed(annealer), engine: engine && filed(engine) };
  return { name, size, buildMilliseconds, leftOut, ...runs, checks };
}

function printChecks(checks: readonly Check[]): void {
  for (const { goal, measured, held } of checks) print(`${held ? 'held  ' : 'MISSED'}  ${goal}: ${measured}`);
}

async function benchGrowth() {
  const grow = (kind: 'animals' | 'months', sizes: number[]) =>
    sizes.map((size) => ({ kind, size, name: kind === 'animals' ? `made-up-${size}-12` : `made-up-8-${size}` }));
  const pieces = [...grow('animals', GROWTH_ANIMALS), ...grow('months', GROWTH_MONTHS)];
  const { seconds: given, seed, jobs, clock } = options;
  const points = await inTurn(
    jobs,
    pieces.map((piece) => async () => {
      const { file, size: whole } = await writeCase(piece.name);
      const run = await runApart({ who: 'planner', file, seconds: given, seed, untilGap: GROWTH_GAP, clock });
      const reached = run.moments.find(({ standing }) => (gapOf(standing) ?? 1) <= GROWTH_GAP);
      return { ...piece, whole, first: run.moments[0]?.at ?? null, gap: reached?.at ?? null, run: filed(run) };
    }),
  );
  print(`\n== growth: made-up problems, 12 months of 2 to 48 animals and 8 animals over 6 to 36 months`);
  const shown = (time: number | null) => (time === null ? `over ${given}` : seconds(time));
  printRows([
    ['case', 'whole variables', 'first plan s', 'gap 1 % s', 'MB', 'severe', 'gap'],
    ...points.map(({ name, whole, first, gap, run }) => [
      name,
      String(whole),
      shown(first),
      shown(gap),
      String(megabytes(run.memory.resident)),
      String(run.last?.severe ?? '-'),
      percent(run.last === null ? null : gapOf(run.last)),
    ]),
  ]);
  const exponents = (['animals', 'months'] as const).flatMap((kind) =>
    (['first', 'gap'] as const).map((what) => {
      const fitted = points.flatMap((one) =>
        one.kind === kind && one[what] !== null ? [{ size: one.size, time: one[what] }] : [],
      );
      const missing = points.filter((one) => one.kind === kind && one[what] === null).length;
      return { kind, what, exponent: fitExponent(fitted), points: fitted.length, missing };
    }),
  );
  for (const { kind, what, exponent, points: count, missing } of exponents) {
    print(
      `time to ${what === 'first' ? 'the first plan' : 'a gap of 1 %'} grows with ${kind} to the power ` +
        `${exponent?.toFixed(2) ?? 'unknown'} (${count} sizes${missing > 0 ? `, ${missing} not in time and left out` : ''})`,
    );
  }
  return { points, exponents };
}

mkdirSync(output, { recursive: true });
const begun = machine();
print(
  `${begun.processor}, ${begun.cores} cores, load ${begun.loadAverage.join(' ')}, ${begun.memoryGigabytes} GB, Node ${begun.node}; ` +
    `${options.seconds} s a case by the ${options.clock === 'wall' ? 'clock' : 'processor'}, seed ${options.seed}, ` +
    `${options.jobs} run${options.jobs > 1 ? 's' : ''} at a time`,
);
const cases: Awaited<ReturnType<typeof benchCase>>[] = [];
for (const name of options.names.filter((one) => one !== 'growth')) cases.push(await benchCase(name));
const growth = options.names.includes('growth') ? await benchGrowth() : null;
const ended = machine();
const checks = cases.flatMap((one) => one.checks);
print(
  `\n${checks.filter(({ held }) => held).length} of ${checks.length} goals held; load at the end ${ended.loadAverage.join(' ')}`,
);
mkdirSync(dirname(options.json), { recursive: true });
const { names, seconds: given, seed, jobs, rivals, clock } = options;
const result = {
  machine: begun,
  loadAtEnd: ended.loadAverage,
  options: { names, seconds: given, seed, jobs, rivals, clock },
  cases,
  growth,
};
writeFileSync(options.json, `${JSON.stringify(result, null, 2)}\n`);
print(`Written to ${options.json}; the problems are in ${output}.`);

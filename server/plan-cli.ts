// The command that plans a problem file and prints the answer as JSON. It knows its options and its exit codes: 0 with an
// answer, 2 with one sentence on standard error when the file or an option cannot be used, 3 when time ran out without a
// plan. It plans on a thread of its own, so that the seconds hold even while an engine is deep in its work.

import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { isMainThread, parentPort, workerData } from 'node:worker_threads';
import { improvePlan } from '../src/planner.ts';
import type { PlanAnswer, PlanningProblem } from '../src/problem.ts';
import { readProblem } from './problem-file.ts';
import { startThread } from './typescript-thread.ts';

const USAGE = 'Usage: npm run plan -- CASE.json [--seconds N] [--rounds N] [--seed N]';
const DEFAULT_SECONDS = 10;

type Options =
  | { status: 'read'; file: string; seconds: number | undefined; rounds: number | undefined; seed: number }
  | { status: 'refused'; message: string };

function readOptions(args: readonly string[]): Options {
  const refuse = (message: string): Options => ({ status: 'refused', message: `${message} ${USAGE}` });
  let parsed: { values: Record<string, string | boolean | undefined>; positionals: string[] };
  try {
    parsed = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: { seconds: { type: 'string' }, rounds: { type: 'string' }, seed: { type: 'string' } },
    });
  } catch (error) {
    return refuse(error instanceof Error ? `${error.message.replace(/\.$/, '')}.` : 'The options cannot be read.');
  }
  const [file, ...others] = parsed.positionals;
  if (file === undefined) return refuse('Name the problem file.');
  if (others.length > 0) return refuse(`Name one problem file, not also '${others[0]}'.`);
  const text = (name: string) => parsed.values[name] as string | undefined;
  for (const name of ['rounds', 'seed']) {
    const given = text(name);
    if (given !== undefined && !/^\d{1,9}$/.test(given)) {
      return refuse(`--${name} must be a whole number from 0 to 999999999, not '${given}'.`);
    }
  }
  const seconds = text('seconds');
  if (seconds !== undefined && !(/^\d{1,6}(\.\d{1,3})?$/.test(seconds) && Number(seconds) > 0)) {
    return refuse(`--seconds must be a number above 0 and below a million, not '${seconds}'.`);
  }
  const number = (name: string) => (text(name) === undefined ? undefined : Number(text(name)));
  const rounds = number('rounds');
  return {
    status: 'read',
    file,
    // Rounds alone never depend on the clock; time is the limit only when asked for or when nothing else is.
    seconds: number('seconds') ?? (rounds === undefined ? DEFAULT_SECONDS : undefined),
    rounds,
    seed: number('seed') ?? 1,
  };
}

type Run = { problem: PlanningProblem; seconds: number | undefined; rounds: number | undefined; seed: number };
type Message = { answer: PlanAnswer; final: boolean };

/** How much longer than its seconds a run may take before its thread is ended. */
const GRACE_MILLISECONDS = 250;

/** The best plan that a thread of its own finds; fails only if the planner does. */
function planOnThread(run: Run): Promise<PlanAnswer> {
  const worker = startThread(import.meta.url, run);
  let latest: PlanAnswer | null = null;
  let timer: NodeJS.Timeout | undefined;
  return new Promise<PlanAnswer>((resolve, reject) => {
    const endAfter = (milliseconds: number): void => {
      timer = setTimeout(() => {
        // A first plan is worth waiting for: it comes within a second at any size.
        if (latest === null) endAfter(GRACE_MILLISECONDS);
        else resolve(latest);
      }, milliseconds);
    };
    if (run.seconds !== undefined) endAfter(run.seconds * 1000 + GRACE_MILLISECONDS);
    worker.on('message', ({ answer, final }: Message) => {
      latest = answer;
      if (final) resolve(answer);
    });
    worker.on('error', reject);
  }).finally(() => {
    clearTimeout(timer);
    return worker.terminate();
  });
}

/** What the thread does: plans, tells every better plan or bound at once, and ends with the last answer. */
async function planHere({ problem, seconds, rounds, seed }: Run): Promise<void> {
  const began = performance.now();
  const stop = () => seconds !== undefined && performance.now() - began >= seconds * 1000;
  const send = (answer: PlanAnswer, final: boolean) => parentPort?.postMessage({ answer, final } satisfies Message);
  const exact = seconds === undefined ? 'bounds' : 'full';
  let last: PlanAnswer = { status: 'undecided', rounds: 0 };
  const report = (answer: PlanAnswer) => send(answer, false);
  for await (const answer of improvePlan(problem, { rounds, seed, exact, stop, report })) {
    last = answer;
    send(answer, false);
  }
  send(last, true);
}

/** The answer in the form in which it is printed. */
function printedAnswer(answer: Exclude<PlanAnswer, { status: 'undecided' }>, elapsedMs: number): object {
  if (answer.status === 'infeasible') {
    return { status: answer.status, shortMonth: answer.shortMonth, shortBy: answer.shortBy };
  }
  const { rounds, ...plan } = answer;
  return { ...plan, elapsedMs, rounds };
}

async function main(args: readonly string[]): Promise<number> {
  const fail = (message: string): number => {
    process.stderr.write(`${message}\n`);
    return 2;
  };
  const began = performance.now();
  const options = readOptions(args);
  if (options.status === 'refused') return fail(options.message);
  let text: string;
  try {
    text = readFileSync(options.file, 'utf8');
  } catch (error) {
    return fail(`The file '${options.file}' cannot be read: ${error instanceof Error ? error.message : 'unknown'}.`);
  }
  const read = readProblem(text);
  if (read.status === 'refused') return fail(read.message);
  const { seconds, rounds, seed } = options;
  const answer = await planOnThread({ problem: read.problem, seconds, rounds, seed });
  if (answer.status === 'undecided') {
    process.stderr.write('No plan was found, and it was not proved that there is none. Give it more seconds.\n');
    return 3;
  }
  process.stdout.write(`${JSON.stringify(printedAnswer(answer, Math.round(performance.now() - began)))}\n`);
  return 0;
}

if (isMainThread) process.exitCode = await main(process.argv.slice(2));
else await planHere(workerData as Run);

// One run of the planner or of a rival, in a process of its own so that its time and memory are its own: it is told what to plan,
// and tells of every better plan or bound with the moment at which it came.

import { readFileSync } from 'node:fs';
import { listBuys, prepareProblem } from '../../src/evaluate.ts';
import { improvePlan } from '../../src/planner.ts';
import type { Buy, Objective, PlanAnswer, PlanningProblem } from '../../src/problem.ts';
import { judgeBuys } from '../support/referee.ts';
import { annealPlainly } from './annealer.ts';
import { solveByEngineAlone } from './highs-alone.ts';
import { gapOf } from './marks.ts';

/** Who plans. */
export const PLANNERS = ['planner', 'annealer', 'engine'] as const;

/** What a run is to do: a problem file, and when to end: after so many seconds, or once the gap is no more than `untilGap`. */
export type RunTask = {
  who: (typeof PLANNERS)[number];
  file: string;
  seconds: number;
  seed: number;
  untilGap: number | null;
  /** Whether seconds are counted by the clock on the wall or by the processor time that the run was given. */
  clock: 'wall' | 'processor';
};

/** A plan and what is proved about it, from whoever found it. */
export type Standing = {
  status: 'optimal' | 'within-bound' | 'best-found';
  buys: Buy[];
  severeBound: number | null;
  weightedBound: number | null;
} & Objective;

/** Most memory so far, bytes: of the whole process, of the heap (as far as it was looked at), of the engine's own memory. */
export type Memory = { resident: number; heap: number; engine: number };

/** What a run tells; `at` in milliseconds of its clock since it began to plan, `cpu` the processor time it used meanwhile. */
export type RunNews =
  | { news: 'began'; startUp: number }
  | { news: 'standing'; at: number; cpu: number; standing: Standing; memory: Memory }
  | { news: 'ended'; at: number; cpu: number; status: PlanAnswer['status'] | null; rounds: number; memory: Memory };

type Grown = { buffer: ArrayBufferLike };
type Assembly = { Memory: new () => Grown; instantiate: (...given: unknown[]) => Promise<object> };

/** What this file uses of WebAssembly, which the type checker's libraries leave out. */
const assembly = (globalThis as unknown as { WebAssembly: Assembly }).WebAssembly;

/** The engine's memory never shrinks, so its size at any time is the most that it had. */
const engineMemories: Grown[] = [];
let heapPeak = 0;

function memory(): Memory {
  heapPeak = Math.max(heapPeak, process.memoryUsage().heapUsed);
  const engine = engineMemories.reduce((sum, one) => sum + one.buffer.byteLength, 0);
  return { resident: process.resourceUsage().maxRSS * 1024, heap: heapPeak, engine };
}

function watchEngineMemory(): void {
  const instantiate = assembly.instantiate;
  assembly.instantiate = async (...given) => {
    const result = await instantiate.apply(assembly, given);
    const { exports } = ('instance' in result ? result.instance : result) as { exports: Record<string, unknown> };
    engineMemories.push(...Object.values(exports).filter((one) => one instanceof assembly.Memory));
    return result;
  };
}

async function run(task: RunTask): Promise<void> {
  const tell = (news: RunNews) => process.send!(news);
  watchEngineMemory();
  const problem = JSON.parse(readFileSync(task.file, 'utf8')) as PlanningProblem;
  tell({ news: 'began', startUp: performance.now() });
  const began = performance.now();
  const cpuBegan = process.cpuUsage();
  const spent = () => {
    const { user, system } = process.cpuUsage(cpuBegan);
    const cpu = (user + system) / 1000;
    return { at: task.clock === 'wall' ? performance.now() - began : cpu, cpu };
  };
  const share = () => spent().at / (1000 * task.seconds);
  let told = '';
  let gap: number | null = null;
  const stand = (standing: Standing): void => {
    const { status, severe, weighted, mean, spend, severeBound, weightedBound } = standing;
    const key = [status, severe, weighted, mean, spend, severeBound, weightedBound].join();
    if (key === told) return;
    told = key;
    gap = gapOf(standing);
    tell({ news: 'standing', ...spent(), standing, memory: memory() });
  };
  let last: PlanAnswer | null = null;
  if (task.who === 'planner') {
    const hear = (answer: PlanAnswer): void => {
      last = answer;
      if ('buys' in answer) stand(answer);
    };
    const stop = () => share() >= 1 || (task.untilGap !== null && gap !== null && gap <= task.untilGap);
    for await (const answer of improvePlan(problem, { seed: task.seed, exact: 'full', stop, report: hear }))
      hear(answer);
  } else {
    const found = (buys: Buy[], severeBound: number | null, weightedBound: number | null): void => {
      const verdict = judgeBuys(problem, buys);
      if (!verdict.feasible) throw new Error(`the ${task.who} broke the rule '${verdict.because}'`);
      const { severe, weighted, mean, spend } = verdict;
      stand({ status: 'best-found', buys, severe, weighted, mean, spend, severeBound, weightedBound });
    };
    const prepared = prepareProblem(problem);
    if (task.who === 'annealer') {
      annealPlainly(prepared, task.seed, share, (bought) => found(listBuys(prepared, bought), null, null));
    } else
      await solveByEngineAlone(prepared, share, ({ buys, ...bounds }) =>
        found(buys, bounds.severeBound, bounds.weightedBound),
      );
  }
  const ended = last as PlanAnswer | null;
  tell({ news: 'ended', ...spent(), status: ended?.status ?? null, rounds: ended?.rounds ?? 0, memory: memory() });
}

if (process.send !== undefined) {
  process.once('message', async (task: RunTask) => {
    await run(task);
    process.disconnect();
  });
}

// The thread in which a ledger is planned, so that pages are answered meanwhile. It has no clock: it plans until it is told to stop.

import { parentPort, workerData } from 'node:worker_threads';
import { buildProblem, type LedgerFacts } from '../src/ledger-problem.ts';
import { improvePlan, type PlanAnswer } from '../src/planner.ts';
import type { Buy, PlanningProblem } from '../src/problem.ts';
import { drawRoadmap, type Roadmap } from '../src/roadmap.ts';

/**
 * What the thread is given. `stop` holds 1 once it should end with what it has; `start` is a plan to begin with; with `found`, a plan
 * that is only to be drawn, nothing is looked for.
 */
export type PlanTask = { facts: LedgerFacts; stop: Int32Array; start: Buy[]; found: PlanAnswer | null };

/** What the thread tells: that it begins to look, every better plan or bound, and the end. */
export type PlanNews =
  | { news: 'looking' }
  | { news: 'better'; answer: PlanAnswer }
  | { news: 'done'; problem: PlanningProblem; answer: PlanAnswer; roadmap: Roadmap | null };

const task = workerData as PlanTask;
const tell = (news: PlanNews): void => parentPort!.postMessage(news);
await plan();

async function plan(): Promise<void> {
  const { facts, stop, start, found } = task;
  const built = buildProblem(facts);
  tell({ news: 'looking' });
  let best: PlanAnswer = found ?? { status: 'undecided', rounds: 0 };
  if (found === null) {
    const better = (answer: PlanAnswer): void => {
      best = answer;
      tell({ news: 'better', answer });
    };
    const stopped = () => Atomics.load(stop, 0) === 1;
    for await (const answer of improvePlan(built.problem, { start, stop: stopped, report: better })) better(answer);
  }
  const roadmap = 'buys' in best ? drawRoadmap(facts, built, best.buys) : null;
  tell({ news: 'done', problem: built.problem, answer: best, roadmap });
}

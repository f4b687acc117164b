// The thread in which a ledger is planned and its plan studied, so that pages are answered meanwhile. It has no clock: it goes on until it
// is told to stop, the plan and each study apart.

import { platform, setPriority } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import { evaluatePrepared, type PreparedProblem, prepareProblem } from '../src/evaluate.ts';
import { type BuiltProblem, buildProblem, type LedgerFacts, type PlanMoney } from '../src/ledger-problem.ts';
import { carryProof } from '../src/plan-certificate.ts';
import { calmPlan } from '../src/plan-changes.ts';
import { freeAtOnce, improvePlan } from '../src/planner.ts';
import type { Buy, FoundAnswer, PlanAnswer, PlanningProblem } from '../src/problem.ts';
import { coolsAtOnce } from '../src/proposals.ts';
import { drawRoadmap, pointsOf, type Roadmap } from '../src/roadmap.ts';
import type { MeterPrices } from '../src/unsettled.ts';
import type { SinceLast } from './db/plans.ts';
import type { Study, StudyKind } from './db/studies.ts';
import { ALL_STUDIES, PLAN_OVER, STUDIES_OVER, studyPlan } from './studies.ts';

/**
 * The plan before, in the months of the new one; what was to be bought in months that have passed is below 0. A purchase moves away from
 * it only for `threshold` weighted points x months.
 */
export type EarlierPlan = { planId: string; buys: Buy[]; threshold: number };

/** Severe needs x months and plain score points x months of a plan, the last month with its credit. */
export type Gains = { severe: number; points: number };

/**
 * What the thread is given. `ends` is shared: see studies.ts. With `found`, the best answer of a thread that had to be ended, nothing is
 * looked for; with `kept`, a plan that is kept already, it is only studied.
 */
export type PlanTask = {
  facts: LedgerFacts;
  /** The money over more months than the plan has. */
  moneyAhead: PlanMoney;
  ends: Int32Array;
  earlier: EarlierPlan | null;
  found: FoundAnswer | null;
  kept: { problem: PlanningProblem; answer: FoundAnswer } | null;
  studies: readonly StudyKind[];
  moreTime: boolean;
  meterPrices: MeterPrices;
};

/**
 * What the thread tells: how many animals it has written down, that it begins to look, every better plan or bound, that it draws the roadmap
 * of what it found, the plan, and each study as it begins and grows.
 */
export type PlanNews =
  | { news: 'written'; animals: number; of: number }
  | { news: 'looking'; bare: Gains | null }
  | { news: 'better'; answer: PlanAnswer; points: number | null }
  | { news: 'drawing' }
  | {
      news: 'done';
      problem: PlanningProblem;
      answer: PlanAnswer;
      roadmap: Roadmap | null;
      sinceLast: SinceLast | null;
    }
  | { news: 'study-begun'; kind: StudyKind }
  | { news: 'study'; kind: StudyKind; study: Study<StudyKind> }
  | { news: 'all-studied' };

/** How far the thread stands behind the one that answers pages, as Linux counts it: 0 is alike, 19 is last. */
const GIVES_WAY = 5;

const task = workerData as PlanTask;
const tell = (news: PlanNews): void => parentPort!.postMessage(news);
const isOver = (which: number, place: number): boolean => Atomics.load(task.ends, which) > place;
// Where a thread can have a rank of its own (elsewhere it would be that of the whole program), pages come before plans.
if (platform() === 'linux') setPriority(GIVES_WAY);
await work();

async function work(): Promise<void> {
  const built = buildProblem(task.facts, (animals, of) => tell({ news: 'written', animals, of }));
  const answer = task.kept === null ? await plan(built) : task.kept.answer;
  if (!('buys' in answer) || task.studies.length === 0) return;
  // A plan made by an earlier version of the program may be of another problem, and then nothing true can be said about it.
  const isOfThese = task.kept === null || JSON.stringify(built.problem) === JSON.stringify(task.kept.problem);
  if (isOfThese) await studyAll(built, answer);
  tell({ news: 'all-studied' });
}

async function plan(built: BuiltProblem): Promise<PlanAnswer> {
  const { facts, earlier, found } = task;
  const prepared = prepareProblem(built.problem);
  const fixed = built.problem.purchases.flatMap(({ id, fixedMonth }) =>
    fixedMonth === undefined ? [] : [{ purchase: id, month: fixedMonth }],
  );
  tell({ news: 'looking', bare: gainsOf(prepared, fixed) });
  let best: PlanAnswer = found ?? { status: 'undecided', rounds: 0 };
  if (found === null) {
    const better = (answer: PlanAnswer): void => {
      best = answer;
      const points = 'buys' in answer ? (gainsOf(prepared, answer.buys)?.points ?? null) : null;
      tell({ news: 'better', answer, points });
    };
    const stop = () => isOver(PLAN_OVER, 0);
    const start = earlier?.buys.filter(({ month }) => month >= 0) ?? [];
    for await (const answer of improvePlan(built.problem, { start, exact: 'full', stop, report: better }))
      better(answer);
  }
  if (!('buys' in best)) {
    tell({ news: 'done', problem: built.problem, answer: best, roadmap: null, sinceLast: null });
    return best;
  }
  const urgent = new Set(facts.upgrades.filter((one) => coolsAtOnce(one.proposalKey)).map((one) => one.id));
  best = { ...best, buys: freeAtOnce(built.problem, best.buys, urgent) };
  tell({ news: 'drawing' });
  const { answer, sinceLast } = calm(built, best);
  const roadmap = drawRoadmap(facts, built, answer.buys);
  tell({ news: 'done', problem: built.problem, answer, roadmap, sinceLast });
  return answer;
}

function gainsOf(prepared: PreparedProblem, buys: readonly Buy[]): Gains | null {
  const evaluation = evaluatePrepared(prepared, buys);
  if (evaluation.status !== 'feasible') return null;
  return { severe: evaluation.severe, points: pointsOf(prepared.problem, evaluation) };
}

// A plan is looked at every month; one that is turned over for a trifle is followed by nobody.
function calm(built: BuiltProblem, best: FoundAnswer): { answer: FoundAnswer; sinceLast: SinceLast | null } {
  const { earlier } = task;
  if (earlier === null) return { answer: best, sinceLast: null };
  const { threshold } = earlier;
  // What was bought, fitted or refused since is no change of the plan, but what the plan was for.
  const wanted = new Map(built.upgrades.filter((one) => one.status === 'wanted').map((one) => [one.id, one.name]));
  const before = earlier.buys.filter((one) => wanted.has(one.purchase));
  const { buys, objective, changes, held } = calmPlan(built.problem, before, best, threshold);
  const named = <Change extends { purchase: string }>(all: readonly Change[]) =>
    all.flatMap((one) => {
      const name = wanted.get(one.purchase);
      return name === undefined ? [] : [{ ...one, name }];
    });
  return {
    answer: carryProof(best, buys, objective),
    sinceLast: { planId: earlier.planId, threshold, best, changes: named(changes), held: named(held) },
  };
}

async function studyAll(built: BuiltProblem, present: FoundAnswer): Promise<void> {
  for (const [place, kind] of task.studies.entries()) {
    const stop = () => isOver(STUDIES_OVER, place);
    if (stop()) continue;
    tell({ news: 'study-begun', kind });
    const { facts, moneyAhead, moreTime, meterPrices } = task;
    const parts = { facts, moneyAhead, built, present, stop, moreTime, meterPrices };
    let study: Study<StudyKind> = { state: 'under-way', found: [] };
    tell({ news: 'study', kind, study });
    for await (const found of studyPlan(kind, parts)) {
      study = { ...study, found };
      tell({ news: 'study', kind, study });
    }
    const ended = isOver(STUDIES_OVER, ALL_STUDIES - 1) ? 'stopped' : stop() ? 'out-of-time' : 'whole';
    tell({ news: 'study', kind, study: { ...study, state: ended } });
  }
}

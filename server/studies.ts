// What is worked out about a plan once it is kept: which pieces of the domain are asked, how much search each solve gets, and how the thread
// is told that it has had its time. It runs in that thread.

import { type BuiltProblem, buildProblem, type LedgerFacts } from '../src/ledger-problem.ts';
import { bestPlan, type FoundAnswer, type PlanAnswer } from '../src/planner.ts';
import type { Buy, PlanningProblem } from '../src/problem.ts';
import { variantsOf } from '../src/robust.ts';
import type { StudyContents, StudyKind } from './db/studies.ts';

/** Places of the shared whole numbers by which the thread is told to end something: above 0 the plan is to end with what there is. */
export const PLAN_OVER = 0;
/** How many of the studies, in their order, are to end. */
export const STUDIES_OVER = 1;

/** More than there are studies: all are to end. */
export const ALL_STUDIES = 99;

/** Rounds of search for each plan made under another question; with more time there are more. */
const ROUNDS = 6;
const MORE_ROUNDS = 40;

/** What a study is made from. `stop` tells that its time is over; what is unfinished then is left out. */
export type StudyParts = {
  facts: LedgerFacts;
  built: BuiltProblem;
  present: FoundAnswer;
  stop: () => boolean;
  moreTime: boolean;
};

/** Works a study out, telling all that is known after each piece; it ends early, without the unfinished piece, when told to stop. */
export async function* studyPlan<Kind extends StudyKind>(
  kind: Kind,
  parts: StudyParts,
): AsyncGenerator<StudyContents[Kind]> {
  const found: unknown[] = [];
  for await (const piece of pieces[kind](parts)) {
    if (parts.stop()) return;
    found.push(piece);
    yield [...found] as StudyContents[Kind];
  }
}

type Pieces = { [Kind in StudyKind]: (parts: StudyParts) => AsyncIterable<StudyContents[Kind][number]> };

const pieces: Pieces = {
  async *robust(parts) {
    const { facts, present } = parts;
    for (const { name, facts: others } of variantsOf(facts)) {
      if (name === 'present') {
        yield { name, buys: present.buys, proved: present.status === 'optimal' };
        continue;
      }
      const answer = await solver(parts)(buildProblem(others).problem, present.buys);
      if ('buys' in answer) yield { name, buys: answer.buys, proved: answer.status === 'optimal' };
    }
  },
};

function solver({
  stop,
  moreTime,
}: StudyParts): (problem: PlanningProblem, start: readonly Buy[]) => Promise<PlanAnswer> {
  const rounds = moreTime ? MORE_ROUNDS : ROUNDS;
  return (problem, start) => bestPlan(problem, { start, rounds, stop });
}

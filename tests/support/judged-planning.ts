// Planning under the eyes of the referee: every answer that the planner gives or reports on its way is judged, and what it claims
// must agree with itself. A test that plans through this file cannot miss a plan that is not feasible.

import { improvePlan, type PlanOptions } from '../../src/planner.ts';
import type { PlanAnswer, PlanningProblem } from '../../src/problem.ts';
import { better, judgeBuys, type Verdict } from './referee.ts';

/** An answer that is a plan. */
export type Plan = Extract<PlanAnswer, { buys: unknown[] }>;

/** The last answer, and every answer in the order given or reported. */
export type JudgedPlanning = { last: PlanAnswer; answers: PlanAnswer[] };

/** The referee's own figures of a plan; throws when it is not feasible or its figures are not the plan's. */
export function refereed(problem: PlanningProblem, plan: Plan): Extract<Verdict, { feasible: true }> {
  const verdict = judgeBuys(problem, plan.buys);
  if (!verdict.feasible) throw new Error(`the plan breaks the rule '${verdict.because}': ${JSON.stringify(plan.buys)}`);
  const close = (a: number, b: number) => Math.abs(a - b) <= 5e-7;
  const equal =
    plan.severe === verdict.severe &&
    plan.spend === verdict.spend &&
    close(plan.weighted, verdict.weighted) &&
    close(plan.mean, verdict.mean);
  if (!equal) throw new Error(`the plan claims ${figuresOf(plan)} and has ${figuresOf(verdict)}`);
  return verdict;
}

const figuresOf = ({
  severe,
  weighted,
  mean,
  spend,
}: Omit<Plan, 'status' | 'buys'> | Extract<Verdict, { feasible: true }>) =>
  `${severe} severe, ${weighted} weighted, ${mean} mean, ${spend} spent`;

/** Plans to the end, judging every answer on the way. */
export async function planJudged(problem: PlanningProblem, options: PlanOptions = {}): Promise<JudgedPlanning> {
  const answers: PlanAnswer[] = [];
  const judge = makeJudge(problem);
  const hear = (answer: PlanAnswer): void => {
    judge(answer);
    answers.push(answer);
    options.report?.(answer);
  };
  let last: PlanAnswer | null = null;
  for await (const answer of improvePlan(problem, { ...options, report: hear })) {
    judge(answer);
    answers.push(answer);
    last = answer;
  }
  if (last === null) throw new Error('the planner gave no answer at all');
  return { last, answers };
}

/** A judge of one planning's answers: throws at the first that is wrong by itself or worse than one before. */
export function makeJudge(problem: PlanningProblem): (answer: PlanAnswer) => void {
  const judged = new Set<string>();
  const told: Plan[] = [];
  let before: Plan | null = null;
  return (answer) => {
    if (!('buys' in answer)) {
      if (before !== null) throw new Error(`a plan was given, and then '${answer.status}'`);
      return;
    }
    const { severe, weighted, severeBound, weightedBound, status } = answer;
    const key = JSON.stringify([answer.buys, severe, weighted, answer.mean, answer.spend]);
    if (!judged.has(key)) refereed(problem, answer);
    judged.add(key);
    if (before !== null && better(before, answer)) throw new Error('a later answer is worse than one before');
    if (severeBound !== null && severeBound > severe + 1e-9) throw new Error('the severe bound is above the plan');
    if (weightedBound !== null && weightedBound < weighted * (1 - 1e-9)) throw new Error('the points pass their bound');
    const closed = severeBound === severe && weightedBound !== null && weightedBound <= weighted * (1 + 1e-6) + 1e-9;
    if (status === 'optimal' && !closed) throw new Error('a plan is called optimal whose bounds are not met');
    if (status === 'within-bound' && (severeBound === null || weightedBound === null)) {
      throw new Error('a plan is called within its bounds that has none');
    }
    for (const earlier of told) {
      if (earlier.severeBound !== null && severe < earlier.severeBound - 1e-9) {
        throw new Error(`a plan has ${severe} severe needs after a bound of ${earlier.severeBound} was told`);
      }
      if (earlier.weightedBound === null || severe > earlier.severe) continue;
      if (weighted > earlier.weightedBound * (1 + 1e-6) + 1e-9) {
        throw new Error(`a plan has ${weighted} points after a bound of ${earlier.weightedBound} was told`);
      }
    }
    told.push(answer);
    before = answer;
  };
}

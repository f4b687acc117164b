// Whole proofs of problems that are too large to be proved at once, so that they go by columns, narrowing and splitting: what is claimed
// on the way and at the end against a second program that is written from the definition alone.

import { expect, test, vi } from 'vitest';
import { firstBrokenRule, measureSchedule, prepareProblem } from '../../src/evaluate.ts';
import type { PlanAnswer, PlanningProblem } from '../../src/problem.ts';
import { wholePlanSize } from '../../src/program.ts';
import { proveBest } from '../../src/proof.ts';
import { makeStanding } from '../../src/standing.ts';
import twoAnimals from '../cases/plan/two-animals-six-months.json' with { type: 'json' };
import { bestByExactProgram } from '../support/exact-program.ts';
import { type JudgedPlanning, makeJudge, planJudged, refereed } from '../support/judged-planning.ts';
import { randomProblem } from '../support/random-problem.ts';
import { better } from '../support/referee.ts';

vi.setConfig({ testTimeout: 240_000 });

type Figures = { severe: number; weighted: number; mean: number; spend: number };

/** Fails when any answer claims more than the best plan allows, or the last one claims less than it should. */
function expectProofOf(best: Figures, problem: PlanningProblem, { last, answers }: JudgedPlanning, name: string): void {
  for (const answer of answers) {
    if (!('buys' in answer)) throw new Error(`${name}: ${answer.status}`);
    const { severe, severeBound, weightedBound } = answer;
    if (severeBound !== null) expect(severeBound, name).toBeLessThanOrEqual(best.severe);
    // The best plan is among those with as few severe needs as any other.
    if (weightedBound !== null && severe >= best.severe) {
      expect(weightedBound, name).toBeGreaterThanOrEqual(best.weighted * (1 - 1e-6));
    }
  }
  if (last.status !== 'optimal') throw new Error(`${name}: ${last.status}`);
  const verdict = refereed(problem, last);
  expect(better(best, verdict), name).toBe(false);
  expect(better(verdict, best), name).toBe(false);
}

test('problems of 10 purchases and 9 months are proved to be what the second program finds', async () => {
  let proved = 0;
  let bounded = 0;
  for (let seed = 9301; seed <= 9312; seed++) {
    const problem = randomProblem(seed, 10, 9);
    const best = await bestByExactProgram(problem);
    if (best === null) continue;
    // Up to this size a proof is made at once.
    if (wholePlanSize(prepareProblem(problem)) <= 60) continue;
    const planning = await planJudged(problem, { exact: 'full' });
    expectProofOf(best, problem, planning, `seed ${seed}`);
    bounded += planning.answers.filter((one) => 'buys' in one && one.weightedBound !== null).length;
    proved++;
  }
  expect(proved).toBeGreaterThanOrEqual(6);
  expect(bounded).toBeGreaterThan(proved);
});

test('a proof that begins with the worst plan there is claims nothing that the second program passes, and ends with its plan', async () => {
  let ended = 0;
  let bettered = 0;
  for (let seed = 9401; seed <= 9416; seed++) {
    const problem = randomProblem(seed, 9, 8);
    const prepared = prepareProblem(problem);
    const size = wholePlanSize(prepared);
    const bought = prepared.fixedMonth.slice();
    const best = await bestByExactProgram(problem);
    if (best === null || size <= 60 || firstBrokenRule(prepared, bought) !== null) continue;
    const standing = makeStanding(prepared);
    standing.offer({ bought, objective: measureSchedule(prepared, bought).sums });
    const judge = makeJudge(problem);
    const answers: PlanAnswer[] = [];
    const report = () => {
      const answer = standing.answer(0);
      judge(answer);
      answers.push(answer);
    };
    const parts = { prepared, standing, thorough: true, size, adopt: () => undefined, during: () => false, report };
    for await (const _ of proveBest(parts)) report();
    report();
    expectProofOf(best, problem, { last: answers.at(-1)!, answers }, `seed ${seed}`);
    ended++;
    if (answers.some((one) => 'buys' in one && one.weightedBound !== null && one.weighted < best.weighted * 0.999)) {
      bettered++;
    }
  }
  expect(ended).toBeGreaterThanOrEqual(5);
  expect(bettered).toBeGreaterThanOrEqual(1);
});

test('two animals over six months are proved to be what the second program finds', async () => {
  const problem = twoAnimals as unknown as PlanningProblem;
  // Found once by the second program, which takes half a minute.
  const best = { severe: 9, weighted: 3310, mean: 1230.835294, spend: 23296 };
  for (const seed of [1, 2]) {
    expectProofOf(best, problem, await planJudged(problem, { exact: 'full', seed }), `seed ${seed}`);
  }
});

test('the same problem, seed and rounds give the same answers when columns and engines take part', async () => {
  const problem = twoAnimals as unknown as PlanningProblem;
  const told = async () => (await planJudged(problem, { exact: 'full', seed: 3, rounds: 6 })).answers;
  const first = await told();
  expect(first.some((answer) => 'buys' in answer && answer.weightedBound !== null)).toBe(true);
  expect(await told()).toEqual(first);
});

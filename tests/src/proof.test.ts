// Whole proofs of problems that are too large to be proved at once, so that they go by columns, narrowing and splitting: what is claimed
// on the way and at the end against a second program that is written from the definition alone.

import { expect, test, vi } from 'vitest';
import { firstBrokenRule, measureSchedule, prepareProblem } from '../../src/evaluate.ts';
import type { NeedState, PlanAnswer, PlanningProblem, Purchase } from '../../src/problem.ts';
import { wholePlanSize } from '../../src/program.ts';
import { proveBest } from '../../src/proof.ts';
import { makeStanding, type PlanStanding } from '../../src/standing.ts';
import twoAnimals from '../cases/plan/two-animals-six-months.json' with { type: 'json' };
import { bestByExactProgram } from '../support/exact-program.ts';
import { seedsFrom } from '../support/hostile.ts';
import { type JudgedPlanning, makeJudge, planJudged, refereed } from '../support/judged-planning.ts';
import { randomProblem } from '../support/random-problem.ts';
import { better, everySchedule, judge, type Verdict } from '../support/referee.ts';

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
  // Twice as many and more by `npm run fuzz -- --only proof`.
  for (const seed of seedsFrom(9301, 6)) {
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
  expect(proved).toBeGreaterThanOrEqual(3);
  expect(bounded).toBeGreaterThan(proved);
});

test('a proof that begins with the worst plan there is claims nothing that the second program passes, and ends with its plan', async () => {
  let ended = 0;
  let bettered = 0;
  for (const seed of seedsFrom(9401, 8)) {
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
  expect(ended).toBeGreaterThanOrEqual(2);
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

type Tried = { bought: Int32Array; verdict: Extract<Verdict, { feasible: true }> };

/** Every feasible schedule, by the referee. */
function tryAll(problem: PlanningProblem): Tried[] {
  const plans: Tried[] = [];
  for (const months of everySchedule(problem)) {
    const verdict = judge(problem, months);
    if (verdict.feasible) plans.push({ bought: Int32Array.from(months, (month) => month ?? -1), verdict });
  }
  return plans;
}

/**
 * The problem with much that only the mean and the money show: one need that nothing betters caps the score of each animal, and one
 * purchase has a twin that does the same for more money, so that no change of one purchase leads from the twin to it.
 */
function withTies(problem: PlanningProblem): PlanningProblem {
  const [first] = problem.purchases;
  const twin: Purchase = {
    ...first!,
    id: 'twin',
    price: first!.price + 300,
    groups: [...(first!.groups ?? []), 'twins'],
  };
  delete twin.fixedMonth;
  const alsoByTwin = (states: readonly NeedState[]): NeedState[] =>
    states.flatMap((state) => {
      if (!state.needs.includes(first!.id)) return [state];
      return [state, { ...state, needs: state.needs.map((id) => (id === first!.id ? 'twin' : id)) }];
    });
  const purchases = problem.purchases.map((one, index) => {
    const { fixedMonth: _, ...free } = one;
    return index === 0 ? { ...free, groups: [...(one.groups ?? []), 'twins'] } : one;
  });
  return {
    ...problem,
    purchases: [...purchases, twin],
    animals: problem.animals.map((animal) => ({
      ...animal,
      needs: [
        ...animal.needs.map((need) => ({ ...need, states: alsoByTwin(need.states) })),
        { need: 'quiet', weight: 5, allowance: 5, lifeCritical: false, states: [{ value: 30, needs: [] }] },
      ],
    })),
  };
}

/** The problem with a purchase that is ordered so late that it is of use only after the plan, which no columns are made for. */
function withLateOrder(problem: PlanningProblem): PlanningProblem {
  const late: Purchase = { id: 'late', price: 100, fixedMonth: problem.months - 1, lead: 1 };
  return { ...problem, purchases: [...problem.purchases, late] };
}

type Claims = { severe: number; points: number; wider: number; optimal: boolean };

/** A standing that fails at the first claim that one of all plans passes, and counts what was claimed. */
function heldTo(plans: readonly Tried[], standing: PlanStanding, claims: Claims, name: string): PlanStanding {
  const fewest = Math.min(...plans.map(({ verdict }) => verdict.severe));
  return {
    ...standing,
    proveSevere(bound) {
      expect(bound, `${name}: fewest severe needs`).toBeLessThanOrEqual(fewest + 1e-5);
      claims.severe++;
      standing.proveSevere(bound);
    },
    proveWeighted(severe, bound) {
      const within = plans.filter(({ verdict }) => verdict.severe <= severe + 1e-9);
      const most = Math.max(...within.map(({ verdict }) => verdict.weighted));
      expect(bound, `${name}: points with at most ${severe} severe`).toBeGreaterThanOrEqual(most * (1 - 3e-6) - 1e-6);
      claims.points++;
      // Where more severe needs give more points, a bound told for too many of them would be passed.
      if (plans.some(({ verdict }) => verdict.severe > severe && verdict.weighted > bound)) claims.wider++;
      standing.proveWeighted(severe, bound);
    },
    proveOptimal() {
      const best = plans.find(({ bought }) =>
        bought.every((month, k) => month === standing.best()!.bought[k]),
      )!.verdict;
      const passing = plans.find(({ verdict }) => better(verdict, best));
      expect(passing?.verdict ?? best, `${name}: called best`).toBe(best);
      claims.optimal = true;
      standing.proveOptimal();
    },
  };
}

/** The plan that comes last of all that reach as many of the best plan's figures, in their order; null when these are all alike. */
function worstTied(plans: readonly Tried[], figures: number): Tried | null {
  const best = plans.reduce((a, b) => (better(b.verdict, a.verdict) ? b : a));
  const keys = (['severe', 'weighted', 'mean'] as const).slice(0, figures);
  const tied = plans.filter(({ verdict }) => {
    const levelled = { ...verdict };
    for (const key of ['severe', 'weighted', 'mean', 'spend'] as const) {
      if (!keys.includes(key as 'mean')) levelled[key] = best.verdict[key];
    }
    return !better(best.verdict, levelled) && !better(levelled, best.verdict);
  });
  const worst = tied.reduce((a, b) => (better(a.verdict, b.verdict) ? b : a));
  return better(best.verdict, worst.verdict) ? worst : null;
}

/** Proves from a plan and fails at the first wrong claim. `size` decides by which way; `stopAt`: the call at which an engine is stopped. */
async function proveHeld(tried: readonly Tried[], problem: PlanningProblem, start: Tried, size: number, stopAt = -1) {
  const prepared = prepareProblem(problem);
  const claims: Claims = { severe: 0, points: 0, wider: 0, optimal: false };
  const name = `from ${JSON.stringify(Array.from(start.bought))}, size ${size}, stopped at ${stopAt}`;
  const standing = heldTo(tried, makeStanding(prepared), claims, name);
  standing.offer({ bought: start.bought, objective: measureSchedule(prepared, start.bought).sums });
  let calls = 0;
  const during = () => calls++ === stopAt;
  const nothing = () => undefined;
  const parts = { prepared, standing, thorough: true, size, adopt: nothing, during, report: nothing };
  let pieces = 0;
  for await (const _ of proveBest(parts)) {
    expect(standing.isOptimal(), name).toBe(claims.optimal);
    // Splitting need not come to an end.
    if (++pieces > 40) break;
  }
  const isStopped = pieces > 40 || (stopAt >= 0 && calls > stopAt);
  if (size <= 1000) expect(pieces, name).toBeLessThanOrEqual(40);
  if (!isStopped) {
    expect(standing.severeIsProved(), name).toBe(true);
    expect(claims.severe, name).toBeGreaterThan(0);
    expect(claims.points, name).toBeGreaterThan(0);
    // Splitting may end with the points, and then says nothing of the mean and the money.
    if (size <= 1000) expect(claims.optimal, name).toBe(true);
  }
  return { claims, isStopped };
}

test('from a plan worse in any one figure, at once, by narrowing or by splitting first, a proof claims what holds for every schedule', async () => {
  const decided = [0, 0, 0, 0];
  let [wider, splitOptimal, stopped] = [0, 0, 0];
  for (let seed = 9501; seed <= 9512; seed++) {
    const problem = withTies(randomProblem(seed, 3, 4));
    const plans = tryAll(problem);
    if (plans.length < 3) continue;
    for (const figures of [0, 1, 2, 3]) {
      const start = worstTied(plans, figures);
      if (start === null) continue;
      decided[figures]!++;
      await proveHeld(plans, problem, start, 20);
      wider += (await proveHeld(plans, problem, start, 300)).claims.wider;
      if ((await proveHeld(plans, problem, start, 2000)).claims.optimal) splitOptimal++;
      if (figures === 0 && (await proveHeld(plans, problem, start, 20, 0)).isStopped) stopped++;
    }
  }
  for (const count of decided) expect(count).toBeGreaterThan(5);
  expect(splitOptimal).toBeGreaterThan(10);
  expect(wider).toBeGreaterThan(0);
  expect(stopped).toBeGreaterThan(2);
});

test('without columns, too, a proof claims what holds for every schedule', async () => {
  let proved = 0;
  for (let seed = 9521; seed <= 9526; seed++) {
    const problem = withLateOrder(withTies(randomProblem(seed, 3, 4)));
    const plans = tryAll(problem);
    const start = plans.length < 3 ? null : worstTied(plans, 0);
    if (start === null) continue;
    await proveHeld(plans, problem, start, 300);
    proved++;
  }
  expect(proved).toBeGreaterThan(2);
});

const alone = (id: string, needs: PlanningProblem['animals'][number]['needs']) => ({ id, needs });

// Each was made by hand so that one step of a proof decides; what is best in it is still found by trying every schedule.
const decisive: { what: string; problem: PlanningProblem; best: Figures }[] = [
  {
    what: 'one severe month more would give far more points',
    problem: {
      months: 3,
      creditMonths: 0,
      income: [100, 100, 100],
      purchases: [{ id: 'door', price: 100 }],
      animals: [
        alone('x', [
          {
            need: 'heat',
            weight: 1,
            allowance: 100,
            lifeCritical: true,
            states: [
              { value: 50, needs: [], blockedBy: ['door'] },
              { value: 10, needs: [] },
            ],
          },
          {
            need: 'space',
            weight: 9,
            allowance: 100,
            lifeCritical: false,
            states: [
              { value: 20, needs: [] },
              { value: 100, needs: ['door'] },
            ],
          },
        ]),
      ],
    },
    best: { severe: 0, weighted: 207, mean: 69, spend: 0 },
  },
  {
    what: 'the money falls just short of the second lamp',
    problem: {
      months: 3,
      creditMonths: 9,
      income: [3999, 3999, 3999],
      purchases: ['a', 'b'].map((id) => ({ id, price: 6000 })),
      animals: ['a', 'b'].map((id) =>
        alone(id, [
          {
            need: 'light',
            weight: 1,
            allowance: 30,
            lifeCritical: true,
            states: [
              { value: 10, needs: [] },
              { value: 40, needs: [id] },
            ],
          },
        ]),
      ),
    },
    // Severe: 2, then 1, then ten times 1. Mean: 20, then 50, then ten times 50; all of it below 40, so three times the points.
    best: { severe: 13, weighted: 1710, mean: 570, spend: 6000 },
  },
  {
    what: 'the best plan holds what is half-way good for half the money',
    problem: {
      months: 1,
      creditMonths: 0,
      income: [100],
      purchases: [
        { id: 'small', price: 50, groups: ['enclosure'] },
        { id: 'large', price: 100, groups: ['enclosure'] },
        { id: 'lamp', price: 50 },
      ],
      animals: [
        alone('x', [
          {
            need: 'space',
            weight: 1,
            allowance: 0,
            lifeCritical: false,
            states: [
              { value: 24, needs: ['small'] },
              { value: 60, needs: ['large'] },
            ],
          },
          {
            need: 'hides',
            weight: 4,
            allowance: 100,
            lifeCritical: false,
            states: [
              { value: 24, needs: ['small'] },
              { value: 100, needs: ['large'] },
            ],
          },
        ]),
        alone('y', [
          { need: 'light', weight: 1, allowance: 0, lifeCritical: false, states: [{ value: 58, needs: ['lamp'] }] },
        ]),
      ],
      priority: [1, 1, 1],
    },
    // The large enclosure has 60 points and a mean of 92; the lamp with the small one has 58 + 24 points and as much mean.
    best: { severe: 0, weighted: 82, mean: 82, spend: 100 },
  },
];

test.each(decisive)('a proof claims what holds for every schedule where $what', async ({ problem, best }) => {
  const { purchases } = problem;
  for (const one of [problem, withLateOrder({ ...problem, income: problem.income.map((income) => income + 100) })]) {
    const plans = tryAll(one);
    const reached = plans.reduce((a, b) => (better(b.verdict, a.verdict) ? b : a));
    if (one.purchases.length === purchases.length) expect(reached.verdict).toMatchObject(best);
    for (const size of [20, 300, 2000]) {
      for (const start of [worstTied(plans, 0)!, reached]) await proveHeld(plans, one, start, size);
    }
  }
});

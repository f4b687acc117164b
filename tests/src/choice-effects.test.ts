// Other value choices against the figures of the worked example, and against every schedule of small problems tried by the referee.

import { describe, expect, test, vi } from 'vitest';
import {
  alternativesTo,
  type ChoiceEffect,
  choiceEffects,
  DEFAULT_CREDIT_MONTHS,
  effectOf,
  monthsAhead,
  type PlanEffect,
} from '../../src/choice-effects.ts';
import { buildProblem, type LedgerFacts } from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import { bestPlan } from '../../src/planner.ts';
import type { Buy, FoundAnswer, PlanningProblem } from '../../src/problem.ts';
import { rankOrderCentroid } from '../../src/robust.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { NEEDS } from '../../src/species.ts';
import type { Solve } from '../../src/what-if.ts';
import workedExample from '../cases/plan/worked-example.json' with { type: 'json' };
import { boxUpgrade, fitUpgrade, makeAnimal, makeEnclosure, makeFacts, makeThing, monthly } from '../support/make.ts';
import { randomProblem } from '../support/random-problem.ts';
import { bestByTryingAll, better, everySchedule, judge, judgeBuys, type Verdict } from '../support/referee.ts';

vi.setConfig({ testTimeout: 240_000 });

const solve: Solve = (problem, start) => bestPlan(problem, { start, rounds: 20, exact: 'full' });

async function planOf(problem: PlanningProblem): Promise<FoundAnswer | null> {
  const answer = await solve(problem, []);
  if (answer.status === 'infeasible') return null;
  if (answer.status !== 'optimal') throw new Error(`not proved: ${answer.status}`);
  return answer;
}

async function planned(problem: PlanningProblem, changed: PlanningProblem): Promise<PlanEffect> {
  const effect = await effectOf(problem, (await planOf(problem))!, changed, solve);
  if (effect.status !== 'planned') throw new Error(effect.status);
  return effect;
}

/** Tries every schedule: exact for small problems, and nothing that the planner is made of. */
const tryAll = async (problem: PlanningProblem): ReturnType<Solve> => {
  let best: { months: (number | null)[]; verdict: Good } | null = null;
  for (const months of everySchedule(problem)) {
    const verdict = judge(problem, months);
    if (verdict.feasible && (best === null || better(verdict, best.verdict))) best = { months: [...months], verdict };
  }
  if (best === null) return { status: 'infeasible', shortMonth: 0, shortBy: 0, rounds: 0 };
  const { months, verdict } = best;
  const { severe, weighted, mean, spend } = verdict;
  const buys = problem.purchases.flatMap(({ id, ownedSince }, index) => {
    const month = months[index] ?? null;
    return month === null || ownedSince !== undefined ? [] : [{ purchase: id, month }];
  });
  const bounds = { severeBound: severe, weightedBound: weighted };
  return { status: 'optimal', buys, severe, weighted, mean, spend, ...bounds, rounds: 0 };
};

async function bestOfAll(problem: PlanningProblem): Promise<FoundAnswer | null> {
  const answer = await tryAll(problem);
  return 'buys' in answer ? answer : null;
}

type Good = Extract<Verdict, { feasible: true }>;

function good(verdict: Verdict): Good {
  if (!verdict.feasible) throw new Error(`the referee finds a broken rule: ${verdict.because}`);
  return verdict;
}

function plainPoints(problem: PlanningProblem, buys: readonly Buy[]): number {
  const months = problem.purchases.map(({ id }) => buys.find((one) => one.purchase === id)?.month ?? null);
  return good(judge(problem, months, true)).weighted;
}

/** A plan's buys with the changes of an effect made in them. */
function changed(buys: readonly Buy[], { changes }: PlanEffect): Buy[] {
  const moved = new Set(changes.map((one) => one.purchase));
  const moves = changes.flatMap(({ purchase, is }) => (is === null ? [] : [{ purchase, month: is }]));
  return [...buys.filter((one) => !moved.has(one.purchase)), ...moves];
}

// Source: the scoring notes of the product, section 8 (worked by hand, by trying all 256 schedules and by an integer program).
describe('The worked example', () => {
  const example = workedExample as PlanningProblem;
  const flat: PlanningProblem = { ...example, priority: [1, 1, 1] };

  test('The price of favouring the worst off is 20 plain points: 1466 with every point alike, 1446 as planned', async () => {
    const effect = await planned(example, flat);
    expect(effect.proved).toBe(true);
    expect(effect.byPresent).toMatchObject({ severe: 0, points: 20 });
    // 3842.5 weighted points against 3852; 60 + 45 + 20 spent against 60 + 110.
    expect(effect.byPresent).toMatchObject({ weighted: -9.5, spend: -4500 });
    expect(effect.byOther).toMatchObject({ severe: 0, weighted: 20, points: 20 });
    expect(effect.changes).toEqual([
      { purchase: 'P2', was: null, is: 1 },
      { purchase: 'P3', was: 2, is: null },
      { purchase: 'P4', was: null, is: 2 },
    ]);
  });

  test('Beside a present plan that is not proved nothing is', async () => {
    const present = { ...(await planOf(example))!, status: 'best-found' as const };
    expect(await effectOf(example, present, flat, solve)).toMatchObject({ status: 'planned', proved: false });
  });

  test('Without credit the price is 1 plain point: 345.5 against 344.5', async () => {
    const effect = await planned({ ...example, creditMonths: 0 }, { ...flat, creditMonths: 0 });
    expect(effect.byPresent).toMatchObject({ severe: 0, points: 1, weighted: -2.5 });
  });

  test('Without credit the plan never saves for the enclosure, which loses 7 of the 3852 points with credit', async () => {
    const effect = await planned(example, { ...example, creditMonths: 0 });
    expect(effect.byPresent).toMatchObject({ severe: 0, weighted: -7, points: 1465 - 1446 });
    // Judged without credit: 924.5 against (169 + 122) + (169 + 122) + (169 + 158) = 909.
    expect(effect.byOther).toMatchObject({ severe: 0, weighted: 924.5 - 909 });
    expect(effect.changes.map((one) => one.purchase)).toEqual(['P4', 'P2', 'P3']);
  });

  test('What changes nothing has no changes and no difference', async () => {
    const effect = await planned(example, { ...example, priority: [6, 4, 2] });
    expect(effect.changes).toEqual([]);
    expect(effect.byPresent).toEqual({ severe: 0, weighted: 0, points: 0, spend: 0 });
    expect(effect.byOther).toEqual(effect.byPresent);
  });
});

describe('Small problems of every kind', () => {
  const others: Record<string, (problem: PlanningProblem) => PlanningProblem> = {
    flat: (problem) => ({ ...problem, priority: [1, 1, 1] }),
    credit: (problem) => ({ ...problem, creditMonths: problem.creditMonths === 0 ? 6 : 0 }),
    weights: (problem) => withNeeds(problem, (need, place) => ({ ...need, weight: [1, 9, 4][place]! })),
    allowances: (problem) => withNeeds(problem, (need) => ({ ...need, allowance: need.allowance - 25 })),
  };

  test('Each effect is the best plan by the other choice, judged by both as the referee judges', async () => {
    const applied: Record<string, number> = {};
    for (let seed = 1; seed <= 120; seed++) {
      const problem: PlanningProblem = { ...randomProblem(seed, 4, 3), priority: [5, 1, 0] };
      const present = await bestOfAll(problem);
      if (present === null) continue;
      for (const [name, change] of Object.entries(others)) {
        const at = `${name} of problem ${seed}`;
        const other = change(problem);
        const effect = await effectOf(problem, present, other, tryAll);
        if (effect.status !== 'planned') throw new Error(`${at}: ${effect.status}`);
        const buys = changed(present.buys, effect);
        expect(effect.proved, at).toBe(true);
        for (const [judging, difference] of [
          [problem, effect.byPresent],
          [other, effect.byOther],
        ] as const) {
          const [is, was] = [good(judgeBuys(judging, buys)), good(judgeBuys(judging, present.buys))];
          expect(difference!.severe, at).toBe(is.severe - was.severe);
          expect(difference!.spend, at).toBe(is.spend - was.spend);
          expect(difference!.weighted, at).toBeCloseTo(is.weighted - was.weighted, 6);
          const points = plainPoints(judging, buys) - plainPoints(judging, present.buys);
          expect(difference!.points, at).toBeCloseTo(points, 6);
        }
        const best = bestByTryingAll(other)!;
        expect(better(best, good(judgeBuys(other, buys))), at).toBe(false);
        expect(better(good(judgeBuys(problem, buys)), good(judgeBuys(problem, present.buys))), at).toBe(false);
        if (effect.changes.length > 0) applied[name] = (applied[name] ?? 0) + 1;
      }
    }
    expect(Object.keys(applied).sort()).toEqual(Object.keys(others).sort());
    for (const [name, count] of Object.entries(applied)) expect(count, name).toBeGreaterThanOrEqual(3);
  });

  test('A plan that looks less far ahead is carried on in the best way that keeps to its months', async () => {
    const applied = { same: 0, worse: 0, impossible: 0 };
    for (let seed = 1; seed <= 120; seed++) {
      const problem = randomProblem(seed, 4, 4);
      const short = shortened(problem, 2);
      const present = await bestOfAll(problem);
      if (present === null || short === null || bestByTryingAll(short) === null) continue;
      const effect = await effectOf(problem, present, short, tryAll);
      if (effect.status !== 'planned') throw new Error(`problem ${seed}: ${effect.status}`);
      const shortPlan = good(bestByTryingAll(short)!);
      // Every schedule of the long problem whose first two months are a best plan of the short one.
      let best: Good | null = null;
      for (const months of everySchedule(problem)) {
        const first = months.map((month) => (month !== null && month < 2 ? month : null));
        const verdict = judge(short, first);
        if (!verdict.feasible || better(shortPlan, verdict) || better(verdict, shortPlan)) continue;
        const whole = judge(problem, months);
        if (whole.feasible && (best === null || better(whole, best))) best = whole;
      }
      const was = good(judgeBuys(problem, present.buys));
      if (effect.byPresent === null) {
        applied.impossible++;
        continue;
      }
      const is = good(judgeBuys(problem, changed(present.buys, effect)));
      expect(effect.byPresent.weighted, `problem ${seed}`).toBeCloseTo(is.weighted - was.weighted, 6);
      expect(effect.byPresent.severe, `problem ${seed}`).toBe(is.severe - was.severe);
      // Several short plans may be as good; the one that was taken is carried on no better than the best of them all.
      expect(better(is, best!), `problem ${seed}`).toBe(false);
      const first = changed(present.buys, effect).filter((one) => one.month < 2);
      let keeping: Good | null = null;
      for (const months of everySchedule(problem)) {
        if (!keeps(problem, months, first, 2)) continue;
        const verdict = judge(problem, months);
        if (verdict.feasible && (keeping === null || better(verdict, keeping))) keeping = verdict;
      }
      expect(better(keeping!, is), `problem ${seed}`).toBe(false);
      applied[better(was, is) ? 'worse' : 'same']++;
    }
    expect(applied.same).toBeGreaterThanOrEqual(3);
    expect(applied.worse).toBeGreaterThanOrEqual(3);
  });

  test('A plan that looks further ahead is judged in the months of the present one', async () => {
    let applied = 0;
    let later = 0;
    for (let seed = 1; seed <= 120; seed++) {
      const problem = randomProblem(seed, 4, 4);
      const short = shortened(problem, 3);
      const present = short === null ? null : await bestOfAll(short);
      if (short === null || present === null || bestByTryingAll(problem) === null) continue;
      const effect = await effectOf(short, present, problem, tryAll);
      if (effect.status !== 'planned') throw new Error(`problem ${seed}: ${effect.status}`);
      expect(effect.changes.filter((one) => one.was === null && one.is === 3)).toEqual([]);
      if (effect.changes.some((one) => one.was !== null && one.is === 3)) later++;
      if (effect.byPresent === null) continue;
      const inMonths = changed(present.buys, effect).filter((one) => one.month < 3);
      const [is, was] = [good(judgeBuys(short, inMonths)), good(judgeBuys(short, present.buys))];
      expect(effect.byPresent.weighted, `problem ${seed}`).toBeCloseTo(is.weighted - was.weighted, 6);
      expect(better(is, was), `problem ${seed}`).toBe(false);
      if (better(was, is)) applied++;
    }
    expect(applied).toBeGreaterThanOrEqual(3);
    expect(later).toBeGreaterThanOrEqual(1);
  });
});

type Need = PlanningProblem['animals'][number]['needs'][number];

function withNeeds(problem: PlanningProblem, change: (need: Need, place: number) => Need): PlanningProblem {
  return { ...problem, animals: problem.animals.map((one) => ({ ...one, needs: one.needs.map(change) })) };
}

/** The first months of a problem; null when something that is fixed or begins lies after them. */
function shortened(problem: PlanningProblem, months: number): PlanningProblem | null {
  if (problem.purchases.some((one) => (one.fixedMonth ?? one.earliest ?? 0) >= months)) return null;
  const first = <T>(list: T): T => (Array.isArray(list) ? (list.slice(0, months) as T) : list);
  return {
    ...withNeeds(problem, (need) => ({
      ...need,
      offMonths: need.offMonths?.filter((month) => month < months),
      states: need.states.map((state) => ({ ...state, value: first(state.value) })),
    })),
    months,
    income: first(problem.income),
    committed: first(problem.committed),
    reserve: first(problem.reserve),
  };
}

/** Whether a schedule buys in the first months exactly these. */
function keeps(
  problem: PlanningProblem,
  months: readonly (number | null)[],
  first: readonly Buy[],
  until: number,
): boolean {
  return problem.purchases.every(({ id }, index) => {
    const month = months[index] ?? null;
    return (
      (month !== null && month < until ? month : null) === (first.find((one) => one.purchase === id)?.month ?? null)
    );
  });
}

/** A gecko in a small bare box that gets 5 a month, and wants a hide and a box that takes all the money of a plan. */
function bareGecko(parts: Partial<LedgerFacts> = {}): LedgerFacts {
  return makeFacts({
    months: 4,
    money: monthly(5_00, 4),
    collection: {
      enclosures: [makeEnclosure({ id: '1', lengthMm: 900, depthMm: 450, heightMm: 400, top: 'closed' })],
      animals: [makeAnimal('leopard-gecko', { id: '1', lengthMm: 300 })],
    },
    upgrades: [
      fitUpgrade('1', makeThing('hide', { place: 'warm' }), { priceHigh: money(4_00) }),
      boxUpgrade('2', [150, 75, 60], { priceHigh: money(20_00) }),
    ],
    ...parts,
  });
}

describe('What is tried', () => {
  const named = (facts: LedgerFacts, reach = 36) =>
    alternativesTo(facts, monthly(5_00, reach)).map(({ other }) => `${other.choice} ${other.alternative}`);

  test('A ledger with the defaults has no default to go back to', () => {
    expect(named(bareGecko({ months: 12 }))).toEqual([
      'priority flat',
      'weights equal',
      'weights rank-order',
      'allowances looser',
      'allowances tighter',
      'credit none',
      'credit longer',
      'horizon shorter',
      'horizon longer',
    ]);
  });

  test('A choice of the keeper has the default as an alternative, and none that comes to the same', () => {
    const weights = { ...DEFAULT_CHOICES.weights, uv: 40 };
    const choices = { ...DEFAULT_CHOICES, weights, priority: [2, 2, 2] as const };
    expect(named(bareGecko({ choices, months: 12, creditMonths: 0 }))).toEqual([
      'priority default',
      'weights equal',
      'weights rank-order',
      'weights default',
      'allowances looser',
      'allowances tighter',
      'credit longer',
      'credit default',
      'horizon shorter',
      'horizon longer',
    ]);
    const equal = Object.fromEntries(NEEDS.map((need) => [need, 5])) as typeof weights;
    expect(named(bareGecko({ choices: { ...choices, weights: equal } })).slice(1, 3)).toEqual([
      'weights default',
      'allowances looser',
    ]);
    expect(named(bareGecko({ months: 24 })).filter((one) => one.startsWith('horizon'))).toEqual([
      'horizon shorter',
      'horizon longer',
    ]);
    expect(named(bareGecko({ months: 36 })).slice(-2)).toEqual(['horizon shorter', 'horizon default']);
    expect(named(bareGecko({ months: 1, creditMonths: 9 }), 1).filter((one) => one.startsWith('horizon'))).toEqual([]);
  });

  test('The money that must be known reaches as far as the longest alternative, and no further than a plan may look', () => {
    for (const months of [1, 2, 6, 7, 12, 23, 24, 30, 36]) {
      const facts = bareGecko({ months });
      const tried = (reach: number) =>
        alternativesTo(facts, monthly(5_00, reach)).flatMap(({ other }) =>
          other.choice === 'horizon' ? [other.months] : [],
        );
      const ahead = monthsAhead(months);
      expect(tried(ahead)).toEqual(tried(100));
      expect(Math.max(...tried(100), months)).toBe(ahead);
      expect(ahead).toBeLessThanOrEqual(36);
      expect(tried(ahead - 1)).not.toContain(ahead);
    }
  });

  test('Each alternative changes its own choice alone, and as it says', () => {
    const facts = bareGecko();
    const tried = alternativesTo(facts, monthly(5_00, 36));
    const changedIn = (one: LedgerFacts): string[] => [
      ...(['weights', 'allowances', 'priority'] as const).filter((key) => one.choices[key] !== facts.choices[key]),
      ...(one.creditMonths === facts.creditMonths ? [] : ['credit']),
      ...(one.months === facts.months ? [] : ['horizon']),
    ];
    for (const { other, facts: one } of tried) expect(changedIn(one)).toEqual([other.choice]);
    const of = (choice: string, alternative: string) =>
      tried.find(({ other }) => other.choice === choice && other.alternative === alternative)!.facts;
    expect(new Set(Object.values(of('weights', 'equal').choices.weights)).size).toBe(1);
    const ranked = Object.values(of('weights', 'rank-order').choices.weights).sort((a, b) => b - a);
    expect(ranked).toEqual(rankOrderCentroid(8).map((share) => 100 * share));
    expect(of('allowances', 'looser').choices.allowances).toMatchObject({ safety: 50, space: 70, enrichment: 90 });
    expect(of('allowances', 'tighter').choices.allowances).toMatchObject({ safety: 10, space: 30, enrichment: 50 });
    expect(of('priority', 'flat').choices.priority).toEqual([1, 1, 1]);
    expect(of('credit', 'longer').creditMonths).toBe(2 * DEFAULT_CREDIT_MONTHS);
    for (const months of [2, 6, 12]) {
      const found = tried.find(({ other }) => other.choice === 'horizon' && other.months === months)!.facts;
      expect([found.months, found.money.income.length, found.money.committed.length]).toEqual([months, months, months]);
    }
  });
});

describe('The effects of a ledger', () => {
  async function effectsOf(facts: LedgerFacts, solveWith = tryAll, ahead = monthly(5_00, 36)): Promise<ChoiceEffect[]> {
    const { problem } = buildProblem(facts);
    const list: ChoiceEffect[] = [];
    for await (const one of choiceEffects(facts, problem, (await bestOfAll(problem))!, ahead, solveWith))
      list.push(one);
    return list;
  }

  test('Each comes as soon as it is known, one solve for each and one more for a shorter plan', async () => {
    const facts = bareGecko();
    const { problem } = buildProblem(facts);
    let solves = 0;
    const counting: Solve = (other) => {
      solves++;
      return tryAll(other);
    };
    const counts: number[] = [];
    for await (const _ of choiceEffects(facts, problem, (await bestOfAll(problem))!, monthly(5_00, 36), counting))
      counts.push(solves);
    expect(counts).toEqual([1, 2, 3, 4, 5, 6, 7, 9, 10, 11]);
  });

  test('No effect gains by the present choices, and none loses by its own', async () => {
    const effects = await effectsOf(bareGecko());
    expect(effects.map((one) => one.outcome.status)).toEqual(effects.map(() => 'planned'));
    for (const { outcome, ...other } of effects) {
      const { byPresent, byOther, proved } = outcome as PlanEffect;
      expect(proved, JSON.stringify(other)).toBe(true);
      expect(byPresent!.severe > 0 || byPresent!.weighted <= 1e-6, JSON.stringify(other)).toBe(true);
      if (other.choice !== 'horizon')
        expect(byOther!.severe < 0 || byOther!.weighted >= -1e-6, JSON.stringify(other)).toBe(true);
    }
    const without = effects.find((one) => one.choice === 'credit' && one.alternative === 'none')!;
    expect((without.outcome as PlanEffect).changes).toEqual([
      { purchase: '1', was: null, is: 0 },
      { purchase: '2', was: 3, is: null },
    ]);
  });

  test('A solver that was stopped leaves the present plan standing, not proved, and no plan at all is said to be none', async () => {
    const stopped = await effectsOf(bareGecko(), async () => ({ status: 'undecided', rounds: 0 }));
    expect(stopped.length).toBeGreaterThan(5);
    for (const { outcome } of stopped) expect(outcome).toMatchObject({ status: 'planned', changes: [], proved: false });
    // Buying nothing is a plan, but no better than the present one that is at hand.
    const idle = await effectsOf(bareGecko(), async (problem) => {
      const { severe, weighted, mean, spend } = good(judgeBuys(problem, []));
      const bounds = { severeBound: null, weightedBound: null };
      return { status: 'best-found', buys: [], severe, weighted, mean, spend, ...bounds, rounds: 1 };
    });
    for (const { outcome } of idle) expect(outcome).toMatchObject({ status: 'planned', changes: [], proved: false });
    // From the sixth month on a bill of 99.00 can no longer be paid, which only a longer plan sees.
    const ahead = monthly(5_00, 36);
    const bill = { ...ahead, committed: ahead.committed.map((sum, month) => (month === 5 ? money(99_00) : sum)) };
    const longer = (effects: ChoiceEffect[]) =>
      effects.filter((one) => one.choice === 'horizon' && one.alternative !== 'shorter').map((one) => one.outcome);
    expect(longer(await effectsOf(bareGecko(), tryAll, bill))).toEqual([
      { status: 'impossible' },
      { status: 'impossible' },
    ]);
    expect(longer(await effectsOf(bareGecko(), async () => ({ status: 'undecided', rounds: 0 }), bill))).toEqual([
      { status: 'not-known' },
      { status: 'not-known' },
    ]);
  });
});

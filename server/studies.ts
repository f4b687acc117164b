// What is worked out about a plan once it is kept: which pieces of the domain are asked, how much search each solve gets, and how the thread
// is told that it has had its time. It runs in that thread.

import { choiceEffects } from '../src/choice-effects.ts';
import { type BuiltProblem, buildProblem, type LedgerFacts, type PlanMoney } from '../src/ledger-problem.ts';
import { bestPlan, isProvedInSeconds } from '../src/planner.ts';
import type { FoundAnswer } from '../src/problem.ts';
import { variantsOf } from '../src/robust.ts';
import type { Scoring } from '../src/score.ts';
import { soonestFree } from '../src/soonest.ts';
import { casesOf, type MeterPrices, unsettledReadings } from '../src/unsettled.ts';
import { objectionsTo, type Solve, usefulAmounts } from '../src/what-if.ts';
import { worthOfMeasuring } from '../src/worth-of-measuring.ts';
import type { StudyContents, StudyKind } from './db/studies.ts';

/** Places of the shared whole numbers by which the thread is told to end something: above 0 the plan is to end with what there is. */
export const PLAN_OVER = 0;
/** How many of the studies, in their order, are to end. */
export const STUDIES_OVER = 1;

/** More than there are studies: all are to end. */
export const ALL_STUDIES = 99;

/**
 * Rounds of search for each plan made under another question. There are many questions and little time, so a large problem gets few, and
 * more when more time is given; one that is proved best in seconds is so long before its rounds are over.
 */
const ROUNDS = 6;
const MORE_ROUNDS = 30;

/** How many readings are looked into: those that narrow the scores most. */
const MOST_READINGS = 8;

/** What a study is made from. `stop` tells that its time is over; what is unfinished then is left out. */
export type StudyParts = {
  facts: LedgerFacts;
  /** The money over more months than the plan has. */
  moneyAhead: PlanMoney;
  built: BuiltProblem;
  present: FoundAnswer;
  stop: () => boolean;
  moreTime: boolean;
  /** What the meter for a kind of reading costs. */
  meterPrices: MeterPrices;
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
  async *soonest({ built, present, stop }) {
    for (const { id } of built.problem.animals) yield await soonestFree(built.problem, present.buys, id, { stop });
  },
  objections: (parts) => objectionsTo(parts.built.problem, parts.present, solver(parts), pinnedOf(parts)),
  async *measuring(parts) {
    const { facts, present, meterPrices } = parts;
    for (const reading of unsettledReadings(scoringNow(facts)).slice(0, MOST_READINGS)) {
      const cases = casesOf(facts, reading);
      const bought = meterPrices[reading.kind];
      const prices = bought === undefined ? [0] : [0, bought];
      const worth = cases === null ? null : await worthOfMeasuring(cases, prices, solver(parts), present.buys);
      yield { reading, prices, worth };
    }
  },
  async *money(parts) {
    const { built, present, facts } = parts;
    const amounts = amountsToTry(facts);
    for (const kind of ['monthly', 'once'] as const) {
      for await (const step of usefulAmounts(built.problem, present, amounts[kind], kind, solver(parts)))
        yield { ...step, kind };
    }
  },
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
  choices: (parts) => choiceEffects(parts.facts, parts.built.problem, parts.present, parts.moneyAhead, solver(parts)),
};

function solver({ stop, moreTime }: StudyParts): Solve {
  return (problem, start) => {
    if (!moreTime && !isProvedInSeconds(problem))
      return bestPlan(problem, { start, rounds: ROUNDS, exact: 'none', stop });
    return bestPlan(problem, { start, rounds: MORE_ROUNDS, exact: 'full', stop });
  };
}

function scoringNow({ collection, library, choices, planDate }: LedgerFacts): Scoring {
  return { collection, library, choices, on: planDate, knownOn: planDate };
}

// What is pinned can be set free again; what is ordered is paid.
function pinnedOf({ built }: StudyParts): string[] {
  return built.upgrades.filter((one) => one.status === 'wanted').map((one) => one.id);
}

/**
 * The amounts of money to try, in minor units: steps of about a seventh of the usual monthly sum in round figures, from two less to six
 * more a month, and once from one step to twenty. Common practice, no source: our own choice.
 */
function amountsToTry({ money }: Pick<LedgerFacts, 'money'>): { monthly: number[]; once: number[] } {
  const sums = [...money.income].sort((a, b) => a - b);
  const usual = sums[Math.floor(sums.length / 2)] ?? 0;
  const step = roundFigure(Math.max(usual, money.openingCash / 12, 7) / 7);
  return {
    monthly: [-2, -1, 1, 2, 3, 4, 5, 6].map((count) => count * step),
    once: [1, 2, 3, 5, 8, 12, 20].map((count) => count * step),
  };
}

// The nearest of 1, 2 and 5 times a power of ten, at least 1.
function roundFigure(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, value)));
  return [1, 2, 5, 10].map((one) => one * power).reduce((a, b) => (Math.abs(b - value) < Math.abs(a - value) ? b : a));
}

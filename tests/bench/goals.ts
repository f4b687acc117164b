// What the planner is to reach on each case, as checks of a run: the goal beside what was measured. The figures are those that
// the project set itself before it measured; they are of this product, not of any other.

import type { Objective, PlanningProblem } from '../../src/problem.ts';
import { better, judgeBuys } from '../support/referee.ts';
import { gapOf, MARKS, type Moment, noWorse, standingAt } from './marks.ts';
import type { Standing } from './run.ts';

/** One check: what was wanted, what was measured, and whether it held. */
export type Check = { goal: string; measured: string; held: boolean };

/** Everything known of a case after its runs; a rival that did not run is null. */
export type CaseRuns = {
  name: string;
  problem: PlanningProblem;
  bestKnown: Objective | null;
  seconds: number;
  planner: Moment[];
  annealer: Moment[] | null;
  engine: Moment[] | null;
};

const percent = (share: number | null) => (share === null ? 'no bound' : `${(100 * share).toFixed(3)} %`);
const figures = (plan: Pick<Objective, 'severe' | 'weighted'> | null) =>
  plan === null ? 'no plan' : `${plan.severe} severe, ${plan.weighted.toFixed(2)}`;

/** The goals of a case that are set by its name, each with the seconds it is to be reached in. */
function ownGoals(runs: CaseRuns): { seconds: number; check: (standing: Standing | null) => Check }[] {
  const best = runs.bestKnown;
  const reach =
    (share: number) =>
    (standing: Standing | null): Check => {
      const wanted = { ...best!, weighted: best!.weighted * (1 - share) };
      const held =
        standing !== null &&
        (standing.severe < wanted.severe ||
          (standing.severe === wanted.severe && standing.weighted >= wanted.weighted * (1 - 1e-6)));
      const less = share === 0 ? '' : ` less ${100 * share} %`;
      return { goal: `at least the best known${less} (${figures(best)})`, measured: figures(standing), held };
    };
  const gap =
    (most: number) =>
    (standing: Standing | null): Check => {
      const measured = standing === null ? null : gapOf(standing);
      return {
        goal: `gap at most ${100 * most} %`,
        measured: percent(measured),
        held: measured !== null && measured <= most,
      };
    };
  const proved = (standing: Standing | null): Check => ({
    goal: 'every stage proved',
    measured: standing?.status ?? 'no plan',
    held: standing?.status === 'optimal',
  });
  const severe =
    (above: number) =>
    (standing: Standing | null): Check => {
      const bound = standing?.severeBound ?? null;
      return {
        goal: above === 0 ? 'severe proved' : `severe within ${above} of its bound`,
        measured: standing === null ? 'no plan' : `${standing.severe} with bound ${bound ?? 'none'}`,
        held: standing !== null && bound !== null && standing.severe <= bound + above,
      };
    };
  switch (runs.name) {
    case 'two-animals-six-months':
      return [
        { seconds: 1, check: reach(0) },
        { seconds: 5, check: proved },
      ];
    case 'four-animals-twelve-months':
      return [
        { seconds: 5, check: reach(0) },
        { seconds: 60, check: proved },
      ];
    case 'six-animals-twelve-months':
      return [
        { seconds: 10, check: reach(0) },
        { seconds: 30, check: gap(0.008) },
        { seconds: 60, check: gap(0.004) },
        { seconds: 60, check: severe(0) },
      ];
    case 'six-animals-two-years':
      return [
        { seconds: 10, check: reach(0) },
        { seconds: 30, check: gap(0.008) },
      ];
    case 'twelve-animals-eighteen-months':
      return [
        { seconds: 20, check: reach(0.001) },
        { seconds: 15, check: gap(0.008) },
        { seconds: 60, check: severe(1) },
      ];
    case 'twenty-four-animals-two-years':
      return [
        {
          seconds: 15,
          check: (standing) => ({
            goal: `at most ${best!.severe} severe`,
            measured: figures(standing),
            held: standing !== null && standing.severe <= best!.severe,
          }),
        },
        { seconds: 60, check: reach(0.002) },
        { seconds: 60, check: gap(0.006) },
      ];
    default:
      return [];
  }
}

/** All checks of a case: its own goals as far as the run was long enough, and those that hold for every case. */
export function checksOf(runs: CaseRuns): Check[] {
  const { problem, planner, seconds } = runs;
  const checks: Check[] = [];
  const add = (at: number, check: Check) => checks.push({ ...check, goal: `${check.goal} in ${at} s` });
  const first = planner[0];
  checks.push({
    goal: 'a complete plan in 1 s',
    measured: first === undefined ? 'none' : `${(first.at / 1000).toFixed(2)} s`,
    held: first !== undefined && first.at <= 1000,
  });
  for (const { seconds: at, check } of ownGoals(runs)) {
    const last = standingAt(planner, seconds);
    if (at <= seconds || last?.status === 'optimal') add(at, check(standingAt(planner, at)));
  }

  const marks = MARKS.filter((mark) => mark <= seconds);
  if (runs.annealer !== null) {
    const behind = marks.filter((mark) => !noWorse(standingAt(planner, mark), standingAt(runs.annealer!, mark)));
    const last = Math.max(...marks);
    checks.push({
      goal: `at no mark up to ${last} s worse than a plain annealer`,
      measured:
        behind.length > 0
          ? behind
              .map(
                (mark) =>
                  `${mark} s: ${figures(standingAt(planner, mark))}; it ${figures(standingAt(runs.annealer!, mark))}`,
              )
              .join('; ')
          : `${figures(standingAt(planner, last))}; it ${figures(standingAt(runs.annealer, last))}`,
      held: behind.length === 0,
    });
  }
  const end = standingAt(planner, seconds);
  if (runs.engine !== null) {
    const alone = runs.engine.at(-1)?.standing ?? null;
    checks.push({
      goal: `not worse than the engine alone`,
      measured: `${figures(end)}; it ${figures(alone)}`,
      held: noWorse(end, alone),
    });
  }

  const known: Objective[] = [
    ...(runs.bestKnown === null ? [] : [runs.bestKnown]),
    ...[planner, runs.annealer ?? [], runs.engine ?? []].flatMap((moments) => moments.map(({ standing }) => standing)),
  ];
  const wrong = [...planner, ...(runs.engine ?? [])].filter(({ standing }) =>
    known.some((plan) => {
      const { severe, severeBound, weightedBound } = standing;
      if (severeBound !== null && plan.severe < severeBound - 1e-6) return true;
      return weightedBound !== null && plan.severe <= severe && plan.weighted > weightedBound * (1 + 1e-6) + 1e-4;
    }),
  );
  checks.push({
    goal: `no bound on the wrong side of any of ${known.length} known plans`,
    measured: `${wrong.length} wrong`,
    held: wrong.length === 0,
  });

  const judged = [planner, runs.annealer ?? [], runs.engine ?? []].map((moments) =>
    moments.filter(({ standing }) => !isAsJudged(problem, standing)),
  );
  checks.push({
    goal: 'every plan told of is feasible with the figures told, by the referee',
    measured: `${judged.reduce((sum, list) => sum + list.length, 0)} wrong`,
    held: judged.every((list) => list.length === 0),
  });
  const useless = end === null ? [] : uselessBuys(problem, end.buys);
  checks.push({
    goal: 'no purchase that can be dropped without loss',
    measured: end === null ? 'no plan' : useless.length === 0 ? `none of ${end.buys.length}` : useless.join(', '),
    held: end !== null && useless.length === 0,
  });
  return checks;
}

function isAsJudged(problem: PlanningProblem, standing: Standing): boolean {
  const verdict = judgeBuys(problem, standing.buys);
  if (!verdict.feasible) return false;
  const close = (a: number, b: number) => Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(b));
  return (
    verdict.severe === standing.severe &&
    verdict.spend === standing.spend &&
    close(standing.weighted, verdict.weighted) &&
    close(standing.mean, verdict.mean)
  );
}

/** The purchases of a plan without which, and without what needs them, the plan is feasible and no worse. */
export function uselessBuys(problem: PlanningProblem, buys: Standing['buys']): string[] {
  const plan = judgeBuys(problem, buys);
  if (!plan.feasible) throw new Error(plan.because);
  return buys
    .map(({ purchase }) => purchase)
    .filter((dropped) => {
      let rest = buys.filter(({ purchase }) => purchase !== dropped);
      for (;;) {
        const verdict = judgeBuys(problem, rest);
        if (verdict.feasible) return !better(plan, verdict);
        if (verdict.because !== 'requires') return false;
        const kept = rest.filter((buy) => requirementsStand(problem, rest, buy));
        if (kept.length === rest.length) return false;
        rest = kept;
      }
    });
}

function requirementsStand(problem: PlanningProblem, buys: Standing['buys'], buy: Standing['buys'][number]): boolean {
  const purchaseOf = (id: string) => problem.purchases.find((one) => one.id === id)!;
  const startOf = (id: string): number => {
    const { ownedSince, lead } = purchaseOf(id);
    if (ownedSince !== undefined) return ownedSince;
    const month = buys.find(({ purchase }) => purchase === id)?.month;
    return month === undefined ? Number.POSITIVE_INFINITY : month + (lead ?? 0);
  };
  return (purchaseOf(buy.purchase).requires ?? []).every((entry) =>
    [entry].flat().some((id) => startOf(id) <= startOf(buy.purchase)),
  );
}

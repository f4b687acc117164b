// How a certificate comes about, a piece at a time: cheap bounds by columns first, then plans chosen among the columns, then whole proofs by
// an engine where the problem is small enough once everything hopeless is ruled out, and by splitting where it is not. It knows in
// which order these pay; what a bound is worth as a claim is the standing's business.

import { type Aim, type ColumnWork, startColumns } from './columns.ts';
import {
  countsSevereWhole,
  firstBrokenRule,
  measureSchedule,
  nearlyEqual,
  type PreparedProblem,
  RELATIVE_TOLERANCE,
} from './evaluate.ts';
import type { Objective } from './problem.ts';
import {
  monthsOfPoint,
  pointOfMonths,
  STAGES,
  type Stage,
  stageProgram,
  type WholePlan,
  writeWholePlan,
} from './program.ts';
import { polishPlan } from './search.ts';
import { type Outcome, type Program, solveLarge } from './solver.ts';
import type { PlanStanding } from './standing.ts';

/** What a proof works with. `during` is called while an engine works, with its simplex steps and the rows each takes; true stops it. */
export type ProofParts = {
  prepared: PreparedProblem;
  standing: PlanStanding;
  /** Whether work that may take minutes is wanted. */
  thorough: boolean;
  /** Whole variables of the whole plan. */
  size: number;
  adopt: (bought: Int32Array) => void;
  during: (simplexSteps: number, rows: number) => boolean;
  report: () => void;
};

/** Whole variables up to which every stage is proved at once, and up to which that takes a few seconds. */
export const TINY_SIZE = 60;
export const SMALL_SIZE = 260;

/** Whole variables left after narrowing up to which an engine proves the severe stage, and the others, sooner than splitting does. */
const ENGINE_SEVERE = 2600;
const ENGINE_STAGES = 800;

/** Whole variables up to which the severe needs are proved before points are looked at closely. */
export const MIDDLE_SIZE = 1100;

/** Pieces of work on the points of larger problems before their severe needs are proved; found by trial. */
const PIECES_OF_POINTS = 25;

/** Rounds of pricing and splittings in one piece of work. */
const ROUNDS_A_PIECE = 8;
const SPLITS_A_PIECE = 6;

/** Splittings for fewer severe needs on problems too large for an engine, before points are looked at; found by trial. */
const SEVERE_SPLITS = 80;

/** Simplex steps x rows that a choice among columns may take. */
const CHOICE_WORK = 12_000_000;

/** A count of severe needs is whole where the months' weights are; this much above a whole number is the next. */
const NEXT_WHOLE = 0.01;

/** Where animals count by chances, a count of severe needs is fewer from this much on. */
const LEAST_FRACTION = 1e-4;

/**
 * Proves what can be proved about the standing's best plan, a piece of work at a time; between the pieces the caller searches on. It ends
 * when all four stages are proved or when it has nothing more to try. The standing must hold a plan.
 */
export async function* proveBest(parts: ProofParts): AsyncGenerator<void> {
  const { prepared, standing, size, thorough } = parts;
  if (size <= TINY_SIZE) {
    await proveStages(parts, writeWholePlan(prepared), STAGES);
    return;
  }
  const work = await startColumns(prepared, standing.best()!.bought);
  if (work === null) {
    await boundByRelaxation(parts);
    yield;
    if (thorough || size <= SMALL_SIZE) await proveStages(parts, writeWholePlan(prepared), STAGES);
    return;
  }
  try {
    yield* boundByColumns(parts, work);
    if (!thorough && size > SMALL_SIZE) return;
    const rest = proveRest(parts, work);
    // On large problems a bound on the points is nearer than a proof of the severe needs.
    for (let piece = 0; size > MIDDLE_SIZE && piece < PIECES_OF_POINTS; piece++) {
      if ((await rest.next()).done === true) break;
      yield;
    }
    yield* proveSevere(parts);
    yield* rest;
  } finally {
    work.close();
  }
}

function aimAt(parts: ProofParts, aim: Aim['aim']): Aim {
  return aim === 'severe' ? { aim } : { aim, severeAtMost: parts.standing.best()!.objective.severe };
}

function tell({ standing, report }: ProofParts, aim: Aim, bound: number): void {
  if (aim.aim === 'severe') standing.proveSevere(bound);
  else standing.proveWeighted(aim.severeAtMost, bound);
  report();
}

async function* boundByColumns(parts: ProofParts, work: ColumnWork): AsyncGenerator<void> {
  const { standing } = parts;
  for (const aim of ['severe', 'weighted'] as const) {
    if (aim === 'severe' && standing.severeIsProved()) continue;
    // Choosing among the columns may find a better plan, whose own schedules make further columns worth while.
    for (let turn = 0; turn < 3; turn++) {
      const before = standing.best()!;
      for (let settled = false; !settled; ) {
        const now = aimAt(parts, aim);
        let bound = Number.NaN;
        for (let round = 0; round < ROUNDS_A_PIECE && !settled; round++) {
          ({ bound, settled } = work.tighten(now));
        }
        tell(parts, now, bound);
        yield;
      }
      work.learn(standing.best()!.bought);
      await chooseAmong(parts, work, aimAt(parts, aim));
      yield;
      if (standing.best() === before || (aim === 'severe' && standing.severeIsProved())) break;
    }
  }
}

async function chooseAmong(parts: ProofParts, work: ColumnWork, aim: Aim): Promise<void> {
  const { program, planOf } = work.choice(aim);
  const rows = program.rows.length;
  const outcome = await solveLarge(program, {
    during: (_, simplexSteps) => simplexSteps * rows > CHOICE_WORK || parts.during(simplexSteps, rows),
  });
  if (outcome.status === 'optimal' || outcome.status === 'within-bound') take(parts, planOf(outcome.values));
}

function take({ prepared, standing, adopt, report }: ProofParts, bought: Int32Array): void {
  if (firstBrokenRule(prepared, bought) !== null) return;
  const found = polishPlan(prepared, { bought, objective: measureSchedule(prepared, bought).sums });
  if (!standing.offer(found)) return;
  adopt(found.bought);
  report();
}

async function* proveSevere(parts: ProofParts): AsyncGenerator<void> {
  const { prepared, standing } = parts;
  if (standing.severeIsProved()) return;
  // What is ruled out for fewer severe needs is not ruled out for more points, so this work is its own.
  const work = (await startColumns(prepared, standing.best()!.bought))!;
  try {
    yield* proveSevereBy(parts, work);
  } finally {
    work.close();
  }
}

async function* proveSevereBy(parts: ProofParts, work: ColumnWork): AsyncGenerator<void> {
  const { prepared, standing } = parts;
  const aim: Aim = { aim: 'severe' };
  const leastStep = countsSevereWhole(prepared) ? 1 - NEXT_WHOLE : LEAST_FRACTION;
  const fewer = () => standing.best()!.objective.severe - leastStep;
  let splits = 0;
  while (!standing.severeIsProved()) {
    if (splits === 0) {
      // Bounds are taken anew after what is hopeless was ruled out, and more may be hopeless then.
      for (let again = true; again; ) {
        work.narrow(aim, fewer());
        let settled = false;
        while (!settled) ({ settled } = work.tighten(aim));
        again = work.narrow(aim, fewer()) > 0;
      }
      const plan = writeWholePlan(prepared, { allows: work.allows });
      if (wholeCount(plan) <= ENGINE_SEVERE) {
        const before = standing.best()!.objective.severe;
        await proveStages(parts, plan, ['severe'], before);
        if (standing.best()!.objective.severe === before) return;
        continue;
      }
    }
    if (splits++ > SEVERE_SPLITS) return;
    const { bound, open } = work.branch(aim, fewer());
    tell(parts, aim, Math.min(bound, standing.best()!.objective.severe));
    if (splits % SPLITS_A_PIECE === 0) yield;
    if (open === 0) return;
  }
}

async function* proveRest(parts: ProofParts, work: ColumnWork): AsyncGenerator<void> {
  const { prepared, standing } = parts;
  const tied = (): number => {
    const { weighted } = standing.best()!.objective;
    return weighted - 2 * RELATIVE_TOLERANCE * Math.abs(weighted);
  };
  let aim = aimAt(parts, 'weighted');
  for (let splits = 0; ; splits++) {
    if (splits === 0) {
      for (let settled = false; !settled; ) ({ settled } = work.tighten(aim));
      work.narrow(aim, tied());
      const plan = writeWholePlan(prepared, { allows: work.allows });
      if (standing.severeIsProved() && wholeCount(plan) <= ENGINE_STAGES) {
        const { severe, weighted } = standing.best()!.objective;
        await proveStages(parts, plan, STAGES.slice(1), severe, weighted);
        return;
      }
      for (let settled = false; !settled; ) ({ settled } = work.tighten(aim));
    }
    const { bound, open } = work.branch(aim, tied());
    tell(parts, aim, bound);
    if (splits % SPLITS_A_PIECE === 0) yield;
    if (open === 0) return;
    const now = aimAt(parts, 'weighted');
    if (now.aim === 'weighted' && aim.aim === 'weighted' && now.severeAtMost < aim.severeAtMost) {
      aim = now;
      splits = -1;
    }
  }
}

function wholeCount(plan: WholePlan): number {
  return plan.variables.filter((variable) => variable.whole).length;
}

async function boundByRelaxation({ prepared, standing, during, report }: ProofParts): Promise<void> {
  const plan = writeWholePlan(prepared);
  for (const stage of ['severe', 'weighted'] as const) {
    const { objective } = standing.best()!;
    const program = stageProgram(plan, stage, objective);
    const outcome = await solveLarge(
      { ...program, variables: program.variables.map((variable) => ({ ...variable, whole: false })) },
      { during: () => during(0, plan.rows.length) },
    );
    if (outcome.status !== 'optimal') continue;
    const bound = outcome.objective + plan.figures[stage].constant;
    if (stage === 'severe') standing.proveSevere(bound);
    else standing.proveWeighted(objective.severe, bound);
    report();
  }
}

/**
 * Proves stages by the engine, one after the other, as far as they go. A plan narrowed to fewer than `severeKnown` severe needs, or to at
 * least about `weightedKnown` points, proves no more than those.
 */
async function proveStages(
  parts: ProofParts,
  plan: WholePlan,
  stages: readonly Stage[],
  severeKnown = Number.POSITIVE_INFINITY,
  weightedKnown = Number.NEGATIVE_INFINITY,
): Promise<void> {
  const { standing, during, report } = parts;
  const reached = (): Objective => standing.best()!.objective;
  const tellStage = (stage: Stage, severe: number, bound: number): void => {
    const figure = bound + plan.figures[stage].constant;
    if (stage === 'severe') standing.proveSevere(Math.min(figure, severeKnown));
    else if (stage === 'weighted') standing.proveWeighted(severe, Math.max(figure, weightedKnown));
  };
  for (const stage of stages) {
    if (stage === 'severe' && standing.severeIsProved()) continue;
    const from = reached();
    const program: Program = stageProgram(plan, stage, from);
    const narrowedToFewer = stage === 'severe' && Number.isFinite(severeKnown);
    const outcome: Outcome = await solveLarge(program, {
      ...(narrowedToFewer ? {} : { start: pointOfMonths(plan, standing.best()!.bought) }),
      during: (bound, simplexSteps) => {
        if (bound !== null) tellStage(stage, from.severe, bound);
        if (during(simplexSteps, program.rows.length)) return true;
        return stage === 'severe' && standing.severeIsProved();
      },
    });
    if (narrowedToFewer && outcome.status === 'infeasible') standing.proveSevere(severeKnown);
    if (outcome.status === 'undecided' && outcome.bound !== null) tellStage(stage, from.severe, outcome.bound);
    if (outcome.status === 'optimal' || outcome.status === 'within-bound') {
      tellStage(stage, from.severe, outcome.bound);
      take(parts, monthsOfPoint(plan, outcome.values));
    }
    report();
    if (stage === 'severe') {
      if (!standing.severeIsProved()) return;
      continue;
    }
    // A stage counts as proved only when the best plan reaches the engine's own optimum of that stage.
    if (outcome.status !== 'optimal') return;
    const figure = outcome.objective + plan.figures[stage].constant;
    const own = reached()[stage];
    const equal = stage === 'spend' ? Math.abs(own - figure) < 0.5 : nearlyEqual(own, figure);
    const better = stage === 'spend' ? own < figure : own > figure;
    if (!equal && !better) return;
  }
  if (stages.at(-1) === 'spend') standing.proveOptimal();
}

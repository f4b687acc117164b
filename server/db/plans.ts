// Plans as rows, each complete in itself: the frozen problem, the answer and the roadmap as it was drawn. Rows are only ever added. The
// only file that knows how they are stored.

import { desc, eq, sql } from 'drizzle-orm';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import type { Currency } from '../../src/money.ts';
import type { HeldChange, ReasonedChange } from '../../src/plan-changes.ts';
import type { FoundAnswer, PlanAnswer, PlanningProblem } from '../../src/problem.ts';
import type { Roadmap } from '../../src/roadmap.ts';
import { recordEvent } from './events.ts';
import type { Session } from './open.ts';
import { planFacts, plans } from './schema.ts';
import { rowsAsBefore, whileUnchanged } from './unchanged.ts';

/** A roadmap with the currency its amounts are in, which a later change of the ledger's currency leaves alone. */
export type KeptRoadmap = Roadmap & { currency: Currency };

/**
 * How a plan follows from the one before it: the best that was found, how much a change had to gain (weighted points x months), what was
 * changed and what was left, each purchase by the name it had then. Months are those of the new plan, from 0; below 0 they had passed.
 */
export type SinceLast = {
  planId: string;
  threshold: number;
  best: FoundAnswer;
  changes: (ReasonedChange & { name: string })[];
  held: (HeldChange & { name: string })[];
};

/**
 * A plan as it was made. `roadmap` is null when there is no plan that the money allows; `ledgerVersion` tells from which facts;
 * `sinceLast` is null for a first plan and for one that was made afresh.
 */
export type PlanFacts = {
  madeOn: PlainDate;
  firstMonth: PlainMonth;
  problem: PlanningProblem;
  answer: PlanAnswer;
  roadmap: KeptRoadmap | null;
  ledgerVersion: number;
  sinceLast: SinceLast | null;
};
export type PlanRecord = PlanFacts & { id: string };

/** One line of the list of plans; `isPayable` where there is a roadmap that the money allows. */
export type PlanLine = { id: string; madeOn: PlainDate; firstMonth: PlainMonth; isPayable: boolean };

/** Keeps a plan and writes down that it was made; returns its id. */
export function savePlan(session: Session, plan: PlanFacts): string {
  const { problem, answer, roadmap, sinceLast, ...rest } = plan;
  const { lastInsertRowid } = session
    .insert(plans)
    .values({
      ...rest,
      problem: JSON.stringify(problem),
      answer: JSON.stringify(answer),
      roadmap: JSON.stringify(roadmap),
      sinceLast: sinceLast === null ? null : JSON.stringify(sinceLast),
    })
    .run();
  recordEvent(session, { happenedOn: plan.madeOn, what: 'plan-made', upgradeId: null, amount: null, note: '' });
  return String(lastInsertRowid);
}

/**
 * Keeps the facts that a plan was made from, so that what becomes of its months can be held against them. Of the care library only the
 * species that live there are kept.
 */
export function keepFacts(session: Session, planId: string, facts: LedgerFacts): void {
  const kept = new Set(facts.collection.animals.map((one) => one.speciesId));
  const animals = new Set(facts.collection.animals.map((one) => one.id));
  const library = {
    ...facts.library,
    species: facts.library.species.filter((one) => kept.has(one.id)),
    individuals: facts.library.individuals.filter((one) => animals.has(one.animalId)),
  };
  session
    .insert(planFacts)
    .values({ planId: Number(planId), facts: { ...facts, library } })
    .run();
}

/** The facts that a plan was made from; null for a plan made before these were kept. */
export function factsOfPlan(session: Session, planId: string): LedgerFacts | null {
  const row = session
    .select()
    .from(planFacts)
    .where(eq(planFacts.planId, Number(planId)))
    .get();
  return row?.facts ?? null;
}

/** The plan made last; null when none was made. */
export const latestPlan = whileUnchanged((session): PlanRecord | null => {
  const last = session.select().from(plans).orderBy(desc(plans.id)).limit(1);
  return rowsAsBefore(session, 'latest plan', plans, last, planOf)[0] ?? null;
});

/** A plan; null when there never was one of this number. */
export function findPlan(session: Session, id: number): PlanRecord | null {
  const row = session.select().from(plans).where(eq(plans.id, id)).get();
  return row === undefined ? null : planOf(row);
}

/** Every plan there was, the latest first. */
export function listPlans(session: Session): PlanLine[] {
  return session
    .select({
      id: plans.id,
      madeOn: plans.madeOn,
      firstMonth: plans.firstMonth,
      isPayable: sql<number>`${plans.roadmap} <> 'null'`,
    })
    .from(plans)
    .orderBy(desc(plans.id))
    .all()
    .map((row) => ({ ...row, id: String(row.id), isPayable: row.isPayable === 1 }));
}

function planOf({ id, problem, answer, roadmap, sinceLast, ...rest }: typeof plans.$inferSelect): PlanRecord {
  return {
    ...rest,
    id: String(id),
    problem: JSON.parse(problem) as PlanningProblem,
    answer: JSON.parse(answer) as PlanAnswer,
    roadmap: JSON.parse(roadmap) as KeptRoadmap | null,
    sinceLast: sinceLast === null ? null : (JSON.parse(sinceLast) as SinceLast),
  };
}

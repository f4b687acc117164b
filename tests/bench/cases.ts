// The cases that are planned to see how good and how quick the planner is: six made-up ones with values known before it, the
// demonstration's own problem, and a rescue. Knows where each comes from.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fillDemo } from '../../seed/demo.ts';
import { readCareLibrary } from '../../seed/library.ts';
import { closeDatabase, openMemory } from '../../server/db/open.ts';
import { gatherFacts } from '../../server/planning.ts';
import { readProblem } from '../../server/problem-file.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import { buildProblem } from '../../src/ledger-problem.ts';
import type { Objective, PlanningProblem } from '../../src/problem.ts';
import { madeUpProblem } from './made-up.ts';
import { rescueFacts } from './rescue.ts';

const folder = join(import.meta.dirname, '../cases/plan');

/** The cases handed over as files. */
export const FILED_CASES = [
  'two-animals-six-months',
  'four-animals-twelve-months',
  'six-animals-twelve-months',
  'six-animals-two-years',
  'twelve-animals-eighteen-months',
  'twenty-four-animals-two-years',
] as const;

/** All cases by name. Two more are built by the program: the demonstration's ledger and a rescue of 16 animals. */
export const CASE_NAMES: readonly string[] = [...FILED_CASES, 'demonstration', 'rescue'];

/** The day for which the demonstration is made here, so that its problem is the same on every day. */
const DEMONSTRATION_DAY = new Date('2026-02-03T12:00:00Z');

/** Best values known of a case before this planner, from its file; null when there are none. */
export function bestKnownOf(name: string): Objective | null {
  const { cases } = JSON.parse(readFileSync(join(folder, 'best-known.json'), 'utf8')) as {
    cases: Record<string, Objective>;
  };
  return cases[name] ?? null;
}

/** A case and how long it took to write it down from a ledger, milliseconds; null when it was only read. */
export type BuiltCase = { problem: PlanningProblem; buildMilliseconds: number | null; leftOut: number };

/** Reads or builds a case; 'made-up-8-12' is 8 animals over 12 months. Throws when there is no such case. */
export async function caseNamed(name: string): Promise<BuiltCase> {
  const madeUp = /^made-up-(\d+)-(\d+)$/.exec(name);
  if (madeUp !== null) {
    return { problem: madeUpProblem(Number(madeUp[1]), Number(madeUp[2]), 16), buildMilliseconds: null, leftOut: 0 };
  }
  const built = (facts: Parameters<typeof buildProblem>[0]): BuiltCase => {
    const began = performance.now();
    const { problem, leftOut } = buildProblem(facts);
    return { problem, buildMilliseconds: performance.now() - began, leftOut: leftOut.length };
  };
  if (name === 'rescue') return built(rescueFacts(16, 18));
  if (name === 'demonstration') {
    const db = openMemory();
    try {
      fillDemo(db, () => DEMONSTRATION_DAY);
      return built(gatherFacts(db, readCareLibrary(), dateOfInstant(DEMONSTRATION_DAY, 'Europe/Lisbon')));
    } finally {
      closeDatabase(db);
    }
  }
  const read = readProblem(readFileSync(join(folder, `${name}.json`), 'utf8'));
  if (read.status === 'refused') throw new Error(`${name}: ${read.message}`);
  return { problem: read.problem, buildMilliseconds: null, leftOut: 0 };
}

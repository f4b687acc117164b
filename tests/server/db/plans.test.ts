import { expect, test } from 'vitest';
import { listEvents } from '../../../server/db/events.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';
import { findPlan, latestPlan, listPlans, type PlanFacts, savePlan } from '../../../server/db/plans.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { buildProblem } from '../../../src/ledger-problem.ts';
import { drawRoadmap } from '../../../src/roadmap.ts';
import { randomFacts } from '../../support/make.ts';

function planFacts(seed: number): PlanFacts {
  const facts = randomFacts(seed, 2);
  const built = buildProblem(facts);
  const roadmap = { ...drawRoadmap(facts, built, []), currency: { code: 'EUR', decimals: 2 } };
  return {
    madeOn: plainDate('2026-01-15'),
    firstMonth: plainMonth('2026-01'),
    problem: built.problem,
    answer: { status: 'infeasible', shortMonth: 2, shortBy: 100, rounds: 0 },
    roadmap,
    ledgerVersion: 7,
    sinceLast: null,
  };
}

test('A plan comes back exactly as it was kept, problem, answer and roadmap alike', () => {
  const db = openMemory();
  const kept = planFacts(4);
  const id = savePlan(db, kept);
  expect(findPlan(db, Number(id))).toEqual({ ...kept, id });
  expect(kept.problem.animals.length).toBeGreaterThan(0);
});

test('The latest plan is the one made last, and the older ones stay as they were', () => {
  const db = openMemory();
  expect([latestPlan(db), findPlan(db, 1), listPlans(db)]).toEqual([null, null, []]);
  const first = planFacts(4);
  savePlan(db, first);
  savePlan(db, { ...planFacts(5), roadmap: null, firstMonth: plainMonth('2026-02'), madeOn: plainDate('2026-02-03') });
  expect(latestPlan(db)).toMatchObject({ id: '2', roadmap: null });
  expect(findPlan(db, 1)).toEqual({ ...first, id: '1' });
  expect(listPlans(db)).toEqual([
    { id: '2', madeOn: '2026-02-03', firstMonth: '2026-02', isPayable: false },
    { id: '1', madeOn: '2026-01-15', firstMonth: '2026-01', isPayable: true },
  ]);
});

test('Keeping a plan is written down, and is no change that a plan depends on', () => {
  const db = openMemory();
  const before = ledgerVersion(db);
  savePlan(db, planFacts(4));
  expect(listEvents(db)).toMatchObject([{ what: 'plan-made', happenedOn: '2026-01-15' }]);
  expect(ledgerVersion(db)).toBe(before);
});

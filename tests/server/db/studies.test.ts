import { expect, test } from 'vitest';
import { openMemory } from '../../../server/db/open.ts';
import { savePlan } from '../../../server/db/plans.ts';
import { saveStudy, studiesOf } from '../../../server/db/studies.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';

function withPlans(count: number) {
  const db = openMemory();
  for (let plan = 0; plan < count; plan++) {
    savePlan(db, {
      madeOn: plainDate('2026-01-15'),
      firstMonth: plainMonth('2026-01'),
      problem: { months: 1, creditMonths: 0, income: [0], purchases: [], animals: [] },
      answer: { status: 'undecided', rounds: 0 },
      roadmap: null,
      ledgerVersion: 1,
      sinceLast: null,
    });
  }
  return db;
}

const present = { name: 'present' as const, buys: [{ purchase: '1', month: 0 }], proved: true };

test('A study comes back as it was kept, beside the plan it is of and no other', () => {
  const db = withPlans(2);
  expect(studiesOf(db, '1')).toEqual({});
  saveStudy(db, '1', 'robust', { state: 'whole', found: [present] });
  expect(studiesOf(db, '1')).toEqual({ robust: { state: 'whole', found: [present] } });
  expect(studiesOf(db, '2')).toEqual({});
});

test('A study that grows replaces what was kept of it', () => {
  const db = withPlans(1);
  saveStudy(db, '1', 'robust', { state: 'under-way', found: [] });
  saveStudy(db, '1', 'robust', { state: 'under-way', found: [present] });
  expect(studiesOf(db, '1')).toEqual({ robust: { state: 'under-way', found: [present] } });
  expect(db.$client.prepare('SELECT count(*) AS rows FROM plan_studies').get()).toEqual({ rows: 1 });
});

test('A study of a plan that there is not, and of a kind that there is not, is refused', () => {
  const db = withPlans(1);
  expect(() => saveStudy(db, '2', 'robust', { state: 'whole', found: [] })).toThrow(/FOREIGN KEY/);
  expect(() => saveStudy(db, '1', 'weather' as 'robust', { state: 'whole', found: [] })).toThrow(/CHECK/);
});

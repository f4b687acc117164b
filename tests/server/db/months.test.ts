// Closed months and what belongs to them in a real database: each is closed once, corrections are added, a return is never above the price.

import { expect, test } from 'vitest';
import { recordEvent } from '../../../server/db/events.ts';
import { readMoneyFacts } from '../../../server/db/money.ts';
import {
  addCorrection,
  closeMonth,
  findClosedMonth,
  firstMonthKnown,
  listClosedMonths,
  listCorrections,
} from '../../../server/db/months.ts';
import { openMemory } from '../../../server/db/open.ts';
import { factsOfPlan, keepFacts, savePlan } from '../../../server/db/plans.ts';
import { buyUpgrade, findUpgrade, listPaid, listReturns, returnUpgrade } from '../../../server/db/upgrades.ts';
import { gatherFacts } from '../../../server/planning.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { keepGecko, keepMoney, wantHide } from '../../support/ledger.ts';
import { library, quietMonth } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const january = plainMonth('2026-01');

const record = quietMonth('2026-01', '2026-01-31', { sumPlanned: money(20_00), note: 'A quiet month' });

test('a month is closed once and read back as it was closed', () => {
  const db = openMemory();
  expect(findClosedMonth(db, january)).toBe(null);
  expect(closeMonth(db, plainDate('2026-02-01'), record)).toBe('saved');
  expect(closeMonth(db, plainDate('2026-02-02'), { ...record, note: 'Another' })).toBe('conflict');
  expect(listClosedMonths(db)).toEqual([{ month: january, closedOn: '2026-02-01', record }]);
  expect(findClosedMonth(db, january)?.record.note).toBe('A quiet month');
});

test('corrections are added to a closed month, and to no other', () => {
  const db = openMemory();
  const correction = {
    month: january,
    enteredOn: plainDate('2026-02-03'),
    amount: money(-2_00),
    note: 'Paid less',
    upgradeId: null,
  };
  expect(() => addCorrection(db, correction)).toThrow();
  closeMonth(db, plainDate('2026-02-01'), record);
  addCorrection(db, correction);
  addCorrection(db, { ...correction, amount: null, note: 'The lamp flickered' });
  expect(listCorrections(db, january)).toMatchObject([{ amount: -2_00 }, { amount: null, note: 'The lamp flickered' }]);
  expect(findClosedMonth(db, january)?.record).toEqual(record);
});

test('the first month known is that of the first plan, purchase or count; older pasts of things do not count', () => {
  const db = openMemory();
  const past = { happenedOn: plainDate('2025-06-01'), upgradeId: null, amount: null, note: '' };
  recordEvent(db, { ...past, what: 'renewed' });
  expect(firstMonthKnown(db)).toBe(null);
  keepMoney(db, 20_00, 30_00, '2025-12-20');
  expect(firstMonthKnown(db)).toBe('2025-12');
  keepGecko(db);
  const id = Number(wantHide(db, 'Warm cave', 'warm', 25_00));
  const bought = { boughtOn: plainDate('2025-11-30'), paid: money(24_00), arrivesMonth: null };
  buyUpgrade(db, id, 1, bought);
  expect(firstMonthKnown(db)).toBe('2025-11');
});

test('what went back before it was fitted is wanted again, and the money shows price and refund', () => {
  const db = openMemory();
  keepGecko(db);
  keepMoney(db, 20_00, 30_00);
  const id = Number(wantHide(db, 'Warm cave', 'warm', 25_00));
  buyUpgrade(db, id, 1, { boughtOn: today, paid: money(24_00), arrivesMonth: null }, 'corner shop');
  const gone = { returnedOn: plainDate('2026-01-20'), refund: money(24_01), why: 'failed' as const };
  expect(() => returnUpgrade(db, id, 2, gone)).toThrow(RangeError);
  expect(returnUpgrade(db, id, 1, { ...gone, refund: money(20_00) })).toBe('conflict');
  expect(returnUpgrade(db, id, 2, { ...gone, refund: money(20_00) })).toBe('saved');
  expect(findUpgrade(db, id)).toMatchObject({ status: 'wanted', paid: null, boughtOn: null });
  expect(listReturns(db)).toMatchObject([{ name: 'Warm cave', paid: 24_00, refund: 20_00, wasFitted: false }]);
  expect(listPaid(db)).toMatchObject([{ upgradeId: String(id), paid: 24_00 }]);
  expect(readMoneyFacts(db, today).refunds).toEqual([{ name: 'Warm cave', amount: 20_00, on: '2026-01-20' }]);
  // Bought a second time, both purchases were paid.
  buyUpgrade(db, id, 3, { boughtOn: plainDate('2026-01-22'), paid: money(26_00), arrivesMonth: null });
  expect(listPaid(db).map((one) => one.paid)).toEqual([24_00, 26_00]);
});

test('the facts of a plan are read back as they were, with the species that live there', () => {
  const db = openMemory();
  keepGecko(db);
  const facts = gatherFacts(db, library, today);
  const answer = { status: 'undecided' as const, rounds: 0 };
  const problem = { months: 1, creditMonths: 0, income: [0], purchases: [], animals: [] };
  const plan = {
    madeOn: today,
    firstMonth: january,
    problem,
    answer,
    roadmap: null,
    ledgerVersion: 1,
    sinceLast: null,
  };
  const id = savePlan(db, plan);
  expect(factsOfPlan(db, id)).toBe(null);
  keepFacts(db, id, facts);
  const species = facts.library.species.filter((one) => one.id === 'leopard-gecko');
  expect(factsOfPlan(db, id)).toEqual({ ...facts, library: { ...facts.library, species } });
});

// The money side of a plan against published figures for power and sinking funds, against dates worked out by hand, and against the
// planner's own evaluation of the same owned things.

import { expect, test } from 'vitest';
import {
  accruedShare,
  budgetOf,
  type MoneyFacts,
  type MoneySettings,
  monthlyKwh,
  powerCost,
  renewalDates,
  straightLineMonthly,
} from '../../src/budget.ts';
import { addMonths, monthOf, plainDate, plainMonth } from '../../src/calendar.ts';
import type { Fitting } from '../../src/collection.ts';
import { evaluateSchedule } from '../../src/evaluate.ts';
import { buildProblem } from '../../src/ledger-problem.ts';
import { money, noMoney, sumMoney } from '../../src/money.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { makeFitting } from '../support/make.ts';

const euro = { code: 'EUR', decimals: 2 };

const settings: MoneySettings = {
  currency: euro,
  monthlySum: money(70_00),
  coversFood: false,
  coversVet: false,
  coversPower: false,
  monthlyFood: null,
  monthlyVet: null,
  pricePerKwh: null,
  cashCounted: money(40_00),
  cashCountedOn: plainDate('2026-01-15'),
  sumArrived: true,
  floorKept: noMoney,
};

const facts: MoneyFacts = {
  settings,
  fittings: [],
  oneOffs: [],
  setAside: [],
  vetPaid: [],
  refunds: [],
  paid: [],
  renewed: [],
  stillCosting: [],
  today: plainDate('2026-01-15'),
};

const january = plainMonth('2026-01');

const fitting = (id: string, parts: Partial<Fitting> = {}) =>
  makeFitting('uv-tube', { id, name: `tube ${id}`, fittedOn: plainDate('2025-06-15'), ...parts });

test.each([
  // Worked examples of what appliances use, read in publications on household energy whose titles were not kept.
  { watts: 200, hours: 24, duty: 0.4, days: 1, kwh: 1.92 },
  { watts: 200, hours: 24, duty: 0.4, days: 30, kwh: 57.6 },
  { watts: 1200, hours: 24, duty: 0.2, days: 1, kwh: 5.76 },
  { watts: 100, hours: 4, duty: 1, days: 120, kwh: 48 },
  { watts: 250, hours: 5, duty: 1, days: 365, kwh: 456.25 },
  // Worked out here, a regression: a 24 W tube for 12 h a day in a mean month of 365.2425 / 12 days.
  { watts: 24, hours: 12, duty: 1, days: 30.436875, kwh: 8.76582 },
])('$watts W for $hours h a day at $duty is $kwh kWh in $days days', ({ watts, hours, duty, days, kwh }) => {
  expect((monthlyKwh(watts, hours, duty) / 30.436875) * days).toBeCloseTo(kwh, 9);
});

test('Power costs what published examples say it does', () => {
  // 48 kWh at 0.065 is 3.12; 456.25 kWh a year at 0.17 is 77.56 (the same examples), here as one month of 30.436875 days.
  const monthOf48 = { kind: 'other', watts: 48_000 / (24 * 30.436875), hoursPerDay: 24, duty: 1 } as const;
  expect(powerCost(monthOf48, 0.065, euro)).toEqual({ status: 'known', cost: 3_12 });
  const yearAsMonth = { kind: 'other', watts: 456_250 / (24 * 30.436875), hoursPerDay: 24, duty: 1 } as const;
  expect(powerCost(yearAsMonth, 0.17, euro)).toEqual({ status: 'known', cost: 77_57 });
});

test('A cost is rounded up and never down to a minor unit', () => {
  expect(powerCost({ kind: 'uv-tube', watts: 24, hoursPerDay: 12, duty: null }, 0.23, euro)).toEqual({
    status: 'known',
    // 8.76582 kWh x 0.23 = 2.0161
    cost: 2_02,
  });
});

test('The cost of power is unknown, not nothing, while the price, the watts or the hours are unknown', () => {
  const tube = { kind: 'uv-tube', watts: 24, hoursPerDay: 12, duty: null } as const;
  expect(powerCost(tube, null, euro)).toEqual({ status: 'unknown' });
  expect(powerCost({ ...tube, watts: null }, 0.2, euro)).toEqual({ status: 'unknown' });
  expect(powerCost({ ...tube, hoursPerDay: null }, 0.2, euro)).toEqual({ status: 'unknown' });
  expect(powerCost({ ...tube, kind: 'hide', watts: null }, null, euro)).toEqual({ status: 'none' });
});

// Sinking funds: a reserve study guide for community associations (CAI New Jersey, 2018), as read.
test('100,000 over 10 years is 10,000 a year, and paying 5,000 a year is half funded', () => {
  const yearly = straightLineMonthly([{ price: 100_000, lifeMonths: 120 }]) * 12;
  expect(yearly).toBeCloseTo(10_000, 9);
  expect(5_000 / yearly).toBeCloseTo(0.5, 12);
});

test('10,000 growing by 2 % a year for 10 years needs 1,219 a year', () => {
  const later = Math.round(10_000 * 1.02 ** 10);
  expect(later).toBe(12_190);
  expect(straightLineMonthly([{ price: later, lifeMonths: 120 }]) * 12).toBeCloseTo(1_219, 9);
});

// Days clamped to a month's end and counted from the anchor: worked out on a calendar by hand.
test.each([
  ['2024-01-31', 1, ['2024-02-29', '2024-03-31']],
  ['2023-01-31', 1, ['2023-02-28', '2023-03-31']],
  ['2024-02-29', 12, ['2025-02-28', '2026-02-28']],
])('Renewals of %s every %i months are counted from the anchor', (anchor, life, due) => {
  const dates = renewalDates(plainDate(anchor), life, plainDate(anchor), plainDate('2030-01-01'));
  expect(dates.slice(0, 2)).toEqual(due);
});

// Four things of 30 every 12, 9 every 6, 18 every 36 and 60 every 24 months; the figures follow from the dates by hand (regression).
const worn = [
  { price: 30_00, lifeMonths: 12, anchor: plainDate('2025-03-10') },
  { price: 9_00, lifeMonths: 6, anchor: plainDate('2025-05-01') },
  { price: 18_00, lifeMonths: 36, anchor: plainDate('2024-01-20') },
  { price: 60_00, lifeMonths: 24, anchor: plainDate('2024-09-01') },
];

function datedCash(from: string, until: string): Map<string, number> {
  const months = new Map<string, number>();
  for (const one of worn) {
    for (const due of renewalDates(one.anchor, one.lifeMonths, plainDate(from), plainDate(until))) {
      months.set(monthOf(due), (months.get(monthOf(due)) ?? 0) + one.price);
    }
  }
  return months;
}

test('The straight line says 7.00 a month where dated renewals are 282.00 in 36 months with a peak of 60.00', () => {
  expect(straightLineMonthly(worn)).toBeCloseTo(7_00, 9);
  const dated = datedCash('2026-01-01', '2029-01-01');
  expect(sumMoney(dated.values())).toBe(282_00);
  expect(sumMoney(dated.values()) / 36 / 100).toBeCloseTo(7.83, 2);
  expect(Math.max(...dated.values())).toBe(60_00);
});

test('A pot fed 7.00 a month from nothing runs to -51.00, and the accrued share to begin with is enough', () => {
  const dated = datedCash('2026-01-01', '2029-01-01');
  let [pot, lowest] = [0, 0];
  for (let index = 0; index < 36; index++) {
    pot += 7_00 - (dated.get(addMonths(january, index)) ?? 0);
    lowest = Math.min(lowest, pot);
  }
  expect(lowest).toBe(-51_00);
  const ages = [9.758, 8.049, 23.393, 16.033];
  const accrued = worn.reduce((sum, one, index) => sum + accruedShare(one.price, one.lifeMonths, ages[index]!), 0);
  expect(Math.round(accrued / 100)).toBe(79);
  expect(accrued + lowest).toBeGreaterThan(0);
});

test('Over the least common multiple of the lives, dated renewals come to the straight line exactly', () => {
  // 12, 6, 36 and 24 months repeat together every 72 months.
  expect(sumMoney(datedCash('2027-01-01', '2033-01-01').values())).toBe(72 * 7_00);
});

test('With the sum of this month in the counted cash, the first month brings no sum', () => {
  const budget = budgetOf(facts, january, 3);
  expect(budget.openingCash).toBe(40_00);
  expect(budget.income).toEqual([0, 70_00, 70_00]);
  expect(budgetOf({ ...facts, settings: { ...settings, sumArrived: false } }, january, 3).income).toEqual([
    70_00, 70_00, 70_00,
  ]);
});

test('Food and vet are deducted only when the sum must pay for them', () => {
  const known = { monthlyFood: money(31_00), monthlyVet: money(5_00) };
  expect(budgetOf({ ...facts, settings: { ...settings, ...known } }, january, 2).committed).toEqual([0, 0]);
  const covered = { ...settings, ...known, coversFood: true, coversVet: true };
  const budget = budgetOf({ ...facts, settings: covered }, january, 2);
  // 17 of the 31 days of January are left on the day of the count.
  expect(budget.committed).toEqual([17_00 + 5_00, 36_00]);
  expect(budget.steadyMonthly).toBe(36_00);
  expect(budget.tailIncome).toBe(34_00);
});

test('What was never said is named as unknown and nothing is deducted for it', () => {
  const nothing = { monthlySum: null, cashCounted: null, cashCountedOn: null, coversFood: true, coversVet: true };
  const budget = budgetOf({ ...facts, settings: { ...settings, ...nothing } }, january, 2);
  expect(budget.unknown.map((one) => one.unknown)).toEqual(['sum', 'cash', 'food', 'vet']);
  expect(budget.committed).toEqual([0, 0]);
  expect(budget.income).toEqual([0, 0]);
});

const tube = fitting('7', {
  watts: 24,
  hoursPerDay: 12,
  lifeMonths: 12,
  renewalPrice: money(35_00),
});

test('Power and renewals of what is fitted are shown in the months, and left to the planner to deduct', () => {
  const budget = budgetOf(
    { ...facts, settings: { ...settings, coversPower: true, pricePerKwh: 0.23 }, fittings: [tube] },
    january,
    12,
  );
  expect(budget.owned).toEqual([
    { fittingId: '7', monthlyCost: 2_02, life: 12, renewalPrice: 35_00, monthsInService: 7 },
  ]);
  expect(budget.committed).toEqual(Array(12).fill(0));
  expect(budget.months.map((one) => one.goesOut)).toEqual(
    [2, 2, 2, 2, 2, 37, 2, 2, 2, 2, 2, 2].map((n) => n * 100 + 2),
  );
  expect(budget.renewals).toMatchObject([{ dueOn: '2026-06-15', state: 'to-come', share: 2_92 }]);
});

test('When power is paid from elsewhere, retiring a fitting saves nothing', () => {
  const elsewhere = { ...settings, coversPower: false, pricePerKwh: 0.23 };
  const budget = budgetOf({ ...facts, settings: elsewhere, fittings: [tube] }, january, 2);
  expect(budget.owned[0]!.monthlyCost).toBe(0);
  expect(budget.presentPowerMonthly).toBe(2_02);
  expect(budget.months[0]!.goesOut).toBe(0);
});

test('An unknown price for power leaves the power unknown and says so once', () => {
  const covered = { ...settings, coversPower: true };
  const budget = budgetOf({ ...facts, settings: covered, fittings: [tube, { ...tube, id: '8' }] }, january, 2);
  expect(budget.presentPowerMonthly).toBeNull();
  expect(budget.unknown).toEqual([{ unknown: 'tariff' }]);
});

test('A renewal that should have been made in an earlier month is overdue and no dated outflow', () => {
  const old = { ...tube, fittedOn: plainDate('2024-11-30') };
  const budget = budgetOf({ ...facts, fittings: [old] }, january, 24);
  expect(budget.renewals).toMatchObject([{ dueOn: '2025-11-30', state: 'overdue', accrued: 35_00 }]);
  expect(budget.months.every((one) => one.goesOut === 0)).toBe(true);
});

test('A renewal of this month is still to be paid, and one of unknown price is named and not deducted', () => {
  const due = { ...tube, fittedOn: plainDate('2025-01-03') };
  const unpriced = fitting('9', { lifeMonths: 12, renewalPrice: null, watts: 10, hoursPerDay: 1 });
  const budget = budgetOf({ ...facts, fittings: [due, unpriced] }, january, 6);
  expect(budgetOf({ ...facts, fittings: [due, unpriced] }, january, 5).unknown).toEqual([]);
  expect(budget.months[0]!.goesOut).toBe(35_00);
  expect(budget.renewals[0]).toMatchObject({ dueOn: '2026-01-03', state: 'to-come' });
  expect(budget.unknown).toContainEqual({
    unknown: 'renewal-price',
    fittingId: '9',
    name: 'tube 9',
    dueOn: plainDate('2026-06-15'),
  });
  expect(budget.sinkingFund.monthly).toBe(2_92);
});

test('A retired thing costs nothing and is not owned', () => {
  const gone = { ...tube, retiredOn: plainDate('2026-01-10') };
  const budget = budgetOf({ ...facts, fittings: [gone] }, january, 12);
  expect(budget.owned).toEqual([]);
  expect(budget.renewals).toEqual([]);
});

test('Cash in hand is the count less what was paid since, from the day of the count on', () => {
  const paid = (boughtOn: string, amount: number) => ({
    upgradeId: boughtOn,
    name: boughtOn,
    paid: money(amount),
    boughtOn: plainDate(boughtOn),
  });
  const budget = budgetOf(
    { ...facts, paid: [paid('2026-01-14', 1_00), paid('2026-01-15', 2_00), paid('2026-01-20', 4_00)] },
    january,
    1,
  );
  expect(budget.openingCash).toBe(34_00);
  expect(budget.opening.since.map((one) => one.amount)).toEqual([-2_00, -4_00]);
});

test('A renewal that was paid leaves the cash counted before it, and the months owe it no more', () => {
  const lamp = { lifeMonths: 12, renewalPrice: money(48_00) };
  const { cashCountedOn: _, ...rest } = settings;
  const october: MoneyFacts = {
    ...facts,
    settings: { ...rest, cashCounted: money(100_00), cashCountedOn: plainDate('2026-09-30') },
    fittings: [fitting('7', { ...lamp, fittedOn: plainDate('2025-10-20') })],
    today: plainDate('2026-10-15'),
  };
  const owed = budgetOf(october, plainMonth('2026-10'), 2);
  expect(owed.months.map((one) => one.endsWith)).toEqual([122_00, 192_00]);
  const renewed = (renewedOn: string) => ({ name: 'tube 7', paid: money(48_00), renewedOn: plainDate(renewedOn) });
  const paid: MoneyFacts = {
    ...october,
    fittings: [fitting('7', { ...lamp, fittedOn: plainDate('2026-10-15') })],
    renewed: [renewed('2026-10-15'), renewed('2025-10-15')],
  };
  expect(budgetOf(paid, plainMonth('2026-10'), 2).months.map((one) => one.endsWith)).toEqual([122_00, 192_00]);
  const november = budgetOf({ ...paid, today: plainDate('2026-11-02') }, plainMonth('2026-11'), 1);
  expect(november.openingCash).toBe(122_00);
  expect(november.opening.since.at(-1)).toMatchObject({ what: 'renewed', name: 'tube 7', amount: -48_00 });
});

test('Whole months since the count are assumed to have brought the sum and cost what was due', () => {
  const covered = { ...settings, coversFood: true, monthlyFood: money(31_00) };
  const later: MoneyFacts = {
    ...facts,
    settings: covered,
    oneOffs: [{ id: '1', month: plainMonth('2026-02'), amount: money(-6_00), note: 'box', canWait: false }],
    today: plainDate('2026-03-02'),
  };
  const budget = budgetOf(later, plainMonth('2026-03'), 1);
  // 40.00 - 17.00 of food in January; 70.00 - 31.00 - 6.00 in February.
  expect(budget.openingCash).toBe(56_00);
  expect(budget.opening.since.map((one) => [one.month, one.what])).toEqual([
    ['2026-01', 'food'],
    ['2026-02', 'sum'],
    ['2026-02', 'food'],
    ['2026-02', 'one-off'],
  ]);
  expect(budget.income).toEqual([70_00]);
});

test('One-off sums come in or go out in their month, and running costs of fitted upgrades go on', () => {
  const budget = budgetOf(
    {
      ...facts,
      oneOffs: [
        { id: '1', month: plainMonth('2026-02'), amount: money(25_00), note: 'gift', canWait: false },
        { id: '2', month: plainMonth('2026-03'), amount: money(-12_00), note: 'check-up', canWait: true },
      ],
      fittings: [fitting('7', { kind: 'plants' })],
      stillCosting: [
        { upgradeId: '1', name: 'leaf litter', monthlyCost: money(1_50), fittingId: '7' },
        { upgradeId: '2', name: 'water test', monthlyCost: money(80), fittingId: null },
        { upgradeId: '3', name: 'gone', monthlyCost: money(9_00), fittingId: '99' },
      ],
    },
    january,
    3,
  );
  expect(budget.income).toEqual([0, 95_00, 70_00]);
  expect(budget.committed).toEqual([80, 80, 12_80]);
  expect(budget.owned[0]!.monthlyCost).toBe(1_50);
  expect(budget.months.map((one) => one.endsWith)).toEqual([37_70, 130_40, 186_10]);
});

test('A shortage names its first month and its worst, and what could be put off', () => {
  const budget = budgetOf(
    {
      ...facts,
      settings: { ...settings, monthlySum: money(10_00), floorKept: money(20_00) },
      oneOffs: [
        { id: '1', month: plainMonth('2026-02'), amount: money(-45_00), note: 'vet check', canWait: false },
        { id: '2', month: plainMonth('2026-03'), amount: money(-30_00), note: 'new shelf', canWait: true },
        { id: '3', month: plainMonth('2026-05'), amount: money(-1_00), note: 'later', canWait: true },
      ],
    },
    january,
    6,
  );
  // In hand: 40, then 40 + 10 - 45 = 5, then 5 + 10 - 30 = -15, then -5, 4 and 14.
  expect(budget.months.map((one) => one.endsWith)).toEqual([40_00, 5_00, -15_00, -5_00, 4_00, 14_00]);
  expect(budget.finding).toEqual({
    status: 'short',
    month: '2026-02',
    by: 15_00,
    mostMonth: '2026-03',
    mostBy: 35_00,
    runsOut: true,
    couldWait: [{ oneOffId: '2', note: 'new shelf', month: '2026-03', amount: 30_00 }],
    waitingIsEnough: false,
  });
});

test('When waiting with what can wait is enough, the shortage says so', () => {
  const budget = budgetOf(
    {
      ...facts,
      oneOffs: [{ id: '2', month: plainMonth('2026-01'), amount: money(-60_00), note: 'shelf', canWait: true }],
    },
    january,
    2,
  );
  expect(budget.finding).toMatchObject({ status: 'short', month: '2026-01', by: 20_00, waitingIsEnough: true });
});

test('What a fitted upgrade saves goes on coming in until its thing retires', () => {
  const saving = (upgradeId: string, fittingId: string | null) => ({
    upgradeId,
    name: 'lid',
    monthlyCost: money(-3_00),
    fittingId,
  });
  const budget = budgetOf(
    {
      ...facts,
      fittings: [fitting('7'), fitting('8', { retiredOn: facts.today })],
      stillCosting: [saving('1', '7'), saving('2', '8'), saving('3', null)],
    },
    january,
    2,
  );
  expect(budget.months.map((one) => one.endsWith)).toEqual([46_00, 122_00]);
  // The planner counts what the thing saves by itself, and the rest comes in whatever happens to any thing.
  expect([budget.income, budget.committed]).toEqual([
    [3_00, 73_00],
    [0, 0],
  ]);
  expect([budget.owned[0]!.monthlyCost, budget.tailIncome]).toEqual([-3_00, 73_00]);
});

test('The balances shown are those the planner finds when nothing is bought', () => {
  const money1: MoneyFacts = {
    ...facts,
    settings: { ...settings, coversPower: true, pricePerKwh: 0.31, coversFood: true, monthlyFood: money(12_34) },
    fittings: [
      tube,
      fitting('8', { lifeMonths: 4, renewalPrice: money(9_99), fittedOn: plainDate('2025-12-31') }),
      fitting('9', { lifeMonths: 6, renewalPrice: money(5_00), fittedOn: plainDate('2024-12-31') }),
    ],
    oneOffs: [{ id: '1', month: plainMonth('2026-04'), amount: money(-7_00), note: 'x', canWait: false }],
    stillCosting: [
      { upgradeId: '1', name: 'lid', monthlyCost: money(-1_11), fittingId: '8' },
      { upgradeId: '2', name: 'water test', monthlyCost: money(-2_22), fittingId: null },
    ],
  };
  const budget = budgetOf(money1, january, 18);
  const { problem } = buildProblem({
    collection: { animals: [], enclosures: [], fittings: [...money1.fittings], readings: [], answers: [] },
    library: { species: [], sources: [], uvZones: [], individuals: [] },
    choices: DEFAULT_CHOICES,
    upgrades: [],
    money: budget,
    planDate: money1.today,
    firstMonth: january,
    months: 18,
    creditMonths: 0,
  });
  const planned = evaluateSchedule(problem, []);
  if (planned.status !== 'feasible') throw new Error(`expected a payable plan, got ${JSON.stringify(planned)}`);
  expect(planned.balances).toEqual(budget.months.map((one) => one.endsWith));
});

test('What broke owes nothing and costs nothing, and what it would cost once it is replaced is kept for the planner', () => {
  const day = plainDate('2026-01-10');
  const running = { upgradeId: '3', name: 'tube', monthlyCost: money(40), fittingId: '7' };
  const budget = (parts: Partial<Fitting>) =>
    budgetOf(
      {
        ...facts,
        settings: { ...settings, coversPower: true, pricePerKwh: 0.23 },
        fittings: [fitting('7', { ...parts, watts: 24, hoursPerDay: 12, lifeMonths: 12, renewalPrice: money(35_00) })],
        stillCosting: [running],
      },
      january,
      12,
    );
  const broken = budget({ retiredOn: day, brokenOn: day });
  expect(broken.months.flatMap((one) => one.entries.filter((entry) => entry.what !== 'sum'))).toEqual([]);
  expect(broken.renewals).toEqual([]);
  expect(broken.presentPowerMonthly).toBe(0);
  // 24 W x 12 h x 30.436875 days is 8.77 kWh, for 0.23 each 2.02 rounded up (Gregorian mean month); 0.40 besides.
  const cost = { fittingId: '7', monthlyCost: 2_42, life: 12, renewalPrice: 35_00, monthsInService: 7 };
  expect(broken.owned).toEqual([{ ...cost, isBroken: true }]);
  expect(budget({}).owned).toEqual([cost]);
  expect(budget({ retiredOn: day }).owned).toEqual([]);
});

const forVela = { signId: '1', animalId: '1', animal: 'Vela', month: plainMonth('2026-03'), amount: money(60_00) };

test('A sum set aside for the vet leaves the cash in its month, is owed before purchases and cannot wait', () => {
  const budget = budgetOf({ ...facts, setAside: [forVela] }, january, 4);
  expect(budget.months[2]!.entries).toContainEqual({
    month: '2026-03',
    what: 'set-aside',
    signId: '1',
    animal: 'Vela',
    amount: -60_00,
  });
  expect(budget.committed).toEqual([0, 0, 60_00, 0]);
  // 40.00 in hand, then 70.00 a month from February on.
  expect(budget.months.map((one) => one.endsWith)).toEqual([40_00, 110_00, 120_00, 190_00]);
  const poor = budgetOf(
    { ...facts, settings: { ...settings, monthlySum: money(5_00) }, setAside: [forVela] },
    january,
    4,
  );
  expect(poor.finding).toMatchObject({ status: 'short', month: '2026-03', by: 10_00, couldWait: [] });
});

test('What was set aside in a month that has passed is still in the cash, and is kept back once in the first month', () => {
  const late = { ...facts, setAside: [{ ...forVela, month: plainMonth('2025-11') }] };
  const budget = budgetOf(late, january, 3);
  expect([budget.openingCash, budget.committed]).toEqual([40_00, [60_00, 0, 0]]);
  // Two months later the count is two months old: one sum came since, and nothing was spent.
  const march = budgetOf({ ...late, today: plainDate('2026-03-01') }, plainMonth('2026-03'), 2);
  expect([march.openingCash, march.committed]).toEqual([110_00, [60_00, 0]]);
});

test('What the vet was paid leaves the cash from the day of the count on, and is kept back no longer', () => {
  const paid = (paidOn: string) => ({ animal: 'Vela', paid: money(45_00), paidOn: plainDate(paidOn) });
  const budget = budgetOf({ ...facts, vetPaid: [paid('2026-01-14'), paid('2026-01-15')] }, january, 1);
  expect(budget.opening.since).toEqual([
    { month: '2026-01', what: 'vet-visit', animal: 'Vela', on: '2026-01-15', amount: -45_00 },
  ]);
  expect([budget.openingCash, budget.committed]).toEqual([-5_00, [0]]);
});

test('what came back of a price is in hand from the day of the count on, and before it is in the count already', () => {
  const refund = (on: string) => ({ name: 'Lamp', amount: money(5_00), on: plainDate(on) });
  const without = budgetOf(facts, january, 1).openingCash;
  const budget = budgetOf({ ...facts, refunds: [refund('2026-01-14'), refund('2026-01-15')] }, january, 1);
  expect(budget.openingCash - without).toBe(5_00);
  expect(budget.opening.since.filter((one) => one.what === 'refund')).toMatchObject([
    { on: '2026-01-15', amount: 5_00 },
  ]);
});

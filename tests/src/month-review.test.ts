// A month planned and a month as it was: earned value against worked figures, and the split by causes, which always sums and which
// blames one cause alone when one thing alone was otherwise.

import { expect, test } from 'vitest';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { addDays, dateOfInstant, lastDay, plainDate, plainMonth } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import { plannedCollection, scoreInMonth } from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import type { ActualState, Cause, MadePurchase, PlannedBuy, StagePoints } from '../../src/month-review.ts';
import {
  asItStood,
  CAUSES,
  causesOf,
  closingRule,
  earnedValue,
  monthsToClose,
  purchaseFault,
  returnFault,
  reviewMoney,
  reviewWelfare,
  sharesOf,
  spreadOf,
} from '../../src/month-review.ts';
import { capMean, DEFAULT_CHOICES } from '../../src/score.ts';
import { NEEDS } from '../../src/species.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { applyUpgrades } from '../../src/upgrades.ts';
import {
  chanceOf,
  fitUpgrade,
  makeAnimal,
  makeEnclosure,
  makeFacts,
  makeReading,
  makeThing,
  randomFacts,
} from '../support/make.ts';

const january = plainMonth('2026-01');
const newYear = plainDate('2026-01-01');
const monthEnd = plainDate('2026-01-31');
const sums = (budget: number, planned: number, earned: number, spent: number) => ({
  budget: money(budget * 100),
  planned: money(planned * 100),
  earned: money(earned * 100),
  spent: money(spent * 100),
});

// Worked figures of two published introductions to earned value: BAC 175, PV 110, EV 75, AC 100, and PV 45, EV 50, AC 55.
test('earned value gives the worked figures of published examples', () => {
  const first = earnedValue(sums(175, 110, 75, 100));
  expect([first.costVariance, first.scheduleVariance, first.atCompletion]).toEqual([-25_00, -35_00, 233_33]);
  expect(first.costIndex).toBeCloseTo(0.75, 10);
  expect(first.scheduleIndex).toBeCloseTo(0.6818, 4);
  const second = earnedValue(sums(45, 45, 50, 55));
  expect([second.scheduleVariance, second.costVariance]).toEqual([5_00, -5_00]);
  expect(second.scheduleIndex).toBeCloseTo(1.11, 2);
});

test('a month with nothing planned or nothing spent has no ratio, not a ratio of 0', () => {
  expect(earnedValue(sums(0, 0, 0, 0))).toMatchObject({ costIndex: null, scheduleIndex: null, atCompletion: null });
  // Paid and not in service yet: what the plan will cost cannot be told from it.
  expect(earnedValue(sums(60, 60, 0, 60))).toMatchObject({ costIndex: 0, scheduleIndex: 0, atCompletion: null });
});

// The worked lamp of the scoring notes: UV 0.15 of the weight, the other needs 60, UV 10 before, 90 promised, 60 measured; paid 66 for 60.
test('a lamp bought on time that is dearer and weaker than planned: -4.5 points, all for delivering less', () => {
  const score = (uv: number) =>
    Math.round(
      capMean([
        { weight: 0.85, allowance: 70, value: 60 },
        { weight: 0.15, allowance: 70, value: uv },
      ]).score * 10,
    );
  expect([score(10), score(90), score(60)]).toEqual([525, 645, 600]);
  const promised = score(90);
  const measured = score(60);
  const points: StagePoints = {
    planned: promised,
    bought: promised,
    inTime: promised,
    later: promised,
    delivered: measured,
    known: measured,
    aged: measured,
    revised: measured,
    actual: measured,
  };
  expect(causesOf(points)).toEqual({ ...none, 'delivered-otherwise': -45 });
  const made = [bought('1', 66_00, { fittedOn: plainDate('2026-01-10') })];
  const value = reviewMoney([plannedBuy('1', 60_00)], made, { from: newYear, month: january, on: monthEnd });
  expect(value.costIndex).toBeCloseTo(0.91, 2);
  expect(value.scheduleIndex).toBe(1);
});

test('money counts what is paid in the months of the plan, less refunds, and earns only what is in service', () => {
  const planned = [plannedBuy('1', 25_00), plannedBuy('2', 60_00, plainMonth('2026-02')), plannedBuy('3', 10_00)];
  const made = [
    bought('1', 27_00, { fittedOn: plainDate('2026-01-20') }),
    bought('3', 10_00, { refunded: money(4_00) }),
    bought('9', 5_00, { fittedOn: plainDate('2026-01-21') }),
    bought('8', 50_00, { boughtOn: plainDate('2025-12-31') }),
    bought('2', 60_00, { boughtOn: plainDate('2026-02-01'), fittedOn: plainDate('2026-02-01') }),
  ];
  expect(reviewMoney(planned, made, { from: newYear, month: january, on: monthEnd })).toMatchObject({
    budget: 95_00,
    planned: 35_00,
    earned: 25_00,
    spent: 27_00 + 6_00,
    // No price of the plan is behind it, so the forecast of the plan does not know it.
    unplanned: 5_00,
    atCompletion: Math.round((95_00 * 33_00) / 25_00),
  });
});

const none = Object.fromEntries(CAUSES.map((cause) => [cause, 0])) as Record<Cause, number>;

function plannedBuy(upgradeId: string, price: number, arrives = january): PlannedBuy {
  return { upgradeId, name: `upgrade ${upgradeId}`, price: money(price), arrives };
}

function bought(upgradeId: string, paid: number, parts: Partial<MadePurchase> = {}): MadePurchase {
  const usual = { boughtOn: plainDate('2026-01-10'), fittedOn: null, refunded: money(0) };
  return { upgradeId, name: `upgrade ${upgradeId}`, paid: money(paid), ...usual, ...parts };
}

const hide = fitUpgrade('1', makeThing('hide', { place: 'warm' }));

const uncapped = Object.fromEntries(NEEDS.map((need) => [need, 100]));

const gecko = makeFacts({
  collection: {
    animals: [makeAnimal('leopard-gecko', { id: 'a', name: 'Ember', lengthMm: 120 })],
    enclosures: [makeEnclosure({ id: '1' })],
    readings: [makeReading('hot-spot-surface', 34), makeReading('night-air', 22)],
  },
  upgrades: [hide],
  // No cap, so that every need shows in the score.
  choices: { ...DEFAULT_CHOICES, allowances: { ...DEFAULT_CHOICES.allowances, ...uncapped } },
});

/** What is so when everything went as planned: the upgrades fitted as on paper, on the day of the plan. */
function asPlanned(facts: LedgerFacts, upgrades: readonly Upgrade[], parts: Partial<ActualState> = {}): ActualState {
  return {
    collection: applyUpgrades(plannedCollection(facts), upgrades, facts.planDate),
    library: facts.library,
    choices: facts.choices,
    on: facts.planDate,
    bought: new Set(upgrades.map((one) => one.id)),
    fitted: upgrades.map((upgrade) => ({ upgrade, fittedOn: facts.planDate })),
    ...parts,
  };
}

const plan = [plannedBuy('1', 25_00)];

test('the planned figure is the one the roadmap shows', () => {
  const review = reviewWelfare(gecko, plan, january, asPlanned(gecko, [hide]));
  const shown = scoreInMonth(gecko, gecko.collection.animals[0]!, [hide], 0)!.score;
  expect(review.planned).toBe(Math.round(shown * 10));
  expect(review).toMatchObject({ actual: review.planned, causes: none });
});

test.each<[string, Cause, Partial<ActualState>, (collection: Collection) => Collection]>([
  ['not bought', 'not-bought', { bought: new Set<string>(), fitted: [] }, () => plannedCollection(gecko)],
  ['bought and not in service', 'bought-late', { fitted: [] }, () => plannedCollection(gecko)],
  [
    'a reading taken again',
    'evidence-changed',
    {},
    (one) => ({
      ...one,
      readings: [...one.readings, makeReading('humidity-day', 90, { id: 'new', takenOn: gecko.planDate })],
    }),
  ],
  ['an animal left', 'joined-or-left', {}, (one) => ({ ...one, animals: [] })],
  [
    'an animal joined',
    'joined-or-left',
    {},
    (one) => ({
      ...one,
      animals: [...one.animals, makeAnimal('leopard-gecko', { id: 'b', enclosureId: '2' })],
      enclosures: [...one.enclosures, makeEnclosure({ id: '2' })],
    }),
  ],
])('when only this was otherwise, it alone is the cause: %s', (_, cause, parts, change) => {
  const base = asPlanned(gecko, [hide], parts);
  const review = reviewWelfare(gecko, plan, january, { ...base, collection: change(base.collection) });
  const difference = review.actual - review.planned;
  expect(difference).not.toBe(0);
  expect(review.causes).toEqual({ ...none, [cause]: difference });
});

test('a revised target and a thing that broke are causes of their own', () => {
  const lit = fitUpgrade('1', makeThing('hide', { place: 'warm' }));
  const state = asPlanned(gecko, [lit]);
  const other = { ...gecko.choices, weights: { ...gecko.choices.weights, hides: 60 } };
  const revised = reviewWelfare(gecko, plan, january, { ...state, choices: other });
  expect(revised.causes['target-revised']).toBe(revised.actual - revised.planned);
  expect(revised.causes['target-revised']).not.toBe(0);
  const fittings = [{ ...state.collection.fittings[0]!, id: 'old', brokenOn: null, retiredOn: null }];
  const facts = { ...gecko, upgrades: [], collection: { ...gecko.collection, fittings } };
  const after = fittings.map((one) => ({ ...one, brokenOn: facts.planDate, retiredOn: facts.planDate }));
  const sound = asPlanned(facts, []);
  const broke = reviewWelfare(facts, [], january, { ...sound, collection: { ...sound.collection, fittings: after } });
  expect(broke.causes.aged).toBeLessThan(0);
  expect(broke.causes).toEqual({ ...none, aged: broke.actual - broke.planned });
});

test('a fitted thing that measures worse than promised is the one to have delivered less', () => {
  const predicts: Upgrade = {
    ...hide,
    id: '2',
    changes: [{ change: 'predict', enclosureId: '1', reading: 'humidity-day', value: 35 }],
  };
  const facts = { ...gecko, upgrades: [predicts] };
  const state = asPlanned(facts, [predicts]);
  const measured = makeReading('humidity-day', 90, { id: 'proof', takenOn: facts.planDate });
  const collection = { ...facts.collection, readings: [...facts.collection.readings, measured] };
  const review = reviewWelfare(facts, [plannedBuy('2', 0)], january, { ...state, collection });
  expect(review.actual).toBeLessThan(review.planned);
  expect(review.causes).toEqual({ ...none, 'delivered-otherwise': review.actual - review.planned });
});

test('on random ledgers the causes always sum to the difference, animal by animal and in all', () => {
  const moved = new Set<Cause>();
  let animals = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const facts = randomFacts(seed);
    const other = randomFacts(seed + 1000);
    const chance = chanceOf(seed);
    const buys = facts.upgrades.filter(() => chance.likely(0.6)).map((one) => plannedBuy(one.id, 10_00));
    const fitted = facts.upgrades.filter(() => chance.likely(0.5));
    const on = addDays(facts.planDate, chance.whole(0, 16));
    const real = applyUpgrades(facts.collection, fitted, facts.planDate);
    const collection: Collection = {
      ...real,
      animals: chance.likely(0.3) ? other.collection.animals.filter((one) => one.enclosureId === '1') : real.animals,
      fittings: real.fittings.map((one) =>
        chance.likely(0.2) ? { ...one, brokenOn: facts.planDate, retiredOn: facts.planDate } : one,
      ),
      readings: chance.likely(0.6)
        ? [...real.readings, ...other.collection.readings.filter((one) => one.enclosureId === '1')]
        : real.readings,
      answers: real.answers.filter(() => chance.likely(0.9)),
    };
    const weights = { ...facts.choices.weights, heat: chance.likely(0.4) ? 2 : facts.choices.weights.heat };
    const state: ActualState = {
      collection,
      library: facts.library,
      choices: { ...facts.choices, weights },
      on,
      bought: new Set(facts.upgrades.filter(() => chance.likely(0.6)).map((one) => one.id)),
      fitted: fitted.map((upgrade) => ({ upgrade, fittedOn: facts.planDate })),
    };
    const review = reviewWelfare(facts, buys, january, state);
    const total = (causes: Record<Cause, number>) => CAUSES.reduce((sum, cause) => sum + causes[cause], 0);
    expect(total(review.causes), `seed ${seed}`).toBe(review.actual - review.planned);
    for (const one of review.animals) {
      expect(total(one.causes), `seed ${seed}`).toBe((one.actual ?? 0) - (one.planned ?? 0));
      for (const cause of CAUSES) if (one.causes[cause] !== 0) moved.add(cause);
      animals++;
    }
  }
  expect(animals).toBeGreaterThan(80);
  expect([...moved].sort()).toEqual([...CAUSES].sort());
});

test('a day that has passed is seen without what was read, fitted, renewed or retired later', () => {
  const then = plainDate('2026-01-31');
  const lamp = { ...applyUpgrades(gecko.collection, [hide], plainDate('2026-01-20')).fittings[0]!, id: '5' };
  const now: Collection = {
    ...gecko.collection,
    fittings: [
      { ...lamp, fittedOn: plainDate('2026-02-10') },
      { ...lamp, id: '6', retiredOn: plainDate('2026-02-01'), brokenOn: plainDate('2026-02-01') },
      { ...lamp, id: '7', fittedOn: plainDate('2026-02-01') },
    ],
    readings: [makeReading('night-air', 20), makeReading('night-air', 9, { takenOn: plainDate('2026-02-01') })],
    answers: [{ enclosureId: '1', check: 'escape-proof', answer: 'no', answeredOn: plainDate('2026-02-01') }],
  };
  const before: Collection = {
    ...gecko.collection,
    fittings: [lamp],
    answers: [{ enclosureId: '1', check: 'escape-proof', answer: 'yes', answeredOn: plainDate('2025-12-01') }],
  };
  const stood = asItStood(now, then, before);
  expect(stood.fittings).toMatchObject([
    { id: '5', fittedOn: '2026-01-20' },
    { id: '6', retiredOn: null, brokenOn: null },
  ]);
  expect(stood.readings.map((one) => one.value)).toEqual([20]);
  expect(stood.answers.map((one) => one.answer)).toEqual(['yes']);
});

test('months are closed in order once their last day has come, each once', () => {
  const first = plainMonth('2025-11');
  const on = (day: string): PlainDate => plainDate(day);
  expect(monthsToClose(null, [], on('2026-01-15'))).toEqual([]);
  expect(monthsToClose(first, [], on('2026-01-30'))).toEqual(['2025-11', '2025-12']);
  expect(monthsToClose(first, [], on('2026-01-31'))).toEqual(['2025-11', '2025-12', '2026-01']);
  expect(monthsToClose(first, ['2025-11', '2025-12'] as PlainMonth[], on('2026-01-31'))).toEqual(['2026-01']);
  const rule = (month: string, closed: string[] = []) =>
    closingRule(plainMonth(month), first, closed as PlainMonth[], on('2026-01-15'));
  expect(rule('2025-11')).toEqual({ status: 'open' });
  expect(rule('2025-12')).toEqual({ status: 'earlier-first', month: '2025-11' });
  expect(rule('2025-11', ['2025-11'])).toEqual({ status: 'closed-already' });
  expect(rule('2026-01', ['2025-11', '2025-12'])).toEqual({ status: 'not-over', lastDay: '2026-01-31' });
  expect(rule('2025-10')).toEqual({ status: 'before-ledger' });
});

// One moment, three calendars: it is the 31st already in Auckland (UTC+13, summer time) and in UTC, and still the 30th in Honolulu (UTC-10).
test.each([
  ['Pacific/Auckland', '2026-01-31T09:30:00Z', '2026-01-31', 1],
  ['UTC', '2026-01-31T09:30:00Z', '2026-01-31', 1],
  ['Pacific/Honolulu', '2026-01-31T09:30:00Z', '2026-01-30', 0],
  ['Pacific/Auckland', '2026-01-30T11:30:00Z', '2026-01-31', 1],
  ['UTC', '2026-01-30T11:30:00Z', '2026-01-30', 0],
])('whether January is over is told by the calendar of %s at %s', (zone, moment, day, months) => {
  const today = dateOfInstant(new Date(moment), zone);
  expect(today).toBe(day);
  expect(monthsToClose(january, [], today)).toHaveLength(months);
});

test('a purchase of a month is dated in it, and a return brings no more than was paid', () => {
  expect(purchaseFault(plainDate('2025-12-31'), january)).toBe('before-month');
  expect(purchaseFault(plainDate('2026-01-01'), january)).toBe(null);
  expect(purchaseFault(lastDay(january), january)).toBe(null);
  expect(purchaseFault(plainDate('2026-02-01'), january)).toBe('after-month');
  const lamp = { paid: money(20_00), boughtOn: plainDate('2026-01-10') };
  expect(returnFault(lamp, { refund: money(20_01), returnedOn: plainDate('2026-01-12') })).toBe('refund-above-price');
  expect(returnFault(lamp, { refund: money(20_00), returnedOn: plainDate('2026-01-09') })).toBe(
    'returned-before-bought',
  );
  expect(returnFault(lamp, { refund: money(20_00), returnedOn: plainDate('2026-01-10') })).toBe(null);
});

test('beside a mean stand the least and the middle', () => {
  expect(spreadOf([])).toBe(null);
  expect(spreadOf([90, 10, 20])).toEqual({ least: 10, median: 20, mean: 40 });
  expect(spreadOf([10, 40])).toEqual({ least: 10, median: 25, mean: 25 });
});

test('a sum is shared to the last cent, by weight or evenly', () => {
  expect(sharesOf(money(10_00), [1, 1, 1])).toEqual([333, 334, 333]);
  expect(sharesOf(money(10_00), [0, 0])).toEqual([500, 500]);
  expect(sharesOf(money(7), [3, 1])).toEqual([5, 2]);
  expect(sharesOf(money(7), [])).toEqual([]);
});

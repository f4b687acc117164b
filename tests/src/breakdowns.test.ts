import { expect, test } from 'vitest';
import { brokenThingOf, knownPriceOf, payableAsPinned, replacementFor, withBroken } from '../../src/breakdowns.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import type { Fitting } from '../../src/collection.ts';
import { evaluateSchedule } from '../../src/evaluate.ts';
import { buildMoneyProblem, buildProblem, ownedId, renewalId } from '../../src/ledger-problem.ts';
import { currencyOf, money } from '../../src/money.ts';
import type { Part } from '../../src/parts.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import {
  makeAnimal,
  makeEnclosure,
  makeFacts,
  makeFitting,
  makeUpgrade,
  monthly,
  randomFacts,
} from '../support/make.ts';

const euro = currencyOf('EUR')!;
const mat = makeFitting('heat-mat', { id: '7', watts: 14, lifeMonths: 24, renewalPrice: money(2500) });

const replaced = (parts: Partial<Parameters<typeof replacementFor>[1]> = {}): Upgrade => ({
  ...replacementFor(mat, {
    name: 'New mat',
    price: money(3000),
    month: plainMonth('2026-01'),
    leadMonths: 0,
    note: '',
    ...parts,
  }),
  id: '9',
});

/** A gecko on a mat that costs 1.50 a month, with a sum each month, the mat broken and `replacement` wanted. */
function broken(sum: number, replacement = replaced(), upgrades: Upgrade[] = []) {
  const facts = makeFacts({
    collection: {
      animals: [makeAnimal('leopard-gecko', { id: '1' })],
      enclosures: [makeEnclosure({ id: '1' })],
      fittings: [mat],
    },
    money: monthly(sum, 12, {
      owned: [{ fittingId: '7', monthlyCost: money(150), life: 24, renewalPrice: money(2500), monthsInService: 22 }],
    }),
    upgrades,
  });
  return withBroken(facts, '7', plainDate('2026-01-10'), replacement);
}

const part = (what: string, watts: number | null, priceHigh: number): Part => ({
  id: `${what}-${watts}`,
  name: `${what}, ${watts} W`,
  what,
  priceLow: money(100),
  priceHigh: money(priceHigh),
  lifeMonths: null,
  watts,
  hoursPerDay: null,
  leadMonths: 0,
  standing: 'from-memory',
});

test('A price is what was entered for the thing, else that of the nearest part of its kind, else unknown', () => {
  const parts = {
    currency: 'EUR',
    parts: [part('heat-mat', 14, 2800), part('heat-mat', 28, 4000), part('hide', 20, 900)],
  };
  const priceOf = (more: Partial<Fitting>) => knownPriceOf({ ...mat, renewalPrice: null, ...more }, parts, euro);
  expect(knownPriceOf(mat, parts, euro)).toEqual({ price: 2500, from: 'renewal-price' });
  expect(priceOf({ watts: 16 })).toEqual({ price: 2800, from: 'catalogue', part: 'heat-mat, 14 W' });
  expect(priceOf({ watts: 25 })).toMatchObject({ price: 4000 });
  // Without its watts nothing tells which it is, and the cautious price is the dearest.
  expect(priceOf({ watts: null })).toMatchObject({ price: 4000 });
  expect(priceOf({ kind: 'filter' })).toBeNull();
  expect(knownPriceOf({ ...mat, renewalPrice: null }, parts, currencyOf('GBP')!)).toBeNull();
});

test('What replaces a thing is known by the thing that is broken, and no longer once that is in use', () => {
  const facts = broken(2000);
  expect(brokenThingOf(replaced(), facts.collection.fittings)).toMatchObject({ id: '7' });
  expect(brokenThingOf(replaced(), [mat])).toBeNull();
  expect(brokenThingOf(replaced(), [{ ...mat, retiredOn: plainDate('2026-01-10') }])).toBeNull();
  expect(brokenThingOf(makeUpgrade('3', []), facts.collection.fittings)).toBeNull();
});

test('What broke costs nothing until it is replaced, and then the same a month, with its life begun anew', () => {
  const { problem } = buildProblem(broken(5000, replaced({ leadMonths: 2 })));
  const ids = problem.purchases.map((one) => one.id);
  expect(ids).toEqual(['9']);
  expect(ids).not.toContain(ownedId('7'));
  expect(ids).not.toContain(renewalId('7'));
  expect(problem.purchases[0]).toMatchObject({ price: 3000, monthlyCost: 150, life: 24, renewal: 2500, fixedMonth: 0 });
  // A renewal that was on the list before, without a life of its own, lives as long as the thing.
  const own = buildMoneyProblem(broken(5000, { ...replaced(), lifeMonths: null, renewalPrice: null }));
  expect(own.purchases).toMatchObject([{ monthlyCost: 150, life: 24, renewal: 2500 }]);
  const plan = evaluateSchedule(problem, [{ purchase: '9', month: 0 }]);
  // 50.00 a month, 30.00 in January and 1.50 from March on, when it is in use.
  expect('balances' in plan && plan.balances.slice(0, 4)).toEqual([2000, 7000, 11850, 16700]);
});

test('It is told by how much a pinned replacement is short, and the first month of the plan that can pay it', () => {
  // 10.00 a month: 30.00 and the 1.50 of its power are there in April, when 40.00 came in.
  expect(payableAsPinned(broken(1000), '9')).toEqual({
    status: 'short',
    month: '2026-01',
    by: 2150,
    earliest: '2026-04',
  });
  expect(payableAsPinned(broken(3150), '9')).toEqual({ status: 'payable' });
  expect(payableAsPinned(broken(3149), '9')).toMatchObject({ status: 'short', by: 1, earliest: '2026-02' });
  expect(payableAsPinned(broken(100), '9')).toMatchObject({ status: 'short', earliest: null });
  expect(payableAsPinned(broken(0, replaced({ month: null })), '9')).toEqual({ status: 'payable' });
});

test('What is fixed besides is paid first, and where that alone cannot be paid no month is offered', () => {
  const fixed = makeUpgrade('4', [], { priceHigh: money(3000), pinnedMonth: plainMonth('2026-03') });
  expect(payableAsPinned(broken(1000, replaced(), [fixed]), '9')).toMatchObject({ earliest: '2026-07' });
  const dear = { ...fixed, priceHigh: money(5000) };
  expect(payableAsPinned(broken(1000, replaced(), [dear]), '9')).toEqual({ status: 'blocked-by-the-rest' });
});

test('The problem of the money alone pays and owes what the whole problem does', () => {
  let compared = 0;
  for (let seed = 1; seed <= 12; seed++) {
    const facts = randomFacts(seed, 2);
    const whole = buildProblem(facts);
    if (whole.leftOut.some((one) => one.why === 'too-many-at-once')) continue;
    const { animals: _, ...moneySide } = whole.problem;
    expect({ ...buildMoneyProblem(facts), animals: undefined }).toEqual({ ...moneySide, animals: undefined });
    compared++;
  }
  expect(compared).toBeGreaterThan(5);
});

// A ledger as a planning problem. The law: whatever is in service in a month, the problem and the score page say the same. There is no
// outside source for it: both sides are the ledger's own, reached by two ways that share only the scoring of one set-up.

import { expect, test } from 'vitest';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { type Animal, CHECKS, FITTING_KINDS, type Fitting, lampOf, READING_KINDS } from '../../src/collection.ts';
import { evaluateSchedule } from '../../src/evaluate.ts';
import {
  buildProblem,
  dayOfMonth,
  groupsOf,
  isLeftBehind,
  type LedgerFacts,
  needNamed,
  ownedId,
  plannedCollection,
  renewalId,
  scoreInMonth,
  withPayableFloor,
} from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import { bestPlan } from '../../src/planner.ts';
import type { Buy, PlanningProblem } from '../../src/problem.ts';
import { scoreAnimal } from '../../src/score.ts';
import { applyUpgrades, type Change, enclosuresOf, type NewFitting, type Upgrade } from '../../src/upgrades.ts';
import {
  boxUpgrade,
  chanceOf,
  fitUpgrade,
  library,
  makeAnimal,
  makeEnclosure,
  makeFacts,
  makeFitting,
  makeReading,
  makeThing,
  makeUpgrade,
  monthly,
  planDate,
  plenty,
  randomFacts,
} from '../support/make.ts';

/** Sets of upgrades that may be in service together: at most one of a group, and nothing without what it needs. */
function setsOf(upgrades: readonly Upgrade[]): Upgrade[][] {
  const sets: Upgrade[][] = [[]];
  for (const one of upgrades) sets.push(...sets.map((set) => [...set, one]));
  return sets.filter((set) => {
    const groups = set.flatMap(groupsOf);
    const ids = new Set(set.map((one) => one.id));
    const met = (one: Upgrade) => one.requires.every((any) => any.some((id) => ids.has(id)));
    return new Set(groups).size === groups.length && set.every(met);
  });
}

type Compared = { differences: string[]; count: number; byBlocking: number; byMonth: number };

/** Where a schedule's scores differ from those of the set-up with the upgrades applied that are in service in each month. */
function compare(facts: LedgerFacts, problem: PlanningProblem, upgrades: Upgrade[], buys: Buy[]): Compared {
  const evaluation = evaluateSchedule(problem, buys);
  const blind = evaluateSchedule(withoutBlocking(problem), buys);
  if (evaluation.status !== 'feasible' || blind.status !== 'feasible')
    throw new Error(`the schedule breaks ${JSON.stringify(evaluation)}`);
  const base = plannedCollection(facts);
  const compared: Compared = { differences: [], count: 0, byBlocking: 0, byMonth: 0 };
  evaluation.animals.forEach((one, index) => {
    const animal = facts.collection.animals.find((each) => each.id === one.id) as Animal;
    for (let month = 0; month < facts.months; month++) {
      const inService = upgrades.filter((each) => buys.some((buy) => buy.purchase === each.id && buy.month <= month));
      const page = scoreInMonth(facts, animal, inService, month, base)!;
      const told = one.months[month]!;
      const needs = told.needs.filter((need) => need.counts);
      const check = (what: string, ours: unknown, theirs: unknown) => {
        compared.count++;
        const [here, there] = [JSON.stringify(ours), JSON.stringify(theirs)];
        if (here !== there)
          compared.differences.push(
            `${what} of ${one.id} in month ${month} with ${inService.map((each) => each.id)}: ${here} is not ${there}`,
          );
      };
      check(
        'needs',
        needs.map((need) => needNamed(need.need)),
        page.needs.map((need) => need.need),
      );
      check(
        'values',
        needs.map((need) => need.value),
        page.needs.map((need) => need.value),
      );
      check(
        'severe',
        needs.map((need) => need.severe),
        page.needs.map((need) => need.severe),
      );
      check('score', told.score, page.score);
      const unblocked = blind.animals[index]!.months[month]!.needs.filter((need) => need.counts);
      if (JSON.stringify(unblocked) !== JSON.stringify(needs)) compared.byBlocking++;
      const first = scoreInMonth(facts, animal, inService, 0, base)!;
      if (first.needs.some((one) => page.needs.some((each) => each.need === one.need && each.value !== one.value)))
        compared.byMonth++;
    }
  });
  return compared;
}

function withoutBlocking(problem: PlanningProblem): PlanningProblem {
  return {
    ...problem,
    animals: problem.animals.map((animal) => ({
      ...animal,
      needs: animal.needs.map((need) => ({
        ...need,
        states: need.states.map((state) => ({ ...state, blockedBy: [] })),
      })),
    })),
  };
}

test('In every month and for every set of upgrades in service, the problem says exactly what the score page says', () => {
  let [count, schedules, byBlocking, byMonth, severities] = [0, 0, 0, 0, 0];
  for (let seed = 1; seed <= 36; seed++) {
    const random = randomFacts(seed, 3);
    // Every second keeper's own readings correct what is expected of lamps.
    const lightCorrection = seed % 2 === 0 ? { factor: 0.7, error: 0.1, from: 3 } : null;
    const facts = { ...random, collection: { ...random.collection, lightCorrection } };
    const { problem, upgrades } = buildProblem(facts);
    severities += problem.animals.flatMap((one) => one.needs).filter((one) => one.need.includes('@')).length;
    const chance = chanceOf(seed);
    for (const box of facts.collection.enclosures) {
      const here = upgrades.filter((one) => enclosuresOf(one, facts.collection).includes(box.id));
      for (const set of setsOf(here)) {
        // Once all from the first month on, and once bought one after another in the order of their needs.
        const steps = set.map(() => chance.whole(0, schedules % 2 === 0 ? 2 : 0));
        const buys = set.map((one, index) => ({
          purchase: one.id,
          month: Math.min(
            5,
            steps.slice(0, index + 1).reduce((sum, step) => sum + step, 0),
          ),
        }));
        const compared = compare(facts, problem, upgrades, buys);
        expect(compared.differences.slice(0, 3), `seed ${seed}`).toEqual([]);
        count += compared.count;
        byBlocking += compared.byBlocking;
        byMonth += compared.byMonth;
        schedules++;
      }
    }
  }
  expect(schedules).toBeGreaterThan(200);
  expect(count).toBeGreaterThan(20_000);
  expect(byBlocking).toBeGreaterThan(300);
  expect(byMonth).toBeGreaterThan(500);
  expect(severities).toBeGreaterThan(4);
});

const gecko = makeAnimal('leopard-gecko', { id: '1', lengthMm: 120 });
const room = (more: Partial<LedgerFacts['collection']> = {}): Partial<LedgerFacts['collection']> => ({
  animals: [gecko],
  enclosures: [makeEnclosure({ id: '1', lengthMm: 600 })],
  ...more,
});
/** One upgrade for every kind of thing, reading, check and change, in a set-up of some things. */
function singleChanges(fittings: readonly Fitting[]): Upgrade[] {
  const one = (change: Change) => makeUpgrade('1', [change]);
  const adding = (thing: NewFitting) => one({ change: 'fit', enclosureId: '1', fitting: thing });
  const lamp = { lamp: lampOf(550, 300, 3), distanceMm: 300, hoursPerDay: 12, lifeMonths: 6 };
  return [
    ...FITTING_KINDS.flatMap((kind) => [
      adding(makeThing(kind, { place: 'warm' })),
      adding(makeThing(kind, { watts: 20, outOfReach: true, place: 'high', ...lamp })),
    ]),
    ...READING_KINDS.map((kind) => adding(makeThing('other', { expects: [{ reading: kind, value: 22 }] }))),
    ...fittings.flatMap(({ id }) => [
      adding(makeThing('thermostat', { regulates: id })),
      adding(makeThing('guard', { guards: id })),
      adding(makeThing('timer', { regulates: id })),
      one({ change: 'retire', fittingId: id }),
      one({
        change: 'move',
        fittingId: id,
        distanceMm: 200,
        meshShare: 0.6,
        place: 'cool',
        outOfReach: true,
        placed: null,
      }),
      one({ change: 'set-hours', fittingId: id, hoursPerDay: 3 }),
      one({ change: 'renew', fittingId: id }),
    ]),
    ...READING_KINDS.map((kind) => one({ change: 'predict', enclosureId: '1', reading: kind, value: 22 })),
    ...CHECKS.map((check) => one({ change: 'answer', enclosureId: '1', check })),
    boxUpgrade('1', [140, 70, 90]),
  ];
}

test('Every kind of thing, reading, check and change is scored as the page scores it, in bare and in full set-ups', () => {
  let [count, telling] = [0, 0];
  const kinds = ['basking-lamp', 'water-heater', 'uv-tube', 'ceramic-heater', 'heat-mat', 'hide', 'pool'] as const;
  const things = kinds.map((kind, index) =>
    makeFitting(kind, { id: String(index + 1), place: 'warm', lifeMonths: 6, hoursPerDay: 12 }),
  );
  const readings = READING_KINDS.map((kind) =>
    makeReading(kind, kind.startsWith('uvi') ? 1 : 24, { takenOn: planDate }),
  );
  for (const speciesId of ['bearded-dragon', 'leopard-gecko', 'red-eared-slider', 'whites-tree-frog']) {
    for (const more of [{}, { fittings: things, readings }]) {
      const collection = room({ animals: [makeAnimal(speciesId, { id: '1' })], ...more });
      for (const upgrade of singleChanges(collection.fittings ?? [])) {
        const facts = makeFacts({ collection, upgrades: [upgrade], months: 2 });
        const { problem, upgrades } = buildProblem(facts);
        const compared = compare(facts, problem, upgrades, [{ purchase: '1', month: 0 }]);
        expect(compared.differences.slice(0, 2), `${speciesId} ${JSON.stringify(upgrade.changes)}`).toEqual([]);
        count++;
        telling += problem.animals[0]!.needs.some((need) => need.states.length > 1) ? 1 : 0;
      }
    }
  }
  expect(count).toBeGreaterThan(800);
  expect(telling).toBeGreaterThan(300);
});

test('A month is scored as the score page scores the set-up with the upgrades fitted on the day of that month', () => {
  const facts = randomFacts(3, 3);
  const { upgrades } = buildProblem(facts);
  for (const month of [0, 1, 5]) {
    const on = dayOfMonth(facts, month);
    const collection = applyUpgrades(facts.collection, upgrades, on);
    for (const animal of facts.collection.animals) {
      const page = scoreAnimal(animal, {
        collection,
        library,
        choices: facts.choices,
        on,
        knownOn: planDate,
      });
      expect(scoreInMonth(facts, animal, upgrades, month)).toEqual(page);
    }
  }
  expect([0, 1, 5].map((month) => dayOfMonth(facts, month))).toEqual(['2026-01-15', '2026-02-01', '2026-06-01']);
});

const hide = (id: string, place: 'warm' | 'cool' | 'moist', parts: Partial<Upgrade> = {}) =>
  fitUpgrade(id, makeThing('hide', { place }), parts);

test('Of more than five upgrades that touch one need of one animal, those that do most by themselves stay, wherever they stand in the list', () => {
  const places = ['warm', 'cool', 'moist', 'warm', 'cool', 'moist'] as const;
  const upgrades = places.map((place, index) => hide(String(index + 1), place, { priceHigh: money(100) }));
  // The kit brings a hide to every place: nothing else does as much by itself.
  const kit = makeUpgrade(
    '7',
    [
      { change: 'fit', enclosureId: '1', fitting: makeThing('hide', { place: 'warm', key: 'a' }) },
      { change: 'fit', enclosureId: '1', fitting: makeThing('hide', { place: 'cool', key: 'b' }) },
      { change: 'fit', enclosureId: '1', fitting: makeThing('moist-hide', { place: 'moist', key: 'c' }) },
    ],
    { priceHigh: money(100) },
  );
  const facts = (list: readonly Upgrade[]) => makeFacts({ collection: room(), upgrades: list });
  const gainOf = (one: Upgrade) => {
    const all = facts([one]);
    const [with_, without] = [[one], []].map((set) => scoreInMonth(all, gecko, set, 0)!.needs);
    return with_!.reduce((sum, need, index) => sum + need.weight * (need.value - without![index]!.value), 0);
  };
  expect(gainOf(kit)).toBeGreaterThan(Math.max(...upgrades.map(gainOf)));
  const last = buildProblem(facts([...upgrades, kit]));
  const first = buildProblem(facts([kit, ...upgrades]));
  for (const built of [last, first]) {
    expect(built.upgrades).toHaveLength(5);
    expect(built.upgrades.map((one) => one.id)).toContain('7');
    expect(built.leftOut.map((one) => one.why)).toEqual(['too-many-at-once', 'too-many-at-once']);
    const kept = Math.min(...built.upgrades.map(gainOf));
    const left = upgrades.filter((one) => built.leftOut.some((out) => out.upgradeId === one.id)).map(gainOf);
    expect(Math.max(...left)).toBeLessThanOrEqual(kept);
  }
});

test('What is free counts as done before it is asked what else does most, so that nothing stays for what a free action does too', () => {
  const places = ['warm', 'cool', 'moist', 'warm', 'cool'] as const;
  const paid = places.map((place, index) => hide(String(index + 1), place, { priceHigh: money(100) }));
  const free = hide('6', 'warm');
  const { leftOut } = buildProblem(makeFacts({ collection: room(), upgrades: [...paid, free] }));
  // A warm hide that costs something adds nothing to the free one, and neither is as much use as the only moist one.
  expect(leftOut.map((one) => one.upgradeId)).toEqual(['4']);
});

test('Of upgrades that do equally much the ones listed last are named and left out', () => {
  const places = ['warm', 'cool', 'moist', 'warm', 'cool', 'moist', 'warm'] as const;
  const upgrades = places.map((place, index) => hide(String(index + 1), place));
  const built = buildProblem(makeFacts({ collection: room(), upgrades }));
  expect(built.leftOut).toEqual([
    { upgradeId: '7', why: 'too-many-at-once', need: 'hides', animalId: '1' },
    { upgradeId: '6', why: 'too-many-at-once', need: 'hides', animalId: '1' },
  ]);
  expect(built.upgrades.map((one) => one.id)).toEqual(['1', '2', '3', '4', '5']);
  expect(built.problem.purchases.map((one) => one.id)).toEqual(['1', '2', '3', '4', '5']);
});

test('What was ordered or pinned is left out last when there are too many at once', () => {
  const places = ['warm', 'cool', 'moist', 'warm', 'cool', 'moist'] as const;
  const upgrades = places.map((place, index) =>
    hide(
      String(index + 1),
      place,
      index === 5 ? { status: 'ordered' } : index === 4 ? { pinnedMonth: plainMonth('2026-03') } : {},
    ),
  );
  const built = buildProblem(makeFacts({ collection: room(), upgrades }));
  expect(built.leftOut.map((one) => one.upgradeId)).toEqual(['4']);
});

test('Six upgrades of which only one can be bought are not too many, and neither are six that change other needs', () => {
  const grouped = Array.from({ length: 6 }, (_, index) => hide(String(index + 1), 'warm', { group: 'the warm hide' }));
  expect(buildProblem(makeFacts({ collection: room(), upgrades: grouped })).leftOut).toEqual([]);
  const kinds = ['hide', 'branches', 'feeding-toy', 'novelty', 'deep-substrate', 'moist-hide'] as const;
  const spread = kinds.map((kind, index) => fitUpgrade(String(index + 1), makeThing(kind, { place: 'warm' })));
  expect(buildProblem(makeFacts({ collection: room(), upgrades: spread })).leftOut).toEqual([]);
});

test('When an upgrade is left out for one animal, the animals before it are planned without it too', () => {
  const places = ['warm', 'cool', 'moist', 'warm', 'cool'] as const;
  const both = makeUpgrade('6', [
    { change: 'fit', enclosureId: '1', fitting: makeThing('hide', { place: 'warm' }) },
    { change: 'fit', enclosureId: '2', fitting: makeThing('hide', { place: 'warm' }) },
  ]);
  const upgrades = [
    ...places.map((place, index) => fitUpgrade(String(index + 1), makeThing('hide', { place }), {}, '2')),
    both,
  ];
  const collection = room({
    animals: [gecko, makeAnimal('leopard-gecko', { id: '2', enclosureId: '2' })],
    enclosures: [makeEnclosure({ id: '1' }), makeEnclosure({ id: '2' })],
  });
  const { problem, leftOut } = buildProblem(makeFacts({ collection, upgrades }));
  expect(leftOut.map((one) => one.upgradeId)).toEqual(['6']);
  expect(problem.animals.map((one) => one.id)).toEqual(['1', '2']);
  const named = problem.animals.flatMap((one) =>
    one.needs.flatMap((need) => need.states.flatMap((state) => state.needs)),
  );
  expect(named).not.toContain('6');
  expect(named).toContain('5');
});

test('Two boxes for the same enclosure exclude each other; boxes for two enclosures do not', () => {
  const upgrades = [
    boxUpgrade('1', [90, 60, 60]),
    boxUpgrade('2', [120, 60, 60]),
    boxUpgrade('3', [90, 60, 60], {}, '2'),
  ];
  const collection = room({ enclosures: [makeEnclosure({ id: '1' }), makeEnclosure({ id: '2' })] });
  const { problem } = buildProblem(makeFacts({ collection, upgrades }));
  const buy = (...ids: string[]) =>
    evaluateSchedule(
      problem,
      ids.map((purchase) => ({ purchase, month: 0 })),
    );
  expect(buy('1', '2')).toMatchObject({ status: 'broken', rule: 'group' });
  expect(buy('1', '3').status).toBe('feasible');
});

test('An upgrade waits for what it needs; what is fitted meets the need, and what nobody wants leaves it out with all that follow', () => {
  const upgrades = [
    hide('1', 'warm'),
    hide('2', 'cool', { requires: [['1', '9']] }),
    hide('3', 'moist', { requires: [['8']] }),
    fitUpgrade('4', makeThing('branches'), { requires: [['3']] }),
    makeUpgrade('8', [], { status: 'refused' }),
    makeUpgrade('9', [], { status: 'wanted' }),
  ];
  const built = buildProblem(makeFacts({ collection: room(), upgrades }));
  expect(built.leftOut).toEqual([
    { upgradeId: '3', why: 'needs-what-is-not-wanted' },
    { upgradeId: '4', why: 'needs-what-is-not-wanted' },
  ]);
  const first = (id: string, month: number) => ({ purchase: id, month });
  expect(evaluateSchedule(built.problem, [first('2', 0), first('1', 1)])).toMatchObject({ rule: 'requires' });
  expect(evaluateSchedule(built.problem, [first('2', 1), first('1', 1)]).status).toBe('feasible');
  // Once one of the alternatives is fitted, the other need not be bought.
  const fitted = upgrades.map((one) => (one.id === '9' ? { ...one, status: 'fitted' as const } : one));
  const now = buildProblem(makeFacts({ collection: room(), upgrades: fitted }));
  expect(evaluateSchedule(now.problem, [first('2', 0)]).status).toBe('feasible');
});

test('Where what is owed breaks the floor, a plan buys from the first month that is whole again, and what is free at once', async () => {
  const upgrades = [hide('1', 'warm', { priceHigh: money(2500) }), hide('2', 'cool')];
  const plan = async (parts: Partial<LedgerFacts['money']>) => {
    const facts = makeFacts({ collection: room(), upgrades, months: 6 });
    const floored = withPayableFloor({
      ...facts,
      money: monthly(4000, 6, { reserve: money(5000), ...parts }),
    });
    const answer = await bestPlan(buildProblem(floored).problem, { rounds: 5 });
    if (!('buys' in answer)) throw new Error(answer.status);
    return { buys: answer.buys, floors: floored.money.floors };
  };
  const sum = (...amounts: number[]) => amounts.map((one) => money(one));
  // 18.10 of the 50.00 that stay are there in the first month, 58.10 in the second, 98.10 in the third.
  expect(await plan({ openingCash: money(-2190) })).toEqual({
    buys: [
      { purchase: '2', month: 0 },
      { purchase: '1', month: 2 },
    ],
    floors: sum(1810, 5000, 5000, 5000, 5000, 5000),
  });
  // A bill in the fourth month that the cash covers and the floor does not: nothing is bought that would make it less.
  const bill = sum(0, 0, 0, 20_000, 0, 0);
  expect((await plan({ openingCash: money(5000), committed: bill })).buys).toEqual([
    { purchase: '2', month: 0 },
    { purchase: '1', month: 5 },
  ]);
  // What can never be paid leaves what is free.
  const owed = sum(90_000, 0, 0, 0, 0, 0);
  expect((await plan({ committed: owed })).buys).toEqual([{ purchase: '2', month: 0 }]);
  // Nothing is told where the floor holds.
  expect((await plan({ openingCash: money(9000) })).floors).toBeUndefined();
});

test('What is ordered costs nothing more, is bound to the first month, comes when it was said to and waits for nothing', () => {
  const ordered = hide('1', 'warm', {
    status: 'ordered',
    priceHigh: money(5000),
    leadMonths: 1,
    arrivesMonth: plainMonth('2026-04'),
    requires: [['2']],
  });
  const { problem } = buildProblem(makeFacts({ collection: room(), upgrades: [ordered] }));
  expect(problem.purchases).toMatchObject([{ id: '1', price: 0, fixedMonth: 0, lead: 3 }]);
  expect(problem.purchases[0]!.requires).toBeUndefined();
});

test('A pinned upgrade has its month, an early one its first month, and one beyond the plan is left out', () => {
  const upgrades = [
    hide('1', 'warm', { pinnedMonth: plainMonth('2026-03'), priceHigh: money(100) }),
    hide('2', 'cool', { earliestMonth: plainMonth('2026-05') }),
    hide('3', 'moist', { pinnedMonth: plainMonth('2027-01') }),
    hide('4', 'moist', { earliestMonth: plainMonth('2027-01') }),
    hide('5', 'moist', { pinnedMonth: plainMonth('2025-11') }),
  ];
  const { problem, leftOut } = buildProblem(makeFacts({ collection: room(), upgrades }));
  expect(problem.purchases).toMatchObject([
    { id: '1', fixedMonth: 2, price: 100 },
    { id: '2', earliest: 4 },
    { id: '5', price: 0 },
  ]);
  // A pin whose month has passed binds nobody.
  expect(problem.purchases.find((one) => one.id === '5')).not.toHaveProperty('fixedMonth');
  expect(leftOut).toEqual([
    { upgradeId: '3', why: 'pinned-after-the-plan' },
    { upgradeId: '4', why: 'pinned-after-the-plan' },
  ]);
});

test('A new box ends the running cost and renewals of what stays behind with the old one, fitted or still to be bought', () => {
  const mat = makeFitting('heat-mat', {
    id: '7',
    lifeMonths: 4,
    renewalPrice: money(900),
    whenBoxReplaced: 'stays-behind',
  });
  const lamp = makeFitting('basking-lamp', { id: '8', whenBoxReplaced: 'moves' });
  const sheet = fitUpgrade('1', makeThing('insulation', { whenBoxReplaced: 'stays-behind' }), {
    monthlyCost: money(50),
  });
  const box = boxUpgrade('2', [120, 60, 60], { priceHigh: money(10_000) });
  const owned = [
    { fittingId: '7', monthlyCost: money(200), life: 4, renewalPrice: money(900), monthsInService: 2 },
    { fittingId: '8', monthlyCost: money(300), life: null, renewalPrice: null, monthsInService: 2 },
  ];
  const facts = makeFacts({
    collection: room({ fittings: [mat, lamp] }),
    upgrades: [sheet, box],
    months: 6,
    money: { ...plenty(6), owned, openingCash: money(100_000) },
  });
  const { problem } = buildProblem(facts);
  expect(problem.purchases.find((one) => one.id === '2')!.retires).toEqual([ownedId('7'), renewalId('7'), '1']);
  const spent = (buys: Buy[]) => {
    const result = evaluateSchedule(problem, buys);
    if (result.status !== 'feasible') throw new Error(result.rule);
    return result.balances.map((balance, month) => (month === 0 ? 100_000 : result.balances[month - 1]!) - balance);
  };
  // By hand: the mat is renewed when it is 4, 8 ... months old, thus in months 2 and 6.
  expect(spent([])).toEqual([500, 500, 1400, 500, 500, 500]);
  const both = [
    { purchase: '1', month: 0 },
    { purchase: '2', month: 1 },
  ];
  expect(spent(both)).toEqual([550, 10_300, 300, 300, 300, 300]);
});

test('A purchase, or a renewal of a thing, that stays behind is useless once the new box stands; one that moves is not', () => {
  const fittings = [
    makeFitting('uv-tube', { id: '5', whenBoxReplaced: 'stays-behind' }),
    makeFitting('uv-tube', { id: '6', whenBoxReplaced: 'moves' }),
  ];
  const renew = (fittingId: string) => makeUpgrade('1', [{ change: 'renew', fittingId }]);
  expect(isLeftBehind(renew('5'), ['1'], fittings)).toBe(true);
  expect(isLeftBehind(renew('6'), ['1'], fittings)).toBe(false);
  expect(isLeftBehind(renew('5'), ['2'], fittings)).toBe(false);
  expect(isLeftBehind(renew('5'), [], fittings)).toBe(false);
  expect(isLeftBehind(fitUpgrade('1', makeThing('hide', { whenBoxReplaced: 'stays-behind' })), ['1'], [])).toBe(true);
  expect(isLeftBehind(boxUpgrade('1', [90, 60, 60]), ['1'], [])).toBe(false);
});

test('A lamp whose renewals the plan pays for never passes its life; one past its life already does until it is renewed', () => {
  const dragon = makeAnimal('bearded-dragon', { id: '1', lengthMm: 450 });
  const tube = (fittedOn: string) =>
    makeFitting('uv-tube', {
      id: '5',
      fittedOn: plainDate(fittedOn),
      lifeMonths: 12,
      renewalPrice: money(4000),
      hoursPerDay: 12,
    });
  const facts = (fittedOn: string, monthsInService: number, upgrades: Upgrade[] = []) =>
    makeFacts({
      collection: room({
        animals: [dragon],
        fittings: [tube(fittedOn), makeFitting('hide', { id: '6', place: 'cool' })],
        readings: [makeReading('uvi-basking', 4, { takenOn: plainDate('2026-01-10') })],
      }),
      upgrades,
      money: {
        ...plenty(12),
        owned: [{ fittingId: '5', monthlyCost: money(0), life: 12, renewalPrice: money(4000), monthsInService }],
      },
    });
  const uv = (given: LedgerFacts, buys: Buy[]) => {
    const result = evaluateSchedule(buildProblem(given).problem, buys);
    if (result.status !== 'feasible') throw new Error(result.rule);
    return result.animals[0]!.months.map(
      (one) => one!.needs.find((need) => needNamed(need.need) === 'uv' && need.counts)!.value,
    );
  };
  const renewed = uv(facts('2025-03-10', 10), []);
  expect(renewed.every((value) => value === renewed[0])).toBe(true);
  const overdue = uv(facts('2024-12-01', 13), []);
  expect(overdue[11]).toBeLessThan(overdue[0]!);
  const renew = makeUpgrade('1', [{ change: 'renew', fittingId: '5' }]);
  const again = uv(facts('2024-12-01', 13, [renew]), [{ purchase: '1', month: 3 }]);
  expect(again.slice(0, 3)).toEqual(overdue.slice(0, 3));
  expect(again.slice(3).every((value) => value > overdue[0]!)).toBe(true);
});

test('The rule for the time after the plan is dropped, and said to be, when what leaves no choice breaks it already', () => {
  const dear = hide('1', 'warm', { status: 'ordered', monthlyCost: money(400) });
  const facts = (upgrades: Upgrade[], tailIncome: number) =>
    makeFacts({ collection: room(), upgrades, money: monthly(1000, 12, { tailIncome: money(tailIncome) }) });
  const kept = buildProblem(facts([dear], 400));
  expect([kept.tailRule, kept.problem.tailIncome]).toEqual(['kept', 400]);
  const broken = buildProblem(facts([dear], 399));
  expect([broken.tailRule, broken.problem.tailIncome]).toEqual(['already-broken', undefined]);
  // What is only wanted leaves a choice.
  expect(buildProblem(facts([{ ...dear, status: 'wanted' }], 399)).tailRule).toBe('kept');
});

test('Winter rest is months in which needs do not count, and a need that is severe in some months only is written twice', () => {
  const tortoise = makeAnimal('hermanns-tortoise', {
    id: '1',
    lengthMm: 150,
    seasons: [{ season: 'winter-rest', fromMonth: 12, toMonth: 2 }],
  });
  const facts = makeFacts({ collection: room({ animals: [tortoise] }), upgrades: [] });
  const { problem } = buildProblem(facts);
  const uv = problem.animals[0]!.needs.filter((one) => needNamed(one.need) === 'uv');
  expect(uv).toHaveLength(1);
  expect(uv[0]!.offMonths).toEqual([0, 1, 11]);
  const heat = problem.animals[0]!.needs.filter((one) => needNamed(one.need) === 'heat');
  expect(heat.length).toBeGreaterThan(1);
  // Each month is told by exactly one of them.
  const counted = heat.flatMap((one) =>
    Array.from({ length: 12 }, (_, month) => month).filter((month) => !(one.offMonths ?? []).includes(month)),
  );
  expect(counted.sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
});

test('An animal that lives nowhere is not planned for', () => {
  const facts = makeFacts({
    collection: room({ animals: [{ ...gecko, enclosureId: null }] }),
    upgrades: [hide('1', 'warm')],
  });
  expect(buildProblem(facts).problem.animals).toEqual([]);
});

// What a new box does to purchases made for the old one, and which readings a fitted upgrade asks for.

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import type { Collection, Fitting } from '../../src/collection.ts';
import { lampOf, setupOf, UNKNOWN_BUILD } from '../../src/collection.ts';
import { knownOf } from '../../src/evidence.ts';
import { money } from '../../src/money.ts';
import {
  applyUpgrades,
  askedAnew,
  bareFitting,
  type Change,
  fateInNewBox,
  readingsAfter,
  type Upgrade,
} from '../../src/upgrades.ts';
import {
  library,
  makeAnimal,
  makeBox,
  makeCollection,
  makeEnclosure,
  makeFitting,
  makeReading,
  makeThing,
  makeUpgrade,
  soundAnswers,
} from '../support/make.ts';
import { needOf, scoreFirst } from '../support/scoring.ts';

const mat = (enclosureId = '1'): Change => ({
  change: 'fit',
  enclosureId,
  fitting: { ...bareFitting('heat-mat', 'Mat'), key: 'mat', whenBoxReplaced: 'stays-behind' },
});
const hide: Change = { change: 'fit', enclosureId: '1', fitting: { ...bareFitting('hide', 'Cave'), key: 'hide' } };
const box: Change = {
  change: 'replace-box',
  enclosureId: '1',
  lengthMm: 1200,
  depthMm: 600,
  heightMm: 600,
  material: 'wood',
  top: 'closed',
};
const newBox = makeUpgrade('9', [box], { name: 'Larger box' });

test('A purchase that stays behind with the old box is told apart from one that moves into the new one', () => {
  const fate = (changes: Change[]) => fateInNewBox(makeUpgrade('1', changes), [newBox], []);
  expect(fate([mat()])).toEqual({
    fate: 'stays-behind',
    newBoxes: [{ upgradeId: '9', name: 'Larger box' }],
    staying: ['Mat'],
    moving: [],
  });
  expect(fate([hide])).toMatchObject({ fate: 'moves', moving: ['Cave'] });
  expect(fate([mat(), hide])).toMatchObject({ fate: 'split', staying: ['Mat'], moving: ['Cave'] });
});

test('Things keep their places in a larger box: lamps their gap to the top, solids their height above the floor, so UV falls', () => {
  const at = (xMm: number, zMm: number, sizeMm: number | null) => ({
    ...{ xMm, yMm: 200, zMm, turned: false },
    ...{ lengthMm: sizeMm, depthMm: sizeMm, heightMm: sizeMm },
  });
  const day = plainDate('2026-02-01');
  const before = makeCollection({
    enclosures: [makeBox(900, 400, 450, { top: 'closed' })],
    fittings: [
      makeFitting('uv-tube', { id: 't', fittedOn: day, lamp: lampOf(550, 300, 3), placed: at(450, 410, null) }),
      makeFitting('basking-place', { id: 'b', placed: at(450, 0, 80) }),
      makeFitting('uv-tube', { id: 'over', retiredOn: day, placed: at(450, 470, null) }),
    ],
  });
  const after = applyUpgrades(before, [newBox], day);
  // By hand: 900 to 1200 mm long, 400 to 600 deep, 450 to 600 high.
  const placed = (id: string) => after.fittings.find((one) => one.id === id)!.placed;
  expect(placed('t')).toMatchObject({ xMm: 600, yMm: 300, zMm: 560 });
  expect(placed('b')).toMatchObject({ xMm: 600, yMm: 300, zMm: 0 });
  expect(placed('over')).toMatchObject({ zMm: 560 });
  const uvi = (given: typeof before) => {
    const known = knownOf(setupOf(given, '1'), 'uvi-basking', day, day);
    return known.status === 'known' ? known.value : Number.NaN;
  };
  // The stated point of the lamp: UVI 3 at 300 mm, the back of what lies on the place being 30 mm above its top.
  expect(uvi(before)).toBeCloseTo(3, 6);
  expect(uvi(after)).toBeLessThan(2);
  expect(uvi(after)).toBeGreaterThan(1);
});

test('Without a new box that is wanted or ordered for the same enclosure, a purchase keeps its use', () => {
  const none = { fate: 'no-new-box' };
  expect(fateInNewBox(makeUpgrade('1', [mat('2')]), [newBox], [])).toEqual(none);
  for (const status of ['refused', 'fitted', 'proposed'] as const) {
    expect(fateInNewBox(makeUpgrade('1', [mat()]), [{ ...newBox, status }], [])).toEqual(none);
  }
  expect(fateInNewBox(makeUpgrade('1', [mat()]), [{ ...newBox, status: 'ordered' }], [])).not.toEqual(none);
  expect(fateInNewBox(newBox, [newBox], [])).toEqual(none);
  expect(fateInNewBox(makeUpgrade('1', [box, mat()]), [newBox], [])).toEqual(none);
  expect(
    fateInNewBox(makeUpgrade('1', [{ change: 'answer', enclosureId: '1', check: 'drip-loop' }]), [newBox], []),
  ).toEqual(none);
});

test('A run out of doors, scattered food and swapped objects do not move into a new box', () => {
  const one = (kind: 'outdoor-run' | 'feeding-toy' | 'novelty', priceHigh: number) =>
    fateInNewBox(
      makeUpgrade('1', [{ change: 'fit', enclosureId: '1', fitting: makeThing(kind) }], {
        priceHigh: money(priceHigh),
      }),
      [newBox],
      [],
    ).fate;
  expect([one('outdoor-run', 20000), one('feeding-toy', 0), one('novelty', 0)]).toEqual(Array(3).fill('no-new-box'));
  expect(one('feeding-toy', 900)).toBe('moves');
});

test('Of a list that nobody can change each upgrade is told the same, the one that brings the box too', () => {
  const all = [makeUpgrade('1', [mat()]), newBox, makeUpgrade('2', [hide])];
  const kept = Object.freeze([...all]);
  for (const one of all) expect(fateInNewBox(one, kept, [])).toEqual(fateInNewBox(one, all, []));
  expect(fateInNewBox(all[0]!, kept, [])).toMatchObject({ fate: 'stays-behind' });
  expect(fateInNewBox(newBox, kept, [])).toEqual({ fate: 'no-new-box' });
  // A list that can be changed is looked through each time.
  all.splice(1, 1);
  expect(fateInNewBox(all[0]!, all, [])).toEqual({ fate: 'no-new-box' });
});

const fitted = (id: string, parts: Partial<Fitting>) =>
  makeFitting('uv-tube', { id, name: `thing ${id}`, fittedOn: plainDate('2025-01-01'), ...parts });

test('The renewal of a thing that stays behind is lost with it', () => {
  const renew = makeUpgrade('1', [{ change: 'renew', fittingId: '7' }]);
  const fate = (whenBoxReplaced: Fitting['whenBoxReplaced']) =>
    fateInNewBox(renew, [newBox], [fitted('7', { whenBoxReplaced })]);
  expect(fate('stays-behind')).toMatchObject({ fate: 'stays-behind', staying: ['thing 7'] });
  expect(fate('moves')).toMatchObject({ fate: 'moves' });
});

const collection: Collection = {
  animals: [],
  enclosures: [
    {
      id: '1',
      name: 'box',
      lengthMm: 900,
      depthMm: 450,
      heightMm: 450,
      material: 'glass',
      top: 'mesh',
      boxSince: plainDate('2024-01-01'),
      build: UNKNOWN_BUILD,
    },
  ],
  fittings: [fitted('7', {}), fitted('8', { kind: 'hide' })],
  readings: [makeReading('cool-end-air', 22, { id: '1', typed: '22 °C', takenOn: plainDate('2026-01-01') })],
  answers: [],
};

test.each<[string, Change, string[]]>([
  ['a mat', mat(), ['warm-hide-floor']],
  [
    'a moved tube',
    { change: 'move', fittingId: '7', distanceMm: 300, meshShare: null, place: null, outOfReach: null, placed: null },
    ['uvi-basking', 'uvi-lowest'],
  ],
  ['a new box', box, ['cool-end-air']],
  ['a promise', { change: 'predict', enclosureId: '1', reading: 'humidity-day', value: 50 }, ['humidity-day']],
  ['a retired tube', { change: 'retire', fittingId: '7' }, ['uvi-basking', 'uvi-lowest']],
])('After %s the readings it touches are asked for', (_name, change, readings) => {
  expect(readingsAfter(makeUpgrade('1', [change]), collection)).toEqual([{ enclosureId: '1', readings }]);
});

test('A plain hide and an answered check ask for no reading', () => {
  expect(readingsAfter(makeUpgrade('1', [hide]), collection)).toEqual([]);
  expect(
    readingsAfter(makeUpgrade('1', [{ change: 'answer', enclosureId: '1', check: 'drip-loop' }]), collection),
  ).toEqual([]);
});

describe('A set-up tried out on paper', () => {
  const on = plainDate('2026-03-01');
  const standing = () =>
    makeCollection({
      enclosures: [makeBox(900, 450, 450), makeBox(600, 400, 400, { id: '2' })],
      animals: [makeAnimal('leopard-gecko', { lengthMm: 130 })],
      fittings: [
        makeFitting('heat-mat', { id: 'old-mat', whenBoxReplaced: 'stays-behind' }),
        makeFitting('uv-tube', { id: 'tube', lifeMonths: 12, hoursPerDay: 10, distanceMm: 300 }),
        makeFitting('hide', { id: 'bark', place: 'warm' }),
        makeFitting('hide', { id: 'far', enclosureId: '2', whenBoxReplaced: 'stays-behind' }),
      ],
      readings: [
        makeReading('warm-hide-floor', 31, { id: 'floor' }),
        makeReading('humidity-day', 40, { id: 'damp' }),
        makeReading('humidity-day', 40, { id: 'far-damp', enclosureId: '2' }),
      ],
    });

  const kit = makeUpgrade('kit', [
    {
      change: 'fit',
      enclosureId: '1',
      fitting: { ...bareFitting('ceramic-heater', 'Heater'), key: 'heater', watts: 60 },
    },
    {
      change: 'fit',
      enclosureId: '1',
      fitting: { ...bareFitting('thermostat', 'Thermostat'), key: 'stat', regulates: 'heater' },
    },
    { change: 'fit', enclosureId: '1', fitting: { ...bareFitting('guard', 'Guard'), key: 'guard', guards: 'heater' } },
  ]);
  const statForOld = makeUpgrade('stat', [
    {
      change: 'fit',
      enclosureId: '1',
      fitting: { ...bareFitting('thermostat', 'Second'), key: 'one', regulates: 'old-mat' },
    },
  ]);
  const newBox = makeUpgrade('box', [
    {
      change: 'replace-box',
      enclosureId: '1',
      lengthMm: 1500,
      depthMm: 700,
      heightMm: 700,
      material: 'pvc',
      top: 'closed',
    },
    {
      change: 'fit',
      enclosureId: '1',
      fitting: { ...bareFitting('insulation', 'Cut to fit'), key: 'wall', whenBoxReplaced: 'stays-behind' },
    },
  ]);
  const oldMat = makeUpgrade('mat', [mat()]);
  const moved = makeUpgrade('move', [
    {
      change: 'move',
      fittingId: 'tube',
      distanceMm: 250,
      meshShare: null,
      place: null,
      outOfReach: null,
      placed: null,
    },
  ]);
  const shorter = makeUpgrade('hours', [{ change: 'set-hours', fittingId: 'tube', hoursPerDay: 12 }]);
  const away = makeUpgrade('away', [{ change: 'retire', fittingId: 'bark' }]);
  const predicted = makeUpgrade('turn', [{ change: 'predict', enclosureId: '1', reading: 'cool-end-air', value: 24 }]);
  const all = [kit, statForOld, newBox, oldMat, moved, shorter, away, predicted];

  const sorted = (collection: Collection) => ({
    ...collection,
    fittings: collection.fittings.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
    readings: collection.readings.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
  });

  test('The order in which upgrades were bought makes no difference', () => {
    let shuffled = 0;
    fc.assert(
      fc.property(fc.subarray(all, { minLength: 2 }), fc.infiniteStream(fc.nat(1000)), (chosen, stream) => {
        const keys = new Map(chosen.map((one) => [one.id, stream.next().value as number]));
        const other = chosen.toSorted((a, b) => keys.get(a.id)! - keys.get(b.id)!);
        const collection = standing();
        expect(sorted(applyUpgrades(collection, other, on))).toEqual(sorted(applyUpgrades(collection, chosen, on)));
        if (other.some((one, place) => one !== chosen[place])) shuffled += 1;
      }),
      { numRuns: 200 },
    );
    expect(shuffled).toBeGreaterThan(100);
  });

  test('Trying out leaves the real collection as it was', () => {
    const collection = standing();
    const before = structuredClone(collection);
    applyUpgrades(collection, all, on);
    expect(collection).toEqual(before);
    expect(applyUpgrades(collection, [], on)).toEqual(before);
  });

  test('The things of a kit name one another by their keys, and things that are there by their own ids', () => {
    const { fittings } = applyUpgrades(standing(), [kit, statForOld], on);
    const found = (name: string) => fittings.find((one) => one.name === name)!;
    expect(found('Thermostat').regulates).toBe(found('Heater').id);
    expect(found('Guard').guards).toBe(found('Heater').id);
    expect(found('Second').regulates).toBe('old-mat');
    expect(found('Heater')).toMatchObject({ enclosureId: '1', fittedOn: on, retiredOn: null });
    const safety = scoreFirst(applyUpgrades(standing(), [kit, statForOld], on), { on }).needs.find(
      (one) => one.need === 'safety',
    );
    expect(safety?.reasons.map(({ reason }) => reason.why)).not.toContain('heater-unregulated');
  });

  test('A new box leaves behind what stays with the old one, bought or planned, but not what came with it', () => {
    const { enclosures, fittings } = applyUpgrades(standing(), [oldMat, newBox], on);
    expect(enclosures[0]).toMatchObject({ lengthMm: 1500, material: 'pvc', boxSince: on });
    expect(enclosures[1]).toMatchObject({ lengthMm: 600, boxSince: '2025-01-01' });
    const state = (id: string) => fittings.find((one) => one.id === id)?.retiredOn;
    expect(state('old-mat')).toBe(on);
    expect([state('tube'), state('bark'), state('far')]).toEqual([null, null, null]);
    expect(fittings.some((one) => one.name === 'Mat')).toBe(false);
    expect(fittings.find((one) => one.name === 'Cut to fit')).toMatchObject({ retiredOn: null });
  });

  test('A new box ends every reading taken in the old one and none of another', () => {
    const { readings } = applyUpgrades(standing(), [newBox], on);
    const fate = Object.fromEntries(readings.map((one) => [one.id, one.onPaper ?? 'holds']));
    expect(fate).toEqual({ floor: 'ended', damp: 'ended', 'far-damp': 'holds' });
    expect(needOf(scoreFirst(applyUpgrades(standing(), [newBox], on), { on }), 'humidity')).toMatchObject({
      unknown: true,
    });
  });

  test('Of a new box it is asked again what was seen to in the old one, and on paper it is taken to be seen to', () => {
    expect(soundAnswers.map((one) => one.answer)).toEqual(['yes', 'yes']);
    expect(askedAnew(newBox, standing()).map((one) => one.check)).toEqual(['escape-proof']);
    expect(askedAnew(oldMat, standing())).toEqual([]);
    const { answers } = applyUpgrades(standing(), [newBox], on);
    expect(answers.find((one) => one.check === 'escape-proof')?.answer).toBe('yes');
  });

  test('A thing that influences a reading leaves it no longer measured, and others leave it alone', () => {
    const { readings } = applyUpgrades(standing(), [oldMat], on);
    const fate = Object.fromEntries(readings.map((one) => [one.id, one.onPaper ?? 'holds']));
    expect(fate).toEqual({ floor: 'changed', damp: 'holds', 'far-damp': 'holds' });
    const score = scoreFirst(applyUpgrades(standing(), [oldMat], on), { on });
    const floor = needOf(score, 'heat').reasons.map(({ reason }) => reason);
    expect(floor).toContainEqual({
      why: 'uncertain-reading',
      kind: 'warm-hide-floor',
      from: 'estimated',
      takenOn: '2026-01-10',
    });
  });

  test('Moving, setting hours, renewing and retiring change only what they name', () => {
    const renewed = makeUpgrade('renew', [{ change: 'renew', fittingId: 'tube' }]);
    const { fittings } = applyUpgrades(standing(), [moved, shorter, away, renewed], on);
    const before = standing().fittings;
    expect(fittings.find((one) => one.id === 'tube')).toEqual({
      ...before.find((one) => one.id === 'tube')!,
      distanceMm: 250,
      movedOn: on,
      hoursPerDay: 12,
      fittedOn: on,
    });
    expect(fittings.find((one) => one.id === 'bark')).toMatchObject({ retiredOn: on });
    expect(fittings.find((one) => one.id === 'far')).toEqual(before.find((one) => one.id === 'far'));
  });

  test('A change that names nothing that is there changes nothing', () => {
    const lost = makeUpgrade('lost', [
      { change: 'retire', fittingId: 'gone' },
      { change: 'fit', enclosureId: '9', fitting: { ...bareFitting('hide', 'Cave'), key: 'hide' } },
      { change: 'replace-box', enclosureId: '9', lengthMm: 1, depthMm: 1, heightMm: 1, material: 'glass', top: 'open' },
    ]);
    expect(applyUpgrades(standing(), [lost], on)).toEqual(standing());
  });
});

test('What broke is in use again once it is renewed, and what was read meanwhile says nothing of it; what was retired stays so', () => {
  const [broke, on] = [plainDate('2026-01-05'), plainDate('2026-02-01')];
  const renew = makeUpgrade('1', [{ change: 'renew', fittingId: '7' }]);
  const reading = (id: string, day: string) => ({
    ...collection.readings[0]!,
    id,
    kind: 'uvi-basking' as const,
    takenOn: plainDate(day),
  });
  const after = (parts: Partial<Fitting>, more: Upgrade[] = []) =>
    applyUpgrades(
      {
        ...collection,
        fittings: [fitted('7', parts)],
        readings: [reading('1', '2026-01-02'), reading('2', '2026-01-20'), ...collection.readings],
      },
      [renew, ...more],
      on,
    );
  const back = after({ retiredOn: broke, brokenOn: broke });
  expect(back.fittings).toMatchObject([{ fittedOn: on, retiredOn: null, brokenOn: broke }]);
  expect(back.readings.map((one) => [one.kind, one.takenOn, one.onPaper])).toEqual([
    ['uvi-basking', '2026-01-02', 'changed'],
    ['cool-end-air', '2026-01-01', undefined],
  ]);
  expect(after({ retiredOn: broke }).fittings).toMatchObject([{ retiredOn: broke }]);
  expect(after({ retiredOn: on, brokenOn: on }).fittings).toMatchObject([{ retiredOn: null, brokenOn: null }]);
  const behind = { retiredOn: broke, brokenOn: broke, whenBoxReplaced: 'stays-behind' as const };
  expect(after(behind, [newBox]).fittings).toMatchObject([{ retiredOn: broke }]);
});

test('Deep soil keeps back the warmth of a mat in its own box, and of no mat in another', () => {
  const soil: Change = {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('deep-substrate', 'Soil'), key: 'soil' },
  };
  const matIn = (enclosureId: string) =>
    makeCollection({
      enclosures: [makeBox(900, 450, 450), { ...makeBox(900, 450, 450), id: '2' }],
      fittings: [makeFitting('heat-mat', { id: '5', enclosureId })],
    });
  const asked = (enclosureId: string) => readingsAfter(makeUpgrade('1', [soil]), matIn(enclosureId))[0]!.readings;
  expect(asked('1')).toContain('warm-hide-floor');
  expect(asked('2')).not.toContain('warm-hide-floor');
});

test('A temperature that no target of anyone in the box speaks of is not read after a change', () => {
  const lamp: Change = { change: 'fit', enclosureId: '1', fitting: makeThing('basking-lamp') };
  const readings = (speciesId: string) => {
    const collection = makeCollection({ animals: [makeAnimal(speciesId)], enclosures: [makeEnclosure()] });
    return readingsAfter(makeUpgrade('1', [lamp]), collection, library).flatMap((one) => one.readings);
  };
  // The targets of a tortoise name no warm hide, those of a gecko of twilight no basking surface.
  expect(readings('hermanns-tortoise')).toEqual(['hot-spot-surface', 'cool-end-air']);
  expect(readings('leopard-gecko')).toEqual(['warm-hide-floor', 'cool-end-air']);
});

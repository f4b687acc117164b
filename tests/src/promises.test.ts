// What upgrades promise and deliver: which readings are promised, which reading answers, and how the keeper's own readings correct the next.

import { expect, test } from 'vitest';
import { addDays, plainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { lampOf } from '../../src/collection.ts';
import type { Delivery, Promised } from '../../src/promises.ts';
import {
  awaitedReadings,
  correctionFrom,
  deliveriesOf,
  lightCorrectionFrom,
  promisesOf,
  shifted,
} from '../../src/promises.ts';
import type { Change } from '../../src/upgrades.ts';
import { applyUpgrades, bareFitting } from '../../src/upgrades.ts';
import { makeAnimal, makeBox, makeCollection, makeFitting, makeReading, makeUpgrade } from '../support/make.ts';
import { today } from '../support/scoring.ts';

const upgrade = (changes: Change[]) => makeUpgrade('7', changes, { name: 'New tube' });

const tube: Change = {
  change: 'fit',
  enclosureId: '1',
  fitting: {
    ...bareFitting('uv-tube', 'UV tube'),
    key: 'tube',
    hoursPerDay: 10,
    // A weak 30 cm tube, 10 in lit: UVI 0.8 at 10 in (common practice, no source).
    lamp: lampOf(254, 254, 0.8),
    distanceMm: 254,
  },
};

const collection = (parts: Partial<Collection> = {}): Collection =>
  makeCollection({ enclosures: [makeBox(900, 450, 450)], animals: [makeAnimal('corn-snake')], ...parts });

const promise = (parts: Partial<Promised> = {}): Promised => ({
  upgradeId: '7',
  enclosureId: '1',
  kind: 'uvi-basking',
  predicted: 2,
  error: 0.3,
  madeOn: today,
  model: 2,
  ...parts,
});

test('a new tube promises the UV that its class gives at its distance, and nothing that nobody stated', () => {
  const promised = promisesOf(upgrade([tube]), collection(), today);
  expect(promised.map((one) => one.kind)).toEqual(['uvi-basking']);
  expect(promised[0]!.predicted).toBeCloseTo(0.8, 6);
  // Source model 5 %, datum 2 x 10 mm of 254 mm, in quadrature.
  expect(promised[0]!.error).toBeCloseTo(0.8 * Math.hypot(0.05, 20 / 254), 6);
});

test('an adjustment promises what it predicts, an older reading that merely lives on is no promise', () => {
  const before = collection({
    fittings: [makeFitting('heat-mat', { id: 'mat' })],
    readings: [makeReading('warm-hide-floor', 34)],
  });
  const predicts = upgrade([{ change: 'predict', enclosureId: '1', reading: 'warm-hide-floor', value: 30 }]);
  expect(promisesOf(predicts, before, today)).toMatchObject([{ kind: 'warm-hide-floor', predicted: 30, error: 2 }]);
  const soil = upgrade([
    { change: 'fit', enclosureId: '1', fitting: { ...bareFitting('deep-substrate', 'Soil'), key: 'soil' } },
  ]);
  expect(promisesOf(soil, before, today)).toEqual([]);
});

test('the first measured reading on or after the day answers a promise, an estimate or an older one never', () => {
  const readings = [
    makeReading('uvi-basking', 9, { takenOn: plainDate('2026-01-14') }),
    makeReading('uvi-basking', 8, { takenOn: plainDate('2026-01-16'), evidence: 'estimated' }),
    makeReading('uvi-basking', 2.1, { takenOn: plainDate('2026-01-20'), accuracy: 0.2 }),
    makeReading('uvi-basking', 1, { takenOn: plainDate('2026-02-20') }),
  ];
  const [delivery] = deliveriesOf([promise()], collection({ readings }));
  expect(delivery).toMatchObject({ status: 'read', measured: 2.1, takenOn: '2026-01-20', within: true, check: [] });
  if (delivery?.status !== 'read') throw new Error('it was read');
  expect(delivery.difference).toBeCloseTo(0.1, 9);
  expect(delivery.combinedError).toBeCloseTo(Math.hypot(0.3, 0.2), 9);
  expect(deliveriesOf([promise()], collection({ readings: readings.slice(0, 2) }))).toMatchObject([
    { status: 'awaiting' },
  ]);
});

test('a reading far below says what to look at, distance first and age last', () => {
  const fittings = [
    makeFitting('uv-tube', { id: 'tube', meshShare: 0.66, fittedOn: plainDate('2025-01-01') }),
    makeFitting('guard', { guards: 'tube', fittedOn: plainDate('2025-01-01') }),
  ];
  const readings = [makeReading('uvi-basking', 0.9, { takenOn: plainDate('2026-01-20') })];
  expect(deliveriesOf([promise()], collection({ fittings, readings }))).toMatchObject([
    { within: false, check: ['distance', 'mesh', 'datum', 'guard', 'meter', 'age'] },
  ]);
});

test('of a new tube the first reading after 100 hours counts, an earlier one only until then', () => {
  const fittings = [makeFitting('uv-tube', { fittedOn: today, hoursPerDay: 10 })];
  const early = makeReading('uvi-basking', 3, { takenOn: plainDate('2026-01-16') });
  // Ten days of ten hours end on 25 January.
  const late = makeReading('uvi-basking', 2, { takenOn: plainDate('2026-01-25') });
  const first = deliveriesOf([promise()], collection({ fittings, readings: [early] }));
  expect(first).toMatchObject([{ measured: 3, settled: false }]);
  expect(correctionFrom(first).uv).toBeNull();
  expect(deliveriesOf([promise()], collection({ fittings, readings: [early, late] }))).toMatchObject([
    { measured: 2, settled: true },
  ]);
});

test('what changed before anybody measured overtakes a promise', () => {
  const fittings = [makeFitting('uv-tube', { movedOn: plainDate('2026-01-18') })];
  const readings = [makeReading('uvi-basking', 2, { takenOn: plainDate('2026-01-20') })];
  expect(deliveriesOf([promise()], collection({ fittings, readings }))).toMatchObject([
    { status: 'overtaken', on: '2026-01-18' },
  ]);
});

test('a fitted upgrade waits for every reading it touches until each is measured', () => {
  const fitted = upgrade([tube]);
  expect(awaitedReadings(fitted, today, collection()).map((one) => one.kind)).toEqual(['uvi-basking', 'uvi-lowest']);
  const readings = [
    makeReading('uvi-basking', 2, { takenOn: today }),
    makeReading('uvi-lowest', 0, { takenOn: plainDate('2026-01-01') }),
  ];
  expect(awaitedReadings(fitted, today, collection({ readings })).map((one) => one.kind)).toEqual(['uvi-lowest']);
});

const read = (
  parts: Partial<Promised>,
  measured: number,
  more: Partial<Delivery & { held: boolean }> = {},
): Delivery => {
  const promised = promise(parts);
  return {
    promised,
    status: 'read',
    measured,
    takenOn: today,
    difference: measured - promised.predicted,
    combinedError: 1,
    within: true,
    settled: true,
    held: false,
    aged: 1,
    check: [],
    ...more,
  } as Delivery;
};

test('lamps that gave half and double of what was promised correct nothing, their geometric mean is 1', () => {
  const { uv } = correctionFrom([read({}, 1), read({}, 4)]);
  expect(uv?.factor).toBeCloseTo(1, 9);
  expect(uv?.shrunk).toBeCloseTo(1, 9);
  expect(uv?.from).toBe(2);
});

// Of a tube of 12 months of life 0.7 is left at its end, 0.7^(1/2) at half of it: what is read then says so much more of a new one.
test('what age took of a lamp is not learnt as a weakness of all lamps', () => {
  const half = addDays(today, 183);
  const fitted = applyUpgrades(collection(), [upgrade([tube])], today);
  const readings = [makeReading('uvi-basking', 0.8 * 0.7 ** 0.5, { takenOn: half, accuracy: 0.08 })];
  const [delivery] = deliveriesOf([promise({ model: 0.8, predicted: 0.8 })], { ...fitted, readings });
  expect(delivery).toMatchObject({ status: 'read', settled: true });
  expect(correctionFrom([delivery!]).uv?.factor).toBeCloseTo(1, 2);
});

test('one lamp at 0.8 of the model moves what is expected by a third of the way, many by nearly all of it and more surely', () => {
  const one = correctionFrom([read({}, 1.6)]).uv!;
  expect(one.shrunk).toBeCloseTo(0.8 ** (1 / 3), 9);
  // By hand: the lamp lies (2 / 3) ln 0.8 off; s2 = (2 x 0.04 + 0.02213) / 3, the error s / sqrt 3.
  expect(one.error).toBeCloseTo(0.10653, 4);
  const many = correctionFrom(Array.from({ length: 98 }, () => read({}, 1.6))).uv!;
  expect(many.shrunk).toBeCloseTo(0.8 ** 0.98, 9);
  expect(many.error).toBeLessThan(0.01);
});

test('lamps that lie far apart leave a wider error than lamps that agree', () => {
  const alike = correctionFrom([read({}, 1.6), read({}, 1.6), read({}, 1.6)]).uv!;
  const apart = correctionFrom([read({}, 0.8), read({}, 1.6), read({}, 3.2)]).uv!;
  expect(apart.factor).toBeCloseTo(alike.factor, 9);
  expect(apart.error).toBeGreaterThan(1.5 * alike.error);
});

// A keeper whose lamps always give 0.8 of the model, box after box; each promise is made with what was learnt of those before.
test('corrected promises teach the same as uncorrected ones: lamps that always give 0.8 are corrected to 0.8, not to 0.64', () => {
  const boxes = Array.from({ length: 40 }, (_, index) => ({ ...makeBox(900, 450, 450), id: String(index + 1) }));
  let kept = collection({ enclosures: boxes });
  const promised: Promised[] = [];
  for (const { id } of boxes) {
    kept = { ...kept, lightCorrection: lightCorrectionFrom(promised, kept) };
    const change = { ...tube, enclosureId: id } as Change;
    const [made] = promisesOf(makeUpgrade(id, [change]), kept, today);
    const n = promised.length;
    expect(made!.model).toBeCloseTo(0.8, 9);
    expect(made!.predicted).toBeCloseTo(0.8 * 0.8 ** (n / (n + 2)), 9);
    promised.push(made!);
    const reading = makeReading('uvi-basking', 0.8 * 0.8, { enclosureId: id, takenOn: plainDate('2026-02-20') });
    kept = { ...kept, readings: [...kept.readings, reading] };
  }
  const last = lightCorrectionFrom(promised, kept)!;
  expect(last.from).toBe(40);
  expect(last.factor).toBeCloseTo(0.8 ** (40 / 42), 9);
  expect(last.factor).toBeGreaterThan(0.8);
  const deliveries = deliveriesOf(promised, kept);
  const missed = deliveries.map((one) => (one.status === 'read' ? one.difference : Number.NaN));
  // What was told came ever nearer to what was read.
  expect(missed[0]).toBeCloseTo(0.64 - 0.8, 9);
  expect(Math.abs(missed[39]!)).toBeLessThan(0.01);
});

test('a lamp whose figures were read under it, and one that its box was read with, teach nothing of other lamps', () => {
  if (tube.change !== 'fit') throw new Error('the tube is fitted');
  const lamp = { ...tube.fitting.lamp!, from: 'own-reading' as const };
  const own: Change = { ...tube, fitting: { ...tube.fitting, lamp } };
  const before = collection({ lightCorrection: { factor: 0.5, error: 0.1, from: 3 } });
  expect(promisesOf(upgrade([own]), before, today)).toMatchObject([{ model: null }]);
  expect(promisesOf(upgrade([own]), before, today)[0]!.predicted).toBeCloseTo(0.8, 9);
  const other = promisesOf(upgrade([tube]), before, today)[0]!;
  expect(other.predicted).toBeCloseTo(0.4, 9);
  expect(other.error).toBeCloseTo(0.4 * Math.hypot(0.05, 20 / 254, 0.1), 9);
  expect(correctionFrom([read({ model: null }, 1)]).uv).toBeNull();
});

test('a lamp that gave nothing is a fault and corrects nothing', () => {
  expect(correctionFrom([read({}, 0)]).uv).toBeNull();
});

test('only temperatures that a thermostat holds are shifted, each kind by itself', () => {
  const floor = { kind: 'warm-hide-floor', predicted: 30 } as const;
  const spot = { kind: 'hot-spot-surface', predicted: 40 } as const;
  const correction = correctionFrom([read(floor, 29, { held: true }), read(floor, 28, { held: true }), read(spot, 50)]);
  expect(correction.temperatures['warm-hide-floor']).toEqual({ mean: -1.5, shrunk: -0.75, from: 2 });
  expect(correction.temperatures['hot-spot-surface']).toBeUndefined();
  expect(shifted(floor, correction)).toBe(29.25);
  expect(shifted(spot, correction)).toBe(40);
});

// What a fitting sheet tells to do for each kind of thing: distances and datums, guards, thermostats, probes, sockets, readings, cautions.

import { describe, expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import type { Collection, Fitting, FittingKind } from '../../src/collection.ts';
import { FITTING_KINDS, HEATERS, lampOf, READING_KINDS, UNKNOWN_BUILD } from '../../src/collection.ts';
import type { FittingSheet, SheetLine } from '../../src/fitting-sheet.ts';
import { sheetFor, THERMOSTAT_FOR } from '../../src/fitting-sheet.ts';
import type { Outlet, Room } from '../../src/rooms.ts';
import type { Change, NewFitting } from '../../src/upgrades.ts';
import { bareFitting } from '../../src/upgrades.ts';
import {
  library,
  makeAnimal,
  makeBox,
  makeCollection,
  makeFitting,
  makeReading,
  makeUpgrade,
} from '../support/make.ts';
import { today } from '../support/scoring.ts';

const upgrade = (changes: Change[]) => makeUpgrade('7', changes, { name: 'Kit' });

const toFit = (kind: FittingKind, parts: Partial<NewFitting> = {}): Change => ({
  change: 'fit',
  enclosureId: '1',
  fitting: { ...bareFitting(kind, `New ${kind}`), key: kind, ...parts },
});

const socket: Outlet = {
  id: 's',
  name: 'Strip',
  roomId: null,
  rule: 'uk',
  volts: 230,
  circuitAmps: 13,
  plugAmps: 13,
  leadAmps: 1,
};

function sheetOf(
  changes: Change[],
  parts: Partial<Collection> = {},
  more: { done?: boolean; rooms?: Room[]; origin?: 'own' | 'proposed' } = {},
): FittingSheet {
  const collection = makeCollection({
    enclosures: [makeBox(900, 450, 450)],
    animals: [makeAnimal('corn-snake', { name: 'Maize' })],
    ...parts,
  });
  const done = more.done ?? false;
  return sheetFor({
    upgrade: { ...upgrade(changes), origin: more.origin ?? 'own' },
    collection,
    library,
    outlets: [socket],
    rooms: more.rooms ?? [],
    on: today,
    done,
  });
}

const linesOf = (sheet: FittingSheet, thing = 0) => sheet.things[thing]!.lines;
const namesOf = (lines: SheetLine[]) => lines.map((one) => one.line);
const lineOf = (lines: SheetLine[], name: SheetLine['line']) => lines.find((one) => one.line === name);

describe('a new box', () => {
  const box: Change = {
    change: 'replace-box',
    enclosureId: '1',
    ...{ lengthMm: 1400, depthMm: 700, heightMm: 1400, material: 'wood', top: 'closed' },
  };
  const mat = toFit('heat-mat', { watts: 28, hoursPerDay: 24 });

  // By hand, walls and loss as in EN ISO 6946: 140 x 70 x 140 cm of closed wood lose about 21.4 W/K, so 28 W carry it 28 / 21.4 = 1.3 K above its room.
  test('is told when what heats it cannot carry its air in the coldest month of the room', () => {
    const home = { ...makeBox(900, 450, 450), build: { ...UNKNOWN_BUILD, roomId: 'r' } };
    const rooms: Room[] = [{ id: 'r', name: 'Room', coldest: { celsius: 16, month: 1 }, hottest: null }];
    const [cold] = sheetOf([box, mat], { enclosures: [home] }, { rooms }).boxes;
    expect(cold!.coldest).toMatchObject({ status: 'reckoned', heaterWatts: 28, roomCelsius: 16 });
    if (cold!.coldest.status !== 'reckoned') throw new Error('it is reckoned');
    expect(cold!.coldest.mostCelsius).toBeCloseTo(17.3, 1);
    expect(cold!.coldest.mostCelsius).toBeLessThan(cold!.coldest.wantedCelsius);
    expect(cold!.coldest.neededWatts).toBeGreaterThan(100);
    expect(sheetOf([box, mat]).boxes[0]!.coldest).toEqual({ status: 'unknown', why: 'room-unknown' });
  });

  // Burns rules of the husbandry notes: what heats is guarded, held and read anew wherever it goes.
  test('tells of each heater that goes into it: guard first, fixing, wood, thermostat, and what to read of it', () => {
    const fittings = [
      makeFitting('heat-mat', { id: 'mat', name: 'Mat' }),
      makeFitting('ceramic-heater', { id: 'dark', name: 'Dark', outOfReach: true }),
      makeFitting('heat-mat', { id: 'left', name: 'Left', whenBoxReplaced: 'stays-behind' }),
    ];
    const sheet = sheetOf([box], { animals: [makeAnimal('royal-python')], fittings });
    expect(sheet.things.map(({ name, what }) => [name, what])).toEqual([
      ['Mat', 'into-new-box'],
      ['Dark', 'into-new-box'],
    ]);
    expect(namesOf(linesOf(sheet))).toEqual(['mat-and-wood', 'thermostat', 'probe', 'look-again']);
    expect(namesOf(linesOf(sheet, 1)).slice(0, 2)).toEqual(['reach-in-new-box', 'hang-anew']);
    expect(namesOf(linesOf(sheet, 1))).not.toContain('out-of-reach');
    expect(sheet.readings.map(({ kind }) => kind).sort()).toEqual([
      'cool-end-air',
      'night-air',
      'warm-air',
      'warm-hide-floor',
    ]);
    expect(sheet.cautions).toEqual(expect.arrayContaining(['mains', 'burns', 'fire', 'electrician']));
    expect(sheet.trialHours).not.toBeNull();
    const guard = makeFitting('guard', { id: 'g', guards: 'dark' });
    const guarded = sheetOf([box], { animals: [makeAnimal('royal-python')], fittings: [...fittings, guard] });
    expect(namesOf(linesOf(guarded, 1))[0]).toBe('guarded');
    const glass = sheetOf([{ ...box, material: 'glass' }], { fittings });
    expect(namesOf(linesOf(glass))).not.toContain('mat-and-wood');
  });

  test('says of a kit without a guard where it is taken to hang, and of what the keeper entered that it was entered', () => {
    const kit = toFit('ceramic-heater', { outOfReach: true });
    const enclosures = [makeBox(900, 450, 450, { top: 'mesh' })];
    const own = linesOf(sheetOf([kit], { enclosures }));
    expect(own[0]).toEqual({ line: 'out-of-reach', standing: null });
    const proposed = linesOf(sheetOf([kit], { enclosures }, { origin: 'proposed' }));
    expect(proposed[0]).toEqual({ line: 'above-mesh', standing: 'common-practice' });
    expect(namesOf(linesOf(sheetOf([toFit('ceramic-heater')])))[0]).toBe('guard-missing');
  });
});

describe('a UV lamp', () => {
  const lamp = lampOf(550, 300, 2, { datumOffsetMm: 15 });

  test('comes after a dark place where there is none, and only leaves the one that is there', () => {
    const tube = toFit('uv-tube', { lamp, distanceMm: 300 });
    const animals = [makeAnimal('bearded-dragon')];
    const bare = namesOf(linesOf(sheetOf([tube], { animals })));
    expect([bare[0], bare.includes('shade')]).toEqual(['dark-first', false]);
    const withHide = namesOf(linesOf(sheetOf([tube], { animals, fittings: [makeFitting('hide', { place: 'cool' })] })));
    expect([withHide.includes('dark-first'), withHide.includes('shade')]).toEqual([false, true]);
  });

  test('hangs at its distance from the datum its figures were taken from', () => {
    const lines = linesOf(sheetOf([toFit('uv-tube', { lamp, distanceMm: 300 })]));
    expect(lineOf(lines, 'distance')).toEqual({
      line: 'distance',
      distanceMm: 300,
      datum: { from: 'tube-axis', belowMm: 15 },
      standing: null,
    });
    const point = linesOf(sheetOf([toFit('uv-compact', { lamp: lampOf(null, 200, 2), distanceMm: 200 })]));
    expect(lineOf(point, 'distance')).toMatchObject({ datum: { from: 'lamp-face', belowMm: 0 } });
    expect(namesOf(linesOf(sheetOf([toFit('uv-tube')])))).toContain('distance-unknown');
  });

  test('a few inches above a back is said to be too near, and 150 mm is not', () => {
    const at = (distanceMm: number) => namesOf(linesOf(sheetOf([toFit('uv-tube', { lamp, distanceMm })])));
    expect(at(149)).toContain('too-near');
    expect(at(150)).not.toContain('too-near');
  });

  test('its mesh is told once: as a share, as part of its figures, as never looked at, or as forgotten under a mesh top', () => {
    const under = (parts: Partial<NewFitting>, top: 'mesh' | 'closed' = 'mesh') =>
      namesOf(
        linesOf(sheetOf([toFit('uv-tube', { lamp, ...parts })], { enclosures: [makeBox(900, 450, 450, { top })] })),
      ).filter((one) => one.startsWith('mesh') || one === 'between-unknown');
    expect(under({ meshShare: 0.66 })).toEqual(['mesh']);
    expect(under({ lamp: { ...lamp, throughMesh: true }, meshShare: 0.66 })).toEqual(['mesh-in-reading']);
    expect(under({ meshShare: null })).toEqual(['between-unknown']);
    expect(under({ lamp: { ...lamp, throughMesh: true }, meshShare: null })).toEqual(['mesh-in-reading']);
    expect(under({})).toEqual(['mesh-not-counted']);
    expect(under({}, 'closed')).toEqual([]);
  });

  test('a new tube settles for 100 hours (from memory), a moved one does not', () => {
    expect(lineOf(linesOf(sheetOf([toFit('uv-tube', { lamp })])), 'settling')).toEqual({
      line: 'settling',
      hours: 100,
      standing: 'from-memory',
    });
    const tube = makeFitting('uv-tube', { id: 't', lamp, distanceMm: 300 });
    const move: Change = {
      change: 'move',
      fittingId: 't',
      distanceMm: 250,
      meshShare: null,
      place: null,
      outOfReach: null,
      placed: null,
    };
    const moved = sheetOf([move], { fittings: [tube] });
    expect(lineOf(linesOf(moved), 'distance')).toMatchObject({ distanceMm: 250 });
    expect(namesOf(linesOf(moved))).not.toContain('settling');
    expect(moved.firstUv).toBeNull();
    const renewed = sheetOf([{ change: 'renew', fittingId: 't' }], { fittings: [tube] });
    expect(namesOf(linesOf(renewed))).toContain('settling');
  });

  test('an animal without UV before starts short, one with a lamp, a run or a reading does not', () => {
    const parts = { lamp, distanceMm: 300 };
    const { hours } = library.species.find((one) => one.id === 'corn-snake')!.uv;
    expect(sheetOf([toFit('uv-tube', parts)]).firstUv).toEqual({
      animals: ['Maize'],
      fullHours: { low: hours.low, high: hours.high },
      standing: 'from-memory',
    });
    const old = makeFitting('uv-compact', { retiredOn: plainDate('2025-06-01') });
    expect(sheetOf([toFit('uv-tube', parts)], { fittings: [old] }).firstUv).toBeNull();
    expect(sheetOf([toFit('uv-tube', parts)], { readings: [makeReading('uvi-basking', 1)] }).firstUv).toBeNull();
    expect(sheetOf([toFit('uv-tube', parts)], { readings: [makeReading('uvi-basking', 0)] }).firstUv).not.toBeNull();
    const itself = makeFitting('uv-tube', { fittedOn: today });
    expect(sheetOf([toFit('uv-tube', parts)], { fittings: [itself] }, { done: true }).firstUv).not.toBeNull();
  });
});

describe('a heater', () => {
  test('every kind but a heated rock takes a thermostat of its type, with its probe', () => {
    const kinds = FITTING_KINDS.filter((kind) => HEATERS.has(kind) && kind !== 'unknown-heater');
    expect(kinds.length).toBe(6);
    for (const kind of kinds) {
      const lines = linesOf(sheetOf([toFit(kind, { watts: 60 })]));
      if (kind === 'rock-heater') {
        expect(namesOf(lines)).toContain('contact-heater');
        continue;
      }
      // It has one built in as a rule, as the check of safety takes it (common practice, no source), and no loose probe.
      if (kind === 'water-heater') {
        expect(namesOf(lines)).toEqual(expect.arrayContaining(['own-thermostat', 'unplug-before-water']));
        expect(namesOf(lines)).not.toContain('thermostat');
        continue;
      }
      expect(lineOf(lines, 'thermostat')).toMatchObject({ type: THERMOSTAT_FOR[kind], by: null, watts: 60 });
      expect(lineOf(lines, 'probe')).toMatchObject({ heater: kind, at: 'warm-end' });
    }
  });

  test('names the thermostat and guard that come with it, and misses a guard that does not', () => {
    const bare = sheetOf([toFit('ceramic-heater')]);
    expect(namesOf(linesOf(bare))).toContain('guard-missing');
    const kit = sheetOf([
      toFit('ceramic-heater'),
      toFit('thermostat', { regulates: 'ceramic-heater' }),
      toFit('guard', { guards: 'ceramic-heater' }),
    ]);
    expect(lineOf(linesOf(kit), 'thermostat')).toMatchObject({ type: 'pulse', by: 'New thermostat' });
    expect(lineOf(linesOf(kit), 'guarded')).toMatchObject({ by: 'New guard', uvPasses: null });
    expect(lineOf(linesOf(kit, 1), 'regulates')).toMatchObject({ what: 'New ceramic-heater', type: 'pulse' });
    expect(lineOf(linesOf(kit, 2), 'guards')).toMatchObject({ what: 'New ceramic-heater' });
  });

  test('a thermostat for a heater that is there already brings the place of its probe', () => {
    const mat = makeFitting('heat-mat', { id: 'mat', watts: 20 });
    const lines = linesOf(sheetOf([toFit('thermostat', { regulates: 'mat' })], { fittings: [mat] }));
    expect(lineOf(lines, 'regulates')).toMatchObject({ type: 'switching', watts: 20 });
    expect(lineOf(lines, 'probe')).toMatchObject({ heater: 'heat-mat' });
  });
});

describe('mains', () => {
  test('a heater for the cool end has its probe there', () => {
    const lines = linesOf(
      sheetOf([
        toFit('ceramic-heater', { watts: 60 }),
        toFit('thermostat', { regulates: 'ceramic-heater', expects: [{ reading: 'cool-end-air', value: 25 }] }),
      ]),
    );
    expect(lineOf(lines, 'probe')).toMatchObject({ at: 'cool-end' });
  });

  test('who lives in water has lamps that cannot fall in, and no heater is named as water', () => {
    const animals = [makeAnimal('red-eared-slider', {})];
    const fittings = [makeFitting('water-heater', { watts: 100 })];
    const lamp = linesOf(sheetOf([toFit('basking-lamp', { watts: 75 })], { animals, fittings }));
    expect(namesOf(lamp)).toContain('splash');
    expect(lineOf(lamp, 'drip-loop')).toMatchObject({ water: [] });
    expect(namesOf(linesOf(sheetOf([toFit('basking-lamp', { watts: 75 })])))).not.toContain('splash');
  });

  test('near water every cable takes a drip loop, without water none is named', () => {
    const dish: Fitting = makeFitting('water-dish', { name: 'Bowl' });
    const wet = linesOf(sheetOf([toFit('heat-mat', { watts: 20 })], { fittings: [dish] }));
    expect(lineOf(wet, 'drip-loop')).toMatchObject({ water: ['Bowl'] });
    expect(namesOf(linesOf(sheetOf([toFit('heat-mat', { watts: 20 })])))).not.toContain('drip-loop');
    expect(namesOf(linesOf(sheetOf([toFit('mister', { watts: 10 })])))).toContain('drip-loop');
  });

  test('a socket carries what hangs on it already and the new thing, once', () => {
    const lamp = makeFitting('basking-lamp', { watts: 100, outletId: 's' });
    const change = toFit('heat-mat', { watts: 23, outletId: 's' });
    const planned = lineOf(linesOf(sheetOf([change], { fittings: [lamp] })), 'socket');
    expect(planned).toMatchObject({ outlet: 'Strip', load: { watts: 123 } });
    const there = makeFitting('heat-mat', { watts: 23, outletId: 's' });
    const fitted = sheetOf([change], { fittings: [lamp, there] }, { done: true });
    expect(lineOf(linesOf(fitted), 'socket')).toMatchObject({ load: { watts: 123 } });
    expect(namesOf(linesOf(sheetOf([toFit('heat-mat', { watts: 23 })])))).toContain('socket-unknown');
  });
});

test('night air is read before the lights, hot spot and UV at midday, humidity by day and night', () => {
  const animals = [makeAnimal('bearded-dragon')];
  const sheet = sheetOf([toFit('radiant-panel'), toFit('uv-tube'), toFit('mister')], { animals });
  const times = new Map(sheet.readings.map((one) => [one.kind, one.time]));
  expect(times.get('night-air')).toBe('before-lights');
  expect(times.get('hot-spot-surface')).toBe('midday');
  expect(times.get('uvi-basking')).toBe('midday');
  expect(times.get('humidity-day')).toBe('afternoon');
  expect(times.get('humidity-night')).toBe('before-lights');
  for (const kind of times.keys()) expect(READING_KINDS).toContain(kind);
});

test('a reading carries what is promised for it', () => {
  const sheet = sheetOf([toFit('heat-mat', { expects: [{ reading: 'warm-hide-floor', value: 31 }] })]);
  expect(sheet.readings).toMatchObject([{ kind: 'warm-hide-floor', promised: { predicted: 31, error: 2 } }]);
});

test('a hide needs no trial run and no electrician, a lamp both, and nothing is ever called without danger', () => {
  const hide = sheetOf([toFit('hide')]);
  expect(hide.trialHours).toBeNull();
  expect(hide.cautions).toEqual(['vet', 'never-safe']);
  const lamp = sheetOf([toFit('basking-lamp', { watts: 75 }), toFit('uv-tube', { watts: 24 })]);
  expect(lamp.trialHours).toEqual({ low: 24, high: 48, standing: 'common-practice' });
  // A thermostat on a heater that was there before changes what that heater does, so it is tried without the animal too.
  expect(sheetOf([toFit('thermostat')]).trialHours).toEqual(lamp.trialHours);
  expect(lamp.cautions).toEqual(['mains', 'burns', 'fire', 'uv-eyes', 'electrician', 'vet', 'never-safe']);
});

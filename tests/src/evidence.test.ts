import { describe, expect, test } from 'vitest';
import { addDays, plainDate } from '../../src/calendar.ts';
import { lampOf, setupOf } from '../../src/collection.ts';
import {
  ESTIMATE_WIDTH,
  knownOf,
  lightIn,
  overdueShare,
  usualAccuracy,
  valueRange,
  widen,
} from '../../src/evidence.ts';
import { placesIn } from '../../src/lit-places.ts';
import { makeBox, makeCollection, makeFitting, makeReading } from '../support/make.ts';
import { today } from '../support/scoring.ts';

const setup = (
  parts: Parameters<typeof makeCollection>[0] extends infer _ ? Partial<Parameters<typeof makeCollection>[0]> : never,
) => setupOf(makeCollection({ enclosures: [makeBox(900, 450, 450)], ...parts }), '1');

const known = (parts: Parameters<typeof setup>[0], kind: Parameters<typeof knownOf>[1] = 'warm-hide-floor') =>
  knownOf(setup(parts), kind, today, today);

describe('What is known of a place', () => {
  test('Nothing read and nothing fitted is unknown, and said to be never read', () => {
    expect(known({})).toEqual({ status: 'unknown', why: 'never-read' });
  });

  test('The latest reading holds, and of two of one day the one entered last', () => {
    const readings = [
      makeReading('warm-hide-floor', 30, { takenOn: plainDate('2026-01-10') }),
      makeReading('warm-hide-floor', 25, { takenOn: plainDate('2025-12-01') }),
      makeReading('warm-hide-floor', 31, { takenOn: plainDate('2026-01-10') }),
      makeReading('cool-end-air', 20),
    ];
    expect(known({ readings })).toMatchObject({ status: 'known', value: 31, from: 'measured' });
  });

  test('A reading that lies after the day judged is not yet known', () => {
    const readings = [makeReading('warm-hide-floor', 30, { takenOn: addDays(today, 1) })];
    expect(known({ readings })).toEqual({ status: 'unknown', why: 'never-read' });
  });

  test('A later reading that is entered as unknown takes back what was known', () => {
    const readings = [
      makeReading('warm-hide-floor', 30, { takenOn: plainDate('2025-12-01') }),
      makeReading('warm-hide-floor', null, { takenOn: plainDate('2026-01-10') }),
    ];
    expect(known({ readings })).toEqual({ status: 'unknown', why: 'said-unknown' });
  });

  test('A box that was replaced, moved or resized ends its readings', () => {
    const readings = [makeReading('warm-hide-floor', 30, { takenOn: plainDate('2026-01-10') })];
    const enclosures = [makeBox(900, 450, 450, { boxSince: plainDate('2026-01-11') })];
    expect(known({ readings, enclosures })).toEqual({ status: 'unknown', why: 'box-changed' });
    expect(
      known({ readings, enclosures: [makeBox(900, 450, 450, { boxSince: plainDate('2026-01-10') })] }),
    ).toMatchObject({
      status: 'known',
    });
  });

  test.each([['fitted', { fittedOn: plainDate('2026-01-12') }]])(
    'A heat mat that was %s after the reading leaves it an estimate',
    (_what, parts) => {
      const readings = [makeReading('warm-hide-floor', 30, { takenOn: plainDate('2026-01-10') })];
      expect(known({ readings, fittings: [makeFitting('heat-mat', parts)] })).toMatchObject({
        value: 30,
        from: 'estimated',
        width: ESTIMATE_WIDTH,
      });
    },
  );

  test.each([
    ['moved', { movedOn: plainDate('2026-01-12') }],
    ['retired', { retiredOn: plainDate('2026-01-12') }],
  ])('A heat mat that was %s after the reading leaves nothing known', (_what, parts) => {
    const readings = [makeReading('warm-hide-floor', 30, { takenOn: plainDate('2026-01-10') })];
    expect(known({ readings, fittings: [makeFitting('heat-mat', parts)] })).toEqual({
      status: 'unknown',
      why: 'thing-changed',
    });
  });

  test('A thermostat changes what the heater it regulates changes, and a thing without influence changes nothing', () => {
    const readings = [makeReading('warm-hide-floor', 30, { takenOn: plainDate('2026-01-10') })];
    const mat = makeFitting('heat-mat', { id: 'mat' });
    const late = { fittedOn: plainDate('2026-01-12') };
    expect(
      known({ readings, fittings: [mat, makeFitting('thermostat', { ...late, regulates: 'mat' })] }),
    ).toMatchObject({
      from: 'estimated',
    });
    expect(known({ readings, fittings: [mat, makeFitting('branches', late)] })).toMatchObject({ from: 'measured' });
  });

  test('What a new thing should bring about takes the place of the old reading, until it is read again', () => {
    const fittings = [
      makeFitting('heat-mat', {
        fittedOn: plainDate('2026-01-12'),
        expects: [{ reading: 'warm-hide-floor', value: 31 }],
      }),
    ];
    const old = makeReading('warm-hide-floor', 24, { takenOn: plainDate('2026-01-10') });
    expect(known({ readings: [old], fittings })).toMatchObject({ value: 31, from: 'expected', width: ESTIMATE_WIDTH });
    const fresh = makeReading('warm-hide-floor', 29, { takenOn: plainDate('2026-01-13') });
    expect(known({ readings: [old, fresh], fittings })).toMatchObject({ value: 29, from: 'measured' });
  });

  test('The UV at the basking place follows from lamps whose output and distance are known, and from no others', () => {
    // Tube lit 55 cm, UVI 3.0 at 30 cm bare: at 30 cm through a mesh that passes 85 % (common practice) it is 2.55.
    const lamp = { lamp: lampOf(550, 300, 3), distanceMm: 300, meshShare: 0.85, fittedOn: today };
    const expected = known({ fittings: [makeFitting('uv-tube', lamp)] }, 'uvi-basking');
    expect(expected).toMatchObject({ status: 'known', from: 'expected', width: ESTIMATE_WIDTH });
    expect(expected.status === 'known' && expected.value).toBeCloseTo(2.55, 10);
    const two = known({ fittings: [makeFitting('uv-tube', lamp), makeFitting('uv-compact')] }, 'uvi-basking');
    expect(two).toEqual({ status: 'unknown', why: 'never-read' });
  });
});

// One tube lit 55 cm, UVI 3.0 at 30 cm below its axis (the lamp's own stated point), hung 30 cm above the back of what lies on a basking place.
describe('What lamps bring to places that are known', () => {
  const at = (xMm: number, zMm: number, size: [number, number, number] | null = null) => ({
    xMm,
    yMm: 225,
    zMm,
    lengthMm: size?.[0] ?? null,
    depthMm: size?.[1] ?? null,
    heightMm: size?.[2] ?? null,
    turned: false,
  });
  const open = makeBox(900, 450, 450, { top: 'open' });
  const tube = (parts: Parameters<typeof makeFitting>[1] = {}) =>
    makeFitting('uv-tube', { id: 'tube', lamp: lampOf(550, 300, 3), placed: at(450, 430), fittedOn: today, ...parts });
  const place = makeFitting('basking-place', { id: 'place', placed: at(450, 0, [200, 200, 100]) });
  const hide = makeFitting('hide', { placed: at(800, 0, [150, 150, 100]) });
  const uvi = (
    fittings: ReturnType<typeof makeFitting>[],
    kind: 'uvi-basking' | 'uvi-lowest' = 'uvi-basking',
    readings: ReturnType<typeof makeReading>[] = [],
  ) => known({ enclosures: [open], fittings, readings }, kind);
  const uviOf = (found: ReturnType<typeof uvi>) => (found.status === 'known' ? found.value : Number.NaN);

  test('The stated point is met below a new lamp, and an aged lamp gives what age leaves, its new value kept for the ceiling', () => {
    const fresh = uvi([tube(), place]);
    expect(uviOf(fresh)).toBeCloseTo(3, 6);
    expect(fresh).toMatchObject({ from: 'expected', width: ESTIMATE_WIDTH });
    // Own assumption of the light model: 70 % at the end of its life.
    const old = uvi([tube({ fittedOn: plainDate('2025-01-15'), lifeMonths: 12 }), place]);
    expect(uviOf(old)).toBeCloseTo(2.1, 2);
    expect(old.status === 'known' && old.highest).toBeCloseTo(3, 6);
    expect(old.status === 'known' && old.accuracy).toBeGreaterThan(0.2);
  });

  test('A guard takes off its part, with places and without', () => {
    // Common practice, no source: 85 % through a guard.
    const guard = makeFitting('guard', { guards: 'tube' });
    expect(uviOf(uvi([tube(), place, guard]))).toBeCloseTo(2.55, 6);
    expect(uviOf(uvi([tube({ placed: null, distanceMm: 300 }), guard]))).toBeCloseTo(2.55, 6);
  });

  test('Points taken through the mesh are not reduced again', () => {
    const lamp = lampOf(550, 300, 3, { throughMesh: true });
    expect(uviOf(uvi([tube({ lamp, placed: null, distanceMm: 300, meshShare: 0.7 })]))).toBeCloseTo(3, 6);
  });

  test('Without a place to bask the stated distance tells, and a compact lamp known from its packaging stays unknown', () => {
    expect(uviOf(uvi([tube({ distanceMm: 300 })]))).toBeCloseTo(3, 6);
    const packaging = lampOf(null, 300, 3, { from: 'packaging' });
    expect(uvi([tube({ kind: 'uv-compact', lamp: packaging, distanceMm: 300 }), place]).status).toBe('unknown');
  });

  test('A solid hide of known place is free of UV without a meter; a bare lit box is not, and plants leave it unknown', () => {
    expect(uvi([tube(), place, hide], 'uvi-lowest')).toMatchObject({ value: 0, width: 0, from: 'expected' });
    const bare = uvi([tube(), place], 'uvi-lowest');
    expect(uviOf(bare)).toBeGreaterThan(0.2);
    expect(uviOf(bare)).toBeLessThan(3);
    expect(uvi([tube(), place, makeFitting('plants')], 'uvi-lowest').status).toBe('unknown');
  });

  test('A reading wins; once a lamp is added it no longer holds, but what it made of the first lamp does', () => {
    const read = [makeReading('uvi-basking', 6, { takenOn: plainDate('2026-01-10') })];
    const first = tube({ fittedOn: plainDate('2026-01-10'), lifeMonths: 12 });
    expect(uvi([first, place], 'uvi-basking', read)).toMatchObject({ value: 6, from: 'measured' });
    const dark = makeFitting('uv-tube', { lamp: lampOf(550, 300, 0.001), placed: at(450, 430), fittedOn: today });
    const later = uvi([first, place, dark], 'uvi-basking', read);
    expect(later).toMatchObject({ from: 'expected' });
    expect(uviOf(later)).toBeCloseTo(6, 0);
    expect(uviOf(uvi([first, place, dark]))).toBeCloseTo(3, 0);
  });

  test('A lamp past its life is expected to give what it gave at the end of it, in its place and on its axis', () => {
    const old = { fittedOn: plainDate('2024-07-15'), lifeMonths: 12 };
    expect(uviOf(uvi([tube(old), place]))).toBeCloseTo(2.1, 9);
    expect(uviOf(uvi([tube({ ...old, distanceMm: 300 })]))).toBeCloseTo(2.1, 9);
  });

  const keeper = { factor: 0.8, error: 0.1, from: 4 };
  const kept = (fittings: ReturnType<typeof makeFitting>[], readings: ReturnType<typeof makeReading>[] = []) =>
    known({ enclosures: [open], fittings, readings, lightCorrection: keeper }, 'uvi-basking');

  test('What a keeper’s other readings say of lamps multiplies what is expected of one without a reading, with its own error', () => {
    const plain = uvi([tube(), place]);
    const corrected = kept([tube(), place]);
    expect(uviOf(corrected)).toBeCloseTo(2.4, 6);
    expect(corrected).toMatchObject({ from: 'expected', light: { ownReadings: 4, readOn: null } });
    if (plain.status !== 'known' || corrected.status !== 'known') throw new Error('both are known');
    expect(corrected.highest).toBeCloseTo(2.4, 6);
    expect(corrected.accuracy / 2.4).toBeCloseTo(Math.hypot(plain.accuracy / 3, 0.1), 6);
    const onAxis = kept([tube({ placed: null, distanceMm: 300 })]);
    expect(uviOf(onAxis)).toBeCloseTo(2.4, 6);
    expect(onAxis).toMatchObject({ light: { ownReadings: 4 } });
    expect(onAxis.status === 'known' && onAxis.accuracy).toBeCloseTo(0.24, 6);
  });

  test('A reading in the box, or figures read under the lamp, win over what other lamps of the keeper gave', () => {
    const read = [makeReading('uvi-basking', 6, { takenOn: plainDate('2026-01-10') })];
    const first = tube({ fittedOn: plainDate('2026-01-10') });
    expect(kept([first, place], read)).toMatchObject({ value: 6, from: 'measured', light: null });
    const figures = kept([tube({ lamp: lampOf(550, 300, 3, { from: 'own-reading' }) }), place]);
    expect(uviOf(figures)).toBeCloseTo(3, 6);
    expect(figures).toMatchObject({ light: { ownReadings: 0 } });
    // The first lamp goes on by its reading (6), the one added beside it by the keeper's others (0.8 x 3); both hang straight above.
    const second = makeFitting('uv-tube', { lamp: lampOf(550, 300, 3), placed: at(450, 430), fittedOn: today });
    const both = kept([first, second, place], read);
    expect(uviOf(both)).toBeCloseTo(6 + 2.4, 1);
    expect(both).toMatchObject({ light: { ownReadings: 4, readOn: '2026-01-10' } });
  });

  test('A lamp that was really moved keeps what its reading made of the model, where that was kept; else it is the model’s', () => {
    const taken = plainDate('2025-12-01');
    const moved = tube({ fittedOn: taken, movedOn: plainDate('2026-01-02'), placed: at(450, 730), lifeMonths: 120 });
    const read = (parts: object) => [makeReading('uvi-basking', 1.5, { takenOn: taken, ...parts })];
    const model = uviOf(uvi([moved, place]));
    expect(uviOf(uvi([moved, place], 'uvi-basking', read({})))).toBeCloseTo(model, 9);
    const carried = uvi([moved, place], 'uvi-basking', read({ lightRatio: 0.5 }));
    expect(uviOf(carried)).toBeCloseTo(model * 0.5, 9);
    expect(carried).toMatchObject({ from: 'expected', light: { ownReadings: 0, readOn: '2025-12-01' } });
    const lit = lightIn(
      setup({ enclosures: [open], fittings: [moved, place], readings: read({ lightRatio: 0.5 }) }),
      today,
    );
    expect(lit.status === 'lit' && placesIn(lit)[0]!.aged.aimed).toBeCloseTo(model * 0.5, 9);
  });

  test('A lamp or a place that a forecast fits in a later month gives there what it would give today', () => {
    const later = plainDate('2026-06-01');
    const there = setup({ enclosures: [open], fittings: [tube({ fittedOn: later }), { ...place, fittedOn: later }] });
    expect(uviOf(knownOf(there, 'uvi-basking', later, today))).toBeCloseTo(3, 6);
  });

  test('A lamp renewed on paper on the very day of a reading is not judged by what was read of the old one', () => {
    const read = [makeReading('uvi-basking', 1, { takenOn: today, onPaper: 'changed', lightRatio: 0.33 })];
    expect(uviOf(uvi([tube(), place], 'uvi-basking', read))).toBeCloseTo(3, 6);
    const before = tube({ fittedOn: plainDate('2026-01-14') });
    expect(uviOf(uvi([before, place], 'uvi-basking', read))).toBeLessThan(1.1);
  });

  test('An expected value counts as it stands, and its range is the wider of its error and its guesswork', () => {
    const found = uvi([tube(), place]);
    const steep = (reading: number) => (reading < 3 - 1e-6 ? 0 : 60);
    expect(valueRange(found, steep)).toEqual({ low: 0, high: 85, best: 60 });
  });
});

describe('How wide a value is', () => {
  const inBand = (celsius: number) => (celsius < 28 ? Math.max(0, 100 - 20 * (28 - celsius)) : 100);
  const width = (takenOn: string, parts = {}) => {
    const found = known({ readings: [makeReading('warm-hide-floor', 26, { takenOn: plainDate(takenOn), ...parts })] });
    return found.status === 'known' ? found.width : null;
  };

  // Scoring notes, section 3: nothing up to 30 days, then 0.15 points a day, at most 22; an estimate 25 (defaults of the ledger).
  test.each([
    ['2026-01-15', 0],
    ['2025-12-16', 0],
    ['2025-12-15', 0.15],
    ['2025-10-07', 10.5],
    ['2025-08-22', 17.4],
    ['2025-01-01', 22],
  ])('A measurement of %s adds %d points on each side', (takenOn, points) => {
    expect(width(takenOn)).toBeCloseTo(points, 10);
  });

  test('An estimate is 25 points wide on each side at once', () => {
    expect(width('2026-01-15', { evidence: 'estimated' })).toBe(25);
    const guess = known({ readings: [makeReading('warm-hide-floor', 26, { evidence: 'estimated', accuracy: 0 })] });
    expect(valueRange(guess, inBand)).toEqual({ low: 35, high: 85, best: 60 });
  });

  test('Evidence ages up to the day that is known of and not into the forecast', () => {
    const there = setup({ readings: [makeReading('warm-hide-floor', 26, { takenOn: today })] });
    const later = plainDate('2026-12-01');
    expect(knownOf(there, 'warm-hide-floor', later, today)).toMatchObject({ width: 0 });
    expect(knownOf(there, 'warm-hide-floor', later, later)).toMatchObject({ width: 22 });
  });

  test('What is unknown may be anything', () => {
    expect(valueRange({ status: 'unknown', why: 'never-read' }, inBand)).toEqual({ low: 0, high: 100, best: 50 });
  });

  test('Inside the error of the instrument a value does not fall, unless the limit is strict', () => {
    const at = (celsius: number, strict: boolean) =>
      valueRange(known({ readings: [makeReading('warm-hide-floor', celsius, { accuracy: 0.5 })] }), inBand, strict);
    expect(at(27.6, false).best).toBe(100);
    expect(at(27.6, true).best).toBeCloseTo(92, 10);
    expect(at(27, false).best).toBeCloseTo(90, 10);
  });

  // Scoring notes, section 3: the error of the instrument goes through the value function, to both sides. By hand: a band ends at 28, 20 points
  // a degree, error 0.5. At 26 it is worth 60, with the dead band as at 26.5: 70; read half a degree lower or higher, 60 or 80.
  test('The error of the instrument widens a value to both sides of what it is worth within that error', () => {
    const at = (celsius: number) =>
      valueRange(known({ readings: [makeReading('warm-hide-floor', celsius, { accuracy: 0.5 })] }), inBand);
    expect(at(26)).toEqual({ low: 60, high: 80, best: 70 });
    expect(at(27.25)).toEqual({ low: 85, high: 100, best: 95 });
    expect(at(28)).toEqual({ low: 100, high: 100, best: 100 });
  });

  test('An instrument without a stated error has the usual one: a tenth of a UV index, 5 % humidity, 1 °C, 5 mm', () => {
    expect(usualAccuracy('uvi-basking', 4)).toBeCloseTo(0.4, 10);
    expect(usualAccuracy('humidity-night', 60)).toBe(5);
    expect(usualAccuracy('night-air', 20)).toBe(1);
    expect(usualAccuracy('water-depth', 300)).toBe(5);
  });

  test('A range is widened within 0 to 100 and its likeliest value stays', () => {
    expect(widen({ low: 10, high: 90, best: 50 }, 25)).toEqual({ low: 0, high: 100, best: 50 });
  });
});

describe('What is known where something broke', () => {
  const mat = (parts: Parameters<typeof makeFitting>[1]) =>
    makeFitting('heat-mat', { fittedOn: plainDate('2025-01-01'), ...parts });
  const read = (day: string, value: number) => makeReading('warm-hide-floor', value, { takenOn: plainDate(day) });
  const broken = mat({ retiredOn: plainDate('2026-01-10'), brokenOn: plainDate('2026-01-10') });
  const replaced = mat({ fittedOn: plainDate('2026-01-14'), brokenOn: plainDate('2026-01-10') });

  test('A reading up to the day on which its cause broke is unknown; a later one is what the place is like without it', () => {
    const lost = { status: 'unknown', why: 'thing-changed' };
    expect(known({ fittings: [broken], readings: [read('2026-01-09', 31)] })).toEqual(lost);
    expect(known({ fittings: [broken], readings: [read('2026-01-10', 31)] })).toEqual(lost);
    expect(known({ fittings: [broken], readings: [read('2026-01-09', 31), read('2026-01-11', 22)] })).toMatchObject({
      value: 22,
      from: 'measured',
    });
  });

  test('Once it is replaced, what was read before it broke is an estimate, and what was read without it counts no more', () => {
    const readings = [read('2026-01-09', 31), read('2026-01-11', 22)];
    expect(known({ fittings: [replaced], readings })).toMatchObject({ value: 31, from: 'estimated' });
    expect(known({ fittings: [replaced], readings: [read('2026-01-11', 22)] })).toEqual({
      status: 'unknown',
      why: 'never-read',
    });
    expect(known({ fittings: [replaced], readings: [...readings, read('2026-01-14', 30)] })).toMatchObject({
      value: 30,
      from: 'measured',
    });
  });

  test('A reading that does not hang on what broke holds', () => {
    const readings = [makeReading('cool-end-air', 20, { takenOn: plainDate('2026-01-09') })];
    expect(known({ fittings: [broken], readings }, 'cool-end-air')).toMatchObject({ value: 20, from: 'measured' });
  });
});

describe('How far a lamp is past its life', () => {
  const tube = (fittedOn: string, lifeMonths: number | null = 12) =>
    makeFitting('uv-tube', { fittedOn: plainDate(fittedOn), lifeMonths });

  test('It is nothing within its life, 1 at twice its life, and that of the youngest of several lamps', () => {
    expect(overdueShare([tube('2025-02-01')], today)).toBe(0);
    expect(overdueShare([tube('2024-01-16')], today)).toBeCloseTo(1, 2);
    expect(overdueShare([tube('2024-01-16'), tube('2025-12-01')], today)).toBe(0);
    expect(overdueShare([tube('2020-01-01', null)], today)).toBe(0);
    expect(overdueShare([], today)).toBe(0);
  });

  // The notes on physics (A6): a dated meter reading resets what is assumed of ageing.
  test('What a meter read after the end of its life counts from that day', () => {
    const old = [tube('2024-01-16')];
    expect(overdueShare(old, today, today)).toBe(0);
    expect(overdueShare(old, today, plainDate('2025-10-15'))).toBeCloseTo(3 / 12, 1);
    expect(overdueShare(old, today, plainDate('2024-06-01'))).toBe(overdueShare(old, today));
  });
});

// Nothing warms after it was taken out: what it brought about, was set to bring about, or was read under it says nothing of what is left.
describe('What a heater that was taken out promised', () => {
  const out = plainDate('2026-01-10');
  const mat = makeFitting('heat-mat', { id: 'mat' });
  const dark = makeFitting('ceramic-heater', { id: 'dark', retiredOn: out });
  const set = makeFitting('thermostat', { regulates: 'dark', expects: [{ reading: 'warm-air', value: 29 }] });
  const read = (takenOn: string) => [makeReading('warm-air', 28, { takenOn: plainDate(takenOn) })];
  const air = (readings: ReturnType<typeof read>, ...fittings: ReturnType<typeof makeFitting>[]) =>
    known({ readings, fittings: [mat, ...fittings] }, 'warm-air');

  test('its thermostat promises no more, and a heater that is in use still does', () => {
    expect(air([], dark, set)).toEqual({ status: 'unknown', why: 'never-read' });
    expect(air([], { ...dark, retiredOn: null }, set)).toMatchObject({ value: 29, from: 'expected' });
  });

  test('what was read under it counts no more, up to its last day; with another in its place from that day on it does', () => {
    for (const day of ['2026-01-09', '2026-01-10'])
      expect(air(read(day), dark, set), day).toEqual({ status: 'unknown', why: 'thing-changed' });
    expect(air(read('2026-01-11'), dark, set)).toMatchObject({ value: 28, from: 'measured' });
    const panel = makeFitting('radiant-panel', { id: 'panel', fittedOn: out });
    expect(air(read('2026-01-10'), dark, panel)).toMatchObject({ value: 28, from: 'measured' });
  });
});

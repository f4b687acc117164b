import { describe, expect, test } from 'vitest';
import type { Fitting } from '../../src/collection.ts';
import { lampOf } from '../../src/collection.ts';
import type { LightQuestion, LightScene } from '../../src/light-scene.ts';
import { lightingOf } from '../../src/light-scene.ts';
import { basking, box, months, on, output, over, placeIn, sceneOf, stand, thing, tube } from '../support/lit-box.ts';

describe('A reading', () => {
  const read = (uvi: number, more: object = {}) => ({ uvi, takenOn: on, accuracy: null, placeId: null, ...more });
  const perch = thing('perch', 'perch', stand(800, 300, 200, [300, 40, 40]));

  test('It wins at its place and moves every other place in the same proportion', () => {
    const [before, after] = [sceneOf([over, basking, perch]), sceneOf([over, basking, perch], { reading: read(2.55) })];
    expect(after.recalibrated!.ratio).toBeCloseTo(0.85, 9);
    expect(placeIn(after, 'basking').fresh.aimed).toBeCloseTo(2.55, 9);
    expect(placeIn(after, 'perch').fresh.aimed).toBeCloseTo(0.85 * placeIn(before, 'perch').fresh.aimed, 9);
    // Only the meter is in doubt where it was read.
    expect(placeIn(after, 'basking').error).toBeCloseTo(0.1, 9);
    expect(placeIn(sceneOf([over, basking], { reading: read(2.4, { accuracy: 0.12 }) }), 'basking').error).toBeCloseTo(
      0.05,
      9,
    );
    expect(placeIn(after, 'perch').error).toBeGreaterThan(0.1);
    expect(after.findings).toEqual([]);
  });

  test('It was taken through mesh and guard, which are in doubt no more', () => {
    const fittings = [{ ...over, meshShare: 0.8 }, basking, perch, thing('guard', 'guard', null, { guards: 'tube' })];
    const termsOf = (scene: LightScene) => placeIn(scene, 'perch').errors.map((one) => one.of);
    expect(termsOf(sceneOf(fittings))).toEqual(expect.arrayContaining(['mesh', 'guard']));
    const after = termsOf(sceneOf(fittings, { reading: read(2) }));
    expect(after).not.toContain('mesh');
    expect(after).not.toContain('guard');
    expect(after).toContain('source-model');
  });

  test('Where nobody looked what is between, it alone tells: until then the light is unknown, never nothing', () => {
    const covered = { ...over, meshShare: null };
    const ask = (more: object) => lightingOf({ box, fittings: [covered, basking], on, ...more });
    expect(ask({})).toEqual({ status: 'unknown', lacks: [{ fittingId: 'tube', lacks: 'between' }] });
    expect(placeIn(sceneOf([covered, basking], { reading: read(1.1) }), 'basking').fresh.aimed).toBeCloseTo(1.1, 9);
    const figuresHoldIt = { ...covered, lamp: { ...covered.lamp!, throughMesh: true } };
    expect(placeIn(sceneOf([figuresHoldIt, basking]), 'basking').fresh.aimed).toBeCloseTo(3, 9);
  });

  test('What it made of the model holds for the same lamp when a guard is added, and not for another lamp', () => {
    const old = { ...over, fittedOn: months(-6) };
    const { recalibrated } = sceneOf([old, basking], { reading: read(2) });
    const guard = thing('guard', 'guard', null, { guards: 'tube' });
    const later = { on: months(3), correction: { ...recalibrated!, lampIds: new Set(['tube']) } };
    const guarded = placeIn(sceneOf([old, basking, guard], later), 'basking');
    expect(guarded.fresh.aimed).toBeCloseTo((2 * 0.85) / 0.7 ** 0.5, 1);
    expect(guarded.aged.aimed).toBeCloseTo(2 * 0.85 * 0.7 ** 0.25, 1);
    const renewed = placeIn(
      sceneOf([{ ...old, fittedOn: months(2) }, basking], {
        ...later,
        correction: { ...recalibrated!, lampIds: new Set() },
      }),
      'basking',
    );
    expect(renewed.fresh.aimed).toBeCloseTo(3, 9);
  });

  // With a lamp of half a year, of which 0.7^0.5 is left, 2.4 was read: new it gave 2.4 / 0.7^0.5 (a ceiling takes lamps as new).
  test('Of an old lamp it says what that gives now, and more for a new one', () => {
    const old = { ...over, fittedOn: months(-6) };
    const scene = sceneOf([old, basking], { reading: read(2.4, { takenOn: on }), on: months(6) });
    const place = placeIn(scene, 'basking');
    expect(place.fresh.aimed).toBeCloseTo(2.4 / 0.7 ** 0.5, 1);
    expect(place.aged.aimed).toBeCloseTo(2.4 * 0.7 ** 0.5, 1);
    const onItsDay = sceneOf([old, basking], { reading: read(2.4, { takenOn: on }) });
    expect(placeIn(onItsDay, 'basking').aged.aimed).toBeCloseTo(2.4, 9);
    // The model had it faded for half a year by the day of the reading.
    expect(scene.recalibrated!.model.likely).toBeCloseTo(3 * 0.7 ** 0.5, 1);
    expect(scene.recalibrated!.ratio).toBeCloseTo(2.4 / scene.recalibrated!.model.likely, 9);
  });

  test('It may be of a perch; of no place at all, or from before the lamp, it is not used and this is told', () => {
    const scene = sceneOf([over, basking, perch], { reading: read(1, { placeId: 'perch' }) });
    expect(placeIn(scene, 'perch').fresh.aimed).toBeCloseTo(1, 9);
    const nowhere = sceneOf([over, perch], { reading: read(2.4) });
    expect(nowhere.findings).toEqual([{ finding: 'reading-without-place' }]);
    expect(nowhere.recalibrated).toBe(null);
    const early = sceneOf([over, basking], { reading: read(2.4, { takenOn: months(-1) }) });
    expect(early.findings).toEqual([{ finding: 'reading-older-than-lamp', lampId: 'tube' }]);
    expect(placeIn(early, 'basking').fresh.aimed).toBeCloseTo(3, 9);
  });

  test('Within the stated error it contradicts nothing; beyond it the output of a class is doubted, not the reading', () => {
    const findingsAt = (uvi: number) => sceneOf([over, basking], { reading: read(uvi) }).findings;
    for (const uvi of [2.6, 3, 3.4]) expect(findingsAt(uvi)).toEqual([]);
    for (const uvi of [1.5, 4.6]) {
      expect(findingsAt(uvi)).toMatchObject([
        {
          finding: 'reading-contradicts-model',
          placeId: 'basking',
          reading: uvi,
          doubted: 'model',
          why: 'output-of-a-class',
        },
      ]);
    }
  });

  test('A reading that new, bare lamps could not give is doubted itself', () => {
    expect(sceneOf([{ ...over, meshShare: 0.66 }, basking], { reading: read(9) }).findings).toMatchObject([
      { doubted: 'reading', why: 'above-what-new-bare-lamps-give' },
    ]);
  });

  test('Where nothing arrives, or a thing is in the way, or both were read, this is what is said', () => {
    expect(sceneOf([over, basking], { reading: read(0) }).findings).toMatchObject([
      { doubted: 'either', why: 'nothing-arrives' },
    ]);
    const own = { ...over, lamp: { ...output, from: 'own-reading' as const } };
    expect(sceneOf([own, basking], { reading: read(1.5) }).findings).toMatchObject([
      { doubted: 'either', why: 'both-were-read' },
    ]);
    const shelf = thing('shelf', 'shelf', stand(650, 300, 450, [500, 300, 20]));
    expect(sceneOf([own, basking, shelf], { reading: read(2.9) }).findings).toMatchObject([
      { doubted: 'model', why: 'place-partly-in-shade' },
    ]);
    const roof = thing('shelf', 'shelf', stand(400, 300, 450, [800, 600, 20]));
    const dark = sceneOf([own, basking, roof], { reading: read(2.9) });
    expect(dark.findings).toMatchObject([{ doubted: 'model', why: 'place-in-shade' }]);
    expect(dark.recalibrated).toBe(null);
  });

  test('A compact lamp known by its packaging is unknown until it was read, and then the reading holds', () => {
    const compact = thing('uv-compact', 'compact', stand(400, 300, 570), {
      lamp: lampOf(null, 300, 5, { from: 'packaging', reflector: 'unknown' }),
    });
    expect(lightingOf({ box, fittings: [compact, basking], on })).toEqual({
      ...{ status: 'unknown', lacks: [{ fittingId: 'compact', lacks: 'believable-output' }] },
    });
    const scene = sceneOf([compact, basking], { reading: read(1.2) });
    expect(placeIn(scene, 'basking').fresh.aimed).toBeCloseTo(1.2, 9);
    expect(scene.findings).toMatchObject([{ doubted: 'model', why: 'output-from-packaging' }]);
  });
});

describe('Mistakes and gaps', () => {
  const problemsOf = (fittings: Fitting[], more: Partial<LightQuestion> = {}) => {
    const lighting = lightingOf({ box, fittings, on, ...more });
    return lighting.status === 'cannot' ? lighting.problems : [];
  };

  test.each<[string, Fitting[], object]>([
    [
      'Beyond the right wall',
      [tube('tube', stand(1000, 300, 570))],
      { problem: 'outside-box', along: 'length', overMm: 65 },
    ],
    [
      'Below the floor',
      [thing('hide', 'tube', stand(400, 300, -20, [200, 150, 100]))],
      { problem: 'outside-box', along: 'height', overMm: 20 },
    ],
    [
      'Through the roof',
      [thing('shelf', 'tube', stand(400, 300, 590, [200, 150, 20]))],
      { problem: 'outside-box', along: 'height', overMm: 10 },
    ],
    [
      'In front of the box',
      [thing('perch', 'tube', stand(400, 10, 100, [200, 40, 40]))],
      { problem: 'outside-box', along: 'depth', overMm: 10 },
    ],
    ['Not a number', [tube('tube', stand(Number.NaN, 300, 570))], { problem: 'not-a-number' }],
    ['A solid without size', [thing('shelf', 'tube', stand(400, 300, 100))], { problem: 'without-size' }],
    [
      'A lamp without distance',
      [tube('tube', stand(400, 300, 570), { lamp: { ...output, atMm: 0 } })],
      { problem: 'output', mistake: 'distance-not-above-zero' },
    ],
    ['More than all through mesh', [{ ...over, meshShare: 1.2 }], { problem: 'mesh-share' }],
    [
      'A lamp in a solid',
      [tube('tube', stand(400, 300, 50)), thing('hide', 'hide', stand(400, 300, 0, [200, 150, 100]))],
      { problem: 'lamp-inside-solid', solidId: 'hide' },
    ],
    [
      'A lamp on its place',
      [tube('tube', stand(400, 300, 240)), basking],
      { problem: 'no-distance', placeId: 'basking' },
    ],
    [
      'A lamp below its place',
      [tube('tube', stand(800, 300, 150)), basking],
      { problem: 'lamp-not-above', placeId: 'basking' },
    ],
  ])('%s is told', (_, fittings, problem) => {
    expect(problemsOf(fittings)).toEqual([{ fittingId: 'tube', ...problem }]);
  });

  test('A box without size is told, and a sound one has no problem', () => {
    expect(problemsOf([over], { box: { ...box, depthMm: 0 } })).toEqual([{ problem: 'box-without-size' }]);
    expect(problemsOf([over, basking])).toEqual([]);
    // Over mesh a tube may stand out over the wall.
    expect(problemsOf([tube('tube', stand(1100, 300, 640))], { box: { ...box, top: 'mesh' } })).toEqual([]);
  });

  test('A lamp without output or position makes the light unknown, never 0; a retired one does not count', () => {
    expect(
      lightingOf({ box, fittings: [tube('a', null), tube('b', stand(400, 300, 570), { lamp: null })], on }),
    ).toEqual({
      status: 'unknown',
      lacks: [
        { fittingId: 'a', lacks: 'position' },
        { fittingId: 'b', lacks: 'output' },
      ],
    });
    expect(lightingOf({ box, fittings: [tube('a', null, { retiredOn: on })], on }).status).toBe('lit');
  });

  test('What was assumed is listed, and what is known is not', () => {
    const assumed = sceneOf([{ ...over, meshShare: 0.8 }]).assumptions.map((one) => one.assumes);
    expect(assumed).toEqual([
      'back-height',
      'ageing',
      'beam',
      'class-output',
      'mesh-by-rule',
      'walls-dark',
      'no-climbing',
    ]);
    const known = { ...over, lamp: { ...output, beam: 0, from: 'own-reading' as const } };
    expect(sceneOf([known], { backMm: 40 }).assumptions.map((one) => one.assumes)).toEqual([
      'ageing',
      'walls-dark',
      'no-climbing',
    ]);
  });
});

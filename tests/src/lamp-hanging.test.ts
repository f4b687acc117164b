import { describe, expect, test } from 'vitest';
import type { LampOutput } from '../../src/collection.ts';
import { lampOf } from '../../src/collection.ts';
import { classesThatFit, hangingFor } from '../../src/lamp-hanging.ts';
import { uviOnAxis } from '../../src/light.ts';
import type { LitBox } from '../../src/placed-things.ts';
import { box, output, over, placeIn, sceneOf, stand, thing, tube } from '../support/lit-box.ts';

// Provenance words: 'published' was read in a source; 'computed' is the output of an independent prototype, a regression value only;
// 'common practice' has no source.

describe('Where a lamp should hang', () => {
  const floor = thing('basking-place', 'basking', stand(400, 300, 0, [250, 200, 100]));

  // Computed: 1.4 at 485 mm, 3.0 at 300, 7.4 at 148, bare.
  test('Both ends of a wanted band are found, and whether the box has room for them', () => {
    const hanging = hangingFor(sceneOf([over, floor]), 'tube', 'basking', { low: 1.4, high: 3 });
    if (hanging.status !== 'found') throw new Error(hanging.status);
    expect(hanging.nearestMm).toBeCloseTo(300, 1);
    expect(Math.abs(hanging.farthestMm - 485)).toBeLessThan(0.6);
    expect(hanging.nowMm).toBeCloseTo(440, 9);
    // Under a roof at 600 mm the axis hangs 40 mm lower: 430 mm above a back at 130.
    expect(hanging.fits!.nearestMm).toBeCloseTo(300, 1);
    expect(hanging.fits!.farthestMm).toBe(430);
    // A lamp at the end of its life gives 70 %: it has to give 2.0 when new.
    expect(uviOnAxis(output, hanging.farthestAtEndOfLifeMm!)).toBeCloseTo(2, 6);
    const narrow = hangingFor(sceneOf([over, floor]), 'tube', 'basking', { low: 2.6, high: 3.5 });
    if (narrow.status !== 'found') throw new Error(narrow.status);
    expect(narrow.farthestAtEndOfLifeMm).toBe(null);
  });

  test('Hung there the lamp gives the wanted value, also to the side and beside another lamp', () => {
    const second = tube('second', stand(800, 450, 570));
    const aside = { ...over, placed: stand(500, 380, 570) };
    const hanging = hangingFor(sceneOf([aside, second, floor]), 'tube', 'basking', { low: 1.5, high: 2.2 });
    if (hanging.status !== 'found') throw new Error(hanging.status);
    for (const [mm, uvi] of [
      [hanging.nearestMm, 2.2],
      [hanging.farthestMm, 1.5],
    ] as const) {
      const moved = { ...aside, placed: stand(500, 380, 130 + mm) };
      expect(
        placeIn(sceneOf([moved, second, floor], { box: { ...box, heightMm: 900 } }), 'basking').fresh.aimed,
      ).toBeCloseTo(uvi, 4);
    }
  });

  test('Distances run from the datum of the lamp', () => {
    const offset = { ...over, lamp: { ...output, atMm: 260, datumOffsetMm: 40 } };
    const hanging = hangingFor(sceneOf([offset, floor]), 'tube', 'basking', { low: 1.4, high: 3 });
    if (hanging.status !== 'found') throw new Error(hanging.status);
    expect(hanging.nearestMm).toBeCloseTo(260, 1);
    expect(hanging.nowMm).toBeCloseTo(400, 9);
  });

  test('Over an open box it may hang higher than the walls', () => {
    const strong = { ...over, lamp: lampOf(530, 450, 12) };
    const hanging = (top: LitBox['top']) => {
      const found = hangingFor(sceneOf([strong, floor], { box: { ...box, top } }), 'tube', 'basking', {
        low: 2.6,
        high: 3.5,
      });
      if (found.status !== 'found') throw new Error(found.status);
      return found;
    };
    expect(hanging('closed').fits).toBe(null);
    expect(hanging('open').fits).toEqual({
      nearestMm: hanging('open').nearestMm,
      farthestMm: hanging('open').farthestMm,
    });
    expect(hanging('open').nearestMm).toBeGreaterThan(600);
  });

  test('What a lamp gives even three metres away is as far as is looked', () => {
    const hanging = hangingFor(sceneOf([over, floor]), 'tube', 'basking', { low: 0.001, high: 3 });
    expect(hanging).toMatchObject({ status: 'found', farthestMm: 3000, farthestAtEndOfLifeMm: 3000 });
  });

  test('It is said when the lamp is too weak, and when the others alone are too strong', () => {
    const weak = tube('weak', stand(400, 300, 570), { lamp: lampOf(254, 254, 0.01) });
    expect(hangingFor(sceneOf([weak, floor]), 'weak', 'basking', { low: 2.6, high: 3.5 }).status).toBe('too-weak');
    const both = sceneOf([over, weak, floor]);
    expect(hangingFor(both, 'weak', 'basking', { low: 0.2, high: 0.6 }).status).toBe('too-strong-without-it');
    expect(() => hangingFor(both, 'none', 'basking', { low: 0.2, high: 0.6 })).toThrow(RangeError);
  });

  test('Of several classes each is told to fit or why it does not', () => {
    const classes: { id: string; lamp: LampOutput }[] = [
      { id: 'middling', lamp: output },
      { id: 'strong', lamp: lampOf(530, 450, 12) },
      { id: 'weak', lamp: lampOf(254, 254, 0.8) },
      { id: 'long', lamp: lampOf(1150, 300, 3) },
      { id: 'packaging', lamp: lampOf(null, 300, 3, { from: 'packaging' }) },
    ];
    const wanted = { low: 2.6, high: 3.5 };
    const fits = classesThatFit(box, 100, classes, wanted, { meshShare: 1, guarded: false });
    expect(fits.map((one) => (one.status === 'fits' ? 'fits' : one.why))).toEqual([
      ...['fits', 'too-strong', 'too-weak', 'too-long', 'output-unknown'],
    ]);
    const [first] = fits;
    if (first?.status !== 'fits') throw new Error('the first fits');
    expect(uviOnAxis(output, first.nearestMm)).toBeCloseTo(3.5, 6);
    expect(uviOnAxis(output, first.farthestMm)).toBeCloseTo(2.6, 6);
    // Through mesh it has to hang nearer, but over mesh it cannot come nearer than the mesh.
    const meshBox: LitBox = { ...box, top: 'mesh' };
    const meshed = classesThatFit(meshBox, 350, [classes[0]!], wanted, { meshShare: 0.85, guarded: false })[0]!;
    if (meshed.status !== 'fits') throw new Error('it fits over mesh');
    expect(0.85 * uviOnAxis(output, meshed.farthestMm)).toBeCloseTo(2.6, 6);
    expect(classesThatFit(meshBox, 100, [classes[0]!], wanted, { meshShare: 0.85, guarded: false })[0]).toMatchObject({
      ...{ status: 'does-not-fit', why: 'too-weak' },
    });
    expect(classesThatFit(box, 450, [classes[0]!], wanted, { meshShare: 1, guarded: false })[0]).toMatchObject({
      ...{ status: 'does-not-fit', why: 'no-room' },
    });
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { findSpecies } from '../../src/species.ts';
import { compareSpecies, overlapOf } from '../../src/species-comparison.ts';

const library = readCareLibrary();
const compare = (a: string, b: string) =>
  compareSpecies(findSpecies(library, a), findSpecies(library, b), library, ['DE-1997', 'AT', 'CH']);

describe('What two ranges share', () => {
  test.each([
    [
      { low: 20, high: 28 },
      { low: 24, high: 32 },
      { status: 'common', low: 24, high: 28 },
    ],
    [
      { low: 20, high: 24 },
      { low: 24, high: 30 },
      { status: 'common', low: 24, high: 24 },
    ],
    [
      { low: 14, high: 20 },
      { low: 24, high: 30 },
      { status: 'apart', by: 4, lower: 'a' },
    ],
    [
      { low: 24, high: 30 },
      { low: 14, high: 20 },
      { status: 'apart', by: 4, lower: 'b' },
    ],
    [null, { low: 14, high: 20 }, { status: 'one-sided', has: 'b' }],
    [null, null, null],
  ])('of %j and %j is %j', (a, b, shared) => {
    expect(overlapOf(a, b)).toEqual(shared);
  });

  const range = fc
    .tuple(fc.integer({ min: -20, max: 60 }), fc.nat(30))
    .map(([low, width]) => ({ low, high: low + width }));
  test('holds a value exactly when both do', () => {
    fc.assert(
      fc.property(range, range, fc.integer({ min: -20, max: 90 }), (a, b, value) => {
        const shared = overlapOf(a, b)!;
        const inShared = shared.status === 'common' && value >= shared.low && value <= shared.high;
        const inBoth = value >= a.low && value <= a.high && value >= b.low && value <= b.high;
        expect(inShared).toBe(inBoth);
      }),
    );
  });
});

describe('Two species', () => {
  test('of cold water and of hot rock share no kind of temperature, and nothing is made up for the one without', () => {
    const { temperatures, humidity } = compare('axolotl', 'uromastyx');
    expect(temperatures.length).toBeGreaterThan(2);
    expect(temperatures.every(({ overlap }) => overlap.status === 'one-sided')).toBe(true);
    expect(temperatures.map(({ kind }) => kind)).not.toContain('body');
    expect(humidity.every(({ a, overlap }) => a === null && overlap.status === 'one-sided')).toBe(true);
  });

  test('whose nights lie apart say whose life that threatens', () => {
    const found = library.species.flatMap((one) =>
      library.species.flatMap((other) =>
        compare(one.id, other.id).temperatures.filter(({ threatens }) => threatens.length > 0),
      ),
    );
    expect(found.length).toBeGreaterThan(20);
    for (const { a, b, overlap, threatens } of found) {
      expect(overlap.status).toBe('apart');
      for (const which of threatens) {
        const [own, other] = which === 'a' ? [a!, b!] : [b!, a!];
        expect(other.low > own.high ? own.criticalAbove : own.criticalBelow).toBe(true);
      }
    }
  });

  test('are the same from either side', () => {
    const [one, other] = [
      compare('veiled-chameleon', 'hermanns-tortoise'),
      compare('hermanns-tortoise', 'veiled-chameleon'),
    ];
    expect(one.uv).toEqual({ a: other.uv.b, b: other.uv.a, overlap: other.uv.overlap });
    expect(one.space.directions.map(({ times }) => times)).toEqual(other.space.directions.map(({ times }) => times));
    expect(one.temperatures.map(({ a }) => a)).toEqual(other.temperatures.map(({ b }) => b));
  });

  // Ferguson zone 3, as Baines et al. 2016 give it: mean exposure 1.0 to 2.6; the corn snake's sources say zones 1 and 2: 0 to 1.0.
  test('take UV from the lowest to the highest mean band of all their zones', () => {
    const { uv } = compare('corn-snake', 'veiled-chameleon');
    expect(uv).toEqual({
      a: { low: 0, high: 1 },
      b: { low: 1, high: 2.6 },
      overlap: { status: 'common', low: 1, high: 1 },
    });
  });
});

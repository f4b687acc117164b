// Tubes hung by the model alone, and by what a keeper's own readings make of it.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { tubesThatHang } from '../../src/hung-tubes.ts';
import { uviOnAxis } from '../../src/light.ts';
import { makeEnclosure } from '../support/make.ts';

const parts = readCatalogue();
const box = makeEnclosure({ id: '1', lengthMm: 1200, depthMm: 600, heightMm: 600, top: 'closed' });
const aim = { wanted: 2, low: 1, high: 3.5 };
const dim = { factor: 0.6, error: 0.1, from: 4 };

function hung(list: typeof parts, keeper: typeof dim | null) {
  const found = tubesThatHang(list, box, 200, aim, keeper);
  return found.status === 'hang' ? found.tubes : [];
}

test('a keeper whose lamps give less than the model says has each tube hung nearer, and promised what it will give', () => {
  const [plain, corrected] = [hung(parts, null), hung(parts, dim)];
  const both = plain.flatMap((one) => {
    const twin = corrected.find(({ part }) => part.id === one.part.id);
    return twin === undefined ? [] : [[one, twin] as const];
  });
  expect(both.length).toBeGreaterThan(0);
  for (const [before, after] of both) {
    expect(after.distanceMm).toBeLessThan(before.distanceMm);
    expect(after.uvi).toBeCloseTo(uviOnAxis(after.part.lamp, after.distanceMm) * dim.factor, 1);
  }
});

test('a lamp with figures of the keeper’s own is hung by them alone', () => {
  const own = {
    ...parts,
    parts: parts.parts.map((one) =>
      one.what === 'uv-tube' ? { ...one, lamp: { ...one.lamp, from: 'own-reading' as const } } : one,
    ),
  };
  expect(hung(own, dim)).toEqual(hung(own, null));
  expect(hung(own, null).length).toBeGreaterThan(0);
});

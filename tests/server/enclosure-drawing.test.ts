import { expect, test } from 'vitest';
import { type Drawn, depthOfCut, drawSection } from '../../server/enclosure-drawing.ts';
import { FITTING_KINDS, type FittingKind } from '../../src/collection.ts';
import { thing } from '../support/lit-box.ts';

const box = { lengthMm: 1000, depthMm: 500, heightMm: 500, top: 'closed' as const };

const drawnAlone = (kind: FittingKind, yMm = 250): Drawn => ({
  box,
  things: [
    {
      fitting: thing(kind, 'a', { xMm: 500, yMm, zMm: 100, lengthMm: 200, depthMm: 100, heightMm: 150, turned: false }),
      number: 1,
      planned: false,
    },
  ],
  scene: null,
  system: 'metric',
});

/** Every place that a path goes through or is pulled towards. */
function placesOn(path: string): { x: number; y: number }[] {
  let at = { x: 0, y: 0 };
  return [...path.matchAll(/([MLHVQqlt])((?:-?[\d.]+[ ,]?)*)/g)].flatMap(([, letter, texts]) => {
    const numbers = texts!.trim().split(/[ ,]+/).map(Number);
    const from = 'qlt'.includes(letter!) ? at : { x: 0, y: 0 };
    const places =
      letter === 'H'
        ? [{ x: numbers[0]!, y: at.y }]
        : letter === 'V'
          ? [{ x: at.x, y: numbers[0]! }]
          : numbers.flatMap((x, index) =>
              index % 2 === 0 ? [{ x: from.x + x, y: from.y + numbers[index + 1]! }] : [],
            );
    at = places.at(-1)!;
    return places;
  });
}

test('Whatever form a thing has, it keeps to the length and height that were given, at the scale of the box', () => {
  const forms = new Set<string>();
  for (const kind of FITTING_KINDS.filter((one) => !one.startsWith('uv-'))) {
    const { outline, paths } = drawSection(drawnAlone(kind), 250);
    const [left, top, wide, tall] = [outline.x, outline.y, outline.width, outline.height].map(Number) as number[];
    const own = paths.filter((one) => one.kind !== 'surface-reached');
    forms.add(own.map((one) => one.path).join());
    for (const { x, y } of own.flatMap((one) => placesOn(one.path))) {
      expect((x - left!) / wide!, kind).toBeGreaterThanOrEqual(0.395);
      expect((x - left!) / wide!, kind).toBeLessThanOrEqual(0.605);
      expect(1 - (y - top!) / tall!, kind).toBeGreaterThanOrEqual(0.195);
      expect(1 - (y - top!) / tall!, kind).toBeLessThanOrEqual(0.505);
    }
    const across = own.flatMap((one) => placesOn(one.path)).map((one) => one.x);
    expect((Math.max(...across) - Math.min(...across)) / wide!, kind).toBeGreaterThan(0.18);
  }
  // A cave, a bowl, a stone, leaves, a bough and the plain rectangle.
  expect(forms.size).toBe(6);
});

test('The cut goes through the basking place, and what stands before or behind it is dotted and said to be', () => {
  const stone = drawnAlone('basking-place', 120);
  const hide = drawnAlone('hide', 400);
  const both = { ...stone, things: [...hide.things, ...stone.things] };
  expect(depthOfCut(both)).toBe(120);
  expect(depthOfCut({ box, things: [] })).toBe(250);
  const { paths, caption } = drawSection(both, 120);
  expect(paths.map((one) => one.kind)).toEqual(expect.arrayContaining(['thing thing-behind', 'thing surface basking']));
  expect(caption).toContain('Dotted: what stands before or behind the cut.');
  expect(drawSection(stone, 120).caption).not.toContain('Dotted');
});

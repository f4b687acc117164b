// A box of 1.2 m with one tube and a basking place under it, and how lamps and things are put into it, for the tests of its light.

import type { PlainDate } from '../../src/calendar.ts';
import { plainDate } from '../../src/calendar.ts';
import type { Fitting, FittingKind, Placement } from '../../src/collection.ts';
import { lampOf } from '../../src/collection.ts';
import type { LightQuestion, LightScene } from '../../src/light-scene.ts';
import { lightingOf } from '../../src/light-scene.ts';
import { placesIn } from '../../src/lit-places.ts';
import type { LitBox } from '../../src/placed-things.ts';
import type { UvZone, UvZoneBand } from '../../src/species.ts';

/** Published: the mean bands of Baines et al. 2016, read in pages that quote it. */
export const bands: UvZoneBand[] = [
  [1, 0, 0.7],
  [2, 0.7, 1],
  [3, 1, 2.6],
  [4, 2.6, 3.5],
].map(([zone, meanLow, meanHigh]) => ({
  ...{ zone: zone as UvZone, meanLow: meanLow!, meanHigh: meanHigh!, median: null, ceilings: [] },
  ...{ source: 'baines-2016', grade: 'studied-nearby' as const },
}));

/** The day of all its tests. */
export const on = plainDate('2026-07-01');
/** The box, closed above. */
export const box: LitBox = { lengthMm: 1200, depthMm: 600, heightMm: 600, top: 'closed' };

/** A place in the box by its middle and foot, mm, and a size (length, depth, height). */
export function stand(xMm: number, yMm: number, zMm: number, size: [number, number, number] | null = null): Placement {
  const [lengthMm, depthMm, heightMm] = size ?? [null, null, null];
  return { xMm, yMm, zMm, lengthMm, depthMm, heightMm, turned: false };
}

/** A thing fitted on the day of the tests. */
export function thing(kind: FittingKind, id: string, placed: Placement | null, more: Partial<Fitting> = {}): Fitting {
  return {
    ...{
      id,
      enclosureId: '1',
      kind,
      name: `${kind} ${id}`,
      fittedOn: on,
      movedOn: null,
      retiredOn: null,
      brokenOn: null,
    },
    ...{ lifeMonths: 12, renewalPrice: null, watts: 24, hoursPerDay: 12, duty: null, place: null, regulates: null },
    ...{ guards: null, outOfReach: false, lamp: null, distanceMm: null, meshShare: 1, expects: [], outdoors: null },
    ...{ whenBoxReplaced: 'moves', outletId: null, placed },
    ...more,
  };
}

/** Of the prototype: lit 53 cm, 3.0 at 30 cm, bare. */
export const output = lampOf(530, 300, 3);
/** A bare tube of the prototype. */
export const tube = (id: string, placed: Placement | null, more: Partial<Fitting> = {}) =>
  thing('uv-tube', id, placed, { lamp: output, ...more });
/** The tube over the basking place, and that place. */
export const over = tube('tube', stand(400, 300, 570));
export const basking = thing('basking-place', 'basking', stand(400, 300, 0, [250, 200, 240]));

/** The scene that some things make in the box; throws where they make none. */
export function sceneOf(fittings: Fitting[], more: Partial<LightQuestion> = {}): LightScene {
  const lighting = lightingOf({ box, fittings, on, ...more });
  if (lighting.status !== 'lit') throw new Error(JSON.stringify(lighting));
  return lighting;
}

/** One place of a scene. */
export function placeIn(scene: LightScene, id: string) {
  return placesIn(scene).find((one) => one.fittingId === id)!;
}

/** The day so many whole months after the day of the tests. */
export const months = (count: number): PlainDate =>
  plainDate(`${2026 + Math.floor((6 + count) / 12)}-${String(((6 + count) % 12) + 1).padStart(2, '0')}-01`);

/** Shares of values (UVI) in each zone's half-open mean band, and above them all. */
export function sharesOfValues(
  values: ArrayLike<number>,
  bands: UvZoneBand[],
): { zone: UvZone | 'above'; share: number }[] {
  const zones = [...bands].sort((a, b) => a.zone - b.zone);
  const counts = new Array<number>(zones.length + 1).fill(0);
  for (let index = 0; index < values.length; index++) {
    const band = zones.findIndex((one) => values[index]! < one.meanHigh);
    counts[band === -1 ? zones.length : band]! += 1;
  }
  return counts.map((count, index) => ({
    zone: zones[index]?.zone ?? 'above',
    share: values.length === 0 ? 0 : count / values.length,
  }));
}

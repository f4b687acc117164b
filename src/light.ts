// How much UV reaches a place: the finite diffuse line source for tubes and the inverse square for lamps that are points. Knows
// geometry only; what a species needs and what a meter read stand elsewhere and win over it.

import type { LampOutput } from './collection.ts';

/**
 * UVI on a lamp's axis at a distance (mm, above 0), from its one stated output. A tube is a finite, perfectly diffuse line source:
 * E(d) = (k / 2d) (2a + sin 2a), a = atan(L / 2d), with k from the stated output (Keitz, Light Calculations and Measurements, 1971,
 * from memory; the same form in the IOA/IUVA 2007 proceedings). Good to about a tenth from a quarter of the lit length outwards; nearer
 * it reads high. A point lamp falls with the square of the distance (CIE e-ILV 17-25-104).
 */
export function uviOnAxis(lamp: LampOutput, distanceMm: number): number {
  if (!(distanceMm > 0) || !(lamp.atMm > 0)) throw new RangeError('a distance from a lamp must be above 0 mm');
  if (lamp.litLengthMm === null) return lamp.uvi * (lamp.atMm / distanceMm) ** 2;
  return lamp.uvi * (lineShape(lamp.litLengthMm, distanceMm) / lineShape(lamp.litLengthMm, lamp.atMm));
}

/** The distance (mm) at which a lamp gives the wanted UVI on its axis, found by bisection between 1 cm and 3 m; null outside that. */
export function distanceForUvi(lamp: LampOutput, meshShare: number, wanted: number): number | null {
  let [near, far] = [10, 3000];
  const at = (distance: number) => uviOnAxis(lamp, distance) * meshShare;
  if (at(near) < wanted || at(far) > wanted) return null;
  for (let step = 0; step < 60; step++) {
    const middle = (near + far) / 2;
    if (at(middle) > wanted) near = middle;
    else far = middle;
  }
  return (near + far) / 2;
}

/** Irradiance of a diffuse line of unit intensity per length, on the perpendicular through its middle: (2a + sin 2a) / 2d. */
export function lineShape(litLengthMm: number, distanceMm: number): number {
  const a = Math.atan(litLengthMm / (2 * distanceMm));
  return (2 * a + Math.sin(2 * a)) / (2 * distanceMm);
}

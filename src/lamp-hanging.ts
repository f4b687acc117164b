// Where a lamp should hang over a place to give a wanted UVI there, and which of the lamps that could be bought can hang so at all: the room
// that a box leaves under its roof or over its mesh, and the span of distances that is right from a new lamp and from one at its end.

import type { LampOutput, LightCorrection } from './collection.ts';
import { AGEING, agedShare, GUARD_SHARE, meshShareOf, mistakeIn, sourceOf, uviAt } from './light.ts';
import type { LightScene } from './light-scene.ts';
import { BACK_MM, correctionFor, NEAREST_HANGING_MM, placePoint } from './light-scene.ts';
import type { LitBox } from './placed-things.ts';
import { MOST_ABOVE_MM } from './placed-things.ts';

/** What a lamp with its holder takes up under a closed roof, roof to axis, and over mesh, mesh to axis, mm: own assumptions. */
export const ROOF_GAP_MM = 40;
export const MESH_GAP_MM = 10;

// A tube's ends and holders beyond what is lit, mm: own assumption.
const ENDS_MM = 60;
// Farther above a lid a lamp shines past the box into the room and the eyes of people: own assumption.
const MOST_OVER_MESH_MM = 150;

/** A wanted UVI: a new lamp must not pass `high`, a lamp must reach `low`. */
export type WantedUvi = { low: number; high: number };

/**
 * Where one lamp should hang over a place. Distances run straight down from the lamp's own datum to the animal's back, mm: `nearestMm` gives
 * the high end with a new lamp, `farthestMm` the low end; `farthestAtEndOfLifeMm` still gives the low end from a lamp at the end of its life (null
 * where that lies nearer than `nearestMm`). `fits` is the part of it that the box has room for.
 */
export type Hanging =
  | {
      status: 'found';
      nearestMm: number;
      farthestMm: number;
      farthestAtEndOfLifeMm: number | null;
      nowMm: number;
      fits: { nearestMm: number; farthestMm: number } | null;
    }
  | { status: 'too-weak'; most: number }
  | { status: 'too-strong-without-it'; others: number };

/** Where a lamp of the scene should hang to give a wanted UVI at a basking place or perch, everything else staying as it is. */
export function hangingFor(scene: LightScene, lampId: string, placeId: string, wanted: WantedUvi): Hanging {
  const lamp = scene.lamps.find((one) => one.fitting.id === lampId);
  const fitting = [...scene.things.map((one) => one.fitting), ...scene.perches].find((one) => one.id === placeId);
  if (lamp === undefined || fitting === undefined)
    throw new RangeError('the lamp or the place is not in this enclosure');
  const place = placePoint(scene, fitting);
  const others = scene.fresh.filter((one) => one !== lamp.fresh);
  const datum = lamp.output.datumOffsetMm;
  const total = (share: number) => (drop: number) => {
    const moved = { ...lamp.fresh, at: { ...lamp.fresh.at, zMm: place.zMm + drop + datum }, share };
    return uviAt([...others, moved], place, scene.solids, scene.scratch).aimed;
  };
  const alone = uviAt(others, place, scene.solids, scene.scratch).aimed;
  if (alone >= wanted.high) return { status: 'too-strong-without-it', others: alone };
  const life = lamp.fitting.lifeMonths ?? AGEING.lifeMonths;
  const old = lamp.fresh.share * agedShare(life, life);
  const inside = lamp.fresh.at.zMm < scene.box.heightMm;
  const room = roomAbove(scene.box, place.zMm, inside, datum);
  return rangeOf(total(lamp.fresh.share), total(old), wanted, room, lamp.fresh.at.zMm - datum - place.zMm);
}

/** Whether a lamp is longer than its box; over mesh the ends of a tube may stand out, but nothing that is lit. */
export function isTooLong({ litLengthMm }: LampOutput, { lengthMm, depthMm, top }: Omit<LitBox, 'heightMm'>): boolean {
  return litLengthMm !== null && litLengthMm + (top === 'mesh' ? 0 : ENDS_MM) > Math.max(lengthMm, depthMm);
}

/** A class of lamp that might be bought. */
export type LampClass = { id: string; lamp: LampOutput };

export type ClassFit =
  | { id: string; status: 'fits'; nearestMm: number; farthestMm: number; farthestAtEndOfLifeMm: number | null }
  | { id: string; status: 'does-not-fit'; why: 'output-unknown' | 'too-long' | 'no-room' }
  | { id: string; status: 'does-not-fit'; why: 'too-strong'; lowestThere: number }
  | { id: string; status: 'does-not-fit'; why: 'too-weak'; highestThere: number };

/**
 * Which lamps, each hung straight over a place whose ground lies `groundMm` above the floor, can give a wanted UVI to an animal's back there
 * in a box: at least 15 cm away, under the roof or, over mesh, above it. `meshShare` is what the mesh passes; `guarded` takes off a guard's part;
 * `keeper` is what this keeper's other readings make of lamps.
 */
export function classesThatFit(
  box: LitBox,
  groundMm: number,
  classes: LampClass[],
  wanted: WantedUvi,
  through: { meshShare: number; guarded: boolean; backMm?: number; keeper?: LightCorrection | null },
): ClassFit[] {
  const place = groundMm + (through.backMm ?? BACK_MM);
  const inside = box.top !== 'mesh';
  return classes.map(({ id, lamp }): ClassFit => {
    if (mistakeIn(lamp) !== null || (lamp.from === 'packaging' && lamp.litLengthMm === null)) {
      return { id, status: 'does-not-fit', why: 'output-unknown' };
    }
    if (isTooLong(lamp, box)) {
      return { id, status: 'does-not-fit', why: 'too-long' };
    }
    const share =
      meshShareOf(lamp, through.meshShare) *
      (through.guarded ? GUARD_SHARE : 1) *
      correctionFor(lamp, through.keeper ?? null);
    const hung = { source: sourceOf(lamp), at: { xMm: 0, yMm: 0, zMm: 0 }, turned: false, share };
    const from = (passed: number) => (drop: number) =>
      uviAt([{ ...hung, share: passed }], { xMm: 0, yMm: 0, zMm: -drop - lamp.datumOffsetMm }, []).aimed;
    const room = roomAbove(box, place, inside, lamp.datumOffsetMm);
    if (room.most < room.least) return { id, status: 'does-not-fit', why: 'no-room' };
    const range = rangeOf(from(share), from(share * AGEING.endShare), wanted, room, 0);
    if (range.status === 'found' && range.fits !== null) {
      const { fits, farthestAtEndOfLifeMm: old } = range;
      const atEnd = old !== null && old >= fits.nearestMm ? Math.min(old, fits.farthestMm) : null;
      return { id, status: 'fits', ...fits, farthestAtEndOfLifeMm: atEnd };
    }
    const lowestThere = from(share)(room.most);
    return lowestThere > wanted.high
      ? { id, status: 'does-not-fit', why: 'too-strong', lowestThere }
      : { id, status: 'does-not-fit', why: 'too-weak', highestThere: from(share)(room.least) };
  });
}

// How far above a place (from its datum) a lamp can hang in or over a box, mm.
function roomAbove(box: LitBox, placeZ: number, inside: boolean, datumMm: number): { least: number; most: number } {
  const below = placeZ + datumMm;
  // An open box has no roof in the way: the lamp hangs as high as a chain reaches.
  if (inside && box.top === 'open') return { least: NEAREST_HANGING_MM, most: box.heightMm + MOST_ABOVE_MM - below };
  return inside
    ? { least: NEAREST_HANGING_MM, most: box.heightMm - ROOF_GAP_MM - below }
    : {
        least: Math.max(NEAREST_HANGING_MM, box.heightMm + MESH_GAP_MM - below),
        most: box.heightMm + MOST_OVER_MESH_MM - below,
      };
}

// The span of distances that gives a wanted UVI, looked for from afar so that no nearer stretch is taken for it.
function rangeOf(
  fresh: (mm: number) => number,
  old: (mm: number) => number,
  wanted: WantedUvi,
  room: { least: number; most: number },
  nowMm: number,
): Hanging {
  const farthestMm = outermost(fresh, wanted.low);
  if (farthestMm === null) return { status: 'too-weak', most: Math.max(fresh(20), fresh(NEAREST_HANGING_MM)) };
  const nearestMm = outermost(fresh, wanted.high) ?? 20;
  const oldMm = outermost(old, wanted.low);
  const [near, far] = [Math.max(nearestMm, room.least), Math.min(farthestMm, room.most)];
  return {
    status: 'found',
    nearestMm,
    farthestMm,
    farthestAtEndOfLifeMm: oldMm !== null && oldMm >= nearestMm ? oldMm : null,
    nowMm,
    fits: near <= far ? { nearestMm: near, farthestMm: far } : null,
  };
}

// The greatest distance, from 2 cm to 3 m, at which a value is still reached.
function outermost(uvi: (mm: number) => number, wanted: number): number | null {
  const steps = 120;
  const distanceAt = (step: number) => 20 * 150 ** (step / steps);
  if (uvi(3000) >= wanted) return 3000;
  for (let step = steps - 1; step >= 0; step--) {
    if (uvi(distanceAt(step)) < wanted) continue;
    let [near, far] = [distanceAt(step), distanceAt(step + 1)];
    for (let halving = 0; halving < 40; halving++) {
      const middle = (near + far) / 2;
      if (uvi(middle) >= wanted) near = middle;
      else far = middle;
    }
    return (near + far) / 2;
  }
  return null;
}

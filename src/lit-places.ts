// What light does where an animal is: the UV index where it basks, perches and hides, how UV is spread over every surface it can reach, the
// highest of it, the retreats from it, and the grids that drawings are made of. Asks a scene for the light at a point.

import type { Fitting } from './collection.ts';
import type { ErrorTerm, HungLamp, Point, Solid, Uvi } from './light.ts';
import { hiddenShare, inQuadrature, uviAt } from './light.ts';
import type { LightScene } from './light-scene.ts';
import { asideOf, bothAt, DARK_UVI, errorsAt, placePoint } from './light-scene.ts';
import { isHide, isInside, solidOf } from './placed-things.ts';
import type { UvZone, UvZoneBand } from './species.ts';

/** UV at a place: with new lamps and with lamps as old as they are, ± `error` as a share. `low` is of the old lamps, `high` of the new. */
export type LitPlace = {
  fittingId: string;
  kind: 'basking-place' | 'perch' | 'hide' | 'moist-hide';
  at: Point;
  fresh: Uvi;
  aged: Uvi;
  low: number;
  high: number;
  error: number;
  errors: ErrorTerm[];
  /** To the axis or face of the nearest lamp, mm; null without lamps. */
  nearestLampMm: number | null;
  /** Share of all lamps' length (0 to 1) that solids hide from it. */
  hidden: number;
};

/** UV at the animal's back on each basking place and perch, and inside each hide. Cheap: a plan asks it for every combination. */
export function placesIn(scene: LightScene): LitPlace[] {
  const kinds = new Set(['basking-place', 'perch', 'hide', 'moist-hide']);
  return [...scene.things.map((one) => one.fitting), ...scene.perches]
    .filter((one) => kinds.has(one.kind))
    .map((fitting): LitPlace => {
      const at = placePoint(scene, fitting);
      const { fresh, aged } = bothAt(scene, at);
      const errors = errorsAt(scene, at, scene.recalibrated?.placeId === fitting.id);
      const error = fresh.most > 0 ? inQuadrature(errors) : 0;
      let hidden = 0;
      for (const lamp of scene.fresh) hidden += hiddenShare(lamp, at, scene.solids, scene.scratch) / scene.fresh.length;
      return {
        fittingId: fitting.id,
        kind: fitting.kind as LitPlace['kind'],
        at,
        fresh,
        aged,
        low: aged.aimed * Math.max(0, 1 - error),
        high: fresh.aimed * (1 + error),
        error,
        errors,
        nearestLampMm: scene.lamps.length === 0 ? null : Math.min(...scene.fresh.map((one) => distanceToLamp(one, at))),
        hidden,
      };
    });
}

/** Shares (0 to 1) of what an animal can reach. */
type Shares = { zones: { zone: UvZone; share: number }[]; above: number; shade: number };

/** The most UV an animal can meet, with new lamps: `most` adds the lamps' lengths and is never exceeded; `high` is it with its error. */
export type Highest = { at: Point; on: string | null; aimed: number; most: number; error: number; high: number };

/** Where an animal can leave the UV: in placed hides (`hides`) or on part of its surfaces; in hides of unknown place; or nowhere. */
export type Retreat =
  | { status: 'yes'; hides: string[]; surfaceShare: number }
  | { status: 'unplaced-hide'; hides: string[] }
  | { status: 'no'; lowest: number };

export type Spread = { points: number; fresh: Shares; aged: Shares; highest: Highest | null; retreat: Retreat };

/**
 * How UV is spread over what an animal can reach, sampled on a grid: the floor, the tops of basking places, shelves and hides, the floors of
 * hides, and perches, each at the height of its back; no place without headroom. Bands are half-open, so that zones and `above` sum to 1;
 * `shade` (UVI below 0.05) is a part of the lowest. The place under each lamp's middle is looked at besides, for the highest.
 */
export function spreadIn(scene: LightScene, bands: UvZoneBand[], stepMm = 20): Spread {
  const zones = [...bands].sort((a, b) => a.zone - b.zone);
  const fresh = new Float64Array(zones.length + 1);
  const aged = new Float64Array(zones.length + 1);
  const shade = { fresh: 0, aged: 0 };
  const best = { at: { xMm: 0, yMm: 0, zMm: 0 }, on: null as string | null, uvi: { aimed: 0, most: -1, flat: 0 } };
  let [points, area, lowest] = [0, 0, Number.POSITIVE_INFINITY];
  const hides = new Set<string>();
  const look = (at: Point, on: string | null): { fresh: Uvi; aged: Uvi } => {
    const both = bothAt(scene, at);
    if (both.fresh.most > best.uvi.most) {
      best.at = { ...at };
      best.on = on;
      best.uvi = both.fresh;
    }
    return both;
  };
  for (const surface of surfacesOf(scene)) {
    const across = Math.max(1, Math.round((surface.toX - surface.fromX) / stepMm));
    const deep = Math.max(1, Math.round((surface.toY - surface.fromY) / stepMm));
    const [dx, dy] = [(surface.toX - surface.fromX) / across, (surface.toY - surface.fromY) / deep];
    const cell = Math.max(1, dx) * Math.max(1, dy);
    const at: Point = { xMm: 0, yMm: 0, zMm: surface.backZ };
    let dark = true;
    let reached = false;
    for (let row = 0; row < deep; row++) {
      at.yMm = surface.fromY + (row + 0.5) * dy;
      for (let column = 0; column < across; column++) {
        at.xMm = surface.fromX + (column + 0.5) * dx;
        if (!hasHeadroom(scene, surface, at)) continue;
        const both = look(at, surface.fittingId);
        fresh[bandOf(zones, both.fresh.aimed)]! += cell;
        aged[bandOf(zones, both.aged.aimed)]! += cell;
        if (both.fresh.aimed < DARK_UVI) shade.fresh += cell;
        else dark = false;
        if (both.aged.aimed < DARK_UVI) shade.aged += cell;
        lowest = Math.min(lowest, both.fresh.aimed);
        reached = true;
        area += cell;
        points += 1;
      }
    }
    if (surface.inside && dark && reached) hides.add(surface.fittingId!);
    for (const { fresh: lamp } of scene.lamps) {
      at.xMm = Math.min(surface.toX, Math.max(surface.fromX, lamp.at.xMm));
      at.yMm = Math.min(surface.toY, Math.max(surface.fromY, lamp.at.yMm));
      if (hasHeadroom(scene, surface, at)) look(at, surface.fittingId);
    }
  }
  const sharesOf = (areas: Float64Array, dark: number): Shares => ({
    zones: zones.map((one, index) => ({ zone: one.zone, share: area === 0 ? 0 : areas[index]! / area })),
    above: area === 0 ? 0 : areas[zones.length]! / area,
    shade: area === 0 ? 0 : dark / area,
  });
  const error = points === 0 ? 0 : inQuadrature(errorsAt(scene, best.at, scene.recalibrated?.placeId === best.on));
  return {
    points,
    fresh: sharesOf(fresh, shade.fresh),
    aged: sharesOf(aged, shade.aged),
    highest:
      points === 0
        ? null
        : {
            at: best.at,
            on: best.on,
            aimed: best.uvi.aimed,
            most: best.uvi.most,
            error: best.uvi.most > 0 ? error : 0,
            high: best.uvi.most * (1 + error),
          },
    retreat:
      hides.size > 0 || shade.fresh > 0
        ? { status: 'yes', hides: [...hides], surfaceShare: shade.fresh / area }
        : scene.unplacedHides.length > 0
          ? { status: 'unplaced-hide', hides: scene.unplacedHides.map((one) => one.id) }
          : { status: 'no', lowest: points === 0 ? 0 : lowest },
  };
}

/** How the highest value stands to a ceiling: above it, below it by more than its error, or too close to tell. */
export function againstCeiling(highest: Highest, ceiling: number): 'below' | 'too-close-to-tell' | 'above' {
  if (highest.most > ceiling) return 'above';
  return highest.high > ceiling ? 'too-close-to-tell' : 'below';
}

/** Values on a grid of nodes `stepMm` apart, row after row; the first node at a corner, the last rows and columns at or just past a wall. */
export type LightField = { width: number; height: number; stepMm: number; values: Float64Array };

/** The UVI (aimed) in the upright section at a depth from the front: columns from the left, rows from the floor up. */
export function sectionField(
  scene: LightScene,
  yMm: number,
  stepMm = 20,
  lamps: 'fresh' | 'aged' = 'fresh',
): LightField {
  const { lengthMm, heightMm } = scene.box;
  return field(lengthMm, heightMm, stepMm, (column, row, at) => {
    at.xMm = column;
    at.yMm = yMm;
    at.zMm = row;
    return uviAt(scene[lamps], at, scene.solids, scene.scratch).aimed;
  });
}

/** The UVI (aimed) on a level at a height above the floor: columns from the left, rows from the front. */
export function planField(scene: LightScene, zMm: number, stepMm = 20, lamps: 'fresh' | 'aged' = 'fresh'): LightField {
  const { lengthMm, depthMm } = scene.box;
  return field(lengthMm, depthMm, stepMm, (column, row, at) => {
    at.xMm = column;
    at.yMm = row;
    at.zMm = zMm;
    return uviAt(scene[lamps], at, scene.solids, scene.scratch).aimed;
  });
}

/** How a node of a section is shaded: 0 sees every lamp whole, 1 in part, 2 none of them, 3 lies inside a solid. */
export type Shade = { width: number; height: number; stepMm: number; values: Uint8Array };

/** Which nodes of an upright section solids shade; the same grid as `sectionField`. */
export function sectionShade(scene: LightScene, yMm: number, stepMm = 20): Shade {
  const { lengthMm, heightMm } = scene.box;
  const grid = field(lengthMm, heightMm, stepMm, (column, row, at) => {
    at.xMm = column;
    at.yMm = yMm;
    at.zMm = row;
    if (scene.solids.some((one) => isInside(one, at))) return 3;
    let [whole, seen] = [true, scene.fresh.length === 0];
    for (const lamp of scene.fresh) {
      const hidden = hiddenShare(lamp, at, scene.solids, scene.scratch);
      if (hidden > 1e-9) whole = false;
      if (hidden < 1 - 1e-9) seen = true;
    }
    return whole ? 0 : seen ? 1 : 2;
  });
  return { ...grid, values: Uint8Array.from(grid.values) };
}

// The band that holds a UVI, each up to but not with its upper end; one past the last for what lies above.
function bandOf(zones: UvZoneBand[], uvi: number): number {
  const index = zones.findIndex((one) => uvi < one.meanHigh);
  return index === -1 ? zones.length : index;
}

type Surface = {
  fittingId: string | null;
  inside: boolean;
  fromX: number;
  toX: number;
  fromY: number;
  toY: number;
  /** The ground and the animal's back above it. */
  groundZ: number;
  backZ: number;
};

function surfacesOf(scene: LightScene): Surface[] {
  const { lengthMm, depthMm } = scene.box;
  const flat = { fromX: 0, toX: lengthMm, fromY: 0, toY: depthMm };
  const on = (fitting: Fitting, solid: Solid): Surface => ({
    ...{ fromX: solid.fromX, toX: solid.toX, fromY: solid.fromY, toY: solid.toY },
    fittingId: fitting.id,
    inside: false,
    groundZ: solid.toZ,
    backZ: solid.toZ + scene.backMm,
  });
  return [
    { ...flat, fittingId: null, inside: false, groundZ: 0, backZ: scene.backMm },
    ...scene.things.flatMap(({ fitting, solid }) => [
      on(fitting, solid),
      ...(isHide(fitting)
        ? [
            {
              ...on(fitting, solid),
              inside: true,
              groundZ: solid.fromZ,
              backZ: solid.fromZ + Math.min(scene.backMm, (solid.toZ - solid.fromZ) / 2),
            },
          ]
        : []),
    ]),
    ...scene.perches.map((one) => on(one, solidOf(one))),
  ];
}

// Whether an animal fits there: no solid in the way but the hide it lies in, and the roof above its back.
function hasHeadroom(scene: LightScene, surface: Surface, at: Point): boolean {
  if (at.zMm > scene.box.heightMm) return false;
  for (const { fitting, solid } of scene.things) {
    if (surface.inside && fitting.id === surface.fittingId) continue;
    if (solid.toZ <= surface.groundZ || solid.fromZ >= at.zMm) continue;
    if (at.xMm > solid.fromX && at.xMm < solid.toX && at.yMm > solid.fromY && at.yMm < solid.toY) return false;
  }
  return true;
}

function distanceToLamp(lamp: HungLamp, at: Point): number {
  return Math.hypot(asideOf(lamp, at), lamp.at.zMm - at.zMm);
}

function field(
  acrossMm: number,
  upMm: number,
  stepMm: number,
  valueAt: (column: number, row: number, at: Point) => number,
): LightField {
  const [width, height] = [Math.ceil(acrossMm / stepMm - 1e-9) + 1, Math.ceil(upMm / stepMm - 1e-9) + 1];
  const values = new Float64Array(width * height);
  const at: Point = { xMm: 0, yMm: 0, zMm: 0 };
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      values[row * width + column] = valueAt(column * stepMm, row * stepMm, at);
    }
  }
  return { width, height, stepMm, values };
}

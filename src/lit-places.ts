// What light does to one enclosure: the UV index where its animals bask, perch and hide and on every surface they can reach, on a day and
// with new lamps; where a lamp should hang and which lamp fits at all; and what a reading says about the model. Knows boxes and things
// in them; how light travels stands in light.ts, and what a species needs elsewhere.

import type { PlainDate } from './calendar.ts';
import { ageInMonths } from './calendar.ts';
import type { Enclosure, Fitting, LampOutput, LightCorrection } from './collection.ts';
import { HIDES, isFitted, isGuarded, UV_LAMPS } from './collection.ts';
import type { ErrorTerm, HungLamp, LightSource, OutputMistake, Point, Scratch, Solid, Uvi } from './light.ts';
import {
  AGEING,
  agedShare,
  errorTerms,
  GUARD_SHARE,
  hiddenShare,
  inQuadrature,
  METER_ERROR,
  meshShareOf,
  mistakeIn,
  scratchFor,
  sourceOf,
  uviAt,
} from './light.ts';
import type { UvZone, UvZoneBand } from './species.ts';

/** Height of an animal's back above what it lies on, mm, where nothing better is known: an own assumption. */
export const BACK_MM = 30;
/** Below this UVI a place counts as free of UV: a meter that shows tenths shows 0.0. */
export const DARK_UVI = 0.05;
/** Nearest that a lamp is proposed to an animal's back, mm: a surface a few inches under a tube is too close. Common practice, no source. */
export const NEAREST_HANGING_MM = 150;
/** What a lamp with its holder takes up under a closed roof, roof to axis, and over mesh, mesh to axis, mm: own assumptions. */
export const ROOF_GAP_MM = 40;
export const MESH_GAP_MM = 10;
/** Farthest that a lamp is hung above a box, mm: an own assumption. */
export const MOST_ABOVE_MM = 1000;
// A distance written down may differ this much from the places of lamp and basking place before it is told, mm.
const DIFFERENCE_MM = 30;
// A reading this many times what new, bare lamps could give is not explained by a strong lamp.
const IMPOSSIBLE_FACTOR = 1.5;

export type LitBox = Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm' | 'top'>;

/** A UVI read in the box; `placeId` is the basking place or perch, null for the basking place that gets most. `accuracy` ± UVI. */
type PlaceReading = { uvi: number; takenOn: PlainDate; accuracy: number | null; placeId: string | null };

/** What a reading made of the model before something was moved, added or taken away: it still holds for the lamps that it was read of. */
export type EarlierReading = Pick<Recalibration, 'ratio' | 'takenOn'> & { lampIds: ReadonlySet<string> };

/**
 * An enclosure on a day. `backMm` is the animal's back above its ground; a reading wins over the model everywhere, and is held against it as
 * it is. `correction` is what an earlier reading says of some lamps, `keeper` what this keeper's other readings say of all lamps that have
 * no reading of their own: neither that one nor figures that were read under them.
 */
export type LightQuestion = {
  box: LitBox;
  fittings: Fitting[];
  on: PlainDate;
  backMm?: number;
  reading?: PlaceReading | null;
  correction?: EarlierReading | null;
  keeper?: LightCorrection | null;
};

/** A mistake in what was entered, which must be mended before light can be told. */
export type LightProblem =
  | { problem: 'box-without-size' }
  | { problem: 'not-a-number'; fittingId: string }
  | { problem: 'outside-box'; fittingId: string; along: 'length' | 'depth' | 'height'; overMm: number }
  | { problem: 'without-size'; fittingId: string }
  | { problem: 'output'; fittingId: string; mistake: OutputMistake }
  | { problem: 'mesh-share'; fittingId: string }
  | { problem: 'lamp-inside-solid'; fittingId: string; solidId: string }
  | { problem: 'no-distance'; fittingId: string; placeId: string }
  | { problem: 'lamp-not-above'; fittingId: string; placeId: string };

/** What is not known of a lamp, so that the light of the box is unknown; a compact lamp's packaging is not believed without a reading. */
export type LightLack = { fittingId: string; lacks: 'position' | 'output' | 'believable-output' };

/** Something a keeper should know about the figures. */
export type LightFinding =
  | {
      finding: 'reading-contradicts-model';
      placeId: string;
      reading: number;
      model: { low: number; likely: number; high: number };
      doubted: 'reading' | 'model' | 'either';
      why:
        | 'above-what-new-bare-lamps-give'
        | 'output-from-packaging'
        | 'output-of-a-class'
        | 'place-in-shade'
        | 'place-partly-in-shade'
        | 'nothing-arrives'
        | 'both-were-read';
    }
  | { finding: 'reading-without-place' }
  | { finding: 'reading-older-than-lamp'; lampId: string }
  | { finding: 'past-life'; lampId: string; lifeMonths: number }
  | { finding: 'lamp-above-closed-top'; lampId: string }
  | { finding: 'mesh-not-counted'; lampId: string }
  | { finding: 'too-near'; placeId: string; lampId: string; distanceMm: number }
  | { finding: 'distance-differs'; placeId: string; lampId: string; statedMm: number; placedMm: number };

/** What was assumed rather than known. Those about one lamp name it. */
export type LightAssumption =
  | { assumes: 'back-height'; mm: number }
  | { assumes: 'ageing'; endShare: number; lifeMonths: number; lampId: string }
  | { assumes: 'beam'; exponent: number; lampId: string }
  | { assumes: 'own-readings'; factor: number; error: number; from: number; lampId: string }
  | {
      assumes: 'reflector-unknown' | 'class-output' | 'packaging-output' | 'mesh-by-rule' | 'guard-by-rule';
      lampId: string;
    }
  | { assumes: 'hides-opaque' | 'walls-dark' | 'no-climbing' };

/** What a reading did: `ratio` is the reading over what the model said for its place and day; everything is multiplied by it. */
type Recalibration = {
  placeId: string;
  takenOn: PlainDate;
  reading: number;
  /** ± share of the reading. */
  error: number;
  model: { low: number; likely: number; high: number };
  ratio: number;
};

type SceneLamp = {
  fitting: Fitting;
  output: LampOutput;
  source: LightSource;
  /** Lets through: `mesh` and `guard` are 1 where nothing is taken off. */
  passes: { mesh: number; guard: number; sheet: number };
  fresh: HungLamp;
  aged: HungLamp;
  /** What the keeper's other readings made of it; null where they were not asked. */
  keeper: LightCorrection | null;
};

/** An enclosure made ready for questions about its light; made by `lightingOf`. */
export type LightScene = {
  status: 'lit';
  box: LitBox;
  on: PlainDate;
  backMm: number;
  lamps: SceneLamp[];
  things: { fitting: Fitting; solid: Solid }[];
  perches: Fitting[];
  unplacedHides: Fitting[];
  solids: Solid[];
  scratch: Scratch;
  fresh: HungLamp[];
  aged: HungLamp[];
  /** Aged over new, where all lamps have faded alike; else null. */
  fade: number | null;
  recalibrated: Recalibration | null;
  findings: LightFinding[];
  assumptions: LightAssumption[];
};

export type Lighting =
  | LightScene
  | { status: 'unknown'; lacks: LightLack[] }
  | { status: 'cannot'; problems: LightProblem[] };

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

const isLamp = (one: Fitting) => UV_LAMPS.has(one.kind);
const isHide = (one: Fitting) => HIDES.has(one.kind);
const isSolid = (one: Fitting) => one.kind === 'basking-place' || one.kind === 'shelf' || isHide(one);

/**
 * Makes an enclosure ready: its lamps in use, where they hang and what reaches through mesh and guards; the solids that cast shade (basking
 * places, shelves and hides; perches are too thin); and what a reading makes of it all. Without UV lamps everything is 0.
 */
export function lightingOf(question: LightQuestion): Lighting {
  const { box, on } = question;
  const active = question.fittings.filter((one) => isFitted(one, on));
  const problems = problemsIn(box, active);
  if (problems.length > 0) return { status: 'cannot', problems };
  const lampFittings = active.filter(isLamp);
  const lacks = lampFittings.flatMap((one): LightLack[] => {
    if (one.lamp === null) return [{ fittingId: one.id, lacks: 'output' }];
    return one.placed === null ? [{ fittingId: one.id, lacks: 'position' }] : [];
  });
  if (lacks.length > 0) return { status: 'unknown', lacks };

  const placed = active.filter((one) => one.placed !== null);
  const things = placed.filter(isSolid).map((fitting) => ({ fitting, solid: solidOf(fitting) }));
  const solids = things.map((one) => one.solid);
  const lamps = lampFittings.map((one) => sceneLamp(one, active, box, on));
  const correction = question.reading ? null : (question.correction ?? null);
  if (correction !== null) {
    for (const one of lamps) {
      if (correction.lampIds.has(one.fitting.id)) correct(one, correction.ratio, correction.takenOn);
    }
  }
  const scene: LightScene = {
    status: 'lit',
    box,
    on,
    backMm: question.backMm ?? BACK_MM,
    lamps,
    things,
    perches: placed.filter((one) => one.kind === 'perch'),
    unplacedHides: active.filter((one) => isHide(one) && one.placed === null),
    solids,
    scratch: scratchFor(solids),
    fresh: lamps.map((one) => one.fresh),
    aged: lamps.map((one) => one.aged),
    fade: null,
    recalibrated: null,
    findings: lamps.flatMap((one) => findingsAbout(one, box, on)),
    assumptions: assumptionsOf(question, lamps, things.length > 0),
  };
  recalibrate(scene, question.reading ?? null);
  const wasRead = ({ fitting }: SceneLamp) =>
    scene.recalibrated !== null || (correction?.lampIds.has(fitting.id) ?? false);
  const doubtful = lamps.filter(
    (one) => one.fitting.kind === 'uv-compact' && one.output.from === 'packaging' && !wasRead(one),
  );
  if (doubtful.length > 0) {
    return {
      status: 'unknown',
      lacks: doubtful.map((one) => ({ fittingId: one.fitting.id, lacks: 'believable-output' })),
    };
  }
  const keeper = question.keeper ?? null;
  if (keeper !== null) {
    for (const one of lamps) {
      if (wasRead(one) || hasOwnFigures(one.output)) continue;
      one.keeper = keeper;
      one.fresh.share *= keeper.factor;
      one.aged.share *= keeper.factor;
      scene.assumptions.push({ assumes: 'own-readings', ...keeper, lampId: one.fitting.id });
    }
  }
  const fades = lamps.map((one) => (one.fresh.share === 0 ? 1 : one.aged.share / one.fresh.share));
  scene.fade = fades.every((one) => one === fades[0]) ? (fades[0] ?? 1) : null;
  for (const { fitting, solid } of things) {
    if (fitting.kind === 'basking-place') scene.findings.push(...findingsOver(scene, fitting, solid));
  }
  return scene;
}

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
export type Field = { width: number; height: number; stepMm: number; values: Float64Array };

/** The UVI (aimed) in the upright section at a depth from the front: columns from the left, rows from the floor up. */
export function sectionField(scene: LightScene, yMm: number, stepMm = 20, lamps: 'fresh' | 'aged' = 'fresh'): Field {
  const { lengthMm, heightMm } = scene.box;
  return field(lengthMm, heightMm, stepMm, (column, row, at) => {
    at.xMm = column;
    at.yMm = yMm;
    at.zMm = row;
    return uviAt(scene[lamps], at, scene.solids, scene.scratch).aimed;
  });
}

/** The UVI (aimed) on a level at a height above the floor: columns from the left, rows from the front. */
export function planField(scene: LightScene, zMm: number, stepMm = 20, lamps: 'fresh' | 'aged' = 'fresh'): Field {
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

/** Shares of values (UVI) in each zone's half-open mean band, and above them all. */
export function sharesOfValues(
  values: ArrayLike<number>,
  bands: UvZoneBand[],
): { zone: UvZone | 'above'; share: number }[] {
  const zones = [...bands].sort((a, b) => a.zone - b.zone);
  const counts = new Array<number>(zones.length + 1).fill(0);
  for (let index = 0; index < values.length; index++) {
    counts[bandOf(zones, values[index]!)]! += 1;
  }
  return counts.map((count, index) => ({
    zone: zones[index]?.zone ?? 'above',
    share: values.length === 0 ? 0 : count / values.length,
  }));
}

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
    // A tube's ends and holders add about 60 mm to what is lit (own assumption); over mesh it may stand out.
    if (inside && lamp.litLengthMm !== null && lamp.litLengthMm + 60 > Math.max(box.lengthMm, box.depthMm)) {
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

// The band that holds a UVI, each up to but not with its upper end; one past the last for what lies above.
function bandOf(zones: UvZoneBand[], uvi: number): number {
  const index = zones.findIndex((one) => uvi < one.meanHigh);
  return index === -1 ? zones.length : index;
}

function problemsIn(box: LitBox, active: Fitting[]): LightProblem[] {
  const { lengthMm, depthMm, heightMm } = box;
  if (!(lengthMm > 0 && depthMm > 0 && heightMm > 0)) return [{ problem: 'box-without-size' }];
  const problems: LightProblem[] = [];
  const concerned = active.filter((one) => isLamp(one) || isSolid(one) || one.kind === 'perch');
  const sound: Fitting[] = [];
  for (const one of concerned) {
    if (isLamp(one) && one.lamp !== null) {
      const mistake = mistakeIn(one.lamp);
      if (mistake !== null) problems.push({ problem: 'output', fittingId: one.id, mistake });
      if (!(one.meshShare >= 0 && one.meshShare <= 1)) problems.push({ problem: 'mesh-share', fittingId: one.id });
    }
    if (one.placed === null) continue;
    const { placed } = one;
    if (![placed.xMm, placed.yMm, placed.zMm].every(Number.isFinite)) {
      problems.push({ problem: 'not-a-number', fittingId: one.id });
      continue;
    }
    const sizes = [placed.lengthMm, placed.depthMm, placed.heightMm];
    if (isSolid(one) && !sizes.every((size) => size !== null && size > 0)) {
      problems.push({ problem: 'without-size', fittingId: one.id });
      continue;
    }
    const solid = solidOf(one);
    // A lamp over the box may stand out over its walls and as high as a chain reaches.
    const above = isLamp(one) && placed.zMm >= heightMm;
    const lit = isLamp(one) && !above ? (one.lamp?.litLengthMm ?? 0) / 2 : 0;
    const [halfX, halfY] = placed.turned ? [0, lit] : [lit, 0];
    const overs: ['length' | 'depth' | 'height', number][] = [
      ['length', Math.max(-(solid.fromX - halfX), solid.toX + halfX - lengthMm)],
      ['depth', Math.max(-(solid.fromY - halfY), solid.toY + halfY - depthMm)],
      ['height', Math.max(-solid.fromZ, solid.toZ - (isLamp(one) ? heightMm + MOST_ABOVE_MM : heightMm))],
    ];
    const outside = overs.filter(([, overMm]) => overMm > 0.5);
    for (const [along, overMm] of outside) problems.push({ problem: 'outside-box', fittingId: one.id, along, overMm });
    if (outside.length === 0) sound.push(one);
  }
  const solids = sound.filter(isSolid);
  const lamps = sound.filter(isLamp);
  for (const lamp of lamps) {
    const { xMm, yMm, zMm } = lamp.placed!;
    const solid = solids.find((one) => isInside(solidOf(one), { xMm, yMm, zMm }));
    if (solid !== undefined) problems.push({ problem: 'lamp-inside-solid', fittingId: lamp.id, solidId: solid.id });
  }
  for (const place of solids.filter((one) => one.kind === 'basking-place')) {
    const top = solidOf(place);
    const touching = lamps.find(({ placed }) => {
      const { xMm, yMm, zMm } = placed!;
      return zMm === top.toZ && xMm >= top.fromX && xMm <= top.toX && yMm >= top.fromY && yMm <= top.toY;
    });
    if (touching !== undefined) {
      problems.push({ problem: 'no-distance', fittingId: touching.id, placeId: place.id });
    } else if (lamps.length > 0 && lamps.every((one) => one.placed!.zMm <= top.toZ)) {
      problems.push({ problem: 'lamp-not-above', fittingId: lamps[0]!.id, placeId: place.id });
    }
  }
  return problems;
}

function sceneLamp(fitting: Fitting, active: Fitting[], box: LitBox, on: PlainDate): SceneLamp {
  const output = fitting.lamp!;
  const { xMm, yMm, zMm, turned } = fitting.placed!;
  const guarded = isGuarded(fitting, active);
  const passes = {
    mesh: meshShareOf(output, fitting.meshShare),
    guard: guarded ? GUARD_SHARE : 1,
    // Whatever closes a box, glass and acrylic included, passes no UV-B that may be credited.
    sheet: box.top === 'closed' && zMm > box.heightMm ? 0 : 1,
  };
  const source = sourceOf(output);
  const share = passes.mesh * passes.guard * passes.sheet;
  const fresh = { source, at: { xMm, yMm, zMm }, turned, share };
  const aged = { ...fresh, share: share * ageShare(fitting, on) };
  return { fitting, output, source, passes, fresh, aged, keeper: null };
}

/** How many times what its figures say is expected of a lamp, by the keeper's readings of other lamps; 1 without such readings. */
export function correctionFor(lamp: LampOutput, keeper: LightCorrection | null): number {
  return keeper === null || hasOwnFigures(lamp) ? 1 : keeper.factor;
}

/** Whether a lamp's figures were read under it by its keeper, so that they need no correction by other lamps. */
export function hasOwnFigures({ from }: LampOutput): boolean {
  return from === 'own-reading';
}

/**
 * Share (0 to 1) of its first output that is expected of a lamp on a day. It fades up to the end of its life; beyond it nothing is known of
 * how it goes on, so the expectation stays and what it is worth at the least falls instead (`overdueShare`).
 */
export function ageShare({ fittedOn, lifeMonths }: Pick<Fitting, 'fittedOn' | 'lifeMonths'>, on: PlainDate): number {
  const life = lifeMonths ?? AGEING.lifeMonths;
  return agedShare(Math.min(ageInMonths(fittedOn, on), life), life);
}

function findingsAbout(lamp: SceneLamp, box: LitBox, on: PlainDate): LightFinding[] {
  const { id: lampId, fittedOn, lifeMonths } = lamp.fitting;
  const past = lifeMonths !== null && ageInMonths(fittedOn, on) > lifeMonths;
  return [...(past ? [{ finding: 'past-life' as const, lampId, lifeMonths }] : []), ...findingsAboutTop(lamp, box)];
}

function findingsAboutTop(lamp: SceneLamp, box: LitBox): LightFinding[] {
  const lampId = lamp.fitting.id;
  if (lamp.passes.sheet === 0) return [{ finding: 'lamp-above-closed-top', lampId }];
  const throughTop = box.top === 'mesh' && lamp.fresh.at.zMm >= box.heightMm;
  return throughTop && lamp.fitting.meshShare === 1 && !lamp.output.throughMesh
    ? [{ finding: 'mesh-not-counted', lampId }]
    : [];
}

// What stands out of the lamps over a basking place. A stated distance may have been taken to its top or to the animal's back.
function findingsOver(scene: LightScene, place: Fitting, solid: Solid): LightFinding[] {
  const at = placePoint(scene, place);
  return scene.lamps.flatMap(({ fitting, output, fresh }): LightFinding[] => {
    const named = { placeId: place.id, lampId: fitting.id };
    const distanceMm = between(fresh.at, at);
    const placedMm = fresh.at.zMm - output.datumOffsetMm - solid.toZ;
    const stated = fitting.distanceMm;
    const over = asideOf(fresh, at) <= DIFFERENCE_MM;
    const differs =
      over &&
      stated !== null &&
      (stated > placedMm + DIFFERENCE_MM || stated < placedMm - scene.backMm - DIFFERENCE_MM);
    return [
      ...(distanceMm < NEAREST_HANGING_MM ? [{ finding: 'too-near' as const, ...named, distanceMm }] : []),
      ...(differs ? [{ finding: 'distance-differs' as const, ...named, statedMm: stated, placedMm }] : []),
    ];
  });
}

function assumptionsOf(question: LightQuestion, lamps: SceneLamp[], hasSolids: boolean): LightAssumption[] {
  const about = lamps.flatMap((one): LightAssumption[] => {
    const lampId = one.fitting.id;
    const { output, passes } = one;
    return [
      {
        assumes: 'ageing',
        endShare: AGEING.endShare,
        lifeMonths: one.fitting.lifeMonths ?? AGEING.lifeMonths,
        lampId,
      },
      ...(output.beam === null ? [{ assumes: 'beam' as const, exponent: one.source.beam, lampId }] : []),
      ...(output.reflector === 'unknown' ? [{ assumes: 'reflector-unknown' as const, lampId }] : []),
      ...(output.from === 'class' ? [{ assumes: 'class-output' as const, lampId }] : []),
      ...(output.from === 'packaging' ? [{ assumes: 'packaging-output' as const, lampId }] : []),
      ...(passes.mesh < 1 ? [{ assumes: 'mesh-by-rule' as const, lampId }] : []),
      ...(passes.guard < 1 ? [{ assumes: 'guard-by-rule' as const, lampId }] : []),
    ];
  });
  return [
    ...(question.backMm === undefined ? [{ assumes: 'back-height' as const, mm: BACK_MM }] : []),
    ...about,
    ...(hasSolids ? [{ assumes: 'hides-opaque' as const }] : []),
    { assumes: 'walls-dark' },
    { assumes: 'no-climbing' },
  ];
}

// Lets a reading win: every lamp is multiplied so that the model says at its place what was read, and fades from that day on.
function recalibrate(scene: LightScene, reading: PlaceReading | null): void {
  if (reading === null || scene.lamps.length === 0) return;
  const places = [...scene.things.map((one) => one.fitting), ...scene.perches].filter((one) =>
    reading.placeId === null ? one.kind === 'basking-place' : one.id === reading.placeId,
  );
  const newer = scene.lamps.find((one) => one.fitting.fittedOn > reading.takenOn);
  if (newer !== undefined) {
    scene.findings.push({ finding: 'reading-older-than-lamp', lampId: newer.fitting.id });
    return;
  }
  const then = scene.lamps.map((one) => ({
    ...one.fresh,
    share: one.fresh.share * ageShare(one.fitting, reading.takenOn),
  }));
  let place: Fitting | null = null;
  let likely = -1;
  for (const one of places) {
    const { aimed } = uviAt(then, placePoint(scene, one), scene.solids, scene.scratch);
    if (aimed > likely) [place, likely] = [one, aimed];
  }
  if (place === null) {
    scene.findings.push({ finding: 'reading-without-place' });
    return;
  }
  const at = placePoint(scene, place);
  const error = inQuadrature(errorsAt(scene, at, false));
  const accuracy = reading.accuracy ?? reading.uvi * METER_ERROR;
  const fresh = uviAt(scene.fresh, at, scene.solids, scene.scratch);
  const model = { low: likely * Math.max(0, 1 - error), likely, high: fresh.most * (1 + error) };
  // What the meter may be off counts on the reading's side too, in quadrature with the model's own error.
  const below = likely - reading.uvi > Math.hypot(likely * error, accuracy);
  const above = reading.uvi - fresh.most > Math.hypot(fresh.most * error, accuracy);
  if (below || above) {
    const { doubted, why } = doubtOf(scene, at, reading.uvi, likely, error);
    scene.findings.push({
      finding: 'reading-contradicts-model',
      placeId: place.id,
      reading: reading.uvi,
      model,
      doubted,
      why,
    });
  }
  if (likely <= 0) return;
  const ratio = reading.uvi / likely;
  for (const lamp of scene.lamps) correct(lamp, ratio, reading.takenOn);
  scene.recalibrated = {
    placeId: place.id,
    takenOn: reading.takenOn,
    reading: reading.uvi,
    error: reading.uvi > 0 ? accuracy / reading.uvi : 1,
    model,
    ratio,
  };
}

// What was read makes of a lamp: multiplied, it fades from that day on. What it gave when it was new is not known any more.
function correct(lamp: SceneLamp, ratio: number, takenOn: PlainDate): void {
  lamp.fresh.share *= ratio * ageShare(lamp.fitting, takenOn);
  lamp.aged.share = Math.min(lamp.aged.share * ratio, lamp.fresh.share);
}

type Contradiction = Extract<LightFinding, { finding: 'reading-contradicts-model' }>;

function doubtOf(
  scene: LightScene,
  at: Point,
  reading: number,
  likely: number,
  error: number,
): Pick<Contradiction, 'doubted' | 'why'> {
  const from = (origin: LampOutput['from']) => scene.lamps.some((one) => one.output.from === origin);
  if (from('packaging')) return { doubted: 'model', why: 'output-from-packaging' };
  const bare = scene.lamps.map((one) => ({ ...one.fresh, share: 1 }));
  if (reading > uviAt(bare, at, []).most * (1 + error) * IMPOSSIBLE_FACTOR) {
    return { doubted: 'reading', why: 'above-what-new-bare-lamps-give' };
  }
  if (likely <= 0) return { doubted: 'model', why: 'place-in-shade' };
  if (reading < DARK_UVI) return { doubted: 'either', why: 'nothing-arrives' };
  if (scene.fresh.some((one) => hiddenShare(one, at, scene.solids, scene.scratch) > 0)) {
    return { doubted: 'model', why: 'place-partly-in-shade' };
  }
  return from('class') ? { doubted: 'model', why: 'output-of-a-class' } : { doubted: 'either', why: 'both-were-read' };
}

// What makes the light at a place uncertain: each lamp's terms, weighed by its part of the light there.
function errorsAt(scene: LightScene, at: Point, wasRead: boolean): ErrorTerm[] {
  const read = scene.recalibrated;
  const meter: ErrorTerm = { of: 'meter', share: read?.error ?? METER_ERROR, grade: 'from-memory' };
  if (read !== null && wasRead) return [meter];
  const parts = scene.fresh.map((one) => uviAt([one], at, scene.solids, scene.scratch).most);
  const whole = parts.reduce((sum, one) => sum + one, 0);
  const together = new Map<ErrorTerm['of'], ErrorTerm>();
  for (const [index, lamp] of scene.lamps.entries()) {
    const weight = whole > 0 ? parts[index]! / whole : 1 / scene.lamps.length;
    const hung = lamp.fresh.at;
    let output = lamp.output;
    let passes: { mesh: number; guard: number } = lamp.passes;
    if (read !== null) {
      // The reading was taken through mesh and guard, and is the one point that is known.
      const spot = [...scene.things.map((one) => one.fitting), ...scene.perches].find(
        (one) => one.id === read.placeId,
      )!;
      output = { ...output, atMm: Math.max(1, between(hung, placePoint(scene, spot))), datumOffsetMm: 0 };
      passes = { mesh: 1, guard: 1 };
    }
    const aside = asideOf(lamp.fresh, at);
    for (const term of errorTerms(output, lamp.source, hung.zMm - at.zMm, aside, passes)) {
      const before = together.get(term.of);
      together.set(term.of, { ...term, share: (before?.share ?? 0) + weight * term.share });
    }
    if (lamp.keeper !== null) {
      const before = together.get('own-readings')?.share ?? 0;
      const share = before + weight * lamp.keeper.error;
      together.set('own-readings', { of: 'own-readings', share, grade: 'computed' });
    }
  }
  if (read !== null) together.set('meter', meter);
  return [...together.values()];
}

// How far a place lies to the side of a lamp: of a tube, beyond its ends or across it.
function asideOf(lamp: HungLamp, at: Point): number {
  const [dx, dy] = [Math.abs(at.xMm - lamp.at.xMm), Math.abs(at.yMm - lamp.at.yMm)];
  const half = lamp.source.halfLengthMm ?? 0;
  const [along, across] = lamp.turned ? [dy, dx] : [dx, dy];
  return Math.hypot(Math.max(0, along - half), across);
}

function bothAt(scene: LightScene, at: Point): { fresh: Uvi; aged: Uvi } {
  const fresh = uviAt(scene.fresh, at, scene.solids, scene.scratch);
  const { fade } = scene;
  if (fade === null) return { fresh, aged: uviAt(scene.aged, at, scene.solids, scene.scratch) };
  return { fresh, aged: { aimed: fresh.aimed * fade, most: fresh.most * fade, flat: fresh.flat * fade } };
}

// Where an animal's back is: on top of a basking place or perch, or on the floor of a hide.
function placePoint(scene: LightScene, fitting: Fitting): Point {
  const { xMm, yMm, zMm, heightMm } = fitting.placed!;
  const tall = heightMm ?? 0;
  return isHide(fitting)
    ? { xMm, yMm, zMm: zMm + Math.min(scene.backMm, tall / 2) }
    : { xMm, yMm, zMm: zMm + tall + scene.backMm };
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

function solidOf(fitting: Fitting): Solid {
  const { xMm, yMm, zMm, lengthMm, depthMm, heightMm } = fitting.placed!;
  const [halfX, halfY] = [(lengthMm ?? 0) / 2, (depthMm ?? 0) / 2];
  return {
    fromX: xMm - halfX,
    toX: xMm + halfX,
    fromY: yMm - halfY,
    toY: yMm + halfY,
    fromZ: zMm,
    toZ: zMm + (heightMm ?? 0),
  };
}

function isInside(solid: Solid, at: Point): boolean {
  return (
    at.xMm > solid.fromX &&
    at.xMm < solid.toX &&
    at.yMm > solid.fromY &&
    at.yMm < solid.toY &&
    at.zMm > solid.fromZ &&
    at.zMm < solid.toZ
  );
}

function between(a: Point, b: Point): number {
  return Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm, a.zMm - b.zMm);
}

function distanceToLamp(lamp: HungLamp, at: Point): number {
  return Math.hypot(asideOf(lamp, at), lamp.at.zMm - at.zMm);
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
        most: box.heightMm + MOST_ABOVE_MM - below,
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

function field(
  acrossMm: number,
  upMm: number,
  stepMm: number,
  valueAt: (column: number, row: number, at: Point) => number,
): Field {
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

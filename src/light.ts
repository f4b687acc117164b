// How much UV reaches a place: the finite diffuse line source for tubes, a point with a virtual origin for other lamps, what mesh, guards
// and age leave of it, which part of a lamp a solid thing hides, and how far such a figure can be wrong. Knows light, not animals or boxes.

import type { LampOutput } from './collection.ts';
import type { Standing } from './species.ts';

/** A place in mm. In an enclosure: x from the left wall, y from the front, z above the floor. */
export type Point = { xMm: number; yMm: number; zMm: number };

/** A solid thing with its faces along the axes, mm. No UV passes it. */
export type Solid = { fromX: number; toX: number; fromY: number; toY: number; fromZ: number; toZ: number };

/**
 * UV arriving at a place, in UVI. `x`, `y` and `z` are along the way it travels (z is negative below a lamp). Their length is what a meter
 * turned for the most shows, `-z` what a level surface gets.
 */
export type LightVector = { x: number; y: number; z: number };

/** A lamp made ready for many questions; made by `sourceOf`. Distances run from its axis (a tube) or its face (a point), mm. */
export type LightSource = {
  halfLengthMm: number | null;
  /** Along a tube's normal, UVI mm; of a point on its axis, UVI mm2. */
  strength: number;
  /** How far behind the face a point's light seems to come from, mm; 0 for a tube. */
  behindMm: number;
  beam: number;
  /** It gives no light upwards. */
  downwardOnly: boolean;
  /** Natural logarithms of the distances and UV indices of its points, nearest first. */
  lnDistance: number[];
  lnUvi: number[];
};

/** A lamp hung somewhere, shining down; a tube lies from left to right, or front to back when `turned`. `share` is what reaches the place. */
export type HungLamp = { source: LightSource; at: Point; turned: boolean; share: number };

/** Why a stated output cannot be used. */
export type OutputMistake =
  | 'lit-length-not-above-zero'
  | 'distance-not-above-zero'
  | 'uvi-not-above-zero'
  | 'farther-reads-higher'
  | 'beam-below-zero';

// The nearest that the model goes to a tube's axis or a point: about the radius of a T5 tube. Nearer is inside the lamp.
const NEAREST_MM = 8;
// Beyond either end of a chart its difference from the source model dies away within a doubling of the distance, so that no step appears.
const LN_FADE = Math.log(2);
const MOST_BEHIND_MM = 500;

/** What is wrong with a lamp's stated output; null when it can be used. */
export function mistakeIn(lamp: LampOutput): OutputMistake | null {
  if (lamp.litLengthMm !== null && !(lamp.litLengthMm > 0)) return 'lit-length-not-above-zero';
  const points = pointsOf(lamp);
  if (!points.every((one) => one.atMm > 0 && Number.isFinite(one.atMm))) return 'distance-not-above-zero';
  if (!points.every((one) => one.uvi > 0 && Number.isFinite(one.uvi))) return 'uvi-not-above-zero';
  if (points.some((one, index) => index > 0 && one.uvi > points[index - 1]!.uvi)) return 'farther-reads-higher';
  return lamp.beam !== null && !(lamp.beam >= 0) ? 'beam-below-zero' : null;
}

/**
 * The sideways exponent of a lamp: as stated, else 0 for a bare tube or a point and 1 for a tube with a reflector (the diffuse flat panel).
 * The defaults are own assumptions, and are marked so.
 */
export function beamOf(lamp: LampOutput): { exponent: number; from: 'stated' | 'assumed' } {
  if (lamp.beam !== null) return { exponent: lamp.beam, from: 'stated' };
  return { exponent: lamp.litLengthMm !== null && lamp.reflector === 'with' ? 1 : 0, from: 'assumed' };
}

/**
 * How far behind its face a point lamp's light seems to come from (mm, at least 0), from two readings on its axis. Falling faster than the
 * inverse square it is 0.
 */
export function virtualOrigin(nearMm: number, nearUvi: number, farMm: number, farUvi: number): number {
  const q = Math.sqrt(farUvi / nearUvi);
  if (!(q < 1)) return MOST_BEHIND_MM;
  return Math.min(MOST_BEHIND_MM, Math.max(0, (q * farMm - nearMm) / (1 - q)));
}

/**
 * Makes a lamp ready. The strength is the mean, by logarithm, of what each of its points says; a point lamp with several finds its virtual
 * origin from them too. Throws when `mistakeIn` finds a mistake, but takes a UVI of 0 for a lamp that gives nothing.
 */
export function sourceOf(lamp: LampOutput): LightSource {
  const mistake = mistakeIn(lamp);
  if (mistake !== null && !(mistake === 'uvi-not-above-zero' && lamp.uvi === 0 && lamp.more.length === 0)) {
    throw new RangeError(`a lamp's output cannot be used: ${mistake}`);
  }
  const points = pointsOf(lamp).map((one) => ({ mm: one.atMm + lamp.datumOffsetMm, uvi: one.uvi }));
  const halfLengthMm = lamp.litLengthMm === null ? null : lamp.litLengthMm / 2;
  const behindMm = halfLengthMm === null ? behindOf(points) : 0;
  const shape = { halfLengthMm, behindMm };
  const several = points.length > 1;
  return {
    ...shape,
    strength: several
      ? Math.exp(points.reduce((sum, one) => sum + Math.log(one.uvi / shapeAt(shape, one.mm)), 0) / points.length)
      : points[0]!.uvi / shapeAt(shape, points[0]!.mm),
    beam: beamOf(lamp).exponent,
    downwardOnly: lamp.reflector === 'with',
    lnDistance: several ? points.map((one) => Math.log(one.mm)) : [],
    lnUvi: several ? points.map((one) => Math.log(one.uvi)) : [],
  };
}

/**
 * UVI on a lamp's axis at a distance (mm, above 0) taken from the same datum as its points, new and without mesh. One point: the source
 * model through it. Several: straight in logarithms between neighbours, the source model beyond (a chart is never drawn on inwards). A tube
 * is a finite, perfectly diffuse line source (Keitz, Light Calculations and Measurements, 1971, from memory; the same form in the IOA/IUVA
 * 2007 proceedings), good to about a tenth from a quarter of the lit length outwards; nearer it reads high. A point falls with the square
 * of the distance from its virtual origin (CIE e-ILV 17-25-104). Throws for a distance that is not above 0.
 */
export function uviOnAxis(lamp: LampOutput, distanceMm: number): number {
  if (!(distanceMm > 0) || !(lamp.atMm > 0)) throw new RangeError('a distance from a lamp must be above 0 mm');
  return onAxis(sourceOf(lamp), distanceMm + lamp.datumOffsetMm);
}

/**
 * The distance (mm, from the lamp's own datum) at which a new lamp gives the wanted UVI on its axis through a mesh that passes `meshShare`,
 * found by bisection between 1 cm and 3 m; null outside that. Points taken through the mesh are not reduced again.
 */
export function distanceForUvi(lamp: LampOutput, meshShare: number, wanted: number): number | null {
  const source = sourceOf(lamp);
  const share = meshShareOf(lamp, meshShare);
  let [near, far] = [10, 3000];
  const at = (distance: number) => onAxis(source, distance + lamp.datumOffsetMm) * share;
  if (!(at(near) >= wanted) || at(far) > wanted) return null;
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

/** The lamp with what a meter read under it, where it hangs and through what covers it: such a reading wins over every other point. */
export function readUnder(lamp: LampOutput, atMm: number, uvi: number): LampOutput {
  return { ...lamp, atMm, uvi, more: [], from: 'own-reading', throughMesh: true };
}

/** Share of the UV that a guard around a lamp lets through. Common practice, no source. */
export const GUARD_SHARE = 0.85;

/**
 * The mesh share that still has to be taken off: none when the lamp's points were read through the mesh, and none where nobody looked what
 * is between, so that whoever asks must see to `isBetweenUnknown` first.
 */
export function meshShareOf(lamp: LampOutput, meshShare: number | null): number {
  return lamp.throughMesh ? 1 : (meshShare ?? 1);
}

/** The least that a usual insect screen passes, the finest mesh that is met over animals (common practice, no source). */
const FINEST_MESH = 0.66;

/** What may be between a lamp and the animal where nobody looked and it is no glass: from nothing to an insect screen. */
export const BETWEEN_CASES = [1, FINEST_MESH] as const;

/** Whether nobody looked what is between a lamp and the animal, and its figures do not hold that already. */
export function isBetweenUnknown({ lamp, meshShare }: { lamp: LampOutput | null; meshShare: number | null }): boolean {
  return meshShare === null && lamp !== null && !lamp.throughMesh;
}

/** An own assumption: no published decay of present-day tubes was found. A dated reading resets it. */
export const AGEING = { endShare: 0.7, lifeMonths: 12 };

/** Share (0 to 1) of its first output that a lamp has left at an age in months: end share to the power of age / life. 1 before it began. */
export function agedShare(ageMonths: number, lifeMonths = AGEING.lifeMonths, endShare = AGEING.endShare): number {
  return ageMonths <= 0 ? 1 : endShare ** (ageMonths / lifeMonths);
}

/** Room for the stretches of one lamp that solids hide; given along so that evaluating a place makes nothing new. */
export type Scratch = { from: Float64Array; to: Float64Array };

export function scratchFor(solids: Solid[]): Scratch {
  return { from: new Float64Array(solids.length + 1), to: new Float64Array(solids.length + 1) };
}

/**
 * Adds to `into` what one lamp sends to a place, and gives its length (UVI). Only the parts of a tube seen from there count, found exactly;
 * a point lamp is seen or not. Nearer than 8 mm counts as 8 mm.
 */
export function addLight(lamp: HungLamp, place: Point, solids: Solid[], scratch: Scratch, into: LightVector): number {
  const { source, at } = lamp;
  // Along the tube u, across it v; a point lamp does not mind which is which.
  const u = lamp.turned ? at.yMm - place.yMm : at.xMm - place.xMm;
  const v = lamp.turned ? at.xMm - place.xMm : at.yMm - place.yMm;
  const height = at.zMm - place.zMm;
  if (source.downwardOnly && height <= 0) return 0;

  let along = 0;
  let across = 0;
  let down = 0;
  if (source.halfLengthMm === null) {
    const rise = height + source.behindMm;
    const distance = Math.max(NEAREST_MM, Math.sqrt(u * u + v * v + rise * rise));
    if (solids.length > 0 && solids.some((one) => isBetween(one, place, at.xMm, at.yMm, at.zMm))) return 0;
    let strength = (lamp.share * source.strength) / (distance * distance);
    if (source.beam !== 0) strength *= Math.max(0, rise / distance) ** source.beam;
    if (source.lnDistance.length > 0) strength *= chartRatio(source, Math.max(NEAREST_MM, distance - source.behindMm));
    along = (-u / distance) * strength;
    across = (-v / distance) * strength;
    down = (-rise / distance) * strength;
  } else {
    const distance = Math.max(NEAREST_MM, Math.sqrt(v * v + height * height));
    const [start, end] = [u - source.halfLengthMm, u + source.halfLengthMm];
    const hidden = solids.length === 0 ? 0 : hiddenStretches(lamp, place, solids, scratch, start, end);
    let perpendicular = 0;
    let lengthwise = 0;
    let from = start;
    for (let index = 0; index <= hidden; index++) {
      const to = index < hidden ? Math.min(end, scratch.from[index]!) : end;
      if (to > from) {
        const [t1, t2] = [from / distance, to / distance];
        const [c1, c2] = [1 / (1 + t1 * t1), 1 / (1 + t2 * t2)];
        perpendicular += Math.atan(t2) - Math.atan(t1) + t2 * c2 - t1 * c1;
        lengthwise += t2 * t2 * c2 - t1 * t1 * c1;
      }
      if (index < hidden) from = Math.max(from, scratch.to[index]!);
    }
    let strength = (lamp.share * source.strength) / (2 * distance);
    if (source.beam !== 0) strength *= height <= 0 ? 0 : (height / distance) ** source.beam;
    if (source.lnDistance.length > 0) {
      strength *= chartRatio(source, Math.max(NEAREST_MM, Math.sqrt(u * u + v * v + height * height)));
    }
    along = -lengthwise * strength;
    across = (-v / distance) * perpendicular * strength;
    down = (-height / distance) * perpendicular * strength;
  }
  if (lamp.turned) {
    into.x += across;
    into.y += along;
  } else {
    into.x += along;
    into.y += across;
  }
  into.z += down;
  return Math.sqrt(along * along + across * across + down * down);
}

/** What all lamps give at a place, UVI: `aimed` for a meter turned for the most, `most` the sum of the lamps, never exceeded; `flat` on a level surface. */
export type Uvi = { aimed: number; most: number; flat: number };

/** What lamps give at a place behind solids. Their vectors add; `most` adds their lengths, as an animal's curved back may meet them. */
export function uviAt(lamps: HungLamp[], place: Point, solids: Solid[], scratch = scratchFor(solids)): Uvi {
  const sum: LightVector = { x: 0, y: 0, z: 0 };
  let most = 0;
  for (const lamp of lamps) most += addLight(lamp, place, solids, scratch, sum);
  return { aimed: Math.sqrt(sum.x * sum.x + sum.y * sum.y + sum.z * sum.z), most, flat: Math.max(0, -sum.z) };
}

/** Share (0 to 1) of a lamp's length that solids hide from a place; a point lamp is hidden (1) or not (0). */
export function hiddenShare(lamp: HungLamp, place: Point, solids: Solid[], scratch = scratchFor(solids)): number {
  const { at, source } = lamp;
  if (source.halfLengthMm === null) return solids.some((one) => isBetween(one, place, at.xMm, at.yMm, at.zMm)) ? 1 : 0;
  const u = lamp.turned ? at.yMm - place.yMm : at.xMm - place.xMm;
  const [start, end] = [u - source.halfLengthMm, u + source.halfLengthMm];
  const count = hiddenStretches(lamp, place, solids, scratch, start, end);
  let [hidden, from] = [0, start];
  for (let index = 0; index < count; index++) {
    const to = Math.min(end, scratch.to[index]!);
    hidden += Math.max(0, to - Math.max(from, scratch.from[index]!));
    from = Math.max(from, to);
  }
  return hidden / (end - start);
}

/** One reason why a predicted UVI may be off by a share (± of the value), and how well that share is founded. */
export type ErrorTerm = {
  of:
    | 'meter'
    | 'source-model'
    | 'chart-scatter'
    | 'datum'
    | 'mesh'
    | 'guard'
    | 'aside'
    | 'one-reading'
    | 'own-readings';
  share: number;
  grade: Standing | 'own-assumption' | 'computed';
};

/** ± share of a keeper's UV meter by its maker's class. From memory. */
export const METER_ERROR = 0.1;

/** ± share by which single lamps differ from one another, before any was compared: an own assumption. */
export const LAMPS_DIFFER = 0.2;
/** ± mm to which a distance from a lamp is known: an own assumption. */
const DATUM_ERROR_MM = 10;
/** How far behind its face the light of a reflector lamp may seem to come from where only one reading tells, mm: an own assumption. */
const LIKELY_BEHIND_MM = 100;

/**
 * What makes a lamp's part of a prediction uncertain at a place this far below and to its side (mm). `passes` is the share of mesh and of a
 * guard where they were taken off by rule, else 1. Where nothing adds, the term is left out.
 */
export function errorTerms(
  lamp: LampOutput,
  source: LightSource,
  belowMm: number,
  asideMm: number,
  passes: { mesh: number; guard: number },
): ErrorTerm[] {
  const distance = Math.max(NEAREST_MM, Math.hypot(belowMm, asideMm));
  const terms: ErrorTerm[] = [{ of: 'meter', share: METER_ERROR, grade: 'from-memory' }];
  if (source.halfLengthMm !== null && distance < source.halfLengthMm / 2) {
    // At a sixteenth of the lit length it reads 30 % too high against the table of a germicidal tube (from memory).
    terms.push({
      of: 'source-model',
      share: 0.05 + 0.35 * (1 - (2 * distance) / source.halfLengthMm),
      grade: 'own-assumption',
    });
  } else terms.push({ of: 'source-model', share: 0.05, grade: 'own-assumption' });
  const scatter = scatterOf(source);
  if (scatter > 0.05) terms.push({ of: 'chart-scatter', share: scatter, grade: 'computed' });
  terms.push({ of: 'datum', share: (2 * DATUM_ERROR_MM) / distance, grade: 'own-assumption' });
  if (passes.mesh < 1) terms.push({ of: 'mesh', share: 0.05 / Math.max(0.05, passes.mesh), grade: 'own-assumption' });
  if (passes.guard < 1) terms.push({ of: 'guard', share: 0.05 / passes.guard, grade: 'own-assumption' });
  const tilt = belowMm > 0 ? Math.min(1, asideMm / belowMm) : 1;
  if (tilt > 0) terms.push({ of: 'aside', share: 0.2 * tilt, grade: 'own-assumption' });
  if (source.halfLengthMm === null && source.lnDistance.length === 0 && lamp.reflector !== 'without') {
    const at = lamp.atMm + lamp.datumOffsetMm;
    const ratio = ((distance / at) * ((at + LIKELY_BEHIND_MM) / (distance + LIKELY_BEHIND_MM))) ** 2;
    terms.push({ of: 'one-reading', share: Math.max(0.15, Math.max(ratio, 1 / ratio) - 1), grade: 'own-assumption' });
  }
  return terms;
}

/** Independent errors together, as a share: the root of the sum of their squares. */
export function inQuadrature(terms: { share: number }[]): number {
  return Math.sqrt(terms.reduce((sum, one) => sum + one.share * one.share, 0));
}

// The points of a lamp, nearest first; several at one distance count as their mean by logarithm.
function pointsOf(lamp: LampOutput): { atMm: number; uvi: number }[] {
  if (lamp.more.length === 0) return [lamp];
  const points = [{ atMm: lamp.atMm, uvi: lamp.uvi }, ...lamp.more].sort((a, b) => a.atMm - b.atMm);
  const distances = [...new Set(points.map((one) => one.atMm))];
  if (distances.length === points.length) return points;
  return distances.map((atMm) => {
    const same = points.filter((one) => one.atMm === atMm);
    return { atMm, uvi: Math.exp(same.reduce((sum, one) => sum + Math.log(one.uvi), 0) / same.length) };
  });
}

function shapeAt(shape: Pick<LightSource, 'halfLengthMm' | 'behindMm'>, mm: number): number {
  const distance = Math.max(NEAREST_MM, mm);
  return shape.halfLengthMm === null
    ? 1 / (distance + shape.behindMm) ** 2
    : lineShape(2 * shape.halfLengthMm, distance);
}

function onAxis(source: LightSource, mm: number): number {
  const model = source.strength * shapeAt(source, mm);
  return source.lnDistance.length > 0 ? model * chartRatio(source, mm) : model;
}

// What the lamp's own points say at a distance from its middle, over what the source model says there.
function chartRatio(source: LightSource, mm: number): number {
  const { lnDistance, lnUvi } = source;
  const ln = Math.log(mm);
  const last = lnDistance.length - 1;
  const ratioAt = (index: number) =>
    lnUvi[index]! - Math.log(source.strength * shapeAt(source, Math.exp(lnDistance[index]!)));
  if (ln <= lnDistance[0]!) return faded(ratioAt(0), lnDistance[0]! - ln);
  if (ln >= lnDistance[last]!) return faded(ratioAt(last), ln - lnDistance[last]!);
  let next = 1;
  while (lnDistance[next]! < ln) next += 1;
  const part = (ln - lnDistance[next - 1]!) / (lnDistance[next]! - lnDistance[next - 1]!);
  const chart = lnUvi[next - 1]! + part * (lnUvi[next]! - lnUvi[next - 1]!);
  return Math.exp(chart) / (source.strength * shapeAt(source, mm));
}

// What is left of a difference (natural logarithm) from the source model beyond a chart. A wide one fades slower, so that UV still falls.
function faded(difference: number, lnBeyond: number): number {
  const width = Math.max(LN_FADE, 2 * Math.abs(difference));
  return Math.exp(difference * Math.max(0, 1 - lnBeyond / width));
}

// How far the points of a chart lie from the source model, as a share: the root mean square of their logarithms.
function scatterOf(source: LightSource): number {
  const squares = source.lnDistance.map((ln, index) => {
    return (source.lnUvi[index]! - Math.log(source.strength * shapeAt(source, Math.exp(ln)))) ** 2;
  });
  return squares.length === 0 ? 0 : Math.sqrt(squares.reduce((sum, one) => sum + one, 0) / squares.length);
}

// The virtual origin that fits several points on the axis best by logarithm; exactly for two.
function behindOf(points: { mm: number; uvi: number }[]): number {
  if (points.length < 2) return 0;
  const [first, last] = [points[0]!, points[points.length - 1]!];
  if (points.length === 2) return virtualOrigin(first.mm, first.uvi, last.mm, last.uvi);
  const spread = (behind: number) => {
    const logarithms = points.map((one) => Math.log(one.uvi * (one.mm + behind) ** 2));
    const mean = logarithms.reduce((sum, one) => sum + one, 0) / logarithms.length;
    return logarithms.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  };
  let [low, high] = [0, MOST_BEHIND_MM];
  for (let step = 0; step < 60; step++) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if (spread(a) <= spread(b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
}

// Whether a solid stands between a place and a point, grazing not counted.
function isBetween(solid: Solid, place: Point, x: number, y: number, z: number): boolean {
  let [enter, leave] = [0, 1];
  for (let axis = 0; axis < 3; axis++) {
    const from = axis === 0 ? place.xMm : axis === 1 ? place.yMm : place.zMm;
    const step = (axis === 0 ? x : axis === 1 ? y : z) - from;
    const low = axis === 0 ? solid.fromX : axis === 1 ? solid.fromY : solid.fromZ;
    const high = axis === 0 ? solid.toX : axis === 1 ? solid.toY : solid.toZ;
    if (step === 0) {
      if (from <= low || from >= high) return false;
      continue;
    }
    const [one, other] = [(low - from) / step, (high - from) / step];
    enter = Math.max(enter, Math.min(one, other));
    leave = Math.min(leave, Math.max(one, other));
    if (leave - enter < 1e-9) return false;
  }
  return true;
}

/*
 * The stretches of a tube that solids hide from a place, along the tube as seen from there (mm), put in order by their beginning; how many.
 * The sight lines fill a flat triangle. Across the tube all of them are at the same part of their way, so a solid meets them between two
 * parts `enter` and `leave`; a solid's edge X (as seen from the place) met at a part p hides the point X / p of the tube. One convex solid
 * hides one stretch, whose ends lie at the first or the last of these parts.
 */
function hiddenStretches(
  lamp: HungLamp,
  place: Point,
  solids: Solid[],
  scratch: Scratch,
  start: number,
  end: number,
): number {
  const across = lamp.turned ? lamp.at.xMm - place.xMm : lamp.at.yMm - place.yMm;
  const height = lamp.at.zMm - place.zMm;
  let count = 0;
  for (let index = 0; index < solids.length; index++) {
    const solid = solids[index]!;
    let [enter, leave] = [0, 1];
    const acrossLow = lamp.turned ? solid.fromX - place.xMm : solid.fromY - place.yMm;
    const acrossHigh = lamp.turned ? solid.toX - place.xMm : solid.toY - place.yMm;
    if (across === 0) {
      if (acrossLow >= 0 || acrossHigh <= 0) continue;
    } else {
      const [one, other] = [acrossLow / across, acrossHigh / across];
      enter = Math.max(enter, Math.min(one, other));
      leave = Math.min(leave, Math.max(one, other));
      if (leave - enter < 1e-9) continue;
    }
    const [low, high] = [solid.fromZ - place.zMm, solid.toZ - place.zMm];
    if (height === 0) {
      if (low >= 0 || high <= 0) continue;
    } else {
      const [one, other] = [low / height, high / height];
      enter = Math.max(enter, Math.min(one, other));
      leave = Math.min(leave, Math.max(one, other));
      if (leave - enter < 1e-9) continue;
    }
    const left = lamp.turned ? solid.fromY - place.yMm : solid.fromX - place.xMm;
    const right = lamp.turned ? solid.toY - place.yMm : solid.toX - place.xMm;
    const from = left >= 0 ? left / leave : left / enter;
    const to = right > 0 ? right / enter : right / leave;
    if (!(to > start) || !(from < end) || !(to > from)) continue;
    let slot = count;
    while (slot > 0 && scratch.from[slot - 1]! > from) {
      scratch.from[slot] = scratch.from[slot - 1]!;
      scratch.to[slot] = scratch.to[slot - 1]!;
      slot -= 1;
    }
    scratch.from[slot] = from;
    scratch.to[slot] = to;
    count += 1;
  }
  return count;
}

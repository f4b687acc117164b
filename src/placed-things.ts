// How things stand in a box: the space each one takes, which of them light cannot pass, and which entered sizes and places cannot be true.
// Knows lamps only as things that hang somewhere; what they give stands in light.ts and light-scene.ts.

import type { Enclosure, Fitting } from './collection.ts';
import { HIDES, UV_LAMPS } from './collection.ts';
import type { OutputMistake, Point, Solid } from './light.ts';
import { mistakeIn } from './light.ts';

/** Farthest that a lamp is hung above a box, mm: an own assumption. */
export const MOST_ABOVE_MM = 1000;

/** What light asks of an enclosure itself. */
export type LitBox = Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm' | 'top'>;

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

/** Whether a thing gives UV. */
export const isLamp = (one: Fitting) => UV_LAMPS.has(one.kind);
/** Whether an animal can lie in it. */
export const isHide = (one: Fitting) => HIDES.has(one.kind);
/** Whether it casts shade; perches are too thin. */
export const isSolid = (one: Fitting) => one.kind === 'basking-place' || one.kind === 'shelf' || isHide(one);

/** What is wrong with the lamps, solids and perches of a box as they were entered; empty where nothing is. */
export function problemsIn(box: LitBox, active: Fitting[]): LightProblem[] {
  const { lengthMm, depthMm, heightMm } = box;
  if (!(lengthMm > 0 && depthMm > 0 && heightMm > 0)) return [{ problem: 'box-without-size' }];
  const problems: LightProblem[] = [];
  const concerned = active.filter((one) => isLamp(one) || isSolid(one) || one.kind === 'perch');
  const sound: Fitting[] = [];
  for (const one of concerned) {
    if (isLamp(one) && one.lamp !== null) {
      const mistake = mistakeIn(one.lamp);
      if (mistake !== null) problems.push({ problem: 'output', fittingId: one.id, mistake });
      if (one.meshShare !== null && !(one.meshShare >= 0 && one.meshShare <= 1))
        problems.push({ problem: 'mesh-share', fittingId: one.id });
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

/** The space that a thing with a place takes; without a size it is a point. */
export function solidOf(fitting: Fitting): Solid {
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

/** Whether a point lies within a solid, its faces left out. */
export function isInside(solid: Solid, at: Point): boolean {
  return (
    at.xMm > solid.fromX &&
    at.xMm < solid.toX &&
    at.yMm > solid.fromY &&
    at.yMm < solid.toY &&
    at.zMm > solid.fromZ &&
    at.zMm < solid.toZ
  );
}

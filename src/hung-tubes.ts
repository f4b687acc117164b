// Which UV tube of a list, hung how far above a basking place, is right in a box: its length, the room above the place, the mesh it shines
// through and what is left of it at the end of its life. Knows no species, only the UVI that is wanted and the one that must not be passed.

import type { Enclosure, LampOutput, LightCorrection } from './collection.ts';
import { classesThatFit, isTooLong } from './lamp-hanging.ts';
import { distanceForUvi, meshShareOf, uviOnAxis } from './light.ts';
import { correctionFor } from './light-scene.ts';
import type { Part, PartsList } from './parts.ts';

/** Share of the UV that a mesh of unknown make passes: common practice, no source. */
const USUAL_MESH_SHARE = 0.8;

/** The UVI aimed at, the lowest that counts as enough, and the ceiling (all in UVI). */
export type UviAim = { wanted: number; low: number; high: number };

/** A tube with the height to hang it at: millimetres from its datum to the animal's back, and the UVI it gives there when new. */
export type HungTube = { part: Part & { lamp: LampOutput }; distanceMm: number; uvi: number; meshShare: number };

/** Why no tube of a list is right: each is too long for the box, or none is right at any height that the box leaves. */
export type NoTube =
  | { why: 'tubes-too-long'; shortestMm: number; boxMm: number }
  | { why: 'no-height-fits'; heightMm: number };

/**
 * Every tube of a list that can hang right here, or why none can. `standsMm` is how high the basking place lies, null where nobody said: then
 * any height from 10 cm up is tried. Over mesh a tube hangs above it, else inside. `keeper` is what this keeper's readings of other lamps make
 * of a lamp without figures of its own.
 */
export function tubesThatHang(
  list: PartsList,
  enclosure: Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm' | 'top'>,
  standsMm: number | null,
  aim: UviAim,
  keeper: LightCorrection | null = null,
): { status: 'hang'; tubes: HungTube[] } | ({ status: 'none' } & NoTube) {
  // Over mesh the lamp shines through it; a closed top has it inside, an open one lets it hang free.
  const meshShare = enclosure.top === 'mesh' ? USUAL_MESH_SHARE : 1;
  const tubes = list.parts.flatMap((part) =>
    part.what === 'uv-tube' && part.lamp != null && part.lamp.litLengthMm !== null
      ? [{ ...part, lamp: part.lamp }]
      : [],
  );
  const short = tubes.filter((one) => !isTooLong(one.lamp, enclosure));
  if (short.length === 0) {
    const shortestMm = Math.min(...tubes.map((one) => one.lamp.litLengthMm!));
    return {
      status: 'none',
      why: 'tubes-too-long',
      shortestMm,
      boxMm: Math.max(enclosure.lengthMm, enclosure.depthMm),
    };
  }
  const hung = short.flatMap((part): HungTube[] => {
    const found = hangingOf(part.lamp, enclosure, standsMm, { meshShare, keeper }, aim);
    return found === null ? [] : [{ part, meshShare, distanceMm: found.distance, uvi: found.uvi }];
  });
  return hung.length > 0
    ? { status: 'hang', tubes: hung }
    : { status: 'none', why: 'no-height-fits', heightMm: enclosure.heightMm };
}

// To the centimetre; the height of the place is searched where it is not known.
function hangingOf(
  lamp: LampOutput,
  enclosure: Pick<Enclosure, 'lengthMm' | 'depthMm' | 'heightMm' | 'top'>,
  standsMm: number | null,
  { meshShare, keeper }: { meshShare: number; keeper: LightCorrection | null },
  { wanted, low, high }: UviAim,
): { distance: number; uvi: number } | null {
  const factor = correctionFor(lamp, keeper);
  const best = distanceForUvi(lamp, meshShare, wanted / factor);
  // The place lies at least 10 cm up, and leaves the least distance below the lamp.
  const steps = Math.max(0, Math.floor((enclosure.heightMm - 250) / 50) + 1);
  const grounds = standsMm === null ? Array.from({ length: steps }, (_, step) => 100 + 50 * step) : [standsMm];
  let found: { distance: number; uvi: number } | null = null;
  for (const ground of grounds) {
    const [fit] = classesThatFit(
      enclosure,
      ground,
      [{ id: '', lamp }],
      { low, high },
      { meshShare, guarded: false, keeper },
    );
    if (fit?.status !== 'fits') continue;
    // Near enough to be right at the end of its life too, where that is not too much for a new one.
    const far = Math.min(
      fit.farthestAtEndOfLifeMm ?? fit.farthestMm,
      standsMm === null ? enclosure.heightMm - 100 : 3000,
    );
    const distance = Math.round(Math.min(far, Math.max(fit.nearestMm, best ?? far)) / 10) * 10;
    if (distance < fit.nearestMm || distance > fit.farthestMm) continue;
    const uvi = uviOnAxis(lamp, distance) * meshShareOf(lamp, meshShare) * factor;
    if (found === null || Math.abs(uvi - wanted) < Math.abs(found.uvi - wanted)) found = { distance, uvi };
  }
  return found === null ? null : { ...found, uvi: Math.round(found.uvi * 10) / 10 };
}

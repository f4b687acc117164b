// What a lamp that could be bought would be in an enclosure: where it should hang, and what it changes there, before a cent is spent.
// Knows lamps and boxes; what the change is worth is the score's business.

import type { PlainDate } from './calendar.ts';
import { monthOf } from './calendar.ts';
import type { Fitting, Placement, Setup } from './collection.ts';
import { isFitted, UV_LAMPS } from './collection.ts';
import type { ClassFit, Hanging, WantedUvi } from './lamp-hanging.ts';
import { classesThatFit, hangingFor, MESH_GAP_MM, ROOF_GAP_MM } from './lamp-hanging.ts';
import { BACK_MM, lightingOf, NEAREST_HANGING_MM } from './light-scene.ts';
import type { Part, PartsList } from './parts.ts';
import { MOST_ABOVE_MM } from './placed-things.ts';
import { type CareLibrary, type Species, speciesOf, targetsFor, type UvZoneBand } from './species.ts';
import type { Change, NewFitting } from './upgrades.ts';
import { bareFitting, fittedOnDay } from './upgrades.ts';
import { aimedUvi, isDark } from './uv-need.ts';

/** A lamp tried in a box. What is null is left to the suggestion; `instead` takes out the UV lamps that are there now. */
export type LampTrial = {
  part: Part;
  xMm: number | null;
  yMm: number | null;
  zMm: number | null;
  turned: boolean | null;
  /** What passes between lamp and animal; null while nobody looked. */
  meshShare: number | null;
  guarded: boolean;
  instead: boolean;
};

/** What comes of a trial. Distances in mm; `placed.zMm` is the height of the axis or face above the floor. */
export type TriedLamp = {
  changes: Change[];
  placed: Placement;
  /** The basking place or perch it is hung over; null when none is placed, then it is hung over the floor. */
  over: Fitting | null;
  /** From the lamp to the animal's back there. */
  distanceMm: number;
  /** The UVI that is right for who lives there; null when nobody does, or their zones have none in common. */
  wanted: WantedUvi | null;
  /** Whether its class can give that here, hung alone; null without a wanted UVI. */
  fit: ClassFit | null;
  /** Where it should hang with everything else as it is tried; null when that cannot be told. */
  hanging: Hanging | null;
  hoursPerDay: number | null;
  /**
   * Without any place away from the light, the lamp would do harm: whether there is one, or a home-made hide at the cool end comes with the
   * lamp, or something would have to be bought since such a species is not helped by cardboard.
   */
  dark: 'there' | 'home-made-hide' | 'to-be-bought';
};

/** Parts that can be tried: lamps that give UV. */
export function lampsIn({ parts }: PartsList): Part[] {
  return parts.filter((one) => one.what === 'uv-tube' || one.what === 'uv-compact');
}

/** The key that the lamp has among its changes. */
export const TRIED_KEY = 'lamp';

/**
 * Hangs a lamp as it was asked, and where nothing was asked over the basking place: as far away as still gives the lowest right UVI at the
 * end of its life, or as near to that as the box allows. `bands` are the zones of who lives there. `priced` says whether the prices of the
 * parts are in the ledger's currency.
 */
export function tryLamp(
  setup: Setup,
  trial: LampTrial,
  given: {
    bands: UvZoneBand[];
    library: CareLibrary;
    parts: PartsList;
    priced: boolean;
    on: PlainDate;
  },
): TriedLamp {
  const { enclosure: box, lightCorrection: keeper = null } = setup;
  const { bands, on } = given;
  const { part, meshShare, guarded } = trial;
  const lamp = part.lamp ?? null;
  const active = setup.fittings.filter((one) => isFitted(one, on));
  const old = trial.instead ? active.filter((one) => UV_LAMPS.has(one.kind)) : [];
  const staying = active.filter((one) => !old.includes(one));
  const places = active.filter((one) => one.placed !== null);
  const over = places.find((one) => one.kind === 'basking-place') ?? places.find((one) => one.kind === 'perch') ?? null;
  const groundMm = over === null ? 0 : over.placed!.zMm + (over.placed!.heightMm ?? 0);
  const backZ = groundMm + BACK_MM;
  const wanted = aimedUvi(
    bands,
    setup.occupants.some((one) => one.paleMorph),
  );

  const lit = lamp?.litLengthMm ?? 0;
  const turned = trial.turned ?? (lit > box.lengthMm && lit <= box.depthMm);
  const [halfX, halfY] = turned ? [0, lit / 2] : [lit / 2, 0];
  const flat: Omit<Placement, 'zMm'> = {
    xMm: trial.xMm ?? within(over?.placed?.xMm ?? box.lengthMm / 2, halfX, box.lengthMm),
    yMm: trial.yMm ?? within(over?.placed?.yMm ?? box.depthMm / 2, halfY, box.depthMm),
    lengthMm: null,
    depthMm: null,
    heightMm: null,
    turned,
  };
  const datum = lamp?.datumOffsetMm ?? 0;
  const inside = box.top !== 'mesh';
  const highest = box.top === 'closed' ? box.heightMm - ROOF_GAP_MM : box.heightMm + MOST_ABOVE_MM;
  const lowest = Math.min(
    highest,
    inside ? backZ + NEAREST_HANGING_MM : Math.max(backZ + NEAREST_HANGING_MM, box.heightMm + MESH_GAP_MM),
  );
  const hoursPerDay = hoursFor(setup, given) ?? part.hoursPerDay;
  const thingAt = (zMm: number): NewFitting => ({
    ...bareFitting(part.what === 'uv-compact' ? 'uv-compact' : 'uv-tube', part.name),
    key: TRIED_KEY,
    lifeMonths: part.lifeMonths,
    renewalPrice: given.priced && part.lifeMonths !== null ? part.priceHigh : null,
    watts: part.watts,
    hoursPerDay,
    lamp,
    distanceMm: zMm - datum <= backZ ? null : zMm - datum - backZ,
    meshShare,
    placed: { ...flat, zMm },
  });

  const [fit = null] =
    wanted === null
      ? []
      : lamp === null
        ? [{ id: part.id, status: 'does-not-fit' as const, why: 'output-unknown' as const }]
        : classesThatFit(box, groundMm, [{ id: part.id, lamp }], wanted, {
            meshShare: meshShare ?? 1,
            guarded,
            keeper,
          });
  const dark = darkFor(setup, staying, given);
  const hide: NewFitting = { ...bareFitting('hide', 'Home-made hide'), place: 'cool' };
  const guard: NewFitting = {
    ...bareFitting('guard', given.parts.parts.find((one) => one.what === 'guard')?.name ?? 'Guard around the lamp'),
    guards: TRIED_KEY,
  };
  let hanging: Hanging | null = null;
  if (wanted !== null && lamp !== null && over !== null) {
    const roof = inside ? box.heightMm - ROOF_GAP_MM : box.heightMm + MESH_GAP_MM;
    const own = (one: NewFitting) => fittedOnDay(one, one.key, box.id, on);
    const things = [...staying, own(thingAt(roof)), ...(guarded ? [own(guard)] : [])];
    // Where nobody looked what is between, it is hung as if nothing were: it can only give less, never too much.
    const open = things.map((one) => (one.id === TRIED_KEY ? { ...one, meshShare: meshShare ?? 1 } : one));
    const scene = lightingOf({ box, fittings: open, on, keeper });
    if (scene.status === 'lit') hanging = hangingFor(scene, TRIED_KEY, over.id, wanted);
  }
  const zMm = trial.zMm ?? suggested(fit, hanging, { backZ: backZ + datum, lowest, highest });
  const thing = thingAt(zMm);
  return {
    changes: [
      ...old.map((one): Change => ({ change: 'retire', fittingId: one.id })),
      { change: 'fit', enclosureId: box.id, fitting: thing },
      ...(guarded ? [{ change: 'fit' as const, enclosureId: box.id, fitting: guard }] : []),
      ...(dark === 'home-made-hide' ? [{ change: 'fit' as const, enclosureId: box.id, fitting: hide }] : []),
    ],
    placed: thing.placed!,
    over,
    distanceMm: zMm - datum - backZ,
    wanted,
    fit,
    hanging,
    hoursPerDay,
    dark,
  };
}

// Cardboard rots where it is kept damp, and who hides among leaves is not helped by it.
function darkFor(setup: Setup, staying: readonly Fitting[], { library }: { library: CareLibrary }): TriedLamp['dark'] {
  const kept = setup.occupants.map((one) => speciesOf(library, one));
  if (kept.length === 0 || kept.some((one) => staying.some((thing) => isDark(thing, one.neverPropose)))) return 'there';
  const isDamp = ({ habit, group }: Species) =>
    habit === 'aquatic' || habit === 'semi-aquatic' || group === 'frog' || group === 'salamander';
  return kept.some((one) => isDamp(one) || one.neverPropose.includes('solid-hide')) ? 'to-be-bought' : 'home-made-hide';
}

// Where the hanging of this very place can be told it counts, else that of the class straight over it.
function suggested(
  fit: ClassFit | null,
  hanging: Hanging | null,
  { backZ, lowest, highest }: { backZ: number; lowest: number; highest: number },
): number {
  if (hanging !== null) {
    if (hanging.status === 'too-strong-without-it') return highest;
    if (hanging.status === 'too-weak') return lowest;
    const { fits } = hanging;
    if (fits !== null) return backZ + farthestOf({ ...fits, farthestAtEndOfLifeMm: hanging.farthestAtEndOfLifeMm });
    return backZ + hanging.nearestMm > highest ? highest : lowest;
  }
  if (fit?.status === 'fits') return backZ + farthestOf(fit);
  return fit?.why === 'too-strong' ? highest : lowest;
}

// The farthest that still holds at the end of the lamp's life, in whole steps of 5 mm where one lies in the span; the middle of the span where
// none holds so long, since at either end the least error leaves it.
function farthestOf(span: { nearestMm: number; farthestMm: number; farthestAtEndOfLifeMm: number | null }): number {
  const { nearestMm, farthestMm, farthestAtEndOfLifeMm: old } = span;
  const far = old === null || old < nearestMm ? (nearestMm + farthestMm) / 2 : Math.min(farthestMm, old);
  const whole = Math.floor(far / 5) * 5;
  return whole >= span.nearestMm ? whole : far;
}

// As near to a wanted place as a thing of that half length lies whole between the walls; in the middle when it is longer.
function within(mm: number, halfMm: number, wholeMm: number): number {
  return 2 * halfMm > wholeMm ? wholeMm / 2 : Math.min(wholeMm - halfMm, Math.max(halfMm, mm));
}

// The middle of the hours that the first animal with a target needs.
function hoursFor({ occupants }: Setup, { library, on }: { library: CareLibrary; on: PlainDate }): number | null {
  for (const animal of occupants) {
    const { uv } = targetsFor(speciesOf(library, animal), animal, monthOf(on));
    if (uv.zones.length > 0) return (uv.hours.low + uv.hours.high) / 2;
  }
  return null;
}

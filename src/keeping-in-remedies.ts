// What keeps warmth and damp in a box: boards on its walls and a cover on a part of its mesh, when that is worth its price, and when a top
// must stay open.

import type { FittingKind } from './collection.ts';
import { UV_LAMPS } from './collection.ts';
import type { Reason } from './judging.ts';
import { fitted } from './kits.ts';
import type { Draft, Remedy, Situation } from './remedies.ts';
import { cheapestOf, refuse } from './remedies.ts';
import type { Need } from './species.ts';
import { speciesOf } from './species.ts';
import type { HeatLoss } from './warmth.ts';
import { heatLossOf, INSULATORS, lossWithTopCovered, objectionsToClosing } from './warmth.ts';
import type { YearSaving } from './warmth-year.ts';
import { savingInYear } from './warmth-year.ts';

// How thick insulation is taken to be, how much of a mesh is covered so that air still passes, and how far a sheet keeps from a lamp or
// heater, mm: own assumptions; what the maker of a lamp asks for wins.
const INSULATION_MM = 20;
const COVERED_SHARE = 2 / 3;
const CLEARANCE_MM = 200;

const OVERHEAD: ReadonlySet<FittingKind> = new Set([...UV_LAMPS, 'basking-lamp', 'ceramic-heater', 'radiant-panel']);

/** Boards on the walls, for the money they save, and only where that can be reckoned. */
export function insulate(at: Situation): Draft[] {
  const part = cheapestOf(at, 'insulation');
  if (part === undefined || at.active.some((one) => one.kind === 'insulation')) return [];
  const { lambda } = INSULATORS['foam-board'];
  const layers = [{ faces: ['back', 'left', 'right'] as const, mm: INSULATION_MM, lambda }];
  const saving = savingWith(at, heatLossOf(at.setup.enclosure, { layers }));
  if (saving.status !== 'saves' || saving.kwh.likely <= 0) return [];
  return [
    {
      act: { act: 'insulate', part: part.name, mm: INSULATION_MM, saving },
      detail: 'insulate',
      need: 'heat',
      because: null,
      parts: [part],
      changes: [fitted(at.place, part, 'insulation', {})],
      ...(saving.cost === null ? {} : { saves: saving.cost }),
    },
  ];
}

/** A part of a mesh covered, so that warmth and damp stay: for a reading that is too low, or for the money where that is known. */
export function coverTop(at: Situation, need: Need, because: Reason | null): Remedy[] {
  const { enclosure, occupants } = at.setup;
  const part = cheapestOf(at, 'top-cover');
  if (enclosure.top !== 'mesh' || part === undefined || at.active.some((one) => one.kind === 'insulation')) return [];
  const saving = savingWith(at, lossWithTopCovered(enclosure, COVERED_SHARE));
  const isWorthIt = because !== null || (saving.status === 'saves' && saving.kwh.likely > 0);
  if (!isWorthIt) return [];
  const objections = objectionsToClosing({
    withinLampClearance: at.active.some(
      (one) => OVERHEAD.has(one.kind) && (one.placed === null || one.placed.zMm > enclosure.heightMm - CLEARANCE_MM),
    ),
    // A third of the mesh stays open.
    overRequiredVents: false,
    needsMovingAir: occupants.some((one) => speciesOf(at.world.library, one).neverPropose.includes('close-top')),
  });
  if (objections.length > 0) return refuse(need, { why: 'top-stays-open', objections });
  return [
    {
      act: { act: 'close-top', part: part.name, share: COVERED_SHARE, saving },
      detail: 'close-top',
      need,
      because,
      parts: [part],
      changes: [fitted(at.place, part, 'insulation', { key: 'cover' })],
      ...(saving.status === 'unknown' || saving.cost === null ? {} : { saves: saving.cost }),
    },
  ];
}

function savingWith(at: Situation, after: HeatLoss): YearSaving {
  const { library, on, powerPrice, currency } = at.world;
  return savingInYear({ setup: at.setup, room: at.room, library, on }, after, powerPrice, currency);
}

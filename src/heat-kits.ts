// What warms a place of an enclosure: which heater, with what holds, guards and regulates it, and why none is proposed. Knows no prices of
// power and no score; whether a place is too cold is told to it.

import type { PlainDate } from './calendar.ts';
import type { FittingKind, ReadingKind, Setup } from './collection.ts';
import { knownOf } from './evidence.ts';
import type { KitAssumption, KitPlace, Pieces } from './kits.ts';
import { fitted, guardFor, pieces, thermostat, together } from './kits.ts';
import type { Part } from './parts.ts';
import { cheapest, holderFor } from './parts.ts';
import type { Room } from './rooms.ts';
import type { CareLibrary, Species, Targets, TemperatureKind } from './species.ts';
import { heaterNeeded } from './warmth-year.ts';

/** Why no heater is proposed. */
export type NoHeat =
  | { why: 'species-forbids'; what: 'any-heater' | 'overhead-heater' }
  /** No heater may stand in the box; the room alone can carry it, from its least temperature on. */
  | { why: 'room-must-warm'; what: 'any-heater' | 'overhead-heater'; kind: PlaceKind; celsius: number }
  | { why: 'warm-enough' }
  | { why: 'nights-warm-enough'; night: number; asked: number }
  | { why: 'reading-first' }
  | { why: 'heater-at-limit'; needed: number; mostWatts: number }
  | { why: 'heat-target-unknown' }
  | { why: 'part-missing'; what: string };

/** The enclosure that is to be warmed, for an animal of a species with its targets of a day, and the room it stands in. */
export type HeatQuestion = {
  place: KitPlace;
  setup: Setup;
  species: Species;
  targets: Targets;
  room: Room | null;
  library: CareLibrary;
  on: PlainDate;
};

type PlaceKind = Exclude<TemperatureKind, 'body'>;

type HeatKit = { status: 'kit'; detail: string; kit: Pieces };

type HeaterChoice = { part: Part; assumes: KitAssumption[] };

/**
 * The kit that warms a place of an enclosure, with what it goes by in the key of its proposal, or why there is none. `isReadTooLow`: a
 * reading of that place says so.
 */
export function heatKit(
  around: HeatQuestion,
  kind: PlaceKind,
  isReadTooLow: boolean,
): HeatKit | ({ status: 'none' } & NoHeat) {
  const { place, setup, species, targets } = around;
  const target = targets.temperatures.find((one) => one.kind === kind);
  // Nothing in a box falls below its room for long, so that a room as warm as the least of a target carries it, whatever the box loses.
  const forbidden = (what: 'any-heater' | 'overhead-heater') =>
    none(
      isReadTooLow && target !== undefined
        ? { why: 'room-must-warm', what, kind, celsius: target.low }
        : { why: 'species-forbids', what },
    );
  if (species.neverPropose.includes('any-heater')) return forbidden('any-heater');
  if (target === undefined) return none({ why: 'heat-target-unknown' });
  if (isHeatSensitive(species) && isWarmEnough(around)) return none({ why: 'warm-enough' });
  // A heat-sensitive amphibian is never given a heater without a reading that is too low.
  if (species.group === 'frog' && !isReadTooLow) return none({ why: 'reading-first' });
  const probe = pieces([], [{ change: 'answer', enclosureId: place.enclosureId, check: 'probe-in-place' }]);
  const value = middleOf(target);
  const expects = [{ reading: kind as ReadingKind, value }];
  if (kind === 'warm-hide-floor') {
    const mat = cheapest(place.list, 'heat-mat', (one) => setup.enclosure.lengthMm >= 900 === (one.watts ?? 0) > 20);
    const control = mat && thermostat(place, 'heat-mat', mat.watts ?? 0, { regulates: 'heater', expects });
    if (mat == null || control == null) return none({ why: 'part-missing', what: 'heat-mat' });
    const heater = pieces(
      [mat],
      [fitted(place, mat, 'heat-mat', { key: 'heater', whenBoxReplaced: 'stays-behind' })],
      [{ assumes: 'mat-by-length', watts: mat.watts ?? 0 }],
    );
    return { status: 'kit', detail: kind, kit: together(heater, control, probe) };
  }
  if (kind === 'water') {
    const heater = cheapest(place.list, 'water-heater');
    if (heater === undefined) return none({ why: 'part-missing', what: 'water-heater' });
    return { status: 'kit', detail: kind, kit: pieces([heater], [fitted(place, heater, 'water-heater', { expects })]) };
  }
  if (species.neverPropose.includes('overhead-heater')) return forbidden('overhead-heater');
  const light = kind === 'hot-spot-surface';
  // What runs day and night takes its cool nights from a species that has them; where the nights hold anyway, a lamp warms the day.
  const night = light ? null : nightWarmEnough(around, target);
  if (night !== null) return none({ why: 'nights-warm-enough', ...night });
  const choice = light ? baskingLamp(around) : overheadHeater(around);
  if ('why' in choice) return none(choice);
  const { part, assumes } = choice;
  const heaterKind = light ? 'basking-lamp' : 'ceramic-heater';
  const watts = part.watts ?? 0;
  // Above a mesh few animals reach it: not what climbs along the mesh below it, or stretches up to it.
  const aboveMesh = setup.enclosure.top === 'mesh' && !reachesTop(species, setup.enclosure.heightMm);
  const heater = pieces(
    [part],
    [fitted(place, part, heaterKind, { key: 'heater', outOfReach: aboveMesh })],
    [...assumes, ...(aboveMesh ? [{ assumes: 'above-mesh' as const }] : [])],
  );
  const holder = holderFor(place.list, heaterKind, watts);
  if (holder === undefined) return none({ why: 'part-missing', what: 'fixture' });
  const guard = aboveMesh ? pieces([], []) : guardFor(place, 'heater');
  if (guard === null) return none({ why: 'part-missing', what: 'guard' });
  const control = thermostat(place, heaterKind, watts, {
    regulates: 'heater',
    expects: light || kind === 'cool-end-air' ? expects : expectedOf('ceramic-heater', targets),
  });
  if (control === null) return none({ why: 'part-missing', what: 'thermostat' });
  const kit = together(heater, pieces([holder], []), guard, control, probe);
  // One heater overhead warms the air by day and by night, so it is proposed once.
  return { status: 'kit', detail: light ? kind : 'overhead', kit };
}

function none(no: NoHeat): { status: 'none' } & NoHeat {
  return { status: 'none', ...no };
}

// How hot a lamp makes a surface is measured and never reckoned; the height of the box is all there is to go by.
function baskingLamp({ place, setup }: HeatQuestion): HeaterChoice | NoHeat {
  const watts = setup.enclosure.heightMm > 550 ? 75 : 50;
  const part = cheapest(place.list, 'basking-lamp', (one) => one.watts === watts);
  return part === undefined
    ? { why: 'part-missing', what: 'basking-lamp' }
    : { part, assumes: [{ assumes: 'lamp-by-height', watts }] };
}

// The least watts that hold the air in the coldest month, where walls and room are known; else by the length of the box.
function overheadHeater({ place, setup, room, library, on }: HeatQuestion): HeaterChoice | NoHeat {
  const heaters = place.list.parts
    .filter((one) => one.what === 'ceramic-heater' && one.watts !== null)
    .sort((a, b) => a.watts! - b.watts!);
  const strongest = heaters[heaters.length - 1];
  if (strongest === undefined) return { why: 'part-missing', what: 'ceramic-heater' };
  const needed = heaterNeeded({ setup, room, library, on });
  if (needed.status === 'reckoned' && needed.watts > 0) {
    const part = heaters.find((one) => one.watts! >= needed.watts);
    if (part === undefined)
      return { why: 'heater-at-limit', needed: Math.ceil(needed.watts), mostWatts: strongest.watts! };
    const { roomCelsius } = needed;
    return {
      part,
      assumes: [{ assumes: 'watts-by-loss', watts: part.watts!, needed: Math.ceil(needed.watts), roomCelsius }],
    };
  }
  const usual = setup.enclosure.lengthMm > 1000 ? 100 : 60;
  const part = heaters.find((one) => one.watts! >= usual) ?? strongest;
  const because = needed.status === 'unknown' ? needed.why : 'reckoned-enough';
  return { part, assumes: [{ assumes: 'watts-by-size', watts: part.watts!, because }] };
}

// A snake stretches up by more than half of its length and lies along a mesh; anything else that stands on its hind legs, or on what lies in
// its box, is taken to come twice as high as it is long (own assumption).
function reachesTop({ habit, group, adultSize }: Species, heightMm: number): boolean {
  return habit === 'climbing' || group === 'snake' || 2 * adultSize.highMm >= heightMm;
}

/** Whether warmth that other animals seek harms: amphibians, and species that no heater may be proposed for. */
export function isHeatSensitive({ group, neverPropose }: Species): boolean {
  return group === 'frog' || group === 'salamander' || neverPropose.includes('any-heater');
}

// How much cooler than the least of a day a night has to be to count as one that the species needs cool, °C: an own assumption.
const COOL_NIGHT = 3;

// A night that was read at what is asked of it or above, where the species needs it cool; else null.
function nightWarmEnough(
  { setup, targets, on }: HeatQuestion,
  asked: { kind: TemperatureKind; low: number; high: number },
): { night: number; asked: number } | null {
  const night = targets.temperatures.find((one) => one.kind === 'night-air');
  if (night === undefined || asked.kind === 'night-air' || night.high > asked.low - COOL_NIGHT) return null;
  const known = knownOf(setup, 'night-air', on, on);
  return known.status === 'known' && known.value >= night.low ? { night: known.value, asked: night.low } : null;
}

// Whether some place is as warm as it may be: another heater would carry it beyond.
function isWarmEnough({ setup, targets, on }: HeatQuestion): boolean {
  return targets.temperatures.some((one) => {
    if (one.kind === 'body') return false;
    const known = knownOf(setup, one.kind, on, on);
    return known.status === 'known' && known.value >= one.high;
  });
}

/** What a heater is set to hold: the middle of the target of each place it warms. */
export function expectedOf(kind: FittingKind, targets: Targets): { reading: ReadingKind; value: number }[] {
  const readings: Partial<Record<FittingKind, TemperatureKind[]>> = {
    'heat-mat': ['warm-hide-floor'],
    'ceramic-heater': ['warm-air', 'night-air'],
    'radiant-panel': ['hot-spot-surface', 'warm-air', 'night-air'],
    'water-heater': ['water'],
  };
  return (readings[kind] ?? []).flatMap((reading) => {
    const target = targets.temperatures.find((one) => one.kind === reading);
    return target === undefined ? [] : [{ reading: reading as ReadingKind, value: middleOf(target) }];
  });
}

/** The middle of a target as a whole number, as a control is set. */
export function middleOf({ low, high }: { low: number; high: number }): number {
  return Math.round((low + high) / 2);
}

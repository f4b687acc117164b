// What has to be done, in which order, when an upgrade is fitted: where each thing goes, what holds and guards it, what hangs on its
// socket, how long it runs without the animal and what is read when. Every line says how well it is founded; knows no sentence.

import type { PlainDate } from './calendar.ts';
import { monthOf } from './calendar.ts';
import type { Collection, Fitting, FittingKind, Material, ReadingKind } from './collection.ts';
import { HEATERS, influenceOf, isFitted, setupOf, UV_LAMPS } from './collection.ts';
import { GUARD_SHARE } from './light.ts';
import { NEAREST_HANGING_MM } from './light-scene.ts';
import type { Load } from './load.ts';
import { loadOf } from './load.ts';
import type { Promised } from './promises.ts';
import { promisesOf, SETTLING_HOURS } from './promises.ts';
import type { Outlet, Room } from './rooms.ts';
import type { CareLibrary, Species, Standing } from './species.ts';
import { speciesOf, targetsFor } from './species.ts';
import type { Change, NewFitting, Upgrade } from './upgrades.ts';
import { applyUpgrades, enclosuresOf, paperId, readingsAfter } from './upgrades.ts';
import { isDark } from './uv-need.ts';
import type { ColdestMonth } from './warmth-year.ts';
import { coldestMonthOf } from './warmth-year.ts';

/** Which thermostat suits a heater: a switching one, one that gives pulses, or one that dims. Common practice, no source. */
export type ThermostatType = 'switching' | 'pulse' | 'dimming';

/** The thermostat for each kind of heater; a heated rock has none, it is taken out. Common practice, no source. */
export const THERMOSTAT_FOR: Partial<Record<FittingKind, ThermostatType>> = {
  'heat-mat': 'switching',
  'water-heater': 'switching',
  'ceramic-heater': 'pulse',
  'basking-lamp': 'dimming',
  'radiant-panel': 'dimming',
};

/** Where a distance is measured from: the middle of the tube's glass, the lamp's face, or this far below them (mm). */
export type Datum = { from: 'tube-axis' | 'lamp-face'; belowMm: number };

/** One thing to do or to know while something is fitted; lengths in mm, shares 0 to 1. */
export type SheetFact =
  | { line: 'distance'; distanceMm: number; datum: Datum }
  | { line: 'distance-unknown' }
  | { line: 'too-near'; distanceMm: number; leastMm: number }
  | { line: 'mesh'; passes: number }
  | { line: 'mesh-in-reading' }
  | { line: 'mesh-not-counted' }
  /** Nobody looked what is between. */
  | { line: 'between-unknown' }
  | { line: 'no-glass' }
  | { line: 'guarded'; by: string; uvPasses: number | null }
  | { line: 'guard-missing' }
  | { line: 'out-of-reach' }
  /** A kit without a guard takes it to hang above the mesh; nobody entered that. */
  | { line: 'above-mesh' }
  /** Out of reach in the old box, which says nothing of the new one. */
  | { line: 'reach-in-new-box' }
  | { line: 'mat-and-wood' }
  | { line: 'hang-anew'; in: Material }
  | { line: 'guards'; what: string; uvPasses: number | null }
  | { line: 'thermostat'; type: ThermostatType; by: string | null; watts: number | null }
  | { line: 'regulates'; what: string; type: ThermostatType | null; watts: number | null }
  | { line: 'contact-heater' }
  | { line: 'probe'; heater: FittingKind; at: 'warm-end' | 'cool-end' }
  | { line: 'own-thermostat' }
  | { line: 'unplug-before-water' }
  | { line: 'splash' }
  | { line: 'drip-loop'; water: string[] }
  | { line: 'socket'; outlet: string; load: Load }
  | { line: 'socket-unknown' }
  | { line: 'settling'; hours: number }
  | { line: 'hours'; hoursPerDay: number }
  | { line: 'renew'; months: number; fades: boolean }
  | { line: 'shade' }
  /** Nothing in the box is known to be dark, so that comes before the lamp. */
  | { line: 'dark-first' }
  | { line: 'look-again' };

/** A fact and how well it is founded; null where it is only what was entered for this upgrade. */
export type SheetLine = SheetFact & { standing: Standing | null };

/** Where a reading falls in the day. */
export type ReadingTime = 'midday' | 'hours-on' | 'hottest-hour' | 'before-lights' | 'afternoon' | 'next-day' | 'once';

const readingTimes: Readonly<Record<ReadingKind, ReadingTime>> = {
  'hot-spot-surface': 'midday',
  'uvi-basking': 'midday',
  'uvi-lowest': 'midday',
  'warm-hide-floor': 'hours-on',
  'warm-air': 'hottest-hour',
  'cool-end-air': 'hottest-hour',
  'night-air': 'before-lights',
  water: 'next-day',
  'humidity-day': 'afternoon',
  'humidity-night': 'before-lights',
  'humidity-retreat': 'next-day',
  'water-depth': 'once',
};

/** At which time of the day a kind of reading is taken (common practice, no source). */
export function readingTimeOf(kind: ReadingKind): ReadingTime {
  return readingTimes[kind];
}

/** A reading to take once it runs, at which time of the day, and what the upgrade promises for it (null: nothing). */
type SheetReading = {
  enclosureId: string;
  kind: ReadingKind;
  time: ReadingTime;
  standing: Standing;
  promised: Promised | null;
};

/** Cautions in the order in which they matter. */
export type SheetCaution = 'mains' | 'burns' | 'fire' | 'uv-eyes' | 'electrician' | 'vet' | 'never-safe';

/** A thing that is fitted, moved, renewed, set anew or taken out, or a heater that goes into the box that replaces its own. */
export type SheetThing = {
  name: string;
  kind: FittingKind;
  what: 'fit' | 'move' | 'renew' | 'set-hours' | 'retire' | 'into-new-box';
  enclosureId: string;
  lines: SheetLine[];
};

/** An animal that had no UV before, as far as is known, and the hours of UV its species is given in the end (null: unknown). */
type FirstUv = {
  animals: string[];
  fullHours: { low: number; high: number } | null;
  standing: Standing;
};

/** Everything to do for an upgrade. `trialHours` without the animal, common practice; null where nothing runs on mains or warms. */
export type FittingSheet = {
  enclosureIds: string[];
  /** Each new box, with how its air does in the coldest month of its room once all is fitted. */
  boxes: (Change & { change: 'replace-box' } & { coldest: ColdestMonth })[];
  things: SheetThing[];
  trialHours: { low: number; high: number; standing: Standing } | null;
  firstUv: FirstUv | null;
  readings: SheetReading[];
  cautions: SheetCaution[];
};

/** What a sheet is decided from. `done`: the upgrade is fitted since `on` and its things are part of the collection. */
export type SheetQuestion = {
  upgrade: Upgrade;
  collection: Collection;
  library: CareLibrary;
  outlets: readonly Outlet[];
  rooms: readonly Room[];
  on: PlainDate;
  done: boolean;
};

const OF_HEAT: ReadonlySet<ReadingKind> = new Set([
  'hot-spot-surface',
  'warm-hide-floor',
  'warm-air',
  'cool-end-air',
  'night-air',
]);

const wet: ReadonlySet<FittingKind> = new Set(['mister', 'pool', 'filter', 'water-dish', 'dry-dock']);

const OVERHEAD: ReadonlySet<FittingKind> = new Set(['basking-lamp', 'ceramic-heater', 'radiant-panel']);

const IN_WATER: ReadonlySet<Species['habit']> = new Set(['aquatic', 'semi-aquatic']);

// A thermostat that is to bring the cool end to its temperature has its probe there, every other one at the warm end.
function heldAt(thermostat: Pick<Fitting, 'expects'> | undefined): 'warm-end' | 'cool-end' {
  return thermostat?.expects.some((one) => one.reading === 'cool-end-air') ? 'cool-end' : 'warm-end';
}

/** Decides what has to be done for an upgrade, from its changes and the set-up they come into. */
export function sheetFor(question: SheetQuestion): FittingSheet {
  const { upgrade, collection, on, done } = question;
  const after = done ? collection : applyUpgrades(collection, [upgrade], on);
  const changed = upgrade.changes.flatMap((change) => thingOf(change, question, after));
  const heaters = heatersMoving(question, after);
  const things = [
    ...heaters.map(({ name, kind, enclosureId, ...thing }): SheetThing => {
      const lines = linesFor({ name, kind, enclosureId, ...thing }, enclosureId, question, after, false, true);
      return { name, kind, what: 'into-new-box', enclosureId, lines };
    }),
    ...changed,
  ];
  const promised = done ? [] : promisesOf(upgrade, collection, on);
  const wanted = readingsAfter(upgrade, collection, question.library);
  const readings = withWarmthOf(heaters, wanted, question, after).flatMap(({ enclosureId, readings: kinds }) =>
    kinds.map(
      (kind): SheetReading => ({
        enclosureId,
        kind,
        time: readingTimeOf(kind),
        standing: 'common-practice',
        promised: promised.find((one) => one.kind === kind && one.enclosureId === enclosureId) ?? null,
      }),
    ),
  );
  const fitted = upgrade.changes.flatMap((one) => (one.change === 'fit' ? [one.fitting] : []));
  const runs =
    things.some((one) => HEATERS.has(one.kind) || UV_LAMPS.has(one.kind)) ||
    fitted.some((one) => one.watts !== null || one.kind === 'thermostat');
  // Heat that is set by hand changes no thing, only what is read.
  const setsHeat = upgrade.changes.some((one) => one.change === 'predict' && OF_HEAT.has(one.reading));
  return {
    enclosureIds: enclosuresOf(upgrade, collection),
    boxes: upgrade.changes.flatMap((one) =>
      one.change === 'replace-box' ? [{ ...one, coldest: coldestIn(one.enclosureId, question, after) }] : [],
    ),
    things,
    trialHours: runs ? { low: 24, high: 48, standing: 'common-practice' } : null,
    firstUv: firstUvOf(question, things),
    readings,
    cautions: cautionsFor(things, runs, setsHeat),
  };
}

function coldestIn(enclosureId: string, { library, rooms, on }: SheetQuestion, after: Collection): ColdestMonth {
  const setup = setupOf(after, enclosureId);
  const room = rooms.find((one) => one.id === setup.enclosure.build.roomId) ?? null;
  return coldestMonthOf({ setup, room, library, on });
}

// The heaters that go into a box that replaces theirs and are not spoken of otherwise.
function heatersMoving({ upgrade, on, done }: SheetQuestion, after: Collection): Fitting[] {
  const boxes = new Set(upgrade.changes.flatMap((one) => (one.change === 'replace-box' ? [one.enclosureId] : [])));
  const own = new Set(
    upgrade.changes.flatMap((one) =>
      'fittingId' in one ? [one.fittingId] : one.change === 'fit' ? [paperId(upgrade.id, one.fitting.key)] : [],
    ),
  );
  return after.fittings.filter(
    (one) =>
      boxes.has(one.enclosureId) &&
      HEATERS.has(one.kind) &&
      isFitted(one, on) &&
      !own.has(one.id) &&
      !(done && one.fittedOn >= on),
  );
}

// What moved heaters warm is read in the new box, also where it never was in the old one, as far as somebody there has a target for it.
function withWarmthOf(
  heaters: readonly Fitting[],
  wanted: ReturnType<typeof readingsAfter>,
  { library, on }: SheetQuestion,
  after: Collection,
): ReturnType<typeof readingsAfter> {
  return heaters.reduce((all, heater) => {
    const { enclosureId } = heater;
    const targets = after.animals
      .filter((one) => one.enclosureId === enclosureId)
      .flatMap((one) => targetsFor(speciesOf(library, one), one, monthOf(on)).temperatures);
    const warms = influenceOf(heater, after.fittings).filter((kind) => targets.some((one) => one.kind === kind));
    const before = all.find((one) => one.enclosureId === enclosureId)?.readings ?? [];
    const others = all.filter((one) => one.enclosureId !== enclosureId);
    const readings = [...new Set([...before, ...warms])];
    return readings.length === 0 ? all : [...others, { enclosureId, readings }];
  }, wanted);
}

function thingOf(change: Change, question: SheetQuestion, after: Collection): SheetThing[] {
  const { collection } = question;
  if (change.change === 'fit') {
    const { fitting, enclosureId } = change;
    const lines = linesFor(fitting, enclosureId, question, after, true);
    return [{ name: fitting.name, kind: fitting.kind, what: 'fit', enclosureId, lines }];
  }
  if (!('fittingId' in change)) return [];
  const fitting = after.fittings.find((one) => one.id === change.fittingId);
  const was = collection.fittings.find((one) => one.id === change.fittingId);
  if (fitting === undefined || was === undefined) return [];
  const { name, kind, enclosureId } = fitting;
  const thing = { name, kind, what: change.change, enclosureId };
  if (change.change === 'retire') return [{ ...thing, lines: [] }];
  if (change.change === 'set-hours') {
    return [{ ...thing, lines: [{ line: 'hours', hoursPerDay: change.hoursPerDay, standing: null }] }];
  }
  const lines = linesFor(fitting, enclosureId, question, after, change.change === 'renew');
  const isMovedHeat = change.change === 'move' && (HEATERS.has(kind) || UV_LAMPS.has(kind));
  return [{ ...thing, lines: isMovedHeat ? [...lines, { line: 'look-again', standing: 'common-practice' }] : lines }];
}

function linesFor(
  fitting: NewFitting | Fitting,
  enclosureId: string,
  { upgrade, outlets, on, library }: SheetQuestion,
  after: Collection,
  isNew: boolean,
  isInNewBox = false,
): SheetLine[] {
  const { kind, lamp, distanceMm, watts } = fitting;
  const lines: SheetLine[] = [];
  const add = (fact: SheetFact, standing: Standing | null) => lines.push({ ...fact, standing });
  const here = after.fittings.filter((one) => one.enclosureId === enclosureId && isFitted(one, on));
  const own = upgrade.changes.flatMap((one) => (one.change === 'fit' ? [one.fitting] : []));
  const key = 'key' in fitting ? fitting.key : fitting.id;
  const named = (id: string | null) =>
    id === null ? undefined : (own.find((one) => one.key === id) ?? after.fittings.find((one) => one.id === id));
  const workingOn = (field: 'regulates' | 'guards') => [...own, ...here].find((one) => one[field] === key);

  const box = after.enclosures.find((one) => one.id === enclosureId);
  const kept = after.animals.filter((one) => one.enclosureId === enclosureId);
  // With nobody there yet, what shades at all shades.
  const never = kept.map((one) => speciesOf(library, one).neverPropose);
  const hasDark = () =>
    here.some((one) => (never.length === 0 ? [[]] : never).every((forbidden) => isDark(one, forbidden)));

  // What can burn is guarded before anything else is done with it.
  if (HEATERS.has(kind)) addGuard();
  if (UV_LAMPS.has(kind) && !hasDark()) add({ line: 'dark-first' }, 'common-practice');
  if (isInNewBox && OVERHEAD.has(kind)) add({ line: 'hang-anew', in: box?.material ?? 'other' }, 'common-practice');
  if (kind === 'heat-mat' && box?.material === 'wood') add({ line: 'mat-and-wood' }, 'common-practice');
  if (UV_LAMPS.has(kind) || kind === 'basking-lamp') {
    if (distanceMm === null) add({ line: 'distance-unknown' }, UV_LAMPS.has(kind) ? 'common-practice' : null);
    else {
      const from = lamp?.litLengthMm == null ? ('lamp-face' as const) : ('tube-axis' as const);
      add({ line: 'distance', distanceMm, datum: { from, belowMm: lamp?.datumOffsetMm ?? 0 } }, null);
      if (UV_LAMPS.has(kind) && distanceMm < NEAREST_HANGING_MM)
        add({ line: 'too-near', distanceMm, leastMm: NEAREST_HANGING_MM }, 'common-practice');
    }
  }
  if (UV_LAMPS.has(kind)) {
    if (lamp?.throughMesh === true) add({ line: 'mesh-in-reading' }, null);
    else if (fitting.meshShare === null) add({ line: 'between-unknown' }, null);
    else if (fitting.meshShare < 1) add({ line: 'mesh', passes: fitting.meshShare }, 'common-practice');
    else if (box?.top === 'mesh') add({ line: 'mesh-not-counted' }, null);
    // Duarte et al. 2009; Tuchinda, Srivannaboon and Lim 2006, as told at shareThroughSheet in light.ts.
    add({ line: 'no-glass' }, 'published');
    if (hasDark()) add({ line: 'shade' }, 'common-practice');
  }
  if (UV_LAMPS.has(kind)) addGuard();
  if (kind === 'rock-heater') add({ line: 'contact-heater' }, 'common-practice');
  const type = THERMOSTAT_FOR[kind];
  if (type !== undefined) {
    const thermostat = workingOn('regulates');
    // A water heater carries its own as a rule, as the check of safety takes it.
    if (kind === 'water-heater' && thermostat === undefined) add({ line: 'own-thermostat' }, 'common-practice');
    else add({ line: 'thermostat', type, by: thermostat?.name ?? null, watts }, 'common-practice');
    if (kind !== 'water-heater' || thermostat !== undefined)
      add({ line: 'probe', heater: kind, at: heldAt(thermostat) }, 'common-practice');
  }
  if (kind === 'thermostat') {
    const heater = named(fitting.regulates);
    if (heater !== undefined) {
      const suits = THERMOSTAT_FOR[heater.kind] ?? null;
      add({ line: 'regulates', what: heater.name, type: suits, watts: heater.watts }, 'common-practice');
      // The heater's own lines say it already where both are fitted together.
      if (!own.some((one) => one === heater))
        add({ line: 'probe', heater: heater.kind, at: heldAt(fitting) }, 'common-practice');
    }
  }
  if (kind === 'guard') {
    const thing = named(fitting.guards);
    if (thing !== undefined)
      add(
        { line: 'guards', what: thing.name, uvPasses: UV_LAMPS.has(thing.kind) ? GUARD_SHARE : null },
        'common-practice',
      );
  }
  if (watts !== null || kind === 'thermostat' || kind === 'timer') {
    const water = here.filter((one) => wet.has(one.kind)).map((one) => one.name);
    const swims = after.animals.some(
      (one) => one.enclosureId === enclosureId && IN_WATER.has(speciesOf(library, one).habit),
    );
    if (kind === 'water-heater') add({ line: 'unplug-before-water' }, 'common-practice');
    if ((UV_LAMPS.has(kind) || OVERHEAD.has(kind)) && (swims || here.some((one) => one.kind === 'pool')))
      add({ line: 'splash' }, 'common-practice');
    if (water.length > 0 || swims || kind === 'water-heater')
      add({ line: 'drip-loop', water: [...new Set(water)] }, 'common-practice');
    const outlet = outlets.find((one) => one.id === fitting.outletId);
    if (outlet === undefined) add({ line: 'socket-unknown' }, 'common-practice');
    else add({ line: 'socket', outlet: outlet.name, load: loadOf(outlet, after.fittings, on) }, 'common-practice');
  }
  if (isNew && kind === 'uv-tube') add({ line: 'settling', hours: SETTLING_HOURS }, 'from-memory');
  if (fitting.hoursPerDay !== null) add({ line: 'hours', hoursPerDay: fitting.hoursPerDay }, null);
  if (isNew && fitting.lifeMonths !== null) {
    add(
      { line: 'renew', months: fitting.lifeMonths, fades: UV_LAMPS.has(kind) },
      UV_LAMPS.has(kind) ? 'common-practice' : null,
    );
  }
  if (isInNewBox) add({ line: 'look-again' }, 'common-practice');
  return lines;

  function addGuard(): void {
    const guard = workingOn('guards');
    if (guard !== undefined)
      add({ line: 'guarded', by: guard.name, uvPasses: UV_LAMPS.has(kind) ? GUARD_SHARE : null }, 'common-practice');
    else if (fitting.outOfReach && isInNewBox) add({ line: 'reach-in-new-box' }, 'common-practice');
    else if (fitting.outOfReach && isNew && upgrade.origin === 'proposed' && box?.top === 'mesh')
      add({ line: 'above-mesh' }, 'common-practice');
    else if (fitting.outOfReach) add({ line: 'out-of-reach' }, null);
    else if (OVERHEAD.has(kind) || UV_LAMPS.has(kind)) add({ line: 'guard-missing' }, 'common-practice');
  }
}

// An animal counts as new to UV when its box had no UV lamp and no outdoor run before, and nobody ever measured any UV there.
function firstUvOf({ collection, library, on, done }: SheetQuestion, things: SheetThing[]): FirstUv | null {
  const boxes = new Set(
    things.filter((one) => one.what === 'fit' && UV_LAMPS.has(one.kind)).map((one) => one.enclosureId),
  );
  const before = (one: { fittedOn: PlainDate }) => !done || one.fittedOn < on;
  const hadUv = (enclosureId: string) =>
    collection.fittings.some(
      (one) => one.enclosureId === enclosureId && before(one) && (UV_LAMPS.has(one.kind) || one.outdoors !== null),
    ) ||
    collection.readings.some(
      (one) =>
        one.enclosureId === enclosureId &&
        one.kind === 'uvi-basking' &&
        one.evidence === 'measured' &&
        (one.value ?? 0) > 0 &&
        (!done || one.takenOn < on),
    );
  const animals = collection.animals.filter(
    (one) => one.enclosureId !== null && boxes.has(one.enclosureId) && !hadUv(one.enclosureId),
  );
  if (animals.length === 0) return null;
  const hours = animals.map((one) => speciesOf(library, one).uv.hours);
  const fullHours = { low: Math.min(...hours.map((one) => one.low)), high: Math.max(...hours.map((one) => one.high)) };
  return { animals: animals.map((one) => one.name), fullHours, standing: 'from-memory' };
}

function cautionsFor(things: readonly SheetThing[], runs: boolean, setsHeat: boolean): SheetCaution[] {
  const present = things.filter((one) => one.what !== 'retire');
  const heats = setsHeat || present.some((one) => HEATERS.has(one.kind) || one.kind === 'thermostat');
  return [
    ...(runs || setsHeat ? (['mains'] as const) : []),
    ...(heats ? (['burns', 'fire'] as const) : []),
    ...(present.some((one) => UV_LAMPS.has(one.kind)) ? (['uv-eyes'] as const) : []),
    ...(runs ? (['electrician'] as const) : []),
    'vet',
    'never-safe',
  ];
}

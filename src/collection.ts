// What a keeper has: animals, the boxes they live in, what is fitted there, what was read off instruments and which checks were
// answered. States facts only; what they are worth is the score's business.

import type { PlainDate } from './calendar.ts';
import type { Money } from './money.ts';
import type { Room } from './rooms.ts';
import type { DatedSeason, DatedState, HideZone } from './species.ts';

/** An animal. Its length is in mm as its species measures it (snout to vent, total, carapace); null when it was never measured. */
export type Animal = {
  id: string;
  name: string;
  speciesId: string;
  enclosureId: string | null;
  lengthMm: number | null;
  measuredOn: PlainDate | null;
  hatchedOn: PlainDate | null;
  sex: 'female' | 'male' | 'unknown';
  paleMorph: boolean;
  seasons: DatedSeason[];
  /** Left out: none. */
  states?: DatedState[];
};

export const MATERIALS = ['glass', 'wood', 'pvc', 'acrylic', 'mesh', 'other'] as const;
export type Material = (typeof MATERIALS)[number];

export const TOPS = ['closed', 'mesh', 'open'] as const;
export type Top = (typeof TOPS)[number];

/** The mean watts that everything inside drew while its mean air and the room held these temperatures: better than any reckoning. */
export type HeatUse = { watts: number; insideCelsius: number; roomCelsius: number; on: PlainDate };

/**
 * How a box is built and where it stands, as far as its warmth and a larger one hang on it. Thicknesses in mm; `airChanges` an hour; the
 * most that a box in this place may measure on the outside in mm; null is unknown, for the front's material the same as the walls'.
 */
export type BoxBuild = {
  wallMm: number | null;
  frontMaterial: Material | null;
  frontMm: number | null;
  standsOn: 'something' | 'free';
  airChanges: number | null;
  heatUse: HeatUse | null;
  roomId: string | null;
  mostLengthMm: number | null;
  mostDepthMm: number | null;
  mostHeightMm: number | null;
};

/** A build of which nothing was said; boxes stand on furniture as a rule. */
export const UNKNOWN_BUILD: BoxBuild = {
  wallMm: null,
  frontMaterial: null,
  frontMm: null,
  standsOn: 'something',
  airChanges: null,
  heatUse: null,
  roomId: null,
  mostLengthMm: null,
  mostDepthMm: null,
  mostHeightMm: null,
};

/** A box with its inside measures in mm. `boxSince` is the day it was set up, moved or resized: older readings no longer hold in it. */
export type Enclosure = {
  id: string;
  name: string;
  lengthMm: number;
  depthMm: number;
  heightMm: number;
  material: Material;
  top: Top;
  boxSince: PlainDate;
  build: BoxBuild;
};

export const FITTING_KINDS = [
  'uv-tube',
  'uv-compact',
  'basking-lamp',
  'heat-mat',
  'ceramic-heater',
  'radiant-panel',
  'rock-heater',
  'water-heater',
  'unknown-heater',
  'thermostat',
  'unknown-thermostat',
  'guard',
  'timer',
  'hide',
  'moist-hide',
  'branches',
  'deep-substrate',
  'feeding-toy',
  'novelty',
  'plants',
  'water-dish',
  'pool',
  'filter',
  'dry-dock',
  'mister',
  'insulation',
  'outdoor-run',
  'basking-place',
  'shelf',
  'perch',
  'fan',
  'chiller',
  'other',
] as const;
export type FittingKind = (typeof FITTING_KINDS)[number];

/** What can be read off an instrument in an enclosure. Body temperature is never read there. */
export const READING_KINDS = [
  'hot-spot-surface',
  'warm-hide-floor',
  'warm-air',
  'cool-end-air',
  'night-air',
  'water',
  'uvi-basking',
  'uvi-lowest',
  'humidity-day',
  'humidity-night',
  'humidity-retreat',
  'water-depth',
] as const;
export type ReadingKind = (typeof READING_KINDS)[number];

/** Where a lamp's figures come from. A compact lamp's packaging says nothing of what reaches an animal. */
export const OUTPUT_ORIGINS = ['class', 'own-reading', 'maker-chart', 'packaging'] as const;
export type OutputOrigin = (typeof OUTPUT_ORIGINS)[number];

export const REFLECTORS = ['with', 'without', 'unknown'] as const;
export type Reflector = (typeof REFLECTORS)[number];

/**
 * What is known of a lamp's output: its UVI at one distance (mm, above 0) on its axis, and at further ones (a maker's chart, the keeper's
 * own readings). `litLengthMm` is null for a lamp that is a point. Distances, also that of its fitting, were taken from `datumOffsetMm`
 * below the axis of a tube or the face of a point lamp. `throughMesh`: taken through the mesh it shines through, which is not taken off again.
 * `beam` is how fast it fades to the side (exponent of a cosine); null leaves that to the kind of lamp.
 */
export type LampOutput = {
  litLengthMm: number | null;
  atMm: number;
  uvi: number;
  more: { atMm: number; uvi: number }[];
  from: OutputOrigin;
  datumOffsetMm: number;
  reflector: Reflector;
  throughMesh: boolean;
  beam: number | null;
};

/** A bare lamp known by the one figure of its class, as far as nothing else is said. */
export function lampOf(
  litLengthMm: number | null,
  atMm: number,
  uvi: number,
  more: Partial<LampOutput> = {},
): LampOutput {
  return {
    litLengthMm,
    atMm,
    uvi,
    more: [],
    from: 'class',
    datumOffsetMm: 0,
    reflector: 'without',
    throughMesh: false,
    beam: null,
    ...more,
  };
}

/**
 * Where a thing stands in its box, in mm: its middle from the left wall (x) and from the front (y), its underside above the floor (z; of a
 * lamp the axis or face). Outside sizes along these directions, null for a lamp. `turned`: a tube or mat lies front to back.
 */
export type Placement = {
  xMm: number;
  yMm: number;
  zMm: number;
  lengthMm: number | null;
  depthMm: number | null;
  heightMm: number | null;
  turned: boolean;
};

/**
 * A thing fitted in an enclosure. `place` says which part of the box a hide serves; `regulates` and `guards` name the fitting that a
 * thermostat or guard works on; `expects` what it should bring about once adjusted (kept units); `meshShare` the share of UV that
 * reaches the animal through mesh (1 without, null while nobody looked what is between); `distanceMm` lamp to the back of an animal at its
 * basking place. When the box is replaced it moves or stays behind.
 * `brokenOn` is the day it last broke: until a new one is in its place it is retired since that day, then `fittedOn` lies after it.
 */
export type Fitting = {
  id: string;
  enclosureId: string;
  kind: FittingKind;
  name: string;
  fittedOn: PlainDate;
  movedOn: PlainDate | null;
  retiredOn: PlainDate | null;
  brokenOn: PlainDate | null;
  lifeMonths: number | null;
  renewalPrice: Money | null;
  watts: number | null;
  hoursPerDay: number | null;
  /** Share of the time it is on under a thermostat, 0 to 1; null counts as always on. */
  duty: number | null;
  place: HideZone | null;
  regulates: string | null;
  guards: string | null;
  outOfReach: boolean;
  lamp: LampOutput | null;
  distanceMm: number | null;
  meshShare: number | null;
  expects: { reading: ReadingKind; value: number }[];
  outdoors: { lengthMm: number; depthMm: number; fromMonth: number; toMonth: number; shade: boolean } | null;
  whenBoxReplaced: 'moves' | 'stays-behind';
  /** Null while nobody said where in the box it stands. */
  placed: Placement | null;
  /** The socket or lead it is plugged into. */
  outletId: string | null;
};

/** A dated reading, its value in the dimension's kept unit; null when it is unknown. `accuracy` is the instrument's stated error (±). */
export type Reading = {
  id: string;
  enclosureId: string;
  kind: ReadingKind;
  evidence: 'measured' | 'estimated' | 'unknown';
  value: number | null;
  typed: string;
  takenOn: PlainDate;
  hour: number | null;
  roomCelsius: number | null;
  instrument: string;
  accuracy: number | null;
  /**
   * Set only where upgrades are tried out on paper: what they add would change this reading, what they move or take away leaves it without
   * its cause, they end it with its box, or are the source of it.
   */
  onPaper?: 'changed' | 'undone' | 'ended' | 'predicted';
  /**
   * How many times what the light model says this UVI was, worked out before anything it hangs on was moved, renewed or given a new box:
   * it still holds for the lamps. Null when that could not be told; left out while it can be worked out from how things stand.
   */
  lightRatio?: number | null;
};

/** A measured value (kept unit) of which only where and on which day it was read is known. */
export function bareReading(
  id: string,
  enclosureId: string,
  kind: ReadingKind,
  value: number,
  takenOn: PlainDate,
): Reading {
  const unsaid = { typed: '', hour: null, roomCelsius: null, instrument: '', accuracy: null };
  return { ...unsaid, id, enclosureId, kind, evidence: 'measured', value, takenOn };
}

/** Questions about safety and upkeep that only the keeper can answer. */
export const CHECKS = [
  'escape-proof',
  'probe-in-place',
  'dark-at-night',
  'residual-current-device',
  'smoke-alarm',
  'drip-loop',
  'easy-exit',
  'water-quality-tested',
  'nothing-toxic',
] as const;
export type Check = (typeof CHECKS)[number];
export type Answer = { enclosureId: string; check: Check; answer: 'yes' | 'no' | 'unknown'; answeredOn: PlainDate };

/**
 * What this keeper's own readings make of the light model: `factor` times what it says is expected of a lamp without a reading of its own,
 * ± `error` as a share. `from` counts the lamps whose promised and measured UVI were compared.
 */
export type LightCorrection = { factor: number; error: number; from: number };

/** Everything a keeper has. Without compared readings nothing is corrected. */
export type Collection = {
  animals: Animal[];
  enclosures: Enclosure[];
  fittings: Fitting[];
  readings: Reading[];
  answers: Answer[];
  lightCorrection?: LightCorrection | null;
  /** The rooms that boxes stand in; left out where none is known. */
  rooms?: readonly Room[];
  /** Animals whose species is not known any more, so that nothing of theirs can be judged; left out where there are none. */
  unjudged?: readonly Animal[];
};

/** One enclosure with who lives in it and everything that was ever fitted, read or answered there. */
export type Setup = {
  enclosure: Enclosure;
  occupants: Animal[];
  fittings: Fitting[];
  readings: Reading[];
  answers: Answer[];
  lightCorrection?: LightCorrection | null;
  /** The room that the box stands in; null or left out where it is not known. */
  room?: Room | null;
};

/** The set-up of one enclosure. Throws when the collection holds no such enclosure. */
export function setupOf(collection: Collection, enclosureId: string): Setup {
  const enclosure = collection.enclosures.find((one) => one.id === enclosureId);
  if (enclosure === undefined) throw new RangeError(`the collection holds no enclosure with the id ${enclosureId}`);
  return {
    enclosure,
    occupants: inPlace(collection.animals, enclosureId),
    fittings: inPlace(collection.fittings, enclosureId),
    readings: inPlace(collection.readings, enclosureId),
    answers: inPlace(collection.answers, enclosureId),
    lightCorrection: collection.lightCorrection ?? null,
    room: collection.rooms?.find(({ id }) => id === enclosure.build.roomId) ?? null,
  };
}

/**
 * What of a collection some enclosures hang on. An animal's score hangs on its own alone, and an upgrade on those it touches, so that nothing
 * else has to be fitted on paper for them.
 */
export function aroundEnclosures(collection: Collection, enclosureIds: readonly string[]): Collection {
  const only = <One extends { enclosureId: string | null }>(all: One[]): One[] =>
    enclosureIds.length === 1
      ? inPlace(all, enclosureIds[0]!)
      : all.filter((one) => one.enclosureId !== null && enclosureIds.includes(one.enclosureId));
  return {
    ...collection,
    animals: only(collection.animals),
    enclosures: collection.enclosures.filter((one) => enclosureIds.includes(one.id)),
    fittings: only(collection.fittings),
    readings: only(collection.readings),
    answers: only(collection.answers),
  };
}

// A large collection is asked for each of its enclosures; a list that nobody can change any more is sorted by them once.
const sorted = new WeakMap<readonly object[], Map<string, object[]>>();

function inPlace<T extends { enclosureId: string | null }>(all: T[], enclosureId: string): T[] {
  if (!Object.isFrozen(all)) return all.filter((one) => one.enclosureId === enclosureId);
  let places = sorted.get(all);
  if (places === undefined) {
    places = new Map();
    for (const one of all) {
      if (one.enclosureId === null) continue;
      const there = places.get(one.enclosureId);
      if (there === undefined) places.set(one.enclosureId, [one]);
      else there.push(one);
    }
    sorted.set(all, places);
  }
  return [...((places.get(enclosureId) as T[] | undefined) ?? [])];
}

/** Whether a fitting is in use on a date: fitted by then and not retired. Things fitted later count from their own day. */
export function isFitted(fitting: Fitting, on: PlainDate): boolean {
  return fitting.fittedOn <= on && (fitting.retiredOn === null || fitting.retiredOn > on);
}

/** Whether a fitting is out of use because it broke, waiting for a new one in its place or for word that it works after all. */
export function isBroken(fitting: Pick<Fitting, 'brokenOn' | 'retiredOn'>): boolean {
  return fitting.brokenOn !== null && fitting.brokenOn === fitting.retiredOn;
}

/** Kinds of fitting that give UV. */
export const UV_LAMPS: ReadonlySet<FittingKind> = new Set(['uv-tube', 'uv-compact']);

/** Kinds of fitting that an animal hides in. */
export const HIDES: ReadonlySet<FittingKind> = new Set(['hide', 'moist-hide']);

/** Whether a guard among some fittings guards one of them. */
export function isGuarded({ id }: Pick<Fitting, 'id'>, fittings: readonly Fitting[]): boolean {
  return fittings.some((one) => one.kind === 'guard' && one.guards === id);
}

/** Kinds of fitting that give heat. */
export const HEATERS: ReadonlySet<FittingKind> = new Set([
  'basking-lamp',
  'heat-mat',
  'ceramic-heater',
  'radiant-panel',
  'rock-heater',
  'water-heater',
  'unknown-heater',
]);

const warm: ReadingKind[] = ['hot-spot-surface', 'warm-hide-floor', 'warm-air', 'cool-end-air'];
const uv: ReadingKind[] = ['uvi-basking', 'uvi-lowest'];
const damp: ReadingKind[] = ['humidity-day', 'humidity-night'];

const ownInfluence: Partial<Record<FittingKind, ReadingKind[]>> = {
  'uv-tube': uv,
  'uv-compact': uv,
  'basking-lamp': warm,
  'heat-mat': ['warm-hide-floor'],
  'ceramic-heater': ['warm-air', 'night-air', 'cool-end-air'],
  'radiant-panel': [...warm, 'night-air'],
  'rock-heater': ['hot-spot-surface', 'warm-hide-floor'],
  'water-heater': ['water'],
  'unknown-heater': [...warm, 'night-air', 'water'],
  mister: damp,
  'moist-hide': ['humidity-retreat'],
  'deep-substrate': damp,
  plants: damp,
  insulation: ['warm-air', 'night-air', 'cool-end-air', 'humidity-day', 'humidity-night'],
  pool: ['water-depth', 'water', 'humidity-day', 'humidity-night'],
  fan: ['warm-air', 'cool-end-air', 'night-air', ...damp],
  chiller: ['water'],
};

/**
 * The readings that change when a fitting is added, moved or retired: what it is expected to bring about, what its kind touches, and
 * for a thermostat or guard what the regulated or guarded fitting touches. Which kind touches what is common practice, no source.
 */
export function influenceOf(fitting: Fitting, fittings: Fitting[]): ReadingKind[] {
  const worksOn = fittings.find((one) => one.id === (fitting.regulates ?? fitting.guards));
  const through = worksOn === undefined ? [] : (ownInfluence[worksOn.kind] ?? []);
  // Deep soil over a heat mat keeps the warmth from the animal and in the mat.
  const overMat =
    fitting.kind === 'deep-substrate' &&
    fittings.some(
      (one) => one.kind === 'heat-mat' && one.retiredOn === null && one.enclosureId === fitting.enclosureId,
    );
  return [
    ...new Set([
      ...fitting.expects.map((one) => one.reading),
      ...(ownInfluence[fitting.kind] ?? []),
      ...through,
      ...(overMat ? (['warm-hide-floor'] as const) : []),
    ]),
  ];
}

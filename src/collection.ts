// What a keeper has: animals, the boxes they live in, what is fitted there, what was read off instruments and which checks were
// answered. States facts only; what they are worth is the score's business.

import type { PlainDate } from './calendar.ts';
import type { Money } from './money.ts';
import type { DatedSeason, HideZone } from './species.ts';

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
};

export const MATERIALS = ['glass', 'wood', 'pvc', 'acrylic', 'mesh', 'other'] as const;
export type Material = (typeof MATERIALS)[number];

export const TOPS = ['closed', 'mesh', 'open'] as const;
export type Top = (typeof TOPS)[number];

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
  'thermostat',
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

/** A lamp's output: its UVI at one distance (mm) on its axis, without mesh; `litLengthMm` null for a lamp that is a point. */
export type LampOutput = { litLengthMm: number | null; atMm: number; uvi: number };

/**
 * A thing fitted in an enclosure. `place` says which part of the box a hide serves; `regulates` and `guards` name the fitting that a
 * thermostat or guard works on; `expects` what it should bring about once adjusted (kept units); `meshShare` the share of UV that
 * reaches the animal through mesh (1 without); `distanceMm` lamp to basking place. When the box is replaced it moves or stays behind.
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
  meshShare: number;
  expects: { reading: ReadingKind; value: number }[];
  outdoors: { lengthMm: number; depthMm: number; fromMonth: number; toMonth: number; shade: boolean } | null;
  whenBoxReplaced: 'moves' | 'stays-behind';
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
};

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

/** Everything a keeper has. */
export type Collection = {
  animals: Animal[];
  enclosures: Enclosure[];
  fittings: Fitting[];
  readings: Reading[];
  answers: Answer[];
};

/** One enclosure with who lives in it and everything that was ever fitted, read or answered there. */
export type Setup = {
  enclosure: Enclosure;
  occupants: Animal[];
  fittings: Fitting[];
  readings: Reading[];
  answers: Answer[];
};

/** The set-up of one enclosure. Throws when the collection holds no such enclosure. */
export function setupOf(collection: Collection, enclosureId: string): Setup {
  const enclosure = collection.enclosures.find((one) => one.id === enclosureId);
  if (enclosure === undefined) throw new RangeError(`the collection holds no enclosure with the id ${enclosureId}`);
  const here = <T extends { enclosureId: string | null }>(one: T) => one.enclosureId === enclosureId;
  return {
    enclosure,
    occupants: collection.animals.filter(here),
    fittings: collection.fittings.filter(here),
    readings: collection.readings.filter(here),
    answers: collection.answers.filter(here),
  };
}

/** Whether a fitting is in use on a date: fitted by then and not retired. Things fitted later count from their own day. */
export function isFitted(fitting: Fitting, on: PlainDate): boolean {
  return fitting.fittedOn <= on && (fitting.retiredOn === null || fitting.retiredOn > on);
}

/** Whether a fitting is out of use because it broke, waiting for a new one in its place or for word that it works after all. */
export function isBroken(fitting: Pick<Fitting, 'brokenOn' | 'retiredOn'>): boolean {
  return fitting.brokenOn !== null && fitting.brokenOn === fitting.retiredOn;
}

/** Kinds of fitting that give heat. */
export const HEATERS: ReadonlySet<FittingKind> = new Set([
  'basking-lamp',
  'heat-mat',
  'ceramic-heater',
  'radiant-panel',
  'rock-heater',
  'water-heater',
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
  mister: damp,
  'moist-hide': ['humidity-retreat'],
  'deep-substrate': damp,
  plants: damp,
  insulation: ['warm-air', 'night-air', 'cool-end-air', 'humidity-day', 'humidity-night'],
  pool: ['water-depth', 'water', 'humidity-day', 'humidity-night'],
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
    fitting.kind === 'deep-substrate' && fittings.some((one) => one.kind === 'heat-mat' && one.retiredOn === null);
  return [
    ...new Set([
      ...fitting.expects.map((one) => one.reading),
      ...(ownInfluence[fitting.kind] ?? []),
      ...through,
      ...(overMat ? (['warm-hide-floor'] as const) : []),
    ]),
  ];
}

// What the judging of every need has in common: the reasons for which points are lost, a part with its value and its target, how a reading is
// held against a band, what is known in a season, and when a part counts as severe. Knows no need by itself.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { monthOf, monthOfYear } from './calendar.ts';
import type { Animal, Check, Fitting, ReadingKind, Setup } from './collection.ts';
import { isFitted } from './collection.ts';
import type { Interval, Known } from './evidence.ts';
import { knownOf } from './evidence.ts';
import type { Silence } from './space.ts';
import type {
  Cited,
  Enrichment,
  HideZone,
  RuleSet,
  SpaceRule,
  Targets,
  TemperatureKind,
  UvZone,
  UvZoneBand,
} from './species.ts';
import { inSpan } from './species.ts';

/** Why points are lost. Each carries the figures a sentence needs, in kept units. */
export type Reason =
  | {
      why: 'temperature-outside';
      kind: TemperatureKind;
      side: 'below' | 'above';
      reading: number;
      low: number;
      high: number;
    }
  /** In a month of which nothing was read the room alone is warmer than the coolest place may be; `season` is the animal's in that month. */
  | {
      why: 'room-too-warm';
      kind: TemperatureKind;
      roomCelsius: number;
      low: number;
      high: number;
      month: PlainMonth;
      season: Targets['season'];
    }
  | {
      why: 'unknown-reading';
      kind: ReadingKind;
      cause: (Known & { status: 'unknown' })['why'];
      /** A heater whose warmth may reach that place too, though its kind warms another; left out where there is none. */
      heatedFrom?: string;
    }
  | {
      why: 'uncertain-reading';
      kind: ReadingKind;
      from: 'measured' | 'estimated' | 'expected';
      takenOn: PlainDate | null;
      /** How many of the keeper's own readings of other lamps correct it; left out where none do. */
      ownReadings?: number;
    }
  /** Nothing can have warmed a place; `elsewhere` names what heats in the box all the same. */
  | { why: 'no-heat-fitted'; kind: TemperatureKind; low: number; high: number; elsewhere: string[] }
  | { why: 'no-uv-fitted'; required: boolean }
  | { why: 'uv-below'; reading: number; wanted: number; zones: UvZone[] }
  | { why: 'uv-above'; reading: number; ceiling: number; zones: UvZone[] }
  | { why: 'uv-zone-disputed'; zones: UvZone[] }
  | { why: 'uv-lamp-past-life'; overdueMonths: number }
  | { why: 'uv-no-retreat'; reading: number | null }
  | { why: 'uv-hours'; hours: number; low: number; high: number }
  | { why: 'uv-hours-unknown' }
  /** Nobody looked what is between the lamp and the animal; `uvi` under an insect screen and with nothing between, null where it cannot be told. */
  | { why: 'uv-between-unknown'; fitting: string; uvi: { low: number; high: number } | null }
  | {
      why: 'humidity-outside';
      time: 'day' | 'night';
      side: 'below' | 'above';
      reading: number;
      low: number;
      high: number;
    }
  | { why: 'no-moist-retreat' }
  /** The top is closed over an animal that needs moving air. */
  | { why: 'still-air' }
  | { why: 'retreat-dry'; reading: number; wanted: number }
  | {
      why: 'space-short';
      rule: SpaceRule;
      neededLengthMm: number | null;
      neededFloorM2: number;
      neededHeightMm: number | null;
      short: 'length' | 'floor' | 'height';
      ratio: number;
    }
  | { why: 'space-minimum-only'; rule: SpaceRule }
  /** The strictest rule is met, and calls itself a minimum. */
  | { why: 'space-called-minimum'; rule: SpaceRule }
  | { why: 'space-will-be-short'; ratio: number }
  | { why: 'space-rule-silent'; rule: SpaceRule; asked: Silence }
  | { why: 'length-unknown' }
  | { why: 'hide-missing'; zone: HideZone; have: number; want: number }
  | { why: 'enrichment-missing'; kind: Enrichment }
  | { why: 'heater-unregulated'; fitting: string }
  | { why: 'rock-heater'; fitting: string }
  | { why: 'heater-unguarded'; fitting: string }
  | { why: 'basking-unmeasured'; fitting: string }
  | { why: 'too-many-together'; have: number; atMost: number }
  | { why: 'mixed-species' }
  | { why: 'too-many-males'; have: number; atMost: number }
  | { why: 'sexes-unknown'; males: number; unknown: number; atMost: number }
  | { why: 'sizes-too-unlike'; shortestMm: number; longestMm: number }
  | { why: 'check-failed'; check: Check; critical: boolean }
  | { why: 'check-unknown'; check: Check; critical: boolean }
  | { why: 'water-feature-missing'; feature: string }
  | { why: 'water-depth'; reading: number; low: number; high: number | null }
  | { why: 'outdoors-now' }
  /** Something warms, and nobody has looked what it is and what holds it. */
  | { why: 'heater-unknown'; fitting: string }
  /** Nobody has looked whether a thermostat holds it. */
  | { why: 'thermostat-unknown'; fitting: string }
  /** By its value alone the part would be severe; it is merely short, and nobody can cite the target it was held against. */
  | { why: 'severe-from-memory' }
  /** Its value would be severe by a rule of which nobody has settled whether it binds for this species. */
  | { why: 'severe-unresolved' }
  /** It is severe, since it can injure, though nobody can cite the target it was held against. */
  | { why: 'danger-from-memory' }
  /** A reading at or above the body temperature that ends the life of this species. */
  | { why: 'deadly-heat'; kind: TemperatureKind; reading: number; celsius: number }
  /** UV was read where no UV-B lamp is entered. */
  | { why: 'uv-without-lamp'; reading: number };

/** One part of a need: its value, whether it is severe or merely unknown, why it is below 100, and the target it was held against. */
export type NeedPart = Interval & { severe: boolean; unknown: boolean; reasons: Reason[]; cited: Cited | null };

/** What a need is judged from: its parts (V is the lowest), or that it has no target or does not count now. */
export type NeedJudgement = { status: 'judged'; parts: NeedPart[] } | { status: 'no-target' } | { status: 'off' };

/** What judging one animal takes: where it lives, what it needs in this month, and the keeper's rule lists. */
export type Judging = {
  animal: Animal;
  setup: Setup;
  targets: Targets;
  uvZones: UvZoneBand[];
  ruleSets: RuleSet[];
  on: PlainDate;
  knownOn: PlainDate;
  /** The ids of the library's sources that are nobody's writing but memory. */
  fromMemory: ReadonlySet<string>;
};

/** Where the safety rules come from that hold for every species; the ids are those of the library's sources. */
export const BURNS: Cited = { source: 'burns-2008', grade: 'agreed-practice' };

export const PRACTICE: Cited = { source: 'practice', grade: 'agreed-practice' };

/** The value of what is wholly there, and of what is wholly missing. */
export const full: Interval = { low: 100, high: 100, best: 100 };

export const nothing: Interval = { low: 0, high: 0, best: 0 };

/** Piecewise-linear value through anchors sorted by x; flat beyond both ends. */
export function interpolate(anchors: readonly (readonly [number, number])[], x: number): number {
  const first = anchors[0]!;
  if (x <= first[0]) return first[1];
  for (let index = 1; index < anchors.length; index++) {
    const [x0, y0] = anchors[index - 1]!;
    const [x1, y1] = anchors[index]!;
    if (x <= x1) return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  }
  return anchors[anchors.length - 1]![1];
}

/** A part of a need with its value, why it is below 100, and the target it was held against. */
export function part(
  interval: Interval,
  reasons: Reason[],
  cited: Cited | null,
  flags: { severe?: boolean; unknown?: boolean } = {},
): NeedPart {
  // Written out, because copying by spread is what planning would spend most of its time on.
  const { low, high, best } = interval;
  return { low, high, best, reasons, cited, severe: flags.severe ?? false, unknown: flags.unknown ?? false };
}

/**
 * Whether a part that is merely short is severe. A value from memory alone never makes it so: it says instead that it would be, so that its
 * target is checked.
 */
export function isShort(wouldBe: boolean, cited: Cited, reasons: Reason[], { fromMemory }: Judging): boolean {
  if (!wouldBe || !fromMemory.has(cited.source)) return wouldBe;
  reasons.push({ why: 'severe-from-memory' });
  return false;
}

/** Whether a part that can injure is severe: it is, however well its target is known, and says where that is to be checked. */
export function isDangerous(wouldBe: boolean, cited: Cited, reasons: Reason[], { fromMemory }: Judging): boolean {
  if (wouldBe && fromMemory.has(cited.source)) reasons.push({ why: 'danger-from-memory' });
  return wouldBe;
}

/** Value of a reading against a band: 100 inside, falling in a line to 0 at the tolerance outside. */
export function bandValue(
  reading: number,
  low: number,
  high: number,
  toleranceBelow: number,
  toleranceAbove: number,
): number {
  const outside =
    reading < low ? (low - reading) / toleranceBelow : reading > high ? (reading - high) / toleranceAbove : 0;
  return 100 * Math.max(0, 1 - outside);
}

/** What is fitted on the day. */
export function activeFittings({ setup, on }: Judging): Fitting[] {
  return setup.fittings.filter((one) => isFitted(one, on));
}

/** The outdoor run that counts on the day; null when none does. */
export function runOutdoors({ setup, targets, on }: Judging): Fitting | null {
  return runInSeason(setup.fittings, targets.outdoors, on);
}

/**
 * The outdoor run among some fittings that counts on a day; null when none does. A run counts in its months, as far as the species lives
 * well out of doors in them; it needs shade to count as sun.
 */
export function runInSeason(
  fittings: readonly Fitting[],
  outdoors: Targets['outdoors'],
  on: PlainDate,
): Fitting | null {
  const month = monthOfYear(monthOf(on));
  if (outdoors === null || !inSpan(month, outdoors.fromMonth, outdoors.toMonth)) return null;
  const counts = (one: Fitting) =>
    one.outdoors?.shade === true && inSpan(month, one.outdoors.fromMonth, one.outdoors.toMonth);
  return fittings.find((one) => isFitted(one, on) && counts(one)) ?? null;
}

/**
 * What is known of warmth or damp in this month's season: a reading taken in another season says nothing of this one, and what heaters are set
 * to bring, or an adjustment is predicted to, is meant for the active season.
 */
export function knownInSeason(judging: Judging, kind: ReadingKind): Known {
  const { setup, animal, targets, on, knownOn } = judging;
  if (animal.seasons.length === 0) return knownOf(setup, kind, on, knownOn);
  const readings = setup.readings.filter(
    (one) => (one.onPaper === 'predicted' ? 'active' : seasonOn(judging, one.takenOn)) === targets.season,
  );
  const fittings =
    targets.season === 'active' ? setup.fittings : setup.fittings.map((one) => ({ ...one, expects: [] }));
  return knownOf({ ...setup, readings, fittings }, kind, on, knownOn);
}

function seasonOn({ animal, targets }: Judging, day: PlainDate): Targets['season'] {
  const month = monthOfYear(monthOf(day));
  const dated = animal.seasons.find((one) => inSpan(month, one.fromMonth, one.toMonth))?.season;
  return dated !== undefined && targets.seasonsKnown.includes(dated) ? dated : 'active';
}

/** The reasons that a value is a range or unknown. */
export function certainty(known: Known, kind: ReadingKind, interval: Interval): Reason[] {
  if (known.status === 'unknown') return [{ why: 'unknown-reading', kind, cause: known.why }];
  const ownReadings = known.light?.ownReadings ?? 0;
  return interval.high - interval.low > 1
    ? [
        {
          why: 'uncertain-reading',
          kind,
          from: known.from,
          takenOn: known.takenOn,
          ...(ownReadings > 0 ? { ownReadings } : {}),
        },
      ]
    : [];
}

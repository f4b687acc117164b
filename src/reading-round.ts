// A round of readings through one enclosure: in which order one walks, which readings its animals' targets ask for, which of them are due
// on a day and why, and which value deserves a second look before it is believed. Knows no score.

import type { PlainDate } from './calendar.ts';
import { daysBetween } from './calendar.ts';
import { MOIST_RETREAT } from './climate-needs.ts';
import type { Animal, FittingKind, Reading, ReadingKind, Setup } from './collection.ts';
import { isFitted, UV_LAMPS } from './collection.ts';
import { FRESH_DAYS, knownOf } from './evidence.ts';
import type { Targets, UvZone, UvZoneBand } from './species.ts';
import { aimedUvi, UV_RETREAT, uvCeiling, uvLowerEnd } from './uv-need.ts';

/** From the hot end to the cool end, then the light, the damp and the water: the way an arm with an instrument goes. */
export const WALKING_ORDER: readonly ReadingKind[] = [
  'hot-spot-surface',
  'warm-hide-floor',
  'warm-air',
  'cool-end-air',
  'night-air',
  'uvi-basking',
  'uvi-lowest',
  'humidity-day',
  'humidity-night',
  'humidity-retreat',
  'water',
  'water-depth',
];

/**
 * The band a reading should lie in, in its kept unit; null where there is no such end. `zones` are those of a UV index where sources put a
 * species in several; `servesAll` tells whether the band is right in each of them, or only covers them together.
 */
export type TargetBand = {
  low: number | null;
  high: number | null;
  zones?: { between: readonly UvZone[]; servesAll: boolean };
};

/** The bands that the targets of one animal set to readings; a kind without a target is absent. */
export function bandsOf(
  animal: Pick<Animal, 'lengthMm' | 'paleMorph'>,
  targets: Targets,
  uvZones: readonly UvZoneBand[],
): Map<ReadingKind, TargetBand> {
  const bands = new Map<ReadingKind, TargetBand>();
  const counts = (need: Targets['needsOff'][number]) => !targets.needsOff.includes(need);
  for (const { kind, low, high } of targets.temperatures) {
    if (kind !== 'body' && counts(kind === 'water' ? 'water' : 'heat')) bands.set(kind, { low, high });
  }
  const zones = targets.uv.zones.flatMap(({ zone }) => uvZones.filter((one) => one.zone === zone));
  if (counts('uv') && zones.length > 0) {
    const aimed = aimedUvi(zones, animal.paleMorph);
    const between = [...new Set(zones.map((one) => one.zone))];
    // Where the zones of its sources have nothing in common, a reading is held against all that any of them allows.
    bands.set('uvi-basking', {
      low: aimed?.low ?? Math.min(...zones.map(uvLowerEnd)),
      high: aimed?.high ?? Math.min(Math.max(...zones.map((one) => one.meanHigh)), uvCeiling(zones, animal.paleMorph)),
      ...(between.length > 1 ? { zones: { between, servesAll: aimed !== null } } : {}),
    });
    bands.set('uvi-lowest', { low: null, high: UV_RETREAT });
  }
  if (counts('humidity')) {
    const { day, night, moistRetreat } = targets.humidity;
    bands.set('humidity-day', day);
    if (night !== null) bands.set('humidity-night', night);
    if (moistRetreat === 'required') bands.set('humidity-retreat', { low: MOIST_RETREAT, high: null });
  }
  const depth = counts('water') ? (targets.water?.depth ?? null) : null;
  if (depth !== null) {
    const body = animal.lengthMm ?? targets.adultSize.highMm;
    bands.set('water-depth', {
      low: depth.timesBody === null ? depth.lowMm : depth.timesBody * body,
      high: depth.highMm,
    });
  }
  return bands;
}

/**
 * Why a reading should be taken: nothing is known, something that influences it or the box changed since, it is only an estimate, or it is
 * older than 30 days, after which the score widens its range.
 */
export type Due = 'never-read' | 'box-changed' | 'thing-changed' | 'said-unknown' | 'estimated' | 'old';

/**
 * Whether a kind is due in a set-up on a day, and why; null when a fresh reading holds, when there is nothing to hold an instrument to (a UV
 * index without a lamp, the air of a moist hide that is not there, water without a vessel), and in the dark of a hide that no light enters.
 */
export function dueOn(setup: Setup, kind: ReadingKind, on: PlainDate): Due | null {
  if (!isThere(setup, kind, on)) return null;
  const known = knownOf(setup, kind, on, on);
  const latest = latestOf(setup.readings, kind, on);
  if (known.status === 'known' && known.from === 'expected' && known.width === 0) return null;
  if (latest === null) return 'never-read';
  if (known.status === 'unknown') return known.why;
  if (known.from === 'expected') return latest.evidence === 'unknown' ? 'said-unknown' : 'thing-changed';
  if (known.from === 'estimated') return latest.evidence === 'measured' ? 'thing-changed' : 'estimated';
  return daysBetween(latest.takenOn, on) > FRESH_DAYS ? 'old' : null;
}

function isThere({ fittings }: Setup, kind: ReadingKind, on: PlainDate): boolean {
  const has = (...kinds: FittingKind[]) => fittings.some((one) => kinds.includes(one.kind) && isFitted(one, on));
  if (kind === 'uvi-basking' || kind === 'uvi-lowest') return has(...UV_LAMPS);
  if (kind === 'humidity-retreat') return has('moist-hide');
  return kind === 'water' || kind === 'water-depth' ? has('water-dish', 'pool') : true;
}

/** The latest reading of a kind up to a day, in whatever order they were entered; of one day the one entered last. Null without any. */
export function latestOf<One extends Pick<Reading, 'kind' | 'takenOn'>>(
  readings: readonly One[],
  kind: ReadingKind,
  on: PlainDate,
): One | null {
  return readings
    .filter((one) => one.kind === kind && one.takenOn <= on)
    .reduce<One | null>((newest, one) => (newest === null || one.takenOn >= newest.takenOn ? one : newest), null);
}

/** Why a value should be looked at again: hardly ever seen in an enclosure at all, or far from what was read before. */
export type ValueDoubt =
  | { doubt: 'rare'; low: number; high: number }
  | { doubt: 'far'; before: number; takenOn: PlainDate };

// What is hardly ever seen, and how far two readings rarely lie apart (kept units; of a UV index and a depth also a factor). Own
// assumptions, common practice without a source: they only ask for a second look and never refuse.
const rare: Record<ReadingKind, { low: number; high: number; apart: number; times: number }> = {
  'hot-spot-surface': { low: 18, high: 65, apart: 10, times: 1 },
  'warm-hide-floor': { low: 12, high: 45, apart: 8, times: 1 },
  'warm-air': { low: 10, high: 45, apart: 8, times: 1 },
  'cool-end-air': { low: 4, high: 38, apart: 8, times: 1 },
  'night-air': { low: 1, high: 34, apart: 8, times: 1 },
  water: { low: 3, high: 36, apart: 6, times: 1 },
  'uvi-basking': { low: 0, high: 12, apart: 1, times: 2 },
  'uvi-lowest': { low: 0, high: 2, apart: 0.5, times: 2 },
  'humidity-day': { low: 8, high: 100, apart: 30, times: 1 },
  'humidity-night': { low: 8, high: 100, apart: 30, times: 1 },
  'humidity-retreat': { low: 20, high: 100, apart: 30, times: 1 },
  'water-depth': { low: 2, high: 1500, apart: 30, times: 2 },
};

/** Whether a value (kept unit) deserves a second look, beside the reading before it if there is one; null when it does not. */
export function doubtOf(
  kind: ReadingKind,
  value: number,
  before: Pick<Reading, 'value' | 'takenOn'> | null,
): ValueDoubt | null {
  const { low, high, apart, times } = rare[kind];
  if (value < low || value > high) return { doubt: 'rare', low, high };
  const then = before?.value ?? null;
  if (before === null || then === null) return null;
  const isFar = Math.abs(value - then) > apart && Math.max(value, then) > times * Math.min(value, then);
  return isFar ? { doubt: 'far', before: then, takenOn: before.takenOn } : null;
}

// How far the targets of two species agree: the range that both share in each kind of temperature, in humidity, UV and room. Never judges
// whether two animals can share a box; they cannot.

import type { SpaceDimension, SpaceNeed } from './space.ts';
import { adultDemands, amountOf } from './space-demands.ts';
import type { CareLibrary, HumidityTarget, RuleSet, Species, TemperatureKind, TemperatureTarget } from './species.ts';
import { asksNothingOfAir, TEMPERATURE_KINDS } from './species.ts';

/** A range with its ends, in whatever unit the two share. */
export type Range = { low: number; high: number };

/** What two ranges share (its ends may be equal), or by how much they lie apart and whose is the lower; 'one-sided' when one has none. */
export type Overlap =
  | { status: 'common'; low: number; high: number }
  | { status: 'apart'; by: number; lower: 'a' | 'b' }
  | { status: 'one-sided'; has: 'a' | 'b' };

/** What two ranges share; null when neither is known. */
export function overlapOf(a: Range | null, b: Range | null): Overlap | null {
  if (a === null || b === null) return a === b ? null : { status: 'one-sided', has: a === null ? 'b' : 'a' };
  const low = Math.max(a.low, b.low);
  const high = Math.min(a.high, b.high);
  if (low <= high) return { status: 'common', low, high };
  return { status: 'apart', by: low - high, lower: a.high < b.low ? 'a' : 'b' };
}

/** One kind of temperature for both; `threatens` names those whose life is threatened by all that the other asks for. */
type TemperatureOverlap = {
  kind: TemperatureKind;
  a: TemperatureTarget | null;
  b: TemperatureTarget | null;
  overlap: Overlap;
  threatens: ('a' | 'b')[];
};

/** One direction of room for one adult of each (mm, m² for floor; null: nothing asked), and how often the larger holds the smaller. */
export type SpaceOverlap = {
  dimension: SpaceDimension;
  a: number | null;
  b: number | null;
  times: number | null;
};

/** Two species side by side. UV ranges run over the mean bands of every zone that a source puts the species in. */
export type SpeciesComparison = {
  temperatures: TemperatureOverlap[];
  humidity: { time: 'day' | 'night'; a: Range | null; b: Range | null; overlap: Overlap }[];
  uv: { a: Range | null; b: Range | null; overlap: Overlap | null };
  uvHours: Overlap;
  space: { a: SpaceNeed | null; b: SpaceNeed | null; directions: SpaceOverlap[] };
};

/** Compares the usual targets of two species, grown and in the active season, by the rule lists a keeper chose. The animal's own body is left out. */
export function compareSpecies(
  a: Species,
  b: Species,
  library: CareLibrary,
  ruleSets: readonly RuleSet[],
): SpeciesComparison {
  const [uvA, uvB] = [uvRange(a, library), uvRange(b, library)];
  const [spaceA, spaceB] = [adultDemands(a, ruleSets).wanted, adultDemands(b, ruleSets).wanted];
  return {
    temperatures: TEMPERATURE_KINDS.filter((kind) => kind !== 'body').flatMap((kind) => temperatureOf(kind, a, b)),
    humidity: (['day', 'night'] as const).flatMap((time) => {
      const [ofA, ofB] = [airOf(a.humidity, time), airOf(b.humidity, time)];
      const overlap = overlapOf(ofA, ofB);
      return overlap === null ? [] : [{ time, a: ofA, b: ofB, overlap }];
    }),
    uv: { a: uvA, b: uvB, overlap: overlapOf(uvA, uvB) },
    uvHours: overlapOf(a.uv.hours, b.uv.hours)!,
    space: {
      a: spaceA,
      b: spaceB,
      directions: (['length', 'floor', 'height'] as const).flatMap((dimension) => {
        const ofA = spaceA === null ? null : amountOf(spaceA, dimension);
        const ofB = spaceB === null ? null : amountOf(spaceB, dimension);
        if (ofA === null && ofB === null) return [];
        const times = ofA === null || ofB === null ? null : Math.max(ofA, ofB) / Math.min(ofA, ofB);
        return [{ dimension, a: ofA, b: ofB, times }];
      }),
    },
  };
}

function temperatureOf(kind: TemperatureKind, a: Species, b: Species): TemperatureOverlap[] {
  const [ofA, ofB] = [a, b].map((one) => one.temperatures.find((target) => target.kind === kind) ?? null) as [
    TemperatureTarget | null,
    TemperatureTarget | null,
  ];
  const overlap = overlapOf(ofA, ofB);
  if (overlap === null) return [];
  const threatens: ('a' | 'b')[] = [];
  if (overlap.status === 'apart') {
    const [lower, upper] = overlap.lower === 'a' ? [ofA!, ofB!] : [ofB!, ofA!];
    const upperIs = overlap.lower === 'a' ? 'b' : 'a';
    if (lower.criticalAbove) threatens.push(overlap.lower);
    if (upper.criticalBelow) threatens.push(upperIs);
  }
  return [{ kind, a: ofA, b: ofB, overlap, threatens }];
}

function airOf(humidity: HumidityTarget, time: 'day' | 'night'): Range | null {
  if (asksNothingOfAir(humidity)) return null;
  return time === 'night' ? (humidity.night ?? humidity.day) : humidity.day;
}

function uvRange({ uv }: Species, { uvZones }: CareLibrary): Range | null {
  const bands = uvZones.filter((band) => uv.zones.some(({ zone }) => zone === band.zone));
  if (bands.length === 0) return null;
  return {
    low: Math.min(...bands.map(({ meanLow }) => meanLow)),
    high: Math.max(...bands.map(({ meanHigh }) => meanHigh)),
  };
}

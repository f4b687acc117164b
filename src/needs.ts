// What a set-up is worth for each need of one animal: the value functions, their parts, and a reason for every point lost. Knows
// nothing of weights, caps, money or words.

import type { PlainDate } from './calendar.ts';
import { monthOf, monthOfYear } from './calendar.ts';
import type { Animal, Check, Fitting, ReadingKind, Setup } from './collection.ts';
import { HEATERS, influenceOf, isFitted, isGuarded, UV_LAMPS } from './collection.ts';
import type { Interval, Known } from './evidence.ts';
import { ESTIMATE_WIDTH, knownOf, overdueShare, usualAccuracy, valueRange, widen } from './evidence.ts';
import { SEVERE_BELOW } from './problem.ts';
import type { Silence } from './space.ts';
import { extentOf, judgeRules, MOST_BY_MINIMUM, spaceValue } from './space.ts';
import type {
  Celsius,
  Cited,
  Enrichment,
  HideZone,
  Need,
  RuleSet,
  SpaceRule,
  Targets,
  TemperatureKind,
  TemperatureTarget,
  UvZone,
  UvZoneBand,
} from './species.ts';
import { asksNothingOfAir, inSpan, isYoung } from './species.ts';

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
  | { why: 'unknown-reading'; kind: ReadingKind; cause: (Known & { status: 'unknown' })['why'] }
  | {
      why: 'uncertain-reading';
      kind: ReadingKind;
      from: 'measured' | 'estimated' | 'expected';
      takenOn: PlainDate | null;
      /** How many of the keeper's own readings of other lamps correct it; left out where none do. */
      ownReadings?: number;
    }
  | { why: 'no-heat-fitted'; kind: TemperatureKind; low: number; high: number }
  | { why: 'no-uv-fitted'; required: boolean }
  | { why: 'uv-below'; reading: number; wanted: number; zones: UvZone[] }
  | { why: 'uv-above'; reading: number; ceiling: number; zones: UvZone[] }
  | { why: 'uv-zone-disputed'; zones: UvZone[] }
  | { why: 'uv-lamp-past-life'; overdueMonths: number }
  | { why: 'uv-no-retreat'; reading: number | null }
  | { why: 'uv-hours'; hours: number; low: number; high: number }
  | { why: 'uv-hours-unknown' }
  | {
      why: 'humidity-outside';
      time: 'day' | 'night';
      side: 'below' | 'above';
      reading: number;
      low: number;
      high: number;
    }
  | { why: 'no-moist-retreat' }
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
  /** By its value alone the part would be severe, but nobody can cite the target it was held against. */
  | { why: 'severe-from-memory' };

/** One part of a need: its value, whether it is severe or merely unknown, why it is below 100, and the target it was held against. */
type Part = Interval & { severe: boolean; unknown: boolean; reasons: Reason[]; cited: Cited | null };

/** What a need is judged from: its parts (V is the lowest), or that it has no target or does not count now. */
export type NeedJudgement = { status: 'judged'; parts: Part[] } | { status: 'no-target' } | { status: 'off' };

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
/**
 * The warmest that any amphibian is held for good, in degrees Celsius, and where that is set: for heat-sensitive tropical ones by law, and
 * no frog or salamander of the library has a target above it.
 */
export const AMPHIBIAN_LIMIT: { celsius: number } & Cited = {
  celsius: 26,
  source: 'at-amphibian-climate',
  grade: 'agreed-practice',
};
/** Animals of one enclosure are alike enough while the shortest has at least this share of the longest (common practice, no source). */
const ALIKE_IN_SIZE = 0.5;
/** Up to this UVI a place counts as away from the light (common practice, no source). */
export const UV_RETREAT = 0.2;

/** The least humidity of a moist hide, % (common practice, no source). */
export const MOIST_RETREAT = 70;

/** Under this share of the space asked for no gradient of heat fits, whatever is fitted (common practice, no source). */
const LEAST_ROOM = 1 / 3;

const full: Interval = { low: 100, high: 100, best: 100 };
const nothing: Interval = { low: 0, high: 0, best: 0 };

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

/** Value of a temperature against its own kind's band: 100 inside, falling in a line to 0 at the tolerance outside. */
export function temperatureValue<K extends TemperatureKind>(
  celsius: Celsius<K>,
  target: { low: Celsius<NoInfer<K>>; high: Celsius<NoInfer<K>>; toleranceBelow: number; toleranceAbove: number },
): number {
  return bandValue(celsius, target.low, target.high, target.toleranceBelow, target.toleranceAbove);
}

/**
 * Value of the highest reachable UVI for one zone: 0 at 0, 90 at the lower end of the zone's mean band (zone 1: at its published median,
 * 0.35), 100 from the middle of the mean band to its upper end, 80 at the recorded ceiling, 0 from one and a half times the ceiling. 90 and
 * 100 follow the ledger's scoring defaults; 80 and the fall beyond are common practice, no source. A pale animal's ceiling is half (from
 * memory).
 */
export function uvValue(uvi: number, zone: UvZoneBand, ceiling: number): number {
  const lower = uvLowerEnd(zone);
  const middle = Math.max(lower + 0.05, (zone.meanLow + zone.meanHigh) / 2);
  const top = Math.max(ceiling, middle);
  const bandEnd = Math.min(Math.max(zone.meanHigh, middle), top);
  return interpolate(
    [
      [0, 0],
      [lower, 90],
      [middle, 100],
      [bandEnd, 100],
      [top, top > bandEnd ? 80 : 100],
      [top * 1.5, 0],
    ],
    uvi,
  );
}

/** The UVI from which a zone counts as reached: the lower end of its mean band, or its median where the band starts at 0. */
export function uvLowerEnd(zone: UvZoneBand): number {
  return zone.meanLow > 0 ? zone.meanLow : (zone.median ?? zone.meanHigh / 2);
}

/** The lowest recorded ceiling of some zones, halved for a pale animal (from memory); infinite without zones. */
export function uvCeiling(bands: readonly UvZoneBand[], pale: boolean): number {
  return Math.min(...bands.flatMap((band) => band.ceilings.map((one) => one.uvi))) * (pale ? 0.5 : 1);
}

/**
 * The UVI that is right in every zone that sources put an animal in: from the highest of their lower ends to their lowest ceiling. Null when
 * there is no zone, or they have nothing in common.
 */
export function rightUvi(bands: readonly UvZoneBand[], pale: boolean): { low: number; high: number } | null {
  const [low, high] = [Math.max(...bands.map(uvLowerEnd)), uvCeiling(bands, pale)];
  return bands.length > 0 && high > low ? { low, high } : null;
}

/** Judges one need of one animal. */
export function judgeNeed(need: Need, judging: Judging): NeedJudgement {
  if (judging.targets.needsOff.includes(need)) return { status: 'off' };
  const parts = judges[need](judging);
  return parts.length === 0 ? { status: 'no-target' } : { status: 'judged', parts };
}

const judges: Record<Need, (judging: Judging) => Part[]> = {
  safety: judgeSafety,
  heat: judgeHeat,
  uv: judgeUv,
  humidity: judgeHumidity,
  space: judgeSpace,
  hides: judgeHides,
  enrichment: judgeEnrichment,
  water: judgeWater,
};

function part(
  interval: Interval,
  reasons: Reason[],
  cited: Cited | null,
  flags: { severe?: boolean; unknown?: boolean } = {},
): Part {
  // Written out, because copying by spread is what planning would spend most of its time on.
  const { low, high, best } = interval;
  return { low, high, best, reasons, cited, severe: flags.severe ?? false, unknown: flags.unknown ?? false };
}

// A value from memory alone never makes a need severe: the part says instead that it would, so that its target is checked.
function isSevere(wouldBe: boolean, cited: Cited, reasons: Reason[], { fromMemory }: Judging): boolean {
  if (!wouldBe || !fromMemory.has(cited.source)) return wouldBe;
  reasons.push({ why: 'severe-from-memory' });
  return false;
}

function bandValue(reading: number, low: number, high: number, toleranceBelow: number, toleranceAbove: number): number {
  const outside =
    reading < low ? (low - reading) / toleranceBelow : reading > high ? (reading - high) / toleranceAbove : 0;
  return 100 * Math.max(0, 1 - outside);
}

function activeFittings({ setup, on }: Judging): Fitting[] {
  return setup.fittings.filter((one) => isFitted(one, on));
}

function outdoorRun({ setup, targets, on }: Judging): Fitting | null {
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

// What is known of warmth or damp in this month's season: a reading taken in another season says nothing of this one, and what heaters
// are set to bring, or an adjustment is predicted to, is meant for the active season.
function knownInSeason(judging: Judging, kind: ReadingKind): Known {
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

function certainty(known: Known, kind: ReadingKind, interval: Interval): Reason[] {
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

function judgeHeat(judging: Judging): Part[] {
  const run = outdoorRun(judging);
  const active = activeFittings(judging);
  const heats = (kind: ReadingKind) =>
    active.some((one) => HEATERS.has(one.kind) && influenceOf(one, active).includes(kind));
  const targets = judging.targets.temperatures.filter((one) => one.kind !== 'body' && one.kind !== 'water');
  if (run !== null && targets.length > 0) {
    // In season the weather and the animal's own choice of sun and shade set the temperature; the ledger cannot know it.
    const guess = widen({ low: 75, high: 75, best: 75 }, ESTIMATE_WIDTH);
    return [part(guess, [{ why: 'outdoors-now' }], judging.targets.outdoors)];
  }
  return targets.flatMap((target): Part[] => {
    const { kind } = target;
    const known = knownInSeason(judging, kind);
    const warmKind = kind === 'hot-spot-surface' || kind === 'warm-hide-floor' || kind === 'warm-air';
    if (known.status === 'unknown' && warmKind && !heats(kind) && judging.targets.season === 'active') {
      return [
        part(nothing, [{ why: 'no-heat-fitted', kind, low: target.low, high: target.high }], target, {
          severe: target.criticalBelow,
        }),
      ];
    }
    const nothingHeats = warmKind && judging.targets.season === 'active' && !heats(kind);
    return [judgeTemperature(target, known, kind, judging, nothingHeats)];
  });
}

// `nothingHeats`: it is too cold because nothing that heats is fitted, which is severe whoever says how warm it should be.
function judgeTemperature(
  target: TemperatureTarget,
  known: Known,
  kind: ReadingKind,
  judging: Judging,
  nothingHeats = false,
): Part {
  const strict = known.status === 'known' && known.value > target.high && target.toleranceAbove <= 1;
  const interval = valueRange(
    known,
    (reading) => bandValue(reading, target.low, target.high, target.toleranceBelow, target.toleranceAbove),
    strict,
  );
  const reasons = certainty(known, kind, interval);
  if (known.status === 'unknown') return part(interval, reasons, target, { unknown: true });
  const side = known.value < target.low ? 'below' : known.value > target.high ? 'above' : null;
  if (side !== null && interval.best < 100) {
    reasons.unshift({
      why: 'temperature-outside',
      kind: target.kind,
      side,
      reading: known.value,
      low: target.low,
      high: target.high,
    });
  }
  const critical = side === 'below' ? target.criticalBelow : side === 'above' ? target.criticalAbove : false;
  const wouldBe = critical && interval.best < SEVERE_BELOW;
  if (wouldBe && side === 'above' && isBeyondLimit(known, judging))
    return part(interval, reasons, AMPHIBIAN_LIMIT, { severe: true });
  if (wouldBe && side === 'below' && nothingHeats) return part(interval, reasons, target, { severe: true });
  return part(interval, reasons, target, { severe: isSevere(wouldBe, target, reasons, judging) });
}

// Beyond what the law allows amphibians by as much as makes a strict target worth nothing.
function isBeyondLimit(known: Known, { targets }: Judging): boolean {
  if (targets.group !== 'frog' && targets.group !== 'salamander') return false;
  const { celsius } = AMPHIBIAN_LIMIT;
  return valueRange(known, (reading) => bandValue(reading, 0, celsius, 1, 1), true).best < SEVERE_BELOW;
}

function judgeUv(judging: Judging): Part[] {
  const { targets, setup, on, knownOn, animal } = judging;
  const zones = targets.uv.zones.map((one) => ({
    cited: one,
    band: judging.uvZones.find((band) => band.zone === one.zone)!,
  }));
  if (zones.length === 0) return [];
  if (outdoorRun(judging) !== null) return [part(full, [{ why: 'outdoors-now' }], targets.outdoors)];
  const start = { required: 0, 'optional-response-found': 40, 'optional-no-response-shown': 70 }[targets.uv.need];
  const lamps = activeFittings(judging).filter((one) => UV_LAMPS.has(one.kind));
  // What is never to be given a lamp loses nothing by having none; one that hangs there all the same is judged.
  if (lamps.length === 0 && targets.neverPropose.includes('uv-lamp')) return [];
  if (lamps.length === 0) {
    const required = targets.uv.need === 'required';
    const reasons: Reason[] = [{ why: 'no-uv-fitted', required }];
    const severe = isSevere(required, targets.uv.needCited, reasons, judging);
    return [part({ low: start, high: start, best: start }, reasons, targets.uv.needCited, { severe })];
  }
  return [reachPart(), retreatPart(), hoursPart()];

  function reachPart(): Part {
    const known = knownOf(setup, 'uvi-basking', on, knownOn);
    const names = zones.map((one) => one.band.zone);
    const isFirm = ({ cited: one }: { cited: Cited }) => !judging.fromMemory.has(one.source);
    const { cited } = zones.find(isFirm) ?? zones[0]!;
    const measuredOn =
      known.status !== 'known' ? null : known.from === 'measured' ? known.takenOn : (known.light?.readOn ?? null);
    const overdue = overdueShare(lamps, on, measuredOn);
    // A lamp is held against the ceiling as it is when new, against the floor as it has aged.
    const highest = known.status === 'known' ? Math.max(known.value, known.highest ?? 0) : 0;
    const scores = zones.flatMap(({ band, cited: one }) =>
      band.ceilings.map(({ uvi }) => {
        const ceiling = animal.paleMorph ? uvi / 2 : uvi;
        return {
          ceiling,
          lower: uvLowerEnd(band),
          interval: rangeUpTo(highest, known, (reading) => uvValue(reading, band, ceiling)),
          cited: one,
        };
      }),
    );
    const ceiling = Math.min(...scores.map((one) => one.ceiling));
    const lower = Math.min(...scores.map((one) => one.lower));
    let interval: Interval = {
      low: Math.min(...scores.map((one) => one.interval.low)),
      high: Math.max(...scores.map((one) => one.interval.high)),
      best: scores.reduce((sum, one) => sum + one.interval.best, 0) / scores.length,
    };
    const reasons = certainty(known, 'uvi-basking', interval);
    if (overdue > 0) {
      const guess = widen(interval, known.status === 'known' ? Math.max(0, ESTIMATE_WIDTH - known.width) : 0);
      interval = { ...guess, low: guess.low * Math.max(0, 1 - overdue), best: Math.min(interval.best, guess.high) };
      const life = Math.min(...lamps.map((one) => one.lifeMonths ?? Number.POSITIVE_INFINITY));
      reasons.unshift({ why: 'uv-lamp-past-life', overdueMonths: overdue * life });
    }
    if (known.status === 'unknown') return part(lift(interval), reasons, cited, { unknown: true });
    if (new Set(names).size > 1 && interval.high - interval.low > 1)
      reasons.push({ why: 'uv-zone-disputed', zones: names });
    if (known.value < lower) reasons.unshift({ why: 'uv-below', reading: known.value, wanted: lower, zones: names });
    if (highest > ceiling) {
      // Too much is life-critical for every species, also where UV is optional, so it is not lifted.
      reasons.unshift({ why: 'uv-above', reading: highest, ceiling, zones: names });
      return part(interval, reasons, cited, { severe: severeFor(interval.best < SEVERE_BELOW, beyondEveryZone) });
    }
    const wouldBe = targets.uv.need === 'required' && interval.best < SEVERE_BELOW;
    const severe =
      wouldBe &&
      isSevere(
        severeFor(wouldBe, () => false),
        targets.uv.needCited,
        reasons,
        judging,
      );
    return part(lift(interval), reasons, cited, { severe });

    // Only the zones that somebody can cite make it severe; where none is, `anyhow` says whether it would be in any zone.
    function severeFor(wouldBe: boolean, anyhow: () => boolean): boolean {
      if (!wouldBe) return false;
      const firm = scores.filter(isFirm);
      const stays =
        firm.length === 0
          ? anyhow()
          : firm.reduce((sum, one) => sum + one.interval.best, 0) / firm.length < SEVERE_BELOW;
      if (!stays) reasons.push({ why: 'severe-from-memory' });
      return stays;
    }

    function beyondEveryZone(): boolean {
      return judging.uvZones.every((band) =>
        band.ceilings.every(({ uvi }) => {
          const most = animal.paleMorph ? uvi / 2 : uvi;
          return rangeUpTo(highest, known, (reading) => uvValue(reading, band, most)).best < SEVERE_BELOW;
        }),
      );
    }
  }

  // The worse of what an aged and what a new lamp is worth, once a new one is beyond the best.
  function rangeUpTo(highest: number, known: Known, valueAt: (reading: number) => number): Interval {
    const range = asRead(known, valueAt);
    if (known.status === 'unknown' || highest <= known.value || valueAt(highest) >= valueAt(known.value)) return range;
    const grown = { ...known, value: highest, accuracy: (known.accuracy * highest) / Math.max(known.value, 1e-9) };
    const atHighest = asRead(grown, valueAt);
    return {
      low: Math.min(range.low, atHighest.low),
      high: Math.min(range.high, atHighest.high),
      best: Math.min(range.best, atHighest.best),
    };
  }

  // A meter that may be off by more than is usual makes the range wider; it never makes too little light count as enough.
  function asRead(known: Known, valueAt: (reading: number) => number): Interval {
    const range = valueRange(known, valueAt);
    if (known.status === 'unknown' || known.from === 'expected') return range;
    const usual = usualAccuracy('uvi-basking', known.value);
    if (known.accuracy <= usual) return range;
    const { best } = valueRange({ ...known, accuracy: usual }, valueAt);
    return { low: Math.min(best, valueRange(known, valueAt, true).low), high: range.high, best };
  }

  function lift(interval: Interval): Interval {
    const lifted = (value: number) => start + ((100 - start) * value) / 100;
    return { low: lifted(interval.low), high: lifted(interval.high), best: lifted(interval.best) };
  }

  // Near 0 is taken as up to UVI 0.2; 0.6 everywhere is a fault (common practice, no source). A solid hide is dark inside.
  function retreatPart(): Part {
    const known = knownOf(setup, 'uvi-lowest', on, knownOn);
    const cited = targets.uv.needCited;
    if (known.status === 'known') {
      const interval = valueRange(known, (reading) =>
        interpolate(
          [
            [UV_RETREAT, 100],
            [0.6, 0],
          ],
          reading,
        ),
      );
      const reasons: Reason[] = interval.best < 100 ? [{ why: 'uv-no-retreat', reading: known.value }] : [];
      return part(interval, [...reasons, ...certainty(known, 'uvi-lowest', interval)], cited, {
        severe: interval.best < SEVERE_BELOW,
      });
    }
    const covers = (one: Fitting) =>
      one.kind === 'hide' ||
      one.kind === 'moist-hide' ||
      one.kind === 'dry-dock' ||
      (one.kind === 'plants' && (one.place === 'under-water' || one.place === 'high'));
    if (activeFittings(judging).some(covers)) return part(full, [], cited);
    // Of a compact lamp without any figure nobody knows that it gives UV at all.
    if (lamps.every((one) => one.kind === 'uv-compact' && one.lamp === null)) {
      const reason: Reason = { why: 'unknown-reading', kind: 'uvi-lowest', cause: known.why };
      return part({ low: 0, high: 100, best: 50 }, [reason], cited, { unknown: true });
    }
    return part(nothing, [{ why: 'uv-no-retreat', reading: null }], cited, { severe: true });
  }

  function hoursPart(): Part {
    const { low, high } = targets.uv.hours;
    const hours = lamps.map((one) => one.hoursPerDay).filter((one) => one !== null);
    if (hours.length === 0)
      return part({ low: 0, high: 100, best: 50 }, [{ why: 'uv-hours-unknown' }], targets.uv.hours, { unknown: true });
    const longest = Math.max(...hours);
    const value = bandValue(longest, low, high, 4, 4);
    const reasons: Reason[] = value < 100 ? [{ why: 'uv-hours', hours: longest, low, high }] : [];
    const exact = { low: value, high: value, best: value };
    // Too few hours leave an animal no worse off than no lamp would; too many are a fault of their own.
    return part(longest > high ? exact : lift(exact), reasons, targets.uv.hours);
  }
}

function judgeHumidity(judging: Judging): Part[] {
  const { humidity } = judging.targets;
  if (asksNothingOfAir(humidity)) return [];
  if (outdoorRun(judging) !== null)
    return [part(widen({ low: 75, high: 75, best: 75 }, ESTIMATE_WIDTH), [{ why: 'outdoors-now' }], humidity)];
  const times = [
    { time: 'day' as const, kind: 'humidity-day' as const, band: humidity.day },
    ...(humidity.night === null
      ? []
      : [{ time: 'night' as const, kind: 'humidity-night' as const, band: humidity.night }]),
  ];
  const parts = times.map(({ time, kind, band }) => {
    const known = knownInSeason(judging, kind);
    const interval = valueRange(known, (reading) =>
      bandValue(reading, band.low, band.high, humidity.toleranceBelow, humidity.toleranceAbove),
    );
    const reasons = certainty(known, kind, interval);
    if (known.status === 'unknown') return part(interval, reasons, humidity, { unknown: true });
    const side = known.value < band.low ? 'below' : known.value > band.high ? 'above' : null;
    if (side !== null && interval.best < 100)
      reasons.unshift({ why: 'humidity-outside', time, side, reading: known.value, low: band.low, high: band.high });
    const wouldBe = humidity.lifeCritical && interval.best < SEVERE_BELOW;
    return part(interval, reasons, humidity, { severe: isSevere(wouldBe, humidity, reasons, judging) });
  });
  if (humidity.moistRetreat === 'required') {
    const present = activeFittings(judging).some((one) => one.kind === 'moist-hide');
    // Without the retreat the need is at most 40: a shortfall, yet ambient humidity still counts (common practice, no source).
    parts.push(present ? retreat() : part({ low: 40, high: 40, best: 40 }, [{ why: 'no-moist-retreat' }], humidity));
  }
  return parts;

  // A moist hide counts as moist until its air is measured; from 70 % RH it is (common practice, no source).
  function retreat(): Part {
    const known = knownOf(judging.setup, 'humidity-retreat', judging.on, judging.knownOn);
    if (known.status === 'unknown') return part(full, [], humidity);
    const interval = valueRange(known, (reading) => bandValue(reading, MOIST_RETREAT, 100, 30, 30));
    const reasons: Reason[] =
      interval.best < 100 ? [{ why: 'retreat-dry', reading: known.value, wanted: MOIST_RETREAT }] : [];
    return part(interval, [...reasons, ...certainty(known, 'humidity-retreat', interval)], humidity);
  }
}

function judgeSpace(judging: Judging): Part[] {
  const { targets, animal, setup, on, ruleSets } = judging;
  const run = outdoorRun(judging)?.outdoors ?? null;
  const there = extentOf(setup.enclosure, run);
  const asking = { species: targets, animal, occupants: setup.occupants, there, ruleSets, on };
  const verdict = judgeRules(asking);
  if (verdict.status === 'no-rule') return [];
  const silences = verdict.silent.map(({ rule, asked }): Reason => ({ why: 'space-rule-silent', rule, asked }));
  const reasons: Reason[] = animal.lengthMm === null ? [{ why: 'length-unknown' }] : [];
  if (verdict.status === 'silent') {
    const high = spaceValue(verdict.highRatio);
    const interval = { low: 0, high, best: high / 2 };
    return [part(interval, [...reasons, ...silences], verdict.silent[0]!.rule, { unknown: true })];
  }
  const { strictest, lowRatio, highRatio, grownRatio, onlyMinimum } = verdict;
  const { rule, needed, short } = strictest;
  const most = onlyMinimum ? MOST_BY_MINIMUM : 100;
  const value = Math.min(most, spaceValue(lowRatio));
  const high = Math.min(most, spaceValue(highRatio));
  const low = Math.min(value, high);
  if (value < 100 && !(onlyMinimum && value === most)) {
    reasons.push({
      why: 'space-short',
      rule,
      neededLengthMm: needed.lengthMm,
      neededFloorM2: needed.floorM2,
      neededHeightMm: targets.habit === 'climbing' ? needed.heightMm : null,
      short,
      ratio: lowRatio,
    });
  }
  if (onlyMinimum) reasons.push({ why: 'space-minimum-only', rule });
  if (low >= spaceValue(1) && grownRatio < 1) reasons.push({ why: 'space-will-be-short', ratio: grownRatio });
  reasons.push(...silences);
  const tooSmall = highRatio < LEAST_ROOM;
  const severe = tooSmall && (isTooSmallByOthers() || isSevere(true, rule, reasons, judging));
  return [part({ low, high, best: (low + high) / 2 }, reasons, rule, { severe, unknown: animal.lengthMm === null })];

  // Where a rule from memory is the strictest, the others still decide whether it is severe.
  function isTooSmallByOthers(): boolean {
    if (!judging.fromMemory.has(rule.source)) return false;
    const space = targets.space.filter((one) => !judging.fromMemory.has(one.source));
    const others = judgeRules({ ...asking, species: { ...targets, space } });
    return others.status === 'judged' && others.highRatio < LEAST_ROOM;
  }
}

function judgeHides(judging: Judging): Part[] {
  const { zones } = judging.targets.hides;
  if (zones.length === 0) return [];
  const want = Math.max(1, judging.setup.occupants.length);
  const hides = activeFittings(judging).filter(
    (one) => one.kind === 'hide' || one.kind === 'moist-hide' || one.kind === 'plants',
  );
  const servedBy = (zone: HideZone) =>
    hides.filter((one) => one.place === zone && (one.kind !== 'plants' || zone === 'high' || zone === 'under-water'))
      .length;
  const missing = zones.filter((zone) => servedBy(zone) < want);
  const served = zones.length - missing.length;
  const value = missing.length === 0 ? 100 : [0, 45, 85, 85][Math.min(served, 3)]!;
  const reasons: Reason[] = missing.map((zone) => ({ why: 'hide-missing', zone, have: servedBy(zone), want }));
  return [part({ low: value, high: value, best: value }, reasons, judging.targets.hides)];
}

const enrichmentFittings: Partial<Record<Enrichment, Fitting['kind'][]>> = {
  climb: ['branches', 'perch', 'shelf'],
  dig: ['deep-substrate'],
  feeding: ['feeding-toy'],
  novelty: ['novelty'],
  swim: ['pool'],
};

function judgeEnrichment(judging: Judging): Part[] {
  const { kinds } = judging.targets.enrichment;
  if (kinds.length === 0) return [];
  const active = activeFittings(judging);
  const missing = kinds.filter((kind) =>
    kind === 'choice' ? !hasChoice(judging) : !active.some((one) => enrichmentFittings[kind]?.includes(one.kind)),
  );
  const value = missing.length === 0 ? 100 : [0, 35, 60, 80, 92, 92][kinds.length - missing.length]!;
  const reasons: Reason[] = missing.map((kind) => ({ why: 'enrichment-missing', kind }));
  return [part({ low: value, high: value, best: value }, reasons, judging.targets.enrichment)];
}

// Two usable microclimates: a warm place and a cool one (for a swimmer, the water) that are both at least half right.
function hasChoice(judging: Judging): boolean {
  if (outdoorRun(judging) !== null) return true;
  const usable = (kinds: TemperatureKind[]) =>
    judging.targets.temperatures.some((target) => {
      if (!kinds.includes(target.kind) || target.kind === 'body') return false;
      const known = knownInSeason(judging, target.kind);
      return known.status === 'known' && judgeTemperature(target, known, target.kind, judging).best >= 50;
    });
  return usable(['hot-spot-surface', 'warm-hide-floor', 'warm-air']) && usable(['cool-end-air', 'water']);
}

function judgeSafety(judging: Judging): Part[] {
  const { targets, setup } = judging;
  const active = activeFittings(judging);
  const critical = { severe: true };
  const parts: Part[] = [];
  const regulated = (heater: Fitting) => active.some((one) => one.kind === 'thermostat' && one.regulates === heater.id);
  const guarded = (heater: Fitting) => heater.outOfReach || isGuarded(heater, active);
  for (const one of active) {
    if (!HEATERS.has(one.kind)) continue;
    if (one.kind === 'unknown-heater') {
      parts.push(
        part({ low: 0, high: 100, best: 50 }, [{ why: 'heater-unknown', fitting: one.name }], BURNS, { unknown: true }),
      );
    } else if (one.kind === 'rock-heater')
      parts.push(part(nothing, [{ why: 'rock-heater', fitting: one.name }], BURNS, critical));
    else if (one.kind === 'basking-lamp') parts.push(...unmeasuredLamp(one));
    else if (one.kind !== 'water-heater' && !regulated(one)) {
      // A water heater carries its own thermostat as a rule (common practice, no source).
      parts.push(part(nothing, [{ why: 'heater-unregulated', fitting: one.name }], BURNS, critical));
    }
    const hot = one.kind === 'basking-lamp' || one.kind === 'ceramic-heater' || one.kind === 'radiant-panel';
    if (hot && !guarded(one))
      parts.push(part(nothing, [{ why: 'heater-unguarded', fitting: one.name }], BURNS, critical));
  }
  if (setup.occupants.length > targets.grouping.atMost) {
    const reason: Reason = { why: 'too-many-together', have: setup.occupants.length, atMost: targets.grouping.atMost };
    parts.push(part(nothing, [reason], targets.grouping, critical));
  }
  if (setup.occupants.some((one) => one.speciesId !== targets.id)) {
    parts.push(part(nothing, [{ why: 'mixed-species' }], targets.grouping, critical));
  }
  parts.push(...malesTogether(), ...sizesTogether());
  const answerTo = (check: Check) => setup.answers.find((one) => one.check === check)?.answer ?? 'unknown';
  for (const check of ['escape-proof', 'nothing-toxic'] as const) {
    const answer = answerTo(check);
    if (answer === 'no')
      parts.push(part(nothing, [{ why: 'check-failed', check, critical: true }], PRACTICE, critical));
    if (answer === 'unknown') {
      parts.push(
        part({ low: 0, high: 100, best: 50 }, [{ why: 'check-unknown', check, critical: true }], PRACTICE, {
          unknown: true,
        }),
      );
    }
  }
  return [...parts, ...harmfulLight(), otherChecks()];

  // Grown males of some species fight. Whose sex nobody knows is a question to answer, not a fault.
  function malesTogether(): Part[] {
    const { atMostMales: atMost } = targets.grouping;
    if (atMost === null || setup.occupants.length < 2) return [];
    const grown = setup.occupants.filter((one) => one.speciesId === targets.id && !isYoung(one, targets));
    const males = grown.filter((one) => one.sex === 'male').length;
    const unknown = grown.filter((one) => one.sex === 'unknown').length;
    if (males > atMost)
      return [part(nothing, [{ why: 'too-many-males', have: males, atMost }], targets.grouping, critical)];
    if (males + unknown <= atMost) return [];
    const asked: Reason = { why: 'sexes-unknown', males, unknown, atMost };
    return [part({ low: 0, high: 100, best: 50 }, [asked], targets.grouping, { unknown: true })];
  }

  // Animals of one species that differ much in size bully, starve or eat one another.
  function sizesTogether(): Part[] {
    const lengths = setup.occupants
      .filter((one) => one.speciesId === targets.id)
      .flatMap((one) => (one.lengthMm === null ? [] : [one.lengthMm]));
    const [shortestMm, longestMm] = [Math.min(...lengths), Math.max(...lengths)];
    return lengths.length < 2 || shortestMm >= longestMm * ALIKE_IN_SIZE
      ? []
      : [part(nothing, [{ why: 'sizes-too-unlike', shortestMm, longestMm }], PRACTICE, critical)];
  }

  // A fixed basking lamp needs no thermostat as long as the place under it has been measured.
  function unmeasuredLamp(lamp: Fitting): Part[] {
    if (regulated(lamp) || targets.season !== 'active') return [];
    const known = knownInSeason(judging, 'hot-spot-surface');
    if (known.status === 'known') return [];
    const whole = { low: 0, high: 100, best: 50 };
    return [part(whole, [{ why: 'basking-unmeasured', fitting: lamp.name }], BURNS, { unknown: true })];
  }

  // Too much UV, or none of it to escape to, threatens the life of any species, also of one that needs none.
  function harmfulLight(): Part[] {
    return judgeUv(judging).flatMap((one) => {
      const harm = one.reasons.filter(({ why }) => why === 'uv-above' || why === 'uv-no-retreat');
      return one.severe && harm.length > 0 ? [part(nothing, harm, one.cited, critical)] : [];
    });
  }

  function otherChecks(): Part {
    const wet = active.some((one) => ['water-dish', 'pool', 'mister', 'water-heater', 'filter'].includes(one.kind));
    // What lives in water alone has nowhere to climb out to.
    const mayDrown = targets.habit !== 'aquatic' || (targets.water?.features.includes('dry-dock') ?? false);
    const asked: Check[] = [
      ...(active.some((one) => one.kind === 'thermostat') ? (['probe-in-place'] as const) : []),
      ...(active.some((one) => one.watts !== null)
        ? (['dark-at-night', 'residual-current-device', 'smoke-alarm'] as const)
        : []),
      ...(wet && active.some((one) => one.watts !== null) ? (['drip-loop'] as const) : []),
      ...(wet && mayDrown ? (['easy-exit'] as const) : []),
    ];
    if (asked.length === 0) return part(full, [], null);
    const count = (answer: string) => asked.filter((check) => answerTo(check) === answer).length;
    const worth = (passed: number) => 60 + (40 * passed) / asked.length;
    const [low, high] = [worth(count('yes')), worth(count('yes') + count('unknown'))];
    const reasons = asked.flatMap((check): Reason[] => {
      const answer = answerTo(check);
      return answer === 'yes'
        ? []
        : [{ why: answer === 'no' ? 'check-failed' : 'check-unknown', check, critical: false }];
    });
    return part({ low, high, best: (low + high) / 2 }, reasons, PRACTICE);
  }
}

function judgeWater(judging: Judging): Part[] {
  const { water, temperatures } = judging.targets;
  if (water === null) return [];
  const active = activeFittings(judging);
  const has = (kind: Fitting['kind']) => active.some((one) => one.kind === kind);
  const answerTo = (check: Check) => judging.setup.answers.find((one) => one.check === check)?.answer ?? 'unknown';
  const fromAnswer = (check: Check) => ({ yes: true, no: false, unknown: null })[answerTo(check)];
  const present: Record<(typeof water.features)[number], boolean | null> = {
    'bathing-dish': has('water-dish') || has('pool'),
    'swimming-water': has('pool'),
    filter: has('filter'),
    'dry-dock': has('dry-dock'),
    'easy-exit': fromAnswer('easy-exit'),
    'quality-tested': fromAnswer('water-quality-tested'),
  };
  const total = water.features.length;
  const passed = water.features.filter((one) => present[one] === true).length;
  const open = water.features.filter((one) => present[one] === null).length;
  const noWater = water.features.some(
    (one) => (one === 'bathing-dish' || one === 'swimming-water') && present[one] === false,
  );
  const reasons = water.features.flatMap((feature): Reason[] =>
    present[feature] === true ? [] : [{ why: 'water-feature-missing', feature }],
  );
  const share = (count: number) => (noWater ? 0 : (100 * count) / Math.max(1, total));
  const [low, high] = [share(passed), share(passed + open)];
  const parts = [
    part({ low, high, best: (low + high) / 2 }, reasons, water, {
      severe: water.lifeCritical && noWater,
      unknown: open > 0 && low < SEVERE_BELOW,
    }),
  ];
  for (const target of temperatures) {
    if (target.kind !== 'water') continue;
    parts.push(
      judgeTemperature(target, knownOf(judging.setup, 'water', judging.on, judging.knownOn), 'water', judging),
    );
  }
  if (water.depth !== null && !noWater) parts.push(...depthPart(water.depth));
  return parts;

  function depthPart(depth: NonNullable<typeof water & object>['depth'] & object): Part[] {
    const body = judging.animal.lengthMm ?? judging.targets.adultSize.highMm;
    const leastMm = depth.timesBody === null ? depth.lowMm : depth.timesBody * body;
    if (leastMm === null) return [];
    const known = knownOf(judging.setup, 'water-depth', judging.on, judging.knownOn);
    const most = depth.highMm;
    const interval = valueRange(known, (reading) =>
      bandValue(reading, leastMm, most ?? Number.POSITIVE_INFINITY, leastMm, leastMm),
    );
    const why = certainty(known, 'water-depth', interval);
    if (known.status === 'unknown') return [part(interval, why, depth, { unknown: true })];
    if (interval.best < 100) why.unshift({ why: 'water-depth', reading: known.value, low: leastMm, high: most });
    return [part(interval, why, depth)];
  }
}

// How UV is judged: what the highest within reach is worth in each zone that a source puts the species in, the place near 0, and the hours.

import type { Fitting } from './collection.ts';
import { UV_LAMPS } from './collection.ts';
import type { Interval, Known } from './evidence.ts';
import { ESTIMATE_WIDTH, knownOf, lightBetween, overdueShare, usualAccuracy, valueRange, widen } from './evidence.ts';
import type { Judging, NeedPart, Reason } from './judging.ts';
import {
  activeFittings,
  bandValue,
  certainty,
  full,
  interpolate,
  isDangerous,
  isShort,
  nothing,
  part,
  runOutdoors,
} from './judging.ts';
import { LAMPS_DIFFER } from './light.ts';
import { SEVERE_BELOW } from './problem.ts';
import type { Cited, Targets, UvZoneBand } from './species.ts';

/** Up to this UVI a place counts as away from the light (common practice, no source). */
export const UV_RETREAT = 0.2;

/** This many times the recorded ceiling is worth nothing: far more than such animals were ever found in (common practice, no source). */
const FAR_OVER = 1.25;

/**
 * Value of the highest reachable UVI for one zone: 0 at 0, 90 at the lower end of the zone's mean band (zone 1: at its published median,
 * 0.35), 100 from the middle of the mean band to its upper end, 80 at the recorded ceiling, 0 from one and a quarter of the ceiling, which is
 * the most that was ever read where such animals live. 90 and 100 follow the ledger's scoring defaults; 80 and the fall beyond are common
 * practice, no source. A pale animal's ceiling is half (from memory).
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
      [top * FAR_OVER, 0],
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

// The UVI that is right in every zone that sources put an animal in: from the highest of their lower ends to their lowest ceiling. Null when
// there is no zone, or they have nothing in common.
function rightUvi(bands: readonly UvZoneBand[], pale: boolean): { low: number; high: number } | null {
  const [low, high] = [Math.max(...bands.map(uvLowerEnd)), uvCeiling(bands, pale)];
  return bands.length > 0 && high > low ? { low, high } : null;
}

/**
 * The one UVI range where an animal basks that serves every zone sources put it in: the mean bands where they overlap, else from the highest
 * lower end up to the highest mean band, and always so far below every ceiling that a lamp stronger than its class stays under it. A ceiling
 * is the highest reading from the field, never a target (Ferguson and others, 2010). Null when nothing is right in every zone.
 */
export function aimedUvi(bands: readonly UvZoneBand[], pale: boolean): { low: number; high: number } | null {
  const right = rightUvi(bands, pale);
  if (right === null) return null;
  const most = right.high * (1 - LAMPS_DIFFER);
  const high = Math.min(most, ...bands.map((one) => one.meanHigh));
  if (high > right.low) return { low: right.low, high };
  const apart = Math.min(most, Math.max(...bands.map((one) => one.meanHigh)));
  return apart > right.low ? { low: right.low, high: apart } : null;
}

/** Whether a thing is taken to hold a place away from the light, for a species of which some things are never proposed. */
export function isDark({ kind, place }: Fitting, neverPropose: Targets['neverPropose']): boolean {
  if (kind === 'hide' || kind === 'moist-hide' || kind === 'dry-dock') return true;
  const leafy = neverPropose.includes('solid-hide');
  return kind === 'plants' && (place === 'under-water' || place === 'high' || (place === 'cool' && leafy));
}

/** The parts of UV: the highest within reach, the place near 0, the hours. None for what is never to be given a lamp; what one does to it all the same is judged in safety. */
export function judgeUv(judging: Judging): NeedPart[] {
  return judging.targets.neverPropose.includes('uv-lamp') ? [] : judgeLight(judging);
}

/** The same for every species, also where it is not scored: what safety looks at, since light from anywhere can injure. */
export function judgeLight(judging: Judging): NeedPart[] {
  const { targets, setup, on, knownOn, animal } = judging;
  const zones = targets.uv.zones.map((one) => ({
    cited: one,
    band: judging.uvZones.find((band) => band.zone === one.zone)!,
  }));
  if (zones.length === 0) return [];
  if (runOutdoors(judging) !== null) return [part(full, [{ why: 'outdoors-now' }], targets.outdoors)];
  const start = { required: 0, 'optional-response-found': 40, 'optional-no-response-shown': 70 }[targets.uv.need];
  const lamps = activeFittings(judging).filter((one) => UV_LAMPS.has(one.kind));
  if (lamps.length === 0) {
    const read = knownOf(setup, 'uvi-basking', on, knownOn);
    // A meter is believed before a list of things: what it found comes from somewhere.
    if (read.status === 'known' && read.value > UV_RETREAT) {
      const found = reachPart();
      found.reasons.push({ why: 'uv-without-lamp', reading: read.value });
      return [found, retreatPart()];
    }
    const required = targets.uv.need === 'required';
    const reasons: Reason[] = [{ why: 'no-uv-fitted', required }];
    const severe = isShort(required, targets.uv.needCited, reasons, judging);
    return [part({ low: start, high: start, best: start }, reasons, targets.uv.needCited, { severe })];
  }
  return [reachPart(), retreatPart(), hoursPart()];

  function reachPart(): NeedPart {
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
          interval: rangeUpTo(highest, known, (reading) => uvValue(reading, band, ceiling)),
          cited: one,
        };
      }),
    );
    const ceiling = Math.min(...scores.map((one) => one.ceiling));
    const bands = zones.map((one) => one.band);
    const lower = aimedUvi(bands, animal.paleMorph)?.low ?? Math.min(...bands.map(uvLowerEnd));
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
    if (known.status === 'unknown') {
      const between = lightBetween(setup, on);
      for (const { name } of between?.lamps ?? [])
        reasons.unshift({ why: 'uv-between-unknown', fitting: name, uvi: between!.uvi });
      return part(lift(interval), reasons, cited, { unknown: true });
    }
    if (new Set(names).size > 1 && interval.high - interval.low > 1)
      reasons.push({ why: 'uv-zone-disputed', zones: names });
    if (known.value < lower) reasons.unshift({ why: 'uv-below', reading: known.value, wanted: lower, zones: names });
    if (highest > ceiling) {
      // Too much is life-critical for every species, also where UV is optional, so it is not lifted.
      reasons.unshift({ why: 'uv-above', reading: highest, ceiling, zones: names });
      return part(interval, reasons, cited, {
        severe: isDangerous(interval.best < SEVERE_BELOW, cited, reasons, judging),
      });
    }
    const wouldBe = targets.uv.need === 'required' && interval.best < SEVERE_BELOW;
    const severe = wouldBe && isShort(isShortByFirmZones(), targets.uv.needCited, reasons, judging);
    return part(lift(interval), reasons, cited, { severe });

    // Only the zones that somebody can cite make too little severe.
    function isShortByFirmZones(): boolean {
      const firm = scores.filter(isFirm);
      const stays =
        firm.length > 0 && firm.reduce((sum, one) => sum + one.interval.best, 0) / firm.length < SEVERE_BELOW;
      if (!stays) reasons.push({ why: 'severe-from-memory' });
      return stays;
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
  function retreatPart(): NeedPart {
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
    if (activeFittings(judging).some((one) => isDark(one, targets.neverPropose))) return part(full, [], cited);
    // Of a compact lamp without any figure nobody knows that it gives UV at all.
    if (lamps.every((one) => one.kind === 'uv-compact' && one.lamp === null)) {
      const reason: Reason = { why: 'unknown-reading', kind: 'uvi-lowest', cause: known.why };
      return part({ low: 0, high: 100, best: 50 }, [reason], cited, { unknown: true });
    }
    return part(nothing, [{ why: 'uv-no-retreat', reading: null }], cited, { severe: true });
  }

  function hoursPart(): NeedPart {
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

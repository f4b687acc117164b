// How the room in a box and what stands in it are judged: space against the strictest rule that counts, hides, things to do, and water.

import { judgeTemperature } from './climate-needs.ts';
import type { Check, Fitting } from './collection.ts';
import { knownOf, valueRange } from './evidence.ts';
import type { Judging, NeedPart, Reason } from './judging.ts';
import { activeFittings, bandValue, certainty, isShort, knownInSeason, part, runOutdoors } from './judging.ts';
import { SEVERE_BELOW } from './problem.ts';
import { extentOf, isCalledMinimum, judgeRules, MOST_BY_MINIMUM, spaceValue } from './space.ts';
import type { Enrichment, HideZone, SpaceRule, TemperatureKind } from './species.ts';

/** Under this share of the space asked for no gradient of heat fits, whatever is fitted (common practice, no source). */
export const LEAST_ROOM = 1 / 3;

/** The one part of space: what the strictest rule that counts leaves. */
export function judgeSpace(judging: Judging): NeedPart[] {
  const { targets, animal, setup, on, ruleSets } = judging;
  const run = runOutdoors(judging)?.outdoors ?? null;
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
  else if (lowRatio >= 1 && isCalledMinimum(rule)) reasons.push({ why: 'space-called-minimum', rule });
  if (low >= spaceValue(1) && grownRatio < 1) reasons.push({ why: 'space-will-be-short', ratio: grownRatio });
  reasons.push(...silences);
  const tooSmall = highRatio < LEAST_ROOM;
  const severe = tooSmall && (isTooSmallByOthers() || isSevereByIt());
  return [part({ low, high, best: (low + high) / 2 }, reasons, rule, { severe, unknown: animal.lengthMm === null })];

  function isSevereByIt(): boolean {
    if (rule.bindingUnresolved === undefined) return isShort(true, rule, reasons, judging);
    reasons.push({ why: 'severe-unresolved' });
    return false;
  }

  // Where a rule from memory, or one that may not bind, is the strictest, the others still decide whether it is severe.
  function isTooSmallByOthers(): boolean {
    const isFirm = (one: SpaceRule) => !judging.fromMemory.has(one.source) && one.bindingUnresolved === undefined;
    if (isFirm(rule)) return false;
    const space = targets.space.filter(isFirm);
    const others = judgeRules({ ...asking, species: { ...targets, space } });
    return others.status === 'judged' && others.highRatio < LEAST_ROOM;
  }
}

/** The one part of hides: how many of the zones have enough of them. */
export function judgeHides(judging: Judging): NeedPart[] {
  const { zones } = judging.targets.hides;
  if (zones.length === 0) return [];
  const want = Math.max(1, judging.setup.occupants.length);
  const hides = activeFittings(judging).filter(
    (one) => one.kind === 'hide' || one.kind === 'moist-hide' || one.kind === 'plants',
  );
  // Leaves hide what climbs or swims; on the ground only a species that hides among nothing else.
  const isLeafy = (zone: HideZone) =>
    zone === 'high' || zone === 'under-water' || judging.targets.neverPropose.includes('solid-hide');
  const servedBy = (zone: HideZone) =>
    hides.filter((one) => one.place === zone && (one.kind !== 'plants' || isLeafy(zone))).length;
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

/** The one part of enrichment: how many of the kinds are there. */
export function judgeEnrichment(judging: Judging): NeedPart[] {
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
  if (runOutdoors(judging) !== null) return true;
  const usable = (kinds: TemperatureKind[]) =>
    judging.targets.temperatures.some((target) => {
      if (!kinds.includes(target.kind) || target.kind === 'body') return false;
      const known = knownInSeason(judging, target.kind);
      return known.status === 'known' && judgeTemperature(target, known, target.kind, judging).best >= 50;
    });
  return usable(['hot-spot-surface', 'warm-hide-floor', 'warm-air']) && usable(['cool-end-air', 'water']);
}

/** The parts of water: its features, its temperature, its depth. */
export function judgeWater(judging: Judging): NeedPart[] {
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

  function depthPart(depth: NonNullable<typeof water & object>['depth'] & object): NeedPart[] {
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

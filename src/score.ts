// How the needs of an animal become one score: weights, the cap by the worst need, the range, and which needs are severe or only
// unknown. The score judges what the set-up offers, never how the animal feels.

import type { PlainDate } from './calendar.ts';
import { monthOf } from './calendar.ts';
import type { Animal, Collection } from './collection.ts';
import { setupOf } from './collection.ts';
import type { Interval } from './evidence.ts';
import type { Judging, Reason } from './judging.ts';
import { judgeNeed } from './needs.ts';
import { DEFAULT_PRIORITY, type Priority, SEVERE_BELOW } from './problem.ts';
import type { CareLibrary, Cited, Need, RuleSet, Species, Targets } from './species.ts';
import { NEEDS, sourcesFromMemory, speciesOf, targetsFor } from './species.ts';

/**
 * Choices that no study can make for the keeper: how much each need weighs, how far a good mean may lift an animal above its worst need,
 * how points below 40 and 70 are favoured, and which rule lists count. `alpha` places the planning value in its range (0.5: the middle).
 */
export type ValueChoices = {
  weights: Record<Need, number>;
  allowances: Record<Need, number>;
  alpha: number;
  priority: Priority;
  ruleSets: RuleSet[];
};

/** The defaults of the scoring model (this ledger's own value choices, not published constants). */
export const DEFAULT_CHOICES: ValueChoices = {
  weights: { safety: 10, heat: 20, uv: 15, humidity: 10, space: 20, hides: 15, enrichment: 10, water: 10 },
  allowances: { safety: 30, heat: 30, uv: 30, humidity: 30, space: 50, hides: 50, enrichment: 70, water: 30 },
  alpha: 0.5,
  priority: DEFAULT_PRIORITY,
  ruleSets: ['DE-1997', 'DE-pages', 'AT', 'CH'],
};

/** A need's value with its range, whether it is severe or merely unknown, and every reason for a lost point with its target. */
export type NeedScore = {
  need: Need;
  weight: number;
  allowance: number;
  lifeCritical: boolean;
  /** The planning value: low + alpha x (high - low). */
  value: number;
  low: number;
  high: number;
  severe: boolean;
  unknown: boolean;
  /** Share (0 to 1) of the parts that decide the value, those that are lowest, whose target is from memory. */
  fromMemory: number;
  /** `severe` tells that the part a reason belongs to is severe. */
  reasons: { reason: Reason; cited: Cited | null; lost: number; severe: boolean }[];
};

/** The score of one animal on a day, with its range; `cap` is the need that holds it down, null when none does. */
export type AnimalScore = {
  animalId: string;
  score: number;
  low: number;
  high: number;
  mean: number;
  cap: Need | null;
  needs: NeedScore[];
  notScored: { need: Need; why: 'no-target' | 'off' }[];
  season: Targets['season'];
  stage: Targets['stage'];
};

/** Everything scoring takes besides the animal. `on` is the day judged; evidence ages up to `knownOn`. */
export type Scoring = {
  collection: Collection;
  library: CareLibrary;
  choices: ValueChoices;
  on: PlainDate;
  knownOn: PlainDate;
};

/**
 * The capped mean: S = min(sum(w V) / sum(w), V_n + allowance_n for every need n), with the need whose cap binds. No needs give 0.
 * Concave and monotone in every value. One sentence for the keeper: good scores elsewhere lift an animal at most 30 points above its
 * worst life-critical need.
 */
export function capMean(needs: readonly { weight: number; allowance: number; value: number }[]): {
  mean: number;
  score: number;
  cap: number | null;
} {
  let [weights, total, score] = [0, 0, Number.POSITIVE_INFINITY];
  let cap: number | null = null;
  needs.forEach((need, index) => {
    weights += need.weight;
    total += need.weight * need.value;
    if (need.value + need.allowance < score) {
      score = need.value + need.allowance;
      cap = index;
    }
  });
  if (weights === 0) return { mean: 0, score: 0, cap: null };
  const mean = total / weights;
  return mean <= score ? { mean, score: mean, cap: null } : { mean, score, cap };
}

/** Scores one animal where it lives. Null when it lives in no enclosure, so that nothing can be judged. */
export function scoreAnimal(animal: Animal, scoring: Scoring): AnimalScore | null {
  const judging = judgingOf(animal, scoring);
  if (judging === null) return null;
  const needs: NeedScore[] = [];
  const notScored: AnimalScore['notScored'] = [];
  for (const need of NEEDS) {
    const outcome = scoreNeed(need, judging, scoring.choices);
    if (outcome.status === 'scored') needs.push(outcome.score);
    else notScored.push({ need, why: outcome.status });
  }
  const { mean, score, cap } = capMean(needs);
  const end = (which: 'low' | 'high') => capMean(needs.map((one) => ({ ...one, value: one[which] }))).score;
  return {
    animalId: animal.id,
    score,
    low: end('low'),
    high: end('high'),
    mean,
    cap: cap === null ? null : needs[cap]!.need,
    needs,
    notScored,
    season: judging.targets.season,
    stage: judging.targets.stage,
  };
}

/**
 * What makes the range of an animal's score wide: by how many points it would shrink if one need were known to be worth what is planned
 * with, the widest first; needs that would not shrink it are left out.
 */
export function rangeDrivers({ needs }: Pick<AnimalScore, 'needs'>): { need: Need; points: number }[] {
  const width = (settled: Need | null) => {
    const end = (which: 'low' | 'high') =>
      capMean(needs.map((one) => ({ ...one, value: one.need === settled ? one.value : one[which] }))).score;
    return end('high') - end('low');
  };
  const now = width(null);
  return needs
    .map(({ need }) => ({ need, points: now - width(need) }))
    .filter(({ points }) => points > 1e-9)
    .sort((a, b) => b.points - a.points);
}

/**
 * The share (0 to 1) of a score that rests on memory: of the weight of all scored needs, what hangs on parts whose target is from memory. A
 * need hangs on its lowest parts, to equal shares where several are. No needs give 0.
 */
export function shareFromMemory(needs: readonly Pick<NeedScore, 'weight' | 'fromMemory'>[]): number {
  const total = needs.reduce((sum, one) => sum + one.weight, 0);
  return total === 0 ? 0 : needs.reduce((sum, one) => sum + one.weight * one.fromMemory, 0) / total;
}

/** How near a value from 0 to 100 comes to the target, for words and not for planning. */
export type Band = 'far-short' | 'part-way' | 'near' | 'meets';

/** The value from which a need counts as near its target, for words and for the least that brings an animal there. */
export const NEAR_TARGET = 70;

/** The band of one need's value: below 40, 70, 90 and from 90 (display defaults of this ledger). */
export function bandOf(value: number): Band {
  return value < 40 ? 'far-short' : value < NEAR_TARGET ? 'part-way' : value < 90 ? 'near' : 'meets';
}

/** The band of an animal's score: never 'near' while one of its needs is below 20, never 'meets' while one is below 55. */
export function bandOfAnimal({ score, needs }: Pick<AnimalScore, 'score' | 'needs'>): Band {
  const worst = Math.min(100, ...needs.map((one) => one.value));
  const band = bandOf(score);
  if (band === 'meets' && worst < 55) return worst < SEVERE_BELOW ? 'part-way' : 'near';
  return band === 'near' && worst < SEVERE_BELOW ? 'part-way' : band;
}

/** A need's score, or that the species has no target for it or it does not count in this month. */
export type NeedOutcome = { status: 'scored'; score: NeedScore } | { status: 'no-target' | 'off' };

/** Scores one need of an animal exactly as scoreAnimal does; null when the animal lives in no enclosure. */
export function scoreOneNeed(animal: Animal, need: Need, scoring: Scoring): NeedOutcome | null {
  return needScorer(animal, scoring)?.(need) ?? null;
}

/** The targets that hold for an animal on the day that is judged. */
export function targetsOn(animal: Animal, { library, on }: Pick<Scoring, 'library' | 'on'>): Targets {
  return targetsFor(speciesOf(library, animal), animal, monthOf(on));
}

/**
 * Scores single needs as scoreOneNeed does, with what they share worked out once; null when the animal lives in no enclosure. `targets`
 * are those of the day that is judged.
 */
export function needScorer(
  animal: Animal,
  scoring: Scoring,
  targets: Targets = targetsOn(animal, scoring),
): ((need: Need) => NeedOutcome) | null {
  const judging = judgingOf(animal, scoring, targets);
  return judging === null ? null : (need) => scoreNeed(need, judging, scoring.choices);
}

/** Whether missing this need threatens the life of this species: data of the species, not of the need. */
export function isLifeCritical(need: Need, targets: Targets | Species): boolean {
  switch (need) {
    case 'safety':
    case 'heat':
      return true;
    case 'uv':
      return targets.uv.need === 'required';
    case 'humidity':
      return targets.humidity.lifeCritical;
    case 'water':
      return targets.water?.lifeCritical ?? false;
    case 'space':
    case 'hides':
    case 'enrichment':
      return false;
  }
}

/** The allowance of a need for a species: the chosen one, 70 where UV is optional, at least 50 where humidity or water is not life-critical. */
export function allowanceFor(need: Need, targets: Targets | Species, choices: ValueChoices): number {
  const chosen = choices.allowances[need];
  if (isLifeCritical(need, targets)) return chosen;
  if (need === 'uv') return Math.max(chosen, 70);
  return need === 'humidity' || need === 'water' ? Math.max(chosen, 50) : chosen;
}

function judgingOf(animal: Animal, scoring: Scoring, targets = targetsOn(animal, scoring)): Judging | null {
  const { collection, library, choices, on, knownOn } = scoring;
  if (animal.enclosureId === null) return null;
  const setup = setupOf(collection, animal.enclosureId);
  const fromMemory = sourcesFromMemory(library);
  return { animal, setup, targets, uvZones: library.uvZones, ruleSets: choices.ruleSets, on, knownOn, fromMemory };
}

function scoreNeed(need: Need, judging: Judging, choices: ValueChoices): NeedOutcome {
  const judgement = judgeNeed(need, judging);
  if (judgement.status !== 'judged') return judgement;
  const { parts } = judgement;
  const { targets, fromMemory } = judging;
  const planned = ({ low, high }: Interval) => low + choices.alpha * (high - low);
  let [least, deciding, remembered] = [Number.POSITIVE_INFINITY, 0, 0];
  for (const one of parts) {
    const value = planned(one);
    if (value > least + 1e-9) continue;
    if (value < least - 1e-9) [least, deciding, remembered] = [value, 0, 0];
    deciding += 1;
    if (one.cited !== null && fromMemory.has(one.cited.source)) remembered += 1;
  }
  const range: Interval = {
    low: Math.min(...parts.map((one) => one.low)),
    high: Math.min(...parts.map((one) => one.high)),
    best: Math.min(...parts.map((one) => one.best)),
  };
  const score: NeedScore = {
    need,
    weight: choices.weights[need],
    allowance: allowanceFor(need, targets, choices),
    lifeCritical: isLifeCritical(need, targets),
    value: planned(range),
    low: range.low,
    high: range.high,
    severe: parts.some((one) => one.severe),
    unknown: parts.some((one) => one.unknown),
    fromMemory: remembered / deciding,
    reasons: parts
      .flatMap((one) =>
        one.reasons.map((reason) => ({
          reason,
          cited: one.cited,
          lost: 100 - planned(one),
          severe: one.severe,
        })),
      )
      .sort((a, b) => b.lost - a.lost),
  };
  return { status: 'scored', score };
}

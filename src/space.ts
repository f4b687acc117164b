// What room published rules ask of which animals, and whether a box gives it: lengths in the rule's own measure, how many animals it
// covers, capped heights, the smallest box that would do and what fits into the space a keeper has. Knows neither weights, prices nor words.

import type { PlainDate } from './calendar.ts';
import { ageInMonths, monthOf, monthsBetween } from './calendar.ts';
import type { Animal } from './collection.ts';
import type { Measure, RuleSet, SpaceRule, Species } from './species.ts';
import { projectLength } from './species.ts';

/** What a legal or laboratory minimum alone is worth at most, of 100 (the ledger's scoring default). */
export const MOST_BY_MINIMUM = 60;

/** How thick each wall is taken to be when nobody said (mm): our own assumption, for a box of board; glass is thinner. */
export const ASSUMED_WALL_MM = 20;

/** Room beyond one and a half times what is asked for adds nothing to the value (the ledger's scoring default). */
const ENOUGH = 1.5;

/** Length to depth of a suggested box where a rule gives only its floor: our own assumption, after the many rules of 1 by 0.5 lengths. */
const USUAL_PROPORTION = 2;

/** An animal's length in mm and how it was taken. */
export type BodyLength = { mm: number; measure: Measure };

/**
 * What a rule asks for on the inside: least length and height (mm, null: it asks for none), floor (m², 0: it asks for none) and the depth
 * (mm) that goes with that length, null where the rule does not tie the floor to a length.
 */
export type SpaceNeed = {
  lengthMm: number | null;
  depthMm: number | null;
  floorM2: number;
  heightMm: number | null;
};

/** Why a rule says nothing for some animals. For more animals than it covers they need at least what it asks for those it covers. */
export type Silence =
  | { status: 'unknown'; why: 'further-animals'; forAnimals: number; atLeast: SpaceNeed }
  | { status: 'not-applicable'; why: 'other-measure'; asks: Measure; has: Measure }
  | { status: 'not-applicable'; why: 'longer-than-covered'; upToMm: number };

/** What a rule asks for, or why it does not say. */
export type SpaceAsked = { status: 'known'; needed: SpaceNeed } | Silence;

/** What a rule asks of a number of animals of one length: the largest of a group counts. */
export function spaceNeeded(rule: SpaceRule, body: BodyLength, animals: number): SpaceAsked {
  const mm = lengthFor(rule, body);
  if (mm === null) return { status: 'not-applicable', why: 'other-measure', asks: rule.measure!, has: body.measure };
  const rows = rule.shape.by === 'table' ? rule.shape.rows : null;
  const row = rows === null ? null : (rows.find((one) => one.upToMm === null || mm <= one.upToMm) ?? null);
  const end = rule.covers.upToMm ?? (rows !== null && row === null ? rows[rows.length - 1]!.upToMm : null);
  if (end !== null && mm > end) return { status: 'not-applicable', why: 'longer-than-covered', upToMm: end };

  const further = rule.forAnimals === null ? 0 : Math.max(0, animals - rule.forAnimals);
  const base = baseOf(rule, mm, row);
  if (further === 0) return { status: 'known', needed: capped(rule, base) };
  const needed = withFurther(rule, base, mm, animals, row?.furtherM2 ?? null);
  return needed === null
    ? { status: 'unknown', why: 'further-animals', forAnimals: rule.forAnimals!, atLeast: capped(rule, base) }
    : { status: 'known', needed: capped(rule, needed) };
}

// The animal's length as the rule takes it, null when no published ratio leads there. Any will do for a rule without a measure.
function lengthFor({ measure, lengthFrom }: SpaceRule, body: BodyLength): number | null {
  if (measure === null || measure === body.measure) return body.mm;
  const ratio = lengthFrom.find((one) => one.measure === body.measure);
  return ratio === undefined ? null : body.mm * ratio.times;
}

type TableRow = (SpaceRule['shape'] & { by: 'table' })['rows'][number];

function baseOf({ shape }: SpaceRule, mm: number, row: TableRow | null): SpaceNeed {
  if (shape.by === 'table') return { lengthMm: null, depthMm: null, floorM2: row!.floorM2, heightMm: row!.heightMm };
  if (shape.by === 'fixed') {
    const { lengthMm, depthMm, heightMm } = shape;
    return { lengthMm, depthMm, floorM2: (lengthMm * depthMm) / 1e6, heightMm };
  }
  const { length, depth, height } = shape;
  return {
    lengthMm: length * mm,
    depthMm: depth === null ? null : depth * mm,
    floorM2: depth === null ? 0 : (length * depth * mm ** 2) / 1e6,
    heightMm: height === null ? null : height * mm,
  };
}

// The floor grows at the same length, so in depth, unless the rule keeps the proportions.
function withFurther(
  { further, forAnimals }: SpaceRule,
  base: SpaceNeed,
  mm: number,
  animals: number,
  furtherM2: number | null,
): SpaceNeed | null {
  if (further === null) return null;
  const more = animals - forAnimals!;
  if (further.by === 'volume-share') {
    const stretch = Math.cbrt(1 + further.share * more);
    const stretched = (length: number | null) => (length === null ? null : length * stretch);
    return {
      lengthMm: stretched(base.lengthMm),
      depthMm: stretched(base.depthMm),
      floorM2: base.floorM2 * stretch ** 2,
      heightMm: stretched(base.heightMm),
    };
  }
  if (further.by === 'table') return furtherM2 === null ? null : onFloor(base.floorM2 + furtherM2 * more);
  if (further.by === 'body-lengths')
    return onFloor(base.floorM2 + (further.length * further.depth * mm ** 2 * more) / 1e6);
  let shares = 0;
  for (let animal = forAnimals! + 1; animal <= animals; animal++)
    shares += further.steps.findLast((step) => step.fromAnimal <= animal)?.share ?? 0;
  return onFloor(base.floorM2 * (1 + shares));

  function onFloor(floorM2: number): SpaceNeed {
    return { ...base, floorM2, depthMm: base.lengthMm === null ? null : (floorM2 * 1e6) / base.lengthMm };
  }
}

function capped({ heightCapMm }: SpaceRule, needed: SpaceNeed): SpaceNeed {
  return heightCapMm === null || needed.heightMm === null || needed.heightMm <= heightCapMm
    ? needed
    : { ...needed, heightMm: heightCapMm };
}

/**
 * Value of the ratio of what is there to what is needed: 0 at 0.33, 50 at 0.66, 90 at 1, 100 from 1.5 (ledger's scoring defaults). It
 * climbs ever more slowly, so it is the lowest of its lines.
 */
export function spaceValue(ratio: number): number {
  return Math.max(
    0,
    Math.min(
      100,
      (50 * (ratio - 0.33)) / (0.66 - 0.33),
      50 + (40 * (ratio - 0.66)) / (1 - 0.66),
      90 + (10 * (ratio - 1)) / (ENOUGH - 1),
    ),
  );
}

/** Inside measures in mm. */
export type BoxMeasures = { lengthMm: number; depthMm: number; heightMm: number };

/** What a box offers: its longest side (mm), its floor (m²) and its height (mm, infinite in the open air). */
export type Extent = { longMm: number; floorM2: number; heightMm: number };

/**
 * What a box offers, with a run in the open air that its animal can use: the better of the two, and no roof. Shelves are not counted as
 * floor: the rules read speak of the ground of the enclosure, none credits raised floor, and how much of a shelf an animal uses is unknown.
 */
export function extentOf(box: BoxMeasures, run: { lengthMm: number; depthMm: number } | null = null): Extent {
  const floorMm2 = box.lengthMm * box.depthMm;
  if (run === null)
    return { longMm: Math.max(box.lengthMm, box.depthMm), floorM2: floorMm2 / 1e6, heightMm: box.heightMm };
  return {
    longMm: Math.max(box.lengthMm, box.depthMm, run.lengthMm, run.depthMm),
    floorM2: Math.max(floorMm2, run.lengthMm * run.depthMm) / 1e6,
    heightMm: Number.POSITIVE_INFINITY,
  };
}

/** Which measure of a box is meant. Depth is held against the floor, so a longer box may be shallower. */
export type SpaceDimension = 'length' | 'floor' | 'height';

/**
 * The least of the ratios of what is there to what is needed, and of which measure it is. Height counts for climbers only. Where nothing
 * is asked for the ratio is infinite.
 */
export function leastRatio(
  needed: SpaceNeed,
  there: Extent,
  heightCounts: boolean,
): { short: SpaceDimension; ratio: number } {
  let short: SpaceDimension = 'length';
  let ratio = needed.lengthMm === null ? Number.POSITIVE_INFINITY : there.longMm / needed.lengthMm;
  const floor = needed.floorM2 === 0 ? Number.POSITIVE_INFINITY : there.floorM2 / needed.floorM2;
  if (floor < ratio) [short, ratio] = ['floor', floor];
  if (heightCounts && needed.heightMm !== null) {
    const height = there.heightMm / needed.heightMm;
    if (height < ratio) [short, ratio] = ['height', height];
  }
  return { short, ratio };
}

/** Inside measures in mm; null where the rule asks for nothing in this direction. */
export type SuggestedBox = { lengthMm: number; depthMm: number | null; heightMm: number | null };

/**
 * The smallest box that gives what is needed, rounded up to whole centimetres. Where a rule gives a floor and no length it is twice as
 * long as deep (our own assumption).
 */
export function smallestBox({ lengthMm, depthMm, floorM2, heightMm }: SpaceNeed): SuggestedBox {
  const floorMm2 = floorM2 * 1e6;
  const long = upToCm(lengthMm ?? Math.sqrt(USUAL_PROPORTION * floorMm2));
  return {
    lengthMm: long,
    depthMm: floorM2 === 0 ? null : upToCm(Math.max(depthMm ?? 0, floorMm2 / long)),
    heightMm: heightMm === null ? null : upToCm(heightMm),
  };
}

function upToCm(mm: number): number {
  return Math.ceil(mm / 10 - 1e-6) * 10;
}

/** What is needed to meet several rules at once: the most that any of them asks for in each direction; null without any. */
export function needOfAll(needs: readonly SpaceNeed[]): SpaceNeed | null {
  if (needs.length === 0) return null;
  const most = (pick: (one: SpaceNeed) => number | null) =>
    needs.reduce<number | null>((top, one) => {
      const mm = pick(one);
      return mm === null ? top : Math.max(mm, top ?? 0);
    }, null);
  return {
    lengthMm: most((one) => one.lengthMm),
    depthMm: most((one) => one.depthMm),
    floorM2: most((one) => one.floorM2)!,
    heightMm: most((one) => one.heightMm),
  };
}

/** How long an animal may be: a span in mm, its ends equal when it is known. */
export type LengthSpan = { lowMm: number; highMm: number };

/** A species as far as room for it hangs on it. */
export type RoomySpecies = Pick<Species, 'id' | 'adultSize' | 'growth' | 'habit' | 'space'>;

/** An animal, what it shares its box with (itself included), what the box offers and which rule lists its keeper chose. */
export type SpaceQuestion = {
  species: RoomySpecies;
  animal: Animal;
  occupants: readonly Animal[];
  there: Extent;
  ruleSets: readonly RuleSet[];
  on: PlainDate;
};

/**
 * How long the largest of the animal's kind in its box will be on a day, as its species is measured: from the last measurement, or the
 * usual adult size when it was never measured. Others that were never measured do not count.
 */
export function lengthOn({ species, animal, occupants }: SpaceQuestion, on: PlainDate): LengthSpan {
  const own = spanOf(animal);
  let span = own ?? { lowMm: species.adultSize.lowMm, highMm: species.adultSize.highMm };
  for (const other of occupants) {
    const theirs = other.id === animal.id || other.speciesId !== species.id ? null : spanOf(other);
    if (theirs !== null)
      span = { lowMm: Math.max(span.lowMm, theirs.lowMm), highMm: Math.max(span.highMm, theirs.highMm) };
  }
  return span;

  function spanOf({ lengthMm, measuredOn, hatchedOn }: Animal): LengthSpan | null {
    if (lengthMm === null) return null;
    const months = measuredOn === null ? 0 : Math.max(0, monthsBetween(monthOf(measuredOn), monthOf(on)));
    const age = hatchedOn === null ? null : ageInMonths(hatchedOn, measuredOn ?? on);
    const { low, high } = projectLength(species, lengthMm, months, age);
    return { lowMm: low, highMm: high };
  }
}

/**
 * Which rules an animal is scored against: those the keeper wrote, which stand in place of all others; else those of the keeper's lists
 * and all evidence; common practice where none of these says anything for it.
 */
export function chosenRules(rules: readonly SpaceRule[], ruleSets: readonly RuleSet[]): SpaceRule[] {
  const own = rules.filter((rule) => rule.ruleSet === 'own');
  if (own.length > 0) return own;
  const chosen = rules.filter((rule) => rule.ruleSet === 'evidence' || ruleSets.includes(rule.ruleSet));
  return chosen.length > 0 ? chosen : rules.filter((rule) => rule.ruleSet === 'practice');
}

/** A rule that says nothing for the animals asked about, and why. */
type SilentRule = { rule: SpaceRule; asked: Silence };

/**
 * What the chosen rules say of a box. `strictest` is for the larger of the two sizes an animal may have, `lowRatio` its ratio; `highRatio`
 * the least of all rules for the smaller size, below `lowRatio` only
 * where a silent rule asks for more already; `grownRatio` the least at adult size. `onlyMinimum`: nothing but minimums set by law or for
 * laboratories could be held against it. `silent` rules were chosen and say nothing.
 */
export type SpaceVerdict =
  | { status: 'no-rule' }
  | { status: 'silent'; silent: SilentRule[]; highRatio: number }
  | {
      status: 'judged';
      strictest: { rule: SpaceRule; needed: SpaceNeed; short: SpaceDimension };
      lowRatio: number;
      highRatio: number;
      grownRatio: number;
      onlyMinimum: boolean;
      silent: SilentRule[];
    };

/** Holds a box against the rules its keeper chose, for the size an animal has on a day. */
export function judgeRules(question: SpaceQuestion): SpaceVerdict {
  const { species, ruleSets, on, there } = question;
  const chosen = chosenRules(species.space, ruleSets);
  if (chosen.length === 0) return { status: 'no-rule' };
  const span = lengthOn(question, on);
  const grownMm = Math.max(span.highMm, species.adultSize.highMm);
  const first = holdAll(chosen);
  if (first.status === 'judged') return first;
  const spare = species.space.filter((rule) => rule.ruleSet === 'practice' && !chosen.includes(rule));
  const second = spare.length === 0 ? first : holdAll(spare);
  return second.status === 'judged' ? { ...second, silent: first.silent } : first;

  function holdAll(rules: SpaceRule[]): Exclude<SpaceVerdict, { status: 'no-rule' }> {
    const climbs = species.habit === 'climbing';
    const askedAt = (rule: SpaceRule, mm: number) =>
      spaceNeeded(rule, { mm, measure: species.adultSize.measure }, question.occupants.length);
    const silent: SilentRule[] = [];
    let strictest: { rule: SpaceRule; needed: SpaceNeed; short: SpaceDimension } | null = null;
    let lowRatio = Number.POSITIVE_INFINITY;
    let highRatio = Number.POSITIVE_INFINITY;
    let grownRatio = Number.POSITIVE_INFINITY;
    let onlyMinimum = true;
    for (const rule of rules) {
      const large = askedAt(rule, span.highMm);
      const small = askedAt(rule, span.lowMm);
      const smallNeed = small.status === 'known' ? small.needed : small.status === 'unknown' ? small.atLeast : null;
      // Another rule may be the strictest for the smaller of the two sizes; and more animals never need less.
      if (smallNeed !== null) highRatio = Math.min(highRatio, leastRatio(smallNeed, there, climbs).ratio);
      if (large.status !== 'known') {
        silent.push({ rule, asked: large });
        continue;
      }
      const least = leastRatio(large.needed, there, climbs);
      if (strictest === null || least.ratio < lowRatio) {
        strictest = { rule, needed: large.needed, short: least.short };
        lowRatio = least.ratio;
      }
      const grown = askedAt(rule, grownMm);
      if (grown.status === 'known') grownRatio = Math.min(grownRatio, leastRatio(grown.needed, there, climbs).ratio);
      if (!isMinimum(rule)) onlyMinimum = false;
    }
    if (strictest === null) return { status: 'silent', silent, highRatio };
    return { status: 'judged', strictest, lowRatio, highRatio, grownRatio, onlyMinimum, silent };
  }
}

// Lists that call what they ask a minimum without being law.
const CALLED_MINIMUM: ReadonlySet<RuleSet> = new Set(['DE-1997']);

/**
 * Whether a rule is guidance from a list that calls what it asks a minimum. No law and no laboratory's, it is not held at what those are worth
 * at most; but whoever meets it has met a least and no goal.
 */
export function isCalledMinimum({ ruleSet, basis }: Pick<SpaceRule, 'ruleSet' | 'basis'>): boolean {
  return basis === 'guidance' && CALLED_MINIMUM.has(ruleSet);
}

/** Whether a rule is no more than a minimum set by law or for laboratories. */
function isMinimum({ basis }: SpaceRule): boolean {
  return basis === 'legal-minimum' || basis === 'laboratory-minimum';
}

/**
 * A box held against what is needed: each measure asked for, what is there over what is needed, and whether the score counts it; the
 * least of those that count; whether everything asked for is met, also what does not count; the smallest box that would meet it.
 */
export type Held = {
  status: 'held';
  needed: SpaceNeed;
  dimensions: { dimension: SpaceDimension; ratio: number; counts: boolean }[];
  ratio: number;
  short: SpaceDimension;
  meets: boolean;
  smallest: SuggestedBox;
};

/** Holds a box against what is needed. */
export function holdAgainst(needed: SpaceNeed, there: Extent, heightCounts: boolean): Held {
  const dimensions: Held['dimensions'] = [];
  if (needed.lengthMm !== null)
    dimensions.push({ dimension: 'length', ratio: there.longMm / needed.lengthMm, counts: true });
  if (needed.floorM2 > 0) dimensions.push({ dimension: 'floor', ratio: there.floorM2 / needed.floorM2, counts: true });
  if (needed.heightMm !== null)
    dimensions.push({ dimension: 'height', ratio: there.heightMm / needed.heightMm, counts: heightCounts });
  return {
    status: 'held',
    needed,
    dimensions,
    ...leastRatio(needed, there, heightCounts),
    meets: dimensions.every((one) => one.ratio >= 1),
    smallest: smallestBox(needed),
  };
}

/** What one rule says at one size: how the box does, or why the rule is silent. */
export type RuleAtSize = Held | Silence;

/** One rule beside the others, for the smaller and larger size today and at the horizon, and at adult size (or the present one if larger). */
export type RuleComparison = {
  rule: SpaceRule;
  /** Whether the animal is scored against it. */
  chosen: boolean;
  /** What meeting it alone is worth at most: 60 for a legal or laboratory minimum, else 100. */
  worthAtMost: number;
  /** The rule is stated for adults and the animal is not grown yet: it is applied all the same, and a young one may do with less. */
  statedForAdults: boolean;
  today: { small: RuleAtSize; large: RuleAtSize };
  horizon: { small: RuleAtSize; large: RuleAtSize };
  grown: RuleAtSize;
};

/**
 * All rules of a species side by side. `chosen`, `strictest` and `loosest` go by the larger size today and the present box; null when no
 * rule says anything. `own` is what the keeper asks for, `decidedBy` says which of the two is the stricter. `wanted` meets all chosen rules and the keeper's own.
 */
export type SpaceComparison = {
  measure: Measure;
  measured: boolean;
  today: LengthSpan;
  horizon: LengthSpan;
  grownMm: number;
  animals: number;
  rules: RuleComparison[];
  chosen: RuleComparison | null;
  strictest: RuleComparison | null;
  loosest: RuleComparison | null;
  own: Held | null;
  decidedBy: 'rule' | 'own' | null;
  wanted: { today: SpaceNeed; horizon: SpaceNeed; grown: SpaceNeed } | null;
};

/** Compares all rules of a species for one animal, on a day and at a later one, with what the keeper asks for if anything. */
export function compareRules(
  question: SpaceQuestion,
  { horizonOn, own = null }: { horizonOn: PlainDate; own?: SpaceNeed | null },
): SpaceComparison {
  const { species, animal, occupants, there, ruleSets } = question;
  const { measure } = species.adultSize;
  const climbs = species.habit === 'climbing';
  const today = lengthOn(question, question.on);
  const horizon = lengthOn(question, horizonOn);
  const grownMm = Math.max(horizon.highMm, species.adultSize.highMm);
  const verdict = judgeRules(question);
  const scored = scoredRules();
  const rules = species.space.map((rule): RuleComparison => {
    const at = (mm: number): RuleAtSize => {
      const asked = spaceNeeded(rule, { mm, measure }, occupants.length);
      return asked.status === 'known' ? holdAgainst(asked.needed, there, climbs) : asked;
    };
    return {
      rule,
      chosen: scored.includes(rule),
      worthAtMost: isMinimum(rule) ? MOST_BY_MINIMUM : 100,
      statedForAdults: rule.covers.adultsOnly && today.highMm < species.adultSize.lowMm,
      today: { small: at(today.lowMm), large: at(today.highMm) },
      horizon: { small: at(horizon.lowMm), large: at(horizon.highMm) },
      grown: at(grownMm),
    };
  });
  const strictestOf = (list: RuleComparison[]) => leastBy(list, (one) => ratioToday(one));
  const ownHeld = own === null ? null : holdAgainst(own, there, climbs);
  const chosen = strictestOf(rules.filter((one) => one.chosen));
  const ruleDecides = chosen !== null && (ownHeld === null || ratioToday(chosen) <= ownHeld.ratio);
  return {
    measure,
    measured: animal.lengthMm !== null,
    today,
    horizon,
    grownMm,
    animals: occupants.length,
    rules,
    chosen,
    strictest: strictestOf(rules),
    loosest: leastBy(rules, (one) => -ratioToday(one)),
    own: ownHeld,
    decidedBy: ruleDecides ? 'rule' : ownHeld === null ? null : 'own',
    wanted: wantedOf(
      (one) => one.today.large,
      (one) => one.horizon.large,
      (one) => one.grown,
    ),
  };

  function scoredRules(): SpaceRule[] {
    const chosen = chosenRules(species.space, ruleSets);
    const judgedByPractice = verdict.status === 'judged' && !chosen.includes(verdict.strictest.rule);
    return judgedByPractice ? species.space.filter((rule) => rule.ruleSet === 'practice') : chosen;
  }

  function wantedOf(...picks: ((one: RuleComparison) => RuleAtSize)[]): SpaceComparison['wanted'] {
    const [now, later, grown] = picks.map((pick) => {
      const held = rules.filter((one) => one.chosen).map(pick);
      const needs = held.flatMap((one) => (one.status === 'held' ? [one.needed] : []));
      return needOfAll(own === null ? needs : [...needs, own]);
    });
    return now && later && grown ? { today: now, horizon: later, grown } : null;
  }
}

// The first with the least figure; those whose figure is not a number are left out.
function leastBy(list: RuleComparison[], figure: (one: RuleComparison) => number): RuleComparison | null {
  return list
    .filter((one) => one.today.large.status === 'held')
    .reduce<RuleComparison | null>((least, one) => (least === null || figure(one) < figure(least) ? one : least), null);
}

function ratioToday({ today }: RuleComparison): number {
  return today.large.status === 'held' ? today.large.ratio : Number.POSITIVE_INFINITY;
}

/** The most that a box may measure on the outside, in mm; null: no limit. */
export type SpaceLimits = { lengthMm: number | null; depthMm: number | null; heightMm: number | null };

/** By how much a space falls short in one of its own directions (mm, outside). */
export type Shortage = { dimension: 'length' | 'depth' | 'height'; byMm: number };

/**
 * A box to measure that fits and gives what is needed, inside and outside, or what the space lacks and the largest box that it holds with
 * its ratio. `turned`: its long side lies along the depth of the space.
 */
type HomeMadeBox =
  | { status: 'fits'; inside: SuggestedBox; outside: SuggestedBox; turned: boolean }
  | { status: 'short'; shortages: Shortage[]; largest: BoxMeasures; ratio: number; turned: boolean };

/**
 * What fits into the space a keeper has. `boxes` are those that fit, the most useful first: the highest ratio up to one and a half times
 * what is needed, beyond which more room adds nothing to the value, then the smallest.
 */
export type SpaceFit<Box extends BoxMeasures> = { boxes: { box: Box; ratio: number }[]; homeMade: HomeMadeBox };

// A side worked out from a floor and back is off by rounding; a thousandth of a micrometre decides nothing.
const ROUNDING_MM = 1e-6;

/**
 * What fits into a space, of boxes given by their inside measures and of a box made to measure. Walls of `wallMm` stand on both sides in
 * every direction; a box may be turned by a quarter on its floor.
 */
export function whatFits<Box extends BoxMeasures>(
  needed: SpaceNeed,
  limits: SpaceLimits,
  boxes: readonly Box[],
  { heightCounts, wallMm = ASSUMED_WALL_MM }: { heightCounts: boolean; wallMm?: number },
): SpaceFit<Box> {
  const inner = (limit: number | null) => (limit === null ? Number.POSITIVE_INFINITY : Math.max(0, limit - 2 * wallMm));
  const [long, deep, high] = [inner(limits.lengthMm), inner(limits.depthMm), inner(limits.heightMm)];
  const fitting = boxes
    .filter(
      ({ lengthMm, depthMm, heightMm }) =>
        heightMm <= high && ((lengthMm <= long && depthMm <= deep) || (lengthMm <= deep && depthMm <= long)),
    )
    .map((box) => ({ box, ratio: leastRatio(needed, extentOf(box), heightCounts).ratio }));
  const volume = (box: BoxMeasures) => box.lengthMm * box.depthMm * box.heightMm;
  fitting.sort((a, b) => Math.min(b.ratio, ENOUGH) - Math.min(a.ratio, ENOUGH) || volume(a.box) - volume(b.box));
  return { boxes: fitting, homeMade: homeMade() };

  function homeMade(): HomeMadeBox {
    const straight = standing(long, deep, false);
    const turned = standing(deep, long, true);
    if (straight.status === 'fits') return straight;
    if (turned.status === 'fits') return turned;
    const lack = (one: HomeMadeBox & { status: 'short' }) => one.shortages.reduce((sum, { byMm }) => sum + byMm, 0);
    return lack(turned) < lack(straight) ? turned : straight;
  }

  function standing(along: number, across: number, turned: boolean): HomeMadeBox {
    const wanted = smallestBox(needed);
    const floorMm2 = needed.floorM2 * 1e6;
    const least = needed.lengthMm ?? 0;
    const heightShort = Math.max(0, (needed.heightMm ?? 0) - high);
    // As the rules draw it, else as deep as the space and longer, else as long as the space and deeper.
    const attempts = [
      { length: wanted.lengthMm, depth: wanted.depthMm ?? 0 },
      { length: Math.max(least, floorMm2 / across), depth: across },
      { length: along, depth: floorMm2 / along },
    ];
    const found = attempts.find(
      ({ length, depth }) =>
        Number.isFinite(length + depth) &&
        length >= least - ROUNDING_MM &&
        length <= along + ROUNDING_MM &&
        depth <= across + ROUNDING_MM,
    );
    if (heightShort === 0 && found !== undefined) {
      const inside = {
        lengthMm: Math.min(upToCm(found.length), along),
        depthMm: wanted.depthMm === null ? null : Math.min(upToCm(found.depth), across),
        heightMm: wanted.heightMm === null ? null : Math.min(wanted.heightMm, high),
      };
      return { status: 'fits', inside, outside: outsideOf(inside), turned };
    }
    const depthWanted = floorMm2 / Math.max(Number.isFinite(along) ? along : wanted.lengthMm, least);
    const shortages: Shortage[] = [
      { dimension: turned ? ('depth' as const) : ('length' as const), byMm: Math.max(0, least - along) },
      { dimension: turned ? ('length' as const) : ('depth' as const), byMm: Math.max(0, depthWanted - across) },
      { dimension: 'height' as const, byMm: heightShort },
    ]
      .filter((one) => one.byMm > 0 && (found === undefined || one.dimension === 'height'))
      .map((one) => ({ ...one, byMm: Math.ceil(one.byMm - ROUNDING_MM) }));
    const filled = {
      lengthMm: Number.isFinite(along) ? along : wanted.lengthMm,
      depthMm: Number.isFinite(across) ? across : (wanted.depthMm ?? 0),
      heightMm: Number.isFinite(high) ? high : (wanted.heightMm ?? 0),
    };
    const ratio = leastRatio(needed, extentOf(filled), heightCounts).ratio;
    return { status: 'short', shortages, largest: filled, ratio, turned };
  }

  function outsideOf({ lengthMm, depthMm, heightMm }: SuggestedBox): SuggestedBox {
    const grown = (mm: number | null) => (mm === null ? null : mm + 2 * wallMm);
    return { lengthMm: lengthMm + 2 * wallMm, depthMm: grown(depthMm), heightMm: grown(heightMm) };
  }
}

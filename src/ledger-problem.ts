// How a ledger becomes a planning problem: every combination of upgrades that touch one need of one animal is fitted on paper, scored
// with the score page's own function, and kept as the fewest states that say the same. Upgrades never carry points of their own.

import { alikeDays } from './alike-days.ts';
import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths, firstDay, monthOf, monthsBetween } from './calendar.ts';
import type { Animal, Collection, Fitting } from './collection.ts';
import { aroundEnclosures } from './collection.ts';
import { prepareProblem, slackOf, TAIL_TOLERANCE, tailCostOf } from './evaluate.ts';
import { withoutOutdated } from './evidence.ts';
import { type Money, money } from './money.ts';
import type { PlannedAnimal, PlannedNeed, PlanningProblem, Purchase } from './problem.ts';
import type { AnimalScore, NeedOutcome, NeedScore, Scoring, ValueChoices } from './score.ts';
import { needScorer, scoreAnimal, targetsOn } from './score.ts';
import type { CareLibrary, Need } from './species.ts';
import { NEEDS } from './species.ts';
import type { Upgrade } from './upgrades.ts';
import { applyUpgrades, enclosuresOf, needsTouched } from './upgrades.ts';

/**
 * What a fitted thing costs to keep: its running cost a month and its dated renewals. `isBroken` is set for what broke: it costs nothing
 * before something renews it, and then the same as before.
 */
export type OwnedCost = {
  fittingId: string;
  monthlyCost: Money;
  life: number | null;
  renewalPrice: Money | null;
  monthsInService: number;
  isBroken?: true;
};

/** The money side of a plan, month by month from the first month; see the budget for how it is found. */
export type PlanMoney = {
  openingCash: Money;
  income: readonly Money[];
  committed: readonly Money[];
  reserve: Money;
  /** What each month may not end below where that is less than `reserve`; left out, it is `reserve` in every month. See withPayableFloor. */
  floors?: readonly Money[];
  owned: readonly OwnedCost[];
  /** What is left of a usual month's sum after what is always owed, owned things not counted. */
  tailIncome: Money;
};

/** Everything that decides a plan. `planDate` is the day it is made; `firstMonth` the first month not closed. */
export type LedgerFacts = {
  collection: Collection;
  library: CareLibrary;
  choices: ValueChoices;
  upgrades: readonly Upgrade[];
  money: PlanMoney;
  planDate: PlainDate;
  firstMonth: PlainMonth;
  months: number;
  creditMonths: number;
};

/** Why an upgrade is not part of the problem although the keeper did not refuse it. */
export type LeftOut =
  | { upgradeId: string; why: 'too-many-at-once'; need: Need; animalId: string }
  | { upgradeId: string; why: 'needs-what-is-not-wanted' }
  | { upgradeId: string; why: 'pinned-after-the-plan' };

/** The problem, the upgrades it holds, those left out, and whether the rule for the time after the plan had to be dropped. */
export type BuiltProblem = {
  problem: PlanningProblem;
  upgrades: Upgrade[];
  leftOut: LeftOut[];
  tailRule: 'kept' | 'already-broken';
};

/**
 * How many upgrades may touch one need of one animal at once, so that every combination can be scored; those that do most for the animal by
 * themselves are kept, and the others are named and left out.
 */
const MOST_AT_ONCE = 5;

const MOST_COMBINATIONS = 512;

/** Combinations are kept as bits of one whole number. */
const MOST_LISTED = 30;

/** The id a fitted thing has among the purchases of a problem. */
export function ownedId(fittingId: string): string {
  return `fitted-${fittingId}`;
}

/** The id that the renewals of a fitted thing have among the purchases of a problem. */
export function renewalId(fittingId: string): string {
  return `${ownedId(fittingId)}-renewal`;
}

/** The day on which month `index` of a plan is judged: the day of planning in the first month, then each month's first day. */
export function dayOfMonth(facts: { planDate: PlainDate; firstMonth: PlainMonth }, index: number): PlainDate {
  const first = firstDay(addMonths(facts.firstMonth, index));
  return index === 0 && facts.planDate > first ? facts.planDate : first;
}

/**
 * The collection as a plan finds it: fitted things whose renewals the plan pays for never pass their life. Its lists are frozen, so that a
 * large one is sorted by enclosures once.
 */
export function plannedCollection(facts: LedgerFacts): Collection {
  const renewed = new Set(facts.money.owned.filter((one) => isRenewed(one)).map((one) => one.fittingId));
  const { collection } = facts;
  const frozen = <One>(list: readonly One[]) => Object.freeze([...list]) as One[];
  return {
    ...collection,
    animals: frozen(collection.animals),
    enclosures: frozen(collection.enclosures),
    fittings: frozen(collection.fittings.map((one) => (renewed.has(one.id) ? { ...one, lifeMonths: null } : one))),
    readings: frozen(collection.readings),
    answers: frozen(collection.answers),
  };
}

/** The score of one animal in a month of the plan with some upgrades in service; null when it has no enclosure. */
export function scoreInMonth(
  facts: LedgerFacts,
  animal: Animal,
  inService: readonly Upgrade[],
  month: number,
  base = plannedCollection(facts),
): AnimalScore | null {
  return scoreAnimal(animal, scoringInMonth(facts, inService, month, base));
}

function scoringInMonth(facts: LedgerFacts, inService: readonly Upgrade[], month: number, base: Collection): Scoring {
  const on = dayOfMonth(facts, month);
  const collection = applyUpgrades(base, inService, on);
  return { collection, library: facts.library, choices: facts.choices, on, knownOn: facts.planDate };
}

/** Builds the planning problem of a ledger. `tell` hears how many of its animals are written down as each one is. */
export function buildProblem(facts: LedgerFacts, tell?: (done: number, of: number) => void): BuiltProblem {
  const leftOut: LeftOut[] = [];
  let wanted = withoutMetRequirements(facts);
  wanted = withoutPinnedTooLate(facts, wanted, leftOut);
  const base = plannedCollection(facts);
  wanted = withoutUnmetRequirements(wanted, leftOut);
  const touchingAll = byEnclosure(wanted, base);
  const housed = facts.collection.animals.filter((one) => one.enclosureId !== null);
  // What an animal's needs came to, with the upgrades that were there: of a large collection most animals are not touched by what one of
  // them makes too many. What was scored for an animal holds for the same animal with fewer upgrades too.
  const known = new Map<string, { touching: string; animal: PlannedAnimal }>();
  const scored: { of: Animal | null; scores: CellSource } = { of: null, scores: () => null };
  for (;;) {
    const animals: PlannedAnimal[] = [];
    const left = new Set(wanted);
    let dropped: { upgrade: Upgrade; need: Need; animalId: string } | null = null;
    for (const animal of housed) {
      const touching = (touchingAll.get(animal.enclosureId!) ?? []).filter((one) => left.has(one));
      const key = touching.map((one) => one.id).join(' ');
      const before = known.get(animal.id);
      if (before?.touching === key) {
        animals.push(before.animal);
        continue;
      }
      const around = aroundEnclosures(base, [animal.enclosureId!]);
      if (scored.of !== animal)
        Object.assign(scored, { of: animal, scores: scoresOf(facts, around, animal, touching) });
      const planned = planAnimal(facts, around, animal, touching, scored.scores);
      if (planned.status === 'too-many') {
        dropped = { upgrade: planned.drop, need: planned.need, animalId: animal.id };
        break;
      }
      known.set(animal.id, { touching: key, animal: planned.animal });
      tell?.(known.size, housed.length);
      animals.push(planned.animal);
    }
    if (dropped === null) return assemble(facts, base, wanted, animals, leftOut);
    const { upgrade, need, animalId } = dropped;
    leftOut.push({ upgradeId: upgrade.id, why: 'too-many-at-once', need, animalId });
    // An animal planned before may have seen the upgrade that is gone; those that did are planned again, so that all see the same list.
    wanted = withoutUnmetRequirements(
      wanted.filter((one) => one !== upgrade),
      leftOut,
    );
  }
}

/** Which upgrades touch each enclosure, in their order. */
export function byEnclosure(upgrades: readonly Upgrade[], base: Collection): Map<string, Upgrade[]> {
  const touching = new Map<string, Upgrade[]>();
  for (const one of upgrades)
    for (const id of enclosuresOf(one, base)) touching.set(id, [...(touching.get(id) ?? []), one]);
  return touching;
}

/** The problem of a ledger without its animals: enough to tell what can be paid, and made in no time. */
export function buildMoneyProblem(facts: LedgerFacts): PlanningProblem {
  const leftOut: LeftOut[] = [];
  const wanted = withoutPinnedTooLate(facts, withoutMetRequirements(facts), leftOut);
  return assemble(facts, plannedCollection(facts), withoutUnmetRequirements(wanted, leftOut), [], leftOut).problem;
}

/**
 * The facts with what each month may not end below: the floor, and where less than that is there although nothing is bought, what is there.
 * So a floor that what is owed has broken forbids no plan: what is free is done, and whatever would break it further waits.
 */
export function withPayableFloor(facts: LedgerFacts): LedgerFacts {
  const upgrades = facts.upgrades.filter((one) => one.status !== 'wanted');
  const prepared = prepareProblem(buildMoneyProblem({ ...facts, upgrades }));
  const slack = slackOf(prepared, prepared.fixedMonth);
  if (slack.every((left) => left >= 0)) return facts;
  const { reserve } = facts.money;
  const floors = Array.from(slack, (left) => money(reserve + Math.min(0, Math.floor(left))));
  return { ...facts, money: { ...facts.money, floors } };
}

function assemble(
  facts: LedgerFacts,
  base: Collection,
  upgrades: Upgrade[],
  animals: PlannedAnimal[],
  leftOut: LeftOut[],
): BuiltProblem {
  const owned = facts.money.owned.flatMap(ownedPurchases);
  const ownedIds = new Set(owned.map((one) => one.id));
  const problem: PlanningProblem = {
    months: facts.months,
    creditMonths: facts.creditMonths,
    openingCash: facts.money.openingCash,
    reserve: facts.money.floors ?? facts.money.reserve,
    income: [...facts.money.income],
    committed: [...facts.money.committed],
    purchases: [...upgrades.map((one) => purchaseOf(facts, base, one, upgrades, ownedIds)), ...owned],
    animals,
    priority: facts.choices.priority,
  };
  // What is owned, ordered or pinned leaves no choice; a rule that it breaks by itself would forbid every plan.
  const prepared = prepareProblem(problem);
  const tailRule =
    tailCostOf(prepared, prepared.fixedMonth) <= facts.money.tailIncome + TAIL_TOLERANCE ? 'kept' : 'already-broken';
  if (tailRule === 'kept') problem.tailIncome = facts.money.tailIncome;
  return { problem, upgrades, leftOut, tailRule };
}

function isRenewed(one: OwnedCost): boolean {
  // A thing already past its life is not renewed by itself: renewing it is a purchase of its own.
  return one.life !== null && one.renewalPrice !== null && one.monthsInService <= one.life;
}

// Running cost and renewals are told apart, since a purchase that renews a thing ends its coming renewals and not its power.
function ownedPurchases(one: OwnedCost): Purchase[] {
  if (one.isBroken) return [];
  const since = one.monthsInService > 0 ? { ownedSince: -one.monthsInService } : { fixedMonth: 0 };
  const running: Purchase = { id: ownedId(one.fittingId), price: 0, monthlyCost: one.monthlyCost, ...since };
  if (!isRenewed(one)) return [running];
  return [running, { id: renewalId(one.fittingId), price: 0, life: one.life!, renewal: one.renewalPrice!, ...since }];
}

function purchaseOf(
  facts: LedgerFacts,
  base: Collection,
  upgrade: Upgrade,
  upgrades: Upgrade[],
  owned: Set<string>,
): Purchase {
  const here = new Set(upgrades.map((one) => one.id));
  const ordered = upgrade.status === 'ordered';
  // A pin whose month has passed was not kept, and binds nobody any more.
  const pinned = upgrade.pinnedMonth === null ? -1 : monthsBetween(facts.firstMonth, upgrade.pinnedMonth);
  const fixed = ordered ? 0 : pinned >= 0 ? pinned : null;
  const arrives =
    ordered && upgrade.arrivesMonth !== null ? Math.max(0, monthsBetween(facts.firstMonth, upgrade.arrivesMonth)) : 0;
  const earliest = upgrade.earliestMonth === null ? 0 : monthsBetween(facts.firstMonth, upgrade.earliestMonth);
  const groups = groupsOf(upgrade);
  const requires = upgrade.requires.map((set) => set.filter((id) => here.has(id))).filter((set) => set.length > 0);
  const retires = retiredBy(base, upgrade, upgrades).filter((id) => here.has(id) || owned.has(id));
  const back = facts.money.owned.filter(
    (one) =>
      one.isBroken && upgrade.changes.some((change) => change.change === 'renew' && change.fittingId === one.fittingId),
  );
  const wearing = back.filter((one) => one.life !== null).sort((a, b) => a.life! - b.life!)[0];
  const life = upgrade.lifeMonths ?? wearing?.life ?? null;
  return {
    id: upgrade.id,
    price: ordered ? 0 : upgrade.priceHigh,
    ...(fixed === null && earliest > 0 ? { earliest: Math.min(earliest, facts.months - 1) } : {}),
    ...(fixed === null ? {} : { fixedMonth: fixed }),
    lead: ordered ? arrives : upgrade.leadMonths,
    monthlyCost: upgrade.monthlyCost + back.reduce((sum, one) => sum + one.monthlyCost, 0),
    // What nobody priced the renewal of costs again what it costs now.
    ...(life === null ? {} : { life, renewal: upgrade.renewalPrice ?? wearing?.renewalPrice ?? upgrade.priceHigh }),
    ...(requires.length === 0 ? {} : { requires }),
    ...(groups.length === 0 ? {} : { groups }),
    ...(retires.length === 0 ? {} : { retires }),
    ...(upgrade.proceeds === null
      ? {}
      : { proceeds: { amount: upgrade.proceeds.amount, after: upgrade.proceeds.afterMonths } }),
  };
}

/** The one-of groups an upgrade belongs to: the keeper's, and one for every box it replaces. */
export function groupsOf(upgrade: Upgrade): string[] {
  const boxes = upgrade.changes.flatMap((change) =>
    change.change === 'replace-box' ? [`box of ${change.enclosureId}`] : [],
  );
  return [...new Set([...(upgrade.group === null ? [] : [upgrade.group]), ...boxes])];
}

// What costs nothing any more once the upgrade is in service: fitted things it retires, and all that stays behind with an old box.
function retiredBy(base: Collection, upgrade: Upgrade, upgrades: Upgrade[]): string[] {
  const on = firstDay('9999-12' as PlainMonth);
  const around = aroundEnclosures(base, enclosuresOf(upgrade, base));
  const after = new Map(applyUpgrades(around, [upgrade], on).fittings.map((one) => [one.id, one]));
  const things = around.fittings
    .filter((one) => one.retiredOn === null && after.get(one.id)?.retiredOn === on)
    .flatMap((one) => [ownedId(one.id), renewalId(one.id)]);
  const boxes = upgrade.changes.flatMap((change) => (change.change === 'replace-box' ? [change.enclosureId] : []));
  // What renews a thing past its life stands for the thing's own coming renewals from then on.
  const renewed = upgrade.changes.flatMap((change) => (change.change === 'renew' ? [renewalId(change.fittingId)] : []));
  const useless =
    boxes.length === 0
      ? []
      : upgrades.filter((one) => one !== upgrade && isLeftBehind(one, boxes, base.fittings)).map((one) => one.id);
  return [...new Set([...things, ...renewed, ...useless])];
}

/** Whether everything an upgrade fits or renews stays behind when these enclosures get new boxes, so that its money would be lost. */
export function isLeftBehind(upgrade: Upgrade, boxes: readonly string[], fittings: readonly Fitting[]): boolean {
  const things = upgrade.changes.flatMap((change): Pick<Fitting, 'enclosureId' | 'whenBoxReplaced'>[] => {
    if (change.change === 'fit') return [{ ...change.fitting, enclosureId: change.enclosureId }];
    return change.change === 'renew' ? fittings.filter((one) => one.id === change.fittingId) : [];
  });
  return (
    things.length > 0 &&
    upgrade.changes.every((change) => change.change !== 'replace-box') &&
    things.every((one) => boxes.includes(one.enclosureId) && one.whenBoxReplaced === 'stays-behind')
  );
}

function withoutPinnedTooLate(facts: LedgerFacts, wanted: Upgrade[], leftOut: LeftOut[]): Upgrade[] {
  return wanted.filter((one) => {
    const late = (month: PlainMonth | null) => month !== null && monthsBetween(facts.firstMonth, month) >= facts.months;
    const out = one.status === 'wanted' && (late(one.pinnedMonth) || late(one.earliestMonth));
    if (out) leftOut.push({ upgradeId: one.id, why: 'pinned-after-the-plan' });
    return !out;
  });
}

// What is fitted already is there for others to build on; what is ordered comes whatever it needs.
function withoutMetRequirements(facts: LedgerFacts): Upgrade[] {
  const fitted = new Set(facts.upgrades.filter((one) => one.status === 'fitted').map((one) => one.id));
  return facts.upgrades
    .filter((one) => one.status === 'wanted' || one.status === 'ordered')
    .map((one) => ({
      ...one,
      requires: one.status === 'ordered' ? [] : one.requires.filter((set) => !set.some((id) => fitted.has(id))),
    }));
}

function withoutUnmetRequirements(wanted: Upgrade[], leftOut: LeftOut[]): Upgrade[] {
  let kept = wanted;
  for (;;) {
    const here = new Set(kept.map((one) => one.id));
    const unmet = kept.filter((one) => one.requires.some((set) => set.every((id) => !here.has(id))));
    if (unmet.length === 0) return kept;
    for (const one of unmet) leftOut.push({ upgradeId: one.id, why: 'needs-what-is-not-wanted' });
    kept = kept.filter((one) => !unmet.includes(one));
  }
}

type Planned = { status: 'planned'; animal: PlannedAnimal } | { status: 'too-many'; drop: Upgrade; need: Need };

function planAnimal(
  facts: LedgerFacts,
  around: Collection,
  animal: Animal,
  touching: readonly Upgrade[],
  scores: CellSource,
): Planned {
  const touched = new Map(touching.map((one) => [one, needsTouched(one, around)]));
  const gains = () => singleGains(touching, touched, scores, facts.months);
  const planned: PlannedNeed[] = [];
  for (const need of NEEDS) {
    const relevant = touching.filter((one) => touched.get(one)!.includes(need));
    if (relevant.length > MOST_LISTED || combinations(relevant).length > MOST_COMBINATIONS)
      return { status: 'too-many', drop: leastUseful(relevant, gains()), need };
    const table = tabulate(facts, need, relevant, scores);
    const telling = table.upgrades;
    if (Math.max(...table.masks.map(countBits)) > MOST_AT_ONCE)
      return { status: 'too-many', drop: leastUseful(telling, gains()), need };
    planned.push(...needsOf(need, table, facts.months));
  }
  return { status: 'planned', animal: { id: animal.id, needs: planned } };
}

type CellSource = (need: Need, chosen: readonly Upgrade[], month: number) => Cell;

// The same upgrades are met again for other needs, and one month is judged as another; what they make of the set-up is worked out once.
// `touching` are all that are ever asked about.
function scoresOf(facts: LedgerFacts, around: Collection, animal: Animal, touching: readonly Upgrade[]): CellSource {
  const { library, choices, planDate } = facts;
  const scorers = new Map<string, (need: Need) => NeedOutcome>();
  const known = new Map<Need, Map<string, Cell>>(NEEDS.map((need) => [need, new Map()]));
  const days = Array.from({ length: facts.months }, (_, month) => {
    const on = dayOfMonth(facts, month);
    return { on, targets: targetsOn(animal, { library, on }) };
  });
  const { ruleSets } = choices;
  const alike = alikeDays({ animal, around, upgrades: touching, ruleSets, knownOn: planDate, days });
  const [earliest] = [...days.map(({ on }) => on), planDate].sort();
  const telling = withoutOutdated(around, earliest!);
  return (need, chosen, month) => {
    const first = alike(need)[month]!;
    const key = `${first} ${chosen.map((one) => one.id).join(' ')}`;
    const before = known.get(need)!.get(key);
    if (before !== undefined) return before;
    let score = scorers.get(key);
    if (score === undefined) {
      score = needScorer(animal, scoringInMonth(facts, chosen, first, telling), days[first]!.targets)!;
      scorers.set(key, score);
    }
    const outcome = score(need);
    const cell = outcome.status === 'scored' ? cellOf(outcome.score) : null;
    known.get(need)!.set(key, cell);
    return cell;
  };
}

/** What an upgrade does for one animal by itself: how often it ends a severe shortfall, and the weighted points it adds over the plan. */
type Gain = { ended: number; points: number };

// With what it needs to be of any use, on top of what is free and so done first; what others need is worth as much as the best of them.
function singleGains(
  touching: readonly Upgrade[],
  touched: ReadonlyMap<Upgrade, Need[]>,
  scores: CellSource,
  months: number,
): Map<Upgrade, Gain> {
  const byId = new Map(touching.map((one) => [one.id, one]));
  const withNeeded = (one: Upgrade, found = new Set<Upgrade>()): Set<Upgrade> => {
    if (found.has(one)) return found;
    found.add(one);
    for (const set of one.requires) {
      const first = set.map((id) => byId.get(id)).find((each) => each !== undefined);
      if (first !== undefined) withNeeded(first, found);
    }
    return found;
  };
  const free = touching.filter((one) => one.priceHigh === 0);
  const gains = new Map<Upgrade, Gain>();
  for (const one of touching) {
    const together = withNeeded(one);
    const chosen = touching.filter((each) => together.has(each));
    const groups = new Set(chosen.flatMap(groupsOf));
    const besides = new Set<Upgrade>();
    for (const each of free) {
      const own = groupsOf(each);
      if (together.has(each) || own.some((group) => groups.has(group))) continue;
      for (const group of own) groups.add(group);
      besides.add(each);
    }
    const before = touching.filter((each) => besides.has(each));
    const after = touching.filter((each) => besides.has(each) || together.has(each));
    const gain: Gain = { ended: 0, points: 0 };
    for (const need of NEEDS.filter((each) => chosen.some((upgrade) => touched.get(upgrade)!.includes(each)))) {
      for (let month = 0; month < months; month++) {
        const [was, is] = [scores(need, before, month), scores(need, after, month)];
        if (was === null || is === null) continue;
        gain.ended += Number(was.severe) - Number(is.severe);
        gain.points += is.weight * (is.value - was.value);
      }
    }
    for (const each of chosen) {
      const known = gains.get(each);
      if (known === undefined || compareGains(gain, known) > 0) gains.set(each, gain);
    }
  }
  return gains;
}

function compareGains(a: Gain, b: Gain): number {
  return a.ended - b.ended || a.points - b.points;
}

// What the keeper ordered or pinned stays; of the rest the one that does least by itself goes first, of equals the one listed last.
function leastUseful(upgrades: readonly Upgrade[], gains: ReadonlyMap<Upgrade, Gain>): Upgrade {
  const free = upgrades.filter((one) => one.status === 'wanted' && one.pinnedMonth === null);
  return (free.length > 0 ? free : upgrades).reduce((least, one) =>
    compareGains(gains.get(one)!, gains.get(least)!) <= 0 ? one : least,
  );
}

/** Every set of these upgrades that can be in service together, as bit masks: one of a group, and nothing without what it needs. */
function combinations(upgrades: readonly Upgrade[]): number[] {
  const masks: number[] = [];
  const place = new Map(upgrades.map((one, index) => [one.id, index]));
  const extend = (index: number, mask: number, groups: ReadonlySet<string>) => {
    if (masks.length > MOST_COMBINATIONS * 4) return;
    if (index === upgrades.length) {
      const met = upgrades.every(
        (one, position) =>
          (mask & (1 << position)) === 0 ||
          one.requires.every((set) => set.some((id) => !place.has(id) || (mask & (1 << place.get(id)!)) !== 0)),
      );
      if (met) masks.push(mask);
      return;
    }
    extend(index + 1, mask, groups);
    const own = groupsOf(upgrades[index]!);
    if (!own.some((group) => groups.has(group))) extend(index + 1, mask | (1 << index), new Set([...groups, ...own]));
  };
  extend(0, 0, new Set());
  return masks;
}

type Cell = { value: number; severe: boolean; allowance: number; weight: number } | null;

/** One need of one animal under every combination and month; null where the need does not count. */
type Table = { upgrades: Upgrade[]; masks: number[]; cells: Cell[][] };

function tabulate(facts: LedgerFacts, need: Need, relevant: Upgrade[], scores: CellSource): Table {
  const masks = combinations(relevant);
  const cells = masks.map((mask) => {
    const chosen = relevant.filter((_, index) => (mask & (1 << index)) !== 0);
    return Array.from({ length: facts.months }, (_, month) => scores(need, chosen, month));
  });
  let table: Table = { upgrades: relevant, masks, cells };
  for (;;) {
    const smaller = withoutIdle(table);
    if (smaller.upgrades.length === table.upgrades.length) return smaller;
    // What was kept only for the sake of an idle one that needs it may now be idle itself.
    table = smaller;
  }
}

function cellOf({ value, severe, allowance, weight }: NeedScore): Cell {
  return { value, severe, allowance, weight };
}

// Drops the upgrades that change nothing for this need in any combination and month.
function withoutIdle(table: Table): Table {
  const row = new Map(table.masks.map((mask, index) => [mask, table.cells[index]!]));
  const same = (a: Cell[], b: Cell[]) =>
    a.every((cell, month) => cell?.value === b[month]?.value && cell?.severe === b[month]?.severe);
  const telling = table.upgrades.map((_, index) =>
    table.masks.some((mask) => {
      const without = row.get(mask & ~(1 << index));
      return (mask & (1 << index)) !== 0 && without !== undefined && !same(row.get(mask)!, without);
    }),
  );
  // An upgrade that only ever comes with another (it needs it) can be told apart from that pair only by the pair's own row.
  const onlyTogether = table.upgrades.map((_, index) =>
    table.masks.some((mask) => (mask & (1 << index)) !== 0 && !row.has(mask & ~(1 << index))),
  );
  const kept = table.upgrades
    .map((_, index) => index)
    .filter((index) => telling[index] === true || onlyTogether[index] === true);
  const keptMask = kept.reduce((mask, index) => mask | (1 << index), 0);
  const compact = (mask: number) =>
    kept.reduce((small, index, place) => ((mask & (1 << index)) === 0 ? small : small | (1 << place)), 0);
  const picked = table.masks.map((mask, index) => ({ mask, index })).filter(({ mask }) => (mask & ~keptMask) === 0);
  return {
    upgrades: kept.map((index) => table.upgrades[index]!),
    masks: picked.map(({ mask }) => compact(mask)),
    cells: picked.map(({ index }) => table.cells[index]!),
  };
}

// A problem's state is severe or not in every month alike, so months that differ in that (or in the allowance) become needs of their
// own, of which exactly one counts in each month.
function needsOf(need: Need, table: Table, months: number): PlannedNeed[] {
  const classes = new Map<string, number[]>();
  for (let month = 0; month < months; month++) {
    const column = table.cells.map((row) => row[month]!);
    if (column.every((cell) => cell === null)) continue;
    const key = JSON.stringify([column[0]!.allowance, column[0]!.weight, column.map((cell) => cell.severe)]);
    classes.set(key, [...(classes.get(key) ?? []), month]);
  }
  return [...classes.values()].map((counting, index) => {
    const sample = table.cells[0]![counting[0]!]!;
    const off = Array.from({ length: months }, (_, month) => month).filter((month) => !counting.includes(month));
    return {
      need: index === 0 ? need : `${need}@${index + 1}`,
      weight: sample.weight,
      allowance: sample.allowance,
      lifeCritical: true,
      ...(off.length === 0 ? {} : { offMonths: off }),
      states: statesOf(table, counting, months),
    };
  });
}

/** The need a planned need stands for: 'uv' for 'uv' and for 'uv@2'. */
export function needNamed(name: string): Need {
  return name.split('@')[0] as Need;
}

type Draft = { mask: number; blocked: number; covers: number[] };

function statesOf(table: Table, counting: number[], months: number): PlannedNeed['states'] {
  const { masks, cells, upgrades } = table;
  const all = (1 << upgrades.length) - 1;
  const at = (index: number, month: number) => cells[index]![month]!;
  const covered = (mask: number, blocked: number) =>
    masks
      .map((_, index) => index)
      .filter((index) => (masks[index]! & mask) === mask && (masks[index]! & blocked) === 0);
  const understates = (own: number, other: number) =>
    counting.every(
      (month) => at(other, month).value >= at(own, month).value && (at(own, month).severe || !at(other, month).severe),
    );
  const drafts = masks.map((mask, own): Draft => {
    let blocked = all & ~mask;
    for (let bit = 0; bit < upgrades.length; bit++) {
      const looser = blocked & ~(1 << bit);
      if (looser !== blocked && covered(mask, looser).every((other) => understates(own, other))) blocked = looser;
    }
    return { mask, blocked, covers: covered(mask, blocked) };
  });
  const kept = new Set(drafts);
  // The narrowest state is tried first: it is the likeliest to be told already by a wider one.
  for (const draft of [...drafts].sort(
    (a, b) => a.covers.length - b.covers.length || countBits(b.mask) - countBits(a.mask),
  )) {
    const others = [...kept].filter((one) => one !== draft);
    const told = draft.covers.every((index) => {
      const holding = others.filter((one) => one.covers.includes(index));
      return counting.every((month) => {
        const rows = holding.map((one) => at(masks.indexOf(one.mask), month));
        return (
          rows.some((cell) => cell.value === at(index, month).value) &&
          (at(index, month).severe || rows.some((cell) => !cell.severe))
        );
      });
    });
    if (told) kept.delete(draft);
  }
  const ids = (mask: number) => upgrades.filter((_, index) => (mask & (1 << index)) !== 0).map((one) => one.id);
  return [...kept].map((draft) => {
    const own = masks.indexOf(draft.mask);
    const values = counting.map((month) => at(own, month).value);
    const spread = Array.from({ length: months }, (_, month) => (counting.includes(month) ? at(own, month).value : 0));
    return {
      value: values.every((value) => value === values[0]) ? values[0]! : spread,
      needs: ids(draft.mask),
      ...(draft.blocked === 0 ? {} : { blockedBy: ids(draft.blocked) }),
      severe: at(own, counting[0]!).severe,
    };
  });
}

function countBits(mask: number): number {
  let count = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) count++;
  return count;
}

/** The age in whole months of a fitted thing at the start of a plan, as its renewals are counted. */
export function monthsInService(fitting: Fitting, firstMonth: PlainMonth): number {
  return Math.max(0, monthsBetween(monthOf(fitting.fittedOn), firstMonth));
}

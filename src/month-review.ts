// What a month was planned to be and what became of it: the money as earned value, and the welfare in points x months, the difference
// split by seven causes that always sum exactly. The only file that knows what a closed month keeps and in which order causes are told.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths, firstDay, lastDay, monthOf, monthsBetween } from './calendar.ts';
import type { Answer, Collection, Fitting, Reading, ReadingKind } from './collection.ts';
import type { LedgerFacts } from './ledger-problem.ts';
import { dayOfMonth, plannedCollection } from './ledger-problem.ts';
import type { Money } from './money.ts';
import { money, sumMoney } from './money.ts';
import type { ValueChoices } from './score.ts';
import { scoreAnimal } from './score.ts';
import type { CareLibrary, Need } from './species.ts';
import type { Upgrade } from './upgrades.ts';
import { applyUpgrades, readingsAfter } from './upgrades.ts';

/**
 * Money planned and spent. All sums are cumulative from the day of the plan: `planned` (PV) is the planned price of what was due
 * in service, `earned` (EV) the planned price of what really is, `spent` (AC) what was paid less refunds, `budget` (BAC) the planned
 * price of the whole plan. A ratio is null where its divisor is 0; `atCompletion` (EAC = BAC / CPI) also where nothing was earned.
 */
export type EarnedValue = {
  budget: Money;
  planned: Money;
  earned: Money;
  spent: Money;
  costVariance: Money;
  scheduleVariance: Money;
  costIndex: number | null;
  scheduleIndex: number | null;
  atCompletion: Money | null;
  /** Paid, less refunds, for what the plan did not hold: no part of `spent`, since no price of the plan is behind it. Older records lack it. */
  unplanned?: Money;
};

/** Earned value of a plan: CV = EV - AC, SV = EV - PV, CPI = EV / AC, SPI = EV / PV, EAC = BAC / CPI. */
export function earnedValue(sums: { budget: Money; planned: Money; earned: Money; spent: Money }): EarnedValue {
  const { budget, planned, earned, spent } = sums;
  return {
    ...sums,
    costVariance: money(earned - spent),
    scheduleVariance: money(earned - planned),
    costIndex: spent === 0 ? null : earned / spent,
    scheduleIndex: planned === 0 ? null : earned / planned,
    atCompletion: spent <= 0 || earned <= 0 ? null : money(Math.round((budget * spent) / earned)),
  };
}

/** One purchase as a plan had it: `arrives` is the month in which it was to be in service. */
export type PlannedBuy = { upgradeId: string; name: string; price: Money; arrives: PlainMonth };

/** One purchase that was paid; `fittedOn` is null while it is not in service, `refunded` what came back of the price. */
export type MadePurchase = {
  upgradeId: string;
  name: string;
  paid: Money;
  boughtOn: PlainDate;
  fittedOn: PlainDate | null;
  refunded: Money;
};

/** The money of a plan as it stands on a day in `month`: what was paid before the day `from` of the plan is not of this plan. */
export function reviewMoney(
  planned: readonly PlannedBuy[],
  made: readonly MadePurchase[],
  span: { from: PlainDate; month: PlainMonth; on: PlainDate },
): EarnedValue {
  const inPlan = new Set(planned.map((one) => one.upgradeId));
  const paidInSpan = made.filter((one) => one.boughtOn >= span.from && one.boughtOn <= span.on);
  const paidFor = (list: readonly MadePurchase[]) => sumMoney(list.map((one) => one.paid - one.refunded));
  const inService = new Set(
    made.filter((one) => one.fittedOn !== null && one.fittedOn <= span.on).map((one) => one.upgradeId),
  );
  const value = earnedValue({
    budget: sumMoney(planned.map((one) => one.price)),
    planned: sumMoney(planned.filter((one) => one.arrives <= span.month).map((one) => one.price)),
    earned: sumMoney(planned.filter((one) => inService.has(one.upgradeId)).map((one) => one.price)),
    spent: paidFor(paidInSpan.filter((one) => inPlan.has(one.upgradeId))),
  });
  return { ...value, unplanned: paidFor(paidInSpan.filter((one) => !inPlan.has(one.upgradeId))) };
}

/** Why welfare was other than planned, in the fixed order in which causes are changed one at a time. */
export const CAUSES = [
  'not-bought',
  'bought-late',
  'delivered-otherwise',
  'evidence-changed',
  'aged',
  'target-revised',
  'joined-or-left',
] as const;
export type Cause = (typeof CAUSES)[number];

/** Points x months of one animal in one month, in tenths of a point; null where it was not there to be scored. */
type AnimalReview = {
  animalId: string;
  name: string;
  planned: number | null;
  actual: number | null;
  causes: Record<Cause, number>;
};

/** The welfare of a month: whole tenths of points x months, so that `actual` - `planned` is the sum of the causes without rest. */
export type WelfareReview = { planned: number; actual: number; causes: Record<Cause, number>; animals: AnimalReview[] };

/** What was really so on the day a month is judged. `bought` holds the ids of all that was bought by the day of closing. */
export type ActualState = {
  collection: Collection;
  library: CareLibrary;
  choices: ValueChoices;
  on: PlainDate;
  bought: ReadonlySet<string>;
  fitted: readonly { upgrade: Upgrade; fittedOn: PlainDate }[];
};

/** What a month gives as one cause after another is changed from what was planned into what is so; whole tenths of points. */
export type StagePoints = Record<
  'planned' | 'bought' | 'inTime' | 'later' | 'delivered' | 'known' | 'aged' | 'revised' | 'actual',
  number
>;

/** The share of each cause; their sum is `actual` - `planned`. */
export function causesOf(points: StagePoints): Record<Cause, number> {
  return {
    'not-bought': points.bought - points.planned,
    'bought-late': points.inTime - points.bought,
    'delivered-otherwise': points.delivered - points.later,
    'evidence-changed': points.known - points.delivered,
    // Things age from the day of planning to the day of judging whether or not anything else is changed.
    aged: points.later - points.inTime + points.aged - points.known,
    'target-revised': points.revised - points.aged,
    'joined-or-left': points.actual - points.revised,
  };
}

/**
 * Splits the difference between a plan and what became of it. The frozen facts of the plan are changed into what is so, one cause at a time:
 * purchases never made, purchases not in service yet, things that delivered otherwise than promised, other readings and answers, what
 * aged or broke, revised targets and value choices, animals that came, left or moved. `plan` is the plan's own figure of the month, its
 * state judged on its own day; what passing from that day to `actual.on` changes by itself is ageing.
 */
export function reviewWelfare(
  facts: LedgerFacts,
  buys: readonly PlannedBuy[],
  month: PlainMonth,
  actual: ActualState,
): WelfareReview {
  const planDay = dayOfMonth(facts, Math.max(0, monthsBetween(facts.firstMonth, month)));
  const base = plannedCollection(facts);
  const fitted = actual.fitted.filter(
    ({ upgrade, fittedOn }) =>
      fittedOn <= actual.on && (fittedOn > facts.planDate || facts.upgrades.some((one) => one.id === upgrade.id)),
  );
  // A plan's own wording of an upgrade names things as they were called then.
  const asFitted = fitted.map(({ upgrade }) => facts.upgrades.find((one) => one.id === upgrade.id) ?? upgrade);
  const due = new Set(buys.filter((one) => one.arrives <= month).map((one) => one.upgradeId));
  const inPlan = new Set(buys.map((one) => one.upgradeId));
  const planned = facts.upgrades.filter((one) => due.has(one.id));
  const kept = planned.filter((one) => actual.bought.has(one.id) || asFitted.includes(one));
  const beside = asFitted.filter((one) => !inPlan.has(one.id));
  const asPlanned = (upgrades: readonly Upgrade[], on: PlainDate): Stage => ({
    collection: applyUpgrades(base, upgrades, on),
    library: facts.library,
    choices: facts.choices,
    on,
    knownOn: on === planDay ? facts.planDate : on,
  });
  const delivered = deliveredCollection(base, asFitted, fitted, actual.collection);
  const known: Collection = {
    ...delivered,
    animals: base.animals.map((one) => {
      const now = actual.collection.animals.find((other) => other.id === one.id);
      return now === undefined ? one : { ...now, enclosureId: one.enclosureId };
    }),
    readings: actual.collection.readings,
    answers: actual.collection.answers,
    rooms: actual.collection.rooms ?? [],
    lightCorrection: actual.collection.lightCorrection ?? null,
  };
  const now = { library: facts.library, choices: facts.choices, on: actual.on, knownOn: actual.on };
  const aged = { ...known, fittings: actual.collection.fittings };
  const revised = { ...now, library: actual.library, choices: actual.choices };
  const stages = {
    planned: asPlanned(planned, planDay),
    bought: asPlanned([...kept, ...beside], planDay),
    inTime: asPlanned(asFitted, planDay),
    later: asPlanned(asFitted, actual.on),
    delivered: { ...now, collection: delivered },
    known: { ...now, collection: known },
    aged: { ...now, collection: aged },
    revised: { ...revised, collection: aged },
    actual: { ...revised, collection: { ...actual.collection, enclosures: boxesOf(aged, actual.collection) } },
  };
  const names = new Map([...base.animals, ...actual.collection.animals].map((one) => [one.id, one.name]));
  const animals = [...names].map(([animalId, name]): AnimalReview => {
    const points = (stage: Stage) => pointsOf(stage, animalId);
    return {
      animalId,
      name,
      planned: points(stages.planned),
      actual: points(stages.actual),
      causes: causesOf(
        Object.fromEntries(Object.entries(stages).map(([key, stage]) => [key, points(stage) ?? 0])) as StagePoints,
      ),
    };
  });
  return {
    planned: animals.reduce((sum, one) => sum + (one.planned ?? 0), 0),
    actual: animals.reduce((sum, one) => sum + (one.actual ?? 0), 0),
    causes: Object.fromEntries(
      CAUSES.map((cause) => [cause, animals.reduce((sum, one) => sum + one.causes[cause], 0)]),
    ) as Record<Cause, number>,
    animals,
  };
}

type Stage = { collection: Collection; library: CareLibrary; choices: ValueChoices; on: PlainDate; knownOn: PlainDate };

function pointsOf(stage: Stage, animalId: string): number | null {
  const animal = stage.collection.animals.find((one) => one.id === animalId);
  if (animal === undefined) return null;
  const score = scoreAnimal(animal, stage);
  return score === null ? null : Math.round(score.score * 10);
}

// The boxes and things as they really stand, with the readings that prove them; everything else as the plan knew it. What broke meanwhile
// still works here and nothing passes its life, since those are causes of their own.
function deliveredCollection(
  base: Collection,
  upgrades: readonly Upgrade[],
  fitted: readonly { upgrade: Upgrade; fittedOn: PlainDate }[],
  actual: Collection,
): Collection {
  const before = new Map(base.fittings.map((one) => [one.id, one]));
  const proven = new Map<string, PlainDate>();
  const answered = new Set<string>();
  upgrades.forEach((upgrade, index) => {
    for (const { enclosureId, readings } of readingsAfter(upgrade, base)) {
      for (const kind of readings) proven.set(`${enclosureId} ${kind}`, fitted[index]!.fittedOn);
    }
    for (const one of upgrade.changes) if (one.change === 'answer') answered.add(`${one.enclosureId} ${one.check}`);
  });
  const known = new Set(base.readings.map((one) => one.id));
  const isProof = (one: Reading) => {
    const since = proven.get(`${one.enclosureId} ${one.kind}`);
    return since !== undefined && one.takenOn >= since && !known.has(one.id);
  };
  const isAnswered = (one: Answer) => answered.has(`${one.enclosureId} ${one.check}`);
  return {
    ...base,
    enclosures: boxesOf(base, actual),
    fittings: actual.fittings.map((one) => asStillWorking(one, before.get(one.id))),
    readings: [...base.readings, ...actual.readings.filter(isProof)],
    answers: [...base.answers.filter((one) => !isAnswered(one)), ...actual.answers.filter(isAnswered)],
  };
}

function asStillWorking(fitting: Fitting, before: Fitting | undefined): Fitting {
  if (before === undefined) return { ...fitting, lifeMonths: null };
  const broke = fitting.brokenOn !== null && fitting.brokenOn !== before.brokenOn;
  return {
    ...fitting,
    lifeMonths: before.lifeMonths,
    brokenOn: before.brokenOn,
    retiredOn: broke ? before.retiredOn : fitting.retiredOn,
  };
}

function boxesOf(base: Collection, actual: Collection): Collection['enclosures'] {
  const now = new Map([...base.enclosures, ...actual.enclosures].map((one) => [one.id, one]));
  return [...now.values()];
}

/**
 * A collection as it stood on a day that has passed, as far as its dates tell: without readings taken and things fitted later, what retired or
 * broke later still in use, and boxes and answers of later days as `before` (facts frozen earlier) had them.
 */
export function asItStood(collection: Collection, on: PlainDate, before: Collection | null): Collection {
  const earlier = <T extends { id: string }>(list: readonly T[] | undefined, id: string) =>
    list?.find((one) => one.id === id);
  return {
    ...collection,
    enclosures: collection.enclosures.map((one) =>
      one.boxSince <= on ? one : (earlier(before?.enclosures, one.id) ?? one),
    ),
    fittings: collection.fittings.flatMap((one): Fitting[] => {
      const then = earlier(before?.fittings, one.id);
      // What was renewed since was the old one on that day.
      if (one.fittedOn > on) return then === undefined || then.fittedOn > on ? [] : [then];
      return [
        {
          ...one,
          retiredOn: one.retiredOn !== null && one.retiredOn > on ? null : one.retiredOn,
          brokenOn: one.brokenOn !== null && one.brokenOn > on ? null : one.brokenOn,
        },
      ];
    }),
    readings: collection.readings.filter((one) => one.takenOn <= on),
    answers: collection.answers.flatMap((one) => {
      if (one.answeredOn <= on) return [one];
      const then = before?.answers.find((other) => other.enclosureId === one.enclosureId && other.check === one.check);
      return then === undefined ? [] : [then];
    }),
  };
}

/** The months that can be closed and are not, the oldest first: those from `first` on whose last day has come. */
export function monthsToClose(first: PlainMonth | null, closed: readonly PlainMonth[], today: PlainDate): PlainMonth[] {
  if (first === null) return [];
  const newest = closed.reduce<PlainMonth | null>((last, one) => (last === null || one > last ? one : last), null);
  const months: PlainMonth[] = [];
  // Months before one that is closed were passed over when the ledger was begun; closing goes forward only.
  for (let month = newest === null ? first : addMonths(newest, 1); lastDay(month) <= today; month = addMonths(month, 1))
    months.push(month);
  return months;
}

/** Whether a month can be closed on a day. */
export type ClosingRule =
  | { status: 'open' }
  | { status: 'closed-already' }
  | { status: 'not-over'; lastDay: PlainDate }
  | { status: 'earlier-first'; month: PlainMonth }
  | { status: 'before-ledger' };

/** Says whether a month can be closed, and if not, why. */
export function closingRule(
  month: PlainMonth,
  first: PlainMonth | null,
  closed: readonly PlainMonth[],
  today: PlainDate,
): ClosingRule {
  if (closed.includes(month)) return { status: 'closed-already' };
  if (lastDay(month) > today) return { status: 'not-over', lastDay: lastDay(month) };
  const open = monthsToClose(first, closed, today);
  if (!open.includes(month)) return { status: 'before-ledger' };
  return open[0] === month ? { status: 'open' } : { status: 'earlier-first', month: open[0]! };
}

/** Why a purchase or a return cannot be of a month. */
export type EntryFault = 'before-month' | 'after-month' | 'refund-above-price' | 'returned-before-bought';

/** Whether a purchase made on a day is one of a month, or of the months from the first to `until`. */
export function purchaseFault(boughtOn: PlainDate, month: PlainMonth, until = month): EntryFault | null {
  if (boughtOn < firstDay(month)) return 'before-month';
  return monthOf(boughtOn) > until ? 'after-month' : null;
}

/** Whether a return can be: no more comes back than was paid, and nothing before it was bought. */
export function returnFault(
  bought: { paid: Money; boughtOn: PlainDate },
  returned: { refund: Money; returnedOn: PlainDate },
): EntryFault | null {
  if (returned.refund > bought.paid) return 'refund-above-price';
  return returned.returnedOn < bought.boughtOn ? 'returned-before-bought' : null;
}

/** The least, the middle and the mean of some figures; null of none. The middle of an even count is the mean of both middle ones. */
export function spreadOf(values: readonly number[]): { least: number; median: number; mean: number } | null {
  if (values.length === 0) return null;
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length / 2;
  const median = (sorted[Math.ceil(half) - 1]! + sorted[Math.floor(half)]!) / 2;
  return { least: sorted[0]!, median, mean: sorted.reduce((sum, one) => sum + one, 0) / sorted.length };
}

/** One animal on the day a month was judged; points of 100. */
export type KeptScore = {
  animalId: string;
  name: string;
  score: number;
  low: number;
  high: number;
  worst: Need | null;
  severe: Need[];
};

/** A share of what a purchase cost, for one animal and the need it was to raise; null where the plan did not say which. */
export type KeptPurpose = { animal: string; need: Need | null; amount: Money };

/**
 * Shares a sum among purposes by their weights, 0 or more, to the minor unit and without rest; evenly where all weigh 0. No purposes take
 * nothing.
 */
export function sharesOf(sum: Money, weights: readonly number[]): Money[] {
  const total = weights.reduce((all, one) => all + one, 0);
  let [given, weighed] = [0, 0];
  return weights.map((weight, index) => {
    weighed = total === 0 ? index + 1 : weighed + weight;
    const upTo = Math.round((sum * weighed) / (total === 0 ? weights.length : total));
    const share = money(upTo - given);
    given = upTo;
    return share;
  });
}

/** What happened in a month, by day. `name` is of the purchase or thing as it was called then. */
export type KeptEvent = { on: PlainDate; what: string; name: string; amount: Money | null };

/** A month as it was closed. It is never changed: what turns out otherwise is a correction with a day of its own. */
export type MonthRecord = {
  month: PlainMonth;
  /** The day on which everything in it was judged: its last. */
  judgedOn: PlainDate;
  planId: string | null;
  planned: PlannedBuy[];
  bought: (MadePurchase & { shop: string; purposes: KeptPurpose[] })[];
  returned: { name: string; on: PlainDate; refund: Money; paid: Money; why: 'failed' | 'returned' }[];
  renewed: { name: string; on: PlainDate; paid: Money }[];
  renewalsDue: { name: string; dueOn: PlainDate; price: Money | null }[];
  readings: { enclosure: string; kind: ReadingKind; typed: string; takenOn: PlainDate }[];
  cameIn: Money;
  sumPlanned: Money | null;
  /** The sum of a usual month as it was entered then, null when none was; left out in records of before, where it is `sumPlanned`. */
  usualSum?: Money | null;
  /** What the plan said would be in hand at the end of the month; null without a plan of it. */
  cashPlanned: Money | null;
  earned: EarnedValue | null;
  counted: { cash: Money; on: PlainDate; expected: Money | null } | null;
  scores: KeptScore[];
  welfare: WelfareReview | null;
  events: KeptEvent[];
  note: string;
};

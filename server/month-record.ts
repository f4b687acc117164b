// How the record of a month is made from what the ledger holds: the plan it is held against, what was due and done, and the set-up as it
// stood on its last day. Reads only; saving it is the caller's business.

import { isWholeLibrary } from '../seed/library.ts';
import type { PlainDate, PlainMonth } from '../src/calendar.ts';
import { addMonthsToDate, firstDay, lastDay, monthOf } from '../src/calendar.ts';
import type { Collection } from '../src/collection.ts';
import type { LedgerFacts } from '../src/ledger-problem.ts';
import type { Money } from '../src/money.ts';
import { money, noMoney, sumMoney } from '../src/money.ts';
import type {
  ClosingRule,
  KeptPurpose,
  MadePurchase,
  MonthRecord,
  PlannedBuy,
  WelfareReview,
} from '../src/month-review.ts';
import { asItStood, closingRule, monthsToClose, reviewMoney, reviewWelfare, sharesOf } from '../src/month-review.ts';
import type { RoadmapBuy } from '../src/roadmap.ts';
import type { Scoring } from '../src/score.ts';
import { type CareLibrary, judgedBy } from '../src/species.ts';
import { enclosuresOf } from '../src/upgrades.ts';
import { listAnimals, loadCollection } from './db/collection.ts';
import { listEvents } from './db/events.ts';
import { readLedger } from './db/ledger.ts';
import { firstMonthKnown, listClosedMonths } from './db/months.ts';
import type { Session } from './db/open.ts';
import { factsOfPlan, findPlan, listPlans, type PlanLine, type PlanRecord } from './db/plans.ts';
import { listReturns, listUpgrades, type ReturnedPurchase, type UpgradeRecord } from './db/upgrades.ts';
import { eventNames } from './month-words.ts';
import { scoreCollection, valueChoicesOf } from './scores.ts';

/** What the keeper says when a month is closed, beside what the ledger knows. Shops are by the number of the upgrade. */
export type Closing = {
  cameIn: Money;
  counted: MonthRecord['counted'];
  note: string;
  shops: ReadonlyMap<string, string>;
  /** The plan it is held against, found before anything was written down with the closing. */
  plan: PlanRecord | null;
};

/**
 * The sum that was to come in a month: none in the first month of a ledger that began with it in the cash counted. Null when no sum was entered.
 */
export function sumDueIn(session: Session, month: PlainMonth): Money | null {
  const { monthlySum, cashCountedOn, sumArrived } = readLedger(session);
  const wasCounted = sumArrived && cashCountedOn !== null && monthOf(cashCountedOn) === month;
  return monthlySum !== null && wasCounted && firstMonthKnown(session) === month ? noMoney : monthlySum;
}

/** The months there are to close on a day, and whether one of them can be closed. */
export function closingOf(
  session: Session,
  today: PlainDate,
): { open: PlainMonth[]; ruleFor: (month: PlainMonth) => ClosingRule } {
  const first = firstMonthKnown(session);
  const closed = listClosedMonths(session).map((one) => one.month);
  return {
    open: monthsToClose(first, closed, today),
    ruleFor: (month) => closingRule(month, first, closed, today),
  };
}

/**
 * The plans that were in force in a month: `usual`, which it is held against unless the keeper chooses another, and every other one, the
 * oldest first. Usual is the one in force on its first day; where there was none yet, the last one made before anything was bought or
 * fitted in the month, and else the first one after. A plan that cannot be paid is none.
 */
export type PlansOfMonth = { usual: PlanLine | null; wasInForce: boolean; others: PlanLine[] };

/** Finds the plans of a month. */
export function plansOfMonth(session: Session, month: PlainMonth): PlansOfMonth {
  const plans = listPlans(session).toReversed();
  const known = plans.filter((one) => one.isPayable && one.firstMonth <= month && one.madeOn <= lastDay(month));
  const before = known.findLast((one) => one.madeOn <= firstDay(month));
  const within = known.filter((one) => one.madeOn > firstDay(month));
  const happened = listEvents(session);
  const firstAct = happened.findIndex(
    (one) => (one.what === 'bought' || one.what === 'fitted') && monthOf(one.happenedOn) === month,
  );
  const day = happened[firstAct]?.happenedOn ?? null;
  // Plans carry their day alone; which of that day came before the purchase is told by what was written down first.
  const earlierThatDay = happened
    .slice(0, firstAct)
    .filter((one) => one.what === 'plan-made' && one.happenedOn === day);
  const ofThatDay = plans.filter((one) => one.madeOn === day).slice(0, earlierThatDay.length);
  const usual =
    before ??
    within.findLast((one) => day === null || one.madeOn < day || ofThatDay.includes(one)) ??
    within.find((one) => one.madeOn === day) ??
    within[0] ??
    null;
  return { usual, wasInForce: before !== undefined, others: within.filter((one) => one !== usual) };
}

/** The plan a month is held against unless the keeper chooses another; null when no plan covers it. */
export function planOfMonth(session: Session, month: PlainMonth): PlanRecord | null {
  const { usual } = plansOfMonth(session, month);
  return usual === null ? null : findPlan(session, Number(usual.id));
}

/** What a plan buys, in the order of its months, each with the month in which the plan buys it. */
export function plannedBuys(plan: PlanRecord): (PlannedBuy & { boughtIn: PlainMonth; buy: RoadmapBuy })[] {
  return plan.roadmap!.months.flatMap(({ month, buys }) =>
    buys.map((buy) => {
      const { upgradeId, name, price, arrives } = buy;
      return { upgradeId, name, price, arrives, boughtIn: month, buy };
    }),
  );
}

/** Every purchase that was ever paid, with what came back of it by a day. */
function purchasesMade(
  upgrades: readonly UpgradeRecord[],
  returns: readonly ReturnedPurchase[],
  by: PlainDate,
): MadePurchase[] {
  const standing = upgrades.flatMap(({ id, name, boughtOn, paid, fittedOn, removedOn }): MadePurchase[] => {
    // What was paid for something that was removed was put back into the cash.
    if (boughtOn === null || paid === null || removedOn !== null) return [];
    const back = returns.filter(
      (one) => one.upgradeId === id && one.wasFitted && one.boughtOn === boughtOn && one.returnedOn <= by,
    );
    return [{ upgradeId: id, name, paid, boughtOn, fittedOn, refunded: sumMoney(back.map((one) => one.refund)) }];
  });
  const gone = returns
    .filter((one) => !one.wasFitted)
    .map(({ upgradeId, name, paid, boughtOn, refund, returnedOn }) => ({
      upgradeId,
      name,
      paid,
      boughtOn,
      fittedOn: null,
      refunded: returnedOn <= by ? refund : noMoney,
    }));
  return [...standing, ...gone];
}

/** The record of a month as the ledger has it on a day. */
export function monthRecordOf(
  session: Session,
  library: CareLibrary,
  month: PlainMonth,
  today: PlainDate,
  closing: Closing,
): MonthRecord {
  const ledger = readLedger(session);
  const judgedOn = lastDay(month);
  const upgrades = [...listUpgrades(session), ...listUpgrades(session, 'removed')];
  const returns = listReturns(session);
  const { plan } = closing;
  const facts = plan === null ? null : factsToJudgeBy(session, plan.id);
  const collection = judgedBy(library, collectionOn(session, judgedOn, facts));
  const buys = plan === null ? [] : plannedBuys(plan);
  const made = purchasesMade(upgrades, returns, judgedOn);
  const scoring = { collection, library, choices: valueChoicesOf(ledger), on: judgedOn, knownOn: judgedOn };
  const { scored } = scoreCollection(scoring);
  const inMonth = (on: PlainDate) => monthOf(on) === month;
  const events = listEvents(session).filter((one) => inMonth(one.happenedOn));
  const nameOf = (id: string | null) => upgrades.find((one) => one.id === id)?.name ?? '';
  const shopOf = ({ upgradeId, boughtOn }: MadePurchase) =>
    closing.shops.get(upgradeId) ??
    events.findLast((one) => one.what === 'bought' && one.upgradeId === upgradeId && one.happenedOn === boughtOn)
      ?.note ??
    '';
  return {
    month,
    judgedOn,
    planId: plan?.id ?? null,
    planned: buys.map(({ upgradeId, name, price, arrives }) => ({ upgradeId, name, price, arrives })),
    bought: made
      .filter((one) => inMonth(one.boughtOn))
      .map((one) => ({
        ...one,
        fittedOn: one.fittedOn !== null && one.fittedOn > judgedOn ? null : one.fittedOn,
        shop: shopOf(one),
        purposes: purposesOf(one, buys.find((other) => other.upgradeId === one.upgradeId)?.buy, upgrades, collection),
      })),
    returned: returns
      .filter((one) => inMonth(one.returnedOn))
      .map(({ name, returnedOn, refund, paid, why }) => ({ name, on: returnedOn, refund, paid, why })),
    renewed: events
      .filter((one) => one.what === 'renewed')
      .map(({ note, happenedOn, amount }) => ({ name: note, on: happenedOn, paid: amount ?? noMoney })),
    renewalsDue: collection.fittings.flatMap(({ name, fittedOn, lifeMonths, renewalPrice, retiredOn }) => {
      if (lifeMonths === null || retiredOn !== null) return [];
      const dueOn = addMonthsToDate(fittedOn, lifeMonths);
      return dueOn > judgedOn ? [] : [{ name, dueOn, price: renewalPrice }];
    }),
    readings: collection.readings
      .filter((one) => inMonth(one.takenOn) && one.evidence === 'measured')
      .map(({ enclosureId, kind, typed, takenOn }) => ({
        enclosure: collection.enclosures.find((one) => one.id === enclosureId)?.name ?? '',
        kind,
        typed,
        takenOn,
      })),
    cameIn: closing.cameIn,
    sumPlanned: sumDueIn(session, month),
    usualSum: ledger.monthlySum,
    cashPlanned: plan?.roadmap?.months.find((one) => one.month === month)?.cash ?? null,
    earned: plan === null ? null : earnedOf(plan, facts, buys, made, month, judgedOn),
    counted: closing.counted,
    scores: scored.map(({ animal, score }) => ({
      animalId: animal.id,
      name: animal.name,
      score: score.score,
      low: score.low,
      high: score.high,
      worst: score.needs.toSorted((a, b) => a.value - b.value)[0]?.need ?? null,
      severe: score.needs.filter((one) => one.severe).map((one) => one.need),
    })),
    welfare: facts === null ? null : welfareOf(facts, buys, month, judgedOn, today, { upgrades, scoring }),
    events: [
      ...events
        .filter((one) => one.what !== 'plan-made')
        .map(({ happenedOn, what, upgradeId, amount, note }) => ({
          on: happenedOn,
          what: eventNames[what],
          name: what === 'renewed' || what === 'broke' || what === 'works-after-all' ? note : nameOf(upgradeId),
          amount,
        })),
      ...returns
        .filter((one) => inMonth(one.returnedOn))
        .map(({ name, returnedOn, refund, why }) => ({ on: returnedOn, what: eventNames[why], name, amount: refund })),
    ].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0)),
    note: closing.note,
  };
}

// Facts that came with another version may hold a species by rules that hold no more: then there are none to judge by.
function factsToJudgeBy(session: Session, planId: string): LedgerFacts | null {
  const facts = factsOfPlan(session, planId);
  return facts !== null && isWholeLibrary(facts.library) ? facts : null;
}

function earnedOf(
  plan: PlanRecord,
  facts: LedgerFacts | null,
  buys: ReturnType<typeof plannedBuys>,
  made: readonly MadePurchase[],
  month: PlainMonth,
  on: PlainDate,
) {
  // What was paid already when the plan was made costs nothing in it.
  const before = new Set([
    ...buys.filter((one) => one.buy.whyNow.why === 'ordered').map((one) => one.upgradeId),
    ...(facts?.upgrades ?? []).filter((one) => one.status === 'fitted').map((one) => one.id),
  ]);
  return reviewMoney(
    buys,
    made.filter((one) => !before.has(one.upgradeId)),
    { from: plan.madeOn, month, on },
  );
}

function welfareOf(
  facts: LedgerFacts,
  buys: readonly PlannedBuy[],
  month: PlainMonth,
  on: PlainDate,
  today: PlainDate,
  { upgrades, scoring }: { upgrades: readonly UpgradeRecord[]; scoring: Scoring },
): WelfareReview {
  return reviewWelfare(facts, buys, month, {
    ...scoring,
    on,
    bought: new Set(
      upgrades
        .filter((one) => one.boughtOn !== null && one.boughtOn <= today && one.removedOn === null)
        .map((one) => one.id),
    ),
    fitted: upgrades.flatMap((upgrade) =>
      upgrade.status === 'fitted' && upgrade.fittedOn !== null && upgrade.removedOn === null
        ? [{ upgrade, fittedOn: upgrade.fittedOn }]
        : [],
    ),
  });
}

/** The collection as it stood on a day, with animals that left only afterwards. */
export function collectionOn(session: Session, on: PlainDate, facts: LedgerFacts | null): Collection {
  const now = loadCollection(session);
  const leftLater = listAnimals(session, 'removed').filter((one) => one.removedOn !== null && one.removedOn > on);
  const present = new Set(now.enclosures.map((one) => one.id));
  const animals = leftLater.filter((one) => one.enclosureId === null || present.has(one.enclosureId));
  return asItStood({ ...now, animals: [...now.animals, ...animals] }, on, facts?.collection ?? null);
}

// By the points it was to gain for each need; where the plan told none, evenly among those who live where it goes.
function purposesOf(
  { upgradeId, paid, refunded }: MadePurchase,
  buy: RoadmapBuy | undefined,
  upgrades: readonly UpgradeRecord[],
  collection: Collection,
): KeptPurpose[] {
  const spent = money(paid - refunded);
  const nameOf = (id: string) => collection.animals.find((one) => one.id === id)?.name ?? '';
  const told = buy === undefined ? [] : buy.effects.length > 0 ? buy.effects : (buy.alone ?? []);
  const gains = told.filter((one) => one.to > one.from);
  if (gains.length > 0) {
    const shares = sharesOf(
      spent,
      gains.map((one) => one.to - one.from),
    );
    return gains.map(({ animalId, need }, index) => ({ animal: nameOf(animalId), need, amount: shares[index]! }));
  }
  const upgrade = upgrades.find((one) => one.id === upgradeId);
  const places = upgrade === undefined ? [] : enclosuresOf(upgrade, collection);
  const residents = collection.animals.filter((one) => one.enclosureId !== null && places.includes(one.enclosureId));
  if (residents.length === 0) return [{ animal: '', need: null, amount: spent }];
  const shares = sharesOf(
    spent,
    residents.map(() => 1),
  );
  return residents.map(({ name }, index) => ({ animal: name, need: null, amount: shares[index]! }));
}

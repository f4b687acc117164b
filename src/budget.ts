// The money side of a plan before anything new is bought: what is in hand today, what comes in and goes out in each month, and whether
// it can be paid. The only file that knows what counts as already owed, and that nothing owed is deducted twice.

import type { PlainDate, PlainMonth } from './calendar.ts';
import {
  addMonths,
  addMonthsToDate,
  ageInMonths,
  DAYS_A_MONTH,
  daysBetween,
  firstDay,
  lastDay,
  monthOf,
} from './calendar.ts';
import type { Fitting, FittingKind } from './collection.ts';
import { HEATERS, isBroken } from './collection.ts';
import type { OwnedCost, PlanMoney } from './ledger-problem.ts';
import { monthsInService } from './ledger-problem.ts';
import type { Currency, Money } from './money.ts';
import { costAtRate, money, noMoney, sumMoney } from './money.ts';

/**
 * What a keeper said about money; null is unknown. `covers*` tells whether the monthly sum must pay for food, vet and power (true) or
 * they are paid from elsewhere; `sumArrived` whether the counted cash already holds the sum of the month in which it was counted.
 */
export type MoneySettings = {
  currency: Currency;
  monthlySum: Money | null;
  coversFood: boolean;
  coversVet: boolean;
  coversPower: boolean;
  monthlyFood: Money | null;
  monthlyVet: Money | null;
  /** In major units, such as 0.23. */
  pricePerKwh: number | null;
  cashCounted: Money | null;
  cashCountedOn: PlainDate | null;
  sumArrived: boolean;
  floorKept: Money;
};

/** A sum that comes in (above 0) or goes out (below 0) once. */
export type OneOffSum = { id: string; month: PlainMonth; amount: Money; note: string; canWait: boolean };

/** A sum kept back for the vet because of a sign of an animal, from its month on until the sign is settled; above 0. */
export type SetAside = { signId: string; animalId: string; animal: string; month: PlainMonth; amount: Money };

/** What a vet was paid on a day because of a sign of an animal. */
export type VetPayment = { animal: string; paid: Money; paidOn: PlainDate };

/** What came back of the price of a purchase on a day. */
type Refund = { name: string; amount: Money; on: PlainDate };

/** A purchase that was paid on a day. */
export type PaidPurchase = { upgradeId: string; name: string; paid: Money; boughtOn: PlainDate };

/** A fitted thing that was replaced by a new one of its kind, and what was paid for it. */
export type PaidRenewal = { name: string; paid: Money; renewedOn: PlainDate };

/**
 * What a fitted upgrade goes on costing a month beyond the power of its things, or saving when below 0; `fittingId` names the thing that
 * ends it when it retires.
 */
export type StillCosting = { upgradeId: string; name: string; monthlyCost: Money; fittingId: string | null };

/** Everything a budget is found from. */
export type MoneyFacts = {
  settings: MoneySettings;
  fittings: readonly Fitting[];
  oneOffs: readonly OneOffSum[];
  setAside: readonly SetAside[];
  vetPaid: readonly VetPayment[];
  paid: readonly PaidPurchase[];
  refunds: readonly Refund[];
  renewed: readonly PaidRenewal[];
  stillCosting: readonly StillCosting[];
  today: PlainDate;
};

/** One movement of money; above 0 it comes in, below 0 it goes out. */
export type Entry = { month: PlainMonth; amount: Money } & (
  | { what: 'sum' }
  | { what: 'food'; fromDay: PlainDate | null }
  | { what: 'vet' }
  | { what: 'power' }
  | { what: 'renewal'; fittingId: string; name: string; dueOn: PlainDate }
  | { what: 'running-cost'; upgradeId: string; name: string }
  | { what: 'one-off'; oneOffId: string; note: string; canWait: boolean }
  | { what: 'set-aside'; signId: string; animal: string }
  | { what: 'vet-visit'; animal: string; on: PlainDate }
  | { what: 'purchase'; upgradeId: string; name: string; on: PlainDate }
  | { what: 'refund'; name: string; on: PlainDate }
  | { what: 'renewed'; name: string; on: PlainDate }
);

/** One month as it is due: every movement, their sums in and out, and what is in hand at its end. */
export type BudgetMonth = { month: PlainMonth; entries: Entry[]; comesIn: Money; goesOut: Money; endsWith: Money };

/** What a budget had to leave out because it was never said. */
export type Unknown =
  | { unknown: 'sum' }
  | { unknown: 'cash' }
  | { unknown: 'food' }
  | { unknown: 'vet' }
  | { unknown: 'tariff' }
  | { unknown: 'power-of'; fittingId: string; name: string }
  | { unknown: 'renewal-price'; fittingId: string; name: string; dueOn: PlainDate };

/**
 * A fitted thing that wears out. 'overdue' things should have been renewed in an earlier month: renewing one is a purchase to propose,
 * not money already promised. `share` is what a sinking fund would put aside a month, `accrued` what it would hold by now; both are
 * shown only. Null where the price is unknown.
 */
export type RenewalDue = {
  fittingId: string;
  name: string;
  enclosureId: string;
  dueOn: PlainDate;
  state: 'to-come' | 'overdue';
  price: Money | null;
  share: Money | null;
  accrued: Money | null;
};

/** Whether what is owed can be paid. `by` is how far the first short month ends below the floor; `mostBy` the same for the worst one. */
type Finding =
  | { status: 'payable' }
  | {
      status: 'short';
      month: PlainMonth;
      by: Money;
      mostMonth: PlainMonth;
      mostBy: Money;
      /** Whether the cash itself runs out, or only the floor is broken into. */
      runsOut: boolean;
      couldWait: { oneOffId: string; note: string; month: PlainMonth; amount: Money }[];
      /** Whether putting all of it off until after the worst month is enough. */
      waitingIsEnough: boolean;
    };

/** The money side of a plan with everything it was found from. The fields of PlanMoney are what a planner takes. */
export type Budget = PlanMoney & {
  firstMonth: PlainMonth;
  /** How the opening cash came about: the count, then each movement since. */
  opening: { counted: Money | null; countedOn: PlainDate | null; since: Entry[] };
  /** The months one by one, running costs and renewals of owned things included. */
  months: BudgetMonth[];
  finding: Finding;
  renewals: RenewalDue[];
  /** The sinking fund as a figure to compare with: never deducted, since renewals are deducted when they fall due. */
  sinkingFund: { monthly: Money; accrued: Money };
  /** What present power costs a month, whoever pays it; null when it cannot be known. */
  presentPowerMonthly: Money | null;
  /** What a usual month owes out of the sum: food, vet, power and running costs, without renewals. */
  steadyMonthly: Money;
  unknown: Unknown[];
};

/** Kilowatt-hours a month of a thing of some watts, on for some hours a day, for a share of that time (0 to 1), in a mean month. */
export function monthlyKwh(watts: number, hoursPerDay: number, duty: number): number {
  return (watts * hoursPerDay * duty * DAYS_A_MONTH) / 1000;
}

/** Straight-line share a month of things renewed every `lifeMonths`: the sum of price / life, in minor units, not rounded. */
export function straightLineMonthly(things: readonly { price: number; lifeMonths: number }[]): number {
  return things.reduce((sum, one) => sum + one.price / one.lifeMonths, 0);
}

/** What a sinking fund holds for a thing in minor units, not rounded: price x (age mod life) / life. */
export function accruedShare(price: number, lifeMonths: number, ageMonths: number): number {
  return (price * (((ageMonths % lifeMonths) + lifeMonths) % lifeMonths)) / lifeMonths;
}

/** The dates of renewal of a thing from `from` (included) to `until` (excluded): anchor + n x life, each held to its month's last day. */
export function renewalDates(anchor: PlainDate, lifeMonths: number, from: PlainDate, until: PlainDate): PlainDate[] {
  const dates: PlainDate[] = [];
  for (let count = 1; ; count++) {
    const due = addMonthsToDate(anchor, count * lifeMonths);
    if (due >= until) return dates;
    if (due >= from) dates.push(due);
  }
}

// Common practice, no source: these never work without mains power; others count only when their watts were given.
const mainsPowered: ReadonlySet<FittingKind> = new Set([...HEATERS, 'uv-tube', 'uv-compact', 'filter']);

type PowerCost = { status: 'known'; cost: Money } | { status: 'none' } | { status: 'unknown' };

/**
 * What a fitted thing's power costs a month at a price per kWh in major units, rounded up to a minor unit; 'unknown', never nothing,
 * when its watts, its hours or the price are not known.
 */
export function powerCost(
  fitting: Pick<Fitting, 'kind' | 'watts' | 'hoursPerDay' | 'duty'>,
  pricePerKwh: number | null,
  currency: Currency,
): PowerCost {
  if (fitting.watts === 0 || (fitting.watts === null && !mainsPowered.has(fitting.kind))) return { status: 'none' };
  if (fitting.watts === null || fitting.hoursPerDay === null || pricePerKwh === null) return { status: 'unknown' };
  const kwh = monthlyKwh(fitting.watts, fitting.hoursPerDay, fitting.duty ?? 1);
  return { status: 'known', cost: costAtRate(pricePerKwh, kwh, currency) };
}

/** Finds the budget of `months` months (1 or more) from the first month that is not closed. */
export function budgetOf(facts: MoneyFacts, firstMonth: PlainMonth, months: number): Budget {
  const { settings } = facts;
  const unknown: Unknown[] = unknownSettings(settings);
  const fitted = facts.fittings.filter((one) => one.retiredOn === null || one.retiredOn > facts.today);
  const power = new Map(fitted.map((one) => [one.id, powerCost(one, settings.pricePerKwh, settings.currency)]));
  const powerUnknown = fitted.filter((one) => power.get(one.id)!.status === 'unknown');
  if (settings.coversPower && powerUnknown.length > 0) {
    if (settings.pricePerKwh === null) unknown.push({ unknown: 'tariff' });
    else unknown.push(...powerUnknown.map(({ id, name }) => ({ unknown: 'power-of' as const, fittingId: id, name })));
  }
  const presentPowerMonthly =
    powerUnknown.length > 0
      ? null
      : sumMoney([...power.values()].map((one) => (one.status === 'known' ? one.cost : 0)));

  const fittedIds = new Set(fitted.map((one) => one.id));
  const running = facts.stillCosting.filter((one) => one.fittingId === null || fittedIds.has(one.fittingId));
  const keepingCost = (one: Fitting, cost: PowerCost, besides: readonly StillCosting[]): OwnedCost => {
    const ownPower = settings.coversPower && cost.status === 'known' ? cost.cost : 0;
    const ownRunning = besides.filter((other) => other.fittingId === one.id).map((other) => other.monthlyCost);
    return {
      fittingId: one.id,
      monthlyCost: sumMoney([ownPower, ...ownRunning]),
      life: one.lifeMonths,
      renewalPrice: one.renewalPrice,
      monthsInService: monthsInService(one, firstMonth),
    };
  };
  const broken = facts.fittings.filter((one) => !fittedIds.has(one.id) && isBroken(one));
  const owned = [
    ...fitted.map((one) => keepingCost(one, power.get(one.id)!, running)),
    ...broken.map((one) => ({
      ...keepingCost(one, powerCost(one, settings.pricePerKwh, settings.currency), facts.stillCosting),
      isBroken: true as const,
    })),
  ];
  const powerPaid = settings.coversPower
    ? sumMoney([...power.values()].map((one) => (one.status === 'known' ? one.cost : 0)))
    : noMoney;
  const renewals = fitted.filter((one) => one.lifeMonths !== null).map((one) => renewalOf(one, facts, firstMonth));
  const end = firstDay(addMonths(firstMonth, months));
  for (const { fittingId, name, dueOn, price, state } of renewals) {
    if (price === null && state === 'to-come' && dueOn < end)
      unknown.push({ unknown: 'renewal-price', fittingId, name, dueOn });
  }

  const usual: Usual = { settings, oneOffs: facts.oneOffs, running, powerPaid };
  const since = movementsSince(facts, usual, firstMonth);
  const openingCash = sumMoney([settings.cashCounted ?? 0, ...since.map((one) => one.amount)]);
  const counted = countedIn(settings, firstMonth) ? settings.cashCountedOn : null;
  const listed: BudgetMonth[] = [];
  const [income, committed]: [Money[], Money[]] = [[], []];
  let cash = openingCash;
  for (let index = 0; index < months; index++) {
    const month = addMonths(firstMonth, index);
    const own = renewalsIn(fitted, firstMonth, index, months);
    const entries = [
      ...monthEntries(usual, month, index === 0 ? counted : null),
      ...setAsideIn(facts.setAside, month, firstMonth),
      ...own,
    ];
    const comesIn = sumMoney(entries.filter((one) => one.amount > 0).map((one) => one.amount));
    const goesOut = sumMoney(entries.filter((one) => one.amount < 0).map((one) => -one.amount));
    cash = money(cash + comesIn - goesOut);
    listed.push({ month, entries, comesIn, goesOut, endsWith: cash });
    // Power, renewals and running costs of owned things are the planner's own to count, since a purchase may end them.
    const promised = entries.filter((one) => !isOwnedThings(one, running));
    income.push(sumMoney(promised.filter((one) => one.amount > 0).map((one) => one.amount)));
    committed.push(sumMoney(promised.filter((one) => one.amount < 0).map((one) => -one.amount)));
  }
  const foodAndVet = sumMoney([
    settings.coversFood ? (settings.monthlyFood ?? 0) : 0,
    settings.coversVet ? (settings.monthlyVet ?? 0) : 0,
  ]);
  const loose = sumMoney(running.filter((one) => one.fittingId === null).map((one) => one.monthlyCost));
  return {
    firstMonth,
    openingCash,
    income,
    committed,
    reserve: settings.floorKept,
    owned,
    tailIncome: money((settings.monthlySum ?? 0) - foodAndVet - loose),
    opening: { counted: settings.cashCounted, countedOn: settings.cashCountedOn, since },
    months: listed,
    finding: findShortage(listed, settings.floorKept),
    renewals,
    sinkingFund: {
      monthly: money(
        Math.ceil(
          straightLineMonthly(
            renewals.flatMap((one) =>
              one.price === null ? [] : [{ price: one.price, lifeMonths: lifeOf(fitted, one.fittingId) }],
            ),
          ) - 1e-9,
        ),
      ),
      accrued: sumMoney(renewals.map((one) => one.accrued ?? 0)),
    },
    presentPowerMonthly,
    steadyMonthly: sumMoney([foodAndVet, powerPaid, ...running.map((one) => one.monthlyCost)]),
    unknown,
  };
}

type Usual = {
  settings: MoneySettings;
  oneOffs: readonly OneOffSum[];
  running: readonly StillCosting[];
  powerPaid: Money;
};

function unknownSettings(settings: MoneySettings): Unknown[] {
  const found: Unknown[] = [];
  if (settings.monthlySum === null) found.push({ unknown: 'sum' });
  if (settings.cashCounted === null || settings.cashCountedOn === null) found.push({ unknown: 'cash' });
  if (settings.coversFood && settings.monthlyFood === null) found.push({ unknown: 'food' });
  if (settings.coversVet && settings.monthlyVet === null) found.push({ unknown: 'vet' });
  return found;
}

function countedIn(settings: MoneySettings, month: PlainMonth): boolean {
  return settings.cashCountedOn !== null && monthOf(settings.cashCountedOn) >= month;
}

/** The movements of a month apart from renewals; `countedOn` is the day of the cash count when it was in this month, else null. */
function monthEntries(usual: Usual, month: PlainMonth, countedOn: PlainDate | null): Entry[] {
  const { settings, oneOffs, running, powerPaid } = usual;
  const entries: Entry[] = [];
  const sumComes = settings.monthlySum !== null && !(countedOn !== null && settings.sumArrived);
  if (sumComes) entries.push({ month, what: 'sum', amount: settings.monthlySum! });
  if (settings.coversFood && settings.monthlyFood !== null) {
    // Food is bought all through the month: what was eaten before the count is gone from the counted cash already.
    const share = countedOn === null ? 1 : shareLeft(countedOn, month);
    entries.push({
      month,
      what: 'food',
      amount: money(-Math.ceil(settings.monthlyFood * share - 1e-9)),
      fromDay: countedOn,
    });
  }
  if (settings.coversVet && settings.monthlyVet !== null)
    entries.push({ month, what: 'vet', amount: money(-settings.monthlyVet) });
  if (powerPaid !== 0) entries.push({ month, what: 'power', amount: money(-powerPaid) });
  for (const { upgradeId, name, monthlyCost } of running) {
    if (monthlyCost !== 0) entries.push({ month, what: 'running-cost', upgradeId, name, amount: money(-monthlyCost) });
  }
  for (const one of oneOffs) {
    if (one.month !== month || one.amount === 0) continue;
    entries.push({
      month,
      what: 'one-off',
      oneOffId: one.id,
      note: one.note,
      canWait: one.canWait,
      amount: one.amount,
    });
  }
  return entries;
}

// What was to be kept back in a month that has passed is still in the cash and still kept back. Spent or not, it comes back only by the
// sign being settled: as a payment, or as nothing.
function setAsideIn(sums: readonly SetAside[], month: PlainMonth, firstMonth: PlainMonth): Entry[] {
  return sums
    .filter((one) => (one.month < firstMonth ? firstMonth : one.month) === month)
    .map(({ signId, animal, amount }) => ({ month, what: 'set-aside', signId, animal, amount: money(-amount) }));
}

function shareLeft(countedOn: PlainDate, month: PlainMonth): number {
  const last = lastDay(month);
  const days = Number(last.slice(8));
  return Math.min(days, Math.max(0, daysBetween(countedOn, last) + 1)) / days;
}

/** Purchases, renewals and vet visits paid and refunds since the cash was counted and, for whole months that have passed, what is assumed to have come and gone. */
function movementsSince(facts: MoneyFacts, usual: Usual, firstMonth: PlainMonth): Entry[] {
  const countedOn = facts.settings.cashCountedOn;
  if (countedOn === null || facts.settings.cashCounted === null) return [];
  const entries: Entry[] = [];
  for (let month = monthOf(countedOn); month < firstMonth; month = addMonths(month, 1)) {
    entries.push(...monthEntries(usual, month, month === monthOf(countedOn) ? countedOn : null));
  }
  for (const one of facts.paid) {
    if (one.boughtOn < countedOn || one.paid === 0) continue;
    const { upgradeId, name, paid, boughtOn } = one;
    entries.push({ month: monthOf(boughtOn), what: 'purchase', upgradeId, name, on: boughtOn, amount: money(-paid) });
  }
  for (const { name, amount, on } of facts.refunds) {
    if (on >= countedOn && amount !== 0) entries.push({ month: monthOf(on), what: 'refund', name, on, amount });
  }
  for (const { name, paid, renewedOn } of facts.renewed) {
    if (renewedOn < countedOn || paid === 0) continue;
    entries.push({ month: monthOf(renewedOn), what: 'renewed', name, on: renewedOn, amount: money(-paid) });
  }
  for (const { animal, paid, paidOn } of facts.vetPaid) {
    if (paidOn < countedOn || paid === 0) continue;
    entries.push({ month: monthOf(paidOn), what: 'vet-visit', animal, on: paidOn, amount: money(-paid) });
  }
  return entries;
}

function renewalOf(fitting: Fitting, facts: MoneyFacts, firstMonth: PlainMonth): RenewalDue {
  const life = fitting.lifeMonths!;
  const price = fitting.renewalPrice;
  const overdue = monthsInService(fitting, firstMonth) > life;
  const age = Math.max(0, ageInMonths(fitting.fittedOn, facts.today));
  // A fund stops growing when the thing is due; it does not begin again until the thing was renewed.
  const accrued = price === null ? null : age >= life ? price : accruedShare(price, life, age);
  return {
    fittingId: fitting.id,
    name: fitting.name,
    enclosureId: fitting.enclosureId,
    dueOn: addMonthsToDate(fitting.fittedOn, life),
    state: overdue ? 'overdue' : 'to-come',
    price,
    share: price === null ? null : money(Math.ceil(price / life - 1e-9)),
    accrued: accrued === null ? null : money(Math.floor(accrued + 1e-9)),
  };
}

// The same months as the planner's own rule for what is owned: the first month in service plus n lives, none for what is overdue.
function renewalsIn(fitted: readonly Fitting[], firstMonth: PlainMonth, index: number, months: number): Entry[] {
  const [first, end] = [firstDay(firstMonth), firstDay(addMonths(firstMonth, months))];
  const month = addMonths(firstMonth, index);
  return fitted.flatMap((one): Entry[] => {
    if (one.lifeMonths === null || one.renewalPrice === null || one.renewalPrice === 0) return [];
    if (monthsInService(one, firstMonth) > one.lifeMonths) return [];
    return renewalDates(one.fittedOn, one.lifeMonths, first, end)
      .filter((due) => monthOf(due) === month)
      .map((dueOn) => ({
        month,
        what: 'renewal',
        fittingId: one.id,
        name: one.name,
        dueOn,
        amount: money(-one.renewalPrice!),
      }));
  });
}

function lifeOf(fitted: readonly Fitting[], id: string): number {
  return fitted.find((one) => one.id === id)!.lifeMonths!;
}

function isOwnedThings(entry: Entry, running: readonly StillCosting[]): boolean {
  if (entry.what === 'power' || entry.what === 'renewal') return true;
  return (
    entry.what === 'running-cost' && running.some((one) => one.upgradeId === entry.upgradeId && one.fittingId !== null)
  );
}

function findShortage(months: readonly BudgetMonth[], floor: Money): Finding {
  const short = months.filter((one) => one.endsWith < floor);
  const first = short[0];
  if (first === undefined) return { status: 'payable' };
  const worst = short.reduce((lowest, one) => (one.endsWith < lowest.endsWith ? one : lowest), first);
  const couldWait = months
    .filter((one) => one.month <= worst.month)
    .flatMap((one) => one.entries)
    .flatMap((one) =>
      one.what === 'one-off' && one.canWait && one.amount < 0
        ? [{ oneOffId: one.oneOffId, note: one.note, month: one.month, amount: money(-one.amount) }]
        : [],
    );
  const freed = (until: PlainMonth) => sumMoney(couldWait.filter((one) => one.month <= until).map((one) => one.amount));
  return {
    status: 'short',
    month: first.month,
    by: money(floor - first.endsWith),
    mostMonth: worst.month,
    mostBy: money(floor - worst.endsWith),
    runsOut: short.some((one) => one.endsWith < 0),
    couldWait,
    waitingIsEnough: short
      .filter((one) => one.month <= worst.month)
      .every((one) => one.endsWith + freed(one.month) >= floor),
  };
}

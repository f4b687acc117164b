// What the pages of closed months show, already in words: the list of months, the steps of closing one, and a month as it was closed.

import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { formatDate, formatMonth, formatShortDate } from '../../src/calendar.ts';
import { formatMoney, money, sumMoney } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import { CAUSES, spreadOf } from '../../src/month-review.ts';
import type { Ledger } from '../db/ledger.ts';
import type { ClosedMonth, MonthCorrection } from '../db/months.ts';
import type { PlanLine } from '../db/plans.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import type { ErrorSummary, Field } from '../fields.ts';
import { needNames, readingNames } from '../kind-words.ts';
import {
  causeNames,
  countSentence,
  differencePoints,
  earnedSentences,
  monthSentences,
  planName,
  pointsWords,
  ratioWords,
} from '../month-words.ts';
import { paths } from '../paths.ts';
import { listed, lowerFirst } from '../words.ts';

/** What views/pages/months.hbs shows. */
type MonthsPage = {
  heading: string;
  lead: string;
  /** The months to close, in their order: the first leads to its page. */
  open: { text: string; href: string | null }[];
  catchUpHref: string | null;
  none: string | null;
  closed: {
    name: string;
    href: string;
    closedOn: string;
    points: string;
    difference: string;
    least: string;
    median: string;
    severe: string;
    spent: string;
  }[];
  progressHref: string;
  renewalsHref: string;
};

/** The list of months: those to close first, then those that are closed, the latest first. */
export function monthsPage(
  closed: readonly ClosedMonth[],
  open: readonly PlainMonth[],
  { currency, locale }: Ledger,
): MonthsPage {
  return {
    heading: monthSentences.months,
    lead: monthSentences.monthsLead,
    open: open.map((month, index) => {
      const name = formatMonth(month, locale);
      return index === 0
        ? { text: monthSentences.closeNext(name), href: paths.months.close(month) }
        : { text: monthSentences.closeLater(name), href: null };
    }),
    catchUpHref: open.length > 1 ? paths.months.catchUp : null,
    none: open.length > 0 ? null : monthSentences.noneWaits,
    closed: closed.toReversed().map(({ month, closedOn, record }) => {
      const spread = spreadOf(record.scores.map((one) => one.score));
      const write = (value: number | undefined) => (value === undefined ? '–' : String(Math.round(value)));
      return {
        name: formatMonth(month, locale),
        href: paths.months.show(month),
        closedOn: formatDate(closedOn, locale),
        points: record.welfare === null ? '–' : pointsWords(record.welfare.actual),
        difference: record.welfare === null ? '–' : differencePoints(record.welfare.actual - record.welfare.planned),
        least: write(spread?.least),
        median: write(spread?.median),
        severe: String(record.scores.reduce((sum, one) => sum + one.severe.length, 0)),
        spent: formatMoney(spentIn(record), currency, locale),
      };
    }),
    progressHref: paths.progress,
    renewalsHref: paths.renewals,
  };
}

/** What was paid in a month for purchases and renewals, less what came back in it. */
function spentIn({ bought, renewed, returned }: MonthRecord) {
  return money(sumMoney([...bought, ...renewed].map((one) => one.paid)) - sumMoney(returned.map((one) => one.refund)));
}

/** A step of closing that only tells what is there: each line with the page where it is changed. */
type Line = { text: string; state: string; href: string | null; action: string };

/** What views/pages/month-close.hbs shows. */
export type ClosePage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  once: string;
  /** The plan each month is held against, with the others that were in force. */
  held: { sentence: string; others: { label: string; href: string }[]; note: string }[];
  /** The plan that was chosen, '' for the usual one. */
  plan: string;
  due: Line[];
  buys: { name: string; fields: Field[] }[];
  recorded: { name: string; fact: string; fields: Field[]; isOpen: boolean }[];
  fitted: Line[];
  readings: Line[];
  money: Field[];
  note: Field;
  action: string;
  submit: string;
  cancel: string;
};

/** A correction as it is shown. */
type CorrectionLine = { on: string; what: string; amount: string };

/** What views/pages/month.hbs shows. */
type MonthPage = {
  heading: string;
  lead: string;
  moneyFacts: { term: string; value: string }[];
  moneySentences: string[];
  sides: { what: string; planned: string; actual: string; difference: string }[];
  /** The plan it was held against, by its day; null without one or where it is not kept any more. */
  plan: { label: string; href: string } | null;
  noPlan: string | null;
  welfare: {
    sentence: string;
    rows: { name: string; planned: string; actual: string; difference: string }[];
    total: { planned: string; actual: string; difference: string };
    causes: { cause: string; points: string; who: string }[];
    causesTotal: string;
    note: string;
  } | null;
  noWelfare: string | null;
  scores: { name: string; score: string; range: string; worst: string; severe: string }[];
  spread: string | null;
  bought: { name: string; on: string; paid: string; shop: string; state: string }[];
  renewalsDue: string[];
  readings: { what: string; value: string; on: string }[];
  events: { on: string; what: string; amount: string }[];
  note: string | null;
  laterEntries: string | null;
  corrections: CorrectionLine[];
  corrected: string | null;
  correctHref: string;
  listHref: string;
};

/** A month as it was closed, with its corrections below and what was entered for it since. */
export function monthPage(
  { month, closedOn, record }: ClosedMonth,
  corrections: readonly MonthCorrection[],
  upgrades: readonly UpgradeRecord[],
  plans: readonly PlanLine[],
  { currency, locale }: Ledger,
): MonthPage {
  const amount = (sum: number) => formatMoney(money(sum), currency, locale);
  const day = (date: PlainDate) => formatShortDate(date, locale);
  const { earned, welfare } = record;
  const spread = spreadOf(record.scores.map((one) => one.score));
  const plan = plans.find((one) => one.id === record.planId);
  const later = upgrades.filter(
    (one) =>
      one.boughtOn?.startsWith(month) &&
      !record.bought.some((other) => other.upgradeId === one.id) &&
      !corrections.some((other) => other.upgradeId === one.id),
  );
  const correctedBy = sumMoney(corrections.map((one) => one.amount ?? 0));
  const spent = spentIn(record);
  const plannedSpend = sumMoney(
    record.planned.filter((one) => record.earned !== null && one.arrives === month).map((one) => one.price),
  );
  return {
    heading: formatMonth(month, locale),
    lead: `Closed on ${formatDate(closedOn, locale)} and kept as it was then.`,
    moneyFacts: [
      {
        term: 'Came in',
        value:
          record.cameIn !== 0
            ? amount(record.cameIn)
            : record.sumPlanned === 0
              ? monthSentences.noneBesides
              : monthSentences.noIncome,
      },
      { term: 'Spent on purchases and renewals, less refunds', value: amount(spent) },
      ...(record.counted === null
        ? [{ term: 'Money left', value: 'Not counted' }]
        : [
            {
              term: 'Money left',
              value: countSentence(record.counted, record.usualSum ?? record.sumPlanned, currency, locale),
            },
          ]),
    ],
    moneySentences: earned === null ? [] : earnedSentences(earned, currency, locale),
    sides: [
      {
        what: 'Came in',
        planned: record.sumPlanned === null ? 'unknown' : amount(record.sumPlanned),
        actual: amount(record.cameIn),
        difference: record.sumPlanned === null ? '–' : amount(record.cameIn - record.sumPlanned),
      },
      ...(record.earned === null
        ? []
        : [
            {
              what: 'Purchases due this month',
              planned: amount(plannedSpend),
              actual: amount(sumMoney(record.bought.map((one) => one.paid - one.refunded))),
              difference: amount(sumMoney(record.bought.map((one) => one.paid - one.refunded)) - plannedSpend),
            },
          ]),
      ...(record.cashPlanned === null
        ? []
        : [
            {
              what: 'In hand at the end',
              planned: amount(record.cashPlanned),
              actual: record.counted === null ? 'not counted' : amount(record.counted.cash),
              difference: record.counted === null ? '–' : amount(record.counted.cash - record.cashPlanned),
            },
          ]),
      ...(earned === null
        ? []
        : [
            {
              what: 'Since the plan was made: due in use, and in use',
              planned: amount(earned.planned),
              actual: amount(earned.earned),
              difference: `${amount(earned.scheduleVariance)}, ratio ${ratioWords(earned.scheduleIndex, 'none, as nothing was due')}`,
            },
            {
              what: 'Since the plan was made: worth what is in use, and spent',
              planned: amount(earned.earned),
              actual: amount(earned.spent),
              difference: `${amount(earned.costVariance)}, ratio ${ratioWords(earned.costIndex, 'none, as nothing was spent')}`,
            },
            ...((earned.unplanned ?? 0) === 0
              ? []
              : [
                  {
                    what: 'Since the plan was made: spent on what it did not hold',
                    planned: amount(0),
                    actual: amount(earned.unplanned!),
                    difference: amount(-earned.unplanned!),
                  },
                ]),
            {
              what: 'The whole plan: planned, and at these prices',
              planned: amount(earned.budget),
              actual: earned.atCompletion === null ? 'cannot be told yet' : amount(earned.atCompletion),
              difference: earned.atCompletion === null ? '–' : amount(earned.budget - earned.atCompletion),
            },
          ]),
    ],
    plan:
      plan === undefined
        ? null
        : { label: `Held against ${planName(plan, plans, locale)}`, href: paths.roadmap.older(plan.id) },
    noPlan: earned === null ? monthSentences.noPlan : null,
    welfare:
      welfare === null
        ? null
        : {
            sentence: welfareSentence(welfare.actual - welfare.planned, welfare),
            rows: welfare.animals.map((one) => ({
              name: one.name,
              planned: one.planned === null ? 'not there' : pointsWords(one.planned),
              actual: one.actual === null ? 'not there' : pointsWords(one.actual),
              difference: differencePoints((one.actual ?? 0) - (one.planned ?? 0)),
            })),
            total: {
              planned: pointsWords(welfare.planned),
              actual: pointsWords(welfare.actual),
              difference: differencePoints(welfare.actual - welfare.planned),
            },
            causes: CAUSES.map((cause) => ({
              cause: causeNames[cause],
              points: differencePoints(welfare.causes[cause]),
              who:
                listed(
                  welfare.animals
                    .filter((one) => one.causes[cause] !== 0)
                    .map((one) => `${one.name} ${differencePoints(one.causes[cause])}`),
                ) || '–',
            })),
            causesTotal: differencePoints(welfare.actual - welfare.planned),
            note: monthSentences.wholeMonth,
          },
    noWelfare: welfare !== null ? null : record.planId === null ? monthSentences.noPlan : monthSentences.noFacts,
    scores: record.scores.map((one) => ({
      name: one.name,
      score: String(Math.round(one.score)),
      range: `${Math.round(one.low)} to ${Math.round(one.high)}`,
      worst: one.worst === null ? '–' : needNames[one.worst],
      severe: one.severe.length === 0 ? 'none' : listed(one.severe.map((need) => lowerFirst(needNames[need]))),
    })),
    spread:
      spread === null || record.scores.length < 2
        ? null
        : `Least ${Math.round(spread.least)}, middle ${Math.round(spread.median)}, mean ${Math.round(spread.mean)}.`,
    bought: record.bought.map((one) => ({
      name: one.name,
      on: day(one.boughtOn),
      paid: one.refunded === 0 ? amount(one.paid) : `${amount(one.paid)}, ${amount(one.refunded)} came back`,
      shop: one.shop === '' ? '–' : one.shop,
      state: one.fittedOn === null ? 'not fitted' : `fitted on ${day(one.fittedOn)}`,
    })),
    renewalsDue: record.renewalsDue.map(
      (one) =>
        `${one.name}: due on ${formatDate(one.dueOn, locale)}, ${one.price === null ? 'price unknown' : amount(one.price)}`,
    ),
    readings: record.readings.map((one) => ({
      what: `${readingNames[one.kind]}, “${one.enclosure}”`,
      value: one.typed,
      on: day(one.takenOn),
    })),
    events: record.events.map((one) => ({
      on: day(one.on),
      what: one.name === '' ? one.what : `${one.what}: ${one.name}`,
      amount: one.amount === null ? '–' : amount(one.amount),
    })),
    note: record.note === '' ? null : record.note,
    laterEntries:
      later.length === 0
        ? null
        : `Entered for this month since it was closed: ${listed(later.map((one) => `“${one.name}”`))}. The record stays as it was; add a correction that says so.`,
    corrections: corrections.map((one) => ({
      on: formatDate(one.enteredOn, locale),
      what: one.upgradeId === null ? one.note : monthSentences.purchasePutRight(one.note),
      amount: one.amount === null ? '–' : `${amount(Math.abs(one.amount))} ${one.amount < 0 ? 'less' : 'more'} spent`,
    })),
    corrected:
      correctedBy === 0
        ? null
        : `With its corrections, ${amount(spent + correctedBy)} was spent instead of ${amount(spent)}.`,
    correctHref: paths.months.correct(month),
    listHref: paths.months.list,
  };
}

function welfareSentence(difference: number, { causes }: NonNullable<MonthRecord['welfare']>): string {
  if (difference === 0 && CAUSES.every((cause) => causes[cause] === 0)) return 'It went as planned.';
  const most = CAUSES.reduce((worst, cause) => (Math.abs(causes[cause]) > Math.abs(causes[worst]) ? cause : worst));
  const how =
    difference === 0
      ? 'In all it came out as planned'
      : `${pointsWords(Math.abs(difference))} points × months ${difference < 0 ? 'less' : 'more'} than planned`;
  return `${how}; what moved it most: ${lowerFirst(causeNames[most])} (${differencePoints(causes[most])}).`;
}

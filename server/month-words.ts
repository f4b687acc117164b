// Every sentence about a month that is closed: causes, ratios, what was due and what became of it, and what its forms ask and say.

import type { PlainDate, PlainMonth } from '../src/calendar.ts';
import { formatDate, formatMonth } from '../src/calendar.ts';
import type { Currency, Money } from '../src/money.ts';
import { formatMoney, money } from '../src/money.ts';
import type { Cause, ClosingRule, EarnedValue, EntryFault } from '../src/month-review.ts';
import type { PlanLine } from './db/plans.ts';
import { happeningWords } from './upgrade-words.ts';

/** The seven causes, in words that stand alone. */
export const causeNames: Readonly<Record<Cause, string>> = {
  'not-bought': 'Not bought, or bought beside the plan',
  'bought-late': 'Bought late or not in use yet',
  'delivered-otherwise': 'In use, but gave less or more than promised',
  'evidence-changed': 'Measured again, or what is known changed',
  aged: 'Aged, broke or was not renewed',
  'target-revised': 'Targets or value choices revised',
  'joined-or-left': 'An animal came, left or moved',
};

/** What happened, as the list of a month's events says it. */
export const eventNames = {
  ...happeningWords,
  'not-bought': 'Not bought after all',
  failed: 'Failed and went back',
  returned: 'Went back',
} as const;

/** Points x months kept in tenths, such as '64.5'. */
export function pointsWords(tenths: number): string {
  return (tenths / 10).toFixed(1).replace('-', '−');
}

/** A difference of points x months kept in tenths, always with its sign: '+4.5', '−4.5', '0.0'. */
export function differencePoints(tenths: number): string {
  return tenths > 0 ? `+${pointsWords(tenths)}` : pointsWords(tenths);
}

/** Why a month cannot be closed, a whole sentence; '' when it can. */
export function closingSentence(rule: ClosingRule, month: PlainMonth, locale: string): string {
  const name = formatMonth(month, locale);
  switch (rule.status) {
    case 'open':
      return '';
    case 'closed-already':
      return `${name} is closed already and stays as it was closed. What turned out otherwise is entered as a correction.`;
    case 'not-over':
      return `${name} is not over: it can be closed from ${formatDate(rule.lastDay, locale)} on.`;
    case 'earlier-first':
      return `Close ${formatMonth(rule.month, locale)} first: months are closed in their order.`;
    case 'before-ledger':
      return `${name} cannot be closed: nothing is known of it, or a later month is closed already.`;
  }
}

/** A plan by the day it was made, with its number where another was made on that day. */
export function planName(plan: PlanLine, all: readonly PlanLine[], locale: string): string {
  const isAlone = all.every((one) => one === plan || one.madeOn !== plan.madeOn);
  return `the plan of ${formatDate(plan.madeOn, locale)}${isAlone ? '' : `, number ${plan.id}`}`;
}

/** Which plan a month is held against and why that one; the month is named where there are several (not null). */
export function monthHeldSentence(
  plan: PlanLine | null,
  how: 'in-force' | 'first' | 'chosen',
  month: PlainMonth | null,
  all: readonly PlanLine[],
  locale: string,
): string {
  const held = month === null ? 'Held' : `${formatMonth(month, locale)} is held`;
  if (plan === null)
    return month === null ? monthSentences.noPlan : `${formatMonth(month, locale)}: no plan covers it.`;
  const why = {
    'in-force': 'which was in force on its first day',
    first: 'as none was in force on its first day',
    chosen: 'as you chose',
  }[how];
  return `${held} against ${planName(plan, all, locale)}, ${why}.`;
}

/** A mistake in a purchase or a return of a month. */
export function entryFaultSentence(fault: EntryFault, month: PlainMonth, locale: string): string {
  const name = formatMonth(month, locale);
  switch (fault) {
    case 'before-month':
      return `Check the day: it lies before ${name}. A purchase of an earlier month is a correction of that month.`;
    case 'after-month':
      return `Check the day: it lies after ${name}. Leave it as not bought here and enter it in its own month.`;
    case 'refund-above-price':
      return 'Check the refund: it is more than was paid. What came on top is a one-off sum on the money page.';
    case 'returned-before-bought':
      return 'Check the day: it lies before the day of buying.';
  }
}

/** What the money of a month comes to, the finding first. */
export function earnedSentences(value: EarnedValue, currency: Currency, locale: string): string[] {
  const amount = (sum: number) => formatMoney(money(Math.abs(sum)), currency, locale);
  const besides = value.unplanned ?? 0;
  const unplanned = besides === 0 ? [] : [`${amount(besides)} more went to what the plan did not hold.`];
  if (value.planned === 0 && value.spent === 0 && besides !== 0) return unplanned;
  if (value.planned === 0 && value.spent === 0) return ['Nothing was due and nothing was spent.'];
  const sentences = [
    value.scheduleVariance < 0
      ? `Things worth ${amount(value.scheduleVariance)} that were due are not in use yet.`
      : value.scheduleVariance > 0
        ? `Things worth ${amount(value.scheduleVariance)} are in use earlier than planned.`
        : 'What was due is in use.',
  ];
  if (value.costVariance < 0)
    sentences.push(
      `${amount(value.costVariance)} more was spent than the plan allowed for what is in use; what is paid and not in use yet counts here too.`,
    );
  else if (value.costVariance > 0)
    sentences.push(`What is in use cost ${amount(value.costVariance)} less than planned.`);
  if (value.atCompletion !== null && value.costIndex !== 1)
    sentences.push(
      `If prices go on like this, the whole plan comes to ${amount(value.atCompletion)} instead of ${amount(value.budget)}.`,
    );
  return [...sentences, ...unplanned];
}

/** A ratio with two decimals; why there is none where it is null. */
export function ratioWords(ratio: number | null, without: string): string {
  return ratio === null ? without : ratio.toFixed(2);
}

/** What was counted against what should have been there. */
export function countSentence(
  { cash, on, expected }: { cash: Money; on: PlainDate; expected: Money | null },
  monthlySum: Money | null,
  currency: Currency,
  locale: string,
): string {
  const amount = (sum: number) => formatMoney(money(Math.abs(sum)), currency, locale);
  const counted = `${amount(cash)} was counted on ${formatDate(on, locale)}`;
  if (expected === null) return `${counted}. What should have been there is unknown, since nothing was counted before.`;
  if (cash === expected) return `${counted}, as expected.`;
  const less = cash < expected;
  const off = cash - expected;
  const found = `${counted}, ${amount(off)} ${less ? 'less' : 'more'} than the ${amount(expected)} expected.`;
  const corrected = monthlySum === null ? off : off + (less ? monthlySum : -monthlySum);
  // As far off as the sum of a month is most often that sum.
  if (2 * Math.abs(corrected) < Math.abs(off))
    return `${found} That is about the sum of a month: it may have come ${less ? 'later' : 'earlier'} than was said here${corrected === 0 ? '' : `, and then it is ${amount(corrected)} ${corrected < 0 ? 'less' : 'more'}`}.`;
  return `${found} It may be a slip in counting, or something that ${less ? 'was spent' : 'came in or was not spent'} and is not written down.`;
}

/** The sentences of the pages of a month that do not hang on figures. */
export const monthSentences = {
  months: 'Months',
  monthsLead:
    'A month is closed once it is over and then stays as it was. What turns out otherwise is added as a correction with its own day.',
  noneWaits: 'No month waits to be closed.',
  closeNext: (month: string) => `Close ${month}`,
  closeLater: (month: string) => `${month}, after the one before it`,
  purchasePutRight: (name: string) => `What was paid for “${name}”, put right or entered later`,
  /** What the fields of a closing are called where both versions stand side by side. */
  fields: {
    cameIn: 'Came in',
    cash: 'Money left, counted',
    countedOn: 'Counted on',
    sumArrived: 'The sum is already in it',
    note: 'Note',
    bought: 'Was bought',
    boughtOn: 'Bought on',
    paid: 'Paid',
    shop: 'Where',
    fate: 'What became of it',
    returnedOn: 'Went back on',
    refund: 'Came back',
  },
  notClosed: 'Close the month first; until then it can still be changed where it was entered.',
  noneBesides: 'Nothing besides what was in the cash already.',
  noIncome: 'Nothing came in. What was due stands against what was left.',
  noPlan: 'No plan of this month is kept, so there is nothing to hold it against.',
  noFacts: 'The plan of this month was made before its facts were kept, so the welfare cannot be held against it.',
  wholeMonth:
    'A month is judged on its last day, and a purchase counts for the whole month in which it comes into use, as it does in the plan. Each cause is what changing it alone adds, one after another in this order, so that they sum to the difference.',
  changedSince:
    'Something that was planned, bought or closed was changed after this page was opened, so nothing was saved. What you typed stands below: open the months again and enter it there.',
  notInForce: 'This plan was not in force in that month. Open the page of closing again and choose one it offers.',
  chooseFirst: 'Choose before you fill in the page: it is drawn anew.',
  amountNeedsSide: 'Say whether more or less was spent.',
  sideNeedsAmount: 'Give the amount, or choose that it is not about money.',
  noneToClose: 'No month is over yet, so there is none to close. Come back when this one is.',
  countNeedsSum: 'Say whether the sum of the month of that day is in what was counted.',
  countNeedsDay: 'Give the day on which the cash was counted.',
  dayNeedsCount: 'Give the cash counted, or leave the day empty.',
  wearsOut: 'What wears out and when',
  wearsOutLead: 'Each date is counted from the day of fitting, so that the end of a month never drifts.',
  dueSince: (day: string, price: string) => `due since ${day}; price of a new one: ${price}.`,
  andUnpriced: (sum: string, count: number) => `${sum} and ${count} without a price entered`,
  monthlyShare: 'Share of each month',
  accrued: 'Used up by now, so what a reserve must hold today',
  nothingDue: 'Nothing fitted has a life written down, so nothing is ever due.',
  stillLights: 'A tube that still lights is still due: its UV fades before its light does.',
  overdueEstimate:
    'Readings that hang on a thing past its life count as estimates until it is renewed or they are taken again.',
  reserve:
    'A reserve that pays every renewal must open with the share already used up, and then takes the share of each month. It is for comparison: plan and cash deduct each renewal in the month in which it is due, and nothing twice.',
} as const;

/** What the pages of closing and correcting a month ask, offer and say. */
export const closingWords = {
  months: 'Months',
  whatTurnedOut: 'what turned out otherwise',
  whetherMoney: 'whether it is about money',
  theAmount: 'the amount',
  close: (month: string) => `Close ${month}`,
  correct: (month: string) => `Correct ${month}`,
  correctLead: (day: string) =>
    `The month stays as it was closed; the correction stands below it with today’s date, ${day}.`,
  whatTurnedOutAsked: 'What turned out otherwise?',
  isItMoney: 'Is it about money?',
  no: 'No',
  moreSpent: 'More was spent than is kept',
  lessSpent: 'Less was spent than is kept',
  byHowMuch: 'By how much',
  notTheCash: 'It changes the sum of the month, not the cash in hand: that is put right by counting it.',
  addCorrection: 'Add this correction',
  boughtNotFitted: 'bought, not fitted yet',
  refusedSince: 'refused since',
  notBoughtBelow: 'not bought, see below',
  freeNotDone: 'costs nothing, not done yet',
  markDone: 'Mark as done',
  renewalOf: (name: string) => `Renewal of ${name}`,
  dueNotRenewed: (day: string) => `due since ${day}, not renewed`,
  markRenewed: 'Mark as renewed',
  boughtOnNotFitted: (day: string) => `bought on ${day}, not fitted`,
  markFitted: 'Mark as fitted',
  fittedOn: (day: string) => `fitted on ${day}`,
  notReadSince: (name: string) => `not read since “${name}” was fitted`,
  enterReading: (reading: string) => `Enter the ${reading}`,
  holdAgainst: (plan: string) => `Hold it against ${plan} instead`,
  span: (first: string, last: string) => `${first} to ${last}`,
  wasBoughtIn: (name: string, month: string) => `Was “${name}” bought in ${month}?`,
  wasBoughtFrom: (name: string, months: string) => `Was “${name}” bought from ${months}?`,
  yes: 'Yes',
  boughtOn: 'Bought on',
  paid: 'Paid',
  paidHint: (planned: string) => `With delivery. Planned: ${planned}.`,
  where: 'Where',
  whereHint: 'A shop or a person, if you want to remember it.',
  whatBecame: 'What became of it?',
  wasKept: 'It was kept',
  failed: 'It failed and went back',
  returned: 'It was returned',
  wentBackOn: 'Went back on',
  cameBack: 'Came back',
  cameBackHint: (paid: string) => `Of the ${paid} that were paid; 0 when nothing came back.`,
  cameInThisMonth: 'Came in this month',
  cameIn: (month: string) => `Came in: ${month}`,
  cameInHint: '0 when nothing came in.',
  cameInAlready:
    'Besides what was in the cash you counted when the ledger began: the sum of this month was in it already.',
  note: 'Note',
  closeTheMonth: 'Close the month',
  closeThese: (count: number) => `Close these ${count} months`,
  theCash: 'the cash counted',
  theDayOfCount: 'the day of the count',
  whetherSumIsIn: 'whether the sum is in the cash',
  cashLeft: 'Money left, counted',
  cashLeftHint: 'Leave it empty when nobody counted. A count takes the place of the last one.',
  countedOn: 'Counted on',
  countedOnHint: 'Before that day’s purchases.',
  isSumIn: 'Is the sum of the month of that day already in it?',
  stillToCome: 'No, it is still to come',
  thisMonth: 'this month',
  forMonth: (month: string) => `for ${month}`,
  whatCameIn: (when: string) => `what came in ${when}, 0 for nothing`,
  whetherBought: 'whether it was bought',
  theDayOfBuying: 'the day of buying',
  theSumPaid: 'the sum paid',
  whereBought: 'where it was bought',
  whatBecameOf: 'what became of it',
  theDayWentBack: 'the day it went back',
  whatCameBack: 'what came back',
  theNote: 'the note',
  whatCameBackOrNothing: 'what came back, 0 for nothing',
} as const;

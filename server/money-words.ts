// Words about money: what a movement is, whether what is owed can be paid, what a budget had to leave out, and what its forms ask and say.

import type { Budget, Entry, Unknown } from '../src/budget.ts';
import type { PlainDate } from '../src/calendar.ts';
import { formatDate, formatMonth } from '../src/calendar.ts';
import type { Currency, Money } from '../src/money.ts';
import { formatMoney, money } from '../src/money.ts';
import { monthExamples } from './form-words.ts';
import { listed } from './words.ts';

/** Who pays for food, vet and power. */
export const payerWords = {
  sum: 'Yes, the sum must cover it',
  elsewhere: 'No, it is paid from elsewhere',
} as const;

/** What a movement of money is, in a few words. */
export function entryWords(entry: Entry, locale: string): string {
  switch (entry.what) {
    case 'sum':
      return 'The monthly sum';
    case 'food':
      return entry.fromDay === null ? 'Food' : `Food from ${formatDate(entry.fromDay, locale)} to the end of the month`;
    case 'vet':
      return 'Vet';
    case 'power':
      return 'Power';
    case 'renewal':
      return `Renewal of “${entry.name}”, due on ${formatDate(entry.dueOn, locale)}`;
    case 'running-cost':
      return entry.amount < 0 ? `Running cost of “${entry.name}”` : `Saved by “${entry.name}”`;
    case 'one-off':
      return entry.canWait ? `${entry.note} (can wait)` : entry.note;
    case 'set-aside':
      return setAsideWords(entry.animal);
    case 'vet-visit':
      return `Vet on ${formatDate(entry.on, locale)}, for ${entry.animal}`;
    case 'purchase':
      return `Bought on ${formatDate(entry.on, locale)}: ${entry.name}`;
    case 'refund':
      return `Came back on ${formatDate(entry.on, locale)}: ${entry.name}`;
    case 'renewed':
      return `Renewed on ${formatDate(entry.on, locale)}: ${entry.name}`;
  }
}

/** What a sum is kept back for, to stand alone or after an amount. */
export function setAsideWords(animal: string): string {
  return `Set aside for ${animal}’s vet visit`;
}

/** What to enter as paid, and from which day it is taken off the cash: the day of the count included, as a count is of the morning. */
export function paidHint(
  done: 'Bought' | 'Renewed',
  { cashCountedOn, locale }: { cashCountedOn: PlainDate | null; locale: string },
): string {
  const rule =
    cashCountedOn === null
      ? 'It is taken off the cash once you have counted that.'
      : `${done} on ${formatDate(cashCountedOn, locale)} or later, it is taken off the cash counted on that day; ${done.toLowerCase()} before, it is in that count already.`;
  return `What it really cost, with delivery. ${rule}`;
}

/** The finding in a few words: whether what is owed can be paid, and if so, whether the floor the keeper chose stays whole. */
export function findingHeading({ finding }: Budget): string {
  if (finding.status === 'payable') return 'What is owed can be paid';
  return finding.runsOut ? 'More is owed than there is' : 'What is owed can be paid, but not above the floor you keep';
}

/** Whether what is owed can be paid: the finding first, then what could be done, whole sentences. */
export function findingSentences(budget: Budget, currency: Currency, locale: string): string[] {
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const { finding } = budget;
  if (finding.status === 'payable') {
    const lowest = budget.months.reduce((least, one) => (one.endsWith < least.endsWith ? one : least));
    return [
      `What is already owed can be paid in each of the next ${budget.months.length} months. The least in hand is ${amount(lowest.endsWith)}, at the end of ${formatMonth(lowest.month, locale)}.`,
    ];
  }
  const below = (by: Money) => `${amount(by)} ${budget.reserve === 0 ? 'short' : 'below the floor you keep'}`;
  const sentences = [
    `In ${formatMonth(finding.month, locale)} you are ${below(finding.by)}, before anything new is bought.`,
  ];
  if (finding.mostMonth !== finding.month) {
    sentences.push(`It is worst at the end of ${formatMonth(finding.mostMonth, locale)}: ${below(finding.mostBy)}.`);
  }
  if (!finding.runsOut) {
    sentences.push('The cash itself does not run out; a lower floor would be enough.');
  }
  const keptBack = budget.months
    .filter((one) => one.month <= finding.mostMonth)
    .flatMap((one) => one.entries)
    .flatMap((one) => (one.what === 'set-aside' ? [`${amount(money(-one.amount))} for ${one.animal}`] : []));
  if (keptBack.length > 0) {
    sentences.push(`In it is what you set aside for vet visits: ${listed(keptBack)}. No purchase comes before it.`);
  }
  if (finding.couldWait.length === 0) {
    sentences.push(
      'Nothing among the one-off sums is marked as able to wait. Mark what can, lower the floor, or enter what comes in besides.',
    );
  } else {
    const names = finding.couldWait.map(
      (one) => `“${one.note}” (${amount(one.amount)}, ${formatMonth(one.month, locale)})`,
    );
    sentences.push(
      `Could be put off: ${listed(names)}. ${
        finding.waitingIsEnough
          ? `Putting it off until after ${formatMonth(finding.mostMonth, locale)} is enough.`
          : 'That alone is not enough.'
      }`,
    );
  }
  return sentences;
}

/** Who pays the power where it is not among a plan's running costs, or that it is unknown; null where it is among them. */
export function powerNote({ coversPower }: { coversPower: boolean }, unknown: readonly Unknown[]): string | null {
  if (!coversPower) return 'Power is paid from elsewhere, so it is not in these sums.';
  const isUnknown = unknown.some((one) => one.unknown === 'tariff' || one.unknown === 'power-of');
  return isUnknown
    ? 'What power costs is not known of all that is fitted; what is unknown is not in these sums.'
    : null;
}

/** What a budget had to leave out, and where to say it. */
export function leftOutSentence(unknown: Unknown, locale: string): string {
  switch (unknown.unknown) {
    case 'sum':
      return 'The monthly sum was never entered, so nothing comes in.';
    case 'cash':
      return 'The cash in hand was never counted, so it is taken as nothing.';
    case 'food':
      return 'The sum must cover food, but what food costs a month was never entered; nothing is deducted for it.';
    case 'vet':
      return 'The sum must cover the vet, but what is put aside a month was never entered; nothing is deducted for it.';
    case 'tariff':
      return 'The price of a kilowatt-hour was never entered, so the cost of power is unknown and nothing is deducted for it.';
    case 'power-of':
      return `The watts or the hours of “${unknown.name}” are not entered, so its power is unknown and nothing is deducted for it.`;
    case 'renewal-price':
      return `“${unknown.name}” is due for renewal on ${formatDate(unknown.dueOn, locale)}; its price is not entered, so nothing is deducted for it.`;
  }
}

/** Sentences of the money pages. */
export const moneySentences = {
  unknownPrice: 'unknown',
  priceAsPaid: (sum: string) => `${sum}, as you paid for this one; not counted until it is entered`,
  priceByCatalogue: (sum: string, standing: string) =>
    `up to ${sum} by the list of generic parts (${standing}); not counted until it is entered`,
  countNeedsDay: 'Say on which day the cash was counted, or leave both fields empty.',
  dayNeedsCount: 'Enter the cash counted on that day, or leave both fields empty.',
  rate: 'Write the price of a kilowatt-hour as a number of at most five decimals from 0 to 100, such as 0.24.',
  currencyCode: 'Give the currency by its three-letter code, such as EUR, GBP or USD.',
  otherDecimals: (kept: string, wanted: string) =>
    `Amounts are kept in the smallest coin of ${kept}, which has other decimals than ${wanted}. Choose a currency with the same decimals.`,
  timeZone: 'Choose one of the time zones listed.',
  notNothing: 'Give an amount above 0.',
} as const;

/** What the forms of money ask, offer and say. */
export const moneyFormWords = {
  theMoney: 'the money',
  changeMoney: 'Change the money',
  changeMoneyLead: 'Leave empty what you do not know: it is then shown as unknown and never counted as nothing.',
  comesIn: 'What comes in',
  comesInHint: 'What you put aside for your animals each month. The questions below ask what it must pay for.',
  floorHint:
    'What must be there for the vet or another emergency: no plan spends it. Empty means that all may be spent.',
  goesOutAlready: 'What goes out already',
  foodHint: 'Food, supplements and substrate.',
  vetHint: 'What is put aside a month for checks and illness.',
  powerHint: 'When power is paid from elsewhere, a lamp that saves power saves nothing here.',
  priceOfPowerHint: 'Without the standing charge, as on your bill, such as 0.24.',
  cashInHand: 'Cash in hand',
  cashHint:
    'Count it again whenever you like, before that day’s purchases. What you buy or renew on the day of the count or later is taken off. Remove the one-off sums of that month that are in it already from the list on the money page, or they are counted twice.',
  yes: 'Yes',
  stillToCome: 'No, it is still to come',
  save: 'Save',
  theUse: 'what it is for',
  theSide: 'whether it comes in or goes out',
  theAmount: 'the amount',
  theMonth: 'the month',
  whetherCanWait: 'whether it can wait',
  enterSum: 'Enter a one-off sum',
  change: (name: string) => `Change “${name}”`,
  sumLead:
    'Something that comes in or goes out once, such as a yearly vet check or a gift. Take it out once it is in the cash you counted.',
  itGoesOut: 'It goes out',
  itComesIn: 'It comes in',
  yearAndMonth: `Month and year, such as ${monthExamples}.`,
  canWaitHint: 'When money runs short in some month, what can wait is named first.',
  enterThisSum: 'Enter this sum',
  remove: (name: string) => `Remove “${name}”?`,
  removeMeans: (amount: string, month: string) =>
    `${amount} in ${month} will no longer be counted. It can be put back from the money page.`,
  removeSum: 'Remove this sum',
  whatIsItFor: 'What is it for?',
  inOrOut: 'Does it come in or go out?',
  amount: 'Amount',
  month: 'Month',
  canWait: 'It can wait',
  monthlySum: 'Sum a month',
  floor: 'Floor: what must stay in hand, such as for the vet',
  paysFood: 'Must the sum pay for food?',
  foodMonthly: 'Food a month',
  paysVet: 'Must the sum pay for the vet?',
  vetMonthly: 'Vet a month',
  paysPower: 'Must the sum pay for power?',
  priceOfPower: 'Price of a kilowatt-hour',
  cashCounted: 'Cash counted',
  countedOn: 'Counted on',
  isSumIn: 'Is the sum of that month already in it?',
  whoPays: (what: string) => `who pays for ${what}`,
  theMonthlySum: 'the sum a month',
  theFloor: 'the floor',
  theFood: 'the food a month',
  theVet: 'the vet',
  theVetMonthly: 'the vet a month',
  theCash: 'the cash counted',
  theDayOfCount: 'the day of the count',
  whetherSumIsIn: 'whether the sum is in the cash',
} as const;

// What is said of typed answers: how each is written, what is wrong with one, and what to do, for rules that many forms share.

import type { ClockHours, HourFault, PlainDate } from '../src/calendar.ts';
import type { Currency, MoneyFault } from '../src/money.ts';
import { LARGEST_TYPED, money, typedMoney } from '../src/money.ts';
import type { QuantityFault, UnitSystem } from '../src/units.ts';
import { degreesOf } from '../src/units.ts';
import { seasonWords } from './kind-words.ts';
import { alternatives } from './words.ts';

/** How a month is typed; the year lies far enough ahead to be no month gone by. */
export const monthExamples = '2031-03, 3/2031 or March 2031';

/** The heading above the list of mistakes in a form. */
export function mistakesHeading(count: number): string {
  return count === 1
    ? 'One answer needs a change before this can be saved'
    : `${count} answers need a change before this can be saved`;
}

/** How every question begins about a value that is far from what was expected. */
export const LOOK_AGAIN = 'Look again: ';

/** Sentences about typed answers, for rules that many forms share. */
export const formSentences = {
  askedBack: (why: string) => `${LOOK_AGAIN}${why} Correct it, or tick that it is right.`,
  required: (label: string) => `Fill in ${label}.`,
  tooLong: (label: string, limit: number, length: number) =>
    `Shorten ${label} to at most ${limit} characters; it has ${length}.`,
  strangeCharacter: (label: string) =>
    `Take out the invisible control character in ${label}; retyping it is the surest way.`,
  choose: (label: string) => `Choose one of the answers listed for ${label}.`,
  wholeNumber: (label: string) => `Write ${label} as a whole number in digits, such as 12.`,
  countedNumber: (label: string, units: readonly string[]) =>
    `Write ${label} as a whole number of ${units[0] === '%' ? 'percent' : units[0]} in digits, such as 12${units.length < 2 ? '' : `, or with its unit: ${alternatives([...units])}`}.`,
  wholeNumberRange: (label: string, low: number, high: number) =>
    `Give ${label} as a whole number from ${low} to ${high}.`,
  decimal: (label: string, unit: string) =>
    unit === '' ? `Write ${label} as a number without a unit.` : `Write ${label} as a number, with or without ${unit}.`,
  decimalRange: (label: string, low: number, high: number) =>
    `Check ${label}: it must be between ${String(low).replace('-', '−')} and ${high}.`,
  date: (label: string) =>
    `Give ${label} as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.`,
  eitherDate: (label: string, typed: string, [dayFirst, monthFirst]: readonly [PlainDate, PlainDate]) =>
    `Write ${label} year-month-day: “${typed}” may be ${dayFirst}, with the day first, or ${monthFirst}, with the month first.`,
  month: (label: string) => `Give ${label} as a month and its year, such as ${monthExamples}.`,
  monthOfWhichYear: (label: string, month: string) =>
    `Give ${label} with its year: “${month}” and the year in four figures, such as “${month} 2031”.`,
  years: (label: string, first: number, last: number) =>
    `Check the year of ${label}: it must be from ${first} to ${last}.`,
  unknownField: (name: string) =>
    `The form carried "${name}", which this page does not know. Open the page again and retype it.`,
  changedMeanwhile:
    'This was changed or removed meanwhile, so nothing was done. Go back, look at what is there now, and try again.',
  otherLedger:
    'Another ledger was put in place of the one that this page was made from, so nothing was saved. Open the page again and type it there.',
  state: 'What became of it',
  removedMeanwhile:
    'This was removed while you were typing. Put it back from the list of what was removed, then send this again.',
  chooseFirst: 'The address does not say what kind this is. Choose the kind first, then fill in its form.',
  valueOrUnknown: 'Give the value, or choose “unknown”.',
  unknownHasNoValue: 'Empty the value, or choose “measured” or “estimated”.',
  roomTooHot: 'Check the temperature of the room: it is hotter than any room.',
  bothMonths: 'Choose both the first and the last month of this season, or neither.',
  seasonUnknown: (season: 'cooling' | 'winter-rest') =>
    `No targets for ${seasonWords[season]} are known for this species: leave both months undated.`,
  neverThere: 'Nothing is kept under that address.',
  wasRemoved: 'This was removed. It can be put back from the list of what was removed.',
  withoutVersion: 'The form did not say which version it was opened with. Open the page again and retype it.',
  notLater: (label: string) => `Check ${label}: it lies in the future.`,
  notBefore: (label: string, other: string) => `Check ${label}: it lies before ${other}.`,
  notAfter: (label: string, other: string) => `Check ${label}: it lies after ${other}.`,
  unreadable:
    'The form came in characters that could not be read, so nothing was saved. Open the page again and retype it.',
  repeatedField: (name: string) =>
    `The form carried "${name}" more than once, so it is unclear which was meant. Nothing was saved.`,
} as const;

/** In which degrees a temperature is typed. */
export function temperatureHint(system: UnitSystem): string {
  return degreesOf(system) === 'C' ? 'In °C unless you write °F.' : 'In °F unless you write °C.';
}

/** How an hour of the day is typed, by the keeper's clock. */
export function hourHint(clock: ClockHours): string {
  return clock === 24 ? 'A whole hour from 0 to 23; 6 pm is understood too.' : 'A whole hour, such as 6 pm.';
}

/** How the hour is typed at which something ends, so that midnight is the end of the day. */
export function endingHourHint(clock: ClockHours): string {
  return clock === 24 ? 'From 1 to 24.' : 'Such as 8 pm; 12 am is the end of the day.';
}

/** What is wrong with a typed hour of the day, and what to do. `last` is the last hour that is taken. */
export function hourSentence(label: string, fault: HourFault, clock: ClockHours, last: number): string {
  if (fault === 'morning-or-evening') return `Write am or pm after ${label}, such as 6 pm.`;
  return clock === 24
    ? `Write ${label} as a whole hour from ${last === 24 ? 1 : 0} to ${last}, such as 18.`
    : `Write ${label} as a whole hour, such as 6 pm.`;
}

/** What is wrong with a typed quantity, and what to do. */
export function quantitySentence(label: string, fault: QuantityFault): string {
  switch (fault.fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as a number, with its unit if you like.`;
    case 'several-numbers':
      return `Write ${label} alone here, as one number; each further one has a field of its own.`;
    case 'letter-for-digit':
      return `Write ${label} with digits alone: there is a letter O or l among them.`;
    case 'ambiguous-comma':
      return `Write ${label} so that the comma cannot be a thousands separator, such as 1200 or 1.2.`;
    case 'wrong-unit':
      return fault.accepted.length === 0
        ? `Write ${label} as a number without a unit.`
        : `Write ${label} in ${alternatives(fault.accepted)}.`;
    case 'out-of-range':
      return `Check ${label}: it must be between ${fault.low} and ${fault.high}.`;
  }
}

/** What is wrong with a typed amount of money, and what to do. */
export function moneySentence(label: string, fault: MoneyFault, currency: Currency, typed: string): string {
  switch (fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as an amount in digits, such as ${typedMoney(money(Math.floor(12.5 * 10 ** currency.decimals)), currency)}.`;
    case 'other-currency':
      return `Write ${label} in ${currency.code}, the currency of this ledger; other amounts must be changed into it first.`;
    case 'ambiguous': {
      const digits = typed.replace(/\D/g, '');
      const fraction = digits.slice(-3).slice(0, currency.decimals);
      return `Write ${label} so that it can mean one amount only: “${typed.trim()}” may be ${digits} or ${digits.slice(0, -3)}.${fraction}.`;
    }
    case 'too-many-decimals':
      return `Write ${label} with no more decimals than the currency has.`;
    case 'too-large':
      return `Check ${label}: it must be at most ${typedMoney(LARGEST_TYPED, currency)}.`;
    case 'negative':
      return `Give ${label} without a minus sign.`;
  }
}

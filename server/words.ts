// Every sentence that is shown in more than one place, or that turns a reason from src/ into English. The only file that does so.

import type { MoneyFault } from '../src/money.ts';
import type { QuantityFault } from '../src/units.ts';

/** The name of the product. */
export const productName = 'Basking Ledger';

/** The words of the main menu, by the page group they lead to. */
export const menuWords = {
  home: 'This month',
  roadmap: 'Roadmap',
  upgrades: 'Upgrades',
  money: 'Money',
  enclosures: 'Enclosures',
  animals: 'Animals',
  species: 'Species',
  about: 'About the score',
} as const;

/** What a page says once after a change was saved, by the name that the address carries. */
export const notices: Readonly<Record<string, string>> = {
  saved: 'Saved.',
  added: 'Added.',
  removed: 'Removed.',
  'nothing-changed': 'Nothing was changed.',
};

/** The heading above the list of mistakes in a form. */
export function mistakesHeading(count: number): string {
  return count === 1
    ? 'One answer needs a change before this can be saved'
    : `${count} answers need a change before this can be saved`;
}

/** Sentences about typed answers, for rules that many forms share. */
export const formSentences = {
  required: (label: string) => `Fill in ${label}.`,
  tooLong: (label: string, limit: number, length: number) =>
    `Shorten ${label} to at most ${limit} characters; it has ${length}.`,
  strangeCharacter: (label: string) =>
    `Take out the invisible control character in ${label}; retyping it is the surest way.`,
  choose: (label: string) => `Choose one of the answers listed for ${label}.`,
  wholeNumber: (label: string) => `Write ${label} as a whole number in digits, such as 12.`,
  wholeNumberRange: (label: string, low: number, high: number) =>
    `Give ${label} as a whole number from ${low} to ${high}.`,
  date: (label: string) => `Give ${label} as a real day, written year-month-day, such as 2026-03-31.`,
  unknownField: (name: string) =>
    `The form carried "${name}", which this page does not know. Open the page again and retype it.`,
  repeatedField: (name: string) =>
    `The form carried "${name}" more than once, so it is unclear which was meant. Nothing was saved.`,
} as const;

/** What is wrong with a typed quantity, and what to do. */
export function quantitySentence(label: string, fault: QuantityFault): string {
  switch (fault.fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as a number, with its unit if you like.`;
    case 'wrong-unit':
      return fault.accepted.length === 0
        ? `Write ${label} as a number without a unit.`
        : `Write ${label} in ${alternatives(fault.accepted)}.`;
    case 'out-of-range':
      return `Check ${label}: it must be between ${fault.low} and ${fault.high}.`;
  }
}

/** What is wrong with a typed amount of money, and what to do. */
export function moneySentence(label: string, fault: MoneyFault): string {
  switch (fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as an amount in digits, such as 12.50.`;
    case 'too-many-decimals':
      return `Write ${label} with no more decimals than the currency has.`;
    case 'too-large':
      return `Check ${label}: it is larger than this ledger can hold.`;
    case 'negative':
      return `Give ${label} without a minus sign.`;
  }
}

/** What an error page says, by HTTP status: what happened and what to do. */
export const errorPages: Readonly<Record<number, { title: string; sentence: string }>> = {
  400: { title: 'That request could not be read', sentence: 'Check the address and try again. Nothing was changed.' },
  403: {
    title: 'That was sent from somewhere else',
    sentence:
      'Changes are only taken from the pages of this ledger itself. Nothing was changed: open the page here and send it again.',
  },
  404: { title: 'There is no such page', sentence: 'It may have been removed, or the address may be mistyped.' },
  409: { title: 'This was changed meanwhile', sentence: 'Go back, look at what is there now, and try again.' },
  413: {
    title: 'That is too much at once',
    sentence: 'Shorten the longest text and send it again. Nothing was saved.',
  },
  415: { title: 'That kind of file is not taken', sentence: 'Use the form on the page. Nothing was changed.' },
  421: {
    title: 'This ledger does not go by that address',
    sentence: 'Open it at the address it printed when it was started.',
  },
  422: { title: 'That could not be understood', sentence: 'Go back and check what was typed. Nothing was saved.' },
  500: {
    title: 'Something went wrong in the program',
    sentence: 'What you sent was not saved. Go back and try again; what was saved before is still there.',
  },
};

function alternatives(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

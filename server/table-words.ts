// What is wrong with a pasted table, in words.

import type { DateOrder } from '../src/calendar.ts';
import type { TableFault } from '../src/delimited.ts';

/** The orders in which dates in figures are written, as answers to choose. */
export const dateOrderNames: Readonly<Record<DateOrder, string>> = {
  'year-month-day': 'Year, month, day: 2026-01-31',
  'day-month-year': 'Day, month, year: 31.1.2026 or 31/01/2026',
  'month-day-year': 'Month, day, year: 01/31/2026',
};

/** The sentences about pasted readings. */
export const readingTableWords = {
  lead: 'Copied from a spreadsheet or out of a CSV file. You see what is found before anything is taken over. The table of readings from the export is taken as it is: the rows of this enclosure that were not removed.',
  noneOfThis: (enclosure: string) =>
    `It is the table of the export, but no row that was not removed is of an enclosure called “${enclosure}”.`,
  asExported: (column: string) => `Leave the column ${column} as the export wrote it.`,
  order: 'How dates are written',
  orderHint: 'Dates that begin with a year of four figures are read in any case.',
  date: 'Write the date as a real day in the order that you chose, such as 2026-03-31, or choose the other order.',
  /** How a date of the table was read, where it might have been read in another way. */
  readAs: (written: string, day: string) => `Dates were read in the order you chose: ${written} is ${day}.`,
} as const;

/** What is wrong with a table as a text, and what to do; the line is named beside it. */
export function tableFaultSentence(fault: TableFault): string {
  switch (fault.fault) {
    case 'empty':
      return 'There is no line of headings.';
    case 'too-many-rows':
      return `Take over at most ${fault.most} lines at a time.`;
    case 'too-many-columns':
      return `Keep at most ${fault.most} columns.`;
    case 'cell-too-long':
      return `Shorten the longest cell to at most ${fault.most} characters.`;
    case 'open-quote':
      return 'A quotation mark opens here and is never closed.';
    case 'stray-quote':
      return 'A quotation mark stands inside a cell. Put the cell in quotation marks and double those inside.';
    case 'ragged':
      return `It has ${fault.have} cells where the headings have ${fault.want}. Put a cell with the separator in it in quotation marks.`;
    case 'heading-twice':
      return `Two columns have the heading “${fault.heading}”. Rename or take out one.`;
  }
}

// What is wrong with a pasted table, in words.

import type { TableFault } from '../src/delimited.ts';

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

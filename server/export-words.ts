// Every sentence about files that leave the ledger and come back: what each holds, what a calendar says, and why a file is not taken.

import { formatDate, formatMonth, type PlainDate, type PlainMonth } from '../src/calendar.ts';
import type { CsvName } from './csv-tables.ts';
import type { TableName } from './db/whole-ledger.ts';
import type { TableDifference } from './ledger-differences.ts';
import type { FileFault } from './ledger-file.ts';

/** What the entries of a calendar say. */
export const calendarWords = {
  name: 'Basking Ledger',
  buy: (name: string, price: string) => `Buy: ${name} (${price})`,
  free: (name: string) => `Do: ${name}`,
  arrives: (name: string) => `Comes, to be fitted: ${name}`,
  goesBack: (name: string) => `Last day it can go back: ${name}`,
  goingBack: 'Read and check what it promised before this day; what falls short can still go back.',
  renew: (name: string, isOverdue: boolean) => `${isOverdue ? 'Overdue, renew' : 'Renew'}: ${name}`,
  purchase: (price: string | null, animals: string, month: PlainMonth, locale: string) =>
    `${price === null ? 'Costs nothing' : `Costs ${price}`}${animals === '' ? '' : `, for ${animals}`}. Any day of ${formatMonth(month, locale)} will do.`,
  planned: (madeOn: PlainDate, locale: string) => `By the plan of ${formatDate(madeOn, locale)}.`,
  renewal: (enclosure: string, price: string | null) =>
    `${enclosure === '' ? '' : `In “${enclosure}”. `}${price === null ? 'What a new one costs was never said.' : `A new one costs ${price}.`} A lamp that still lights is due all the same: its UV fades first.`,
} as const;

/** What each table for a spreadsheet holds. */
export const csvSentences: Readonly<Record<CsvName, string>> = {
  animals: 'Each animal with its species, enclosure, length as kept and as typed, and notes.',
  enclosures: 'Each enclosure with its measures in millimetres and as typed, material, and how it is built.',
  fittings: 'Each fitted thing with its days, life, power, lamp and place.',
  readings: 'Each reading with its value in the unit it is kept in, the text you typed, instrument and stated error.',
  answers: 'Each answer about safety and upkeep with its day.',
  upgrades: 'Each upgrade with its price, what it changes, and how its purchase went.',
  plan: 'The latest roadmap month by month: what to buy, for whom, and what is in hand at the end.',
  renewals: 'What wears out, when it is due, and what to put aside for it.',
  money: 'Each movement of money, past the last count and ahead, by month.',
  signs: 'What you noted of the animals themselves: weights, and signs with how they ended.',
  instruments: 'What you read with, and the error its maker states.',
};

/** What each table of the whole ledger holds; a table without a sentence does not compile. */
export const tableSentences: Readonly<Record<TableName, string> & Record<string, string>> = {
  ledger: 'Your settings, money and value choices, in one row.',
  ledger_state: 'How many changes there were, and what tells this ledger from others.',
  rooms: 'The rooms your enclosures stand in.',
  outlets: 'The sockets and leads in them.',
  enclosures: 'Your enclosures, with how they are built.',
  animals: 'Your animals, with their seasons.',
  animal_upkeep: 'What each animal takes a week and a month at adult size, as you said.',
  animal_signs: 'Weights, and signs of the animals with what was set aside for the vet.',
  fittings: 'Fitted things, those used before too.',
  readings: 'Readings, those you removed too.',
  answers: 'Answers about safety and upkeep.',
  instruments: 'What you read with.',
  assumptions: 'What was taken for granted when you entered something the short way.',
  first_steps: 'Whether the way to the first plan was put away.',
  upgrades: 'Upgrades with what they change and how their purchase went.',
  predictions: 'What upgrades promised, and which reading was held against it.',
  one_off_sums: 'Sums that come in or go out once.',
  plans: 'Every plan as it was made: the question, the answer and the roadmap.',
  plan_facts: 'What each plan was made from.',
  closed_months: 'Months you closed, each as it was.',
  month_corrections: 'What you corrected of closed months afterwards.',
  returned_purchases: 'What went back to a shop.',
  old_things: 'What upgrades freed and renewals left over, and what became of it.',
  plan_studies: 'What was worked out about plans afterwards.',
  events: 'What happened: bought, fitted, renewed, broken, planned.',
  cap_settings: 'What you said of time, floor, emergencies and quarantine.',
  cap_questions: 'What you asked of one more animal or less money, and what came of it.',
  care_overrides: 'Your own values in place of shipped ones.',
  own_species: 'Species of your own.',
  shipped_figures: 'The shipped figures at the last start, to tell what an update changed.',
  care_updates: 'What updates of the shipped figures changed.',
};

/** What a keeper calls each table of the whole ledger; null where it holds only what the ledger counts and works out for itself. */
export const tableNames: Readonly<Record<TableName, string | null> & Record<string, string | null>> = {
  ledger: 'Settings and money',
  ledger_state: null,
  rooms: 'Rooms',
  outlets: 'Sockets and leads',
  enclosures: 'Enclosures',
  animals: 'Animals',
  animal_upkeep: 'What each animal takes',
  animal_signs: 'Weights and signs',
  fittings: 'Fitted things',
  readings: 'Readings',
  answers: 'Answers about safety and upkeep',
  instruments: 'Instruments',
  assumptions: 'What was taken for granted',
  first_steps: null,
  upgrades: 'Upgrades',
  predictions: 'What upgrades promised',
  one_off_sums: 'Sums once',
  plans: 'Plans',
  plan_facts: null,
  closed_months: 'Closed months',
  month_corrections: 'Corrections of closed months',
  returned_purchases: 'What went back',
  old_things: 'What became of replaced things',
  plan_studies: null,
  events: 'What happened',
  cap_settings: 'Figures for the cap',
  cap_questions: 'Questions about the cap',
  care_overrides: 'Your own care values',
  own_species: 'Species of your own',
  shipped_figures: null,
  care_updates: 'Updates of the shipped figures',
};

// What a keeper calls a column, where that is not its own name without what it is kept in. Columns of a row that were typed and reckoned say
// the same, so both have one name.
const columnNames: Readonly<Record<string, string>> = {
  answer: 'answer or outcome',
  box_since: 'how long the box has stood',
  broken_on: 'day it broke',
  build: 'how it is built',
  can_wait: 'whether it can wait',
  cash_counted: 'cash counted',
  change_threshold: 'when a plan changes',
  clear_months: 'months to clear the backlog',
  covers_food: 'whether the sum pays for food',
  covers_power: 'whether the sum pays for power',
  covers_vet: 'whether the sum pays for the vet',
  cushion_percent: 'cushion',
  depth_mm: 'depth',
  duty: 'share of the time it is on',
  enclosure_id: 'enclosure',
  evidence: 'how it is known',
  expects: 'what it is expected to give',
  facts: 'what it was',
  fate: 'what became of it',
  floor_kept: 'sum that stays put',
  guards_id: 'what it guards',
  is_demo: 'whether it is the demonstration',
  is_out_of_reach: 'whether it is out of reach',
  is_pale_morph: 'whether it is a pale morph',
  is_worrying: 'whether it worries you',
  light_ratio: 'what the lamp gave of its model',
  mesh_share: 'what the mesh lets through',
  outlet_id: 'socket',
  placed: 'where it stands',
  price_high: 'highest price',
  price_low: 'lowest price',
  regulates_id: 'what it regulates',
  removed_on: 'whether it was removed',
  retired_on: 'day it was taken out',
  set_aside: 'sum set aside',
  states: 'state of the animal',
  sum_arrived: 'whether the sum had come in',
  typed: 'value',
  when_box_replaced: 'what becomes of it with a new box',
};

/** What a keeper calls a column of a table. */
function columnName(column: string): string {
  return columnNames[column] ?? column.replace(/_(id|mm|typed|celsius|m2|on)$/, '').replaceAll('_', ' ');
}

/** The sentences of the page and of the two commands. */
export const exportWords = {
  lead: 'Everything here is yours. Take it along, look at it elsewhere, or bring a whole ledger in.',
  calendar:
    'What the latest roadmap would buy in which month and what wears out when, as whole days for any calendar program; read again later, entries move and do not double.',
  nothingDated:
    'Nothing has a date yet. Make a plan, or give a fitted thing its life in months, and there is something to put into a calendar.',
  csv: 'One table a file, for a spreadsheet: days as year-month-day, amounts and measures as numbers, removed rows with the day they were removed. A text that a spreadsheet would run as a formula has an apostrophe before it.',
  ledger:
    'The whole ledger as one file, removed rows and old plans too, which this program reads back to the same ledger.',
  form: [
    'A text file in JSON. First it says what it is: “format”, “version” of the file, “schema” for the form of its tables, “exportedOn”, what was left out, how many rows each table has, and a checksum (SHA-256 of the tables written without blanks).',
    'Then come the tables, each a list of rows, one row a line. Amounts are whole cents or what your currency has in their place; lengths are millimetres, temperatures degrees Celsius, days year-month-day, yes and no 1 and 0. Rows point at each other by number: “enclosure_id” is the “id” of an enclosure.',
    'A later version of this program reads the files of an earlier one. An earlier one refuses a later file and says so.',
  ],
  small: 'Plans are most of the file. What was worked out about them can be left out and is worked out again.',
  private: 'These files hold all you entered, notes too. Nobody but you sees where you put them.',
  importLead: 'A whole ledger that was exported before. You see what it holds before anything is changed.',
  textHint: 'The whole content of a file such as basking-ledger-2026-03-31.json.',
  tooLong: (most: string) =>
    `This file is larger than ${most}. Export it without plans, or bring it in with the command npm run import.`,
  replaces: 'Everything in this ledger is replaced by what the file holds.',
  copies: 'What is here now is first copied beside the database, and the copy is checked.',
  isEmpty: 'Nothing was entered here yet, so nothing is lost.',
  inMemory:
    'This ledger is kept in memory only, so there is no place for a copy of it, and it is not replaced. Start the program with a folder for its files.',
  planning: 'A plan is being made. Wait until it is there, or stop it on the roadmap page; then bring the file in.',
  head: ({ exportedOn, version, schema }: { exportedOn: PlainDate; version: number; schema: number }, locale: string) =>
    `Exported on ${formatDate(exportedOn, locale)}, version ${version} of the file, form ${schema} of the tables.`,
  leftOut: (tables: readonly string[]) =>
    `Left out when it was exported: ${tables.map((one) => (one === 'plan_studies' ? 'what was worked out about plans' : (tableNames[one] ?? one))).join(', ')}.`,
  ownCounters: 'What the ledger counts and works out for itself differs too; it comes in with the rest.',
  changedSince:
    'This ledger was changed since the differences were shown, so nothing was replaced. They are shown anew; look at them again.',
  same: (tables: readonly string[]) =>
    `No row differs in: ${tables.flatMap((one) => tableNames[one] ?? []).join(', ')}.`,
  done: 'The ledger is now what the file held.',
  copy: (file: string) => `What was here before is kept in ${file}.`,
  counts: (there: number, here: number) => `In the file ${exportWords.rows(there)}, here ${exportWords.rows(here)}.`,
  rows: (rows: number): string => (rows === 1 ? '1 row' : `${rows} rows`),
} as const;

// More names than a keeper reads are counted.
const MOST_NAMED = 10;

/** What differs in a table, one sentence each for what comes, what changes and what goes. */
export function differenceSentences({ added, changed, gone }: TableDifference): string[] {
  const told = (rows: readonly string[], what: string) =>
    rows.length === 0
      ? []
      : [
          `${rows.length} ${what}: ${rows.slice(0, MOST_NAMED).join('; ')}${rows.length > MOST_NAMED ? `; and ${rows.length - MOST_NAMED} more` : ''}.`,
        ];
  return [
    ...told(added.map(shortened), 'added'),
    ...told(
      changed.map(({ here, there, columns }) => {
        const named = [...new Set(columns.map(columnName))];
        return `${shortened(here)}${here === there ? '' : `, there “${shortened(there)}”`} (${named.slice(0, 3).join(', ')}${named.length > 3 ? ` and ${named.length - 3} more` : ''})`;
      }),
      'changed',
    ),
    ...told(gone.map(shortened), 'gone'),
  ];
}

function shortened(name: string): string {
  return name.length > 60 ? `${name.slice(0, 59)}…` : name;
}

/** Why a file is not taken, and what to do. */
export function fileFaultSentence(fault: FileFault): string {
  switch (fault.fault) {
    case 'empty':
      return 'Paste the content of a file, or choose one.';
    case 'not-whole':
      return 'This is not a whole file: it ends too early, or is no JSON. Take all of it, from the first bracket to the last, or export it again.';
    case 'not-a-ledger':
      return 'This is not a ledger of this program. Choose a file that was exported here, such as basking-ledger-2026-03-31.json.';
    case 'newer':
      return fault.what === 'file'
        ? `This file is of version ${fault.found}, from a newer Basking Ledger; this one reads up to version ${fault.known}. Bring it in with the newer program.`
        : `The tables of this file have form ${fault.found}, from a newer Basking Ledger; this one knows up to ${fault.known}. Bring it in with the newer program.`;
    case 'head':
      return `What the file says of itself is not right at “${fault.field}”. Export it again.`;
    case 'checksum':
      return 'The file was changed or damaged since it was exported: its checksum does not fit its tables. Export it again, or take another copy of it.';
    case 'strange-name':
      return `The file holds the name “${fault.name}”, which no ledger has. Export it again.`;
    case 'too-deep':
      return 'The file is nested deeper than any ledger is. Export it again.';
    case 'too-large-a-number':
      return 'The file holds a number too large for any ledger. Export it again.';
    case 'unknown-table':
      return `The file holds a table “${fault.table}”, which no ledger of its form has. Export it again.`;
    case 'missing-table':
      return `The table “${fault.table}” is missing in the file. Export it again.`;
    case 'count':
      return `The file says that “${fault.table}” has ${exportWords.rows(fault.stated)}, but it holds ${fault.found}. Export it again.`;
    case 'unknown-column':
      return `Row ${fault.row} of “${fault.table}” holds “${fault.column}”, which no ledger of its form has. Export it again.`;
    case 'missing-column':
      return `Row ${fault.row} of “${fault.table}” lacks “${fault.column}”. Export it again.`;
    case 'value':
      return `In row ${fault.row} of “${fault.table}” the value of “${fault.column}” is of the wrong kind. Export it again.`;
    case 'row':
      return `${fault.row === null ? 'A row' : `Row ${fault.row}`} of “${fault.table}” cannot be kept: ${fault.reason}. Export it again.`;
    case 'not-usable':
      return 'The tables are whole, but what they hold cannot be worked with: a value is not one that this program writes. Export it again.';
  }
}

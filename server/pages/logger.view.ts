// What the three steps of a logger's file show, already in words.

import type { ClockHours } from '../../src/calendar.ts';
import { DATE_ORDERS, formatClock, formatDate, typedHour } from '../../src/calendar.ts';
import type { ReadingKind } from '../../src/collection.ts';
import { READING_KINDS } from '../../src/collection.ts';
import type { DelimitedTable } from '../../src/delimited.ts';
import type { LineFault } from '../../src/logger-file.ts';
import type { DaySummary, Gap, LoggedFigure, LoggerSummary, Span } from '../../src/logger-summary.ts';
import { COVERED_ENOUGH, FIGURES } from '../../src/logger-summary.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity } from '../../src/units.ts';
import type { EnclosureRecord, ReadingFacts } from '../db/collection.ts';
import type { InstrumentRecord } from '../db/instruments.ts';
import type { Ledger } from '../db/ledger.ts';
import type { ErrorSummary, Field } from '../fields.ts';
import { errorSummary, notesField, numberField, selectField, textField } from '../fields.ts';
import { endingHourHint, hourHint } from '../form-words.ts';
import type { FormState, Values } from '../forms.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { dateOrderNames } from '../table-words.ts';
import { capital, lowerFirst, percent } from '../words.ts';

/** One date of a file: what would be stored, or that its day or night covers too little. */
export type StoredDay =
  | { state: 'thin'; summary: DaySummary }
  | { state: 'new' | 'there'; summary: DaySummary; facts: ReadingFacts };

const figureWords: Record<LoggedFigure, string> = {
  'day-least': 'the least value of each day',
  'day-median': 'the middle value (median) of each day',
  'day-most': 'the greatest value of each day',
  'night-least': 'the least value of each night',
  'night-median': 'the middle value (median) of each night',
  'night-most': 'the greatest value of each night',
};

const extentWords: Record<LoggedFigure, string> = {
  'day-least': 'least',
  'day-median': 'middle',
  'day-most': 'greatest',
  'night-least': 'least',
  'night-median': 'middle',
  'night-most': 'greatest',
};

const MOST_NAMED = 50;
const MOST_GAPS = 10;

/** A kept value of a kind in the keeper's unit. */
export function amountIn(value: number, kind: ReadingKind, system: UnitSystem): string {
  return formatQuantity(value, readingDimensions[kind], system);
}

/** What is wrong with a line of the file, and what to do. */
export function lineFaultSentence({ line, fault, text }: LineFault): string {
  const shown = text.length > 40 ? `${text.slice(0, 40)}…` : text;
  switch (fault) {
    case 'time':
      return `Line ${line}: “${shown}” is no time in the order of dates chosen, such as 2026-01-31 14:05.`;
    case 'value':
      return `Line ${line}: “${shown}” is no number.`;
    case 'unit':
      return `Line ${line}: “${shown}” has a unit that does not fit what was logged.`;
    case 'out-of-range':
      return `Line ${line}: “${shown}” lies outside anything believable. Check the unit.`;
  }
}

type LoggerPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  wrong: string[];
  action: string;
  text: Field;
  fields: Field[];
  cancel: string;
};

/** The first step: the text and what is said of it as a whole. */
export function loggerPage(
  enclosure: EnclosureRecord,
  form: FormState,
  wrong: readonly string[],
  mostRows: number,
  clock: ClockHours,
): LoggerPage {
  return {
    heading: `The file of a logger in “${enclosure.name}”`,
    lead: 'Times and values become the least, middle and greatest value of each day and each night; one of them becomes the reading of the date. You see them before anything is taken over.',
    mistakes: errorSummary(form),
    wrong: wrong.slice(0, MOST_NAMED),
    action: paths.enclosures.readings.logger(enclosure.id),
    text: notesField(form, 'text', 'Table with a line of headings', {
      rows: 10,
      hint: `Separated by commas, semicolons or tabs; at most ${mostRows} lines.`,
    }),
    fields: [
      numberField(form, 'headingLine', 'The headings stand in line', {
        inputMode: 'numeric',
        hint: 'More than 1 where the logger writes about itself first.',
      }),
      selectField(
        form,
        'kind',
        'What was logged',
        READING_KINDS.map((value) => ({ value, label: readingNames[value] })),
      ),
      selectField(
        form,
        'order',
        'How dates are written',
        DATE_ORDERS.map((value) => ({ value, label: dateOrderNames[value] })),
      ),
      textField(form, 'zone', 'Time zone of its clock', {
        hint: 'Such as Europe/London, or UTC. Times that carry their own offset go by that.',
      }),
      textField(form, 'dayFrom', 'Lights on at', {
        hint: `${hourHint(clock)} In the time of this ledger. Day is from this hour to the next one; ${typedHour(8, clock)} and ${typedHour(20, clock)} are only usual.`,
      }),
      textField(form, 'dayTo', 'Lights off at', { hint: endingHourHint(clock) }),
    ],
    cancel: paths.enclosures.show(enclosure.id),
  };
}

type ColumnsPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  wrong: string[];
  wrongMore: string | null;
  action: string;
  carried: { name: string; value: string }[];
  fields: Field[];
  headings: string[];
  examples: string[][];
  cancel: string;
};

/** The second step: which column is which, and what becomes of them. */
export function columnsPage({
  enclosure,
  carried,
  kind,
  table,
  form,
  wrong,
  meters,
}: {
  enclosure: EnclosureRecord;
  carried: Values;
  kind: ReadingKind;
  table: DelimitedTable;
  form: FormState;
  wrong: readonly string[];
  meters: readonly InstrumentRecord[];
}): ColumnsPage {
  const columns = table.headings.map((heading, index) => ({
    value: String(index),
    label: heading === '' ? `Column ${index + 1}` : heading,
  }));
  return {
    heading: `Columns of the logger in “${enclosure.name}”`,
    lead: `${table.rows.length} lines were found. ${readingNames[kind]}.`,
    mistakes: errorSummary(form),
    wrong: wrong.slice(0, MOST_NAMED),
    wrongMore: wrong.length > MOST_NAMED ? `And ${wrong.length - MOST_NAMED} more.` : null,
    action: paths.enclosures.readings.logger(enclosure.id),
    carried: Object.entries(carried).map(([name, value]) => ({ name, value })),
    fields: [
      selectField(form, 'time', 'Column of the time', columns, {
        hint: 'Of the date, where both have a column of their own.',
      }),
      selectField(form, 'clock', 'Column of the time of day', [
        { value: '', label: 'It stands with the date' },
        ...columns,
      ]),
      selectField(form, 'value', 'Column of the value', columns),
      textField(form, 'unit', 'Unit of the value', { hint: 'A unit that stands beside a value wins.', width: 'short' }),
      selectField(
        form,
        'figure',
        'What becomes the reading of a date',
        FIGURES.map((value) => ({ value, label: capital(figureWords[value]) })),
        {
          hint: `Usual for the ${lowerFirst(readingNames[kind])} is what stands here first. A night belongs to the date on which it ends.`,
        },
      ),
      ...(meters.length === 0
        ? []
        : [
            selectField(form, 'meter', 'Instrument', [
              { value: '', label: 'None of the list' },
              ...meters.map(({ id, name }) => ({ value: id, label: name })),
            ]),
          ]),
      textField(form, 'instrument', meters.length === 0 ? 'Instrument' : 'Another instrument'),
    ],
    headings: columns.map((one) => one.label),
    examples: table.rows.slice(0, 3).map((one) => one.cells),
    cancel: paths.enclosures.readings.logger(enclosure.id),
  };
}

type PreviewPage = {
  heading: string;
  lead: string;
  notes: string[];
  action: string;
  carried: { name: string; value: string }[];
  submit: string | null;
  back: string;
  rows: { on: string; value: string; day: string; night: string; samples: string; state: string }[];
};

/** The third step: every date with its day and night, and what would be taken over. */
export function loggerPreview({
  enclosure,
  ledger: { unitSystem: system, locale, clockHours: clock },
  whole,
  figure,
  summary,
  blanks,
  decimalComma,
  days,
  carried,
}: {
  enclosure: EnclosureRecord;
  ledger: Ledger;
  whole: { kind: ReadingKind; dayFrom: number; dayTo: number };
  figure: LoggedFigure;
  summary: LoggerSummary;
  blanks: number;
  decimalComma: boolean;
  days: readonly StoredDay[];
  carried: Values;
}): PreviewPage {
  const { kind, dayFrom, dayTo } = whole;
  const count = (state: StoredDay['state']) => days.filter((one) => one.state === state).length;
  const fresh = count('new');
  const gapText = ({ before, after }: Gap) =>
    `from ${formatDate(before.on, locale)}, ${formatClock(before.minute, clock)} to ${formatDate(after.on, locale)}, ${formatClock(after.minute, clock)}`;
  const spanText = (span: Span | null) =>
    span === null
      ? '–'
      : `${amountIn(span.least, kind, system)} / ${amountIn(span.median, kind, system)} / ${amountIn(span.most, kind, system)}`;
  return {
    heading: `What the logger in “${enclosure.name}” says`,
    lead: `${fresh === 1 ? 'One reading' : `${fresh} readings`} would be taken over: ${figureWords[figure]}. Nothing was saved yet.`,
    notes: [
      `${readingNames[kind]}. Day is from ${formatClock(dayFrom * 60, clock)} to ${formatClock(dayTo * 60, clock)} as you said; a night belongs to the date on which it ends.`,
      `A sample every ${minutesText(summary.everyMinutes)} as a rule.`,
      ...(decimalComma ? ['Commas were read as decimal marks.'] : []),
      ...(blanks > 0 ? [`Lines without a value, passed over: ${blanks}.`] : []),
      ...(summary.gaps.length > 0
        ? [
            `Nothing was logged ${summary.gaps.slice(0, MOST_GAPS).map(gapText).join('; ')}${summary.gaps.length > MOST_GAPS ? `; and ${summary.gaps.length - MOST_GAPS} more times` : ''}.`,
          ]
        : []),
      ...(count('thin') > 0
        ? [
            `Left out: ${dateCount(count('thin'))} of whose ${figure.startsWith('day') ? 'day' : 'night'} less than ${percent(COVERED_ENOUGH)} was logged, so that its ${extentWords[figure]} value is not known.`,
          ]
        : []),
      ...(count('there') > 0 ? [`There already with the same value, and left out: ${dateCount(count('there'))}.`] : []),
    ],
    action: paths.enclosures.readings.logger(enclosure.id),
    carried: Object.entries(carried).map(([name, value]) => ({ name, value })),
    submit: fresh === 0 ? null : `Take over ${fresh === 1 ? 'one reading' : `${fresh} readings`}`,
    back: paths.enclosures.readings.logger(enclosure.id),
    rows: days.map((one) => ({
      on: formatDate(one.summary.on, locale),
      value: one.state === 'thin' ? '–' : one.facts.typed,
      day: spanText(one.summary.day),
      night: spanText(one.summary.night),
      samples: `${one.summary.day?.samples ?? 0} and ${one.summary.night?.samples ?? 0}`,
      state: { new: 'new', there: 'there already', thin: 'too little logged' }[one.state],
    })),
  };
}

const dateCount = (count: number) => (count === 1 ? 'one date' : `${count} dates`);

function minutesText(minutes: number): string {
  return minutes === 1 ? 'minute' : `${Math.round(minutes * 10) / 10} minutes`;
}

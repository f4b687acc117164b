// The file of a logger in three steps: the text, its columns, and what would become of it; then one reading a day is taken over, or none.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { ClockHours, DateOrder, PlainDate } from '../../src/calendar.ts';
import { DATE_ORDERS, dateOfInstant, dateOrderOf, typedHour, wallClockOf } from '../../src/calendar.ts';
import type { ReadingKind } from '../../src/collection.ts';
import { READING_KINDS, UV_LAMPS } from '../../src/collection.ts';
import type { DelimitedTable, TableFault, TableLimits } from '../../src/delimited.ts';
import { readDelimited } from '../../src/delimited.ts';
import { errorOfReading, takes } from '../../src/instruments.ts';
import type { LineFault } from '../../src/logger-file.ts';
import { readLoggerRows } from '../../src/logger-file.ts';
import type { LoggedFigure, LoggerSummary, Span } from '../../src/logger-summary.ts';
import { FIGURES, figureOf, summariseLogger, USUAL_DAY, USUAL_FIGURE } from '../../src/logger-summary.ts';
import type { Dimension, UnitSystem } from '../../src/units.ts';
import { degreesOf, measuresOf, parseQuantity, typedQuantity } from '../../src/units.ts';
import type { EnclosureRecord, ReadingFacts } from '../db/collection.ts';
import { addReading, findEnclosure, listFittings, listReadings } from '../db/collection.ts';
import type { InstrumentRecord } from '../db/instruments.ts';
import { listInstruments } from '../db/instruments.ts';
import type { Ledger } from '../db/ledger.ts';
import { readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import type { FormError, FormState, Values } from '../forms.ts';
import {
  choice,
  endingHourField,
  fieldReadBy,
  formOf,
  hourField,
  optionalText,
  parseForm,
  startForm,
  wholeNumber,
  withMistake,
} from '../forms.ts';
import { readingDimensions } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { tableFaultSentence } from '../table-words.ts';
import { percent } from '../words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import type { StoredDay } from './logger.view.ts';
import { amountIn, columnsPage, lineFaultSentence, loggerPage, loggerPreview } from './logger.view.ts';
import { pastedText } from './reading-import.ts';

const LIMITS: TableLimits = { rows: 20_000, columns: 40, cell: 200 };
const MOST_CHARACTERS = 1_000_000;

// A form's text grows up to threefold on its way: a comma is sent as %2C.
const LARGEST_BODY = 4 * 1024 * 1024;

/** What is said of the file as a whole. */
type Whole = {
  text: string;
  headingLine: number;
  kind: ReadingKind;
  order: DateOrder;
  zone: string;
  dayFrom: number;
  dayTo: number;
};

/** What is said of its columns and of what becomes of them. */
type Choices = {
  time: string;
  clock: string;
  value: string;
  unit: string;
  figure: LoggedFigure;
  meter: string;
  instrument: string;
};

const WHOLE_FIELDS = ['text', 'headingLine', 'kind', 'order', 'zone', 'dayFrom', 'dayTo'] as const;

export function loggerPages(app: FastifyInstance, { db, now, render }: Deps): void {
  const url = paths.enclosures.readings.logger(':id');

  app.get(url, (request, reply) => {
    const around = gather(request);
    const { zone, hours } = firstOf(around);
    const texts = {
      headingLine: '1',
      kind: 'night-air',
      order: dateOrderOf(around.ledger.locale),
      zone,
      dayFrom: typedHour(hours.from, around.ledger.clockHours),
      dayTo: typedHour(hours.to, around.ledger.clockHours),
    };
    return showWhole(reply, around, startForm(texts), [], 200);
  });

  app.post(url, { bodyLimit: LARGEST_BODY }, (request, reply) => {
    const around = gather(request);
    const { step, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const isWhole = (name: string) => WHOLE_FIELDS.some((one) => one === name);
    const part = (wanted: boolean) =>
      Object.fromEntries(Object.entries(fields).filter(([name]) => isWhole(name) === wanted));
    const isFirst = step !== 'look' && step !== 'take';
    const whole = readWhole(isFirst ? fields : part(true), around.ledger.clockHours);
    if (whole.status === 'bad') return showWhole(reply, around, whole, [], 422);
    const table = readDelimited(whole.value.text, LIMITS, whole.value.headingLine);
    if (table.status === 'bad')
      return showWhole(
        reply,
        around,
        withMistake(
          startForm(whole.values),
          'text',
          'Mend what is named below and look again. Nothing was taken over.',
        ),
        table.faults.map(faultText),
        422,
      );
    if (isFirst) {
      const texts = { ...guessColumns(table.table), ...firstUnit(whole.value.kind, around.ledger.unitSystem) };
      const form = startForm({ ...texts, figure: USUAL_FIGURE[whole.value.kind] });
      return showColumns(reply, around, whole.values, whole.value, table.table, form, [], 200);
    }
    const columns = readChoices(part(false), whole.value, table.table, around);
    if (columns.status === 'bad')
      return showColumns(reply, around, whole.values, whole.value, table.table, columns, columns.wrong, 422);
    const { summary, blanks, decimalComma, choices } = columns;
    const days = daysOf(summary, whole.value, choices, around);
    if (step === 'look') {
      const model = loggerPreview({
        ...around,
        whole: whole.value,
        figure: choices.figure,
        summary,
        blanks,
        decimalComma,
        days,
        carried: { ...whole.values, ...columns.values },
      });
      return render(reply, 'logger-preview', model, { title: model.heading, current: 'enclosures' });
    }
    const fresh = days.flatMap((one) => (one.state === 'new' ? [one.facts] : []));
    // Sent twice, the second finds every reading there already.
    if (fresh.length > 0) inTransaction(db, (tx) => fresh.map((facts) => addReading(tx, facts)));
    const notice = fresh.length > 0 ? 'taken-over' : 'nothing-changed';
    return reply.redirect(withNotice(paths.enclosures.show(around.enclosure.id), notice), 303);
  });

  function gather(request: FastifyRequest): Around {
    const enclosure = presentRow(findEnclosure(db, idFrom(request.params)));
    const ledger = readLedger(db);
    return { enclosure, ledger, today: dateOfInstant(now(), ledger.timeZone), instruments: listInstruments(db) };
  }

  // The lamps' hours a day are known where their timer was entered; from which hour on is not, so that the day begins at the usual one.
  function firstOf({ enclosure, ledger }: Around) {
    const lit = listFittings(db, Number(enclosure.id))
      .filter((one) => one.retiredOn === null && (UV_LAMPS.has(one.kind) || one.kind === 'basking-lamp'))
      .map((one) => one.hoursPerDay ?? 0);
    const longest = Math.round(Math.max(0, ...lit));
    const to = longest > 0 && USUAL_DAY.from + longest < 24 ? USUAL_DAY.from + longest : USUAL_DAY.to;
    return { zone: ledger.timeZone, hours: { from: USUAL_DAY.from, to } };
  }

  function showWhole(reply: FastifyReply, around: Around, form: FormState, wrong: readonly string[], status: number) {
    const model = loggerPage(around.enclosure, form, wrong, LIMITS.rows, around.ledger.clockHours);
    return render(reply, 'logger', model, { title: model.heading, current: 'enclosures', status });
  }

  function showColumns(
    reply: FastifyReply,
    { enclosure, instruments }: Around,
    carried: Values,
    whole: Whole,
    table: DelimitedTable,
    form: FormState,
    wrong: readonly string[],
    status: number,
  ) {
    const meters = instruments.filter((one) => takes(one, whole.kind));
    const model = columnsPage({ enclosure, carried, kind: whole.kind, table, form, wrong, meters });
    return render(reply, 'logger-columns', model, { title: model.heading, current: 'enclosures', status });
  }

  function daysOf(
    { days }: LoggerSummary,
    { kind }: Whole,
    { figure, meter, instrument }: Choices,
    { enclosure, ledger, instruments }: Around,
  ): StoredDay[] {
    const keyOf = (takenOn: PlainDate, value: number | null) => `${takenOn} ${value === null ? '' : value.toFixed(6)}`;
    const there = new Set(
      listReadings(db, Number(enclosure.id))
        .filter((one) => one.kind === kind)
        .map((one) => keyOf(one.takenOn, one.value)),
    );
    const used = instruments.find((one) => one.id === meter) ?? null;
    return days.map((summary): StoredDay => {
      const found = figureOf(summary, figure);
      if (found === null) return { state: 'thin', summary };
      // Two decimals are finer than any instrument; the middle of two samples may have more.
      const value = Math.round(found.value * 100) / 100;
      const facts: ReadingFacts = {
        enclosureId: enclosure.id,
        kind,
        evidence: 'measured',
        value,
        typed: typedQuantity(value, readingDimensions[kind], ledger.unitSystem),
        takenOn: summary.on,
        hour: null,
        roomCelsius: null,
        roomTyped: '',
        instrument: used?.name ?? instrument,
        accuracy: used === null ? null : errorOfReading(used, kind, value),
        notes: noteOf(found.span, figure, kind, ledger.unitSystem),
      };
      return { state: there.has(keyOf(summary.on, value)) ? 'there' : 'new', summary, facts };
    });
  }
}

type Around = {
  enclosure: EnclosureRecord;
  ledger: Ledger;
  today: PlainDate;
  instruments: InstrumentRecord[];
};

const wholeSchema = (clock: ClockHours) =>
  formOf({
    text: pastedText(MOST_CHARACTERS),
    headingLine: wholeNumber('the line of the headings', 1, 100),
    kind: choice('what was logged', READING_KINDS),
    order: choice('how dates are written', DATE_ORDERS),
    zone: fieldReadBy((typed) =>
      wallClockOf(typed.trim()) === null
        ? { status: 'bad', message: 'Name the time zone as region and city, such as Europe/London, or as UTC.' }
        : { status: 'ok', value: typed.trim() },
    ),
    dayFrom: hourField('the hour at which the lights come on', clock),
    dayTo: endingHourField('the hour at which the lights go off', clock),
  });

function readWhole(fields: object, clock: ClockHours) {
  const read = parseForm(wholeSchema(clock), fields);
  if (read.status === 'bad' || read.value.dayFrom < read.value.dayTo) return read;
  return {
    ...withMistake(startForm(read.values), 'dayTo', 'Give an hour after the one at which the lights come on.'),
    status: 'bad' as const,
  };
}

function readChoices(
  fields: object,
  whole: Whole,
  { headings, rows }: DelimitedTable,
  { ledger, today, instruments }: Around,
):
  | { status: 'ok'; choices: Choices; values: Values; summary: LoggerSummary; blanks: number; decimalComma: boolean }
  | ({ status: 'bad'; wrong: string[] } & FormState) {
  const places = headings.map((_, index) => String(index));
  const dimension = readingDimensions[whole.kind];
  const meters = instruments.filter((one) => takes(one, whole.kind)).map(({ id }) => id);
  const schema = formOf({
    time: choice('the column of the time', places),
    clock: choice('the column of the time of day', ['', ...places]),
    value: choice('the column of the value', places),
    unit: optionalText('the unit', 20),
    figure: choice('what becomes the reading', FIGURES),
    meter: choice('the instrument', ['', ...meters]),
    instrument: optionalText('the instrument', 120),
  });
  const read = parseForm(schema, fields);
  if (read.status === 'bad') return { ...read, wrong: [] };
  const { value: choices, values } = read;
  const bad = (field: string, message: string, wrong: string[] = []) => {
    const errors: FormError[] = [{ field, message }];
    return { status: 'bad' as const, values, errors, wrong };
  };
  if (choices.value === choices.time || choices.value === choices.clock)
    return bad('value', 'Choose another column than that of the time.');
  if (parseQuantity(`10 ${choices.unit}`, dimension, ledger.unitSystem).status === 'bad')
    return bad('unit', 'Write the unit as in a reading, such as °C or °F; leave it empty where there is none.');
  if (choices.meter !== '' && choices.instrument !== '')
    return bad('instrument', 'Choose an instrument of the list or name another one, not both.');
  if (rows.length === 0) return bad('time', 'There is no line below the headings.');
  const found = readLoggerRows(
    rows,
    {
      time: Number(choices.time),
      clock: choices.clock === '' ? null : Number(choices.clock),
      value: Number(choices.value),
      order: whole.order,
      zone: whole.zone,
      dimension,
      unit: choices.unit,
    },
    { zone: ledger.timeZone, system: ledger.unitSystem },
  );
  if (found.status === 'bad')
    return bad(firstField(found.faults), countSentence(found.faults.length), found.faults.map(lineFaultSentence));
  if (found.samples.length === 0) return bad('value', 'No line of this column has a value.');
  if (found.samples.some((one) => one.on > today))
    return bad('time', 'Check the time zone and the order of dates: some times lie in the future.');
  const summary = summariseLogger(found.samples, { from: whole.dayFrom, to: whole.dayTo });
  return { status: 'ok', choices, values, summary, blanks: found.blanks, decimalComma: found.decimalComma };
}

function firstField(faults: readonly LineFault[]): string {
  return faults[0]?.fault === 'time' ? 'time' : 'value';
}

function countSentence(count: number): string {
  return count === 1
    ? 'Choose another column or mend the line named below. Nothing was taken over.'
    : `Choose another column or mend the ${count} lines named below. Nothing was taken over.`;
}

function faultText(fault: TableFault): string {
  return 'line' in fault ? `Line ${fault.line}: ${tableFaultSentence(fault)}` : tableFaultSentence(fault);
}

// A first guess, which the keeper sees and can change: the column called so, else the first for the time and the last for the value.
function guessColumns({ headings }: DelimitedTable): Values {
  const called = (what: RegExp) => headings.findIndex((one) => what.test(one));
  const date = called(/date|stamp/i);
  const clock = called(/^time$|hour/i);
  const time = Math.max(0, date === -1 ? called(/time/i) : date);
  const value = headings.length - 1;
  return {
    time: String(time),
    clock: date !== -1 && clock !== -1 && clock !== date ? String(clock) : '',
    value: String(value),
  };
}

function firstUnit(kind: ReadingKind, system: UnitSystem): Values {
  const dimension = readingDimensions[kind];
  const units: Partial<Record<Dimension, string>> = {
    temperature: degreesOf(system) === 'C' ? '°C' : '°F',
    humidity: '%',
    length: measuresOf(system) === 'metric' ? 'cm' : 'in',
  };
  return { unit: units[dimension] ?? '' };
}

function noteOf(
  { samples, covered, least, most }: Span,
  figure: LoggedFigure,
  kind: ReadingKind,
  system: UnitSystem,
): string {
  const time = figure.startsWith('day') ? 'day' : 'night';
  const [from, to] = [amountIn(least, kind, system), amountIn(most, kind, system)];
  return `Logger: ${samples} samples of the ${time} (${percent(covered)} of it), from ${from} to ${to}.`;
}

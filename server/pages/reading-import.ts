// Readings pasted or taken from a file as a table: looked at line by line first, then taken over all together or not at all.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import {
  DATE_ORDERS,
  type DateOrder,
  dateOfInstant,
  dateOrderOf,
  formatDate,
  readDate,
  readDateIn,
} from '../../src/calendar.ts';
import { READING_KINDS, type ReadingKind } from '../../src/collection.ts';
import { type DelimitedTable, readDelimited, type TableLimits, undefused } from '../../src/delimited.ts';
import { errorOfReading, takes } from '../../src/instruments.ts';
import { doubtOf } from '../../src/reading-round.ts';
import { keptUnit, parseQuantity, type UnitSystem } from '../../src/units.ts';
import {
  addReading,
  type EnclosureRecord,
  findEnclosure,
  listReadings,
  type ReadingFacts,
  type ReadingRecord,
} from '../db/collection.ts';
import { type InstrumentRecord, listInstruments } from '../db/instruments.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { type ErrorSummary, errorSummary, type Field, notesField, selectField } from '../fields.ts';
import { formSentences, quantitySentence } from '../form-words.ts';
import { type FormState, fieldReadBy, formOf, parseForm, readChoice, startForm, withMistake } from '../forms.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { dateOrderNames, readingTableWords, tableFaultSentence } from '../table-words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { QUALITIES, readStatedError } from './instruments.ts';

// A note of 4,000 characters that looks like a formula has an apostrophe before it.
const LIMITS: TableLimits = { rows: 2000, columns: 20, cell: 4001 };
const MOST_CHARACTERS = 200_000;

// A form's text grows up to threefold on its way: a comma is sent as %2C.
const LARGEST_BODY = 1024 * 1024;

const COLUMNS = ['date', 'kind', 'value', 'unit', 'instrument', 'accuracy', 'note'] as const;
type Column = (typeof COLUMNS)[number];

const columnHints: Record<Column, string> = {
  date: 'The day, in the order chosen above, such as 2026-03-31. Needed.',
  kind: 'What was read, as one of the words listed below. Needed.',
  value: 'A number with a point or a comma as decimal mark. Needed.',
  unit: 'Such as °C or °F. Empty or left out: the unit of this ledger.',
  instrument: 'What it was read with. One of your list of instruments brings its stated error.',
  accuracy: 'Plus or minus, in the unit of the value or as a share, such as 10 %. May be empty or left out.',
  note: 'Anything. May be empty or left out.',
};

/** The headings by which the table of readings of the export (server/csv-tables.ts) is known; its others say nothing of the reading. */
const OWN_COLUMNS = [
  ...['enclosure', 'kind', 'evidence', 'value', 'typed', 'taken_on', 'hour', 'room_celsius', 'room_typed'],
  ...['instrument', 'accuracy', 'notes', 'removed_on'],
];

/** What became of one line: a new reading, one that is there already, or one that stands twice in the text. */
type Line = { line: number; dateTyped: string; facts: ReadingFacts; state: 'new' | 'there' | 'twice'; isRare: boolean };

type Wrong = { line: number | null; sentence: string };

export function readingImportPages(app: FastifyInstance, { db, now, render }: Deps): void {
  const url = paths.enclosures.readings.import(':id');

  app.get(url, (request, reply) => {
    const around = gather(request);
    return show(reply, around, startForm({ order: dateOrderOf(around.ledger.locale) }), []);
  });

  app.post(url, { bodyLimit: LARGEST_BODY }, (request, reply) => {
    const around = gather(request);
    const read = parseForm(formSchema, request.body);
    if (read.status === 'bad') return show(reply, around, read, [], 422);
    const { text, step, order } = read.value;
    const lines = readLines(text, order, around);
    if (lines.status === 'bad') {
      const count = lines.wrong.length;
      const message =
        count === 1
          ? 'Mend what is named below and look again. Nothing was taken over.'
          : `Mend the ${count} places named below and look again. Nothing was taken over.`;
      return show(reply, around, withMistake(startForm(read.values), 'text', message), lines.wrong, 422);
    }
    if (step !== 'take') return preview(reply, around, { text, order }, lines.lines);
    const fresh = lines.lines.filter((one) => one.state === 'new');
    // Sent twice, the second finds every reading there already.
    if (fresh.length > 0) inTransaction(db, (tx) => fresh.map(({ facts }) => addReading(tx, facts)));
    const notice = fresh.length > 0 ? 'taken-over' : 'nothing-changed';
    return reply.redirect(withNotice(paths.enclosures.show(around.enclosure.id), notice), 303);
  });

  function gather(request: FastifyRequest): Around {
    const enclosure = presentRow(findEnclosure(db, idFrom(request.params)));
    const ledger = readLedger(db);
    return {
      enclosure,
      ledger,
      today: dateOfInstant(now(), ledger.timeZone),
      readings: listReadings(db, Number(enclosure.id)),
      instruments: listInstruments(db),
    };
  }

  function show(
    reply: FastifyReply,
    { enclosure }: Around,
    form: FormState,
    wrong: readonly Wrong[],
    status = 200,
  ): FastifyReply {
    const model: ImportPage = {
      heading: `Paste readings into “${enclosure.name}”`,
      lead: readingTableWords.lead,
      mistakes: errorSummary(form),
      action: paths.enclosures.readings.import(enclosure.id),
      wrong: wrong.slice(0, MOST_NAMED).map(wrongText),
      wrongMore: wrong.length > MOST_NAMED ? `And ${wrong.length - MOST_NAMED} more.` : null,
      text: notesField(form, 'text', 'Table with a line of headings', {
        rows: 10,
        hint: `Separated by commas, semicolons or tabs; at most ${LIMITS.rows} lines.`,
      }),
      order: selectField(
        form,
        'order',
        readingTableWords.order,
        DATE_ORDERS.map((value) => ({ value, label: dateOrderNames[value] })),
        { hint: readingTableWords.orderHint },
      ),
      columns: COLUMNS.map((name) => ({ name, hint: columnHints[name] })),
      kinds: READING_KINDS.map((kind) => ({ name: kind, label: readingNames[kind] })),
      cancel: paths.enclosures.show(enclosure.id),
      loggerHref: paths.enclosures.readings.logger(enclosure.id),
    };
    return render(reply, 'reading-import', model, {
      title: model.heading,
      current: 'enclosures',
      status,
      back: { href: paths.enclosures.show(enclosure.id), label: enclosure.name },
    });
  }

  function preview(
    reply: FastifyReply,
    { enclosure, ledger }: Around,
    { text, order }: { text: string; order: DateOrder },
    lines: readonly Line[],
  ) {
    const inOrder = lines.find((one) => readDate(one.dateTyped) === null);
    const count = (state: Line['state']) => lines.filter((one) => one.state === state).length;
    const fresh = count('new');
    const model: PreviewPage = {
      heading: `Found for “${enclosure.name}”`,
      lead: `${readingCount(fresh)} would be taken over. Nothing was saved yet.`,
      notes: [
        ...(inOrder === undefined
          ? []
          : [readingTableWords.readAs(inOrder.dateTyped, formatDate(inOrder.facts.takenOn, ledger.locale))]),
        ...(count('there') > 0
          ? [`${readingCount(count('there'))} of the same kind, day and value: there already, left out.`]
          : []),
        ...(count('twice') > 0 ? [`${readingCount(count('twice'))} standing twice in the text: taken once.`] : []),
        ...(lines.some((one) => one.isRare && one.state === 'new')
          ? ['Some values are hardly ever found at their place. Look at them again before you take them over.']
          : []),
      ],
      rows: lines.map(({ line, facts, state, isRare }) => ({
        line: String(line),
        takenOn: formatDate(facts.takenOn, ledger.locale),
        kind: readingNames[facts.kind],
        value: facts.typed,
        instrument: facts.instrument === '' ? '–' : facts.instrument,
        state: `${stateWords[state]}${isRare ? '; look again' : ''}`,
      })),
      action: paths.enclosures.readings.import(enclosure.id),
      carried: [
        { name: 'order', value: order },
        { name: 'text', value: text },
      ],
      submit: fresh === 0 ? null : `Take over ${fresh === 1 ? 'one reading' : `${fresh} readings`}`,
      back: { href: paths.enclosures.readings.import(enclosure.id), label: 'Paste another table' },
    };
    return render(reply, 'reading-import-preview', model, { title: model.heading, current: 'enclosures' });
  }
}

type Around = {
  enclosure: EnclosureRecord;
  ledger: Ledger;
  today: PlainDate;
  readings: ReadingRecord[];
  instruments: InstrumentRecord[];
};

type ImportPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  action: string;
  wrong: string[];
  wrongMore: string | null;
  text: Field;
  order: Field;
  columns: { name: string; hint: string }[];
  kinds: { name: string; label: string }[];
  cancel: string;
  loggerHref: string;
};

type PreviewPage = {
  heading: string;
  lead: string;
  notes: string[];
  rows: { line: string; takenOn: string; kind: string; value: string; instrument: string; state: string }[];
  action: string;
  /** Sent again as it was; read again from scratch, so that nothing depends on what the page showed. */
  carried: { name: string; value: string }[];
  /** Null when there is nothing new. */
  submit: string | null;
  back: { href: string; label: string };
};

const MOST_NAMED = 50;

const stateWords: Record<Line['state'], string> = { new: 'new', there: 'there already', twice: 'twice in the text' };

const readingCount = (count: number) => (count === 1 ? 'One reading' : `${count} readings`);

const wrongText = ({ line, sentence }: Wrong) => (line === null ? sentence : `Line ${line}: ${sentence}`);

const formSchema = formOf({
  text: pastedText(MOST_CHARACTERS),
  // A form that does not say takes only dates that can be read in one way.
  order: fieldReadBy((typed) =>
    typed === ''
      ? { status: 'ok', value: 'year-month-day' as DateOrder }
      : readChoice('how dates are written', DATE_ORDERS)(typed),
  ),
  step: fieldReadBy((typed) => ({ status: 'ok', value: typed })),
});

/** A pasted table: not empty, of at most so many characters, kept as it is. */
export function pastedText(most: number) {
  return fieldReadBy((typed) => {
    if (typed.trim() === '') return { status: 'bad', message: formSentences.required('the table') };
    return typed.length > most
      ? { status: 'bad', message: formSentences.tooLong('the table', most, typed.length) }
      : { status: 'ok', value: typed };
  });
}

function readLines(
  text: string,
  order: DateOrder,
  around: Around,
): { status: 'ok'; lines: Line[] } | { status: 'bad'; wrong: Wrong[] } {
  const read = readDelimited(text, LIMITS);
  if (read.status === 'bad')
    return {
      status: 'bad',
      wrong: read.faults.map((fault) => ({
        line: 'line' in fault ? fault.line : null,
        sentence: tableFaultSentence(fault),
      })),
    };
  const isOwn = OWN_COLUMNS.every((one) => read.table.headings.includes(one));
  const places = isOwn ? ({ status: 'ok', at: {} } as const) : placesOf(read.table);
  if (places.status === 'bad') return places;
  const wrong: Wrong[] = [];
  const lines: Line[] = [];
  // Whoever types a table has no hours; the export has, and tells two readings of one day apart by all that was written down.
  const keyOf = ({ kind, takenOn, value, ...rest }: ReadingFacts) =>
    isOwn
      ? JSON.stringify([kind, takenOn, value, rest.hour, rest.typed, rest.instrument, rest.notes, rest.evidence])
      : `${kind} ${takenOn} ${value === null ? '' : value.toFixed(6)}`;
  const there = new Set(around.readings.map(keyOf));
  const seen = new Set<string>();
  for (const { line, cells } of read.table.rows) {
    const cell = (column: Column) => {
      const place = (places.at as Partial<Record<Column, number>>)[column];
      return place === undefined ? '' : undefused(cells[place] ?? '');
    };
    const own = (name: string) => undefused(cells[read.table.headings.indexOf(name)] ?? '');
    if (isOwn && (own('removed_on') !== '' || own('enclosure') !== around.enclosure.name)) continue;
    const found = isOwn ? readOwnRow(own, around) : readRow(cell, order, around);
    if (found.status === 'bad') {
      wrong.push(...found.sentences.map((sentence) => ({ line, sentence })));
      continue;
    }
    const key = keyOf(found.facts);
    const state = there.has(key) ? 'there' : seen.has(key) ? 'twice' : 'new';
    seen.add(key);
    lines.push({
      line,
      dateTyped: isOwn ? found.facts.takenOn : cell('date'),
      facts: found.facts,
      state,
      isRare: found.facts.value !== null && doubtOf(found.facts.kind, found.facts.value, null) !== null,
    });
  }
  if (wrong.length > 0) return { status: 'bad', wrong };
  if (lines.length === 0)
    return {
      status: 'bad',
      wrong: [
        {
          line: null,
          sentence: isOwn
            ? readingTableWords.noneOfThis(around.enclosure.name)
            : 'There is no line below the headings.',
        },
      ],
    };
  return { status: 'ok', lines };
}

function placesOf({
  headings,
}: DelimitedTable): { status: 'ok'; at: Partial<Record<Column, number>> } | { status: 'bad'; wrong: Wrong[] } {
  const names = headings.map((one) => one.toLowerCase());
  const isColumn = (name: string) => COLUMNS.some((one) => one === name);
  const wrong = [
    ...(['date', 'kind', 'value'] as const)
      .filter((one) => !names.includes(one))
      .map((one) => ({ line: null, sentence: `Add a column with the heading “${one}”.` })),
    ...headings
      .filter((one) => !isColumn(one.toLowerCase()))
      .map((one) => ({
        line: null,
        sentence: `Take out or rename the column “${one}”: headings are ${COLUMNS.join(', ')}.`,
      })),
  ];
  if (wrong.length > 0) return { status: 'bad', wrong };
  return {
    status: 'ok',
    at: Object.fromEntries(COLUMNS.flatMap((one) => (names.includes(one) ? [[one, names.indexOf(one)]] : []))),
  };
}

function readRow(
  cell: (column: Column) => string,
  order: DateOrder,
  { enclosure, ledger, today, instruments }: Around,
): { status: 'ok'; facts: ReadingFacts } | { status: 'bad'; sentences: string[] } {
  const sentences: string[] = [];
  const takenOn = readDateIn(cell('date'), order);
  if (takenOn === null)
    sentences.push(cell('date') === '' ? formSentences.required('the date') : readingTableWords.date);
  else if (takenOn > today) sentences.push(formSentences.notLater('the date'));
  const kind = kindOf(cell('kind'));
  if (kind === null) sentences.push('Give the kind as one of the words listed on this page.');
  for (const [column, most] of [
    ['instrument', 120],
    ['note', 4000],
  ] as const) {
    if (cell(column).length > most) sentences.push(formSentences.tooLong(`the ${column}`, most, cell(column).length));
    if (/[^\P{Cc}\n\t]/u.test(cell(column))) sentences.push(formSentences.strangeCharacter(`the ${column}`));
  }
  if (kind === null) return { status: 'bad', sentences };
  const read = readValue(cell('value'), cell('unit'), kind, ledger.unitSystem);
  if (read.status === 'bad') sentences.push(read.sentence);
  const stated = cell('accuracy') === '' ? null : readStatedError(qualityOf(kind), ledger.unitSystem)(cell('accuracy'));
  if (stated?.status === 'bad') sentences.push(stated.message);
  if (sentences.length > 0 || read.status === 'bad' || takenOn === null || stated?.status === 'bad')
    return { status: 'bad', sentences };
  const { value, typed } = read.quantity;
  const meter = instruments.find(
    (one) => takes(one, kind) && one.name.toLowerCase() === cell('instrument').toLowerCase(),
  );
  const own =
    stated === null ? null : stated.value.by === 'share' ? Math.abs(value) * stated.value.value : stated.value.value;
  return {
    status: 'ok',
    facts: {
      enclosureId: enclosure.id,
      kind,
      evidence: 'measured',
      value,
      typed,
      takenOn,
      hour: null,
      roomCelsius: null,
      roomTyped: '',
      instrument: meter?.name ?? cell('instrument'),
      accuracy: own ?? (meter === undefined ? null : errorOfReading(meter, kind, value)),
      notes: cell('note'),
    },
  };
}

/** A row as the export wrote it, taken over as it was: in the units in which values are kept, with what was typed beside them. */
function readOwnRow(
  cell: (name: string) => string,
  { enclosure, today }: Around,
): { status: 'ok'; facts: ReadingFacts } | { status: 'bad'; sentences: string[] } {
  const sentences: string[] = [];
  const wrong = (name: string) => void sentences.push(readingTableWords.asExported(name));
  const number = (name: string): number | null => {
    const text = cell(name);
    if (text === '') return null;
    if (/^-?\d+(\.\d+)?(e-?\d+)?$/.test(text)) return Number(text);
    wrong(name);
    return null;
  };
  const takenOn = readDate(cell('taken_on'));
  if (takenOn === null) wrong('taken_on');
  else if (takenOn > today) sentences.push(formSentences.notLater('the date'));
  const kind = READING_KINDS.find((one) => one === cell('kind')) ?? null;
  if (kind === null) wrong('kind');
  const evidence = (['measured', 'estimated', 'unknown'] as const).find((one) => one === cell('evidence')) ?? null;
  const [value, hour, roomCelsius, accuracy] = ['value', 'hour', 'room_celsius', 'accuracy'].map(number);
  if (evidence === null || (evidence === 'unknown') !== (value === null)) wrong('evidence');
  if (hour !== null && !(Number.isInteger(hour) && hour! >= 0 && hour! <= 23)) wrong('hour');
  if (accuracy !== null && accuracy! < 0) wrong('accuracy');
  // The same limits as of a value that is typed.
  for (const [name, dimension, amount] of [
    ['value', kind === null ? null : readingDimensions[kind], value],
    ['room_celsius', 'temperature', roomCelsius],
  ] as const) {
    if (dimension === null || amount == null) continue;
    const read = parseQuantity(`${amount.toFixed(4)} ${keptUnit(dimension)}`, dimension, 'metric');
    if (read.status === 'bad') sentences.push(quantitySentence(`the ${name}`, read));
  }
  for (const [name, most] of [
    ['typed', 120],
    ['room_typed', 120],
    ['instrument', 120],
    ['notes', 4000],
  ] as const) {
    if (cell(name).length > most) sentences.push(formSentences.tooLong(`the ${name}`, most, cell(name).length));
    if (/[^\P{Cc}\n\t]/u.test(cell(name))) sentences.push(formSentences.strangeCharacter(`the ${name}`));
  }
  if (sentences.length > 0) return { status: 'bad', sentences };
  return {
    status: 'ok',
    facts: {
      enclosureId: enclosure.id,
      kind: kind!,
      evidence: evidence!,
      value: value!,
      typed: cell('typed'),
      takenOn: takenOn!,
      hour: hour!,
      roomCelsius: roomCelsius!,
      roomTyped: cell('room_typed'),
      instrument: cell('instrument'),
      accuracy: accuracy!,
      notes: cell('notes'),
    },
  };
}

function kindOf(text: string): ReadingKind | null {
  const wanted = text.toLowerCase().replace(/[\s_]+/g, ' ');
  return (
    READING_KINDS.find((kind) => wanted === kind || wanted === kind.replaceAll('-', ' ')) ??
    READING_KINDS.find((kind) => wanted === readingNames[kind].toLowerCase()) ??
    null
  );
}

function readValue(value: string, unit: string, kind: ReadingKind, system: UnitSystem) {
  const read = parseQuantity(`${value} ${unit}`, readingDimensions[kind], system);
  return read.status === 'ok'
    ? { status: 'ok' as const, quantity: read.quantity }
    : { status: 'bad' as const, sentence: quantitySentence('the value', read) };
}

function qualityOf(kind: ReadingKind) {
  return QUALITIES.find((one) => one === readingDimensions[kind])!;
}

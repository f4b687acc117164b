// How typed text becomes a value: each field is read from its string by a rule that never guesses, and a form with mistakes comes back
// with everything that was typed. An absent field (an unticked box, no choice made) reads as empty text.

import { z } from 'zod';
import { type ClockHours, monthNamed, readHour, readTypedDate, readTypedMonth, YEARS } from '../src/calendar.ts';
import { type Money, type MoneyHabits, parseMoney } from '../src/money.ts';
import {
  type Counted,
  type Dimension,
  hasRaisedDigit,
  parseCounted,
  parseQuantity,
  type Quantity,
  type UnitSystem,
  unitsOfCount,
} from '../src/units.ts';
import { formSentences, hourSentence, moneySentence, quantitySentence } from './form-words.ts';
import { capital } from './words.ts';

/** What was typed, or is to be shown in the controls, by field name. */
export type Values = Readonly<Record<string, string>>;

/** One mistake: the field it belongs to and a whole sentence that says what to do. */
export type FormError = { field: string; message: string };

/** What a form shows: the texts in its controls and the mistakes, if any. */
export type FormState = { values: Values; errors: readonly FormError[] };

/** What came of reading a form. */
export type ParsedForm<Value> = { status: 'ok'; value: Value; values: Values } | ({ status: 'bad' } & FormState);

/** A form that has not been sent yet, with the texts to begin with; fields not named begin empty. */
export function startForm(values: Values = {}): FormState {
  return { values, errors: [] };
}

/** A form with one mistake added, for rules that only the database can decide. */
export function withMistake(form: FormState, field: string, message: string): FormState {
  return { values: form.values, errors: [...form.errors, { field, message }] };
}

/** A form's rules: its field names, each with how it is read. A field that is not named here is refused. */
export function formOf<Shape extends z.ZodRawShape>(shape: Shape) {
  return z.strictObject(shape);
}

/**
 * Reads a sent form. With mistakes, `errors` holds at most one for a field, in the order of the fields, and `values` every text as it
 * was typed. `together` finds the mistakes that one field alone does not show; it is asked of what could be read too, where a field that
 * could not be is null, so that everything that is wrong is told at once.
 */
export function parseForm<Schema extends z.ZodType>(
  schema: Schema,
  body: unknown,
  together: (value: z.output<Schema>) => readonly FormError[] = () => [],
): ParsedForm<z.output<Schema>> {
  const values = typedValues(body);
  const read = schema.safeParse({ ...values });
  if (read.success) {
    const errors = together(read.data);
    return errors.length === 0
      ? { status: 'ok', value: read.data, values }
      : { status: 'bad', values, errors: inOrder(schema, errors) };
  }
  const errors = new Map<string, string>();
  const strays: FormError[] = [];
  for (const issue of read.error.issues) {
    if (issue.code === 'unrecognized_keys') {
      // No control shows them, so the mistake is the whole form's.
      strays.push(...issue.keys.map((name) => ({ field: '', message: formSentences.unknownField(name) })));
      continue;
    }
    const field = String(issue.path[0] ?? '');
    if (!errors.has(field)) errors.set(field, issue.message);
  }
  for (const { field, message } of mistakesInReadable(schema, values, together))
    if (!errors.has(field)) errors.set(field, message);
  const found = inOrder(
    schema,
    [...errors].map(([field, message]) => ({ field, message })),
  );
  return { status: 'bad', values, errors: [...found, ...strays] };
}

function shapeOf(schema: z.ZodType): z.ZodRawShape | null {
  const form = schema instanceof z.ZodPipe ? schema.in : schema;
  return form instanceof z.ZodObject ? form.shape : null;
}

function inOrder(schema: z.ZodType, errors: readonly FormError[]): FormError[] {
  const names = Object.keys(shapeOf(schema) ?? {});
  const placeOf = ({ field }: FormError) => (names.includes(field) ? names.indexOf(field) : names.length);
  const first = errors.filter((one, index) => errors.findIndex(({ field }) => field === one.field) === index);
  return first.toSorted((a, b) => placeOf(a) - placeOf(b));
}

// Rules are written for forms whose every field could be read. One that needs a field that is null says nothing about it yet.
function mistakesInReadable<Schema extends z.ZodType>(
  schema: Schema,
  values: Values,
  together: (value: z.output<Schema>) => readonly FormError[],
): readonly FormError[] {
  const shape = shapeOf(schema);
  if (shape === null) return [];
  const fields = Object.fromEntries(
    Object.entries(shape).map(([name, rule]) => {
      const read = z.safeParse(rule, values[name]);
      return [name, read.success ? read.data : null];
    }),
  );
  try {
    const whole = schema instanceof z.ZodPipe ? z.safeParse(schema.out, fields) : { success: true, data: fields };
    return whole.success ? together(whole.data as z.output<Schema>) : [];
  } catch (error) {
    if (error instanceof TypeError) return [];
    throw error;
  }
}

/** What came of reading one typed text. */
export type ReadText<Value> = { status: 'ok'; value: Value } | { status: 'bad'; message: string };

/** A field read by a rule of its own. The rule gets the text as typed, '' when absent. */
export function fieldReadBy<Value>(read: (typed: string) => ReadText<Value>) {
  return z
    .string()
    .default('')
    .transform((typed, context): Value => {
      const result = read(typed);
      if (result.status === 'ok') return result.value;
      context.issues.push({ code: 'custom', message: result.message, input: typed });
      return z.NEVER;
    });
}

/** As another field, but empty text is taken to mean nothing: null. */
export function optional<Value>(read: (typed: string) => ReadText<Value>) {
  return fieldReadBy<Value | null>((typed) => (typed.trim() === '' ? { status: 'ok', value: null } : read(typed)));
}

/** Text that must be there, trimmed, of at most `limit` characters. `label` completes the sentences: 'Fill in the name.' */
export function requiredText(label: string, limit = 120) {
  return fieldReadBy((typed) => {
    const read = readText(typed, label, limit);
    return read.status === 'ok' && read.value === '' ? { status: 'bad', message: formSentences.required(label) } : read;
  });
}

/** Text that may be left empty ('' then), trimmed, of at most `limit` characters; line breaks are kept. */
export function optionalText(label: string, limit = 2000) {
  return fieldReadBy((typed) => readText(typed, label, limit));
}

/** One of a fixed list of answers. */
export function choice<const Answer extends string>(label: string, answers: readonly Answer[]) {
  return fieldReadBy(readChoice(label, answers));
}

/** One of a fixed list of answers, or null when none was chosen. */
export function optionalChoice<const Answer extends string>(label: string, answers: readonly Answer[]) {
  return optional(readChoice(label, answers));
}

/** A whole number from `low` to `high`, in digits only or, where it is said what it counts, with a unit of that ('90 min', '1.5 h'). */
export function wholeNumber(label: string, low: number, high: number, counted: Counted | null = null) {
  return fieldReadBy(readWholeNumber(label, low, high, counted));
}

/** A whole number from `low` to `high`, or null when left empty. */
export function optionalWholeNumber(label: string, low: number, high: number, counted: Counted | null = null) {
  return optional(readWholeNumber(label, low, high, counted));
}

/** A number from `low` to `high` with '.' or ',' as decimal mark, with or without its unit ('13', '13 A', '51,5'). */
export function decimalField(label: string, low: number, high: number, unit: string) {
  return fieldReadBy(readDecimal(label, low, high, unit));
}

/** A number from `low` to `high`, or null when left empty. */
export function optionalDecimal(label: string, low: number, high: number, unit: string) {
  return optional(readDecimal(label, low, high, unit));
}

/** A real day, 'YYYY-MM-DD'. */
export function dateField(label: string) {
  return fieldReadBy(readDay(label));
}

/** A real day, or null when left empty. */
export function optionalDate(label: string) {
  return optional(readDay(label));
}

/** A month, 'YYYY-MM'. */
export function monthField(label: string) {
  return fieldReadBy(readCalendarMonth(label));
}

/** A month, or null when left empty. */
export function optionalMonth(label: string) {
  return optional(readCalendarMonth(label));
}

/** A whole hour of the day by the keeper's clock, 0 to 23; see readHour in src/calendar.ts. */
export function hourField(label: string, clock: ClockHours) {
  return fieldReadBy(hourReader(label, clock, 0, 23));
}

/** A whole hour of the day at which something ends, 1 to 24: midnight is 24. */
export function endingHourField(label: string, clock: ClockHours) {
  return fieldReadBy(hourReader(label, clock, 1, 24));
}

/** A whole hour of the day, or null when left empty. */
export function optionalHour(label: string, clock: ClockHours) {
  return optional(hourReader(label, clock, 0, 23));
}

/** A tick box: true when ticked. */
export function checkbox(label: string) {
  return fieldReadBy((typed) => {
    if (typed === '' || typed === 'yes') return { status: 'ok', value: typed === 'yes' };
    return { status: 'bad', message: formSentences.choose(label) };
  });
}

/** A measured quantity, with or without its unit ('78F', '1,5 m'). */
export function quantityField(label: string, dimension: Dimension, system: UnitSystem) {
  return fieldReadBy(readQuantity(label, dimension, system));
}

/** A measured quantity, or null when left empty: not measured is not 0. */
export function optionalQuantity(label: string, dimension: Dimension, system: UnitSystem) {
  return optional(readQuantity(label, dimension, system));
}

/** An amount of money of the ledger's currency, 0 or more, as it is typed where the keeper lives. */
export function moneyField(label: string, habits: MoneyHabits) {
  return fieldReadBy(readMoney(label, habits));
}

/** An amount of money, or null when left empty. */
export function optionalMoney(label: string, habits: MoneyHabits) {
  return optional(readMoney(label, habits));
}

/** The hidden `version` of the row that the form was opened with, 1 or more; see conflictView in fields.ts. */
export function versionField() {
  return fieldReadBy(readWholeNumber('the version', 1, Number.MAX_SAFE_INTEGER));
}

function typedValues(body: unknown): Values {
  if (typeof body !== 'object' || body === null) return {};
  return Object.fromEntries(
    Object.entries(body).filter((entry): entry is [string, string] => typeof entry[1] === 'string'),
  );
}

function readText(typed: string, label: string, limit: number): ReadText<string> {
  const text = typed.replaceAll('\r\n', '\n').normalize('NFC').trim();
  if (/[^\P{Cc}\n\t]/u.test(text)) return { status: 'bad', message: formSentences.strangeCharacter(label) };
  if (text.length > limit) return { status: 'bad', message: formSentences.tooLong(label, limit, text.length) };
  return { status: 'ok', value: text };
}

export function readChoice<Answer extends string>(label: string, answers: readonly Answer[]) {
  return (typed: string): ReadText<Answer> => {
    const chosen = answers.find((answer) => answer === typed);
    return chosen === undefined
      ? { status: 'bad', message: formSentences.choose(label) }
      : { status: 'ok', value: chosen };
  };
}

function hourReader(label: string, clock: ClockHours, first: number, last: number) {
  return (typed: string): ReadText<number> => {
    if (typed.trim() === '') return { status: 'bad', message: formSentences.required(label) };
    const read = readHour(typed, clock);
    if (read.status === 'bad') return { status: 'bad', message: hourSentence(label, read.fault, clock, last) };
    const hour = read.hour === 0 && first === 1 ? 24 : read.hour;
    return hour > last
      ? { status: 'bad', message: hourSentence(label, 'not-an-hour', clock, last) }
      : { status: 'ok', value: hour };
  };
}

function readWholeNumber(label: string, low: number, high: number, counted: Counted | null = null) {
  return (typed: string): ReadText<number> => {
    const text = typed.trim();
    if (text === '') return { status: 'bad', message: formSentences.required(label) };
    const withUnit = counted === null ? null : parseCounted(typed, counted);
    if (withUnit === null && !/^-?\d{1,16}$/.test(text)) {
      const message =
        counted === null ? formSentences.wholeNumber(label) : formSentences.countedNumber(label, unitsOfCount(counted));
      return { status: 'bad', message };
    }
    const value = withUnit ?? Number(text);
    if (value < low || value > high)
      return { status: 'bad', message: formSentences.wholeNumberRange(label, low, high) };
    return { status: 'ok', value: value === 0 ? 0 : value };
  };
}

function readDecimal(label: string, low: number, high: number, unit: string) {
  return (typed: string): ReadText<number> => {
    const text = typed.normalize('NFKC').trim().replaceAll('\u2212', '-');
    if (text === '') return { status: 'bad', message: formSentences.required(label) };
    const match = /^([+-]?\d{1,4}(?:[.,]\d{1,6})?)\s*((?:[^\s\d]\D*)?)$/u.exec(text);
    if (match === null || hasRaisedDigit(typed) || !['', unit.toLowerCase()].includes(match[2]!.toLowerCase()))
      return { status: 'bad', message: formSentences.decimal(label, unit) };
    // Adding 0 makes '-0' the same as '0'.
    const value = Number(match[1]!.replace(',', '.')) + 0;
    return value < low || value > high
      ? { status: 'bad', message: formSentences.decimalRange(label, low, high) }
      : { status: 'ok', value };
  };
}

function readDay(label: string) {
  return (typed: string) => {
    const read = readTypedDate(typed.trim());
    if (read.status === 'ok') return { status: 'ok', value: read.date } as const;
    if (read.status === 'either')
      return { status: 'bad', message: formSentences.eitherDate(label, typed.trim(), read.dates) } as const;
    return { status: 'bad', message: sentenceOfNoDay(label, typed, formSentences.date(label)) } as const;
  };
}

function readCalendarMonth(label: string) {
  return (typed: string) => {
    const month = readTypedMonth(typed.trim());
    if (month !== null) return { status: 'ok', value: month } as const;
    // A name alone would be another month once a year has gone by.
    const sentence =
      monthNamed(typed.trim()) === null
        ? formSentences.month(label)
        : formSentences.monthOfWhichYear(label, capital(typed.trim()));
    return { status: 'bad', message: sentenceOfNoDay(label, typed, sentence) } as const;
  };
}

function sentenceOfNoDay(label: string, typed: string, otherwise: string): string {
  const text = typed.trim();
  if (text === '') return formSentences.required(label);
  const year = /^(\d{4})-\d{2}(?:-\d{2})?$/.exec(text)?.[1];
  const isElsewhere = year !== undefined && (Number(year) < YEARS.first || Number(year) > YEARS.last);
  return isElsewhere ? formSentences.years(label, YEARS.first, YEARS.last) : otherwise;
}

function readQuantity(label: string, dimension: Dimension, system: UnitSystem) {
  return (typed: string): ReadText<Quantity> => {
    const read = parseQuantity(typed, dimension, system);
    return read.status === 'ok'
      ? { status: 'ok', value: read.quantity }
      : { status: 'bad', message: quantitySentence(label, read) };
  };
}

function readMoney(label: string, { currency, locale }: MoneyHabits) {
  return (typed: string): ReadText<Money> => {
    const read = parseMoney(typed, currency, { locale });
    return read.status === 'ok'
      ? { status: 'ok', value: read.amount }
      : { status: 'bad', message: moneySentence(label, read.fault, currency, typed) };
  };
}

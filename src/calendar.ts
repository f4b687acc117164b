// Plain dates and months, never instants: what day or month it is, how far apart two are, and how a date moves by months.

import { Temporal } from 'temporal-polyfill';

/** A day of the calendar, 'YYYY-MM-DD'. */
export type PlainDate = string & { readonly brand: 'plain-date' };

/** A month of the calendar, 'YYYY-MM'. */
export type PlainMonth = string & { readonly brand: 'plain-month' };

const MILLISECONDS_A_DAY = 86_400_000;

/** The days in a mean month of the Gregorian calendar: 365.2425 / 12. */
export const DAYS_A_MONTH = 30.436875;

/**
 * The years that days and months are read in, ends included: older than any animal or thing that is kept, and so far from the year 9999 that
 * every life and every horizon ends before it.
 */
export const YEARS = { first: 1900, last: 2199 } as const;

function isInYears(text: string): boolean {
  const year = Number(text.slice(0, 4));
  return year >= YEARS.first && year <= YEARS.last;
}

/** Reads 'YYYY-MM-DD'; null when the text has another form, names a day that does not exist (2026-02-31) or one outside of YEARS. */
export function readDate(text: string): PlainDate | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || !isInYears(text)) return null;
  try {
    return Temporal.PlainDate.from(text, { overflow: 'reject' }).toString() as PlainDate;
  } catch {
    return null;
  }
}

/** Takes a text known to be a date. Throws when it is not. */
export function plainDate(text: string): PlainDate {
  const date = readDate(text);
  if (date === null) throw new RangeError(`a date must be a real day as YYYY-MM-DD, got ${text}`);
  return date;
}

/** Reads 'YYYY-MM'; null when there is no such month, or one outside of YEARS. */
export function readMonth(text: string): PlainMonth | null {
  return /^\d{4}-(0[1-9]|1[0-2])$/.test(text) && isInYears(text) ? (text as PlainMonth) : null;
}

/** Takes a text known to be a month. Throws when it is not. */
export function plainMonth(text: string): PlainMonth {
  const month = readMonth(text);
  if (month === null) throw new RangeError(`a month must be YYYY-MM, got ${text}`);
  return month;
}

/** The month a date falls in. */
export function monthOf(date: PlainDate): PlainMonth {
  return date.slice(0, 7) as PlainMonth;
}

/** The year a date falls in. */
export function yearOf(date: PlainDate): number {
  return Number(date.slice(0, 4));
}

/** The month of the year, 1 for January to 12 for December. */
export function monthOfYear(month: PlainMonth): number {
  return Number(month.slice(5, 7));
}

/** The first day of a month. */
export function firstDay(month: PlainMonth): PlainDate {
  return `${month}-01` as PlainDate;
}

/** The last day of a month. */
export function lastDay(month: PlainMonth): PlainDate {
  return `${month}-${padded(daysIn(Number(month.slice(0, 4)), monthOfYear(month)), 2)}` as PlainDate;
}

/** The month that lies `count` months after (before, when negative). */
export function addMonths(month: PlainMonth, count: number): PlainMonth {
  const { year, month: inYear } = monthsOn(Number(month.slice(0, 4)), monthOfYear(month), count);
  return `${padded(year, 4)}-${padded(inYear, 2)}` as PlainMonth;
}

/**
 * The date `count` months after an anchor date, held to the month's last day: 31 January + 1 is 28 or 29 February, + 2 is 31 March.
 * Count repeated dates from the anchor; chaining additions drifts.
 */
export function addMonthsToDate(anchor: PlainDate, count: number): PlainDate {
  const { year, month } = monthsOn(Number(anchor.slice(0, 4)), Number(anchor.slice(5, 7)), count);
  const day = Math.min(Number(anchor.slice(8, 10)), daysIn(year, month));
  return `${padded(year, 4)}-${padded(month, 2)}-${padded(day, 2)}` as PlainDate;
}

/** The date `count` days after (before, when negative). */
export function addDays(date: PlainDate, count: number): PlainDate {
  const [day] = new Date(Date.parse(date) + count * MILLISECONDS_A_DAY).toISOString().split('T') as [string];
  if (day.length !== 10) throw new RangeError(`no date ${count} days from ${date} can be written`);
  return day as PlainDate;
}

/** How many months lie from one month to another: 0 for the same, negative when the second is earlier. */
export function monthsBetween(from: PlainMonth, to: PlainMonth): number {
  return (Number(to.slice(0, 4)) - Number(from.slice(0, 4))) * 12 + monthOfYear(to) - monthOfYear(from);
}

/** How many days lie from one date to another; negative when the second is earlier. */
export function daysBetween(from: PlainDate, to: PlainDate): number {
  // Asked thousands of times by a plan; both are real days, so counting them needs no calendar.
  return Math.round((Date.parse(to) - Date.parse(from)) / MILLISECONDS_A_DAY);
}

/** How old something is in months, with the part of a month as a fraction of the mean month; negative before it began. */
export function ageInMonths(since: PlainDate, on: PlainDate): number {
  return daysBetween(since, on) / DAYS_A_MONTH;
}

/** The calendar day of an instant in a named time zone. The caller owns the clock. */
export function dateOfInstant(instant: Date, timeZone: string): PlainDate {
  return Temporal.Instant.fromEpochMilliseconds(instant.getTime())
    .toZonedDateTimeISO(timeZone)
    .toPlainDate()
    .toString() as PlainDate;
}

/** The hour of the day of an instant in a named time zone, 0 to 23. The caller owns the clock. */
export function hourOfInstant(instant: Date, timeZone: string): number {
  return Temporal.Instant.fromEpochMilliseconds(instant.getTime()).toZonedDateTimeISO(timeZone).hour;
}

/** The clock on the wall of a time zone. Minutes are counted from 1970 in true time, so that they step evenly when clocks are changed. */
export type WallClock = {
  /**
   * The true minute of a local day and minute (0 to 1439). One that is passed over when clocks go forward counts as an hour later; of one
   * that comes twice the first is taken, unless that lies before `notBefore`.
   */
  minuteOf: (on: PlainDate, minute: number, notBefore?: number) => number;
  /** The local day and minute of a true minute. */
  localOf: (trueMinute: number) => { on: PlainDate; minute: number };
};

/** The clock of a named time zone; null when there is no such zone. Both ways are remembered by the quarter of an hour, since files hold thousands. */
export function wallClockOf(timeZone: string): WallClock | null {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(timeZone);
  } catch {
    return null;
  }
  const quarters = new Map<string, { first: number; second: number }>();
  const locals = new Map<number, { on: PlainDate; minute: number }>();
  const trueMinute = (on: PlainDate, minute: number, disambiguation: 'earlier' | 'later') =>
    Temporal.PlainDateTime.from(on).add({ minutes: minute }).toZonedDateTime(timeZone, { disambiguation })
      .epochMilliseconds / 60_000;
  return {
    minuteOf: (on, minute, notBefore) => {
      const start = minute - (minute % 15);
      const key = `${on} ${start}`;
      let quarter = quarters.get(key);
      if (quarter === undefined) {
        const [earlier, later] = [trueMinute(on, start, 'earlier'), trueMinute(on, start, 'later')];
        // What is passed over has no first and second: 'earlier' would step back before the change.
        const isPassedOver = localIn(timeZone, earlier).minute !== start;
        quarter = isPassedOver ? { first: later, second: later } : { first: earlier, second: later };
        quarters.set(key, quarter);
      }
      const { first, second } = quarter;
      const taken = notBefore !== undefined && first + (minute % 15) < notBefore ? second : first;
      return taken + (minute % 15);
    },
    localOf: (at) => {
      const start = Math.floor(at / 15) * 15;
      let local = locals.get(start);
      if (local === undefined) {
        local = localIn(timeZone, start);
        locals.set(start, local);
      }
      const { on, minute } = local;
      return { on, minute: minute + Math.floor(at - start) };
    },
  };
}

function localIn(timeZone: string, trueMinute: number): { on: PlainDate; minute: number } {
  const zoned = Temporal.Instant.fromEpochMilliseconds(trueMinute * 60_000).toZonedDateTimeISO(timeZone);
  return { on: zoned.toPlainDate().toString() as PlainDate, minute: zoned.hour * 60 + zoned.minute };
}

/** A month as people read it, such as 'November 2026'. */
export function formatMonth(month: PlainMonth, locale: string): string {
  return writerOf(locale, 'month').format(Date.parse(`${month}-01`));
}

/** A month in short, such as 'Nov 26'. */
export function formatShortMonth(month: PlainMonth, locale: string): string {
  return writerOf(locale, 'short-month').format(Date.parse(`${month}-01`));
}

/** A date in short, such as '5 Nov 26'. */
export function formatShortDate(date: PlainDate, locale: string): string {
  return writerOf(locale, 'short-date').format(Date.parse(date));
}

/** A date as people read it, such as '5 November 2026'. */
export function formatDate(date: PlainDate, locale: string): string {
  return writerOf(locale, 'date').format(Date.parse(date));
}

/** In which order the parts of a date in figures stand. */
export const DATE_ORDERS = ['year-month-day', 'day-month-year', 'month-day-year'] as const;
export type DateOrder = (typeof DATE_ORDERS)[number];

/** The order in which a locale writes a date in figures alone. */
export function dateOrderOf(locale: string): DateOrder {
  const [first] = writerOf(locale, 'figures')
    .formatToParts(0)
    .filter((part) => part.type !== 'literal');
  return first?.type === 'year' ? 'year-month-day' : first?.type === 'month' ? 'month-day-year' : 'day-month-year';
}

/**
 * Reads a date in figures with '-', '/' or '.': '2026-01-31', '31.1.2026', '01/31/2026'. One that begins with its four-figure year is read in
 * any order, every other only in the order given. Null when it is no real day of YEARS.
 */
export function readDateIn(text: string, order: DateOrder): PlainDate | null {
  const match = /^(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})$/.exec(text);
  if (match === null) return null;
  const [first, second, third] = [match[1]!, match[2]!, match[3]!];
  const yearFirst = first.length === 4;
  if (!yearFirst && (order === 'year-month-day' || third.length !== 4 || first.length > 2)) return null;
  if (yearFirst && third.length > 2) return null;
  const [year, month, day] = yearFirst
    ? [first, second, third]
    : order === 'day-month-year'
      ? [third, second, first]
      : [third, first, second];
  return readDate(`${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`);
}

/** A day as it is typed: one, two that it may be, or none. */
export type TypedDate =
  | { status: 'ok'; date: PlainDate }
  | { status: 'either'; dates: [PlainDate, PlainDate] }
  | { status: 'none' };

/**
 * Reads a day as it is typed anywhere: '2026-03-31', '31.3.2026', '31/3/2026', '3/31/2026'. Points stand for day.month.year; with other marks
 * and both numbers up to 12 it may be either of two days, which is never guessed.
 */
export function readTypedDate(text: string): TypedDate {
  const plain = readDate(text) ?? readDateIn(text, 'year-month-day');
  if (plain !== null) return { status: 'ok', date: plain };
  const dayFirst = readDateIn(text, 'day-month-year');
  const monthFirst = text.includes('.') ? null : readDateIn(text, 'month-day-year');
  if (dayFirst !== null && monthFirst !== null && dayFirst !== monthFirst)
    return { status: 'either', dates: [dayFirst, monthFirst] };
  const date = dayFirst ?? monthFirst;
  return date === null ? { status: 'none' } : { status: 'ok', date };
}

/** Reads a month as it is typed: '2026-03', '2026-3', '3/2026', '03.2026', 'March 2026', '2026 mar'; null for any other text. */
export function readTypedMonth(text: string): PlainMonth | null {
  const parts = /^(\d{1,2}|\d{4}|\p{L}{3,})(?:[.,]? +|[-/.])(\d{1,2}|\d{4}|\p{L}{3,})$/u.exec(text)?.slice(1) ?? [];
  const year = parts.find((one) => /^\d{4}$/.test(one));
  const month = parts.find((one) => one !== year);
  if (year === undefined || month === undefined) return null;
  const number = /^\d/.test(month) ? Number(month) : monthNamed(month);
  return number === null ? null : readMonth(`${year}-${padded(number, 2)}`);
}

/** The month of the year (1 to 12) that an English name means, or its beginning of three letters and more; null for any other text. */
export function monthNamed(text: string): number | null {
  const typed = text.toLowerCase().replace(/\.$/, '');
  const place = typed.length < 3 ? -1 : MONTHS_OF_A_YEAR.findIndex((name) => name.startsWith(typed));
  return place < 0 ? null : place + 1;
}

const MONTHS_OF_A_YEAR = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
];

/** By how many hours a clock counts: 12 with am and pm, or 24. */
export type ClockHours = 12 | 24;

/** Why a typed hour could not be read: it is none, or a bare 1 to 12 by a clock that counts twice to twelve. */
export type HourFault = 'not-an-hour' | 'morning-or-evening';

/** Minutes after midnight (0 to 1440) as a clock shows them: '06:15' and '18:15', or '6:15 am' and '6:15 pm'. */
export function formatClock(minutes: number, hours: ClockHours): string {
  const [hour, minute] = [Math.floor(minutes / 60), String(minutes % 60).padStart(2, '0')];
  if (hours === 24) return `${String(hour).padStart(2, '0')}:${minute}`;
  return `${hour % 12 === 0 ? 12 : hour % 12}:${minute} ${hour % 24 < 12 ? 'am' : 'pm'}`;
}

/** A whole hour of the day (0 to 24) as readHour reads it back: '18', or '6 pm'. The 24th hour is the next '12 am'. */
export function typedHour(hour: number, hours: ClockHours): string {
  return hours === 24 ? String(hour) : formatClock(hour * 60, 12).replace(':00', '');
}

/**
 * Reads a whole hour of the day, 0 to 24: '18', '18:00', '6 pm', '6:00 p.m.', by either clock, whichever the keeper's is. A bare 1 to 12 is
 * refused by a clock of twelve hours, since nothing says which half of the day is meant; '12 am' is 0.
 */
export function readHour(
  typed: string,
  hours: ClockHours,
): { status: 'ok'; hour: number } | { status: 'bad'; fault: HourFault } {
  const match = /^(\d{1,2})(:00)?\s*(?:([ap])\.?m\.?)?$/.exec(typed.normalize('NFKC').trim().toLowerCase());
  if (match === null) return { status: 'bad', fault: 'not-an-hour' };
  const [hour, half] = [Number(match[1]), match[3]];
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return { status: 'bad', fault: 'not-an-hour' };
    return { status: 'ok', hour: (hour % 12) + (half === 'p' ? 12 : 0) };
  }
  if (hour > 24) return { status: 'bad', fault: 'not-an-hour' };
  // '08:00' is how nobody who says am and pm writes; a bare 8 is.
  if (hours === 12 && hour >= 1 && hour <= 12 && !match[1]!.startsWith('0')) {
    return { status: 'bad', fault: 'morning-or-evening' };
  }
  return { status: 'ok', hour };
}

const writings = {
  month: { month: 'long', year: 'numeric', timeZone: 'UTC' },
  'short-month': { month: 'short', year: '2-digit', timeZone: 'UTC' },
  date: { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' },
  figures: { day: '2-digit', month: '2-digit', year: 'numeric', timeZone: 'UTC' },
  'short-date': { day: 'numeric', month: 'short', year: '2-digit', timeZone: 'UTC' },
} as const satisfies Record<string, Intl.DateTimeFormatOptions>;

// Making one costs a hundred times what writing with it does, and a page writes hundreds of dates. There are few locales.
const writers = new Map<string, Intl.DateTimeFormat>();

function writerOf(locale: string, how: keyof typeof writings): Intl.DateTimeFormat {
  const key = `${locale} ${how}`;
  let writer = writers.get(key);
  if (writer === undefined) {
    writer = new Intl.DateTimeFormat(locale, writings[how]);
    writers.set(key, writer);
  }
  return writer;
}

// Growth and budgets move dates by months thousands of times a page, so this is counted, not asked of a calendar library; the proleptic
// Gregorian calendar of ISO 8601, years 0000 to 9999.
function monthsOn(year: number, month: number, count: number): { year: number; month: number } {
  const all = year * 12 + month - 1 + count;
  const onward = Math.floor(all / 12);
  if (!(onward >= 0 && onward <= 9999))
    throw new RangeError(`no date ${count} months from ${year}-${month} can be written`);
  return { year: onward, month: all - onward * 12 + 1 };
}

function daysIn(year: number, month: number): number {
  if (month === 2) return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

const padded = (value: number, length: number) => String(value).padStart(length, '0');

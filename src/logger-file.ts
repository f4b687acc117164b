// How a logger writes moments and values in a table: dates in three orders, clocks with or without an offset, decimal commas, and cells
// that say that nothing was measured. Gives samples in the keeper's own local time, and what cannot be read, by line.

import type { PlainDate, WallClock } from './calendar.ts';
import { type DateOrder, readDateIn, wallClockOf } from './calendar.ts';
import type { DelimitedTable } from './delimited.ts';
import type { Sample } from './logger-summary.ts';
import { type Dimension, parseQuantity, type UnitSystem } from './units.ts';

/**
 * What the keeper says of a file: its columns by place (`clock` where the time of day has one of its own), the order of its dates, the
 * zone of times that carry no offset, and the unit of values that carry none.
 */
export type FileChoices = {
  time: number;
  clock: number | null;
  value: number;
  order: DateOrder;
  zone: string;
  dimension: Dimension;
  unit: string;
};

export type LineFault = { line: number; fault: 'time' | 'value' | 'unit' | 'out-of-range'; text: string };

/** Samples in the order of the file; `blanks` counts lines without a value, `decimalComma` tells how decimals were read. */
export type FileRead =
  | { status: 'ok'; samples: Sample[]; blanks: number; decimalComma: boolean }
  | { status: 'bad'; faults: LineFault[] };

const nothingMeasured = new Set(['', '-', '--', '---', 'nan', 'na', 'n/a', 'null', 'none']);

/** Reads a logger's rows into samples of the keeper's own zone. Throws when one of the zones does not exist. */
export function readLoggerRows(
  rows: DelimitedTable['rows'],
  choices: FileChoices,
  own: { zone: string; system: UnitSystem },
): FileRead {
  const [there, here] = [clockOf(choices.zone), clockOf(own.zone)];
  const texts = rows.map(({ cells }) => cells[choices.value] ?? '');
  // Loggers write no thousands, so commas without any point are decimal marks.
  const decimalComma = texts.some((text) => /\d,\d/.test(text)) && !texts.some((text) => /\d\.\d/.test(text));
  const faults: LineFault[] = [];
  const samples: Sample[] = [];
  let [blanks, before] = [0, undefined as number | undefined];
  for (const [index, { line, cells }] of rows.entries()) {
    const text = texts[index]!;
    if (nothingMeasured.has(text.toLowerCase())) {
      blanks++;
      continue;
    }
    const written = [cells[choices.time] ?? '', choices.clock === null ? '' : (cells[choices.clock] ?? '')]
      .join(' ')
      .trim();
    const moment = readMoment(written, choices.order);
    if (moment === null) {
      faults.push({ line, fault: 'time', text: written });
      continue;
    }
    const bare = decimalComma ? text.replace(',', '.') : text;
    const read = parseQuantity(/[\d.]$/.test(bare) ? `${bare} ${choices.unit}` : bare, choices.dimension, own.system);
    if (read.status === 'bad') {
      const fault = read.fault === 'wrong-unit' ? 'unit' : read.fault === 'out-of-range' ? 'out-of-range' : 'value';
      faults.push({ line, fault, text });
      continue;
    }
    const at =
      moment.offset === null
        ? there.minuteOf(moment.on, moment.minute, before)
        : utc.minuteOf(moment.on, moment.minute) - moment.offset;
    before = at;
    samples.push({ ...here.localOf(at), at, value: read.quantity.value });
  }
  return faults.length > 0 ? { status: 'bad', faults } : { status: 'ok', samples, blanks, decimalComma };
}

/** A written moment: its day, its minute of that day, and how many minutes its offset lies ahead of UTC, null without one. */
export type Moment = { on: PlainDate; minute: number; offset: number | null };

/**
 * Reads '2026-01-31 14:05', '2026-01-31T14:05:30.5+01:00', '31.1.2026 14:05', '01/31/2026 2:05 PM'. A date that begins with its year is read
 * in any order; seconds are cut off. Null when it is no real moment.
 */
export function readMoment(text: string, order: DateOrder): Moment | null {
  const match =
    /^(\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4})[T ,]\s*(\d{1,2}):(\d{2})(?::\d{2}(?:[.,]\d{1,9})?)?(?:\s*([ap])\.?m\.?)?\s*(z|[+-]\d{2}:?\d{2})?$/i.exec(
      text,
    );
  if (match === null) return null;
  const on = readDateIn(match[1]!, order);
  const hour = hourOf(Number(match[2]), match[4]?.toLowerCase() ?? null);
  const minute = Number(match[3]);
  if (on === null || hour === null || minute > 59) return null;
  return { on, minute: hour * 60 + minute, offset: match[5] === undefined ? null : offsetOf(match[5]) };
}

function hourOf(hour: number, half: string | null): number | null {
  if (half === null) return hour <= 23 ? hour : null;
  if (hour < 1 || hour > 12) return null;
  return (hour % 12) + (half === 'p' ? 12 : 0);
}

function offsetOf(text: string): number {
  if (text.toLowerCase() === 'z') return 0;
  const [hours, minutes] = [Number(text.slice(1, 3)), Number(text.slice(-2))];
  return (text.startsWith('-') ? -1 : 1) * (hours * 60 + minutes);
}

const utc = clockOf('UTC');

function clockOf(zone: string): WallClock {
  const clock = wallClockOf(zone);
  if (clock === null) throw new RangeError(`there is no time zone ${zone}`);
  return clock;
}

// How days are written for a calendar program (RFC 5545): whole days, since a day that is written as an instant moves by one in another
// time zone; lines of at most 75 octets, folded between characters; texts escaped; and every entry with a name that stays the same.

import type { PlainDate } from './calendar.ts';

/** One day in the calendar. The same `uid` is the same entry when the file is read again; a higher `revision` is a later state of it. */
export type CalendarDay = {
  /** Unique in the world, and no longer than a line. */
  uid: string;
  revision: number;
  /** The day on which what it tells was found out. */
  stampedOn: PlainDate;
  on: PlainDate;
  summary: string;
  description: string;
};

const MOST_OCTETS = 75;

/**
 * Writes a calendar. `reminds` adds an alarm to each entry, at nine in the morning of its day by the reader's own clock. Throws when there
 * is no day at all: a calendar without an entry is none (RFC 5545, 3.6).
 */
export function writeCalendar(name: string, program: string, days: readonly CalendarDay[], reminds: boolean): string {
  if (days.length === 0) throw new RangeError('a calendar must have an entry');
  return [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    `PRODID:-//${escaped(program)}//EN`,
    'CALSCALE:GREGORIAN',
    `X-WR-CALNAME:${escaped(name)}`,
    ...days.flatMap((one) => entry(one, reminds)),
    'END:VCALENDAR',
  ]
    .map((line) => `${folded(line)}\r\n`)
    .join('');
}

function entry({ uid, revision, stampedOn, on, summary, description }: CalendarDay, reminds: boolean): string[] {
  return [
    'BEGIN:VEVENT',
    `UID:${escaped(uid)}`,
    `DTSTAMP:${compact(stampedOn)}T000000Z`,
    `SEQUENCE:${revision}`,
    // Without an end it lasts that one day (RFC 5545, 3.6.1), and it leaves its keeper free.
    `DTSTART;VALUE=DATE:${compact(on)}`,
    'TRANSP:TRANSPARENT',
    `SUMMARY:${escaped(summary)}`,
    ...(description === '' ? [] : [`DESCRIPTION:${escaped(description)}`]),
    // Counted from the start of the day where the reader is.
    ...(reminds
      ? ['BEGIN:VALARM', 'ACTION:DISPLAY', `DESCRIPTION:${escaped(summary)}`, 'TRIGGER:PT9H', 'END:VALARM']
      : []),
    'END:VEVENT',
  ];
}

function compact(day: PlainDate): string {
  return day.replaceAll('-', '');
}

// RFC 5545, 3.3.11. Control characters other than line breaks have no place in a text and become blanks.
function escaped(text: string): string {
  return text
    .replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n')
    .replace(/[^\P{Cc}\n]/gu, ' ')
    .replace(/[\\;,]/g, (sign) => `\\${sign}`)
    .replaceAll('\n', '\\n');
}

// RFC 5545, 3.1: counted in octets; the blank that begins a line that goes on counts too. No character is cut in two.
function folded(line: string): string {
  let [written, octets] = ['', 0];
  for (const character of line) {
    const size = octetsOf(character.codePointAt(0)!);
    if (octets + size > MOST_OCTETS) {
      written += '\r\n ';
      octets = 1;
    }
    written += character;
    octets += size;
  }
  return written;
}

function octetsOf(codePoint: number): number {
  return codePoint < 0x80 ? 1 : codePoint < 0x800 ? 2 : codePoint < 0x10000 ? 3 : 4;
}

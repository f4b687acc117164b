// Held against RFC 5545 itself and against ical.js, a reader that shares no line with the writer.

import fc from 'fast-check';
import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import { type CalendarDay, writeCalendar } from '../../src/icalendar.ts';

const day = (parts: Partial<CalendarDay> = {}): CalendarDay => ({
  uid: 'purchase-1-0123',
  revision: 3,
  stampedOn: plainDate('2026-11-25'),
  on: plainDate('2026-12-01'),
  summary: 'Buy: a hide',
  description: '',
  ...parts,
});

const write = (days: readonly CalendarDay[], reminds = false) =>
  writeCalendar('Roadmap', 'Basking Ledger', days, reminds);
const read = (text: string) => {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents('vevent').map((one) => new ICAL.Event(one));
};

test('A day is written line by line as RFC 5545 asks', () => {
  expect(write([day({ description: 'One; two, three\\\nfour' })])).toBe(
    [
      'BEGIN:VCALENDAR',
      'VERSION:2.0',
      'PRODID:-//Basking Ledger//EN',
      'CALSCALE:GREGORIAN',
      'X-WR-CALNAME:Roadmap',
      'BEGIN:VEVENT',
      'UID:purchase-1-0123',
      'DTSTAMP:20261125T000000Z',
      'SEQUENCE:3',
      'DTSTART;VALUE=DATE:20261201',
      'TRANSP:TRANSPARENT',
      'SUMMARY:Buy: a hide',
      // RFC 5545, 3.3.11: backslash, semicolon, comma and line break are escaped.
      'DESCRIPTION:One\\; two\\, three\\\\\\nfour',
      'END:VEVENT',
      'END:VCALENDAR',
      '',
    ].join('\r\n'),
  );
});

test('Any text is read back by another program as it was, no line is longer than 75 octets and none can begin a property', () => {
  let foldedLines = 0;
  fc.assert(
    fc.property(
      fc.string({ unit: 'grapheme', maxLength: 400, size: 'max' }),
      fc.string({ unit: 'binary', maxLength: 200, size: 'max' }),
      (summary, description) => {
        const text = write([day({ summary, description })], true);
        expect(text.endsWith('\r\n')).toBe(true);
        expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
        for (const line of text.split('\r\n')) {
          expect(Buffer.byteLength(line, 'utf8')).toBeLessThanOrEqual(75);
          if (line.startsWith(' ')) foldedLines++;
        }
        const unfolded = text.replaceAll('\r\n ', '').split('\r\n');
        expect(unfolded.filter((line) => line.startsWith('BEGIN:VEVENT'))).toHaveLength(1);
        const event = read(text)[0]!;
        const plain = (value: string) =>
          value.replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n').replace(/[^\P{Cc}\n]/gu, ' ');
        expect(event.summary).toBe(plain(summary));
        expect(event.description ?? '').toBe(plain(description));
      },
    ),
    { numRuns: 120 },
  );
  expect(foldedLines).toBeGreaterThan(120);
});

test('A line of letters of two, three and four octets is cut between them', () => {
  const summary = 'éの😀'.repeat(40);
  const text = write([day({ summary })]);
  const lines = text.split('\r\n').filter((line) => line.startsWith(' ') || line.startsWith('SUMMARY'));
  expect(lines.length).toBeGreaterThan(4);
  for (const line of lines) expect(Buffer.from(line, 'utf8').toString('utf8')).not.toContain('\uFFFD');
  expect(read(text)[0]!.summary).toBe(summary);
});

test.each(['Pacific/Auckland', 'Pacific/Honolulu', 'UTC', 'America/New_York'])(
  'The day is the same day in %s',
  (zone) => {
    const before = process.env.TZ;
    process.env.TZ = zone;
    try {
      // The last Sunday of September and the first of April are when clocks change in New Zealand.
      for (const on of ['2026-09-27', '2027-04-04', '2028-02-29', '2026-12-31']) {
        const event = read(write([day({ on: plainDate(on) })]))[0]!;
        expect(event.startDate.isDate).toBe(true);
        expect(event.startDate.toString()).toBe(on);
        expect(event.startDate.toJSDate().getDate()).toBe(Number(on.slice(8)));
        // RFC 5545, 3.6.1: a day without an end lasts one day.
        expect(event.endDate.subtractDate(event.startDate).toSeconds()).toBe(86_400);
      }
    } finally {
      process.env.TZ = before;
    }
  },
);

test('An alarm is written only when asked for, at nine in the morning of the day', () => {
  const calendar = (reminds: boolean) => new ICAL.Component(ICAL.parse(write([day()], reminds)));
  const alarms = (reminds: boolean) => calendar(reminds).getFirstSubcomponent('vevent')!.getAllSubcomponents('valarm');
  expect(alarms(false)).toEqual([]);
  expect(alarms(true)).toHaveLength(1);
  const alarm = alarms(true)[0]!;
  expect(alarm.getFirstPropertyValue('action')).toBe('DISPLAY');
  expect(String(alarm.getFirstPropertyValue('trigger'))).toBe('PT9H');
  expect(alarm.getFirstPropertyValue('description')).toBe('Buy: a hide');
});

test('A calendar without an entry is refused, since RFC 5545 knows none', () => {
  expect(() => write([])).toThrow(RangeError);
});

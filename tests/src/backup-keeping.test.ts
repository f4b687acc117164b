import { expect, test } from 'vitest';
import { keptBackups } from '../../src/backup-keeping.ts';
import { addDays, type PlainDate, plainDate } from '../../src/calendar.ts';

const on = (day: string, number = 1) => ({ day: plainDate(day), number });
const days = (all: { day: PlainDate }[]) => all.map((one) => one.day);

/** One backup a day, the last on a day. */
const daily = (last: string, count: number) =>
  Array.from({ length: count }, (_, back) => on(addDays(plainDate(last), -back)));

test('Of two years of daily backups the last days, weeks and months are kept', () => {
  const kept = days(keptBackups(daily('2026-11-27', 730)));
  // Written down by hand from a calendar: 27 November 2026 is a Friday; weeks end on Sundays.
  expect(kept).toEqual([
    ...['2026-11-27', '2026-11-26', '2026-11-25', '2026-11-24', '2026-11-23', '2026-11-22', '2026-11-21'],
    // The week to 22 November has its Friday left before those days.
    ...['2026-11-20', '2026-11-15', '2026-11-08', '2026-11-01', '2026-10-25', '2026-10-18', '2026-10-11', '2026-10-04'],
    ...['2026-09-27', '2026-08-31', '2026-07-31', '2026-06-30', '2026-05-31', '2026-04-30', '2026-03-31', '2026-02-28'],
    ...['2026-01-31', '2025-12-31', '2025-11-30', '2025-10-31'],
  ]);
});

test('All backups of the last days are kept, however many a day has', () => {
  const all = [on('2026-11-27', 3), on('2026-11-27', 2), on('2026-11-27'), ...daily('2026-11-26', 6)];
  expect(keptBackups([...all].reverse())).toEqual(all);
});

test('A clock that jumps ahead by years costs no backup that would stay otherwise', () => {
  const all = daily('2026-11-27', 60);
  const before = days(keptBackups(all));
  const after = days(keptBackups([...all, on('2041-01-01')]));
  expect(after[0]).toBe('2041-01-01');
  // Seven days are kept together, so that one of the old seven becomes the last of its week.
  expect(before.filter((day) => !after.includes(day)).length).toBeLessThanOrEqual(1);
});

test('A ledger that is opened now and then keeps what it has', () => {
  const rare = ['2026-11-02', '2026-03-15', '2025-09-09', '2024-01-01', '2020-05-05'].map((day) => on(day));
  expect(keptBackups(rare)).toEqual(rare);
  expect(keptBackups([])).toEqual([]);
});

test('Thinning out day by day never loses the newest, and comes to the same ages as thinning out once', () => {
  let kept: { day: PlainDate; number: number }[] = [];
  for (let day = 0; day < 500; day += 1) {
    const today = on(addDays(plainDate('2025-01-01'), day));
    kept = keptBackups([...kept, today]);
    expect(kept[0]).toEqual(today);
    expect(kept.length).toBeLessThanOrEqual(7 + 8 + 12);
  }
  // More than a year back there is still something.
  expect(kept[kept.length - 1]!.day < '2025-06-30').toBe(true);
});

// Which backups of a ledger are kept as time goes on. Days, weeks and months count only where there is a backup of them, so that a clock
// that jumps ahead, or a ledger that is opened twice a year, never makes old backups worthless.

import { daysBetween, monthOf, type PlainDate, plainDate } from './calendar.ts';

/** Backups of this many days are all kept, those of a day together. Common practice, no source: our own choice, like the next two. */
export const DAYS_KEPT = 7;

/** Of this many weeks before those days the last backup is kept. */
export const WEEKS_KEPT = 8;

/** Of this many months before those weeks the last backup is kept. */
export const MONTHS_KEPT = 12;

/** A backup as far as keeping goes: its day, and which one of that day it is, from 1. */
export type DatedBackup = { day: PlainDate; number: number };

/** The backups that are kept, the newest first. The newest of all is always among them. */
export function keptBackups<One extends DatedBackup>(all: readonly One[]): One[] {
  const newestFirst = [...all].sort((a, b) => (a.day === b.day ? b.number - a.number : a.day < b.day ? 1 : -1));
  const days = firstGroups(newestFirst, ({ day }) => day, DAYS_KEPT);
  const weeks = firstGroups(newestFirst.slice(days.length), ({ day }) => weekOf(day), WEEKS_KEPT);
  const months = firstGroups(newestFirst.slice(days.length + weeks.length), ({ day }) => monthOf(day), MONTHS_KEPT);
  return [...days, ...lastOfEach(weeks, ({ day }) => weekOf(day)), ...lastOfEach(months, ({ day }) => monthOf(day))];
}

// A Monday, from which weeks are counted.
const MONDAY = plainDate('1970-01-05');

function weekOf(day: PlainDate): number {
  return Math.floor(daysBetween(MONDAY, day) / 7);
}

function firstGroups<One>(all: readonly One[], groupOf: (one: One) => unknown, count: number): One[] {
  const groups = new Set<unknown>();
  const end = all.findIndex((one) => groups.add(groupOf(one)).size > count);
  return end === -1 ? [...all] : all.slice(0, end);
}

function lastOfEach<One>(newestFirst: readonly One[], groupOf: (one: One) => unknown): One[] {
  return newestFirst.filter((one, place) => place === 0 || groupOf(one) !== groupOf(newestFirst[place - 1]!));
}

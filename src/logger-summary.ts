// What a logger's file of moments and values says of each day and each night: least, greatest and middle value, how much of the time is
// covered, where it was silent, and which of these figures stands for a reading of a kind. Knows no file and no time zone.

import type { PlainDate } from './calendar.ts';
import { addDays } from './calendar.ts';
import type { ReadingKind } from './collection.ts';
import { medianOf } from './run-chart.ts';

/** A value (kept unit) at a minute of a local day, 0 to 1439; `at` counts minutes from any fixed moment, so that steps are true across a change of clocks. */
export type Sample = { on: PlainDate; minute: number; at: number; value: number };

/** The local hours between which it is day, from 0 to 24, the first below the second. */
export type DayHours = { from: number; to: number };

/** The hours of day where nobody said when the lights are on: an own assumption. */
export const USUAL_DAY: DayHours = { from: 8, to: 20 };

export const FIGURES = ['day-least', 'day-median', 'day-most', 'night-least', 'night-median', 'night-most'] as const;
export type LoggedFigure = (typeof FIGURES)[number];

/**
 * The figure that a reading of each kind asks for: what is read at the hottest hour is the greatest of the day, what is read before the
 * lights come on the least of the night, what hovers the middle. Common practice, no source.
 */
export const USUAL_FIGURE: Readonly<Record<ReadingKind, LoggedFigure>> = {
  'hot-spot-surface': 'day-most',
  'warm-hide-floor': 'day-median',
  'warm-air': 'day-median',
  'cool-end-air': 'day-most',
  'night-air': 'night-least',
  water: 'day-median',
  'uvi-basking': 'day-most',
  'uvi-lowest': 'day-most',
  'humidity-day': 'day-median',
  'humidity-night': 'night-median',
  'humidity-retreat': 'day-median',
  'water-depth': 'day-least',
};

/** A day or a night: how many samples it has, their least, middle and greatest value, and the share of its time that they cover, 0 to 1. */
export type Span = { samples: number; least: number; median: number; most: number; covered: number };

/** A date with its day and the night that ended on its morning; null where there is no sample. */
export type DaySummary = { on: PlainDate; day: Span | null; night: Span | null };

/** A silence between two samples, with the local time before and after it. */
export type Gap = { before: Pick<Sample, 'on' | 'minute'>; after: Pick<Sample, 'on' | 'minute'>; minutes: number };

export type LoggerSummary = { everyMinutes: number; days: DaySummary[]; gaps: Gap[] };

/** The share of a day or night that must be covered before its least or greatest value is believed: an own assumption. */
export const COVERED_ENOUGH = 0.75;

// A step so many times the usual one is a silence.
const GAP_STEPS = 3;

/**
 * Summarises samples in any order. A night belongs to the date on which it ends, since its coldest hours do. A silence is a step of more
 * than three usual ones. Throws without samples.
 */
export function summariseLogger(samples: readonly Sample[], hours: DayHours): LoggerSummary {
  const sorted = samples.toSorted((a, b) => a.at - b.at);
  const steps = sorted.slice(1).map((one, index) => one.at - sorted[index]!.at);
  const real = steps.filter((step) => step > 0);
  const everyMinutes = real.length === 0 ? 1 : medianOf(real);
  const [from, to] = [hours.from * 60, hours.to * 60];
  const parts = new Map<PlainDate, { day: number[]; night: number[] }>();
  for (const { on, minute, value } of sorted) {
    const isDay = minute >= from && minute < to;
    const date = !isDay && minute >= to ? addDays(on, 1) : on;
    const part = parts.get(date) ?? { day: [], night: [] };
    (isDay ? part.day : part.night).push(value);
    parts.set(date, part);
  }
  const dayMinutes = to - from;
  const days = [...parts.entries()]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([on, { day, night }]) => ({
      on,
      day: spanOf(day, everyMinutes / dayMinutes),
      night: spanOf(night, everyMinutes / (24 * 60 - dayMinutes)),
    }));
  const gaps = steps.flatMap((minutes, index): Gap[] =>
    minutes > GAP_STEPS * everyMinutes ? [{ before: sorted[index]!, after: sorted[index + 1]!, minutes }] : [],
  );
  return { everyMinutes, days, gaps };
}

/** The figure of a date; null where its day or night has no samples or covers too little of its time to be believed. */
export function figureOf({ day, night }: DaySummary, figure: LoggedFigure): { value: number; span: Span } | null {
  const span = figure.startsWith('day') ? day : night;
  if (span === null || span.covered < COVERED_ENOUGH) return null;
  const value = figure.endsWith('least') ? span.least : figure.endsWith('most') ? span.most : span.median;
  return { value, span };
}

function spanOf(values: readonly number[], shareOfOne: number): Span | null {
  if (values.length === 0) return null;
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return {
    samples: values.length,
    least,
    most,
    median: medianOf(values),
    covered: Math.min(1, values.length * shareOfOne),
  };
}

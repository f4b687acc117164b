// How long the sun is up: day length by latitude and date, and from it a timer's hours month by month. Knows the sun's declination to a
// hundredth of a degree and no longitudes, time zones or summer time.

import type { PlainDate } from './calendar.ts';
import { addDays, daysBetween, firstDay, plainDate, plainMonth } from './calendar.ts';

/**
 * When the day begins and ends: with the sun's upper edge on the horizon (its centre 50 minutes of arc below, refraction 34 and radius
 * 16), or in civil twilight with its centre 6 degrees below.
 */
export type DayEdge = 'sun-up' | 'civil-twilight';

const edgeDegrees: Record<DayEdge, number> = { 'sun-up': -0.833, 'civil-twilight': -6 };

// 1 January 2000, noon of which is the epoch that the almanac counts from.
const EPOCH = plainDate('2000-01-01');

const sin = (degrees: number) => Math.sin((degrees * Math.PI) / 180);
const cos = (degrees: number) => Math.cos((degrees * Math.PI) / 180);

/**
 * The sun's declination in degrees at noon of a day at longitude 0, north positive: the Astronomical Almanac's low-precision formula, good
 * to about 0.01 degrees (from memory).
 */
export function declinationDegrees(date: PlainDate): number {
  const days = daysBetween(EPOCH, date);
  const anomaly = 357.528 + 0.9856003 * days;
  const longitude = 280.46 + 0.9856474 * days + 1.915 * sin(anomaly) + 0.02 * sin(2 * anomaly);
  return (Math.asin(sin(23.439 - 4e-7 * days) * sin(longitude)) * 180) / Math.PI;
}

/**
 * Hours from the sun's rise to its set on a date at a latitude (degrees, -90 to 90, north positive), 0 to 24; 24 when it does not set, 0
 * when it does not rise. cos w = (sin h - sin latitude sin declination) / (cos latitude cos declination), day = 2 w / 15.
 */
export function dayLengthHours(latitude: number, date: PlainDate, edge: DayEdge = 'sun-up'): number {
  if (!(latitude >= -90 && latitude <= 90)) throw new RangeError('a latitude lies between -90 and 90 degrees');
  const declination = declinationDegrees(date);
  const cosine = (sin(edgeDegrees[edge]) - sin(latitude) * sin(declination)) / (cos(latitude) * cos(declination));
  return (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI / 7.5;
}

/** The steps of a plug-in timer, in minutes. */
export const TIMER_STEP_MINUTES = 15;

/**
 * How a timer gives some hours of light: the hours in its steps, when it switches on and off (minutes after midnight, 0 to 1439; null when
 * it never switches), and whether the allowed hours held it back.
 */
export type TimerSetting = {
  timerHours: number;
  switches: { onMinutes: number; offMinutes: number } | null;
  held: 'no' | 'raised' | 'lowered';
};

/**
 * Hours of light (0 to 24) in a timer's steps around a middle of the day (minutes after midnight). Allowed hours, when given, hold it
 * between them, in whole steps; throws when no step lies between them.
 */
export function timerSetting(
  hours: number,
  middayMinutes: number,
  allowedHours: { low: number; high: number } | null,
): TimerSetting {
  const stepsAnHour = 60 / TIMER_STEP_MINUTES;
  const low = Math.ceil((allowedHours?.low ?? 0) * stepsAnHour - 1e-9);
  const high = Math.floor((allowedHours?.high ?? 24) * stepsAnHour + 1e-9);
  if (!(low <= high)) throw new RangeError('the allowed hours must hold a step of the timer');
  const found = Math.round(hours * stepsAnHour);
  const steps = Math.min(high, Math.max(low, found));
  return {
    timerHours: steps / stepsAnHour,
    switches: switchesOf(steps, middayMinutes),
    held: steps > found ? 'raised' : steps < found ? 'lowered' : 'no',
  };
}

/** One month of a timer: its number, the day length in its middle (hours), and the timer. */
export type TimerMonth = { month: number; dayLengthHours: number } & TimerSetting;

/**
 * A timer table for a year: the day length at a latitude on the 15th of each month. `seasonsReversed`: the keeper's summer is the home's
 * winter, so that each month takes the day of half a year later. Throws as `timerSetting` does.
 */
export function timerTable(question: {
  latitude: number;
  year: number;
  seasonsReversed: boolean;
  middayMinutes: number;
  allowedHours: { low: number; high: number } | null;
}): TimerMonth[] {
  const { latitude, year, seasonsReversed, middayMinutes, allowedHours } = question;
  return Array.from({ length: 12 }, (_, index) => {
    const homeMonth = seasonsReversed ? (index + 6) % 12 : index;
    const middle = addDays(firstDay(plainMonth(`${year}-${String(homeMonth + 1).padStart(2, '0')}`)), 14);
    const hours = dayLengthHours(latitude, middle);
    return { month: index + 1, dayLengthHours: hours, ...timerSetting(hours, middayMinutes, allowedHours) };
  });
}

function switchesOf(steps: number, middayMinutes: number): TimerSetting['switches'] {
  const length = steps * TIMER_STEP_MINUTES;
  if (length === 0 || length === 24 * 60) return null;
  const day = 24 * 60;
  const on = Math.floor((middayMinutes - length / 2) / TIMER_STEP_MINUTES) * TIMER_STEP_MINUTES;
  const onMinutes = ((on % day) + day) % day;
  return { onMinutes, offMinutes: (onMinutes + length) % day };
}

/** Whether a keeper's seasons are the reverse of those at home: on either side of the equator (latitudes in degrees). */
export function areSeasonsReversed(homeLatitude: number, keeperLatitude: number): boolean {
  return homeLatitude * keeperLatitude < 0;
}

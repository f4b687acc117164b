// How an animal grows out of its box: its length to adult size as a range, and the month from which a box is too small for it. Knows no
// weights and no prices; what room a length asks for is the business of space.ts.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths, addMonthsToDate, monthOf } from './calendar.ts';
import type { BoxMeasures, LengthSpan, SpaceQuestion, SpaceVerdict } from './space.ts';
import { extentOf, judgeRules, lengthOn } from './space.ts';

/** Further ahead than this nothing is told of growth: the slowest species of the library takes less (months, our own choice). */
const FARTHEST_MONTHS = 240;

/**
 * Until when a box gives what the chosen rules ask for: for a fully grown animal too; only to a month, the earliest if it becomes as large as
 * its species does and the latest if it stays at the small end (null: then never); not even today; or no rule says.
 */
export type Outgrown =
  | { status: 'for-adults' }
  | { status: 'outgrown'; earliest: PlainMonth; latest: PlainMonth | null }
  | { status: 'short-today' }
  | { status: 'unknown' };

/** Until when a box is large enough for an animal of which the question tells everything else. */
export function outgrownIn(question: Omit<SpaceQuestion, 'there'>, box: BoxMeasures): Outgrown {
  const there = extentOf(box);
  let before: { span: LengthSpan; verdict: SpaceVerdict } | null = null;
  // The verdict hangs on the day by the length alone, and what is grown does not become longer.
  const at = (on: PlainDate) => {
    const asked = { ...question, there, on };
    const span = lengthOn(asked, on);
    if (before === null || before.span.lowMm !== span.lowMm || before.span.highMm !== span.highMm)
      before = { span, verdict: judgeRules(asked) };
    return before.verdict;
  };
  const today = at(question.on);
  if (today.status !== 'judged') return { status: 'unknown' };
  if (today.lowRatio < 1) return { status: 'short-today' };
  let earliest: PlainMonth | null = null;
  for (let ahead = 1; ahead <= FARTHEST_MONTHS; ahead++) {
    const verdict = at(addMonthsToDate(question.on, ahead));
    if (verdict.status !== 'judged') return { status: 'unknown' };
    const month = addMonths(monthOf(question.on), ahead);
    if (earliest === null && verdict.lowRatio < 1) earliest = month;
    if (verdict.highRatio < 1) return { status: 'outgrown', earliest: earliest ?? month, latest: month };
  }
  return earliest === null ? { status: 'for-adults' } : { status: 'outgrown', earliest, latest: null };
}

/** A length at a day ahead. */
export type LengthAhead = { month: PlainMonth; span: LengthSpan };

/** Lengths today, every `step` months to a horizon, and at the horizon itself; the straight line of projectLength, as a range. */
export function lengthsAhead(question: SpaceQuestion, horizonMonths: number, step = 6): LengthAhead[] {
  const ahead = new Set([0, horizonMonths]);
  for (let month = step; month < horizonMonths; month += step) ahead.add(month);
  return [...ahead]
    .sort((a, b) => a - b)
    .map((months) => ({
      month: addMonths(monthOf(question.on), months),
      span: lengthOn(question, addMonthsToDate(question.on, months)),
    }));
}

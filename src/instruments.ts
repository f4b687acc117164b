// What a keeper reads with: which kinds of reading an instrument takes, how far its maker says it may be wrong, and from when to when it
// is at hand. Knows no single reading.

import type { PlainDate } from './calendar.ts';
import type { ReadingKind } from './collection.ts';

/**
 * How far a reading may be wrong as the maker states it: plus or minus an amount in the kept unit of its dimension (of a temperature a
 * difference in °C), or a share of the value read, 0 to 1. `typed` is the keeper's own text.
 */
export type StatedError = { by: 'amount' | 'share'; value: number; typed: string };

/** A kind of reading that an instrument takes; its error is null where the maker states none. */
export type MeasuredKind = { kind: ReadingKind; accuracy: StatedError | null };

export const OWNERSHIPS = ['own', 'borrowed'] as const;
export type Ownership = (typeof OWNERSHIPS)[number];

/** An instrument. The days between which a borrowed one is there are null where nobody said. */
export type Instrument = {
  id: string;
  name: string;
  measures: MeasuredKind[];
  standing: Ownership;
  borrowedFrom: PlainDate | null;
  borrowedUntil: PlainDate | null;
};

/** Whether an instrument takes readings of a kind. */
export function takes({ measures }: Pick<Instrument, 'measures'>, kind: ReadingKind): boolean {
  return measures.some((one) => one.kind === kind);
}

/**
 * How far a reading of a value (kept unit) may be wrong, ± in that unit. Null when the instrument does not take this kind or its maker
 * states no error: then the usual error of such an instrument is for the reader of the reading to assume.
 */
export function errorOfReading(
  { measures }: Pick<Instrument, 'measures'>,
  kind: ReadingKind,
  value: number,
): number | null {
  const stated = measures.find((one) => one.kind === kind)?.accuracy ?? null;
  if (stated === null) return null;
  return stated.by === 'amount' ? stated.value : Math.abs(value) * stated.value;
}

/** Whether an instrument is there on a day: one's own always, a borrowed one from its first day to its last. */
export function isAtHand(
  { standing, borrowedFrom, borrowedUntil }: Pick<Instrument, 'standing' | 'borrowedFrom' | 'borrowedUntil'>,
  on: PlainDate,
): boolean {
  return (
    standing === 'own' ||
    ((borrowedFrom === null || borrowedFrom <= on) && (borrowedUntil === null || on <= borrowedUntil))
  );
}

// What is read off a run: where it stood at a moment, how wide its gap was, and how a time grows with a size.

import { better } from '../support/referee.ts';
import type { Standing } from './run.ts';

/** Seconds at which a run's standing is noted. */
export const MARKS = [1, 5, 10, 15, 20, 30, 60] as const;

/** A moment of a run, milliseconds since it began to plan, and where it then stood. */
export type Moment = { at: number; standing: Standing };

/** Where a run stood after so many seconds; null when it had no plan yet. */
export function standingAt(moments: readonly Moment[], seconds: number): Standing | null {
  return moments.findLast(({ at }) => at <= 1000 * seconds)?.standing ?? null;
}

/** How much more than this plan's points a plan with as few severe needs could have at most, as a share; null without a bound. */
export function gapOf({ status, weighted, weightedBound }: Standing): number | null {
  if (status === 'optimal') return 0;
  if (weightedBound === null) return null;
  return (weightedBound - weighted) / Math.max(1e-9, Math.abs(weighted));
}

/** The exponent b of time = a x size^b, fitted by least squares of the logarithms; null with fewer than two sizes. */
export function fitExponent(points: readonly { size: number; time: number }[]): number | null {
  if (new Set(points.map(({ size }) => size)).size < 2) return null;
  const logs = points.map(({ size, time }) => [Math.log(size), Math.log(time)] as const);
  const meanX = logs.reduce((sum, [x]) => sum + x, 0) / logs.length;
  const meanY = logs.reduce((sum, [, y]) => sum + y, 0) / logs.length;
  const across = logs.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0);
  return across / logs.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
}

/** Whether the first plan is at least as good as the second; no plan at all is worse than any. */
export function noWorse(one: Standing | null, other: Standing | null): boolean {
  if (other === null) return true;
  return one !== null && !better(other, one);
}

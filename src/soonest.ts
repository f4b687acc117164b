// How soon an animal can be free of severe shortfalls at all, when every other animal waits: with the money there is, and with the
// least sum in hand that ends them as soon as leads allow.

import type { Buy } from './problem.ts';

/** The first month from which an animal can have no severe need to the end, or why there is none inside the plan. */
export type SoonestMonth =
  | { status: 'month'; month: number; buys: Buy[]; proved: boolean }
  /** `needs`: those that nothing on the list ends, whatever it costs; none when it is money, or things that exclude each other. */
  | { status: 'never-inside'; needs: string[] }
  /** The work was stopped before anything was found or proved. */
  | { status: 'not-known' };

/** The least sum in hand now, in minor units, with which the severe needs end in the earliest month that leads allow at all. */
export type Bridge =
  | { status: 'none-needed' }
  | { status: 'found'; amount: number; month: number; buys: Buy[]; proved: boolean }
  | { status: 'not-with-money' }
  | { status: 'not-known' };

/**
 * One animal's way out of severe shortfalls. `now`: its severe needs in month 0 before anything is bought. `planned`: the first month
 * from which the plan leaves none to the end; null when that never comes inside the plan. `soonest`: the same if all free money went to
 * this animal alone.
 */
export type SoonestFree = {
  animalId: string;
  now: number;
  planned: number | null;
  soonest: SoonestMonth;
  bridge: Bridge;
};

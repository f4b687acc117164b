// Sentences about value choices: what each decides, what it is in a new ledger, and what another would do.

import type { Need } from '../src/species.ts';
import { needNames } from './kind-words.ts';
import { listed, lowerFirst } from './words.ts';

/** The value choices a keeper can make. */
export type ValueChoice = 'weights' | 'allowances' | 'priority' | 'horizon' | 'credit' | 'threshold';

/** Sentences of the page of value choices. */
export const choiceSentences = {
  heading: 'Value choices',
  lead: 'These are this ledger’s own value choices, not published constants: no study can make them for you. The score judges what the enclosure offers, never how the animal feels.',
  names: {
    weights: 'How much each need weighs',
    allowances: 'How far a score may lie above a need',
    priority: 'How much the worst off count',
    horizon: 'How far ahead a plan looks',
    credit: 'How long the end of a plan counts',
    threshold: 'What a change of plan must gain',
  } satisfies Record<ValueChoice, string>,
  does: {
    weights:
      'The score of an animal is the mean of its needs by these weights; only their shares count, and where a need does not apply the others share its part.',
    allowances:
      'The score of an animal lies at most this many points above each of its needs, so that good values elsewhere cannot make up for a bad one: with 100 they can, with 0 the worst need is the score. Where UV is optional at least 70 holds, and where life does not hang on humidity or water at least 50.',
    priority:
      'In planning, each point of a score counts so many times, so that the worst off come first. Severe shortfalls come before any points, whatever stands here.',
    horizon: 'Purchases are placed in so many months; what lies after them is not planned for.',
    credit:
      'For so many months after the plan the state reached at its end counts on. With 0 it never pays to save for something large.',
    threshold:
      'A purchase leaves the month it had in the last plan only when that ends severe shortfalls sooner, or gains so many weighted points × months for each purchase that moves.',
  } satisfies Record<ValueChoice, string>,
  fields: {
    below40: 'Below 40 points',
    to70: 'From 40 to 70 points',
    above70: 'Above 70 points',
    horizon: 'Months to plan',
    credit: 'Months of credit',
    threshold: 'Weighted points × months for each purchase',
  },
  /** The same where fields of all choices stand in one list. */
  fieldNames: {
    weights: (need: Need) => `Weight of ${lowerFirst(needNames[need])}`,
    allowances: (need: Need) => `Allowance of ${lowerFirst(needNames[need])}`,
    priority: (points: string) => `Count of points ${lowerFirst(points).replace(' points', '')}`,
  },
  share: (need: Need, share: string, withWater: string) =>
    need === 'water'
      ? `${withWater} of the sum where it counts.`
      : `${share} of the sum (${withWater} where water counts).`,
  usual: (value: number, isUsual: boolean) => `Default: ${value}${isUsual ? '' : ', yours differs'}.`,
  allUsual: 'As in a new ledger.',
  differs: (names: readonly string[]) => `Differs from a new ledger: ${listed(names)}.`,
  neverRising:
    'Let no point count more often than those below it: the three numbers may stay level or fall, never rise.',
  toDefaultOf: 'Back to the default',
  toDefault: 'All back to the defaults',
  askOne: (name: string) => `Back to the default: ${lowerFirst(name)}`,
  askAll: 'All value choices back to the defaults?',
  becomes: (name: string, from: number, to: number) => `${name}: ${from} becomes ${to}.`,
  effectsHeading: 'What another choice would do to the present plan',
  noPlan: 'Worked out after the next plan.',
  older: (day: string) =>
    `This is about the plan of ${day}; something was changed after it was made. Plan again to see it anew.`,
  nothingOther: 'No other choice was tried.',
  firstPlan: 'The present plan follows from no earlier one, so nothing was held back.',
  nothingHeld: (threshold: string) =>
    `In the present plan nothing was held back (a change had to gain ${threshold}), so a lower figure would change nothing.`,
  held: (count: number, threshold: string, gain: string) =>
    `In the present plan ${count === 1 ? 'one change was' : `${count} changes were`} held back (each had to gain ${threshold}). With 0 ${count === 1 ? 'it would be made and gain' : 'they would be made and gain'} ${gain}.`,
} as const;

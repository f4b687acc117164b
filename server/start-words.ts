// The sentences of the first page, and of the short way to a first plan: its steps, what is asked, what was taken for granted, and how it asks
// back.

import type { Age, AssumptionKind, BoxSort, SizeDoubt, UvSource, Warmer } from '../src/first-facts.ts';
import type { HideZone } from '../src/species.ts';
import type { UnitSystem } from '../src/units.ts';
import { typedQuantity } from '../src/units.ts';
import { fittingNames, hideZoneNames } from './kind-words.ts';

/** How each answer about a box is offered. */
export const boxSortNames: Readonly<Record<BoxSort, string>> = {
  unknown: 'Something else, or I do not know',
  'glass-mesh': 'Glass with a mesh top',
  'glass-closed': 'Glass, closed on top',
  wood: 'Wood or board with a glass front',
  plastic: 'Plastic, closed on top',
  mesh: 'Mesh on all sides',
  open: 'Open on top: a table or a pen',
};

/** How each answer about an age is offered. */
export const ageNames: Readonly<Record<Age, string>> = {
  unknown: 'I do not know',
  grown: 'Grown',
  year: 'About a year old',
  'half-year': 'About half a year old',
  weeks: 'A few weeks or months old',
};

/** How each answer about warmth is offered. */
export const warmerNames: Readonly<Record<Warmer, string>> = {
  unknown: 'Something else, or I do not know',
  none: 'Nothing',
  'mat-held': 'A heat mat on a thermostat',
  'mat-alone': 'A heat mat without a thermostat',
  'mat-unsure': 'A heat mat; a thermostat: I do not know',
  'lamp-guarded': 'A hot lamp outside the box or in a guard',
  'lamp-open': 'A hot lamp that the animal can touch',
  'lamp-unsure': 'A hot lamp; whether it can be touched: I do not know',
  'dark-held': 'A heater without light, on a thermostat and out of touch',
  'dark-alone': 'A heater without light, without a thermostat',
  'water-heater': 'A heater in the water',
};

/** How each answer about UV is offered. */
export const uvSourceNames: Readonly<Record<UvSource, string>> = {
  unknown: 'I do not know',
  none: 'No UV lamp',
  'tube-new': 'A UV tube, less than a year old',
  'tube-old': 'A UV tube, older, or I do not know how old',
  compact: 'A screw-in UV lamp',
};

/** What a ticked thing is called, in the form and afterwards. */
export function thingName(kind: keyof typeof fittingNames, place: HideZone | null): string {
  if (kind === 'hide' && place !== null)
    return `Hide${place === 'under-water' ? ' under water' : `, ${hideZoneNames[place].replace('the ', '')}`}`;
  return fittingNames[kind];
}

const kept = 'Counts as so until you say otherwise.';

/** What was taken for granted, and what that means. */
export const assumptionSentences: Readonly<Record<AssumptionKind, string>> = {
  'in-use-for-a-year':
    'The box counts as in use for a year, and so does each thing in it of which nothing else is said. The form of the box has its day; that of each thing has its own.',
  'thing-in-use-for-a-year': `The day it was fitted is not known, so it counts as in use for a year. ${kept}`,
  'box-not-named': 'The kind of box was not named: it counts as closed on top, and its loss of heat as unknown.',
  'thermostat-not-looked-for':
    'Whether a thermostat holds what warms it counts as unknown. Follow its cable and say what you find.',
  'heater-not-looked-at':
    'What warms it, and whether a thermostat holds it, counts as unknown. Follow its cable, enter what you find, and remove this one.',
  'hatched-about': `The day of hatching was worked out from “about”. ${kept}`,
  'counts-as-grown': 'Its age is not known, so it is held against what a grown one needs.',
  'tube-half-used': 'The UV tube counts as half a year old, of a usual life of 12 months (common practice, no source).',
  'tube-used-up':
    'The age of the UV tube is not known, so it counts as due for renewal: 12 months are usual (common practice, no source).',
  'compact-used-up':
    'The age of the screw-in UV lamp is not known, so it counts as due for renewal: 9 months are usual (common practice, no source). Its own form has the day it was fitted.',
  'between-not-looked-at':
    'Nobody said what is between it and the animal, mesh, glass or nothing, so that counts as unknown, and so does what it gives. Its own form asks for both.',
  'perhaps-uv':
    'Whether anything gives UV counts as unknown, as if there were a lamp of which nobody knows. Its package or its cap may say; a UV meter tells for certain. Where there is no lamp, remove this one.',
  'within-reach':
    'Nobody said whether it can be touched, so it counts as within reach. Its form asks where it is; a guard is entered as a thing of its own.',
};

/** Asks back about a measure that is more likely a slip. */
export function sizeDoubtSentence(doubt: SizeDoubt, typed: string, system: UnitSystem): string {
  const write = (mm: number) => typedQuantity(mm, 'length', system);
  const what = {
    length: 'The inside length',
    depth: 'The inside depth',
    height: 'The inside height',
    animalLength: 'The length of the animal',
  }[doubt.of];
  if (doubt.doubt === 'unit')
    return doubt.meant === 'inches'
      ? 'A box of which no side reaches 30 cm is rare. Were the numbers inches? Write “in” behind each, such as “18 in”; or say below that they are right.'
      : 'A box of which every side is longer than 39 inches is rare. Were the numbers centimetres? Write “cm” behind each, such as “120 cm”; or say below that they are right.';
  const meant = doubt.doubt === 'large' ? doubt.valueMm / 10 : doubt.valueMm * 10;
  const size =
    doubt.doubt === 'large'
      ? `is more than ${write(doubt.mostMm)}, which is rare`
      : `is less than ${write(doubt.leastMm)}, which is rare`;
  return `${what} “${typed.trim()}” ${size}. Did you mean ${write(meant)}? Write the unit too, such as “80 cm”; or say below that it is right.`;
}

/** The terms and short answers at the head of the first page. */
export const glanceWords = {
  inHand: 'In hand',
  money: 'Money',
  notCounted: 'Not counted yet.',
  atOnce: 'At once',
  buy: 'Buy now',
  free: 'Free',
  worst: 'Worst off',
  overdue: 'Overdue',
  nothing: 'Nothing.',
  since: 'Since last month',
  sinceMonth: (month: string) => `Since ${month}`,
  scores: 'Scores:',
  noneMoved: 'none has moved.',
  notClosed: 'No month is closed yet to compare with.',
} as const;

/** The rest of the pages, sentence by sentence. */
export const startSentences = {
  zoneHint: (day: string) =>
    `It decides which day is today, now ${day}. A new ledger takes it from the computer it runs on, which may stand elsewhere.`,
  todayIs: (day: string, zone: string) => `Today is ${day}, by the clock of ${zone.replaceAll('_', ' ')}.`,
  welcome: 'Begin here',
  welcomeLead:
    'This ledger holds what your animals have against what their kinds need, and works out what to buy next with what you put aside.',
  way: (done: number, all: number, next: string) => `${done} of ${all} first steps done. Next: ${next}`,
  freeThings: (count: number) => (count === 1 ? '1 thing costs nothing.' : `${count} things cost nothing.`),
  firstRun: {
    begin: {
      heading: 'Begin your own ledger',
      text: 'About ten minutes beside your animals, with a tape measure. What you do not know may stay unknown.',
      action: 'Begin',
    },
    demonstration: {
      heading: 'Look at the demonstration',
      text: 'An invented keeper with five animals. It stands apart from your ledger, and nothing in it can get into yours.',
      action: 'Look at it',
    },
    restore: {
      heading: 'Restore a backup',
      text: 'The checked copies of a ledger that was kept here before.',
      action: 'Look at the backups',
    },
    bringIn: {
      heading: 'Bring in a ledger',
      text: 'From a file that was exported here or on another computer before.',
      action: 'Bring it in',
    },
  },
  heading: 'The way to your first plan',
  lead: 'About ten minutes beside your animals, with a tape measure. Whatever you do not know can stay unknown.',
  allDone: 'All steps are done.',
  look: 'Look now',
  leaveOpen: 'Leave it unknown',
  leftOpen: 'Left unknown.',
  correct: 'Correct it',
  things: 'See the things in it',
  right: 'It is right',
  animal: 'Enter an animal and its box, with what is in it.',
  money: 'Say what you put aside a month and what is in hand.',
  plan: 'Take what is proposed, and plan.',
  measure: 'Take a first reading; unknown temperatures are not wrong, only unknown.',
  assumed: 'Look over what was taken for granted.',
  pricesHeading: 'What do things cost where you are?',
  pricesLead: (from: string) =>
    `The prices that are proposed are in ${from}. Say about what one of it is in your money, and they are reckoned from it; put a real price in its place as soon as you see one.`,
  rateNote: (from: string, rate: string, to: string, day: string) =>
    `Price reckoned from the shipped one at 1 ${from} = ${rate} ${to}, said by you on ${day}.`,
  nothingLeftToPrice:
    'Nothing is proposed any more that this rate would price, so it was not used. The list of upgrades says what was taken, and prices are changed there.',
  nothingPriced: 'Nothing is proposed that has a price here yet.',
  findHeading: 'Which kind of animal?',
  findLabel: 'Its kind, not its own name',
  nothingTyped: 'Write a word of the name of its kind, such as “gecko”, and find it.',
  findLead: 'Any of its names will do: the trade’s, the Latin one, or what you call its kind.',
  nothingFound: (typed: string) => `No species is called “${typed}” here.`,
  nearest: 'Did you mean one of these?',
  notThere:
    'Try one word of its name. A species that the library does not hold can be begun from a relative, with figures of your own.',
  share: 'Two in one box? Enter the first here and the other under Animals, where it is asked which box it lives in.',
  ticks: 'What is in it?',
  ticksHint: 'Tick what you see. What is not ticked counts as not there.',
  sure: 'The measures are right as I wrote them',
  sureHint: 'Tick this only when you have looked at the tape again.',
  name: 'Left empty, it is called by its kind.',
  length: 'Only if you ever measured it; space is then judged for its own size.',
  cash: 'Counted as today, with the sum of this month already in it. Food, the vet and power count as paid from elsewhere until you say otherwise under Money.',
  taken: 'Taken into the plan. A better plan is looked for now.',
} as const;

/** The page shown while the demonstration is being made, for an address to look at again. */
export function demonstrationPage(href: string) {
  return {
    heading: 'The demonstration',
    lead: 'The ledger of an invented keeper with five animals, their shortfalls and a plan. You may change anything in it.',
    sentences: [
      'It is being laid out and planned, which takes about ten seconds.',
      'It stands apart from your own ledger and is forgotten when the program stops.',
    ],
    href,
    action: 'Look again',
  };
}

/** What stands on the first page beside its lines at a glance. */
export const homeWords = {
  inHandToday: (sum: string) => `${sum} in hand today.`,
  wasDue: (name: string, day: string) => `${name} was due for renewal on ${day}.`,
  allToMeasure: (count: number) => `All ${count} things to measure first`,
  backups: 'Backups',
  restoreBackup: 'Restore a backup',
  isOver: (month: string) => `${month} is over`,
  lookBack: 'Look back at it while it is fresh: what was bought, fitted and read, and what is left.',
  close: (month: string) => `Close ${month}`,
  monthsWait: (count: number) => `${count} months wait to be closed`,
  oldestIs: (month: string) => `The oldest is ${month}. They can be closed one by one or in one go.`,
  toTheMonths: 'To the months',
  noPlanPaid: 'There is no plan that can be paid',
  fixedCostsMore: 'What is fixed already costs more than there is.',
  roadmapSays: 'The roadmap says in which month, by how much, and what could wait.',
  buyNothingIn: (month: string) => `Buy nothing in ${month}`,
  allBought: (month: string) => `Everything planned for ${month} is bought`,
  buyThings: (count: number) => `Buy ${count} things`,
  plannedAndKept: (sum: string, month: string, cash: string) => `${sum} planned for ${month}, ${cash} kept at its end.`,
  noLongerListed: 'no longer on the list',
  bought: 'I bought it',
  fitIt: 'Fit it',
  lookAtIt: 'Look at it',
  readAndCheck: 'What to read and check',
} as const;

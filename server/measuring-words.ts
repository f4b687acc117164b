// Every sentence about what a reading is worth before money is spent, about a weekend with a borrowed meter, and of the forms of instruments.

import type { ReadingKind } from '../src/collection.ts';
import type { Reason } from '../src/judging.ts';
import type { AnimalScore } from '../src/score.ts';
import type { Need } from '../src/species.ts';
import type { Walk } from '../src/weekend.ts';
import { needNames, readingNames } from './kind-words.ts';
import { weightedMonths } from './plan-words.ts';
import { listed, lowerFirst, percent } from './words.ts';

/** The sentences of the page about measuring first, and of its study beside a plan. */
export const measuringSentences = {
  heading: 'Measure before buying',
  awaitedHeading: 'Read first: fitted, and not read since',
  lead: 'A reading that cannot change what is bought is worth nothing to the plan; one that can may save money that a lamp or heater would have taken. Worth is counted as in the plan, in weighted points × months.',
  summary: (deciding: number, all: number) =>
    all === 0
      ? 'Measure first: every reading that the plan hangs on is known'
      : `Measure first: ${deciding} of ${all} readings could change what is bought`,
  study:
    'The plan was made once for each reading as if it were in order and once as if it showed a fault, and for every chance between.',
  more: 'What each reading is worth',
  noPlan: 'There is no plan yet. What a reading is worth is worked out once there is one.',
  planAction: 'To the roadmap',
  stale: 'The ledger was changed after this plan was made. Plan again and these figures follow.',
  nothingOpen: 'Every reading that the plan hangs on is known well enough.',
  reckoning:
    'What each reading is worth is being worked out now, which takes minutes. Nothing below has to wait for it.',
  lookAgain: 'Look again',
  unknownHeading: 'What is not known, what life may depend on first',
  missing:
    'What each of these readings is worth to the plan was not worked out. It takes minutes, and entering what is unknown does not have to wait for it.',
  begin: 'Work it out now',
  planAgain: 'Plan again',
  staleMissing:
    'The ledger was changed after the plan was made, so that what a reading is worth is worked out with the next plan.',
  assumption:
    '“In order” is the reading that loses no points here; “at fault” is the nearest one at which a need has lost nine tenths of what this reading can cost it. Both are this ledger’s own choice: a smaller fault is worth less to know.',
  severeNote:
    'While it is only unknown, the need that is asked about is not counted as severely short. A severe shortfall that is known still comes first.',
  chanceLabel: 'Your chance of a fault, in percent',
  chanceHint: 'What you would bet, from 0 to 100. Empty: only the chances are told at which measuring pays.',
  chanceMistake: 'Write the chance of a fault as a number from 0 to 100.',
  reckon: 'Reckon with these chances',
  inOrder: 'In order',
  atFault: 'At fault',
  fold: 'What would change, and your own chance of a fault',
  cannotCompare: 'For this reading the two cases offer different purchases, so nothing is said of its worth.',
  changesNothing:
    'The same purchases are best whatever it reads. It is worth taking to know how things stand and whether a purchase delivered, not to decide what to buy.',
  proved: 'Every plan behind these figures is proved best.',
  notProved: 'The plans behind these figures are the best found, not proved.',
  atHand: 'With a meter that you have or can borrow',
  bought: (price: string) => `With a meter bought this month for ${price}`,
  cannotBePaid: 'This month’s money cannot pay for it: borrow one, or save up for it.',
  never: 'At no chance of a fault does it pay.',
  pays: (from: number, to: number, most: string) =>
    from <= 0.005 && to >= 0.995
      ? `It pays whatever the chance of a fault; at most it gains ${most}.`
      : `It pays when the chance of a fault lies between ${percent(from)} and ${percent(to)}; at most it gains ${most}.`,
  atChance: (chance: number, net: number) =>
    Math.abs(net) < 0.05
      ? `At ${percent(chance)} it neither gains nor loses.`
      : net > 0
        ? `At ${percent(chance)} it gains ${weightedMonths(net)}.`
        : `At ${percent(chance)} it loses ${weightedMonths(-net)}: its price delays what matters more.`,
  severe: (faulty: number, fine: number) =>
    faulty <= 0 && fine <= 0
      ? null
      : `Its price would leave a severe shortfall standing longer: by ${Math.max(faulty, fine)} needs × months.`,
  ifRead: (which: 'faulty' | 'fine', reading: string) =>
    which === 'faulty'
      ? `If it reads ${reading} (at fault), the plan becomes:`
      : `If it reads ${reading} (in order), the plan becomes:`,
  weekendLink: 'A weekend with a meter: the shortest list of readings that could change the plan',
  enter: 'Enter this reading',
  wantMeter: (name: string) => `Put it into this month’s plan: ${name}`,
  meterNote: 'For measuring first. It adds no points by itself; what it reads decides what is bought.',
} as const;

/** How the walks of a weekend are called, by the time of the day. */
export const walkNames: Readonly<Record<Walk['time'], string>> = {
  'before-lights': 'In the morning, before the lights come on',
  'hottest-hour': 'When lamps and heat have been on for some hours, at the hottest hour',
  afternoon: 'In the afternoon, away from mist and watering',
  'any-time': 'At any time',
};

/** The sentences of the weekend with borrowed meters. */
export const weekendSentences = {
  heading: 'A weekend with a meter',
  lead: 'Tick the meters that will be at hand. The list holds the readings most able to change the plan, and no more than carry nine tenths of what can be gained with these meters.',
  which: 'Meters at hand',
  make: 'Make the list',
  rulerNote: 'The depth of water is read with any ruler.',
  noMeter: 'Tick at least one meter to see a list.',
  nothing: 'With these meters nothing can be read that would change the plan.',
  byPlan: 'Ranked by what each reading can gain in the present plan.',
  byRange:
    'What readings are worth to the plan was not worked out yet, so they are ranked by how much they narrow the scores.',
  covers: (share: number) => `These carry ${percent(share)} of what can be gained with these meters.`,
  beside: 'Can wait; each would gain little:',
  beyond: 'Could change the plan, and needs another meter:',
  readWith: (name: string, error: string | null) => `Read with: ${name}${error === null ? '' : ` (±${error})`}.`,
  hour: 'Hour of this walk',
  save: 'Enter these readings and plan again',
  nothingTyped: 'Fill in at least one value; what was not read stays empty.',
  sure: (what: string) => `The ${what} is right as typed`,
  afterHeading: 'What the weekend changed',
  planning: 'The plan is being made again with these readings.',
  lookAgain: 'Look again',
  planChanges: 'In the plan',
  dropped: (names: string) => `Dropped out of the plan: ${names}.`,
  taken: (names: string) => `New in the plan: ${names}.`,
  moved: (count: number) =>
    count === 1 ? 'One purchase comes in another month.' : `${count} purchases come in other months.`,
  samePlan: 'The plan buys the same things in the same months.',
  notPlanned: 'No plan was made since these readings.',
  entered: 'What was entered',
} as const;

/** What to do at once about a reading that lies outside what an animal needs, where nothing better is known for the set-up (common practice). */
export function atOnceSentence(reason: Reason): string {
  switch (reason.why) {
    case 'deadly-heat':
      return 'Unplug what heats it, and let the animal into a cooler place.';
    case 'temperature-outside':
      return reason.side === 'above'
        ? 'Raise, dim or unplug what heats it now, a little at a time, see that there is a cooler place to go to, and read again after an hour.'
        : 'See whether what heats it is on and whether its probe lies where it should, and read again after some hours. Turn no heater up for it without reading the other places that one warms: a mat turned up to warm the air burns.';
    case 'humidity-outside':
      return reason.side === 'above'
        ? 'Air more and mist less, and read again tomorrow.'
        : 'Mist, or dampen the substrate at one end, and read again in the afternoon.';
    case 'retreat-dry':
      return 'Dampen what lies in it now.';
    case 'uv-above':
      return 'Raise or switch off the lamp before the animal basks there again.';
    case 'uv-no-retreat':
      return 'Put in a solid hide that no light enters.';
    case 'water-depth':
      return 'Fill in or let out water until it is as deep as that.';
    default:
      return 'Look what has changed there, and read again.';
  }
}

/** By how much a reading would narrow the range of a score. */
export function narrowingSentence(kind: ReadingKind, points: number): string {
  const shown = Math.round(points);
  return `${readingNames[kind]}: it would narrow the range by about ${shown} ${shown === 1 ? 'point' : 'points'}.`;
}

/** Where the range of a score comes from. */
export function driversSentence(
  { low, high }: Pick<AnimalScore, 'low' | 'high'>,
  drivers: readonly { need: Need; points: number }[],
): string {
  const named = drivers.slice(0, 3).map(({ need, points }) => `${lowerFirst(needNames[need])} (${Math.round(points)})`);
  return `The score may lie from ${Math.round(low)} to ${Math.round(high)}. Known for sure, these would narrow that by so many points: ${listed(named)}.`;
}

/** Asks whether a heater has a thermostat. */
export function thermostatQuestion(heater: string): string {
  return `Does a thermostat hold “${heater}”?`;
}

/** How that is found out. */
export const thermostatHint =
  'Follow its cable: a thermostat is a small box with a dial or a display, and a thin cable with a probe at its end.';

/** What becomes of a thermostat whose heater is out of use. */
export const orphanHint =
  'Name the heater its socket feeds now, and move its probe to that. As a spare it holds nothing: choose none, or take it out of use too. What it was set to bring about counts no more.';

/** How a keeper finds out what the UV of a lamp passes through. */
export const betweenHint =
  'Switch the lamp off, and see whether nothing, an open guard, wide mesh, an insect screen, or glass or plastic is below it. Glass and plastic let no UV-B through that counts.';

/** What the forms of instruments ask, offer and say. */
export const instrumentFormWords = {
  readsTemperatures: 'Temperatures it reads',
  readsUv: 'UV it reads',
  readsHumidity: 'Humidity it reads',
  readsDepth: 'Depth it reads',
  errorOfTemperatures: 'Stated error of its temperatures',
  errorOfUv: 'Stated error of its UV index',
  errorOfHumidity: 'Stated error of its humidity',
  errorOfDepth: 'Stated error of its depth',
  errorOfTemperaturesHint: 'Plus or minus, such as “1 °C”, or a share of the value, such as “2 %”.',
  errorOfUvHint: 'Plus or minus a share of the value, such as “10 %”, or an index, such as “0.2”.',
  errorOfHumidityHint:
    'Plus or minus points of humidity, such as “3 %”, or a share of the value, such as “5 % of the reading”.',
  errorOfDepthHint: 'Plus or minus, such as “5 mm”.',
  myOwn: 'My own',
  borrowed: 'Borrowed',
  name: 'Name',
  whoseIsIt: 'Whose it is',
  borrowedFrom: 'Borrowed from',
  givenBackOn: 'To be given back on',
  notes: 'Notes',
  allEnclosures: 'All enclosures',
  enterInstrument: 'Enter an instrument',
  change: (name: string) => `Change “${name}”`,
  lead: 'What you read with. A reading taken with it gets its stated error.',
  nameHint: 'Such as “Infrared thermometer”.',
  enterThisInstrument: 'Enter this instrument',
  save: 'Save',
  remove: (name: string) => `Remove “${name}”?`,
  putBackFrom: 'It can be put back at any time from the list of instruments.',
  readingsStay: 'What was read with it stays, with its name and the error it was entered with.',
  removeThisInstrument: 'Remove this instrument',
  theName: 'the name',
  whoseItIs: 'whose it is',
  theDayBorrowed: 'the day it was borrowed',
  theDayGivenBack: 'the day it goes back',
  theNotes: 'the notes',
  tickOne: 'Tick at least one reading that it takes.',
  tickOrEmptyError: 'Tick which of these it reads, or empty their stated error.',
  emptyDaysOrBorrowed: 'Empty the days of borrowing, or choose “Borrowed”.',
  shareOutside: (label: string) => `Check the ${label}: a share must be above 0 % and at most 50 %.`,
  theLabelled: (label: string) => `the ${label}`,
  instruments: 'Instruments',
  instrumentsLead: 'What readings are taken with, and how far each may be wrong.',
  errorNotStated: 'not stated: the usual error is assumed',
  fromDay: (day: string) => `from ${day}`,
  untilDay: (day: string) => `until ${day}`,
  notAtHandToday: '(not at hand today)',
} as const;

/** What stands on a round through an enclosure and after it. */
export const roundWords = {
  neverRead: 'Never read.',
  boxChanged: 'The box has changed since.',
  influenceChanged: 'Something that influences it has changed since.',
  enteredUnknown: 'Entered as unknown.',
  onlyEstimated: 'Only estimated so far.',
  tooOld: 'Older than 30 days.',
  lookAgain: 'Look again',
  anotherInstrument: 'Another instrument',
  instrumentOfRound: 'That of the whole round',
  anotherHour: 'Another hour of the day',
  notes: 'Notes',
  howItIsRead: 'How it is read, another instrument or hour',
  nobodyLivesHere: 'Nobody lives here, so no target asks for a reading. You can read what you like.',
  nothingDue: 'Nothing is due: every reading that a target needs is fresh. You can read again what you like.',
  lead: 'From the hot end to the cool end, then the light, the damp and the water. What you do not read stays empty.',
  takenOn: 'Taken on',
  hourDay: 'Hour of the day',
  temperatureRoom: 'Temperature of the room',
  instrument: 'Instrument',
  noneList: 'None of the list',
  instrumentHint: 'Counts for what it reads; another can be chosen at each reading.',
  nameHint: 'Such as “infrared thermometer”.',
  noTargetNeeds: 'No target needs it.',
  noFigure: 'no figure',
  oneSaved: 'One reading was',
  outside: 'Outside the target now',
  outsideLead: 'Put this right before you look at any score.',
  whatElse: 'What else can be done about it',
  knownMoreClosely: ' It is known more closely now.',
  knownLessClosely: ' It is known less closely now.',
} as const;

// Words about upgrades: what a change does to a set-up, what a new box does to a purchase, what happened to one, things that broke, and what the
// pages and forms of upgrades and of their steps ask, offer and say.

import type { UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSize } from '../src/units.ts';
import type { Change, FateInNewBox } from '../src/upgrades.ts';
import { formSentences, monthExamples } from './form-words.ts';
import { checkQuestions, hideZoneNames, materialNames, readingNames, readingText, topNames } from './kind-words.ts';
import { listed, lowerFirst, percent } from './words.ts';

/** The kinds of change to a set-up, as answers to 'What does it change?'. */
export const changeNames: Readonly<Record<Exclude<Change['change'], 'fit'>, string>> = {
  retire: 'Take a fitted thing out of use',
  move: 'Move a fitted thing',
  'set-hours': 'Set the hours of a lamp or heater',
  renew: 'Put a new one in place of a worn thing',
  'replace-box': 'Replace the box',
  predict: 'Bring a reading to a value',
  answer: 'Make the answer to a check yes',
};

/** One change to a set-up as a sentence; `named` gives what enclosures and fitted things are called. */
export function changeSentence(
  change: Change,
  named: { enclosure: (id: string) => string; fitting: (id: string) => string },
  system: UnitSystem,
): string {
  switch (change.change) {
    case 'fit':
      return `Fits “${change.fitting.name}” in “${named.enclosure(change.enclosureId)}”.`;
    case 'retire':
      return `Takes “${named.fitting(change.fittingId)}” out of use.`;
    case 'move': {
      const where = [
        change.distanceMm === null
          ? ''
          : `to ${formatQuantity(change.distanceMm, 'length', system)} from the animal’s back at the basking place`,
        change.place === null ? '' : `to ${hideZoneNames[change.place]}`,
        change.meshShare === null ? '' : `so that ${percent(change.meshShare)} of the UV passes`,
        change.outOfReach === null ? '' : change.outOfReach ? 'out of reach' : 'within reach',
      ].filter((part) => part !== '');
      return `Moves “${named.fitting(change.fittingId)}” ${listed(where)}.`;
    }
    case 'set-hours':
      return `Sets “${named.fitting(change.fittingId)}” to ${formatQuantity(change.hoursPerDay, 'hours', system)} a day.`;
    case 'renew':
      return `Puts a new one in place of “${named.fitting(change.fittingId)}”.`;
    case 'replace-box': {
      const size = formatSize(change.lengthMm, change.depthMm, change.heightMm, system);
      return `Replaces the box of “${named.enclosure(change.enclosureId)}” by one of ${size}, ${lowerFirst(materialNames[change.material])}, ${lowerFirst(topNames[change.top])}.`;
    }
    case 'predict':
      return `Should bring the ${lowerFirst(readingNames[change.reading])} in “${named.enclosure(change.enclosureId)}” to ${readingText(change.reading, change.value, system)}.`;
    case 'answer':
      return `In “${named.enclosure(change.enclosureId)}” the answer becomes yes: ${checkQuestions[change.check].question}`;
  }
}

/** What a new box that is still to come does to a purchase; null when it does nothing. */
export function newBoxSentence(fate: FateInNewBox): string | null {
  if (fate.fate === 'no-new-box') return null;
  const boxes = listed([...new Set(fate.newBoxes.map((one) => `“${one.name}”`))]);
  const names = (list: readonly string[]) => listed(list.map((one) => `“${one}”`));
  switch (fate.fate) {
    case 'moves':
      return `It moves into the new box when ${boxes} comes, so nothing is lost.`;
    case 'stays-behind':
      return `It stays behind when ${boxes} comes: bought before, its money is lost with the old box.`;
    case 'split':
      return `When ${boxes} comes, ${names(fate.moving)} moves and ${names(fate.staying)} stays behind with the old box.`;
  }
}

/** That some purchases go into a new box that is still to come, said once for all of them. */
export function movingSentence(names: readonly string[], boxes: readonly string[]): string {
  const quoted = (list: readonly string[]) => listed(list.map((one) => `“${one}”`));
  return `Nothing is lost of ${quoted(names)} when ${quoted(boxes)} comes: ${names.length === 1 ? 'it moves' : 'they move'} into the new box.`;
}

/** What can happen, as a list of what has happened says it. */
export const happeningWords = {
  bought: 'Bought',
  'not-bought': 'Not bought',
  corrected: 'Price or day put right',
  fitted: 'Fitted',
  'plan-made': 'Planned',
  'cash-counted': 'Cash counted',
  renewed: 'Renewed',
  broke: 'Broke',
  'works-after-all': 'Works after all',
} as const;

/** Sentences of the pages of upgrades. */
export const upgradeSentences = {
  highBelowLow: 'Give a high price that is not below the low one, or leave it empty.',
  renewalNeedsLife: 'Say after how many months it is renewed, or leave the price of a new one empty.',
  saleNeedsAmount: 'Say how much the sale should bring, or leave the months empty.',
  offersFew: {
    text: 'There is so much in this ledger that the lists below offer only what is in the enclosures named here.',
    action: 'Offer what is in all of them',
  },
  chooseChange: 'Choose what it changes, then press the button below the list.',
  addNotPressed: 'Press “Add this change” to fill in its details, or choose nothing here; then save.',
  tooManyChanges: (most: number) =>
    `One upgrade can hold at most ${most} changes. Enter the rest as an upgrade of its own.`,
  nothingMoved: 'Say at least one thing that becomes different when it is moved.',
  runTogether: 'Give the length and the depth of the run together.',
  expectTogether: 'Give the reading and its value together, or leave both empty.',
  monthPassed: 'Choose the present month or a later one.',
  beforeEarliest: (month: string) =>
    `It is not to be bought before ${month}. Choose that month or a later one, or change the upgrade.`,
  arrivesBefore: 'It cannot arrive before the month in which it was bought.',
  whenArrives: 'Say in which month it arrives.',
  answeredMeanwhile: 'This proposal was answered meanwhile. Look at the list of upgrades.',
  noLongerProposed:
    'This is no longer proposed, because the set-up or its score has changed. Look at the list of upgrades.',
  needsPrice: 'The prices of the catalogue are in another currency. Enter the price yourself first.',
  fittedIsPast: 'It is fitted and so part of the set-up; what was fitted is changed on the page of its enclosure.',
  soldBy: (name: string) => `Sale of what “${name}” replaced`.slice(0, 160),
  runIn:
    'Run it for one or two days without the animal, and read the instruments before you trust it (common practice).',
} as const;

/** What is said where the price or the day of a purchase is put right. */
export const purchaseWords = {
  act: 'Correct price or day',
  heading: (name: string) => `What was paid for “${name}”?`,
  lead: 'The cash in hand follows at once. A month that is closed stays as it was closed: what this changes of it stands below it as a correction.',
  notBought: 'If it was not bought at all, say so on its page instead: it is then wanted again.',
  why: 'Why?',
  whyHint: 'For yourself; may be left empty.',
  belowRefund: (back: string) => `Give at least ${back}: that much of its price came back already.`,
  afterFitted: (day: string) => `Give a day up to ${day}: it was fitted then.`,
  afterArrival: 'Give a day up to the month in which it arrives, or change that month first.',
  afterReturnDay: (day: string) => `Give a day up to ${day}, or correct first until when it can go back.`,
} as const;

/** Sentences about things that broke. */
export const breakdownSentences = {
  replacementName: (name: string) => `A new one in place of what broke: ${name}`.slice(0, 160),
  lead: 'From that day on it counts as giving nothing, and the scores say so until a new one is in its place. Then the ledger plans again.',
  noLongerHolds: (readings: readonly string[]) =>
    `What was read up to that day no longer counts: ${listed(readings.map(lowerFirst))}.`,
  readOnTheDay: 'Readings of the same day count as taken before it broke; read again on the day after.',
  onItsWay: (name: string) => `A new one is on its way already: “${name}”. Nothing more is bought.`,
  wantedBefore: (name: string) => `“${name}” is on the list already. It is what will be bought.`,
  priceFrom: (part: string) => `The high price of the catalogue for: ${part}. Put in what a shop asks.`,
  priceUnknown: 'Nothing is known of its price: look it up. It is not taken as nothing.',
  notInUse: 'It is not in use any more, so it cannot break. Look at the page of its enclosure.',
  isBroken: 'It is written down as broken already. Look at the page of its enclosure.',
  notBroken: 'It is in use, so there is nothing to take back. Look at the page of its enclosure.',
  spareBefore: 'The spare cannot have been in use before the day on which this one broke.',
  whenSpare: 'Say since which day the spare is in use.',
  arrivesTooLate: 'Choose a month within the next three years.',
  boughtAlready: (name: string) =>
    `A new one was bought for it: “${name}”. Fit that, or write down on its page that it was not bought after all; then this one can be taken back.`,
  short: (month: string, by: string, earliest: string | null) =>
    `It cannot be paid then: at the end of ${month} ${by} would be missing, even if nothing else is bought. ${earliest === null ? 'Within the plan there is no month in which it can be paid.' : `The first month in which it can be paid is ${earliest}.`} Choose when it is bought.`,
  buyFirst: (month: string) => `In ${month}, the first month in which it can be paid`,
  buyNow: (month: string) => `In ${month} all the same`,
  buyNowHint: (by: string) =>
    `For when you can bring up ${by} besides. Enter that under Money as well: until then there is no plan.`,
  buyOpen: 'Leave the month to the plan',
  buyOpenHint: 'It is bought when there is money for it and nothing gains more.',
  shortOnRoadmap: (name: string, by: string, earliest: string | null) =>
    `“${name}”, in place of what broke, is ${by} short as it is fixed. ${earliest === null ? 'Within the plan there is no month in which it can be paid: free it from its month, or bring up the sum besides.' : `Fix it in ${earliest}, the first month in which it can be paid.`}`,
} as const;

/** What the steps of an upgrade ask and say: bought, fitted, not bought, its month fixed, removed. */
export const stepWords = {
  priceInDoubt: (paid: string, expected: string) =>
    formSentences.askedBack(`${paid} is far from the ${expected} that were expected.`),
  priceIsRight: 'The price is right as typed',
  whetherPriceIsRight: 'whether the price is right',
  theMonth: 'the month',
  fixMonthOf: (name: string) => `Fix the month of “${name}”`,
  fixMonthMeans: 'Every plan then buys it in this month, whatever else would gain more.',
  month: 'Month',
  yearAndMonth: `Month and year, such as ${monthExamples}.`,
  fixThisMonth: 'Fix this month',
  theDay: 'the day',
  theSumPaid: 'the sum paid',
  whetherHere: 'whether it is here',
  theMonthItArrives: 'the month in which it arrives',
  theLastDay: 'the last day',
  boughtOn: 'Bought on',
  paid: 'Paid',
  bought: 'Bought',
  isItHere: 'Is it here already?',
  yes: 'Yes',
  onTheWay: 'No, it is on the way',
  whenDoesItArrive: 'If not, when does it arrive?',
  writeDownBought: 'Write it down as bought',
  theDayOfBuying: 'the day of buying',
  theReason: 'the reason',
  putItRight: 'Put it right',
  save: 'Save',
  notBought: (name: string) => `Not bought: “${name}”`,
  notBoughtOrdered: 'It is wanted again as before, and what was paid is put back into the cash in hand.',
  notBoughtWanted: 'It stays wanted and the next plan decides anew. That it was not bought is written down.',
  whyNot: 'Why not?',
  forYourself: 'For yourself; may be left empty.',
  writeDownNotBought: 'Write it down as not bought',
  theAnswer: 'the answer',
  theDayBought: 'the day it was bought',
  doneOn: 'Done on',
  fittedOn: 'Fitted on',
  fittedOnMeans: 'Readings taken before this day no longer hold for what it touches.',
  sameDay: 'The same day when it cost nothing.',
  yesLooked: 'Yes, I looked',
  no: 'No',
  notLookedYet: 'I have not looked yet',
  changeTheSetUp: 'Change the set-up accordingly',
  remove: (name: string) => `Remove “${name}”?`,
  putBackFrom: 'It can be put back at any time from the list of upgrades.',
  paidIsPutBack: 'What was paid for it is put back into the cash in hand.',
  proposedAgain: 'It is proposed again while the shortfall lasts; refuse it to end that.',
  removeThis: 'Remove this upgrade',
} as const;

/** What stands on the pages of upgrades: headings, facts and buttons. */
export const upgradePageWords = {
  enclosuresWithProposals: 'enclosures with proposals',
  freeFirst: 'Free: do these first',
  freeLead:
    'They cost nothing but a moment. Accept what you will do, mark it as done afterwards, and read the instruments again.',
  bought: 'Bought',
  boughtLead: 'On the way, or here and waiting to be fitted.',
  wanted: 'Wanted',
  wantedLead: 'These enter the next plan; it decides what is bought and when.',
  proposed: 'Proposed to buy',
  proposedLead:
    'Generic things that would mend a shortfall that the score found. Accept one, change or price it first, or refuse it.',
  upgrades: 'Upgrades',
  somethingRemoved: 'something removed',
  where: 'Where',
  price: 'Price',
  paid: 'Paid',
  couldGoBack: 'Could go back until',
  canGoBack: 'Can go back until',
  figuresFrom: 'Where price, running cost and life come from',
  figuresOwn: 'entered by you',
  figuresOfList:
    'prices and life from the catalogue of generic parts (common practice, no source), running cost from watts, usual hours and your price of a kilowatt-hour; or what you put in their place',
  runningCost: 'Running cost a month',
  saving: 'Saving a month',
  life: 'Life',
  renewalPrice: 'Price of a new one',
  inUse: 'In use',
  inMonthOfBuying: 'in the month of buying',
  afterBuying: (months: string) => `${months} after buying`,
  notBefore: 'Not before',
  monthFixed: 'Month fixed by you',
  needsFirst: 'Needs first',
  choiceOfOne: 'Choice of one',
  saleOfOld: 'Sale of what it replaces',
  saleLater: (sum: string, months: string) => `${sum}, ${months} after it is in use`,
  objections: 'What every objection would cost',
  fittingSheet: 'The sheet to fit it by',
  removedEnclosure: 'an enclosure that was removed',
  noLongerThere: 'something no longer there',
  nothingAtAll: 'Nothing is wanted and nothing is proposed',
  nothingAtAllLead:
    'As far as it is known, the set-ups have no shortfall that a purchase of the catalogue would mend. Enter readings to be sure, or an upgrade of your own.',
  enterOwn: 'Enter an upgrade of your own',
  nothingYet: 'Nothing to propose yet',
  nothingYetLead:
    'Upgrades are proposed from the shortfalls of a set-up. Enter an enclosure and the animal that lives in it first.',
  enterEnclosure: 'Enter an enclosure',
  isWanted: 'Wanted: it enters the next plan.',
  isRefused: 'Refused: it enters no plan.',
  arrives: (day: string, month: string) => `Bought on ${day}, arrives in ${month}.`,
  toBeFitted: (day: string) => `Bought on ${day}, to be fitted.`,
  fitted: (day: string) => `Fitted on ${day}.`,
  forNoEnclosure: 'for no enclosure',
  fixedTo: 'fixed to',
  notBeforeShort: 'not before',
  lostWithBox: 'lost with the old box',
  priceToEnter: 'price to be entered',
  powerUnknown: 'cost of its power unknown',
  accept: 'Accept',
  changeFirst: 'Change it first',
  enterPrice: 'Enter its price',
  refuse: 'Refuse',
  change: 'Change',
  remove: 'Remove',
  markDone: 'Mark as done',
  markBought: 'Mark as bought',
  markFitted: 'Mark as fitted',
  fixMonth: 'Fix its month',
  fixOtherMonth: 'Fix another month',
  freeMonth: 'Free its month',
  notBought: 'Not bought',
  notBoughtAfterAll: 'Not bought after all',
  wantAgain: 'Want it again',
  readSince: 'read since',
  toBeRead: 'to be read',
  promisedLead:
    'What the set-up as it stands would give with it. It is kept when you mark it as fitted, and held against your readings.',
  notFitted: 'not fitted',
  differenceNote: 'Difference is measured less promised; the error is that of promise and instrument together.',
} as const;

/** What the form of an upgrade asks, offers and says. */
export const upgradeFormWords = {
  name: 'Name',
  priceLow: 'Price, low',
  priceHigh: 'Price, high',
  runningCost: 'Running cost a month',
  saving: 'Saving a month',
  lifeInMonths: 'Life in months',
  renewalPrice: 'Price of a new one',
  monthsUntilInUse: 'Months until it is in use',
  notBefore: 'Not before',
  choiceOfOne: 'Choice of one',
  saleOfOld: 'Sale of what it replaces',
  monthsUntilSale: 'Months until the sale',
  notes: 'Notes',
  changes: 'What it changes',
  nameHint: 'As you would find it in a shop, or what is to be done.',
  price: 'Price',
  priceLowHint: 'New, used or home-made, with delivery. 0 when it costs nothing.',
  priceHighHint: 'Plans stay payable at this price. Empty means the same as the low one.',
  proposedPriceHint: 'With a price it can be accepted as proposed. What it changes stands below.',
  runningCosts: 'Running costs and renewal',
  runningCostHint: 'Power and supplies it adds.',
  savingHint: 'What it saves instead.',
  delivery: 'Delivery',
  monthsUntilInUseHint: 'From buying: 0 when it is fitted in the same month.',
  monthHint: `Month and year, such as ${monthExamples}.`,
  needsAndExcludes: 'What it needs first, and what it excludes',
  needsThisFirst: 'Needs this first',
  andNeedsThisFirst: 'And needs this first',
  needsThisFirstOr: 'Needs this first, or one of the following',
  orThis: 'Or this',
  choiceOfOneHint:
    'Give upgrades of which only one makes sense the same word, such as “snake box”: a plan buys at most one of them.',
  saleHint: 'Be cautious: what you would surely get.',
  changesInSetUp: 'What it changes in the set-up',
  anotherChange: 'Another change',
  changesHint:
    'For several enclosures, add a change for each. What an upgrade is worth is found by scoring the changed set-up.',
  whatItNeedsFirst: 'what it needs first',
  theName: 'the name',
  theLowPrice: 'the low price',
  theHighPrice: 'the high price',
  theRunningCost: 'the running cost',
  theSaving: 'the saving',
  theLifeInMonths: 'the life in months',
  theRenewalPrice: 'the price of a new one',
  theMonthsUntilInUse: 'the months until it is in use',
  theEarliestMonth: 'the earliest month',
  theChoiceOfOne: 'the choice of one',
  theSale: 'the sale',
  theMonthsUntilSale: 'the months until the sale',
  theNotes: 'the notes',
  nothing: 'Nothing',
} as const;

/** What the form of a change asks, offers and says. */
export const changeFormWords = {
  nothingMore: 'Nothing more',
  changeOf: (place: number, what: string) => `Change ${place}: ${what}`,
  leaveOut: 'Leave this change out',
  leaveOutHint: 'When ticked, it is dropped as soon as the form is sent.',
  changeFault: (place: number, message: string) => `Change ${place}: ${message}`,
  fitOf: (thing: string) => `fit ${thing}`,
  nothingHere: 'Nothing entered here',
  asItIsNow: 'As it is now',
  inUnit: (unit: string) => `In ${unit} unless you write another unit.`,
  where: 'Where',
  chooseEnclosure: 'Choose an enclosure',
  whichThing: 'Which thing',
  chooseFitted: 'Choose what is fitted now',
  chooseWalls: 'Choose what the walls are of',
  chooseTop: 'Choose how it is closed above',
  chooseReading: 'Choose a reading',
  chooseCheck: 'Choose a check',
  hoursPerDay: 'Hours a day',
  emptyLeavesIt: (unit: string) => `${unit} Empty leaves it as it is.`,
  reach: 'Reach of the animal',
  isOutOfReach: 'Out of reach',
  withinReach: 'Within reach',
  insideLength: 'Inside length',
  insideDepth: 'Inside depth',
  insideHeight: 'Inside height',
  walls: 'Walls',
  top: 'Top',
  reading: 'Reading',
  valueWanted: 'Value it should have',
  estimateHint: 'An estimate for planning only: once it is fitted, an instrument must tell.',
  check: 'Check',
  passes: (share: string) => `As entered: passes ${share}`,
  ofThisUpgrade: (name: string) => `Of this upgrade: ${name}`,
  chooseMonth: 'Choose a month',
  nowhere: 'Nowhere in particular',
  distanceHint: (unit: string) =>
    `In ${unit} unless you write another unit; from the middle of the lamp to the back of the basking animal.`,
  dutyHint: 'Under a thermostat, of the hours it is switched on. Empty counts as always.',
  expectedReading: 'Reading it should bring about',
  otherExpectedReading: 'Another reading it should bring about',
  none: 'None',
  moves: 'It moves into the new box',
  staysBehind: 'It stays behind',
  theEnclosure: 'the enclosure',
  theFittedThing: 'the fitted thing',
  theHoursADay: 'the hours a day',
  theDistance: 'the distance',
  thePlace: 'the place',
  theReach: 'the reach',
  theInsideLength: 'the inside length',
  theInsideDepth: 'the inside depth',
  theInsideHeight: 'the inside height',
  theWalls: 'the walls',
  theTop: 'the top',
  theReading: 'the reading',
  theValue: 'the value',
  theCheck: 'the check',
  theName: 'the name',
  whatItRegulates: 'what it regulates',
  whatItGuards: 'what it guards',
  outOfReach: 'out of reach',
  theWatts: 'the watts',
  theShareOfTime: 'the share of the time',
  theRunLength: 'the length of the run',
  theRunDepth: 'the depth of the run',
  theRunFirstMonth: 'the first month of the run',
  theRunLastMonth: 'the last month of the run',
  theLifeInMonths: 'the life in months',
  theRenewalPrice: 'the price of a new one',
  whatHappensToIt: 'what happens when the box is replaced',
  kind: 'Kind',
  value: 'Value',
  whatIsBetween: 'what is between lamp and animal',
} as const;

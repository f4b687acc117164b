// The words of fitted things and boxes: of their forms, of fitting sheets, of promises held against readings, and of what fits into the space
// there is.

import { formatDate, type PlainDate } from '../src/calendar.ts';
import type { Fitting, Material } from '../src/collection.ts';
import type { Datum, ReadingTime, SheetCaution, SheetFact, SheetThing, ThermostatType } from '../src/fitting-sheet.ts';
import type { Load } from '../src/load.ts';
import type { Correction, Delivery, ShortfallCheck, WayBack } from '../src/promises.ts';
import type { Shortage, SuggestedBox } from '../src/space.ts';
import type { Standing } from '../src/species.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity } from '../src/units.ts';
import type { ColdestMonth } from '../src/warmth-year.ts';
import { cautions } from './caution-words.ts';
import { readingDimensions, readingNames } from './kind-words.ts';
import { listed, lowerFirst, monthCount, percent } from './words.ts';

/** How the air of a new box does in the coldest month of its room: nothing where all is well, or the reckoning cannot be made. */
export function coldBoxSentences(coldest: ColdestMonth, system: UnitSystem): string[] {
  if (coldest.status === 'unknown' || coldest.mostCelsius >= coldest.wantedCelsius) return [];
  const { neededWatts, heaterWatts, wantedCelsius, mostCelsius, roomCelsius } = coldest;
  const [wanted, most, room] = [wantedCelsius, mostCelsius, roomCelsius].map((one) =>
    formatQuantity(one, 'temperature', system),
  );
  return [
    `By the reckoning it will not be warm enough: with the room at ${room}, what heats it (${formatQuantity(heaterWatts, 'power', system)}) brings its air to ${most} at most, and ${wanted} is wanted, for which about ${formatQuantity(Math.ceil(neededWatts), 'power', system)} are needed. Plan a heater with its thermostat and guard before an animal moves in.`,
  ];
}

/** Whether a fitted thing is in use, and since when. */
export function useSentence(
  { fittedOn, retiredOn, brokenOn }: Pick<Fitting, 'fittedOn' | 'retiredOn' | 'brokenOn'>,
  locale: string,
): string {
  if (retiredOn !== null && brokenOn !== null) return `Broken since ${formatDate(brokenOn, locale)}.`;
  return retiredOn === null
    ? `In use since ${formatDate(fittedOn, locale)}.`
    : `Not in use since ${formatDate(retiredOn, locale)}.`;
}

/** How well a line of a sheet is founded, beside it; null is what was entered for the upgrade. */
export function foundedWords(standing: Standing | null): string {
  if (standing === null) return 'as entered';
  return {
    published: 'published',
    secondary: 'published, read in another text',
    'common-practice': 'common practice, no source',
    'from-memory': 'from memory',
    'own-source': 'your own entry',
  }[standing];
}

const thermostatTypes: Readonly<Record<ThermostatType, string>> = {
  switching: 'a switching (on-off) thermostat',
  pulse: 'a pulse thermostat',
  dimming: 'a dimming thermostat',
};

/** What happens to a thing of a sheet, as the heading of its lines. */
export function thingHeading({ what, name }: Pick<SheetThing, 'what' | 'name'>): string {
  return {
    fit: `Fit: ${name}`,
    move: `Move: ${name}`,
    renew: `Renew: ${name}`,
    'set-hours': `Set the hours of: ${name}`,
    retire: `Take out: ${name}`,
    'into-new-box': `Into the new box: ${name}`,
  }[what];
}

function datumWords({ from, belowMm }: Datum, system: UnitSystem): string {
  const start = from === 'tube-axis' ? 'the middle of the tube’s glass' : 'the face of the lamp';
  return belowMm === 0
    ? start
    : `a line ${formatQuantity(belowMm, 'length', system)} below ${start}, as its own distances were taken`;
}

/** One line of a sheet as a sentence that says what to do. */
export function sheetSentence(fact: SheetFact, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  switch (fact.line) {
    case 'distance':
      return `Hang it ${length(fact.distanceMm)} from the back of the basking animal, measured straight down from ${datumWords(fact.datum, system)}.`;
    case 'distance-unknown':
      return 'No distance is entered. Measure from the lamp to the back of the basking animal and enter it, or nothing can be said of what arrives there.';
    case 'too-near':
      return `${length(fact.distanceMm)} is very near: a place less than ${length(fact.leastMm)} under such a lamp does not serve for basking.`;
    case 'mesh':
      return `It shines through mesh or a grid that is taken to pass ${percent(fact.passes)} of its UV. Without it, or through a finer one, the distance has to change.`;
    case 'mesh-in-reading':
      return 'Its figures were read through the mesh it shines through, so keep that mesh where it is.';
    case 'between-unknown':
      return 'Nobody has looked yet what is between it and the animal, so nothing can be said of the UV that arrives. Look before it is fitted, and enter it.';
    case 'mesh-not-counted':
      return 'The top is mesh, but no mesh is counted between lamp and animal. Hang it inside, or enter what the mesh passes.';
    case 'no-glass':
      return 'Nothing of glass or plain acrylic comes between lamp and animal: both stop UV-B.';
    case 'dark-first':
      return 'Put cover in first, away from the lamp: nothing in the box is known to be dark, and with no shade to leave the light for its UV need would be severely short. A home-made hide of cardboard or cork at the cool end costs nothing; who lives in the damp or among leaves needs a bought hide or dense plants.';
    case 'shade':
      return 'Leave a solid hide or a shaded end where the animal can get out of the light altogether.';
    case 'look-again':
      return 'Look again whether the animal can reach it now, from every branch and ledge, and whether anything that burns has come near it.';
    case 'guarded':
      return fact.uvPasses === null
        ? `Put “${fact.by}” around it before it is switched on.`
        : `Put “${fact.by}” around it; it is taken to pass ${percent(fact.uvPasses)} of the UV.`;
    case 'guard-missing':
      return 'No guard is entered. Put one around it, or hang it where the animal cannot touch it.';
    case 'out-of-reach':
      return 'It hangs out of reach: look whether the animal can climb or jump to it from anything inside.';
    case 'above-mesh':
      return 'Hang it above the mesh and nowhere else: no guard comes with it, because there an animal of this kind is taken not to reach it. Hung inside it needs a guard first. The mesh below becomes hot: look whether the animal can get at that, and put a guard under it if so.';
    case 'reach-in-new-box':
      return 'First put a guard around it: that it was out of reach in the old box says nothing of this one. Only where the animal cannot come near it from any branch, ledge or wall may it do without.';
    case 'mat-and-wood':
      return 'Never put it under a wooden floor or between boards: wood lets little warmth through to the animal, and what stays in the mat can scorch it. Inside it lies flat on the floor or a wall, only if its papers allow that, under a thin cover that the animal cannot drag away; if they do not, another heater is needed.';
    case 'hang-anew':
      return `Fix its holder anew, to something of metal that carries it when hot and never by its cable, and as far from ${heatShy[fact.in]} as its papers ask. Where they ask for more than there is, use it elsewhere.`;
    case 'guards':
      return fact.uvPasses === null
        ? `It goes around “${fact.what}”, far enough away not to become hot itself.`
        : `It goes around “${fact.what}” and is taken to pass ${percent(fact.uvPasses)} of its UV.`;
    case 'thermostat': {
      const rating = fact.watts === null ? '' : ` rated for at least ${formatQuantity(fact.watts, 'power', system)}`;
      const type = `${thermostatTypes[fact.type]}${rating}`;
      return fact.by === null
        ? `No thermostat is entered for it. It takes ${type}; do not run it without.`
        : `It runs on “${fact.by}”: that must be ${type}.`;
    }
    case 'regulates': {
      const rating =
        fact.watts === null ? '' : ` and rated for at least ${formatQuantity(fact.watts, 'power', system)}`;
      return fact.type === null
        ? `It holds “${fact.what}”.`
        : `It holds “${fact.what}”, so it must be ${thermostatTypes[fact.type]}${rating}.`;
    }
    case 'contact-heater':
      return cautions.rockHeater;
    case 'probe':
      return fact.at === 'cool-end'
        ? 'Fix its probe in the air at the cool end, since it is the cool end that it holds. Read the warm end too: it becomes warmer with it.'
        : probeSentence(fact.heater);
    case 'drip-loop':
      return `There is water${fact.water.length === 0 ? '' : ` (${listed(fact.water.map((one) => `“${one}”`))})`}: let each cable hang in a loop below its socket, so that drops fall off before they reach it.`;
    case 'own-thermostat':
      return 'It has to carry a thermostat of its own. Set that to the middle of the target, and look the next day whether it held: one that carries none takes a separate one for water and is not run without.';
    case 'unplug-before-water':
      return 'Unplug it a quarter of an hour before every change of the water and before you reach in, and plug it in only when water covers it again: hot glass in the open cracks.';
    case 'splash':
      return 'It hangs over water: fix it so that it cannot fall in, by something other than its cable, out of the reach of splashes, which crack hot glass and carry the mains. Where it may get wet, use a fitting made for damp places.';
    case 'socket':
      return socketSentence(fact.outlet, fact.load);
    case 'socket-unknown':
      return 'No socket is entered for it. Find out what else hangs on the socket and its circuit, and enter it.';
    case 'settling':
      return `A new tube changes in its first ${fact.hours} hours. Read it on the first day so that it is not too strong, and let only a reading after these hours count.`;
    case 'hours':
      return `Set its timer to ${hours(fact.hoursPerDay)} a day.`;
    case 'renew':
      return `Write the date on it: it is renewed after ${monthCount(fact.months)}${fact.fades ? ', even if it still lights' : ''}.`;
  }
}

// What of a box a hot heater must keep away from, by what it is made of.
const heatShy: Readonly<Record<Material, string>> = {
  glass: 'the frame',
  wood: 'wood',
  pvc: 'plastic walls',
  acrylic: 'plastic walls',
  mesh: 'frame and cloth',
  other: 'walls and top',
};

function hours(count: number): string {
  return count === 1 ? '1 hour' : `${count} hours`;
}

function probeSentence(heater: SheetThing['kind']): string {
  switch (heater) {
    case 'heat-mat':
      return 'Fix its probe on the floor of the warm hide right above the mat, under no more substrate than the animal lies on, so that it cannot be dragged away.';
    case 'water-heater':
      return 'Its probe hangs in the water away from the heater, and the heater itself stays covered by water.';
    case 'basking-lamp':
      return 'Fix its probe beside the basking place at the height of the animal’s back, in the edge of the beam.';
    case 'radiant-panel':
      return 'Fix its probe under the panel at the height of the animal’s back.';
    default:
      return 'Fix its probe in the air at the warm end, at the height of the animal and out of the direct beam.';
  }
}

function socketSentence(outlet: string, load: Load): string {
  const draws = `With everything on, “${outlet}” carries ${Math.round(load.watts)} W, ${load.amps.toFixed(1)} A of the ${load.limitAmps.toFixed(1)} A it may carry for hours`;
  const unknown = load.reasons.flatMap((one) =>
    one.why === 'watts-unknown' ? one.things.map((thing) => thing.name) : [],
  );
  const missing = unknown.length === 0 ? '' : ` The watts of ${listed(unknown.map((one) => `“${one}”`))} are unknown.`;
  const others = ' What else hangs on the same circuit is not known here.';
  if (load.reasons.some((one) => one.why === 'over-the-limit'))
    return `${draws}: that is over the limit. Plug it in elsewhere.${missing}${others}`;
  if (load.reasons.some((one) => one.why === 'near-the-limit'))
    return `${draws}: that is close to the limit.${missing}${others}`;
  return `${draws}.${missing}${others}`;
}

/** When a reading is taken. */
export const readingTimeWords: Readonly<Record<ReadingTime, string>> = {
  midday: 'at midday, when the lamps have been on for an hour or more',
  'hours-on': 'after the heat has been on for some hours, and again before the lights come on',
  'hottest-hour': 'at the hottest hour of the afternoon',
  'before-lights': 'in the morning, before the lights come on',
  afternoon: 'in the afternoon',
  'next-day': 'a day after it was set up',
  once: 'once it is filled',
};

export const sheetCautions: Readonly<Record<SheetCaution, string>> = {
  mains: cautions.mainsAndWater,
  burns: cautions.burns,
  fire: 'Hot lamps and heaters set fire to what touches them. Keep curtains, paper, dry plants and cables away, fix them so that they cannot fall, and have a smoke alarm in the room.',
  'uv-eyes': cautions.uvAndEyes,
  electrician:
    'Your local code decides what may be wired and how. Ask a qualified electrician whenever you are in doubt.',
  vet: 'Ask a reptile vet when the animal eats less, keeps its eyes closed or behaves unlike itself after the change.',
  'never-safe': cautions.unknowable,
};

/** What to do before and after an animal gets UV for the first time. */
export function firstUvSentence(animals: readonly string[], fullHours: { low: number; high: number } | null): string {
  const full =
    fullHours === null
      ? 'the hours its species is given'
      : fullHours.low === fullHours.high
        ? `${fullHours.low} hours a day`
        : `${fullHours.low} to ${fullHours.high} hours a day`;
  return `As far as the ledger knows, ${listed(animals)} had no UV before. Begin with an hour or two a day and lengthen that over two weeks or so to ${full}. Ask your vet about the D3 supplement: with UV it may have to become less.`;
}

export const trialSentence =
  'Run everything for 24 to 48 hours without the animal, day and night, and read the instruments before the animal goes in.';

export const checkWords: Readonly<Record<ShortfallCheck, string>> = {
  settling: 'Has the new tube burnt for 100 hours? Read it again then.',
  distance: 'Measure the distance from lamp to animal again.',
  mesh: 'Hold the meter above and below the mesh: does it pass what was entered?',
  datum: 'From where was the distance measured: the middle of the tube, its fitting or the mesh?',
  guard: 'Read with and without the guard: it may take more than is assumed.',
  probe: 'Is the probe where it belongs, and fixed?',
  meter: 'Is the instrument the right one, pointed right, and when was it last compared with another?',
  age: 'How old is it? Lamps fade while they still light.',
  room: 'Was the room much warmer, colder, drier or damper than usual?',
  vents: 'Are the vents and the top as they were when it was planned?',
};

/** How a promise stands: met, missed on a side, not read yet, or overtaken. */
export function deliveryWords(delivery: Delivery, day: (date: PlainDate) => string): string {
  switch (delivery.status) {
    case 'awaiting':
      return 'not read yet';
    case 'overtaken':
      return `something that touches it changed on ${day(delivery.on)}, before it was read`;
    case 'read': {
      const early = delivery.settled ? '' : '; the tube was still new, read it again after 100 hours';
      if (delivery.within) return `within the error${early}`;
      return `${delivery.difference < 0 ? 'below' : 'above'} what was promised by more than the error${early}`;
    }
  }
}

/** What the keeper's own readings say of promises so far; empty when nothing was compared. */
export function correctionSentences({ uv, temperatures }: Correction, system: UnitSystem): string[] {
  const count = (from: number, what: string) => `${from} compared ${what}${from === 1 ? '' : 's'}`;
  const sentences = [];
  if (uv !== null) {
    sentences.push(
      `Your lamps so far gave ${uv.factor.toFixed(2)} of what the light model says (${count(uv.from, 'reading')}); what it expects of lamps without a reading of their own is taken times ${uv.shrunk.toFixed(2)} ± ${percent(uv.error)}, in scores and plans too.`,
    );
  }
  for (const [kind, shift] of Object.entries(temperatures)) {
    const [mean, shrunk] = [shift.mean, shift.shrunk].map((celsius) => degreesApart(celsius, system));
    sentences.push(
      `${readingNames[kind as keyof typeof readingNames]}: your thermostats so far held ${mean} against what was promised (${count(shift.from, 'reading')}); next promises would be ${shrunk}; scores and plans use none of this, since warmth is measured.`,
    );
  }
  if (sentences.length > 0)
    sentences.push('Few readings count little: of n the share n / (n + 2) is believed, a choice of this ledger.');
  return sentences;
}

function degreesApart(celsius: number, system: UnitSystem): string {
  const apart = formatQuantity(Math.abs(celsius), 'temperature-difference', system);
  return `${apart} ${celsius < 0 ? 'lower' : 'higher'}`;
}

/** A reading less another, or an error of one, with its sign where it has one: a difference of temperatures is no temperature. */
export function differenceWords(
  value: number,
  kind: keyof typeof readingNames,
  system: UnitSystem,
  signed: boolean,
): string {
  const dimension = readingDimensions[kind];
  const size = formatQuantity(
    Math.abs(value),
    dimension === 'temperature' ? 'temperature-difference' : dimension,
    system,
  );
  return signed ? `${value < 0 ? '−' : '+'}${size}` : `± ${size}`;
}

/** A size as a rule asks for it, without what it does not ask for: '130 cm long, 65 cm deep'. */
export function sizeWords({ lengthMm, depthMm, heightMm }: SuggestedBox, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  return [
    `${length(lengthMm)} long`,
    ...(depthMm === null ? [] : [`${length(depthMm)} deep`]),
    ...(heightMm === null ? [] : [`${length(heightMm)} high`]),
  ].join(', ');
}

/** By how much a space falls short, in each of its directions. */
export function shortageWords(shortages: readonly Shortage[], system: UnitSystem): string {
  const names = { length: 'in length', depth: 'in depth', height: 'in height' };
  return listed(
    shortages.map(({ dimension, byMm }) => `${formatQuantity(byMm, 'length', system)} ${names[dimension]}`),
  );
}

/** The readings an upgrade waits for, as its state. */
export function awaitingWords(kinds: readonly (keyof typeof readingNames)[]): string {
  return kinds.length === 0
    ? ''
    : `Fitted, awaiting readings: ${listed([...new Set(kinds.map((kind) => lowerFirst(readingNames[kind])))])}.`;
}

/** What is said of the last day on which a purchase can go back. */
export const wayBackWords = {
  label: 'Last day it can go back',
  hint: 'Only if the seller takes it back; on the receipt, or asked for. Leave it empty when you do not know.',
  lead: 'It is shown beside what to read and to check, since what falls short can still go back until then.',
  question: (name: string) => `Until when can “${name}” go back?`,
  beforeBought: 'The last day it can go back cannot be before the day it was bought. Correct one of the two.',
  change: (isKnown: boolean) => (isKnown ? 'Correct until when it can go back' : 'Say until when it can go back'),
} as const;

/** Until when a purchase can go back, as its state on a day. */
export function wayBackSentence(wayBack: WayBack, returnBy: string): string {
  switch (wayBack.status) {
    case 'over':
      return `It could go back until ${returnBy}; that is over.`;
    case 'open':
      return `It can go back until ${returnBy}.`;
    case 'closing':
      return `It can go back until ${returnBy}, which is ${wayBack.daysLeft === 0 ? 'today' : wayBack.daysLeft === 1 ? 'tomorrow' : `in ${wayBack.daysLeft} days`}, and what it promised is not all read yet.`;
  }
}

/** What the forms of a fitted thing ask, offer and say: names of fields, what they are called in a mistake, hints and buttons. */
export const fittingFormWords = {
  name: 'Name',
  fittedOn: 'In use since',
  lifeMonths: 'Life in months',
  renewalPrice: 'Price of a new one',
  watts: 'Watts',
  hoursPerDay: 'Hours a day',
  duty: 'Share of the time it is on',
  place: 'Place',
  regulates: 'Regulates',
  guards: 'Guards',
  outOfReach: 'Out of reach of the animal',
  distance: 'Distance from the lamp to the animal’s back at the basking place',
  mesh: 'Between lamp and animal',
  runLength: 'Length of the run',
  runDepth: 'Depth of the run',
  runFrom: 'Used from',
  runTo: 'Used until',
  shade: 'It always has shade',
  whenBoxReplaced: 'When the box is replaced',
  notInUseSince: 'Not in use since',
  switches: 'Switches',
  whatIsFitted: (enclosure: string) => `What is fitted in “${enclosure}”?`,
  chooseKind: 'Choose the kind; each has questions of its own.',
  theName: 'the name',
  theDayFitted: 'the day it was fitted',
  theLife: 'the life in months',
  theRenewalPrice: 'the price of a new one',
  theWatts: 'the watts',
  theHours: 'the hours a day',
  theShare: 'the share of the time',
  thePlace: 'the place',
  whatItRegulates: 'what it regulates',
  whatItGuards: 'what it guards',
  whetherOutOfReach: 'whether it is out of reach',
  theDistance: 'the distance to the basking place',
  whatIsBetween: 'what is between lamp and animal',
  theRunLength: 'the length of the run',
  theRunDepth: 'the depth of the run',
  theFirstMonth: 'the first month',
  theLastMonth: 'the last month',
  whetherShade: 'whether it has shade',
  whatHappensToIt: 'what happens when the box is replaced',
  whetherMoved: 'whether it was moved',
  theDayMoved: 'the day it was moved',
  theDayRetired: 'the day it was retired',
  fittedIn: (enclosure: string, kind: string) => `Fitted in “${enclosure}”: ${kind}`,
  change: (name: string) => `Change “${name}”`,
  nameWithWatts: 'By what it does and its size, such as “T5 UV-B tube, 24 W”.',
  nameAmongAlike: 'As you would tell it from another of its kind, such as “Cork tube, 40 cm”.',
  fittedOnNew:
    'For something renewed, the day of the newest one. The month is enough: take its first day. Leave it empty if you do not know: it then counts as in use for a year.',
  fittedOnCorrected:
    'To correct the day. When a new one was paid for, use “Renewed” on the page of the enclosure: then its price leaves the cash.',
  wear: 'Wear',
  lifeHint: 'How long it does its job, by its maker or your experience. Leave it empty if it does not wear out.',
  moves: 'It moves into the new box',
  staysBehind: 'It stays behind',
  staysBehindWhy: 'Because it is built in, or was cut to fit.',
  backIntoUse: 'Empty it to take the thing back into use.',
  enter: 'Enter this',
  save: 'Save',
  nothingHere: 'Nothing entered here',
  chooseMonth: 'Choose a month',
  nowhere: 'Nowhere in particular',
  chooseBetween: 'Choose what is between',
  passes: (share: string) => `As entered: passes ${share}`,
  distanceHint: (unit: string) =>
    `In ${unit} unless you write another unit; from the middle of the lamp to the back of the basking animal.`,
  wasMoved: 'Was it moved?',
  onlyCorrected: 'No, I only correct what was entered',
  yes: 'Yes',
  movedHint: 'What it influences then counts as an estimate until it is read again.',
  movedOn: 'If so, on which day?',
  worksOn: 'What it works on',
  itsOutput: 'Its output',
  moreAboutLamp: 'More about this lamp',
  whereItIs: 'Where it is',
  itsCurrent: 'Its current',
  hoursHint: 'How long it is switched on. Leave it empty if you do not know.',
  dutyHint: 'Under a thermostat, of the hours it is switched on. Empty counts as always.',
  theRun: 'The run',
  inUnit: (unit: string) => `In ${unit} unless you write another unit.`,
  shadeHint: 'Without shade within reach at every hour the run is not counted: sun alone overheats.',
  remove: (name: string) => `Remove “${name}”?`,
  removeOrRetire:
    'Remove it only if it was entered by mistake: then it counts as never fitted. If it was used and is used no longer, retire it instead.',
  putBackFrom: 'It can be put back from the page of its enclosure.',
  removeMistake: 'Remove: it was entered by mistake',
  theDay: 'the day',
  retire: (name: string) => `Retire “${name}”?`,
  retireMeans:
    'From that day on it no longer counts, nor does what was read while it was in use and hangs on it. Once a heater is out, read on a later day: what is read on that day counts as still warmed by it.',
  retireIt: 'Retire it',
  whetherThereIsOne: 'whether there is one',
  whatFound: 'What did you find?',
  heldByThermostat: 'A thermostat holds it',
  noneThere: 'There is none',
  notKnownYet: 'I do not know yet',
  writeDown: 'Write it down',
  theSumPaid: 'the sum paid',
  renewedMeans:
    'A new one of the same kind is in its place: its life begins anew. What was read before and hangs on it becomes an estimate.',
  renewedOn: 'Renewed on',
  paid: 'Paid',
  renewed: 'Renewed',
  writeDownRenewed: 'Write it down as renewed',
} as const;

/** What the forms of an enclosure ask, offer and say. */
export const enclosureFormWords = {
  name: 'Name',
  insideLength: 'Inside length',
  insideDepth: 'Inside depth',
  insideHeight: 'Inside height',
  walls: 'Walls',
  top: 'Top',
  notes: 'Notes',
  allEnclosures: 'All enclosures',
  theDay: 'the day',
  inUnit: (unit: string) => `In ${unit} unless you write another unit, such as 1.2 m or 4 ft.`,
  boxSince: 'Set up in this form and place since',
  boxSinceHint:
    'Readings from before this day do not count. If you do not remember, a day before your first reading will do.',
  wasReplaced: 'Was the box replaced, moved or resized?',
  onlyCorrected: 'No, I only correct what was entered',
  yes: 'Yes',
  replacedHint:
    'Every reading taken before that day then stops counting, because it was taken in another box. Retire the things that stayed behind.',
  replacedOn: 'If so, on which day?',
  enterEnclosure: 'Enter an enclosure',
  change: (name: string) => `Change “${name}”`,
  nameHint: 'As you call it, such as “Top shelf”.',
  insideMeasures: 'Inside measures',
  heightHint: 'From the top of the substrate to the lid.',
  box: 'The box',
  enterThisEnclosure: 'Enter this enclosure',
  save: 'Save',
  remove: (name: string) => `Remove “${name}”?`,
  putBackFrom: 'It can be put back at any time from the list of enclosures.',
  contentsKept: (contents: number) =>
    `What is fitted in it (${contents}), its readings and its answers are kept and come back with it.`,
  removeThisEnclosure: 'Remove this enclosure',
  theName: 'the name',
  theInsideLength: 'the inside length',
  theInsideDepth: 'the inside depth',
  theInsideHeight: 'the inside height',
  theWalls: 'the walls',
  theTop: 'the top',
  theNotes: 'the notes',
  whetherReplaced: 'whether the box was replaced, moved or resized',
} as const;

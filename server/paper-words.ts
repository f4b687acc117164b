// The sentences of what leaves the screen on paper: the shopping list, the sheet of the month, the case, the sheet for the vet and the
// cards of species.

import type { Emergency, EmergencyStep, GivesWay } from '../src/emergency.ts';
import type { Fate } from '../src/hand-downs.ts';
import type { ArrivalCheck, BuyingCaution, MeasureBefore } from '../src/shopping.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSize } from '../src/units.ts';
import { cautions } from './caution-words.ts';
import { listed } from './words.ts';

/** Words of the shopping list around its lines. */
export const shoppingWords = {
  order: 'What ends a severe shortfall stands first: buy it first, should the money not reach for all.',
  need: (need: string, animal: string) => `${need} of ${animal}`,
  first: (what: string) => `First: it ends a severe shortfall in ${what}.`,
  mostFor: (sum: string) =>
    `The most you may pay for it is ${sum}, if the rest costs what is planned; more would be missing for what is planned later, or break into the floor.`,
  most: (sum: string) => `The most you may pay for all of it is ${sum}.`,
  heading: (month: string) => `Shopping list for ${month}`,
  lead: 'Measure at home first, then buy; look at each thing before you pay or before it is fitted. Nothing of it is fitted by buying it.',
  founded:
    'What to measure and what to look at is common practice, no source. Sizes, watts and prices are as entered or from the catalogue of generic parts.',
  nothingPlanned: 'Nothing is to be bought this month.',
  noPlan: 'There is no plan for this month yet, so nothing is on the list but what is on the way.',
  stale: 'The plan was made before the last change to the ledger. Plan again before you buy.',
  total: (low: string, high: string) =>
    low === high ? `All together ${high}.` : `All together ${low} to ${high}; the plan keeps the higher sum ready.`,
  perhapsMore: 'A renewal without a price is not in the sum.',
  onTheWay: 'On the way',
  arrives: (month: string | null) => (month === null ? 'No month of arrival was entered.' : `Expected in ${month}.`),
  renewal: (day: string, overdue: boolean) =>
    overdue ? `A new one was due on ${day}.` : `A new one falls due on ${day}.`,
  unpriced: 'price not entered',
  priceFor: (price: string, where: string) => (where === '' ? price : `${price}, for ${where}`),
  paid: (sum: string) => `paid ${sum}`,
  span: (low: string, high: string) => `${low} to ${high}`,
  back: 'All of this month',
  belongs: (names: string) => `Belongs to it: ${names}.`,
  insideSize: (size: string) => `Inside ${size}.`,
} as const;

/** What to measure at home, as a sentence with its sizes. */
export function measureSentence(one: MeasureBefore, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const power = (watts: number | null) =>
    watts === null ? 'the watts of the lamp' : formatQuantity(watts, 'power', system);
  switch (one.measure) {
    case 'tube-in-box':
      return `Measure the inside length of the box where the tube will hang (${length(one.insideMm)} is entered). ${
        one.litMm === null
          ? 'The fitting is longer than the tube: ask for its whole length.'
          : `The tube is lit over ${length(one.litMm)}; with caps and fitting it is longer: ask for the whole length.`
      }`;
    case 'hanging-room':
      return one.distanceMm === null
        ? `Measure from where it will hang down to the basking animal’s back, and keep the figure: it decides how near the lamp can come (the inside height is ${length(one.insideMm)}).`
        : `Measure that there are ${length(one.distanceMm)} from the lamp to the basking animal’s back, and room above it for the lamp itself: the inside height is ${length(one.insideMm)}.`;
    case 'mesh-hole':
      return 'Measure a hole of the mesh and its wire with a ruler: a finer mesh holds back more UV, and the distance has to change.';
    case 'lamp-socket':
      return `Where it goes into a holder that you have, read the type of cap and the most watts off that; where it comes with its fitting, read them off the fitting: it has to take ${power(one.watts)}. A lamp that runs hot takes a ceramic holder.`;
    case 'tube-socket':
      return `Read the type, watts and length off the old tube or its fitting: fitting and tube are made for one another (${power(one.watts)}).`;
    case 'cable':
      return 'Measure the way of the cable to its socket, with a loop that hangs below the socket; no lead across a walkway, none through a door of the box.';
    case 'free-socket':
      return `Count the free sockets, and add up what the lead already carries.${one.water ? ' There is water: the socket needs a residual-current device.' : ''}`;
    case 'thermostat-watts':
      return `Read the watts off what it will regulate${one.heater === null ? '' : ` (${one.heater})`}: it has to be rated for at least ${one.watts === null ? 'that' : formatQuantity(one.watts, 'power', system)}. Measure the way of the probe.`;
    case 'guard-size':
      return `Measure the width and depth of ${one.around === null ? 'what it goes around' : `“${one.around}”`}: the guard must not touch it anywhere, and the animal must not fit through.`;
    case 'mat-on-floor':
      return `Measure the free floor at the warm end: inside it is ${length(one.insideLengthMm)} by ${length(one.insideDepthMm)}, and at least two thirds of the floor stay unheated (common practice).`;
    case 'hide-size':
      return `${
        one.animals.length === 0
          ? 'Measure who is to use it'
          : listed(
              one.animals.map(({ name, lengthMm }) =>
                lengthMm === null ? `${name} was never measured` : `${name} is ${length(lengthMm)} long`,
              ),
            )
      }. Measure the free place for it; inside the box is ${length(one.insideLengthMm)} long.`;
    case 'layer-volume':
      return `Length times depth times the height of the layer is what is needed: the floor is ${length(one.insideLengthMm)} by ${length(one.insideDepthMm)}.`;
    case 'water-volume':
      return 'Measure length, width and depth of the water: the device has to suit that volume.';
    case 'outdoor-place':
      return `Measure the place in the open: ${length(one.lengthMm)} by ${length(one.depthMm)}, with sun and shade through the day.`;
    case 'box-place': {
      const { lengthMm, depthMm, heightMm } = one.most;
      const known = [
        ...(lengthMm === null ? [] : [`${length(lengthMm)} long`]),
        ...(depthMm === null ? [] : [`${length(depthMm)} deep`]),
        ...(heightMm === null ? [] : [`${length(heightMm)} high`]),
      ];
      return `Measure the place where it will stand, and ask for the outside size, which is more than the inside.${known.length === 0 ? ' No limit of that place is entered.' : ` Entered as the most: ${listed(known)}.`}`;
    }
    case 'way-in':
      return `Measure doors, stairs and turns on the way: it is more than ${formatSize(one.lengthMm, one.depthMm, one.heightMm, system)} outside.`;
    case 'what-it-carries':
      return 'Find out what the shelf or floor carries: the box with its soil, water and stones weighs far more than empty.';
  }
}

/** What to look at when it arrives. */
export const arrivalSentences: Readonly<Record<ArrivalCheck, string>> = {
  'as-ordered': 'It is what was ordered: kind, size, watts, number.',
  'inside-size': 'Measure the inside before anything is put in.',
  'doors-and-vents': 'Doors, locks and vents are there and close; nothing that holds a lamp is loose.',
  'lamp-intact': 'The lamp is whole: glass, caps and pins, nothing rattles.',
  'lamp-print': 'The print on the lamp names what was ordered; write the date of first use on it.',
  'rating-plate': 'A rating plate gives volts, watts and the maker; the volts are those of your mains.',
  'market-mark': 'It carries the mark your country asks for on electrical goods.',
  'plug-and-cable': 'Plug, cable and strain relief are whole and of your country’s kind.',
  'damp-rating': 'The plate or papers say that it may be used in damp places.',
  'thermostat-type': 'The papers say how it regulates (switching, pulse or dimming) and up to how many watts.',
  edges: 'Run a finger round it: no sharp edge, no gap an animal gets stuck in, nothing loose to fall.',
  untreated: 'Nothing is painted, perfumed or treated, and it does not smell of solvents.',
  'keep-proof': 'Keep receipt and packing until the readings are in, and write down until when it can go back.',
};

/** Cautions of buying, those of use as everywhere. */
export const buyingCautions: Readonly<Record<BuyingCaution, string>> = {
  'used-tube':
    'Do not buy a UV lamp used: it may light and give hardly any UV, and nobody can tell its hours. If you do, it counts for nothing until your meter has read it.',
  'used-mains':
    'Do not buy mains equipment without a rating plate, or with a mended cable. Used equipment is looked at by a qualified electrician before it is plugged in.',
  mains: cautions.mainsAndWater,
  burns: cautions.burns,
  'uv-eyes': cautions.uvAndEyes,
};

/** Words of the sheet of the month, which goes from what costs nothing to what is bought. */
export const monthWords = {
  heading: (month: string) => `${month}, in order: free, borrow, hand down, buy`,
  lead: 'Begin at the top. What costs nothing comes first, and what a meter shows may make a purchase needless.',
  free: 'Free: do these first',
  coolFirst: 'Before anything else.',
  doneThisMonth: 'Done this month',
  doneOn: (day: string) => `Done on ${day}.`,
  lookAtIt: 'Look at it',
  noFree: 'Nothing free is planned or proposed.',
  proposedFree: 'Proposed and not on your list yet.',
  acceptThem: 'Look at it among the proposals',
  borrow: 'Borrow: read before you buy',
  noBorrow: 'No reading that is missing needs a meter you do not have.',
  borrowWhy: (readings: string, boxes: string) => `Reads what is unknown: ${readings}, in ${boxes}.`,
  borrowHint: 'Ask a society, a vet or another keeper; a few days are enough.',
  weekend: 'The shortest list of readings for a weekend',
  handDown: 'Hand down: use again what an upgrade frees',
  noHandDown: 'Nothing that is replaced this month goes to another animal.',
  buy: 'Buy',
  noBuy: 'Nothing is to be bought this month.',
  fit: 'Fit what is here',
  renew: 'Renew',
  goBack: 'Can still go back',
  whatToCheck: 'What to read and check',
  done: 'Done',
  shopping: 'The shopping list: what to measure before, what to look at after',
} as const;

/** What becomes of a thing that was replaced. */
export const fateWords: Readonly<Record<Exclude<Fate, 'undecided'>, string>> = {
  stays: 'stays in use in its own box',
  'handed-down': 'goes to other animals of yours',
  sold: 'is sold',
  spare: 'is kept as a spare',
  quarantine: 'is kept as a quarantine box',
  recycled: 'is thrown away, by way of recycling',
};

/** Words of the question what becomes of what an upgrade replaces. */
export const oldThingWords = {
  heading: 'What becomes of what it replaces',
  givenAway: 'is given away',
  question: (name: string) => `What becomes of: ${name}?`,
  boxNamed: (name: string) => `the box of “${name}”`,
  undecided: 'Not said yet.',
  ask: 'Say what becomes of it',
  askAgain: 'Change this',
  idea: (place: string, raised: string) => `It would help in ${place}: ${raised}.`,
  raises: (need: string, animal: string, from: number, to: number) => `${need} of ${animal} from ${from} to ${to}`,
  noIdea:
    'No place was found where it would answer a shortfall by itself. Lamps and heaters are not proposed: a meter, a thermostat and a guard come first.',
  toHint: 'It becomes an upgrade at no cost that comes after this one.',
  amountHint:
    'Enter the least you would expect. It comes in a month after the new one is in use, and enters the plan so.',
  whereTo: 'Choose the enclosure it goes to.',
  howMuch: 'Enter the sum, or choose that it is given away.',
  settled:
    'It was already fitted or paid there. Change that first: take the thing out where it is, or change the sum on the page of money.',
  notFreed: 'This upgrade does not replace such a thing.',
  handDownName: (name: string) => `Hand down: ${name}`,
  saleNote: (name: string) => `Sale: ${name}`,
  cleanBox: 'Empty, clean and disinfect it before another animal moves in, and air it until nothing smells.',
  cleanThing:
    'Clean and disinfect it before another animal meets it; what soaks things up, such as wood, is better not handed on.',
  usedTube:
    'A used UV lamp may light and give hardly any UV. In another box it counts for nothing until your meter has read it there; do not sell one.',
  usedMains: 'Sell or hand on nothing without its rating plate, or with a damaged cable.',
  avoided: (count: number, sum: string | null) =>
    `${count === 1 ? 'One replaced thing goes' : `${count} replaced things go`} on in use instead of being thrown away${sum === null ? '' : `, which spares at least ${sum} of new ones`}.`,
  expected: (sum: string) => `Sales should bring ${sum}.`,
  waiting: (name: string, upgrade: string) => `${name}, replaced by “${upgrade}”`,
  renewed: (name: string, day: string) => `${name}, renewed on ${day}`,
  pastUse:
    'It is past its life or broken, so it is not handed on. Lamps and anything with a plug or a battery go where old electrical things are taken back.',
  list: {
    heading: 'Replaced things',
    lead: 'What was replaced by an upgrade or renewed, and what becomes of it. Used again, it spares a purchase.',
    open: 'Not said yet',
    said: 'Said',
    none: 'Nothing was replaced yet.',
    back: 'What wears out and when',
  },
} as const;

/** How the two emergencies are called. */
export const emergencyNames: Readonly<Record<Emergency, string>> = {
  'power-cut': 'The power is out',
  'heat-wave': 'A heat wave',
};

/** What gives way and how soon; common practice, no source. */
export const givesWayWords: Readonly<Record<GivesWay, string>> = {
  filter:
    'Filter and moving water stop at once; after some hours the water holds too little oxygen and the filter begins to die.',
  'hot-spot': 'The basking place and the heated floor are cold within the hour.',
  'air-warmth': 'The box falls towards the room over some hours; a small box of glass or mesh first.',
  'water-warmth': 'The water cools more slowly than the air, over many hours.',
  damp: 'Without misting the box dries over a day; mist by hand.',
  uv: 'UV is no worry for some days.',
  'cool-end': 'The cool end goes first: when the room is as warm as the warm end there is nowhere to go.',
  'cool-water': 'Water warms through and then holds less oxygen.',
  'night-cooling': 'The night brings no cooling any more, so heat adds up from day to day.',
  'damp-by-heat': 'Moving, warm air dries damp hides and skin.',
};

/** What to do, in order; common practice, no source. */
export const emergencySteps: Readonly<Record<EmergencyStep, string>> = {
  'note-time': 'Write down the hour, the room and what the thermometer in the box reads; again every hour.',
  'unplug-heaters': 'Unplug heaters and lamps, so that nothing comes back on unseen or under a cover.',
  'lamps-off': 'Switch off heat lamps and heaters first, then every lamp; leave the room’s daylight.',
  'keep-shut': 'Keep the box shut and handle nobody: every opening lets warmth and damp out.',
  'cover-box': 'When every lamp is unplugged and cold: blankets round the sides and over the top, the vents left free.',
  'warm-bottles':
    'Closed bottles of hand-warm water, wrapped in a towel, outside the box or where the animal can move away.',
  'stay-cool':
    'Do not warm it by hand: a few hours at room temperature harm it less than a bottle that is too warm. When the air comes near a critical limit below, carry the box to a warmer room. Mist with water of room temperature.',
  'in-rest':
    'In winter rest: none of the warming that follows. Leave the box shut where it rests and read its thermometer; near freezing carry it to a cool room without frost. If it stays above about 10 °C or the animal stirs, ask the vet (from memory, check before relying on it).',
  'warm-room':
    'Bring boxes into the warmest room, away from windows; small animals together only in boxes of their own.',
  'no-flame': 'No candles, gas or charcoal to warm a room or a box: fire, and fumes that kill people too.',
  'stir-water':
    'Move the water by hand every quarter of an hour: scoop it up and pour it back from above. Keep the filter’s sponge wet.',
  'no-food': 'Do not feed until temperatures are right again.',
  'coolest-room':
    'Carry the box, or the animal in a ventilated carrier, to the coolest room, low and away from windows. Never leave it in a car.',
  'shade-windows': 'Shade windows from outside by day; open them when it is cooler outside than inside.',
  'move-air': 'Move air past the box, never at the animal.',
  'wet-cloth':
    'A wet cloth over part of a mesh top, none of it on or above lamps and sockets; look that the box does not become close.',
  'cold-bottles': 'Bottles of cold water, wrapped in a towel, at one end, so that there is a cooler place to choose.',
  'fresh-water': 'Fresh water, deep enough to lie in where the animal does so and can leave by itself.',
  'change-water':
    'Change a small part of the water every hour for cooler water; not more than a few degrees at a time.',
  'bring-in': 'Bring animals in from outdoor runs before noon, or give deep shade and damp ground.',
  'no-ice': 'No ice and no cold bath on a hot animal: cool slowly.',
  watch: 'Look every hour. Gaping, limp or not moving, or a critical limit passed: do not wait.',
  'call-vet': 'Ring the reptile vet before you drive, and say the readings and the hours.',
  'back-on':
    'Afterwards: one thing at a time, each with its thermostat and timer; set the clocks; read the box before feeding.',
};

/** Words of the cards for emergencies. */
export const cardWords = {
  heading: (species: string) => `${species}: power cut and heat wave`,
  lead: 'To print and to hang beside the enclosure. It buys nothing and promises nothing.',
  first: 'What gives way first',
  limits: 'Limits, critical ones first',
  steps: 'What to do, in this order',
  below: (what: string, value: string) => `${what}: not below ${value}`,
  above: (what: string, value: string) => `${what}: not above ${value}`,
  anywhere: 'Anywhere in the box',
  critical: 'critical',
  noLimits: 'No temperature target is in the library, so no limit can be given. Ask a vet beforehand.',
  founded:
    'Critical is where the score calls it severely short, or where a source sets the limit; the others are the ends of the usual bands of adults, where it only begins to be too cool or too warm. Each stands with its grade. What gives way and what to do are common practice, no source. Young, ill or resting animals have others: ask your vet.',
  vet: 'Reptile vet, by day:',
  night: 'By night:',
  kept: (names: string) => `Kept here: ${names}.`,
} as const;

/** Words of the sheet for the vet. */
export const vetWords = {
  heading: (name: string) => `For the vet: ${name}`,
  lead: (day: string) =>
    `From the keeper’s ledger on ${day}. Readings are of the enclosure, not of the animal; nothing here is a finding.`,
  animal: 'The animal',
  readings: 'Readings',
  weights: 'Weights',
  noWeights: 'No weight is entered.',
  signs: 'What was noted, open and lately',
  noSigns: 'Nothing was noted.',
  changes: (day: string | null) =>
    day === null
      ? 'Changed in the last 12 months (no visit to a vet is entered)'
      : `Changed since the last visit on ${day}`,
  noChanges: 'Nothing was changed.',
  box: 'The box was set up, moved or replaced.',
  fitted: (thing: string) => `Fitted: ${thing}.`,
  moved: (thing: string) => `Moved: ${thing}.`,
  takenOut: (thing: string) => `Taken out: ${thing}.`,
  broke: (thing: string) => `Broke: ${thing}.`,
  fittedNow: 'Fitted now',
  noEnclosure: 'It lives in no enclosure of this ledger.',
  unread: 'not read',
  noTarget: 'no target in the library',
  before: 'before the box was changed',
  estimated: 'estimated',
  noInstrument: 'instrument not entered',
  targetsHeading: 'Where the targets come from',
  fromMemory: 'From memory, not to be relied on',
  fromMemoryNone: 'None of the targets shown is from memory.',
  uvZones: (zones: string) => `UV zone: ${zones}`,
  uvTarget: 'see the UV zone',
  seasons: 'Dated seasons',
  vetCheck: 'Last check by a vet',
  neverChecked: 'none is entered',
  faults: 'Severely short',
  room: 'Diet, supplements and what the vet should be asked (to fill in):',
} as const;

/** Words of the case on paper. */
export const caseWords = {
  heading: 'The case for this collection',
  lead: (day: string) =>
    `As it stood in the keeper’s ledger on ${day}. Scores say what an enclosure offers beside what the species needs, with their range; not how an animal feels.`,
  empty: 'No animal lives in an enclosure of this ledger yet, so there is no case to make.',
  animalsKept: 'Kept',
  counted: (animals: number, boxes: number) =>
    `${animals === 1 ? 'one animal' : `${animals} animals`} in ${boxes === 1 ? 'one enclosure' : `${boxes} enclosures`}`,
  sum: 'Put aside a month',
  homeless: 'In no enclosure of this ledger',
  memory: 'Targets from memory',
  memoryShare: (percent: number) =>
    percent === 0
      ? 'no score hangs on a target from memory'
      : `${percent} % of what decides the scores hangs on targets from memory, which nobody should rely on unchecked`,
  planned: (planned: number, baseline: number) => `${planned} of 100; ${baseline} if nothing is bought`,
  noneSevere: 'none',
  isSevere: ' (severe)',
  met: 'No need is below 70 of 100, as far as it is known.',
  roadmapLead: (made: string, from: string, to: string, spend: string) =>
    `Plan made on ${made} for ${from} to ${to}; ${spend} for upgrades in all, never more than is in hand.`,
  free: (count: number) => (count === 1 ? 'one action at no cost' : `${count} actions at no cost`),
  moreMonths: (count: number) => `Purchases of ${count} more months stand in the ledger.`,
  gains: (planned: string, baseline: string) =>
    `Scores added up over its months: ${planned} with the plan, ${baseline} if nothing is bought.`,
  severe: (planned: number, baseline: number) =>
    `Severely short needs × months: ${planned} with the plan, ${baseline} if nothing is bought.`,
  noPlan: 'No plan was made yet.',
  notPayable: 'There is no plan that the money allows; the ledger says in which month it is short.',
  noCap: 'Without an animal nothing bounds the collection yet.',
  capUnknown: (count: number) =>
    count === 1
      ? 'One figure that it hangs on is not known, and what is not known never counts as room.'
      : `${count} figures that it hangs on are not known, and what is not known never counts as room.`,
  lawSources: (sources: string) => `Source: ${sources}.`,
  notAFinding: 'This is the keeper’s own record. Nobody inspected the enclosures for it.',
} as const;

/** Words about growth. */
export const growthWords = {
  heading: (month: string) => `Growth up to ${month}`,
  lengthIn: (span: string, month: string) => `${span} in ${month}`,
  grows: (measure: string, lengths: string) =>
    `Length (${measure}): ${lengths}. A straight line from the last length that was measured to both ends of adult size; our own simplification.`,
  grown: (span: string) => `Length: ${span}. As far as it is known it grows no more.`,
  adult: (span: string) => `Adults of the species are ${span}.`,
  score: (today: string, month: string, later: string) =>
    `Score today: ${today}. In ${month}, if nothing is bought or renewed: ${later}.`,
  presentBox: (name: string, until: string) => `The present box “${name}” ${until}.`,
  proposedBox: (name: string, until: string) => `For ${name}, the new box ${until}.`,
  forAdults: 'gives a fully grown animal what the chosen rules ask for',
  shortToday: 'gives less than the chosen rules ask for already today',
  noRule: 'cannot be held against any rule, since none speaks of such animals',
  unmeasured: (until: string) => `${until} (never measured, so the usual adult size is taken)`,
  outgrown: (earliest: string, latest: string | null) =>
    latest === null
      ? `is large enough for the length of today; it is outgrown in ${earliest} at the earliest, if the animal still grows, and never if it does not`
      : latest === earliest
        ? `is outgrown in ${earliest}`
        : `is outgrown between ${earliest} and ${latest}`,
} as const;

// The sentences of what leaves the screen on paper: the shopping list, the sheet of the month, the case, the sheet for the vet and the
// cards of species.

import type { Fate } from '../src/hand-downs.ts';
import type { ArrivalCheck, BuyingCaution, MeasureBefore } from '../src/shopping.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSize } from '../src/units.ts';
import { cautions, listed } from './words.ts';

/** Words of the shopping list around its lines. */
export const shoppingWords = {
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
        ? `Measure from the top down to the basking animal’s back: the inside height is ${length(one.insideMm)}, and no distance is planned yet.`
        : `Measure that there are ${length(one.distanceMm)} from the lamp to the basking animal’s back, and room above it for the lamp itself: the inside height is ${length(one.insideMm)}.`;
    case 'mesh-hole':
      return 'Measure a hole of the mesh and its wire with a ruler: a finer mesh holds back more UV, and the distance has to change.';
    case 'lamp-socket':
      return `Read the type of cap off the lamp holder, and the most watts it may carry: it has to take ${power(one.watts)}. A lamp that runs hot takes a ceramic holder.`;
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
  done: 'Done',
  shopping: 'The shopping list: what to measure before, what to look at after',
} as const;

/** What becomes of a thing that was replaced. */
export const fateWords: Readonly<Record<Exclude<Fate, 'undecided'>, string>> = {
  stays: 'stays in use in its own box',
  'handed-down': 'goes to other animals of yours',
  sold: 'is sold or given away',
  spare: 'is kept as a spare',
  quarantine: 'is kept as a quarantine box',
  recycled: 'is worn out and goes to recycling',
};

/** Words of the question what becomes of what an upgrade replaces. */
export const oldThingWords = {
  heading: 'What becomes of what it replaces',
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
  howMuch: 'Enter the sum, or 0 when it is given away.',
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
} as const;

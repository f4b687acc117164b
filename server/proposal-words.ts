// Sentences about what is proposed: what the keeper has of a kit already, what was taken for it, what it should bring, what a warmer box
// saves, and why nothing is proposed for a need.

import type { Check } from '../src/collection.ts';
import type { KitAssumption } from '../src/kits.ts';
import type { Currency } from '../src/money.ts';
import { formatMoney } from '../src/money.ts';
import type { ControlType } from '../src/parts.ts';
import type { Lowered, Proposal } from '../src/proposals.ts';
import type { CoolingWay, NoProposal, ProposedAct } from '../src/remedies.ts';
import type { Shortage } from '../src/space.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSize, withMeasuresIn } from '../src/units.ts';
import type { WarmthUnknown, YearSaving } from '../src/warmth-year.ts';
import {
  hideZoneNames,
  materialNames,
  needNames,
  readingNames,
  readingText,
  temperatureNames,
  topNames,
} from './kind-words.ts';
import { standingWords } from './source-words.ts';
import { noEstimateWords, objectionSentences } from './warmth-words.ts';
import { listed, lowerFirst, percent } from './words.ts';

/** How figures and sums are written. */
type Written = { unitSystem: UnitSystem; currency: Currency; locale: string };

const watts = (value: number) => `${Math.round(value)} W`;

const partWords: Readonly<Record<string, string>> = {
  fixture: 'the fitting of',
  reflector: 'the reflector of',
};

/** Everything to be said of a proposal besides the shortfalls it answers, one sentence each. */
export function proposalNotes({ act, upgrade }: Proposal, written: Written): string[] {
  const { unitSystem: system } = written;
  switch (act.act) {
    case 'kit': {
      const brings = upgrade.changes.flatMap((one) => (one.change === 'fit' ? one.fitting.expects : []));
      const states = brings.map(
        (one) => `${lowerFirst(readingNames[one.reading])} ${readingText(one.reading, one.value, system)}`,
      );
      return [
        ...(act.owned.length === 0
          ? []
          : [
              `You have and need not buy: ${listed(act.owned.map((one) => `${partWords[one.what] === undefined ? '' : `${partWords[one.what]} `}“${one.name}”`))}.`,
            ]),
        ...(act.uvi === null ? [] : [`Should bring: UVI ${act.uvi.toFixed(1)} at the basking place with a new tube.`]),
        ...(states.length === 0 ? [] : [`Should bring: ${listed([...new Set(states)])}, once adjusted and measured.`]),
        ...act.assumes.map((one) => kitSentence(one, system)),
      ];
    }
    case 'insulate':
      return [
        `${formatQuantity(act.mm, 'length', system)} of foam board outside on the back and both sides, never over vents, cables, lamps or a heater.`,
        savingSentence(act.saving, written),
      ];
    case 'close-top':
      return [
        'A third of the mesh stays open for air; measure heat and damp again afterwards.',
        savingSentence(act.saving, written),
      ];
    case 'box':
      return act.step === null
        ? []
        : [
            `A step and no goal: of the ${act.step.short} that a grown animal should have it gives ${percent(act.step.ratio)} (${act.step.rule}).`,
            'What it costs is lost once a box that gives all of it is bought, so a plan buys one box for a place at most, and this one only where having it sooner does more in all its months.',
          ];
    case 'home-made-box':
      return ['What it costs to make is for you to enter. The measures give the room that is needed, inside.'];
    default:
      return [];
  }
}

const controlWords: Readonly<Record<ControlType, string>> = {
  switching: 'switches on and off',
  pulse: 'pulses',
  dimming: 'dims',
};

function kitSentence(one: KitAssumption, system: UnitSystem): string {
  const celsius = (value: number) => formatQuantity(value, 'temperature', system);
  switch (one.assumes) {
    case 'watts-by-loss':
      return `${watts(one.watts)} is the least of the list that holds the air with the room at ${celsius(one.roomCelsius)}: ${watts(one.needed)} are needed if the box loses as much as the error allows.`;
    case 'watts-by-size':
      return one.because === 'reckoned-enough'
        ? `Lamps and room should be warm enough by the reckoning, but the instrument says otherwise: ${watts(one.watts)} goes by the length of the box (own assumption).`
        : `${watts(one.watts)} goes by the length of the box (own assumption), because ${unknownWords(one.because)}.`;
    case 'mat-by-length':
      return `${watts(one.watts)} goes by the length of the box (own assumption): a mat covers about a third of the floor.`;
    case 'lamp-by-height':
      return `${watts(one.watts)} goes by the height of the box (own assumption); how hot the place becomes is only known once it is measured.`;
    case 'watts-not-entered':
      return `The watts of the heater are not entered: read its plate, the thermostat carries ${watts(one.mostWatts)} at most.`;
    case 'own-thermostat-unread':
      return `“${one.name}” regulates nothing. If it ${controlWords[one.by]} and carries ${watts(one.watts)} or more, use it and take the thermostat off the price.`;
    case 'above-mesh':
      return 'It is taken to hang above the mesh, where an animal of this kind does not reach it, so no guard is in the kit: hung inside, it needs one. Mesh under it becomes hot, so nothing that burns lies on it or stands near it.';
    case 'mesh-share':
      return `The mesh is taken to pass ${percent(one.share)} of the UV (common practice, no source).`;
    case 'place-height-unknown':
      return 'The height of the basking place is not entered, so the distance holds for a place that lies at a fitting height.';
    case 'place-on-floor':
      return 'No basking place is entered, so it is taken to lie on the floor: one that is raised comes nearer to the lamp and needs it higher.';
    case 'present-lamp-unread':
      return 'Measure first if you can borrow a UV meter: nobody knows what the lamp that hangs there gives, and a reading may show that it does. Without one, a lamp whose figures are known takes the guess away.';
    case 'bare-figures':
      return 'Reckoned without a reflector: with one it would be stronger by an unknown part, so use none unless you have a UV meter.';
    case 'figures-with-reflector':
      return `Reckoned with its reflector, by a figure that is ${standingWords[one.standing]}: measure before an animal basks under it.`;
    case 'fan-cools':
      return `A fan is taken to cool by ${formatQuantity(one.byCelsius, 'temperature-difference', system)} (from memory, check before relying on it), and it dries the air: measure the humidity too, and never blow at the animal.`;
  }
}

/** What a warmer box saves. */
function savingSentence(saving: YearSaving, { currency, locale }: Written): string {
  if (saving.status === 'unknown')
    return `What it saves cannot be estimated, because ${unknownWords(saving.why)}; its effect is unknown until measured.`;
  const figure = (value: number) => value.toFixed(1);
  const { low, likely, high } = saving.kwh;
  const kwh = `Saves about ${figure(likely)} kWh a month (${figure(low)} to ${figure(high)}) in the mean of the year`;
  return saving.cost === null ? `${kwh}.` : `${kwh}, at least ${formatMoney(saving.cost, currency, locale)}.`;
}

function unknownWords(why: WarmthUnknown): string {
  switch (why) {
    case 'room-unknown':
      return 'the coldest and hottest months of its room are not entered';
    case 'target-unknown':
      return 'no target for the air is known';
    case 'no-regulated-heater':
      return 'no heater of the air here is under a thermostat';
    case 'watts-unknown':
      return 'watts or hours of a heater are not entered';
    default:
      return noEstimateWords[why];
  }
}

const forbiddenWords = {
  'any-heater': 'a heater is never proposed for this species, which warmth harms sooner than cold',
  'overhead-heater': 'a heater overhead is never proposed for this species',
  'uv-lamp': 'a UV lamp is never proposed for this species, which keeps to water, shade or the dark',
  novelty: 'changing objects are never proposed for this species, which they frighten',
} as const;

const partNames: Readonly<Record<string, string>> = {
  'basking-lamp': 'basking lamp',
  'ceramic-heater': 'heater without light',
  'heat-mat': 'heat mat with a thermostat that carries it',
  'water-heater': 'water heater',
  fixture: 'fitting or holder of the right rating',
  guard: 'guard',
  thermostat: 'thermostat of the right type and rating',
};

/** Why nothing is proposed, as the end of a sentence. */
export function noProposalWords(no: NoProposal, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  switch (no.why) {
    case 'tubes-too-long':
      return `every UV tube of the list would stand out over the box: the shortest is lit over ${length(no.shortestMm)}, the box measures ${length(no.boxMm)}; a larger box, or a shorter tube that you find, would take one`;
    case 'no-height-fits':
      return `no UV tube of the list is right at any height that a box of ${length(no.heightMm)} leaves: each is too weak far away or too strong near by`;
    case 'uv-target-unknown':
      return 'no source says how much UV this species seeks';
    case 'uv-zones-disagree':
      return 'the sources disagree so far that no UVI is right by all of them';
    case 'lamp-gave-too-much':
      return 'a new lamp like the old one would give too much again: it has to hang elsewhere, or be a weaker one';
    case 'species-forbids':
      return forbiddenWords[no.what];
    case 'room-must-warm':
      return `${forbiddenWords[no.what]}, and a mat hardly warms air: let the room carry it. Held at ${formatQuantity(no.celsius, 'temperature', system)} or more, it keeps the ${temperatureNames[no.kind]} from falling below its target, whatever the box loses. Ask a reptile vet if the room cannot be that warm`;
    case 'warm-enough':
      return 'a place here is as warm as it may be, and another heater would carry it beyond';
    case 'nights-warm-enough':
      return `the nights are warm enough as they are (${formatQuantity(no.night, 'temperature', system)}, and ${formatQuantity(no.asked, 'temperature', system)} is enough), and a heater that runs day and night would take from the animal the cool nights it needs: let the lamp over its basking place warm the day`;
    case 'reading-first':
      return 'this animal is harmed by warmth sooner than by cold, so a heater is proposed only where an instrument read too little';
    case 'heater-at-limit':
      return `${watts(no.needed)} are needed in the coldest month if the box loses as much as the error allows, and the strongest heater of the list has ${watts(no.mostWatts)}: insulate the box or warm the room`;
    case 'heat-target-unknown':
      return 'no target for this temperature is known';
    case 'part-missing':
      return `the list holds no ${partNames[no.what] ?? no.what}`;
    case 'space-lacks':
      return `no box that is large enough goes into the space there is, which lacks ${listed(no.shortages.map((one: Shortage) => `${length(one.byMm)} of ${one.dimension}`))}`;
    case 'top-stays-open':
      return `covering a part of the mesh is not proposed, because ${listed(no.objections.map((one) => objectionSentences[one]))}`;
  }
}

/** What becomes of the things of an enclosure in a new box, where that counts for less only as long as it is not furnished and read. */
export function notFurnishedSentence(moving: number, needed: number): string {
  const moves = moving === 1 ? '1 thing moves' : `${moving} things move`;
  const comes = needed === 0 ? '' : `, ${needed === 1 ? '1 more comes' : `${needed} more come`} with it`;
  return `Not yet furnished: ${moves} into it${comes}; what it offers is then read anew.`;
}

/** What a proposal makes worse beside what it mends. */
export function loweredSentence({ need, from, to, severe, untilMeasured }: Lowered, animal: string): string {
  const [before, after] = [Math.round(from), Math.round(to)];
  if (severe)
    return `It leaves ${lowerFirst(needNames[need])} of ${animal} severely short: ${after} instead of ${before}.`;
  return untilMeasured
    ? `${needNames[need]} of ${animal} counts as ${after} instead of ${before} until you read it again.`
    : `It lowers ${lowerFirst(needNames[need])} of ${animal} from ${before} to ${after}.`;
}

/** What a proposal asks for, as the name it goes by in lists and in the roadmap. */
export function proposalName(act: ProposedAct, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  // What the keeper named stays as typed; only names of the list are written in their units.
  const ofTheList = (name: string) => withMeasuresIn(name, system);
  switch (act.act) {
    case 'kit': {
      const where = act.place === null ? '' : ` (${hideZoneNames[act.place]})`;
      const distance = act.distanceMm === null ? '' : `, ${length(act.distanceMm)} above the animal’s back`;
      if (act.parts.length === 0) return `Use what you have: ${listed(act.owned.map((one) => one.name))}`;
      const [first, ...others] = act.parts;
      const rest =
        others.length === 0 ? '' : ` with ${listed(others.map((one) => kitWords[one.what] ?? ofTheList(one.name)))}`;
      const above = act.assumes.some((one) => one.assumes === 'above-mesh');
      const met = [...others, ...act.owned, ...(above ? [{ what: 'guard' }] : [])];
      const { thing, needs } = withoutMetNeeds(ofTheList(first?.name ?? ''), met);
      const lacks = needs === null ? '' : `; needs ${needs}, not in the kit`;
      return `${thing}${rest}${above ? ', above the mesh' : ''}${where}${distance}${lacks}`;
    }
    case 'box':
      return act.step === null ? ofTheList(act.part) : `${ofTheList(act.part)}, only a step`;
    case 'insulate':
    case 'close-top':
      return ofTheList(act.part);
    case 'home-made-box':
      return `Box made by yourself, ${formatSize(act.lengthMm, act.depthMm, act.heightMm, system)} inside, ${lowerFirst(materialNames[act.material])}, ${lowerFirst(topNames[act.top])}`;
    case 'renew':
      return `A new lamp in place of: ${act.fitting}`;
    case 'outdoor-run':
      return ofTheList(act.part);
    case 'set-thermostat':
      return `Turn the thermostat until the ${readingNames[act.reading]} reads ${readingText(act.reading, act.value, system)}`;
    case 'move-lamp':
      return `Hang ${act.fitting} ${length(act.distanceMm)} from the animal’s back at the basking place`;
    case 'adjust-basking':
      return `Bring ${act.fitting} ${act.side === 'nearer' ? 'nearer' : 'farther away'}, a little at a time, until the hot spot reads ${readingText('hot-spot-surface', act.value, system)}`;
    case 'set-hours':
      return `Set ${act.fitting} to ${act.hours} hours a day`;
    case 'home-made-hide':
      return `Hide made of cardboard or cork (${hideZoneNames[act.place]})`;
    case 'scatter-food':
      return 'Scatter and hide the food so that it must be looked for';
    case 'vary-prey':
      return 'Offer the prey at another place each time, so that it must be looked for';
    case 'swap-objects':
      return 'Swap an object or a scent in the enclosure now and then';
    case 'take-out':
      return `Unplug and take out: ${act.fitting}`;
    case 'do-check':
      return checkActs[act.check];
    case 'mist-by-hand':
      return `Mist by hand until the humidity reads ${readingText('humidity-day', act.value, system)}`;
    case 'cool-down':
      return `Cool it at once (unplug, move or dim what heats it, air, shade the room) until the ${temperatureNames[act.kind]} reads ${formatQuantity(act.value, 'temperature', system)} or less`;
    case 'cool-by':
      return `${coolingWays[act.way]} until the ${temperatureNames[act.kind]} reads ${formatQuantity(act.value, 'temperature', system)} or less`;
    case 'air-more':
      return `Air more and mist less until the humidity reads ${readingText('humidity-day', act.value, system)}`;
  }
}

const coolingWays: Readonly<Record<CoolingWay, string>> = {
  shade: 'Shade the window and the enclosure',
  fan: 'Let a fan move air past the enclosure, not at the animal',
  move: 'Move the enclosure to the coolest room',
};

// The lesser parts of a kit, in a word: their full names stand where the kit is taken apart.
const kitWords: Readonly<Record<string, string>> = {
  fixture: 'fitting',
  reflector: 'reflector',
  timer: 'timer plug',
  guard: 'guard',
  thermostat: 'thermostat',
  hide: 'hide',
};

// A part's name may end in what it needs, ', needs a guard and a thermostat'; what the kit brings or the keeper has is not asked for.
function withoutMetNeeds(name: string, met: readonly { what: string }[]): { thing: string; needs: string | null } {
  const [thing = '', needs] = name.split(', needs ');
  const left = needs?.split(' and ').filter((need) => !met.some(({ what }) => need === `a ${kitWords[what]}`)) ?? [];
  return { thing, needs: left.length === 0 ? null : left.join(' and ') };
}

const checkActs: Readonly<Record<Check, string>> = {
  'escape-proof': 'Close every gap and lock the doors',
  'probe-in-place': 'Put the thermostat probe where the animal feels the heat and fix it there',
  'dark-at-night': 'Make the nights dark: no lamp with light after dusk',
  'residual-current-device': 'Run the set-up through a residual-current device',
  'smoke-alarm': 'Hang a smoke alarm in the room',
  'drip-loop': 'Let every cable hang in a loop below its socket, so that water drips off it',
  'easy-exit': 'Put a stone or a ramp in the water so that the animal can climb out',
  'water-quality-tested': 'Test the water',
  'nothing-toxic': 'Take out everything that could poison or hurt',
};

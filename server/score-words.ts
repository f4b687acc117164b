// Every sentence about a score: how near it is to its target, what holds it down, and why each point of it is lost.

import { formatDate, formatMonth } from '../src/calendar.ts';
import type { Check, ReadingKind } from '../src/collection.ts';
import { LEAST_ROOM } from '../src/furnishing-needs.ts';
import type { Reason } from '../src/judging.ts';
import { SEVERE_BELOW } from '../src/problem.ts';
import type { AnimalScore, Band, NeedScore } from '../src/score.ts';
import type { Silence } from '../src/space.ts';
import type { Enrichment, Need } from '../src/species.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatArea, formatQuantity, formatSpan } from '../src/units.ts';
import {
  checkQuestions,
  hideZoneNames,
  measureNames,
  needNames,
  readingNames,
  seasonWords,
  temperatureNames,
  zoneWords,
} from './kind-words.ts';
import { capital, listed, lowerFirst, monthCount, percent } from './words.ts';

/** How near a value comes to its target. */
export const bandWords: Readonly<Record<Band, string>> = {
  'far-short': 'far short',
  'part-way': 'part way',
  near: 'near',
  meets: 'meets the target',
};

/** The same at the head of a scale, where the last has little room. */
export const wordsOfScale: readonly string[] = [bandWords['far-short'], bandWords['part-way'], bandWords.near, 'meets'];

/** A score in words and figures, with its range when that is wider than a point. */
export function scoreText(band: Band, score: number, low: number, high: number): string {
  const [value, from, to] = [score, low, high].map((one) => Math.round(one)) as [number, number, number];
  const range = to - from > 1 ? `, between ${from} and ${to}` : '';
  return `${capital(bandWords[band])}: ${value} of 100${range}`;
}

/** What holds a score down, in one sentence. */
export function capSentence({ cap, needs }: Pick<AnimalScore, 'cap' | 'needs'>): string {
  const binding = needs.find((one) => one.need === cap);
  if (binding === undefined) return 'No single need holds the score down: it is the weighted mean of all needs.';
  return `${needNames[binding.need]} holds the score down: good values elsewhere lift it at most ${binding.allowance} points above that need.`;
}

/** The means beside a score: weighted when a cap hides it, and with every need counting the same. */
export function meansSentence({ cap, mean }: Pick<AnimalScore, 'cap' | 'mean'>, unweighted: number): string {
  const alike = `with every need counting the same it is ${Math.round(unweighted)}`;
  return cap === null
    ? `${capital(alike)}.`
    : `Without that limit the weighted mean of its needs is ${Math.round(mean)}; ${alike}.`;
}

/** What one part of a need comes to, or is counted as while it is unknown. */
export function partSentence(value: number, unknown: boolean): string {
  return unknown
    ? `Until this is known it counts as ${Math.round(value)} of 100.`
    : `This alone holds the need to ${Math.round(value)} of 100.`;
}

/** That a need is severely short, as it is named before everything else. */
export function severeSentence({ need, value, high }: Pick<NeedScore, 'need' | 'value' | 'high'>): string {
  const most = high - value > 1 ? `, at best ${Math.round(high)}` : '';
  return `${needNames[need]} is severely short: ${Math.round(value)} of 100${most}. Put this right before anything else.`;
}

/** Why a need that is worth very little is not called severe; null where it is, or is worth more. */
export function notSevereSentence({ need, value, severe, unknown, lifeCritical, reasons }: NeedScore): string | null {
  if (
    severe ||
    value >= SEVERE_BELOW ||
    reasons.some(({ reason: { why } }) => why === 'severe-from-memory' || why === 'severe-unresolved')
  )
    return null;
  if (unknown) return 'It is not called severe, because it counts low only as long as it is not known.';
  if (lifeCritical)
    return 'It is not called severe, because that goes by the likeliest value in its range and by the limits that the care library names for this species, and neither is crossed.';
  switch (need) {
    case 'space':
      return `It is not called severe, because severe is only a box with less than ${percent(LEAST_ROOM)} of the space that is asked for, in which no gradient of heat fits (common practice, no source).`;
    case 'hides':
    case 'enrichment':
      return 'It is not called severe, because severe is only what threatens life, and this by itself does not (this ledger’s own choice).';
    default:
      return 'It is not called severe, because the care library does not say of this species that life depends on it.';
  }
}

/** Why a need is not scored. */
export function notScoredSentence(need: Need, why: 'no-target' | 'off', season: AnimalScore['season']): string {
  if (why === 'no-target') return `${needNames[need]} is not scored: no target is known for this species.`;
  if (season !== 'active') return `${needNames[need]} does not count during ${seasonWords[season]}.`;
  return `${needNames[need]} does not apply to this species or at this stage of its life.`;
}

/** What misses when a kind of enrichment is not there. */
const enrichmentMissing: Readonly<Record<Enrichment, string>> = {
  climb: 'There is nothing to climb: no branches, perches or ledges are fitted.',
  dig: 'There is nothing to dig in: no deep substrate is entered.',
  feeding: 'No feeding that takes effort is entered.',
  novelty: 'Nothing that is changed from time to time is entered.',
  swim: 'There is no water to swim in.',
  choice: 'There is no known choice of places: a warm one and a cool one must both be read and at least half right.',
};

const checkFailures: Readonly<Record<Check, string>> = {
  'escape-proof': 'The enclosure is not escape-proof.',
  'nothing-toxic': 'Something inside is poisonous, fuming or sharp.',
  'probe-in-place': 'The probe of a thermostat is not fixed in its place.',
  'dark-at-night': 'It is not dark at night.',
  'residual-current-device': 'No residual-current device protects the sockets.',
  'smoke-alarm': 'There is no tested smoke alarm in the room.',
  'drip-loop': 'A cable has no drip loop below its socket.',
  'easy-exit': 'The animal cannot climb out of the water easily.',
  'water-quality-tested': 'The quality of the water is not tested.',
};

const waterFeatureMissing: Readonly<Record<string, string>> = {
  'bathing-dish': 'There is no water to bathe in.',
  'swimming-water': 'There is no water to swim in.',
  filter: 'The water has no filter.',
  'dry-dock': 'There is no dry place above the water.',
  'easy-exit': 'It is not known, or not the case, that the animal can climb out of the water easily.',
  'quality-tested': 'It is not known, or not the case, that the quality of the water is tested.',
};

/** That a rule is met which calls itself a minimum, and what more room adds. */
export const calledMinimum =
  'It comes from a report on minimum requirements: a least, not a goal. As guidance and no law it is not held at 60: meeting it is worth 90, and half as much room again adds the rest.';

/** Why points are lost, as a whole sentence with the figures in the keeper's units. */
export function reasonSentence(
  reason: Reason,
  { unitSystem: system, locale }: { unitSystem: UnitSystem; locale: string },
): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  switch (reason.why) {
    case 'temperature-outside': {
      const { kind, side, reading, low, high } = reason;
      const degrees = formatQuantity(reading, 'temperature', system);
      const band = formatSpan(low, high, 'temperature', system);
      return `The ${temperatureNames[kind]} is too ${side === 'below' ? 'cool' : 'warm'}: it reads ${degrees} and should lie within ${band}.`;
    }
    case 'room-too-warm': {
      const { kind, roomCelsius, high, month, season } = reason;
      const degrees = formatQuantity(roomCelsius, 'temperature', system);
      const limit = formatQuantity(high, 'temperature', system);
      const start = `In ${formatMonth(month, locale)} the room has ${degrees} in the mean, as reckoned from its coldest and hottest month; nothing was read then, and nothing in the box is cooler than its room.`;
      return season === 'active'
        ? `${start} The ${temperatureNames[kind]} may have ${limit}: measure it, and cool from outside: shade, moving air, a cooler room, heaters off.`
        : `${start} Its dated rest asks for ${limit} or less, so it cannot rest there: ask a reptile vet for another place, or take the dates away.`;
    }
    case 'unknown-reading':
      return `${unknownSentence(reason.kind, reason.cause)}${reason.heatedFrom === undefined ? '' : ` “${reason.heatedFrom}” heats, and how far its warmth goes only a thermometer tells: read it before anything is bought for it.`}`;
    case 'uncertain-reading':
      return uncertainSentence(reason, locale);
    case 'no-heat-fitted':
      return reason.elsewhere.length === 0
        ? `Nothing that heats is fitted, and the ${temperatureNames[reason.kind]} should lie within ${formatSpan(reason.low, reason.high, 'temperature', system)}.`
        : `The ${temperatureNames[reason.kind]} should lie within ${formatSpan(reason.low, reason.high, 'temperature', system)}, and nothing fitted heats it: ${listed(reason.elsewhere.map((name) => `“${name}”`))} ${reason.elsewhere.length === 1 ? 'warms' : 'warm'} another place.`;
    case 'no-uv-fitted':
      return reason.required
        ? 'No UV-B lamp is fitted, and this species needs UV-B.'
        : 'No UV-B lamp is fitted. For this species it is optional, so the need does not fall to 0.';
    case 'uv-below':
      return `The UV index at the basking place is ${uvi(reason.reading)}; what is right for ${zoneWords(reason.zones)} begins at ${uvi(reason.wanted)}.`;
    case 'uv-above':
      return `The UV index at the basking place is ${uvi(reason.reading)}, above ${uvi(reason.ceiling)}, the highest that is accepted for ${zoneWords(reason.zones)}. Raise the lamp or move the basking place now: too much UV injures eyes and skin.`;
    case 'uv-zone-disputed':
      return `Sources put this species in ${zoneWords(reason.zones)}; the value is shown as a range over both.`;
    case 'uv-lamp-past-life':
      return `The UV-B lamp is ${monthCount(reason.overdueMonths)} past its stated life, so how much UV it still gives is uncertain.`;
    case 'uv-no-retreat':
      return reason.reading === null
        ? 'There is no place without UV: no hide is entered and the darkest place was not read.'
        : `Even the darkest place within reach has a UV index of ${uvi(reason.reading)}; there must be a place near 0.`;
    case 'uv-hours':
      return `UV is on for ${formatQuantity(reason.hours, 'hours', system)} a day; it should be ${formatSpan(reason.low, reason.high, 'hours', system)}.`;
    case 'uv-between-unknown':
      return `Nobody looked what is between “${reason.fitting}” and the animal, so how much UV arrives is unknown: ${reason.uvi === null ? '' : `a UV index of ${uvi(reason.uvi.high)} with nothing between, ${uvi(reason.uvi.low)} under an insect screen (common practice), `}${reason.uvi === null ? 'mesh takes a part of it, glass all' : 'none under glass or plastic'}.`;
    case 'uv-hours-unknown':
      return 'How many hours a day the UV-B lamp is on is not entered.';
    case 'humidity-outside':
      return `The air holds ${formatQuantity(reason.reading, 'humidity', system)} relative humidity ${reason.time === 'day' ? 'by day' : 'at night'}, too ${reason.side === 'below' ? 'dry' : 'damp'}: it should lie within ${formatSpan(reason.low, reason.high, 'humidity', system)}.`;
    case 'still-air':
      return 'The top is closed, and this species needs moving air: damp air that stands harms its lungs. A top of mesh lets it pass (common practice, no source).';
    case 'no-moist-retreat':
      return 'There is no moist hide, which this species needs whatever the air is like.';
    case 'retreat-dry':
      return `The moist hide is too dry: its air reads ${formatQuantity(reason.reading, 'humidity', system)} and should be at least ${formatQuantity(reason.wanted, 'humidity', system)}.`;
    case 'space-short':
      return spaceSentence(reason, system);
    case 'space-minimum-only':
      return 'Only a minimum set by law or for laboratories is counted here; meeting it is worth at most 60 of 100.';
    case 'space-called-minimum':
      return `What is met is this rule: ${reason.rule.title}. ${calledMinimum}`;
    case 'space-will-be-short':
      return `At adult size it would have ${percent(reason.ratio)} of the space that is asked for.`;
    case 'space-rule-silent':
      return `A rule says nothing here, so it is not counted (${reason.rule.title}): ${silenceWords(reason.asked, system)}.`;
    case 'length-unknown':
      return 'The length of the animal was never measured, so space is judged for the usual adult size.';
    case 'hide-missing':
      return `At ${hideZoneNames[reason.zone]} there ${reason.have === 1 ? 'is 1 hide' : `are ${reason.have || 'no'} hides`}; ${reason.want} ${reason.want === 1 ? 'is' : 'are'} needed.`.replace(
        'At under water',
        'Under water',
      );
    case 'enrichment-missing':
      return enrichmentMissing[reason.kind];
    case 'heater-unregulated':
      return `“${reason.fitting}” heats without a thermostat that regulates it: it can overheat, burn or start a fire. Unplug it until it has one, and warm the room meanwhile if the animal would go cold.`;
    case 'heater-unknown':
      return `What “${reason.fitting}” is, and whether a thermostat holds it, is not known: an unheld heater can overheat, burn or start a fire.`;
    case 'thermostat-unknown':
      return `Nobody has looked whether a thermostat holds “${reason.fitting}”: unheld it can overheat, burn or start a fire. Follow its cable first, which costs nothing; only if there is none it needs one.`;
    case 'rock-heater':
      return `“${reason.fitting}” is heated from inside and touched by the animal, which burns the belly: take it out.`;
    case 'heater-unguarded':
      return `“${reason.fitting}” can be touched: it needs a guard, or a place out of reach.`;
    case 'basking-unmeasured':
      return `Under “${reason.fitting}”, which has no thermostat, the surface was never measured at its hottest hour: it may burn.`;
    case 'too-many-together':
      return `${reason.have} animals share the enclosure; at most ${reason.atMost} of this species may.`;
    case 'mixed-species':
      return 'Animals of different species share the enclosure.';
    case 'too-many-males':
      return `${reason.have} grown males share the enclosure; at most ${reason.atMost} of this species may: they fight, also where nobody sees it.`;
    case 'sexes-unknown':
      return `At most ${reason.atMost} grown ${reason.atMost === 1 ? 'male' : 'males'} of this species may share an enclosure, and the sex of ${reason.unknown === 1 ? 'one animal' : `${reason.unknown} animals`} here is not known: have it told, and enter it.`;
    case 'sizes-too-unlike':
      return `The smallest animal here is ${length(reason.shortestMm)} long and the largest ${length(reason.longestMm)}: under half of it, so that it may be bullied, starved or eaten.`;
    case 'severe-from-memory':
      return 'It would count as severely short, but its target is from memory alone: check it with a source of your own or a vet, and enter your own target.';
    case 'severe-unresolved':
      return 'It would count as severely short, but whether the rule that asks for this binds for this species is not settled: read its note, and ask a vet who knows the species.';
    case 'danger-from-memory':
      return 'It counts as severely short because it can injure, though its target is from memory alone: act on it now, and check this target with a source of your own or a vet.';
    case 'deadly-heat':
      return `The ${temperatureNames[reason.kind]} reads ${formatQuantity(reason.reading, 'temperature', system)}: a body as warm as ${formatQuantity(reason.celsius, 'temperature', system)} is the end of life for this species. Cool it at once.`;
    case 'uv-without-lamp':
      return `A UV index of ${uvi(reason.reading)} was read here though no UV-B lamp is entered: find out where it comes from, and enter the lamp.`;
    case 'check-failed':
      return checkFailures[reason.check];
    case 'check-unknown':
      return `Not answered yet: ${lowerFirst(checkQuestions[reason.check].question)}`;
    case 'water-feature-missing':
      return waterFeatureMissing[reason.feature] ?? `Of the water, ${reason.feature} is missing.`;
    case 'water-depth':
      return reason.high === null
        ? `The water is ${length(reason.reading)} deep; it should be at least ${length(reason.low)}.`
        : `The water is ${length(reason.reading)} deep; it should be ${formatSpan(reason.low, reason.high, 'length', system)}.`;
    case 'outdoors-now':
      return 'In these months it lives in its outdoor run, where sun, shade and weather set this; the ledger cannot know them.';
  }
}

/** What does not hold a need down any more since something was read. */
export function settledSentences(settled: readonly Reason[], written: Parameters<typeof reasonSentence>[1]): string[] {
  return settled.map((reason) => {
    if (reason.why === 'unknown-reading') return `The ${lowerFirst(readingNames[reason.kind])} is known now.`;
    if (reason.why === 'enrichment-missing' && reason.kind === 'choice')
      return 'A warm place and a cool one are both read now and at least half right, which counts as a choice of places.';
    return `No longer so: ${lowerFirst(reasonSentence(reason, written))}`;
  });
}

/** Why a reading is unknown. */
export function unknownSentence(
  kind: ReadingKind,
  cause: 'never-read' | 'box-changed' | 'thing-changed' | 'said-unknown' | 'awaited',
): string {
  const name = `The ${lowerFirst(readingNames[kind])}`;
  switch (cause) {
    case 'never-read':
      return `${name} was never read.`;
    case 'box-changed':
      return `${name} was read before the enclosure was set up as it is now; that reading no longer holds.`;
    case 'thing-changed':
      return `${name} was read before what brought it about was moved or taken out; that reading no longer holds.`;
    case 'said-unknown':
      return `${name} is entered as unknown.`;
    case 'awaited':
      return `${name} is only what the things fitted should bring about: read it with them in place.`;
  }
}

/** That a figure of the light model was corrected, and by how many readings of other lamps. */
export function ownReadingsWords(from: number): string {
  return `corrected by your own ${from === 1 ? 'reading of another lamp' : `${from} readings of other lamps`}`;
}

function uncertainSentence(
  { kind, from, takenOn, ownReadings = 0 }: Extract<Reason, { why: 'uncertain-reading' }>,
  locale: string,
): string {
  const name = `The ${lowerFirst(readingNames[kind])}`;
  const day = takenOn === null ? '' : ` on ${formatDate(takenOn, locale)}`;
  switch (from) {
    case 'measured':
      return `${name} was measured${day}; the error of the instrument and the time since leave a range.`;
    case 'estimated':
      return `${name} is an estimate${day === '' ? '' : ` made${day}`}, or something that influences it has changed since: measure it.`;
    case 'expected':
      return `${name} is what the things fitted should bring about${ownReadings === 0 ? '' : `, ${ownReadingsWords(ownReadings)}`}; it has not been measured with them in place.`;
  }
}

function spaceSentence(
  { rule, neededLengthMm, neededFloorM2, neededHeightMm, short, ratio }: Extract<Reason, { why: 'space-short' }>,
  system: UnitSystem,
): string {
  const asked = spaceNeedWords({ lengthMm: neededLengthMm, floorM2: neededFloorM2, heightMm: neededHeightMm }, system);
  const part = { length: 'length', floor: 'floor', height: 'height' }[short];
  const extent =
    ratio < 1
      ? `The enclosure has ${percent(ratio)} of the ${part} it should have`
      : `The enclosure has ${percent(ratio)} of the ${part} asked for, and full marks take half as much again`;
  return `${extent}: the rule asks for ${asked} (${rule.title}).`;
}

/** What a space rule asks for, such as 'at least 130 cm long, 0.9 m² of floor and 60 cm high'. */
export function spaceNeedWords(
  needed: { lengthMm: number | null; floorM2: number; heightMm: number | null },
  system: UnitSystem,
): string {
  const parts = [
    ...(needed.lengthMm === null ? [] : [`${formatQuantity(needed.lengthMm, 'length', system)} of length`]),
    ...(needed.floorM2 === 0 ? [] : [`${formatArea(needed.floorM2, system)} of floor`]),
    ...(needed.heightMm === null ? [] : [`${formatQuantity(needed.heightMm, 'length', system)} of height`]),
  ];
  return parts.length === 0 ? 'nothing' : `at least ${listed(parts)}`;
}

/** Why a space rule says nothing for some animals, such as 'it holds for up to 2 animals and does not say what more need'. */
export function silenceWords(asked: Silence, system: UnitSystem): string {
  switch (asked.why) {
    case 'further-animals':
      return asked.forAnimals === 1
        ? 'it holds for 1 animal and does not say what more need'
        : `it holds for up to ${asked.forAnimals} animals and does not say what more need`;
    case 'other-measure':
      return `it goes by the length ${measureNames[asked.asks]}, and this species is measured ${measureNames[asked.has]}`;
    case 'longer-than-covered':
      return `it ends at animals of ${formatQuantity(asked.upToMm, 'length', system)}`;
  }
}

function uvi(value: number): string {
  return formatQuantity(value, 'uv-index', 'metric');
}

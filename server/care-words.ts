// What a figure of the care library and each of its fields is called, what it says in one line, why an own value is refused, and the
// sentences around own values, own species and updates of what ships.

import type { CareFault } from '../seed/library.ts';
import type { FigureChange, FigureContent, FigureKey } from '../src/care-overrides.ts';
import { partsOfKey, temperatureKindOf } from '../src/care-overrides.ts';
import type { SpaceRule, Species, TemperatureTarget, WaterTarget } from '../src/species.ts';
import type { Dimension, UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSpan } from '../src/units.ts';
import {
  enrichmentNames,
  measureNames,
  monthNames,
  placesOfHides,
  temperatureNames,
  uvNeedWords,
  waterFeatureNames,
} from './kind-words.ts';
import { capital, listed, lowerFirst, monthCount, percent } from './words.ts';

const timeNames = {
  hatchling: 'hatchling',
  juvenile: 'juvenile',
  cooling: 'during cooling',
  'winter-rest': 'during winter rest',
} as const;

const figureNames: Readonly<Record<string, string>> = {
  'uv-need': 'need of UV',
  'uv-zones': 'UV zone',
  'uv-hours': 'hours of UV a day',
  humidity: 'humidity',
  'water-features': 'water',
  'water-depth': 'depth of water',
  space: 'space',
  hides: 'hides',
  enrichment: 'enrichment',
  grouping: 'company',
  'adult-size': 'adult size',
  growth: 'growth',
  outdoors: 'months outdoors',
};

/** What a figure is called, in lower case: 'night air, during winter rest'. */
export function figureName(key: FigureKey): string {
  const { time, name } = partsOfKey(key);
  const kind = temperatureKindOf(key);
  // Beside what is asked of the water itself its temperature must be called by its full name.
  const what =
    kind === null ? figureNames[name]! : kind === 'water' ? 'temperature of the water' : temperatureNames[kind];
  return time === null ? what : `${what}, ${timeNames[time]}`;
}

/** What a figure says in one line, without its source: '18 to 26 °C'. */
export function figureText(key: FigureKey, content: FigureContent, system: UnitSystem): string {
  if (temperatureKindOf(key) !== null) {
    const { low, high } = content as TemperatureTarget;
    return formatSpan(low, high, 'temperature', system);
  }
  const { name } = partsOfKey(key);
  switch (name) {
    case 'uv-need':
      return uvNeedWords[(content as Pick<Species['uv'], 'need'>).need];
    case 'uv-zones': {
      const zones = [...new Set((content as Species['uv']['zones']).map(({ zone }) => zone))];
      return zones.length === 1 ? `Zone ${zones[0]}` : `Zones ${listed(zones.map(String))}, each scored`;
    }
    case 'uv-hours': {
      const { low, high } = content as Species['uv']['hours'];
      return formatSpan(low, high, 'hours', 'metric');
    }
    case 'humidity': {
      const { day, night, moistRetreat } = content as Species['humidity'];
      const span = (band: { low: number; high: number }) => formatSpan(band.low, band.high, 'humidity', 'metric');
      const times = night === null ? `${span(day)} by day and night` : `${span(day)} by day, ${span(night)} at night`;
      return moistRetreat === 'required' ? `${times}, with a moist hide` : times;
    }
    case 'water-features': {
      const { features } = content as WaterTarget;
      return capital(listed(features.map((one) => waterFeatureNames[one] ?? one)));
    }
    case 'water-depth':
      return depthText(content as NonNullable<WaterTarget['depth']>, system);
    case 'space': {
      const rules = content as SpaceRule[];
      const own = rules.filter((rule) => rule.ruleSet === 'own');
      return own.length > 0
        ? own.map((rule) => ruleText(rule, system)).join(' ')
        : `${rules.length} ${rules.length === 1 ? 'rule' : 'rules'} of ${listed(rules.map(({ title }) => title))}`;
    }
    case 'hides':
      return capital(placesOfHides((content as Species['hides']).zones));
    case 'enrichment':
      return capital(listed((content as Species['enrichment']).kinds.map((kind) => enrichmentNames[kind])));
    case 'grouping': {
      const { atMost, atMostMales } = content as Species['grouping'];
      if (atMost === 1) return 'One animal to an enclosure';
      return `At most ${atMost} to an enclosure${atMostMales === null ? '' : `, at most ${atMostMales} grown males`}`;
    }
    case 'adult-size': {
      const { lowMm, highMm, measure } = content as Species['adultSize'];
      return `${formatSpan(lowMm, highMm, 'length', system)} ${measureNames[measure]}`;
    }
    case 'growth':
      return `Adult after about ${monthCount((content as Species['growth']).monthsToAdult)}`;
    default: {
      const { fromMonth, toMonth, nightFloor } = content as NonNullable<Species['outdoors']>;
      const floor = formatQuantity(nightFloor, 'temperature', system);
      return `From ${monthNames[fromMonth - 1]} to ${monthNames[toMonth - 1]}, in nights above ${floor}`;
    }
  }
}

function depthText({ timesBody, lowMm, highMm }: NonNullable<WaterTarget['depth']>, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const least = timesBody !== null ? `${timesBody} times its length` : lowMm !== null ? length(lowMm) : null;
  const most = highMm === null ? null : `at most ${length(highMm)}`;
  return capital([least === null ? null : `at least ${least}`, most].filter((part) => part !== null).join(', '));
}

function ruleText({ shape, forAnimals, further }: SpaceRule, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const parts =
    shape.by === 'fixed'
      ? [length(shape.lengthMm), length(shape.depthMm), shape.heightMm === null ? null : length(shape.heightMm)]
      : shape.by === 'multiples'
        ? [shape.length, shape.depth, shape.height].map((times) => (times === null ? null : String(times)))
        : [];
  const size = parts.filter((part) => part !== null).join(' × ');
  const more = further?.by === 'floor-share' ? `, ${percent(further.steps[0]!.share)} more floor for each more` : '';
  const animals = forAnimals === null ? 'for each animal' : `for ${forAnimals}${more}`;
  return `${size}${shape.by === 'multiples' ? ' lengths of the animal' : ''}, ${animals}.`;
}

/** What an update did to a figure: what it was and what it is now. */
export function changeText({ figure, before, after }: FigureChange, system: UnitSystem): string {
  const text = (content: FigureContent | null) =>
    content === null ? 'no figure' : lowerFirst(figureText(figure, content, system)).replace(/\.$/, '');
  const name = capital(figureName(figure));
  const [then, now] = [text(before), text(after)];
  return then === now
    ? `${name}: ${now} as before; how far outside it counts for nothing, or what about it threatens life, is another now.`
    : `${name}: ${then} until then, ${now} now.`;
}

/** How an update moved the score of an animal. */
export function movedText({ name, before, after }: { name: string; before: number; after: number }): string {
  const [then, now] = [before, after].map((score) => score.toFixed(1).replace(/\.0$/, ''));
  return `${name}: ${then} of 100 until then, ${now} now.`;
}

const faultSentences: Readonly<Record<string, string>> = {
  'low must not be above high': 'Check both ends: the lower one must not be above the upper.',
  'lowMm must not be above highMm': 'Check both ends: the lower one must not be above the upper.',
  'an amphibian that is too hot is critical within 1 °C':
    'Keep this at most 1 °C and too much heat as a threat to life: an amphibian that is too hot dies of it.',
  'a warm night is never critical for a reptile':
    'Take this tick away: a warm night alone is never critical for a reptile.',
  'a cool end that is too hot reaches 0 within 1 °C':
    'Keep this at most 1 °C: a cool end that is too hot leaves no place to cool down.',
  'novelty is never to be proposed for this species':
    'Take this away: new things are a strain on this species and are never proposed for it.',
  'there cannot be more males than animals': 'Check the males: there cannot be more of them than animals.',
  'Invalid URL': 'Give a whole web address, such as https://example.org, or leave it empty.',
};

/** Why a value is refused and what to do; `label` completes 'Check ...', with the dimension that its limits are written in. */
export function faultSentence(
  fault: CareFault,
  label: string,
  dimension: Dimension | null,
  system: UnitSystem,
): string {
  const { message, least, most } = fault;
  const limit = (value: number) => (dimension === null ? String(value) : formatQuantity(value, dimension, system));
  if (least !== null) return `Check ${label}: believable is ${limit(least)} or more.`;
  if (most !== null) return `Check ${label}: believable is ${limit(most)} or less.`;
  return faultSentences[message] ?? `Check ${label}: ${message}.`;
}

/** Every fault of a species file, each named by its field. */
export function fileFaultsSentence(faults: readonly CareFault[]): string {
  const most = 12;
  const named = faults.slice(0, most).map(({ path, message }) => `${path.join('.') || 'the whole'}: ${message}`);
  const more = faults.length > most ? `; and ${faults.length - most} more` : '';
  return `Mend this in the text and send it again. ${named.join('; ')}${more}.`;
}

export const careSentences = {
  useAnother: 'Use another value',
  giveOne: 'Give a value',
  change: 'Change',
  back: 'Back to the shipped value',
  shippedChanged: 'The shipped value was changed since you entered yours.',
  ownSpaceHolds: 'Your own value stands in place of all other rules in the score.',
  strictestHolds: 'Each rule list by itself. The score takes the strictest of those you chose to be held against.',
  otherChanges: (count: number, besides: boolean) =>
    `${count} ${besides ? 'more ' : ''}${count === 1 ? 'target' : 'targets'} of species that you do not keep changed.`,
  taken: 'You use a value of your own here already. Change that one on the page of the species.',
  nothingChosen: 'Choose at least one.',
  bothEnds: 'Give both ends of this band, or neither.',
  depthOrLength: 'Give the least depth as a length or as so many lengths of the animal, or a greatest depth.',
  sizeMissing: 'Give the length and the depth, both as lengths or both as so many lengths of the animal.',
  oneWayOnly: 'Give lengths or so many lengths of the animal, not both.',
  nameTaken: 'A species of this name is there already. Give yours a name that tells them apart.',
  nameWithoutLetters: 'Give a name that holds letters from a to z.',
  idTaken: (id: string) => `id: a species with the id ${id} is there already. Give yours another id.`,
  notJson: (what: string) => `This is no JSON that can be read (${what}). Paste the whole file, from { to }.`,
  inUse: (names: readonly string[]) =>
    `${listed(names)} ${names.length === 1 ? 'is' : 'are'} of this species, so it cannot be removed. Give ${names.length === 1 ? 'that animal' : 'those animals'} another species first, also where removed.`,
  vet: 'Your reptile vet’s word for an animal comes before any book. Enter it for that animal alone.',
  overrideWarning:
    'A wrong target is planned for like a right one: heat, UV and water that are too much can kill. Enter what a named source says, and ask a reptile vet where you doubt.',
} as const;

/** What the fields of a care figure are called, and their hints. */
export const careFieldWords = {
  lowerEnd: 'Lower end',
  upperEnd: 'Upper end',
  nothingBelow: 'Worth nothing so far below',
  nothingBelowHint: 'How far below the lower end a reading counts for nothing; in between it counts in part.',
  nothingAbove: 'Worth nothing so far above',
  tooCoolThreatensLife: 'Too cool threatens life',
  tooWarmThreatensLife: 'Too warm threatens life',
  needUv: 'Need of UV',
  zoneOf: (zone: string) => `Zone ${zone}`,
  zonesHint: 'With more than one ticked each is scored, and the score is a range.',
  lowerEndByDay: 'Lower end by day',
  upperEndByDay: 'Upper end by day',
  lowerEndAtNight: 'Lower end at night',
  nightHint: 'Leave both empty where the band by day holds at night too.',
  upperEndAtNight: 'Upper end at night',
  noPointsBelow: 'Worth nothing so many points below',
  noPointsAbove: 'Worth nothing so many points above',
  moistHideRequired: 'A moist hide is required',
  missingBandThreatensLife: 'Missing the band threatens life',
  missingWaterThreatensLife: 'Missing water threatens life',
  leastDepthByLength: 'Least depth in lengths of the animal',
  leastDepthByLengthHint: 'A plain number, such as 1.5. Leave it empty where you give the depth itself.',
  leastDepth: 'Least depth',
  greatestDepth: 'Greatest depth',
  length: 'Length',
  depth: 'Depth',
  height: 'Height',
  lengthByLength: 'Length in lengths of the animal',
  byLengthHint:
    'A plain number, such as 1.5. Fill in these in place of the ones above where your source goes by the animal.',
  depthByLength: 'Depth in lengths of the animal',
  heightByLength: 'Height in lengths of the animal',
  animals: 'For how many animals',
  moreFloor: 'More floor for each further animal',
  moreFloorHint: 'A share of the floor, such as 20 %. Leave it empty where your source does not say.',
  atPlace: (place: string) => `At ${place}`,
  atMost: 'At most so many together',
  atMostMales: 'Of them grown males at most',
  emptyHint: 'Leave it empty where your source does not say.',
  monthsToAdult: 'Months from hatching to adult size',
  firstMonthOutdoors: 'First month outdoors',
  lastMonthOutdoors: 'Last month outdoors',
  inNightsAbove: 'In nights above',
  chooseMonth: 'Choose a month',
  yourOwn: (title: string) => `Your own value: ${title}`,
} as const;

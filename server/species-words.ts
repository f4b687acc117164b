// Sentences of the pages of species: what is searched for, how well figures are known, where sources differ, which rule lists judge space,
// what the targets of two species share, and what the forms of a keeper's own species ask.

import type { FigureCount } from '../src/care-figures.ts';
import type { SpaceDimension } from '../src/space.ts';
import type { Never } from '../src/species.ts';
import type { Overlap } from '../src/species-comparison.ts';
import type { Criterion, KnownLevel, WantedSpecies } from '../src/species-finder.ts';
import type { Dimension, UnitSystem } from '../src/units.ts';
import { formatArea, formatQuantity, formatSpan } from '../src/units.ts';
import { activityWords, groupWords, habitWords } from './kind-words.ts';
import { standingWords } from './source-words.ts';
import { listed } from './words.ts';

/** What every page of species says of law. */
export const lawWords = {
  heading: 'Before anything else: the law',
  check:
    'Check your local law: where you live it may ask for a permit, a proof of origin or a mark, or forbid keeping it.',
  noneKnown: 'No list of law that names it was read for this ledger, which does not mean that there is none.',
  neverAcquire: 'Getting one is never proposed here.',
} as const;

/** The two halves of the question whether UV is asked for, as a filter. */
export const uvFilterWords: Readonly<Record<NonNullable<WantedSpecies['uv']>, string>> = {
  required: 'Required',
  optional: 'Optional',
};

/** Whether the open air is named as good practice, as a filter. */
export const outdoorsFilterWords: Readonly<Record<NonNullable<WantedSpecies['outdoors']>, string>> = {
  yes: 'Good practice in the warm months',
  no: 'Not named as good practice',
};

/** The shares of figures read in a source, as answers of a filter. */
export const knownFilterWords: Readonly<Record<KnownLevel, string>> = {
  third: 'A third or more',
  quarter: 'A quarter or more',
  less: 'Less than a quarter',
};

/** What is wanted of a species in one respect, as it stands in a sentence: 'group: snake'. */
export function criterionWords(criterion: Criterion, wanted: WantedSpecies): string {
  switch (criterion) {
    case 'words':
      return `the name “${wanted.words.trim()}”`;
    case 'group':
      return `group: ${groupWords[wanted.group!]}`;
    case 'habit':
      return `way of life: ${habitWords[wanted.habit!]}`;
    case 'activity':
      return `active ${activityWords[wanted.activity!]}`;
    case 'zone':
      return `UV zone ${wanted.zone}`;
    case 'uv':
      return wanted.uv === 'required' ? 'UV required' : 'UV optional';
    case 'outdoors':
      return wanted.outdoors === 'yes' ? 'outdoors in the warm months' : 'not outdoors';
    case 'kept':
      return 'kept by you';
    case 'known':
      return {
        third: 'a third or more read in a source',
        quarter: 'a quarter or more read in a source',
        less: 'less than a quarter read in a source',
      }[wanted.known!];
  }
}

/** That nothing was found, and what to loosen. `asked` is everything that was wanted, `without` what there would be with one thing less. */
export function nothingFoundSentence(
  asked: readonly Criterion[],
  without: readonly { criterion: Criterion; count: number }[],
  wanted: WantedSpecies,
): string {
  if (asked.length === 1 && asked[0] === 'words')
    return `No species has a name with “${wanted.words.trim()}”. Try a part of its scientific name.`;
  if (asked.length === 1 && asked[0] === 'kept')
    return 'None of your animals is of a species of the library. Clear the filter to see them all.';
  const all = `No species fits all of this: ${listed(asked.map((one) => criterionWords(one, wanted)))}.`;
  if (without.length === 0) return `${all} Leaving out one of them is not enough: take out two or more, or clear all.`;
  const each = without.map(({ criterion, count }) => `without “${bare(criterion)}” there ${are(count)}`);
  return `${all} ${each.join(', ').replace(/^w/, 'W')}.`;

  function bare(criterion: Criterion): string {
    return criterion === 'words' ? wanted.words.trim() : criterionWords(criterion, wanted);
  }
}

function are(count: number): string {
  return count === 1 ? 'is 1' : `are ${count}`;
}

/** How many figures of a species were read in a source, short: '12 of 38 figures read in a source'. */
export function readShareWords({ figures, byStanding }: FigureCount): string {
  return `${byStanding.published + byStanding.secondary} of ${figures} figures read in a source`;
}

/** How well the figures of a species are known, in a sentence: how many there are and how many of each kind of source. */
export function knownSentence({ figures, byStanding }: FigureCount): string {
  const { published, secondary } = byStanding;
  const of = (count: number, words: string) => (count === 0 ? [] : [`${count} ${words}`]);
  const parts = [
    ...of(published, 'read where they were published'),
    ...of(secondary, 'read in a text that quotes them'),
    ...of(byStanding['own-source'], `${standingWords['own-source']}`),
    ...of(byStanding['common-practice'], standingWords['common-practice'].replace(', no source', ' without a source')),
    ...of(byStanding['from-memory'], standingWords['from-memory']),
  ];
  return `${figures} figures: ${parts.join('; ')}.`;
}

/** A direction of room as the head of a row. */
export const dimensionNames: Readonly<Record<SpaceDimension, string>> = {
  length: 'Length',
  floor: 'Floor',
  height: 'Height',
};

/** An amount of room in one direction: mm of length or height, m² of floor. */
export function amountWords(dimension: SpaceDimension, amount: number, system: UnitSystem): string {
  return dimension === 'floor' ? formatArea(amount, system) : formatQuantity(amount, 'length', system);
}

/** What two species' ranges share, in a sentence; `names` are theirs. `difference` is how a distance between the ranges is written. */
export function overlapSentence(
  overlap: Overlap,
  names: Readonly<Record<'a' | 'b', string>>,
  { dimension, difference = dimension, system }: { dimension: Dimension; difference?: Dimension; system: UnitSystem },
): string {
  switch (overlap.status) {
    case 'common':
      return overlap.low === overlap.high
        ? `They touch at ${formatQuantity(overlap.low, dimension, system)} and share nothing else.`
        : `Both take ${formatSpan(overlap.low, overlap.high, dimension, system)}.`;
    case 'apart': {
      const upper = overlap.lower === 'a' ? 'b' : 'a';
      return `Nothing in common: ${names[overlap.lower]} ends ${formatQuantity(overlap.by, difference, system)} below where ${names[upper]} begins.`;
    }
    case 'one-sided':
      return `Only one has a target for this: ${names[overlap.has]}.`;
  }
}

/** The sentences of the page that puts two species side by side. */
export const compareWords = {
  lead: 'For choosing which species to begin a relative from, and for seeing how far apart the needs of two animals lie.',
  apart:
    'Two species in one box count as a critical fault of safety here, however much their targets have in common. What they share is no leave to put them together.',
  askTwo: 'Choose two species.',
  askAnother: 'This is the same species twice: choose another one.',
  left: 'Compared are grown animals in the active season. Stages of life, winter, water, hides and company stand on each species’ own page.',
  otherMeasure: 'They are measured in different ways, so the lengths cannot be compared.',
  otherUvNeed: 'Not the same for both.',
  threatens: (name: string, other: string) => `What ${other} needs here threatens the life of ${name}.`,
} as const;

/** The sentences of the section on sources that differ. */
export const differWords = {
  lead: 'Each answer with its own source. None is taken for the right one because it is the strictest or the most repeated.',
  none: 'No two figures of this species contradict each other here. That is no agreement: most figures have a single source.',
  zonesLead: 'Each zone is scored and the score is shown as a range.',
  ceilingLead: 'Retellings of one table print different figures; the score goes by none of them as a target.',
  roomLead:
    'The least and the most that any rule list asks, whether you chose it or not. All of them stand under Space.',
  otherLead: 'Figures that the note beside a target names. They are not scored.',
  silentRules: (count: number, dimension: SpaceDimension) =>
    count === 0 ? '' : ` ${count === 1 ? 'One rule asks' : `${count} rules ask`} nothing of the ${dimension}.`,
} as const;

/** The sentences on which rule lists judge space. */
export const ruleListWords = {
  heading: 'Judge space by',
  ownDecides: 'Your own value decides for this species, in place of every rule list.',
  noRule: 'No rule list says anything for this species, so its space is not scored.',
  byPractice: 'None of the lists you chose says anything for it, so common practice stands in.',
  judgedBy: (lists: readonly string[]) => `Space for this species is judged by: ${listed(lists)}.`,
  alone: (title: string, asks: string, adult: string) =>
    `Only “${title}” gives figures: for one adult of ${adult}, ${asks}.`,
  strictest: (title: string, asks: string, adult: string) =>
    `The strictest of these for one adult of ${adult} is “${title}”: ${asks}.`,
  mostOf: (dimension: SpaceDimension, amount: string, title: string) =>
    `The most ${dimension} is asked by “${title}”: ${amount}.`,
  mixed: (adult: string) =>
    `No single rule is the strictest in everything for one adult of ${adult}; the box decides which one counts.`,
  others: 'The lists you did not choose would ask:',
  noOthers: 'No other list speaks of this species.',
  other: (list: string, title: string, asks: string) => `${list}: ${asks} (“${title}”).`,
  decidesFor: (name: string, title: string) =>
    `For ${name} “${title}” decides now: in its box it is the strictest of those.`,
  aloneDecides: (name: string) => `It decides for ${name}.`,
  nobodyDecides: (name: string) => `For ${name} none of them says anything.`,
  change: 'Choose other rule lists',
  changeHint:
    'The choice holds for every animal of this ledger. Scores go by it at once; a plan goes by it once you plan again.',
  submit: 'Judge by these lists',
} as const;

/** What is never proposed for a species. */
export const neverSentences: Readonly<Record<Never, string>> = {
  'close-top': 'Closing the top: it needs moving air.',
  'more-height': 'More height: it falls and is hurt.',
  novelty: 'New things from time to time: it is shy of them.',
  'scattered-food':
    'Food scattered and hidden: it takes whole prey. It is offered at another place each time instead (common practice, no source).',
  'overhead-heater': 'A heater from above.',
  'any-heater': 'A heater: it is harmed by warmth sooner than by cold.',
  'uv-lamp': 'A UV lamp: it keeps to water, shade or the dark, and bright light harms it.',
  'solid-hide': 'Hides of cardboard, cork or stone: it hides among dense leaves.',
  acquire: 'Getting another one.',
  'winter-rest': 'Winter rest.',
};

/** What the forms of a keeper's own species ask, offer and say. */
export const ownSpeciesWords = {
  name: 'Name',
  scientificName: 'Scientific name',
  otherNames: 'Other names',
  group: 'Group',
  active: 'Active',
  wayOfLife: 'Way of life',
  remove: (name: string) => `Remove ${name}?`,
  removeMeans: 'No animal is of this species, so no score changes.',
  putBackFrom: 'It is kept with its figures and can be put back from the list of species.',
  removeSpecies: 'Remove this species',
  theFileText: 'the text of the file',
  addFromFile: 'Add a species from its file',
  addFromFileLead:
    'Each species page has a link that saves it as a file. Open such a file as text and paste the whole of it here.',
  fileText: 'Text of the file',
  addThis: 'Add this species',
  writeScientific: 'Write the scientific name as genus and species, such as Pogona vitticeps; a subspecies may follow.',
  addSpecies: 'Add a species',
  addLead: 'Begin with what is known. Everything can be changed figure by figure afterwards.',
  inAnotherWay: 'In another way',
  fromLeast: 'From the least that must be known',
  fromLeastHint:
    'Names, way of life, adult size, company, humidity and UV. What you do not give is not scored until you do.',
  fromFile: 'From a file',
  fromFileHint: 'A species that was saved from a ledger as a file.',
  fromRelative: 'From a relative, every figure marked as copied',
  theName: 'the name',
  theScientificName: 'the scientific name',
  theOtherNames: 'the other names',
  theGroup: 'the group',
  whenActive: 'when it is active',
  itsWayOfLife: 'its way of life',
  howMeasured: 'how it is measured',
  theSmallAdult: 'the length of a small adult',
  theLargeAdult: 'the length of a large adult',
  theMonthsToAdult: 'the months to adult size',
  howManyTogether: 'how many may live together',
  theLowHumidity: 'the lower end of humidity',
  theHighHumidity: 'the upper end of humidity',
  itsNeedOfUv: 'its need of UV',
  theLeastUvHours: 'the least hours of UV',
  theMostUvHours: 'the most hours of UV',
  chooseOne: 'Choose one',
  change: (name: string) => `Change ${name}`,
  addRelative: (name: string) => `Add a relative of ${name}`,
  namesLead: 'Names and way of life. The figures are changed one by one on its page.',
  leastLead:
    'What you give here is where the species begins; temperatures, UV zone, space, hides and enrichment follow one by one.',
  copiedLead: 'Every figure is copied and marked as such. Check each before relying on it.',
  scientificHint: 'Genus and species, such as Pogona vitticeps.',
  withCommas: 'With commas between them.',
  sizeAndCompany: 'Size and company',
  measured: 'Measured',
  smallAdult: 'A small adult',
  inUnit: (unit: string) => `In ${unit} unless you write another unit.`,
  largeAdult: 'A large adult',
  monthsToAdult: 'Months from hatching to adult size',
  mostTogether: 'At most so many together',
  humidityAndUv: 'Humidity and UV',
  lowHumidity: 'Lower end of humidity',
  inPercent: 'In % relative humidity.',
  highHumidity: 'Upper end of humidity',
  needOfUv: 'Need of UV',
  leastUvHours: 'Least hours of UV a day',
  mostUvHours: 'Most hours of UV a day',
  yourSource: 'Your source',
  save: 'Save',
  enteredByKeeper: 'entered by the keeper',
  fallNote: (points: number) => `Worth nothing ${points} points outside: common practice, no source.`,
} as const;

/** What stands on the page of a species: headings, labels and short sentences. */
export const speciesPageWords = {
  temperature: 'Temperature',
  homeLight: 'Home and light',
  home: 'Home',
  lightDay: 'Light a day',
  humidity: 'Humidity',
  water: 'Water',
  hidesEnrichment: 'Hides and enrichment',
  hides: 'Hides',
  enrichment: 'Enrichment',
  sizeCompanyOpenAir: 'Size, company and the open air',
  adultSize: 'Adult size',
  growth: 'Growth',
  company: 'Company',
  outdoors: 'Outdoors',
  stagesSeasons: 'Stages and seasons',
  alsoCalled: 'Also called',
  olderScientificNames: 'Older scientific names',
  group: 'Group',
  active: 'Active',
  wayLife: 'Way of life',
  whereSourcesDiffer: 'Where sources differ',
  space: 'Space',
  caution: 'Caution',
  oneAnimalEnclosure: 'One animal to an enclosure.',
  tooCool: 'too cool',
  tooWarm: 'too warm',
  notScored: ' This is the animal itself and is not scored: no reading of a place stands for it.',
  need: 'Need',
  sourcesDiffer: 'Sources differ; each is scored and the score is shown as a range.',
  sourcesAgree: 'One source or more agree.',
  oneRange: 'What is aimed at',
  hoursDay: 'Hours a day',
  missingThreatensLife: ' Missing it threatens life.',
  relativeHumidity: 'Relative humidity',
  anyHumidity: 'Any: it is not scored.',
  moistHide: 'Moist hide',
  moistHideRequired: 'Required, whatever the air is like.',
  moistHideNotRequired: 'Not required at all times.',
  depth: 'Depth',
  itsOwnLength: 'its own length',
  noFigureKnown: 'No figure is known.',
  ownTargetsBelow: 'Targets of its own, below.',
} as const;

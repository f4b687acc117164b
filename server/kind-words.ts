// What each kind of thing is called that a species, an enclosure or an animal can have: needs, readings, fittings, checks, seasons, zones. The
// names alone; what is said about them stands in the words file of its subject.

import type { Check, FittingKind, Material, ReadingKind, Top } from '../src/collection.ts';
import type { AnimalScore } from '../src/score.ts';
import type {
  Enrichment,
  HideZone,
  Measure,
  Need,
  RuleSet,
  SpaceRule,
  Species,
  TemperatureKind,
  UvZone,
} from '../src/species.ts';
import type { Dimension, UnitSystem } from '../src/units.ts';
import { formatQuantity } from '../src/units.ts';
import { listed } from './words.ts';

/** The needs, as the heading of a row. */
export const needNames: Readonly<Record<Need, string>> = {
  safety: 'Safety',
  heat: 'Heat',
  uv: 'UV',
  humidity: 'Humidity',
  space: 'Space',
  hides: 'Hides',
  enrichment: 'Enrichment and choice',
  water: 'Water',
};

export const seasonWords: Readonly<Record<AnimalScore['season'], string>> = {
  active: 'the active season',
  cooling: 'cooling',
  'winter-rest': 'winter rest',
};

/** The months of the year, January first. */
export const monthNames = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
] as const;

export const stageWords: Readonly<Record<AnimalScore['stage'], string>> = {
  hatchling: 'hatchling',
  juvenile: 'juvenile',
  adult: 'adult',
};

/** The kinds of temperature, each measured at its own place. */
export const temperatureNames: Readonly<Record<TemperatureKind, string>> = {
  'hot-spot-surface': 'hot-spot surface',
  'warm-hide-floor': 'floor of the warm hide',
  'warm-air': 'warm air',
  'cool-end-air': 'air at the cool end',
  'night-air': 'air at night',
  water: 'water',
  body: 'body',
};

/** The kinds of reading as a list shows them. */
export const readingNames: Readonly<Record<ReadingKind, string>> = {
  'hot-spot-surface': 'Temperature of the hot-spot surface',
  'warm-hide-floor': 'Temperature of the floor of the warm hide',
  'warm-air': 'Temperature of the warm air',
  'cool-end-air': 'Temperature of the air at the cool end',
  'night-air': 'Temperature of the air at night',
  water: 'Temperature of the water',
  'uvi-basking': 'UV index at the basking place',
  'uvi-lowest': 'UV index at the darkest place within reach',
  'humidity-day': 'Relative humidity by day',
  'humidity-night': 'Relative humidity at night',
  'humidity-retreat': 'Relative humidity in the moist hide',
  'water-depth': 'Depth of the water',
};

/** Where and how each kind is read. */
export const readingHints: Readonly<Record<ReadingKind, string>> = {
  'hot-spot-surface':
    'The surface the animal lies on under the lamp, with an infrared thermometer or a probe, at the hottest hour.',
  'warm-hide-floor': 'Inside the warm hide, with a probe on the floor, after the heat has been on for some hours.',
  'warm-air': 'In the shade at the warm end, at the height of the animal.',
  'cool-end-air': 'At the end away from the heat, at the height of the animal, at the hottest hour.',
  'night-air': 'At the height of the animal, before the lights come on.',
  water: 'In the middle of the water, away from the heater.',
  'uvi-basking':
    'At the height of the back of the basking animal, with a UV index meter pointed for the highest reading.',
  'uvi-lowest': 'Where the animal can get away from the light: inside a solid hide it is 0.',
  'humidity-day': 'In the middle of the enclosure, away from water and mist, in the afternoon.',
  'humidity-night': 'In the same place, before the lights come on.',
  'humidity-retreat': 'Inside the moist hide.',
  'water-depth': 'From the surface to the bottom where the animal swims or bathes.',
};

/** What is measured by each kind of reading. */
export const readingDimensions: Readonly<Record<ReadingKind, Dimension>> = {
  'hot-spot-surface': 'temperature',
  'warm-hide-floor': 'temperature',
  'warm-air': 'temperature',
  'cool-end-air': 'temperature',
  'night-air': 'temperature',
  water: 'temperature',
  'uvi-basking': 'uv-index',
  'uvi-lowest': 'uv-index',
  'humidity-day': 'humidity',
  'humidity-night': 'humidity',
  'humidity-retreat': 'humidity',
  'water-depth': 'length',
};

export const evidenceWords: Readonly<Record<'measured' | 'estimated' | 'unknown', string>> = {
  measured: 'measured',
  estimated: 'estimated',
  unknown: 'unknown',
};

export const materialNames: Readonly<Record<Material, string>> = {
  glass: 'Glass',
  wood: 'Wood',
  pvc: 'Rigid PVC',
  acrylic: 'Acrylic',
  mesh: 'Mesh',
  other: 'Something else',
};

export const topNames: Readonly<Record<Top, string>> = {
  closed: 'Closed, with vents',
  mesh: 'Mesh',
  open: 'Open',
};

export const fittingNames: Readonly<Record<FittingKind, string>> = {
  'uv-tube': 'UV-B tube',
  'uv-compact': 'Compact UV-B lamp',
  'basking-lamp': 'Basking lamp',
  'heat-mat': 'Heat mat',
  'ceramic-heater': 'Ceramic heater without light',
  'radiant-panel': 'Overhead radiant panel',
  'rock-heater': 'Heated rock',
  'water-heater': 'Water heater',
  'unknown-heater': 'Heater that nobody has looked at',
  thermostat: 'Thermostat',
  'unknown-thermostat': 'Thermostat that nobody has looked for',
  guard: 'Guard for a lamp or heater',
  timer: 'Timer',
  hide: 'Hide',
  'moist-hide': 'Moist hide',
  branches: 'Branches or ledges to climb',
  'deep-substrate': 'Substrate deep enough to dig',
  'feeding-toy': 'Feeding that takes effort',
  novelty: 'Things changed from time to time',
  plants: 'Plants or other cover',
  'water-dish': 'Water dish to bathe in',
  pool: 'Water to swim in',
  filter: 'Water filter',
  'dry-dock': 'Dry place above the water',
  mister: 'Mister',
  insulation: 'Insulation',
  'outdoor-run': 'Outdoor run or balcony',
  'basking-place': 'Basking place (rock, ledge, platform)',
  shelf: 'Shelf or ledge',
  perch: 'Perch',
  fan: 'Fan',
  chiller: 'Chiller',
  other: 'Something else',
};

/** One line on each kind of fitted thing, for who is to choose one. */
export const fittingHints: Readonly<Record<FittingKind, string>> = {
  'uv-tube': 'A long lamp that gives UV-B over a part of the length.',
  'uv-compact': 'A screw-in lamp that gives UV-B near one place.',
  'basking-lamp': 'Light and heat from above on one place.',
  'heat-mat': 'Flat, below or behind; warms a floor, hardly the air.',
  'ceramic-heater': 'Warms the air from above without light, also at night.',
  'radiant-panel': 'A flat panel under the top that warms what is below it, without light.',
  'rock-heater': 'A rock with a heater in it; burns are known from these.',
  'water-heater': 'Stands in the water and warms it.',
  'unknown-heater': 'Something warms, and what it is or whether a thermostat holds it is not known yet.',
  thermostat: 'Switches or dims a heater by a probe.',
  'unknown-thermostat': 'Whether a heater has a thermostat is not known yet.',
  guard: 'Mesh or bars that keep the animal off a lamp or heater.',
  timer: 'Switches lamps on and off by the clock.',
  hide: 'A place to be out of sight.',
  'moist-hide': 'A hide with damp filling, for shedding.',
  branches: 'Rough wood, vines or rock at several heights.',
  'deep-substrate': 'A floor that can be dug in.',
  'feeding-toy': 'Food that has to be found or worked for.',
  novelty: 'Objects and smells that change.',
  plants: 'Cover from view; real or not.',
  'water-dish': 'Large enough to lie in.',
  pool: 'Water of a depth to swim in.',
  filter: 'Cleans the water.',
  'dry-dock': 'Where an animal leaves the water to dry and bask.',
  mister: 'Sprays or fogs water by hand or by the clock.',
  insulation: 'Boards outside that keep warmth in.',
  'outdoor-run': 'A place in the open air for part of the year.',
  'basking-place': 'What lies under a lamp: its height says how near the animal comes.',
  shelf: 'A raised floor.',
  perch: 'A branch or bar at a height of its own.',
  fan: 'Moves air through the box.',
  chiller: 'Cools air or water.',
  other: 'Anything that none of these is.',
};

export const hideZoneNames: Readonly<Record<HideZone, string>> = {
  warm: 'the warm end',
  cool: 'the cool end',
  moist: 'a moist place',
  high: 'a high place',
  'under-water': 'under water',
};

/** The places where hides belong, in words: 'at the warm end and under water'. */
export function placesOfHides(zones: readonly HideZone[]): string {
  const land = zones.filter((zone) => zone !== 'under-water').map((zone) => hideZoneNames[zone]);
  const water = zones.includes('under-water') ? [hideZoneNames['under-water']] : [];
  return listed([...(land.length === 0 ? [] : [`at ${listed(land)}`]), ...water]);
}

export const enrichmentNames: Readonly<Record<Enrichment, string>> = {
  climb: 'something to climb',
  dig: 'something to dig in',
  feeding: 'feeding that takes effort',
  novelty: 'something changed from time to time',
  swim: 'water to swim in',
  choice: 'a choice of a warm and a cool place',
};

/** The answer of whoever did not look what is between a lamp and the animal. */
export const unlookedMesh = { value: 'unknown', label: 'I do not know, nobody looked' } as const;

/** The share of UV that passes a mesh; starting values by mesh, common practice without a source. */
export const meshShares: readonly { value: string; label: string }[] = [
  { value: '1', label: 'Nothing between lamp and animal' },
  { value: '0.85', label: 'Open guard or coarse grid: passes about 85 % (common practice)' },
  { value: '0.8', label: 'Wide mesh: passes about 80 % (common practice)' },
  { value: '0.66', label: 'Insect screen: passes about 66 % (common practice)' },
];

/** How an animal of a species is measured. */
export const measureNames: Readonly<Record<Measure, string>> = {
  'snout-vent': 'from snout to vent',
  total: 'from snout to tail tip',
  'snout-tail': 'from snout to the tip of an unbroken tail',
  carapace: 'straight along the carapace',
};

export const ruleSetNames: Readonly<Record<RuleSet, string>> = {
  evidence: 'Evidence on the species or its relatives',
  'DE-1997': 'German expert report of 1997',
  'DE-pages': 'German federal ministry pages',
  AT: 'Austrian ordinance',
  CH: 'Swiss ordinance',
  SE: 'Swedish regulation',
  'EU-laboratory': 'European directive on laboratory animals',
  practice: 'Common practice',
  own: 'Your own value',
};

export const basisWords: Readonly<Record<SpaceRule['basis'], string>> = {
  evidence: 'evidence',
  guidance: 'guidance',
  'legal-minimum': 'a legal minimum',
  'laboratory-minimum': 'a minimum for laboratories',
};

export const uvNeedWords: Readonly<Record<Species['uv']['need'], string>> = {
  required: 'UV-B is required.',
  'optional-response-found': 'UV-B is optional; a trial found that it raises vitamin D.',
  'optional-no-response-shown': 'UV-B is optional; no trial has shown a response.',
};

export const groupWords: Readonly<Record<Species['group'], string>> = {
  lizard: 'lizard',
  snake: 'snake',
  tortoise: 'tortoise',
  turtle: 'turtle',
  frog: 'frog or toad',
  salamander: 'salamander or newt',
};

export const activityWords: Readonly<Record<Species['activity'], string>> = {
  day: 'by day',
  night: 'at night',
  twilight: 'at dusk and dawn',
};

export const habitWords: Readonly<Record<Species['habit'], string>> = {
  ground: 'on the ground',
  climbing: 'climbs',
  burrowing: 'burrows',
  'semi-aquatic': 'in and beside water',
  aquatic: 'in water',
};

/** The question of each check, and why it is asked. */
export const checkQuestions: Readonly<Record<Check, { question: string; why: string }>> = {
  'escape-proof': {
    question: 'Can nobody get out?',
    why: 'Doors locked or pinned, gaps around cables closed, a lid that cannot be pushed up.',
  },
  'nothing-toxic': {
    question: 'Is everything inside free of poison, fumes and sharp edges?',
    why: 'Plants, paint, glue, sealant, wood and substrate all count.',
  },
  'probe-in-place': {
    question: 'Is the probe of each thermostat fixed where it should measure?',
    why: 'A probe that slips off its place lets the heater run on.',
  },
  'dark-at-night': {
    question: 'Is it dark at night?',
    why: 'No lamp with light, also no coloured one, is on at night.',
  },
  'residual-current-device': {
    question: 'Does a residual-current device protect the sockets?',
    why: 'It cuts the current within a blink when it leaks to earth. A qualified electrician can tell.',
  },
  'smoke-alarm': {
    question: 'Is there a tested smoke alarm in the room?',
    why: 'Lamps and heaters run unattended.',
  },
  'drip-loop': {
    question: 'Does every cable hang in a loop below its socket?',
    why: 'Water that runs along a cable then drips off before it reaches the socket.',
  },
  'easy-exit': {
    question: 'Can the animal climb out of every water place easily?',
    why: 'A stone, a ramp or a rough edge keeps a tired animal from drowning.',
  },
  'water-quality-tested': {
    question: 'Is the quality of the water tested regularly?',
    why: 'Ammonium, nitrite and nitrate are invisible.',
  },
};

export const answerWords: Readonly<Record<'yes' | 'no' | 'unknown', string>> = {
  yes: 'Yes',
  no: 'No',
  unknown: 'I do not know',
};

export const waterFeatureNames: Readonly<Record<string, string>> = {
  'bathing-dish': 'water to bathe in',
  'swimming-water': 'water to swim in',
  filter: 'a filter',
  'dry-dock': 'a dry place',
  'easy-exit': 'an easy way out',
  'quality-tested': 'regular tests of its quality',
};

/** States of an animal that a keeper dates. */
export const stateNames = { gravid: 'gravid (carrying eggs or young)', quarantine: 'in quarantine' } as const;

/** UV zones as a reader knows them: 'zone 3' or 'zones 3 and 4'. */
export function zoneWords(zones: readonly UvZone[]): string {
  const distinct = [...new Set(zones)].map(String);
  return distinct.length === 1 ? `zone ${distinct[0]}` : `zones ${listed(distinct)}`;
}

/** A reading's value in the keeper's units. */
export function readingText(reading: ReadingKind, value: number, system: UnitSystem): string {
  return formatQuantity(value, readingDimensions[reading], system);
}

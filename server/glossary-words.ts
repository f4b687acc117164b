// The glossary: the words of the trade and of this ledger, each with one plain sentence and, where a number is meant, its unit; and the
// words that stand for none of them, so that a thing has one name on every page.

/** One word. `unit` is that of its number, null where none is meant; `key` names its place on the page. */
type Term = { key: string; term: string; meaning: string; unit: string | null };

/** The chapters of the glossary, each in the order of its reading. */
export const glossary: readonly { heading: string; terms: readonly Term[] }[] = [
  {
    heading: 'What stands in the room',
    terms: [
      {
        key: 'enclosure',
        term: 'enclosure',
        meaning: 'The place an animal lives in, with everything in it.',
        unit: null,
      },
      {
        key: 'box',
        term: 'box',
        meaning: 'The walls, floor and top of an enclosure alone.',
        unit: 'cm or inches inside',
      },
      {
        key: 'set-up',
        term: 'set-up',
        meaning: 'An enclosure as it is at one time: its box, what is fitted, how that is set, and who lives there.',
        unit: null,
      },
      {
        key: 'fitting',
        term: 'fitted thing',
        meaning:
          'Anything in or on an enclosure that does something for the animal: a lamp, a heater, a hide, a guard.',
        unit: null,
      },
      { key: 'hide', term: 'hide', meaning: 'A closed place in which an animal is out of sight.', unit: null },
      {
        key: 'moist-hide',
        term: 'moist hide',
        meaning: 'A hide with damp filling, in which an animal sheds its skin.',
        unit: null,
      },
      {
        key: 'basking-place',
        term: 'basking place',
        meaning: 'Where an animal lies under a lamp to become warm.',
        unit: null,
      },
      {
        key: 'hot-spot',
        term: 'hot spot',
        meaning: 'The warmest surface of the basking place.',
        unit: '°C or °F at the surface',
      },
      {
        key: 'cool-end',
        term: 'cool end',
        meaning: 'The part of an enclosure farthest from its heat.',
        unit: '°C or °F',
      },
      {
        key: 'guard',
        term: 'guard',
        meaning: 'Mesh or bars around a lamp or heater, so that the animal cannot touch it.',
        unit: null,
      },
      {
        key: 'thermostat',
        term: 'thermostat',
        meaning: 'Holds a heater at a temperature by the reading of its probe.',
        unit: '°C or °F',
      },
      { key: 'probe', term: 'probe', meaning: 'The end of an instrument or thermostat that feels.', unit: null },
      {
        key: 'ceramic-heater',
        term: 'ceramic heater',
        meaning: 'A heater that screws into a holder and gives no light.',
        unit: 'W',
      },
      { key: 'substrate', term: 'substrate', meaning: 'What the floor of an enclosure is covered with.', unit: null },
      {
        key: 'residual-current-device',
        term: 'residual-current device',
        meaning: 'Cuts the current when some of it leaks to earth. Called GFCI in the United States.',
        unit: 'mA',
      },
      {
        key: 'drip-loop',
        term: 'drip loop',
        meaning: 'A cable that hangs below its socket, so that water running along it drips off first.',
        unit: null,
      },
    ],
  },
  {
    heading: 'Light, heat and air',
    terms: [
      {
        key: 'uv-index',
        term: 'UV index',
        meaning: 'How strongly light of a place acts on skin, on the scale of weather reports; also written UVI.',
        unit: 'a plain number, about 0 to 12 outdoors',
      },
      {
        key: 't5',
        term: 'T5',
        meaning: 'A fluorescent tube 16 mm thick, brighter than the older, thicker ones.',
        unit: 'W',
      },
      { key: 'uvi', term: 'UVI', meaning: 'The UV index, in short.', unit: 'a plain number' },
      { key: 'uv', term: 'UV', meaning: 'Ultraviolet light; here mostly UV-B.', unit: null },
      {
        key: 'uv-b',
        term: 'UV-B',
        meaning: 'The part of ultraviolet light with which skin makes vitamin D3.',
        unit: null,
      },
      {
        key: 'd3',
        term: 'D3',
        meaning: 'The vitamin that lets an animal use calcium; made in skin under UV-B, or given with food.',
        unit: null,
      },
      {
        key: 'uv-zone',
        term: 'UV zone',
        meaning: 'One of four groups of species by how much sun they seek, each with its own UV index.',
        unit: 'zones 1 to 4',
      },
      {
        key: 'humidity',
        term: 'relative humidity',
        meaning: 'How much water the air holds of what it could hold at its temperature.',
        unit: '%',
      },
      {
        key: 'kwh',
        term: 'kWh',
        meaning: 'A kilowatt-hour: what a thing of 1000 W uses in an hour. Power is paid by it.',
        unit: 'kWh',
      },
    ],
  },
  {
    heading: 'What is known',
    terms: [
      {
        key: 'need',
        term: 'need',
        meaning: 'One of eight kinds of things an animal must be offered, such as heat.',
        unit: '0 to 100 points',
      },
      {
        key: 'target',
        term: 'target',
        meaning: 'What a species needs of one thing, as a range with its source.',
        unit: 'that of the thing',
      },
      {
        key: 'reading',
        term: 'reading',
        meaning: 'What an instrument showed at one place on one day, or an estimate of that.',
        unit: 'that of the instrument',
      },
      {
        key: 'round',
        term: 'round',
        meaning: 'Several readings of one enclosure, taken one after another.',
        unit: null,
      },
      {
        key: 'instrument',
        term: 'instrument',
        meaning: 'What readings are taken with. What it reads of, and how far it may be wrong, is told once.',
        unit: null,
      },
      {
        key: 'logger',
        term: 'logger',
        meaning: 'An instrument that writes down readings by itself, at set times.',
        unit: null,
      },
      {
        key: 'figure',
        term: 'figure',
        meaning: 'A number of the library of species, with its source and how well it is known.',
        unit: 'that of the thing',
      },
      {
        key: 'shortfall',
        term: 'shortfall',
        meaning: 'A need whose value lies below its target, with the reasons.',
        unit: 'points',
      },
      {
        key: 'severe',
        term: 'severe',
        meaning: 'A shortfall on which life may depend, or where nothing is fitted for the need.',
        unit: null,
      },
      {
        key: 'score',
        term: 'score',
        meaning:
          'How much of what a species is known to need an enclosure offers. It says nothing of how an animal feels.',
        unit: '0 to 100 points',
      },
      { key: 'weight', term: 'weight', meaning: 'How much a need counts in a score. A value choice.', unit: 'a share' },
      {
        key: 'allowance',
        term: 'allowance',
        meaning: 'How far a score may lie above one of its needs. A value choice.',
        unit: 'points',
      },
      {
        key: 'points-months',
        term: 'points × months',
        meaning: 'Points gained, times the months for which they are gained.',
        unit: 'points times months',
      },
      {
        key: 'agreed-practice',
        term: 'agreed practice',
        meaning:
          'How well the field knows a figure: professionals agree on it. Whether we read a source that says so is told apart.',
        unit: null,
      },
      {
        key: 'hearsay',
        term: 'hearsay',
        meaning: 'How well the field knows a figure: it is the custom of keepers.',
        unit: null,
      },
      {
        key: 'from-memory',
        term: 'from memory',
        meaning: 'Whether we could check the source: we could not, so check the figure before relying on it.',
        unit: null,
      },
      {
        key: 'sign',
        term: 'sign',
        meaning: 'What you see of the animal itself, such as its weight. Never a part of a score.',
        unit: null,
      },
    ],
  },
  {
    heading: 'Money and plans',
    terms: [
      {
        key: 'upgrade',
        term: 'upgrade',
        meaning: 'A change to a set-up that is wanted, bought or fitted, with its price.',
        unit: 'your currency',
      },
      {
        key: 'proposal',
        term: 'proposal',
        meaning: 'An upgrade that the ledger thought of, until you want or refuse it.',
        unit: null,
      },
      {
        key: 'purchase',
        term: 'purchase',
        meaning: 'An upgrade in the month in which it is paid.',
        unit: 'your currency',
      },
      {
        key: 'backlog',
        term: 'backlog',
        meaning: 'What is still to be bought so that every need of everybody is near its target, at the least cost.',
        unit: 'your currency',
      },
      {
        key: 'plan',
        term: 'plan',
        meaning: 'Which upgrades are bought in which month, worked out by the ledger.',
        unit: null,
      },
      {
        key: 'roadmap',
        term: 'roadmap',
        meaning: 'The page that shows the plan, month by month, with its reasons.',
        unit: null,
      },
      {
        key: 'renewal',
        term: 'renewal',
        meaning: 'A new one in place of a fitted thing whose life is over.',
        unit: 'your currency',
      },
      { key: 'floor', term: 'floor you keep', meaning: 'A sum that is never spent.', unit: 'your currency' },
      {
        key: 'cap',
        term: 'cap',
        meaning: 'How many animals your money, room and hours carry.',
        unit: 'animals',
      },
      { key: 'value-choice', term: 'value choice', meaning: 'What no study can settle, and you decide.', unit: null },
    ],
  },
];

/** Words that no page uses, each with the one that stands for the thing. */
export const notOurWords: Readonly<Record<string, string>> = {
  terrarium: 'enclosure',
  vivarium: 'enclosure',
  tub: 'box',
  tank: 'enclosure',
  cage: 'enclosure',
  setup: 'set-up',
  measurement: 'reading',
  gadget: 'fitted thing',
  gear: 'fitted thing',
  suggestion: 'proposal',
  recommendation: 'proposal',
  wishlist: 'upgrade',
  dashboard: 'this month',
  pet: 'animal',
  owner: 'keeper',
  user: 'keeper',
  hideout: 'hide',
  deficit: 'shortfall',
  setpoint: 'target',
};

// What somebody knows who never kept an animal or read a page of this ledger, and what means something else in daily life as well.
const needsNoExplaining = new Set([
  'enclosure',
  'box',
  'set-up',
  'fitting',
  'hide',
  'basking-place',
  'thermostat',
  'need',
  'target',
  'reading',
  'round',
  'instrument',
  'logger',
  'figure',
  'score',
  'weight',
  'sign',
  'upgrade',
  'purchase',
  'plan',
  'renewal',
  'cap',
]);
const explained = glossary.flatMap(({ terms }) => terms).filter(({ key }) => !needsNoExplaining.has(key));
const keyOfTerm = new Map(explained.map(({ key, term }) => [term.toLowerCase(), key]));
// The longest first, so that UV-B is not taken for UV.
const anyExplained = new RegExp(
  `(?<![\\w-])(${[...keyOfTerm.keys()].sort((a, b) => b.length - a.length).join('|')})s?(?![\\w-])`,
  'gi',
);

/** The words a text uses that a newcomer may not know, in the order of the glossary. */
export function wordsUsedIn(text: string): readonly Term[] {
  const used = new Set([...text.matchAll(anyExplained)].map((one) => keyOfTerm.get(one[1]!.toLowerCase())));
  return explained.filter(({ key }) => used.has(key));
}

/** Where on its page the glossary has a word. */
export const placeOfWord = (key: string): string => `word-${key}`;

/** The page of the glossary itself, and the words explained under the others. */
export const glossaryWords = {
  onThisPage: 'Words on this page',
  heading: 'Words',
  lead: 'The words of the trade and of this ledger, each in one sentence. A thing has one name on every page.',
  link: 'Words of this ledger',
  unit: (unit: string) => `Unit: ${unit}.`,
} as const;

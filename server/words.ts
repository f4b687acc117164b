// Every sentence that is shown in more than one place, or that turns a reason from src/ into English; those about plans stand beside it in
// plan-words.ts. No other file does so.

import type { Budget, Entry, Unknown } from '../src/budget.ts';
import type { ClockHours, HourFault, PlainDate } from '../src/calendar.ts';
import { formatDate, formatMonth } from '../src/calendar.ts';
import type { CareFigures } from '../src/care-figures.ts';
import type { Check, FittingKind, Material, ReadingKind, Top } from '../src/collection.ts';
import type { Currency, Money, MoneyFault } from '../src/money.ts';
import { formatMoney, LARGEST_TYPED, money, typedMoney } from '../src/money.ts';
import type { Reason } from '../src/needs.ts';
import type { Lowered } from '../src/proposals.ts';
import type { CoolingWay, ProposedAct } from '../src/remedies.ts';
import type { AnimalScore, Band, NeedScore, ValueChoices } from '../src/score.ts';
import type { Silence } from '../src/space.ts';
import type {
  Cited,
  Enrichment,
  Grade,
  HideZone,
  Measure,
  Need,
  Never,
  RuleSet,
  Source,
  SpaceRule,
  Species,
  Standing,
  TemperatureKind,
  UvZone,
} from '../src/species.ts';
import type { Dimension, QuantityFault, UnitSystem } from '../src/units.ts';
import { degreesOf, formatArea, formatQuantity, formatSize, formatSpan, withMeasuresIn } from '../src/units.ts';
import type { Change, FateInNewBox } from '../src/upgrades.ts';
import type { StorageFault } from './db/open.ts';

/** The name of the product. */
export const productName = 'Basking Ledger';

/** The words of the main menu, by the place they lead to. */
export const menuWords = {
  home: 'This month',
  thisMonth: 'Everything to do',
  shopping: 'Shopping list',
  measuring: 'Measure before buying',
  roadmap: 'Roadmap',
  upgrades: 'Upgrades',
  animals: 'Animals',
  enclosures: 'Enclosures',
  rooms: 'Rooms and sockets',
  instruments: 'Instruments',
  species: 'Species',
  money: 'Money',
  renewals: 'What wears out',
  cap: 'How many animals',
  months: 'Months',
  progress: 'Progress',
  valueChoices: 'Value choices',
  settings: 'Settings',
  export: 'Export and import',
  about: 'About the score',
  guide: 'Guide',
} as const;

/** The day at the head of a printed page. */
export const asOfDay = (day: string) => `As of ${day}`;

/** The chapters of the main menu, in the order in which every page shows them. */
export const menuChapters: readonly { heading: string; places: readonly (keyof typeof menuWords)[] }[] = [
  { heading: 'Decide', places: ['home', 'thisMonth', 'shopping', 'measuring', 'roadmap', 'upgrades'] },
  { heading: 'Keep', places: ['animals', 'enclosures', 'rooms', 'instruments', 'species'] },
  { heading: 'Account', places: ['money', 'renewals', 'cap', 'months', 'progress'] },
  { heading: 'This book', places: ['guide', 'about', 'valueChoices', 'settings', 'export'] },
];

/** What belongs on the pages that gather from others, by their addresses, for as long as nothing was entered. */
export const emptyPlaces: Readonly<Record<string, string>> = {
  '/this-month':
    'Here stands everything to do this month, what costs nothing first, once an animal is entered and a plan is made.',
  '/shopping': 'Here stands what to buy this month, with what to measure before, once there is a plan.',
  '/measuring': 'Here stands which reading is worth taking before money is spent, once an animal is entered.',
  '/measuring/weekend': 'Here stands the shortest list of readings for a borrowed meter, once an animal is entered.',
  '/months':
    'Here stand the months you closed, each as it was. The first can be closed when the month of your first plan is over.',
  '/renewals': 'Here stands what wears out and when, such as a UV tube, once it is entered with the box it hangs in.',
};

/** The heading and the button of those. */
export const emptyWords = { heading: 'Nothing belongs here yet', action: 'Begin with an animal' };

/** What stands on every page of the demonstration. */
export const demonstrationWords = {
  label: 'Demonstration; nothing here touches yours.',
  back: 'Back to my ledger',
};

/** What a page says once after a change was saved, by the name that the address carries. */
export const notices: Readonly<Record<string, string>> = {
  saved: 'Saved.',
  'others-signed-out': 'All others are signed out.',
  added: 'Added.',
  'first-added': 'Written down. Enter another animal, or go on to the next step.',
  settled: 'Taken for right.',
  'put-away': 'Put away. It can be taken out again at the foot of Settings.',
  'sent-twice':
    'This form reached the ledger twice and had its effect once. For another one like it, begin with a new form.',
  removed: 'Removed.',
  'removed-kept': 'Removed. It can be put back from the list of what was removed.',
  'put-back': 'Put back as it was.',
  wanted: 'It is wanted now and enters the next plan.',
  refused: 'Refused. It is kept in the list and enters no plan.',
  pinned: 'The month is fixed.',
  unpinned: 'The month is free again.',
  bought: 'Written down as bought.',
  'not-bought': 'Written down as not bought; it is wanted as before.',
  fitted: 'Fitted: the set-up was changed. Now read the instruments.',
  renewed: 'Renewed: its life begins anew, and what it cost is taken off the cash.',
  retired: 'Retired. It no longer counts, and stays in the list of what was used before.',
  broke: 'Written down as broken: it counts no more until a new one is in its place.',
  'spare-fitted':
    'Written down. The spare counts as new: read the instruments again, what was read before is only an estimate.',
  'works-after-all': 'It is in use again, and no new one is wanted for it.',
  'nothing-changed': 'Nothing was changed.',
  'taken-over': 'Taken over: the readings are in the list.',
  'month-closed': 'Closed. The month stays as it is here.',
  'months-closed': 'Closed. The months stay as they were.',
  'backup-made': 'The backup was made and checked.',
  'choices-saved': 'Saved. Scores go by it at once; a plan goes by it once you plan again.',
};

/** Texts around a value that more than one page shows. */
export const sharedWords = {
  removedRow: (name: string, day: string) => `${name}, removed on ${day}`,
  changedMeanwhile: (what: string) => `While you were typing, ${what} was changed elsewhere`,
  shippedChanged: (day: string) => `Shipped targets changed on ${day}`,
  usedBefore: (name: string, kind: string, day: string, details: string) =>
    `${name} (${kind}, since ${day}): ${details}.`,
  youKeep: (names: string) => `You keep ${names}`,
  notScoredYet: (species: string) => `(${species}): not scored until you say where it lives.`,
  version: (version: string) => `This is version ${version} of the program.`,
} as const;

/** The heading above the list of mistakes in a form. */
export function mistakesHeading(count: number): string {
  return count === 1
    ? 'One answer needs a change before this can be saved'
    : `${count} answers need a change before this can be saved`;
}

/** Sentences about typed answers, for rules that many forms share. */
export const formSentences = {
  required: (label: string) => `Fill in ${label}.`,
  tooLong: (label: string, limit: number, length: number) =>
    `Shorten ${label} to at most ${limit} characters; it has ${length}.`,
  strangeCharacter: (label: string) =>
    `Take out the invisible control character in ${label}; retyping it is the surest way.`,
  choose: (label: string) => `Choose one of the answers listed for ${label}.`,
  wholeNumber: (label: string) => `Write ${label} as a whole number in digits, such as 12.`,
  wholeNumberRange: (label: string, low: number, high: number) =>
    `Give ${label} as a whole number from ${low} to ${high}.`,
  decimal: (label: string, unit: string) =>
    unit === '' ? `Write ${label} as a number without a unit.` : `Write ${label} as a number, with or without ${unit}.`,
  decimalRange: (label: string, low: number, high: number) =>
    `Check ${label}: it must be between ${String(low).replace('-', '−')} and ${high}.`,
  date: (label: string) => `Give ${label} as a real day, written year-month-day, such as 2026-03-31.`,
  month: (label: string) => `Give ${label} as a month of the calendar, written year-month, such as 2026-03.`,
  years: (label: string, first: number, last: number) =>
    `Check the year of ${label}: it must be from ${first} to ${last}.`,
  unknownField: (name: string) =>
    `The form carried "${name}", which this page does not know. Open the page again and retype it.`,
  changedMeanwhile:
    'This was changed or removed meanwhile, so nothing was done. Go back, look at what is there now, and try again.',
  changedLookAgain:
    'This was changed elsewhere while this page was open. Look at what is there now; send this again to do it all the same.',
  removedMeanwhile:
    'This was removed while you were typing. Put it back from the list of what was removed, then send this again.',
  chooseFirst: 'The address does not say what kind this is. Choose the kind first, then fill in its form.',
  valueOrUnknown: 'Give the value, or choose “unknown”.',
  unknownHasNoValue: 'Empty the value, or choose “measured” or “estimated”.',
  roomTooHot: 'Check the temperature of the room: it is hotter than any room.',
  bothMonths: 'Choose both the first and the last month of this season, or neither.',
  seasonUnknown: (season: 'cooling' | 'winter-rest') =>
    `No targets for ${seasonWords[season]} are known for this species: leave both months undated.`,
  neverThere: 'Nothing is kept under that address.',
  wasRemoved: 'This was removed. It can be put back from the list of what was removed.',
  withoutVersion: 'The form did not say which version it was opened with. Open the page again and retype it.',
  notLater: (label: string) => `Check ${label}: it lies in the future.`,
  notBefore: (label: string, other: string) => `Check ${label}: it lies before ${other}.`,
  notAfter: (label: string, other: string) => `Check ${label}: it lies after ${other}.`,
  unreadable:
    'The form came in characters that could not be read, so nothing was saved. Open the page again and retype it.',
  repeatedField: (name: string) =>
    `The form carried "${name}" more than once, so it is unclear which was meant. Nothing was saved.`,
} as const;

/** In which degrees a temperature is typed. */
export function temperatureHint(system: UnitSystem): string {
  return degreesOf(system) === 'C' ? 'In °C unless you write °F.' : 'In °F unless you write °C.';
}

/** How an hour of the day is typed, by the keeper's clock. */
export function hourHint(clock: ClockHours): string {
  return clock === 24 ? 'A whole hour from 0 to 23; 6 pm is understood too.' : 'A whole hour, such as 6 pm.';
}

/** How the hour is typed at which something ends, so that midnight is the end of the day. */
export function endingHourHint(clock: ClockHours): string {
  return clock === 24 ? 'From 1 to 24.' : 'Such as 8 pm; 12 am is the end of the day.';
}

/** What is wrong with a typed hour of the day, and what to do. `last` is the last hour that is taken. */
export function hourSentence(label: string, fault: HourFault, clock: ClockHours, last: number): string {
  if (fault === 'morning-or-evening') return `Write am or pm after ${label}, such as 6 pm.`;
  return clock === 24
    ? `Write ${label} as a whole hour from ${last === 24 ? 1 : 0} to ${last}, such as 18.`
    : `Write ${label} as a whole hour, such as 6 pm.`;
}

/** What is wrong with a typed quantity, and what to do. */
export function quantitySentence(label: string, fault: QuantityFault): string {
  switch (fault.fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as a number, with its unit if you like.`;
    case 'ambiguous-comma':
      return `Write ${label} so that the comma cannot be a thousands separator, such as 1200 or 1.2.`;
    case 'wrong-unit':
      return fault.accepted.length === 0
        ? `Write ${label} as a number without a unit.`
        : `Write ${label} in ${alternatives(fault.accepted)}.`;
    case 'out-of-range':
      return `Check ${label}: it must be between ${fault.low} and ${fault.high}.`;
  }
}

/** What is wrong with a typed amount of money, and what to do. */
export function moneySentence(label: string, fault: MoneyFault, currency: Currency): string {
  switch (fault) {
    case 'empty':
      return formSentences.required(label);
    case 'not-a-number':
      return `Write ${label} as an amount in digits, such as 12.50.`;
    case 'too-many-decimals':
      return `Write ${label} with no more decimals than the currency has.`;
    case 'too-large':
      return `Check ${label}: it must be at most ${typedMoney(LARGEST_TYPED, currency)}.`;
    case 'negative':
      return `Give ${label} without a minus sign.`;
  }
}

/** What an error page says, by HTTP status: what happened and what to do. */
export const errorPages: Readonly<Record<number, { title: string; sentence: string }>> = {
  400: { title: 'That request could not be read', sentence: 'Check the address and try again. Nothing was changed.' },
  403: {
    title: 'That was sent from somewhere else',
    sentence:
      'Changes are only taken from the pages of this ledger itself. Nothing was changed: open the page here and send it again.',
  },
  404: { title: 'There is no such page', sentence: 'It may have been removed, or the address may be mistyped.' },
  409: { title: 'This was changed meanwhile', sentence: 'Go back, look at what is there now, and try again.' },
  413: {
    title: 'That is too much at once',
    sentence: 'Shorten the longest text and send it again. Nothing was saved.',
  },
  415: { title: 'That kind of file is not taken', sentence: 'Use the form on the page. Nothing was changed.' },
  421: {
    title: 'This ledger does not go by that address',
    sentence: 'Open it at the address it printed when it was started.',
  },
  429: { title: 'Too many tries', sentence: 'Wait a while, then try again.' },
  422: { title: 'That could not be understood', sentence: 'Go back and check what was typed. Nothing was saved.' },
  500: {
    title: 'Something went wrong in the program',
    sentence: 'What you sent was not saved. Go back and try again; what was saved before is still there.',
  },
  503: { title: 'The ledger cannot be used just now', sentence: 'Nothing was changed. Wait a moment, then try again.' },
};

/** What is said where the figures of an animal's species are gone, on a page of its own, on the animal's and where it would stand among others. */
export const unknownSpecies = {
  title: 'The figures of this species are gone',
  sentence:
    'They are no longer part of the ledger, so nothing can be judged by them. Choose another species on the page of the animal, or add this one again on the page of species.',
  ofAnimal: (name: string) =>
    `The figures of this species are no longer part of the ledger. ${name} is kept with everything you entered; its score is unknown and plans leave it out. Choose the species as the ledger now has it, or add this one again.`,
  choose: 'Choose the species',
  amongOthers: 'the figures of its species are no longer part of the ledger; its score is unknown.',
  livesHere: (name: string) =>
    `${name} lives here too. The figures of its species are no longer part of the ledger, so what is said of room, company and warmth leaves it out.`,
} as const;

/** What a person sees where a password is needed and there is none, or where somebody who is not signed in sent more than a form. */
export const shutPages = {
  noPassword: {
    title: 'The ledger is shut',
    sentence:
      'Other computers can reach it, and no password is set. Set one on its computer with npm run password, then open this page again.',
  },
  notSignedIn: {
    title: 'You are not signed in any more',
    sentence: 'Nothing was saved. Sign in in a new tab, then go back in this one and send it again.',
  },
} as const;

/** Pages for a disk or file that fails while the program runs. Each says that nothing was saved, and what to do. */
export const storagePages: Readonly<Record<StorageFault, { title: string; sentence: string }>> = {
  full: {
    title: 'Not saved: the disk is full',
    sentence:
      'Nothing of what you sent was saved; what was saved before is still there. Make room on the disk that holds the ledger, then send it again. The program need not be started again.',
  },
  'read-only': {
    title: 'Not saved: the ledger cannot be written',
    sentence:
      'Nothing of what you sent was saved; what was saved before is still there. Let the program write to the folder of the ledger, then send it again. The program need not be started again.',
  },
  moved: {
    title: 'Not saved: the ledger’s file is not in its place',
    sentence:
      'The file of the ledger was moved, removed or replaced while the program was running, so nothing of what you sent was saved. Put that file back, with the files beside it whose names begin with its own, and send it again. To use another file instead, stop the program first.',
  },
  busy: {
    title: 'Not saved: the ledger is in use',
    sentence:
      'Another program holds the file of the ledger, so nothing of what you sent was saved; what was saved before is still there. End that program, then send it again.',
  },
  damaged: {
    title: 'Not saved: the ledger’s file is damaged',
    sentence:
      'The file of the ledger can no longer be read whole, so nothing of what you sent was saved. Stop the program, keep the damaged file, put a good copy in its place and start again.',
  },
  failing: {
    title: 'Not saved: the disk does not answer as it should',
    sentence:
      'Nothing of what you sent was saved. See that the disk that holds the ledger is there and works, then send it again. If this goes on, stop the program and copy the folder of the ledger to another disk.',
  },
};

/** Words of which one is enough: 'a, b or c'. */
export function alternatives(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

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

/** Why a need is not scored. */
export function notScoredSentence(need: Need, why: 'no-target' | 'off', season: AnimalScore['season']): string {
  if (why === 'no-target') return `${needNames[need]} is not scored: no target is known for this species.`;
  if (season !== 'active') return `${needNames[need]} does not count during ${seasonWords[season]}.`;
  return `${needNames[need]} does not apply to this species or at this stage of its life.`;
}

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

/** How well a figure is known. */
export const gradeWords: Readonly<Record<Grade, string>> = {
  'tested-on-species': 'tested on this species',
  'studied-nearby': 'studied nearby',
  'agreed-practice': 'agreed practice',
  hearsay: 'hearsay',
};

/** What each grade means. */
export const gradeMeanings: Readonly<Record<Grade, string>> = {
  'tested-on-species': 'controlled work on the species itself',
  'studied-nearby': 'one study, a related species or field data',
  'agreed-practice': 'professionals agree on it',
  hearsay: 'the custom of keepers, or a popular copy',
};

/** What kind of source a figure has. */
export const standingWords: Readonly<Record<Standing, string>> = {
  published: 'published',
  secondary: 'secondary',
  'common-practice': 'common practice, no source',
  'from-memory': 'from memory, check before relying on it',
  'own-source': 'your own entry',
};

/** What each kind of source means. */
export const standingMeanings: Readonly<Record<Standing, string>> = {
  published: 'the publication, or its abstract, was read',
  secondary: 'read in another text that quotes it; look it up before citing it as law',
  'common-practice': 'a rule of the trade that no source was found for',
  'from-memory': 'known, but not read again; do not rely on it before you have checked it',
  'own-source': 'you entered the figure and said where it is from; nobody else checked it',
};

/** Where a figure comes from, in one line without its address. */
export function sourceLine({ title, body, year, section }: Source): string {
  const named = [title, body, year === null || title.includes(String(year)) ? '' : String(year), section];
  return named.filter((part) => part !== '').join('; ');
}

/**
 * How sure a figure is: how well the field knows it, then whether its source could be read, such as 'agreed practice; secondary'. What no
 * source was read for is only said to be known, since 'agreed practice; from memory' would seem to contradict itself.
 */
export function surenessLine({ grade }: Pick<Cited, 'grade'>, { standing }: Pick<Source, 'standing'>): string {
  const isOnlySaid = standing === 'from-memory' && grade !== 'hearsay';
  return `${isOnlySaid ? 'said to be ' : ''}${gradeWords[grade]}; ${standingWords[standing]}`;
}

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

/** The share of UV that passes a mesh; starting values by mesh, common practice without a source. */
export const meshShares: readonly { value: string; label: string }[] = [
  { value: '1', label: 'Nothing between lamp and animal' },
  { value: '0.85', label: 'Open guard or coarse grid: passes about 85 % (common practice)' },
  { value: '0.8', label: 'Wide mesh: passes about 80 % (common practice)' },
  { value: '0.66', label: 'Insect screen: passes about 66 % (common practice)' },
];

/** What misses when a kind of enrichment is not there. */
const enrichmentMissing: Readonly<Record<Enrichment, string>> = {
  climb: 'There is nothing to climb: no branches, perches or ledges are fitted.',
  dig: 'There is nothing to dig in: no deep substrate is entered.',
  feeding: 'No feeding that takes effort is entered.',
  novelty: 'Nothing that is changed from time to time is entered.',
  swim: 'There is no water to swim in.',
  choice: 'There is no known choice of places: a warm one and a cool one must both be read and at least half right.',
};

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

export const stateWords: Readonly<Record<'gravid' | 'quarantine', string>> = {
  gravid: 'carrying eggs or young',
  quarantine: 'in quarantine',
};

/** What is never proposed for a species. */
export const neverSentences: Readonly<Record<Never, string>> = {
  'close-top': 'Closing the top: it needs moving air.',
  'more-height': 'More height: it falls and is hurt.',
  novelty: 'New things from time to time: it is shy of them.',
  'overhead-heater': 'A heater from above.',
  'any-heater': 'A heater: it is harmed by warmth sooner than by cold.',
  'uv-lamp': 'A UV lamp: it keeps to water, shade or the dark, and bright light harms it.',
  acquire: 'Getting another one.',
  'winter-rest': 'Winter rest.',
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

export const waterFeatureNames: Readonly<Record<string, string>> = {
  'bathing-dish': 'water to bathe in',
  'swimming-water': 'water to swim in',
  filter: 'a filter',
  'dry-dock': 'a dry place',
  'easy-exit': 'an easy way out',
  'quality-tested': 'regular tests of its quality',
};

/** States of an animal that a keeper dates. */
export const stateNames = { gravid: 'gravid', quarantine: 'in quarantine' } as const;

/** What stands beside whatever rests on a target that is from memory alone. */
export const fromMemoryWords = {
  proposal: 'The target behind it is from memory: check it before you spend on it.',
  effect: 'target from memory, check it first',
  /** How much of a score rests on memory, as a share from 0 to 1. */
  share: (share: number) =>
    share < 0.005
      ? 'Nothing of this score hangs on a target from memory.'
      : `${percent(share)} of the weight of this score hangs on targets from memory: check them before you rely on it.`,
} as const;

/** What a proposal makes worse beside what it mends. */
export function loweredSentence({ need, from, to, severe, untilMeasured }: Lowered, animal: string): string {
  const [before, after] = [Math.round(from), Math.round(to)];
  if (severe)
    return `It leaves ${lowerFirst(needNames[need])} of ${animal} severely short: ${after} instead of ${before}.`;
  return untilMeasured
    ? `${needNames[need]} of ${animal} counts as ${after} instead of ${before} until you read it again.`
    : `It lowers ${lowerFirst(needNames[need])} of ${animal} from ${before} to ${after}.`;
}

/** UV zones as a reader knows them: 'zone 3' or 'zones 3 and 4'. */
export function zoneWords(zones: readonly UvZone[]): string {
  const distinct = [...new Set(zones)].map(String);
  return distinct.length === 1 ? `zone ${distinct[0]}` : `zones ${listed(distinct)}`;
}

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
    case 'unknown-reading':
      return unknownSentence(reason.kind, reason.cause);
    case 'uncertain-reading':
      return uncertainSentence(reason, locale);
    case 'no-heat-fitted':
      return `Nothing that heats is fitted, and the ${temperatureNames[reason.kind]} should lie within ${formatSpan(reason.low, reason.high, 'temperature', system)}.`;
    case 'no-uv-fitted':
      return reason.required
        ? 'No UV-B lamp is fitted, and this species needs UV-B.'
        : 'No UV-B lamp is fitted. For this species it is optional, so the need does not fall to 0.';
    case 'uv-below':
      return `The UV index at the basking place is ${uvi(reason.reading)}; ${zoneWords(reason.zones)} ${new Set(reason.zones).size === 1 ? 'begins' : 'begin'} at ${uvi(reason.wanted)}.`;
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
    case 'uv-hours-unknown':
      return 'How many hours a day the UV-B lamp is on is not entered.';
    case 'humidity-outside':
      return `The air holds ${formatQuantity(reason.reading, 'humidity', system)} relative humidity ${reason.time === 'day' ? 'by day' : 'at night'}, too ${reason.side === 'below' ? 'dry' : 'damp'}: it should lie within ${formatSpan(reason.low, reason.high, 'humidity', system)}.`;
    case 'no-moist-retreat':
      return 'There is no moist hide, which this species needs whatever the air is like.';
    case 'retreat-dry':
      return `The moist hide is too dry: its air reads ${formatQuantity(reason.reading, 'humidity', system)} and should be at least ${formatQuantity(reason.wanted, 'humidity', system)}.`;
    case 'space-short':
      return spaceSentence(reason, system);
    case 'space-minimum-only':
      return 'Only a minimum set by law or for laboratories is counted here; meeting it is worth at most 60 of 100.';
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

/** Why a reading is unknown. */
export function unknownSentence(
  kind: ReadingKind,
  cause: 'never-read' | 'box-changed' | 'thing-changed' | 'said-unknown',
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

/** What a proposal asks for, as the name it goes by in lists and in the roadmap. */
export function proposalName(act: ProposedAct, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  // What the keeper named stays as typed; only names of the list are written in their units.
  const ofTheList = (name: string) => withMeasuresIn(name, system);
  switch (act.act) {
    case 'kit': {
      const where = act.place === null ? '' : ` (${hideZoneNames[act.place]})`;
      const distance = act.distanceMm === null ? '' : `, ${length(act.distanceMm)} above the basking place`;
      if (act.parts.length === 0) return `Use what you have: ${listed(act.owned.map((one) => one.name))}`;
      const [first, ...others] = act.parts;
      const rest =
        others.length === 0 ? '' : ` with ${listed(others.map((one) => kitWords[one.what] ?? ofTheList(one.name)))}`;
      return `${withoutMetNeeds(ofTheList(first?.name ?? ''), [...others, ...act.owned])}${rest}${where}${distance}`;
    }
    case 'box':
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
      return `Hang ${act.fitting} ${length(act.distanceMm)} from the basking place`;
    case 'adjust-basking':
      return `Bring ${act.fitting} ${act.side === 'nearer' ? 'nearer' : 'farther away'}, a little at a time, until the hot spot reads ${readingText('hot-spot-surface', act.value, system)}`;
    case 'set-hours':
      return `Set ${act.fitting} to ${act.hours} hours a day`;
    case 'home-made-hide':
      return `Hide made of cardboard or cork (${hideZoneNames[act.place]})`;
    case 'scatter-food':
      return 'Scatter and hide the food so that it must be looked for';
    case 'swap-objects':
      return 'Swap an object or a scent in the enclosure now and then';
    case 'take-out':
      return `Unplug and take out: ${act.fitting}`;
    case 'do-check':
      return checkActs[act.check];
    case 'mist-by-hand':
      return `Mist by hand until the humidity reads ${readingText('humidity-day', act.value, system)}`;
    case 'cool-down':
      return `Cool it at once (move or dim the heat, air, shade the room) until the ${temperatureNames[act.kind]} reads ${formatQuantity(act.value, 'temperature', system)} or less`;
    case 'cool-by':
      return `${coolingWays[act.way]} until the ${temperatureNames[act.kind]} reads ${formatQuantity(act.value, 'temperature', system)} or less`;
    case 'air-more':
      return `Air more and mist less until the humidity reads ${readingText('humidity-day', act.value, system)}`;
  }
}

/** A reading's value in the keeper's units. */
export function readingText(reading: ReadingKind, value: number, system: UnitSystem): string {
  return formatQuantity(value, readingDimensions[reading], system);
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
function withoutMetNeeds(name: string, others: readonly { what: string }[]): string {
  const [thing, needs] = name.split(', needs ');
  if (needs === undefined) return name;
  const left = needs.split(' and ').filter((need) => !others.some(({ what }) => need === `a ${kitWords[what]}`));
  return left.length === 0 ? `${thing}` : `${thing}, needs ${left.join(' and ')}`;
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

/** What the page about the score says. */
export const aboutWords = {
  needsCaption: (isUsual: boolean) =>
    `Needs, weights and allowances (${isUsual ? 'defaults of this ledger' : 'as you chose them'})`,
  lead: 'How much of what a species is known to need an enclosure offers, as a number from 0 to 100.',
  parts: ({ alpha, allowances, priority }: Pick<ValueChoices, 'alpha' | 'allowances' | 'priority'>) => [
    {
      heading: 'What it judges',
      paragraphs: [
        'The score judges what an enclosure offers, never how an animal feels. No study ties such a number to the welfare of reptiles or amphibians, so read it as a list of what is missing, ordered.',
        'Signs of the animal itself, such as weight, appetite or injuries, are never averaged in. They come before any score, and a reptile vet comes before any purchase.',
      ],
    },
    {
      heading: 'How it is made',
      paragraphs: [
        'Each need gets a value from 0 to 100 against targets of the species for its stage of life and the season. The value of a need is that of its worst part: a good hot spot does not make up for a cold night.',
        `The score is the weighted mean of the needs, capped by the worst: good values elsewhere lift an animal ${capWords(allowances)}.`,
        'A need is called severe when its likeliest value is below 20 and life may depend on it, or when nothing is fitted that would meet it. What is merely unknown is not called severe; it stands in the list of what to measure first.',
        'A value held against a target from memory alone never makes a need severe: the page says that it would, so that you check the target. Whatever is proposed because of such a target says so too.',
        'The words are far short below 40, part way below 70, near below 90, and meets the target from there. An animal is never called near while a need is below 20, nor said to meet the target while one is below 55.',
      ],
    },
    {
      heading: 'What is uncertain',
      paragraphs: [
        `Every value is a range. A fresh reading leaves the error of its instrument; from the 31st day on the range grows by 0.15 points a day, up to 22; an estimate leaves 25 points on each side; what is unknown leaves everything open. The plan counts on the value ${alpha === 0.5 ? 'in the middle' : `${Math.round(alpha * 100)} % up`} of the range.`,
        'Unknown is never counted as 0 nor as good. A replaced, moved or resized box ends every reading taken in the old one.',
        'Weak evidence behind a target never lowers the weight of a need. Beside the score stands how much of it rests on memory: of the weight of all scored needs, what hangs on parts whose target is from memory. A need hangs on its lowest parts, to equal shares where several are.',
      ],
    },
    {
      heading: 'What is a choice and not a finding',
      paragraphs: [
        'Weights, allowances, how much the worst off count, how far a plan looks ahead and what a change of plan must gain are yours to choose. The widths of ranges, the limits of words and the middle of the range are defaults of this ledger. All of them are value choices, not published constants.',
        `${priorityWords(priority)} Every animal counts as one, whatever it costs and however rare it is.`,
        'Which rule lists for space count is your choice. Meeting only a minimum set by law or for laboratories is worth at most 60.',
      ],
    },
    {
      heading: 'What it does not replace',
      paragraphs: [
        'A reptile veterinarian judges the animal, and a qualified electrician and the rules where you live judge the wiring.',
      ],
    },
  ],
  asks: {
    safety:
      'Heaters regulated and guarded, nobody able to escape, nothing poisonous, company that fits; then the other checks.',
    heat: 'Each kind of temperature in its own band, measured at its own place.',
    uv: 'The UV index at the basking place, a place near 0, and the hours a day.',
    humidity: 'Humidity by day and by night, and a moist hide where the species needs one.',
    space: 'Length, floor and, for climbers, height against the strictest rule that counts for you.',
    hides: 'A hide for each animal in each part of the enclosure where the species hides.',
    enrichment: 'The kinds of things to do that suit the species, and a choice of a warm and a cool place.',
    water: 'Water as the species needs it: depth, temperature, filter, an easy way out.',
  } satisfies Record<Need, string>,
} as const;

// In one sentence where the needs of a kind share an allowance, as they do in a new ledger.
function capWords(allowances: ValueChoices['allowances']): string {
  const kinds = [['safety', 'heat', 'uv', 'humidity', 'water'], ['space', 'hides'], ['enrichment']] as const;
  const each = kinds.map((needs) => new Set(needs.map((need) => allowances[need])));
  if (each.some((one) => one.size > 1)) return 'only as far above each need as the table below says';
  const [critical, basic, quality] = each.map((one) => [...one][0]!);
  return `at most ${critical} points above its worst life-critical need, ${basic} above a basic one and ${quality} above one of quality`;
}

function priorityWords([low, middle, high]: ValueChoices['priority']): string {
  if (low === middle && middle === high) return 'In planning, every point counts alike, whoever gains it.';
  const times = (count: number) => ['not at all', 'once', 'twice', 'three times'][count] ?? `${count} times`;
  return `In planning, points below 40 count ${times(low)}, those from 40 to 70 ${times(middle)} and those above ${times(high)}, because the worst off come first here.`;
}

/** How much the library of species holds, and on what its sources disagree. */
export function careFiguresSentences({ species, figures, disagreements }: CareFigures): string[] {
  const on = (about: CareFigures['disagreements'][number]['about']) =>
    disagreements.filter((one) => one.about === about).length;
  return [
    `The library holds ${species} species with ${figures} figures, each with its source.`,
    `Sources put ${on('uv-zone')} species in more than one UV zone, and ask different room for ${on('space')}. Each answer stands in the species’ page.`,
  ];
}

/** How many figures are known in one way, of all. */
export function shareOfFigures(count: number, { figures }: CareFigures): string {
  return `${count} of ${figures} figures (${percent(count / Math.max(1, figures))}).`;
}

/** Cautions, shown where the thing they are about is decided. */
export const cautions = {
  mainsAndWater:
    'Mains electricity near water kills. Use equipment rated for damp places, drip loops and a residual-current device, and ask a qualified electrician about anything fixed.',
  burns:
    'Reptiles and amphibians do not move away from heat that burns them. Every heater takes a thermostat of the right type, and a guard or a place out of reach.',
  uvAndEyes:
    'UV-B lamps injure eyes and skin at short distance, yours too. Do not look into them, and give the animal a place without UV.',
  rockHeater:
    'A heated rock burns the belly of the animal that lies on it. The ledger counts it as a fault of safety and never proposes one.',
  unknowable: 'The ledger cannot tell whether a set-up is without danger; it only knows what was entered.',
  vet: 'The score judges what the enclosure offers, never how the animal feels. An animal that eats less, loses weight or looks unwell needs a reptile vet, whatever the score.',
} as const;

function uvi(value: number): string {
  return formatQuantity(value, 'uv-index', 'metric');
}

function percent(ratio: number): string {
  return `${Math.round(100 * ratio)} %`;
}

/** A number of months in words, rounded: 'less than a month', '1 month', '5 months'. */
export function monthCount(months: number): string {
  const whole = Math.round(months);
  return whole < 1 ? 'less than a month' : whole === 1 ? '1 month' : `${whole} months`;
}

/** Words as a list: 'a, b and c'. */
export function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

/** The same words beginning with a capital letter. */
export function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** The same words beginning with a small letter. */
export function lowerFirst(text: string): string {
  return text.startsWith('UV') ? text : text.slice(0, 1).toLowerCase() + text.slice(1);
}

/** Who pays for food, vet and power. */
export const payerWords = {
  sum: 'Yes, the sum must cover it',
  elsewhere: 'No, it is paid from elsewhere',
} as const;

/** What a movement of money is, in a few words. */
export function entryWords(entry: Entry, locale: string): string {
  switch (entry.what) {
    case 'sum':
      return 'The monthly sum';
    case 'food':
      return entry.fromDay === null ? 'Food' : `Food from ${formatDate(entry.fromDay, locale)} to the end of the month`;
    case 'vet':
      return 'Vet';
    case 'power':
      return 'Power';
    case 'renewal':
      return `Renewal of “${entry.name}”, due on ${formatDate(entry.dueOn, locale)}`;
    case 'running-cost':
      return entry.amount < 0 ? `Running cost of “${entry.name}”` : `Saved by “${entry.name}”`;
    case 'one-off':
      return entry.canWait ? `${entry.note} (can wait)` : entry.note;
    case 'set-aside':
      return setAsideWords(entry.animal);
    case 'vet-visit':
      return `Vet on ${formatDate(entry.on, locale)}, for ${entry.animal}`;
    case 'purchase':
      return `Bought on ${formatDate(entry.on, locale)}: ${entry.name}`;
    case 'refund':
      return `Came back on ${formatDate(entry.on, locale)}: ${entry.name}`;
    case 'renewed':
      return `Renewed on ${formatDate(entry.on, locale)}: ${entry.name}`;
  }
}

/** What a sum is kept back for, to stand alone or after an amount. */
export function setAsideWords(animal: string): string {
  return `Set aside for ${animal}’s vet visit`;
}

/** What to enter as paid, and from which day it is taken off the cash: the day of the count included, as a count is of the morning. */
export function paidHint(
  done: 'Bought' | 'Renewed',
  { cashCountedOn, locale }: { cashCountedOn: PlainDate | null; locale: string },
): string {
  const rule =
    cashCountedOn === null
      ? 'It is taken off the cash once you have counted that.'
      : `${done} on ${formatDate(cashCountedOn, locale)} or later, it is taken off the cash counted on that day; ${done.toLowerCase()} before, it is in that count already.`;
  return `What it really cost, with delivery. ${rule}`;
}

/** Whether what is owed can be paid: the finding first, then what could be done, whole sentences. */
export function findingSentences(budget: Budget, currency: Currency, locale: string): string[] {
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const { finding } = budget;
  if (finding.status === 'payable') {
    const lowest = budget.months.reduce((least, one) => (one.endsWith < least.endsWith ? one : least));
    return [
      `What is already owed can be paid in each of the next ${budget.months.length} months. The least in hand is ${amount(lowest.endsWith)}, at the end of ${formatMonth(lowest.month, locale)}.`,
    ];
  }
  const below = (by: Money) => `${amount(by)} ${budget.reserve === 0 ? 'short' : 'below the floor you keep'}`;
  const sentences = [
    `In ${formatMonth(finding.month, locale)} you are ${below(finding.by)}, before anything new is bought.`,
  ];
  if (finding.mostMonth !== finding.month) {
    sentences.push(`It is worst at the end of ${formatMonth(finding.mostMonth, locale)}: ${below(finding.mostBy)}.`);
  }
  if (!finding.runsOut) {
    sentences.push('The cash itself does not run out; a lower floor would be enough.');
  }
  const keptBack = budget.months
    .filter((one) => one.month <= finding.mostMonth)
    .flatMap((one) => one.entries)
    .flatMap((one) => (one.what === 'set-aside' ? [`${amount(money(-one.amount))} for ${one.animal}`] : []));
  if (keptBack.length > 0) {
    sentences.push(`In it is what you set aside for vet visits: ${listed(keptBack)}. No purchase comes before it.`);
  }
  if (finding.couldWait.length === 0) {
    sentences.push(
      'Nothing among the one-off sums is marked as able to wait. Mark what can, lower the floor, or enter what comes in besides.',
    );
  } else {
    const names = finding.couldWait.map(
      (one) => `“${one.note}” (${amount(one.amount)}, ${formatMonth(one.month, locale)})`,
    );
    sentences.push(
      `Could be put off: ${listed(names)}. ${
        finding.waitingIsEnough
          ? `Putting it off until after ${formatMonth(finding.mostMonth, locale)} is enough.`
          : 'That alone is not enough.'
      }`,
    );
  }
  return sentences;
}

/** What a budget had to leave out, and where to say it. */
export function leftOutSentence(unknown: Unknown, locale: string): string {
  switch (unknown.unknown) {
    case 'sum':
      return 'The monthly sum was never entered, so nothing comes in.';
    case 'cash':
      return 'The cash in hand was never counted, so it is taken as nothing.';
    case 'food':
      return 'The sum must cover food, but what food costs a month was never entered; nothing is deducted for it.';
    case 'vet':
      return 'The sum must cover the vet, but what is put aside a month was never entered; nothing is deducted for it.';
    case 'tariff':
      return 'The price of a kilowatt-hour was never entered, so the cost of power is unknown and nothing is deducted for it.';
    case 'power-of':
      return `The watts or the hours of “${unknown.name}” are not entered, so its power is unknown and nothing is deducted for it.`;
    case 'renewal-price':
      return `“${unknown.name}” is due for renewal on ${formatDate(unknown.dueOn, locale)}; its price is not entered, so nothing is deducted for it.`;
  }
}

/** Sentences of the money pages. */
export const moneySentences = {
  countNeedsDay: 'Say on which day the cash was counted, or leave both fields empty.',
  dayNeedsCount: 'Enter the cash counted on that day, or leave both fields empty.',
  rate: 'Write the price of a kilowatt-hour as a number of at most five decimals from 0 to 100, such as 0.24.',
  currencyCode: 'Give the currency by its three-letter code, such as EUR, GBP or USD.',
  otherDecimals: (kept: string, wanted: string) =>
    `Amounts are kept in the smallest coin of ${kept}, which has other decimals than ${wanted}. Choose a currency with the same decimals.`,
  timeZone: 'Choose one of the time zones listed.',
  notNothing: 'Give an amount above 0.',
} as const;

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
          : `to ${formatQuantity(change.distanceMm, 'length', system)} from the basking place`,
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

/** What can happen, as a list of what has happened says it. */
export const happeningWords = {
  bought: 'Bought',
  'not-bought': 'Not bought',
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

/** What to see to at once when a thing of a kind broke, the most urgent first (common practice, no source, but where it says otherwise). */
export function breakdownCautions(kind: FittingKind, isPowered: boolean): string[] {
  const repair =
    'Do not open or repair anything that runs on mains power. A qualified electrician judges sockets, wiring and anything fixed.';
  const vet = 'An animal that was cold or hot for hours, or seems unwell, needs a reptile vet.';
  switch (kind) {
    case 'basking-lamp':
    case 'heat-mat':
    case 'ceramic-heater':
    case 'radiant-panel':
    case 'rock-heater':
      return [
        'Unplug it. Then measure the warm and the cool end now, and again at night.',
        `Bring the room or the animal to a bearable temperature by other means until a new one works. ${vet}`,
        repair,
      ];
    case 'water-heater':
      return [
        'Unplug it before you reach into the water. Look for cracked glass, and measure the water now.',
        `Let the temperature of the water change slowly, by the room. ${vet}`,
        repair,
      ];
    case 'thermostat':
      return [
        'Unplug the heater that it regulates now: without a thermostat it may overheat, burn or start a fire, or stay cold.',
        `Measure the warm and the cool end now. ${vet}`,
        repair,
      ];
    case 'guard':
      return ['Switch off what it guards, or put that out of reach, until a guard is in its place again.'];
    case 'uv-tube':
    case 'uv-compact':
      return [
        'Nothing is urgent about missing UV-B for some days. Unplug the lamp before you touch it.',
        'If the glass of a fluorescent tube broke, it holds a little mercury: take the animal out, air the room, and gather the pieces without a vacuum cleaner (from memory).',
        repair,
      ];
    case 'filter':
      return [
        'Unplug it before you reach into the water. Test the water today, and change a part of it each day until a filter runs again.',
        'Feed less and take out what is left of the food. A filter that stood still for hours is rinsed before it runs again.',
        repair,
      ];
    case 'mister':
      return ['Mist by hand, and look at the humidity by day and at night.', repair];
    case 'timer':
      return ['Switch the lamps by hand, and keep the nights dark.', repair];
    default:
      return isPowered ? ['Unplug it.', repair] : [];
  }
}

/** The value choices a keeper can make. */
export type ValueChoice = 'weights' | 'allowances' | 'priority' | 'horizon' | 'credit' | 'threshold';

/** Sentences of the page of value choices. */
export const choiceSentences = {
  heading: 'Value choices',
  lead: 'These are this ledger’s own value choices, not published constants: no study can make them for you. The score judges what the enclosure offers, never how the animal feels.',
  names: {
    weights: 'How much each need weighs',
    allowances: 'How far a score may lie above a need',
    priority: 'How much the worst off count',
    horizon: 'How far ahead a plan looks',
    credit: 'How long the end of a plan counts',
    threshold: 'What a change of plan must gain',
  } satisfies Record<ValueChoice, string>,
  does: {
    weights:
      'The score of an animal is the mean of its needs by these weights; only their shares count, and where a need does not apply the others share its part.',
    allowances:
      'The score of an animal lies at most this many points above each of its needs, so that good values elsewhere cannot make up for a bad one: with 100 they can, with 0 the worst need is the score. Where UV is optional at least 70 holds, and where life does not hang on humidity or water at least 50.',
    priority:
      'In planning, each point of a score counts so many times, so that the worst off come first. Severe shortfalls come before any points, whatever stands here.',
    horizon: 'Purchases are placed in so many months; what lies after them is not planned for.',
    credit:
      'For so many months after the plan the state reached at its end counts on. With 0 it never pays to save for something large.',
    threshold:
      'A purchase leaves the month it had in the last plan only when that ends severe shortfalls sooner, or gains so many weighted points × months for each purchase that moves.',
  } satisfies Record<ValueChoice, string>,
  fields: {
    below40: 'Below 40 points',
    to70: 'From 40 to 70 points',
    above70: 'Above 70 points',
    horizon: 'Months to plan',
    credit: 'Months of credit',
    threshold: 'Weighted points × months for each purchase',
  },
  /** The same where fields of all choices stand in one list. */
  fieldNames: {
    weights: (need: Need) => `Weight of ${lowerFirst(needNames[need])}`,
    allowances: (need: Need) => `Allowance of ${lowerFirst(needNames[need])}`,
    priority: (points: string) => `Count of points ${lowerFirst(points).replace(' points', '')}`,
  },
  share: (need: Need, share: string, withWater: string) =>
    need === 'water'
      ? `${withWater} of the sum where it counts.`
      : `${share} of the sum (${withWater} where water counts).`,
  usual: (value: number, isUsual: boolean) => `Default: ${value}${isUsual ? '' : ', yours differs'}.`,
  allUsual: 'As in a new ledger.',
  differs: (names: readonly string[]) => `Differs from a new ledger: ${listed(names)}.`,
  neverRising:
    'Let no point count more often than those below it: the three numbers may stay level or fall, never rise.',
  toDefaultOf: 'Back to the default',
  toDefault: 'All back to the defaults',
  askOne: (name: string) => `Back to the default: ${lowerFirst(name)}`,
  askAll: 'All value choices back to the defaults?',
  becomes: (name: string, from: number, to: number) => `${name}: ${from} becomes ${to}.`,
  effectsHeading: 'What another choice would do to the present plan',
  noPlan: 'Worked out after the next plan.',
  older: (day: string) =>
    `This is about the plan of ${day}; something was changed after it was made. Plan again to see it anew.`,
  nothingOther: 'No other choice was tried.',
  firstPlan: 'The present plan follows from no earlier one, so nothing was held back.',
  nothingHeld: (threshold: string) =>
    `In the present plan nothing was held back (a change had to gain ${threshold}), so a lower figure would change nothing.`,
  held: (count: number, threshold: string, gain: string) =>
    `In the present plan ${count === 1 ? 'one change was' : `${count} changes were`} held back (each had to gain ${threshold}). With 0 ${count === 1 ? 'it would be made and gain' : 'they would be made and gain'} ${gain}.`,
} as const;

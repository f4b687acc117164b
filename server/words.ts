// Words that stand on every page and belong to no subject, and how words are put together: lists, counts, shares, capitals. Each subject has
// its own file of words beside this one; no file but these turns a reason from src/ into English.

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
  'left-unknown': 'Left unknown: it stays in the list and counts as unknown until somebody has looked.',
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
  'purchase-corrected': 'Put right: the cash in hand follows, and closed months have their corrections.',
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
  alike: (count: number, others: number) =>
    count === 0
      ? null
      : others === 0
        ? 'All answers are the same in both versions.'
        : count === 1
          ? 'One more answer is the same in both versions.'
          : `${count} more answers are the same in both versions.`,
  shippedChanged: (day: string) => `Shipped targets changed on ${day}`,
  usedBefore: (name: string, kind: string, day: string, details: string) =>
    `${name} (${kind}, since ${day}): ${details}.`,
  youKeep: (names: string) => `You keep ${names}`,
  notScoredYet: (species: string) => `(${species}): not scored until you say where it lives.`,
  version: (version: string) => `This is version ${version} of the program.`,
} as const;

/** Words of which one is enough: 'a, b or c'. */
export function alternatives(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

/** A share from 0 to 1 in whole percent. */
export function percent(ratio: number): string {
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

/** The same of long lists: so many of the names, and how many more there are; all of them where only one would be left out. */
export function listedBriefly(names: readonly string[], most = 8): string {
  const left = names.length - most;
  return left < 2 ? listed(names) : listed([...names.slice(0, most), `${left} more`]);
}

/** The same words beginning with a capital letter. */
export function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** The same words beginning with a small letter. */
export function lowerFirst(text: string): string {
  return text.startsWith('UV') ? text : text.slice(0, 1).toLowerCase() + text.slice(1);
}

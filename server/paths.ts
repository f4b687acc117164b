// Every URL of the ledger, as a function or a plain string. Routes register the same functions with ':id' in place of a number, so a
// link and its route cannot drift apart.

/** A row's number as it is kept or as the domain writes it, or the ':name' that stands for it in a route. */
type Id = number | string;

/** Fittings and readings hang below an enclosure and share one set of URLs. */
const nested = (kind: string) => ({
  new: (enclosure: Id) => `/enclosures/${enclosure}/${kind}/new`,
  /** The form for a new one of a kind; without a kind the page asks which. */
  newOf: (enclosure: Id, which: string) => `/enclosures/${enclosure}/${kind}/new?kind=${encodeURIComponent(which)}`,
  edit: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/${kind}/${id}/edit`,
  retire: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/${kind}/${id}/retire`,
  remove: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/${kind}/${id}/remove`,
  putBack: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/${kind}/${id}/put-back`,
});

const filled = (values: Readonly<Record<string, string>>) =>
  Object.fromEntries(Object.entries(values).filter(([, value]) => value !== ''));

/** Every URL. A GET and the POST of its form share one URL. */
export const paths = {
  home: '/',
  /** The demonstration, which begins every address of its own with this one and a slash. */
  demonstration: '/demonstration',
  /** The short way from an empty ledger to a first plan. */
  start: {
    show: '/start',
    /** Finds the species of an animal by any of its names. */
    find: '/start/animal',
    findBy: (words: string) => `/start/animal?called=${encodeURIComponent(words)}`,
    /** The short form of an animal of a species and its box. */
    animal: (key: string) => `/start/animal/${key}`,
    money: '/start/money',
    /** Currency and units alone. */
    writing: '/start/writing',
    /** Takes every priced proposal and begins to plan. */
    plan: '/start/plan',
    /** The same in a currency that the shipped prices are not in: asks what one unit of theirs is. */
    prices: '/start/prices',
    /** The step that calls something taken for granted right. */
    settle: (id: Id) => `/start/assumptions/${id}/settle`,
    putAway: '/start/put-away',
    takeOut: '/start/take-out',
  },
  about: '/about',
  /** The words of the trade and of the ledger; each has its own place on the page. */
  glossary: '/glossary',
  /** For a program that watches over this one. */
  health: '/health',
  /** The keeper's guide: its contents, and a chapter by its name. */
  guide: {
    show: '/guide',
    chapter: (topic: string) => `/guide/${topic}`,
  },
  /** What is to be bought this month, with what to measure before and to look at after. */
  shopping: '/shopping',
  /** Everything to do this month: free, borrowed, handed down, then bought. */
  thisMonth: '/this-month',
  /** The case for the collection, on a page or two of paper. */
  case: '/papers/case',
  money: '/money',
  moneyChange: '/money/edit',
  /** How many animals can be carried, and what a change would do. */
  cap: {
    show: '/cap',
    change: '/cap/edit',
    /** The form of a question, such as 'one-more'. */
    ask: (which: string) => `/cap/${which}`,
    /** The same with what was asked before filled in. */
    askAgain: (which: string, id: Id) => `/cap/${which}?again=${id}`,
    progress: '/cap/asking',
    stop: '/cap/asking/stop',
    answer: (id: Id) => `/cap/answers/${id}`,
  },
  settings: '/settings',
  /** Takes the choice of rule lists for space alone, from a page that shows what they ask. */
  spaceRules: '/settings/space-rules',
  export: {
    /** What can leave the ledger. */
    show: '/export',
    calendar: '/export/calendar.ics',
    /** The same with an alarm on each day. */
    calendarThatReminds: '/export/calendar.ics?remind=yes',
    /** A table for a spreadsheet. */
    table: (name: string) => `/export/${name}.csv`,
    /** The same with the mark by which some spreadsheets know UTF-8. */
    markedTable: (name: string) => `/export/${name}.csv?mark=yes`,
    ledger: '/export/ledger.json',
    /** The same without what was worked out about plans, or without plans altogether. */
    ledgerWithout: (what: 'studies' | 'plans') => `/export/ledger.json?without=${what}`,
    /** The form that brings a whole ledger in, and what came of it. */
    import: '/import',
    imported: '/import/done',
  },
  backups: {
    /** Those there are; a POST makes one. */
    list: '/backups',
    /** One of them, to be saved elsewhere. */
    file: (name: string) => `/backups/${name}`,
    /** The question whether one takes the place of the ledger. */
    restore: (name: string) => `/backups/${name}/restore`,
    restored: '/backups/restored',
  },
  valueChoices: {
    show: '/value-choices',
    /** The question whether all choices go back to the defaults. */
    allDefault: '/value-choices/defaults',
    /** The same for one of them. */
    oneDefault: (choice: string) => `/value-choices/defaults/${choice}`,
  },
  oneOffSums: {
    new: '/money/sums/new',
    edit: (id: Id) => `/money/sums/${id}/edit`,
    remove: (id: Id) => `/money/sums/${id}/remove`,
    putBack: (id: Id) => `/money/sums/${id}/put-back`,
  },
  months: {
    list: '/months',
    /** All months that are over and not closed, in one go. */
    /** The same, held against another plan than the usual one. */
    closeAgainst: (month: string, planId: Id) => `/months/${month}/close?plan=${planId}`,
    catchUp: '/months/catch-up',
    show: (month: string) => `/months/${month}`,
    close: (month: string) => `/months/${month}/close`,
    correct: (month: string) => `/months/${month}/correct`,
  },
  /** What became of each animal over the closed months. */
  progress: '/progress',
  renewals: '/renewals',
  animals: {
    list: '/animals',
    new: '/animals/new',
    show: (id: Id) => `/animals/${id}`,
    /** What room the rules ask for, and what fits. */
    space: (id: Id) => `/animals/${id}/space`,
    /** One page about it for a vet. */
    vetSheet: (id: Id) => `/animals/${id}/vet-sheet`,
    edit: (id: Id) => `/animals/${id}/edit`,
    remove: (id: Id) => `/animals/${id}/remove`,
    putBack: (id: Id) => `/animals/${id}/put-back`,
    /** What was noted of the animal itself. */
    signs: {
      list: (animal: Id) => `/animals/${animal}/signs`,
      new: (animal: Id) => `/animals/${animal}/signs/new`,
      /** The form for a new one of a kind; without a kind the page asks which. */
      newOf: (animal: Id, which: string) => `/animals/${animal}/signs/new?kind=${encodeURIComponent(which)}`,
      edit: (animal: Id, id: Id) => `/animals/${animal}/signs/${id}/edit`,
      /** The step that says how a sign ended. */
      settle: (animal: Id, id: Id) => `/animals/${animal}/signs/${id}/settle`,
      remove: (animal: Id, id: Id) => `/animals/${animal}/signs/${id}/remove`,
      putBack: (animal: Id, id: Id) => `/animals/${animal}/signs/${id}/put-back`,
    },
  },
  enclosures: {
    list: '/enclosures',
    new: '/enclosures/new',
    show: (id: Id) => `/enclosures/${id}`,
    edit: (id: Id) => `/enclosures/${id}/edit`,
    remove: (id: Id) => `/enclosures/${id}/remove`,
    putBack: (id: Id) => `/enclosures/${id}/put-back`,
    checks: (id: Id) => `/enclosures/${id}/checks`,
    light: (id: Id) => `/enclosures/${id}/light`,
    /** All readings that are due in it, on one form. */
    round: (id: Id) => `/enclosures/${id}/round`,
    /** What a round changed, given the readings that it saved. */
    roundSaved: (id: Id, readings: readonly Id[]) => `/enclosures/${id}/round/saved?readings=${readings.join(',')}`,
    /** The same page with a lamp of the catalogue on trial. */
    lightWith: (id: Id, part: string) => `/enclosures/${id}/light?lamp=${encodeURIComponent(part)}#trial`,
    /** How the box is built and where it stands. */
    build: (id: Id) => `/enclosures/${id}/build`,
    /** Its heat, power and hours of light. */
    warmth: (id: Id) => `/enclosures/${id}/warmth`,
    fittings: {
      ...nested('fittings'),
      /** The step that says where in its box a thing stands. */
      place: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/place`,
      takePlaceAway: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/place/take-away`,
      /** The step that says whether the thermostat that nobody had looked for is there. */
      look: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/look`,
      /** The step by which a thing that wears out was replaced by a new one. */
      renewed: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/renewed`,
      /** The step by which a thing that stopped working is written down, and the one by which that is taken back. */
      broke: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/broke`,
      worksAfterAll: (enclosure: Id, id: Id) => `/enclosures/${enclosure}/fittings/${id}/works-after-all`,
    },
    readings: {
      ...nested('readings'),
      /** Many readings at once, pasted as a table. */
      import: (enclosure: Id) => `/enclosures/${enclosure}/readings/import`,
      /** The file of a logger. */
      logger: (enclosure: Id) => `/enclosures/${enclosure}/readings/logger`,
      /** All that were ever taken, by year. */
      all: (enclosure: Id) => `/enclosures/${enclosure}/readings`,
      /** All readings of a kind over time. */
      of: (enclosure: Id, which: string) => `/enclosures/${enclosure}/readings/of/${which}`,
      /** The form for a reading of a kind that an upgrade asks for; it leads back to the upgrade. */
      newAfter: (enclosure: Id, which: string, upgrade: Id) =>
        `/enclosures/${enclosure}/readings/new?kind=${encodeURIComponent(which)}&upgrade=${upgrade}`,
    },
  },
  instruments: {
    list: '/instruments',
    new: '/instruments/new',
    edit: (id: Id) => `/instruments/${id}/edit`,
    remove: (id: Id) => `/instruments/${id}/remove`,
    putBack: (id: Id) => `/instruments/${id}/put-back`,
  },
  rooms: {
    list: '/rooms',
    new: '/rooms/new',
    edit: (id: Id) => `/rooms/${id}/edit`,
    remove: (id: Id) => `/rooms/${id}/remove`,
    putBack: (id: Id) => `/rooms/${id}/put-back`,
    sockets: {
      new: '/rooms/sockets/new',
      /** The form for a new one under a regional rule; without a rule the page asks which. */
      newOf: (rule: string) => `/rooms/sockets/new?kind=${encodeURIComponent(rule)}`,
      edit: (id: Id) => `/rooms/sockets/${id}/edit`,
      remove: (id: Id) => `/rooms/sockets/${id}/remove`,
      putBack: (id: Id) => `/rooms/sockets/${id}/put-back`,
      /** The form that says what is plugged into it. */
      things: (id: Id) => `/rooms/sockets/${id}/things`,
    },
  },
  species: {
    list: '/species',
    show: (key: string) => `/species/${key}`,
    /** Two species side by side; the page asks for those that are not given. */
    compare: (a?: string, b?: string) =>
      `/species/compare${a === undefined ? '' : `?a=${encodeURIComponent(a)}`}${b === undefined ? '' : `&b=${encodeURIComponent(b)}`}`,
    /** The species as a file that another ledger takes. */
    file: (key: string) => `/species/${key}/file`,
    /** A card for a power cut and a heat wave. */
    card: (key: string) => `/species/${key}/card`,
  },
  /** A keeper's own values in place of shipped figures. */
  careValues: {
    /** The form for a figure of a species, such as 'humidity'. */
    new: (key: string, figure: string) => `/species/${key}/values/${figure}`,
    edit: (id: Id) => `/care-values/${id}/edit`,
    remove: (id: Id) => `/care-values/${id}/remove`,
    putBack: (id: Id) => `/care-values/${id}/put-back`,
    /** The step by which a keeper has read what an update of the shipped figures changed. */
    updateRead: (id: Id) => `/care-updates/${id}/read`,
  },
  ownSpecies: {
    /** Asks what a new species is begun from. */
    new: '/own-species/new',
    /** The form for a relative of a species, or for one begun from 'nothing'. */
    newFrom: (key: string) => `/own-species/new?from=${encodeURIComponent(key)}`,
    fromFile: '/own-species/file',
    edit: (id: Id) => `/own-species/${id}/edit`,
    remove: (id: Id) => `/own-species/${id}/remove`,
    putBack: (id: Id) => `/own-species/${id}/put-back`,
  },
  oldThings: {
    /** Everything that was replaced, and what becomes of it. */
    list: '/old-things',
    /** What becomes of one that a renewal left over; of what an upgrade frees it is asked at the upgrade. */
    show: (id: Id) => `/old-things/${id}`,
  },
  upgrades: {
    list: '/upgrades',
    new: '/upgrades/new',
    /** The form of a proposal, to be changed or priced before it is wanted. */
    newFrom: (proposalKey: string) => `/upgrades/new?proposal=${encodeURIComponent(proposalKey)}`,
    /** The form of a lamp that was tried in an enclosure, with the parameters of the trial. */
    newFromTrial: (enclosure: Id, trial: Readonly<Record<string, string>>) =>
      `/upgrades/new?${new URLSearchParams({ trial: String(enclosure), ...filled(trial) })}`,
    acceptProposal: '/upgrades/proposals/accept',
    refuseProposal: '/upgrades/proposals/refuse',
    show: (id: Id) => `/upgrades/${id}`,
    /** The sheet to fit it by. */
    sheet: (id: Id) => `/upgrades/${id}/sheet`,
    /** What becomes of something that it replaces; the key names the box or thing. */
    oldThing: (id: Id, key: string) => `/upgrades/${id}/old/${key}`,
    edit: (id: Id) => `/upgrades/${id}/edit`,
    accept: (id: Id) => `/upgrades/${id}/accept`,
    /** Wants what planning had put on the list by itself. */
    keep: (id: Id) => `/upgrades/${id}/keep`,
    refuse: (id: Id) => `/upgrades/${id}/refuse`,
    pin: (id: Id) => `/upgrades/${id}/pin`,
    unpin: (id: Id) => `/upgrades/${id}/unpin`,
    bought: (id: Id) => `/upgrades/${id}/bought`,
    notBought: (id: Id) => `/upgrades/${id}/not-bought`,
    /** What was really paid for it, and when it was bought. */
    correctPurchase: (id: Id) => `/upgrades/${id}/correct-purchase`,
    /** Until when it can go back. */
    returnBy: (id: Id) => `/upgrades/${id}/return-by`,
    fitted: (id: Id) => `/upgrades/${id}/fitted`,
    remove: (id: Id) => `/upgrades/${id}/remove`,
    putBack: (id: Id) => `/upgrades/${id}/put-back`,
  },
  measuring: {
    /** What is worth measuring before money is spent. */
    show: '/measuring',
    /** The step that puts the meter for a kind of reading on the list to be bought. */
    wantMeter: '/measuring/meters',
    /** Works out what readings are worth to the latest plan, before its other studies. */
    study: '/measuring/study',
    /** The shortest list of readings for a meter that is at hand for a few days. */
    weekend: '/measuring/weekend',
    /** What the readings of a weekend changed, in the scores and in the plan made before them. */
    afterWeekend: '/measuring/weekend/after',
    weekendSaved: (plan: Id, readings: readonly Id[]) =>
      `/measuring/weekend/after?plan=${plan}&readings=${readings.join(',')}`,
  },
  /** Who gets in. */
  access: {
    /** Who is signed in. */
    show: '/access',
    signIn: '/sign-in',
    /** The same, to be led to a page of the ledger afterwards. */
    signInFor: (page: string) => `/sign-in?to=${encodeURIComponent(page)}`,
    signOut: '/sign-out',
    /** Signs everyone out but whoever asks for it. */
    endOthers: '/access/end-others',
  },
  roadmap: {
    show: '/roadmap',
    /** A plan as it was made. */
    older: (id: Id) => `/roadmap/${id}`,
    plan: '/roadmap/plan',
    progress: '/roadmap/progress',
    stop: '/roadmap/stop',
    /** Asks for what is missing of the studies of the latest plan. */
    study: '/roadmap/study',
  },
  asset: (name: string) => `/assets/${name}`,
} as const;

/** The same URL, asking the page it leads to to show a notice once (a name from `notices` in words.ts). */
export function withNotice(path: string, notice: string): string {
  return `${path}${path.includes('?') ? '&' : '?'}done=${encodeURIComponent(notice)}`;
}

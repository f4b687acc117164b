// What the list of upgrades and the page of one upgrade show, already in words: free actions first and apart, then what is to be bought,
// what is on the way, what was fitted and what was refused.

import type { PlainDate } from '../../src/calendar.ts';
import { formatDate, formatMonth, monthOf } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import type { Money } from '../../src/money.ts';
import { formatMoney, money } from '../../src/money.ts';
import type { Promised } from '../../src/promises.ts';
import { awaitedReadings, correctionFrom, deliveriesOf, promisesOf, shifted, wayBackOf } from '../../src/promises.ts';
import type { Proposal, Unanswered } from '../../src/proposals.ts';
import type { CareLibrary } from '../../src/species.ts';
import { formatQuantity } from '../../src/units.ts';
import type { Change, Upgrade } from '../../src/upgrades.ts';
import { enclosuresOf, fateInNewBox, readingsAfter } from '../../src/upgrades.ts';
import type { Happening } from '../db/events.ts';
import type { Ledger } from '../db/ledger.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import {
  awaitingWords,
  checkWords,
  correctionSentences,
  deliveryWords,
  differenceWords,
  wayBackSentence,
  wayBackWords,
} from '../fitting-words.ts';
import { needNames, readingDimensions, readingNames } from '../kind-words.ts';
import { oldThingWords } from '../paper-words.ts';
import { paths } from '../paths.ts';
import {
  loweredSentence,
  noProposalWords,
  notFurnishedSentence,
  proposalName,
  proposalNotes,
} from '../proposal-words.ts';
import { ownReadingsWords, reasonSentence } from '../score-words.ts';
import { fromMemoryWords } from '../source-words.ts';
import {
  changeSentence,
  happeningWords,
  movingSentence,
  newBoxSentence,
  purchaseWords,
  upgradePageWords,
  upgradeSentences,
} from '../upgrade-words.ts';
import { urgentWords } from '../urgent-words.ts';
import { listed, monthCount } from '../words.ts';
import { type Asked, type Narrowing, narrowingTo, type PagesView, pageOf } from './paging.ts';
import { type RemovedList, removedList } from './removed-list.ts';

/** Everything the pages of upgrades are made from. */
export type AroundUpgrades = {
  ledger: Ledger;
  today: PlainDate;
  collection: Collection;
  library: CareLibrary;
  upgrades: readonly UpgradeRecord[];
  removed: readonly UpgradeRecord[];
  proposals: readonly Proposal[];
  unanswered: readonly Unanswered[];
  /** Until when the box of a proposal is large enough; nothing where it brings none. */
  boxLasts: (proposal: Proposal) => string[];
  /** Everything that fitted upgrades promised, of all upgrades. */
  promised: readonly Promised[];
};

/** Something to press or to follow. A form sends `fields` to `href`; without fields it is a link. */
type Act = {
  label: string;
  href: string;
  fields: { name: string; value: string }[] | null;
  /** The label with the upgrade's name, for those who hear it out of context. */
  spoken: string;
  look: 'button-primary' | 'button-secondary' | 'button-link';
};

type Row = {
  name: string;
  href: string | null;
  where: string;
  price: string;
  tags: string[];
  notes: string[];
  acts: Act[];
};

/** One freed thing on the page of its upgrade: what became of it, where it would help, and the link to the question. */
export type OldThingView = { name: string; state: string; ideas: string[]; href: string; action: string };

type Group = { id: string; summary: string; rows: Row[]; pages: PagesView | null; open: boolean };

/** What views/pages/upgrades.hbs shows. */
type UpgradesPage = {
  heading: string;
  lead: string | null;
  empty: { heading: string; text: string; href: string; action: string } | null;
  newHref: string;
  narrowing: Narrowing | null;
  /** Each with its rows, or with groups of rows that open on a click, a page at a time. */
  sections: {
    id: string;
    heading: string;
    lead: string | null;
    rows: Row[];
    groups: Group[];
    pages: PagesView | null;
  }[];
  /** Needs for which nothing is proposed, one sentence each; null without any. */
  unanswered: { id: string; summary: string; sentences: string[]; pages: PagesView | null; open: boolean } | null;
  folded: Group[];
  removed: RemovedList | null;
};

/** What views/pages/upgrade.hbs shows. */
type UpgradePage = {
  heading: string;
  lead: string | null;
  facts: { term: string; value: string }[];
  fate: string | null;
  /** What it would do to the latest plan to refuse it or to insist on it; null when that was not worked out. */
  objection: { sentence: string; href: string; label: string } | null;
  changes: string[];
  noChanges: boolean;
  readings: { what: string; href: string; state: string }[];
  runIn: string | null;
  sheet: { href: string; label: string };
  /** What it frees, with what becomes of it. */
  oldThings: OldThingView[];
  oldHeading: string;
  /** What it promises, and what was measured once it is fitted; null where it promises nothing. */
  promises: {
    lead: string;
    wayBack: string | null;
    rows: { what: string; promised: string; measured: string; difference: string; state: string }[];
    checks: { heading: string; steps: string[] }[];
    corrections: string[];
  } | null;
  acts: Act[];
  note: string | null;
  /** What has become of it so far, oldest first. */
  happened: { day: string; what: string; note: string }[];
};

/** How many enclosures with proposals stand on one page. */
const GROUPS_A_PAGE = 10;

/** The list of upgrades and of what is proposed, of all enclosures or of the one that is asked for. */
export function upgradesPage(around: AroundUpgrades, asked: Asked): UpgradesPage {
  const { ledger, collection, removed } = around;
  const { enclosureId, narrowing } = narrowingTo(collection.enclosures, asked);
  const isHere = (enclosures: readonly string[]) => enclosureId === null || enclosures.includes(enclosureId);
  const upgrades =
    enclosureId === null ? around.upgrades : around.upgrades.filter((one) => isHere(enclosuresOf(one, collection)));
  const proposals = around.proposals.filter((one) => isHere([one.enclosureId]));
  const isFree = (one: UpgradeRecord) => one.priceHigh === 0;
  const drawn = (one: UpgradeRecord | Proposal) =>
    'act' in one ? withLasting(proposalRow(one, ledger, collection), around.boxLasts(one)) : upgradeRow(one, around);
  const listedAs = (id: string, heading: string, lead: string, all: (UpgradeRecord | Proposal)[]) => {
    const { rows, pages } = pageOf(all, asked, { what: 'upgrades', name: id, id });
    const moving = movingOf(
      all.filter((one): one is UpgradeRecord => 'status' in one),
      around,
    );
    return { id, heading, lead: [lead, ...moving].join(' '), rows: rows.map(drawn), groups: [], pages };
  };
  const proposed = collection.enclosures
    .map(({ id }) => ({ id, all: proposals.filter((one) => !one.isFree && one.enclosureId === id) }))
    .filter((one) => one.all.length > 0);
  const shown = pageOf(proposed, asked, {
    what: upgradePageWords.enclosuresWithProposals,
    name: 'proposed',
    id: 'proposed',
    size: GROUPS_A_PAGE,
  });
  const sections = [
    listedAs('free', upgradePageWords.freeFirst, upgradePageWords.freeLead, [
      ...upgrades.filter((one) => one.status === 'wanted' && isFree(one)),
      ...proposals.filter((one) => one.isFree),
    ]),
    listedAs(
      'bought',
      upgradePageWords.bought,
      upgradePageWords.boughtLead,
      upgrades.filter((one) => one.status === 'ordered'),
    ),
    listedAs(
      'wanted',
      upgradePageWords.wanted,
      upgradePageWords.wantedLead,
      upgrades.filter((one) => one.status === 'wanted' && !isFree(one)),
    ),
    {
      id: 'proposed',
      heading: upgradePageWords.proposed,
      lead: upgradePageWords.proposedLead,
      rows: [],
      groups: shown.rows.map(({ id, all }) => ({
        id: `proposed-${id}`,
        summary: `${placeWords(id, collection)}: ${all.length === 1 ? 'one proposal' : `${all.length} proposals`}`,
        rows: all.map(drawn),
        pages: null,
        open: enclosureId !== null,
      })),
      pages: shown.pages,
    },
  ].filter((one) => one.rows.length + one.groups.length > 0);
  const folded = (['fitted', 'refused'] as const)
    .map((status) => ({ status, all: upgrades.filter((one) => one.status === status) }))
    .filter(({ all }) => all.length > 0)
    .map(({ status, all }) => {
      const { rows, pages } = pageOf(all, asked, { what: 'upgrades', name: status, id: status });
      const summary = `${status === 'fitted' ? 'Fitted' : 'Refused'} (${all.length})`;
      return { id: status, summary, rows: rows.map(drawn), pages, open: asked.query.has(status) };
    });
  return {
    heading: upgradePageWords.upgrades,
    lead: null,
    empty: emptyState(around, sections.length === 0),
    newHref: enclosureId === null ? paths.upgrades.new : `${paths.upgrades.new}?enclosure=${enclosureId}`,
    narrowing,
    sections,
    unanswered: unansweredView(around, asked, isHere),
    folded,
    removed: removedList(
      removed.map((one) => ({ ...one, action: paths.upgrades.putBack(one.id) })),
      around.ledger.locale,
    ),
  };
}

// Which of a list go along into a new box, a sentence for each set of boxes.
function movingOf(list: readonly UpgradeRecord[], { upgrades, collection }: AroundUpgrades): string[] {
  const names = new Map<string, { boxes: string[]; moving: string[] }>();
  for (const one of list) {
    const fate = fateInNewBox(one, upgrades, collection.fittings);
    if (fate.fate !== 'moves') continue;
    const boxes = [...new Set(fate.newBoxes.map(({ name }) => name))];
    const key = boxes.join('\n');
    const before = names.get(key) ?? { boxes, moving: [] };
    names.set(key, { boxes, moving: [...before.moving, one.name] });
  }
  return [...names.values()].map(({ boxes, moving }) => movingSentence([...new Set(moving)], boxes));
}

// How long a box is large enough comes before what it is proposed for.
function withLasting(row: Row, lasts: string[]): Row {
  return lasts.length === 0 ? row : { ...row, notes: [...lasts, ...row.notes] };
}

function unansweredView(
  { unanswered, collection, ledger }: AroundUpgrades,
  asked: Asked,
  isHere: (enclosures: readonly string[]) => boolean,
): UpgradesPage['unanswered'] {
  const here = unanswered.filter((one) => isHere([one.enclosureId]));
  if (here.length === 0) return null;
  const id = 'unanswered';
  const { rows, pages } = pageOf(here, asked, { what: 'needs', name: id, id });
  return {
    id,
    summary: `Why nothing is proposed (${here.length})`,
    sentences: rows.map(({ enclosureId, animalIds, need, no }) => {
      const names = collection.animals.filter((one) => animalIds.includes(one.id)).map((one) => one.name);
      const box = collection.enclosures.find((one) => one.id === enclosureId)?.name ?? '';
      return `${needNames[need]} of ${listed(names)} in “${box}”: ${noProposalWords(no, ledger.unitSystem)}.`;
    }),
    pages,
    open: asked.query.has(id),
  };
}

/** One upgrade with everything known of it and what can be done with it. */
export function upgradePage(
  upgrade: UpgradeRecord,
  around: AroundUpgrades,
  events: readonly Happening[],
  objection: string | null,
  oldThings: OldThingView[] = [],
): UpgradePage {
  const { ledger, collection, upgrades } = around;
  const { currency, locale } = ledger;
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const nameOf = (id: string) => upgrades.find((one) => one.id === id)?.name ?? upgradePageWords.somethingRemoved;
  const fact = (term: string, value: string | null) => (value === null ? [] : [{ term, value }]);
  const needs = upgrade.requires.map((set) => set.map((id) => `“${nameOf(id)}”`).join(' or '));
  const { proceeds } = upgrade;
  return {
    heading: upgrade.name,
    lead: standing(upgrade, around),
    facts: [
      ...fact(upgradePageWords.where, whereOf(upgrade, collection)),
      ...fact(upgradePageWords.price, priceOf(upgrade, ledger)),
      ...fact(upgradePageWords.paid, upgrade.paid === null ? null : amount(upgrade.paid)),
      ...fact(
        upgrade.returnBy !== null && upgrade.returnBy < around.today
          ? upgradePageWords.couldGoBack
          : upgradePageWords.canGoBack,
        upgrade.returnBy === null ? null : formatDate(upgrade.returnBy, locale),
      ),
      ...fact(upgradePageWords.runningCost, upgrade.monthlyCost > 0 ? amount(upgrade.monthlyCost) : null),
      ...fact(upgradePageWords.saving, upgrade.monthlyCost < 0 ? amount(money(-upgrade.monthlyCost)) : null),
      ...fact(upgradePageWords.life, upgrade.lifeMonths === null ? null : monthCount(upgrade.lifeMonths)),
      ...fact(upgradePageWords.renewalPrice, upgrade.renewalPrice === null ? null : amount(upgrade.renewalPrice)),
      ...fact(
        upgradePageWords.figuresFrom,
        upgrade.priceHigh === 0 && upgrade.monthlyCost === 0 && upgrade.lifeMonths === null
          ? null
          : upgrade.origin === 'proposed'
            ? upgradePageWords.figuresOfList
            : upgradePageWords.figuresOwn,
      ),
      ...fact(
        upgradePageWords.inUse,
        upgrade.leadMonths === 0
          ? upgradePageWords.inMonthOfBuying
          : upgradePageWords.afterBuying(monthCount(upgrade.leadMonths)),
      ),
      ...fact(
        upgradePageWords.notBefore,
        upgrade.earliestMonth === null ? null : formatMonth(upgrade.earliestMonth, locale),
      ),
      ...fact(
        upgradePageWords.monthFixed,
        upgrade.pinnedMonth === null ? null : formatMonth(upgrade.pinnedMonth, locale),
      ),
      ...fact(upgradePageWords.needsFirst, needs.length === 0 ? null : listed(needs)),
      ...fact(upgradePageWords.choiceOfOne, upgrade.group),
      ...fact(
        upgradePageWords.saleOfOld,
        proceeds === null
          ? null
          : upgradePageWords.saleLater(amount(proceeds.amount), monthCount(proceeds.afterMonths)),
      ),
    ],
    fate: upgrade.status === 'fitted' ? null : newBoxSentence(fateInNewBox(upgrade, upgrades, collection.fittings)),
    objection:
      objection === null
        ? null
        : { sentence: objection, href: `${paths.roadmap.show}#objections`, label: upgradePageWords.objections },
    changes: changesInWords(upgrade.changes, around),
    noChanges: upgrade.changes.length === 0,
    readings: upgrade.status === 'fitted' ? readingsToTake(upgrade, around) : [],
    runIn: upgrade.status === 'fitted' && hasMains(upgrade.changes) ? upgradeSentences.runIn : null,
    sheet: { href: paths.upgrades.sheet(upgrade.id), label: upgradePageWords.fittingSheet },
    oldThings,
    oldHeading: oldThingWords.heading,
    promises: promisesView(upgrade, around),
    acts: actsOf(upgrade, true),
    note: upgrade.note === '' ? null : upgrade.note,
    happened: events
      .filter((one) => one.upgradeId === upgrade.id)
      .map((one) => ({
        day: formatDate(one.happenedOn, locale),
        what: happeningWords[one.what],
        note: [one.amount === null ? '' : amount(one.amount), one.note].filter((part) => part !== '').join('; '),
      })),
  };
}

/** Whether an upgrade fits something that runs on mains power. */
export function hasMains(changes: readonly Change[]): boolean {
  return changes.some((one) => one.change === 'fit' && one.fitting.watts !== null);
}

/** The changes of an upgrade, one sentence each. */
export function changesInWords(
  changes: readonly Change[],
  { collection, ledger }: Pick<AroundUpgrades, 'collection' | 'ledger'>,
): string[] {
  const own = new Map(changes.flatMap((one) => (one.change === 'fit' ? [[one.fitting.key, one.fitting.name]] : [])));
  const named = {
    enclosure: (id: string) =>
      collection.enclosures.find((one) => one.id === id)?.name ?? upgradePageWords.removedEnclosure,
    fitting: (id: string) =>
      collection.fittings.find((one) => one.id === id)?.name ?? own.get(id) ?? upgradePageWords.noLongerThere,
  };
  return changes.map((one) => changeSentence(one, named, ledger.unitSystem));
}

function emptyState({ collection }: AroundUpgrades, nothingListed: boolean): UpgradesPage['empty'] {
  if (!nothingListed) return null;
  return collection.animals.some((one) => one.enclosureId !== null)
    ? {
        heading: upgradePageWords.nothingAtAll,
        text: upgradePageWords.nothingAtAllLead,
        href: paths.upgrades.new,
        action: upgradePageWords.enterOwn,
      }
    : {
        heading: upgradePageWords.nothingYet,
        text: upgradePageWords.nothingYetLead,
        href: paths.enclosures.new,
        action: upgradePageWords.enterEnclosure,
      };
}

/** What has become of an upgrade, in a sentence or two. */
export function standing(upgrade: UpgradeRecord, { ledger, today, collection, library }: AroundUpgrades): string {
  const { locale } = ledger;
  const day = (date: PlainDate) => formatDate(date, locale);
  switch (upgrade.status) {
    case 'wanted':
      return upgrade.unaskedSince === null ? upgradePageWords.isWanted : urgentWords.unasked;
    case 'refused':
      return upgradePageWords.isRefused;
    case 'ordered':
      return upgrade.arrivesMonth !== null && upgrade.arrivesMonth > monthOf(today)
        ? upgradePageWords.arrives(day(upgrade.boughtOn!), formatMonth(upgrade.arrivesMonth, locale))
        : upgradePageWords.toBeFitted(day(upgrade.boughtOn!));
    case 'fitted':
      return [
        upgradePageWords.fitted(day(upgrade.fittedOn!)),
        awaited(upgrade, { collection, library }),
        upgradeSentences.fittedIsPast,
      ]
        .filter((part) => part !== '')
        .join(' ');
  }
}

function upgradeRow(upgrade: UpgradeRecord, around: AroundUpgrades): Row {
  const { ledger, collection, upgrades } = around;
  const month = (text: string, value: Upgrade['pinnedMonth']) =>
    value === null ? [] : [`${text} ${formatMonth(value, ledger.locale)}`];
  const fate =
    upgrade.status === 'wanted' || upgrade.status === 'ordered'
      ? fateInNewBox(upgrade, upgrades, collection.fittings)
      : null;
  // What moves along is said once above its list.
  const fateWords = fate === null || fate.fate === 'moves' ? null : newBoxSentence(fate);
  const where = whereOf(upgrade, collection) ?? upgradePageWords.forNoEnclosure;
  return {
    name: upgrade.name,
    href: paths.upgrades.show(upgrade.id),
    where,
    price:
      upgrade.status === 'ordered' || upgrade.status === 'fitted'
        ? formatMoney(upgrade.paid!, ledger.currency, ledger.locale)
        : priceOf(upgrade, ledger),
    tags: [
      ...(upgrade.unaskedSince === null ? [] : [urgentWords.tag]),
      ...month(upgradePageWords.fixedTo, upgrade.pinnedMonth),
      ...month(upgradePageWords.notBeforeShort, upgrade.earliestMonth),
      ...(fate?.fate === 'stays-behind' ? [upgradePageWords.lostWithBox] : []),
    ],
    notes: [
      ...(upgrade.status === 'ordered' || upgrade.status === 'fitted' ? [standingShort(upgrade, around)] : []),
      ...(fateWords === null ? [] : [fateWords]),
      ...wayBackLines(upgrade, around, false),
    ],
    // The same thing may be wanted for two enclosures.
    acts: actsOf(upgrade, false).map((one) => ({ ...one, spoken: `${one.spoken}, ${where}` })),
  };
}

function standingShort(upgrade: UpgradeRecord, around: AroundUpgrades): string {
  return upgrade.status === 'fitted'
    ? `Fitted on ${formatDate(upgrade.fittedOn!, around.ledger.locale)}. ${awaited(upgrade, around)}`.trim()
    : standing(upgrade, around);
}

// Said before what a new box lowers only until it is furnished and read, so that it does not read as harm.
function notFurnished({ enclosureId, lowers, upgrade: { changes } }: Proposal, { fittings }: Collection): string[] {
  if (!changes.some((one) => one.change === 'replace-box') || !lowers.some((one) => one.untilMeasured)) return [];
  const moving = fittings.filter(
    (one) => one.enclosureId === enclosureId && one.retiredOn === null && one.whenBoxReplaced === 'moves',
  );
  return [notFurnishedSentence(moving.length, changes.filter((one) => one.change === 'fit').length)];
}

function proposalRow(proposal: Proposal, ledger: Ledger, collection: Collection): Row {
  const name = proposalName(proposal.act, ledger.unitSystem);
  const nameOf = (id: string) => collection.animals.find((one) => one.id === id)?.name ?? '';
  const fields = [{ name: 'key', value: proposal.key }];
  const look = 'button-link' as const;
  const where = placeWords(proposal.enclosureId, collection);
  const act = (label: string, href: string, more: Partial<Act> = {}): Act => ({
    label,
    href,
    fields: null,
    spoken: `${label}: ${name}, ${where}`,
    look: 'button-secondary',
    ...more,
  });
  return {
    name,
    href: null,
    where,
    price: proposal.isFree
      ? 'free'
      : proposal.priced
        ? priceOf(proposal.upgrade, ledger)
        : upgradePageWords.priceToEnter,
    tags: proposal.powerKnown ? [] : [upgradePageWords.powerUnknown],
    notes: [
      ...proposal.because
        .filter((one) => proposal.act.act !== 'outdoor-run' || one.why !== 'outdoors-now')
        .map((one) => reasonSentence(one, ledger)),
      ...proposalNotes(proposal, ledger),
      ...notFurnished(proposal, collection),
      ...proposal.lowers.map((one) => loweredSentence(one, nameOf(one.animalId))),
      ...(proposal.isFromMemory ? [fromMemoryWords.proposal] : []),
    ],
    acts: [
      ...(proposal.priced ? [act(upgradePageWords.accept, paths.upgrades.acceptProposal, { fields })] : []),
      act(
        proposal.priced ? upgradePageWords.changeFirst : upgradePageWords.enterPrice,
        paths.upgrades.newFrom(proposal.key),
        { look },
      ),
      act(upgradePageWords.refuse, paths.upgrades.refuseProposal, { fields, look }),
    ],
  };
}

/** What can be done with an upgrade as it stands; the list shows only the next step, its own page everything. */
function actsOf(upgrade: UpgradeRecord, all: boolean): Act[] {
  const { id, name, version } = upgrade;
  const fields = [{ name: 'version', value: String(version) }];
  const act = (label: string, href: string, more: Partial<Act> = {}): Act => ({
    label,
    href,
    fields: null,
    spoken: `${label}: ${name}`,
    look: 'button-secondary',
    ...more,
  });
  const next = { look: all ? ('button-primary' as const) : ('button-link' as const) };
  // What is rarely pressed is no louder than a link.
  const rare = { look: 'button-link' as const };
  const change = act(upgradePageWords.change, paths.upgrades.edit(id));
  const wayBack = act(wayBackWords.change(upgrade.returnBy !== null), paths.upgrades.returnBy(id));
  const remove = act(upgradePageWords.remove, paths.upgrades.remove(id), rare);
  switch (upgrade.status) {
    case 'wanted': {
      const first =
        upgrade.priceHigh === 0
          ? act(upgradePageWords.markDone, paths.upgrades.fitted(id), next)
          : act(upgradePageWords.markBought, paths.upgrades.bought(id), next);
      if (!all) return [first];
      return [
        first,
        ...(upgrade.unaskedSince === null ? [] : [act(urgentWords.keep, paths.upgrades.keep(id), { fields })]),
        ...(upgrade.priceHigh === 0 ? [] : [act(upgradePageWords.markFitted, paths.upgrades.fitted(id))]),
        change,
        act(
          upgrade.pinnedMonth === null ? upgradePageWords.fixMonth : upgradePageWords.fixOtherMonth,
          paths.upgrades.pin(id),
          rare,
        ),
        ...(upgrade.pinnedMonth === null
          ? []
          : [act(upgradePageWords.freeMonth, paths.upgrades.unpin(id), { fields, ...rare })]),
        act(upgradePageWords.notBought, paths.upgrades.notBought(id), rare),
        act(upgradePageWords.refuse, paths.upgrades.refuse(id), { fields, ...rare }),
        remove,
      ];
    }
    case 'ordered': {
      const first = act(upgradePageWords.markFitted, paths.upgrades.fitted(id), next);
      return all
        ? [
            first,
            act(upgradePageWords.notBoughtAfterAll, paths.upgrades.notBought(id)),
            act(purchaseWords.act, paths.upgrades.correctPurchase(id)),
            wayBack,
            change,
            remove,
          ]
        : [first];
    }
    case 'refused': {
      const first = act(upgradePageWords.wantAgain, paths.upgrades.accept(id), { ...next, fields });
      return all ? [first, change, remove] : [first];
    }
    case 'fitted':
      return all
        ? [act(purchaseWords.act, paths.upgrades.correctPurchase(id)), ...(upgrade.paid !== 0 ? [wayBack] : [])]
        : [];
  }
}

function readingsToTake(
  upgrade: UpgradeRecord,
  { collection, library, today }: AroundUpgrades,
): UpgradePage['readings'] {
  const since = upgrade.fittedOn ?? today;
  return readingsAfter(upgrade, collection, library).flatMap(({ enclosureId, readings }) =>
    readings.map((kind) => {
      const taken = collection.readings.some(
        (one) =>
          one.enclosureId === enclosureId && one.kind === kind && one.takenOn >= since && one.evidence === 'measured',
      );
      const box = collection.enclosures.find((one) => one.id === enclosureId)?.name ?? '';
      return {
        what: `${readingNames[kind]}, “${box}”`,
        href: paths.enclosures.readings.newAfter(enclosureId, kind, upgrade.id),
        state: taken ? upgradePageWords.readSince : upgradePageWords.toBeRead,
      };
    }),
  );
}

// What was fitted is only planned until its readings are in.
function awaited(
  upgrade: UpgradeRecord,
  { collection, library }: Pick<AroundUpgrades, 'collection' | 'library'>,
): string {
  return awaitingWords(awaitedReadings(upgrade, upgrade.fittedOn!, collection, library).map((one) => one.kind));
}

/** Until when a purchase can go back; nothing where that is not known, and only on its own page once it is over. */
export function wayBackLines(
  upgrade: UpgradeRecord,
  { collection, ledger, today }: Pick<AroundUpgrades, 'collection' | 'ledger' | 'today'>,
  isOverToo: boolean,
): string[] {
  const { returnBy, fittedOn } = upgrade;
  if (returnBy === null) return [];
  const wayBack = wayBackOf(upgrade, { returnBy, fittedOn }, collection, today);
  if (wayBack.status === 'over' && !isOverToo) return [];
  return [wayBackSentence(wayBack, formatDate(returnBy, ledger.locale))];
}

function promisesView(upgrade: UpgradeRecord, around: AroundUpgrades): UpgradePage['promises'] {
  const { collection, ledger, today, promised } = around;
  const { unitSystem: system, locale } = ledger;
  const correction = correctionFrom(deliveriesOf(promised, collection));
  // What lamps gave says nothing of heat or damp, and what thermostats held nothing of light.
  const touched = new Set([
    ...readingsAfter(upgrade, collection).flatMap((one) => one.readings),
    ...promised.flatMap((one) => (one.upgradeId === upgrade.id ? [one.kind] : [])),
  ]);
  const corrections = correctionSentences(
    {
      uv: touched.has('uvi-basking') ? correction.uv : null,
      temperatures: Object.fromEntries(
        Object.entries(correction.temperatures).filter(([kind]) => touched.has(kind as Promised['kind'])),
      ),
    },
    system,
  );
  const write = (value: number, kind: Promised['kind']) => formatQuantity(value, readingDimensions[kind], system);
  const day = (date: PlainDate) => formatDate(date, locale);
  const named = ({ kind, enclosureId }: Promised) =>
    `${readingNames[kind]}, “${collection.enclosures.find((one) => one.id === enclosureId)?.name ?? ''}”`;
  const withError = ({ predicted, error, kind }: Promised) =>
    `${write(predicted, kind)} ${differenceWords(error, kind, system, false)}`;
  if (upgrade.status !== 'fitted') {
    const own = promisesOf(upgrade, collection, today);
    if (own.length === 0) return null;
    return {
      wayBack: wayBackLines(upgrade, around, true)[0] ?? null,
      lead: upgradePageWords.promisedLead,
      rows: own.map((one) => {
        const shift = shifted(one, correction);
        const { factor, from } = collection.lightCorrection ?? { factor: 1, from: 0 };
        const isCorrected =
          from > 0 && one.model !== null && Math.abs(one.predicted - one.model * factor) < 1e-6 * one.predicted;
        return {
          what: named(one),
          promised: withError(one),
          measured: '–',
          difference: '–',
          state:
            shift !== one.predicted
              ? `by your own readings rather ${write(shift, one.kind)}`
              : isCorrected
                ? `${ownReadingsWords(from)} (times ${factor.toFixed(2)})`
                : upgradePageWords.notFitted,
        };
      }),
      checks: [],
      corrections,
    };
  }
  const deliveries = deliveriesOf(
    promised.filter((one) => one.upgradeId === upgrade.id),
    collection,
  );
  if (deliveries.length === 0) return null;
  return {
    wayBack: wayBackLines(upgrade, around, true)[0] ?? null,
    lead: upgradePageWords.differenceNote,
    rows: deliveries.map((one) => ({
      what: named(one.promised),
      promised: withError(one.promised),
      measured: one.status === 'read' ? `${write(one.measured, one.promised.kind)} on ${day(one.takenOn)}` : '–',
      difference:
        one.status === 'read'
          ? `${differenceWords(one.difference, one.promised.kind, system, true)} (${differenceWords(one.combinedError, one.promised.kind, system, false)})`
          : '–',
      state: deliveryWords(one, day),
    })),
    checks: deliveries.flatMap((one) =>
      one.status !== 'read' || one.check.length === 0
        ? []
        : [
            {
              heading: `${named(one.promised)}: look at these in this order`,
              steps: one.check.map((step) => checkWords[step]),
            },
          ],
    ),
    corrections,
  };
}

/** The enclosures that an upgrade changes, with who lives in them, or null. */
export function whereOf(upgrade: Upgrade, collection: Collection): string | null {
  const places = enclosuresOf(upgrade, collection).map((id) => placeWords(id, collection));
  return places.length === 0 ? null : listed(places);
}

/** An enclosure with who lives in it: '“Snake box” (Fio)'. */
export function placeWords(enclosureId: string, collection: Collection): string {
  const box = collection.enclosures.find((one) => one.id === enclosureId);
  if (box === undefined) return upgradePageWords.removedEnclosure;
  const names = collection.animals.filter((one) => one.enclosureId === enclosureId).map((one) => one.name);
  return names.length === 0 ? `“${box.name}”` : `“${box.name}” (${listed(names)})`;
}

/** What an upgrade costs: 'free', a sum or a span of sums. */
export function priceOf(
  { priceLow, priceHigh }: Pick<Upgrade, 'priceLow' | 'priceHigh'>,
  { currency, locale }: Ledger,
): string {
  if (priceHigh === 0) return 'free';
  const [low, high] = [priceLow, priceHigh].map((one) => formatMoney(one, currency, locale));
  return low === high ? high! : `${low} to ${high}`;
}

// The first page: this month's decision, what is overdue, who is worst off and what to measure before money is spent. A new ledger is
// led there in steps that tick themselves.

import type { FastifyInstance } from 'fastify';
import { type Budget, budgetOf } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { formatDate, formatMonth, monthOf } from '../../src/calendar.ts';
import type { Animal, Collection } from '../../src/collection.ts';
import { formatMoney, type Money, sumMoney } from '../../src/money.ts';
import { wayBackOf } from '../../src/promises.ts';
import { type Roadmap, type RoadmapBuy, underFloor } from '../../src/roadmap.ts';
import type { NeedScore } from '../../src/score.ts';
import type { SevereShortfall } from '../../src/severe-shortfalls.ts';
import type { Need } from '../../src/species.ts';
import { enclosuresOf } from '../../src/upgrades.ts';
import { backupDoubtSentence, backupWords } from '../backup-words.ts';
import { cautions } from '../caution-words.ts';
import { listCareUpdates } from '../db/care.ts';
import { firstStepsPutAway } from '../db/first-steps.ts';
import { type Ledger, ledgerVersion } from '../db/ledger.ts';
import { readMoneyFacts } from '../db/money.ts';
import { listClosedMonths } from '../db/months.ts';
import type { Session } from '../db/open.ts';
import { latestPlan, type PlanRecord } from '../db/plans.ts';
import { listEverySign } from '../db/signs.ts';
import { listUpgrades, type UpgradeRecord } from '../db/upgrades.ts';
import { wayBackSentence } from '../fitting-words.ts';
import { needNames } from '../kind-words.ts';
import { closingOf } from '../month-record.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import {
  behindSentence,
  laterSentence,
  roadmapSentences,
  savingSentence,
  underFloorSentences,
  whyNowBriefly,
  whyNowSentence,
} from '../plan-words.ts';
import { noProposalWords } from '../proposal-words.ts';
import type { ScoreBar } from '../score-bar.ts';
import { severeSentence } from '../score-words.ts';
import { type CollectionScores, gatherScoring, scoreCollection } from '../scores.ts';
import { glanceWords, homeWords, startSentences } from '../start-words.ts';
import { urgentWords } from '../urgent-words.ts';
import { listed, lowerFirst } from '../words.ts';
import { animalBar, type UnjudgedLine, unjudgedLines, worstInFull, worstWords } from './animals.view.ts';
import {
  type AtOnce,
  type AtOnceBriefly,
  atOnceBriefly,
  atOnceOf,
  coolingOf,
  isUrgent,
  severeShortfallsOf,
} from './before-anything-else.ts';
import { type MeasureLine, measureLines } from './measure-first.ts';
import { openProposals } from './open-proposals.ts';
import { type UnreadUpdate, unreadUpdates } from './own-care.view.ts';
import { type Asked, askedOf, type PagesView, pageOf } from './paging.ts';
import { whatIsMissing } from './roadmap.ts';
import { mostUrgentFirst } from './roadmap.view.ts';
import { type FlagBoard, flagBoard } from './signs.view.ts';
import { stepsTo } from './start.view.ts';

const MOST_LISTED = 5;

/** How many rows of a long list stand here, on a page that is opened for what comes first. */
const ROWS_HERE = 20;

type BuyLine = {
  name: string;
  /** Whether the heading above names it already, as the only one there is. */
  isNamed: boolean;
  price: string;
  forWhom: string | null;
  why: string;
  /** The same in a few words, for the first screen. */
  briefly: string;
  since: string | null;
  /** That planning put it on the list by itself; null once the keeper said a word about it. */
  unasked: { text: string; href: string; action: string } | null;
  href: string;
  action: string | null;
};

/** One answer in a line or two: what it is about, where more of it stands, and its sum. */
type GlanceLine = { term: string; link: { href: string; label: string } | null; text: string; sum: string | null };

/** What views/pages/home.hbs shows. */
type HomePage = {
  heading: string;
  /** A sentence under the heading, or null. */
  lead: string | null;
  /** What was noted of animals and stands before all else. */
  flags: FlagBoard | null;
  /** What an update of the shipped figures changed and was not read yet. */
  updates: UnreadUpdate[];
  /** What a new ledger may begin with; null once anything was entered. */
  firstRun: { heading: string; text: string; href: string; action: string; look: string }[] | null;
  /** How far the way to the first plan has come and what is next; null once it is put away or done. */
  way: { text: string; href: string } | null;
  /** Whether that way stands above everything, as long as there is no plan. */
  wayFirst: boolean;
  /** What a keeper asks first, one line each, for the first screen of a phone; null while no animal can be scored. */
  glance: GlanceLine[] | null;
  /** What is done before anything else; null where nothing is. */
  atOnce: AtOnce | null;
  decision: {
    heading: string;
    figure: string;
    why: string | null;
    /** Why what would end a severe shortfall is not bought now. */
    later: string[];
    buys: BuyLine[];
    buyPages: PagesView | null;
    /** What costs nothing: the first few, and the rest folded. */
    free: { name: string; href: string }[];
    freeCount: number;
    freeMore: {
      summary: string;
      rest: { name: string; href: string }[];
      pages: PagesView | null;
      open: boolean;
    } | null;
    stale: string | null;
  } | null;
  planAction: string;
  /** The months that are over and not closed; null when there are none. */
  toClose: { heading: string; text: string; href: string; action: string } | null;
  /** Purchases that can go back for a few days more and are not fitted or not read yet. */
  goesBack: { text: string; href: string; action: string }[];
  overdue: { text: string; href: string; renewedHref: string }[];
  overduePages: PagesView | null;
  severe: { text: string; href: string }[];
  severePages: PagesView | null;
  worst: { name: string; href: string; score: ScoreBar; worst: string }[];
  /** Animals whose species is not known any more. */
  unjudged: UnjudgedLine[];
  measureFirst: MeasureLine[];
  measureMore: string | null;
  vet: string;
  /** What is amiss with backups or, in an empty ledger, that one can be restored; null otherwise. */
  backupNote: { text: string; href: string; action: string } | null;
};

export function homePages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, parts, backups, render, hasDemonstration } = deps;
  app.get(paths.home, ({ query }, reply) => {
    const asked = askedOf(paths.home, query);
    const gathered = gatherScoring(db, library(), now());
    const { ledger, today, scoring } = gathered;
    const scores = scoreCollection(scoring);
    const { collection } = scoring;
    const shortfalls = severeShortfallsOf(db, parts, gathered);
    const { unanswered } = openProposals(db, parts, gathered);
    const unjudged = collection.unjudged ?? [];
    const upgrades = listUpgrades(db);
    const plan = latestPlan(db);
    const month = monthOf(today);
    const budget = budgetOf(readMoneyFacts(db, today), month, ledger.horizonMonths);
    const amount = (sum: number) => formatMoney(sum as typeof budget.openingCash, ledger.currency, ledger.locale);
    const isNew =
      collection.animals.length + unjudged.length + collection.enclosures.length + upgrades.length === 0 &&
      plan === null &&
      ledger.version === 1;
    const steps = stepsTo(db, { ledger, scoring, scores, proposals: null, asksRate: false });
    const next = steps.find((one) => one.isNext) ?? null;
    const overdue = budget.renewals.filter((one) => one.state === 'overdue');
    const critical = scores.measureFirst.slice(0, MOST_LISTED);
    const more = scores.measureFirst.length - critical.length;
    const decision =
      plan === null
        ? null
        : decisionOf(
            plan,
            { upgrades, collection, shortfalls, asked },
            ledger,
            plan.firstMonth === month ? 'present' : { inHand: inHandSentence(budget, month, ledger) },
            ledgerVersion(db),
          );
    const inHand = ledger.cashCounted === null ? null : amount(budget.openingCash);
    const flags = flagBoard([...collection.animals, ...unjudged], listEverySign(db), today, ledger);
    const missing = whatIsMissing(db);
    const canPlan = missing === null || missing.href === paths.upgrades.list;
    const urgent = atOnceBriefly(shortfalls, upgrades, gathered, plan);
    const due = pageOf(overdue, asked, { what: 'things overdue', name: 'overdue', id: 'overdue', size: ROWS_HERE });
    const severe = pageOf(severeOf(scores, shortfalls, plan !== null), asked, {
      what: 'needs severely short',
      name: 'severe',
      id: 'severe',
      size: ROWS_HERE,
    });
    const whyNothing = (animalId: string, need: Need) => {
      const none = unanswered.find((one) => one.animalIds.includes(animalId) && one.need === need);
      return none === undefined ? '' : ` ${urgentWords.nothingProposed(noProposalWords(none.no, ledger.unitSystem))}`;
    };
    const glance = glanceOf(db, { decision, flags, urgent, inHand, overdue, scores, ledger });
    const page: HomePage = {
      heading: isNew ? startSentences.welcome : formatMonth(month, ledger.locale),
      lead: isNew
        ? startSentences.welcomeLead
        : inHand === null || scores.scored.length > 0
          ? null
          : homeWords.inHandToday(inHand),
      flags,
      updates: unreadUpdates(listCareUpdates(db), scoring, ledger.locale, ledger.unitSystem),
      firstRun: isNew ? firstRunOf(hasDemonstration) : null,
      way:
        isNew || next === null || firstStepsPutAway(db)
          ? null
          : {
              text: startSentences.way(steps.filter((one) => one.done).length, steps.length, next.text),
              href: paths.start.show,
            },
      wayFirst: decision === null,
      glance: scores.scored.length === 0 ? null : glance,
      atOnce: atOnceOf(shortfalls, gathered, plan, canPlan, asked),
      decision,
      planAction: paths.roadmap.plan,
      toClose: toCloseOf(closingOf(db, today).open, ledger.locale),
      goesBack: goesBackOf(upgrades, collection, today, ledger.locale),
      overdue: due.rows.map((one) => ({
        text: homeWords.wasDue(one.name, formatDate(one.dueOn, ledger.locale)),
        href: paths.enclosures.show(one.enclosureId),
        renewedHref: paths.enclosures.fittings.renewed(one.enclosureId, one.fittingId),
      })),
      overduePages: due.pages,
      severe: severe.rows.map(({ animal, need }) => ({
        text: `${animal.name}: ${severeSentence(need)}${whyNothing(animal.id, need.need)}`,
        href: paths.animals.show(animal.id),
      })),
      severePages: severe.pages,
      worst: scores.scored.slice(0, MOST_LISTED).map(({ animal, score }) => ({
        name: animal.name,
        href: paths.animals.show(animal.id),
        score: animalBar(score),
        worst: worstInFull(score),
      })),
      unjudged: unjudgedLines(collection),
      measureFirst: measureLines(critical, collection),
      measureMore: more > 0 ? homeWords.allToMeasure(scores.measureFirst.length) : null,
      vet: cautions.vet,
      // A new ledger offers it as one of its beginnings.
      backupNote: backupNoteOf(backups, !isNew && collection.animals.length + unjudged.length === 0 && plan === null),
    };
    return render(reply, 'home', page, { title: page.heading, current: 'home' });
  });
}

function backupNoteOf(backups: Deps['backups'], isEmpty: boolean): HomePage['backupNote'] {
  const doubt = backups.doubt();
  if (doubt !== null) return { text: backupDoubtSentence(doubt), href: paths.backups.list, action: homeWords.backups };
  return isEmpty && backups.folder !== null
    ? { text: backupWords.firstRun, href: paths.backups.list, action: homeWords.restoreBackup }
    : null;
}

function toCloseOf(open: readonly PlainMonth[], locale: string): HomePage['toClose'] {
  const [first] = open;
  if (first === undefined) return null;
  const name = formatMonth(first, locale);
  return open.length === 1
    ? {
        heading: homeWords.isOver(name),
        text: homeWords.lookBack,
        href: paths.months.close(first),
        action: homeWords.close(name),
      }
    : {
        heading: homeWords.monthsWait(open.length),
        text: homeWords.oldestIs(name),
        href: paths.months.list,
        action: homeWords.toTheMonths,
      };
}

function firstRunOf(hasDemonstration: boolean): NonNullable<HomePage['firstRun']> {
  const { begin, demonstration, restore, bringIn } = startSentences.firstRun;
  return [
    { ...begin, href: paths.start.show, look: 'button-primary' },
    ...(hasDemonstration ? [{ ...demonstration, href: paths.demonstration, look: 'button-secondary' }] : []),
    { ...restore, href: paths.backups.list, look: 'button-secondary' },
    { ...bringIn, href: paths.export.import, look: 'button-secondary' },
  ];
}

type Glanced = {
  decision: HomePage['decision'];
  flags: FlagBoard | null;
  urgent: AtOnceBriefly[];
  inHand: string | null;
  overdue: readonly { name: string }[];
  scores: CollectionScores;
  ledger: Ledger;
};

// What is told of an animal itself comes first, then what is done before anything else, then money.
function glanceOf(
  session: Session,
  { decision, flags, urgent, inHand, overdue, scores, ledger }: Glanced,
): GlanceLine[] {
  const [worst] = scores.scored;
  const [first] = urgent;
  const sign = flags?.rows[0];
  const open = decision?.buys.filter((one) => one.since === null) ?? [];
  const [buy] = open;
  const line = (term: string, text: string, link: GlanceLine['link'], sum: string | null = null): GlanceLine[] => [
    { term, text, link, sum },
  ];
  return [
    ...(sign === undefined || flags === null
      ? []
      : line(flags.heading, moreThan(flags.rows.length), { href: sign.href, label: sign.text })),
    ...(first === undefined
      ? []
      : line(
          glanceWords.atOnce,
          `${first.isProposed ? urgentWords.notPlanned(`for ${first.forWhom}`) : `for ${first.forWhom}.`}${moreThan(urgent.length)}`,
          { href: first.href, label: first.label },
          first.price,
        )),
    ...(inHand === null
      ? line(glanceWords.inHand, '', { href: paths.start.money, label: glanceWords.notCounted })
      : line(glanceWords.inHand, '', { href: paths.money, label: glanceWords.money }, inHand)),
    ...(decision === null
      ? []
      : buy === undefined
        ? line(glanceWords.buy, decision.why ?? '', { href: '#decision', label: `${decision.heading}.` })
        : line(
            glanceWords.buy,
            `${buy.forWhom === null ? '' : `${buy.forWhom}. `}${buy.briefly}${moreThan(open.length)}`,
            { href: '#decision', label: buy.name },
            buy.price,
          )),
    ...(worst === undefined
      ? []
      : line(glanceWords.worst, `${animalBar(worst.score).text}. ${worstWords(worst.score)}`, {
          href: paths.animals.show(worst.animal.id),
          label: worst.animal.name,
        })),
    ...(overdue.length === 0
      ? line(glanceWords.overdue, glanceWords.nothing, null)
      : line(glanceWords.overdue, moreThan(overdue.length), { href: '#overdue', label: overdue[0]!.name })),
    ...(decision === null || decision.freeCount === 0
      ? []
      : line(glanceWords.free, '', { href: '#free', label: startSentences.freeThings(decision.freeCount) })),
    ...sinceLine(session, scores, ledger),
  ];
}

function sinceLine(session: Session, { scored }: CollectionScores, { locale }: Ledger): GlanceLine[] {
  const month = listClosedMonths(session).at(-1);
  if (month === undefined)
    return [
      { term: glanceWords.since, text: '', link: { href: paths.months.list, label: glanceWords.notClosed }, sum: null },
    ];
  const moved = scored.flatMap(({ animal, score }) => {
    const before = month.record.scores.find((one) => one.animalId === animal.id);
    const [then, now] = [Math.round(before?.score ?? 0), Math.round(score.score)];
    return before === undefined || then === now ? [] : [`${animal.name} ${then} → ${now}`];
  });
  const name = formatMonth(month.month, locale);
  return [
    {
      term: glanceWords.sinceMonth(name),
      text: moved.length === 0 ? glanceWords.noneMoved : `${listed(moved.slice(0, MOST_LISTED))}.`,
      link: { href: paths.progress, label: glanceWords.scores },
      sum: null,
    },
  ];
}

function moreThan(count: number): string {
  return count < 2 ? '' : ` And ${count - 1} more.`;
}

function decisionOf(
  plan: PlanRecord,
  {
    upgrades,
    collection,
    shortfalls,
    asked,
  }: {
    upgrades: readonly UpgradeRecord[];
    collection: Collection;
    shortfalls: readonly SevereShortfall[];
    asked: Asked;
  },
  ledger: Ledger,
  when: 'present' | { inHand: string },
  version: number,
): HomePage['decision'] {
  const { locale } = ledger;
  const stale =
    when !== 'present'
      ? roadmapSentences.passed(formatMonth(plan.firstMonth, locale))
      : plan.ledgerVersion === version
        ? null
        : roadmapSentences.stale;
  const { roadmap } = plan;
  const freeThing = (name: string, whose: string[]) => `${name}${whose.length === 0 ? '' : `, for ${listed(whose)}`}.`;
  // What cools an animal that is too warm is done first, also where a purchase of the same month makes it worth no points to the plan.
  const cooling = coolingOf(upgrades, collection).map(({ upgrade, whose }) => ({
    id: upgrade.id,
    name: freeThing(upgrade.name, whose),
  }));
  const cools = new Set(cooling.map(({ id }) => id));
  const freeOf = (others: readonly { id: string; name: string }[]) => {
    const free = [...cooling, ...others.filter(({ id }) => !cools.has(id))].map(({ id, name }) => ({
      name,
      href: paths.upgrades.fitted(id),
    }));
    const rest = pageOf(free.slice(MOST_LISTED), asked, { what: 'more free things', name: 'free', id: 'free' });
    return {
      freeCount: free.length,
      free: free.slice(0, MOST_LISTED),
      freeMore:
        free.length <= MOST_LISTED
          ? null
          : {
              summary: `${free.length - MOST_LISTED} more that cost nothing`,
              rest: rest.rows,
              pages: rest.pages,
              open: asked.query.has('free'),
            },
    };
  };
  if (roadmap === null) {
    // What is free waits for no money, and for no plan that can be paid.
    const whose = (one: UpgradeRecord) => namesIn(collection, enclosuresOf(one, collection));
    return {
      heading: homeWords.noPlanPaid,
      figure: homeWords.fixedCostsMore,
      why: homeWords.roadmapSays,
      buys: [],
      buyPages: null,
      later: [],
      ...freeOf(upgrades.filter(isFreeNow).map((one) => ({ id: one.id, name: freeThing(one.name, whose(one)) }))),
      stale,
    };
  }
  const amount = (sum: RoadmapBuy['price']) => formatMoney(sum, roadmap.currency, locale);
  const first = roadmap.months[0]!;
  const byId = new Map(upgrades.map((one) => [one.id, one]));
  const upgradeOf = (buy: RoadmapBuy) => byId.get(buy.upgradeId);
  const priced = mostUrgentFirst(first.buys).filter((one) => one.price > 0);
  const nameOf = new Map(roadmap.animals.map((one) => [one.animalId, one.name]));
  const animal = (id: string) => nameOf.get(id) ?? '';
  const isOpen = (one: RoadmapBuy) => upgradeOf(one)?.status === 'wanted';
  const open = priced.filter(isOpen);
  const free = mostUrgentFirst(first.buys)
    .filter((one) => one.price === 0 && isOpen(one))
    .map((one) => ({ id: one.upgradeId, name: freeThing(one.name, one.animalIds.map(animal)) }));
  // What is still to be bought comes before what is bought already.
  const paidFor = (one: RoadmapBuy) => upgradeOf(one)?.paid ?? null;
  const shown = pageOf([...open, ...priced.filter((one) => !isOpen(one))], asked, {
    what: 'purchases',
    name: 'buys',
    id: 'decision',
    size: ROWS_HERE,
  });
  const lines = shown.rows.map((one) => ({
    name: one.name,
    isNamed: priced.length === 1 && open.length === 1,
    price: amount(paidFor(one) ?? one.price),
    forWhom: one.animalIds.length === 0 ? null : `for ${listed(one.animalIds.map(animal))}`,
    why: doneOf(upgradeOf(one), ledger) ?? [whyNowSentence(one.whyNow), behindSentence(one) ?? []].flat().join(' '),
    briefly: whyNowBriefly(one.whyNow),
    unasked: unaskedOf(upgradeOf(one)),
    ...stepOf(upgradeOf(one)),
  }));
  const saving = first.savingFor;
  const short = underFloor(roadmap);
  const month = formatMonth(first.month, locale);
  return {
    heading:
      priced.length === 0
        ? homeWords.buyNothingIn(month)
        : open.length === 0
          ? homeWords.allBought(month)
          : open.length === 1
            ? `Buy: ${open[0]!.name}`
            : homeWords.buyThings(open.length),
    figure:
      when !== 'present'
        ? `${roadmapSentences.plannedThen(amount(first.bought), month)} ${when.inHand}`.trim()
        : open.length === priced.length
          ? homeWords.plannedAndKept(amount(first.bought), month, amount(first.cash))
          : roadmapSentences.paidSoFar(
              amount(sumMoney(priced.flatMap((one) => (isOpen(one) ? [] : (paidFor(one) ?? []))))),
              open.length === 0 ? null : amount(sumMoney(open.map((one) => one.price))),
              month,
            ),
    later: laterOf(roadmap, shortfalls, amount, locale),
    why:
      short === null && saving === null
        ? null
        : [
            ...(short === null ? [] : underFloorSentences(short, roadmap.reserve, amount, locale)),
            ...(saving === null ? [] : [savingSentence(saving, amount(saving.price), locale)]),
          ].join(' '),
    buys: lines,
    buyPages: shown.pages,
    ...freeOf(free),
    stale,
  };
}

// Wanted, at no cost, and of use without anything that is not there yet.
function isFreeNow({ status, priceHigh, monthlyCost, requires, pinnedMonth }: UpgradeRecord): boolean {
  return status === 'wanted' && priceHigh + monthlyCost === 0 && requires.length === 0 && pinnedMonth === null;
}

function namesIn({ animals }: Collection, enclosureIds: readonly string[]): string[] {
  return animals.flatMap((one) => (enclosureIds.includes(one.enclosureId ?? '') ? [one.name] : []));
}

// Which money is in hand in a month, for whoever looks at the plan of another.
function inHandSentence(budget: Budget, month: PlainMonth, { cashCounted, currency, locale }: Ledger): string {
  if (cashCounted === null) return '';
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const toCome = budget.months[0]?.entries.find((one) => one.what === 'sum') ?? null;
  return roadmapSentences.inHandNow(
    amount(budget.openingCash),
    formatMonth(month, locale),
    toCome === null ? null : amount(toCome.amount),
  );
}

// What has become of a purchase, with what was paid for it; null while it is still to be bought.
function doneOf(upgrade: UpgradeRecord | undefined, { currency, locale }: Ledger): string | null {
  if (upgrade === undefined || upgrade.paid === null || upgrade.boughtOn === null) return null;
  const day = (date: PlainDate) => formatDate(date, locale);
  return roadmapSentences.paid(
    formatMoney(upgrade.paid, currency, locale),
    day(upgrade.boughtOn),
    upgrade.fittedOn === null ? null : day(upgrade.fittedOn),
  );
}

// Of each severe shortfall that this month's purchases leave, the purchase of a later month that ends it, and why it is not made before.
function laterOf(
  roadmap: Roadmap,
  shortfalls: readonly SevereShortfall[],
  amount: (sum: RoadmapBuy['price']) => string,
  locale: string,
): string[] {
  // By animal and need the purchase that ends its shortfall first, found in one walk through the plan.
  const endedBy = new Map<string, { buy: RoadmapBuy; month: PlainMonth }>();
  for (const { month, buys } of roadmap.months) {
    for (const buy of buys) {
      for (const { animalId, need, severe } of [...buy.effects, ...(buy.alone ?? [])]) {
        const key = `${animalId} ${need}`;
        if (severe === 'ends' && !endedBy.has(key)) endedBy.set(key, { buy, month });
      }
    }
  }
  return shortfalls.flatMap((one) => {
    const ending = endedBy.get(`${one.animalId} ${one.need.need}`);
    const animal = roadmap.animals.find(({ animalId }) => animalId === one.animalId)?.name;
    if (ending === undefined || ending.month === roadmap.months[0]!.month || animal === undefined) return [];
    const { buy, month } = ending;
    const what = `${lowerFirst(needNames[one.need.need])} of ${animal}`;
    return [laterSentence(what, buy.name, amount(buy.price), formatMonth(month, locale), buy.whyNow)];
  });
}

function unaskedOf(upgrade: UpgradeRecord | undefined): BuyLine['unasked'] {
  return upgrade === undefined || upgrade.unaskedSince === null
    ? null
    : { text: urgentWords.unasked, href: paths.upgrades.show(upgrade.id), action: urgentWords.decide };
}

// The next step of a purchase, or what has become of it.
function stepOf(upgrade: UpgradeRecord | undefined): { since: string | null; href: string; action: string | null } {
  if (upgrade === undefined) return { since: homeWords.noLongerListed, href: paths.upgrades.list, action: null };
  const { id, status } = upgrade;
  switch (status) {
    case 'wanted':
      return { since: null, href: paths.upgrades.bought(id), action: homeWords.bought };
    case 'ordered':
      return { since: 'bought', href: paths.upgrades.fitted(id), action: homeWords.fitIt };
    case 'fitted':
    case 'refused':
      return { since: status, href: paths.upgrades.show(id), action: null };
  }
}

function goesBackOf(
  upgrades: readonly UpgradeRecord[],
  collection: Collection,
  today: PlainDate,
  locale: string,
): HomePage['goesBack'] {
  return upgrades.flatMap((one) => {
    const { id, name, returnBy, fittedOn } = one;
    if (returnBy === null) return [];
    const wayBack = wayBackOf(one, { returnBy, fittedOn }, collection, today);
    if (wayBack.status !== 'closing') return [];
    const text = `${name}: ${lowerFirst(wayBackSentence(wayBack, formatDate(returnBy, locale)))}`;
    return [
      { text, href: paths.upgrades.show(id), action: fittedOn === null ? homeWords.lookAtIt : homeWords.readAndCheck },
    ];
  });
}

// What stands among what is done before anything else is not said again.
function severeOf(
  { scored }: CollectionScores,
  shortfalls: readonly SevereShortfall[],
  planned: boolean,
): { animal: Animal; need: NeedScore }[] {
  const above = new Set(
    shortfalls.filter((one) => isUrgent(one, planned)).map((one) => `${one.animalId} ${one.need.need}`),
  );
  return scored.flatMap(({ animal, score }) =>
    score.needs.filter((one) => one.severe && !above.has(`${animal.id} ${one.need}`)).map((need) => ({ animal, need })),
  );
}

// What the roadmap pages show, already in words: this month's decision first, then every month, the drawings with their figures as
// tables, and what is not in the plan and why.

import type { SetAside } from '../../src/budget.ts';
import {
  addMonths,
  formatDate,
  formatMonth,
  formatShortMonth,
  monthOf,
  monthsBetween,
  type PlainDate,
  type PlainMonth,
} from '../../src/calendar.ts';
import type { Currency } from '../../src/money.ts';
import { formatMoney, formatRoundMoney, money } from '../../src/money.ts';
import type { FoundAnswer, PlanAnswer } from '../../src/problem.ts';
import { type Roadmap, type RoadmapBuy, type RoadmapMonth, underFloor } from '../../src/roadmap.ts';
import type { KeptRoadmap, PlanLine, PlanRecord } from '../db/plans.ts';
import type { Studies } from '../db/studies.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import { readingNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import {
  arrivalSentence,
  behindSentence,
  cheapestSentence,
  effectSentence,
  gapSentences,
  infeasibleSentences,
  leftOutOfPlanSentence,
  planStatusSentence,
  pointMonths,
  roadmapPageWords,
  roadmapSentences,
  savingSentence,
  underFloorSentences,
  whyNotSentence,
  whyNowSentence,
  worthSentence,
} from '../plan-words.ts';
import { LONGEST_MINUTES, type PlanningProgress, type StudyProgress } from '../planning.ts';
import { keptBackSentence } from '../sign-words.ts';
import { urgentWords } from '../urgent-words.ts';
import { listed } from '../words.ts';
import type { AtOnce, OffList } from './before-anything-else.ts';
import { type Chart, savingChart, scoreChart } from './chart.ts';
import { type Asked, type PagesView, pageOf } from './paging.ts';
import type { RoomYear } from './room-year.ts';
import {
  type ChangesView,
  changesView,
  firmness,
  type Studied,
  type StudiesView,
  studiesView,
} from './studies.view.ts';

/** A place where something belongs, with what to do next. */
export type EmptyState = { heading: string; text: string; href: string; action: string };

type Link = { href: string; label: string };

/** A purchase of the plan, in words. */
type BuyView = {
  name: string;
  price: string;
  isFree: boolean;
  forWhom: string;
  effects: string[];
  worth: string | null;
  whyNow: string;
  arrives: string;
  readings: string[];
  /** In how many plans under other value choices it is bought; null while that is not worked out. */
  firm: string | null;
  /** What has become of it since the plan was made; null while it is to be bought as planned. */
  since: string | null;
  /** That planning put it on the list by itself; null once the keeper said a word about it. */
  unasked: string | null;
  links: Link[];
};

type MonthView = {
  name: string;
  isNow: boolean;
  cash: string;
  /** With the number under which each stands in the drawing. */
  buys: (BuyView & { number: string })[];
  /** Where the month's purchases are shown instead; null where they are shown here. */
  brief: string | null;
  free: string | null;
  arrivals: string | null;
  renewals: string[];
  saving: string | null;
  changes: string[];
};

/** `first` heads the column that names the rows. */
type TableView = { first: string; columns: string[]; rows: { head: string; cells: string[] }[] };

/** What views/pages/roadmap.hbs shows. */
export type RoadmapPage = {
  heading: string;
  lead: string | null;
  failure: string | null;
  empty: EmptyState | null;
  /** What is done before anything else; null where nothing is. */
  atOnce: AtOnce | null;
  /** What summer and winter do in the rooms; null without a plan or where nobody lives in a room. */
  rooms: RoomYear | null;
  /** Steps that would help besides, such as to look at proposals. */
  stale: string | null;
  canPlan: boolean;
  planAction: string;
  planLabel: string;
  /** What is kept back for vets now, ahead of any purchase. */
  setAside: string[];
  infeasible: { heading: string; sentences: string[]; links: Link[] } | null;
  now: {
    heading: string;
    sum: string;
    buys: BuyView[];
    free: BuyView[];
    /** What else costs nothing, folded away. */
    freeMore: { summary: string; rest: BuyView[] } | null;
    nothing: string | null;
  } | null;
  facts: { term: string; value: string }[];
  status: string | null;
  notes: string[];
  /** What changed since the last plan; null when there is none before it. */
  changes: ChangesView | null;
  studies: StudiesView | null;
  months: MonthView[];
  /** The months after the first of the plan, folded; null where there are none, or another page of them is shown. */
  laterMonths: { summary: string; months: MonthView[] } | null;
  cashChart: Chart | null;
  cashTable: TableView | null;
  /** Who pays the power that is not in that table, or that it is unknown. */
  powerNote: string | null;
  /** The sections further down, for the top of a long page. */
  parts: readonly Link[];
  scoreCharts: Chart[];
  scoreLegend: string;
  /** A stretch of months each, no longer than paper is wide. */
  scoreTables: { id: string; caption: string; table: TableView }[];
  notBought: { name: string; forWhom: string; price: string; why: string }[];
  leftOut: { name: string; why: string }[];
  /** For each animal the least that would bring every need near its target. */
  cheapest: { name: string; how: string }[];
  older: { href: string; label: string; current: boolean }[];
  choicesHref: string;
  /** The way to what of each list stands on another page; null where all of it is shown. */
  pages: Readonly<Record<PagedList, PagesView | null>>;
  /** Whether the reasons why things are not bought stand open, because another page of them was asked for. */
  notBoughtOpen: boolean;
};

/** The lists of the page that a plan of many purchases or animals divides, and what each calls its rows. */
const pagedLists = {
  buys: 'purchases',
  free: roadmapPageWords.freeActions,
  months: 'months',
  scores: 'animals',
  least: 'animals',
  notBought: 'purchases',
  leftOut: 'upgrades',
};
type PagedList = keyof typeof pagedLists;

// Where the list of a name stands in the page and what it is called in the address.
const listNames: Readonly<Record<PagedList, string>> = {
  buys: 'buys',
  free: 'free',
  months: 'months',
  scores: 'scores',
  least: 'least',
  notBought: 'not-bought',
  leftOut: 'left-out',
};

/** What the pages take besides the plan: the ledger's way of writing, the day, and what became of the upgrades since. */
export type Around = {
  locale: string;
  currency: Currency;
  today: PlainDate;
  /** Null on the page of an older plan, which stays as it was. */
  upgrades: readonly UpgradeRecord[] | null;
  setAside: readonly SetAside[];
  /** Which pages of its lists are asked for. */
  asked: Asked;
};

const nothing = {
  powerNote: null,
  failure: null,
  empty: null,
  atOnce: null,
  rooms: null,
  stale: null,
  canPlan: false,
  planAction: paths.roadmap.plan,
  planLabel: roadmapPageWords.plan,
  setAside: [],
  infeasible: null,
  now: null,
  facts: [],
  status: null,
  notes: [],
  changes: null,
  studies: null,
  months: [],
  laterMonths: null,
  cashChart: null,
  cashTable: null,
  parts: [],
  scoreCharts: [],
  scoreLegend: roadmapSentences.scoreLegend,
  scoreTables: [],
  notBought: [],
  leftOut: [],
  cheapest: [],
  older: [],
  choicesHref: paths.valueChoices.show,
  pages: { buys: null, free: null, months: null, scores: null, least: null, notBought: null, leftOut: null },
  notBoughtOpen: false,
};

/** The page of a ledger without a plan, with what is missing or the button that plans. */
export function noPlanPage(
  empty: EmptyState | null,
  canPlan: boolean,
  failure: string | null,
  lines: readonly PlanLine[],
  locale: string,
  atOnce: AtOnce | null,
): RoadmapPage {
  return {
    ...nothing,
    atOnce,
    heading: roadmapPageWords.roadmap,
    lead: empty === null ? `Everything needed for a plan is here. ${howLong}` : null,
    failure,
    empty,
    canPlan,
    older: olderOf(lines, null, locale),
  };
}

/** The page of a plan. `stale` tells that the ledger was changed since; `shortage` what the money page finds, for a plan there is not. */
export function planPage(
  plan: PlanRecord,
  around: Around,
  parts: {
    stale: boolean;
    failure: string | null;
    lines: readonly PlanLine[];
    shortage: string[];
    empty: EmptyState | null;
    studies: Studies;
    studying: StudyProgress | null;
    atOnce: AtOnce | null;
    /** What is not on the list and would end what is severe. */
    offList: OffList;
  },
): RoadmapPage {
  const { locale, today } = around;
  const isCurrent = around.upgrades !== null;
  const passed = monthsBetween(plan.firstMonth, monthOf(today)) > 0;
  const page: RoadmapPage = {
    ...nothing,
    heading: isCurrent ? roadmapPageWords.roadmap : `Plan of ${formatDate(plan.madeOn, locale)}`,
    lead: `Made on ${formatDate(plan.madeOn, locale)}, from ${formatMonth(plan.firstMonth, locale)} on for ${plan.problem.months} months.`,
    failure: parts.failure,
    empty: parts.empty,
    atOnce: parts.atOnce,
    stale: !isCurrent
      ? null
      : passed
        ? roadmapSentences.passed(formatMonth(plan.firstMonth, locale))
        : parts.stale
          ? roadmapSentences.stale
          : null,
    canPlan: isCurrent,
    planLabel: roadmapPageWords.planAgain,
    setAside: around.setAside.map((one) => keptBackSentence(one, around.currency, locale)),
    older: olderOf(parts.lines, plan.id, locale),
  };
  const { answer, roadmap } = plan;
  if (answer.status === 'infeasible')
    return { ...page, infeasible: infeasibleView(plan, answer, around, parts.shortage) };
  if (roadmap === null || answer.status === 'undecided') return page;
  const { studies, studying, offList } = parts;
  const studied: Studied = { plan, studies, studying, locale, offList };
  return {
    ...page,
    ...roadmapView(roadmap, answer, around, firmness(studied)),
    changes: changesView(studied, isCurrent),
    studies: studiesView(studied, isCurrent && !parts.stale),
  };
}

function olderOf(lines: readonly PlanLine[], current: string | null, locale: string): RoadmapPage['older'] {
  return lines.map((one) => ({
    href: paths.roadmap.older(one.id),
    label: `Plan ${one.id} of ${formatDate(one.madeOn, locale)}, from ${formatMonth(one.firstMonth, locale)} on`,
    current: one.id === current,
  }));
}

function infeasibleView(
  plan: PlanRecord,
  answer: Extract<PlanAnswer, { status: 'infeasible' }>,
  { locale, currency }: Around,
  shortage: string[],
): RoadmapPage['infeasible'] {
  const month = formatMonth(addMonths(plan.firstMonth, answer.shortMonth), locale);
  const by = answer.shortBy === 0 ? null : formatMoney(money(answer.shortBy), currency, locale);
  return {
    heading: roadmapPageWords.noPlanPaid,
    sentences: [...infeasibleSentences(month, by), ...shortage],
    links: [
      { href: paths.money, label: roadmapPageWords.lookAtMoney },
      { href: paths.upgrades.list, label: roadmapPageWords.lookAtPinned },
      { href: `${paths.home}#free`, label: roadmapPageWords.whatIsFree },
    ],
  };
}

// The sections of views/pages/roadmap.hbs that every plan has.
const roadmapParts: readonly Link[] = [
  { href: '#saving', label: roadmapPageWords.savingBuying },
  { href: '#months', label: roadmapPageWords.monthByMonth },
  { href: '#scores', label: roadmapPageWords.scores },
  { href: '#how-good', label: roadmapPageWords.howGood },
];

// More would push the money and the months off the screen.
const FREE_AT_ONCE = 5;

/** How many purchases a plan may hold for all of its months to stand on one page, and how many months do where it holds more. */
const MOST_BUYS_IN_FULL = 100;
const MONTHS_A_PAGE = 1;

/** How many rows of each list stand on one page: what takes more words, fewer of it. */
const SIZES: Readonly<Record<Exclude<PagedList, 'months'>, number>> = {
  buys: 25,
  free: 40,
  scores: 20,
  least: 40,
  notBought: 40,
  leftOut: 40,
};

function roadmapView(
  roadmap: KeptRoadmap,
  answer: FoundAnswer,
  around: Around,
  firm: ReadonlyMap<string, string>,
): Partial<RoadmapPage> {
  const { locale, asked } = around;
  const amount = (sum: number) => formatMoney(money(Math.round(sum)), roadmap.currency, locale);
  const paged = <Row>(list: PagedList, all: readonly Row[], size: number) =>
    pageOf(all, asked, { what: pagedLists[list], name: listNames[list], id: listNames[list], size });
  const nameOf = new Map(roadmap.animals.map((one) => [one.animalId, one.name]));
  const upgradeOf = around.upgrades === null ? null : new Map(around.upgrades.map((one) => [one.id, one]));
  const newBoxToldAt =
    roadmap.months.flatMap(({ buys }) => buys).find((one) => lowersByNewBox(one, upgradeOf?.get(one.upgradeId)))
      ?.upgradeId ?? null;
  const describe = (buy: RoadmapBuy, month: PlainMonth) =>
    buyView(buy, month, { nameOf, amount, locale, upgradeOf, firm, newBoxToldAt });
  const months = roadmap.months.map((one) => one.month);
  const numbers = numbersOf(roadmap.months);
  const first = roadmap.months[0]!;
  const bought = mostUrgentFirst(first.buys);
  const [priced, free] = [bought.filter((one) => one.price > 0), bought.filter((one) => one.price === 0)];
  const inWords = (all: readonly RoadmapBuy[]) => all.map((one) => describe(one, first.month));
  const buys = paged('buys', priced, SIZES.buys);
  const freeNow = paged('free', free, SIZES.free);
  const freeWords = inWords(freeNow.rows);
  // On another page of what is free nothing of it is folded away.
  const freeAtOnce = asked.query.has(listNames.free) ? freeWords.length : FREE_AT_ONCE;
  const buysInAll = roadmap.months.reduce((sum, one) => sum + one.buys.length, 0);
  const monthly = paged(
    'months',
    [...roadmap.months.keys()],
    buysInAll <= MOST_BUYS_IN_FULL ? roadmap.months.length : MONTHS_A_PAGE,
  );
  const scores = paged('scores', roadmap.animals, SIZES.scores);
  const least = paged('least', roadmap.cheapest, SIZES.least);
  const notBought = paged('notBought', roadmap.notBought, SIZES.notBought);
  const leftOut = paged('leftOut', roadmap.leftOut, SIZES.leftOut);
  return {
    now: {
      heading:
        priced.length === 0
          ? `${formatMonth(first.month, locale)}: nothing to buy`
          : `${formatMonth(first.month, locale)}: ${priced.length === 1 ? 'one purchase' : `${priced.length} purchases`}`,
      sum: `${amount(first.bought)} this month; ${amount(first.cash)} in hand at its end.`,
      buys: inWords(buys.rows),
      free: freeWords.slice(0, freeAtOnce),
      freeMore:
        freeWords.length <= freeAtOnce
          ? null
          : {
              summary: `${freeWords.length - freeAtOnce} more that cost nothing`,
              rest: freeWords.slice(freeAtOnce),
            },
      nothing: nothingNow(roadmap, priced.length === 0, amount, locale),
    },
    parts: roadmapParts,
    status: planStatusSentence(answer),
    notes: [
      roadmapSentences.baseline,
      roadmapSentences.credit(roadmap.creditMonths),
      ...(roadmap.tailRule === 'already-broken' ? [roadmapSentences.tailBroken] : []),
    ],
    facts: [
      {
        term: roadmapPageWords.spentOnUpgrades,
        value: amount(roadmap.months.reduce((sum, one) => sum + one.bought, 0)),
      },
      { term: roadmapPageWords.inHandAtEnd, value: amount(roadmap.months[roadmap.months.length - 1]!.cash) },
      { term: roadmapPageWords.scoresWithPlan, value: pointMonths(roadmap.points.planned) },
      { term: roadmapPageWords.scoresWithout, value: pointMonths(roadmap.points.baseline) },
      {
        term: severeTerm,
        value: severeEnded(roadmap.severe.baseline, roadmap.severe.planned, roadmapPageWords.withoutPlan),
      },
    ],
    ...foldedMonths(
      monthly.rows.map((index) =>
        monthView(roadmap.months[index]!, index, roadmap, {
          describe,
          nameOf,
          amount,
          locale,
          first: numbers[index]?.first ?? 0,
        }),
      ),
    ),
    cashChart: savingChart({
      id: 'cash',
      title: roadmapPageWords.cashTable,
      description: cashFinding(roadmap, amount, locale),
      caption: `The line rises as money comes in. A bar is what a month’s purchases cost, with their numbers in the months below.${roadmap.reserve === 0 ? '' : ` Broken: the floor of ${amount(roadmap.reserve)} that stays in hand.`}`,
      months: roadmap.months.map((one, index) => ({
        month: one.month,
        before: one.cash + one.bought + one.running + one.committed - one.income,
        saved: one.cash + one.bought,
        cash: one.cash,
        bought: numbers[index]!,
      })),
      floor: roadmap.reserve,
      amount: (sum) => shortAmount(sum, roadmap, locale),
      locale,
    }),
    cashTable: {
      first: roadmapPageWords.month,
      columns: [
        roadmapPageWords.comesIn,
        roadmapPageWords.owed,
        roadmapPageWords.bought,
        roadmapPageWords.runningCosts,
        roadmapPageWords.inHandAtEnd,
      ],
      rows: roadmap.months.map((one) => ({
        head: formatShortMonth(one.month, locale),
        cells: [
          ...[one.income, one.committed, one.bought].map(amount),
          one.running === 0 ? '–' : amount(one.running),
          amount(one.cash),
        ],
      })),
    },
    scoreCharts: scores.rows.map((one) =>
      scoreChart({
        id: `scores-${one.animalId}`,
        title: `Score of ${one.name} by month`,
        description: scoreFinding(one),
        caption: one.name,
        months,
        planned: one.planned,
        baseline: one.baseline,
        locale,
      }),
    ),
    scoreTables: scoreTables(months, scores.rows, locale),
    notBought: notBought.rows.map((one) => ({
      name: one.name,
      forWhom:
        (one.animalIds ?? []).length === 0
          ? ''
          : `for ${listed(one.animalIds!.map((id) => nameOf.get(id) ?? roadmapPageWords.anAnimal))}`,
      price: amount(one.price),
      why: whyNotSentence(one.why, amount),
    })),
    leftOut: leftOut.rows.map((one) => ({
      name: one.name,
      why: leftOutOfPlanSentence(one, 'animalId' in one ? (nameOf.get(one.animalId) ?? roadmapPageWords.anAnimal) : ''),
    })),
    cheapest: least.rows.map((one) => ({ name: one.name, how: cheapestSentence(one, amount) })),
    pages: {
      buys: buys.pages,
      free: freeNow.pages,
      months: monthly.pages,
      scores: scores.pages,
      least: least.pages,
      notBought: notBought.pages,
      leftOut: leftOut.pages,
    },
    notBoughtOpen: asked.query.has(listNames.notBought),
  };
}

/**
 * Purchases that end a severe shortfall first, by themselves or with what comes beside them, then those that would be missed most: of two
 * things that each end the same shortfall neither would be missed, and neither may be put off for that.
 */
export function mostUrgentFirst(buys: readonly RoadmapBuy[]): RoadmapBuy[] {
  const ends = (one: RoadmapBuy) =>
    Math.max(one.worth?.severe ?? 0, (one.alone ?? []).filter(({ severe }) => severe === 'ends').length);
  return [...buys].sort((a, b) => ends(b) - ends(a) || (b.worth?.points ?? 0) - (a.worth?.points ?? 0));
}

// In the month before it was told for what is saved.
function isSaidBefore({ savingFor }: RoadmapMonth, before: RoadmapMonth | undefined): boolean {
  return savingFor !== null && before?.savingFor?.upgradeId === savingFor.upgradeId;
}

// A month in which nothing happens says so, or it would look forgotten.
function briefOf(month: RoadmapMonth, index: number, before: RoadmapMonth | undefined): string | null {
  const { buys, arrivals, renewals, savingFor } = month;
  if (index === 0 && buys.length > 0) return roadmapPageWords.nowStandsAbove;
  const isEmpty =
    buys.length + arrivals.length + renewals.length === 0 && (savingFor === null || isSaidBefore(month, before));
  return isEmpty ? roadmapPageWords.nothingToBuy : null;
}

// The numbers of each month's purchases that cost something, counted through the plan; null for a month without any.
// On a telephone a year of months is a long way: only the first, which is decided now, stands open.
function foldedMonths(all: MonthView[]): Pick<RoadmapPage, 'months' | 'laterMonths'> {
  const [first, ...later] = all;
  if (first?.isNow !== true || later.length === 0) return { months: all, laterMonths: null };
  const summary = roadmapPageWords.laterMonths(later.length, later.at(-1)!.name);
  return { months: [first], laterMonths: { summary, months: later } };
}

function numbersOf(months: readonly RoadmapMonth[]): ({ first: number; last: number } | null)[] {
  let last = 0;
  return months.map(({ buys }) => {
    const count = buys.filter((one) => one.price > 0).length;
    last += count;
    return count === 0 ? null : { first: last - count + 1, last };
  });
}

type Describing = {
  /** The number of the month's first purchase that costs something. */
  first: number;
  describe: (buy: RoadmapBuy, month: PlainMonth) => BuyView;
  nameOf: ReadonlyMap<string, string>;
  amount: (sum: number) => string;
  locale: string;
};

function monthView(one: RoadmapMonth, index: number, roadmap: Roadmap, parts: Describing): MonthView {
  const { describe, nameOf, amount, locale, first } = parts;
  const bought = one.buys.map((each) => describe(each, one.month));
  const free = bought.filter((each) => each.isFree);
  const before = new Map(roadmap.months[index - 1]?.scores.map((each) => [each.animalId, each.score]));
  const now = new Set(one.buys.map((buy) => buy.upgradeId));
  const later = one.arrivals.filter((each) => !now.has(each.upgradeId));
  return {
    name: formatMonth(one.month, locale),
    isNow: index === 0,
    cash: amount(one.cash),
    buys:
      index === 0
        ? []
        : bought.filter((each) => !each.isFree).map((each, place) => ({ ...each, number: String(first + place) })),
    brief: briefOf(one, index, roadmap.months[index - 1]),
    free:
      index === 0 || free.length === 0
        ? null
        : `At no cost: ${listed(free.map((each) => `${each.name} (${each.forWhom})`))}.`,
    arrivals: later.length === 0 ? null : `Arrives: ${listed(later.map((each) => each.name))}.`,
    renewals: one.renewals.map((each) => `Renewal due: ${each.name}, ${amount(each.amount)}.`),
    // What is saved for is said in full once, however many months it takes.
    saving:
      one.savingFor === null || isSaidBefore(one, roadmap.months[index - 1])
        ? null
        : savingSentence(one.savingFor, amount(one.savingFor.price), locale),
    changes: one.scores.flatMap((score) => {
      const from = index === 0 ? score.before : before.get(score.animalId)!;
      const [was, is] = [Math.round(from), Math.round(score.score)];
      return was === is ? [] : [`${nameOf.get(score.animalId)}: ${was} to ${is} of 100`];
    }),
  };
}

function buyView(
  buy: RoadmapBuy,
  month: PlainMonth,
  {
    nameOf,
    amount,
    locale,
    upgradeOf,
    firm,
    newBoxToldAt,
  }: {
    nameOf: ReadonlyMap<string, string>;
    amount: (sum: number) => string;
    locale: string;
    /** Null on the page of an older plan. */
    upgradeOf: ReadonlyMap<string, UpgradeRecord> | null;
    firm: ReadonlyMap<string, string>;
    /** The first new box that the plan buys: what a new box does to readings is told there, once. */
    newBoxToldAt: string | null;
  },
): BuyView {
  const upgrade = upgradeOf?.get(buy.upgradeId);
  const animal = (id: string) => nameOf.get(id) ?? roadmapPageWords.anAnimal;
  const alone = (buy.alone ?? []).map((one) => effectSentence(one, animal(one.animalId)));
  const done =
    upgrade === undefined ||
    upgrade.paid === null ||
    upgrade.boughtOn === null ||
    buy.whyNow.why === 'ordered' ||
    buy.price === 0
      ? null
      : roadmapSentences.paid(
          amount(upgrade.paid),
          formatDate(upgrade.boughtOn, locale),
          upgrade.fittedOn === null ? null : formatDate(upgrade.fittedOn, locale),
        );
  const lapses = lowersByNewBox(buy, upgrade);
  return {
    name: buy.name,
    price:
      done !== null && upgrade?.paid != null
        ? amount(upgrade.paid)
        : buy.price === 0
          ? buy.whyNow.why === 'ordered'
            ? roadmapPageWords.paid
            : roadmapPageWords.costsNothing
          : amount(buy.price),
    isFree: buy.price === 0,
    forWhom: buy.animalIds.length === 0 ? roadmapPageWords.noAnimalYet : `for ${listed(buy.animalIds.map(animal))}`,
    effects: [
      ...buy.effects.map((one) => effectSentence(one, animal(one.animalId), lapses)),
      ...(alone.length === 0 ? [] : [roadmapSentences.alone(alone.join(' '))]),
    ],
    worth: done === null ? (worthSentence(buy.worth) ?? behindSentence(buy)) : null,
    whyNow: done ?? whyNowSentence(buy.whyNow),
    arrives: arrivalSentence(month, buy.arrives, locale),
    readings: [
      ...buy.readings.map((one) =>
        roadmapSentences.readFirst(
          one.readings.map((kind) => readingNames[kind]),
          one.enclosureName,
        ),
      ),
      ...(lapses && buy.upgradeId === newBoxToldAt ? [roadmapSentences.newBox] : []),
    ],
    firm: firm.get(buy.upgradeId) ?? null,
    since: upgradeOf === null ? null : sinceWords(upgrade, buy),
    unasked: upgrade === undefined || upgrade.unaskedSince === null ? null : urgentWords.unasked,
    links: upgrade === undefined ? [] : linksFor(upgrade, buy.price === 0),
  };
}

function lowersByNewBox(buy: RoadmapBuy, upgrade: UpgradeRecord | undefined): boolean {
  return (
    buy.effects.some((one) => one.to < one.from) &&
    upgrade?.changes.some((one) => one.change === 'replace-box') === true
  );
}

function sinceWords(upgrade: UpgradeRecord | undefined, buy: RoadmapBuy): string | null {
  if (upgrade === undefined) return roadmapPageWords.noLongerOnList;
  if (upgrade.status === 'fitted') return roadmapPageWords.fittedSince;
  if (upgrade.status === 'refused') return roadmapPageWords.refusedSince;
  return upgrade.status === 'ordered' && buy.whyNow.why !== 'ordered' ? roadmapPageWords.boughtSince : null;
}

function linksFor({ id, status, pinnedMonth, unaskedSince }: UpgradeRecord, isFree: boolean): Link[] {
  const fit = { href: paths.upgrades.fitted(id), label: isFree ? roadmapPageWords.done : roadmapPageWords.fit };
  if (status === 'ordered')
    return [fit, { href: paths.upgrades.notBought(id), label: roadmapPageWords.notBoughtAfterAll }];
  if (status !== 'wanted') return [];
  if (isFree) return [fit, { href: paths.upgrades.show(id), label: roadmapPageWords.lookAt }];
  return [
    { href: paths.upgrades.bought(id), label: roadmapPageWords.iBought },
    { href: paths.upgrades.notBought(id), label: roadmapPageWords.notBought },
    ...(unaskedSince === null ? [] : [{ href: paths.upgrades.show(id), label: urgentWords.refuse }]),
    {
      href: paths.upgrades.pin(id),
      label: pinnedMonth === null ? roadmapPageWords.fixItsMonth : roadmapPageWords.fixAnotherMonth,
    },
    { href: paths.upgrades.show(id), label: roadmapPageWords.lookAt },
  ];
}

function nothingNow(
  roadmap: Roadmap,
  buysNothing: boolean,
  amount: (sum: number) => string,
  locale: string,
): string | null {
  const { savingFor } = roadmap.months[0]!;
  const short = underFloor(roadmap);
  const why = short === null ? [] : underFloorSentences(short, roadmap.reserve, amount, locale);
  if (!buysNothing) return why.length === 0 ? null : why.join(' ');
  if (savingFor === null) return why.length === 0 ? roadmapPageWords.nothingGains : why.join(' ');
  return [...why, `Keep the money. ${savingSentence(savingFor, amount(savingFor.price), locale)}`].join(' ');
}

function cashFinding(roadmap: Roadmap, amount: (sum: number) => string, locale: string): string {
  const least = roadmap.months.reduce((a, b) => (b.cash < a.cash ? b : a));
  const most = roadmap.months.reduce((a, b) => (b.cash > a.cash ? b : a));
  return `The least in hand is ${amount(least.cash)} at the end of ${formatMonth(least.month, locale)}, the most ${amount(most.cash)} at the end of ${formatMonth(most.month, locale)}.`;
}

function scoreFinding({ name, planned, baseline }: Roadmap['animals'][number]): string {
  const [from, to, without] = [planned[0]!, planned[planned.length - 1]!, baseline[baseline.length - 1]!].map(
    Math.round,
  );
  const course = from === to ? `stays at ${to}` : `goes from ${from} to ${to}`;
  return `With the plan the score of ${name} ${course} of 100; if you buy nothing it ends at ${without}.`;
}

// Without its decimals, which would not fit beside the drawing.
function shortAmount(sum: number, { currency }: KeptRoadmap, locale: string): string {
  return formatRoundMoney(money(Math.round(sum)), currency, locale);
}

/** What views/pages/progress.hbs shows. */
export type ProgressPage = {
  heading: string;
  lead: string | null;
  /** Whether the page's script asks again by itself. */
  facts: { term: string; value: string }[];
  isEnding: boolean;
  stopAction: string;
  checkHref: string;
};

const howLong = `Planning takes some ten seconds for a few animals, longer for very many, and never more than ${LONGEST_MINUTES} minutes.`;

const stageWords: Readonly<Record<PlanningProgress['stage'], string>> = {
  reading: roadmapPageWords.scoringCombinations,
  looking: roadmapPageWords.lookingForBetter,
  ending: roadmapPageWords.endingWithBest,
  drawing: roadmapPageWords.workingOutWhy,
};

/** The page shown while a plan is made. */
export function progressPage({ startedAt, stage, written, best, bare }: PlanningProgress, now: Date): ProgressPage {
  const seconds = Math.max(0, Math.round((now.getTime() - startedAt.getTime()) / 1000));
  const found = best !== null && 'buys' in best.answer ? best.answer : null;
  const gains =
    best === null || best.points === null || bare === null ? null : pointMonths(Math.max(0, best.points - bare.points));
  const gap = found === null ? null : gapSentences(found);
  return {
    heading: roadmapPageWords.planning,
    lead: `A plan is being made; nothing is bought by it. ${howLong}`,
    facts: [
      { term: roadmapPageWords.beingDone, value: stageWords[stage] },
      { term: roadmapPageWords.timeSoFar, value: `${seconds} s` },
      ...(stage === 'reading' && written !== null
        ? [{ term: roadmapPageWords.animalsDone, value: `${written.animals} of ${written.of}` }]
        : []),
      {
        term: roadmapPageWords.roundsSearch,
        value: best === null ? roadmapPageWords.noneYet : String(best.answer.rounds),
      },
      {
        term: roadmapPageWords.bestPlanSoFar,
        value: found === null ? roadmapPageWords.noneYet : `${found.buys.length} purchases and free actions`,
      },
      ...(gains === null ? [] : [{ term: roadmapPageWords.gainsOverFixed, value: gains }]),
      ...(found === null || bare === null
        ? []
        : [{ term: severeTerm, value: severeEnded(bare.severe, found.severe, roadmapPageWords.withFixed) }]),
      ...(gap === null ? [] : [{ term: roadmapPageWords.provedSoFar, value: `${gap.severe} ${gap.points}` }]),
    ],
    isEnding: stage === 'ending' || stage === 'drawing',
    stopAction: paths.roadmap.stop,
    checkHref: paths.roadmap.progress,
  };
}

const severeTerm = roadmapPageWords.severeShortfallsMonths;

function severeEnded(before: number, after: number, without: string): string {
  return before === 0
    ? `none, ${after} with the plan`
    : `${before} ${without}, ${after} with the plan: ${before - after} ended`;
}

// As many months as stand beside each other on a sheet of paper.
const MONTHS_ACROSS = 12;

function scoreTables(
  months: readonly PlainMonth[],
  animals: readonly { name: string; planned: readonly number[]; baseline: readonly number[] }[],
  locale: string,
): RoadmapPage['scoreTables'] {
  if (animals.length === 0) return [];
  const starts = months.flatMap((_, index) => (index % MONTHS_ACROSS === 0 ? [index] : []));
  return starts.map((start, index) => {
    const across = months.slice(start, start + MONTHS_ACROSS).map((month) => formatShortMonth(month, locale));
    const cells = (scores: readonly number[]) =>
      scores.slice(start, start + MONTHS_ACROSS).map((score) => String(Math.round(score)));
    return {
      id: index === 0 ? 'score-table' : `score-table-${index + 1}`,
      caption: roadmapSentences.scoreCaption(starts.length === 1 ? null : [across[0]!, across.at(-1)!]),
      table: {
        first: roadmapPageWords.animal,
        columns: across,
        rows: animals.flatMap(({ name, planned, baseline }) => [
          { head: `${name}, plan`, cells: cells(planned) },
          { head: `${name}, nothing`, cells: cells(baseline) },
        ]),
      },
    };
  });
}

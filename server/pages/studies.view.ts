// What the roadmap page shows beside the plan itself, already in words: what changed since the last plan, how firm each purchase is, and
// what another question would have brought. Everything says how far it was worked out.

import { addMonths, formatMonth, formatShortMonth, type PlainMonth } from '../../src/calendar.ts';
import type { OtherChoice } from '../../src/choice-effects.ts';
import { needNamed } from '../../src/ledger-problem.ts';
import { formatMoney, type Money, money } from '../../src/money.ts';
import { planChanges, type ReasonedChange } from '../../src/plan-changes.ts';
import type { Buy, FoundAnswer } from '../../src/problem.ts';
import { robustLabels } from '../../src/robust.ts';
import type { SoonestFree } from '../../src/soonest.ts';
import { type Objection, type OtherPlan, runnerUpOf, stepsOf } from '../../src/what-if.ts';
import { changesNothing } from '../../src/worth-of-measuring.ts';
import type { KeptRoadmap, PlanRecord, SinceLast } from '../db/plans.ts';
import { STUDY_KINDS, type Studies, type StudyKind } from '../db/studies.ts';
import { measuringSentences } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import {
  bridgeWords,
  changeReasonSentence,
  choiceEffectSentence,
  differenceWords,
  heldBackSentence,
  leftOutOfPlanSentence,
  moneyRangeSentences,
  movedSentence,
  movedTogetherSentence,
  offListWords,
  planChangeSentence,
  pointMonths,
  robustSentence,
  setChangeSentences,
  soonestWords,
  studySentences,
  studyStateSentence,
  weightedMonths,
  whyNotSentence,
} from '../plan-words.ts';
import type { StudyProgress } from '../planning.ts';
import { listed } from '../words.ts';
import type { OffList } from './before-anything-else.ts';

/** A table of the studies: the first cell of each row is its head. */
type StudyTable = {
  id: string;
  caption: string;
  first: string;
  columns: string[];
  rows: { head: string; cells: string[] }[];
};

/** One study, folded: what its summary says, what stands inside, and how far it was worked out. */
type StudyView = {
  id: string;
  summary: string;
  /** How far it was worked out; null when to the end. */
  state: string | null;
  sentences: string[];
  lists: { lead: string; items: string[] }[];
  tables: StudyTable[];
  notes: string[];
  /** The page that tells more, or null. */
  more: { href: string; label: string } | null;
};

/** A study on the page. `isPending`: it waits to be begun, and is left out on paper; `onPaper` is what is said of its state there. */
type ShownStudy = StudyView & { isPending: boolean; onPaper: string | null };

/** What changed since the last plan, and what was left as it was. */
export type ChangesView = {
  lead: string;
  /** One purchase that moved, or several that did so alike, by their names. */
  changes: { what: string; why: string; names: readonly string[] }[];
  held: {
    summary: string;
    lead: string;
    items: string[];
    /** Where to ask for a plan that keeps to nothing of the last one; null where nothing can be asked. */
    afreshAction: string | null;
  } | null;
};

/** The studies of a plan as the page shows them. */
export type StudiesView = {
  heading: string;
  /** What is being done about them; null when nothing is to be said. */
  status: {
    text: string;
    stopAction: string | null;
    startAction: string | null;
    startLabel: string;
    againHref: string;
  } | null;
  studies: ShownStudy[];
};

/** How a plan is written down: names, months and money as its keeper reads them. */
type Writing = {
  nameOf: (purchase: string) => string | null;
  /** Whether a purchase has a price; a free action that comes or goes is no decision about money. */
  isPaid: (purchase: string) => boolean;
  animalOf: (id: string) => string;
  month: (index: number) => string;
  shortMonth: (index: number) => string;
  amount: (minor: number) => string;
};

/** A plan with its studies and what is being done about them. */
export type Studied = {
  plan: PlanRecord;
  studies: Studies;
  studying: StudyProgress | null;
  locale: string;
  /** What is not on the list and would end what is severe; left out where nobody asks. */
  offList?: OffList;
};

function writingOf({ plan, locale }: Pick<Studied, 'plan' | 'locale'>, roadmap: KeptRoadmap): Writing {
  const names = new Map([
    ...roadmap.leftOut.map((one) => [one.upgradeId, one.name] as const),
    ...roadmap.notBought.map((one) => [one.upgradeId, one.name] as const),
    ...roadmap.months.flatMap((month) => month.buys.map((one) => [one.upgradeId, one.name] as const)),
  ]);
  const animals = new Map(roadmap.animals.map((one) => [one.animalId, one.name]));
  const paid = new Set(plan.problem.purchases.filter((one) => one.price > 0).map((one) => one.id));
  // The same free action may be proposed for several animals; then its name alone would not tell which is meant.
  const isShared = (name: string) => [...names.values()].filter((one) => one === name).length > 1;
  const forWhom = (purchase: string) =>
    plan.problem.animals
      .filter((one) => one.needs.some((need) => need.states.some((state) => state.needs.includes(purchase))))
      .map((one) => animals.get(one.id) ?? 'an animal');
  const at = (index: number): PlainMonth => addMonths(plan.firstMonth, index);
  return {
    nameOf: (purchase) => {
      const name = names.get(purchase);
      if (name === undefined) return null;
      const whom = isShared(name) ? forWhom(purchase) : [];
      return whom.length === 0 ? name : `${name} (${listed(whom)})`;
    },
    isPaid: (purchase) => paid.has(purchase),
    animalOf: (id) => animals.get(id) ?? 'an animal',
    month: (index) => formatMonth(at(index), locale),
    shortMonth: (index) => formatShortMonth(at(index), locale),
    amount: (minor) => formatMoney(money(Math.round(minor)), roadmap.currency, locale),
  };
}

/** The studies from what a keeper decides by most to what they decide by least. */
const READING_ORDER: readonly string[] = [
  'runner-up',
  'useful-amounts',
  'soonest',
  'measuring',
  'objections',
  'firmness',
  'other-choices',
];

/** What the page of a plan shows of its studies; null when nothing was or will be worked out about it. */
export function studiesView(studied: Studied, canAsk: boolean): StudiesView | null {
  const { plan, studies, studying } = studied;
  const { answer, roadmap } = plan;
  if (roadmap === null || !('buys' in answer)) return null;
  const isUnderWay = studying?.planId === plan.id;
  const missing = STUDY_KINDS.filter((kind) => studies[kind]?.state !== 'whole');
  const shown = STUDY_KINDS.filter((kind) => studies[kind] !== undefined || isUnderWay);
  if (shown.length === 0 && !canAsk) return null;
  const writing = writingOf(studied, roadmap);
  return {
    heading: studySentences.heading,
    status: isUnderWay
      ? {
          text: studySentences.underWay(STUDY_KINDS.length - missing.length, STUDY_KINDS.length),
          stopAction: paths.roadmap.stop,
          startAction: null,
          startLabel: '',
          againHref: paths.roadmap.show,
        }
      : missing.length === 0 || !canAsk
        ? null
        : {
            text: shown.length === 0 ? studySentences.none : studySentences.missing,
            stopAction: null,
            startAction: paths.roadmap.study,
            startLabel: shown.length === 0 ? 'Work this out' : 'Work out the rest, with more time',
            againHref: paths.roadmap.show,
          },
    studies: shown
      .flatMap((kind) => viewsOf[kind](studied, answer, writing).map((view) => shownStudy(studied, kind, view)))
      .sort((a, b) => READING_ORDER.indexOf(a.id) - READING_ORDER.indexOf(b.id)),
  };
}

// On paper nothing goes on being worked out: what is not begun does not stand there, and what is under way is told as it is.
function shownStudy({ plan, studying }: Studied, kind: StudyKind, view: StudyView): ShownStudy {
  const isHere = studying?.planId === plan.id;
  const isUnderWay = isHere && studying.kind === kind;
  return {
    ...view,
    isPending: isHere && studying.waiting.includes(kind),
    onPaper: isUnderWay ? studyStateSentence('printed-early') : view.state,
  };
}

/** How firm each purchase is, by its number; a purchase is missing while no other plan was made. */
export function firmness(studied: Studied): Map<string, string> {
  const { plan, studies } = studied;
  const plans = studies.robust?.found ?? [];
  if (plans.length < 2) return new Map();
  const labels = robustLabels(
    plan.problem.purchases.map((one) => one.id),
    plans,
  );
  return new Map(labels.map((one) => [one.purchase, robustSentence(one.label, one.in.length, plans.length)]));
}

/** When a plan buys an upgrade, or why it does not; null where there is no plan, or it knew nothing of the upgrade. */
export function planSaysOf(roadmap: KeptRoadmap | null, upgradeId: string, locale: string): string | null {
  if (roadmap === null) return null;
  const bought = roadmap.months.find(({ buys }) => buys.some((one) => one.upgradeId === upgradeId));
  if (bought !== undefined) return studySentences.planBuys(formatMonth(bought.month, locale));
  const not = roadmap.notBought.find((one) => one.upgradeId === upgradeId);
  const amount = (sum: Money) => formatMoney(sum, roadmap.currency, locale);
  if (not !== undefined) return studySentences.planLeaves(whyNotSentence(not.why, amount));
  const out = roadmap.leftOut.find((one) => one.upgradeId === upgradeId);
  if (out === undefined) return null;
  const animal = 'animalId' in out ? roadmap.animals.find(({ animalId }) => animalId === out.animalId) : undefined;
  return studySentences.planLeaves(leftOutOfPlanSentence(out, animal?.name ?? ''));
}

/** What refusing a purchase, or insisting on it, does to the plan; null when that was not worked out. */
export function objectionSentence(studied: Studied, purchase: string): string | null {
  const { plan, studies } = studied;
  const objection = studies.objections?.found.find((one) => one.purchase === purchase);
  if (objection === undefined || plan.roadmap === null) return null;
  const writing = writingOf(studied, plan.roadmap);
  const { outcome, forced } = objection;
  const lead = forced === 'out' ? studySentences.refusing : studySentences.insisting;
  return `${lead} ${outcomeWords(outcome, writing)}`;
}

/**
 * A sentence on what each other value choice would do to a plan, and how far that was worked out; `state` is null when to the end. `price`
 * says what putting the worst off first costs in plain points; null when nothing, or not known.
 */
export function otherChoices(studied: Studied): {
  state: string | null;
  price: string | null;
  effects: { choice: OtherChoice['choice']; sentence: string }[];
} {
  const { plan, studies } = studied;
  const { roadmap } = plan;
  const state = studyState(studied, 'choices');
  if (roadmap === null) return { state, price: null, effects: [] };
  const writing = writingOf(studied, roadmap);
  const effects = (studies.choices?.found ?? []).map((one) => {
    const changes = one.outcome.status === 'planned' ? one.outcome.changes : [];
    return { choice: one.choice, sentence: choiceEffectSentence(one, setSentences(changes, writing), writing.amount) };
  });
  const flat = studies.choices?.found.find((one) => one.choice === 'priority' && one.alternative === 'flat')?.outcome;
  const price = flat?.status === 'planned' ? (flat.byPresent?.points ?? 0) : 0;
  return { state, price: price < 0.05 ? null : studySentences.pricePriority(pointMonths(price)), effects };
}

/** What changed since the last plan; null for a first plan. */
export function changesView(studied: Pick<Studied, 'plan' | 'locale'>, canAsk: boolean): ChangesView | null {
  const { plan } = studied;
  const { sinceLast, roadmap } = plan;
  if (sinceLast === null || roadmap === null) return null;
  const { month, nameOf: written } = writingOf(studied, roadmap);
  const inMonth = (index: number | null) => (index === null ? null : month(index));
  const { changes, threshold } = sinceLast;
  // A change that gains nothing would only be another plan as good.
  const held = sinceLast.held.filter((one) => one.severe > 0 || one.gain >= 0.05);
  const kept = new Map([...changes, ...held].map((one) => [one.purchase, one.name]));
  const nameOf = (id: string) => written(id) ?? kept.get(id) ?? 'something no longer listed';
  const names = (ids: readonly string[]) => ids.map(nameOf);
  return {
    lead: changes.length === 0 ? studySentences.unchanged : studySentences.changed(changes.length),
    changes: movedAlike(changes).map((alike) => {
      const [one] = alike;
      const [was, is] = [inMonth(one!.was), inMonth(one!.is)];
      return alike.length === 1
        ? {
            what: movedSentence(nameOf(one!.purchase), was, is),
            why: changeReasonSentence(one!, names(one!.together)),
            names: [],
          }
        : {
            what: movedTogetherSentence(alike.length, was!, is!),
            why: '',
            names: names(alike.map(({ purchase }) => purchase)),
          };
    }),
    held:
      held.length === 0
        ? null
        : {
            summary: studySentences.heldSummary(held.length),
            lead: studySentences.held(weightedMonths(threshold), weightedMonths(heldGain(sinceLast, plan.answer))),
            afreshAction: canAsk ? paths.roadmap.plan : null,
            items: held.map((one) =>
              heldBackSentence(
                { ...one, name: nameOf(one.purchase) },
                inMonth(one.was),
                inMonth(one.is),
                names(one.together),
              ),
            ),
          },
  };
}

// From how many on purchases that had to leave the same month for the same other one are told in one sentence.
const ALIKE = 3;

// The changes in their order; those that were forced from one month into another without anything else stand together, as the first of them.
function movedAlike(changes: readonly ReasonedChange[]): ReasonedChange[][] {
  const groups = new Map<string, ReasonedChange[]>();
  for (const one of changes) {
    const { purchase, was, is, why, together } = one;
    const isPlain = why === 'forced' && was !== null && is !== null && together.length === 0;
    const key = isPlain ? `${was} ${is}` : purchase;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].flatMap((group) => (group.length < ALIKE ? group.map((one) => [one]) : [group]));
}

function presentBuys({ answer }: PlanRecord): readonly Buy[] {
  return 'buys' in answer ? answer.buys : [];
}

// What the best plan would gain over the one shown, all the changes together.
function heldGain({ best }: SinceLast, answer: PlanRecord['answer']): number {
  return 'buys' in answer ? best.weighted - answer.weighted : 0;
}

type Viewing = (studied: Studied, answer: FoundAnswer, writing: Writing) => StudyView[];

const bare = { sentences: [], lists: [], tables: [], notes: [], more: null };

/** What is left out of a plan, taken in and moved in another one; what costs nothing left aside. Empty without a drawn plan. */
export function planDifference(studied: Studied, from: readonly Buy[], to: readonly Buy[]): string[] {
  const { roadmap } = studied.plan;
  return roadmap === null ? [] : setSentences(planChanges(from, to), writingOf(studied, roadmap));
}

const viewsOf: Readonly<Record<StudyKind, Viewing>> = {
  robust: (studied, _answer, writing) => {
    const { plan } = studied;
    const plans = studied.studies.robust?.found ?? [];
    const others = plans.filter((one) => one.name !== 'present');
    const labels = robustLabels(
      plan.problem.purchases.map((one) => one.id),
      plans,
    );
    const bought = new Set(plans.find((one) => one.name === 'present')?.buys.map((one) => one.purchase));
    const chosen = labels.filter((one) => bought.has(one.purchase) && writing.isPaid(one.purchase));
    const firm = chosen.filter((one) => one.label === 'every');
    return [
      {
        ...bare,
        id: 'firmness',
        summary:
          others.length === 0
            ? studySentences.robustHeading
            : studySentences.robustSummary(firm.length, chosen.length, plans.length),
        state: studyState(studied, 'robust'),
        sentences: [studySentences.robustHow],
        lists: others.map(({ name, buys, proved }) => ({
          lead: studySentences.variant[name](proved),
          items: setSentences(planChanges(presentBuys(plan), buys), writing),
        })),
      },
    ];
  },
  measuring: (studied) => {
    const found = studied.studies.measuring?.found ?? [];
    const deciding = found.filter(({ worth }) => worth !== null && !changesNothing(worth));
    return [
      {
        ...bare,
        id: 'measuring',
        summary: measuringSentences.summary(deciding.length, found.length),
        state: studyState(studied, 'measuring'),
        sentences: [measuringSentences.study],
        more: { href: paths.measuring.show, label: measuringSentences.more },
      },
    ];
  },
  objections: (studied, answer, writing) => {
    const { plan, studies } = studied;
    const objections = studies.objections?.found ?? [];
    const runnerUp = runnerUpOf(plan.problem, answer, objections);
    const state = studyState(studied, 'objections');
    const table = (id: string, caption: string, forced: Objection['forced']): StudyTable[] => {
      const rows = dearestFirst(objections.filter((one) => one.forced === forced)).flatMap(({ purchase, outcome }) => {
        const name = writing.nameOf(purchase);
        const cells = objectionCells(outcome, writing);
        return name === null ? [] : [{ head: name, cells: forced === 'out' ? cells.slice(1) : cells }];
      });
      const columns = forced === 'out' ? ['Against this plan'] : ['Bought in', 'Against this plan'];
      return rows.length === 0 ? [] : [{ id, caption, first: 'Upgrade', columns, rows }];
    };
    return [
      {
        ...bare,
        id: 'runner-up',
        summary:
          runnerUp === null
            ? studySentences.runnerUpHeading
            : studySentences.runnerUpSummary(differenceWords(runnerUp.difference, writing.amount), state === null),
        state,
        sentences:
          runnerUp === null
            ? state === null
              ? [studySentences.noRunnerUp]
              : []
            : [studySentences.runnerUp(runnerUp.share, runnerUp.proved)],
        lists:
          runnerUp === null
            ? []
            : [{ lead: studySentences.runnerUpChanges, items: changeItems(runnerUp.changes, writing) }],
      },
      {
        ...bare,
        id: 'objections',
        summary: studySentences.objectionsHeading,
        state,
        sentences: objections.length === 0 ? [] : [studySentences.objectionsHow],
        tables: [
          ...table('objections-out', studySentences.refusedCaption, 'out'),
          ...table('objections-in', studySentences.insistedCaption, 'in'),
        ],
      },
    ];
  },
  money: (studied, _answer, writing) => {
    const steps = studied.studies.money?.found ?? [];
    const ranges = (kind: 'monthly' | 'once') => stepsOf(steps.filter((one) => one.kind === kind));
    const lists = (['monthly', 'once'] as const).flatMap((kind) => {
      const items = moneyRangeSentences(ranges(kind), kind, writing);
      return items.length === 0 ? [] : [{ lead: studySentences.moneyLead[kind], items }];
    });
    return [
      {
        ...bare,
        id: 'useful-amounts',
        summary: studySentences.moneyHeading,
        state: studyState(studied, 'money'),
        sentences: lists.length === 0 ? [] : [studySentences.moneyHow],
        lists,
      },
    ];
  },
  soonest: (studied, _answer, writing) => {
    const all = studied.studies.soonest?.found ?? [];
    const concerned = all.filter((one) => one.now > 0 || one.planned !== 0);
    const rest = all.filter((one) => !concerned.includes(one)).map((one) => writing.animalOf(one.animalId));
    return [
      {
        ...bare,
        id: 'soonest',
        summary: studySentences.soonestHeading,
        state: studyState(studied, 'soonest'),
        sentences: concerned.length === 0 ? [] : [studySentences.soonestHow],
        tables:
          concerned.length === 0
            ? []
            : [
                {
                  id: 'soonest-table',
                  caption: studySentences.soonestCaption,
                  first: 'Animal',
                  columns: ['Severe now', 'At the soonest', 'In this plan', 'With more money in hand now'],
                  rows: concerned.map((one) => soonestRow(one, writing, studied.offList ?? (() => null))),
                },
              ],
        notes: rest.length === 0 ? [] : [studySentences.noneSevere(listed(rest))],
      },
    ];
  },
  choices: (studied) => {
    const { state, price, effects } = otherChoices(studied);
    return [
      {
        ...bare,
        id: 'other-choices',
        summary: studySentences.choicesHeading,
        state,
        sentences: [studySentences.choicesHow, ...(price === null ? [] : [price])],
        lists:
          effects.length === 0
            ? []
            : [
                {
                  lead: studySentences.choicesLead,
                  items: effects.map((one) => one.sentence),
                },
              ],
      },
    ];
  },
};

function soonestRow(
  one: SoonestFree,
  { animalOf, month, amount }: Writing,
  offList: OffList,
): StudyTable['rows'][number] {
  const never = one.soonest.status === 'never-inside' ? [...new Set(one.soonest.needs.map(needNamed))] : [];
  // What is not on the list was never tried: no plan, and no money, was found to be in vain.
  const off = never.flatMap((need) => {
    const ways = offList(one.animalId, need);
    return ways === null ? [] : [{ need, ways }];
  });
  const inVain = never.filter((need) => !off.some((each) => each.need === need));
  return {
    head: animalOf(one.animalId),
    cells: [
      String(one.now),
      off.length === 0 ? soonestWords(one.soonest, month) : offListWords(off, inVain),
      one.planned === null ? 'not inside the plan' : month(one.planned),
      off.length > 0 && inVain.length === 0 && one.bridge.status === 'not-with-money'
        ? studySentences.putOnList
        : bridgeWords(one.bridge, month, amount),
    ],
  };
}

// An objection that makes the plan better, such as to a pin that costs more than it brings, is what the keeper should see first.
function dearestFirst(objections: readonly Objection[]): Objection[] {
  const betters = ({ outcome }: Objection): boolean =>
    outcome.status === 'planned' &&
    (outcome.difference.severe < 0 || (outcome.difference.severe === 0 && outcome.difference.weighted >= 0.05));
  const loss = ({ outcome }: Objection): [number, number] =>
    outcome.status === 'planned'
      ? [outcome.difference.severe, -outcome.difference.weighted]
      : [Number.POSITIVE_INFINITY, 0];
  return [...objections].sort((a, b) => {
    if (betters(a) !== betters(b)) return betters(a) ? -1 : 1;
    const [one, other] = [loss(a), loss(b)];
    return one[0] === other[0] ? other[1] - one[1] : other[0] - one[0];
  });
}

function objectionCells(outcome: Objection['outcome'], { month, amount }: Writing): [string, string] {
  if (outcome.status === 'impossible') return ['', 'no plan is possible then'];
  if (outcome.status === 'not-known') return ['', 'not worked out'];
  const difference = differenceWords(outcome.difference, amount) ?? 'no difference';
  return [outcome.month === null ? '' : month(outcome.month), outcome.proved ? `${difference} (proved)` : difference];
}

// Which purchases come and go; that many more only move would hide it.
function setSentences(all: OtherPlan['changes'], { nameOf, isPaid }: Writing): string[] {
  const changes = all.filter((one) => isPaid(one.purchase));
  const named = (which: OtherPlan['changes']) => which.flatMap((one) => nameOf(one.purchase) ?? []);
  return setChangeSentences({
    left: named(changes.filter((one) => one.is === null)),
    taken: named(changes.filter((one) => one.was === null)),
    moved: changes.filter((one) => one.was !== null && one.is !== null).length,
  });
}

function outcomeWords(outcome: Objection['outcome'], { month, amount }: Writing): string {
  if (outcome.status === 'impossible') return studySentences.impossible;
  if (outcome.status === 'not-known') return studySentences.outcomeUnknown;
  return studySentences.outcome(
    outcome.month === null ? null : month(outcome.month),
    differenceWords(outcome.difference, amount),
    outcome.proved,
  );
}

function changeItems(changes: OtherPlan['changes'], { nameOf, isPaid, month }: Writing): string[] {
  const inMonth = (index: number | null) => (index === null ? null : month(index));
  return changes.flatMap(({ purchase, was, is }) => {
    const name = isPaid(purchase) ? nameOf(purchase) : null;
    return name === null ? [] : [planChangeSentence(name, inMonth(was), inMonth(is))];
  });
}

/** How far a study of a plan was worked out, as a sentence; null when to the end. */
export function studyState({ plan, studies, studying }: Studied, kind: StudyKind): string | null {
  const state = studies[kind]?.state;
  if (studying?.planId === plan.id) {
    if (studying.kind === kind) return studyStateSentence('under-way');
    if (studying.waiting.includes(kind)) return studyStateSentence('waiting');
  }
  if (state === 'whole') return null;
  return studyStateSentence(state === undefined ? 'absent' : state === 'under-way' ? 'cut-off' : state);
}

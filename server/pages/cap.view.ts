// What the page of the cap shows, already in words: both caps, what binds first and by how much, what each animal costs, and when severe
// shortfalls can end.

import { addMonths, formatDate, formatMonth, type PlainMonth } from '../../src/calendar.ts';
import type { CapQuestion } from '../../src/cap-questions.ts';
import { alwaysShut, type CapCount, type ConstraintName, type GateInMonth } from '../../src/collection-cap.ts';
import { formatMoney, money } from '../../src/money.ts';
import { formatArea } from '../../src/units.ts';
import type { GatheredCap } from '../cap.ts';
import {
  askWords,
  bindingSentence,
  type CapWriting,
  constraintFigures,
  constraintNames,
  costOfNothingWords,
  costPartNames,
  countWords,
  type GateFigures,
  holdsWords,
  missingWords,
  mostWords,
  QUESTION_KINDS,
  questionWords,
  unknownCostSentence,
  whenWords,
  capSentences as words,
} from '../cap-words.ts';
import type { KeptQuestion } from '../db/cap.ts';
import type { Studies } from '../db/studies.ts';
import { paths } from '../paths.ts';
import { bridgeWords, soonestWords } from '../plan-words.ts';
import { listed } from '../words.ts';

type Table = { caption: string; first: string; columns: string[]; rows: { head: string; cells: string[] }[] };

/** Something that is not known, where it is said, and the constraints that hang on it. */
export type CapUnknown = { text: string; href: string; action: string; of: readonly ConstraintName[] };

/** What views/pages/cap.hbs shows; all but the first three fields mean nothing while no animal is entered. */
export type CapPage = {
  heading: string;
  lead: string | null;
  empty: { heading: string; text: string; href: string; action: string } | null;
  verdict: { heading: string; first: string; more: string[] } | null;
  figuresHeading: string;
  figures: { term: string; value: string }[];
  constraints: Table;
  unknown: CapUnknown[];
  costs: Table;
  costNotes: string[];
  soonest: { heading: string; table: Table | null; notes: string[] };
  howHeading: string;
  how: string[];
  vet: string;
  changeHref: string;
  changeLabel: string;
  askHeading: string;
  questions: { label: string; href: string }[];
  answers: { label: string; href: string }[];
};

/** How the cap's figures are written in a ledger. */
export function capWriting({ ledger }: Pick<GatheredCap, 'ledger'>): CapWriting {
  return {
    amount: (minor) => formatMoney(money(Math.round(minor)), ledger.currency, ledger.locale),
    area: (m2) => formatArea(m2, ledger.unitSystem),
  };
}

/** What the gate shows in a month of a plan that begins in `firstMonth`, written out. */
export function gateFiguresOf(gathered: GatheredCap, gate: GateInMonth, firstMonth: PlainMonth): GateFigures {
  const { amount } = capWriting(gathered);
  const { largestEmergency, quarantineBox, newcomerVet } = gathered.facts.settings;
  return {
    month: formatMonth(addMonths(firstMonth, gate.month), gathered.ledger.locale),
    cash: amount(gate.cash),
    reserve: largestEmergency === null ? null : amount(largestEmergency + (quarantineBox ?? 0) + (newcomerVet ?? 0)),
    clearsIn: gate.clearsIn,
  };
}

// When the gate would open by the present plan, without planning again: whether a newcomer can be paid then is asked for a species.
function opensIn(gathered: GatheredCap): string[] {
  const { cap, plan, planIsOld, gateByMonth } = gathered;
  if (cap.oneMore === 'yes' || plan === null || planIsOld || gateByMonth.length === 0) return [];
  const month = (index: number) => formatMonth(addMonths(plan.firstMonth, index), gathered.ledger.locale);
  const open = gateByMonth.find((one) => one.oneMore === 'yes');
  if (open !== undefined) return [whenWords.opens(gateFiguresOf(gathered, open, plan.firstMonth)), whenWords.asToday];
  const unknown = gateByMonth.findLastIndex((one) => one.oneMore === 'no') + 1;
  if (unknown < gateByMonth.length)
    return [
      whenWords.unknown(
        month(unknown),
        gateByMonth[unknown]!.shut.map((one) => one.name),
      ),
    ];
  return [
    whenWords.none(
      month(0),
      month(gateByMonth.length - 1),
      alwaysShut(gateByMonth),
      gateByMonth
        .at(-1)!
        .shut.filter((one) => one.holdsOneMore === 'no')
        .map((one) => bindingSentence(one, capWriting(gathered), 'then')),
    ),
    whenWords.asToday,
  ];
}

/** The page of the cap. */
export function capPage(
  gathered: GatheredCap,
  studies: Studies,
  asked: readonly KeptQuestion<CapQuestion, unknown>[],
): CapPage {
  const { cap, facts, ledger } = gathered;
  const writing = capWriting(gathered);
  const { settings } = facts;
  const first = cap.constraints[0]!;
  const binds = first.holds !== 'yes' || first.holdsOneMore !== 'yes';
  return {
    heading: words.heading,
    lead: words.lead,
    empty: facts.count === 0 ? { ...words.noAnimals, href: paths.animals.new, action: 'Enter an animal' } : null,
    verdict:
      facts.count === 0
        ? null
        : {
            heading: words.oneMore[cap.oneMore],
            first: `${words.carryingHeading}: ${shortCount(cap.carrying)}. ${words.gateHeading}: ${shortCount(cap.gate)}.`,
            more: [
              ...(binds ? [words.binding(constraintNames[first.name], bindingSentence(first, writing))] : []),
              ...opensIn(gathered),
            ],
          },
    figuresHeading: 'What bounds it, the tightest first',
    figures:
      facts.count === 0
        ? []
        : [
            { term: 'Animals there are', value: String(facts.count) },
            { term: words.carryingHeading, value: countWords(cap.carrying) },
            { term: words.gateHeading, value: countWords(cap.gate) },
            { term: 'The backlog costs', value: backlogWords(gathered, writing) },
            { term: 'It is cleared in', value: clearWords(cap.clearsIn) },
          ],
    constraints: {
      caption: 'Used and there',
      first: 'What bounds',
      columns: ['Used', 'There', 'Animals it allows', 'Does it hold?', 'By how much'],
      rows: cap.constraints.map((one) => {
        const { uses, allows } = constraintFigures(one, writing);
        return {
          head: constraintNames[one.name],
          cells: [uses, allows, mostWords(one), holdsWords(one), bindingSentence(one, writing)],
        };
      }),
    },
    unknown: unknownOf(gathered),
    costs: {
      caption: 'What each animal costs to keep',
      first: 'Animal',
      columns: ['A month', 'Of it', 'Not known'],
      rows: gathered.costs.animals.map((one) => ({
        head: one.name,
        cells: [
          one.known === 0
            ? one.missing.length === 0
              ? costOfNothingWords
              : 'unknown'
            : `${one.missing.length === 0 ? '' : 'at least '}${writing.amount(one.known)}`,
          listed(
            one.parts.map(
              ({ part, amount, isShare }) =>
                `${costPartNames[part]} ${writing.amount(amount)}${isShare ? ' (its share)' : ''}`,
            ),
          ) || '–',
          listed(one.missing.map(missingWords)) || '–',
        ],
      })),
    },
    costNotes: [
      ...(gathered.costs.fixed > 0
        ? [`${writing.amount(gathered.costs.fixed)} a month is owed however many there are.`]
        : []),
      ...gathered.costs.animals
        .filter((one) => one.isYoung && one.parts.some((part) => part.isShare && part.part === 'food-and-substrate'))
        .map((one) => `${one.name} is young and will eat more than its share of today: enter its food at adult size.`),
    ],
    soonest: soonestOf(gathered, studies, writing),
    howHeading: words.howHeading,
    how: [...words.how, words.choices(settings.cushionPercent, settings.clearMonths)],
    vet: words.vet,
    changeHref: paths.cap.change,
    changeLabel: words.changeLabel,
    askHeading: words.askLabel,
    questions: QUESTION_KINDS.map((kind) => ({ label: askWords.kinds[kind].link, href: paths.cap.ask(kind) })),
    answers: asked.map(({ id, askedOn, currency, question }) => ({
      label: `${formatDate(askedOn, ledger.locale)}: ${questionWords(question, { currency, locale: ledger.locale })}`,
      href: paths.cap.answer(id),
    })),
  };

  function soonestOf({ plan }: GatheredCap, { soonest }: Studies, { amount }: CapWriting): CapPage['soonest'] {
    if (plan === null) return { heading: words.soonestHeading, table: null, notes: [words.noPlan] };
    if (soonest === undefined) return { heading: words.soonestHeading, table: null, notes: [words.planWithout] };
    const month = (index: number) => formatMonth(addMonths(plan.firstMonth, index), ledger.locale);
    const nameOf = (id: string) => gathered.collection.animals.find((one) => one.id === id)?.name;
    const concerned = soonest.found.filter(
      (one) => nameOf(one.animalId) !== undefined && (one.now > 0 || one.planned !== 0),
    );
    const never = concerned.some((one) => one.soonest.status === 'never-inside');
    return {
      heading: words.soonestHeading,
      table:
        concerned.length === 0
          ? null
          : {
              caption: words.soonestCaption,
              first: 'Animal',
              columns: [
                'Severe needs now',
                'At the earliest on this money',
                'In the plan',
                'With more money in hand now',
              ],
              rows: concerned.map((one) => ({
                head: nameOf(one.animalId)!,
                cells: [
                  String(one.now),
                  soonestWords(one.soonest, month),
                  one.planned === null ? 'not inside the plan' : month(one.planned),
                  bridgeWords(one.bridge, month, amount),
                ],
              })),
            },
      notes: [
        ...(concerned.length > 0 ? [] : [soonest.state === 'whole' ? words.noneSevere : words.planWithout]),
        ...(never ? [words.never] : []),
        ...(gathered.planIsOld ? [words.oldPlan] : []),
      ],
    };
  }
}

// What is missing stands once, beside the figure below.
function shortCount(count: CapCount): string {
  return count.status === 'known' ? countWords(count) : 'not known';
}

function backlogWords({ facts: { backlog } }: GatheredCap, { amount }: CapWriting): string {
  if (backlog === null) return 'not known';
  return backlog.outOfReach.length === 0 ? amount(backlog.cost) : `at least ${amount(backlog.cost)}`;
}

function clearWords(months: number | null | 'not-known'): string {
  if (months === 'not-known') return 'not known';
  if (months === null) return 'never, on this money';
  return months === 0 ? 'nothing is left to clear' : `${months.toFixed(1)} months`;
}

/** What is not known for the cap, each with the form that takes it. */
export function unknownOf({ facts, costs, said, collection, planIsOld }: GatheredCap): CapUnknown[] {
  const { settings } = facts;
  const form = { href: paths.cap.change, action: 'Say it' };
  const found: CapUnknown[] = [];
  if (facts.sum === null || facts.cash === null)
    found.push({
      text: 'The sum a month and the cash in hand are needed.',
      href: paths.moneyChange,
      action: 'Enter the money',
      of: ['money', 'backlog', 'reserve'],
    });
  for (const one of costs.animals) {
    const text = unknownCostSentence(one.name, one.missing);
    if (text !== null) found.push({ text, ...form, of: ['money', 'backlog'] });
  }
  for (const one of costs.fixedMissing)
    found.push({
      text: `In an empty box, ${missingWords(one)} is not known.`,
      href: paths.money,
      action: 'Look at the money',
      of: ['money', 'backlog'],
    });
  const noMinutes = collection.animals.filter(
    ({ id }) => (said.upkeep.find((one) => one.animalId === id)?.minutesAWeek ?? null) === null,
  );
  if (noMinutes.length > 0)
    found.push({
      text: `Minutes a week for ${listed(noMinutes.map((one) => one.name))} were never said.`,
      ...form,
      of: ['time'],
    });
  if (settings.minutesAWeek === null)
    found.push({ text: 'How many minutes a week you have in all was never said.', ...form, of: ['time'] });
  if (settings.floorM2 === null)
    found.push({ text: 'How much floor the enclosures may take was never said.', ...form, of: ['floor'] });
  if (facts.floor.unknownOf.length > 0)
    found.push({
      text: `No rule says how much floor ${listed([...new Set(facts.floor.unknownOf)])} will need, or nobody said where it lives.`,
      href: paths.animals.list,
      action: 'Look at the animals',
      of: ['floor'],
    });
  if (facts.sockets.sockets === 0)
    found.push({ text: 'No socket is entered.', href: paths.rooms.list, action: 'Enter sockets', of: ['sockets'] });
  else if (facts.sockets.unknownThings.length > 0)
    found.push({
      text: `The socket or the watts of ${listed([...new Set(facts.sockets.unknownThings)].map((one) => `“${one}”`))} are not known.`,
      href: paths.rooms.list,
      action: 'Say what is plugged in where',
      of: ['sockets'],
    });
  if (settings.largestEmergency === null)
    found.push({
      text: 'The largest single emergency you must be able to pay was never said.',
      ...form,
      of: ['reserve'],
    });
  const unsaid = QUARANTINE.filter(([field]) => settings[field] === null);
  if (unsaid.length > 0)
    found.push({
      text: `Quarantine of a newcomer: ${listed(unsaid.map(([, what]) => what))} ${unsaid.length === 1 ? 'was' : 'were'} never said.`,
      ...form,
      of: unsaid.some(([, , isSum]) => isSum) ? ['quarantine', 'reserve'] : ['quarantine'],
    });
  if (facts.backlog === null)
    found.push({ text: words.noPlan, href: paths.roadmap.show, action: 'Go to the roadmap', of: ['backlog'] });
  else if (planIsOld)
    found.push({ text: words.oldPlan, href: paths.roadmap.show, action: 'Go to the roadmap', of: ['backlog'] });
  if (facts.backlog !== null && facts.backlog.outOfReach.length > 0) {
    const names = new Set(
      facts.backlog.outOfReach.map(
        ({ animalId }) => collection.animals.find((one) => one.id === animalId)?.name ?? 'an animal',
      ),
    );
    found.push({
      text: `Nothing you want brings every need of ${listed([...names])} near its target, so the whole backlog is not known.`,
      href: paths.upgrades.list,
      action: 'Look at the proposals',
      of: ['backlog'],
    });
  }
  return found;
}

// What is asked of a newcomer's quarantine: each with its name in a sentence, and whether it is a sum that the reserve has to hold.
const QUARANTINE = [
  ['quarantinePlace', 'whether there is a place apart', false],
  ['quarantineWeeks', 'its weeks', false],
  ['quarantineBox', 'the price of its box', true],
  ['newcomerVet', 'the price of its tests', true],
] as const;

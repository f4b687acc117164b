// What the pages of a question show, already in words: how far it has come, and what came of it for the animals that are there.

import { addMonths, formatDate, formatMonth } from '../../src/calendar.ts';
import {
  type CapOutcome,
  type CapQuestion,
  type FirstMonth,
  monthAfterQuarantine,
  type Reached,
  setUpPrice,
  withNewcomer,
} from '../../src/cap-questions.ts';
import { type Constraint, judgeCap } from '../../src/collection-cap.ts';
import { type Currency, formatMoney, money } from '../../src/money.ts';
import type { CareLibrary, Need } from '../../src/species.ts';
import type { AskProgress } from '../asking.ts';
import type { GatheredCap } from '../cap.ts';
import {
  bindingSentence,
  capSentences,
  constraintNames,
  questionWords,
  whenWords,
  askWords as words,
} from '../cap-words.ts';
import type { KeptQuestion } from '../db/cap.ts';
import { needNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { lawWords } from '../species-words.ts';
import { listed, lowerFirst } from '../words.ts';
import { capWriting, gateFiguresOf, unknownOf } from './cap.view.ts';

/** What views/pages/asking.hbs shows. */
export type AskingPage = {
  heading: string;
  lead: string | null;
  facts: { term: string; value: string }[];
  isEnding: boolean;
  checkHref: string;
  stopAction: string;
};

/** How far a question has come. */
export function askingPage(
  { question, startedAt, stage }: AskProgress,
  { now, ...writing }: { now: Date; currency: Currency; locale: string },
): AskingPage {
  return {
    heading: words.asking,
    lead: words.askingLead,
    facts: [
      { term: 'Asked', value: questionWords(question, writing) },
      { term: 'Now', value: words.stages[stage] },
      { term: 'For', value: `${Math.max(0, Math.round((now.getTime() - startedAt.getTime()) / 1000))} seconds` },
    ],
    isEnding: stage === 'ending',
    checkHref: paths.cap.progress,
    stopAction: paths.cap.stop,
  };
}

/** A question as it was kept; `capVersion` tells what was said for the cap then (absent in older answers). */
export type AskedQuestion = CapQuestion & { capVersion?: number };

/** What views/pages/cap-answer.hbs shows. */
export type AnswerPage = {
  heading: string;
  lead: string;
  /** What the gate says of one more animal, its law first; null for every other question. */
  gate: {
    heading: string;
    sentences: { text: string; links: { href: string; label: string }[] }[];
    law: string[];
  } | null;
  /** That the ledger has changed since it was answered, with the way to ask again; null where it has not. */
  stale: { heading: string; text: string; href: string; action: string } | null;
  /** In which month one more would do, where it would not now. */
  when: { heading: string; sentences: string[] } | null;
  first: string;
  more: string[];
  figures: { caption: string; first: string; columns: string[]; rows: { head: string; cells: string[] }[] } | null;
  animals: { caption: string; first: string; columns: string[]; rows: { head: string; cells: string[] }[] } | null;
  setUp: string[];
  notes: string[];
  backHref: string;
};

/** The page of an answer. */
export function answerPage(
  kept: KeptQuestion<AskedQuestion, CapOutcome>,
  gathered: GatheredCap,
  library: CareLibrary,
  isStale: boolean,
): AnswerPage {
  const { question, outcome } = kept;
  const { locale } = gathered.ledger;
  const amount = (minor: number) => formatMoney(money(Math.round(minor)), kept.currency, locale);
  const month = (index: number) => formatMonth(addMonths(kept.firstMonth, index), locale);
  return {
    heading: words.answerHeading(questionWords(question, { currency: kept.currency, locale })),
    lead: `Asked on ${formatDate(kept.askedOn, locale)}.`,
    stale: isStale
      ? {
          heading: words.staleHeading,
          text: words.stale(formatDate(kept.askedOn, locale)),
          href: paths.cap.askAgain(question.ask, kept.id),
          action: words.askAgain,
        }
      : null,
    gate: question.ask === 'one-more' ? gateOf(question) : null,
    when: whenOf(outcome),
    ...said(outcome),
    setUp: question.ask === 'one-more' ? setUpOf(question) : [],
    notes: [
      ...words.notes[question.ask],
      ...(outcome.status === 'planned' && !outcome.proved ? [words.notProved] : []),
    ],
    backHref: paths.cap.show,
  };

  function said(of: CapOutcome): Pick<AnswerPage, 'first' | 'more' | 'figures' | 'animals'> {
    const bare = { more: [], figures: null, animals: null };
    switch (of.status) {
      case 'not-known':
        return { ...bare, first: words.notKnown };
      case 'present-impossible':
        return { ...bare, first: words.presentImpossible(amount(of.by), month(of.month)) };
      case 'impossible':
        return { ...bare, first: words.impossible(amount(of.by), month(of.month)) };
      case 'planned': {
        const { was, is, animals } = of;
        return {
          first: words.change(was, is),
          more: [
            words.later(was.clearsIn, is.clearsIn),
            words.firstMonth(amount(was.firstMonth), amount(is.firstMonth)),
          ],
          figures: {
            caption: words.figuresCaption,
            first: 'Figure',
            columns: ['As it is', 'With the change'],
            rows: figureRows(was, is),
          },
          animals: {
            caption: words.animalsCaption,
            first: 'Animal',
            columns: ['Points × months', 'Severe needs × months', 'Nothing severe from'],
            rows: [...animals]
              .sort((a, b) => b.severe - a.severe || a.points - b.points)
              .map((one) => ({
                head: one.name,
                cells: [
                  words.signed(one.points),
                  words.signed(one.severe),
                  one.was === one.is ? from(one.is) : `${from(one.is)}, as it is ${from(one.was)}`,
                ],
              })),
          },
        };
      }
    }
  }

  function whenOf(of: CapOutcome): AnswerPage['when'] {
    const found = 'when' in of ? of.when : undefined;
    return found === undefined
      ? null
      : { heading: whenWords.heading, sentences: [whenSentence(found), whenWords.asToday] };
  }

  function whenSentence(of: FirstMonth): string {
    const figures = () => gateFiguresOf(gathered, of.gate!, kept.firstMonth);
    switch (of.status) {
      case 'month':
        return whenWords.month(figures(), of.points, of.proved);
      case 'unknown':
        return whenWords.unknown(
          month(of.gate.month),
          of.gate.shut.map((one) => one.name),
        );
      case 'refused':
        return whenWords.refused(figures(), of.why);
      case 'none':
        return whenWords.none(
          month(0),
          month(of.gate.month),
          of.everBinds,
          of.gate.shut
            .filter((one) => one.holdsOneMore === 'no')
            .map((one) => bindingSentence(one, capWriting(gathered), 'then')),
        );
      case 'not-reached':
        return whenWords.notReached(of.gate === null ? null : month(of.gate.month));
    }
  }

  function from(index: number | null): string {
    return index === null ? 'not inside the plan' : month(index);
  }

  function figureRows(was: Reached, is: Reached) {
    const row = (head: string, write: (one: Reached) => string) => ({ head, cells: [write(was), write(is)] });
    return [
      row('Severe needs × months', (one) => String(Math.round(one.severe))),
      row('Points × months', (one) => one.points.toFixed(0)),
      row('Money for buying in the first month', (one) => amount(one.firstMonth)),
      row('Months until the backlog is cleared', (one) => words.months(one.clearsIn)),
    ];
  }

  function gateOf(of: Extract<CapQuestion, { ask: 'one-more' }>): NonNullable<AnswerPage['gate']> {
    const { speciesId } = of;
    // The newcomer's own figures stand in the question; those of the animals there are in the ledger.
    const facts = withNewcomer(gathered.facts, of, gathered.money.settings);
    const cap = judgeCap(facts);
    const unknown = unknownOf(gathered);
    const isOpen = (one: Constraint) => one.holds !== 'no' && one.holdsOneMore === 'not-known';
    const shut = cap.constraints.filter((one) => one.holdsOneMore !== 'yes');
    const species = library.species.find((one) => one.id === speciesId);
    return {
      // What cannot be paid stands first, whatever else is not known.
      heading:
        outcome.status === 'impossible' || outcome.status === 'present-impossible'
          ? words.noneCanBePaid
          : capSentences.oneMore[cap.oneMore],
      sentences: [
        { text: capSentences.carrying(cap.carrying, facts.count), links: [] },
        ...shut.map((one) => {
          const missing = isOpen(one) ? unknown.filter((other) => other.of.includes(one.name)) : [];
          const why =
            missing.length === 0
              ? lowerFirst(bindingSentence(one, capWriting(gathered)))
              : missing.map(({ text }) => text).join(' ');
          const forms = [...new Map(missing.map(({ href, action }) => [href, { href, label: action }])).values()];
          return { text: `${constraintNames[one.name]}: ${why}`, links: forms };
        }),
      ],
      law: [
        lawWords.check,
        ...(species?.neverPropose.includes('acquire') ? [lawWords.neverAcquire] : []),
        ...(species?.legal ?? []).map((one) => `${one.where}: ${one.text}`),
      ],
    };
  }

  function setUpOf(of: Extract<CapQuestion, { ask: 'one-more' }>): string[] {
    const { setUp, ownPrice } = of;
    const { settings } = gathered.facts;
    const price = amount(setUpPrice(of));
    const sentences =
      ownPrice !== null
        ? [`Its set-up: ${price}, by your own figure.`]
        : [
            `Its set-up, all bought new for its adult size: ${setUp.outOfReach.length > 0 ? 'at least ' : ''}${price}: ${setUp.box?.name ?? 'a box'} for ${amount(setUp.box?.price ?? 0)}, and ${setUp.things.count} kits for ${amount(setUp.things.price)}.`,
            ...(setUp.outOfReach.length > 0
              ? [
                  `Nothing on the list is known to bring these needs near their targets before readings are taken: ${listed(setUp.outOfReach.map((one) => lowerFirst(needNames[one as Need])))}.`,
                ]
              : []),
          ];
    return [
      ...sentences,
      ...(settings.quarantineBox === null || settings.newcomerVet === null || settings.quarantineWeeks === null
        ? [words.quarantineUnsaid]
        : []),
      `Its quarantine box and tests: ${amount((settings.quarantineBox ?? 0) + (settings.newcomerVet ?? 0))} in the first month; its set-up must stand after ${settings.quarantineWeeks ?? 0} weeks, in ${month(
        monthAfterQuarantine(settings.quarantineWeeks, {
          planDate: kept.askedOn,
          firstMonth: kept.firstMonth,
          months: gathered.ledger.horizonMonths,
        }),
      )}.`,
      `To keep it: food and substrate ${amount(of.food + of.substrate)}, vet ${amount(of.vet)}, power ${gathered.ledger.coversPower ? amount(setUp.powerMonthly) : 'not paid from this sum'}, renewals ${amount(setUp.renewalsMonthly)} a month; counted is what the sum must pay for.`,
    ];
  }
}

// What becomes of what an upgrade replaces or a renewal leaves over: the question for each such thing, how the answers stand on the page of
// the upgrade, and the list of all.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { formatDate, type PlainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { HEATERS, UV_LAMPS } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import type { Fate, FreedThing, HandDownIdea } from '../../src/hand-downs.ts';
import { freedBy, handDownIdeas, isPastUse } from '../../src/hand-downs.ts';
import { formatMoney, type Money, money, noMoney, sumMoney, typedMoney } from '../../src/money.ts';
import type { PartsList } from '../../src/parts.ts';
import type { Scoring } from '../../src/score.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { cautions } from '../caution-words.ts';
import type { Ledger } from '../db/ledger.ts';
import {
  answerLeftOver,
  answerOldThing,
  type FateAnswer,
  listOldThings,
  type OldThing,
  oldThingsOf,
} from '../db/old-things.ts';
import { inTransaction, type Session } from '../db/open.ts';
import { findUpgrade, listUpgrades, type UpgradeRecord } from '../db/upgrades.ts';
import { type Conflict, type Field, formPage, numberField, radioField, selectField } from '../fields.ts';
import {
  choice,
  type FormState,
  formOf,
  optionalChoice,
  optionalMoney,
  parseForm,
  startForm,
  type Values,
} from '../forms.ts';
import { needNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { fateWords, oldThingWords as words } from '../paper-words.ts';
import { paths, withNotice } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { found, idFrom, presentRow, versionOf } from './asked-row.ts';
import { rememberSent } from './sent-twice.ts';
import { lateConflict } from './too-late.ts';
import { type OldThingView, placeWords } from './upgrades.view.ts';

/** A gift is kept as a sale that brings nothing. */
const GIVEN_AWAY = 'given-away';
const isGivenAway = ({ fate, amount }: OldThing) => fate === 'sold' && amount === 0;

/** What an upgrade frees, with what was said of it: as kept when it was fitted, as it would be now before that. */
function freedOf(
  upgrade: UpgradeRecord,
  kept: readonly OldThing[],
  collection: Collection,
  today: PlainDate,
): { freed: FreedThing; answer: OldThing | null }[] {
  const own = kept.filter(({ by }) => 'upgradeId' in by && by.upgradeId === upgrade.id);
  const now = upgrade.status === 'fitted' ? [] : freedBy(upgrade, collection, today);
  const fresh = now.filter((one) => !own.some((each) => each.freed.key === one.key));
  return [...own.map((one) => ({ freed: one.freed, answer: one })), ...fresh.map((freed) => ({ freed, answer: null }))];
}

/** A question of what becomes of something, and what is around it. */
type Asked = {
  /** What frees it; null where a renewal left it over. */
  upgrade: UpgradeRecord | null;
  freed: FreedThing;
  answer: OldThing | null;
  ledger: Ledger;
  today: PlainDate;
  scoring: Scoring;
  collection: Collection;
  fates: (Exclude<Fate, 'undecided'> | typeof GIVEN_AWAY)[];
  url: string;
  /** Where the answer is shown. */
  shownAt: string;
};

/** The freed things of an upgrade in words; empty for a refused one. */
export function oldThingViews(
  upgrade: UpgradeRecord,
  kept: readonly OldThing[],
  scoring: Scoring,
  ledger: Ledger,
): OldThingView[] {
  if (upgrade.status === 'refused') return [];
  const { collection, on } = scoring;
  const all = freedOf(upgrade, kept, collection, on);
  const open = all.filter(({ answer }) => answer === null || answer.fate === 'undecided').map(({ freed }) => freed);
  const ideas = handDownIdeas(upgrade, open, scoring);
  return all.map(({ freed, answer }) => ({
    name: nameOf(freed),
    state: stateOf(answer, collection, ledger),
    ideas: ideas.filter((one) => one.key === freed.key).map((one) => ideaSentence(one, collection)),
    href: paths.upgrades.oldThing(upgrade.id, freed.key),
    action: answer === null || answer.fate === 'undecided' ? words.ask : words.askAgain,
  }));
}

/** The question of the first replaced thing of an upgrade of which nothing was said yet; null when none waits. */
export function nextOldThing(session: Session, upgradeId: string): string | null {
  const waiting = oldThingsOf(session, upgradeId).find((one) => one.fate === 'undecided');
  return waiting === undefined ? null : paths.upgrades.oldThing(upgradeId, waiting.freed.key);
}

/** Where it is asked what becomes of a replaced thing. */
export function questionOf({ id, by, freed }: OldThing): string {
  return 'upgradeId' in by ? paths.upgrades.oldThing(by.upgradeId, freed.key) : paths.oldThings.show(id);
}

/** The question of the latest old one of a fitted thing of which nothing was said yet; null when none waits. */
export function nextLeftOver(session: Session, fittingId: string): string | null {
  const waiting = listOldThings(session).findLast(
    ({ by, fate }) => fate === 'undecided' && 'fittingId' in by && by.fittingId === fittingId,
  );
  return waiting === undefined ? null : questionOf(waiting);
}

/** A replaced thing with what took its place, in a few words. */
export function replacedWords({ by, freed }: OldThing, upgrades: readonly Upgrade[], locale: string): string {
  if ('upgradeId' in by)
    return words.waiting(nameOf(freed), upgrades.find((one) => one.id === by.upgradeId)?.name ?? '–');
  const day = freed.what === 'fitting' ? freed.fitting.retiredOn : null;
  return day === null ? nameOf(freed) : words.renewed(nameOf(freed), formatDate(day, locale));
}

/** How many replaced things go on in use and what that spares and should bring, in sentences; null while there are none. */
export function sparedSentences(old: readonly OldThing[], { currency, locale }: Ledger): string[] | null {
  const used = old.filter((one) => ['stays', 'handed-down', 'sold', 'spare', 'quarantine'].includes(one.fate));
  if (used.length === 0) return null;
  const sum = (of: (Money | null)[]) => sumMoney(of.map((one) => one ?? noMoney));
  const [avoided, expected] = [sum(used.map((one) => one.avoided)), sum(used.map((one) => one.amount))];
  return [
    words.avoided(used.length, avoided === 0 ? null : formatMoney(avoided, currency, locale)),
    ...(expected === 0 ? [] : [words.expected(formatMoney(expected, currency, locale))]),
  ];
}

export function nameOf(freed: FreedThing): string {
  return freed.what === 'box' ? words.boxNamed(freed.name) : freed.name;
}

/** Where a freed thing would help, as a sentence. */
function ideaSentence({ enclosureId, raises }: HandDownIdea, collection: Collection): string {
  const told = raises.map(({ animalId, need, from, to }) => {
    const animal = collection.animals.find((one) => one.id === animalId)?.name ?? '';
    return words.raises(needNames[need], animal, Math.round(from), Math.round(to));
  });
  return words.idea(placeWords(enclosureId, collection), told.join('; '));
}

function stateOf(answer: OldThing | null, collection: Collection, { currency, locale }: Ledger): string {
  if (answer === null || answer.fate === 'undecided') return words.undecided;
  if (isGivenAway(answer)) return `${words.givenAway}.`;
  const target = answer.fate === 'handed-down' ? placeOfHandDown(answer, collection) : '';
  const amount = answer.amount === null ? '' : formatMoney(answer.amount, currency, locale);
  return `${fateWords[answer.fate]}${target}${amount === '' ? '' : `, ${amount}`}.`;
}

/** What the question has in its controls for an answer that was given. */
function textsOf(answer: OldThing | null, { currency }: Ledger): Values {
  return {
    fate: answer === null || answer.fate === 'undecided' ? '' : isGivenAway(answer) ? GIVEN_AWAY : answer.fate,
    to: answer?.toEnclosureId ?? '',
    amount: answer?.amount == null || isGivenAway(answer) ? '' : typedMoney(answer.amount, currency),
  };
}

function placeOfHandDown(answer: OldThing, collection: Collection): string {
  return answer.toEnclosureId === null ? '' : `: ${placeWords(answer.toEnclosureId, collection)}`;
}

/** What views/pages/old-things.hbs shows. */
type OldThingsPage = {
  heading: string;
  lead: string;
  none: string | null;
  sections: { heading: string; rows: { name: string; state: string; href: string; action: string }[] }[];
};

export function oldThingPages(app: FastifyInstance, { db, library, now, parts, render }: Deps): void {
  question(paths.upgrades.oldThing(':id', ':key'), find);
  question(paths.oldThings.show(':id'), findLeftOver);

  app.get(paths.oldThings.list, (_request, reply) => {
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const upgrades = listUpgrades(db);
    const row = (one: OldThing) => ({
      name: replacedWords(one, upgrades, ledger.locale),
      state: stateOf(one, scoring.collection, ledger),
      href: questionOf(one),
      action: one.fate === 'undecided' ? words.ask : words.askAgain,
    });
    // Of a removed upgrade nothing is asked any more.
    const all = listOldThings(db).filter(
      ({ by }) => !('upgradeId' in by) || upgrades.some((one) => one.id === by.upgradeId),
    );
    const [open, said] = [true, false].map((isOpen) =>
      all.filter((one) => (one.fate === 'undecided') === isOpen).map(row),
    );
    const model: OldThingsPage = {
      heading: words.list.heading,
      lead: words.list.lead,
      none: all.length === 0 ? words.list.none : null,
      sections: [
        { heading: words.list.open, rows: open! },
        { heading: words.list.said, rows: said!.toReversed() },
      ].filter(({ rows }) => rows.length > 0),
    };
    return render(reply, 'old-things', model, {
      title: model.heading,
      current: 'renewals',
      back: { href: paths.renewals, label: words.list.back },
    });
  });

  function question(url: string, find: (request: FastifyRequest) => Asked): void {
    app.get(url, (request, reply) => {
      const asked = find(request);
      return show(reply, asked, startForm(textsOf(asked.answer, asked.ledger)), 200);
    });

    app.post(url, (request, reply) => {
      const asked = find(request);
      const { upgrade, freed, ledger, today, collection, fates, shownAt } = asked;
      const { version: _, ...body } = (request.body ?? {}) as Record<string, unknown>;
      const read = parseForm(
        formOf({
          fate: choice('what becomes of it', fates),
          to: optionalChoice('where it goes', targetsOf(freed, collection)),
          amount: optionalMoney('the sum', ledger),
        }),
        body,
      );
      if (read.status === 'bad') return show(reply, asked, read, 422);
      const { fate, to, amount } = read.value;
      const bad = (field: string, message: string) =>
        show(reply, asked, { values: read.values, errors: [{ field, message }] }, 422);
      if (fate === 'handed-down' && to === null) return bad('to', words.whereTo);
      if (fate === 'sold' && (amount === null || amount === 0)) return bad('amount', words.howMuch);
      const note = words.saleNote(nameOf(freed));
      const answer: FateAnswer =
        fate === 'handed-down'
          ? {
              fate,
              enclosureId: to!,
              name: words.handDownName(nameOf(freed)),
              avoided: avoidedBy(freed, parts, ledger),
            }
          : fate === 'sold'
            ? { fate, amount: amount!, note }
            : fate === GIVEN_AWAY
              ? { fate: 'sold', amount: noMoney, note }
              : { fate };
      const version = versionOf(request) - 1;
      const outcome = inTransaction(db, (tx) => {
        const answered =
          upgrade === null
            ? answerLeftOver(tx, asked.answer!.id, answer, today, version)
            : answerOldThing(tx, upgrade, freed, answer, today, version);
        if (answered === 'saved') rememberSent(tx, request, shownAt);
        return answered;
      });
      if (outcome === 'settled') return bad('fate', words.settled);
      if (outcome === 'conflict') {
        const now = find(request);
        const typed = startForm(read.values);
        const conflict = lateConflict({
          heading: words.question(nameOf(freed)),
          fields: fieldsOf(now, typed),
          called: `“${nameOf(freed)}”`,
          state: stateOf(now.answer, now.collection, now.ledger),
          saved: textsOf(now.answer, now.ledger),
          typed: read.values,
          shownAt,
        });
        return show(reply, now, typed, 409, conflict);
      }
      const next = upgrade?.status === 'fitted' ? nextOldThing(db, upgrade.id) : null;
      return reply.redirect(withNotice(next ?? shownAt, 'saved'), 303);
    });
  }

  function find(request: FastifyRequest): Asked {
    const upgrade = presentRow(findUpgrade(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection } = scoring;
    const { key } = request.params as { key: string };
    const one = freedOf(upgrade, listOldThings(db), collection, today).find(({ freed }) => freed.key === key);
    if (one === undefined) throw new AppError('not_found', words.notFreed);
    const fates: Asked['fates'] = [
      'handed-down',
      'sold',
      GIVEN_AWAY,
      ...(one.freed.what === 'box' ? (['quarantine'] as const) : []),
      'spare',
      ...(one.freed.what === 'fitting' && upgrade.status !== 'fitted' && isTakenOut(upgrade, one.freed)
        ? (['stays'] as const)
        : []),
      'recycled',
    ];
    const url = paths.upgrades.oldThing(upgrade.id, key);
    return {
      upgrade,
      ...one,
      ledger,
      today,
      scoring,
      collection,
      fates,
      url,
      shownAt: paths.upgrades.show(upgrade.id),
    };
  }

  function findLeftOver(request: FastifyRequest): Asked {
    const id = String(idFrom(request.params));
    const answer = found(listOldThings(db).find((one) => one.id === id && 'fittingId' in one.by));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection } = scoring;
    const { freed } = answer;
    const fates: Asked['fates'] = isPastUse(freed)
      ? ['recycled', 'spare']
      : ['handed-down', 'sold', GIVEN_AWAY, 'spare', 'recycled'];
    const [url, shownAt] = [paths.oldThings.show(id), paths.oldThings.list];
    return { upgrade: null, freed, answer, ledger, today, scoring, collection, fates, url, shownAt };
  }

  function fieldsOf({ freed, collection, fates, ledger }: Asked, form: FormState): Field[] {
    const fate = radioField(
      form,
      'fate',
      'It',
      fates.map((value) => ({ value, label: value === GIVEN_AWAY ? words.givenAway : fateWords[value] })),
    );
    if (!fates.includes('handed-down')) return [fate];
    return [
      fate,
      selectField(
        form,
        'to',
        'If it goes to other animals: where?',
        [
          { value: '', label: '–' },
          ...targetsOf(freed, collection).map((value) => ({ value, label: placeWords(value, collection) })),
        ],
        { hint: words.toHint },
      ),
      numberField(form, 'amount', 'If it is sold: for how much?', {
        suffix: ledger.currency.code,
        hint: words.amountHint,
      }),
    ];
  }

  function show(
    reply: FastifyReply,
    asked: Asked,
    form: FormState,
    status: number,
    conflict: Conflict | null = null,
  ): FastifyReply {
    const { upgrade, freed, answer, collection, scoring, fates } = asked;
    const mayGoOn = fates.includes('handed-down');
    const ideas = mayGoOn
      ? handDownIdeas(upgrade, [freed], scoring).map((one) => ideaSentence(one, collection))
      : [words.pastUse];
    const heading = words.question(nameOf(freed));
    const model = formPage(form, {
      heading,
      lead: ideas.length === 0 ? words.noIdea : ideas.join(' '),
      cautions: mayGoOn ? cautionsFor(freed) : [],
      groups: [{ legend: null, fields: fieldsOf(asked, form) }],
      conflict,
      action: asked.url,
      // The first version of a row is 1, so a question that nobody answered yet is sent as 1 too.
      version: String((answer?.version ?? 0) + 1),
      submit: 'Write it down',
      cancel: asked.shownAt,
    });
    return render(reply, 'form', model, {
      title: heading,
      current: upgrade === null ? 'renewals' : 'upgrades',
      status,
    });
  }
}

function isTakenOut(upgrade: UpgradeRecord, freed: FreedThing & { what: 'fitting' }): boolean {
  return upgrade.changes.some((one) => one.change === 'retire' && one.fittingId === freed.fitting.id);
}

function targetsOf(freed: FreedThing, collection: Collection): string[] {
  return collection.enclosures.filter((one) => one.id !== freed.from).map((one) => one.id);
}

function cautionsFor(freed: FreedThing): string[] {
  if (freed.what === 'box') return [words.cleanBox];
  const { kind, watts } = freed.fitting;
  return [
    words.cleanThing,
    ...(UV_LAMPS.has(kind) ? [words.usedTube] : []),
    ...(HEATERS.has(kind) ? [cautions.burns] : []),
    ...(watts !== null || HEATERS.has(kind) ? [words.usedMains, cautions.mainsAndWater] : []),
  ];
}

/** The least that a new thing of its kind costs in the catalogue; null where that has another currency or no such thing. */
function avoidedBy(freed: FreedThing, parts: PartsList, { currency }: Ledger): Money | null {
  if (parts.currency !== currency.code) return null;
  const prices = parts.parts.filter((one) => one.what === (freed.what === 'box' ? 'enclosure' : freed.fitting.kind));
  return prices.length === 0 ? null : money(Math.min(...prices.map((one) => one.priceLow)));
}

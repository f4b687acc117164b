// What becomes of what an upgrade replaces: the question for each freed thing, and how the answers stand on the page of the upgrade.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { HEATERS, UV_LAMPS } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import type { Fate, FreedThing, HandDownIdea } from '../../src/hand-downs.ts';
import { freedBy, handDownIdeas } from '../../src/hand-downs.ts';
import { formatMoney, type Money, money, noMoney, sumMoney, typedMoney } from '../../src/money.ts';
import type { PartsList } from '../../src/parts.ts';
import type { Scoring } from '../../src/score.ts';
import { cautions } from '../caution-words.ts';
import type { Ledger } from '../db/ledger.ts';
import { answerOldThing, type FateAnswer, listOldThings, type OldThing } from '../db/old-things.ts';
import { inTransaction, type Session } from '../db/open.ts';
import { findUpgrade, type UpgradeRecord } from '../db/upgrades.ts';
import { type Conflict, type Field, formPage, numberField, radioField, selectField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
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
import { idFrom, presentRow, versionOf } from './asked-row.ts';
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
  const own = kept.filter((one) => one.upgradeId === upgrade.id);
  const now = upgrade.status === 'fitted' ? [] : freedBy(upgrade, collection, today);
  const fresh = now.filter((one) => !own.some((each) => each.freed.key === one.key));
  return [...own.map((one) => ({ freed: one.freed, answer: one })), ...fresh.map((freed) => ({ freed, answer: null }))];
}

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
  const waiting = listOldThings(session).find((one) => one.upgradeId === upgradeId && one.fate === 'undecided');
  return waiting === undefined ? null : paths.upgrades.oldThing(upgradeId, waiting.freed.key);
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

export function oldThingPages(app: FastifyInstance, { db, library, now, parts, render }: Deps): void {
  const url = paths.upgrades.oldThing(':id', ':key');

  app.get(url, (request, reply) => {
    const asked = find(request);
    const { answer } = asked;
    return show(reply, asked, startForm(textsOf(answer, asked.ledger)), 200);
  });

  app.post(url, (request, reply) => {
    const asked = find(request);
    const { upgrade, freed, ledger, today, collection, fates } = asked;
    const { version: _, ...body } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(
      formOf({
        fate: choice('what becomes of it', fates),
        to: optionalChoice('where it goes', targetsOf(freed, collection)),
        amount: optionalMoney('the sum', ledger.currency),
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
        ? { fate, enclosureId: to!, name: words.handDownName(nameOf(freed)), avoided: avoidedBy(freed, parts, ledger) }
        : fate === 'sold'
          ? { fate, amount: amount!, note }
          : fate === GIVEN_AWAY
            ? { fate: 'sold', amount: noMoney, note }
            : { fate };
    const outcome = inTransaction(db, (tx) => {
      const answered = answerOldThing(tx, upgrade, freed, answer, today, versionOf(request) - 1);
      if (answered === 'saved') rememberSent(tx, request, paths.upgrades.show(upgrade.id));
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
        shownAt: paths.upgrades.show(upgrade.id),
      });
      return show(reply, now, typed, 409, conflict);
    }
    const next = upgrade.status === 'fitted' ? nextOldThing(db, upgrade.id) : null;
    return reply.redirect(withNotice(next ?? paths.upgrades.show(upgrade.id), 'saved'), 303);
  });

  function find(request: FastifyRequest) {
    const upgrade = presentRow(findUpgrade(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection } = scoring;
    const { key } = request.params as { key: string };
    const found = freedOf(upgrade, listOldThings(db), collection, today).find(({ freed }) => freed.key === key);
    if (found === undefined) throw new AppError('not_found', words.notFreed);
    const fates: (Exclude<Fate, 'undecided'> | typeof GIVEN_AWAY)[] = [
      'handed-down',
      'sold',
      GIVEN_AWAY,
      ...(found.freed.what === 'box' ? (['quarantine'] as const) : []),
      'spare',
      ...(found.freed.what === 'fitting' && upgrade.status !== 'fitted' && isTakenOut(upgrade, found.freed)
        ? (['stays'] as const)
        : []),
      'recycled',
    ];
    return { upgrade, ...found, ledger, today, scoring, collection, fates };
  }

  type Asked = ReturnType<typeof find>;

  function fieldsOf({ freed, collection, fates, ledger }: Asked, form: FormState): Field[] {
    return [
      radioField(
        form,
        'fate',
        'It',
        fates.map((value) => ({ value, label: value === GIVEN_AWAY ? words.givenAway : fateWords[value] })),
      ),
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
    const { upgrade, freed, answer, collection, scoring } = asked;
    const ideas = handDownIdeas(upgrade, [freed], scoring).map((one) => ideaSentence(one, collection));
    const heading = words.question(nameOf(freed));
    const model = formPage(form, {
      heading,
      lead: ideas.length === 0 ? words.noIdea : ideas.join(' '),
      cautions: cautionsFor(freed),
      groups: [{ legend: null, fields: fieldsOf(asked, form) }],
      conflict,
      action: paths.upgrades.oldThing(upgrade.id, freed.key),
      // The first version of a row is 1, so a question that nobody answered yet is sent as 1 too.
      version: String((answer?.version ?? 0) + 1),
      submit: 'Write it down',
      cancel: paths.upgrades.show(upgrade.id),
    });
    return render(reply, 'form', model, { title: heading, current: 'upgrades', status });
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

// The questions of the cap: the form of each, how its answer is awaited, and the page of an answer. Nobody is led to one more animal: only the
// keeper's own question goes there.

import type { FastifyInstance, FastifyReply } from 'fastify';
import { addMonths, dateOfInstant, formatMonth, monthOf, type PlainDate, type PlainMonth } from '../../src/calendar.ts';
import { type CapOutcome, type NewcomerParts, newcomerBox, type PosedQuestion } from '../../src/cap-questions.ts';
import type { Animal } from '../../src/collection.ts';
import type { CapSettings } from '../../src/collection-cap.ts';
import { AppError } from '../../src/errors.ts';
import { type Money, typedMoney } from '../../src/money.ts';
import { type CareLibrary, judgedBy } from '../../src/species.ts';
import type { Quantity } from '../../src/units.ts';
import { gatherCap } from '../cap.ts';
import { capSentences, QUESTION_KINDS, type QuestionKind, askWords as words } from '../cap-words.ts';
import { findQuestion, type KeptQuestion, readCap, saveCap } from '../db/cap.ts';
import { loadCollection } from '../db/collection.ts';
import { type Ledger, ledgerVersion, readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { formPage, numberField, selectField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  choice,
  type FormError,
  type FormState,
  formOf,
  moneyField,
  monthField,
  optionalChoice,
  optionalMoney,
  optionalQuantity,
  optionalWholeNumber,
  type ParsedForm,
  parseForm,
  startForm,
  wholeNumber,
} from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { valueChoicesOf } from '../scores.ts';
import { found, idFrom } from './asked-row.ts';
import { quarantineFields } from './cap.ts';
import { type AskedQuestion, answerPage, askingPage } from './cap-questions.view.ts';
import { whatIsMissing } from './roadmap.ts';

type Around = {
  ledger: Ledger;
  today: PlainDate;
  animals: Animal[];
  library: CareLibrary;
  /** Whether nobody said yet what a newcomer's quarantine takes. */
  asksQuarantine: boolean;
};

type Quarantine = Pick<CapSettings, 'quarantinePlace' | 'quarantineWeeks' | 'quarantineBox' | 'newcomerVet'>;

/** What every question's form holds; each kind reads its own fields. */
type Typed = {
  species: string;
  length: Quantity | null;
  ownPrice: Money | null;
  food: Money;
  substrate: Money;
  vet: Money;
  animal: string;
  percent: number;
  month: PlainMonth;
  amount: Money;
};

const back = { href: paths.cap.show, label: capSentences.heading };

export function capQuestionPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, parts, asking, render } = deps;

  for (const kind of QUESTION_KINDS) {
    app.get(paths.cap.ask(kind), (request, reply) => {
      if (whatIsMissing(db) !== null) return reply.redirect(paths.roadmap.show, 303);
      const around = gather();
      const { again } = (request.query ?? {}) as Record<string, unknown>;
      const before =
        typeof again === 'string' && /^\d{1,12}$/.test(again)
          ? findQuestion<AskedQuestion, CapOutcome>(db, Number(again))
          : null;
      const texts = { ...firstTexts(kind, around), ...(before === null ? {} : textsOf(before, kind, around)) };
      return show(reply, kind, around, startForm(texts), 200);
    });

    app.post(paths.cap.ask(kind), (request, reply) => {
      if (whatIsMissing(db) !== null) return reply.redirect(paths.roadmap.show, 303);
      const around = gather();
      const read = parseForm(schemaOf(kind, around), request.body) as ParsedForm<Partial<Typed>>;
      if (read.status === 'bad') return show(reply, kind, around, read, 422);
      const made = questionOf(kind, around, read.value as Typed);
      if ('errors' in made) return show(reply, kind, around, { values: read.values, errors: made.errors }, 422);
      const quarantine = read.value as Partial<Quarantine>;
      // Said once, it holds for every later question and for the cap; what was left empty stays unknown.
      const said = (['quarantinePlace', 'quarantineWeeks', 'quarantineBox', 'newcomerVet'] as const).filter(
        (name) => (quarantine[name] ?? null) !== null,
      );
      if (said.length > 0) keepQuarantine(Object.fromEntries(said.map((name) => [name, quarantine[name]])));
      asking.ask(made);
      return reply.redirect(paths.cap.progress, 303);
    });
  }

  app.get(paths.cap.progress, (_request, reply) => {
    const progress = asking.progress();
    if (progress !== null) {
      const { currency, locale } = readLedger(db);
      const page = askingPage(progress, { now: now(), currency, locale });
      return render(reply, 'asking', page, { title: words.asking, current: 'cap', back });
    }
    const last = asking.last();
    return reply.redirect(last?.status === 'answered' ? paths.cap.answer(last.id) : paths.cap.show, 303);
  });

  app.post(paths.cap.stop, (_request, reply) => {
    asking.stop();
    return reply.redirect(paths.cap.progress, 303);
  });

  app.get(paths.cap.answer(':id'), (request, reply) => {
    const kept = found(findQuestion<AskedQuestion, CapOutcome>(db, idFrom(request.params)));
    const gathered = gatherCap(db, library(), now());
    const { capVersion } = kept.question;
    // What is said for the cap changes no plan, so that it has a count of its own.
    const isStale =
      kept.ledgerVersion !== ledgerVersion(db) ||
      kept.firstMonth !== monthOf(gathered.today) ||
      (capVersion !== undefined && capVersion !== gathered.said.version);
    const model = answerPage(kept, gathered, library(), isStale);
    return render(reply, 'cap-answer', model, { title: model.heading, current: 'cap', back });
  });

  function keepQuarantine(quarantine: Partial<Quarantine>): void {
    inTransaction(db, (tx) => {
      const { settings, version } = readCap(tx);
      // What was said elsewhere since this form was opened stays.
      const unsaid = Object.fromEntries(
        Object.entries(quarantine).filter(([name]) => settings[name as keyof Quarantine] === null),
      );
      if (saveCap(tx, version, { ...settings, ...unsaid }, []) === 'conflict')
        throw new AppError('conflict', formSentences.changedMeanwhile);
    });
  }

  function gather(): Around {
    const ledger = readLedger(db);
    const known = library();
    const animals = judgedBy(known, loadCollection(db)).animals.filter((one) => one.enclosureId !== null);
    return {
      ledger,
      today: dateOfInstant(now(), ledger.timeZone),
      animals,
      library: known,
      asksQuarantine: asksQuarantine(readCap(db).settings),
    };
  }

  function questionOf(kind: QuestionKind, { ledger, today, animals, library: known }: Around, typed: Typed) {
    const wrong = (field: string, message: string): { errors: FormError[] } => ({ errors: [{ field, message }] });
    switch (kind) {
      case 'one-more': {
        const species = known.species.find((one) => one.id === typed.species)!;
        const newcomer: NewcomerParts = {
          speciesId: species.id,
          lengthMm: typed.length?.value ?? null,
          library: known,
          choices: valueChoicesOf(ledger),
          parts,
          currency: ledger.currency,
          powerPrice: ledger.coversPower ? ledger.pricePerKwh : 'not-ours',
          on: today,
        };
        const found = newcomerBox(newcomer);
        const { ownPrice, food, substrate, vet } = typed;
        if (ownPrice === null && (found.part === null || !found.priced)) return wrong('ownPrice', words.noBox);
        if (ownPrice === null && ledger.coversPower && ledger.pricePerKwh === null)
          return wrong('species', words.noTariff);
        const question: PosedQuestion = {
          ask: kind,
          speciesId: species.id,
          species: species.commonName,
          newcomer,
          ownPrice,
          food,
          substrate,
          vet,
        };
        return question;
      }
      case 'rehome': {
        const { name } = animals.find((one) => one.id === typed.animal)!;
        const question: PosedQuestion = { ask: kind, animalId: typed.animal, animal: name };
        return question;
      }
      case 'price-rise': {
        const question: PosedQuestion = { ask: kind, percent: typed.percent };
        return question;
      }
      case 'tariff-rise': {
        if (!ledger.coversPower || ledger.pricePerKwh === null) return wrong('percent', words.noPowerPaid);
        const question: PosedQuestion = { ask: kind, percent: typed.percent };
        return question;
      }
      case 'lost-month':
      case 'emergency': {
        const first = monthOf(today);
        const last = addMonths(first, ledger.horizonMonths - 1);
        const begins = kind === 'lost-month' ? addMonths(first, 1) : first;
        if (typed.month < begins || typed.month > last)
          return wrong(
            'month',
            words.monthOutside(formatMonth(begins, ledger.locale), formatMonth(last, ledger.locale)),
          );
        if (kind === 'emergency' && typed.amount === 0) return wrong('amount', words.amountAboveNothing);
        const question: PosedQuestion =
          kind === 'emergency'
            ? { ask: kind, month: typed.month, amount: typed.amount }
            : { ask: kind, month: typed.month };
        return question;
      }
    }
  }

  function show(
    reply: FastifyReply,
    kind: QuestionKind,
    around: Around,
    form: FormState,
    status: number,
  ): FastifyReply {
    const { heading, lead } = words.kinds[kind];
    const model = formPage(form, {
      heading,
      lead,
      action: paths.cap.ask(kind),
      version: null,
      conflict: null,
      groups: [
        { legend: null, fields: fieldsOf(kind, around, form) },
        ...(kind === 'one-more' && around.asksQuarantine
          ? [{ legend: words.quarantine, fields: quarantineFields(form, around.ledger.currency) }]
          : []),
      ],
      submit: words.submit,
      cancel: paths.cap.show,
    });
    return render(reply, 'form', model, { title: heading, current: 'cap', status, back });
  }
}

function asksQuarantine({ quarantinePlace, quarantineWeeks, quarantineBox, newcomerVet }: CapSettings): boolean {
  return [quarantinePlace, quarantineWeeks, quarantineBox, newcomerVet].includes(null);
}

// The answers of a question that was asked before; of amounts in another currency none.
function textsOf(
  { question, currency }: KeptQuestion<AskedQuestion, unknown>,
  kind: QuestionKind,
  { ledger }: Around,
): Record<string, string> {
  const typed = (amount: Money | null) =>
    amount === null || currency.code !== ledger.currency.code ? '' : typedMoney(amount, currency);
  if (question.ask !== kind) return {};
  switch (question.ask) {
    case 'one-more':
      return {
        species: question.speciesId,
        food: typed(question.food),
        substrate: typed(question.substrate),
        vet: typed(question.vet),
        ownPrice: typed(question.ownPrice),
      };
    case 'rehome':
      return { animal: question.animalId };
    case 'price-rise':
    case 'tariff-rise':
      return { percent: String(question.percent) };
    case 'lost-month':
      return { month: question.month };
    case 'emergency':
      return { month: question.month, amount: typed(question.amount) };
  }
}

function firstTexts(kind: QuestionKind, { today, ledger }: Around): Record<string, string> {
  switch (kind) {
    case 'one-more':
    case 'rehome':
      return {};
    case 'price-rise':
    case 'tariff-rise':
      return { percent: '20' };
    case 'lost-month':
      return { month: addMonths(monthOf(today), ledger.horizonMonths > 1 ? 1 : 0) };
    case 'emergency':
      return { month: monthOf(today) };
  }
}

function schemaOf(kind: QuestionKind, { ledger, animals, library, asksQuarantine }: Around) {
  switch (kind) {
    case 'one-more':
      return formOf({
        species: choice(
          'the species',
          library.species.map((one) => one.id),
        ),
        length: optionalQuantity('the length', 'length', ledger.unitSystem),
        food: moneyField('its food a month', ledger),
        substrate: moneyField('its substrate a month', ledger),
        vet: moneyField('its sum for the vet', ledger),
        ownPrice: optionalMoney('the price of its set-up', ledger),
        ...(asksQuarantine
          ? {
              quarantinePlace: optionalChoice('whether there is a place', ['yes', 'no']),
              quarantineWeeks: optionalWholeNumber('the weeks of quarantine', 0, 104, 'weeks'),
              quarantineBox: optionalMoney('the price of the quarantine box', ledger),
              newcomerVet: optionalMoney('the price of its tests', ledger),
            }
          : {}),
      });
    case 'rehome':
      return formOf({
        animal: choice(
          'the animal',
          animals.map((one) => one.id),
        ),
      });
    case 'price-rise':
    case 'tariff-rise':
      return formOf({ percent: wholeNumber('the rise in percent', 1, 400, 'percent') });
    case 'lost-month':
      return formOf({ month: monthField('the month') });
    case 'emergency':
      return formOf({ month: monthField('the month'), amount: moneyField('the bill', ledger) });
  }
}

function fieldsOf(kind: QuestionKind, { ledger, animals, library }: Around, form: FormState) {
  const sign = ledger.currency.code;
  const { labels, hints } = words;
  switch (kind) {
    case 'one-more': {
      const answers = library.species.map((one) => ({
        value: one.id,
        label: `${one.commonName} (${one.scientificName})`,
      }));
      answers.sort((a, b) => a.label.localeCompare(b.label));
      return [
        selectField(form, 'species', labels.species, [{ value: '', label: words.choose }, ...answers]),
        numberField(form, 'length', labels.length, { hint: hints.length }),
        numberField(form, 'food', labels.food, { suffix: sign, hint: hints.food }),
        numberField(form, 'substrate', labels.substrate, { suffix: sign }),
        numberField(form, 'vet', labels.vet, { suffix: sign }),
        numberField(form, 'ownPrice', labels.ownPrice, { suffix: sign, hint: hints.ownPrice }),
      ];
    }
    case 'rehome':
      return [
        selectField(form, 'animal', labels.animal, [
          { value: '', label: words.choose },
          ...animals.map(({ id, name }) => ({ value: id, label: name })),
        ]),
      ];
    case 'price-rise':
    case 'tariff-rise':
      return [numberField(form, 'percent', labels.percent, { suffix: '%' })];
    case 'lost-month':
      return [numberField(form, 'month', labels.month, { hint: hints.month })];
    case 'emergency':
      return [
        numberField(form, 'amount', labels.amount, { suffix: sign }),
        numberField(form, 'month', labels.month, { hint: hints.month }),
      ];
  }
}

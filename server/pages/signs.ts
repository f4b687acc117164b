// The pages of what a keeper notes of an animal itself: the list with the weights, the form of one kind of sign at a time, and the step
// that says how it ended and what the vet was paid.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { dateOfInstant, formatDate, monthOf } from '../../src/calendar.ts';
import { formatMoney, type Money, typedMoney } from '../../src/money.ts';
import { type Alarm, alarmsOf, ENDINGS, SIGN_KINDS, type SignKind, weightInDoubt } from '../../src/signs.ts';
import { measuresOf, type Quantity, typedQuantity } from '../../src/units.ts';
import { type AnimalRecord, findAnimal } from '../db/collection.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import {
  addSign,
  changeSign,
  findSign,
  listSigns,
  putBackSign,
  removeSign,
  type SignFacts,
  type SignRecord,
  settleSign,
} from '../db/signs.ts';
import {
  type Conflict,
  dayField,
  type Field,
  formPage,
  notesField,
  numberField,
  radioField,
  sureField,
} from '../fields.ts';
import { formSentences, monthExamples } from '../form-words.ts';
import {
  checkbox,
  choice,
  dateField,
  type FormError,
  type FormState,
  formOf,
  optionalChoice,
  optionalDate,
  optionalMoney,
  optionalMonth,
  optionalQuantity,
  optionalText,
  parseForm,
  quantityField,
  startForm,
  type Values,
} from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { alarmWords, endingWords, signHints, signNames, signSentences, signWords } from '../sign-words.ts';
import { capital } from '../words.ts';
import { idFrom, presentRow, versionOf } from './asked-row.ts';
import { type KindQuestion, registerRowPages } from './row-form.ts';
import { saveOnce } from './sent-twice.ts';
import { signsPage } from './signs.view.ts';
import { lateConflict } from './too-late.ts';

type Around = { animal: AnimalRecord; kind: SignKind | null; ledger: Ledger; today: PlainDate; signs: SignRecord[] };

type Value = {
  notedOn: PlainDate;
  grams: Quantity | null;
  sure: boolean;
  alarm: Alarm | null;
  worrying: 'yes' | 'no';
  notes: string;
  setAside: Money | null;
  setAsideMonth: PlainMonth | null;
};

const labels = {
  notedOn: 'Noted on',
  grams: 'Weight',
  alarm: 'Is it one of these?',
  worrying: 'Does it worry you?',
  notes: 'What you saw',
  setAside: 'Set aside for the vet',
  setAsideMonth: 'From which month on',
} as const;

export function signPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, render } = deps;
  const urls = paths.animals.signs;
  const menu = 'animals';

  app.get(urls.list(':animal'), (request, reply) => {
    const { animal, ledger, today } = gather(db, request);
    const id = Number(animal.id);
    const model = signsPage(animal, listSigns(db, id), listSigns(db, id, 'removed'), today, ledger);
    return render(reply, 'signs', model, {
      title: model.heading,
      current: menu,
      back: { href: paths.animals.show(animal.id), label: animal.name },
    });
  });

  registerRowPages<Around, Value, SignRecord>(app, deps, {
    urls: {
      new: urls.new(':animal'),
      edit: urls.edit(':animal', ':id'),
      remove: urls.remove(':animal', ':id'),
      putBack: urls.putBack(':animal', ':id'),
    },
    menu,
    called: () => 'the sign',
    gather,
    find,
    askFirst: ({ kind, animal }) => (kind === null ? kindQuestion(animal) : null),
    schema: ({ kind, ledger }, row) => schemaOf(row?.kind ?? kind!, ledger),
    mistakes,
    first: ({ kind, today }) => ({
      notedOn: today,
      worrying: kind === 'weight' ? 'no' : '',
      setAsideMonth: monthOf(today),
    }),
    texts: ({ ledger, today }, row) => ({
      notedOn: row.notedOn,
      grams:
        row.gramsTyped === '' && row.grams !== null
          ? typedQuantity(row.grams, 'mass', ledger.unitSystem)
          : row.gramsTyped,
      alarm: row.alarm ?? '',
      worrying: row.worrying ? 'yes' : 'no',
      notes: row.notes,
      setAside: row.setAside === null ? '' : typedMoney(row.setAside.amount, ledger.currency),
      setAsideMonth: row.setAside?.month ?? monthOf(today),
    }),
    labels,
    form: signForm,
    add: (session, { animal, kind }, value) => addSign(session, factsOf(animal, kind!, value)),
    change: (session, { animal }, row, version, value) =>
      changeSign(session, Number(row.id), version, factsOf(animal, row.kind, value)),
    confirm: ({ ledger }, row) => ({
      heading: 'Remove this sign?',
      lead: `${signWords(row, row.gramsTyped)}, noted on ${formatDate(row.notedOn, ledger.locale)}. Remove it only if it was entered by mistake; say how it ended if it is over.`,
      consequences: [
        ...(row.setAside !== null && row.settled === null ? ['What was set aside for it is free again.'] : []),
        ...(row.settled?.paid != null ? ['What the vet was paid is no longer taken off the cash.'] : []),
        'It can be put back from the page of the animal’s signs.',
      ],
      submit: 'Remove this sign',
    }),
    remove: (session, { today }, row, version) => removeSign(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackSign(session, Number(row.id), version),
    shownAt: ({ animal }) => urls.list(animal.id),
    listedAt: ({ animal }) => urls.list(animal.id),
  });

  app.get(urls.settle(':animal', ':id'), (request, reply) => {
    const around = gather(db, request);
    const row = standing(request, around);
    return showEnding(request, reply, around, row, startForm(endingTexts(around, row)), row.version, 200);
  });

  app.post(urls.settle(':animal', ':id'), (request, reply) => {
    const around = gather(db, request);
    const row = standing(request, around);
    const version = versionOf(request);
    const read = readEnding(request.body, around, row);
    if (read.status === 'bad') return showEnding(request, reply, around, row, read, version, 422);
    const shownAt = () => urls.list(around.animal.id);
    const saved = saveOnce(db, request, shownAt, (tx) => settleSign(tx, Number(row.id), version, read.settled));
    if (saved === 'saved') return reply.redirect(withNotice(urls.list(around.animal.id), 'saved'), 303);
    const now = standing(request, around);
    const typed = startForm(read.values);
    const { settled } = now;
    const conflict = lateConflict({
      heading: endingHeading(around),
      fields: endingFields(around, now, typed),
      called: `what was noted of ${around.animal.name}`,
      state: settled === null ? capital(signSentences.stillOpen) : capital(endingWords[settled.how]),
      saved: settled === null ? {} : endingTexts(around, now),
      typed: read.values,
      shownAt: shownAt(),
    });
    return showEnding(request, reply, around, now, typed, now.version, 409, conflict);
  });

  function gather(session: Session, request: FastifyRequest): Around {
    const animal = presentRow(findAnimal(session, idFrom(request.params, 'animal')));
    const ledger = readLedger(session);
    const { kind } = request.query as { kind?: unknown };
    return {
      animal,
      kind: SIGN_KINDS.find((one) => one === kind) ?? null,
      ledger,
      today: dateOfInstant(now(), ledger.timeZone),
      signs: listSigns(session, Number(animal.id)),
    };
  }

  function standing(request: FastifyRequest, around: Around): SignRecord {
    return presentRow(find(db, idFrom(request.params), around));
  }

  function showEnding(
    request: FastifyRequest,
    reply: FastifyReply,
    around: Around,
    row: SignRecord,
    form: FormState,
    version: number,
    status: number,
    conflict: Conflict | null = null,
  ): FastifyReply {
    const { animal, ledger } = around;
    const { currency, locale } = ledger;
    const sum =
      row.setAside === null || row.settled !== null ? null : formatMoney(row.setAside.amount, currency, locale);
    const heading = endingHeading(around);
    const model = formPage(form, {
      heading,
      lead: `${signWords(row, row.gramsTyped)}, noted on ${formatDate(row.notedOn, locale)}. ${signSentences.settleLead(sum)}`,
      cautions: [signSentences.vet],
      groups: [{ legend: null, fields: endingFields(around, row, form) }],
      conflict,
      submit: 'Save',
      action: request.url,
      version: String(version),
      cancel: urls.list(animal.id),
    });
    return render(reply, 'form', model, { title: heading, current: menu, status });
  }
}

function endingHeading({ animal }: Around): string {
  return `How did it end for ${animal.name}?`;
}

function endingFields({ ledger }: Around, row: SignRecord, form: FormState): Field[] {
  const { currency, locale, cashCountedOn } = ledger;
  return [
    radioField(form, 'how', 'How it ended', [
      ...ENDINGS.map((value) => ({ value, label: capital(endingWords[value]) })),
      ...(row.settled === null
        ? []
        : [{ value: 'open', label: signSentences.stillOpen, hint: signSentences.stillOpenHint }]),
    ]),
    dayField(form, 'on', 'On which day'),
    numberField(form, 'paid', 'Paid to the vet', {
      suffix: currency.code,
      hint: signSentences.paidHint(cashCountedOn === null ? null : formatDate(cashCountedOn, locale)),
    }),
  ];
}

function find(session: Session, id: number, { animal }: Around): SignRecord | null {
  const row = findSign(session, id);
  return row === null || row.animalId !== animal.id ? null : row;
}

function kindQuestion(animal: AnimalRecord): KindQuestion {
  return {
    heading: `What did you see of ${animal.name}?`,
    lead: signSentences.vet,
    groups: [
      {
        legend: 'Kinds of signs',
        answers: SIGN_KINDS.map((kind) => ({
          href: paths.animals.signs.newOf(animal.id, kind),
          label: signNames[kind],
          hint: signHints[kind],
        })),
      },
    ],
    cancel: paths.animals.signs.list(animal.id),
  };
}

function schemaOf(kind: SignKind, ledger: Ledger): z.ZodType<Value> {
  return formOf({
    notedOn: dateField('the day it was noted'),
    grams:
      kind === 'weight'
        ? quantityField('the weight', 'mass', ledger.unitSystem)
        : optionalQuantity('the weight', 'mass', ledger.unitSystem),
    sure: checkbox('whether the weight is right'),
    alarm: optionalChoice('whether it is one of these', alarmsOf[kind]),
    worrying: choice('whether it worries you', ['yes', 'no']),
    notes: optionalText('what you saw', 4000),
    setAside: optionalMoney('what is set aside', ledger),
    setAsideMonth: optionalMonth('the month'),
  });
}

function mistakes({ today, signs, ledger }: Around, value: Value, row: SignRecord | null): FormError[] {
  const errors: FormError[] = [];
  if (value.notedOn > today) errors.push({ field: 'notedOn', message: formSentences.notLater('the day it was noted') });
  if (value.setAside === 0) errors.push({ field: 'setAside', message: signSentences.notNothing });
  if (value.setAside !== null && value.setAsideMonth === null)
    errors.push({ field: 'setAsideMonth', message: signSentences.needsMonth });
  const { grams, notedOn } = value;
  const before =
    grams === null || value.sure
      ? null
      : weightInDoubt(signs, { id: row?.id ?? null, on: notedOn, grams: grams.value });
  if (before !== null) {
    const kept = signs.find((one) => one.id === before.id)!.gramsTyped;
    const message = signSentences.weightInDoubt(grams!.typed, kept, formatDate(before.on, ledger.locale));
    errors.push({ field: 'grams', message });
  }
  return errors;
}

function signForm({ animal, kind: asked, ledger }: Around, form: FormState, row: SignRecord | null) {
  const kind = row?.kind ?? asked!;
  const alarms = alarmsOf[kind];
  const { currency, locale, unitSystem, coversVet, monthlyVet } = ledger;
  const besides =
    coversVet && monthlyVet !== null && monthlyVet > 0
      ? ` ${signSentences.besides(formatMoney(monthlyVet, currency, locale))}`
      : '';
  const grams = numberField(form, 'grams', labels.grams, {
    hint: `${measuresOf(unitSystem) === 'metric' ? 'In g unless you write kg, oz or lb.' : 'In oz unless you write lb, g or kg.'} ${signHints.weight}`,
  });
  const alarm = radioField(
    form,
    'alarm',
    labels.alarm,
    [{ value: '', label: 'None of these' }, ...alarms.map((value) => ({ value, label: capital(alarmWords[value]) }))],
    { hint: signSentences.alarmHint },
  );
  return {
    heading: row === null ? `Noted of ${animal.name}` : `Change a sign of ${animal.name}`,
    lead: kind === 'weight' ? signNames.weight : `${signNames[kind]}. ${signHints[kind]}`,
    cautions: [signSentences.vet],
    groups: [
      {
        legend: null,
        fields: [
          dayField(form, 'notedOn', labels.notedOn),
          ...(kind === 'weight' ? [grams] : []),
          ...sureField(form, 'grams', 'sure', signSentences.weightIsRight),
          ...(alarms.length === 0 ? [] : [alarm]),
          radioField(
            form,
            'worrying',
            labels.worrying,
            [
              { value: 'yes', label: 'Yes' },
              { value: 'no', label: 'No, only to be kept' },
            ],
            { hint: signSentences.worryHint },
          ),
          notesField(form, 'notes', kind === 'weight' ? 'Notes' : labels.notes),
        ],
      },
      {
        legend: 'Money for the vet',
        fields: [
          numberField(form, 'setAside', labels.setAside, {
            suffix: currency.code,
            hint: `${signSentences.setAsideHint}${besides}`,
          }),
          numberField(form, 'setAsideMonth', labels.setAsideMonth, {
            hint: `Month and year, such as ${monthExamples}.`,
          }),
        ],
      },
    ],
    submit: row === null ? 'Enter this sign' : 'Save',
    cancel: paths.animals.signs.list(animal.id),
  };
}

function factsOf(animal: AnimalRecord, kind: SignKind, value: Value): SignFacts {
  const { setAside, setAsideMonth } = value;
  return {
    animalId: animal.id,
    kind,
    notedOn: value.notedOn,
    grams: kind === 'weight' ? value.grams!.value : null,
    gramsTyped: kind === 'weight' ? value.grams!.typed : '',
    alarm: value.alarm,
    worrying: value.worrying === 'yes',
    setAside: setAside === null || setAsideMonth === null ? null : { amount: setAside, month: setAsideMonth },
    notes: value.notes,
  };
}

function endingTexts({ ledger, today }: Around, { settled }: SignRecord): Values {
  return {
    how: settled?.how ?? '',
    on: settled?.on ?? today,
    paid: settled?.paid == null ? '' : typedMoney(settled.paid, ledger.currency),
  };
}

type ReadEnding = { status: 'ok'; settled: SignRecord['settled']; values: Values } | ({ status: 'bad' } & FormState);

function readEnding(body: unknown, { ledger, today }: Around, row: SignRecord): ReadEnding {
  const { version: _, ...fields } = (body ?? {}) as Record<string, unknown>;
  const read = parseForm(
    formOf({
      how: choice('how it ended', [...ENDINGS, 'open']),
      on: optionalDate('the day'),
      paid: optionalMoney('what was paid', ledger),
    }),
    fields,
    ({ how, on }) =>
      (how === 'open' || how === null
        ? []
        : on === null
          ? [formSentences.required('the day')]
          : on > today
            ? [formSentences.notLater('the day')]
            : on < row.notedOn
              ? [formSentences.notBefore('the day', 'the day it was noted')]
              : []
      ).map((message) => ({ field: 'on', message })),
  );
  if (read.status === 'bad') return read;
  const { values } = read;
  const { how, on, paid } = read.value;
  return { status: 'ok', settled: how === 'open' ? null : { on: on!, how, paid }, values };
}

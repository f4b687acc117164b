// The pages of instruments: the list of what the keeper reads with, and the form in which one is entered or changed.

import type { FastifyInstance } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant, formatDate } from '../../src/calendar.ts';
import { READING_KINDS, type ReadingKind } from '../../src/collection.ts';
import {
  type Instrument,
  isAtHand,
  type MeasuredKind,
  OWNERSHIPS,
  type Ownership,
  type StatedError,
} from '../../src/instruments.ts';
import { type Dimension, errorDimensionOf, parseQuantity, type UnitSystem } from '../../src/units.ts';
import {
  addInstrument,
  changeInstrument,
  findInstrument,
  type InstrumentFacts,
  type InstrumentRecord,
  listInstruments,
  putBackInstrument,
  removeInstrument,
} from '../db/instruments.ts';
import { readLedger } from '../db/ledger.ts';
import { checkboxField, dayField, notesField, radioField, textField } from '../fields.ts';
import { formSentences, quantitySentence } from '../form-words.ts';
import {
  checkbox,
  choice,
  type FormError,
  formOf,
  optional,
  optionalDate,
  optionalText,
  type ReadText,
  requiredText,
} from '../forms.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import { instrumentFormWords } from '../measuring-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { listed, lowerFirst } from '../words.ts';
import { type RemovedList, removedList } from './removed-list.ts';
import { registerRowPages } from './row-form.ts';

type Around = { system: UnitSystem; today: PlainDate };

type Value = Omit<InstrumentFacts, 'measures'> & {
  /** The kinds that were ticked. */
  kinds: ReadingKind[];
  errors: Record<Quality, StatedError | null>;
};

/** What one stated error is about. */
export const QUALITIES = ['temperature', 'uv-index', 'humidity', 'length'] as const;
export type Quality = (typeof QUALITIES)[number];

const legends: Record<Quality, string> = {
  temperature: instrumentFormWords.readsTemperatures,
  'uv-index': instrumentFormWords.readsUv,
  humidity: instrumentFormWords.readsHumidity,
  length: instrumentFormWords.readsDepth,
};

const errorLabels: Record<Quality, string> = {
  temperature: instrumentFormWords.errorOfTemperatures,
  'uv-index': instrumentFormWords.errorOfUv,
  humidity: instrumentFormWords.errorOfHumidity,
  length: instrumentFormWords.errorOfDepth,
};

const errorHints: Record<Quality, string> = {
  temperature: instrumentFormWords.errorOfTemperaturesHint,
  'uv-index': instrumentFormWords.errorOfUvHint,
  humidity: instrumentFormWords.errorOfHumidityHint,
  length: instrumentFormWords.errorOfDepthHint,
};

const standingWords: Record<Ownership, string> = {
  own: instrumentFormWords.myOwn,
  borrowed: instrumentFormWords.borrowed,
};

const kindField = (kind: ReadingKind) => `kind-${kind}`;
const errorField = (quality: Quality) => `error-${quality}`;
const kindsOf = (quality: Quality) => READING_KINDS.filter((kind) => readingDimensions[kind] === quality);

const MOST_SHARE = 0.5;

const labels = {
  name: instrumentFormWords.name,
  ...Object.fromEntries(READING_KINDS.map((kind) => [kindField(kind), readingNames[kind]])),
  ...Object.fromEntries(QUALITIES.map((quality) => [errorField(quality), errorLabels[quality]])),
  standing: instrumentFormWords.whoseIsIt,
  borrowedFrom: instrumentFormWords.borrowedFrom,
  borrowedUntil: instrumentFormWords.givenBackOn,
  notes: instrumentFormWords.notes,
};

export function instrumentPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, render } = deps;
  const urls = paths.instruments;

  app.get(urls.list, (_request, reply) => {
    const { locale, timeZone } = readLedger(db);
    const model = instrumentsPage(
      listInstruments(db),
      listInstruments(db, 'removed'),
      dateOfInstant(now(), timeZone),
      locale,
    );
    return render(reply, 'instruments', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.list, label: instrumentFormWords.allEnclosures },
    });
  });

  registerRowPages<Around, Value, InstrumentRecord>(app, deps, {
    urls: { new: urls.new, edit: urls.edit(':id'), remove: urls.remove(':id'), putBack: urls.putBack(':id') },
    menu: 'enclosures',
    called: (row) => `“${row.name}”`,
    gather: (session) => {
      const { unitSystem, timeZone } = readLedger(session);
      return { system: unitSystem, today: dateOfInstant(now(), timeZone) };
    },
    find: (session, id) => findInstrument(session, id),
    schema: ({ system }) => schemaOf(system),
    mistakes: (_around, value) => mistakes(value),
    first: () => ({ standing: 'own' }),
    texts: (_around, row) => ({
      name: row.name,
      ...Object.fromEntries(row.measures.map(({ kind }) => [kindField(kind), 'yes'])),
      ...Object.fromEntries(QUALITIES.map((quality) => [errorField(quality), statedText(row, quality)])),
      standing: row.standing,
      borrowedFrom: row.borrowedFrom ?? '',
      borrowedUntil: row.borrowedUntil ?? '',
      notes: row.notes,
    }),
    labels,
    form: (_around, form, row) => ({
      heading: row === null ? instrumentFormWords.enterInstrument : instrumentFormWords.change(row.name),
      lead: instrumentFormWords.lead,
      groups: [
        {
          legend: null,
          fields: [textField(form, 'name', labels.name, { hint: instrumentFormWords.nameHint })],
        },
        ...QUALITIES.map((quality) => ({
          legend: legends[quality],
          fields: [
            ...kindsOf(quality).map((kind) => checkboxField(form, kindField(kind), readingNames[kind])),
            textField(form, errorField(quality), errorLabels[quality], { hint: errorHints[quality] }),
          ],
        })),
        {
          legend: instrumentFormWords.whoseIsIt,
          fields: [
            radioField(
              form,
              'standing',
              labels.standing,
              OWNERSHIPS.map((value) => ({ value, label: standingWords[value] })),
            ),
            dayField(form, 'borrowedFrom', labels.borrowedFrom),
            dayField(form, 'borrowedUntil', labels.borrowedUntil),
          ],
        },
        { legend: null, fields: [notesField(form, 'notes', labels.notes)] },
      ],
      submit: row === null ? instrumentFormWords.enterThisInstrument : instrumentFormWords.save,
      cancel: urls.list,
    }),
    add: (session, _around, value) => addInstrument(session, factsOf(value)),
    change: (session, _around, row, version, value) =>
      changeInstrument(session, Number(row.id), version, factsOf(value)),
    confirm: (_around, row) => ({
      heading: instrumentFormWords.remove(row.name),
      lead: instrumentFormWords.putBackFrom,
      consequences: [instrumentFormWords.readingsStay],
      submit: instrumentFormWords.removeThisInstrument,
    }),
    remove: (session, { today }, row, version) => removeInstrument(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackInstrument(session, Number(row.id), version),
    shownAt: () => urls.list,
    listedAt: () => urls.list,
  });
}

function schemaOf(system: UnitSystem): z.ZodType<Value> {
  return formOf({
    name: requiredText(instrumentFormWords.theName, 80),
    ...Object.fromEntries(READING_KINDS.map((kind) => [kindField(kind), checkbox(lowerFirst(readingNames[kind]))])),
    ...Object.fromEntries(
      QUALITIES.map((quality) => [errorField(quality), optional(readStatedError(quality, system))]),
    ),
    standing: choice(instrumentFormWords.whoseItIs, OWNERSHIPS),
    borrowedFrom: optionalDate(instrumentFormWords.theDayBorrowed),
    borrowedUntil: optionalDate(instrumentFormWords.theDayGivenBack),
    notes: optionalText(instrumentFormWords.theNotes, 4000),
  }).transform(({ name, standing, borrowedFrom, borrowedUntil, notes, ...rest }): Value => {
    const fields = rest as Record<string, boolean | StatedError | null>;
    return {
      name,
      standing,
      borrowedFrom,
      borrowedUntil,
      notes,
      kinds: READING_KINDS.filter((kind) => fields[kindField(kind)] === true),
      errors: Object.fromEntries(
        QUALITIES.map((quality) => [quality, fields[errorField(quality)] as StatedError | null]),
      ) as Value['errors'],
    };
  });
}

function mistakes({ kinds, errors, standing, borrowedFrom, borrowedUntil }: Value): FormError[] {
  const found: FormError[] = [];
  if (kinds.length === 0) found.push({ field: kindField(READING_KINDS[0]), message: instrumentFormWords.tickOne });
  for (const quality of QUALITIES) {
    if (kinds.length > 0 && errors[quality] !== null && !kinds.some((kind) => readingDimensions[kind] === quality))
      found.push({ field: errorField(quality), message: instrumentFormWords.tickOrEmptyError });
  }
  if (standing === 'own' && (borrowedFrom ?? borrowedUntil) !== null)
    found.push({
      field: borrowedFrom === null ? 'borrowedUntil' : 'borrowedFrom',
      message: instrumentFormWords.emptyDaysOrBorrowed,
    });
  if (borrowedFrom !== null && borrowedUntil !== null && borrowedUntil < borrowedFrom)
    found.push({
      field: 'borrowedUntil',
      message: formSentences.notBefore(instrumentFormWords.theDayGivenBack, instrumentFormWords.theDayBorrowed),
    });
  return found;
}

function factsOf({ kinds, errors, ...rest }: Value): InstrumentFacts {
  return { ...rest, measures: kinds.map((kind) => ({ kind, accuracy: errors[readingDimensions[kind] as Quality] })) };
}

/**
 * Reads a stated error as makers write it: '±2 %' is a share of a temperature or a UV index, but points of a humidity; there a share is
 * '5 % of the reading'.
 */
export function readStatedError(quality: Quality, system: UnitSystem) {
  const label = lowerFirst(errorLabels[quality]);
  return (typed: string): ReadText<StatedError> => {
    const text = typed
      .normalize('NFKC')
      .trim()
      .replace(/^(?:±|\+\/-|\+-)\s*/u, '');
    const share = /^(\d{1,3}(?:[.,]\d{1,2})?)\s*%(\s*of (?:the )?(?:reading|value))?$/iu.exec(text);
    if (share !== null && (quality !== 'humidity' || share[2] !== undefined)) {
      const value = Number(share[1]!.replace(',', '.')) / 100;
      return value > 0 && value <= MOST_SHARE
        ? { status: 'ok', value: { by: 'share', value, typed: typed.trim() } }
        : { status: 'bad', message: instrumentFormWords.shareOutside(label) };
    }
    const read = parseQuantity(text, errorDimensionOf(quality satisfies Dimension), system);
    return read.status === 'ok'
      ? { status: 'ok', value: { by: 'amount', value: read.quantity.value, typed: read.quantity.typed } }
      : { status: 'bad', message: quantitySentence(instrumentFormWords.theLabelled(label), read) };
  };
}

function statedText({ measures }: Pick<Instrument, 'measures'>, quality: Quality): string {
  return (
    measures.find((one) => readingDimensions[one.kind] === quality && one.accuracy !== null)?.accuracy?.typed ?? ''
  );
}

type InstrumentsPage = {
  heading: string;
  lead: string;
  rows: { name: string; reads: string; error: string; standing: string; editHref: string; removeHref: string }[];
  addHref: string;
  removed: RemovedList | null;
};

function instrumentsPage(
  kept: readonly InstrumentRecord[],
  removed: readonly InstrumentRecord[],
  today: PlainDate,
  locale: string,
): InstrumentsPage {
  return {
    heading: instrumentFormWords.instruments,
    lead: instrumentFormWords.instrumentsLead,
    rows: kept.map((one) => ({
      name: one.name,
      reads: listed(one.measures.map(({ kind }) => lowerFirst(readingNames[kind]))),
      error: errorText(one.measures),
      standing: standingText(one, today, locale),
      editHref: paths.instruments.edit(one.id),
      removeHref: paths.instruments.remove(one.id),
    })),
    addHref: paths.instruments.new,
    removed: removedList(
      removed.map((one) => ({ ...one, action: paths.instruments.putBack(one.id) })),
      locale,
    ),
  };
}

function errorText(measures: readonly MeasuredKind[]): string {
  const texts = QUALITIES.flatMap((quality) => {
    const stated = statedText({ measures: [...measures] }, quality);
    return stated === '' ? [] : [stated.startsWith('±') ? stated : `± ${stated}`];
  });
  return texts.length === 0 ? instrumentFormWords.errorNotStated : listed(texts);
}

function standingText(one: InstrumentRecord, today: PlainDate, locale: string): string {
  if (one.standing === 'own') return 'own';
  const days = [
    one.borrowedFrom === null ? '' : instrumentFormWords.fromDay(formatDate(one.borrowedFrom, locale)),
    one.borrowedUntil === null ? '' : instrumentFormWords.untilDay(formatDate(one.borrowedUntil, locale)),
  ].filter((text) => text !== '');
  return ['borrowed', ...days, isAtHand(one, today) ? '' : instrumentFormWords.notAtHandToday]
    .filter((text) => text !== '')
    .join(' ');
}

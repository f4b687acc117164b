// The pages by which readings are entered, changed and removed: one kind at a time, each in the unit it was typed in.

import type { FastifyInstance } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import { READING_KINDS, type Reading, type ReadingKind } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import type { Dimension, Quantity, UnitSystem } from '../../src/units.ts';
import { typedQuantity } from '../../src/units.ts';
import {
  addReading,
  changeReading,
  type EnclosureRecord,
  findEnclosure,
  findReading,
  putBackReading,
  type ReadingFacts,
  type ReadingRecord,
  removeReading,
} from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { dayField, notesField, numberField, radioField, textField } from '../fields.ts';
import {
  choice,
  dateField,
  type FormError,
  type FormState,
  formOf,
  idFrom,
  optionalQuantity,
  optionalText,
  optionalWholeNumber,
} from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import {
  capital,
  cautions,
  evidenceWords,
  formSentences,
  readingDimensions,
  readingHints,
  readingNames,
} from '../words.ts';
import { type KindQuestion, registerRowPages } from './row-form.ts';

type Around = {
  enclosure: EnclosureRecord;
  /** Where the form leads: the upgrade that asked for the reading, or the enclosure. */
  leadsTo: string;
  kind: ReadingKind | null;
  system: UnitSystem;
  today: PlainDate;
};

type Value = {
  evidence: Reading['evidence'];
  value: Quantity | null;
  takenOn: PlainDate;
  hour: number | null;
  room: Quantity | null;
  instrument: string;
  accuracy: Quantity | null;
  notes: string;
};

const evidences = ['measured', 'estimated', 'unknown'] as const;

const labels = {
  evidence: 'How it is known',
  value: 'Value',
  takenOn: 'Taken on',
  hour: 'Hour of the day',
  room: 'Temperature of the room then',
  instrument: 'Instrument',
  accuracy: 'Its stated error',
  notes: 'Notes',
} as const;

// An error is a difference: of temperatures it converts without the offset.
const errorDimensions: Partial<Record<Dimension, Dimension>> = { temperature: 'temperature-difference' };

const HOTTEST_ROOM = 60;

export function readingPages(app: FastifyInstance, deps: Deps): void {
  const { now } = deps;
  const urls = paths.enclosures.readings;

  registerRowPages<Around, Value, ReadingRecord>(app, deps, {
    urls: {
      new: urls.new(':enclosure'),
      edit: urls.edit(':enclosure', ':id'),
      remove: urls.remove(':enclosure', ':id'),
      putBack: urls.putBack(':enclosure', ':id'),
    },
    menu: 'enclosures',
    called: () => 'the reading',
    gather: (session, request) => {
      const enclosure = findEnclosure(session, idFrom(request.params, 'enclosure'));
      if (enclosure === null) throw new AppError('not_found', formSentences.neverThere);
      if (enclosure.removedOn !== null) throw new AppError('not_found', formSentences.wasRemoved);
      const ledger = readLedger(session);
      const { kind, upgrade } = request.query as { kind?: unknown; upgrade?: unknown };
      return {
        enclosure,
        leadsTo:
          typeof upgrade === 'string' && /^[1-9]\d{0,14}$/.test(upgrade)
            ? paths.upgrades.show(upgrade)
            : paths.enclosures.show(enclosure.id),
        kind: READING_KINDS.find((one) => one === kind) ?? null,
        system: ledger.unitSystem,
        today: dateOfInstant(now(), ledger.timeZone),
      };
    },
    find: (session, id, { enclosure }) => {
      const row = findReading(session, id);
      return row === null || row.enclosureId !== enclosure.id ? null : row;
    },
    askFirst: ({ kind, enclosure }) => (kind === null ? readingQuestion(enclosure) : null),
    schema: ({ kind, system }, row) => schemaOf(readingDimensions[row?.kind ?? kind!], system),
    mistakes,
    first: ({ today }) => ({ evidence: 'measured', takenOn: today }),
    texts: ({ system }, row) => ({
      evidence: row.evidence,
      value:
        row.typed === '' && row.value !== null
          ? typedQuantity(row.value, readingDimensions[row.kind], system)
          : row.typed,
      takenOn: row.takenOn,
      hour: row.hour === null ? '' : String(row.hour),
      room: row.roomTyped,
      instrument: row.instrument,
      accuracy: row.accuracy === null ? '' : typedQuantity(row.accuracy, errorDimensionOf(row.kind), system),
      notes: row.notes,
    }),
    labels,
    form: readingForm,
    add: (session, { enclosure, kind }, value) => addReading(session, factsOf(enclosure, kind!, value)),
    change: (session, { enclosure }, row, version, value) =>
      changeReading(session, Number(row.id), version, factsOf(enclosure, row.kind, value)),
    confirm: (_around, row) => ({
      heading: 'Remove this reading?',
      lead: `${readingNames[row.kind]}: ${row.value === null ? 'unknown' : row.typed}.`,
      consequences: [
        'The reading before it, if there is one, then counts again.',
        'It can be put back from the page of its enclosure.',
      ],
      submit: 'Remove this reading',
    }),
    remove: (session, { today }, row, version) => removeReading(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackReading(session, Number(row.id), version),
    shownAt: ({ leadsTo }) => leadsTo,
    listedAt: ({ enclosure }) => paths.enclosures.show(enclosure.id),
  });
}

function readingQuestion(enclosure: EnclosureRecord): KindQuestion {
  const answer = (kind: ReadingKind) => ({
    href: paths.enclosures.readings.newOf(enclosure.id, kind),
    label: readingNames[kind],
    hint: readingHints[kind],
  });
  const of = (...dimensions: Dimension[]) =>
    READING_KINDS.filter((kind) => dimensions.includes(readingDimensions[kind])).map(answer);
  return {
    heading: `What was read in “${enclosure.name}”?`,
    lead: 'Each temperature is read at its own place; one never stands for another.',
    groups: [
      { legend: 'Temperatures', answers: of('temperature') },
      { legend: 'UV', answers: of('uv-index') },
      { legend: 'Humidity', answers: of('humidity') },
      { legend: 'Water', answers: of('length') },
    ],
    cancel: paths.enclosures.show(enclosure.id),
  };
}

function schemaOf(dimension: Dimension, system: UnitSystem): z.ZodType<Value> {
  return formOf({
    evidence: choice('how it is known', evidences),
    value: optionalQuantity('the value', dimension, system),
    takenOn: dateField('the day it was taken'),
    hour: optionalWholeNumber('the hour', 0, 23),
    room: optionalQuantity('the temperature of the room', 'temperature', system),
    instrument: optionalText('the instrument', 120),
    accuracy: optionalQuantity('the error of the instrument', errorDimensions[dimension] ?? dimension, system),
    notes: optionalText('the notes', 4000),
  });
}

function mistakes({ today }: Around, value: Value): FormError[] {
  const errors: FormError[] = [];
  if (value.evidence !== 'unknown' && value.value === null)
    errors.push({ field: 'value', message: formSentences.valueOrUnknown });
  if (value.evidence === 'unknown' && value.value !== null)
    errors.push({ field: 'value', message: formSentences.unknownHasNoValue });
  if (value.takenOn > today) errors.push({ field: 'takenOn', message: formSentences.notLater('the day it was taken') });
  if (value.room !== null && value.room.value > HOTTEST_ROOM)
    errors.push({ field: 'room', message: formSentences.roomTooHot });
  return errors;
}

function readingForm({ enclosure, leadsTo, kind: asked, system }: Around, form: FormState, row: ReadingRecord | null) {
  const kind = row?.kind ?? asked!;
  const dimension = readingDimensions[kind];
  const units: Partial<Record<Dimension, string>> = {
    temperature: system === 'metric' ? 'In °C unless you write °F.' : 'In °F unless you write °C.',
    length: system === 'metric' ? 'In cm unless you write another unit.' : 'In inches unless you write another unit.',
    humidity: 'In percent.',
    'uv-index': 'The UV index alone. A reading in µW/cm² cannot be turned into one without the spectrum of the lamp.',
  };
  return {
    heading: row === null ? `Read in “${enclosure.name}”` : `Change a reading in “${enclosure.name}”`,
    lead: readingNames[kind],
    cautions: dimension === 'uv-index' ? [cautions.uvAndEyes] : kind === 'water' ? [cautions.mainsAndWater] : [],
    groups: [
      {
        legend: null,
        fields: [
          radioField(
            form,
            'evidence',
            labels.evidence,
            evidences.map((value) => ({ value, label: capital(evidenceWords[value]) })),
            { hint: 'An estimate leaves a wide range. Unknown counts neither as 0 nor as good.' },
          ),
          numberField(form, 'value', labels.value, { hint: `${readingHints[kind]} ${units[dimension]}` }),
          dayField(form, 'takenOn', labels.takenOn),
        ],
      },
      {
        legend: 'Circumstances',
        fields: [
          numberField(form, 'hour', labels.hour, { hint: 'From 0 to 23.', inputMode: 'numeric' }),
          numberField(form, 'room', labels.room),
          textField(form, 'instrument', labels.instrument, { hint: 'Such as “infrared thermometer”.' }),
          numberField(form, 'accuracy', labels.accuracy, {
            hint: 'Plus or minus, in the unit of the value, as its maker states it. Empty counts as the usual error of such an instrument.',
          }),
          notesField(form, 'notes', labels.notes),
        ],
      },
    ],
    submit: row === null ? 'Enter this reading' : 'Save',
    cancel: leadsTo,
  };
}

function factsOf(enclosure: EnclosureRecord, kind: ReadingKind, value: Value): ReadingFacts {
  return {
    enclosureId: enclosure.id,
    kind,
    evidence: value.evidence,
    value: value.value?.value ?? null,
    typed: value.value?.typed ?? '',
    takenOn: value.takenOn,
    hour: value.hour,
    roomCelsius: value.room?.value ?? null,
    roomTyped: value.room?.typed ?? '',
    instrument: value.instrument,
    accuracy: value.accuracy?.value ?? null,
    notes: value.notes,
  };
}

function errorDimensionOf(kind: ReadingKind): Dimension {
  return errorDimensions[readingDimensions[kind]] ?? readingDimensions[kind];
}

// The pages by which readings are entered, changed and removed: one kind at a time, each in the unit it was typed in.

import type { FastifyInstance } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { type ClockHours, dateOfInstant, typedHour } from '../../src/calendar.ts';
import { READING_KINDS, type Reading, type ReadingKind } from '../../src/collection.ts';
import { errorOfReading, takes } from '../../src/instruments.ts';
import type { Dimension, Quantity, UnitSystem } from '../../src/units.ts';
import { errorDimensionOf, typedQuantity, unitName } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
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
import { type InstrumentRecord, listInstruments } from '../db/instruments.ts';
import { readLedger } from '../db/ledger.ts';
import { dayField, type Field, notesField, numberField, radioField, selectField, textField } from '../fields.ts';
import { formSentences, hourHint, temperatureHint } from '../form-words.ts';
import {
  choice,
  dateField,
  type FormError,
  type FormState,
  formOf,
  optionalHour,
  optionalQuantity,
  optionalText,
} from '../forms.ts';
import { evidenceWords, readingDimensions, readingHints, readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { capital } from '../words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { type KindQuestion, registerRowPages } from './row-form.ts';

type Around = {
  enclosure: EnclosureRecord;
  /** Where the form leads: the upgrade that asked for the reading, or the enclosure. */
  leadsTo: string;
  kind: ReadingKind | null;
  system: UnitSystem;
  clock: ClockHours;
  today: PlainDate;
  instruments: InstrumentRecord[];
};

type Value = {
  evidence: Reading['evidence'];
  value: Quantity | null;
  takenOn: PlainDate;
  hour: number | null;
  room: Quantity | null;
  /** The id of a listed instrument; empty when it is another. */
  meter: string;
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
  meter: 'Instrument',
  instrument: 'Another instrument',
  accuracy: 'Its stated error',
  notes: 'Notes',
} as const;

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
      const enclosure = presentRow(findEnclosure(session, idFrom(request.params, 'enclosure')));
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
        clock: ledger.clockHours,
        today: dateOfInstant(now(), ledger.timeZone),
        instruments: listInstruments(session),
      };
    },
    find: (session, id, { enclosure }) => {
      const row = findReading(session, id);
      return row === null || row.enclosureId !== enclosure.id ? null : row;
    },
    askFirst: ({ kind, enclosure }) => (kind === null ? readingQuestion(enclosure) : null),
    schema: ({ kind, system, clock, instruments }, row) => {
      const read = row?.kind ?? kind!;
      return schemaOf(readingDimensions[read], system, clock, metersFor(read, instruments));
    },
    mistakes,
    first: ({ today }) => ({ evidence: 'measured', takenOn: today }),
    texts: ({ system, clock, instruments }, row) => ({
      evidence: row.evidence,
      value:
        row.typed === '' && row.value !== null
          ? typedQuantity(row.value, readingDimensions[row.kind], system)
          : row.typed,
      takenOn: row.takenOn,
      hour: row.hour === null ? '' : typedHour(row.hour, clock),
      room: row.roomTyped,
      ...instrumentTexts(row, instruments),
      accuracy:
        row.accuracy === null ? '' : typedQuantity(row.accuracy, errorDimensionOf(readingDimensions[row.kind]), system),
      notes: row.notes,
    }),
    labels,
    form: readingForm,
    add: (session, { enclosure, kind, instruments }, value) =>
      addReading(session, factsOf(enclosure, kind!, value, instruments)),
    change: (session, { enclosure, instruments }, row, version, value) =>
      changeReading(session, Number(row.id), version, withRatio(factsOf(enclosure, row.kind, value, instruments), row)),
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

function schemaOf(
  dimension: Dimension,
  system: UnitSystem,
  clock: ClockHours,
  meters: readonly InstrumentRecord[],
): z.ZodType<Value> {
  return formOf({
    evidence: choice('how it is known', evidences),
    value: optionalQuantity('the value', dimension, system),
    takenOn: dateField('the day it was taken'),
    hour: optionalHour('the hour', clock),
    room: optionalQuantity('the temperature of the room', 'temperature', system),
    meter: choice('the instrument', ['', ...meters.map(({ id }) => id)]),
    instrument: optionalText('the instrument', 120),
    accuracy: optionalQuantity('the error of the instrument', errorDimensionOf(dimension), system),
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
  if (value.meter !== '' && value.instrument !== '')
    errors.push({ field: 'instrument', message: 'Choose an instrument of the list or name another one, not both.' });
  return errors;
}

function readingForm(
  { enclosure, leadsTo, kind: asked, system, clock, instruments }: Around,
  form: FormState,
  row: ReadingRecord | null,
) {
  const kind = row?.kind ?? asked!;
  const dimension = readingDimensions[kind];
  const units: Partial<Record<Dimension, string>> = {
    temperature: temperatureHint(system),
    length: `In ${unitName('length', system)} unless you write another unit.`,
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
          textField(form, 'hour', labels.hour, { hint: hourHint(clock) }),
          numberField(form, 'room', labels.room),
          ...instrumentFields(form, metersFor(kind, instruments)),
          numberField(form, 'accuracy', labels.accuracy, {
            hint: 'Plus or minus, in the unit of the value, as its maker states it. Empty takes the stated error of an instrument of the list, else the usual one.',
          }),
          notesField(form, 'notes', labels.notes),
        ],
      },
    ],
    submit: row === null ? 'Enter this reading' : 'Save',
    cancel: leadsTo,
    related: { href: paths.instruments.list, label: 'List of instruments' },
  };
}

/** The listed instruments that take readings of a kind. */
export function metersFor(kind: ReadingKind, instruments: readonly InstrumentRecord[]): InstrumentRecord[] {
  return instruments.filter((one) => takes(one, kind));
}

// Without a list to choose from the one text field is simply the instrument.
function instrumentFields(form: FormState, meters: readonly InstrumentRecord[]): Field[] {
  const another = textField(form, 'instrument', meters.length === 0 ? labels.meter : labels.instrument, {
    hint: 'Such as “infrared thermometer”.',
  });
  if (meters.length === 0) return [another];
  const answers = meters.map(({ id, name }) => ({ value: id, label: name }));
  return [selectField(form, 'meter', labels.meter, [{ value: '', label: 'None of the list' }, ...answers]), another];
}

// A reading keeps the name of its instrument as it was, so a listed one is found again by that.
function instrumentTexts(row: ReadingRecord, instruments: readonly InstrumentRecord[]) {
  const listed = metersFor(row.kind, instruments).find((one) => one.name === row.instrument);
  return listed === undefined ? { meter: '', instrument: row.instrument } : { meter: listed.id, instrument: '' };
}

function factsOf(
  enclosure: EnclosureRecord,
  kind: ReadingKind,
  value: Value,
  instruments: readonly InstrumentRecord[],
): ReadingFacts {
  const meter = instruments.find((one) => one.id === value.meter) ?? null;
  const stated = meter === null || value.value === null ? null : errorOfReading(meter, kind, value.value.value);
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
    instrument: meter?.name ?? value.instrument,
    accuracy: value.accuracy?.value ?? stated,
    notes: value.notes,
  };
}

// What a UVI made of the light model before something was moved goes by what was read, and is lost with its day.
function withRatio(facts: ReadingFacts, { lightRatio, takenOn, value }: ReadingRecord): ReadingFacts {
  if (lightRatio == null || facts.takenOn !== takenOn || !value || facts.value === null) return facts;
  return { ...facts, lightRatio: (lightRatio * facts.value) / value };
}

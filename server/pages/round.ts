// A round of readings in front of one enclosure: everything that is due on one form, saved together, and then what it changed in the score.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { type ClockHours, hourOfInstant, typedHour } from '../../src/calendar.ts';
import type { ReadingKind } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import { errorOfReading, takes } from '../../src/instruments.ts';
import { doubtOf, latestOf, WALKING_ORDER } from '../../src/reading-round.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { addReading, type EnclosureRecord, findEnclosure, listReadings, type ReadingFacts } from '../db/collection.ts';
import { type InstrumentRecord, listInstruments } from '../db/instruments.ts';
import { inTransaction } from '../db/open.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  choice,
  dateField,
  type FormError,
  type FormState,
  formOf,
  optionalHour,
  optionalQuantity,
  optionalText,
  parseForm,
  startForm,
  type Values,
} from '../forms.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { lowerFirst } from '../words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { openProposals } from './open-proposals.ts';
import { roundFields, roundPage, roundSavedPage, stopsOf, valueDoubtSentence } from './round.view.ts';
import { savedReadings, scoreChanges } from './saved-readings.ts';
import { newMark, ONCE_FIELD, rememberSent } from './sent-twice.ts';

const HOTTEST_ROOM = 60;

/** What was typed at one stop of the round; hour and instrument are null and '' where those of the whole round hold. */
type Stop = {
  kind: ReadingKind;
  value: Quantity | null;
  /** The text that was ticked as right; null without a tick. */
  sureOf: string | null;
  meter: string;
  hour: number | null;
  notes: string;
};

type Round = {
  takenOn: PlainDate;
  hour: number | null;
  room: Quantity | null;
  meter: string;
  instrument: string;
  stops: Stop[];
};

export function roundPages(app: FastifyInstance, { db, now, library, parts, render }: Deps): void {
  app.get(paths.enclosures.round(':id'), (request, reply) => {
    const around = gather(request);
    const form = startForm({
      takenOn: around.today,
      hour: typedHour(hourOfInstant(now(), around.ledger.timeZone), around.ledger.clockHours),
    });
    return show(reply, around, form, 200);
  });

  app.post(paths.enclosures.round(':id'), (request, reply) => {
    const around = gather(request);
    const read = readRound(request, around);
    if (read.status === 'bad') return show(reply, around, read, 422);
    const facts = factsOf(around.enclosure, read.value, around.instruments);
    const saved = inTransaction(db, (tx) => {
      const ids = facts.map((one) => addReading(tx, one));
      const address = paths.enclosures.roundSaved(around.enclosure.id, ids);
      rememberSent(tx, request, address);
      return address;
    });
    return reply.redirect(saved, 303);
  });

  app.get(paths.enclosures.roundSaved(':id', []).replace(/\?.*/, ''), (request, reply) => {
    const around = gather(request);
    const saved = savedReadings(db, request.query).filter((one) => one.enclosureId === around.enclosure.id);
    if (saved.length === 0) return reply.redirect(paths.enclosures.show(around.enclosure.id), 303);
    const changes = scoreChanges(around.scoring, saved);
    const { proposals } = openProposals(db, parts, around);
    const model = roundSavedPage({
      ...around,
      system: around.ledger.unitSystem,
      locale: around.ledger.locale,
      saved,
      changes,
      proposals,
    });
    return render(reply, 'round-saved', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.show(around.enclosure.id), label: around.enclosure.name },
    });
  });

  function gather(request: FastifyRequest) {
    const enclosure = presentRow(findEnclosure(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const setup = setupOf(scoring.collection, enclosure.id);
    const readings = listReadings(db, Number(enclosure.id));
    return { enclosure, ledger, today, scoring, setup, readings, instruments: listInstruments(db) };
  }

  function show(reply: FastifyReply, around: ReturnType<typeof gather>, form: FormState, status: number) {
    const model = roundPage({
      ...around,
      system: around.ledger.unitSystem,
      clock: around.ledger.clockHours,
      locale: around.ledger.locale,
      form,
      stops: stopsOf(around),
      once: newMark(),
      action: paths.enclosures.round(around.enclosure.id),
    });
    return render(reply, 'round', model, {
      title: model.heading,
      current: 'enclosures',
      status,
      back: { href: paths.enclosures.show(around.enclosure.id), label: around.enclosure.name },
    });
  }

  function readRound(
    request: FastifyRequest,
    { ledger, today, readings, instruments, ...around }: ReturnType<typeof gather>,
  ) {
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(schemaOf(ledger.unitSystem, ledger.clockHours, instruments), fields, mistakesIn);
    return read.status === 'ok' ? { ...read, value: { ...read.value, stops: takenIn(read.value) } } : read;

    function takenIn(round: Round) {
      return round.stops.filter((one) => one.value !== null);
    }

    function mistakesIn(round: Round): FormError[] {
      const typed = (name: string) => String((fields as Values)[name] ?? '').trim();
      const errors: FormError[] = [];
      if (round.takenOn > today) errors.push({ field: 'takenOn', message: formSentences.notLater('the day') });
      if (round.room !== null && round.room.value > HOTTEST_ROOM)
        errors.push({ field: 'room', message: formSentences.roomTooHot });
      if (round.meter !== '' && round.instrument !== '')
        errors.push({
          field: 'instrument',
          message: 'Choose an instrument of the list or name another one, not both.',
        });
      if (round.stops.every(({ kind }) => typed(roundFields(kind).value) === '')) {
        const { due, rest } = stopsOf({ ...around, today, readings });
        const first = (due[0] ?? rest[0]!).kind;
        errors.push({
          field: roundFields(first).value,
          message: 'Fill in at least one value; what was not read stays empty.',
        });
      }
      for (const { kind, value, sureOf } of takenIn(round)) {
        const before = latestOf(readings, kind, round.takenOn);
        const isSure = sureOf !== null && sureOf === typed(roundFields(kind).value);
        const doubt = isSure ? null : doubtOf(kind, value!.value, before);
        if (doubt !== null)
          errors.push({
            field: roundFields(kind).value,
            message: valueDoubtSentence(kind, value!, doubt, ledger.unitSystem, ledger.locale),
          });
      }
      return errors;
    }
  }
}

function schemaOf(system: UnitSystem, clock: ClockHours, instruments: readonly InstrumentRecord[]): z.ZodType<Round> {
  return formOf({
    takenOn: dateField('the day'),
    hour: optionalHour('the hour', clock),
    room: optionalQuantity('the temperature of the room', 'temperature', system),
    meter: choice('the instrument', ['', ...instruments.map(({ id }) => id)]),
    instrument: optionalText('the instrument', 120),
    ...Object.fromEntries(
      WALKING_ORDER.flatMap((kind) => {
        const names = roundFields(kind);
        const meters = instruments.filter((one) => takes(one, kind)).map(({ id }) => id);
        return [
          [names.value, optionalQuantity(`the ${lowerFirst(readingNames[kind])}`, readingDimensions[kind], system)],
          [names.sure, checkbox('whether the value is right')],
          [names.asked, optionalText('the value asked about')],
          [names.meter, choice('the instrument', ['', ...meters])],
          [names.hour, optionalHour('the hour', clock)],
          [names.notes, optionalText('the notes', 4000)],
        ] as const;
      }),
    ),
  }).transform(roundOf);
}

function roundOf(fields: Record<string, unknown>): Round {
  const { takenOn, hour, room, meter, instrument } = fields as Omit<Round, 'stops'>;
  return {
    takenOn,
    hour,
    room,
    meter,
    instrument,
    stops: WALKING_ORDER.map((kind) => {
      const names = roundFields(kind);
      return {
        kind,
        value: fields[names.value] as Quantity | null,
        sureOf: fields[names.sure] === true ? (fields[names.asked] as string) : null,
        meter: fields[names.meter] as string,
        hour: fields[names.hour] as number | null,
        notes: fields[names.notes] as string,
      };
    }),
  };
}

// The instrument of the round is that of every reading it takes, unless the stop names its own; one that does not take a kind is not its.
function factsOf(enclosure: EnclosureRecord, round: Round, instruments: readonly InstrumentRecord[]): ReadingFacts[] {
  return round.stops.map(({ kind, value, meter, hour, notes }) => {
    const chosen = instruments.find((one) => one.id === (meter === '' ? round.meter : meter)) ?? null;
    const used = chosen !== null && takes(chosen, kind) ? chosen : null;
    return {
      enclosureId: enclosure.id,
      kind,
      evidence: 'measured',
      value: value!.value,
      typed: value!.typed,
      takenOn: round.takenOn,
      hour: hour ?? round.hour,
      roomCelsius: round.room?.value ?? null,
      roomTyped: round.room?.typed ?? '',
      instrument: used?.name ?? round.instrument,
      accuracy: used === null ? null : errorOfReading(used, kind, value!.value),
      notes,
    };
  });
}

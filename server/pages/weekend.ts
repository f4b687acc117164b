// The list of readings for a few days with meters, on one form, and what came of them in the scores and in the plan.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { ClockHours, PlainDate } from '../../src/calendar.ts';
import { errorOfReading } from '../../src/instruments.ts';
import { planChanges } from '../../src/plan-changes.ts';
import { doubtOf, latestOf } from '../../src/reading-round.ts';
import type { Scoring } from '../../src/score.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { unsettledReadings } from '../../src/unsettled.ts';
import type { OpenReading, Walk } from '../../src/weekend.ts';
import { weekendOf } from '../../src/weekend.ts';
import { cautions } from '../caution-words.ts';
import { addReading } from '../db/collection.ts';
import { listInstruments } from '../db/instruments.ts';
import { inTransaction } from '../db/open.ts';
import { findPlan, latestPlan, type PlanRecord } from '../db/plans.ts';
import { listRooms } from '../db/rooms.ts';
import { studiesOf } from '../db/studies.ts';
import { oncePer } from '../db/unchanged.ts';
import { listUpgrades } from '../db/upgrades.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  dateField,
  type FormError,
  type FormState,
  formOf,
  optionalHour,
  optionalQuantity,
  parseForm,
  startForm,
} from '../forms.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import { weekendSentences as words } from '../measuring-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { listed, lowerFirst } from '../words.ts';
import { scoreChangeOf, valueDoubtSentence } from './round.view.ts';
import { savedReadings, scoreChanges } from './saved-readings.ts';
import { newMark, ONCE_FIELD, rememberSent } from './sent-twice.ts';
import {
  canRead,
  instrumentFor,
  meterField,
  metersAtHand,
  metersOf,
  openReadings,
  stopFields,
  stopHourField,
  stopPlace,
  weekendPage,
} from './weekend.view.ts';

/** What was typed: the day, the hour of each walk and the values; what was not read is null. */
type Typed = {
  takenOn: PlainDate;
  stops: { stop: OpenReading; value: Quantity | null; isSure: boolean; hour: number | null }[];
};

// Every open reading is tried at both ends of what it may be: found once as the ledger stands.
const unsettled = oncePer((scoring: Scoring) => unsettledReadings(scoring));

export function weekendPages(app: FastifyInstance, { db, now, library, parts, planning, render }: Deps): void {
  app.get(paths.measuring.weekend, (request, reply) => {
    const around = gather();
    const asked = Object.fromEntries(
      metersOf(parts).flatMap(({ id }) => {
        const field = meterField(id);
        return (request.query as Record<string, unknown>)[field] === 'yes' ? [[field, 'yes']] : [];
      }),
    );
    const isFirst = Object.keys((request.query ?? {}) as object).length === 0;
    const meters = isFirst ? metersAtHand(parts, around.instruments, around.today) : asked;
    return show(reply, around, startForm({ ...meters, takenOn: around.today }), 200);
  });

  app.post(paths.measuring.weekend, (request, reply) => {
    const around = gather();
    const read = readWeekend(request, around);
    if (read.status === 'bad') return show(reply, around, read, 422);
    const { takenOn, stops } = read.value;
    const before = latestPlan(db)?.id ?? '0';
    const saved = inTransaction(db, (tx) => {
      const ids = stops.map(({ stop: { enclosureId, kind }, value, hour }) => {
        const used = instrumentFor(kind, around.instruments, takenOn);
        return addReading(tx, {
          enclosureId,
          kind,
          evidence: 'measured',
          value: value!.value,
          typed: value!.typed,
          takenOn,
          hour,
          roomCelsius: null,
          roomTyped: '',
          instrument: used?.name ?? '',
          accuracy: used === null ? null : errorOfReading(used, kind, value!.value),
          notes: '',
        });
      });
      const address = paths.measuring.weekendSaved(before, ids);
      rememberSent(tx, request, address);
      return address;
    });
    planning.start();
    return reply.redirect(saved, 303);
  });

  app.get(paths.measuring.afterWeekend, (request, reply) => {
    const { plan: asked } = request.query as { plan?: unknown };
    const saved = savedReadings(db, request.query);
    if (saved.length === 0) return reply.redirect(paths.measuring.weekend, 303);
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const changes = scoreChanges(scoring, saved).map((one) => scoreChangeOf(one, ledger));
    const place = stopPlace(scoring.collection);
    const earlier = typeof asked === 'string' && /^[1-9]\d{0,14}$/.test(asked) ? findPlan(db, Number(asked)) : null;
    const isUnderWay = planning.progress() !== null;
    const model = {
      heading: words.afterHeading,
      lead: null,
      changes,
      planHeading: words.planChanges,
      plan: isUnderWay ? [words.planning] : planSentences(earlier, latestPlan(db)),
      againHref: isUnderWay ? request.url : null,
      lookAgain: words.lookAgain,
      roadmapHref: paths.roadmap.show,
      weekendHref: paths.measuring.weekend,
      entered: words.entered,
      rows: saved.map((one) => ({
        text: `${place(one)}: ${one.typed}`,
        href: paths.enclosures.readings.edit(one.enclosureId, one.id),
      })),
    };
    return render(reply, 'weekend-after', model, { title: model.heading, current: 'roadmap' });
  });

  function gather() {
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const plan = latestPlan(db);
    const study = plan === null ? undefined : studiesOf(db, plan.id).measuring;
    // A study of which nothing is there yet ranks nothing.
    const found = study === undefined || (study.found.length === 0 && study.state !== 'whole') ? null : study.found;
    const { enclosures } = scoring.collection;
    const open = openReadings(found, () => unsettled(scoring)).filter((one) =>
      enclosures.some(({ id }) => id === one.enclosureId),
    );
    return {
      ledger,
      today,
      scoring,
      open,
      isByPlan: found !== null,
      instruments: listInstruments(db),
      rooms: listRooms(db),
    };
  }

  function weekendFor({ open, scoring, rooms }: ReturnType<typeof gather>, form: FormState) {
    return weekendOf(open, canRead(parts, form), { enclosures: scoring.collection.enclosures, rooms });
  }

  function show(reply: FastifyReply, around: ReturnType<typeof gather>, form: FormState, status: number) {
    const weekend = weekendFor(around, form);
    const kinds = weekend.walks.flatMap((walk) => walk.stops.map((one) => one.kind));
    const model = weekendPage({
      ...around,
      weekend,
      isAsked: metersOf(parts).some(({ id }) => form.values[meterField(id)] === 'yes'),
      form,
      collection: around.scoring.collection,
      parts,
      system: around.ledger.unitSystem,
      clock: around.ledger.clockHours,
      once: newMark(),
      cautions: [
        ...(kinds.some((kind) => kind.startsWith('uvi')) ? [cautions.uvAndEyes] : []),
        ...(kinds.some((kind) => kind.startsWith('water')) ? [cautions.mainsAndWater] : []),
      ],
    });
    return render(reply, 'weekend', model, { title: model.heading, current: 'roadmap', status });
  }

  function readWeekend(
    request: FastifyRequest,
    around: ReturnType<typeof gather>,
  ): { status: 'ok'; value: Typed } | ({ status: 'bad' } & FormState) {
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, string>;
    const { walks } = weekendFor(around, startForm(fields));
    const system = around.ledger.unitSystem;
    const schema = schemaOf(walks, metersOf(parts), system, around.ledger.clockHours);
    const takenIn = ({ stops }: Typed) => stops.filter((one) => one.value !== null);
    const read = parseForm(schema, fields, (typed) => {
      const errors: FormError[] = [];
      if (typed.takenOn > around.today)
        errors.push({ field: 'takenOn', message: formSentences.notLater('the day it was taken') });
      if (typed.stops.every(({ stop }) => (fields[stopFields(stop).value] ?? '').trim() === ''))
        errors.push({ field: firstField(walks), message: words.nothingTyped });
      const { readings } = around.scoring.collection;
      const readingsIn = (box: string) => readings.filter((one) => one.enclosureId === box);
      for (const { stop, value, isSure } of takenIn(typed)) {
        const before = latestOf(readingsIn(stop.enclosureId), stop.kind, typed.takenOn);
        const doubt = isSure ? null : doubtOf(stop.kind, value!.value, before);
        if (doubt === null) continue;
        const message = valueDoubtSentence(stop.kind, value!, doubt, system, around.ledger.locale);
        errors.push({ field: stopFields(stop).value, message });
      }
      return errors;
    });
    return read.status === 'ok' ? { status: 'ok', value: { ...read.value, stops: takenIn(read.value) } } : read;
  }

  function planSentences(earlier: PlanRecord | null, latest: PlanRecord | null): string[] {
    if (latest === null || earlier === null || latest.id === earlier.id) return [words.notPlanned];
    if (!('buys' in latest.answer) || !('buys' in earlier.answer)) return [words.notPlanned];
    const priced = new Map(listUpgrades(db).flatMap((one) => (one.priceHigh > 0 ? [[one.id, one.name]] : [])));
    const passed = earlier.firstMonth === latest.firstMonth ? earlier.answer.buys : [];
    const changes = planChanges(passed, latest.answer.buys).filter((one) => priced.has(one.purchase));
    const named = (which: typeof changes) => listed(which.map((one) => `“${priced.get(one.purchase)}”`));
    const dropped = changes.filter((one) => one.is === null);
    const taken = changes.filter((one) => one.was === null);
    const moved = changes.length - dropped.length - taken.length;
    if (changes.length === 0) return [words.samePlan];
    return [
      ...(dropped.length === 0 ? [] : [words.dropped(named(dropped))]),
      ...(taken.length === 0 ? [] : [words.taken(named(taken))]),
      ...(moved === 0 ? [] : [words.moved(moved)]),
    ];
  }
}

function firstField(walks: readonly Walk[]): string {
  const first = walks[0]?.stops[0];
  return first === undefined ? '' : stopFields(first).value;
}

function schemaOf(
  walks: readonly Walk[],
  meters: readonly { id: string }[],
  system: UnitSystem,
  clock: ClockHours,
): z.ZodType<Typed> {
  const stops = walks.flatMap(({ time, stops }) => stops.map((stop) => ({ time, stop })));
  return formOf({
    takenOn: dateField('the day it was taken'),
    ...Object.fromEntries(meters.map(({ id }) => [meterField(id), checkbox('whether the meter is at hand')])),
    ...Object.fromEntries(walks.map(({ time }) => [stopHourField(time), optionalHour('the hour', clock)])),
    ...Object.fromEntries(
      stops.flatMap(({ stop }) => {
        const names = stopFields(stop);
        const what = `the ${lowerFirst(readingNames[stop.kind])}`;
        return [
          [names.value, optionalQuantity(what, readingDimensions[stop.kind], system)],
          [names.sure, checkbox('whether the value is right')],
        ] as const;
      }),
    ),
  }).transform(
    (fields: Record<string, unknown>): Typed => ({
      takenOn: fields.takenOn as PlainDate,
      stops: stops.map(({ time, stop }) => {
        const names = stopFields(stop);
        return {
          stop,
          value: fields[names.value] as Quantity | null,
          isSure: fields[names.sure] as boolean,
          hour: fields[stopHourField(time)] as number | null,
        };
      }),
    }),
  );
}

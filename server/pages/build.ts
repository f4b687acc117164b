// The form in which a keeper says how a box is built, where it stands, what room there is for a larger one, and what its heat was
// measured to take. A correction of these leaves the box what it was: readings in it go on counting.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { dateOfInstant, type PlainDate } from '../../src/calendar.ts';
import { type BoxBuild, MATERIALS, type Material } from '../../src/collection.ts';
import { measuresOf, parseQuantity, type Quantity, typedQuantity, type UnitSystem } from '../../src/units.ts';
import { USUAL_AIR_CHANGES } from '../../src/warmth.ts';
import { changeEnclosure, type EnclosureRecord, findEnclosure } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import { listRooms } from '../db/rooms.ts';
import {
  type Answer,
  type Conflict,
  conflictView,
  dayField,
  formPage,
  numberField,
  radioField,
  selectField,
} from '../fields.ts';
import { formSentences, quantitySentence } from '../form-words.ts';
import {
  choice,
  type FormError,
  type FormState,
  formOf,
  optional,
  optionalChoice,
  optionalDate,
  optionalDecimal,
  optionalQuantity,
  parseForm,
  type ReadText,
  startForm,
  type Values,
} from '../forms.ts';
import { materialNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { measureUseSentence } from '../warmth-words.ts';
import { idFrom, presentRow, versionOf } from './asked-row.ts';
import { saveOnce } from './sent-twice.ts';

type Value = {
  wall: number | null;
  frontMaterial: Material | null;
  front: number | null;
  standsOn: BoxBuild['standsOn'];
  airChanges: number | null;
  room: string | null;
  mostLength: Quantity | null;
  mostDepth: Quantity | null;
  mostHeight: Quantity | null;
  useWatts: Quantity | null;
  useInside: Quantity | null;
  useRoom: Quantity | null;
  useOn: PlainDate | null;
};

const labels = {
  wall: 'Thickness of the walls',
  frontMaterial: 'Front',
  front: 'Thickness of the front',
  standsOn: 'Stands',
  airChanges: 'Air changes an hour',
  room: 'Room',
  mostLength: 'Length there is room for',
  mostDepth: 'Depth there is room for',
  mostHeight: 'Height there is room for',
  useWatts: 'Mean watts of everything inside',
  useInside: 'Mean air inside',
  useRoom: 'Mean air of the room',
  useOn: 'Measured until',
} as const;

const standsWords: Readonly<Record<BoxBuild['standsOn'], string>> = {
  something: 'On furniture, a shelf or the floor',
  free: 'Free, with air below',
};

// Own assumption: beyond it a centimetre was meant as a millimetre, or an inch as a centimetre.
const MOST_WALL_MM = 150;

export function buildPages(app: FastifyInstance, { db, now, render }: Deps): void {
  const url = paths.enclosures.build;

  app.get(url(':id'), (request, reply) => {
    const enclosure = enclosureOf(db, request);
    const { unitSystem } = readLedger(db);
    return show(request, reply, enclosure, startForm(textsOf(enclosure.build, unitSystem)));
  });

  app.post(url(':id'), (request, reply) => {
    const enclosure = enclosureOf(db, request);
    const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const version = versionOf(request);
    const { unitSystem, timeZone } = readLedger(db);
    const rooms = roomAnswers(enclosure).map(({ value }) => value);
    const today = dateOfInstant(now(), timeZone);
    const read = parseForm(buildSchema(unitSystem, rooms), fields, (value) => mistakesOf(value, enclosure, today));
    if (read.status === 'bad') return show(request, reply, enclosure, read, { status: 422, version });
    const shownAt = () => paths.enclosures.warmth(enclosure.id);
    const outcome = saveOnce(db, request, shownAt, (tx) => {
      const { id, removedOn: _removed, version: _version, ...facts } = enclosureOf(tx, request);
      return changeEnclosure(tx, Number(id), version, { ...facts, build: buildOf(read.value) });
    });
    if (outcome === 'saved') return reply.redirect(withNotice(paths.enclosures.warmth(enclosure.id), 'saved'), 303);
    const named = (texts: Values): Values => ({
      ...texts,
      frontMaterial: materialNames[texts.frontMaterial as Material] ?? texts.frontMaterial ?? '',
      standsOn: standsWords[texts.standsOn as BoxBuild['standsOn']] ?? texts.standsOn ?? '',
      room: texts.room === '' ? '' : (roomAnswers(enclosure).find((one) => one.value === texts.room)?.label ?? ''),
    });
    const saved = named(textsOf(enclosure.build, unitSystem));
    const called = `how “${enclosure.name}” is built, or another fact of it,`;
    const conflict = conflictView(called, labels, saved, named(read.values), paths.enclosures.warmth(enclosure.id));
    return show(request, reply, enclosure, startForm(read.values), { status: 409, conflict });
  });

  function roomAnswers(enclosure: EnclosureRecord): Answer[] {
    const gone = listRooms(db, 'removed').filter((one) => one.id === enclosure.build.roomId);
    return [
      { value: '', label: 'No room of this ledger' },
      ...listRooms(db).map((one) => ({ value: one.id, label: one.name })),
      ...gone.map((one) => ({ value: one.id, label: `${one.name} (removed)` })),
    ];
  }

  function show(
    request: FastifyRequest,
    reply: FastifyReply,
    enclosure: EnclosureRecord,
    form: FormState,
    {
      status = 200,
      version = enclosure.version,
      conflict = null,
    }: { status?: number; version?: number; conflict?: Conflict | null } = {},
  ): FastifyReply {
    const { unitSystem: system } = readLedger(db);
    const heading = `How “${enclosure.name}” is built`;
    const thin =
      measuresOf(system) === 'metric'
        ? 'In mm unless you write another unit.'
        : 'In inches unless you write another unit, such as 4 mm.';
    const model = formPage(form, {
      heading,
      lead: 'What you leave empty is taken as usual, and said so. Readings go on counting: if the box itself was replaced, say so in its own form.',
      action: request.url,
      version: String(version),
      conflict,
      groups: [
        {
          legend: 'Walls and air',
          fields: [
            numberField(form, 'wall', labels.wall, { hint: thin }),
            selectField(form, 'frontMaterial', labels.frontMaterial, [
              { value: '', label: `As the walls: ${materialNames[enclosure.material].toLowerCase()}` },
              ...MATERIALS.map((value) => ({ value, label: materialNames[value] })),
            ]),
            numberField(form, 'front', labels.front),
            radioField(form, 'standsOn', labels.standsOn, [
              { value: 'something', label: standsWords.something },
              { value: 'free', label: standsWords.free },
            ]),
            numberField(form, 'airChanges', labels.airChanges, {
              inputMode: 'decimal',
              hint: `How often its vents change the air inside. Taken as ${USUAL_AIR_CHANGES} when empty (own assumption).`,
            }),
          ],
        },
        {
          legend: 'Where it stands',
          fields: [
            selectField(form, 'room', labels.room, roomAnswers(enclosure)),
            numberField(form, 'mostLength', labels.mostLength, {
              hint: 'The most that an enclosure in this place may measure on the outside.',
            }),
            numberField(form, 'mostDepth', labels.mostDepth),
            numberField(form, 'mostHeight', labels.mostHeight),
          ],
        },
        {
          legend: 'Heat use as measured',
          fields: [
            numberField(form, 'useWatts', labels.useWatts, { hint: measureUseSentence, suffix: 'W' }),
            numberField(form, 'useInside', labels.useInside),
            numberField(form, 'useRoom', labels.useRoom),
            dayField(form, 'useOn', labels.useOn),
          ],
        },
      ],
      submit: 'Save',
      cancel: paths.enclosures.warmth(enclosure.id),
      related: { href: paths.rooms.list, label: 'Rooms and sockets' },
    });
    return render(reply, 'form', model, { title: heading, current: 'enclosures', status });
  }
}

function enclosureOf(session: Session, request: FastifyRequest): EnclosureRecord {
  return presentRow(findEnclosure(session, idFrom(request.params)));
}

function buildSchema(system: UnitSystem, rooms: readonly string[]): z.ZodType<Value> {
  return formOf({
    wall: optional(readThickness('the thickness of the walls', system)),
    frontMaterial: optionalChoice('the front', MATERIALS),
    front: optional(readThickness('the thickness of the front', system)),
    standsOn: choice('how it stands', ['something', 'free']),
    airChanges: optionalDecimal('the air changes', 0.1, 100, ''),
    room: optionalChoice('the room', rooms),
    mostLength: optionalQuantity('the length there is room for', 'length', system),
    mostDepth: optionalQuantity('the depth there is room for', 'length', system),
    mostHeight: optionalQuantity('the height there is room for', 'length', system),
    useWatts: optionalQuantity('the mean watts', 'power', system),
    useInside: optionalQuantity('the mean air inside', 'temperature', system),
    useRoom: optionalQuantity('the mean air of the room', 'temperature', system),
    useOn: optionalDate('the day'),
  });
}

// Walls are measured in millimetres, so that a bare 4 is never taken for four centimetres.
function readThickness(label: string, system: UnitSystem) {
  return (typed: string): ReadText<number> => {
    const bare = measuresOf(system) === 'metric' && /^[\d.,]+$/.test(typed.trim());
    const read = parseQuantity(bare ? `${typed.trim()} mm` : typed, 'length', system);
    if (read.status === 'bad') return { status: 'bad', message: quantitySentence(label, read) };
    return read.quantity.value > MOST_WALL_MM
      ? { status: 'bad', message: `Check ${label}: no box has walls thicker than ${MOST_WALL_MM} mm.` }
      : { status: 'ok', value: read.quantity.value };
  };
}

function mistakesOf(value: Value, enclosure: EnclosureRecord, today: PlainDate): FormError[] {
  const errors: FormError[] = [];
  const use = ['useWatts', 'useInside', 'useRoom', 'useOn'] as const;
  if (use.some((field) => value[field] !== null))
    for (const field of use)
      if (value[field] === null)
        errors.push({ field, message: 'Fill in all four figures of the measured heat use, or none of them.' });
  if (value.useOn !== null && value.useOn > today)
    errors.push({ field: 'useOn', message: formSentences.notLater('the day') });
  if (value.useOn !== null && value.useOn < enclosure.boxSince)
    errors.push({
      field: 'useOn',
      message: formSentences.notBefore('the day', 'the day the box was set up in this form and place'),
    });
  return errors;
}

function buildOf(value: Value): BoxBuild {
  const { useWatts, useInside, useRoom, useOn } = value;
  return {
    wallMm: value.wall,
    frontMaterial: value.frontMaterial,
    frontMm: value.front,
    standsOn: value.standsOn,
    airChanges: value.airChanges,
    heatUse:
      useWatts === null || useInside === null || useRoom === null || useOn === null
        ? null
        : { watts: useWatts.value, insideCelsius: useInside.value, roomCelsius: useRoom.value, on: useOn },
    roomId: value.room,
    mostLengthMm: value.mostLength?.value ?? null,
    mostDepthMm: value.mostDepth?.value ?? null,
    mostHeightMm: value.mostHeight?.value ?? null,
  };
}

function textsOf(build: BoxBuild, system: UnitSystem): Values {
  const { heatUse } = build;
  const text = (value: number | null | undefined, dimension: Parameters<typeof typedQuantity>[1]) =>
    value === null || value === undefined ? '' : typedQuantity(value, dimension, system);
  const thin = (mm: number | null) =>
    mm !== null && measuresOf(system) === 'metric' ? `${mm} mm` : text(mm, 'length');
  return {
    wall: thin(build.wallMm),
    frontMaterial: build.frontMaterial ?? '',
    front: thin(build.frontMm),
    standsOn: build.standsOn,
    airChanges: build.airChanges === null ? '' : String(build.airChanges),
    room: build.roomId ?? '',
    mostLength: text(build.mostLengthMm, 'length'),
    mostDepth: text(build.mostDepthMm, 'length'),
    mostHeight: text(build.mostHeightMm, 'length'),
    useWatts: text(heatUse?.watts, 'power'),
    useInside: text(heatUse?.insideCelsius, 'temperature'),
    useRoom: text(heatUse?.roomCelsius, 'temperature'),
    useOn: heatUse?.on ?? '',
  };
}

// The pages of rooms and sockets: both lists with the load of every socket, the forms in which they are entered, and the one that says
// what is plugged into a socket.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import { isFitted } from '../../src/collection.ts';
import { OUTLET_RULES } from '../../src/load.ts';
import { OUTLET_RULE_NAMES, type OutletRuleName } from '../../src/rooms.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { loadCollection } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import {
  addOutlet,
  addRoom,
  changeOutlet,
  changeRoom,
  findOutlet,
  findRoom,
  listOutlets,
  listRooms,
  type OutletFacts,
  type OutletRecord,
  plugIn,
  plugsVersion,
  putBackOutlet,
  putBackRoom,
  type RoomFacts,
  type RoomRecord,
  removeOutlet,
  removeRoom,
} from '../db/rooms.ts';
import {
  type Answer,
  type Conflict,
  checkboxField,
  conflictView,
  formPage,
  notesField,
  numberField,
  selectField,
  textField,
} from '../fields.ts';
import { formSentences, temperatureHint } from '../form-words.ts';
import {
  checkbox,
  choice,
  decimalField,
  type FormError,
  type FormState,
  formOf,
  optionalDecimal,
  optionalQuantity,
  optionalText,
  optionalWholeNumber,
  parseForm,
  requiredText,
  startForm,
} from '../forms.ts';
import { monthNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { outletRuleNames, provenanceLine, socketCautions } from '../warmth-words.ts';
import { idFrom, presentRow, versionOf } from './asked-row.ts';
import { roomsPage } from './rooms.view.ts';
import { type KindQuestion, registerRowPages } from './row-form.ts';
import { saveOnce } from './sent-twice.ts';

const urls = paths.rooms;

export function roomPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, render } = deps;

  app.get(urls.list, (_request, reply) => {
    const ledger = readLedger(db);
    const model = roomsPage({
      rooms: { kept: listRooms(db), removed: listRooms(db, 'removed') },
      outlets: { kept: listOutlets(db), removed: listOutlets(db, 'removed') },
      collection: loadCollection(db),
      today: dateOfInstant(now(), ledger.timeZone),
      locale: ledger.locale,
      system: ledger.unitSystem,
    });
    return render(reply, 'rooms', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.list, label: 'All enclosures' },
    });
  });

  registerRoomForms(app, deps);
  registerOutletForms(app, deps);

  app.get(urls.sockets.things(':id'), (request, reply) => {
    const outlet = standingOutlet(request);
    const things = thingsHere();
    const texts = Object.fromEntries(
      things.map((one) => [thingField(one.id), one.outletId === outlet.id ? 'yes' : '']),
    );
    return showThings(request, reply, outlet, startForm(texts));
  });

  app.post(urls.sockets.things(':id'), (request, reply) => {
    const outlet = standingOutlet(request);
    const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const version = versionOf(request);
    const things = thingsHere();
    const rules = formOf(Object.fromEntries(things.map((one) => [thingField(one.id), checkbox(one.label)])));
    const read = parseForm(rules, fields);
    if (read.status === 'bad') return showThings(request, reply, outlet, read, { status: 422, version });
    const ticked = read.value as Record<string, boolean>;
    const idsOf = (isTicked: boolean) =>
      things.filter((one) => ticked[thingField(one.id)] === isTicked).map(({ id }) => id);
    const shownAt = () => urls.list;
    const outcome = saveOnce(db, request, shownAt, (tx) =>
      plugIn(tx, Number(outlet.id), version, { plugged: idsOf(true), unplugged: idsOf(false) }),
    );
    if (outcome === 'saved') return reply.redirect(withNotice(urls.list, 'saved'), 303);
    const others = listOutlets(db);
    const saved = Object.fromEntries(
      things.map(({ id, outletId }) => {
        const elsewhere = others.find((other) => other.id === outletId)?.name;
        return [thingField(id), outletId === outlet.id ? 'plugged in' : elsewhere ? `in “${elsewhere}”` : ''];
      }),
    );
    const typed = Object.fromEntries(
      things.map((one) => [thingField(one.id), ticked[thingField(one.id)] === true ? 'plugged in' : '']),
    );
    const names = Object.fromEntries(things.map((one) => [thingField(one.id), one.label]));
    const conflict = conflictView(`what is plugged into “${outlet.name}”`, names, saved, typed, urls.list);
    return showThings(request, reply, outlet, startForm(read.values), { status: 409, conflict });
  });

  function standingOutlet(request: FastifyRequest): OutletRecord {
    return presentRow(findOutlet(db, idFrom(request.params)));
  }

  function thingsHere(): { id: string; label: string; outletId: string | null }[] {
    const today = dateOfInstant(now(), readLedger(db).timeZone);
    const { fittings, enclosures } = loadCollection(db);
    return fittings
      .filter((one) => isFitted(one, today))
      .map(({ id, name, enclosureId, outletId }) => ({
        id,
        outletId,
        label: `${name} in ${enclosures.find((one) => one.id === enclosureId)!.name}`,
      }));
  }

  function showThings(
    request: FastifyRequest,
    reply: FastifyReply,
    outlet: OutletRecord,
    form: FormState,
    {
      status = 200,
      version = plugsVersion(db),
      conflict = null,
    }: { status?: number; version?: number; conflict?: Conflict | null } = {},
  ): FastifyReply {
    const heading = `Plugged into “${outlet.name}”`;
    const outlets = listOutlets(db);
    const things = thingsHere();
    const model = formPage(form, {
      heading,
      lead:
        things.length === 0
          ? 'Nothing is entered as fitted yet.'
          : 'Tick what is plugged in, also through a thermostat, a timer or a strip.',
      action: request.url,
      version: String(version),
      conflict,
      cautions: socketCautions,
      groups: [
        {
          legend: null,
          fields: things.map((one) => {
            const elsewhere = outlets.find((other) => other.id === one.outletId && other.id !== outlet.id);
            const hint = elsewhere === undefined ? {} : { hint: `Now in “${elsewhere.name}”; a tick moves it here.` };
            return checkboxField(form, thingField(one.id), one.label, hint);
          }),
        },
      ],
      submit: 'Save',
      cancel: urls.list,
    });
    return render(reply, 'form', model, { title: heading, current: 'enclosures', status });
  }
}

const thingField = (id: string) => `thing-${id}`;

type RoomAround = { system: UnitSystem; today: PlainDate; inside: number };

type RoomValue = {
  name: string;
  coldest: Quantity | null;
  coldestMonth: number | null;
  hottest: Quantity | null;
  hottestMonth: number | null;
  notes: string;
};

const roomLabels = {
  name: 'Name',
  coldest: 'Mean temperature of its coldest month',
  coldestMonth: 'Coldest month',
  hottest: 'Mean temperature of its hottest month',
  hottestMonth: 'Hottest month',
  notes: 'Notes',
} as const;

const monthAnswers: Answer[] = [
  { value: '', label: 'Not measured' },
  ...monthNames.map((label, index) => ({ value: String(index + 1), label })),
];

const MOST_ROOM_CELSIUS = 60;

function registerRoomForms(app: FastifyInstance, deps: Deps): void {
  registerRowPages<RoomAround, RoomValue, RoomRecord>(app, deps, {
    urls: { new: urls.new, edit: urls.edit(':id'), remove: urls.remove(':id'), putBack: urls.putBack(':id') },
    menu: 'enclosures',
    called: (row) => `“${row.name}”`,
    gather: (session, request) => {
      const ledger = readLedger(session);
      const { id } = request.params as { id?: string };
      const boxes = loadCollection(session).enclosures.filter((one) => id !== undefined && one.build.roomId === id);
      const sockets = listOutlets(session).filter((one) => id !== undefined && one.roomId === id);
      return {
        system: ledger.unitSystem,
        today: dateOfInstant(deps.now(), ledger.timeZone),
        inside: boxes.length + sockets.length,
      };
    },
    find: (session, id) => findRoom(session, id),
    schema: ({ system }): z.ZodType<RoomValue> =>
      formOf({
        name: requiredText('the name', 80),
        coldest: optionalQuantity('the temperature of the coldest month', 'temperature', system),
        coldestMonth: optionalWholeNumber('the coldest month', 1, 12),
        hottest: optionalQuantity('the temperature of the hottest month', 'temperature', system),
        hottestMonth: optionalWholeNumber('the hottest month', 1, 12),
        notes: optionalText('the notes', 4000),
      }),
    mistakes: (_around, value) => roomMistakes(value),
    first: () => ({}),
    texts: (_around, row) => ({
      name: row.name,
      coldest: row.coldestTyped,
      coldestMonth: row.coldest === null ? '' : String(row.coldest.month),
      hottest: row.hottestTyped,
      hottestMonth: row.hottest === null ? '' : String(row.hottest.month),
      notes: row.notes,
    }),
    labels: roomLabels,
    form: ({ system }, form, row) => ({
      heading: row === null ? 'Enter a room' : `Change “${row.name}”`,
      groups: [
        { legend: null, fields: [textField(form, 'name', roomLabels.name)] },
        {
          legend: 'As measured beside the enclosures',
          fields: [
            numberField(form, 'coldest', roomLabels.coldest, {
              hint: `${temperatureHint(system)} The mean of days and nights, with the heating as it usually runs.`,
            }),
            selectField(form, 'coldestMonth', roomLabels.coldestMonth, monthAnswers),
            numberField(form, 'hottest', roomLabels.hottest, { hint: 'Days and nights in the mean, as before.' }),
            selectField(form, 'hottestMonth', roomLabels.hottestMonth, monthAnswers),
          ],
        },
        { legend: null, fields: [notesField(form, 'notes', roomLabels.notes)] },
      ],
      submit: row === null ? 'Enter this room' : 'Save',
      cancel: urls.list,
    }),
    add: (session, _around, value) => addRoom(session, roomFacts(value)),
    change: (session, _around, row, version, value) => changeRoom(session, Number(row.id), version, roomFacts(value)),
    confirm: ({ inside }, row) => ({
      heading: `Remove “${row.name}”?`,
      lead: 'It can be put back at any time from the list of rooms.',
      consequences:
        inside === 0
          ? []
          : [`Enclosures and sockets in it (${inside}) are kept and stand in no room until it is put back.`],
      submit: 'Remove this room',
    }),
    remove: (session, { today }, row, version) => removeRoom(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackRoom(session, Number(row.id), version),
    shownAt: () => urls.list,
    listedAt: () => urls.list,
  });
}

function roomMistakes({ coldest, coldestMonth, hottest, hottestMonth }: RoomValue): FormError[] {
  const errors: FormError[] = [];
  for (const [field, quantity, month] of [
    ['coldest', coldest, coldestMonth],
    ['hottest', hottest, hottestMonth],
  ] as const) {
    if (quantity === null && month !== null)
      errors.push({ field, message: 'Fill in the temperature of this month, or choose “Not measured” as its month.' });
    if (quantity !== null && month === null)
      errors.push({ field: `${field}Month`, message: 'Choose the month in which this was measured.' });
    if (quantity !== null && quantity.value > MOST_ROOM_CELSIUS)
      errors.push({ field, message: formSentences.roomTooHot });
  }
  if (errors.length === 0 && coldest !== null && hottest !== null && coldest.value > hottest.value)
    errors.push({
      field: 'hottest',
      message: 'Check both temperatures: the hottest month is colder than the coldest.',
    });
  return errors;
}

function roomFacts({ name, coldest, coldestMonth, hottest, hottestMonth, notes }: RoomValue): RoomFacts {
  const monthOf = (quantity: Quantity | null, month: number | null) =>
    quantity === null || month === null ? null : { celsius: quantity.value, month };
  return {
    name,
    coldest: monthOf(coldest, coldestMonth),
    coldestTyped: coldest?.typed ?? '',
    hottest: monthOf(hottest, hottestMonth),
    hottestTyped: hottest?.typed ?? '',
    notes,
  };
}

type OutletAround = {
  today: PlainDate;
  rooms: Answer[];
  /** The rule that the address names for a new socket; null when it names none. */
  rule: OutletRuleName | null;
  plugged: number;
};

type OutletValue = {
  name: string;
  room: string;
  rule: OutletRuleName;
  volts: number;
  circuitAmps: number;
  plugAmps: number | null;
  leadAmps: number | null;
  notes: string;
};

const outletLabels = {
  name: 'Name',
  room: 'Room',
  rule: 'Rule',
  volts: 'Mains voltage',
  circuitAmps: 'Its circuit or socket may carry',
  plugAmps: 'Fuse in the plug',
  leadAmps: 'Rating of the lead or strip',
  notes: 'Notes',
} as const;

const noRoom = 'none';

function registerOutletForms(app: FastifyInstance, deps: Deps): void {
  registerRowPages<OutletAround, OutletValue, OutletRecord>(app, deps, {
    urls: {
      new: urls.sockets.new,
      edit: urls.sockets.edit(':id'),
      remove: urls.sockets.remove(':id'),
      putBack: urls.sockets.putBack(':id'),
    },
    menu: 'enclosures',
    called: (row) => `“${row.name}”`,
    gather: (session, request) => {
      const { kind } = request.query as { kind?: unknown };
      const { id } = request.params as { id?: string };
      const own = id === undefined ? null : findOutlet(session, idFrom(request.params))?.roomId;
      const gone = listRooms(session, 'removed').filter((one) => one.id === own);
      return {
        today: dateOfInstant(deps.now(), readLedger(session).timeZone),
        rooms: [
          { value: noRoom, label: 'No room of this ledger' },
          ...listRooms(session).map((one) => ({ value: one.id, label: one.name })),
          ...gone.map((one) => ({ value: one.id, label: `${one.name} (removed)` })),
        ],
        rule: OUTLET_RULE_NAMES.find((one) => one === kind) ?? null,
        plugged: id === undefined ? 0 : loadCollection(session).fittings.filter((one) => one.outletId === id).length,
      };
    },
    find: (session, id) => findOutlet(session, id),
    askFirst: ({ rule }) => (rule === null ? ruleQuestion : null),
    schema: ({ rooms }): z.ZodType<OutletValue> =>
      formOf({
        name: requiredText('the name', 80),
        room: choice(
          'the room',
          rooms.map(({ value }) => value),
        ),
        rule: choice('the rule', OUTLET_RULE_NAMES),
        volts: decimalField('the mains voltage', 90, 260, 'V'),
        circuitAmps: decimalField('what its circuit may carry', 1, 63, 'A'),
        plugAmps: optionalDecimal('the fuse in the plug', 1, 63, 'A'),
        leadAmps: optionalDecimal('the rating of the lead', 1, 63, 'A'),
        notes: optionalText('the notes', 4000),
      }),
    mistakes: () => [],
    first: ({ rule, rooms }) => {
      const figures = OUTLET_RULES[rule ?? 'own'];
      const text = (value: number | null) => (value === null ? '' : String(value));
      return {
        room: rooms[1]?.value ?? noRoom,
        rule: rule ?? 'own',
        volts: text(figures.volts),
        circuitAmps: text(figures.circuitAmps),
        plugAmps: text(figures.plugAmps),
      };
    },
    texts: (_around, row) => ({
      name: row.name,
      room: row.roomId ?? noRoom,
      rule: row.rule,
      volts: String(row.volts),
      circuitAmps: String(row.circuitAmps),
      plugAmps: row.plugAmps === null ? '' : String(row.plugAmps),
      leadAmps: row.leadAmps === null ? '' : String(row.leadAmps),
      notes: row.notes,
    }),
    labels: outletLabels,
    form: ({ rooms, rule }, form, row) => ({
      heading: row === null ? 'Enter a socket' : `Change “${row.name}”`,
      lead: provenanceLine(OUTLET_RULES[rule ?? row?.rule ?? 'own']),
      cautions: socketCautions,
      groups: [
        {
          legend: null,
          fields: [
            textField(form, 'name', outletLabels.name, {
              hint: 'Such as “Left of the window” or “Strip on the rack”.',
            }),
            selectField(form, 'room', outletLabels.room, rooms),
            selectField(
              form,
              'rule',
              outletLabels.rule,
              OUTLET_RULE_NAMES.map((value) => ({ value, label: outletRuleNames[value] })),
              { hint: 'Decides the share that may be drawn for hours on end. The figures below stay as they are.' },
            ),
          ],
        },
        {
          legend: 'Figures',
          fields: [
            numberField(form, 'volts', outletLabels.volts, { suffix: 'V', inputMode: 'decimal' }),
            numberField(form, 'circuitAmps', outletLabels.circuitAmps, { suffix: 'A', inputMode: 'decimal' }),
            numberField(form, 'plugAmps', outletLabels.plugAmps, {
              suffix: 'A',
              inputMode: 'decimal',
              hint: 'Leave it empty where plugs have no fuse.',
            }),
            numberField(form, 'leadAmps', outletLabels.leadAmps, {
              suffix: 'A',
              inputMode: 'decimal',
              hint: 'As printed on a strip, drum or extension lead, unwound. Leave it empty without one.',
            }),
          ],
        },
        { legend: null, fields: [notesField(form, 'notes', outletLabels.notes)] },
      ],
      submit: row === null ? 'Enter this socket' : 'Save',
      cancel: urls.list,
    }),
    add: (session, _around, value) => addOutlet(session, outletFacts(value)),
    change: (session, _around, row, version, value) =>
      changeOutlet(session, Number(row.id), version, outletFacts(value)),
    confirm: ({ plugged }, row) => ({
      heading: `Remove “${row.name}”?`,
      lead: 'It can be put back at any time from the list of sockets.',
      consequences:
        plugged === 0 ? [] : [`What is plugged into it (${plugged}) counts on no socket until it is put back.`],
      submit: 'Remove this socket',
    }),
    remove: (session, { today }, row, version) => removeOutlet(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackOutlet(session, Number(row.id), version),
    shownAt: () => urls.list,
    listedAt: () => urls.list,
  });
}

const ruleQuestion: KindQuestion = {
  heading: 'Enter a socket: under which rule?',
  lead: 'The usual figures of a region are where its form begins; what is printed on yours wins.',
  groups: [
    {
      legend: 'Rule',
      answers: OUTLET_RULE_NAMES.map((one) => ({
        href: urls.sockets.newOf(one),
        label: outletRuleNames[one],
        hint: provenanceLine(OUTLET_RULES[one]),
      })),
    },
  ],
  cancel: urls.list,
};

function outletFacts({ room, ...rest }: OutletValue): OutletFacts {
  return { ...rest, roomId: room === noRoom ? null : room };
}

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
import { outletRuleNames, provenanceLine, roomFormWords, socketCautions } from '../warmth-words.ts';
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
      back: { href: paths.enclosures.list, label: roomFormWords.allEnclosures },
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
        return [
          thingField(id),
          outletId === outlet.id ? roomFormWords.pluggedIn : elsewhere ? roomFormWords.inOther(elsewhere) : '',
        ];
      }),
    );
    const typed = Object.fromEntries(
      things.map((one) => [thingField(one.id), ticked[thingField(one.id)] === true ? roomFormWords.pluggedIn : '']),
    );
    const names = Object.fromEntries(things.map((one) => [thingField(one.id), one.label]));
    const conflict = conflictView(roomFormWords.whatIsPluggedInto(outlet.name), names, saved, typed, urls.list);
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
    const heading = roomFormWords.pluggedInto(outlet.name);
    const outlets = listOutlets(db);
    const things = thingsHere();
    const model = formPage(form, {
      heading,
      lead: things.length === 0 ? roomFormWords.nothingFitted : roomFormWords.tickWhatIs,
      action: request.url,
      version: String(version),
      conflict,
      cautions: socketCautions,
      groups: [
        {
          legend: null,
          fields: things.map((one) => {
            const elsewhere = outlets.find((other) => other.id === one.outletId && other.id !== outlet.id);
            const hint = elsewhere === undefined ? {} : { hint: roomFormWords.nowIn(elsewhere.name) };
            return checkboxField(form, thingField(one.id), one.label, hint);
          }),
        },
      ],
      submit: roomFormWords.save,
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
  name: roomFormWords.name,
  coldest: roomFormWords.coldestMean,
  coldestMonth: roomFormWords.coldestMonth,
  hottest: roomFormWords.hottestMean,
  hottestMonth: roomFormWords.hottestMonth,
  notes: roomFormWords.notes,
} as const;

const monthAnswers: Answer[] = [
  { value: '', label: roomFormWords.notMeasured },
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
        name: requiredText(roomFormWords.theName, 80),
        coldest: optionalQuantity(roomFormWords.theColdestMean, 'temperature', system),
        coldestMonth: optionalWholeNumber(roomFormWords.theColdestMonth, 1, 12),
        hottest: optionalQuantity(roomFormWords.theHottestMean, 'temperature', system),
        hottestMonth: optionalWholeNumber(roomFormWords.theHottestMonth, 1, 12),
        notes: optionalText(roomFormWords.theNotes, 4000),
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
      heading: row === null ? roomFormWords.enterRoom : roomFormWords.change(row.name),
      groups: [
        { legend: null, fields: [textField(form, 'name', roomLabels.name)] },
        {
          legend: roomFormWords.asMeasured,
          fields: [
            numberField(form, 'coldest', roomLabels.coldest, {
              hint: roomFormWords.meanHint(temperatureHint(system)),
            }),
            selectField(form, 'coldestMonth', roomLabels.coldestMonth, monthAnswers),
            numberField(form, 'hottest', roomLabels.hottest, { hint: roomFormWords.meanAsBefore }),
            selectField(form, 'hottestMonth', roomLabels.hottestMonth, monthAnswers),
          ],
        },
        { legend: null, fields: [notesField(form, 'notes', roomLabels.notes)] },
      ],
      submit: row === null ? roomFormWords.enterThisRoom : roomFormWords.save,
      cancel: urls.list,
    }),
    add: (session, _around, value) => addRoom(session, roomFacts(value)),
    change: (session, _around, row, version, value) => changeRoom(session, Number(row.id), version, roomFacts(value)),
    confirm: ({ inside }, row) => ({
      heading: roomFormWords.remove(row.name),
      lead: roomFormWords.roomPutBack,
      consequences: inside === 0 ? [] : [roomFormWords.roomKept(inside)],
      submit: roomFormWords.removeRoom,
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
    if (quantity === null && month !== null) errors.push({ field, message: roomFormWords.needsTemperature });
    if (quantity !== null && month === null) errors.push({ field: `${field}Month`, message: roomFormWords.needsMonth });
    if (quantity !== null && quantity.value > MOST_ROOM_CELSIUS)
      errors.push({ field, message: formSentences.roomTooHot });
  }
  if (errors.length === 0 && coldest !== null && hottest !== null && coldest.value > hottest.value)
    errors.push({
      field: 'hottest',
      message: roomFormWords.checkBoth,
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
  name: roomFormWords.name,
  room: roomFormWords.room,
  rule: roomFormWords.rule,
  volts: roomFormWords.voltage,
  circuitAmps: roomFormWords.mayCarry,
  plugAmps: roomFormWords.plugFuse,
  leadAmps: roomFormWords.leadRating,
  notes: roomFormWords.notes,
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
          { value: noRoom, label: roomFormWords.noRoom },
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
        name: requiredText(roomFormWords.theName, 80),
        room: choice(
          roomFormWords.theRoom,
          rooms.map(({ value }) => value),
        ),
        rule: choice(roomFormWords.theRule, OUTLET_RULE_NAMES),
        volts: decimalField(roomFormWords.theVoltage, 90, 260, 'V'),
        circuitAmps: decimalField(roomFormWords.whatMayBeCarried, 1, 63, 'A'),
        plugAmps: optionalDecimal(roomFormWords.thePlugFuse, 1, 63, 'A'),
        leadAmps: optionalDecimal(roomFormWords.theLeadRating, 1, 63, 'A'),
        notes: optionalText(roomFormWords.theNotes, 4000),
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
      heading: row === null ? roomFormWords.enterSocket : roomFormWords.change(row.name),
      lead: provenanceLine(OUTLET_RULES[rule ?? row?.rule ?? 'own']),
      cautions: socketCautions,
      groups: [
        {
          legend: null,
          fields: [
            textField(form, 'name', outletLabels.name, {
              hint: roomFormWords.socketNameHint,
            }),
            selectField(form, 'room', outletLabels.room, rooms),
            selectField(
              form,
              'rule',
              outletLabels.rule,
              OUTLET_RULE_NAMES.map((value) => ({ value, label: outletRuleNames[value] })),
              { hint: roomFormWords.ruleHint },
            ),
          ],
        },
        {
          legend: roomFormWords.figures,
          fields: [
            numberField(form, 'volts', outletLabels.volts, { suffix: 'V', inputMode: 'decimal' }),
            numberField(form, 'circuitAmps', outletLabels.circuitAmps, { suffix: 'A', inputMode: 'decimal' }),
            numberField(form, 'plugAmps', outletLabels.plugAmps, {
              suffix: 'A',
              inputMode: 'decimal',
              hint: roomFormWords.plugFuseHint,
            }),
            numberField(form, 'leadAmps', outletLabels.leadAmps, {
              suffix: 'A',
              inputMode: 'decimal',
              hint: roomFormWords.leadRatingHint,
            }),
          ],
        },
        { legend: null, fields: [notesField(form, 'notes', outletLabels.notes)] },
      ],
      submit: row === null ? roomFormWords.enterThisSocket : roomFormWords.save,
      cancel: urls.list,
    }),
    add: (session, _around, value) => addOutlet(session, outletFacts(value)),
    change: (session, _around, row, version, value) =>
      changeOutlet(session, Number(row.id), version, outletFacts(value)),
    confirm: ({ plugged }, row) => ({
      heading: roomFormWords.remove(row.name),
      lead: roomFormWords.socketPutBack,
      consequences: plugged === 0 ? [] : [roomFormWords.socketKept(plugged)],
      submit: roomFormWords.removeSocket,
    }),
    remove: (session, { today }, row, version) => removeOutlet(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackOutlet(session, Number(row.id), version),
    shownAt: () => urls.list,
    listedAt: () => urls.list,
  });
}

const ruleQuestion: KindQuestion = {
  heading: roomFormWords.underWhichRule,
  lead: roomFormWords.underWhichRuleLead,
  groups: [
    {
      legend: roomFormWords.rule,
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

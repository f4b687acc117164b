// The pages by which fitted things are entered, changed, moved, renewed, retired and removed. Retiring says that a thing was used until a
// day; removing says that it was entered by mistake; renewing says that a new one was paid for.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { dateOfInstant } from '../../src/calendar.ts';
import { FITTING_KINDS, isBroken } from '../../src/collection.ts';
import { usuallyInUseSince } from '../../src/first-facts.ts';
import { typedMoney } from '../../src/money.ts';
import { retireBroken } from '../db/breakdowns.ts';
import {
  addFitting,
  changeFitting,
  type FittingFacts,
  type FittingRecord,
  findEnclosure,
  findFitting,
  listFittings,
  putBackFitting,
  removeFitting,
  type Saved,
} from '../db/collection.ts';
import { noteAssumption } from '../db/first-steps.ts';
import { readLedger } from '../db/ledger.ts';
import { renewFitting } from '../db/money.ts';
import { keepLeftOver } from '../db/old-things.ts';
import type { Session, Tx } from '../db/open.ts';
import { type Conflict, dayField, type FormPageParts, formPage, numberField, radioField } from '../fields.ts';
import { useSentence } from '../fitting-words.ts';
import { formSentences } from '../form-words.ts';
import { choice, dateField, type FormState, formOf, moneyField, parseForm, startForm, type Values } from '../forms.ts';
import { fittingNames } from '../kind-words.ts';
import { thermostatHint, thermostatQuestion } from '../measuring-words.ts';
import { paidHint } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { idFrom, presentRow, versionOf } from './asked-row.ts';
import {
  type AroundFitting,
  cautionsFor,
  type FittingValue,
  fittingForm,
  fittingLabels,
  fittingMistakes,
  fittingSchema,
  fittingTexts,
  has,
  kindQuestion,
} from './fittings.view.ts';
import { lampRead, usualOrigin } from './lamp-fields.ts';
import { nextLeftOver } from './old-things.ts';
import { registerRowPages } from './row-form.ts';
import { saveOnce } from './sent-twice.ts';
import { lateConflict } from './too-late.ts';

export function fittingPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, render } = deps;
  const urls = paths.enclosures.fittings;

  registerRowPages<AroundFitting, FittingValue, FittingRecord>(app, deps, {
    urls: {
      new: urls.new(':enclosure'),
      edit: urls.edit(':enclosure', ':id'),
      remove: urls.remove(':enclosure', ':id'),
      putBack: urls.putBack(':enclosure', ':id'),
    },
    menu: 'enclosures',
    called: (row) => `“${row.name}”`,
    gather,
    find: (session, id, { enclosure }) => {
      const row = findFitting(session, id);
      return row === null || row.enclosureId !== enclosure.id ? null : row;
    },
    askFirst: ({ kind, enclosure }) => (kind === null ? kindQuestion(enclosure) : null),
    schema: fittingSchema,
    mistakes: fittingMistakes,
    first: ({ kind }) => ({
      name: kind === null ? '' : fittingNames[kind],
      whenBoxReplaced: 'moves',
      ...(kind !== null && has(kind, 'lamp') ? { lampFrom: usualOrigin(kind), lampReflector: 'unknown' } : {}),
      place: kind === 'moist-hide' ? 'moist' : '',
      // Yearly renewal of a UV-B tube is common practice, no source.
      lifeMonths: kind === 'uv-tube' ? '12' : '',
    }),
    texts: fittingTexts,
    labels: fittingLabels,
    form: fittingForm,
    add: (session, around, value) => {
      const rowId = addFitting(session, factsOf(around, value, null));
      if (value.fittedOn === null) noteAssumption(session, { of: 'fitting', rowId }, 'thing-in-use-for-a-year');
      return rowId;
    },
    change: (session, around, row, version, value) =>
      changeFitting(session, Number(row.id), version, factsOf(around, value, row)),
    confirm: (_around, row) => ({
      heading: `Remove “${row.name}”?`,
      lead: 'Remove it only if it was entered by mistake: then it counts as never fitted. If it was used and is used no longer, retire it instead.',
      consequences: ['It can be put back from the page of its enclosure.'],
      submit: 'Remove: it was entered by mistake',
    }),
    remove: (session, { today }, row, version) => removeFitting(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackFitting(session, Number(row.id), version),
    shownAt: ({ enclosure }) => paths.enclosures.show(enclosure.id),
    listedAt: ({ enclosure }) => paths.enclosures.show(enclosure.id),
  });

  step(urls.retire(':enclosure', ':id'), 'retired', {
    texts: (row, { today }) => ({ retiredOn: row.retiredOn ?? today }),
    read(fields, row, { today }) {
      const read = parseForm(formOf({ retiredOn: dateField('the day') }), fields);
      if (read.status === 'bad') return read;
      const { retiredOn } = read.value;
      if (retiredOn < row.fittedOn)
        return withError(read.values, 'retiredOn', formSentences.notBefore('the day', 'the day it was fitted'));
      const { id, removedOn: _, version: _version, ...facts } = row;
      return {
        status: 'ok',
        values: read.values,
        save: (tx, version) =>
          isBroken(row)
            ? retireBroken(tx, Number(id), version, { retiredOn, today })
            : changeFitting(tx, Number(id), version, { ...facts, retiredOn }),
      };
    },
    form: (form, row) => ({
      heading: `Retire “${row.name}”?`,
      lead: 'From that day on it no longer counts. What was read while it was in use and hangs on it becomes an estimate.',
      groups: [{ legend: null, fields: [dayField(form, 'retiredOn', 'Not in use since')] }],
      submit: 'Retire it',
    }),
  });

  step(urls.look(':enclosure', ':id'), 'saved', {
    texts: () => ({ there: 'unknown' }),
    read(fields, row, { today }) {
      const read = parseForm(formOf({ there: choice('whether there is one', ['yes', 'no', 'unknown']) }), fields);
      if (read.status === 'bad') return read;
      const { id, removedOn: _, version: _version, ...facts } = row;
      return {
        status: 'ok',
        values: read.values,
        save: (tx, version) => {
          // Somebody else has answered.
          if (row.kind !== 'unknown-thermostat') return 'conflict';
          switch (read.value.there) {
            case 'yes':
              return changeFitting(tx, Number(id), version, {
                ...facts,
                kind: 'thermostat',
                name: fittingNames.thermostat,
              });
            case 'no':
              return removeFitting(tx, Number(id), version, today);
            case 'unknown':
              return 'saved';
          }
        },
      };
    },
    form: (form, row, { others }) => ({
      heading: thermostatQuestion(others.find((one) => one.id === row.regulates)?.name ?? ''),
      lead: thermostatHint,
      groups: [
        {
          legend: null,
          fields: [
            radioField(form, 'there', 'What did you find?', [
              { value: 'yes', label: 'A thermostat holds it' },
              { value: 'no', label: 'There is none' },
              { value: 'unknown', label: 'I do not know yet' },
            ]),
          ],
        },
      ],
      submit: 'Write it down',
    }),
  });

  step(urls.renewed(':enclosure', ':id'), 'renewed', {
    texts: ({ renewalPrice }, { today, currency }) => ({
      renewedOn: today,
      paid: renewalPrice === null ? '' : typedMoney(renewalPrice, currency),
    }),
    read(fields, row, { today, currency }) {
      const rules = formOf({ renewedOn: dateField('the day'), paid: moneyField('the sum paid', currency) });
      const read = parseForm(rules, fields);
      if (read.status === 'bad') return read;
      const { renewedOn, paid } = read.value;
      if (renewedOn > today) return withError(read.values, 'renewedOn', formSentences.notLater('the day'));
      if (renewedOn < row.fittedOn)
        return withError(read.values, 'renewedOn', formSentences.notBefore('the day', 'the day it was fitted'));
      if (row.retiredOn !== null && renewedOn > row.retiredOn)
        return withError(read.values, 'renewedOn', formSentences.notAfter('the day', 'the day it was retired'));
      return {
        status: 'ok',
        values: read.values,
        save: (tx, version) => {
          const saved = renewFitting(tx, Number(row.id), version, renewedOn, paid);
          if (saved === 'saved') keepLeftOver(tx, row, renewedOn);
          return saved;
        },
      };
    },
    form: (form, row, { currency }) => ({
      heading: `Renewed: “${row.name}”`,
      lead: 'A new one of the same kind is in its place: its life begins anew. What was read before and hangs on it becomes an estimate.',
      cautions: cautionsFor(row.kind),
      groups: [
        {
          legend: null,
          fields: [
            dayField(form, 'renewedOn', 'Renewed on'),
            numberField(form, 'paid', 'Paid', { suffix: currency.code, hint: paidHint('Renewed', readLedger(db)) }),
          ],
        },
      ],
      submit: 'Write it down as renewed',
    }),
    // The old one lies on the table now.
    next: (row) => nextLeftOver(db, row.id),
  });

  /** A step with a form of its own that one fitted thing can take. */
  function step(url: string, notice: string, page: StepPage): void {
    app.get(url, (request, reply) => {
      const { around, row } = standing(request);
      return show(request, reply, page, row, around, startForm(page.texts(row, around)), row.version, 200);
    });

    app.post(url, (request, reply) => {
      const { around, row } = standing(request);
      const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
      const version = versionOf(request);
      const read = page.read(fields, row, around);
      if (read.status === 'bad') return show(request, reply, page, row, around, read, version, 422);
      const shownAt = () => page.next?.(row) ?? paths.enclosures.show(row.enclosureId);
      const outcome = saveOnce(db, request, shownAt, (tx) => read.save(tx, version));
      if (outcome === 'saved') return reply.redirect(withNotice(shownAt(), notice), 303);
      const typed = startForm(read.values);
      const { heading, groups } = page.form(typed, row, around);
      const conflict = lateConflict({
        heading,
        fields: groups.flatMap((one) => one.fields),
        called: `“${row.name}”`,
        state: useSentence(row, readLedger(db).locale),
        saved: { retiredOn: row.retiredOn ?? '' },
        typed: read.values,
        shownAt: paths.enclosures.show(row.enclosureId),
      });
      return show(request, reply, page, row, around, typed, row.version, 409, conflict);
    });
  }

  function standing(request: FastifyRequest): { around: AroundFitting; row: FittingRecord } {
    const around = gather(db, request);
    const row = findFitting(db, idFrom(request.params));
    return { around, row: presentRow(row?.enclosureId === around.enclosure.id ? row : null) };
  }

  function show(
    request: FastifyRequest,
    reply: FastifyReply,
    page: StepPage,
    row: FittingRecord,
    around: AroundFitting,
    form: FormState,
    version: number,
    status: number,
    conflict: Conflict | null = null,
  ): FastifyReply {
    const parts = page.form(form, row, around);
    const model = formPage(form, {
      ...parts,
      conflict,
      action: request.url,
      version: String(version),
      cancel: paths.enclosures.show(row.enclosureId),
    });
    return render(reply, 'form', model, { title: parts.heading, current: 'enclosures', status });
  }

  function gather(session: Session, request: FastifyRequest): AroundFitting {
    const id = idFrom(request.params, 'enclosure');
    const enclosure = presentRow(findEnclosure(session, id));
    const ledger = readLedger(session);
    const { kind } = request.query as { kind?: unknown };
    return {
      enclosure,
      kind: FITTING_KINDS.find((one) => one === kind) ?? null,
      system: ledger.unitSystem,
      currency: ledger.currency,
      today: dateOfInstant(now(), ledger.timeZone),
      others: listFittings(session, id),
    };
  }
}

/** What a step with a form says of itself. */
type StepPage = {
  texts: (row: FittingRecord, around: AroundFitting) => Values;
  read: (
    fields: Record<string, unknown>,
    row: FittingRecord,
    around: AroundFitting,
  ) => { status: 'ok'; values: Values; save: (tx: Tx, version: number) => Saved } | ({ status: 'bad' } & FormState);
  form: (
    form: FormState,
    row: FittingRecord,
    around: AroundFitting,
  ) => Omit<FormPageParts, 'action' | 'version' | 'cancel' | 'conflict'>;
  /** Where it goes on after the step, when not to the page of the enclosure. */
  next?: (row: FittingRecord) => string | null;
};

function withError(values: Values, field: string, message: string): { status: 'bad' } & FormState {
  return { status: 'bad', values, errors: [{ field, message }] };
}

function factsOf(
  { enclosure, kind, today }: AroundFitting,
  value: FittingValue,
  row: FittingRecord | null,
): FittingFacts {
  const which = row?.kind ?? kind!;
  const only = <T>(field: Parameters<typeof has>[1], given: T | null): T | null => (has(which, field) ? given : null);
  const distance = only('distance', value.distance);
  const moved = value.moved === 'yes';
  return {
    enclosureId: enclosure.id,
    kind: which,
    name: value.name,
    fittedOn: value.fittedOn ?? usuallyInUseSince(today),
    movedOn: moved ? (value.movedOn ?? today) : (row?.movedOn ?? null),
    retiredOn: row === null ? null : value.retiredOn,
    brokenOn: row?.brokenOn ?? null,
    lifeMonths: value.lifeMonths,
    renewalPrice: value.renewalPrice,
    watts: only('watts', value.watts)?.value ?? null,
    hoursPerDay: only('hoursPerDay', value.hoursPerDay)?.value ?? null,
    duty: dutyOf(only('duty', value.duty)?.value ?? null),
    place: only('place', value.place),
    regulates: only('regulates', value.regulates),
    guards: only('guards', value.guards),
    outOfReach: has(which, 'outOfReach') && value.outOfReach,
    lamp: has(which, 'lamp') ? lampRead(value, row?.lamp ?? null) : null,
    distanceMm: distance?.value ?? null,
    distanceTyped: distance?.typed ?? '',
    meshShare: only('mesh', value.mesh) ?? 1,
    // What it was expected to bring about was for the place it had.
    expects: row === null || moved ? [] : row.expects,
    outdoors:
      has(which, 'outdoors') && value.runLength !== null && value.runDepth !== null
        ? {
            lengthMm: value.runLength.value,
            depthMm: value.runDepth.value,
            fromMonth: value.runFrom ?? 1,
            toMonth: value.runTo ?? 12,
            shade: value.shade,
          }
        : null,
    whenBoxReplaced: value.whenBoxReplaced,
    upgradeId: row?.upgradeId ?? null,
    placed: row?.placed ?? null,
    outletId: row?.outletId ?? null,
  };
}

function dutyOf(percent: number | null): number | null {
  return percent === null ? null : percent / 100;
}

// The pages by which fitted things are entered, changed, moved, renewed, retired and removed. Retiring says that a thing was used until a
// day; removing says that it was entered by mistake; renewing says that a new one was paid for.

import type { FastifyInstance, FastifyRequest } from 'fastify';
import { dateOfInstant } from '../../src/calendar.ts';
import { FITTING_KINDS, isBroken } from '../../src/collection.ts';
import { USUAL_LAMP_LIFE, usuallyInUseSince } from '../../src/first-facts.ts';
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
} from '../db/collection.ts';
import { noteAssumption } from '../db/first-steps.ts';
import { readLedger } from '../db/ledger.ts';
import { renewFitting } from '../db/money.ts';
import { keepLeftOver } from '../db/old-things.ts';
import type { Session } from '../db/open.ts';
import { dayField, numberField, radioField } from '../fields.ts';
import { fittingFormWords, useSentence } from '../fitting-words.ts';
import { formSentences } from '../form-words.ts';
import { choice, dateField, formOf, moneyField, parseForm } from '../forms.ts';
import { fittingNames } from '../kind-words.ts';
import { thermostatHint, thermostatQuestion } from '../measuring-words.ts';
import { paidHint } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { fittingAt, idFrom, presentRow } from './asked-row.ts';
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
import { stepPages, withError } from './step-form.ts';

export function fittingPages(app: FastifyInstance, deps: Deps): void {
  const { db, now } = deps;
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
      lifeMonths: String((kind === null ? undefined : USUAL_LAMP_LIFE[kind]) ?? ''),
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
      heading: fittingFormWords.remove(row.name),
      lead: fittingFormWords.removeOrRetire,
      consequences: [fittingFormWords.putBackFrom],
      submit: fittingFormWords.removeMistake,
    }),
    remove: (session, { today }, row, version) => removeFitting(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackFitting(session, Number(row.id), version),
    shownAt: ({ enclosure }) => paths.enclosures.show(enclosure.id),
    listedAt: ({ enclosure }) => paths.enclosures.show(enclosure.id),
  });

  const step = stepPages<FittingRecord, AroundFitting>(app, deps, {
    menu: 'enclosures',
    find: (request) => ({ row: fittingAt(db, request.params).row, around: gather(db, request) }),
    shownAt: (row) => paths.enclosures.show(row.enclosureId),
    state: (row) => useSentence(row, readLedger(db).locale),
    saved: (row) => ({ retiredOn: row.retiredOn ?? '' }),
  });

  step(urls.retire(':enclosure', ':id'), 'retired', {
    texts: (row, { today }) => ({ retiredOn: row.retiredOn ?? today }),
    read(fields, row, { today }) {
      const read = parseForm(formOf({ retiredOn: dateField(fittingFormWords.theDay) }), fields);
      if (read.status === 'bad') return read;
      const { retiredOn } = read.value;
      if (retiredOn < row.fittedOn)
        return withError(
          read.values,
          'retiredOn',
          formSentences.notBefore(fittingFormWords.theDay, fittingFormWords.theDayFitted),
        );
      const { id, removedOn: _, version: _version, ...facts } = row;
      return {
        status: 'ok',
        save: (tx, version) =>
          isBroken(row)
            ? retireBroken(tx, Number(id), version, { retiredOn, today })
            : changeFitting(tx, Number(id), version, { ...facts, retiredOn }),
      };
    },
    form: (form, row) => ({
      heading: fittingFormWords.retire(row.name),
      lead: fittingFormWords.retireMeans,
      groups: [{ legend: null, fields: [dayField(form, 'retiredOn', fittingFormWords.notInUseSince)] }],
      submit: fittingFormWords.retireIt,
    }),
  });

  step(urls.look(':enclosure', ':id'), 'saved', {
    texts: () => ({ there: 'unknown' }),
    read(fields, row, { today }) {
      const read = parseForm(
        formOf({ there: choice(fittingFormWords.whetherThereIsOne, ['yes', 'no', 'unknown']) }),
        fields,
      );
      if (read.status === 'bad') return read;
      const { id, removedOn: _, version: _version, ...facts } = row;
      return {
        status: 'ok',
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
            radioField(form, 'there', fittingFormWords.whatFound, [
              { value: 'yes', label: fittingFormWords.heldByThermostat },
              { value: 'no', label: fittingFormWords.noneThere },
              { value: 'unknown', label: fittingFormWords.notKnownYet },
            ]),
          ],
        },
      ],
      submit: fittingFormWords.writeDown,
    }),
  });

  step(urls.renewed(':enclosure', ':id'), 'renewed', {
    texts: ({ renewalPrice }, { today, currency }) => ({
      renewedOn: today,
      paid: renewalPrice === null ? '' : typedMoney(renewalPrice, currency),
    }),
    read(fields, row, { today, currency, locale }) {
      const rules = formOf({
        renewedOn: dateField(fittingFormWords.theDay),
        paid: moneyField(fittingFormWords.theSumPaid, { currency, locale }),
      });
      const read = parseForm(rules, fields, ({ renewedOn }) =>
        (renewedOn > today
          ? [formSentences.notLater(fittingFormWords.theDay)]
          : renewedOn !== null && renewedOn < row.fittedOn
            ? [formSentences.notBefore(fittingFormWords.theDay, fittingFormWords.theDayFitted)]
            : row.retiredOn !== null && renewedOn > row.retiredOn
              ? [formSentences.notAfter(fittingFormWords.theDay, fittingFormWords.theDayRetired)]
              : []
        ).map((message) => ({ field: 'renewedOn', message })),
      );
      if (read.status === 'bad') return read;
      const { renewedOn, paid } = read.value;
      return {
        status: 'ok',
        save: (tx, version) => {
          const saved = renewFitting(tx, Number(row.id), version, renewedOn, paid);
          if (saved === 'saved') keepLeftOver(tx, row, renewedOn);
          return saved;
        },
      };
    },
    form: (form, row, { currency }) => ({
      heading: `Renewed: “${row.name}”`,
      lead: fittingFormWords.renewedMeans,
      cautions: cautionsFor(row.kind),
      groups: [
        {
          legend: null,
          fields: [
            dayField(form, 'renewedOn', fittingFormWords.renewedOn),
            numberField(form, 'paid', fittingFormWords.paid, {
              suffix: currency.code,
              hint: paidHint(fittingFormWords.renewed, readLedger(db)),
            }),
          ],
        },
      ],
      submit: fittingFormWords.writeDownRenewed,
    }),
    // The old one lies on the table now.
    next: (row) => nextLeftOver(db, row.id),
  });

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
      locale: ledger.locale,
      today: dateOfInstant(now(), ledger.timeZone),
      others: listFittings(session, id),
    };
  }
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
    meshShare:
      value.mesh === 'unknown' && has(which, 'mesh') ? null : ((only('mesh', value.mesh) as number | null) ?? 1),
    // What it was expected to bring about was for the place it had and the thing it held.
    expects: row === null || moved || only('regulates', value.regulates) !== row.regulates ? [] : row.expects,
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

// The pages of "It broke" and "It works after all": the day, what a new one costs and when it can be there, or that a spare is fitted
// already. A new plan begins at once; where the money is short, the form asks again with the first month in which it can be paid.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { knownPriceOf, payableAsPinned, replacementFor, withBroken } from '../../src/breakdowns.ts';
import {
  addMonths,
  dateOfInstant,
  formatMonth,
  monthOf,
  monthsBetween,
  type PlainDate,
  type PlainMonth,
  readMonth,
} from '../../src/calendar.ts';
import { influenceOf, isBroken } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import type { Money } from '../../src/money.ts';
import { formatMoney, typedMoney } from '../../src/money.ts';
import { breakdownCautions } from '../caution-words.ts';
import {
  breakFitting,
  canBeTakenBack,
  findReplacement,
  type ReplacementFacts,
  replaceBySpare,
  takeBackIntoUse,
} from '../db/breakdowns.ts';
import { type FittingRecord, listFittings } from '../db/collection.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import {
  type ConfirmPage,
  type Conflict,
  dayField,
  type FormPageParts,
  formPage,
  notesField,
  numberField,
  radioField,
} from '../fields.ts';
import { useSentence } from '../fitting-words.ts';
import { formSentences, monthExamples } from '../form-words.ts';
import {
  choice,
  dateField,
  type FormState,
  fieldReadBy,
  formOf,
  optionalChoice,
  optionalDate,
  optionalMoney,
  optionalMonth,
  optionalText,
  parseForm,
  startForm,
  type Values,
  withMistake,
} from '../forms.ts';
import { readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { gatherFacts } from '../planning.ts';
import { breakdownSentences, upgradeSentences } from '../upgrade-words.ts';
import { fittingAt, versionOf } from './asked-row.ts';
import { cautionsFor } from './fittings.view.ts';
import { nextLeftOver } from './old-things.ts';
import { whatIsMissing } from './roadmap.ts';
import { saveOnce } from './sent-twice.ts';
import { lateConflict, showTooLate } from './too-late.ts';

/** A thing with what is around it: the others there, and the upgrade on the list that puts a new one in its place, if any. */
type Around = {
  row: FittingRecord;
  others: FittingRecord[];
  replacement: UpgradeRecord | null;
  ledger: Ledger;
  today: PlainDate;
};

/** That a new one cannot be paid in its month, for the question in which month it is bought. */
type Shortage = { month: PlainMonth; by: Money; earliest: PlainMonth | null };

/** A month by name, or that the plan decides; null when it was not asked. */
type WhenBought = PlainMonth | 'open' | null;

/** The longest time that a new one may take to arrive, in months. */
const LONGEST_LEAD = 36;

export function breakdownPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, parts, planning, render } = deps;
  const urls = paths.enclosures.fittings;

  app.get(urls.broke(':enclosure', ':id'), (request, reply) => {
    const around = gather(request);
    mustBeInUse(around.row);
    return show(request, reply, around, startForm(firstTexts(around)), null, around.row.version, 200);
  });

  app.post(urls.broke(':enclosure', ':id'), (request, reply) => {
    const around = gather(request);
    const { row, ledger } = around;
    if (isBroken(row) || row.retiredOn !== null) {
      const { version: _, ...typed } = (request.body ?? {}) as Record<string, string>;
      return showTooLate(render, reply, late(around, typed), 'enclosures');
    }
    const shownAt = () => paths.enclosures.show(row.enclosureId);
    const version = versionOf(request);
    const read = readBreakdown(request.body, around);
    if (read.status === 'bad') return show(request, reply, around, read, null, version, 422);
    if (version !== row.version) return lookAgain(request, reply, around, read.values);
    const { brokeOn, spareOn, note } = read.value;
    if (spareOn !== null) {
      const asked = () => nextLeftOver(db, row.id) ?? shownAt();
      const saved = saveOnce(db, request, asked, (tx) =>
        replaceBySpare(tx, Number(row.id), version, { brokeOn, fittedOn: spareOn, note }),
      );
      if (saved === 'conflict') return lookAgain(request, reply, around, read.values);
      planAgain();
      return reply.redirect(withNotice(asked(), 'spare-fitted'), 303);
    }
    const { replacement, when } = read.value;
    if (replacement !== null) {
      const shortage = shortageOf(around, brokeOn, replacement);
      if (shortage !== null && when !== monthOf(around.today)) {
        const amount = formatMoney(shortage.by, ledger.currency, ledger.locale);
        const month = (one: PlainMonth) => formatMonth(one, ledger.locale);
        const earliest = shortage.earliest === null ? null : month(shortage.earliest);
        const sentence = breakdownSentences.short(month(shortage.month), amount, earliest);
        const form = withMistake(startForm({ ...read.values, when: shortage.earliest ?? 'open' }), 'when', sentence);
        return show(request, reply, around, form, shortage, version, 422);
      }
    }
    const saved = saveOnce(db, request, shownAt, (tx) =>
      breakFitting(tx, Number(row.id), version, { brokeOn, note, replacement }),
    );
    if (saved === 'conflict') return lookAgain(request, reply, around, read.values);
    if (planAgain()) return reply.redirect(paths.roadmap.progress, 303);
    return reply.redirect(withNotice(paths.enclosures.show(row.enclosureId), 'broke'), 303);
  });

  app.get(urls.worksAfterAll(':enclosure', ':id'), (request, reply) => {
    const { row, replacement } = gather(request);
    mustBeTakenBack(row, replacement);
    const page: ConfirmPage = {
      heading: `“${row.name}” works after all?`,
      lead: 'It counts as in use again, as before it was written down as broken.',
      consequences: [
        ...(replacement?.status === 'wanted' ? [`“${replacement.name}” is no longer bought because of it.`] : []),
        'What was read before counts again. Run it for a while and read the instruments before you trust it.',
      ],
      action: request.url,
      version: String(row.version),
      submit: 'It works after all',
      cancel: paths.enclosures.show(row.enclosureId),
    };
    return render(reply, 'confirm', page, { title: page.heading, current: 'enclosures' });
  });

  app.post(urls.worksAfterAll(':enclosure', ':id'), (request, reply) => {
    const { row, replacement, today } = gather(request);
    mustBeTakenBack(row, replacement);
    const version = versionOf(request);
    const shownAt = () => paths.enclosures.show(row.enclosureId);
    const saved = saveOnce(db, request, shownAt, (tx) => takeBackIntoUse(tx, Number(row.id), version, today));
    if (saved === 'conflict') throw new AppError('conflict', formSentences.changedMeanwhile);
    planAgain();
    return reply.redirect(withNotice(paths.enclosures.show(row.enclosureId), 'works-after-all'), 303);
  });

  function gather(request: FastifyRequest): Around {
    const { enclosure, row } = fittingAt(db, request.params);
    const ledger = readLedger(db);
    return {
      row,
      others: listFittings(db, Number(enclosure.id)),
      replacement: findReplacement(db, row.id),
      ledger,
      today: dateOfInstant(now(), ledger.timeZone),
    };
  }

  function firstTexts({ row, replacement, ledger, today }: Around): Values {
    const price = replacement?.priceHigh ?? knownPriceOf(row, parts, ledger.currency)?.price ?? null;
    return {
      brokeOn: today,
      spare: 'no',
      spareOn: today,
      price: price === null ? '' : typedMoney(price, ledger.currency),
      arrives: (replacement?.leadMonths ?? 0) > 0 ? 'later' : 'now',
      arrivesMonth: replacement === null ? '' : addMonths(monthOf(today), Math.max(1, replacement.leadMonths)),
    };
  }

  /** How far a new one bought as said is out of reach; null when it can be paid, or that cannot be told. */
  function shortageOf({ row, replacement, today }: Around, on: PlainDate, wanted: ReplacementFacts): Shortage | null {
    if (whatIsMissing(db)?.href === paths.moneyChange) return null;
    const facts = gatherFacts(db, library(), today);
    const fitting = facts.collection.fittings.find((one) => one.id === row.id)!;
    const asked = replacementFor(fitting, { ...wanted, note: '' });
    const upgrade =
      replacement === null
        ? { ...asked, id: 'new' }
        : { ...replacement, priceHigh: wanted.price, leadMonths: wanted.leadMonths, pinnedMonth: wanted.month };
    const payable = payableAsPinned(withBroken(facts, row.id, on, upgrade), upgrade.id);
    return payable.status === 'short' ? payable : null;
  }

  /** Begins a new plan where one can be made; whether it did. */
  function planAgain(): boolean {
    if (whatIsMissing(db) !== null) return false;
    planning.start();
    return true;
  }

  function lookAgain(request: FastifyRequest, reply: FastifyReply, around: Around, values: Values): FastifyReply {
    const conflict = lateConflict(late(around, values));
    return show(request, reply, around, startForm(values), null, around.row.version, 409, conflict);
  }

  function late(around: Around, typed: Values) {
    const { row, ledger } = around;
    const { heading, groups } = breakdownForm(around, startForm(typed), null);
    return {
      heading,
      fields: groups.flatMap((one) => one.fields),
      called: `“${row.name}”`,
      state: useSentence(row, ledger.locale),
      saved: { brokeOn: row.brokenOn ?? '' },
      typed,
      shownAt: paths.enclosures.show(row.enclosureId),
    };
  }

  function show(
    request: FastifyRequest,
    reply: FastifyReply,
    around: Around,
    form: FormState,
    shortage: Shortage | null,
    version: number,
    status: number,
    conflict: Conflict | null = null,
  ): FastifyReply {
    const parts = breakdownForm(around, form, shortage);
    const model = formPage(form, {
      ...parts,
      conflict,
      action: request.url,
      version: String(version),
      cancel: paths.enclosures.show(around.row.enclosureId),
    });
    return render(reply, 'form', model, { title: parts.heading, current: 'enclosures', status });
  }

  function breakdownForm(
    around: Around,
    form: FormState,
    shortage: Shortage | null,
  ): Omit<FormPageParts, 'action' | 'version' | 'cancel'> {
    const { row, others, replacement } = around;
    const hanging = influenceOf(row, others).map((kind) => readingNames[kind]);
    const bought = replacement?.status === 'ordered' ? replacement : null;
    return {
      heading: `It broke: “${row.name}”`,
      lead: [
        breakdownSentences.lead,
        ...(bought === null ? [] : [breakdownSentences.onItsWay(bought.name)]),
        ...(replacement?.status === 'wanted' ? [breakdownSentences.wantedBefore(replacement.name)] : []),
      ].join(' '),
      cautions: [...breakdownCautions(row.kind, row.watts !== null), ...cautionsFor(row.kind)],
      groups: [
        ...(shortage === null ? [] : [{ legend: null, fields: [whenField(around, form, shortage)] }]),
        {
          legend: null,
          fields: [
            dayField(
              form,
              'brokeOn',
              'Broken since',
              hanging.length === 0
                ? {}
                : { hint: `${breakdownSentences.noLongerHolds(hanging)} ${breakdownSentences.readOnTheDay}` },
            ),
          ],
        },
        {
          legend: 'A spare',
          fields: [
            radioField(form, 'spare', 'Was a spare at hand, and is it fitted already?', [
              { value: 'no', label: 'No' },
              {
                value: 'yes',
                label: 'Yes, the same again',
                hint: 'Then nothing is bought. The spare counts as new, and what was read before as an estimate.',
              },
            ]),
            dayField(form, 'spareOn', 'If so, since which day?'),
          ],
        },
        ...(bought === null ? [{ legend: 'If not: a new one', fields: purchaseFields(around, form) }] : []),
        {
          legend: null,
          fields: [notesField(form, 'note', 'What happened?', { hint: 'For yourself; may be left empty.' })],
        },
      ],
      submit: 'Write it down as broken',
    };
  }

  function purchaseFields({ row, replacement, ledger }: Around, form: FormState) {
    const known = replacement === null ? knownPriceOf(row, parts, ledger.currency) : null;
    return [
      numberField(form, 'price', 'What it costs', {
        suffix: ledger.currency.code,
        hint:
          known?.from === 'catalogue'
            ? breakdownSentences.priceFrom(known.part)
            : known === null && replacement === null
              ? breakdownSentences.priceUnknown
              : 'With delivery.',
      }),
      radioField(form, 'arrives', 'Can it be here this month?', [
        { value: 'now', label: 'Yes' },
        { value: 'later', label: 'No, it is bought this month and comes later' },
      ]),
      numberField(form, 'arrivesMonth', 'If not, when does it arrive?', {
        hint: `Month and year, such as ${monthExamples}.`,
      }),
    ];
  }

  function whenField({ ledger, today }: Around, form: FormState, { by, earliest }: Shortage) {
    const { locale, currency } = ledger;
    const present = monthOf(today);
    return radioField(form, 'when', 'In which month is it bought?', [
      ...(earliest === null
        ? []
        : [{ value: earliest, label: breakdownSentences.buyFirst(formatMonth(earliest, locale)) }]),
      { value: 'open', label: breakdownSentences.buyOpen, hint: breakdownSentences.buyOpenHint },
      {
        value: present,
        label: breakdownSentences.buyNow(formatMonth(present, locale)),
        hint: breakdownSentences.buyNowHint(formatMoney(by, currency, locale)),
      },
    ]);
  }
}

type Breakdown = {
  brokeOn: PlainDate;
  /** The day since which a spare is in its place; null when there is none. */
  spareOn: PlainDate | null;
  /** Null when a spare is in its place, or a new one is on its way already. */
  replacement: ReplacementFacts | null;
  when: WhenBought;
  note: string;
};

type ReadBreakdown = { status: 'ok'; value: Breakdown; values: Values } | ({ status: 'bad' } & FormState);

function readBreakdown(body: unknown, { row, replacement: before, ledger, today }: Around): ReadBreakdown {
  const present = monthOf(today);
  const { version: _, ...fields } = (body ?? {}) as Record<string, unknown>;
  const read = parseForm(
    formOf({
      brokeOn: dateField('the day it broke'),
      spare: choice('whether a spare is fitted', ['no', 'yes']),
      spareOn: optionalDate('the day of the spare'),
      price: optionalMoney('what it costs', ledger),
      arrives: optionalChoice('whether it can be here this month', ['now', 'later']),
      arrivesMonth: optionalMonth('the month in which it arrives'),
      when: fieldReadBy<WhenBought>((typed) => {
        const month = readMonth(typed);
        if (typed === '' || typed === 'open') return { status: 'ok', value: typed === '' ? null : typed };
        return month !== null && month >= present
          ? { status: 'ok', value: month }
          : { status: 'bad', message: formSentences.choose('the month in which it is bought') };
      }),
      note: optionalText('what happened', 400),
    }),
    fields,
  );
  if (read.status === 'bad') return read;
  const { brokeOn, spare, spareOn, price, arrives, arrivesMonth, when, note } = read.value;
  const mistake = (field: string, message: string) => ({
    ...withMistake(startForm(read.values), field, message),
    status: 'bad' as const,
  });
  if (brokeOn > today) return mistake('brokeOn', formSentences.notLater('the day it broke'));
  if (brokeOn < row.fittedOn)
    return mistake('brokeOn', formSentences.notBefore('the day it broke', 'the day it was fitted'));
  const ok = (parts: Pick<Breakdown, 'spareOn' | 'replacement'>): ReadBreakdown => ({
    status: 'ok',
    value: { brokeOn, when, note, ...parts },
    values: read.values,
  });
  if (spare === 'yes') {
    if (spareOn === null) return mistake('spareOn', breakdownSentences.whenSpare);
    if (spareOn > today) return mistake('spareOn', formSentences.notLater('the day of the spare'));
    return spareOn < brokeOn ? mistake('spareOn', breakdownSentences.spareBefore) : ok({ spareOn, replacement: null });
  }
  if (before?.status === 'ordered') return ok({ spareOn: null, replacement: null });
  if (price === null) return mistake('price', formSentences.required('what it costs'));
  if (arrives === null) return mistake('arrives', formSentences.choose('whether it can be here this month'));
  if (arrives === 'later' && arrivesMonth === null) return mistake('arrivesMonth', upgradeSentences.whenArrives);
  const leadMonths = arrives === 'later' ? monthsBetween(present, arrivesMonth!) : 0;
  if (leadMonths < 0) return mistake('arrivesMonth', upgradeSentences.arrivesBefore);
  if (leadMonths > LONGEST_LEAD) return mistake('arrivesMonth', breakdownSentences.arrivesTooLate);
  const month = when === 'open' ? null : (when ?? present);
  const name = breakdownSentences.replacementName(row.name);
  return ok({ spareOn: null, replacement: { name, price, month, leadMonths } });
}

function mustBeInUse(row: FittingRecord): void {
  if (isBroken(row)) throw new AppError('conflict', breakdownSentences.isBroken);
  if (row.retiredOn !== null) throw new AppError('conflict', breakdownSentences.notInUse);
}

function mustBeTakenBack(row: FittingRecord, replacement: UpgradeRecord | null): void {
  if (!isBroken(row)) throw new AppError('conflict', breakdownSentences.notBroken);
  if (!canBeTakenBack(row, replacement))
    throw new AppError('conflict', breakdownSentences.boughtAlready(replacement!.name));
}

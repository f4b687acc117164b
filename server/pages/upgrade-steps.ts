// What happens to an upgrade after it is in the list: wanted again, refused, its month fixed, bought, not bought, fitted, removed and
// put back. Each step says what it does before it is done, and a step from an old page does nothing.

import type { FastifyInstance, FastifyRequest } from 'fastify';
import { formatDate, formatMonth, monthOf, type PlainDate } from '../../src/calendar.ts';
import { type Answer, type Check, type Collection, HEATERS } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import { freedBy } from '../../src/hand-downs.ts';
import { type Currency, formatMoney, typedMoney } from '../../src/money.ts';
import { askedAnew, type Change } from '../../src/upgrades.ts';
import { cautions } from '../caution-words.ts';
import type { Saved } from '../db/collection.ts';
import { loadCollection } from '../db/collection.ts';
import { fitUpgrade } from '../db/fitting-upgrades.ts';
import type { Session, Tx } from '../db/open.ts';
import {
  buyUpgrade,
  changeReturnBy,
  correctClosedMonths,
  correctPurchase,
  keepUnasked,
  leaveUnbought,
  pinUpgrade,
  putBackUpgrade,
  refundOf,
  refuseUpgrade,
  removeUpgrade,
  rivalsOf,
  type UpgradeRecord,
  wantUpgrade,
} from '../db/upgrades.ts';
import { type ConfirmPage, dayField, notesField, numberField, radioField } from '../fields.ts';
import { wayBackWords } from '../fitting-words.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  choice,
  dateField,
  formOf,
  moneyField,
  monthField,
  optionalDate,
  optionalMonth,
  optionalText,
  parseForm,
  type Values,
} from '../forms.ts';
import { checkQuestions } from '../kind-words.ts';
import { paidHint } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { purchaseWords, stepWords, upgradeSentences } from '../upgrade-words.ts';
import { listed } from '../words.ts';
import { versionOf } from './asked-row.ts';
import { nameOf, nextOldThing } from './old-things.ts';
import { doubtedPrice, surePrice } from './price-doubt.ts';
import { saveOnce } from './sent-twice.ts';
import { stepPages, withError } from './step-form.ts';
import { type AroundUpgrades, changesInWords, hasMains, standing } from './upgrades.view.ts';

/** What the steps share with the page of the list. */
type Shared = {
  gather: (session: Session) => AroundUpgrades;
  standingRow: (request: FastifyRequest) => UpgradeRecord;
  anyRow: (request: FastifyRequest) => UpgradeRecord;
};

/** Registers every step that one upgrade can take. */
export function upgradeSteps(app: FastifyInstance, deps: Deps, shared: Shared): void {
  const { db, render } = deps;
  const { gather, standingRow, anyRow } = shared;
  const urls = paths.upgrades;

  press(urls.accept(':id'), 'wanted', (tx, row, version) => wantUpgrade(tx, Number(row.id), version));
  press(urls.keep(':id'), 'wanted', (tx, row, version) => keepUnasked(tx, Number(row.id), version));
  press(urls.refuse(':id'), 'refused', (tx, row, version) => refuseUpgrade(tx, Number(row.id), version));
  press(urls.unpin(':id'), 'unpinned', (tx, row, version) => pinUpgrade(tx, Number(row.id), version, null));
  press(urls.putBack(':id'), 'put-back', (tx, row, version) => putBackUpgrade(tx, Number(row.id), version));

  const step = stepPages<UpgradeRecord, AroundUpgrades>(app, deps, {
    menu: 'upgrades',
    find: (request) => ({ row: standingRow(request), around: gather(db) }),
    shownAt: (row) => urls.show(row.id),
    state: standing,
    saved: (row, { ledger }) => savedTexts(row, ledger.currency),
    taken: (row, { today }, save) => withClosedMonths(row, today, save),
  });

  step(urls.pin(':id'), 'pinned', {
    may: isIn('wanted'),
    texts: (row, { today }) => ({ month: row.pinnedMonth ?? row.earliestMonth ?? monthOf(today) }),
    read(fields, row, { today, ledger }) {
      const read = parseForm(formOf({ month: monthField(stepWords.theMonth) }), fields);
      if (read.status === 'bad') return read;
      const { month } = read.value;
      if (month < monthOf(today)) return withError(read.values, 'month', upgradeSentences.monthPassed);
      if (row.earliestMonth !== null && month < row.earliestMonth) {
        const earliest = formatMonth(row.earliestMonth, ledger.locale);
        return withError(read.values, 'month', upgradeSentences.beforeEarliest(earliest));
      }
      return { status: 'ok', save: (tx, version) => pinUpgrade(tx, Number(row.id), version, month) };
    },
    form: (form, row) => ({
      heading: stepWords.fixMonthOf(row.name),
      lead: stepWords.fixMonthMeans,
      groups: [
        {
          legend: null,
          fields: [numberField(form, 'month', stepWords.month, { hint: stepWords.yearAndMonth })],
        },
      ],
      submit: stepWords.fixThisMonth,
    }),
  });

  step(urls.bought(':id'), 'bought', {
    may: isIn('wanted'),
    texts: (row, { today, ledger }) => ({
      boughtOn: today,
      paid: typedMoney(row.priceHigh, ledger.currency),
      arrives: row.leadMonths > 0 ? 'later' : 'now',
    }),
    read(fields, row, { today, ledger }) {
      const read = parseForm(
        formOf({
          boughtOn: dateField(stepWords.theDay),
          paid: moneyField(stepWords.theSumPaid, ledger),
          sure: checkbox(stepWords.whetherPriceIsRight),
          arrives: choice(stepWords.whetherHere, ['now', 'later']),
          arrivesMonth: optionalMonth(stepWords.theMonthItArrives),
          returnBy: optionalDate(stepWords.theLastDay),
        }),
        fields,
        ({ boughtOn, paid, sure, arrives, arrivesMonth, returnBy }) => [
          ...doubtedPrice(row, paid, sure, ledger),
          ...(boughtOn > today ? [{ field: 'boughtOn', message: formSentences.notLater(stepWords.theDay) }] : []),
          ...(arrives === 'later' && arrivesMonth === null
            ? [{ field: 'arrivesMonth', message: upgradeSentences.whenArrives }]
            : []),
          ...(arrives === 'later' && boughtOn !== null && arrivesMonth !== null && arrivesMonth < monthOf(boughtOn)
            ? [{ field: 'arrivesMonth', message: upgradeSentences.arrivesBefore }]
            : []),
          ...(returnBy !== null && returnBy < boughtOn
            ? [{ field: 'returnBy', message: wayBackWords.beforeBought }]
            : []),
        ],
      );
      if (read.status === 'bad') return read;
      const { boughtOn, paid, arrives, arrivesMonth, returnBy } = read.value;
      const bought = { boughtOn, paid, arrivesMonth: arrives === 'later' ? arrivesMonth : null, returnBy };
      return { status: 'ok', save: (tx, version) => buyUpgrade(tx, Number(row.id), version, bought) };
    },
    form: (form, row, { ledger }) => ({
      heading: `Bought: “${row.name}”`,
      lead: rivalSentence(db, row),
      groups: [
        {
          legend: null,
          fields: [
            dayField(form, 'boughtOn', stepWords.boughtOn),
            numberField(form, 'paid', stepWords.paid, {
              suffix: ledger.currency.code,
              hint: paidHint(stepWords.bought, ledger),
            }),
            ...surePrice(form),
            radioField(form, 'arrives', stepWords.isItHere, [
              { value: 'now', label: stepWords.yes },
              { value: 'later', label: stepWords.onTheWay },
            ]),
            numberField(form, 'arrivesMonth', stepWords.whenDoesItArrive, {
              hint: stepWords.yearAndMonth,
            }),
            dayField(form, 'returnBy', wayBackWords.label, { hint: wayBackWords.hint }),
          ],
        },
      ],
      submit: stepWords.writeDownBought,
    }),
  });

  step(urls.correctPurchase(':id'), 'purchase-corrected', {
    may: isIn('ordered', 'fitted'),
    texts: (row, { ledger }) => ({
      paid: typedMoney(row.paid!, ledger.currency),
      boughtOn: row.boughtOn!,
      why: '',
    }),
    read(fields, row, { today, ledger }) {
      const { currency, locale } = ledger;
      const { fittedOn, arrivesMonth, returnBy } = row;
      const back = refundOf(db, row);
      const read = parseForm(
        formOf({
          paid: moneyField(stepWords.theSumPaid, ledger),
          sure: checkbox(stepWords.whetherPriceIsRight),
          boughtOn: dateField(stepWords.theDayOfBuying),
          why: optionalText(stepWords.theReason, 400),
        }),
        fields,
        ({ paid, sure, boughtOn }) => [
          ...(paid === row.paid ? [] : doubtedPrice(row, paid, sure, ledger)),
          ...(paid !== null && paid < back
            ? [{ field: 'paid', message: purchaseWords.belowRefund(formatMoney(back, currency, locale)) }]
            : []),
          ...(boughtOn > today
            ? [formSentences.notLater(stepWords.theDayOfBuying)]
            : fittedOn !== null && boughtOn > fittedOn
              ? [purchaseWords.afterFitted(formatDate(fittedOn, locale))]
              : arrivesMonth !== null && boughtOn !== null && monthOf(boughtOn) > arrivesMonth
                ? [purchaseWords.afterArrival]
                : returnBy !== null && boughtOn > returnBy
                  ? [purchaseWords.afterReturnDay(formatDate(returnBy, locale))]
                  : []
          ).map((message) => ({ field: 'boughtOn', message })),
        ],
      );
      if (read.status === 'bad') return read;
      const { paid, boughtOn, why } = read.value;
      const right = { paid, boughtOn };
      return { status: 'ok', save: (tx, version) => correctPurchase(tx, Number(row.id), version, right, today, why) };
    },
    form: (form, row, { ledger }) => ({
      heading: purchaseWords.heading(row.name),
      lead: [purchaseWords.lead, ...(row.status === 'ordered' ? [purchaseWords.notBought] : [])].join(' '),
      groups: [
        {
          legend: null,
          fields: [
            numberField(form, 'paid', stepWords.paid, {
              suffix: ledger.currency.code,
              hint: paidHint(stepWords.bought, ledger),
            }),
            ...surePrice(form),
            dayField(form, 'boughtOn', stepWords.boughtOn),
            notesField(form, 'why', purchaseWords.why, { hint: purchaseWords.whyHint }),
          ],
        },
      ],
      submit: stepWords.putItRight,
    }),
  });

  step(urls.returnBy(':id'), 'saved', {
    may: isIn('ordered', 'fitted'),
    texts: (row) => ({ returnBy: row.returnBy ?? '' }),
    read(fields, row) {
      const read = parseForm(formOf({ returnBy: optionalDate(stepWords.theLastDay) }), fields);
      if (read.status === 'bad') return read;
      const { returnBy } = read.value;
      if (returnBy !== null && returnBy < row.boughtOn!)
        return withError(read.values, 'returnBy', wayBackWords.beforeBought);
      return { status: 'ok', save: (tx, version) => changeReturnBy(tx, Number(row.id), version, returnBy) };
    },
    form: (form, row) => ({
      heading: wayBackWords.question(row.name),
      lead: wayBackWords.lead,
      groups: [{ legend: null, fields: [dayField(form, 'returnBy', wayBackWords.label, { hint: wayBackWords.hint })] }],
      submit: stepWords.save,
    }),
  });

  step(urls.notBought(':id'), 'not-bought', {
    may: isIn('wanted', 'ordered'),
    texts: () => ({}),
    read(fields, row, { today }) {
      const read = parseForm(formOf({ why: optionalText(stepWords.theReason, 400) }), fields);
      if (read.status === 'bad') return read;
      const { why } = read.value;
      return { status: 'ok', save: (tx, version) => leaveUnbought(tx, Number(row.id), version, today, why) };
    },
    form: (form, row) => ({
      heading: stepWords.notBought(row.name),
      lead: row.status === 'ordered' ? stepWords.notBoughtOrdered : stepWords.notBoughtWanted,
      groups: [{ legend: null, fields: [notesField(form, 'why', stepWords.whyNot, { hint: stepWords.forYourself })] }],
      submit: stepWords.writeDownNotBought,
    }),
  });

  step(urls.fitted(':id'), 'fitted', {
    may: isIn('wanted', 'ordered'),
    texts: (row, { today, ledger }): Values => ({
      ...Object.fromEntries(askedChecks(row, loadCollection(db)).map((check) => [answerField(check), 'unknown'])),
      ...(row.status === 'ordered'
        ? { fittedOn: today }
        : { fittedOn: today, boughtOn: today, paid: typedMoney(row.priceHigh, ledger.currency) }),
    }),
    read(fields, row, { today, ledger }) {
      const day = dateField(stepWords.theDay);
      const asked = Object.fromEntries(
        askedChecks(row, loadCollection(db)).map((check) => [
          answerField(check),
          choice(stepWords.theAnswer, ['yes', 'no', 'unknown']),
        ]),
      );
      type Days = { fittedOn: PlainDate; boughtOn: PlainDate; returnBy: PlainDate | null };
      const together = ({ fittedOn, boughtOn, returnBy }: Days) => [
        ...(fittedOn > today
          ? [{ field: 'fittedOn', message: formSentences.notLater(stepWords.theDay) }]
          : fittedOn !== null && boughtOn > fittedOn
            ? [{ field: 'fittedOn', message: formSentences.notBefore(stepWords.theDay, stepWords.theDayBought) }]
            : []),
        ...(returnBy !== null && returnBy < boughtOn
          ? [{ field: 'returnBy', message: wayBackWords.beforeBought }]
          : []),
      ];
      const known = { boughtOn: row.boughtOn!, returnBy: row.returnBy };
      const read =
        row.status === 'ordered'
          ? parseForm(formOf({ fittedOn: day, ...asked }), fields, ({ fittedOn }) => together({ ...known, fittedOn }))
          : parseForm(
              formOf({
                ...asked,
                fittedOn: day,
                boughtOn: dateField(stepWords.theDayOfBuying),
                paid: moneyField(stepWords.theSumPaid, ledger),
                returnBy: optionalDate(stepWords.theLastDay),
              }),
              fields,
              together,
            );
      if (read.status === 'bad') return read;
      const { fittedOn, boughtOn, paid, returnBy } = { ...known, paid: row.paid!, ...read.value };
      const facts = {
        fittedOn,
        boughtOn,
        paid,
        returnBy,
        unitSystem: ledger.unitSystem,
        answers: Object.fromEntries(
          askedChecks(row, loadCollection(db)).map((check) => [
            check,
            read.values[answerField(check)] as Answer['answer'],
          ]),
        ),
        saleNote: upgradeSentences.soldBy(row.name),
      };
      return { status: 'ok', save: (tx, version) => fitUpgrade(tx, Number(row.id), version, facts) };
    },
    form: (form, row, around) => ({
      heading: row.priceHigh === 0 ? `Done: “${row.name}”` : `Fitted: “${row.name}”`,
      lead: fittingLead(row, around),
      cautions: cautionsOf(row.changes),
      groups: [
        {
          legend: null,
          fields: [
            dayField(form, 'fittedOn', row.priceHigh === 0 ? stepWords.doneOn : stepWords.fittedOn, {
              hint: stepWords.fittedOnMeans,
            }),
            ...(row.status === 'ordered'
              ? []
              : [
                  dayField(form, 'boughtOn', stepWords.boughtOn, { hint: stepWords.sameDay }),
                  numberField(form, 'paid', stepWords.paid, { suffix: around.ledger.currency.code }),
                  ...(row.priceHigh === 0
                    ? []
                    : [dayField(form, 'returnBy', wayBackWords.label, { hint: wayBackWords.hint })]),
                ]),
            ...askedChecks(row, loadCollection(db)).map((check) =>
              radioField(
                form,
                answerField(check),
                checkQuestions[check].question,
                [
                  { value: 'yes', label: stepWords.yesLooked },
                  { value: 'no', label: stepWords.no },
                  { value: 'unknown', label: stepWords.notLookedYet },
                ],
                { hint: checkQuestions[check].why },
              ),
            ),
          ],
        },
      ],
      submit: stepWords.changeTheSetUp,
    }),
    // What was replaced lies on the table now: this is when it is known where it goes.
    next: (row) => nextOldThing(db, row.id),
  });

  app.get(urls.remove(':id'), (request, reply) => {
    const row = removableRow(request);
    const page: ConfirmPage = {
      heading: stepWords.remove(row.name),
      lead: stepWords.putBackFrom,
      consequences: [
        ...(row.status === 'ordered' ? [stepWords.paidIsPutBack] : []),
        ...(row.origin === 'proposed' ? [stepWords.proposedAgain] : []),
      ],
      action: urls.remove(row.id),
      version: String(row.version),
      submit: stepWords.removeThis,
      cancel: urls.show(row.id),
    };
    return render(reply, 'confirm', page, { title: page.heading, current: 'upgrades' });
  });

  app.post(urls.remove(':id'), (request, reply) => {
    const row = removableRow(request);
    const version = versionOf(request);
    const { today } = gather(db);
    const shownAt = () => urls.list;
    const save = withClosedMonths(row, today, (tx) => removeUpgrade(tx, Number(row.id), version, today));
    mustSave(saveOnce(db, request, shownAt, save));
    return reply.redirect(withNotice(urls.list, 'removed-kept'), 303);
  });

  /** A step that is one press of a button, without questions. */
  function press(url: string, notice: string, save: (tx: Tx, row: UpgradeRecord, version: number) => Saved): void {
    app.post(url, (request, reply) => {
      const row = anyRow(request);
      const version = versionOf(request);
      const shownAt = () => urls.show(row.id);
      const { today } = gather(db);
      mustSave(
        saveOnce(
          db,
          request,
          shownAt,
          withClosedMonths(row, today, (tx) => save(tx, row, version)),
        ),
      );
      return reply.redirect(withNotice(urls.show(row.id), notice), 303);
    });
  }

  function removableRow(request: FastifyRequest): UpgradeRecord {
    const row = standingRow(request);
    if (row.status === 'fitted') throw new AppError('conflict', upgradeSentences.fittedIsPast);
    return row;
  }
}

/** What a step would have in its controls for an upgrade as it is saved. */
function savedTexts(row: UpgradeRecord, currency: Currency): Values {
  return {
    month: row.pinnedMonth ?? '',
    boughtOn: row.boughtOn ?? '',
    paid: row.paid === null ? '' : typedMoney(row.paid, currency),
    arrives: row.boughtOn === null ? '' : row.arrivesMonth === null ? 'now' : 'later',
    arrivesMonth: row.arrivesMonth ?? '',
    returnBy: row.returnBy ?? '',
    fittedOn: row.fittedOn ?? '',
  };
}

function isIn(...statuses: UpgradeRecord['status'][]): (row: UpgradeRecord) => boolean {
  return (row) => statuses.includes(row.status);
}

/** A step after which closed months are in line with what was really paid for the upgrade. */
function withClosedMonths(row: UpgradeRecord, today: PlainDate, save: (tx: Tx) => Saved): (tx: Tx) => Saved {
  return (tx) => {
    const saved = save(tx);
    if (saved === 'saved') correctClosedMonths(tx, Number(row.id), today);
    return saved;
  };
}

function mustSave(saved: Saved): void {
  if (saved === 'conflict') throw new AppError('conflict', formSentences.changedMeanwhile);
}

function rivalSentence(session: Session, row: UpgradeRecord): string | null {
  const rivals = rivalsOf(session, row).map((one) => `“${one.name}”`);
  if (rivals.length === 0) return null;
  return `Only one of this choice makes sense, so ${listed(rivals)} will be refused. You can want ${rivals.length === 1 ? 'it' : 'them'} again.`;
}

function fittingLead(row: UpgradeRecord, around: AroundUpgrades): string {
  const missing = row.requires
    .filter((set) => !set.some((id) => around.upgrades.some((one) => one.id === id && one.status === 'fitted')))
    .map((set) => set.map((id) => `“${around.upgrades.find((one) => one.id === id)?.name ?? '–'}”`).join(' or '));
  const first = missing.length === 0 ? '' : `It needs ${listed(missing)} first, which is not fitted yet. `;
  // What is asked in the form itself is not written down as a matter of course.
  const asked = askedChecks(row, around.collection);
  const certain = row.changes.filter((one) => one.change !== 'answer' || !asked.includes(one.check));
  const what = changesInWords(certain, around).join(' ');
  const freed = freedBy(row, around.collection, around.today).map(nameOf);
  const then = freed.length === 0 ? '' : ` Then say what becomes of: ${listed(freed)}.`;
  return `${first}${what === '' ? 'It changes nothing in a set-up.' : `This is written into the set-up: ${what}`}${then}`;
}

/**
 * The questions of safety that fitting some things raises: only who has looked can answer them. Where an upgrade is nothing but the answer,
 * having done it is the answer.
 */
function askedChecks(row: UpgradeRecord, collection: Collection): Check[] {
  const { changes } = row;
  if (changes.every((one) => one.change === 'answer')) return [];
  const raised = changes.flatMap((one) => (one.change === 'answer' ? [one.check] : []));
  return [...new Set([...raised, ...askedAnew(row, collection).map(({ check }) => check)])];
}

function answerField(check: Check): string {
  return `answer-${check}`;
}

function cautionsOf(changes: readonly Change[]): string[] {
  const kinds = changes.flatMap((one) => (one.change === 'fit' ? [one.fitting.kind] : []));
  return [
    ...(kinds.some((kind) => HEATERS.has(kind) || kind === 'thermostat') ? [cautions.burns] : []),
    ...(kinds.some((kind) => kind.startsWith('uv-')) ? [cautions.uvAndEyes] : []),
    ...(hasMains(changes) ? [cautions.mainsAndWater, upgradeSentences.runIn] : []),
  ];
}

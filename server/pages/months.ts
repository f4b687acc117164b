// The pages of closed months: which wait to be closed, closing one step by step, catching up with several, a month as it was closed, and
// the corrections that are added to it.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { budgetOf } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { dateOfInstant, formatDate, formatMonth, lastDay, monthOf, readMonth } from '../../src/calendar.ts';
import { AppError } from '../../src/errors.ts';
import type { Currency, Money } from '../../src/money.ts';
import { money, typedMoney } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import { purchaseFault, returnFault } from '../../src/month-review.ts';
import { awaitedReadings } from '../../src/promises.ts';
import type { CareLibrary } from '../../src/species.ts';
import { loadCollection } from '../db/collection.ts';
import { listEvents, recordEvent } from '../db/events.ts';
import { changeLedger, type Ledger, readLedger } from '../db/ledger.ts';
import { readMoneyFacts } from '../db/money.ts';
import {
  addCorrection,
  type ClosedMonth,
  closeMonth,
  findClosedMonth,
  listClosedMonths,
  listCorrections,
} from '../db/months.ts';
import type { Session, Tx } from '../db/open.ts';
import { inTransaction } from '../db/open.ts';
import { findPlan, listPlans, type PlanRecord } from '../db/plans.ts';
import { buyUpgrade, findUpgrade, listUpgrades, returnUpgrade, type UpgradeRecord } from '../db/upgrades.ts';
import {
  conflictView,
  dayField,
  errorSummary,
  type Field,
  formPage,
  notesField,
  numberField,
  radioField,
  selectField,
  textField,
} from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  choice,
  type FormError,
  type FormState,
  formOf,
  moneyField,
  optionalChoice,
  optionalDate,
  optionalMoney,
  optionalText,
  parseForm,
  requiredText,
  startForm,
} from '../forms.ts';
import { readingNames } from '../kind-words.ts';
import { closingOf, collectionOn, monthRecordOf, plannedBuys, plansOfMonth, sumDueIn } from '../month-record.ts';
import {
  closingSentence,
  closingWords,
  entryFaultSentence,
  monthHeldSentence,
  monthSentences,
  planName,
} from '../month-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { stepWords } from '../upgrade-words.ts';
import { lowerFirst } from '../words.ts';
import { found } from './asked-row.ts';
import { type ClosePage, monthPage, monthsPage } from './months.view.ts';
import { doubtedPrice, surePrice } from './price-doubt.ts';
import { newMark, ONCE_FIELD, rememberSent } from './sent-twice.ts';
import { whereOf } from './upgrades.view.ts';

const menu = 'months';

export function monthPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  const back = { href: paths.months.list, label: closingWords.months };

  app.get(paths.months.list, (_request, reply) => {
    const { ledger, today } = around();
    const model = monthsPage(listClosedMonths(db), closingOf(db, today).open, ledger);
    return render(reply, 'months', model, { title: model.heading, current: menu });
  });

  app.get(paths.months.show(':month'), (request, reply) => {
    const month = monthFrom(request);
    const { ledger, today } = around();
    const closed = findClosedMonth(db, month);
    if (closed === null) {
      if (closingOf(db, today).ruleFor(month).status === 'open') return reply.redirect(paths.months.close(month), 303);
      throw new AppError('not_found', closingSentence(closingOf(db, today).ruleFor(month), month, ledger.locale));
    }
    const model = monthPage(closed, listCorrections(db, month), listUpgrades(db), listPlans(db), ledger);
    return render(reply, 'month', model, { title: model.heading, current: menu, back });
  });

  app.get(paths.months.close(':month'), (request, reply) => {
    const month = monthFrom(request);
    const { ledger, today } = around();
    if (findClosedMonth(db, month) !== null) return reply.redirect(paths.months.show(month), 303);
    refuseUnlessOpen(db, month, today, ledger);
    const { plan } = request.query as { plan?: unknown };
    const steps = stepsOf(db, library(), [month], ledger, plan);
    return showClosing(reply, steps, startForm(firstTexts(steps, ledger)), 200);
  });

  app.post(paths.months.close(':month'), (request, reply) => {
    const month = monthFrom(request);
    const { ledger, today } = around();
    const { [ONCE_FIELD]: _, plan, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const closed = findClosedMonth(db, month);
    if (closed !== null) return showClosedMeanwhile(reply, [closed], fields);
    refuseUnlessOpen(db, month, today, ledger);
    const steps = stepsOf(db, library(), [month], ledger, plan);
    const read = readClosing(fields, steps, ledger, today);
    if (read.status === 'bad') return showClosing(reply, steps, read, 422);
    keepClosing(request, steps, read.value, today, paths.months.show(month));
    return reply.redirect(withNotice(paths.months.show(month), 'month-closed'), 303);
  });

  app.get(paths.months.catchUp, (_request, reply) => {
    const { ledger, today } = around();
    const { open } = closingOf(db, today);
    if (open.length === 0) return reply.redirect(paths.months.list, 303);
    const steps = stepsOf(db, library(), open, ledger);
    return showClosing(reply, steps, startForm(firstTexts(steps, ledger)), 200);
  });

  app.post(paths.months.catchUp, (request, reply) => {
    const { ledger, today } = around();
    const { open } = closingOf(db, today);
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const named = listClosedMonths(db).filter((one) => name.cameIn(one.month, []) in fields);
    const closed = named.length === 0 && open.length === 0 ? listClosedMonths(db).slice(0, 1) : named;
    if (closed.length > 0) return showClosedMeanwhile(reply, closed, fields);
    if (open.length === 0) throw new AppError('conflict', monthSentences.noneToClose);
    const steps = stepsOf(db, library(), open, ledger);
    const read = readClosing(fields, steps, ledger, today);
    if (read.status === 'bad') return showClosing(reply, steps, read, 422);
    keepClosing(request, steps, read.value, today, paths.months.list);
    return reply.redirect(withNotice(paths.months.list, 'months-closed'), 303);
  });

  app.get(paths.months.correct(':month'), (request, reply) => {
    const month = closedFrom(request);
    return showCorrection(reply, month, startForm({ side: 'none' }), 200);
  });

  app.post(paths.months.correct(':month'), (request, reply) => {
    const month = closedFrom(request);
    const { ledger, today } = around();
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(
      formOf({
        note: requiredText(closingWords.whatTurnedOut, 2000),
        side: choice(closingWords.whetherMoney, ['none', 'more', 'less']),
        amount: optionalMoney(closingWords.theAmount, ledger),
      }),
      fields,
      ({ side, amount }) => [
        ...(side === 'none' && amount !== null ? [{ field: 'side', message: monthSentences.amountNeedsSide }] : []),
        ...(side !== 'none' && side !== null && amount === null
          ? [{ field: 'amount', message: monthSentences.sideNeedsAmount }]
          : []),
      ],
    );
    if (read.status === 'bad') return showCorrection(reply, month, read, 422);
    const { note, side, amount } = read.value;
    const signed = side === 'none' ? null : side === 'more' ? amount! : money(-amount!);
    inTransaction(db, (tx) => {
      addCorrection(tx, { month, enteredOn: today, amount: signed, note, upgradeId: null });
      rememberSent(tx, request, paths.months.show(month));
    });
    return reply.redirect(withNotice(paths.months.show(month), 'added'), 303);
  });

  function around(): { ledger: Ledger; today: PlainDate } {
    const ledger = readLedger(db);
    return { ledger, today: dateOfInstant(now(), ledger.timeZone) };
  }

  function closedFrom(request: FastifyRequest): PlainMonth {
    const month = monthFrom(request);
    if (findClosedMonth(db, month) === null) throw new AppError('not_found', monthSentences.notClosed);
    return month;
  }

  // What was bought and went back is written down first, then each month is kept in its order, the count with the last.
  function keepClosing(
    request: FastifyRequest,
    { months, plans }: Steps,
    value: ClosingValue,
    today: PlainDate,
    shownAt: string,
  ): void {
    inTransaction(db, (tx) => {
      for (const { upgrade, boughtOn, paid, shop } of value.bought) {
        const { version } = findUpgrade(tx, Number(upgrade.id))!;
        mustSave(buyUpgrade(tx, Number(upgrade.id), version, { boughtOn, paid, arrivesMonth: null }, shop));
      }
      for (const { upgrade, why, returnedOn, refund } of value.returned) {
        const { version } = findUpgrade(tx, Number(upgrade.id))!;
        mustSave(returnUpgrade(tx, Number(upgrade.id), version, { returnedOn, refund, why }));
      }
      for (const month of months) {
        const counted = month === months.at(-1) ? countedOf(tx, value, today) : null;
        const { note, shops } = value;
        close(tx, month, { cameIn: value.cameIn.get(month)!, note, shops, plan: plans.get(month)!, counted }, today);
      }
      keepCount(tx, value);
      rememberSent(tx, request, shownAt);
    });
  }

  function close(tx: Tx, month: PlainMonth, closing: Parameters<typeof monthRecordOf>[4], today: PlainDate): void {
    const record = monthRecordOf(tx, library(), month, today, closing);
    if (closeMonth(tx, today, record) === 'conflict') {
      const { locale } = readLedger(tx);
      throw new AppError('conflict', closingSentence({ status: 'closed-already' }, month, locale));
    }
  }

  function showClosing(reply: FastifyReply, steps: Steps, form: FormState, status: number): FastifyReply {
    const { ledger } = around();
    const model = closePage(steps, form, ledger, newMark());
    return render(reply, 'month-close', model, { title: model.heading, current: menu, status, back });
  }

  function showClosedMeanwhile(
    reply: FastifyReply,
    closed: readonly ClosedMonth[],
    fields: Record<string, unknown>,
  ): FastifyReply {
    const { ledger } = around();
    const last = closed.reduce((one, other) => (one.month > other.month ? one : other));
    const typed = Object.fromEntries(
      Object.entries(fields)
        .filter((one): one is [string, string] => typeof one[1] === 'string' && one[1] !== '')
        // Answers that the form begins with.
        .filter(([field, text]) => !(/^(bought|fate)-/.test(field) && ['no', 'kept'].includes(text))),
    );
    const saved = closedTexts(closed, ledger);
    const names = [...new Set([...Object.keys(typed), ...Object.keys(saved)])];
    const labels = Object.fromEntries(names.map((one) => [one, closingLabel(one, listUpgrades(db), ledger)]));
    const called = closed.map((one) => formatMonth(one.month, ledger.locale)).join(', ');
    const heading = closingWords.close(called);
    const shownAt = paths.months.show(last.month);
    const conflict = { ...conflictView(called, labels, saved, typed, shownAt), isOver: true };
    const lead = closingSentence({ status: 'closed-already' }, last.month, ledger.locale);
    return render(reply, 'too-late', { heading, lead, conflict }, { title: heading, current: menu, status: 409 });
  }

  function showCorrection(reply: FastifyReply, month: PlainMonth, form: FormState, status: number): FastifyReply {
    const { ledger, today } = around();
    const model = formPage(form, {
      heading: closingWords.correct(formatMonth(month, ledger.locale)),
      lead: closingWords.correctLead(formatDate(today, ledger.locale)),
      action: paths.months.correct(month),
      once: newMark(),
      groups: [
        {
          legend: null,
          fields: [
            notesField(form, 'note', closingWords.whatTurnedOutAsked),
            radioField(form, 'side', closingWords.isItMoney, [
              { value: 'none', label: closingWords.no },
              { value: 'more', label: closingWords.moreSpent },
              { value: 'less', label: closingWords.lessSpent },
            ]),
            numberField(form, 'amount', closingWords.byHowMuch, {
              suffix: ledger.currency.code,
              hint: closingWords.notTheCash,
            }),
          ],
        },
      ],
      submit: closingWords.addCorrection,
      cancel: paths.months.show(month),
    });
    return render(reply, 'form', model, {
      title: model.heading,
      current: menu,
      status,
      back: { href: paths.months.show(month), label: formatMonth(month, ledger.locale) },
    });
  }
}

/** What closing a month goes through: purchases of the plan not written down yet, those written down, and what else was due. */
type Steps = {
  /** The months that are closed with it, one or all that wait, the oldest first. */
  months: readonly PlainMonth[];
  /** The plan each is held against; null where no plan covers it. */
  plans: ReadonlyMap<PlainMonth, PlanRecord | null>;
  /** The sum that was to come in each; null when none was entered. */
  sumsDue: ReadonlyMap<PlainMonth, Money | null>;
  held: ClosePage['held'];
  chosenPlan: string;
  unbought: { upgrade: UpgradeRecord; price: Money; boughtIn: PlainMonth }[];
  recorded: { upgrade: UpgradeRecord; shop: string }[];
  due: ClosePage['due'];
  fitted: ClosePage['fitted'];
  readings: ClosePage['readings'];
};

function stepsOf(
  session: Session,
  library: CareLibrary,
  months: readonly PlainMonth[],
  { locale }: Ledger,
  asked?: unknown,
): Steps {
  const upgrades = listUpgrades(session);
  const chosen = new Map(months.map((one) => [one, chosenPlan(session, one, asked)]));
  const plans = new Map([...chosen].map(([one, { plan }]) => [one, plan]));
  const [first, month] = [months[0]!, months.at(-1)!];
  const last = lastDay(month);
  const planned = months.flatMap((one) => {
    const plan = plans.get(one)!;
    return (plan === null ? [] : plannedBuys(plan)).filter((buy) => buy.boughtIn <= one);
  });
  const buys = planned.filter(
    (one, index) => planned.findIndex((other) => other.upgradeId === one.upgradeId) === index,
  );
  const collection = collectionOn(session, last, null);
  const upgradeOf = (id: string) => upgrades.find((one) => one.id === id);
  // The same thing may be wanted for two enclosures.
  const called = (name: string, upgrade: UpgradeRecord | undefined) => {
    const isTwice = upgrades.filter((one) => one.name === name).length > 1;
    const where = isTwice && upgrade !== undefined ? whereOf(upgrade, collection) : null;
    return where === null ? name : `${name}, ${where}`;
  };
  const unbought = buys.flatMap(({ upgradeId, price, boughtIn }) => {
    const upgrade = upgradeOf(upgradeId);
    return upgrade?.status === 'wanted' && price > 0 ? [{ upgrade, price, boughtIn }] : [];
  });
  const shops = listEvents(session).filter((one) => one.what === 'bought');
  const recorded = upgrades
    .filter(
      (one) =>
        one.paid !== null &&
        one.paid > 0 &&
        one.boughtOn !== null &&
        ((monthOf(one.boughtOn) >= first && one.boughtOn <= last) ||
          (one.status === 'ordered' && one.boughtOn <= last)),
    )
    .map((upgrade) => ({ upgrade, shop: shops.findLast((one) => one.upgradeId === upgrade.id)?.note ?? '' }));
  const nowFitted = loadCollection(session).fittings;
  const budget = budgetOf(readMoneyFacts(session, last), month, 1);
  return {
    months,
    plans,
    sumsDue: new Map(months.map((one) => [one, sumDueIn(session, one)])),
    held: [...chosen.values()].map(({ words }) => words(locale, months.length > 1)),
    chosenPlan: asked === undefined || asked === '' ? '' : String(asked),
    unbought,
    recorded,
    due: [
      ...buys.map(({ upgradeId, name, price }) => {
        const status = upgradeOf(upgradeId)?.status ?? 'refused';
        return {
          text: called(name, upgradeOf(upgradeId)),
          state:
            status === 'fitted'
              ? 'fitted'
              : status === 'ordered'
                ? closingWords.boughtNotFitted
                : status === 'refused'
                  ? closingWords.refusedSince
                  : price > 0
                    ? closingWords.notBoughtBelow
                    : closingWords.freeNotDone,
          href: status === 'wanted' && price === 0 ? paths.upgrades.fitted(upgradeId) : null,
          action: closingWords.markDone,
        };
      }),
      ...budget.renewals
        .filter((one) => one.dueOn <= last)
        .map((one) => {
          const isThere = nowFitted.some((other) => other.id === one.fittingId && other.retiredOn === null);
          return {
            text: closingWords.renewalOf(one.name),
            state: closingWords.dueNotRenewed(formatDate(one.dueOn, locale)),
            href: isThere ? paths.enclosures.fittings.renewed(one.enclosureId, one.fittingId) : null,
            action: closingWords.markRenewed,
          };
        }),
    ],
    fitted: upgrades.flatMap((one): ClosePage['fitted'] =>
      one.status === 'ordered'
        ? [
            {
              text: called(one.name, one),
              state: closingWords.boughtOnNotFitted(formatDate(one.boughtOn!, locale)),
              href: paths.upgrades.fitted(one.id),
              action: closingWords.markFitted,
            },
          ]
        : one.fittedOn !== null && monthOf(one.fittedOn) >= first && one.fittedOn <= last
          ? [
              {
                text: called(one.name, one),
                state: closingWords.fittedOn(formatDate(one.fittedOn, locale)),
                href: null,
                action: '',
              },
            ]
          : [],
    ),
    readings: upgrades.flatMap((one) =>
      one.status !== 'fitted' || one.fittedOn === null || one.fittedOn > last
        ? []
        : awaitedReadings(one, one.fittedOn, collection, library).map(({ enclosureId, kind }) => ({
            text: readingNames[kind],
            state: closingWords.notReadSince(one.name),
            href: paths.enclosures.readings.newAfter(enclosureId, kind, one.id),
            action: closingWords.enterReading(lowerFirst(readingNames[kind])),
          })),
    ),
  };
}

/** The plan a month is held against, as asked for or the usual one, and how that is said with the others there are. */
function chosenPlan(session: Session, month: PlainMonth, asked: unknown) {
  const { usual, wasInForce, others } = plansOfMonth(session, month);
  const all = [...(usual === null ? [] : [usual]), ...others];
  const line = asked === undefined || asked === '' ? usual : all.find((one) => one.id === asked);
  if (line === undefined) throw new AppError('conflict', monthSentences.notInForce);
  const how = line !== usual ? 'chosen' : wasInForce ? 'in-force' : 'first';
  return {
    plan: line === null ? null : findPlan(session, Number(line.id)),
    words: (locale: string, isOneOfMany: boolean): ClosePage['held'][number] => ({
      note: monthSentences.chooseFirst,
      sentence: monthHeldSentence(line, how, isOneOfMany ? month : null, all, locale),
      others: isOneOfMany
        ? []
        : all
            .filter((one) => one !== line)
            .map((one) => ({
              label: closingWords.holdAgainst(planName(one, all, locale)),
              href: paths.months.closeAgainst(month, one.id),
            })),
    }),
  };
}

const name = {
  cameIn: (month: PlainMonth, months: readonly PlainMonth[]) => (months.length === 1 ? 'cameIn' : `cameIn-${month}`),
  isBought: (id: string) => `bought-${id}`,
  on: (id: string) => `boughtOn-${id}`,
  paid: (id: string) => `paid-${id}`,
  sure: (id: string) => `sure-${id}`,
  shop: (id: string) => `shop-${id}`,
  fate: (id: string) => `fate-${id}`,
  returnedOn: (id: string) => `returnedOn-${id}`,
  refund: (id: string) => `refund-${id}`,
};

/** What was said when months were closed, by the names of the fields in which it would be typed. */
function closedTexts(closed: readonly ClosedMonth[], { currency }: Ledger): Record<string, string> {
  const months = closed.map((one) => one.month);
  return Object.fromEntries(
    closed.flatMap(({ month, record: { cameIn, note, counted, bought } }) => [
      [name.cameIn(month, months), typedMoney(cameIn, currency)],
      ...(note === '' ? [] : [['note', note]]),
      ...(counted === null
        ? []
        : [
            ['cash', typedMoney(counted.cash, currency)],
            ['countedOn', counted.on],
          ]),
      ...bought.flatMap(({ upgradeId: id, boughtOn, paid, shop }) => [
        [name.on(id), boughtOn],
        [name.paid(id), typedMoney(paid, currency)],
        ...(shop === '' ? [] : [[name.shop(id), shop]]),
      ]),
    ]),
  );
}

/** What a field of a closing is called outside its form, where what it is about does not stand above it. */
function closingLabel(field: string, upgrades: readonly UpgradeRecord[], { locale }: Ledger): string {
  const [, what = field, which = ''] = /^(\w+)-(.+)$/.exec(field) ?? [];
  const label = monthSentences.fields[what as keyof typeof monthSentences.fields] ?? what;
  if (which === '') return label;
  const month = readMonth(which);
  const of = month === null ? upgrades.find((one) => one.id === which)?.name : formatMonth(month, locale);
  return `${of ?? which}: ${lowerFirst(label)}`;
}

const OF_ONE_ROW = /^(cameIn|bought|boughtOn|paid|shop|fate|returnedOn|refund)-/;

function firstTexts({ months, sumsDue, unbought, recorded }: Steps, { currency }: Ledger): Record<string, string> {
  return {
    ...Object.fromEntries(
      months.map((one) => {
        const due = sumsDue.get(one) ?? null;
        return [name.cameIn(one, months), due === null ? '' : typedMoney(due, currency)];
      }),
    ),
    sumArrived: '',
    ...Object.fromEntries(
      unbought.flatMap(({ upgrade }) => [
        [name.isBought(upgrade.id), 'no'],
        [name.on(upgrade.id), ''],
      ]),
    ),
    ...Object.fromEntries(
      recorded.flatMap(({ upgrade, shop }) => [
        [name.fate(upgrade.id), 'kept'],
        [name.shop(upgrade.id), shop],
      ]),
    ),
  };
}

function closePage(steps: Steps, form: FormState, { currency, locale, monthlySum }: Ledger, once: string): ClosePage {
  const { months } = steps;
  const [first, month] = [months[0]!, months.at(-1)!];
  const isOne = months.length === 1;
  const title = isOne
    ? formatMonth(month, locale)
    : closingWords.span(formatMonth(first, locale), formatMonth(month, locale));
  return {
    heading: `Close ${title}`,
    lead: `Go through the steps from top to bottom. Nothing is kept of this page before you press the button at its end; then the ${isOne ? 'month stays as it is' : 'months stay as they are'}.`,
    held: steps.held,
    plan: steps.chosenPlan,
    mistakes: errorSummary(form),
    once,
    due: steps.due,
    buys: steps.unbought.map(({ upgrade: { id, name: called }, price }) => ({
      name: called,
      fields: [
        radioField(
          form,
          name.isBought(id),
          isOne ? closingWords.wasBoughtIn(called, title) : closingWords.wasBoughtFrom(called, title),
          [
            { value: 'no', label: closingWords.no },
            { value: 'yes', label: closingWords.yes },
          ],
        ),
        dayField(form, name.on(id), closingWords.boughtOn),
        numberField(form, name.paid(id), closingWords.paid, {
          suffix: currency.code,
          hint: closingWords.paidHint(typedMoney(price, currency)),
        }),
        ...surePrice(form, name.paid(id), name.sure(id)),
        textField(form, name.shop(id), closingWords.where, { hint: closingWords.whereHint }),
      ],
    })),
    recorded: steps.recorded.map(({ upgrade }) => {
      const { id } = upgrade;
      const fields: Field[] = [
        textField(form, name.shop(id), closingWords.where),
        selectField(form, name.fate(id), closingWords.whatBecame, [
          { value: 'kept', label: closingWords.wasKept },
          { value: 'failed', label: closingWords.failed },
          { value: 'returned', label: closingWords.returned },
        ]),
        dayField(form, name.returnedOn(id), closingWords.wentBackOn),
        numberField(form, name.refund(id), closingWords.cameBack, {
          suffix: currency.code,
          hint: closingWords.cameBackHint(typedMoney(upgrade.paid!, currency)),
        }),
      ];
      return {
        name: upgrade.name,
        fact: `bought on ${formatDate(upgrade.boughtOn!, locale)} for ${typedMoney(upgrade.paid!, currency)} ${currency.code}${upgrade.status === 'fitted' ? '; what stands in its place is said at its enclosure' : ', wanted again if it goes back'}`,
        fields,
        isOpen: fields.some((one) => one.error !== null) || form.values[name.fate(id)] !== 'kept',
      };
    }),
    fitted: steps.fitted,
    readings: steps.readings,
    money: [
      ...months.map((one) =>
        numberField(
          form,
          name.cameIn(one, months),
          isOne ? closingWords.cameInThisMonth : closingWords.cameIn(formatMonth(one, locale)),
          {
            suffix: currency.code,
            hint:
              monthlySum !== 0 && steps.sumsDue.get(one) === 0 ? closingWords.cameInAlready : closingWords.cameInHint,
          },
        ),
      ),
      ...countFields(form, currency),
    ],
    note: notesField(form, 'note', closingWords.note),
    action: isOne ? paths.months.close(month) : paths.months.catchUp,
    submit: isOne ? closingWords.closeTheMonth : closingWords.closeThese(months.length),
    cancel: paths.months.list,
  };
}

type Count = { cash: Money | null; countedOn: PlainDate | null; sumArrived: 'yes' | 'no' | null };

function countSchema(ledger: Ledger) {
  return {
    cash: optionalMoney(closingWords.theCash, ledger),
    countedOn: optionalDate(closingWords.theDayOfCount),
    sumArrived: optionalChoice(closingWords.whetherSumIsIn, ['yes', 'no']),
  };
}

function countFields(form: FormState, currency: Currency): Field[] {
  return [
    numberField(form, 'cash', closingWords.cashLeft, {
      suffix: currency.code,
      hint: closingWords.cashLeftHint,
    }),
    dayField(form, 'countedOn', closingWords.countedOn, { hint: closingWords.countedOnHint }),
    radioField(form, 'sumArrived', closingWords.isSumIn, [
      { value: 'yes', label: closingWords.yes },
      { value: 'no', label: closingWords.stillToCome },
    ]),
  ];
}

function countMistakes({ cash, countedOn, sumArrived }: Count, today: PlainDate): FormError[] {
  if (cash !== null && countedOn === null) return [{ field: 'countedOn', message: monthSentences.countNeedsDay }];
  if (cash === null && countedOn !== null) return [{ field: 'cash', message: monthSentences.dayNeedsCount }];
  if (cash !== null && sumArrived === null) return [{ field: 'sumArrived', message: monthSentences.countNeedsSum }];
  return countedOn !== null && countedOn > today
    ? [{ field: 'countedOn', message: formSentences.notLater(closingWords.theDayOfCount) }]
    : [];
}

function cameInField(month: PlainMonth | null, ledger: Ledger) {
  const when = month === null ? closingWords.thisMonth : closingWords.forMonth(formatMonth(month, ledger.locale));
  return moneyField(closingWords.whatCameIn(when), ledger);
}

/** What was said when months were closed. */
type ClosingValue = Count & {
  cameIn: ReadonlyMap<PlainMonth, Money>;
  note: string;
  bought: { upgrade: UpgradeRecord; boughtOn: PlainDate; paid: Money; shop: string }[];
  returned: { upgrade: UpgradeRecord; why: 'failed' | 'returned'; returnedOn: PlainDate; refund: Money }[];
  shops: Map<string, string>;
};

type ReadClosing = { status: 'ok'; value: ClosingValue } | ({ status: 'bad' } & FormState);

function readClosing(fields: Record<string, unknown>, steps: Steps, ledger: Ledger, today: PlainDate): ReadClosing {
  const { locale } = ledger;
  const { months } = steps;
  const [first, month] = [months[0]!, months.at(-1)!];
  const shape = {
    ...Object.fromEntries(
      steps.unbought.flatMap(({ upgrade: { id } }) => [
        [name.isBought(id), choice(closingWords.whetherBought, ['yes', 'no'])],
        [name.on(id), optionalDate(closingWords.theDayOfBuying)],
        [name.paid(id), optionalMoney(closingWords.theSumPaid, ledger)],
        [name.sure(id), checkbox(stepWords.whetherPriceIsRight)],
        [name.shop(id), optionalText(closingWords.whereBought, 160)],
      ]),
    ),
    ...Object.fromEntries(
      steps.recorded.flatMap(({ upgrade: { id } }) => [
        [name.shop(id), optionalText(closingWords.whereBought, 160)],
        [name.fate(id), choice(closingWords.whatBecameOf, ['kept', 'failed', 'returned'])],
        [name.returnedOn(id), optionalDate(closingWords.theDayWentBack)],
        [name.refund(id), optionalMoney(closingWords.whatCameBack, ledger)],
      ]),
    ),
    ...Object.fromEntries(
      months.map((one) => [name.cameIn(one, months), cameInField(months.length === 1 ? null : one, ledger)]),
    ),
    ...countSchema(ledger),
    note: optionalText(closingWords.theNote, 2000),
  };
  // A control that this page has no more cannot be shown again, so that what was typed into it would be dropped.
  if (Object.keys(fields).some((one) => OF_ONE_ROW.test(one) && !Object.hasOwn(shape, one)))
    throw new AppError('conflict', monthSentences.changedSince);
  type Typed = Count & { note: string } & Record<string, unknown>;
  const read = parseForm(formOf(shape), fields, (value) => judged(value as Typed).errors);
  if (read.status === 'bad') return read;
  const value = read.value as Typed;
  const { cash, countedOn, sumArrived, note } = value;
  const { shops, bought, returned } = judged(value);
  const cameIn = new Map(months.map((one) => [one, value[name.cameIn(one, months)] as Money]));
  return { status: 'ok', value: { cash, countedOn, sumArrived, note, cameIn, bought, returned, shops } };

  function judged(value: Typed) {
    const errors: FormError[] = [];
    const fault = (field: string, message: string) => errors.push({ field, message });
    const shops = new Map<string, string>();
    const bought = steps.unbought.flatMap(({ upgrade }) => {
      const { id } = upgrade;
      if (value[name.isBought(id)] !== 'yes') return [];
      const boughtOn = value[name.on(id)] as PlainDate | null;
      const paid = value[name.paid(id)] as Money | null;
      const shop = value[name.shop(id)] as string;
      if (boughtOn === null) fault(name.on(id), formSentences.required(closingWords.theDayOfBuying));
      else if (boughtOn > today) fault(name.on(id), formSentences.notLater(closingWords.theDayOfBuying));
      else {
        const wrong = purchaseFault(boughtOn, first, month);
        if (wrong !== null)
          fault(name.on(id), entryFaultSentence(wrong, wrong === 'before-month' ? first : month, locale));
      }
      if (paid === null) fault(name.paid(id), formSentences.required(closingWords.theSumPaid));
      errors.push(...doubtedPrice(upgrade, paid, value[name.sure(id)] === true, ledger, name.paid(id)));
      if (boughtOn === null || paid === null) return [];
      shops.set(id, shop);
      return [{ upgrade, boughtOn, paid, shop }];
    });
    const returned = steps.recorded.flatMap(({ upgrade }) => {
      const { id } = upgrade;
      shops.set(id, value[name.shop(id)] as string);
      const why = value[name.fate(id)] as 'kept' | 'failed' | 'returned';
      if (why !== 'failed' && why !== 'returned') return [];
      const returnedOn = value[name.returnedOn(id)] as PlainDate | null;
      const refund = value[name.refund(id)] as Money | null;
      if (returnedOn === null) fault(name.returnedOn(id), formSentences.required(closingWords.theDayWentBack));
      else if (returnedOn > today) fault(name.returnedOn(id), formSentences.notLater(closingWords.theDayWentBack));
      if (refund === null) fault(name.refund(id), formSentences.required(closingWords.whatCameBackOrNothing));
      if (returnedOn === null || refund === null) return [];
      const wrong = returnFault({ paid: upgrade.paid!, boughtOn: upgrade.boughtOn! }, { refund, returnedOn });
      if (wrong !== null)
        fault(
          wrong === 'refund-above-price' ? name.refund(id) : name.returnedOn(id),
          entryFaultSentence(wrong, month, locale),
        );
      return [{ upgrade, why, returnedOn, refund }];
    });
    errors.push(...countMistakes(value, today));
    return { errors, shops, bought, returned };
  }
}

function countedOf(session: Session, { cash, countedOn, sumArrived }: Count, today: PlainDate): MonthRecord['counted'] {
  if (cash === null || countedOn === null) return null;
  const { cashCounted, cashCountedOn, monthlySum } = readLedger(session);
  if (cashCounted === null || cashCountedOn === null || cashCountedOn > countedOn)
    return { cash, on: countedOn, expected: null };
  const month = monthOf(countedOn);
  const facts = readMoneyFacts(session, today);
  // Only what was paid before the day of the count is missing from it.
  const until = <T>(list: readonly T[], day: (one: T) => PlainDate) => list.filter((one) => day(one) < countedOn);
  const before = {
    ...facts,
    paid: until(facts.paid, (one) => one.boughtOn),
    refunds: until(facts.refunds, (one) => one.on),
    renewed: until(facts.renewed, (one) => one.renewedOn),
    vetPaid: until(facts.vetPaid, (one) => one.paidOn),
    today: countedOn,
  };
  const { openingCash } = budgetOf(before, month, 1);
  const isSameMonth = monthOf(cashCountedOn) === month && readLedger(session).sumArrived;
  const sum = sumArrived === 'yes' && !isSameMonth ? (monthlySum ?? 0) : 0;
  return { cash, on: countedOn, expected: money(openingCash + sum) };
}

function keepCount(tx: Tx, { cash, countedOn, sumArrived }: Count): void {
  if (cash === null || countedOn === null) return;
  const { version, cashCountedOn } = readLedger(tx);
  recordEvent(tx, { happenedOn: countedOn, what: 'cash-counted', upgradeId: null, amount: cash, note: '' });
  // An older count never takes the place of a newer one.
  if (cashCountedOn !== null && cashCountedOn > countedOn) return;
  const count = { cashCounted: cash, cashCountedOn: countedOn, sumArrived: sumArrived === 'yes' };
  mustSave(changeLedger(tx, version, count));
}

function mustSave(outcome: 'saved' | 'conflict'): void {
  if (outcome === 'conflict') throw new AppError('conflict', formSentences.changedMeanwhile);
}

function refuseUnlessOpen(session: Session, month: PlainMonth, today: PlainDate, { locale }: Ledger): void {
  const rule = closingOf(session, today).ruleFor(month);
  if (rule.status !== 'open') throw new AppError('conflict', closingSentence(rule, month, locale));
}

function monthFrom(request: FastifyRequest): PlainMonth {
  return found(readMonth((request.params as Record<string, string | undefined>).month ?? ''));
}

// The pages of money: what is owed and in hand month by month, the form in which the keeper says what there is, and the one-off sums.

import type { FastifyInstance } from 'fastify';
import { budgetOf } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { dateOfInstant, formatMonth, monthOf } from '../../src/calendar.ts';
import type { Currency, Money } from '../../src/money.ts';
import { formatMoney, money, typedMoney } from '../../src/money.ts';
import { recordEvent } from '../db/events.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import {
  addOneOffSum,
  changeOneOffSum,
  findOneOffSum,
  listOneOffSums,
  type OneOffRecord,
  putBackOneOffSum,
  readMoneyFacts,
  removeOneOffSum,
} from '../db/money.ts';
import { checkboxField, dayField, numberField, radioField, textField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  choice,
  type FormError,
  formOf,
  moneyField,
  monthField,
  optional,
  optionalDate,
  optionalMoney,
  type ReadText,
  requiredText,
} from '../forms.ts';
import { moneyFormWords, moneySentences, payerWords } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { registerLedgerForm } from './ledger-form.ts';
import { moneyPage } from './money.view.ts';
import { priceOfNew } from './price-of-new.ts';
import { registerRowPages } from './row-form.ts';

/** The fewest months the money page lists; a longer plan lists as many as it plans. */
const FEWEST_MONTHS = 12;

const payers = [
  { value: 'sum', label: payerWords.sum },
  { value: 'elsewhere', label: payerWords.elsewhere },
];

export function moneyPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, parts, render } = deps;

  app.get(paths.money, (_request, reply) => {
    const ledger = readLedger(db);
    const today = dateOfInstant(now(), ledger.timeZone);
    const facts = readMoneyFacts(db, today);
    const budget = budgetOf(facts, monthOf(today), Math.max(FEWEST_MONTHS, ledger.horizonMonths));
    const model = moneyPage(
      budget,
      ledger,
      listOneOffSums(db),
      listOneOffSums(db, 'removed'),
      facts.setAside,
      priceOfNew(db, parts, ledger),
    );
    return render(reply, 'money', model, { title: model.heading, current: 'money' });
  });

  registerLedgerForm<MoneyValue>(app, deps, {
    url: paths.moneyChange,
    back: paths.money,
    called: moneyFormWords.theMoney,
    schema: moneySchema,
    mistakes: moneyMistakes,
    texts: moneyTexts,
    labels: moneyLabels,
    form: (ledger, form) => {
      const sign = ledger.currency.code;
      const sum = (name: MoneyField, hint?: string) =>
        numberField(form, name, moneyLabels[name], hint === undefined ? { suffix: sign } : { suffix: sign, hint });
      return {
        heading: moneyFormWords.changeMoney,
        lead: moneyFormWords.changeMoneyLead,
        groups: [
          {
            legend: moneyFormWords.comesIn,
            fields: [sum('monthlySum', moneyFormWords.comesInHint), sum('floorKept', moneyFormWords.floorHint)],
          },
          {
            legend: moneyFormWords.goesOutAlready,
            fields: [
              radioField(form, 'payerOfFood', moneyLabels.payerOfFood, payers),
              sum('monthlyFood', moneyFormWords.foodHint),
              radioField(form, 'payerOfVet', moneyLabels.payerOfVet, payers),
              sum('monthlyVet', moneyFormWords.vetHint),
              radioField(form, 'payerOfPower', moneyLabels.payerOfPower, payers, {
                hint: moneyFormWords.powerHint,
              }),
              numberField(form, 'pricePerKwh', moneyLabels.pricePerKwh, {
                suffix: sign,
                hint: moneyFormWords.priceOfPowerHint,
              }),
            ],
          },
          {
            legend: moneyFormWords.cashInHand,
            fields: [
              sum('cashCounted', moneyFormWords.cashHint),
              dayField(form, 'cashCountedOn', moneyLabels.cashCountedOn),
              radioField(form, 'sumArrived', moneyLabels.sumArrived, [
                { value: 'yes', label: moneyFormWords.yes },
                { value: 'no', label: moneyFormWords.stillToCome },
              ]),
            ],
          },
        ],
        submit: moneyFormWords.save,
      };
    },
    changes: (value) => ({
      monthlySum: value.monthlySum,
      coversFood: value.payerOfFood === 'sum',
      coversVet: value.payerOfVet === 'sum',
      coversPower: value.payerOfPower === 'sum',
      monthlyFood: value.monthlyFood,
      monthlyVet: value.monthlyVet,
      pricePerKwh: value.pricePerKwh,
      cashCounted: value.cashCounted,
      cashCountedOn: value.cashCountedOn,
      sumArrived: value.sumArrived === 'yes',
      floorKept: value.floorKept ?? money(0),
    }),
    also: (tx, before, { cashCounted, cashCountedOn }) => {
      if (cashCounted === null || cashCountedOn === null) return;
      if (cashCounted === before.cashCounted && cashCountedOn === before.cashCountedOn) return;
      const counted = { happenedOn: cashCountedOn, amount: cashCounted };
      recordEvent(tx, { ...counted, what: 'cash-counted', upgradeId: null, note: '' });
    },
  });

  registerRowPages<Around, OneOffValue, OneOffRecord>(app, deps, {
    urls: {
      new: paths.oneOffSums.new,
      edit: paths.oneOffSums.edit(':id'),
      remove: paths.oneOffSums.remove(':id'),
      putBack: paths.oneOffSums.putBack(':id'),
    },
    menu: 'money',
    called: (row) => `“${row.note}”`,
    gather: (session) => {
      const { currency, locale, timeZone } = readLedger(session);
      return { currency, locale, today: dateOfInstant(now(), timeZone) };
    },
    find: (session, id) => findOneOffSum(session, id),
    schema: (ledger) =>
      formOf({
        note: requiredText(moneyFormWords.theUse, 160),
        direction: choice(moneyFormWords.theSide, ['out', 'in']),
        amount: moneyField(moneyFormWords.theAmount, ledger),
        month: monthField(moneyFormWords.theMonth),
        canWait: checkbox(moneyFormWords.whetherCanWait),
      }),
    mistakes: (_around, value): FormError[] =>
      value.amount === 0 ? [{ field: 'amount', message: moneySentences.notNothing }] : [],
    first: ({ today }) => ({ direction: 'out', month: monthOf(today) }),
    texts: ({ currency }, row) => ({
      note: row.note,
      direction: row.amount < 0 ? 'out' : 'in',
      amount: typedMoney(money(Math.abs(row.amount)), currency),
      month: row.month,
      canWait: row.canWait ? 'yes' : '',
    }),
    labels: oneOffLabels,
    form: ({ currency }, form, row) => ({
      heading: row === null ? moneyFormWords.enterSum : moneyFormWords.change(row.note),
      lead: moneyFormWords.sumLead,
      groups: [
        {
          legend: null,
          fields: [
            textField(form, 'note', oneOffLabels.note, { width: 'wide' }),
            radioField(form, 'direction', oneOffLabels.direction, [
              { value: 'out', label: moneyFormWords.itGoesOut },
              { value: 'in', label: moneyFormWords.itComesIn },
            ]),
            numberField(form, 'amount', oneOffLabels.amount, { suffix: currency.code }),
            numberField(form, 'month', oneOffLabels.month, { hint: moneyFormWords.yearAndMonth }),
            checkboxField(form, 'canWait', oneOffLabels.canWait, {
              hint: moneyFormWords.canWaitHint,
            }),
          ],
        },
      ],
      submit: row === null ? moneyFormWords.enterThisSum : moneyFormWords.save,
      cancel: paths.money,
    }),
    add: (session, _around, value) => addOneOffSum(session, oneOffFacts(value)),
    change: (session, _around, row, version, value) =>
      changeOneOffSum(session, Number(row.id), version, oneOffFacts(value)),
    confirm: ({ currency, locale }, row) => ({
      heading: moneyFormWords.remove(row.note),
      lead: moneyFormWords.removeMeans(
        formatMoney(money(Math.abs(row.amount)), currency, locale),
        formatMonth(row.month, locale),
      ),
      consequences: [],
      submit: moneyFormWords.removeSum,
    }),
    remove: (session, { today }, row, version) => removeOneOffSum(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackOneOffSum(session, Number(row.id), version),
    shownAt: () => paths.money,
    listedAt: () => paths.money,
  });
}

type Around = { currency: Currency; locale: string; today: PlainDate };

type OneOffValue = { note: string; direction: 'in' | 'out'; amount: Money; month: PlainMonth; canWait: boolean };

const oneOffLabels = {
  note: moneyFormWords.whatIsItFor,
  direction: moneyFormWords.inOrOut,
  amount: moneyFormWords.amount,
  month: moneyFormWords.month,
  canWait: moneyFormWords.canWait,
} as const;

function oneOffFacts({ note, direction, amount, month, canWait }: OneOffValue) {
  return { note, month, canWait, amount: direction === 'out' ? money(-amount) : amount };
}

type Payer = keyof typeof payerWords;

type MoneyValue = {
  monthlySum: Money | null;
  floorKept: Money | null;
  payerOfFood: Payer;
  monthlyFood: Money | null;
  payerOfVet: Payer;
  monthlyVet: Money | null;
  payerOfPower: Payer;
  pricePerKwh: number | null;
  cashCounted: Money | null;
  cashCountedOn: PlainDate | null;
  sumArrived: 'yes' | 'no';
};

type MoneyField = keyof MoneyValue;

const moneyLabels: Readonly<Record<MoneyField, string>> = {
  monthlySum: moneyFormWords.monthlySum,
  floorKept: moneyFormWords.floor,
  payerOfFood: moneyFormWords.paysFood,
  monthlyFood: moneyFormWords.foodMonthly,
  payerOfVet: moneyFormWords.paysVet,
  monthlyVet: moneyFormWords.vetMonthly,
  payerOfPower: moneyFormWords.paysPower,
  pricePerKwh: moneyFormWords.priceOfPower,
  cashCounted: moneyFormWords.cashCounted,
  cashCountedOn: moneyFormWords.countedOn,
  sumArrived: moneyFormWords.isSumIn,
};

function moneySchema(ledger: Ledger) {
  const payer = (what: string) => choice(moneyFormWords.whoPays(what), ['sum', 'elsewhere']);
  return formOf({
    monthlySum: optionalMoney(moneyFormWords.theMonthlySum, ledger),
    floorKept: optionalMoney(moneyFormWords.theFloor, ledger),
    payerOfFood: payer('food'),
    monthlyFood: optionalMoney(moneyFormWords.theFood, ledger),
    payerOfVet: payer(moneyFormWords.theVet),
    monthlyVet: optionalMoney(moneyFormWords.theVetMonthly, ledger),
    payerOfPower: payer('power'),
    pricePerKwh: optional(readRate),
    cashCounted: optionalMoney(moneyFormWords.theCash, ledger),
    cashCountedOn: optionalDate(moneyFormWords.theDayOfCount),
    sumArrived: choice(moneyFormWords.whetherSumIsIn, ['yes', 'no']),
  });
}

function moneyMistakes(_ledger: Ledger, value: MoneyValue, today: PlainDate): FormError[] {
  const { cashCounted, cashCountedOn } = value;
  if (cashCounted !== null && cashCountedOn === null)
    return [{ field: 'cashCountedOn', message: moneySentences.countNeedsDay }];
  if (cashCounted === null && cashCountedOn !== null)
    return [{ field: 'cashCounted', message: moneySentences.dayNeedsCount }];
  return cashCountedOn !== null && cashCountedOn > today
    ? [{ field: 'cashCountedOn', message: formSentences.notLater(moneyFormWords.theDayOfCount) }]
    : [];
}

function moneyTexts(ledger: Ledger) {
  const typed = (amount: Money | null) => (amount === null ? '' : typedMoney(amount, ledger.currency));
  const payer = (covered: boolean): Payer => (covered ? 'sum' : 'elsewhere');
  return {
    monthlySum: typed(ledger.monthlySum),
    floorKept: typed(ledger.floorKept),
    payerOfFood: payer(ledger.coversFood),
    monthlyFood: typed(ledger.monthlyFood),
    payerOfVet: payer(ledger.coversVet),
    monthlyVet: typed(ledger.monthlyVet),
    payerOfPower: payer(ledger.coversPower),
    pricePerKwh: ledger.pricePerKwh === null ? '' : String(ledger.pricePerKwh),
    cashCounted: typed(ledger.cashCounted),
    cashCountedOn: ledger.cashCountedOn ?? '',
    sumArrived: ledger.sumArrived ? 'yes' : 'no',
  } satisfies Record<MoneyField, string>;
}

function readRate(typed: string): ReadText<number> {
  const match = /^(\d{1,3})(?:[.,](\d{1,5}))?$/.exec(typed.trim());
  const rate = match === null ? Number.NaN : Number(`${match[1]}.${match[2] ?? '0'}`);
  return rate >= 0 && rate <= 100 ? { status: 'ok', value: rate } : { status: 'bad', message: moneySentences.rate };
}

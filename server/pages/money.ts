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
import { moneySentences, payerWords } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { registerLedgerForm } from './ledger-form.ts';
import { moneyPage } from './money.view.ts';
import { registerRowPages } from './row-form.ts';

/** The fewest months the money page lists; a longer plan lists as many as it plans. */
const FEWEST_MONTHS = 12;

const payers = [
  { value: 'sum', label: payerWords.sum },
  { value: 'elsewhere', label: payerWords.elsewhere },
];

export function moneyPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, render } = deps;

  app.get(paths.money, (_request, reply) => {
    const ledger = readLedger(db);
    const today = dateOfInstant(now(), ledger.timeZone);
    const facts = readMoneyFacts(db, today);
    const budget = budgetOf(facts, monthOf(today), Math.max(FEWEST_MONTHS, ledger.horizonMonths));
    const model = moneyPage(budget, ledger, listOneOffSums(db), listOneOffSums(db, 'removed'), facts.setAside);
    return render(reply, 'money', model, { title: model.heading, current: 'money' });
  });

  registerLedgerForm<MoneyValue>(app, deps, {
    url: paths.moneyChange,
    back: paths.money,
    called: 'the money',
    schema: moneySchema,
    mistakes: moneyMistakes,
    texts: moneyTexts,
    labels: moneyLabels,
    form: (ledger, form) => {
      const sign = ledger.currency.code;
      const sum = (name: MoneyField, hint?: string) =>
        numberField(form, name, moneyLabels[name], hint === undefined ? { suffix: sign } : { suffix: sign, hint });
      return {
        heading: 'Change the money',
        lead: 'Leave empty what you do not know: it is then shown as unknown and never counted as nothing.',
        groups: [
          {
            legend: 'What comes in',
            fields: [
              sum(
                'monthlySum',
                'What you put aside for your animals each month. The questions below ask what it must pay for.',
              ),
              sum('floorKept', 'Never plan to have less than this in hand. Empty means nothing.'),
            ],
          },
          {
            legend: 'What goes out already',
            fields: [
              radioField(form, 'payerOfFood', moneyLabels.payerOfFood, payers),
              sum('monthlyFood', 'Food, supplements and substrate.'),
              radioField(form, 'payerOfVet', moneyLabels.payerOfVet, payers),
              sum('monthlyVet', 'What is put aside a month for checks and illness.'),
              radioField(form, 'payerOfPower', moneyLabels.payerOfPower, payers, {
                hint: 'When power is paid from elsewhere, a lamp that saves power saves nothing here.',
              }),
              numberField(form, 'pricePerKwh', moneyLabels.pricePerKwh, {
                suffix: sign,
                hint: 'Without the standing charge, as on your bill, such as 0.24.',
              }),
            ],
          },
          {
            legend: 'Cash in hand',
            fields: [
              sum(
                'cashCounted',
                'Count it again whenever you like, before that day’s purchases. What you buy or renew on the day of the count or later is taken off. Remove the one-off sums of that month that are in it already from the list on the money page, or they are counted twice.',
              ),
              dayField(form, 'cashCountedOn', moneyLabels.cashCountedOn),
              radioField(form, 'sumArrived', moneyLabels.sumArrived, [
                { value: 'yes', label: 'Yes' },
                { value: 'no', label: 'No, it is still to come' },
              ]),
            ],
          },
        ],
        submit: 'Save',
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
        note: requiredText('what it is for', 160),
        direction: choice('whether it comes in or goes out', ['out', 'in']),
        amount: moneyField('the amount', ledger),
        month: monthField('the month'),
        canWait: checkbox('whether it can wait'),
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
      heading: row === null ? 'Enter a one-off sum' : `Change “${row.note}”`,
      lead: 'Something that comes in or goes out once, such as a yearly vet check or a gift. Take it out once it is in the cash you counted.',
      groups: [
        {
          legend: null,
          fields: [
            textField(form, 'note', oneOffLabels.note, { width: 'wide' }),
            radioField(form, 'direction', oneOffLabels.direction, [
              { value: 'out', label: 'It goes out' },
              { value: 'in', label: 'It comes in' },
            ]),
            numberField(form, 'amount', oneOffLabels.amount, { suffix: currency.code }),
            numberField(form, 'month', oneOffLabels.month, { hint: 'Year and month, such as 2026-03.' }),
            checkboxField(form, 'canWait', oneOffLabels.canWait, {
              hint: 'When money runs short in some month, what can wait is named first.',
            }),
          ],
        },
      ],
      submit: row === null ? 'Enter this sum' : 'Save',
      cancel: paths.money,
    }),
    add: (session, _around, value) => addOneOffSum(session, oneOffFacts(value)),
    change: (session, _around, row, version, value) =>
      changeOneOffSum(session, Number(row.id), version, oneOffFacts(value)),
    confirm: ({ currency, locale }, row) => ({
      heading: `Remove “${row.note}”?`,
      lead: `${formatMoney(money(Math.abs(row.amount)), currency, locale)} in ${formatMonth(row.month, locale)} will no longer be counted. It can be put back from the money page.`,
      consequences: [],
      submit: 'Remove this sum',
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
  note: 'What is it for?',
  direction: 'Does it come in or go out?',
  amount: 'Amount',
  month: 'Month',
  canWait: 'It can wait',
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
  monthlySum: 'Sum a month',
  floorKept: 'Floor that stays in hand',
  payerOfFood: 'Must the sum pay for food?',
  monthlyFood: 'Food a month',
  payerOfVet: 'Must the sum pay for the vet?',
  monthlyVet: 'Vet a month',
  payerOfPower: 'Must the sum pay for power?',
  pricePerKwh: 'Price of a kilowatt-hour',
  cashCounted: 'Cash counted',
  cashCountedOn: 'Counted on',
  sumArrived: 'Is the sum of that month already in it?',
};

function moneySchema(ledger: Ledger) {
  const payer = (what: string) => choice(`who pays for ${what}`, ['sum', 'elsewhere']);
  return formOf({
    monthlySum: optionalMoney('the sum a month', ledger),
    floorKept: optionalMoney('the floor', ledger),
    payerOfFood: payer('food'),
    monthlyFood: optionalMoney('the food a month', ledger),
    payerOfVet: payer('the vet'),
    monthlyVet: optionalMoney('the vet a month', ledger),
    payerOfPower: payer('power'),
    pricePerKwh: optional(readRate),
    cashCounted: optionalMoney('the cash counted', ledger),
    cashCountedOn: optionalDate('the day of the count'),
    sumArrived: choice('whether the sum is in the cash', ['yes', 'no']),
  });
}

function moneyMistakes(_ledger: Ledger, value: MoneyValue, today: PlainDate): FormError[] {
  const { cashCounted, cashCountedOn } = value;
  if (cashCounted !== null && cashCountedOn === null)
    return [{ field: 'cashCountedOn', message: moneySentences.countNeedsDay }];
  if (cashCounted === null && cashCountedOn !== null)
    return [{ field: 'cashCounted', message: moneySentences.dayNeedsCount }];
  return cashCountedOn !== null && cashCountedOn > today
    ? [{ field: 'cashCountedOn', message: formSentences.notLater('the day of the count') }]
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

// What the money page shows, already in words: the finding first, then the months, how the cash came about, and what wears out.

import type { Budget, BudgetMonth, Entry, RenewalDue, SetAside } from '../../src/budget.ts';
import { formatDate, formatMonth, formatShortMonth, monthOf } from '../../src/calendar.ts';
import type { Currency, Money } from '../../src/money.ts';
import { formatMoney, money, sumMoney } from '../../src/money.ts';
import type { Ledger } from '../db/ledger.ts';
import type { OneOffRecord } from '../db/money.ts';
import {
  entryWords,
  findingHeading,
  findingSentences,
  leftOutSentence,
  moneyFormWords,
  setAsideWords,
} from '../money-words.ts';
import { paths } from '../paths.ts';
import { keptBackWords } from '../sign-words.ts';
import { type RemovedList, removedList } from './removed-list.ts';

/** What views/pages/money.hbs shows. */
type MoneyPage = {
  heading: string;
  lead: string | null;
  empty: { heading: string; text: string; href: string; action: string } | null;
  /** The finding, its sentence first; null while nothing was said about money. */
  finding: { heading: string; first: string; more: string[] } | null;
  unknown: string[];
  facts: { term: string; value: string }[];
  /** The months one by one; `columns` names what goes out in any of them. */
  table: { columns: string[]; rows: { month: string; comesIn: string; out: string[]; endsWith: string }[] } | null;
  opening: { rows: { what: string; month: string; amount: string }[]; total: string } | null;
  oneOffs: { what: string; month: string; amount: string; wait: string; editHref: string; removeHref: string }[];
  removed: RemovedList | null;
  renewals: {
    name: string;
    dueOn: string;
    state: string;
    price: string;
    priceHref: string | null;
    share: string;
    accrued: string;
  }[];
  fund: string | null;
  changeHref: string;
  addHref: string;
  settingsHref: string;
  choicesHref: string;
  capHref: string;
  monthsHref: string;
};

type Column = { label: string; holds: (entry: Entry) => boolean };

const columns: readonly Column[] = [
  { label: 'Food', holds: (one) => one.what === 'food' },
  { label: 'Vet', holds: (one) => one.what === 'vet' },
  { label: 'Set aside for the vet', holds: (one) => one.what === 'set-aside' },
  { label: 'Power', holds: (one) => one.what === 'power' },
  { label: 'Running costs', holds: (one) => one.what === 'running-cost' && one.amount < 0 },
  { label: 'Renewals', holds: (one) => one.what === 'renewal' },
  { label: 'One-off sums', holds: (one) => one.what === 'one-off' && one.amount < 0 },
];

/** The money page of a ledger. */
export function moneyPage(
  budget: Budget,
  ledger: Ledger,
  oneOffs: readonly OneOffRecord[],
  removed: readonly OneOffRecord[],
  setAside: readonly SetAside[],
  priceOfNew: (due: RenewalDue) => string,
): MoneyPage {
  const { currency, locale } = ledger;
  const amount = (sum: Money | null) => (sum === null ? 'unknown' : formatMoney(sum, currency, locale));
  const nothingSaid = ledger.monthlySum === null && ledger.cashCounted === null;
  const [first, ...more] = findingSentences(budget, currency, locale);
  return {
    heading: 'Money',
    lead: null,
    empty: nothingSaid
      ? {
          heading: 'Nothing is known of your money yet',
          text: 'Enter the sum you put aside a month and count the cash you have. Without it nothing can be planned.',
          href: paths.moneyChange,
          action: 'Enter the money',
        }
      : null,
    finding: nothingSaid
      ? null
      : {
          heading: findingHeading(budget),
          first: first!,
          more,
        },
    unknown: budget.unknown.map((one) => leftOutSentence(one, locale)),
    facts: [...factsOf(budget, ledger, amount), ...setAside.map((one) => keptBackFact(one, currency, locale))],
    table: nothingSaid ? null : tableOf(budget.months, locale, amount),
    opening: openingOf(budget, locale, amount),
    oneOffs: oneOffs.map((one) => ({
      what: one.note,
      month: formatMonth(one.month, locale),
      amount: amount(one.amount),
      wait: one.amount > 0 ? '–' : one.canWait ? 'can wait' : 'cannot wait',
      editHref: paths.oneOffSums.edit(one.id),
      removeHref: paths.oneOffSums.remove(one.id),
    })),
    removed: removedList(
      removed.map((one) => ({ ...one, name: one.note, action: paths.oneOffSums.putBack(one.id) })),
      locale,
    ),
    renewals: budget.renewals.map((one) => ({
      name: one.name,
      dueOn: formatDate(one.dueOn, locale),
      state: one.state === 'overdue' ? 'overdue: renewing it is a purchase to decide' : 'to come',
      price: priceOfNew(one),
      priceHref: one.price === null ? paths.enclosures.fittings.edit(one.enclosureId, one.fittingId) : null,
      share: amount(one.share),
      accrued: amount(one.accrued),
    })),
    fund: fundOf(budget, amount),
    changeHref: paths.moneyChange,
    addHref: paths.oneOffSums.new,
    settingsHref: paths.settings,
    choicesHref: paths.valueChoices.show,
    capHref: paths.cap.show,
    monthsHref: paths.months.list,
  };
}

function factsOf(budget: Budget, ledger: Ledger, amount: (sum: Money | null) => string): MoneyPage['facts'] {
  const paidBy = (covered: boolean, sum: Money | null) => {
    if (covered) return `${amount(sum)} a month, paid out of the sum`;
    return sum === null ? 'paid from elsewhere' : `paid from elsewhere, ${amount(sum)} a month`;
  };
  const left = ledger.monthlySum === null ? null : money(ledger.monthlySum - budget.steadyMonthly);
  return [
    { term: 'Cash in hand today', value: amount(ledger.cashCounted === null ? null : budget.openingCash) },
    { term: 'Sum a month', value: amount(ledger.monthlySum) },
    { term: moneyFormWords.floor, value: amount(ledger.floorKept) },
    { term: 'Food', value: paidBy(ledger.coversFood, ledger.monthlyFood) },
    { term: 'Vet', value: paidBy(ledger.coversVet, ledger.monthlyVet) },
    { term: 'Power of what is fitted', value: paidBy(ledger.coversPower, budget.presentPowerMonthly) },
    { term: 'Left of a usual month for renewals and upgrades', value: amount(left) },
  ];
}

function tableOf(
  months: readonly BudgetMonth[],
  locale: string,
  amount: (sum: Money) => string,
): NonNullable<MoneyPage['table']> {
  const shown = columns.filter(({ holds }) => months.some((one) => one.entries.some(holds)));
  return {
    columns: shown.map(({ label }) => label),
    rows: months.map((one) => ({
      month: formatShortMonth(one.month, locale),
      comesIn: amount(one.comesIn),
      out: shown.map(({ holds }) => {
        const sums = one.entries.filter(holds).map((entry) => -entry.amount);
        return sums.length === 0 ? '–' : amount(sumMoney(sums));
      }),
      endsWith: amount(one.endsWith),
    })),
  };
}

function openingOf(budget: Budget, locale: string, amount: (sum: Money | null) => string): MoneyPage['opening'] {
  const { counted, countedOn, since } = budget.opening;
  if (counted === null || countedOn === null || since.length === 0) return null;
  const lines = since.map((one) => ({
    what: isWrittenDown(one) ? entryWords(one, locale) : `${entryWords(one, locale)}, assumed`,
    month: formatShortMonth(one.month, locale),
    amount: amount(one.amount),
  }));
  const count = {
    what: `Counted on ${formatDate(countedOn, locale)}`,
    month: formatShortMonth(monthOf(countedOn), locale),
    amount: amount(counted),
  };
  return {
    rows: [count, ...lines],
    total: amount(budget.openingCash),
  };
}

function isWrittenDown({ what }: Entry): boolean {
  return what === 'purchase' || what === 'refund' || what === 'renewed' || what === 'vet-visit';
}

function keptBackFact(sum: SetAside, currency: Currency, locale: string): MoneyPage['facts'][number] {
  return { term: setAsideWords(sum.animal), value: keptBackWords(sum, currency, locale) };
}

function fundOf(budget: Budget, amount: (sum: Money) => string): string | null {
  if (budget.sinkingFund.monthly === 0) return null;
  return `Spread evenly over their lives, renewals cost ${amount(budget.sinkingFund.monthly)} a month, and ${amount(budget.sinkingFund.accrued)} would be set aside for them by now. This is only for comparison: the months above deduct each renewal when it falls due, and nothing twice.`;
}

// The tables a keeper can take into a spreadsheet: which there are, and what stands in their columns. Days are written year-month-day,
// amounts in the ledger's currency, measures in the unit they are kept in beside the text that was typed.

import { budgetOf } from '../src/budget.ts';
import { addMonthsToDate, monthOf, type PlainDate } from '../src/calendar.ts';
import type { ReadingKind } from '../src/collection.ts';
import { type WrittenCell, writeDelimited } from '../src/delimited.ts';
import { type Currency, money as toMoney, typedMoney } from '../src/money.ts';
import { keptUnit } from '../src/units.ts';
import { listEnclosures } from './db/collection.ts';
import { readLedger } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import type { Db } from './db/open.ts';
import { latestPlan } from './db/plans.ts';
import { type Cell, readTable, type TableName } from './db/whole-ledger.ts';
import { readingDimensions } from './kind-words.ts';
import { entryWords } from './money-words.ts';

/** The name of a table, which is also that of its file. */
export type CsvName = (typeof CSV_NAMES)[number];

/** Every table there is, in the order of the page. */
export const CSV_NAMES = [
  'animals',
  'enclosures',
  'fittings',
  'readings',
  'answers',
  'upgrades',
  'plan',
  'renewals',
  'money',
  'signs',
  'instruments',
] as const;

type Table = { headings: string[]; rows: WrittenCell[][] };

/** A table as comma-separated values, as of a day. */
export function writeCsv(db: Db, name: CsvName, today: PlainDate): string {
  const { headings, rows } = tables[name](db, today);
  return writeDelimited(headings, rows);
}

const tables: Readonly<Record<CsvName, (db: Db, today: PlainDate) => Table>> = {
  animals: (db) => keptTable(db, 'animals'),
  enclosures: (db) => keptTable(db, 'enclosures'),
  fittings: (db) => keptTable(db, 'fittings'),
  readings: (db) =>
    keptTable(db, 'readings', {
      after: 'value',
      heading: 'unit',
      cell: ({ kind }) => keptUnit(readingDimensions[kind as ReadingKind]),
    }),
  answers: (db) => keptTable(db, 'answers'),
  upgrades: (db) => keptTable(db, 'upgrades'),
  signs: (db) => keptTable(db, 'animal_signs'),
  instruments: (db) => keptTable(db, 'instruments'),
  plan: planTable,
  renewals: renewalTable,
  money: moneyTable,
};

// Whole minor units in the database.
const amountColumns: ReadonlySet<string> = new Set([
  'renewal_price',
  'price_low',
  'price_high',
  'monthly_cost',
  'proceeds_amount',
  'paid',
  'set_aside',
]);

/** A table as it is kept, removed rows too, with the names of enclosures and animals beside their numbers. */
function keptTable(
  db: Db,
  table: TableName,
  more?: { after: string; heading: string; cell: (row: Record<string, Cell>) => string },
): Table {
  const { currency } = readLedger(db);
  const names = new Map<string, ReadonlyMap<Cell, Cell>>([
    ['enclosure_id', namesOf(db, 'enclosures')],
    ['animal_id', namesOf(db, 'animals')],
  ]);
  const { columns, rows } = readTable(db, table);
  const hasAmounts = columns.some((one) => amountColumns.has(one));
  const headings = [
    ...columns.flatMap((one) => [
      one,
      ...(names.has(one) ? [one.replace(/_id$/, '')] : []),
      ...(more?.after === one ? [more.heading] : []),
    ]),
    ...(hasAmounts ? ['currency'] : []),
  ];
  return {
    headings,
    rows: rows.map((row) => [
      ...columns.flatMap((column) => [
        cellOf(column, row[column], currency),
        ...(names.has(column) ? [textOf(names.get(column)!.get(row[column]))] : []),
        ...(more?.after === column ? [more.cell(row)] : []),
      ]),
      ...(hasAmounts ? [currency.code] : []),
    ]),
  };
}

function namesOf(db: Db, table: 'enclosures' | 'animals'): ReadonlyMap<Cell, Cell> {
  return new Map(readTable(db, table).rows.map(({ id, name }) => [id, name]));
}

function cellOf(column: string, cell: Cell, currency: Currency): WrittenCell {
  if (typeof cell === 'number') {
    if (amountColumns.has(column)) return amountOf(cell, currency);
    return /^(is|can|covers)_/.test(column) ? (cell === 1 ? 'yes' : 'no') : cell;
  }
  return textOf(cell);
}

function textOf(cell: Cell): string | null {
  if (cell === null || cell === undefined) return null;
  return typeof cell === 'string' ? cell : JSON.stringify(cell);
}

function amountOf(minorUnits: number, currency: Currency): number {
  return Number(typedMoney(toMoney(minorUnits), currency));
}

function planTable(db: Db): Table {
  const headings = ['month', 'what', 'name', 'for', 'amount', 'currency', 'arrives', 'cash_at_end', 'plan_made_on'];
  const plan = latestPlan(db);
  if (plan === null || plan.roadmap === null) return { headings, rows: [] };
  const { months, animals, currency } = plan.roadmap;
  const name = new Map(animals.map((one) => [one.animalId, one.name]));
  return {
    headings,
    rows: months.flatMap(({ month, buys, renewals, cash }): WrittenCell[][] => {
      const end = [amountOf(cash, currency), plan.madeOn];
      return [
        ...buys.map((buy) => [
          month,
          'buy',
          buy.name,
          buy.animalIds.map((id) => name.get(id) ?? '').join('; '),
          amountOf(buy.price, currency),
          currency.code,
          buy.arrives,
          ...end,
        ]),
        ...renewals.map((one) => [
          month,
          'renew',
          one.name,
          null,
          amountOf(one.amount, currency),
          currency.code,
          null,
          ...end,
        ]),
        ...(buys.length + renewals.length === 0
          ? [[month, 'save', null, null, null, currency.code, null, ...end] as WrittenCell[]]
          : []),
      ];
    }),
  };
}

function renewalTable(db: Db, today: PlainDate): Table {
  const { currency, horizonMonths } = readLedger(db);
  const enclosure = new Map(listEnclosures(db).map((one) => [one.id, one.name]));
  const amount = (sum: number | null) => (sum === null ? null : amountOf(sum, currency));
  const facts = readMoneyFacts(db, today);
  const fitting = new Map(facts.fittings.map((one) => [one.id, one]));
  return {
    headings: [
      'fitting_id',
      'name',
      'enclosure',
      'fitted_on',
      'life_months',
      'due_on',
      'state',
      'due_after_that',
      'price',
      'put_aside_a_month',
      'put_aside_by_now',
      'currency',
    ],
    rows: budgetOf(facts, monthOf(today), horizonMonths).renewals.map((one) => {
      const { fittedOn, lifeMonths } = fitting.get(one.fittingId)!;
      return [
        Number(one.fittingId),
        one.name,
        enclosure.get(one.enclosureId) ?? null,
        fittedOn,
        lifeMonths,
        one.dueOn,
        one.state === 'overdue' ? 'overdue' : 'to come',
        addMonthsToDate(fittedOn, 2 * lifeMonths!),
        amount(one.price),
        amount(one.share),
        amount(one.accrued),
        currency.code,
      ];
    }),
  };
}

function moneyTable(db: Db, today: PlainDate): Table {
  const { currency, horizonMonths } = readLedger(db);
  const budget = budgetOf(readMoneyFacts(db, today), monthOf(today), horizonMonths);
  const { counted, countedOn, since } = budget.opening;
  const entries = [...since, ...budget.months.flatMap((one) => one.entries)];
  const endsWith = new Map(budget.months.map((one) => [one.month, amountOf(one.endsWith, currency)]));
  return {
    headings: ['month', 'kind', 'what', 'amount', 'currency', 'in_hand_at_end'],
    rows: [
      ...(counted === null || countedOn === null
        ? []
        : [
            [
              monthOf(countedOn),
              'counted',
              `Cash counted on ${countedOn}`,
              amountOf(counted, currency),
              currency.code,
              null,
            ],
          ]),
      ...entries.map((one) => [
        one.month,
        one.what,
        entryWords(one, 'en-GB'),
        amountOf(one.amount, currency),
        currency.code,
        endsWith.get(one.month) ?? null,
      ]),
    ],
  };
}

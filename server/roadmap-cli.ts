// The command that prints the latest roadmap of a database as plain text or as it is kept. It knows its options; a ledger without a plan
// counts as not done.

import { existsSync } from 'node:fs';
import { addMonths, dateOfInstant, formatDate, formatMonth, monthOf } from '../src/calendar.ts';
import { formatMoney, money } from '../src/money.ts';
import { fail, runCommand, withLedger } from './command.ts';
import { ledgerVersion, readLedger } from './db/ledger.ts';
import type { Db } from './db/open.ts';
import { openToRead } from './db/open.ts';
import { latestPlan, type PlanRecord } from './db/plans.ts';
import {
  infeasibleSentences,
  planStatusSentence,
  roadmapSentences,
  savingSentence,
  whyNotSentence,
  whyNowSentence,
} from './plan-words.ts';
import { listed } from './words.ts';

const USAGE = 'Usage: npm run roadmap -- [--json] [--demo]';

process.exitCode = await runCommand(
  { env: process.env, options: process.argv.slice(2), usage: USAGE },
  (options, { database, isDemo }) => {
    const strange = options.find((one) => one !== '--json');
    if (strange !== undefined) return fail(2, `The option '${strange}' is not known. ${USAGE}`);
    if (!existsSync(database))
      return fail(
        1,
        `There is no ledger at ${database} yet. Start it with npm ${isDemo ? 'run demo' : 'start'} first.`,
      );
    return withLedger(openToRead(database), (db) => print(db, options.includes('--json')));
  },
);

function print(db: Db, asJson: boolean): number {
  const plan = latestPlan(db);
  const { locale, currency, timeZone } = readLedger(db);
  if (plan === null) return fail(1, 'No plan was made yet. Open the ledger and plan on its roadmap page.');
  if (asJson) {
    console.log(JSON.stringify(plan));
    return 0;
  }
  const isPast = monthOf(dateOfInstant(new Date(), timeZone)) > plan.firstMonth;
  const doubts = [
    ...(isPast ? [roadmapSentences.passed(formatMonth(plan.firstMonth, locale))] : []),
    ...(ledgerVersion(db) === plan.ledgerVersion ? [] : [roadmapSentences.stale]),
  ];
  const amount = (sum: number) => formatMoney(money(sum), plan.roadmap?.currency ?? currency, locale);
  console.log([...doubts, textOf(plan, locale, amount)].join('\n'));
  return 0;
}

function textOf(plan: PlanRecord, locale: string, amount: (sum: number) => string): string {
  const { answer, roadmap } = plan;
  const head = `Roadmap of ${formatDate(plan.madeOn, locale)}, from ${formatMonth(plan.firstMonth, locale)} on`;
  if (answer.status === 'infeasible') {
    const month = formatMonth(addMonths(plan.firstMonth, answer.shortMonth), locale);
    return [head, '', ...infeasibleSentences(month, answer.shortBy === 0 ? null : amount(answer.shortBy))].join('\n');
  }
  if (roadmap === null || answer.status === 'undecided') return head;
  const name = new Map(roadmap.animals.map((one) => [one.animalId, one.name]));
  const withAnimals = (one: { name: string; animalIds?: string[] }) => {
    const whom = listed((one.animalIds ?? []).map((id) => name.get(id) ?? ''));
    return whom === '' ? one.name : `${one.name} (${whom})`;
  };
  const rows = roadmap.months.flatMap((month) => [
    [formatMonth(month.month, locale), amount(month.cash), 'in hand at the end'],
    ...month.buys.map((buy) => ['', amount(buy.price), `${withAnimals(buy)}. ${whyNowSentence(buy.whyNow)}`]),
    ...month.renewals.map((one) => ['', amount(one.amount), `Renewal: ${one.name}`]),
    ...(month.savingFor === null
      ? []
      : [['', '', savingSentence(month.savingFor, amount(month.savingFor.price), locale)]]),
  ]);
  const scores = roadmap.animals.map((one) => {
    const shown = [one.planned[0]!, one.planned[one.planned.length - 1]!, one.baseline[one.baseline.length - 1]!];
    const [first, last, without] = shown.map((score) => String(Math.round(score)));
    return [one.name, first!, last!, without!];
  });
  return [
    head,
    planStatusSentence(answer),
    '',
    ...aligned([['Month', 'Amount', 'What'], ...rows]),
    '',
    ...aligned([['Animal', 'First month', 'Last month', 'Last month if you buy nothing'], ...scores]),
    ...(roadmap.notBought.length === 0
      ? []
      : [
          '',
          'Not in the plan:',
          ...roadmap.notBought.map((one) => `- ${withAnimals(one)}: ${whyNotSentence(one.why, amount)}`),
        ]),
  ].join('\n');
}

// Columns padded to the width of their widest cell, the last one left as it is.
function aligned(rows: readonly string[][]): string[] {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => [...(row[column] ?? '')].length)));
  return rows.map((row) =>
    row
      .map((cell, column) => (column === row.length - 1 ? cell : cell + ' '.repeat(widths[column]! - [...cell].length)))
      .join('  ')
      .trimEnd(),
  );
}

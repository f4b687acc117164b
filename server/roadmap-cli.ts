// The command that prints the latest roadmap of a database as plain text or as it is kept. It knows its options and its exit codes: 0
// with a roadmap, 1 with one sentence when there is none, 2 when an option cannot be used.

import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { addMonths, dateOfInstant, formatDate, formatMonth, monthOf } from '../src/calendar.ts';
import { formatMoney, money } from '../src/money.ts';
import { readConfig } from './config.ts';
import { ledgerVersion, readLedger } from './db/ledger.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { closeDatabase, openToRead } from './db/open.ts';
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

process.exitCode = run(process.argv.slice(2));

function run(options: readonly string[]): number {
  const strange = options.find((one) => one !== '--json' && one !== '--demo');
  if (strange !== undefined) return fail(2, `The option '${strange}' is not known. ${USAGE}`);
  const settings = readConfig(process.env);
  if (settings.status === 'bad') return fail(2, settings.problems.join('\n'));
  const isDemo = options.includes('--demo');
  const file = join(settings.config.dataDir, isDemo ? 'demo.sqlite' : 'ledger.sqlite');
  if (!existsSync(file)) {
    return fail(1, `There is no ledger at ${file} yet. Start it with npm ${isDemo ? 'run demo' : 'start'} first.`);
  }
  try {
    const db = openToRead(file);
    const plan = latestPlan(db);
    const { locale, currency, timeZone } = readLedger(db);
    const isStale = ledgerVersion(db) !== plan?.ledgerVersion;
    closeDatabase(db);
    if (plan === null) return fail(1, 'No plan was made yet. Open the ledger and plan on its roadmap page.');
    if (options.includes('--json')) {
      console.log(JSON.stringify(plan));
      return 0;
    }
    const isPast = monthOf(dateOfInstant(new Date(), timeZone)) > plan.firstMonth;
    const doubts = [
      ...(isPast ? [roadmapSentences.passed(formatMonth(plan.firstMonth, locale))] : []),
      ...(isStale ? [roadmapSentences.stale] : []),
    ];
    const amount = (sum: number) => formatMoney(money(sum), plan.roadmap?.currency ?? currency, locale);
    console.log([...doubts, textOf(plan, locale, amount)].join('\n'));
    return 0;
  } catch (problem) {
    if (problem instanceof UnusableDatabase) return fail(1, problem.message);
    throw problem;
  }
}

function fail(code: number, sentence: string): number {
  console.error(sentence);
  return code;
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
  const rows = roadmap.months.flatMap((month) => [
    [formatMonth(month.month, locale), amount(month.cash), 'in hand at the end'],
    ...month.buys.map((buy) => {
      const whom = listed(buy.animalIds.map((id) => name.get(id) ?? ''));
      return ['', amount(buy.price), `${buy.name}${whom === '' ? '' : ` (${whom})`}. ${whyNowSentence(buy.whyNow)}`];
    }),
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
          ...roadmap.notBought.map((one) => `- ${one.name}: ${whyNotSentence(one.why, amount)}`),
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

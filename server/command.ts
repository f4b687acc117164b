// What the commands about a ledger have in common: which of its files is meant, how long it is open, and how it is told that something could
// not be done. Exit codes: 0 when it was done, 1 with one sentence when it was not, 2 when an option or a setting cannot be used.

import { join } from 'node:path';
import { readConfig } from './config.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { closeDatabase, type Db } from './db/open.ts';

/** The folder of the ledgers, and the file of the one that is meant. */
export type LedgerPlace = { dataDir: string; database: string; isDemo: boolean };

/**
 * Runs a command with its options, `--demo` taken out of them, and returns its exit code. `work` gives null for options that it does not know.
 * What goes wrong with a file or a database is told in a sentence; anything else is thrown.
 */
export async function runCommand(
  { env, options, usage }: { env: NodeJS.ProcessEnv; options: readonly string[]; usage: string },
  work: (options: readonly string[], place: LedgerPlace) => number | null | Promise<number | null>,
): Promise<number> {
  const settings = readConfig(env);
  if (settings.status === 'bad') return fail(2, settings.problems.join('\n'));
  const { dataDir } = settings.config;
  const isDemo = options.includes('--demo');
  const database = join(dataDir, isDemo ? 'demo.sqlite' : 'ledger.sqlite');
  const others = options.filter((one) => one !== '--demo');
  try {
    return (await work(others, { dataDir, database, isDemo })) ?? fail(2, usage);
  } catch (problem) {
    if (problem instanceof UnusableDatabase) return fail(1, problem.message);
    if (problem instanceof Error && 'code' in problem && 'path' in problem)
      return fail(1, `${String(problem.path)} cannot be used (${String(problem.code)}). Nothing was changed.`);
    throw problem;
  }
}

/** Writes a sentence to standard error and gives the exit code back. */
export function fail(code: number, sentence: string): number {
  console.error(sentence);
  return code;
}

/** Does something with an open ledger and closes it, whatever comes of it. */
export function withLedger<Outcome>(db: Db, work: (db: Db) => Outcome): Outcome {
  try {
    return work(db);
  } finally {
    closeDatabase(db);
  }
}

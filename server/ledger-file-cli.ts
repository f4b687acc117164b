// The two commands that take a whole ledger out into a file and bring one in, for ledgers too large for a page. They know their options
// and their exit codes: 0 when it was done or told, 1 with one sentence when it was not, 2 when an option cannot be used.

import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readCareLibrary } from '../seed/library.ts';
import { dateOfInstant } from '../src/calendar.ts';
import { openCare } from './care.ts';
import { readConfig } from './config.ts';
import { readLedger } from './db/ledger.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { closeDatabase, type Db, openDatabase, openToRead } from './db/open.ts';
import { exportWords, fileFaultSentence } from './export-words.ts';
import {
  LEAVES_OUT,
  type LeavesOut,
  readLedgerFile,
  takeOverLedger,
  tryOutLedger,
  writeLedgerFile,
} from './ledger-file.ts';

const USAGE = [
  'Usage: npm run export -- --out FILE [--without studies|plans] [--demo]',
  '       npm run import -- FILE [--replace] [--demo]',
].join('\n');

process.exitCode = run(process.argv.slice(2));

function run([command, ...options]: readonly string[]): number {
  const settings = readConfig(process.env);
  if (settings.status === 'bad') return fail(2, settings.problems.join('\n'));
  const { dataDir } = settings.config;
  const isDemo = options.includes('--demo');
  const database = join(dataDir, isDemo ? 'demo.sqlite' : 'ledger.sqlite');
  const others = options.filter((one) => one !== '--demo');
  try {
    if (command === 'export') return takeOut(database, others);
    if (command === 'import') return bringIn(dataDir, database, others);
  } catch (problem) {
    if (problem instanceof UnusableDatabase) return fail(1, problem.message);
    if (problem instanceof Error && 'code' in problem && 'path' in problem)
      return fail(1, `${String(problem.path)} cannot be used (${String(problem.code)}). Nothing was changed.`);
    throw problem;
  }
  return fail(2, USAGE);
}

function takeOut(database: string, options: readonly string[]): number {
  const out = valueAfter('--out', options);
  const without = valueAfter('--without', options) ?? 'nothing';
  const count = 2 + (options.includes('--without') ? 2 : 0);
  if (out === null || options.length !== count || !isLeavable(without)) return fail(2, USAGE);
  if (!existsSync(database)) return fail(1, `There is no ledger at ${database} yet. Start the program first.`);
  if (existsSync(out)) return fail(1, `${out} is there already and was left as it is. Choose another name.`);
  return withLedger(openToRead(database), (db) => {
    const { timeZone } = readLedger(db);
    // Others on the computer may not read it, and a file that came up meanwhile is not written over.
    writeFileSync(out, writeLedgerFile(db, dateOfInstant(new Date(), timeZone), without), { mode: 0o600, flag: 'wx' });
    console.log(`The whole ledger was written to ${out}.`);
    return 0;
  });
}

function bringIn(dataDir: string, database: string, options: readonly string[]): number {
  const files = options.filter((one) => one !== '--replace');
  const [file] = files;
  if (file === undefined || files.length > 1 || file.startsWith('--')) return fail(2, USAGE);
  const shipped = readCareLibrary();
  const now = new Date();
  const read = readLedgerFile(readFileSync(file, 'utf8'), (scratch) =>
    tryOutLedger(scratch, openCare(scratch, shipped).library(), now),
  );
  if (read.status === 'bad') return fail(1, fileFaultSentence(read.fault));
  const { head, tables } = read.file;
  console.log(exportWords.head(head, 'en-GB'));
  if (head.leftOut.length > 0) console.log(exportWords.leftOut(head.leftOut));
  for (const [name, rows] of Object.entries(tables))
    if (rows.length > 0) console.log(`${name}: ${exportWords.rows(rows.length)}`);
  if (!options.includes('--replace')) {
    console.log('Nothing was changed. Add --replace to put it in place of the ledger, of which a copy is kept.');
    return 0;
  }
  mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  return withLedger(openDatabase(database), (db) => {
    const taken = takeOverLedger(db, read.file, dateOfInstant(now, readLedger(db).timeZone));
    if (taken.status === 'no-place-for-a-copy') return fail(1, exportWords.inMemory);
    console.log(exportWords.done);
    if (taken.copy !== null) console.log(exportWords.copy(taken.copy));
    return 0;
  });
}

function withLedger(db: Db, work: (db: Db) => number): number {
  try {
    return work(db);
  } finally {
    closeDatabase(db);
  }
}

function valueAfter(option: string, options: readonly string[]): string | null {
  const place = options.indexOf(option);
  return place === -1 ? null : (options[place + 1] ?? null);
}

function isLeavable(text: string): text is LeavesOut {
  return LEAVES_OUT.some((one) => one === text);
}

function fail(code: number, sentence: string): number {
  console.error(sentence);
  return code;
}

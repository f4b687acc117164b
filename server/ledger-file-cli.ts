// The two commands that take a whole ledger out into a file and bring one in, for ledgers too large for a page. They know their options.

import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { readCareLibrary } from '../seed/library.ts';
import { dateOfInstant } from '../src/calendar.ts';
import { openCare } from './care.ts';
import type { LedgerPlace } from './command.ts';
import { fail, runCommand, withLedger } from './command.ts';
import { readLedger } from './db/ledger.ts';
import { openDatabase, openToRead } from './db/open.ts';
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

process.exitCode = await runCommand(
  { env: process.env, options: process.argv.slice(2), usage: USAGE },
  ([command, ...options], place) => {
    if (command === 'export') return takeOut(place, options);
    if (command === 'import') return bringIn(place, options);
    return null;
  },
);

function takeOut({ database }: LedgerPlace, options: readonly string[]): number | null {
  const out = valueAfter('--out', options);
  const without = valueAfter('--without', options) ?? 'nothing';
  const count = 2 + (options.includes('--without') ? 2 : 0);
  if (out === null || options.length !== count || !isLeavable(without)) return null;
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

function bringIn({ dataDir, database }: LedgerPlace, options: readonly string[]): number | null {
  const files = options.filter((one) => one !== '--replace');
  const [file] = files;
  if (file === undefined || files.length > 1 || file.startsWith('--')) return null;
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

function valueAfter(option: string, options: readonly string[]): string | null {
  const place = options.indexOf(option);
  return place === -1 ? null : (options[place + 1] ?? null);
}

function isLeavable(text: string): text is LeavesOut {
  return LEAVES_OUT.some((one) => one === text);
}

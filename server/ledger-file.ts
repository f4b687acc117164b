// The whole ledger as one file: its form, its version and its checksum; how it is written, and everything that must be true of one before
// a row of it is taken over. A file is tried in a database in memory first, made as the program made them when the file was written and
// brought up to date from there, so that the file of an earlier version is read like its own database would be.

import { createHash } from 'node:crypto';
import { z } from 'zod';
import { checkSpecies } from '../seed/library.ts';
import { budgetOf } from '../src/budget.ts';
import { dateOfInstant, formatDate, monthOf, type PlainDate, readDate } from '../src/calendar.ts';
import { overridden, ownSource } from '../src/care-overrides.ts';
import type { CareLibrary, Source, Species } from '../src/species.ts';
import { CSV_NAMES, writeCsv } from './csv-tables.ts';
import { datedPlan } from './dated-plan.ts';
import { type CandidateFault, readCandidate } from './db/candidate.ts';
import { listCareUpdates, listOverrides, listOwnSpecies } from './db/care.ts';
import { listEvents } from './db/events.ts';
import { readLedger } from './db/ledger.ts';
import { UnusableDatabase } from './db/migrate.ts';
import { readMoneyFacts } from './db/money.ts';
import { bringUpToDate, closeDatabase, type Db, newestStep, openMemoryAt } from './db/open.ts';
import { findPlan, listPlans } from './db/plans.ts';
import { studiesOf } from './db/studies.ts';
import {
  type Column,
  copyBeside,
  holdsAnything,
  RefusedRow,
  readWholeLedger,
  replaceWholeLedger,
  type TableShape,
  tableShapes,
  tablesPointingAt,
  type WholeLedger,
} from './db/whole-ledger.ts';
import { spoiltColumn } from './ledger-json.ts';
import { gatherScoring, scoreCollection } from './scores.ts';

const FORMAT = 'basking-ledger';

/** The version of the file's own form: what surrounds the tables. The form of the tables is told by the step of the database. */
const FILE_VERSION = 1;

/** What may stay away to keep a file small: what was worked out about plans, which is worked out again, or plans with all that is about them. */
export const LEAVES_OUT = ['nothing', 'studies', 'plans'] as const;
export type LeavesOut = (typeof LEAVES_OUT)[number];

function tablesLeftOut(db: Db, what: LeavesOut): string[] {
  if (what === 'nothing') return [];
  return what === 'studies' ? ['plan_studies'] : [...tablesPointingAt(db, 'plans'), 'plans'].sort();
}

/** What surrounds the tables of a file. */
type FileHead = {
  version: number;
  /** The step of the database's history that its tables have the form of. */
  schema: number;
  exportedOn: PlainDate;
  leftOut: string[];
  /** How many rows each table holds. */
  counts: Record<string, number>;
};

/** A file that was found whole: what it says of itself, and its tables in the form of today. */
export type CheckedFile = { head: FileHead; tables: WholeLedger };

/** Why a file is not taken. Rows count from 1. */
export type FileFault =
  | { fault: 'empty' }
  | { fault: 'not-whole' }
  | { fault: 'not-a-ledger' }
  | { fault: 'newer'; what: 'file' | 'tables'; found: number; known: number }
  | { fault: 'head'; field: string }
  | { fault: 'checksum' }
  | { fault: 'strange-name'; name: string }
  | { fault: 'too-deep' }
  | { fault: 'too-large-a-number' }
  | { fault: 'unknown-table'; table: string }
  | { fault: 'missing-table'; table: string }
  | { fault: 'count'; table: string; stated: number; found: number }
  | { fault: 'unknown-column'; table: string; row: number; column: string }
  | { fault: 'missing-column'; table: string; row: number; column: string }
  | { fault: 'value'; table: string; row: number; column: string }
  | { fault: 'row'; table: string; row: number | null; reason: string }
  | { fault: 'not-usable' };

/** Nothing the program writes is nested deeper than a plan's problem, which is at about ten. */
const DEEPEST = 64;

/** Writes the whole ledger as text: one row a line, so that two files can be compared by eye. */
export function writeLedgerFile(db: Db, exportedOn: PlainDate, leaveOut: LeavesOut = 'nothing'): string {
  const leftOut = tablesLeftOut(db, leaveOut);
  const tables = Object.fromEntries(
    Object.entries(readWholeLedger(db)).map(([name, rows]) => [name, leftOut.includes(name) ? [] : rows]),
  );
  const head = {
    format: FORMAT,
    version: FILE_VERSION,
    schema: newestStep(),
    exportedOn,
    leftOut,
    counts: Object.fromEntries(Object.entries(tables).map(([name, rows]) => [name, rows.length])),
    checksum: checksumOf(tables),
  };
  const written = Object.entries(tables).map(([name, rows]) => {
    const lines = rows.map((row) => `\n${JSON.stringify(row)}`).join(',');
    return `${JSON.stringify(name)}: [${lines}${rows.length > 0 ? '\n' : ''}]`;
  });
  const headLines = Object.entries(head).map(([name, value]) => `${JSON.stringify(name)}: ${JSON.stringify(value)},\n`);
  return `{\n${headLines.join('')}"tables": {\n${written.join(',\n')}\n}\n}\n`;
}

/**
 * Reads a file and tries it in a database in memory. `tryOut` is given that database, brought up to date, and throws when the program
 * could not work with it. Nothing of the ledger itself is touched.
 */
export function readLedgerFile(
  text: string,
  tryOut: (scratch: Db) => void,
): { status: 'ok'; file: CheckedFile } | { status: 'bad'; fault: FileFault } {
  const bad = (fault: FileFault) => ({ status: 'bad' as const, fault });
  if (text.trim() === '') return bad({ fault: 'empty' });
  let content: unknown;
  try {
    content = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return bad({ fault: 'not-whole' });
  }
  const unheard = strangeIn(content);
  if (unheard !== null) return bad(unheard);
  const head = readHead(content);
  if (head.status === 'bad') return head;
  const { tables, checksum, ...rest } = head.value;
  if (checksum !== checksumOf(tables)) return bad({ fault: 'checksum' });
  const shapes = shapesAt(rest.schema);
  const wrong = faultOfTables(tables, rest, shapes);
  if (wrong !== null) return bad(wrong);
  const tried = triedOut(tables, rest.schema, tryOut);
  return tried.status === 'bad' ? tried : { status: 'ok', file: { head: rest, tables: tried.tables } };
}

/** Reads a database file and tries it like readLedgerFile; it is not changed, and nothing of the ledger itself is touched. */
export function readLedgerCopy(
  file: string,
  tryOut: (scratch: Db) => void,
):
  | { status: 'ok'; copy: { tables: WholeLedger; step: number; hasLog: boolean } }
  | { status: 'bad'; fault: FileFault | CandidateFault } {
  const read = readCandidate(file);
  if (read.status === 'bad') return read;
  const { tables, step, hasLog } = read.candidate;
  const tried = triedOut(tables, step, tryOut);
  return tried.status === 'bad' ? tried : { status: 'ok', copy: { tables: tried.tables, step, hasLog } };
}

function shapesAt(step: number): TableShape[] {
  const scratch = openMemoryAt(step);
  try {
    return tableShapes(scratch);
  } finally {
    closeDatabase(scratch);
  }
}

function triedOut(
  tables: WholeLedger,
  step: number,
  tryOut: (scratch: Db) => void,
): { status: 'ok'; tables: WholeLedger } | { status: 'bad'; fault: FileFault } {
  const bad = (fault: FileFault) => ({ status: 'bad' as const, fault });
  const scratch = openMemoryAt(step);
  try {
    replaceWholeLedger(scratch, tables);
    bringUpToDate(scratch);
    const upToDate = readWholeLedger(scratch);
    const strange = faultOfJson(upToDate);
    if (strange !== null) return bad(strange);
    try {
      tryOut(scratch);
    } catch {
      return bad({ fault: 'not-usable' });
    }
    return { status: 'ok', tables: upToDate };
  } catch (problem) {
    if (problem instanceof RefusedRow)
      return bad({ fault: 'row', table: problem.table, row: problem.row, reason: problem.message });
    if (problem instanceof UnusableDatabase) return bad({ fault: 'not-usable' });
    throw problem;
  } finally {
    closeDatabase(scratch);
  }
}

/**
 * Puts a checked file, or a checked copy, in place of the whole ledger, all or nothing. A ledger that holds anything is copied beside itself
 * first; one that lives in memory has no such place, and is replaced only while it is empty. `also` is done in the same transaction, given
 * the copy.
 */
export function takeOverLedger(
  db: Db,
  { tables }: Pick<CheckedFile, 'tables'>,
  today: PlainDate,
  {
    before = 'import',
    also = () => undefined,
  }: { before?: 'import' | 'restore'; also?: (copy: string | null) => void } = {},
): { status: 'replaced'; copy: string | null } | { status: 'no-place-for-a-copy' } {
  const holds = holdsAnything(db);
  if (holds && db.$client.memory) return { status: 'no-place-for-a-copy' };
  const copy = holds ? copyBeside(db, before, today) : null;
  replaceWholeLedger(db, tables, () => also(copy));
  return { status: 'replaced', copy };
}

/**
 * Reads everything that pages read, and scores every animal, over a ledger in memory: what cannot be worked with throws here, and not on
 * every page afterwards.
 */
export function tryOutLedger(scratch: Db, library: CareLibrary, now: Date): void {
  const { timeZone, locale, horizonMonths } = readLedger(scratch);
  const today = dateOfInstant(now, timeZone);
  formatDate(today, locale);
  scoreCollection(gatherScoring(scratch, library, now).scoring);
  budgetOf(readMoneyFacts(scratch, today), monthOf(today), horizonMonths);
  datedPlan(scratch, today);
  for (const name of CSV_NAMES) writeCsv(scratch, name, today);
  for (const { id } of listPlans(scratch)) {
    findPlan(scratch, Number(id));
    studiesOf(scratch, id);
  }
  listCareUpdates(scratch);
  mustBeWellFormed(scratch, library);
  listEvents(scratch);
}

// The keeper's own species and values, removed ones too, by the rules of the shipped figures; a value of a species that is gone is never read.
function mustBeWellFormed(scratch: Db, library: CareLibrary): void {
  const check = (species: Species, sources: readonly Source[], known: readonly Source[]) => {
    if (checkSpecies({ ...species, sources }, known).status === 'bad')
      throw new RangeError(`${species.id} is not whole`);
  };
  for (const which of ['kept', 'removed'] as const) {
    for (const { species, sources } of listOwnSpecies(scratch, which)) check(species, sources, library.sources);
    for (const one of listOverrides(scratch, which)) {
      const species = library.species.find(({ id }) => id === one.speciesId);
      if (species !== undefined) check(overridden(species, one), [ownSource(one)], library.sources);
    }
  }
}

function checksumOf(tables: WholeLedger): string {
  return `sha256:${createHash('sha256').update(JSON.stringify(tables)).digest('hex')}`;
}

// Looked through without calling itself, so that a text of a million brackets is refused like any other.
function strangeIn(content: unknown): FileFault | null {
  const waiting: { value: unknown; depth: number }[] = [{ value: content, depth: 0 }];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const { value, depth } = next;
    if (typeof value === 'number' && !Number.isFinite(value)) return { fault: 'too-large-a-number' };
    if (typeof value !== 'object' || value === null) continue;
    if (depth === DEEPEST) return { fault: 'too-deep' };
    for (const [name, inner] of Object.entries(value)) {
      if (!Array.isArray(value) && STRANGE_NAMES.has(name)) return { fault: 'strange-name', name };
      waiting.push({ value: inner, depth: depth + 1 });
    }
  }
  return null;
}

// Names that change what an object is, where a program is careless.
const STRANGE_NAMES: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

const count = z.int().nonnegative();

const headSchema = z.strictObject({
  format: z.literal(FORMAT),
  version: z.int().positive(),
  schema: z.int().positive(),
  exportedOn: z.string().transform((text, context) => {
    const day = readDate(text);
    if (day !== null) return day;
    context.addIssue({ code: 'custom', message: 'no day' });
    return z.NEVER;
  }),
  leftOut: z.array(z.string()),
  counts: z.record(z.string(), count),
  checksum: z.string(),
  tables: z.record(z.string(), z.array(z.record(z.string(), z.unknown()))),
});

function readHead(
  content: unknown,
): { status: 'ok'; value: z.infer<typeof headSchema> } | { status: 'bad'; fault: FileFault } {
  const about = z.looseObject({ format: z.literal(FORMAT), version: z.int().positive() }).safeParse(content);
  if (!about.success) return { status: 'bad', fault: { fault: 'not-a-ledger' } };
  // Before anything else: a newer form may hold what this program does not know, and is not wrong for it.
  const newer = (what: 'file' | 'tables', found: number, known: number) => ({
    status: 'bad' as const,
    fault: { fault: 'newer' as const, what, found, known },
  });
  if (about.data.version > FILE_VERSION) return newer('file', about.data.version, FILE_VERSION);
  const step = z.looseObject({ schema: z.int().positive() }).safeParse(content);
  if (step.success && step.data.schema > newestStep()) return newer('tables', step.data.schema, newestStep());
  const read = headSchema.safeParse(content);
  if (read.success) return { status: 'ok', value: read.data };
  const issue = read.error.issues[0]!;
  const field = issue.code === 'unrecognized_keys' ? issue.keys[0]! : String(issue.path[0] ?? '');
  return { status: 'bad', fault: { fault: 'head', field } };
}

function faultOfTables(tables: WholeLedger, head: FileHead, shapes: readonly TableShape[]): FileFault | null {
  const known = new Set(shapes.map((one) => one.name));
  const unknown = [...Object.keys(tables), ...Object.keys(head.counts), ...head.leftOut].find((one) => !known.has(one));
  if (unknown !== undefined) return { fault: 'unknown-table', table: unknown };
  for (const { name: table, columns } of shapes) {
    const rows = tables[table];
    if (rows === undefined) return { fault: 'missing-table', table };
    const stated = head.counts[table] ?? 0;
    if (stated !== rows.length) return { fault: 'count', table, stated, found: rows.length };
    const rowSchema = z.strictObject(Object.fromEntries(columns.map((one) => [one.name, cellSchema(one)])));
    for (const [place, content] of rows.entries()) {
      const row = place + 1;
      const missing = columns.find((one) => !Object.hasOwn(content, one.name));
      if (missing !== undefined) return { fault: 'missing-column', table, row, column: missing.name };
      const issue = rowSchema.safeParse(content).error?.issues[0];
      if (issue === undefined) continue;
      if (issue.code === 'unrecognized_keys') return { fault: 'unknown-column', table, row, column: issue.keys[0]! };
      return { fault: 'value', table, row, column: String(issue.path[0]) };
    }
  }
  return null;
}

function cellSchema({ type, isRequired, isJson }: Column) {
  if (isJson) return z.unknown();
  const value = { INTEGER: z.int(), REAL: z.number(), TEXT: z.string() }[type];
  return isRequired ? value : value.nullable();
}

function faultOfJson(tables: WholeLedger): FileFault | null {
  for (const [table, rows] of Object.entries(tables)) {
    for (const [place, row] of rows.entries()) {
      const column = spoiltColumn(table, row);
      if (column !== null) return { fault: 'value', table, row: place + 1, column };
    }
  }
  return null;
}

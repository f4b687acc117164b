// What was read of the ledger goes on being true until a row of it changes. Knows how SQLite tells that none did, for this connection and
// for any other, and when what was read must not be kept: inside a transaction, which may yet be undone. Where a row did change, all others
// stay the same objects, so that what was found from them alone stays found.

import type Database from 'better-sqlite3';
import { getTableColumns } from 'drizzle-orm';
import type { SQLiteTable } from 'drizzle-orm/sqlite-core';
import type { Session } from './open.ts';

type Client = Database.Database;
type Kept = { mark: string; results: Map<string, unknown> };

/**
 * Makes a query that reads afresh only when a row of the ledger was changed since it read last, and gives the same frozen object until
 * then: whoever wants it otherwise makes a copy. Further arguments are texts or numbers and are kept apart. In a transaction it always
 * reads, and gives what it read as it is.
 */
export function whileUnchanged<Rest extends (string | number | undefined)[], Result>(
  read: (session: Session, ...rest: Rest) => Result,
): (session: Session, ...rest: Rest) => Result {
  const keptOf = new WeakMap<Client, Kept>();
  return (session, ...rest) => {
    const client = clientOf(session);
    if (client === null || client.inTransaction) return read(session, ...rest);
    // Marked before it is read: what another program writes in between makes the mark old, never what was read.
    const mark = markOf(client);
    let kept = keptOf.get(client);
    if (kept?.mark !== mark) {
      kept = { mark, results: new Map() };
      keptOf.set(client, kept);
    }
    const key = rest.join('\n');
    if (!kept.results.has(key)) kept.results.set(key, frozen(read(session, ...rest)));
    return kept.results.get(key) as Result;
  };
}

type Cells = readonly unknown[];
type Query<Row> = { all: () => Row[]; values: () => unknown[][] };
const rowsOf = new WeakMap<Client, Map<string, Map<unknown, { cells: Cells; made: object }>>>();

/**
 * Makes something of every row that a query finds, all columns of one table, and gives the same frozen object as the last time for a row of
 * which every cell is the same. `list` names the query, one name for each; `keyCells` is how many columns, the first ones, tell its rows
 * apart. What is made of a row must hang on its cells alone. In a transaction every row is made anew and nothing is kept.
 */
export function rowsAsBefore<Row, Made extends object>(
  session: Session,
  list: string,
  table: SQLiteTable,
  query: Query<Row>,
  make: (row: Row) => Made,
  keyCells = 1,
): Made[] {
  const client = clientOf(session);
  if (client === null || client.inTransaction) return query.all().map(make);
  let lists = rowsOf.get(client);
  if (lists === undefined) {
    lists = new Map();
    rowsOf.set(client, lists);
  }
  const before = lists.get(list);
  const columns = Object.entries(getTableColumns(table));
  const rowOf = (cells: Cells) =>
    Object.fromEntries(
      columns.map(([name, column], index) => [
        name,
        cells[index] === null ? null : column.mapFromDriverValue(cells[index]),
      ]),
    ) as Row;
  // Of the rows before, only those that were found again are kept on.
  const now: typeof before = new Map();
  lists.set(list, now);
  return query.values().map((cells) => {
    const key = keyCells === 1 ? cells[0] : cells.slice(0, keyCells).join('\n');
    const old = before?.get(key);
    const kept = old !== undefined && isSameList(old.cells, cells) ? old : { cells, made: frozen(make(rowOf(cells))) };
    now.set(key, kept);
    return kept.made as Made;
  });
}

/**
 * Does a piece of work for a part of the ledger, and gives the same frozen result as the last time for this part as long as `from`,
 * everything that it is found from, is the same: the same objects, or equal texts and numbers. The part and those objects must be frozen.
 */
export function whileSame<Part extends object, Result>(): (part: Part, from: Cells, work: () => Result) => Result {
  const kept = new WeakMap<Part, { from: Cells; result: Result }>();
  return (part, from, work) => {
    const before = kept.get(part);
    if (before !== undefined && isSameList(before.from, from)) return before.result;
    const result = frozen(work());
    kept.set(part, { from, result });
    return result;
  };
}

function isSameList(one: Cells, other: Cells): boolean {
  if (one.length !== other.length) return false;
  for (let index = 0; index < one.length; index += 1) if (!Object.is(one[index], other[index])) return false;
  return true;
}

/** How many results of one piece of work are kept for one thing that it was done with. */
const MOST_KEPT = 50;

/**
 * Does a piece of work once for what it is done with, as long as that cannot change: the first argument, when it is frozen, and the others,
 * the same objects or equal texts. Gives the same frozen result until then. What is not frozen is worked out anew each time. For work
 * that takes nothing but its arguments.
 */
export function oncePer<First extends object, Rest extends readonly unknown[], Result>(
  work: (first: First, ...rest: Rest) => Result,
): (first: First, ...rest: Rest) => Result {
  const done = new WeakMap<First, { rest: Rest; result: Result }[]>();
  return (first, ...rest) => {
    if (!Object.isFrozen(first)) return work(first, ...rest);
    let known = done.get(first);
    if (known === undefined) {
      known = [];
      done.set(first, known);
    }
    const before = known.find((one) => one.rest.every((value, index) => Object.is(value, rest[index])));
    if (before !== undefined) return before.result;
    const result = frozen(work(first, ...rest));
    if (known.length >= MOST_KEPT) known.shift();
    known.push({ rest, result });
    return result;
  };
}

/** Makes a value and everything in it unchangeable, and gives it back. What is unchangeable already is taken to be so to its depth. */
export function frozen<Value>(value: Value): Value {
  if (typeof value !== 'object' || value === null || Object.isFrozen(value)) return value;
  Object.freeze(value);
  for (const one of Object.values(value)) frozen(one);
  return value;
}

// Only the ledger itself has a client; a transaction on it has none.
function clientOf(session: Session): Client | null {
  return '$client' in session ? (session.$client as Client) : null;
}

const marks = new WeakMap<Client, { mine: Database.Statement; others: Database.Statement }>();

// total_changes counts every row that this connection ever wrote, those of undone transactions included; data_version changes when
// another connection committed (sqlite.org/lang_corefunc.html#total_changes, sqlite.org/pragma.html#pragma_data_version).
function markOf(client: Client): string {
  let asked = marks.get(client);
  if (asked === undefined) {
    const mine = client.prepare('SELECT total_changes()').pluck();
    asked = { mine, others: client.prepare('PRAGMA data_version').pluck() };
    marks.set(client, asked);
  }
  return `${asked.mine.get()} ${asked.others.get()}`;
}

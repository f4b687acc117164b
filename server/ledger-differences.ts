// How a whole ledger that comes in differs from the one that is here: table by table which rows come, change or go, each by the name its
// keeper knows it by. Rows are the same where their keys are.

import { createHash } from 'node:crypto';
import type { Rows, TableShape, WholeLedger } from './db/whole-ledger.ts';
import { readingNames } from './kind-words.ts';
import { eventNames } from './month-words.ts';

/** A row that differs: what it is called here, what it is called there where that is another name, and the columns in which both differ. */
type ChangedRow = { here: string; there: string; columns: string[] };

/** What differs in one table, by names; a table without a difference has three empty lists. */
export type TableDifference = { table: string; added: string[]; changed: ChangedRow[]; gone: string[] };

/** The differences of every table, in the order of the tables. */
export function differencesOf(here: WholeLedger, there: WholeLedger, shapes: readonly TableShape[]): TableDifference[] {
  return shapes.map(({ name: table, key, columns }) => {
    const keyOf = (row: Rows[number]) => JSON.stringify(key.map((one) => row[one]));
    const present = new Map((here[table] ?? []).map((row) => [keyOf(row), row]));
    const coming = new Map((there[table] ?? []).map((row) => [keyOf(row), row]));
    const called = (row: Rows[number], from: WholeLedger) => rowName(row, key, from);
    return {
      table,
      added: [...coming].filter(([one]) => !present.has(one)).map(([, row]) => called(row, there)),
      gone: [...present].filter(([one]) => !coming.has(one)).map(([, row]) => called(row, here)),
      changed: [...present].flatMap(([one, row]): ChangedRow[] => {
        const other = coming.get(one);
        if (other === undefined) return [];
        const differ = columns
          .map(({ name }) => name)
          .filter((name) => JSON.stringify(row[name]) !== JSON.stringify(other[name]));
        if (differ.length === 0) return [];
        // How often a row was changed tells nothing where what it says differs too.
        const telling = differ.filter((name) => name !== 'version');
        return [
          { here: called(row, here), there: called(other, there), columns: telling.length > 0 ? telling : differ },
        ];
      }),
    };
  });
}

/** Marks a ledger as it is, so that a change of it since can be told; what is worked out about plans meanwhile is none. */
export function markOf(ledger: WholeLedger): string {
  const { plan_studies: _, ...entered } = ledger;
  return createHash('sha256').update(JSON.stringify(entered)).digest('hex');
}

const words: Readonly<Record<string, string>> = { ...readingNames, ...eventNames };

// Most rows have a name of their own. The others are told by what they are of, what they say, and when.
function rowName(row: Rows[number], key: readonly string[], from: WholeLedger): string {
  const text = (column: string) => (typeof row[column] === 'string' ? (row[column] as string) : '');
  const own = text('name') || text('note') || text('month');
  if (own !== '') return own;
  const owner = (['enclosure', 'animal', 'upgrade'] as const)
    .map((one) => from[`${one}s`]?.find(({ id }) => id === row[`${one}_id`])?.name)
    .find((name) => typeof name === 'string');
  const kind = text('kind') || text('what') || text('check_name') || text('figure');
  const what = [words[kind] ?? kind.replaceAll('-', ' '), text('typed')];
  const day = Object.keys(row).find((column) => /_on$/.test(column) && column !== 'removed_on' && text(column) !== '');
  const parts = [owner, ...what, day === undefined ? '' : text(day)].filter(
    (part) => part !== undefined && part !== '',
  );
  return parts.length > 0 ? parts.join(', ') : `number ${key.map((one) => row[one]).join(', ')}`;
}

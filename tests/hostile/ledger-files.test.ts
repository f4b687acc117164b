// A whole ledger as a file, changed at random and given a checksum that fits again: it is refused in a sentence, or taken over such that every
// page of it is answered. It never comes in half, and never makes a page fail afterwards.

import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readWholeLedger, replaceWholeLedger, type WholeLedger } from '../../server/db/whole-ledger.ts';
import { fileFaultSentence } from '../../server/export-words.ts';
import { readLedgerFile, tryOutLedger, writeLedgerFile } from '../../server/ledger-file.ts';
import { plainDate } from '../../src/calendar.ts';
import { closeApp, type TestApp, testMoment } from '../support/app.ts';
import { crawl } from '../support/crawl.ts';
import { keepCopy, openFullLedger, sameForms } from '../support/full-ledger.ts';
import { effort, tries, within } from '../support/hostile.ts';
import { library } from '../support/make.ts';

/** What the program writes by itself of its own care library; a forged one is held to its outline alone. */
const workedOut = /^(care_updates|shipped_figures)$/;

let app: TestApp;
let putBack: () => void;
let text: string;
let addresses: string[];
const faults: string[] = [];
const outcomes = new Map<string, number>();

beforeAll(async () => {
  app = await openFullLedger((line) => void faults.push(line));
  const found = await crawl(app, sameForms);
  addresses = found.map(({ address }) => address).filter((address) => !address.startsWith('/species'));
  text = writeLedgerFile(app.db, plainDate('2026-01-15'));
  putBack = keepCopy(app.db);
}, within(240_000));

afterAll(async () => {
  console.info([...outcomes].map(([outcome, times]) => `${times} ${outcome}`).join(', '));
  await closeApp(app);
});

type Place = { holder: Record<string | number, unknown>; name: string | number };

/** Every place in the rows of a ledger that something can be put into, cells and what is within them. */
function placesIn(tables: WholeLedger): Place[] {
  const found: Place[] = [];
  const waiting: unknown[] = Object.entries(tables).flatMap(([name, rows]) => (workedOut.test(name) ? [] : rows));
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) {
    for (const [name, value] of Object.entries(one as object)) {
      found.push({ holder: one as Place['holder'], name: Array.isArray(one) ? Number(name) : name });
      if (typeof value === 'object' && value !== null) waiting.push(value);
    }
  }
  return found;
}

const values = fc.oneof(
  {
    weight: 3,
    arbitrary: fc.constantFrom<unknown[]>(null, 0, -1, 1, 2, 3, 99, 0.5, 1e6, 1e12, 1e15, 2 ** 53, 1e300, -1e300),
  },
  {
    weight: 2,
    arbitrary: fc.constantFrom<unknown[]>(
      '',
      'words',
      '1',
      '2026-02-30',
      '2026-01-10',
      '0001-01-01',
      '\u0000',
      '\uD800',
      'x'.repeat(5_000),
    ),
  },
  { weight: 2, arbitrary: fc.constantFrom<unknown[]>(true, [], {}, [null], [[[[]]]], { a: { b: {} } }, [1, 2, 3]) },
);

const mutation = fc.oneof(
  fc.record({ kind: fc.constant('put' as const), place: fc.nat(), value: values }),
  fc.record({
    kind: fc.constantFrom('drop' as const, 'swap' as const, 'deepen' as const, 'names' as const),
    place: fc.nat(),
    value: fc.nat(),
  }),
  fc.record({ kind: fc.constantFrom('double-row' as const, 'drop-row' as const), place: fc.nat(), value: fc.nat() }),
);

type Mutation = { kind: string; place: number; value: unknown };

function mutate(tables: WholeLedger, { kind, place, value }: Mutation): void {
  if (kind.endsWith('-row')) {
    const filled = Object.values(tables).filter((rows) => rows.length > 0);
    const rows = filled[place % filled.length]!;
    const at = Number(value) % rows.length;
    if (kind === 'drop-row') rows.splice(at, 1);
    else rows.push({ ...rows[at]!, ...(Number(value) % 2 === 0 ? { id: 900 + (Number(value) % 90) } : {}) });
    return;
  }
  const places = placesIn(tables);
  const { holder, name } = places[place % places.length]!;
  if (kind === 'put') holder[name] = value;
  else if (kind === 'drop') delete holder[name];
  else if (kind === 'deepen') holder[name] = { inner: [holder[name]] };
  else if (kind === 'names') holder[name] = JSON.parse('{"__proto__": {"polluted": true}, "constructor": 1}');
  else {
    const other = places[Number(value) % places.length]!;
    [holder[name], other.holder[other.name]] = [other.holder[other.name], holder[name]];
  }
}

function forged(mutations: readonly Mutation[]): string {
  const file = JSON.parse(text) as { tables: WholeLedger; counts: Record<string, number> };
  for (const one of mutations) mutate(file.tables, one);
  const tables = JSON.parse(JSON.stringify(file.tables)) as WholeLedger;
  const counts = Object.fromEntries(Object.entries(tables).map(([name, rows]) => [name, rows.length]));
  const checksum = `sha256:${createHash('sha256').update(JSON.stringify(tables)).digest('hex')}`;
  return JSON.stringify({ ...file, tables, counts, checksum });
}

test(
  'A file changed at random is refused in a sentence, or every page of what it brings is answered',
  async () => {
    const count = (outcome: string) => outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    let turn = effort.seed;
    await fc.assert(
      fc.asyncProperty(fc.array(mutation, { minLength: 1, maxLength: 2 }), async (mutations) => {
        const read = readLedgerFile(forged(mutations), (scratch) => tryOutLedger(scratch, library, testMoment));
        if (read.status === 'bad') {
          expect(fileFaultSentence(read.fault)).toMatch(/^[A-Z“].*\.$/s);
          count(`refused as ${read.fault.fault}`);
          return;
        }
        count('taken over');
        replaceWholeLedger(app.db, read.file.tables);
        expect(readWholeLedger(app.db)).toEqual(read.file.tables);
        try {
          // A few pages a turn, each of them many times over all turns.
          turn += 1;
          for (const address of addresses.filter((_, index) => (index + turn) % 5 === 0 || index === 0)) {
            const before = faults.length;
            const { status } = await app.get(address);
            expect(
              [200, 303, 403, 404, 409, 422],
              `${address} ${JSON.stringify(mutations).slice(0, 300)} ${faults.at(before) ?? ''}`,
            ).toContain(status);
          }
        } finally {
          putBack();
        }
      }),
      tries(100),
    );
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    expect(outcomes.get('taken over')).toBeGreaterThan(4);
    expect([...outcomes.keys()].length).toBeGreaterThan(4);
  },
  within(240_000),
);

// The whole ledger as a file: out, in and out again to the same bytes; and everything a file can be that is not taken.

import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { is } from 'drizzle-orm';
import { getTableConfig, SQLiteTable } from 'drizzle-orm/sqlite-core';
import fc from 'fast-check';
import { expect, onTestFinished, test } from 'vitest';
import { prepareDemo } from '../../seed/demo.ts';
import { listAnimals, removeAnimal } from '../../server/db/collection.ts';
import { changeLedger, ledgerIdentity, readLedger } from '../../server/db/ledger.ts';
import { addOneOffSum } from '../../server/db/money.ts';
import { closeDatabase, type Db, newestStep, openDatabase, openMemory, openMemoryAt } from '../../server/db/open.ts';
import * as schema from '../../server/db/schema.ts';
import { NOT_OF_THE_LEDGER, readWholeLedger, replaceWholeLedger, tableShapes } from '../../server/db/whole-ledger.ts';
import { fileFaultSentence, tableNames, tableSentences } from '../../server/export-words.ts';
import {
  type FileFault,
  readLedgerFile,
  takeOverLedger,
  tryOutLedger,
  writeLedgerFile,
} from '../../server/ledger-file.ts';
import { heldColumns } from '../../server/ledger-json.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { money } from '../../src/money.ts';
import { keepAnimal, keepEnclosure, keepSmallLedger } from '../support/ledger.ts';
import { library, makeAnimal, makeEnclosure } from '../support/make.ts';

const today = plainDate('2026-01-15');
const moment = new Date('2026-01-15T12:00:00Z');
const tryOut = (scratch: Db) => tryOutLedger(scratch, library, moment);

function checked(text: string) {
  const read = readLedgerFile(text, tryOut);
  if (read.status === 'bad') throw new Error(fileFaultSentence(read.fault));
  return read.file;
}

function faultOf(text: string): FileFault {
  const read = readLedgerFile(text, tryOut);
  if (read.status === 'ok') throw new Error('the file was taken');
  return read.fault;
}

/** A file as its parts, changed and given a checksum that fits again: what somebody could make on purpose. */
function forged(text: string, change: (file: Forged) => void): string {
  const file = JSON.parse(text) as Forged;
  change(file);
  const sum = createHash('sha256').update(JSON.stringify(file.tables)).digest('hex');
  return JSON.stringify({ ...file, checksum: `sha256:${sum}` });
}
type Forged = {
  counts: Record<string, number>;
  tables: Record<string, Record<string, unknown>[]>;
  [name: string]: unknown;
};

function small(): Db {
  const db = openMemory();
  keepSmallLedger(db);
  return db;
}

const smallText = writeLedgerFile(small(), today);

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

test('The demonstration with its plans goes out, into an empty ledger, and out again to the same bytes', async () => {
  const db = openMemory();
  await prepareDemo(db, () => moment, 1_000);
  const text = writeLedgerFile(db, today);
  const other = openMemory();
  expect(takeOverLedger(other, checked(text), today)).toEqual({ status: 'replaced', copy: null });
  expect(writeLedgerFile(other, today)).toBe(text);
  expect(ledgerIdentity(other)).toBe(ledgerIdentity(db));
  // Only the day differs when it is exported on another one.
  expect(writeLedgerFile(other, plainDate('2026-02-01')).replace('2026-02-01', '2026-01-15')).toBe(text);
  const { tables, counts } = JSON.parse(text) as Forged;
  expect(counts.plans).toBeGreaterThan(0);
  expect(tables.plans).toHaveLength(counts.plans!);
  // JSON within the tables is JSON in the file too, not a text of brackets and quotes.
  expect(tables.plans![0]!.problem).toHaveProperty('purchases');
  const withoutPlans = writeLedgerFile(db, today, 'plans');
  expect(withoutPlans.length).toBeLessThan(text.length);
  const { leftOut } = checked(withoutPlans).head;
  expect(leftOut).toEqual(expect.arrayContaining(['plan_studies', 'plans']));
  for (const name of leftOut) expect(checked(withoutPlans).tables[name], name).toEqual([]);
});

test('Random ledgers go out, in and out again to the same bytes', () => {
  const texts = fc.oneof(
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }),
    fc.constantFrom('=1+2', '"', '\\', '😀', '\u2028', "'; DROP TABLE animals; --"),
  );
  const whole = texts.filter((text) => !/\p{Cs}/u.test(text) && !text.includes('\0') && text.length <= 80);
  let rows = 0;
  fc.assert(
    fc.property(
      fc.array(
        fc.record({
          name: whole,
          notes: whole,
          gone: fc.boolean(),
          mm: fc.double({ min: 1, max: 20000, noNaN: true }),
        }),
        { maxLength: 6 },
      ),
      fc.array(fc.record({ note: whole, amount: fc.integer({ min: -100000, max: 100000 }) }), { maxLength: 4 }),
      fc.double({ min: -90, max: 90, noNaN: true }),
      (animals, sums, latitude) => {
        const db = openMemory();
        const enclosureId = keepEnclosure(db, makeEnclosure({ id: '1' }), { lengthTyped: '60 cm' });
        for (const { name, mm, notes, gone } of animals) {
          const gecko = makeAnimal('leopard-gecko', { id: '1', name, lengthMm: mm });
          const id = keepAnimal(db, gecko, { enclosureId, lengthTyped: notes, notes });
          if (gone) removeAnimal(db, Number(id), 1, today);
        }
        for (const one of sums)
          addOneOffSum(db, { month: plainMonth('2026-03'), amount: money(one.amount), note: one.note, canWait: true });
        changeLedger(db, readLedger(db).version, { latitude });
        const text = writeLedgerFile(db, today);
        const other = small();
        replaceWholeLedger(other, checked(text).tables);
        expect(writeLedgerFile(other, today)).toBe(text);
        rows += animals.length + sums.length;
        closeDatabase(db);
        closeDatabase(other);
      },
    ),
    { numRuns: 25 },
  );
  expect(rows).toBeGreaterThan(30);
});

test('No table of the ledger can be forgotten: each is in the file and has its sentence, and what is left out says why', () => {
  const tables = Object.values(schema)
    .filter((one) => is(one, SQLiteTable))
    .map((one) => getTableConfig(one).name)
    .sort();
  expect(tables.length).toBeGreaterThan(15);
  const { tables: written } = JSON.parse(writeLedgerFile(openMemory(), today)) as Forged;
  expect(Object.keys(written).sort()).toEqual(tables);
  expect(Object.keys(tableSentences)).toEqual(expect.arrayContaining(tables));
  expect(Object.keys(tableNames)).toEqual(expect.arrayContaining(tables));
  const real = openMemory()
    .$client.prepare<[], { name: string }>(
      "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'",
    )
    .all()
    .map((one) => one.name);
  expect(real.filter((name) => !tables.includes(name))).toEqual(Object.keys(NOT_OF_THE_LEDGER));
});

test('Every column that the program reads as JSON is JSON in the file', () => {
  const shapes = new Map(tableShapes(openMemory()).map((one) => [one.name, one]));
  let count = 0;
  for (const table of Object.values(schema).filter((one) => is(one, SQLiteTable))) {
    const { name, columns } = getTableConfig(table);
    for (const column of columns.filter((one) => one.dataType === 'json')) {
      expect(shapes.get(name)!.columns.find((one) => one.name === column.name)?.isJson, `${name}.${column.name}`).toBe(
        true,
      );
      count++;
    }
  }
  expect(count).toBeGreaterThan(15);
  const json = [...shapes.values()].flatMap(({ name, columns }) =>
    columns.filter((one) => one.isJson).map((one) => `${name}.${one.name}`),
  );
  expect(heldColumns).toEqual(expect.arrayContaining(json));
});

test('A file goes into a ledger that holds something, which is kept as a copy that can be opened', () => {
  const folder = newFolder();
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const before = writeLedgerFile(db, today);
  const empty = writeLedgerFile(openMemory(), today);
  const first = takeOverLedger(db, checked(empty), today);
  expect(first).toEqual({ status: 'replaced', copy: join(folder, 'ledger.before-import-2026-01-15.sqlite') });
  expect(listAnimals(db)).toEqual([]);
  expect(takeOverLedger(db, checked(before), today)).toEqual({ status: 'replaced', copy: null });
  expect(takeOverLedger(db, checked(empty), today)).toMatchObject({
    copy: join(folder, 'ledger.before-import-2026-01-15-2.sqlite'),
  });
  closeDatabase(db);
  const copy = openDatabase(join(folder, 'ledger.before-import-2026-01-15.sqlite'));
  expect(writeLedgerFile(copy, today)).toBe(before);
  closeDatabase(copy);
  expect(readdirSync(folder).filter((name) => name.endsWith('.sqlite'))).toHaveLength(3);
});

test('A ledger in memory that holds something is not replaced, since it cannot be copied', () => {
  const db = small();
  expect(takeOverLedger(db, checked(writeLedgerFile(openMemory(), today)), today)).toEqual({
    status: 'no-place-for-a-copy',
  });
  expect(writeLedgerFile(db, today)).toBe(
    smallText
      .replace(/"identity":"\w+"/, `"identity":"${ledgerIdentity(db)}"`)
      .replace(/sha256:\w+/, /sha256:\w+/.exec(writeLedgerFile(db, today))![0]),
  );
});

test('When one row cannot be kept, nothing at all is replaced', () => {
  const db = small();
  const before = readWholeLedger(db);
  const { tables } = checked(smallText);
  expect(() => replaceWholeLedger(db, { ...tables, animals: [{ ...tables.animals![0], sex: 'perhaps' }] })).toThrow(
    /CHECK/,
  );
  expect(() => replaceWholeLedger(db, { ...tables, enclosures: [] })).toThrow(/points at one that is not there/);
  expect(readWholeLedger(db)).toEqual(before);
});

test('The file of an earlier version is brought up to date like its own database would be', () => {
  // Rooms came with the fifth step, and lamps were told more of; before it an enclosure had no "build".
  const old = openMemoryAt(4);
  old.$client
    .prepare(
      "INSERT INTO enclosures (id, name, length_mm, depth_mm, height_mm, length_typed, depth_typed, height_typed, material, top, box_since, notes) VALUES (7, 'Shelf', 600, 450, 450, '', '', '', 'glass', 'mesh', '2025-01-01', '')",
    )
    .run();
  const tables = readWholeLedger(old);
  expect(tables.enclosures![0]).not.toHaveProperty('build');
  const text = forged(smallText, (file) => {
    file.schema = 4;
    file.tables = tables as Forged['tables'];
    file.counts = Object.fromEntries(Object.entries(tables).map(([name, rows]) => [name, rows.length]));
  });
  const file = checked(text);
  expect(file.head.schema).toBe(4);
  expect(file.tables.enclosures).toMatchObject([{ id: 7, name: 'Shelf', build: { standsOn: 'something' } }]);
  const db = openMemory();
  takeOverLedger(db, file, today);
  expect(writeLedgerFile(db, today)).toContain(`"schema": ${newestStep()}`);
  // The same tables said to be of today's form lack what came since.
  expect(
    faultOf(
      forged(text, (one) => {
        one.schema = newestStep();
      }),
    ),
  ).toMatchObject({ fault: 'missing-table' });
});

test.each<[string, string, FileFault]>([
  ['nothing', '  \n', { fault: 'empty' }],
  ['a text', 'hello', { fault: 'not-whole' }],
  ['a file that was cut off', smallText.slice(0, -200), { fault: 'not-whole' }],
  ['half of a file', smallText.slice(smallText.length / 2), { fault: 'not-whole' }],
  ['a list', '[]', { fault: 'not-a-ledger' }],
  ['nothing in JSON', 'null', { fault: 'not-a-ledger' }],
  ['the file of another program', '{"format":"notes","version":1}', { fault: 'not-a-ledger' }],
  ['a version that is no number', '{"format":"basking-ledger","version":"1"}', { fault: 'not-a-ledger' }],
  [
    'a file from a newer version',
    '{"format":"basking-ledger","version":2,"new":true}',
    { fault: 'newer', what: 'file', found: 2, known: 1 },
  ],
  [
    'tables from a newer version',
    smallText.replace(/"schema": \d+/, '"schema": 999'),
    { fault: 'newer', what: 'tables', found: 999, known: newestStep() },
  ],
  [
    'a day that does not exist',
    smallText.replace('"2026-01-15"', '"2026-02-31"'),
    { fault: 'head', field: 'exportedOn' },
  ],
  ['a field too many', smallText.replace('{\n', '{\n"more": 1,\n'), { fault: 'head', field: 'more' }],
  ['a changed price', smallText.replace('"price_high":2500', '"price_high":2501'), { fault: 'checksum' }],
  ['a changed checksum', smallText.replace(/sha256:../, 'sha256:zz'), { fault: 'checksum' }],
  ['a huge number', smallText.replace('"price_high":2500', '"price_high":1e999'), { fault: 'too-large-a-number' }],
  [
    'a name that changes objects',
    smallText.replace('"seasons":[]', '"seasons":[{"__proto__":{"admin":true}}]'),
    { fault: 'strange-name', name: '__proto__' },
  ],
  [
    'a table that changes objects',
    smallText.replace('"answers":', '"constructor":'),
    { fault: 'strange-name', name: 'constructor' },
  ],
  [
    'a million brackets',
    `{"format":"basking-ledger","version":1,"tables":${'['.repeat(1e6)}${']'.repeat(1e6)}}`,
    { fault: 'too-deep' },
  ],
  [
    'an unknown table',
    forged(smallText, (file) => {
      file.tables.secrets = [];
    }),
    { fault: 'unknown-table', table: 'secrets' },
  ],
  [
    'the record of migrations',
    forged(smallText, (file) => {
      file.tables.applied_migrations = [];
    }),
    { fault: 'unknown-table', table: 'applied_migrations' },
  ],
  [
    'a missing table',
    forged(smallText, (file) => {
      delete file.tables.readings;
    }),
    { fault: 'missing-table', table: 'readings' },
  ],
  [
    'a count that is wrong',
    forged(smallText, (file) => {
      file.counts.animals = 2;
    }),
    { fault: 'count', table: 'animals', stated: 2, found: 1 },
  ],
  [
    'an unknown column',
    forged(smallText, (file) => {
      file.tables.animals![0]!.mood = 'calm';
    }),
    { fault: 'unknown-column', table: 'animals', row: 1, column: 'mood' },
  ],
  [
    'a missing column',
    forged(smallText, (file) => {
      delete file.tables.upgrades![1]!.name;
    }),
    { fault: 'missing-column', table: 'upgrades', row: 2, column: 'name' },
  ],
  [
    'a number for a name',
    forged(smallText, (file) => {
      file.tables.animals![0]!.name = 5;
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'name' },
  ],
  [
    'a text for a number',
    forged(smallText, (file) => {
      file.tables.animals![0]!.length_mm = '120';
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'length_mm' },
  ],
  [
    'a half for a whole number',
    forged(smallText, (file) => {
      file.tables.animals![0]!.version = 1.5;
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'version' },
  ],
  [
    'a list for a row number',
    forged(smallText, (file) => {
      file.tables.animals![0]!.id = [1];
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'id' },
  ],
  [
    'nothing where something is needed',
    forged(smallText, (file) => {
      file.tables.animals![0]!.name = null;
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'name' },
  ],
  [
    'a number beyond all exact ones',
    forged(smallText, (file) => {
      file.tables.animals![0]!.version = 1e300;
    }),
    { fault: 'value', table: 'animals', row: 1, column: 'version' },
  ],
])('%s is not taken, with a whole sentence that says why', (_what, text, fault) => {
  expect(faultOf(text)).toEqual(fault);
  expect(fileFaultSentence(fault)).toMatch(/^[A-Z].*\.$/);
});

test.each<[string, (file: Forged) => void, string, number | null]>([
  [
    'a price below nothing',
    (file) => {
      file.tables.upgrades![0]!.price_low = -1;
    },
    'upgrades',
    1,
  ],
  [
    'a sex nobody has',
    (file) => {
      file.tables.animals![0]!.sex = 'both';
    },
    'animals',
    1,
  ],
  [
    'the same number twice',
    (file) => {
      file.tables.animals!.push({ ...file.tables.animals![0]! });
      file.counts.animals = 2;
    },
    'animals',
    2,
  ],
  [
    'an animal in an enclosure that is not there',
    (file) => {
      file.tables.animals![0]!.enclosure_id = 99;
    },
    'animals',
    null,
  ],
  [
    'a text of half a character',
    (file) => {
      file.tables.animals![0]!.notes = '\ud800';
    },
    'animals',
    null,
  ],
  [
    'rows out of order',
    (file) => {
      file.tables.upgrades!.reverse();
    },
    'upgrades',
    null,
  ],
])('%s is found by the database itself, in memory', (_what, change, table, row) => {
  const fault = faultOf(forged(smallText, change));
  expect(fault).toMatchObject({ fault: 'row', table, row });
  expect(fileFaultSentence(fault)).toMatch(/^[A-Z].*\.$/);
});

test.each<[string, (file: Forged) => void]>([
  [
    'a locale that does not exist',
    (file) => {
      file.tables.ledger![0]!.locale = 'not a locale';
    },
  ],
  [
    'a time zone that does not exist',
    (file) => {
      file.tables.ledger![0]!.time_zone = 'Mars/Olympus';
    },
  ],
])('%s fits the tables but not the program, and is not taken', (_what, change) => {
  expect(faultOf(forged(smallText, change))).toEqual({ fault: 'not-usable' });
});

test('An animal of a species that this library does not hold is taken over as it is, to be judged once it has another', () => {
  const { tables } = checked(
    forged(smallText, (file) => {
      file.tables.animals![0]!.species_id = 'dragon';
    }),
  );
  expect(tables.animals).toMatchObject([{ name: 'Ember', species_id: 'dragon' }]);
});

test.each<[string, string, unknown]>([
  ['upgrades', 'changes', 5],
  ['upgrades', 'changes', [{}]],
  ['upgrades', 'requires', [['1']]],
  ['upgrades', 'changes', [{ change: 'fit', enclosureId: '1' }]],
  ['upgrades', 'changes', [{ change: 'set-hours', fittingId: '1', hoursPerDay: 25 }]],
  ['enclosures', 'build', { standsOn: 'something', wallMm: 'thick' }],
  ['animals', 'seasons', [{ season: 'cooling', fromMonth: 13, toMonth: 2 }]],
  ['animals', 'states', [{ state: 'gravid', from: '2026-02-30', to: null }]],
  ['ledger', 'priority', [3, 2]],
  ['enclosures', 'build', null],
  ['animals', 'seasons', {}],
  ['ledger', 'need_weights', {}],
  ['ledger', 'rule_sets', ['the moon']],
])('In %s the column %s cannot hold %j, which is JSON all the same', (table, column, value) => {
  const text = forged(smallText, (file) => {
    file.tables[table]![0]![column] = value;
  });
  expect(faultOf(text)).toEqual({ fault: 'value', table, row: 1, column });
});

test('Nothing is left on the disk by a file that is looked at', () => {
  const folder = newFolder();
  const file = join(folder, 'ledger.sqlite');
  const db = openDatabase(file);
  checked(smallText);
  faultOf(smallText.slice(9));
  closeDatabase(db);
  expect(readdirSync(folder)).toEqual(['ledger.sqlite', 'ledger.sqlite.lock']);
  expect(existsSync(file)).toBe(true);
});

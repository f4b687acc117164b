// Awkward text in every stored text of a full ledger: no page gains an element or an attribute by it, and what leaves the ledger stays whole.
// Every free text first holds a token of its own, copies in plans and closed months too. The rows are then taken out as JSON, each token gives
// way to an awkward text or to a harmless one of the same length, and both ledgers are put into an application of their own. Last, texts that
// no form lets in are put straight into every column that keeps what a person typed.

import ICAL from 'ical.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { CSV_NAMES } from '../../server/csv-tables.ts';
import { type Db, openMemory } from '../../server/db/open.ts';
import {
  type Rows,
  readWholeLedger,
  replaceWholeLedger,
  tableShapes,
  type WholeLedger,
} from '../../server/db/whole-ledger.ts';
import { writeLedgerFile } from '../../server/ledger-file.ts';
import { paths } from '../../server/paths.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate } from '../../src/calendar.ts';
import { readDelimited, undefused } from '../../src/delimited.ts';
import { patternOf } from '../support/addresses.ts';
import { type Answer, closeApp, openApp, type TestApp, testMoment } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';
import { crawl, type Found } from '../support/crawl.ts';
import { fillIn } from '../support/filled-in.ts';
import { formsOf } from '../support/full-ledger.ts';
import { awkwardTexts, effort, harmless, within } from '../support/hostile.ts';
import { library } from '../support/make.ts';

/** Columns that keep any text a person writes. */
const freeTexts: Readonly<Record<string, readonly string[]>> = {
  animal_signs: ['notes'],
  animals: ['name', 'notes'],
  care_overrides: ['source_title', 'note'],
  enclosures: ['name', 'notes'],
  events: ['note'],
  fittings: ['name'],
  instruments: ['name', 'notes'],
  month_corrections: ['note'],
  one_off_sums: ['note'],
  outlets: ['name', 'notes'],
  readings: ['instrument', 'notes'],
  returned_purchases: ['name'],
  rooms: ['name', 'notes'],
  upgrades: ['name', 'group_name', 'notes'],
};

/** What the other texts are, by the name of their column: answers from a list, days, and numbers as they were typed, which hold no markup. */
const otherTexts =
  /(_on|_since|_typed|month|kind|currency|locale|time_zone|unit_system|degrees|identity|status|origin|proposal_key|place|evidence|^typed|standing|grade|figure|species_id|check_name|answer|sex|alarm|settled_how|material|top|when_box_replaced|rule|what|thing|fate|why|borrowed_(from|until)|source_address|return_by)$/;

/** The tables that nothing of the demonstration fills and no form of this day does. */
const emptyHere = ['events', 'month_corrections', 'returned_purchases'];

const layoutOf = (address: string) =>
  patternOf(address).replace(/\?kind=.*|(?<=\/species\/)(?!compare|own-|.*q[lz])[^/]*$/, ':one');

const today = plainDate('2026-01-15');

const tokenPattern = /Q[lz]\d+z/g;
let tokens = 0;
/** A new token: notes may be long, names may not. */
function token(column: string): string {
  tokens += 1;
  return `Q${column === 'notes' ? 'l' : 'z'}${tokens}z`;
}

let [plain, awkward]: TestApp[] = [];
let awkwardPages: Found[] = [];
let marked: WholeLedger;

/** What stands for a token: in a note every awkward text, each beginning with another of them; in a name that one alone. */
function awkwardFor(one: string): string {
  const all = Object.values(awkwardTexts);
  const first = (Number(one.slice(2, -1)) + effort.seed) % all.length;
  // The database keeps names of at most 80 characters.
  if (one.startsWith('Qz')) return [...all[first]!].slice(0, 80).join('');
  return [...all.slice(first), ...all.slice(0, first)].join(' ');
}

/** A ledger in which each token has become another text. */
async function openWith(text: (one: string) => string): Promise<TestApp> {
  const written = JSON.stringify(marked).replace(tokenPattern, (one) => JSON.stringify(text(one)).slice(1, -1));
  // What is a text of JSON in the database is JSON within JSON here.
  const ledger = JSON.parse(written) as WholeLedger;
  const db = openMemory();
  replaceWholeLedger(db, ledger);
  return openApp({ db, planningMilliseconds: 50 });
}

beforeAll(async () => {
  const db = openMemory();
  fillDemo(db, () => testMoment);
  for (const [table, columns] of Object.entries(freeTexts)) {
    for (const column of columns) {
      const rows = db.$client.prepare<[], { id: number }>(`SELECT id FROM ${table}`).all();
      for (const { id } of rows)
        db.$client.prepare(`UPDATE ${table} SET ${column} = ? WHERE id = ?`).run(token(column), id);
    }
  }
  const changes = db.$client.prepare<[], { id: number; changes: string }>('SELECT id, changes FROM upgrades').all();
  for (const row of changes) {
    const named = row.changes.replace(/"name":"[^"]*"/g, () => `"name":"${token('name')}"`);
    db.$client.prepare('UPDATE upgrades SET changes = ? WHERE id = ?').run(named, row.id);
  }
  const app = await openApp({ db, planningMilliseconds: 50 });
  // What the demonstration has none of.
  for (const address of [
    paths.instruments.new,
    paths.animals.signs.newOf(1, 'injury'),
    paths.careValues.new('corn-snake', 'humidity'),
    paths.ownSpecies.newFrom('nothing'),
  ]) {
    const [form] = formsOf([{ address, page: await app.get(address) }]);
    const answer = await fillIn(app, form!, Object.fromEntries(form!.typed.map((name) => [name, token(name)])));
    expect(answer.status, address).toBe(303);
  }
  await planNow(db, library, today, 500);
  marked = readWholeLedger(db);
  await closeApp(app);
  [plain, awkward] = [await openWith((one) => harmless(awkwardFor(one))), await openWith(awkwardFor)];
  awkwardPages = await crawl(awkward!, layoutOf);
}, within(300_000));

afterAll(async () => {
  await closeBrowser();
  for (const app of [plain, awkward]) if (app !== undefined) await closeApp(app);
});

test('Every column of text is known to be free text or not, and every free text of the ledger holds a token', () => {
  const db = openMemory();
  for (const { name, columns } of tableShapes(db)) {
    for (const { name: column, type, isJson } of columns) {
      if (type !== 'TEXT' || isJson || freeTexts[name]?.includes(column)) continue;
      if (['plans', 'plan_studies', 'cap_questions'].includes(name) && !otherTexts.test(column)) continue;
      expect(column, `${name}.${column} is free text, or its kind is to be added`).toMatch(otherTexts);
    }
  }
  db.$client.close();
  for (const [table, columns] of Object.entries(freeTexts)) {
    if (emptyHere.includes(table) && (marked[table] as Rows).length === 0) continue;
    for (const column of columns)
      expect(
        marked[table]!.some((row) => /^Q[lz]\d+z$/.test(String(row[column]))),
        `${table}.${column}`,
      ).toBe(true);
  }
  expect(JSON.stringify(marked.own_species)).toMatch(tokenPattern);
  expect(JSON.stringify(marked.plans)).toMatch(tokenPattern);
});

/** Each element of a page with the names of its attributes, and how often there is one. */
function elementsOf(page: Answer): Map<string, number> {
  const counts = new Map<string, number>();
  for (const one of page.document.querySelectorAll('*')) {
    const names = [...(one as unknown as { attributes: Iterable<{ name: string }> }).attributes].map(
      ({ name }) => name,
    );
    const told = `${one.localName} ${names.sort().join(' ')}`;
    counts.set(told, (counts.get(told) ?? 0) + 1);
  }
  return counts;
}

describe('Awkward text', () => {
  test('is on the pages, as text', () => {
    const whole = awkwardPages.map(({ page }) => page.body).join('');
    for (const seen of ['{{constructor.constructor', '&lt;script&gt;alert(1)', '\u{1F98E}', '\u202Egnp', 'Robert'])
      expect(whole).toContain(seen);
    expect(whole).not.toMatch(/<script>alert|<img src=x| onmouseover='alert|href="javascript:|<base href/);
    expect(awkwardPages.length).toBeGreaterThan(60);
  });

  test('gives no page an element or an attribute that harmless text of the same length does not give it', async () => {
    for (const { address, page } of awkwardPages) {
      const other = await plain!.get(address);
      expect(other.status, address).toBe(200);
      // Figures that are none; the harmless text holds only one letter.
      expect(other.body, address).not.toMatch(/NaN|Infinity|undefined|\[object/);
      expect([...elementsOf(page)].sort(), address).toEqual([...elementsOf(other)].sort());
    }
  });

  test('leaves every table for a spreadsheet even, running nowhere and reading back to what is kept', async () => {
    let seen = 0;
    for (const name of CSV_NAMES) {
      const answer = await awkward!.get(paths.export.table(name));
      expect(answer.status, name).toBe(200);
      const read = readDelimited(answer.body, { rows: 9_999, columns: 99, cell: 99_999 });
      if (read.status === 'bad') throw new Error(`${name}: ${JSON.stringify(read.faults)}`);
      for (const { cells } of read.table.rows) {
        for (const cell of cells.filter((one) => one.includes('Robert'))) {
          expect(cell.replace(/^[\s\p{Cf}\p{Cc}]+/u, ''), name).not.toMatch(/^[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/u);
          // Every awkward text is there to its end.
          if (cell.length > 200 && !cell.startsWith('[{'))
            for (const text of Object.values(awkwardTexts)) expect(undefused(cell)).toContain(text.trim());
          seen += 1;
        }
      }
    }
    expect(seen).toBeGreaterThan(60);
  });

  test('leaves the calendar valid by RFC 5545, with as many days and no line over 75 octets', async () => {
    for (const address of [paths.export.calendar, paths.export.calendarThatReminds]) {
      const [one, other] = [await plain!.get(address), await awkward!.get(address)];
      const days = (body: string) => new ICAL.Component(ICAL.parse(body)).getAllSubcomponents('vevent');
      expect(days(other.body).length).toBe(days(one.body).length);
      expect(days(other.body).length).toBeGreaterThan(3);
      for (const line of other.body.split('\r\n')) {
        expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
        expect(line).not.toMatch(/[\p{Cc}]/u);
      }
      const told = days(other.body).map((day) => String(day.getFirstPropertyValue('summary')));
      expect(told.some((summary) => summary.includes('BEGIN:VALARM;,\\n\\N:'))).toBe(true);
    }
  });

  test('goes out as a file and in again to the same bytes', async () => {
    const { body } = await awkward!.get(paths.export.ledger);
    const db = openMemory();
    replaceWholeLedger(db, (JSON.parse(body) as { tables: WholeLedger }).tables);
    expect(readWholeLedger(db)).toEqual(readWholeLedger(awkward!.db));
    db.$client.close();
  });
});

// What no form lets in, put straight into the rows of the ledger of harmless texts once it was compared with.

/** Columns that keep what was typed, in all tables; the others hold answers from a list, days and names of the program's own. */
const TYPED = /^(name|note|notes|instrument|group_name|source_title|source_address|.*_typed|typed)$/;

// A byte of nothing within the text, half a surrogate pair and a byte that begins no character (RFC 3629), as SQLite keeps them.
const NO_TEXT = "CAST(x'61003C623E' || x'EDA080' || x'FF' || x'07' AS TEXT)";
const MARKUP = `"><script>alert(1)</script><img src=x onerror=alert(2)></textarea>{{this}}`;
const LONG = MARKUP.repeat(Math.ceil(65_536 / MARKUP.length)).slice(0, 65_536);

/** Every column of typed text with the numbers of its rows. */
function typedColumns(db: Db): { table: string; column: string; rows: number[] }[] {
  return tableShapes(db).flatMap(({ name: table, columns }) =>
    columns
      .filter(({ name, type, isJson }) => type === 'TEXT' && !isJson && TYPED.test(name))
      .map(({ name: column }) => ({
        table,
        column,
        rows: db.$client
          .prepare<[], number>(`SELECT rowid FROM "${table}" WHERE "${column}" IS NOT NULL`)
          .pluck()
          .all(),
      }))
      .filter(({ rows }) => rows.length > 0),
  );
}

/** Looks at everything that shows or carries text out of the ledger. */
async function expectWhole(what: string): Promise<void> {
  for (const { address } of awkwardPages) {
    const page = await plain!.get(address);
    const told = `${address} with ${what}`;
    expect(page.status, told).toBe(200);
    expect(/<script>alert|<img src=x|<\/textarea>\{\{this/.exec(page.body)?.[0] ?? null, told).toBeNull();
    // Control characters mean nothing in HTML.
    expect(/[^\P{Cc}\n\r\t]/u.exec(page.body)?.[0] ?? null, told).toBeNull();
  }
  for (const name of CSV_NAMES) {
    const answer = await plain!.get(paths.export.table(name));
    expect(answer.status, `${name} with ${what}`).toBe(200);
    const read = readDelimited(answer.body, { rows: 9_999, columns: 99, cell: 999_999 });
    expect(read.status, `${name} with ${what}: ${JSON.stringify(read).slice(0, 200)}`).toBe('ok');
  }
  for (const address of [paths.export.calendar, paths.export.calendarThatReminds]) {
    const answer = await plain!.get(address);
    expect(answer.status, `${address} with ${what}`).toBe(200);
    expect(answer.body, what).not.toMatch(/[^\P{Cc}\r\n]/u);
    expect(new ICAL.Component(ICAL.parse(answer.body)).getAllSubcomponents('vevent').length).toBeGreaterThan(3);
  }
  const file = await plain!.get(paths.export.ledger);
  expect(file.status, what).toBe(200);
  expect(writeLedgerFile(plain!.db, today)).toBe(file.body);
}

test(
  'A text that is none is shown without what cannot be shown, on every page and in everything that leaves the ledger',
  async () => {
    // What the tables forbid by length is tried all the same.
    plain!.db.$client.pragma('ignore_check_constraints = ON');
    const columns = typedColumns(plain!.db);
    expect(columns.length).toBeGreaterThan(25);
    for (const { table, column } of columns)
      plain!.db.$client.exec(`UPDATE "${table}" SET "${column}" = ${NO_TEXT} WHERE "${column}" IS NOT NULL`);
    await expectWhole('no text');
  },
  within(240_000),
);

test(
  '64 kB of markup in any of these columns breaks no page, table or calendar',
  async () => {
    plain!.db.$client.pragma('ignore_check_constraints = ON');
    const columns = typedColumns(plain!.db);
    // In one row of each at once; the long run puts it into all rows of one column after another besides.
    const first = effort.seed;
    for (const { table, column, rows } of columns) {
      const row = rows[first % rows.length];
      plain!.db.$client.prepare(`UPDATE "${table}" SET "${column}" = 'x'`).run();
      plain!.db.$client.prepare(`UPDATE "${table}" SET "${column}" = ? WHERE rowid = ?`).run(LONG, row);
    }
    await expectWhole('64 kB in one row of each table');
    if (effort.times > 1) {
      for (const { table, column } of columns) {
        plain!.db.$client.prepare(`UPDATE "${table}" SET "${column}" = ?`).run(LONG);
        await expectWhole(`64 kB in every ${table}.${column}`);
        plain!.db.$client.prepare(`UPDATE "${table}" SET "${column}" = 'x'`).run();
      }
    }
  },
  within(600_000),
);

// The elements by which a page is wider than its window: none where it is not. What scrolls by itself may be as wide as it likes.
const tooWide = `(() => {
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= width) return [];
  return [...document.querySelectorAll('main *')]
    .filter((one) => one.getBoundingClientRect().right > width + 1 && !one.closest('.table-scroll'))
    .slice(0, 4)
    .map((one) => one.localName + '.' + one.className + ': ' + one.textContent.trim().slice(0, 40));
})()`;

describe.skipIf(withoutBrowser)('In Chromium', () => {
  test('no page with awkward text is wider than a telephone, runs any of it or blocks anything', async () => {
    const { page, complaints } = await openWindow(awkward!.app);
    const asked: string[] = [];
    page.on('request', (request) => asked.push(new URL(request.url()).host));
    page.on('dialog', (dialog) => complaints.push(`a dialog: ${dialog.message()}`));
    // One page of each kind of row, and the widest of the rest.
    const addresses = awkwardPages
      .map(({ address }) => address)
      .filter((one) =>
        /^\/($|money|cap$|this-month|shopping|roadmap$|upgrades$|rooms|instruments|papers|progress|animals\/\d+$|animals\/\d+\/(vet-sheet|signs)|enclosures\/\d+(\/light|\/warmth|\/round)?$|upgrades\/\d+(\/sheet)?$)/.test(
          one,
        ),
      );
    expect(addresses.length).toBeGreaterThan(12);
    for (const address of addresses) {
      await page.goto(address);
      expect(await page.evaluate(tooWide), address).toEqual([]);
    }
    expect(new Set(asked).size).toBe(1);
    expect(complaints).toEqual([]);
  });
});

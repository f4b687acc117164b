import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { listAnimals } from '../../../server/db/collection.ts';
import { openDatabase, openMemory } from '../../../server/db/open.ts';
import { writeLedgerFile } from '../../../server/ledger-file.ts';
import { plainDate } from '../../../src/calendar.ts';
import { type Answer, findForm, formValues, mistakesOf, startApp, textOf, textsOf } from '../../support/app.ts';
import { keepReading, keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { makeReading } from '../../support/make.ts';

const today = plainDate('2026-01-15');

/** What a preview says of a table; nothing where no row of it differs. */
function differenceIn(preview: Answer, table: string): string | undefined {
  return textsOf(preview, 'main .facts dd')[textsOf(preview, 'main .facts dt').indexOf(table)];
}

function smallFile(): string {
  const db = openMemory();
  keepSmallLedger(db);
  return writeLedgerFile(db, today);
}

test('A file is looked at first, and taken into an empty ledger after that', async () => {
  const app = await startApp();
  const text = smallFile();
  const preview = await app.submit(await app.get('/import'), { text });
  expect(preview.status).toBe(200);
  expect(textOf(preview)).toMatch(
    /Exported on 15 January 2026, version 1 of the file, form \d+ of the tables\. Nothing was changed yet\./,
  );
  expect(textsOf(preview, 'main .reason-list li')).toEqual([
    'Nothing was entered here yet, so nothing is lost.',
    'What the ledger counts and works out for itself differs too; it comes in with the rest.',
  ]);
  expect(differenceIn(preview, 'Animals')).toBe(
    '1 added: Ember.Your animals, with their seasons. In the file 1 row, here 0 rows.',
  );
  expect(listAnimals(app.db)).toEqual([]);
  const taken = await app.submit(preview);
  expect(taken).toMatchObject({ status: 303, location: '/import/done' });
  expect(textOf(await app.get(taken.location!))).toContain('The ledger is now what the file held.');
  expect(textOf(await app.get('/animals'))).toContain('Ember');
  // An app notices the shipped figures at its start, so they are in its own file and not in the one that came.
  const again = (await app.get('/export/ledger.json')).body;
  const { tables } = JSON.parse(again) as { tables: Record<string, unknown[]> };
  const came = (JSON.parse(text) as { tables: Record<string, unknown[]> }).tables;
  for (const name of Object.keys(came).filter((one) => one !== 'shipped_figures'))
    expect(tables[name], name).toEqual(came[name]);
  // Out of this program and into another, it is the same byte for byte.
  const other = await startApp();
  await other.submit(await other.submit(await other.get('/import'), { text: again }));
  expect((await other.get('/export/ledger.json')).body).toBe(again);
});

test('A ledger that holds something is copied beside itself before it is replaced, and the page says where', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const app = await startApp({ db });
  const preview = await app.submit(await app.get('/import'), { text: writeLedgerFile(openMemory(), today) });
  expect(textsOf(preview, 'main .reason-list li')).toEqual([
    'Everything in this ledger is replaced by what the file holds.',
    'What is here now is first copied beside the database, and the copy is checked.',
    'What the ledger counts and works out for itself differs too; it comes in with the rest.',
  ]);
  expect(differenceIn(preview, 'Animals')).toMatch(/^1 gone: Ember\..*In the file 0 rows, here 1 row\.$/);
  const taken = await app.submit(preview);
  expect(listAnimals(db)).toEqual([]);
  expect(readdirSync(folder)).toContain('ledger.before-import-2026-01-15.sqlite');
  expect(textOf(await app.get(taken.location!))).toContain(
    `What was here before is kept in ${join(folder, 'ledger.before-import-2026-01-15.sqlite')}.`,
  );
  // Nothing else can be made to stand there.
  expect(textOf(await app.get('/import/done?copy=%3Cb%3Eelsewhere'))).not.toContain('elsewhere');
});

test('A ledger in memory that holds something is not replaced', async () => {
  const app = await startApp();
  keepSmallLedger(app.db);
  const text = writeLedgerFile(openMemory(), today);
  const preview = await app.submit(await app.get('/import'), { text });
  expect(preview.document.querySelector('main button')).toBeNull();
  const taken = await app.submit(preview);
  expect(taken.status).toBe(422);
  expect(mistakesOf(taken)[0]!.message).toContain('kept in memory only');
  expect(listAnimals(app.db)).toHaveLength(1);
});

test('A file that is not taken comes back in its field with the reason', async () => {
  const app = await startApp();
  for (const [text, reason] of [
    ['', 'Paste the content of a file, or choose one.'],
    ['{"format":', 'This is not a whole file'],
    ['{"format":"basking-ledger","version":7}', 'from a newer Basking Ledger'],
    [smallFile().replace('Ember', 'Amber'), 'its checksum does not fit its tables'],
  ] as const) {
    const answer = await app.post('/import', { step: 'take', text });
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toMatchObject([{ field: 'text', message: expect.stringContaining(reason) }]);
    if (text.length < 100) expect(formValues(findForm(answer)).text).toBe(text);
  }
  expect(listAnimals(app.db)).toEqual([]);
});

test('Only this form takes a large body, and it has an end too', async () => {
  const app = await startApp();
  const long = 'x'.repeat(200_000);
  expect((await app.post('/import', { step: 'look', text: long })).status).toBe(422);
  expect((await app.post('/settings', { currency: long })).status).toBe(413);
  expect((await app.post('/import', { step: 'look', text: 'x'.repeat(36_000_001) })).status).toBe(413);
  const over = await app.post('/import', { step: 'look', text: 'x'.repeat(12_000_001) });
  expect(over.status).toBe(422);
  expect(textOf(over)).toContain('larger than 12 million characters');
});

test('While a plan is being made nothing is replaced', async () => {
  const app = await startApp({ planningMilliseconds: 20_000 });
  const text = smallFile();
  await app.submit(await app.submit(await app.get('/import'), { text }));
  await app.post('/roadmap/plan');
  const answer = await app.post('/import', { step: 'take', text });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)[0]!.message).toContain('A plan is being made.');
});

test('Differences are told row by row by their names, and a ledger changed since they were shown is not replaced', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  keepReading(db, makeReading('warm-air', 28, { takenOn: today }));
  const app = await startApp({ db });
  const text = (await app.get('/export/ledger.json')).body;
  const same = await app.submit(await app.get('/import'), { text });
  expect(textsOf(same, 'main .facts dt')).toEqual([]);
  expect(textOf(same)).not.toContain('Replace this ledger');

  wantHide(db, 'Cork tube', 'cool', 900);
  db.$client.prepare("UPDATE animals SET name = 'Cinder', notes = 'new' WHERE id = 1").run();
  db.$client.prepare('DELETE FROM readings').run();
  const preview = await app.submit(await app.get('/import'), { text });
  const row = (table: string) => differenceIn(preview, table);
  expect(row('Animals')).toContain('1 changed: Cinder, there “Ember” (name, notes).');
  expect(row('Upgrades')).toContain('1 gone: Cork tube.');
  expect(row('Readings')).toContain('1 added: Shelf, Temperature of the warm air, 28, 2026-01-15.');
  expect(row('Enclosures')).toBeUndefined();
  // Nothing is called as it is kept.
  for (const { textContent } of preview.document.querySelectorAll('main .facts, main .reason-list, main > p'))
    expect(textContent).not.toMatch(/[a-z]_[a-z]/);

  wantHide(db, 'Slate', 'cool', 300);
  const late = await app.submit(preview);
  expect(late.status).toBe(200);
  expect(textOf(late)).toContain('changed since the differences were shown, so nothing was replaced');
  expect(listAnimals(db)[0]!.name).toBe('Cinder');
  expect((await app.submit(late)).status).toBe(303);
  expect(listAnimals(db)[0]!.name).toBe('Ember');
  expect((await app.get('/export/ledger.json')).body).toBe(text);
});

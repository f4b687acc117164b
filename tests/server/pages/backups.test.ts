import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { listAnimals } from '../../../server/db/collection.ts';
import { openDatabase } from '../../../server/db/open.ts';
import { writeLedgerFile } from '../../../server/ledger-file.ts';
import { plainDate } from '../../../src/calendar.ts';
import { startApp, tableRows, testMoment, textOf, textsOf } from '../../support/app.ts';
import { keepAnimal, keepSmallLedger } from '../../support/ledger.ts';
import { makeAnimal } from '../../support/make.ts';

const today = plainDate('2026-01-15');

function newFile(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return join(folder, 'ledger.sqlite');
}

/** An application over a small ledger in a file. */
async function startOnFile(parts: Parameters<typeof startApp>[0] = {}) {
  const file = newFile();
  const db = openDatabase(file);
  keepSmallLedger(db);
  return { ...(await startApp({ db, ...parts })), file, folder: join(file, '../backups') };
}

test('The button makes a backup that only its owner can read, and the page says when and where', async () => {
  const app = await startOnFile();
  const before = await app.get('/backups');
  expect(textOf(before)).toContain(`There is no backup yet. They lie in ${app.folder}.`);
  const made = await app.submit(before);
  expect(made).toMatchObject({ status: 303, location: '/backups?done=backup-made' });
  const after = await app.get(made.location!);
  expect(textOf(after)).toContain('The last good backup is of');
  expect(textOf(after)).toContain(join(app.folder, 'ledger-2026-01-15-1.sqlite'));
  expect(tableRows(after, 'Backups, the newest first').map(([name]) => name)).toEqual(['ledger-2026-01-15-1.sqlite']);
  expect(statSync(app.folder).mode & 0o777).toBe(0o700);
  expect(statSync(join(app.folder, 'ledger-2026-01-15-1.sqlite')).mode & 0o777).toBe(0o600);
  expect(readdirSync(app.folder)).toEqual(['ledger-2026-01-15-1.sqlite']);
  // A second one of the day has the next number.
  await app.submit(after);
  expect(readdirSync(app.folder)).toContain('ledger-2026-01-15-2.sqlite');
});

test('A backup can be downloaded as it lies there, and nothing else can', async () => {
  const app = await startOnFile();
  await app.post('/backups');
  const answer = await app.app.inject({ url: '/backups/ledger-2026-01-15-1.sqlite' });
  expect(answer.headers['content-disposition']).toBe('attachment; filename="ledger-2026-01-15-1.sqlite"');
  expect(answer.rawPayload.equals(readFileSync(join(app.folder, 'ledger-2026-01-15-1.sqlite')))).toBe(true);
  writeFileSync(join(app.folder, 'secret.sqlite'), 'x');
  for (const name of ['secret.sqlite', '..%2Fledger.sqlite', '%2Fetc%2Fpasswd', 'ledger-2026-01-15-2.sqlite'])
    expect((await app.get(`/backups/${name}`)).status, name).toBe(404);
});

test('A restored backup brings the ledger back byte for byte, and keeps aside what was there', async () => {
  const app = await startOnFile();
  const before = writeLedgerFile(app.db, today);
  await app.post('/backups');
  keepAnimal(app.db, makeAnimal('leopard-gecko', { id: '2', name: 'Later', lengthMm: 90 }), {
    lengthTyped: '9 cm',
  });
  const changed = writeLedgerFile(app.db, today);
  const asked = await app.get('/backups/ledger-2026-01-15-1.sqlite/restore');
  expect(asked.status).toBe(200);
  expect(textsOf(asked, 'main .reason-list li').join(' ')).toMatch(
    /It holds \d+ rows, among them 1 animal, 1 enclosure, 0 readings and 0 plans\. .*copied beside the database/,
  );
  expect(listAnimals(app.db)).toHaveLength(2);
  const done = await app.submit(asked);
  expect(done).toMatchObject({
    status: 303,
    location: '/backups/restored?copy=ledger.before-restore-2026-01-15.sqlite',
  });
  expect(writeLedgerFile(app.db, today)).toBe(before);
  const aside = join(app.folder, '../ledger.before-restore-2026-01-15.sqlite');
  expect(textOf(await app.get(done.location!))).toContain(`What was here before is kept in ${aside}.`);
  expect(textOf(await app.get('/animals'))).not.toContain('Later');
  // Sent once more it is not taken again, and makes no second copy.
  expect((await app.submit(asked)).location).toBe(`${done.location}&done=sent-twice`);
  expect(readdirSync(join(app.folder, '..')).filter((name) => name.includes('before-restore'))).toHaveLength(1);
  const kept = openDatabase(aside);
  expect(writeLedgerFile(kept, today)).toBe(changed);
  kept.$client.close();
});

test('What is being planned is stopped by a restore and not kept in the ledger that comes', async () => {
  const app = await startOnFile({ planningMilliseconds: 60_000 });
  await app.post('/backups');
  await app.post('/roadmap/plan');
  const done = await app.post('/backups/ledger-2026-01-15-1.sqlite/restore');
  expect(done.status).toBe(303);
  expect(app.db.$client.prepare('SELECT count(*) AS count FROM plans').get()).toEqual({ count: 0 });
});

test('A backup that was damaged since is refused by its page, and nothing is changed', async () => {
  const app = await startOnFile();
  await app.post('/backups');
  const file = join(app.folder, 'ledger-2026-01-15-1.sqlite');
  const bytes = readFileSync(file);
  writeFileSync(file, bytes.fill(0xa5, 4096 * 3, 4096 * 6));
  const before = writeLedgerFile(app.db, today);
  for (const answer of [
    await app.get('/backups/ledger-2026-01-15-1.sqlite/restore'),
    await app.post('/backups/ledger-2026-01-15-1.sqlite/restore'),
  ]) {
    expect(answer.status).toBe(422);
    expect(textOf(answer)).toContain('Nothing was restored. The file is damaged');
  }
  expect(writeLedgerFile(app.db, today)).toBe(before);
});

test('An empty ledger is offered a backup that lies in its folder', async () => {
  const app = await startOnFile();
  await app.post('/backups');
  const file = newFile();
  const db = openDatabase(file);
  mkdirSync(join(file, '../backups'));
  writeFileSync(
    join(file, '../backups/ledger-2026-01-15-1.sqlite'),
    readFileSync(join(app.folder, 'ledger-2026-01-15-1.sqlite')),
  );
  const anew = await startApp({ db });
  const home = await anew.get('/');
  expect(textOf(home)).toContain('Restore a backup The checked copies of a ledger that was kept here before.');
  const asked = await anew.get('/backups/ledger-2026-01-15-1.sqlite/restore');
  expect(textOf(asked)).toContain('Nothing was entered here yet, so nothing is lost.');
  expect((await anew.submit(asked)).location).toBe('/backups/restored');
  expect(textOf(await anew.get('/'))).not.toContain('Restore a backup');
  expect(listAnimals(db).map((one) => one.name)).toEqual(['Ember']);
});

test('A backup is made on each day that the program runs, and the first page says when there is none or it is old', async () => {
  let moment = testMoment;
  const app = await startOnFile({ dailyBackups: true, now: () => moment });
  expect(textOf(await app.get('/'))).toContain('There is no backup of this ledger yet. Backups');
  await app.app.listen({ port: 0, host: '127.0.0.1' });
  expect(readdirSync(app.folder)).toEqual(['ledger-2026-01-15-1.sqlite']);
  expect(textOf(await app.get('/'))).not.toContain('backup');
  moment = new Date('2026-01-19T12:00:00Z');
  expect(textOf(await app.get('/'))).toContain('The last backup is 4 days old. Backups');
  // A clock that was wrong once does not count.
  writeFileSync(join(app.folder, 'ledger-2041-01-01-1.sqlite'), '');
  expect(textOf(await app.get('/'))).toContain('The last backup is 4 days old.');
});

test('A folder that cannot be written to is said on the page and on the first one, until a backup is made', async () => {
  const app = await startOnFile();
  // A file in its place fails for every account, where a folder without rights does not fail for the one that may do all.
  writeFileSync(app.folder, '');
  const answer = await app.post('/backups');
  expect(answer.status).toBe(503);
  expect(textOf(answer)).toContain(`No backup was made: ${app.folder} cannot be written to.`);
  expect(textOf(await app.get('/'))).toContain('No backup was made');
  rmSync(app.folder);
  expect((await app.post('/backups')).status).toBe(303);
  expect(textOf(await app.get('/'))).not.toContain('No backup was made');
});

test('Older backups are thinned out only once a new one is there, and only those of this ledger', async () => {
  const app = await startOnFile();
  mkdirSync(app.folder);
  const put = (name: string) => writeFileSync(join(app.folder, name), '');
  for (let day = 1; day <= 12; day += 1) put(`ledger-2026-01-${String(day).padStart(2, '0')}-1.sqlite`);
  for (const name of ['demo-2020-01-01-1.sqlite', 'ledger-2020-13-01-1.sqlite', 'mine.sqlite']) put(name);
  await app.post('/backups');
  // 4 January 2026 is a Sunday: of the six oldest the last of each week stays.
  const kept = ['04', '06', '07', '08', '09', '10', '11', '12', '15'].map((day) => `ledger-2026-01-${day}-1.sqlite`);
  expect(readdirSync(app.folder).sort()).toEqual(
    ['demo-2020-01-01-1.sqlite', ...kept, 'ledger-2020-13-01-1.sqlite', 'mine.sqlite'].sort(),
  );
});

test('A ledger in memory has no backups and says so', async () => {
  const app = await startApp();
  const page = await app.get('/backups');
  expect(textOf(page)).toContain('This ledger is kept in memory only');
  expect(page.document.querySelector('main form')).toBeNull();
  expect((await app.post('/backups')).status).toBe(422);
});

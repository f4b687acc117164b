// What happens when the disk or the clock fails while the program runs: the page says that nothing was saved and what to do, keeps what
// was typed, nothing is lost, and once the fault is gone the same running program goes on. Real files, and a real full disk where one may
// be mounted.

import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { listEnclosures } from '../../server/db/collection.ts';
import { closeDatabase, type Db, openDatabase } from '../../server/db/open.ts';
import { listRooms } from '../../server/db/rooms.ts';
import { storagePages } from '../../server/fault-words.ts';
import { paths } from '../../server/paths.ts';
import { startApp, type TestApp, textOf } from '../support/app.ts';
import { enclosureTexts, enter } from '../support/collection.ts';

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'disk-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

async function appIn(folder: string): Promise<TestApp> {
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  const app = await startApp({ db });
  await enter(app, '/enclosures/new', enclosureTexts);
  return app;
}

const room = { name: 'Room under the roof', coldest: '16', coldestMonth: '1', hottest: '27', hottestMonth: '7' };
const notes = 'Two lines\nof “notes” & more';

/** Sends a form while something is wrong, looks at the answer, mends it, sends the same from the answer, and looks at what is there. */
async function surviving(app: TestApp, fault: keyof typeof storagePages, mend: () => void): Promise<void> {
  const form = await app.get(paths.rooms.new);
  const failed = await app.submit(form, { ...room, notes });
  expect([failed.status, failed.document.querySelector('h1')?.textContent]).toEqual([
    fault === 'full' ? 507 : 503,
    storagePages[fault].title,
  ]);
  expect(textOf(failed)).toMatch(/nothing of what you sent was saved/i);
  expect(textOf(failed)).toContain('Room under the roof');
  expect(failed.location).toBeNull();
  expect(listRooms(app.db)).toEqual([]);
  mend();
  const saved = await app.submit(failed);
  expect([saved.status, saved.location]).toEqual([303, '/rooms?done=added']);
  expect((await app.submit(failed)).location).toBe('/rooms?done=sent-twice');
  expect(listRooms(app.db).map((one) => [one.name, one.notes])).toEqual([[room.name, notes]]);
  expect(listEnclosures(app.db)).toHaveLength(1);
}

/** That everything is in the file after a stop and a new start, and whole. */
function isOnDisk(db: Db): void {
  const file = db.$client.name;
  closeDatabase(db);
  const again = openDatabase(file);
  expect(again.$client.pragma('integrity_check', { simple: true })).toBe('ok');
  expect(listRooms(again).map((one) => one.name)).toEqual([room.name]);
  expect(listEnclosures(again)).toHaveLength(1);
  closeDatabase(again);
}

test('A database that may not grow says that the disk is full, keeps what was typed and goes on once there is room', async () => {
  const app = await appIn(newFolder());
  const { $client: client } = app.db;
  client.pragma('wal_checkpoint(TRUNCATE)');
  client.pragma(`max_page_count = ${client.pragma('page_count', { simple: true })}`);
  // Room that is left within pages is used up first.
  let filled = 0;
  for (let refused = false; !refused && filled < 500; ) {
    const answer = await app.post('/enclosures/new', {
      ...enclosureTexts,
      name: `Filler ${filled}`,
      notes: 'x'.repeat(1900),
    });
    refused = answer.status !== 303;
    if (!refused) filled += 1;
    else expect(answer.status).toBe(507);
  }
  expect(filled).toBeLessThan(500);
  expect(listEnclosures(app.db)).toHaveLength(1 + filled);
  const form = await app.get(paths.rooms.new);
  const long = 'y'.repeat(1990);
  const failed = await app.submit(form, { ...room, notes: long });
  if (failed.status !== 303) {
    expect(failed.status).toBe(507);
    client.pragma('max_page_count = 1073741823');
    expect((await app.submit(failed)).location).toBe('/rooms?done=added');
  }
  expect(listRooms(app.db).map((one) => one.notes)).toEqual([long]);
});

test('A full disk is said, loses nothing and is got over without a new start', async (context) => {
  const folder = newFolder();
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=4m', 'tmpfs', folder]);
  if (mounted.status !== 0) {
    console.warn(
      `A full disk was not tried, because no disk may be mounted here: ${String(mounted.stderr ?? mounted.error)}`,
    );
    return context.skip('no disk may be mounted here');
  }
  try {
    const app = await appIn(folder);
    const filler = join(folder, 'filler');
    spawnSync('dd', ['if=/dev/zero', `of=${filler}`, 'bs=4096', 'count=4000']);
    // What is left of pages of the log is used up first.
    let filled = 0;
    for (; filled < 500; filled += 1) {
      const answer = await app.post('/enclosures/1/readings/new?kind=warm-hide-floor', {
        ...{ evidence: 'measured', value: '30', takenOn: '2026-01-10', hour: '14', room: '20', instrument: 'probe' },
        ...{ accuracy: '', notes: `${filled} ${'x'.repeat(1900)}` },
      });
      if (answer.status !== 303) {
        expect(answer.status).toBe(507);
        break;
      }
    }
    expect(filled).toBeLessThan(500);
    expect(app.db.$client.prepare('SELECT count(*) AS count FROM readings').get()).toEqual({ count: filled });
    await surviving(app, 'full', () => rmSync(filler));
    isOnDisk(app.db);
  } finally {
    spawnSync('umount', [folder]);
  }
});

test('A ledger that may not be written is said, and saved again once it may', async () => {
  const app = await appIn(newFolder());
  app.db.$client.pragma('query_only = ON');
  await surviving(app, 'read-only', () => app.db.$client.pragma('query_only = OFF'));
  isOnDisk(app.db);
});

test('A folder that vanished while the program ran is never written into, and used again once it is back', async () => {
  const above = newFolder();
  const folder = join(above, 'data');
  spawnSync('mkdir', [folder]);
  const app = await appIn(folder);
  renameSync(folder, join(above, 'elsewhere'));
  await surviving(app, 'moved', () => renameSync(join(above, 'elsewhere'), folder));
  isOnDisk(app.db);
});

test.each(['ledger.sqlite', 'ledger.sqlite-wal'])(
  '%s that was moved away is missed at the first form',
  async (name) => {
    const folder = newFolder();
    const app = await appIn(folder);
    const file = join(folder, name);
    renameSync(file, `${file}.away`);
    await surviving(app, 'moved', () => renameSync(`${file}.away`, file));
    isOnDisk(app.db);
  },
);

test('A file that another one took the place of is left as it is, and the ledger is not written past it', async () => {
  const folder = newFolder();
  const app = await appIn(folder);
  const file = join(folder, 'ledger.sqlite');
  copyFileSync(file, `${file}.copy`);
  renameSync(file, `${file}.away`);
  renameSync(`${file}.copy`, file);
  const there = readFileSync(file);
  await surviving(app, 'moved', () => {
    expect(readFileSync(file).equals(there)).toBe(true);
    rmSync(file);
    renameSync(`${file}.away`, file);
  });
  isOnDisk(app.db);
});

test('A clock that jumps back a month and then forward loses nothing and stops nothing', async () => {
  let moment = new Date('2026-03-15T12:00:00Z');
  const db = openDatabase(join(newFolder(), 'ledger.sqlite'));
  const app = await startApp({ db, now: () => moment });
  await enter(app, '/enclosures/new', { ...enclosureTexts, boxSince: '2026-03-14' });
  await enter(app, '/animals/new', {
    ...{
      name: 'Maize',
      species: 'corn-snake',
      enclosure: '1',
      length: '130 cm',
      measuredOn: '2026-03-14',
      hatchedOn: '',
    },
    ...{ sex: 'female', coolingFrom: '', coolingTo: '', restFrom: '', restTo: '', notes: '' },
  });
  for (const day of ['2026-02-15', '2026-03-15', '2026-06-15']) {
    moment = new Date(`${day}T12:00:00Z`);
    for (const page of [
      paths.home,
      paths.roadmap.show,
      '/enclosures/1',
      '/animals/1',
      paths.money,
      paths.upgrades.list,
      paths.months.list,
    ])
      expect((await app.get(page)).status, `${page} on ${day}`).toBe(200);
    expect((await app.submit(await app.get(paths.rooms.new), { ...room, name: `Room of ${day}` })).status).toBe(303);
  }
  expect(listRooms(db).map((one) => one.name)).toEqual([
    'Room of 2026-02-15',
    'Room of 2026-03-15',
    'Room of 2026-06-15',
  ]);
  expect(listEnclosures(db)).toHaveLength(1);
});

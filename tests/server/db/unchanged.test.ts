import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { loadCollection } from '../../../server/db/collection.ts';
import { readLedger, touchLedger } from '../../../server/db/ledger.ts';
import {
  closeDatabase,
  type Db,
  inTransaction,
  openDatabase,
  openMemory,
  type Session,
} from '../../../server/db/open.ts';
import { addRoom, listRooms } from '../../../server/db/rooms.ts';
import { frozen, oncePer, whileUnchanged } from '../../../server/db/unchanged.ts';

const room = (name: string) => ({
  name,
  coldest: null,
  hottest: null,
  coldestTyped: '',
  hottestTyped: '',
  notes: '',
});

const names = (session: Session) => listRooms(session).map((one) => one.name);

test('What was read is given again until a row changes, and read afresh after each change', () => {
  const db = openMemory();
  let reads = 0;
  const count = whileUnchanged((session) => {
    reads += 1;
    return { rooms: listRooms(session).length };
  });
  expect([count(db).rooms, count(db).rooms, reads]).toEqual([0, 0, 1]);
  expect(count(db)).toBe(count(db));
  addRoom(db, room('Spare room'));
  expect([count(db).rooms, count(db).rooms, reads]).toEqual([1, 1, 2]);
  touchLedger(db);
  expect([count(db).rooms, reads]).toEqual([1, 3]);
});

test('What another program wrote to the same file is seen at the next read', () => {
  const folder = mkdtempSync(join(tmpdir(), 'unchanged-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const file = join(folder, 'ledger.sqlite');
  const one = openDatabase(file);
  // Past the lock by which our own programs keep out of each other's way.
  const other = drizzle(new Database(file)) as Db;
  expect([names(one), names(other)]).toEqual([[], []]);
  addRoom(other, room('Bedroom'));
  expect([names(one), names(other)]).toEqual([['Bedroom'], ['Bedroom']]);
  addRoom(one, room('Hall'));
  expect([names(one), names(other)]).toEqual([
    ['Bedroom', 'Hall'],
    ['Bedroom', 'Hall'],
  ]);
  closeDatabase(other);
  closeDatabase(one);
});

test('A transaction reads what it wrote itself, and nothing of it is kept when it is undone', () => {
  const db = openMemory();
  addRoom(db, room('Bedroom'));
  expect(names(db)).toEqual(['Bedroom']);
  const undone = () =>
    inTransaction(db, (tx) => {
      addRoom(tx, room('Never there'));
      // By either name of the session: pages that were handed the ledger itself may be called within a transaction.
      expect(names(tx)).toEqual(['Bedroom', 'Never there']);
      expect(names(db)).toEqual(['Bedroom', 'Never there']);
      throw new Error('undone');
    });
  expect(undone).toThrow('undone');
  expect(names(db)).toEqual(['Bedroom']);
  inTransaction(db, (tx) => addRoom(tx, room('Hall')));
  expect(names(db)).toEqual(['Bedroom', 'Hall']);
});

test('What is given to several pages cannot be changed by one of them', () => {
  const db = openMemory();
  expect(() => listRooms(db).push(null as never)).toThrow(TypeError);
  expect(() => Object.assign(readLedger(db), { latitude: 12 })).toThrow(TypeError);
  expect(() => loadCollection(db).animals.push(null as never)).toThrow(TypeError);
  const nested = frozen({ list: [{ name: 'a' }] });
  expect(() => Object.assign(nested.list[0]!, { name: 'b' })).toThrow(TypeError);
});

test('Work is done once for what cannot change, apart for other arguments, and each time for what can', () => {
  let times = 0;
  const double = oncePer(({ value }: { value: number }, how: string) => {
    times += 1;
    return { text: `${how}${2 * value}` };
  });
  const still = Object.freeze({ value: 3 });
  expect(double(still, 'a')).toBe(double(still, 'a'));
  expect([double(still, 'a').text, double(still, 'b').text, times]).toEqual(['a6', 'b6', 2]);
  const moving = { value: 1 };
  expect(double(moving, 'a').text).toBe('a2');
  moving.value = 5;
  expect([double(moving, 'a').text, times]).toEqual(['a10', 4]);
  for (let which = 0; which < 60; which += 1) double(still, `other ${which}`);
  times = 0;
  double(still, 'other 59');
  expect(times).toBe(0);
  // The oldest were dropped, so that no thing gathers results without end.
  double(still, 'a');
  expect(times).toBe(1);
});

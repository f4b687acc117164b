import { expect, test } from 'vitest';
import { findFitting } from '../../../server/db/collection.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { type Db, openMemory } from '../../../server/db/open.ts';
import {
  addOutlet,
  addRoom,
  changeOutlet,
  changeRoom,
  findOutlet,
  findRoom,
  listOutlets,
  listRooms,
  type OutletFacts,
  plugIn,
  plugsVersion,
  putBackOutlet,
  putBackRoom,
  type RoomFacts,
  removeOutlet,
  removeRoom,
} from '../../../server/db/rooms.ts';
import { plainDate } from '../../../src/calendar.ts';
import { keepEnclosure, keepFitting } from '../../support/ledger.ts';
import { makeEnclosure, makeFitting } from '../../support/make.ts';

const today = plainDate('2026-01-15');

const room: RoomFacts = {
  name: 'Study',
  coldest: { celsius: 15.5, month: 1 },
  coldestTyped: '60 F',
  hottest: null,
  hottestTyped: '',
  notes: '',
};

const outlet: OutletFacts = {
  name: 'Left of the window',
  roomId: null,
  rule: 'uk',
  volts: 230,
  circuitAmps: 13,
  plugAmps: 13,
  leadAmps: null,
  notes: 'four ways',
};

function addLamp(db: Db, name: string): string {
  const enclosureId = keepEnclosure(db, makeEnclosure({ id: '1' }));
  return keepFitting(db, makeFitting('basking-lamp', { id: '1', enclosureId, name, watts: 60, hoursPerDay: 12 }));
}

test('A room is read back as it was entered, with what was never measured as null', () => {
  const db = openMemory();
  const id = Number(addRoom(db, room));
  expect(findRoom(db, id)).toEqual({ ...room, id: '1', removedOn: null, version: 1 });
  expect(findRoom(db, 2)).toBeNull();
});

test('A socket is read back as it was entered, in its room', () => {
  const db = openMemory();
  const roomId = addRoom(db, room);
  const id = Number(addOutlet(db, { ...outlet, roomId }));
  expect(findOutlet(db, id)).toEqual({ ...outlet, roomId, id: '1', removedOn: null, version: 1 });
});

test('Rooms and sockets change once for each version that a keeper saw', () => {
  const db = openMemory();
  addRoom(db, room);
  addOutlet(db, outlet);
  expect(changeRoom(db, 1, 1, { ...room, name: 'Attic' })).toBe('saved');
  expect(changeRoom(db, 1, 1, { ...room, name: 'Cellar' })).toBe('conflict');
  expect(findRoom(db, 1)).toMatchObject({ name: 'Attic', version: 2 });
  expect(changeOutlet(db, 1, 1, { ...outlet, leadAmps: 10 })).toBe('saved');
  expect(changeOutlet(db, 1, 1, outlet)).toBe('conflict');
  expect(findOutlet(db, 1)).toMatchObject({ leadAmps: 10, version: 2 });
});

test('Removed rooms and sockets leave the lists and come back as they were', () => {
  const db = openMemory();
  addRoom(db, room);
  addOutlet(db, { ...outlet, roomId: '1' });
  expect(removeRoom(db, 1, 1, today)).toBe('saved');
  expect(removeOutlet(db, 1, 1, today)).toBe('saved');
  expect([listRooms(db), listOutlets(db)]).toEqual([[], []]);
  expect(listRooms(db, 'removed')).toMatchObject([{ name: 'Study', removedOn: today }]);
  expect(changeOutlet(db, 1, 2, outlet)).toBe('conflict');
  expect(putBackRoom(db, 1, 2)).toBe('saved');
  expect(putBackOutlet(db, 1, 2)).toBe('saved');
  expect(listOutlets(db)).toMatchObject([{ roomId: '1', removedOn: null }]);
  expect(listRooms(db, 'removed')).toEqual([]);
});

test('A thing is plugged into one socket at a time, and only the socket that held it lets it go', () => {
  const db = openMemory();
  addOutlet(db, outlet);
  addOutlet(db, { ...outlet, name: 'Right' });
  const [lamp, other] = [addLamp(db, 'Lamp'), addLamp(db, 'Other lamp')];
  const socketOf = (id: string) => findFitting(db, Number(id))!.outletId;
  const [first, second] = [plugsVersion(db), plugsVersion(db) + 1];
  expect(plugIn(db, 1, first, { plugged: [lamp, other], unplugged: [] })).toBe('saved');
  // A form of the other socket that was opened before does not take the lamp out of this one unseen.
  expect(plugIn(db, 2, first, { plugged: [lamp], unplugged: [] })).toBe('conflict');
  expect(plugIn(db, 2, second, { plugged: [lamp], unplugged: [other] })).toBe('saved');
  expect([socketOf(lamp), socketOf(other)]).toEqual(['2', '1']);
  expect(plugIn(db, 1, second, { plugged: [lamp], unplugged: [] })).toBe('conflict');
  expect(socketOf(lamp)).toBe('2');
  expect(plugIn(db, 1, plugsVersion(db), { plugged: [], unplugged: [lamp, other] })).toBe('saved');
  expect([socketOf(lamp), socketOf(other)]).toEqual(['2', null]);
});

test('Every change of a room, a socket or what is plugged in counts as a change that a plan depends on', () => {
  const db = openMemory();
  let before = ledgerVersion(db);
  const acts = [
    () => addRoom(db, room),
    () => addOutlet(db, outlet),
    () => changeRoom(db, 1, 1, room),
    () => plugIn(db, 1, 1, { plugged: [], unplugged: [] }),
    () => removeOutlet(db, 1, 2, today),
  ];
  for (const act of acts) {
    act();
    expect(ledgerVersion(db)).toBe(before + 1);
    before += 1;
  }
});

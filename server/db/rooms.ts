// The rooms that boxes stand in and the sockets in them, as rows: found, added, changed, removed and put back, and which fitted things
// are plugged into a socket. The only file that knows how they are stored.

import { and, asc, eq, inArray, isNull, sql } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import type { Outlet, Room } from '../../src/rooms.ts';
import {
  added,
  bareRoomOf,
  changed,
  type Kept,
  marked,
  rowId,
  type Saved,
  standing,
  textId,
  type Which,
} from './collection.ts';
import type { Session } from './open.ts';
import { fittings, outlets, rooms } from './schema.ts';
import { whileUnchanged } from './unchanged.ts';

/** A room with its temperatures as typed and the keeper's notes. */
export type RoomFacts = Omit<Room, 'id'> & { coldestTyped: string; hottestTyped: string; notes: string };
export type RoomRecord = RoomFacts & { id: string } & Kept;

/** A socket or lead with the keeper's notes. */
export type OutletFacts = Omit<Outlet, 'id'> & { notes: string };
export type OutletRecord = OutletFacts & { id: string } & Kept;

/** The rooms in the order of entry: those that stand, or those that were removed. */
export const listRooms = whileUnchanged((session, which: Which = 'kept'): RoomRecord[] =>
  session.select().from(rooms).where(standing(rooms, which)).orderBy(asc(rooms.id)).all().map(roomOf),
);

/** A room, removed or not; null when there never was one of this number. */
export function findRoom(session: Session, id: number): RoomRecord | null {
  const row = session.select().from(rooms).where(eq(rooms.id, id)).get();
  return row === undefined ? null : roomOf(row);
}

/** Adds a room and returns its id. */
export function addRoom(session: Session, facts: RoomFacts): string {
  return added(session, session.insert(rooms).values(roomRow(facts)).run());
}

/** Replaces what is known of a room. */
export function changeRoom(session: Session, id: number, version: number, facts: RoomFacts): Saved {
  return changed(
    session,
    session
      .update(rooms)
      .set({ ...roomRow(facts), version: version + 1 })
      .where(and(eq(rooms.id, id), eq(rooms.version, version), isNull(rooms.removedOn)))
      .run(),
  );
}

/** Removes a room on a day; boxes and sockets in it stand in no room until it is put back. */
export function removeRoom(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, rooms, id, version, on);
}

/** Puts a removed room back as it was, with the boxes and sockets in it. */
export function putBackRoom(session: Session, id: number, version: number): Saved {
  return marked(session, rooms, id, version, null);
}

/** The sockets and leads in the order of entry: those that stand, or those that were removed. */
export const listOutlets = whileUnchanged((session, which: Which = 'kept'): OutletRecord[] =>
  session.select().from(outlets).where(standing(outlets, which)).orderBy(asc(outlets.id)).all().map(outletOf),
);

/** A socket or lead, removed or not; null when there never was one of this number. */
export function findOutlet(session: Session, id: number): OutletRecord | null {
  const row = session.select().from(outlets).where(eq(outlets.id, id)).get();
  return row === undefined ? null : outletOf(row);
}

/** Adds a socket or lead and returns its id. */
export function addOutlet(session: Session, facts: OutletFacts): string {
  return added(session, session.insert(outlets).values(outletRow(facts)).run());
}

/** Replaces what is known of a socket or lead. */
export function changeOutlet(session: Session, id: number, version: number, facts: OutletFacts): Saved {
  return changed(
    session,
    session
      .update(outlets)
      .set({ ...outletRow(facts), version: version + 1 })
      .where(and(eq(outlets.id, id), eq(outlets.version, version), isNull(outlets.removedOn)))
      .run(),
  );
}

/** Removes a socket on a day; what was plugged into it counts nowhere until it is put back. */
export function removeOutlet(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, outlets, id, version, on);
}

/** Puts a removed socket back as it was, with what is still plugged into it. */
export function putBackOutlet(session: Session, id: number, version: number): Saved {
  return marked(session, outlets, id, version, null);
}

/** Rises with every change of any socket and of what is plugged in where; what plugIn is to be told. */
export function plugsVersion(session: Session): number {
  return session
    .select({ version: outlets.version })
    .from(outlets)
    .all()
    .reduce((sum, { version }) => sum + version, 0);
}

/**
 * Plugs the named things into a socket, out of any other that they were in, and unplugs those of `unplugged` that are in it. A conflict, with
 * nothing done, when the socket was removed, or any was changed since plugsVersion gave `version`: what is plugged in here is taken from there.
 */
export function plugIn(
  session: Session,
  id: number,
  version: number,
  things: { plugged: readonly string[]; unplugged: readonly string[] },
): Saved {
  if (plugsVersion(session) !== version) return 'conflict';
  const saved = changed(
    session,
    session
      .update(outlets)
      .set({ version: sql`${outlets.version} + 1` })
      .where(and(eq(outlets.id, id), isNull(outlets.removedOn)))
      .run(),
  );
  if (saved === 'conflict') return saved;
  // The form of a thing does not show its socket and keeps it, so that its own version can stay.
  const put = (outletId: number | null, which: ReturnType<typeof and>) =>
    session.update(fittings).set({ outletId }).where(which).run();
  put(id, inArray(fittings.id, things.plugged.map(Number)));
  put(null, and(inArray(fittings.id, things.unplugged.map(Number)), eq(fittings.outletId, id)));
  return saved;
}

function roomOf(row: typeof rooms.$inferSelect): RoomRecord {
  const { id: _, coldestCelsius, coldestMonth, hottestCelsius, hottestMonth, ...rest } = row;
  return { ...rest, ...bareRoomOf(row) };
}

function roomRow({ coldest, hottest, ...rest }: RoomFacts) {
  return {
    ...rest,
    coldestCelsius: coldest?.celsius ?? null,
    coldestMonth: coldest?.month ?? null,
    hottestCelsius: hottest?.celsius ?? null,
    hottestMonth: hottest?.month ?? null,
  };
}

function outletOf({ id, roomId, ...rest }: typeof outlets.$inferSelect): OutletRecord {
  return { ...rest, id: String(id), roomId: textId(roomId) };
}

function outletRow({ roomId, ...rest }: OutletFacts) {
  return { ...rest, roomId: rowId(roomId) };
}

// The instruments a keeper reads with, as rows: found, added, changed, removed and put back. The only file that knows how they are stored.

import { and, asc, eq, isNull } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import type { Instrument } from '../../src/instruments.ts';
import { added, changed, type Kept, marked, type Saved, standing, type Which } from './collection.ts';
import type { Session } from './open.ts';
import { instruments } from './schema.ts';

/** An instrument with the keeper's notes. */
export type InstrumentFacts = Omit<Instrument, 'id'> & { notes: string };
export type InstrumentRecord = InstrumentFacts & { id: string } & Kept;

/** The instruments in the order of entry: those that stand, or those that were removed. */
export function listInstruments(session: Session, which: Which = 'kept'): InstrumentRecord[] {
  return session
    .select()
    .from(instruments)
    .where(standing(instruments, which))
    .orderBy(asc(instruments.id))
    .all()
    .map(instrumentOf);
}

/** An instrument, removed or not; null when there never was one of this number. */
export function findInstrument(session: Session, id: number): InstrumentRecord | null {
  const row = session.select().from(instruments).where(eq(instruments.id, id)).get();
  return row === undefined ? null : instrumentOf(row);
}

/** Adds an instrument and returns its id. */
export function addInstrument(session: Session, facts: InstrumentFacts): string {
  return added(session, session.insert(instruments).values(facts).run());
}

/** Replaces what is known of an instrument. Readings keep the name and the error they were entered with. */
export function changeInstrument(session: Session, id: number, version: number, facts: InstrumentFacts): Saved {
  return changed(
    session,
    session
      .update(instruments)
      .set({ ...facts, version: version + 1 })
      .where(and(eq(instruments.id, id), eq(instruments.version, version), isNull(instruments.removedOn)))
      .run(),
  );
}

/** Removes an instrument on a day; what was read with it stays. */
export function removeInstrument(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, instruments, id, version, on);
}

/** Puts a removed instrument back as it was. */
export function putBackInstrument(session: Session, id: number, version: number): Saved {
  return marked(session, instruments, id, version, null);
}

function instrumentOf({ id, ...rest }: typeof instruments.$inferSelect): InstrumentRecord {
  return { ...rest, id: String(id) };
}

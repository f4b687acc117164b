// The keeper's own values and species, the shipped figures as they last were, and what updates changed in them, as rows. The only file
// that knows how they are stored. Every change of a target is one that plans depend on.

import { and, asc, desc, eq, isNull } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import type { FigureChange, Override, OwnSpecies, Snapshot } from '../../src/care-overrides.ts';
import { added, changed, type Kept, marked, rowId, type Saved, standing, textId, type Which } from './collection.ts';
import { touchLedger } from './ledger.ts';
import type { Session } from './open.ts';
import { animals, careOverrides, careUpdates, ownSpecies, shippedFigures } from './schema.ts';

/** A value of the keeper's with what was typed for it, by field. */
export type OverrideFacts = Omit<Override, 'id'> & { typed: Record<string, string> };
export type OverrideRecord = OverrideFacts & { id: string } & Kept;

/** A species of the keeper's. */
export type OwnSpeciesRecord = OwnSpecies & { id: string } & Kept;

/** How far the score of an animal moved on the day of an update, with the keeper's own values in force before and after. */
export type MovedScore = { animalId: string; name: string; speciesId: string; before: number; after: number };

/** What an update of the shipped figures changed; `readOn` is null until the keeper has read it. */
export type CareUpdate = {
  id: string;
  happenedOn: PlainDate;
  changes: FigureChange[];
  moved: MovedScore[];
  readOn: PlainDate | null;
};

/** The keeper's values in the order of entry: those in force, or those that gave way to the shipped ones again. */
export function listOverrides(session: Session, which: Which = 'kept'): OverrideRecord[] {
  const rows = session.select().from(careOverrides).where(standing(careOverrides, which));
  return rows.orderBy(asc(careOverrides.id)).all().map(overrideOf);
}

/** A value of the keeper's, removed or not; null when there never was one of this number. */
export function findOverride(session: Session, id: number): OverrideRecord | null {
  const row = session.select().from(careOverrides).where(eq(careOverrides.id, id)).get();
  return row === undefined ? null : overrideOf(row);
}

/** Adds a value and returns its id. Throws when another stands for the same figure of the same animals. */
export function addOverride(session: Session, facts: OverrideFacts): string {
  return added(session, session.insert(careOverrides).values(overrideRow(facts)).run());
}

/** Replaces a value, its source and its grade. */
export function changeOverride(session: Session, id: number, version: number, facts: OverrideFacts): Saved {
  return changed(
    session,
    session
      .update(careOverrides)
      .set({ ...overrideRow(facts), version: version + 1 })
      .where(and(eq(careOverrides.id, id), eq(careOverrides.version, version), isNull(careOverrides.removedOn)))
      .run(),
  );
}

/** Goes back to the shipped value on a day; one's own can be put back. */
export function removeOverride(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, careOverrides, id, version, on);
}

/** Puts a value back in force as it was; a conflict when another stands for the same figure of the same animals by now. */
export function putBackOverride(session: Session, id: number, version: number): Saved {
  const row = findOverride(session, id);
  const isTaken = listOverrides(session).some(
    (one) =>
      one.id !== String(id) &&
      one.speciesId === row?.speciesId &&
      one.figure === row.figure &&
      one.animalId === row.animalId,
  );
  return isTaken ? 'conflict' : marked(session, careOverrides, id, version, null);
}

/** The keeper's species in the order of entry: those that stand, or those that were removed. */
export function listOwnSpecies(session: Session, which: Which = 'kept'): OwnSpeciesRecord[] {
  const rows = session.select().from(ownSpecies).where(standing(ownSpecies, which));
  return rows.orderBy(asc(ownSpecies.id)).all().map(speciesRecordOf);
}

/** A species of the keeper's, removed or not; null when there never was one of this number. */
export function findOwnSpecies(session: Session, id: number): OwnSpeciesRecord | null {
  const row = session.select().from(ownSpecies).where(eq(ownSpecies.id, id)).get();
  return row === undefined ? null : speciesRecordOf(row);
}

/** Adds a species and returns its number. Throws when another of the keeper's species with its id stands. */
export function addOwnSpecies(session: Session, own: OwnSpecies): string {
  return added(
    session,
    session
      .insert(ownSpecies)
      .values({ ...own, speciesId: own.species.id })
      .run(),
  );
}

/** Replaces what is known of a species; its id stays, since animals and values go by it. */
export function changeOwnSpecies(session: Session, id: number, version: number, own: OwnSpecies): Saved {
  return changed(
    session,
    session
      .update(ownSpecies)
      .set({ ...own, version: version + 1 })
      .where(
        and(
          eq(ownSpecies.id, id),
          eq(ownSpecies.speciesId, own.species.id),
          eq(ownSpecies.version, version),
          isNull(ownSpecies.removedOn),
        ),
      )
      .run(),
  );
}

/** Removes a species on a day; it can be put back. A conflict, too, when an animal, removed or not, is of this species. */
export function removeOwnSpecies(session: Session, id: number, version: number, on: PlainDate): Saved {
  const own = findOwnSpecies(session, id);
  if (own !== null && animalsOfSpecies(session, own.species.id).length > 0) return 'conflict';
  return marked(session, ownSpecies, id, version, on);
}

/** Puts a removed species back as it was; a conflict when another with its id stands by now. */
export function putBackOwnSpecies(session: Session, id: number, version: number): Saved {
  const own = findOwnSpecies(session, id);
  const isTaken = listOwnSpecies(session).some((one) => one.species.id === own?.species.id);
  return isTaken ? 'conflict' : marked(session, ownSpecies, id, version, null);
}

/** The names of all animals of a species, removed ones too, since they can be put back. */
export function animalsOfSpecies(session: Session, speciesId: string): string[] {
  const rows = session.select({ name: animals.name }).from(animals).where(eq(animals.speciesId, speciesId));
  return rows
    .orderBy(asc(animals.id))
    .all()
    .map((one) => one.name);
}

/** The shipped figures as they were at the last start; empty when there was none. */
export function readSnapshot(session: Session): Snapshot {
  const rows = session.select().from(shippedFigures).all();
  return Object.fromEntries(rows.map(({ speciesId, figures }) => [speciesId, figures]));
}

/** Keeps the shipped figures as they are now. Those of species that ship no more stay, to tell what changed should they come back. */
export function saveSnapshot(session: Session, snapshot: Snapshot): void {
  for (const [speciesId, figures] of Object.entries(snapshot)) {
    session
      .insert(shippedFigures)
      .values({ speciesId, figures })
      .onConflictDoUpdate({ target: shippedFigures.speciesId, set: { figures } })
      .run();
  }
}

/** Writes down what an update changed. Plans made before are from older targets. */
export function addCareUpdate(session: Session, update: Omit<CareUpdate, 'id' | 'readOn'>): void {
  session.insert(careUpdates).values(update).run();
  touchLedger(session);
}

/** What updates changed, the latest first. */
export function listCareUpdates(session: Session): CareUpdate[] {
  const rows = session.select().from(careUpdates).orderBy(desc(careUpdates.id)).all();
  return rows.map(({ id, ...rest }) => ({ ...rest, id: String(id) }));
}

/** Marks an update as read on a day; once read it stays so. */
export function markUpdateRead(session: Session, id: number, on: PlainDate): void {
  const isUnread = and(eq(careUpdates.id, id), isNull(careUpdates.readOn));
  session.update(careUpdates).set({ readOn: on }).where(isUnread).run();
}

function overrideOf(row: typeof careOverrides.$inferSelect): OverrideRecord {
  const { id, animalId, sourceTitle: title, sourceYear: year, sourceAddress: address, ...rest } = row;
  return { ...rest, id: String(id), animalId: textId(animalId), source: { title, year, address } };
}

function overrideRow({ animalId, source: { title, year, address }, ...rest }: OverrideFacts) {
  return { ...rest, animalId: rowId(animalId), sourceTitle: title, sourceYear: year, sourceAddress: address };
}

function speciesRecordOf({ id, speciesId: _, ...rest }: typeof ownSpecies.$inferSelect): OwnSpeciesRecord {
  return { ...rest, id: String(id) };
}

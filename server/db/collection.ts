// What a keeper has, as rows: animals, enclosures, fittings, readings and answers, found, added, changed, removed and put back. The only
// file that knows how they are stored. Rows are removed by a date; what lives or stands in a removed enclosure waits there with it.

import { and, asc, eq, isNotNull, isNull, type SQL } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import type { Animal, Answer, Collection, Enclosure, Fitting, Reading } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import { ratiosToKeep } from '../../src/evidence.ts';
import { lightCorrectionFrom } from '../../src/promises.ts';
import type { Room, RoomMonth } from '../../src/rooms.ts';
import { touchLedger } from './ledger.ts';
import type { Session } from './open.ts';
import { listPredictions } from './predictions.ts';
import {
  type animalSigns,
  animals,
  answers,
  type careOverrides,
  enclosures,
  fittings,
  type instruments,
  type outlets,
  type ownSpecies,
  readings,
  rooms,
} from './schema.ts';
import { rowsAsBefore, whileUnchanged } from './unchanged.ts';

/** What every kept row carries beside its facts: whether and when it was removed, and how often it was changed. */
export type Kept = { removedOn: PlainDate | null; version: number };

/**
 * An animal with its length as typed and the keeper's notes. `vetCheckedOn` is the day of the last check by a vet, which a cooling or a winter
 * rest takes; null or left out: none is entered.
 */
export type AnimalFacts = Omit<Animal, 'id'> & { lengthTyped: string; vetCheckedOn?: PlainDate | null; notes: string };
export type AnimalRecord = Required<AnimalFacts> & { id: string } & Kept;

/** An enclosure with its measures as typed and the keeper's notes. */
export type EnclosureFacts = Omit<Enclosure, 'id'> & {
  lengthTyped: string;
  depthTyped: string;
  heightTyped: string;
  notes: string;
};
export type EnclosureRecord = EnclosureFacts & { id: string } & Kept;

/** A fitting with its distance as typed; `upgradeId` names the purchase it came with, if any. */
export type FittingFacts = Omit<Fitting, 'id'> & { distanceTyped: string; upgradeId: string | null };
export type FittingRecord = FittingFacts & { id: string } & Kept;

/** A reading with the room's temperature as typed and the keeper's notes. */
export type ReadingFacts = Omit<Reading, 'id'> & { roomTyped: string; notes: string };
export type ReadingRecord = ReadingFacts & { id: string } & Kept;

/** Rows that stand, or rows that were removed and can be put back. */
export type Which = 'kept' | 'removed';

/** What came of changing a row: a conflict when it was changed, or removed, since the given version. */
export type Saved = 'saved' | 'conflict';

/**
 * Everything that was not removed, retired fittings included, in the order of entry. An animal whose enclosure was removed lives nowhere
 * until the enclosure is put back; fittings, readings and answers of a removed enclosure are left out with it. What the keeper's readings
 * say of lamps comes along.
 */
export const loadCollection = whileUnchanged((session): Collection => {
  const boxes = rowsAsBefore(session, 'enclosures', enclosures, everyRow(session, enclosures), boxOf);
  const there = new Set(boxes.map((one) => one.id));
  const things = rowsAsBefore(session, 'fittings', fittings, everyRow(session, fittings), thingOf).filter((one) =>
    there.has(one.enclosureId),
  );
  const known = new Set(things.map((one) => one.id));
  const isKnown = (id: string | null) => id === null || known.has(id);
  const collection: Collection = {
    animals: rowsAsBefore(session, 'animals', animals, everyRow(session, animals), occupantOf).map((one) =>
      one.enclosureId === null || there.has(one.enclosureId) ? one : { ...one, enclosureId: null },
    ),
    enclosures: boxes,
    fittings: things.map((one) =>
      isKnown(one.regulates) && isKnown(one.guards)
        ? one
        : {
            ...one,
            regulates: isKnown(one.regulates) ? one.regulates : null,
            guards: isKnown(one.guards) ? one.guards : null,
          },
    ),
    readings: rowsAsBefore(session, 'readings', readings, everyRow(session, readings), figureOf).filter((one) =>
      there.has(one.enclosureId),
    ),
    answers: rowsAsBefore(session, 'answers', answers, session.select().from(answers), answerOf, 2).filter((one) =>
      there.has(one.enclosureId),
    ),
    rooms: rowsAsBefore(session, 'rooms', rooms, everyRow(session, rooms), bareRoomOf),
  };
  return { ...collection, lightCorrection: lightCorrectionFrom(listPredictions(session), collection) };
});

function everyRow<Table extends typeof animals | typeof enclosures | typeof fittings | typeof readings | typeof rooms>(
  session: Session,
  table: Table,
) {
  return session.select().from(table).where(isNull(table.removedOn)).orderBy(asc(table.id));
}

/** The animals in the order of entry: those that stand, or those that were removed. */
export function listAnimals(session: Session, which: Which = 'kept'): AnimalRecord[] {
  return session.select().from(animals).where(standing(animals, which)).orderBy(asc(animals.id)).all().map(animalOf);
}

/** An animal, removed or not; null when there never was one of this number. */
export function findAnimal(session: Session, id: number): AnimalRecord | null {
  const row = session.select().from(animals).where(eq(animals.id, id)).get();
  return row === undefined ? null : animalOf(row);
}

/** Adds an animal and returns its id. */
export function addAnimal(session: Session, facts: AnimalFacts): string {
  return added(session, session.insert(animals).values(animalRow(facts)).run());
}

/** Replaces what is known of an animal. */
export function changeAnimal(session: Session, id: number, version: number, facts: AnimalFacts): Saved {
  return changed(
    session,
    session
      .update(animals)
      .set({ ...animalRow(facts), version: version + 1 })
      .where(and(eq(animals.id, id), eq(animals.version, version), isNull(animals.removedOn)))
      .run(),
  );
}

/** Removes an animal on a day; it can be put back. */
export function removeAnimal(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, animals, id, version, on);
}

/** Puts a removed animal back as it was. */
export function putBackAnimal(session: Session, id: number, version: number): Saved {
  return marked(session, animals, id, version, null);
}

/** The enclosures in the order of entry: those that stand, or those that were removed. */
export function listEnclosures(session: Session, which: Which = 'kept'): EnclosureRecord[] {
  return session
    .select()
    .from(enclosures)
    .where(standing(enclosures, which))
    .orderBy(asc(enclosures.id))
    .all()
    .map(enclosureOf);
}

/** An enclosure, removed or not; null when there never was one of this number. */
export function findEnclosure(session: Session, id: number): EnclosureRecord | null {
  const row = session.select().from(enclosures).where(eq(enclosures.id, id)).get();
  return row === undefined ? null : enclosureOf(row);
}

/** Adds an enclosure and returns its id. */
export function addEnclosure(session: Session, facts: EnclosureFacts): string {
  return added(session, session.insert(enclosures).values(facts).run());
}

/** Replaces what is known of an enclosure. A later `boxSince` ends every older reading in it; what they made of its lamps is kept. */
export function changeEnclosure(session: Session, id: number, version: number, facts: EnclosureFacts): Saved {
  if (findEnclosure(session, id)?.boxSince !== facts.boxSince) keepLightRatios(session, String(id));
  return changed(
    session,
    session
      .update(enclosures)
      .set({ ...facts, version: version + 1 })
      .where(and(eq(enclosures.id, id), eq(enclosures.version, version), isNull(enclosures.removedOn)))
      .run(),
  );
}

/** Removes an enclosure on a day, with everything in it waiting there; it can be put back. */
export function removeEnclosure(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, enclosures, id, version, on);
}

/** Puts a removed enclosure back as it was, with everything in it. */
export function putBackEnclosure(session: Session, id: number, version: number): Saved {
  return marked(session, enclosures, id, version, null);
}

/** The fittings of an enclosure, retired ones included, in the order of entry: those that stand, or those that were removed. */
export function listFittings(session: Session, enclosureId: number, which: Which = 'kept'): FittingRecord[] {
  return session
    .select()
    .from(fittings)
    .where(and(eq(fittings.enclosureId, enclosureId), standing(fittings, which)))
    .orderBy(asc(fittings.id))
    .all()
    .map(fittingOf);
}

/** A fitting, removed or not; null when there never was one of this number. */
export function findFitting(session: Session, id: number): FittingRecord | null {
  const row = session.select().from(fittings).where(eq(fittings.id, id)).get();
  return row === undefined ? null : fittingOf(row);
}

/** Adds a fitting and returns its id. */
export function addFitting(session: Session, facts: FittingFacts): string {
  return added(session, session.insert(fittings).values(fittingRow(facts)).run());
}

/** Replaces what is known of a fitting: also how it is moved or retired. What readings made of the lamps there is kept before it moves. */
export function changeFitting(session: Session, id: number, version: number, facts: FittingFacts): Saved {
  const before = findFitting(session, id);
  if (before?.movedOn !== facts.movedOn || before.fittedOn !== facts.fittedOn)
    keepLightRatios(session, facts.enclosureId);
  return changed(
    session,
    session
      .update(fittings)
      .set({ ...fittingRow(facts), version: version + 1 })
      .where(and(eq(fittings.id, id), eq(fittings.version, version), isNull(fittings.removedOn)))
      .run(),
  );
}

/** Removes a fitting that was entered by mistake; it can be put back. One that was in use is retired instead, by changing it. */
export function removeFitting(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, fittings, id, version, on);
}

/** Puts a removed fitting back as it was. */
export function putBackFitting(session: Session, id: number, version: number): Saved {
  return marked(session, fittings, id, version, null);
}

/** The readings of an enclosure in the order of entry: those that stand, or those that were removed. */
export function listReadings(session: Session, enclosureId: number, which: Which = 'kept'): ReadingRecord[] {
  return session
    .select()
    .from(readings)
    .where(and(eq(readings.enclosureId, enclosureId), standing(readings, which)))
    .orderBy(asc(readings.id))
    .all()
    .map(readingOf);
}

/** A reading, removed or not; null when there never was one of this number. */
export function findReading(session: Session, id: number): ReadingRecord | null {
  const row = session.select().from(readings).where(eq(readings.id, id)).get();
  return row === undefined ? null : readingOf(row);
}

/** Adds a reading and returns its id. */
export function addReading(session: Session, facts: ReadingFacts): string {
  return added(session, session.insert(readings).values(readingRow(facts)).run());
}

/** Replaces what is known of a reading. */
export function changeReading(session: Session, id: number, version: number, facts: ReadingFacts): Saved {
  return changed(
    session,
    session
      .update(readings)
      .set({ ...readingRow(facts), version: version + 1 })
      .where(and(eq(readings.id, id), eq(readings.version, version), isNull(readings.removedOn)))
      .run(),
  );
}

// Keeps with each UVI read in an enclosure what it makes of the light model as things stand, where that is not kept yet.
function keepLightRatios(session: Session, enclosureId: string): void {
  const collection = loadCollection(session);
  if (!collection.enclosures.some((one) => one.id === enclosureId)) return;
  for (const { readingId, lightRatio } of ratiosToKeep(setupOf(collection, enclosureId))) {
    session
      .update(readings)
      .set({ lightRatio })
      .where(eq(readings.id, Number(readingId)))
      .run();
  }
}

/** Removes a reading on a day; it can be put back. */
export function removeReading(session: Session, id: number, version: number, on: PlainDate): Saved {
  return marked(session, readings, id, version, on);
}

/** Puts a removed reading back as it was. */
export function putBackReading(session: Session, id: number, version: number): Saved {
  return marked(session, readings, id, version, null);
}

/** The answers given for an enclosure; a check without one was never answered. */
export function listAnswers(session: Session, enclosureId: number): Answer[] {
  return session.select().from(answers).where(eq(answers.enclosureId, enclosureId)).all().map(answerOf);
}

/** Puts answers in the place of those given before to the same checks. */
export function saveAnswers(session: Session, given: readonly Answer[]): void {
  for (const { enclosureId, ...one } of given) {
    session
      .insert(answers)
      .values({ ...one, enclosureId: Number(enclosureId) })
      .onConflictDoUpdate({
        target: [answers.enclosureId, answers.check],
        set: { answer: one.answer, answeredOn: one.answeredOn },
      })
      .run();
  }
  touchLedger(session);
}

/** Counts an added row as a change of the ledger and returns its id. */
export function added(session: Session, result: { lastInsertRowid: number | bigint }): string {
  touchLedger(session);
  return String(result.lastInsertRowid);
}

/** Counts a changed row as a change of the ledger; a conflict when none was found to change. */
export function changed(session: Session, result: { changes: number }): Saved {
  if (result.changes === 0) return 'conflict';
  touchLedger(session);
  return 'saved';
}

type KeptTable =
  | typeof animals
  | typeof animalSigns
  | typeof careOverrides
  | typeof enclosures
  | typeof fittings
  | typeof instruments
  | typeof ownSpecies
  | typeof outlets
  | typeof readings
  | typeof rooms;

/** What tells rows of a table that stand, or those that were removed. */
export function standing(table: KeptTable, which: Which): SQL {
  return which === 'kept' ? isNull(table.removedOn) : isNotNull(table.removedOn);
}

/** Marks a row as removed on a day, or as put back; a conflict when it was changed since the given version. */
export function marked(
  session: Session,
  table: KeptTable,
  id: number,
  version: number,
  removedOn: PlainDate | null,
): Saved {
  const before = standing(table, removedOn === null ? 'removed' : 'kept');
  return changed(
    session,
    session
      .update(table)
      .set({ removedOn, version: version + 1 })
      .where(and(eq(table.id, id), eq(table.version, version), before))
      .run(),
  );
}

/** A row's number as the domain writes it, and back. */
export const textId = (id: number | null) => (id === null ? null : String(id));
export const rowId = (id: string | null) => (id === null ? null : Number(id));

function animalOf(row: typeof animals.$inferSelect): AnimalRecord {
  const { id, enclosureId, isPaleMorph, ...rest } = row;
  return { ...rest, id: String(id), enclosureId: textId(enclosureId), paleMorph: isPaleMorph };
}

function occupantOf(row: typeof animals.$inferSelect): Animal {
  const {
    lengthTyped: _,
    vetCheckedOn: _checked,
    notes: _notes,
    removedOn: _removed,
    version: _version,
    ...one
  } = animalOf(row);
  return one;
}

function animalRow({ enclosureId, paleMorph, states = [], vetCheckedOn = null, ...rest }: AnimalFacts) {
  return { ...rest, states, vetCheckedOn, enclosureId: rowId(enclosureId), isPaleMorph: paleMorph };
}

function enclosureOf({ id, ...rest }: typeof enclosures.$inferSelect): EnclosureRecord {
  return { ...rest, id: String(id) };
}

function boxOf(row: typeof enclosures.$inferSelect): Enclosure {
  const {
    lengthTyped: _length,
    depthTyped: _depth,
    heightTyped: _height,
    notes: _notes,
    removedOn: _removed,
    version: _version,
    ...one
  } = enclosureOf(row);
  return one;
}

function fittingOf(row: typeof fittings.$inferSelect): FittingRecord {
  const { id, enclosureId, regulatesId, guardsId, isOutOfReach, upgradeId, outletId, meshUnknown, ...rest } = row;
  return {
    ...rest,
    meshShare: meshUnknown ? null : rest.meshShare,
    id: String(id),
    enclosureId: String(enclosureId),
    regulates: textId(regulatesId),
    guards: textId(guardsId),
    outOfReach: isOutOfReach,
    upgradeId: textId(upgradeId),
    outletId: textId(outletId),
  };
}

function thingOf(row: typeof fittings.$inferSelect): Fitting {
  const { distanceTyped: _, upgradeId: _upgrade, removedOn: _removed, version: _version, ...one } = fittingOf(row);
  return one;
}

function fittingRow({
  enclosureId,
  regulates,
  guards,
  outOfReach,
  upgradeId,
  outletId,
  meshShare,
  ...rest
}: FittingFacts) {
  return {
    ...rest,
    meshShare: meshShare ?? 1,
    meshUnknown: meshShare === null,
    enclosureId: Number(enclosureId),
    regulatesId: rowId(regulates),
    guardsId: rowId(guards),
    isOutOfReach: outOfReach,
    upgradeId: rowId(upgradeId),
    outletId: rowId(outletId),
  };
}

function readingOf({ id, enclosureId, lightRatio, ...rest }: typeof readings.$inferSelect): ReadingRecord {
  const kept = lightRatio === null ? {} : { lightRatio };
  return { ...rest, id: String(id), enclosureId: String(enclosureId), ...kept };
}

function figureOf(row: typeof readings.$inferSelect): Reading {
  const { roomTyped: _, notes: _notes, removedOn: _removed, version: _version, ...one } = readingOf(row);
  return one;
}

function readingRow({ enclosureId, lightRatio, onPaper: _, ...rest }: ReadingFacts) {
  return { ...rest, enclosureId: Number(enclosureId), lightRatio: lightRatio ?? null };
}

function answerOf({ enclosureId, ...rest }: typeof answers.$inferSelect): Answer {
  return { ...rest, enclosureId: String(enclosureId) };
}

/** A row of a room without what was typed and noted of it. */
export function bareRoomOf(row: typeof rooms.$inferSelect): Room {
  const { id, name, coldestCelsius, coldestMonth, hottestCelsius, hottestMonth } = row;
  const monthOf = (celsius: number | null, month: number | null): RoomMonth | null =>
    celsius === null || month === null ? null : { celsius, month };
  return {
    id: String(id),
    name,
    coldest: monthOf(coldestCelsius, coldestMonth),
    hottest: monthOf(hottestCelsius, hottestMonth),
  };
}

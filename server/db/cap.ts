// What a keeper says of time, floor, reserve and quarantine, what each animal takes, and the questions asked about the collection with what
// came of them. The only file that knows how they are stored. No plan depends on any of it.

import { and, desc, eq, isNull } from 'drizzle-orm';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { type AnimalUpkeep, type CapSettings, DEFAULT_CAP_SETTINGS } from '../../src/collection-cap.ts';
import { type Currency, currencyOf, type Money } from '../../src/money.ts';
import type { Saved } from './collection.ts';
import type { Session } from './open.ts';
import { animals, animalUpkeep, capQuestions, capSettings } from './schema.ts';

/** Everything said for the cap, under one version. Animals of which nothing was said are absent, removed ones left out. */
export type CapRecord = { settings: CapSettings; upkeep: AnimalUpkeep[]; version: number };

/** What was said for the cap; the defaults, under version 1, when nothing was. */
export function readCap(session: Session): CapRecord {
  const row = session.select().from(capSettings).where(eq(capSettings.id, 1)).get();
  const upkeep = session
    .select({ upkeep: animalUpkeep })
    .from(animalUpkeep)
    .innerJoin(animals, and(eq(animals.id, animalUpkeep.animalId), isNull(animals.removedOn)))
    .all()
    .map(({ upkeep: { animalId, ...said } }) => ({ ...said, animalId: String(animalId) }));
  if (row === undefined) return { settings: DEFAULT_CAP_SETTINGS, upkeep, version: 1 };
  const { id: _, version, ...settings } = row;
  return { settings, upkeep, version };
}

/** Saves what was said for the cap, that of each animal named, when nobody changed any since the given version. */
export function saveCap(
  session: Session,
  version: number,
  settings: CapSettings,
  upkeep: readonly AnimalUpkeep[],
): Saved {
  session
    .insert(capSettings)
    .values({ ...DEFAULT_CAP_SETTINGS, id: 1 })
    .onConflictDoNothing()
    .run();
  const { changes } = session
    .update(capSettings)
    .set({ ...settings, version: version + 1 })
    .where(and(eq(capSettings.id, 1), eq(capSettings.version, version)))
    .run();
  if (changes === 0) return 'conflict';
  for (const { animalId, ...said } of upkeep) {
    session
      .insert(animalUpkeep)
      .values({ ...said, animalId: Number(animalId) })
      .onConflictDoUpdate({ target: animalUpkeep.animalId, set: said })
      .run();
  }
  return 'saved';
}

/** Every amount that is kept for the cap; they mean something else in another currency's decimals. */
export function capAmounts(session: Session): (Money | null)[] {
  const { largestEmergency, quarantineBox, newcomerVet } = readCap(session).settings;
  const upkeep = session.select().from(animalUpkeep).all();
  return [largestEmergency, quarantineBox, newcomerVet, ...upkeep.flatMap((one) => [one.food, one.substrate, one.vet])];
}

/**
 * A question about the collection with what came of it, as its caller writes both down. `currency` is the one its amounts are in;
 * `ledgerVersion` tells from which facts.
 */
export type KeptQuestion<Question, Outcome> = {
  id: string;
  askedOn: PlainDate;
  firstMonth: PlainMonth;
  ledgerVersion: number;
  currency: Currency;
  question: Question;
  outcome: Outcome;
};

/** Keeps a question with what came of it and returns its number. */
export function keepQuestion(session: Session, asked: Omit<KeptQuestion<unknown, unknown>, 'id'>): string {
  const { currency, question, outcome, ...rest } = asked;
  const { lastInsertRowid } = session
    .insert(capQuestions)
    .values({
      ...rest,
      currency: currency.code,
      question: JSON.stringify(question),
      outcome: JSON.stringify(outcome),
    })
    .run();
  return String(lastInsertRowid);
}

/** A question that was asked; null when there never was one of this number. */
export function findQuestion<Question, Outcome>(session: Session, id: number): KeptQuestion<Question, Outcome> | null {
  const row = session.select().from(capQuestions).where(eq(capQuestions.id, id)).get();
  return row === undefined ? null : questionOf<Question, Outcome>(row);
}

/** The questions asked last, the latest first. */
export function listQuestions<Question, Outcome>(session: Session, most: number): KeptQuestion<Question, Outcome>[] {
  return session
    .select()
    .from(capQuestions)
    .orderBy(desc(capQuestions.id))
    .limit(most)
    .all()
    .map((row) => questionOf<Question, Outcome>(row));
}

function questionOf<Question, Outcome>(row: typeof capQuestions.$inferSelect): KeptQuestion<Question, Outcome> {
  const currency = currencyOf(row.currency);
  if (currency === null) throw new RangeError(`a question's currency is no ISO 4217 code: ${row.currency}`);
  return {
    ...row,
    id: String(row.id),
    currency,
    question: JSON.parse(row.question) as Question,
    outcome: JSON.parse(row.outcome) as Outcome,
  };
}

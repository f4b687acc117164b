// Signs of animals as rows: noted, changed, settled, removed and put back. The only file that knows how they are stored, and that a plan
// is made from older facts only when a sum set aside or paid for the vet has changed.

import { and, asc, eq, isNotNull, isNull } from 'drizzle-orm';
import type { SetAside, VetPayment } from '../../src/budget.ts';
import type { PlainDate } from '../../src/calendar.ts';
import type { Sign } from '../../src/signs.ts';
import type { Kept, Saved, Which } from './collection.ts';
import { standing } from './collection.ts';
import { touchLedger } from './ledger.ts';
import type { Session } from './open.ts';
import { animalSigns, animals } from './schema.ts';

/** What is noted of a sign, with the weight as typed and the keeper's words; how it ended is written down apart. */
export type SignFacts = Omit<Sign, 'id' | 'settled'> & { gramsTyped: string; notes: string };
export type SignRecord = SignFacts & Pick<Sign, 'id' | 'settled'> & Kept;

/** The signs of an animal in the order of entry: those that stand, or those that were removed. */
export function listSigns(session: Session, animalId: number, which: Which = 'kept'): SignRecord[] {
  return session
    .select()
    .from(animalSigns)
    .where(and(eq(animalSigns.animalId, animalId), standing(animalSigns, which)))
    .orderBy(asc(animalSigns.id))
    .all()
    .map(signOf);
}

/** The signs of every animal that was not removed, in the order of entry. */
export function listEverySign(session: Session): SignRecord[] {
  return session
    .select({ sign: animalSigns })
    .from(animalSigns)
    .innerJoin(animals, eq(animals.id, animalSigns.animalId))
    .where(and(isNull(animalSigns.removedOn), isNull(animals.removedOn)))
    .orderBy(asc(animalSigns.id))
    .all()
    .map(({ sign }) => signOf(sign));
}

/** A sign, removed or not; null when there never was one of this number. */
export function findSign(session: Session, id: number): SignRecord | null {
  const row = session.select().from(animalSigns).where(eq(animalSigns.id, id)).get();
  return row === undefined ? null : signOf(row);
}

/** Adds an open sign and returns its id. */
export function addSign(session: Session, facts: SignFacts): string {
  const { lastInsertRowid } = session.insert(animalSigns).values(signRow(facts)).run();
  const id = String(lastInsertRowid);
  touchIfMoneyMoved(session, null, findSign(session, Number(id)));
  return id;
}

/** Replaces what was noted; how it ended stays. */
export function changeSign(session: Session, id: number, version: number, facts: SignFacts): Saved {
  return changed(session, id, version, signRow(facts));
}

/** Writes down how a sign ended, or, with null, that it is open: then what was set aside for it is kept back again. */
export function settleSign(session: Session, id: number, version: number, settled: Sign['settled']): Saved {
  return changed(session, id, version, {
    settledOn: settled?.on ?? null,
    settledHow: settled?.how ?? null,
    paid: settled?.paid ?? null,
  });
}

/** Removes a sign that was entered by mistake; it can be put back. */
export function removeSign(session: Session, id: number, version: number, on: PlainDate): Saved {
  return changed(session, id, version, { removedOn: on });
}

/** Puts a removed sign back as it was. */
export function putBackSign(session: Session, id: number, version: number): Saved {
  return changed(session, id, version, { removedOn: null }, 'removed');
}

/** The sums that are kept back for the vet now: those of open signs of animals that were not removed. */
export function listSetAside(session: Session): SetAside[] {
  return session
    .select({ sign: animalSigns, animal: animals.name })
    .from(animalSigns)
    .innerJoin(animals, eq(animals.id, animalSigns.animalId))
    .where(
      and(
        isNull(animalSigns.removedOn),
        isNull(animals.removedOn),
        isNull(animalSigns.settledOn),
        isNotNull(animalSigns.setAside),
      ),
    )
    .orderBy(asc(animalSigns.setAsideMonth), asc(animalSigns.id))
    .all()
    .map(({ sign, animal }) => ({
      signId: String(sign.id),
      animalId: String(sign.animalId),
      animal,
      month: sign.setAsideMonth!,
      amount: sign.setAside!,
    }));
}

/** What was paid to vets for signs that ended, by day; for animals that were removed since, too. */
export function listVetPayments(session: Session): VetPayment[] {
  return session
    .select({ sign: animalSigns, animal: animals.name })
    .from(animalSigns)
    .innerJoin(animals, eq(animals.id, animalSigns.animalId))
    .where(and(isNull(animalSigns.removedOn), isNotNull(animalSigns.paid)))
    .orderBy(asc(animalSigns.settledOn), asc(animalSigns.id))
    .all()
    .map(({ sign, animal }) => ({ animal, paid: sign.paid!, paidOn: sign.settledOn! }));
}

/** Every amount that a sign carries, of removed ones too. */
export function signAmounts(session: Session): number[] {
  return session
    .select({ setAside: animalSigns.setAside, paid: animalSigns.paid })
    .from(animalSigns)
    .all()
    .flatMap(({ setAside, paid }) => [setAside ?? 0, paid ?? 0]);
}

function changed(
  session: Session,
  id: number,
  version: number,
  values: Partial<typeof animalSigns.$inferInsert>,
  was: Which = 'kept',
): Saved {
  const before = findSign(session, id);
  const { changes } = session
    .update(animalSigns)
    .set({ ...values, version: version + 1 })
    .where(and(eq(animalSigns.id, id), eq(animalSigns.version, version), standing(animalSigns, was)))
    .run();
  if (changes === 0) return 'conflict';
  touchIfMoneyMoved(session, before, findSign(session, id));
  return 'saved';
}

// A weighing or a note says nothing that a plan hangs on.
function touchIfMoneyMoved(session: Session, before: SignRecord | null, after: SignRecord | null): void {
  if (moneyOf(before) !== moneyOf(after)) touchLedger(session);
}

function moneyOf(sign: SignRecord | null): string {
  if (sign === null || sign.removedOn !== null) return '';
  const { setAside, settled } = sign;
  if (settled !== null) return settled.paid === null ? '' : `paid ${settled.paid} ${settled.on}`;
  return setAside === null ? '' : `set aside ${setAside.amount} ${setAside.month}`;
}

function signOf(row: typeof animalSigns.$inferSelect): SignRecord {
  const { id, animalId, isWorrying, setAside, setAsideMonth, settledOn, settledHow, paid, ...rest } = row;
  return {
    ...rest,
    id: String(id),
    animalId: String(animalId),
    worrying: isWorrying,
    setAside: setAside === null ? null : { amount: setAside, month: setAsideMonth! },
    settled: settledOn === null ? null : { on: settledOn, how: settledHow!, paid },
  };
}

function signRow({ animalId, worrying, setAside, ...rest }: SignFacts) {
  return {
    ...rest,
    animalId: Number(animalId),
    isWorrying: worrying,
    setAside: setAside?.amount ?? null,
    setAsideMonth: setAside?.month ?? null,
  };
}

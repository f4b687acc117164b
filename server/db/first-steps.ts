// What was taken for granted when something was entered the short way, as rows beside the things they are about, and that the way to the
// first plan was put away. The only file that knows how they are stored. No plan depends on any of it.

import { and, asc, eq, inArray, isNull, or } from 'drizzle-orm';
import type { PlainDate } from '../../src/calendar.ts';
import { type AssumptionKind, LEFT_OPEN } from '../../src/first-facts.ts';
import type { Session } from './open.ts';
import { animals, assumptions, enclosures, firstSteps, fittings } from './schema.ts';

/** Which row an assumption is about. */
export type AssumedOf = { of: 'enclosure' | 'animal' | 'fitting'; rowId: string };

/**
 * An assumption that stands: nobody has changed its row, or called it right, since. `name` is that of the row. `leftOpen` tells that it is
 * not known at all and was left so.
 */
export type Assumption = AssumedOf & {
  id: string;
  what: AssumptionKind;
  name: string;
  enclosureId: string | null;
  leftOpen: boolean;
};

/** Notes that something was taken for granted of a row that was added just now. */
export function noteAssumption(session: Session, { of, rowId }: AssumedOf, what: AssumptionKind): void {
  const row = Number(rowId);
  session
    .insert(assumptions)
    .values({
      enclosureId: of === 'enclosure' ? row : null,
      animalId: of === 'animal' ? row : null,
      fittingId: of === 'fitting' ? row : null,
      what,
      rowVersion: 1,
    })
    .run();
}

/** The assumptions that stand, in the order in which they were made. Those of removed rows, and of retired things, are left out. */
export function listAssumptions(session: Session): Assumption[] {
  return session
    .select({ note: assumptions, enclosure: enclosures, animal: animals, fitting: fittings })
    .from(assumptions)
    .leftJoin(enclosures, eq(enclosures.id, assumptions.enclosureId))
    .leftJoin(animals, eq(animals.id, assumptions.animalId))
    .leftJoin(fittings, eq(fittings.id, assumptions.fittingId))
    .where(or(isNull(assumptions.settledOn), inArray(assumptions.what, [...LEFT_OPEN])))
    .orderBy(asc(assumptions.id))
    .all()
    .flatMap(({ note, enclosure, animal, fitting }): Assumption[] => {
      const row = enclosure ?? animal ?? fitting;
      if (row === null || row.removedOn !== null || row.version !== note.rowVersion) return [];
      if (fitting !== null && fitting.retiredOn !== null) return [];
      const within = enclosure?.id ?? animal?.enclosureId ?? fitting?.enclosureId ?? null;
      return [
        {
          id: String(note.id),
          of: enclosure !== null ? 'enclosure' : animal !== null ? 'animal' : 'fitting',
          rowId: String(row.id),
          what: note.what,
          name: row.name,
          leftOpen: note.settledOn !== null,
          enclosureId: within === null ? null : String(within),
        },
      ];
    });
}

/**
 * Takes an assumption for right from a day on, or leaves open what nobody knows, which goes on being listed; one that is settled, or never
 * was, changes nothing.
 */
export function settleAssumption(session: Session, id: number, on: PlainDate): void {
  session
    .update(assumptions)
    .set({ settledOn: on })
    .where(and(eq(assumptions.id, id), isNull(assumptions.settledOn)))
    .run();
}

/** Whether the way to the first plan was put away. */
export function firstStepsPutAway(session: Session): boolean {
  const row = session.select().from(firstSteps).where(eq(firstSteps.id, 1)).get();
  return row !== undefined && row.putAwayOn !== null;
}

/** Puts the way to the first plan away on a day, or takes it out again with null. */
export function putFirstStepsAway(session: Session, on: PlainDate | null): void {
  session
    .insert(firstSteps)
    .values({ id: 1, putAwayOn: on })
    .onConflictDoUpdate({ target: firstSteps.id, set: { putAwayOn: on } })
    .run();
}

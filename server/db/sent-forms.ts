// Which forms had their effect already, that only a digest of what was sent is kept, and how a form made from another ledger is told from one
// made from this. Kept beside the ledger and no part of it: what was sent to this file says nothing of another.

import { createHash, randomUUID } from 'node:crypto';
import { sql } from 'drizzle-orm';
import type { Session } from './open.ts';

// A form sent again comes within minutes, or after the program was started again; what is older is never asked for.
const MOST_REMEMBERED = 2000;

/** Where a form led that had its effect, by all that was sent; null when none such is remembered. */
export function ledToBy(session: Session, sent: string): string | null {
  const row = session.get<{ led_to: string } | undefined>(
    sql`SELECT led_to FROM sent_forms WHERE digest = ${digestOf(sent)}`,
  );
  return row?.led_to ?? null;
}

/** Keeps where a form led. To be called in the transaction of its effect; throws when the same form had one already. */
export function keepSentForm(session: Session, sent: string, ledTo: string): void {
  session.run(sql`INSERT INTO sent_forms (digest, led_to) VALUES (${digestOf(sent)}, ${ledTo})`);
  session.run(sql`DELETE FROM sent_forms WHERE id <= (SELECT max(id) FROM sent_forms) - ${MOST_REMEMBERED}`);
}

/** What every form about to be shown carries, so that it is told from those of a ledger that was here before; '' as long as the ledger was never replaced. */
export function formMark(session: Session): string {
  return session.get<{ mark: string } | undefined>(sql`SELECT mark FROM form_mark`)?.mark ?? '';
}

/**
 * Makes every form that was shown before one of another ledger, and forgets those that had their effect: after the whole ledger was replaced
 * they led to rows that are no more, and their versions and row numbers mean other rows. To be called in the transaction that replaces it.
 */
export function leaveFormsBehind(session: Session): void {
  const tables = session.all<{ name: string }>(sql`SELECT name FROM sqlite_schema WHERE type = 'table'`);
  const has = (table: string) => tables.some(({ name }) => name === table);
  // A database of an earlier step, in which a file that comes in is tried out, has neither.
  if (has('sent_forms')) session.run(sql`DELETE FROM sent_forms`);
  if (has('form_mark')) session.run(sql`UPDATE form_mark SET mark = ${randomUUID()}`);
}

function digestOf(sent: string): string {
  return createHash('sha256').update(sent).digest('hex');
}

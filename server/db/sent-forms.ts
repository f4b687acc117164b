// Which forms had their effect already, and that only a digest of what was sent is kept. Kept beside the ledger and no part of it: what
// was sent to this file says nothing of another.

import { createHash } from 'node:crypto';
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

/** Forgets every form: after the whole ledger was replaced, they led to rows of another one. */
export function forgetSentForms(session: Session): void {
  session.run(sql`DELETE FROM sent_forms`);
}

function digestOf(sent: string): string {
  return createHash('sha256').update(sent).digest('hex');
}

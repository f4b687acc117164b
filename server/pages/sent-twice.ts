// A form that reaches the ledger twice (a double tap, a reload, once more after the program was started again) has its effect once. Only
// this file knows how the second sending is told from a second thing of the same kind.

import type { FastifyRequest } from 'fastify';
import type { Saved } from '../db/collection.ts';
import { type Db, inTransaction, type Session, type Tx } from '../db/open.ts';
import { keepSentForm, ledToBy } from '../db/sent-forms.ts';
import { withNotice } from '../paths.ts';

/** The hidden field that every form for something new carries. Forms of a row that is there carry its version instead. */
export const ONCE_FIELD = 'once';

/** The text for the hidden field of a form about to be shown. */
export function newMark(): string {
  return crypto.randomUUID();
}

/** Where the first sending of this very form led, with a notice that says so; null when this is the first. */
export function ledBefore(session: Session, request: FastifyRequest): string | null {
  const sent = sentBy(request);
  const ledTo = sent === null ? null : ledToBy(session, sent);
  return ledTo === null ? null : withNotice(ledTo, 'sent-twice');
}

/** Remembers where a form leads. To be called in the transaction of its effect, so that both are kept or neither. */
export function rememberSent(tx: Session, request: FastifyRequest, shownAt: string): void {
  const sent = sentBy(request);
  if (sent !== null) keepSentForm(tx, sent, shownAt);
}

/** Changes a row in one transaction that also remembers where the form leads, unless the row was changed elsewhere meanwhile. */
export function saveOnce(db: Db, request: FastifyRequest, shownAt: () => string, save: (tx: Tx) => Saved): Saved {
  return inTransaction(db, (tx) => {
    const outcome = save(tx);
    if (outcome === 'saved') rememberSent(tx, request, shownAt());
    return outcome;
  });
}

// The whole of what was sent, and where to: going back and changing a form makes another thing of it, which must not be lost. The version
// of a row only ever rises, so that a form with the same one was made from the same state of the row.
function sentBy({ url, body }: FastifyRequest): string | null {
  const fields = (body ?? {}) as Record<string, unknown>;
  const tells = [fields[ONCE_FIELD], fields.version].some((one) => typeof one === 'string' && one !== '');
  return tells ? JSON.stringify([url, fields]) : null;
}

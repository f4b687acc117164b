// A form that reaches the ledger twice (a double tap, a reload, once more after the program was started again) has its effect once, and one
// that was made from a ledger that is no more has none. Only this file knows how the second sending is told from a second thing of the same
// kind, and by which field a form of another ledger is known.

import type { FastifyRequest } from 'fastify';
import type { Saved } from '../db/collection.ts';
import { type Db, inTransaction, type Session, type Tx } from '../db/open.ts';
import { formMark, keepSentForm, ledToBy } from '../db/sent-forms.ts';
import { paths, withNotice } from '../paths.ts';

/** The hidden field that every form for something new carries. Forms of a row that is there carry its version instead. */
export const ONCE_FIELD = 'once';

/** The text for the hidden field of a form about to be shown. */
export function newMark(): string {
  return crypto.randomUUID();
}

/** The hidden field by which every form tells the ledger it was made from, once a ledger was replaced. */
export const ORIGIN_FIELD = 'made-from';

/** The name and value of the hidden field that every form of a page carries; null while no ledger was ever replaced in this file. */
export function formOrigin(session: Session): { name: string; value: string } | null {
  const value = formMark(session);
  return value === '' ? null : { name: ORIGIN_FIELD, value };
}

/** Takes the field of formOrigin out of what was sent, so that no page meets it, and returns what it held; '' without one. */
export function takeOrigin(request: FastifyRequest): string {
  const { [ORIGIN_FIELD]: origin, ...fields } = (request.body ?? {}) as Record<string, unknown>;
  if (typeof origin !== 'string') return '';
  request.body = fields;
  return origin;
}

/** Whether a form that carries this origin was made from a ledger that was replaced since, and means what was in that one. */
export function isOfAnotherLedger(session: Session, { url, body }: FastifyRequest, origin: string): boolean {
  const path = url.split('?', 1)[0]!;
  // Signing in is about no ledger, and the page that brings one in tells by itself that another is here than the one it was compared with.
  if (path === paths.access.signIn || path === paths.export.import) return false;
  // The press of a button that names nothing, such as to plan, means whatever ledger is here.
  if (Object.keys(body ?? {}).length === 0 && !/\d/.test(path)) return false;
  return origin !== formMark(session);
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

// What must happen around another ledger's taking the place of this one, so that nothing of the old one gets into it, and the page that says
// afterwards where the copy of the old one lies.

import type { FastifyInstance, FastifyRequest } from 'fastify';
import { dateOfInstant } from '../../src/calendar.ts';
import { readLedger } from '../db/ledger.ts';
import { takeOverLedger } from '../ledger-file.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { rememberSent } from './sent-twice.ts';

/** What the other ledger came from; the copy of the old one is called by it. */
type Replacement = { before: 'import' | 'restore'; doneAt: string };

/**
 * Puts a checked ledger in place of what is there, as takeOverLedger does, and has everything that is kept of the old one made anew. Gives the
 * address of the page that says so, null where there is no place for a copy of the old one.
 */
export function replaceLedger(
  { db, now, care, planning, asking }: Deps,
  request: FastifyRequest,
  ledger: Parameters<typeof takeOverLedger>[1],
  { before, doneAt }: Replacement,
): string | null {
  // What is worked out would be kept in a ledger that it is not about. It is over at once, though its threads end later: nothing is waited
  // for from here on, so that nothing else can begin before the ledger is replaced.
  void Promise.all([planning.close(), asking.close()]);
  const shownAt = (copy: string | null) =>
    copy === null ? doneAt : `${doneAt}?copy=${encodeURIComponent(copy.replace(/^.*[/\\]/, ''))}`;
  const taken = takeOverLedger(db, ledger, dateOfInstant(now(), readLedger(db).timeZone), {
    before,
    also: (copy) => rememberSent(db, request, shownAt(copy)),
  });
  if (taken.status === 'no-place-for-a-copy') return null;
  care.forget();
  care.noticeUpdate(now());
  planning.study({ moreTime: false });
  return shownAt(taken.copy);
}

/** Registers the page to which replaceLedger leads. */
export function replacedPage(
  app: FastifyInstance,
  { db, render }: Deps,
  { before, doneAt }: Replacement,
  words: { heading: string; lead: string; copy: (file: string) => string; back: { href: string; label: string } },
): void {
  app.get(doneAt, (request, reply) => {
    const { copy } = request.query as Record<string, unknown>;
    // Only a name of the form that copies have is shown, and always with the folder that they are in.
    const isCopy = typeof copy === 'string' && new RegExp(`^[\\w.-]+\\.before-${before}-[\\d-]+\\.sqlite$`).test(copy);
    const folder = db.$client.name.replace(/[^/\\]*$/, '');
    const { heading, lead, back } = words;
    const model = { heading, lead, notes: isCopy ? [words.copy(`${folder}${copy}`)] : [], homeHref: paths.home };
    return render(reply, 'ledger-imported', model, { title: heading, current: 'export', back });
  });
}

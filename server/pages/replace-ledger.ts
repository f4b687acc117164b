// What must happen around another ledger's taking the place of this one, so that nothing of the old one gets into it.

import { dateOfInstant } from '../../src/calendar.ts';
import { readLedger } from '../db/ledger.ts';
import { takeOverLedger } from '../ledger-file.ts';
import type { Deps } from '../page.ts';

/** Puts a checked ledger in place of what is there, as takeOverLedger does, and has everything that is kept of the old one made anew. */
export function replaceLedger(
  { db, now, care, planning, asking }: Deps,
  ledger: Parameters<typeof takeOverLedger>[1],
  options: Parameters<typeof takeOverLedger>[3],
): ReturnType<typeof takeOverLedger> {
  // What is worked out would be kept in a ledger that it is not about. It is over at once, though its threads end later: nothing is waited
  // for from here on, so that nothing else can begin before the ledger is replaced.
  void Promise.all([planning.close(), asking.close()]);
  const taken = takeOverLedger(db, ledger, dateOfInstant(now(), readLedger(db).timeZone), options);
  if (taken.status === 'no-place-for-a-copy') return taken;
  care.forget();
  care.noticeUpdate(now());
  planning.study({ moreTime: false });
  return taken;
}

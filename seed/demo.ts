// The demonstration ledger. It holds nothing yet: a start with --demo shows an empty ledger in a file of its own.

import type { Db } from '../server/db/open.ts';

/** Fills a new, empty ledger with the demonstration, as of the given moment. */
export async function prepareDemo(_db: Db, _now: () => Date): Promise<void> {}

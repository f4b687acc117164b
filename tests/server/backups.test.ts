// A large ledger is copied and checked in a thread of its own: pages are answered and changes kept meanwhile, and the copy is of one moment.

import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'drizzle-orm';
import { expect, onTestFinished, test } from 'vitest';
import { openBackups } from '../../server/backups.ts';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { testMoment } from '../support/app.ts';
import { keepSmallLedger } from '../support/ledger.ts';

test('A large ledger is copied beside the thread that answers, of one moment while rows are written, once for two who ask', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'backups-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const faults: unknown[] = [];
  const backups = openBackups({
    ...{ db, now: () => testMoment, isDaily: false, asideFrom: 0 },
    logFault: (fault) => void faults.push(fault),
  });
  let isMade = false;
  const asked = [backups.make(), backups.make()] as const;
  void asked[0].then(() => (isMade = true));
  // Events come in pairs of one transaction, so that a copy of one moment holds an even number.
  let turns = 0;
  while (!isMade) {
    db.transaction((tx) => {
      for (const half of ['left', 'right'])
        tx.run(
          sql`INSERT INTO events (happened_on, what, note) VALUES ('2026-01-15', 'renewed', ${`${half} ${turns}`})`,
        );
    });
    turns += 1;
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  const [one, other] = await Promise.all(asked);
  expect(one).toMatchObject({ status: 'made', removed: 0 });
  expect(other).toBe(one);
  expect(turns).toBeGreaterThan(5);
  const [made] = backups.list();
  expect(statSync(made!.file).mode & 0o777).toBe(0o600);
  const copy = openDatabase(made!.file);
  const events = copy.get<{ count: number }>(sql`SELECT count(*) AS count FROM events WHERE what = 'renewed'`)!.count;
  expect([events % 2, events < 2 * turns]).toEqual([0, true]);
  closeDatabase(copy);
  for (const rest of ['', '.lock']) rmSync(made!.file + rest, { force: true });

  // What is given up leaves no half of a file, and is no fault of the program.
  const given = backups.make();
  await backups.close();
  expect((await given).status).not.toBe('made');
  expect(readdirSync(join(folder, 'backups'))).toEqual([]);
  expect(faults).toEqual([]);
  closeDatabase(db);
});

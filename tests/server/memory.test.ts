// Whether the program goes on to hold what it no longer needs. How much it holds under many people at once is told by `npm run load`.

import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, onTestFinished, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { buildApp } from '../../server/app.ts';
import { loadCollection } from '../../server/db/collection.ts';
import { touchLedger } from '../../server/db/ledger.ts';
import { closeDatabase, openMemory } from '../../server/db/open.ts';

// Node gives no way to collect what is held by nobody, but the engine below it does.
setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

test('Of what was read of the ledger, and all that pages worked out from it, only what stands now is held', async () => {
  const now = () => new Date('2026-11-27T12:00:00Z');
  const db = openMemory();
  fillDemo(db, now);
  const app = await buildApp({ db, now });
  onTestFinished(async () => {
    await app.close();
    closeDatabase(db);
  });
  const read: WeakRef<object>[] = [];
  for (let changes = 0; changes < 4; changes += 1) {
    touchLedger(db);
    for (const url of ['/', '/enclosures/1', '/animals/1', '/upgrades', '/measuring', '/money', '/roadmap'])
      expect((await app.inject(url)).statusCode, url).toBe(200);
    read.push(new WeakRef(loadCollection(db)));
  }
  // What was asked for is held to the end of the turn.
  await new Promise((resolve) => setImmediate(resolve));
  collect();
  expect(read.map((one) => one.deref() !== undefined)).toEqual([false, false, false, true]);
}, 60_000);

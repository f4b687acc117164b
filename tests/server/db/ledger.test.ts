import { expect, test } from 'vitest';
import { beginInTimeZone, changeLedger, ledgerIdentity, readLedger } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';
import { holdsAnything } from '../../../server/db/whole-ledger.ts';

test('Every ledger has an identity of its own and keeps it', () => {
  const [one, other] = [openMemory(), openMemory()];
  expect(ledgerIdentity(one)).toMatch(/^[0-9a-f]{32}$/);
  expect(ledgerIdentity(one)).toBe(ledgerIdentity(one));
  expect(ledgerIdentity(other)).not.toBe(ledgerIdentity(one));
});

test('A new ledger begins in the time zone of its computer, and what was said of it is never changed by a start', () => {
  const db = openMemory();
  beginInTimeZone(db, 'No/Such_Zone');
  expect(readLedger(db)).toMatchObject({ timeZone: 'UTC', version: 1 });
  beginInTimeZone(db, 'Pacific/Auckland');
  expect(readLedger(db)).toMatchObject({ timeZone: 'Pacific/Auckland', version: 1 });
  // Nothing to back up, and nothing that a restore would replace.
  expect(holdsAnything(db)).toBe(false);
  expect(changeLedger(db, 1, { timeZone: 'Europe/Vienna' })).toBe('saved');
  expect(holdsAnything(db)).toBe(true);
  beginInTimeZone(db, 'Pacific/Auckland');
  expect(readLedger(db).timeZone).toBe('Europe/Vienna');
});

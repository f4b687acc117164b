import { expect, test } from 'vitest';
import { ledgerIdentity } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';

test('Every ledger has an identity of its own and keeps it', () => {
  const [one, other] = [openMemory(), openMemory()];
  expect(ledgerIdentity(one)).toMatch(/^[0-9a-f]{32}$/);
  expect(ledgerIdentity(one)).toBe(ledgerIdentity(one));
  expect(ledgerIdentity(other)).not.toBe(ledgerIdentity(one));
});

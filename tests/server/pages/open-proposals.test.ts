// Which proposals stand open: the same rule for the list of proposals, the sheet of the month and a lamp that is tried.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { openMemory } from '../../../server/db/open.ts';
import { addUpgrade } from '../../../server/db/upgrades.ts';
import { openProposals } from '../../../server/pages/open-proposals.ts';
import { gatherScoring } from '../../../server/scores.ts';
import { keepGecko } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

test('a proposal is open until it is answered, and again thirty days after it was fitted where it is still called for', () => {
  const db = openMemory();
  keepGecko(db);
  const keysOn = (day: string) =>
    openProposals(db, readCatalogue(), gatherScoring(db, library, new Date(`${day}T12:00:00Z`))).proposals.map(
      ({ key }) => key,
    );
  const { proposals } = openProposals(
    db,
    readCatalogue(),
    gatherScoring(db, library, new Date('2026-01-15T12:00:00Z')),
  );
  const { key, upgrade } = proposals.find((one) => one.isFree)!;
  expect(keysOn('2026-01-15')).toContain(key);
  addUpgrade(db, { ...upgrade, name: 'Taken up', status: 'wanted', origin: 'proposed', note: '' });
  expect(keysOn('2026-01-15')).not.toContain(key);
  // Written as fitted without a change of the set-up, so that the shortfall stays.
  db.$client.exec(
    "UPDATE upgrades SET status = 'fitted', bought_on = '2026-01-15', paid = 0, fitted_on = '2026-01-15'",
  );
  expect(keysOn('2026-02-13')).not.toContain(key);
  expect(keysOn('2026-02-14')).toContain(key);
});

// Which proposals stand open: the same rule for the list of proposals, the sheet of the month and a lamp that is tried.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { openCare } from '../../../server/care.ts';
import { touchLedger } from '../../../server/db/ledger.ts';
import { openMemory } from '../../../server/db/open.ts';
import { listRooms } from '../../../server/db/rooms.ts';
import { addUpgrade } from '../../../server/db/upgrades.ts';
import { openProposals } from '../../../server/pages/open-proposals.ts';
import { gatherScoring } from '../../../server/scores.ts';
import { plainDate } from '../../../src/calendar.ts';
import { surveyUpgrades } from '../../../src/proposals.ts';
import { fillRescue } from '../../bench/ledgers.ts';
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

test('What is proposed after a change is what a survey from nothing finds, whatever was changed and in whichever enclosure', async () => {
  const db = openMemory();
  await fillRescue(db, plainDate('2026-01-15'), { animals: 5, monthsRead: 2, planMilliseconds: null });
  db.$client.exec('DELETE FROM upgrades');
  const parts = readCatalogue();
  const care = openCare(db, library);
  const changes = [
    'UPDATE readings SET value = value * 1.2 WHERE enclosure_id = 2',
    "UPDATE answers SET answer = 'no' WHERE check_name = 'smoke-alarm' AND enclosure_id = 1",
    "UPDATE answers SET answer = 'no' WHERE check_name = 'smoke-alarm' AND enclosure_id = 4",
    'UPDATE animals SET enclosure_id = 3 WHERE id = 1',
    'UPDATE enclosures SET length_mm = 400 WHERE id = 5',
    'UPDATE ledger SET price_per_kwh = 0.9',
    "UPDATE fittings SET retired_on = '2026-01-10' WHERE enclosure_id = 4",
    "UPDATE answers SET answer = 'yes' WHERE check_name = 'smoke-alarm'",
  ];
  const outcomes = new Set<string>();
  for (const change of ['SELECT 1', ...changes]) {
    db.$client.exec(change);
    touchLedger(db);
    const gathered = gatherScoring(db, care.library(), new Date('2026-01-15T12:00:00Z'));
    const { ledger, scoring } = gathered;
    const { collection, library, choices, on } = structuredClone(scoring);
    const powerPrice = ledger.coversPower ? ledger.pricePerKwh : 'not-ours';
    const afresh = {
      collection,
      library,
      choices,
      on,
      rooms: listRooms(db),
      parts,
      currency: ledger.currency,
      powerPrice,
    };
    const kept = openProposals(db, parts, gathered);
    expect(kept, change).toEqual(surveyUpgrades({ ...afresh, powerPrice: powerPrice as number }));
    outcomes.add(JSON.stringify(kept));
  }
  expect(outcomes.size).toBeGreaterThan(5);
});

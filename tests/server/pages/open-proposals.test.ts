// Which proposals stand open: the same rule for the list of proposals, the sheet of the month and a lamp that is tried.

import Database from 'better-sqlite3';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { openCare } from '../../../server/care.ts';
import { loadCollection } from '../../../server/db/collection.ts';
import { touchLedger } from '../../../server/db/ledger.ts';
import { type Db, openMemory } from '../../../server/db/open.ts';
import { listRooms } from '../../../server/db/rooms.ts';
import { addUpgrade, listUpgrades } from '../../../server/db/upgrades.ts';
import { severeShortfallsOf } from '../../../server/pages/before-anything-else.ts';
import { openProposals } from '../../../server/pages/open-proposals.ts';
import { gatherScoring, scoreCollection } from '../../../server/scores.ts';
import { plainDate } from '../../../src/calendar.ts';
import { surveyUpgrades } from '../../../src/proposals.ts';
import { scoreAnimal } from '../../../src/score.ts';
import { severeShortfalls } from '../../../src/severe-shortfalls.ts';
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

test('After any change, what is kept of rows, scores, proposals and severe shortfalls is what is found from nothing', async () => {
  const db = openMemory();
  await fillRescue(db, plainDate('2026-01-15'), { animals: 5, monthsRead: 2, planMilliseconds: null });
  db.$client.exec('DELETE FROM upgrades');
  const parts = readCatalogue();
  const care = openCare(db, library);
  const gatheredNow = () => gatherScoring(db, care.library(), new Date('2026-01-15T12:00:00Z'));
  const severeNow = () => severeShortfallsOf(db, parts, gatheredNow());
  const answer = (status: 'wanted' | 'refused') => {
    const { upgrade } = severeNow().find((one) => one.proposed.length > 0)!.proposed[0]!;
    addUpgrade(db, { ...upgrade, name: status, status, origin: 'proposed', note: '' });
  };
  const changes = [
    'UPDATE readings SET value = value * 1.2 WHERE enclosure_id = 2',
    "UPDATE answers SET answer = 'no' WHERE check_name = 'smoke-alarm' AND enclosure_id = 1",
    "UPDATE answers SET answer = 'no' WHERE check_name = 'smoke-alarm' AND enclosure_id = 4",
    'UPDATE fittings SET regulates_id = NULL WHERE enclosure_id IN (2, 3)',
    () => answer('wanted'),
    () => answer('refused'),
    "UPDATE upgrades SET status = 'wanted'",
    "UPDATE upgrades SET removed_on = '2026-01-15' WHERE id = (SELECT min(id) FROM upgrades)",
    'UPDATE animals SET enclosure_id = 3 WHERE id = 1',
    'UPDATE enclosures SET length_mm = 400 WHERE id = 5',
    'UPDATE ledger SET price_per_kwh = 0.9',
    "UPDATE fittings SET retired_on = '2026-01-10' WHERE enclosure_id = 4",
    "UPDATE enclosures SET removed_on = '2026-01-15' WHERE id = 3",
    'UPDATE enclosures SET removed_on = NULL',
    'DELETE FROM readings WHERE enclosure_id = 1 AND id % 2 = 0',
    "UPDATE ledger SET allowances = json_set(allowances, '$.heat', 50)",
    "INSERT INTO rooms VALUES (1, 'Loft', 18, 1, '', 38, 1, '', '', NULL, 1)",
    "UPDATE enclosures SET build = json_set(build, '$.roomId', '1') WHERE id = 2",
    'UPDATE rooms SET hottest_celsius = 22',
    "UPDATE answers SET answer = 'yes' WHERE check_name = 'smoke-alarm'",
  ];
  const seen = { proposals: new Set<string>(), severe: new Set<string>(), scores: new Set<string>() };
  for (const change of ['SELECT 1', ...changes]) {
    if (typeof change === 'string') db.$client.exec(change);
    else change();
    touchLedger(db);
    const gathered = gatheredNow();
    const { ledger, scoring } = gathered;
    const kept = {
      collection: loadCollection(db),
      upgrades: listUpgrades(db),
      scored: scoreCollection(scoring).scored,
      proposals: openProposals(db, parts, gathered),
      severe: severeNow(),
    };
    // Of a copy nothing was read before, and what is not frozen is scored anew.
    const copy = drizzle(new Database(db.$client.serialize())) as Db;
    const rows = structuredClone({ collection: loadCollection(copy), upgrades: listUpgrades(copy) });
    const { collection, library, choices, on, knownOn } = { ...structuredClone(scoring), collection: rows.collection };
    const scored = scoreCollection({ collection, library, choices, on, knownOn }).scored;
    for (const { animal, score } of scored)
      expect(scoreAnimal(animal, { collection, library, choices, on, knownOn }), String(change)).toEqual(score);
    const powerPrice = ledger.coversPower ? ledger.pricePerKwh : 'not-ours';
    const afresh = { collection, library, choices, on, rooms: listRooms(db), parts, currency: ledger.currency };
    const survey = surveyUpgrades({ ...afresh, powerPrice: powerPrice as number });
    const answered = new Set(rows.upgrades.map((one) => one.proposalKey));
    const proposals = { ...survey, proposals: survey.proposals.filter(({ key }) => !answered.has(key)) };
    const severe = severeShortfalls(
      scored,
      { collection, library, choices, on, knownOn },
      rows.upgrades,
      proposals.proposals,
    );
    expect(kept, String(change)).toEqual({ ...rows, scored, proposals, severe });
    for (const what of ['proposals', 'severe'] as const) seen[what].add(JSON.stringify(kept[what]));
    seen.scores.add(JSON.stringify(kept.scored));
  }
  expect(Object.values(seen).map((one) => one.size > 7)).toEqual([true, true, true]);
});

test('After a change of one enclosure, rows, scores and shortfalls of all others are the same objects as before', async () => {
  const db = openMemory();
  await fillRescue(db, plainDate('2026-01-15'), { animals: 5, monthsRead: 2, planMilliseconds: null });
  db.$client.exec('DELETE FROM upgrades; UPDATE fittings SET regulates_id = NULL');
  const parts = readCatalogue();
  const state = () => {
    const gathered = gatherScoring(db, library, new Date('2026-01-15T12:00:00Z'));
    const { proposals } = openProposals(db, parts, gathered);
    const severe = severeShortfallsOf(db, parts, gathered);
    const { readings } = gathered.scoring.collection;
    const scores = scoreCollection(gathered.scoring).scored.map(({ animal, score }) => ({ ...animal, it: score }));
    const there = [readings, proposals, severe].map((all) => all.map((one) => ({ ...one, it: one })));
    return [scores, ...there].map((all) => all.map(({ enclosureId, it }) => ({ enclosureId, it: it as object })));
  };
  const before = state();
  db.$client.exec('UPDATE readings SET value = value * 1.2 WHERE enclosure_id = 2');
  touchLedger(db);
  const same = new Set(before.flat().map(({ it }) => it));
  for (const all of state()) {
    const others = all.filter(({ enclosureId }) => enclosureId !== '2');
    expect(others.length).toBeGreaterThan(3);
    expect(others.filter(({ it }) => !same.has(it))).toEqual([]);
  }
});

// A ledger with at least one row in every table, each entered by the program's own queries as its pages would.

import { fillDemo } from '../../seed/demo.ts';
import { keepQuestion, saveCap } from '../../server/db/cap.ts';
import { addCareUpdate, addOverride, addOwnSpecies, saveSnapshot } from '../../server/db/care.ts';
import { noteAssumption, putFirstStepsAway } from '../../server/db/first-steps.ts';
import { addInstrument } from '../../server/db/instruments.ts';
import { ledgerVersion, readLedger } from '../../server/db/ledger.ts';
import { addCorrection, closeMonth } from '../../server/db/months.ts';
import { keepFreed } from '../../server/db/old-things.ts';
import { type Db, openMemory } from '../../server/db/open.ts';
import { factsOfPlan, keepFacts, latestPlan, savePlan } from '../../server/db/plans.ts';
import { keepSentForm } from '../../server/db/sent-forms.ts';
import { saveStudy } from '../../server/db/studies.ts';
import { addUpgrade, buyUpgrade, findUpgrade, returnUpgrade } from '../../server/db/upgrades.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { snapshotOf } from '../../src/care-overrides.ts';
import { DEFAULT_CAP_SETTINGS } from '../../src/collection-cap.ts';
import { money } from '../../src/money.ts';
import { findSpecies } from '../../src/species.ts';
import { keepSmallLedger } from './ledger.ts';
import { fitUpgrade, library, makeEnclosure, makeThing, quietMonth } from './make.ts';

const today = plainDate('2026-01-15');
const january = plainMonth('2026-01');

/** Fills a new ledger: the demonstration, a small plan, and whatever else a table can hold. */
export async function fillEveryTable(db: Db): Promise<void> {
  fillDemo(db, () => new Date('2026-01-15T12:00:00Z'));
  await keepSmallPlan(db);
  const species = findSpecies(library, 'leopard-gecko');
  saveSnapshot(db, snapshotOf({ ...library, species: [species] }));
  addCareUpdate(db, {
    happenedOn: today,
    changes: [],
    moved: [{ animalId: '1', name: 'Brasa', speciesId: species.id, before: 40, after: 41.5 }],
  });
  addOverride(db, {
    speciesId: species.id,
    animalId: '1',
    figure: 'grouping',
    value: { atMost: 2, atMostMales: 1 },
    typed: { atMost: '2', atMostMales: '1' },
    source: { title: 'Our vet', year: 2025, address: '' },
    grade: 'agreed-practice',
    note: 'Two females only.',
    shipped: { atMost: 1, atMostMales: null },
  });
  addOwnSpecies(db, { species: { ...species, id: 'own-gecko' }, sources: library.sources.slice(0, 1) });
  addInstrument(db, {
    name: 'Probe',
    measures: [{ kind: 'warm-air', accuracy: null }],
    standing: 'own',
    borrowedFrom: null,
    borrowedUntil: null,
    notes: '',
  });
  saveCap(db, 1, DEFAULT_CAP_SETTINGS, [
    { animalId: '1', minutesAWeek: 60, food: money(500), substrate: money(100), vet: money(300) },
  ]);
  keepQuestion(db, {
    askedOn: today,
    firstMonth: january,
    ledgerVersion: ledgerVersion(db),
    currency: readLedger(db).currency,
    question: { ask: 'lost-month', month: plainMonth('2026-03') },
    outcome: { status: 'not-known' },
  });
  closeMonth(db, today, quietMonth('2025-12', '2025-12-31', { sumPlanned: money(2000), note: 'A quiet month' }));
  addCorrection(db, {
    month: plainMonth('2025-12'),
    enteredOn: today,
    amount: money(250),
    note: 'A lead, found late',
    upgradeId: null,
  });
  const { id: _, ...hide } = fitUpgrade('0', makeThing('hide', { place: 'moist' }), { name: 'Moss box' });
  const id = addUpgrade(db, hide);
  const number = Number(id);
  const version = () => findUpgrade(db, number)!.version;
  buyUpgrade(db, number, version(), { boughtOn: today, paid: money(900), arrivesMonth: january });
  returnUpgrade(db, number, version(), { returnedOn: today, refund: money(900), why: 'failed' });
  const { lengthMm, depthMm, heightMm, material, top } = makeEnclosure({ id: '1' });
  keepFreed(
    db,
    id,
    [
      {
        key: 'box:1',
        name: 'The old box',
        from: '1',
        what: 'box',
        box: { lengthMm, depthMm, heightMm, material, top },
      },
    ],
    today,
  );
  noteAssumption(db, { of: 'enclosure', rowId: '1' }, 'within-reach');
  putFirstStepsAway(db, today);
  keepSentForm(db, '["/animals/new",{"once":"1"}]', '/animals/1');
}

// Planned in a ledger of its own, so that what is kept of it stays short.
async function keepSmallPlan(db: Db): Promise<void> {
  const small = openMemory();
  keepSmallLedger(small);
  await planNow(small, library, today, 2000);
  const plan = latestPlan(small)!;
  const { id, ...facts } = plan;
  const kept = savePlan(db, facts);
  keepFacts(db, kept, factsOfPlan(small, id)!);
  saveStudy(db, kept, 'robust', { state: 'whole', found: [{ name: 'present', buys: [], proved: true }] });
  small.$client.close();
}

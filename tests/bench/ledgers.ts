// Two large ledgers made by the program's own steps: the demonstration as its keeper would have it after years of readings, purchases,
// plans, signs and closed months; and a rescue of very many animals, each read month by month. Invented, the same at every making.

import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { readCatalogue } from '../../seed/catalogue.ts';
import { fillDemo } from '../../seed/demo.ts';
import { readCareLibrary } from '../../seed/library.ts';
import {
  addAnimal,
  addEnclosure,
  addFitting,
  addReading,
  loadCollection,
  saveAnswers,
} from '../../server/db/collection.ts';
import { fitUpgrade } from '../../server/db/fitting-upgrades.ts';
import { changeLedger, firstLedger, readLedger } from '../../server/db/ledger.ts';
import { renewFitting } from '../../server/db/money.ts';
import { closeMonth } from '../../server/db/months.ts';
import { closeDatabase, type Db, inTransaction, openDatabase } from '../../server/db/open.ts';
import { addSign } from '../../server/db/signs.ts';
import { addUpgrade, buyUpgrade, listUpgrades } from '../../server/db/upgrades.ts';
import { monthRecordOf, planOfMonth } from '../../server/month-record.ts';
import { planNow } from '../../server/planning.ts';
import { proposalName } from '../../server/proposal-words.ts';
import type { PlainDate } from '../../src/calendar.ts';
import { addDays, addMonths, addMonthsToDate, dateOfInstant, firstDay, lastDay, monthOf } from '../../src/calendar.ts';
import { isFitted, type Reading } from '../../src/collection.ts';
import { currencyOf, money } from '../../src/money.ts';
import { proposeUpgrades } from '../../src/proposals.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { chanceOf } from '../support/make.ts';
import { rescueFacts } from './rescue.ts';

const library = readCareLibrary();
const parts = readCatalogue();
const euro = currencyOf('EUR')!;

/** The names of the large ledgers. */
export const LEDGERS = ['demo-5-years', 'rescue-200'] as const;
export type LedgerName = (typeof LEDGERS)[number];

/** The file of a large ledger, made when it is not there yet; the day it stands at is today. */
export async function ledgerFile(name: LedgerName, folder: string): Promise<string> {
  const file = join(folder, `${name}.sqlite`);
  if (existsSync(file)) return file;
  mkdirSync(dirname(file), { recursive: true });
  const unfinished = `${file}.unfinished`;
  for (const rest of ['', '-wal', '-shm']) rmSync(unfinished + rest, { force: true });
  const db = openDatabase(unfinished);
  const today = dateOfInstant(new Date(), 'UTC');
  if (name === 'demo-5-years') await fillAgedDemo(db, today, { months: 60, planEvery: 3 });
  else await fillRescue(db, today, { animals: 200, monthsRead: 12, planMilliseconds: 20_000 });
  closeDatabase(db);
  renameSync(unfinished, file);
  rmSync(`${unfinished}.lock`, { force: true });
  return file;
}

/**
 * Fills an empty ledger with the demonstration as it is after so many months: each enclosure read once a month, animals weighed, what wears
 * out renewed, a purchase every second month, a plan every so many months and after the last, and every month closed.
 */
export async function fillAgedDemo(
  db: Db,
  today: PlainDate,
  { months, planEvery }: { months: number; planEvery: number },
): Promise<void> {
  const chance = chanceOf(20_261_127);
  const begin = addMonthsToDate(today, -months);
  fillDemo(db, () => new Date(`${begin}T12:00:00Z`));
  for (let passed = 0; passed < months; passed += 1) {
    const month = addMonths(monthOf(begin), passed);
    const on = (day: number) => addDays(firstDay(month), day - 1);
    if (passed % planEvery === 0) await planNow(db, library, passed === 0 ? begin : on(3), 300);
    inTransaction(db, (tx) => {
      renewWhatIsDue(on(5));
      if (passed % 2 === 1) buyAndFit(passed === 1 ? addDays(begin, 31) : on(7));
      readEverything(on(12));
      for (const animal of loadCollection(tx).animals) {
        const grams = Math.round(60 + 400 * chance.number(0, 1));
        addSign(tx, {
          animalId: animal.id,
          kind: 'weight',
          notedOn: on(14),
          grams,
          gramsTyped: `${grams} g`,
          alarm: null,
          worrying: false,
          setAside: null,
          notes: 'On the kitchen scale, before feeding.',
        });
      }
      if (passed % 12 === 11) wantProposals(on(20));
    });
    // What is planned later is in the months that follow; the present one stays open.
    inTransaction(db, (tx) => {
      const closedOn = addDays(lastDay(month), 1);
      const plan = planOfMonth(tx, month);
      const { version } = readLedger(tx);
      const counted = null;
      const closing = {
        cameIn: money(7000),
        counted,
        note: 'Closed in a minute.',
        shops: new Map<string, string>(),
        plan,
      };
      closeMonth(tx, closedOn, monthRecordOf(tx, library, month, closedOn, closing));
      const cash = money(4000 + chance.whole(0, 9000));
      changeLedger(tx, version, { cashCounted: cash, cashCountedOn: closedOn, sumArrived: false });
    });

    function renewWhatIsDue(day: PlainDate): void {
      for (const one of loadCollection(db).fittings) {
        if (one.lifeMonths === null || !isFitted(one, day) || addMonthsToDate(one.fittedOn, one.lifeMonths) > day)
          continue;
        const row = db.$client.prepare('SELECT version FROM fittings WHERE id = ?').get(one.id) as { version: number };
        renewFitting(db, Number(one.id), row.version, day, one.renewalPrice ?? money(1000));
      }
    }
    function buyAndFit(day: PlainDate): void {
      const wanted = listUpgrades(db).filter((one) => one.status === 'wanted' && one.requires.length === 0);
      const one = wanted.sort((a, b) => a.priceHigh - b.priceHigh).find((each) => each.priceHigh <= 9000);
      if (one === undefined) return;
      const id = Number(one.id);
      buyUpgrade(db, id, one.version, { boughtOn: day, paid: one.priceHigh, arrivesMonth: null }, 'By post');
      const fitted = { fittedOn: addDays(day, 2), boughtOn: day, paid: one.priceHigh };
      fitUpgrade(db, id, one.version + 1, { ...fitted, unitSystem: 'metric', saleNote: 'Sold' });
    }
    function readEverything(day: PlainDate): void {
      const { readings, enclosures } = loadCollection(db);
      for (const { id } of enclosures) readAgain(db, lastOfEachKind(readings, id), day, chance);
    }
  }
  await planNow(db, library, today, 2_000);

  function wantProposals(on: PlainDate): void {
    const collection = loadCollection(db);
    const answered = new Set(listUpgrades(db).map((one) => one.proposalKey));
    for (const one of proposeUpgrades({ ...proposing, collection, on })) {
      if (one.priced && !answered.has(one.key))
        addUpgrade(db, {
          ...one.upgrade,
          name: proposalName(one.act, 'metric'),
          status: 'wanted',
          origin: 'proposed',
          note: '',
        });
    }
  }
}

const proposing = {
  library,
  choices: DEFAULT_CHOICES,
  rooms: [],
  parts,
  currency: euro,
  powerPrice: 'not-ours' as const,
};

/** Fills an empty ledger with a rescue of so many animals, each in an enclosure of its own that was read so many months, and plans it if asked. */
export async function fillRescue(
  db: Db,
  today: PlainDate,
  { animals, monthsRead, planMilliseconds }: { animals: number; monthsRead: number; planMilliseconds: number | null },
): Promise<void> {
  const chance = chanceOf(20_261_128);
  const { collection } = rescueFacts(animals, 12);
  inTransaction(db, (tx) => {
    changeLedger(tx, firstLedger.version, {
      monthlySum: money(1500 * animals),
      cashCounted: money(200_000),
      cashCountedOn: today,
      sumArrived: true,
      floorKept: money(50_000),
    });
    const typed = (mm: number) => `${mm / 10} cm`;
    for (const { id: _, ...one } of collection.enclosures)
      addEnclosure(tx, {
        ...one,
        boxSince: addMonthsToDate(today, -monthsRead - 1),
        lengthTyped: typed(one.lengthMm),
        depthTyped: typed(one.depthMm),
        heightTyped: typed(one.heightMm),
        notes: '',
      });
    collection.animals.forEach(({ id: _, ...one }, index) => {
      const name = `Guest ${index + 1}`;
      const measured = { measuredOn: addMonthsToDate(today, -1), hatchedOn: addMonthsToDate(today, -30) };
      addAnimal(tx, { ...one, ...measured, name, lengthTyped: typed(one.lengthMm!), notes: '' });
    });
    for (const { id: _, ...one } of collection.fittings)
      addFitting(tx, {
        ...one,
        fittedOn: addMonthsToDate(today, -monthsRead - 1),
        outletId: null,
        distanceTyped: '',
        upgradeId: null,
      });
    for (const { id } of collection.enclosures) {
      const first = lastOfEachKind(collection.readings, id);
      for (let back = monthsRead - 1; back >= 0; back -= 1)
        readAgain(tx, first, addDays(addMonthsToDate(today, -back), -2), chance);
    }
    saveAnswers(tx, collection.answers);
    for (const one of proposeUpgrades({ ...proposing, collection: loadCollection(tx), on: today })) {
      if (one.priced)
        addUpgrade(tx, {
          ...one.upgrade,
          name: proposalName(one.act, 'metric'),
          status: 'wanted',
          origin: 'proposed',
          note: '',
        });
    }
  });
  if (planMilliseconds === null) return;
  const outcome = await planNow(db, library, today, planMilliseconds);
  // A ledger without its plan would be taken for a large one with it.
  if (outcome.status === 'failed') throw new Error(`the rescue could not be planned: ${outcome.failure}`);
}

function lastOfEachKind(readings: readonly Reading[], enclosureId: string): Reading[] {
  const last = new Map(readings.filter((one) => one.enclosureId === enclosureId).map((one) => [one.kind, one]));
  return [...last.values()].filter((one) => one.value !== null);
}

// The same again on another day, a little off.
function readAgain(
  session: Parameters<typeof addReading>[0],
  before: readonly Reading[],
  on: PlainDate,
  chance: ReturnType<typeof chanceOf>,
): void {
  for (const { id: _, lightRatio: _ratio, onPaper: _paper, ...one } of before) {
    const value = Math.round(10 * one.value! * chance.number(0.97, 1.03)) / 10;
    const unit = one.kind.startsWith('uvi') ? '' : one.kind.startsWith('humidity') ? ' %' : ' °C';
    const held = one.kind.startsWith('humidity') ? Math.min(100, value) : value;
    addReading(session, {
      ...one,
      evidence: 'measured',
      value: held,
      typed: `${held}${unit}`,
      takenOn: on,
      roomTyped: one.roomCelsius === null ? '' : `${one.roomCelsius} °C`,
      notes: '',
    });
  }
}

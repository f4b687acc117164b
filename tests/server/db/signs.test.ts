import { expect, test } from 'vitest';
import { putBackAnimal, removeAnimal } from '../../../server/db/collection.ts';
import { ledgerVersion } from '../../../server/db/ledger.ts';
import { holdsAmounts, readMoneyFacts } from '../../../server/db/money.ts';
import { type Db, openMemory } from '../../../server/db/open.ts';
import {
  addSign,
  changeSign,
  findSign,
  listEverySign,
  listSetAside,
  listSigns,
  listVetPayments,
  putBackSign,
  removeSign,
  type SignFacts,
  settleSign,
} from '../../../server/db/signs.ts';
import { gatherScoring, scoreCollection } from '../../../server/scores.ts';
import { addDays, plainDate, plainMonth } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { ALARMS, ENDINGS, SIGN_KINDS } from '../../../src/signs.ts';
import { keepGecko } from '../../support/ledger.ts';
import { chanceOf, library } from '../../support/make.ts';

const today = plainDate('2026-01-15');

const noted: SignFacts = {
  animalId: '1',
  kind: 'appetite',
  notedOn: today,
  grams: null,
  gramsTyped: '',
  alarm: null,
  worrying: true,
  setAside: null,
  notes: 'left two crickets',
};

const sixty = { amount: money(60_00), month: plainMonth('2026-02') };

function gecko(): Db {
  const db = openMemory();
  keepGecko(db);
  return db;
}

test('A sign is kept as noted, changed, settled, removed and put back, and an older version changes nothing', () => {
  const db = gecko();
  const id = Number(addSign(db, noted));
  expect(findSign(db, id)).toEqual({ ...noted, id: '1', settled: null, removedOn: null, version: 1 });
  const weighing: SignFacts = { ...noted, kind: 'weight', grams: 56.7, gramsTyped: '2 oz', worrying: false };
  expect(changeSign(db, id, 1, weighing)).toBe('saved');
  expect(changeSign(db, id, 1, noted)).toBe('conflict');
  const settled = { on: today, how: 'vet-seen', paid: money(45_00) } as const;
  expect(settleSign(db, id, 2, settled)).toBe('saved');
  expect(findSign(db, id)).toMatchObject({ ...weighing, settled, version: 3 });
  // Changing what was noted leaves how it ended.
  expect(changeSign(db, id, 3, noted)).toBe('saved');
  expect(findSign(db, id)).toMatchObject({ ...noted, settled });
  expect(settleSign(db, id, 4, null)).toBe('saved');
  expect(findSign(db, id)?.settled).toBeNull();
  expect(removeSign(db, id, 5, today)).toBe('saved');
  expect(settleSign(db, id, 6, settled)).toBe('conflict');
  expect([listSigns(db, 1), listEverySign(db)]).toEqual([[], []]);
  expect(listSigns(db, 1, 'removed')).toMatchObject([{ id: '1', removedOn: today }]);
  expect(putBackSign(db, id, 6)).toBe('saved');
  expect(listSigns(db, 1)).toMatchObject([noted]);
});

test('The database refuses a weight without a figure, half a sum and an unknown alarm', () => {
  const db = gecko();
  expect(() => addSign(db, { ...noted, kind: 'weight' })).toThrow(/CHECK/);
  expect(() => addSign(db, { ...noted, grams: 12 })).toThrow(/CHECK/);
  expect(() => addSign(db, { ...noted, alarm: 'sneeze' as never })).toThrow(/CHECK/);
  expect(() => addSign(db, { ...noted, animalId: '9' })).toThrow(/FOREIGN KEY/);
});

test('What is set aside counts while its sign is open; a payment takes its place, and without one it is free again', () => {
  const db = gecko();
  addSign(db, { ...noted, setAside: sixty });
  const sum = { signId: '1', animalId: '1', animal: 'Ember', ...sixty };
  expect(listSetAside(db)).toEqual([sum]);
  expect(readMoneyFacts(db, today)).toMatchObject({ setAside: [sum], vetPaid: [] });
  settleSign(db, 1, 1, { on: today, how: 'passed', paid: null });
  expect(readMoneyFacts(db, today)).toMatchObject({ setAside: [], vetPaid: [] });
  settleSign(db, 1, 2, { on: today, how: 'vet-seen', paid: money(48_50) });
  expect(readMoneyFacts(db, today)).toMatchObject({
    setAside: [],
    vetPaid: [{ animal: 'Ember', paid: 48_50, paidOn: today }],
  });
  settleSign(db, 1, 3, null);
  expect(listSetAside(db)).toEqual([sum]);
  removeSign(db, 1, 4, today);
  expect([listSetAside(db), listVetPayments(db)]).toEqual([[], []]);
});

test('Nothing is kept back for an animal that was removed, until it is put back; what was paid stays paid', () => {
  const db = gecko();
  addSign(db, { ...noted, setAside: sixty });
  addSign(db, noted);
  settleSign(db, 2, 1, { on: today, how: 'vet-seen', paid: money(30_00) });
  removeAnimal(db, 1, 1, today);
  expect([listSetAside(db), listEverySign(db)]).toEqual([[], []]);
  expect(listVetPayments(db)).toHaveLength(1);
  putBackAnimal(db, 1, 2);
  expect(listSetAside(db)).toHaveLength(1);
});

test('A plan is made from older facts once money is set aside, changed, freed or paid, and never for a note or a weight', () => {
  const db = gecko();
  const moves = (change: () => unknown): boolean => {
    const before = ledgerVersion(db);
    change();
    return ledgerVersion(db) !== before;
  };
  expect(moves(() => addSign(db, noted))).toBe(false);
  expect(moves(() => changeSign(db, 1, 1, { ...noted, notes: 'eats again' }))).toBe(false);
  expect(moves(() => settleSign(db, 1, 2, { on: today, how: 'passed', paid: null }))).toBe(false);
  expect(moves(() => addSign(db, { ...noted, setAside: sixty }))).toBe(true);
  expect(moves(() => changeSign(db, 2, 1, { ...noted, notes: 'more', setAside: sixty }))).toBe(false);
  expect(moves(() => changeSign(db, 2, 2, { ...noted, setAside: { ...sixty, amount: money(70_00) } }))).toBe(true);
  expect(moves(() => settleSign(db, 2, 3, { on: today, how: 'passed', paid: null }))).toBe(true);
  expect(moves(() => settleSign(db, 2, 4, { on: today, how: 'vet-seen', paid: money(50_00) }))).toBe(true);
  expect(moves(() => removeSign(db, 2, 5, today))).toBe(true);
  expect(moves(() => putBackSign(db, 2, 6))).toBe(true);
});

test('Amounts of signs, of removed ones too, hold the currency where it is', () => {
  const db = gecko();
  addSign(db, noted);
  expect(holdsAmounts(db)).toBe(false);
  addSign(db, { ...noted, setAside: sixty });
  removeSign(db, 2, 1, today);
  expect(holdsAmounts(db)).toBe(true);
});

test('No sign of any kind, worrying or not, open or settled, ever changes a score', () => {
  const db = gecko();
  const scores = () => scoreCollection(gatherScoring(db, library, new Date('2026-01-15T12:00:00Z')).scoring);
  const before = scores();
  expect(before.scored).toHaveLength(1);
  const { whole, likely, pick } = chanceOf(11);
  for (let count = 0; count < 300; count++) {
    const kind = pick(SIGN_KINDS);
    const grams = kind === 'weight' ? whole(1, 300) : null;
    const id = addSign(db, {
      ...noted,
      kind,
      grams,
      gramsTyped: grams === null ? '' : `${grams} g`,
      notedOn: addDays(today, -whole(0, 400)),
      alarm: likely(0.5) ? null : pick(ALARMS),
      worrying: likely(0.5),
      setAside: likely(0.3) ? sixty : null,
    });
    if (likely(0.3)) settleSign(db, Number(id), 1, { on: today, how: pick(ENDINGS), paid: null });
    if (count % 30 === 0) expect(scores()).toEqual(before);
  }
  expect(listEverySign(db)).toHaveLength(300);
  expect(scores()).toEqual(before);
});

// A small ledger with everything that planning takes, written straight to the database: one gecko, money, and three upgrades.

import type { AnimalFacts, EnclosureFacts, FittingFacts, ReadingFacts } from '../../server/db/collection.ts';
import { addAnimal, addEnclosure, addFitting, addReading } from '../../server/db/collection.ts';
import { changeLedger, readLedger } from '../../server/db/ledger.ts';
import type { Session } from '../../server/db/open.ts';
import { addUpgrade } from '../../server/db/upgrades.ts';
import { plainDate } from '../../src/calendar.ts';
import type { Animal, Collection, Enclosure, Fitting, Reading } from '../../src/collection.ts';
import { money } from '../../src/money.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { fitUpgrade, makeAnimal, makeEnclosure, makeThing } from './make.ts';

/** Writes down an enclosure, with nothing said of how it was typed, and returns its id; `more` replaces what a form would say. */
export function keepEnclosure(
  session: Session,
  { id: _, ...box }: Enclosure,
  more: Partial<EnclosureFacts> = {},
): string {
  return addEnclosure(session, { ...box, lengthTyped: '', depthTyped: '', heightTyped: '', notes: '', ...more });
}

/** The same of an animal. */
export function keepAnimal(session: Session, { id: _, ...animal }: Animal, more: Partial<AnimalFacts> = {}): string {
  return addAnimal(session, { ...animal, lengthTyped: '', notes: '', ...more });
}

/** The same of a fitted thing. */
export function keepFitting(session: Session, { id: _, ...thing }: Fitting, more: Partial<FittingFacts> = {}): string {
  return addFitting(session, { ...thing, distanceTyped: '', upgradeId: null, ...more });
}

/** The same of a reading. */
export function keepReading(
  session: Session,
  { id: _, ...reading }: Reading,
  more: Partial<ReadingFacts> = {},
): string {
  return addReading(session, { ...reading, roomTyped: '', notes: '', ...more });
}

/** The same of a whole collection, whose ids must count from 1. */
export function keepCollection(session: Session, collection: Collection): void {
  for (const one of collection.enclosures) keepEnclosure(session, one);
  for (const one of collection.animals) keepAnimal(session, one);
  for (const one of collection.fittings) keepFitting(session, one);
  for (const one of collection.readings) keepReading(session, one);
}

/** A leopard gecko called Ember in the enclosure 1. */
export function keepGecko(session: Session): void {
  const box = makeEnclosure({ id: '1', name: 'Shelf', lengthMm: 600 });
  keepEnclosure(session, box, { lengthTyped: '60 cm', depthTyped: '45 cm', heightTyped: '45 cm' });
  const gecko = makeAnimal('leopard-gecko', { id: '1', name: 'Ember', lengthMm: 120 });
  keepAnimal(session, gecko, { lengthTyped: '12 cm' });
}

/** A sum a month and cash counted on a day, in minor units. */
export function keepMoney(session: Session, sum: number, cash: number, countedOn = '2026-01-15'): void {
  changeLedger(session, readLedger(session).version, {
    monthlySum: money(sum),
    cashCounted: money(cash),
    cashCountedOn: plainDate(countedOn),
    sumArrived: true,
  });
}

/** A wanted hide for the enclosure 1 at a price; returns its id. */
export function wantHide(
  session: Session,
  name: string,
  place: 'warm' | 'cool' | 'moist',
  price: number,
  parts: Partial<Upgrade> = {},
): string {
  const { id: _, ...upgrade } = fitUpgrade('0', makeThing('hide', { place }), {
    name,
    priceLow: money(price),
    priceHigh: money(price),
    ...parts,
  });
  return addUpgrade(session, upgrade);
}

/** Everything at once: 20.00 a month, 30.00 in hand, a warm hide for 25.00, a cool one for nothing and a moist one for 60.00. */
export function keepSmallLedger(session: Session): void {
  keepGecko(session);
  keepMoney(session, 2000, 3000);
  wantHide(session, 'Warm cave', 'warm', 2500);
  wantHide(session, 'Cardboard hide', 'cool', 0);
  wantHide(session, 'Moss box', 'moist', 6000);
}

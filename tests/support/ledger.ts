// A small ledger with everything that planning takes, written straight to the database: one gecko, money, and three upgrades.

import { addAnimal, addEnclosure } from '../../server/db/collection.ts';
import { changeLedger, readLedger } from '../../server/db/ledger.ts';
import type { Session } from '../../server/db/open.ts';
import { addUpgrade } from '../../server/db/upgrades.ts';
import { plainDate } from '../../src/calendar.ts';
import { money } from '../../src/money.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { fitUpgrade, makeAnimal, makeEnclosure, makeThing } from './make.ts';

/** A leopard gecko called Ember in the enclosure 1. */
export function keepGecko(session: Session): void {
  const { id: _, ...box } = makeEnclosure({ id: '1', name: 'Shelf', lengthMm: 600 });
  const enclosureId = addEnclosure(session, {
    ...box,
    lengthTyped: '60 cm',
    depthTyped: '45 cm',
    heightTyped: '45 cm',
    notes: '',
  });
  const { id: _animal, ...animal } = makeAnimal({ id: '1', speciesId: 'leopard-gecko', name: 'Ember', lengthMm: 120 });
  addAnimal(session, { ...animal, enclosureId, lengthTyped: '12 cm', notes: '' });
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

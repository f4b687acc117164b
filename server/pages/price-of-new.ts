// What a new one of a fitted thing costs as far as the ledger can tell: the price entered, else what was paid for the thing alone, else the
// catalogue’s. Only an entered price is ever counted; the others stand with where they come from.

import { knownPriceOf } from '../../src/breakdowns.ts';
import type { RenewalDue } from '../../src/budget.ts';
import { formatMoney, type Money } from '../../src/money.ts';
import type { PartsList } from '../../src/parts.ts';
import { findFitting } from '../db/collection.ts';
import type { Ledger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import { findUpgrade } from '../db/upgrades.ts';
import { moneySentences } from '../money-words.ts';
import { standingWords } from '../source-words.ts';

/** Writes the price of a renewal, with its origin where it was not entered; 'unknown' where nothing tells. */
export function priceOfNew(session: Session, parts: PartsList, { currency, locale }: Ledger) {
  const written = (sum: Money) => formatMoney(sum, currency, locale);
  return ({ fittingId, price }: Pick<RenewalDue, 'fittingId' | 'price'>): string => {
    if (price !== null) return written(price);
    const fitting = findFitting(session, Number(fittingId));
    if (fitting === null) return moneySentences.unknownPrice;
    const upgrade = fitting.upgradeId === null ? null : findUpgrade(session, Number(fitting.upgradeId));
    // Of several things bought together nobody knows what each cost.
    const alone = upgrade?.changes.filter((one) => one.change === 'fit' || one.change === 'replace-box').length === 1;
    if (alone && upgrade?.paid != null) return moneySentences.priceAsPaid(written(upgrade.paid));
    const known = knownPriceOf(fitting, parts, currency);
    if (known?.from !== 'catalogue') return moneySentences.unknownPrice;
    const standing = parts.parts.find((one) => one.name === known.part)?.standing ?? 'from-memory';
    return moneySentences.priceByCatalogue(written(known.price), standingWords[standing]);
  };
}

// How a price that is far from what was expected is asked back: once, beside its field, and taken when the keeper says that it is right.

import { formatMoney, type Money } from '../../src/money.ts';
import { priceInDoubt, type Upgrade } from '../../src/upgrades.ts';
import type { Ledger } from '../db/ledger.ts';
import { type Field, sureField } from '../fields.ts';
import type { FormError, FormState } from '../forms.ts';
import { stepWords } from '../upgrade-words.ts';

/** The mistake at the field of the price, unless nothing is doubtful or the keeper is sure. */
export function doubtedPrice(
  { priceLow, priceHigh }: Pick<Upgrade, 'priceLow' | 'priceHigh'>,
  paid: Money | null,
  sure: boolean | null,
  { currency, locale }: Pick<Ledger, 'currency' | 'locale'>,
  field = 'paid',
): FormError[] {
  if (paid === null || sure === true || !priceInDoubt({ priceLow, priceHigh }, paid)) return [];
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const expected = priceLow === priceHigh ? amount(priceHigh) : `${amount(priceLow)} to ${amount(priceHigh)}`;
  return [{ field, message: stepWords.priceInDoubt(amount(paid), expected) }];
}

/** The control by which the keeper says so, once it was asked. */
export function surePrice(form: FormState, field = 'paid', name = 'sure'): Field[] {
  return sureField(form, field, name, stepWords.priceIsRight);
}

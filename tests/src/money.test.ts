import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Currency,
  costAtRate,
  currencyOf,
  formatMoney,
  type Money,
  money,
  noMoney,
  parseMoney,
  sumMoney,
  typedMoney,
} from '../../src/money.ts';

const [euro, pound, dollar, franc, yen, dinar, krona] = ['EUR', 'GBP', 'USD', 'CHF', 'JPY', 'KWD', 'SEK'].map(
  (code) => currencyOf(code)!,
) as [Currency, Currency, Currency, Currency, Currency, Currency, Currency];

describe('Amounts', () => {
  test('Only whole minor units up to 10^12 are money, and there is no negative zero', () => {
    expect(money(7000)).toBe(7000);
    expect(Object.is(money(-0), 0)).toBe(true);
    for (const wrong of [0.5, Number.NaN, Number.POSITIVE_INFINITY, 1e12 + 1, -1e12 - 1]) {
      expect(() => money(wrong)).toThrow(RangeError);
    }
    expect([money(1e12), money(-1e12)]).toEqual([1e12, -1e12]);
  });

  test('Sums are exact and a sum of nothing is nothing', () => {
    expect(sumMoney([10, 20, -5])).toBe(25);
    expect(sumMoney([])).toBe(noMoney);
    expect(() => sumMoney([1e12, 1])).toThrow(RangeError);
  });

  // ISO 4217: the euro has 2 decimals, the yen 0, the Kuwaiti dinar 3.
  test('A currency has the decimals of ISO 4217, and what is no code is no currency', () => {
    expect([euro, yen, dinar].map(({ decimals }) => decimals)).toEqual([2, 0, 3]);
    expect(['eur', 'EURO', '', '€'].map(currencyOf)).toEqual([null, null, null, null]);
  });

  // The notes on physics, section C: 100 W for 4 h on 120 days are 48 kWh, at 0.065 a kWh 3.12 (published example); 250 W for 5 h every day of
  // a year are 456.25 kWh, at 0.17 a kWh 77.56.
  test('A cost at a rate is rounded up to the next minor unit, but not for noise in the last digit', () => {
    expect(costAtRate(0.065, 48, dollar)).toBe(312);
    expect(costAtRate(0.17, 456.25, dollar)).toBe(7757);
    expect(costAtRate(0.1, 3, euro)).toBe(30);
    expect(costAtRate(0.28, 0, euro)).toBe(0);
    expect(costAtRate(0.001, 1, euro)).toBe(1);
  });
});

describe('Reading what was typed', () => {
  test.each([
    ['12', euro, 1200],
    ['12.5', euro, 1250],
    ['12,50', euro, 1250],
    ['0,05', euro, 5],
    ['.5', euro, 50],
    ['1.234,56', euro, 123456],
    ['1,234.56', euro, 123456],
    ['1 234,56', euro, 123456],
    ["1'234.50", franc, 123450],
    ['1,234', dinar, 1234],
    ['1,234', yen, 1234],
    ['1,234,567', yen, 1234567],
    ['1.234.567,89', euro, 123456789],
    ['1,23,456', euro, 12345600],
    ['12,34,567.89', euro, 123456789],
    ['€ 70', euro, 7000],
    ['70 €', euro, 7000],
    ['EUR 70', euro, 7000],
    ['£9.99', pound, 999],
    [' 8 ', euro, 800],
    ['\u00a070\u202f', euro, 7000],
    ['７０', euro, 7000],
    ['1.234.567', euro, 123456700],
    ['50,-', euro, 5000],
    ['1.234,– €', euro, 123400],
    ['12,50 euros', euro, 1250],
    ['1 Euro', euro, 100],
    ['12 dollars', dollar, 1200],
    ['1 234 567', euro, 123456700],
    ["CHF 1'234.50", franc, 123450],
  ])('%j in %o is %d', (typed, currency, amount) => {
    expect(parseMoney(typed, currency)).toEqual({ status: 'ok', amount });
  });

  // Unicode CLDR: Germany writes 1.234,5, the United States 1,234.5 and Switzerland 1’234.5; three digits behind another mark may be either.
  test.each([
    ['1.234', 'de-DE', euro, 123400],
    ['1,234', 'en-US', dollar, 123400],
    ['1,234', 'en-US', euro, 123400],
    ['1.234', 'en-US', euro, 'ambiguous'],
    ['1,234', 'de-DE', euro, 'ambiguous'],
    ['1.234', 'de-CH', franc, 'ambiguous'],
    ['1.234', undefined, euro, 'ambiguous'],
    ['1.234,50', 'en-US', euro, 123450],
    ['1,234.50', 'de-DE', euro, 123450],
    ['1.234', 'en-US', yen, 1234],
    ['1.234', 'de-DE', dinar, 1234],
    ['1,234', 'en-US', dinar, 'ambiguous'],
    ['1,234', 'de-DE', dinar, 1234],
  ])('%j where people write as in %s is read, or asked back', (typed, locale, currency, told) => {
    expect(parseMoney(typed, currency, locale === undefined ? {} : { locale })).toEqual(
      typeof told === 'number' ? { status: 'ok', amount: told } : { status: 'bad', fault: told },
    );
  });

  test.each([
    ['', euro, 'empty'],
    ['   ', euro, 'empty'],
    ['free', euro, 'not-a-number'],
    ['1.2.3', euro, 'not-a-number'],
    ['1,23,45', euro, 'not-a-number'],
    ['123,45,678', euro, 'not-a-number'],
    ['1,23,4567', euro, 'not-a-number'],
    ['12,34.56', euro, 'not-a-number'],
    ['1e3', euro, 'not-a-number'],
    ['0x10', euro, 'not-a-number'],
    ['--5', euro, 'not-a-number'],
    ['€', euro, 'not-a-number'],
    ['12 50', euro, 'not-a-number'],
    ["12'50", franc, 'not-a-number'],
    ['$12', euro, 'other-currency'],
    ['12 GBP', euro, 'other-currency'],
    ['US$ 12', euro, 'other-currency'],
    ['12,345.678', euro, 'too-many-decimals'],
    ['1.2345', euro, 'too-many-decimals'],
    ['0.125', euro, 'too-many-decimals'],
    ['0,125', euro, 'too-many-decimals'],
    ['1.5', yen, 'too-many-decimals'],
    ['10000000000.01', euro, 'too-large'],
    ['99999999999999999999', euro, 'too-large'],
    ['-5', euro, 'negative'],
    ['\u22125', euro, 'negative'],
  ])('%j in %o is refused as %s', (typed, currency, fault) => {
    expect(parseMoney(typed, currency)).toEqual({ status: 'bad', fault });
  });

  test('A negative amount is read where it is allowed', () => {
    expect(parseMoney('-1.234,50', euro, { allowNegative: true })).toEqual({ status: 'ok', amount: -123450 });
    expect(parseMoney('\u22125', euro, { allowNegative: true })).toEqual({ status: 'ok', amount: -500 });
  });

  test('No text at all makes it throw', () => {
    let [read, refused] = [0, 0];
    const digits = fc.string({ unit: fc.constantFrom(...'0123456789.,-€ '), maxLength: 14 });
    fc.assert(
      fc.property(fc.oneof(fc.string(), digits), fc.constantFrom(euro, yen, dinar), (typed, currency) => {
        if (parseMoney(typed, currency, { allowNegative: true }).status === 'ok') read += 1;
        else refused += 1;
      }),
      { numRuns: 1000 },
    );
    expect(Math.min(read, refused)).toBeGreaterThan(30);
  });
});

describe('Writing', () => {
  const someAmount = fc.integer({ min: -1e9, max: 1e9 }).map((units) => money(units));

  test('Every amount reads back from its plain text', () => {
    let negative = 0;
    fc.assert(
      fc.property(someAmount, fc.constantFrom(euro, yen, dinar, krona), (amount, currency) => {
        expect(parseMoney(typedMoney(amount, currency), currency, { allowNegative: true })).toEqual({
          status: 'ok',
          amount,
        });
        if (amount < 0) negative += 1;
      }),
      { numRuns: 500 },
    );
    expect(negative).toBeGreaterThan(50);
  });

  test('Every amount reads back as it is written for people in any of nine places', () => {
    const places = ['en-GB', 'en-US', 'de-DE', 'fr-FR', 'pt-PT', 'sv-SE', 'de-CH', 'nl-NL', 'ja-JP'];
    const seen = new Set<string>();
    fc.assert(
      fc.property(
        someAmount,
        fc.constantFrom(euro, pound, dollar, franc, yen, dinar, krona),
        fc.constantFrom(...places),
        (amount, currency, locale) => {
          const written = formatMoney(amount, currency, locale);
          expect(
            parseMoney(written, currency, { allowNegative: true }),
            `${written} ${currency.code} ${locale}`,
          ).toEqual({
            status: 'ok',
            amount,
          });
          seen.add(`${currency.code} ${locale}`);
        },
      ),
      { numRuns: 2000 },
    );
    expect(seen.size).toBe(places.length * 7);
  });

  test('Amounts are written with their sign and decimals', () => {
    expect(formatMoney(7000 as Money, euro, 'en-GB')).toBe('€70.00');
    expect(formatMoney(123456 as Money, euro, 'de-DE')).toBe('1.234,56 €');
    expect(formatMoney(-50 as Money, euro, 'en-GB')).toBe('−€0.50');
    expect(formatMoney(1200 as Money, yen, 'en-GB')).toBe('¥1,200');
    expect(formatMoney(1200 as Money, dollar, 'en-GB')).toBe('$12.00');
    expect(typedMoney(5 as Money, euro)).toBe('0.05');
    expect(typedMoney(-5 as Money, dinar)).toBe('-0.005');
    expect(typedMoney(7 as Money, yen)).toBe('7');
  });
});

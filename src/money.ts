// Money as a whole number of minor units (cents, pence, yen) of the ledger's one currency. The only file that knows how many minor
// units make a major one, how typed amounts are read and how amounts are written.

import { hasRaisedDigit } from './units.ts';

/** A whole number of minor units; may be negative (money in). Never a fraction, at most 10^12 either way. */
export type Money = number & { readonly brand: 'money' };

/** A currency by its ISO 4217 code and the number of decimals it is written with. */
export type Currency = { code: string; decimals: number };

/** Why a typed amount could not be read. */
export type MoneyFault =
  | 'empty'
  | 'not-a-number'
  | 'other-currency'
  | 'ambiguous'
  | 'too-many-decimals'
  | 'too-large'
  | 'negative';

/** In which currency and by which habits of a place (a BCP 47 tag) amounts are typed. */
export type MoneyHabits = { currency: Currency; locale: string };

const LARGEST = 1_000_000_000_000;

/** Takes a count of minor units as money. Throws when it is not a whole number or is beyond 10^12. */
export function money(minorUnits: number): Money {
  if (!Number.isSafeInteger(minorUnits) || Math.abs(minorUnits) > LARGEST) {
    throw new RangeError(`money must be a whole number of minor units up to ${LARGEST}, got ${minorUnits}`);
  }
  return (minorUnits === 0 ? 0 : minorUnits) as Money;
}

/** The largest amount that is taken as typed: a thousandth of what money may be, so that sums of typed amounts over months stay within it. */
export const LARGEST_TYPED = money(1_000_000_000);

/** Nothing owed and nothing held. */
export const noMoney = money(0);

/** The sum of any number of amounts; no amounts sum to nothing. */
export function sumMoney(amounts: Iterable<number>): Money {
  let total = 0;
  for (const amount of amounts) total += amount;
  return money(total);
}

/**
 * The currency with this ISO 4217 code, with the decimals that Unicode CLDR gives it (EUR 2, JPY 0, KWD 3), or null when the code is
 * not three capital letters.
 */
export function currencyOf(code: string): Currency | null {
  if (!/^[A-Z]{3}$/.test(code)) return null;
  const decimals = writerOf('en', code).resolvedOptions().maximumFractionDigits ?? 2;
  return { code, decimals };
}

/**
 * Reads an amount as a person types it: '12', '12.50', '12,50', '1 234,50', '1,234.50', "1'234.50", '50,-', with or without the currency's
 * sign, code or name. A single separator followed by as many digits as the currency has decimals (or fewer) is the decimal mark; groups are
 * three digits, or two before the last three as in India. A single separator before exactly three digits may mean thousands or a digit
 * too many: it is read as thousands where `locale` writes them so, or the currency has no decimals, and else refused as 'ambiguous'.
 * Negative amounts are refused unless `allowNegative`, and amounts beyond 10^9 minor units always.
 */
export function parseMoney(
  typed: string,
  currency: Currency,
  options: { allowNegative?: boolean; locale?: string } = {},
): { status: 'ok'; amount: Money } | { status: 'bad'; fault: MoneyFault } {
  let text = typed.normalize('NFKC').trim();
  if (text === '') return { status: 'bad', fault: 'empty' };
  if (hasRaisedDigit(typed)) return { status: 'bad', fault: 'not-a-number' };
  for (const mark of currencySigns(currency)) text = text.replaceAll(mark, ' ');
  for (const word of [...currencyNames(currency, options.locale), currency.code.toLowerCase()]) {
    // Only whole words: 'euros' is not 'euro' with something behind it.
    text = ` ${text} `.replaceAll(new RegExp(`(?<![\\p{L}])${word}(?![\\p{L}])`, 'giu'), ' ');
  }
  text = text
    .trim()
    .replace(/^\u2212/u, '-')
    // '50,-' as prices of whole amounts are written.
    .replace(/([.,])[-\u2013\u2014\u2212]{1,2}$/u, currency.decimals === 0 ? '' : `$1${'0'.repeat(currency.decimals)}`);
  if (/\p{Sc}|(?<![\p{L}])[A-Z]{3}(?![\p{L}])/u.test(text)) return { status: 'bad', fault: 'other-currency' };
  const negative = text.startsWith('-');
  if (negative) text = text.slice(1);
  const plain = withoutSpaces(text);
  if (plain === null) return { status: 'bad', fault: 'not-a-number' };
  const digits = readDigits(plain, currency.decimals, options.locale);
  if (typeof digits !== 'object') return { status: 'bad', fault: digits };
  if (negative && !options.allowNegative) return { status: 'bad', fault: 'negative' };
  const minor = Number(digits.whole + digits.fraction.padEnd(currency.decimals, '0'));
  if (!Number.isSafeInteger(minor) || minor > LARGEST_TYPED) return { status: 'bad', fault: 'too-large' };
  return { status: 'ok', amount: money(negative ? -minor : minor) };
}

/** An amount as it is written in the given locale, such as '€70.00'; signs and digits follow Unicode CLDR. */
export function formatMoney(amount: Money, currency: Currency, locale: string): string {
  // The narrow sign, since '$' is what people type and 'US$' would not read back.
  return writerOf(locale, currency.code, { currencyDisplay: 'narrowSymbol' })
    .format(amount / 10 ** currency.decimals)
    .replace(/[\u00a0\u202f]/gu, ' ')
    .replace('-', '\u2212');
}

/** An amount in whole major units, for a place too narrow for more: '€70'. */
export function formatRoundMoney(amount: Money, currency: Currency, locale: string): string {
  return writerOf(locale, currency.code, { maximumFractionDigits: 0 })
    .format(amount / 10 ** currency.decimals)
    .replace(/[\u00a0\u202f]/gu, ' ')
    .replace('-', '\u2212');
}

/** An amount as plain typed text that parseMoney reads back to the same amount, such as '70.00'. */
export function typedMoney(amount: Money, currency: Currency): string {
  const digits = String(Math.abs(amount)).padStart(currency.decimals + 1, '0');
  const whole = digits.slice(0, digits.length - currency.decimals);
  const fraction = digits.slice(digits.length - currency.decimals);
  return `${amount < 0 ? '-' : ''}${whole}${currency.decimals > 0 ? `.${fraction}` : ''}`;
}

/** A rate in major units per unit of something (such as 0.23 a kWh), times a count of that unit, rounded up to a minor unit. */
export function costAtRate(ratePerUnit: number, count: number, currency: Currency): Money {
  return money(Math.ceil(ratePerUnit * count * 10 ** currency.decimals - 1e-9));
}

/** An amount of one currency in another, at so many major units of it for one of the first, rounded up to a minor unit. */
export function atRate(amount: Money, from: Currency, rate: number, to: Currency): Money {
  return money(Math.ceil((amount / 10 ** from.decimals) * rate * 10 ** to.decimals - 1e-9));
}

// Making one costs a hundred times what writing with it does, and a page writes hundreds of amounts.
const writers = new Map<string, Intl.NumberFormat>();
const MOST_WRITERS = 100;

function writerOf(locale: string, currency: string, options: Intl.NumberFormatOptions = {}): Intl.NumberFormat {
  const key = `${locale} ${currency} ${options.currencyDisplay ?? ''} ${options.maximumFractionDigits ?? ''}`;
  let writer = writers.get(key);
  if (writer === undefined) {
    writer = new Intl.NumberFormat(locale, { style: 'currency', currency, ...options });
    // A ledger has one locale and one currency; other codes come from forms and are not collected without end.
    if (writers.size >= MOST_WRITERS) writers.clear();
    writers.set(key, writer);
  }
  return writer;
}

// Australian and Canadian English have signs of their own for some currencies.
const localesOfSigns = ['en', 'en-AU', 'en-CA'];

function currencySigns({ code }: Currency): string[] {
  const signs = localesOfSigns.flatMap((locale) =>
    writerOf(locale, code, { currencyDisplay: 'narrowSymbol' })
      .formatToParts(0)
      .flatMap((part) => (part.type === 'currency' ? [part.value.normalize('NFKC')] : [])),
  );
  // The longest first: '$' is a part of '$U'.
  return signs.toSorted((a, b) => b.length - a.length);
}

function currencyNames({ code }: Currency, locale = 'en'): string[] {
  const named = ['en', locale].flatMap((place) =>
    [1, 2].flatMap((count) =>
      writerOf(place, code, { currencyDisplay: 'name', maximumFractionDigits: 0 })
        .formatToParts(count)
        .flatMap((part) => (part.type === 'currency' ? [part.value.normalize('NFKC')] : [])),
    ),
  );
  const words = [...new Set(named)].filter((one) => /^[\p{L} ]+$/u.test(one));
  // 'US dollars' are typed as 'dollars'.
  const short = words.map((one) => one.split(' ').at(-1)!);
  return [...words, ...short].toSorted((a, b) => b.length - a.length);
}

// Spaces and apostrophes between digits stand for thousands or nothing: '12 50' is no amount that may be guessed.
function withoutSpaces(text: string): string | null {
  const tidy = text
    .replace(/[\u2019']/gu, "'")
    .replace(/\s+/gu, ' ')
    .trim();
  const mark = /[ ']/.exec(tidy)?.[0];
  if (mark === undefined) return tidy;
  const whole = /^[^.,]*/.exec(tidy)![0];
  const rest = tidy.slice(whole.length);
  return /[ ']/.test(rest) || !/^[1-9]/.test(whole) || !isGrouped(whole, mark)
    ? null
    : whole.replaceAll(mark, '') + rest;
}

function groupMarkOf(locale: string): string | null {
  return (
    writerOf(locale, 'EUR')
      .formatToParts(1_234_567)
      .find((part) => part.type === 'group')?.value ?? null
  );
}

function readDigits(
  text: string,
  decimals: number,
  locale: string | undefined,
): { whole: string; fraction: string } | MoneyFault {
  if (!/^[0-9.,]+$/.test(text) || !/[0-9]/.test(text)) return 'not-a-number';
  const lastDot = text.lastIndexOf('.');
  const lastComma = text.lastIndexOf(',');
  const last = Math.max(lastDot, lastComma);
  if (last === -1) return { whole: text, fraction: '' };
  const mark = text[last]!;
  const other = mark === '.' ? ',' : '.';
  const tail = text.slice(last + 1);
  const head = text.slice(0, last);
  const looksGrouped = !head.includes(other) && /^[1-9]/.test(head) && isGrouped(`${head}${mark}${tail}`, mark);
  const isOne = !head.includes(mark);
  const isHabit = locale !== undefined && groupMarkOf(locale) === mark;
  if (looksGrouped && decimals > 0 && isOne) {
    // With three decimals (KWD) a point is how this ledger writes them itself.
    if (decimals < 3 ? !isHabit : isHabit && mark !== '.') return 'ambiguous';
  }
  if (looksGrouped && decimals < 3) return { whole: text.replaceAll(mark, ''), fraction: '' };
  if (head.includes(mark)) return 'not-a-number';
  const groupedHead = head.includes(other);
  if (groupedHead && !isGrouped(head, other)) return 'not-a-number';
  if (tail.length > decimals) return 'too-many-decimals';
  return { whole: head.replaceAll(other, '') || '0', fraction: tail };
}

// Groups of three, or as in India of two before the last three: '1,234,567', '12,34,567'.
function isGrouped(digits: string, mark: string): boolean {
  const parts = digits.split(mark);
  const [first, last] = [parts[0]!, parts.at(-1)!];
  const between = parts.slice(1, -1);
  if (parts.length < 2 || last.length !== 3 || first.length < 1) return false;
  return (
    (first.length <= 3 && between.every((part) => part.length === 3)) ||
    (first.length <= 2 && between.every((part) => part.length === 2))
  );
}

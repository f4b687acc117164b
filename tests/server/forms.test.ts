import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  checkbox,
  choice,
  dateField,
  formOf,
  moneyField,
  optionalChoice,
  optionalDate,
  optionalMoney,
  optionalQuantity,
  optionalText,
  optionalWholeNumber,
  parseForm,
  quantityField,
  requiredText,
  versionField,
  wholeNumber,
} from '../../server/forms.ts';
import { idFrom } from '../../server/pages/asked-row.ts';
import { currencyOf } from '../../src/money.ts';

const euro = currencyOf('EUR')!;

const everyField = formOf({
  name: requiredText('the name', 10),
  notes: optionalText('the notes', 20),
  side: choice('the side', ['left', 'right']),
  mood: optionalChoice('the mood', ['a', 'b']),
  count: wholeNumber('the count', 1, 9),
  spare: optionalWholeNumber('the spare count', 0, 9),
  day: dateField('the day'),
  until: optionalDate('the last day'),
  ticked: checkbox('the box'),
  warm: quantityField('the temperature', 'temperature', 'metric'),
  long: optionalQuantity('the length', 'length', 'metric'),
  price: moneyField('the price', { currency: euro, locale: 'en-GB' }),
  spent: optionalMoney('what was spent', { currency: euro, locale: 'en-GB' }),
  version: versionField(),
});

const goodTexts = {
  name: ' Basil ',
  notes: 'two\r\nlines',
  side: 'left',
  mood: '',
  count: '9',
  spare: '',
  day: '2024-02-29',
  until: '',
  ticked: 'yes',
  warm: '78F',
  long: '1,5 m',
  price: '12,50',
  spent: '',
  version: '1',
};

test('A form without mistakes becomes values, and empty optional answers become null and not 0', () => {
  const read = parseForm(everyField, goodTexts);
  expect(read).toMatchObject({
    status: 'ok',
    value: {
      name: 'Basil',
      notes: 'two\nlines',
      side: 'left',
      mood: null,
      count: 9,
      spare: null,
      day: '2024-02-29',
      until: null,
      ticked: true,
      long: { value: 1500, typed: '1,5 m' },
      price: 1250,
      spent: null,
      version: 1,
    },
  });
  // 78 °F is 25.56 °C: (78 - 32) * 5/9, NIST SP 811 appendix B.
  if (read.status === 'ok') expect(read.value.warm.value).toBeCloseTo(25.5556, 3);
});

test('A form with nothing in it has one mistake for each field that must be filled in, and no other', () => {
  const read = parseForm(everyField, {});
  expect(read.status).toBe('bad');
  if (read.status !== 'bad') return;
  expect(read.errors.map((mistake) => mistake.field)).toEqual([
    'name',
    'side',
    'count',
    'day',
    'warm',
    'price',
    'version',
  ]);
  for (const { message } of read.errors) expect(message).toMatch(/^[A-Z].*\.$/);
});

describe('Each rule refuses a text that a guessing reader would take', () => {
  test.each([
    ['name', 'eleven char', 'Shorten the name to at most 10 characters; it has 11.'],
    ['name', 'bell\u0007', 'Take out the invisible control character in the name; retyping it is the surest way.'],
    ['side', 'Left', 'Choose one of the answers listed for the side.'],
    ['count', '1e0', 'Write the count as a whole number in digits, such as 12.'],
    ['count', '0x9', 'Write the count as a whole number in digits, such as 12.'],
    ['count', '2.5', 'Write the count as a whole number in digits, such as 12.'],
    ['count', '10', 'Give the count as a whole number from 1 to 9.'],
    ['count', '-1', 'Give the count as a whole number from 1 to 9.'],
    ['count', '\u0663', 'Write the count as a whole number in digits, such as 12.'],
    // 2026 is no leap year in the Gregorian calendar.
    [
      'day',
      '2026-02-29',
      'Give the day as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
    ],
    [
      'day',
      '31/02/2026',
      'Give the day as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
    ],
    [
      'day',
      '03/04/2026',
      'Write the day year-month-day: “03/04/2026” may be 2026-04-03, with the day first, or 2026-03-04, with the month first.',
    ],
    // Its renewal would come due in a year that no calendar writes.
    ['day', '9999-12-31', 'Check the year of the day: it must be from 1900 to 2199.'],
    ['ticked', 'false', 'Choose one of the answers listed for the box.'],
    ['warm', '78 cm', 'Write the temperature in °C or °F.'],
    ['warm', 'hot', 'Write the temperature as a number, with its unit if you like.'],
    ['warm', '900', 'Check the temperature: it must be between -30 °C and 120 °C.'],
    ['price', '-5', 'Give the price without a minus sign.'],
    ['price', '5.005 x', 'Write the price as an amount in digits, such as 12.50.'],
    ['version', '0', 'Give the version as a whole number from 1 to 9007199254740991.'],
  ])('%s: %j', (field, text, message) => {
    const read = parseForm(everyField, { ...goodTexts, [field]: text });
    expect(read).toMatchObject({ status: 'bad', errors: [{ field, message }] });
  });
});

test('Everything that is wrong is told at once: what one field shows, and what those that could be read show together', () => {
  const rules = formOf({
    from: dateField('the first day'),
    until: optionalDate('the last day'),
    count: wholeNumber('the count', 1, 9),
    price: optionalMoney('the price', { currency: euro, locale: 'en-GB' }),
  });
  const asked: unknown[] = [];
  const read = parseForm(rules, { from: '31.3.2026', until: '2026-03-01', count: 'x', price: '1' }, (value) => {
    asked.push(value.count, value.from);
    return [
      { field: 'price', message: 'Too cheap.' },
      { field: 'until', message: 'Too early.' },
      { field: 'count', message: 'Not told, since it could not be read.' },
    ];
  });
  expect(asked).toEqual([null, '2026-03-31']);
  expect(read.status === 'bad' && read.errors.map((one) => one.field)).toEqual(['until', 'count', 'price']);
  // A rule that cannot do without an unreadable field tells nothing and breaks nothing; any other fault in it is not hidden.
  const needsAll = parseForm(rules, { from: 'x', count: '1' }, ({ from }) => [
    { field: 'until', message: from.slice(1) },
  ]);
  expect(needsAll.status === 'bad' && needsAll.errors.map((one) => one.field)).toEqual(['from']);
  expect(() =>
    parseForm(rules, { from: 'x', count: '1' }, () => {
      throw new RangeError('a fault of the rule');
    }),
  ).toThrow(RangeError);
});

test('A whole number may be typed with a unit of what it counts', () => {
  const rules = formOf({ minutes: wholeNumber('the minutes', 0, 900, 'minutes') });
  const readAs = (minutes: string) => {
    const read = parseForm(rules, { minutes });
    return read.status === 'ok' ? read.value.minutes : read.errors[0]!.message;
  };
  expect(['90', '90 min', '1.5 h', '2 hours', '1 h 30 min', '1,5h'].map(readAs)).toEqual([90, 90, 90, 120, 90, 90]);
  const refused =
    'Write the minutes as a whole number of minutes in digits, such as 12, or with its unit: minutes or hours.';
  expect(['2 days', '1.33 min', 'h', '0.001 h', '-2 h'].map(readAs)).toEqual(Array(5).fill(refused));
  expect(readAs('20 h')).toBe('Give the minutes as a whole number from 0 to 900.');
});

test('A form with a mistake gives back every text exactly as it was typed', () => {
  const typed = { ...goodTexts, count: ' many ', notes: '  kept\r\n ' };
  expect(parseForm(everyField, typed)).toMatchObject({ status: 'bad', values: typed });
});

test('A field the form does not know is refused by name, also __proto__', () => {
  const extra = parseForm(everyField, { ...goodTexts, is_admin: 'yes' });
  expect(extra).toMatchObject({
    status: 'bad',
    errors: [{ field: '', message: expect.stringContaining('"is_admin"') }],
  });
  const hostile = parseForm(everyField, JSON.parse('{"__proto__":"x"}'));
  expect(hostile.status).toBe('bad');
  expect(Object.getPrototypeOf({})).toBe(Object.prototype);
});

test('Whatever is typed, a form is read without throwing and nothing typed is lost', () => {
  let bad = 0;
  fc.assert(
    fc.property(
      fc.record(Object.fromEntries(Object.keys(goodTexts).map((name) => [name, fc.string({ unit: 'binary' })]))),
      (typed) => {
        const read = parseForm(everyField, typed);
        expect(read.values).toEqual(typed);
        if (read.status === 'bad') bad += 1;
      },
    ),
    { seed: 7, numRuns: 300 },
  );
  expect(bad).toBeGreaterThan(0);
});

test('A rule between fields may speak at a field, and only the first mistake of a field is told', () => {
  const span = formOf({ from: wholeNumber('the start', 0, 99), to: wholeNumber('the end', 0, 99) }).superRefine(
    ({ from, to }, context) => {
      if (to < from) context.addIssue({ code: 'custom', path: ['to'], message: 'Give an end after the start.' });
      if (to < 5) context.addIssue({ code: 'custom', path: ['to'], message: 'Give an end of 5 or more.' });
    },
  );
  expect(parseForm(span, { from: '9', to: '3' })).toMatchObject({
    status: 'bad',
    errors: [{ field: 'to', message: 'Give an end after the start.' }],
  });
  expect(parseForm(span, { from: '1', to: '7' })).toMatchObject({ status: 'ok', value: { from: 1, to: 7 } });
});

test('A row number in a URL is a positive whole number or the page is not found', () => {
  expect(idFrom({ id: '17' })).toBe(17);
  for (const text of ['0', '01', '-1', '1.0', '1e3', '', 'x', '99999999999999999']) {
    expect(() => idFrom({ id: text })).toThrow('Nothing is kept under that address.');
  }
});

// ISO 4217: the yen has no decimals, the Kuwaiti dinar three.
test.each([
  ['JPY', 'ja-JP', 'abc', 'Write the price as an amount in digits, such as 12.'],
  ['KWD', 'en-US', 'abc', 'Write the price as an amount in digits, such as 12.500.'],
  ['KWD', 'en-US', '1,234', 'Write the price so that it can mean one amount only: “1,234” may be 1234 or 1.234.'],
])('What is wrong with an amount in %s is said in its own decimals: %s, %s', (code, locale, price, message) => {
  const form = formOf({ price: moneyField('the price', { currency: currencyOf(code)!, locale }) });
  expect(parseForm(form, { price })).toMatchObject({ errors: [{ field: 'price', message }] });
});

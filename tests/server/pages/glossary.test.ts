// The glossary held against what pages can show: the text of every template, and every text of the words files and pages.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { glossary, notOurWords, wordsUsedIn } from '../../../server/glossary-words.ts';
import { startApp, textOf, textsOf } from '../../support/app.ts';

const root = join(import.meta.dirname, '../../..');

/** The texts of a TypeScript file that hold words: its string literals and templates, without comments, names and values put in. */
function textsIn(source: string): string {
  const code = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  return [...code.matchAll(/'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`/g)]
    .map((one) => (one[1] ?? one[2]!).replace(/\$\{(?:[^{}]|\{[^{}]*\})*\}/g, ' ').replace(/\$\{.*$/s, ' '))
    .filter((text) => /\s/.test(text) || /^[A-Z]/.test(text))
    .join('\n');
}

const filesIn = (folder: string, ending: string) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith(ending))
    .map((name) => join(folder, name));

const shown = new Map(
  [
    ...filesIn('server', 'words.ts').filter((name) => !name.endsWith('glossary-words.ts')),
    ...filesIn('server/pages', '.ts'),
  ].map((name) => [name, textsIn(readFileSync(join(root, name), 'utf8'))]),
);
// As they are, for words that stand alone in quotes.
const sources = [...shown.keys()].map((name) => readFileSync(join(root, name), 'utf8'));
// The guide is prose with sources of its own names, and is not held to this.
for (const name of filesIn('views', '.hbs').filter((one) => !one.includes('guide'))) {
  // What a template names in braces is no word of a page, and neither are its tags; the names of controls in quotes are.
  const source = readFileSync(join(root, name), 'utf8');
  const spoken = [...source.matchAll(/(?:aria-label|caption)="([^"]*)"/g)].map((one) => one[1]).join('\n');
  shown.set(
    name,
    `${source.replace(/\{\{[^}]*\}\}/g, ' ').replace(/<[^>]*>/g, ' ')}\n${spoken.replace(/\{\{[^}]*\}\}/g, ' ')}`,
  );
}

const terms = glossary.flatMap((chapter) => chapter.terms);

/** Whether a text has a word or its plural, whole and in any case. */
const has = (text: string, word: string) =>
  new RegExp(`(?<![\\w-])${word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}s?(?![\\w-])`, 'i').test(text);

test('The glossary is one page with a sentence for every word, and every page leads to it', async () => {
  const { get } = await startApp();
  const page = await get('/glossary');
  expect(page.status).toBe(200);
  expect(textsOf(page, 'dt')).toEqual(terms.map(({ term }) => term));
  expect(new Set(terms.map(({ key }) => key)).size).toBe(terms.length);
  for (const { key, term, meaning } of terms) {
    expect(meaning, term).toMatch(/^[A-Z].*\.$/s);
    expect(textOf(page.document.getElementById(`word-${key}`)), key).toBe(term);
  }
  for (const path of ['/', '/about', '/animals']) {
    const links = [...(await get(path)).document.querySelectorAll('footer a')].map((one) => one.getAttribute('href'));
    expect(links, path).toContain('/glossary');
  }
});

test('A page explains at its foot the words a newcomer may not know, and no others, and leads to them', async () => {
  const { get } = await startApp();
  const about = await get('/about');
  const explained = textsOf(about, 'footer dfn');
  const said = about.body.replace(/<footer[\s\S]*/, '').replace(/<[^>]*>/g, ' ');
  expect(explained).toContain('severe');
  for (const { key, term, meaning } of terms.filter(({ term }) => explained.includes(term))) {
    expect(has(said, term), term).toBe(true);
    expect(about.document.querySelector(`footer a[href="/glossary#word-${key}"]`), term).not.toBeNull();
    expect(textsOf(about, 'footer p')).toContain(`${term}: ${meaning}`);
  }
  expect(explained).not.toContain('enclosure');
  expect(textsOf(await get('/glossary'), 'footer dfn')).toEqual([]);
  expect(wordsUsedIn('A T5 tube: UV-B by its UV index; D3').map(({ term }) => term)).toEqual([
    'UV index',
    'T5',
    'UV-B',
    'D3',
  ]);
});

test('Every word of the glossary is used on some page', () => {
  expect(shown.size).toBeGreaterThan(150);
  const unused = terms.filter(({ term }) => ![...sources, ...shown.values()].some((text) => has(text, term)));
  expect(unused.map(({ term }) => term)).toEqual([]);
});

test('No page calls a thing by a name that the glossary gives up for another', () => {
  const names = terms.map(({ term }) => term);
  expect(Object.keys(notOurWords).filter((one) => names.includes(one))).toEqual([]);
  const found = [...shown].flatMap(([file, text]) =>
    Object.keys(notOurWords)
      .filter((word) => has(text, word))
      .map((word) => `${file} says ${word}, not ${notOurWords[word]}`),
  );
  expect(found).toEqual([]);
});

// Names of programs, files, countries, laws and things that only those who run the ledger or look at its files meet.
const otherCapitals = new Set(
  'HOST ORIGIN HOSTS README FILE GB JSON URL SHA-256 ISO PVC DE DE-1997 EU EUR GBP USD MB NFKC NFKD UTC UTF-8 CSV US'.split(
    ' ',
  ),
);

test('Every abbreviation that a page uses is in the glossary', () => {
  const known = new Set(terms.map(({ term }) => term));
  const strange = [...shown].flatMap(([file, text]) =>
    [...text.matchAll(/\b[A-Z][A-Z0-9-]*[A-Z0-9]\b/g)]
      .map(([one]) => one)
      .filter((one) => !known.has(one) && !otherCapitals.has(one))
      .map((one) => `${file}: ${one}`),
  );
  expect(strange).toEqual([]);
});

test('No page shouts, nor leaves a plural open', () => {
  const found = [...shown].filter(([, text]) => /[a-z]!(?=\s|$)|\w\(s\)/m.test(text)).map(([file]) => file);
  expect(found).toEqual([]);
});

test('A text that these tests would refuse is seen', () => {
  const text = textsIn("const a = 'The pet in its terrarium!';\n// a tank\nconst b = 'user';");
  expect(text).toBe('The pet in its terrarium!');
  expect(Object.keys(notOurWords).filter((word) => has(text, word))).toEqual(['terrarium', 'pet']);
});

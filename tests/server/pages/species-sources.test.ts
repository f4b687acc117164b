// What the pages of all species say of their sources and of law, and what they must never say.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import { lawWords } from '../../../server/species-words.ts';
import { type Answer, closeApp, openApp, type TestApp, textOf, textsOf } from '../../support/app.ts';

const library = readCareLibrary();
let app: TestApp;
const pages = new Map<string, Answer>();
beforeAll(async () => {
  app = await openApp();
  for (const { id } of library.species) pages.set(id, await app.get(`/species/${id}`));
}, 60_000);
afterAll(() => closeApp(app));

const pairs = (page: Answer, section: string) => {
  const terms = textsOf(page, `${section} dt`);
  return textsOf(page, `${section} dd`).map((text, place) => [terms[place], text] as const);
};

test('the sources of a species that differ stand before its targets, each answer with a source of its own', () => {
  const corn = pages.get('corn-snake')!;
  const sections = [...corn.document.querySelectorAll('main section[id]')].map(({ id }) => id);
  expect(sections.slice(0, 3)).toEqual(['law', 'differ', 'temperature']);
  const answers = pairs(corn, '#differ');
  expect(answers[0]![0]).toBe('Zone 1');
  // Ferguson zones as Baines et al. 2016 give them: zone 1 to a mean of 0.7, zone 2 from 0.7 to 1.0.
  expect(answers[0]![1]).toContain('Mean exposure 0 to 0.7 UV index. Source: Magazine item');
  expect(answers[1]![1]).toContain('Mean exposure 0.7 to 1 UV index. Source: from memory');
  // German expert report of 1997: 1.0 x 0.5 x 1.0 total lengths, so 140 x 70 x 140 cm for a snake of 140 cm.
  const most = answers.find(([what]) => what === 'Floor: the most')![1];
  expect(most).toContain('0.98 m², by “German expert report 1997');
  expect(most).toContain('agreed practice; secondary');
  // The rules of a direction stand once each, with their sources, below what they ask.
  const rules = textsOf(corn, '#differ .reason-list li');
  expect(new Set(rules).size).toBe(rules.length);
  expect(rules.filter((rule) => rule.startsWith('German expert report 1997'))).toHaveLength(1);
  for (const [what, text] of answers)
    expect(text, what).toMatch(/Source:|(tested|studied|practice|hearsay).*(published|secondary|check)/);
  for (const rule of rules) expect(rule).toContain('Source:');
});

test('both printed ceilings of zone 4 stand beside each other for each species that a source puts there, and nowhere else', () => {
  let inZone4 = 0;
  for (const { id, uv } of library.species) {
    const heads = textsOf(pages.get(id)!, '#differ dt').filter((head) => head.startsWith('UV index'));
    const is4 = uv.zones.some(({ zone }) => zone === 4);
    expect(heads, id).toEqual(is4 ? ['UV index 8', 'UV index 9.5'] : []);
    inZone4 += Number(is4);
  }
  expect(inZone4).toBeGreaterThan(2);
});

test('a figure that only a note tells of stands under other figures, beside the one that is taken', () => {
  const dragon = pages.get('bearded-dragon')!;
  expect(textsOf(dragon, '#differ h3')).toContain('Other figures');
  const humidity = pairs(dragon, '#differ').find(([what]) => what === 'Humidity')![1];
  expect(humidity).toContain('Taken here: 20 to 50 %');
  expect(humidity).toContain('10-20 %');
  const tortoise = textOf(pages.get('hermanns-tortoise')!.document.querySelector('#differ'));
  expect(tortoise).toContain('That is no agreement');
});

test('each page says how many figures it holds, and the counts of each kind of source add up', () => {
  for (const { id } of library.species) {
    const words = textOf(pages.get(id)!.document.querySelector('#known'));
    const [all, ...parts] = [...words.matchAll(/\d+/g)].map(Number);
    expect(parts.length, id).toBeGreaterThan(1);
    expect(
      parts.reduce((a, b) => a + b, 0),
      id,
    ).toBe(all);
    expect(words, id).toContain('from memory, check before relying on it');
  }
});

test('law stands first on every page, with every list that names the species and the advice to check', () => {
  let listed = 0;
  let never = 0;
  for (const { id, legal, neverPropose } of library.species) {
    const page = pages.get(id)!;
    expect(page.document.querySelector('main section')?.id, id).toBe('law');
    const law = textOf(page.document.querySelector('#law'));
    expect(law, id).toContain('Check your local law');
    expect(textsOf(page, '#law dt'), id).toEqual(legal.map(({ where }) => where));
    expect(law.includes(lawWords.neverAcquire), id).toBe(neverPropose.includes('acquire'));
    expect(law.includes(lawWords.noneKnown), id).toBe(legal.length === 0);
    listed += legal.length;
    never += Number(neverPropose.includes('acquire'));
  }
  expect(listed).toBeGreaterThan(30);
  expect(never).toBeGreaterThan(2);
});

// Words by which a text talks a reader into an animal; the ledger knows what species need and never says that one should be had.
const INVITING =
  /\b(buy|bought|purchase|adopt|acquir\w*|for sale|beginners?|first (reptile|pet|snake|lizard|frog)|(good|great|ideal|popular|easy|rewarding) (pet|choice|species|animal)|easy to (keep|care)|recommended species|you (could|might|may) (also )?(like|keep)|why not|consider (getting|keeping|adding)|get (a|an|another|one|yourself|your)|suits you|a companion|friend)\b/i;

test('no page of a species, of two or of all of them invites to have one', async () => {
  const others = ['/species', '/species?group=snake', '/species/compare', '/species/compare?a=axolotl&b=corn-snake'];
  const all = [...pages.values(), ...(await Promise.all(others.map((address) => app.get(address))))];
  expect(all).toHaveLength(library.species.length + 4);
  for (const page of all) {
    const words = textOf(page);
    expect(INVITING.exec(words)?.[0], page.document.title).toBeUndefined();
  }
  expect(INVITING.test('An easy species for beginners')).toBe(true);
  expect(INVITING.test(lawWords.neverAcquire)).toBe(false);
});

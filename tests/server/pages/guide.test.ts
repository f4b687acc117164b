// The guide as it is served: every chapter is there and leads on, prints no figure that nothing reads, counts the library as it is, and
// names no check against the outside that no test makes.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import { methodChapters, yearChapters } from '../../../server/guide-words.ts';
import { guideFigures } from '../../../server/pages/guide-figures.ts';
import { paths } from '../../../server/paths.ts';
import { countCareFigures } from '../../../src/care-figures.ts';
import { startApp, textOf, textsOf } from '../../support/app.ts';

const root = join(import.meta.dirname, '../../..');
const texts = new Map(
  readdirSync(join(root, 'views/guide'))
    .filter((name) => name.endsWith('.hbs'))
    .map((name) => [name.slice(0, -'.hbs'.length), readFileSync(join(root, 'views/guide', name), 'utf8')]),
);
const chapters = [...yearChapters, ...methodChapters];

test('Every text of the guide is a chapter, and the contents lead to each and on to the next', async () => {
  expect([...texts.keys()].sort()).toEqual(chapters.map(({ topic }) => topic).sort());
  const app = await startApp();
  const contents = await app.get(paths.guide.show);
  const listed = [...contents.document.querySelectorAll('main ol a')].map((link) => link.getAttribute('href'));
  expect(listed).toEqual(chapters.map(({ topic }) => paths.guide.chapter(topic)));
  const seen = new Set<string>();
  for (const [place, { topic, heading }] of chapters.entries()) {
    const page = await app.get(paths.guide.chapter(topic));
    expect(page.status, topic).toBe(200);
    expect(textOf(page.document.querySelector('h1'))).toBe(heading);
    const on = [...page.document.querySelectorAll('main nav a')].map((link) => link.getAttribute('href'));
    const beside = [chapters[place - 1], chapters[place + 1]].flatMap((one) =>
      one === undefined ? [] : [paths.guide.chapter(one.topic)],
    );
    expect(on).toEqual(beside);
    for (const link of page.document.querySelectorAll('main a')) seen.add(link.getAttribute('href')!);
  }
  for (const address of seen) expect((await app.get(address)).status, address).toBe(200);
  expect(seen.size).toBeGreaterThan(25);
  expect((await app.get(paths.guide.chapter('nowhere'))).status).toBe(404);
});

test('Every figure of the year that is kept is printed, and every one that is printed is kept', () => {
  const used = new Set(
    [...texts.values()].flatMap((text) => [...text.matchAll(/\{\{f\.(\w+)\}\}/g)].map((hit) => hit[1]!)),
  );
  expect([...used].sort()).toEqual(Object.keys(guideFigures).sort());
  expect(used.size).toBeGreaterThan(60);
});

test('What the library holds is counted on each showing', async () => {
  const whole = readCareLibrary();
  const half = { ...whole, species: whole.species.slice(0, 20) };
  for (const library of [whole, half]) {
    const { get } = await startApp({ library });
    const text = textOf(await get(paths.guide.chapter('scoring')));
    const { species, figures, byStanding } = countCareFigures(library);
    expect(text).toContain(`The library holds ${species} species with ${figures} figures.`);
    const share = Math.round((100 * byStanding['from-memory']) / figures);
    expect(text).toContain(`${byStanding['from-memory']} of ${figures} figures (${share} %).`);
  }
});

test('The example of the capped mean is reckoned by the function that scores', async () => {
  const { get } = await startApp();
  // By hand: (10x100 + 20x40 + 15x10 + 10x80 + 20x50 + 15x60 + 10x60) / 100 = 52.5, and UV 10 + 30 = 40.
  expect(textOf(await get(paths.guide.chapter('scoring')))).toContain('have a mean of 52.5; UV holds the score at 40.');
  const rows = textsOf(await get(paths.guide.chapter('scoring')), 'tbody tr');
  expect(rows).toContain('UV1530');
  expect(rows).toContain('0.6650');
});

test('Every check against the outside that the guide names is made by some test', () => {
  const tests = readdirSync(join(root, 'tests'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('guide.test.ts'))
    .map((name) => readFileSync(join(root, 'tests', name), 'utf8'))
    .join('\n');
  const named = [...texts.values()].flatMap((text) =>
    [...text.matchAll(/data-check="([^"]+)"/g)].map((hit) => hit[1]!),
  );
  expect(named.length).toBeGreaterThan(12);
  for (const name of named) expect(tests, name).toContain(name);
});

// The search for species with its filters, as a browser without JavaScript sees it.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import { type Answer, closeApp, openApp, type TestApp, textOf, textsOf } from '../../support/app.ts';
import { enterSnake } from '../../support/collection.ts';

const library = readCareLibrary();
let app: TestApp;
beforeAll(async () => {
  app = await openApp();
  await enterSnake(app);
});
afterAll(() => closeApp(app));

const isOpen = (page: Answer) => page.document.querySelector('details.narrow')?.hasAttribute('open');
const namesOn = (page: Answer) => textsOf(page, '.species-list > li > a');

test('the filters are folded away while none is set, and open and filled in when one is', async () => {
  const all = await app.get('/species');
  expect(isOpen(all)).toBe(false);
  expect(textOf(all.document.querySelector('details.narrow summary'))).toBe('Narrow the list');
  expect(textsOf(all, 'a.button').filter((words) => words === 'Clear')).toEqual([]);
  const some = await app.get('/species?q=&group=snake&zone=1&habit=');
  expect(isOpen(some)).toBe(true);
  expect(textOf(some.document.querySelector('details.narrow summary'))).toBe('Narrowed by group: snake and UV zone 1');
  expect(some.document.querySelector('select[name=group] option[selected]')?.getAttribute('value')).toBe('snake');
  const [, count, whole] = /(\d+) of (\d+) species/.exec(textOf(some))!;
  expect(Number(count)).toBe(namesOn(some).length);
  expect(Number(whole)).toBe(library.species.length);
  const clear = [...some.document.querySelectorAll('a.button')].find((one) => textOf(one) === 'Clear');
  expect(namesOn(await app.get(clear!.getAttribute('href')!))).toHaveLength(library.species.length);
});

test('a search by name and filters work together, and a row says what the species is and who is kept', async () => {
  const page = await app.get('/species?q=snake&kept=yes');
  expect(namesOn(page)).toEqual(['Corn snake']);
  const row = textsOf(page, '.species-list > li')[0]!;
  expect(row).toContain('Pantherophis guttatus, Red rat snake');
  expect(row).toContain('Snake; climbs; active at dusk and dawn; UV optional, zone 1 or 2');
  expect(row).toMatch(/\d+ of \d+ figures read in a source/);
  expect(row).toContain('You keep Maize');
});

test('a search that finds nothing says what to loosen, with how many there would be', async () => {
  const page = await app.get('/species?group=snake&activity=day&uv=required');
  const words = textOf(page.document.querySelector('[role=status]:not(.notice-place)'));
  expect(words).toContain('No species fits all of this: group: snake, active by day and UV required.');
  const without = /Without “group: snake” there are (\d+)/.exec(words);
  expect(Number(without![1])).toBe(namesOn(await app.get('/species?activity=day&uv=required')).length);
  expect(textOf(await app.get('/species?q=unicorn&group=snake&habit=aquatic'))).toContain(
    'Leaving out one of them is not enough',
  );
});

test.each(['group=cat', 'zone=9', 'zone=1&zone=2', '__proto__=snake', 'kept=no', 'known=all', 'q[]=x'])(
  'an address with %s asks for nothing and shows all species',
  async (query) => {
    const page = await app.get(`/species?${query}`);
    expect(page.status).toBe(200);
    expect(namesOn(page)).toHaveLength(library.species.length);
  },
);

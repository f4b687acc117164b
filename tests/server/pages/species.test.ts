import { expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import { startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake } from '../../support/collection.ts';

const library = readCareLibrary();

test('Every species is listed with a link to a page that shows a source for each of its targets', async () => {
  const { get } = await startApp();
  const list = await get('/species');
  const names = textsOf(list, '.species-list > li > a');
  expect(names).toHaveLength(library.species.length);
  let sources = 0;
  for (const species of library.species) {
    const page = await get(`/species/${species.id}`);
    expect(page.status, species.id).toBe(200);
    expect(textsOf(page, 'h1')).toEqual([species.commonName]);
    const targets = [...page.document.querySelectorAll('main section dl dd')];
    for (const target of targets)
      expect(textOf(target), species.id).toMatch(
        /Source:|; (published|secondary|common practice, no source|from memory, check before relying on it)$/,
      );
    sources += targets.length;
    expect(tableRows(page, 'Space by each rule list')).toHaveLength(species.space.length);
  }
  expect(sources).toBeGreaterThan(library.species.length * 10);
});

test.each([
  ['guttatus', ['Corn snake']],
  ['CORN', ['Corn snake']],
  ['whites tree', ['White’s tree frog']],
  ['testudo hermanni', ['Hermann’s tortoise']],
  ['litoria', ['White’s tree frog']],
  ['geochelone', ['Red-footed tortoise', 'Sulcata tortoise']],
])('A search for %j finds %j by any of its names', async (query, names) => {
  const { get } = await startApp();
  const page = await get(`/species?q=${encodeURIComponent(query)}`);
  expect(textsOf(page, '.species-list > li > a')).toEqual(names);
  expect(page.document.querySelector('#field-q')?.getAttribute('value')).toBe(query);
});

test('A search that finds nothing says so and shows markup in it as text', async () => {
  const { get } = await startApp();
  const page = await get('/species?q=%3Cb%3Eunicorn%3C%2Fb%3E');
  expect(textOf(page)).toContain('No species has a name with “<b>unicorn</b>”');
  expect(page.document.querySelector('main b')).toBe(null);
});

test('The page of an animal that lives under water asks nothing of the air and gives depth and hides in plain words', async () => {
  const { get } = await startApp();
  const page = await get('/species/axolotl');
  const answers = textsOf(page, 'main section dl dd').map((text) => text.split('Source')[0]!.trim());
  const said = textsOf(page, 'main section dl dt').map((what, index) => [what, answers[index]]);
  expect(said).toContainEqual(['Relative humidity', 'Any: it is not scored.']);
  expect(said).toContainEqual(['Depth', 'At least its own length.']);
  expect(said).toContainEqual(['Hides', 'Under water, one for each animal.']);
  expect(said.map(([what]) => what)).not.toContain('Moist hide');
  expect(textOf(await get('/species/fire-bellied-newt'))).toContain(
    'At the cool end and under water, one for each animal.',
  );
});

test('A species that the library does not hold is not found', async () => {
  const { get } = await startApp();
  expect((await get('/species/unicorn')).status).toBe(404);
  expect((await get('/species/__proto__')).status).toBe(404);
});

// German expert report of 1997, bearded dragon: 5 x 4 x 3 snout-vent lengths for a pair, as three pages that quote it agree; their worked
// example is an animal of 23 cm in 115 x 92 x 69 cm.
test('Space is worked out by each rule list at adult size and for the animals that are kept', async () => {
  const app = await appWithSnake({ animal: { species: 'bearded-dragon', name: 'Ember', length: '23 cm' } });
  const page = await app.get('/species/bearded-dragon');
  const columns = textsOf(page, '#space thead th');
  const own = columns.findIndex((words) => words.startsWith('Ember'));
  expect(columns[own]).toBe('Ember, 23 cm');
  const german = tableRows(page, 'Space by each rule list').find((row) =>
    row[0]!.startsWith('German expert report 1997'),
  );
  expect(german?.[own]).toBe('At least 115 cm of length, 1.06 m² of floor and 69 cm of height');
});

test('Sources that put a species in different UV zones stand side by side', async () => {
  const { get } = await startApp();
  const page = await get('/species/corn-snake');
  const terms = textsOf(page, '#uv dt');
  expect(terms.filter((term) => term.startsWith('Placed in zone'))).toEqual(['Placed in zone 1', 'Placed in zone 2']);
  expect(textOf(page.document.querySelector('#uv'))).toContain('from memory, check before relying on it');
  expect(textOf(page.document.querySelector('#uv'))).toContain('tested on this species; published');
});

// The list of 2017 that Norway keeps names the king snake by its older name, Lampropeltis getula.
test('A species is found by an older scientific name, and its page says its home, its light and where law names it', async () => {
  const { get } = await startApp();
  const list = await get('/species?q=getula');
  expect(textsOf(list, '.species-list > li > a')).toEqual(['California king snake']);
  const snake = await get('/species/california-king-snake');
  const facts = 'main > dl.facts';
  expect(textsOf(snake, `${facts} dt`)[0]).toBe('Older scientific names');
  expect(textsOf(snake, `${facts} dd`)[0]).toBe('Lampropeltis getula, Lampropeltis getula californiae');
  expect(textsOf(snake, '#law dt')).toEqual(['Norway', 'European Union']);
  expect(textOf(snake.document.querySelector('#law'))).toContain('Check your local law.');
  expect(textsOf(snake, '#light dd')[0]).toMatch(/^From 23° to 44° north\./);
  const home = async (id: string) => textsOf(await get(`/species/${id}`), '#light dd')[0];
  expect(await home('boa')).toMatch(/^From 30° south to 30° north\./);
  expect(await home('childrens-python')).toMatch(/^From 11° to 20° south\./);
  expect(textsOf(await get('/species/western-hognose'), '#law dt')).toEqual([]);
});

// Austria, 2nd animal keeping ordinance, annex 3, water dragons: one adult male; light 12-14 hours, in winter 2-6 hours less.
test('A water dragon’s page says that one grown male is the most, and how long its light is', async () => {
  const { get } = await startApp();
  const page = await get('/species/chinese-water-dragon');
  expect(textOf(page)).toContain('At most 3 to an enclosure, of them at most 1 grown male.');
  expect(textsOf(page, '#light dd')[1]).toMatch(/^12 to 14 h in the long half of the year, 8 to 12 h in the short\./);
});

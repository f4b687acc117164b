// A keeper's own values and species through the real pages: entered, refused, shown beside what ships, given up and put back.

import { expect, test } from 'vitest';
import { readCareLibrary } from '../../../seed/library.ts';
import { listOverrides, listOwnSpecies } from '../../../server/db/care.ts';
import { FIGURE_NAMES, figuresOf, missingFigures, withFigure } from '../../../src/care-overrides.ts';
import { findSpecies } from '../../../src/species.ts';
import { closeApp, mistakesOf, openApp, startApp, type TestApp, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enter, enterSnake, readingTexts } from '../../support/collection.ts';

const library = readCareLibrary();

const vet = { title: 'What my vet said', year: '2025', address: '', grade: 'agreed-practice', note: 'For mine.' };

/** Enters a value through its form, with everything that the form begins with. */
async function useValue(app: TestApp, path: string, fields: Record<string, string | null>): Promise<void> {
  const answer = await app.submit(await app.get(path), { ...vet, ...fields });
  if (answer.status !== 303) throw new Error(`${path}: ${answer.status} ${textOf(answer)}`);
}

/** A value with its lists of choices sorted: a form knows no order of ticks. */
function inAnyOrder(value: object): object {
  const sorted = (inner: unknown) => (Array.isArray(inner) ? inner.toSorted() : inner);
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, sorted(inner)]));
}

test('From “use another value” to a changed score, back to the shipped value, and put back again', async () => {
  const app = await appWithSnake({ animal: { species: 'leopard-gecko', name: 'Ember', length: '12 cm' } });
  const parts = () => app.get('/animals/1').then((page) => textOf(page));
  await enter(app, '/enclosures/1/readings/new?kind=night-air', { ...readingTexts, value: '16', hour: '2' });
  const before = await parts();

  const page = await app.get('/species/leopard-gecko');
  const link = [...page.document.querySelectorAll('#temperature a')].find(
    (one) => one.getAttribute('aria-label') === 'Use another value for air at night',
  );
  const form = await app.get(link!.getAttribute('href')!);
  expect(textOf(form)).toContain('Shipped: 18 to 26 °C');
  const sent = await app.submit(form, { ...vet, low: '57F', high: '26' });
  expect(sent.location).toBe('/species/leopard-gecko?done=added');

  const shown = await app.get('/species/leopard-gecko');
  const section = textOf(shown.document.querySelector('#temperature'));
  expect(section).toContain('Yours: 13.9 to 26 °C');
  expect(section).toContain(
    'Source: What my vet said; entered by the keeper; 2025 agreed practice; your own entry For mine.',
  );
  expect(section).toContain('Shipped: 18 to 26 °C');
  const after = await parts();
  expect(after).not.toBe(before);
  // 16 °C lies within the band of the vet, so that the night costs no point any more.
  expect(before).toContain('16 °C');
  expect(after).not.toContain('16 °C');

  const edit = await app.get('/care-values/1/edit');
  expect(edit.document.querySelector('#field-low')?.getAttribute('value')).toBe('57F');
  const back = await app.submit(await app.get('/care-values/1/remove'));
  expect(back.status).toBe(303);
  expect(await parts()).toBe(before);
  const gone = await app.get('/species/leopard-gecko');
  expect(textOf(gone.document.querySelector('#temperature'))).not.toContain('Yours');
  await app.submit(gone, {}, '/care-values/1/put-back');
  expect(await parts()).toBe(after);
});

test('A vet’s value for one animal leaves every other of its species as it was', async () => {
  const app = await appWithSnake();
  await enter(app, '/animals/new', {
    ...{ name: 'Second', species: 'corn-snake', enclosure: '1', length: '' },
    measuredOn: '',
    hatchedOn: '',
    sex: 'male',
    coolingFrom: '',
    coolingTo: '',
    restFrom: '',
    restTo: '',
    notes: '',
  });
  const of = async (id: string) => textOf(await app.get(`/animals/${id}`));
  const [mine, other] = [await of('1'), await of('2')];
  await useValue(app, '/species/corn-snake/values/grouping?animal=1', { atMost: '2', animal: '1' });
  expect(await of('1')).not.toBe(mine);
  expect(await of('2')).toBe(other);
  const page = await app.get('/species/corn-snake');
  expect(textOf(page.document.querySelector('#individuals'))).toContain('Maize: company At most 2 to an enclosure');
  expect(textOf(page.document.querySelector('#size'))).not.toContain('Yours');
});

test('Every figure that a species has, or could have, can be overridden with the texts its form begins with', async () => {
  const app = await openApp();
  try {
    let tried = 0;
    for (const id of ['corn-snake', 'hermanns-tortoise', 'red-eared-slider', 'whites-tree-frog']) {
      const species = findSpecies(library, id);
      for (const key of figuresOf(species)) {
        const path = `/species/${id}/values/${key}`;
        const room =
          key === 'space' ? { 'shape-lengthMm': '2 m', 'shape-depthMm': '80 cm', 'shape-heightMm': '1 m' } : {};
        await useValue(app, path, room);
        tried += 1;
      }
      for (const key of missingFigures(species))
        expect((await app.get(`/species/${id}/values/${key}`)).status).toBe(200);
    }
    expect(listOverrides(app.db)).toHaveLength(tried);
    // The value of each is the shipped one, as the form began with it.
    for (const one of listOverrides(app.db)) {
      if (one.figure === 'space') continue;
      if (one.figure === 'uv-zones' || Array.isArray(one.value)) expect(one.value).not.toHaveLength(0);
      else expect(inAnyOrder(one.value), `${one.speciesId} ${one.figure}`).toEqual(inAnyOrder(one.shipped!));
    }
    expect(new Set(listOverrides(app.db).map(({ figure }) => figure)).size).toBeGreaterThan(FIGURE_NAMES.length - 3);
    for (const id of ['corn-snake', 'hermanns-tortoise', 'red-eared-slider', 'whites-tree-frog']) {
      const page = await app.get(`/species/${id}`);
      expect(page.status).toBe(200);
      expect(textOf(page.document.querySelector('#space'))).toContain(
        'Your own value stands in place of all other rules',
      );
    }
  } finally {
    await closeApp(app);
  }
});

test.each([
  [
    'the lower end above the upper',
    'leopard-gecko',
    'temperature-night-air',
    { low: '30', high: '20' },
    'low',
    'lower one must not be above',
  ],
  ['a number beyond belief', 'leopard-gecko', 'temperature-night-air', { high: '60' }, 'high', '35 °C or less'],
  [
    'an amphibian that may be hot',
    'whites-tree-frog',
    'temperature-cool-end-air',
    { toleranceAbove: '6' },
    'toleranceAbove',
    'at most 1 °C',
  ],
  ['no zone', 'corn-snake', 'uv-zones', { 'zone-1': null, 'zone-2': null }, 'zone-1', 'Choose at least one'],
  [
    'half a band at night',
    'corn-snake',
    'humidity',
    { 'night-low': '40', 'night-high': '' },
    'night-high',
    'both ends',
  ],
  ['half a size', 'corn-snake', 'space', { 'shape-lengthMm': '2 m' }, 'shape-depthMm', 'length and the depth'],
  [
    'two ways at once',
    'corn-snake',
    'space',
    { 'shape-lengthMm': '2 m', 'shape-length': '2' },
    'shape-length',
    'not both',
  ],
  ['a page that is none', 'corn-snake', 'growth', { address: 'page 3' }, 'address', 'whole web address'],
  ['no source', 'corn-snake', 'growth', { title: '' }, 'title', 'Fill in where you have it from'],
  ['no grade', 'corn-snake', 'growth', { grade: '' }, 'grade', 'Choose one of the answers'],
  [
    'more males than animals',
    'corn-snake',
    'grouping',
    { atMost: '2', atMostMales: '3' },
    'atMostMales',
    'cannot be more of them',
  ],
])(
  'A value with %s is refused at its field, with all that was typed kept',
  async (_, id, figure, fields, field, words) => {
    const app = await startApp();
    const path = `/species/${id}/values/${figure}`;
    const answer = await app.submit(await app.get(path), { ...vet, ...fields } as Record<string, string | null>);
    expect(answer.status).toBe(422);
    const mistakes = mistakesOf(answer);
    expect(mistakes.map((one) => one.field)).toContain(field);
    expect(mistakes.find((one) => one.field === field)?.message).toContain(words);
    if (!('title' in fields))
      expect(answer.document.querySelector('#field-title')?.getAttribute('value')).toBe(vet.title);
    expect(listOverrides(app.db)).toEqual([]);
  },
);

test('A second value for the same figure is refused, and a changed one that was changed elsewhere is shown beside it', async () => {
  const app = await startApp();
  const path = '/species/corn-snake/values/grouping';
  await useValue(app, path, { atMost: '2' });
  const second = await app.submit(await app.get(path), { ...vet, atMost: '3' });
  expect(second.status).toBe(422);
  expect(textOf(second)).toContain('You use a value of your own here already');
  const form = await app.get('/care-values/1/edit');
  await app.submit(form, { atMost: '3' });
  const late = await app.submit(form, { atMost: '4' });
  expect(late.status).toBe(409);
  expect(textOf(late)).toContain('your value for company was changed elsewhere');
});

test('Figures, species and values that are not there are not found', async () => {
  const { get } = await startApp();
  for (const path of [
    '/species/unicorn/values/growth',
    '/species/corn-snake/values/__proto__',
    '/species/corn-snake/values/winter-rest.space',
    '/species/leopard-gecko/values/winter-rest.humidity',
    '/care-values/9/edit',
    '/own-species/9/edit',
    '/species/unicorn/file',
  ])
    expect((await get(path)).status, path).toBe(404);
});

const names = {
  commonName: 'Shade gecko',
  scientificName: 'Eublepharis umbra',
  otherNames: 'Dusk gecko, Night gecko',
  group: 'lizard',
  activity: 'night',
  habit: 'ground',
};

test('A species begun from a relative says at every figure that it was copied, and animals of it are scored', async () => {
  const app = await startApp();
  const form = await app.get('/own-species/new?from=leopard-gecko');
  const added = await app.submit(form, names);
  expect(added.location, textOf(added)).toBe('/species/shade-gecko?done=added');
  const page = await app.get('/species/shade-gecko');
  for (const section of ['#temperature', '#humidity', '#furnishing', '#size'])
    for (const row of textsOf(page, `${section} dd`))
      expect(row).toContain('Copied from Leopard gecko, check before relying on it.');
  await enterSnake(app, { animal: { species: 'shade-gecko', name: 'Dusk', length: '12 cm' } });
  expect(textOf(await app.get('/animals/1'))).toContain('Shade gecko');
  expect(textsOf(await app.get('/animals/1'), '.need').length).toBeGreaterThan(5);
  expect(textsOf(await app.get('/species?q=dusk'), '.species-list > li > a')).toEqual(['Shade gecko']);

  const remove = await app.get('/own-species/1/remove');
  expect(remove.status).toBe(409);
  expect(textOf(remove)).toContain('Dusk is of this species, so it cannot be removed.');
  const renamed = await app.submit(await app.get('/own-species/1/edit'), { commonName: 'Umbra gecko' });
  expect(renamed.status).toBe(303);
  expect(textsOf(await app.get('/species/shade-gecko'), 'h1')).toEqual(['Umbra gecko']);
});

test('A species begun from the least is scored on what was given alone, and grows figure by figure', async () => {
  const app = await startApp();
  const least = {
    measure: 'snout-vent',
    lowMm: '10 cm',
    highMm: '13 cm',
    monthsToAdult: '12',
    atMost: '1',
    'day-low': '50',
    'day-high': '70',
    need: 'optional-response-found',
    'hours-low': '2',
    'hours-high': '12',
    ...{ title: 'A book', year: '', address: '', grade: 'hearsay' },
  };
  const added = await app.submit(await app.get('/own-species/new?from=nothing'), { ...names, ...least });
  expect(added.status).toBe(303);
  await enterSnake(app, { animal: { species: 'shade-gecko', name: 'Dusk', length: '12 cm' } });
  const animal = textOf(await app.get('/animals/1'));
  expect(animal).toContain('Heat is not scored: no target is known for this species.');
  for (const path of [
    '/',
    '/animals/1/space',
    '/enclosures/1',
    '/enclosures/1/light',
    '/enclosures/1/warmth',
    '/upgrades',
    '/species',
  ])
    expect((await app.get(path)).status, path).toBe(200);
  const page = await app.get('/species/shade-gecko');
  expect(textOf(page.document.querySelector('#missing'))).toContain('Hot-spot surface');
  await useValue(app, '/species/shade-gecko/values/temperature-night-air', { low: '18', high: '24' });
  await useValue(app, '/species/shade-gecko/values/space', { 'shape-length': '4', 'shape-depth': '3' });
  expect(textOf(await app.get('/animals/1'))).not.toContain('Heat is not scored');

  const bad = await app.submit(await app.get('/own-species/new?from=nothing'), {
    ...names,
    ...least,
    commonName: 'Other gecko',
    scientificName: 'gecko',
    'day-low': '80',
  });
  expect(bad.status).toBe(422);
  expect(mistakesOf(bad).map(({ field }) => field)).toContain('scientificName');
  const twice = await app.submit(await app.get('/own-species/new?from=nothing'), { ...names, ...least });
  expect(mistakesOf(twice)).toMatchObject([{ field: 'commonName' }]);
});

test('A species saved as a file is taken by another ledger and comes out of it as it went in', async () => {
  const first = await startApp();
  await first.submit(await first.get('/own-species/new?from=leopard-gecko'), names);
  await useValue(first, '/species/shade-gecko/values/temperature-night-air', { low: '17' });
  const file = await first.get('/species/shade-gecko/file');
  expect(file.headers['content-type']).toContain('application/json');
  expect(file.headers['content-disposition']).toBe('attachment; filename="shade-gecko.json"');

  const second = await startApp();
  const form = await second.get('/own-species/file');
  const added = await second.submit(form, { file: file.body });
  expect(added.location).toBe('/species/shade-gecko?done=added');
  expect((await second.get('/species/shade-gecko/file')).body).toBe(file.body);
  expect(textOf(await second.get('/species/shade-gecko'))).toContain('17 to 26 °C');

  const shipped = await second.get('/species/corn-snake/file');
  expect(JSON.parse(shipped.body)).toEqual(findSpecies(library, 'corn-snake'));
});

test.each([
  ['no JSON', '{ "id": ', 'This is no JSON'],
  ['a list', '[]', 'the whole'],
  ['a band upside down', null, 'humidity.day.low: low must not be above high'],
  [
    'an id that is there',
    JSON.stringify(findSpecies(library, 'corn-snake')),
    'a species with the id corn-snake is there already',
  ],
])('A file with %s is refused by name, and nothing of it is kept', async (_, text, words) => {
  const app = await startApp();
  const gecko = findSpecies(library, 'leopard-gecko');
  const upside = { ...gecko, id: 'other-gecko', humidity: { ...gecko.humidity, day: { low: 60, high: 40 } } };
  const answer = await app.submit(await app.get('/own-species/file'), { file: text ?? JSON.stringify(upside) });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toMatchObject([{ field: 'file' }]);
  expect(mistakesOf(answer)[0]?.message).toContain(words);
  expect(listOwnSpecies(app.db)).toEqual([]);
});

test('An update of a target stands on the first page until it is read, and on the page of the species after that', async () => {
  const first = await openApp();
  await enterSnake(first);
  await useValue(first, '/species/corn-snake/values/grouping', { atMost: '2' });
  const { db } = first;
  await first.app.close();
  const corn = findSpecies(library, 'corn-snake');
  const night = corn.temperatures.find(({ kind }) => kind === 'night-air')!;
  let later = withFigure(corn, 'temperature-night-air', { ...night, low: 10 as never });
  later = withFigure(later, 'grouping', { ...corn.grouping, atMost: 4 });
  const second = await startApp({
    db,
    library: { ...library, species: library.species.map((one) => (one.id === 'corn-snake' ? later : one)) },
  });
  const home = await second.get('/');
  expect(textOf(home)).toContain('Shipped targets changed on 15 January 2026');
  expect(textOf(home)).toMatch(/Corn snake\. Air at night: 18 to 25 °C until then, 10 to 25 °C now\./);
  await second.submit(home, {}, '/care-updates/1/read');
  expect(textOf(await second.get('/'))).not.toContain('Shipped targets changed');
  const page = await second.get('/species/corn-snake');
  expect(textOf(page)).toContain('Shipped targets changed on 15 January 2026');
  const company = textOf(page.document.querySelector('#size'));
  expect(company).toContain('Yours: At most 2 to an enclosure');
  expect(company).toContain('The shipped value was changed since you entered yours.');
});

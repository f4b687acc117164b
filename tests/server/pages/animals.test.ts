import { expect, test } from 'vitest';
import { findAnimal, loadCollection } from '../../../server/db/collection.ts';
import { changeLedger } from '../../../server/db/ledger.ts';
import {
  findForm,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  tableRows,
  textOf,
  textsOf,
} from '../../support/app.ts';
import {
  animalTexts,
  appWithSnake,
  enclosureTexts,
  enter,
  enterSnake,
  readingTexts,
} from '../../support/collection.ts';

const need = async (app: TestApp, name: string) =>
  textOf((await app.get('/animals/1')).document.getElementById(`need-${name}`));

const fitted = (name: string, more: Record<string, string> = {}) => ({
  name,
  fittedOn: '2025-07-01',
  whenBoxReplaced: 'moves',
  ...more,
});

test('Without an enclosure the list of animals sends the keeper to enter one first', async () => {
  const app = await startApp();
  const page = await app.get('/animals');
  expect(textOf(page)).toContain('No animal is entered yet');
  expect(page.document.querySelector('.empty-state a')?.getAttribute('href')).toBe('/enclosures/new');
});

test('An animal is entered from its enclosure, measured in inches, and its form shows it as typed', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  const form = await app.get('/animals/new?enclosure=1');
  expect(formValues(findForm(form)).enclosure).toBe('1');
  const answer = await app.submit(form, {
    ...animalTexts,
    length: '51 in',
    pale: 'yes',
    coolingFrom: '11',
    coolingTo: '2',
  });
  expect(answer.location).toBe('/animals/1?done=added');
  expect(findAnimal(app.db, 1)).toMatchObject({
    speciesId: 'corn-snake',
    enclosureId: '1',
    lengthMm: 1295.4,
    paleMorph: true,
    seasons: [{ season: 'cooling', fromMonth: 11, toMonth: 2 }],
  });
  expect(formValues(findForm(await app.get('/animals/1/edit')))).toMatchObject({
    length: '51 in',
    pale: 'yes',
    coolingFrom: '11',
  });
});

test.each([
  [{ name: ' ' }, 'name', 'Fill in the name.'],
  [{ species: 'unicorn' }, 'species', 'Choose one of the answers listed for the species.'],
  [{ species: '' }, 'species', 'Choose one of the answers listed for the species.'],
  [{ enclosure: '7' }, 'enclosure', 'Choose one of the answers listed for where it lives.'],
  [{ length: '-3' }, 'length', 'Check the length: it must be between 0.1 cm and 2000 cm.'],
  [{ length: '1.234,5 cm' }, 'length', 'Write the length as a number, with its unit if you like.'],
  [
    { length: '1,300 mm' },
    'length',
    'Write the length so that the comma cannot be a thousands separator, such as 1200 or 1.2.',
  ],
  [{ length: '' }, 'length', 'Fill in the length, or leave its day empty.'],
  [{ measuredOn: '' }, 'measuredOn', 'Fill in the day it was measured.'],
  [{ measuredOn: '2027-01-01' }, 'measuredOn', 'Check the day it was measured: it lies in the future.'],
  [
    { hatchedOn: '2026-02-31' },
    'hatchedOn',
    'Give the day it hatched as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
  ],
  [{ hatchedOn: '2026-01-10' }, 'measuredOn', 'Check the day it was measured: it lies before the day it hatched.'],
  [{ coolingFrom: '11' }, 'coolingTo', 'Choose both the first and the last month of this season, or neither.'],
  [{ restFrom: '13', restTo: '2' }, 'restFrom', 'Give the first month of winter rest as a whole number from 1 to 12.'],
  [
    { species: 'leopard-gecko', restFrom: '12', restTo: '2' },
    'restFrom',
    'No targets for winter rest are known for this species: leave both months undated.',
  ],
] as [Record<string, string>, string, string][])(
  'A new animal with %j comes back with a sentence at the field',
  async (texts, field, message) => {
    const app = await startApp();
    await enter(app, '/enclosures/new', enclosureTexts);
    const typed: Record<string, string> = { ...animalTexts, notes: 'shy', ...texts };
    const answer = await app.post('/animals/new', typed);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    const shown = formValues(findForm(answer));
    const offered = { species: ['corn-snake', 'leopard-gecko', ''], enclosure: ['1'], restFrom: ['12', ''] } as Record<
      string,
      string[]
    >;
    for (const [name, text] of Object.entries(typed)) {
      if (offered[name]?.includes(text) ?? true) expect(shown[name], name).toBe(text);
    }
    expect(loadCollection(app.db).animals).toEqual([]);
  },
);

test('An animal that was never measured or lives nowhere can be entered, and says what is missing', async () => {
  const app = await appWithSnake({ animal: { length: '', measuredOn: '' } });
  await enter(app, '/animals/new', { ...animalTexts, name: 'Drifter', enclosure: 'nowhere' });
  expect(await need(app, 'space')).toContain('The length of the animal was never measured');
  expect(textOf((await app.get('/animals/1')).document.querySelector('.measure-first'))).toContain('Enter the length');
  const list = await app.get('/animals');
  expect(textOf(list)).toContain('Drifter (Corn snake): not scored until you say where it lives.');
  expect(textOf(await app.get('/animals/2'))).toContain('Drifter lives in no enclosure of this ledger');
});

test('Animals are listed worst off first, each with its score in words and its worst needs by name', async () => {
  const app = await appWithSnake();
  await enter(app, '/enclosures/new', {
    ...enclosureTexts,
    name: 'Great box',
    length: '2 m',
    depth: '1.2 m',
    height: '1.6 m',
  });
  await enter(app, '/animals/new', { ...animalTexts, name: 'Second', enclosure: '2' });
  await enter(app, '/enclosures/2/fittings/new?kind=hide', fitted('Bark', { place: 'warm' }));
  const page = await app.get('/animals');
  expect(textsOf(page, '.need-name a')).toEqual(['Maize', 'Second']);
  for (const score of textsOf(page, '.score-text'))
    expect(score).toMatch(/^(Far short|Part way|Near|Meets the target): \d+ of 100/);
  expect(textsOf(page, '.need-note')[0]).toBe('Severely short: Heat.');
  expect(textsOf(page, '.chart-dot-ember')).toHaveLength(2);
  expect(tableRows(page, 'The scores of all animals')).toHaveLength(2);
});

test('The score page explains a missing heater with the band of the target, its source and how well it is known', async () => {
  const app = await appWithSnake();
  const heat = await need(app, 'heat');
  expect(heat).toContain('Nothing that heats is fitted, and the floor of the warm hide should lie within 28 to 32 °C.');
  expect(heat).toContain('from memory, check before relying on it');
  const page = await app.get('/animals/1');
  expect(textOf(page)).toContain('Heat is severely short: 0 of 100. Put this right before anything else.');
  const names = textsOf(page, '.need-name');
  expect(names[0]).toBe('Heat severe');
});

// German expert report of 1997, corn snake, at most two: 1.0 x 0.5 x 1.0 total lengths (as the vets' association quotes the row).
test('The score page names the rule that finds the enclosure too small, what it asks for and its source', async () => {
  const app = await appWithSnake();
  const space = await need(app, 'space');
  expect(space).toContain('The enclosure has 35 % of the height it should have');
  expect(space).toContain('at least 130 cm of length, 0.84 m² of floor and 130 cm of height');
  expect(space).toContain('German federal ministry of agriculture');
  expect(space).toContain('agreed practice; secondary');
});

// Acierno et al. 2008, American Journal of Veterinary Research 69:294: vitamin D rose under a lamp, so a missing lamp starts at 40.
test('A missing UV lamp where UV is optional costs points and names the trial', async () => {
  const app = await appWithSnake();
  const uv = await need(app, 'uv');
  expect(uv).toContain('Part way: 40 of 100');
  expect(uv).toContain('For this species it is optional, so the need does not fall to 0.');
  expect(uv).toContain('American Journal of Veterinary Research 69:294');
  expect(uv).toContain('tested on this species; published');
});

test('What is only unknown stands in its own list, each line with a form for its own kind and enclosure', async () => {
  const app = await appWithSnake();
  const page = await app.get('/animals/1');
  const links = [...page.document.querySelectorAll('.measure-first a')].map((one) => one.getAttribute('href'));
  expect(links).toContain('/enclosures/1/readings/new?kind=cool-end-air');
  expect(links).toContain('/enclosures/1/checks');
  const reading = await app.get('/enclosures/1/readings/new?kind=cool-end-air');
  expect((await app.submit(reading, { ...readingTexts, value: '24' })).status).toBe(303);
  const after = await app.get('/animals/1');
  expect([...after.document.querySelectorAll('.measure-first a')].map((one) => one.getAttribute('href'))).not.toContain(
    '/enclosures/1/readings/new?kind=cool-end-air',
  );
  expect(textOf(after)).toContain('Until this is known it counts as 50 of 100.');
});

test('A cap is told in one sentence, with the mean that it hides', async () => {
  const app = await appWithSnake({ enclosure: { length: '2 m', depth: '1.2 m', height: '2 m' } });
  const checks = await app.get('/enclosures/1/checks');
  await app.submit(checks, { 'escape-proof': 'yes', 'nothing-toxic': 'yes' });
  for (const place of ['warm', 'cool', 'moist'])
    await enter(
      app,
      `/enclosures/1/fittings/new?kind=${place === 'moist' ? 'moist-hide' : 'hide'}`,
      fitted(place, { place }),
    );
  for (const kind of ['branches', 'deep-substrate', 'feeding-toy'])
    await enter(app, `/enclosures/1/fittings/new?kind=${kind}`, fitted(kind));
  await enter(app, '/enclosures/1/readings/new?kind=humidity-day', { ...readingTexts, value: '50' });
  const page = textOf(await app.get('/animals/1'));
  expect(page).toContain('Heat holds the score down: good values elsewhere lift it at most 30 points above that need.');
  expect(page).toMatch(
    /Far short: 30 of 100.*Without that limit the weighted mean of its needs is \d+; with every need counting the same it is \d+\./,
  );
});

test('A floor that burns is severe though its target is from memory, which the page says, with what the score rests on', async () => {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/fittings/new?kind=heat-mat', fitted('Old mat'));
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', { ...readingTexts, value: '45' });
  expect(await need(app, 'heat')).toContain(
    'It counts as severely short because it can injure, though its target is from memory alone: act on it now, and check this target',
  );
  expect(await need(app, 'heat')).toContain('severe ');
  // Of the weights of a corn snake, 100 without water, heat weighs 20 and humidity, never read, 10: both are from memory.
  expect(textOf(await app.get('/animals/1'))).toContain(
    '30 % of the weight of this score hangs on targets from memory',
  );
});

test('Where the sexes of a group are unknown the keeper is asked for them before anything is bought', async () => {
  const app = await startApp();
  const animal = { species: 'hermanns-tortoise', length: '16 cm', sex: 'unknown' };
  await enterSnake(app, { animal });
  await enter(app, '/animals/new', { ...animalTexts, ...animal, name: 'Second', sex: 'male' });
  const page = await app.get('/animals/1');
  expect(textOf(page)).toContain('it is not known how many of them are males');
  const link = [...page.document.querySelectorAll('a')].find((one) => textOf(one) === 'Enter the sex');
  expect(link?.getAttribute('href')).toBe('/animals/1/edit');
  await enter(app, '/animals/1/edit', { ...animalTexts, ...animal, sex: 'male', version: '1' });
  expect(textOf(await app.get('/animals/1'))).toContain(
    '2 grown males share the enclosure; at most 1 of this species may',
  );
});

test('A dated season asks for the day of a vet check, which is kept, and says when it is missing or too old', async () => {
  const app = await startApp();
  const dated = { coolingFrom: '11', coolingTo: '2' };
  await enterSnake(app, { animal: dated });
  const missing = await app.get('/animals/1');
  expect(textOf(missing)).toContain('No check by a vet is entered for Maize: winter rest and cooling only after one');
  expect(textOf(missing)).toContain('common practice, no source');
  const change = (vetCheckedOn: string, version: string) =>
    app.post('/animals/1/edit', { ...animalTexts, ...dated, vetCheckedOn, version });
  expect((await change('2026-01-16', '1')).status).toBe(422);
  await change('2024-11-02', '1');
  expect(textOf(await app.get('/animals/1'))).toContain('by a vet was on 2 November 2024, over 12 months before');
  await change('2025-10-20', '2');
  const page = textOf(await app.get('/animals/1'));
  expect(page).not.toContain('winter rest and cooling only after one');
  expect(page).toContain('20 October 2025');
  expect(findAnimal(app.db, 1)!.vetCheckedOn).toBe('2025-10-20');
  expect(formValues(findForm(await app.get('/animals/1/edit'))).vetCheckedOn).toBe('2025-10-20');
});

test('States are dated from a day to a day or until further notice, and a last day needs a first one before it', async () => {
  const app = await appWithSnake();
  const change = (fields: Record<string, string>) =>
    app.post('/animals/1/edit', { ...animalTexts, version: '1', ...fields });
  const wrong = await change({ gravidTo: '2026-02-01', quarantineFrom: '2026-02-02', quarantineTo: '2026-02-01' });
  expect(wrong.status).toBe(422);
  expect(mistakesOf(wrong).map((one) => one.field)).toEqual(['gravidFrom', 'quarantineTo']);
  expect((await change({ quarantineFrom: '2026-01-02' })).status).toBe(303);
  expect(findAnimal(app.db, 1)!.states).toEqual([{ state: 'quarantine', from: '2026-01-02', to: null }]);
  const page = textOf(await app.get('/animals/1'));
  expect(page).toContain('in quarantine from 2 January 2026 until further notice, judged as usual');
  expect(formValues(findForm(await app.get('/animals/1/edit')))).toMatchObject({
    quarantineFrom: '2026-01-02',
    gravidFrom: '',
  });
});

test('A need that does not count says why, and the page tells season and stage', async () => {
  const app = await appWithSnake({ animal: { coolingFrom: '11', coolingTo: '2' } });
  const page = textOf(await app.get('/animals/1'));
  expect(page).toContain('Water does not');
  expect(page).toContain('adult, in cooling');
  expect(page).toContain('cooling from November to February');
});

test('Space is told for today and for adult size when the animal still grows', async () => {
  const app = await appWithSnake({ animal: { length: '60 cm', hatchedOn: '2025-03-01' } });
  const page = textOf(await app.get('/animals/1'));
  expect(page).toMatch(
    /Today, 60 cm when last measured: .*At the small end of adult size, .*: Far short.*At the large end of adult size/,
  );
});

test('The score page warns that only a vet judges the animal, and never calls a set-up safe', async () => {
  const app = await appWithSnake();
  for (const path of ['/animals/1', '/enclosures/1', '/animals', '/enclosures']) {
    expect(textOf(await app.get(path)), path).not.toMatch(/\bsafe\b/i);
  }
  const caution = textOf((await app.get('/animals/1')).document.querySelector('.caution'));
  expect(caution).toContain('never how the animal feels');
  expect(caution).toContain('needs a reptile vet, whatever the score');
});

test('In a ledger of Fahrenheit and inches every sentence is in them', async () => {
  const app = await startApp();
  changeLedger(app.db, 1, { unitSystem: 'imperial' });
  await enterSnake(app);
  await enter(app, '/enclosures/1/readings/new?kind=cool-end-air', { ...readingTexts, value: '88' });
  const heat = await need(app, 'heat');
  expect(heat).toContain('it reads 88 °F and should lie within 68 to 79 °F');
  expect(heat).not.toContain('°C');
});

test('Of two people who change an animal the second sees both versions', async () => {
  const app = await appWithSnake();
  const [first, second] = [await app.get('/animals/1/edit'), await app.get('/animals/1/edit')];
  await app.submit(first, { name: 'Maizie' });
  const conflict = await app.submit(second, { notes: 'eats well' });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toContainEqual(['Name', 'Maizie', 'Maize']);
  expect(findAnimal(app.db, 1)).toMatchObject({ name: 'Maizie', notes: '' });
});

test('A removed animal is no longer scored and comes back as it was', async () => {
  const app = await appWithSnake();
  const before = loadCollection(app.db);
  expect((await app.submit(await app.get('/animals/1/remove'))).location).toBe('/animals?done=removed-kept');
  const list = await app.get('/animals');
  expect(textsOf(list, '.score-text')).toEqual([]);
  expect(textOf(list)).toContain('Maize, removed on 15 January 2026');
  expect((await app.get('/animals/1')).status).toBe(404);
  await app.submit(list, {}, '/animals/1/put-back');
  expect(loadCollection(app.db)).toEqual(before);
});

test.each(['/animals/5', '/animals/5/edit', '/animals/5/remove', '/animals/x'])(
  'There is no animal at %s',
  async (path) => {
    const app = await startApp();
    expect((await app.get(path)).status).toBe(404);
  },
);

test('An animal whose enclosure holds nothing yet is sent to enter what is fitted, and dates are written as the ledger says', async () => {
  const app = await startApp();
  changeLedger(app.db, 1, { locale: 'en-US', unitSystem: 'imperial' });
  await enterSnake(app);
  const page = await app.get('/animals/1');
  expect(textOf(page)).toContain('Nothing is entered as fitted in “Top shelf” yet, so the score takes it as empty.');
  expect(page.document.querySelector('.empty-state a')?.getAttribute('href')).toBe('/enclosures/1/fittings/new');
  expect(textOf(page)).toContain('on January 5, 2026');
  expect(textOf(await app.get('/enclosures/1'))).toContain('June 1, 2025; older readings do not count');
  expect(textOf(await app.get('/enclosures/new'))).toContain('In inches unless you write another unit');
  await enter(app, '/enclosures/1/fittings/new?kind=hide', fitted('Cork tube'));
  expect(textOf(await app.get('/animals/1'))).not.toContain('Nothing is entered as fitted');
});

import { expect, test } from 'vitest';
import { loadCollection } from '../../../server/db/collection.ts';
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
import { appWithSnake, enclosureTexts, enter, enterInstrument, readingTexts } from '../../support/collection.ts';
import { keepAnimal, keepEnclosure, keepFitting } from '../../support/ledger.ts';
import { makeAnimal, makeBox, makeFitting } from '../../support/make.ts';

const url = '/enclosures/1/round';

async function withSnake(): Promise<TestApp> {
  const app = await appWithSnake();
  await enterInstrument(app, 'Probe', {
    'kind-warm-hide-floor': 'yes',
    'kind-cool-end-air': 'yes',
    'error-temperature': '0.5',
  });
  await enterInstrument(app, 'Hygrometer', { 'kind-humidity-day': 'yes', 'error-humidity': '3 %' });
  return app;
}

test('What is due stands open in walking order with what was read before and the target; the rest is folded', async () => {
  const app = await withSnake();
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', { ...readingTexts, takenOn: '2025-12-01' });
  await enter(app, '/enclosures/1/readings/new?kind=night-air', {
    ...readingTexts,
    value: '20',
    takenOn: '2026-01-10',
  });
  const page = await app.get(url);
  const open = [...page.document.querySelectorAll('.field-group .round-stop > .field > label')].map((one) =>
    textOf(one),
  );
  expect(open).toEqual([
    'Temperature of the floor of the warm hide',
    'Temperature of the air at the cool end',
    'Relative humidity by day',
  ]);
  expect(textOf(page.document.getElementById('field-value-warm-hide-floor-hint'))).toBe(
    'Before: 30 °C, measured on 1 December 2025. Older than 30 days. Target: 28 to 32 °C.',
  );
  expect(textOf(page.document.getElementById('field-value-humidity-day-hint'))).toBe('Never read. Target: 40 to 60 %.');
  expect(textOf(page.document.querySelector('.round-rest > summary'))).toBe('Not due, or without a target (9)');
  expect(page.document.getElementById('field-value-warm-hide-floor')!.getAttribute('inputmode')).toBe('decimal');
  // Noon UTC in January is noon in the time zone of a new ledger.
  expect(formValues(findForm(page))).toMatchObject({ takenOn: '2026-01-15', hour: '12' });
});

test('A round is saved at once with one instrument, hour and room; each reading may differ', async () => {
  const app = await withSnake();
  const answer = await app.submit(await app.get(url), {
    room: '20',
    meter: '1',
    'value-warm-hide-floor': '86F',
    'value-cool-end-air': '24,5',
    'hour-cool-end-air': '9',
    'value-humidity-day': '50',
    'meter-humidity-day': '2',
    'value-night-air': '21',
    'notes-night-air': 'before the lights',
  });
  expect(answer.location).toBe('/enclosures/1/round/saved?readings=1,2,3,4');
  const { readings } = loadCollection(app.db);
  // Kept in walking order. 86 °F is 30 °C (NIST SP 811, appendix B).
  expect(
    readings.map(({ kind, value, hour, instrument, accuracy, roomCelsius }) => ({
      kind,
      value,
      hour,
      instrument,
      accuracy,
      roomCelsius,
    })),
  ).toEqual([
    { kind: 'warm-hide-floor', value: 30, hour: 12, instrument: 'Probe', accuracy: 0.5, roomCelsius: 20 },
    { kind: 'cool-end-air', value: 24.5, hour: 9, instrument: 'Probe', accuracy: 0.5, roomCelsius: 20 },
    { kind: 'night-air', value: 21, hour: 12, instrument: '', accuracy: null, roomCelsius: 20 },
    { kind: 'humidity-day', value: 50, hour: 12, instrument: 'Hygrometer', accuracy: 3, roomCelsius: 20 },
  ]);
  expect(textOf(await app.get('/enclosures/1'))).toContain('before the lights');
});

test('After saving the page says what the readings changed in the score', async () => {
  const app = await withSnake();
  await enter(app, '/enclosures/1/fittings/new?kind=heat-mat', {
    name: 'Mat',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  const needBefore = textOf(await app.get('/animals/1'));
  const answer = await app.submit(await app.get(url), {
    'value-warm-hide-floor': '30',
    'value-cool-end-air': '24',
    'value-night-air': '21',
    'value-humidity-day': '50',
  });
  const saved = await app.get(answer.location!);
  expect(saved.status).toBe(200);
  expect(textOf(saved)).toContain('4 readings were saved.');
  // A heat and a humidity that were only unknown stood in the middle, at 50; all four values lie inside their bands. A warm and a cool
  // place that are both good are a choice, one of the enrichments.
  expect(textsOf(saved, '.reason-list li').slice(0, 2)).toEqual([
    'Heat: 50 before, 100 now. The temperature of the floor of the warm hide is known now. The temperature of the air at the cool end is known now. The temperature of the air at night is known now.',
    'Humidity: 50 before, 100 now. The relative humidity by day is known now.',
  ]);
  expect(textsOf(saved, '.reason-list li')[2]).toMatch(
    /^Enrichment and choice: 0 before, \d+ now\. A warm place and a cool one are both read now/,
  );
  expect(textOf(saved)).not.toContain('Outside the target now');
  expect(textOf(saved)).toMatch(/The score (rises from \d+ to \d+|stays at \d+)\. It is known more closely now\./);
  expect(tableRows(saved, 'Readings of this round')[0]).toEqual([
    'Temperature of the floor of the warm hide',
    '30 °C',
    'Change',
  ]);
  expect(needBefore).not.toBe(textOf(await app.get('/animals/1')));
});

// The library: a hot spot of 38 to 43 degrees for a bearded dragon, a cool end of 24 to 29.
test('What lies outside its target stands before any score, with the value, the target and what to do now', async () => {
  const app = await startApp();
  keepEnclosure(app.db, makeBox(1200, 600, 600));
  keepAnimal(app.db, makeAnimal('bearded-dragon', { name: 'Sultan' }));
  keepFitting(app.db, makeFitting('basking-lamp', { name: 'Bulb' }));
  const answer = await app.submit(await app.get(url), { 'value-hot-spot-surface': '46', 'value-cool-end-air': '29' });
  const saved = await app.get(answer.location!);
  expect(textsOf(saved, 'h2')[0]).toBe('Outside the target now');
  const lines = textsOf(saved, '.reason-list li');
  expect(lines[0]).toBe(
    'Sultan: The hot-spot surface is too warm: it reads 46 °C and should lie within 38 to 43 °C. Bring Bulb farther away, a little at a time, until the hot spot reads 41 °C.',
  );
  expect(lines.filter((one) => one.startsWith('Sultan:'))).toHaveLength(1);
  expect(lines.find((one) => one.startsWith('Enrichment'))).toContain('A warm place and a cool one are both read now');
  expect(lines.find((one) => one.startsWith('Heat'))).toContain('is too warm: it reads 46 °C');
});

test('A round sent twice is entered once', async () => {
  const app = await withSnake();
  const form = await app.get(url);
  await app.submit(form, { 'value-night-air': '21' });
  const again = await app.submit(form, { 'value-night-air': '21' });
  expect(again.location).toBe('/enclosures/1/round/saved?readings=1&done=sent-twice');
  expect(loadCollection(app.db).readings).toHaveLength(1);
  expect(textOf(await app.get(again.location!))).not.toBe('');
});

test.each([
  [{}, 'value-warm-hide-floor', 'Fill in at least one value; what was not read stays empty.'],
  [
    { 'value-night-air': 'cold' },
    'value-night-air',
    'Write the temperature of the air at night as a number, with its unit if you like.',
  ],
  [
    { 'value-night-air': '20', 'hour-night-air': '24' },
    'hour-night-air',
    'Write the hour as a whole hour from 0 to 23, such as 18.',
  ],
  [{ 'value-night-air': '20', takenOn: '2026-01-16' }, 'takenOn', 'Check the day: it lies in the future.'],
  [{ 'value-night-air': '20', room: '70' }, 'room', 'Check the temperature of the room: it is hotter than any room.'],
  [
    { 'value-night-air': '20', meter: '1', instrument: 'x' },
    'instrument',
    'Choose an instrument of the list or name another one, not both.',
  ],
] as [Record<string, string>, string, string][])(
  'A round with %j saves nothing and comes back with everything typed',
  async (texts, field, message) => {
    const app = await withSnake();
    const typed = { 'notes-cool-end-air': 'kept\nas typed', ...texts };
    const answer = await app.submit(await app.get(url), typed);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    expect(formValues(findForm(answer))).toMatchObject(typed);
    expect(loadCollection(app.db).readings).toEqual([]);
  },
);

test('A mistake in a fold opens it, so that its link leads somewhere in sight', async () => {
  const app = await withSnake();
  const answer = await app.submit(await app.get(url), { 'value-warm-air': '20', 'hour-warm-air': 'noon' });
  const fold = [...answer.document.querySelectorAll('details[open]')];
  // The fold of everything that is not due, and that of the one reading in it.
  expect(fold).toHaveLength(2);
  expect(fold[1]!.querySelector('#field-hour-warm-air')).not.toBeNull();
});

test('A value hardly ever seen or far from the one before is asked about, and taken once it is ticked as right', async () => {
  const app = await withSnake();
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', readingTexts);
  const first = await app.get(url);
  expect(first.document.getElementById('field-sure-warm-hide-floor')).toBeNull();
  const asked = await app.submit(first, {
    'value-warm-hide-floor': '19',
    'value-cool-end-air': '70 F',
    'value-night-air': '77',
  });
  expect(asked.status).toBe(422);
  expect(mistakesOf(asked)).toEqual([
    {
      field: 'value-warm-hide-floor',
      message: 'Look again: 19 °C is far from the 30 °C of 10 January 2026. Correct it, or tick that it is right.',
    },
    {
      field: 'value-night-air',
      message:
        'Look again: 77 °C is hardly ever found there (usually 1 to 34 °C). Did you mean 77 °F? Then write it so. Correct it, or tick that it is right.',
    },
  ]);
  expect(loadCollection(app.db).readings).toHaveLength(1);
  const stillOne = await app.submit(asked, { 'sure-warm-hide-floor': 'yes' });
  expect(mistakesOf(stillOne).map((one) => one.field)).toEqual(['value-night-air']);
  const answer = await app.submit(stillOne, { 'value-night-air': '77 F' });
  expect(answer.status).toBe(303);
  expect(
    loadCollection(app.db)
      .readings.slice(1)
      .map((one) => one.value),
  ).toEqual([19, (70 - 32) / 1.8, 25].map((value) => expect.closeTo(value, 6)));
});

test('A tick counts for the value it was asked about and for no other', async () => {
  const app = await withSnake();
  const asked = await app.submit(await app.get(url), { 'value-night-air': '77' });
  const again = await app.submit(asked, { 'sure-night-air': 'yes', 'value-night-air': '99' });
  expect(mistakesOf(again)[0]!.message).toContain('Look again: 99 °C is hardly ever found there');
  // 99 °F is 37 °C, which would be rare at night too.
  expect(mistakesOf(again)[0]!.message).not.toContain('Did you mean');
  expect(formValues(findForm(again))).not.toHaveProperty('sure-night-air');
  expect(loadCollection(app.db).readings).toEqual([]);
  expect((await app.submit(again, { 'sure-night-air': 'yes' })).status).toBe(303);
  expect(loadCollection(app.db).readings[0]).toMatchObject({ value: 99 });
});

test('The page of what was saved shows no reading of another enclosure, and leads back without any', async () => {
  const app = await withSnake();
  await enter(app, '/enclosures/new', enclosureTexts);
  await enter(app, '/enclosures/2/readings/new?kind=night-air', { ...readingTexts, value: '20' });
  for (const query of ['1', '9', 'x', '', '1,'.repeat(200)]) {
    expect((await app.get(`/enclosures/1/round/saved?readings=${query}`)).location).toBe('/enclosures/1');
  }
  expect((await app.get('/enclosures/7/round')).status).toBe(404);
});

test('Animals with different targets are each named with theirs', async () => {
  const app = await withSnake();
  await enter(app, '/animals/new', {
    name: 'Sand',
    species: 'leopard-gecko',
    enclosure: '1',
    length: '',
    measuredOn: '',
    hatchedOn: '',
    sex: 'female',
    coolingFrom: '',
    coolingTo: '',
    restFrom: '',
    restTo: '',
    notes: '',
  });
  const hint = textOf((await app.get(url)).document.getElementById('field-value-warm-hide-floor-hint'));
  expect(hint).toMatch(/Target: 28 to 32 °C for Maize; .+ for Sand\./);
});

test('In an enclosure without an animal no reading is called fresh or due', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  expect(textOf(await app.get(url))).toContain('Nobody lives here, so no target asks for a reading.');
});

import { expect, test } from 'vitest';
import { findReading } from '../../../server/db/collection.ts';
import { findInstrument, listInstruments } from '../../../server/db/instruments.ts';
import { findForm, formValues, mistakesOf, startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';

const meterTexts = {
  name: 'UV meter',
  'kind-uvi-basking': 'yes',
  'kind-uvi-lowest': 'yes',
  'error-uv-index': '±10 %',
  standing: 'borrowed',
  borrowedFrom: '2026-01-10',
  borrowedUntil: '2026-01-14',
  notes: '',
};

const probeTexts = { name: 'Probe', 'kind-warm-hide-floor': 'yes', 'error-temperature': '1.8 F', standing: 'own' };

async function withInstruments(): Promise<TestApp> {
  const app = await appWithSnake();
  await enter(app, '/instruments/new', probeTexts);
  await enter(app, '/instruments/new', meterTexts);
  return app;
}

test('An instrument is entered with its errors and listed with them', async () => {
  const app = await withInstruments();
  // A difference of 1.8 °F is 1 °C: exact by the definition of the scales (NIST SP 811, appendix B).
  expect(findInstrument(app.db, 1)!.measures).toEqual([
    { kind: 'warm-hide-floor', accuracy: { by: 'amount', value: 1, typed: '1.8 F' } },
  ]);
  expect(findInstrument(app.db, 2)!.measures[1]).toEqual({
    kind: 'uvi-lowest',
    accuracy: { by: 'share', value: 0.1, typed: '±10 %' },
  });
  expect(tableRows(await app.get('/instruments'), 'Instruments')).toEqual([
    ['Probe', 'temperature of the floor of the warm hide', '± 1.8 F', 'own', 'Change Remove'],
    [
      'UV meter',
      'UV index at the basking place and UV index at the darkest place within reach',
      '±10 %',
      'borrowed from 10 January 2026 until 14 January 2026 (not at hand today)',
      'Change Remove',
    ],
  ]);
  expect(formValues(findForm(await app.get('/instruments/2/edit')))).toMatchObject(meterTexts);
});

test.each([
  ['3 %', { by: 'amount', value: 3 }],
  ['5 % of the reading', { by: 'share', value: 0.05 }],
  ['+/- 2', { by: 'amount', value: 2 }],
] as const)('An error of a humidity of %j is read as makers write it', async (text, stated) => {
  const app = await startApp();
  await enter(app, '/instruments/new', {
    name: 'Hygrometer',
    'kind-humidity-day': 'yes',
    'error-humidity': text,
    standing: 'own',
  });
  expect(findInstrument(app.db, 1)!.measures[0]!.accuracy).toMatchObject(stated);
});

test.each([
  [{ name: '' }, 'name', 'Fill in the name.'],
  [
    { 'kind-warm-hide-floor': '', 'error-temperature': '' },
    'kind-hot-spot-surface',
    'Tick at least one reading that it takes.',
  ],
  [{ 'error-humidity': '3' }, 'error-humidity', 'Tick which of these it reads, or empty their stated error.'],
  [
    { 'error-temperature': '60 %' },
    'error-temperature',
    'Check the stated error of its temperatures: a share must be above 0 % and at most 50 %.',
  ],
  [
    { 'error-temperature': 'good' },
    'error-temperature',
    'Write the stated error of its temperatures as a number, with its unit if you like.',
  ],
  [{ borrowedUntil: '2026-01-01' }, 'borrowedUntil', 'Empty the days of borrowing, or choose “Borrowed”.'],
  [
    { standing: 'borrowed', borrowedFrom: '2026-01-02', borrowedUntil: '2026-01-01' },
    'borrowedUntil',
    'Check the day it goes back: it lies before the day it was borrowed.',
  ],
] as [Record<string, string>, string, string][])(
  'An instrument with %j is refused beside its field',
  async (texts, field, message) => {
    const app = await startApp();
    const answer = await app.post('/instruments/new', { ...probeTexts, notes: 'kept', ...texts });
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    expect(formValues(findForm(answer))).toMatchObject({ notes: 'kept' });
    expect(listInstruments(app.db)).toEqual([]);
  },
);

test('A reading offers the instruments that take it and gets the stated error of the one chosen', async () => {
  const app = await withInstruments();
  const form = await app.get('/enclosures/1/readings/new?kind=uvi-basking');
  expect(textOf(findForm(form).querySelector('select'))).toBe('None of the list UV meter');
  await app.submit(form, { value: '3.2', takenOn: '2026-01-12', meter: '2' });
  expect(findReading(app.db, 1)).toMatchObject({ instrument: 'UV meter' });
  expect(findReading(app.db, 1)!.accuracy).toBeCloseTo(0.32, 12);
  expect(formValues(findForm(await app.get('/enclosures/1/readings/1/edit')))).toMatchObject({
    meter: '2',
    instrument: '',
  });
  // An error that the keeper types wins over the list.
  await app.submit(await app.get('/enclosures/1/readings/1/edit'), { accuracy: '0.5' });
  expect(findReading(app.db, 1)).toMatchObject({ accuracy: 0.5, instrument: 'UV meter' });
});

test('A reading with an instrument of the list and another name is refused; one of a removed instrument keeps its name', async () => {
  const app = await withInstruments();
  const typed = { ...readingTexts, meter: '1' };
  const answer = await app.post('/enclosures/1/readings/new?kind=warm-hide-floor', typed);
  expect(mistakesOf(answer)).toEqual([
    { field: 'instrument', message: 'Choose an instrument of the list or name another one, not both.' },
  ]);
  await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', { ...typed, instrument: '' });
  await app.submit(await app.get('/instruments/1/remove'));
  expect(formValues(findForm(await app.get('/enclosures/1/readings/1/edit')))).toMatchObject({
    instrument: 'Probe',
    accuracy: '1 °C',
  });
  await app.submit(await app.get('/instruments'), {}, '/instruments/1/put-back');
  expect(listInstruments(app.db)).toHaveLength(2);
});

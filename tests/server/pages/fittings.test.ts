import { expect, test } from 'vitest';
import { changeFitting, findFitting, loadCollection } from '../../../server/db/collection.ts';
import { listEvents } from '../../../server/db/events.ts';
import { listAssumptions } from '../../../server/db/first-steps.ts';
import { changeLedger, readLedger } from '../../../server/db/ledger.ts';
import { paths } from '../../../server/paths.ts';
import { plainDate } from '../../../src/calendar.ts';
import { FITTING_KINDS, lampOf } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import { findForm, formValues, mistakesOf, type TestApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enclosureTexts, enter, readingTexts } from '../../support/collection.ts';

const tube = {
  name: 'T5 UV-B tube, 24 W',
  fittedOn: '2025-07-01',
  lifeMonths: '12',
  renewalPrice: '29,90',
  watts: '24',
  hoursPerDay: '12',
  lampUvi: '3',
  lampAt: '12 in',
  litLength: '55 cm',
  distance: '10 in',
  mesh: '0.85',
  whenBoxReplaced: 'moves',
};

async function withTube(): Promise<TestApp> {
  const app = await appWithSnake();
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', tube);
  return app;
}

test('The page asks for the kind first and offers every kind there is', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/fittings/new');
  const links = [...page.document.querySelectorAll('main li a')].map((one) => one.getAttribute('href'));
  expect(new Set(links)).toEqual(new Set(FITTING_KINDS.map((kind) => `/enclosures/1/fittings/new?kind=${kind}`)));
  expect(textOf(await app.get('/enclosures/1/fittings/new?kind=rocket'))).toContain('Choose the kind');
  expect((await app.post('/enclosures/1/fittings/new', tube)).status).toBe(422);
  expect(loadCollection(app.db).fittings).toEqual([]);
});

test('Every kind of fitting can be entered from its own form as it opens, once its questions are answered', async () => {
  const app = await appWithSnake();
  const answers: Record<string, string> = {
    fittedOn: '2025-07-01',
    mesh: '1',
    runLength: '2 m',
    runDepth: '1 m',
    runFrom: '5',
    runTo: '9',
  };
  for (const kind of FITTING_KINDS) {
    const page = await app.get(`/enclosures/1/fittings/new?kind=${kind}`);
    const asked = Object.keys(formValues(findForm(page)));
    const given = Object.fromEntries(Object.entries(answers).filter(([name]) => asked.includes(name)));
    expect((await app.submit(page, given)).status, kind).toBe(303);
  }
  expect(loadCollection(app.db).fittings.map((one) => one.kind)).toEqual([...FITTING_KINDS]);
});

test('A lamp is kept with its output, and its form shows inches as inches', async () => {
  const app = await withTube();
  expect(findFitting(app.db, 1)).toMatchObject({
    kind: 'uv-tube',
    lamp: lampOf(550, 304.8, 3, { reflector: 'unknown' }),
    distanceMm: 254,
    meshShare: 0.85,
    renewalPrice: 2990,
    lifeMonths: 12,
  });
  const form = formValues(findForm(await app.get('/enclosures/1/fittings/1/edit')));
  expect(form).toMatchObject({
    distance: '10 in',
    lampAt: '30.48 cm',
    litLength: '55 cm',
    mesh: '0.85',
    renewalPrice: '29.90',
  });
  changeLedger(app.db, 1, { unitSystem: 'imperial' });
  const imperial = await app.get('/enclosures/1/fittings/1/edit');
  expect(formValues(findForm(imperial))).toMatchObject({ distance: '10 in', lampAt: '12 in' });
  await app.submit(imperial);
  expect(findFitting(app.db, 1)).toMatchObject({
    lamp: lampOf(550, 304.8, 3, { reflector: 'unknown' }),
    distanceMm: 254,
  });
});

test('What is between lamp and animal may be unknown: the UV is then told as a range, and looking is asked for', async () => {
  const app = await withTube();
  const edit = '/enclosures/1/fittings/1/edit';
  const asked = 'nobody has looked yet what is between “T5 UV-B tube, 24 W” and the animal';
  expect(textOf(await app.get(paths.animals.show(1)))).not.toContain(asked);
  await app.submit(await app.get(edit), { mesh: 'unknown' });
  expect(findFitting(app.db, 1)!.meshShare).toBe(null);
  expect(loadCollection(app.db).fittings[0]!.meshShare).toBe(null);
  expect(formValues(findForm(await app.get(edit))).mesh).toBe('unknown');
  const page = await app.get(paths.animals.show(1));
  // An insect screen passes 66 % of what arrives with nothing between (common practice).
  const [, bare, screened] = /UV index of ([\d.]+) with nothing between, ([\d.]+) under an insect screen/.exec(
    textOf(page),
  )!;
  expect(Number(screened) / Number(bare)).toBeCloseTo(0.66, 1);
  expect(textOf(page)).toContain('none under glass or plastic');
  expect(textOf(page)).toContain(asked);
  expect(page.document.querySelector(`.measure-first a[href="${edit}"]`)!.textContent).toBe('Say what is between');
  // A reading under it tells what arrives, whatever is between.
  await enter(app, '/enclosures/1/readings/new?kind=uvi-basking', { ...readingTexts, value: '1.2' });
  expect(textOf(await app.get(paths.animals.show(1)))).not.toContain(asked);
  expect((await app.get('/enclosures/1/light')).status).toBe(200);
});

test('A thing of which nobody knows since when counts as in use for a year, and says so until the day is corrected', async () => {
  const app = await withTube();
  const page = await app.get('/enclosures/1/fittings/new?kind=heat-mat');
  expect((await app.submit(page, { name: 'Heat mat', fittedOn: '' })).status).toBe(303);
  expect(findFitting(app.db, 2)).toMatchObject({ fittedOn: '2025-01-15' });
  expect(listAssumptions(app.db)).toMatchObject([{ what: 'thing-in-use-for-a-year' }]);
  expect(textOf(await app.get(paths.start.show))).toContain('Heat mat: The day it was fitted is not known');
  const edit = await app.get('/enclosures/1/fittings/2/edit');
  expect((await app.submit(edit, { fittedOn: '' })).status).toBe(422);
});

test.each([
  ['name', '', 'Fill in the name.'],
  [
    'fittedOn',
    '2025-13-01',
    'Give the day it was fitted as a real day, written year-month-day, such as 2026-03-31; 31.3.2026 is understood too.',
  ],
  ['lifeMonths', '0', 'Give the life in months as a whole number from 1 to 600.'],
  [
    'lifeMonths',
    '1,5',
    'Write the life in months as a whole number of months in digits, such as 12, or with its unit: months or years.',
  ],
  ['renewalPrice', '-5', 'Give the price of a new one without a minus sign.'],
  ['watts', '6000', 'Check the watts: it must be between 0 W and 5000 W.'],
  ['hoursPerDay', '25', 'Check the hours a day: it must be between 0 h and 24 h.'],
  ['lampAt', '', 'Fill in the distance at which the lamp gives it.'],
  ['litLength', '', 'Fill in the lit length.'],
  ['distance', '0', 'Check the distance to the basking place: it must be between 0.1 cm and 2000 cm.'],
  ['mesh', '', 'Choose one of the answers listed for what is between lamp and animal.'],
  ['mesh', '1.2', 'Choose one of the answers listed for what is between lamp and animal.'],
  ['place', 'attic', 'Choose one of the answers listed for the place.'],
  ['whenBoxReplaced', '', 'Choose one of the answers listed for what happens when the box is replaced.'],
])('A lamp with %s %j comes back with a sentence at the field and everything typed', async (field, typed, message) => {
  const app = await appWithSnake();
  const answer = await app.post('/enclosures/1/fittings/new?kind=uv-tube', { ...tube, [field]: typed });
  expect(answer.status).toBe(422);
  expect(textsOf(answer, '.error-summary a')).toEqual([message]);
  if (field !== 'place') expect(mistakesOf(answer)).toEqual([{ field, message }]);
  const shown = formValues(findForm(answer));
  for (const [name, text] of Object.entries({ ...tube, [field]: typed })) {
    if (name !== field || !['mesh', 'place', 'whenBoxReplaced'].includes(name)) expect(shown[name], name).toBe(text);
  }
  expect(loadCollection(app.db).fittings).toEqual([]);
});

test('A thermostat names the heater it regulates from those of its own enclosure only', async () => {
  const app = await withTube();
  await enter(app, '/enclosures/new', { ...enclosureTexts, name: 'Other' });
  await enter(app, '/enclosures/2/fittings/new?kind=heat-mat', {
    name: 'Far mat',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  await enter(app, '/enclosures/1/fittings/new?kind=heat-mat', {
    name: 'Mat',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  const page = await app.get('/enclosures/1/fittings/new?kind=thermostat');
  expect(textsOf(page, 'select[name="regulates"] option')).toEqual(['Nothing entered here', 'Mat']);
  const foreign = await app.submit(page, { fittedOn: '2025-07-01', regulates: '2' });
  expect(mistakesOf(foreign)).toEqual([
    { field: 'regulates', message: 'Choose one of the answers listed for what it regulates.' },
  ]);
  await app.submit(page, { fittedOn: '2025-07-01', regulates: '3' });
  expect(findFitting(app.db, 4)).toMatchObject({ kind: 'thermostat', regulates: '3' });
  expect(textOf(await app.get('/enclosures/1'))).toContain('regulates “Mat”');
});

test('A lamp that was moved makes what it influences an estimate, and a mere correction does not', async () => {
  const app = await withTube();
  await enter(app, '/enclosures/1/readings/new?kind=uvi-basking', {
    ...readingTexts,
    value: '0.9',
    takenOn: '2025-12-20',
  });
  const state = async () => tableRows(await app.get('/enclosures/1'), 'Latest reading of each kind')[0]![3];
  const edit = () => app.get('/enclosures/1/fittings/1/edit');
  await app.submit(await edit(), { distance: '11 in' });
  expect(findFitting(app.db, 1)).toMatchObject({ distanceMm: 279.4, movedOn: null });
  expect(await state()).toMatch(/^Holds: measured (today|\d+ days? ago)$/);

  expect(mistakesOf(await app.submit(await edit(), { moved: 'yes' }))).toEqual([
    { field: 'movedOn', message: 'Fill in the day it was moved.' },
  ]);
  expect(mistakesOf(await app.submit(await edit(), { moved: 'yes', movedOn: '2026-01-16' }))).toEqual([
    { field: 'movedOn', message: 'Check the day it was moved: it lies in the future.' },
  ]);
  await app.submit(await edit(), { distance: '14 in', moved: 'yes', movedOn: '2026-01-02' });
  expect(findFitting(app.db, 1)).toMatchObject({ distanceMm: 355.6, movedOn: '2026-01-02' });
  expect(await state()).toBe('Replaced by what is fitted since: measure again');
});

test('Retiring keeps a thing in the list of what was used before, and emptying the day takes it back', async () => {
  const app = await withTube();
  const question = await app.get('/enclosures/1/fittings/1/retire');
  expect(formValues(findForm(question)).retiredOn).toBe('2026-01-15');
  expect(mistakesOf(await app.submit(question, { retiredOn: '2025-06-30' }))).toEqual([
    { field: 'retiredOn', message: 'Check the day: it lies before the day it was fitted.' },
  ]);
  expect((await app.submit(question, { retiredOn: '2026-01-10' })).location).toBe('/enclosures/1?done=retired');
  expect(findFitting(app.db, 1)).toMatchObject({ retiredOn: '2026-01-10', removedOn: null });
  const page = await app.get('/enclosures/1');
  expect(textsOf(page, 'summary')).toContain('Used before and retired');
  expect(textOf(page)).toContain('Nothing is entered as fitted.');
  await app.submit(await app.get('/enclosures/1/fittings/1/edit'), { retiredOn: '' });
  expect(findFitting(app.db, 1)).toMatchObject({ retiredOn: null });
});

test('Renewing begins a life anew and takes what it cost off the cash', async () => {
  const app = await withTube();
  changeLedger(app.db, readLedger(app.db).version, {
    monthlySum: money(70_00),
    cashCounted: money(100_00),
    cashCountedOn: plainDate('2026-01-10'),
    sumArrived: true,
  });
  const page = await app.get('/enclosures/1');
  const link = [...page.document.querySelectorAll('a')].find((one) => textOf(one) === 'Renewed');
  const form = await app.get(link?.getAttribute('href') ?? '');
  expect(formValues(findForm(form))).toMatchObject({ renewedOn: '2026-01-15', paid: '29.90' });
  expect(textOf(form)).toContain('Renewed on 10 January 2026 or later, it is taken off the cash counted on that day');
  expect((await app.submit(form, { paid: '31' })).location).toBe('/old-things/1?done=renewed');
  expect(findFitting(app.db, 1)).toMatchObject({ fittedOn: '2026-01-15', renewalPrice: 29_90, watts: 24 });
  expect(listEvents(app.db)).toMatchObject([{ what: 'renewed', happenedOn: '2026-01-15', amount: 31_00 }]);
  expect(tableRows(await app.get('/money'), 'Since the cash was counted')).toEqual([
    ['Counted on 10 January 2026', 'Jan 26', '€100.00'],
    ['Renewed on 15 January 2026: T5 UV-B tube, 24 W', 'Jan 26', '−€31.00'],
  ]);
  // Sent twice, the form has one effect and says so: nothing more leaves the cash.
  expect((await app.submit(form, { paid: '31' })).location).toBe('/old-things/1?done=sent-twice');
  expect(listEvents(app.db)).toHaveLength(1);
});

test.each([
  ['a day to come', { renewedOn: '2026-01-16' }, 'renewedOn'],
  ['a day before it was fitted', { renewedOn: '2025-06-30' }, 'renewedOn'],
  ['no day', { renewedOn: '' }, 'renewedOn'],
  ['no sum', { paid: '' }, 'paid'],
  ['a negative sum', { paid: '-1' }, 'paid'],
])('The form of a renewal refuses %s at its field and keeps what was typed', async (_name, wrong, field) => {
  const app = await withTube();
  const page = await app.submit(await app.get('/enclosures/1/fittings/1/renewed'), wrong);
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  expect(formValues(findForm(page))).toMatchObject(wrong);
  expect(findFitting(app.db, 1)!.fittedOn).toBe('2025-07-01');
  expect(listEvents(app.db)).toEqual([]);
});

test('A thing that is used no longer cannot be renewed after the day it was retired', async () => {
  const app = await withTube();
  await app.submit(await app.get('/enclosures/1/fittings/1/retire'), { retiredOn: '2026-01-10' });
  const page = await app.submit(await app.get('/enclosures/1/fittings/1/renewed'), { renewedOn: '2026-01-12' });
  expect(mistakesOf(page)).toEqual([
    { field: 'renewedOn', message: 'Check the day: it lies after the day it was retired.' },
  ]);
});

test('Removing says that it is for mistakes, points to retiring, and can be undone', async () => {
  const app = await withTube();
  const before = loadCollection(app.db);
  const question = await app.get('/enclosures/1/fittings/1/remove');
  expect(textOf(question)).toContain('Remove it only if it was entered by mistake');
  expect((await app.submit(question)).location).toBe('/enclosures/1?done=removed-kept');
  expect(loadCollection(app.db).fittings).toEqual([]);
  expect((await app.get('/enclosures/1/fittings/1/edit')).status).toBe(404);
  const page = await app.get('/enclosures/1');
  await app.submit(page, {}, '/enclosures/1/fittings/1/put-back');
  expect(loadCollection(app.db)).toEqual(before);
});

test('A change from a page that is out of date shows both versions, and retiring from one asks to look again', async () => {
  const app = await withTube();
  const [edit, retire] = [
    await app.get('/enclosures/1/fittings/1/edit'),
    await app.get('/enclosures/1/fittings/1/retire'),
  ];
  await app.submit(await app.get('/enclosures/1/fittings/1/edit'), { watts: '39' });
  const conflict = await app.submit(edit, { watts: '54' });
  expect(conflict.status).toBe(409);
  expect(tableRows(conflict, 'Both versions')).toContainEqual(['Watts', '39 W', '54']);
  expect(tableRows(conflict, 'Both versions').some((row) => row[0] === 'Length of the run')).toBe(false);
  expect((await app.submit(retire)).status).toBe(409);
  expect(findFitting(app.db, 1)).toMatchObject({ watts: 39, retiredOn: null });
});

test('A fitting is not found below an enclosure it is not in', async () => {
  const app = await withTube();
  await enter(app, '/enclosures/new', { ...enclosureTexts, name: 'Other' });
  for (const path of ['edit', 'remove', 'retire', 'renewed']) {
    expect((await app.get(`/enclosures/2/fittings/1/${path}`)).status, path).toBe(404);
    expect((await app.get(`/enclosures/1/fittings/7/${path}`)).status, path).toBe(404);
  }
  expect((await app.get('/enclosures/9/fittings/new')).status).toBe(404);
});

test.each([
  ['uv-tube', 'injure eyes and skin'],
  ['ceramic-heater', 'do not move away from heat that burns them'],
  ['water-heater', 'Mains electricity near water kills'],
  ['rock-heater', 'burns the belly'],
])('The form of a %s carries its caution', async (kind, words) => {
  const app = await appWithSnake();
  const page = await app.get(`/enclosures/1/fittings/new?kind=${kind}`);
  expect(textOf(page.document.querySelector('.caution'))).toContain(words);
});

test('Changing a lamp keeps what its form does not ask', async () => {
  const app = await withTube();
  const { id: _, removedOn: _removed, version, ...row } = findFitting(app.db, 1)!;
  const lamp = lampOf(550, 304.8, 3, {
    more: [{ atMm: 400, uvi: 2 }],
    from: 'maker-chart',
    reflector: 'with',
    beam: 1,
  });
  expect(changeFitting(app.db, 1, version, { ...row, lamp })).toBe('saved');
  await app.submit(await app.get('/enclosures/1/fittings/1/edit'), { lampUvi: '3,2' });
  expect(findFitting(app.db, 1)?.lamp).toEqual({ ...lamp, uvi: 3.2 });
});

/** What a keeper of a tube with a chart under a mesh top knows of it. */
const charted = {
  ...tube,
  lampFrom: 'maker-chart',
  lampReflector: 'with',
  lampDatum: '1 in',
  lampThroughMesh: 'yes',
  lampBeam: '1,5',
  lamp2At: '8 in',
  lamp2Uvi: '4.6',
  lamp3At: '16 in',
  lamp3Uvi: '2',
};
const chartedLamp = lampOf(550, 304.8, 3, {
  from: 'maker-chart',
  reflector: 'with',
  datumOffsetMm: 25.4,
  throughMesh: true,
  beam: 1.5,
  more: [
    { atMm: 203.2, uvi: 4.6 },
    { atMm: 406.4, uvi: 2 },
  ],
});

test('All that a keeper knows of a lamp is kept, and sending its form again as it opens changes nothing', async () => {
  const app = await appWithSnake();
  changeLedger(app.db, 1, { unitSystem: 'imperial' });
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', {
    ...charted,
    lamp2At: '8',
    lamp3At: '16',
    lampDatum: '1',
  });
  expect(findFitting(app.db, 1)?.lamp).toEqual(chartedLamp);
  const page = await app.get('/enclosures/1/fittings/1/edit');
  expect(formValues(findForm(page))).toMatchObject({
    lampAt: '12 in',
    lamp2At: '8 in',
    lamp3At: '16 in',
    lampDatum: '1 in',
  });
  expect((await app.submit(page)).status).toBe(303);
  expect(findFitting(app.db, 1)?.lamp).toEqual(chartedLamp);
  // What is emptied or unticked is gone, and the rest stays.
  const emptied = {
    lamp2At: '',
    lamp2Uvi: '',
    lampThroughMesh: null,
    lampDatum: '',
    lampBeam: '',
    lampReflector: 'unknown',
  };
  await app.submit(await app.get('/enclosures/1/fittings/1/edit'), emptied);
  expect(findFitting(app.db, 1)?.lamp).toEqual(
    lampOf(550, 304.8, 3, { from: 'maker-chart', reflector: 'unknown', more: [{ atMm: 406.4, uvi: 2 }] }),
  );
});

test('What only some keepers know of a lamp is folded until something in it is filled or wrong', async () => {
  const app = await withTube();
  const folded = (page: Awaited<ReturnType<TestApp['get']>>) =>
    [...page.document.querySelectorAll('details.field-group')].map((one) => ({
      summary: textOf(one.querySelector('summary')),
      open: one.hasAttribute('open'),
    }));
  const closed = [{ summary: 'More about this lamp', open: false }];
  expect(folded(await app.get('/enclosures/1/fittings/new?kind=uv-tube'))).toEqual(closed);
  expect(folded(await app.get('/enclosures/1/fittings/new?kind=uv-compact'))).toEqual(closed);
  expect(folded(await app.get('/enclosures/1/fittings/new?kind=heat-mat'))).toEqual([]);
  const edit = await app.get('/enclosures/1/fittings/1/edit');
  expect(folded(edit)).toEqual(closed);
  const open = [{ summary: 'More about this lamp', open: true }];
  expect(folded(await app.submit(edit, { lamp2At: '40 cm' }))).toEqual(open);
  await app.submit(edit, { lampReflector: 'without' });
  expect(folded(await app.get('/enclosures/1/fittings/1/edit'))).toEqual(open);
});

test.each([
  ['a reading of 0', { lampUvi: '0' }, 'lampUvi', 'Give each UV index of the lamp’s figures as more than 0.'],
  ['a further reading of 0', { lamp3Uvi: '0' }, 'lamp3Uvi', 'Give each UV index of the lamp’s figures as more than 0.'],
  [
    'more at a greater distance',
    { lamp3Uvi: '3,5' },
    'lamp3Uvi',
    'Check the lamp’s figures: farther away it cannot give more. One of the distances or readings is mistaken.',
  ],
  [
    'less at a smaller distance',
    { lamp2Uvi: '2.9' },
    'lamp2Uvi',
    'Check the lamp’s figures: farther away it cannot give more. One of the distances or readings is mistaken.',
  ],
  ['a spread below 0', { lampBeam: '-1' }, 'lampBeam', 'The lamp’s spread to the side cannot be below 0.'],
  ['a point without its distance', { lamp2At: '' }, 'lamp2At', 'Fill in the distance of figure 2.'],
  ['a point without its UV index', { lamp3Uvi: '' }, 'lamp3Uvi', 'Fill in the UV index of figure 3.'],
  [
    'figures without the first of them',
    { lampUvi: '', lampAt: '' },
    'lampUvi',
    'Fill in the UV index of the lamp and its distance, or leave the other figures empty: alone they say nothing.',
  ],
  [
    'a distance of no unit of length',
    { lamp2At: '8 lux' },
    'lamp2At',
    'Write the distance of figure 2 in mm, cm, m, in or ft.',
  ],
  [
    'an unknown origin',
    { lampFrom: 'rumour' },
    'lampFrom',
    'Choose one of the answers listed for where the figures come from.',
  ],
])(
  'A lamp with %s comes back with a sentence at its field and everything typed',
  async (_name, wrong, field, message) => {
    const app = await appWithSnake();
    const sent = { ...charted, ...wrong };
    const answer = await app.post('/enclosures/1/fittings/new?kind=uv-tube', sent);
    expect(answer.status).toBe(422);
    expect(mistakesOf(answer)).toEqual([{ field, message }]);
    const shown = formValues(findForm(answer));
    for (const [name, text] of Object.entries(sent)) if (name !== 'lampFrom') expect(shown[name], name).toBe(text);
    expect(loadCollection(app.db).fittings).toEqual([]);
  },
);

test('A compact lamp begins as known from its packaging, which leaves its UV unknown until a meter tells', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/fittings/new?kind=uv-compact');
  expect(formValues(findForm(page))).toMatchObject({ lampFrom: 'packaging', lampReflector: 'unknown' });
  await app.submit(page, { fittedOn: '2025-07-01', mesh: '1', lampUvi: '5', lampAt: '20 cm' });
  expect(findFitting(app.db, 1)?.lamp).toEqual(lampOf(null, 200, 5, { from: 'packaging', reflector: 'unknown' }));
  const placed = { x: '45', y: '20', z: '40' };
  expect(
    (await app.submit(await app.get('/enclosures/1/fittings/1/place'), placed, '/enclosures/1/fittings/1/place'))
      .status,
  ).toBe(303);
  expect(textOf(await app.get('/enclosures/1/light'))).toContain(
    'does not tell what reaches an animal: hold a UV meter',
  );
});

test('Points beyond the rows of the form outlive a change', async () => {
  const app = await withTube();
  const { id: _, removedOn: _removed, version, ...row } = findFitting(app.db, 1)!;
  const more = Array.from({ length: 11 }, (_each, place) => ({ atMm: 400 + 10 * place, uvi: 2 - place / 20 }));
  expect(changeFitting(app.db, 1, version, { ...row, lamp: { ...row.lamp!, more } })).toBe('saved');
  await app.submit(await app.get('/enclosures/1/fittings/1/edit'), { watts: '25' });
  expect(findFitting(app.db, 1)).toMatchObject({ watts: 25, lamp: { more } });
});

test('Every kind of thing is offered once, in a group named for what it does and with a line on what it is', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/fittings/new');
  const groups = [...page.document.querySelectorAll('section')].map((group) => ({
    legend: textOf(group.querySelector('h2')),
    kinds: [...group.querySelectorAll('li a')].map((link) =>
      new URL(link.getAttribute('href')!, 'http://x').searchParams.get('kind'),
    ),
    hints: [...group.querySelectorAll('li .quiet')].map((hint) => textOf(hint)),
  }));
  expect(groups.flatMap(({ kinds }) => kinds).sort()).toEqual([...FITTING_KINDS].sort());
  expect(groups.map(({ legend }) => legend)).not.toContain('More');
  expect(groups.find(({ kinds }) => kinds.includes('chiller'))!.kinds).toEqual(['fan', 'chiller']);
  for (const { kinds, hints } of groups) expect(hints.filter((hint) => hint !== '')).toHaveLength(kinds.length);
});

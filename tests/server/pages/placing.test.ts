import { expect, test } from 'vitest';
import { findFitting, findReading, loadCollection } from '../../../server/db/collection.ts';
import { findForm, formValues, mistakesOf, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';

const tube = {
  name: 'T5 UV-B tube, 24 W',
  fittedOn: '2026-01-01',
  lifeMonths: '12',
  renewalPrice: '',
  watts: '24',
  hoursPerDay: '12',
  lampUvi: '3',
  lampAt: '30 cm',
  litLength: '55 cm',
  distance: '40 cm',
  mesh: '1',
  whenBoxReplaced: 'moves',
};
const slate = { name: 'Slate', fittedOn: '2025-07-01', whenBoxReplaced: 'moves' };
const hung = { x: '45', y: '22.5', z: '55' };
const lying = { x: '45', y: '22.5', z: '0', length: '25', depth: '20', height: '15' };

const places = (id: number) => `/enclosures/1/fittings/${id}/place`;

/** A closed box of 90 x 45 x 60 cm with a tube and a basking place that stand nowhere yet. */
async function box(lampUvi = '3'): Promise<TestApp> {
  const app = await appWithSnake({ enclosure: { height: '60', top: 'closed' } });
  await enter(app, '/enclosures/1/fittings/new?kind=uv-tube', { ...tube, lampUvi });
  await enter(app, '/enclosures/1/fittings/new?kind=basking-place', slate);
  return app;
}

async function placed(lampUvi = '3'): Promise<TestApp> {
  const app = await box(lampUvi);
  expect((await app.submit(await app.get(places(2)), lying, places(2))).status).toBe(303);
  expect((await app.submit(await app.get(places(1)), hung, places(1))).status).toBe(303);
  return app;
}

const whole = (app: TestApp) => app.db.$client.serialize().toString('base64');

test('A thing is placed by number in the keeper’s unit, and its form shows where it stands', async () => {
  const app = await placed();
  expect(findFitting(app.db, 1)?.placed).toEqual({
    ...{ xMm: 450, yMm: 225, zMm: 550, turned: false },
    ...{ lengthMm: null, depthMm: null, heightMm: null },
  });
  expect(findFitting(app.db, 2)?.placed).toMatchObject({ zMm: 0, lengthMm: 250, depthMm: 200, heightMm: 150 });
  expect(findFitting(app.db, 1)?.movedOn).toBeNull();
  expect(formValues(findForm(await app.get(places(2)), places(2)))).toMatchObject({
    ...{ x: '45 cm', y: '22.5 cm', z: '0 cm', length: '25 cm', moved: 'no' },
  });
  const links = [...(await app.get('/enclosures/1')).document.querySelectorAll('a')].map((a) => a.getAttribute('href'));
  expect(links).toEqual(expect.arrayContaining(['/enclosures/1/light', places(1), places(2)]));
});

test.each([
  [2, { ...lying, x: '85' }, 'x', /stands 7\.5 cm out of the box/],
  [2, { ...lying, height: '' }, 'height', /more than 0/],
  [2, { ...lying, y: 'far' }, 'y', /as a number/],
  [1, { ...hung, x: '20' }, 'x', /7\.5 cm out of the box/],
  [1, { ...hung, z: '10' }, 'z', /lies inside “Slate”/],
  [1, { ...hung, z: '15' }, 'z', /touches “Slate”/],
])('Thing %i placed by %j is refused at its field %s', async (id, fields, field, message) => {
  const app = await box();
  await app.submit(await app.get(places(2)), lying, places(2));
  const before = whole(app);
  const answer = await app.submit(await app.get(places(id)), fields, places(id));
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([{ field, message: expect.stringMatching(message) }]);
  expect(formValues(findForm(answer, places(id)))).toMatchObject(fields);
  expect(whole(app)).toBe(before);
});

test('A place changed elsewhere meanwhile is shown beside what was typed, and nothing is overwritten', async () => {
  const app = await placed();
  const open = await app.get(places(1));
  await app.submit(open, { z: '50' }, places(1));
  const answer = await app.submit(open, { z: '45' }, places(1));
  expect(answer.status).toBe(409);
  expect(tableRows(answer, 'Both versions')).toContainEqual([...['Height of its axis above the floor', '50 cm', '45']]);
  expect(findFitting(app.db, 1)?.placed?.zMm).toBe(500);
  expect((await app.submit(answer, {}, places(1))).status).toBe(303);
  expect(findFitting(app.db, 1)?.placed?.zMm).toBe(450);
});

test('A lamp that was really moved is moved today, and its distance changes by as much', async () => {
  const app = await placed();
  await app.submit(await app.get(places(1)), { z: '50', moved: 'yes' }, places(1));
  expect(findFitting(app.db, 1)).toMatchObject({ movedOn: '2026-01-15', distanceMm: 350, distanceTyped: '35 cm' });
});

// The model says UVI 3 at 30 cm, bare, and fades; by hand only the quotient of both places is told: what the reading made of it goes along.
test('What a reading made of the lamp goes along when it is really moved, in the preview, after it and through a correction of the reading', async () => {
  const app = await placed();
  const uviAt = async (url: string, column: number) =>
    Number.parseFloat(tableRows(await app.get(url), 'UV index, lamps as old as they are to new')[0]![column]!);
  const lower = { ...hung, z: '42', moved: 'yes' };
  const preview = `${places(1)}?${new URLSearchParams(lower)}`;
  const [plainNow, plainThen] = [await uviAt(preview, 1), await uviAt(preview, 2)];
  const reading = { ...readingTexts, value: String(plainNow / 2), takenOn: '2026-01-10' };
  await enter(app, '/enclosures/1/readings/new?kind=uvi-basking', reading);
  const expected = await uviAt(preview, 2);
  expect(expected).toBeCloseTo(plainThen / 2, 0);
  expect(expected).toBeLessThan(0.6 * plainThen);
  expect(findReading(app.db, 1)?.lightRatio).toBeUndefined();
  await app.submit(await app.get(preview), {}, places(1));
  const ratio = findReading(app.db, 1)!.lightRatio!;
  expect(ratio).toBeGreaterThan(0.4);
  expect(ratio).toBeLessThan(0.6);
  const light = async () =>
    Number.parseFloat(tableRows(await app.get('/enclosures/1/light'), 'UV index at the animal’s back')[0]![1]!);
  expect(await light()).toBe(expected);
  // It counts as expected, not as measured.
  expect(textOf(await app.get('/enclosures/1'))).toContain('Replaced by what is fitted since: measure again');
  const edit = '/enclosures/1/readings/1/edit';
  await app.submit(await app.get(edit), { value: String(plainNow) }, edit);
  expect(findReading(app.db, 1)?.lightRatio).toBeCloseTo(2 * ratio, 6);
});

test('Its place can be taken away again', async () => {
  const app = await placed();
  expect((await app.post(`${places(1)}/take-away`, { version: '1' })).status).toBe(409);
  expect((await app.submit(await app.get(places(1)), {}, `${places(1)}/take-away`)).status).toBe(303);
  expect(findFitting(app.db, 1)?.placed).toBeNull();
  expect(findFitting(app.db, 1)?.lamp).not.toBeNull();
});

test('What would change is shown without a change, and comes true once it is saved', async () => {
  const app = await placed('0.4');
  const before = whole(app);
  const lower = { ...hung, z: '42', moved: 'yes' };
  const page = await app.get(`${places(1)}?${new URLSearchParams({ ...lower, version: '2' })}`);
  expect(page.status).toBe(200);
  expect(whole(app)).toBe(before);
  const [[name, now, then]] = tableRows(page, 'UV index, lamps as old as they are to new') as [string[]];
  expect(name).toBe('Slate');
  expect(Number.parseFloat(then!)).toBeGreaterThan(Number.parseFloat(now!));
  const [[, , scoreThen, uvNow, uvThen]] = tableRows(page, 'Scores of who lives here') as [string[]];
  expect(uvThen).not.toBe(uvNow);
  await app.submit(page, {}, places(1));
  expect(findFitting(app.db, 1)?.placed?.zMm).toBe(420);
  expect(loadCollection(app.db).fittings[0]?.movedOn).toBe('2026-01-15');
  expect(tableRows(await app.get('/enclosures/1/light'), 'UV index at the animal’s back')[0]![1]).toBe(then);
  expect(textOf(await app.get('/animals/1'))).toContain(scoreThen);
  const saved = await app.get(`${places(1)}?${new URLSearchParams(lower)}`);
  expect(tableRows(saved, 'Scores of who lives here')[0]![3]).toBe(uvThen);
});

test('What would change cannot be shown for a place outside the box', async () => {
  const app = await placed();
  const page = await app.get(`${places(1)}?${new URLSearchParams({ ...hung, x: '200' })}`);
  expect(page.status).toBe(422);
  expect(mistakesOf(page)[0]?.field).toBe('x');
});

test('What has no place of its own and what was never there have no such form', async () => {
  const app = await box();
  await enter(app, '/enclosures/1/fittings/new?kind=timer', { ...slate, name: 'Timer' });
  expect((await app.get(places(3))).status).toBe(404);
  expect((await app.get(places(9))).status).toBe(404);
});

test('A lamp of a class says so at its place and on the light page until a UV index is measured under it', async () => {
  const app = await placed();
  const said = 'has neither a reading taken under it nor its maker’s figures';
  const pages = [places(1), '/enclosures/1/light'];
  for (const page of pages) expect(textOf(await app.get(page))).toContain(`“T5 UV-B tube, 24 W” ${said}`);
  expect(textOf(await app.get(places(2)))).not.toContain(said);
  await enter(app, '/enclosures/1/readings/new?kind=uvi-basking', { ...readingTexts, value: '2,5' });
  for (const page of pages) expect(textOf(await app.get(page))).not.toContain(said);
});

test('A lamp with its maker’s chart is not said to be of a class', async () => {
  const app = await placed();
  const edit = '/enclosures/1/fittings/1/edit';
  expect((await app.submit(await app.get(edit), { lampFrom: 'maker-chart' })).status).toBe(303);
  expect(findFitting(app.db, 1)?.lamp?.from).toBe('maker-chart');
  expect(textOf(await app.get('/enclosures/1/light'))).not.toContain('nor its maker’s figures');
});

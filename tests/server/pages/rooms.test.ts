import { expect, test } from 'vitest';
import { findFitting } from '../../../server/db/collection.ts';
import { findOutlet, findRoom } from '../../../server/db/rooms.ts';
import { findForm, formValues, mistakesOf, startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { enclosureTexts, enter } from '../../support/collection.ts';

const roomTexts = {
  name: 'Study',
  coldest: '60 F',
  coldestMonth: '1',
  hottest: '27',
  hottestMonth: '7',
  notes: '',
};

async function enterHeater(app: TestApp, name: string, watts: string): Promise<void> {
  await enter(app, '/enclosures/1/fittings/new?kind=ceramic-heater', {
    name,
    watts,
    hoursPerDay: '24',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
}

async function enterSocket(app: TestApp, rule: string, texts: Record<string, string> = {}): Promise<void> {
  const form = await app.get(`/rooms/sockets/new?kind=${rule}`);
  const answer = await app.submit(form, { name: 'Left', ...texts });
  expect(answer.location).toBe('/rooms?done=added');
}

test('A room is entered with its worst months and shown as typed in its form', async () => {
  const app = await startApp();
  expect(textOf(await app.get('/rooms'))).toContain('No room is entered');
  const answer = await app.submit(await app.get('/rooms/new'), roomTexts);
  expect(answer.location).toBe('/rooms?done=added');
  const room = findRoom(app.db, 1)!;
  // 60 °F are (60 - 32) x 5 / 9 = 15.56 °C (NIST SP 811, appendix B.9).
  expect(room.coldest!.celsius).toBeCloseTo(15.5556, 3);
  expect(room).toMatchObject({ name: 'Study', coldest: { month: 1 }, hottest: { celsius: 27, month: 7 } });
  expect(formValues(findForm(await app.get('/rooms/1/edit')))).toMatchObject({ ...roomTexts, hottest: '27 °C' });
  expect(tableRows(await app.get('/rooms'), 'Rooms as measured')[0]).toEqual([
    'Study',
    '15.6 °C in January',
    '27 °C in July',
    'nothing',
    'Change Remove',
  ]);
});

test.each([
  [{ name: '' }, 'name', 'Fill in the name.'],
  [{ coldest: '' }, 'coldest', 'Fill in the temperature of this month, or choose “Not measured” as its month.'],
  [{ coldestMonth: '' }, 'coldestMonth', 'Choose the month in which this was measured.'],
  [{ hottest: '70' }, 'hottest', 'Check the temperature of the room: it is hotter than any room.'],
  [{ hottest: '10' }, 'hottest', 'Check both temperatures: the hottest month is colder than the coldest.'],
  [{ hottestMonth: '13' }, 'hottestMonth', 'Give the hottest month as a whole number from 1 to 12.'],
] as const)('A room with %j is refused beside its field, with everything typed kept', async (texts, field, message) => {
  const app = await startApp();
  const answer = await app.post('/rooms/new', { ...roomTexts, ...texts });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([{ field, message }]);
  expect(formValues(findForm(answer))).toMatchObject({ notes: '', ...('name' in texts ? {} : { name: 'Study' }) });
  expect(findRoom(app.db, 1)).toBeNull();
});

test('A room that was removed is put back from the list', async () => {
  const app = await startApp();
  await enter(app, '/rooms/new', roomTexts);
  await app.submit(await app.get('/rooms/1/remove'));
  const list = await app.get('/rooms');
  expect(textOf(list)).toContain('Removed (1)');
  await app.submit(list, {}, '/rooms/1/put-back');
  expect(findRoom(app.db, 1)!.removedOn).toBeNull();
});

test('A new socket asks for its rule and begins with the figures of that rule and their source', async () => {
  const app = await startApp();
  const question = await app.get('/rooms/sockets/new');
  expect(textOf(question)).toContain('United Kingdom');
  const form = await app.get('/rooms/sockets/new?kind=uk');
  expect(formValues(findForm(form))).toMatchObject({ rule: 'uk', volts: '230', circuitAmps: '13', plugAmps: '13' });
  expect(textOf(form)).toContain('2990 W, in United Kingdom guidance');
  const american = await app.get('/rooms/sockets/new?kind=us-15');
  expect(formValues(findForm(american))).toMatchObject({ volts: '120', circuitAmps: '15', plugAmps: '' });
  expect(formValues(findForm(await app.get('/rooms/sockets/new?kind=own')))).toMatchObject({ volts: '' });
});

test.each([
  ['volts', '12', 'Check the mains voltage: it must be between 90 and 260.'],
  ['volts', '230 A', 'Write the mains voltage as a number, with or without V.'],
  ['circuitAmps', '', 'Fill in what its circuit may carry.'],
  ['leadAmps', '0', 'Check the rating of the lead: it must be between 1 and 63.'],
  ['room', '9', 'Choose one of the answers listed for the room.'],
] as const)('A socket with %s of “%s” is refused beside its field', async (field, typed, message) => {
  const app = await startApp();
  const form = await app.get('/rooms/sockets/new?kind=uk');
  const answer = await app.submit(form, { name: 'Left', [field]: typed });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([{ field, message }]);
  expect(formValues(findForm(answer)).name).toBe('Left');
});

test('A figure is taken with a comma and its unit', async () => {
  const app = await startApp();
  await enterSocket(app, 'eu', { circuitAmps: '12,5 A' });
  expect(findOutlet(app.db, 1)).toMatchObject({ rule: 'eu', volts: 230, circuitAmps: 12.5, plugAmps: null });
});

test('What is ticked is plugged in, and its load stands against the limit', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  await enterHeater(app, 'Heater', '1440');
  await enterSocket(app, 'us-15');
  const form = await app.get('/rooms/sockets/1/things');
  expect(textOf(form)).toContain('Heater in Top shelf');
  const saved = await app.submit(form, { 'thing-1': 'yes' });
  expect(saved.location).toBe('/rooms?done=saved');
  expect(findFitting(app.db, 1)!.outletId).toBe('1');
  const list = await app.get('/rooms');
  // NFPA 70 210.23: 80 % of 15 A at 120 V are 12 A, 1440 W.
  expect(textOf(list)).toContain('1440 W, 12.0 A with everything on at once');
  expect(textOf(list)).toContain('12.0 A, 1440 W for hours on end, set by its circuit');
  expect(textOf(list)).toContain('Needs a second look');
  expect(textOf(list)).not.toContain('More than it may carry');
  expect(tableRows(list, 'On Left')).toEqual([['Heater', '1440 W', '12.0 A', '–']]);
  await enterHeater(app, 'Second', '10');
  await app.submit(await app.get('/rooms/sockets/1/things'), { 'thing-2': 'yes' });
  expect(textOf(await app.get('/rooms'))).toContain('More than it may carry');
  await app.submit(await app.get('/rooms/sockets/1/things'), { 'thing-1': null });
  expect(findFitting(app.db, 1)!.outletId).toBeNull();
  expect(textOf(await app.get('/rooms'))).toContain('as far as was entered');
});

test('A thing of unknown watts is named and keeps a socket from counting as below its limit', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  await enterHeater(app, 'Old heater', '');
  await enterSocket(app, 'uk');
  await app.submit(await app.get('/rooms/sockets/1/things'), { 'thing-1': 'yes' });
  const words = textOf(await app.get('/rooms'));
  expect(words).toContain('The watts of “Old heater” are unknown and not in the sum');
  expect(words).toContain('Needs a second look');
});

test('What was plugged in elsewhere meanwhile is shown beside what was ticked, and nothing is lost', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  await enterHeater(app, 'Heater', '100');
  await enterSocket(app, 'uk');
  const first = await app.get('/rooms/sockets/1/things');
  const second = await app.get('/rooms/sockets/1/things');
  await app.submit(first, { 'thing-1': 'yes' });
  const answer = await app.submit(second);
  expect(answer.status).toBe(409);
  expect(tableRows(answer, 'Both versions')).toEqual([['Heater in Top shelf', 'plugged in', '–']]);
  expect(findFitting(app.db, 1)!.outletId).toBe('1');
  await app.submit(answer);
  expect(findFitting(app.db, 1)!.outletId).toBeNull();
});

test('The page of sockets defers to an electrician and never calls anything safe', async () => {
  const app = await startApp();
  await enterSocket(app, 'uk');
  const words = textOf(await app.get('/rooms'));
  expect(words).toContain('qualified electrician');
  expect(words).toContain('What else hangs on the same circuit');
  expect(words).not.toMatch(/\bsafe\b/i);
});

import { expect, test } from 'vitest';
import { findEnclosure } from '../../../server/db/collection.ts';
import { changeLedger, readLedger } from '../../../server/db/ledger.ts';
import { findForm, formValues, mistakesOf, startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { animalTexts, appWithSnake, enclosureTexts, enter, enterSnake } from '../../support/collection.ts';

const roomTexts = { name: 'Study', coldest: '15', coldestMonth: '1', hottest: '24', hottestMonth: '7', notes: '' };

const buildTexts = { standsOn: 'something', wall: '', frontMaterial: '', front: '', airChanges: '', room: '1' };

/** The corn snake in a closed wooden box of 90 x 45 x 45 cm in the study, with a panel of some watts. */
async function enterClosedBox(app: TestApp, watts = '60'): Promise<void> {
  await enterSnake(app, { enclosure: { material: 'wood', top: 'closed' } });
  await enter(app, '/rooms/new', roomTexts);
  await enter(app, '/enclosures/1/build', { ...buildTexts, version: '1' });
  await enter(app, '/enclosures/1/fittings/new?kind=radiant-panel', {
    name: 'Panel',
    watts,
    hoursPerDay: '24',
    duty: '50',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
}

const setTariff = (app: TestApp, pricePerKwh: number) =>
  changeLedger(app.db, readLedger(app.db).version, { pricePerKwh });

test('How a box is built is saved in millimetres and leaves the day of the box as it was', async () => {
  const app = await appWithSnake();
  await enter(app, '/rooms/new', roomTexts);
  const answer = await app.submit(await app.get('/enclosures/1/build'), {
    wall: '12',
    frontMaterial: 'glass',
    front: '0.4 cm',
    airChanges: '1,5',
    room: '1',
    mostLength: '120',
    useWatts: '40 W',
    useInside: '25',
    useRoom: '20',
    useOn: '2026-01-10',
  });
  expect(answer.location).toBe('/enclosures/1/warmth?done=saved');
  expect(findEnclosure(app.db, 1)).toMatchObject({
    boxSince: '2025-06-01',
    version: 2,
    build: {
      wallMm: 12,
      frontMaterial: 'glass',
      frontMm: 4,
      standsOn: 'something',
      airChanges: 1.5,
      roomId: '1',
      mostLengthMm: 1200,
      mostDepthMm: null,
      heatUse: { watts: 40, insideCelsius: 25, roomCelsius: 20, on: '2026-01-10' },
    },
  });
  expect(formValues(findForm(await app.get('/enclosures/1/build')))).toMatchObject({
    wall: '12 mm',
    front: '4 mm',
    mostLength: '120 cm',
    useOn: '2026-01-10',
  });
  // 40 W / (25 - 20) °C = 8 W per °C, which no reckoning betters.
  expect(textOf(await app.get('/enclosures/1/warmth'))).toContain('8.00 W per °C');
});

test.each([
  ['wall', '4 m', 'Check the thickness of the walls: no box has walls thicker than 150 mm.'],
  ['airChanges', '0', 'Check the air changes: it must be between 0.1 and 100.'],
  ['room', '7', 'Choose one of the answers listed for the room.'],
  ['useOn', '2027-01-01', 'Check the day: it lies in the future.'],
] as const)('A build with %s of “%s” is refused beside its field', async (field, typed, message) => {
  const app = await appWithSnake();
  const use: Record<string, string> = { useWatts: '40', useInside: '25', useRoom: '20', useOn: '2026-01-10' };
  const answer = await app.submit(await app.get('/enclosures/1/build'), { ...use, [field]: typed });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer)).toEqual([{ field, message }]);
  expect(formValues(findForm(answer))).toMatchObject(field === 'room' ? use : { ...use, [field]: typed });
  expect(findEnclosure(app.db, 1)!.version).toBe(1);
});

test('A build changed elsewhere meanwhile is shown beside what was typed', async () => {
  const app = await appWithSnake();
  const form = await app.get('/enclosures/1/build');
  await app.submit(await app.get('/enclosures/1/build'), { wall: '12' });
  const answer = await app.submit(form, { wall: '10' });
  expect(answer.status).toBe(409);
  expect(tableRows(answer, 'Both versions')).toContainEqual(['Thickness of the walls', '12 mm', '10']);
  await app.submit(answer);
  expect(findEnclosure(app.db, 1)!.build.wallMm).toBe(10);
});

test('The heat loss of a closed wooden box is that of ISO 6946, with its error and what was assumed', async () => {
  const app = await startApp();
  await enterClosedBox(app);
  const page = await app.get('/enclosures/1/warmth');
  // By hand: walls 12 mm of wood 0.13 W/(m K); sides 1 / (0.13 + 0.0923 + 0.13) = 2.838 over 2 x 0.405 + 2 x 0.2025 m2, top
  // 1 / (0.1 + 0.0923 + 0.1) = 3.421 over 0.405 m2; air 0.335 x 2 x 0.18225 m3: 3.449 + 1.386 + 0.122 = 4.96 W/K, with 40 % of error.
  expect(textOf(page)).toContain('4.96 W per °C (2.97 to 6.94)');
  expect(textOf(page)).toContain('The walls were taken to be 12 mm thick');
  expect(textOf(page)).toContain('taken to change 2 times an hour (own assumption)');
});

test('A corn snake in a room of 15 °C needs the middle of its targets held, and the page says what the panel does', async () => {
  const app = await startApp();
  await enterClosedBox(app);
  setTariff(app, 0.3);
  const page = await app.get('/enclosures/1/warmth');
  const held = Object.fromEntries(
    tableRows(page, 'To hold it warm in January 2026').map(([what, ...cells]) => [what, cells]),
  );
  // The library's cool end of 20 to 26 °C and nights of 18 to 25 °C: 23 and 21.5 °C. 4.96 x 8 = 39.7 W and 4.96 x 6.5 = 32.2 W.
  expect(held['Mean air wanted']).toEqual(['23 °C', '21.5 °C']);
  expect(held['Air of the room']).toEqual(['15 °C', '15 °C']);
  expect(held['Heat needed']).toEqual(['40 W (24 to 56)', '32 W (19 to 45)']);
  // 39.7 / 60 = 66 %; always on 15 + 60 / 4.96 = 27.1 °C.
  expect(held['Share of the time it is on']![0]).toBe('66 % (40 % to 93 %)');
  expect(held['Most it can reach']![0]).toMatch(/^27\.1 °C \(23\.6 °C to 35\.2 °C\)$/);
  expect(held['What comes of it']).toEqual(['the heater holds it', 'the heater holds it']);
  // (39.7 + 32.2) x 12 h x 30.44 days = 26.3 kWh, 7.88 at 0.30.
  expect(textOf(page)).toMatch(/The heater draws 26 kWh \(16 to 37\) in such a month, which costs €7\.8\d/);
});

test('A panel that is too weak is said not to reach what is wanted', async () => {
  const app = await startApp();
  await enterClosedBox(app, '20');
  const page = await app.get('/enclosures/1/warmth');
  expect(textOf(page)).toContain('does not reach what is wanted, even always on');
  expect(tableRows(page, 'To hold it warm in January 2026').at(-1)).toEqual([
    'What comes of it',
    'the heater does not reach it',
    'the heater does not reach it',
  ]);
});

test('Without a price of electricity no cost is told, and none is taken as nothing', async () => {
  const app = await startApp();
  await enterClosedBox(app);
  const page = await app.get('/enclosures/1/warmth');
  expect(textOf(page)).toContain('unknown without the price of electricity');
  // 60 W x 24 h x 50 % x 30.44 days = 21.9 kWh.
  expect(tableRows(page, 'Power of what is fitted, in a mean month')).toEqual([
    ['Panel', '60 W', '24', '50 %', '22', 'unknown'],
    ['Together', '–', '–', '–', '22', 'unknown'],
  ]);
});

test('Insulating the back and sides saves what ISO 6946 says they lose less', async () => {
  const app = await startApp();
  await enterClosedBox(app);
  setTariff(app, 0.3);
  const rows = tableRows(await app.get('/enclosures/1/warmth'), 'Saved in a month as cold as that');
  // 20 mm of 0.04 W/(m K) add 0.5 m2 K/W: 0.81 m2 go from 2.838 to 1.173, 1.35 W/K less: 3.61. 1.35 x 14.5 °C x 12 h x 30.44 = 7.1 kWh.
  expect(rows[0]![1]).toBe('3.61 W per °C');
  expect(rows[0]![2]).toMatch(/^7\.1 kWh \(\d/);
  expect(rows[1]![0]).toContain('cork board');
  expect(rows).toHaveLength(2);
});

test('A mesh top cannot be estimated; how to measure is explained, and no figure stands for the unknown', async () => {
  const app = await appWithSnake();
  const page = await app.get('/enclosures/1/warmth');
  expect(textOf(page)).toContain('The heat loss cannot be estimated: its top is mesh');
  expect(textOf(page)).toContain('Plug everything inside into an energy meter');
  expect(textOf(page)).toContain('Say in which room it stands');
  await enter(app, '/rooms/new', roomTexts);
  await enter(app, '/enclosures/1/build', { ...buildTexts, version: '1' });
  const held = tableRows(await app.get('/enclosures/1/warmth'), 'To hold it warm in January 2026');
  // Closed, the same box of glass would lose at least what the walls and the air take with them.
  expect(held.find(([what]) => what === 'Heat needed')![1]).toMatch(/^at least \d+ W$/);
  expect(held.at(-1)).toEqual(['What comes of it', 'unknown', 'unknown']);
  expect(textOf(page)).toContain('measured and never predicted');
});

test('An animal harmed by warmth is never given a heater, and its hot month is answered with cooling', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', { ...enclosureTexts, top: 'closed' });
  await enter(app, '/animals/new', { ...animalTexts, species: 'fire-bellied-toad', length: '5 cm' });
  await enter(app, '/rooms/new', roomTexts);
  await enter(app, '/enclosures/1/build', { ...buildTexts, version: '1' });
  const words = textOf(await app.get('/enclosures/1/warmth'));
  expect(words).toContain('so no heater is reckoned here');
  expect(words).not.toContain('To hold it warm');
  // The library's cool end of at most 23 °C against a July of 24 °C.
  expect(words).toMatch(/in July the room has 24 °C in the mean, warmer than the 23 °C that/);
  expect(words).toContain('or chilling; never a heater');
});

const minutesOf = (text: string) => {
  const [, hours, minutes] = /^(\d+) h (\d\d) min/.exec(text)!;
  return 60 * Number(hours) + Number(minutes);
};

test('Lamps can follow the day where the keeper lives, and UV the hours of the species', async () => {
  const app = await appWithSnake();
  const before = await app.get('/enclosures/1/warmth');
  expect(textOf(before)).toContain('Your latitude is not entered');
  expect(textOf(before)).toContain('the calendar of its home is kept');
  await app.submit(await app.get('/settings'), { latitude: '51,5' });
  expect(readLedger(app.db).latitude).toBe(51.5);
  const page = await app.get('/enclosures/1/warmth?day-corn-snake=keeper');
  const rows = tableRows(page, 'When lamps switch for Corn snake, month by month');
  expect(rows).toHaveLength(12);
  // In London the sun rises at 04:43 and sets at 21:19 on 15 June, at 08:00 and 16:20 on 15 January: from memory of its almanac tables.
  expect(Math.abs(minutesOf(rows[5]![4]!) - (16 * 60 + 36))).toBeLessThanOrEqual(5);
  expect(Math.abs(minutesOf(rows[0]![4]!) - (8 * 60 + 20))).toBeLessThanOrEqual(5);
  // The library holds a corn snake's UV between 8 and 12 hours.
  expect(rows[5]!.slice(1, 4)).toEqual(['16 h 30 min', '03:45', '20:15']);
  expect(rows[5]!.at(-1)).toBe('12 h 00 min, the most scored in full');
  expect(rows[0]!.slice(1, 4)).toEqual(['8 h 15 min', '07:45', '16:00']);
  expect(rows[0]!.at(-1)).toBe('as long');
  expect(textOf(page)).toContain('The day at 51.5° north, from your settings');
});

test('The day is that of its home unless another is chosen, with the source of its range; a choice not offered changes nothing', async () => {
  const app = await appWithSnake();
  await app.submit(await app.get('/settings'), { latitude: '51,5' });
  const page = await app.get('/enclosures/1/warmth');
  expect(formValues(findForm(page))).toEqual({ 'day-corn-snake': 'home', seasons: 'keeper' });
  const text = textOf(page);
  expect(text).toContain('The day at 32.5° north, the middle of its range from 25° north to 40° north');
  expect(text).toContain('Its home has its summer when you have yours.');
  expect(text).toContain('Source: from memory, check before relying on it');
  const published = await app.get('/enclosures/1/warmth?day-corn-snake=published');
  const rows = tableRows(published, 'When lamps switch for Corn snake, month by month');
  // The library's 13 to 14.5 hours in the long half and 9.5 to 11 in the short: middles 13.75 and 10.25.
  expect([rows[5]![1], rows[5]![4]]).toEqual(['13 h 45 min', '13 h 00 min to 14 h 30 min']);
  expect(rows[11]![1]).toBe('10 h 15 min');
  expect(textOf(await app.get('/enclosures/1/warmth?day-corn-snake=moon&seasons=none'))).toBe(text);
});

test('A home beyond the equator is turned into the keeper’s seasons, or keeps its own when that is chosen', async () => {
  const app = await startApp();
  await enter(app, '/enclosures/new', enclosureTexts);
  await enter(app, '/animals/new', { ...animalTexts, species: 'bearded-dragon', length: '40 cm' });
  await app.submit(await app.get('/settings'), { latitude: '51,5' });
  const juneOf = async (query: string) => {
    const page = await app.get(`/enclosures/1/warmth${query}`);
    const table = [...page.document.querySelectorAll('caption')]
      .map(textOf)
      .find((one) => one.startsWith('When lamps'))!;
    return { text: textOf(page), minutes: minutesOf(tableRows(page, table)[5]![4]!) };
  };
  const [turned, kept] = [await juneOf(''), await juneOf('?seasons=home')];
  expect(turned.text).toContain('each month takes the home’s day of half a year later');
  expect(kept.text).toContain('the calendar of its home is kept');
  // Outside: astronomy-engine has 13 h 55 min at 28 S on 15 December 2025 and 10 h 22 min on 15 June.
  expect(Math.abs(turned.minutes - (13 * 60 + 55))).toBeLessThanOrEqual(1);
  expect(Math.abs(kept.minutes - (10 * 60 + 22))).toBeLessThanOrEqual(1);
});

test('A lamp set more than an hour from this month’s hours is told, and that its timer costs nothing', async () => {
  const app = await appWithSnake();
  const hang = (name: string, hoursPerDay: string) =>
    enter(app, '/enclosures/1/fittings/new?kind=basking-lamp', {
      name,
      watts: '50',
      hoursPerDay,
      fittedOn: '2025-07-01',
      whenBoxReplaced: 'moves',
    });
  await hang('Spot', '14');
  await hang('Glow', '10,5');
  const text = textOf(await app.get('/enclosures/1/warmth?day-corn-snake=published'));
  // January is in the short half: 10 h 15 min.
  expect(text).toContain(
    '“Spot” is on for 14 h 00 min; the table has 10 h 15 min for January. Setting its timer anew costs nothing.',
  );
  expect(text).toContain('“Glow” is on for 10 h 30 min, within an hour of the 10 h 15 min for January.');
});

test.each(['91', 'London', '-90.5'])('A latitude of “%s” is refused beside its field', async (latitude) => {
  const app = await startApp();
  const answer = await app.submit(await app.get('/settings'), { latitude });
  expect(answer.status).toBe(422);
  expect(mistakesOf(answer).map((one) => one.field)).toEqual(['latitude']);
});

test('A heater in water is shown with its watts, cost and thermostat, and the page says that water is measured', async () => {
  const app = await startApp();
  await enterClosedBox(app);
  setTariff(app, 0.3);
  expect(textOf(await app.get('/enclosures/1/warmth'))).not.toContain('Heaters in the water');
  await enter(app, '/enclosures/1/fittings/new?kind=water-heater', {
    name: 'Glass heater',
    watts: '100',
    hoursPerDay: '24',
    duty: '50',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  const page = await app.get('/enclosures/1/warmth');
  // 100 W x 24 h x 50 % x 30.44 days = 36.5 kWh, 10.96 at 0.30.
  expect(tableRows(page, 'Heaters in the water')).toEqual([
    ['Glass heater', '100 W', '€10.96', 'no other is entered; whether it has its own is on its label'],
  ]);
  expect(textOf(page)).toContain('How warm water becomes is not reckoned here');
  await enter(app, '/enclosures/1/fittings/new?kind=thermostat', {
    name: 'Probe switch',
    regulates: '2',
    fittedOn: '2025-07-01',
    whenBoxReplaced: 'moves',
  });
  expect(tableRows(await app.get('/enclosures/1/warmth'), 'Heaters in the water')[0]![3]).toBe('yes: “Probe switch”');
});

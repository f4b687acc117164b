// The list of upgrades as a browser sees it: proposals answered, upgrades entered with their changes, bought, fitted and undone, every form
// with good, bad and stale answers.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { readCareLibrary } from '../../../seed/library.ts';
import {
  changeEnclosure,
  findEnclosure,
  findFitting,
  listFittings,
  loadCollection,
  saveAnswers,
} from '../../../server/db/collection.ts';
import { listEvents } from '../../../server/db/events.ts';
import { changeLedger, firstLedger, readLedger } from '../../../server/db/ledger.ts';
import { listOneOffSums } from '../../../server/db/money.ts';
import { addUpgrade, findUpgrade, listUpgrades } from '../../../server/db/upgrades.ts';
import { paths, withNotice } from '../../../server/paths.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { lampOf } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import { proposeUpgrades } from '../../../src/proposals.ts';
import { DEFAULT_CHOICES } from '../../../src/score.ts';
import type { Change, Upgrade } from '../../../src/upgrades.ts';
import { bareFitting, bareUpgrade } from '../../../src/upgrades.ts';
import {
  type Answer,
  findForm,
  formValues,
  mistakesOf,
  startApp,
  type TestApp,
  tableRows,
  textOf,
  textsOf,
} from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';
import { makeThing, makeUpgrade } from '../../support/make.ts';

/** A snake with a hide and an unregulated mat, and money that was counted today. */
async function snakeApp(): Promise<TestApp> {
  const app = await appWithSnake();
  const fitting = { fittedOn: '2025-06-01', lifeMonths: '', renewalPrice: '', whenBoxReplaced: 'stays-behind' };
  await enter(app, paths.enclosures.fittings.newOf(1, 'heat-mat'), { ...fitting, name: 'Old mat', watts: '20' });
  await enter(app, paths.enclosures.fittings.newOf(1, 'hide'), {
    ...fitting,
    name: 'Cork tube',
    place: 'warm',
    whenBoxReplaced: 'moves',
  });
  await enter(app, paths.enclosures.readings.newOf(1, 'warm-hide-floor'), { ...readingTexts, value: '38' });
  changeLedger(app.db, firstLedger.version, {
    monthlySum: money(70_00),
    cashCounted: money(115_00),
    cashCountedOn: plainDate('2026-01-15'),
    sumArrived: true,
  });
  return app;
}

const plain: Omit<Upgrade, 'id'> = {
  ...bareUpgrade('Slate cave', [
    { change: 'fit', enclosureId: '1', fitting: { ...bareFitting('hide', 'Slate cave'), key: 'cave', place: 'cool' } },
  ]),
  priceLow: money(8_00),
  priceHigh: money(12_00),
};

const texts = { name: 'Cave of slate', priceLow: '8', priceHigh: '12,50' };

/** The cash in hand as the money page shows it. */
async function cashInHand({ get }: TestApp): Promise<string> {
  return textsOf(await get(paths.money), '.facts dd')[0]!;
}

/** Opens the form of a new upgrade and adds changes of these kinds, as the button without a script does. */
async function openForm({ get, submit }: TestApp, typed: Record<string, string>, ...kinds: string[]): Promise<Answer> {
  let page = await get(paths.upgrades.new);
  for (const add of kinds) {
    page = await submit(page, { ...typed, add, step: 'add' });
    expect(page.status).toBe(200);
  }
  return page;
}

function proposalsOf(app: TestApp) {
  return proposeUpgrades({
    collection: loadCollection(app.db),
    library: readCareLibrary(),
    choices: { ...DEFAULT_CHOICES, ruleSets: readLedger(app.db).ruleSets },
    rooms: [],
    parts: readCatalogue(),
    currency: readLedger(app.db).currency,
    powerPrice: 'not-ours',
    on: plainDate('2026-01-15'),
  });
}

test('Without animals the list says what to do first', async () => {
  const { get } = await startApp();
  const page = await get(paths.upgrades.list);
  expect(textsOf(page, '.empty-state h2')).toEqual(['Nothing to propose yet']);
});

test('Free actions stand first and apart, and what is proposed says why', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  const page = await app.get(paths.upgrades.list);
  expect(textsOf(page, 'main h2')).toEqual(['Free: do these first', 'Wanted', 'Proposed to buy']);
  const [free] = [...page.document.querySelectorAll('main section')];
  const rows = [...free!.querySelectorAll('.need')].map((one) => textOf(one));
  expect(rows.length).toBeGreaterThan(0);
  expect(rows.every((one) => one.includes('free, “Top shelf” (Maize)'))).toBe(true);
  expect(textOf(page)).toContain('“Old mat” heats without a thermostat that regulates it');
});

test('What nobody proposes is said with its reason, what has to be made is priced by the keeper, and a kit says what it takes for granted', async () => {
  const app = await snakeApp();
  const page = await app.get(paths.upgrades.list);
  const text = textOf(page);
  expect(text).not.toContain('Why nothing is proposed');
  expect(text).toContain('Reckoned without a reflector');
  const made = [...page.document.querySelectorAll('.need')].find((one) =>
    textOf(one).includes('Box made by yourself'),
  )!;
  expect(textOf(made)).toContain('price to be entered');
  expect(textOf(made)).not.toContain('Accept');
  const key = proposalsOf(app).find((one) => one.act.act === 'home-made-box')!.key;
  const collection = loadCollection(app.db);
  const box = collection.enclosures[0]!;
  // The shortest tube of the list is lit over 55 cm.
  expect(Math.max(box.lengthMm, box.depthMm)).toBeGreaterThan(550);
  const { id, ...facts } = findEnclosure(app.db, 1)!;
  changeEnclosure(app.db, Number(id), facts.version, { ...facts, lengthMm: 500, depthMm: 450 });
  const small = await app.get(paths.upgrades.list);
  expect(textOf(small)).toContain('Why nothing is proposed (1)');
  expect(textsOf(small, 'details li')).toContain(
    'UV of Maize in “Top shelf”: every UV tube of the list would stand out over the box: the shortest is lit over 55 cm, the box measures 50 cm; a larger box, or a shorter tube that you find, would take one.',
  );
  const form = await app.get(paths.upgrades.newFrom(key));
  const answer = await app.submit(form, { priceLow: '90', priceHigh: '120' });
  expect(answer.status).toBe(303);
  expect(listUpgrades(app.db).map((one) => [one.priceHigh, one.changes[0]!.change])).toEqual([[120_00, 'replace-box']]);
});

test('A proposal says when its target is from memory, and what it lowers until that is read again', async () => {
  const app = await snakeApp();
  for (const [kind, value] of [
    ['humidity-day', '76'],
    ['cool-end-air', '23'],
  ] as const)
    await enter(app, `/enclosures/1/readings/new?kind=${kind}`, { ...readingTexts, value });
  const page = await app.get(paths.upgrades.list);
  const rows = [...page.document.querySelectorAll('.need')].map((one) => textOf(one));
  const remembered = rows.filter((one) => one.includes('The target behind it is from memory: check it'));
  expect(remembered.length).toBeGreaterThan(0);
  // The air is held against a band from memory; the rule for space is not.
  expect(remembered.some((one) => one.includes('too damp'))).toBe(true);
  expect(remembered.some((one) => one.includes('of the length'))).toBe(false);
  expect(rows.some((one) => /Humidity of Maize counts as \d+ instead of \d+ until you read it again/.test(one))).toBe(
    true,
  );
});

test('A proposal that is accepted is wanted, is not proposed again, and keeps what it changes', async () => {
  const app = await snakeApp();
  const proposal = proposalsOf(app).find((one) => !one.isFree && one.act.act === 'kit')!;
  const before = textsOf(await app.get(paths.upgrades.list), '.need').length;
  const page = await app.post(paths.upgrades.acceptProposal, { key: proposal.key });
  expect(page.location).toBe(`${paths.upgrades.list}?done=wanted`);
  expect(findUpgrade(app.db, 1)).toMatchObject({
    status: 'wanted',
    origin: 'proposed',
    proposalKey: proposal.key,
    changes: proposal.upgrade.changes,
    priceHigh: proposal.upgrade.priceHigh,
  });
  expect(textsOf(await app.get(paths.upgrades.list), '.need')).toHaveLength(before);
  const again = await app.post(paths.upgrades.acceptProposal, { key: proposal.key });
  expect(again.location).toBe(`${paths.upgrades.list}?done=sent-twice`);
  expect(listUpgrades(app.db)).toHaveLength(1);
});

test('A refused proposal stays in the list as refused and can be wanted again', async () => {
  const app = await snakeApp();
  const proposal = proposalsOf(app)[0]!;
  await app.post(paths.upgrades.refuseProposal, { key: proposal.key });
  expect(findUpgrade(app.db, 1)!.status).toBe('refused');
  const page = await app.submit(await app.get(paths.upgrades.list), {}, paths.upgrades.accept(1));
  expect(page.status).toBe(303);
  expect(findUpgrade(app.db, 1)!.status).toBe('wanted');
});

test('Every proposal can be opened in the form, and sent as it is it changes the set-up exactly as proposed', async () => {
  const app = await snakeApp();
  const proposals = proposalsOf(app);
  expect(proposals.length).toBeGreaterThan(5);
  for (const proposal of proposals) {
    // What has no price is not taken without one.
    const typed = proposal.priced ? {} : { priceLow: '90', priceHigh: '120' };
    const answer = await app.submit(await app.get(paths.upgrades.newFrom(proposal.key)), typed);
    expect([answer.status, mistakesOf(answer)], proposal.key).toEqual([303, []]);
    const entered = listUpgrades(app.db).at(-1)!;
    expect(entered.proposalKey).toBe(proposal.key);
    expect(entered.changes, proposal.key).toEqual(proposal.upgrade.changes);
    const { priceLow, priceHigh, monthlyCost, lifeMonths, renewalPrice, leadMonths } = proposal.upgrade;
    const prices = proposal.priced ? { priceLow, priceHigh } : { priceLow: 90_00, priceHigh: 120_00 };
    expect(entered).toMatchObject({ ...prices, monthlyCost, lifeMonths, renewalPrice, leadMonths });
  }
});

test('In another currency than the catalogue’s a proposal must be priced before it is accepted', async () => {
  const app = await snakeApp();
  changeLedger(app.db, 2, { currency: { code: 'GBP', decimals: 2 } });
  const proposal = proposalsOf(app).find((one) => !one.isFree)!;
  expect((await app.post(paths.upgrades.acceptProposal, { key: proposal.key })).status).toBe(409);
  const form = await app.get(paths.upgrades.newFrom(proposal.key));
  expect(mistakesOf(await app.submit(form)).map((one) => one.field)).toEqual(['priceLow']);
  expect((await app.submit(form, { priceLow: '20', priceHigh: '30' })).status).toBe(303);
  expect(findUpgrade(app.db, 1)).toMatchObject({ proposalKey: proposal.key, priceLow: 20_00, priceHigh: 30_00 });
});

test('An unknown proposal is a plain conflict, and an unknown upgrade is not found', async () => {
  const { get, post } = await snakeApp();
  expect((await post(paths.upgrades.acceptProposal, { key: 'nonsense' })).status).toBe(409);
  expect((await get(paths.upgrades.newFrom('nonsense'))).status).toBe(409);
  const { show, edit, bought, fitted, pin, notBought, remove } = paths.upgrades;
  for (const url of [show, edit, bought, fitted, pin, notBought, remove]) {
    expect((await get(url(99))).status).toBe(404);
    expect((await get(url('x'))).status).toBe(404);
  }
});

test('An upgrade of one’s own is entered with a kit of things that know one another', async () => {
  const app = await snakeApp();
  const form = await openForm(app, texts, 'retire', 'fit:heat-mat', 'fit:thermostat', 'answer');
  const answer = await app.submit(form, {
    ...texts,
    runningCost: '1,20',
    leadMonths: '1',
    earliestMonth: '2026-03',
    group: 'warm end',
    saleAmount: '5',
    'c1-fitting': '1',
    'c2-enclosure': '1',
    'c2-name': 'Mat, 14 W',
    'c2-watts': '14 W',
    'c2-hoursPerDay': '24',
    'c3-enclosure': '1',
    'c3-regulates': 'thing-2',
    'c3-expect1Kind': 'warm-hide-floor',
    'c3-expect1Value': '86F',
    'c4-enclosure': '1',
    'c4-check': 'probe-in-place',
  });
  expect([answer.status, mistakesOf(answer)]).toEqual([303, []]);
  const { changes, ...rest } = findUpgrade(app.db, 1)!;
  expect(rest).toMatchObject({
    name: 'Cave of slate',
    status: 'wanted',
    origin: 'own',
    priceLow: 8_00,
    priceHigh: 12_50,
    monthlyCost: 1_20,
    leadMonths: 1,
    earliestMonth: '2026-03',
    group: 'warm end',
    proceeds: { amount: 5_00, afterMonths: 1 },
  });
  expect(changes.map((one) => one.change)).toEqual(['retire', 'fit', 'fit', 'answer']);
  expect(changes[1]).toMatchObject({ fitting: { key: 'thing-2', kind: 'heat-mat', watts: 14, hoursPerDay: 24 } });
  expect(changes[2]).toMatchObject({
    fitting: { regulates: 'thing-2', expects: [{ reading: 'warm-hide-floor', value: 30 }] },
  });
  const shown = await app.get(paths.upgrades.show(1));
  expect(textsOf(shown, '.reason-list li')).toEqual([
    'Takes “Old mat” out of use.',
    'Fits “Mat, 14 W” in “Top shelf”.',
    'Fits “Thermostat” in “Top shelf”.',
    'In “Top shelf” the answer becomes yes: Is the probe of each thermostat fixed where it should measure?',
  ]);
});

test('Each kind of change can be entered and comes back in the form as it was', async () => {
  const app = await snakeApp();
  const form = await openForm(app, texts, 'move', 'set-hours', 'renew', 'replace-box', 'predict', 'fit:outdoor-run');
  const typed = {
    ...texts,
    'c1-fitting': '2',
    'c1-place': 'cool',
    'c2-fitting': '1',
    'c2-hoursPerDay': '12',
    'c3-fitting': '1',
    'c4-enclosure': '1',
    'c4-length': '1,5 m',
    'c4-depth': '24 in',
    'c4-height': '60',
    'c4-material': 'glass',
    'c4-top': 'closed',
    'c5-enclosure': '1',
    'c5-reading': 'humidity-day',
    'c5-value': '45 %',
    'c6-enclosure': '1',
    'c6-runLength': '2 m',
    'c6-runDepth': '1 m',
    'c6-runFrom': '5',
    'c6-runTo': '9',
    'c6-shade': 'yes',
  };
  // Nobody chose the walls of a box by leaving the list as it came.
  const unchosen = await app.submit(form, { ...typed, 'c4-material': '', 'c4-top': '' });
  expect(mistakesOf(unchosen)).toHaveLength(2);
  expect((await app.submit(form, typed)).status).toBe(303);
  const kept = findUpgrade(app.db, 1)!.changes;
  expect(kept).toMatchObject([
    {
      change: 'move',
      fittingId: '2',
      place: 'cool',
      distanceMm: null,
      meshShare: null,
      outOfReach: null,
      placed: null,
    },
    { change: 'set-hours', fittingId: '1', hoursPerDay: 12 },
    { change: 'renew', fittingId: '1' },
    { change: 'replace-box', enclosureId: '1', lengthMm: 1500, depthMm: 609.6, heightMm: 600, material: 'glass' },
    { change: 'predict', reading: 'humidity-day', value: 45 },
    { change: 'fit', fitting: { outdoors: { lengthMm: 2000, depthMm: 1000, fromMonth: 5, toMonth: 9, shade: true } } },
  ]);
  expect((await app.submit(await app.get(paths.upgrades.edit(1)), { name: 'Another name' })).status).toBe(303);
  expect(findUpgrade(app.db, 1)).toMatchObject({ name: 'Another name', changes: kept });
});

test('What the form of an upgrade cannot show is kept: places, sockets, and what more is known of a lamp', async () => {
  const app = await snakeApp();
  const place = { xMm: 300, yMm: 200, zMm: 350, lengthMm: null, depthMm: null, heightMm: null, turned: false };
  const lamp = lampOf(550, 300, 3, { reflector: 'with', more: [{ atMm: 450, uvi: 1.6 }], datumOffsetMm: 20 });
  const tube = makeThing('uv-tube', { lamp, placed: place, distanceMm: 250 });
  const move = { fittingId: '1', distanceMm: 250, meshShare: null, place: null, outOfReach: null, placed: place };
  const { id: _, ...own } = makeUpgrade('1', [
    { change: 'fit', enclosureId: '1', fitting: tube },
    { change: 'move', ...move },
  ]);
  addUpgrade(app.db, own);
  expect((await app.submit(await app.get(paths.upgrades.edit(1)), { name: 'Another name' })).status).toBe(303);
  expect(findUpgrade(app.db, 1)).toMatchObject({ name: 'Another name', changes: own.changes });
  expect((await app.submit(await app.get(paths.upgrades.edit(1)), { 'c2-distance': '30 cm' })).status).toBe(303);
  expect(findUpgrade(app.db, 1)!.changes[1]).toMatchObject({ change: 'move', distanceMm: 300, placed: null });
});

test('A change that is ticked to be left out is dropped, and the rest stays as typed', async () => {
  const app = await snakeApp();
  const form = await openForm(app, texts, 'retire', 'fit:hide');
  const page = await app.submit(form, { 'c1-out': 'yes', 'c2-name': 'Bark', add: 'renew', step: 'add' });
  expect(textsOf(page, 'fieldset.field-group > legend')).toEqual([
    'Price',
    'Change 1: fit Hide',
    'Change 2: Put a new one in place of a worn thing',
  ]);
  expect(formValues(findForm(page))).toMatchObject({ ...texts, 'c2-name': 'Bark', 'c3-what': 'renew' });
  await app.submit(page, { 'c3-out': 'yes', 'c2-enclosure': '1' });
  expect(findUpgrade(app.db, 1)!.changes).toMatchObject([{ change: 'fit', fitting: { name: 'Bark' } }]);
});

test('Saving with a kind of change chosen but not added asks for its details and saves nothing', async () => {
  const app = await snakeApp();
  const page = await app.submit(await app.get(paths.upgrades.new), { ...texts, add: 'retire' });
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual(['add']);
  const nothing = await app.submit(await app.get(paths.upgrades.new), { ...texts, add: '', step: 'add' });
  expect([nothing.status, mistakesOf(nothing).map((one) => one.field)]).toEqual([422, ['add']]);
  expect(formValues(findForm(nothing))).toMatchObject(texts);
  const unknown = await app.submit(await app.get(paths.upgrades.new), { ...texts, add: 'fit:dragon', step: 'add' });
  expect(unknown.status).toBe(422);
  expect(listUpgrades(app.db)).toEqual([]);
});

test.each<[string, Record<string, string>, string]>([
  ['no name', { name: '' }, 'name'],
  ['a name beyond reading', { name: 'x'.repeat(161) }, 'name'],
  ['no price', { priceLow: '' }, 'priceLow'],
  ['a negative price', { priceLow: '-3' }, 'priceLow'],
  ['a huge price', { priceLow: '100000000000' }, 'priceLow'],
  ['a high price below the low one', { priceLow: '13' }, 'priceHigh'],
  ['a price in words', { priceHigh: 'a lot' }, 'priceHigh'],
  ['a renewal without a life', { renewalPrice: '5' }, 'lifeMonths'],
  ['a life of no months', { lifeMonths: '0' }, 'lifeMonths'],
  ['a month that does not exist', { earliestMonth: '2026-00' }, 'earliestMonth'],
  ['a month of no year', { earliestMonth: 'March' }, 'earliestMonth'],
  ['a lead of years', { leadMonths: '37' }, 'leadMonths'],
  ['a sale without its sum', { saleAfter: '1' }, 'saleAmount'],
  ['a thing that is not fitted', { 'c1-fitting': '77' }, 'c1-fitting'],
  ['no thing', { 'c1-fitting': '' }, 'c1-fitting'],
  ['an enclosure there is not', { 'c2-enclosure': '99' }, 'c2-enclosure'],
  ['too many watts', { 'c2-watts': '50000' }, 'c2-watts'],
  ['hours beyond a day', { 'c2-hoursPerDay': '25' }, 'c2-hoursPerDay'],
  ['a negative distance', { 'c2-distance': '-3 cm' }, 'c2-distance'],
  ['a distance in watts', { 'c2-distance': '3 W' }, 'c2-distance'],
  ['an output without its distance', { 'c2-lampUvi': '3', 'c2-litLength': '55' }, 'c2-lampAt'],
  ['an output of 0', { 'c2-lampUvi': '0', 'c2-lampAt': '30', 'c2-litLength': '55' }, 'c2-lampUvi'],
  ['a value without its reading', { 'c2-expect1Value': '3' }, 'c2-expect1Kind'],
  ['a reading without its value', { 'c2-expect1Kind': 'uvi-basking' }, 'c2-expect1Value'],
  ['a value beyond belief', { 'c2-expect1Kind': 'uvi-basking', 'c2-expect1Value': '61' }, 'c2-expect1Value'],
  ['a share that was not offered', { 'c2-mesh': '7' }, 'c2-mesh'],
  ['nothing moved', { 'c3-place': '' }, 'c3-distance'],
  ['a value in another unit', { 'c4-value': '30 cm' }, 'c4-value'],
])('The form of an upgrade refuses %s at its field and keeps what was typed', async (_name, wrong, field) => {
  const app = await snakeApp();
  const form = await openForm(app, texts, 'retire', 'fit:uv-tube', 'move', 'predict');
  const typed = {
    ...texts,
    'c1-fitting': '1',
    'c2-enclosure': '1',
    'c3-fitting': '2',
    'c3-place': 'cool',
    'c4-enclosure': '1',
    'c4-reading': 'warm-air',
    'c4-value': '30',
    ...wrong,
  };
  const page = await app.submit(form, typed);
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  const back = formValues(findForm(page));
  for (const [name, value] of Object.entries(typed)) {
    // A list can only show an answer that it offers.
    const isList = page.document.querySelector(`[name="${name}"]`)?.localName === 'select';
    if (!isList) expect(back[name], name).toBe(value);
  }
  expect(listUpgrades(app.db)).toEqual([]);
  const right = { ...texts, lifeMonths: '', renewalPrice: '', saleAfter: '', earliestMonth: '', leadMonths: '0' };
  const tube = {
    'c2-watts': '',
    'c2-hoursPerDay': '',
    'c2-distance': '',
    'c2-lampUvi': '',
    'c2-lampAt': '',
    'c2-litLength': '',
    'c2-mesh': '1',
  };
  const rest = {
    'c1-fitting': '1',
    'c2-enclosure': '1',
    'c2-expect1Kind': '',
    'c2-expect1Value': '',
    'c3-place': 'cool',
  };
  expect((await app.submit(page, { ...right, ...tube, ...rest, 'c4-value': '30' })).status).toBe(303);
});

test('A field that the form does not know is named and nothing is saved', async () => {
  const app = await snakeApp();
  for (const name of ['points', 'c9-points', 'c1-points']) {
    const form = await openForm(app, texts, 'retire');
    const page = await app.submit(form, { ...texts, 'c1-fitting': '1', [name]: '100' });
    expect(page.status, name).toBe(422);
    expect(textOf(page.document.querySelector('.error-summary'))).toContain('which this page does not know');
  }
  expect(listUpgrades(app.db)).toEqual([]);
});

test('What an upgrade needs first is chosen among the others, all of it or one of several', async () => {
  const app = await snakeApp();
  for (const name of ['Shelf', 'Stand', 'Table']) addUpgrade(app.db, { ...plain, name });
  const form = await openForm(app, texts);
  // Two of one name are told apart by whose enclosure they are for.
  expect(textsOf(form, 'select[name=needs1] option')[1]).toBe('Shelf, for “Top shelf” (Maize)');
  await app.submit(form, { ...texts, needs1: '1', either1: '2', either2: '3' });
  expect(findUpgrade(app.db, 4)!.requires).toEqual([['1'], ['2', '3']]);
  expect(textOf(await app.get(paths.upgrades.show(4)))).toContain('“Shelf” and “Stand” or “Table”');
  expect(mistakesOf(await app.submit(await app.get(paths.upgrades.edit(4)), { needs1: '4' }))).toHaveLength(1);
  await app.submit(await app.get(paths.upgrades.edit(4)), { either3: '1' });
  expect(findUpgrade(app.db, 4)!.requires).toEqual([['1'], ['2', '3', '1']]);
});

test('An upgrade changed elsewhere is shown beside what was typed, with its changes in words', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  const stale = await app.get(paths.upgrades.edit(1));
  await app.submit(await app.get(paths.upgrades.edit(1)), { priceHigh: '20' });
  const page = await app.submit(stale, { priceHigh: '15', 'c1-name': 'Bark cave' });
  expect(page.status).toBe(409);
  const rows = tableRows(page, 'Both versions');
  expect(rows).toEqual([
    ['Price, high', '20.00', '15'],
    ['What it changes', 'Fits “Slate cave” in “Top shelf”.', 'Fits “Bark cave” in “Top shelf”.'],
  ]);
  expect(findUpgrade(app.db, 1)!.priceHigh).toBe(20_00);
  expect((await app.submit(page)).status).toBe(303);
  expect(findUpgrade(app.db, 1)).toMatchObject({ priceHigh: 15_00, changes: [{ fitting: { name: 'Bark cave' } }] });
});

test('A purchase that stays behind when a wanted new box comes is told apart from one that moves', async () => {
  const app = await snakeApp();
  const box: Change = {
    change: 'replace-box',
    enclosureId: '1',
    lengthMm: 1500,
    depthMm: 600,
    heightMm: 600,
    material: 'wood',
    top: 'closed',
  };
  const mat: Change = {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('heat-mat', 'Mat'), whenBoxReplaced: 'stays-behind' },
  };
  addUpgrade(app.db, { ...plain, name: 'Larger box', changes: [box] });
  addUpgrade(app.db, { ...plain, name: 'Mat', changes: [mat] });
  addUpgrade(app.db, plain);
  const page = await app.get(paths.upgrades.list);
  const row = (name: string) =>
    textOf(
      [...page.document.querySelectorAll('.need')].find((one) => textOf(one.querySelector('h3')) === name) ?? null,
    );
  expect(row('Mat')).toContain('It stays behind when “Larger box” comes: bought before, its money is lost');
  // What moves along is said once for all of a list.
  expect(row('Slate cave')).not.toContain('new box');
  expect(textsOf(page, '#wanted > p, section > p').join(' ')).toContain(
    'Nothing is lost of “Slate cave” when “Larger box” comes: it moves into the new box.',
  );
  expect(row('Larger box')).not.toContain('new box');
});

test('An upgrade is fixed to a month and freed again', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, { ...plain, earliestMonth: plainMonth('2026-03') });
  addUpgrade(app.db, { ...plain, origin: 'proposed' });
  expect(textOf(await app.get(paths.upgrades.show('1')))).toContain('life come fromentered by you');
  expect(textOf(await app.get(paths.upgrades.show('2')))).toContain(
    'the catalogue of generic parts (common practice, no source)',
  );
  const form = await app.get(paths.upgrades.pin(1));
  for (const month of ['2025-12', '2026-02', '2026-14', '', 'soon']) {
    const page = await app.submit(form, { month });
    expect([page.status, mistakesOf(page).map((one) => one.field)], month).toEqual([422, ['month']]);
    expect(formValues(findForm(page)).month).toBe(month);
  }
  await app.submit(form, { month: '2026-04' });
  expect(findUpgrade(app.db, 1)!.pinnedMonth).toBe('2026-04');
  expect(textsOf(await app.get(paths.upgrades.list), '.tag')).toContain('fixed to April 2026');
  await app.submit(await app.get(paths.upgrades.show(1)), {}, paths.upgrades.unpin(1));
  expect(findUpgrade(app.db, 1)!.pinnedMonth).toBeNull();
});

const kit: Change[] = [
  { change: 'retire', fittingId: '1' },
  {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('heat-mat', 'Mat, 14 W'), key: 'mat', watts: 14, hoursPerDay: 24 },
  },
  {
    change: 'fit',
    enclosureId: '1',
    fitting: { ...bareFitting('thermostat', 'Thermostat'), key: 'thermostat', regulates: 'mat' },
  },
];

test('From wanted to fitted: the real price leaves the cash, the set-up changes, and readings are asked for', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, { ...plain, name: 'Regulated mat', changes: kit });
  const bought = { paid: '31,50', arrives: 'later', arrivesMonth: '2026-02' };
  // More than twice the most that was expected is asked back once.
  const asked = await app.submit(await app.get(paths.upgrades.bought(1)), bought);
  expect(mistakesOf(asked)).toEqual([
    {
      field: 'paid',
      message:
        'Look again: €31.50 is far from the €8.00 to €12.00 that were expected. Correct it, or tick that it is right.',
    },
  ]);
  expect(findUpgrade(app.db, 1)).toMatchObject({ status: 'wanted', paid: null });
  await app.submit(asked, { sure: 'yes' });
  expect(findUpgrade(app.db, 1)).toMatchObject({
    status: 'ordered',
    boughtOn: '2026-01-15',
    paid: 31_50,
    arrivesMonth: '2026-02',
  });
  expect(await cashInHand(app)).toBe('€83.50');
  expect(textOf(await app.get(paths.upgrades.show(1)))).toContain(
    'Bought on 15 January 2026, arrives in February 2026.',
  );

  const form = await app.get(paths.upgrades.fitted(1));
  expect(textOf(form)).toContain('This is written into the set-up: Takes “Old mat” out of use.');
  expect(textOf(form.document.querySelector('.caution'))).toContain('thermostat of the right type');
  const done = await app.submit(form);
  // What it replaced lies on the table now, so where that goes is asked at once; the page of the upgrade comes after.
  expect(done.location).toBe(`${paths.upgrades.oldThing(1, 'fitting:1')}?done=fitted`);
  const answered = await app.submit(await app.get(done.location!), { fate: 'spare' });
  expect(answered.location).toBe(`${paths.upgrades.show(1)}?done=saved`);
  expect(findFitting(app.db, 1)!.retiredOn).toBe('2026-01-15');
  const [mat, thermostat] = listFittings(app.db, 1).slice(-2);
  expect(thermostat).toMatchObject({ name: 'Thermostat', regulates: mat!.id, fittedOn: '2026-01-15' });
  expect(listEvents(app.db).map((one) => one.what)).toEqual(['bought', 'fitted']);

  const shown = await app.get(paths.upgrades.show(1));
  const links = [...shown.document.querySelectorAll('.measure-first a')].map((one) => one.getAttribute('href'));
  expect(links).toEqual([paths.enclosures.readings.newAfter(1, 'warm-hide-floor', 1)]);
  expect(textsOf(shown, '.measure-first .tag')).toEqual(['to be read']);
  const entered = await app.submit(await app.get(links[0]!), { takenOn: '2026-01-15', value: '31' });
  expect(entered.location).toBe(withNotice(paths.upgrades.show(1), 'added'));
  expect(textsOf(await app.get(paths.upgrades.show(1)), '.measure-first .tag')).toEqual(['read since']);
  for (const url of [paths.upgrades.edit(1), paths.upgrades.remove(1)]) expect((await app.get(url)).status).toBe(409);
});

test('A free action is done in one step', async () => {
  const app = await snakeApp();
  const free = { ...plain, priceLow: money(0), priceHigh: money(0) };
  addUpgrade(app.db, { ...free, changes: [{ change: 'answer', enclosureId: '1', check: 'drip-loop' }] });
  expect(textsOf(await app.get(paths.upgrades.list), '.need .button')[0]).toBe('Mark as done');
  await app.submit(await app.get(paths.upgrades.fitted(1)));
  expect(findUpgrade(app.db, 1)).toMatchObject({ status: 'fitted', paid: 0, fittedOn: '2026-01-15' });
  expect(loadCollection(app.db).answers).toMatchObject([{ check: 'drip-loop', answer: 'yes' }]);
});

test('A larger box that is fitted brings the sale of the old one as a one-off sum', async () => {
  const app = await snakeApp();
  const changes: Change[] = [
    {
      change: 'replace-box',
      enclosureId: '1',
      lengthMm: 1500,
      depthMm: 600,
      heightMm: 600,
      material: 'wood',
      top: 'closed',
    },
  ];
  addUpgrade(app.db, { ...plain, name: 'Larger box', changes, proceeds: { amount: money(20_00), afterMonths: 1 } });
  await app.submit(await app.get(paths.upgrades.fitted(1)), { paid: '180' });
  expect(findEnclosure(app.db, 1)).toMatchObject({ lengthTyped: '150 cm', boxSince: '2026-01-15' });
  expect(listOneOffSums(app.db)).toMatchObject([
    { month: '2026-02', amount: 20_00, note: 'Sale of what “Larger box” replaced' },
  ]);
  expect(textsOf(await app.get(paths.upgrades.show(1)), '.measure-first a')).toEqual([
    'Temperature of the floor of the warm hide, “Top shelf”',
  ]);
});

test('What was seen to in the old box is asked again of a new one, and what nobody looked at stays open', async () => {
  const app = await snakeApp();
  const yes = { enclosureId: '1', answer: 'yes' as const, answeredOn: plainDate('2026-01-02') };
  saveAnswers(app.db, [
    { ...yes, check: 'escape-proof' },
    { ...yes, check: 'drip-loop' },
    { ...yes, check: 'smoke-alarm' },
  ]);
  const size = { lengthMm: 1500, depthMm: 600, heightMm: 600, material: 'wood' as const, top: 'closed' as const };
  addUpgrade(app.db, { ...plain, name: 'Box', changes: [{ change: 'replace-box', enclosureId: '1', ...size }] });
  const form = await app.get(paths.upgrades.fitted(1));
  expect(formValues(findForm(form))).toMatchObject({ 'answer-escape-proof': 'unknown', 'answer-drip-loop': 'unknown' });
  await app.submit(form, { paid: '180', 'answer-drip-loop': 'yes' });
  const answers = Object.fromEntries(loadCollection(app.db).answers.map((one) => [one.check, one.answer]));
  expect(answers).toEqual({ 'escape-proof': 'unknown', 'drip-loop': 'yes', 'smoke-alarm': 'yes' });
});

test.each<[string, Record<string, string>, string]>([
  ['a day that does not exist', { boughtOn: '2026-02-30' }, 'boughtOn'],
  ['a day to come', { boughtOn: '2026-01-16' }, 'boughtOn'],
  ['a negative sum', { paid: '-1' }, 'paid'],
  ['a huge sum', { paid: '9'.repeat(20) }, 'paid'],
  ['no sum', { paid: '' }, 'paid'],
  ['an arrival without its month', { arrives: 'later' }, 'arrivesMonth'],
  ['an arrival before the purchase', { arrives: 'later', arrivesMonth: '2025-12' }, 'arrivesMonth'],
  ['a month that does not exist', { arrives: 'later', arrivesMonth: '2026-99' }, 'arrivesMonth'],
])('The form of a purchase refuses %s at its field and keeps what was typed', async (_name, wrong, field) => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  const page = await app.submit(await app.get(paths.upgrades.bought(1)), wrong);
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  expect(formValues(findForm(page))).toMatchObject(wrong);
  expect(findUpgrade(app.db, 1)!.status).toBe('wanted');
});

test.each<[string, Record<string, string>, string]>([
  ['a day to come', { fittedOn: '2026-01-16' }, 'fittedOn'],
  ['a day before it was bought', { fittedOn: '2026-01-10' }, 'fittedOn'],
  ['no day', { fittedOn: '' }, 'fittedOn'],
  ['no sum', { paid: '' }, 'paid'],
  ['a day of buying that does not exist', { boughtOn: '2026-13-01' }, 'boughtOn'],
])('The form of fitting refuses %s at its field and changes no set-up', async (_name, wrong, field) => {
  const app = await snakeApp();
  addUpgrade(app.db, { ...plain, changes: kit });
  const before = loadCollection(app.db);
  const page = await app.submit(await app.get(paths.upgrades.fitted(1)), wrong);
  expect(page.status).toBe(422);
  expect(mistakesOf(page).map((one) => one.field)).toEqual([field]);
  expect(formValues(findForm(page))).toMatchObject(wrong);
  expect(loadCollection(app.db)).toEqual(before);
});

test('A purchase that was not made after all is wanted again, its money is back, and the reason is kept', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  await app.submit(await app.get(paths.upgrades.bought(1)));
  expect(await cashInHand(app)).toBe('€103.00');
  await app.submit(await app.get(paths.upgrades.notBought(1)), { why: 'sold out' });
  expect(findUpgrade(app.db, 1)).toMatchObject({ status: 'wanted', paid: null });
  expect(await cashInHand(app)).toBe('€115.00');
  expect(listEvents(app.db).at(-1)).toMatchObject({ what: 'not-bought', note: 'sold out' });
  expect(textOf(await app.get(paths.upgrades.show(1)))).toContain(
    'What has happened 15 January 2026Bought: €12.0015 January 2026Not bought: sold out',
  );
});

test('Buying one of a choice says which others are refused', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, { ...plain, name: 'Glass box', group: 'box' });
  addUpgrade(app.db, { ...plain, name: 'Wooden box', group: 'box' });
  const form = await app.get(paths.upgrades.bought(1));
  expect(textOf(form)).toContain('so “Wooden box” will be refused');
  await app.submit(form);
  expect(findUpgrade(app.db, 2)!.status).toBe('refused');
});

test('Every step from an old page does nothing and says so', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  const { bought, fitted, pin, notBought, refuse, unpin, remove } = paths.upgrades;
  const forms = [];
  for (const url of [bought, fitted, pin, notBought]) forms.push(await app.get(url(1)));
  await app.submit(await app.get(paths.upgrades.edit(1)), { priceHigh: '13' });
  const before = findUpgrade(app.db, 1);
  for (const form of forms) {
    const page = await app.submit(form);
    expect(page.status).toBe(409);
    expect(tableRows(page, 'Both versions')[0]).toContain('Wanted: it enters the next plan.');
  }
  for (const url of [refuse, unpin, remove]) expect((await app.post(url(1), { version: '1' })).status).toBe(409);
  for (const url of [refuse, unpin, remove, bought]) expect((await app.post(url(1))).status).toBe(422);
  expect(findUpgrade(app.db, 1)).toEqual(before);
  expect((await app.submit(await app.get(bought(1)))).status).toBe(303);
  const late = await app.submit(forms[1]!);
  expect([late.status, tableRows(late, 'Both versions')[0]]).toEqual([
    409,
    expect.arrayContaining([expect.stringContaining('Bought on 15 January 2026')]),
  ]);
  expect((await app.submit(forms[0]!)).status).toBe(409);
});

test('An upgrade is removed after a question and put back', async () => {
  const app = await snakeApp();
  addUpgrade(app.db, plain);
  const form = await app.get(paths.upgrades.remove(1));
  expect(textOf(form)).toContain('It can be put back at any time');
  await app.submit(form);
  expect(listUpgrades(app.db)).toEqual([]);
  expect((await app.get(paths.upgrades.show(1))).status).toBe(404);
  await app.submit(await app.get(paths.upgrades.list), {}, paths.upgrades.putBack(1));
  expect(listUpgrades(app.db)).toMatchObject([{ name: 'Slate cave', status: 'wanted' }]);
});

test('The form of a proposal can be sent as soon as its price stands, and a purchase says from which day it leaves the cash', async () => {
  const app = await snakeApp();
  const list = await app.get(paths.upgrades.list);
  const link = [...list.document.querySelectorAll('a')].find((one) => textOf(one) === 'Change it first');
  const form = await app.get(link?.getAttribute('href') ?? '');
  const price = [...form.document.querySelectorAll('fieldset')].find(
    (one) => textOf(one.querySelector('legend')) === 'Price',
  );
  expect(textOf(price?.querySelector('button') ?? null)).toBe('Enter this upgrade');
  expect((await app.get(paths.upgrades.new)).document.querySelector('fieldset button')).toBeNull();

  addUpgrade(app.db, { ...plain, changes: [] });
  expect(textOf(await app.get(paths.upgrades.bought(1)))).toContain(
    'Bought on 15 January 2026 or later, it is taken off the cash counted on that day',
  );
  await app.submit(await app.get(paths.moneyChange), { cashCounted: '', cashCountedOn: '' });
  expect(textOf(await app.get(paths.upgrades.bought(1)))).toContain('once you have counted that');
});

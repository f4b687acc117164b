// Every form that enters something, sent twenty times at once, has one effect and leads to one place; every form that changes a row, open
// in two tabs, shows both versions to the second and loses neither. And no page writes without
// remembering the form, unless it is named here why it need not.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addUpgrade, buyUpgrade } from '../../../server/db/upgrades.ts';
import { readWholeLedger } from '../../../server/db/whole-ledger.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { closeApp, openApp, type TestApp, tableRows, testMoment, textOf } from '../../support/app.ts';
import { animalTexts, enclosureTexts, readingTexts } from '../../support/collection.ts';
import { fillIn } from '../../support/filled-in.ts';
import { formsOf, keepCopy } from '../../support/full-ledger.ts';
import { keepSmallLedger } from '../../support/ledger.ts';
import { boxUpgrade, library } from '../../support/make.ts';
import { routesOf } from '../../support/routes.ts';

const TIMES = 20;

const roomTexts = { name: 'Study', coldest: '16', coldestMonth: '1', hottest: '27', hottestMonth: '7' };
const probe = { name: 'Probe', 'kind-warm-hide-floor': 'yes', 'error-temperature': '0.5', standing: 'own' };
const sum = { note: 'Yearly vet check', direction: 'out', amount: '45', month: '2026-03' };
const fittings = '/enclosures/1/fittings';

/** The forms that enter something: where each is, and what is typed. */
const entering: readonly [string, Record<string, string>][] = [
  [paths.enclosures.new, enclosureTexts],
  [paths.animals.new, animalTexts],
  [`${fittings}/new?kind=hide`, { name: 'Slate cave', place: 'warm', fittedOn: '2025-07-01' }],
  ['/enclosures/1/readings/new?kind=warm-hide-floor', readingTexts],
  [paths.enclosures.round(1), { 'value-warm-hide-floor': '30', 'value-cool-end-air': '24' }],
  [paths.instruments.new, probe],
  [paths.rooms.new, roomTexts],
  [paths.rooms.sockets.newOf('eu'), { name: 'Left' }],
  [paths.oneOffSums.new, sum],
  [paths.animals.signs.newOf(1, 'appetite'), { worrying: 'yes', notes: 'eats little' }],
  [paths.upgrades.new, { name: 'Branch', priceLow: '5', priceHigh: '5', step: 'save' }],
  [paths.upgrades.bought(1), {}],
  [paths.upgrades.fitted(1), {}],
  [paths.upgrades.notBought(1), { why: 'sold out' }],
  [paths.upgrades.pin(1), { month: '2026-03' }],
  [paths.upgrades.remove(1), {}],
  [`${fittings}/1/broke`, {}],
  [paths.animals.remove(1), {}],
];

/** Transactions of pages that do not remember the form they were sent by, with why a second sending has no second effect. */
const UNREMEMBERED: Readonly<Record<string, { times: number; why: string }>> = {
  'cap-questions.ts': { times: 1, why: 'Only what nobody said yet is kept.' },
  'care-values.ts': { times: 1, why: 'What was read is read.' },
  'checks.ts': { times: 1, why: 'The form carries all answers that it was made from.' },
  'logger.ts': { times: 1, why: 'Readings that are there already are left out.' },
  'measuring.ts': { times: 1, why: 'A meter is wanted once.' },
  'reading-import.ts': { times: 1, why: 'Readings that are there already are left out.' },
  'roadmap.ts': { times: 1, why: 'A proposal is answered once.' },
  'start.ts': { times: 1, why: 'A proposal is answered once.' },
  'upgrades.ts': { times: 2, why: 'A proposal is answered once.' },
};

test('No page changes the ledger without remembering the form that it was sent by', () => {
  const folder = join(import.meta.dirname, '../../../server/pages');
  const files = readdirSync(folder).filter((name) => name.endsWith('.ts') && name !== 'sent-twice.ts');
  const count = (text: string, what: RegExp) => [...text.matchAll(what)].length;
  let transactions = 0;
  for (const name of files) {
    const text = readFileSync(join(folder, name), 'utf8');
    const open = count(text, /\binTransaction\(/g) - count(text, /\brememberSent\(tx/g);
    transactions += count(text, /\binTransaction\(|\bsaveOnce\(/g);
    expect([name, Math.max(0, open)]).toEqual([name, UNREMEMBERED[name]?.times ?? 0]);
  }
  expect(transactions).toBeGreaterThan(30);
});

/** Where a form that is sent twice needs no memory, and why. */
const NEED_NO_MEMORY: Readonly<Record<string, string>> = {
  '/access/end-others': 'It changes nothing in the ledger.',
  '/sign-in': 'It changes nothing in the ledger.',
  '/sign-out': 'It changes nothing in the ledger.',
  '/backups': 'One more backup of the same state changes nothing in the ledger.',
  '/roadmap/plan': 'One plan is made at a time.',
  '/roadmap/stop': 'It changes nothing in the ledger.',
  '/roadmap/study': 'A study is made once.',
  '/cap/emergency': 'One question is asked at a time.',
  '/cap/lost-month': 'One question is asked at a time.',
  '/cap/price-rise': 'One question is asked at a time.',
  '/cap/tariff-rise': 'One question is asked at a time.',
  '/cap/rehome': 'One question is asked at a time.',
  '/cap/one-more': 'One question is asked at a time.',
  '/cap/asking/stop': 'It changes nothing in the ledger.',
  '/care-updates/:id/read': 'What was read is read.',
  '/enclosures/:id/checks': 'The form carries all answers that it was made from.',
  '/enclosures/:id/readings/import': 'Readings that are there already are left out.',
  '/enclosures/:id/readings/logger': 'Readings that are there already are left out.',
  '/measuring/meters': 'A meter is wanted once.',
  '/measuring/study': 'A study is made once.',
  '/start/plan': 'A proposal is answered once.',
  '/start/assumptions/:id/settle': 'What is settled stays so.',
  '/start/put-away': 'What is put away stays so.',
  '/start/take-out': 'What is taken out stays so.',
  '/upgrades/proposals/accept': 'A proposal is answered once.',
  '/upgrades/proposals/refuse': 'A proposal is answered once.',
};

/** The forms that are remembered in the transaction of their effect: things with the usual forms, and all others by their address. */
const REMEMBERED = [
  ...[
    'animals',
    'animals/:id/signs',
    'enclosures',
    'enclosures/:id/readings',
    'enclosures/:id/fittings',
    'instruments',
  ],
  ...['rooms', 'rooms/sockets', 'money/sums', 'own-species', 'care-values', 'upgrades'],
]
  .flatMap((thing) => ['new', ':id/edit', ':id/remove', ':id/put-back'].map((step) => `/${thing}/${step}`))
  .filter((one) => one !== '/care-values/new')
  .concat(
    ['broke', 'look', 'place', 'place/take-away', 'renewed', 'retire', 'works-after-all'].map(
      (step) => `/enclosures/:id/fittings/:id/${step}`,
    ),
    [
      ...['accept', 'bought', 'correct-purchase', 'fitted', 'keep', 'not-bought'],
      ...['old/:key', 'pin', 'refuse', 'return-by', 'unpin'],
    ].map((step) => `/upgrades/:id/${step}`),
    [
      '/old-things/:id',
      '/animals/:id/signs/:id/settle',
      '/enclosures/:id/build',
      '/enclosures/:id/round',
      '/rooms/sockets/:id/things',
    ],
    ['/start/animal/:key', '/start/money', '/start/prices', '/start/writing'],
    ['/species/:key/values/:figure', '/own-species/file', '/measuring/weekend', '/cap/edit', '/money/edit'],
    [
      '/settings',
      '/settings/space-rules',
      '/value-choices',
      '/value-choices/defaults',
      '/value-choices/defaults/:choice',
    ],
    ['/months/catch-up', '/months/:month/close', '/months/:month/correct', '/import', '/backups/:name/restore'],
  );

test('Each address to which a form can be sent, as the app itself lists them, is remembered or said to need no memory', async () => {
  const app = await openApp();
  try {
    await app.app.ready();
    const there = routesOf(app.app, 'POST');
    expect(there.length).toBeGreaterThan(80);
    expect(there.toSorted()).toEqual([...REMEMBERED, ...Object.keys(NEED_NO_MEMORY)].sort());
  } finally {
    await closeApp(app);
  }
});

async function firstApp(): Promise<TestApp> {
  const app = await openApp();
  keepSmallLedger(app.db);
  const cave = await app.submit(await app.get(`${fittings}/new?kind=hide`), {
    name: 'Old cave',
    place: 'warm',
    fittedOn: '2025-07-01',
  });
  if (cave.status !== 303) throw new Error(textOf(cave));
  return app;
}

const rowsOf = ({ db }: TestApp) => {
  const { ledger_state: _, ...rows } = readWholeLedger(db);
  return rows;
};

test.each(entering)('%s sent twenty times at once has one effect and leads to one place', async (path, texts) => {
  const [once, often] = [await firstApp(), await firstApp()];
  try {
    const first = await once.submit(await once.get(path), texts);
    expect([first.status, first.status === 303 ? '' : textOf(first)]).toEqual([303, '']);
    expect(rowsOf(once)).not.toEqual(rowsOf(often));
    const form = await often.get(path);
    const answers = await Promise.all(Array.from({ length: TIMES }, () => often.submit(form, texts)));
    expect(new Set(answers.map((one) => one.status))).toEqual(new Set([303]));
    const place = (address: string | null) => address?.replace(/([?&])done=.*/, '');
    const places = new Set(answers.map((one) => place(one.location)));
    expect(places).toContain(place(first.location));
    // A plan that the first one began is shown to it alone.
    places.delete(paths.roadmap.progress);
    expect(places.size).toBeLessThan(2);
    expect(rowsOf(often)).toEqual(rowsOf(once));
  } finally {
    await Promise.all([closeApp(once), closeApp(often)]);
  }
});

type Texts = Readonly<Record<string, string | null>>;

/** A form that two tabs fill in differently. */
type Late = {
  /** Where it is; of the second tab too, unless that is at another. */
  at: string | readonly [string, string];
  one: Texts;
  two: Texts;
  /** What both type. */
  both?: Texts;
  /** What the page shows of the first and of the second; their only text when not given. */
  shows?: readonly [string, string];
  /** The action of the form, where the page has more than one. */
  action?: string;
  /** The step is taken once: there is nothing left to send. */
  isOver?: true;
};

const notes = { one: { notes: 'of the first tab' }, two: { notes: 'of the second tab' } };
const named = (one: string, two: string) => ({ one: { name: one }, two: { name: two } });
const fitting = paths.enclosures.fittings;

/** The forms that change something that is there, by their routes. A row of both versions is 'Label saved typed'. */
const CHANGING: Readonly<Record<string, Late>> = {
  '/enclosures/:id/edit': { at: paths.enclosures.edit(1), ...notes },
  '/enclosures/:id/checks': {
    at: paths.enclosures.checks(1),
    one: { 'probe-in-place': 'yes' },
    two: { 'probe-in-place': 'no' },
  },
  '/enclosures/:id/build': { at: paths.enclosures.build(1), one: { wall: '4 mm' }, two: { wall: '6 mm' } },
  '/enclosures/:id/readings/:id/edit': { at: paths.enclosures.readings.edit(1, 1), ...notes },
  '/enclosures/:id/fittings/:id/edit': { at: fitting.edit(1, 1), ...named('cave of one', 'cave of two') },
  '/enclosures/:id/fittings/:id/place': {
    at: fitting.place(1, 1),
    action: fitting.place(1, 1),
    both: { y: '10 cm', z: '0 cm', length: '20 cm', depth: '15 cm', height: '10 cm' },
    one: { x: '11 cm' },
    two: { x: '22 cm' },
  },
  '/enclosures/:id/fittings/:id/broke': {
    at: fitting.broke(1, 1),
    both: { price: '5' },
    one: { brokeOn: '2026-01-20' },
    two: { brokeOn: '2026-01-21', note: 'It fell.' },
    shows: ['2026-01-20', 'It fell.'],
    isOver: true,
  },
  '/enclosures/:id/fittings/:id/renewed': {
    at: fitting.renewed(1, 1),
    both: { paid: '4.25' },
    one: { renewedOn: '2026-01-20' },
    two: { renewedOn: '2026-01-21' },
    shows: ['In use since 20 January 2026', '2026-01-21'],
  },
  '/enclosures/:id/fittings/:id/retire': {
    at: fitting.retire(1, 1),
    one: { retiredOn: '2026-01-20' },
    two: { retiredOn: '2026-01-21' },
  },
  '/animals/:id/edit': { at: paths.animals.edit(1), ...notes },
  '/animals/:id/signs/:id/edit': { at: paths.animals.signs.edit(1, 1), ...notes },
  '/animals/:id/signs/:id/settle': {
    at: paths.animals.signs.settle(1, 1),
    both: { how: 'vet-seen', on: '2026-01-20' },
    one: { paid: '21' },
    two: { paid: '22' },
  },
  '/instruments/:id/edit': { at: paths.instruments.edit(1), ...named('probe of one', 'probe of two') },
  '/rooms/:id/edit': { at: paths.rooms.edit(1), ...named('study of one', 'study of two') },
  '/rooms/sockets/:id/edit': { at: paths.rooms.sockets.edit(1), ...named('left of one', 'left of two') },
  // What the one plugs in is taken out of nothing by the other.
  '/rooms/sockets/:id/things': {
    at: [paths.rooms.sockets.things(1), paths.rooms.sockets.things(2)],
    one: { 'thing-1': 'yes' },
    two: { 'thing-1': 'yes' },
    shows: ['in “Left”', 'plugged in'],
  },
  '/own-species/:id/edit': {
    at: paths.ownSpecies.edit(1),
    one: { commonName: 'boa of one' },
    two: { commonName: 'boa of two' },
  },
  '/care-values/:id/edit': { at: paths.careValues.edit(1), one: { note: 'of one tab' }, two: { note: 'of another' } },
  '/money/edit': { at: paths.moneyChange, one: { monthlySum: '31' }, two: { monthlySum: '32' } },
  '/money/sums/:id/edit': {
    at: paths.oneOffSums.edit(1),
    one: { note: 'check of one' },
    two: { note: 'check of two' },
  },
  '/cap/edit': { at: paths.cap.change, one: { minutesAWeek: '61' }, two: { minutesAWeek: '62' } },
  '/settings': {
    at: paths.settings,
    one: { locale: 'en-US' },
    two: { locale: 'en-ZA' },
    shows: ['United States', 'South Africa'],
  },
  '/settings/space-rules': {
    at: paths.species.show('leopard-gecko'),
    action: paths.spaceRules,
    one: { 'rule-AT': 'yes', 'rule-SE': null },
    two: { 'rule-SE': 'yes', 'rule-AT': null },
    shows: ['ticked –', '– ticked'],
    isOver: true,
  },
  '/value-choices': { at: paths.valueChoices.show, one: { credit: '5' }, two: { credit: '7' } },
  '/start/money': { at: paths.start.money, one: { cashCounted: '71' }, two: { cashCounted: '72' } },
  '/start/writing': {
    at: paths.start.writing,
    one: { unitSystem: 'imperial' },
    two: { unitSystem: 'metric-fahrenheit' },
    shows: ['Inches and °F', 'Centimetres and °F'],
  },
  '/upgrades/:id/edit': { at: paths.upgrades.edit(1), ...named('cave of one', 'cave of two') },
  '/upgrades/:id/pin': { at: paths.upgrades.pin(1), one: { month: '2026-03' }, two: { month: '2026-05' } },
  '/upgrades/:id/bought': {
    at: paths.upgrades.bought(1),
    one: { paid: '24.10' },
    two: { paid: '25.20' },
    isOver: true,
  },
  '/upgrades/:id/fitted': {
    at: paths.upgrades.fitted(1),
    one: { paid: '24.10' },
    two: { paid: '25.20' },
    isOver: true,
  },
  '/upgrades/:id/not-bought': {
    at: paths.upgrades.notBought(1),
    one: { why: 'sold out' },
    two: { why: 'too dear' },
    shows: ['Wanted: it enters the next plan', 'too dear'],
  },
  '/upgrades/:id/correct-purchase': {
    at: paths.upgrades.correctPurchase(2),
    one: { paid: '24.10' },
    two: { paid: '25.20' },
  },
  '/upgrades/:id/return-by': {
    at: paths.upgrades.returnBy(2),
    one: { returnBy: '2026-02-20' },
    two: { returnBy: '2026-02-21' },
  },
  '/upgrades/:id/old/:key': {
    at: paths.upgrades.oldThing(4, 'box:1'),
    both: { fate: 'sold' },
    one: { amount: '31' },
    two: { amount: '32' },
  },
  '/old-things/:id': {
    at: paths.oldThings.show(1),
    one: { fate: 'spare' },
    two: { fate: 'recycled' },
    shows: ['is kept as a spare', 'is thrown away'],
  },
  '/months/:month/close': {
    at: paths.months.close('2026-01'),
    one: { note: 'quiet', cash: '31', countedOn: '2026-01-31', sumArrived: 'yes' },
    two: { note: 'loud', 'bought-1': 'yes', 'paid-1': '23.45', 'boughtOn-1': '2026-01-20' },
    shows: ['quiet', 'Warm cave: paid – 23.45'],
    isOver: true,
  },
  '/months/catch-up': {
    at: paths.months.catchUp,
    one: { note: 'quiet', cameIn: '19' },
    two: { note: 'loud', cameIn: '18' },
    shows: ['Came in 19.00 18', 'quiet loud'],
    isOver: true,
  },
};

const beside = 'It enters something new beside what is there.';
const pressed =
  'Nothing is typed into it, and from an old page it does nothing (tests/server/pages/bad-input.test.ts).';

/** The forms that two tabs cannot fill in differently to the loss of one, by their routes, and why. */
const NOTHING_TO_LOSE: Readonly<Record<string, string>> = {
  ...Object.fromEntries(REMEMBERED.filter((one) => /\/new$|^\/start\/animal/.test(one)).map((one) => [one, beside])),
  ...Object.fromEntries(REMEMBERED.filter((one) => /\/(remove|put-back)$/.test(one)).map((one) => [one, pressed])),
  ...Object.fromEntries(
    [
      ...['accept', 'keep', 'refuse', 'unpin'].map((step) => `/upgrades/:id/${step}`),
      ...['look', 'works-after-all', 'place/take-away'].map((step) => `/enclosures/:id/fittings/:id/${step}`),
      ...['/value-choices/defaults', '/value-choices/defaults/:choice', '/backups/:name/restore'],
      ...Object.keys(NEED_NO_MEMORY).filter((one) => /stop|proposals|settle|put-away|take-out|backups|read$/.test(one)),
      ...[
        '/access/end-others',
        '/sign-out',
        '/roadmap/plan',
        '/roadmap/study',
        '/start/plan',
        '/measuring/meters',
        '/measuring/study',
      ],
    ].map((one) => [one, pressed]),
  ),
  ...Object.fromEntries(
    [
      ...['/enclosures/:id/round', '/measuring/weekend', '/own-species/file', '/months/:month/correct'],
      ...['/enclosures/:id/readings/import', '/enclosures/:id/readings/logger'],
    ].map((one) => [one, beside]),
  ),
  ...Object.fromEntries(
    Object.keys(NEED_NO_MEMORY)
      .filter((one) => /^\/cap\/(?!asking)/.test(one))
      .map((one) => [one, 'Each question is kept with its answer.']),
  ),
  '/species/:key/values/:figure': 'A second value for the same figure is refused in its form.',
  '/start/prices':
    'What is proposed is taken once; a second rate is refused with what was typed (tests/server/pages/start.test.ts).',
  '/import': 'It compares the ledger with what was shown, and shows the difference again.',
  '/sign-in': 'It changes nothing in the ledger.',
};

test('Each form of the application is held to two tabs, or it is said why there is nothing to lose', async () => {
  const app = await openApp();
  try {
    await app.app.ready();
    const said = [...Object.keys(CHANGING), ...Object.keys(NOTHING_TO_LOSE)];
    expect(said.toSorted()).toEqual(routesOf(app.app, 'POST').toSorted());
  } finally {
    await closeApp(app);
  }
});

describe('Open in two tabs', () => {
  let app: TestApp;
  let putBack: () => void;
  beforeAll(async () => {
    let moment = testMoment;
    app = await openApp({ now: () => moment, planningMilliseconds: 50 });
    keepSmallLedger(app.db);
    await planNow(app.db, library, plainDate('2026-01-15'), 100);
    const { id: _, ...box } = boxUpgrade('1', [150, 80, 80], { name: 'Large box' });
    addUpgrade(app.db, box);
    buyUpgrade(app.db, 2, 1, { boughtOn: plainDate('2026-01-15'), paid: money(1500), arrivesMonth: null });
    for (const [path, texts] of [
      [fitting.newOf(1, 'hide'), { name: 'Old cave', place: 'warm', fittedOn: '2025-07-01' }],
      [fitting.renewed(1, 1), { renewedOn: '2026-01-10', paid: '9' }],
      [paths.enclosures.readings.newOf(1, 'warm-hide-floor'), readingTexts],
      [paths.instruments.new, probe],
      [paths.rooms.new, roomTexts],
      [paths.rooms.sockets.newOf('eu'), { name: 'Left' }],
      [paths.rooms.sockets.newOf('eu'), { name: 'Right' }],
      [paths.oneOffSums.new, sum],
      [paths.animals.signs.newOf(1, 'appetite'), { worrying: 'yes' }],
      [paths.careValues.new('leopard-gecko', 'humidity'), { title: 'Our vet', grade: 'agreed-practice' }],
      [paths.ownSpecies.newFrom('nothing'), { commonName: 'Sand boa', scientificName: 'Eryx exemplaris' }],
    ] as const) {
      const form = formsOf([{ address: path, page: await app.get(path) }])[0]!;
      const answer = await fillIn(app, form, texts);
      if (answer.status !== 303) throw new Error(`${path}: ${textOf(answer)}`);
    }
    // January is over.
    moment = new Date('2026-02-02T12:00:00Z');
    putBack = keepCopy(app.db);
  });
  afterAll(() => closeApp(app));

  // A thing that broke has a plan made at once.
  async function settled(): Promise<void> {
    await app.post(paths.roadmap.stop);
    while ((await app.get(paths.roadmap.progress)).status === 200) await new Promise((done) => setTimeout(done, 20));
  }

  test.each(Object.entries(CHANGING))(
    '%s shows both versions to the second and loses neither',
    async (_route, late) => {
      try {
        const { at, one, two, both = {}, action, isOver = false } = late;
        const shows = late.shows ?? [Object.values(one)[0]!, Object.values(two)[0]!];
        const [there, here] = typeof at === 'string' ? [at, at] : at;
        const [first, second] = [await app.get(there), await app.get(here)];
        const saved = await app.submit(first, { ...both, ...one }, action);
        expect([saved.status, saved.status === 303 ? '' : textOf(saved)]).toEqual([303, '']);
        const before = rowsOf(app);
        const answer = await app.submit(second, { ...both, ...two }, action);
        expect([answer.status, textOf(answer)]).toEqual([409, expect.anything()]);
        const rows = tableRows(answer, 'Both versions').map((cells) => cells.join(' '));
        for (const version of shows) expect(rows.join(', ').toLowerCase()).toContain(version.toLowerCase());
        for (const typed of Object.values({ ...both, ...two }))
          if (late.shows === undefined && typed !== null)
            expect(answer.body.toLowerCase()).toContain(typed.toLowerCase());
        expect(rowsOf(app)).toEqual(before);
        // Looked at and sent again, it is taken, where it can be.
        if (isOver) expect(answer.document.querySelector('main form')).toBeNull();
        else expect((await app.submit(answer, {}, action)).status).toBe(303);
      } finally {
        await settled();
        putBack();
      }
    },
  );
});

// Every form that enters something, sent twenty times at once, has one effect and leads to one place; every form that changes a row, open
// in two tabs, shows both versions to the second and loses neither. And no page writes without
// remembering the form, unless it is named here why it need not.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readWholeLedger } from '../../../server/db/whole-ledger.ts';
import { paths } from '../../../server/paths.ts';
import { closeApp, openApp, type TestApp, textOf } from '../../support/app.ts';
import { animalTexts, enclosureTexts, enter, readingTexts } from '../../support/collection.ts';
import { keepSmallLedger } from '../../support/ledger.ts';

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
  'care-values.ts': { times: 1, why: 'What was read is read.' },
  'checks.ts': { times: 1, why: 'The form carries all answers that it was made from.' },
  'logger.ts': { times: 1, why: 'Readings that are there already are left out.' },
  'measuring.ts': { times: 1, why: 'A meter is wanted once.' },
  'reading-import.ts': { times: 1, why: 'Readings that are there already are left out.' },
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
    ['broke', 'place', 'place/take-away', 'renewed', 'retire', 'works-after-all'].map(
      (step) => `/enclosures/:id/fittings/:id/${step}`,
    ),
    ['accept', 'bought', 'fitted', 'not-bought', 'old/:key', 'pin', 'refuse', 'return-by', 'unpin'].map(
      (step) => `/upgrades/:id/${step}`,
    ),
    ['/animals/:id/signs/:id/settle', '/enclosures/:id/build', '/enclosures/:id/round', '/rooms/sockets/:id/things'],
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
    const above: string[] = [];
    const there: string[] = [];
    for (const line of app.app.printRoutes({ commonPrefix: false }).split('\n')) {
      const match = /^((?:[│ ] {3})*)[├└]── (\S*?)(?: \(([A-Z, ]+)\))?$/u.exec(line);
      if (match === null) continue;
      above.splice(match[1]!.length / 4, above.length, match[2]!);
      if (match[3]?.split(', ').includes('POST') === true) there.push(above.join('').replace(/\|:\w+/g, ''));
    }
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

/** The forms that change something that is there: where each is, and the field that two tabs fill in differently. */
const changing: readonly [string, string, string, string][] = [
  [paths.enclosures.edit(1), 'notes', 'of the first tab', 'of the second tab'],
  [paths.enclosures.checks(1), 'probe-in-place', 'yes', 'no'],
  [paths.enclosures.build(1), 'wall', '4 mm', '6 mm'],
  [paths.animals.edit(1), 'notes', 'of the first tab', 'of the second tab'],
  [`${fittings}/1/edit`, 'name', 'cave of one', 'cave of two'],
  ['/enclosures/1/readings/1/edit', 'notes', 'of the first tab', 'of the second tab'],
  [paths.instruments.edit(1), 'name', 'probe of one', 'probe of two'],
  [paths.rooms.edit(1), 'name', 'study of one', 'study of two'],
  [paths.rooms.sockets.edit(1), 'name', 'left of one', 'left of two'],
  [paths.oneOffSums.edit(1), 'note', 'check of one', 'check of two'],
  [paths.animals.signs.edit(1, 1), 'notes', 'of the first tab', 'of the second tab'],
  [paths.upgrades.edit(1), 'name', 'cave of one', 'cave of two'],
  [paths.moneyChange, 'monthlySum', '31', '32'],
];

test.each(changing)(
  '%s open in two tabs shows both versions to the second and loses neither',
  async (path, field, one, two) => {
    const app = await firstApp();
    try {
      await enter(app, '/enclosures/1/readings/new?kind=warm-hide-floor', readingTexts);
      await enter(app, paths.instruments.new, probe);
      await enter(app, paths.rooms.new, roomTexts);
      await app.submit(await app.get(paths.rooms.sockets.newOf('eu')), { name: 'Left' });
      await enter(app, paths.oneOffSums.new, sum);
      await app.submit(await app.get(paths.animals.signs.newOf(1, 'appetite')), { worrying: 'yes' });
      const [first, second] = [await app.get(path), await app.get(path)];
      const saved = await app.submit(first, { [field]: one });
      expect([saved.status, saved.status === 303 ? '' : textOf(saved)]).toEqual([303, '']);
      const late = await app.submit(second, { [field]: two });
      expect(late.status).toBe(409);
      expect(late.document.querySelector('.conflict')).not.toBeNull();
      for (const version of [one, two]) expect(late.body.toLowerCase()).toContain(version);
      // Looked at and sent again, it is taken.
      expect((await app.submit(late)).status).toBe(303);
    } finally {
      await closeApp(app);
    }
  },
);

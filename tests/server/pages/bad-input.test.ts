// Every form of the application, found by following every link of a full ledger, is sent everything a form should never carry. What is
// asserted is the same for all: no failure of the program, no stack trace, and on a refusal every typed value still in its control.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import {
  listAnimals,
  listEnclosures,
  listFittings,
  listReadings,
  removeAnimal,
  removeEnclosure,
  removeFitting,
  removeReading,
} from '../../../server/db/collection.ts';
import { addOneOffSum, removeOneOffSum } from '../../../server/db/money.ts';
import { type Db, openMemory } from '../../../server/db/open.ts';
import { removeOutlet, removeRoom } from '../../../server/db/rooms.ts';
import { buyUpgrade, findUpgrade, refuseUpgrade, removeUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { type Answer, closeApp, formValues, mistakesOf, openApp, type TestApp, textOf } from '../../support/app.ts';
import { enclosureTexts, enter, readingTexts } from '../../support/collection.ts';
import { crawl, type Found, patternOf } from '../../support/crawl.ts';
import { keepSmallLedger, wantHide } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const today = plainDate('2026-01-15');
const parts = readCatalogue();

/** Texts that no field of any form means, each with why. */
const badTexts = {
  empty: '',
  blank: '   ',
  long: 'long '.repeat(5_000),
  'twenty digits': '12345678901234567890',
  negative: '-5',
  'foreign comma': '1,5',
  'impossible date': '2026-02-31',
  'unknown row': '999999',
  markup: '"><script>alert(1)</script>',
  'control character': 'a\u0000b',
} as const;

/** Those that are sent in one field at a time, all else being right. */
const aloneTexts = ['empty', 'twenty digits', 'negative', 'foreign comma', 'impossible date', 'unknown row'] as const;

type Form = {
  /** The address of the page that shows it, and its own, with numbers written as :n. */
  page: string;
  action: string;
  pattern: string;
  values: Record<string, string>;
  /** Fields a person can type in or choose from; the rest are hidden. */
  shown: string[];
  /** Those among them that keep any text. */
  typed: string[];
};

/** A ledger with something of every kind in every state that has a page of its own. */
async function fullLedger(app: TestApp): Promise<void> {
  const { db } = app;
  keepSmallLedger(db);
  const fitting = { fittedOn: '2025-07-01', whenBoxReplaced: 'moves' };
  for (const kind of ['heat-mat', 'hide', 'uv-tube']) {
    const name = { name: `A ${kind}`, ...(kind === 'uv-tube' ? { mesh: '1' } : {}) };
    await enter(app, paths.enclosures.fittings.newOf(1, kind), { ...fitting, ...name });
  }
  await enter(app, paths.enclosures.readings.newOf(1, 'warm-hide-floor'), readingTexts);
  await enter(app, paths.enclosures.readings.newOf(1, 'cool-end-air'), { ...readingTexts, value: '22' });
  const room = { coldest: '15', coldestMonth: '1' };
  const socket = { room: '1', rule: 'uk', volts: '230', circuitAmps: '13' };
  for (const name of ['Study', 'Cellar']) await enter(app, paths.rooms.new, { ...room, name });
  for (const name of ['Left', 'Right']) await enter(app, paths.rooms.sockets.newOf('uk'), { ...socket, name });
  removeRoom(db, 2, 1, today);
  removeOutlet(db, 2, 1, today);
  await enter(app, paths.enclosures.new, { ...enclosureTexts, name: 'Empty box' });
  await enter(app, paths.animals.new, { name: 'Gone', species: 'corn-snake', enclosure: '2', sex: 'unknown' });
  const sum = { month: plainMonth('2026-03'), amount: money(-2000), note: 'Vet', canWait: true };
  addOneOffSum(db, sum);
  addOneOffSum(db, sum);
  for (const name of ['Ordered', 'Refused', 'Removed', 'Fitted']) wantHide(db, name, 'warm', 1500);
  const row = (id: number) => findUpgrade(db, id)!.version;
  buyUpgrade(db, 4, row(4), { boughtOn: today, paid: money(1500), arrivesMonth: null });
  refuseUpgrade(db, 5, row(5));
  removeUpgrade(db, 6, row(6), today);
  await app.submit(await app.get(paths.upgrades.fitted(7)));
  removeFitting(db, 3, listFittings(db, 1).find((one) => one.id === '3')!.version, today);
  removeReading(db, 2, listReadings(db, 1).find((one) => one.id === '2')!.version, today);
  removeAnimal(db, 2, listAnimals(db).find((one) => one.id === '2')!.version, today);
  removeEnclosure(db, 2, listEnclosures(db).find((one) => one.id === '2')!.version, today);
  removeOneOffSum(db, 2, 1, today);
}

// Puts the ledger back between requests that were taken, so that every form is tried on the same one.
function keepCopy(db: Db): () => void {
  const sqlite = db.$client;
  const tables = sqlite
    .prepare<[], { name: string }>("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    .all()
    .map((one) => one.name);
  sqlite.exec("ATTACH ':memory:' AS kept");
  for (const name of tables) sqlite.exec(`CREATE TABLE kept.${name} AS SELECT * FROM main.${name}`);
  return () => {
    sqlite.pragma('foreign_keys = OFF');
    for (const name of tables)
      sqlite.exec(`DELETE FROM main.${name}; INSERT INTO main.${name} SELECT * FROM kept.${name}`);
    sqlite.pragma('foreign_keys = ON');
  };
}

// Rows of upgrades look different by what has become of them, so each is opened.
const sameForms = (address: string) => (/^\/upgrades\/\d+/.test(address) ? address : patternOf(address));

function formsOf(pages: readonly Found[]): Form[] {
  const forms = new Map<string, Form>();
  for (const { page } of pages) {
    for (const form of page.document.querySelectorAll('main form')) {
      if (form.getAttribute('method') !== 'post') continue;
      const action = (form.getAttribute('action') ?? '').replace(/#.*/, '');
      const values = formValues(form);
      const pattern = `${patternOf(action)}${'proposal' in values ? ' of a proposal' : ''}`;
      if (forms.has(pattern)) continue;
      const controls = [...form.querySelectorAll('input, textarea, select')].filter(
        (one) => !['hidden', 'submit'].includes(one.getAttribute('type') ?? ''),
      );
      const name = (one: (typeof controls)[number]) => one.getAttribute('name') ?? '';
      forms.set(pattern, {
        page: textOf(page.document.querySelector('title')),
        action,
        pattern,
        values,
        shown: [...new Set(controls.map(name))],
        typed: controls
          .filter(
            (one) =>
              one.localName === 'textarea' || ['text', 'date', 'search'].includes(one.getAttribute('type') ?? ''),
          )
          .map(name),
      });
    }
  }
  return [...forms.values()];
}

let app: TestApp;
let putBack: () => void;
let forms: Form[];
const answers = new Map<number, number>();

// One application for the whole file; the tests only differ in what they send.
beforeAll(async () => {
  app = await openApp({ db: openMemory(), library, parts, planningMilliseconds: 50 });
  await fullLedger(app);
  forms = formsOf(await crawl(app, sameForms));
  putBack = keepCopy(app.db);
}, 120_000);

afterAll(() => closeApp(app));

/** Whether a form takes a pasted table: it may be longer than others, and what is found is shown before anything is saved. */
function looksFirst(form: Form): boolean {
  return /\/readings\/(import|logger)$/.test(form.pattern);
}

/** Sends a form and checks what holds for every answer. */
async function send(form: Form, changes: Record<string, string>, what: string, action = form.action): Promise<Answer> {
  const fields = { ...form.values, ...changes };
  const answer = await app.post(action, fields);
  const told = `${form.pattern}, ${what}`;
  answers.set(answer.status, (answers.get(answer.status) ?? 0) + 1);
  const possible = [...(looksFirst(form) ? [200] : []), 303, 400, 403, 404, 409, 413, 422];
  expect(possible, `${told}: ${answer.status}`).toContain(answer.status);
  expect(answer.body, told).not.toMatch(/\n\s+at |node:internal|\.ts:\d|SQLITE|SqliteError|ZodError|TypeError/);
  expect(answer.body, told).not.toContain('<script>alert');
  if (answer.status === 303) {
    putBack();
    return answer;
  }
  expect(String(answer.headers['content-type']), told).toContain('text/html');
  expect(textOf(answer.document.querySelector('h1')), told).not.toBe('');
  const back = [...answer.document.querySelectorAll('main form')].find((one) =>
    (one.getAttribute('action') ?? '').startsWith(action.split('?')[0]!),
  );
  if (answer.status === 422 && back !== undefined) {
    expect(mistakesOf(answer).length, told).toBeGreaterThan(0);
    const kept = formValues(back);
    for (const name of form.typed) expect(plain(kept[name]), `${told}: ${name}`).toBe(plain(fields[name]));
  }
  return answer;
}

// What HTML itself changes in a control: line breaks, and the character that no page can carry.
const plain = (text: string | undefined) =>
  (text ?? '').replaceAll('\r\n', '\n').replaceAll('\u0000', '').replaceAll('\ufffd', '');

test('Following every link of a full ledger finds every kind of form', () => {
  const found = forms.map((one) => one.pattern);
  for (const expected of [
    '/animals/new',
    '/animals/:n/edit',
    '/animals/:n/remove',
    '/animals/:n/put-back',
    '/enclosures/new',
    '/enclosures/:n/edit',
    '/enclosures/:n/remove',
    '/enclosures/:n/put-back',
    '/enclosures/:n/checks',
    '/enclosures/:n/fittings/new?kind=uv-tube',
    '/enclosures/:n/fittings/:n/edit',
    '/enclosures/:n/fittings/:n/retire',
    '/enclosures/:n/fittings/:n/remove',
    '/enclosures/:n/fittings/:n/put-back',
    '/enclosures/:n/readings/new?kind=humidity-day',
    '/enclosures/:n/readings/:n/edit',
    '/enclosures/:n/readings/:n/remove',
    '/enclosures/:n/readings/:n/put-back',
    '/money/edit',
    '/money/sums/new',
    '/money/sums/:n/edit',
    '/money/sums/:n/remove',
    '/money/sums/:n/put-back',
    '/roadmap/plan',
    '/settings',
    '/value-choices',
    '/upgrades/new',
    '/upgrades/new of a proposal',
    '/upgrades/:n/edit',
    '/upgrades/:n/pin',
    '/upgrades/:n/bought',
    '/upgrades/:n/not-bought',
    '/upgrades/:n/fitted',
    '/upgrades/:n/remove',
    '/upgrades/:n/refuse',
    '/upgrades/:n/accept',
    '/upgrades/:n/put-back',
    '/upgrades/proposals/accept',
    '/upgrades/proposals/refuse',
  ])
    expect(found, expected).toContain(expected);
  expect(found.length).toBeGreaterThan(60);
});

test.each(Object.keys(badTexts) as (keyof typeof badTexts)[])(
  'A form with every field %s is answered by a page that keeps what was typed',
  async (what) => {
    let tried = 0;
    for (const form of forms.filter((one) => one.shown.length > 0)) {
      const changes = Object.fromEntries(form.shown.map((name) => [name, badTexts[what]]));
      await send(form, changes, what);
      tried += 1;
    }
    expect(tried).toBeGreaterThan(45);
  },
  60_000,
);

test('One bad field among good ones never breaks a form, and is kept when it is refused', async () => {
  const tried = new Set<string>();
  let refused = 0;
  for (const form of forms) {
    // A field that several forms share, or that a row is entered and changed with, is one rule: it is tried in the first of them.
    const family = form.pattern.replace(/\?.*/, '').replace(/\/(new|:n\/edit)( of a proposal)?$/, '');
    for (const name of Object.keys(form.values).concat(form.shown)) {
      // What decides which controls there are is never typed; another form would come back.
      if (['version', 'once'].includes(name) || name.endsWith('-what') || tried.has(`${family} ${name}`)) continue;
      tried.add(`${family} ${name}`);
      for (const what of aloneTexts) {
        const answer = await send(form, { [name]: badTexts[what] }, `${name} ${what}`);
        if (answer.status === 422) refused += 1;
      }
    }
  }
  expect(tried.size).toBeGreaterThan(100);
  expect(refused).toBeGreaterThan(200);
}, 240_000);

test('A form that is far too large is refused by a page that says so', async () => {
  for (const form of forms) {
    // A whole ledger may be long; the other forms that look first take a table.
    const tooLong = form.pattern === paths.export.import ? 37_000_000 : looksFirst(form) ? 5_000_000 : 100_000;
    const answer = await send(form, { [form.typed[0] ?? 'note']: 'x'.repeat(tooLong) }, 'far too much');
    expect(answer.status, form.pattern).toBe(413);
  }
});

test('A field that no form has, and a field sent twice, are refused in words', async () => {
  let named = 0;
  for (const form of forms) {
    if (form.pattern === '/roadmap/plan') continue;
    const answer = await send(form, { 'no-such-field': 'x' }, 'an unknown field');
    if (answer.status === 422 && textOf(answer).includes('no-such-field')) named += 1;
    const [name] = form.typed.length > 0 ? form.typed : Object.keys(form.values);
    if (name === undefined) continue;
    const twice = await app.app.inject({
      method: 'POST',
      url: form.action,
      payload: `${new URLSearchParams({ ...form.values, [name]: '1' })}&${new URLSearchParams({ [name]: '2' })}`,
      headers: { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' },
    });
    expect(twice.statusCode, form.pattern).toBe(422);
    expect(twice.body).toContain('more than once');
  }
  expect(named).toBeGreaterThan(45);
});

test('A form of an older version changes nothing and is answered by a conflict or by a look again', async () => {
  let tried = 0;
  for (const form of forms.filter((one) => 'version' in one.values)) {
    const old = form.values.version!.includes('-') ? form.values.version!.replace(/^[a-z]+/, 'no') : '4711';
    const answer = await send(form, { version: old }, 'an old version');
    expect(answer.status, form.pattern).toBe(409);
    for (const version of ['', 'x', '-1', '99999999999999999999'])
      expect((await send(form, { version }, `version '${version}'`)).status, form.pattern).toBeGreaterThanOrEqual(400);
    tried += 1;
  }
  expect(tried).toBeGreaterThan(20);
});

test('An address with a number that no row has, or none at all, is a page that says so', async () => {
  let tried = 0;
  for (const form of forms.filter((one) => /\/\d/.test(one.action))) {
    for (const id of ['999999', '0', '-1', '1e3', 'abc', '99999999999999999999', '1%00', '%E0%A4%A'] as const) {
      const action = form.action.replace(/^(.*)\/\d+(?=\/|$)/, `$1/${id}`);
      const sent = await send(form, {}, `number ${id}`, action);
      expect([400, 404], `${action}: ${sent.status}`).toContain(sent.status);
      const opened = await app.get(action);
      expect([400, 404], action).toContain(opened.status);
      expect(opened.body).not.toMatch(/\n\s+at |node:internal/);
      tried += 1;
    }
  }
  expect(tried).toBeGreaterThan(100);
  expect(answers.get(500)).toBeUndefined();
});

// Every form of the application, found by following every link of a full ledger, is sent everything a form should never carry. What is
// asserted is the same for all: no failure of the program, no stack trace, and on a refusal every typed value still in its control.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { readCatalogue } from '../../../seed/catalogue.ts';
import { openMemory } from '../../../server/db/open.ts';
import { paths } from '../../../server/paths.ts';
import { type Answer, closeApp, formValues, mistakesOf, openApp, type TestApp, textOf } from '../../support/app.ts';
import { crawl } from '../../support/crawl.ts';
import { type Form, fillLedger, formsOf, keepCopy, sameForms } from '../../support/full-ledger.ts';
import { library } from '../../support/make.ts';

const parts = readCatalogue();

/** Texts that no field of any form means. Fields one by one, at their limits and with every other text, are tried in tests/hostile/. */
const badTexts = {
  blank: '   ',
  long: 'long '.repeat(5_000),
  'impossible date': '2026-02-31',
  markup: '"><script>alert(1)</script>',
} as const;

let app: TestApp;
let putBack: () => void;
let forms: Form[];
const answers = new Map<number, number>();

// One application for the whole file; the tests only differ in what they send.
beforeAll(async () => {
  app = await openApp({ db: openMemory(), library, parts, planningMilliseconds: 50 });
  await fillLedger(app);
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

// Every form of a full ledger, as its pages draw it, is sent random texts in random fields, those at the ends of every range among them. Each
// answer is a page or leads to one; what is refused comes back exactly as it was typed, with every mistake at its field; what is taken never
// shows as a number that is none.

import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { closeApp, formValues, mistakesOf, type TestApp } from '../support/app.ts';
import { crawl } from '../support/crawl.ts';
import { type Form, formsOf, keepCopy, openFullLedger, sameForms } from '../support/full-ledger.ts';
import { anyText, tries, within } from '../support/hostile.ts';

let app: TestApp;
let forms: Form[];
let putBack: () => void;
const faults: string[] = [];
const answers = new Map<number, number>();

beforeAll(async () => {
  app = await openFullLedger((line) => void faults.push(line));
  // A plan in the background would be answered while the ledger is put back.
  const works = /\/(plan|study|stop)$|^\/cap\/|\/import$|\/logger$/;
  forms = formsOf(await crawl(app, sameForms)).filter(({ pattern, shown }) => shown.length > 0 && !works.test(pattern));
  putBack = keepCopy(app.db);
}, within(120_000));

afterAll(async () => {
  console.info(
    `${[...answers].map(([status, times]) => `${times} answered ${status}`).join(', ')}, ${forms.length} forms`,
  );
  await closeApp(app);
});

/** The ends of ranges that forms have, and a little past them. */
const ends = fc.constantFrom(
  ...['0.01', '24', '24.1', '60', '99', '100', '100.01', '240', '600', '601', '5000 W', '20000 mm', '20001 mm', '1 mm'],
  ...['-30 C', '120 C', '120.1 C', '248 F', '50', '500 kg', '10000000', '10000000.01', '-10000000', '999999', '2000'],
  ...[
    '1900-01-01',
    '1899-12-31',
    '2199-12-31',
    '2200-01-01',
    '2199-12',
    '1900-01',
    '2024-02-29',
    '2026-01-15',
    '2026-01',
  ],
);

/** What HTML itself changes in a control: line ends, and the characters that no page can carry. */
const plain = (text: string | undefined) =>
  (text ?? '')
    .replace(/\r\n?/g, '\n')
    .replace(/[^\P{Cc}\n\t]/gu, '')
    .replaceAll('\ufffd', '');

test(
  'Whatever is typed in whichever fields, a form is answered, and what is refused comes back as it was typed',
  async () => {
    const one = fc.tuple(fc.nat(60), fc.oneof(anyText, ends, ends));
    const changes = fc.oneof(
      fc.array(one, { minLength: 1, maxLength: 1 }),
      fc.array(one, { minLength: 1, maxLength: 5 }),
    );
    await fc.assert(
      fc.asyncProperty(fc.nat(), changes, async (which, picked) => {
        const form = forms[which % forms.length]!;
        const names = [...new Set([...Object.keys(form.values), ...form.shown])];
        const typed = Object.fromEntries(picked.map(([place, text]) => [names[place % names.length]!, text]));
        // A browser sends lone surrogates as the sign of what cannot be shown.
        const fields = Object.fromEntries(
          Object.entries({ ...form.values, ...typed }).map(([name, text]) => [name, Buffer.from(text).toString()]),
        );
        const before = faults.length;
        const answer = await app.post(form.action, fields);
        const told = `${form.pattern} ${JSON.stringify(typed).slice(0, 400)}: ${answer.status} ${faults.at(before) ?? ''}`;
        answers.set(answer.status, (answers.get(answer.status) ?? 0) + 1);
        expect([303, 400, 403, 404, 409, 413, 422], told).toContain(answer.status);
        expect(answer.body, told).not.toMatch(/\n\s+at |node:internal|\.ts:\d|SQLITE|SqliteError|ZodError|TypeError/);
        if (answer.status === 303) {
          const next = await app.get(answer.location!);
          expect(next.status, `${told}, then ${answer.location} ${faults.at(before) ?? ''}`).toBe(200);
          // A text that says so itself is no fault.
          if (!/NaN|undefined|Infinity|object/.test(JSON.stringify(fields)))
            expect(next.body, told).not.toMatch(/\bNaN\b|Infinity|undefined|\[object/);
          const home = await app.get('/');
          expect(home.status, `${told}, then the first page ${faults.at(before) ?? ''}`).toBe(200);
          putBack();
          return;
        }
        const back = [...answer.document.querySelectorAll('main form')].find((one) =>
          (one.getAttribute('action') ?? '').startsWith(form.action.split('?')[0]!),
        );
        if (answer.status !== 422 || back === undefined) return;
        expect(mistakesOf(answer).length, told).toBeGreaterThan(0);
        const kept = formValues(back);
        for (const name of form.typed)
          if (name in kept) expect(plain(kept[name]), `${told}: ${name}`).toBe(plain(fields[name]));
      }),
      tries(900),
    );
    expect(answers.get(422)).toBeGreaterThan(300);
    expect(answers.get(303)).toBeGreaterThan(20);
  },
  within(180_000),
);

test('The longest text that a form may carry is answered within a second, whichever field it is in', async () => {
  for (const [place, form] of forms.entries()) {
    if (form.typed.length === 0) continue;
    const name = form.typed[place % form.typed.length]!;
    // Readers that try every way to part blanks from blanks take minutes for this one.
    for (const text of [`1${' '.repeat(55_000)}1x`, `1${' '.repeat(50_000)}x\ny1`]) {
      const values = Object.fromEntries(Object.keys(form.values).map((one) => [one, '']));
      const start = process.cpuUsage();
      const answer = await app.post(form.action, { ...values, [name]: text });
      const { user } = process.cpuUsage(start);
      expect(user / 1_000, `${form.pattern} ${name}: ${answer.status}`).toBeLessThan(1_000);
      if (answer.status === 303) putBack();
    }
  }
});

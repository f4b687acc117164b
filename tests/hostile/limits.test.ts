// The limits of every field, as the sentences that refuse a value name them: what is exactly at a limit is taken by the field, what is just past it
// is refused by the same sentence. And ledgers in which every figure is at one end of what the database takes: no page of them shows a number
// that is none, and planning ends.

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Db } from '../../server/db/open.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate } from '../../src/calendar.ts';
import { LARGEST_TYPED } from '../../src/money.ts';
import { type Answer, closeApp, type TestApp } from '../support/app.ts';
import { crawl, type Found } from '../support/crawl.ts';
import { type Form, formsOf, keepCopy, openFullLedger, sameForms } from '../support/full-ledger.ts';
import { library } from '../support/make.ts';

let app: TestApp;
let pages: Found[];
let forms: Form[];
let putBack: () => void;
let tried = 0;
const faults: string[] = [];

beforeAll(async () => {
  app = await openFullLedger((line) => void faults.push(line));
  pages = await crawl(app, sameForms);
  const works = /\/(plan|study|stop)$|^\/cap\/|\/import$|\/logger$/;
  forms = formsOf(pages).filter(({ pattern, typed }) => typed.length > 0 && !works.test(pattern));
  putBack = keepCopy(app.db);
}, 120_000);

afterAll(async () => {
  console.info(`${tried} values at a limit or just past it`);
  await closeApp(app);
});

/** What is far past every limit, of each kind that a field may ask for. */
const far = ['x'.repeat(9_000), '9999', '-9999', '9999999', '-9999999', '99999999999', '2200-01-01', '2200-01'];

/** Texts exactly at the limits that a sentence of refusal names, and just past each; null for another sentence. */
function limitsIn(message: string): { at: string[]; past: string[] } | null {
  const characters = /to at most (\d+) characters/.exec(message)?.[1];
  if (characters !== undefined) return { at: ['x'.repeat(+characters)], past: ['x'.repeat(+characters + 1)] };
  const years = /must be from (\d+) to (\d+)\./.exec(message);
  if (years !== null)
    return {
      at: [`${years[1]}-01-01`, `${years[2]}-12-31`],
      past: [`${+years[1]! - 1}-12-31`, `${+years[2]! + 1}-01-01`],
    };
  const most = /must be at most ([\d.,]+)\./.exec(message)?.[1];
  if (most !== undefined) return { at: [most], past: [String(+most.replaceAll(',', '') + 0.01)] };
  const range =
    /must be between ([−\d.]+)( [^ ]+)? and ([−\d.]+)( [^ ]+)?\.$/.exec(message) ??
    /whole number from ([−-]?\d+)() to ([−-]?\d+)()\.$/.exec(message);
  if (range === null) return null;
  const [low, high] = [range[1]!.replace('−', '-'), range[3]!.replace('−', '-')];
  const [lowUnit, highUnit] = [range[2] ?? '', range[4] ?? ''];
  const step = /\./.test(low + high) ? 0.01 : 1;
  return {
    at: [low + lowUnit, high + highUnit],
    past: [+(+low - step).toFixed(4) + lowUnit, +(+high + step).toFixed(4) + highUnit],
  };
}

/** What each field of a form that came back is refused for; nothing where the form was taken. */
function refusals({ status, body }: Answer): Map<string, string> {
  if (status !== 422) return new Map();
  const plain = (text: string) => text.replace(/&(?:quot|#x27|amp);/g, "'");
  const summary = body.slice(0, body.indexOf('</section>'));
  return new Map([...summary.matchAll(/<li><a href="#([^"]*)">([^<]*)<\/a>/g)].map((one) => [one[1]!, plain(one[2]!)]));
}

describe('A field', () => {
  test('takes what is exactly at a limit that it names, and refuses what is just past it by the same sentence', async () => {
    const counts = { characters: 0, years: 0, money: 0, numbers: 0 };
    for (const form of forms) {
      const send = async (texts: ReadonlyMap<string, string>) => {
        const answer = await app.post(form.action, { ...form.values, ...Object.fromEntries(texts) });
        const told = `${form.pattern} ${JSON.stringify([...texts]).slice(0, 300)}: ${answer.status} ${faults.at(-1) ?? ''}`;
        expect([303, 403, 404, 409, 422], told).toContain(answer.status);
        if (answer.status === 303) {
          expect(noNumberIn((await app.get(answer.location!)).body), told).toBeNull();
          putBack();
        }
        return refusals(answer);
      };
      const ids = new Map<string, string>(form.typed.map((name) => [idOf(name), name]));
      const found = new Map<string, Map<string, NonNullable<ReturnType<typeof limitsIn>>>>();
      for (const text of far) {
        // A form as a whole has a limit too.
        const most = Math.floor(50_000 / form.typed.length);
        const refused = await send(new Map(form.typed.map((name) => [name, text.slice(0, most)])));
        for (const [id, message] of refused) {
          const [name, limits] = [ids.get(id), limitsIn(message)];
          if (name === undefined || limits === null) continue;
          const sentence = message.replace(/; it has \d+/, '');
          found.set(name, (found.get(name) ?? new Map()).set(sentence, limits));
        }
      }
      const all = [...found].flatMap(([name, sentences]) =>
        [...sentences].map(([sentence, limits]) => ({ name, sentence, ...limits })),
      );
      for (const { sentence } of all) {
        if (/characters/.test(sentence)) counts.characters += 1;
        else if (/the year of/.test(sentence)) counts.years += 1;
        else if (/at most/.test(sentence)) counts.money += 1;
        else counts.numbers += 1;
      }
      // All fields of a form at once, and one limit of each a turn.
      for (let turn = 0; all.some(({ at }) => turn < at.length); turn += 1) {
        for (const which of ['at', 'past'] as const) {
          const left = [...all];
          while (left.length > 0) {
            const now = left.filter((one, place) => left.findIndex(({ name }) => name === one.name) === place);
            for (const one of now) left.splice(left.indexOf(one), 1);
            const sent = now.filter((one) => turn < one[which].length);
            const textOf = (one: (typeof now)[number]) =>
              one[which][turn]!.slice(0, isMonth(form, one) ? 'YYYY-MM'.length : undefined);
            const refused = await send(new Map(sent.map((one) => [one.name, textOf(one)])));
            for (const one of sent) {
              tried += 1;
              const message = (refused.get(idOf(one.name)) ?? '').replace(/; it has \d+/, '');
              const told = `${form.pattern} ${one.name} ${one[which][turn]!.slice(0, 40)}: ${one.sentence}`;
              if (which === 'past') expect(message, told).toBe(one.sentence);
              else expect(message, told).not.toBe(one.sentence);
            }
          }
        }
      }
    }
    expect(counts.characters).toBeGreaterThan(60);
    expect(counts.numbers).toBeGreaterThan(80);
    expect(counts.money).toBeGreaterThan(15);
    expect(counts.years).toBeGreaterThan(20);
  }, 180_000);
});

/** A number that is none, or one that only a program writes so, with what stands around it. */
const noNumberIn = (body: string) =>
  />[^<]*(\bNaN\b|Infinity|undefined|\[object|\b\d(\.\d+)?e[+-]?\d+\b)[^<]*/.exec(body)?.[0] ?? null;
const idOf = (name: string) => `field-${name}`;
const isMonth = ({ values }: Form, { name, sentence }: { name: string; sentence: string }) =>
  sentence.includes('the year of') && (/month/i.test(name) || /^\d{4}-\d\d$/.test(values[name] ?? ''));

/** Sets every figure of a ledger to one end of what its column takes, as the database itself tells it; returns how many columns there are. */
function setAll({ $client: client }: Db, end: 'least' | 'most'): number {
  const tables = client
    .prepare<[], { name: string; sql: string }>("SELECT name, sql FROM sqlite_schema WHERE type = 'table'")
    .all();
  let columns = 0;
  for (const { name, sql } of tables) {
    const ranges = [...sql.matchAll(/\((\w+) BETWEEN (-?\d+) AND (-?\d+)\)/g)];
    for (const [, column, low, high] of ranges) {
      const value = Math.max(-LARGEST_TYPED, Math.min(LARGEST_TYPED, Number(end === 'least' ? low : high)));
      if (/month$/.test(column!)) continue;
      client.prepare(`UPDATE OR IGNORE ${name} SET ${column} = ? WHERE ${column} IS NOT NULL`).run(value);
      columns += 1;
    }
    if (name === 'upgrades') {
      const price = end === 'most' ? LARGEST_TYPED : 0;
      client.prepare('UPDATE upgrades SET price_low = ?, price_high = ?').run(price, price);
    }
  }
  const [degrees, percent, uvi] = { least: [-30, 0, 0], most: [120, 100, 60] }[end];
  client
    .prepare(
      `UPDATE readings SET value = CASE WHEN kind LIKE 'humidity%' THEN ? WHEN kind LIKE 'uvi%' THEN ? ELSE ? END
       WHERE value IS NOT NULL`,
    )
    .run(percent, uvi, degrees);
  return columns;
}

describe('A ledger with every figure at one end of what can be kept', () => {
  test.each(['most', 'least'] as const)(
    'has pages without a number that is none, and a plan: %s',
    async (end) => {
      const { db } = app;
      try {
        expect(setAll(db, end)).toBeGreaterThan(30);
        const outcome = await planNow(db, library, plainDate('2026-01-15'), 100);
        expect(outcome.status === 'saved' || outcome.failure).toBe(true);
        for (const { address } of pages) {
          const before = faults.length;
          const { status, body } = await app.get(address);
          // A proposal may no longer be one.
          expect([200, 404, 422], `${address} ${faults.at(before) ?? ''}`).toContain(status);
          expect(noNumberIn(body), address).toBeNull();
        }
      } finally {
        putBack();
      }
    },
    120_000,
  );
});

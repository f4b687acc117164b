// Random months of a keeper's money through the real pages: sums that come in and go out, purchases, what goes back, counts, months closed and
// corrected, the whole ledger carried to another one. After each step the cash in hand is what a sum over the entries alone says, told
// apart from the program's own way of finding it. 6 sequences of up to 14 steps from a fixed seed, which `FUZZ` of `npm run fuzz` does not touch.

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readMoneyFacts } from '../../server/db/money.ts';
import { listReturns, listUpgrades } from '../../server/db/upgrades.ts';
import { paths } from '../../server/paths.ts';
import { budgetOf } from '../../src/budget.ts';
import { addDays, addMonths, monthOf, type PlainDate, type PlainMonth, plainDate } from '../../src/calendar.ts';
import { closeApp, mistakesOf, openApp, type TestApp, textOf } from '../support/app.ts';
import { keepGecko, keepMoney, wantHide } from '../support/ledger.ts';

const MONTHLY = 20_00;
const typed = (minor: number) => (minor / 100).toFixed(2);

/** What a person with a notebook would know: the count, and every sum that moved, each with its day or month. */
type Notebook = {
  day: PlainDate;
  count: { cash: number; on: PlainDate; holdsSum: boolean };
  oneOffs: { month: PlainMonth; amount: number }[];
  /** What each upgrade cost that is bought now; null where it is not. */
  bought: ({ paid: number; on: PlainDate } | null)[];
  /** What went back: its price went out, and what came back came in. */
  back: { paid: number; on: PlainDate; refund: number; backOn: PlainDate }[];
  closed: PlainMonth[];
};

/** The cash in hand by the notebook alone: months that are over brought their sum; days before the count are in it already. */
function inHand({ day, count, oneOffs, bought, back }: Notebook): number {
  const present = day.slice(0, 7);
  const first = count.on.slice(0, 7);
  let cash = count.cash;
  for (let month = first; month < present; month = nextMonth(month)) {
    if (month !== first || !count.holdsSum) cash += MONTHLY;
    for (const one of oneOffs) if (one.month === month) cash += one.amount;
  }
  for (const one of [...bought, ...back]) if (one !== null && one.on >= count.on) cash -= one.paid;
  for (const { refund, backOn } of back) if (backOn >= count.on) cash += refund;
  return cash;
}

function nextMonth(month: string): string {
  const [year, number] = month.split('-').map(Number) as [number, number];
  return number === 12 ? `${year + 1}-01` : `${year}-${String(number + 1).padStart(2, '0')}`;
}

type Real = { app: TestApp; on: { day: PlainDate } };
type Step = (real: Real, book: Notebook) => Promise<void>;

async function taken(app: TestApp, path: string, fields: Record<string, string>): Promise<void> {
  const answer = await app.submit(await app.get(path), fields);
  if (answer.status !== 303) throw new Error(`${path}: ${answer.status} ${textOf(answer).slice(0, 300)}`);
}

const UPGRADES = 3;
const amount = fc.integer({ min: 0, max: 40_00 });
const which = fc.nat(UPGRADES - 1);

const steps: fc.WeightedArbitrary<Step>[] = [
  {
    weight: 1,
    arbitrary: fc.integer({ min: 1, max: 40 }).map(
      (days): Step =>
        async ({ on }, book) => {
          on.day = book.day = addDays(book.day, days);
        },
    ),
  },
  {
    weight: 1,
    arbitrary: fc
      .record({
        amount: fc.integer({ min: 1, max: 40_00 }),
        isIn: fc.boolean(),
        ahead: fc.integer({ min: -1, max: 2 }),
      })
      .map(
        ({ amount: sum, isIn, ahead }): Step =>
          async ({ app }, book) => {
            const month = addMonths(monthOf(book.day), ahead);
            await taken(app, paths.oneOffSums.new, {
              note: 'Once',
              direction: isIn ? 'in' : 'out',
              amount: typed(sum),
              month,
            });
            book.oneOffs.push({ month, amount: isIn ? sum : -sum });
          },
      ),
  },
  {
    weight: 4,
    arbitrary: fc.record({ which, paid: amount, ago: fc.nat(20) }).map(
      ({ which: index, paid, ago }): Step =>
        async ({ app }, book) => {
          if (book.bought[index] !== null) return;
          const boughtOn = addDays(book.day, -ago);
          await taken(app, paths.upgrades.bought(index + 1), { boughtOn, paid: typed(paid), sure: 'yes' });
          book.bought[index] = { paid, on: boughtOn };
        },
    ),
  },
  {
    weight: 1,
    arbitrary: which.map(
      (index): Step =>
        async ({ app }, book) => {
          if (book.bought[index] === null) return;
          await taken(app, paths.upgrades.notBought(index + 1), { why: '' });
          book.bought[index] = null;
        },
    ),
  },
  {
    weight: 1,
    arbitrary: fc.record({ which, paid: amount, ago: fc.nat(20) }).map(
      ({ which: index, paid, ago }): Step =>
        async ({ app }, book) => {
          if (book.bought[index] === null) return;
          const boughtOn = addDays(book.day, -ago);
          await taken(app, paths.upgrades.correctPurchase(index + 1), { boughtOn, paid: typed(paid), sure: 'yes' });
          book.bought[index] = { paid, on: boughtOn };
        },
    ),
  },
  {
    weight: 1,
    arbitrary: fc.record({ cash: amount, holdsSum: fc.boolean(), ago: fc.nat(20) }).map(
      ({ cash, holdsSum, ago }): Step =>
        async ({ app }, book) => {
          const on = addDays(book.day, -ago);
          await taken(app, paths.moneyChange, {
            cashCounted: typed(cash),
            cashCountedOn: on,
            sumArrived: holdsSum ? 'yes' : 'no',
          });
          book.count = { cash, on, holdsSum };
        },
    ),
  },
  // A month is closed as soon as there is one; what lies bought goes back with it, too dear at first.
  {
    weight: 4,
    arbitrary: fc
      .record({
        later: fc.nat(40),
        goesBack: fc.boolean(),
        share: fc.integer({ min: 0, max: 100 }),
        extra: fc.integer({ min: 1, max: 500 }),
      })
      .map(
        ({ later, goesBack, share, extra }): Step =>
          async ({ app, on }, book) => {
            on.day = book.day = addDays(book.day, later);
            const link = (await app.get(paths.months.list)).body.match(/href="(\/months\/\d{4}-\d{2}\/close)"/)?.[1];
            if (link === undefined) return;
            const month = link.slice(8, 15);
            const page = await app.get(link);
            const index = book.bought.findIndex(
              (_one, at) => page.document.querySelector(`[name="fate-${at + 1}"]`) !== null,
            );
            const one = book.bought[index];
            const fields: Record<string, string> = { cameIn: typed(MONTHLY) };
            if (goesBack && one != null) {
              const id = index + 1;
              const back = { [`fate-${id}`]: 'returned', [`returnedOn-${id}`]: book.day };
              const tooMuch = await app.submit(page, { ...fields, ...back, [`refund-${id}`]: typed(one.paid + extra) });
              expect([tooMuch.status, mistakesOf(tooMuch)[0]!.field]).toEqual([422, `refund-${id}`]);
              const refund = Math.floor((one.paid * share) / 100);
              Object.assign(fields, back, { [`refund-${id}`]: typed(refund) });
              book.back.push({ ...one, refund, backOn: book.day });
              book.bought[index] = null;
              seen.refunds += 1;
            }
            const answer = await app.submit(page, fields);
            if (answer.status !== 303) throw new Error(`${link}: ${answer.status} ${textOf(answer).slice(0, 400)}`);
            book.closed.push(month as PlainMonth);
            seen.closed += 1;
          },
      ),
  },
  {
    weight: 1,
    arbitrary: amount.map(
      (sum): Step =>
        async ({ app }, book) => {
          const month = book.closed.at(-1);
          if (month === undefined || sum === 0) return;
          // A correction tells of a month, and leaves what is in hand to the count.
          await taken(app, paths.months.correct(month), { note: 'Otherwise', side: 'more', amount: typed(sum) });
          seen.corrected += 1;
        },
    ),
  },
  {
    weight: 1,
    arbitrary: fc.constant<Step>(async (real) => {
      const text = (await real.app.get('/export/ledger.json')).body;
      const other = await openApp({ now: () => new Date(`${real.on.day}T12:00:00Z`) });
      await other.submit(await other.submit(await other.get(paths.export.import), { text }));
      await closeApp(real.app);
      real.app = other;
      seen.carried += 1;
    }),
  },
];

const seen = { steps: 0, refunds: 0, closed: 0, corrected: 0, carried: 0, below: 0 };

test('Whatever is bought, comes back, is counted, closed, corrected and carried over, the cash in hand is the sum of its entries', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(fc.oneof(...steps), { minLength: 8, maxLength: 14 }), async (sequence) => {
      const on = { day: plainDate('2026-01-15') };
      const real: Real = { on, app: await openApp({ now: () => new Date(`${on.day}T12:00:00Z`) }) };
      const book: Notebook = {
        day: on.day,
        count: { cash: 30_00, on: on.day, holdsSum: true },
        ...{ oneOffs: [], back: [], closed: [], bought: Array.from({ length: UPGRADES }, () => null) },
      };
      keepGecko(real.app.db);
      keepMoney(real.app.db, MONTHLY, 30_00);
      for (let index = 0; index < UPGRADES; index += 1) wantHide(real.app.db, `Hide ${index}`, 'warm', 10_00);
      try {
        for (const step of sequence) {
          const before = inHand(book);
          const spent = outgoing(book);
          await step(real, book);
          const { db } = real.app;
          const { openingCash, opening } = budgetOf(readMoneyFacts(db, book.day), monthOf(book.day), 1);
          expect(openingCash).toBe(inHand(book));
          // The entries shown are all there is: with the count they come to the same.
          expect(opening.since.reduce<number>((sum, one) => sum + one.amount, opening.counted!)).toBe(openingCash);
          for (const { refund, paid, returnedOn, boughtOn } of listReturns(db)) {
            expect(refund).toBeLessThanOrEqual(paid);
            expect(refund >= 0 && returnedOn >= boughtOn).toBe(true);
          }
          // Less is in hand than before only where something was paid, went out, or was counted.
          if (openingCash < before && spent === outgoing(book)) throw new Error('money went away by itself');
          if (openingCash < 0) seen.below += 1;
          expect(listUpgrades(db).map((one) => one.paid)).toEqual(book.bought.map((one) => one?.paid ?? null));
          seen.steps += 1;
        }
      } finally {
        await closeApp(real.app);
      }
    }),
    { numRuns: 6, seed: 20260115, endOnFailure: true },
  );
  expect(seen.steps).toBeGreaterThan(50);
  for (const kind of ['refunds', 'closed', 'corrected', 'carried'] as const)
    expect(seen[kind], kind).toBeGreaterThan(0);
});

/** What can make the cash less: purchases, sums that go out in months that are over, and the count itself. */
function outgoing({ bought, back, oneOffs, count, day }: Notebook): string {
  return JSON.stringify([bought, back, oneOffs.filter((one) => one.month < day.slice(0, 7) && one.amount < 0), count]);
}

// The page of what wears out: dates counted from the anchor, what is overdue, what each month takes and what a reserve must hold.

import { expect, test } from 'vitest';
import { addUpgrade, buyUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { plainDate } from '../../../src/calendar.ts';
import type { Fitting } from '../../../src/collection.ts';
import { money } from '../../../src/money.ts';
import { bareUpgrade } from '../../../src/upgrades.ts';
import { startApp, type TestApp, tableRows, textOf } from '../../support/app.ts';
import { keepFitting, keepGecko, keepMoney } from '../../support/ledger.ts';
import { makeFitting, makeThing } from '../../support/make.ts';

function keepFitted({ db }: TestApp, kind: Fitting['kind'], parts: Partial<Fitting>): void {
  keepFitting(db, makeFitting(kind, { id: '0', enclosureId: '1', ...parts }));
}

test('a month’s end is held from the anchor and never drifts: 31 January, 28 February, 31 March', async () => {
  const app = await startApp({ now: () => new Date('2023-01-31T12:00:00Z') });
  keepGecko(app.db);
  keepMoney(app.db, 20_00, 30_00, '2023-01-31');
  keepFitted(app, 'novelty', {
    name: 'Leaf litter',
    fittedOn: plainDate('2023-01-31'),
    lifeMonths: 1,
    renewalPrice: money(3_00),
  });
  const page = await app.get(paths.renewals);
  expect(page.status).toBe(200);
  const rows = tableRows(page, 'Each renewal by its day');
  expect(rows.slice(0, 3).map((row) => row[1])).toEqual(['28 February 2023', '31 March 2023', '30 April 2023']);
  expect(rows[11]![1]).toBe('31 January 2024');
  expect(rows[12]![1]).toBe('29 February 2024');
  expect(tableRows(page, 'What each month takes')[0]).toEqual(['February 2023', 'Leaf litter', '€3.00']);
});

// Four things of the worked example: 30/12 + 9/6 + 18/36 + 60/24 = 7.00 a month; by 1 January 2026 a reserve holds about 79.
test('the reserve opens with the share that is used up', async () => {
  const app = await startApp({ now: () => new Date('2026-01-01T12:00:00Z') });
  keepGecko(app.db);
  keepMoney(app.db, 20_00, 30_00, '2026-01-01');
  const thing = (name: string, price: number, lifeMonths: number, fittedOn: string) =>
    keepFitted(app, 'uv-tube', { name, fittedOn: plainDate(fittedOn), lifeMonths, renewalPrice: money(price) });
  thing('Tube', 30_00, 12, '2025-03-10');
  thing('Novelty', 9_00, 6, '2025-11-01');
  thing('Probe', 18_00, 36, '2024-01-20');
  thing('Heater', 60_00, 24, '2024-09-01');
  const page = await app.get(paths.renewals);
  const text = textOf(page);
  expect(text).toContain('Share of each month€7.00');
  const held = Number(/must hold today€([\d.]+)/.exec(text)![1]);
  // 30 x 9.76 / 12 + 9 x 2.00 / 6 + 18 x 23.43 / 36 + 60 x 16.03 / 24, ages in mean months.
  expect(held).toBeCloseTo(24.39 + 3.01 + 11.71 + 40.02, 0);
  expect(text).not.toContain('Overdue');
});

test('a tube past its life is overdue though it lights, and can be marked as renewed from here', async () => {
  const app = await startApp();
  keepGecko(app.db);
  keepFitted(app, 'uv-tube', {
    name: 'UV tube',
    fittedOn: plainDate('2024-12-31'),
    lifeMonths: 12,
    renewalPrice: null,
  });
  keepFitted(app, 'uv-compact', { name: 'Spiral lamp', fittedOn: plainDate('2025-06-01'), lifeMonths: null });
  const page = await app.get(paths.renewals);
  expect(textOf(page)).toContain(
    'UV tube, Shelf: due since 31 December 2025; price of a new one: up to €62.00 by the list',
  );
  expect(textOf(page)).toContain('(common practice, no source); not counted until it is entered. Renewed');
  expect(textOf(page)).toContain('A tube that still lights is still due');
  expect(textOf(page)).toContain('count as estimates until it is renewed');
  expect(page.document.querySelector('[aria-label="UV tube was renewed"]')?.getAttribute('href')).toBe(
    paths.enclosures.fittings.renewed('1', '1'),
  );
  expect(textOf(page)).toContain('Without a life');
  expect(textOf(page)).toContain('Spiral lamp');
});

test('a price that was not entered is the one paid for the thing alone, with a way to enter it', async () => {
  const app = await startApp();
  keepGecko(app.db);
  const kit = bareUpgrade('Heater', [
    { change: 'fit', enclosureId: '1', fitting: makeThing('ceramic-heater', { name: 'Heater', lifeMonths: 12 }) },
  ]);
  const id = Number(addUpgrade(app.db, { ...kit, priceLow: money(16_00), priceHigh: money(28_00) }));
  buyUpgrade(app.db, id, 1, { boughtOn: plainDate('2026-01-10'), paid: money(17_50), arrivesMonth: null });
  expect((await app.submit(await app.get(paths.upgrades.fitted(id)))).status).toBe(303);
  const page = await app.get(paths.renewals);
  const [row] = tableRows(page, 'Each renewal by its day');
  expect(row![2]).toBe('€17.50, as you paid for this one; not counted until it is entered Enter its price');
  expect(tableRows(page, 'What each month takes')[0]![2]).toBe('€0.00 and 1 without a price entered');
});

test('a ledger in which nothing wears out says so', async () => {
  const { get } = await startApp();
  expect(textOf(await get(paths.renewals))).toContain('nothing is ever due');
});

// The shopping list and the sheet of the month as a browser sees them: from a real plan, with what is on the way and what is free.

import { expect, test } from 'vitest';
import { openMemory } from '../../../server/db/open.ts';
import { latestPlan } from '../../../server/db/plans.ts';
import { addUpgrade, buyUpgrade } from '../../../server/db/upgrades.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate, plainMonth } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import { bareUpgrade, type NewFitting } from '../../../src/upgrades.ts';
import { startApp, textOf, textsOf } from '../../support/app.ts';
import { keepFitting, keepSmallLedger } from '../../support/ledger.ts';
import { library, makeFitting, makeThing } from '../../support/make.ts';

const today = plainDate('2026-01-15');

test('the list holds what the plan buys this month, with its price, measures and checks', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  const app = await startApp({ db });
  const page = await app.get(paths.shopping);
  expect(page.status).toBe(200);
  expect(textsOf(page, 'h1')).toEqual(['Shopping list for January 2026']);
  expect(textsOf(page, 'article h3')).toEqual(['1 × Warm cave']);
  const text = textOf(page);
  expect(text).toContain('€25.00, for “Shelf” (Ember)');
  expect(text).toContain('Ember is 12 cm long');
  expect(text).toContain('Run a finger round it');
  expect(text).toContain('All together €25.00.');
  // 25 more what is left above the floor in the month of the plan in which that is least.
  const { months, reserve } = latestPlan(db)!.roadmap!;
  const most = 25 + Math.min(...months.map((one) => one.cash - reserve)) / 100;
  expect(text).toContain(`The most you may pay for it is €${most.toFixed(2)}`);
  expect(text).not.toContain('Cardboard hide');
  expect(text).not.toMatch(/\bis safe\b/);
});

test('what was bought and is on the way is looked at when it comes and not bought again', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  buyUpgrade(db, 1, 1, { boughtOn: today, paid: money(2400), arrivesMonth: plainMonth('2026-02') });
  const fit = (thing: NewFitting) => ({ change: 'fit' as const, enclosureId: '1', fitting: thing });
  const heater = makeThing('ceramic-heater', { key: 'heater', name: 'Heater, 60 W, needs a guard and a thermostat' });
  const control = makeThing('thermostat', { name: 'Thermostat that pulses', regulates: 'heater' });
  const kit = bareUpgrade('Heater, 60 W, needs a guard with fitting and thermostat', [fit(heater), fit(control)]);
  const id = Number(addUpgrade(db, { ...kit, priceLow: money(8000), priceHigh: money(9000) }));
  buyUpgrade(db, id, 1, { boughtOn: today, paid: money(8500), arrivesMonth: plainMonth('2026-02') });
  const app = await startApp({ db });
  const page = await app.get(paths.shopping);
  expect(textsOf(page, 'article h3')).toEqual(['1 × Warm cave', `1 × ${kit.name}`]);
  // What the line is called after does not belong to itself.
  expect(textOf(page)).toContain('Belongs to it: Thermostat that pulses.');
  expect(textOf(page)).toContain('paid €24.00, for “Shelf” (Ember) Expected in February 2026.');
  expect(textOf(page)).toContain('Nothing is to be bought this month.');
  expect(textOf(page)).toContain('Plan again before you buy');
  expect(textOf(page)).not.toContain('The most you may pay');
});

test('a renewal that is due stands on the list with its cautions, and one without a price is told', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  const tube = { name: 'Old tube', lifeMonths: 12, watts: 24, fittedOn: plainDate('2024-12-01') };
  keepFitting(db, makeFitting('uv-tube', { id: '1', ...tube }));
  const app = await startApp({ db });
  const page = await app.get(paths.shopping);
  const text = textOf(page);
  expect(text).toContain('1 × Old tube price not entered');
  expect(text).toContain('A new one was due on 1 December 2025.');
  expect(text).toContain('Do not buy a UV lamp used');
  expect(text).toContain('A renewal without a price is not in the sum.');
});

test('the sheet of the month goes from free to bought, each with its why and a link', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  const app = await startApp({ db });
  const page = await app.get(paths.thisMonth);
  expect(textsOf(page, 'main h2').slice(0, 5)).toEqual([
    'Before anything else',
    'Free: do these first',
    'Borrow: read before you buy',
    'Hand down: use again what an upgrade frees',
    'Buy',
  ]);
  const [, ...sections] = [...page.document.querySelectorAll('main section')].map((one) => textOf(one));
  expect(sections[0]).toContain('Cardboard hide. Ember: Hides rises from 45 to 85.');
  expect(sections[1]).toContain('Digital thermometer with a probe');
  expect(sections[2]).toContain('Nothing that is replaced this month goes to another animal.');
  expect(sections[3]).toContain('Warm cave, €25.00, for Ember.');
  expect(page.document.querySelector(`a[href="${paths.upgrades.bought('1')}"]`)).not.toBeNull();
  const home = await app.get(paths.home);
  expect(home.document.querySelector(`.decision a[href="${paths.thisMonth}"]`)).not.toBeNull();
});

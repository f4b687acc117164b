// What leaves the ledger on paper, as a browser sees it: the case, the sheet for the vet, the cards of species, and growth on the pages.

import { expect, test } from 'vitest';
import { openMemory } from '../../../server/db/open.ts';
import { addSign, settleSign } from '../../../server/db/signs.ts';
import { paths } from '../../../server/paths.ts';
import { planNow } from '../../../server/planning.ts';
import { plainDate } from '../../../src/calendar.ts';
import { startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { appWithSnake, enter, readingTexts } from '../../support/collection.ts';
import { keepGecko, keepMoney, keepSmallLedger } from '../../support/ledger.ts';
import { library } from '../../support/make.ts';

const today = plainDate('2026-01-15');

test('the case tells the collection, scores with ranges and sources, the roadmap, and what it cannot say', async () => {
  const db = openMemory();
  keepSmallLedger(db);
  await planNow(db, library, today, 200);
  const app = await startApp({ db });
  const page = await app.get(paths.case);
  expect(page.status).toBe(200);
  const [row] = tableRows(page, 'Scores today, worst off first');
  expect(row![0]).toBe('Ember');
  expect(row![3]).toMatch(/\d+ of 100/);
  expect(row![5]).toMatch(/^\d+ of 100; \d+ if nothing is bought$/);
  const bought = tableRows(page, 'Purchases by month');
  expect(bought[0]![0]).toBe('January 2026');
  expect(bought[0]![1]).toContain('Warm cave');
  expect(bought[0]![2]).toBe('€25.00');
  const text = textOf(page);
  // The sum is that of the purchases that are listed; what falls due besides is no upgrade.
  const listed = bought.reduce((sum, one) => sum + Number(one[2]!.replace('€', '')), 0);
  expect(text).toContain(`€${listed.toFixed(2)} for upgrades in all`);
  expect(text).toContain('one animal in one enclosure');
  // No time, floor or food was entered, so nothing is claimed.
  expect(text).toContain('No room for one more now. What binds first: animals severely short.');
  expect(text).toMatch(/\d figures that it hangs on are not known/);
  expect(text).not.toContain('no limit found');
  expect(text).toContain('Severely short needs × months');
  expect(text).toContain('Nobody inspected the enclosures');
  expect(textsOf(page, '.paper-list li').filter((one) => one.startsWith('Ember.')).length).toBeGreaterThan(0);
  expect(text).not.toMatch(/\bis safe\b/);
});

test('without an animal or a plan the case says so', async () => {
  const app = await startApp();
  expect(textOf(await app.get(paths.case))).toContain('there is no case to make');
  keepGecko(app.db);
  expect(textOf(await app.get(paths.case))).toContain('No plan was made yet.');
});

test('the sheet for the vet has readings with instrument and day beside targets, weights, and changes since the visit', async () => {
  const app = await appWithSnake();
  await enter(app, paths.enclosures.readings.newOf(1, 'warm-air'), {
    ...readingTexts,
    value: '29',
    instrument: 'thin probe',
  });
  const calm = { animalId: '1', grams: null, gramsTyped: '', alarm: null, worrying: false, setAside: null, notes: '' };
  addSign(app.db, { ...calm, kind: 'weight', notedOn: plainDate('2026-01-02'), grams: 412, gramsTyped: '412 g' });
  const id = addSign(app.db, { ...calm, kind: 'shed', notedOn: plainDate('2025-04-01'), notes: 'in pieces' });

  const before = await app.get(paths.animals.vetSheet(1));
  expect(textOf(before)).toContain('Changed in the last 12 months (no visit to a vet is entered)');
  settleSign(app.db, Number(id), 1, { on: plainDate('2025-05-01'), how: 'vet-seen', paid: null });

  const page = await app.get(paths.animals.vetSheet(1));
  expect(page.status).toBe(200);
  const rows = tableRows(page, 'Readings, newest of each kind');
  const warm = rows.find((one) => one[0] === 'Temperature of the warm air')!;
  expect(warm[1]).toBe('29 °C');
  expect(warm[2]).toBe('10 January 2026, thin probe');
  expect(rows.some((one) => one[1] === 'not read' && one[3] !== '')).toBe(true);
  const text = textOf(page);
  expect(text).toContain('412 g');
  expect(text).toContain('Changed since the last visit on 1 May 2025');
  // The enclosure form gives its box the first of June 2025.
  expect(text).toContain('1 June 2025The box was set up, moved or replaced.');
  expect(text).toMatch(/from memory/i);
  expect(textOf(await app.get(paths.animals.show(1)))).toContain('One page for the vet');
});

test('the sheet for the vet tells dated rest, the missing check and what is severely short, in the words of the animal’s page', async () => {
  const app = await appWithSnake({ animal: { coolingFrom: '11', coolingTo: '12' } });
  await enter(app, paths.enclosures.readings.newOf(1, 'warm-hide-floor'), { ...readingTexts, value: '45' });
  const text = textOf(await app.get(paths.animals.vetSheet(1)));
  expect(text).toContain('Severely shortThe floor of the warm hide');
  expect(text).toContain('The floor of the warm hide is too warm: it reads 45 °C');
  expect(text).toContain('Dated seasonscooling, November to December');
  expect(text).toContain('Last check by a vetnone is entered');
});

test('the card of a species leads with what to do and marks critical limits, each with its grade', async () => {
  const app = await appWithSnake();
  const page = await app.get(paths.species.card('corn-snake'));
  expect(page.status).toBe(200);
  expect(textsOf(page, 'main h2')).toEqual(['The power is out', 'A heat wave']);
  const text = textOf(page);
  expect(text).toContain('Kept here: Maize.');
  expect(textsOf(page, '.paper-steps li')[1]).toContain('Unplug heaters and lamps');
  for (const line of textsOf(page, '.paper-card .paper-list li').filter((one) => one.includes('°C')))
    expect(line).toMatch(/tested on this species|studied nearby|agreed practice|hearsay/);
  expect(text).toContain('common practice, no source');
  expect(text).not.toMatch(/\bis safe\b|\bbuy\b/);
  expect((await app.get(paths.species.card('no-such'))).status).toBe(404);
  expect(textOf(await app.get(paths.species.show('corn-snake')))).toContain('Card for a power cut and a heat wave');
});

test('growth stands on the pages of the animal and of its room, and beside a proposed box', async () => {
  const app = await appWithSnake({
    enclosure: { length: '60 cm', depth: '40', height: '40' },
    animal: { length: '60 cm', hatchedOn: '2025-06-01' },
  });
  keepMoney(app.db, 20_00, 30_00);
  for (const address of [paths.animals.show(1), paths.animals.space(1)]) {
    const text = textOf(await app.get(address));
    expect(text, address).toContain('Growth up to');
    expect(text, address).toMatch(/Length \(.*\): 60 cm in January 2026/);
    expect(text, address).toMatch(/Score today: .* of 100.*if nothing is bought or renewed/);
    expect(text, address).toMatch(/The present box “Top shelf” (is outgrown|gives less)/);
  }
  const proposals = textOf(await app.get(paths.upgrades.list));
  expect(proposals).toMatch(
    /For Maize, the new box (gives a fully grown animal|is outgrown|is large enough|gives less)/,
  );
});

import { expect, test } from 'vitest';
import { changeLedger, firstLedger } from '../../../server/db/ledger.ts';
import { startApp, tableRows, textOf, textsOf } from '../../support/app.ts';

test('The about page says that the score judges the enclosure and never the feelings of an animal', async () => {
  const { get } = await startApp();
  const page = await get('/about');
  expect(page.status).toBe(200);
  expect(page.document.title).toBe('About the score – Basking Ledger');
  expect(textsOf(page, 'h1')).toEqual(['About the score']);
  expect(textOf(page)).toContain('never how an animal feels');
  expect(textsOf(page, 'nav [aria-current="page"]')).toEqual(['About the score']);
});

// The scoring notes of the product (section 7): weights 10, 20, 15, 10, 20, 15, 10 and allowances 30, 30, 30, 30, 50, 50, 70; water added
// with 10 and 30 by the husbandry rules.
test('The about page shows the weight and the allowance of each need, which are defaults and not findings', async () => {
  const { get } = await startApp();
  const page = await get('/about');
  const rows = tableRows(page, 'Needs, weights and allowances (defaults of this ledger)');
  expect(rows.map((row) => row.slice(0, 4))).toEqual([
    ['Safety', '10', '10 %', '30'],
    ['Heat', '20', '20 %', '30'],
    ['UV', '15', '15 %', '30'],
    ['Humidity', '10', '10 %', '30'],
    ['Space', '20', '20 %', '50'],
    ['Hides', '15', '15 %', '50'],
    ['Enrichment and choice', '10', '10 %', '70'],
    ['Water', '10', 'where it applies', '30'],
  ]);
  expect(textOf(page)).toContain('value choices, not published constants');
  expect(textOf(page)).toContain('points below 40 count three times, those from 40 to 70 twice');
});

test('The about page says what was chosen, and no longer that it is the default', async () => {
  const { get, db } = await startApp();
  const { needWeights, allowances } = firstLedger;
  changeLedger(db, 1, { needWeights: { ...needWeights, space: 40 }, priority: [4, 4, 0] });
  const chosen = await get('/about');
  const rows = tableRows(chosen, 'Needs, weights and allowances (as you chose them)');
  // By hand: 40 of 10 + 20 + 15 + 10 + 40 + 15 + 10 = 120.
  expect(rows[4]!.slice(0, 4)).toEqual(['Space', '40', '33 %', '50']);
  expect(textOf(chosen)).toContain(
    'points below 40 count 4 times, those from 40 to 70 4 times and those above not at all',
  );
  expect(textOf(chosen)).toContain('at most 30 points above its worst life-critical need');
  const narrow = (points: number) => ({ safety: points, heat: points, uv: points, humidity: points, water: points });
  changeLedger(db, 2, { priority: [2, 2, 2], allowances: { ...allowances, ...narrow(15) } });
  const narrower = textOf(await get('/about'));
  expect(narrower).toContain('every point counts alike');
  expect(narrower).not.toContain('three times');
  expect(narrower).toContain('at most 15 points above its worst life-critical need, 50 above a basic one and 70 above');
  changeLedger(db, 3, { allowances: { ...allowances, heat: 5 } });
  const uneven = textOf(await get('/about'));
  expect(uneven).toContain('only as far above each need as the table below says');
  expect(uneven).not.toContain('30 points above');
});

test('The about page explains every word that stands beside a source, and the cap in one sentence', async () => {
  const { get } = await startApp();
  const page = await get('/about');
  expect(textsOf(page, '#grades dt')).toEqual([
    'tested on this species',
    'studied nearby',
    'agreed practice',
    'hearsay',
    'published',
    'secondary',
    'common practice, no source',
    'from memory, check before relying on it',
    'your own entry',
  ]);
  expect(textOf(page)).toContain('lift an animal at most 30 points above its worst life-critical need');
});

test('The about page says how many figures are known how well, and on how much sources disagree', async () => {
  const { get } = await startApp();
  const page = await get('/about');
  const shares = textsOf(page, '#grades dd').map((text) =>
    text
      .match(/(\d+) of (\d+) figures/)!
      .slice(1)
      .map(Number),
  );
  const total = shares[0]![1]!;
  expect(total).toBeGreaterThan(1000);
  for (const [, of] of shares) expect(of).toBe(total);
  // Four grades first, then the kinds of source: each figure has one of each.
  const sum = (some: number[][]) => some.reduce((all, [count]) => all + count!, 0);
  expect([sum(shares.slice(0, 4)), sum(shares.slice(4))]).toEqual([total, total]);
  const species = textsOf(await get('/species'), '.species-list > li').length;
  expect(textOf(page)).toContain(`The library holds ${species} species with ${total} figures, each with its source.`);
  // Bearded dragons, panther chameleons and others: see the species' own pages.
  expect(Number(textOf(page).match(/Sources put (\d+) species in more than one UV zone/)![1])).toBeGreaterThan(10);
});

test('No page of the ledger says that a set-up is safe', async () => {
  const { get } = await startApp();
  const pages = await Promise.all(['/about', '/species', '/species/corn-snake'].map((path) => get(path)));
  for (const page of pages) {
    expect(page.status).toBe(200);
    expect(textOf(page)).not.toMatch(/\bsafe\b/i);
  }
});

// The page of progress: drawn and in tables, the same figures, from months as they were closed and from today.

import { expect, test } from 'vitest';
import { closeMonth } from '../../../server/db/months.ts';
import { savePredictions } from '../../../server/db/predictions.ts';
import { paths } from '../../../server/paths.ts';
import { plainDate } from '../../../src/calendar.ts';
import { money } from '../../../src/money.ts';
import type { KeptScore } from '../../../src/month-review.ts';
import { startApp, tableRows, textOf, textsOf } from '../../support/app.ts';
import { keepGecko, keepReading, wantHide } from '../../support/ledger.ts';
import { makeReading, quietMonth } from '../../support/make.ts';

function kept(animalId: string, name: string, score: number, severe: KeptScore['severe'] = []): KeptScore {
  return { animalId, name, score, low: score - 5, high: score + 5, worst: 'heat', severe };
}

const bought = (name: string, paid: number, animal: string, need: 'heat' | 'uv' | null) => ({
  upgradeId: '1',
  name,
  paid: money(paid),
  boughtOn: plainDate('2025-12-10'),
  fittedOn: null,
  refunded: money(0),
  shop: '',
  purposes: [{ animal, need, amount: money(paid) }],
});

async function afterTwoMonths() {
  const app = await startApp();
  keepGecko(app.db);
  closeMonth(
    app.db,
    plainDate('2025-12-01'),
    quietMonth('2025-11', '2025-11-30', {
      scores: [kept('1', 'Ember', 20, ['heat', 'uv']), kept('9', 'Fio', 60)],
      bought: [bought('Lamp', 30_00, 'Ember', 'uv')],
      events: [{ on: plainDate('2025-11-12'), what: 'Cash counted', name: '', amount: money(1) }],
    }),
  );
  const causes = {
    'not-bought': 0,
    'bought-late': 0,
    'delivered-otherwise': -45,
    'evidence-changed': 0,
    aged: 0,
    'target-revised': 0,
    'joined-or-left': 0,
  };
  closeMonth(
    app.db,
    plainDate('2026-01-01'),
    quietMonth('2025-12', '2025-12-31', {
      scores: [kept('1', 'Ember', 40, ['heat']), kept('9', 'Fio', 61)],
      bought: [bought('Lamp two', 12_00, 'Ember', 'uv'), bought('Mat', 8_00, 'Ember', 'heat')],
      welfare: { planned: 1055, actual: 1010, causes, animals: [] },
      events: [{ on: plainDate('2025-12-12'), what: 'Fitted', name: 'Lamp', amount: money(30_00) }],
    }),
  );
  return app;
}

test('without a closed month the page leads to closing one', async () => {
  const { get } = await startApp();
  expect(textsOf(await get(paths.progress), '.empty-state h2')).toEqual(['No month is closed yet']);
});

test('least and middle stand beside the mean, with the points of each closed month and today', async () => {
  const { get } = await afterTwoMonths();
  const page = await get(paths.progress);
  const rows = tableRows(page, 'All animals over the months');
  expect(rows.slice(0, 2)).toEqual([
    ['November 2025', '20', '40', '40', '–', '–', '–'],
    ['December 2025', '40', '51', '51', '105.5', '101.0', '−4.5'],
  ]);
  expect(rows[2]![0]).toBe('Today');
});

test('each animal is drawn with the same figures as in its table, and events are marked by number', async () => {
  const { get } = await afterTwoMonths();
  const page = await get(paths.progress);
  const rows = tableRows(page, 'Scores of Ember');
  expect(rows.slice(0, 2)).toEqual([
    ['November 2025', '20', '15 to 25', 'heat, UV'],
    ['December 2025', '40', '35 to 45', 'heat'],
  ]);
  const chart = page.document.getElementById('progress-1-title');
  expect(textOf(chart)).toContain('Ember');
  const today = rows[2]!;
  expect(textOf(page.document.getElementById('progress-1-description'))).toContain(
    `From 20 in November 2025 to ${today[1]} today.`,
  );
  expect(textsOf(page, '.chart text')).toContain(`score ${today[1]}`);
  expect(textsOf(page, '.chart text')).toContain('1');
  expect(tableRows(page, 'Numbered as in the drawings')).toEqual([['1', 'Fitted: Lamp', '12 Dec 25']]);
  // Fio is gone: its months stay, without a link and without today.
  expect(tableRows(page, 'Scores of Fio').map((row) => row[0])).toEqual(['November 2025', 'December 2025']);
});

test('severe shortfalls that ended are named once, in the month in which they ended', async () => {
  const { get } = await afterTwoMonths();
  const text = textOf(await get(paths.progress));
  expect(text).toContain('UV of Ember is no longer severely short at the end of December 2025.');
  expect(text.match(/UV of Ember is no longer/g)).toHaveLength(1);
});

test('money is told by animal and need over all closed months', async () => {
  const { get } = await afterTwoMonths();
  const page = await get(paths.progress);
  expect(tableRows(page, 'Spent by animal and need').map((row) => [row[0], row[2]])).toEqual([
    ['Ember', '€8.00'],
    ['Ember', '€42.00'],
  ]);
  expect(textOf(page)).toMatch(/Together ?€50\.00/);
});

test('what was promised stands beside what was measured', async () => {
  const { get, db } = await afterTwoMonths();
  const upgradeId = wantHide(db, 'Damp moss', 'moist', 0);
  const promise = { upgradeId, enclosureId: '1', kind: 'humidity-day' as const, predicted: 60, error: 5, model: null };
  savePredictions(db, [{ ...promise, madeOn: plainDate('2026-01-02') }]);
  keepReading(db, makeReading('humidity-day', 40, { typed: '40 %', takenOn: plainDate('2026-01-10') }));
  const [row] = tableRows(await get(paths.progress), 'What upgrades promised and what was read');
  expect(row!.slice(1, 4)).toEqual([
    'Damp moss',
    expect.stringMatching(/^60.*5/),
    expect.stringMatching(/^40.*10 Jan 26$/),
  ]);
  expect(row![5]).toContain('below what was promised by more than the error');
});

// Promises in the database: kept in order, once for each reading of an upgrade, never without their upgrade.

import { expect, test } from 'vitest';
import { listPredictions, savePredictions } from '../../../server/db/predictions.ts';
import { addUpgrade } from '../../../server/db/upgrades.ts';
import { plainDate } from '../../../src/calendar.ts';
import type { Promised } from '../../../src/promises.ts';
import { appWithSnake } from '../../support/collection.ts';
import { makeUpgrade } from '../../support/make.ts';

const promised: Promised = {
  upgradeId: '1',
  enclosureId: '1',
  kind: 'warm-hide-floor',
  predicted: 30.5,
  error: 2,
  madeOn: plainDate('2026-01-15'),
  model: null,
};

test('what was promised comes back as it was, and the same reading is not promised twice', async () => {
  const app = await appWithSnake();
  const { id: _, ...upgrade } = makeUpgrade('1', [], { name: 'Mat' });
  const id = addUpgrade(app.db, upgrade);
  expect(id).toBe('1');
  const uvi = { ...promised, kind: 'uvi-basking' as const, predicted: 2.4, model: 3 };
  savePredictions(app.db, [promised, uvi]);
  expect(listPredictions(app.db)).toEqual([promised, uvi]);
  expect(() => savePredictions(app.db, [promised])).toThrow(/UNIQUE/);
  expect(() => savePredictions(app.db, [{ ...promised, upgradeId: '9' }])).toThrow(/FOREIGN KEY/);
});

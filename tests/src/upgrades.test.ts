// What a new box does to purchases made for the old one, and which readings a fitted upgrade asks for.

import { expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import type { Collection, Fitting } from '../../src/collection.ts';
import { noMoney } from '../../src/money.ts';
import { bareFitting } from '../../src/proposals.ts';
import { type Change, fateInNewBox, readingsAfter, type Upgrade } from '../../src/upgrades.ts';

function upgrade(id: string, changes: Change[], parts: Partial<Upgrade> = {}): Upgrade {
  return {
    id,
    name: `upgrade ${id}`,
    status: 'wanted',
    origin: 'own',
    proposalKey: null,
    priceLow: noMoney,
    priceHigh: noMoney,
    monthlyCost: noMoney,
    lifeMonths: null,
    renewalPrice: null,
    leadMonths: 0,
    earliestMonth: null,
    pinnedMonth: null,
    arrivesMonth: null,
    requires: [],
    group: null,
    proceeds: null,
    changes,
    note: '',
    ...parts,
  };
}

const mat = (enclosureId = '1'): Change => ({
  change: 'fit',
  enclosureId,
  fitting: { ...bareFitting('heat-mat', 'Mat'), key: 'mat', whenBoxReplaced: 'stays-behind' },
});
const hide: Change = { change: 'fit', enclosureId: '1', fitting: { ...bareFitting('hide', 'Cave'), key: 'hide' } };
const box: Change = {
  change: 'replace-box',
  enclosureId: '1',
  lengthMm: 1200,
  depthMm: 600,
  heightMm: 600,
  material: 'wood',
  top: 'closed',
};
const newBox = upgrade('9', [box], { name: 'Larger box' });

test('A purchase that stays behind with the old box is told apart from one that moves into the new one', () => {
  const fate = (changes: Change[]) => fateInNewBox(upgrade('1', changes), [newBox], []);
  expect(fate([mat()])).toEqual({
    fate: 'stays-behind',
    newBoxes: [{ upgradeId: '9', name: 'Larger box' }],
    staying: ['Mat'],
    moving: [],
  });
  expect(fate([hide])).toMatchObject({ fate: 'moves', moving: ['Cave'] });
  expect(fate([mat(), hide])).toMatchObject({ fate: 'split', staying: ['Mat'], moving: ['Cave'] });
});

test('Without a new box that is wanted or ordered for the same enclosure, a purchase keeps its use', () => {
  const none = { fate: 'no-new-box' };
  expect(fateInNewBox(upgrade('1', [mat('2')]), [newBox], [])).toEqual(none);
  for (const status of ['refused', 'fitted', 'proposed'] as const) {
    expect(fateInNewBox(upgrade('1', [mat()]), [{ ...newBox, status }], [])).toEqual(none);
  }
  expect(fateInNewBox(upgrade('1', [mat()]), [{ ...newBox, status: 'ordered' }], [])).not.toEqual(none);
  expect(fateInNewBox(newBox, [newBox], [])).toEqual(none);
  expect(fateInNewBox(upgrade('1', [box, mat()]), [newBox], [])).toEqual(none);
  expect(
    fateInNewBox(upgrade('1', [{ change: 'answer', enclosureId: '1', check: 'drip-loop' }]), [newBox], []),
  ).toEqual(none);
});

const fitted = (id: string, parts: Partial<Fitting>): Fitting => {
  const { key: _, ...bare } = bareFitting('uv-tube', `thing ${id}`);
  return {
    ...bare,
    id,
    enclosureId: '1',
    fittedOn: plainDate('2025-01-01'),
    movedOn: null,
    retiredOn: null,
    ...parts,
  };
};

test('The renewal of a thing that stays behind is lost with it', () => {
  const renew = upgrade('1', [{ change: 'renew', fittingId: '7' }]);
  const fate = (whenBoxReplaced: Fitting['whenBoxReplaced']) =>
    fateInNewBox(renew, [newBox], [fitted('7', { whenBoxReplaced })]);
  expect(fate('stays-behind')).toMatchObject({ fate: 'stays-behind', staying: ['thing 7'] });
  expect(fate('moves')).toMatchObject({ fate: 'moves' });
});

const collection: Collection = {
  animals: [],
  enclosures: [
    {
      id: '1',
      name: 'box',
      lengthMm: 900,
      depthMm: 450,
      heightMm: 450,
      material: 'glass',
      top: 'mesh',
      boxSince: plainDate('2024-01-01'),
    },
  ],
  fittings: [fitted('7', {}), fitted('8', { kind: 'hide' })],
  readings: [
    {
      id: '1',
      enclosureId: '1',
      kind: 'cool-end-air',
      evidence: 'measured',
      value: 22,
      typed: '22 °C',
      takenOn: plainDate('2026-01-01'),
      hour: null,
      roomCelsius: null,
      instrument: '',
      accuracy: null,
    },
  ],
  answers: [],
};

test.each<[string, Change, string[]]>([
  ['a mat', mat(), ['warm-hide-floor']],
  [
    'a moved tube',
    { change: 'move', fittingId: '7', distanceMm: 300, meshShare: null, place: null, outOfReach: null },
    ['uvi-basking', 'uvi-lowest'],
  ],
  ['a new box', box, ['cool-end-air']],
  ['a promise', { change: 'predict', enclosureId: '1', reading: 'humidity-day', value: 50 }, ['humidity-day']],
  ['a retired tube', { change: 'retire', fittingId: '7' }, ['uvi-basking', 'uvi-lowest']],
])('After %s the readings it touches are asked for', (_name, change, readings) => {
  expect(readingsAfter(upgrade('1', [change]), collection)).toEqual([{ enclosureId: '1', readings }]);
});

test('A plain hide and an answered check ask for no reading', () => {
  expect(readingsAfter(upgrade('1', [hide]), collection)).toEqual([]);
  expect(readingsAfter(upgrade('1', [{ change: 'answer', enclosureId: '1', check: 'drip-loop' }]), collection)).toEqual(
    [],
  );
});

// What changed between two plans, and which changes a calm plan makes.

import { expect, test } from 'vitest';
import { planChanges } from '../../src/plan-changes.ts';

test('only what differs between two plans is a change, by the first month concerned', () => {
  const before = [
    { purchase: 'lamp', month: 0 },
    { purchase: 'hide', month: 4 },
    { purchase: 'box', month: 2 },
  ];
  const after = [
    { purchase: 'lamp', month: 0 },
    { purchase: 'box', month: 3 },
    { purchase: 'mat', month: 1 },
    { purchase: 'cork', month: 1 },
  ];
  expect(planChanges(before, after)).toEqual([
    { purchase: 'cork', was: null, is: 1 },
    { purchase: 'mat', was: null, is: 1 },
    { purchase: 'box', was: 2, is: 3 },
    { purchase: 'hide', was: 4, is: null },
  ]);
  expect(planChanges(before, before)).toEqual([]);
});

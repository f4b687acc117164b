// The small views on a planning problem's fields.

import { expect, test } from 'vitest';
import { alternativesRequired, monthWeight, type PlanningProblem, valueInMonth } from '../../src/problem.ts';

const problem: PlanningProblem = { months: 3, creditMonths: 9, income: [0, 0, 0], purchases: [], animals: [] };

test('a value by month is one number for all months, one a month, or 0 when left out', () => {
  expect(valueInMonth(7, 2)).toBe(7);
  expect(valueInMonth([1, 2, 3], 2)).toBe(3);
  expect(valueInMonth(undefined, 2)).toBe(0);
});

test('only the last month carries the months of credit', () => {
  expect([0, 1, 2].map((month) => monthWeight(problem, month))).toEqual([1, 1, 10]);
});

test('a requirement is one id or a list of which one is enough', () => {
  expect(alternativesRequired({ id: 'a', price: 1, requires: ['b', ['c', 'd']] })).toEqual([['b'], ['c', 'd']]);
  expect(alternativesRequired({ id: 'a', price: 1 })).toEqual([]);
});

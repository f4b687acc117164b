import { expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import { errorOfReading, isAtHand, type MeasuredKind, takes } from '../../src/instruments.ts';

const measures: MeasuredKind[] = [
  { kind: 'warm-air', accuracy: { by: 'amount', value: 0.5, typed: '0.5 °C' } },
  { kind: 'uvi-basking', accuracy: { by: 'share', value: 0.1, typed: '10 %' } },
  { kind: 'humidity-day', accuracy: null },
];

test.each([
  ['warm-air', 31, 0.5],
  ['warm-air', -4, 0.5],
  ['uvi-basking', 3.2, 0.32],
  ['uvi-basking', 0, 0],
  ['humidity-day', 60, null],
  ['night-air', 20, null],
] as const)('The stated error of a reading of %s of %d is %s', (kind, value, error) => {
  const found = errorOfReading({ measures }, kind, value);
  if (error === null) expect(found).toBeNull();
  else expect(found).toBeCloseTo(error, 12);
});

test('A share of a value below zero is still an error above zero', () => {
  expect(
    errorOfReading(
      { measures: [{ kind: 'night-air', accuracy: { by: 'share', value: 0.02, typed: '' } }] },
      'night-air',
      -5,
    ),
  ).toBeCloseTo(0.1, 12);
});

test('An instrument takes the kinds it measures, also those without a stated error', () => {
  expect(takes({ measures }, 'humidity-day')).toBe(true);
  expect(takes({ measures }, 'water')).toBe(false);
});

test.each([
  ['own', null, null, true],
  ['borrowed', null, null, true],
  ['borrowed', '2026-01-15', '2026-01-15', true],
  ['borrowed', '2026-01-16', null, false],
  ['borrowed', null, '2026-01-14', false],
] as const)('Something %s from %s until %s is at hand on 15 January: %s', (standing, from, until, there) => {
  const day = (text: string | null) => (text === null ? null : plainDate(text));
  expect(isAtHand({ standing, borrowedFrom: day(from), borrowedUntil: day(until) }, plainDate('2026-01-15'))).toBe(
    there,
  );
});

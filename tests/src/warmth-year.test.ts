// The year of a room beside what its animals want: which months it spoils.

import { expect, test } from 'vitest';
import { demoCollection } from '../../seed/demo.ts';
import { monthOfYear, plainDate } from '../../src/calendar.ts';
import { setupOf } from '../../src/collection.ts';
import type { Room } from '../../src/rooms.ts';
import { heatLossOf } from '../../src/warmth.ts';
import { monthsAgainstRoom } from '../../src/warmth-year.ts';
import { library } from '../support/make.ts';

const on = plainDate('2026-11-27');
const collection = demoCollection(on);
const room = (parts: Partial<Room>): Room => ({
  ...{ id: '1', name: 'Spare room', coldest: { celsius: 16, month: 1 }, hottest: { celsius: 27, month: 7 } },
  ...parts,
});
const spoilt = (enclosureId: string, parts: Partial<Room> = {}) =>
  monthsAgainstRoom({ setup: setupOf(collection, enclosureId), room: room(parts), library, on });
const months = (enclosureId: string, why: string) =>
  spoilt(enclosureId)
    .filter((one) => one.why === why)
    .map((one) => monthOfYear(one.month));

// By hand: the wave from 16 °C in January to 27 °C in July is 26.3 °C in June and August and 24.3 °C in May and September. The cool end of a
// corn snake and of a tortoise may have 26 °C, a tortoise in winter rest 8 °C; December and February have 16.7 °C.
test('A room is too warm in the months in which its mean is above what the coolest place may have', () => {
  expect(months('2', 'too-warm')).toEqual([6, 7, 8]);
  expect(months('4', 'too-warm')).toEqual([6, 7, 8]);
});

test('A dated winter rest is impossible in every month of it in a room that is too warm, which is known and not unknown', () => {
  const rest = spoilt('4').filter((one) => one.why === 'rest-too-warm');
  expect(rest.map((one) => monthOfYear(one.month))).toEqual([12, 1, 2]);
  expect(rest[1]).toMatchObject({ roomCelsius: 16, kind: 'cool-end-air', limit: 8 });
  expect(spoilt('4', { coldest: { celsius: 5, month: 1 } }).some((one) => one.roomCelsius === 5)).toBe(false);
});

// The steady state: what the heater gives is what the box loses, so that it is warmer than the room by watts over heat loss.
test('A heater that does not hold the air wanted is told with what it reaches', () => {
  const loss = heatLossOf(setupOf(collection, '2').enclosure);
  if (loss.status === 'cannot-be-estimated') throw new Error('the loss of this box is known');
  const january = spoilt('2').find((one) => one.why === 'heater-short' && monthOfYear(one.month) === 1);
  expect(january).toMatchObject({ roomCelsius: 16 });
  const reached = january!.why === 'heater-short' ? january!.mostCelsius : 0;
  expect(reached).toBeCloseTo(16 + 28 / loss.wattsPerKelvin, 6);
});

test('Nothing is said of a room whose coldest or hottest month nobody entered', () => {
  expect(spoilt('2', { hottest: null })).toEqual([]);
  expect(spoilt('2', { coldest: null })).toEqual([]);
});

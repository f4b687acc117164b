// The shortest list of readings for borrowed meters, and the way one walks it.

import { describe, expect, test } from 'vitest';
import type { ReadingKind } from '../../src/collection.ts';
import { UNKNOWN_BUILD } from '../../src/collection.ts';
import { type OpenReading, weekendOf } from '../../src/weekend.ts';
import { makeEnclosure } from '../support/make.ts';

const hall = { id: 'hall', name: 'Hall', coldest: null, hottest: null };
const attic = { id: 'attic', name: 'Attic', coldest: null, hottest: null };
const boxIn = (id: string, roomId: string | null) => makeEnclosure({ id, build: { ...UNKNOWN_BUILD, roomId } });
const places = {
  rooms: [hall, attic],
  enclosures: [boxIn('1', 'attic'), boxIn('2', null), boxIn('3', 'hall')],
};
const open = (enclosureId: string, kind: ReadingKind, gain: number): OpenReading => ({ enclosureId, kind, gain });
const all = () => true;

describe('which readings', () => {
  test('takes the most gainful until nine tenths of the gain are on the list, and leaves the rest beside', () => {
    const [a, b, c, d] = [
      open('1', 'uvi-basking', 50),
      open('1', 'hot-spot-surface', 30),
      open('2', 'warm-air', 11),
      open('3', 'cool-end-air', 9),
    ];
    const { walks, share, beside } = weekendOf([d, c, b, a], all, places);
    expect(new Set(walks.flatMap((walk) => walk.stops))).toEqual(new Set([a, b, c]));
    expect(share).toBeCloseTo(0.91, 9);
    expect(beside).toEqual([d]);
  });

  test('leaves out what changes nothing, and names what needs another meter', () => {
    const [useless, beyond, useful] = [
      open('1', 'night-air', 0),
      open('1', 'uvi-basking', 70),
      open('2', 'warm-air', 5),
    ];
    const weekend = weekendOf([useless, beyond, useful], (kind) => !kind.startsWith('uvi'), places);
    expect(weekend.walks.flatMap((walk) => walk.stops)).toEqual([useful]);
    expect([weekend.beyond, weekend.beside, weekend.share]).toEqual([[beyond], [], 1]);
  });

  test('without anything useful there is no walk', () => {
    expect(weekendOf([open('1', 'warm-air', 0)], all, places)).toEqual({ walks: [], share: 0, beside: [], beyond: [] });
  });
});

test('walks go by the hour of the day, room by room as listed, boxes without a room last, and hot end before light before damp', () => {
  const stops = [
    open('2', 'humidity-night', 1),
    open('2', 'hot-spot-surface', 1),
    open('1', 'uvi-basking', 1),
    open('1', 'cool-end-air', 1),
    open('3', 'night-air', 1),
    open('1', 'water-depth', 1),
    open('3', 'warm-hide-floor', 1),
    open('1', 'humidity-day', 1),
  ];
  const { walks } = weekendOf(stops, all, places);
  expect(walks.map(({ time, stops }) => [time, stops.map((one) => `${one.enclosureId} ${one.kind}`)])).toEqual([
    ['before-lights', ['3 night-air', '2 humidity-night']],
    ['hottest-hour', ['3 warm-hide-floor', '1 cool-end-air', '1 uvi-basking', '2 hot-spot-surface']],
    ['afternoon', ['1 humidity-day']],
    ['any-time', ['1 water-depth']],
  ]);
});

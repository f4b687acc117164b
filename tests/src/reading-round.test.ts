import { expect, test } from 'vitest';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import { type Fitting, lampOf, READING_KINDS, type Reading, type Setup } from '../../src/collection.ts';
import { bandsOf, doubtOf, dueOn, latestOf, WALKING_ORDER } from '../../src/reading-round.ts';
import { DEFAULT_CHOICES, scoreOneNeed } from '../../src/score.ts';
import { findSpecies, targetsFor } from '../../src/species.ts';
import { library, makeAnimal, makeBox, makeCollection, makeFitting, makeReading } from '../support/make.ts';
import { today } from '../support/scoring.ts';

const setup = (readings: Reading[], fittings: Fitting[] = []): Setup => ({
  enclosure: makeBox(900, 450, 450),
  occupants: [],
  fittings,
  readings,
  answers: [],
});

test('The walk passes every kind of reading once, warmth before light before damp before water', () => {
  expect([...WALKING_ORDER].sort()).toEqual([...READING_KINDS].sort());
  const place = (kind: (typeof READING_KINDS)[number]) => WALKING_ORDER.indexOf(kind);
  expect(place('hot-spot-surface')).toBeLessThan(place('cool-end-air'));
  expect(place('cool-end-air')).toBeLessThan(place('uvi-basking'));
  expect(place('uvi-lowest')).toBeLessThan(place('humidity-day'));
  expect(place('humidity-retreat')).toBeLessThan(place('water'));
});

test.each([
  ['never read', [], null, 'never-read'],
  ['fresh', [makeReading('warm-air', 28, { takenOn: plainDate('2025-12-16') })], null, null],
  ['31 days old', [makeReading('warm-air', 28, { takenOn: plainDate('2025-12-15') })], null, 'old'],
  ['an estimate', [makeReading('warm-air', 28, { evidence: 'estimated' })], null, 'estimated'],
  ['entered as unknown', [makeReading('warm-air', null)], null, 'said-unknown'],
  ['before the box', [makeReading('warm-air', 28, { takenOn: plainDate('2024-12-31') })], null, 'box-changed'],
  [
    'before a lamp was fitted',
    [makeReading('warm-air', 28)],
    makeFitting('basking-lamp', { fittedOn: plainDate('2026-01-12') }),
    'thing-changed',
  ],
  [
    'before a lamp was taken out',
    [makeReading('warm-air', 28)],
    makeFitting('basking-lamp', { retiredOn: plainDate('2026-01-12') }),
    'thing-changed',
  ],
] as const)('A reading that is %s is due as told', (_title, readings, fitting, why) => {
  expect(dueOn(setup([...readings], fitting === null ? [] : [fitting]), 'warm-air', today)).toBe(why);
});

test.each([
  ['uvi-basking', 'uv-tube'],
  ['humidity-retreat', 'moist-hide'],
  ['water', 'water-dish'],
  ['water-depth', 'pool'],
] as const)('%s is due only where there is a %s', (kind, thing) => {
  expect(dueOn(setup([]), kind, today)).toBeNull();
  expect(dueOn(setup([], [makeFitting(thing)]), kind, today)).toBe('never-read');
  expect(dueOn(setup([], [makeFitting(thing, { retiredOn: today })]), kind, today)).toBeNull();
});

test('The dark of a solid hide of known place is certain without a meter, so it is not due', () => {
  const at = (xMm: number, zMm: number, size: number | null) => ({
    xMm,
    yMm: 225,
    zMm,
    lengthMm: size,
    depthMm: size,
    heightMm: size,
    turned: false,
  });
  const tube = makeFitting('uv-tube', { lamp: lampOf(550, 300, 3), placed: at(450, 430, null), fittedOn: today });
  const there = [tube, makeFitting('basking-place', { placed: at(450, 0, 100) })];
  expect(dueOn(setup([], there), 'uvi-lowest', today)).toBe('never-read');
  expect(
    dueOn(setup([], [...there, makeFitting('hide', { placed: at(800, 0, 120) })]), 'uvi-lowest', today),
  ).toBeNull();
});

test('The latest reading is the one taken last, of one day the one entered last, and none of later days', () => {
  const readings = [
    makeReading('water', 20, { id: '1', takenOn: plainDate('2026-01-09') }),
    makeReading('water', 21, { id: '2', takenOn: plainDate('2026-01-09') }),
    makeReading('water', 19, { id: '3', takenOn: plainDate('2026-01-02') }),
    makeReading('water', 25, { id: '4', takenOn: plainDate('2026-01-16') }),
    makeReading('night-air', 15, { id: '5' }),
  ];
  expect(latestOf(readings, 'water', today)?.id).toBe('2');
  expect(latestOf(readings, 'water', plainDate('2026-01-01'))).toBeNull();
});

test('The bands of a corn snake are those of its file; the one range of its zones 1 and 2 is the UV band', () => {
  const species = findSpecies(library, 'corn-snake');
  const targets = targetsFor(species, { hatchedOn: null, seasons: [] }, plainMonth('2026-06'));
  const bands = bandsOf(makeAnimal('corn-snake'), targets, library.uvZones);
  expect(bands.get('warm-hide-floor')).toEqual({ low: 28, high: 32 });
  expect(bands.get('humidity-day')).toEqual({ low: 40, high: 60 });
  // Zone 2 from 0.7 to 1.0, which stays below the ceiling 1.4 of zone 1 (Baines et al. 2016, Journal of Zoo and Aquarium Research 4(1), table 1).
  expect(bands.get('uvi-basking')).toEqual({ low: 0.7, high: 1, zones: { between: [1, 2], servesAll: true } });
  expect(bands.has('humidity-night')).toBe(false);
  expect(bands.has('water')).toBe(false);
  // The ceiling of a pale animal in zone 1 is half of 1.4, where zone 2 begins: nothing is right in both.
  expect(bandsOf(makeAnimal('corn-snake', { paleMorph: true }), targets, library.uvZones).get('uvi-basking')).toEqual({
    low: 0.35,
    high: 0.7,
    zones: { between: [1, 2], servesAll: false },
  });
});

test('A reading in the middle of its band loses no point for its kind, in every species', () => {
  let judged = 0;
  for (const species of library.species) {
    const animal = makeAnimal(species.id);
    const targets = targetsFor(species, animal, plainMonth('2026-01'));
    for (const [kind, { low, high }] of bandsOf(animal, targets, library.uvZones)) {
      if (low === null || high === null || kind.startsWith('uvi') || kind === 'water-depth' || kind === 'water')
        continue;
      const collection = makeCollection({
        enclosures: [makeBox(900, 450, 450)],
        animals: [animal],
        readings: [makeReading(kind, (low + high) / 2)],
      });
      const need = kind.startsWith('humidity') ? 'humidity' : 'heat';
      const outcome = scoreOneNeed(animal, need, {
        collection,
        library,
        choices: DEFAULT_CHOICES,
        on: today,
        knownOn: today,
      });
      const outside =
        outcome?.status === 'scored' && outcome.score.reasons.some(({ reason }) => reason.why.endsWith('-outside'));
      expect(outside, `${species.id} ${kind}`).toBe(false);
      judged++;
    }
  }
  expect(judged).toBeGreaterThan(40);
});

test.each([
  ['warm-air', 30, null, null],
  ['warm-air', 3, null, 'rare'],
  ['warm-air', 86, null, 'rare'],
  ['warm-air', 30, 23, null],
  ['warm-air', 32, 23, 'far'],
  ['uvi-basking', 3.2, 2.4, null],
  ['uvi-basking', 5, 2, 'far'],
  ['uvi-basking', 0.3, 0.1, null],
  ['uvi-basking', 15, 12, 'rare'],
  ['humidity-day', 85, 45, 'far'],
  ['water-depth', 60, 40, null],
  ['water-depth', 400, 40, 'far'],
] as const)('%s of %d after %s calls for a second look: %s', (kind, value, then, doubt) => {
  const before = then === null ? null : { value: then, takenOn: plainDate('2026-01-01') };
  expect(doubtOf(kind, value, before)?.doubt ?? null).toBe(doubt);
});

test('A reading that was unknown before is no reason for a second look', () => {
  expect(doubtOf('warm-air', 32, { value: null, takenOn: today })).toBeNull();
});

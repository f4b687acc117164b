// Growth against a straight line drawn by hand: a rule of one body length, an animal of 300 mm that grows to between 600 and 900 mm.

import { expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import { lengthsAhead, outgrownIn } from '../../src/growth.ts';
import { extentOf } from '../../src/space.ts';
import type { SpaceRule } from '../../src/species.ts';
import { findSpecies } from '../../src/species.ts';
import { library, makeAnimal } from '../support/make.ts';

const snake = findSpecies(library, 'corn-snake');
const rule: SpaceRule = {
  ruleSet: 'evidence',
  title: 'one length by half a length',
  basis: 'evidence',
  jurisdiction: null,
  covers: { animals: 'all', adultsOnly: false, upToMm: null },
  measure: 'total',
  lengthFrom: [],
  forAnimals: 1,
  further: null,
  shape: { by: 'multiples', length: 1, depth: 0.5, height: null },
  heightCapMm: null,
  source: 'practice',
  grade: 'hearsay',
};
const species = {
  ...snake,
  adultSize: { ...snake.adultSize, measure: 'total' as const, lowMm: 600, highMm: 900 },
  growth: { ...snake.growth, monthsToAdult: 24 },
  space: [rule],
};
const on = plainDate('2026-01-15');
const animal = makeAnimal('corn-snake', {
  id: '1',
  lengthMm: 300,
  measuredOn: on,
  hatchedOn: plainDate('2025-01-15'),
});
const question = { species, animal, occupants: [animal], ruleSets: [], on };
const box = (lengthMm: number) => ({ lengthMm, depthMm: 450, heightMm: 450 });

test('lengths run in a straight line from the measured one to both ends of adult size', () => {
  const spans = lengthsAhead({ ...question, there: extentOf(box(600)) }, 12, 6);
  // 12 of 24 months old: 12 months are left, so after 6 it has half of what is left, 150 or 300 mm.
  expect(spans.map((one) => one.month)).toEqual(['2026-01', '2026-07', '2027-01']);
  expect(spans[0]!.span).toEqual({ lowMm: 300, highMm: 300 });
  expect(spans[1]!.span.lowMm).toBeCloseTo(450, 0);
  expect(spans[1]!.span.highMm).toBeCloseTo(600, 0);
  expect(spans[2]!.span.lowMm).toBeCloseTo(600, 0);
  expect(spans[2]!.span.highMm).toBeCloseTo(900, 0);
});

test('a box is outgrown in the first month in which its length is passed, early or late', () => {
  // Growing 50 mm a month at most: 550 mm is passed after 5 months (550 is not yet short), so in the sixth. At 25 mm a month: 300 + 25 x 11.
  expect(outgrownIn(question, box(550))).toEqual({ status: 'outgrown', earliest: '2026-07', latest: '2026-12' });
  expect(outgrownIn(question, box(700))).toEqual({ status: 'outgrown', earliest: '2026-10', latest: null });
});

test('a box for the large end of adult size is for adults; one below today’s length is short now', () => {
  expect(outgrownIn(question, box(900))).toEqual({ status: 'for-adults' });
  expect(outgrownIn(question, { ...box(280), depthMm: 140 })).toEqual({ status: 'short-today' });
});

test('without a rule that speaks nothing is told', () => {
  expect(outgrownIn({ ...question, species: { ...species, space: [] } }, box(900))).toEqual({ status: 'unknown' });
});

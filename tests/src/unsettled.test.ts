// Which readings are not known well enough: what they would be in order and at fault by the score itself, and what a plan makes of both.

import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { plainDate } from '../../src/calendar.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import { scoreAnimal } from '../../src/score.ts';
import { casesOf, meterFor, meterPricesIn, narrowing, unsettledReadings, withReading } from '../../src/unsettled.ts';
import {
  fitUpgrade,
  makeAnimal,
  makeEnclosure,
  makeFacts,
  makeFitting,
  makeReading,
  makeThing,
  monthly,
  planDate,
} from '../support/make.ts';

// A leopard gecko over a regulated heat mat whose warm hide nobody measured. Its cool end was measured lately, its night long ago.
function geckoFacts(parts: Partial<Omit<LedgerFacts, 'collection'>> = {}): LedgerFacts {
  const mat = makeFitting('heat-mat', { id: 'mat', enclosureId: '1', outOfReach: true, watts: 14 });
  return makeFacts({
    collection: {
      enclosures: [makeEnclosure({ id: '1', lengthMm: 900, depthMm: 450, heightMm: 450 })],
      animals: [makeAnimal('leopard-gecko', { id: '1', lengthMm: 120, enclosureId: '1' })],
      fittings: [mat, makeFitting('thermostat', { id: 'stat', enclosureId: '1', regulates: 'mat' })],
      readings: [
        makeReading('cool-end-air', 25, { enclosureId: '1', takenOn: planDate }),
        makeReading('night-air', 22, { enclosureId: '1', takenOn: plainDate('2025-06-01') }),
      ],
      answers: [],
    },
    ...parts,
  });
}

const scoringOf = ({ collection, library, choices, planDate: on }: LedgerFacts) => ({
  collection,
  library,
  choices,
  on,
  knownOn: on,
});

describe('readings in order and at fault', () => {
  test('a warm hide never measured is in order inside its band, and at fault where heat has lost nine tenths', () => {
    const scoring = scoringOf(geckoFacts());
    const found = unsettledReadings(scoring).find((one) => one.kind === 'warm-hide-floor')!;
    // The band of the shipped species is 30 to 33 °C, worth nothing 6 °C below it.
    expect(found.fine).toBeGreaterThanOrEqual(30);
    expect(found.fine).toBeLessThanOrEqual(33);
    // It stands off both ends, so that a degree beside it loses nothing either.
    expect(found.fine).toBeGreaterThan(30);
    const heatAt = (value: number) => {
      const collection = withReading(scoring.collection, scoring, { ...found, value });
      return scoreAnimal(collection.animals[0]!, { ...scoring, collection })!.needs.find((one) => one.need === 'heat')!;
    };
    const [most, least] = [heatAt(found.fine).value, heatAt(0).value];
    expect(most - heatAt(found.faulty).value).toBeGreaterThanOrEqual(0.9 * (most - least));
    const nearer = found.faulty < found.fine ? found.faulty + 1 : found.faulty - 1;
    expect(most - heatAt(nearer).value).toBeLessThan(0.9 * (most - least));
  });

  test('what narrows is the width of the score with and without the reading, the mean of both cases', () => {
    const scoring = scoringOf(geckoFacts());
    const width = (collection: typeof scoring.collection) => {
      const { low, high } = scoreAnimal(collection.animals[0]!, { ...scoring, collection })!;
      return high - low;
    };
    for (const one of unsettledReadings(scoring)) {
      const widthAt = (value: number) => width(withReading(scoring.collection, scoring, { ...one, value }));
      expect(narrowing(one)).toBeCloseTo(width(scoring.collection) - (widthAt(one.fine) + widthAt(one.faulty)) / 2, 9);
    }
  });

  test('a fresh reading is settled, an old one and an unknown one are not', () => {
    const kinds = unsettledReadings(scoringOf(geckoFacts())).map((one) => one.kind);
    expect(kinds).toContain('warm-hide-floor');
    expect(kinds).toContain('night-air');
    expect(kinds).not.toContain('cool-end-air');
  });

  test('what narrows most comes first, wherever it is', () => {
    const facts = geckoFacts();
    const { enclosures, animals, fittings, readings } = facts.collection;
    const second = <One extends { id: string }>(one: One) => ({ ...one, id: `${one.id} too`, enclosureId: '2' });
    const collection = {
      ...facts.collection,
      enclosures: [...enclosures, { ...enclosures[0]!, id: '2' }],
      animals: [...animals, ...animals.map(second)],
      fittings: [...fittings, ...fittings.map((one) => ({ ...second(one), regulates: one.regulates && 'mat too' }))],
      // In the first box only the night is old, in the second nothing is known.
      readings: [...readings, makeReading('warm-hide-floor', 31, { enclosureId: '1', takenOn: planDate })],
    };
    const found = unsettledReadings({ ...scoringOf(facts), collection });
    expect(found[0]!.enclosureId).toBe('2');
    expect(found.map(({ enclosureId }) => enclosureId)).toContain('1');
    expect(found.map(narrowing)).toEqual(found.map(narrowing).toSorted((a, b) => b - a));
  });

  test('an animal that lives nowhere has none', () => {
    const facts = geckoFacts();
    const homeless = {
      ...facts.collection,
      animals: facts.collection.animals.map((one) => ({ ...one, enclosureId: null })),
    };
    expect(unsettledReadings({ ...scoringOf(facts), collection: homeless })).toEqual([]);
  });
});

test('the two cases of a reading are the same question of money with other states of its needs', () => {
  const hotter = fitUpgrade(
    '1',
    makeThing('heat-mat', { watts: 28, outOfReach: true, expects: [{ reading: 'warm-hide-floor', value: 31 }] }),
  );
  const facts = geckoFacts({ upgrades: [hotter], money: monthly(2000, 3), months: 3 });
  const reading = unsettledReadings(scoringOf(facts)).find((one) => one.kind === 'warm-hide-floor')!;
  const cases = casesOf(facts, reading)!;
  const { animals: faulty, ...askedFaulty } = cases.faulty;
  const { animals: fine, ...askedFine } = cases.fine;
  expect(askedFaulty).toEqual(askedFine);
  const differing = fine[0]!.needs.filter(
    (need, index) => JSON.stringify(need) !== JSON.stringify(faulty[0]!.needs[index]),
  );
  // Warmth at both ends is also a choice of climates, which counts under enrichment.
  expect(differing.map((one) => one.need)).toEqual(['heat', 'enrichment']);
});

test('each reading has its meter in the catalogue, priced in the currency of the catalogue alone', () => {
  const parts = readCatalogue();
  expect(meterFor(parts, 'uvi-basking')?.what).toBe('uv-meter');
  expect(meterFor(parts, 'hot-spot-surface')?.id).toBe('thermometer-surface');
  expect(meterFor(parts, 'water-depth')).toBeNull();
  const price = meterPricesIn(parts, { code: parts.currency, decimals: 2 })['humidity-day'];
  expect(price).toBe(meterFor(parts, 'humidity-day')!.priceHigh);
  expect(meterPricesIn(parts, { code: 'XTS', decimals: 2 })).toEqual({});
});

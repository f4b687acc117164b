// What the short answers of a first day stand for: nothing is made up, and "I do not know" becomes neither a fault nor a thing that is there.

import { expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { plainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { UNKNOWN_BUILD } from '../../src/collection.ts';
import { doubtsAbout, type FirstAnswers, factsFrom, ticksFor, UV_SOURCES, warmersFor } from '../../src/first-facts.ts';
import { DEFAULT_CHOICES, scoreAnimal } from '../../src/score.ts';
import { findSpecies, type Need } from '../../src/species.ts';
import { fittedOnDay } from '../../src/upgrades.ts';

const library = readCareLibrary();
const today = plainDate('2026-01-15');
const answers: FirstAnswers = { sort: 'glass-mesh', age: 'grown', warmer: 'none', uv: 'none', ticked: [] };

function needsWith(speciesId: string, more: Partial<FirstAnswers>) {
  const species = findSpecies(library, speciesId);
  const facts = factsFrom({ ...answers, ...more }, species, today, (kind) => kind);
  const idOf = (key: string | null) => (key === null ? null : `thing-${key}`);
  const collection: Collection = {
    animals: [
      {
        ...{ id: '1', name: 'Moss', speciesId, enclosureId: '1', lengthMm: null, measuredOn: null },
        ...{ hatchedOn: facts.hatchedOn, sex: 'unknown', paleMorph: false, seasons: [] },
      },
    ],
    enclosures: [
      {
        ...{ id: '1', name: 'Box', lengthMm: 900, depthMm: 450, heightMm: 450, build: UNKNOWN_BUILD },
        ...{ material: facts.material, top: facts.top, boxSince: facts.boxSince },
      },
    ],
    fittings: facts.things.map(({ thing, since }) => ({
      ...fittedOnDay(thing, idOf(thing.key)!, '1', since),
      regulates: idOf(thing.regulates),
    })),
    readings: [],
    answers: [],
  };
  const score = scoreAnimal(collection.animals[0]!, {
    collection,
    library,
    choices: DEFAULT_CHOICES,
    on: today,
    knownOn: today,
  })!;
  return { facts, need: (name: Need) => score.needs.find((one) => one.need === name)! };
}

test('Every species is asked few enough things that two animals take at most forty fields', () => {
  // Beside the ticks there are 9 fields an animal (its name, age and length, the box's three measures and kind, warmth, UV), one to find its
  // species, and for both together four of money.
  const most = Math.max(...library.species.map((one) => ticksFor(one).length));
  expect(library.species.length).toBeGreaterThan(50);
  expect(2 * (most + 10) + 4).toBeLessThanOrEqual(40);
});

test('A lamp that may give UV is unknown, where having none is a fault', () => {
  const unknown = needsWith('bearded-dragon', { uv: 'unknown', ticked: ['hide-cool'] });
  expect(unknown.need('uv')).toMatchObject({ unknown: true, severe: false });
  expect(unknown.facts.things.map((one) => one.assumed)).toEqual([['perhaps-uv'], []]);
  expect(needsWith('bearded-dragon', { uv: 'none' }).need('uv').unknown).toBe(false);
});

test('A mat of which nobody looked for a thermostat is an open question, where one without is a severe fault', () => {
  const unsure = needsWith('leopard-gecko', { warmer: 'mat-unsure' });
  expect(unsure.facts.things.map(({ thing, assumed }) => [thing.kind, thing.regulates, assumed])).toEqual([
    ['heat-mat', null, []],
    ['unknown-thermostat', 'heat-mat', ['thermostat-not-looked-for']],
  ]);
  expect(needsWith('leopard-gecko', { warmer: 'unknown' }).facts.things.map((one) => one.assumed)).toEqual([
    ['heater-not-looked-at'],
  ]);
  expect(unsure.need('safety')).toMatchObject({ unknown: true, severe: false });
  expect(unsure.need('heat')).toMatchObject({ unknown: true, severe: false });
  expect(needsWith('leopard-gecko', { warmer: 'mat-alone' }).need('safety').severe).toBe(true);
  expect(needsWith('leopard-gecko', { warmer: 'mat-held' }).need('safety').severe).toBe(false);
});

test('A lamp of unknown age counts as used up, a younger tube as half used, and none as of a known strength', () => {
  const lives = UV_SOURCES.flatMap((uv) =>
    needsWith('corn-snake', { uv }).facts.things.map(({ since, thing }) => [uv, since, thing.lifeMonths, thing.lamp]),
  );
  expect(lives).toEqual([
    ['tube-new', '2025-07-15', 12, null],
    ['tube-old', '2025-01-15', 12, null],
    ['compact', '2025-04-15', 9, null],
    ['unknown', '2025-01-15', null, null],
  ]);
});

test('What is ticked counts for its need, each hide in its own place', () => {
  const species = findSpecies(library, 'corn-snake');
  const all = ticksFor(species).map((one) => one.key);
  expect(all).toEqual([
    'hide-warm',
    'hide-cool',
    'hide-moist',
    'water-dish',
    'branches',
    'deep-substrate',
    'feeding-toy',
    'novelty',
  ]);
  expect(needsWith('corn-snake', { ticked: all }).need('hides').value).toBe(100);
  expect(needsWith('corn-snake', {}).need('hides').value).toBe(0);
});

test('Only where there is water to swim in a heater may stand in it', () => {
  const swims = (id: string) => warmersFor(findSpecies(library, id)).includes('water-heater');
  expect([swims('red-eared-slider'), swims('corn-snake')]).toEqual([true, false]);
});

test('A box of eight metres and a snake of a few millimetres are asked back about, usual ones are not', () => {
  const species = findSpecies(library, 'corn-snake');
  const usual = { length: 900, depth: 450, height: 450, animalLength: 1200 };
  expect(doubtsAbout(species, usual, false)).toEqual([]);
  expect(doubtsAbout(species, { ...usual, animalLength: null }, false)).toEqual([]);
  expect(doubtsAbout(species, { ...usual, length: 8000, height: 45, animalLength: 12 }, false)).toMatchObject([
    { of: 'length', doubt: 'large', valueMm: 8000 },
    { of: 'height', doubt: 'small', valueMm: 45 },
    { of: 'animalLength', doubt: 'small', valueMm: 12 },
  ]);
});

test('A box typed without a unit is asked back about when the other unit is likelier', () => {
  const species = findSpecies(library, 'crested-gecko');
  const box = (length: number, depth: number, height: number) => ({ length, depth, height, animalLength: null });
  const inches = [{ of: 'length', doubt: 'unit', meant: 'inches' }];
  expect(doubtsAbout(species, box(180, 180, 240), false)).toMatchObject(inches);
  expect(doubtsAbout(species, box(180, 180, 240), true)).toEqual([]);
  expect(doubtsAbout(species, box(300, 200, 200), false)).toEqual([]);
  // 120 × 60 × 60 typed where inches are meant.
  expect(doubtsAbout(species, box(2540, 1524, 1524), false)).toMatchObject([{ doubt: 'unit', meant: 'centimetres' }]);
});

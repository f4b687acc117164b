// What warms a place: a heater never comes without what holds, guards and regulates it, and where one of them is not to be had, none comes.

import { expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { monthOf } from '../../src/calendar.ts';
import { type Collection, setupOf } from '../../src/collection.ts';
import { type HeatQuestion, heatKit } from '../../src/heat-kits.ts';
import type { PartsList } from '../../src/parts.ts';
import { findSpecies, targetsFor } from '../../src/species.ts';
import { library, makeAnimal, makeEnclosure, makeReading, planDate } from '../support/make.ts';

const catalogue = readCatalogue();

function questionFor(speciesId: string, list: PartsList = catalogue, top: 'mesh' | 'closed' = 'closed'): HeatQuestion {
  const animal = makeAnimal(speciesId, { id: '1', enclosureId: '1' });
  const collection: Collection = {
    enclosures: [makeEnclosure({ id: '1', lengthMm: 1200, depthMm: 600, heightMm: 600, top })],
    animals: [animal],
    fittings: [],
    readings: [],
    answers: [],
  };
  const species = findSpecies(library, speciesId);
  return {
    place: { enclosureId: '1', active: [], list, priced: true },
    setup: setupOf(collection, '1'),
    species,
    targets: targetsFor(species, animal, monthOf(planDate)),
    room: null,
    library,
    on: planDate,
  };
}

const without = (what: string): PartsList => ({
  ...catalogue,
  parts: catalogue.parts.filter((one) => one.what !== what),
});

test('a basking lamp comes with holder, guard and thermostat; above mesh only a climber needs the guard', () => {
  const partsOf = (speciesId: string, top: 'mesh' | 'closed') => {
    const found = heatKit(questionFor(speciesId, catalogue, top), 'hot-spot-surface', false);
    return found.status === 'kit' ? found.kit.parts.map((one) => one.what) : [];
  };
  const [tortoise, climber] = ['hermanns-tortoise', 'bearded-dragon'].map((id) => findSpecies(library, id));
  expect([tortoise!.habit, climber!.habit]).toEqual(['ground', 'climbing']);
  const guarded = ['basking-lamp', 'fixture', 'guard', 'thermostat'];
  expect(partsOf(tortoise!.id, 'closed')).toEqual(guarded);
  expect(partsOf(tortoise!.id, 'mesh')).toEqual(['basking-lamp', 'fixture', 'thermostat']);
  expect(partsOf(climber!.id, 'mesh')).toEqual(guarded);
});

// Husbandry rules: a heater that an animal can touch is guarded. A python of 150 cm stretches up to a mesh at 60 cm, a tegu on its hind legs too.
test('a snake or a large lizard that keeps to the ground has its heater guarded under a mesh too', () => {
  const guarded = (speciesId: string) => {
    const found = heatKit(questionFor(speciesId, catalogue, 'mesh'), 'warm-air', true);
    return found.status === 'kit' && found.kit.parts.some((one) => one.what === 'guard');
  };
  expect(findSpecies(library, 'royal-python').habit).toBe('ground');
  expect(guarded('royal-python')).toBe(true);
  const lamp = heatKit(questionFor('argentine-tegu', catalogue, 'mesh'), 'hot-spot-surface', true);
  expect(lamp.status === 'kit' && lamp.kit.parts.map((one) => one.what)).toContain('guard');
});

test.each(['basking-lamp', 'fixture', 'guard', 'thermostat'])(
  'without a %s on the list nothing warms, and it is named',
  (what) => {
    expect(heatKit(questionFor('bearded-dragon', without(what)), 'hot-spot-surface', false)).toEqual({
      status: 'none',
      why: 'part-missing',
      what,
    });
  },
);

test('a species that no heater may be proposed for gets none, however cold it is read', () => {
  const cool = library.species.find(({ neverPropose }) => neverPropose.includes('any-heater'))!;
  expect(heatKit(questionFor(cool.id), 'warm-air', true)).toEqual({
    status: 'none',
    why: 'species-forbids',
    what: 'any-heater',
  });
});

test('a night that holds by itself takes no heater that runs day and night, where the species needs it cooler than the day', () => {
  // The library: nights of 8 to 17 degrees for Jackson's chameleon, days of 20 to 26; for a royal python nights as warm as its cool end.
  const at = (speciesId: string, celsius: number) => {
    const question = questionFor(speciesId, catalogue, 'mesh');
    const readings = [makeReading('night-air', celsius, { takenOn: planDate })];
    const found = heatKit({ ...question, setup: { ...question.setup, readings } }, 'warm-air', true);
    return found.status === 'none' ? found : found.status;
  };
  expect(at('jacksons-chameleon', 16)).toEqual({ status: 'none', why: 'nights-warm-enough', night: 16, asked: 8 });
  expect(at('jacksons-chameleon', 5)).toBe('kit');
  expect(at('royal-python', 24)).toBe('kit');
});

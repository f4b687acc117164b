// What an upgrade frees and where that would help: on made set-ups with the shipped care targets.

import { expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { lampOf } from '../../src/collection.ts';
import { freedBy, handDownChange, handDownIdeas } from '../../src/hand-downs.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import {
  boxUpgrade,
  library,
  makeAnimal,
  makeEnclosure,
  makeFitting,
  makeThing,
  makeUpgrade,
  planDate,
} from '../support/make.ts';

const mat = makeFitting('heat-mat', { id: '5', name: 'Mat', whenBoxReplaced: 'stays-behind', watts: 14 });
const hide = makeFitting('hide', { id: '6', name: 'Cave', place: 'warm', whenBoxReplaced: 'moves' });

function collectionWith(parts: Partial<Collection> = {}): Collection {
  return {
    // A corn snake in a roomy box and a young one in a small one, both in centimetres of their species' file.
    animals: [
      makeAnimal('corn-snake', { id: '1', name: 'Long', lengthMm: 1300 }),
      makeAnimal('corn-snake', { id: '2', name: 'Short', lengthMm: 900, enclosureId: '2' }),
    ],
    enclosures: [
      makeEnclosure({ id: '1', lengthMm: 1200, depthMm: 600, heightMm: 600 }),
      makeEnclosure({ id: '2', lengthMm: 600, depthMm: 400, heightMm: 400 }),
    ],
    fittings: [mat, hide],
    readings: [],
    answers: [],
    ...parts,
  };
}

const scoringOf = (collection: Collection) => ({
  collection,
  library,
  choices: DEFAULT_CHOICES,
  on: planDate,
  knownOn: planDate,
});

test('a new box frees the old one and what stays behind with it, not what moves', () => {
  const freed = freedBy(boxUpgrade('9', [140, 70, 70]), collectionWith(), planDate);
  expect(freed.map((one) => one.key)).toEqual(['box:1', 'fitting:5']);
  expect(freed[0]).toMatchObject({ what: 'box', box: { lengthMm: 1200, depthMm: 600, heightMm: 600 } });
});

test('what is taken out is freed; what is worn, broken or fitted anew is not', () => {
  const worn = makeFitting('uv-tube', { id: '7', name: 'Tube', fittedOn: plainDate('2024-03-01'), lifeMonths: 12 });
  const collection = collectionWith({ fittings: [mat, hide, worn] });
  const out = (id: string) => ({ change: 'retire' as const, fittingId: id });
  expect(freedBy({ changes: [out('6'), out('7')] }, collection, planDate).map((one) => one.name)).toEqual(['Cave']);
  const again = { ...makeThing('hide', { name: 'Cave' }), key: 'cave' };
  const back = [out('6'), { change: 'fit' as const, enclosureId: '1', fitting: again }];
  expect(freedBy({ changes: back }, collection, planDate)).toEqual([]);
});

test('a handed-down lamp brings what is left of its life and no distance', () => {
  const tube = makeFitting('uv-tube', {
    id: '7',
    name: 'Tube',
    fittedOn: plainDate('2024-03-01'),
    // 22 whole months before the day, of a life of 30.
    lifeMonths: 30,
    distanceMm: 300,
    lamp: lampOf(550, 300, 3),
  });
  const freed = { key: 'fitting:7', name: 'Tube', from: '1', what: 'fitting' as const, fitting: tube };
  expect(handDownChange(freed, '2', planDate)).toMatchObject({
    change: 'fit',
    enclosureId: '2',
    fitting: { kind: 'uv-tube', lifeMonths: 8, distanceMm: null, placed: null, outletId: null },
  });
});

test('the freed box is proposed where it ends a want of space, and nowhere it cannot stand', () => {
  const upgrade = boxUpgrade('9', [140, 70, 70]);
  const collection = collectionWith();
  const freed = freedBy(upgrade, collection, planDate);
  const ideas = handDownIdeas(upgrade, freed, scoringOf(collection));
  expect(ideas.map((one) => `${one.key} to ${one.enclosureId}`)).toEqual(['box:1 to 2']);
  const space = ideas[0]!.raises.find((one) => one.need === 'space');
  expect(space).toMatchObject({ animalId: '2' });
  expect(space!.to - space!.from).toBeGreaterThanOrEqual(5);

  const [first, second] = collection.enclosures;
  const tight = { ...second!, build: { ...second!.build, mostLengthMm: 1100 } };
  const narrow = collectionWith({ enclosures: [first!, tight] });
  expect(handDownIdeas(upgrade, freed, scoringOf(narrow))).toEqual([]);
});

test('lamps and heaters are never proposed for another box', () => {
  const upgrade = makeUpgrade('9', [{ change: 'retire', fittingId: '5' }]);
  const collection = collectionWith();
  const freed = freedBy(upgrade, collection, planDate);
  expect(freed).toHaveLength(1);
  expect(handDownIdeas(upgrade, freed, scoringOf(collection))).toEqual([]);
});

// What is measured before a purchase and looked at after it, kind by kind. Which thing asks for what is common practice, no source.

import { expect, test } from 'vitest';
import { lampOf } from '../../src/collection.ts';
import { money } from '../../src/money.ts';
import { renewalLine, shoppingLines } from '../../src/shopping.ts';
import {
  boxUpgrade,
  fitUpgrade,
  makeAnimal,
  makeEnclosure,
  makeFitting,
  makeThing,
  makeUpgrade,
} from '../support/make.ts';

const collection = {
  animals: [makeAnimal('corn-snake', { id: '1', name: 'Maize', lengthMm: 1300 })],
  enclosures: [makeEnclosure({ id: '1', lengthMm: 900, top: 'mesh' }), makeEnclosure({ id: '2' })],
  fittings: [makeFitting('heat-mat', { id: '7', name: 'Old mat', watts: 28 }), makeFitting('pool', { id: '8' })],
  readings: [],
  answers: [],
};
const price = { priceLow: money(30_00), priceHigh: money(45_00) };
const kinds = (line: { measures: { measure: string }[] }) => line.measures.map((one) => one.measure);

test('a tube is measured against the inside of its box and is never bought used', () => {
  const tube = makeThing('uv-tube', { watts: 24, lamp: lampOf(550, 300, 3), distanceMm: 300 });
  const [line] = shoppingLines([fitUpgrade('1', tube, price)], collection);
  expect(line!.measures).toContainEqual({ measure: 'tube-in-box', insideMm: 900, litMm: 550 });
  expect(kinds(line!)).toEqual(
    expect.arrayContaining(['tube-socket', 'hanging-room', 'mesh-hole', 'cable', 'free-socket']),
  );
  expect(line!.checks).toEqual(
    expect.arrayContaining([
      'lamp-intact',
      'lamp-print',
      'rating-plate',
      'market-mark',
      'plug-and-cable',
      'damp-rating',
    ]),
  );
  expect(line!.cautions).toEqual(expect.arrayContaining(['used-tube', 'used-mains', 'uv-eyes']));
  expect(line!.measures).toContainEqual({ measure: 'free-socket', water: true });
});

test('a thermostat has to carry what it regulates, and a hide asks nothing of mains', () => {
  const [line] = shoppingLines([fitUpgrade('1', makeThing('thermostat', { regulates: '7' }), price)], collection);
  expect(line!.measures).toContainEqual({ measure: 'thermostat-watts', watts: 28, heater: 'Old mat' });
  expect(line!.checks).toContain('thermostat-type');
  const [hide] = shoppingLines([fitUpgrade('2', makeThing('hide'), price)], collection);
  expect(hide!.measures).toEqual([
    { measure: 'hide-size', animals: [{ name: 'Maize', lengthMm: 1300 }], insideLengthMm: 900 },
  ]);
  expect(hide!.checks).not.toContain('rating-plate');
  expect(hide!.cautions).toEqual([]);
});

test('a new box is measured where it will stand and on the way in, and what comes with it against the new box', () => {
  const box = boxUpgrade('1', [120, 60, 60], price);
  const mat = { ...makeThing('heat-mat', { watts: 28 }), key: 'mat' };
  const withMat = { ...box, changes: [...box.changes, { change: 'fit' as const, enclosureId: '1', fitting: mat }] };
  const [line] = shoppingLines([withMat], collection);
  expect(kinds(line!).slice(0, 3)).toEqual(['box-place', 'way-in', 'what-it-carries']);
  expect(line!.measures).toContainEqual({ measure: 'mat-on-floor', insideLengthMm: 1200, insideDepthMm: 600 });
});

test('equal purchases are one line with their number and sum; free ones are no line', () => {
  const plain = { ...collection, animals: [] };
  const hides = ['1', '2'].map((id) => fitUpgrade(id, makeThing('hide'), { name: 'Snug hide', ...price }, id));
  const lines = shoppingLines([...hides, fitUpgrade('3', makeThing('hide'), { name: 'Cardboard' })], plain);
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatchObject({ count: 2, priceLow: 60_00, priceHigh: 90_00, enclosureIds: ['1', '2'] });
});

test('what is taken out and put in again under its own name is not bought', () => {
  const own = makeThing('heat-mat', { name: 'Old mat', watts: 28 });
  const [line] = shoppingLines(
    [
      makeUpgrade(
        '1',
        [
          { change: 'retire', fittingId: '7' },
          { change: 'fit', enclosureId: '2', fitting: { ...own, key: 'mat' } },
          { change: 'fit', enclosureId: '2', fitting: { ...makeThing('hide', { name: 'Cave' }), key: 'cave' } },
        ],
        price,
      ),
    ],
    collection,
  );
  expect(line!.things).toEqual([{ name: 'Cave', count: 1 }]);
});

test('a renewal is asked the same as a new thing of its kind', () => {
  const fitting = makeFitting('uv-tube', { id: '9', name: 'Tube', watts: 24, lamp: lampOf(550, 300, 3) });
  const line = renewalLine({ fitting, price: null }, collection);
  expect(kinds(line)).toContain('tube-socket');
  expect(line.cautions).toContain('used-tube');
});

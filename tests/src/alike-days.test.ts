// Days that are judged alike. There is no outside source: the law holds them against the score itself, found anew for each day.

import { expect, test } from 'vitest';
import { alikeDays } from '../../src/alike-days.ts';
import { addDays, addMonths, firstDay, plainDate, plainMonth } from '../../src/calendar.ts';
import { type Animal, aroundEnclosures, type Collection, type Fitting, lampOf } from '../../src/collection.ts';
import { withoutOutdated } from '../../src/evidence.ts';
import { DEFAULT_CHOICES, scoreOneNeed, targetsOn } from '../../src/score.ts';
import { NEEDS, type Need } from '../../src/species.ts';
import { applyUpgrades, type Upgrade } from '../../src/upgrades.ts';
import {
  chanceOf,
  fitUpgrade,
  library,
  makeAnimal,
  makeEnclosure,
  makeFitting,
  makeReading,
  makeThing,
  planDate,
  randomFacts,
} from '../support/make.ts';

const months = Array.from({ length: 12 }, (_, index) => addMonths(plainMonth('2026-01'), index));
const days = months.map((month, index) => (index === 0 ? planDate : firstDay(month)));
const { ruleSets } = DEFAULT_CHOICES;

function alikeIn(
  around: Collection,
  animal: Animal,
  upgrades: readonly Upgrade[] = [],
): (need: Need) => readonly number[] {
  const asked = days.map((on) => ({ on, targets: targetsOn(animal, { library, on }) }));
  return alikeDays({ animal, around, upgrades, ruleSets, knownOn: planDate, days: asked });
}

test('Whatever of the upgrades is fitted, each need is worth the same on days that are judged alike, and only the newest readings count', () => {
  let [compared, spared] = [0, 0];
  for (let seed = 1; seed <= 24; seed++) {
    const { collection, upgrades } = randomFacts(seed, 3);
    const chance = chanceOf(seed);
    for (const animal of collection.animals) {
      const around = aroundEnclosures(collection, [animal.enclosureId!]);
      // Older readings besides, of other values, so that something is left out.
      const older = around.readings.map((one) => ({ ...one, value: 12, takenOn: addDays(one.takenOn, -200) }));
      // A room that is too warm for anyone in summer, and for a rest in winter.
      const rooms = [{ id: '1', name: '', coldest: { celsius: 14, month: 1 }, hottest: { celsius: 30, month: 7 } }];
      const enclosures = around.enclosures.map((one) => ({ ...one, build: { ...one.build, roomId: '1' } }));
      const whole = { ...around, rooms, enclosures, readings: [...older, ...around.readings] };
      const telling = withoutOutdated(whole, planDate);
      const alike = alikeIn(whole, animal, upgrades);
      const chosen = upgrades.filter(() => chance.likely(0.4));
      const worth = (need: Need, of: Collection, place: number) => {
        const on = days[place]!;
        const tried = applyUpgrades(of, chosen, on);
        const outcome = scoreOneNeed(animal, need, {
          collection: tried,
          library,
          choices: DEFAULT_CHOICES,
          on,
          knownOn: planDate,
        })!;
        if (outcome.status !== 'scored') return outcome.status;
        const { value, severe, allowance, weight } = outcome.score;
        return { value, severe, allowance, weight };
      };
      for (const need of NEEDS) {
        alike(need).forEach((first, place) => {
          expect(worth(need, telling, first), `seed ${seed}, ${need}, day ${place} as ${first}`).toEqual(
            worth(need, whole, place),
          );
          compared++;
          spared += Number(first !== place);
        });
      }
    }
  }
  expect(compared).toBeGreaterThan(3000);
  expect(spared).toBeGreaterThan(compared / 3);
});

const grown = makeAnimal('leopard-gecko', { id: '1', lengthMm: 230 });
const lamp = { lamp: lampOf(550, 300, 3), distanceMm: 300, hoursPerDay: 12, lifeMonths: 30 };
const lifeEnds = makeFitting('uv-tube', { id: '9', fittedOn: plainDate('2024-03-01'), ...lamp });
const run = makeThing('outdoor-run', {
  outdoors: { lengthMm: 2000, depthMm: 1500, fromMonth: 4, toMonth: 9, shade: true },
});

const stages = (
  kinds: {
    animal?: Animal;
    fittings?: Fitting[];
    upgrades?: Upgrade[];
    readings?: Collection['readings'];
    boxSince?: string;
  },
  need: Need,
) => {
  const {
    animal = grown,
    fittings = [makeFitting('hide', { id: '1', place: 'cool' })],
    upgrades = [],
    readings = [],
    boxSince,
  } = kinds;
  const enclosures = [makeEnclosure({ id: '1', ...(boxSince === undefined ? {} : { boxSince: plainDate(boxSince) }) })];
  return [...alikeIn({ animals: [animal], enclosures, fittings, readings, answers: [] }, animal, upgrades)(need)].join(
    ' ',
  );
};

test.each<[string, Parameters<typeof stages>[0], Need, string]>([
  ['A grown animal among things that stay has one kind of day', {}, 'space', '0 0 0 0 0 0 0 0 0 0 0 0'],
  [
    'A thing that goes in March makes the days before and after it two kinds',
    { fittings: [makeFitting('hide', { id: '1', retiredOn: plainDate('2026-03-10') })] },
    'hides',
    '0 0 0 3 3 3 3 3 3 3 3 3',
  ],
  [
    'The very day on which something is dated stands apart from those before and after',
    { fittings: [makeFitting('hide', { id: '1', fittedOn: plainDate('2026-05-01') })] },
    'hides',
    '0 0 0 0 4 5 5 5 5 5 5 5',
  ],
  [
    'A reading of a later day counts from its day on',
    { readings: [makeReading('water', 20, { takenOn: plainDate('2026-02-15') })] },
    'heat',
    '0 0 2 2 2 2 2 2 2 2 2 2',
  ],
  ['A box of a later day counts from its day on', { boxSince: '2026-06-15' }, 'heat', '0 0 0 0 0 0 6 6 6 6 6 6'],
  [
    'A lamp past its life is worth less from month to month',
    { fittings: [lifeEnds] },
    'uv',
    '0 0 0 0 0 0 0 0 8 9 10 11',
  ],
  [
    'A rest of December to January is another kind of day',
    {
      animal: {
        ...grown,
        speciesId: 'hermanns-tortoise',
        lengthMm: 200,
        seasons: [{ season: 'winter-rest', fromMonth: 12, toMonth: 1 }],
      },
    },
    'heat',
    '0 1 1 1 1 1 1 1 1 1 1 0',
  ],
  [
    'A run out of doors that could be had is used by months',
    { animal: { ...grown, speciesId: 'hermanns-tortoise', lengthMm: 200 }, upgrades: [fitUpgrade('1', run)] },
    'uv',
    '0 1 2 3 4 5 6 7 8 9 10 11',
  ],
])('%s', (_, kinds, need, told) => {
  expect(stages(kinds, need)).toBe(told);
});

test('A growing animal has days of its own where room is judged until it is grown, and elsewhere only as its stage of life ends', () => {
  const young = { ...grown, lengthMm: 90, hatchedOn: plainDate('2025-08-01') };
  const others = stages({ animal: young }, 'heat').split(' ');
  expect(new Set(stages({ animal: young }, 'space').split(' ')).size).toBeGreaterThan(9);
  expect(new Set(others).size).toBeLessThan(4);
});

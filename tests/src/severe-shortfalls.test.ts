// What would end a severe shortfall, and where it stands: found by fitting on paper, so each case names what the set-up lacks.

import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { plainDate } from '../../src/calendar.ts';
import type { Collection, Fitting } from '../../src/collection.ts';
import type { Proposal } from '../../src/proposals.ts';
import { proposeUpgrades } from '../../src/proposals.ts';
import { DEFAULT_CHOICES, scoreAnimal } from '../../src/score.ts';
import { severeShortfalls } from '../../src/severe-shortfalls.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { library, makeAnimal, makeEnclosure, makeFitting } from '../support/make.ts';

const on = plainDate('2026-01-15');

// A corn snake in a box of its size (90 x 45 x 45 cm) with what is given; safety is severe by an unheld heater (burns-2008).
function shortfallsOf(fittings: Fitting[], upgradesOf: (proposals: Proposal[]) => Upgrade[] = () => []) {
  const collection: Collection = {
    animals: [makeAnimal('corn-snake', { id: 'a', enclosureId: 'e', lengthMm: 900 })],
    enclosures: [makeEnclosure({ id: 'e', lengthMm: 900, depthMm: 450, heightMm: 450 })],
    fittings,
    readings: [],
    answers: [],
  };
  const scoring = { collection, library, choices: DEFAULT_CHOICES, on, knownOn: on };
  const proposals = proposeUpgrades({
    ...{ collection, library, choices: DEFAULT_CHOICES, on, rooms: [], powerPrice: null },
    parts: readCatalogue(),
    currency: { code: 'EUR', decimals: 2 },
  });
  const upgrades = upgradesOf(proposals);
  const keys = new Set(upgrades.map((one) => one.proposalKey));
  const open = proposals.filter((one) => !keys.has(one.key));
  const scored = collection.animals.map((animal) => ({ animal, score: scoreAnimal(animal, scoring)! }));
  return severeShortfalls(scored, scoring, upgrades, open);
}

const mat = makeFitting('heat-mat', { id: 'mat', enclosureId: 'e', name: 'Mat', watts: 20 });
const upgradeFrom = (proposal: Proposal, status: Upgrade['status']): Upgrade => ({
  ...proposal.upgrade,
  ...{ id: proposal.key, name: proposal.key, status, origin: 'proposed', note: '' },
});
const thermostatOf = (proposals: Proposal[]) => proposals.find((one) => one.key === 'e:kit mat')!;

describe('an unheld heat mat', () => {
  test('is to be unplugged at once, and the thermostat that is proposed would end it', () => {
    const [safety, ...others] = shortfallsOf([mat]);
    expect(others).toEqual([]);
    expect(safety).toMatchObject({ animalId: 'a', atOnce: true, covered: false, listed: [], refused: [] });
    expect(safety!.need.need).toBe('safety');
    expect(safety!.reasons).toEqual([{ why: 'heater-unregulated', fitting: 'Mat' }]);
    expect(safety!.proposed.map((one) => one.key)).toEqual(['e:kit mat']);
  });

  test('stays urgent while the thermostat is only wanted, and then nothing else is proposed for it', () => {
    const [safety] = shortfallsOf([mat], (all) => [upgradeFrom(thermostatOf(all), 'wanted')]);
    expect(safety).toMatchObject({ atOnce: true, covered: true, proposed: [], refused: [] });
    expect(safety!.listed.map((one) => one.id)).toEqual(['e:kit mat']);
  });

  test('tells of a thermostat that was refused, and never proposes it again', () => {
    const [safety] = shortfallsOf([mat], (all) => [upgradeFrom(thermostatOf(all), 'refused')]);
    expect(safety).toMatchObject({ atOnce: true, covered: false, listed: [], proposed: [] });
    expect(safety!.refused.map((one) => one.id)).toEqual(['e:kit mat']);
  });
});

test('Of two things that are severe for themselves, what ends one of them counts, and what is left is still sought', () => {
  const ceramic = makeFitting('ceramic-heater', {
    id: 'top',
    enclosureId: 'e',
    name: 'Heater',
    watts: 60,
    outOfReach: true,
  });
  const both = shortfallsOf([mat, ceramic]).find((one) => one.need.need === 'safety')!;
  expect(both.proposed.map((one) => one.key).toSorted()).toEqual(['e:kit mat', 'e:kit top']);
  const half = shortfallsOf([mat, ceramic], (all) => [upgradeFrom(thermostatOf(all), 'ordered')]).find(
    (one) => one.need.need === 'safety',
  )!;
  expect(half.covered).toBe(false);
  expect(half.listed.map((one) => one.id)).toEqual(['e:kit mat']);
  expect(half.proposed.map((one) => one.key)).toEqual(['e:kit top']);
});

test('A mat on a thermostat is no severe shortfall', () => {
  const held = makeFitting('thermostat', { id: 't', enclosureId: 'e', regulates: 'mat' });
  expect(shortfallsOf([mat, held])).toEqual([]);
});

import { expect, test } from 'vitest';
import { effectSentence } from '../../server/plan-words.ts';
import { notFurnishedSentence, proposalName, proposalNotes } from '../../server/proposal-words.ts';
import type { KitAssumption } from '../../src/kits.ts';
import type { Proposal } from '../../src/proposals.ts';

const euro = { code: 'EUR', decimals: 2 };

const kit = (
  parts: { name: string; what: string }[],
  owned: { name: string; what: string }[] = [],
  assumes: KitAssumption[] = [],
) => proposalName({ act: 'kit', parts, owned, place: null, distanceMm: null, uvi: null, assumes }, 'metric');
const thermostat = { name: 'Thermostat, switching, 300 W', what: 'thermostat' };
const guard = { name: 'Guard', what: 'guard' };

test('A kit does not say that a heater needs what the kit brings or the keeper has', () => {
  const mat = { name: 'Heat mat, 14 W, 28 x 28 cm, needs a thermostat', what: 'heat-mat' };
  expect(kit([mat, thermostat])).toBe('Heat mat, 14 W, 28 x 28 cm with thermostat');
  expect(kit([mat], [thermostat])).toBe('Heat mat, 14 W, 28 x 28 cm');
  expect(kit([mat])).toBe('Heat mat, 14 W, 28 x 28 cm; needs a thermostat, not in the kit');
});

test('It still says what the kit leaves out', () => {
  const heater = { name: 'Heater, 60 W, needs a guard and a thermostat', what: 'ceramic-heater' };
  expect(kit([heater, thermostat])).toBe('Heater, 60 W with thermostat; needs a guard, not in the kit');
  expect(kit([heater, thermostat], [], [{ assumes: 'above-mesh' }])).toBe(
    'Heater, 60 W with thermostat, above the mesh',
  );
  expect(kit([heater, guard, thermostat])).toBe('Heater, 60 W with guard and thermostat');
});

test('A box that is only a step says so in its name, and what it lacks', () => {
  const act = { act: 'box' as const, part: 'Box, 90 x 45 x 45 cm', lengthMm: 900, depthMm: 450, heightMm: 450 };
  const box = { ...act, step: { short: 'floor' as const, ratio: 0.45, rule: 'A rule' } };
  expect(proposalName(box, 'metric')).toBe('Box, 90 x 45 x 45 cm, only a step');
  const notes = proposalNotes({ act: box } as Proposal, { unitSystem: 'metric', currency: euro, locale: 'en' });
  expect(notes[0]).toBe('A step and no goal: of the floor that a grown animal should have it gives 45 % (A rule).');
  expect(proposalName({ ...act, step: null }, 'metric')).toBe('Box, 90 x 45 x 45 cm');
});

test('A new box says what moves into it and what comes with it', () => {
  expect(notFurnishedSentence(3, 0)).toBe(
    'Not yet furnished: 3 things move into it; what it offers is then read anew.',
  );
  expect(notFurnishedSentence(1, 2)).toContain('1 thing moves into it, 2 more come with it;');
});

test('A need that hangs on readings is not told as falling in a box in which nothing was read yet', () => {
  const fall = { animalId: '1', need: 'heat' as const, from: 88, to: 50, severe: 'unchanged' as const };
  expect(effectSentence(fall, 'Nox')).toBe('Nox: Heat falls from 88 to 50.');
  const inBox = 'Nox: Heat counts as 50 instead of 88 until the new box is furnished and read.';
  expect(effectSentence(fall, 'Nox', true)).toBe(inBox);
  // A severe shortfall that begins is never told softly.
  expect(effectSentence({ ...fall, severe: 'begins' as const }, 'Nox', true)).toContain('becomes severely short');
  expect(effectSentence({ ...fall, need: 'space' as const }, 'Nox', true)).toBe('Nox: Space falls from 88 to 50.');
});

import { expect, test } from 'vitest';
import { proposalName } from '../../server/proposal-words.ts';

const kit = (parts: { name: string; what: string }[], owned: { name: string; what: string }[] = []) =>
  proposalName({ act: 'kit', parts, owned, place: null, distanceMm: null, uvi: null, assumes: [] }, 'metric');
const thermostat = { name: 'Thermostat, switching, 300 W', what: 'thermostat' };
const guard = { name: 'Guard', what: 'guard' };

test('A kit does not say that a heater needs what the kit brings or the keeper has', () => {
  const mat = { name: 'Heat mat, 14 W, 28 x 28 cm, needs a thermostat', what: 'heat-mat' };
  expect(kit([mat, thermostat])).toBe('Heat mat, 14 W, 28 x 28 cm with thermostat');
  expect(kit([mat], [thermostat])).toBe('Heat mat, 14 W, 28 x 28 cm');
  expect(kit([mat])).toBe('Heat mat, 14 W, 28 x 28 cm, needs a thermostat');
});

test('It still says what the kit leaves out', () => {
  const heater = { name: 'Heater, 60 W, needs a guard and a thermostat', what: 'ceramic-heater' };
  expect(kit([heater, thermostat])).toBe('Heater, 60 W, needs a guard with thermostat');
  expect(kit([heater, guard, thermostat])).toBe('Heater, 60 W with guard and thermostat');
});

// Cards for emergencies over the whole library: laws that count what they applied to. Steps are common practice; the limit of amphibians is
// the ledger's own cited figure, 26 °C.

import { expect, test } from 'vitest';
import { EMERGENCIES, emergencyCard } from '../../src/emergency.ts';
import { findSpecies } from '../../src/species.ts';
import { library } from '../support/make.ts';

test('every species has a card for both emergencies, with critical limits before all others', () => {
  let critical = 0;
  for (const species of library.species) {
    for (const emergency of EMERGENCIES) {
      const { limits, steps, first } = emergencyCard(species, emergency);
      const flags = limits.map((one) => one.critical);
      expect(flags, species.id).toEqual([...flags].sort((a, b) => Number(b) - Number(a)));
      expect(limits.length, species.id).toBeGreaterThanOrEqual(species.temperatures.length);
      expect(steps.slice(-2), species.id).toEqual(['call-vet', 'back-on']);
      expect(new Set(steps).size, species.id).toBe(steps.length);
      expect(first.length, species.id).toBeGreaterThan(0);
      critical += flags.filter(Boolean).length;
    }
  }
  expect(critical).toBeGreaterThan(library.species.length);
});

test('heaters are unplugged before anything is covered, and no amphibian is warmed', () => {
  let [covered, cool] = [0, 0];
  for (const species of library.species) {
    const { steps } = emergencyCard(species, 'power-cut');
    const amphibian = species.group === 'frog' || species.group === 'salamander';
    expect(steps.includes('cover-box') || steps.includes('warm-bottles'), species.id).toBe(!amphibian);
    if (amphibian) cool += 1;
    else {
      covered += 1;
      expect(steps, species.id).toContain('unplug-heaters');
      expect(steps.indexOf('unplug-heaters'), species.id).toBeLessThan(steps.indexOf('cover-box'));
    }
  }
  expect(covered).toBeGreaterThan(5);
  expect(cool).toBeGreaterThan(1);
});

test('in a heat wave the lamps go off first, and an amphibian has its limit of 26 °C anywhere', () => {
  let amphibians = 0;
  for (const species of library.species) {
    const { steps, limits } = emergencyCard(species, 'heat-wave');
    expect(steps.slice(0, 2), species.id).toEqual(['note-time', 'lamps-off']);
    const anywhere = limits.filter((one) => one.kind === 'anywhere');
    if (species.group !== 'frog' && species.group !== 'salamander') expect(anywhere, species.id).toEqual([]);
    else {
      amphibians += 1;
      expect(anywhere, species.id).toMatchObject([{ celsius: 26, critical: true, side: 'above' }]);
    }
  }
  expect(amphibians).toBeGreaterThan(1);
});

test('limits are the ends of the bands of the species, each with its source', () => {
  const snake = findSpecies(library, 'corn-snake');
  for (const target of snake.temperatures) {
    const below = emergencyCard(snake, 'power-cut').limits.find((one) => one.kind === target.kind);
    expect(below).toMatchObject({
      celsius: target.low,
      critical: target.criticalBelow,
      cited: { source: target.source },
    });
    const above = emergencyCard(snake, 'heat-wave').limits.find((one) => one.kind === target.kind);
    expect(above).toMatchObject({ celsius: target.high, critical: target.criticalAbove });
  }
});

test('water that a filter keeps is stirred by hand', () => {
  const filtered = library.species.filter((one) => one.water?.features.includes('filter'));
  expect(filtered.length).toBeGreaterThan(0);
  for (const species of filtered) {
    const card = emergencyCard(species, 'power-cut');
    expect(card.first[0]).toBe('filter');
    expect(card.steps).toContain('stir-water');
  }
});

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

// Husbandry rules, values: severe needs a value below 20, so that it begins at four fifths of the tolerance beyond the band; a hot spot that
// goes cold for some hours is no critical limit. Limit of life of Tiliqua scincoides 43.9 °C: GlobTherm, Bennett et al. 2018.
test('limits are the ends of the bands, and critical ones what is severe or deadly, each with its source', () => {
  const snake = findSpecies(library, 'corn-snake');
  const read = (kind: string, emergency: 'power-cut' | 'heat-wave', species = snake) =>
    emergencyCard(species, emergency)
      .limits.filter((one) => one.kind === kind)
      .map(({ celsius, critical }) => [celsius, critical]);
  // Warm hide 28 to 32, cool end 20 to 26 (6 below, 1 above), night 18 to 25 (5 below, never severe above).
  expect(read('warm-hide-floor', 'power-cut')).toEqual([[28, false]]);
  expect(read('cool-end-air', 'power-cut')).toEqual([
    [15.2, true],
    [20, false],
  ]);
  expect(read('night-air', 'power-cut')).toEqual([
    [14, true],
    [18, false],
  ]);
  expect(read('warm-hide-floor', 'heat-wave')).toEqual([
    [36, true],
    [32, false],
  ]);
  expect(read('cool-end-air', 'heat-wave')).toEqual([
    [26.8, true],
    [26, false],
  ]);
  expect(read('night-air', 'heat-wave')).toEqual([[25, false]]);
  const skink = findSpecies(library, 'blue-tongued-skink');
  expect(read('body', 'heat-wave', skink)).toContainEqual([43.9, true]);
  for (const target of snake.temperatures)
    for (const one of emergencyCard(snake, 'heat-wave').limits.filter(({ kind }) => kind === target.kind))
      expect(one.cited.source).toBe(target.source);
});

test('in a power cut nothing that rests through the winter is warmed, which is said before any warming', () => {
  let rests = 0;
  for (const species of library.species) {
    const { steps } = emergencyCard(species, 'power-cut');
    const resting = species.profiles.some(({ when }) => 'season' in when && when.season === 'winter-rest');
    expect(steps.includes('in-rest'), species.id).toBe(resting);
    if (!resting) continue;
    rests += 1;
    const warming = steps.findIndex((one) => one === 'cover-box' || one === 'stay-cool');
    expect(steps.indexOf('in-rest'), species.id).toBeLessThan(warming);
  }
  expect(rests).toBeGreaterThan(2);
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

import { describe, expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { adultDemands, amountOf, spansOf } from '../../src/space-demands.ts';
import { findSpecies, RULE_SETS } from '../../src/species.ts';

const library = readCareLibrary();

describe('What rule lists ask for one adult', () => {
  // German expert report of 1997: chameleons 4 x 2.5 x 4 snout-vent lengths. A veiled chameleon of 22 cm: 88 x 55 x 88 cm.
  test('of a veiled chameleon is what the German report of 1997 gives', () => {
    const { mm, wanted } = adultDemands(findSpecies(library, 'veiled-chameleon'), ['DE-1997']);
    expect(mm).toBe(220);
    expect(wanted).toEqual({ lengthMm: 880, depthMm: 550, floorM2: 0.484, heightMm: 880 });
  });

  // Austria, 2nd animal keeping ordinance, annex on tailed amphibians: 0.9 m² for two of 20 to 30 cm.
  test('of an axolotl lies between common practice and the Austrian table', () => {
    const { demands } = adultDemands(findSpecies(library, 'axolotl'), ['AT']);
    const floor = spansOf(demands).find(({ dimension }) => dimension === 'floor')!;
    expect([floor.least.amount, floor.least.rule.ruleSet]).toEqual([0.4, 'practice']);
    expect([floor.most.amount, floor.most.rule.ruleSet]).toEqual([0.9, 'AT']);
    expect(floor.silent).toBe(0);
    const height = spansOf(demands).find(({ dimension }) => dimension === 'height')!;
    expect(height.silent).toBe(1);
  });

  test('counts common practice where no chosen list says anything, and only then', () => {
    const axolotl = findSpecies(library, 'axolotl');
    const counting = (...sets: ('AT' | 'CH')[]) =>
      adultDemands(axolotl, sets).demands.flatMap(({ rule, chosen }) => (chosen ? [rule.ruleSet] : []));
    expect(counting('AT')).toEqual(['AT']);
    expect(counting('CH')).toEqual(['practice']);
    // The Austrian table ends at 30 cm.
    const long = { ...axolotl, adultSize: { ...axolotl.adultSize, highMm: 310 } };
    const { demands } = adultDemands(long, ['AT']);
    expect(demands.flatMap(({ rule, chosen }) => (chosen ? [rule.ruleSet] : []))).toEqual(['practice']);
    // A rule that says nothing of this length is not silent in a direction either: it asks for nothing at all.
    expect(spansOf(demands).map(({ dimension, silent }) => [dimension, silent])).toContainEqual(['floor', 0]);
    const withoutPractice = { ...long, space: long.space.filter((rule) => rule.ruleSet !== 'practice') };
    const left = adultDemands(withoutPractice, ['AT']);
    expect(left.demands.flatMap(({ rule, chosen }) => (chosen ? [rule.ruleSet] : []))).toEqual(['AT']);
    expect(left.wanted).toBeNull();
  });

  test('that asks for the same stands for the rules after it, and no floor is no demand of 0', () => {
    const [demand] = adultDemands(findSpecies(library, 'veiled-chameleon'), ['DE-1997']).demands;
    const same = { ...demand!, rule: { ...demand!.rule, title: 'The same again' } };
    for (const { least, most } of spansOf([demand!, same]))
      expect([least.rule.title, most.rule.title]).toEqual([demand!.rule.title, demand!.rule.title]);
    expect(amountOf({ lengthMm: 500, depthMm: null, floorM2: 0, heightMm: null }, 'floor')).toBeNull();
  });

  test('of every species holds each known amount between the least and the most', () => {
    let held = 0;
    for (const species of library.species) {
      const { demands, wanted } = adultDemands(species, RULE_SETS);
      for (const { dimension, least, most } of spansOf(demands)) {
        for (const { asked } of demands) {
          const amount = asked.status === 'known' ? amountOf(asked.needed, dimension) : null;
          if (amount === null) continue;
          expect(amount).toBeGreaterThanOrEqual(least.amount);
          expect(amount).toBeLessThanOrEqual(most.amount);
          held += 1;
        }
        if (wanted !== null) expect(amountOf(wanted, dimension) ?? 0).toBeLessThanOrEqual(most.amount + 1e-9);
      }
    }
    expect(held).toBeGreaterThan(200);
  });
});

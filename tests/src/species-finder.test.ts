import { describe, expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { criteriaOf, searchSpecies, type WantedSpecies } from '../../src/species-finder.ts';

const library = readCareLibrary();
const anything: WantedSpecies = {
  words: '',
  group: null,
  habit: null,
  activity: null,
  zone: null,
  uv: null,
  outdoors: null,
  kept: null,
  known: null,
};
const search = (wanted: Partial<WantedSpecies>, kept: string[] = []) =>
  searchSpecies(library, new Set(kept), { ...anything, ...wanted });
const idsOf = (wanted: Partial<WantedSpecies>, kept: string[] = []) => search(wanted, kept).found.map(({ id }) => id);

describe('A search', () => {
  test('for nothing finds every species, in the order of their common names', () => {
    const { found } = search({});
    expect(found).toHaveLength(library.species.length);
    expect(found[0]!.commonName < found.at(-1)!.commonName).toBe(true);
    expect(criteriaOf(anything)).toEqual([]);
    expect(criteriaOf({ ...anything, words: '  ' })).toEqual([]);
  });

  test('stands in the order of common names, whatever the order of the library', () => {
    const turned = { ...library, species: library.species.toReversed() };
    const names = searchSpecies(turned, new Set(), anything).found.map(({ commonName }) => commonName);
    expect(names).toEqual(names.toSorted((a, b) => a.localeCompare(b, 'en')));
  });

  test('by any name finds its species: common, scientific, other and former ones', () => {
    let tried = 0;
    for (const { id, commonName, scientificName, otherNames, synonyms } of library.species) {
      for (const name of [commonName, scientificName, ...otherNames, ...synonyms]) {
        expect(idsOf({ words: name }), name).toContain(id);
        tried += 1;
      }
    }
    expect(tried).toBeGreaterThan(2 * library.species.length);
  });

  test('by words passes over case, accents and apostrophes', () => {
    for (const words of ['BEARDED dragon', 'béärded', 'dragon bearded'])
      expect(idsOf({ words })).toContain('bearded-dragon');
    for (const words of ['Hermann’s tortoise', "hermann's", 'hermanns'])
      expect(idsOf({ words })).toEqual(['hermanns-tortoise']);
  });

  // Each answer and its opposite take the library apart without a rest.
  test.each([
    ['uv', ['required', 'optional']],
    ['outdoors', ['yes', 'no']],
    ['group', ['lizard', 'snake', 'tortoise', 'turtle', 'frog', 'salamander']],
    ['habit', ['ground', 'climbing', 'burrowing', 'semi-aquatic', 'aquatic']],
    ['activity', ['day', 'night', 'twilight']],
  ] as const)('by %s finds each species under exactly one answer', (criterion, answers) => {
    const ids = answers.flatMap((answer) => idsOf({ [criterion]: answer }));
    expect(ids.toSorted()).toEqual(library.species.map(({ id }) => id).toSorted());
    for (const answer of answers) expect(idsOf({ [criterion]: answer }).length, answer).toBeGreaterThan(0);
  });

  test('by a zone finds a species under every zone that any source puts it in', () => {
    const corn = library.species.find(({ id }) => id === 'corn-snake')!;
    expect(corn.uv.zones.map(({ zone }) => zone).toSorted()).toEqual([1, 2]);
    expect(([1, 2, 3, 4] as const).filter((zone) => idsOf({ zone }).includes('corn-snake'))).toEqual([1, 2]);
  });

  test('by how well figures are known: a third or more are among a quarter or more, and the rest are below', () => {
    const [third, quarter, less] = (['third', 'quarter', 'less'] as const).map((known) => idsOf({ known }));
    expect(third!.length).toBeGreaterThan(0);
    expect(quarter).toEqual(expect.arrayContaining(third!));
    expect(quarter!.length).toBeGreaterThan(third!.length);
    expect([...quarter!, ...less!].toSorted()).toEqual(library.species.map(({ id }) => id).toSorted());
  });

  test('for kept ones finds those of which there is an animal, whatever their order', () => {
    expect(idsOf({ kept: 'yes' }, ['uromastyx', 'axolotl'])).toEqual(['axolotl', 'uromastyx']);
  });

  test('that finds nothing tells how many there would be with one thing less, and only where that leaves some', () => {
    const { found, without } = search({ group: 'snake', activity: 'day', uv: 'required' });
    expect(found).toEqual([]);
    expect(without.length).toBeGreaterThan(0);
    for (const { criterion, count } of without)
      expect(count).toBe(idsOf({ group: 'snake', activity: 'day', uv: 'required', [criterion]: null }).length);
    expect(search({ words: 'unicorn', group: 'snake', zone: 4 }).without).toEqual([]);
    expect(search({ words: 'axolotl', group: 'snake' }).without).toEqual([
      { criterion: 'words', count: idsOf({ group: 'snake' }).length },
      { criterion: 'group', count: 1 },
    ]);
  });
});

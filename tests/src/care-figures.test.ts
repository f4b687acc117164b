import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { countCareFigures, countFiguresOf, figuresIn, figuresWithOthers, shareRead } from '../../src/care-figures.ts';
import { findSpecies, GRADES } from '../../src/species.ts';

const library = readCareLibrary();
const seed = join(import.meta.dirname, '../../seed');

describe('Figures', () => {
  test('are found at any depth, each with the path that leads to it', () => {
    const found = figuresIn({
      size: { lowMm: 3, source: 'a', grade: 'hearsay' },
      uv: { zones: [{ zone: 1, source: 'b', grade: 'hearsay', note: 'n' }], need: 'required' },
      source: 'no figure: it has no grade',
    });
    expect(found.map(({ path, source }) => [path, source])).toEqual([
      ['size', 'a'],
      ['uv.zones.0', 'b'],
    ]);
  });

  test('of the library are as many as its files have lines with a grade, and each has one grade and one standing', () => {
    // Counted in the text of the files, without reading them as data.
    const files = ['uv-zones.json', ...readdirSync(join(seed, 'species')).map((name) => `species/${name}`)];
    const lines = files.flatMap((file) => readFileSync(join(seed, file), 'utf8').split('\n'));
    const counts = countCareFigures(library);
    expect(counts.species).toBe(files.length - 1);
    expect(counts.figures).toBe(lines.filter((line) => line.includes('"grade": ')).length);
    for (const grade of GRADES)
      expect(counts.byGrade[grade], grade).toBe(lines.filter((line) => line.includes(`"grade": "${grade}"`)).length);
    const sum = (numbers: Record<string, number>) => Object.values(numbers).reduce((a, b) => a + b, 0);
    expect(sum(counts.byStanding)).toBe(counts.figures);
    const remembered = lines.filter((line) => line.includes('"source": "memory"')).length;
    expect(counts.byStanding['from-memory']).toBe(remembered);
    for (const standing of ['published', 'secondary', 'common-practice', 'from-memory'] as const)
      expect(counts.byStanding[standing], standing).toBeGreaterThan(0);
  });
});

describe('Sources disagree', () => {
  const about = (what: string) =>
    countCareFigures(library)
      .disagreements.filter((one) => one.about === what)
      .map(({ of, answers }) => [of, answers]);

  test('on the zone of a bearded dragon, 3 or 4, and not on that of a leopard gecko', () => {
    expect(about('uv-zone')).toContainEqual(['bearded-dragon', 2]);
    expect(about('uv-zone').map(([of]) => of)).not.toContain('leopard-gecko');
  });

  test('on space where rule lists of several countries speak of a species, and not where one rule alone was read', () => {
    // Length alone (Warwick et al. 2021), the German report, the German pages, Austria, Sweden.
    expect(about('space')).toContainEqual(['corn-snake', 5]);
    expect(about('space').map(([of]) => of)).not.toContain('hermanns-tortoise');
  });

  test('on the highest exposure of zone 4 alone: 8.0 or 9.5', () => {
    expect(about('uv-ceiling')).toEqual([['4', 2]]);
  });
});

describe('The figures of one species', () => {
  test('add up to those of the library, with the figures of the UV zones', () => {
    const counts = library.species.map((species) => countFiguresOf(species, library));
    const ofZones = figuresIn(library.uvZones).length;
    expect(counts.reduce((sum, { figures }) => sum + figures, ofZones)).toBe(countCareFigures(library).figures);
    for (const { figures, byStanding } of counts)
      expect(Object.values(byStanding).reduce((a, b) => a + b, 0)).toBe(figures);
  });

  test('count as read when they were read where they were published or in a text that quotes it', () => {
    const byStanding = { published: 3, secondary: 2, 'common-practice': 4, 'from-memory': 10, 'own-source': 1 };
    expect(shareRead({ figures: 20, byStanding })).toBe(0.25);
    expect(shareRead({ figures: 0, byStanding })).toBe(0);
  });

  test('have other figures where a note names a number of its own; the year of a work is none', () => {
    const pathsOf = (id: string) => figuresWithOthers(findSpecies(library, id)).map(({ path }) => path);
    // "Austria’s 26 °C for tropical amphibians is far too warm for it."
    expect(pathsOf('axolotl')).toEqual(['temperatures.0']);
    expect(pathsOf('hermanns-tortoise')).toEqual([]);
    // "Sources read at second hand disagree: 10-20 % … and 40-60 %"
    expect(pathsOf('bearded-dragon')).toContain('humidity');
    // "Lowest and highest mean body temperature of active animals in the field (Meiri 2018); not a reading of a surface."
    expect(pathsOf('brown-anole')).not.toContain('temperatures.3');
  });
});

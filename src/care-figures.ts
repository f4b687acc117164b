// Which figures the care library holds: how many, how well they are known, and on which targets its sources disagree. Knows nothing of
// what a figure means.

import type { CareLibrary, Cited, Grade, Species, Standing } from './species.ts';
import { findSource, GRADES, STANDINGS } from './species.ts';

/** A figure of the library with the path that leads to it, such as 'temperatures.0'. */
export type CareFigure = Cited & { path: string };

/** Every figure inside a species, a UV zone or a list of them: whatever carries a source and a grade. */
export function figuresIn(value: unknown, path = ''): CareFigure[] {
  if (typeof value !== 'object' || value === null) return [];
  const deeper = Object.entries(value).flatMap(([key, inner]) =>
    figuresIn(inner, path === '' ? key : `${path}.${key}`),
  );
  return 'source' in value && 'grade' in value ? [{ ...(value as Cited), path }, ...deeper] : deeper;
}

/** A target on which sources of the library disagree, and how many different answers they give. */
type Disagreement = { about: 'uv-zone' | 'space' | 'uv-ceiling'; of: string; answers: number };

/** How many species and figures the library holds, how many of each grade and standing, and each target on which its sources disagree. */
export type CareFigures = {
  species: number;
  figures: number;
  byGrade: Record<Grade, number>;
  byStanding: Record<Standing, number>;
  disagreements: Disagreement[];
};

/**
 * Counts the figures of a library, those of species and of UV zones alike. Sources disagree where they put a species in different zones,
 * ask different space for it, or give different highest exposures for a zone; a disagreement that only a note tells of is not counted.
 * `of` is the id of the species, or the number of the zone. Throws when a figure's source is not in the library.
 */
export function countCareFigures(library: CareLibrary): CareFigures {
  const figures = figuresIn([library.species, library.uvZones]);
  const standings = figures.map((figure) => findSource(library, figure.source).standing);
  const disagreements = [
    ...library.species.flatMap(({ id, uv, space }): Disagreement[] => [
      { about: 'uv-zone', of: id, answers: distinct(uv.zones.map(({ zone }) => zone)) },
      { about: 'space', of: id, answers: distinct(space.map(({ shape }) => shape)) },
    ]),
    ...library.uvZones.map(
      ({ zone, ceilings }): Disagreement => ({
        about: 'uv-ceiling',
        of: String(zone),
        answers: distinct(ceilings.map(({ uvi }) => uvi)),
      }),
    ),
  ].filter(({ answers }) => answers > 1);
  return {
    species: library.species.length,
    figures: figures.length,
    byGrade: tally(
      GRADES,
      figures.map(({ grade }) => grade),
    ),
    byStanding: tally(STANDINGS, standings),
    disagreements,
  };
}

/** How many figures a species has, and how many by each kind of source. */
export type FigureCount = { figures: number; byStanding: Record<Standing, number> };

/** Counts the figures of one species. Throws when a figure's source is not in the library. */
export function countFiguresOf(species: Species, library: CareLibrary): FigureCount {
  const standings = figuresIn(species).map((figure) => findSource(library, figure.source).standing);
  return { figures: standings.length, byStanding: tally(STANDINGS, standings) };
}

/** The share (0-1) of figures that were read in a publication or in a text that quotes one. */
export function shareRead({ figures, byStanding }: FigureCount): number {
  return figures === 0 ? 0 : (byStanding.published + byStanding.secondary) / figures;
}

/**
 * The figures of temperature and humidity whose notes name another figure: a number outside brackets, where works are cited. Stages of
 * life and seasons are left out. The notes are prose, so what they say is not turned into targets.
 */
export function figuresWithOthers({ temperatures, humidity }: Species): CareFigure[] {
  return figuresIn({ temperatures, humidity }).filter(({ note = '' }) => /\d/.test(note.replace(/\([^)]*\)/g, '')));
}

function tally<Word extends string>(words: readonly Word[], found: Word[]): Record<Word, number> {
  const counts = words.map((word) => [word, found.filter((one) => one === word).length]);
  return Object.fromEntries(counts) as Record<Word, number>;
}

function distinct(values: unknown[]): number {
  return new Set(values.map((value) => JSON.stringify(value))).size;
}

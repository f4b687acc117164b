// How a species is found in the library: by words of any of its names and by what is wanted of it, and what to loosen when none is left.

import { countFiguresOf, shareRead } from './care-figures.ts';
import type { CareLibrary, Species, UvZone } from './species.ts';

/** How much of what is known of a species was read in a source: a third or more of its figures, a quarter or more, less than a quarter. */
export const KNOWN_LEVELS = ['third', 'quarter', 'less'] as const;
export type KnownLevel = (typeof KNOWN_LEVELS)[number];

/** What is wanted of a species; null or an empty text where anything will do. */
export type WantedSpecies = {
  /** Words that its names must hold, in any order and in any of its names. */
  words: string;
  group: Species['group'] | null;
  habit: Species['habit'] | null;
  activity: Species['activity'] | null;
  /** A zone that any of its sources puts it in. */
  zone: UvZone | null;
  uv: 'required' | 'optional' | null;
  outdoors: 'yes' | 'no' | null;
  /** Only species of which the keeper has an animal. */
  kept: 'yes' | null;
  known: KnownLevel | null;
};

/** One thing that can be wanted of a species. */
export type Criterion = keyof WantedSpecies;

/** The species found, by common name; without any, how many there would be if one thing were not wanted, for those that leave some. */
export type FoundSpecies = { found: Species[]; without: { criterion: Criterion; count: number }[] };

const CRITERIA: readonly Criterion[] = [
  'words',
  'group',
  'habit',
  'activity',
  'zone',
  'uv',
  'outdoors',
  'kept',
  'known',
];

/** What is asked for in a search, in the order it is shown; nothing when any species will do. */
export function criteriaOf(wanted: WantedSpecies): Criterion[] {
  return CRITERIA.filter((one) => (one === 'words' ? wordsOf(wanted.words).length > 0 : wanted[one] !== null));
}

/** The species that fit everything that is wanted. Case and accents of names do not matter. `keptIds` are the species that are kept. */
export function searchSpecies(library: CareLibrary, keptIds: ReadonlySet<string>, wanted: WantedSpecies): FoundSpecies {
  const asked = criteriaOf(wanted);
  const unmet = library.species.map((species) => ({ species, fails: asked.filter((one) => !fits(species, one)) }));
  const found = unmet
    .flatMap(({ species, fails }) => (fails.length === 0 ? [species] : []))
    .toSorted((a, b) => a.commonName.localeCompare(b.commonName, 'en'));
  if (found.length > 0) return { found, without: [] };
  const without = asked.map((criterion) => ({
    criterion,
    count: unmet.filter(({ fails }) => fails.length === 1 && fails[0] === criterion).length,
  }));
  return { found, without: without.filter(({ count }) => count > 0) };

  function fits(species: Species, criterion: Criterion): boolean {
    switch (criterion) {
      case 'words': {
        const names = plain(
          [species.commonName, species.scientificName, ...species.otherNames, ...species.synonyms].join(' '),
        );
        return wordsOf(wanted.words).every((word) => names.includes(word));
      }
      case 'group':
      case 'habit':
      case 'activity':
        return species[criterion] === wanted[criterion];
      case 'zone':
        return species.uv.zones.some(({ zone }) => zone === wanted.zone);
      case 'uv':
        return (species.uv.need === 'required') === (wanted.uv === 'required');
      case 'outdoors':
        return (species.outdoors !== null) === (wanted.outdoors === 'yes');
      case 'kept':
        return keptIds.has(species.id);
      case 'known': {
        const share = shareRead(countFiguresOf(species, library));
        if (wanted.known === 'less') return share < 1 / 4;
        return share >= (wanted.known === 'third' ? 1 / 3 : 1 / 4);
      }
    }
  }
}

/**
 * The species whose names come nearest to what was typed, for when none holds it: names that begin alike, or differ by slips of the pen. The best
 * first, at most `most`; empty when nothing comes near.
 */
export function nearestSpecies({ species }: CareLibrary, typed: string, most = 6): Species[] {
  const words = wordsOf(typed).filter((one) => one.length > 2);
  const ranked = species.map((one) => {
    const names = wordsOf([one.commonName, one.scientificName, ...one.otherNames, ...one.synonyms].join(' ')).flatMap(
      (name) => [name, ...name.split('-')],
    );
    const nearness = words.map((word) => Math.max(...names.map((name) => likeness(word, name))));
    return { one, nearness: nearness.reduce((sum, each) => sum + each, 0) };
  });
  return ranked
    .filter(({ nearness }) => nearness > 0)
    .toSorted((a, b) => b.nearness - a.nearness || a.one.commonName.localeCompare(b.one.commonName, 'en'))
    .slice(0, most)
    .map(({ one }) => one);
}

// From 0 to 1: how much of two words is the same from the start, as nicknames are cut off, or at most half of the letters wrong. Our own choice.
function likeness(typed: string, name: string): number {
  let alike = 0;
  while (alike < Math.min(typed.length, name.length) && typed[alike] === name[alike]) alike += 1;
  if (alike >= 3) return alike / Math.max(typed.length, alike);
  const wrong = slips(typed, name);
  return typed.length > 3 && wrong * 2 <= typed.length ? 1 - wrong / typed.length : 0;
}

// How many letters are wrong, missing, too many or exchanged with their neighbour between two words (Damerau 1964).
function slips(a: string, b: string): number {
  let [before, row] = [[] as number[], Array.from({ length: b.length + 1 }, (_, place) => place)];
  for (let i = 1; i <= a.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const replaced = row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      const exchanged =
        i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1] ? before[j - 2]! + 1 : replaced;
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, replaced, exchanged));
    }
    [before, row] = [row, next];
  }
  return row[b.length]!;
}

function wordsOf(text: string): string[] {
  return plain(text).split(' ').filter(Boolean);
}

function plain(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').replace(/[’']/g, '').toLowerCase();
}

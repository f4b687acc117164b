// What it means to put one's own value in place of a shipped one: exactly the figure it names is another, for exactly the animals it is for.

import { describe, expect, it } from 'vitest';
import { checkSpecies, readCareLibrary } from '../../seed/library.ts';
import { plainMonth } from '../../src/calendar.ts';
import { figuresIn } from '../../src/care-figures.ts';
import {
  bareValue,
  beforeChanges,
  copyOf,
  type FigureKey,
  type FigureValue,
  figureIn,
  figuresOf,
  isSameValue,
  keepersLibrary,
  keptWhole,
  librarySpecies,
  missingFigures,
  type Override,
  readFigureKey,
  shippedChanges,
  snapshotOf,
  speciesFile,
  withFigure,
} from '../../src/care-overrides.ts';
import type { SpaceRule, Species } from '../../src/species.ts';
import { findSource, findSpecies, speciesOf, targetsFor } from '../../src/species.ts';

const shipped = readCareLibrary();
const cases = shipped.species.flatMap((species) => figuresOf(species).map((key) => ({ species, key })));

/** Another value of the same figure: numbers one higher, choices another, lists without their first. */
function another(value: FigureValue): FigureValue {
  const deep = (one: unknown): unknown => {
    if (typeof one === 'number') return one + 1;
    if (Array.isArray(one)) return one.map(deep);
    if (typeof one !== 'object' || one === null) return one;
    return Object.fromEntries(Object.entries(one).map(([name, inner]) => [name, deep(inner)]));
  };
  if ('need' in value) return { need: value.need === 'required' ? 'optional-no-response-shown' : 'required' };
  if ('features' in value) return { ...value, lifeCritical: !value.lifeCritical };
  if ('zones' in value) return { zones: value.zones.length === 1 ? ['high', 'cool'] : value.zones.slice(1) };
  if ('kinds' in value) return { kinds: value.kinds.length === 1 ? ['dig', 'swim'] : value.kinds.slice(1) };
  return deep(value) as FigureValue;
}

const ownSpace = {
  ruleSet: 'own',
  title: 'What my vet said',
  basis: 'guidance',
  jurisdiction: null,
  covers: { animals: 'mine', adultsOnly: false, upToMm: null },
  measure: null,
  lengthFrom: [],
  forAnimals: 1,
  further: null,
  shape: { by: 'fixed', lengthMm: 2000, depthMm: 800, heightMm: 800 },
  heightCapMm: null,
} satisfies Omit<SpaceRule, 'source' | 'grade'>;

function overrideOf(speciesId: string, figure: FigureKey, value: FigureValue, parts: Partial<Override> = {}): Override {
  const source = { title: 'My vet', year: 2025, address: '' };
  return {
    id: '7',
    speciesId,
    animalId: null,
    figure,
    value,
    source,
    grade: 'agreed-practice',
    note: '',
    shipped: null,
    ...parts,
  };
}

function valueIn(species: Species, key: FigureKey): FigureValue | null {
  const content = figureIn(species, key);
  return content === null ? null : bareValue(content);
}

/** The figures that differ between two species, and whether anything else does. */
function differences(one: Species, other: Species): FigureKey[] {
  const keys = [...new Set([...figuresOf(one), ...figuresOf(other)])];
  return keys.filter((key) => !isSameValue(valueIn(one, key), valueIn(other, key)));
}

describe('a figure', () => {
  it('read from a species and put back leaves the species as it was', () => {
    expect(cases.length).toBeGreaterThan(150);
    for (const { species, key } of cases) expect(withFigure(species, key, figureIn(species, key)!)).toEqual(species);
  });

  it('is named by its key, and nothing else is', () => {
    for (const { key } of cases) expect(readFigureKey(key)).toBe(key);
    for (const text of [
      '',
      'body',
      'temperature-body',
      'night-air',
      'winter-rest.space',
      'summer.humidity',
      '__proto__',
    ])
      expect(readFigureKey(text)).toBeNull();
  });

  it('is the same value whatever order its fields are in', () => {
    expect(isSameValue({ atMost: 2, atMostMales: 1 }, { atMostMales: 1, atMost: 2 })).toBe(true);
    expect(isSameValue({ atMost: 2, atMostMales: 1 }, { atMostMales: 2, atMost: 1 })).toBe(false);
  });

  it('is either there or could be given, the depth of water only where there is water', () => {
    for (const species of shipped.species) {
      const missing = missingFigures(species);
      expect(missing.filter((key) => figuresOf(species).includes(key))).toEqual([]);
      expect(missing.includes('water-depth')).toBe(species.water !== null && species.water.depth === null);
    }
  });
});

describe('a library', () => {
  it('without values or species of the keeper is the shipped one itself', () => {
    expect(keepersLibrary(shipped, { species: [], overrides: [] })).toBe(shipped);
  });

  it('with one value differs in exactly the figure it names, and names the keeper’s source', () => {
    let tried = 0;
    for (const { species, key } of cases) {
      const value = key === 'space' ? [ownSpace] : another(valueIn(species, key)!);
      const library = keepersLibrary(shipped, { species: [], overrides: [overrideOf(species.id, key, value)] });
      expect(library.uvZones).toBe(shipped.uvZones);
      expect(library.individuals).toEqual([]);
      for (const one of shipped.species) {
        const now = findSpecies(library, one.id);
        if (one.id === species.id) expect(differences(one, now), `${one.id} ${key}`).toEqual([key]);
        else expect(now).toEqual(one);
      }
      const now = findSpecies(library, species.id);
      const kept = key === 'space' ? now.space.slice(-1) : figureIn(now, key)!;
      expect(isSameValue(bareValue(kept), value), `${species.id} ${key}`).toBe(true);
      const cited = figuresIn(kept).map(({ source }) => source);
      expect(new Set(cited)).toEqual(new Set(['own-value-7']));
      expect(findSource(library, 'own-value-7')).toMatchObject({ title: 'My vet', standing: 'own-source' });
      tried += 1;
    }
    expect(tried).toBe(cases.length);
  });

  it('keeps the rules of space of others beside the keeper’s', () => {
    const overrides = [overrideOf('corn-snake', 'space', [ownSpace])];
    const { space } = findSpecies(keepersLibrary(shipped, { species: [], overrides }), 'corn-snake');
    expect(space.slice(0, -1)).toEqual(findSpecies(shipped, 'corn-snake').space);
    expect(space.at(-1)).toMatchObject({ ruleSet: 'own', source: 'own-value-7' });
  });

  it('holds a value for one animal against that animal alone, over the value for its species', () => {
    const night = valueIn(findSpecies(shipped, 'leopard-gecko'), 'temperature-night-air')!;
    const at = (low: number) => ({ ...night, low }) as FigureValue;
    const overrides = [
      overrideOf('leopard-gecko', 'temperature-night-air', at(19)),
      overrideOf('leopard-gecko', 'temperature-night-air', at(22), { id: '8', animalId: '3' }),
      overrideOf('leopard-gecko', 'grouping', { atMost: 2, atMostMales: null }, { id: '9' }),
    ];
    const library = keepersLibrary(shipped, { species: [], overrides });
    const nightOf = (id: string) => {
      const animal = { id, speciesId: 'leopard-gecko', hatchedOn: null, seasons: [] };
      const targets = targetsFor(speciesOf(library, animal), animal, plainMonth('2026-01'));
      return [targets.temperatures.find((one) => one.kind === 'night-air')?.low, targets.grouping.atMost];
    };
    expect(nightOf('3')).toEqual([22, 2]);
    expect(nightOf('4')).toEqual([19, 2]);
  });

  it('holds an animal with a rule of space of its own against that one, not against the one for its species too', () => {
    const overrides = [
      overrideOf('corn-snake', 'space', [ownSpace]),
      overrideOf('corn-snake', 'space', [ownSpace], { id: '8', animalId: '3' }),
    ];
    const { individuals } = keepersLibrary(shipped, { species: [], overrides });
    const own = individuals!.flatMap(({ species }) => species.space.filter(({ ruleSet }) => ruleSet === 'own'));
    expect(own.map(({ source }) => source)).toEqual(['own-value-8']);
  });

  it('waits with a value for a species, or a season, that is not there', () => {
    const overrides = [
      overrideOf('unicorn', 'grouping', { atMost: 2, atMostMales: null }),
      overrideOf('leopard-gecko', 'winter-rest.humidity', valueIn(findSpecies(shipped, 'leopard-gecko'), 'humidity')!),
    ];
    expect(keepersLibrary(shipped, { species: [], overrides }).species).toEqual(shipped.species);
  });
});

describe('an own species', () => {
  const names = {
    id: 'shade-gecko',
    commonName: 'Shade gecko',
    scientificName: 'Eublepharis umbra',
    otherNames: [],
    group: 'lizard',
    activity: 'night',
    habit: 'ground',
  } as const;

  it('copied from a relative says so at every figure, is graded no better than from nearby, and keeps to the rules', () => {
    for (const relative of shipped.species) {
      const { id, commonName, scientificName, otherNames, group, activity, habit } = relative;
      const own = { id: `${id}-copy`, commonName, scientificName, otherNames, group, activity, habit };
      const copy = copyOf(relative, own);
      const marks = figuresIn(copy);
      expect(marks.length).toBe(figuresIn({ ...relative, legal: [] }).length);
      for (const { note } of marks) expect(note).toContain(`Copied from ${commonName}, check before relying on it.`);
      expect(marks.map(({ grade }) => grade)).not.toContain('tested-on-species');
      expect(differences(relative, copy)).toEqual([]);
      expect(checkSpecies(copy, shipped.sources)).toMatchObject({ status: 'ok' });
    }
  });

  it('stands beside the shipped ones, and keeps a source that ships no more', () => {
    const copy = copyOf(findSpecies(shipped, 'leopard-gecko'), { ...names, otherNames: [] });
    const own = keptWhole(copy, shipped.sources);
    const later = { ...shipped, sources: shipped.sources.filter(({ id }) => id !== 'gould-2018') };
    for (const base of [shipped, later]) {
      const library = librarySpecies(base, [own]);
      expect(library.species).toHaveLength(shipped.species.length + 1);
      for (const { source } of figuresIn(findSpecies(library, names.id)))
        expect(findSource(library, source).title).not.toBe('');
    }
    expect(findSpecies(librarySpecies(later, [own]), names.id).uv.needCited.source).toBe('shade-gecko-gould-2018');
  });

  it('stands before a shipped one with its id, and of two sources with one id keeps the first', () => {
    const gecko = findSpecies(shipped, 'leopard-gecko');
    const library = librarySpecies(shipped, [{ species: { ...gecko, commonName: 'My gecko' }, sources: [] }]);
    expect(library.species).toHaveLength(shipped.species.length);
    expect(findSpecies(library, 'leopard-gecko').commonName).toBe('My gecko');
    const second = shipped.sources.map((one) => ({ ...one, title: 'Another' }));
    expect(keptWhole(gecko, [...shipped.sources, ...second])).toEqual(keptWhole(gecko, shipped.sources));
  });

  it('written to a file and read again is the same file, and a shipped one is its own', () => {
    for (const species of shipped.species) expect(speciesFile(species, shipped, shipped)).toBe(species);
    const copy = copyOf(findSpecies(shipped, 'leopard-gecko'), { ...names, otherNames: [] });
    const first = keepersLibrary(shipped, {
      species: [keptWhole(copy, shipped.sources)],
      overrides: [
        overrideOf(names.id, 'grouping', { atMost: 3, atMostMales: 1 }),
        overrideOf(names.id, 'space', [ownSpace], { id: '8' }),
      ],
    });
    const file = speciesFile(findSpecies(first, names.id), first, shipped);
    expect(file.sources?.map(({ id }) => id).toSorted()).toEqual(['own-1', 'own-2']);
    const read = checkSpecies(JSON.parse(JSON.stringify(file)), shipped.sources);
    if (read.status === 'bad') throw new Error(JSON.stringify(read.faults));
    const again = librarySpecies(shipped, [keptWhole(read.species, [...shipped.sources, ...read.sources])]);
    expect(speciesFile(findSpecies(again, names.id), again, shipped)).toEqual(file);
  });
});

describe('an update of the shipped figures', () => {
  it('that changed nothing is none, and a new source alone changes no target', () => {
    expect(shippedChanges(snapshotOf(shipped), shipped)).toEqual([]);
    const gecko = findSpecies(shipped, 'leopard-gecko');
    const cited = withFigure(gecko, 'grouping', { ...gecko.grouping, source: 'memory', grade: 'hearsay' });
    const library = { ...shipped, species: shipped.species.map((one) => (one.id === gecko.id ? cited : one)) };
    expect(shippedChanges(snapshotOf(shipped), library)).toEqual([]);
    expect(shippedChanges({}, shipped)).toEqual([]);
  });

  it('names each changed figure, and can be taken back to what was before', () => {
    for (const { species, key } of cases) {
      const cited = { source: 'practice', grade: 'agreed-practice' } as const;
      const value = key === 'space' ? [ownSpace] : another(valueIn(species, key)!);
      const content = Array.isArray(value) ? value.map((one) => ({ ...one, ...cited })) : { ...value, ...cited };
      const earlier = snapshotOf({ ...shipped, species: [species] });
      const library = { ...shipped, species: [withFigure(species, key, content as never)] };
      const changes = shippedChanges(earlier, library);
      expect(changes.map((one) => [one.speciesId, one.figure])).toEqual([[species.id, key]]);
      expect(findSpecies(beforeChanges(library, changes), species.id)).toEqual(species);
    }
  });

  it('that brought a figure there was not before can be taken back too', () => {
    const optional = cases.filter(({ key }) => !/^(humidity|uv-need|uv-hours|grouping|adult-size|growth)$/.test(key));
    for (const { species, key } of optional) {
      const library = { ...shipped, species: [species] };
      const earlier = snapshotOf(library);
      delete earlier[species.id]![key];
      const changes = shippedChanges(earlier, library);
      expect(changes).toMatchObject([{ figure: key, before: null }]);
      expect(figureIn(beforeChanges(library, changes).species[0]!, key), `${species.id} ${key}`).toBeNull();
      // The depth of water goes with the water; nothing else goes along.
      const gone = differences(species, beforeChanges(library, changes).species[0]!);
      expect(gone.filter((one) => key !== 'water-features' || one !== 'water-depth')).toEqual([key]);
    }
    expect(optional.length).toBeGreaterThan(100);
  });
});

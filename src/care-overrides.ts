// How a keeper's own values and species stand in place of what ships with the ledger: which figures there are, what it means to replace
// one, which library scores are made from then, and what an update of the shipped figures changed. Refuses to know whether a value is
// believable.

import type {
  CareLibrary,
  Cited,
  Grade,
  HumidityTarget,
  Source,
  SpaceRule,
  Species,
  TemperatureKind,
  TemperatureTarget,
  UvTarget,
  WaterTarget,
} from './species.ts';

/** The temperatures that places are held against; that of the body is no target of a place. */
const PLACE_TEMPERATURES = [
  'hot-spot-surface',
  'warm-hide-floor',
  'warm-air',
  'cool-end-air',
  'night-air',
  'water',
] as const satisfies readonly TemperatureKind[];
type PlaceTemperature = (typeof PLACE_TEMPERATURES)[number];

/** The stages and seasons that have figures of their own. */
const TIMES = ['hatchling', 'juvenile', 'cooling', 'winter-rest'] as const;
export type Time = (typeof TIMES)[number];

/** Every kind of figure that a score hangs on. */
export const FIGURE_NAMES = [
  ...PLACE_TEMPERATURES.map((kind) => `temperature-${kind}` as const),
  'uv-need',
  'uv-zones',
  'uv-hours',
  'humidity',
  'water-features',
  'water-depth',
  'space',
  'hides',
  'enrichment',
  'grouping',
  'adult-size',
  'growth',
  'outdoors',
] as const;
export type FigureName = (typeof FIGURE_NAMES)[number];

/** One figure of a species: its usual one, or that of a stage or season ('winter-rest.temperature-night-air'). */
export type FigureKey = FigureName | `${Time}.${`temperature-${PlaceTemperature}` | 'humidity'}`;

/** What a figure consists of, with its sources. */
export type FigureContent =
  | TemperatureTarget
  | ({ need: UvTarget['need'] } & Cited)
  | UvTarget['zones']
  | UvTarget['hours']
  | HumidityTarget
  | Omit<WaterTarget, 'depth'>
  | NonNullable<WaterTarget['depth']>
  | SpaceRule[]
  | Species['hides']
  | Species['enrichment']
  | Species['grouping']
  | Species['adultSize']
  | Species['growth']
  | NonNullable<Species['outdoors']>;

type WithoutSource<Content> = Content extends readonly (infer Item)[]
  ? WithoutSource<Item>[]
  : Content extends Cited
    ? Omit<Content, keyof Cited>
    : never;

/** The same without its sources: a value as such. */
export type FigureValue = WithoutSource<FigureContent>;

/** A keeper's value in place of a shipped one, for a species or for one animal of it. `shipped` is what it stood in place of when it was made. */
export type Override = {
  id: string;
  speciesId: string;
  animalId: string | null;
  figure: FigureKey;
  value: FigureValue;
  source: { title: string; year: number | null; address: string };
  grade: Grade;
  note: string;
  shipped: FigureValue | null;
};

/** A species that the keeper added, with the sources it cites. */
export type OwnSpecies = { species: Species; sources: Source[] };

/** The stage or season of a figure, null for the usual one, and its kind. */
export function partsOfKey(key: FigureKey): { time: Time | null; name: FigureName } {
  const dot = key.indexOf('.');
  return dot === -1
    ? { time: null, name: key as FigureName }
    : { time: key.slice(0, dot) as Time, name: key.slice(dot + 1) as FigureName };
}

/** The figure that a text names; null when it names none. */
export function readFigureKey(text: string): FigureKey | null {
  const { time, name } = partsOfKey(text as FigureKey);
  if (!FIGURE_NAMES.includes(name)) return null;
  if (time === null) return name;
  return TIMES.includes(time) && isSeasonal(name) ? (text as FigureKey) : null;
}

/** The kind of temperature that a figure is of; null for any other figure. */
export function temperatureKindOf(key: FigureKey): PlaceTemperature | null {
  const { name } = partsOfKey(key);
  return name.startsWith('temperature-') ? (name.slice('temperature-'.length) as PlaceTemperature) : null;
}

function isSeasonal(name: FigureName): boolean {
  return name === 'humidity' || name.startsWith('temperature-');
}

function isOf(when: Species['profiles'][number]['when'], time: Time): boolean {
  return ('stage' in when && when.stage === time) || ('season' in when && when.season === time);
}

/** The figures that a species has, those of its stages and seasons last. Space counts as one figure, all its rules together. */
export function figuresOf(species: Species): FigureKey[] {
  const keys: FigureKey[] = [
    ...FIGURE_NAMES,
    ...TIMES.flatMap((time) => FIGURE_NAMES.filter(isSeasonal).map((name) => `${time}.${name}` as FigureKey)),
  ];
  return keys.filter((key) => figureIn(species, key) !== null);
}

/** The figures that a species does not have and that could be given. A stage or season without its own keeps to the usual ones. */
export function missingFigures(species: Species): FigureKey[] {
  return FIGURE_NAMES.filter(
    (name) => figureIn(species, name) === null && (name !== 'water-depth' || species.water !== null),
  );
}

/** A figure of a species; null when it has none. */
export function figureIn(species: Species, key: FigureKey): FigureContent | null {
  const { time, name } = partsOfKey(key);
  const profile = time === null ? null : species.profiles.find(({ when }) => isOf(when, time));
  if (profile === undefined) return null;
  const kind = temperatureKindOf(key);
  if (kind !== null) {
    const temperatures = profile === null ? species.temperatures : profile.temperatures;
    return temperatures?.find((one) => one.kind === kind) ?? null;
  }
  if (name === 'humidity') return (profile === null ? species.humidity : profile.humidity) ?? null;
  const { uv, water } = species;
  const some = <Content extends FigureContent>(list: readonly unknown[], content: Content) =>
    list.length === 0 ? null : content;
  switch (name) {
    case 'uv-need':
      return { need: uv.need, ...uv.needCited };
    case 'uv-zones':
      return some(uv.zones, uv.zones);
    case 'uv-hours':
      return uv.hours;
    case 'water-features': {
      if (water === null) return null;
      const { depth: _, ...rest } = water;
      return rest;
    }
    case 'water-depth':
      return water?.depth ?? null;
    case 'space':
      return some(species.space, species.space);
    case 'hides':
      return some(species.hides.zones, species.hides);
    case 'enrichment':
      return some(species.enrichment.kinds, species.enrichment);
    case 'grouping':
      return species.grouping;
    case 'adult-size':
      return species.adultSize;
    case 'growth':
      return species.growth;
    case 'outdoors':
      return species.outdoors;
    default:
      return null;
  }
}

/**
 * The species with one figure replaced, or added where it had none, and everything else as it was. Unchanged when there is nothing that
 * the figure could belong to: a season without targets of its own, the depth of water that is not there.
 */
export function withFigure(species: Species, key: FigureKey, content: FigureContent): Species {
  const { time, name } = partsOfKey(key);
  const temperaturesWith = (all: readonly TemperatureTarget[]): TemperatureTarget[] => {
    const target = content as TemperatureTarget;
    const at = all.findIndex((one) => one.kind === target.kind);
    return at === -1 ? [...all, target] : all.with(at, target);
  };
  if (time !== null) {
    if (figureIn(species, key) === null) return species;
    const at = species.profiles.findIndex(({ when }) => isOf(when, time));
    const profile = species.profiles[at]!;
    const changed =
      name === 'humidity'
        ? { ...profile, humidity: content as HumidityTarget }
        : { ...profile, temperatures: temperaturesWith(profile.temperatures!) };
    return { ...species, profiles: species.profiles.with(at, changed) };
  }
  if (temperatureKindOf(key) !== null) return { ...species, temperatures: temperaturesWith(species.temperatures) };
  const { uv, water } = species;
  switch (name) {
    case 'uv-need': {
      const { need, ...needCited } = content as { need: UvTarget['need'] } & Cited;
      return { ...species, uv: { ...uv, need, needCited } };
    }
    case 'uv-zones':
      return { ...species, uv: { ...uv, zones: content as UvTarget['zones'] } };
    case 'uv-hours':
      return { ...species, uv: { ...uv, hours: content as UvTarget['hours'] } };
    case 'humidity':
      return { ...species, humidity: content as HumidityTarget };
    case 'water-features':
      return { ...species, water: { depth: null, ...water, ...(content as Omit<WaterTarget, 'depth'>) } };
    case 'water-depth':
      return water === null ? species : { ...species, water: { ...water, depth: content as WaterTarget['depth'] } };
    case 'space':
      return { ...species, space: content as SpaceRule[] };
    case 'hides':
      return { ...species, hides: content as Species['hides'] };
    case 'enrichment':
      return { ...species, enrichment: content as Species['enrichment'] };
    case 'grouping':
      return { ...species, grouping: content as Species['grouping'] };
    case 'adult-size':
      return { ...species, adultSize: content as Species['adultSize'] };
    case 'growth':
      return { ...species, growth: content as Species['growth'] };
    case 'outdoors':
      return { ...species, outdoors: content as Species['outdoors'] };
    default:
      return species;
  }
}

/** A figure without its sources, grades and notes, so that two can be compared as values. */
export function bareValue(content: FigureContent): FigureValue {
  return withoutSources(content) as FigureValue;
}

function withoutSources(content: unknown): unknown {
  if (Array.isArray(content)) return content.map(withoutSources);
  if (typeof content !== 'object' || content === null) return content;
  const rest = Object.entries(content).filter(([name]) => name !== 'source' && name !== 'grade' && name !== 'note');
  return Object.fromEntries(rest.map(([name, inner]) => [name, withoutSources(inner)]));
}

/** Whether two values are the same, whatever order their fields are in. */
export function isSameValue(one: FigureValue | null, other: FigureValue | null): boolean {
  return canonical(one) === canonical(other);
}

function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null';
  const fields = Object.entries(value).filter(([, inner]) => inner !== undefined);
  fields.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${fields.map(([name, inner]) => `${JSON.stringify(name)}:${canonical(inner)}`).join(',')}}`;
}

function ownSourceId(overrideId: string): string {
  return `own-value-${overrideId}`;
}

/** A species with one of the keeper's values in it. Rules of space keep those of others beside the keeper's, which stands in place of them. */
export function overridden(species: Species, override: Omit<Override, 'shipped' | 'speciesId' | 'animalId'>): Species {
  const cited: Cited = {
    source: ownSourceId(override.id),
    grade: override.grade,
    ...(override.note === '' ? {} : { note: override.note }),
  };
  const { figure, value } = override;
  const content = (
    Array.isArray(value) ? value.map((one) => ({ ...one, ...cited })) : { ...value, ...cited }
  ) as FigureContent;
  if (figure !== 'space') return withFigure(species, figure, content);
  const others = species.space.filter((rule) => rule.ruleSet !== 'own');
  return withFigure(species, figure, [...others, ...(content as SpaceRule[])]);
}

/**
 * The library that scores are made from: what ships, the keeper's own species beside it, and every override in force. Without either it
 * is the shipped one. An own species stands before a shipped one with its id; an override of a species that is not there waits.
 */
export function keepersLibrary(
  shipped: CareLibrary,
  own: { species: readonly OwnSpecies[]; overrides: readonly Override[] },
): CareLibrary {
  if (own.species.length === 0 && own.overrides.length === 0) return shipped;
  const base = librarySpecies(shipped, own.species);
  const forSpecies = (species: Species): Species =>
    own.overrides.filter((one) => one.animalId === null && one.speciesId === species.id).reduce(overridden, species);
  const species = base.species.map(forSpecies);
  const animals = [...new Set(own.overrides.flatMap(({ animalId }) => animalId ?? []))];
  return {
    ...shipped,
    species,
    sources: [...base.sources, ...own.overrides.map(ownSource)],
    individuals: animals.flatMap((animalId) =>
      species.flatMap((one) => {
        const theirs = own.overrides.filter((each) => each.animalId === animalId && each.speciesId === one.id);
        return theirs.length === 0 ? [] : [{ animalId, species: theirs.reduce(overridden, one) }];
      }),
    ),
  };
}

/** What ships and the keeper's own species, with no value overridden. */
export function librarySpecies(shipped: CareLibrary, own: readonly OwnSpecies[]): CareLibrary {
  if (own.length === 0) return shipped;
  const named = own.map((one) => namedApart(one, shipped.sources));
  const ids = new Set(own.map(({ species }) => species.id));
  return {
    ...shipped,
    species: [...shipped.species.filter(({ id }) => !ids.has(id)), ...named.map(({ species }) => species)],
    sources: [...shipped.sources, ...named.flatMap(({ sources }) => sources)],
  };
}

/** The source of a keeper's value as a library holds it. */
export function ownSource({ id, source: { title, year, address } }: Pick<Override, 'id' | 'source'>): Source {
  const body = 'entered by the keeper';
  return { id: ownSourceId(id), title, body, year, section: '', address, standing: 'own-source' };
}

// Two species may each bring a source under one id, so that those which do not ship are named after their species.
function namedApart({ species, sources }: OwnSpecies, shipped: readonly Source[]): OwnSpecies {
  const known = new Set(shipped.map(({ id }) => id));
  const apart = sources.filter(({ id }) => !known.has(id));
  const names = new Map(apart.map(({ id }) => [id, `${species.id}-${id}`]));
  return {
    species: withSources(species, (id) => names.get(id) ?? id),
    sources: apart.map((source) => ({ ...source, id: names.get(source.id)! })),
  };
}

/** A species whose figures cite their sources under other ids. */
function withSources(species: Species, rename: (id: string) => string): Species {
  const deep = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(deep);
    if (typeof value !== 'object' || value === null) return value;
    const cites = 'source' in value && 'grade' in value;
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [
        name,
        cites && name === 'source' ? rename(inner as string) : deep(inner),
      ]),
    );
  };
  return deep(species) as Species;
}

/** The ids of the sources that a species cites, in the order in which it cites them first. */
function citedBy(species: Species): string[] {
  const ids = new Set<string>();
  withSources(species, (id) => {
    ids.add(id);
    return id;
  });
  return [...ids];
}

/**
 * A species as a file: with the sources that do not ship, numbered in the order in which it cites them, so that a file that was brought
 * along comes out as it went in. A species that ships has none.
 */
export function speciesFile(
  species: Species,
  library: CareLibrary,
  shipped: CareLibrary,
): Species & { sources?: Source[] } {
  const known = new Set(shipped.sources.map(({ id }) => id));
  const apart = citedBy(species).filter((id) => !known.has(id));
  if (apart.length === 0) return species;
  const names = new Map(apart.map((id, place) => [id, `own-${place + 1}`]));
  return {
    ...withSources(species, (id) => names.get(id) ?? id),
    sources: apart.map((id) => ({ ...library.sources.find((source) => source.id === id)!, id: names.get(id)! })),
  };
}

/**
 * A species to keep, with every source it cites, so that it stays readable when one of them no longer ships. Of two sources with one id
 * the first is meant.
 */
export function keptWhole(species: Species, sources: readonly Source[]): OwnSpecies {
  const named = new Map(sources.toReversed().map((source) => [source.id, source]));
  return { species, sources: citedBy(species).flatMap((id) => named.get(id) ?? []) };
}

/**
 * A species begun as a copy of a relative under names of its own: every figure says whose it was and that it must be checked, and none
 * counts as known better than from a relative. What law says of the relative is left out.
 */
export function copyOf(
  relative: Species,
  names: Pick<Species, 'id' | 'commonName' | 'scientificName' | 'otherNames' | 'group' | 'activity' | 'habit'>,
): Species {
  const mark = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(mark);
    if (typeof value !== 'object' || value === null) return value;
    const inner = Object.fromEntries(Object.entries(value).map(([name, deep]) => [name, mark(deep)]));
    if (!('source' in value && 'grade' in value)) return inner;
    const { grade, note } = value as Cited;
    const from = `Copied from ${relative.commonName}, check before relying on it.`;
    return {
      ...inner,
      grade: grade === 'tested-on-species' ? 'studied-nearby' : grade,
      note: note === undefined ? from : `${from} There: ${note}`,
    };
  };
  return { ...(mark(relative) as Species), ...names, synonyms: [], legal: [] };
}

/** The shipped figures of every species as values, to be compared with those of a later version. */
export type Snapshot = Record<string, Partial<Record<FigureKey, FigureContent>>>;

/** The figures of a library as they stand. */
export function snapshotOf(library: CareLibrary): Snapshot {
  return Object.fromEntries(
    library.species.map((species) => [
      species.id,
      Object.fromEntries(figuresOf(species).map((key) => [key, figureIn(species, key)!])),
    ]),
  );
}

/** A shipped figure that is another one than before; null where there was, or is, none. */
export type FigureChange = {
  speciesId: string;
  figure: FigureKey;
  before: FigureContent | null;
  after: FigureContent | null;
};

/** Which figures of species in both are other values now. A new source, grade or note alone changes no target. */
export function shippedChanges(before: Snapshot, library: CareLibrary): FigureChange[] {
  return library.species.flatMap((species) => {
    const earlier = before[species.id];
    if (earlier === undefined) return [];
    const keys = [...new Set([...figuresOf(species), ...(Object.keys(earlier) as FigureKey[])])];
    return keys.flatMap((figure): FigureChange[] => {
      const [then, now] = [earlier[figure] ?? null, figureIn(species, figure)];
      const isSame = isSameValue(then === null ? null : bareValue(then), now === null ? null : bareValue(now));
      return isSame ? [] : [{ speciesId: species.id, figure, before: then, after: now }];
    });
  });
}

/** The library with the changed figures as they were before; one that there was not is taken out again. */
export function beforeChanges(library: CareLibrary, changes: readonly FigureChange[]): CareLibrary {
  return {
    ...library,
    species: library.species.map((species) =>
      changes
        .filter((one) => one.speciesId === species.id)
        .reduce(
          (done, { figure, before }) =>
            before === null ? withoutFigure(done, figure) : withFigure(done, figure, before),
          species,
        ),
    ),
  };
}

function withoutFigure(species: Species, key: FigureKey): Species {
  const { time, name } = partsOfKey(key);
  const kind = temperatureKindOf(key);
  if (time !== null) {
    const profiles = species.profiles.map((profile) => {
      if (!isOf(profile.when, time)) return profile;
      const { humidity, temperatures, ...rest } = profile;
      const left = kind === null ? temperatures : temperatures?.filter((one) => one.kind !== kind);
      return {
        ...rest,
        ...(left === undefined || left.length === 0 ? {} : { temperatures: left }),
        ...(kind === null || humidity === undefined ? {} : { humidity }),
      };
    });
    return { ...species, profiles };
  }
  if (kind !== null) return { ...species, temperatures: species.temperatures.filter((one) => one.kind !== kind) };
  if (name === 'water-features') return { ...species, water: null };
  if (name === 'water-depth' && species.water !== null) return { ...species, water: { ...species.water, depth: null } };
  if (name === 'outdoors') return { ...species, outdoors: null };
  if (name === 'uv-zones') return { ...species, uv: { ...species.uv, zones: [] } };
  if (name === 'space') return { ...species, space: [] };
  if (name === 'hides') return { ...species, hides: { ...species.hides, zones: [] } };
  if (name === 'enrichment') return { ...species, enrichment: { ...species.enrichment, kinds: [] } };
  return species;
}

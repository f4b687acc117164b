// What a species needs: targets by need, each with its source and how well it is known, and which of them apply to one animal in one
// month (its life stage, its season). Refuses to know what any enclosure offers.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { ageInMonths, firstDay, lastDay, monthOfYear } from './calendar.ts';

/** The eight needs that are scored. Water counts only for species that live in or from open water. */
export const NEEDS = ['safety', 'heat', 'uv', 'humidity', 'space', 'hides', 'enrichment', 'water'] as const;
export type Need = (typeof NEEDS)[number];

/** How well a figure is known: controlled work on the species; one study or related species; professional agreement; keepers' custom. */
export const GRADES = ['tested-on-species', 'studied-nearby', 'agreed-practice', 'hearsay'] as const;
export type Grade = (typeof GRADES)[number];

/** What kind of source a figure has. Only 'published' was read where it was first published; 'own-source' is what the keeper entered. */
export const STANDINGS = ['published', 'secondary', 'common-practice', 'from-memory', 'own-source'] as const;
export type Standing = (typeof STANDINGS)[number];

/** A source told in words beside a figure that is no species' own, and how well it stands; 'own-assumption' gives way to what a keeper knows. */
export type Provenance = { source: string; standing: Standing | 'own-assumption' };

/** Where a figure comes from. `address` is a web address or empty; `section` the page, table or clause. */
export type Source = {
  id: string;
  title: string;
  body: string;
  year: number | null;
  section: string;
  address: string;
  standing: Standing;
};

/** Carried by every figure: the id of its source, its grade, and a note where sources disagree. */
export type Cited = { source: string; grade: Grade; note?: string };

/** Kinds of temperature. They are measured at different places and never compared with one another. */
export const TEMPERATURE_KINDS = [
  'hot-spot-surface',
  'warm-hide-floor',
  'warm-air',
  'cool-end-air',
  'night-air',
  'water',
  'body',
] as const;
export type TemperatureKind = (typeof TEMPERATURE_KINDS)[number];

/** Degrees Celsius of one kind of temperature; the type forbids comparing two kinds. */
export type Celsius<K extends TemperatureKind> = number & { readonly kind: K };

/**
 * The band one kind of temperature should lie in (°C), how far outside it the value reaches 0 (°C, above and below apart), and whether
 * missing it on that side threatens life.
 */
export type TemperatureTarget<K extends TemperatureKind = TemperatureKind> = K extends TemperatureKind
  ? {
      kind: K;
      low: Celsius<K>;
      high: Celsius<K>;
      toleranceBelow: number;
      toleranceAbove: number;
      criticalBelow: boolean;
      criticalAbove: boolean;
    } & Cited
  : never;

/** Ferguson zone. */
export type UvZone = 1 | 2 | 3 | 4;

/** What a zone means: the band of mean exposure (UVI) and the highest exposures recorded in the field, one for each source. */
export type UvZoneBand = {
  zone: UvZone;
  meanLow: number;
  meanHigh: number;
  /** Published median exposure where a source gives one (zone 1: 0.35; zone 4: 3.1), else null. */
  median: number | null;
  ceilings: ({ uvi: number } & Cited)[];
} & Cited;

/** Whether UV-B is required, or optional with or without a trial that found a vitamin D response; and the zones sources put it in. */
export type UvTarget = {
  need: 'required' | 'optional-response-found' | 'optional-no-response-shown';
  needCited: Cited;
  zones: ({ zone: UvZone } & Cited)[];
  /** Hours of UV a day. */
  hours: { low: number; high: number } & Cited;
};

/** Bands of relative humidity (%). `tolerance*` is how far outside the value reaches 0. Without a night band the day band holds. */
export type HumidityTarget = {
  day: { low: number; high: number };
  night: { low: number; high: number } | null;
  toleranceBelow: number;
  toleranceAbove: number;
  moistRetreat: 'required' | 'not-needed';
  lifeCritical: boolean;
} & Cited;

/** Whether a band takes in every humidity there is, as for an animal that lives under water: then no meter need be read. */
export function asksNothingOfAir({ day, night }: HumidityTarget): boolean {
  return day.low === 0 && day.high === 100 && night === null;
}

/** Open water: what must be there, and depth in millimetres or in multiples of the animal's measure (null: no figure known). */
export type WaterTarget = {
  features: ('bathing-dish' | 'swimming-water' | 'filter' | 'dry-dock' | 'easy-exit' | 'quality-tested')[];
  depth: ({ timesBody: number | null; lowMm: number | null; highMm: number | null } & Cited) | null;
  lifeCritical: boolean;
} & Cited;

/**
 * How an animal's length is taken: snout to vent, the whole of a snake or an amphibian, snout to the tip of a lizard's unbroken tail, or
 * straight carapace. One is never turned into another unless a source gives the ratio.
 */
export const MEASURES = ['snout-vent', 'total', 'snout-tail', 'carapace'] as const;
export type Measure = (typeof MEASURES)[number];

/** The rule lists a keeper can choose to be scored against. 'evidence' always applies; 'own', which the keeper wrote, in place of all. */
export const RULE_SETS = [
  'evidence',
  'DE-1997',
  'DE-pages',
  'AT',
  'CH',
  'SE',
  'EU-laboratory',
  'practice',
  'own',
] as const;
export type RuleSet = (typeof RULE_SETS)[number];

/** Where a rule was made, as a country's code or that of the European Union. */
export const JURISDICTIONS = ['DE', 'AT', 'CH', 'SE', 'EU'] as const;
type Jurisdiction = (typeof JURISDICTIONS)[number];

/**
 * What each animal above the number covered adds: a share of the floor (the step with the highest `fromAnimal` that is not above the
 * animal's number holds), a share of the volume with the proportions kept, a piece of floor in body lengths, or the last column of the
 * rule's own table.
 */
type FurtherAnimals =
  | { by: 'floor-share'; steps: { fromAnimal: number; share: number }[] }
  | { by: 'volume-share'; share: number }
  | { by: 'body-lengths'; length: number; depth: number }
  | { by: 'table' };

/** One published rule for the size of an enclosure. Multiples are of the rule's own measure; areas in m², lengths in mm. */
export type SpaceRule = {
  ruleSet: RuleSet;
  title: string;
  /** A legal or laboratory minimum alone is worth at most 60. */
  basis: 'evidence' | 'guidance' | 'legal-minimum' | 'laboratory-minimum';
  /** Null for evidence and for common practice, which no authority issued. */
  jurisdiction: Jurisdiction | null;
  /** Which animals its source speaks of; whether of adults only; the longest animal it covers (in its own measure, null: no end is given). */
  covers: { animals: string; adultsOnly: boolean; upToMm: number | null };
  /** How the rule takes an animal's length; null when its figures do not depend on it. */
  measure: Measure | null;
  /** Other measures that give the rule's own length when multiplied, each with its source; empty when no ratio is published. */
  lengthFrom: ({ measure: Measure; times: number } & Cited)[];
  /** How many animals the figures hold for; null when they hold for each animal, however many there are. */
  forAnimals: number | null;
  /** Null: the source does not say, or what it says was not read; what more animals need is then unknown. */
  further: FurtherAnimals | null;
  shape:
    | { by: 'multiples'; length: number; depth: number | null; height: number | null }
    | { by: 'fixed'; lengthMm: number; depthMm: number; heightMm: number | null }
    | {
        by: 'table';
        rows: { upToMm: number | null; floorM2: number; heightMm: number | null; furtherM2: number | null }[];
      };
  /** Nobody has settled whether the rule binds for this species: it counts, but makes nothing severe alone. */
  bindingUnresolved?: true;
  /** Computed heights above this are capped here (mm). */
  heightCapMm: number | null;
} & Cited;

/** Where hides belong for this species. Under water, cover counts as a hide. */
export const HIDE_ZONES = ['warm', 'cool', 'moist', 'high', 'under-water'] as const;
export type HideZone = (typeof HIDE_ZONES)[number];

/** Kinds of enrichment. 'choice' is two or more usable microclimates and is found from the heat readings, not fitted. */
export const ENRICHMENTS = ['climb', 'dig', 'feeding', 'novelty', 'swim', 'choice'] as const;
export type Enrichment = (typeof ENRICHMENTS)[number];

/** What must never be proposed for the species. */
export const NEVER_PROPOSED = [
  'close-top',
  'more-height',
  'novelty',
  'scattered-food',
  'overhead-heater',
  'any-heater',
  'uv-lamp',
  'solid-hide',
  'acquire',
  'winter-rest',
] as const;
export type Never = (typeof NEVER_PROPOSED)[number];

/**
 * Targets that replace the species' usual ones for a stage of life or a dated season. Anything left out keeps the usual target;
 * `needsOff` do not count at all while it holds.
 */
export type Profile = {
  when:
    | { stage: 'hatchling' | 'juvenile'; untilMonths: number }
    | { season: 'cooling' | 'winter-rest' }
    | { state: 'gravid' | 'quarantine' };
  temperatures?: TemperatureTarget[];
  humidity?: HumidityTarget;
  needsOff: Need[];
} & Cited;

/** Everything the ledger knows of a species. */
export type Species = {
  id: string;
  scientificName: string;
  commonName: string;
  otherNames: string[];
  /** Scientific names that older law and papers use. */
  synonyms: string[];
  group: 'lizard' | 'snake' | 'tortoise' | 'turtle' | 'frog' | 'salamander';
  activity: 'day' | 'night' | 'twilight';
  habit: 'ground' | 'climbing' | 'burrowing' | 'semi-aquatic' | 'aquatic';
  adultSize: { measure: Measure; lowMm: number; highMm: number } & Cited;
  /** Months from hatching to adult size, for projecting a young animal's length. */
  growth: { monthsToAdult: number } & Cited;
  uv: UvTarget;
  temperatures: TemperatureTarget[];
  humidity: HumidityTarget;
  water: WaterTarget | null;
  space: SpaceRule[];
  hides: { zones: HideZone[] } & Cited;
  enrichment: { kinds: Enrichment[] } & Cited;
  /** How many may share an enclosure, and how many grown males of them (null: the source does not say). */
  grouping: { atMost: number; atMostMales: number | null } & Cited;
  /** The latitudes of its home range (degrees, north positive), whose days a timer may follow; null when not known. */
  homeLatitude: ({ low: number; high: number } & Cited) | null;
  /** Hours of light a day in the long and in the short half of the year; null when no figure is known. */
  lightHours: ({ summer: { low: number; high: number }; winter: { low: number; high: number } } & Cited) | null;
  /** Whether a run or balcony in the open in the warm months is good practice, and in which months (1-12) in a temperate climate. */
  outdoors: ({ fromMonth: number; toMonth: number; nightFloor: number } & Cited) | null;
  profiles: Profile[];
  neverPropose: Never[];
  /** `endsLifeAt` is the body temperature (°C) that ends the life of this species, where the caution is about that. */
  hazards: ({ text: string; endsLifeAt?: number } & Cited)[];
  /** Lists of law known to name the species; a reason to look, never legal advice, so the place is named and not what is allowed. */
  legal: ({ where: string; text: string } & Cited)[];
};

/**
 * All species, the sources their figures cite, and what the UV zones mean. `individuals` are animals with targets of their own, each with
 * its species as it holds for that animal alone.
 */
export type CareLibrary = {
  species: Species[];
  sources: Source[];
  uvZones: UvZoneBand[];
  individuals: { animalId: string; species: Species }[];
};

/** A season that the keeper has dated for an animal; months of the year, which may run over New Year (11 to 2). */
export type DatedSeason = { season: 'cooling' | 'winter-rest'; fromMonth: number; toMonth: number };

/** A state that the keeper has dated for an animal; both days count, and without a last one it holds until further notice. */
export type DatedState = { state: 'gravid' | 'quarantine'; from: PlainDate; to: PlainDate | null };

/** The targets that hold for one animal in one month. */
export type Targets = Omit<Species, 'profiles'> & {
  needsOff: Need[];
  season: 'active' | 'cooling' | 'winter-rest';
  /** The seasons that the species has targets for; another dated season changes nothing. */
  seasonsKnown: DatedSeason['season'][];
  stage: 'hatchling' | 'juvenile' | 'adult';
  /** The dated state whose targets hold; null where none is dated or the species has none of its own for it. */
  state: DatedState['state'] | null;
};

/** A library was asked for a species it does not hold: its figures went with an update, or with the keeper's own species. */
export class UnknownSpecies extends RangeError {
  readonly speciesId: string;

  constructor(speciesId: string) {
    super(`the library holds no species with the id ${speciesId}`);
    this.speciesId = speciesId;
  }
}

/** The species with this id. Throws UnknownSpecies when the library does not hold it. */
export function findSpecies(library: CareLibrary, id: string): Species {
  const species = library.species.find((one) => one.id === id);
  if (species === undefined) throw new UnknownSpecies(id);
  return species;
}

/**
 * A collection in which every animal has a species of the library; those whose species it does not hold any more stand apart as
 * `unjudged`. The collection itself where there are none.
 */
export function judgedBy<Kept extends { speciesId: string }, Whole extends { animals: Kept[] }>(
  library: CareLibrary,
  collection: Whole,
): Whole & { unjudged?: readonly Kept[] } {
  const known = new Set(library.species.map(({ id }) => id));
  const unjudged = collection.animals.filter(({ speciesId }) => !known.has(speciesId));
  if (unjudged.length === 0) return collection;
  return { ...collection, animals: collection.animals.filter(({ speciesId }) => known.has(speciesId)), unjudged };
}

/** The species of an animal, with the targets that were set for this animal alone. Throws UnknownSpecies when the library does not hold it. */
export function speciesOf(library: CareLibrary, animal: { id: string; speciesId: string }): Species {
  const own = library.individuals.find((one) => one.animalId === animal.id && one.species.id === animal.speciesId);
  return own?.species ?? findSpecies(library, animal.speciesId);
}

/** The source with this id. Throws when the library does not hold it. */
export function findSource(library: CareLibrary, id: string): Source {
  const source = library.sources.find((one) => one.id === id);
  if (source === undefined) throw new RangeError(`the library holds no source with the id ${id}`);
  return source;
}

const memorySources = new WeakMap<readonly Source[], ReadonlySet<string>>();

/** The ids of the sources of a library that are memory alone: nothing that anybody could look up. */
export function sourcesFromMemory({ sources }: Pick<CareLibrary, 'sources'>): ReadonlySet<string> {
  const known = memorySources.get(sources);
  if (known !== undefined) return known;
  const found = new Set(sources.filter((one) => one.standing === 'from-memory').map((one) => one.id));
  memorySources.set(sources, found);
  return found;
}

/** Whether an animal is known to be under half the adult size of its species: no grown male or female yet (common practice, no source). */
export function isYoung({ lengthMm }: { lengthMm: number | null }, { adultSize }: Pick<Species, 'adultSize'>): boolean {
  return lengthMm !== null && lengthMm < adultSize.lowMm / 2;
}

/** Whether a month of the year (1-12) lies in a span of months that may run over New Year; both ends count. */
export function inSpan(monthOfYear: number, fromMonth: number, toMonth: number): boolean {
  return fromMonth <= toMonth
    ? monthOfYear >= fromMonth && monthOfYear <= toMonth
    : monthOfYear >= fromMonth || monthOfYear <= toMonth;
}

/**
 * The targets that hold for an animal in a month: the species' own, then its life stage, then the season and the state that the keeper dated,
 * the later replacing the earlier; a state counts in every month it touches. An animal without a hatching date is as old as its length says, growing in a straight line, when it is under half
 * its adult size, and an adult otherwise. A dated season without a profile of the species changes nothing.
 */
export function targetsFor(
  species: Species,
  animal: { hatchedOn: PlainDate | null; seasons: DatedSeason[]; states?: DatedState[]; lengthMm?: number | null },
  month: PlainMonth,
): Targets {
  const months =
    animal.hatchedOn === null
      ? ageByLength(species, animal.lengthMm ?? null)
      : ageInMonths(animal.hatchedOn, lastDay(month));
  const dated = animal.seasons.find((one) => inSpan(monthOfYear(month), one.fromMonth, one.toMonth));
  const stageProfile = species.profiles
    .filter((one) => 'stage' in one.when && months < one.when.untilMonths)
    .sort((a, b) => ('stage' in a.when && 'stage' in b.when ? a.when.untilMonths - b.when.untilMonths : 0))[0];
  const seasonProfile = species.profiles.find((one) => 'season' in one.when && one.when.season === dated?.season);
  const inState = (animal.states ?? []).filter(
    ({ from, to }) => from <= lastDay(month) && (to === null || to >= firstDay(month)),
  );
  const stateProfile = species.profiles.find(
    ({ when }) => 'state' in when && inState.some(({ state }) => state === when.state),
  );
  const { profiles: _, ...usual } = species;
  const targets: Targets = {
    ...usual,
    needsOff: species.water === null ? ['water'] : [],
    season: seasonProfile !== undefined && dated !== undefined ? dated.season : 'active',
    seasonsKnown: species.profiles.flatMap((one) => ('season' in one.when ? [one.when.season] : [])),
    state: stateProfile !== undefined && 'state' in stateProfile.when ? stateProfile.when.state : null,
    stage: stageProfile !== undefined && 'stage' in stageProfile.when ? stageProfile.when.stage : 'adult',
  };
  for (const profile of [stageProfile, seasonProfile, stateProfile]) {
    if (profile === undefined) continue;
    if (profile.temperatures !== undefined) targets.temperatures = profile.temperatures;
    if (profile.humidity !== undefined) targets.humidity = profile.humidity;
    targets.needsOff = [...new Set([...targets.needsOff, ...profile.needsOff])];
  }
  return targets;
}

function ageByLength({ adultSize, growth }: Species, lengthMm: number | null): number {
  if (lengthMm === null || !isYoung({ lengthMm }, { adultSize })) return Number.POSITIVE_INFINITY;
  return (lengthMm / adultSize.lowMm) * growth.monthsToAdult;
}

/**
 * How long an animal will be some months from now (mm), as a range: a young one grows in a straight line to the lower and the upper end
 * of its species' adult size; one that has reached an end, or is old enough to be an adult (`ageMonths` when measured, null unknown),
 * stays as measured. The straight line is our own simplification (common practice, no source).
 */
export function projectLength(
  { adultSize, growth }: Pick<Species, 'adultSize' | 'growth'>,
  measuredMm: number,
  monthsAhead: number,
  ageMonths: number | null = null,
): { low: number; high: number } {
  const grownTo = (adultMm: number) => {
    if (measuredMm >= adultMm || monthsAhead <= 0) return measuredMm;
    const share = ageMonths === null ? measuredMm / adultMm : ageMonths / growth.monthsToAdult;
    const remaining = Math.max(1, growth.monthsToAdult * (1 - share));
    return share >= 1 ? measuredMm : measuredMm + (adultMm - measuredMm) * Math.min(1, monthsAhead / remaining);
  };
  return { low: grownTo(adultSize.lowMm), high: grownTo(adultSize.highMm) };
}

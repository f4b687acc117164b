// What a care library must look like to be believed: one file a species, the sources they cite and the UV zones, and by the same rules what
// a keeper enters or brings along. Checks every figure's source, grade and range and names the file and field of each fault.

import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { z } from 'zod';
import { figuresIn } from '../src/care-figures.ts';
import type { CareLibrary, Celsius, Source, Species, TemperatureKind, UvZoneBand } from '../src/species.ts';
import {
  ENRICHMENTS,
  GRADES,
  HIDE_ZONES,
  JURISDICTIONS,
  MEASURES,
  NEEDS,
  NEVER_PROPOSED,
  RULE_SETS,
  STANDINGS,
} from '../src/species.ts';

const text = z.string().trim().min(1);
const cited = {
  source: text,
  grade: z.enum(GRADES),
  note: text.exactOptional(),
};

// Wide enough for any reptile or amphibian and any rule, narrow enough to catch a slip of the unit or of a digit (common practice, no source).
const believable: Record<TemperatureKind, { low: number; high: number }> = {
  'hot-spot-surface': { low: 20, high: 60 },
  'warm-hide-floor': { low: 15, high: 40 },
  'warm-air': { low: 5, high: 45 },
  'cool-end-air': { low: 0, high: 35 },
  'night-air': { low: 0, high: 35 },
  water: { low: 0, high: 35 },
  body: { low: 5, high: 42 },
};
const tolerance = z.number().min(0.5).max(30);
const positiveShare = z.number().min(0.01).max(1);
const percent = z.number().min(0).max(100);
const millimetres = z.number().min(5).max(10_000);
const multiple = z.number().min(0.3).max(20);
const monthOfYear = z.int().min(1).max(12);
const squareMetres = z.number().min(0.005).max(50);
const uvIndex = z.number().min(0).max(12);

function inOrder(span: { low: number; high: number }): boolean {
  return span.low <= span.high;
}
const outOfOrder = { path: ['low'], error: 'low must not be above high' };

function temperatureOf<K extends TemperatureKind>(kind: K) {
  const { low, high } = believable[kind];
  const celsius = z
    .number()
    .min(low)
    .max(high)
    .transform((value) => value as Celsius<K>);
  return z
    .strictObject({
      kind: z.literal(kind),
      low: celsius,
      high: celsius,
      toleranceBelow: tolerance,
      toleranceAbove: tolerance,
      criticalBelow: z.boolean(),
      criticalAbove: z.boolean(),
      ...cited,
    })
    .refine(inOrder, outOfOrder);
}

// What ships has every figure; a keeper's own species may leave a list empty, and then that need is not scored.
const someTemperatures = z
  .array(
    z.discriminatedUnion('kind', [
      temperatureOf('hot-spot-surface'),
      temperatureOf('warm-hide-floor'),
      temperatureOf('warm-air'),
      temperatureOf('cool-end-air'),
      temperatureOf('night-air'),
      temperatureOf('water'),
      temperatureOf('body'),
    ]),
  )
  .refine((all) => new Set(all.map((one) => one.kind)).size === all.length, {
    error: 'each kind of temperature may appear once',
  });
const temperatures = someTemperatures.refine((all) => all.length > 0, { error: 'a temperature is missing' });

const humidityBand = z.strictObject({ low: percent, high: percent }).refine(inOrder, outOfOrder);
const humidity = z.strictObject({
  day: humidityBand,
  night: humidityBand.nullable(),
  toleranceBelow: z.number().min(1).max(60),
  toleranceAbove: z.number().min(1).max(60),
  moistRetreat: z.enum(['required', 'not-needed']),
  lifeCritical: z.boolean(),
  ...cited,
});

const hoursOfLight = z
  .strictObject({ low: z.number().min(0).max(24), high: z.number().min(0).max(24) })
  .refine(inOrder, outOfOrder);

const zone = z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]);

const water = z.strictObject({
  features: z
    .array(z.enum(['bathing-dish', 'swimming-water', 'filter', 'dry-dock', 'easy-exit', 'quality-tested']))
    .min(1),
  depth: z
    .strictObject({
      timesBody: multiple.nullable(),
      lowMm: millimetres.nullable(),
      highMm: millimetres.nullable(),
      ...cited,
    })
    .nullable(),
  lifeCritical: z.boolean(),
  ...cited,
});

const tableRows = z
  .array(
    z.strictObject({
      upToMm: millimetres.nullable(),
      floorM2: squareMetres,
      heightMm: millimetres.nullable(),
      furtherM2: squareMetres.nullable(),
    }),
  )
  .min(1)
  .refine(
    (rows) =>
      rows.every((row, index) => {
        const before = rows[index - 1];
        return (
          before === undefined || (before.upToMm !== null && (row.upToMm ?? Number.POSITIVE_INFINITY) > before.upToMm)
        );
      }),
    { error: 'rows must go from short to long animals, the open one last' },
  );

// A table of one row without an end is a size for all, whatever the animal measures.
function dependsOnLength({ shape, covers }: Pick<Species['space'][number], 'shape' | 'covers'>): boolean {
  const byRow = shape.by === 'table' && shape.rows.some((row) => row.upToMm !== null);
  return shape.by === 'multiples' || byRow || covers.upToMm !== null;
}

function hasFurtherColumn({ shape }: Pick<Species['space'][number], 'shape'>): boolean {
  return shape.by === 'table' && shape.rows.some((row) => row.furtherM2 !== null);
}

const basisOf: Record<Species['space'][number]['ruleSet'], Species['space'][number]['basis']> = {
  evidence: 'evidence',
  'DE-1997': 'guidance',
  'DE-pages': 'guidance',
  AT: 'legal-minimum',
  CH: 'legal-minimum',
  SE: 'legal-minimum',
  'EU-laboratory': 'laboratory-minimum',
  practice: 'guidance',
  own: 'guidance',
};

const jurisdictionOf: Record<Species['space'][number]['ruleSet'], Species['space'][number]['jurisdiction']> = {
  evidence: null,
  'DE-1997': 'DE',
  'DE-pages': 'DE',
  AT: 'AT',
  CH: 'CH',
  SE: 'SE',
  'EU-laboratory': 'EU',
  practice: null,
  own: null,
};

const furtherAnimals = z.discriminatedUnion('by', [
  z.strictObject({
    by: z.literal('floor-share'),
    steps: z
      .array(z.strictObject({ fromAnimal: z.int().min(2).max(50), share: positiveShare }))
      .min(1)
      .refine((steps) => steps.every((step, index) => step.fromAnimal > (steps[index - 1]?.fromAnimal ?? 1)), {
        error: 'steps must go from few to many animals',
      }),
  }),
  z.strictObject({ by: z.literal('volume-share'), share: positiveShare }),
  z.strictObject({ by: z.literal('body-lengths'), length: multiple, depth: multiple }),
  z.strictObject({ by: z.literal('table') }),
]);

const spaceRule = z
  .strictObject({
    ruleSet: z.enum(RULE_SETS),
    title: text,
    basis: z.enum(['evidence', 'guidance', 'legal-minimum', 'laboratory-minimum']),
    jurisdiction: z.enum(JURISDICTIONS).nullable(),
    covers: z.strictObject({ animals: text, adultsOnly: z.boolean(), upToMm: millimetres.nullable() }),
    measure: z.enum(MEASURES).nullable(),
    lengthFrom: z.array(z.strictObject({ measure: z.enum(MEASURES), times: z.number().min(0.2).max(5), ...cited })),
    forAnimals: z.int().min(1).max(10).nullable(),
    further: furtherAnimals.nullable(),
    shape: z.discriminatedUnion('by', [
      z.strictObject({
        by: z.literal('multiples'),
        length: multiple,
        depth: multiple.nullable(),
        height: multiple.nullable(),
      }),
      z.strictObject({
        by: z.literal('fixed'),
        lengthMm: millimetres,
        depthMm: millimetres,
        heightMm: millimetres.nullable(),
      }),
      z.strictObject({ by: z.literal('table'), rows: tableRows }),
    ]),
    bindingUnresolved: z.literal(true).exactOptional(),
    heightCapMm: millimetres.nullable(),
    ...cited,
  })
  .refine((rule) => rule.basis === basisOf[rule.ruleSet], {
    path: ['basis'],
    error: 'this rule list has another basis',
  })
  .refine((rule) => rule.jurisdiction === jurisdictionOf[rule.ruleSet], {
    path: ['jurisdiction'],
    error: 'this rule list is from elsewhere',
  })
  .refine((rule) => (rule.measure !== null) === dependsOnLength(rule), {
    path: ['measure'],
    error: 'a rule has a measure exactly when its figures depend on the length of the animal',
  })
  .refine((rule) => (rule.further?.by === 'table') === hasFurtherColumn(rule), {
    path: ['further'],
    error: "further animals are by 'table' exactly when the table has figures for them",
  })
  .refine(
    (rule) => rule.further?.by !== 'floor-share' || rule.further.steps[0]?.fromAnimal === (rule.forAnimals ?? 0) + 1,
    {
      path: ['further', 'steps'],
      error: 'the first step must begin with the first animal that the figures do not hold for',
    },
  );

const profile = z.strictObject({
  when: z.union([
    z.strictObject({ stage: z.enum(['hatchling', 'juvenile']), untilMonths: z.number().min(1).max(240) }),
    z.strictObject({ season: z.enum(['cooling', 'winter-rest']) }),
    z.strictObject({ state: z.enum(['gravid', 'quarantine']) }),
  ]),
  temperatures: temperatures.exactOptional(),
  humidity: humidity.exactOptional(),
  needsOff: z.array(z.enum(NEEDS)),
  ...cited,
});

const ownSpeciesSchema: z.ZodType<Species> = z
  .strictObject({
    id: z.string().regex(/^[a-z]+(-[a-z]+)*$/),
    scientificName: z.string().regex(/^[A-Z][a-z]+( [a-z]+){1,2}$/),
    commonName: text,
    otherNames: z.array(text),
    synonyms: z.array(z.string().regex(/^[A-Z][a-z]+( [a-z]+){1,2}$/)),
    group: z.enum(['lizard', 'snake', 'tortoise', 'turtle', 'frog', 'salamander']),
    activity: z.enum(['day', 'night', 'twilight']),
    habit: z.enum(['ground', 'climbing', 'burrowing', 'semi-aquatic', 'aquatic']),
    adultSize: z
      .strictObject({
        measure: z.enum(MEASURES),
        lowMm: millimetres,
        highMm: millimetres,
        ...cited,
      })
      .refine((size) => size.lowMm <= size.highMm, { path: ['lowMm'], error: 'lowMm must not be above highMm' }),
    growth: z.strictObject({ monthsToAdult: z.number().min(3).max(240), ...cited }),
    uv: z.strictObject({
      need: z.enum(['required', 'optional-response-found', 'optional-no-response-shown']),
      needCited: z.strictObject(cited),
      zones: z.array(z.strictObject({ zone, ...cited })),
      hours: z
        .strictObject({ low: z.number().min(0).max(24), high: z.number().min(0).max(24), ...cited })
        .refine(inOrder, outOfOrder),
    }),
    temperatures: someTemperatures,
    humidity,
    water: water.nullable(),
    space: z.array(spaceRule),
    hides: z.strictObject({ zones: z.array(z.enum(HIDE_ZONES)), ...cited }),
    enrichment: z.strictObject({ kinds: z.array(z.enum(ENRICHMENTS)), ...cited }),
    grouping: z
      .strictObject({ atMost: z.int().min(1).max(20), atMostMales: z.int().min(1).max(20).nullable(), ...cited })
      .refine((group) => (group.atMostMales ?? 0) <= group.atMost, {
        path: ['atMostMales'],
        error: 'there cannot be more males than animals',
      }),
    homeLatitude: z
      .strictObject({ low: z.number().min(-60).max(70), high: z.number().min(-60).max(70), ...cited })
      .refine(inOrder, outOfOrder)
      .nullable(),
    lightHours: z.strictObject({ summer: hoursOfLight, winter: hoursOfLight, ...cited }).nullable(),
    outdoors: z
      .strictObject({
        fromMonth: monthOfYear,
        toMonth: monthOfYear,
        nightFloor: z.number().min(0).max(25),
        ...cited,
      })
      .nullable(),
    profiles: z.array(profile),
    neverPropose: z.array(z.enum(NEVER_PROPOSED)),
    hazards: z.array(z.strictObject({ text, endsLifeAt: z.number().min(25).max(55).exactOptional(), ...cited })),
    legal: z.array(z.strictObject({ where: text, text, ...cited })),
  })
  .superRefine((species, context) => {
    const fault = (path: (string | number)[], message: string) => context.addIssue({ code: 'custom', path, message });
    const amphibian = species.group === 'frog' || species.group === 'salamander';
    species.temperatures.forEach((target, index) => {
      if (amphibian && (target.toleranceAbove > 1 || !target.criticalAbove)) {
        fault(['temperatures', index, 'toleranceAbove'], 'an amphibian that is too hot is critical within 1 °C');
      }
      if (!amphibian && target.kind === 'night-air' && target.criticalAbove) {
        fault(['temperatures', index, 'criticalAbove'], 'a warm night is never critical for a reptile');
      }
      if (target.kind === 'cool-end-air' && target.toleranceAbove > 1) {
        fault(['temperatures', index, 'toleranceAbove'], 'a cool end that is too hot reaches 0 within 1 °C');
      }
    });
    if (species.enrichment.kinds.includes('novelty') && species.neverPropose.includes('novelty')) {
      fault(['enrichment', 'kinds'], 'novelty is never to be proposed for this species');
    }
    const rests = species.profiles.some((one) => 'season' in one.when && one.when.season === 'winter-rest');
    const cools = species.profiles.some((one) => 'season' in one.when && one.when.season === 'cooling');
    if (!rests && !cools && !species.neverPropose.includes('winter-rest')) {
      fault(['neverPropose'], 'a species without targets for a cool season must never be proposed winter-rest');
    }
  });

const speciesSchema = ownSpeciesSchema.superRefine(({ temperatures, uv, space, hides, enrichment }, context) => {
  const lists = [
    [['temperatures'], temperatures],
    [['uv', 'zones'], uv.zones],
    [['space'], space],
    [['hides', 'zones'], hides.zones],
    [['enrichment', 'kinds'], enrichment.kinds],
  ] as const;
  for (const [path, list] of lists) {
    if (list.length === 0) context.addIssue({ code: 'custom', path: [...path], message: 'must not be empty' });
  }
  if (space.some((rule) => rule.ruleSet === 'own'))
    context.addIssue({ code: 'custom', path: ['space'], message: "a rule of the list 'own' is for keepers" });
});

const sourceSchema: z.ZodType<Source> = z
  .strictObject({
    id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/),
    title: text,
    body: text,
    year: z.int().min(1800).max(2100).nullable(),
    section: z.string(),
    address: z.union([z.literal(''), z.url({ protocol: /^https?$/ })]),
    standing: z.enum(STANDINGS),
  })
  .refine((source) => source.standing !== 'published' || source.section !== '' || source.address !== '', {
    path: ['section'],
    error: 'a published source needs a section or an address to find it by',
  });

const shippedSourceSchema = sourceSchema.refine((source) => source.standing !== 'own-source', {
  path: ['standing'],
  error: 'only a keeper has sources of their own',
});

const uvZoneSchema: z.ZodType<UvZoneBand> = z
  .strictObject({
    zone,
    meanLow: uvIndex,
    meanHigh: uvIndex,
    median: uvIndex.nullable(),
    ceilings: z.array(z.strictObject({ uvi: uvIndex, ...cited })).min(1),
    ...cited,
  })
  .refine((band) => band.meanLow < band.meanHigh, { path: ['meanLow'], error: 'meanLow must be below meanHigh' })
  .refine((band) => band.ceilings.every((ceiling) => ceiling.uvi > band.meanHigh), {
    path: ['ceilings'],
    error: 'a ceiling must lie above the mean band',
  });

const speciesFileSchema = z
  .looseObject({ sources: z.array(sourceSchema).default([]) })
  .refine(({ sources }) => new Set(sources.map(({ id }) => id)).size === sources.length, {
    path: ['sources'],
    error: 'two sources share an id',
  });

/** What is wrong with a figure: the path to it, what is the matter, and the end of the range that it lies outside of, if it does. */
export type CareFault = { path: string[]; message: string; least: number | null; most: number | null };

/** A species that was checked, with the sources that came with it; or everything that is wrong with it. */
export type CheckedSpecies =
  | { status: 'ok'; species: Species; sources: Source[] }
  | { status: 'bad'; faults: CareFault[] };

/**
 * Checks a species that a keeper entered, by the rules of the library's own files; only lists may be empty. `known` are the sources that
 * its figures may cite beside those in its own `sources`.
 */
export function checkSpecies(content: unknown, known: readonly Source[]): CheckedSpecies {
  const outer = speciesFileSchema.safeParse(content);
  if (!outer.success) return { status: 'bad', faults: outer.error.issues.map(faultOf) };
  const { sources, ...rest } = outer.data;
  const inner = ownSpeciesSchema.safeParse(rest);
  if (!inner.success) return { status: 'bad', faults: inner.error.issues.map(faultOf) };
  const shipped = new Map(known.map((source) => [source.id, source]));
  const other = sources.findIndex(({ id, ...source }) => {
    const same = shipped.get(id);
    return same !== undefined && JSON.stringify({ id, ...source }) !== JSON.stringify(same);
  });
  const all = new Map([...sources.map((source) => [source.id, source] as const), ...shipped]);
  const faults = faultsIn(inner.data, all).map((one) => ({ ...one, least: null, most: null }));
  if (other !== -1)
    faults.push({
      path: ['sources', String(other), 'id'],
      message: 'this ledger knows another source under this id; give yours another',
      least: null,
      most: null,
    });
  return faults.length > 0 ? { status: 'bad', faults } : { status: 'ok', species: inner.data, sources };
}

/** Whether a library that was kept beside a plan is whole by the rules of today, so that a set-up can be judged by it. */
export function isWholeLibrary({ species, sources, uvZones, individuals }: CareLibrary): boolean {
  const known = z.array(sourceSchema).safeParse(sources);
  if (!known.success || !z.array(uvZoneSchema).length(4).safeParse(uvZones).success) return false;
  return [...species, ...individuals.map((one) => one.species)].every(
    (one) => checkSpecies({ ...one, sources: [] }, known.data).status === 'ok',
  );
}

function faultOf(issue: z.core.$ZodIssue): CareFault {
  const end = (value: unknown) => (typeof value === 'number' ? value : null);
  return {
    path: partsOf(issue),
    message: issue.message,
    least: issue.code === 'too_small' ? end(issue.minimum) : null,
    most: issue.code === 'too_big' ? end(issue.maximum) : null,
  };
}

/** What a file holds, null when it cannot be used; then the faults say why, each as 'file: field: what is wrong'. */
type Read<T> = { value: T | null; faults: string[] };

/**
 * Reads and checks the care library of a folder that holds `sources.json`, `uv-zones.json` and `species/`; by default the one that ships
 * with the ledger. Throws with every fault, one a line, each naming file and field.
 */
export function readCareLibrary(folder: string = import.meta.dirname): CareLibrary {
  const sources = readJson(join(folder, 'sources.json'), z.array(shippedSourceSchema));
  const uvZones = readJson(join(folder, 'uv-zones.json'), z.array(uvZoneSchema).length(4));
  const speciesFiles = readdirSync(join(folder, 'species'))
    .filter((name) => name.endsWith('.json'))
    .sort();
  const species = speciesFiles.map((name) => readJson(join(folder, 'species', name), speciesSchema));
  const faults = [sources, uvZones, ...species].flatMap((one) => one.faults);
  if (speciesFiles.length === 0) faults.push('species: the folder holds no species');

  const known = new Map((sources.value ?? []).map((source) => [source.id, source]));
  if (sources.value !== null) {
    if (known.size !== sources.value.length) faults.push('sources.json: id: two sources share an id');
    if (uvZones.value !== null) faults.push(...faultsOfFigures('uv-zones.json', uvZones.value, known));
  }
  if (uvZones.value?.some((band, index) => band.zone !== index + 1)) {
    faults.push('uv-zones.json: zone: the zones must be 1, 2, 3, 4 in this order');
  }
  speciesFiles.forEach((name, index) => {
    const read = species[index]?.value;
    if (read === null || read === undefined) return;
    if (read.id !== basename(name, '.json')) faults.push(`${name}: id: must be the name of the file`);
    if (sources.value !== null) faults.push(...faultsOfFigures(name, read, known));
  });
  if (faults.length > 0) throw new Error(`The care library cannot be used.\n${faults.join('\n')}`);
  return {
    sources: sources.value!,
    uvZones: uvZones.value!,
    species: species.map((one) => one.value!),
    individuals: [],
  };
}

const FROM_MEMORY = /check before relying on it/i;

function faultsOfFigures(file: string, value: unknown, known: ReadonlyMap<string, Source>): string[] {
  return faultsIn(value, known).map(({ path, message }) => `${file}: ${path.join('.')}: ${message}`);
}

function faultsIn(value: unknown, known: ReadonlyMap<string, Source>): { path: string[]; message: string }[] {
  return figuresIn(value).flatMap((figure) => {
    const at = (field: string, message: string) => ({
      path: [...(figure.path === '' ? [] : figure.path.split('.')), field],
      message,
    });
    const source = known.get(figure.source);
    if (source === undefined) return [at('source', `no source has the id ${figure.source}`)];
    const unsourced = source.standing === 'common-practice' || source.standing === 'from-memory';
    const faults: { path: string[]; message: string }[] = [];
    if (source.standing === 'from-memory' && !FROM_MEMORY.test(figure.note ?? '')) {
      faults.push(at('note', 'a figure from memory must say "check before relying on it"'));
    }
    if (unsourced && (figure.grade === 'tested-on-species' || figure.grade === 'studied-nearby')) {
      faults.push(at('grade', 'a figure without a read source cannot be graded as tested or studied'));
    }
    return faults;
  });
}

function readJson<T>(path: string, schema: z.ZodType<T>): Read<T> {
  const file = basename(path);
  let content: unknown;
  try {
    content = JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    return { value: null, faults: [`${file}: ${error instanceof Error ? error.message : String(error)}`] };
  }
  const result = schema.safeParse(content);
  if (result.success) return { value: result.data, faults: [] };
  return { value: null, faults: result.error.issues.map((issue) => `${file}: ${pathOf(issue)}: ${issue.message}`) };
}

function pathOf(issue: z.core.$ZodIssue): string {
  return partsOf(issue).join('.');
}

function partsOf(issue: z.core.$ZodIssue): string[] {
  const extra = issue.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
  return [...issue.path, ...extra].map(String);
}

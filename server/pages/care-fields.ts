// How each kind of figure is asked for in a form: its fields, the value they make, and the texts a value has in them. A field is named as
// the species file names what it holds, so that what the rules of the file say against a value finds its field.

import type { FigureContent, FigureKey, FigureValue } from '../../src/care-overrides.ts';
import { FIGURE_NAMES, partsOfKey, temperatureKindOf } from '../../src/care-overrides.ts';
import type { SpaceRule, Species, WaterTarget } from '../../src/species.ts';
import { ENRICHMENTS, HIDE_ZONES } from '../../src/species.ts';
import { type Dimension, type Quantity, typedQuantity, type UnitSystem } from '../../src/units.ts';
import { careFieldWords, careSentences } from '../care-words.ts';
import { checkboxField, type Field, numberField, radioField, selectField } from '../fields.ts';
import {
  checkbox,
  choice,
  type FormError,
  type FormState,
  optionalDecimal,
  optionalQuantity,
  optionalWholeNumber,
  quantityField,
  type Values,
  wholeNumber,
} from '../forms.ts';
import { enrichmentNames, hideZoneNames, monthNames, uvNeedWords, waterFeatureNames } from '../kind-words.ts';
import { capital } from '../words.ts';

/** One field: how it is read and drawn. `label` stands at it and, in lower case, completes the sentences about it. */
export type FigureField = { name: string; label: string; hint?: string } & (
  | { as: 'quantity'; dimension: Dimension; optional?: true }
  | { as: 'whole'; low: number; high: number; optional?: true }
  | { as: 'times' }
  | { as: 'choice'; answers: readonly { value: string; label: string }[] }
  | { as: 'month' }
  | { as: 'check' }
);

/** What the fields of a figure were read as, by field name. */
export type Read = Readonly<Record<string, Quantity | number | string | boolean | null>>;

const WATER_FEATURES = [
  'bathing-dish',
  'swimming-water',
  'filter',
  'dry-dock',
  'easy-exit',
  'quality-tested',
] as const satisfies readonly WaterTarget['features'][number][];
const UV_NEEDS = ['required', 'optional-response-found', 'optional-no-response-shown'] as const;

/** The fields by which a figure is given. */
export function figureFields(key: FigureKey): FigureField[] {
  const span = (dimension: Dimension, low = 'low', high = 'high'): FigureField[] => [
    { name: low, label: careFieldWords.lowerEnd, as: 'quantity', dimension },
    { name: high, label: careFieldWords.upperEnd, as: 'quantity', dimension },
  ];
  if (temperatureKindOf(key) !== null) {
    return [
      ...span('temperature'),
      {
        name: 'toleranceBelow',
        label: careFieldWords.nothingBelow,
        hint: careFieldWords.nothingBelowHint,
        as: 'quantity',
        dimension: 'temperature-difference',
      },
      {
        name: 'toleranceAbove',
        label: careFieldWords.nothingAbove,
        as: 'quantity',
        dimension: 'temperature-difference',
      },
      { name: 'criticalBelow', label: careFieldWords.tooCoolThreatensLife, as: 'check' },
      { name: 'criticalAbove', label: careFieldWords.tooWarmThreatensLife, as: 'check' },
    ];
  }
  switch (partsOfKey(key).name) {
    case 'uv-need':
      return [
        {
          name: 'need',
          label: careFieldWords.needUv,
          as: 'choice',
          answers: UV_NEEDS.map((value) => ({ value, label: uvNeedWords[value] })),
        },
      ];
    case 'uv-zones':
      return ['1', '2', '3', '4'].map((zone) => ({
        name: `zone-${zone}`,
        label: careFieldWords.zoneOf(zone),
        as: 'check' as const,
        ...(zone === '1' ? { hint: careFieldWords.zonesHint } : {}),
      }));
    case 'uv-hours':
      return span('hours');
    case 'humidity':
      return [
        { name: 'day-low', label: careFieldWords.lowerEndByDay, as: 'quantity', dimension: 'humidity' },
        { name: 'day-high', label: careFieldWords.upperEndByDay, as: 'quantity', dimension: 'humidity' },
        {
          name: 'night-low',
          label: careFieldWords.lowerEndAtNight,
          hint: careFieldWords.nightHint,
          as: 'quantity',
          dimension: 'humidity',
          optional: true,
        },
        {
          name: 'night-high',
          label: careFieldWords.upperEndAtNight,
          as: 'quantity',
          dimension: 'humidity',
          optional: true,
        },
        { name: 'toleranceBelow', label: careFieldWords.noPointsBelow, as: 'quantity', dimension: 'humidity' },
        {
          name: 'toleranceAbove',
          label: careFieldWords.noPointsAbove,
          as: 'quantity',
          dimension: 'humidity',
        },
        { name: 'moistRetreat', label: careFieldWords.moistHideRequired, as: 'check' },
        { name: 'lifeCritical', label: careFieldWords.missingBandThreatensLife, as: 'check' },
      ];
    case 'water-features':
      return [
        ...WATER_FEATURES.map((feature) => ({
          name: `feature-${feature}`,
          label: capital(waterFeatureNames[feature] ?? feature),
          as: 'check' as const,
        })),
        { name: 'lifeCritical', label: careFieldWords.missingWaterThreatensLife, as: 'check' },
      ];
    case 'water-depth':
      return [
        {
          name: 'timesBody',
          label: careFieldWords.leastDepthByLength,
          hint: careFieldWords.leastDepthByLengthHint,
          as: 'times',
        },
        { name: 'lowMm', label: careFieldWords.leastDepth, as: 'quantity', dimension: 'length', optional: true },
        { name: 'highMm', label: careFieldWords.greatestDepth, as: 'quantity', dimension: 'length', optional: true },
      ];
    case 'space':
      return [
        { name: 'shape-lengthMm', label: careFieldWords.length, as: 'quantity', dimension: 'length', optional: true },
        { name: 'shape-depthMm', label: careFieldWords.depth, as: 'quantity', dimension: 'length', optional: true },
        { name: 'shape-heightMm', label: careFieldWords.height, as: 'quantity', dimension: 'length', optional: true },
        {
          name: 'shape-length',
          label: careFieldWords.lengthByLength,
          hint: careFieldWords.byLengthHint,
          as: 'times',
        },
        { name: 'shape-depth', label: careFieldWords.depthByLength, as: 'times' },
        { name: 'shape-height', label: careFieldWords.heightByLength, as: 'times' },
        { name: 'forAnimals', label: careFieldWords.animals, as: 'whole', low: 1, high: 10 },
        {
          name: 'further',
          label: careFieldWords.moreFloor,
          hint: careFieldWords.moreFloorHint,
          as: 'quantity',
          dimension: 'share',
          optional: true,
        },
      ];
    case 'hides':
      return HIDE_ZONES.map((zone) => ({
        name: `zone-${zone}`,
        label: careFieldWords.atPlace(hideZoneNames[zone]),
        as: 'check' as const,
      }));
    case 'enrichment':
      return ENRICHMENTS.map((kind) => ({
        name: `kind-${kind}`,
        label: capital(enrichmentNames[kind]),
        as: 'check' as const,
      }));
    case 'grouping':
      return [
        { name: 'atMost', label: careFieldWords.atMost, as: 'whole', low: 1, high: 20 },
        {
          name: 'atMostMales',
          label: careFieldWords.atMostMales,
          hint: careFieldWords.emptyHint,
          as: 'whole',
          low: 1,
          high: 20,
          optional: true,
        },
      ];
    case 'adult-size':
      return span('length', 'lowMm', 'highMm');
    case 'growth':
      return [{ name: 'monthsToAdult', label: careFieldWords.monthsToAdult, as: 'whole', low: 3, high: 240 }];
    default:
      return [
        { name: 'fromMonth', label: careFieldWords.firstMonthOutdoors, as: 'month' },
        { name: 'toMonth', label: careFieldWords.lastMonthOutdoors, as: 'month' },
        { name: 'nightFloor', label: careFieldWords.inNightsAbove, as: 'quantity', dimension: 'temperature' },
      ];
  }
}

/** The label of every field of every figure, for setting two versions of one side by side. */
export const everyFieldLabel: Readonly<Record<string, string>> = Object.fromEntries(
  FIGURE_NAMES.flatMap((name) => figureFields(name).map((field) => [field.name, field.label])),
);

/** The rules by which the fields of a figure are read. */
export function rulesOf(fields: readonly FigureField[], system: UnitSystem) {
  const months = monthNames.map((_, place) => String(place + 1));
  return Object.fromEntries(
    fields.map((field) => {
      const label = spoken(field);
      switch (field.as) {
        case 'quantity':
          return [
            field.name,
            field.optional
              ? optionalQuantity(label, field.dimension, system)
              : quantityField(label, field.dimension, system),
          ];
        case 'whole':
          return [
            field.name,
            field.optional
              ? optionalWholeNumber(label, field.low, field.high)
              : wholeNumber(label, field.low, field.high),
          ];
        case 'times':
          return [field.name, optionalDecimal(label, 0.3, 20, '')];
        case 'choice':
          return [
            field.name,
            choice(
              label,
              field.answers.map(({ value }) => value),
            ),
          ];
        case 'month':
          return [field.name, choice(label, months)];
        default:
          return [field.name, checkbox(label)];
      }
    }),
  );
}

/** The label of a field as it completes a sentence: 'the lower end'. */
export function spoken({ label, as }: FigureField): string {
  return as === 'check' ? `“${label}”` : `“${label.toLowerCase()}”`;
}

/** The controls of the fields of a figure. */
export function controlsOf(form: FormState, fields: readonly FigureField[]): Field[] {
  const months = monthNames.map((label, place) => ({ value: String(place + 1), label }));
  return fields.map((field) => {
    const options = field.hint === undefined ? {} : { hint: field.hint };
    switch (field.as) {
      case 'choice':
        return radioField(form, field.name, field.label, field.answers, options);
      case 'month':
        return selectField(
          form,
          field.name,
          field.label,
          [{ value: '', label: careFieldWords.chooseMonth }, ...months],
          options,
        );
      case 'check':
        return checkboxField(form, field.name, field.label, options);
      default:
        return numberField(form, field.name, field.label, options);
    }
  });
}

/** The value that the fields of a figure make; what a form does not ask for is taken from the figure it replaces. */
export function valueFrom(key: FigureKey, read: Read, species: Species, title: string): FigureValue {
  const quantity = (name: string) => (read[name] as Quantity | null)?.value ?? null;
  const must = (name: string) => quantity(name)!;
  const ticked = (prefix: string) =>
    Object.keys(read).flatMap((name) =>
      name.startsWith(prefix) && read[name] === true ? [name.slice(prefix.length)] : [],
    );
  const kind = temperatureKindOf(key);
  if (kind !== null) {
    return {
      kind,
      low: must('low'),
      high: must('high'),
      toleranceBelow: must('toleranceBelow'),
      toleranceAbove: must('toleranceAbove'),
      criticalBelow: read.criticalBelow,
      criticalAbove: read.criticalAbove,
    } as FigureValue;
  }
  switch (partsOfKey(key).name) {
    case 'uv-need':
      return { need: read.need } as FigureValue;
    case 'uv-zones':
      return ticked('zone-').map((zone) => ({ zone: Number(zone) })) as FigureValue;
    case 'uv-hours':
      return { low: must('low'), high: must('high') };
    case 'humidity': {
      const nightLow = quantity('night-low');
      return {
        day: { low: must('day-low'), high: must('day-high') },
        night: nightLow === null ? null : { low: nightLow, high: must('night-high') },
        toleranceBelow: must('toleranceBelow'),
        toleranceAbove: must('toleranceAbove'),
        moistRetreat: read.moistRetreat === true ? 'required' : 'not-needed',
        lifeCritical: read.lifeCritical === true,
      };
    }
    case 'water-features':
      return {
        features: ticked('feature-') as WaterTarget['features'],
        lifeCritical: read.lifeCritical === true,
      };
    case 'water-depth':
      return { timesBody: read.timesBody as number | null, lowMm: quantity('lowMm'), highMm: quantity('highMm') };
    case 'space':
      return [ownRule(read, quantity, species, title)];
    case 'hides':
      return { zones: ticked('zone-') as Species['hides']['zones'] };
    case 'enrichment':
      return { kinds: ticked('kind-') as Species['enrichment']['kinds'] };
    case 'grouping':
      return { atMost: read.atMost as number, atMostMales: read.atMostMales as number | null };
    case 'adult-size':
      return { measure: species.adultSize.measure, lowMm: must('lowMm'), highMm: must('highMm') };
    case 'growth':
      return { monthsToAdult: read.monthsToAdult as number };
    default:
      return { fromMonth: Number(read.fromMonth), toMonth: Number(read.toMonth), nightFloor: must('nightFloor') };
  }
}

function ownRule(
  read: Read,
  quantity: (name: string) => number | null,
  species: Species,
  title: string,
): Omit<SpaceRule, 'source' | 'grade' | 'note'> {
  const lengthMm = quantity('shape-lengthMm');
  const forAnimals = read.forAnimals as number;
  const share = quantity('further');
  return {
    ruleSet: 'own',
    title: careFieldWords.yourOwn(title),
    basis: 'guidance',
    jurisdiction: null,
    covers: { animals: species.commonName, adultsOnly: false, upToMm: null },
    measure: lengthMm === null ? species.adultSize.measure : null,
    lengthFrom: [],
    forAnimals,
    further: share === null ? null : { by: 'floor-share', steps: [{ fromAnimal: forAnimals + 1, share: share / 100 }] },
    shape:
      lengthMm === null
        ? {
            by: 'multiples',
            length: read['shape-length'] as number,
            depth: read['shape-depth'] as number | null,
            height: read['shape-height'] as number | null,
          }
        : { by: 'fixed', lengthMm, depthMm: quantity('shape-depthMm')!, heightMm: quantity('shape-heightMm') },
    heightCapMm: null,
  };
}

/** Mistakes that one field alone does not show and without which no value can be made. */
export function figureMistakes(key: FigureKey, read: Read): FormError[] {
  const { name } = partsOfKey(key);
  const is = (field: string) => read[field] !== null && read[field] !== undefined;
  const first = Object.keys(read)[0]!;
  const listed = ['uv-zones', 'hides', 'enrichment', 'water-features'].includes(name);
  const isSome = Object.entries(read).some(([field, value]) => field !== 'lifeCritical' && value === true);
  if (listed && !isSome) return [{ field: first, message: careSentences.nothingChosen }];
  if (name === 'humidity' && is('night-low') !== is('night-high'))
    return [{ field: is('night-low') ? 'night-high' : 'night-low', message: careSentences.bothEnds }];
  if (name === 'water-depth' && !is('timesBody') && !is('lowMm') && !is('highMm'))
    return [{ field: 'lowMm', message: careSentences.depthOrLength }];
  if (name !== 'space') return [];
  const fixed = ['shape-lengthMm', 'shape-depthMm', 'shape-heightMm'].some(is);
  const multiples = ['shape-length', 'shape-depth', 'shape-height'].some(is);
  if (fixed && multiples) return [{ field: 'shape-length', message: careSentences.oneWayOnly }];
  const needed = multiples ? ['shape-length', 'shape-depth'] : ['shape-lengthMm', 'shape-depthMm'];
  const missing = needed.find((field) => !is(field));
  return missing === undefined ? [] : [{ field: missing, message: careSentences.sizeMissing }];
}

/** What was typed into the fields, with units, to be shown again. */
export function typedTexts(read: Read): Record<string, string> {
  return Object.fromEntries(
    Object.entries(read).map(([name, value]) => {
      if (value === null || value === false) return [name, ''];
      if (value === true) return [name, 'yes'];
      return [name, typeof value === 'object' ? value.typed : String(value)];
    }),
  );
}

/** The texts that a figure has in its form; what a new one begins with when there is none. */
export function textsOf(key: FigureKey, content: FigureContent | null, species: Species, system: UnitSystem): Values {
  if (content === null) return firstTexts(key, species, system);
  const { name } = partsOfKey(key);
  const ticks = (prefix: string, all: readonly (string | number)[]) =>
    Object.fromEntries(all.map((one) => [`${prefix}${one}`, 'yes']));
  if (name === 'uv-zones')
    return ticks(
      'zone-',
      (content as Species['uv']['zones']).map(({ zone }) => zone),
    );
  if (name === 'hides') return ticks('zone-', (content as Species['hides']).zones);
  if (name === 'enrichment') return ticks('kind-', (content as Species['enrichment']).kinds);
  // What others ask for is not where the keeper's own rule begins.
  if (name === 'space') return { forAnimals: '1' };
  if (name === 'water-features') {
    const { features, lifeCritical } = content as WaterTarget;
    return { ...ticks('feature-', features), lifeCritical: lifeCritical ? 'yes' : '' };
  }
  return Object.fromEntries(
    figureFields(key).map((field) => {
      const inner = field.name
        .split('-')
        .reduce<unknown>((at, step) => (at as Record<string, unknown> | null)?.[step], content);
      if (inner === null || inner === undefined || inner === false) return [field.name, ''];
      if (field.name === 'moistRetreat') return [field.name, inner === 'required' ? 'yes' : ''];
      if (inner === true) return [field.name, 'yes'];
      if (field.as === 'quantity') return [field.name, typedQuantity(inner as number, field.dimension, system)];
      return [field.name, String(inner)];
    }),
  );
}

// The usual fall of a temperature outside its band is common practice, no source; the limits of an amphibian and of a cool end are rules.
function firstTexts(key: FigureKey, species: Species, system: UnitSystem): Values {
  const kind = temperatureKindOf(key);
  if (kind === null) return key === 'space' ? { forAnimals: '1' } : {};
  const isAmphibian = species.group === 'frog' || species.group === 'salamander';
  const degrees = (value: number) => typedQuantity(value, 'temperature-difference', system);
  return {
    toleranceBelow: degrees(5),
    toleranceAbove: degrees(isAmphibian || kind === 'cool-end-air' ? 1 : 5),
    criticalBelow: 'yes',
    criticalAbove: isAmphibian || kind !== 'night-air' ? 'yes' : '',
  };
}

/** The field that a fault of the species file belongs to; '' when it is the whole form's. */
export function fieldOfFault(path: readonly string[], names: readonly string[]): string {
  for (let from = Math.max(0, path.length - 3); from < path.length; from++) {
    const name = path.slice(from).join('-');
    if (names.includes(name)) return name;
  }
  return '';
}

// The form of a fitted thing: which questions each kind is asked, and what makes an answer a mistake.

import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import type { Fitting, FittingKind } from '../../src/collection.ts';
import { HEATERS, UV_LAMPS } from '../../src/collection.ts';
import type { Currency, Money } from '../../src/money.ts';
import { typedMoney } from '../../src/money.ts';
import type { HideZone } from '../../src/species.ts';
import { HIDE_ZONES } from '../../src/species.ts';
import type { Dimension, Quantity, UnitSystem } from '../../src/units.ts';
import { typedQuantity, unitName } from '../../src/units.ts';
import type { NewFitting } from '../../src/upgrades.ts';
import { cautions } from '../caution-words.ts';
import type { EnclosureRecord, FittingRecord } from '../db/collection.ts';
import type { Answer, Field } from '../fields.ts';
import { checkboxField, dayField, numberField, radioField, selectField, textField } from '../fields.ts';
import { fittingFormWords } from '../fitting-words.ts';
import { formSentences } from '../form-words.ts';
import type { FormError, FormState, Values } from '../forms.ts';
import {
  checkbox,
  choice,
  dateField,
  formOf,
  optional,
  optionalChoice,
  optionalDate,
  optionalMoney,
  optionalQuantity,
  optionalWholeNumber,
  requiredText,
} from '../forms.ts';
import { fittingHints, fittingNames, hideZoneNames, meshShares, monthNames, unlookedMesh } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { capital, percent } from '../words.ts';
import type { LampValue } from './lamp-fields.ts';
import { lampFields, lampLabels, lampMistakes, lampShape, lampTexts } from './lamp-fields.ts';
import type { KindQuestion } from './row-form.ts';

/** What is around a fitting: its enclosure, the others there, the kind that the address names for a new one. */
export type AroundFitting = {
  enclosure: EnclosureRecord;
  kind: FittingKind | null;
  system: UnitSystem;
  currency: Currency;
  locale: string;
  today: PlainDate;
  others: FittingRecord[];
};

/** The answers of the form; those that a kind is not asked are empty. Shares are from 0 to 1 but `duty`, which is in percent. */
export type FittingValue = {
  name: string;
  /** Null where a keeper does not know it. */
  fittedOn: PlainDate | null;
  lifeMonths: number | null;
  renewalPrice: Money | null;
  watts: Quantity | null;
  hoursPerDay: Quantity | null;
  duty: Quantity | null;
  place: HideZone | null;
  regulates: string | null;
  guards: string | null;
  outOfReach: boolean;
  distance: Quantity | null;
  mesh: number | 'unknown' | null;
  runLength: Quantity | null;
  runDepth: Quantity | null;
  runFrom: number | null;
  runTo: number | null;
  shade: boolean;
  whenBoxReplaced: Fitting['whenBoxReplaced'];
  moved: 'no' | 'yes' | null;
  movedOn: PlainDate | null;
  retiredOn: PlainDate | null;
} & LampValue;

/** What only some kinds are asked. */
type Asked =
  | 'watts'
  | 'hoursPerDay'
  | 'duty'
  | 'place'
  | 'regulates'
  | 'guards'
  | 'outOfReach'
  | 'lamp'
  | 'distance'
  | 'mesh'
  | 'outdoors';

const heater: Asked[] = ['watts', 'hoursPerDay', 'duty', 'outOfReach'];
const asked: Partial<Record<FittingKind, Asked[]>> = {
  'uv-tube': ['lamp', 'distance', 'mesh', 'watts', 'hoursPerDay'],
  'uv-compact': ['lamp', 'distance', 'mesh', 'watts', 'hoursPerDay'],
  'basking-lamp': ['distance', ...heater],
  'heat-mat': heater,
  'ceramic-heater': heater,
  'radiant-panel': heater,
  'rock-heater': heater,
  'water-heater': heater,
  thermostat: ['regulates', 'watts'],
  guard: ['guards'],
  timer: ['regulates', 'watts'],
  hide: ['place'],
  'moist-hide': ['place'],
  plants: ['place'],
  filter: ['watts', 'hoursPerDay'],
  fan: ['watts', 'hoursPerDay'],
  chiller: ['watts', 'hoursPerDay'],
  mister: ['watts', 'hoursPerDay'],
  'outdoor-run': ['outdoors'],
  other: ['watts', 'hoursPerDay'],
};

/** Whether a kind of fitting is asked something. */
export function has(kind: FittingKind, what: Asked): boolean {
  return asked[kind]?.includes(what) ?? false;
}

export const fittingLabels = {
  name: fittingFormWords.name,
  fittedOn: fittingFormWords.fittedOn,
  lifeMonths: fittingFormWords.lifeMonths,
  renewalPrice: fittingFormWords.renewalPrice,
  watts: fittingFormWords.watts,
  hoursPerDay: fittingFormWords.hoursPerDay,
  duty: fittingFormWords.duty,
  place: fittingFormWords.place,
  regulates: fittingFormWords.regulates,
  guards: fittingFormWords.guards,
  outOfReach: fittingFormWords.outOfReach,
  ...lampLabels,
  distance: fittingFormWords.distance,
  mesh: fittingFormWords.mesh,
  runLength: fittingFormWords.runLength,
  runDepth: fittingFormWords.runDepth,
  runFrom: fittingFormWords.runFrom,
  runTo: fittingFormWords.runTo,
  shade: fittingFormWords.shade,
  whenBoxReplaced: fittingFormWords.whenBoxReplaced,
  retiredOn: fittingFormWords.notInUseSince,
} as const;

/** What the field is called that says what a thing works on: a timer switches, a thermostat regulates. */
export function regulatesLabel(kind: FittingKind): string {
  return kind === 'timer' ? fittingFormWords.switches : fittingLabels.regulates;
}

const kindGroups = [
  'UV',
  'Heat',
  'Control and guards',
  'Air and cooling',
  'Water and damp',
  'Hides',
  'Places and furniture',
  'Something to do',
  'Elsewhere',
] as const;

// Every kind stands in a group; within one they stand in this order.
const groupOf: Readonly<Record<FittingKind, (typeof kindGroups)[number]>> = {
  'uv-tube': 'UV',
  'uv-compact': 'UV',
  'basking-lamp': 'Heat',
  'ceramic-heater': 'Heat',
  'radiant-panel': 'Heat',
  'heat-mat': 'Heat',
  'rock-heater': 'Heat',
  insulation: 'Heat',
  thermostat: 'Control and guards',
  'unknown-thermostat': 'Control and guards',
  timer: 'Control and guards',
  guard: 'Control and guards',
  fan: 'Air and cooling',
  chiller: 'Air and cooling',
  mister: 'Water and damp',
  'water-dish': 'Water and damp',
  pool: 'Water and damp',
  'water-heater': 'Water and damp',
  'unknown-heater': 'Heat',
  filter: 'Water and damp',
  'dry-dock': 'Water and damp',
  hide: 'Hides',
  'moist-hide': 'Hides',
  plants: 'Hides',
  'basking-place': 'Places and furniture',
  shelf: 'Places and furniture',
  perch: 'Places and furniture',
  branches: 'Places and furniture',
  'deep-substrate': 'Places and furniture',
  'feeding-toy': 'Something to do',
  novelty: 'Something to do',
  'outdoor-run': 'Elsewhere',
  other: 'Elsewhere',
};

/** The page that asks what kind of thing is fitted. */
export function kindQuestion(enclosure: EnclosureRecord): KindQuestion {
  const kinds = Object.keys(groupOf) as FittingKind[];
  return {
    heading: fittingFormWords.whatIsFitted(enclosure.name),
    lead: fittingFormWords.chooseKind,
    groups: kindGroups.map((legend) => ({
      legend,
      answers: kinds
        .filter((kind) => groupOf[kind] === legend)
        .map((kind) => ({
          href: paths.enclosures.fittings.newOf(enclosure.id, kind),
          label: fittingNames[kind],
          hint: fittingHints[kind],
        })),
    })),
    cancel: paths.enclosures.show(enclosure.id),
  };
}

/** How each answer is read. Answers that a kind is not asked read as empty. */
export function fittingSchema(
  { system, currency, locale, others }: AroundFitting,
  row: FittingRecord | null,
): z.ZodType<FittingValue> {
  const length = (label: string) => optionalQuantity(label, 'length', system);
  const ids = others.filter((one) => one.id !== row?.id).map((one) => one.id);
  return formOf({
    name: requiredText(fittingFormWords.theName, 120),
    fittedOn: row === null ? optionalDate(fittingFormWords.theDayFitted) : dateField(fittingFormWords.theDayFitted),
    lifeMonths: optionalWholeNumber(fittingFormWords.theLife, 1, 600, 'months'),
    renewalPrice: optionalMoney(fittingFormWords.theRenewalPrice, { currency, locale }),
    watts: optionalQuantity(fittingFormWords.theWatts, 'power', system),
    hoursPerDay: optionalQuantity(fittingFormWords.theHours, 'hours', system),
    duty: optionalQuantity(fittingFormWords.theShare, 'share', system),
    place: optionalChoice(fittingFormWords.thePlace, HIDE_ZONES),
    regulates: optionalChoice(fittingFormWords.whatItRegulates, ids),
    guards: optionalChoice(fittingFormWords.whatItGuards, ids),
    outOfReach: checkbox(fittingFormWords.whetherOutOfReach),
    ...lampShape(system),
    distance: length(fittingFormWords.theDistance),
    mesh: optional<number | 'unknown'>((typed) => {
      if (typed === unlookedMesh.value) return { status: 'ok', value: unlookedMesh.value };
      const share = Number(typed);
      return /^\d(\.\d{1,6})?$/.test(typed) && share <= 1
        ? { status: 'ok', value: share }
        : { status: 'bad', message: formSentences.choose(fittingFormWords.whatIsBetween) };
    }),
    runLength: length(fittingFormWords.theRunLength),
    runDepth: length(fittingFormWords.theRunDepth),
    runFrom: optionalWholeNumber(fittingFormWords.theFirstMonth, 1, 12),
    runTo: optionalWholeNumber(fittingFormWords.theLastMonth, 1, 12),
    shade: checkbox(fittingFormWords.whetherShade),
    whenBoxReplaced: choice(fittingFormWords.whatHappensToIt, ['moves', 'stays-behind']),
    moved: optionalChoice(fittingFormWords.whetherMoved, ['no', 'yes']),
    movedOn: optionalDate(fittingFormWords.theDayMoved),
    retiredOn: optionalDate(fittingFormWords.theDayRetired),
  });
}

/** Answers that do not go together. */
export function fittingMistakes(
  { kind, today }: AroundFitting,
  value: FittingValue,
  row: FittingRecord | null,
): FormError[] {
  const which = row?.kind ?? kind!;
  const errors: FormError[] = [];
  const miss = (field: string, label: string) => errors.push({ field, message: formSentences.required(label) });
  if (has(which, 'lamp')) {
    errors.push(...lampMistakes(which, value));
    if (value.mesh === null)
      errors.push({ field: 'mesh', message: formSentences.choose(fittingFormWords.whatIsBetween) });
  }
  if (has(which, 'outdoors')) {
    if (value.runLength === null) miss('runLength', fittingFormWords.theRunLength);
    if (value.runDepth === null) miss('runDepth', fittingFormWords.theRunDepth);
    if (value.runFrom === null) miss('runFrom', fittingFormWords.theFirstMonth);
    if (value.runTo === null) miss('runTo', fittingFormWords.theLastMonth);
  }
  if (value.moved === 'yes') {
    if (value.movedOn === null) miss('movedOn', fittingFormWords.theDayMoved);
    else if (value.movedOn > today)
      errors.push({ field: 'movedOn', message: formSentences.notLater(fittingFormWords.theDayMoved) });
    else if (value.fittedOn !== null && value.movedOn < value.fittedOn)
      errors.push({
        field: 'movedOn',
        message: formSentences.notBefore(fittingFormWords.theDayMoved, fittingFormWords.theDayFitted),
      });
  }
  if (value.retiredOn !== null && value.fittedOn !== null && value.retiredOn < value.fittedOn)
    errors.push({
      field: 'retiredOn',
      message: formSentences.notBefore(fittingFormWords.theDayRetired, fittingFormWords.theDayFitted),
    });
  return errors;
}

/** How a thing that is fitted, or would be, reads in the fields that every form of fitted things shares. */
export function thingTexts(thing: Omit<NewFitting, 'key'>, system: UnitSystem, currency: Currency) {
  const text = (value: number | null, dimension: Dimension) =>
    value === null ? '' : typedQuantity(value, dimension, system);
  return {
    name: thing.name,
    lifeMonths: thing.lifeMonths === null ? '' : String(thing.lifeMonths),
    renewalPrice: thing.renewalPrice === null ? '' : typedMoney(thing.renewalPrice, currency),
    watts: text(thing.watts, 'power'),
    hoursPerDay: text(thing.hoursPerDay, 'hours'),
    duty: text(thing.duty === null ? null : thing.duty * 100, 'share'),
    place: thing.place ?? '',
    regulates: thing.regulates ?? '',
    guards: thing.guards ?? '',
    outOfReach: thing.outOfReach ? 'yes' : '',
    ...(has(thing.kind, 'lamp') || thing.lamp !== null ? lampTexts(thing.lamp, thing.kind, system) : {}),
    distance: text(thing.distanceMm, 'length'),
    mesh: thing.meshShare === null ? unlookedMesh.value : String(thing.meshShare),
    runLength: text(thing.outdoors?.lengthMm ?? null, 'length'),
    runDepth: text(thing.outdoors?.depthMm ?? null, 'length'),
    runFrom: thing.outdoors === null ? '' : String(thing.outdoors.fromMonth),
    runTo: thing.outdoors === null ? '' : String(thing.outdoors.toMonth),
    shade: thing.outdoors?.shade === true ? 'yes' : '',
    whenBoxReplaced: thing.whenBoxReplaced,
  };
}

/** How a kept fitting reads in its form. */
export function fittingTexts({ system, currency }: AroundFitting, row: FittingRecord): Values {
  const texts = thingTexts(row, system, currency);
  return {
    ...texts,
    fittedOn: row.fittedOn,
    distance: row.distanceTyped === '' ? texts.distance : row.distanceTyped,
    moved: 'no',
    retiredOn: row.retiredOn ?? '',
  };
}

/** The form of one kind of fitting. */
export function fittingForm(around: AroundFitting, form: FormState, row: FittingRecord | null) {
  const kind = row?.kind ?? around.kind!;
  const { enclosure } = around;
  return {
    heading:
      row === null ? fittingFormWords.fittedIn(enclosure.name, fittingNames[kind]) : fittingFormWords.change(row.name),
    lead: row === null ? null : fittingNames[kind],
    cautions: cautionsFor(kind),
    groups: [
      {
        legend: null,
        fields: [
          textField(form, 'name', fittingLabels.name, {
            hint: has(kind, 'watts') ? fittingFormWords.nameWithWatts : fittingFormWords.nameAmongAlike,
          }),
          dayField(form, 'fittedOn', fittingLabels.fittedOn, {
            hint: row === null ? fittingFormWords.fittedOnNew : fittingFormWords.fittedOnCorrected,
          }),
        ],
      },
      ...questions(around, form, kind, row),
      {
        legend: fittingFormWords.wear,
        fields: [
          numberField(form, 'lifeMonths', fittingLabels.lifeMonths, {
            hint: fittingFormWords.lifeHint,
            suffix: 'months',
          }),
          numberField(form, 'renewalPrice', fittingLabels.renewalPrice, { suffix: around.currency.code }),
          radioField(form, 'whenBoxReplaced', fittingLabels.whenBoxReplaced, [
            { value: 'moves', label: fittingFormWords.moves },
            { value: 'stays-behind', label: fittingFormWords.staysBehind, hint: fittingFormWords.staysBehindWhy },
          ]),
          ...(row === null || row.retiredOn === null
            ? []
            : [
                dayField(form, 'retiredOn', fittingLabels.retiredOn, {
                  hint: fittingFormWords.backIntoUse,
                }),
              ]),
        ],
      },
    ],
    submit: row === null ? fittingFormWords.enter : fittingFormWords.save,
    cancel: paths.enclosures.show(enclosure.id),
  };
}

function questions(
  { system, others }: AroundFitting,
  form: FormState,
  kind: FittingKind,
  row: FittingRecord | null,
): { legend: string; folded?: boolean; open?: boolean; fields: Field[] }[] {
  const when = (what: Asked, ...fields: Field[]) => (has(kind, what) ? fields : []);
  const unit = unitName('length', system);
  const lamp = has(kind, 'lamp') ? lampFields(form, kind, system) : { first: [], more: [], filled: false };
  const names = (kinds: (other: FittingRecord) => boolean): Answer[] => [
    { value: '', label: fittingFormWords.nothingHere },
    ...others.filter((one) => one.id !== row?.id && kinds(one)).map((one) => ({ value: one.id, label: one.name })),
  ];
  const months = [
    { value: '', label: fittingFormWords.chooseMonth },
    ...monthNames.map((label, place) => ({ value: String(place + 1), label })),
  ];
  const places = [
    { value: '', label: fittingFormWords.nowhere },
    ...HIDE_ZONES.map((value) => ({ value, label: capital(hideZoneNames[value]) })),
  ];
  const own =
    row !== null && row.meshShare !== null && !meshShares.some(({ value }) => Number(value) === row.meshShare);
  const meshes = [
    { value: '', label: fittingFormWords.chooseBetween },
    ...meshShares,
    ...(own ? [{ value: String(row.meshShare), label: fittingFormWords.passes(percent(row.meshShare!)) }] : []),
    unlookedMesh,
  ];
  const place = [
    ...when('place', selectField(form, 'place', fittingLabels.place, places)),
    ...when(
      'distance',
      numberField(form, 'distance', fittingLabels.distance, {
        hint: fittingFormWords.distanceHint(unit),
      }),
    ),
    ...when('mesh', selectField(form, 'mesh', fittingLabels.mesh, meshes)),
    ...when('outOfReach', checkboxField(form, 'outOfReach', fittingLabels.outOfReach)),
  ];
  const moved =
    row === null || place.length === 0
      ? []
      : [
          radioField(form, 'moved', fittingFormWords.wasMoved, [
            { value: 'no', label: fittingFormWords.onlyCorrected },
            {
              value: 'yes',
              label: fittingFormWords.yes,
              hint: fittingFormWords.movedHint,
            },
          ]),
          dayField(form, 'movedOn', fittingFormWords.movedOn),
        ];
  const parts = [
    {
      legend: fittingFormWords.worksOn,
      fields: [
        ...when(
          'regulates',
          selectField(
            form,
            'regulates',
            regulatesLabel(kind),
            names((one) => HEATERS.has(one.kind) || (kind === 'timer' && UV_LAMPS.has(one.kind))),
          ),
        ),
        ...when(
          'guards',
          selectField(
            form,
            'guards',
            fittingLabels.guards,
            names((one) => HEATERS.has(one.kind) || one.kind.startsWith('uv-')),
          ),
        ),
      ],
    },
    { legend: fittingFormWords.itsOutput, fields: lamp.first },
    { legend: fittingFormWords.moreAboutLamp, folded: true, open: lamp.filled, fields: lamp.more },
    { legend: fittingFormWords.whereItIs, fields: [...place, ...moved] },
    {
      legend: fittingFormWords.itsCurrent,
      fields: [
        ...when('watts', numberField(form, 'watts', fittingLabels.watts, { suffix: 'W' })),
        ...when(
          'hoursPerDay',
          numberField(form, 'hoursPerDay', fittingLabels.hoursPerDay, {
            hint: fittingFormWords.hoursHint,
            suffix: 'h',
          }),
        ),
        ...when(
          'duty',
          numberField(form, 'duty', fittingLabels.duty, {
            hint: fittingFormWords.dutyHint,
            suffix: '%',
          }),
        ),
      ],
    },
    {
      legend: fittingFormWords.theRun,
      fields: when(
        'outdoors',
        numberField(form, 'runLength', fittingLabels.runLength, { hint: fittingFormWords.inUnit(unit) }),
        numberField(form, 'runDepth', fittingLabels.runDepth),
        selectField(form, 'runFrom', fittingLabels.runFrom, months),
        selectField(form, 'runTo', fittingLabels.runTo, months),
        checkboxField(form, 'shade', fittingLabels.shade, {
          hint: fittingFormWords.shadeHint,
        }),
      ),
    },
  ];
  return parts.filter(({ fields }) => fields.length > 0);
}

/** What to heed before a thing of a kind is fitted or replaced; empty when nothing special. */
export function cautionsFor(kind: FittingKind): string[] {
  const uv = UV_LAMPS.has(kind);
  const wet = ['water-heater', 'filter', 'mister', 'pool'].includes(kind);
  return [
    ...(HEATERS.has(kind) ? [cautions.burns] : []),
    ...(uv ? [cautions.uvAndEyes] : []),
    ...(wet || has(kind, 'watts') ? [cautions.mainsAndWater] : []),
    ...(kind === 'rock-heater' ? [cautions.rockHeater] : []),
  ];
}

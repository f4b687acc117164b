// How a lamp's output is asked for, read and written in forms: the first figure in sight, everything more on a click. Only this file knows
// the names of these fields and which of them a mistake in the figures belongs to.

import type { FittingKind, LampOutput, OutputOrigin, Reflector } from '../../src/collection.ts';
import { lampOf, OUTPUT_ORIGINS, REFLECTORS } from '../../src/collection.ts';
import type { OutputMistake } from '../../src/light.ts';
import { mistakeIn } from '../../src/light.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { typedQuantity, unitName } from '../../src/units.ts';
import { checkboxField, type Field, numberField, selectField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  type FormError,
  type FormState,
  optionalChoice,
  optionalDecimal,
  optionalQuantity,
  type Values,
} from '../forms.ts';
import { lampFieldSentences, originNames, outputMistakes, reflectorNames } from '../light-words.ts';

// Rows for further points; the first point has fields of its own.
const ROWS = [2, 3, 4, 5, 6, 7, 8, 9] as const;
type Row = (typeof ROWS)[number];
// As many rows as a new lamp offers: a chart seldom gives more.
const FEWEST_ROWS = 3;
// Beyond it a spread is a slip of the pen: a spot lamp has some ten.
const MOST_BEAM = 99;

/** The answers about a lamp's output as they were read, by field name. */
export type LampValue = {
  lampUvi: Quantity | null;
  lampAt: Quantity | null;
  litLength: Quantity | null;
  lampFrom: OutputOrigin | null;
  lampReflector: Reflector | null;
  lampThroughMesh: boolean;
  lampDatum: Quantity | null;
  lampBeam: number | null;
} & Record<`lamp${Row}${'At' | 'Uvi'}`, Quantity | null>;

/** The label of each field, in the order of the form. */
export const lampLabels = {
  lampFrom: 'Where its figures come from',
  lampUvi: 'UV index of the lamp',
  lampAt: 'At this distance from the lamp',
  litLength: 'Lit length of the tube',
  lampReflector: 'Reflector behind it',
  lampDatum: 'Distances begin this far below it',
  lampThroughMesh: 'Its figures were taken through the mesh',
  lampBeam: 'How fast it fades to the side',
  ...(Object.fromEntries(
    ROWS.flatMap((row) => [
      [`lamp${row}At`, `Distance of figure ${row}`],
      [`lamp${row}Uvi`, `UV index of figure ${row}`],
    ]),
  ) as Record<`lamp${Row}${'At' | 'Uvi'}`, string>),
} as const;

/** How each of the fields is read. */
export function lampShape(system: UnitSystem) {
  const points = Object.fromEntries(
    ROWS.flatMap((row) => [
      [`lamp${row}At`, optionalQuantity(`the distance of figure ${row}`, 'length', system)],
      [`lamp${row}Uvi`, optionalQuantity(`the UV index of figure ${row}`, 'uv-index', system)],
    ]),
  ) as Record<`lamp${Row}${'At' | 'Uvi'}`, ReturnType<typeof optionalQuantity>>;
  return {
    lampUvi: optionalQuantity('the UV index of the lamp', 'uv-index', system),
    lampAt: optionalQuantity('the distance at which the lamp gives it', 'length', system),
    litLength: optionalQuantity('the lit length', 'length', system),
    lampFrom: optionalChoice('where the figures come from', OUTPUT_ORIGINS),
    lampReflector: optionalChoice('the reflector', REFLECTORS),
    lampThroughMesh: checkbox('whether the figures were taken through the mesh'),
    lampDatum: optionalQuantity('where distances begin', 'position', system),
    lampBeam: optionalDecimal('how fast it fades to the side', -MOST_BEAM, MOST_BEAM, ''),
    ...points,
  };
}

/** Where the figures of a new lamp come from: of a compact lamp there is seldom more than its packaging. */
export function usualOrigin(kind: FittingKind): OutputOrigin {
  return kind === 'uv-compact' ? 'packaging' : 'class';
}

/** How the output of a lamp reads in the fields; null is a lamp of which no figure is known. */
export function lampTexts(lamp: LampOutput | null, kind: FittingKind, system: UnitSystem): Values {
  if (lamp === null) {
    return { lampUvi: '', lampAt: '', litLength: '', lampFrom: usualOrigin(kind), lampReflector: 'unknown' };
  }
  const length = (mm: number) => typedQuantity(mm, 'length', system);
  const uvi = (value: number) => typedQuantity(value, 'uv-index', system);
  const points = lamp.more.slice(0, ROWS.length).flatMap((one, place) => [
    [`lamp${ROWS[place]}At`, length(one.atMm)],
    [`lamp${ROWS[place]}Uvi`, uvi(one.uvi)],
  ]);
  return {
    lampUvi: uvi(lamp.uvi),
    lampAt: length(lamp.atMm),
    litLength: lamp.litLengthMm === null ? '' : length(lamp.litLengthMm),
    lampFrom: lamp.from,
    lampReflector: lamp.reflector,
    lampThroughMesh: lamp.throughMesh ? 'yes' : '',
    lampDatum: lamp.datumOffsetMm === 0 ? '' : typedQuantity(lamp.datumOffsetMm, 'position', system),
    lampBeam: lamp.beam === null ? '' : String(lamp.beam),
    ...(Object.fromEntries(points) as Values),
  };
}

/**
 * The fields of a lamp: what is asked of every one, and what only some keepers know. `name` makes the name of a field in its form. `filled` says
 * whether any of `more` holds an answer or a mistake, so that it must be in sight.
 */
export function lampFields(
  form: FormState,
  kind: FittingKind,
  system: UnitSystem,
  name: (field: string) => string = (field) => field,
): { first: Field[]; more: Field[]; filled: boolean } {
  const unit = unitName('length', system);
  const isTube = kind === 'uv-tube';
  const text = (field: string) => form.values[name(field)] ?? '';
  const holds = (field: string) => text(field) !== '' || form.errors.some((one) => one.field === name(field));
  const last = Math.max(1, ...ROWS.filter((row) => holds(`lamp${row}At`) || holds(`lamp${row}Uvi`)));
  const rows = ROWS.filter((row) => row <= Math.max(FEWEST_ROWS + 1, last + 1));
  const label = lampLabels;
  const first = [
    selectField(
      form,
      name('lampFrom'),
      label.lampFrom,
      OUTPUT_ORIGINS.map((value) => ({ value, label: originNames[value] })),
      { hint: isTube ? lampFieldSentences.origin : lampFieldSentences.originOfCompact },
    ),
    numberField(form, name('lampUvi'), label.lampUvi, { hint: lampFieldSentences.uvi }),
    numberField(form, name('lampAt'), label.lampAt, { hint: `In ${unit} unless you write another unit.` }),
    ...(isTube || text('litLength') !== ''
      ? [numberField(form, name('litLength'), label.litLength, { hint: 'Between the end caps, not the whole tube.' })]
      : []),
  ];
  const more = [
    selectField(
      form,
      name('lampReflector'),
      label.lampReflector,
      REFLECTORS.map((value) => ({ value, label: reflectorNames[value] })),
    ),
    numberField(form, name('lampDatum'), label.lampDatum, {
      hint: isTube ? lampFieldSentences.datumOfTube : lampFieldSentences.datumOfPoint,
    }),
    checkboxField(form, name('lampThroughMesh'), label.lampThroughMesh, { hint: lampFieldSentences.throughMesh }),
    ...rows.flatMap((row) => [
      numberField(
        form,
        name(`lamp${row}At`),
        label[`lamp${row}At`],
        row === 2 ? { hint: lampFieldSentences.more } : {},
      ),
      numberField(form, name(`lamp${row}Uvi`), label[`lamp${row}Uvi`]),
    ]),
    numberField(form, name('lampBeam'), label.lampBeam, { hint: lampFieldSentences.beam }),
  ];
  const filled = more.some(
    (one) =>
      one.error !== null ||
      (one.isCheckbox
        ? one.checked
        : one.value !== '' && !(one.name === name('lampReflector') && one.value === 'unknown')),
  );
  return { first, more, filled };
}

/** Answers about a lamp that do not go together, each at its field. */
export function lampMistakes(kind: FittingKind, value: LampValue): FormError[] {
  const errors: FormError[] = [];
  const miss = (field: string, label: string) => errors.push({ field, message: formSentences.required(label) });
  const rows = ROWS.filter((row) => value[`lamp${row}At`] !== null || value[`lamp${row}Uvi`] !== null);
  for (const row of rows) {
    if (value[`lamp${row}At`] === null) miss(`lamp${row}At`, `the distance of figure ${row}`);
    if (value[`lamp${row}Uvi`] === null) miss(`lamp${row}Uvi`, `the UV index of figure ${row}`);
  }
  const { lampUvi, lampAt, litLength, lampFrom } = value;
  if (lampUvi === null && lampAt === null) {
    const alone =
      rows.length > 0 ||
      litLength !== null ||
      value.lampDatum !== null ||
      value.lampBeam !== null ||
      value.lampThroughMesh ||
      (value.lampReflector ?? 'unknown') !== 'unknown' ||
      lampFrom === 'own-reading' ||
      lampFrom === 'maker-chart';
    if (alone) errors.push({ field: 'lampUvi', message: lampFieldSentences.alone });
    return errors;
  }
  if (lampUvi === null) miss('lampUvi', 'the UV index of the lamp');
  if (lampAt === null) miss('lampAt', 'the distance at which the lamp gives it');
  if (kind === 'uv-tube' && litLength === null) miss('litLength', 'the lit length');
  if (errors.length > 0) return errors;
  const lamp = lampRead(value, null)!;
  // Points are added one by one in the order of the form, so that the first that cannot be with those before it is found.
  for (const [place, row] of [null, ...rows].entries()) {
    const mistake = mistakeIn({ ...lamp, more: lamp.more.slice(0, place) });
    if (mistake !== null) return [{ field: fieldOf(mistake, row), message: outputMistakes[mistake] }];
  }
  return [];
}

/**
 * The output that the answers describe; null without a first figure. `known` is what was known before: a lamp may hold more points than the
 * form has rows.
 */
export function lampRead(value: LampValue, known: LampOutput | null): LampOutput | null {
  const { lampUvi, lampAt, litLength } = value;
  if (lampUvi === null || lampAt === null) return null;
  const points = ROWS.flatMap((row) => {
    const [at, uvi] = [value[`lamp${row}At`], value[`lamp${row}Uvi`]];
    return at === null || uvi === null ? [] : [{ atMm: at.value, uvi: uvi.value }];
  });
  return lampOf(litLength?.value ?? null, lampAt.value, lampUvi.value, {
    more: withUnshownPoints(known, points),
    from: value.lampFrom ?? known?.from ?? 'class',
    datumOffsetMm: value.lampDatum?.value ?? 0,
    reflector: value.lampReflector ?? known?.reflector ?? 'unknown',
    throughMesh: value.lampThroughMesh,
    beam: value.lampBeam,
  });
}

/** Points read from a form with those that a lamp has beyond the rows of the form. */
export function withUnshownPoints(known: LampOutput | null, points: LampOutput['more']): LampOutput['more'] {
  return [...points, ...(known?.more.slice(ROWS.length) ?? [])];
}

function fieldOf(mistake: OutputMistake, row: Row | null): string {
  const point = row === null ? 'lamp' : `lamp${row}`;
  switch (mistake) {
    case 'lit-length-not-above-zero':
      return 'litLength';
    case 'beam-below-zero':
      return 'lampBeam';
    case 'distance-not-above-zero':
      return `${point}At`;
    case 'uvi-not-above-zero':
    case 'farther-reads-higher':
      return `${point}Uvi`;
  }
}

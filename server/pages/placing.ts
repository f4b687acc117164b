// The form that says by number where in its box a thing stands, and what its light and its animals' scores would become there, before
// anything is saved.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import type { Collection, Fitting, FittingKind, Placement } from '../../src/collection.ts';
import { setupOf, UV_LAMPS } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import { lampsOfClass, ratiosToKeep } from '../../src/evidence.ts';
import { lightingOf } from '../../src/light-scene.ts';
import type { Scoring } from '../../src/score.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { typedQuantity, unitName } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import { changeFitting, type EnclosureRecord, type FittingRecord, type Saved } from '../db/collection.ts';
import {
  type Conflict,
  conflictView,
  type Field,
  type FormPage,
  formPage,
  numberField,
  radioField,
} from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  choice,
  type FormError,
  type FormState,
  formOf,
  optionalQuantity,
  parseForm,
  quantityField,
  startForm,
  type Values,
} from '../forms.ts';
import { classFiguresSentence, heightQuestion, type LightSpeech } from '../light-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { fittingAt, versionOf } from './asked-row.ts';
import { canBePlaced } from './light.view.ts';
import { type LightPreview, lightPreview, mistakesOfPlace } from './light-preview.ts';
import { saveOnce } from './sent-twice.ts';

/** What is around the thing that is placed. */
type Around = {
  enclosure: EnclosureRecord;
  row: FittingRecord;
  scoring: Scoring;
  system: UnitSystem;
  locale: string;
  today: PlainDate;
};

type Value = {
  x: Quantity;
  y: Quantity;
  z: Quantity;
  length: Quantity | null;
  depth: Quantity | null;
  height: Quantity | null;
  turned: 'no' | 'yes';
  moved: 'no' | 'yes';
};

const SIZED: ReadonlySet<FittingKind> = new Set(['basking-place', 'shelf', 'hide', 'moist-hide']);
const TURNABLE: ReadonlySet<FittingKind> = new Set(['uv-tube', 'heat-mat', 'radiant-panel']);
// May hang over a mesh top.
const HANGING: ReadonlySet<FittingKind> = new Set(['basking-lamp', 'ceramic-heater', 'radiant-panel']);

const names = ['x', 'y', 'z', 'length', 'depth', 'height', 'turned', 'moved'] as const;

export function placingPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  const url = paths.enclosures.fittings.place(':enclosure', ':id');

  app.get(url, (request, reply) => {
    const around = gather(request);
    const asked = request.query as Record<string, unknown>;
    if (asked.x === undefined) return show(reply, around, startForm(textsOf(around)), {});
    const fields = Object.fromEntries(names.flatMap((name) => (name in asked ? [[name, asked[name]]] : [])));
    const read = readPlace(around, fields);
    if (read.status === 'bad') return show(reply, around, read, { status: 422 });
    return show(reply, around, startForm(read.values), { preview: previewOf(around, read.value) });
  });

  app.post(url, (request, reply) => {
    const around = gather(request);
    const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const version = versionOf(request);
    const { row, today } = around;
    const read = readPlace(around, fields);
    if (read.status === 'bad' && version === row.version) return show(reply, around, read, { status: 422, version });
    if (read.status === 'ok' && save(request, row, version, placedFitting(row, read.value, today)) === 'saved')
      return reply.redirect(withNotice(paths.enclosures.light(row.enclosureId), 'saved'), 303);
    const there = gather(request);
    const conflict = conflictView(
      `the place of “${there.row.name}”`,
      labelsOf(there.row.kind),
      textsOf(there),
      read.values,
      paths.enclosures.light(row.enclosureId),
    );
    const form = read.status === 'bad' ? read : startForm(read.values);
    return show(reply, there, form, { status: 409, conflict });
  });

  app.post(paths.enclosures.fittings.takePlaceAway(':enclosure', ':id'), (request, reply) => {
    const { row } = gather(request);
    if (save(request, row, versionOf(request), { ...row, placed: null }) === 'conflict')
      throw new AppError('conflict', formSentences.changedMeanwhile);
    return reply.redirect(withNotice(paths.enclosures.light(row.enclosureId), 'saved'), 303);
  });

  function save(request: FastifyRequest, row: FittingRecord, version: number, changed: FittingRecord): Saved {
    const { id: _, removedOn: _removed, version: _version, ...facts } = changed;
    const shownAt = () => paths.enclosures.light(row.enclosureId);
    return saveOnce(db, request, shownAt, (tx) => changeFitting(tx, Number(row.id), version, facts));
  }

  function gather(request: FastifyRequest): Around {
    const { enclosure, row } = fittingAt(db, request.params);
    if (!canBePlaced(row)) throw new AppError('not_found', formSentences.neverThere);
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    return { enclosure, row, scoring, system: ledger.unitSystem, locale: ledger.locale, today };
  }

  function show(
    reply: FastifyReply,
    around: Around,
    form: FormState,
    {
      status = 200,
      version = around.row.version,
      conflict = null,
      preview = null,
    }: { status?: number; version?: number; conflict?: Conflict | null; preview?: LightPreview | null },
  ): FastifyReply {
    const { enclosure, row } = around;
    const page: FormPage = formPage(form, {
      heading: `Where “${row.name}” stands`,
      lead: 'Measured inside the box: from its left wall, from its front, and up from the floor.',
      cautions: UV_LAMPS.has(row.kind) ? [cautions.uvAndEyes] : [],
      action: paths.enclosures.fittings.place(enclosure.id, row.id),
      version: String(version),
      conflict,
      groups: groupsOf(around, form),
      submit: 'Save this place',
      cancel: paths.enclosures.light(enclosure.id),
    });
    const takeAway =
      row.placed === null
        ? null
        : { action: paths.enclosures.fittings.takePlaceAway(enclosure.id, row.id), version: String(row.version) };
    const setup = setupOf(around.scoring.collection, enclosure.id);
    const isOfClass = lampsOfClass(setup, around.today).some(({ id }) => id === row.id);
    const ofClass = isOfClass ? classFiguresSentence(row.name) : null;
    const model = { ...page, preview, takeAway, ofClass };
    return render(reply, 'placing', model, {
      title: page.heading,
      current: 'enclosures',
      status,
      back: { href: paths.enclosures.show(enclosure.id), label: enclosure.name },
    });
  }
}

const labelsOf = (kind: FittingKind) => ({
  x: 'Its middle from the left wall',
  y: 'Its middle from the front',
  z: heightQuestion(kind),
  length: 'Its size from left to right',
  depth: 'Its size from front to back',
  height: 'Its own height',
});

function groupsOf({ row, system }: Around, form: FormState): { legend: string | null; fields: Field[] }[] {
  const labels = labelsOf(row.kind);
  const unit = unitName('length', system);
  const sizes = UV_LAMPS.has(row.kind)
    ? []
    : [
        numberField(form, 'length', labels.length),
        numberField(form, 'depth', labels.depth),
        numberField(form, 'height', labels.height),
      ];
  return [
    {
      legend: 'Its place',
      fields: [
        numberField(form, 'x', labels.x, { hint: `In ${unit} unless you write another unit.` }),
        numberField(form, 'y', labels.y),
        numberField(form, 'z', labels.z),
        ...(TURNABLE.has(row.kind)
          ? [
              radioField(form, 'turned', 'It lies', [
                { value: 'no', label: 'From left to right' },
                { value: 'yes', label: 'From front to back' },
              ]),
            ]
          : []),
      ],
    },
    ...(sizes.length === 0
      ? []
      : [{ legend: SIZED.has(row.kind) ? 'Its outside size' : 'Its outside size, if it has one', fields: sizes }]),
    ...(row.placed === null
      ? []
      : [
          {
            legend: null,
            fields: [
              radioField(form, 'moved', 'Was it moved?', [
                { value: 'no', label: 'No, I only correct what was entered' },
                {
                  value: 'yes',
                  label: 'Yes, today',
                  hint: 'Readings that hang on it no longer count as they are, and a distance written down for it changes by as much as its height.',
                },
              ]),
            ],
          },
        ]),
  ];
}

function textsOf({ row, system }: Around): Values {
  const { placed } = row;
  const text = (mm: number | null) => (mm === null ? '' : typedQuantity(mm, 'length', system));
  if (placed === null) return { turned: 'no', moved: 'no' };
  return {
    x: typedQuantity(placed.xMm, 'position', system),
    y: typedQuantity(placed.yMm, 'position', system),
    z: typedQuantity(placed.zMm, 'position', system),
    length: text(placed.lengthMm),
    depth: text(placed.depthMm),
    height: text(placed.heightMm),
    turned: placed.turned ? 'yes' : 'no',
    moved: 'no',
  };
}

function readPlace(
  around: Around,
  fields: Record<string, unknown>,
): { status: 'ok'; value: Value; values: Values } | ({ status: 'bad' } & FormState) {
  const { row, system } = around;
  const sized = SIZED.has(row.kind);
  const size = (label: string) => optionalQuantity(label, 'length', system);
  const rules = formOf({
    x: quantityField('its middle from the left wall', 'position', system),
    y: quantityField('its middle from the front', 'position', system),
    z: quantityField('its height above the floor', 'position', system),
    length: size('its size from left to right'),
    depth: size('its size from front to back'),
    height: size('its own height'),
    turned: choice('how it lies', ['no', 'yes']),
    moved: choice('whether it was moved', ['no', 'yes']),
  });
  const read = parseForm(rules, { turned: 'no', moved: 'no', ...fields });
  if (read.status === 'bad') return read;
  const { value, values } = read;
  const errors: FormError[] = [];
  for (const [name, label] of [
    ['length', 'its size from left to right'],
    ['depth', 'its size from front to back'],
    ['height', 'its own height'],
  ] as const) {
    const given = value[name];
    if (given === null ? sized : given.value <= 0)
      errors.push({ field: name, message: `Give ${label} as more than 0.` });
  }
  if (value.moved === 'yes' && row.fittedOn > around.today)
    errors.push({ field: 'moved', message: formSentences.notBefore('the day it was moved', 'the day it was fitted') });
  if (errors.length === 0) errors.push(...placeMistakes(around, value));
  return errors.length === 0 ? { status: 'ok', value, values } : { status: 'bad', values, errors };
}

/** Where the box or other things are in the way. */
function placeMistakes(around: Around, value: Value): FormError[] {
  const { enclosure, row, scoring, today } = around;
  const changed = placedFitting(row, value, today);
  const concerned = UV_LAMPS.has(row.kind) || SIZED.has(row.kind);
  // What casts no shade and sheds no UV is held against the walls alone, like a lamp that may hang over them or like a perch.
  const alone: Fitting = concerned
    ? changed
    : { ...changed, kind: HANGING.has(row.kind) ? 'uv-compact' : 'perch', lamp: null };
  const others = concerned ? setupOf(scoring.collection, enclosure.id).fittings.filter((one) => one.id !== row.id) : [];
  const speech = speechOf(around);
  const lighting = lightingOf({
    box: enclosure,
    fittings: [...others, { ...alone, retiredOn: null, fittedOn: today }],
    on: today,
  });
  if (lighting.status !== 'cannot') return [];
  return mistakesOfPlace(lighting.problems, row.id, speech);
}

function speechOf({ enclosure, scoring, system }: Around): LightSpeech {
  const { fittings } = setupOf(scoring.collection, enclosure.id);
  return { nameOf: (id) => fittings.find((one) => one.id === id)?.name ?? '', system };
}

/** What the form makes of a fitting: its place, and what else changes when it was really moved. */
function placedFitting(row: FittingRecord, value: Value, today: PlainDate): FittingRecord {
  const size = (given: Quantity | null) => (UV_LAMPS.has(row.kind) ? null : (given?.value ?? null));
  const placed: Placement = {
    xMm: value.x.value,
    yMm: value.y.value,
    zMm: value.z.value,
    lengthMm: size(value.length),
    depthMm: size(value.depth),
    heightMm: size(value.height),
    turned: value.turned === 'yes',
  };
  if (row.placed === null || value.moved === 'no') return { ...row, placed };
  const shifted = row.distanceMm === null ? null : row.distanceMm + placed.zMm - row.placed.zMm;
  const distanceMm = shifted !== null && shifted > 0 ? shifted : null;
  return {
    ...row,
    placed,
    movedOn: today,
    expects: [],
    distanceMm,
    distanceTyped: distanceMm === null ? '' : typedQuantity(distanceMm, 'length', 'metric'),
  };
}

/** Light and scores as they are and as they would be. */
function previewOf(around: Around, value: Value): LightPreview {
  const { enclosure, row, scoring, system, locale, today } = around;
  const { placed, movedOn, expects, distanceMm } = placedFitting(row, value, today);
  const kept = value.moved === 'no' ? [] : ratiosToKeep(setupOf(scoring.collection, enclosure.id));
  const ratios = new Map(kept.map((one) => [one.readingId, one.lightRatio]));
  const after: Collection = {
    ...scoring.collection,
    readings: scoring.collection.readings.map((one) => {
      const lightRatio = ratios.get(one.id);
      return lightRatio === undefined ? one : { ...one, lightRatio };
    }),
    fittings: scoring.collection.fittings.map((one) =>
      one.id === row.id ? { ...one, placed, movedOn, expects, distanceMm } : one,
    ),
  };
  return lightPreview({ enclosureId: enclosure.id, scoring, after, system, locale });
}

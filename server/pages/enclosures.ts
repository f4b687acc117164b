// The pages of enclosures: the list, one with everything in it, and the form in which its measures are entered or the box is replaced.

import type { FastifyInstance } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import { type BoxBuild, MATERIALS, type Material, TOPS, type Top, UNKNOWN_BUILD } from '../../src/collection.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { unitName } from '../../src/units.ts';
import { findReplacement } from '../db/breakdowns.ts';
import {
  addEnclosure,
  changeEnclosure,
  type EnclosureFacts,
  type EnclosureRecord,
  findEnclosure,
  listAnimals,
  listAnswers,
  listEnclosures,
  listFittings,
  listReadings,
  putBackEnclosure,
  removeEnclosure,
} from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { listEverySign } from '../db/signs.ts';
import { dayField, notesField, numberField, radioField, selectField, textField } from '../fields.ts';
import { enclosureFormWords } from '../fitting-words.ts';
import { formSentences } from '../form-words.ts';
import {
  choice,
  dateField,
  type FormError,
  formOf,
  optionalDate,
  optionalText,
  quantityField,
  requiredText,
} from '../forms.ts';
import { materialNames, topNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { listed } from '../words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { enclosurePage, enclosuresPage } from './enclosures.view.ts';
import { askedOf } from './paging.ts';
import { registerRowPages } from './row-form.ts';

type Around = { system: UnitSystem; today: PlainDate; occupants: string[]; contents: number };

/** What the form gives; `boxSince` is null when the box stayed as it was. */
type Value = {
  name: string;
  length: Quantity;
  depth: Quantity;
  height: Quantity;
  material: Material;
  top: Top;
  notes: string;
  boxSince: PlainDate | null;
};

const labels = {
  name: enclosureFormWords.name,
  length: enclosureFormWords.insideLength,
  depth: enclosureFormWords.insideDepth,
  height: enclosureFormWords.insideHeight,
  material: enclosureFormWords.walls,
  top: enclosureFormWords.top,
  notes: enclosureFormWords.notes,
} as const;

export function enclosurePages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, render } = deps;

  app.get(paths.enclosures.list, ({ query }, reply) => {
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const removed = listEnclosures(db, 'removed');
    const model = enclosuresPage(
      scoring,
      scoreCollection(scoring),
      removed,
      ledger,
      askedOf(paths.enclosures.list, query),
    );
    return render(reply, 'enclosures', model, { title: model.heading, current: 'enclosures' });
  });

  app.get(paths.enclosures.show(':id'), (request, reply) => {
    const id = idFrom(request.params);
    const row = presentRow(findEnclosure(db, id));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const model = enclosurePage({
      row,
      scoring,
      scores: scoreCollection(scoring),
      signs: listEverySign(db),
      fittings: { kept: listFittings(db, id), removed: listFittings(db, id, 'removed') },
      replacementOf: (fitting) => findReplacement(db, fitting.id),
      readings: { kept: listReadings(db, id), removed: listReadings(db, id, 'removed') },
      answers: listAnswers(db, id),
      currency: ledger.currency,
      locale: ledger.locale,
      system: ledger.unitSystem,
      clock: ledger.clockHours,
      today,
    });
    return render(reply, 'enclosure', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.list, label: enclosureFormWords.allEnclosures },
    });
  });

  registerRowPages<Around, Value, EnclosureRecord>(app, deps, {
    urls: {
      new: paths.enclosures.new,
      edit: paths.enclosures.edit(':id'),
      remove: paths.enclosures.remove(':id'),
      putBack: paths.enclosures.putBack(':id'),
    },
    menu: 'enclosures',
    called: (row) => `“${row.name}”`,
    gather: (session, request) => {
      const ledger = readLedger(session);
      const { id } = request.params as { id?: string };
      const inside = id === undefined ? [] : listAnimals(session).filter((one) => one.enclosureId === id);
      const contents = id === undefined ? 0 : listFittings(session, Number(id)).length;
      return {
        system: ledger.unitSystem,
        today: dateOfInstant(now(), ledger.timeZone),
        occupants: inside.map((one) => one.name),
        contents,
      };
    },
    find: (session, id) => findEnclosure(session, id),
    schema: ({ system }, row) => (row === null ? newSchema(system) : editSchema(system)),
    mistakes: ({ today }, value, row): FormError[] =>
      value.boxSince !== null && value.boxSince > today
        ? [
            {
              field: row === null ? 'boxSince' : 'boxChangedOn',
              message: formSentences.notLater(enclosureFormWords.theDay),
            },
          ]
        : [],
    first: () => ({ material: 'glass', top: 'mesh' }),
    texts: (_around, row) => ({
      name: row.name,
      length: row.lengthTyped,
      depth: row.depthTyped,
      height: row.heightTyped,
      material: row.material,
      top: row.top,
      notes: row.notes,
      boxChanged: 'no',
    }),
    labels,
    form: ({ system }, form, row) => {
      const unit = unitName('length', system);
      const hint = enclosureFormWords.inUnit(unit);
      const box =
        row === null
          ? [
              dayField(form, 'boxSince', enclosureFormWords.boxSince, {
                hint: enclosureFormWords.boxSinceHint,
              }),
            ]
          : [
              radioField(form, 'boxChanged', enclosureFormWords.wasReplaced, [
                { value: 'no', label: enclosureFormWords.onlyCorrected },
                {
                  value: 'yes',
                  label: enclosureFormWords.yes,
                  hint: enclosureFormWords.replacedHint,
                },
              ]),
              dayField(form, 'boxChangedOn', enclosureFormWords.replacedOn),
            ];
      return {
        heading: row === null ? enclosureFormWords.enterEnclosure : enclosureFormWords.change(row.name),
        groups: [
          {
            legend: null,
            fields: [textField(form, 'name', labels.name, { hint: enclosureFormWords.nameHint })],
          },
          {
            legend: enclosureFormWords.insideMeasures,
            fields: [
              numberField(form, 'length', labels.length, { hint }),
              numberField(form, 'depth', labels.depth),
              numberField(form, 'height', labels.height, { hint: enclosureFormWords.heightHint }),
            ],
          },
          {
            legend: enclosureFormWords.box,
            fields: [
              selectField(
                form,
                'material',
                labels.material,
                MATERIALS.map((value) => ({ value, label: materialNames[value] })),
              ),
              selectField(
                form,
                'top',
                labels.top,
                TOPS.map((value) => ({ value, label: topNames[value] })),
              ),
              ...box,
            ],
          },
          { legend: null, fields: [notesField(form, 'notes', labels.notes)] },
        ],
        submit: row === null ? enclosureFormWords.enterThisEnclosure : enclosureFormWords.save,
        cancel: row === null ? paths.enclosures.list : paths.enclosures.show(row.id),
      };
    },
    add: (session, _around, value) => addEnclosure(session, factsOf(value, value.boxSince!, UNKNOWN_BUILD)),
    change: (session, _around, row, version, value) =>
      changeEnclosure(session, Number(row.id), version, factsOf(value, value.boxSince ?? row.boxSince, row.build)),
    confirm: ({ occupants, contents }, row) => ({
      heading: enclosureFormWords.remove(row.name),
      lead: enclosureFormWords.putBackFrom,
      consequences: [
        ...(occupants.length === 0
          ? []
          : [
              `${listed(occupants)} ${occupants.length === 1 ? 'stays' : 'stay'} in the ledger without an enclosure, and cannot be scored until moved.`,
            ]),
        ...(contents === 0 ? [] : [enclosureFormWords.contentsKept(contents)]),
      ],
      submit: enclosureFormWords.removeThisEnclosure,
    }),
    remove: (session, { today }, row, version) => removeEnclosure(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackEnclosure(session, Number(row.id), version),
    shownAt: (_around, id) => paths.enclosures.show(id),
    listedAt: () => paths.enclosures.list,
  });
}

function commonShape(system: UnitSystem) {
  return {
    name: requiredText(enclosureFormWords.theName, 80),
    length: quantityField(enclosureFormWords.theInsideLength, 'length', system),
    depth: quantityField(enclosureFormWords.theInsideDepth, 'length', system),
    height: quantityField(enclosureFormWords.theInsideHeight, 'length', system),
    material: choice(enclosureFormWords.theWalls, MATERIALS),
    top: choice(enclosureFormWords.theTop, TOPS),
    notes: optionalText(enclosureFormWords.theNotes, 4000),
  };
}

function newSchema(system: UnitSystem): z.ZodType<Value> {
  return formOf({ ...commonShape(system), boxSince: dateField(enclosureFormWords.theDay) });
}

function editSchema(system: UnitSystem): z.ZodType<Value> {
  return formOf({
    ...commonShape(system),
    boxChanged: choice(enclosureFormWords.whetherReplaced, ['no', 'yes']),
    boxChangedOn: optionalDate(enclosureFormWords.theDay),
  }).transform(({ boxChanged, boxChangedOn, ...value }, context) => {
    if (boxChanged === 'yes' && boxChangedOn === null) {
      context.issues.push({
        code: 'custom',
        path: ['boxChangedOn'],
        message: formSentences.required(enclosureFormWords.theDay),
        input: '',
      });
    }
    return { ...value, boxSince: boxChanged === 'yes' ? boxChangedOn : null };
  });
}

function factsOf(
  { name, length, depth, height, material, top, notes }: Value,
  boxSince: PlainDate,
  build: BoxBuild,
): EnclosureFacts {
  return {
    name,
    lengthMm: length.value,
    depthMm: depth.value,
    heightMm: height.value,
    lengthTyped: length.typed,
    depthTyped: depth.typed,
    heightTyped: height.typed,
    material,
    top,
    boxSince,
    build,
    notes,
  };
}

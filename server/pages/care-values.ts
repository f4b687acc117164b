// The pages by which a keeper uses another value in place of a shipped one: its form for each kind of figure, for a species or for one
// animal, with the keeper's own source; going back to the shipped value; and that an update was read.

import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { dateOfInstant } from '../../src/calendar.ts';
import {
  bareValue,
  type FigureKey,
  type FigureValue,
  figureIn,
  missingFigures,
  type Override,
  readFigureKey,
} from '../../src/care-overrides.ts';
import { AppError } from '../../src/errors.ts';
import { GRADES, type Species, speciesOf } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { careSentences, faultSentence, figureName, figureText } from '../care-words.ts';
import {
  addOverride,
  changeOverride,
  findOverride,
  listOverrides,
  markUpdateRead,
  type OverrideFacts,
  type OverrideRecord,
  putBackOverride,
  removeOverride,
} from '../db/care.ts';
import { listAnimals } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { type Answer, notesField, numberField, radioField, selectField, textField } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  choice,
  type FormError,
  type FormState,
  formOf,
  optionalText,
  optionalWholeNumber,
  requiredText,
} from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gradeMeanings, gradeWords } from '../source-words.ts';
import { capital } from '../words.ts';
import { found, idFrom } from './asked-row.ts';
import {
  controlsOf,
  everyFieldLabel,
  type FigureField,
  fieldOfFault,
  figureFields,
  figureMistakes,
  type Read,
  rulesOf,
  spoken,
  textsOf,
  typedTexts,
  valueFrom,
} from './care-fields.ts';
import { registerRowPages } from './row-form.ts';

type Around = {
  /** The species as scores go by it, and as it is without any value of the keeper's. */
  species: Species;
  base: Species;
  figure: FigureKey;
  fields: FigureField[];
  animals: Answer[];
  /** The animal that the address names for a new value, or ''. */
  animal: string;
  taken: OverrideRecord[];
  system: UnitSystem;
};

type Value = {
  read: Read;
  animalId: string | null;
  source: Override['source'];
  grade: Override['grade'];
  note: string;
};

const urls = paths.careValues;

const sourceLabels = {
  title: 'Where you have it from',
  year: 'Year',
  address: 'Web address',
  grade: 'How well it is known',
  note: 'Note',
};

/** The fields that say where a value of the keeper's is from, and the rules they are read by. */
export const sourceRules = {
  title: requiredText('where you have it from', 200),
  year: optionalWholeNumber('the year', 1800, 2100),
  address: optionalText('the web address', 400),
  grade: choice('how well it is known', GRADES),
};

/** The controls that say where a value of the keeper's is from. */
export function sourceControls(form: FormState) {
  return [
    textField(form, 'title', sourceLabels.title, {
      width: 'wide',
      hint: 'A book, a paper, a page, or “what my vet said”.',
    }),
    numberField(form, 'year', sourceLabels.year, { inputMode: 'numeric', hint: 'Leave it empty where there is none.' }),
    textField(form, 'address', sourceLabels.address, { width: 'wide', hint: 'Leave it empty where there is none.' }),
    radioField(
      form,
      'grade',
      sourceLabels.grade,
      GRADES.map((value) => ({ value, label: capital(gradeWords[value]), hint: `${capital(gradeMeanings[value])}.` })),
    ),
  ];
}

export function careValuePages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, care } = deps;

  registerRowPages<Around, Value, OverrideRecord>(app, deps, {
    urls: {
      new: urls.new(':key', ':figure'),
      edit: urls.edit(':id'),
      remove: urls.remove(':id'),
      putBack: urls.putBack(':id'),
    },
    menu: 'species',
    called: ({ figure }) => `your value for ${figureName(figure)}`,
    gather: (session, request) => {
      const { unitSystem: system } = readLedger(session);
      const { speciesId, figure, animalId } = whichFigure(request);
      const base = found(care.withoutOverrides().species.find(({ id }) => id === speciesId));
      const general = found(library().species.find(({ id }) => id === speciesId));
      if (figureIn(general, figure) === null && !missingFigures(general).includes(figure))
        throw new AppError('not_found', formSentences.neverThere);
      const { animal } = request.query as { animal?: unknown };
      const animals = listAnimals(session)
        .filter((one) => one.speciesId === speciesId || one.id === animalId)
        .map((one) => ({ value: one.id, label: `Only for ${one.name}` }));
      return {
        species: animalId === null ? general : speciesOf(library(), { id: animalId, speciesId }),
        base,
        figure,
        fields: figureFields(figure),
        animals,
        animal: animals.some(({ value }) => value === animal) ? String(animal) : '',
        taken: listOverrides(session).filter((one) => one.speciesId === speciesId && one.figure === figure),
        system,
      };
    },
    find: (session, id) => findOverride(session, id),
    schema: (around, row) => schemaOf(around, row),
    mistakes: (around, value, row) => mistakesIn(around, value, row),
    first: ({ species, figure, animal, system }) => ({
      ...textsOf(figure, figureIn(species, figure), species, system),
      animal,
    }),
    texts: (_around, row) => ({
      ...row.typed,
      title: row.source.title,
      year: row.source.year === null ? '' : String(row.source.year),
      address: row.source.address,
      grade: row.grade,
      note: row.note,
    }),
    labels: { ...everyFieldLabel, ...sourceLabels },
    form: ({ species, base, figure, fields, animals, system }, form, row) => {
      const name = figureName(figure);
      const shipped = figureIn(base, figure);
      const whose = row?.animalId == null ? '' : ` for ${nameOf(row.animalId)}`;
      return {
        heading: `${species.commonName}: your own value for ${name}${whose}`,
        lead:
          shipped === null
            ? 'No value ships with the ledger.'
            : `Shipped: ${figureText(figure, shipped, system).replace(/\.$/, '')}.`,
        cautions: [careSentences.overrideWarning],
        groups: [
          { legend: capital(name), fields: controlsOf(form, fields) },
          ...(row !== null || animals.length === 0
            ? []
            : [
                {
                  legend: 'For whom',
                  fields: [
                    selectField(
                      form,
                      'animal',
                      'Holds for',
                      [{ value: '', label: `Every ${species.commonName} you keep` }, ...animals],
                      { hint: careSentences.vet },
                    ),
                  ],
                },
              ]),
          {
            legend: 'Your source',
            fields: [
              ...sourceControls(form),
              notesField(form, 'note', sourceLabels.note, { hint: 'What it rests on, and where others disagree.' }),
            ],
          },
        ],
        submit: row === null ? 'Use this value' : 'Save',
        cancel: paths.species.show(species.id),
      };
    },
    add: (session, around, value) =>
      addOverride(session, { ...overrideFacts(around, value), animalId: value.animalId }),
    change: (session, around, row, version, value) =>
      changeOverride(session, Number(row.id), version, { ...overrideFacts(around, value), animalId: row.animalId }),
    confirm: ({ species, base, figure, system }, row) => {
      const shipped = figureIn(base, figure);
      const whose = row.animalId === null ? '' : ` for ${nameOf(row.animalId)}`;
      return {
        heading: `Back to the shipped value for ${figureName(figure)}${whose}?`,
        lead: species.commonName,
        consequences: [
          shipped === null
            ? 'No value ships with the ledger, so this is not scored any more.'
            : `Scores go by the shipped value again: ${figureText(figure, shipped, system).replace(/\.$/, '')}.`,
          'Yours is kept and can be put back from the page of the species.',
        ],
        submit: careSentences.back,
      };
    },
    remove: (session, _around, row, version) => removeOverride(session, Number(row.id), version, today()),
    putBack: (session, row, version) => putBackOverride(session, Number(row.id), version),
    shownAt: ({ base }) => paths.species.show(base.id),
    listedAt: ({ base }) => paths.species.show(base.id),
  });

  app.post(urls.updateRead(':id'), (request, reply) => {
    inTransaction(db, (tx) => markUpdateRead(tx, idFrom(request.params), today()));
    return reply.redirect(paths.home, 303);
  });

  function today() {
    return dateOfInstant(now(), readLedger(db).timeZone);
  }

  function nameOf(animalId: string): string {
    const all = [...listAnimals(db), ...listAnimals(db, 'removed')];
    return all.find(({ id }) => id === animalId)?.name ?? 'an animal';
  }

  function whichFigure(request: FastifyRequest): { speciesId: string; figure: FigureKey; animalId: string | null } {
    const { id, key, figure } = request.params as { id?: string; key?: string; figure?: string };
    if (id !== undefined) {
      return found(findOverride(db, idFrom(request.params)));
    }
    const named = found(readFigureKey(figure ?? ''));
    return { speciesId: key ?? '', figure: named, animalId: null };
  }

  function mistakesIn(around: Around, value: Value, row: OverrideRecord | null): FormError[] {
    const { figure, fields, taken, system } = around;
    const own = figureMistakes(figure, value.read);
    if (own.length > 0) return own;
    const animalId = row === null ? value.animalId : row.animalId;
    if (taken.some((one) => one.animalId === animalId && one.id !== row?.id))
      return [{ field: around.animals.length === 0 ? '' : 'animal', message: careSentences.taken }];
    const { speciesId, typed: _, ...facts } = overrideFacts(around, value);
    const checked = care.checkOverride({ ...facts, id: row?.id ?? '0', speciesId, animalId });
    if (checked.status === 'ok') return [];
    const names = [...fields.map(({ name }) => name), 'title', 'year', 'address', 'grade', 'note'];
    const found = new Map<string, FormError>();
    for (const fault of checked.faults) {
      const name = fieldOfFault(fault.path, names);
      const field = fields.find((one) => one.name === name);
      const label = field === undefined ? 'your value' : spoken(field);
      const dimension = field?.as === 'quantity' ? field.dimension : null;
      if (!found.has(name)) found.set(name, { field: name, message: faultSentence(fault, label, dimension, system) });
    }
    return [...found.values()];
  }
}

function schemaOf({ fields, animals, system }: Around, row: OverrideRecord | null): z.ZodType<Value> {
  const whom = row === null ? animals.map(({ value }) => value) : [];
  const named = { ...sourceRules, note: optionalText('the note', 4000) };
  const rules = {
    ...rulesOf(fields, system),
    ...(whom.length > 0 ? { animal: choice('for whom it holds', ['', ...whom]) } : {}),
  };
  return formOf({ ...rules, ...named }).transform((all): Value => {
    const given: Record<string, unknown> = all;
    const { title, year, address, grade, note } = all as SourceRead;
    return {
      read: Object.fromEntries(fields.map(({ name }) => [name, given[name]])) as Read,
      animalId: typeof given.animal === 'string' && given.animal !== '' ? given.animal : null,
      source: { title, year, address },
      grade,
      note,
    };
  });
}

// The fields of a figure go by names that only its kind decides, so that those of the source lose their types among them.
type SourceRead = Override['source'] & Pick<Override, 'grade' | 'note'>;

function overrideFacts({ base, figure }: Around, { read, animalId, source, grade, note }: Value): OverrideFacts {
  const shipped = figureIn(base, figure);
  return {
    speciesId: base.id,
    animalId,
    figure,
    value: valueFrom(figure, read, base, source.title) as FigureValue,
    typed: typedTexts(read),
    source,
    grade,
    note,
    shipped: shipped === null ? null : bareValue(shipped),
  };
}

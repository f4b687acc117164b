// The pages by which a keeper adds a species: from a relative, from the least that must be known, or from a file; renames it, and removes it
// as long as no animal is of it. Every species can be saved as a file.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { dateOfInstant } from '../../src/calendar.ts';
import { copyOf, type OwnSpecies } from '../../src/care-overrides.ts';
import { AppError } from '../../src/errors.ts';
import type { CareLibrary, Grade, Source, Species } from '../../src/species.ts';
import { MEASURES } from '../../src/species.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { unitName } from '../../src/units.ts';
import { careSentences, faultSentence, fileFaultsSentence } from '../care-words.ts';
import {
  addOwnSpecies,
  animalsOfSpecies,
  changeOwnSpecies,
  findOwnSpecies,
  type OwnSpeciesRecord,
  putBackOwnSpecies,
  removeOwnSpecies,
} from '../db/care.ts';
import { readLedger } from '../db/ledger.ts';
import { inTransaction } from '../db/open.ts';
import { formPage, notesField, numberField, radioField, selectField, textField } from '../fields.ts';
import {
  choice,
  type FormError,
  type FormState,
  formOf,
  optionalText,
  parseForm,
  quantityField,
  requiredText,
  startForm,
  wholeNumber,
  withMistake,
} from '../forms.ts';
import { activityWords, groupWords, habitWords, measureNames, uvNeedWords } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { ownSpeciesWords } from '../species-words.ts';
import { capital } from '../words.ts';
import { speciesAt } from './asked-row.ts';
import { fieldOfFault } from './care-fields.ts';
import { sourceControls, sourceRules } from './care-values.ts';
import { type KindQuestion, registerRowPages } from './row-form.ts';
import { newMark, ONCE_FIELD, rememberSent } from './sent-twice.ts';

const urls = paths.ownSpecies;

/** What a species is begun from: a relative, nothing, or no answer yet. */
type Around = { library: CareLibrary; from: Species | 'nothing' | null; system: UnitSystem };

type Names = Pick<Species, 'commonName' | 'scientificName' | 'otherNames' | 'group' | 'activity' | 'habit'>;

type Least = {
  measure: Species['adultSize']['measure'];
  lowMm: Quantity;
  highMm: Quantity;
  monthsToAdult: number;
  atMost: number;
  dayLow: Quantity;
  dayHigh: Quantity;
  need: Species['uv']['need'];
  hoursLow: Quantity;
  hoursHigh: Quantity;
  title: string;
  year: number | null;
  address: string;
  grade: Grade;
};

type Value = { names: Names; least: Least | null };

const GROUPS = ['lizard', 'snake', 'tortoise', 'turtle', 'frog', 'salamander'] as const;
const ACTIVITIES = ['day', 'night', 'twilight'] as const;
const HABITS = ['ground', 'climbing', 'burrowing', 'semi-aquatic', 'aquatic'] as const;
const UV_NEEDS = ['required', 'optional-response-found', 'optional-no-response-shown'] as const;

/** Points of humidity outside the band from which it counts for nothing: common practice, no source; it can be changed as a figure. */
const HUMIDITY_FALL = 20;

const labels = {
  commonName: ownSpeciesWords.name,
  scientificName: ownSpeciesWords.scientificName,
  otherNames: ownSpeciesWords.otherNames,
  group: ownSpeciesWords.group,
  activity: ownSpeciesWords.active,
  habit: ownSpeciesWords.wayOfLife,
};

export function ownSpeciesPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, care, render } = deps;

  registerRowPages<Around, Value, OwnSpeciesRecord>(app, deps, {
    urls: { new: urls.new, edit: urls.edit(':id'), remove: urls.remove(':id'), putBack: urls.putBack(':id') },
    menu: 'species',
    called: ({ species }) => species.commonName,
    gather: (session, request) => {
      const { from } = request.query as { from?: unknown };
      const all = library();
      return {
        library: all,
        from: from === 'nothing' ? from : (all.species.find(({ id }) => id === from) ?? null),
        system: readLedger(session).unitSystem,
      };
    },
    find: (_session, id) => findOwnSpecies(db, id),
    askFirst: ({ library: all, from }) => (from === null ? whatFrom(all) : null),
    schema: ({ from, system }, row) => schemaOf(row === null && from === 'nothing', system),
    mistakes: (around, value, row) => mistakesIn(around, value, row),
    first: ({ from }) =>
      from === null || from === 'nothing'
        ? { atMost: '1' }
        : { group: from.group, activity: from.activity, habit: from.habit },
    texts: (_around, { species }) => ({
      commonName: species.commonName,
      scientificName: species.scientificName,
      otherNames: species.otherNames.join(', '),
      group: species.group,
      activity: species.activity,
      habit: species.habit,
    }),
    labels,
    form: (around, form, row) => speciesForm(around, form, row),
    add: (session, around, value) => addOwnSpecies(session, made(around, value)),
    change: (session, _around, row, version, { names }) => {
      const { species, sources } = row;
      return changeOwnSpecies(session, Number(row.id), version, { species: { ...species, ...names }, sources });
    },
    confirm: (_around, { species }) => {
      refuseUsed(species.id);
      return {
        heading: ownSpeciesWords.remove(species.commonName),
        lead: null,
        consequences: [ownSpeciesWords.removeMeans, ownSpeciesWords.putBackFrom],
        submit: ownSpeciesWords.removeSpecies,
      };
    },
    remove: (session, _around, row, version) => {
      refuseUsed(row.species.id);
      return removeOwnSpecies(session, Number(row.id), version, dateOfInstant(now(), readLedger(db).timeZone));
    },
    putBack: (session, row, version) => putBackOwnSpecies(session, Number(row.id), version),
    shownAt: (_around, id) => paths.species.show(findOwnSpecies(db, Number(id))?.species.id ?? ''),
    listedAt: () => paths.species.list,
  });

  app.get(urls.fromFile, (request, reply) => showFile(request, reply, startForm(), 200));

  app.post(urls.fromFile, (request, reply) => {
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(formOf({ file: requiredText(ownSpeciesWords.theFileText, 60_000) }), fields);
    if (read.status === 'bad') return showFile(request, reply, read, 422);
    const form = startForm(read.values);
    const refuse = (message: string) => showFile(request, reply, withMistake(form, 'file', message), 422);
    const content = readJson(read.value.file);
    if (content.status === 'bad') return refuse(careSentences.notJson(content.what));
    const checked = care.checkSpecies(content.value);
    if (checked.status === 'bad') return refuse(fileFaultsSentence(checked.faults));
    const { species, sources } = checked;
    if (library().species.some(({ id }) => id === species.id)) return refuse(careSentences.idTaken(species.id));
    inTransaction(db, (tx) => {
      addOwnSpecies(tx, care.whole(species, sources));
      rememberSent(tx, request, paths.species.show(species.id));
    });
    return reply.redirect(withNotice(paths.species.show(species.id), 'added'), 303);
  });

  app.get(paths.species.file(':key'), (request, reply) => {
    const species = speciesAt(request.params, library());
    return reply
      .type('application/json; charset=utf-8')
      .header('content-disposition', `attachment; filename="${species.id}.json"`)
      .send(`${JSON.stringify(care.fileOf(species), null, 2)}\n`);
  });

  function refuseUsed(speciesId: string): void {
    const names = animalsOfSpecies(db, speciesId);
    if (names.length > 0) throw new AppError('conflict', careSentences.inUse(names));
  }

  function showFile(request: FastifyRequest, reply: FastifyReply, form: FormState, status: number): FastifyReply {
    const heading = ownSpeciesWords.addFromFile;
    const model = formPage(form, {
      heading,
      lead: ownSpeciesWords.addFromFileLead,
      action: request.url,
      once: newMark(),
      cautions: [careSentences.overrideWarning],
      groups: [{ legend: null, fields: [notesField(form, 'file', ownSpeciesWords.fileText, { rows: 20 })] }],
      submit: ownSpeciesWords.addThis,
      cancel: urls.new,
    });
    return render(reply, 'form', model, { title: heading, current: 'species', status });
  }

  function made({ from }: Around, { names, least }: Value): OwnSpecies {
    const id = idOf(names.commonName);
    if (from !== null && from !== 'nothing') return care.whole(copyOf(from, { id, ...names }));
    const { species, source } = begun(id, names, least!);
    return care.whole(species, [source]);
  }

  function mistakesIn(around: Around, value: Value, row: OwnSpeciesRecord | null): FormError[] {
    const { names } = value;
    const id = row?.species.id ?? idOf(names.commonName);
    if (id === '') return [{ field: 'commonName', message: careSentences.nameWithoutLetters }];
    const isTaken = (one: Species) =>
      one.id !== row?.species.id && (one.id === id || one.commonName.toLowerCase() === names.commonName.toLowerCase());
    if (around.library.species.some(isTaken)) return [{ field: 'commonName', message: careSentences.nameTaken }];
    const whole = row === null ? made(around, value) : { species: { ...row.species, ...names }, sources: row.sources };
    const checked = care.checkSpecies({ ...whole.species, sources: whole.sources });
    if (checked.status === 'ok') return [];
    const found = new Map<string, FormError>();
    for (const fault of checked.faults) {
      const field = fieldOfFault(fault.path, fieldNames);
      const at = { field, message: sentenceOf(fault, field, around.system) };
      if (!found.has(field)) found.set(field, at);
    }
    return [...found.values()];
  }
}

const fieldNames = [
  ...Object.keys(labels),
  'lowMm',
  'highMm',
  'monthsToAdult',
  'atMost',
  'day-low',
  'day-high',
  'hours-low',
  'hours-high',
  'address',
];

function sentenceOf(fault: Parameters<typeof faultSentence>[0], field: string, system: UnitSystem): string {
  if (field === 'scientificName') return ownSpeciesWords.writeScientific;
  const dimension = field.endsWith('Mm') ? 'length' : field.startsWith('day') ? 'humidity' : null;
  return faultSentence(fault, labels[field as keyof typeof labels] ?? fault.path.join('.'), dimension, system);
}

function whatFrom({ species }: CareLibrary): KindQuestion {
  const relatives = species.toSorted((a, b) => a.commonName.localeCompare(b.commonName, 'en'));
  return {
    heading: ownSpeciesWords.addSpecies,
    lead: ownSpeciesWords.addLead,
    groups: [
      {
        legend: ownSpeciesWords.inAnotherWay,
        answers: [
          {
            href: urls.newFrom('nothing'),
            label: ownSpeciesWords.fromLeast,
            hint: ownSpeciesWords.fromLeastHint,
          },
          { href: urls.fromFile, label: ownSpeciesWords.fromFile, hint: ownSpeciesWords.fromFileHint },
        ],
      },
      {
        legend: ownSpeciesWords.fromRelative,
        answers: relatives.map(({ id, commonName, scientificName }) => ({
          href: urls.newFrom(id),
          label: commonName,
          hint: scientificName,
        })),
      },
    ],
    cancel: paths.species.list,
  };
}

function schemaOf(withLeast: boolean, system: UnitSystem): z.ZodType<Value> {
  const names = {
    commonName: requiredText(ownSpeciesWords.theName, 80),
    scientificName: requiredText(ownSpeciesWords.theScientificName, 80),
    otherNames: optionalText(ownSpeciesWords.theOtherNames, 400),
    group: choice(ownSpeciesWords.theGroup, GROUPS),
    activity: choice(ownSpeciesWords.whenActive, ACTIVITIES),
    habit: choice(ownSpeciesWords.itsWayOfLife, HABITS),
  };
  const namesFrom = ({ otherNames, ...rest }: Omit<Names, 'otherNames'> & { otherNames: string }): Names => ({
    ...rest,
    otherNames: otherNames
      .split(',')
      .map((one) => one.trim())
      .filter((one) => one !== ''),
  });
  if (!withLeast) return formOf(names).transform((all): Value => ({ names: namesFrom(all), least: null }));
  const least = {
    measure: choice(ownSpeciesWords.howMeasured, MEASURES),
    lowMm: quantityField(ownSpeciesWords.theSmallAdult, 'length', system),
    highMm: quantityField(ownSpeciesWords.theLargeAdult, 'length', system),
    monthsToAdult: wholeNumber(ownSpeciesWords.theMonthsToAdult, 3, 240, 'months'),
    atMost: wholeNumber(ownSpeciesWords.howManyTogether, 1, 20),
    'day-low': quantityField(ownSpeciesWords.theLowHumidity, 'humidity', system),
    'day-high': quantityField(ownSpeciesWords.theHighHumidity, 'humidity', system),
    need: choice(ownSpeciesWords.itsNeedOfUv, UV_NEEDS),
    'hours-low': quantityField(ownSpeciesWords.theLeastUvHours, 'hours', system),
    'hours-high': quantityField(ownSpeciesWords.theMostUvHours, 'hours', system),
    ...sourceRules,
  };
  return formOf({ ...names, ...least }).transform((all): Value => {
    const { commonName, scientificName, otherNames, group, activity, habit, ...rest } = all;
    const { 'day-low': dayLow, 'day-high': dayHigh, 'hours-low': hoursLow, 'hours-high': hoursHigh, ...others } = rest;
    return {
      names: namesFrom({ commonName, scientificName, otherNames, group, activity, habit }),
      least: { ...others, dayLow, dayHigh, hoursLow, hoursHigh },
    };
  });
}

function speciesForm({ from, system }: Around, form: FormState, row: OwnSpeciesRecord | null) {
  const words = (all: readonly string[], named: Readonly<Record<string, string>>) =>
    all.map((value) => ({ value, label: capital(named[value]!) }));
  const choose = { value: '', label: ownSpeciesWords.chooseOne };
  const unit = unitName('length', system);
  const isLeast = row === null && from === 'nothing';
  return {
    heading:
      row !== null
        ? ownSpeciesWords.change(row.species.commonName)
        : from === null || from === 'nothing'
          ? ownSpeciesWords.addSpecies
          : ownSpeciesWords.addRelative(from.commonName),
    lead: row !== null ? ownSpeciesWords.namesLead : isLeast ? ownSpeciesWords.leastLead : ownSpeciesWords.copiedLead,
    cautions: row === null ? [careSentences.overrideWarning] : [],
    groups: [
      {
        legend: null,
        fields: [
          textField(form, 'commonName', labels.commonName),
          textField(form, 'scientificName', labels.scientificName, {
            hint: ownSpeciesWords.scientificHint,
          }),
          textField(form, 'otherNames', labels.otherNames, { width: 'wide', hint: ownSpeciesWords.withCommas }),
          selectField(form, 'group', labels.group, [choose, ...words(GROUPS, groupWords)]),
          selectField(form, 'activity', labels.activity, [choose, ...words(ACTIVITIES, activityWords)]),
          selectField(form, 'habit', labels.habit, [choose, ...words(HABITS, habitWords)]),
        ],
      },
      ...(isLeast
        ? [
            {
              legend: ownSpeciesWords.sizeAndCompany,
              fields: [
                selectField(form, 'measure', ownSpeciesWords.measured, [choose, ...words(MEASURES, measureNames)]),
                numberField(form, 'lowMm', ownSpeciesWords.smallAdult, { hint: ownSpeciesWords.inUnit(unit) }),
                numberField(form, 'highMm', ownSpeciesWords.largeAdult),
                numberField(form, 'monthsToAdult', ownSpeciesWords.monthsToAdult, { inputMode: 'numeric' }),
                numberField(form, 'atMost', ownSpeciesWords.mostTogether, { inputMode: 'numeric' }),
              ],
            },
            {
              legend: ownSpeciesWords.humidityAndUv,
              fields: [
                numberField(form, 'day-low', ownSpeciesWords.lowHumidity, { hint: ownSpeciesWords.inPercent }),
                numberField(form, 'day-high', ownSpeciesWords.highHumidity),
                radioField(
                  form,
                  'need',
                  ownSpeciesWords.needOfUv,
                  UV_NEEDS.map((value) => ({ value, label: uvNeedWords[value] })),
                ),
                numberField(form, 'hours-low', ownSpeciesWords.leastUvHours),
                numberField(form, 'hours-high', ownSpeciesWords.mostUvHours),
              ],
            },
            { legend: ownSpeciesWords.yourSource, fields: sourceControls(form) },
          ]
        : []),
    ],
    submit: row === null ? ownSpeciesWords.addThis : ownSpeciesWords.save,
    cancel: row === null ? urls.new : paths.species.show(row.species.id),
  };
}

// Accents and signs are taken off, so that the id is one that a file may carry.
function idOf(name: string): string {
  const letters = name.normalize('NFKD').replace(/\p{M}/gu, '').replace(/[’']/g, '').toLowerCase();
  return letters
    .split(/[^a-z]+/)
    .filter((part) => part !== '')
    .join('-');
}

/** A species of which only the least is known; what was not given has no target and is not scored. */
function begun(id: string, names: Names, least: Least): { species: Species; source: Source } {
  const { title, year, address, grade } = least;
  const source: Source = {
    id: 'keeper',
    title,
    body: ownSpeciesWords.enteredByKeeper,
    year,
    section: '',
    address,
    standing: 'own-source',
  };
  const cited = { source: source.id, grade };
  const species: Species = {
    id,
    ...names,
    synonyms: [],
    adultSize: { measure: least.measure, lowMm: least.lowMm.value, highMm: least.highMm.value, ...cited },
    growth: { monthsToAdult: least.monthsToAdult, ...cited },
    uv: {
      need: least.need,
      needCited: cited,
      zones: [],
      hours: { low: least.hoursLow.value, high: least.hoursHigh.value, ...cited },
    },
    temperatures: [],
    humidity: {
      day: { low: least.dayLow.value, high: least.dayHigh.value },
      night: null,
      toleranceBelow: HUMIDITY_FALL,
      toleranceAbove: HUMIDITY_FALL,
      moistRetreat: 'not-needed',
      lifeCritical: names.group === 'frog' || names.group === 'salamander',
      ...cited,
      note: ownSpeciesWords.fallNote(HUMIDITY_FALL),
    },
    water: null,
    space: [],
    hides: { zones: [], ...cited },
    enrichment: { kinds: [], ...cited },
    grouping: { atMost: least.atMost, atMostMales: null, ...cited },
    homeLatitude: null,
    lightHours: null,
    outdoors: null,
    profiles: [],
    // Nothing that a cool season could harm is proposed for a species of which none is known.
    neverPropose: ['winter-rest', 'acquire'],
    hazards: [],
    legal: [],
  };
  return { species, source };
}

function readJson(text: string): { status: 'ok'; value: unknown } | { status: 'bad'; what: string } {
  try {
    return { status: 'ok', value: JSON.parse(text) };
  } catch (fault) {
    return { status: 'bad', what: fault instanceof Error ? fault.message : String(fault) };
  }
}

// The pages of animals: the list with the worst off first, the score of one animal, and the form in which an animal is entered.

import type { FastifyInstance } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import type { CareLibrary, DatedSeason, DatedState } from '../../src/species.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { unitName } from '../../src/units.ts';
import { animalFormWords } from '../animal-words.ts';
import {
  type AnimalFacts,
  type AnimalRecord,
  addAnimal,
  changeAnimal,
  findAnimal,
  listAnimals,
  listEnclosures,
  putBackAnimal,
  removeAnimal,
} from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { listOneOffSums } from '../db/money.ts';
import { listRooms } from '../db/rooms.ts';
import { listSigns } from '../db/signs.ts';
import {
  type Answer,
  checkboxField,
  dayField,
  notesField,
  numberField,
  radioField,
  selectField,
  textField,
} from '../fields.ts';
import { formSentences } from '../form-words.ts';
import {
  checkbox,
  choice,
  type FormError,
  type FormState,
  formOf,
  optionalDate,
  optionalQuantity,
  optionalText,
  optionalWholeNumber,
  requiredText,
} from '../forms.ts';
import { measureNames, monthNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { animalPage, animalsPage } from './animals.view.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { askedOf } from './paging.ts';
import { restRoomOf, visitsInRestOf } from './room-year.ts';
import { registerRowPages } from './row-form.ts';

type Around = {
  library: CareLibrary;
  system: UnitSystem;
  today: PlainDate;
  enclosures: Answer[];
  /** The enclosure that the address names for a new animal, or ''. */
  enclosure: string;
};

const labels = {
  name: animalFormWords.name,
  species: animalFormWords.species,
  enclosure: animalFormWords.livesIn,
  length: animalFormWords.length,
  measuredOn: animalFormWords.measuredOn,
  hatchedOn: animalFormWords.hatchedOn,
  sex: animalFormWords.sex,
  pale: animalFormWords.paleForm,
  coolingFrom: animalFormWords.coolingFrom,
  coolingTo: animalFormWords.coolingTo,
  restFrom: animalFormWords.restFrom,
  restTo: animalFormWords.restTo,
  vetCheckedOn: animalFormWords.checkedOn,
  gravidFrom: animalFormWords.gravidFrom,
  gravidTo: animalFormWords.gravidTo,
  quarantineFrom: animalFormWords.quarantineFrom,
  quarantineTo: animalFormWords.quarantineTo,
  notes: animalFormWords.notes,
} as const;

const nowhere = 'nowhere';

export function animalPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, render } = deps;

  app.get(paths.animals.list, ({ query }, reply) => {
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const removed = listAnimals(db, 'removed');
    const asked = askedOf(paths.animals.list, query);
    const model = animalsPage(scoring, scoreCollection(scoring), removed, ledger.locale, asked);
    return render(reply, 'animals', model, { title: model.heading, current: 'animals' });
  });

  app.get(paths.animals.show(':id'), (request, reply) => {
    const row = presentRow(findAnimal(db, idFrom(request.params)));
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const signs = listSigns(db, Number(row.id));
    const restRoom = restRoomOf(row.id, scoring, listRooms(db), ledger.unitSystem);
    const visits = visitsInRestOf(row.id, scoring, signs, listOneOffSums(db), ledger.locale);
    const model = animalPage(row, scoring, scoreCollection(scoring), signs, ledger, [...visits, ...restRoom]);
    return render(reply, 'animal', model, {
      title: model.heading,
      current: 'animals',
      back: { href: paths.animals.list, label: animalFormWords.allAnimals },
    });
  });

  registerRowPages<Around, Value, AnimalRecord>(app, deps, {
    urls: {
      new: paths.animals.new,
      edit: paths.animals.edit(':id'),
      remove: paths.animals.remove(':id'),
      putBack: paths.animals.putBack(':id'),
    },
    menu: 'animals',
    called: (row) => row.name,
    gather: (session, request) => {
      const ledger = readLedger(session);
      const { enclosure } = request.query as { enclosure?: unknown };
      const { id } = request.params as { id?: string };
      const own = id === undefined ? null : findAnimal(session, idFrom(request.params))?.enclosureId;
      const gone = listEnclosures(session, 'removed').filter((one) => one.id === own);
      return {
        library: library(),
        system: ledger.unitSystem,
        today: dateOfInstant(now(), ledger.timeZone),
        enclosures: [
          ...listEnclosures(session).map((one) => ({ value: one.id, label: one.name })),
          ...gone.map((one) => ({ value: one.id, label: `${one.name} (removed)` })),
        ],
        enclosure: typeof enclosure === 'string' ? enclosure : '',
      };
    },
    find: (session, id) => findAnimal(session, id),
    schema: (around) => schemaOf(around),
    mistakes,
    first: ({ enclosures, enclosure }) => ({
      enclosure: enclosures.some(({ value }) => value === enclosure) ? enclosure : (enclosures[0]?.value ?? nowhere),
      sex: 'unknown',
    }),
    texts: (_around, row) => ({
      name: row.name,
      species: row.speciesId,
      enclosure: row.enclosureId ?? nowhere,
      length: row.lengthTyped,
      measuredOn: row.measuredOn ?? '',
      hatchedOn: row.hatchedOn ?? '',
      sex: row.sex,
      pale: row.paleMorph ? 'yes' : '',
      ...seasonTexts(row.seasons),
      ...stateTexts(row.states),
      vetCheckedOn: row.vetCheckedOn ?? '',
      notes: row.notes,
    }),
    labels,
    form: animalForm,
    add: (session, _around, value) => addAnimal(session, factsOf(value)),
    change: (session, _around, row, version, value) => changeAnimal(session, Number(row.id), version, factsOf(value)),
    confirm: (_around, row) => ({
      heading: animalFormWords.remove(row.name),
      lead: animalFormWords.putBackFrom,
      consequences: [animalFormWords.removeMeans],
      submit: animalFormWords.removeAnimal,
    }),
    remove: (session, { today }, row, version) => removeAnimal(session, Number(row.id), version, today),
    putBack: (session, row, version) => putBackAnimal(session, Number(row.id), version),
    shownAt: (_around, id) => paths.animals.show(id),
    listedAt: () => paths.animals.list,
  });
}

type Value = {
  name: string;
  species: string;
  enclosure: string;
  length: Quantity | null;
  measuredOn: PlainDate | null;
  hatchedOn: PlainDate | null;
  sex: AnimalFacts['sex'];
  pale: boolean;
  coolingFrom: number | null;
  coolingTo: number | null;
  restFrom: number | null;
  restTo: number | null;
  vetCheckedOn: PlainDate | null;
  gravidFrom: PlainDate | null;
  gravidTo: PlainDate | null;
  quarantineFrom: PlainDate | null;
  quarantineTo: PlainDate | null;
  notes: string;
};

function schemaOf({ library, system, enclosures }: Around) {
  return formOf({
    name: requiredText(animalFormWords.theName, 80),
    species: choice(
      animalFormWords.theSpecies,
      library.species.map((one) => one.id),
    ),
    enclosure: choice(animalFormWords.whereItLives, [nowhere, ...enclosures.map(({ value }) => value)]),
    length: optionalQuantity(animalFormWords.theLength, 'length', system),
    measuredOn: optionalDate(animalFormWords.theDayMeasured),
    hatchedOn: optionalDate(animalFormWords.theDayHatched),
    sex: choice(animalFormWords.theSex, ['female', 'male', 'unknown']),
    pale: checkbox(animalFormWords.whetherPale),
    coolingFrom: optionalWholeNumber(animalFormWords.theCoolingFrom, 1, 12),
    coolingTo: optionalWholeNumber(animalFormWords.theCoolingTo, 1, 12),
    restFrom: optionalWholeNumber(animalFormWords.theRestFrom, 1, 12),
    restTo: optionalWholeNumber(animalFormWords.theRestTo, 1, 12),
    vetCheckedOn: optionalDate(animalFormWords.theDayChecked),
    gravidFrom: optionalDate(animalFormWords.theGravidFrom),
    gravidTo: optionalDate(animalFormWords.theGravidTo),
    quarantineFrom: optionalDate(animalFormWords.theQuarantineFrom),
    quarantineTo: optionalDate(animalFormWords.theQuarantineTo),
    notes: optionalText(animalFormWords.theNotes, 4000),
  });
}

function mistakes({ library, today }: Around, value: Value): FormError[] {
  const errors: FormError[] = [];
  const { length, measuredOn, hatchedOn } = value;
  if (length !== null && measuredOn === null)
    errors.push({ field: 'measuredOn', message: formSentences.required(animalFormWords.theDayMeasured) });
  if (length === null && measuredOn !== null)
    errors.push({ field: 'length', message: formSentences.required(animalFormWords.lengthOrNoDay) });
  if (measuredOn !== null && measuredOn > today)
    errors.push({ field: 'measuredOn', message: formSentences.notLater(animalFormWords.theDayMeasured) });
  if (hatchedOn !== null && hatchedOn > today)
    errors.push({ field: 'hatchedOn', message: formSentences.notLater(animalFormWords.theDayHatched) });
  else if (hatchedOn !== null && measuredOn !== null && measuredOn < hatchedOn)
    errors.push({
      field: 'measuredOn',
      message: formSentences.notBefore(animalFormWords.theDayMeasured, animalFormWords.theDayHatched),
    });
  if (value.vetCheckedOn !== null && value.vetCheckedOn > today)
    errors.push({ field: 'vetCheckedOn', message: formSentences.notLater(animalFormWords.theDayChecked) });
  for (const [state, from, to] of [
    [animalFormWords.beingGravid, 'gravidFrom', 'gravidTo'],
    ['quarantine', 'quarantineFrom', 'quarantineTo'],
  ] as const) {
    const [first, last] = [value[from], value[to]];
    if (first === null && last !== null)
      errors.push({
        field: from,
        message: formSentences.required(animalFormWords.firstOrNoLast(state)),
      });
    else if (first !== null && last !== null && last < first)
      errors.push({
        field: to,
        message: formSentences.notBefore(animalFormWords.lastDayOf(state), animalFormWords.itsFirstDay),
      });
  }
  const species = library.species.find((one) => one.id === value.species)!;
  for (const [season, from, to] of [
    ['cooling', 'coolingFrom', 'coolingTo'],
    ['winter-rest', 'restFrom', 'restTo'],
  ] as const) {
    if ((value[from] === null) !== (value[to] === null)) {
      errors.push({ field: value[from] === null ? from : to, message: formSentences.bothMonths });
    } else if (
      value[from] !== null &&
      !species.profiles.some((one) => 'season' in one.when && one.when.season === season)
    ) {
      errors.push({ field: from, message: formSentences.seasonUnknown(season) });
    }
  }
  return errors;
}

function animalForm({ library, system, enclosures, enclosure }: Around, form: FormState, row: AnimalRecord | null) {
  const species = library.species.map(({ id, commonName, scientificName, adultSize }) => ({
    value: id,
    label: animalFormWords.speciesMeasured(commonName, scientificName, measureNames[adultSize.measure]),
  }));
  const months = [
    { value: '', label: animalFormWords.notDated },
    ...monthNames.map((label, place) => ({ value: String(place + 1), label })),
  ];
  const unit = unitName('length', system);
  return {
    heading: row === null ? animalFormWords.enterAnimal : animalFormWords.change(row.name),
    groups: [
      {
        legend: null,
        fields: [
          textField(form, 'name', labels.name),
          selectField(form, 'species', labels.species, [
            { value: '', label: animalFormWords.chooseSpecies },
            ...species,
          ]),
          selectField(form, 'enclosure', labels.enclosure, [
            ...enclosures,
            { value: nowhere, label: animalFormWords.noEnclosure },
          ]),
        ],
      },
      {
        legend: animalFormWords.sizeAndAge,
        fields: [
          numberField(form, 'length', labels.length, {
            hint: animalFormWords.lengthHint(unit),
          }),
          dayField(form, 'measuredOn', labels.measuredOn),
          dayField(form, 'hatchedOn', labels.hatchedOn, {
            hint: animalFormWords.hatchedHint,
          }),
          radioField(form, 'sex', labels.sex, [
            { value: 'female', label: animalFormWords.female },
            { value: 'male', label: animalFormWords.male },
            { value: 'unknown', label: animalFormWords.sexNotKnown },
          ]),
          checkboxField(form, 'pale', labels.pale, {
            hint: animalFormWords.paleHint,
          }),
        ],
      },
      {
        legend: animalFormWords.seasons,
        fields: [
          selectField(form, 'coolingFrom', labels.coolingFrom, months, {
            hint: animalFormWords.seasonsHint,
          }),
          selectField(form, 'coolingTo', labels.coolingTo, months),
          selectField(form, 'restFrom', labels.restFrom, months),
          selectField(form, 'restTo', labels.restTo, months),
          dayField(form, 'vetCheckedOn', labels.vetCheckedOn, {
            hint: animalFormWords.checkedHint,
          }),
        ],
      },
      {
        legend: animalFormWords.states,
        fields: [
          dayField(form, 'gravidFrom', labels.gravidFrom, {
            hint: animalFormWords.statesHint,
          }),
          dayField(form, 'gravidTo', labels.gravidTo),
          dayField(form, 'quarantineFrom', labels.quarantineFrom),
          dayField(form, 'quarantineTo', labels.quarantineTo),
        ],
      },
      { legend: null, fields: [notesField(form, 'notes', labels.notes)] },
    ],
    submit: row === null ? animalFormWords.enterThisAnimal : animalFormWords.save,
    cancel:
      row !== null
        ? paths.animals.show(row.id)
        : enclosures.some(({ value }) => value === enclosure)
          ? paths.enclosures.show(enclosure)
          : paths.animals.list,
  };
}

function factsOf(value: Value): AnimalFacts {
  return {
    name: value.name,
    speciesId: value.species,
    enclosureId: value.enclosure === nowhere ? null : value.enclosure,
    lengthMm: value.length?.value ?? null,
    lengthTyped: value.length?.typed ?? '',
    measuredOn: value.measuredOn,
    hatchedOn: value.hatchedOn,
    sex: value.sex,
    paleMorph: value.pale,
    seasons: [
      ...seasonOf('cooling', value.coolingFrom, value.coolingTo),
      ...seasonOf('winter-rest', value.restFrom, value.restTo),
    ],
    states: [
      ...stateOf('gravid', value.gravidFrom, value.gravidTo),
      ...stateOf('quarantine', value.quarantineFrom, value.quarantineTo),
    ],
    vetCheckedOn: value.vetCheckedOn,
    notes: value.notes,
  };
}

function stateOf(state: DatedState['state'], from: PlainDate | null, to: PlainDate | null): DatedState[] {
  return from === null ? [] : [{ state, from, to }];
}

function stateTexts(states: DatedState[]) {
  const of = (state: DatedState['state']) => states.find((one) => one.state === state);
  return {
    gravidFrom: of('gravid')?.from ?? '',
    gravidTo: of('gravid')?.to ?? '',
    quarantineFrom: of('quarantine')?.from ?? '',
    quarantineTo: of('quarantine')?.to ?? '',
  };
}

function seasonOf(season: DatedSeason['season'], fromMonth: number | null, toMonth: number | null): DatedSeason[] {
  return fromMonth === null || toMonth === null ? [] : [{ season, fromMonth, toMonth }];
}

function seasonTexts(seasons: DatedSeason[]) {
  const text = (season: DatedSeason['season'], end: 'fromMonth' | 'toMonth') =>
    String(seasons.find((one) => one.season === season)?.[end] ?? '');
  return {
    coolingFrom: text('cooling', 'fromMonth'),
    coolingTo: text('cooling', 'toMonth'),
    restFrom: text('winter-rest', 'fromMonth'),
    restTo: text('winter-rest', 'toMonth'),
  };
}

// The pages of the cap on the collection: both caps with their reasons, and the form in which a keeper says what only they know.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Animal } from '../../src/collection.ts';
import type { AnimalUpkeep, CapSettings } from '../../src/collection-cap.ts';
import { type Currency, type Money, typedMoney } from '../../src/money.ts';
import { areaUnit, measuresOf } from '../../src/units.ts';
import { gatherCap } from '../cap.ts';
import { capSentences as words } from '../cap-words.ts';
import { type CapRecord, listQuestions, readCap, saveCap } from '../db/cap.ts';
import { loadCollection } from '../db/collection.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import type { Session } from '../db/open.ts';
import { studiesOf } from '../db/studies.ts';
import { type Conflict, conflictView, formPage, numberField, radioField } from '../fields.ts';
import {
  type FormState,
  formOf,
  optionalChoice,
  optionalDecimal,
  optionalMoney,
  optionalWholeNumber,
  parseForm,
  startForm,
  type Values,
  wholeNumber,
} from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { versionOf } from './asked-row.ts';
import { capPage } from './cap.view.ts';
import { saveOnce } from './sent-twice.ts';

const back = { href: paths.cap.show, label: words.heading };

/** How many earlier questions are listed. */
const MOST_ASKED = 8;

const MINUTES_OF_A_WEEK = 7 * 24 * 60;

export function capPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.cap.show, (_request, reply) => {
    const gathered = gatherCap(db, library(), now());
    const model = capPage(
      gathered,
      gathered.plan === null ? {} : studiesOf(db, gathered.plan.id),
      listQuestions(db, MOST_ASKED),
    );
    return render(reply, 'cap', model, { title: model.heading, current: 'cap' });
  });

  app.get(paths.cap.change, (_request, reply) => {
    const around = gather(db);
    return show(reply, around, startForm(textsOf(around)));
  });

  app.post(paths.cap.change, (request, reply) => {
    const around = gather(db);
    const version = versionOf(request);
    const read = readForm(request, around);
    if (read.status === 'bad') return show(reply, around, read, { status: 422, version });
    const shownAt = () => paths.cap.show;
    const saved = saveOnce(db, request, shownAt, (tx) =>
      saveCap(tx, version, settingsOf(read.value, around.ledger), upkeepOf(around, read.value)),
    );
    if (saved === 'saved') return reply.redirect(withNotice(paths.cap.show, 'saved'), 303);
    const other = gather(db);
    const conflict = conflictView(
      'what is said for the cap',
      labelsOf(other),
      textsOf(other),
      read.values,
      paths.cap.show,
    );
    return show(reply, other, startForm(read.values), { status: 409, conflict });
  });

  function show(
    reply: FastifyReply,
    around: Around,
    form: FormState,
    {
      status = 200,
      version = around.said.version,
      conflict = null,
    }: { status?: number; version?: number; conflict?: Conflict | null } = {},
  ): FastifyReply {
    const heading = words.changeLabel;
    const model = formPage(form, {
      heading,
      lead: 'Leave empty what you do not know: it is then shown as not known and never counted as nothing.',
      action: paths.cap.change,
      version: String(version),
      conflict,
      groups: groupsOf(around, form),
      submit: 'Save',
      cancel: paths.cap.show,
    });
    return render(reply, 'form', model, { title: heading, current: 'cap', status, back });
  }
}

type Around = { ledger: Ledger; animals: Animal[]; said: CapRecord };
type Field = keyof CapSettings;
type OfAnimal = 'minutes' | 'food' | 'substrate' | 'vet';
type Typed = Record<string, unknown>;

function gather(session: Session): Around {
  return { ledger: readLedger(session), animals: loadCollection(session).animals, said: readCap(session) };
}

const labels: Readonly<Record<Field, string>> = {
  minutesAWeek: 'Minutes a week you have in all',
  floorM2: 'Floor for all enclosures',
  largestEmergency: 'Largest single emergency',
  quarantinePlace: 'Is there a place apart from the others?',
  quarantineWeeks: 'Weeks a newcomer stays there',
  quarantineBox: 'What the quarantine box costs',
  newcomerVet: 'What tests and the first vet visit cost',
  cushionPercent: 'Share of the sum that stays out of every promise',
  clearMonths: 'Months in which the backlog should be cleared',
};

const animalLabels: Readonly<Record<OfAnimal, string>> = {
  minutes: 'Minutes a week',
  food: 'Food and supplements a month',
  substrate: 'Substrate a month',
  vet: 'Put aside for the vet a month',
};

const nameOf = (id: string, field: OfAnimal) => `${field}-${id}`;

function labelsOf({ animals }: Around): Record<string, string> {
  const all: Record<string, string> = { ...labels };
  for (const { id, name } of animals)
    for (const field of Object.keys(animalLabels) as OfAnimal[])
      all[nameOf(id, field)] = `${name}: ${animalLabels[field]}`;
  return all;
}

function readForm(request: FastifyRequest, { ledger, animals }: Around) {
  const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
  const ofAnimals = animals.flatMap(({ id, name }) => [
    [nameOf(id, 'minutes'), optionalWholeNumber(`the minutes for ${name}`, 0, MINUTES_OF_A_WEEK, 'minutes')],
    [nameOf(id, 'food'), optionalMoney(`the food of ${name}`, ledger)],
    [nameOf(id, 'substrate'), optionalMoney(`the substrate of ${name}`, ledger)],
    [nameOf(id, 'vet'), optionalMoney(`the sum for the vet of ${name}`, ledger)],
  ]);
  const schema = formOf({
    minutesAWeek: optionalWholeNumber('the minutes in all', 0, MINUTES_OF_A_WEEK, 'minutes'),
    floorM2: optionalDecimal(
      'the floor',
      0,
      measuresOf(ledger.unitSystem) === 'metric' ? 1000 : 9999,
      areaUnit(ledger.unitSystem).show,
    ),
    largestEmergency: optionalMoney('the largest emergency', ledger),
    quarantinePlace: optionalChoice('whether there is a place', ['yes', 'no']),
    quarantineWeeks: optionalWholeNumber('the weeks', 0, 104, 'weeks'),
    quarantineBox: optionalMoney('the price of the box', ledger),
    newcomerVet: optionalMoney('the price of the tests', ledger),
    cushionPercent: wholeNumber('the share', 0, 90, 'percent'),
    clearMonths: wholeNumber('the months', 1, 120, 'months'),
    ...Object.fromEntries(ofAnimals),
  });
  return parseForm(schema, fields);
}

function settingsOf(value: Typed, { unitSystem }: Ledger): CapSettings {
  const names = Object.keys(labels) as Field[];
  const settings = Object.fromEntries(names.map((name) => [name, value[name]])) as CapSettings;
  const { floorM2 } = settings;
  return { ...settings, floorM2: floorM2 === null ? null : floorM2 * areaUnit(unitSystem).squareMetres };
}

function upkeepOf({ animals }: Around, value: Typed): AnimalUpkeep[] {
  return animals.map(({ id }) => ({
    animalId: id,
    minutesAWeek: value[nameOf(id, 'minutes')] as number | null,
    food: value[nameOf(id, 'food')] as Money | null,
    substrate: value[nameOf(id, 'substrate')] as Money | null,
    vet: value[nameOf(id, 'vet')] as Money | null,
  }));
}

function textsOf({ ledger, animals, said }: Around): Values {
  const typed = (amount: Money | null) => (amount === null ? '' : typedMoney(amount, ledger.currency));
  const number = (value: number | null) => (value === null ? '' : String(value));
  const { settings, upkeep } = said;
  const texts: Record<string, string> = {
    minutesAWeek: number(settings.minutesAWeek),
    // Square feet are kept in square metres and come back as they were typed.
    floorM2:
      settings.floorM2 === null
        ? ''
        : String(Number((settings.floorM2 / areaUnit(ledger.unitSystem).squareMetres).toFixed(6))),
    largestEmergency: typed(settings.largestEmergency),
    quarantinePlace: settings.quarantinePlace ?? '',
    quarantineWeeks: number(settings.quarantineWeeks),
    quarantineBox: typed(settings.quarantineBox),
    newcomerVet: typed(settings.newcomerVet),
    cushionPercent: String(settings.cushionPercent),
    clearMonths: String(settings.clearMonths),
  };
  for (const { id } of animals) {
    const own = upkeep.find((one) => one.animalId === id);
    texts[nameOf(id, 'minutes')] = number(own?.minutesAWeek ?? null);
    texts[nameOf(id, 'food')] = typed(own?.food ?? null);
    texts[nameOf(id, 'substrate')] = typed(own?.substrate ?? null);
    texts[nameOf(id, 'vet')] = typed(own?.vet ?? null);
  }
  return texts;
}

/** What a newcomer's quarantine takes, which a question about one asks as well as long as it was not said. */
export function quarantineFields(form: FormState, { code }: Currency) {
  const number = (name: QuarantineField, suffix: string, hint: string) =>
    numberField(form, name, labels[name], { suffix, hint });
  return [
    radioField(form, 'quarantinePlace', labels.quarantinePlace, [
      { value: 'yes', label: 'Yes, with its own tools' },
      { value: 'no', label: 'No' },
    ]),
    number('quarantineWeeks', 'weeks', 'Ask your reptile vet; it should outlast the tests.'),
    number('quarantineBox', code, 'With its heater and hide; 0 when you keep one for it.'),
    number('newcomerVet', code, 'Parasite tests and the first visit.'),
  ];
}
type QuarantineField = 'quarantineWeeks' | 'quarantineBox' | 'newcomerVet';

function groupsOf({ ledger, animals }: Around, form: FormState) {
  const sign = ledger.currency.code;
  const number = (name: Field, suffix: string, hint?: string) =>
    numberField(form, name, labels[name], hint === undefined ? { suffix } : { suffix, hint });
  return [
    {
      legend: 'In all',
      fields: [
        number('minutesAWeek', 'min', 'For feeding, cleaning and looking, week in, week out.'),
        number(
          'floorM2',
          areaUnit(ledger.unitSystem).show,
          'All the floor that enclosures may take, those that stand now included. Shelves one above the other each count.',
        ),
        number('largestEmergency', sign, 'A vet visit, or a new heater in winter: whichever is the dearer.'),
      ],
    },
    {
      legend: 'A newcomer’s quarantine',
      fields: quarantineFields(form, ledger.currency),
    },
    ...animals.map(({ id, name }) => ({
      legend: `${name}, at adult size`,
      fields: [
        numberField(form, nameOf(id, 'minutes'), animalLabels.minutes, { suffix: 'min' }),
        numberField(form, nameOf(id, 'food'), animalLabels.food, { suffix: sign }),
        numberField(form, nameOf(id, 'substrate'), animalLabels.substrate, { suffix: sign }),
        numberField(form, nameOf(id, 'vet'), animalLabels.vet, {
          suffix: sign,
          hint: 'Left empty, it takes its share of the monthly sums on the money page; they are counted once.',
        }),
      ],
    })),
    {
      legend: 'Value choices',
      fields: [
        number('cushionPercent', '%', 'Ten unless you change it; a choice, no source.'),
        number('clearMonths', 'months', 'Twelve unless you change it; a choice, no source.'),
      ],
    },
  ];
}

// The short way from an empty ledger to a first plan: a path of steps that tick themselves, one form an animal with its box and what is in
// it, and one tap that takes what is proposed and plans. It writes the same rows by the same functions as the long forms.

import type { FastifyInstance, FastifyReply } from 'fastify';
import { dateOfInstant, formatDate, type PlainDate } from '../../src/calendar.ts';
import { UNKNOWN_BUILD } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import {
  AGES,
  BOX_SORTS,
  doubtsAbout,
  type FirstAnswers,
  factsFrom,
  LEFT_OPEN,
  ticksFor,
  UV_SOURCES,
  warmersFor,
} from '../../src/first-facts.ts';
import { type Currency, type Money, noMoney, typedMoney } from '../../src/money.ts';
import { pricedAt } from '../../src/parts.ts';
import type { Species } from '../../src/species.ts';
import { nearestSpecies, searchSpecies } from '../../src/species-finder.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { unitName } from '../../src/units.ts';
import { fittedOnDay } from '../../src/upgrades.ts';
import { addAnimal, addEnclosure, addFitting, listAnimals } from '../db/collection.ts';
import { recordEvent } from '../db/events.ts';
import { listAssumptions, noteAssumption, putFirstStepsAway, settleAssumption } from '../db/first-steps.ts';
import { type Ledger, readLedger } from '../db/ledger.ts';
import { holdsAmounts } from '../db/money.ts';
import { inTransaction, type Tx } from '../db/open.ts';
import { checkboxField, formPage, numberField, radioField, selectField, textField } from '../fields.ts';
import {
  checkbox,
  choice,
  decimalField,
  type FormError,
  type FormState,
  formOf,
  moneyField,
  optionalMoney,
  optionalQuantity,
  optionalText,
  parseForm,
  quantityField,
  startForm,
  type Values,
} from '../forms.ts';
import { measureNames } from '../kind-words.ts';
import { moneyFormWords, moneySentences } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import {
  ageNames,
  boxSortNames,
  sizeDoubtSentence,
  startSentences,
  thingName,
  uvSourceNames,
  warmerNames,
} from '../start-words.ts';
import { idFrom, speciesAt } from './asked-row.ts';
import { registerLedgerForm } from './ledger-form.ts';
import { openProposals } from './open-proposals.ts';
import { newMark, ONCE_FIELD, rememberSent } from './sent-twice.ts';
import { currencyField, timeZoneField, timeZones } from './settings.ts';
import { findPage, startPage } from './start.view.ts';
import { takeProposals } from './upgrades.ts';

const MOST_TYPED = 80;

type Value = {
  name: string;
  age: FirstAnswers['age'];
  animalLength: Quantity | null;
  length: Quantity;
  depth: Quantity;
  height: Quantity;
  sort: FirstAnswers['sort'];
  warmer: FirstAnswers['warmer'];
  uv: FirstAnswers['uv'];
  sure: boolean;
};

export function startPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, library, parts, planning, render } = deps;
  const today = () => dateOfInstant(now(), readLedger(db).timeZone);

  app.get(paths.start.show, (_request, reply) => {
    const { ledger, scoring, today: on } = gatherScoring(db, library(), now());
    const { proposals } = openProposals(db, parts, { ledger, today: on, scoring });
    const asksRate = parts.currency !== ledger.currency.code;
    const model = startPage(db, { ledger, scoring, scores: scoreCollection(scoring), proposals, asksRate });
    return render(reply, 'start', model, { title: model.heading, current: 'home' });
  });

  app.get(paths.start.find, (request, reply) => {
    const { called } = request.query as { called?: unknown };
    // Null as long as nothing was looked for.
    const typed = typeof called === 'string' ? called.slice(0, MOST_TYPED).trim() : null;
    const none = { group: null, habit: null, activity: null, zone: null, uv: null, outdoors: null } as const;
    const found =
      typed === null || typed === ''
        ? []
        : searchSpecies(library(), new Set(), { words: typed, ...none, kept: null, known: null }).found;
    const near = found.length > 0 || typed === null || typed === '' ? [] : nearestSpecies(library(), typed);
    const model = findPage(typed, found, near);
    const back = { href: paths.start.show, label: startSentences.heading };
    return render(reply, 'start-find', model, { title: model.heading, current: 'home', back });
  });

  app.get(paths.start.animal(':key'), (request, reply) => {
    const species = speciesAt(request.params, library());
    const { unitSystem } = readLedger(db);
    const first = { age: 'unknown', sort: 'unknown', warmer: 'unknown', uv: 'unknown' };
    return showAnimal(reply, species, startForm(first), unitSystem);
  });

  app.post(paths.start.animal(':key'), (request, reply) => {
    const species = speciesAt(request.params, library());
    const { unitSystem } = readLedger(db);
    const { [ONCE_FIELD]: _once, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    let asksSure = false;
    const read = parseForm(animalSchema(species, unitSystem), fields, (given) => {
      const value = given as unknown as Value;
      const doubts = value.sure ? [] : askBack(species, value, fields as Values, unitSystem);
      asksSure = doubts.length > 0;
      return doubts;
    });
    if (read.status === 'bad') return showAnimal(reply, species, read, unitSystem, { status: 422, asksSure });
    const value = read.value as unknown as Value;
    const ticked = ticksFor(species)
      .filter(({ key }) => read.values[tickField(key)] === 'yes')
      .map(({ key }) => key);
    inTransaction(db, (tx) => {
      save(tx, species, { ...value, ticked }, today());
      rememberSent(tx, request, paths.start.show);
    });
    return reply.redirect(withNotice(paths.start.show, 'first-added'), 303);
  });

  registerLedgerForm<{ monthlySum: Money; cashCounted: Money; floorKept: Money | null }>(app, deps, {
    url: paths.start.money,
    back: paths.start.show,
    current: 'home',
    called: 'the money',
    schema: (ledger) =>
      formOf({
        monthlySum: moneyField('the sum a month', ledger),
        cashCounted: moneyField('what is in hand', ledger),
        floorKept: optionalMoney(moneyFormWords.theFloor, ledger),
      }),
    mistakes: () => [],
    texts: ({ monthlySum, cashCounted, floorKept, currency }) => ({
      monthlySum: typedOr(monthlySum, currency),
      cashCounted: typedOr(cashCounted, currency),
      floorKept: typedOr(floorKept, currency),
    }),
    labels: moneyLabels,
    form: ({ currency }, form) => ({
      heading: 'What is there to spend?',
      groups: [
        {
          legend: null,
          fields: [
            numberField(form, 'monthlySum', moneyLabels.monthlySum, {
              suffix: currency.code,
              hint: 'For things for your animals; 0 is an answer too.',
            }),
            numberField(form, 'cashCounted', moneyLabels.cashCounted, {
              suffix: currency.code,
              hint: startSentences.cash,
            }),
            numberField(form, 'floorKept', moneyLabels.floorKept, {
              suffix: currency.code,
              hint: moneyFormWords.floorHint,
            }),
          ],
        },
      ],
      submit: 'Save',
      related: { href: paths.start.writing, label: 'Another currency' },
    }),
    changes: ({ monthlySum, cashCounted, floorKept }) => ({
      monthlySum,
      cashCounted,
      floorKept: floorKept ?? noMoney,
      cashCountedOn: today(),
      sumArrived: true,
    }),
    also: (tx, _before, { cashCounted }) => {
      recordEvent(tx, {
        happenedOn: today(),
        amount: cashCounted,
        what: 'cash-counted',
        upgradeId: null,
        note: '',
      });
    },
  });

  registerLedgerForm<{ currency: Currency; unitSystem: UnitSystem; timeZone: string }>(app, deps, {
    url: paths.start.writing,
    back: paths.start.show,
    current: 'home',
    called: 'the settings',
    schema: (ledger) =>
      formOf({
        currency: currencyField(),
        timeZone: timeZoneField(ledger.timeZone),
        unitSystem: choice('the units of measure', ['metric', 'imperial', 'metric-fahrenheit', 'imperial-celsius']),
      }),
    mistakes: (ledger, { currency }, _today, session): FormError[] =>
      currency.decimals !== ledger.currency.decimals && holdsAmounts(session)
        ? [{ field: 'currency', message: moneySentences.otherDecimals(ledger.currency.code, currency.code) }]
        : [],
    texts: ({ currency, unitSystem, timeZone }) => ({ currency: currency.code, unitSystem, timeZone }),
    labels: { currency: 'Currency', unitSystem: 'Units of measure', timeZone: 'Time zone' },
    form: (ledger, form) => ({
      heading: 'Currency, units and time zone',
      groups: [
        {
          legend: null,
          fields: [
            numberField(form, 'currency', 'Currency', { hint: 'Three letters, such as EUR.' }),
            selectField(form, 'timeZone', 'Time zone', timeZones(ledger.timeZone), {
              hint: startSentences.zoneHint(formatDate(today(), ledger.locale)),
            }),
            radioField(form, 'unitSystem', 'Units of measure', [
              { value: 'metric', label: 'Centimetres and °C' },
              { value: 'imperial', label: 'Inches and °F' },
              { value: 'metric-fahrenheit', label: 'Centimetres and °F' },
              { value: 'imperial-celsius', label: 'Inches and °C' },
            ]),
          ],
        },
      ],
      submit: 'Save',
      related: { href: paths.settings, label: 'All settings' },
    }),
    changes: (value) => value,
  });

  app.post(paths.start.plan, (_request, reply) => {
    const { ledger, scoring, today: on } = gatherScoring(db, library(), now());
    const { proposals } = openProposals(db, parts, { ledger, today: on, scoring });
    inTransaction(db, (tx) => takeProposals(tx, proposals, ledger.unitSystem));
    planning.start();
    return reply.redirect(paths.roadmap.progress, 303);
  });

  app.get(paths.start.prices, (_request, reply) => showPrices(reply, readLedger(db), startForm({ rate: '' })));

  app.post(paths.start.prices, (request, reply) => {
    const { ledger, scoring, today: on } = gatherScoring(db, library(), now());
    const { [ONCE_FIELD]: _once, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(formOf({ rate: rateField(ledger) }), fields);
    if (read.status === 'bad') return showPrices(reply, ledger, read, 422);
    const { rate } = read.value;
    const { proposals } = openProposals(db, pricedAt(parts, rate, ledger.currency), { ledger, today: on, scoring });
    const day = formatDate(on, ledger.locale);
    const note = startSentences.rateNote(parts.currency, String(rate), ledger.currency.code, day);
    inTransaction(db, (tx) => {
      // Taken elsewhere meanwhile, at another rate; a plan would not tell that this one was not used.
      if (takeProposals(tx, proposals, ledger.unitSystem, note) === 0)
        throw new AppError('conflict', startSentences.nothingLeftToPrice);
      rememberSent(tx, request, paths.roadmap.progress);
    });
    planning.start();
    return reply.redirect(paths.roadmap.progress, 303);
  });

  app.post(paths.start.settle(':id'), (request, reply) => {
    const id = idFrom(request.params);
    const isOpen = listAssumptions(db).some((one) => one.id === String(id) && LEFT_OPEN.has(one.what));
    settleAssumption(db, id, today());
    return reply.redirect(`${withNotice(paths.start.show, isOpen ? 'left-unknown' : 'settled')}#assumed`, 303);
  });

  app.post(paths.start.putAway, (_request, reply) => {
    putFirstStepsAway(db, today());
    return reply.redirect(withNotice(paths.home, 'put-away'), 303);
  });

  app.post(paths.start.takeOut, (_request, reply) => {
    putFirstStepsAway(db, null);
    return reply.redirect(paths.start.show, 303);
  });

  function rateField({ currency }: Ledger) {
    return decimalField(`what 1 ${parts.currency} is`, 0.001, 100_000, currency.code);
  }

  function showPrices(reply: FastifyReply, { currency }: Ledger, form: FormState, status = 200): FastifyReply {
    const model = formPage(form, {
      heading: startSentences.pricesHeading,
      lead: startSentences.pricesLead(parts.currency),
      action: paths.start.prices,
      once: newMark(),
      groups: [
        {
          legend: null,
          fields: [numberField(form, 'rate', `1 ${parts.currency} is about`, { suffix: currency.code })],
        },
      ],
      submit: 'Take them all and plan',
      cancel: paths.start.show,
    });
    const back = { href: paths.start.show, label: startSentences.heading };
    return render(reply, 'form', model, { title: model.heading, current: 'home', status, back });
  }

  function showAnimal(
    reply: FastifyReply,
    species: Species,
    form: FormState,
    system: UnitSystem,
    { status = 200, asksSure = form.values.sure === 'yes' }: { status?: number; asksSure?: boolean } = {},
  ): FastifyReply {
    const unit = unitName('length', system);
    const size = (name: 'length' | 'depth' | 'height', hint?: string) =>
      numberField(form, name, animalLabels[name], hint === undefined ? { suffix: unit } : { suffix: unit, hint });
    // What is chosen as long as nobody says anything stands first.
    const offered = <Key extends string>(keys: readonly Key[], names: Readonly<Record<Key, string>>) =>
      [...keys.filter((one) => one === 'unknown'), ...keys.filter((one) => one !== 'unknown')].map((value) => ({
        value,
        label: names[value],
      }));
    const model = formPage(form, {
      heading: species.commonName,
      lead: startSentences.share,
      action: paths.start.animal(species.id),
      once: newMark(),
      groups: [
        {
          legend: 'The animal',
          fields: [
            textField(form, 'name', animalLabels.name, { hint: startSentences.name }),
            selectField(form, 'age', animalLabels.age, offered(AGES, ageNames)),
            numberField(
              form,
              'animalLength',
              `${animalLabels.animalLength}, ${measureNames[species.adultSize.measure]}`,
              {
                suffix: unit,
                hint: startSentences.length,
              },
            ),
          ],
        },
        {
          legend: 'Its box, inside',
          fields: [
            size('length', 'Left to right. Another unit can be written behind the number.'),
            size('depth', 'Front to back.'),
            size('height'),
            selectField(form, 'sort', animalLabels.sort, offered(BOX_SORTS, boxSortNames)),
            ...(asksSure ? [checkboxField(form, 'sure', startSentences.sure, { hint: startSentences.sureHint })] : []),
          ],
        },
        {
          legend: 'Warmth and light',
          fields: [
            selectField(form, 'warmer', animalLabels.warmer, offered(warmersFor(species), warmerNames)),
            selectField(form, 'uv', animalLabels.uv, offered(UV_SOURCES, uvSourceNames)),
          ],
        },
        {
          legend: `${startSentences.ticks} ${startSentences.ticksHint}`,
          fields: ticksFor(species).map(({ key, kind, place }) =>
            checkboxField(form, tickField(key), thingName(kind, place)),
          ),
        },
      ],
      submit: 'Write it down',
      cancel: paths.start.show,
    });
    const back = { href: paths.start.find, label: startSentences.findHeading };
    return render(reply, 'form', model, { title: model.heading, current: 'home', status, back });
  }
}

const animalLabels = {
  name: 'Its name',
  age: 'How old is it?',
  animalLength: 'Its length',
  length: 'Length',
  depth: 'Depth',
  height: 'Height',
  sort: 'What kind of box is it?',
  warmer: 'What warms it?',
  uv: 'What gives UV?',
} as const;

const moneyLabels = {
  monthlySum: 'Put aside a month',
  cashCounted: 'In hand today',
  floorKept: 'What must stay in hand, such as for the vet',
} as const;

const tickField = (key: string) => `there-${key}`;

function typedOr(amount: Money | null, currency: Currency): string {
  return amount === null ? '' : typedMoney(amount, currency);
}

function animalSchema(species: Species, system: UnitSystem) {
  return formOf({
    name: optionalText('the name', 80),
    age: choice('how old it is', AGES),
    animalLength: optionalQuantity('the length', 'length', system),
    length: quantityField('the inside length', 'length', system),
    depth: quantityField('the inside depth', 'length', system),
    height: quantityField('the inside height', 'length', system),
    sort: choice('the kind of box', BOX_SORTS),
    warmer: choice('what warms it', warmersFor(species)),
    uv: choice('what gives UV', UV_SOURCES),
    sure: checkbox('whether the measures are right'),
    ...Object.fromEntries(
      ticksFor(species).map(({ key, kind, place }) => [tickField(key), checkbox(thingName(kind, place))]),
    ),
  });
}

function askBack(species: Species, value: Value, typed: Values, system: UnitSystem): FormError[] {
  const hasUnit = [typed.length, typed.depth, typed.height].some((text) => /[^\d\s.,]/.test(text ?? ''));
  const measures = {
    // What could not be read is not asked back too.
    length: value.length?.value ?? null,
    depth: value.depth?.value ?? null,
    height: value.height?.value ?? null,
    animalLength: value.animalLength?.value ?? null,
  };
  return doubtsAbout(species, measures, hasUnit).map((doubt) => ({
    field: doubt.of,
    message: sizeDoubtSentence(doubt, value[doubt.of]?.typed ?? '', system),
  }));
}

function save(tx: Tx, species: Species, value: Value & { ticked: string[] }, today: PlainDate): void {
  const facts = factsFrom(value, species, today, thingName);
  const name = value.name === '' ? freeName(tx, species.commonName) : value.name;
  const enclosureId = addEnclosure(tx, {
    name: `Box of ${name}`.slice(0, 80),
    lengthMm: value.length.value,
    depthMm: value.depth.value,
    heightMm: value.height.value,
    lengthTyped: value.length.typed,
    depthTyped: value.depth.typed,
    heightTyped: value.height.typed,
    material: facts.material,
    top: facts.top,
    boxSince: facts.boxSince,
    build: UNKNOWN_BUILD,
    notes: '',
  });
  for (const what of facts.ofBox) noteAssumption(tx, { of: 'enclosure', rowId: enclosureId }, what);
  const animalId = addAnimal(tx, {
    name,
    speciesId: species.id,
    enclosureId,
    lengthMm: value.animalLength?.value ?? null,
    lengthTyped: value.animalLength?.typed ?? '',
    measuredOn: value.animalLength === null ? null : today,
    hatchedOn: facts.hatchedOn,
    sex: 'unknown',
    paleMorph: false,
    seasons: [],
    notes: '',
  });
  for (const what of facts.ofAnimal) noteAssumption(tx, { of: 'animal', rowId: animalId }, what);
  const ids = new Map<string, string>();
  for (const { thing, since, assumed } of facts.things) {
    const { id: key, ...rest } = fittedOnDay(thing, thing.key, enclosureId, since);
    const fittingId = addFitting(tx, {
      ...rest,
      regulates: rest.regulates === null ? null : ids.get(rest.regulates)!,
      distanceTyped: '',
      upgradeId: null,
    });
    ids.set(key, fittingId);
    for (const what of assumed) noteAssumption(tx, { of: 'fitting', rowId: fittingId }, what);
  }
}

// 'Corn snake', then 'Corn snake 2': two animals never share a name that nobody gave them.
function freeName(tx: Tx, name: string): string {
  const taken = new Set(listAnimals(tx).map((one) => one.name));
  for (let number = 1; ; number += 1) {
    const tried = number === 1 ? name : `${name} ${number}`;
    if (!taken.has(tried)) return tried;
  }
}

// How the changes of an upgrade are entered by plain form rows: each is a group of fields named 'c1-', 'c2-' and so on, and only this
// file knows which questions each kind of change asks and how its answers become a change.

import type { Fitting, FittingKind, ReadingKind } from '../../src/collection.ts';
import { CHECKS, FITTING_KINDS, HEATERS, MATERIALS, READING_KINDS, TOPS } from '../../src/collection.ts';
import type { Currency } from '../../src/money.ts';
import { HIDE_ZONES } from '../../src/species.ts';
import type { Dimension, UnitSystem } from '../../src/units.ts';
import { parseQuantity, typedQuantity, unitName } from '../../src/units.ts';
import type { Change, NewFitting } from '../../src/upgrades.ts';
import type { Answer, Field } from '../fields.ts';
import { checkboxField, numberField, radioField, selectField, textField } from '../fields.ts';
import { formSentences, quantitySentence } from '../form-words.ts';
import type { FormError, FormState, ReadText, Values } from '../forms.ts';
import {
  checkbox,
  choice,
  fieldReadBy,
  formOf,
  optional,
  optionalChoice,
  optionalMoney,
  optionalQuantity,
  optionalText,
  optionalWholeNumber,
  parseForm,
  quantityField,
  requiredText,
} from '../forms.ts';
import {
  checkQuestions,
  fittingNames,
  hideZoneNames,
  materialNames,
  meshShares,
  monthNames,
  readingDimensions,
  readingNames,
  topNames,
  unlookedMesh,
} from '../kind-words.ts';
import { changeFormWords, changeNames, upgradeSentences } from '../upgrade-words.ts';
import { capital, percent } from '../words.ts';
import { fittingLabels, has, regulatesLabel, thingTexts } from './fittings.view.ts';
import { lampFields, lampMistakes, lampRead, lampShape, usualOrigin, withUnshownPoints } from './lamp-fields.ts';

/** The most changes one upgrade may hold; a larger box with all its promised readings holds about a dozen. */
export const MOST_CHANGES = 24;

/** What the groups choose from: where things go, and what is in use there. */
export type AroundChanges = {
  system: UnitSystem;
  currency: Currency;
  locale: string;
  enclosures: readonly { id: string; label: string }[];
  fittings: readonly { id: string; label: string; kind: FittingKind; enclosureId: string }[];
};

/** A group of fields for one change, with what it carries hidden. */
export type ChangeGroup = { legend: string; hidden: { name: string; value: string }[]; fields: Field[] };

type What = `fit:${FittingKind}` | Exclude<Change['change'], 'fit'>;

type Entered = { number: number; what: What; isLeftOut: boolean };

const notFitted = Object.keys(changeNames) as Exclude<Change['change'], 'fit'>[];
const fits = FITTING_KINDS.map((kind) => `fit:${kind}` as const);

/** What can be added, as the answers of a list; nothing first. */
export const changeAnswers: readonly Answer[] = [
  { value: '', label: changeFormWords.nothingMore },
  ...notFitted.map((what) => ({ value: what, label: changeNames[what] })),
  ...FITTING_KINDS.map((kind) => ({ value: `fit:${kind}`, label: `Fit: ${fittingNames[kind]}` })),
];

/** Whether a sent field belongs to a change. */
export function isChangeField(name: string): boolean {
  return /^c\d{1,2}-/.test(name);
}

/** The texts of a form with one more change of a kind, and without those that were ticked to be left out; null for an unknown kind. */
export function withChange(values: Values, what: string): Values | 'unknown' | 'too-many' {
  const known = readWhat(what);
  if (known === null) return 'unknown';
  const entered = enteredIn(values);
  if (entered.filter((one) => !one.isLeftOut).length >= MOST_CHANGES) return 'too-many';
  const number = Math.max(0, ...entered.map((one) => one.number)) + 1;
  return { ...withoutLeftOut(values), ...prefixed(number, firstTexts(known, number)) };
}

/** How kept changes read in the form. */
export function changeTexts(changes: readonly Change[], { system, currency }: AroundChanges): Values {
  const texts = changes.map((change, place) => prefixed(place + 1, textsOf(change, system, currency)));
  return Object.assign({}, ...texts) as Values;
}

/** The groups of the form in their order, each with a box to leave it out again. */
export function changeGroups(form: FormState, around: AroundChanges): ChangeGroup[] {
  const entered = enteredIn(form.values);
  return entered.map((one, place) => {
    const name = (field: string) => `c${one.number}-${field}`;
    const key = form.values[name('key')] ?? '';
    return {
      legend: changeFormWords.changeOf(place + 1, nameOf(one.what)),
      hidden: [
        { name: name('what'), value: one.what },
        ...(one.what.startsWith('fit:') ? [{ name: name('key'), value: key }] : []),
      ],
      fields: [
        ...fieldsOf(form, one, around),
        checkboxField(form, name('out'), changeFormWords.leaveOut, {
          hint: changeFormWords.leaveOutHint,
        }),
      ],
    };
  });
}

/**
 * Changes as they were read, with what the form cannot show of them as it was before: places, sockets, and a lamp's points beyond its rows. A
 * thing that is to be moved by another distance than before has no place any more.
 */
export function withUnshown(changes: readonly Change[], before: readonly Change[]): Change[] {
  return changes.map((change) => {
    if (change.change === 'move') {
      const same = before.find((one) => one.change === 'move' && one.fittingId === change.fittingId);
      return same?.change === 'move' && same.distanceMm === change.distanceMm
        ? { ...change, placed: same.placed }
        : change;
    }
    if (change.change !== 'fit') return change;
    const { enclosureId, fitting } = change;
    const same = before.find(
      (one) =>
        one.change === 'fit' &&
        one.enclosureId === enclosureId &&
        one.fitting.key === fitting.key &&
        one.fitting.kind === fitting.kind,
    );
    if (same?.change !== 'fit') return change;
    const { placed, outletId, lamp } = same.fitting;
    const { lamp: shown } = fitting;
    return {
      ...change,
      fitting: {
        ...fitting,
        placed,
        outletId,
        lamp: shown === null ? null : { ...shown, more: withUnshownPoints(lamp, shown.more) },
      },
    };
  });
}

/** Reads every change that is not left out. Mistakes carry the names of their fields in the form. */
export function readChanges(
  values: Values,
  around: AroundChanges,
): { status: 'ok'; changes: Change[] } | { status: 'bad'; errors: FormError[] } {
  const all = enteredIn(values);
  const entered = all.filter((one) => !one.isLeftOut);
  if (entered.length > MOST_CHANGES)
    return { status: 'bad', errors: [{ field: 'add', message: upgradeSentences.tooManyChanges(MOST_CHANGES) }] };
  const [changes, errors]: [Change[], FormError[]] = [[], []];
  const own = ownThings(values, entered);
  for (const { number, what } of entered) {
    const place = all.findIndex((one) => one.number === number) + 1;
    const prefix = `c${number}-`;
    const { what: _, out: _out, ...fields } = unprefixed(values, prefix);
    const read = readChange(
      what,
      fields,
      around,
      own.filter((one) => one.number !== number).map((one) => one.key),
    );
    if (read.status === 'ok') changes.push(read.change);
    else
      errors.push(
        ...read.errors.map(({ field, message }) => ({
          // What has no control of its own, a hidden key or a field that is not known, is a mistake of the whole form.
          field: isUnseen(field) ? '' : `${prefix}${field}`,
          // The same mistake in two changes is told apart in the list of mistakes.
          message: all.length > 1 ? changeFormWords.changeFault(place, message) : message,
        })),
      );
  }
  const strays = Object.keys(values).filter(
    (name) => isChangeField(name) && !all.some((one) => name.startsWith(`c${one.number}-`)),
  );
  errors.push(...strays.map((name) => ({ field: '', message: formSentences.unknownField(name) })));
  return errors.length === 0 ? { status: 'ok', changes } : { status: 'bad', errors };
}

const isUnseen = (field: string) => field === '' || field === 'key';

function enteredIn(values: Values): Entered[] {
  return Object.entries(values)
    .flatMap(([name, value]): Entered[] => {
      const number = Number(/^c(\d{1,2})-what$/.exec(name)?.[1] ?? 0);
      const what = readWhat(value);
      return number === 0 || what === null ? [] : [{ number, what, isLeftOut: values[`c${number}-out`] === 'yes' }];
    })
    .sort((a, b) => a.number - b.number);
}

function readWhat(text: string): What | null {
  return notFitted.find((one) => one === text) ?? fits.find((one) => one === text) ?? null;
}

function kindOf(what: What): FittingKind | null {
  return FITTING_KINDS.find((kind) => `fit:${kind}` === what) ?? null;
}

function nameOf(what: What): string {
  const kind = kindOf(what);
  return kind === null
    ? changeNames[what as Exclude<Change['change'], 'fit'>]
    : changeFormWords.fitOf(fittingNames[kind]);
}

function prefixed(number: number, texts: Values): Values {
  return Object.fromEntries(Object.entries(texts).map(([name, value]) => [`c${number}-${name}`, value]));
}

function unprefixed(values: Values, prefix: string): Record<string, string> {
  return Object.fromEntries(
    Object.entries(values)
      .filter(([name]) => name.startsWith(prefix))
      .map(([name, value]) => [name.slice(prefix.length), value]),
  );
}

function withoutLeftOut(values: Values): Values {
  const dropped = enteredIn(values).filter((one) => one.isLeftOut);
  return Object.fromEntries(
    Object.entries(values).filter(([name]) => !dropped.some((one) => name.startsWith(`c${one.number}-`))),
  );
}

/** The things that the form's own changes fit, each with the key by which a thermostat or guard of the same form names it. */
function ownThings(values: Values, entered: readonly Entered[]) {
  return entered.flatMap(({ number, what }) => {
    const kind = kindOf(what);
    const key = values[`c${number}-key`] ?? '';
    return kind === null || key === '' ? [] : [{ number, kind, key, name: values[`c${number}-name`] ?? '' }];
  });
}

function firstTexts(what: What, number: number): Values {
  const kind = kindOf(what);
  if (kind === null) return { what };
  return {
    what,
    // Numbers are never used twice in a form, and no kind is called so.
    key: `thing-${number}`,
    name: fittingNames[kind],
    mesh: '1',
    ...(has(kind, 'lamp') ? { lampFrom: usualOrigin(kind), lampReflector: 'unknown' } : {}),
    place: kind === 'moist-hide' ? 'moist' : '',
    whenBoxReplaced: 'moves',
  };
}

function textsOf(change: Change, system: UnitSystem, currency: Currency): Values {
  const typed = (value: number | null, dimension: Dimension) =>
    value === null ? '' : typedQuantity(value, dimension, system);
  const reading = (kind: ReadingKind, value: number) => typed(value, readingDimensions[kind]);
  switch (change.change) {
    case 'fit': {
      const { fitting } = change;
      const expected = fitting.expects.map((one, place) => ({
        [`expect${place + 1}Kind`]: one.reading,
        [`expect${place + 1}Value`]: reading(one.reading, one.value),
      }));
      return {
        what: `fit:${fitting.kind}`,
        key: fitting.key,
        enclosure: change.enclosureId,
        ...thingTexts(fitting, system, currency),
        ...(Object.assign({}, ...expected) as Values),
      };
    }
    case 'retire':
    case 'renew':
      return { what: change.change, fitting: change.fittingId };
    case 'set-hours':
      return { what: change.change, fitting: change.fittingId, hoursPerDay: typed(change.hoursPerDay, 'hours') };
    case 'move':
      return {
        what: change.change,
        fitting: change.fittingId,
        distance: typed(change.distanceMm, 'length'),
        mesh: change.meshShare === null ? '' : String(change.meshShare),
        place: change.place ?? '',
        reach: change.outOfReach === null ? '' : change.outOfReach ? 'out' : 'within',
      };
    case 'replace-box':
      return {
        what: change.change,
        enclosure: change.enclosureId,
        length: typed(change.lengthMm, 'length'),
        depth: typed(change.depthMm, 'length'),
        height: typed(change.heightMm, 'length'),
        material: change.material,
        top: change.top,
      };
    case 'predict':
      return {
        what: change.change,
        enclosure: change.enclosureId,
        reading: change.reading,
        value: reading(change.reading, change.value),
      };
    case 'answer':
      return { what: change.change, enclosure: change.enclosureId, check: change.check };
  }
}

const nothing: Answer = { value: '', label: changeFormWords.nothingHere };
const asItIs: Answer = { value: '', label: changeFormWords.asItIsNow };

function fieldsOf(form: FormState, one: Entered, around: AroundChanges): Field[] {
  const name = (field: string) => `c${one.number}-${field}`;
  const unit = unitName('length', around.system);
  const anyUnit = { hint: changeFormWords.inUnit(unit) };
  const enclosure = () =>
    selectField(
      form,
      name('enclosure'),
      changeFormWords.where,
      chosenFrom(around.enclosures, changeFormWords.chooseEnclosure),
    );
  const fitting = () =>
    selectField(
      form,
      name('fitting'),
      changeFormWords.whichThing,
      chosenFrom(around.fittings, changeFormWords.chooseFitted),
    );
  const kind = kindOf(one.what);
  if (kind !== null) return fitFields(form, one.number, kind, around, enclosure());
  switch (one.what) {
    case 'set-hours':
      return [fitting(), numberField(form, name('hoursPerDay'), changeFormWords.hoursPerDay, { suffix: 'h' })];
    case 'move':
      return [
        fitting(),
        numberField(form, name('distance'), fittingLabels.distance, {
          hint: changeFormWords.emptyLeavesIt(anyUnit.hint),
        }),
        selectField(form, name('mesh'), fittingLabels.mesh, [asItIs, ...meshAnswers(form.values[name('mesh')])]),
        selectField(form, name('place'), fittingLabels.place, [asItIs, ...placeAnswers]),
        selectField(form, name('reach'), changeFormWords.reach, [
          asItIs,
          { value: 'out', label: changeFormWords.isOutOfReach },
          { value: 'within', label: changeFormWords.withinReach },
        ]),
      ];
    case 'replace-box':
      return [
        enclosure(),
        numberField(form, name('length'), changeFormWords.insideLength, anyUnit),
        numberField(form, name('depth'), changeFormWords.insideDepth),
        numberField(form, name('height'), changeFormWords.insideHeight),
        selectField(
          form,
          name('material'),
          changeFormWords.walls,
          chosenOf(
            MATERIALS.map((value) => ({ value, label: materialNames[value] })),
            changeFormWords.chooseWalls,
          ),
        ),
        selectField(
          form,
          name('top'),
          changeFormWords.top,
          chosenOf(
            TOPS.map((value) => ({ value, label: topNames[value] })),
            changeFormWords.chooseTop,
          ),
        ),
      ];
    case 'predict':
      return [
        enclosure(),
        selectField(
          form,
          name('reading'),
          changeFormWords.reading,
          chosenOf(readingAnswers, changeFormWords.chooseReading),
        ),
        numberField(form, name('value'), changeFormWords.valueWanted, {
          hint: changeFormWords.estimateHint,
        }),
      ];
    case 'answer':
      return [
        enclosure(),
        selectField(
          form,
          name('check'),
          changeFormWords.check,
          chosenOf(
            CHECKS.map((value) => ({ value, label: checkQuestions[value].question })),
            changeFormWords.chooseCheck,
          ),
        ),
      ];
    default:
      return [fitting()];
  }
}

const readingAnswers = READING_KINDS.map((value) => ({ value, label: readingNames[value] }));
const placeAnswers = HIDE_ZONES.map((value) => ({ value, label: capital(hideZoneNames[value]) }));

function chosenFrom(list: readonly { id: string; label: string }[], question: string): Answer[] {
  return chosenOf(
    list.map(({ id, label }) => ({ value: id, label })),
    question,
  );
}

// Nothing is chosen until the keeper chooses: a list that begins with an answer would enter it unasked.
function chosenOf(answers: readonly Answer[], question: string): Answer[] {
  return [{ value: '', label: question }, ...answers];
}

function meshAnswers(present: string | undefined): Answer[] {
  const share = Number(present);
  const known = present === undefined || present === '' || meshShares.some(({ value }) => Number(value) === share);
  if (known || !(share >= 0 && share <= 1)) return [...meshShares];
  return [...meshShares, { value: present, label: changeFormWords.passes(percent(share)) }];
}

function fitFields(
  form: FormState,
  number: number,
  kind: FittingKind,
  around: AroundChanges,
  enclosure: Field,
): Field[] {
  const name = (field: string) => `c${number}-${field}`;
  const unit = unitName('length', around.system);
  const filled = (...fields: string[]) =>
    fields.some(
      (field) => (form.values[name(field)] ?? '') !== '' || form.errors.some((one) => one.field === name(field)),
    );
  const when = (shown: boolean, ...fields: (() => Field)[]) => (shown ? fields.map((field) => field()) : []);
  const label = fittingLabels;
  const worksOn = (works: (kind: FittingKind) => boolean): Answer[] => [
    nothing,
    ...ownThings(form.values, enteredIn(form.values))
      .filter((one) => one.number !== number && works(one.kind))
      .map((one) => ({ value: one.key, label: changeFormWords.ofThisUpgrade(one.name || fittingNames[one.kind]) })),
    ...around.fittings.filter((one) => works(one.kind)).map((one) => ({ value: one.id, label: one.label })),
  ];
  const heats = (one: FittingKind) => HEATERS.has(one);
  const shines = (one: FittingKind) => HEATERS.has(one) || one.startsWith('uv-');
  const months = [
    { value: '', label: changeFormWords.chooseMonth },
    ...monthNames.map((text, place) => ({ value: String(place + 1), label: text })),
  ];
  const rows = Array.from({ length: expectedRows(unprefixed(form.values, name(''))) }, (_, place) => place + 1);
  const isLamp = has(kind, 'lamp') || filled('lampUvi', 'lampAt', 'litLength');
  const lamp = isLamp ? lampFields(form, kind, around.system, name) : { first: [], more: [] };
  return [
    enclosure,
    textField(form, name('name'), label.name),
    ...lamp.first,
    // Of what only some keepers know, an upgrade shows what is known already.
    ...lamp.more.filter((one) => one.error !== null || (one.isCheckbox ? one.checked : one.value !== '')),
    ...when(has(kind, 'regulates') || filled('regulates'), () =>
      selectField(form, name('regulates'), regulatesLabel(kind), worksOn(kind === 'timer' ? shines : heats)),
    ),
    ...when(has(kind, 'guards') || filled('guards'), () =>
      selectField(form, name('guards'), label.guards, worksOn(shines)),
    ),
    ...when(has(kind, 'place') || filled('place'), () =>
      selectField(form, name('place'), label.place, [{ value: '', label: changeFormWords.nowhere }, ...placeAnswers]),
    ),
    ...when(has(kind, 'distance') || filled('distance'), () =>
      numberField(form, name('distance'), label.distance, {
        hint: changeFormWords.distanceHint(unit),
      }),
    ),
    ...when(has(kind, 'mesh') || (filled('mesh') && Number(form.values[name('mesh')]) !== 1), () =>
      selectField(form, name('mesh'), label.mesh, [...meshAnswers(form.values[name('mesh')]), unlookedMesh]),
    ),
    ...when(has(kind, 'outOfReach') || filled('outOfReach'), () =>
      checkboxField(form, name('outOfReach'), label.outOfReach),
    ),
    ...when(has(kind, 'watts') || filled('watts'), () =>
      numberField(form, name('watts'), label.watts, { suffix: 'W' }),
    ),
    ...when(has(kind, 'hoursPerDay') || filled('hoursPerDay'), () =>
      numberField(form, name('hoursPerDay'), label.hoursPerDay, { suffix: 'h' }),
    ),
    ...when(has(kind, 'duty') || filled('duty'), () =>
      numberField(form, name('duty'), label.duty, {
        hint: changeFormWords.dutyHint,
        suffix: '%',
      }),
    ),
    ...when(
      has(kind, 'outdoors') || filled('runLength', 'runDepth'),
      () => numberField(form, name('runLength'), label.runLength, { hint: changeFormWords.inUnit(unit) }),
      () => numberField(form, name('runDepth'), label.runDepth),
      () => selectField(form, name('runFrom'), label.runFrom, months),
      () => selectField(form, name('runTo'), label.runTo, months),
      () => checkboxField(form, name('shade'), label.shade),
    ),
    ...rows.flatMap((row) => [
      selectField(
        form,
        name(`expect${row}Kind`),
        row === 1 ? changeFormWords.expectedReading : changeFormWords.otherExpectedReading,
        [{ value: '', label: changeFormWords.none }, ...readingAnswers],
      ),
      numberField(form, name(`expect${row}Value`), changeFormWords.valueWanted),
    ]),
    numberField(form, name('lifeMonths'), label.lifeMonths, { suffix: 'months' }),
    numberField(form, name('renewalPrice'), label.renewalPrice, { suffix: around.currency.code }),
    radioField(form, name('whenBoxReplaced'), label.whenBoxReplaced, [
      { value: 'moves', label: changeFormWords.moves },
      { value: 'stays-behind', label: changeFormWords.staysBehind },
    ]),
  ];
}

/** How many rows for expected readings a thing has: as many as are filled in, and one more. */
function expectedRows(fields: Values): number {
  const filled = Object.entries(fields).flatMap(([name, value]) => {
    const row = Number(/^expect(\d{1,2})(?:Kind|Value)$/.exec(name)?.[1] ?? 0);
    return row > 0 && value !== '' ? [row] : [];
  });
  return Math.min(READING_KINDS.length, Math.max(0, ...filled) + 1);
}

/** The rows for expected readings that were sent, filled in or not. */
function sentRows(fields: Values): number[] {
  const rows = Object.keys(fields).map((name) => Number(/^expect(\d{1,2})(?:Kind|Value)$/.exec(name)?.[1] ?? 0));
  return [...new Set(rows)].filter((row) => row > 0).sort((a, b) => a - b);
}

type ReadChange = { status: 'ok'; change: Change } | { status: 'bad'; errors: readonly FormError[] };

function readChange(what: What, fields: Values, around: AroundChanges, ownKeys: string[]): ReadChange {
  const kind = kindOf(what);
  if (kind !== null) return readFit(kind, fields, around, ownKeys);
  const { system } = around;
  const shape = {
    enclosure: choice(
      changeFormWords.theEnclosure,
      around.enclosures.map((one) => one.id),
    ),
    fitting: choice(
      changeFormWords.theFittedThing,
      around.fittings.map((one) => one.id),
    ),
  };
  switch (what as Exclude<Change['change'], 'fit'>) {
    case 'retire': {
      const read = parseForm(formOf({ fitting: shape.fitting }), fields);
      return read.status === 'bad' ? read : ok({ change: 'retire', fittingId: read.value.fitting });
    }
    case 'renew': {
      const read = parseForm(formOf({ fitting: shape.fitting }), fields);
      return read.status === 'bad' ? read : ok({ change: 'renew', fittingId: read.value.fitting });
    }
    case 'set-hours': {
      const hoursPerDay = quantityField(changeFormWords.theHoursADay, 'hours', system);
      const read = parseForm(formOf({ fitting: shape.fitting, hoursPerDay }), fields);
      if (read.status === 'bad') return read;
      return ok({ change: 'set-hours', fittingId: read.value.fitting, hoursPerDay: read.value.hoursPerDay.value });
    }
    case 'move': {
      const read = parseForm(
        formOf({
          fitting: shape.fitting,
          distance: optionalQuantity(changeFormWords.theDistance, 'length', system),
          mesh: optional(readShare),
          place: optionalChoice(changeFormWords.thePlace, HIDE_ZONES),
          reach: optionalChoice(changeFormWords.theReach, ['out', 'within']),
        }),
        fields,
      );
      if (read.status === 'bad') return read;
      const { fitting, distance, mesh, place, reach } = read.value;
      if (distance === null && mesh === null && place === null && reach === null)
        return bad('distance', upgradeSentences.nothingMoved);
      return ok({
        change: 'move',
        fittingId: fitting,
        distanceMm: distance?.value ?? null,
        meshShare: mesh,
        place,
        outOfReach: reach === null ? null : reach === 'out',
        placed: null,
      });
    }
    case 'replace-box': {
      const read = parseForm(
        formOf({
          enclosure: shape.enclosure,
          length: quantityField(changeFormWords.theInsideLength, 'length', system),
          depth: quantityField(changeFormWords.theInsideDepth, 'length', system),
          height: quantityField(changeFormWords.theInsideHeight, 'length', system),
          material: choice(changeFormWords.theWalls, MATERIALS),
          top: choice(changeFormWords.theTop, TOPS),
        }),
        fields,
      );
      if (read.status === 'bad') return read;
      const { enclosure, length, depth, height, material, top } = read.value;
      const measures = { lengthMm: length.value, depthMm: depth.value, heightMm: height.value };
      return ok({ change: 'replace-box', enclosureId: enclosure, ...measures, material, top });
    }
    case 'predict': {
      const read = parseForm(
        formOf({
          enclosure: shape.enclosure,
          reading: choice(changeFormWords.theReading, READING_KINDS),
          value: requiredText(changeFormWords.theValue),
        }),
        fields,
      );
      if (read.status === 'bad') return read;
      const { enclosure, reading, value } = read.value;
      const quantity = readingValue(reading, value, system);
      if (quantity.status === 'bad') return bad('value', quantity.message);
      return ok({ change: 'predict', enclosureId: enclosure, reading, value: quantity.value });
    }
    case 'answer': {
      const read = parseForm(
        formOf({ enclosure: shape.enclosure, check: choice(changeFormWords.theCheck, CHECKS) }),
        fields,
      );
      if (read.status === 'bad') return read;
      return ok({ change: 'answer', enclosureId: read.value.enclosure, check: read.value.check });
    }
  }
}

function readFit(kind: FittingKind, fields: Values, around: AroundChanges, ownKeys: string[]): ReadChange {
  const { system } = around;
  const others = [...ownKeys, ...around.fittings.map((one) => one.id)];
  const rows = sentRows(fields);
  const expectShape = Object.fromEntries(
    rows.flatMap((row) => [
      [`expect${row}Kind`, optionalChoice(changeFormWords.theReading, READING_KINDS)],
      [`expect${row}Value`, optionalText(changeFormWords.theValue, 40)],
    ]),
  );
  const read = parseForm(
    formOf({
      key: fieldReadBy(readKey),
      enclosure: choice(
        changeFormWords.theEnclosure,
        around.enclosures.map((one) => one.id),
      ),
      name: requiredText(changeFormWords.theName),
      ...lampShape(system),
      regulates: optionalChoice(changeFormWords.whatItRegulates, others),
      guards: optionalChoice(changeFormWords.whatItGuards, others),
      place: optionalChoice(changeFormWords.thePlace, HIDE_ZONES),
      distance: optionalQuantity(changeFormWords.theDistance, 'length', system),
      mesh: optional<number | 'unknown'>((typed) =>
        typed === unlookedMesh.value ? { status: 'ok', value: typed } : readShare(typed),
      ),
      outOfReach: checkbox(changeFormWords.outOfReach),
      watts: optionalQuantity(changeFormWords.theWatts, 'power', system),
      hoursPerDay: optionalQuantity(changeFormWords.theHoursADay, 'hours', system),
      duty: optionalQuantity(changeFormWords.theShareOfTime, 'share', system),
      runLength: optionalQuantity(changeFormWords.theRunLength, 'length', system),
      runDepth: optionalQuantity(changeFormWords.theRunDepth, 'length', system),
      runFrom: optionalWholeNumber(changeFormWords.theRunFirstMonth, 1, 12),
      runTo: optionalWholeNumber(changeFormWords.theRunLastMonth, 1, 12),
      shade: checkbox('shade'),
      lifeMonths: optionalWholeNumber(changeFormWords.theLifeInMonths, 1, 600, 'months'),
      renewalPrice: optionalMoney(changeFormWords.theRenewalPrice, around),
      whenBoxReplaced: choice(changeFormWords.whatHappensToIt, ['moves', 'stays-behind']),
    }),
    Object.fromEntries(Object.entries(fields).filter(([name]) => !(name in expectShape))),
  );
  const expected = parseForm(
    formOf(expectShape),
    Object.fromEntries(Object.entries(fields).filter(([name]) => name in expectShape)),
  );
  const errors: FormError[] = [
    ...(read.status === 'bad' ? read.errors : []),
    ...(expected.status === 'bad' ? expected.errors : []),
  ];
  if (read.status === 'bad' || expected.status === 'bad') return { status: 'bad', errors };
  const { value } = read;
  const expects: NewFitting['expects'] = [];
  for (const row of rows) {
    const [reading, text] = [expected.value[`expect${row}Kind`], expected.value[`expect${row}Value`]];
    const chosen = READING_KINDS.find((one) => one === reading);
    const typed = typeof text === 'string' ? text : '';
    if (chosen === undefined && typed === '') continue;
    if (chosen === undefined || typed === '') {
      const empty = chosen === undefined ? changeFormWords.kind : changeFormWords.value;
      errors.push({ field: `expect${row}${empty}`, message: upgradeSentences.expectTogether });
      continue;
    }
    const quantity = readingValue(chosen, typed, system);
    if (quantity.status === 'bad') errors.push({ field: `expect${row}Value`, message: quantity.message });
    else expects.push({ reading: chosen, value: quantity.value });
  }
  const { runLength, runDepth } = value;
  errors.push(...lampMistakes(kind, value));
  if ((runLength === null) !== (runDepth === null))
    errors.push({ field: runLength === null ? 'runLength' : 'runDepth', message: upgradeSentences.runTogether });
  if (value.renewalPrice !== null && value.lifeMonths === null)
    errors.push({ field: 'lifeMonths', message: upgradeSentences.renewalNeedsLife });
  if (errors.length > 0) return { status: 'bad', errors };
  const fitting: NewFitting = {
    key: value.key,
    kind,
    name: value.name,
    lifeMonths: value.lifeMonths,
    renewalPrice: value.renewalPrice,
    watts: value.watts?.value ?? null,
    hoursPerDay: value.hoursPerDay?.value ?? null,
    duty: value.duty === null ? null : value.duty.value / 100,
    place: value.place,
    regulates: value.regulates,
    guards: value.guards,
    outOfReach: value.outOfReach,
    lamp: lampRead(value, null),
    distanceMm: value.distance?.value ?? null,
    meshShare: value.mesh === 'unknown' ? null : (value.mesh ?? 1),
    expects,
    outdoors:
      runLength === null || runDepth === null
        ? null
        : {
            lengthMm: runLength.value,
            depthMm: runDepth.value,
            fromMonth: value.runFrom ?? 1,
            toMonth: value.runTo ?? 12,
            shade: value.shade,
          },
    whenBoxReplaced: value.whenBoxReplaced satisfies Fitting['whenBoxReplaced'],
    placed: null,
    outletId: null,
  };
  return ok({ change: 'fit', enclosureId: value.enclosure, fitting });
}

function ok(change: Change): ReadChange {
  return { status: 'ok', change };
}

function bad(field: string, message: string): ReadChange {
  return { status: 'bad', errors: [{ field, message }] };
}

function readShare(typed: string): ReadText<number> {
  const share = /^(0(\.\d{1,6})?|1)$/.test(typed) ? Number(typed) : Number.NaN;
  return Number.isNaN(share)
    ? { status: 'bad', message: formSentences.choose(changeFormWords.whatIsBetween) }
    : { status: 'ok', value: share };
}

function readKey(typed: string): ReadText<string> {
  return /^[a-z][a-z0-9-]{0,40}$/.test(typed)
    ? { status: 'ok', value: typed }
    : { status: 'bad', message: formSentences.unknownField('key') };
}

function readingValue(kind: ReadingKind, typed: string, system: UnitSystem): ReadText<number> {
  const read = parseQuantity(typed, readingDimensions[kind], system);
  return read.status === 'ok'
    ? { status: 'ok', value: read.quantity.value }
    : { status: 'bad', message: quantitySentence(changeFormWords.theValue, read) };
}

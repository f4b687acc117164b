// The form of one upgrade: price, costs, delivery, what it needs first and what it changes in the set-up. It never asks for points; only
// this file knows how its answers become an upgrade.

import type { PlainMonth } from '../../src/calendar.ts';
import type { Money, MoneyHabits } from '../../src/money.ts';
import { money, typedMoney } from '../../src/money.ts';
import type { Change } from '../../src/upgrades.ts';
import type { UpgradeFacts } from '../db/upgrades.ts';
import {
  type Answer,
  type Conflict,
  type ErrorSummary,
  errorSummary,
  type Field,
  notesField,
  numberField,
  selectField,
  textField,
} from '../fields.ts';
import {
  type FormError,
  type FormState,
  formOf,
  moneyField,
  optionalChoice,
  optionalMoney,
  optionalMonth,
  optionalText,
  optionalWholeNumber,
  parseForm,
  requiredText,
  type Values,
} from '../forms.ts';
import { upgradeFormWords, upgradeSentences } from '../upgrade-words.ts';
import {
  type AroundChanges,
  changeAnswers,
  changeGroups,
  changeTexts,
  isChangeField,
  readChanges,
  withUnshown,
} from './change-form.ts';
import type { Narrowing } from './paging.ts';

/** What the form chooses from besides what its changes do: the other upgrades it can need first. */
export type AroundUpgrade = AroundChanges & {
  others: readonly { id: string; name: string; enclosureIds: readonly string[] }[];
};

/** How many things and upgrades the lists of the form offer without being told of which enclosure. */
const MOST_OFFERED = 100;

/**
 * What the lists of the form offer: where there is very much, only what is in the enclosures that its changes or the address (`near`) name, and
 * what is chosen already, so that nothing that was entered is lost; null where that is everything. What is sent is held against everything.
 */
export function offeredIn(around: AroundUpgrade, values: Values, near: string | null): AroundUpgrade | null {
  if (around.fittings.length + around.others.length <= MOST_OFFERED) return null;
  const chosenIn = (field: RegExp) =>
    new Set(Object.entries(values).flatMap(([name, value]) => (field.test(name) && value !== '' ? [value] : [])));
  const things = chosenIn(/^c\d+-(fitting|regulates|guards)$/);
  const needed = chosenIn(/^(needs|either)\d+$/);
  const named = chosenIn(/^c\d+-enclosure$/);
  if (near !== null) named.add(near);
  for (const one of around.fittings) if (things.has(one.id)) named.add(one.enclosureId);
  return {
    ...around,
    fittings: around.fittings.filter((one) => named.has(one.enclosureId)),
    others: around.others.filter(
      (one) => needed.has(one.id) || one.enclosureIds.length === 0 || one.enclosureIds.some((id) => named.has(id)),
    ),
  };
}

/** What views/pages/upgrade-form.hbs shows. */
export type UpgradeFormPage = {
  heading: string;
  lead: string | null;
  mistakes: ErrorSummary | null;
  conflict: Conflict | null;
  action: string;
  version: string | null;
  /** What tells a form sent twice from two upgrades alike; null for an upgrade that is there already. */
  once: string | null;
  /** The key of the proposal it began as, or null. */
  proposal: string | null;
  /** The parameters of the trial of a lamp it began as, or null. */
  trial: string | null;
  /** Asks of which enclosure the lists are to offer something; null where they offer everything, or one is named. */
  narrowing: Narrowing | null;
  /** That the lists do not offer everything, with the button after which they do; null where they do. */
  offering: { text: string; action: string } | null;
  /** 'all' once everything was asked for. */
  offered: string | null;
  groups: {
    legend: string | null;
    /** Whether it opens on a click; `open` when it is shown opened. */
    folded: boolean;
    open: boolean;
    /** Whether it is the change that was added last, to which the browser jumps. */
    isNew: boolean;
    hidden: { name: string; value: string }[];
    fields: Field[];
    /** Why the form can be sent from here already, with a button to do so; null elsewhere. */
    enough: string | null;
  }[];
  add: Field;
  submit: string;
  cancel: string;
};

const upgradeLabels = {
  name: upgradeFormWords.name,
  priceLow: upgradeFormWords.priceLow,
  priceHigh: upgradeFormWords.priceHigh,
  runningCost: upgradeFormWords.runningCost,
  saving: upgradeFormWords.saving,
  lifeMonths: upgradeFormWords.lifeInMonths,
  renewalPrice: upgradeFormWords.renewalPrice,
  leadMonths: upgradeFormWords.monthsUntilInUse,
  earliestMonth: upgradeFormWords.notBefore,
  group: upgradeFormWords.choiceOfOne,
  saleAmount: upgradeFormWords.saleOfOld,
  saleAfter: upgradeFormWords.monthsUntilSale,
  note: upgradeFormWords.notes,
} as const;

/** The fields that a conflict shows, in the order of the form; 'changes' is what they do, in words. */
export const comparedLabels: Readonly<Record<string, string>> = {
  ...upgradeLabels,
  changes: upgradeFormWords.changes,
};

/** How a new upgrade of one's own begins. */
export const firstTexts: Values = { leadMonths: '0' };

/** How an upgrade reads in its form. */
export function upgradeTexts(upgrade: UpgradeFacts, around: AroundChanges): Values {
  const amount = (sum: Money | null) => (sum === null || sum === 0 ? '' : typedMoney(sum, around.currency));
  const always = upgrade.requires.filter((set) => set.length === 1).flat();
  const either = upgrade.requires.filter((set) => set.length > 1)[0] ?? [];
  const months = (count: number | null) => (count === null ? '' : String(count));
  return {
    name: upgrade.name,
    priceLow: typedMoney(upgrade.priceLow, around.currency),
    priceHigh: typedMoney(upgrade.priceHigh, around.currency),
    runningCost: upgrade.monthlyCost > 0 ? amount(upgrade.monthlyCost) : '',
    saving: upgrade.monthlyCost < 0 ? amount(money(-upgrade.monthlyCost)) : '',
    lifeMonths: months(upgrade.lifeMonths),
    renewalPrice: upgrade.renewalPrice === null ? '' : typedMoney(upgrade.renewalPrice, around.currency),
    leadMonths: String(upgrade.leadMonths),
    earliestMonth: upgrade.earliestMonth ?? '',
    group: upgrade.group ?? '',
    saleAmount: upgrade.proceeds === null ? '' : typedMoney(upgrade.proceeds.amount, around.currency),
    saleAfter: months(upgrade.proceeds?.afterMonths ?? null),
    note: upgrade.note,
    ...Object.fromEntries(always.map((id, place) => [`needs${place + 1}`, id])),
    ...Object.fromEntries(either.map((id, place) => [`either${place + 1}`, id])),
    ...changeTexts(upgrade.changes, around),
  };
}

/**
 * Reads the form. `kept` holds what the form cannot show (further sets of alternatives, places) and is kept as it was. The version, the proposal
 * and the buttons are the page's own and are taken out before.
 */
export function readUpgrade(
  values: Values,
  around: AroundUpgrade,
  kept: UpgradeFacts | null,
): { status: 'ok'; facts: UpgradeFacts } | { status: 'bad'; errors: FormError[] } {
  const { add = '', ...rest } = values;
  const fields = Object.fromEntries(Object.entries(rest).filter(([name]) => !isChangeField(name)));
  const read = parseForm(upgradeSchema(around, fields), fields, mistakesOf);
  const changes = readChanges(values, around);
  const errors: FormError[] = [
    ...(read.status === 'bad' ? read.errors : []),
    ...(changes.status === 'bad' ? changes.errors : []),
    ...(add === '' ? [] : [{ field: 'add', message: upgradeSentences.addNotPressed }]),
  ];
  if (errors.length > 0 || read.status === 'bad' || changes.status === 'bad') return { status: 'bad', errors };
  const furtherSets = (kept?.requires ?? []).filter((set) => set.length > 1).slice(1);
  return {
    status: 'ok',
    facts: factsOf(read.value, fields, withUnshown(changes.changes, kept?.changes ?? []), furtherSets),
  };
}

/** The whole page of the form. `added` marks that a change was just added. */
export function upgradeFormPage(
  form: FormState,
  around: AroundUpgrade,
  parts: Pick<
    UpgradeFormPage,
    | 'heading'
    | 'lead'
    | 'action'
    | 'version'
    | 'once'
    | 'proposal'
    | 'trial'
    | 'narrowing'
    | 'offering'
    | 'offered'
    | 'submit'
    | 'cancel'
  > & {
    conflict?: Conflict | null;
    added?: boolean;
  },
): UpgradeFormPage {
  const { conflict = null, added = false, ...rest } = parts;
  const sign = { suffix: around.currency.code };
  const label = upgradeLabels;
  const plain = (legend: string | null, fields: Field[]) => ({
    legend,
    folded: false,
    open: false,
    isNew: false,
    hidden: [],
    fields,
    enough: null as string | null,
  });
  const folded = (legend: string, fields: Field[]) => ({
    ...plain(legend, fields),
    folded: true,
    // What holds something or a mistake must be in sight.
    open: fields.some((field) => field.error !== null || (field.value !== '' && field.value !== '0')),
  });
  const changes = changeGroups(form, around);
  return {
    ...rest,
    conflict,
    mistakes: errorSummary(form),
    groups: [
      plain(null, [
        textField(form, 'name', label.name, {
          hint: upgradeFormWords.nameHint,
          width: 'wide',
        }),
      ]),
      {
        ...plain(upgradeFormWords.price, [
          numberField(form, 'priceLow', label.priceLow, {
            ...sign,
            hint: upgradeFormWords.priceLowHint,
          }),
          numberField(form, 'priceHigh', label.priceHigh, {
            ...sign,
            hint: upgradeFormWords.priceHighHint,
          }),
        ]),
        // On a telephone the rest of a proposal is a long way down, and mostly right as it is.
        enough: rest.proposal === null ? null : upgradeFormWords.proposedPriceHint,
      },
      folded(upgradeFormWords.runningCosts, [
        numberField(form, 'runningCost', label.runningCost, { ...sign, hint: upgradeFormWords.runningCostHint }),
        numberField(form, 'saving', label.saving, { ...sign, hint: upgradeFormWords.savingHint }),
        numberField(form, 'lifeMonths', label.lifeMonths, { suffix: 'months' }),
        numberField(form, 'renewalPrice', label.renewalPrice, sign),
      ]),
      folded(upgradeFormWords.delivery, [
        numberField(form, 'leadMonths', label.leadMonths, {
          hint: upgradeFormWords.monthsUntilInUseHint,
          suffix: 'months',
        }),
        numberField(form, 'earliestMonth', label.earliestMonth, { hint: upgradeFormWords.monthHint }),
      ]),
      folded(upgradeFormWords.needsAndExcludes, [
        ...needFields(form, around, 'needs', [upgradeFormWords.needsThisFirst, upgradeFormWords.andNeedsThisFirst]),
        ...needFields(form, around, 'either', [upgradeFormWords.needsThisFirstOr, upgradeFormWords.orThis]),
        textField(form, 'group', label.group, {
          hint: upgradeFormWords.choiceOfOneHint,
        }),
      ]),
      folded(upgradeFormWords.saleOfOld, [
        numberField(form, 'saleAmount', label.saleAmount, { ...sign, hint: upgradeFormWords.saleHint }),
        numberField(form, 'saleAfter', label.saleAfter, { suffix: 'months' }),
      ]),
      folded(upgradeFormWords.notes, [notesField(form, 'note', label.note)]),
      ...changes.map((one, place) => ({
        legend: one.legend,
        folded: false,
        open: false,
        isNew: added && place === changes.length - 1,
        hidden: one.hidden,
        fields: one.fields,
        enough: null,
      })),
    ],
    add: selectField(
      form,
      'add',
      changes.length === 0 ? upgradeFormWords.changesInSetUp : upgradeFormWords.anotherChange,
      changeAnswers,
      {
        hint: upgradeFormWords.changesHint,
        width: 'wide',
      },
    ),
  };
}

/** The values a conflict compares: what the form shows by field, and the changes in words. */
export function comparedValues(values: Values, changes: readonly string[]): Values {
  return { ...values, changes: changes.join(' ') };
}

type UpgradeValue = {
  name: string;
  priceLow: Money;
  priceHigh: Money | null;
  runningCost: Money | null;
  saving: Money | null;
  lifeMonths: number | null;
  renewalPrice: Money | null;
  leadMonths: number | null;
  earliestMonth: PlainMonth | null;
  group: string;
  saleAmount: Money | null;
  saleAfter: number | null;
  note: string;
};

function upgradeSchema(around: AroundUpgrade, fields: Values) {
  const needs = Object.fromEntries(
    [...rowNames(fields, 'needs'), ...rowNames(fields, 'either')].map((name) => [
      name,
      optionalChoice(
        upgradeFormWords.whatItNeedsFirst,
        around.others.map((one) => one.id),
      ),
    ]),
  );
  return formOf({ ...ownShape(around), ...needs });
}

function ownShape(habits: MoneyHabits) {
  return {
    name: requiredText(upgradeFormWords.theName, 160),
    priceLow: moneyField(upgradeFormWords.theLowPrice, habits),
    priceHigh: optionalMoney(upgradeFormWords.theHighPrice, habits),
    runningCost: optionalMoney(upgradeFormWords.theRunningCost, habits),
    saving: optionalMoney(upgradeFormWords.theSaving, habits),
    lifeMonths: optionalWholeNumber(upgradeFormWords.theLifeInMonths, 1, 600, 'months'),
    renewalPrice: optionalMoney(upgradeFormWords.theRenewalPrice, habits),
    leadMonths: optionalWholeNumber(upgradeFormWords.theMonthsUntilInUse, 0, 36, 'months'),
    earliestMonth: optionalMonth(upgradeFormWords.theEarliestMonth),
    group: optionalText(upgradeFormWords.theChoiceOfOne, 80),
    saleAmount: optionalMoney(upgradeFormWords.theSale, habits),
    saleAfter: optionalWholeNumber(upgradeFormWords.theMonthsUntilSale, 0, 36, 'months'),
    note: optionalText(upgradeFormWords.theNotes, 2000),
  };
}

function mistakesOf(value: UpgradeValue): FormError[] {
  const errors: FormError[] = [];
  if (value.priceHigh !== null && value.priceHigh < value.priceLow)
    errors.push({ field: 'priceHigh', message: upgradeSentences.highBelowLow });
  if (value.renewalPrice !== null && value.lifeMonths === null)
    errors.push({ field: 'lifeMonths', message: upgradeSentences.renewalNeedsLife });
  if (value.saleAfter !== null && value.saleAmount === null)
    errors.push({ field: 'saleAmount', message: upgradeSentences.saleNeedsAmount });
  return errors;
}

function factsOf(value: UpgradeValue, fields: Values, changes: Change[], furtherSets: string[][]): UpgradeFacts {
  const chosen = (stem: string) =>
    rowNames(fields, stem)
      .map((name) => fields[name]!)
      .filter((id) => id !== '');
  const either = [...new Set(chosen('either'))];
  return {
    name: value.name,
    priceLow: value.priceLow,
    priceHigh: value.priceHigh ?? value.priceLow,
    monthlyCost: money((value.runningCost ?? 0) - (value.saving ?? 0)),
    lifeMonths: value.lifeMonths,
    renewalPrice: value.renewalPrice,
    leadMonths: value.leadMonths ?? 0,
    earliestMonth: value.earliestMonth,
    requires: [
      ...[...new Set(chosen('needs'))].map((id) => [id]),
      ...(either.length === 0 ? [] : [either]),
      ...furtherSets,
    ],
    group: value.group === '' ? null : value.group,
    proceeds: value.saleAmount === null ? null : { amount: value.saleAmount, afterMonths: value.saleAfter ?? 1 },
    changes,
    note: value.note,
  };
}

function rowNames(fields: Values, stem: string): string[] {
  const rows = Object.keys(fields).flatMap((name) => {
    const row = new RegExp(`^${stem}(\\d{1,2})$`).exec(name)?.[1];
    return row === undefined ? [] : [Number(row)];
  });
  return rows.sort((a, b) => a - b).map((row) => `${stem}${row}`);
}

// As many lists as are filled in and one more, at least two.
function needFields(form: FormState, { others }: AroundUpgrade, stem: string, labels: [string, string]): Field[] {
  if (others.length === 0) return [];
  const filled = rowNames(form.values, stem).filter((name) => form.values[name] !== '');
  const last = Math.max(0, ...filled.map((name) => Number(name.slice(stem.length))));
  const answers: Answer[] = [
    { value: '', label: upgradeFormWords.nothing },
    ...others.map((one) => ({ value: one.id, label: one.name })),
  ];
  return Array.from({ length: Math.max(2, last + 1) }, (_, place) =>
    selectField(form, `${stem}${place + 1}`, place === 0 ? labels[0] : labels[1], answers, { width: 'wide' }),
  );
}

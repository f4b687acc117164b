// What the page of value choices shows: every number that can be chosen, with its share or default, and what the present plan would be
// under another choice.

import { formatDate } from '../../src/calendar.ts';
import { LONGEST_HORIZON_MONTHS } from '../../src/choice-effects.ts';
import { NEEDS, type Need } from '../../src/species.ts';
import { choiceSentences, type ValueChoice } from '../choice-words.ts';
import { firstLedger, type Ledger } from '../db/ledger.ts';
import { type Field, type FormPageParts, numberField } from '../fields.ts';
import type { FormState, Values } from '../forms.ts';
import { needNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { weightedMonths } from '../plan-words.ts';
import { otherChoices, type Studied } from './studies.view.ts';

/** The value choices of a ledger. */
export type Choices = Pick<
  Ledger,
  'needWeights' | 'allowances' | 'priority' | 'horizonMonths' | 'creditMonths' | 'changeThreshold'
>;

/** The kinds of choice, in the order of the page. */
export const CHOICES: readonly ValueChoice[] = ['weights', 'allowances', 'priority', 'horizon', 'credit', 'threshold'];

/** One number that is chosen: its field, its label among its kind and its name among all, its range, and where it is kept. */
export type ChosenNumber = {
  field: string;
  label: string;
  name: string;
  least: number;
  most: number;
  valueIn: (choices: Choices) => number;
};

/** The present plan with its studies, and whether the ledger was changed after it was made. */
export type PresentPlan = { studied: Omit<Studied, 'locale'>; isStale: boolean };

const { fields, fieldNames } = choiceSentences;

const single = (
  field: 'horizon' | 'credit' | 'threshold',
  [least, most]: [number, number],
  valueIn: ChosenNumber['valueIn'],
): ChosenNumber[] => [{ field, label: fields[field], name: fields[field], least, most, valueIn }];

/** The numbers of each kind of choice. Safety is judged for every animal at all times, so that with a weight every animal has a score. */
export const CHOSEN: Readonly<Record<ValueChoice, readonly ChosenNumber[]>> = {
  weights: NEEDS.map((need) => ({
    field: `weight-${need}`,
    label: needNames[need],
    name: fieldNames.weights(need),
    least: need === 'safety' ? 1 : 0,
    most: 100,
    valueIn: ({ needWeights }) => needWeights[need],
  })),
  allowances: NEEDS.map((need) => ({
    field: `allowance-${need}`,
    label: needNames[need],
    name: fieldNames.allowances(need),
    least: 0,
    most: 100,
    valueIn: ({ allowances }) => allowances[need],
  })),
  priority: (['below40', 'to70', 'above70'] as const).map((part, place) => ({
    field: `priority-${part}`,
    label: fields[part],
    name: fieldNames.priority(fields[part]),
    least: place === 0 ? 1 : 0,
    most: 10,
    valueIn: ({ priority }) => priority[place]!,
  })),
  horizon: single('horizon', [1, LONGEST_HORIZON_MONTHS], ({ horizonMonths }) => horizonMonths),
  credit: single('credit', [0, 60], ({ creditMonths }) => creditMonths),
  threshold: single('threshold', [0, 1000], ({ changeThreshold }) => changeThreshold),
};

/** The numbers of a kind of choice that differ from those of a new ledger, with both. */
export function changedFields(
  choice: ValueChoice,
  ledger: Choices,
): (ChosenNumber & { value: number; usual: number })[] {
  return CHOSEN[choice]
    .map((one) => ({ ...one, value: one.valueIn(ledger), usual: one.valueIn(firstLedger) }))
    .filter(({ value, usual }) => value !== usual);
}

/** Every chosen number as text, by its field. */
export function choiceTexts(ledger: Choices): Values {
  return Object.fromEntries(
    CHOICES.flatMap((choice) => CHOSEN[choice].map((one) => [one.field, String(one.valueIn(ledger))])),
  );
}

/** A kind of choice as views/pages/value-choices.hbs draws it. */
type ChoiceGroup = {
  id: string;
  legend: string;
  does: string;
  /** Whether it is as in a new ledger; null where the one field says so itself. */
  standing: string | null;
  fields: Field[];
  effects: string[];
  /** What is to be said in place of effects, or besides; null when nothing. */
  effectsNote: string | null;
  defaultHref: string | null;
  defaultLabel: string;
  /** The label for those who do not see where it stands. */
  defaultName: string;
};

/** What views/pages/value-choices.hbs shows beside what every form has. */
type ValueChoicesPage = Omit<FormPageParts, 'action' | 'version' | 'conflict' | 'cancel'> & {
  groups: ChoiceGroup[];
  notes: string[];
  effectsHeading: string;
  allDefaultHref: string | null;
  allDefaultLabel: string;
};

/** The page of value choices; `present` is null while there is no plan. */
export function valueChoicesPage(ledger: Ledger, form: FormState, present: PresentPlan | null): ValueChoicesPage {
  const shares = sharesOf(form.values);
  const told = effectsOf(present, ledger.locale);
  const isChanged = (choice: ValueChoice) => changedFields(choice, ledger).length > 0;
  const group = (choice: ValueChoice): ChoiceGroup => {
    const numbers = CHOSEN[choice];
    return {
      id: `choice-${choice}`,
      legend: choiceSentences.names[choice],
      does: choiceSentences.does[choice],
      standing: numbers.length === 1 ? null : standingOf(changedFields(choice, ledger)),
      fields: numbers.map((one, place) => {
        const share = choice === 'weights' ? shares?.[NEEDS[place]!] : undefined;
        const [value, usual] = [one.valueIn(ledger), one.valueIn(firstLedger)];
        const hints = [...(share === undefined ? [] : [share]), choiceSentences.usual(usual, value === usual)];
        return numberField(form, one.field, one.label, { inputMode: 'numeric', hint: hints.join(' ') });
      }),
      effects: told.effects(choice),
      effectsNote: told.note(choice),
      defaultHref: isChanged(choice) ? paths.valueChoices.oneDefault(choice) : null,
      defaultLabel: choiceSentences.toDefaultOf,
      defaultName: choiceSentences.askOne(choiceSentences.names[choice]),
    };
  };
  return {
    heading: choiceSentences.heading,
    lead: choiceSentences.lead,
    groups: CHOICES.map(group),
    submit: 'Save',
    notes: told.notes,
    effectsHeading: choiceSentences.effectsHeading,
    allDefaultHref: CHOICES.some(isChanged) ? paths.valueChoices.allDefault : null,
    allDefaultLabel: choiceSentences.toDefault,
  };
}

function standingOf(changed: readonly ChosenNumber[]): string {
  return changed.length === 0 ? choiceSentences.allUsual : choiceSentences.differs(changed.map((one) => one.label));
}

// The shares of the weights as they stand in the form, once without water, which counts for few; null while they cannot be read.
function sharesOf(values: Values): Record<Need, string> | null {
  const weights = NEEDS.map((need, place) => ({ need, typed: (values[CHOSEN.weights[place]!.field] ?? '').trim() }));
  if (!weights.every(({ typed }) => /^\d{1,3}$/.test(typed))) return null;
  const sum = (list: typeof weights) => list.reduce((total, one) => total + Number(one.typed), 0);
  const all = sum(weights);
  const withoutWater = sum(weights.filter(({ need }) => need !== 'water'));
  if (withoutWater === 0) return null;
  const share = (typed: string, total: number) => `${Math.round((100 * Number(typed)) / total)} %`;
  const sentences = weights.map(({ need, typed }) => [
    need,
    choiceSentences.share(need, share(typed, withoutWater), share(typed, all)),
  ]);
  return Object.fromEntries(sentences) as Record<Need, string>;
}

type Told = {
  effects: (choice: ValueChoice) => string[];
  note: (choice: ValueChoice) => string | null;
  notes: string[];
};

function effectsOf(present: PresentPlan | null, locale: string): Told {
  if (present === null) return { effects: () => [], note: () => choiceSentences.noPlan, notes: [] };
  const { studied, isStale } = present;
  const { state, effects, price } = otherChoices({ ...studied, locale });
  const of = (choice: ValueChoice) => [
    ...(choice === 'priority' && price !== null ? [price] : []),
    ...effects.filter((one) => one.choice === choice).map((one) => one.sentence),
  ];
  return {
    effects: of,
    note: (choice) =>
      choice === 'threshold'
        ? heldSentence(studied)
        : (state ?? (of(choice).length > 0 ? null : choiceSentences.nothingOther)),
    notes: isStale ? [choiceSentences.older(formatDate(studied.plan.madeOn, locale))] : [],
  };
}

// What the threshold did is known from how the plan followed from the one before; it takes no plan of its own.
function heldSentence({ plan: { sinceLast, answer } }: PresentPlan['studied']): string {
  if (sinceLast === null || !('buys' in answer)) return choiceSentences.firstPlan;
  const { held, threshold, best } = sinceLast;
  const asked = weightedMonths(threshold);
  return held.length === 0
    ? choiceSentences.nothingHeld(asked)
    : choiceSentences.held(held.length, asked, weightedMonths(best.weighted - answer.weighted));
}

// Every sentence about signs of an animal: what was noted, what weights have done, when a vet is to be asked. None of them says what a sign
// means.

import { formatDate, formatMonth, type PlainDate } from '../src/calendar.ts';
import type { Currency, Money } from '../src/money.ts';
import { formatMoney } from '../src/money.ts';
import {
  type Alarm,
  type Ending,
  type Flag,
  noRestStanding,
  type RestAhead,
  raisedLossStanding,
  type Sign,
  type SignKind,
  VET_CHECK_MONTHS,
  type VisitInRest,
  WEIGHTS_COMPARED_DAYS,
  type WeightChange,
} from '../src/signs.ts';
import { formatQuantity, type UnitSystem } from '../src/units.ts';
import { formSentences } from './form-words.ts';
import { seasonWords } from './kind-words.ts';
import { setAsideWords } from './money-words.ts';
import { standingWords } from './source-words.ts';
import { capital, lowerFirst } from './words.ts';

/** Each kind of sign as it is named. */
export const signNames: Readonly<Record<SignKind, string>> = {
  weight: 'Weight',
  appetite: 'Appetite',
  shed: 'Shedding',
  injury: 'Injury or skin',
  breathing: 'Breathing, mouth or eyes',
  stool: 'Droppings or parasites',
  behaviour: 'Behaviour',
  other: 'Something else',
};

/** What belongs to each kind. */
export const signHints: Readonly<Record<SignKind, string>> = {
  weight: 'On the same balance each time, before feeding.',
  appetite: 'Eats less, nothing, or only some of its food; drinks more.',
  shed: 'Skin left on toes, tail or eyes; a shed that came in pieces.',
  injury: 'Wounds, burns, swellings, a broken tail or claw.',
  breathing: 'Bubbles, slime, wheezing, swollen or closed eyes.',
  stool: 'Runny, bloody, smelling or missing droppings; mites, worms.',
  behaviour: 'Hides more, paces, trembles, cannot climb or turn over.',
  other: 'Whatever else you saw, such as eggs laid.',
};

/** Each alarm as it is asked for and named. */
export const alarmWords: Readonly<Record<Alarm, string>> = {
  'open-mouth': 'breathes with its mouth open, not to cool off',
  prolapse: 'something hangs out of its vent',
  burn: 'a burn',
  bleeding: 'it bleeds',
  'not-moving': 'limp, or does not move when touched',
};

/** How a sign ended. */
export const endingWords: Readonly<Record<Ending, string>> = {
  'vet-seen': 'a vet has seen it',
  passed: 'it has passed',
  other: 'another way',
};

/** Sentences of the pages about signs. */
export const signSentences = {
  lead: 'Dated notes of the animal itself. They stand first and never count in a score.',
  vet: 'The ledger does not diagnose. Ask a reptile vet about anything that worries you.',
  weightsDrawn: 'Each weighing, joined. The scale ends near the lightest and the heaviest.',
  today: 'Ask a reptile vet today.',
  ask: 'Ask a reptile vet.',
  notNothing: 'Write a sum above 0 to set aside, or leave it empty.',
  weightInDoubt: (typed: string, before: string, on: string) =>
    formSentences.askedBack(`${typed} is far from the ${before} of ${on}.`),
  weightIsRight: 'The weight is right as typed',
  needsMonth: 'Fill in from which month on the sum is set aside.',
  setAsideHint:
    'Kept back ahead of any purchase until you say how this ended; a plan made before is then older than this. Leave empty when nothing is to be kept back, or the vet is paid from elsewhere.',
  besides: (monthly: string) => `It is kept back besides the ${monthly} a month that you put aside for the vet.`,
  worryHint:
    'What worries you stands first on the pages of the animal, of its enclosure and of the month until it ended.',
  alarmHint:
    'These do not wait for an appointment: ask a reptile vet today. Which they are is common practice, no source.',
  stillOpen: 'It has not ended',
  stillOpenHint: 'The day and the sum below are then not kept, and what was set aside is kept back again.',
  settleLead: (sum: string | null) =>
    sum === null
      ? 'It then no longer stands first. The note stays in the list.'
      : `It then no longer stands first, and the ${sum} set aside for it is free again. The note stays in the list.`,
  paidHint: (countedOn: string | null) =>
    `Leave it empty when nothing was paid, or not out of this money. ${
      countedOn === null
        ? 'It is taken off the cash once you have counted that.'
        : `Paid on ${countedOn} or later, it is taken off the cash counted on that day; paid before, it is in that count already.`
    }`,
} as const;

/** What was noted, without its day: the kind, or the alarm, and the weight where there is one. */
export function signWords({ kind, alarm }: Pick<Sign, 'kind' | 'alarm'>, gramsTyped: string): string {
  const name = kind === 'weight' ? `${signNames.weight}: ${gramsTyped}` : signNames[kind];
  return alarm === null ? name : `${name}: ${alarmWords[alarm]}`;
}

/** A flag as it stands first: whose it is, what was noted and when. */
export function flagSentence(animal: string, { sign }: Flag, gramsTyped: string, locale: string): string {
  const what = sign.alarm === null ? signWords(sign, gramsTyped) : capital(alarmWords[sign.alarm]);
  return `${animal}: ${what}, noted on ${formatDate(sign.notedOn, locale)}.`;
}

/** What two weights say: a figure with both dates, and no diagnosis. */
export function weightSentence(change: WeightChange, system: UnitSystem, locale: string): string {
  const { from, to, days, percent } = change;
  const weight = (grams: number) => formatQuantity(grams, 'mass', system);
  const much = percentWords(percent);
  const span = days === 1 ? '1 day' : `${days} days`;
  return `${much} in ${span}: ${weight(from.grams)} on ${formatDate(from.on, locale)}, ${weight(to.grams)} on ${formatDate(to.on, locale)}.`;
}

/** A change in percent of the earlier weight: '4.8 % less', '12 % more' or 'No change'. */
export function percentWords(percent: number): string {
  const size = Math.round(Math.abs(percent) * 10) / 10;
  return size === 0 ? 'No change' : `${size} % ${percent < 0 ? 'less' : 'more'}`;
}

/** A fall in weight that is raised, with how well its limit is known and what it may be besides. */
export function fallSentence(fall: WeightChange, system: UnitSystem, locale: string): string {
  return `${weightSentence(fall, system, locale)} A loss of 10 % or more of the heaviest weight in ${WEIGHTS_COMPARED_DAYS / 7} weeks is raised here (${standingWords[raisedLossStanding]}). After laying eggs and in winter rest an animal weighs less too: what it means, and whether less is too much already, is for the vet to say.`;
}

/** That a flagged animal is not cooled down or put to rest. */
export function restSentence(animal: string, { season, begins }: RestAhead, locale: string): string {
  const known = `(${standingWords[noRestStanding]}: a vet clinic’s advice)`;
  return begins === null
    ? `${capital(seasonWords[season])} is dated for ${animal} now. An ill animal is not kept cool or in winter rest ${known}: ask the vet how it is brought out of it, and change its dates.`
    : `${capital(seasonWords[season])} is dated for ${animal} from ${formatDate(begins, locale)}. An ill animal is not cooled down or put to winter rest ${known}: ask a reptile vet first, and change its dates until then.`;
}

/** That a vet has not seen an animal, or too long ago, that is to be cooled down or put to rest. */
export function vetCheckSentence(
  animal: string,
  missing: 'never' | 'too-old',
  checkedOn: PlainDate | null,
  locale: string,
) {
  const last =
    missing === 'never' || checkedOn === null
      ? `No check by a vet is entered for ${animal}`
      : `The last check of ${animal} by a vet was on ${formatDate(checkedOn, locale)}, over ${VET_CHECK_MONTHS} months before`;
  return `${last}: winter rest and cooling only after one, and never for an ill animal (within ${VET_CHECK_MONTHS} months: ${standingWords['common-practice']}). Ask a reptile vet before it is cooled down.`;
}

/** That a visit to the vet and a dated rest fall into one month. */
export function visitInRestSentence(animal: string, { month, season, note }: VisitInRest, locale: string): string {
  const visit =
    note === null
      ? `A sum is kept back for the vet for ${animal} in ${formatMonth(month, locale)}`
      : `“${note}” is entered for ${formatMonth(month, locale)}`;
  return `${visit}, in the midst of the ${lowerFirst(seasonWords[season])} dated for ${animal}. The two exclude each other: a check belongs before a rest, a journey to the vet wakes or warms the animal, and an ill one is not put to rest. Move the visit to a month before it, or ask the reptile vet which of the two goes first and change its dates (${standingWords['common-practice']}).`;
}

/** What is done for an animal that is led into its dated winter rest or is in it, in order, with how well each is known. */
export function beforeRestSentences(animal: string, isMissingCheck: boolean): string[] {
  return [
    ...(isMissingCheck
      ? [
          `The check by a reptile vet belongs before the rest, not into it: move a visit that is booked for its months, and leave ${animal} awake and warm until then (${standingWords['common-practice']}).`,
        ]
      : []),
    `Weigh ${animal} now and each week until the rest begins, and write the weights down: afterwards they tell what the rest took (${standingWords['common-practice']}).`,
    `It fasts in the last weeks before, still warm enough to digest what it ate and with water to drink and bathe in; for how long is for the vet to say (${standingWords['from-memory']}). So no food to look for and no more warmth are proposed now, nor while it rests.`,
  ];
}

/** A sum that is kept back now: '€60.00 from February 2026 on'. */
export function keptBackWords(
  { amount, month }: NonNullable<Sign['setAside']>,
  currency: Currency,
  locale: string,
): string {
  return `${formatMoney(amount, currency, locale)} from ${formatMonth(month, locale)} on`;
}

/** The same as a sentence that names whose vet visit it is for. */
export function keptBackSentence(
  { animal, ...sum }: { animal: string } & NonNullable<Sign['setAside']>,
  currency: Currency,
  locale: string,
): string {
  return `${setAsideWords(animal)}: ${keptBackWords(sum, currency, locale)}, ahead of any purchase.`;
}

/** How a sign stands: open, or how and when it ended and what was paid. */
export function signStateWords(
  settled: { on: PlainDate; how: Ending; paid: Money | null } | null,
  worrying: boolean,
  currency: Currency,
  locale: string,
): string {
  if (settled === null) return worrying ? 'open, worrying' : 'noted';
  const paid = settled.paid === null ? '' : `; ${formatMoney(settled.paid, currency, locale)} paid`;
  return `ended on ${formatDate(settled.on, locale)}: ${endingWords[settled.how]}${paid}`;
}

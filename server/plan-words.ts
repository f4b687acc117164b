// Every sentence about a plan: how sure it is, why each purchase stands where it does, what another would change. It turns the reasons of
// the planner's parts of src/ into English.

import type { PlainMonth } from '../src/calendar.ts';
import { formatMonth } from '../src/calendar.ts';
import { ALLOWANCE_STEP, type ChoiceEffect, type OtherChoice } from '../src/choice-effects.ts';
import { type LeftOut, needNamed } from '../src/ledger-problem.ts';
import type { Money } from '../src/money.ts';
import { provedGap } from '../src/plan-certificate.ts';
import type { PlanChange, ReasonedChange } from '../src/plan-changes.ts';
import type { FoundAnswer } from '../src/problem.ts';
import type {
  CheapestSet,
  DelayCost,
  Effect,
  Roadmap,
  RoadmapBuy,
  UnderFloor,
  WhyNot,
  WhyNow,
} from '../src/roadmap.ts';
import type { RobustLabel, VariantName } from '../src/robust.ts';
import type { Bridge, SoonestMonth } from '../src/soonest.ts';
import type { Need } from '../src/species.ts';
import type { Difference, MoneyRange, SevereEnd } from '../src/what-if.ts';
import { needNames } from './kind-words.ts';
import { fromMemoryWords } from './source-words.ts';
import { alternatives, capital, listed, lowerFirst, monthCount } from './words.ts';

/** How far a plan may be from the best, as far as that is proved: of severe shortfalls first, then of points. */
export function gapSentences(answer: FoundAnswer): { severe: string; points: string } {
  const { severe, weighted } = provedGap(answer);
  return {
    severe:
      severe === null
        ? 'That no plan has fewer severe shortfalls is not proved.'
        : severe === 'fewest'
          ? 'No plan has fewer severe shortfalls.'
          : `No plan has fewer than ${severeMonths(severe.notBelow)}; this one has ${plainNumber(answer.severe)}.`,
    points:
      weighted === null
        ? 'How much more another plan could gain is not proved.'
        : weighted.points === 0
          ? 'None with as few has more weighted points.'
          : weighted.share === null
            ? `None with as few has more than ${weighted.points.toFixed(1)} more weighted points × months.`
            : `None with as few has more than ${percentAtMost(weighted.share)} more weighted points.`,
  };
}

// Rounded up, so that the limit shown is never below the one that was proved.
function percentAtMost(share: number): string {
  return `${(Math.ceil(1000 * share - 1e-6) / 10).toFixed(1)} %`;
}

// What is there at all is never told as nothing.
function percentOf(share: number): string {
  return share < 0.0005 ? 'less than 0.1 %' : `${(100 * share).toFixed(1)} %`;
}

function severeMonths(count: number): string {
  return `${plainNumber(count)} severe shortfall${count === 1 ? '' : 's'} × months`;
}

function plainNumber(value: number): string {
  return Number.isInteger(value) ? String(value) : value.toFixed(1);
}

/** How good a plan is known to be. Never more than was proved. */
export function planStatusSentence(answer: FoundAnswer): string {
  const order =
    'fewest severe shortfalls, then most weighted points (weighed as you chose), then the highest mean, then the least money';
  const gap = provedGap(answer);
  const { severe, points } = gapSentences(answer);
  switch (answer.status) {
    case 'optimal':
      return `Proved best in all four figures, in this order: ${order}. Values that differ by less than a millionth count as equal.`;
    case 'within-bound':
      return gap.severe === 'fewest' && gap.weighted?.points === 0
        ? 'Proved best in the two figures that come first, severe shortfalls and weighted points, where values that differ by less than a millionth count as equal. The mean and the money spent were not proved.'
        : `The best plan found, with a proved limit to what a better one could gain. ${severe} ${points}`;
    case 'best-found':
      return `The best plan found in the time there was, in this order: ${order}. That no better one exists was not proved.${gap.severe === null ? '' : ` ${severe}`}`;
  }
}

/** Why planning ended without a plan. */
export const planningFailures: Readonly<
  Record<'crashed' | 'out-of-memory' | 'nothing-found-in-time' | 'stopped' | 'closed', string>
> = {
  crashed:
    'The last planning broke off because of a fault in the program. Nothing was lost: the last plan is still here. Try again; if it happens again, the log of the program says more.',
  'out-of-memory':
    'The last planning took more memory than it is given, and was ended. Nothing was lost: the last plan is still here. Want fewer upgrades, or plan over fewer months, and try again.',
  'nothing-found-in-time':
    'No plan was found in the time there was, and it was not proved that there is none. Plan again, or want fewer upgrades: a ledger of very many animals with many upgrades each can be too large to be planned at once.',
  stopped:
    'The last planning was stopped before there was a first plan. Nothing was lost: the last plan, if there is one, is still here. Plan again when you like.',
  closed: 'The last planning was ended because the program was stopped. Plan again.',
};

/** That no plan is possible, because something already fixed cannot be paid or cannot stand together. */
export function infeasibleSentences(month: string, shortBy: string | null): string[] {
  if (shortBy === null) {
    return [
      'There is no plan that keeps to everything that is fixed.',
      'Two upgrades that are pinned or ordered exclude each other, or one is pinned to a month before what it needs. Free one of them from its month.',
    ];
  }
  return [
    `There is no plan: in ${month} the money is ${shortBy} short even if nothing is bought that can be left out.`,
    'What is pinned to a month counts as fixed. Free it from its month, lower the floor, or put off what can wait.',
    'What is free waits for no money: the first page lists it.',
  ];
}

/**
 * That what is owed leaves less in hand than the floor, or cannot be paid, and what a plan does then; `amount` writes sums, `floor` is
 * the floor.
 */
export function underFloorSentences(
  { from, month, by, wholeFrom, unpaid }: UnderFloor,
  floor: Money,
  amount: (sum: Money) => string,
  locale: string,
): string[] {
  const at = (one: PlainMonth) => formatMonth(one, locale);
  const short =
    floor === 0
      ? []
      : [
          `${wholeFrom === null ? `From ${at(from)} on` : `Until ${at(wholeFrom)}`} you are under the floor of ${amount(floor)} that you keep: ${amount(by)} of it ${by === 1 ? 'is' : 'are'} missing at the end of ${at(month)}, with nothing bought.`,
          ...(wholeFrom === null ? ['It is not whole again within this plan.'] : []),
        ];
  const owed =
    unpaid === null
      ? []
      : unpaid.coveredFrom === null
        ? [
            `What is owed already cannot be paid within this plan: at the end of ${at(unpaid.month)} ${amount(unpaid.by)} are missing.`,
          ]
        : [
            `What is owed already comes before the money for it: at the end of ${at(unpaid.month)} ${amount(unpaid.by)} are missing, which what comes in covers by ${at(unpaid.coveredFrom)}.`,
          ];
  const waits = wholeFrom === null ? 'What costs money waits' : `What costs money waits until ${at(wholeFrom)}`;
  return [...owed, ...short, `${waits}; what is free does not.`];
}

/** Points x months as a person reads them, such as '46 points × months'. */
export function pointMonths(points: number): string {
  const shown = Math.abs(points) < 9.95 ? points.toFixed(1) : String(Math.round(points));
  return `${shown} points × months`;
}

/** Weighted points x months as a person reads them. Low scores weigh more in them. */
export function weightedMonths(points: number): string {
  return pointMonths(points).replace('points', 'weighted points');
}

// What is found from readings and therefore counts for less in a box in which nothing was read yet.
const HANGS_ON_READINGS: ReadonlySet<Need> = new Set(['heat', 'humidity', 'uv', 'enrichment']);

/** What a purchase does to one need of one animal; `inNewBox` where it brings a new box. */
export function effectSentence(
  { need, from, to, severe, fromMemory }: Effect,
  animal: string,
  inNewBox = false,
): string {
  if (inNewBox && to < from && severe !== 'begins' && HANGS_ON_READINGS.has(need))
    return `${animal}: ${needNames[need]} counts as ${Math.round(to)} instead of ${Math.round(from)} until the new box is furnished and read.`;
  const known = fromMemory === true ? ` (${fromMemoryWords.effect})` : '';
  const change = `${animal}: ${needNames[need]} ${to < from ? 'falls' : 'rises'} from ${Math.round(from)} to ${Math.round(to)}${known}`;
  if (severe === 'ends') return `${change}; a severe shortfall ends.`;
  if (severe === 'begins') return `${change}; it becomes severely short.`;
  return `${change}.`;
}

/** What leaving a purchase out would lose; null when that is nothing. */
export function worthSentence(worth: DelayCost | null): string | null {
  if (worth === null || (worth.points < 0.05 && worth.severe <= 0)) return null;
  if (worth.points < 0.05) return 'Without it severe shortfalls would stay.';
  const severe = worth.severe > 0 ? ' and severe shortfalls would stay' : '';
  return `Without it the animals together would have ${pointMonths(worth.points)} less over the plan${severe}.`;
}

/**
 * That a purchase raises no score although it raises a need, because a worse need holds the score down; null where it gains, ends something
 * severe, costs nothing or raises nothing.
 */
export function behindSentence({
  price,
  worth,
  effects,
}: Pick<RoadmapBuy, 'price' | 'worth' | 'effects'>): string | null {
  if (price === 0 || worth === null || worth.points >= 0.05 || worth.severe > 0) return null;
  return effects.some((one) => one.to > one.from)
    ? 'No score rises by it yet, because a worse need holds the score down: it raises what lies behind that need, and may wait until that is put right.'
    : null;
}

/** Why a purchase stands in its month. */
export function whyNowSentence(why: WhyNow): string {
  switch (why.why) {
    case 'ordered':
      return 'It is paid and on its way.';
    case 'pinned':
      return 'You pinned it to this month.';
    case 'replaces-broken':
      return `It takes the place of “${why.fitting}”, which broke, so its month is fixed.`;
    case 'free':
      return `It costs nothing, so it need not wait.${delaySentence(why.delay)}`;
    case 'first-month':
      return `It can be paid now.${delaySentence(why.delay)}`;
    case 'first-payable':
      return `This is the first month in which there is money for it.${delaySentence(why.delay)}`;
    case 'not-before-earliest':
      return `You said not before this month.${delaySentence(why.delay)}`;
    case 'after-what-it-needs':
      return `What it needs is there from this month on.${delaySentence(why.delay)}`;
    case 'others-gain-more-before':
      return `Until now the money does more for other purchases of this plan.${delaySentence(why.delay)}`;
    case 'pinned-takes-money':
      return `Until now the money is held for “${why.name}”, whose month you fixed.${delaySentence(why.delay)}`;
    case 'no-gain-before':
      return `Bought a month earlier it would gain nothing more.${delaySentence(why.delay)}`;
    case 'gains-before': {
      const gain = why.severe > 0 ? `${severeMonths(why.severe)} fewer` : pointMonths(why.points);
      return `There is money for it a month earlier, which would gain ${gain}: too little to change the plan for, or not found in the time there was.${delaySentence(why.delay)}`;
    }
  }
}

/** Why what ends a severe shortfall is bought in a later month; `what` is short, such as 'space of Fio'. */
export function laterSentence(what: string, name: string, price: string, month: string, why: WhyNow): string {
  const lead = `What ends the severe shortfall in ${what} is “${name}” (${price}), in ${month}:`;
  switch (why.why) {
    case 'first-payable':
      return `${lead} before then it costs more than there is, even if nothing else is bought, so what is bought now does not delay it.`;
    case 'others-gain-more-before':
      return `${lead} until then the money does more for other purchases of this plan.`;
    case 'pinned-takes-money':
      return `${lead} until then the money is held for “${why.name}”, whose month you fixed.`;
    case 'after-what-it-needs':
      return `${lead} what it needs is not there before.`;
    case 'not-before-earliest':
      return `${lead} you said not before.`;
    case 'pinned':
      return `${lead} you pinned it to that month.`;
    case 'gains-before':
      return `${lead} there is money for it a month earlier, but a plan with it then was not found, or gains too little to change for.`;
    default:
      return `${lead} bought earlier it would gain nothing more.`;
  }
}

/** Why a purchase stands in its month, in a few words: what waiting costs where that is known. */
export function whyNowBriefly(why: WhyNow): string {
  const delay = 'delay' in why ? why.delay : null;
  if (delay !== null && delay.severe > 0) return 'Waiting leaves a severe shortfall longer.';
  if (delay !== null && delay.points >= 0.05) return `Waiting costs ${pointMonths(delay.points)}.`;
  return whyNowSentence(why);
}

function delaySentence(delay: DelayCost | null): string {
  if (delay === null) return '';
  if (delay.severe > 0) {
    const points = delay.points >= 0.05 ? ` and cost ${pointMonths(delay.points)}` : '';
    return ` A month later would leave a severe shortfall a month longer${points}.`;
  }
  if (delay.points >= 0.05) return ` A month later would cost ${pointMonths(delay.points)}.`;
  return ' A month later would cost no points.';
}

/** Why an upgrade is not in the plan. */
export function whyNotSentence(why: WhyNot, amount: (sum: Money) => string): string {
  switch (why.why) {
    case 'never-payable':
      return `It cannot be paid within the plan even if nothing else is bought: ${amount(why.shortBy)} are missing at best. ${why.points < 0.05 ? 'It would add no points to this plan either.' : `It would add at most ${pointMonths(why.points)}.`}`;
    case 'no-money-beside-the-rest':
      return `Beside what the plan buys, ${amount(why.shortBy)} are missing at best. ${why.points < 0.05 ? 'It would add no points to this plan either.' : `It would add at most ${pointMonths(why.points)} to this plan.`}`;
    case 'adds-nothing':
      return 'It would add no points to this plan.';
    case 'does-harm':
      return why.points < -0.05
        ? `It would lower the scores by ${pointMonths(-why.points)} over the plan.`
        : 'It would bring a severe shortfall with it.';
    case 'would-fit':
      return `It would fit and add ${pointMonths(why.points)}; the search ended before it was tried. Plan again.`;
    case 'another-of-its-group':
      return `“${why.boughtName}” is bought instead; only one of them makes sense.`;
    case 'needs-what-is-not-bought':
      return `It needs ${alternatives(why.names.map((name) => `“${name}”`))}, which the plan does not buy.`;
    case 'useless-after-new-box':
      return `It would stay behind with the old box when “${why.boxName}” comes.`;
    case 'too-dear-to-keep':
      return 'After the plan, its running cost and renewals would be more than a month leaves.';
  }
}

/** The least that brings an animal near its targets, or why nothing does. */
export function cheapestSentence(set: CheapestSet, amount: (sum: Money) => string): string {
  switch (set.status) {
    case 'already-met':
      return 'every need is there already.';
    case 'found':
      return `${amount(set.price)} for ${listed(set.upgrades.map((one) => (one.price === 0 ? one.name : `${one.name} (${amount(one.price)})`)))}.`;
    case 'out-of-reach':
      return set.needs.length === 0
        ? 'each need could be met, but nothing on the list meets all of them together.'
        : `nothing on the list brings ${listed(set.needs.map((need) => lowerFirst(needNames[need])))} that far. Look for more proposals, enter an upgrade of your own, or read and answer what is unknown: that counts low.`;
  }
}

/** Why an upgrade was left out before planning. */
export function leftOutOfPlanSentence(one: LeftOut, animal: string): string {
  switch (one.why) {
    case 'too-many-at-once':
      return `More upgrades than can be weighed at once touch ${lowerFirst(needNames[one.need])} of ${animal}, and this does least by itself. Refuse some, or put those of which one is enough in a group.`;
    case 'needs-what-is-not-wanted':
      return 'It needs an upgrade that is not wanted. Want that too, or change what this one needs.';
    case 'pinned-after-the-plan':
      return 'Its month lies after the last month of the plan.';
  }
}

/** What a month's cash is kept for. */
export function savingSentence(
  saving: NonNullable<Roadmap['months'][number]['savingFor']>,
  price: string,
  locale: string,
): string {
  return `Saving for “${saving.name}” (${price}) in ${formatMonth(saving.month, locale)}.`;
}

/** When a thing bought in a month comes. */
export function arrivalSentence(bought: PlainMonth, arrives: PlainMonth, locale: string): string {
  return bought === arrives ? 'In use in the same month.' : `Arrives in ${formatMonth(arrives, locale)}.`;
}

/** Sentences of the roadmap and of the first page. */
export const roadmapSentences = {
  scoreCaption: (stretch: readonly [from: string, to: string] | null) =>
    `Scores by month, of 100${stretch === null ? '' : `, ${stretch[0]} to ${stretch[1]}`}`,
  scoreLegend: 'Drawn through: the score with the plan. Broken: if you buy nothing. Hatched: what the plan gains.',
  paid: (paid: string, bought: string, fitted: string | null) =>
    `Bought for ${paid} on ${bought}${fitted === null ? ', not fitted yet' : `, fitted on ${fitted}`}.`,
  plannedThen: (amount: string, month: string) =>
    `${amount} was planned for ${month}, which is over; plan anew for this month.`,
  inHandNow: (cash: string, month: string, toCome: string | null) =>
    `In hand today: ${cash}, ${toCome === null ? `the sum of ${month} among it` : `without the sum of ${month} (${toCome}), which is still to come`}.`,
  paidSoFar: (paid: string, open: string | null, month: string) =>
    open === null
      ? `${paid} paid of what was planned for ${month}.`
      : `${paid} paid of what was planned for ${month}, ${open} still to come.`,
  alone: (effects: string) => `Without what else comes this month: ${effects}`,
  stale: 'Something that this plan depends on was changed after it was made.',
  passed: (month: string) => `This plan begins in ${month}, which is over.`,
  tailBroken:
    'What you own, ordered or pinned already costs more a month than the sum leaves after the plan, so the rule that a plan must be kept up afterwards was set aside.',
  baseline:
    'If you buy nothing, and renew nothing: a forecast in which tubes age, animals grow and seasons pass, and only what is ordered arrives.',
  readFirst: (readings: readonly string[], place: string) =>
    `Once it is fitted, read in “${place}”: ${listed(readings.map(lowerFirst))}.`,
  newBox:
    'In a new box the old readings and some answers hold no more. Until you read and answer anew they count as unknown, and that lowers a need even where nothing is worse.',
  credit: (months: number) =>
    `Points × months: the scores of all animals added up over the months, the last month counted ${months + 1} times, since what is reached then lasts. Severe shortfalls × months are counted in the same way.`,
} as const;

/**
 * A difference of another plan from the one shown, as a list of what is more or less; null when nothing differs. Weighted points are told
 * only where they go another way than plain ones.
 */
export function differenceWords(
  { severe, weighted, points, spend }: Difference,
  amount: (minor: number) => string,
): string | null {
  const sign = (value: number) => (Math.abs(value) < 0.05 ? 0 : Math.sign(value));
  const parts = [
    ...(Math.abs(severe) < 1e-9 ? [] : [`${severeMonths(Math.abs(severe))} ${severe < 0 ? 'fewer' : 'more'}`]),
    ...(sign(points) === 0 ? [] : [`${pointMonths(Math.abs(points))} ${points < 0 ? 'less' : 'more'}`]),
    ...(sign(weighted) === sign(points)
      ? []
      : sign(weighted) === 0
        ? ['no difference in weighted points']
        : [`${weightedMonths(Math.abs(weighted))} ${weighted < 0 ? 'less' : 'more'}`]),
    ...(Math.round(spend) === 0 ? [] : [`${amount(Math.abs(spend))} ${spend < 0 ? 'less' : 'more'} spent`]),
  ];
  return parts.length === 0 ? null : listed(parts);
}

/** What another plan buys besides, leaves out and moves, a sentence each. */
export function setChangeSentences({
  left,
  taken,
  moved,
}: {
  left: readonly string[];
  taken: readonly string[];
  moved: number;
}): string[] {
  const quoted = (names: readonly string[]) => listed(names.map((one) => `“${one}”`));
  const sentences = [
    ...(taken.length === 0 ? [] : [`Bought besides: ${quoted(taken)}.`]),
    ...(left.length === 0 ? [] : [`Not bought: ${quoted(left)}.`]),
    ...(moved === 0 ? [] : [moved === 1 ? 'One purchase in another month.' : `${moved} purchases in other months.`]),
  ];
  return sentences.length === 0 ? ['The same purchases in the same months.'] : sentences;
}

/** One purchase that two plans put in different months; months are already in words, null where it is not bought. */
export function planChangeSentence(name: string, was: string | null, is: string | null): string {
  if (was === null) return `“${name}” is bought in ${is}.`;
  if (is === null) return `“${name}” is not bought (in this plan: ${was}).`;
  return `“${name}” is bought in ${is} (in this plan: ${was}).`;
}

/** How a purchase moved from the last plan to this one. */
export function movedSentence(name: string, was: string | null, is: string | null): string {
  if (was === null) return `“${name}” is now bought, in ${is}.`;
  if (is === null) return `“${name}” is no longer bought (before: ${was}).`;
  return `“${name}” moves from ${was} to ${is}.`;
}

/** How several purchases moved from the last plan to this one, because they had to. */
export function movedTogetherSentence(count: number, was: string, is: string): string {
  return `${count} purchases move from ${was} to ${is}. Their earlier month is no longer possible, by itself or beside the rest of the plan.`;
}

/** Why a change from the last plan was made. `together` names the purchases that had to change with it. */
export function changeReasonSentence(
  { why, gain, severe, was, is }: Pick<ReasonedChange, 'why' | 'gain' | 'severe' | 'was' | 'is'>,
  together: readonly string[],
): string {
  const quoted = listed(together.map((one) => `“${one}”`));
  const others = together.length === 0 ? '' : ` Together with ${quoted}.`;
  // What is put off, or left out, ends nothing itself: it leaves its money to what does.
  const makesRoom = was !== null && (is === null || is > was) && together.length > 0;
  if (makesRoom && why === 'fewer-severe')
    return `Its money goes to ${quoted} first; all of that together ends ${severeMonths(severe)}.`;
  if (makesRoom && why === 'gains')
    return `Its money goes to ${quoted} first; all of that together gains ${weightedMonths(gain)}.`;
  switch (why) {
    case 'forced':
      return was === null
        ? `It can no longer be left out.${others}`
        : is === null
          ? `Left as it was, it would break a rule by now: there is not the money for it beside what is fixed or bought before it, one box takes its place, or what it needs is not bought.${others}`
          : `Its earlier month is no longer possible, by itself or beside the rest of the plan.${others}`;
    case 'saves':
      return 'It brings nothing any more, so its money is kept.';
    case 'fewer-severe':
      return `It ends ${severeMonths(severe)}.${others}`;
    case 'gains':
      return `It gains ${weightedMonths(gain)}.${others}`;
  }
}

/** A change that was left undone: what would move, and what all that must move together would bring. */
export function heldBackSentence(
  { name, gain, severe }: { name: string; gain: number; severe: number },
  was: string | null,
  is: string | null,
  together: readonly string[],
): string {
  const what =
    was === null
      ? `“${name}” would be bought in ${is}`
      : is === null
        ? `“${name}” would not be bought (here: ${was})`
        : `“${name}” would move from ${was} to ${is}`;
  const others = together.length === 0 ? '' : `, together with ${listed(together.map((one) => `“${one}”`))}`;
  const brings = gain < 0.05 ? 'which gains no weighted points' : `which gains ${weightedMonths(gain)}`;
  const worse = severe < -1e-9 ? ` and leaves ${plainNumber(-severe)} more severe shortfalls × months` : '';
  return `${what}${others}, ${brings}${worse}.`;
}

/** In how many of the plans that were compared a purchase is bought, the present plan among them. */
export function robustSentence(label: RobustLabel['label'], inPlans: number, plans: number): string {
  const others = plans === 2 ? 'one made' : `${plans - 1} made`;
  const compared = `this one and ${others} with other weights or other values`;
  switch (label) {
    case 'every':
      return `It is bought in ${allOf(plans)} plans that were compared (${compared}).`;
    case 'some':
      return inPlans === 1
        ? `It is bought in only one of the ${plans} plans that were compared (${compared}).`
        : `It is bought in ${inPlans} of the ${plans} plans that were compared (${compared}).`;
    case 'none':
      return `It is bought in none of the ${plans} plans that were compared (${compared}).`;
  }
}

function allOf(plans: number): string {
  return plans === 2 ? 'both' : `all ${plans}`;
}

/** Another value choice, by what it would be. */
function otherChoiceWords(other: OtherChoice): string {
  switch (other.choice) {
    case 'weights':
      return {
        equal: 'All needs weighed the same',
        'rank-order': 'Needs weighed by their order alone',
        default: 'Needs weighed as in a new ledger',
      }[other.alternative];
    case 'allowances':
      return {
        looser: `Every allowance ${ALLOWANCE_STEP} points wider`,
        tighter: `Every allowance ${ALLOWANCE_STEP} points narrower`,
        default: 'Allowances as in a new ledger',
      }[other.alternative];
    case 'priority':
      return {
        flat: 'Every point counted once, the worst off no more than others',
        default: 'The worst off counted as in a new ledger',
      }[other.alternative];
    case 'horizon':
      return `A plan of ${monthCount(other.months)}`;
    case 'credit':
      return other.months === 0
        ? 'No months counted beyond the plan'
        : `${capital(monthCount(other.months))} counted beyond the plan`;
  }
}

/** What another value choice would do to the plan: how that plan looks by the present choices and by its own. `changes` says what it buys. */
export function choiceEffectSentence(
  { outcome, ...other }: ChoiceEffect,
  changes: readonly string[],
  amount: (minor: number) => string,
): string {
  const name = otherChoiceWords(other);
  if (outcome.status === 'impossible') return `${name}: no plan is possible.`;
  if (outcome.status === 'not-known') return `${name}: not worked out.`;
  const { byPresent, byOther } = outcome;
  const judged =
    byPresent === null
      ? 'Such a plan cannot be judged by your present choices.'
      : `By your present choices such a plan has ${differenceWords(byPresent, amount) ?? 'the same worth'}.`;
  const gained = byOther === null ? null : differenceWords({ ...byOther, spend: 0 }, amount);
  const own = gained === null ? '' : ` By that choice it has ${gained} than the present plan.`;
  return outcome.changes.length === 0
    ? `${name}: the plan stays as it is.`
    : `${name}: ${changes.join(' ')} ${judged}${own}${outcome.proved ? ' Proved.' : ''}`;
}

/** How far a study of a plan has come; null when it is whole. */
export function studyStateSentence(
  state: 'waiting' | 'under-way' | 'printed-early' | 'out-of-time' | 'stopped' | 'cut-off' | 'absent',
): string {
  switch (state) {
    case 'waiting':
      return 'Still to be worked out.';
    case 'under-way':
      return 'Still being worked out; here is what there is so far.';
    case 'printed-early':
      return 'Printed before everything was worked out; what is missing was not known then.';
    case 'out-of-time':
      return 'Its time was over before everything was worked out; what is missing was not worked out.';
    case 'stopped':
      return 'It was stopped before everything was worked out; what is missing was not worked out.';
    case 'cut-off':
      return 'It was cut off before everything was worked out; what is missing was not worked out.';
    case 'absent':
      return 'Not worked out.';
  }
}

/** When an animal can be free of severe shortfalls at the soonest. `month` writes a month of the plan. */
export function soonestWords(soonest: SoonestMonth, month: (index: number) => string): string {
  switch (soonest.status) {
    case 'month':
      return soonest.proved ? month(soonest.month) : `${month(soonest.month)}, perhaps before`;
    case 'never-inside':
      return soonest.needs.length === 0
        ? 'not inside the plan'
        : `nothing on the list ends it: ${listed([...new Set(soonest.needs.map((one) => lowerFirst(needNames[needNamed(one)])))])}`;
    case 'not-known':
      return 'not worked out';
  }
}

/** The same where what is not on the list would end it, need by need, and what nothing ends at all. */
export function offListWords(off: readonly { need: Need; ways: string }[], inVain: readonly Need[]): string {
  const named = (need: Need) => lowerFirst(needNames[need]);
  return [
    ...off.map((one) => `${named(one.need)}: ${one.ways}`),
    ...(inVain.length === 0 ? [] : [`nothing on the list ends it: ${listed(inVain.map(named))}`]),
  ].join('; ');
}

/** What money in hand now would do for an animal that is severely short. */
export function bridgeWords(
  bridge: Bridge,
  month: (index: number) => string,
  amount: (minor: number) => string,
): string {
  switch (bridge.status) {
    case 'none-needed':
      return 'no more is needed';
    case 'found':
      return `${month(bridge.month)} with ${amount(bridge.amount)} more${bridge.proved ? '' : ', perhaps less'}`;
    case 'not-with-money':
      return 'money does not help';
    case 'not-known':
      return 'not worked out';
  }
}

/** What more and less money would bring, a sentence or two for each range of amounts that brings the same. */
export function moneyRangeSentences(
  ranges: readonly MoneyRange[],
  kind: 'monthly' | 'once',
  writing: {
    amount: (minor: number) => string;
    animalOf: (id: string) => string;
    nameOf: (purchase: string) => string | null;
    isPaid: (purchase: string) => boolean;
  },
): string[] {
  const { amount, animalOf, nameOf, isPaid } = writing;
  const when = kind === 'monthly' ? 'a month' : 'in hand now';
  const sum = (minor: number) => `${amount(Math.abs(minor))} ${minor < 0 ? 'less' : 'more'} ${when}`;
  return ranges.flatMap(({ from, to, outcome }) => {
    if (from <= 0 && to >= 0) {
      const less = from < 0 ? [`Up to ${sum(from)} changes nothing.`] : [];
      return to > 0 ? [...less, `Up to ${sum(to)} changes nothing.`] : less;
    }
    const [near, far] = from > 0 ? [from, to] : [to, from];
    const lead = near === far ? sum(near) : `${sum(near)} (up to ${amount(Math.abs(far))} the same)`;
    if (outcome.status !== 'planned') {
      return [
        `${lead}: ${outcome.status === 'impossible' ? 'there is no plan that can be paid and leaves what must stay in hand.' : 'not worked out.'}`,
      ];
    }
    const ends = outcome.severeEnds.flatMap((one) => severeEndSentence(one, animalOf(one.animalId)));
    const difference = differenceWords({ ...outcome.difference, spend: 0 }, amount) ?? 'nothing is gained or lost';
    const moves = telling(
      outcome.changes.filter((one) => isPaid(one.purchase)),
      nameOf,
    );
    return [[`${lead}: ${difference}${outcome.proved ? ' (proved)' : ''}.`, ...ends, ...moves].join(' ')];
  });
}

/** How many purchases that come, go or move are named before the rest is only counted. */
const MOST_NAMED = 2;

// What comes or goes says more than what moves, and a long move more than a short one.
function telling(changes: readonly PlanChange[], nameOf: (purchase: string) => string | null): string[] {
  const distance = ({ was, is }: PlanChange) => (was === null || is === null ? Infinity : Math.abs(is - was));
  const known = changes
    .flatMap((one) => {
      const name = nameOf(one.purchase);
      return name === null ? [] : [{ ...one, name }];
    })
    .sort((a, b) => (distance(a) === distance(b) ? 0 : distance(b) - distance(a)));
  const named = known.slice(0, MOST_NAMED).map(({ name, was, is }) => {
    if (was === null) return `“${name}” is bought besides.`;
    if (is === null) return `“${name}” is not bought.`;
    return `“${name}” comes ${monthCount(Math.abs(was - is))} ${is < was ? 'earlier' : 'later'}.`;
  });
  const rest = known.length - named.length;
  return rest === 0 ? named : [...named, rest === 1 ? 'One more purchase changes.' : `${rest} more purchases change.`];
}

function severeEndSentence({ was, is }: SevereEnd, animal: string): string[] {
  if (was === is) return [];
  if (is === null) return [`${animal} is no longer free of severe shortfalls at the end.`];
  if (was === null) return [`${animal} becomes free of severe shortfalls inside the plan.`];
  const earlier = was - is;
  return [
    `${animal} is free of severe shortfalls ${monthCount(Math.abs(earlier))} ${earlier > 0 ? 'earlier' : 'later'}.`,
  ];
}

/** Sentences around the studies of a plan. */
export const studySentences = {
  planBuys: (month: string) => `The latest plan buys it in ${month}.`,
  planLeaves: (why: string) => `The latest plan does not buy it. ${why}`,
  heading: 'The plan seen from other sides',
  underWay: (done: number, all: number) => `Being worked out in the background: ${done} of ${all} are ready.`,
  none: 'How firm the plan is, what more money would bring and what an objection would cost was not worked out for it.',
  missing: 'Not everything about this plan was worked out.',
  unchanged: 'Nothing moved.',
  changed: (count: number) => (count === 1 ? 'One purchase moved.' : `${count} purchases moved.`),
  heldSummary: (count: number) =>
    count === 1 ? 'Not changed although the search would: one' : `Not changed although the search would: ${count}`,
  held: (threshold: string, gain: string) =>
    `A plan is changed only where that ends severe shortfalls sooner or gains at least ${threshold} for each purchase that moves (this ledger’s own choice). All of these together would gain ${gain}.`,
  robustHeading: 'How firm each purchase is',
  robustSummary: (firm: number, chosen: number, plans: number) =>
    `How firm each purchase is: ${firm} of ${chosen} to be paid for are in ${allOf(plans)} plans`,
  robustHow:
    'The plan was made again with other weights of the needs and with every value at the low and at the high end of its range. What is bought each time does not hang on these choices. Each is the best plan found, not proved, unless it says so.',
  variant: {
    present: () => 'As you chose:',
    'weights-equal': (proved) => `All needs weighed the same${sureWords(proved)}:`,
    'weights-rank-order': (proved) => `Needs weighed by their order alone${sureWords(proved)}:`,
    'evidence-low': (proved) => `Every value at the low end of its range${sureWords(proved)}:`,
    'evidence-high': (proved) => `Every value at the high end of its range${sureWords(proved)}:`,
    'weights-equal-evidence-low': (proved) => `All needs weighed the same, values at the low end${sureWords(proved)}:`,
    'weights-equal-evidence-high': (proved) =>
      `All needs weighed the same, values at the high end${sureWords(proved)}:`,
    'weights-rank-order-evidence-low': (proved) =>
      `Needs weighed by their order, values at the low end${sureWords(proved)}:`,
    'weights-rank-order-evidence-high': (proved) =>
      `Needs weighed by their order, values at the high end${sureWords(proved)}:`,
  } satisfies Record<VariantName, (proved: boolean) => string>,
  runnerUpHeading: 'The next best plan',
  runnerUpSummary: (difference: string | null, isWhole: boolean) =>
    `The next best plan${isWhole ? '' : ' so far'}: ${difference ?? 'as good as this one'}`,
  noRunnerUp: 'No other plan was found that pays for other things.',
  runnerUp: (share: number, proved: boolean) =>
    `The best plan ${proved ? 'there is' : 'found'} that leaves out something this one pays for, or pays for something this one does not. ${
      Math.abs(share) < 5e-7
        ? 'By weighted points it is as good.'
        : `It has ${percentOf(Math.abs(share))} ${share > 0 ? 'fewer' : 'more'} weighted points.`
    }${proved ? '' : ' That no other comes closer is not proved.'}`,
  runnerUpChanges: 'What is different in it:',
  objectionsHeading: 'What an objection costs',
  objectionsHow:
    'For each upgrade the plan was made again: without it where it is bought, and with it where it is not. Where a figure is not marked as proved, a longer search may find that the objection costs less.',
  refusedCaption: 'If you refused what the plan buys',
  insistedCaption: 'If you insisted on what it does not buy',
  refusing: 'The latest plan buys it. If you refused it,',
  insisting: 'The latest plan does not buy it. If you insisted on it,',
  outcomeUnknown: 'what would come of it was not worked out.',
  impossible: 'there is no plan that keeps to everything that is fixed.',
  outcome: (month: string | null, difference: string | null, proved: boolean) =>
    `${month === null ? '' : `it would be bought in ${month}; `}${difference === null ? 'the best other plan is as good' : `the best plan ${proved ? 'there is' : 'found'} then has ${difference}`}.`,
  moneyHeading: 'What more or less money would bring',
  moneyHow:
    'The plan was made again with these amounts, each compared with this plan. Between two amounts the step may come anywhere.',
  moneyLead: { monthly: 'Each month:', once: 'Once, in hand now:' },
  choicesHeading: 'What another value choice would do',
  choicesHow:
    'Each choice was changed by itself and the plan made again. None of these is right or wrong; they are yours to make.',
  choicesLead: 'What would change:',
  pricePriority: (points: string) =>
    `Putting the worst off first costs ${points} of all animals together, against a plan in which every point counts once.`,
  soonestHeading: 'What cannot be put right before',
  soonestHow:
    'At the soonest: were all free money spent for this animal alone, every other one waiting. With more money in hand now: the month that delivery times and dates allow, and the least sum that reaches it, again spent for this animal alone.',
  soonestCaption: 'When severe shortfalls end',
  putOnList: 'put it on the list and plan again',
  noneSevere: (names: string) =>
    `Never severely short in this plan, in which no heater is taken to fall short in winter: ${names}.`,
} as const;

function sureWords(proved: boolean): string {
  return proved ? ', proved best' : '';
}

/** What stands on the roadmap and while a plan is made: headings, labels and buttons. */
export const roadmapPageWords = {
  laterMonths: (count: number, last: string) => (count === 1 ? last : `The ${count} months after it, to ${last}`),
  freeActions: 'free actions',
  plan: 'Plan',
  roadmap: 'Roadmap',
  planAgain: 'Plan again',
  noPlanPaid: 'There is no plan that can be paid',
  lookAtMoney: 'Look at the money',
  lookAtPinned: 'Look at what is pinned or ordered',
  whatIsFree: 'What costs nothing',
  savingBuying: 'Saving and buying',
  monthByMonth: 'Month by month',
  scores: 'The scores',
  howGood: 'How good it is',
  spentOnUpgrades: 'Spent on upgrades',
  inHandAtEnd: 'In hand at the end',
  scoresWithPlan: 'Scores with the plan',
  scoresWithout: 'Scores if you buy nothing',
  withoutPlan: 'if you buy nothing',
  cashTable: 'What is saved, bought and in hand, month by month',
  month: 'Month',
  comesIn: 'Comes in',
  owed: 'Owed',
  bought: 'Bought',
  runningCosts: 'Running costs and renewals, less what is sold',
  anAnimal: 'an animal',
  nowStandsAbove: 'What to buy and to do this month stands above.',
  nothingToBuy: 'Nothing to buy.',
  paid: 'Paid',
  costsNothing: 'Costs nothing',
  noAnimalYet: 'no animal yet',
  noLongerOnList: 'No longer on the list',
  fittedSince: 'Fitted since',
  refusedSince: 'Refused since',
  boughtSince: 'Bought since',
  done: 'Done',
  fit: 'Fit it',
  notBoughtAfterAll: 'Not bought after all',
  lookAt: 'Look at it',
  iBought: 'I bought it',
  notBought: 'Not bought',
  fixItsMonth: 'Fix its month',
  fixAnotherMonth: 'Fix another month',
  nothingGains: 'Nothing on the list gains anything that this month’s money could pay.',
  scoringCombinations: 'Scoring what each combination of upgrades would do',
  lookingForBetter: 'Looking for a better plan',
  endingWithBest: 'Ending with the best plan there is',
  workingOutWhy: 'Working out for the plan found why each purchase comes when it does',
  planning: 'Planning',
  beingDone: 'What is being done',
  timeSoFar: 'Time so far',
  animalsDone: 'Animals done',
  roundsSearch: 'Rounds of search',
  noneYet: 'none yet',
  bestPlanSoFar: 'Best plan so far',
  gainsOverFixed: 'What it gains over what is fixed alone',
  withFixed: 'with what is fixed alone',
  provedSoFar: 'What is proved so far',
  severeShortfallsMonths: 'Severe shortfalls × months',
  animal: 'Animal',
} as const;

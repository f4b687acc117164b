// The sentences of what is done before anything else: what costs nothing and cannot wait, and what would end a severe shortfall.

import type { Reason } from '../src/judging.ts';
import { reasonSentence } from './score-words.ts';
import { alternatives } from './words.ts';

/** The page parts around it. */
export const urgentWords = {
  heading: 'Before anything else',
  planNote: (count: number) =>
    `Planning again puts ${count === 1 ? 'it' : 'them'} on the list and plans with ${count === 1 ? 'it' : 'them'}. A plan proposes; you buy, and what you do not want you refuse.`,
  plan: (count: number) => (count === 1 ? 'Put it on the list and plan again' : 'Put them on the list and plan again'),
  choose: 'Look at what is proposed',
  notPlanned: (forWhom: string) => `${forWhom} ends a severe shortfall and is not in the plan yet.`,
  unasked:
    'Proposed: planning put it on the list, because it ends a severe shortfall. You have not said yet that you want it.',
  tag: 'proposed, put here by planning',
  nothingProposed: (why: string) => `Nothing is proposed that would end it: ${why}.`,
  keep: 'Keep it on the list',
  refuse: 'Refuse it',
  decide: 'Keep or refuse it',
} as const;

/** What to do by hand at once about a severe shortfall, in a few words; null where nothing is. */
export function handBriefly(reason: Reason): string | null {
  switch (reason.why) {
    case 'heater-unregulated':
      return `Unplug “${reason.fitting}”`;
    case 'rock-heater':
      return `Unplug “${reason.fitting}” and take it out`;
    case 'uv-above':
      return 'Raise the lamp or move the basking place';
    default:
      return null;
  }
}

/** What to do by hand at once, as whole sentences with the reason; null where nothing is. */
export function handSentence(reason: Reason, written: Parameters<typeof reasonSentence>[1]): string | null {
  switch (reason.why) {
    case 'heater-unregulated':
      return `Unplug “${reason.fitting}” until a thermostat holds it, and warm the room meanwhile if the animal would go cold. Unheld it can overheat, burn or start a fire.`;
    case 'rock-heater':
    case 'uv-above':
      return reasonSentence(reason, written);
    default:
      return null;
  }
}

/** What would end a severe shortfall, or all but end it, and where it stands. `price` is a sum, a span of sums or 'free'. */
export function waySentence(
  way:
    | { is: 'proposed' | 'unpriced' | 'refused'; name: string; price: string }
    | { is: 'planned'; name: string; price: string; month: string | null }
    | { is: 'bought'; name: string },
): string {
  switch (way.is) {
    case 'proposed':
      return `“${way.name}” (${way.price}) would end it. It is proposed and not on your list yet.`;
    case 'unpriced':
      return `“${way.name}” would end it. It is proposed and not on your list yet; its price is for you to enter.`;
    case 'refused':
      return `“${way.name}” (${way.price}) would end it. You refused it, so no plan holds it.`;
    case 'planned':
      return way.month === null
        ? `“${way.name}” (${way.price}) would end it. It is on your list and not in the plan.`
        : `“${way.name}” (${way.price}) ends it. It is planned for ${way.month}.`;
    case 'bought':
      return `“${way.name}” ends it. It is bought: fit it.`;
  }
}

/** What would end a shortfall that a plan cannot end, since it is not on the list. */
export function offListSentence(ways: readonly { name: string; price: string | null }[]): string {
  const names = ways.map(({ name, price }) => (price === null ? `“${name}”` : `“${name}” (${price})`));
  return `${alternatives(names)} would end it; ${ways.length === 1 ? 'it is' : 'they are'} not on your list`;
}

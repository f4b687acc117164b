// What the page about the score says: what is judged, how, what is uncertain in it and what is a choice, and how much the library holds.

import type { CareFigures } from '../src/care-figures.ts';
import type { ValueChoices } from '../src/score.ts';
import type { Need } from '../src/species.ts';
import { percent } from './words.ts';

/** What the page about the score says. */
export const aboutWords = {
  needsCaption: (isUsual: boolean) =>
    `Needs, weights and allowances (${isUsual ? 'defaults of this ledger' : 'as you chose them'})`,
  lead: 'How much of what a species is known to need an enclosure offers, as a number from 0 to 100.',
  parts: ({ alpha, allowances, priority }: Pick<ValueChoices, 'alpha' | 'allowances' | 'priority'>) => [
    {
      heading: 'What it judges',
      paragraphs: [
        'The score judges what an enclosure offers, never how an animal feels. No study ties such a number to the welfare of reptiles or amphibians, so read it as a list of what is missing, ordered.',
        'Signs of the animal itself, such as weight, appetite or injuries, are never averaged in. They come before any score, and a reptile vet comes before any purchase.',
      ],
    },
    {
      heading: 'How it is made',
      paragraphs: [
        'Each need gets a value from 0 to 100 against targets of the species for its stage of life and the season. The value of a need is that of its worst part: a good hot spot does not make up for a cold night.',
        `The score is the weighted mean of the needs, capped by the worst: good values elsewhere lift an animal ${capWords(allowances)}.`,
        'A need is called severe when its likeliest value is below 20 and life may depend on it, or when nothing is fitted that would meet it. What is merely unknown is not called severe; it stands in the list of what to measure first.',
        'What can injure (too hot, too cold, air that dries out what may not dry out, far too much UV) is severe however well its target is known, and says where the target is to be checked. What is merely short by a target from memory alone is not: the page says that it would be. Whatever is proposed because of such a target says so too.',
        'The words are far short below 40, part way below 70, near below 90, and meets the target from there. An animal is never called near while a need is below 20, nor said to meet the target while one is below 55.',
      ],
    },
    {
      heading: 'What is uncertain',
      paragraphs: [
        `Every value is a range. A fresh reading leaves the error of its instrument; from the 31st day on the range grows by 0.15 points a day, up to 22; an estimate leaves 25 points on each side; what is unknown leaves everything open. The plan counts on the value ${alpha === 0.5 ? 'in the middle' : `${percent(alpha)} up`} of the range.`,
        'Unknown is never counted as 0 nor as good. A replaced, moved or resized box ends every reading taken in the old one.',
        'Weak evidence behind a target never lowers the weight of a need. Beside the score stands how much of it rests on memory: of the weight of all scored needs, what hangs on parts whose target is from memory. A need hangs on its lowest parts, to equal shares where several are.',
      ],
    },
    {
      heading: 'What is a choice and not a finding',
      paragraphs: [
        'Weights, allowances, how much the worst off count, how far a plan looks ahead and what a change of plan must gain are yours to choose. The widths of ranges, the limits of words and the middle of the range are defaults of this ledger. All of them are value choices, not published constants.',
        `${priorityWords(priority)} Every animal counts as one, whatever it costs and however rare it is.`,
        'Which rule lists for space count is your choice. Meeting only a minimum set by law or for laboratories is worth at most 60.',
      ],
    },
    {
      heading: 'What it does not replace',
      paragraphs: [
        'A reptile veterinarian judges the animal, and a qualified electrician and the rules where you live judge the wiring.',
      ],
    },
  ],
  asks: {
    safety:
      'Heaters regulated and guarded, nobody able to escape, nothing poisonous, company that fits; then the other checks.',
    heat: 'Each kind of temperature in its own band, measured at its own place.',
    uv: 'The UV index at the basking place, a place near 0, and the hours a day.',
    humidity: 'Humidity by day and by night, and a moist hide where the species needs one.',
    space: 'Length, floor and, for climbers, height against the strictest rule that counts for you.',
    hides: 'A hide for each animal in each part of the enclosure where the species hides.',
    enrichment: 'The kinds of things to do that suit the species, and a choice of a warm and a cool place.',
    water: 'Water as the species needs it: depth, temperature, filter, an easy way out.',
  } satisfies Record<Need, string>,
} as const;

// In one sentence where the needs of a kind share an allowance, as they do in a new ledger.
function capWords(allowances: ValueChoices['allowances']): string {
  const kinds = [['safety', 'heat', 'uv', 'humidity', 'water'], ['space', 'hides'], ['enrichment']] as const;
  const each = kinds.map((needs) => new Set(needs.map((need) => allowances[need])));
  if (each.some((one) => one.size > 1)) return 'only as far above each need as the table below says';
  const [critical, basic, quality] = each.map((one) => [...one][0]!);
  return `at most ${critical} points above its worst life-critical need, ${basic} above a basic one and ${quality} above one of quality`;
}

function priorityWords([low, middle, high]: ValueChoices['priority']): string {
  if (low === middle && middle === high) return 'In planning, every point counts alike, whoever gains it.';
  const times = (count: number) => ['not at all', 'once', 'twice', 'three times'][count] ?? `${count} times`;
  return `In planning, points below 40 count ${times(low)}, those from 40 to 70 ${times(middle)} and those above ${times(high)}, because the worst off come first here.`;
}

/** How much the library of species holds, and on what its sources disagree. */
export function careFiguresSentences({ species, figures, disagreements }: CareFigures): string[] {
  const on = (about: CareFigures['disagreements'][number]['about']) =>
    disagreements.filter((one) => one.about === about).length;
  return [
    `The library holds ${species} species with ${figures} figures, each with its source.`,
    `Sources put ${on('uv-zone')} species in more than one UV zone, and ask different room for ${on('space')}. Each answer stands in the species’ page.`,
  ];
}

/** How many figures are known in one way, of all. */
export function shareOfFigures(count: number, { figures }: CareFigures): string {
  return `${count} of ${figures} figures (${percent(count / Math.max(1, figures))}).`;
}

// Every sentence about the cap on a collection: what bounds it and by how much, what is not known, and what a changed question would do.

import { formatMonth } from '../src/calendar.ts';
import type { CapQuestion, PosedQuestion, Reached } from '../src/cap-questions.ts';
import type {
  CapCount,
  CollectionCap,
  Constraint,
  ConstraintName,
  CostPart,
  MissingPart,
} from '../src/collection-cap.ts';
import { type Currency, formatMoney, money } from '../src/money.ts';
import { monthExamples } from './form-words.ts';
import { listed, lowerFirst } from './words.ts';

/** The names of the constraints as they stand in a table. */
export const constraintNames: Readonly<Record<ConstraintName, string>> = {
  money: 'Steady costs a month',
  time: 'Minutes a week',
  floor: 'Floor at adult size',
  sockets: 'Sockets, everything on at once',
  backlog: 'Months to put everybody right',
  reserve: 'Reserve for an emergency',
  severe: 'Animals severely short',
  quarantine: 'Quarantine for a newcomer',
};

/** The parts of a keeping cost as they stand in a list. */
export const costPartNames: Readonly<Record<CostPart, string>> = {
  food: 'food and supplements',
  substrate: 'substrate',
  'food-and-substrate': 'food and substrate',
  vet: 'vet',
  power: 'power',
  running: 'running costs of what is fitted',
  renewals: 'renewals spread over their lives',
};

/** What an animal costs of which the sum pays nothing. */
export const costOfNothingWords = 'nothing out of the sum: what it costs is paid from elsewhere';

/** What is missing, completing 'Not known: ...'. */
export function missingWords(one: MissingPart): string {
  switch (one.missing) {
    case 'food':
      return 'its food a month';
    case 'substrate':
      return 'its substrate a month';
    case 'food-and-substrate':
      return 'its food and substrate a month';
    case 'vet':
      return 'its allowance for the vet';
    case 'tariff':
      return 'the price of a kilowatt-hour';
    case 'power-of':
      return `the watts or hours of “${one.name}”`;
    case 'renewal-price':
      return `the price of a new “${one.name}”`;
  }
}

const plain = (count: number) => (count === 1 ? '1 animal' : `${count} animals`);

const ofNumber = (most: number) => (most === Number.POSITIVE_INFINITY ? 'no limit found' : plain(most));

/** A cap as a figure of its own, without an end mark: where it is not known, what is missing for it and what binds so far. */
export function countWords(count: CapCount): string {
  if (count.status === 'known') return ofNumber(count.most);
  const missing = count.unknown.map((one) => lowerFirst(constraintNames[one]));
  const { binds } = count;
  if (missing.length === 0) return 'not known';
  return `not known, since ${listed(missing)} ${missing.length === 1 ? 'is' : 'are'} not known well enough${
    binds === null || binds.most === Number.POSITIVE_INFINITY
      ? ''
      : `. Of what is known, ${lowerFirst(constraintNames[binds.name])} binds first, enough for ${plain(binds.most)} by itself`
  }`;
}

/** The sentences of the cap pages. */
export const capSentences = {
  heading: 'Cap on the collection',
  lead: 'How many animals this money, time and room can carry for good, and when one more could be put right in good time.',
  carryingHeading: 'Can be carried',
  gateHeading: 'Can be put right in time',
  carrying: (count: CapCount, there: number) => `Can be carried: ${countWords(count)}; there are ${there} now.`,
  oneMore: {
    yes: 'By these figures there is room for one more. That is no advice to get one.',
    no: 'No room for one more now.',
    'not-known': 'Whether there is room for one more is not known, and what is not known never counts as room.',
  },
  binding: (name: string, why: string) => `What binds first: ${name.charAt(0).toLowerCase()}${name.slice(1)}. ${why}`,
  howHeading: 'How this is reckoned',
  how: [
    'The steady cost of an animal is what it takes out of the sum a month: food, substrate, vet, power, and each renewal divided by its life. Power and renewals are those of its box as it is fitted now; enter food and substrate for its adult size.',
    'An animal without figures of its own takes an even share of the monthly sums for food and vet on the money page, so that nothing counts twice. The plan goes on using those sums alone.',
    'One more animal is taken to need what the mean of those there are does.',
    'The backlog is the cheapest set of what you want that brings every need near its target, shared things counted once, with what is pinned.',
    'The largest emergency is your own figure; no published sum would fit you.',
  ],
  choices: (cushion: number, months: number) =>
    `Value choices, no source: ${cushion} % of the sum stays out of every promise, and the backlog should be cleared within ${months} months.`,
  noAnimals: {
    heading: 'No animal is entered yet',
    text: 'The cap is reckoned from the animals there are: what they cost, the time and the room they take.',
  },
  oldPlan: 'The backlog is from a plan that was made from older facts. Plan again for the present one.',
  noPlan: 'The backlog is not known before a plan was made.',
  planWithout: 'Not worked out yet: it is one of the studies that follow a plan.',
  soonestHeading: 'When severe shortfalls can end on this money',
  soonestCaption: 'Severe shortfalls, at the earliest',
  noneSevere: 'No animal of the plan is severely short now or later.',
  never:
    'Where nothing on the list ends it, the honest ways are the vet, a foster home, a new home, and no newcomer before.',
  changeLabel: 'Say what time, floor and reserve there are',
  askLabel: 'Ask what a change would do',
  vet: 'A reserve for the vet is part of the cap and not of the wishes: ask your reptile vet what an emergency costs.',
} as const;

/** How a constraint is written: amounts of money, minutes, areas, amperes. */
export type CapWriting = {
  amount: (minor: number) => string;
  area: (m2: number) => string;
};

/** What there is and what is used, in the constraint's own unit; 'not known' where it is not. */
export function constraintFigures(one: Constraint, { amount, area }: CapWriting): { uses: string; allows: string } {
  const write = (value: number | null): string => {
    if (value === null) return 'not known';
    if (value === Number.POSITIVE_INFINITY) return 'never';
    switch (one.name) {
      case 'money':
        return `${amount(value)} a month`;
      case 'reserve':
      case 'quarantine':
        return amount(value);
      case 'time':
        return `${Math.round(value)} min`;
      case 'floor':
        return area(value);
      case 'sockets':
        return `${value.toFixed(1)} A`;
      case 'backlog':
        return `${value.toFixed(1)} months`;
      case 'severe':
        return String(value);
    }
  };
  return { uses: write(one.uses), allows: one.name === 'quarantine' ? '–' : write(one.allows) };
}

/** Whether a constraint holds, for a table. */
export function holdsWords(one: Constraint): string {
  if (one.holds === 'no') return 'does not hold now';
  if (one.holdsOneMore === 'no') return 'holds, not with one more';
  if (one.holds === 'not-known' || one.holdsOneMore === 'not-known') return 'not known';
  return 'holds, also with one more';
}

/** How many animals a constraint allows by itself. */
export function mostWords({ most, name }: Constraint): string {
  if (name === 'reserve' || name === 'severe' || name === 'quarantine') return '–';
  if (most === null) return 'not known';
  return most === Number.POSITIVE_INFINITY ? 'no limit' : String(most);
}

/** Why a constraint binds and by how much, a whole sentence; `when` names the time it speaks of. */
export function bindingSentence(
  one: Pick<Constraint, 'name' | 'holds' | 'holdsOneMore' | 'lacks'>,
  { amount, area }: CapWriting,
  when: 'now' | 'then' = 'now',
): string {
  if (one.holds === 'not-known' || (one.holdsOneMore === 'not-known' && one.holds !== 'no'))
    return 'It is not known well enough.';
  const lacks = one.lacks ?? 0;
  switch (one.name) {
    case 'money':
      return lacks > 0
        ? `One more would take ${amount(lacks)} a month more than there is.`
        : 'One more still fits into the sum.';
    case 'time':
      return lacks > 0
        ? `One more would take ${Math.ceil(lacks)} minutes a week more than there are.`
        : 'One more still fits into the week.';
    case 'floor':
      return lacks > 0 ? `One more would lack ${area(lacks)} of floor.` : 'One more still finds room.';
    case 'sockets':
      return one.holds === 'no'
        ? `A socket is over its limit ${when}.`
        : lacks > 0
          ? `One more would take ${lacks.toFixed(1)} A more than the sockets allow.`
          : 'One more can still be plugged in.';
    case 'backlog':
      if (lacks === 0) return 'With one more the backlog still clears in time.';
      return `To clear the backlog in time with one more, ${amount(lacks)} more a month would be needed.`;
    case 'reserve':
      return lacks > 0
        ? `${amount(lacks)} are lacking for the largest emergency with a newcomer’s quarantine and tests.`
        : 'The reserve is full.';
    case 'severe':
      return lacks === 1 ? `One animal is severely short ${when}.` : `${lacks} animals are severely short ${when}.`;
    case 'quarantine':
      return one.holdsOneMore === 'no' ? 'There is no place apart from the others.' : 'A newcomer can be kept apart.';
  }
}

/** Which animals lack what for the costs to be known; null when nothing is missing. */
export function unknownCostSentence(name: string, missing: readonly MissingPart[]): string | null {
  return missing.length === 0
    ? null
    : `${name}: ${listed(missing.map(missingWords))} ${missing.length === 1 ? 'is' : 'are'} not known.`;
}

/** What the gate shows in a month, written out: the month, the cash against what it must hold, and how soon everybody is put right. */
export type GateFigures = { month: string; cash: string; reserve: string | null; clearsIn: CollectionCap['clearsIn'] };

const gateFigures = ({ month, cash, reserve, clearsIn }: GateFigures): string =>
  `at the end of ${month}, by the present plan, no animal is severely short, ${cash} are in hand${
    reserve === null ? '' : ` against ${reserve} for an emergency with a newcomer’s quarantine and tests`
  }${typeof clearsIn === 'number' ? `, and what is then still wanted is put right in ${clearsIn.toFixed(1)} months` : ''}`;

const namesOf = (names: readonly ConstraintName[]): string =>
  listed(names.map((name) => lowerFirst(constraintNames[name])));

/** When one more would do, where it would not now. Figures come already written. */
export const whenWords = {
  heading: 'When it would do',
  month: (figures: GateFigures, points: number, proved: boolean) =>
    `Not before ${figures.month}: ${gateFigures(figures)}. The months were planned again with it coming then: everything can be paid, no severe shortfall lasts longer, and the animals that are there ${
      rounded(points) < 0 ? `lose ${-rounded(points)} points × months` : 'lose nothing inside the plan'
    }${proved ? '' : ', as far as was searched'}. That is no advice to get one.`,
  opens: (figures: GateFigures) =>
    `By the present plan the gate opens in ${figures.month}: ${gateFigures(figures)}. Whether one more can be paid then, and what the others lose, is worked out for the species you ask about.`,
  unknown: (month: string, names: readonly ConstraintName[]) =>
    `From ${month} on only what is not known stands in the way: ${namesOf(names)}. Say it, and ask again.`,
  refused: ({ month }: GateFigures, why: 'unpaid' | 'severe') =>
    `The gate would open in ${month}, but ${
      why === 'unpaid'
        ? 'with it coming then what is owed cannot be paid'
        : 'with it coming then an animal that is there would be severely short for longer'
    }, and no later month of the plan that was tried does better.`,
  none: (first: string, last: string, names: readonly ConstraintName[], whys: readonly string[]) =>
    `In no month from ${first} to ${last} by the present plan. ${
      names.length === 0
        ? 'Something else shuts the gate from month to month; in the last one'
        : `In all of them ${namesOf(names)} ${names.length === 1 ? 'shuts' : 'shut'} the gate; in the last one`
    }: ${whys.join(' ')}`,
  notReached: (month: string | null) =>
    month === null
      ? 'In which month it would do was not worked out in the time there was: ask again.'
      : `The gate opens in ${month} by the present plan; whether it can then be paid was not worked out in the time there was: ask again.`,
  asToday: 'Minutes, floor, sockets and the place for quarantine are taken as they are today.',
} as const;

/** The questions that can be asked, in the order in which they are offered. */
export const QUESTION_KINDS = ['emergency', 'lost-month', 'price-rise', 'tariff-rise', 'rehome', 'one-more'] as const;
export type QuestionKind = (typeof QUESTION_KINDS)[number];

/** A question as the completion of 'What ... would do'. */
export function questionWords(
  question: CapQuestion | PosedQuestion,
  { currency, locale }: { currency: Currency; locale: string },
): string {
  switch (question.ask) {
    case 'one-more':
      return `one more animal (${lowerFirst(question.species)})`;
    case 'rehome':
      return `a new home for ${question.animal}`;
    case 'price-rise':
      return `prices ${question.percent} % higher`;
    case 'tariff-rise':
      return `power ${question.percent} % dearer`;
    case 'lost-month':
      return `a month without income (${formatMonth(question.month, locale)})`;
    case 'emergency':
      return `a bill of ${formatMoney(money(question.amount), currency, locale)} in ${formatMonth(question.month, locale)}`;
  }
}

const away = (months: Reached['clearsIn']) =>
  months === null ? 'never' : months === 'not-known' ? 'not known' : months.toFixed(1);
const rounded = (value: number) => Math.round(value * 10) / 10;

/** The words of the questions and their answers. */
export const askWords = {
  asking: 'Working out the answer',
  askingLead:
    'The months are planned twice, as they are and with the change; for one more animal also for later months. It takes up to a minute, and nothing else waits for it.',
  stages: {
    reading: 'reading the ledger',
    present: 'planning the months as they are',
    changed: 'planning them with the change',
    when: 'looking for a month in which it would do',
    ending: 'ending with what there is',
  },
  submit: 'Work it out',
  choose: 'Choose',
  kinds: {
    emergency: {
      link: 'An emergency bill',
      heading: 'What an emergency bill would do',
      lead: 'A sum that must be paid in a month, whatever was planned.',
    },
    'lost-month': {
      link: 'A month without income',
      heading: 'What a month without income would do',
      lead: 'The sum of one month does not come.',
    },
    'price-rise': {
      link: 'Dearer things',
      heading: 'What dearer things would do',
      lead: 'All that is still to be bought or renewed, food and substrate cost more from now on.',
    },
    'tariff-rise': {
      link: 'Dearer power',
      heading: 'What dearer power would do',
      lead: 'A kilowatt-hour costs more from now on.',
    },
    rehome: {
      link: 'A new home for one animal',
      heading: 'What a new home for one animal would do',
      lead: 'What it costs is freed for the others; things of a box left empty cost nothing more.',
    },
    'one-more': {
      link: 'One more animal',
      heading: 'What one more animal would do',
      lead: 'The ledger never proposes to get one. This answers your own question: what the animals that are there would lose.',
    },
  },
  labels: {
    species: 'Species',
    length: 'Its length, when it is longer than usual',
    food: 'Its food and supplements a month, grown',
    substrate: 'Its substrate a month',
    vet: 'Put aside for its vet a month',
    ownPrice: 'Price of its whole set-up',
    animal: 'Animal',
    percent: 'Rise',
    month: 'Month',
    amount: 'The bill',
  },
  hints: {
    length: 'Left empty, it is taken to grow to the upper end of its species.',
    food: 'Your own figure, an estimate will do: no published one would fit your shop. 0 only when it costs nothing.',
    ownPrice: 'Left empty, the cheapest box of the list for its adult size and the cheapest kits are taken, all new.',
    month: `Month and year, such as ${monthExamples}.`,
  },
  noBox:
    'No box of the list is large enough for it grown, or the list is in another currency: enter what its whole set-up costs.',
  noTariff: 'Enter the price of a kilowatt-hour on the money page first, so that its power is not counted as nothing.',
  quarantine: 'A newcomer’s quarantine, kept for later questions',
  noPowerPaid: 'Your sum does not pay for power, or no price of a kilowatt-hour was entered: see the money page.',
  monthOutside: (first: string, last: string) => `Enter a month from ${first} to ${last}, inside the plan.`,
  amountAboveNothing: 'Enter a bill above nothing.',
  answerHeading: (what: string) => `What ${what} would do`,
  staleHeading: 'The ledger has changed since',
  stale: (day: string) =>
    `This was worked out on ${day}, from what was entered then. What stands below of plans and sums may not hold any more.`,
  askAgain: 'Ask again',
  noneCanBePaid: 'It cannot be paid.',
  quarantineUnsaid:
    'What its quarantine takes was not all said: what is missing is not in these figures, so that it takes more than they say.',
  notKnown: 'No plan was found in the time there was, and it was not shown that there is none. Ask again.',
  presentImpossible: (by: string, month: string) =>
    `As it is, what is owed cannot be paid: ${by} are lacking in ${month}.`,
  impossible: (by: string, month: string) =>
    `It cannot be paid: ${by} would be lacking in ${month}, even with nothing else bought.`,
  change: (was: Reached, is: Reached) => {
    const [points, severe] = [rounded(is.points - was.points), rounded(is.severe - was.severe)];
    if (points === 0 && severe === 0) return 'The animals that are there lose nothing inside the plan.';
    const pointWords = points <= 0 ? `lose ${-points} points × months` : `gain ${points} points × months`;
    if (severe === 0) return `The animals that are there ${pointWords}; severe shortfalls last as long.`;
    return `The animals that are there ${pointWords}, with ${Math.abs(severe)} severe needs × months ${severe > 0 ? 'more' : 'fewer'}.`;
  },
  later: (was: Reached['clearsIn'], is: Reached['clearsIn']) => {
    if (was === 'not-known' || is === 'not-known')
      return 'How much later the backlog clears is not known: see what is not known on the page of the cap.';
    if (is === null)
      return was === null
        ? 'The backlog never clears on this money, with or without it.'
        : `The backlog would never clear; as it is, it does in ${was.toFixed(1)} months.`;
    if (was === null) return `The backlog would clear in ${is.toFixed(1)} months; as it is, never.`;
    const by = rounded(is - was);
    return by === 0
      ? `The backlog clears as soon, in ${is.toFixed(1)} months.`
      : `The backlog clears ${Math.abs(by).toFixed(1)} months ${by > 0 ? 'later' : 'sooner'}: in ${is.toFixed(1)} in place of ${was.toFixed(1)}.`;
  },
  firstMonth: (was: string, is: string) =>
    was === is
      ? `In the first month ${is} are there for buying, with or without it.`
      : `In the first month ${is} would be there for buying in place of ${was}.`,
  figuresCaption: 'All animals that are there in both',
  animalsCaption: 'Animal by animal, against the present',
  months: away,
  signed: (value: number) =>
    rounded(value) > 0 ? `+${rounded(value)}` : rounded(value) < 0 ? `−${-rounded(value)}` : 'unchanged',
  notProved: 'Not both plans are proved to be the best there are: a longer search may move these figures a little.',
  notes: {
    'one-more': [
      'Its kits are chosen for a room of 20 °C (68 °F) and 50 % humidity, our own assumption; what must be read after fitting may still call for more.',
      'Its set-up is bought before it moves in: no animal is planned into a severe shortfall. Its own score is no part of these figures.',
      'A newcomer stays apart in quarantine with tools of its own; ask your reptile vet about tests.',
    ],
    rehome: ['What the animal gains in its new home is not known here. Power and food of a shared box stay.'],
    'price-rise': ['What is ordered already keeps its price. Wages and the sum a month stay.'],
    'tariff-rise': ['What saves power saves no more here than before, so that this is on the careful side.'],
    'lost-month': [],
    emergency: [],
  } as Readonly<Record<QuestionKind, readonly string[]>>,
} as const;

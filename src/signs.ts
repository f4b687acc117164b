// What a keeper noted of the animal itself, as dated signs: which of them stand first, what a series of weights has done, and that none of
// it goes with a winter rest. Knows no score, and what a sign means is a vet's to say.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { addDays, addMonths, addMonthsToDate, daysBetween, firstDay, monthOf, monthOfYear } from './calendar.ts';
import type { Money } from './money.ts';
import { type DatedSeason, inSpan, type Standing } from './species.ts';

export const SIGN_KINDS = ['weight', 'appetite', 'shed', 'injury', 'breathing', 'stool', 'behaviour', 'other'] as const;
/** What was noted: a weighing, or something seen; 'breathing' stands for mouth and eyes too, 'stool' for parasites. */
export type SignKind = (typeof SIGN_KINDS)[number];

export const ALARMS = ['open-mouth', 'prolapse', 'burn', 'bleeding', 'not-moving'] as const;
/** What does not wait for an appointment. */
export type Alarm = (typeof ALARMS)[number];

/** The alarms that are asked for with each kind of sign. Which are alarms is common practice, no source. */
export const alarmsOf: Readonly<Record<SignKind, readonly Alarm[]>> = {
  weight: [],
  appetite: [],
  shed: [],
  injury: ['burn', 'bleeding'],
  breathing: ['open-mouth'],
  stool: ['prolapse', 'bleeding'],
  behaviour: ['not-moving'],
  other: ALARMS,
};

/** How a sign ended, as its keeper says. */
export const ENDINGS = ['vet-seen', 'passed', 'other'] as const;
export type Ending = (typeof ENDINGS)[number];

/**
 * One dated note. `grams` is there for a weighing alone. `setAside` is kept back for the vet from its month on until the sign is settled;
 * `paid` is what the vet cost, null when nothing was paid. Null `settled` is open.
 */
export type Sign = {
  id: string;
  animalId: string;
  kind: SignKind;
  notedOn: PlainDate;
  grams: number | null;
  alarm: Alarm | null;
  worrying: boolean;
  setAside: { amount: Money; month: PlainMonth } | null;
  settled: { on: PlainDate; how: Ending; paid: Money | null } | null;
};

/** How far back a weight is compared, in days. Common practice, no source. */
export const WEIGHTS_COMPARED_DAYS = 84;

/** The loss that is raised, in percent of the heaviest weight compared, and how well that limit is known. */
const RAISED_LOSS_PERCENT = 10;
export const raisedLossStanding: Standing = 'from-memory';

/** How soon a winter rest must begin to be raised, in days. Common practice, no source. */
const REST_AHEAD_DAYS = 60;

/**
 * From how many days before a dated winter rest an animal is led into it, neither fed up nor warmed more: six weeks, from memory. How long it
 * fasts before hangs on species and size and is a vet's to say.
 */
const LED_INTO_REST_DAYS = 42;

/** Whether a dated winter rest that the species has targets for holds on a day or begins so soon that the animal is led into it already. */
export function isLedIntoRest(
  seasons: readonly DatedSeason[],
  seasonsKnown: readonly DatedSeason['season'][],
  on: PlainDate,
): boolean {
  const rests = seasons.filter(({ season }) => season === 'winter-rest' && seasonsKnown.includes(season));
  const ahead = restAhead(rests, on);
  return ahead !== null && (ahead.begins === null || daysBetween(on, ahead.begins) <= LED_INTO_REST_DAYS);
}

/**
 * How well it is known that an ill animal is not put to winter rest: read on a clinic's page (soquelvet.com/blog/94513-the-exotics-corner),
 * not where it was first published.
 */
export const noRestStanding: Standing = 'secondary';

/** Two weighings and what lies between them: `percent` of the earlier weight, below 0 for a loss. */
export type WeightChange = {
  from: { on: PlainDate; grams: number };
  to: { on: PlainDate; grams: number };
  days: number;
  percent: number;
};

/**
 * What the weights of one animal have done in the days that are compared, up to the last of them: `over` since the first weight of that
 * time; `fall` since the heaviest, where it is 10 % or more, else null. Null while there are not two weights to compare.
 */
export function weightChanges(signs: readonly Sign[]): { over: WeightChange; fall: WeightChange | null } | null {
  const weights = weighings(signs);
  const last = weights[weights.length - 1];
  if (last === undefined) return null;
  const from = addDays(last.on, -WEIGHTS_COMPARED_DAYS);
  const earlier = weights.slice(0, -1).filter((one) => one.on >= from);
  const first = earlier[0];
  if (first === undefined) return null;
  const change = (one: Weighing): WeightChange => ({
    from: { on: one.on, grams: one.grams },
    to: { on: last.on, grams: last.grams },
    days: daysBetween(one.on, last.on),
    percent: (100 * (last.grams - one.grams)) / one.grams,
  });
  const heaviest = earlier.reduce((most, one) => (one.grams > most.grams ? one : most), first);
  const fall = change(heaviest);
  // The smallest part of a percent is left to the balance: 90 g of 100 g is a loss of 10 %.
  return { over: change(first), fall: fall.percent <= -RAISED_LOSS_PERCENT + 1e-9 ? fall : null };
}

type Weighing = { id: string; on: PlainDate; grams: number };

/** The weights among some signs, the oldest first; of one day in the order given. */
export function weighings(signs: readonly Sign[]): Weighing[] {
  return signs
    .flatMap((one) => (one.grams === null ? [] : [{ id: one.id, on: one.notedOn, grams: one.grams }]))
    .sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
}

// A weight this many times that of the year before, or that small a part of it, is likelier a slip of the pen or of the unit. Our own choice.
const HARDLY_TIMES = 2;
const DOUBTED_WITHIN_DAYS = 365;

/** The last weighing up to a day that makes a weight of that day hard to believe, or null. `id` is that of the weight itself, if it is kept. */
export function weightInDoubt(
  signs: readonly Sign[],
  { id, on, grams }: { id: string | null; on: PlainDate; grams: number },
): Weighing | null {
  const before = weighings(signs).findLast((one) => one.id !== id && one.on <= on);
  if (before === undefined || daysBetween(before.on, on) > DOUBTED_WITHIN_DAYS) return null;
  return grams > before.grams * HARDLY_TIMES || grams * HARDLY_TIMES < before.grams ? before : null;
}

/** What stands first on an animal's pages: a sign that is open and worrying, or a weight that has fallen. `today` cannot wait. */
export type Flag<One extends Sign = Sign> = { sign: One; today: boolean; fall: WeightChange | null };

/**
 * The flags of some animals from all their signs: open ones that worry the keeper or are an alarm, and an animal's last weighing while it
 * is open and shows a fall. What cannot wait comes first, then the newest.
 */
export function openFlags<One extends Sign>(signs: readonly One[]): Flag<One>[] {
  const animals = [...new Set(signs.map((one) => one.animalId))];
  return animals
    .flatMap((animalId) => flagsOfOne(signs.filter((one) => one.animalId === animalId)))
    .sort((a, b) => Number(b.today) - Number(a.today) || daysBetween(a.sign.notedOn, b.sign.notedOn));
}

function flagsOfOne<One extends Sign>(signs: readonly One[]): Flag<One>[] {
  const last = weighings(signs).at(-1);
  const fall = weightChanges(signs)?.fall ?? null;
  return signs.flatMap((sign): Flag<One>[] => {
    if (sign.settled !== null) return [];
    const own = sign.id === last?.id ? fall : null;
    return sign.worrying || sign.alarm !== null || own !== null
      ? [{ sign, today: sign.alarm !== null, fall: own }]
      : [];
  });
}

/** How long a vet's check of an animal holds before a cooling or a winter rest, in months. Common practice, no source. */
export const VET_CHECK_MONTHS = 12;

/**
 * Whether a vet has to see an animal before it is cooled down or put to rest: that no check was ever entered, or that the last one is more
 * than 12 months old on the day, or will be when the season begins. Null where no season is dated, or where the check holds.
 */
export function vetCheckMissing(
  seasons: readonly DatedSeason[],
  vetCheckedOn: PlainDate | null,
  on: PlainDate,
): 'never' | 'too-old' | null {
  if (seasons.length === 0) return null;
  if (vetCheckedOn === null) return 'never';
  const begins = restAhead(seasons, on)?.begins ?? on;
  return addMonthsToDate(vetCheckedOn, VET_CHECK_MONTHS) < begins ? 'too-old' : null;
}

/** A dated cooling or winter rest that an animal with a flag must not go through: one that holds on the day, or begins on a day soon. */
export type RestAhead = { season: DatedSeason['season']; begins: PlainDate | null };

/** The first dated season that holds on a day (`begins` null) or begins within 60 days of it; null when none does. */
export function restAhead(seasons: readonly DatedSeason[], on: PlainDate): RestAhead | null {
  const month = monthOf(on);
  const holding = seasons.find((one) => inSpan(monthOfYear(month), one.fromMonth, one.toMonth));
  if (holding !== undefined) return { season: holding.season, begins: null };
  const coming = seasons
    .map((one) => {
      const ahead = (one.fromMonth - monthOfYear(month) + 12) % 12;
      return { season: one.season, begins: firstDay(addMonths(month, ahead)) };
    })
    .filter((one) => daysBetween(on, one.begins) <= REST_AHEAD_DAYS)
    .sort((a, b) => daysBetween(b.begins, a.begins));
  return coming[0] ?? null;
}

/** A visit to the vet that falls into a dated cooling or winter rest: a sum kept back for a sign, or one entered with a note of its own. */
export type VisitInRest = { month: PlainMonth; season: DatedSeason['season']; note: string | null };

/**
 * The visits of an animal from a day on that fall into the months of its dated rests which its species has targets for. A sum that is entered
 * counts when it goes out and its note speaks of a vet and names the animal.
 */
export function visitsInRest(
  { name, seasons }: { name: string; seasons: readonly DatedSeason[] },
  seasonsKnown: readonly DatedSeason['season'][],
  signs: readonly Pick<Sign, 'setAside' | 'settled'>[],
  sums: readonly { month: PlainMonth; amount: Money; note: string }[],
  on: PlainDate,
): VisitInRest[] {
  const present = monthOf(on);
  // Whole words only: a visit of Telham is none of Tel.
  const words = (text: string) =>
    ` ${text
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, ' ')
      .trim()} `;
  const named = (note: string) => words(note).includes(words(name)) && /\bvet/i.test(note);
  const visits = [
    ...signs.flatMap(({ setAside, settled }) =>
      setAside === null || settled !== null ? [] : [{ month: [present, setAside.month].sort()[1]!, note: null }],
    ),
    ...sums
      .filter((one) => one.month >= present && one.amount < 0 && named(one.note))
      .map(({ month, note }) => ({ month, note })),
  ];
  return visits.flatMap((visit) => {
    const rest = seasons.find(
      (one) => seasonsKnown.includes(one.season) && inSpan(monthOfYear(visit.month), one.fromMonth, one.toMonth),
    );
    return rest === undefined ? [] : [{ ...visit, season: rest.season }];
  });
}

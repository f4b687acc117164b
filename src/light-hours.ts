// Whose day an animal's lamps follow: its home's, one told in print or the keeper's own; month by month, in whose seasons, and which lamps
// are set otherwise. How long the sun is up stands in day-length.ts; the hours of UV that are scored stay the species' own.

import type { PlainDate } from './calendar.ts';
import type { Fitting, FittingKind } from './collection.ts';
import { isFitted, UV_LAMPS } from './collection.ts';
import { areSeasonsReversed, type TimerSetting, timerSetting, timerTable } from './day-length.ts';
import type { Species } from './species.ts';
import type { LikelyRange } from './warmth.ts';

/** Whose day is followed: of the middle of the home range, of the published hours of light, or of the keeper's own latitude. */
const DAY_WAYS = ['home', 'published', 'keeper'] as const;
export type DayWay = (typeof DAY_WAYS)[number];

/** Whose summer is the animal's: that of the keeper's place, or that of its home by the calendar. */
export const SEASON_RULES = ['keeper', 'home'] as const;
export type SeasonRule = (typeof SEASON_RULES)[number];

/** As much of a species as its hours of light hang on. */
export type LightNeeds = Pick<Species, 'homeLatitude' | 'lightHours'> & { uv: Pick<Species['uv'], 'hours'> };

/** The ways that are known for a species and a keeper's latitude (degrees, null unknown), the one taken unless another is chosen first. */
export function dayWaysOf({ homeLatitude, lightHours }: LightNeeds, keeperLatitude: number | null): DayWay[] {
  const known: Record<DayWay, boolean> = {
    home: homeLatitude !== null,
    published: lightHours !== null,
    keeper: keeperLatitude !== null,
  };
  return DAY_WAYS.filter((way) => known[way]);
}

/**
 * A month of light: how long the day is (hours; its ends are those of the home range or of the published span), how a timer gives its
 * likely length, and how a UV lamp is held within the hours of UV that are scored.
 */
export type LightMonth = { month: number; day: LikelyRange<number>; light: TimerSetting; uv: TimerSetting };

/**
 * A year of light. `seasons` of the home's day: 'alike' in the same hemisphere, 'turned' by half a year into the keeper's, 'kept' by the
 * home's calendar, 'unknown' and kept where the keeper's latitude is. The published long half begins in `longFrom` (4 April, 10 October),
 * by the seasons of the keeper or the home; of neither known, of the north.
 */
export type LightYear = { months: LightMonth[] } & (
  | { way: 'home'; latitude: number; seasons: 'alike' | 'turned' | 'kept' | 'unknown' }
  | { way: 'published'; longFrom: 4 | 10; seasonsOf: SeasonRule | 'north' }
  | { way: 'keeper'; latitude: number }
);

/** What a year of light is asked from: `year` of the calendar, `middayMinutes` after midnight. */
export type LampHoursQuestion = {
  needs: LightNeeds;
  way: DayWay;
  seasons: SeasonRule;
  keeperLatitude: number | null;
  year: number;
  middayMinutes: number;
};

/** The months of light by one way. Throws when what the way needs is not known. */
export function lightYear(question: LampHoursQuestion): LightYear {
  const { needs, way, seasons, keeperLatitude } = question;
  const home = needs.homeLatitude;
  const middle = home === null ? null : (home.low + home.high) / 2;
  switch (way) {
    case 'home': {
      if (home === null || middle === null) throw new RangeError('the home of this species is not known');
      const isOpposite = keeperLatitude !== null && areSeasonsReversed(middle, keeperLatitude);
      const isTurned = isOpposite && seasons === 'keeper';
      const days = (latitude: number) => sunDays(latitude, isTurned, question);
      const [likely, one, other] = [days(middle), days(home.low), days(home.high)];
      return {
        way,
        latitude: middle,
        seasons: keeperLatitude === null ? 'unknown' : !isOpposite ? 'alike' : isTurned ? 'turned' : 'kept',
        months: likely.map((hours, index) => {
          const ends = [hours, one[index]!, other[index]!];
          return monthOfLight(index, { low: Math.min(...ends), likely: hours, high: Math.max(...ends) }, question);
        }),
      };
    }
    case 'published': {
      if (needs.lightHours === null) throw new RangeError('no hours of light are published for this species');
      const { summer, winter } = needs.lightHours;
      const places = { keeper: keeperLatitude, home: middle };
      const other: SeasonRule = seasons === 'keeper' ? 'home' : 'keeper';
      const seasonsOf = places[seasons] !== null ? seasons : places[other] !== null ? other : 'north';
      const longFrom = seasonsOf !== 'north' && places[seasonsOf]! < 0 ? 10 : 4;
      return {
        way,
        longFrom,
        seasonsOf,
        months: Array.from({ length: 12 }, (_, index) => {
          const { low, high } = (index + 1 - longFrom + 12) % 12 < 6 ? summer : winter;
          return monthOfLight(index, { low, likely: (low + high) / 2, high }, question);
        }),
      };
    }
    case 'keeper': {
      if (keeperLatitude === null) throw new RangeError('where the keeper lives is not known');
      return {
        way,
        latitude: keeperLatitude,
        months: sunDays(keeperLatitude, false, question).map((hours, index) =>
          monthOfLight(index, { low: hours, likely: hours, high: hours }, question),
        ),
      };
    }
  }
}

function sunDays(latitude: number, seasonsReversed: boolean, { year, middayMinutes }: LampHoursQuestion): number[] {
  return timerTable({ latitude, year, seasonsReversed, middayMinutes, allowedHours: null }).map(
    (one) => one.dayLengthHours,
  );
}

function monthOfLight(
  index: number,
  day: LikelyRange<number>,
  { needs, middayMinutes }: LampHoursQuestion,
): LightMonth {
  return {
    month: index + 1,
    day,
    light: timerSetting(day.likely, middayMinutes, null),
    uv: timerSetting(day.likely, middayMinutes, needs.uv.hours),
  };
}

/** More hours than this between a lamp and its table are worth setting its timer anew: own choice. */
const HOURS_APART = 1;

/** How a lamp is set beside the hours wanted of it in a month: a UV lamp within what is scored, any other as long as the day. */
export type LampHours = { lampId: string; name: string } & (
  | { status: 'unknown'; wanted: number }
  | { status: 'close'; hours: number; wanted: number }
  | { status: 'apart'; hours: number; wanted: number }
);

const lamps: ReadonlySet<FittingKind> = new Set([...UV_LAMPS, 'basking-lamp']);

/** How the lamps that are fitted on a day are set beside a month of light. Setting a timer costs nothing, so nothing is bought for it. */
export function lampsBeside(month: LightMonth, fittings: readonly Fitting[], on: PlainDate): LampHours[] {
  return fittings
    .filter((one) => lamps.has(one.kind) && isFitted(one, on))
    .map(({ id, name, kind, hoursPerDay: hours }) => {
      const wanted = (UV_LAMPS.has(kind) ? month.uv : month.light).timerHours;
      const lamp = { lampId: id, name, wanted };
      if (hours === null) return { ...lamp, status: 'unknown' };
      return { ...lamp, status: Math.abs(hours - wanted) > HOURS_APART ? 'apart' : 'close', hours };
    });
}

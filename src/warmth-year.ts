// What holds a box warm through the months of its room: the mean air its animals want, the heater that takes, and what a warmer box saves in
// power over a year. Knows which months and targets count; how heat is lost stands in warmth.ts.

import type { PlainDate, PlainMonth } from './calendar.ts';
import { addMonths, DAYS_A_MONTH, firstDay, monthOf, monthOfYear } from './calendar.ts';
import { roomTooWarm } from './climate-needs.ts';
import type { Fitting, FittingKind, Setup } from './collection.ts';
import { isFitted } from './collection.ts';
import { runInSeason } from './judging.ts';
import type { Currency, Money } from './money.ts';
import { costAtRate, money } from './money.ts';
import type { Room } from './rooms.ts';
import { roomCelsiusIn } from './rooms.ts';
import type { CareLibrary, Targets, TemperatureKind } from './species.ts';
import { speciesOf, targetsFor } from './species.ts';
import type { HeatLoss, LikelyRange, NoEstimate, WarmthQuestion } from './warmth.ts';
import { gainsOf, heatLossOf, holdWarmth, savingOf } from './warmth.ts';

/** Kinds of heater that warm the air of a box; one in water is none of them. */
export const AIR_HEATERS: ReadonlySet<FittingKind> = new Set(['heat-mat', 'ceramic-heater', 'radiant-panel']);

const LAMPS: ReadonlySet<FittingKind> = new Set(['uv-tube', 'uv-compact', 'basking-lamp']);

/** Hours of day where no lamp says how long it is: own assumption. */
export const USUAL_DAY_HOURS = 12;

/** The month of this number (1 to 12) that comes next, the present one included. */
export function comingMonth(today: PlainDate, number: number): PlainMonth {
  const present = monthOf(today);
  return addMonths(present, (number - monthOfYear(present) + 12) % 12);
}

/**
 * The mean air wanted by day and by night (°C): of each animal the middle of its targets, of several animals the warmest; null without any.
 * Where no night is known it is the day's.
 */
export function wantedAir(all: readonly Targets[]): { day: number; night: number; nightFrom: 'night' | 'day' } | null {
  const middles = (targets: Targets, kinds: readonly TemperatureKind[]) =>
    targets.temperatures.filter((one) => kinds.includes(one.kind)).map((one) => (one.low + one.high) / 2);
  const warmest = (kinds: readonly TemperatureKind[]) =>
    all
      .map((targets) => middles(targets, kinds))
      .filter((found) => found.length > 0)
      .map((found) => found.reduce((sum, one) => sum + one, 0) / found.length)
      .reduce<number | null>((most, one) => (most === null || one > most ? one : most), null);
  const [day, night] = [warmest(['warm-air', 'cool-end-air']), warmest(['night-air'])];
  if (day === null) return null;
  return { day, night: night ?? day, nightFrom: night === null ? 'day' : 'night' };
}

/** The hours of day in a box: as long as the lamp that burns longest; null when no lamp says. */
export function dayHoursOf(fittings: readonly Fitting[], on: PlainDate): number | null {
  const hours = fittings.flatMap((one) =>
    isFitted(one, on) && LAMPS.has(one.kind) && one.hoursPerDay !== null ? [one.hoursPerDay] : [],
  );
  return hours.length === 0 ? null : Math.max(...hours);
}

/** A box with its room on a day. */
export type InRoom = { setup: Setup; room: Room | null; library: CareLibrary; on: PlainDate };

/** Why warmth through the year cannot be told. */
export type WarmthUnknown = NoEstimate | 'room-unknown' | 'target-unknown' | 'no-regulated-heater' | 'watts-unknown';

/**
 * The watts of a heater that holds the mean air in the coldest month of the room: `watts` at the high end of the heat loss, `likely` at its
 * likely value, what lamps and pumps give taken off. 0 where none is needed.
 */
export type HeaterNeed =
  | { status: 'reckoned'; watts: number; likely: number; roomCelsius: number }
  | { status: 'unknown'; why: WarmthUnknown };

/** The heater a box takes as it stands, heaters in it left out: a new one must do alone. */
export function heaterNeeded(where: InRoom): HeaterNeed {
  const { room, on, setup } = where;
  if (room?.coldest == null) return { status: 'unknown', why: 'room-unknown' };
  const question = questionIn(where, comingMonth(on, room.coldest.month), room.coldest.celsius, null);
  if (question === null) return { status: 'unknown', why: 'target-unknown' };
  const held = holdWarmth(heatLossOf(setup.enclosure), question);
  if (held.status === 'cannot-be-estimated') return { status: 'unknown', why: held.why };
  const most = ({ day, night }: typeof held.likely) => Math.max(day.heaterMeanWatts, night.heaterMeanWatts);
  return {
    status: 'reckoned',
    watts: most(held.atHighLoss),
    likely: most(held.likely),
    roomCelsius: room.coldest.celsius,
  };
}

/**
 * How a box with the air heaters in it does in the coldest month of its room, at the likely heat loss: the watts it takes beside what lamps and
 * pumps give, those of its heaters, the mean air that is wanted at the harder hours and the most that is reached then.
 */
export type ColdestMonth =
  | {
      status: 'reckoned';
      neededWatts: number;
      heaterWatts: number;
      wantedCelsius: number;
      mostCelsius: number;
      roomCelsius: number;
    }
  | { status: 'unknown'; why: WarmthUnknown };

/** Reckons the coldest month of a box with all that is fitted in it. */
export function coldestMonthOf(where: InRoom): ColdestMonth {
  const { setup, room, on } = where;
  if (room?.coldest == null) return { status: 'unknown', why: 'room-unknown' };
  const heaters = setup.fittings.filter((one) => isFitted(one, on) && AIR_HEATERS.has(one.kind));
  if (heaters.some((one) => one.watts === null)) return { status: 'unknown', why: 'watts-unknown' };
  const heaterWatts = heaters.reduce((sum, one) => sum + one.watts!, 0);
  const question = questionIn(where, comingMonth(on, room.coldest.month), room.coldest.celsius, heaterWatts);
  if (question === null) return { status: 'unknown', why: 'target-unknown' };
  const held = holdWarmth(heatLossOf(setup.enclosure), question);
  if (held.status === 'cannot-be-estimated') return { status: 'unknown', why: held.why };
  const { day, night } = held.likely;
  const isDayHarder = day.wattsNeeded - day.wattsFromOthers >= night.wattsNeeded - night.wattsFromOthers;
  const [spell, { insideCelsius }] = isDayHarder ? [day, question.day] : [night, question.night];
  return {
    status: 'reckoned',
    neededWatts: Math.max(0, spell.wattsNeeded - spell.wattsFromOthers),
    heaterWatts,
    wantedCelsius: insideCelsius,
    mostCelsius: spell.mostCelsius!,
    roomCelsius: room.coldest.celsius,
  };
}

/**
 * What a warmer box saves in a mean month of the year, the room swinging between its coldest and its hottest month: kWh with its error, and
 * money at the low end, rounded down, null when the price is unknown or another purse pays. Never more than the heaters are counted to draw.
 */
export type YearSaving =
  | { status: 'saves'; kwh: LikelyRange<number>; cost: Money | null }
  | { status: 'unknown'; why: WarmthUnknown };

/**
 * What a box saves that loses `after` instead of what it loses now. Only a box whose air heaters all stand under thermostats saves: another
 * grows warmer instead.
 */
export function savingInYear(
  where: InRoom,
  after: HeatLoss,
  powerPrice: number | null | 'not-ours',
  currency: Currency,
): YearSaving {
  const { setup, room, on } = where;
  const before = heatLossOf(setup.enclosure);
  const fitted = setup.fittings.filter((one) => isFitted(one, on));
  const heaters = fitted.filter((one) => AIR_HEATERS.has(one.kind));
  const isRegulated = ({ id }: Fitting) => fitted.some((one) => one.kind === 'thermostat' && one.regulates === id);
  const unknown = (why: WarmthUnknown): YearSaving => ({ status: 'unknown', why });
  if (heaters.length === 0 || !heaters.every(isRegulated)) return unknown('no-regulated-heater');
  if (heaters.some((one) => one.watts === null || one.hoursPerDay === null)) return unknown('watts-unknown');
  if (before.status === 'cannot-be-estimated') return unknown(before.why);
  if (after.status === 'cannot-be-estimated') return unknown(after.why);
  if (room?.coldest == null || room.hottest === null) return unknown('room-unknown');
  const heaterWatts = heaters.reduce((sum, one) => sum + one.watts!, 0);
  const months = Array.from({ length: 12 }, (_, index) => addMonths(monthOf(on), index));
  const sum = { low: 0, likely: 0, high: 0 };
  let asked = 0;
  for (const month of months) {
    const question = questionIn(where, month, roomCelsiusIn(room, month)!, heaterWatts);
    if (question === null) continue;
    asked += 1;
    const saving = savingOf(before, after, question, null, currency);
    if (saving.status !== 'saves') return unknown('target-unknown');
    for (const end of ['low', 'likely', 'high'] as const) sum[end] += saving.kwh[end];
  }
  if (asked === 0) return unknown('target-unknown');
  // What the plan counts for power is rated watts times a duty; it cannot fall by more than that.
  const counted = heaters.reduce(
    (total, one) => total + (one.watts! * one.hoursPerDay! * (one.duty ?? 1) * DAYS_A_MONTH) / 1000,
    0,
  );
  const mean = (total: number) => Math.min(total / 12, counted);
  const kwh = { low: mean(sum.low), likely: mean(sum.likely), high: mean(sum.high) };
  const cost = typeof powerPrice === 'number' ? money(-costAtRate(powerPrice, -kwh.low, currency)) : null;
  return { status: 'saves', kwh, cost };
}

/**
 * A month of the coming year in which the room of a box keeps an animal from what it wants: the room is warmer than its coolest place may be,
 * warmer than its dated winter rest or cooling asks for, or so cold that the air heater that is fitted does not hold the mean air wanted.
 * Temperatures in °C; `mostCelsius` is the most that is likely reached.
 */
export type RoomMonth = { animalId: string; month: PlainMonth; roomCelsius: number } & (
  | { why: 'too-warm' | 'rest-too-warm'; kind: TemperatureKind; limit: number }
  | { why: 'heater-short'; wanted: number; mostCelsius: number }
);

/** The months that the room of a box spoils, in their order; none where nobody said how cold and how hot it becomes. */
export function monthsAgainstRoom(where: InRoom): RoomMonth[] {
  const { setup, room, library, on } = where;
  if (room?.coldest == null || room.hottest === null) return [];
  const loss = heatLossOf(setup.enclosure);
  const heaters = setup.fittings.filter((one) => isFitted(one, on) && AIR_HEATERS.has(one.kind));
  const watts = heaters.reduce<number | null>((sum, one) => (sum === null ? null : addWatts(sum, one.watts)), 0);
  const months = Array.from({ length: 12 }, (_, index) => addMonths(monthOf(on), index));
  return months.flatMap((month) => {
    const roomCelsius = roomCelsiusIn(room, month)!;
    const inMonth = setup.occupants.map((animal) => ({
      animal,
      species: speciesOf(library, animal),
      targets: targetsFor(speciesOf(library, animal), animal, month),
    }));
    const indoors = inMonth.filter(
      ({ targets }) => runInSeason(setup.fittings, targets.outdoors, firstDay(month)) === null,
    );
    const warm = indoors.flatMap(({ animal, targets }): RoomMonth[] => {
      const place = roomTooWarm(room, targets, month)?.place;
      if (place === undefined) return [];
      const why = targets.season === 'active' ? 'too-warm' : 'rest-too-warm';
      return [{ animalId: animal.id, month, roomCelsius, why, kind: place.kind, limit: place.high }];
    });
    const heated = indoors.filter(
      ({ species, targets }) => targets.season === 'active' && !species.neverPropose.includes('any-heater'),
    );
    if (heated.length === 0 || heaters.length === 0 || watts === null) return warm;
    const question = questionIn(where, month, roomCelsius, watts);
    const held = question === null ? null : holdWarmth(loss, question);
    if (question === null || held?.status !== 'estimated') return warm;
    const short = (['day', 'night'] as const).find((part) => held.likely[part].state === 'not-reached');
    const mostCelsius = short === undefined ? null : held.likely[short].mostCelsius;
    if (short === undefined || mostCelsius === null) return warm;
    const wanted = question[short].insideCelsius;
    return [
      ...warm,
      ...heated.map(
        ({ animal }): RoomMonth => ({
          ...{ animalId: animal.id, month, roomCelsius },
          ...{ why: 'heater-short', wanted, mostCelsius },
        }),
      ),
    ];
  });
}

const addWatts = (sum: number, watts: number | null) => (watts === null ? null : sum + watts);

function questionIn(
  { setup, library, on }: InRoom,
  month: PlainMonth,
  roomCelsius: number,
  heaterWatts: number | null,
): WarmthQuestion | null {
  const wanted = wantedAir(setup.occupants.map((one) => targetsFor(speciesOf(library, one), one, month)));
  if (wanted === null) return null;
  return {
    day: { insideCelsius: wanted.day, roomCelsius },
    night: { insideCelsius: wanted.night, roomCelsius },
    dayHours: dayHoursOf(setup.fittings, on) ?? USUAL_DAY_HOURS,
    gains: gainsOf(setup.fittings, on).gains,
    heaterWatts,
    evaporatedGrams: 0,
  };
}

// How warmth and damp are judged: each temperature in its own band at its own place, humidity by day and by night, the moist retreat, and the
// warmest that any amphibian is held for good.

import { monthOf, type PlainMonth } from './calendar.ts';
import type { FittingKind, ReadingKind } from './collection.ts';
import { HEATERS, influenceOf, isBroken } from './collection.ts';
import type { Known } from './evidence.ts';
import { ESTIMATE_WIDTH, knownOf, valueRange, widen } from './evidence.ts';
import type { Judging, NeedPart, Reason } from './judging.ts';
import {
  activeFittings,
  bandValue,
  certainty,
  full,
  isDangerous,
  isShort,
  knownInSeason,
  nothing,
  PRACTICE,
  part,
  runOutdoors,
} from './judging.ts';
import { SEVERE_BELOW } from './problem.ts';
import type { Room } from './rooms.ts';
import { roomCelsiusIn } from './rooms.ts';
import type { Cited, Species, Targets, TemperatureKind, TemperatureTarget } from './species.ts';
import { asksNothingOfAir } from './species.ts';

/**
 * The warmest that any amphibian is held for good, in degrees Celsius, and where that is set: for heat-sensitive tropical ones by law, and
 * no frog or salamander of the library has a target above it.
 */
export const AMPHIBIAN_LIMIT: { celsius: number } & Cited = {
  celsius: 26,
  source: 'at-amphibian-climate',
  grade: 'agreed-practice',
};

/** The least humidity of a moist hide, % (common practice, no source). */
export const MOIST_RETREAT = 70;

// The places that something has to warm, or a room that is as warm as they must be.
const WARM_PLACES: ReadonlySet<TemperatureKind> = new Set(['hot-spot-surface', 'warm-hide-floor', 'warm-air']);

/** The parts of heat: one a kind of temperature; out of doors in season a guess. */
export function judgeHeat(judging: Judging): NeedPart[] {
  const run = runOutdoors(judging);
  const targets = judging.targets.temperatures.filter((one) => one.kind !== 'body' && one.kind !== 'water');
  if (run !== null && targets.length > 0) {
    // In season the weather and the animal's own choice of sun and shade set the temperature; the ledger cannot know it.
    const guess = widen({ low: 75, high: 75, best: 75 }, ESTIMATE_WIDTH);
    return [part(guess, [{ why: 'outdoors-now' }], judging.targets.outdoors)];
  }
  return targets.flatMap((target): NeedPart[] => {
    const { kind } = target;
    const known = knownInSeason(judging, kind);
    if (known.status === 'unknown' && WARM_PLACES.has(kind) && judging.targets.season === 'active') {
      const { low, high } = target;
      const warmth = unreadWarmth(kind, low, judging);
      if (warmth.status === 'none')
        return [
          part(nothing, [{ why: 'no-heat-fitted', kind, low, high, elsewhere: warmth.elsewhere }], target, {
            severe: target.criticalBelow,
          }),
        ];
      const unread = judgeTemperature(target, known, kind, judging);
      if (warmth.from === null) return [unread];
      const { from } = warmth;
      return [
        {
          ...unread,
          reasons: unread.reasons.map((one) => (one.why === 'unknown-reading' ? { ...one, heatedFrom: from } : one)),
        },
      ];
    }
    return [judgeTemperature(target, known, kind, judging)];
  });
}

/** The warmest that a room nobody measured is taken to be, °C: what lived-in rooms are heated to at most (common practice, no source). */
const UNMEASURED_ROOM = 24;

function isRoomAsWarm(room: Room | null | undefined, celsius: number, month: PlainMonth): boolean {
  return ((room && roomCelsiusIn(room, month)) ?? UNMEASURED_ROOM) >= celsius;
}

/** The warm places of a box that its room alone may hold at the least of their targets in a month. */
export function warmedByRoom(
  room: Room | null | undefined,
  { temperatures }: Pick<Targets, 'temperatures'>,
  month: PlainMonth,
): TemperatureKind[] {
  const warm = temperatures.filter(({ kind, low }) => WARM_PLACES.has(kind) && isRoomAsWarm(room, low, month));
  return warm.map(({ kind }) => kind);
}

// Warm water warms the air above it; a mat warms what lies on it, and makes no basking place (common practice, no source).
function mayReach(heater: FittingKind, kind: ReadingKind): boolean {
  if (heater === 'water-heater') return kind === 'warm-air';
  return heater !== 'heat-mat' || kind !== 'hot-spot-surface';
}

// What can have warmed a place that was not read. Each kind of heater has the places it is known to warm; how far the warmth of one goes beyond
// them only a thermometer tells, so that the place is unknown then. `from` names such a heater. Nothing warms it where nothing heats and the
// room is not as warm as that, where what warmed it is broken, and where what heats cannot reach.
function unreadWarmth(
  kind: ReadingKind,
  low: number,
  judging: Judging,
): { status: 'perhaps'; from: string | null } | { status: 'none'; elsewhere: string[] } {
  const { setup, on } = judging;
  const active = activeFittings(judging);
  const heaters = active.filter((one) => HEATERS.has(one.kind));
  if (heaters.some((one) => influenceOf(one, active).includes(kind))) return { status: 'perhaps', from: null };
  const lost = setup.fittings.some(
    (one) =>
      isBroken(one) && one.brokenOn! <= on && HEATERS.has(one.kind) && influenceOf(one, setup.fittings).includes(kind),
  );
  const near = heaters.find((one) => mayReach(one.kind, kind));
  if (near !== undefined && !lost) return { status: 'perhaps', from: near.name };
  return isRoomAsWarm(setup.room, low, monthOf(on))
    ? { status: 'perhaps', from: null }
    : { status: 'none', elsewhere: [...new Set(heaters.map(({ name }) => name))] };
}

/** What may be the coolest place of a box, the first that a species has a target for. */
const COOLEST: readonly TemperatureKind[] = ['cool-end-air', 'warm-air', 'water', 'night-air'];

/** The target of the place of a box that may be the coolest; null where there is none. */
export function coolestPlace({ temperatures }: Pick<Targets, 'temperatures'>): TemperatureTarget | null {
  return COOLEST.flatMap((kind) => temperatures.find((one) => one.kind === kind) ?? [])[0] ?? null;
}

/**
 * The mean of a room in a month (°C) where it alone is warmer than the coolest place of a box in it may be; null where it is not, or nobody said
 * how the room is through the year.
 */
export function roomTooWarm(
  room: Room | null | undefined,
  targets: Pick<Targets, 'temperatures'>,
  month: PlainMonth,
): { celsius: number; place: TemperatureTarget } | null {
  const place = coolestPlace(targets);
  const celsius = room == null || place === null ? null : roomCelsiusIn(room, month);
  return place === null || celsius === null || celsius <= place.high ? null : { celsius, place };
}

const COOLERS: ReadonlySet<FittingKind> = new Set(['fan', 'chiller']);

// What a room makes of its coolest place in a month of which nothing was read: nothing in a box is cooler than its room without something that
// cools, or a way of cooling that is being tried out on paper.
function warmthOfRoom(target: TemperatureTarget, known: Known, kind: ReadingKind, judging: Judging): number | null {
  const { setup, targets, on } = judging;
  const found = roomTooWarm(setup.room, targets, monthOf(on));
  if (found === null || found.place !== target) return null;
  if (known.status === 'known') {
    if (known.value >= found.celsius) return null;
    if (known.from !== 'expected' && known.takenOn !== null && monthOf(known.takenOn) === monthOf(on)) return null;
  }
  const active = activeFittings(judging);
  if (active.some((one) => COOLERS.has(one.kind) && influenceOf(one, active).includes(kind))) return null;
  if (setup.readings.some((one) => one.kind === kind && one.onPaper === 'predicted' && one.takenOn <= on)) return null;
  return found.celsius;
}

/** One temperature against its target. */
export function judgeTemperature(
  target: TemperatureTarget,
  asKnown: Known,
  kind: ReadingKind,
  judging: Judging,
): NeedPart {
  const room = warmthOfRoom(target, asKnown, kind, judging);
  const known: Known = room === null ? asKnown : ofRoom(room);
  const strict = known.status === 'known' && known.value > target.high && target.toleranceAbove <= 1;
  const interval = valueRange(
    known,
    (reading) => bandValue(reading, target.low, target.high, target.toleranceBelow, target.toleranceAbove),
    strict,
  );
  const reasons = room === null || asKnown.status === 'unknown' ? certainty(asKnown, kind, interval) : [];
  if (known.status === 'unknown') return part(interval, reasons, target, { unknown: true });
  const side = known.value < target.low ? 'below' : known.value > target.high ? 'above' : null;
  if (room !== null) {
    const { low, high } = target;
    const { season } = judging.targets;
    reasons.unshift({
      why: 'room-too-warm',
      kind: target.kind,
      roomCelsius: room,
      low,
      high,
      month: monthOf(judging.on),
      season,
    });
  } else if (side !== null && interval.best < 100) {
    reasons.unshift({
      why: 'temperature-outside',
      kind: target.kind,
      side,
      reading: known.value,
      low: target.low,
      high: target.high,
    });
  }
  const critical = side === 'below' ? target.criticalBelow : side === 'above' ? target.criticalAbove : false;
  const wouldBe = critical && interval.best < SEVERE_BELOW;
  // A surface that is meant to be as hot as that is left in time; anything else as hot as the limit of life is a trap.
  const deadly = kind === 'hot-spot-surface' && side !== 'above' ? null : deadlyHeat(judging.targets);
  if (deadly !== null && known.value >= deadly.celsius) {
    reasons.unshift({ why: 'deadly-heat', kind: target.kind, reading: known.value, celsius: deadly.celsius });
    return part(nothing, reasons, deadly, { severe: true });
  }
  if (wouldBe && side === 'above' && isBeyondLimit(known, judging))
    return part(interval, reasons, AMPHIBIAN_LIMIT, { severe: true });
  return part(interval, reasons, target, { severe: isDangerous(wouldBe, target, reasons, judging) });
}

// The mean of a month says less than an instrument in the place: an estimate.
function ofRoom(value: number): Known {
  const from = 'estimated';
  return {
    status: 'known',
    value,
    highest: null,
    accuracy: 0,
    width: ESTIMATE_WIDTH,
    from,
    takenOn: null,
    light: null,
  };
}

/** The body temperature (°C) that ends the life of a species, an alarm and never a target; null where none is published. */
export function deadlyHeat({ hazards }: Pick<Species, 'hazards'>): ({ celsius: number } & Cited) | null {
  for (const { text: _, endsLifeAt, ...cited } of hazards)
    if (endsLifeAt !== undefined) return { celsius: endsLifeAt, ...cited };
  return null;
}

// Beyond what the law allows amphibians by as much as makes a strict target worth nothing.
function isBeyondLimit(known: Known, { targets }: Judging): boolean {
  if (targets.group !== 'frog' && targets.group !== 'salamander') return false;
  const { celsius } = AMPHIBIAN_LIMIT;
  return valueRange(known, (reading) => bandValue(reading, 0, celsius, 1, 1), true).best < SEVERE_BELOW;
}

/** The parts of humidity: by day, by night, and the moist retreat. */
export function judgeHumidity(judging: Judging): NeedPart[] {
  const { humidity } = judging.targets;
  if (asksNothingOfAir(humidity)) return [];
  if (runOutdoors(judging) !== null)
    return [part(widen({ low: 75, high: 75, best: 75 }, ESTIMATE_WIDTH), [{ why: 'outdoors-now' }], humidity)];
  const times = [
    { time: 'day' as const, kind: 'humidity-day' as const, band: humidity.day },
    ...(humidity.night === null
      ? []
      : [{ time: 'night' as const, kind: 'humidity-night' as const, band: humidity.night }]),
  ];
  const parts = times.map(({ time, kind, band }) => {
    const known = knownInSeason(judging, kind);
    const interval = valueRange(known, (reading) =>
      bandValue(reading, band.low, band.high, humidity.toleranceBelow, humidity.toleranceAbove),
    );
    const reasons = certainty(known, kind, interval);
    if (known.status === 'unknown') return part(interval, reasons, humidity, { unknown: true });
    const side = known.value < band.low ? 'below' : known.value > band.high ? 'above' : null;
    if (side !== null && interval.best < 100)
      reasons.unshift({ why: 'humidity-outside', time, side, reading: known.value, low: band.low, high: band.high });
    const wouldBe = humidity.lifeCritical && interval.best < SEVERE_BELOW;
    // What may not dry out dies of it within days; too damp is a slow harm.
    const severe = (side === 'below' ? isDangerous : isShort)(wouldBe, humidity, reasons, judging);
    return part(interval, reasons, humidity, { severe });
  });
  if (humidity.moistRetreat === 'required') {
    const present = activeFittings(judging).some((one) => one.kind === 'moist-hide');
    // Without the retreat the need is at most 40: a shortfall, yet ambient humidity still counts (common practice, no source).
    parts.push(present ? retreat() : part({ low: 40, high: 40, best: 40 }, [{ why: 'no-moist-retreat' }], humidity));
  }
  // As for a missing moist retreat; a species of damp air that needs it moving may have its vents in the front.
  const { neverPropose, habit } = judging.targets;
  if (
    neverPropose.includes('close-top') &&
    habit === 'climbing' &&
    !humidity.lifeCritical &&
    judging.setup.enclosure.top === 'closed'
  )
    parts.push(part({ low: 40, high: 40, best: 40 }, [{ why: 'still-air' }], PRACTICE));
  return parts;

  // A moist hide counts as moist until its air is measured; from 70 % RH it is (common practice, no source).
  function retreat(): NeedPart {
    const known = knownOf(judging.setup, 'humidity-retreat', judging.on, judging.knownOn);
    if (known.status === 'unknown') return part(full, [], humidity);
    const interval = valueRange(known, (reading) => bandValue(reading, MOIST_RETREAT, 100, 30, 30));
    const reasons: Reason[] =
      interval.best < 100 ? [{ why: 'retreat-dry', reading: known.value, wanted: MOIST_RETREAT }] : [];
    return part(interval, [...reasons, ...certainty(known, 'humidity-retreat', interval)], humidity);
  }
}

// How far what is known of a place can be trusted on a date: which reading still holds, what fitted things are expected to bring, and
// how age and guesswork widen the value. Knows nothing of species or targets.

import type { PlainDate } from './calendar.ts';
import { ageInMonths, daysBetween, monthOf, monthOfYear } from './calendar.ts';
import type { Collection, Fitting, LightCorrection, Reading, ReadingKind, Setup } from './collection.ts';
import { HEATERS, HIDES, influenceOf, isBroken, isFitted, isGuarded, UV_LAMPS } from './collection.ts';
import {
  BETWEEN_CASES,
  GUARD_SHARE,
  inQuadrature,
  isBetweenUnknown,
  METER_ERROR,
  meshShareOf,
  mistakeIn,
  uviOnAxis,
} from './light.ts';
import {
  ageShare,
  correctionFor,
  type EarlierReading,
  hasOwnFigures,
  type Lighting,
  lightingOf,
} from './light-scene.ts';
import { placesIn, spreadIn } from './lit-places.ts';

/**
 * What is known of one reading kind. `accuracy` is ± in the kept unit; `width` the points that age or guesswork add on each side. `highest`
 * is what an expected UVI was or will be with new lamps, which is what a ceiling is held against; null elsewhere. `light` says which readings
 * stand behind a UVI that the light model expects; null elsewhere.
 */
export type Known =
  | {
      status: 'known';
      value: number;
      highest: number | null;
      accuracy: number;
      width: number;
      from: 'measured' | 'estimated' | 'expected';
      takenOn: PlainDate | null;
      light: LightBehind | null;
    }
  | { status: 'unknown'; why: 'never-read' | 'box-changed' | 'thing-changed' | 'said-unknown' };

/**
 * What an expected UVI was corrected by: how many of the keeper's own readings of other lamps (0 where none was asked), and the day of an
 * earlier reading in this box that still holds for a lamp in it.
 */
type LightBehind = { ownReadings: number; readOn: PlainDate | null };

/** A value from 0 to 100 with the range it may lie in; `best` is the likeliest, not always the middle. */
export type Interval = { low: number; high: number; best: number };

/** Half-width in points of an estimate (scoring default of this ledger: common practice, no source). */
export const ESTIMATE_WIDTH = 25;

/** How many days a reading counts as fresh; afterwards its range widens day by day (common practice, no source). */
export const FRESH_DAYS = 30;
// A place far to the side of every lamp is told less well than one below: a third, an own assumption.
const CORNER_ERROR = 1 / 3;
// The lowest UV lies in a hide, a shadow or a corner, so that a coarse grid finds it: this many steps along the longer side.
const STEPS = 6;
/** Points by which the range of a reading grows on each side a day once it is no longer fresh (common practice, no source). */
export const POINTS_A_DAY = 0.15;
/** The most points that age adds on each side (common practice, no source). */
export const OLDEST_WIDTH = 22;

/** The error (±, kept unit) assumed of an instrument whose maker's figure was not entered (from memory; a UV meter's is a share). */
export function usualAccuracy(kind: ReadingKind, value: number): number {
  if (kind.startsWith('uvi')) return 0.1 * value;
  if (kind.startsWith('humidity')) return 5;
  return kind === 'water-depth' ? 5 : 1;
}

/**
 * What is known of a reading kind. The latest reading holds until a fitting that influences it is added, moved or retired; then what
 * the fittings are expected to bring takes its place. Without such an expectation it lives on as an estimate where something was only
 * added, and ends where its cause was moved or taken away; what was read on the day on which a heater went without another in its place counts
 * as read before. What a thermostat of a heater that is out of use was set to promises nothing. A replaced or moved box ends it altogether. What was read on the day on which
 * a cause broke counts as read before, and what was read while it was broken counts no more once it is replaced.
 * `on` is the day judged, `knownOn` the day up to which evidence ages, so that a forecast does not grow vague by itself.
 */
export function knownOf(setup: Setup, kind: ReadingKind, on: PlainDate, knownOn: PlainDate): Known {
  const active = setup.fittings.filter((one) => isFitted(one, on));
  const broken = setup.fittings.filter(
    (one) => one.brokenOn !== null && one.brokenOn <= on && influenceOf(one, setup.fittings).includes(kind),
  );
  const latest = latestOf(setup, kind, on, broken);
  let worked: Expectation | null | undefined;
  // Telling the light of a box takes far longer than finding out that a reading holds.
  const expected = () => {
    if (worked === undefined) worked = expectationOf(kind, active, setup, latest, on < knownOn ? on : knownOn);
    return worked;
  };
  const boxStands = latest !== null && latest.takenOn >= setup.enclosure.boxSince && latest.onPaper !== 'ended';
  if (latest !== null && boxStands && latest.value !== null && latest.evidence !== 'unknown') {
    const { changedOn, undoneOn, leftOn } = lastChange(setup, kind, on);
    const leftThen = latest.onPaper === undefined && leftOn === latest.takenOn;
    const brokeAfter = broken.some((one) => isBroken(one) && one.brokenOn! >= latest.takenOn);
    // A prediction says what an adjustment will bring; a thing fitted together with it, or later, was adjusted itself.
    const stale =
      latest.onPaper === 'predicted'
        ? (expected()?.since ?? '') >= latest.takenOn
        : latest.onPaper !== undefined || brokeAfter || leftThen || (changedOn !== null && changedOn > latest.takenOn);
    if (!stale) return fromReading(latest, kind, knownOn);
    const instead = expected();
    if (instead !== null) return instead.known;
    const undone =
      latest.onPaper === 'undone' || brokeAfter || leftThen || (undoneOn !== null && undoneOn > latest.takenOn);
    if (undone) return { status: 'unknown', why: 'thing-changed' };
    return { ...fromReading(latest, kind, knownOn), width: ESTIMATE_WIDTH, from: 'estimated' };
  }
  const instead = expected();
  if (instead !== null) return instead.known;
  if (latest === null) return { status: 'unknown', why: 'never-read' };
  return { status: 'unknown', why: latest.evidence === 'unknown' ? 'said-unknown' : 'box-changed' };
}

/**
 * A collection without the readings that later ones have taken the place of on a day and ever after: of each kind in each enclosure only the
 * newest counts, in each month of the year where an animal there has seasons. What was read where a thing broke is left as it is.
 */
export function withoutOutdated(collection: Collection, on: PlainDate): Collection {
  const seasonal = new Set(collection.animals.filter((one) => one.seasons.length > 0).map((one) => one.enclosureId));
  const broke = new Set(collection.fittings.filter((one) => one.brokenOn !== null).map((one) => one.enclosureId));
  const placeOf = ({ enclosureId, kind, takenOn }: Reading) =>
    `${enclosureId} ${kind} ${seasonal.has(enclosureId) ? monthOfYear(monthOf(takenOn)) : ''}`;
  const newest = new Map<string, PlainDate>();
  for (const one of collection.readings) {
    const place = placeOf(one);
    if (one.takenOn <= on && one.takenOn > (newest.get(place) ?? '')) newest.set(place, one.takenOn);
  }
  const counts = (one: Reading) => broke.has(one.enclosureId) || one.takenOn >= (newest.get(placeOf(one)) ?? '');
  return { ...collection, readings: collection.readings.filter(counts) };
}

/**
 * The value of something known, with its range. Inside the instrument's error the value does not fall: the likeliest is the best value
 * within ± accuracy of the reading, and its ends are what that would be for readings lower and higher by the same error. Where the limit is strict, the reading counts as it stands and the low end
 * is the worst within ± accuracy. An expected value counts as it stands too: what may be wrong with a model is no excuse for what it says,
 * and its range is the wider of its error and its width. `valueAt` gives the value of an exact reading.
 */
export function valueRange(known: Known, valueAt: (reading: number) => number, strict = false): Interval {
  if (known.status === 'unknown') return { low: 0, high: 100, best: 50 };
  const { value, accuracy, width } = known;
  const inner = spread(valueAt, value, accuracy);
  if (known.from === 'expected' && accuracy > 0) {
    const best = valueAt(value);
    const wide = widen({ low: best, high: best, best }, width);
    return { low: Math.min(inner.low, wide.low), high: Math.max(inner.high, wide.high), best };
  }
  if (strict) return { low: Math.max(0, inner.low - width), high: valueAt(value), best: valueAt(value) };
  // A value function rises to its best and falls from it, so that the worst of the shifted readings is at one of the two ends.
  const shifted = (by: number) => spread(valueAt, value + by, accuracy).high;
  const low = Math.min(shifted(-accuracy), shifted(accuracy));
  return widen({ low, high: spread(valueAt, value, 2 * accuracy).high, best: inner.high }, width);
}

/**
 * How far past its life the youngest of some fittings is, as a share of that life: 0 within it, 1 at twice its life. What was measured
 * after the end of its life shows what it still gives, so only the time since `measuredOn` counts then.
 */
export function overdueShare(fittings: Fitting[], on: PlainDate, measuredOn: PlainDate | null = null): number {
  const shares = fittings.map((one) => {
    if (one.lifeMonths === null) return 0;
    const past = ageInMonths(one.fittedOn, on) - one.lifeMonths;
    const unseen = measuredOn === null ? past : Math.min(past, ageInMonths(measuredOn, on));
    return Math.max(0, unseen) / one.lifeMonths;
  });
  return shares.length === 0 ? 0 : Math.min(...shares);
}

/** A range widened by some points on each side and held to 0-100. */
export function widen(interval: Interval, points: number): Interval {
  return {
    low: Math.max(0, interval.low - points),
    high: Math.min(100, interval.high + points),
    best: interval.best,
  };
}

function fromReading(reading: Reading, kind: ReadingKind, knownOn: PlainDate): Known & { status: 'known' } {
  const value = reading.value ?? 0;
  const accuracy = reading.accuracy ?? usualAccuracy(kind, value);
  const base = { status: 'known' as const, value, highest: null, accuracy, takenOn: reading.takenOn, light: null };
  if (reading.evidence === 'estimated') return { ...base, width: ESTIMATE_WIDTH, from: 'estimated' };
  const days = Math.max(0, daysBetween(reading.takenOn, knownOn) - FRESH_DAYS);
  return { ...base, width: Math.min(OLDEST_WIDTH, days * POINTS_A_DAY), from: 'measured' };
}

// The reading of a kind that was taken last, but for those taken while a thing that was renewed since was broken.
function latestOf(setup: Setup, kind: ReadingKind, on: PlainDate, broken: readonly Fitting[]): Reading | null {
  return setup.readings
    .filter((one) => one.kind === kind && one.takenOn <= on && !broken.some((thing) => wasBroken(thing, one, on)))
    .reduce<Reading | null>((newest, one) => (newest === null || one.takenOn >= newest.takenOn ? one : newest), null);
}

type Expectation = { known: Known & { status: 'known' }; since: PlainDate };

function expectationOf(
  kind: ReadingKind,
  active: Fitting[],
  setup: Setup,
  latest: Reading | null,
  asOf: PlainDate,
): Expectation | null {
  const expected = (value: number, since: PlainDate): Expectation => ({
    known: {
      status: 'known',
      value,
      highest: null,
      accuracy: 0,
      width: ESTIMATE_WIDTH,
      from: 'expected',
      takenOn: null,
      light: null,
    },
    since,
  });
  // What holds or switches something that is out of use brings nothing about.
  const works = ({ regulates }: Fitting) => regulates === null || active.some((one) => one.id === regulates);
  const stated = active
    .filter(works)
    .flatMap((one) =>
      one.expects.filter((each) => each.reading === kind).map((each) => ({ ...each, since: one.fittedOn })),
    );
  if (stated.length > 0) {
    // The thing fitted last was chosen and adjusted with the others in place; of two fitted together the stronger is felt.
    const newest = stated.reduce((a, b) => (b.since > a.since || (b.since === a.since && b.value > a.value) ? b : a));
    return expected(newest.value, newest.since);
  }
  if (kind !== 'uvi-basking' && kind !== 'uvi-lowest') return null;
  const lamps = active.filter((one) => UV_LAMPS.has(one.kind));
  if (lamps.length === 0) return null;
  const since = lamps.map((one) => one.fittedOn).sort()[lamps.length - 1]!;
  const behind = { correction: earlierReading(setup, latest, asOf), keeper: setup.lightCorrection ?? null };
  const known = expectedLight(kind, active, setup, behind, asOf);
  return known === null ? null : { known, since };
}

type Behind = { correction: EarlierReading | null; keeper: LightCorrection | null };

// What the light model expects of lamps: in their places where those are known, else at their stated distances.
function expectedLight(
  kind: 'uvi-basking' | 'uvi-lowest',
  active: Fitting[],
  setup: Setup,
  behind: Behind,
  asOf: PlainDate,
): (Known & { status: 'known' }) | null {
  const lamps = active.filter((one) => UV_LAMPS.has(one.kind));
  const known = lamps.every((one) => one.placed !== null) ? expectedInPlaces(kind, active, setup, behind, asOf) : null;
  if (known !== null) return known;
  if (kind === 'uvi-lowest') return null;
  // A compact lamp's packaging says little of what reaches the animal; it stays unknown until a meter has been held under it.
  const telling = (one: Fitting) =>
    one.kind === 'uv-tube' &&
    one.lamp !== null &&
    one.distanceMm !== null &&
    one.distanceMm > 0 &&
    !isUnusable(one) &&
    !isBetweenUnknown(one);
  if (!lamps.every(telling)) return null;
  let [fresh, aged, error] = [0, 0, 0];
  for (const one of lamps) {
    const keeper = hasOwnFigures(one.lamp!) ? null : behind.keeper;
    const share =
      meshShareOf(one.lamp!, one.meshShare) *
      (isGuarded(one, active) ? GUARD_SHARE : 1) *
      correctionFor(one.lamp!, keeper);
    const uvi = uviOnAxis(one.lamp!, one.distanceMm!) * share;
    const now = uvi * ageShare(one, asOf);
    fresh += uvi;
    aged += now;
    error += now * (keeper === null ? 0 : keeper.error);
  }
  const ownReadings = lamps.every((one) => hasOwnFigures(one.lamp!)) ? 0 : (behind.keeper?.from ?? 0);
  return {
    status: 'known',
    value: aged,
    highest: fresh,
    accuracy: error,
    width: ESTIMATE_WIDTH,
    from: 'expected',
    takenOn: null,
    light: { ownReadings, readOn: null },
  };
}

/**
 * The UVI at the basking place that the light model alone expects on a day, corrected by nothing: what the keeper's readings are held
 * against when they are asked how far it is to be corrected. Null where it cannot tell, and where one of the lamps has a reading of its own.
 */
export function uncorrectedUvi(setup: Setup, on: PlainDate): number | null {
  const active = setup.fittings.filter((one) => isFitted(one, on));
  const lamps = active.filter((one) => UV_LAMPS.has(one.kind));
  const read = earlierReading(setup, latestOf(setup, 'uvi-basking', on, []), on);
  if (lamps.length === 0 || lamps.some((one) => read?.lampIds.has(one.id) || (one.lamp && hasOwnFigures(one.lamp))))
    return null;
  return expectedLight('uvi-basking', active, setup, { correction: null, keeper: null }, on)?.value ?? null;
}

/**
 * Lamps of which nobody looked what is between them and the animal, and the UVI at the basking place under an insect screen (`low`) and with
 * nothing between (`high`); under glass it is none. The figures are null where the light is unknown for other causes too. Null where a
 * reading holds or every lamp was looked at.
 */
export function lightBetween(
  setup: Setup,
  on: PlainDate,
): { lamps: Fitting[]; uvi: { low: number; high: number } | null } | null {
  const lamps = setup.fittings.filter((one) => UV_LAMPS.has(one.kind) && isFitted(one, on) && isBetweenUnknown(one));
  if (lamps.length === 0 || knownOf(setup, 'uvi-basking', on, on).status === 'known') return null;
  const [high, low] = BETWEEN_CASES.map((meshShare) => {
    const fittings = setup.fittings.map((one) => (lamps.includes(one) ? { ...one, meshShare } : one));
    const known = knownOf({ ...setup, fittings }, 'uvi-basking', on, on);
    return known.status === 'known' ? known.value : null;
  });
  return { lamps, uvi: low == null || high == null ? null : { low, high } };
}

/**
 * The light of an enclosure on a day: a reading at the basking place that holds wins over the model, what an earlier one made of its lamps
 * goes on, and the keeper's other readings correct the rest.
 */
export function lightIn(setup: Setup, on: PlainDate): Lighting {
  const known = knownOf(setup, 'uvi-basking', on, on);
  const { enclosure: box, fittings } = setup;
  const reading =
    known.status === 'known' && known.from === 'measured' && known.takenOn !== null
      ? { uvi: known.value, takenOn: known.takenOn, accuracy: known.accuracy, placeId: null }
      : null;
  const latest = latestOf(setup, 'uvi-basking', on, []);
  const correction = reading === null ? earlierReading(setup, latest, on) : null;
  return lightingOf({ box, fittings, on, reading, correction, keeper: setup.lightCorrection ?? null });
}

/**
 * The UV lamps of an enclosure whose figures are those of a class alone: their makers gave none, and since they hang there no UV index was
 * measured at the basking place.
 */
export function lampsOfClass(setup: Setup, on: PlainDate): Fitting[] {
  const latest = latestOf(setup, 'uvi-basking', on, []);
  const readOn = latest?.evidence === 'measured' && latest.value !== null ? latest.takenOn : null;
  return setup.fittings.filter(
    (one) =>
      UV_LAMPS.has(one.kind) &&
      isFitted(one, on) &&
      one.lamp?.from === 'class' &&
      (readOn === null || readOn < one.fittedOn),
  );
}

// What a reading made of the light model on its own day, and of which lamps. What is tried out on the very day of a reading comes after it.
function earlierReading(setup: Setup, latest: Reading | null, asOf: PlainDate): EarlierReading | null {
  if (latest === null || latest.evidence !== 'measured' || latest.value === null) return null;
  const { takenOn, onPaper } = latest;
  const ratio = lightRatioOf(setup, latest);
  if (ratio === null) return null;
  const tried = onPaper !== undefined && takenOn >= asOf;
  const lamps = setup.fittings.filter(
    (one) => UV_LAMPS.has(one.kind) && (tried ? one.fittedOn < takenOn : one.fittedOn <= takenOn),
  );
  return { ratio, takenOn, lampIds: new Set(lamps.map((one) => one.id)) };
}

/**
 * How many times the UVI of the light model, corrected by nothing, a reading at the basking place was: as it was worked out before something
 * changed, else from how things stand. Null when places or lamps are not known well enough to say, and when anything it hangs on was
 * moved since or the box is another.
 */
export function lightRatioOf(setup: Setup, reading: Reading): number | null {
  if (reading.lightRatio !== undefined) return reading.lightRatio;
  const { takenOn, value, accuracy } = reading;
  if (value === null || reading.evidence !== 'measured' || setup.enclosure.boxSince > takenOn) return null;
  const there = setup.fittings.filter((one) => isFitted(one, takenOn));
  if (there.some((one) => one.placed !== null && one.movedOn !== null && one.movedOn > takenOn)) return null;
  const scene = lightingOf({
    box: setup.enclosure,
    fittings: there,
    on: takenOn,
    reading: { uvi: value, takenOn, accuracy, placeId: null },
  });
  return scene.status === 'lit' ? (scene.recalibrated?.ratio ?? null) : null;
}

/**
 * What the UVIs read in a box make of the light model as things stand, for those of which it is not kept yet: to be kept with them before
 * anything there is moved, renewed or given a new box, because it cannot be worked out any more afterwards.
 */
export function ratiosToKeep(setup: Setup): { readingId: string; lightRatio: number }[] {
  return setup.readings.flatMap((one) => {
    if (one.kind !== 'uvi-basking' || one.lightRatio !== undefined) return [];
    const lightRatio = lightRatioOf(setup, one);
    return lightRatio === null ? [] : [{ readingId: one.id, lightRatio }];
  });
}

function isUnusable({ lamp }: Fitting): boolean {
  const mistake = lamp === null ? null : mistakeIn(lamp);
  return mistake !== null && !(mistake === 'uvi-not-above-zero' && lamp?.uvi === 0 && lamp.more.length === 0);
}

// What lamps whose places are known bring to the places of a box. A lamp ages up to the day to which evidence ages: in a forecast it is
// renewed in time or told to be past its life.
function expectedInPlaces(
  kind: 'uvi-basking' | 'uvi-lowest',
  active: Fitting[],
  setup: Setup,
  behind: Behind,
  asOf: PlainDate,
): (Known & { status: 'known' }) | null {
  const basks = active.some((one) => one.placed !== null && (one.kind === 'basking-place' || one.kind === 'perch'));
  if (kind === 'uvi-basking' && !basks) return null;
  // Plants and docks shade in a way the model does not tell, and a hide that stands nobody knows where is dark all the same.
  const untold = active.some(
    (one) => one.kind === 'plants' || one.kind === 'dry-dock' || (HIDES.has(one.kind) && one.placed === null),
  );
  if (kind === 'uvi-lowest' && untold) return null;
  const correction = kind === 'uvi-basking' ? behind.correction : null;
  // What a forecast fits after the day to which evidence ages is new on that day.
  const fittings = active.map((one) => (one.fittedOn > asOf ? { ...one, fittedOn: asOf } : one));
  const scene = lightingOf({ box: setup.enclosure, fittings, on: asOf, correction, keeper: behind.keeper });
  if (scene.status !== 'lit') return null;
  const carried = correction !== null && scene.lamps.some((one) => correction.lampIds.has(one.fitting.id));
  const light = {
    ownReadings: scene.lamps.reduce((most, one) => Math.max(most, one.keeper?.from ?? 0), 0),
    readOn: carried ? correction.takenOn : null,
  };
  const told = { status: 'known' as const, from: 'expected' as const, takenOn: null, light };
  if (kind === 'uvi-lowest') {
    const { retreat } = spreadIn(scene, [], Math.max(setup.enclosure.lengthMm, setup.enclosure.depthMm) / STEPS);
    // That no light enters a solid hide is certain; how much reaches a lit corner is not.
    if (retreat.status === 'yes') return { ...told, value: 0, highest: null, accuracy: 0, width: 0 };
    if (retreat.status !== 'no') return null;
    const { lowest } = retreat;
    return { ...told, value: lowest, highest: null, accuracy: lowest * CORNER_ERROR, width: ESTIMATE_WIDTH };
  }
  const places = placesIn(scene).filter((one) => one.kind === 'basking-place' || one.kind === 'perch');
  const strongest = places.reduce((a, b) => (b.fresh.most > a.fresh.most ? b : a));
  const { aged, fresh, error } = strongest;
  return {
    ...told,
    value: aged.aimed,
    highest: fresh.most,
    accuracy: aged.aimed * (!carried ? error : inQuadrature([{ share: error }, { share: METER_ERROR }])),
    width: ESTIMATE_WIDTH,
  };
}

// The last day on which anything with an influence on a reading was fitted, moved or retired, the last on which a cause of it was moved or
// retired, and the last on which a heater was retired without another in its place: what was read on that day was still warmed by it.
function lastChange(
  setup: Setup,
  kind: ReadingKind,
  on: PlainDate,
): { changedOn: PlainDate | null; undoneOn: PlainDate | null; leftOn: PlainDate | null } {
  const causes = setup.fittings.filter((one) => one.fittedOn <= on && influenceOf(one, setup.fittings).includes(kind));
  const latest = (days: (PlainDate | null)[]) =>
    days.reduce((last, day) => (day !== null && day <= on && (last === null || day > last) ? day : last), null);
  const undone = causes.flatMap((one) => [one.movedOn, one.retiredOn]);
  const heaters = causes.filter((one) => HEATERS.has(one.kind));
  const leftOn = latest(heaters.map((one) => one.retiredOn));
  const isReplaced = heaters.some((one) => one.fittedOn === leftOn && isFitted(one, on));
  return {
    changedOn: latest([...undone, ...causes.map((one) => one.fittedOn)]),
    undoneOn: latest(undone),
    leftOn: isReplaced ? null : leftOn,
  };
}

// Whether a thing that is in use again was broken when something was read.
function wasBroken(thing: Fitting, { takenOn }: Reading, on: PlainDate): boolean {
  return !isBroken(thing) && thing.brokenOn! <= takenOn && takenOn < thing.fittedOn && thing.fittedOn <= on;
}

function spread(valueAt: (reading: number) => number, reading: number, by: number): { low: number; high: number } {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let step = -8; step <= 8; step++) {
    const value = valueAt(reading + (by * step) / 8);
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return { low, high };
}

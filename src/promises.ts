// What an upgrade promised when it was fitted, what instruments say of it afterwards, what to look at first where it falls short, and how
// far this keeper's later promises should be corrected. Knows nothing of scores.
//
// A promise is what the keeper was told, corrections included, and is held against the reading. What the readings say of the light model
// is found from what the model alone said at that time, which is kept beside the promise: were it found from corrected promises, every
// correction would be learnt a second time. So lamps that always give 0.8 of the model are corrected towards 0.8, never towards 0.64. A lamp
// with a reading of its own, under it or in its box, teaches nothing of other lamps, and is corrected by that reading alone.

import type { PlainDate } from './calendar.ts';
import { addDays, daysBetween } from './calendar.ts';
import type { Collection, Fitting, LightCorrection, Reading, ReadingKind, Setup } from './collection.ts';
import { influenceOf, isFitted, isGuarded, setupOf, UV_LAMPS } from './collection.ts';
import { knownOf, uncorrectedUvi, usualAccuracy } from './evidence.ts';
import { errorTerms, inQuadrature, LAMPS_DIFFER, sourceOf } from './light.ts';
import { ageShare } from './light-scene.ts';
import type { CareLibrary } from './species.ts';
import type { Upgrade } from './upgrades.ts';
import { applyUpgrades, readingsAfter } from './upgrades.ts';

/**
 * A reading that an upgrade promises in an enclosure, in the kept unit, with its error (±, kept unit). `model` is the UVI at the basking
 * place that the light model alone said of lamps without a reading of their own; null elsewhere.
 */
export type Promised = {
  upgradeId: string;
  enclosureId: string;
  kind: ReadingKind;
  predicted: number;
  error: number;
  madeOn: PlainDate;
  model: number | null;
};

/** Hours that a new UV tube burns before its reading counts. From memory; common practice. */
export const SETTLING_HOURS = 100;

/** Hours a day that a UV tube is taken to burn when nobody said: an own assumption. */
const USUAL_UV_HOURS = 12;

/** How many further compared readings it takes to trust a correction by half: an own assumption, so that one odd reading moves little. */
const DOUBT = 2;

/** ± share of a promised UVI that no lamp of known output stands behind: an own assumption, as for places well to the side of a tube. */
const UVI_ERROR_SHARE = 0.25;

/**
 * What the set-up promises with an upgrade, of the readings to be taken afterwards: what its things are expected to bring and what it
 * predicts itself. What nothing was said about is not promised. Give it the collection as it was before.
 */
export function promisesOf(upgrade: Upgrade, collection: Collection, on: PlainDate): Promised[] {
  const after = applyUpgrades(collection, [upgrade], on);
  return readingsAfter(upgrade, collection).flatMap(({ enclosureId, readings }) => {
    if (!after.enclosures.some((one) => one.id === enclosureId)) return [];
    const setup = setupOf(after, enclosureId);
    return readings.flatMap((kind): Promised[] => {
      const known = knownOf(setup, kind, on, on);
      if (known.status === 'unknown') return [];
      // An older reading that lives on as an estimate promises nothing; an adjustment's own prediction does.
      const predicts = upgrade.changes.some(
        (one) => one.change === 'predict' && one.enclosureId === enclosureId && one.reading === kind,
      );
      if (known.from !== 'expected' && !(known.from === 'estimated' && predicts)) return [];
      const { value } = known;
      const keeper = known.light === null || known.light.ownReadings === 0 ? null : (setup.lightCorrection ?? null);
      const error = Math.hypot(errorOf(setup, kind, value, on), value * (keeper?.error ?? 0));
      const model = kind === 'uvi-basking' ? uncorrectedUvi(setup, on) : null;
      return [{ upgradeId: upgrade.id, enclosureId, kind, predicted: value, error, madeOn: on, model }];
    });
  });
}

// Temperatures ± 2 °C, humidity ± 10 points, depth ± 10 mm are own assumptions: what was asked of a thermostat or a bowl is not exact.
function errorOf(setup: Setup, kind: ReadingKind, value: number, on: PlainDate): number {
  if (kind.startsWith('humidity')) return 10;
  if (kind === 'water-depth') return 10;
  if (!kind.startsWith('uvi')) return 2;
  const shares = uvLamps(setup.fittings, on).flatMap((one) =>
    one.lamp === null || one.distanceMm === null
      ? []
      : [
          inQuadrature(
            errorTerms(one.lamp, sourceOf(one.lamp), one.distanceMm + one.lamp.datumOffsetMm, 0, {
              mesh: one.meshShare ?? 1,
              guard: 1,
            }).filter((term) => term.of !== 'meter'),
          ),
        ],
  );
  return value * (shares.length === 0 ? UVI_ERROR_SHARE : Math.max(...shares));
}

/**
 * What became of a promise. 'awaiting': nobody measured since. 'overtaken': something else that touches the reading changed before
 * anybody measured, so the promise can no longer be held against one. 'read': `difference` is measured less promised (kept unit),
 * `combinedError` both errors together (±), `settled` false where a new UV tube had not burnt long enough, `held` whether a thermostat
 * holds this reading, `aged` the share of what its lamps gave on the day of the promise that age leaves of them on the day of the reading.
 */
export type Delivery = { promised: Promised } & (
  | { status: 'awaiting' }
  | { status: 'overtaken'; on: PlainDate }
  | {
      status: 'read';
      measured: number;
      takenOn: PlainDate;
      difference: number;
      combinedError: number;
      within: boolean;
      settled: boolean;
      held: boolean;
      aged: number;
      check: ShortfallCheck[];
    }
);

/** What to look at where a promise was not kept, in this order. */
export type ShortfallCheck =
  | 'settling'
  | 'distance'
  | 'mesh'
  | 'datum'
  | 'guard'
  | 'probe'
  | 'meter'
  | 'age'
  | 'room'
  | 'vents';

/**
 * Holds each promise against the first measured reading of its kind in its enclosure on or after the day it was made; for a new UV tube
 * the first after it has settled, or until then the first of all.
 */
export function deliveriesOf(promised: readonly Promised[], collection: Collection): Delivery[] {
  return promised.flatMap((one): Delivery[] => {
    if (!collection.enclosures.some((box) => box.id === one.enclosureId)) return [];
    return [deliver(one, setupOf(collection, one.enclosureId))];
  });
}

function deliver(promised: Promised, setup: Setup): Delivery {
  const { kind, madeOn } = promised;
  const overtakenOn = nextChange(setup, kind, madeOn);
  const readings = setup.readings
    .filter(
      (one): one is Reading & { value: number } =>
        one.kind === kind && one.evidence === 'measured' && one.value !== null && one.takenOn >= madeOn,
    )
    .filter((one) => overtakenOn === null || one.takenOn < overtakenOn)
    .toSorted((a, b) => (a.takenOn < b.takenOn ? -1 : a.takenOn > b.takenOn ? 1 : 0));
  const settledOn = kind.startsWith('uvi') ? settlingEnds(setup, madeOn) : madeOn;
  const reading = readings.find((one) => one.takenOn >= settledOn) ?? readings[0];
  if (reading === undefined)
    return overtakenOn === null ? { promised, status: 'awaiting' } : { promised, status: 'overtaken', on: overtakenOn };
  const { value: measured, takenOn } = reading;
  const accuracy = reading.accuracy ?? usualAccuracy(kind, measured);
  const difference = measured - promised.predicted;
  const combinedError = Math.hypot(promised.error, accuracy);
  // A tolerance for rounding alone: 1.0 away with an error of 1.0 is within.
  const within = Math.abs(difference) <= combinedError * (1 + 1e-9);
  const settled = takenOn >= settledOn;
  const active = setup.fittings.filter((one) => isFitted(one, takenOn));
  return {
    promised,
    status: 'read',
    measured,
    takenOn,
    difference,
    combinedError,
    within,
    settled,
    held: active.some((one) => one.kind === 'thermostat' && influenceOf(one, active).includes(kind)),
    aged: kind === 'uvi-basking' ? agedBetween(uvLamps(setup.fittings, takenOn), madeOn, takenOn) : 1,
    check: within ? [] : checksFor(kind, active, settled),
  };
}

// Several lamps together by the mean of what is left of each, since what each gives of a reading nobody kept.
function agedBetween(lamps: readonly Fitting[], from: PlainDate, to: PlainDate): number {
  if (lamps.length === 0) return 1;
  const left = (lamp: Fitting) => ageShare(lamp, to) / ageShare(lamp, from < lamp.fittedOn ? lamp.fittedOn : from);
  return lamps.reduce((sum, one) => sum + left(one), 0) / lamps.length;
}

// The first day after a promise on which anything that touches the reading was fitted, moved or taken out, or the box was replaced.
function nextChange(setup: Setup, kind: ReadingKind, madeOn: PlainDate): PlainDate | null {
  const days = setup.fittings
    .filter((one) => influenceOf(one, setup.fittings).includes(kind))
    .flatMap((one) => [one.fittedOn, one.movedOn, one.retiredOn]);
  const later = [...days, setup.enclosure.boxSince].filter((day): day is PlainDate => day !== null && day > madeOn);
  return later.toSorted()[0] ?? null;
}

function settlingEnds(setup: Setup, madeOn: PlainDate): PlainDate {
  const fresh = uvLamps(setup.fittings, madeOn).filter((one) => one.kind === 'uv-tube' && one.fittedOn === madeOn);
  const days = fresh.map((one) => Math.ceil(SETTLING_HOURS / Math.max(1, one.hoursPerDay ?? USUAL_UV_HOURS)));
  return addDays(madeOn, Math.max(0, ...days));
}

function checksFor(kind: ReadingKind, active: Fitting[], settled: boolean): ShortfallCheck[] {
  if (kind.startsWith('uvi')) {
    const lamps = active.filter((one) => one.kind.startsWith('uv-'));
    const guarded = lamps.some((lamp) => isGuarded(lamp, active));
    const meshed = lamps.some((one) => one.meshShare !== 1);
    return [
      ...(settled ? [] : (['settling'] as const)),
      'distance',
      ...(meshed ? (['mesh'] as const) : []),
      'datum',
      ...(guarded ? (['guard'] as const) : []),
      'meter',
      'age',
    ];
  }
  if (kind.startsWith('humidity')) return ['probe', 'vents', 'room'];
  if (kind === 'water-depth') return ['meter'];
  return kind === 'hot-spot-surface'
    ? ['distance', 'probe', 'meter', 'room', 'age']
    : ['probe', 'meter', 'room', 'age'];
}

function uvLamps(fittings: readonly Fitting[], on: PlainDate): Fitting[] {
  return fittings.filter((one) => UV_LAMPS.has(one.kind) && isFitted(one, on));
}

/** The readings that a fitted upgrade still waits for: to be taken since its day and not measured since. */
export function awaitedReadings(
  upgrade: Upgrade,
  fittedOn: PlainDate,
  collection: Collection,
  library: CareLibrary | null = null,
): { enclosureId: string; kind: ReadingKind }[] {
  return readingsAfter(upgrade, collection, library).flatMap(({ enclosureId, readings }) =>
    readings
      .filter(
        (kind) =>
          !collection.readings.some(
            (one) =>
              one.enclosureId === enclosureId &&
              one.kind === kind &&
              one.evidence === 'measured' &&
              one.takenOn >= fittedOn,
          ),
      )
      .map((kind) => ({ enclosureId, kind })),
  );
}

/**
 * What was measured over what the light model alone said, so far: `factor` as it is, `shrunk` drawn towards 1 while few were compared
 * (`from`), with its own error (± share).
 */
type UvCorrection = { factor: number; shrunk: number; error: number; from: number };

/** By how much (kept unit) thermostat-held readings of a kind lay off their promise: `mean` as it is, `shrunk` drawn towards 0. */
type ShiftCorrection = { mean: number; shrunk: number; from: number };

/** How far a keeper's own readings correct promises; without compared readings there is nothing to correct. */
export type Correction = {
  uv: UvCorrection | null;
  temperatures: Partial<Record<ReadingKind, ShiftCorrection>>;
};

/**
 * What the promises compared so far say of the next ones. UV at the basking place: the geometric mean of measured over what the light
 * model alone said with the lamps as old as they were, of settled lamps, to the power of n / (n + 2); a lamp that gave nothing at all is a fault and does not count. Its error
 * is that of a mean of n + 2 lamps, two of which were never seen: s / sqrt(n + 2), where s2 is the mean square by which the lamps lie off the
 * shrunk factor, the two counted with 0.2 each. Temperatures that a thermostat holds: the mean difference times n / (n + 2). The
 * shrinking and the 0.2 are own assumptions.
 */
export function correctionFrom(deliveries: readonly Delivery[]): Correction {
  const read = deliveries.flatMap((one) => (one.status === 'read' ? [one] : []));
  const logs = read.flatMap(({ promised: { kind, model }, settled, measured, aged }) =>
    kind === 'uvi-basking' && settled && measured > 0 && model !== null && model > 0
      ? [Math.log(measured / (model * aged))]
      : [],
  );
  const trust = (from: number) => from / (from + DOUBT);
  const temperatures: Correction['temperatures'] = {};
  for (const kind of new Set(read.filter((one) => one.held).map((one) => one.promised.kind))) {
    if (kind.startsWith('uvi') || kind.startsWith('humidity') || kind === 'water-depth') continue;
    const own = read.filter((one) => one.held && one.promised.kind === kind).map((one) => one.difference);
    const mean = meanOf(own);
    temperatures[kind] = { mean, shrunk: mean * trust(own.length), from: own.length };
  }
  if (logs.length === 0) return { uv: null, temperatures };
  const [mean, from] = [meanOf(logs), logs.length];
  const shrunk = mean * trust(from);
  const squares = logs.reduce((sum, one) => sum + (one - shrunk) ** 2, DOUBT * LAMPS_DIFFER ** 2);
  const error = Math.sqrt(squares / (from + DOUBT)) / Math.sqrt(from + DOUBT);
  return { uv: { factor: Math.exp(mean), shrunk: Math.exp(shrunk), error, from }, temperatures };
}

/** What a keeper's readings make of lamps without a reading of their own, for everything that is expected of light; null without any. */
export function lightCorrectionFrom(promised: readonly Promised[], collection: Collection): LightCorrection | null {
  const { uv } = correctionFrom(deliveriesOf(promised, collection));
  return uv === null ? null : { factor: uv.shrunk, error: uv.error, from: uv.from };
}

/**
 * A promised temperature as this keeper's thermostats so far would have it; the promise itself where they say nothing. It is only shown:
 * warmth is measured, never predicted. A promised UVI is corrected already.
 */
export function shifted({ kind, predicted }: Pick<Promised, 'kind' | 'predicted'>, correction: Correction): number {
  return predicted + (correction.temperatures[kind]?.shrunk ?? 0);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, one) => sum + one, 0) / values.length;
}

/** In its last days a purchase whose readings are not in is pressing: what falls short can still go back. */
const LAST_DAYS = 7;

/**
 * How a purchase stands to the last day on which it can go back: `daysLeft` is 0 on that day itself. 'closing' with a week or less left
 * while it waits to be fitted or a reading of it is missing.
 */
export type WayBack = { status: 'open' | 'closing'; daysLeft: number } | { status: 'over' };

/** Whether a purchase can still go back on a day, and whether that presses; `fittedOn` is null before it is fitted. */
export function wayBackOf(
  upgrade: Upgrade,
  { returnBy, fittedOn }: { returnBy: PlainDate; fittedOn: PlainDate | null },
  collection: Collection,
  today: PlainDate,
): WayBack {
  const daysLeft = daysBetween(today, returnBy);
  if (daysLeft < 0) return { status: 'over' };
  const isRead = fittedOn !== null && awaitedReadings(upgrade, fittedOn, collection).length === 0;
  return { status: daysLeft <= LAST_DAYS && !isRead ? 'closing' : 'open', daysLeft };
}

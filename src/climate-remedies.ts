// What mends a temperature or a dampness that is off, and a heater that is not held or guarded as it should be: a control set otherwise, a
// way to cool, a heater with all that belongs to it. Knows when warmth is urgent to be rid of.

import type { Fitting, FittingKind, ReadingKind } from './collection.ts';
import { HEATERS } from './collection.ts';
import { expectedOf, heatKit, isHeatSensitive, middleOf } from './heat-kits.ts';
import type { Reason } from './judging.ts';
import { coverTop } from './keeping-in-remedies.ts';
import { fitted, guardFor, pieces, thermostat } from './kits.ts';
import type { Draft, ProposedAct, Remedy, Situation } from './remedies.ts';
import { cheapestOf, free, kit, refuse } from './remedies.ts';
import type { Need, TemperatureKind } from './species.ts';
import type { Change } from './upgrades.ts';

// What a fan takes off the air of a moist box by drying it, °C: 2 to 4, from memory.
const FAN_COOLS = 2;

// Readings that moving or warmer air changes.
const AIRY: ReadonlySet<string> = new Set<ReadingKind>(['warm-air', 'cool-end-air', 'night-air']);

/** A thermostat for a heater that has none, or of which nobody has looked whether one holds it. */
export function regulateHeater(at: Situation, need: Need, because: Reason, name: string): Remedy[] {
  // Of several of one name it is the first that nothing holds.
  const isHeld = (one: Fitting) => at.active.some((each) => each.kind === 'thermostat' && each.regulates === one.id);
  const mayBeHeld = (one: Fitting) =>
    at.active.some((each) => each.kind === 'unknown-thermostat' && each.regulates === one.id);
  const heater = at.active.find(
    (one) =>
      one.name === name &&
      HEATERS.has(one.kind) &&
      !isHeld(one) &&
      mayBeHeld(one) === (because.why === 'thermostat-unknown'),
  );
  if (heater === undefined) return [];
  const control = thermostat(at.place, heater.kind, heater.watts ?? 0, {
    regulates: heater.id,
    expects: expectedOf(heater.kind, at.targets),
  });
  if (control === null) return refuse(need, { why: 'part-missing', what: 'thermostat' });
  const rating = control.parts[0]?.controls?.maxWatts;
  // What was a question is answered by the one that is bought.
  const unlooked = at.active.flatMap((one): Change[] =>
    one.kind === 'unknown-thermostat' && one.regulates === heater.id ? [{ change: 'retire', fittingId: one.id }] : [],
  );
  return [
    kit(need, because, heater.id, {
      ...control,
      changes: [...unlooked, ...control.changes, { change: 'answer', enclosureId: at.box, check: 'probe-in-place' }],
      assumes: [
        ...control.assumes,
        ...(heater.watts === null && rating !== undefined
          ? [{ assumes: 'watts-not-entered' as const, mostWatts: rating }]
          : []),
      ],
    }),
  ];
}

/** A guard for a heater that an animal can touch. */
export function guardHeater(at: Situation, need: Need, because: Reason, name: string): Remedy[] {
  const heater = at.active.find((one) => one.name === name && HEATERS.has(one.kind));
  const guard = guardFor(at.place, heater?.id ?? '');
  if (heater === undefined || guard === null) return [];
  return [kit(need, because, heater.id, guard)];
}

/** What brings a place to its temperature: a setting, a lamp nearer or farther, a heater, or a way to cool. */
export function adjustHeat(at: Situation, need: Need, because: Reason & { why: 'temperature-outside' }): Remedy[] {
  if (because.kind === 'body') return [];
  const reading: ReadingKind = because.kind;
  const value = middleOf(because);
  const heater = heaterOf(at, reading);
  if (heater === null) {
    // A cover keeps warmth in and makes none: without a heater it mends nothing.
    return because.side === 'below'
      ? [
          ...fitHeat(at, need, because, because.kind),
          ...(AIRY.has(reading) && at.active.some((one) => HEATERS.has(one.kind)) ? coverTop(at, need, because) : []),
        ]
      : coolDown(at, need, because);
  }
  const control = at.active.find((one) => one.kind === 'thermostat' && one.regulates === heater.id);
  const changes: Change[] = [{ change: 'predict', enclosureId: at.box, reading, value }];
  if (control !== undefined && reading !== 'cool-end-air') {
    // A thermostat holds one temperature: of two set points only one can be chosen.
    const act: ProposedAct = { act: 'set-thermostat', fitting: control.name, reading, value };
    const draft = free(need, because, act, reading, changes);
    // Turned down for one place it is turned down for all, so that an urgent one excludes no other.
    return isBeyondCritical(at, because)
      ? [draft, ...coolBy(at, need, because)]
      : [{ ...draft, group: `setting of ${control.id}` }];
  }
  if (heater.kind === 'basking-lamp' && reading === 'hot-spot-surface') {
    const side = because.side === 'below' ? 'nearer' : 'farther';
    return [free(need, because, { act: 'adjust-basking', fitting: heater.name, side, value }, reading, changes)];
  }
  return because.side === 'above' ? coolDown(at, need, because) : [];
}

function coolDown(at: Situation, need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
  if (because.kind === 'body') return [];
  const value = because.high;
  return [
    free(need, because, { act: 'cool-down', kind: because.kind, value }, because.kind, [
      { change: 'predict', enclosureId: at.box, reading: because.kind, value },
    ]),
    ...coolBy(at, need, because),
  ];
}

// Frogs and salamanders die of warmth that other animals seek; they are cooled from outside, one way at a time.
function coolBy(at: Situation, need: Need, because: Reason & { why: 'temperature-outside' }): Draft[] {
  if (!isHeatSensitive(at.species) || !isBeyondCritical(at, because) || because.kind === 'body') return [];
  const { kind, high: value } = because;
  const group = `cooling of ${at.box} ${kind}`;
  const unpaid = (['shade', 'fan', 'move'] as const).map((way) => ({
    ...free(need, because, { act: 'cool-by', way, kind, value }, `${way} ${kind}`, [
      { change: 'predict', enclosureId: at.box, reading: kind as ReadingKind, value },
    ]),
    group,
  }));
  return [...unpaid, ...coolingBought(at, need, because, kind).map((draft) => ({ ...draft, group }))];
}

// What is bought to cool: a fan for the air, which takes off little, and a chiller for water, which holds what it is set to.
function coolingBought(
  at: Situation,
  need: Need,
  because: Reason & { why: 'temperature-outside' },
  kind: Exclude<TemperatureKind, 'body'>,
): Draft[] {
  const what = kind === 'water' ? 'chiller' : AIRY.has(kind) ? 'fan' : null;
  const part = what === null ? undefined : cheapestOf(at, what);
  if (what === null || part === undefined || at.active.some((one) => one.kind === what)) return [];
  const value = what === 'chiller' ? because.high : Math.max(because.high, because.reading - FAN_COOLS);
  return [
    kit(need, because, what, {
      ...pieces([part], [fitted(at.place, part, what, { expects: [{ reading: kind, value }] })]),
      assumes: what === 'fan' ? [{ assumes: 'fan-cools', byCelsius: FAN_COOLS }] : [],
    }),
  ];
}

/** Whether a reading is beyond a limit that endangers the animal, so that cooling comes before anything else. */
export function isBeyondCritical(at: Situation, because: Reason): boolean {
  return (
    because.why === 'temperature-outside' &&
    because.side === 'above' &&
    at.targets.temperatures.some((one) => one.kind === because.kind && one.criticalAbove)
  );
}

/** The kit that warms a place where nothing does. */
export function fitHeat(at: Situation, need: Need, because: Reason, kind: TemperatureKind): Remedy[] {
  if (kind === 'body') return [];
  const { setup, species, targets, place, room } = at;
  const { library, on } = at.world;
  const isReadTooLow = because.why === 'temperature-outside';
  const found = heatKit({ place, setup, species, targets, room, library, on }, kind, isReadTooLow);
  if (found.status === 'none') {
    const { status: _, ...no } = found;
    return refuse(need, no);
  }
  return [kit(need, because, found.detail, found.kit)];
}

/** What brings a humidity to its band by hand, and a cover where the box dries out. */
export function adjustHumidity(at: Situation, need: Need, because: Reason & { why: 'humidity-outside' }): Remedy[] {
  const reading: ReadingKind = because.time === 'day' ? 'humidity-day' : 'humidity-night';
  const value = middleOf(because);
  const changes: Change[] = [{ change: 'predict', enclosureId: at.box, reading, value }];
  const act: ProposedAct = because.side === 'below' ? { act: 'mist-by-hand', value } : { act: 'air-more', value };
  const cover = because.side === 'below' ? coverTop(at, need, because) : [];
  return [free(need, because, act, reading, changes), ...cover];
}

function heaterOf(at: Situation, reading: ReadingKind): Fitting | null {
  const kinds: Partial<Record<ReadingKind, FittingKind[]>> = {
    'hot-spot-surface': ['basking-lamp', 'radiant-panel'],
    'warm-hide-floor': ['heat-mat'],
    'warm-air': ['ceramic-heater', 'radiant-panel', 'basking-lamp'],
    'night-air': ['ceramic-heater', 'radiant-panel'],
    'cool-end-air': ['ceramic-heater', 'radiant-panel'],
    water: ['water-heater'],
  };
  return at.active.find((one) => kinds[reading]?.includes(one.kind)) ?? null;
}

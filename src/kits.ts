// What a kit consists of: which parts are bought for it, which idle thing of the keeper's is used again, how each is fitted, and what was
// taken in choosing them. Knows no species; which kit answers a shortfall is not its business.

import type { Fitting, FittingKind } from './collection.ts';
import { HEATERS } from './collection.ts';
import type { ControlType, Part, PartsList } from './parts.ts';
import {
  cheapest,
  controlFor,
  freedFixture,
  idleGuard,
  idleThermostat,
  idleTimer,
  thermostatFor,
  tubeFixtureFor,
  unknownThermostat,
} from './parts.ts';
import type { Standing } from './species.ts';
import type { Change, NewFitting } from './upgrades.ts';
import { bareFitting } from './upgrades.ts';
import type { WarmthUnknown } from './warmth-year.ts';

/** A part of a kit that the keeper need not buy: `name` is the thing there is, of which the kit uses what `what` names. */
export type OwnPart = { what: string; name: string };

/** What was taken for a kit, or has to be looked at before it is bought. */
export type KitAssumption =
  | { assumes: 'watts-by-loss'; watts: number; needed: number; roomCelsius: number }
  | { assumes: 'watts-by-size'; watts: number; because: WarmthUnknown | 'reckoned-enough' }
  | { assumes: 'mat-by-length'; watts: number }
  | { assumes: 'lamp-by-height'; watts: number }
  | { assumes: 'watts-not-entered'; mostWatts: number }
  | { assumes: 'own-thermostat-unread'; name: string; by: ControlType; watts: number }
  | { assumes: 'above-mesh' }
  | { assumes: 'mesh-share'; share: number }
  | { assumes: 'place-height-unknown' }
  | { assumes: 'place-on-floor' }
  | { assumes: 'bare-figures' }
  /** A lamp that is taken out gives nobody knows how much: a reading may show that it does. */
  | { assumes: 'present-lamp-unread' }
  | { assumes: 'figures-with-reflector'; standing: Standing }
  | { assumes: 'fan-cools'; byCelsius: number };

/** Some parts of a kit with what they change, what of them the keeper has, and what was assumed in choosing them. */
export type Pieces = { parts: Part[]; changes: Change[]; owned: OwnPart[]; assumes: KitAssumption[] };

/** Parts that are bought, with what they change. */
export function pieces(parts: Part[], changes: Change[], assumes: KitAssumption[] = []): Pieces {
  return { parts, changes, owned: [], assumes };
}

/** Some pieces as one kit, in their order. */
export function together(...all: Pieces[]): Pieces {
  return {
    parts: all.flatMap((one) => one.parts),
    changes: all.flatMap((one) => one.changes),
    owned: all.flatMap((one) => one.owned),
    assumes: all.flatMap((one) => one.assumes),
  };
}

/** The enclosure that a kit is for: what is fitted in it, what there is to buy, and whether the prices of that are in the ledger's currency. */
export type KitPlace = { enclosureId: string; active: readonly Fitting[]; list: PartsList; priced: boolean };

/** The fitting of a part that is bought: with its life, its power at the usual duty and, for what is renewed as a matter of course, its price. */
export function fitted(place: KitPlace, part: Part, kind: FittingKind, more: Partial<NewFitting>): Change {
  const fitting: NewFitting = {
    ...bareFitting(kind, part.name),
    lifeMonths: part.lifeMonths,
    renewalPrice: place.priced && part.lifeMonths !== null && RENEWED.has(kind) ? part.priceHigh : null,
    watts: part.watts,
    hoursPerDay: part.watts === null ? null : part.hoursPerDay,
    duty: part.watts === null || usualDuty(kind) === 1 ? null : usualDuty(kind),
    lamp: part.lamp ?? null,
    ...more,
  };
  return { change: 'fit', enclosureId: place.enclosureId, fitting };
}

// What lies idle in the enclosure, taken from there and put to use: the same thing, fitted anew.
function reused(place: KitPlace, own: Fitting, more: Partial<NewFitting>): Pieces {
  const { id, enclosureId: _box, fittedOn: _on, movedOn: _moved, retiredOn: _out, brokenOn: _broke, ...facts } = own;
  return {
    ...pieces(
      [],
      [
        { change: 'retire', fittingId: id },
        { change: 'fit', enclosureId: place.enclosureId, fitting: { ...facts, key: own.kind, expects: [], ...more } },
      ],
    ),
    owned: [{ what: own.kind, name: own.name }],
  };
}

/** A guard around a fitted heater or one of the kit, the keeper's own where one guards nothing; null when there is none to be had. */
export function guardFor(place: KitPlace, heater: string): Pieces | null {
  const own = idleGuard(place.active);
  if (own !== undefined) return reused(place, own, { guards: heater });
  const part = cheapest(place.list, 'guard');
  return part === undefined ? null : pieces([part], [fitted(place, part, 'guard', { guards: heater })]);
}

/**
 * A thermostat of the type and rating that a heater takes, the keeper's own where one is known to be right and regulates nothing; null
 * when there is none to be had.
 */
export function thermostat(
  place: KitPlace,
  kind: FittingKind,
  watts: number,
  more: Partial<NewFitting>,
): Pieces | null {
  const { list, active } = place;
  const own = idleThermostat(list, active, kind, watts);
  if (own !== undefined) return reused(place, own, more);
  const part = thermostatFor(list, kind, watts);
  if (part === undefined) return null;
  const unread = unknownThermostat(list, active);
  const by = controlFor(kind);
  return pieces(
    [part],
    [fitted(place, part, 'thermostat', more)],
    unread === undefined ? [] : [{ assumes: 'own-thermostat-unread', name: unread.name, by, watts }],
  );
}

/**
 * A tube with what holds it, that of a lamp taken out where it fits; null when there is none to be had. A reflector belongs to it only
 * where the tube's figures were measured with one: it would carry a bare figure past a ceiling.
 */
export function tubeWithFixture(place: KitPlace, tube: Part, takenOut: readonly Fitting[]): Pieces | null {
  const freed = freedFixture(takenOut, tube);
  const mirrored = tube.lamp?.reflector === 'with';
  if (freed !== undefined) {
    const owned = (mirrored ? ['fixture', 'reflector'] : ['fixture']).map((what) => ({ what, name: freed.name }));
    return { ...pieces([tube], []), owned };
  }
  const fixture = tubeFixtureFor(place.list, tube.watts);
  const reflector = mirrored ? cheapest(place.list, 'reflector') : undefined;
  if (fixture === undefined || (mirrored && reflector === undefined)) return null;
  return pieces([tube, fixture, ...(reflector === undefined ? [] : [reflector])], []);
}

/** A timer for what the kit brings, the keeper's own where one switches nothing; null when the list has none. */
export function timerFor(place: KitPlace, key: string, takenOut: readonly Fitting[]): Pieces | null {
  const staying = place.active.filter((one) => !takenOut.includes(one));
  // What switched a lamp that goes now switches the one that comes.
  const freed = staying.find(
    (one) => one.kind === 'timer' && one.regulates !== null && takenOut.some((lamp) => lamp.id === one.regulates),
  );
  const own = freed ?? idleTimer(staying);
  if (own !== undefined) return reused(place, own, { regulates: key });
  const part = cheapest(place.list, 'timer');
  return part === undefined ? null : pieces([part], [fitted(place, part, 'timer', { regulates: key })]);
}

/** What is renewed at the end of its life as a matter of course; a hide or a box is replaced when it breaks. */
export const RENEWED: ReadonlySet<FittingKind> = new Set(['uv-tube', 'uv-compact', 'basking-lamp']);

// Share of the time a regulated heater is on, for pricing its power before it was ever measured (common practice, no source).
function usualDuty(kind: FittingKind): number {
  return HEATERS.has(kind) && kind !== 'basking-lamp' ? 0.5 : 1;
}

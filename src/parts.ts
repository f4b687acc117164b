// Generic parts that a shop sells, and which of them can work together: what holds which lamp, what regulates which heater up to how many
// watts, and which thing a keeper has lies idle and can be used again. Knows no animal and no shortfall.

import type { Fitting, FittingKind, LampOutput, Material, Top } from './collection.ts';
import { UV_LAMPS } from './collection.ts';
import { atRate, type Currency, currencyOf, type Money } from './money.ts';
import type { Standing } from './species.ts';

/** How a thermostat works on what it regulates. */
export type ControlType = 'switching' | 'pulse' | 'dimming';

/** What a fixture holds: one tube of these watts, or one lamp or heater with a screw cap up to these watts. */
export type Holding = { holds: 'tube'; watts: number } | { holds: 'screw-cap'; maxWatts: number; ceramic: boolean };

/** What every part of the catalogue has: a generic name, a range of prices in the catalogue's currency, and how long it lasts. */
export type Part = {
  id: string;
  name: string;
  what: string;
  priceLow: Money;
  priceHigh: Money;
  lifeMonths: number | null;
  watts: number | null;
  hoursPerDay: number | null;
  leadMonths: number;
  standing: Standing;
  lamp?: LampOutput | null;
  controls?: { by: ControlType; maxWatts: number };
  fixture?: Holding;
  enclosure?: { lengthMm: number; depthMm: number; heightMm: number; material: Material; top: Top };
  run?: { lengthMm: number; depthMm: number; cage: boolean };
};

/** Generic parts with one currency for their prices. */
export type PartsList = { currency: string; parts: readonly Part[] };

/** A list with its prices in another currency, at so many major units of it for one of the list's own. Throws for a list of no currency. */
export function pricedAt(list: PartsList, rate: number, currency: Currency): PartsList {
  const from = currencyOf(list.currency);
  if (from === null) throw new Error(`prices are in ${list.currency}, which is no currency`);
  const inOther = (price: Money) => atRate(price, from, rate, currency);
  return {
    currency: currency.code,
    parts: list.parts.map((one) => ({
      ...one,
      priceLow: inOther(one.priceLow),
      priceHigh: inOther(one.priceHigh),
    })),
  };
}

/** The cheapest part of a kind, by its dear end; undefined when the list holds none that `also` takes. */
export function cheapest(list: PartsList, what: string, also: (part: Part) => boolean = () => true): Part | undefined {
  return list.parts
    .filter((one) => one.what === what && also(one))
    .reduce<Part | undefined>(
      (best, one) => (best === undefined || one.priceHigh < best.priceHigh ? one : best),
      undefined,
    );
}

/**
 * The type of thermostat that suits a kind of heater: pulse for a ceramic heater, switching for mats and water, dimming for basking lamps
 * and panels. Common practice, no source.
 */
export function controlFor(kind: FittingKind): ControlType {
  if (kind === 'ceramic-heater') return 'pulse';
  return kind === 'heat-mat' || kind === 'water-heater' ? 'switching' : 'dimming';
}

/** The cheapest thermostat that suits a kind of heater and may carry its watts. */
export function thermostatFor(list: PartsList, kind: FittingKind, watts: number): Part | undefined {
  return cheapest(list, 'thermostat', (one) => suits(one, kind, watts));
}

function suits({ controls }: Part, kind: FittingKind, watts: number): boolean {
  return controls !== undefined && controls.by === controlFor(kind) && controls.maxWatts >= watts;
}

/** The cheapest holder for a heater or basking lamp of some watts; of ceramic for what has no light, since that runs hot day and night. */
export function holderFor(list: PartsList, kind: FittingKind, watts: number): Part | undefined {
  return cheapest(
    list,
    'fixture',
    ({ fixture }) =>
      fixture?.holds === 'screw-cap' && fixture.maxWatts >= watts && (fixture.ceramic || kind !== 'ceramic-heater'),
  );
}

/** The cheapest fixture for one tube of some watts. */
export function tubeFixtureFor(list: PartsList, watts: number | null): Part | undefined {
  return cheapest(list, 'fixture', ({ fixture }) => fixture?.holds === 'tube' && fixture.watts === watts);
}

/** A thermostat among fitted things that regulates nothing, of a type and rating that are known because it came from this list. */
export function idleThermostat(
  list: PartsList,
  fitted: readonly Fitting[],
  kind: FittingKind,
  watts: number,
): Fitting | undefined {
  return idle(fitted, 'thermostat').find((one) =>
    list.parts.some((part) => part.what === 'thermostat' && part.name === one.name && suits(part, kind, watts)),
  );
}

/** A thermostat that regulates nothing and of which neither type nor rating is known; undefined when there is none. */
export function unknownThermostat(list: PartsList, fitted: readonly Fitting[]): Fitting | undefined {
  return idle(fitted, 'thermostat').find(
    (one) => !list.parts.some((part) => part.what === 'thermostat' && part.name === one.name),
  );
}

/** A guard among fitted things that guards nothing. */
export function idleGuard(fitted: readonly Fitting[]): Fitting | undefined {
  return idle(fitted, 'guard')[0];
}

/** A timer that switches nothing: one is idle only when there are more than lamps that could hang on it. */
export function idleTimer(fitted: readonly Fitting[]): Fitting | undefined {
  const timers = idle(fitted, 'timer');
  const switched = new Set(
    fitted.flatMap((one) => (one.kind === 'timer' && one.regulates !== null ? [one.regulates] : [])),
  );
  const lamps = fitted.filter(
    (one) => (UV_LAMPS.has(one.kind) || one.kind === 'basking-lamp') && !switched.has(one.id),
  );
  return timers.length > lamps.length ? timers[0] : undefined;
}

function idle(fitted: readonly Fitting[], kind: FittingKind): Fitting[] {
  return fitted.filter((one) => one.kind === kind && one.regulates === null && one.guards === null);
}

/**
 * A tube among those taken out whose fixture takes a new one: of the same watts and lit length. A fixture that had a reflector takes only
 * a tube whose figures were measured with one, since it would make any other too strong.
 */
export function freedFixture(takenOut: readonly Fitting[], tube: Part): Fitting | undefined {
  const reflector = tube.lamp?.reflector === 'with' ? 'with' : 'without';
  return takenOut.find(
    (one) =>
      one.kind === 'uv-tube' &&
      one.watts !== null &&
      one.watts === tube.watts &&
      one.lamp !== null &&
      one.lamp.litLengthMm === tube.lamp?.litLengthMm &&
      one.lamp.reflector === reflector,
  );
}

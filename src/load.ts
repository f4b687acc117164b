// What a socket or lead may carry, and how much the things plugged into it draw. Knows the usual figures of a region and the plainest
// sum; the local code and an electrician decide, and what else hangs on the circuit is not known here.

import type { PlainDate } from './calendar.ts';
import type { Fitting, FittingKind } from './collection.ts';
import { HEATERS, isFitted } from './collection.ts';
import type { Outlet, OutletRuleName } from './rooms.ts';
import type { Provenance } from './species.ts';

/**
 * The usual figures of a region: volts, the amperes of a circuit or socket, the most that a plug passes (null: not fused), and the share of
 * them that may be drawn for hours on end. Null where the keeper's own figures are all there is.
 */
export type OutletRule = {
  volts: number | null;
  circuitAmps: number | null;
  plugAmps: number | null;
  continuousShare: number;
} & Provenance;

const caution = 'no share for long use is taken off, caution from 0.8 of the limit is an own choice';
const code =
  'NFPA 70 210.20(A) and 210.23: a load of three hours or more is held to 80 %, as told in electricians’ forums';

/** The rules a keeper can choose from; their figures are where a new outlet starts, and its own figures win. */
export const OUTLET_RULES: Record<OutletRuleName, OutletRule> = {
  uk: {
    volts: 230,
    circuitAmps: 13,
    plugAmps: 13,
    continuousShare: 1,
    source: `fused plug of 13 A at 230 V, 2990 W, in United Kingdom guidance; ${caution}`,
    standing: 'published',
  },
  'us-15': { volts: 120, circuitAmps: 15, plugAmps: null, continuousShare: 0.8, source: code, standing: 'secondary' },
  'us-20': { volts: 120, circuitAmps: 20, plugAmps: null, continuousShare: 0.8, source: code, standing: 'secondary' },
  eu: {
    volts: 230,
    circuitAmps: 16,
    plugAmps: null,
    continuousShare: 1,
    source: `circuit of 16 A at 230 V, 3680 W; ${caution}`,
    standing: 'from-memory',
  },
  own: {
    volts: null,
    circuitAmps: null,
    plugAmps: null,
    continuousShare: 1,
    source: `the keeper’s own figures; ${caution}`,
    standing: 'own-assumption',
  },
};

/** From this share of its limit on, a socket's load calls for caution: own choice. */
export const CAUTION_SHARE = 0.8;

/** The part of a lamp's or motor's current that does work, when its maker gives none: own assumption; 0.5 to 0.98 are met. */
export const ASSUMED_POWER_FACTOR = 0.6;

/** What a thermostat or timer draws itself when its watts were not given, in watts: own assumption. */
export const ASSUMED_CONTROL_WATTS = 5;

/** What may carry least: the circuit or socket, the fuse in the plug, the lead. */
export type OutletMember = 'circuit' | 'plug' | 'lead';

/** One thing on an outlet: rated watts and amperes, and what was assumed to find them. */
type Draw = {
  fittingId: string;
  name: string;
  watts: number;
  amps: number;
  assumed: ('power-factor' | 'control-watts')[];
};

/** Why a load is not within. */
export type LoadReason =
  | { why: 'over-the-limit' }
  | { why: 'near-the-limit' }
  | { why: 'watts-unknown'; things: { fittingId: string; name: string }[] };

/**
 * The load of an outlet with everything on at once. `limitAmps` is what its weakest member may carry for hours, `limitedBy` that member,
 * `limitWatts` the same for things without a ballast. 'within' only when the watts of everything are known.
 */
export type Load = {
  state: 'within' | 'caution' | 'over';
  reasons: LoadReason[];
  watts: number;
  amps: number;
  limitAmps: number;
  limitWatts: number;
  limitedBy: OutletMember;
  draws: Draw[];
};

const controls: ReadonlySet<FittingKind> = new Set(['thermostat', 'timer']);

/**
 * The load of an outlet on a day: rated watts of everything fitted and plugged into it (all thermostats may be on at once), amperes as
 * watts / (power factor x volts), against the least of circuit, plug fuse and lead times the rule's share for long use. Throws when the
 * outlet's volts or amperes are not above 0.
 */
export function loadOf(outlet: Outlet, fittings: readonly Fitting[], on: PlainDate): Load {
  const { limitAmps, limitedBy } = limitOf(outlet);
  const plugged = fittings.filter((one) => one.outletId === outlet.id && isFitted(one, on));
  const draws = plugged.flatMap((one) => drawOf(one, outlet.volts) ?? []);
  const unknown = plugged.filter((one) => drawOf(one, outlet.volts) === null);
  const amps = draws.reduce((sum, one) => sum + one.amps, 0);
  const reasons: LoadReason[] = [];
  // A tolerance for rounding alone: 2990 W at 230 V are 13 A and not over them.
  if (amps > limitAmps * (1 + 1e-9)) reasons.push({ why: 'over-the-limit' });
  else if (amps >= limitAmps * CAUTION_SHARE * (1 - 1e-9)) reasons.push({ why: 'near-the-limit' });
  const things = unknown.map(({ id, name }) => ({ fittingId: id, name }));
  if (things.length > 0) reasons.push({ why: 'watts-unknown', things });
  return {
    state: reasons[0]?.why === 'over-the-limit' ? 'over' : reasons.length > 0 ? 'caution' : 'within',
    reasons,
    watts: draws.reduce((sum, one) => sum + one.watts, 0),
    amps,
    limitAmps,
    limitWatts: limitAmps * outlet.volts,
    limitedBy,
    draws,
  };
}

function limitOf(outlet: Outlet): { limitAmps: number; limitedBy: OutletMember } {
  const rule = OUTLET_RULES[outlet.rule];
  const members: [OutletMember, number | null][] = [
    ['circuit', outlet.circuitAmps],
    // Where plugs are fused, an unknown fuse is at most the largest that fits.
    ['plug', outlet.plugAmps ?? rule.plugAmps],
    ['lead', outlet.leadAmps],
  ];
  if (!(outlet.volts > 0)) throw new RangeError('an outlet must have volts above 0');
  let [limitedBy, least]: [OutletMember, number] = ['circuit', Number.POSITIVE_INFINITY];
  for (const [member, amps] of members) {
    if (amps === null) continue;
    if (!(amps > 0)) throw new RangeError(`the ${member} of an outlet must carry amperes above 0`);
    if (amps < least) [limitedBy, least] = [member, amps];
  }
  return { limitAmps: least * rule.continuousShare, limitedBy };
}

/** What a thing draws; null when its watts are not known. */
function drawOf(fitting: Fitting, volts: number): Draw | null {
  const isControl = controls.has(fitting.kind);
  if (fitting.watts === null && !isControl) return null;
  const watts = fitting.watts ?? ASSUMED_CONTROL_WATTS;
  const powerFactor = HEATERS.has(fitting.kind) ? 1 : ASSUMED_POWER_FACTOR;
  const assumed: Draw['assumed'] = [];
  if (powerFactor !== 1 && watts > 0) assumed.push('power-factor');
  if (fitting.watts === null) assumed.push('control-watts');
  return { fittingId: fitting.id, name: fitting.name, watts, amps: watts / (powerFactor * volts), assumed };
}

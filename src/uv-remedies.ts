// What mends UV that is missing, too much, too little or on at the wrong hours: a tube that hangs right with all that belongs to it, a lamp moved,
// renewed or taken out, a timer set, a run outdoors.

import { addMonths, monthOf, monthOfYear } from './calendar.ts';
import type { Fitting, LampOutput } from './collection.ts';
import { isGuarded, UV_LAMPS } from './collection.ts';
import { type Known, knownOf } from './evidence.ts';
import { takeOut } from './furnishing-remedies.ts';
import { middleOf } from './heat-kits.ts';
import { tubesThatHang } from './hung-tubes.ts';
import type { Reason } from './judging.ts';
import type { KitAssumption } from './kits.ts';
import { fitted, pieces, timerFor, together, tubeWithFixture } from './kits.ts';
import { distanceForUvi, GUARD_SHARE, isBetweenUnknown, readUnder } from './light.ts';
import { correctionFor, hasOwnFigures } from './light-scene.ts';
import { sumMoney } from './money.ts';
import type { Draft, Remedy, Situation } from './remedies.ts';
import { cheapestOf, free, kit, refuse } from './remedies.ts';
import type { Need, UvZoneBand } from './species.ts';
import { inSpan } from './species.ts';
import type { Change, NewFitting } from './upgrades.ts';
import { bareFitting } from './upgrades.ts';
import { aimedUvi, uvCeiling } from './uv-need.ts';

/** A tube that hangs right in the box, with its fixture and timer, in place of the lamps that are there. */
export function fitUv(at: Situation, need: Need, because: Reason, assumes: KitAssumption[] = []): Remedy[] {
  if (at.species.neverPropose.includes('uv-lamp')) return refuse(need, { why: 'species-forbids', what: 'uv-lamp' });
  const [wanted, aimed] = [wantedUvi(at), aimedUvi(uvBands(at), isPale(at))];
  if (wanted === null || aimed === null)
    return refuse(need, { why: uvBands(at).length === 0 ? 'uv-target-unknown' : 'uv-zones-disagree' });
  const { parts } = at.world;
  const place = at.active.find((one) => one.kind === 'basking-place' && one.placed !== null)?.placed ?? null;
  // What does not climb basks on the floor, unless a place is entered.
  const unplaced = at.species.habit === 'climbing' ? null : 0;
  const stands = place === null ? unplaced : place.zMm + (place.heightMm ?? 0);
  const aim = { wanted, ...aimed };
  const found = tubesThatHang(parts, at.setup.enclosure, stands, aim, at.setup.lightCorrection ?? null);
  if (found.status === 'none') {
    const { status: _, ...no } = found;
    return refuse(need, no);
  }
  const takenOut = lampsIn(at);
  const kits = found.tubes.flatMap((tube) => {
    const lit = tubeWithFixture(at.place, tube.part, takenOut);
    return lit === null ? [] : [{ tube, lit, price: sumMoney(lit.parts.map((one) => one.priceHigh)) }];
  });
  const best = kits.sort((a, b) => a.price - b.price || b.tube.distanceMm - a.tube.distanceMm)[0];
  if (best === undefined) return refuse(need, { why: 'part-missing', what: 'fixture' });
  const { distanceMm, meshShare, uvi, part } = best.tube;
  const timer = timerFor(at.place, 'tube', takenOut);
  // A lamp without a dark place to leave it for would do harm, so the first hide comes with it.
  const leafy = at.species.neverPropose.includes('solid-hide');
  const darkKind = leafy ? 'plants' : 'hide';
  const dark = at.active.some(
    ({ kind, place: zone }) =>
      kind === 'hide' || kind === 'moist-hide' || (leafy && kind === 'plants' && (zone === 'cool' || zone === 'high')),
  )
    ? undefined
    : cheapestOf(at, darkKind);
  const whole = together(
    pieces(
      [],
      takenOut.map((one): Change => ({ change: 'retire', fittingId: one.id })),
    ),
    best.lit,
    pieces(
      [],
      [
        fitted(at.place, part, 'uv-tube', {
          key: 'tube',
          distanceMm,
          meshShare,
          hoursPerDay: middleOf(at.targets.uv.hours),
        }),
      ],
      [
        part.lamp.reflector === 'with'
          ? { assumes: 'figures-with-reflector', standing: part.standing }
          : { assumes: 'bare-figures' },
        ...assumes,
        ...(meshShare === 1 ? [] : [{ assumes: 'mesh-share' as const, share: meshShare }]),
        ...(place !== null
          ? []
          : [{ assumes: stands === null ? ('place-height-unknown' as const) : ('place-on-floor' as const) }]),
      ],
    ),
    ...(timer === null ? [] : [timer]),
    ...(dark === undefined ? [] : [pieces([dark], [fitted(at.place, dark, darkKind, { place: 'cool' })])]),
  );
  return [kit(need, because, 'uv', whole, { distanceMm, uvi })];
}

/**
 * A tube of known figures in place of compact lamps of which nobody can say what reaches the animal, for a species that needs UV; nothing
 * where it is optional, since there not knowing is answered by a reading, and none while any lamp tells more.
 */
export function replaceUntold(at: Situation, need: Need, because: Reason): Remedy[] {
  return at.targets.uv.need === 'required' && isUntold(at)
    ? fitUv(at, need, because, [{ assumes: 'present-lamp-unread' }])
    : [];
}

// Of a compact lamp its packaging says little; nobody knows what it gives before its keeper has held a meter under it.
function isUntold(at: Situation): boolean {
  const lamps = lampsIn(at);
  const untold = (one: Fitting) => one.kind === 'uv-compact' && (one.lamp === null || !hasOwnFigures(one.lamp));
  const isRead = knownOf(at.setup, 'uvi-basking', at.world.on, at.world.on).status === 'known';
  return lamps.length > 0 && lamps.every(untold) && !isRead;
}

/** Lamps past their life, each renewed by one like it; where UV is needed, not by another of which nobody can say what it gives. */
export function renewLamps(at: Situation, need: Need, because: Reason): Remedy[] {
  if (at.targets.uv.need === 'required' && isUntold(at)) return replaceUntold(at, need, because);
  // A lamp that gave too much when it was young would do so again; it has to hang elsewhere or be another one.
  const known = knownOf(at.setup, 'uvi-basking', at.world.on, at.world.on);
  if (known.status === 'known' && known.value > uvCeiling(uvBands(at), isPale(at)))
    return refuse(need, { why: 'lamp-gave-too-much' });
  return lampsIn(at).flatMap((lamp) => {
    if (lamp.lifeMonths === null) return [];
    const alike =
      at.world.parts.parts.find((one) => one.what === lamp.kind && one.lamp?.uvi === lamp.lamp?.uvi) ??
      cheapestOf(at, lamp.kind);
    if (alike === undefined) return [];
    // What the keeper paid for a renewal is known better than any list; the fitting already pays for its power.
    const price = lamp.renewalPrice ?? alike.priceHigh;
    const part = { ...alike, lifeMonths: lamp.lifeMonths, watts: null, priceLow: price, priceHigh: price };
    return [
      {
        act: { act: 'renew' as const, fitting: lamp.name },
        detail: `renew ${lamp.id}`,
        need,
        because,
        parts: [part],
        changes: [{ change: 'renew' as const, fittingId: lamp.id }],
      },
    ];
  });
}

/** What brings the UV where the animal basks to its band. */
export function adjustUv(at: Situation, need: Need, because: Reason): Remedy[] {
  const wanted = wantedUvi(at);
  const lamps = lampsIn(at);
  const lamp = lamps[0];
  if (wanted === null || lamp === undefined) return [];
  // What reaches the animal through nobody knows what is looked at first, or read.
  const wasRead = (one: Known) => one.status === 'known' && one.from === 'measured';
  if (lamps.some(isBetweenUnknown) && !wasRead(knownOf(at.setup, 'uvi-basking', at.world.on, at.world.on))) return [];
  if (lamps.length !== 1 || lamp.lamp === null || lamp.distanceMm === null) {
    // Without its geometry nobody can say where the lamp should hang: too much goes out, too little makes way for a known one.
    return because.why === 'uv-below'
      ? fitUv(at, need, because)
      : lamps.flatMap((one) => takeOut(at, need, because, one.name));
  }
  // A reading taken under this lamp says more about it than its packaging: it sets the strength, the geometry the fall.
  const known = knownOf(at.setup, 'uvi-basking', at.world.on, at.world.on);
  const output: LampOutput =
    known.status === 'known' && known.from === 'measured'
      ? readUnder(lamp.lamp, lamp.distanceMm, known.value)
      : lamp.lamp;
  if (output.uvi === 0) return [];
  // What was read under the lamp was read through its guard; what is only expected of it was not.
  const onlyExpected = output === lamp.lamp;
  const guarded = onlyExpected && isGuarded(lamp, at.active);
  const factor = onlyExpected ? correctionFor(output, at.setup.lightCorrection ?? null) : 1;
  const distance = distanceForUvi(output, lamp.meshShare ?? 1, wanted / ((guarded ? GUARD_SHARE : 1) * factor));
  if (distance === null || distance < 150 || distance > at.setup.enclosure.heightMm - 50)
    return because.why === 'uv-below' ? fitUv(at, need, because) : [];
  const distanceMm = Math.round(distance / 10) * 10;
  return [
    free(need, because, { act: 'move-lamp', fitting: lamp.name, distanceMm }, lamp.id, [
      {
        change: 'move',
        fittingId: lamp.id,
        distanceMm,
        meshShare: null,
        place: null,
        outOfReach: null,
        placed: lamp.placed === null ? null : { ...lamp.placed, zMm: lamp.placed.zMm + distanceMm - lamp.distanceMm },
      },
      { change: 'predict', enclosureId: at.box, reading: 'uvi-basking', value: Math.round(wanted * 10) / 10 },
    ]),
  ];
}

/** The hours of the lamps, set by their timer. */
export function setHours(at: Situation, need: Need, because: Reason, hours: number): Remedy[] {
  return lampsIn(at).map((lamp) =>
    free(need, because, { act: 'set-hours', fitting: lamp.name, hours }, lamp.id, [
      { change: 'set-hours', fittingId: lamp.id, hoursPerDay: hours },
    ]),
  );
}

/** A run outdoors in the months in which the species may be there; null where it has one, or may not. */
export function outdoorRun(at: Situation): Draft | null {
  const { outdoors } = at.targets;
  // What climbs is put out in a cage that stands, everything else in a run that nothing digs itself out of.
  const stands = at.species.habit === 'climbing';
  const part = at.world.parts.parts.find((one) => one.run !== undefined && one.run.cage === stands);
  // Hatchlings stay in: they dry out, chill and are eaten sooner.
  if (at.targets.stage === 'hatchling') return null;
  if (outdoors === null || part?.run === undefined || at.active.some((one) => one.outdoors !== null)) return null;
  const { fromMonth, toMonth } = outdoors;
  // A run is bought for the season that is on or begins next month; one for next summer would draw on the sum all winter.
  const month = monthOf(at.world.on);
  if (![month, addMonths(month, 1)].some((one) => inSpan(monthOfYear(one), fromMonth, toMonth))) return null;
  const { cage: _, ...run } = part.run;
  const fitting: NewFitting = {
    ...bareFitting('outdoor-run', part.name),
    lifeMonths: part.lifeMonths,
    outdoors: { ...run, fromMonth, toMonth, shade: true },
  };
  return {
    act: { act: 'outdoor-run', part: part.name, fromMonth, toMonth },
    detail: 'outdoors',
    need: 'uv',
    because: { why: 'outdoors-now' },
    parts: [part],
    changes: [{ change: 'fit', enclosureId: at.box, fitting }],
  };
}

function lampsIn(at: Situation): Fitting[] {
  return at.active.filter((one) => UV_LAMPS.has(one.kind));
}

function uvBands(at: Situation): UvZoneBand[] {
  return at.targets.uv.zones.map((one) => at.world.library.uvZones.find((band) => band.zone === one.zone)!);
}

function isPale(at: Situation): boolean {
  return at.setup.occupants.some((one) => one.paleMorph);
}

// A UVI that is right in every zone a source puts the species in; null when the zones leave none.
function wantedUvi(at: Situation): number | null {
  const aimed = aimedUvi(uvBands(at), isPale(at));
  if (aimed === null) return null;
  return Math.round(Math.min(aimed.low * 1.2, (aimed.low + aimed.high) / 2) * 10) / 10;
}

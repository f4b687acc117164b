// How much heat a box loses and what holds it: its walls, fronts and air, what a keeper measured instead, and what heaters and lamps then
// draw. Speaks of the mean air in the box only. How hot a surface under a lamp becomes is measured, never reckoned: beam, surface and
// draught are unknown to a keeper, and each moves the answer by tens of degrees.

import type { PlainDate } from './calendar.ts';
import { DAYS_A_MONTH } from './calendar.ts';
import type { Enclosure, Fitting, FittingKind, HeatUse, Material } from './collection.ts';
import { isFitted } from './collection.ts';
import type { Currency, Money } from './money.ts';
import { costAtRate, money } from './money.ts';
import type { Provenance } from './species.ts';

/** How well a material conducts heat (W/(m K)), and the thickness (mm) taken when the keeper gave none. */
export type Conductor = { lambda: number; usualMm: number } & Provenance;

const usualThickness = 'the usual thickness is an own assumption';

/** The materials boxes are made of; null where no heat loss can be told from the name. */
export const CONDUCTORS: Record<Material, Conductor | null> = {
  glass: {
    lambda: 1.0,
    usualMm: 4,
    source: `soda-lime glass, EN ISO 10456:2007 and EN ISO 10077-2 tables; CIBSE Guide A has 1.05; ${usualThickness}`,
    standing: 'secondary',
  },
  wood: {
    lambda: 0.13,
    usualMm: 12,
    source: `softwood of 500 kg/m³, EN ISO 10077-2 table; plywood of that weight the same from memory; ${usualThickness}`,
    standing: 'secondary',
  },
  pvc: {
    lambda: 0.17,
    usualMm: 10,
    source: `rigid PVC, EN ISO 10077-2 table; CIBSE Guide A has 0.16; ${usualThickness}`,
    standing: 'secondary',
  },
  acrylic: {
    lambda: 0.18,
    usualMm: 5,
    source: `PMMA, EN ISO 10456:2007 table; a published table of acrylic sheets fits it within 3 %; ${usualThickness}`,
    standing: 'secondary',
  },
  mesh: null,
  other: null,
};

/** What a box can be insulated with: how well it conducts heat (W/(m K)). */
export const INSULATORS: Record<'foam-board' | 'cork', { lambda: number } & Provenance> = {
  'foam-board': { lambda: 0.04, source: 'expanded polystyrene, EN ISO 10456 range', standing: 'from-memory' },
  cork: { lambda: 0.05, source: 'expanded cork board, EN ISO 10456', standing: 'from-memory' },
};

/**
 * What the air film on an inside surface resists (m² K/W) by the way the heat flows: ISO 6946, read in a page that quotes it. A box stands
 * in a room, so both its faces have it; the lower outdoor value would overstate the loss by a third.
 */
export const INDOOR_FILMS = { sideways: 0.13, upward: 0.1, downward: 0.17 } as const;

/** Heat that air carries, Wh/(m³ K): 1.2 kg/m³ x 1005 J/(kg K) / 3600 (published; building practice rounds it to 0.33). */
export const AIR_HEAT = (1.2 * 1005) / 3600;

/** Air changes an hour of a closed box with its vents, when the keeper gave none: own assumption. From 0.5 to 10 it moves the loss by -2 to +10 %. */
export const USUAL_AIR_CHANGES = 2;

/** A layer of a wall: thickness in mm (above 0) and conductivity in W/(m K) (above 0). */
export type Layer = { mm: number; lambda: number };

/**
 * What a wall of some layers between two air films (m² K/W) lets through, W/(m² K): 1 / (film + sum of thickness / conductivity + film),
 * ISO 6946. No layers leave the two films.
 */
export function transmittanceOf(layers: readonly Layer[], films: readonly [number, number]): number {
  for (const { mm, lambda } of layers) {
    if (!(mm > 0) || !(lambda > 0)) throw new RangeError('a layer must have a thickness and a conductivity above 0');
  }
  return 1 / layers.reduce((sum, { mm, lambda }) => sum + mm / 1000 / lambda, films[0] + films[1]);
}

export const FACES = ['back', 'left', 'right', 'front', 'top', 'base'] as const;
type Face = (typeof FACES)[number];

/** What one face loses: its inside area (m²), what it lets through (W/(m² K)) and both together (W/K); a base on something loses nothing. */
type FaceLoss = { face: Face; areaM2: number; transmittance: number; wattsPerKelvin: number };

/** What had to be assumed because the keeper did not say it. */
export type WarmthAssumption =
  | { assumed: 'wall-thickness'; material: Material; mm: number }
  | { assumed: 'front-thickness'; material: Material; mm: number }
  | { assumed: 'air-changes'; anHour: number };

/** Why a keeper's measured heat use was not taken: the box changed since, or the temperatures do not differ by more than thermometers err. */
export type MeasurementFault = 'older-than-box' | 'no-watts' | 'inside-not-warmer' | 'difference-within-error';

/** Why a heat loss cannot be told from how the box is built. */
export type NoEstimate = 'mesh-top' | 'open-top' | 'mesh-walls' | 'mesh-front' | 'material-unknown';

/**
 * How many watts a box loses for each degree that its mean air is warmer than the room (W/K), with the ends of its error band. Where it
 * cannot be told, `floorWattsPerKelvin` is what the box would lose closed, which it loses at the least (null: not even that). `measurement`
 * says why a measured heat use was not taken; null when there is none.
 */
export type HeatLoss =
  | { status: 'measured'; wattsPerKelvin: number; low: number; high: number; on: PlainDate }
  | { status: 'measured-then-changed'; wattsPerKelvin: number; low: number; high: number; on: PlainDate }
  | {
      status: 'computed';
      wattsPerKelvin: number;
      low: number;
      high: number;
      faces: FaceLoss[];
      ventilation: number;
      assumptions: WarmthAssumption[];
      measurement: MeasurementFault | null;
    }
  | {
      status: 'cannot-be-estimated';
      why: NoEstimate;
      floorWattsPerKelvin: number | null;
      assumptions: WarmthAssumption[];
      measurement: MeasurementFault | null;
    };

/** What would be done to a box: a layer more on some faces (mm, W/(m K)), its open or mesh top closed with a sheet like its walls. */
export type BuildChange = { layers?: readonly ({ faces: readonly Face[] } & Layer)[]; closeTop?: boolean };

// Judged from how far conductivity, air changes and the film outside move the sum: 25 % when the box is known, 40 % when parts are assumed.
const KNOWN_BOX_ERROR = 0.25;
const ASSUMED_BOX_ERROR = 0.4;

// Own assumptions: each of two thermometers errs by half a degree, a plug meter or a duty by a twentieth.
const DIFFERENCE_ERROR = 0.5 * Math.SQRT2;
const WATTS_ERROR = 0.05;

/**
 * The heat loss that a measured heat use tells: mean watts / (inside - room). Holds only when all heat in the box, lamps included, is in
 * the watts. The band is of two thermometers and a meter.
 */
export function measuredLoss(
  use: HeatUse,
): Extract<HeatLoss, { status: 'measured' }> | { status: 'not-usable'; why: MeasurementFault } {
  const difference = use.insideCelsius - use.roomCelsius;
  if (!(use.watts > 0)) return { status: 'not-usable', why: 'no-watts' };
  if (!(difference > 0)) return { status: 'not-usable', why: 'inside-not-warmer' };
  if (difference <= 1) return { status: 'not-usable', why: 'difference-within-error' };
  return {
    status: 'measured',
    wattsPerKelvin: use.watts / difference,
    low: (use.watts * (1 - WATTS_ERROR)) / (difference + DIFFERENCE_ERROR),
    high: (use.watts * (1 + WATTS_ERROR)) / (difference - DIFFERENCE_ERROR),
    on: use.on,
  };
}

/**
 * How much heat a box loses, as it is or after a change: from its measured heat use when that still holds, else the sum over its faces and
 * its air, H = sum of U A + 0.335 n V (ISO 6946; inside sizes, base on something without loss). An open or mesh face cannot be estimated:
 * an upper bound for a bare opening (Epstein 1988, its coefficient from memory) runs from a sixth of the loss of the walls to three times it
 * by the opening's size, and mesh and draughts move that several times over. A changed box keeps its measured
 * figure less the smaller of the reckoned watts and the reckoned share; layers on open or mesh faces do nothing.
 */
export function heatLossOf(enclosure: Enclosure, change: BuildChange = {}): HeatLoss {
  const use = enclosure.build.heatUse;
  const measured =
    use === null
      ? null
      : use.on < enclosure.boxSince
        ? ({ status: 'not-usable', why: 'older-than-box' } as const)
        : measuredLoss(use);
  const reckoned = reckonedLoss(enclosure, change, measured?.status === 'not-usable' ? measured.why : null);
  if (measured?.status !== 'measured') return reckoned;
  const layered = (change.layers ?? []).length > 0;
  const closed = change.closeTop === true && enclosure.top !== 'closed';
  if (!layered && !closed) return measured;
  if (closed) {
    // Closed it cannot lose more than it was measured to lose open.
    if (reckoned.status === 'cannot-be-estimated') return reckoned;
    return {
      ...reckoned,
      wattsPerKelvin: Math.min(reckoned.wattsPerKelvin, measured.wattsPerKelvin),
      low: Math.min(reckoned.low, measured.low),
      high: Math.min(reckoned.high, measured.high),
    };
  }
  const [before, after] = [closedWatts(reckonedLoss(enclosure, {}, null)), closedWatts(reckoned)];
  if (before === null || after === null) return reckoned;
  const share = Math.min(1 - after / before, (before - after) / measured.wattsPerKelvin);
  return {
    status: 'measured-then-changed',
    wattsPerKelvin: measured.wattsPerKelvin * (1 - share),
    low: measured.low * (1 - Math.min(1, share * (1 + ASSUMED_BOX_ERROR))),
    high: measured.high * (1 - share * (1 - ASSUMED_BOX_ERROR)),
    on: measured.on,
  };
}

/**
 * The heat loss of a box whose measured top of mesh is covered over a share of it (0 to 1): that share of the difference between measured and
 * closed. Cautious, since what rises through an opening grows faster than its area (Epstein 1988, from memory). Without a measured heat use
 * nothing can be told of a part of a mesh.
 */
export function lossWithTopCovered(enclosure: Enclosure, share: number): HeatLoss {
  const [before, closed] = [heatLossOf(enclosure), heatLossOf(enclosure, { closeTop: true })];
  if (before.status !== 'measured' || closed.status === 'cannot-be-estimated') return before;
  const between = (from: number, to: number) => from - share * Math.max(0, from - to);
  return {
    status: 'measured-then-changed',
    wattsPerKelvin: between(before.wattsPerKelvin, closed.wattsPerKelvin),
    low: between(before.low, closed.low),
    high: between(before.high, closed.high),
    on: before.on,
  };
}

function closedWatts(loss: HeatLoss): number | null {
  return loss.status === 'cannot-be-estimated' ? loss.floorWattsPerKelvin : loss.wattsPerKelvin;
}

function reckonedLoss(enclosure: Enclosure, change: BuildChange, measurement: MeasurementFault | null): HeatLoss {
  const { build, material, lengthMm, depthMm, heightMm } = enclosure;
  for (const mm of [lengthMm, depthMm, heightMm]) if (!(mm > 0)) throw new RangeError('a box must measure above 0 mm');
  const frontMaterial = build.frontMaterial ?? material;
  const assumptions: WarmthAssumption[] = [];
  const walls = sheetOf(material, build.wallMm);
  if (walls !== null && build.wallMm === null) assumptions.push({ assumed: 'wall-thickness', material, mm: walls.mm });
  const frontMm = build.frontMm ?? (frontMaterial === material ? build.wallMm : null);
  const front = sheetOf(frontMaterial, frontMm);
  if (front !== null && frontMm === null && !(frontMaterial === material && build.wallMm === null))
    assumptions.push({ assumed: 'front-thickness', material: frontMaterial, mm: front.mm });
  if (build.airChanges === null) assumptions.push({ assumed: 'air-changes', anHour: USUAL_AIR_CHANGES });

  const [length, depth, height] = [lengthMm / 1000, depthMm / 1000, heightMm / 1000];
  const areas: Record<Face, number> = {
    back: length * height,
    left: depth * height,
    right: depth * height,
    front: length * height,
    top: length * depth,
    base: length * depth,
  };
  const top = change.closeTop === true ? 'closed' : enclosure.top;
  const faces = FACES.map((face): FaceLoss => {
    const areaM2 = areas[face];
    if (face === 'base' && build.standsOn === 'something') return { face, areaM2, transmittance: 0, wattsPerKelvin: 0 };
    const film = INDOOR_FILMS[face === 'top' ? 'upward' : face === 'base' ? 'downward' : 'sideways'];
    const sheet = face === 'front' ? front : walls;
    const isOpen = sheet === null || (face === 'top' && top !== 'closed');
    const added = isOpen ? [] : (change.layers ?? []).filter((layer) => layer.faces.includes(face));
    // A mesh face loses more than its air films alone would let through, so without a sheet these stand in for the floor.
    const transmittance = transmittanceOf([...(sheet === null ? [] : [sheet]), ...added], [film, film]);
    return { face, areaM2, transmittance, wattsPerKelvin: transmittance * areaM2 };
  });
  const ventilation = AIR_HEAT * (build.airChanges ?? USUAL_AIR_CHANGES) * length * depth * height;
  const sum = faces.reduce((total, one) => total + one.wattsPerKelvin, ventilation);

  const cannot = (why: NoEstimate, floorWattsPerKelvin: number | null): HeatLoss => ({
    status: 'cannot-be-estimated',
    why,
    floorWattsPerKelvin,
    assumptions,
    measurement,
  });
  if (material === 'other' || frontMaterial === 'other') return cannot('material-unknown', null);
  if (material === 'mesh') return cannot('mesh-walls', sum);
  if (frontMaterial === 'mesh') return cannot('mesh-front', sum);
  if (top !== 'closed') return cannot(top === 'mesh' ? 'mesh-top' : 'open-top', sum);
  const error = assumptions.length === 0 ? KNOWN_BOX_ERROR : ASSUMED_BOX_ERROR;
  return {
    status: 'computed',
    wattsPerKelvin: sum,
    low: sum * (1 - error),
    high: sum * (1 + error),
    faces,
    ventilation,
    assumptions,
    measurement,
  };
}

function sheetOf(material: Material, mm: number | null): Layer | null {
  const conductor = CONDUCTORS[material];
  return conductor === null ? null : { mm: mm ?? conductor.usualMm, lambda: conductor.lambda };
}

/** Watts to keep the mean air of a box at some degrees Celsius in a room of others: H x difference; nothing when the room is as warm. */
export function wattsToHold(wattsPerKelvin: number, insideCelsius: number, roomCelsius: number): number {
  return Math.max(0, wattsPerKelvin * (insideCelsius - roomCelsius));
}

/** Watts that water takes to dry up, of grams a day: 2450 J/g (from memory). */
export function evaporationWatts(gramsADay: number): number {
  return (gramsADay * 2450) / 86_400;
}

/** A thing whose watts all end as heat in the box while it is on: mean watts while on, hours a day (0 to 24) from the start of the day. */
export type Gain = { watts: number; hoursPerDay: number };

// A chiller and a thermostat give their heat to the room, and a background heater is what is to be found.
const noGain: ReadonlySet<FittingKind> = new Set([
  'heat-mat',
  'ceramic-heater',
  'radiant-panel',
  'rock-heater',
  'water-heater',
  'thermostat',
  'chiller',
]);

/**
 * The heat that fitted things give besides background heaters: lamps, pumps, fans. Lamps count whole, also above a mesh; those whose watts or
 * hours were never given are named, since a lamp left out makes a heater look needed.
 */
export function gainsOf(
  fittings: readonly Fitting[],
  on: PlainDate,
): { gains: Gain[]; unknown: { fittingId: string; name: string }[] } {
  const fitted = fittings.filter((one) => isFitted(one, on) && !noGain.has(one.kind));
  const lamps: ReadonlySet<FittingKind> = new Set(['uv-tube', 'uv-compact', 'basking-lamp']);
  return {
    gains: fitted.flatMap(({ watts, hoursPerDay, duty }) =>
      watts === null || watts === 0 || hoursPerDay === null ? [] : [{ watts: watts * (duty ?? 1), hoursPerDay }],
    ),
    unknown: fitted
      .filter(({ kind, watts, hoursPerDay }) => (watts === null ? lamps.has(kind) : watts > 0 && hoursPerDay === null))
      .map(({ id, name }) => ({ fittingId: id, name })),
  };
}

/** What mean air is wanted in the box and what the room has (°C). */
type Spell = { insideCelsius: number; roomCelsius: number };

/**
 * A day and a night to be held. `heaterWatts` is the rating of the background heater under its thermostat, null while none is chosen;
 * `evaporatedGrams` the water that dries up in a day (0 when left out).
 */
export type WarmthQuestion = {
  day: Spell;
  night: Spell;
  dayHours: number;
  gains: readonly Gain[];
  heaterWatts: number | null;
  evaporatedGrams: number;
};

/**
 * One spell held: watts it needs, mean watts that come from other things less what drying water takes, mean watts of the heater and the
 * share of the time it is on (null without a heater), the mean air without it, and with it always on, the most that can be reached (°C;
 * null without a heater).
 */
export type HeldSpell = {
  hours: number;
  wattsNeeded: number;
  wattsFromOthers: number;
  heaterMeanWatts: number;
  duty: number | null;
  state: 'warm-without-heater' | 'held' | 'not-reached' | 'heater-to-choose';
  withoutHeaterCelsius: number;
  mostCelsius: number | null;
};

/** A day and a night at one heat loss, and the kilowatt-hours a day that the heater and the other things draw. */
export type WarmthDay = { day: HeldSpell; night: HeldSpell; heaterKwhADay: number; othersKwhADay: number };

/** A day held, at the likely heat loss and at both ends of its band; where that cannot be estimated, at its floor (null: nothing known). */
export type Warmth =
  | { status: 'estimated'; likely: WarmthDay; atLowLoss: WarmthDay; atHighLoss: WarmthDay }
  | { status: 'cannot-be-estimated'; why: NoEstimate; atLeast: WarmthDay | null };

/**
 * What holds a box warm over a day and a night in the steady state: the heater gives what the box loses beyond what other things give. A
 * share of 1 means that the heater does not reach it. Warming up and the difference between ends are not reckoned.
 */
export function holdWarmth(loss: HeatLoss, question: WarmthQuestion): Warmth {
  if (loss.status === 'cannot-be-estimated') {
    const floor = loss.floorWattsPerKelvin;
    return { status: loss.status, why: loss.why, atLeast: floor === null ? null : dayAt(floor, question) };
  }
  return {
    status: 'estimated',
    likely: dayAt(loss.wattsPerKelvin, question),
    atLowLoss: dayAt(loss.low, question),
    atHighLoss: dayAt(loss.high, question),
  };
}

function dayAt(wattsPerKelvin: number, question: WarmthQuestion): WarmthDay {
  const { dayHours, gains, heaterWatts } = question;
  if (!(dayHours >= 0 && dayHours <= 24)) throw new RangeError('a day has 0 to 24 hours of light');
  const nightHours = 24 - dayHours;
  const drying = evaporationWatts(question.evaporatedGrams);
  const wattHours = (hours: (gain: Gain) => number) => gains.reduce((sum, gain) => sum + gain.watts * hours(gain), 0);
  const byDay = wattHours((gain) => Math.min(gain.hoursPerDay, dayHours));
  const byNight = wattHours((gain) => Math.max(0, gain.hoursPerDay - dayHours));
  const held = (hours: number, spell: Spell, others: number): HeldSpell =>
    holdSpell(wattsPerKelvin, hours, spell, (hours === 0 ? 0 : others / hours) - drying, heaterWatts);
  const [day, night] = [held(dayHours, question.day, byDay), held(nightHours, question.night, byNight)];
  return {
    day,
    night,
    heaterKwhADay: (day.heaterMeanWatts * dayHours + night.heaterMeanWatts * nightHours) / 1000,
    othersKwhADay: (byDay + byNight) / 1000,
  };
}

function holdSpell(
  wattsPerKelvin: number,
  hours: number,
  { insideCelsius, roomCelsius }: Spell,
  wattsFromOthers: number,
  heaterWatts: number | null,
): HeldSpell {
  if (!(wattsPerKelvin > 0)) throw new RangeError('a box loses heat: watts per kelvin must be above 0');
  const wattsNeeded = wattsToHold(wattsPerKelvin, insideCelsius, roomCelsius);
  const missing = Math.max(0, wattsPerKelvin * (insideCelsius - roomCelsius) - wattsFromOthers);
  const reached = heaterWatts === null || missing <= heaterWatts;
  return {
    hours,
    wattsNeeded,
    wattsFromOthers,
    heaterMeanWatts: heaterWatts === null ? missing : Math.min(missing, heaterWatts),
    duty: heaterWatts === null || heaterWatts === 0 ? null : Math.min(1, missing / heaterWatts),
    state:
      missing === 0
        ? 'warm-without-heater'
        : heaterWatts === null
          ? 'heater-to-choose'
          : reached
            ? 'held'
            : 'not-reached',
    withoutHeaterCelsius: roomCelsius + wattsFromOthers / wattsPerKelvin,
    mostCelsius: heaterWatts === null ? null : roomCelsius + (heaterWatts + wattsFromOthers) / wattsPerKelvin,
  };
}

/** Kilowatt-hours and cost of a mean month of so many kWh a day, the cost rounded up; null when the price (major units a kWh) is unknown. */
export function monthOfPower(
  kwhADay: number,
  pricePerKwh: number | null,
  currency: Currency,
): { kwh: number; cost: Money | null } {
  const kwh = kwhADay * DAYS_A_MONTH;
  return { kwh, cost: pricePerKwh === null ? null : costAtRate(pricePerKwh, kwh, currency) };
}

/** A figure with the ends of its error band. */
export type LikelyRange<T> = { low: T; likely: T; high: T };

/**
 * What a change of the box saves in a mean month, money rounded down and null when the price is unknown. 'at-least' where the box cannot be
 * estimated as it is: closing a mesh top then saves an unknown sum, of which only this is certain.
 */
export type Saving =
  | { status: 'saves'; kwh: LikelyRange<number>; cost: LikelyRange<Money> | null }
  | { status: 'at-least'; kwh: number; cost: Money | null }
  | { status: 'cannot-be-estimated'; why: NoEstimate };

/**
 * What is saved a month in heating by a box that loses `after` instead of `before`, the same day and night held. The error of two reckoned
 * figures of one box is common to both; a measured and a reckoned one err apart. Never below 0 at an end of the band.
 */
export function savingOf(
  before: HeatLoss,
  after: HeatLoss,
  question: WarmthQuestion,
  pricePerKwh: number | null,
  currency: Currency,
): Saving {
  const monthAt = (wattsPerKelvin: number) => dayAt(wattsPerKelvin, question).heaterKwhADay * DAYS_A_MONTH;
  const saved = (from: number, to: number) => Math.max(0, monthAt(from) - monthAt(to));
  const priced = (kwh: number) => (pricePerKwh === null ? null : money(-costAtRate(pricePerKwh, -kwh, currency)));
  if (before.status === 'cannot-be-estimated') {
    const [from, to] = [closedWatts(before), closedWatts(after)];
    if (from === null || to === null) return { status: 'cannot-be-estimated', why: before.why };
    const kwh = saved(from, to);
    return { status: 'at-least', kwh, cost: priced(kwh) };
  }
  // The floor of what cannot be estimated bounds its loss from below, and so nothing of a saving.
  if (after.status === 'cannot-be-estimated') return { status: 'cannot-be-estimated', why: after.why };
  const common = (before.status === 'computed') === (after.status === 'computed');
  const ends = [
    saved(before.low, common ? after.low : after.high),
    saved(before.high, common ? after.high : after.low),
  ];
  const likely = saved(before.wattsPerKelvin, after.wattsPerKelvin);
  const kwh = { low: Math.min(...ends, likely), likely, high: Math.max(...ends, likely) };
  const cost =
    pricePerKwh === null ? null : { low: priced(kwh.low)!, likely: priced(likely)!, high: priced(kwh.high)! };
  return { status: 'saves', kwh, cost };
}

/** Why closing a top is not proposed. */
export type ClosingObjection = 'lamp-clearance' | 'required-vents' | 'moving-air';

/** What speaks against closing a box's top; none when nothing does. Each alone is enough not to propose it. */
export function objectionsToClosing(facts: {
  withinLampClearance: boolean;
  overRequiredVents: boolean;
  needsMovingAir: boolean;
}): ClosingObjection[] {
  const found: ClosingObjection[] = [];
  if (facts.withinLampClearance) found.push('lamp-clearance');
  if (facts.overRequiredVents) found.push('required-vents');
  if (facts.needsMovingAir) found.push('moving-air');
  return found;
}

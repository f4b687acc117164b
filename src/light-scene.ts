// What the light of one enclosure is reckoned from: its lamps as they hang and have aged, what stands in their way, and what a reading made of
// them; from these the UV index at any point, how far it may be wrong, and what a keeper should know about it. How light travels stands in light.ts.

import type { PlainDate } from './calendar.ts';
import { ageInMonths } from './calendar.ts';
import type { Fitting, LampOutput, LightCorrection } from './collection.ts';
import { isFitted, isGuarded } from './collection.ts';
import type { ErrorTerm, HungLamp, LightSource, Point, Scratch, Solid, Uvi } from './light.ts';
import {
  AGEING,
  agedShare,
  errorTerms,
  GUARD_SHARE,
  hiddenShare,
  inQuadrature,
  isBetweenUnknown,
  METER_ERROR,
  meshShareOf,
  scratchFor,
  sourceOf,
  uviAt,
} from './light.ts';
import type { LightProblem, LitBox } from './placed-things.ts';
import { isHide, isLamp, isSolid, problemsIn, solidOf } from './placed-things.ts';

/** Height of an animal's back above what it lies on, mm, where nothing better is known: an own assumption. */
export const BACK_MM = 30;
/** Below this UVI a place counts as free of UV: a meter that shows tenths shows 0.0. */
export const DARK_UVI = 0.05;
/** Nearest that a lamp is proposed to an animal's back, mm: a surface a few inches under a tube is too close. Common practice, no source. */
export const NEAREST_HANGING_MM = 150;

// A distance written down may differ this much from the places of lamp and basking place before it is told, mm.
const DIFFERENCE_MM = 30;
// A reading this many times what new, bare lamps could give is not explained by a strong lamp.
const IMPOSSIBLE_FACTOR = 1.5;

/** A UVI read in the box; `placeId` is the basking place or perch, null for the basking place that gets most. `accuracy` ± UVI. */
type PlaceReading = { uvi: number; takenOn: PlainDate; accuracy: number | null; placeId: string | null };

/** What a reading made of the model before something was moved, added or taken away: it still holds for the lamps that it was read of. */
export type EarlierReading = Pick<Recalibration, 'ratio' | 'takenOn'> & { lampIds: ReadonlySet<string> };

/**
 * An enclosure on a day. `backMm` is the animal's back above its ground; a reading wins over the model everywhere, and is held against it as
 * it is. `correction` is what an earlier reading says of some lamps, `keeper` what this keeper's other readings say of all lamps that have
 * no reading of their own: neither that one nor figures that were read under them.
 */
export type LightQuestion = {
  box: LitBox;
  fittings: Fitting[];
  on: PlainDate;
  backMm?: number;
  reading?: PlaceReading | null;
  correction?: EarlierReading | null;
  keeper?: LightCorrection | null;
};

/** What is not known of a lamp, so that the light of the box is unknown; a compact lamp's packaging is not believed without a reading. */
export type LightLack = { fittingId: string; lacks: 'position' | 'output' | 'believable-output' | 'between' };

/** Something a keeper should know about the figures. */
export type LightFinding =
  | {
      finding: 'reading-contradicts-model';
      placeId: string;
      reading: number;
      model: { low: number; likely: number; high: number };
      doubted: 'reading' | 'model' | 'either';
      why:
        | 'above-what-new-bare-lamps-give'
        | 'output-from-packaging'
        | 'output-of-a-class'
        | 'place-in-shade'
        | 'place-partly-in-shade'
        | 'nothing-arrives'
        | 'both-were-read';
    }
  | { finding: 'reading-without-place' }
  | { finding: 'reading-older-than-lamp'; lampId: string }
  | { finding: 'past-life'; lampId: string; lifeMonths: number }
  | { finding: 'lamp-above-closed-top'; lampId: string }
  | { finding: 'mesh-not-counted'; lampId: string }
  | { finding: 'too-near'; placeId: string; lampId: string; distanceMm: number }
  | { finding: 'distance-differs'; placeId: string; lampId: string; statedMm: number; placedMm: number };

/** What was assumed rather than known. Those about one lamp name it. */
export type LightAssumption =
  | { assumes: 'back-height'; mm: number }
  | { assumes: 'ageing'; endShare: number; lifeMonths: number; lampId: string }
  | { assumes: 'beam'; exponent: number; lampId: string }
  | { assumes: 'own-readings'; factor: number; error: number; from: number; lampId: string }
  | {
      assumes: 'reflector-unknown' | 'class-output' | 'packaging-output' | 'mesh-by-rule' | 'guard-by-rule';
      lampId: string;
    }
  | { assumes: 'hides-opaque' | 'walls-dark' | 'no-climbing' };

/** What a reading did: `ratio` is the reading over what the model said for its place and day; everything is multiplied by it. */
type Recalibration = {
  placeId: string;
  takenOn: PlainDate;
  reading: number;
  /** ± share of the reading. */
  error: number;
  model: { low: number; likely: number; high: number };
  ratio: number;
};

type SceneLamp = {
  fitting: Fitting;
  output: LampOutput;
  source: LightSource;
  /** Lets through: `mesh` and `guard` are 1 where nothing is taken off. */
  passes: { mesh: number; guard: number; sheet: number };
  fresh: HungLamp;
  aged: HungLamp;
  /** What the keeper's other readings made of it; null where they were not asked. */
  keeper: LightCorrection | null;
};

/** An enclosure made ready for questions about its light; made by `lightingOf`. */
export type LightScene = {
  status: 'lit';
  box: LitBox;
  on: PlainDate;
  backMm: number;
  lamps: SceneLamp[];
  things: { fitting: Fitting; solid: Solid }[];
  perches: Fitting[];
  unplacedHides: Fitting[];
  solids: Solid[];
  scratch: Scratch;
  fresh: HungLamp[];
  aged: HungLamp[];
  /** Aged over new, where all lamps have faded alike; else null. */
  fade: number | null;
  recalibrated: Recalibration | null;
  findings: LightFinding[];
  assumptions: LightAssumption[];
};

export type Lighting =
  | LightScene
  | { status: 'unknown'; lacks: LightLack[] }
  | { status: 'cannot'; problems: LightProblem[] };

/**
 * Makes an enclosure ready: its lamps in use, where they hang and what reaches through mesh and guards; the solids that cast shade (basking
 * places, shelves and hides; perches are too thin); and what a reading makes of it all. Without UV lamps everything is 0.
 */
export function lightingOf(question: LightQuestion): Lighting {
  const { box, on } = question;
  const active = question.fittings.filter((one) => isFitted(one, on));
  const problems = problemsIn(box, active);
  if (problems.length > 0) return { status: 'cannot', problems };
  const lampFittings = active.filter(isLamp);
  const lacks = lampFittings.flatMap((one): LightLack[] => {
    if (one.lamp === null) return [{ fittingId: one.id, lacks: 'output' }];
    return one.placed === null ? [{ fittingId: one.id, lacks: 'position' }] : [];
  });
  if (lacks.length > 0) return { status: 'unknown', lacks };

  const placed = active.filter((one) => one.placed !== null);
  const things = placed.filter(isSolid).map((fitting) => ({ fitting, solid: solidOf(fitting) }));
  const solids = things.map((one) => one.solid);
  const lamps = lampFittings.map((one) => sceneLamp(one, active, box, on));
  const correction = question.reading ? null : (question.correction ?? null);
  if (correction !== null) {
    for (const one of lamps) {
      if (correction.lampIds.has(one.fitting.id)) correct(one, correction.ratio);
    }
  }
  const scene: LightScene = {
    status: 'lit',
    box,
    on,
    backMm: question.backMm ?? BACK_MM,
    lamps,
    things,
    perches: placed.filter((one) => one.kind === 'perch'),
    unplacedHides: active.filter((one) => isHide(one) && one.placed === null),
    solids,
    scratch: scratchFor(solids),
    fresh: lamps.map((one) => one.fresh),
    aged: lamps.map((one) => one.aged),
    fade: null,
    recalibrated: null,
    findings: lamps.flatMap((one) => findingsAbout(one, box, on)),
    assumptions: assumptionsOf(question, lamps, things.length > 0),
  };
  recalibrate(scene, question.reading ?? null);
  const wasRead = ({ fitting }: SceneLamp) =>
    scene.recalibrated !== null || (correction?.lampIds.has(fitting.id) ?? false);
  const doubtful = lamps.filter(
    (one) => one.fitting.kind === 'uv-compact' && one.output.from === 'packaging' && !wasRead(one),
  );
  if (doubtful.length > 0) {
    return {
      status: 'unknown',
      lacks: doubtful.map((one) => ({ fittingId: one.fitting.id, lacks: 'believable-output' })),
    };
  }
  // Only a reading under it tells what reaches the animal through nobody knows what.
  const covered = lamps.filter((one) => isBetweenUnknown(one.fitting) && !wasRead(one));
  if (covered.length > 0)
    return { status: 'unknown', lacks: covered.map((one) => ({ fittingId: one.fitting.id, lacks: 'between' })) };
  const keeper = question.keeper ?? null;
  if (keeper !== null) {
    for (const one of lamps) {
      if (wasRead(one) || hasOwnFigures(one.output)) continue;
      one.keeper = keeper;
      one.fresh.share *= keeper.factor;
      one.aged.share *= keeper.factor;
      scene.assumptions.push({ assumes: 'own-readings', ...keeper, lampId: one.fitting.id });
    }
  }
  const fades = lamps.map((one) => (one.fresh.share === 0 ? 1 : one.aged.share / one.fresh.share));
  scene.fade = fades.every((one) => one === fades[0]) ? (fades[0] ?? 1) : null;
  for (const { fitting, solid } of things) {
    if (fitting.kind === 'basking-place') scene.findings.push(...findingsOver(scene, fitting, solid));
  }
  return scene;
}

function sceneLamp(fitting: Fitting, active: Fitting[], box: LitBox, on: PlainDate): SceneLamp {
  const output = fitting.lamp!;
  const { xMm, yMm, zMm, turned } = fitting.placed!;
  const guarded = isGuarded(fitting, active);
  const passes = {
    mesh: meshShareOf(output, fitting.meshShare),
    guard: guarded ? GUARD_SHARE : 1,
    // Whatever closes a box passes no UV-B that may be credited: glass and plain acrylic stop it (Duarte et al. 2009; Tuchinda, Srivannaboon
    // and Lim 2006), and what a UV-transmitting acrylic leaves of it a meter does not show (Burger, Gehrmann and Ferguson 2007).
    sheet: box.top === 'closed' && zMm > box.heightMm ? 0 : 1,
  };
  const source = sourceOf(output);
  const share = passes.mesh * passes.guard * passes.sheet;
  const fresh = { source, at: { xMm, yMm, zMm }, turned, share };
  const aged = { ...fresh, share: share * ageShare(fitting, on) };
  return { fitting, output, source, passes, fresh, aged, keeper: null };
}

/** How many times what its figures say is expected of a lamp, by the keeper's readings of other lamps; 1 without such readings. */
export function correctionFor(lamp: LampOutput, keeper: LightCorrection | null): number {
  return keeper === null || hasOwnFigures(lamp) ? 1 : keeper.factor;
}

/** Whether a lamp's figures were read under it by its keeper, so that they need no correction by other lamps. */
export function hasOwnFigures({ from }: LampOutput): boolean {
  return from === 'own-reading';
}

/**
 * Share (0 to 1) of its first output that is expected of a lamp on a day. It fades up to the end of its life; beyond it nothing is known of
 * how it goes on, so the expectation stays and what it is worth at the least falls instead (`overdueShare`).
 */
export function ageShare({ fittedOn, lifeMonths }: Pick<Fitting, 'fittedOn' | 'lifeMonths'>, on: PlainDate): number {
  const life = lifeMonths ?? AGEING.lifeMonths;
  return agedShare(Math.min(ageInMonths(fittedOn, on), life), life);
}

function findingsAbout(lamp: SceneLamp, box: LitBox, on: PlainDate): LightFinding[] {
  const { id: lampId, fittedOn, lifeMonths } = lamp.fitting;
  const past = lifeMonths !== null && ageInMonths(fittedOn, on) > lifeMonths;
  return [...(past ? [{ finding: 'past-life' as const, lampId, lifeMonths }] : []), ...findingsAboutTop(lamp, box)];
}

function findingsAboutTop(lamp: SceneLamp, box: LitBox): LightFinding[] {
  const lampId = lamp.fitting.id;
  if (lamp.passes.sheet === 0) return [{ finding: 'lamp-above-closed-top', lampId }];
  const throughTop = box.top === 'mesh' && lamp.fresh.at.zMm >= box.heightMm;
  return throughTop && lamp.fitting.meshShare === 1 && !lamp.output.throughMesh
    ? [{ finding: 'mesh-not-counted', lampId }]
    : [];
}

// What stands out of the lamps over a basking place. A stated distance may have been taken to its top or to the animal's back.
function findingsOver(scene: LightScene, place: Fitting, solid: Solid): LightFinding[] {
  const at = placePoint(scene, place);
  return scene.lamps.flatMap(({ fitting, output, fresh }): LightFinding[] => {
    const named = { placeId: place.id, lampId: fitting.id };
    const distanceMm = between(fresh.at, at);
    const placedMm = fresh.at.zMm - output.datumOffsetMm - solid.toZ;
    const stated = fitting.distanceMm;
    const over = asideOf(fresh, at) <= DIFFERENCE_MM;
    const differs =
      over &&
      stated !== null &&
      (stated > placedMm + DIFFERENCE_MM || stated < placedMm - scene.backMm - DIFFERENCE_MM);
    return [
      ...(distanceMm < NEAREST_HANGING_MM ? [{ finding: 'too-near' as const, ...named, distanceMm }] : []),
      ...(differs ? [{ finding: 'distance-differs' as const, ...named, statedMm: stated, placedMm }] : []),
    ];
  });
}

function assumptionsOf(question: LightQuestion, lamps: SceneLamp[], hasSolids: boolean): LightAssumption[] {
  const about = lamps.flatMap((one): LightAssumption[] => {
    const lampId = one.fitting.id;
    const { output, passes } = one;
    return [
      {
        assumes: 'ageing',
        endShare: AGEING.endShare,
        lifeMonths: one.fitting.lifeMonths ?? AGEING.lifeMonths,
        lampId,
      },
      ...(output.beam === null ? [{ assumes: 'beam' as const, exponent: one.source.beam, lampId }] : []),
      ...(output.reflector === 'unknown' ? [{ assumes: 'reflector-unknown' as const, lampId }] : []),
      ...(output.from === 'class' ? [{ assumes: 'class-output' as const, lampId }] : []),
      ...(output.from === 'packaging' ? [{ assumes: 'packaging-output' as const, lampId }] : []),
      ...(passes.mesh < 1 ? [{ assumes: 'mesh-by-rule' as const, lampId }] : []),
      ...(passes.guard < 1 ? [{ assumes: 'guard-by-rule' as const, lampId }] : []),
    ];
  });
  return [
    ...(question.backMm === undefined ? [{ assumes: 'back-height' as const, mm: BACK_MM }] : []),
    ...about,
    ...(hasSolids ? [{ assumes: 'hides-opaque' as const }] : []),
    { assumes: 'walls-dark' },
    { assumes: 'no-climbing' },
  ];
}

// Lets a reading win: every lamp is multiplied so that the model says at its place and on its day what was read.
function recalibrate(scene: LightScene, reading: PlaceReading | null): void {
  if (reading === null || scene.lamps.length === 0) return;
  const places = [...scene.things.map((one) => one.fitting), ...scene.perches].filter((one) =>
    reading.placeId === null ? one.kind === 'basking-place' : one.id === reading.placeId,
  );
  const newer = scene.lamps.find((one) => one.fitting.fittedOn > reading.takenOn);
  if (newer !== undefined) {
    scene.findings.push({ finding: 'reading-older-than-lamp', lampId: newer.fitting.id });
    return;
  }
  const then = scene.lamps.map((one) => ({
    ...one.fresh,
    share: one.fresh.share * ageShare(one.fitting, reading.takenOn),
  }));
  let place: Fitting | null = null;
  let likely = -1;
  for (const one of places) {
    const { aimed } = uviAt(then, placePoint(scene, one), scene.solids, scene.scratch);
    if (aimed > likely) [place, likely] = [one, aimed];
  }
  if (place === null) {
    scene.findings.push({ finding: 'reading-without-place' });
    return;
  }
  const at = placePoint(scene, place);
  const error = inQuadrature(errorsAt(scene, at, false));
  const accuracy = reading.accuracy ?? reading.uvi * METER_ERROR;
  const fresh = uviAt(scene.fresh, at, scene.solids, scene.scratch);
  const model = { low: likely * Math.max(0, 1 - error), likely, high: fresh.most * (1 + error) };
  // What the meter may be off counts on the reading's side too, in quadrature with the model's own error.
  const below = likely - reading.uvi > Math.hypot(likely * error, accuracy);
  const above = reading.uvi - fresh.most > Math.hypot(fresh.most * error, accuracy);
  if (below || above) {
    const { doubted, why } = doubtOf(scene, at, reading.uvi, likely, error);
    scene.findings.push({
      finding: 'reading-contradicts-model',
      placeId: place.id,
      reading: reading.uvi,
      model,
      doubted,
      why,
    });
  }
  if (likely <= 0) return;
  const ratio = reading.uvi / likely;
  for (const lamp of scene.lamps) correct(lamp, ratio);
  scene.recalibrated = {
    placeId: place.id,
    takenOn: reading.takenOn,
    reading: reading.uvi,
    error: reading.uvi > 0 ? accuracy / reading.uvi : 1,
    model,
    ratio,
  };
}

// What was read makes of a lamp: multiplied, new as it was and as old as it is. A reading under an old lamp stands for more when it was new,
// and a ceiling is held against that: age never raises what is too much.
function correct(lamp: SceneLamp, ratio: number): void {
  lamp.fresh.share *= ratio;
  lamp.aged.share *= ratio;
}

type Contradiction = Extract<LightFinding, { finding: 'reading-contradicts-model' }>;

function doubtOf(
  scene: LightScene,
  at: Point,
  reading: number,
  likely: number,
  error: number,
): Pick<Contradiction, 'doubted' | 'why'> {
  const from = (origin: LampOutput['from']) => scene.lamps.some((one) => one.output.from === origin);
  if (from('packaging')) return { doubted: 'model', why: 'output-from-packaging' };
  const bare = scene.lamps.map((one) => ({ ...one.fresh, share: 1 }));
  if (reading > uviAt(bare, at, []).most * (1 + error) * IMPOSSIBLE_FACTOR) {
    return { doubted: 'reading', why: 'above-what-new-bare-lamps-give' };
  }
  if (likely <= 0) return { doubted: 'model', why: 'place-in-shade' };
  if (reading < DARK_UVI) return { doubted: 'either', why: 'nothing-arrives' };
  if (scene.fresh.some((one) => hiddenShare(one, at, scene.solids, scene.scratch) > 0)) {
    return { doubted: 'model', why: 'place-partly-in-shade' };
  }
  return from('class') ? { doubted: 'model', why: 'output-of-a-class' } : { doubted: 'either', why: 'both-were-read' };
}

/**
 * What makes the light at a point uncertain: each lamp's terms, weighed by its part of the light there. `wasRead`: the reading was taken at
 * this very point, so that only the meter is in doubt.
 */
export function errorsAt(scene: LightScene, at: Point, wasRead: boolean): ErrorTerm[] {
  const read = scene.recalibrated;
  const meter: ErrorTerm = { of: 'meter', share: read?.error ?? METER_ERROR, grade: 'from-memory' };
  if (read !== null && wasRead) return [meter];
  const parts = scene.fresh.map((one) => uviAt([one], at, scene.solids, scene.scratch).most);
  const whole = parts.reduce((sum, one) => sum + one, 0);
  const together = new Map<ErrorTerm['of'], ErrorTerm>();
  for (const [index, lamp] of scene.lamps.entries()) {
    const weight = whole > 0 ? parts[index]! / whole : 1 / scene.lamps.length;
    const hung = lamp.fresh.at;
    let output = lamp.output;
    let passes: { mesh: number; guard: number } = lamp.passes;
    if (read !== null) {
      // The reading was taken through mesh and guard, and is the one point that is known.
      const spot = [...scene.things.map((one) => one.fitting), ...scene.perches].find(
        (one) => one.id === read.placeId,
      )!;
      output = { ...output, atMm: Math.max(1, between(hung, placePoint(scene, spot))), datumOffsetMm: 0 };
      passes = { mesh: 1, guard: 1 };
    }
    const aside = asideOf(lamp.fresh, at);
    for (const term of errorTerms(output, lamp.source, hung.zMm - at.zMm, aside, passes)) {
      const before = together.get(term.of);
      together.set(term.of, { ...term, share: (before?.share ?? 0) + weight * term.share });
    }
    if (lamp.keeper !== null) {
      const before = together.get('own-readings')?.share ?? 0;
      const share = before + weight * lamp.keeper.error;
      together.set('own-readings', { of: 'own-readings', share, grade: 'computed' });
    }
  }
  if (read !== null) together.set('meter', meter);
  return [...together.values()];
}

/** How far a point lies to the side of a lamp, mm: of a tube, beyond its ends or across it. */
export function asideOf(lamp: HungLamp, at: Point): number {
  const [dx, dy] = [Math.abs(at.xMm - lamp.at.xMm), Math.abs(at.yMm - lamp.at.yMm)];
  const half = lamp.source.halfLengthMm ?? 0;
  const [along, across] = lamp.turned ? [dy, dx] : [dx, dy];
  return Math.hypot(Math.max(0, along - half), across);
}

/** UV at a point with new lamps and with lamps as old as they are. */
export function bothAt(scene: LightScene, at: Point): { fresh: Uvi; aged: Uvi } {
  const fresh = uviAt(scene.fresh, at, scene.solids, scene.scratch);
  const { fade } = scene;
  if (fade === null) return { fresh, aged: uviAt(scene.aged, at, scene.solids, scene.scratch) };
  return { fresh, aged: { aimed: fresh.aimed * fade, most: fresh.most * fade, flat: fresh.flat * fade } };
}

/** Where an animal's back is at a thing that has a place: on top of a basking place or perch, or on the floor of a hide. */
export function placePoint(scene: LightScene, fitting: Fitting): Point {
  const { xMm, yMm, zMm, heightMm } = fitting.placed!;
  const tall = heightMm ?? 0;
  return isHide(fitting)
    ? { xMm, yMm, zMm: zMm + Math.min(scene.backMm, tall / 2) }
    : { xMm, yMm, zMm: zMm + tall + scene.backMm };
}

function between(a: Point, b: Point): number {
  return Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm, a.zMm - b.zMm);
}

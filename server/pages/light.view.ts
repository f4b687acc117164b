// What the light page of an enclosure shows: which places, lamps and zones are looked at, and in which order the figures stand.

import type { PlainDate } from '../../src/calendar.ts';
import { type Animal, type Fitting, isFitted, type Setup, UV_LAMPS } from '../../src/collection.ts';
import { lampsOfClass, lightIn } from '../../src/evidence.ts';
import type { WantedUvi } from '../../src/lamp-hanging.ts';
import { classesThatFit, hangingFor } from '../../src/lamp-hanging.ts';
import type { Lighting, LightScene } from '../../src/light-scene.ts';
import { BACK_MM } from '../../src/light-scene.ts';
import type { LitPlace } from '../../src/lit-places.ts';
import { againstCeiling, placesIn, spreadIn } from '../../src/lit-places.ts';
import type { PartsList } from '../../src/parts.ts';
import type { LightProblem } from '../../src/placed-things.ts';
import type { CareLibrary, UvZoneBand } from '../../src/species.ts';
import { speciesOf } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, withMeasuresIn } from '../../src/units.ts';
import { aimedUvi, uvLowerEnd } from '../../src/uv-need.ts';
import { cautions } from '../caution-words.ts';
import { depthOfCut, drawPlan, drawSection, type EnclosureDrawing } from '../enclosure-drawing.ts';
import { fittingNames, zoneWords } from '../kind-words.ts';
import {
  ceilingWords,
  classFiguresSentence,
  classFitText,
  errorNames,
  findingSentence,
  hangingText,
  type LightSpeech,
  lackSentence,
  lightAssumptionSentence,
  problemSentence,
  retreatText,
  shareText,
  trialSentences,
  uviText,
  zonesServedSentence,
} from '../light-words.ts';
import { paths } from '../paths.ts';
import { ownReadingsWords } from '../score-words.ts';
import { capital, listed, lowerFirst } from '../words.ts';

type Line = { text: string; href: string; action: string };

type LightPage = {
  heading: string;
  lead: string;
  /** What to enter first or to mend, each with where. */
  first: { heading: string; lines: Line[] } | null;
  /** Whose figures are those of a class and not their own. */
  classFigures: string[];
  findings: string[];
  drawings: EnclosureDrawing[];
  things: { number: string; name: string; kind: string; href: string }[];
  unplaced: Line[];
  places: { name: string; uvi: string; band: string; distance: string; hidden: string }[];
  shares: { band: string; fresh: string; aged: string }[];
  retreat: string | null;
  highest: string | null;
  ceilings: { zone: string; ceiling: string; stands: string }[];
  hangings: { lamp: string; place: string; zone: string; text: string }[];
  classes: { name: string; href: string; texts: { zone: string; text: string }[] }[];
  classZones: string[];
  classNote: string;
  /** For which zones no class fits, a sentence each. */
  classFailures: string[];
  assumptions: string[];
  errors: string;
  cautions: string[];
  backHref: string;
};

/** Where on the page another lamp, or the same at another place, is tried. */
const TRY_HREF = '#try';

/** Kinds of things that a drawing can show and a place can be said of. */
export function canBePlaced({ kind }: Pick<Fitting, 'kind'>): boolean {
  return !['thermostat', 'guard', 'timer', 'outdoor-run', 'insulation', 'deep-substrate', 'fan', 'chiller'].includes(
    kind,
  );
}

/** A lit place in words: aged to new, error and what hides it. */
export function placeTexts(one: LitPlace, system: UnitSystem) {
  return {
    uvi: one.aged.aimed === one.fresh.aimed ? uviText(one.fresh.aimed) : spanText(one.aged.aimed, one.fresh.aimed),
    band: one.fresh.most > 0 ? `${spanText(one.low, one.high)} (± ${shareText(one.error)})` : '0',
    distance: one.nearestLampMm === null ? 'no lamp' : formatQuantity(one.nearestLampMm, 'length', system),
    hidden:
      one.nearestLampMm === null
        ? '–'
        : one.hidden > 0.999
          ? 'hidden'
          : one.hidden > 0.001
            ? `${shareText(one.hidden)} hidden`
            : 'not hidden',
  };
}

function spanText(low: number, high: number): string {
  const [from, to] = [uviText(low), uviText(high)];
  return from === to ? from : `${from} to ${to}`;
}

/** The zones that sources put the animals of a box in, the mildest first. */
export function zonesOf(animals: Animal[], library: CareLibrary): UvZoneBand[] {
  const zones = new Set(animals.flatMap((one) => speciesOf(library, one).uv.zones.map(({ zone }) => zone)));
  return library.uvZones.filter((band) => zones.has(band.zone));
}

/** Where a mistake is mended: at the lamp's figures, or at the place of the thing. */
function mendedAt(problem: LightProblem, enclosureId: string): { href: string; action: string } {
  if (problem.problem === 'box-without-size')
    return { href: paths.enclosures.edit(enclosureId), action: 'Change the enclosure' };
  return problem.problem === 'output' || problem.problem === 'mesh-share'
    ? { href: paths.enclosures.fittings.edit(enclosureId, problem.fittingId), action: 'Change its figures' }
    : { href: paths.enclosures.fittings.place(enclosureId, problem.fittingId), action: 'Say where it stands' };
}

/** The whole page. */
export function lightPage(given: {
  setup: Setup;
  library: CareLibrary;
  parts: PartsList;
  system: UnitSystem;
  today: PlainDate;
  /** The fitting that is only tried and not owned; null without a trial. */
  trialId: string | null;
}): LightPage {
  const { setup, library, parts, system, today, trialId } = given;
  const { enclosure } = setup;
  const { fittings: urls } = paths.enclosures;
  const active = setup.fittings.filter((one) => isFitted(one, today) && canBePlaced(one));
  const things = active
    .filter((one) => one.placed !== null)
    .map((fitting, index) => ({ fitting, number: index + 1, planned: fitting.id === trialId }));
  const speech: LightSpeech = {
    nameOf: (id) => {
      const name = setup.fittings.find((one) => one.id === id)?.name ?? 'a thing taken away';
      return id === trialId ? `${name} (not owned: a trial)` : name;
    },
    system,
  };
  const lighting = lightIn(setup, today);
  const scene = lighting.status === 'lit' ? lighting : null;
  const zones = zonesOf(setup.occupants, library);
  const drawn = { box: enclosure, things, scene, system };
  // Without a lamp every figure is 0, and one sentence says so.
  const litScene = scene !== null && scene.lamps.length > 0 ? scene : null;
  const places = litScene === null ? [] : placesIn(litScene);
  const spot = things.find(({ fitting }) => fitting.kind === 'basking-place') ?? things[0];
  const groundMm =
    spot?.fitting.kind === 'basking-place' ? spot.fitting.placed!.zMm + (spot.fitting.placed!.heightMm ?? 0) : 0;
  const spread =
    litScene === null
      ? { shares: [], retreat: null, highest: null, ceilings: [], hangings: [] }
      : spreadParts(litScene, places, zones, setup, library, speech);
  // Whoever cannot see a drawing is told first what it shows.
  const told = (drawing: EnclosureDrawing): EnclosureDrawing => ({
    ...drawing,
    description: [
      ...(spread.highest === null ? [] : [`The highest the animal can reach: ${spread.highest}`]),
      ...(spread.retreat === null ? [] : [`A place without UV: ${lowerFirst(spread.retreat)}`]),
      drawing.description,
    ].join(' '),
  });
  return {
    heading: `Light in “${enclosure.name}”`,
    lead: 'Computed from the figures of the lamps and from where things stand. A reading at the basking place wins over it.',
    first: firstLines(lighting, setup, active, speech, trialId),
    classFigures: lampsOfClass(setup, today).map(({ id }) => classFiguresSentence(speech.nameOf(id))),
    findings: scene === null ? [] : scene.findings.map((one) => findingSentence(one, speech)),
    drawings:
      lighting.status === 'cannot'
        ? []
        : [
            drawSection(drawn, depthOfCut(drawn)),
            drawPlan(drawn, Math.min(enclosure.heightMm, groundMm + BACK_MM)),
          ].map(told),
    things: things.map(({ fitting, number, planned }) => ({
      number: `(${number})`,
      name: speech.nameOf(fitting.id),
      kind: fittingNames[fitting.kind],
      href: planned ? TRY_HREF : urls.place(enclosure.id, fitting.id),
    })),
    unplaced: active
      .filter((one) => one.placed === null)
      .map((one) => ({ text: one.name, href: urls.place(enclosure.id, one.id), action: 'Say where it stands' })),
    places: places.map((one) => ({ name: speech.nameOf(one.fittingId), ...placeTexts(one, system) })),
    ...spread,
    ...classParts(setup, parts, zones, groundMm, system),
    assumptions: litScene === null ? [] : litScene.assumptions.map((one) => lightAssumptionSentence(one, speech)),
    errors: `The errors are those of ${listed(
      [...new Set(places.flatMap((one) => one.errors.map(({ of }) => of)))].map((of) => errorNames[of]),
    )}, in quadrature.`,
    cautions: [cautions.uvAndEyes],
    backHref: paths.enclosures.show(enclosure.id),
  };
}

function firstLines(
  lighting: Lighting,
  { enclosure }: Setup,
  active: Fitting[],
  speech: LightSpeech,
  trialId: string | null,
): LightPage['first'] {
  const { fittings: urls } = paths.enclosures;
  if (lighting.status === 'cannot') {
    return {
      heading: 'Mend this first',
      lines: lighting.problems.map((one) => ({
        text: problemSentence(one, speech),
        ...('fittingId' in one && one.fittingId === trialId
          ? { href: TRY_HREF, action: 'Try it elsewhere' }
          : mendedAt(one, enclosure.id)),
      })),
    };
  }
  const lines: Line[] = [];
  if (lighting.status === 'unknown') {
    // What is not known of a lamp on trial is said with the trial: there is nothing to enter.
    for (const one of lighting.lacks.filter(({ fittingId }) => fittingId !== trialId)) {
      lines.push({
        text: lackSentence(one, speech),
        ...(one.lacks === 'position'
          ? { href: urls.place(enclosure.id, one.fittingId), action: 'Say where it hangs' }
          : one.lacks === 'output'
            ? { href: urls.edit(enclosure.id, one.fittingId), action: 'Enter its figures' }
            : { href: paths.enclosures.readings.newOf(enclosure.id, 'uvi-basking'), action: 'Enter a reading' }),
      });
    }
  } else if (lighting.lamps.length === 0) {
    lines.push({
      text: 'No UV lamp is entered, so the UV index is 0 everywhere.',
      href: urls.newOf(enclosure.id, 'uv-tube'),
      action: 'Enter a UV-B tube',
    });
  }
  const spots = active.filter((one) => one.kind === 'basking-place');
  if (spots.length === 0) {
    lines.push({
      text: 'Enter the place where the animal basks, and say where it is.',
      href: urls.newOf(enclosure.id, 'basking-place'),
      action: 'Enter a basking place',
    });
  } else if (spots.every((one) => one.placed === null)) {
    lines.push({
      text: `Say where “${spots[0]!.name}” is.`,
      href: urls.place(enclosure.id, spots[0]!.id),
      action: 'Say where it is',
    });
  }
  return lines.length === 0 ? null : { heading: 'What to enter first', lines };
}

const zoneName = (zone: number) => `Zone ${zone}`;

// What a lamp has to give: the one range that serves every zone of who lives there, or the band of each zone where they have none in common.
function wantedIn(zones: readonly UvZoneBand[], { occupants }: Pick<Setup, 'occupants'>) {
  const aimed = aimedUvi(
    zones,
    occupants.some((one) => one.paleMorph),
  );
  const asked = (of: readonly UvZoneBand[], wanted: WantedUvi) => ({
    zone: `${capital(zoneWords(of.map((one) => one.zone)))}: UVI ${uviText(wanted.low)} to ${uviText(wanted.high)}`,
    wanted,
  });
  return aimed === null
    ? zones.map((band) => asked([band], { low: uvLowerEnd(band), high: band.meanHigh }))
    : [asked(zones, aimed)];
}

function spreadParts(
  scene: LightScene,
  places: LitPlace[],
  zones: UvZoneBand[],
  setup: Setup,
  library: CareLibrary,
  speech: LightSpeech,
): Pick<LightPage, 'shares' | 'retreat' | 'highest' | 'ceilings' | 'hangings'> {
  const spread = spreadIn(scene, library.uvZones);
  const { highest } = spread;
  const pale = setup.occupants.some((one) => one.paleMorph);
  const wanted = wantedIn(zones, setup);
  const spots = places.filter((one) => one.kind === 'basking-place');
  return {
    shares: [
      ...spread.fresh.zones.map(({ zone, share }, index) => {
        const band = library.uvZones.find((one) => one.zone === zone)!;
        return {
          band: `${zoneName(zone)}: UVI ${uviText(band.meanLow)} to under ${uviText(band.meanHigh)}`,
          fresh: shareText(share),
          aged: shareText(spread.aged.zones[index]!.share),
        };
      }),
      { band: 'Above every zone', fresh: shareText(spread.fresh.above), aged: shareText(spread.aged.above) },
      {
        band: 'Of these free of UV (under UVI 0.05)',
        fresh: shareText(spread.fresh.shade),
        aged: shareText(spread.aged.shade),
      },
    ],
    retreat: retreatText(spread.retreat, speech),
    highest:
      highest === null
        ? null
        : `UVI ${uviText(highest.most)}, up to ${uviText(highest.high)} within its error of ± ${shareText(highest.error)}, on ${highest.on === null ? 'the floor' : `“${speech.nameOf(highest.on)}”`}, with new lamps.`,
    ceilings:
      highest === null
        ? []
        : zones.flatMap((band) =>
            band.ceilings.map(({ uvi }) => {
              const ceiling = pale ? uvi / 2 : uvi;
              return {
                zone: zoneName(band.zone),
                ceiling: `${uviText(ceiling)}${pale ? ' (halved for a pale animal, from memory)' : ''}`,
                stands: ceilingWords[againstCeiling(highest, ceiling)],
              };
            }),
          ),
    hangings: scene.lamps.flatMap(({ fitting }) =>
      spots.flatMap((spot) =>
        wanted.map((one) => ({
          lamp: speech.nameOf(fitting.id),
          place: speech.nameOf(spot.fittingId),
          zone: one.zone,
          text: hangingText(hangingFor(scene, fitting.id, spot.fittingId, one.wanted), speech.system),
        })),
      ),
    ),
  };
}

function classParts(
  { enclosure, fittings, occupants, lightCorrection: keeper = null }: Setup,
  parts: PartsList,
  zones: UvZoneBand[],
  groundMm: number,
  system: UnitSystem,
): Pick<LightPage, 'classes' | 'classZones' | 'classNote' | 'classFailures'> {
  const lamps = parts.parts.filter((one) => one.what === 'uv-tube' || one.what === 'uv-compact');
  const present = fittings.find((one) => UV_LAMPS.has(one.kind));
  // Without a lamp to tell, the coarser of the usual meshes is taken.
  const meshShare = enclosure.top === 'mesh' ? (present?.meshShare ?? 0.8) : 1;
  const known = lamps.flatMap((one) => (one.lamp ? [{ id: one.id, lamp: one.lamp }] : []));
  const asked = wantedIn(zones, { occupants });
  const fits = asked.map(({ zone, wanted }) => ({
    zone,
    fits: classesThatFit(enclosure, groundMm, known, wanted, { meshShare, guarded: false, keeper }),
  }));
  const several =
    zones.length > 1
      ? ` ${zonesServedSentence(
          zones.map((one) => one.zone),
          asked.length === 1,
        )}`
      : '';
  return {
    classes:
      zones.length === 0
        ? []
        : lamps.map((one) => ({
            name: withMeasuresIn(one.name, system),
            href: paths.enclosures.lightWith(enclosure.id, one.id),
            texts: fits.map(({ zone, fits: all }) => {
              const fit = all.find(({ id }) => id === one.id);
              return {
                zone,
                text: classFitText(fit ?? { id: one.id, status: 'does-not-fit', why: 'output-unknown' }, system),
              };
            }),
          })),
    classZones: fits.map(({ zone }) => zone),
    classFailures: fits
      .filter(({ fits: all }) => all.every((one) => one.status === 'does-not-fit'))
      .map(({ zone }) => trialSentences.noneFits(zone)),
    classNote: `Each hung alone, straight over ground ${formatQuantity(groundMm, 'length', system)} above the floor${enclosure.top === 'mesh' ? `, through mesh that passes ${shareText(meshShare)}` : ''}; the distance is to the animal’s back.${keeper === null ? '' : ` Figures are taken times ${keeper.factor.toFixed(2)}, ${ownReadingsWords(keeper.from)}.`}${several}`,
  };
}

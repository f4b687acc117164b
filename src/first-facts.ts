// The least that is asked of an animal and its box so that both can be scored, what each answer stands for, and what is taken for granted
// with it. An answer of "I do not know" becomes something unknown or an open question, never a thing that is there or is not.

import { addMonthsToDate, type PlainDate } from './calendar.ts';
import type { FittingKind, Material, Top } from './collection.ts';
import type { HideZone, Species } from './species.ts';
import { bareFitting, type NewFitting } from './upgrades.ts';

/** The kinds of box that are told apart at a glance. */
export const BOX_SORTS = ['glass-mesh', 'glass-closed', 'wood', 'plastic', 'mesh', 'open', 'unknown'] as const;
export type BoxSort = (typeof BOX_SORTS)[number];

/** What a kind of box is made of. One that nobody can name counts as closed, of a material of which no heat loss can be told. */
const sortedBox: Readonly<Record<BoxSort, { material: Material; top: Top }>> = {
  'glass-mesh': { material: 'glass', top: 'mesh' },
  'glass-closed': { material: 'glass', top: 'closed' },
  wood: { material: 'wood', top: 'closed' },
  plastic: { material: 'other', top: 'closed' },
  mesh: { material: 'mesh', top: 'mesh' },
  open: { material: 'other', top: 'open' },
  unknown: { material: 'other', top: 'closed' },
};

/** How old an animal is, as far as a keeper can tell by looking. */
export const AGES = ['grown', 'year', 'half-year', 'weeks', 'unknown'] as const;
export type Age = (typeof AGES)[number];

// Months since hatching that an answer stands for; null: an adult, as one without a day of hatching counts everywhere. Our own choice.
const monthsOld: Readonly<Record<Age, number | null>> = {
  grown: null,
  year: 12,
  'half-year': 6,
  weeks: 2,
  unknown: null,
};

/** What warms a box. 'mat-unsure' is a mat of which nobody has looked whether a thermostat holds it. */
const WARMERS = [
  'none',
  'mat-held',
  'mat-alone',
  'mat-unsure',
  'lamp-guarded',
  'lamp-open',
  'lamp-unsure',
  'dark-held',
  'dark-alone',
  'water-heater',
  'unknown',
] as const;
export type Warmer = (typeof WARMERS)[number];

/** What gives UV. 'unknown' is a lamp of which nobody knows whether it does. */
export const UV_SOURCES = ['none', 'tube-new', 'tube-old', 'compact', 'unknown'] as const;
export type UvSource = (typeof UV_SOURCES)[number];

/** A thing that is ticked when it is in the box; `place` of a hide. */
export type Tick = { key: string; kind: FittingKind; place: HideZone | null };

/** What was taken for granted, or left open, when something was entered the short way. */
const ASSUMPTION_KINDS = [
  'in-use-for-a-year',
  'thing-in-use-for-a-year',
  'box-not-named',
  'heater-not-looked-at',
  'thermostat-not-looked-for',
  'hatched-about',
  'counts-as-grown',
  'tube-half-used',
  'tube-used-up',
  'compact-used-up',
  'between-not-looked-at',
  'perhaps-uv',
  'within-reach',
] as const;
export type AssumptionKind = (typeof ASSUMPTION_KINDS)[number];

/** What is not taken for granted but not known at all: nobody can call it right, and it stays open until somebody has looked. */
export const LEFT_OPEN: ReadonlySet<AssumptionKind> = new Set([
  'box-not-named',
  'heater-not-looked-at',
  'thermostat-not-looked-for',
  'perhaps-uv',
  'between-not-looked-at',
]);

/** The short answers about one animal and its box; `ticked` holds keys of `ticksFor`. */
export type FirstAnswers = { sort: BoxSort; age: Age; warmer: Warmer; uv: UvSource; ticked: readonly string[] };

/** A thing that an answer stands for, in use since a day, with what was taken for granted of it. */
type FirstThing = { thing: NewFitting; since: PlainDate; assumed: AssumptionKind[] };

/** Everything the answers stand for, as of a day. Assumptions of single things are with them. */
export type FirstFacts = {
  material: Material;
  top: Top;
  boxSince: PlainDate;
  hatchedOn: PlainDate | null;
  things: FirstThing[];
  ofBox: AssumptionKind[];
  ofAnimal: AssumptionKind[];
};

// A year back: long enough that a reading of last week is not older than what it was taken of. Our own choice.
const USUAL_MONTHS_IN_USE = 12;

/** Since when something counts as in use of which nobody knows it. */
export const usuallyInUseSince = (today: PlainDate): PlainDate => addMonthsToDate(today, -USUAL_MONTHS_IN_USE);

/** Months after which a UV lamp is renewed where nobody said: a tube yearly, a compact lamp sooner (common practice, no source). */
export const USUAL_LAMP_LIFE: Readonly<Partial<Record<FittingKind, number>>> = { 'uv-tube': 12, 'uv-compact': 9 };
const TUBE_LIFE_MONTHS = USUAL_LAMP_LIFE['uv-tube']!;
const COMPACT_LIFE_MONTHS = USUAL_LAMP_LIFE['uv-compact']!;

/** What may be ticked for a species: hides where it wants them, its water, and what it does; nothing that it has no use for. */
export function ticksFor(species: Species): Tick[] {
  const asksMoist = species.hides.zones.includes('moist') || species.humidity.moistRetreat === 'not-needed';
  const hides: HideZone[] = asksMoist ? species.hides.zones : [...species.hides.zones, 'moist'];
  const does = species.enrichment.kinds;
  const water = species.water?.features ?? [];
  const swims = water.includes('swimming-water') || does.includes('swim');
  const things: (FittingKind | false)[] = [
    (water.includes('bathing-dish') || (species.habit !== 'aquatic' && !swims)) && 'water-dish',
    swims && 'pool',
    water.includes('filter') && 'filter',
    water.includes('dry-dock') && 'dry-dock',
    does.includes('climb') && 'branches',
    does.includes('dig') && 'deep-substrate',
    does.includes('feeding') && 'feeding-toy',
    does.includes('novelty') && 'novelty',
  ];
  return [
    ...hides.map((place): Tick => ({ key: `hide-${place}`, kind: place === 'moist' ? 'moist-hide' : 'hide', place })),
    ...things.flatMap((kind): Tick[] => (kind === false ? [] : [{ key: kind, kind, place: null }])),
  ];
}

/** What may warm a box of a species: heaters that stand in water only where there is water to swim in. */
export function warmersFor({ water }: Species): Warmer[] {
  const swims = water?.features.includes('swimming-water') ?? false;
  return WARMERS.filter((one) => one !== 'water-heater' || swims);
}

/** What short answers stand for on a day. `nameOf` gives a thing its name. */
export function factsFrom(
  answers: FirstAnswers,
  species: Species,
  today: PlainDate,
  nameOf: (kind: FittingKind, place: HideZone | null) => string,
): FirstFacts {
  const box = sortedBox[answers.sort];
  const usual = usuallyInUseSince(today);
  const months = monthsOld[answers.age];
  const named = (kind: FittingKind, more: Partial<NewFitting> = {}): NewFitting => ({
    ...bareFitting(kind, nameOf(kind, more.place ?? null)),
    ...more,
  });
  const inUse = (thing: NewFitting, ...assumed: AssumptionKind[]): FirstThing => ({ thing, since: usual, assumed });
  const ticked = ticksFor(species).filter((one) => answers.ticked.includes(one.key));
  return {
    ...box,
    boxSince: usual,
    hatchedOn: months === null ? null : addMonthsToDate(today, -months),
    things: [
      ...warming(answers.warmer, box.top, named, inUse),
      ...lighting(answers.uv, today, named),
      ...ticked.map(({ key, kind, place }) => inUse(named(kind, { key, place }))),
    ],
    ofBox: ['in-use-for-a-year', ...(answers.sort === 'unknown' ? (['box-not-named'] as const) : [])],
    ofAnimal: months !== null ? ['hatched-about'] : answers.age === 'unknown' ? ['counts-as-grown'] : [],
  };
}

type Named = (kind: FittingKind, more?: Partial<NewFitting>) => NewFitting;

function warming(
  warmer: Warmer,
  top: Top,
  named: Named,
  inUse: (thing: NewFitting, ...assumed: AssumptionKind[]) => FirstThing,
): FirstThing[] {
  const thermostat = (regulates: string) => inUse(named('thermostat', { regulates }));
  switch (warmer) {
    case 'none':
      return [];
    // What may be unheld is neither written down as a fault nor as none: it is a question until somebody has looked.
    case 'unknown':
      return [inUse(named('unknown-heater'), 'heater-not-looked-at')];
    case 'mat-unsure':
      return [
        inUse(named('heat-mat')),
        inUse(named('unknown-thermostat', { regulates: 'heat-mat' }), 'thermostat-not-looked-for'),
      ];
    case 'mat-held':
      return [inUse(named('heat-mat')), thermostat('heat-mat')];
    case 'mat-alone':
      return [inUse(named('heat-mat'))];
    case 'lamp-guarded':
      return [inUse(named('basking-lamp', { outOfReach: true }))];
    case 'lamp-open':
      return [inUse(named('basking-lamp'))];
    // As with a heater without light: the cautious answer is written down, and said.
    case 'lamp-unsure':
      return [inUse(named('basking-lamp'), 'within-reach')];
    case 'dark-held':
      return [inUse(named('ceramic-heater', { outOfReach: true })), thermostat('ceramic-heater')];
    case 'dark-alone':
      // Above mesh it hangs outside; in a closed box nobody said, and the cautious answer is written down.
      return top === 'mesh'
        ? [inUse(named('ceramic-heater', { outOfReach: true }))]
        : [inUse(named('ceramic-heater'), 'within-reach')];
    case 'water-heater':
      return [inUse(named('water-heater'))];
  }
}

// Nobody is asked what is between a lamp and the animal, so it is not known.
function lighting(uv: UvSource, today: PlainDate, named: Named): FirstThing[] {
  const life = { lifeMonths: TUBE_LIFE_MONTHS, meshShare: null };
  switch (uv) {
    case 'none':
      return [];
    case 'tube-new':
      return [
        {
          thing: named('uv-tube', life),
          since: addMonthsToDate(today, -TUBE_LIFE_MONTHS / 2),
          assumed: ['tube-half-used', 'between-not-looked-at'],
        },
      ];
    case 'tube-old':
      return [
        {
          thing: named('uv-tube', life),
          since: addMonthsToDate(today, -TUBE_LIFE_MONTHS),
          assumed: ['tube-used-up', 'between-not-looked-at'],
        },
      ];
    case 'compact':
      return [
        {
          thing: named('uv-compact', { lifeMonths: COMPACT_LIFE_MONTHS, meshShare: null }),
          since: addMonthsToDate(today, -COMPACT_LIFE_MONTHS),
          assumed: ['compact-used-up', 'between-not-looked-at'],
        },
      ];
    case 'unknown':
      return [{ thing: named('uv-compact'), since: usuallyInUseSince(today), assumed: ['perhaps-uv'] }];
  }
}

/** A measure that is more likely a slip of the pen or of the unit than so: `valueMm` beyond `mostMm`, or below `leastMm`. */
export type SizeDoubt = { of: 'length' | 'depth' | 'height' | 'animalLength'; valueMm: number } & (
  | { doubt: 'large'; mostMm: number }
  | { doubt: 'small'; leastMm: number }
  /** All three sides without a unit, and likelier in the other one. */
  | { doubt: 'unit'; meant: 'inches' | 'centimetres' }
);

// Boxes for the animals of the library; beyond these a keeper is asked, never refused. Our own choice.
const LARGEST_BOX_MM = 3000;
const SMALLEST_BOX_MM = 100;
// Figures that stand for a usual box in inches, but for a very small one in centimetres; and the other way round. Our own choice.
const LONGEST_SIDE_IF_INCHES_MM = 300;
const SHORTEST_SIDE_IF_CENTIMETRES_MM = 1000;
// Lengths beyond these shares of the adult size of its species. Our own choice.
const LONGEST_SHARE = 1.5;
const SHORTEST_SHARE = 0.1;

/** The measures to ask back about; empty when all are likely. `boxHasUnit` says whether a unit was written with a side of the box. */
export function doubtsAbout(
  species: Pick<Species, 'adultSize'>,
  measures: Record<'length' | 'depth' | 'height', number> & { animalLength: number | null },
  boxHasUnit: boolean,
): SizeDoubt[] {
  const { lowMm, highMm } = species.adultSize;
  const sides = [measures.length, measures.depth, measures.height];
  const meant =
    Math.max(...sides) < LONGEST_SIDE_IF_INCHES_MM
      ? 'inches'
      : Math.min(...sides) > SHORTEST_SIDE_IF_CENTIMETRES_MM
        ? 'centimetres'
        : null;
  const unit: SizeDoubt[] =
    boxHasUnit || meant === null || Math.min(...sides) < SMALLEST_BOX_MM || Math.max(...sides) > LARGEST_BOX_MM
      ? []
      : [{ of: 'length', valueMm: measures.length, doubt: 'unit', meant }];
  const asked: [SizeDoubt['of'], number, number][] = [
    ['length', SMALLEST_BOX_MM, LARGEST_BOX_MM],
    ['depth', SMALLEST_BOX_MM, LARGEST_BOX_MM],
    ['height', SMALLEST_BOX_MM, LARGEST_BOX_MM],
    ['animalLength', lowMm * SHORTEST_SHARE, highMm * LONGEST_SHARE],
  ];
  const single = asked.flatMap(([of, leastMm, mostMm]): SizeDoubt[] => {
    const valueMm = measures[of];
    if (valueMm === null) return [];
    if (valueMm > mostMm) return [{ of, valueMm, doubt: 'large', mostMm }];
    return valueMm < leastMm ? [{ of, valueMm, doubt: 'small', leastMm }] : [];
  });
  return [...unit, ...single];
}

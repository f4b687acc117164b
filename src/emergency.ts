// What holds for a species while the power is out or a heat wave lasts: what gives way first, which limits are critical, and what to do in
// which order with what is in any household. Buys nothing and judges no enclosure.

import { AMPHIBIAN_LIMIT, deadlyHeat } from './climate-needs.ts';
import { SEVERE_BELOW } from './problem.ts';
import type { Cited, Species, TemperatureKind } from './species.ts';

export const EMERGENCIES = ['power-cut', 'heat-wave'] as const;
export type Emergency = (typeof EMERGENCIES)[number];

/** What gives way, the first first. How fast is common practice, no source: it hangs on box, room and animal. */
export type GivesWay =
  | 'filter'
  | 'hot-spot'
  | 'air-warmth'
  | 'water-warmth'
  | 'damp'
  | 'uv'
  | 'cool-end'
  | 'cool-water'
  | 'night-cooling'
  | 'damp-by-heat';

/**
 * One limit in °C of one kind of temperature. `critical`: beyond it life is threatened, since the score calls it severe there or a source
 * does; the others are the ends of the usual bands, where nothing is lost yet but time.
 */
export type Limit = {
  kind: TemperatureKind | 'anywhere';
  side: 'below' | 'above';
  celsius: number;
  critical: boolean;
  cited: Cited;
};

/** One thing to do. Common practice, no source, as are all of them. */
export type EmergencyStep =
  | 'note-time'
  | 'unplug-heaters'
  | 'lamps-off'
  | 'keep-shut'
  | 'cover-box'
  | 'warm-bottles'
  | 'stay-cool'
  | 'in-rest'
  | 'warm-room'
  | 'no-flame'
  | 'stir-water'
  | 'no-food'
  | 'coolest-room'
  | 'shade-windows'
  | 'move-air'
  | 'wet-cloth'
  | 'cold-bottles'
  | 'fresh-water'
  | 'change-water'
  | 'bring-in'
  | 'no-ice'
  | 'watch'
  | 'call-vet'
  | 'back-on';

/** Everything on the card of one species for one emergency. */
export type EmergencyCard = { emergency: Emergency; first: GivesWay[]; limits: Limit[]; steps: EmergencyStep[] };

const isAmphibian = ({ group }: Pick<Species, 'group'>) => group === 'frog' || group === 'salamander';

/** The card of a species: what gives way, the limits on the side that matters (critical ones first), what to do. */
export function emergencyCard(species: Species, emergency: Emergency): EmergencyCard {
  return {
    emergency,
    first: firstToGo(species, emergency),
    limits: limitsOf(species, emergency),
    steps: stepsFor(species, emergency),
  };
}

function firstToGo(species: Species, emergency: Emergency): GivesWay[] {
  const { temperatures, humidity, water, uv } = species;
  const has = (kind: TemperatureKind) => temperatures.some((one) => one.kind === kind);
  const damp = humidity.lifeCritical || humidity.moistRetreat === 'required';
  const swims = water !== null && (has('water') || water.features.includes('swimming-water'));
  if (emergency === 'power-cut')
    return [
      ...(water?.features.includes('filter') ? (['filter'] as const) : []),
      ...(has('hot-spot-surface') || has('warm-hide-floor') ? (['hot-spot'] as const) : []),
      ...(has('warm-air') || has('night-air') ? (['air-warmth'] as const) : []),
      ...(swims ? (['water-warmth'] as const) : []),
      ...(damp ? (['damp'] as const) : []),
      ...(uv.need === 'required' ? (['uv'] as const) : []),
    ];
  return [
    'cool-end',
    ...(swims ? (['cool-water'] as const) : []),
    'night-cooling',
    ...(damp ? (['damp-by-heat'] as const) : []),
  ];
}

function limitsOf(species: Species, emergency: Emergency): Limit[] {
  const side = emergency === 'power-cut' ? 'below' : 'above';
  const limits: Limit[] = species.temperatures.flatMap((one): Limit[] => {
    const cited = { source: one.source, grade: one.grade, ...(one.note === undefined ? {} : { note: one.note }) };
    const [end, away] = side === 'below' ? [one.low, -one.toleranceBelow] : [one.high, one.toleranceAbove];
    const band: Limit = { kind: one.kind, side, celsius: end, critical: false, cited };
    // A place that is heated by itself is cold within the hour in every power cut; that alone threatens nobody.
    const heldWarm = one.kind === 'hot-spot-surface' || one.kind === 'warm-hide-floor' || one.kind === 'body';
    const threatens = side === 'below' ? one.criticalBelow && !heldWarm : one.criticalAbove && one.kind !== 'body';
    if (!threatens) return [band];
    const celsius = Math.round((end + away * (1 - SEVERE_BELOW / 100)) * 10) / 10;
    return [band, { ...band, celsius, critical: true }];
  });
  if (side === 'above' && isAmphibian(species)) {
    const { celsius, ...cited } = AMPHIBIAN_LIMIT;
    limits.push({ kind: 'anywhere', side, celsius, critical: true, cited });
  }
  const deadly = side === 'above' ? deadlyHeat(species) : null;
  if (deadly !== null) {
    const { celsius, ...cited } = deadly;
    limits.push({ kind: 'body', side, celsius, critical: true, cited });
  }
  // The sort is stable: within each half they stay in the order of the species' file.
  return limits.sort((a, b) => Number(b.critical) - Number(a.critical));
}

function stepsFor(species: Species, emergency: Emergency): EmergencyStep[] {
  const amphibian = isAmphibian(species);
  const aquatic = species.habit === 'aquatic' || species.habit === 'semi-aquatic';
  const filtered = species.water?.features.includes('filter') === true;
  const rests = species.profiles.some(({ when }) => 'season' in when && when.season === 'winter-rest');
  if (emergency === 'power-cut')
    return [
      'note-time',
      'unplug-heaters',
      ...(filtered ? (['stir-water'] as const) : []),
      'keep-shut',
      ...(rests ? (['in-rest'] as const) : []),
      ...(amphibian ? (['stay-cool'] as const) : (['cover-box', 'warm-room', 'warm-bottles'] as const)),
      'no-flame',
      'no-food',
      'watch',
      'call-vet',
      'back-on',
    ];
  return [
    'note-time',
    'lamps-off',
    'shade-windows',
    'coolest-room',
    ...(species.outdoors === null ? [] : (['bring-in'] as const)),
    'fresh-water',
    ...(aquatic ? (['change-water'] as const) : []),
    'move-air',
    ...(amphibian || species.humidity.lifeCritical ? (['wet-cloth'] as const) : []),
    'cold-bottles',
    'no-ice',
    'no-food',
    'watch',
    'call-vet',
    'back-on',
  ];
}

// What the page of one species shows: every figure with its source, and sources that disagree side by side.

import type { FigureKey, Time } from '../../src/care-overrides.ts';
import type { Scoring } from '../../src/score.ts';
import { spaceNeeded } from '../../src/space.ts';
import type {
  CareLibrary,
  Cited,
  HumidityTarget,
  Profile,
  SpaceRule,
  Species,
  TemperatureTarget,
  WaterTarget,
} from '../../src/species.ts';
import { asksNothingOfAir } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSpan, withTemperaturesIn } from '../../src/units.ts';
import { aimedUvi } from '../../src/uv-need.ts';
import {
  activityWords,
  basisWords,
  enrichmentNames,
  groupWords,
  habitWords,
  measureNames,
  monthNames,
  needNames,
  placesOfHides,
  ruleSetNames,
  seasonWords,
  stageWords,
  stateNames,
  temperatureNames,
  uvNeedWords,
  waterFeatureNames,
} from '../kind-words.ts';
import { zonesServedSentence } from '../light-words.ts';
import { paths } from '../paths.ts';
import { silenceWords, spaceNeedWords } from '../score-words.ts';
import { lawWords, neverSentences, speciesPageWords } from '../species-words.ts';
import { capital, listed, monthCount } from '../words.ts';
import {
  type AroundFigure,
  aroundFigure,
  figureAt,
  type OwnCare,
  type OwnCareGiven,
  ownCare,
} from './own-care.view.ts';
import type { RuleLists } from './rule-lists.view.ts';
import { type SourceNote, sourceNote } from './source-note.ts';
import { type SourcesDiffer, sourcesDiffer } from './species-differ.view.ts';

type Row = { what: string; source: SourceNote } & AroundFigure;

type SpeciesPage = {
  heading: string;
  lead: string | null;
  facts: { term: string; value: string }[];
  sections: { id: string; heading: string; rows: Row[] }[];
  space: { columns: string[]; rows: { title: string; basis: string; cells: string[]; source: SourceNote }[] };
  never: string[];
  hazards: { text: string; source: SourceNote }[];
  own: OwnCare;
  /** Lists of law and whether getting one is never proposed: before anything else on the page. */
  law: { heading: string; sentences: string[]; rows: Row[] };
  differ: SourcesDiffer;
  ruleLists: RuleLists;
  compare: string;
  /** Links to the sections of the page, in their order. */
  parts: { href: string; label: string }[];
  card: string;
};

/** Everything the ledger knows of a species, with space worked out at adult size and for the keeper's own animals. */
export function speciesPage(
  species: Species,
  { library, collection, choices }: Scoring,
  system: UnitSystem,
  own: OwnCareGiven,
  lists: RuleLists,
): SpeciesPage {
  const row: MakeRow = (what, text, cited, figure = null) => ({
    what,
    source: sourceNote(library, cited),
    ...aroundFigure(figure, text, own),
  });
  const { adultSize, growth, hides, enrichment, grouping, outdoors, homeLatitude, lightHours } = species;
  const section = (id: string, heading: string, rows: Row[]) => ({ id, heading, rows });
  const sections = [
    section(
      'temperature',
      speciesPageWords.temperature,
      species.temperatures.map((one) => temperatureRow(one, row, system, null)),
    ),
    section('uv', 'UV', uvRows(species, library, row)),
    ...(homeLatitude === null && lightHours === null
      ? []
      : [
          section('light', speciesPageWords.homeLight, [
            ...(homeLatitude === null ? [] : [row(speciesPageWords.home, homeText(homeLatitude), homeLatitude)]),
            ...(lightHours === null ? [] : [row(speciesPageWords.lightDay, lightText(lightHours), lightHours)]),
          ]),
        ]),
    section('humidity', speciesPageWords.humidity, humidityRows(species.humidity, row, null)),
    ...(species.water === null
      ? []
      : [section('water', speciesPageWords.water, waterRows(species.water, row, system))]),
    section('furnishing', speciesPageWords.hidesEnrichment, [
      ...(hides.zones.length === 0
        ? []
        : [
            row(speciesPageWords.hides, `${capital(placesOfHides(hides.zones))}, one for each animal.`, hides, 'hides'),
          ]),
      ...(enrichment.kinds.length === 0
        ? []
        : [
            row(
              speciesPageWords.enrichment,
              `${capital(listed(enrichment.kinds.map((kind) => enrichmentNames[kind])))}.`,
              enrichment,
              'enrichment',
            ),
          ]),
    ]),
    section('size', speciesPageWords.sizeCompanyOpenAir, [
      row(
        speciesPageWords.adultSize,
        `${formatSpan(adultSize.lowMm, adultSize.highMm, 'length', system)} ${measureNames[adultSize.measure]}.`,
        adultSize,
        'adult-size',
      ),
      row(speciesPageWords.growth, `Adult after about ${monthCount(growth.monthsToAdult)}.`, growth, 'growth'),
      row(speciesPageWords.company, companyText(grouping), grouping, 'grouping'),
      ...(outdoors === null
        ? []
        : [
            row(
              speciesPageWords.outdoors,
              `From ${monthNames[outdoors.fromMonth - 1]} to ${monthNames[outdoors.toMonth - 1]} in a temperate climate, in nights above ${formatQuantity(outdoors.nightFloor, 'temperature', system)}.`,
              outdoors,
              'outdoors',
            ),
          ]),
    ]),
    ...(species.profiles.length === 0
      ? []
      : [
          section(
            'profiles',
            speciesPageWords.stagesSeasons,
            species.profiles.flatMap((one) => profileRows(one, row, system)),
          ),
        ]),
  ].filter(({ rows }) => rows.length > 0);
  return {
    heading: species.commonName,
    lead: species.scientificName,
    facts: [
      ...(species.otherNames.length === 0
        ? []
        : [{ term: speciesPageWords.alsoCalled, value: species.otherNames.join(', ') }]),
      ...(species.synonyms.length === 0
        ? []
        : [{ term: speciesPageWords.olderScientificNames, value: species.synonyms.join(', ') }]),
      { term: speciesPageWords.group, value: groupWords[species.group] },
      { term: speciesPageWords.active, value: activityWords[species.activity] },
      { term: speciesPageWords.wayLife, value: habitWords[species.habit] },
    ],
    sections,
    law: lawOf(species, row),
    differ: sourcesDiffer(species, library, choices.ruleSets, system),
    ruleLists: lists,
    compare: paths.species.compare(species.id),
    parts: [
      { href: '#differ', label: speciesPageWords.whereSourcesDiffer },
      ...sections.map((one) => ({ href: `#${one.id}`, label: one.heading })),
      ...(species.space.length === 0 ? [] : [{ href: '#space', label: speciesPageWords.space }]),
      { href: '#rule-lists', label: lists.heading },
      ...(species.hazards.length === 0 ? [] : [{ href: '#hazards', label: speciesPageWords.caution }]),
    ],
    card: paths.species.card(species.id),
    space: spaceTable(species, library, collection, system),
    // That none is ever got stands first, with the law.
    never: species.neverPropose.filter((one) => one !== 'acquire').map((one) => neverSentences[one]),
    hazards: species.hazards.map((one) => ({
      text: withTemperaturesIn(one.text, system),
      source: sourceNote(library, one),
    })),
    own: ownCare(own, library, collection.animals),
  };
}

function lawOf({ legal, neverPropose }: Species, row: MakeRow): SpeciesPage['law'] {
  return {
    heading: lawWords.heading,
    sentences: [
      ...(neverPropose.includes('acquire') ? [lawWords.neverAcquire] : []),
      ...(legal.length === 0 ? [lawWords.noneKnown] : []),
      lawWords.check,
    ],
    rows: legal.map((one) => row(one.where, one.text, one)),
  };
}

function companyText({ atMost, atMostMales }: Species['grouping']): string {
  if (atMost === 1) return speciesPageWords.oneAnimalEnclosure;
  const males =
    atMostMales === null ? '' : `, of them at most ${atMostMales} grown ${atMostMales === 1 ? 'male' : 'males'}`;
  return `At most ${atMost} to an enclosure${males}.`;
}

function homeText({ low, high }: NonNullable<Species['homeLatitude']>): string {
  if (low >= 0) return `From ${low}° to ${high}° north.`;
  return high <= 0 ? `From ${-high}° to ${-low}° south.` : `From ${-low}° south to ${high}° north.`;
}

function lightText({ summer, winter }: NonNullable<Species['lightHours']>): string {
  const hours = (span: { low: number; high: number }) => formatSpan(span.low, span.high, 'hours', 'metric');
  return `${hours(summer)} in the long half of the year, ${hours(winter)} in the short.`;
}

type MakeRow = (what: string, text: string, cited: Cited, figure?: FigureKey | null) => Row;

function temperatureRow(target: TemperatureTarget, row: MakeRow, system: UnitSystem, time: Time | null): Row {
  const { kind, low, high, toleranceBelow, toleranceAbove, criticalBelow, criticalAbove } = target;
  const difference = (degrees: number) => formatQuantity(degrees, 'temperature-difference', system);
  const critical = [
    criticalBelow ? speciesPageWords.tooCool : '',
    criticalAbove ? speciesPageWords.tooWarm : '',
  ].filter(Boolean);
  const threat = critical.length === 0 ? '' : ` Being ${critical.join(' or ')} threatens life.`;
  const use =
    kind === 'body'
      ? speciesPageWords.notScored
      : ` Counts for nothing ${difference(toleranceBelow)} below or ${difference(toleranceAbove)} above.${threat}`;
  const figure = kind === 'body' ? null : figureAt(time, `temperature-${kind}`);
  return row(capital(temperatureNames[kind]), `${formatSpan(low, high, 'temperature', system)}.${use}`, target, figure);
}

function uvRows({ uv }: Species, library: CareLibrary, row: MakeRow): Row[] {
  const bands = library.uvZones.filter((band) => uv.zones.some(({ zone }) => zone === band.zone));
  const zones = bands.map((one) => one.zone);
  const aimed = aimedUvi(bands, false);
  return [
    row(speciesPageWords.need, uvNeedWords[uv.need], uv.needCited, 'uv-need'),
    ...uv.zones.map((one, place) =>
      row(
        `Placed in zone ${one.zone}`,
        uv.zones.length > 1 ? speciesPageWords.sourcesDiffer : speciesPageWords.sourcesAgree,
        one,
        place === 0 ? 'uv-zones' : null,
      ),
    ),
    ...bands.flatMap((band) => [
      row(
        `What zone ${band.zone} means`,
        `Mean exposure ${formatSpan(band.meanLow, band.meanHigh, 'uv-index', 'metric')} UV index${band.median === null ? '' : `, median ${band.median}`}.`,
        band,
      ),
      ...band.ceilings.map((one) =>
        row(
          `Highest recorded in zone ${band.zone}`,
          `UV index ${formatQuantity(one.uvi, 'uv-index', 'metric')}: a ceiling, not a target.`,
          one,
        ),
      ),
    ]),
    ...(bands.length < 2
      ? []
      : [
          row(
            speciesPageWords.oneRange,
            aimed === null
              ? zonesServedSentence(zones, false)
              : `UV index ${formatSpan(aimed.low, aimed.high, 'uv-index', 'metric')} where it basks. ${zonesServedSentence(zones, true)}`,
            uv.zones[0]!,
          ),
        ]),
    row(
      speciesPageWords.hoursDay,
      `${formatSpan(uv.hours.low, uv.hours.high, 'hours', 'metric')}.`,
      uv.hours,
      'uv-hours',
    ),
  ];
}

function humidityRows(humidity: HumidityTarget, row: MakeRow, time: Time | null): Row[] {
  const { day, night, moistRetreat, lifeCritical, toleranceBelow, toleranceAbove } = humidity;
  const span = (band: { low: number; high: number }) => formatSpan(band.low, band.high, 'humidity', 'metric');
  const times = night === null ? `${span(day)} by day and night` : `${span(day)} by day, ${span(night)} at night`;
  const threat = lifeCritical ? speciesPageWords.missingThreatensLife : '';
  if (asksNothingOfAir(humidity))
    return [row(speciesPageWords.relativeHumidity, speciesPageWords.anyHumidity, humidity)];
  return [
    row(
      speciesPageWords.relativeHumidity,
      `${times}. Counts for nothing ${toleranceBelow} points below or ${toleranceAbove} above.${threat}`,
      humidity,
      figureAt(time, 'humidity'),
    ),
    row(
      speciesPageWords.moistHide,
      moistRetreat === 'required' ? speciesPageWords.moistHideRequired : speciesPageWords.moistHideNotRequired,
      humidity,
    ),
  ];
}

function waterRows(water: WaterTarget, row: MakeRow, system: UnitSystem): Row[] {
  const features = capital(listed(water.features.map((one) => waterFeatureNames[one] ?? one)));
  const { depth } = water;
  return [
    row(
      speciesPageWords.water,
      `${features}.${water.lifeCritical ? ' Missing it threatens life.' : ''}`,
      water,
      'water-features',
    ),
    ...(depth === null ? [] : [row(speciesPageWords.depth, depthText(depth, system), depth, 'water-depth')]),
  ];
}

function depthText({ timesBody, lowMm, highMm }: NonNullable<WaterTarget['depth']>, system: UnitSystem): string {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const times = timesBody === 1 ? speciesPageWords.itsOwnLength : `${timesBody} times its length`;
  const least = timesBody !== null ? times : lowMm !== null ? length(lowMm) : null;
  if (least === null) return highMm === null ? speciesPageWords.noFigureKnown : `At most ${length(highMm)}.`;
  return highMm === null ? `At least ${least}.` : `At least ${least}, at most ${length(highMm)}.`;
}

function profileRows(profile: Profile, row: MakeRow, system: UnitSystem): Row[] {
  const { when } = profile;
  const name =
    'stage' in when
      ? `${capital(stageWords[when.stage])}, until ${monthCount(when.untilMonths)} old`
      : 'season' in when
        ? `${capital(seasonWords[when.season])}, when you date it`
        : capital(stateNames[when.state]);
  const off = profile.needsOff.map((need) => needNames[need]);
  const time = 'stage' in when ? when.stage : 'season' in when ? when.season : null;
  // Targets of a state that no score knows of are no figures to replace.
  const inside: MakeRow = (what, text, cited, figure) =>
    row(`${name}: ${what.toLowerCase()}`, text, cited, time === null ? null : figure);
  return [
    row(
      name,
      off.length === 0
        ? speciesPageWords.ownTargetsBelow
        : `${listed(off)} ${off.length === 1 ? 'does' : 'do'} not count then.`,
      profile,
    ),
    ...(profile.temperatures ?? []).map((one) => temperatureRow(one, inside, system, time)),
    ...(profile.humidity === undefined ? [] : humidityRows(profile.humidity, inside, time)),
  ];
}

function spaceTable(
  species: Species,
  library: CareLibrary,
  collection: Scoring['collection'],
  system: UnitSystem,
): SpeciesPage['space'] {
  const length = (mm: number) => formatQuantity(mm, 'length', system);
  const { lowMm, highMm } = species.adultSize;
  const own = collection.animals.flatMap((animal) => {
    if (animal.speciesId !== species.id || animal.lengthMm === null) return [];
    const together = collection.animals.filter(
      (one) => one.enclosureId !== null && one.enclosureId === animal.enclosureId,
    );
    const count = Math.max(1, together.length);
    const label = `${animal.name}, ${length(animal.lengthMm)}${count > 1 ? `, ${count} together` : ''}`;
    return [{ label, mm: animal.lengthMm, count }];
  });
  const sizes = [
    { label: `Adult of ${length(lowMm)}`, mm: lowMm, count: 1 },
    ...(highMm > lowMm ? [{ label: `Adult of ${length(highMm)}`, mm: highMm, count: 1 }] : []),
    ...own,
  ];
  return {
    columns: sizes.map(({ label }) => label),
    rows: species.space.map((rule: SpaceRule) => ({
      title: rule.title,
      basis: `${ruleSetNames[rule.ruleSet]}: ${basisWords[rule.basis]}`,
      cells: sizes.map(({ mm, count }) => {
        const asked = spaceNeeded(rule, { mm, measure: species.adultSize.measure }, count);
        return asked.status === 'known'
          ? capital(spaceNeedWords(asked.needed, system))
          : `${asked.status === 'unknown' ? 'Unknown' : 'Not applicable'}: ${silenceWords(asked, system)}`;
      }),
      source: sourceNote(library, rule),
    })),
  };
}

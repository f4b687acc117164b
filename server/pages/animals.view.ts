// What the list of animals and the score page of one animal show, already in words.

import { formatDate, type PlainDate } from '../../src/calendar.ts';
import type { Animal, Collection } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import {
  type AnimalScore,
  bandOf,
  bandOfAnimal,
  capMean,
  type NeedScore,
  rangeDrivers,
  type Scoring,
  scoreOneNeed,
  shareFromMemory,
} from '../../src/score.ts';
import { isLedIntoRest, vetCheckMissing } from '../../src/signs.ts';
import { type CareLibrary, type Species, speciesOf } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSpan, formatTyped, withTemperaturesIn } from '../../src/units.ts';
import { unsettledReadings } from '../../src/unsettled.ts';
import { animalPageWords } from '../animal-words.ts';
import { cautions } from '../caution-words.ts';
import type { AnimalRecord } from '../db/collection.ts';
import type { Ledger } from '../db/ledger.ts';
import type { SignRecord } from '../db/signs.ts';
import { unknownSpecies } from '../fault-words.ts';
import { measureNames, monthNames, needNames, seasonWords, stageWords, stateNames } from '../kind-words.ts';
import { driversSentence, narrowingSentence } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import { type ScoreBar, scoreBar } from '../score-bar.ts';
import {
  bandWords,
  capSentence,
  meansSentence,
  notScoredSentence,
  notSevereSentence,
  partSentence,
  reasonSentence,
  scoreText,
  severeSentence,
} from '../score-words.ts';
import type { CollectionScores } from '../scores.ts';
import { beforeRestSentences, vetCheckSentence } from '../sign-words.ts';
import { fromMemoryWords } from '../source-words.ts';
import { listed, sharedWords } from '../words.ts';
import { type GrowthView, growthView } from './growth.view.ts';
import { type MeasureLine, measureLines } from './measure-first.ts';
import { type Asked, type PagesView, pageOf } from './paging.ts';
import { type RemovedList, removedList } from './removed-list.ts';
import { type NamedScore, type ScoresView, scoresFinding, scoresView } from './scores.view.ts';
import { type FlagBoard, flagBoard, lastWeight } from './signs.view.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

type AnimalsPage = {
  heading: string;
  lead: string | null;
  empty: { heading: string; text: string; href: string; action: string } | null;
  rows: { name: string; href: string; species: string; enclosure: string; score: string; worst: string }[];
  pages: PagesView | null;
  /** The scores of the animals shown beside each other; null while there are fewer than two. */
  scores: ScoresView | null;
  homeless: { name: string; href: string; species: string }[];
  /** Those whose species is not known any more. */
  unjudged: UnjudgedLine[];
  measureFirst: MeasureLine[];
  measurePages: PagesView | null;
  addHref: string;
  removed: RemovedList | null;
};

/** An animal whose species is not known any more, where others stand with their scores. */
export type UnjudgedLine = { name: string; href: string; text: string; action: string; actionHref: string };

/** The animals of a collection whose species is not known any more. */
export function unjudgedLines({ unjudged = [] }: Pick<Collection, 'unjudged'>): UnjudgedLine[] {
  return unjudged.map(({ id, name }) => ({
    name,
    href: paths.animals.show(id),
    text: unknownSpecies.amongOthers,
    action: unknownSpecies.choose,
    actionHref: paths.animals.edit(id),
  }));
}

/** The list of animals, worst off first. */
export function animalsPage(
  { collection, library }: Scoring,
  { scored, homeless, measureFirst }: CollectionScores,
  removed: AnimalRecord[],
  locale: string,
  asked: Asked,
): AnimalsPage {
  const shown = pageOf(scored, asked, { what: 'animals' });
  const measure = pageOf(measureFirst, asked, {
    what: animalPageWords.readingsAndChecks,
    name: 'measure',
    id: 'measure-first',
  });
  return {
    heading: animalPageWords.animals,
    lead: scored.length > 1 ? animalPageWords.animalsLead : null,
    empty:
      collection.animals.length + (collection.unjudged ?? []).length > 0
        ? null
        : {
            heading: animalPageWords.noneYet,
            text: animalPageWords.enclosureFirst,
            href: collection.enclosures.length === 0 ? paths.enclosures.new : paths.animals.new,
            action: collection.enclosures.length === 0 ? animalPageWords.enterEnclosure : animalPageWords.enterAnimal,
          },
    rows: shown.rows.map(({ animal, score }) => ({
      name: animal.name,
      href: paths.animals.show(animal.id),
      species: speciesOf(library, animal).commonName,
      enclosure: setupOf(collection, animal.enclosureId!).enclosure.name,
      score: animalBar(score).text,
      worst: worstInFull(score),
    })),
    pages: shown.pages,
    scores: scoresOfAnimals(shown.rows, scored.length),
    homeless: homeless.map((animal) => ({
      name: animal.name,
      href: paths.animals.show(animal.id),
      species: sharedWords.notScoredYet(speciesOf(library, animal).commonName),
    })),
    unjudged: unjudgedLines(collection),
    measureFirst: measureLines(measure.rows, collection),
    measurePages: measure.pages,
    addHref: paths.animals.new,
    removed: removedList(
      removed.map((one) => ({ ...one, action: paths.animals.putBack(one.id) })),
      locale,
    ),
  };
}

function scoresOfAnimals(scored: CollectionScores['scored'], count: number): ScoresView | null {
  const scores = scored.map(({ animal, score }) => ({ ...named(animal.name, score), band: bandOfAnimal(score) }));
  return scoresView(scores, {
    id: 'all-scores',
    title: scored.length === count ? animalPageWords.scoresOfAll : animalPageWords.scoresOfPage,
    first: animalPageWords.animal,
    finding: scores.length < 2 ? '' : scoresFinding(scores, 'animals'),
  });
}

function scoresOfNeeds({ needs }: AnimalScore): ScoresView | null {
  const sorted = severeFirst(needs);
  const scores = sorted.map(
    (need): NamedScore => ({
      name: needNames[need.need],
      score: need.value,
      low: need.low,
      high: need.high,
      band: bandOf(need.value),
    }),
  );
  const severe = scores.map((one, index) =>
    sorted[index]!.severe ? { ...one, name: animalPageWords.severeIn(one.name) } : one,
  );
  return scoresView(severe, {
    id: 'need-scores',
    title: animalPageWords.everyNeed,
    first: animalPageWords.need,
    finding: scores.length < 2 ? '' : scoresFinding(scores, 'needs'),
  });
}

const named = (name: string, { score, low, high }: AnimalScore) => ({ name, score, low, high });

/** The score of an animal as a bar with its words. */
export function animalBar(score: AnimalScore): ScoreBar {
  return scoreBar(
    scoreText(bandOfAnimal(score), score.score, score.low, score.high),
    score.score,
    score.low,
    score.high,
  );
}

/** The severe needs by name, or the worst one with its value. */
export function worstWords({ needs }: AnimalScore): string {
  const severe = needs.filter((one) => one.severe).map((one) => needNames[one.need]);
  if (severe.length > 0) return animalPageWords.severelyShort(listed(severe));
  const worst = needs.reduce<NeedScore | null>((a, b) => (a === null || b.value < a.value ? b : a), null);
  return worst === null
    ? animalPageWords.nothingScored
    : `Worst need: ${needNames[worst.need]}, ${bandWords[bandOf(worst.value)]}, ${Math.round(worst.value)} of 100.`;
}

/** The same, with why a worst need that is worth very little is not called severe. */
export function worstInFull(score: AnimalScore): string {
  const lowest = score.needs.toSorted((a, b) => a.value - b.value)[0];
  const why = lowest === undefined || score.needs.some((one) => one.severe) ? null : notSevereSentence(lowest);
  return why === null ? worstWords(score) : `${worstWords(score)} ${why}`;
}

/** Why one part of a need is short: one sentence or more that hang on the same target. */
type ReasonGroup = { sentences: string[]; part: string; source: SourceNote };

type AnimalPage = {
  heading: string;
  lead: string | null;
  flags: FlagBoard | null;
  /** That a vet has to see the animal before its dated season, with the way to its form; null where that is not so. */
  vetCheck: { text: string; href: string; action: string } | null;
  /** What is done before and in a dated winter rest, and that its room is too warm for it; empty where none is near. */
  beforeRest: string[];
  signsHref: string;
  facts: { term: string; value: string }[];
  notes: string | null;
  /** Null when the library does not hold it any more, and `unknownSpecies` says so. */
  species: { name: string; href: string } | null;
  unknownSpecies: { text: string; href: string; action: string } | null;
  editHref: string;
  removeHref: string;
  homeless: { text: string; href: string; action: string } | null;
  /** What to enter before the score says much, or null. */
  unfitted: { text: string; href: string; action: string } | null;
  score: { bar: ScoreBar; cap: string; means: string; fromMemory: string; severe: string[] } | null;
  needs: {
    id: string;
    name: string;
    score: string;
    note: string;
    severe: boolean;
    notSevere: string | null;
    reasons: ReasonGroup[];
  }[];
  /** The needs beside each other; null while there are fewer than two. */
  needScores: ScoresView | null;
  notScored: string[];
  measureFirst: MeasureLine[];
  /** The readings that would narrow the range of the score most, at most three. */
  narrowing: { drivers: string; lines: { text: string; href: string; action: string }[] } | null;
  measuringHref: string;
  space: { text: string }[];
  spaceHref: string;
  vetSheetHref: string;
  growth: GrowthView | null;
  enclosureHref: string | null;
  hazards: { text: string; source: SourceNote }[];
  cautions: string[];
};

/** The score page of one animal: every need, and every lost point in a sentence with its target, source and grade. */
export function animalPage(
  row: AnimalRecord,
  scoring: Scoring,
  { scored, measureFirst }: CollectionScores,
  signs: readonly SignRecord[],
  writing: Pick<Ledger, 'locale' | 'currency' | 'unitSystem' | 'horizonMonths'>,
  restRoom: string[],
): AnimalPage {
  const { unitSystem: system, locale } = writing;
  const { library, collection } = scoring;
  const species = library.species.some(({ id }) => id === row.speciesId) ? speciesOf(library, row) : null;
  const found = scored.find(({ animal }) => animal.id === row.id);
  const score = found?.score ?? null;
  const box = collection.enclosures.find((one) => one.id === row.enclosureId) ?? null;
  return {
    heading: row.name,
    lead: null,
    flags: flagBoard([row], signs, scoring.on, writing),
    vetCheck: vetCheckOf(row, scoring.on, locale),
    beforeRest: beforeRestOf(row, species, scoring.on, restRoom),
    signsHref: paths.animals.signs.list(row.id),
    facts: factsOf(row, species, box?.name ?? null, score, lastWeight(signs, locale), system, locale),
    notes: row.notes === '' ? null : row.notes,
    species: species === null ? null : { name: species.commonName, href: paths.species.show(species.id) },
    unknownSpecies:
      species === null
        ? { text: unknownSpecies.ofAnimal(row.name), href: paths.animals.edit(row.id), action: unknownSpecies.choose }
        : null,
    editHref: paths.animals.edit(row.id),
    removeHref: paths.animals.remove(row.id),
    homeless:
      score !== null || species === null
        ? null
        : {
            text: animalPageWords.livesNowhere(row.name),
            href: paths.animals.edit(row.id),
            action: animalPageWords.sayWhere,
          },
    unfitted:
      box === null || collection.fittings.some((one) => one.enclosureId === box.id)
        ? null
        : {
            text: animalPageWords.nothingFitted(box.name),
            href: paths.enclosures.fittings.new(box.id),
            action: animalPageWords.enterFitted,
          },
    score:
      score === null
        ? null
        : {
            bar: animalBar(score),
            cap: capSentence(score),
            means: meansSentence(
              score,
              capMean(score.needs.map(({ value }) => ({ weight: 1, allowance: 100, value }))).mean,
            ),
            fromMemory: fromMemoryWords.share(shareFromMemory(score.needs)),
            severe: severeFirst(score.needs.filter((one) => one.severe)).map((need) => severeLine(need, writing)),
          },
    needs: score === null ? [] : severeFirst(score.needs).map((need) => needLine(need, score, library, writing)),
    needScores: score === null ? null : scoresOfNeeds(score),
    notScored: score === null ? [] : score.notScored.map(({ need, why }) => notScoredSentence(need, why, score.season)),
    measureFirst: measureLines(
      measureFirst.filter((one) => one.animalIds.includes(row.id)),
      collection,
    ),
    narrowing: found === undefined ? null : narrowingOf(found.animal, found.score, scoring),
    measuringHref: paths.measuring.show,
    space: score === null || species === null ? [] : spaceLines(found!.animal, score, species, scoring, system),
    spaceHref: paths.animals.space(row.id),
    vetSheetHref: paths.animals.vetSheet(row.id),
    growth: found === undefined ? null : growthView(found.animal, scoring, writing),
    enclosureHref: box === null ? null : paths.enclosures.show(box.id),
    hazards: (species?.hazards ?? []).map((one) => ({
      text: withTemperaturesIn(one.text, system),
      source: sourceNote(library, one),
    })),
    cautions: [cautions.vet, cautions.unknowable],
  };
}

// A range narrower than a point is none that a keeper could narrow.
function narrowingOf(animal: Animal, score: AnimalScore, scoring: Scoring): AnimalPage['narrowing'] {
  const drivers = rangeDrivers(score).filter(({ points }) => points >= 1);
  if (drivers.length === 0) return null;
  const lines = unsettledReadings(scoring, [animal])
    .flatMap((one) => {
      const points = one.narrows.find(({ animalId }) => animalId === animal.id)?.points ?? 0;
      return points < 1 ? [] : [{ ...one, points }];
    })
    .sort((a, b) => b.points - a.points)
    .slice(0, 3)
    .map(({ enclosureId, kind, points }) => ({
      text: narrowingSentence(kind, points),
      href: paths.enclosures.readings.newOf(enclosureId, kind),
      action: animalPageWords.enterReading,
    }));
  return { drivers: driversSentence(score, drivers), lines };
}

function factsOf(
  row: AnimalRecord,
  species: Species | null,
  enclosure: string | null,
  score: AnimalScore | null,
  weight: string,
  system: UnitSystem,
  locale: string,
): AnimalPage['facts'] {
  const seasons = row.seasons.map(({ season, fromMonth, toMonth }) =>
    animalPageWords.seasonSpan(seasonWords[season], monthNames[fromMonth - 1]!, monthNames[toMonth - 1]!),
  );
  const states = row.states.map(({ state, from, to }) => {
    const span = `${stateNames[state]} from ${formatDate(from, locale)} ${to === null ? 'until further notice' : `to ${formatDate(to, locale)}`}`;
    return species === null || species.profiles.some(({ when }) => 'state' in when && when.state === state)
      ? span
      : animalPageWords.judgedAsUsual(span);
  });
  return [
    {
      term: animalPageWords.species,
      value:
        species === null
          ? animalPageWords.speciesGone(row.speciesId)
          : animalPageWords.speciesNames(species.commonName, species.scientificName),
    },
    ...(species === null ? [{ term: animalPageWords.score, value: 'unknown' }] : []),
    { term: animalPageWords.livesIn, value: enclosure ?? animalPageWords.nowhere },
    {
      term: animalPageWords.length,
      value:
        row.lengthMm === null || row.measuredOn === null
          ? `never measured${species === null ? '' : `; adults are ${formatSpan(species.adultSize.lowMm, species.adultSize.highMm, 'length', system)} ${measureNames[species.adultSize.measure]}`}`
          : `${formatTyped({ value: row.lengthMm, typed: row.lengthTyped }, 'length', system)}${species === null ? '' : ` ${measureNames[species.adultSize.measure]}`}, on ${formatDate(row.measuredOn, locale)}`,
    },
    { term: animalPageWords.weight, value: weight },
    ...(row.hatchedOn === null ? [] : [{ term: animalPageWords.hatched, value: formatDate(row.hatchedOn, locale) }]),
    { term: animalPageWords.sex, value: row.sex === 'unknown' ? animalPageWords.notKnown : row.sex },
    ...(row.paleMorph ? [{ term: animalPageWords.form, value: animalPageWords.pale }] : []),
    ...(score === null
      ? []
      : [
          {
            term: animalPageWords.judgedAs,
            value: animalPageWords.stageIn(stageWords[score.stage], seasonWords[score.season]),
          },
        ]),
    ...(seasons.length === 0 ? [] : [{ term: animalPageWords.datedSeasons, value: listed(seasons) }]),
    ...(states.length === 0 ? [] : [{ term: animalPageWords.datedStates, value: listed(states) }]),
    ...(row.vetCheckedOn === null
      ? []
      : [{ term: animalPageWords.lastCheck, value: formatDate(row.vetCheckedOn, locale) }]),
  ];
}

function vetCheckOf({ id, name, seasons, vetCheckedOn }: AnimalRecord, on: PlainDate, locale: string) {
  const missing = vetCheckMissing(seasons, vetCheckedOn, on);
  if (missing === null) return null;
  const text = vetCheckSentence(name, missing, vetCheckedOn, locale);
  return { text, href: paths.animals.edit(id), action: animalPageWords.enterCheck };
}

function beforeRestOf(row: AnimalRecord, species: Species | null, on: PlainDate, restRoom: string[]): string[] {
  const known = (species?.profiles ?? []).flatMap(({ when }) => ('season' in when ? [when.season] : []));
  if (!isLedIntoRest(row.seasons, known, on)) return restRoom;
  const isMissingCheck = vetCheckMissing(row.seasons, row.vetCheckedOn, on) !== null;
  return [...restRoom, ...beforeRestSentences(row.name, isMissingCheck)];
}

type Writing = Pick<Ledger, 'unitSystem' | 'locale'>;

function severeFirst(needs: NeedScore[]): NeedScore[] {
  return needs.toSorted((a, b) => Number(b.severe) - Number(a.severe) || a.value - b.value);
}

// A severe need is named with its heaviest reason, so that nobody has to look for it.
function severeLine(need: NeedScore, writing: Writing): string {
  const heaviest = need.reasons[0];
  return heaviest === undefined
    ? severeSentence(need)
    : `${severeSentence(need)} ${reasonSentence(heaviest.reason, writing)}`;
}

function needLine(
  need: NeedScore,
  { needs }: AnimalScore,
  library: CareLibrary,
  writing: Writing,
): AnimalPage['needs'][number] {
  const total = needs.reduce((sum, one) => sum + one.weight, 0);
  const stake = need.lifeCritical ? animalPageWords.lifeMayDepend : '';
  return {
    id: `need-${need.need}`,
    name: needNames[need.need],
    score: scoreText(bandOf(need.value), need.value, need.low, need.high),
    note: `Weighs ${need.weight} of ${total}; the score cannot be more than ${need.allowance} points above it.${stake}`,
    severe: need.severe,
    notSevere: notSevereSentence(need),
    reasons: reasonGroups(need, library, writing),
  };
}

function reasonGroups({ reasons }: NeedScore, library: CareLibrary, writing: Writing): ReasonGroup[] {
  const groups: {
    lost: number;
    cited: NeedScore['reasons'][number]['cited'];
    unknown: boolean;
    sentences: string[];
  }[] = [];
  for (const { reason, cited, lost } of reasons) {
    if (lost < 0.5 && reason.why !== 'outdoors-now') continue;
    const unknown =
      reason.why === 'unknown-reading' || reason.why === 'check-unknown' || reason.why === 'sexes-unknown';
    const sentence = reasonSentence(reason, writing);
    const same = groups.find((one) => one.lost === lost && one.cited === cited && one.unknown === unknown);
    if (same === undefined) groups.push({ lost, cited, unknown, sentences: [sentence] });
    else same.sentences.push(sentence);
  }
  return groups.map(({ lost, cited, unknown, sentences }) => ({
    sentences,
    part: partSentence(100 - lost, unknown),
    source: sourceNote(library, cited),
  }));
}

function spaceLines(
  animal: Parameters<typeof scoreOneNeed>[0],
  score: AnimalScore,
  species: Species,
  scoring: Scoring,
  system: UnitSystem,
): AnimalPage['space'] {
  const today = score.needs.find((one) => one.need === 'space');
  if (today === undefined) return [];
  const words = (need: NeedScore) => scoreText(bandOf(need.value), need.value, need.low, need.high);
  const { lowMm, highMm } = species.adultSize;
  const grown = (lengthMm: number) => scoreOneNeed({ ...animal, lengthMm, measuredOn: scoring.on }, 'space', scoring);
  const lines = [
    animal.lengthMm === null
      ? { text: animalPageWords.todayUnmeasured(words(today)) }
      : { text: animalPageWords.todayMeasured(formatQuantity(animal.lengthMm, 'length', system), words(today)) },
  ];
  if (animal.lengthMm !== null && animal.lengthMm >= highMm) return lines;
  for (const [label, mm] of [
    [animalPageWords.smallAdult, lowMm],
    [animalPageWords.largeAdult, highMm],
  ] as const) {
    const outcome = grown(mm);
    if (animal.lengthMm !== null && animal.lengthMm >= mm) continue;
    if (outcome?.status === 'scored')
      lines.push({ text: animalPageWords.sizeAt(label, formatQuantity(mm, 'length', system), words(outcome.score)) });
  }
  return lines;
}

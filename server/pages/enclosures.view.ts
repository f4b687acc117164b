// What the list of enclosures and the page of one enclosure show, already in words.

import type { ClockHours, PlainDate } from '../../src/calendar.ts';
import { ageInMonths, daysBetween, formatClock, formatDate } from '../../src/calendar.ts';
import type { Answer, Collection, Fitting, Reading, ReadingKind, Setup } from '../../src/collection.ts';
import { CHECKS, isBroken, isFitted, READING_KINDS, setupOf } from '../../src/collection.ts';
import { FRESH_DAYS, knownOf } from '../../src/evidence.ts';
import type { Currency } from '../../src/money.ts';
import { formatMoney } from '../../src/money.ts';
import { problemsIn } from '../../src/placed-things.ts';
import type { Scoring } from '../../src/score.ts';
import { bandOfAnimal } from '../../src/score.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatArea, formatQuantity, formatSize, formatTyped } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import { canBeTakenBack } from '../db/breakdowns.ts';
import type { EnclosureRecord, FittingRecord, ReadingRecord } from '../db/collection.ts';
import type { SignRecord } from '../db/signs.ts';
import type { UpgradeRecord } from '../db/upgrades.ts';
import { depthOfCut, drawSection, type EnclosureDrawing } from '../enclosure-drawing.ts';
import { unknownSpecies } from '../fault-words.ts';
import {
  answerWords,
  checkQuestions,
  evidenceWords,
  fittingNames,
  hideZoneNames,
  materialNames,
  readingDimensions,
  readingNames,
  topNames,
} from '../kind-words.ts';
import { frontCaption } from '../light-words.ts';
import { paths } from '../paths.ts';
import type { ScoreBar } from '../score-bar.ts';
import { scoreBar } from '../score-bar.ts';
import { scoreText } from '../score-words.ts';
import type { CollectionScores } from '../scores.ts';
import { listed, monthCount, percent, sharedWords } from '../words.ts';
import { canBePlaced } from './light.view.ts';
import type { MeasureLine } from './measure-first.ts';
import { measureLines } from './measure-first.ts';
import type { Asked, PagesView } from './paging.ts';
import { pageOf } from './paging.ts';
import type { RemovedList } from './removed-list.ts';
import { removedList } from './removed-list.ts';
import type { FlagBoard } from './signs.view.ts';
import { flagBoard } from './signs.view.ts';

type EnclosuresPage = {
  heading: string;
  lead: string | null;
  empty: { heading: string; text: string; href: string; action: string } | null;
  rows: { name: string; href: string; size: string; floor: string; occupants: string; worst: string }[];
  pages: PagesView | null;
  addHref: string;
  roomsHref: string;
  instrumentsHref: string;
  removed: RemovedList | null;
};

/** The list of enclosures, each with who lives there and the score of the worst off. */
export function enclosuresPage(
  { collection }: Scoring,
  { scored }: CollectionScores,
  removed: EnclosureRecord[],
  { unitSystem: system, locale }: { unitSystem: UnitSystem; locale: string },
  asked: Asked,
): EnclosuresPage {
  const shown = pageOf(collection.enclosures, asked, { what: 'enclosures' });
  return {
    heading: 'Enclosures',
    lead: null,
    empty:
      collection.enclosures.length > 0
        ? null
        : {
            heading: 'No enclosure is entered yet',
            text: 'Enter the inside measures of a box, then what is fitted in it, who lives there, and what your instruments read.',
            href: paths.enclosures.new,
            action: 'Enter an enclosure',
          },
    rows: shown.rows.map((box) => {
      const here = scored.filter(({ animal }) => animal.enclosureId === box.id);
      const names = [...here.map(({ animal }) => animal), ...unjudgedIn(collection, box.id)].map(({ name }) => name);
      const worst = here[0];
      return {
        name: box.name,
        href: paths.enclosures.show(box.id),
        size: formatSize(box.lengthMm, box.depthMm, box.heightMm, system),
        floor: formatArea((box.lengthMm * box.depthMm) / 1e6, system),
        occupants: names.length === 0 ? 'nobody' : listed(names),
        worst:
          worst === undefined
            ? '–'
            : scoreText(bandOfAnimal(worst.score), worst.score.score, worst.score.low, worst.score.high),
      };
    }),
    pages: shown.pages,
    addHref: paths.enclosures.new,
    roomsHref: paths.rooms.list,
    instrumentsHref: paths.instruments.list,
    removed: removedList(
      removed.map((one) => ({ ...one, name: one.name, action: paths.enclosures.putBack(one.id) })),
      locale,
    ),
  };
}

function frontOf({ enclosure, fittings }: Setup, today: PlainDate, system: UnitSystem): EnclosureDrawing | null {
  const active = fittings.filter((one) => isFitted(one, today) && canBePlaced(one));
  const placed = active.filter((one) => one.placed !== null);
  if (placed.length === 0 || problemsIn(enclosure, active).length > 0) return null;
  const things = placed.map((fitting, index) => ({ fitting, number: index + 1, planned: false }));
  const drawn = { box: enclosure, things, scene: null, system };
  const caption = frontCaption(
    placed.map((one) => one.name),
    active.filter((one) => one.placed === null).map((one) => one.name),
  );
  return { ...drawSection(drawn, depthOfCut(drawn)), caption };
}

// Animals of an enclosure whose species is not known any more.
const unjudgedIn = ({ unjudged = [] }: Collection, enclosureId: string) =>
  unjudged.filter((one) => one.enclosureId === enclosureId);

type FittingLine = {
  name: string;
  kind: string;
  fitted: string;
  details: string;
  editHref: string;
  /** Null for what has no place of its own in a drawing. */
  placeHref: string | null;
  /** Null for what is not renewed. */
  renewedHref: string | null;
  /** Null for what is to be retired on a day anyway. */
  brokeHref: string | null;
  retireHref: string;
  removeHref: string;
};

/** A thing that broke, with the upgrade that puts a new one in its place, and how it is taken back into use while none was bought. */
type BrokenLine = {
  name: string;
  text: string;
  replacement: { name: string; href: string } | null;
  worksHref: string | null;
  retireHref: string;
};

/** How many readings stand on the page of their enclosure, newest first; the others stand on one of their own. */
const NEWEST_READINGS = 20;

/** One reading with the way to change and to remove it. */
export type ReadingLine = {
  kind: string;
  value: string;
  evidence: string;
  takenOn: string;
  context: string;
  editHref: string;
  removeHref: string;
};

/** Readings by the day they were taken, the newest first, those of one day the last entered first. */
export function newestFirst(readings: readonly ReadingRecord[]): ReadingRecord[] {
  return readings.toSorted((a, b) =>
    a.takenOn < b.takenOn ? 1 : a.takenOn > b.takenOn ? -1 : Number(b.id) - Number(a.id),
  );
}

/** A reading of an enclosure in words. */
export function readingLine(
  enclosureId: string,
  one: ReadingRecord,
  { locale, system, clock }: { locale: string; system: UnitSystem; clock: ClockHours },
): ReadingLine {
  return {
    kind: readingNames[one.kind],
    value: valueText(one, system),
    evidence: evidenceWords[one.evidence],
    takenOn: formatDate(one.takenOn, locale),
    context: contextOf(one, clock, system),
    editHref: paths.enclosures.readings.edit(enclosureId, one.id),
    removeHref: paths.enclosures.readings.remove(enclosureId, one.id),
  };
}

type EnclosurePage = {
  heading: string;
  lead: string | null;
  flags: FlagBoard | null;
  facts: { term: string; value: string }[];
  notes: string | null;
  editHref: string;
  lightHref: string;
  warmthHref: string;
  removeHref: string;
  occupants: { name: string; href: string; score: ScoreBar }[];
  /** Those who live here and whose species is not known any more. */
  unjudged: { text: string; href: string; name: string }[];
  addAnimalHref: string;
  /** The box with what is placed in it; null where nothing is, or where a place cannot be true. */
  front: EnclosureDrawing | null;
  fittings: FittingLine[];
  broken: BrokenLine[];
  retired: { text: string; name: string; editHref: string }[];
  addFittingHref: string;
  latest: {
    kind: string;
    value: string;
    evidence: string;
    takenOn: string;
    state: string;
    againHref: string;
    overTimeHref: string;
  }[];
  /** The newest; `allReadings` leads to the others, null where there are none. */
  readings: ReadingLine[];
  allReadings: { text: string; href: string } | null;
  addReadingHref: string;
  roundHref: string;
  pasteHref: string;
  loggerHref: string;
  measureFirst: MeasureLine[];
  checks: { question: string; answer: string; answeredOn: string }[];
  checksHref: string;
  removedFittings: RemovedList | null;
  removedReadings: RemovedList | null;
  cautions: string[];
};

/** One enclosure with everything in it. */
export function enclosurePage(given: {
  row: EnclosureRecord;
  scoring: Scoring;
  scores: CollectionScores;
  signs: readonly SignRecord[];
  fittings: { kept: FittingRecord[]; removed: FittingRecord[] };
  replacementOf: (fitting: FittingRecord) => UpgradeRecord | null;
  readings: { kept: ReadingRecord[]; removed: ReadingRecord[] };
  answers: Answer[];
  currency: Currency;
  locale: string;
  system: UnitSystem;
  clock: ClockHours;
  today: PlainDate;
}): EnclosurePage {
  const { row, scoring, scores, signs, fittings, replacementOf, readings, answers, currency, locale, system, today } =
    given;
  const setup = setupOf(scoring.collection, row.id);
  const latest = latestReadings(readings.kept);
  const line = (one: FittingRecord): FittingLine => ({
    name: one.name,
    kind: fittingNames[one.kind],
    fitted: formatDate(one.fittedOn, locale),
    details: fittingDetails(one, fittings.kept, today, system, locale, (amount) =>
      formatMoney(amount, currency, locale),
    ),
    editHref: paths.enclosures.fittings.edit(row.id, one.id),
    placeHref: canBePlaced(one) ? paths.enclosures.fittings.place(row.id, one.id) : null,
    renewedHref: one.lifeMonths === null ? null : paths.enclosures.fittings.renewed(row.id, one.id),
    brokeHref: one.retiredOn === null ? paths.enclosures.fittings.broke(row.id, one.id) : null,
    retireHref: paths.enclosures.fittings.retire(row.id, one.id),
    removeHref: paths.enclosures.fittings.remove(row.id, one.id),
  });
  return {
    heading: row.name,
    lead: null,
    flags: flagBoard([...setup.occupants, ...unjudgedIn(scoring.collection, row.id)], signs, today, {
      locale,
      currency,
      unitSystem: system,
    }),
    facts: [
      {
        term: 'Inside measures',
        value: insideText(row, system),
      },
      { term: 'Floor', value: formatArea((row.lengthMm * row.depthMm) / 1e6, system) },
      { term: 'Walls', value: materialNames[row.material] },
      { term: 'Top', value: topNames[row.top] },
      {
        term: 'In this form and place since',
        value: `${formatDate(row.boxSince, locale)}; older readings do not count`,
      },
    ],
    notes: row.notes === '' ? null : row.notes,
    editHref: paths.enclosures.edit(row.id),
    lightHref: paths.enclosures.light(row.id),
    warmthHref: paths.enclosures.warmth(row.id),
    removeHref: paths.enclosures.remove(row.id),
    occupants: scores.scored
      .filter(({ animal }) => animal.enclosureId === row.id)
      .map(({ animal, score }) => ({
        name: animal.name,
        href: paths.animals.show(animal.id),
        score: scoreBar(
          scoreText(bandOfAnimal(score), score.score, score.low, score.high),
          score.score,
          score.low,
          score.high,
        ),
      })),
    unjudged: unjudgedIn(scoring.collection, row.id).map(({ id, name }) => ({
      text: unknownSpecies.livesHere(name),
      href: paths.animals.show(id),
      name,
    })),
    addAnimalHref: `${paths.animals.new}?enclosure=${row.id}`,
    front: frontOf(setup, today, system),
    fittings: fittings.kept.filter((one) => one.retiredOn === null || one.retiredOn > today).map(line),
    broken: fittings.kept.filter(isBroken).map((one): BrokenLine => {
      const replacement = replacementOf(one);
      return {
        name: one.name,
        text: `${fittingNames[one.kind]}, broken since ${formatDate(one.brokenOn!, locale)}.`,
        replacement:
          replacement === null ? null : { name: replacement.name, href: paths.upgrades.show(replacement.id) },
        worksHref: canBeTakenBack(one, replacement) ? paths.enclosures.fittings.worksAfterAll(row.id, one.id) : null,
        retireHref: paths.enclosures.fittings.retire(row.id, one.id),
      };
    }),
    retired: fittings.kept
      .filter((one) => one.retiredOn !== null && one.retiredOn <= today && !isBroken(one))
      .map(line)
      .map(({ name, kind, fitted, details, editHref }) => ({
        text: sharedWords.usedBefore(name, kind, fitted, details),
        name,
        editHref,
      })),
    addFittingHref: paths.enclosures.fittings.new(row.id),
    latest: READING_KINDS.flatMap((kind) => {
      const one = latest.get(kind);
      if (one === undefined) return [];
      return [
        {
          kind: readingNames[kind],
          value: valueText(one, system),
          evidence: evidenceWords[one.evidence],
          takenOn: formatDate(one.takenOn, locale),
          state: stateOf(kind, one, given, setup),
          againHref: paths.enclosures.readings.newOf(row.id, kind),
          overTimeHref: paths.enclosures.readings.of(row.id, kind),
        },
      ];
    }),
    readings: newestFirst(readings.kept)
      .slice(0, NEWEST_READINGS)
      .map((one) => readingLine(row.id, one, given)),
    allReadings:
      readings.kept.length <= NEWEST_READINGS
        ? null
        : { text: `All ${readings.kept.length} readings, by year`, href: paths.enclosures.readings.all(row.id) },
    addReadingHref: paths.enclosures.readings.new(row.id),
    roundHref: paths.enclosures.round(row.id),
    pasteHref: paths.enclosures.readings.import(row.id),
    loggerHref: paths.enclosures.readings.logger(row.id),
    measureFirst: measureLines(
      scores.measureFirst.filter((one) => one.enclosureId === row.id),
      scoring.collection,
    ),
    checks: CHECKS.map((check) => {
      const given = answers.find((one) => one.check === check);
      return {
        question: checkQuestions[check].question,
        answer: given === undefined ? 'Not answered' : answerWords[given.answer],
        answeredOn: given === undefined ? '–' : formatDate(given.answeredOn, locale),
      };
    }),
    checksHref: paths.enclosures.checks(row.id),
    removedFittings: removedList(
      fittings.removed.map((one) => ({ ...one, action: paths.enclosures.fittings.putBack(row.id, one.id) })),
      locale,
    ),
    removedReadings: removedList(
      readings.removed.map((one) => ({
        ...one,
        name: `${readingNames[one.kind]}, ${formatDate(one.takenOn, locale)}`,
        action: paths.enclosures.readings.putBack(row.id, one.id),
      })),
      locale,
    ),
    cautions: [cautions.unknowable, cautions.mainsAndWater],
  };
}

function latestReadings(readings: ReadingRecord[]): Map<ReadingKind, ReadingRecord> {
  const latest = new Map<ReadingKind, ReadingRecord>();
  for (const one of readings) {
    const before = latest.get(one.kind);
    if (before === undefined || one.takenOn >= before.takenOn) latest.set(one.kind, one);
  }
  return latest;
}

// As typed, and once more in the keeper's unit where a side was typed in another.
function insideText(row: EnclosureRecord, system: UnitSystem): string {
  const sides = [
    { value: row.lengthMm, typed: row.lengthTyped },
    { value: row.depthMm, typed: row.depthTyped },
    { value: row.heightMm, typed: row.heightTyped },
  ];
  const typed = sides.map((one) => one.typed).join(' × ');
  const isForeign = sides.some((one) => formatTyped(one, 'length', system) !== one.typed);
  const again = isForeign ? `, which is ${formatSize(row.lengthMm, row.depthMm, row.heightMm, system)}` : '';
  return `${typed} (length × depth × height)${again}`;
}

/** A reading as it was typed, or that it is unknown. */
function valueText(one: Reading, system: UnitSystem): string {
  if (one.value === null) return 'unknown';
  return formatTyped({ value: one.value, typed: one.typed }, readingDimensions[one.kind], system);
}

function stateOf(
  kind: ReadingKind,
  latest: ReadingRecord,
  { today }: { today: PlainDate },
  setup: ReturnType<typeof setupOf>,
): string {
  const known = knownOf(setup, kind, today, today);
  if (known.status === 'unknown')
    return known.why === 'box-changed' ? 'No longer holds: the box has changed since' : 'Unknown';
  if (known.from === 'expected') return 'Replaced by what is fitted since: measure again';
  if (known.from === 'estimated' && latest.evidence === 'measured')
    return 'Counts as an estimate: something that influences it has changed since';
  return heldSince(kind, latest, daysBetween(latest.takenOn, today));
}

// How a reading that holds was come by, and how long ago: past its fresh days the score no longer takes it at its word.
function heldSince(kind: ReadingKind, { evidence }: ReadingRecord, days: number): string {
  const when = days === 0 ? 'today' : `${days} ${days === 1 ? 'day' : 'days'} ago`;
  if (evidence !== 'measured') return `Holds as an estimate, made ${when}`;
  if (days <= FRESH_DAYS) return `Holds: measured ${when}`;
  const aged = kind.startsWith('uvi') ? ', and its lamp has aged since' : '';
  return `Measured ${when}: older than ${FRESH_DAYS} days, so that its range in the score is wider${aged}. Measure again`;
}

function contextOf(
  { hour, roomCelsius, roomTyped, instrument, notes }: ReadingRecord,
  clock: ClockHours,
  system: UnitSystem,
): string {
  const parts = [
    hour === null ? '' : `at ${formatClock(hour * 60, clock)}`,
    roomCelsius === null ? '' : `room ${formatTyped({ value: roomCelsius, typed: roomTyped }, 'temperature', system)}`,
    instrument,
    notes,
  ].filter((part) => part !== '');
  return parts.length === 0 ? '–' : parts.join('; ');
}

function fittingDetails(
  one: FittingRecord,
  all: FittingRecord[],
  today: PlainDate,
  system: UnitSystem,
  locale: string,
  price: (amount: NonNullable<Fitting['renewalPrice']>) => string,
): string {
  const nameOf = (id: string | null) => all.find((other) => other.id === id)?.name ?? null;
  const isInUse = (id: string | null) => all.some((other) => other.id === id && isFitted(other, today));
  const [regulated, guarded] = [nameOf(one.regulates), nameOf(one.guards)];
  const parts = [
    one.retiredOn === null ? '' : `retired on ${formatDate(one.retiredOn, locale)}`,
    one.fittedOn > today ? 'from that day on' : '',
    one.place === null ? '' : `at ${hideZoneNames[one.place]}`.replace('at under water', 'under water'),
    regulated === null
      ? ''
      : isInUse(one.regulates)
        ? `regulates “${regulated}”`
        : `regulated “${regulated}”, out of use`,
    guarded === null ? '' : `guards “${guarded}”`,
    one.watts === null ? '' : formatQuantity(one.watts, 'power', system),
    one.hoursPerDay === null ? '' : `${formatQuantity(one.hoursPerDay, 'hours', system)} a day`,
    one.lamp === null
      ? ''
      : `UV index ${formatQuantity(one.lamp.uvi, 'uv-index', system)} at ${formatQuantity(one.lamp.atMm, 'length', system)}, bare`,
    one.distanceMm === null || one.distanceTyped === ''
      ? ''
      : `${formatTyped({ value: one.distanceMm, typed: one.distanceTyped }, 'length', system)} above the animal’s back`,
    one.meshShare === 1
      ? ''
      : one.meshShare === null
        ? 'what is between it and the animal is unknown'
        : `through mesh that passes ${percent(one.meshShare)}`,
    one.outOfReach ? 'out of reach' : '',
    one.outdoors === null
      ? ''
      : `${formatArea((one.outdoors.lengthMm * one.outdoors.depthMm) / 1e6, system)}, ${one.outdoors.shade ? 'with' : 'without'} shade`,
    isFitted(one, today) ? lifeText(one, today) : '',
    one.renewalPrice === null ? '' : `a new one costs ${price(one.renewalPrice)}`,
    one.whenBoxReplaced === 'stays-behind' ? 'stays behind when the box is replaced' : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? '–' : parts.join('; ');
}

function lifeText({ lifeMonths, fittedOn }: Fitting, today: PlainDate): string {
  if (lifeMonths === null) return '';
  const left = lifeMonths - ageInMonths(fittedOn, today);
  return left < 0
    ? `past its life of ${monthCount(lifeMonths)} by ${monthCount(-left)}`
    : `${monthCount(left)} left of a life of ${monthCount(lifeMonths)}`;
}

// What the form of a round of readings shows at each stop, and what a saved round changed, already in words.

import type { PlainDate } from '../../src/calendar.ts';
import { type ClockHours, formatDate } from '../../src/calendar.ts';
import type { Animal, Reading, ReadingKind, Setup } from '../../src/collection.ts';
import type { Reason } from '../../src/judging.ts';
import type { Proposal } from '../../src/proposals.ts';
import {
  bandsOf,
  type Due,
  dueOn,
  latestOf,
  type TargetBand,
  type ValueDoubt,
  WALKING_ORDER,
} from '../../src/reading-round.ts';
import { type AnimalScore, bandOfAnimal, type NeedScore, type Scoring, targetsOn } from '../../src/score.ts';
import {
  formatQuantity,
  formatSpan,
  formatTyped,
  parseQuantity,
  type Quantity,
  type UnitSystem,
  unitName,
} from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import type { EnclosureRecord, ReadingRecord } from '../db/collection.ts';
import type { InstrumentRecord } from '../db/instruments.ts';
import {
  checkboxField,
  dayField,
  type ErrorSummary,
  errorSummary,
  type Field,
  notesField,
  numberField,
  selectField,
  textField,
} from '../fields.ts';
import { formSentences, hourHint } from '../form-words.ts';
import type { FormState } from '../forms.ts';
import { evidenceWords, needNames, readingDimensions, readingHints, readingNames } from '../kind-words.ts';
import { zonesServedSentence } from '../light-words.ts';
import { atOnceSentence, roundWords } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import { proposalName } from '../proposal-words.ts';
import { reasonSentence, scoreText, settledSentences } from '../score-words.ts';
import { capital, lowerFirst } from '../words.ts';
import { metersFor } from './readings.ts';

/** The names of the fields at the stop of a kind. */
export function roundFields(kind: ReadingKind) {
  return {
    value: `value-${kind}`,
    sure: `sure-${kind}`,
    /** The text that was asked about, for which alone the tick counts. */
    asked: `asked-${kind}`,
    meter: `meter-${kind}`,
    hour: `hour-${kind}`,
    notes: `notes-${kind}`,
  };
}

/** One stop of a round: what was read there before, what each animal should find there, and why it is due (null when it is not). */
type StopFacts = {
  kind: ReadingKind;
  due: Due | null;
  before: ReadingRecord | null;
  bands: { animal: Animal; band: TargetBand }[];
};

/** The stops in walking order: those that are due where a target needs them, and the rest. */
export function stopsOf({
  scoring,
  setup,
  readings,
  today,
}: {
  scoring: Scoring;
  setup: Setup;
  readings: readonly ReadingRecord[];
  today: PlainDate;
}): { due: StopFacts[]; rest: StopFacts[] } {
  const wanted = setup.occupants.map((animal) => ({
    animal,
    bands: bandsOf(animal, targetsOn(animal, scoring), scoring.library.uvZones),
  }));
  const stops = WALKING_ORDER.map((kind): StopFacts => {
    const bands = wanted.flatMap(({ animal, bands }) => {
      const band = bands.get(kind);
      return band === undefined ? [] : [{ animal, band }];
    });
    return {
      kind,
      due: bands.length === 0 ? null : dueOn(setup, kind, today),
      before: latestOf(readings, kind, today),
      bands,
    };
  });
  return { due: stops.filter((one) => one.due !== null), rest: stops.filter((one) => one.due === null) };
}

const dueWords: Record<Due, string> = {
  'never-read': roundWords.neverRead,
  'box-changed': roundWords.boxChanged,
  'thing-changed': roundWords.influenceChanged,
  'said-unknown': roundWords.enteredUnknown,
  estimated: roundWords.onlyEstimated,
  old: roundWords.tooOld,
};

// A number on the wrong thermometer scale is the usual slip: asked where it would be an ordinary value on the other.
function otherDegrees(typed: string, { low, high }: { low: number; high: number }): string {
  if (!/°[CF]$/.test(typed)) return '';
  const other = typed.replace(/[CF]$/, (one) => (one === 'C' ? 'F' : 'C'));
  const read = parseQuantity(other, 'temperature', 'metric');
  return read.status === 'ok' && read.quantity.value >= low && read.quantity.value <= high
    ? ` Did you mean ${other}? Then write it so.`
    : '';
}

/** What to look at again, and what to do. */
export function valueDoubtSentence(
  kind: ReadingKind,
  { typed }: Quantity,
  doubt: ValueDoubt,
  system: UnitSystem,
  locale: string,
): string {
  const dimension = readingDimensions[kind];
  return doubt.doubt === 'rare'
    ? formSentences.askedBack(
        `${typed} is hardly ever found there (usually ${formatSpan(doubt.low, doubt.high, dimension, system)}).${otherDegrees(typed, doubt)}`,
      )
    : formSentences.askedBack(
        `${typed} is far from the ${formatQuantity(doubt.before, dimension, system)} of ${formatDate(doubt.takenOn, locale)}.`,
      );
}

type Stop = {
  field: Field;
  /** The tick that a doubted value is right; null where nothing is doubted. */
  sure: Field | null;
  asked: { name: string; value: string } | null;
  how: string;
  foldLabel: string;
  isOpen: boolean;
  more: Field[];
};

type RoundPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  cautions: string[];
  action: string;
  once: string;
  whole: Field[];
  due: Stop[];
  rest: Stop[];
  restSummary: string;
  isRestOpen: boolean;
  cancel: string;
  instrumentsHref: string;
};

/** The form of a round. */
export function roundPage({
  enclosure,
  setup,
  form,
  stops,
  instruments,
  system,
  clock,
  locale,
  once,
  action,
}: {
  enclosure: EnclosureRecord;
  setup: Pick<Setup, 'occupants'>;
  form: FormState;
  stops: { due: StopFacts[]; rest: StopFacts[] };
  instruments: readonly InstrumentRecord[];
  system: UnitSystem;
  clock: ClockHours;
  locale: string;
  once: string;
  action: string;
}): RoundPage {
  const hasMistake = (fields: readonly Field[]) => fields.some((one) => one.error !== null);
  const stopOf = ({ kind, due, before, bands }: StopFacts): Stop => {
    const names = roundFields(kind);
    const hint = [
      before === null ? '' : beforeText(before, system, locale),
      due === null || (due === 'never-read' && before !== null) ? '' : dueWords[due],
      targetText(kind, bands, system),
    ]
      .filter((text) => text !== '')
      .join(' ');
    const field = numberField(form, names.value, readingNames[kind], {
      hint,
      inputMode: 'decimal',
      suffix: unitOf(kind, system),
    });
    const doubted = field.error?.startsWith(roundWords.lookAgain) ?? false;
    const isSure = !doubted && form.values[names.sure] === 'yes';
    // A tick that was for another value is not kept.
    const tick = { ...form, values: { ...form.values, [names.sure]: isSure ? 'yes' : '' } };
    const meters = metersFor(kind, instruments);
    const more = [
      ...(meters.length === 0
        ? []
        : [
            selectField(form, names.meter, roundWords.anotherInstrument, [
              { value: '', label: roundWords.instrumentOfRound },
              ...meters.map(({ id, name }) => ({ value: id, label: name })),
            ]),
          ]),
      textField(form, names.hour, roundWords.anotherHour, { hint: hourHint(clock) }),
      notesField(form, names.notes, roundWords.notes, { rows: 2 }),
    ];
    return {
      field,
      sure:
        doubted || isSure
          ? checkboxField(tick, names.sure, `The ${lowerFirst(readingNames[kind])} is right as typed`)
          : null,
      asked: doubted || isSure ? { name: names.asked, value: form.values[names.value] ?? '' } : null,
      how: readingHints[kind],
      foldLabel: roundWords.howItIsRead,
      isOpen: hasMistake(more),
      more,
    };
  };
  const [due, rest] = [stops.due.map(stopOf), stops.rest.map(stopOf)];
  return {
    heading: `A round through “${enclosure.name}”`,
    lead:
      due.length === 0
        ? setup.occupants.length === 0
          ? roundWords.nobodyLivesHere
          : roundWords.nothingDue
        : roundWords.lead,
    mistakes: errorSummary(form),
    cautions: [
      ...(stops.due.some((one) => one.kind.startsWith('uvi')) || stops.rest.some(hasLight) ? [cautions.uvAndEyes] : []),
      ...(stops.due.some((one) => one.kind.startsWith('water')) ? [cautions.mainsAndWater] : []),
    ],
    action,
    once,
    whole: [
      dayField(form, 'takenOn', roundWords.takenOn),
      textField(form, 'hour', roundWords.hourDay, { hint: hourHint(clock) }),
      numberField(form, 'room', roundWords.temperatureRoom, {
        inputMode: 'decimal',
        suffix: unitOf('warm-air', system),
      }),
      ...(instruments.length === 0
        ? []
        : [
            selectField(
              form,
              'meter',
              roundWords.instrument,
              [
                { value: '', label: roundWords.noneList },
                ...instruments.map(({ id, name }) => ({ value: id, label: name })),
              ],
              { hint: roundWords.instrumentHint },
            ),
          ]),
      textField(form, 'instrument', instruments.length === 0 ? roundWords.instrument : roundWords.anotherInstrument, {
        hint: roundWords.nameHint,
      }),
    ],
    due,
    rest,
    restSummary: `${due.length === 0 ? 'All readings' : 'Not due, or without a target'} (${rest.length})`,
    isRestOpen: due.length === 0 || rest.some(({ field, more }) => field.value !== '' || hasMistake([field, ...more])),
    cancel: paths.enclosures.show(enclosure.id),
    instrumentsHref: paths.instruments.list,
  };
}

// Where a UV index was read before there is, or was, a lamp to look into.
function hasLight({ kind, before }: StopFacts): boolean {
  return kind.startsWith('uvi') && before !== null;
}

function beforeText(before: ReadingRecord, system: UnitSystem, locale: string): string {
  return `Before: ${valueText(before, system)}, ${evidenceWords[before.evidence]} on ${formatDate(before.takenOn, locale)}.`;
}

function valueText(one: Pick<Reading, 'value' | 'typed' | 'kind'>, system: UnitSystem): string {
  if (one.value === null) return 'unknown';
  return formatTyped({ value: one.value, typed: one.typed }, readingDimensions[one.kind], system);
}

// Animals that share a band are not named; where bands differ each is said for its own.
/** What a reading should be for the animals it matters to, a whole sentence. */
export function targetText(kind: ReadingKind, bands: StopFacts['bands'], system: UnitSystem): string {
  const texts = new Map<string, string[]>();
  for (const { animal, band } of bands) {
    const text = bandText(kind, band, system);
    texts.set(text, [...(texts.get(text) ?? []), animal.name]);
  }
  if (texts.size === 0) return roundWords.noTargetNeeds;
  const parts = [...texts].map(([text, names]) => (texts.size === 1 ? text : `${text} for ${names.join(', ')}`));
  const several = bands.flatMap(({ band: { zones } }) =>
    zones === undefined ? [] : [zonesServedSentence(zones.between, zones.servesAll)],
  );
  return [`Target: ${parts.join('; ')}.`, ...new Set(several)].join(' ');
}

/** A target band in the keeper's unit. */
export function bandText(kind: ReadingKind, { low, high }: TargetBand, system: UnitSystem): string {
  const dimension = readingDimensions[kind];
  if (low !== null && high !== null) return formatSpan(low, high, dimension, system);
  if (high !== null) return `at most ${formatQuantity(high, dimension, system)}`;
  return low === null ? roundWords.noFigure : `at least ${formatQuantity(low, dimension, system)}`;
}

function unitOf(kind: ReadingKind, system: UnitSystem): string {
  const dimension = readingDimensions[kind];
  return dimension === 'uv-index' ? 'UVI' : unitName(dimension, system);
}

/** An animal's score as it would be without some readings, and with them. */
export type ScoreChange = { animal: Animal; before: AnimalScore; after: AnimalScore };

/** The same in words, as views/partials/score-change.hbs draws it. */
export type ScoreChangeLine = {
  name: string;
  href: string;
  sentence: string;
  before: string;
  after: string;
  needs: string[];
};

/** A saved reading that lies outside what an animal needs, and what to do about it at once. */
type OutsideLine = { who: string; sentence: string; act: string };

type RoundSavedPage = {
  heading: string;
  lead: string;
  outsideHeading: string;
  outside: OutsideLine[];
  outsideLead: string;
  whatElse: string;
  upgradesHref: string;
  rows: { what: string; value: string; editHref: string }[];
  changes: ScoreChangeLine[];
  againHref: string;
  listHref: string;
};

/** What a saved round changed: each animal's score as it would be without it, and with it. */
export function roundSavedPage({
  enclosure,
  saved,
  changes,
  proposals,
  system,
  locale,
}: {
  enclosure: EnclosureRecord;
  saved: readonly ReadingRecord[];
  changes: readonly ScoreChange[];
  proposals: readonly Proposal[];
  system: UnitSystem;
  locale: string;
}): RoundSavedPage {
  const written = { unitSystem: system, locale };
  const count = saved.length === 1 ? roundWords.oneSaved : `${saved.length} readings were`;
  return {
    heading: `Saved in “${enclosure.name}”`,
    lead: `${count} saved. This is what ${saved.length === 1 ? 'it changes' : 'they change'} in the score today.`,
    outsideHeading: roundWords.outside,
    outsideLead: roundWords.outsideLead,
    whatElse: roundWords.whatElse,
    outside: outsideLines(saved, changes, proposals, enclosure.id, written),
    upgradesHref: paths.upgrades.list,
    rows: saved.map((one) => ({
      what: readingNames[one.kind],
      value: valueText(one, system),
      editHref: paths.enclosures.readings.edit(enclosure.id, one.id),
    })),
    changes: changes.map((one) => scoreChangeOf(one, written)),
    againHref: paths.enclosures.round(enclosure.id),
    listHref: paths.enclosures.show(enclosure.id),
  };
}

type Written = { unitSystem: UnitSystem; locale: string };

// The saved readings that are off for somebody, the severe first; what to do is a free thing that is proposed for it, else what is usual.
function outsideLines(
  saved: readonly ReadingRecord[],
  changes: readonly ScoreChange[],
  proposals: readonly Proposal[],
  enclosureId: string,
  written: Written,
): OutsideLine[] {
  const kinds = new Set(saved.map(({ kind }) => kind));
  const lines = changes.flatMap(({ animal, after }) => {
    const seen = new Set<ReadingKind>();
    return after.needs.flatMap(({ reasons }) =>
      reasons.flatMap(({ reason, severe }) => {
        const kind = readingBehind(reason);
        if (kind === null || !kinds.has(kind) || seen.has(kind)) return [];
        seen.add(kind);
        const free = proposals.filter(
          (one) =>
            one.isFree && one.enclosureId === enclosureId && one.because.some((each) => readingBehind(each) === kind),
        );
        const acts = free.slice(0, 1).map((one) => `${proposalName(one.act, written.unitSystem)}.`);
        const act = acts[0] ?? atOnceSentence(reason);
        return [{ who: animal.name, sentence: reasonSentence(reason, written), act, severe }];
      }),
    );
  });
  return lines
    .sort((a, b) => Number(b.severe) - Number(a.severe))
    .map(({ who, sentence, act }) => ({ who, sentence, act }));
}

// The reading that a reason holds against a target; null where it speaks of none.
function readingBehind(reason: Reason): ReadingKind | null {
  switch (reason.why) {
    case 'temperature-outside':
    case 'deadly-heat':
      return reason.kind === 'body' ? null : reason.kind;
    case 'humidity-outside':
      return reason.time === 'day' ? 'humidity-day' : 'humidity-night';
    case 'uv-above':
    case 'uv-below':
    case 'uv-without-lamp':
      return 'uvi-basking';
    case 'uv-no-retreat':
      return reason.reading === null ? null : 'uvi-lowest';
    case 'retreat-dry':
      return 'humidity-retreat';
    case 'water-depth':
      return 'water-depth';
    default:
      return null;
  }
}

/** What readings changed in the score of one animal, need by need, and for what reason. */
export function scoreChangeOf({ animal, before, after }: ScoreChange, written: Written): ScoreChangeLine {
  return {
    name: animal.name,
    href: paths.animals.show(animal.id),
    sentence: changeSentence(before, after),
    before: scoreText(bandOfAnimal(before), before.score, before.low, before.high),
    after: scoreText(bandOfAnimal(after), after.score, after.low, after.high),
    needs: after.needs.flatMap((need) => {
      const then = before.needs.find((one) => one.need === need.need);
      if (then === undefined || Math.round(then.value) === Math.round(need.value)) return [];
      const moved = `${capital(needNames[need.need])}: ${Math.round(then.value)} before, ${Math.round(need.value)} now.`;
      return [[moved, ...whyMoved(then, need, written)].join(' ')];
    }),
  };
}

// What came to light, and what no longer holds the need down. How well a reading is known moves nothing by itself.
function whyMoved(then: NeedScore, now: NeedScore, written: Written): string[] {
  const reasons = ({ reasons: all }: NeedScore) =>
    all.map(({ reason }) => reason).filter(({ why }) => why !== 'uncertain-reading');
  const same = (a: Reason, b: Reason) => reasonSentence(a, written) === reasonSentence(b, written);
  const less = (these: Reason[], those: Reason[]) => these.filter((one) => !those.some((other) => same(one, other)));
  const settled = less(reasons(then), reasons(now));
  return [
    ...less(reasons(now), reasons(then)).map((one) => reasonSentence(one, written)),
    ...settledSentences(settled, written),
  ];
}

function changeSentence(before: AnimalScore, after: AnimalScore): string {
  const [then, now] = [Math.round(before.score), Math.round(after.score)];
  const [wide, narrow] = [before.high - before.low, after.high - after.low].map(Math.round) as [number, number];
  const range = narrow < wide ? roundWords.knownMoreClosely : narrow > wide ? roundWords.knownLessClosely : '';
  if (now === then) return `The score stays at ${now}.${range}`;
  return `The score ${now > then ? 'rises' : 'falls'} from ${then} to ${now}.${range}`;
}

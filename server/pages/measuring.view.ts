// What the page about measuring first shows: for each reading that is not known well enough, what it is worth to the present plan.

import type { Collection } from '../../src/collection.ts';
import type { Currency, Money } from '../../src/money.ts';
import { formatMoney, money } from '../../src/money.ts';
import type { PartsList } from '../../src/parts.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity } from '../../src/units.ts';
import { meterFor, type UnsettledReading } from '../../src/unsettled.ts';
import type { Informed, WorthOfMeasuring } from '../../src/worth-of-measuring.ts';
import { bestChance, blindPlan, changesNothing, gainingChances, netWorth } from '../../src/worth-of-measuring.ts';
import type { MeasuringWorth } from '../db/studies.ts';
import { type Field, numberField } from '../fields.ts';
import type { FormState } from '../forms.ts';
import { readingDimensions, readingHints, readingNames } from '../kind-words.ts';
import { measuringSentences as words } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import { weightedMonths } from '../plan-words.ts';
import { listed } from '../words.ts';
import type { MeasureLine } from './measure-first.ts';
import { planDifference, type Studied, studyState } from './studies.view.ts';

/** One way to come to a reading, with what it is worth. */
type WayLine = { way: string; sentences: string[] };

/** A reading and its worth. */
type ReadingWorth = {
  id: string;
  heading: string;
  hint: string;
  cases: { term: string; value: string }[];
  /** Why nothing more is said, or null. */
  plain: string | null;
  ways: WayLine[];
  outcomes: { lead: string; items: string[] }[];
  sure: string | null;
  field: Field | null;
  /** The fold with what would change and the keeper's own chance. */
  foldLabel: string;
  isOpen: boolean;
  /** The chances typed for the other readings, so that none is lost. */
  others: { name: string; value: string }[];
  enterHref: string;
  enter: string;
  meter: { kind: string; label: string } | null;
};

/** What views/pages/measuring.hbs shows. */
export type MeasuringPage = {
  heading: string;
  lead: string;
  /** What keeps the page from saying more, with a link or a button to mend that (`press` is where it is sent), or null. */
  missing: { text: string; href: string | null; action: string; press: string | null } | null;
  /** What was fitted and not read since, which stands before all else. */
  awaited: MeasureLine[];
  awaitedHeading: string;
  /** What is unknown and can be looked at or read, as long as nothing is worked out of what that is worth. */
  unknown: MeasureLine[];
  unknownHeading: string;
  notes: string[];
  action: string;
  reckon: string;
  readings: ReadingWorth[];
  wantMeterAction: string;
  weekendHref: string;
  weekend: string;
};

/** Everything the page is made from; `studied` is null while there is no plan. */
export type MeasuringParts = {
  studied: Studied | null;
  isStale: boolean;
  awaited: MeasureLine[];
  unknown: MeasureLine[];
  /** Whether a plan or what hangs on it is being worked out now. */
  isReckoning: boolean;
  collection: Collection;
  parts: PartsList;
  system: UnitSystem;
  currency: Currency;
  locale: string;
  /** Chances of a fault as typed, by the name of their field. */
  form: FormState;
};

/** The name under which the chance of a fault of a reading is sent. */
function chanceField({ enclosureId, kind }: Pick<UnsettledReading, 'enclosureId' | 'kind'>): string {
  return `chance-${enclosureId}-${kind}`;
}

/** A chance from 0 to 1 from a text in percent; null for an empty one, 'bad' for anything that is not from 0 to 100. */
export function readChance(text: string): number | null | 'bad' {
  const typed = text.trim().replace(',', '.').replace(/\s*%$/, '');
  if (typed === '') return null;
  const value = /^\d{1,3}(\.\d{1,2})?$/.test(typed) ? Number(typed) : Number.NaN;
  return value >= 0 && value <= 100 ? value / 100 : 'bad';
}

/** The page; readings that decide something stand first. */
export function measuringPage(parts: MeasuringParts): MeasuringPage {
  const { studied, isStale } = parts;
  const study = studied?.studies.measuring;
  const found = study?.found ?? [];
  const state = studied === null ? null : studyState(studied, 'measuring');
  const decides = ({ worth }: MeasuringWorth) => worth !== null && !changesNothing(worth);
  return {
    heading: words.heading,
    lead: words.lead,
    missing:
      parts.isReckoning && study === undefined
        ? { text: words.reckoning, href: paths.measuring.show, action: words.lookAgain, press: null }
        : studied === null
          ? { text: words.noPlan, href: paths.roadmap.show, action: words.planAction, press: null }
          : study !== undefined
            ? null
            : isStale
              ? { text: words.staleMissing, href: null, action: words.planAgain, press: paths.roadmap.plan }
              : { text: words.missing, href: null, action: words.begin, press: paths.measuring.study },
    notes: [
      ...(isStale && study !== undefined ? [words.stale] : []),
      ...(study === undefined ? [] : [state, found.length === 0 && state === null ? words.nothingOpen : null]).filter(
        (one) => one !== null,
      ),
      ...(found.some(decides) ? [words.assumption, words.severeNote] : []),
    ],
    awaited: parts.awaited,
    awaitedHeading: words.awaitedHeading,
    unknown: study === undefined ? parts.unknown : [],
    unknownHeading: words.unknownHeading,
    action: paths.measuring.show,
    reckon: words.reckon,
    readings:
      studied === null
        ? []
        : found
            .toSorted((a, b) => Number(decides(b)) - Number(decides(a)))
            .map((one) => readingOf(one, studied, parts)),
    wantMeterAction: paths.measuring.wantMeter,
    weekendHref: paths.measuring.weekend,
    weekend: words.weekendLink,
  };
}

function readingOf({ reading, prices, worth }: MeasuringWorth, studied: Studied, parts: MeasuringParts): ReadingWorth {
  const { collection, system, form } = parts;
  const { enclosureId, kind, fine, faulty } = reading;
  const box = collection.enclosures.find((one) => one.id === enclosureId)?.name ?? '';
  const names = collection.animals.filter((one) => one.enclosureId === enclosureId).map((one) => one.name);
  const told = (value: number) => formatQuantity(value, readingDimensions[kind], system);
  const field = chanceField(reading);
  const typed = readChance(form.values[field] ?? '');
  const chance = typed === 'bad' ? null : typed;
  const isDeciding = worth !== null && !changesNothing(worth);
  const part = meterFor(parts.parts, kind);
  return {
    id: field,
    heading: `${box} (${listed(names)}): ${readingNames[kind]}`,
    hint: readingHints[kind],
    cases: [
      { term: words.inOrder, value: told(fine) },
      { term: words.atFault, value: told(faulty) },
    ],
    plain: worth === null ? words.cannotCompare : isDeciding ? null : words.changesNothing,
    ways: isDeciding ? worth.informed.map((one, index) => wayOf(worth, one, prices[index]!, chance, parts)) : [],
    outcomes: isDeciding
      ? [
          { lead: words.ifRead('fine', told(fine)), items: planAfter(studied, worth, 'fine') },
          { lead: words.ifRead('faulty', told(faulty)), items: planAfter(studied, worth, 'faulty') },
        ]
      : [],
    sure: isDeciding ? (worth.proved ? words.proved : words.notProved) : null,
    field: isDeciding
      ? numberField(form, field, words.chanceLabel, { hint: words.chanceHint, inputMode: 'decimal' })
      : null,
    foldLabel: words.fold,
    isOpen: (form.values[field] ?? '') !== '',
    others: Object.entries(form.values).flatMap(([name, value]) =>
      name === field || value === '' ? [] : [{ name, value }],
    ),
    enterHref: paths.enclosures.readings.newOf(enclosureId, kind),
    enter: words.enter,
    meter: part === null || !isDeciding ? null : { kind, label: words.wantMeter(part.name) },
  };
}

function wayOf(
  worth: WorthOfMeasuring,
  informed: Informed,
  price: number,
  chance: number | null,
  { currency, locale }: MeasuringParts,
): WayLine {
  const way = price === 0 ? words.atHand : words.bought(formatMoney(money(price) as Money, currency, locale));
  if (informed.status === 'cannot-be-paid') return { way, sentences: [words.cannotBePaid] };
  const range = gainingChances(worth, informed);
  const severe = words.severe(informed.severe.faulty, informed.severe.fine);
  const best = range === null ? null : bestChance(worth, informed);
  return {
    way,
    sentences: [
      ...(chance === null ? [] : [words.atChance(chance, netWorth(worth, informed, chance)!)]),
      range === null || best === null ? words.never : words.pays(range.from, range.to, weightedMonths(best.net)),
      ...(severe === null ? [] : [severe]),
    ],
  };
}

// What the plan becomes once it is known, against what is done without knowing.
function planAfter(studied: Studied, worth: WorthOfMeasuring, which: 'faulty' | 'fine'): string[] {
  const { answer } = studied.plan;
  const present = 'buys' in answer ? answer.buys : blindPlan(worth, 0.5).buys;
  const free = worth.informed.find((one) => one.status === 'planned' && one.price === 0);
  if (free === undefined || free.status !== 'planned') return [];
  return planDifference(studied, present, free[which].buys);
}

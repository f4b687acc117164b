// What the list of readings for a weekend with meters shows, and what it changed afterwards, in words.

import type { ClockHours, PlainDate } from '../../src/calendar.ts';
import type { Collection, ReadingKind } from '../../src/collection.ts';
import { READING_KINDS } from '../../src/collection.ts';
import { errorOfReading, isAtHand, takes } from '../../src/instruments.ts';
import type { PartsList } from '../../src/parts.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, withMeasuresIn } from '../../src/units.ts';
import type { UnsettledReading } from '../../src/unsettled.ts';
import { meterFor, narrowing } from '../../src/unsettled.ts';
import type { OpenReading, Walk, Weekend } from '../../src/weekend.ts';
import { bestChance } from '../../src/worth-of-measuring.ts';
import type { InstrumentRecord } from '../db/instruments.ts';
import type { MeasuringWorth } from '../db/studies.ts';
import type { ErrorSummary, Field } from '../fields.ts';
import { checkboxField, dayField, errorSummary, numberField, textField } from '../fields.ts';
import { hourHint } from '../form-words.ts';
import type { FormState } from '../forms.ts';
import { readingDimensions, readingHints, readingNames } from '../kind-words.ts';
import { walkNames, weekendSentences as words } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import { listed, lowerFirst, percent } from '../words.ts';

/** The names of the fields of one reading of the list. */
export function stopFields({ enclosureId, kind }: Pick<OpenReading, 'enclosureId' | 'kind'>) {
  return { value: `value-${enclosureId}-${kind}`, sure: `sure-${enclosureId}-${kind}` };
}

/** The field that says at which hour a walk was taken. */
export function stopHourField(time: Walk['time']): string {
  return `hour-${time}`;
}

/** The field that says whether a meter of the catalogue is at hand. */
export function meterField(partId: string): string {
  return `meter-${partId}`;
}

/** The meters of the catalogue that read anything here, each once. */
export function metersOf(parts: PartsList): { id: string; name: string }[] {
  const found = READING_KINDS.flatMap((kind) => meterFor(parts, kind) ?? []);
  return [...new Map(found.map(({ id, name }) => [id, { id, name }])).values()];
}

/** Whether the meters ticked take a kind of reading; depth needs none. */
export function canRead(parts: PartsList, form: FormState): (kind: ReadingKind) => boolean {
  return (kind) => {
    const part = meterFor(parts, kind);
    return part === null || form.values[meterField(part.id)] === 'yes';
  };
}

/** The meters that are ticked before anybody chose: those of which an instrument at hand takes the readings. */
export function metersAtHand(
  parts: PartsList,
  instruments: readonly InstrumentRecord[],
  today: PlainDate,
): Record<string, string> {
  const there = instruments.filter((one) => isAtHand(one, today));
  return Object.fromEntries(
    READING_KINDS.flatMap((kind) => {
      const part = meterFor(parts, kind);
      return part !== null && there.some((one) => takes(one, kind)) ? [[meterField(part.id), 'yes']] : [];
    }),
  );
}

/** The instrument at hand on a day that takes a kind, or null. */
export function instrumentFor(
  kind: ReadingKind,
  instruments: readonly InstrumentRecord[],
  on: PlainDate,
): InstrumentRecord | null {
  return instruments.find((one) => isAtHand(one, on) && takes(one, kind)) ?? null;
}

/** What each open reading can gain: by the study of the plan, or, without one, by how much it narrows the scores. */
export function openReadings(
  study: readonly MeasuringWorth[] | null,
  unsettled: () => readonly UnsettledReading[],
): OpenReading[] {
  if (study === null) {
    return unsettled().map((one) => ({
      enclosureId: one.enclosureId,
      kind: one.kind,
      gain: Math.max(0, narrowing(one)),
    }));
  }
  return study.map(({ reading: { enclosureId, kind }, worth }) => {
    const free = worth?.informed.find((one) => one.status === 'planned' && one.price === 0);
    const best = worth === null || free === undefined ? null : bestChance(worth, free);
    return { enclosureId, kind, gain: best !== null && best.net > 0.05 ? best.net : 0 };
  });
}

type StopView = { field: Field; sure: Field | null; how: string };

/** What views/pages/weekend.hbs shows. */
export type WeekendPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  meters: Field[];
  meterLegend: string;
  meterNote: string;
  make: string;
  action: string;
  notes: string[];
  takenOn: Field | null;
  walks: { name: string; hour: Field; stops: StopView[] }[];
  others: { lead: string; items: string[] }[];
  hidden: { name: string; value: string }[];
  once: string;
  save: string;
  cautions: string[];
};

/** The list as a form. */
export function weekendPage({
  weekend,
  isByPlan,
  isAsked,
  form,
  collection,
  instruments,
  parts,
  today,
  system,
  clock,
  once,
  cautions,
}: {
  weekend: Weekend;
  isByPlan: boolean;
  isAsked: boolean;
  form: FormState;
  collection: Collection;
  instruments: readonly InstrumentRecord[];
  parts: PartsList;
  today: PlainDate;
  system: UnitSystem;
  clock: ClockHours;
  once: string;
  cautions: string[];
}): WeekendPage {
  const place = stopPlace(collection);
  const stopOf = (stop: OpenReading): StopView => {
    const names = stopFields(stop);
    const used = instrumentFor(stop.kind, instruments, today);
    const error = used === null ? null : errorText(stop.kind, used, system);
    const field = numberField(form, names.value, place(stop), {
      inputMode: 'decimal',
      ...(used === null ? {} : { hint: words.readWith(used.name, error) }),
    });
    const isDoubted = field.error !== null || form.values[names.sure] === 'yes';
    return {
      field,
      sure: isDoubted ? checkboxField(form, names.sure, words.sure(lowerFirst(readingNames[stop.kind]))) : null,
      how: readingHints[stop.kind],
    };
  };
  const meters = metersOf(parts);
  const isEmpty = weekend.walks.length === 0;
  return {
    heading: words.heading,
    lead: words.lead,
    mistakes: errorSummary(form),
    meters: meters.map(({ id, name }) => checkboxField(form, meterField(id), withMeasuresIn(name, system))),
    meterLegend: words.which,
    meterNote: words.rulerNote,
    make: words.make,
    action: paths.measuring.weekend,
    notes: !isAsked
      ? [words.noMeter]
      : isEmpty
        ? [words.nothing]
        : [isByPlan ? words.byPlan : words.byRange, words.covers(weekend.share)],
    takenOn: isEmpty ? null : dayField(form, 'takenOn', 'Taken on'),
    walks: weekend.walks.map(({ time, stops }) => ({
      name: walkNames[time],
      hour: textField(form, stopHourField(time), words.hour, { hint: hourHint(clock) }),
      stops: stops.map(stopOf),
    })),
    others: [
      { lead: words.beside, items: weekend.beside.map(place) },
      { lead: words.beyond, items: weekend.beyond.map(place) },
    ].filter(({ items }) => items.length > 0),
    hidden: meters.flatMap(({ id }) =>
      form.values[meterField(id)] === 'yes' ? [{ name: meterField(id), value: 'yes' }] : [],
    ),
    once,
    save: words.save,
    cautions,
  };
}

/** A reading by its place: the enclosure, who lives there, and what is read. */
export function stopPlace(collection: Collection): (one: Pick<OpenReading, 'enclosureId' | 'kind'>) => string {
  return ({ enclosureId, kind }) => {
    const box = collection.enclosures.find((one) => one.id === enclosureId)?.name ?? '';
    const names = collection.animals.filter((one) => one.enclosureId === enclosureId).map((one) => one.name);
    return `${box}${names.length === 0 ? '' : ` (${listed(names)})`}: ${lowerFirst(readingNames[kind])}`;
  };
}

function errorText(kind: ReadingKind, instrument: InstrumentRecord, system: UnitSystem): string | null {
  const stated = instrument.measures.find((one) => one.kind === kind)?.accuracy ?? null;
  if (stated === null) return null;
  if (stated.by === 'share') return percent(stated.value);
  const dimension = readingDimensions[kind];
  const amount = errorOfReading(instrument, kind, 0);
  return amount === null
    ? null
    : formatQuantity(amount, dimension === 'temperature' ? 'temperature-difference' : dimension, system);
}

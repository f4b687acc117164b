// What a vet is told of one animal on one page: the last vet visit, what was changed in its enclosure since, the newest reading of each
// kind beside its target, and which of these targets are from memory. Draws no conclusion.

import type { PlainDate } from './calendar.ts';
import type { Fitting, Reading, ReadingKind, Setup } from './collection.ts';
import { isFitted, READING_KINDS, UV_LAMPS } from './collection.ts';
import { type Sign, weighings } from './signs.ts';
import type { CareLibrary, Cited, Species, Standing, Targets } from './species.ts';
import { findSource } from './species.ts';

/** The day of the last visit to a vet, as far as a sign was settled by it; null when none was. */
export function lastVetVisit(signs: readonly Sign[]): PlainDate | null {
  const days = signs.flatMap((one) => (one.settled?.how === 'vet-seen' ? [one.settled.on] : []));
  return days.sort().at(-1) ?? null;
}

/** Something that was changed in an enclosure on a day. */
export type SetupChange = { on: PlainDate } & (
  | { change: 'box' }
  | { change: 'fitted' | 'moved' | 'taken-out' | 'broke'; thing: string; kind: Fitting['kind'] }
);

/** What was changed in a set-up from a day on, the newest first. */
export function changesSince({ enclosure, fittings }: Setup, since: PlainDate, today: PlainDate): SetupChange[] {
  const within = (on: PlainDate | null): on is PlainDate => on !== null && on >= since && on <= today;
  const changes: SetupChange[] = fittings.flatMap((one) => {
    const about = { thing: one.name, kind: one.kind };
    return [
      ...(within(one.fittedOn) ? [{ on: one.fittedOn, change: 'fitted' as const, ...about }] : []),
      ...(within(one.movedOn) ? [{ on: one.movedOn, change: 'moved' as const, ...about }] : []),
      ...(within(one.brokenOn) ? [{ on: one.brokenOn, change: 'broke' as const, ...about }] : []),
      ...(within(one.retiredOn) && one.retiredOn !== one.brokenOn
        ? [{ on: one.retiredOn, change: 'taken-out' as const, ...about }]
        : []),
    ];
  });
  if (within(enclosure.boxSince)) changes.push({ on: enclosure.boxSince, change: 'box' });
  return changes.sort((a, b) => (a.on < b.on ? 1 : a.on > b.on ? -1 : 0));
}

/** What a kind of reading is held against: a band in the kept unit of the reading. Null where the species has no such target. */
type BandOf = { low: number; high: number; cited: Cited; standing: Standing; fromMemory: boolean } | null;

/** The newest reading of a kind with its target; `before` is when it was taken before the last change of the box, so that it no longer holds. */
export type ReadingRow = { kind: ReadingKind; reading: Reading | null; target: BandOf; before: boolean };

/** A line for every kind that was read or that the species has a target for. Unknown is left unknown. */
export function readingRows(setup: Setup, targets: Targets, library: CareLibrary, today: PlainDate): ReadingRow[] {
  return READING_KINDS.flatMap((kind): ReadingRow[] => {
    const taken = setup.readings.filter((one) => one.kind === kind && one.takenOn <= today && one.value !== null);
    const reading = taken.reduce<Reading | null>(
      (newest, one) => (newest === null || one.takenOn >= newest.takenOn ? one : newest),
      null,
    );
    const target = bandOf(kind, targets, library);
    if (reading === null && target === null && !(kind === 'uvi-basking' && asksForUv(setup, targets, today))) return [];
    return [{ kind, reading, target, before: reading !== null && reading.takenOn < setup.enclosure.boxSince }];
  });
}

// A UV index that was never read is told where the species needs UV or a lamp gives it some.
function asksForUv({ fittings }: Setup, { uv, needsOff }: Targets, today: PlainDate): boolean {
  if (needsOff.includes('uv')) return false;
  return uv.need === 'required' || fittings.some((one) => isFitted(one, today) && UV_LAMPS.has(one.kind));
}

function bandOf(kind: ReadingKind, targets: Targets, library: CareLibrary): BandOf {
  const band = (low: number, high: number, { source, grade, note }: Cited): BandOf => {
    const { standing } = findSource(library, source);
    const cited = { source, grade, ...(note === undefined ? {} : { note }) };
    return { low, high, cited, standing, fromMemory: standing === 'from-memory' };
  };
  const temperature = targets.temperatures.find((one) => one.kind === kind);
  if (temperature !== undefined) return band(temperature.low, temperature.high, temperature);
  const { humidity } = targets;
  if (kind === 'humidity-day') return band(humidity.day.low, humidity.day.high, humidity);
  if (kind === 'humidity-night') {
    const { low, high } = humidity.night ?? humidity.day;
    return band(low, high, humidity);
  }
  return null;
}

/** The UV zones that sources put the species in, each with how well its source stands. */
export function zonesOf(
  { uv }: Pick<Species, 'uv'>,
  library: CareLibrary,
): { zone: number; cited: Cited; standing: Standing }[] {
  return uv.zones.map(({ zone, ...cited }) => ({ zone, cited, standing: findSource(library, cited.source).standing }));
}

/** The weights of an animal, the newest first, at most so many. */
export function lastWeights(signs: readonly Sign[], most: number): { on: PlainDate; grams: number }[] {
  return weighings(signs)
    .map(({ on, grams }) => ({ on, grams }))
    .reverse()
    .slice(0, most);
}

// The shortest list of readings for a few days with borrowed meters: those most able to change the plan, in the order in which one walks
// and waits for the hour.

import type { Enclosure, ReadingKind } from './collection.ts';
import type { ReadingTime } from './fitting-sheet.ts';
import { readingTimeOf } from './fitting-sheet.ts';
import { WALKING_ORDER } from './reading-round.ts';
import type { Room } from './rooms.ts';

/** A reading that is open, and the most points x months that knowing it can bring to the plan (0: it changes nothing that is bought). */
export type OpenReading = { enclosureId: string; kind: ReadingKind; gain: number };

/** Readings that are taken on one walk, at one time of the day. */
export type Walk = { time: 'before-lights' | 'hottest-hour' | 'afternoon' | 'any-time'; stops: OpenReading[] };

/**
 * The walks in the order of the day; `share` of the gain of all that the meters can read is on them. `beside`: what the meters could read
 * besides, which may wait; `beyond`: what could change the plan and needs another meter.
 */
export type Weekend = { walks: Walk[]; share: number; beside: OpenReading[]; beyond: OpenReading[] };

// With this share of the gain the list is long enough: what is left changes the plan hardly or for little (our own choice).
const ENOUGH = 0.9;

const walkOf: Readonly<Record<ReadingTime, Walk['time']>> = {
  'before-lights': 'before-lights',
  midday: 'hottest-hour',
  'hottest-hour': 'hottest-hour',
  'hours-on': 'hottest-hour',
  afternoon: 'afternoon',
  'next-day': 'any-time',
  once: 'any-time',
};

const TIMES: readonly Walk['time'][] = ['before-lights', 'hottest-hour', 'afternoon', 'any-time'];

/**
 * The shortest list that carries nine tenths of what can be gained with these meters. Within a walk it goes room by room, box by box, and
 * in a box from the hot end to the cool end, the light, the damp and the water.
 */
export function weekendOf(
  open: readonly OpenReading[],
  canRead: (kind: ReadingKind) => boolean,
  { enclosures, rooms }: { enclosures: readonly Enclosure[]; rooms: readonly Room[] },
): Weekend {
  const useful = open.filter((one) => one.gain > 0);
  const within = useful.filter((one) => canRead(one.kind)).toSorted((a, b) => b.gain - a.gain);
  const all = within.reduce((sum, { gain }) => sum + gain, 0);
  const chosen: OpenReading[] = [];
  let carried = 0;
  for (const one of within) {
    if (carried >= ENOUGH * all) break;
    chosen.push(one);
    carried += one.gain;
  }
  const placeOf = placesIn(enclosures, rooms);
  const walking = chosen.toSorted(
    (a, b) =>
      placeOf(a.enclosureId) - placeOf(b.enclosureId) || WALKING_ORDER.indexOf(a.kind) - WALKING_ORDER.indexOf(b.kind),
  );
  return {
    walks: TIMES.map((time) => ({
      time,
      stops: walking.filter(({ kind }) => walkOf[readingTimeOf(kind)] === time),
    })).filter(({ stops }) => stops.length > 0),
    share: all === 0 ? 0 : carried / all,
    beside: within.filter((one) => !chosen.includes(one)),
    beyond: useful.filter((one) => !canRead(one.kind)),
  };
}

// Boxes in the order of their rooms as the keeper listed them, those of no room last.
function placesIn(enclosures: readonly Enclosure[], rooms: readonly Room[]): (enclosureId: string) => number {
  const roomOf = ({ build }: Enclosure) => {
    const place = rooms.findIndex(({ id }) => id === build.roomId);
    return place < 0 ? rooms.length : place;
  };
  const ordered = enclosures.toSorted((a, b) => roomOf(a) - roomOf(b));
  return (enclosureId) => ordered.findIndex(({ id }) => id === enclosureId);
}

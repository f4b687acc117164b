// What summer and winter do in the rooms, beside a plan or an animal that leaves them out: sentences, one an animal and a kind.

import type { Collection } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import type { Room } from '../../src/rooms.ts';
import type { Scoring } from '../../src/score.ts';
import type { UnitSystem } from '../../src/units.ts';
import { monthsAgainstRoom } from '../../src/warmth-year.ts';
import { roomMonthsSentence, roomYearWords } from '../warmth-words.ts';
import { listed } from '../words.ts';

/** The part of a page about the rooms' year. */
export type RoomYear = { heading: string; lead: string; lines: string[] };

/** What the rooms of some enclosures do to who lives there; null when nobody lives in any. */
export function roomYearOf(
  { collection, library, on }: Pick<Scoring, 'collection' | 'library' | 'on'>,
  rooms: readonly Room[],
  system: UnitSystem,
): RoomYear | null {
  const housed = collection.animals.filter((one) => one.enclosureId !== null);
  if (housed.length === 0) return null;
  const unknown = housed.filter(({ enclosureId }) => {
    const room = roomOf(collection, rooms, enclosureId!);
    return room === null || room.coldest === null || room.hottest === null;
  });
  const places = [...new Set(housed.map(({ enclosureId }) => enclosureId!))];
  const found = places.flatMap((id) =>
    monthsAgainstRoom({ setup: setupOf(collection, id), room: roomOf(collection, rooms, id), library, on }),
  );
  const lines = housed.flatMap(({ id, name }) =>
    (['rest-too-warm', 'too-warm', 'heater-short'] as const).flatMap((why) => {
      const all = found.filter((one) => one.animalId === id && one.why === why);
      return all.length === 0 ? [] : [roomMonthsSentence(all, name, system)];
    }),
  );
  const open = unknown.length === 0 ? [] : [roomYearWords.unknown(listed(unknown.map(({ name }) => name)))];
  const none = lines.length === 0 && unknown.length < housed.length ? [roomYearWords.none] : [];
  return { heading: roomYearWords.heading, lead: roomYearWords.lead, lines: [...lines, ...none, ...open] };
}

/** That the room of an animal's box is too warm for its dated rest, as the roadmap says it; empty where that is not known to be so. */
export function restRoomOf(
  animalId: string,
  { collection, library, on }: Pick<Scoring, 'collection' | 'library' | 'on'>,
  rooms: readonly Room[],
  system: UnitSystem,
): string[] {
  const animal = collection.animals.find(({ id }) => id === animalId);
  if (animal === undefined || animal.enclosureId === null) return [];
  const { enclosureId: box, name } = animal;
  const spoilt = monthsAgainstRoom({
    setup: setupOf(collection, box),
    room: roomOf(collection, rooms, box),
    library,
    on,
  });
  const rest = spoilt.filter((one) => one.animalId === animalId && one.why === 'rest-too-warm');
  return rest.length === 0 ? [] : [roomMonthsSentence(rest, name, system)];
}

function roomOf({ enclosures }: Collection, rooms: readonly Room[], enclosureId: string): Room | null {
  const box = enclosures.find(({ id }) => id === enclosureId);
  return rooms.find(({ id }) => id === box?.build.roomId) ?? null;
}

// What summer and winter do in the rooms, and which visits to the vet a dated rest excludes, told beside a plan or an animal: sentences, one an
// animal and a kind.

import type { OneOffSum } from '../../src/budget.ts';
import { monthOf } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { setupOf } from '../../src/collection.ts';
import type { Room } from '../../src/rooms.ts';
import type { Scoring } from '../../src/score.ts';
import { type Sign, visitsInRest } from '../../src/signs.ts';
import { speciesOf, targetsFor } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { monthsAgainstRoom } from '../../src/warmth-year.ts';
import { visitInRestSentence } from '../sign-words.ts';
import { roomMonthsSentence, roomYearWords } from '../warmth-words.ts';
import { listedBriefly } from '../words.ts';

/** The part of a page about the rooms' year. */
export type RoomYear = { heading: string; lead: string; lines: string[] };

/** What the rooms of some enclosures do to who lives there; null when nobody lives in any. */
export function roomYearOf(
  { collection, library, on }: Pick<Scoring, 'collection' | 'library' | 'on'>,
  rooms: readonly Room[],
  system: UnitSystem,
  visits: readonly string[],
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
  const open = unknown.length === 0 ? [] : [roomYearWords.unknown(listedBriefly(unknown.map(({ name }) => name)))];
  const none = lines.length === 0 && unknown.length < housed.length ? [roomYearWords.none] : [];
  return { heading: roomYearWords.heading, lead: roomYearWords.lead, lines: [...visits, ...lines, ...none, ...open] };
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

/** The visits to the vet that fall into the dated rest of an animal, a sentence each; `signs` are its own. */
export function visitsInRestOf(
  animalId: string,
  { collection, library, on }: Pick<Scoring, 'collection' | 'library' | 'on'>,
  signs: readonly Sign[],
  sums: readonly OneOffSum[],
  locale: string,
): string[] {
  const animal = collection.animals.find(({ id }) => id === animalId);
  if (animal === undefined) return [];
  const { seasonsKnown } = targetsFor(speciesOf(library, animal), animal, monthOf(on));
  return visitsInRest(animal, seasonsKnown, signs, sums, on).map((one) =>
    visitInRestSentence(animal.name, one, locale),
  );
}

function roomOf({ enclosures }: Collection, rooms: readonly Room[], enclosureId: string): Room | null {
  const box = enclosures.find(({ id }) => id === enclosureId);
  return rooms.find(({ id }) => id === box?.build.roomId) ?? null;
}

// What the list of rooms and sockets shows, already in words: what was measured in each room, and what each socket carries.

import type { PlainDate } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { isFitted } from '../../src/collection.ts';
import { loadOf } from '../../src/load.ts';
import type { RoomMonth } from '../../src/rooms.ts';
import { formatQuantity, type UnitSystem } from '../../src/units.ts';
import type { OutletRecord, RoomRecord } from '../db/rooms.ts';
import { monthNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import { drawNote, loadSentence, loadWords, memberNames, outletRuleNames, socketCautions } from '../warmth-words.ts';
import { listed } from '../words.ts';
import { type RemovedList, removedList } from './removed-list.ts';

type SocketLine = {
  id: string;
  name: string;
  room: string;
  rule: string;
  state: string;
  sum: string;
  limit: string;
  reasons: string[];
  tableId: string;
  caption: string;
  draws: { name: string; watts: string; amps: string; note: string }[];
  thingsHref: string;
  editHref: string;
  removeHref: string;
};

type RoomsPage = {
  heading: string;
  lead: string;
  rooms: { name: string; coldest: string; hottest: string; stands: string; editHref: string; removeHref: string }[];
  addRoomHref: string;
  removedRooms: RemovedList | null;
  sockets: SocketLine[];
  unplugged: string | null;
  addSocketHref: string;
  removedSockets: RemovedList | null;
  cautions: readonly string[];
};

const watts = (value: number) => `${Math.round(value)} W`;
const amps = (value: number) => `${value.toFixed(value < 10 ? 2 : 1)} A`;

/** The rooms with their coldest and hottest months, and the sockets with everything on at once. */
export function roomsPage({
  rooms,
  outlets,
  collection,
  today,
  locale,
  system,
}: {
  rooms: { kept: RoomRecord[]; removed: RoomRecord[] };
  outlets: { kept: OutletRecord[]; removed: OutletRecord[] };
  collection: Collection;
  today: PlainDate;
  locale: string;
  system: UnitSystem;
}): RoomsPage {
  const month = (one: RoomMonth | null) =>
    one === null
      ? 'not measured'
      : `${formatQuantity(one.celsius, 'temperature', system)} in ${monthNames[one.month - 1]!}`;
  const known = new Set(outlets.kept.map((one) => one.id));
  const loose = collection.fittings.filter(
    (one) => isFitted(one, today) && (one.watts ?? 0) > 0 && (one.outletId === null || !known.has(one.outletId)),
  );
  return {
    heading: 'Rooms and sockets',
    lead: 'What the rooms are like in their worst months, and what hangs on each socket.',
    rooms: rooms.kept.map((room) => {
      const boxes = collection.enclosures.filter((one) => one.build.roomId === room.id).map((one) => one.name);
      return {
        name: room.name,
        coldest: month(room.coldest),
        hottest: month(room.hottest),
        stands: boxes.length === 0 ? 'nothing' : listed(boxes),
        editHref: paths.rooms.edit(room.id),
        removeHref: paths.rooms.remove(room.id),
      };
    }),
    addRoomHref: paths.rooms.new,
    removedRooms: removedList(
      rooms.removed.map((one) => ({ ...one, action: paths.rooms.putBack(one.id) })),
      locale,
    ),
    sockets: outlets.kept.map((outlet): SocketLine => {
      const load = loadOf(outlet, collection.fittings, today);
      const room = rooms.kept.find((one) => one.id === outlet.roomId);
      return {
        id: `socket-${outlet.id}`,
        name: outlet.name,
        room: room?.name ?? 'no room of this ledger',
        rule: outletRuleNames[outlet.rule],
        state: loadWords[load.state],
        sum: `${watts(load.watts)}, ${amps(load.amps)} with everything on at once`,
        limit: `${amps(load.limitAmps)}, ${watts(load.limitWatts)} for hours on end, set by ${memberNames[load.limitedBy]}`,
        reasons: load.reasons.map(loadSentence),
        tableId: `socket-${outlet.id}-table`,
        caption: `On ${outlet.name}`,
        draws: load.draws.map((one) => ({
          name: one.name,
          watts: watts(one.watts),
          amps: amps(one.amps),
          note: drawNote(one.assumed) ?? '–',
        })),
        thingsHref: paths.rooms.sockets.things(outlet.id),
        editHref: paths.rooms.sockets.edit(outlet.id),
        removeHref: paths.rooms.sockets.remove(outlet.id),
      };
    }),
    unplugged:
      loose.length === 0 || outlets.kept.length === 0
        ? null
        : `Said to be on no socket: ${listed(loose.map((one) => one.name))}.`,
    addSocketHref: paths.rooms.sockets.new,
    removedSockets: removedList(
      outlets.removed.map((one) => ({ ...one, action: paths.rooms.sockets.putBack(one.id) })),
      locale,
    ),
    cautions: socketCautions,
  };
}

// The rooms that boxes stand in and the sockets in them: facts a keeper states once for several enclosures.

import { monthOfYear, type PlainMonth } from './calendar.ts';

/** A room's mean temperature (°C) in its coldest or hottest month (1 to 12), as measured. */
export type RoomMonth = { celsius: number; month: number };

/** A room with what was measured in it; null was never measured. */
export type Room = { id: string; name: string; coldest: RoomMonth | null; hottest: RoomMonth | null };

/**
 * The mean temperature of a room (°C) in a month: a wave from the coldest to the hottest, half a year later (own assumption). Null where either
 * was never measured.
 */
export function roomCelsiusIn(
  { coldest, hottest }: Pick<Room, 'coldest' | 'hottest'>,
  month: PlainMonth,
): number | null {
  if (coldest === null || hottest === null) return null;
  const swing = (hottest.celsius - coldest.celsius) / 2;
  return coldest.celsius + swing - swing * Math.cos((2 * Math.PI * (monthOfYear(month) - coldest.month)) / 12);
}

/** Regional rules for what a socket or lead may carry; 'own' takes the figures as they were entered. */
export const OUTLET_RULE_NAMES = ['uk', 'us-15', 'us-20', 'eu', 'own'] as const;
export type OutletRuleName = (typeof OUTLET_RULE_NAMES)[number];

/** A wall socket, strip or lead: its circuit, the fuse in its plug and the rating of its lead in amperes; null is unknown or absent. */
export type Outlet = {
  id: string;
  name: string;
  roomId: string | null;
  rule: OutletRuleName;
  volts: number;
  circuitAmps: number;
  plugAmps: number | null;
  leadAmps: number | null;
};

// The rooms that boxes stand in and the sockets in them: facts a keeper states once for several enclosures.

/** A room's mean temperature (°C) in its coldest or hottest month (1 to 12), as measured. */
export type RoomMonth = { celsius: number; month: number };

/** A room with what was measured in it; null was never measured. */
export type Room = { id: string; name: string; coldest: RoomMonth | null; hottest: RoomMonth | null };

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

// How rows that were removed are offered to be put back.

import type { PlainDate } from '../../src/calendar.ts';
import { formatDate } from '../../src/calendar.ts';

/** Removed rows as views/partials/removed-list.hbs draws them. */
export type RemovedList = {
  summary: string;
  rows: { name: string; removedOn: string; action: string; version: string }[];
};

/** The list of removed rows; null when none was removed. */
export function removedList(
  rows: readonly { name: string; removedOn: PlainDate | null; version: number; action: string }[],
  locale: string,
): RemovedList | null {
  if (rows.length === 0) return null;
  return {
    summary: `Removed (${rows.length})`,
    rows: rows.map(({ name, removedOn, version, action }) => ({
      name,
      removedOn: removedOn === null ? '–' : formatDate(removedOn, locale),
      action,
      version: String(version),
    })),
  };
}

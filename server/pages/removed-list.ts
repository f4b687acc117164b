// How rows that were removed are offered to be put back.

import type { PlainDate } from '../../src/calendar.ts';
import { formatDate } from '../../src/calendar.ts';
import { sharedWords } from '../words.ts';

/** Removed rows as views/partials/removed-list.hbs draws them. */
export type RemovedList = {
  summary: string;
  rows: { text: string; name: string; action: string; version: string }[];
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
      text: sharedWords.removedRow(name, removedOn === null ? '–' : formatDate(removedOn, locale)),
      name,
      action,
      version: String(version),
    })),
  };
}

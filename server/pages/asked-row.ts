// Which row a request is about, and what is said where there is none: its number in the address, the version its form was opened with, and
// whether it is there and was not removed.

import type { FastifyRequest } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import { AppError } from '../../src/errors.ts';
import type { CareLibrary, Species } from '../../src/species.ts';
import type { EnclosureRecord, FittingRecord } from '../db/collection.ts';
import { findEnclosure, findFitting } from '../db/collection.ts';
import type { Session } from '../db/open.ts';
import { formSentences } from '../form-words.ts';
import { formOf, parseForm, versionField } from '../forms.ts';

/** The row number that an address names. Throws not_found when it is no row number. */
export function idFrom(params: unknown, name = 'id'): number {
  const text = (params as Record<string, string | undefined>)[name] ?? '';
  if (!/^[1-9]\d{0,14}$/.test(text)) throw new AppError('not_found', formSentences.neverThere);
  return Number(text);
}

/** What was looked for. Throws not_found where it is null or undefined. */
export function found<Thing>(thing: Thing | null | undefined): Thing {
  if (thing === null || thing === undefined) throw new AppError('not_found', formSentences.neverThere);
  return thing;
}

/** A row that was looked for and stands. Throws not_found where there is none or it was removed, saying which. */
export function presentRow<Row extends { removedOn: PlainDate | null }>(row: Row | null): Row {
  const there = found(row);
  if (there.removedOn !== null) throw new AppError('not_found', formSentences.wasRemoved);
  return there;
}

/** The fitted thing that an address names below its enclosure. Throws not_found where either is not there or was removed. */
export function fittingAt(session: Session, params: unknown): { enclosure: EnclosureRecord; row: FittingRecord } {
  const enclosure = presentRow(findEnclosure(session, idFrom(params, 'enclosure')));
  const row = findFitting(session, idFrom(params));
  return { enclosure, row: presentRow(row?.enclosureId === enclosure.id ? row : null) };
}

/** The species whose id stands as `key` in an address. Throws not_found when the library has none. */
export function speciesAt(params: unknown, library: CareLibrary): Species {
  const { key } = params as { key?: string };
  return found(library.species.find(({ id }) => id === key));
}

/** The version that a form carries. Throws when it carries none, which no page of the ledger sends. */
export function versionOf(request: FastifyRequest): number {
  const { version } = (request.body ?? {}) as Record<string, unknown>;
  const read = parseForm(formOf({ version: versionField() }), { version });
  if (read.status === 'bad') throw new AppError('invalid', formSentences.withoutVersion);
  return read.value.version;
}

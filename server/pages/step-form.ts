// How a step with a form of its own is asked and taken: a purchase bought or fitted, a thing retired or renewed. It is saved once, and one
// that another window overtook is answered with what is saved by now beside what was typed.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError } from '../../src/errors.ts';
import type { Saved } from '../db/collection.ts';
import type { Tx } from '../db/open.ts';
import { type Conflict, type FormPageParts, formPage } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import { type FormState, startForm, type Values } from '../forms.ts';
import type { Deps } from '../page.ts';
import { withNotice } from '../paths.ts';
import type { MenuKey } from '../render.ts';
import { versionOf } from './asked-row.ts';
import { saveOnce } from './sent-twice.ts';
import { lateConflict, showTooLate } from './too-late.ts';

/** What a step with a form says of itself. */
type StepPage<Row, Around> = {
  /** Whether a row can take it as it stands; every row can when left out. */
  may?: (row: Row) => boolean;
  texts: (row: Row, around: Around) => Values;
  read: (
    fields: Values,
    row: Row,
    around: Around,
  ) => { status: 'ok'; save: (tx: Tx, version: number) => Saved } | ({ status: 'bad' } & FormState);
  form: (
    form: FormState,
    row: Row,
    around: Around,
  ) => Omit<FormPageParts, 'action' | 'version' | 'cancel' | 'conflict'>;
  /** Where it goes on after the step, when not to the page of the row. */
  next?: (row: Row) => string | null;
};

/** The rows whose steps these are. */
type StepRows<Row, Around> = {
  menu: MenuKey;
  find: (request: FastifyRequest) => { row: Row; around: Around };
  shownAt: (row: Row) => string;
  /** What has become of a row, in words. */
  state: (row: Row, around: Around) => string;
  /** What the controls of a step would hold for a row as it is saved. */
  saved: (row: Row, around: Around) => Values;
  /** What saving a step takes along in its transaction; nothing when left out. */
  taken?: (row: Row, around: Around, save: (tx: Tx) => Saved) => (tx: Tx) => Saved;
};

/** Gives what registers a step of some rows at an address, with the notice that is shown once it is taken. */
export function stepPages<Row extends { name: string; version: number }, Around>(
  app: FastifyInstance,
  { db, render }: Deps,
  rows: StepRows<Row, Around>,
): (url: string, notice: string, page: StepPage<Row, Around>) => void {
  return (url, notice, page) => {
    const may = (row: Row) => page.may?.(row) ?? true;
    app.get(url, (request, reply) => {
      const { row, around } = rows.find(request);
      if (!may(row)) throw new AppError('conflict', formSentences.changedMeanwhile);
      return show(request, reply, row, around, startForm(page.texts(row, around)), row.version, 200);
    });

    app.post(url, (request, reply) => {
      const { row, around } = rows.find(request);
      const { version: _, ...body } = (request.body ?? {}) as Record<string, unknown>;
      const fields = Object.fromEntries(
        Object.entries(body).filter((one): one is [string, string] => typeof one[1] === 'string'),
      );
      const version = versionOf(request);
      const typed = startForm({ ...page.texts(row, around), ...fields });
      const late = () => {
        const there = rows.find(request);
        const { heading, groups } = page.form(typed, row, around);
        return {
          heading,
          fields: groups.flatMap((one) => one.fields),
          called: `“${there.row.name}”`,
          state: rows.state(there.row, there.around),
          saved: rows.saved(there.row, there.around),
          typed: typed.values,
          shownAt: rows.shownAt(there.row),
        };
      };
      if (!may(row)) return showTooLate(render, reply, late(), rows.menu);
      // It was changed elsewhere but can still take this step: what was typed is kept, and sending it again does it.
      const lookAgain = () => show(request, reply, row, around, typed, row.version, 409, lateConflict(late()));
      if (version !== row.version) return lookAgain();
      const read = page.read(fields, row, around);
      if (read.status === 'bad') return show(request, reply, row, around, read, version, 422);
      const shownAt = () => page.next?.(row) ?? rows.shownAt(row);
      const save = (tx: Tx) => read.save(tx, version);
      const outcome = saveOnce(db, request, shownAt, rows.taken?.(row, around, save) ?? save);
      return outcome === 'saved' ? reply.redirect(withNotice(shownAt(), notice), 303) : lookAgain();
    });

    function show(
      request: FastifyRequest,
      reply: FastifyReply,
      row: Row,
      around: Around,
      form: FormState,
      version: number,
      status: number,
      conflict: Conflict | null = null,
    ): FastifyReply {
      const parts = page.form(form, row, around);
      const model = formPage(form, {
        ...parts,
        conflict,
        action: request.url,
        version: String(version),
        cancel: rows.shownAt(row),
      });
      return render(reply, 'form', model, { title: parts.heading, current: rows.menu, status });
    }
  };
}

/** A form whose step cannot be taken as typed, for one reason at one field. */
export function withError(values: Values, field: string, message: string): { status: 'bad' } & FormState {
  return { status: 'bad', values, errors: [{ field, message }] };
}

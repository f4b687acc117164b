// How a kept row is entered, changed, removed and put back by plain forms: mistakes keep what was typed, a change made elsewhere
// meanwhile is shown beside one's own, and nothing is ever lost. Pages say what their rows are; only this file knows the order of events.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { AppError } from '../../src/errors.ts';
import type { Saved } from '../db/collection.ts';
import { inTransaction, type Session, type Tx } from '../db/open.ts';
import {
  type ConfirmPage,
  type Conflict,
  conflictView,
  type FormPageParts,
  formPage,
  textsInWords,
} from '../fields.ts';
import { formSentences } from '../form-words.ts';
import { type FormError, type FormState, parseForm, startForm, type Values } from '../forms.ts';
import type { Deps } from '../page.ts';
import { withNotice } from '../paths.ts';
import type { MenuKey } from '../render.ts';
import { found, idFrom, presentRow, versionOf } from './asked-row.ts';
import { newMark, ONCE_FIELD, rememberSent, saveOnce } from './sent-twice.ts';

/** As much of a row as the order of events needs. */
type KeptRow = { id: string; removedOn: PlainDate | null; version: number };

/** A page that asks for the kind of a new row by links, as views/pages/choose-kind.hbs draws it. */
export type KindQuestion = {
  heading: string;
  lead: string | null;
  groups: { legend: string; answers: { href: string; label: string; hint: string | null }[] }[];
  cancel: string;
};

/** What a page says about its rows. `Around` is what was gathered around a row: settings, lists to choose from, the row above it. */
export type RowPages<Around, Value, Row extends KeptRow> = {
  /** The URLs as routes; new and edit take both GET and POST. */
  urls: { new: string; edit: string; remove: string; putBack: string };
  menu: MenuKey;
  /** What completes 'While you were typing, ... was changed elsewhere.' */
  called: (row: Row) => string;
  gather: (session: Session, request: FastifyRequest) => Around;
  find: (session: Session, id: number, around: Around) => Row | null;
  /** The rules of the form's fields, without the version. */
  schema: (around: Around, row: Row | null) => z.ZodType<Value>;
  /** Mistakes that one field alone does not show. */
  mistakes: (around: Around, value: Value, row: Row | null) => FormError[];
  /** The texts a new form begins with, and those that a row has in its form. */
  first: (around: Around) => Values;
  texts: (around: Around, row: Row) => Values;
  /** The fields compared when a row was changed in two places, each with its label. */
  labels: Readonly<Record<string, string>>;
  form: (
    around: Around,
    form: FormState,
    row: Row | null,
  ) => Omit<FormPageParts, 'action' | 'version' | 'once' | 'conflict'>;
  /** What must be chosen before the form of a new row can be shown; null when nothing is left to choose. */
  askFirst?: (around: Around) => KindQuestion | null;
  add: (session: Session, around: Around, value: Value) => string;
  change: (session: Session, around: Around, row: Row, version: number, value: Value) => Saved;
  confirm: (around: Around, row: Row) => Pick<ConfirmPage, 'heading' | 'lead' | 'consequences' | 'submit'>;
  remove: (session: Session, around: Around, row: Row, version: number) => Saved;
  putBack: (session: Session, row: Row, version: number) => Saved;
  /** Where a row is shown, and where it is listed once it is removed. */
  shownAt: (around: Around, id: string) => string;
  listedAt: (around: Around) => string;
};

/** Registers the routes by which rows of one kind are entered, changed, removed and put back. */
export function registerRowPages<Around, Value, Row extends KeptRow>(
  app: FastifyInstance,
  { db, render }: Deps,
  pages: RowPages<Around, Value, Row>,
): void {
  const { urls, menu } = pages;

  app.get(urls.new, (request, reply) => {
    const around = pages.gather(db, request);
    const question = pages.askFirst?.(around) ?? null;
    if (question !== null) return render(reply, 'choose-kind', question, { title: question.heading, current: menu });
    return showForm(request, reply, around, startForm(pages.first(around)), null);
  });

  app.post(urls.new, (request, reply) => {
    const around = pages.gather(db, request);
    if ((pages.askFirst?.(around) ?? null) !== null) throw new AppError('invalid', formSentences.chooseFirst);
    const read = readForm(request, around, null);
    if (read.status === 'bad') return showForm(request, reply, around, read, null, { status: 422 });
    const shownAt = inTransaction(db, (tx) => {
      const id = pages.add(tx, around, read.value);
      const address = pages.shownAt(around, id);
      rememberSent(tx, request, address);
      return address;
    });
    return reply.redirect(withNotice(shownAt, 'added'), 303);
  });

  app.get(urls.edit, (request, reply) => {
    const around = pages.gather(db, request);
    const row = standingRow(db, request, around);
    return showForm(request, reply, around, startForm(pages.texts(around, row)), row);
  });

  app.post(urls.edit, (request, reply) => {
    const around = pages.gather(db, request);
    const row = anyRow(db, request, around);
    const read = readForm(request, around, row);
    if (read.status === 'bad')
      return showForm(request, reply, around, read, row, { status: 422, version: read.version });
    const { version, value } = read;
    const shownAt = () => pages.shownAt(around, row.id);
    const outcome = saveOnce(db, request, shownAt, (tx) => pages.change(tx, around, row, version, value));
    if (outcome === 'saved') return reply.redirect(withNotice(shownAt(), 'saved'), 303);
    const now = anyRow(db, request, around);
    const form = startForm(read.values);
    if (now.removedOn !== null) {
      const mistake = { field: '', message: formSentences.removedMeanwhile };
      return showForm(request, reply, around, { ...form, errors: [mistake] }, now, { status: 409 });
    }
    const saved = pages.texts(around, now);
    const labels = Object.fromEntries(
      Object.entries(pages.labels).filter(([name]) => (saved[name] ?? '') !== '' || (read.values[name] ?? '') !== ''),
    );
    const fields = pages.form(around, form, now).groups.flatMap((one) => one.fields);
    const [there, here] = [saved, read.values].map((texts) => textsInWords(fields, texts));
    const conflict = conflictView(pages.called(now), labels, there!, here!, pages.shownAt(around, now.id));
    return showForm(request, reply, around, form, now, { status: 409, conflict });
  });

  app.get(urls.remove, (request, reply) => {
    const around = pages.gather(db, request);
    const row = standingRow(db, request, around);
    const page: ConfirmPage = {
      ...pages.confirm(around, row),
      action: request.url,
      version: String(row.version),
      cancel: pages.shownAt(around, row.id),
    };
    return render(reply, 'confirm', page, { title: page.heading, current: menu });
  });

  app.post(urls.remove, (request, reply) => {
    const { row, around, version } = asked(request);
    const save = (tx: Tx) => pages.remove(tx, around, row, version);
    return press(request, reply, () => pages.listedAt(around), 'removed-kept', save);
  });

  app.post(urls.putBack, (request, reply) => {
    const { row, around, version } = asked(request);
    const save = (tx: Tx) => pages.putBack(tx, row, version);
    return press(request, reply, () => pages.shownAt(around, row.id), 'put-back', save);
  });

  function asked(request: FastifyRequest): { around: Around; row: Row; version: number } {
    const around = pages.gather(db, request);
    return { around, row: anyRow(db, request, around), version: versionOf(request) };
  }

  function press(
    request: FastifyRequest,
    reply: FastifyReply,
    shownAt: () => string,
    notice: string,
    save: (tx: Tx) => Saved,
  ): FastifyReply {
    if (saveOnce(db, request, shownAt, save) === 'conflict')
      throw new AppError('conflict', formSentences.changedMeanwhile);
    return reply.redirect(withNotice(shownAt(), notice), 303);
  }

  function showForm(
    request: FastifyRequest,
    reply: FastifyReply,
    around: Around,
    form: FormState,
    row: Row | null,
    {
      status = 200,
      conflict = null,
      version = row?.version,
    }: { status?: number; conflict?: Conflict | null; version?: number | undefined } = {},
  ): FastifyReply {
    const parts = pages.form(around, form, row);
    const model = formPage(form, {
      ...parts,
      action: request.url,
      version: version === undefined ? null : String(version),
      once: row === null ? newMark() : null,
      conflict,
    });
    return render(reply, 'form', model, { title: parts.heading, current: menu, status });
  }

  function readForm(request: FastifyRequest, around: Around, row: Row | null) {
    const { version: _, [ONCE_FIELD]: _once, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const version = row === null ? 0 : versionOf(request);
    const read = parseForm(pages.schema(around, row), fields, (value) => pages.mistakes(around, value, row));
    return { ...read, version };
  }

  function anyRow(session: Session, request: FastifyRequest, around: Around): Row {
    return found(pages.find(session, idFrom(request.params), around));
  }

  function standingRow(session: Session, request: FastifyRequest, around: Around): Row {
    return presentRow(anyRow(session, request, around));
  }
}

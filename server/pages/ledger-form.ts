// How a part of the one row of settings and money is changed by a form: mistakes keep what was typed, and a change made elsewhere
// meanwhile is shown beside one's own. Pages say which fields; only this file knows the order of events.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type { PlainDate } from '../../src/calendar.ts';
import { dateOfInstant } from '../../src/calendar.ts';
import { changeLedger, type Ledger, readLedger } from '../db/ledger.ts';
import type { Session, Tx } from '../db/open.ts';
import { type Conflict, conflictView, type FormPageParts, formPage, textsInWords } from '../fields.ts';
import { type FormError, type FormState, parseForm, startForm, type Values } from '../forms.ts';
import type { Deps } from '../page.ts';
import { withNotice } from '../paths.ts';
import type { MenuKey } from '../render.ts';
import { versionOf } from './asked-row.ts';
import { saveOnce } from './sent-twice.ts';

/** What a page says about its part of the ledger's row. */
export type LedgerForm<Value> = {
  url: string;
  /** Where it leads once saved or left. */
  back: string;
  /** The template that shows it, when it shows more than the form; the one for plain forms when not given. */
  template?: string;
  /** The entry of the menu that it belongs to; the money when not given. */
  current?: MenuKey;
  /** The notice once it is saved; that it is saved when not given. */
  notice?: string;
  called: string;
  schema: (ledger: Ledger) => z.ZodType<Value>;
  /** Mistakes that one field alone does not show. */
  mistakes: (ledger: Ledger, value: Value, today: PlainDate, session: Session) => FormError[];
  texts: (ledger: Ledger) => Values;
  labels: Readonly<Record<string, string>>;
  form: (ledger: Ledger, form: FormState) => Omit<FormPageParts, 'action' | 'version' | 'conflict' | 'cancel'>;
  changes: (value: Value) => Partial<Omit<Ledger, 'version'>>;
  /** What is written down besides, in the same transaction. */
  also?: (tx: Tx, before: Ledger, value: Value) => void;
};

/** Registers the page on which a part of the ledger's row is changed. */
export function registerLedgerForm<Value>(
  app: FastifyInstance,
  { db, now, render }: Deps,
  page: LedgerForm<Value>,
): void {
  app.get(page.url, (_request, reply) => {
    const ledger = readLedger(db);
    return show(reply, ledger, startForm(page.texts(ledger)));
  });

  app.post(page.url, (request, reply) => {
    const ledger = readLedger(db);
    const version = versionOf(request);
    const read = readForm(request, ledger);
    if (read.status === 'bad') return show(reply, ledger, read, { status: 422, version });
    const shownAt = () => page.back;
    const outcome = saveOnce(db, request, shownAt, (tx) => {
      const before = readLedger(tx);
      const saved = changeLedger(tx, version, page.changes(read.value));
      if (saved === 'saved') page.also?.(tx, before, read.value);
      return saved;
    });
    if (outcome === 'saved') return reply.redirect(withNotice(page.back, page.notice ?? 'saved'), 303);
    const saved = readLedger(db);
    const fields = page.form(saved, startForm(read.values)).groups.flatMap((one) => one.fields);
    const [there, here] = [page.texts(saved), read.values].map((texts) => textsInWords(fields, texts));
    const conflict = conflictView(page.called, page.labels, there!, here!, page.back);
    return show(reply, saved, startForm(read.values), { status: 409, conflict });
  });

  function show(
    reply: FastifyReply,
    ledger: Ledger,
    form: FormState,
    {
      status = 200,
      version = ledger.version,
      conflict = null,
    }: { status?: number; version?: number; conflict?: Conflict | null } = {},
  ): FastifyReply {
    const parts = page.form(ledger, form);
    const model = formPage(form, {
      ...parts,
      action: page.url,
      version: String(version),
      conflict,
      cancel: page.back,
    });
    const { template = 'form', current = 'money' } = page;
    return render(reply, template, model, { title: parts.heading, current, status });
  }

  function readForm(request: FastifyRequest, ledger: Ledger) {
    const { version: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const today = dateOfInstant(now(), ledger.timeZone);
    return parseForm(page.schema(ledger), fields, (value) => page.mistakes(ledger, value, today, db));
  }
}

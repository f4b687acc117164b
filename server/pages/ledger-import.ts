// A whole ledger that comes in as a file: looked at first, then put in place of what is there, all or nothing, after a copy was made.

import type { FastifyInstance, FastifyReply } from 'fastify';
import { readLedger } from '../db/ledger.ts';
import { holdsAnything, readWholeLedger, type TableName, tableShapes } from '../db/whole-ledger.ts';
import { differenceSentences, exportWords, fileFaultSentence, tableNames, tableSentences } from '../export-words.ts';
import { type ErrorSummary, errorSummary, type Field, notesField } from '../fields.ts';
import { type FormState, fieldReadBy, formOf, parseForm, startForm, withMistake } from '../forms.ts';
import { differencesOf, markOf, type TableDifference } from '../ledger-differences.ts';
import { type CheckedFile, readLedgerFile, tryOutLedger } from '../ledger-file.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { replacedPage, replaceLedger } from './replace-ledger.ts';
import { newMark, ONCE_FIELD } from './sent-twice.ts';

const MOST_CHARACTERS = 12_000_000;

// A form's text grows up to threefold on its way, and a file in JSON about doubles: each quote is sent as %22.
const LARGEST_BODY = 36_000_000;

/** What views/pages/ledger-import.hbs shows. */
type ImportPage = {
  heading: string;
  lead: string;
  mistakes: ErrorSummary | null;
  action: string;
  text: Field;
  cancel: string;
};

/** What views/pages/ledger-import-preview.hbs shows. */
type PreviewPage = {
  heading: string;
  lead: string;
  notes: string[];
  /** Tables in which nothing differs, in a sentence; null without any. */
  same: string | null;
  rows: { name: string; sentence: string; counts: string; differences: string[] }[];
  action: string;
  carried: { name: string; value: string }[];
  /** Null where the ledger cannot be replaced. */
  submit: string | null;
  back: { href: string; label: string };
};

const frame = { current: 'export' as const, back: { href: paths.export.show, label: 'Export' } };

const replacement = { before: 'import', doneAt: paths.export.imported } as const;

export function ledgerImportPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, care, planning, render } = deps;

  app.get(paths.export.import, (_request, reply) => show(reply, startForm()));

  app.post(paths.export.import, { bodyLimit: LARGEST_BODY }, (request, reply) => {
    const { [ONCE_FIELD]: _, ...fields } = (request.body ?? {}) as Record<string, unknown>;
    const read = parseForm(formSchema, fields);
    if (read.status === 'bad') return show(reply, read, 422);
    const { text, step, seen } = read.value;
    const typed = startForm(read.values);
    const checked = readLedgerFile(text, (scratch) => tryOutLedger(scratch, care.libraryOver(scratch), now()));
    if (checked.status === 'bad') return show(reply, withMistake(typed, 'text', fileFaultSentence(checked.fault)), 422);
    if (step !== 'take') return preview(reply, text, checked.file, null);
    if (planning.progress() !== null) return show(reply, withMistake(typed, 'text', exportWords.planning), 422);
    if (seen !== markOf(readWholeLedger(db))) return preview(reply, text, checked.file, exportWords.changedSince);
    const shownAt = replaceLedger(deps, request, checked.file, replacement);
    if (shownAt === null) return show(reply, withMistake(typed, 'text', exportWords.inMemory), 422);
    return reply.redirect(shownAt, 303);
  });

  replacedPage(app, deps, replacement, {
    heading: 'The ledger was brought in',
    lead: exportWords.done,
    copy: exportWords.copy,
    back: frame.back,
  });

  function show(reply: FastifyReply, form: FormState, status = 200): FastifyReply {
    const model: ImportPage = {
      heading: 'Bring a ledger in',
      lead: exportWords.importLead,
      mistakes: errorSummary(form),
      action: paths.export.import,
      text: notesField(form, 'text', 'Content of the file', { rows: 10, hint: exportWords.textHint }),
      cancel: paths.export.show,
    };
    return render(reply, 'ledger-import', model, { title: model.heading, status, ...frame });
  }

  function preview(
    reply: FastifyReply,
    text: string,
    { head, tables }: CheckedFile,
    warning: string | null,
  ): FastifyReply {
    const { locale } = readLedger(db);
    const here = readWholeLedger(db);
    const holds = holdsAnything(db);
    const isRefused = holds && db.$client.memory;
    const differences = differencesOf(here, tables, tableShapes(db));
    const [same, other] = [differences.filter(isSame), differences.filter((one) => !isSame(one))];
    const told = other.filter(({ table }) => tableNames[table] !== null);
    const untold = same.filter(({ table }) => tableNames[table] !== null);
    const model: PreviewPage = {
      heading: 'Found in the file',
      lead: `${exportWords.head(head, locale)} Nothing was changed yet.`,
      notes: [
        ...(warning === null ? [] : [warning]),
        ...(head.leftOut.length > 0 ? [exportWords.leftOut(head.leftOut)] : []),
        ...(isRefused
          ? [exportWords.inMemory]
          : holds
            ? [exportWords.replaces, exportWords.copies]
            : [exportWords.isEmpty]),
        ...(told.length < other.length && !isRefused ? [exportWords.ownCounters] : []),
      ],
      same: untold.length === 0 ? null : exportWords.same(untold.map(({ table }) => table)),
      rows: told.map((one) => ({
        name: tableNames[one.table] ?? one.table,
        sentence: tableSentences[one.table as TableName],
        counts: exportWords.counts(tables[one.table]?.length ?? 0, here[one.table]?.length ?? 0),
        differences: differenceSentences(one),
      })),
      action: paths.export.import,
      carried: [
        { name: 'text', value: text },
        { name: 'seen', value: markOf(here) },
        { name: ONCE_FIELD, value: newMark() },
      ],
      submit: isRefused || other.length === 0 ? null : 'Replace this ledger',
      back: { href: paths.export.import, label: 'Choose another file' },
    };
    return render(reply, 'ledger-import-preview', model, { title: model.heading, ...frame });
  }
}

const formSchema = formOf({
  text: fieldReadBy((typed) => {
    if (typed.trim() === '') return { status: 'bad', message: fileFaultSentence({ fault: 'empty' }) };
    return typed.length > MOST_CHARACTERS
      ? { status: 'bad', message: exportWords.tooLong(`${MOST_CHARACTERS / 1_000_000} million characters`) }
      : { status: 'ok', value: typed };
  }),
  step: fieldReadBy((typed) => ({ status: 'ok', value: typed })),
  /** What the ledger was when the differences were shown. */
  seen: fieldReadBy((typed) => ({ status: 'ok', value: typed })),
});

function isSame({ added, changed, gone }: TableDifference): boolean {
  return added.length + changed.length + gone.length === 0;
}

// The page of files that leave the ledger, and the files themselves: a calendar, tables for a spreadsheet, the whole ledger.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { dateOfInstant, type PlainDate } from '../../src/calendar.ts';
import { AppError } from '../../src/errors.ts';
import { writeCalendar } from '../../src/icalendar.ts';
import { CSV_NAMES, writeCsv } from '../csv-tables.ts';
import { datedPlan } from '../dated-plan.ts';
import { readLedger } from '../db/ledger.ts';
import { type TableName, tableShapes } from '../db/whole-ledger.ts';
import { calendarWords, csvSentences, exportWords, tableSentences } from '../export-words.ts';
import { formSentences } from '../form-words.ts';
import { LEAVES_OUT, type LeavesOut, writeLedgerFile } from '../ledger-file.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { productName } from '../words.ts';

/** What views/pages/export.hbs shows. */
type ExportPage = {
  heading: string;
  lead: string | null;
  private: string;
  /** Null while nothing has a date. */
  calendar: { sentence: string; href: string; remindsHref: string } | null;
  nothingDated: string;
  csv: string;
  tables: { name: string; sentence: string; href: string; markedHref: string }[];
  ledger: { sentence: string; small: string; href: string; withoutStudiesHref: string; withoutPlansHref: string };
  importHref: string;
  backupsHref: string;
  form: readonly string[];
  parts: { name: string; sentence: string }[];
};

// The byte order mark by which spreadsheets tell UTF-8 from the code page of their country.
const MARK = '\uFEFF';

export function exportPages(app: FastifyInstance, { db, now, render }: Deps): void {
  const today = () => dateOfInstant(now(), readLedger(db).timeZone);

  app.get(paths.export.show, (_request, reply) => {
    const hasDates = datedPlan(db, today()).length > 0;
    const model: ExportPage = {
      heading: 'Export',
      lead: exportWords.lead,
      private: exportWords.private,
      calendar: hasDates
        ? {
            sentence: exportWords.calendar,
            href: paths.export.calendar,
            remindsHref: paths.export.calendarThatReminds,
          }
        : null,
      nothingDated: exportWords.nothingDated,
      csv: exportWords.csv,
      tables: CSV_NAMES.map((name) => ({
        name,
        sentence: csvSentences[name],
        href: paths.export.table(name),
        markedHref: paths.export.markedTable(name),
      })),
      ledger: {
        sentence: exportWords.ledger,
        small: exportWords.small,
        href: paths.export.ledger,
        withoutStudiesHref: paths.export.ledgerWithout('studies'),
        withoutPlansHref: paths.export.ledgerWithout('plans'),
      },
      importHref: paths.export.import,
      backupsHref: paths.backups.list,
      form: exportWords.form,
      parts: tableShapes(db).map(({ name }) => ({
        name,
        sentence: tableSentences[name as TableName],
      })),
    };
    return render(reply, 'export', model, {
      title: model.heading,
      current: 'export',
      back: { href: paths.settings, label: 'Settings' },
    });
  });

  app.get(paths.export.calendar, (request, reply) => {
    const on = today();
    const days = datedPlan(db, on);
    if (days.length === 0) throw new AppError('not_found', exportWords.nothingDated);
    const text = writeCalendar(calendarWords.name, productName, days, asked(request, 'remind') === 'yes');
    return sendFile(reply, 'text/calendar', fileName(on, '', 'ics'), text);
  });

  for (const name of CSV_NAMES) {
    app.get(paths.export.table(name), (request, reply) => {
      const on = today();
      const mark = asked(request, 'mark') === 'yes' ? MARK : '';
      return sendFile(reply, 'text/csv', fileName(on, name, 'csv'), mark + writeCsv(db, name, on));
    });
  }

  app.get(paths.export.ledger, (request, reply) => {
    const on = today();
    const without = asked(request, 'without') ?? 'nothing';
    if (!isLeavable(without)) throw new AppError('not_found', formSentences.neverThere);
    return sendFile(reply, 'application/json', fileName(on, '', 'json'), writeLedgerFile(db, on, without));
  });
}

function isLeavable(text: string): text is LeavesOut {
  return LEAVES_OUT.some((one) => one === text);
}

function asked(request: FastifyRequest, name: string): string | null {
  const value = (request.query as Record<string, unknown>)[name];
  return typeof value === 'string' ? value : null;
}

function fileName(on: PlainDate, table: string, ending: string): string {
  return `basking-ledger-${table === '' ? '' : `${table}-`}${on}.${ending}`;
}

function sendFile(reply: FastifyReply, type: string, name: string, text: string): FastifyReply {
  return reply
    .type(`${type}; charset=utf-8`)
    .header('content-disposition', `attachment; filename="${name}"`)
    .send(text);
}

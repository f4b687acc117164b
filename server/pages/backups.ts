// The backups of the ledger: how old the last good one is, a button that makes one, each to be downloaded, and the restoring of one in
// place of what is there, all or nothing.

import type { FastifyInstance, FastifyReply } from 'fastify';
import { formatDate, wallClockOf } from '../../src/calendar.ts';
import { backupDoubtSentence, backupFailureSentence, backupWords, copyFaultSentence } from '../backup-words.ts';
import type { BackupFile } from '../db/backup-folder.ts';
import { readLedger } from '../db/ledger.ts';
import { holdsAnything, type WholeLedger } from '../db/whole-ledger.ts';
import type { ConfirmPage } from '../fields.ts';
import { readLedgerCopy, tryOutLedger } from '../ledger-file.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import { found } from './asked-row.ts';
import { replacedPage, replaceLedger } from './replace-ledger.ts';
import { newMark } from './sent-twice.ts';

/** What views/pages/backups.hbs shows. */
type BackupsPage = {
  heading: string;
  lead: string | null;
  /** What is amiss, or null. */
  doubt: string | null;
  last: string;
  notes: string[];
  /** Null where no backup can be made. */
  action: string | null;
  backups: { name: string; written: string; size: string; href: string; restoreHref: string }[];
};

const frame = { current: 'export' as const, back: { href: paths.settings, label: 'Settings' } };

const replacement = { before: 'restore', doneAt: paths.backups.restored } as const;

export function backupPages(app: FastifyInstance, deps: Deps): void {
  const { db, now, care, backups, render } = deps;

  app.get(paths.backups.list, (_request, reply) => show(reply));

  app.post(paths.backups.list, async (_request, reply) => {
    const outcome = await backups.make();
    if (outcome.status === 'made') return reply.redirect(withNotice(paths.backups.list, 'backup-made'), 303);
    if (outcome.status === 'failed') return show(reply, backupFailureSentence(outcome), 503);
    return show(reply, backupWords.inMemory, 422);
  });

  app.get(paths.backups.file(':name'), (request, reply) => {
    const backup = asked(request.params);
    return reply
      .type('application/vnd.sqlite3')
      .header('content-length', backup.bytes)
      .header('content-disposition', `attachment; filename="${backup.name}"`)
      .send(backups.read(backup));
  });

  app.get(paths.backups.restore(':name'), (request, reply) => {
    const backup = asked(request.params);
    const look = lookAt(backup);
    if (look.status === 'bad') return show(reply, backupWords.notRestored(copyFaultSentence(look.fault)), 422);
    const { tables, hasLog } = look.copy;
    const model: ConfirmPage = {
      heading: 'Restore a backup',
      lead: `${backup.name}, of ${written(backup)}. Nothing was changed yet.`,
      consequences: [
        holdsSentence(tables),
        ...(holdsAnything(db) ? [backupWords.replaces, backupWords.copies, backupWords.stops] : [backupWords.isEmpty]),
        ...(hasLog ? [backupWords.log] : []),
      ],
      action: paths.backups.restore(backup.name),
      // A mark of this very form, so that one that is sent twice is taken once.
      version: newMark(),
      submit: 'Restore it',
      cancel: paths.backups.list,
    };
    return render(reply, 'confirm', model, { title: model.heading, ...frame });
  });

  app.post(paths.backups.restore(':name'), (request, reply) => {
    const backup = asked(request.params);
    const look = lookAt(backup);
    if (look.status === 'bad') return show(reply, backupWords.notRestored(copyFaultSentence(look.fault)), 422);
    const shownAt = replaceLedger(deps, request, look.copy, replacement);
    return shownAt === null ? show(reply, backupWords.inMemory, 422) : reply.redirect(shownAt, 303);
  });

  replacedPage(app, deps, replacement, {
    heading: 'The backup was restored',
    lead: backupWords.restored,
    copy: backupWords.copy,
    back: { href: paths.backups.list, label: 'Backups' },
  });

  function asked(params: unknown): BackupFile {
    const { name } = params as Record<string, string>;
    return found(backups.find(name ?? ''));
  }

  function lookAt({ file }: BackupFile) {
    return readLedgerCopy(file, (scratch) => tryOutLedger(scratch, care.libraryOver(scratch), now()));
  }

  function written({ writtenAt }: BackupFile): string {
    const { timeZone, locale } = readLedger(db);
    const { on, minute } = wallClockOf(timeZone)!.localOf(Math.floor(writtenAt.getTime() / 60_000));
    const two = (figure: number) => String(figure).padStart(2, '0');
    return `${formatDate(on, locale)}, ${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
  }

  function show(reply: FastifyReply, problem: string | null = null, status = 200): FastifyReply {
    const list = backups.list();
    const [last] = list;
    const doubt = backups.doubt();
    const model: BackupsPage = {
      heading: 'Backups',
      lead: backupWords.lead,
      doubt: problem ?? (doubt === null ? null : backupDoubtSentence(doubt)),
      last:
        backups.folder === null
          ? backupWords.inMemory
          : last === undefined
            ? `${backupWords.none} They lie in ${backups.folder}.`
            : backupWords.last(written(last), last.file),
      notes:
        backups.folder === null
          ? []
          : [
              backups.isDaily ? backupWords.daily : backupWords.notDaily,
              backupWords.kept,
              backupWords.elsewhere,
              backupWords.private,
              backupWords.command,
            ],
      action: backups.folder === null ? null : paths.backups.list,
      backups: list.map((one) => ({
        name: one.name,
        written: written(one),
        size: sizeText(one.bytes),
        href: paths.backups.file(one.name),
        restoreHref: paths.backups.restore(one.name),
      })),
    };
    return render(reply, 'backups', model, { title: model.heading, status, ...frame });
  }
}

function holdsSentence(tables: WholeLedger): string {
  const rows = (name: string) => tables[name]?.length ?? 0;
  const all = Object.values(tables).reduce((sum, one) => sum + one.length, 0);
  return backupWords.holds(all, rows('animals'), rows('enclosures'), rows('readings'), rows('plans'));
}

function sizeText(bytes: number): string {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}

// Where the backups of a ledger lie and how they are called: 'backups/ledger-2026-11-27-1.sqlite' beside 'ledger.sqlite', the second of a
// day with 2 at its end.

import { readdirSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { type PlainDate, readDate } from '../../src/calendar.ts';

/** A backup in the folder: where it is, the day in its name, which one of that day it is, when it was written, and its size in bytes. */
export type BackupFile = { file: string; name: string; day: PlainDate; number: number; writtenAt: Date; bytes: number };

/** The folder of the backups of a ledger's file. */
export function backupFolderOf(ledgerFile: string): string {
  return join(dirname(ledgerFile), 'backups');
}

/** The backups of a ledger's file, the newest first; none when there is no folder. Files with other names are not among them. */
export function listBackups(ledgerFile: string): BackupFile[] {
  const folder = backupFolderOf(ledgerFile);
  const stem = stemOf(ledgerFile);
  return namesIn(folder)
    .flatMap((name): BackupFile[] => {
      const match = /^(.+)-(\d{4}-\d\d-\d\d)-([1-9]\d{0,5})\.sqlite$/.exec(name);
      const day = match === null ? null : readDate(match[2]!);
      if (match === null || match[1] !== stem || day === null) return [];
      const file = join(folder, name);
      const status = statSync(file, { throwIfNoEntry: false });
      if (status === undefined || !status.isFile()) return [];
      return [{ file, name, day, number: Number(match[3]), writtenAt: status.mtime, bytes: status.size }];
    })
    .sort((a, b) => (a.day === b.day ? b.number - a.number : a.day < b.day ? 1 : -1));
}

/** The next free name of a day. */
export function nextBackup(ledgerFile: string, day: PlainDate): string {
  const last = listBackups(ledgerFile).find((one) => one.day === day)?.number ?? 0;
  return join(backupFolderOf(ledgerFile), `${stemOf(ledgerFile)}-${day}-${last + 1}.sqlite`);
}

function stemOf(ledgerFile: string): string {
  return basename(ledgerFile).replace(/\.sqlite$/, '');
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (problem) {
    if (problem instanceof Error && 'code' in problem && (problem.code === 'ENOENT' || problem.code === 'ENOTDIR'))
      return [];
    throw problem;
  }
}

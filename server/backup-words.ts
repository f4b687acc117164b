// Every sentence about backups: what the page and the commands say of them, why one was not made, and why one is not restored.

import { DAYS_KEPT, MONTHS_KEPT, WEEKS_KEPT } from '../src/backup-keeping.ts';
import type { BackupDoubt, BackupFailure } from './backups.ts';
import type { CandidateFault } from './db/candidate.ts';
import type { FileSystem } from './db/lock.ts';
import { fileFaultSentence } from './export-words.ts';
import type { FileFault } from './ledger-file.ts';

/** The sentences of the page and of the commands. */
export const backupWords = {
  lead: 'A backup is the whole ledger in one file, copied while the program runs. It was opened, its pages and its rows were checked and counted, before it is called a backup.',
  last: (when: string, file: string) => `The last good backup is of ${when}: ${file}.`,
  none: 'There is no backup yet.',
  daily: 'While the program runs, one is made each day, and at the start if that day has none yet.',
  notDaily: 'No backup is made of this ledger by itself; the button makes one.',
  kept: `Kept are all backups of the last ${DAYS_KEPT} days that have one, before these the last of each of ${WEEKS_KEPT} weeks, and before these the last of each of ${MONTHS_KEPT} months. Older ones go only after a new one was checked; what you downloaded or moved elsewhere is never touched.`,
  elsewhere:
    'A backup on the same disk does not outlive that disk. Download one now and then, and put it on another computer or a stick.',
  private: 'It holds all you entered, notes too, and is readable only by the account that runs the program.',
  command:
    'A backup from elsewhere: put it into that folder under a name of the same form and it appears here, or stop the program and run npm run restore -- FILE --replace.',
  inMemory: 'This ledger is kept in memory only, so there is no place for a backup of it.',
  made: (name: string, rows: number) => `${name} was made and checked: ${rows} rows.`,
  removed: (count: number) => `${count === 1 ? 'One older backup was' : `${count} older backups were`} thinned out.`,
  holds: (rows: number, animals: number, enclosures: number, readings: number, plans: number) =>
    `It holds ${counted(rows, 'row')}, among them ${counted(animals, 'animal')}, ${counted(enclosures, 'enclosure')}, ${counted(readings, 'reading')} and ${counted(plans, 'plan')}.`,
  replaces: 'Everything in this ledger is replaced by what the backup holds. What was entered since is not in it.',
  copies: 'What is here now is first copied beside the database, and the copy is checked.',
  isEmpty: 'Nothing was entered here yet, so nothing is lost.',
  stops: 'A plan that is being made, or studied, is stopped; it can be made again afterwards.',
  log: 'Beside the file lies a log of changes that were not carried over into it. It was not read: if it belongs to the file, copy both into an empty folder as ledger.sqlite and ledger.sqlite-wal, start the program there with DATA_DIR, and make a backup.',
  restored: 'The ledger is now what the backup held.',
  copy: (file: string) => `What was here before is kept in ${file}.`,
  nothingChanged: 'Nothing was changed. Add --replace to put it in place of the ledger, of which a copy is kept.',
  firstRun: 'Kept a ledger before? A backup of it can be restored.',
  notRestored: (reason: string) => `Nothing was restored. ${reason}`,
} as const;

/** What the command says that looks whether all is well, and a start of what it found. */
export const doctorWords = {
  noLedger: (file: string) => `There is no ledger at ${file} yet. Start the program first.`,
  place: (folder: string, where: FileSystem) =>
    ({
      local: `${folder} is on this computer.`,
      remote: `${folder} lies on another computer, where a ledger can lose what was saved. Set DATA_DIR to a folder on this one.`,
      unknown: `${folder} may lie on another computer or be passed on by another program, where a power cut can lose what was saved. A folder on this computer's own disk is better; set DATA_DIR.`,
    })[where],
  upgraded: (from: number, to: number, copy: string) =>
    `The ledger was brought from step ${from} to step ${to}, the form of this program. What was there before is kept in ${copy}.`,
  inUse: 'A Basking Ledger has the ledger open. It was only read, as it stood at this moment.',
  opened: 'The ledger opens, and its connection keeps the settings that protect what is saved.',
  pages: (fault: string | null) =>
    fault === null
      ? 'Every page, row and index of it is in order, and no row points at nothing.'
      : `It is damaged: ${fault}. Stop the program, keep the file, and restore a backup.`,
  steps: (step: number) => `It has the form of this program: step ${step}, each applied as it is here.`,
  backups: (count: number, newest: string) =>
    `${count === 1 ? 'There is one backup' : `There are ${count} backups`}, the newest ${newest}.`,
} as const;

/** Why no backup was made, and what to do. */
export function backupFailureSentence(why: BackupFailure): string {
  switch (why.failure) {
    case 'disk-full':
      return 'No backup was made: the disk is full. Make room and try again; the ledger itself is as it was.';
    case 'not-writable':
      return `No backup was made: ${why.folder} cannot be written to. Make that folder writable for the account that runs the program; the ledger itself is as it was.`;
    case 'bad-copy':
      return `No backup was made: the copy was not as it must be (${why.reason}) and was thrown away. Run npm run doctor, which looks at the ledger itself.`;
    case 'other':
      return `No backup was made: ${why.reason}. The ledger itself is as it was; run npm run doctor.`;
  }
}

/** What the first page says when something is amiss with backups. */
export function backupDoubtSentence(doubt: BackupDoubt): string {
  switch (doubt.doubt) {
    case 'failed':
      return backupFailureSentence(doubt.failure);
    case 'old':
      return `The last backup is ${doubt.days} days old.`;
    case 'none':
      return 'There is no backup of this ledger yet.';
  }
}

/** Why a file is not restored, and what to do. */
export function copyFaultSentence(fault: FileFault | CandidateFault): string {
  switch (fault.fault) {
    case 'absent':
      return 'There is no such file any more. Choose another.';
    case 'too-large':
      return `The file is larger than ${fault.most / 1_000_000_000} GB, which no ledger is. Choose another.`;
    case 'not-a-database':
      return 'This is no database: it is empty, of another kind, or its beginning is damaged. Choose another file. A file in JSON is brought in by npm run import.';
    case 'not-ours':
      return 'This is a database, but not one of this program. Choose another file.';
    case 'newer-database':
      return `This is from a newer Basking Ledger (step ${fault.found}; this one knows ${fault.known}). Restore it with the newer program.`;
    case 'damaged':
      return `The file is damaged (${fault.reason}). It was left as it is. Choose another backup.`;
    case 'strange-schema':
      return `The file holds what no ledger has, or lacks what each has: ${fault.what}. It was altered outside the program. Choose another.`;
    case 'strange-history':
      return fault.reason;
    case 'row':
      return `${fault.row === null ? 'A row' : `Row ${fault.row}`} of “${fault.table}” cannot be kept: ${fault.reason}. Choose another backup.`;
    case 'value':
      return `In row ${fault.row} of “${fault.table}” the value of “${fault.column}” is of the wrong kind. Choose another backup.`;
    default:
      return fileFaultSentence(fault);
  }
}

function counted(count: number, of: string): string {
  return `${count} ${of}${count === 1 ? '' : 's'}`;
}

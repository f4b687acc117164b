import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { writeLedgerFile } from '../../server/ledger-file.ts';
import { plainDate } from '../../src/calendar.ts';
import { commandOf, newFolder } from '../support/command.ts';
import { keepSmallLedger } from '../support/ledger.ts';

const run = commandOf('backup-cli.ts');

const exported = (file: string) => {
  const db = openDatabase(file);
  try {
    return writeLedgerFile(db, plainDate('2026-01-15'));
  } finally {
    closeDatabase(db);
  }
};

test('A ledger is backed up while a program has it, changed, damaged, and comes back byte for byte', () => {
  const folder = newFolder();
  const file = join(folder, 'ledger.sqlite');
  const db = openDatabase(file);
  keepSmallLedger(db);
  const made = run(folder, 'backup');
  expect(made).toMatchObject({ status: 0, stderr: '' });
  const backup = /^(.*\/backups\/ledger-\d{4}-\d\d-\d\d-1\.sqlite) was made and checked: \d+ rows\.\n$/.exec(
    made.stdout,
  )![1]!;
  expect(statSync(backup).mode & 0o777).toBe(0o600);
  // Under a running program nothing is replaced, and it goes on.
  const refused = run(folder, 'restore', backup, '--replace');
  expect(refused.status).toBe(1);
  expect(refused.stderr).toContain('is in use by another Basking Ledger');
  expect(run(folder, 'doctor')).toMatchObject({ status: 0, stderr: '' });
  keepSmallLedger(db);
  closeDatabase(db);
  const wanted = exported(backup);

  // Into the ledger that is there, which is kept.
  expect(exported(file)).not.toBe(wanted);
  expect(run(folder, 'restore', backup, '--replace').stdout).toMatch(
    /is kept in .*ledger\.before-restore-[\d-]+\.sqlite\.\n$/,
  );
  expect(exported(file)).toBe(wanted);

  // Damaged: nothing starts, the doctor says so and names the way, and the damaged file is set aside.
  const bytes = readFileSync(file);
  writeFileSync(file, bytes.fill(0xa5, 4096 * 2, 4096 * 7));
  const ill = run(folder, 'doctor');
  expect(ill.status).toBe(1);
  expect(ill.stdout).toMatch(
    /^AMISS {2}.*is damaged and was left as it is\. There is one backup in .*npm run restore -- ".*" --replace/m,
  );
  const restored = run(folder, 'restore', backup, '--replace');
  expect(restored.stdout).toMatch(/is kept in .*ledger\.set-aside-[\d-]+\.sqlite\.\n$/);
  const aside = readdirSync(folder).find((name) => name.includes('set-aside'))!;
  expect(readFileSync(join(folder, aside)).equals(bytes)).toBe(true);
  expect(exported(file)).toBe(wanted);
});

test('What cannot be used is refused in a sentence, and nothing is made', () => {
  const folder = newFolder();
  expect(run(folder, 'backup').stderr).toMatch(/^There is no ledger at .* yet\. Start the program first\.\n$/);
  writeFileSync(join(folder, 'notes.txt'), 'nothing of the kind');
  expect(run(folder, 'restore', join(folder, 'notes.txt'), '--replace').stderr).toMatch(
    /^Nothing was restored\. This is no database/,
  );
  for (const options of [['restore', '--force', 'a']])
    expect(run(folder, ...options), options.join(' ')).toMatchObject({ status: 2, stdout: '' });
  expect(readdirSync(folder)).toEqual(['notes.txt']);
});

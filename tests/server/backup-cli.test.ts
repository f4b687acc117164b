import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { commandOf, newFolder } from '../support/command.ts';
import { keepSmallLedger } from '../support/ledger.ts';

const run = await commandOf('backup-cli.ts');

// What they do for a ledger that is whole, damaged or lost is in tests/step-by-step.test.ts.
test('A ledger is backed up while a program has it, under which nothing is restored', () => {
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
  closeDatabase(db);
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

import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { commandOf, newFolder } from '../support/command.ts';
import { keepSmallLedger } from '../support/ledger.ts';

const run = await commandOf('ledger-file-cli.ts');

test('A ledger goes out into a file, into another folder, and out again to the same bytes', () => {
  const [from, to] = [newFolder(), newFolder()];
  const db = openDatabase(join(from, 'ledger.sqlite'));
  keepSmallLedger(db);
  closeDatabase(db);
  const [file, again] = [join(from, 'out.json'), join(to, 'again.json')];
  expect(run(from, 'export', '--out', file)).toEqual({
    status: 0,
    stdout: `The whole ledger was written to ${file}.\n`,
    stderr: '',
  });
  expect(statSync(file).mode & 0o077).toBe(0);
  // Nothing is written over.
  expect(run(from, 'export', '--out', file)).toMatchObject({ status: 1, stdout: '' });
  const looked = run(to, 'import', file);
  expect(looked).toMatchObject({ status: 0, stderr: '' });
  expect(looked.stdout).toMatch(/^animals: 1 row$/m);
  expect(looked.stdout).toContain('Nothing was changed. Add --replace');
  expect(readdirSync(to)).toEqual([]);
  expect(run(to, 'import', file, '--replace').stdout).toMatch(/The ledger is now what the file held\.\n$/);
  expect(run(to, 'export', '--out', again).status).toBe(0);
  expect(readFileSync(again, 'utf8')).toBe(readFileSync(file, 'utf8'));
  // A ledger that holds something is kept as a copy.
  expect(run(to, 'import', file, '--replace').stdout).toMatch(
    /is kept in .*ledger\.before-import-\d{4}-\d\d-\d\d\.sqlite\.\n$/,
  );
});

test('A ledger that a running program holds open is not replaced under it', () => {
  const folder = newFolder();
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const file = join(folder, 'out.json');
  expect(run(folder, 'export', '--out', file).status).toBe(0);
  const refused = run(folder, 'import', file, '--replace');
  expect(refused.status).toBe(1);
  expect(refused.stderr).toMatch(/is in use by another Basking Ledger.*Use its pages/);
  closeDatabase(db);
  expect(run(folder, 'import', file, '--replace').status).toBe(0);
});

test('What cannot be used is refused in a sentence, and nothing is made', () => {
  const folder = newFolder();
  expect(run(folder, 'export', '--out', join(folder, 'x.json'))).toMatchObject({ status: 1, stdout: '' });
  expect(run(folder, 'import', join(folder, 'absent.json')).stderr).toContain('cannot be used (ENOENT)');
  const broken = join(folder, 'broken.json');
  writeFileSync(broken, '{"format":"basking-ledger",');
  expect(run(folder, 'import', broken, '--replace').stderr).toMatch(/^This is not a whole file/);
  for (const options of [['export'], ['import'], ['export', '--out', 'a', 'b'], ['import', '--force', 'a'], ['other']])
    expect(run(folder, ...options), options.join(' ')).toMatchObject({ status: 2, stdout: '' });
  expect(readdirSync(folder)).toEqual(['broken.json']);
});

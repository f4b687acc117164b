import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { touchLedger } from '../../server/db/ledger.ts';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { latestPlan } from '../../server/db/plans.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate } from '../../src/calendar.ts';
import { commandOf, newFolder } from '../support/command.ts';
import { keepSmallLedger } from '../support/ledger.ts';
import { library } from '../support/make.ts';

const run = await commandOf('roadmap-cli.ts');

test('The latest roadmap is printed as plain text, and with --json exactly as it is kept', async () => {
  const folder = newFolder();
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  await planNow(db, library, plainDate('2026-01-15'), 200);
  const kept = latestPlan(db);
  closeDatabase(db);
  const text = run(folder);
  expect(text).toMatchObject({ status: 0, stderr: '' });
  expect(text.stdout).toMatch(
    /^This plan begins in January 2026, which is over\.\nRoadmap of 15 January 2026, from January 2026 on\n/,
  );
  expect(text.stdout).toMatch(/€25\.00 +Warm cave \(Ember\)\. It can be paid now\./);
  expect(text.stdout).toMatch(/^Ember +\d+ +\d+ +\d+$/m);
  const json = run(folder, '--json');
  expect(JSON.parse(json.stdout)).toEqual(JSON.parse(JSON.stringify(kept)));
  const changed = openDatabase(join(folder, 'ledger.sqlite'));
  touchLedger(changed);
  closeDatabase(changed);
  expect(run(folder).stdout).toContain('Something that this plan depends on was changed after it was made.');
  // The same ledger is not the demonstration, which was never made here.
  expect(run(folder, '--demo')).toMatchObject({ status: 1, stdout: '' });
});

test('Without a ledger or a plan one sentence says what to do, and nothing is made', () => {
  const folder = newFolder();
  const nothing = run(folder);
  expect(nothing).toMatchObject({ status: 1, stdout: '' });
  expect(nothing.stderr).toMatch(/^There is no ledger at .*ledger\.sqlite yet\. Start it with npm start first\.\n$/);
  closeDatabase(openDatabase(join(folder, 'ledger.sqlite')));
  expect(run(folder)).toEqual({
    status: 1,
    stdout: '',
    stderr: 'No plan was made yet. Open the ledger and plan on its roadmap page.\n',
  });
});

test('An unknown option is refused with 2, and a file that is no ledger is left alone with 1', () => {
  const folder = newFolder();
  expect(run(folder, '--jsn')).toMatchObject({ status: 2, stdout: '' });
  writeFileSync(join(folder, 'ledger.sqlite'), 'not a database at all');
  const refused = run(folder);
  expect(refused).toMatchObject({ status: 1, stdout: '' });
  expect(refused.stderr.split('\n')).toHaveLength(2);
});

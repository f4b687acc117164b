// Journeys besides the main job, in one ledger on a disk, each pressed through as a keeper does it: a question about the cap, the ledger out
// into a file and back in from it, a backup made and restored, and what comes out on paper.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openDatabase } from '../../server/db/open.ts';
import { planNow } from '../../server/planning.ts';
import { plainDate } from '../../src/calendar.ts';
import { closeApp, openApp, type TestApp } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';
import { keeperAt, seen } from '../support/keeper.ts';
import { keepSmallLedger } from '../support/ledger.ts';
import { library } from '../support/make.ts';

let folder: string;
let app: TestApp;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'journeys-'));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  await planNow(db, library, plainDate('2026-01-15'), 300);
  app = await openApp({ db, planningMilliseconds: 300 });
});

afterAll(async () => {
  await closeBrowser();
  await closeApp(app);
  rmSync(folder, { recursive: true });
});

/** The animals as their page names them. */
async function animalsSeen(page: Page): Promise<string[]> {
  await page.goto('/animals');
  return Promise.all((await page.locator('main .need-name a').all()).map(seen));
}

describe.skipIf(withoutBrowser)('In Chromium', () => {
  test('a keeper asks what a bill would do, waits without pressing anything, and finds the answer again', async () => {
    const { page, complaints } = await openWindow(app.app);
    const { read, press, goTo, fill } = keeperAt(page);
    await page.goto('/');
    await goTo('How many animals');
    await press('An emergency bill');
    expect(await read()).toContain('A sum that must be paid in a month, whatever was planned.');
    await fill({ 'The bill': '500', Month: '2026-01' });
    await press('Work it out');
    await page.waitForURL((url) => url.pathname.startsWith('/cap/answers/'));
    expect(await read()).toContain('It cannot be paid: €470.00 would be lacking in January 2026');
    expect(await seen(page.locator('.menu-here'))).toMatch(/How many animals$/);
    await goTo('How many animals');
    await press(/15 January 2026/);
    expect(await read()).toContain('It cannot be paid: €470.00 would be lacking in January 2026');
    expect(complaints).toEqual([]);
  }, 200_000);

  test('a ledger is saved as a file, changed, and comes back from the file once its differences were read', async () => {
    const { page, complaints } = await openWindow(app.app);
    const { read, press, goTo, fill, done } = keeperAt(page);
    await page.goto('/');
    await goTo('Export and import');
    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Export the whole ledger' }).click(),
    ]);
    const file = join(folder, saved.suggestedFilename());
    await saved.saveAs(file);

    await page.goto('/animals/new');
    await fill({ Name: 'Visitor', Species: 'Leopard gecko (Eublepharis macularius), measured from snout to vent' });
    await done('Enter this animal', 'Added.');
    expect(await animalsSeen(page)).toContain('Visitor');

    await goTo('Export and import');
    await press('Bring a ledger in');
    await page.getByLabel('Or fill it from a file').setInputFiles(file);
    await page.waitForFunction('document.querySelector("textarea").value !== ""');
    await press('Look at what it holds');
    expect(await read()).toContain('Everything in this ledger is replaced by what the file holds.');
    expect(await read()).toContain('1 gone: Visitor.');
    await press('Replace this ledger');
    expect(await read()).toContain('The ledger is now what the file held.');
    expect(await read()).toContain('ledger.before-import-2026-01-15.sqlite');
    expect(await animalsSeen(page)).toEqual(['Ember']);
    expect(complaints).toEqual([]);
  }, 200_000);

  test('a backup is made, an animal is removed, and the backup brings it back', async () => {
    const { page, complaints } = await openWindow(app.app);
    const { read, press, goTo, done } = keeperAt(page);
    await page.goto('/export');
    await press('Backups');
    await done('Make a backup now', 'The backup was made and checked.');
    await page.goto('/animals/1');
    await press('Remove it');
    await press('Remove this animal');
    expect(await animalsSeen(page)).toEqual([]);

    await goTo('Export and import');
    await press('Backups');
    await press(/^Restore ledger-2026-01-15/);
    expect(await seen(page.locator('.menu-here'))).toMatch(/Export and import$/);
    expect(await read()).toContain('among them 1 animal, 1 enclosure');
    await press('Restore it');
    expect(await read()).toContain('The ledger is now what the backup held.');
    expect(await animalsSeen(page)).toEqual(['Ember']);
    expect(complaints).toEqual([]);
  }, 200_000);
});

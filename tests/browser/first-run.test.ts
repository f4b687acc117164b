// The first ten minutes on a phone: from an empty ledger to a roadmap with two animals, counting what is asked, pressed and opened; and
// the demonstration beside it, which never mixes with it.

import type { Page } from 'playwright-core';
import { afterAll, describe, expect, test } from 'vitest';
import { fillDemo } from '../../seed/demo.ts';
import { buildApp } from '../../server/app.ts';
import { listAnimals } from '../../server/db/collection.ts';
import { openMemory } from '../../server/db/open.ts';
import { shownWhenAsked } from '../../server/demonstration.ts';
import { startApp, testMoment } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';

afterAll(closeBrowser);

const LONGEST_WAY = { fields: 40, taps: 60, pages: 25 };

/** Counts every control of every form that is shown, every press, and every page that is opened. */
function counting(page: Page) {
  const count = { fields: 0, taps: 0, pages: 0 };
  const look = async () => {
    count.pages += 1;
    count.fields += await page
      .locator('main form :is(input, select, textarea):not([type=hidden])')
      .evaluateAll((all) => new Set(all.map((one) => one.getAttribute('name'))).size);
  };
  return {
    count,
    open: async (address: string) => {
      await page.goto(address);
      await look();
    },
    press: async (name: string | RegExp, role: 'link' | 'button' = 'link') => {
      count.taps += 1;
      await page.locator('main').getByRole(role, { name }).first().click();
      await look();
    },
    fill: async (label: string, text: string) => {
      count.taps += 1;
      await page.getByLabel(label, { exact: true }).fill(text);
    },
    choose: async (label: string, answer: string) => {
      count.taps += 2;
      await page.getByLabel(label, { exact: true }).selectOption({ label: answer });
    },
    tick: async (label: string) => {
      count.taps += 1;
      await page.getByLabel(label, { exact: true }).check();
    },
  };
}

describe.skipIf(withoutBrowser)('A keeper with a telephone', () => {
  test('comes from an empty ledger to a roadmap with two animals within forty fields, without a script', async () => {
    const { app, db } = await startApp({ planningMilliseconds: 300 });
    const { page } = await openWindow(app, { javaScriptEnabled: false });
    const way = counting(page);
    await way.open('/');
    await way.press('Begin');
    await way.press('Enter an animal');
    await way.fill('Its kind, not its own name', 'fatty');
    await way.press('Find it', 'button');
    await way.press('Fat-tailed gecko');
    await way.fill('Its name', 'Moss');
    await way.choose('How old is it?', 'Grown');
    await way.fill('Length', '60');
    await way.fill('Depth', '45');
    await way.fill('Height', '30');
    await way.choose('What kind of box is it?', 'Glass with a mesh top');
    await way.choose('What warms it?', 'A heat mat; a thermostat: I do not know');
    await way.choose('What gives UV?', 'No UV lamp');
    await way.tick('Hide, warm end');
    await way.press('Write it down', 'button');
    await way.press('Enter another animal');
    await way.fill('Its kind, not its own name', 'corn');
    await way.press('Find it', 'button');
    await way.press('Corn snake');
    await way.fill('Length', '8 m');
    await way.fill('Depth', '45');
    await way.fill('Height', '45');
    await way.press('Write it down', 'button');
    // The form that came back is one page more, and what it asks again is not counted twice.
    const again = { fields: 0 };
    again.fields = await page.locator('main form :is(input, select, textarea):not([type=hidden])').count();
    expect(await page.locator('.error-summary').textContent()).toContain('Did you mean 80 cm?');
    await way.fill('Length', '80');
    await way.press('Write it down', 'button');
    await way.press('Enter the money');
    await way.fill('Put aside a month', '30');
    await way.fill('In hand today', '60');
    await way.press('Save', 'button');
    await way.press('Take them all and plan', 'button');
    for (let tries = 0; new URL(page.url()).pathname !== '/roadmap'; tries += 1) {
      expect(tries).toBeLessThan(200);
      await page.goto('/roadmap/progress');
    }
    expect(await page.locator('main').textContent()).toContain('Moss');
    expect(listAnimals(db).map((one) => one.name)).toEqual(['Moss', 'Corn snake']);
    way.count.fields -= again.fields;
    expect(way.count.fields).toBeGreaterThan(25);
    expect(way.count.fields).toBeLessThanOrEqual(LONGEST_WAY.fields);
    expect(way.count.taps).toBeLessThanOrEqual(LONGEST_WAY.taps);
    expect(way.count.pages).toBeLessThanOrEqual(LONGEST_WAY.pages);
    if (process.env.SHOW_COUNTS) console.log(way.count);
  });

  test('looks at the demonstration with one tap, changes it, and finds nothing of it in the own ledger', async () => {
    const shows = shownWhenAsked(async () => {
      const demo = openMemory();
      fillDemo(demo, () => testMoment);
      const app = await buildApp({ db: demo, now: () => testMoment, demonstration: { prefix: '/demonstration' } });
      await app.ready();
      return {
        app,
        end: async () => {
          await app.close();
          demo.$client.close();
        },
      };
    });
    const { app, db } = await startApp({ shows });
    const { page, complaints } = await openWindow(app);
    await page.goto('/');
    await page.getByRole('link', { name: 'Look at it' }).click();
    await page.waitForURL('**/demonstration/');
    expect(await page.locator('.demonstration').textContent()).toContain('nothing here touches yours');
    await page.goto('/demonstration/animals');
    await page.locator('main').getByRole('link', { name: 'Enter an animal' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Stray');
    await page.getByLabel('Species', { exact: true }).selectOption('corn-snake');
    await page.getByRole('button', { name: 'Enter this animal' }).click();
    expect(new URL(page.url()).pathname).toMatch(/^\/demonstration\/animals\/\d+$/);
    expect(await page.locator('h1').textContent()).toContain('Stray');
    const outside = await page
      .locator('a[href^="/"], form[action^="/"]')
      .evaluateAll((all) =>
        all
          .map((one) => one.getAttribute('href') ?? one.getAttribute('action') ?? '')
          .filter((one) => !one.startsWith('/demonstration/')),
      );
    expect(outside).toEqual(['/']);
    await page.getByRole('link', { name: 'Back to my ledger' }).click();
    expect(await page.locator('h1').textContent()).toBe('Begin here');
    expect(listAnimals(db)).toEqual([]);
    expect(complaints).toEqual([]);
  });
});

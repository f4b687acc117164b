// Everything that is printed, in Chromium: how many pages it takes on A4, Letter and A6, that nothing is wider than the paper or lost
// there, and that it reads on a telephone.

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { prepareDemo } from '../../seed/demo.ts';
import { openMemory } from '../../server/db/open.ts';
import { paths } from '../../server/paths.ts';
import { closeApp, openApp, type TestApp, testMoment } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';

let app: TestApp;

beforeAll(async () => {
  const db = openMemory();
  await prepareDemo(db, () => testMoment);
  app = await openApp({ db });
}, 120_000);

afterAll(async () => {
  await closeBrowser();
  await closeApp(app);
});

// Width of the paper in CSS pixels (96 an inch) without the margins used here.
const MARGIN_MM = 12;
const papers = { A4: 210, Letter: 215.9, A6: 105 } as const;
const pixels = (mm: number) => Math.floor((96 * (mm - 2 * MARGIN_MM)) / 25.4);

/** Page objects of a PDF as Chromium writes it: '/Type /Page', not '/Pages'. */
function pagesOf(pdf: Buffer): number {
  return [...pdf.toString('latin1').matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;
}

const speciesKept = 'leopard-gecko';

describe.skipIf(withoutBrowser)('On paper', () => {
  test.each([
    [paths.case, 'A4', 2, 'The case for this collection'],
    [paths.case, 'Letter', 2, 'The case for this collection'],
    [paths.animals.vetSheet(1), 'A4', 1, 'For the vet'],
    [paths.animals.vetSheet(1), 'Letter', 1, 'For the vet'],
    [paths.species.card(speciesKept), 'A4', 2, 'power cut and heat wave'],
    [paths.species.card(speciesKept), 'A6', 6, 'power cut and heat wave'],
    [paths.shopping, 'A4', 2, 'Shopping list for'],
    [paths.thisMonth, 'A4', 2, 'in order: free, borrow'],
  ] as const)(
    '%s on %s takes at most %i pages and nothing is cut',
    async (address, paper, most, heading) => {
      const { page, complaints } = await openWindow(app.app, { colorScheme: 'light' });
      await page.goto(address);
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width: pixels(papers[paper]), height: 1000 });
      expect(await page.locator('h1').textContent()).toContain(heading);
      const wide = (await page.evaluate(`[...document.querySelectorAll('main *')]
      .filter((one) => one.getClientRects().length > 0 && one.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .map((one) => one.localName + ' ' + one.textContent.trim().slice(0, 40))`)) as string[];
      expect(wide).toEqual([]);
      // What is hidden on paper are ways to press on, never a fact.
      const hidden =
        (await page.evaluate(`[...document.querySelectorAll('main section, main table, main li, main dd, main h2')]
      .filter((one) => one.getClientRects().length === 0 && one.closest('.screen-only, .actions, .buttons') === null)
      .map((one) => one.textContent.trim().slice(0, 40))`)) as string[];
      expect(hidden).toEqual([]);
      const margin = `${MARGIN_MM}mm`;
      const pdf = await page.pdf({
        format: paper,
        margin: { top: margin, right: margin, bottom: margin, left: margin },
      });
      const pages = pagesOf(pdf);
      expect(pages).toBeGreaterThan(0);
      expect(pages).toBeLessThanOrEqual(most);
      expect(complaints).toEqual([]);
    },
    60_000,
  );

  test('at 360 pixels none of them is wider than the window', async () => {
    const { page, complaints } = await openWindow(app.app);
    for (const address of [
      paths.case,
      paths.animals.vetSheet(1),
      paths.species.card(speciesKept),
      paths.shopping,
      paths.thisMonth,
    ]) {
      await page.goto(address);
      expect(await page.evaluate('document.documentElement.scrollWidth'), address).toBeLessThanOrEqual(360);
    }
    expect(complaints).toEqual([]);
  }, 60_000);
});

// Care sheets on paper; on a screen they are judged with all other pages in tests/browser/pages.test.ts.

import { afterAll, describe, expect, test } from 'vitest';
import { startApp } from '../support/app.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';

afterAll(closeBrowser);

// Three very different species, the longest page, the list with its filters open, and two species side by side.
const addresses = [
  '/species/axolotl',
  '/species/veiled-chameleon',
  '/species/hermanns-tortoise',
  '/species/corn-snake',
  '/species?group=snake&known=quarter',
  '/species?group=snake&activity=day&uv=required',
  '/species/compare?a=veiled-chameleon&b=hermanns-tortoise',
];

describe.skipIf(withoutBrowser)('In Chromium', () => {
  // A4 is 210 mm wide, US Letter 216 mm: 794 and 816 CSS pixels, here with 12 mm of margin on both sides.
  test('A care sheet prints within the width of A4 and Letter, without forms, buttons and filters, and with its sources', async () => {
    const { app } = await startApp();
    const { page } = await openWindow(app);
    await page.emulateMedia({ media: 'print' });
    for (const width of [794 - 90, 816 - 90]) {
      await page.setViewportSize({ width, height: 1000 });
      for (const address of addresses) {
        await page.goto(address);
        const seen = await page.evaluate(
          `(() => {
            const shown = [...document.querySelectorAll('body *')].filter((one) => one.getClientRects().length > 0);
            const controls = 'form, button, .button, input, select, summary, nav';
            return {
              tooWide: shown.filter((one) => one.getBoundingClientRect().right > ${width + 1}).map((one) => one.outerHTML),
              controls: shown.filter((one) => one.matches(controls)).length,
            };
          })()`,
        );
        expect(seen, address).toEqual({ tooWide: [], controls: 0 });
      }
    }
    await page.goto('/species/corn-snake');
    // biome-ignore lint/performance/useDomNodeTextContent: only what is shown counts
    const words = await page.locator('main').innerText();
    for (const part of ['Before anything else: the law', 'Where sources differ', 'Judge space by', 'Source: '])
      expect(words).toContain(part);
    expect(words).not.toContain('Use another value');
    expect(words).not.toContain('Choose other rule lists');
  }, 60_000);
});

import { HtmlValidate } from 'html-validate';
import { afterAll, describe, expect, test } from 'vitest';
import { startApp } from '../support/app.ts';
import { judgeOf } from '../support/axe.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';
import { findChromium } from '../support/chromium.ts';
import { perchPages } from '../support/perch-page.ts';

afterAll(closeBrowser);

test('Chromium is looked for where it was said to be, then in the usual places, and is never missing in silence', () => {
  expect(findChromium({ CHROMIUM_PATH: '/opt/own' }, (path) => path === '/opt/own')).toBe('/opt/own');
  expect(findChromium({}, (path) => path === '/usr/bin/chromium-browser')).toBe('/usr/bin/chromium-browser');
  expect(findChromium({ CHROMIUM_PATH: '/opt/own' }, (path) => path === '/usr/bin/chromium')).toBeNull();
  expect(() => findChromium({ CI: 'true' }, () => false)).toThrow('may not be left out');
});

test('The pages of the shell are valid HTML by the HTML standard', async () => {
  const { get, submit } = await startApp({ morePages: [perchPages().page] });
  // 'standard' keeps the rules of the HTML standard and leaves out matters of taste.
  const judge = new HtmlValidate({ extends: ['html-validate:standard'], rules: { 'no-trailing-whitespace': 'off' } });
  const opened = await get('/perch');
  for (const page of [
    await get('/'),
    await get('/about'),
    await get('/nowhere'),
    opened,
    await submit(opened, { name: '', side: null }),
  ]) {
    const report = await judge.validateString(page.body);
    expect(report.results.flatMap((result) => result.messages.map((one) => `${one.line}: ${one.message}`))).toEqual([]);
  }
});

describe.skipIf(withoutBrowser)('In Chromium', () => {
  test('the pages have no fault that axe finds and are no wider than the window, in both colour schemes, on a telephone and on a desk', async () => {
    const { app } = await startApp({ morePages: [perchPages().page] });
    const { page, complaints } = await openWindow(app, { colorScheme: 'light' });
    const windows = [360, 1280].map((width) => ({ width, light: judgeOf(), dark: judgeOf() }));
    let passed = 0;
    for (const path of ['/', '/about', '/perch', '/perch?done=saved', 'mistakes']) {
      if (path === 'mistakes') {
        await page.goto('/perch');
        await page.getByLabel('Name').fill('');
        await page.getByRole('button', { name: 'Save' }).click();
        await page.waitForSelector('.error-summary');
      } else await page.goto(path);
      for (const { width, ...judges } of windows) {
        await page.setViewportSize({ width, height: 800 });
        // What is dark differs by its colours alone.
        for (const [colorScheme, rules] of [
          ['dark', 'colours'],
          ['light', 'all-and-good-practice'],
        ] as const) {
          await page.emulateMedia({ colorScheme });
          const report = await judges[colorScheme](page, rules);
          expect(report.faults, `${path} in ${colorScheme} at ${width}`).toEqual([]);
          passed += report.passed;
        }
        expect(await page.evaluate('document.documentElement.scrollWidth'), path).toBeLessThanOrEqual(width);
      }
    }
    expect(passed).toBeGreaterThan(200);
    expect(complaints.filter((text) => !text.includes('422'))).toEqual([]);
  });

  test('the menu opens and leads on without JavaScript, and a form is sent', async () => {
    const { page: pages, perch } = perchPages();
    const { app } = await startApp({ morePages: [pages] });
    const { page } = await openWindow(app, { javaScriptEnabled: false });
    await page.goto('/');
    await page.getByText('Menu', { exact: true }).click();
    await page.getByRole('navigation').getByRole('link', { name: 'About the score' }).click();
    await page.waitForURL('**/about');
    await page.goto('/perch');
    await page.getByLabel('Name').fill('Flat rock');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.waitForURL('**/perch?done=saved');
    expect(perch.values.name).toBe('Flat rock');
    expect(await page.getByRole('status').textContent()).toBe('Saved.');
  });

  test('a form with mistakes puts the keyboard at the list of mistakes, and its links at the controls', async () => {
    const { app } = await startApp({ morePages: [perchPages().page] });
    const { page } = await openWindow(app);
    await page.goto('/perch');
    await page.getByLabel('Count').fill('many');
    await page.keyboard.press('Enter');
    await page.waitForSelector('.error-summary');
    expect(await page.evaluate('document.activeElement.className')).toBe('error-summary');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    expect(await page.evaluate('document.activeElement.name')).toBe('count');
  });

  test('every control to press is at least 44 pixels high, and text to type in at least 16 pixels', async () => {
    const { app } = await startApp({ morePages: [perchPages().page] });
    const { page } = await openWindow(app);
    await page.goto('/perch');
    await page.getByText('Menu', { exact: true }).click();
    const controls = page.locator(
      '.button, summary, nav a, .back a, main form :is(input:not([type=radio], [type=checkbox], [type=hidden]), select, textarea), .option label',
    );
    const count = await controls.count();
    expect(count).toBeGreaterThan(15);
    for (let place = 0; place < count; place += 1) {
      const control = controls.nth(place);
      const words = `${await control.getAttribute('name')} ${await control.textContent()}`;
      expect((await control.boundingBox())?.height, words).toBeGreaterThanOrEqual(44);
    }
    const size = 'parseFloat(getComputedStyle(document.querySelector("[name=count]")).fontSize)';
    expect(await page.evaluate(size)).toBeGreaterThanOrEqual(16);
  });

  test('on paper there is no menu and no button, and the ink is black', async () => {
    const { app } = await startApp({ morePages: [perchPages().page] });
    const { page } = await openWindow(app, { colorScheme: 'dark' });
    await page.goto('/perch');
    await page.emulateMedia({ media: 'print' });
    expect(await page.getByRole('navigation').isVisible()).toBe(false);
    expect(await page.getByRole('button', { name: 'Save' }).isVisible()).toBe(false);
    expect(await page.evaluate('getComputedStyle(document.documentElement).color')).toBe('rgb(0, 0, 0)');
  });

  test('a form of another site changes nothing, however it is sent', async () => {
    const { page: pages, perch } = perchPages();
    const { app } = await startApp({ morePages: [pages] });
    const { page, origin } = await openWindow(app);
    // localhost is another site than 127.0.0.1 to a browser, and both are this computer.
    const fields = Object.entries({ ...perch.values, name: 'Stolen', version: '1' });
    const inputs = fields.map(([name, value]) => `<input name="${name}" value="${value}">`).join('');
    await page.route('http://localhost:9/', (route) =>
      route.fulfill({
        contentType: 'text/html',
        body: `<form method="post" action="${origin}/perch">${inputs}<button>Win</button></form>`,
      }),
    );
    await page.goto('http://localhost:9/');
    const answer = page.waitForResponse(`${origin}/perch`);
    await page.getByRole('button').click();
    expect((await answer).status()).toBe(403);
    expect(perch.values.name).toBe('Cork');
  });
});

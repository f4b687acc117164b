// A real Chromium for the few facts that only a browser can show. Where there is none the tests that need it are left out with a loud
// notice; in continuous integration that is a failure.

import type { FastifyInstance } from 'fastify';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { onTestFinished } from 'vitest';
import { findChromium, missingChromium } from './chromium.ts';

const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  // Names of a home network are this computer, so that a test can be two web sites.
  '--host-resolver-rules=MAP *.lan 127.0.0.1',
];

const chromiumPath = findChromium(process.env);
if (chromiumPath === null) console.warn(`\n*** ${missingChromium} THE BROWSER TESTS ARE LEFT OUT. ***\n`);

/** Whether to leave the browser tests out: `describe.skipIf(withoutBrowser)`. */
export const withoutBrowser = chromiumPath === null;

let shared: Promise<Browser> | null = null;

/** One Chromium for the tests of a file; call closeBrowser in afterAll. */
function openBrowser(): Promise<Browser> {
  if (chromiumPath === null) throw new Error('there is no Chromium; guard the test with withoutBrowser');
  shared ??= chromium.launch({ executablePath: chromiumPath, args: flags });
  return shared;
}

/** Closes the Chromium of this file, when one was opened. */
export async function closeBrowser(): Promise<void> {
  const open = shared;
  shared = null;
  if (open !== null) await (await open).close();
}

/** A browser window on the application, and every complaint of the browser's console, errors and blocked content included. */
export type Window = { page: Page; origin: string; complaints: string[] };

/** Listens on any free port and opens a window there; width 360 unless told. The window is closed when the test ends. */
export async function openWindow(app: FastifyInstance, options: BrowserContextOptions = {}): Promise<Window> {
  const window = await openLastingWindow(app, options);
  onTestFinished(() => window.page.context().close());
  return window;
}

/** The same for what is done before any test: it is closed with the browser. */
export async function openLastingWindow(app: FastifyInstance, options: BrowserContextOptions = {}): Promise<Window> {
  const address = app.server.address();
  const origin =
    typeof address === 'object' && address !== null
      ? `http://127.0.0.1:${address.port}`
      : await app.listen({ host: '127.0.0.1', port: 0 });
  const browser = await openBrowser();
  const context = await browser.newContext({ baseURL: origin, viewport: { width: 360, height: 740 }, ...options });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  return { page, origin, complaints };
}

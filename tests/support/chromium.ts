// Where Chromium is found, for tests and for what is made with it outside of them.

import { existsSync } from 'node:fs';

const usualPlaces = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/snap/bin/chromium',
  '/opt/google/chrome/chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
];

/** What is said where there is none. */
export const missingChromium = 'Chromium was not found: install it (apt-get install chromium) or set CHROMIUM_PATH.';

/** Where Chromium is: CHROMIUM_PATH when set, else the first usual place; null when there is none. Throws when there is none in CI. */
export function findChromium(
  environment: Readonly<Record<string, string | undefined>>,
  exists: (path: string) => boolean = existsSync,
): string | null {
  const named = environment.CHROMIUM_PATH;
  const found = (named === undefined || named === '' ? usualPlaces : [named]).find(exists) ?? null;
  if (found !== null) return found;
  if (environment.CI)
    throw new Error(`${missingChromium} In continuous integration the browser tests may not be left out.`);
  return null;
}

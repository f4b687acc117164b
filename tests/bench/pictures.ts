// Makes the pictures of the README from the demonstration, as a telephone shows it, so that they are never older than the program:
// npm run pictures. It knows which pages are shown, in which scheme, and how small a picture must be.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';
import { prepareDemo } from '../../seed/demo.ts';
import { buildApp } from '../../server/app.ts';
import { openMemory } from '../../server/db/open.ts';
import { paths } from '../../server/paths.ts';
import { findChromium } from '../support/chromium.ts';

/** Bytes that a picture may have. */
const MOST_BYTES = 60_000;
const folder = join(import.meta.dirname, '../../views/guide');

const pictures = [
  { name: 'this-month-light', address: paths.home, scheme: 'light', from: 'main' },
  { name: 'animal-dark', address: paths.animals.show(1), scheme: 'dark', from: 'h2:has-text("Need by need")' },
  { name: 'light-light', address: paths.enclosures.light(5), scheme: 'light', from: 'main figure' },
  { name: 'roadmap-dark', address: paths.roadmap.show, scheme: 'dark', from: 'h2:has-text("Saving and buying")' },
] as const;

const executablePath = findChromium(process.env);
if (executablePath === null) throw new Error('Chromium is needed: install it or set CHROMIUM_PATH.');

const db = openMemory();
await prepareDemo(db, () => new Date());
const app = await buildApp({ db, now: () => new Date() });
const origin = await app.listen({ host: '127.0.0.1', port: 0 });
const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
try {
  for (const { name, address, scheme, from } of pictures) {
    const context = await browser.newContext({
      baseURL: origin,
      colorScheme: scheme,
      viewport: { width: 360, height: 720 },
      deviceScaleFactor: 1.5,
    });
    const page = await context.newPage();
    await page.goto(address);
    const start = page.locator(from).first();
    if ((await start.count()) === 0) throw new Error(`${address} holds no ${from}`);
    // What the reader is led to stands at the top, with a little air above.
    const { y } = (await start.boundingBox())!;
    await page.evaluate(`scrollTo(0, ${from === 'main' ? 0 : y - 12})`);
    const picture = await asWebp(browser, await page.screenshot({ type: 'png' }));
    await context.close();
    if (picture.length > MOST_BYTES) throw new Error(`${name} has ${picture.length} bytes, more than ${MOST_BYTES}`);
    writeFileSync(join(folder, `${name}.webp`), picture);
    console.log(`views/guide/${name}.webp ${picture.length} bytes`);
  }
} finally {
  await browser.close();
  await app.close();
  db.$client.close();
}

// The browser writes the small format itself, so that no package is needed for it.
async function asWebp(by: Browser, png: Buffer): Promise<Buffer> {
  const page = await by.newPage();
  const url = (await page.evaluate(`(async () => {
    const image = new Image();
    image.src = 'data:image/png;base64,${png.toString('base64')}';
    await image.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [image.width, image.height];
    canvas.getContext('2d').drawImage(image, 0, 0);
    return canvas.toDataURL('image/webp', 0.75);
  })()`)) as string;
  await page.close();
  return Buffer.from(url.slice(url.indexOf(',') + 1), 'base64');
}

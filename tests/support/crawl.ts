// Every page that links lead to from the first one, fetched as a browser without a window would.

import { expect } from 'vitest';
import type { Answer, TestApp } from './app.ts';

/** A page and the address it was found at, or the form that answered with it. */
export type Found = { address: string; page: Answer; sent?: true };

/**
 * Follows every link of the ledger from its first page and fails on one that leads nowhere. Of the addresses that `sameAs` gives the same
 * text only the first is opened, and `taps` is the fewest links that lead there. Files that are saved are looked for and not read as pages.
 */
export async function crawl(app: TestApp, sameAs: (address: string) => string): Promise<(Found & { taps: number })[]> {
  const found: (Found & { taps: number })[] = [];
  const seen = new Set<string>();
  const waiting = [{ address: '/', from: '/', taps: 0 }];
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
    const { address, from, taps } = next;
    if (seen.has(sameAs(address))) continue;
    seen.add(sameAs(address));
    const page = await app.get(address);
    expect(page.status, `the link from ${from} to ${address}`).toBe(200);
    if (!String(page.headers['content-type']).startsWith('text/html')) continue;
    found.push({ address, page, taps });
    for (const link of page.document.querySelectorAll('a[href^="/"]'))
      waiting.push({
        address: (link.getAttribute('href') ?? '').replace(/#.*/, ''),
        from: address,
        taps: taps + 1,
      });
  }
  return found;
}

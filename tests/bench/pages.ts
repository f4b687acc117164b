// How long the server takes for each page of a large ledger and what a browser has to fetch for it: as the ledger stands, and first after
// a change of it, when everything is read and scored anew. Times are of the processor, so that what else the machine does counts little.

import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { gunzipSync } from 'node:zlib';
import { buildApp } from '../../server/app.ts';
import { readAssets } from '../../server/assets.ts';
import { touchLedger } from '../../server/db/ledger.ts';
import { closeDatabase, openDatabase } from '../../server/db/open.ts';
import { patternOf } from '../support/addresses.ts';
import { LEDGERS, type LedgerName, ledgerFile } from './ledgers.ts';

/** What a page of each ledger may take as the ledger stands, in milliseconds, and what every page may weigh with style and script. */
const MOST_MILLISECONDS: Readonly<Record<LedgerName, number>> = { 'demo-5-years': 30, 'rescue-200': 150 };
const MOST_BYTES = 60_000;

/** A page: the time it takes as things stand and after a change, and its bytes with those of style and script. */
export type PageCost = { address: string; standing: number; changed: number; bytes: number; elsewhere: string[] };

/** Opens pages from the first one on, of each pattern of address at most so many, and tells what each costs. */
export async function measurePages(file: string, perPattern: number): Promise<PageCost[]> {
  const db = openDatabase(file);
  const app = await buildApp({ db, now: () => new Date() });
  const shared = [...readAssets().values()].reduce((sum, one) => sum + (isShared(one.type) ? one.packed.length : 0), 0);
  const counts = new Map<string, number>();
  const seen = new Set<string>();
  const waiting = ['/'];
  const costs: PageCost[] = [];
  const timed = async (url: string) => {
    const start = process.cpuUsage();
    const answer = await app.inject({ method: 'GET', url, headers: { 'accept-encoding': 'gzip' } });
    const { user, system } = process.cpuUsage(start);
    return { answer, html: textOfPage(answer), milliseconds: (user + system) / 1000 };
  };
  for (let address = waiting.shift(); address !== undefined; address = waiting.shift()) {
    const pattern = patternOf(address).replace(/^\/species\/[a-z-]+$/, '/species/:key');
    const count = counts.get(pattern) ?? 0;
    if (seen.has(address) || count >= perPattern) continue;
    seen.add(address);
    counts.set(pattern, count + 1);
    const { answer, html } = await timed(address);
    if (answer.statusCode >= 500) throw new Error(`${address} answered ${answer.statusCode}`);
    if (!String(answer.headers['content-type']).startsWith('text/html')) continue;
    touchLedger(db);
    const changed = (await timed(address)).milliseconds;
    const standing: number[] = [];
    for (let time = 0; time < 3; time += 1) standing.push((await timed(address)).milliseconds);
    costs.push({
      address,
      standing: standing.sort((a, b) => a - b)[1]!,
      changed,
      bytes: answer.rawPayload.length + shared,
      elsewhere: fetchedFromElsewhere(html),
    });
    for (const [, link] of html.matchAll(/<a [^>]*href="(\/[^"#]*)/g)) waiting.push(decoded(link!));
  }
  await app.close();
  closeDatabase(db);
  return costs;
}

/** The text of an answer, packed or not. */
export function textOfPage({ headers, rawPayload }: { headers: object; rawPayload: Buffer }): string {
  const isPacked = 'content-encoding' in headers && headers['content-encoding'] === 'gzip';
  return (isPacked ? gunzipSync(rawPayload) : rawPayload).toString('utf8');
}

const isShared = (type: string) => type.startsWith('text/css') || type.startsWith('text/javascript');

/** What a browser would fetch for a page of another host than its own; a link that a person may follow is not fetched. */
export function fetchedFromElsewhere(html: string): string[] {
  const tags = html.matchAll(/<(?:link|script|img|iframe|source|object|embed|use|image|form)\b[^>]*>/g);
  return [...tags].flatMap(([tag]) =>
    [...tag.matchAll(/\b(?:href|src|srcset|data|action)="((?:https?:)?\/\/[^"]*)"/g)].map((one) => one[1]!),
  );
}

function decoded(link: string): string {
  return link.replaceAll('&amp;', '&').replaceAll('&#x3D;', '=').replaceAll('&#x27;', "'");
}

if (process.argv[1] === import.meta.filename) await report();

async function report(): Promise<void> {
  const { values } = parseArgs({
    options: {
      ledger: { type: 'string', multiple: true },
      rows: { type: 'string', default: '25' },
      each: { type: 'string', default: '3' },
    },
  });
  const names = LEDGERS.filter((one) => values.ledger === undefined || values.ledger.includes(one));
  const folder = join(import.meta.dirname, '../output/ledgers');
  const copies = mkdtempSync(join(tmpdir(), 'pages-'));
  const summaries: string[] = [];
  for (const name of names) {
    const copy = join(copies, `${name}.sqlite`);
    copyFileSync(await ledgerFile(name, folder), copy);
    const costs = await measurePages(copy, Number(values.each));
    const by = (key: 'standing' | 'changed' | 'bytes') => costs.toSorted((a, b) => b[key] - a[key])[0]!;
    console.log(
      `\n${name}\n  standing   changed     bytes  page (milliseconds of the processor; bytes with style and script)`,
    );
    for (const one of costs.toSorted((a, b) => b.standing - a.standing).slice(0, Number(values.rows)))
      console.log(
        `${one.standing.toFixed(1).padStart(10)}${one.changed.toFixed(1).padStart(10)}${String(one.bytes).padStart(10)}  ${one.address}`,
      );
    const slow = costs.filter((one) => one.standing > MOST_MILLISECONDS[name]);
    const heavy = costs.filter((one) => one.bytes > MOST_BYTES);
    summaries.push(
      `${name}: ${costs.length} pages; slowest ${by('standing').standing.toFixed(0)} ms (${by('standing').address}), after a change ${by('changed').changed.toFixed(0)} ms (${by('changed').address}), ` +
        `heaviest ${(by('bytes').bytes / 1000).toFixed(0)} kB (${by('bytes').address}); over ${MOST_MILLISECONDS[name]} ms: ${slow.length}, over ${MOST_BYTES / 1000} kB: ${heavy.length}, ` +
        `with anything from another host: ${costs.filter((one) => one.elsewhere.length > 0).length}; load average ${loadavg()[0]!.toFixed(1)}`,
    );
  }
  rmSync(copies, { recursive: true, force: true });
  console.log(`\n${summaries.join('\n')}`);
}

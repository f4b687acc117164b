// Every address of the application, as the application itself lists them, asked for by every method with addresses, bodies and headers that no
// page of the ledger sends: each is answered by a page that says so, never by a fault of the program.

import { METHODS } from 'node:http';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { closeApp, type TestApp } from '../support/app.ts';
import { keepCopy, openFullLedger } from '../support/full-ledger.ts';
import { anyText, effort, nearly, tries, within } from '../support/hostile.ts';

type Route = { method: string; url: string };

const routes: Route[] = [];
const faults: string[] = [];
let app: TestApp;
let putBack: () => void;
let tried = 0;

beforeAll(async () => {
  // A warning, such as of a wrong password, is no fault of the program.
  app = await openFullLedger((line) => void ((JSON.parse(line) as { level: number }).level >= 50 && faults.push(line)));
  await app.app.ready();
  routes.push(...routesOf(app.app.printRoutes({ commonPrefix: false })));
  putBack = keepCopy(app.db);
}, within(120_000));

afterAll(async () => {
  console.info(`${tried} requests to ${routes.length} routes`);
  await closeApp(app);
});

/** The routes of the printed tree of Fastify, one a line: 'name (GET, HEAD)' below the part of the address that comes before it. */
function routesOf(tree: string): Route[] {
  const found: Route[] = [];
  const above: string[] = [];
  for (const line of tree.split('\n')) {
    const match = /^((?:[│ ] {3})*)[├└]── (\S*?)(?: \(([A-Z, ]+)\))?$/u.exec(line);
    if (match === null) continue;
    const depth = match[1]!.length / 4;
    above.splice(depth, above.length, match[2]!);
    for (const method of match[3]?.split(', ') ?? []) found.push({ method, url: above.join('') });
  }
  return found;
}

/** What a route's ids and names are replaced by, with how an address is written. */
const oddIds = [
  '0',
  '-1',
  '1e99',
  '1.5',
  '01',
  '999999',
  '99999999999999999999',
  'words',
  'NaN',
  '__proto__',
  'constructor',
  '%00',
  '1%00',
  '..%2f..%2fetc%2fpasswd',
  '%2e%2e%2f',
  '%E0%A4%A',
  '%F0%9F%A6%8E',
  "1'%20OR%20'1'='1",
  '%3Cscript%3Ealert(1)%3C/script%3E',
  '1%0d%0aSet-Cookie:%20x=y',
  'x'.repeat(2_000),
  '2026-13',
  '0001-01',
  '9999-12',
] as const;

type Asked = { method: string; url: string; headers?: Record<string, string>; payload?: string };

/** How many rows were ever changed through the connection of the application, as SQLite counts them. */
const changesOf = () => app.db.$client.prepare('SELECT total_changes()').pluck().get();

/** Sends a request and checks what holds for every answer. */
async function ask({ method, url, headers = {}, payload }: Asked): Promise<number> {
  tried += 1;
  const before = faults.length;
  const changes = changesOf();
  const answer = await app.app.inject({
    method: method as 'GET',
    url,
    headers: { 'sec-fetch-site': 'same-origin', ...headers },
    ...(payload === undefined ? {} : { payload }),
  });
  const told = `${method} ${url.slice(0, 200)} ${JSON.stringify(headers)} ${String(payload).slice(0, 80)}: ${answer.statusCode} ${faults.at(before) ?? ''}`;
  expect(answer.statusCode, told).toBeLessThan(500);
  expect(faults.length, told).toBe(before);
  // What is only read is changed by nothing (RFC 9110 section 9.2.1), and text says how it is written (ASVS 4.1.1).
  if (!['POST', 'PUT', 'PATCH', 'DELETE'].includes(method)) expect(changesOf(), told).toBe(changes);
  if (/^text\/|json|svg/.test(String(answer.headers['content-type'])))
    expect(String(answer.headers['content-type']), told).toMatch(/charset=utf-8/i);
  // None is set but the one that signing out takes away.
  expect(String(answer.headers['set-cookie'] ?? ''), told).toMatch(/^$|^basking-ledger=; Max-Age=0;/);
  if (answer.statusCode >= 400 && method !== 'HEAD') {
    expect(String(answer.headers['content-type']), told).toContain('text/html');
    expect(answer.body, told).not.toMatch(/\n\s+at |node:internal|\.ts:\d|SQLITE|SqliteError|ZodError|TypeError/);
    expect(answer.body, told).not.toContain('<script>alert');
    expect(answer.headers['content-security-policy'], told).toContain("default-src 'none'");
  }
  if (answer.statusCode === 303) putBack();
  return answer.statusCode;
}

const form = { 'content-type': 'application/x-www-form-urlencoded' };
const withIds = (url: string, id: string) => url.replace(/:[A-Za-z]+/g, id);

test('The application lists its routes, and they are those of its pages', () => {
  const urls = new Set(routes.map(({ url }) => url));
  for (const url of ['/', '/roadmap', '/species/:key/values/:figure', '/export/calendar.ics'])
    expect([...urls], url).toContain(url);
  expect(urls.size).toBeGreaterThan(130);
  expect(routes.filter(({ method }) => method === 'POST').length).toBeGreaterThan(60);
});

test(
  'Every method at every address is taken or answered by a page',
  async () => {
    const known = new Map<string, Set<string>>();
    for (const { method, url } of routes) known.set(url, (known.get(url) ?? new Set()).add(method));
    // CONNECT never reaches a handler: Node ends the connection.
    const methods = METHODS.filter(
      (one) =>
        one !== 'CONNECT' &&
        ['DELETE', 'GET', 'HEAD', 'OPTIONS', 'PATCH', 'POST', 'PUT', 'TRACE', 'QUERY'].includes(one),
    );
    for (const [url, taken] of known) {
      for (const method of methods) {
        if (/\/(plan|study|stop)$/.test(url) && method === 'POST') continue;
        const status = await ask({ method, url: withIds(url, '1') });
        if (!taken.has(method)) expect([400, 403, 404, 405, 415], `${method} ${url}`).toContain(status);
      }
    }
  },
  within(120_000),
);

test(
  'An address with an id that means nothing is not found, for reading and for writing',
  async () => {
    const withId = routes.filter(({ url, method }) => url.includes(':') && method !== 'HEAD');
    expect(withId.length).toBeGreaterThan(120);
    // In the suite each route meets a few of them, and all of them together meet every one many times.
    const each = Math.min(oddIds.length, Math.ceil(4 * effort.times));
    for (const [place, { method, url }] of withId.entries()) {
      for (let turn = 0; turn < each; turn += 1) {
        const id = oddIds[(place * 5 + turn * 7 + effort.seed) % oddIds.length]!;
        const status = await ask({
          method,
          url: withIds(url, id),
          ...(method === 'POST' ? { headers: form, payload: 'version=1' } : {}),
        });
        expect([200, 303, 400, 403, 404, 409, 414, 422, 429], `${method} ${url} ${id.slice(0, 40)}`).toContain(status);
      }
    }
  },
  within(240_000),
);

test(
  'A body of another kind, an empty one, a broken one or none is refused by a page',
  async () => {
    const bodies: Omit<Asked, 'method' | 'url'>[] = [
      {},
      { headers: form },
      { headers: form, payload: '' },
      { headers: form, payload: '&&&===&' },
      { headers: form, payload: '__proto__=1&constructor=2&toString=3&hasOwnProperty=4' },
      { headers: form, payload: '__proto__[polluted]=1&a[]=1&a[]=2&b[c]=1' },
      { headers: form, payload: 'version=1&version=2' },
      { headers: form, payload: 'name=%E9%ff&version=%' },
      { headers: form, payload: 'name=%ED%A0%80&notes=\u0000' },
      { headers: { 'content-type': 'application/json' }, payload: '{"version":1,"__proto__":{"x":1}}' },
      { headers: { 'content-type': 'text/plain' }, payload: 'version=1' },
      {
        headers: { 'content-type': 'multipart/form-data; boundary=x' },
        payload: '--x\r\nContent-Disposition: form-data; name="version"\r\n\r\n1\r\n--x--',
      },
      { headers: { 'content-type': '' }, payload: 'version=1' },
      { headers: { 'content-type': 'nonsense' }, payload: 'version=1' },
      { headers: { 'content-type': 'application/x-www-form-urlencoded; charset=utf-7' }, payload: 'version=+AG' },
    ];
    for (const { method, url } of routes.filter((one) => one.method === 'POST')) {
      if (/\/(plan|study|stop)$/.test(url)) continue;
      for (const body of bodies) {
        const status = await ask({ method, url: withIds(url, '1'), ...body });
        // A password that is wrong or missing is refused as such.
        expect([200, 303, 400, 403, 404, 409, 415, 422, 429], `${url} ${JSON.stringify(body)}`).toContain(status);
      }
    }
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  },
  within(240_000),
);

test(
  'Any query of any page is answered, and says nothing that the page does not mean',
  async () => {
    const readable = routes.filter(({ method, url }) => method === 'GET' && !/assets|ledger\.json/.test(url));
    const names = [
      'kind',
      'done',
      'from',
      'a',
      'b',
      'name',
      'group',
      'lamp',
      'trial',
      'proposal',
      'readings',
      'plan',
      'animal',
      'enclosure',
      'upgrade',
      'height',
      'copy',
      'remind',
      'mark',
      'x',
      'y',
      'z',
      '__proto__',
      'uv',
      'meter',
    ];
    const query = fc.array(fc.tuple(fc.oneof(fc.constantFrom(...names), nearly('abc[]%', 5)), anyText), {
      maxLength: 4,
    });
    const raw = nearly('&=%+;?#abc[]0', 30);
    const asked = fc.tuple(
      fc.constantFrom(...readable),
      fc.oneof(
        query.map((pairs) => new URLSearchParams(pairs).toString()),
        raw,
      ),
    );
    await fc.assert(
      fc.asyncProperty(asked, async ([{ url }, text]) => {
        await ask({ method: 'GET', url: `${withIds(url, '1')}?${text.replaceAll('#', '%23')}`.slice(0, 60_000) });
      }),
      tries(400),
    );
  },
  within(240_000),
);

test('A host is let in exactly when a browser would name one of this computer by it', async () => {
  const host = fc.oneof(
    anyText,
    nearly('localhst127.0:[]@/ ', 14),
    fc.constantFrom(
      'localhost:1',
      '127.0.0.1:80',
      '[::1]',
      'LOCALHOST',
      'localhost.',
      '127.1',
      '2130706433',
      '[::ffff:127.0.0.1]',
    ),
  );
  await fc.assert(
    fc.asyncProperty(host, async (text) => {
      tried += 1;
      const printable = text.replace(/[^\t\x20-\x7e\x80-\xff]/g, '').trim();
      const answer = await app.app.inject({ method: 'GET', url: '/nowhere', headers: { host: printable } });
      expect([404, 421], JSON.stringify(printable)).toContain(answer.statusCode);
      if (answer.statusCode !== 404 || printable === '') return;
      // The WHATWG URL standard, by Node's own reader.
      expect(['localhost', '127.0.0.1', '[::1]']).toContain(new URL(`http://${printable}/`).hostname);
    }),
    tries(300),
  );
});

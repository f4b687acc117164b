import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, onTestFinished, test } from 'vitest';
import { readAssets } from '../../server/assets.ts';
import { ownComputerOnly } from '../../server/gate.ts';
import type { Page } from '../../server/page.ts';
import { AppError } from '../../src/errors.ts';
import { money } from '../../src/money.ts';
import { startApp, textOf, textsOf } from '../support/app.ts';

/** Routes that fail in each way, and one that counts what reached it. */
function failingPages() {
  const received: unknown[] = [];
  const page: Page = (app) => {
    app.post('/count', (request, reply) => {
      received.push(request.body);
      return reply.redirect('/', 303);
    });
    app.get('/broken', () => {
      throw new Error('SQLITE_ERROR: no such table: secrets at /home/keeper/ledger.sqlite');
    });
    app.get('/gone', () => {
      throw new AppError('not_found', 'That enclosure was removed.');
    });
    app.get('/changed', () => {
      throw new AppError('conflict', 'The plan was replaced meanwhile.');
    });
    app.get('/nonsense', () => {
      throw new AppError('invalid', 'A plan needs a month.');
    });
  };
  return { received, page };
}

describe('The headers of a page', () => {
  test('allow nothing but our own files, and no other page may frame it', async () => {
    const { get } = await startApp();
    const { headers } = await get('/');
    expect(String(headers['content-security-policy']).split(';').sort()).toEqual([
      "base-uri 'none'",
      "connect-src 'self'",
      "default-src 'none'",
      "form-action 'self'",
      "frame-ancestors 'none'",
      "img-src 'self'",
      "object-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
    ]);
    expect(headers['referrer-policy']).toBe('same-origin');
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['strict-transport-security']).toBeUndefined();
    expect(headers['cache-control']).toBe('private, no-cache');
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
  });

  test('are the same on a page that does not exist and at an address that cannot be decoded', async () => {
    const { get } = await startApp();
    const there = await get('/');
    for (const address of ['/nowhere', '/%E0%A4%A']) {
      const missing = await get(address);
      for (const name of ['content-security-policy', 'referrer-policy', 'x-content-type-options', 'cache-control']) {
        expect(missing.headers[name], `${address} ${name}`).toBe(there.headers[name]);
      }
    }
  });
});

describe('The files of the looks', () => {
  test('are linked from the page under names that carry a hash, may be kept for ever, and have their own type', async () => {
    const { get } = await startApp();
    const page = await get('/');
    const links = [...page.document.querySelectorAll('link[href], script[src]')].map(
      (one) => one.getAttribute('href') ?? one.getAttribute('src')!,
    );
    expect(links).toHaveLength(3);
    for (const link of links) {
      expect(link).toMatch(/^\/assets\/[a-z]+\.[0-9a-f]{12}\.(css|js|svg)$/);
      const file = await get(link);
      expect(file.status).toBe(200);
      expect(file.headers['cache-control']).toBe('public, max-age=31536000, immutable');
      expect(file.headers['content-type']).toMatch(/^(text\/css|text\/javascript|image\/svg\+xml)/);
    }
  });

  test('are sent packed to whom takes that, the style sheet in less than 20 kB, and plain to others', async () => {
    const { app, get } = await startApp();
    const link = (await get('/')).document.querySelector('link[rel=stylesheet]')!.getAttribute('href')!;
    const ask = (accepted: string) =>
      app.inject({ url: link, headers: { host: '127.0.0.1', 'accept-encoding': accepted } });
    const [packed, plain] = [await ask('br, gzip'), await ask('gzip;q=0')];
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(packed.rawPayload.length).toBeLessThan(20_000);
    expect(plain.headers['content-encoding']).toBeUndefined();
    expect(gunzipSync(packed.rawPayload).equals(plain.rawPayload)).toBe(true);
    for (const one of [packed, plain]) expect(one.headers.vary).toBe('accept-encoding');
  });

  test("and pages are packed for the ledger's own links and for typed addresses, not for what another site asks for", async () => {
    const { app } = await startApp();
    const ask = (site: string | null, accepted = 'gzip', method: 'GET' | 'HEAD' = 'GET') =>
      app.inject({
        method,
        url: '/about',
        headers: { 'accept-encoding': accepted, ...(site === null ? {} : { 'sec-fetch-site': site }) },
      });
    const plain = await ask('none', 'identity');
    expect(plain.headers['content-encoding']).toBeUndefined();
    for (const site of [null, 'none', 'same-origin']) {
      const packed = await ask(site);
      expect(packed.headers['content-encoding']).toBe('gzip');
      expect(packed.headers.vary).toMatch(/Sec-Fetch-Site.*Accept-Encoding/);
      expect(Number(packed.headers['content-length'])).toBe(packed.rawPayload.length);
      expect(packed.rawPayload.length).toBeLessThan(plain.rawPayload.length / 2);
      expect(gunzipSync(packed.rawPayload).equals(plain.rawPayload)).toBe(true);
    }
    for (const site of ['cross-site', 'same-site'])
      expect((await ask(site)).rawPayload.equals(plain.rawPayload), site).toBe(true);
    expect((await ask('none', 'gzip', 'HEAD')).rawPayload).toHaveLength(0);
  });

  test('change their name when their content changes', () => {
    const folder = mkdtempSync(join(tmpdir(), 'assets-'));
    onTestFinished(() => rmSync(folder, { recursive: true }));
    writeFileSync(join(folder, 'style.css'), 'a{}');
    const before = readAssets(folder).get('style.css')!.href;
    writeFileSync(join(folder, 'style.css'), 'b{}');
    expect(readAssets(folder).get('style.css')!.href).not.toBe(before);
  });

  test.each([
    '/assets/style.css',
    '/assets/style.000000000000.css',
    '/assets/..%2f..%2fpackage.json',
    '/assets/%2e%2e%2flayout.hbs',
    '/assets/',
  ])('are not found as %s', async (path) => {
    const { get } = await startApp();
    expect((await get(path)).status).toBe(404);
  });
});

describe('Failures', () => {
  test('A page that does not exist is a 404 page in the layout with a way back', async () => {
    const { get } = await startApp();
    const page = await get('/nowhere');
    expect(page.status).toBe(404);
    expect(textsOf(page, 'h1')).toEqual(['There is no such page']);
    expect(textsOf(page, 'nav a').length).toBeGreaterThan(5);
    expect(page.document.querySelector('main a[href="/"]')).not.toBeNull();
  });

  test.each<[string, Page]>([
    ['the database', (app, { db }) => app.get('/fails', () => db.$client.prepare('SELECT * FROM no_such_table').all())],
    ['the domain', (app) => app.get('/fails', () => money(Number.NaN))],
    [
      'a template',
      (app, { render }) =>
        app.get('/fails', (_request, reply) => render(reply, 'home', {}, { title: 'x', current: null })),
    ],
    ['a package', (app) => app.get('/fails', () => JSON.parse('{"cut'))],
  ])('A fault in %s shows the page of a fault, and no stack, SQL or path', async (_layer, page) => {
    const lines: string[] = [];
    const { get } = await startApp({ morePages: [page], log: { write: (line) => lines.push(line) } });
    const answer = await get('/fails');
    expect(answer.status).toBe(500);
    expect(textOf(answer)).toContain('Something went wrong in the program');
    expect(answer.body).not.toMatch(/\n\s+at |node:|\.ts\b|\.hbs|SELECT|no_such_table|SQLITE|NaN|JSON|Error\b/);
    expect(lines.length).toBe(1);
  });

  test('A fault of the program shows a number to look up in the log and nothing of what went wrong', async () => {
    const lines: string[] = [];
    const { get } = await startApp({ morePages: [failingPages().page], log: { write: (line) => lines.push(line) } });
    const page = await get('/broken');
    expect(page.status).toBe(500);
    for (const inner of ['SQLITE', 'secrets', '/home', 'Error', '.ts', 'node_modules'])
      expect(page.body).not.toContain(inner);
    const number = textOf(page.document.querySelector('code'));
    expect(number).toMatch(/^[0-9a-f]{8}$/);
    expect(lines.map((line) => JSON.parse(line))).toEqual([
      expect.objectContaining({
        reqId: number,
        err: expect.objectContaining({ type: 'Error', stack: expect.stringContaining('app.test.ts') }),
      }),
    ]);
  });

  test.each([
    ['/gone', 404, 'That enclosure was removed.'],
    ['/changed', 409, 'The plan was replaced meanwhile.'],
    ['/nonsense', 422, 'A plan needs a month.'],
  ])('What %s threw for the person is shown with status %i', async (path, status, sentence) => {
    const { get } = await startApp({ morePages: [failingPages().page] });
    const page = await get(path);
    expect(page.status).toBe(status);
    expect(textOf(page)).toContain(sentence);
  });

  test('An address that cannot be decoded is a page of ours too', async () => {
    const { get } = await startApp();
    const page = await get('/%zz');
    expect(page.status).toBe(400);
    expect(textsOf(page, 'h1')).toEqual(['That request could not be read']);
    expect((await get('/%zz', { host: 'example.org' })).status).toBe(421);
  });
});

describe('The gate for hosts', () => {
  test.each(['localhost', 'localhost:4380', '127.0.0.1:4380', '[::1]:4380', 'LOCALHOST:80', 'ledger.lan:4380'])(
    'lets %s in',
    async (host) => {
      const { get } = await startApp({ reach: { ...ownComputerOnly, hosts: ['ledger.lan'] } });
      expect((await get('/', { host })).status).toBe(200);
    },
  );

  test.each([
    'example.org',
    'localhost.example.org',
    '127.0.0.1.nip.io:4380',
    'localhost:4380:80',
    'localhost:',
    '127.0.0.1@evil',
    ' ',
    'localhost, example.org',
    '127.0.0.2',
  ])('answers %j with 421 and never with the ledger', async (host) => {
    const { get } = await startApp();
    const page = await get('/', { host });
    expect(page.status).toBe(421);
    expect(textsOf(page, 'h1')).toEqual(['This ledger does not go by that address']);
  });
});

describe('The gate for writes', () => {
  const form = 'application/x-www-form-urlencoded';
  const cases: [string, Record<string, string>, boolean][] = [
    ['a form of our own in a present browser', { 'sec-fetch-site': 'same-origin', origin: 'http://localhost' }, true],
    ['a form of our own where no Sec-Fetch-Site is sent', { origin: 'http://localhost' }, true],
    ['another site', { 'sec-fetch-site': 'cross-site', origin: 'http://example.org' }, false],
    ['another site that claims our origin', { 'sec-fetch-site': 'cross-site', origin: 'http://localhost' }, false],
    ['another port of this computer', { 'sec-fetch-site': 'same-site', origin: 'http://localhost:9' }, false],
    ['a typed address or bookmark', { 'sec-fetch-site': 'none' }, false],
    ['an old browser on another site', { origin: 'http://example.org' }, false],
    ['an origin that is hidden', { origin: 'null' }, false],
    ['our origin over https', { origin: 'https://localhost' }, false],
    ['another port where no Sec-Fetch-Site is sent', { origin: 'http://localhost:9' }, false],
    ['no header at all', {}, false],
  ];
  test.each(cases)('%s', async (_name, headers, taken) => {
    const { received, page } = failingPages();
    const { app } = await startApp({ morePages: [page] });
    const answer = await app.inject({
      method: 'POST',
      url: '/count',
      payload: 'a=1',
      headers: { host: 'localhost', 'content-type': form, ...headers },
    });
    expect(answer.statusCode).toBe(taken ? 303 : 403);
    expect(received).toHaveLength(taken ? 1 : 0);
    if (!taken) expect(answer.body).toContain('Nothing was changed');
  });

  test.each(['PUT', 'PATCH', 'DELETE'] as const)(
    'stops %s from another site before it looks for a page',
    async (method) => {
      const { app } = await startApp();
      expect((await app.inject({ method, url: '/', headers: { 'sec-fetch-site': 'cross-site' } })).statusCode).toBe(
        403,
      );
    },
  );
});

describe('The body of a form', () => {
  test('may be 64 KiB and not a byte more', async () => {
    const { received, page } = failingPages();
    const { post } = await startApp({ morePages: [page] });
    expect((await post('/count', { a: 'x'.repeat(64 * 1024 - 2) })).status).toBe(303);
    const answer = await post('/count', { a: 'x'.repeat(64 * 1024 - 1) });
    expect(answer.status).toBe(413);
    expect(textsOf(answer, 'h1')).toEqual(['That is too much at once']);
    expect(received).toHaveLength(1);
  });

  test.each<[string, string | Buffer]>([
    ['Latin-1 letters', 'name=%E9t%E9'],
    ['a lone percent sign', 'name=100%&version=1'],
    ['half of a surrogate pair', 'name=%ED%A0%80'],
    ['bytes that are not escaped', Buffer.from('name=caf\xe9', 'latin1')],
  ])('must be UTF-8, which %s are not', async (_what, payload) => {
    const { page, received } = failingPages();
    const { app } = await startApp({ morePages: [page] });
    const headers = { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' };
    const answer = await app.inject({ method: 'POST', url: '/count', payload, headers });
    expect(answer.statusCode).toBe(422);
    expect(answer.body).toContain('came in characters that could not be read');
    expect(received).toEqual([]);
    // Every character of Unicode is taken as it is.
    const name = 'caf\u00e9 100 % \u{1F98E}+&=';
    await app.inject({ method: 'POST', url: '/count', payload: new URLSearchParams({ name }).toString(), headers });
    expect(received).toMatchObject([{ name }]);
  });

  test('may carry each field once', async () => {
    const { received, page } = failingPages();
    const { app } = await startApp({ morePages: [page] });
    const headers = { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' };
    const answer = await app.inject({ method: 'POST', url: '/count', payload: 'price=1&price=2', headers });
    expect(answer.statusCode).toBe(422);
    expect(answer.body).toContain('&quot;price&quot; more than once');
    expect(received).toEqual([]);
  });

  test.each(['application/json', 'text/plain', 'multipart/form-data; boundary=x'])(
    'is not taken as %s',
    async (type) => {
      const { received, page } = failingPages();
      const { post } = await startApp({ morePages: [page] });
      expect((await post('/count', { a: '1' }, { 'content-type': type })).status).toBe(415);
      expect(received).toEqual([]);
    },
  );
});

test('A stop does not wait for a browser that has begun a request and sends no more', async () => {
  const { app } = await startApp();
  await app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = app.server.address() as { port: number };
  const socket = connect(port, '127.0.0.1');
  onTestFinished(() => void socket.destroy());
  socket.on('error', () => undefined);
  await new Promise<void>((resolve) => {
    socket.on('data', () => resolve());
    // One whole request, whose answer shows that the second, unfinished one has arrived too.
    socket.write('GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\nGET / HTTP/1.1\r\nHost:');
  });
  const stopped = app.close().then(() => 'stopped');
  const waited = new Promise((resolve) => setTimeout(resolve, 1_500, 'still waiting'));
  expect(await Promise.race([stopped, waited])).toBe('stopped');
});

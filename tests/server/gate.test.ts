// The gate, tried with every combination of where a request says that it comes from, and over a real socket with what no browser sends.

import { connect } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { type AppParts, buildApp } from '../../server/app.ts';
import { openMemory } from '../../server/db/open.ts';
import { type KnockingRequest, ownComputerOnly, type Reach, refusalOf } from '../../server/gate.ts';
import type { Page } from '../../server/page.ts';
import { startApp, testMoment, textsOf } from '../support/app.ts';

const reach: Reach = {
  origin: 'https://ledger.example',
  hosts: ['ledger.lan'],
  ownAddresses: () => ['192.168.1.20', 'fd00::1'],
};

/** Each Host with the origin that its own pages have, null where the ledger does not go by it. */
const hosts: Readonly<Record<string, string | null>> = {
  localhost: 'http://localhost',
  '127.0.0.1:4380': 'http://127.0.0.1:4380',
  '[::1]:4380': 'http://[::1]:4380',
  'ledger.lan:4380': 'http://ledger.lan:4380',
  'ledger.example': 'https://ledger.example',
  '192.168.1.20:4380': 'http://192.168.1.20:4380',
  '[fd00::1]:4380': 'http://[fd00::1]:4380',
  'evil.example': null,
  'ledger.example:8443': null,
  'ledger.example.': null,
  'evil.ledger.lan': null,
  'ledger.lan.evil.example': null,
  '192.168.1.21': null,
  '192.168.1.20.evil.example': null,
  'ledger.lan:4380:80': null,
  'ledger.lan@evil.example': null,
  'ledger.lan/': null,
  'ledger.lan ': null,
  '-ledger.lan': null,
  '[fd00::2]': null,
  '': null,
};
const sites = [undefined, 'same-origin', 'same-site', 'cross-site', 'none', 'SAME-ORIGIN', ''];
const foreignOrigins = [undefined, 'null', '', 'http://evil.example', 'http://localhost:9', 'ftp://ledger.lan:4380'];
const methods = ['GET', 'HEAD', 'OPTIONS', 'POST', 'PUT', 'PATCH', 'DELETE', 'QUERY', undefined];

const knock = (method: string | undefined, headers: Record<string, string | undefined>): KnockingRequest => {
  const sent = Object.fromEntries(Object.entries(headers).filter(([, value]) => value !== undefined));
  return { method, url: '/', headers: sent, rawHeaders: Object.entries(sent).flat() as string[] };
};

// By the algorithm of OWASP's cheat sheet on cross-site request forgery: fetch metadata first, the origin where there is none.
test('Only what the ledger itself sent changes anything, whatever a request says of itself', () => {
  const counts = { taken: 0, refused: 0 };
  for (const [host, own] of Object.entries(hosts)) {
    for (const site of sites) {
      for (const origin of [own ?? undefined, 'https://ledger.example', ...foreignOrigins]) {
        for (const method of methods) {
          const told = JSON.stringify({ method, host, site, origin });
          const refusal = refusalOf(knock(method, { host, 'sec-fetch-site': site, origin }), reach);
          const isReading = method === 'GET' || method === 'HEAD' || method === 'OPTIONS';
          const isOwn =
            site === undefined ? origin === own || origin === 'https://ledger.example' : site === 'same-origin';
          const expected =
            own === null
              ? 'foreign-host'
              : isReading || (isOwn && (site ?? origin) !== undefined)
                ? null
                : 'foreign-site';
          expect(refusal, told).toBe(expected);
          counts[refusal === null ? 'taken' : 'refused'] += 1;
        }
      }
    }
  }
  expect(counts.taken).toBeGreaterThan(1000);
  expect(counts.refused).toBeGreaterThan(5000);
});

test('Another site may lead to a page and draw none of our files into its own', () => {
  const get = (site: string, mode: string | undefined) =>
    refusalOf(knock('GET', { host: 'localhost', 'sec-fetch-site': site, 'sec-fetch-mode': mode }), ownComputerOnly);
  for (const mode of ['no-cors', 'cors', 'same-origin', 'websocket'])
    expect(get('cross-site', mode)).toBe('foreign-site');
  for (const mode of ['navigate', undefined]) expect(get('cross-site', mode)).toBeNull();
  for (const site of ['same-origin', 'none']) expect(get(site, 'no-cors')).toBeNull();
});

test('A ledger of this computer alone goes by no other name', () => {
  for (const [host, own] of Object.entries(hosts)) {
    const isThisComputer = own !== null && /localhost|127\.0\.0\.1|::1\]/.test(host) && !host.includes('fd00');
    expect(refusalOf(knock('GET', { host }), ownComputerOnly), host).toBe(isThisComputer ? null : 'foreign-host');
  }
});

const form = 'application/x-www-form-urlencoded';

test('The application itself does as the gate says, and takes nothing but forms', async () => {
  const received: unknown[] = [];
  const page: Page = (app) => {
    app.post('/count', (request, reply) => {
      received.push(request.body);
      return reply.redirect('/', 303);
    });
  };
  const { app } = await startApp({ reach, morePages: [page] });
  const types = [
    form,
    `${form}; charset=utf-8`,
    'application/json',
    'text/plain',
    'text/xml',
    'multipart/form-data; boundary=a',
    `${form}, text/plain`,
    '',
  ];
  let taken = 0;
  for (const host of ['localhost', 'ledger.lan:4380', 'evil.example']) {
    for (const site of [undefined, 'same-origin', 'cross-site']) {
      for (const origin of [undefined, hosts[host] ?? 'http://evil.example', 'null']) {
        for (const type of types) {
          const headers = {
            host,
            'content-type': type,
            ...(site === undefined ? {} : { 'sec-fetch-site': site }),
            ...(origin === undefined ? {} : { origin }),
          };
          const answer = await app.inject({ method: 'POST', url: '/count', payload: 'a=1', headers });
          const isOwn = site === undefined ? origin === hosts[host] : site === 'same-origin';
          const expected =
            hosts[host] === null ? 421 : !isOwn ? 403 : type.startsWith(form) && !type.includes(',') ? 303 : 415;
          expect(answer.statusCode, JSON.stringify(headers)).toBe(expected);
          // A page is packed for who takes that; a redirect has nothing to pack.
          const packing = answer.statusCode === 303 ? [] : ['Accept-Encoding'];
          expect(String(answer.headers.vary).split(', ').sort()).toEqual([
            ...packing,
            'Cookie',
            'Origin',
            'Sec-Fetch-Site',
          ]);
          if (answer.statusCode === 303) taken += 1;
          else expect(answer.body).toContain('<h1>');
        }
      }
    }
  }
  expect(received).toHaveLength(taken);
  expect(taken).toBe(16);
});

/** Says something to a port as it stands, and gives the whole answer once the other side ends or `enough` of it came. */
function say(port: number, text: string | readonly string[], enough = /\r\n\r\n/): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1');
    onTestFinished(() => void socket.destroy());
    let answer = '';
    socket.on('data', (chunk) => {
      answer += chunk.toString('latin1');
      if (enough.test(answer)) resolve(answer);
    });
    socket.on('error', (problem) => (answer === '' ? reject(problem) : resolve(answer)));
    socket.on('close', () => resolve(answer));
    for (const part of [text].flat()) socket.write(part, 'latin1');
  });
}

async function listening(parts: Partial<AppParts> = {}): Promise<number> {
  const { app } = await startApp(parts);
  await app.listen({ host: '127.0.0.1', port: 0 });
  return (app.server.address() as { port: number }).port;
}

test('Over a real socket a Host that is missing, sent twice, odd or in the first line is answered with 421', async () => {
  const port = await listening();
  const own = `127.0.0.1:${port}`;
  const heads: [string, number][] = [
    [`GET / HTTP/1.1\r\nHost: ${own}`, 200],
    ['GET / HTTP/1.1\r\nAccept: */*', 421],
    ['GET / HTTP/1.0', 421],
    ['GET / HTTP/1.1\r\nHost:', 421],
    [`GET / HTTP/1.1\r\nHost: ${own}\r\nHost: ${own}`, 421],
    [`GET / HTTP/1.1\r\nHost: ${own}\r\nHost: evil.example`, 421],
    [`GET / HTTP/1.1\r\nHost: evil.example\r\nHost: ${own}`, 421],
    [`GET / HTTP/1.1\r\nhost: ${own}\r\nHOST: evil.example`, 421],
    [`GET / HTTP/1.1\r\nHost: evil.example\r\nX-Forwarded-Host: ${own}`, 421],
    [`GET / HTTP/1.1\r\nHost: ${own}, evil.example`, 421],
    [`GET http://evil.example/ HTTP/1.1\r\nHost: ${own}`, 421],
    [`GET http://${own}/ HTTP/1.1\r\nHost: evil.example`, 421],
    ['GET / HTTP/1.1\r\nHost: 127.1', 421],
    ['GET / HTTP/1.1\r\nHost: 2130706433', 421],
    ['GET / HTTP/1.1\r\nHost: localhost\xe4', 421],
  ];
  for (const [head, status] of heads)
    expect(await say(port, `${head}\r\nConnection: close\r\n\r\n`), head).toMatch(new RegExp(`^HTTP/1.1 ${status} `));
});

test('A slow browser is not waited for, neither for the head of a request nor for its body, while others are answered', async () => {
  const port = await listening({ patience: { head: 200, whole: 400, lookedAtEvery: 50 } });
  const host = `Host: 127.0.0.1:${port}\r\n`;
  const post = `POST /animals/new HTTP/1.1\r\n${host}Sec-Fetch-Site: same-origin\r\nContent-Type: ${form}\r\n`;
  const slow = [
    say(port, `GET / HTTP/1.1\r\n${host}`, /never/),
    say(port, `${post}Content-Length: 1000\r\n\r\nname=`, /never/),
    say(port, `${post}Transfer-Encoding: chunked\r\n\r\n1\r\na\r\n`, /never/),
  ];
  expect(await say(port, `GET / HTTP/1.1\r\n${host}\r\n`)).toMatch(/^HTTP\/1.1 200 /);
  for (const answer of await Promise.all(slow)) expect(answer).toMatch(/^HTTP\/1.1 408 |^$/);
});

test('A body that is too long, or never ends, is refused over a real socket without being read to its end', async () => {
  const port = await listening();
  const post = `POST /animals/new HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nSec-Fetch-Site: same-origin\r\nContent-Type: ${form}\r\n`;
  expect(await say(port, `${post}Content-Length: 65537\r\n\r\n`)).toMatch(/^HTTP\/1.1 413 /);
  const chunk = `4000\r\n${'x'.repeat(0x4000)}\r\n`;
  expect(await say(port, `${post}Transfer-Encoding: chunked\r\n\r\n${chunk.repeat(5)}`)).toMatch(/^HTTP\/1.1 413 /);
});

test('Over https, and there alone, a browser is told to come by https from then on', async () => {
  const { app } = await startApp({ reach });
  const header = async (host: string) => (await app.inject({ url: '/', headers: { host } })).headers;
  expect((await header('ledger.example'))['strict-transport-security']).toBe('max-age=31536000');
  expect((await header('ledger.lan'))['strict-transport-security']).toBeUndefined();
  const lan = await startApp({ reach: { ...reach, origin: 'http://ledger.example' } });
  expect((await lan.get('/', { host: 'ledger.example' })).headers['strict-transport-security']).toBeUndefined();
  // Headers that a browser ignores over plain http on a network, and complains of.
  for (const name of ['cross-origin-opener-policy', 'origin-agent-cluster']) {
    expect((await header('ledger.example'))[name], name).toBeDefined();
    expect((await header('localhost'))[name], name).toBeDefined();
    expect((await header('ledger.lan'))[name], name).toBeUndefined();
  }
});

const canary = (what: string) => `canary-${what}-5b1e`;

test('Nothing private reaches a log or an error page, and no request can forge a line of the log', async () => {
  const lines: string[] = [];
  const page: Page = (app) => {
    app.post('/broken', () => {
      throw Object.assign(new Error('SQLITE_ERROR: no such table at /home/keeper'), {
        params: [canary('param')],
        body: canary('body'),
      });
    });
    app.post('/logs', (request) => {
      request.log.warn(
        { headers: request.headers, body: request.body, password: canary('password'), req: request },
        'a careless line',
      );
      throw new Error('after it');
    });
  };
  const { app } = await startApp({ morePages: [page], log: { write: (line) => void lines.push(line) } });
  const headers = {
    'content-type': form,
    'sec-fetch-site': 'same-origin',
    cookie: `basking-ledger=${canary('cookie')}`,
    authorization: `Bearer ${canary('authorization')}`,
    referer: `http://localhost/?q=${canary('referer')}`,
  };
  const send = (url: string, more: Record<string, string> = {}) =>
    app.inject({
      method: 'POST',
      url: `${url}?q=${canary('query')}`,
      payload: `password=${canary('password')}&notes=${canary('field')}`,
      headers: { ...headers, ...more },
    });
  const answers = [
    await send('/broken'),
    await send('/logs'),
    await send('/sign-in'),
    await send('/nowhere'),
    await send('/animals/new', { 'content-type': 'text/plain' }),
    await send('/animals/new', { 'sec-fetch-site': 'cross-site' }),
    await send('/animals/new', { host: 'evil.example' }),
    await send('/a%0d%0a%7b%22level%22:30%7d%1b[31m', { host: 'evil.example' }),
    await send('/%zz'),
  ];
  expect(answers.map((one) => one.statusCode)).toEqual([500, 500, 403, 404, 415, 403, 421, 421, 400]);
  await app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = app.server.address() as { port: number };
  for (const path of ['/\x1b[31mred', '/a\x0b{"level":30}', '/\x7f\xff', `/${'a'.repeat(4000)}`])
    await say(port, `GET ${path}?q=${canary('query')} HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n`);
  expect(lines.length).toBeGreaterThan(7);
  for (const line of lines) {
    // One write, one line, one object of our own, and nothing a terminal obeys.
    expect(line.endsWith('\n')).toBe(true);
    expect(line.slice(0, -1)).not.toMatch(/[\p{Cc}\u2028\u2029]/u);
    expect(JSON.parse(line)).toMatchObject({
      level: expect.any(Number),
      msg: expect.any(String),
      reqId: expect.any(String),
    });
    expect(line.length).toBeLessThan(4000);
  }
  const all = lines.join('');
  expect(all).toContain('a careless line');
  expect(all).not.toContain('canary-');
  for (const { body } of answers) {
    expect(body).not.toMatch(/canary-|SQLITE|\/home|node_modules|\.ts:|\n\s+at /);
    expect(body).toContain('<h1>');
  }
});

test('Where even the page of a failure fails, nothing of either is told', async () => {
  const lines: string[] = [];
  const views = {
    pages: [],
    readThrough: () => {},
    write: () => {
      throw new Error('no template at /home/keeper/views');
    },
  };
  const app = await buildApp({
    db: openMemory(),
    now: () => testMoment,
    views,
    log: { write: (line) => void lines.push(line) },
  });
  onTestFinished(() => app.close());
  const answer = await app.inject({ url: '/about' });
  expect(answer.statusCode).toBe(500);
  expect(answer.headers['content-type']).toBe('text/plain; charset=utf-8');
  expect(answer.body).not.toMatch(/home|template|Error/);
  expect(lines.join('')).toContain('the page of a failure failed too');
  expect(lines.join('')).not.toContain('no template');
});

test('The page of each failure has words of its own in the usual layout', async () => {
  const titles: [number, string][] = [
    [400, 'That request could not be read'],
    [403, 'That was sent from somewhere else'],
    [404, 'There is no such page'],
    [409, 'This was changed meanwhile'],
    [413, 'That is too much at once'],
    [415, 'That kind of file is not taken'],
    [421, 'This ledger does not go by that address'],
    [422, 'That could not be understood'],
    [429, 'Too many tries'],
    [500, 'Something went wrong in the program'],
    [503, 'The ledger cannot be used just now'],
  ];
  const page: Page = (app) => {
    app.get('/fails/:status', (request) => {
      const { status } = request.params as { status: string };
      throw Object.assign(new Error(`secret of ${status}`), { statusCode: Number(status) });
    });
  };
  const { get } = await startApp({ morePages: [page] });
  for (const [status, title] of titles) {
    const answer = await get(`/fails/${status}`);
    expect(answer.status).toBe(status);
    expect(textsOf(answer, 'h1')).toEqual([title]);
    expect(textsOf(answer, 'nav a').length).toBeGreaterThan(5);
    expect(answer.body).not.toContain('secret');
  }
});

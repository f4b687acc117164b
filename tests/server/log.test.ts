import { expect, test } from 'vitest';
import { addRoom } from '../../server/db/rooms.ts';
import { loggedFault } from '../../server/log.ts';
import type { Page } from '../../server/page.ts';
import { startApp } from '../support/app.ts';

const CANARY = 'Pogona-canary-7f3';

test('Nothing that was typed, sent or kept gets into the log or onto the page of a fault, whatever layer fails', async () => {
  const lines: string[] = [];
  const bad: Page = (app, { db, render }) => {
    app.all('/bad/throw', () => {
      throw new RangeError(`a date must be a real day, got ${CANARY}\n    and a second line ${CANARY}`);
    });
    app.all('/bad/text', () => {
      throw CANARY;
    });
    app.all('/bad/nested', () => {
      throw new Error('outer', { cause: new Error(CANARY) });
    });
    app.all('/bad/row', () => {
      const room = { name: CANARY, coldest: null, hottest: null, coldestTyped: '', hottestTyped: '', notes: CANARY };
      addRoom(db, { ...room, name: null } as never);
    });
    app.all('/bad/template', (_request, reply) =>
      render(reply, 'error', { heading: CANARY }, { title: CANARY, current: null }),
    );
    app.all('/bad/json', () => JSON.parse(`{"name": ${CANARY}`));
  };
  const { app } = await startApp({ morePages: [bad], log: { write: (line) => lines.push(line) } });
  const requests = ['throw', 'text', 'nested', 'row', 'template', 'json'].map((which) => ({
    method: 'POST' as const,
    url: `/bad/${which}?q=${CANARY}&password=${CANARY}`,
    headers: {
      cookie: `session=${CANARY}`,
      authorization: `Basic ${CANARY}`,
      'user-agent': CANARY,
      referer: `http://127.0.0.1/${CANARY}`,
      'sec-fetch-site': 'same-origin',
      'content-type': 'application/x-www-form-urlencoded',
    },
    payload: `password=${CANARY}&_token=${CANARY}&notes=${CANARY}`,
  }));
  for (const one of requests) {
    const answer = await app.inject(one);
    expect(answer.statusCode, one.url).toBe(500);
    expect(answer.body, one.url).not.toContain(CANARY);
  }
  expect(lines).toHaveLength(requests.length);
  for (const line of lines) {
    expect(line).not.toContain(CANARY);
    const entry = JSON.parse(line) as { reqId: string; req: { path: string }; time: number };
    expect(entry.reqId).toMatch(/^[0-9a-f]{8}$/);
    expect(entry.req.path).toMatch(/^\/bad\//);
    expect(entry.time).toBeGreaterThan(0);
  }
});

test('No path, however it is written, begins a line of its own in the log', async () => {
  const lines: string[] = [];
  const { app } = await startApp({
    morePages: [(all) => all.get('/bad/*', () => Promise.reject(new TypeError('x')))],
    log: { write: (line) => lines.push(line) },
  });
  for (const path of ['/bad/a%0d%0ab', '/bad/%1b%5b31mred', '/bad/{"level":60}'])
    expect((await app.inject({ method: 'GET', url: path })).statusCode).toBe(500);
  expect(lines).toHaveLength(3);
  for (const line of lines) {
    for (const sign of ['\r', '\n', '\u001b']) expect(line.trimEnd()).not.toContain(sign);
    expect(JSON.parse(line)).toMatchObject({ level: 50 });
  }
});

test('Of a fault of the system the message is kept, and of any other the kind and the places', () => {
  const full = Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC', errno: -28 });
  expect(loggedFault(full)).toMatchObject({
    type: 'Error',
    code: 'ENOSPC',
    message: 'ENOSPC: no space left on device, write',
  });
  const typed = loggedFault(new RangeError('got 12 rue X'));
  expect([typed.type, typed.message]).toEqual(['RangeError', 'left out, since it may hold private text']);
  expect(typed.stack).toContain('log.test.ts');
});

// Who is let in where a password is set, from outside: the real application, its real file of sign-ins, a clock that the test moves.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, onTestFinished, test, vi } from 'vitest';
import { MOST_TRIES, samePlace } from '../../server/access.ts';
import type { AppParts } from '../../server/app.ts';
import { type AccessFile, openAccessFile } from '../../server/db/access.ts';
import { listEnclosures } from '../../server/db/collection.ts';
import { openDatabase } from '../../server/db/open.ts';
import { readWholeLedger } from '../../server/db/whole-ledger.ts';
import { shownWhenAsked } from '../../server/demonstration.ts';
import { ownComputerOnly } from '../../server/gate.ts';
import { readLedgerFile, takeOverLedger, writeLedgerFile } from '../../server/ledger-file.ts';
import type { Page } from '../../server/page.ts';
import { FULL_COST, hashPassword } from '../../server/password.ts';
import { plainDate } from '../../src/calendar.ts';
import {
  type Answer,
  closeApp,
  findForm,
  formValues,
  mistakesOf,
  openApp,
  startApp,
  testMoment,
  textOf,
  textsOf,
} from '../support/app.ts';
import { enclosureTexts } from '../support/collection.ts';
import { keepSmallLedger } from '../support/ledger.ts';

const PASSWORD = 'four words of chance';
const DAY = 86_400_000;
let hash: string;
beforeAll(async () => {
  hash = await hashPassword(PASSWORD, { ...FULL_COST, log2: 10 });
});

const counting = () => {
  const received: unknown[] = [];
  const page: Page = (app) => {
    app.post('/count', (request, reply) => {
      received.push(request.body);
      return reply.redirect('/', 303);
    });
  };
  return { received, page };
};

/** An application with a password, a clock that can be moved, and the cookie as a browser would keep it. */
async function startShut(parts: Partial<AppParts> = {}) {
  const clock = { at: testMoment.getTime() };
  const accessFile = parts.accessFile ?? openAccessFile(':memory:');
  accessFile.changePassword(hash, clock.at);
  const started = await startApp({ accessFile, now: () => new Date(clock.at), ...parts });
  const cookieOf = (answer: Answer) => String(answer.headers['set-cookie'] ?? '').split(';', 1)[0]!;
  const signIn = async (headers: Record<string, string> = {}, password = PASSWORD) =>
    cookieOf(await started.post('/sign-in', { password, to: '/' }, headers));
  const isIn = async (cookie: string) => (await started.get('/', { cookie })).status === 200;
  return { ...started, clock, accessFile, signIn, cookieOf, isIn };
}

/** Every route as Fastify itself prints them: 'GET /animals/:id'. */
function routesOf(printed: string): { method: string; path: string }[] {
  const above: string[] = [];
  return printed.split('\n').flatMap((line) => {
    const match = /^([\s│]*)[├└]── (.*?)(?: \(([A-Z, ]+)\))?$/.exec(line);
    if (match === null) return [];
    const depth = match[1]!.length / 4;
    above.splice(depth, above.length, match[2]!);
    const path = above
      .join('')
      .replaceAll(/\|:[\w]+/g, '')
      .replaceAll('//', '/');
    return (match[3]?.split(', ') ?? []).map((method) => ({ method, path }));
  });
}

describe('Without a sign-in', () => {
  test('nothing is shown or done but the sign-in, the files of the looks and the health check', async () => {
    const { app } = await startShut();
    const open: string[] = [];
    const routes = routesOf(app.printRoutes({ commonPrefix: false }));
    expect(routes.length).toBeGreaterThan(200);
    for (const { method, path } of [
      ...routes,
      { method: 'GET', path: '/nowhere' },
      { method: 'POST', path: '/nowhere' },
    ]) {
      const url = path.replaceAll(/:\w+/g, '1');
      const headers = { 'sec-fetch-site': 'same-origin', 'content-type': 'application/x-www-form-urlencoded' };
      const payload = method === 'POST' ? { payload: 'a=1', headers } : {};
      const answer = await app.inject({ method: method as 'GET', url, ...payload });
      const isShut =
        method === 'POST'
          ? answer.statusCode === 403 && answer.body.includes('Sign in, then send it again')
          : answer.statusCode === 303 && answer.headers.location === `/sign-in?to=${encodeURIComponent(url)}`;
      if (!isShut) open.push(`${method} ${path}`);
    }
    const shown = ['GET /assets/:name', 'HEAD /assets/:name', 'GET /sign-in', 'HEAD /sign-in', 'POST /sign-in'];
    expect(open.filter((one) => !/^(GET|HEAD) \/health$/.test(one)).sort()).toEqual(shown.sort());
  });

  test('the page asked for is led to after signing in, with its query', async () => {
    const { get, submit } = await startShut();
    const asked = await get('/species?find=frog');
    expect(asked.location).toBe('/sign-in?to=%2Fspecies%3Ffind%3Dfrog');
    const page = await get(asked.location!);
    expect(page.status).toBe(200);
    expect(textsOf(page, 'h1')).toEqual(['Sign in']);
    // The menu would lead back here from each of its places.
    expect(textsOf(page, 'nav a')).toEqual([]);
    expect((await submit(page, { password: PASSWORD })).location).toBe('/species?find=frog');
  });

  test.each([
    ['//evil.example', '/'],
    ['/\\evil.example', '/'],
    ['https://evil.example/', '/'],
    ['javascript:alert(1)', '/'],
    ['/\t/evil.example', '/'],
    ['/.//evil.example', '/'],
    ['/%0d%0aSet-Cookie:a=b', '/%0d%0aSet-Cookie:a=b'],
    ['/a\r\nSet-Cookie: a=b', '/'],
    ['', '/'],
    ['animals', '/'],
    ['/sign-in?to=/sign-in', '/'],
    [`/${'a'.repeat(3000)}`, '/'],
    ['/animals/1?done=saved#top', '/animals/1?done=saved'],
  ])('the place %j is taken for %j', async (to, place) => {
    expect(samePlace(to)).toBe(place);
  });

  test('a form is kept and shown to be sent again, and has no effect before', async () => {
    const { received, page } = counting();
    const { post, submit, signIn, get } = await startShut({ morePages: [page] });
    const typed = { name: 'Brasa "the fast"', notes: 'two\r\nlines <b>', empty: '' };
    const answer = await post('/count', typed);
    expect(answer.status).toBe(403);
    expect(received).toEqual([]);
    expect(formValues(findForm(answer))).toMatchObject({ name: 'Brasa "the fast"', empty: '' });
    expect(answer.body).not.toContain('<b>');
    const cookie = await signIn();
    expect((await get('/', { cookie })).status).toBe(200);
    expect((await submit(answer)).status).toBe(403);
    await post('/count', typed, { cookie });
    expect(received).toEqual([typed]);
  });

  test('a form of the demonstration is kept too, with what was typed', async () => {
    const prefix = '/demonstration';
    const other = await openApp({ demonstration: { prefix } });
    const shows = shownWhenAsked(async () => ({ app: other.app, end: () => closeApp(other) }));
    const { post } = await startShut({ shows });
    const typed = { ...enclosureTexts, once: '1', notes: 'two\r\nlines <b>' };
    const answer = await post(`${prefix}/enclosures/new`, typed);
    expect([answer.status, findForm(answer).getAttribute('action')]).toEqual([403, `${prefix}/enclosures/new`]);
    expect(formValues(findForm(answer))).toMatchObject({ name: enclosureTexts.name, once: '1' });
    expect(listEnclosures(other.db)).toEqual([]);
    // What is kept is taken by the demonstration, once it gets there.
    expect((await other.post('/enclosures/new', formValues(findForm(answer)))).status).toBe(303);
    expect(listEnclosures(other.db).map(({ name }) => name)).toEqual([enclosureTexts.name]);
  });

  test.each(['text/plain', 'application/json', 'multipart/form-data; boundary=x'])(
    'nothing of %s is read',
    async (type) => {
      const { post } = await startShut();
      const answer = await post('/animals/new', { name: 'a' }, { 'content-type': type });
      expect(answer.status).toBe(403);
      expect(textsOf(answer, 'h1')).toEqual(['You are not signed in any more']);
    },
  );
});

describe('Signing in', () => {
  test('needs the password, and says the same of every wrong one', async () => {
    const { post, isIn, cookieOf } = await startShut();
    const bodies = [];
    for (const password of ['', 'canary-of-a-password', `${PASSWORD} `, 'x'.repeat(2000)]) {
      const answer = await post('/sign-in', { password, to: '/' });
      expect(answer.status).toBe(403);
      expect(answer.headers['set-cookie']).toBeUndefined();
      expect(mistakesOf(answer)).toEqual([
        { field: 'password', message: 'That is not the password of this ledger. Type it again.' },
      ]);
      bodies.push(answer.body);
    }
    expect(new Set(bodies).size).toBe(1);
    expect(bodies[0]).not.toContain('canary');
    const right = await post('/sign-in', { password: PASSWORD, to: '/' });
    expect([right.status, right.location]).toEqual([303, '/']);
    expect(await isIn(cookieOf(right))).toBe(true);
  });

  test('gives a cookie that no script reads, for this ledger alone, with 256 bits of chance', async () => {
    const { post } = await startShut();
    const ids = new Set<string>();
    for (let time = 0; time < 5; time += 1) {
      const { headers } = await post('/sign-in', { password: PASSWORD });
      const match = /^basking-ledger=([\w-]{43}); Max-Age=7776000; Path=\/; HttpOnly; SameSite=Lax$/.exec(
        String(headers['set-cookie']),
      );
      expect(match, String(headers['set-cookie'])).not.toBeNull();
      ids.add(match![1]!);
    }
    expect(ids.size).toBe(5);
  });

  test('over https gives one that is only sent over https, under a name that no other site can set', async () => {
    const reach = { ...ownComputerOnly, origin: 'https://ledger.example', hosts: ['ledger.lan'] };
    const { post } = await startShut({ reach });
    const named = async (host: string) =>
      String((await post('/sign-in', { password: PASSWORD }, { host })).headers['set-cookie']);
    const secure = /^__Host-basking-ledger=[\w-]{43}; Max-Age=7776000; Path=\/; HttpOnly; Secure; SameSite=Lax$/;
    expect(await named('ledger.example')).toMatch(secure);
    // A proxy on this computer that does not pass the name on.
    expect(await named('127.0.0.1:4380')).toMatch(secure);
    // A browser would drop a cookie of that kind on a plain-http name.
    expect(await named('ledger.lan:4380')).toMatch(
      /^basking-ledger=[^;]+; Max-Age=7776000; Path=\/; HttpOnly; SameSite=Lax$/,
    );
  });

  test('is written down with where it came from, right or wrong, and so is signing out', async () => {
    const lines: string[] = [];
    const { signIn, post } = await startShut({ log: { write: (line) => void lines.push(line) } });
    await signIn({}, 'three words of chance');
    const cookie = await signIn();
    await post('/sign-out', {}, { cookie });
    await post('/sign-out');
    const told = lines.map((line) => JSON.parse(line) as { msg: string; address: string });
    expect(told.map(({ msg, address }) => `${msg} from ${address}`)).toEqual([
      'a wrong password was typed from 127.0.0.1',
      'somebody signed in from 127.0.0.1',
      'somebody signed out from 127.0.0.1',
    ]);
    for (const secret of ['words of chance', cookie.split('=')[1]!]) expect(lines.join('')).not.toContain(secret);
  });

  test('keeps only a hash of what the browser holds', async () => {
    const { signIn, accessFile } = await startShut();
    const id = (await signIn()).split('=')[1]!;
    const [kept] = accessFile.listSignIns();
    expect(kept!.idHash).toMatch(/^[0-9a-f]{64}$/);
    expect(JSON.stringify(kept)).not.toContain(id);
    // What is kept is of no use as a cookie.
    const { isIn } = await startShut({ accessFile });
    expect(await isIn(`basking-ledger=${kept!.idHash}`)).toBe(false);
  });

  test('twenty at once are tried one by one, and each is let in, told wrong or told to wait', async () => {
    const { post, accessFile } = await startShut();
    const answers = await Promise.all(
      Array.from({ length: 20 }, (_, place) =>
        post('/sign-in', { password: place % 2 === 0 ? PASSWORD : 'wrong one' }),
      ),
    );
    const count = (status: number) => answers.filter((one) => one.status === status).length;
    expect(count(303) + count(403) + count(503)).toBe(MOST_TRIES.fromOneAddress);
    expect(count(503)).toBeGreaterThan(0);
    expect(count(429)).toBe(20 - MOST_TRIES.fromOneAddress);
    expect(accessFile.listSignIns()).toHaveLength(count(303));
    const busy = answers.find((one) => one.status === 503)!;
    expect(textsOf(busy, 'h1')).toEqual(['The ledger is busy']);
    expect(busy.headers['retry-after']).toBe('10');
  });
});

describe('Too many tries', () => {
  const trier = async () => {
    const { app, ...rest } = await startShut({ proxies: ['127.0.0.1'] });
    vi.useFakeTimers({ toFake: ['Date'] });
    onTestFinished(() => void vi.useRealTimers());
    const from = async (address: string, password = 'a wrong one') =>
      (
        await app.inject({
          method: 'POST',
          url: '/sign-in',
          payload: `password=${encodeURIComponent(password)}`,
          headers: {
            'content-type': 'application/x-www-form-urlencoded',
            'sec-fetch-site': 'same-origin',
            'x-forwarded-for': address,
          },
        })
      ).statusCode;
    return { ...rest, app, from };
  };

  test('from one address end with a page that says how long to wait, the right password too, and others go on', async () => {
    const { from, post, signIn, isIn } = await trier();
    const cookie = await signIn({ 'x-forwarded-for': '192.168.1.9' });
    for (let time = 0; time < MOST_TRIES.fromOneAddress; time += 1) expect(await from('192.168.1.5')).toBe(403);
    expect(await from('192.168.1.5', PASSWORD)).toBe(429);
    const page = await post('/sign-in', { password: PASSWORD }, { 'x-forwarded-for': '192.168.1.5' });
    expect(textsOf(page, 'h1')).toEqual(['Too many tries']);
    expect(textOf(page)).toContain('Wait 15 minutes');
    expect(Number(page.headers['retry-after'])).toBeGreaterThan(800);
    expect(await from('192.168.1.6', PASSWORD)).toBe(303);
    // Whoever is signed in stays so.
    expect(await isIn(cookie)).toBe(true);
    vi.setSystemTime(Date.now() + 15 * 60_000 + 1000);
    expect(await from('192.168.1.5', PASSWORD)).toBe(303);
  });

  test('from the many addresses of one network of IPv6 count as from one', async () => {
    const { from } = await trier();
    for (let time = 0; time < MOST_TRIES.fromOneAddress; time += 1)
      expect(await from(`2001:db8:1:2::${time + 1}`)).toBe(403);
    expect(await from('2001:db8:1:2:ffff::1', PASSWORD)).toBe(429);
    expect(await from('2001:db8:1:3::1', PASSWORD)).toBe(303);
  });

  test('from many addresses end in all', async () => {
    const { from } = await trier();
    for (let time = 0; time < MOST_TRIES.inAll; time += 1) expect(await from(`10.0.0.${time}`)).toBe(403);
    expect(await from('10.0.1.1', PASSWORD)).toBe(429);
    vi.setSystemTime(Date.now() + 15 * 60_000 + 1000);
    expect(await from('10.0.1.1', PASSWORD)).toBe(303);
  });

  test('cannot be hidden by a header that nobody was told to believe', async () => {
    const { post } = await startShut();
    const statuses = [];
    for (let time = 0; time <= MOST_TRIES.fromOneAddress; time += 1)
      statuses.push((await post('/sign-in', { password: 'no' }, { 'x-forwarded-for': `10.0.0.${time}` })).status);
    expect(statuses.at(-1)).toBe(429);
  });
});

describe('A sign-in', () => {
  test('has a new id each time, and the one the browser came with ends', async () => {
    const { signIn, isIn, accessFile } = await startShut();
    const first = await signIn();
    const second = await signIn({ cookie: first });
    expect(second).not.toBe(first);
    expect([await isIn(first), await isIn(second)]).toEqual([false, true]);
    expect(accessFile.listSignIns()).toHaveLength(1);
  });

  test('cannot be chosen by somebody else beforehand', async () => {
    const { signIn, isIn } = await startShut();
    const planted = `basking-ledger=${'A'.repeat(43)}`;
    const own = await signIn({ cookie: planted });
    expect(own).not.toBe(planted);
    expect(await isIn(planted)).toBe(false);
  });

  test('ends at signing out, here and on the server', async () => {
    const { signIn, isIn, post, get } = await startShut();
    const [mine, other] = [await signIn(), await signIn()];
    const page = await get('/', { cookie: mine });
    expect([...page.document.querySelectorAll('footer form[action="/sign-out"] button')]).toHaveLength(1);
    const answer = await post('/sign-out', {}, { cookie: mine });
    expect(answer.location).toBe('/sign-in');
    expect(String(answer.headers['set-cookie'])).toMatch(
      /^basking-ledger=; Max-Age=0; Path=\/; Expires=Thu, 01 Jan 1970/,
    );
    expect([await isIn(mine), await isIn(other)]).toEqual([false, true]);
  });

  test('ends when the password is changed, or removed and set again, by another program too', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'access-'));
    onTestFinished(() => rmSync(folder, { recursive: true }));
    const path = join(folder, 'access.sqlite');
    const { signIn, isIn, get, clock } = await startShut({ accessFile: openAccessFile(path) });
    const change = (to: string | null) => {
      const other: AccessFile = openAccessFile(path);
      other.changePassword(to, clock.at);
      other.close();
    };
    const before = await signIn();
    change(await hashPassword('another four words', { ...FULL_COST, log2: 10 }));
    expect(await isIn(before)).toBe(false);
    expect(await signIn()).toBe('');
    const after = await signIn({}, 'another four words');
    expect(await isIn(after)).toBe(true);
    change(null);
    expect((await get('/')).status).toBe(200);
    change(hash);
    expect([await isIn(after), await isIn('')]).toEqual([false, false]);
  });

  test('is not begun by a password that was changed while it was tried', async () => {
    const { post, accessFile, clock } = await startShut();
    const sent = post('/sign-in', { password: PASSWORD });
    // Its hash is under way in another thread by the time the next turn of this one begins.
    await new Promise((resolve) => setImmediate(resolve));
    accessFile.changePassword(await hashPassword('another four words', { ...FULL_COST, log2: 10 }), clock.at);
    expect((await sent).status).toBe(403);
    expect(accessFile.listSignIns()).toEqual([]);
  });

  test('ends after 14 days without use, and not a day before', async () => {
    const { signIn, isIn, clock, accessFile } = await startShut();
    const [kept, left] = [await signIn(), await signIn()];
    clock.at += 14 * DAY - 60_000;
    expect(await isIn(kept)).toBe(true);
    clock.at += 120_000;
    expect([await isIn(kept), await isIn(left)]).toEqual([true, false]);
    // Once it ended it does not come back with the clock.
    await signIn();
    clock.at -= DAY;
    expect(await isIn(left)).toBe(false);
    expect(accessFile.listSignIns()).toHaveLength(2);
  });

  test('ends after 90 days however much it is used', async () => {
    const { signIn, isIn, clock } = await startShut();
    const cookie = await signIn();
    for (let day = 10; day <= 90; day += 10) {
      clock.at = testMoment.getTime() + day * DAY;
      expect(await isIn(cookie), `day ${day}`).toBe(true);
    }
    clock.at += 1;
    expect(await isIn(cookie)).toBe(false);
  });

  test('outlives a clock that is set back', async () => {
    const { signIn, isIn, clock } = await startShut();
    const cookie = await signIn();
    clock.at -= 3 * DAY;
    expect(await isIn(cookie)).toBe(true);
  });

  test('is listed with all others', async () => {
    const { signIn, isIn, get, submit } = await startShut();
    const phone = await signIn({ 'user-agent': 'Mozilla/5.0 (Linux; Android 16; Mobile)' });
    const mine = await signIn();
    const page = await get('/access', { cookie: mine });
    expect(textsOf(page, 'tbody th').sort()).toEqual(['A computer (this one)', 'A phone or tablet']);
    expect(textsOf(page, 'tbody td')).toContain('15 January 2026');
    const form = findForm(page, '/access/end-others');
    expect(textsOf(page, 'main button')).toEqual(['Sign all others out', 'Sign out']);
    // Sent by somebody who only saw the page, it ends nobody's.
    expect((await submit(page, {}, form.getAttribute('action')!)).status).toBe(403);
    expect([await isIn(phone), await isIn(mine)]).toEqual([true, true]);
  });

  test('ends for all others by the button, and this one stays', async () => {
    const { signIn, isIn, post, get } = await startShut();
    const [phone, tablet, mine] = [await signIn(), await signIn(), await signIn()];
    const answer = await post('/access/end-others', {}, { cookie: mine });
    expect(answer.location).toBe('/access?done=others-signed-out');
    expect([await isIn(phone), await isIn(tablet), await isIn(mine)]).toEqual([false, false, true]);
    expect(textOf(await get(answer.location!, { cookie: mine }))).toContain('All others are signed out.');
  });
});

describe('Where no password is set', () => {
  test('this computer is let in, and the page says what that means', async () => {
    const { get, post } = await startApp();
    expect((await get('/sign-in?to=/animals')).location).toBe('/animals');
    const page = await get('/access');
    expect(textOf(page)).toContain('No password is asked for');
    expect([...page.document.querySelectorAll('main form')]).toEqual([]);
    // There is nothing that a password could be right for.
    expect((await get('/')).headers['cache-control']).toBe('private, no-cache');
    expect((await post('/sign-out')).status).toBe(303);
  });

  test('but others can reach it, nobody is let in', async () => {
    const { received, page } = counting();
    const { get, post, app } = await startApp({ isPasswordRequired: true, morePages: [page] });
    for (const answer of [await get('/'), await get('/export/ledger.json'), await post('/count', { a: '1' })]) {
      expect(answer.status).toBe(503);
      expect(textsOf(answer, 'h1')).toEqual(['The ledger is shut']);
    }
    expect(received).toEqual([]);
    const asset = (await get('/')).document.querySelector('link')!.getAttribute('href')!;
    expect((await app.inject({ url: asset })).statusCode).toBe(200);
  });
});

test('A page behind a password is kept by no cache', async () => {
  const { get, signIn } = await startShut();
  const cookie = await signIn();
  for (const path of ['/', '/access', '/export/ledger.json', '/nowhere', '/sign-in'])
    expect((await get(path, { cookie })).headers['cache-control'], path).toBe('no-store');
  expect((await get('/')).headers['cache-control']).toBe('no-store');
});

test('No export, copy or import of a ledger carries the password, lets anyone in or locks the keeper out', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'access-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const db = openDatabase(join(folder, 'ledger.sqlite'));
  keepSmallLedger(db);
  const accessFile = openAccessFile(join(folder, 'access.sqlite'));
  const { get, signIn, isIn } = await startShut({ db, accessFile });
  const cookie = await signIn();
  const secrets = [hash, hash.split('$').at(-1)!, cookie.split('=')[1]!, accessFile.listSignIns()[0]!.idHash];
  const exported = (await get('/export/ledger.json', { cookie })).body;
  expect(exported).toContain('"animals"');
  for (const secret of secrets) expect(exported).not.toContain(secret);
  expect(Object.keys(readWholeLedger(db)).filter((name) => /password|sign_in|access|session/.test(name))).toEqual([]);
  const read = readLedgerFile(writeLedgerFile(db, plainDate('2026-01-15'), 'nothing'), () => undefined);
  if (read.status === 'bad') throw new Error(JSON.stringify(read.fault));
  const taken = takeOverLedger(db, read.file, plainDate('2026-01-15'));
  if (taken.status !== 'replaced' || taken.copy === null) throw new Error('no copy was made');
  const copy = readFileSync(taken.copy, 'latin1');
  for (const secret of secrets) expect(copy).not.toContain(secret);
  expect([await isIn(cookie), await isIn('')]).toEqual([true, false]);
  expect(await signIn()).not.toBe('');
});

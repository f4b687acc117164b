// What only a browser can show of who is let in: what Chromium itself sends from another site, which cookies it keeps, and what it says
// of our headers on a name of a home network, where there is no https.

import { createServer } from 'node:http';
import { HtmlValidate } from 'html-validate';
import { afterAll, describe, expect, onTestFinished, test } from 'vitest';
import { openAccessFile } from '../../server/db/access.ts';
import { ownComputerOnly } from '../../server/gate.ts';
import type { Page } from '../../server/page.ts';
import { FULL_COST, hashPassword } from '../../server/password.ts';
import { startApp, testMoment } from '../support/app.ts';
import { judgeOf } from '../support/axe.ts';
import { closeBrowser, openWindow, withoutBrowser } from '../support/browser.ts';

afterAll(closeBrowser);

const PASSWORD = 'four words of chance';

/** An application that others on the network reach as ledger.lan, and what its one page of effect was told. */
async function startOnNetwork(withPassword: boolean) {
  const received: unknown[] = [];
  const page: Page = (app) => {
    app.post('/count', (request, reply) => {
      received.push(request.body);
      return reply.type('text/html').send('<!doctype html><title>counted</title>');
    });
  };
  const accessFile = openAccessFile(':memory:');
  if (withPassword)
    accessFile.changePassword(await hashPassword(PASSWORD, { ...FULL_COST, log2: 10 }), testMoment.getTime());
  const reach = { ...ownComputerOnly, hosts: ['ledger.lan'] };
  const started = await startApp({ accessFile, reach, morePages: [page] });
  return { ...started, accessFile, received };
}

/** A web site of somebody else, which sends a form to the ledger as soon as it is opened. */
async function openEvilSite(target: string): Promise<number> {
  const server = createServer((_request, response) => {
    response.setHeader('content-type', 'text/html');
    response.end(
      `<!doctype html><form method="post" action="${target}"><input name="a" value="1"></form><script>document.forms[0].submit()</script>`,
    );
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  return (server.address() as { port: number }).port;
}

test('The pages of signing in are valid HTML by the HTML standard', async () => {
  const { get, post, accessFile } = await startOnNetwork(true);
  const judge = new HtmlValidate({ extends: ['html-validate:standard'], rules: { 'no-trailing-whitespace': 'off' } });
  const signedIn = await post('/sign-in', { password: PASSWORD });
  const cookie = String(signedIn.headers['set-cookie']).split(';', 1)[0]!;
  await post('/sign-in', { password: PASSWORD });
  expect(accessFile.listSignIns()).toHaveLength(2);
  const pages = [
    await get('/sign-in', { host: 'ledger.lan' }),
    await post('/sign-in', { password: 'wrong' }),
    await post('/animals/new', { name: 'a "b"', notes: 'two\nlines' }),
    await get('/access', { cookie }),
  ];
  for (const page of pages) {
    const report = await judge.validateString(page.body);
    expect(report.results.flatMap((result) => result.messages.map((one) => `${one.line}: ${one.message}`))).toEqual([]);
  }
});

describe.skipIf(withoutBrowser)('In Chromium', () => {
  test('a name of the home network is signed in to, used and signed out of without a complaint', async () => {
    const { app, received } = await startOnNetwork(true);
    const { page, origin, complaints } = await openWindow(app, { viewport: { width: 360, height: 740 } });
    const ledger = `http://ledger.lan:${new URL(origin).port}`;
    const judge = judgeOf();
    const faults = async () => {
      const { faults: found } = await judge(page, 'all-and-good-practice');
      return found.map((one) => `${page.url()} ${one}`);
    };
    await page.goto(`${ledger}/animals`);
    expect(page.url()).toBe(`${ledger}/sign-in?to=%2Fanimals`);
    expect(await page.getByText('over plain http').isVisible()).toBe(true);
    expect(await faults()).toEqual([]);
    await page.getByLabel('Password').fill('wrong');
    await page.getByLabel('Password').press('Enter');
    await page.waitForSelector('.error-summary');
    expect(await page.evaluate('document.activeElement.className')).toBe('error-summary');
    expect(await faults()).toEqual([]);
    // Chromium writes each answer of 400 and more into its console.
    expect(complaints.splice(0)).toEqual([expect.stringContaining('403')]);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.waitForURL(`${ledger}/animals`);
    expect(await page.evaluate('document.cookie')).toBe('');
    expect(await page.context().cookies()).toMatchObject([
      { name: 'basking-ledger', domain: 'ledger.lan', httpOnly: true, sameSite: 'Lax', secure: false },
    ]);
    await page.goto(`${ledger}/access`);
    expect(await faults()).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
    expect(received).toEqual([]);
    expect(complaints).toEqual([]);
    await page.locator('footer').getByRole('button', { name: 'Sign out' }).click();
    await page.waitForURL(`${ledger}/sign-in`);
    await page.goto(`${ledger}/animals`);
    expect(page.url()).toContain('/sign-in');
  });

  test('a form that another site sends has no effect, on this computer and on a home network', async () => {
    const { app, received } = await startOnNetwork(false);
    const { page, origin } = await openWindow(app);
    const { port } = new URL(origin);
    for (const [ledger, evil] of [
      [`http://127.0.0.1:${port}`, 'localhost'],
      [`http://ledger.lan:${port}`, 'evil.lan'],
      // The same computer, another program.
      [`http://ledger.lan:${port}`, 'ledger.lan'],
    ]) {
      const evilPort = await openEvilSite(`${ledger}/count`);
      const answer = page.waitForResponse((one) => one.url() === `${ledger}/count`);
      await page.goto(`http://${evil}:${evilPort}/`).catch(() => undefined);
      expect((await answer).status(), `${evil} to ${ledger}`).toBe(403);
    }
    expect(received).toEqual([]);
    // The same form on a page of our own is taken, so that it was the site and not the form.
    for (const ledger of [`http://127.0.0.1:${port}`, `http://ledger.lan:${port}`]) {
      await page.goto(`${ledger}/about`);
      await page.evaluate(
        "const form = Object.assign(document.createElement('form'), { method: 'post', action: '/count' }); document.body.append(form); form.submit();",
      );
      await page.waitForURL(`${ledger}/count`);
    }
    expect(received).toHaveLength(2);
  });

  test('a name that somebody points at this computer shows nothing of the ledger', async () => {
    const { app } = await startOnNetwork(false);
    const { page, origin } = await openWindow(app);
    const answer = await page.goto(`http://evil.lan:${new URL(origin).port}/`);
    expect(answer?.status()).toBe(421);
    expect(await page.locator('h1').textContent()).toBe('This ledger does not go by that address');
  });
});

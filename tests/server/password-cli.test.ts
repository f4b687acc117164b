// The command that sets the password, and the program that asks for it, run as a person runs them.

import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

function run(folder: string, input: string, ...options: string[]) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'server/password-cli.ts', ...options],
    { env: { PATH: process.env.PATH ?? '', DATA_DIR: folder }, encoding: 'utf8', input },
  );
  return { status, stdout, stderr };
}

test('A password that is set lets others reach the ledger, asks each for it, and is nowhere to be read', async () => {
  const folder = join(newFolder(), 'made', 'when absent');
  const password = 'canary words für alle';
  expect(run(folder, `${password}\n`)).toEqual({
    status: 0,
    stdout: 'The password is set. Whoever was signed in is signed out.\n',
    stderr: '',
  });
  expect(readdirSync(folder)).toEqual(['access.sqlite']);
  expect(statSync(join(folder, 'access.sqlite')).mode & 0o077).toBe(0);
  expect(readFileSync(join(folder, 'access.sqlite'), 'latin1')).toMatch(/\$scrypt\$ln=17,r=8,p=1\$/);
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
    env: { PATH: process.env.PATH ?? '', DATA_DIR: folder, HOST: '0.0.0.0', HOSTS: 'ledger.lan', PORT: '0' },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let [output, errors] = ['', ''];
  child.stderr.on('data', (chunk) => {
    errors += chunk;
  });
  const ended = new Promise((resolve) => child.on('exit', resolve));
  onTestFinished(async () => {
    child.kill('SIGKILL');
    await ended;
  });
  const port = await new Promise<string>((resolve, reject) => {
    child.on('exit', () => reject(new Error(`the program ended: ${errors}`)));
    child.stdout.on('data', (chunk) => {
      output += chunk;
      // The caution is printed last.
      if (output.includes('Caution: over plain http'))
        resolve(/http:\/\/ledger\.lan:(\d+)\/\n/.exec(output)?.[1] ?? '');
    });
  });
  const ledger = `http://127.0.0.1:${port}`;
  const asked = await fetch(`${ledger}/animals`, { redirect: 'manual' });
  expect([asked.status, asked.headers.get('location')]).toEqual([303, '/sign-in?to=%2Fanimals']);
  const signIn = () =>
    fetch(`${ledger}/sign-in`, {
      method: 'POST',
      redirect: 'manual',
      headers: { origin: ledger },
      body: new URLSearchParams({ password, to: '/animals' }),
    });
  const answer = await signIn();
  expect([answer.status, answer.headers.get('location')]).toEqual([303, '/animals']);
  const cookie = answer.headers.get('set-cookie')!.split(';', 1)[0]!;
  expect((await fetch(`${ledger}/animals`, { headers: { cookie } })).status).toBe(200);
  // Removed by another program while this one is open to others, it shuts the ledger and does not open it.
  expect(run(folder, '', '--remove').status).toBe(0);
  expect((await fetch(`${ledger}/animals`, { headers: { cookie } })).status).toBe(503);
  child.kill('SIGTERM');
  expect(await ended).toBe(0);
  const everything = readdirSync(folder).map((name) => readFileSync(join(folder, name), 'latin1'));
  for (const text of [output, errors, ...everything]) expect(text).not.toMatch(/canary|words f/);
});

test('What cannot be used is said in a sentence that never repeats it, and nothing is made', () => {
  const folder = newFolder();
  const cases: [string, string[], number, RegExp][] = [
    ['', ['canary-as-option'], 2, /^Usage: npm run password\n/],
    ['canary1\n', [], 1, /fewer than 8 characters/],
    ['canary one\ncanary two\n', [], 1, /more than one line/],
  ];
  for (const [input, options, status, sentence] of cases) {
    const told = run(folder, input, ...options);
    expect(told).toMatchObject({ status, stdout: '', stderr: expect.stringMatching(sentence) });
    expect(told.stderr).not.toContain('canary');
  }
  expect(readdirSync(folder)).toEqual([]);
});

test('A file of the password that was emptied lets nobody in: the program does not start', () => {
  const folder = newFolder();
  writeFileSync(join(folder, 'access.sqlite'), '');
  const { status, stderr } = spawnSync(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
    env: { PATH: process.env.PATH ?? '', DATA_DIR: folder, PORT: '0' },
    encoding: 'utf8',
    timeout: 20_000,
  });
  expect(status).toBe(1);
  expect(stderr).toMatch(/access\.sqlite, which holds the password .* nobody is let in\. Move it away/);
  expect(readdirSync(folder)).toEqual(['access.sqlite']);
});

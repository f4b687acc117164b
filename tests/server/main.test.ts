import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

type Started = {
  child: ChildProcess;
  output: () => string;
  errors: () => string;
  url: Promise<string>;
  ended: Promise<number | null>;
};

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** Starts the real program as `npm start` does, with nothing of our own environment but the path. */
function startProgram(settings: Record<string, string>, ...options: string[]): Started {
  const child = spawn(process.execPath, ['server/start.js', ...options], {
    env: { PATH: process.env.PATH ?? '', ...settings },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let [output, errors] = ['', ''];
  const ended = new Promise<number | null>((resolve) => child.on('exit', (code) => resolve(code)));
  const url = new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (chunk) => {
      output += chunk;
      const found = /http:\S+/.exec(output);
      if (found !== null) resolve(found[0]);
    });
    child.on('exit', () => reject(new Error(`the program ended: ${errors}`)));
  });
  url.catch(() => undefined);
  child.stderr.on('data', (chunk) => {
    errors += chunk;
  });
  onTestFinished(async () => {
    child.kill('SIGKILL');
    await ended;
  });
  return { child, output: () => output, errors: () => errors, url, ended };
}

// Ctrl and C is pressed in tests/step-by-step.test.ts.
test('The program prints its address, answers there, and at SIGTERM ends with 0 and one file', async () => {
  const folder = join(newFolder(), 'made', 'when absent');
  const program = startProgram({ PORT: '0', DATA_DIR: folder });
  const url = await program.url;
  expect(program.output()).toMatch(/^Basking Ledger is at http:\/\/127\.0\.0\.1:\d+\/\n$/);
  const answer = await fetch(url);
  expect(answer.status).toBe(200);
  expect(await answer.text()).toContain('<h1>');
  program.child.kill('SIGTERM');
  expect(await program.ended).toBe(0);
  expect(readdirSync(folder)).toEqual(['ledger.sqlite', 'ledger.sqlite.lock']);
  expect(program.errors()).toBe('');
});

test('The demonstration has a file of its own, made once', async () => {
  const folder = newFolder();
  const first = startProgram({ PORT: '0', DATA_DIR: folder }, '--demo');
  const url = await first.url;
  // While it runs, another start on the same file is refused at once, and the first answers on.
  const refused = startProgram({ PORT: '0', DATA_DIR: folder }, '--demo');
  expect(await refused.ended).toBe(1);
  expect(refused.errors()).toMatch(
    /demo\.sqlite is in use by another Basking Ledger, which goes on undisturbed\..*\n$/,
  );
  expect((await fetch(url)).status).toBe(200);
  first.child.kill('SIGTERM');
  expect(await first.ended).toBe(0);
  expect(readdirSync(folder)).toEqual(['demo.sqlite', 'demo.sqlite.lock']);
  const second = startProgram({ PORT: '0', DATA_DIR: folder }, '--demo');
  await second.url;
  expect(second.output()).toContain('your own ledger is not touched');
  second.child.kill('SIGTERM');
  expect(await second.ended).toBe(0);
});

test('A port that is in use is said in one plain sentence, and the program ends with 1', async () => {
  const other = createServer();
  await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void other.close());
  const { port } = other.address() as { port: number };
  const folder = newFolder();
  const program = startProgram({ PORT: String(port), DATA_DIR: folder });
  expect(await program.ended).toBe(1);
  expect(program.errors()).toBe(
    `Port ${port} is already in use, perhaps by a Basking Ledger that is running. Stop that, or set PORT to another number.\n`,
  );
  expect(existsSync(join(folder, 'ledger.sqlite-wal'))).toBe(false);
});

test('Settings and files that cannot be used are said in plain sentences, and the program ends with 1', async () => {
  const folder = newFolder();
  writeFileSync(join(folder, 'ledger.sqlite'), 'not a database, but long enough to look at');
  writeFileSync(join(folder, 'file'), '');
  const cases: [Record<string, string>, RegExp][] = [
    [{ PORT: 'http' }, /^PORT is "http", but a port is a whole number from 0 to 65535\.\n$/],
    [{ PORT: '0', DATA_DIR: folder }, /is not a Basking Ledger database\. It was left as it is.*\n$/],
    [
      { PORT: '0', DATA_DIR: join(folder, 'file', 'below') },
      /^The folder .* cannot be used \(ENOTDIR\)\. Choose another.*\n$/,
    ],
  ];
  for (const [settings, sentence] of cases) {
    const program = startProgram({ DATA_DIR: folder, ...settings });
    expect(await program.ended).toBe(1);
    expect(program.errors()).toMatch(sentence);
    expect(program.output()).toBe('');
  }
});

// The program's beginning, in a copy of the sources whose packages lie in a folder of its own.

import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import {
  appendFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

const root = join(import.meta.dirname, '../..');

function copyOfSources(): string {
  const copy = mkdtempSync(join(tmpdir(), 'ledger-'));
  onTestFinished(() => rmSync(copy, { recursive: true }));
  for (const part of ['server', 'src', 'seed', 'views', 'migrations', 'package.json', 'package-lock.json'])
    cpSync(join(root, part), join(copy, part), { recursive: true });
  mkdirSync(join(copy, 'node_modules'));
  for (const name of readdirSync(join(root, 'node_modules')).filter((one) => !one.startsWith('.')))
    symlinkSync(join(root, 'node_modules', name), join(copy, 'node_modules', name));
  return copy;
}

test('The program is written once as long as its sources are the same, and again, in place of that, when one has changed', () => {
  const copy = copyOfSources();
  const write = (): string[] => {
    const { status, stderr } = spawnSync(process.execPath, [join(copy, 'server/start.js'), '--only-write'], {
      encoding: 'utf8',
    });
    expect([status, stderr]).toEqual([0, '']);
    return readdirSync(join(copy, 'node_modules/.cache/basking-ledger'));
  };
  const [first, ...others] = write();
  expect(others).toEqual([]);
  const kept = join(copy, 'node_modules/.cache/basking-ledger', first!);
  expect(readdirSync(kept)).toEqual(expect.arrayContaining(['main.js', 'roadmap-worker.js', 'backup-worker.js']));
  writeFileSync(join(kept, 'not written again'), '');
  expect(write()).toEqual([first]);
  expect(readdirSync(kept)).toContain('not written again');
  appendFileSync(join(copy, 'src/money.ts'), '// Another version.\n');
  const after = write();
  expect(after).toHaveLength(1);
  expect(after).not.toEqual([first]);
});

test('Where it cannot be kept, it runs from its sources', async () => {
  const copy = copyOfSources();
  writeFileSync(join(copy, 'node_modules/.cache'), '');
  const program = spawn(process.execPath, [join(copy, 'server/start.js')], {
    env: { PATH: process.env.PATH ?? '', PORT: '0', DATA_DIR: join(copy, 'data') },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  onTestFinished(() => void program.kill('SIGKILL'));
  const [told] = await Promise.race([once(program.stdout, 'data'), once(program, 'exit')]);
  const answer = await fetch(/http:\S+/.exec(String(told))![0]);
  expect(answer.status).toBe(200);
  program.kill('SIGTERM');
  expect(await once(program, 'exit')).toEqual([0, null]);
});

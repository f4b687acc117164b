// A few kills of the real program in the suite; `npm run crash -- --kills 200` is the long run of the same. See tests/support/crash.ts.

import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { paths } from '../../server/paths.ts';
import { findForm, formValues } from '../support/app.ts';
import { surviveKills, writeKilledProgram } from '../support/crash.ts';

const folder = mkdtempSync(join(tmpdir(), 'kills-'));
let program: string;
beforeAll(async () => {
  program = await writeKilledProgram(folder);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('What was acknowledged is there after each of ten kills, whole, once, and nothing else is there by half', async () => {
  const summary = await surviveKills({ program, folder, kills: 10, seed: 2026, longest: 16 });
  expect(summary.problems).toEqual([]);
  expect(summary.kills).toBe(10);
  expect(summary.acknowledged).toBeGreaterThan(30);
  expect(Object.keys(summary.kinds).length).toBeGreaterThan(7);
  expect(summary.sentAgain).toBeGreaterThan(5);
});

test('A program that answers before it commits is found out', async () => {
  const { problems } = await surviveKills({ program, folder, kills: 3, seed: 1, longest: 30, fault: 'early-answer' });
  expect(problems.join('\n')).toContain('was acknowledged and is lost');
});

test('Readings entered together, with a kill between the second and the third, are found by half where there are no transactions', async () => {
  const inside = { program, folder, kills: 1, seed: 1, longest: 4000 };
  const spoilt = await surviveKills({ ...inside, fault: 'no-transaction' });
  expect(spoilt.problems).toHaveLength(1);
  expect(spoilt.problems[0]).toMatch(/(round|import) '.*' is half there: 2 of (3|28)$/);
  const whole = await surviveKills({ ...inside, fault: 'killed-inside' });
  expect(whole.problems).toEqual([]);
  expect([whole.cutOffAbsent > 0, whole.sentAgain > 0]).toEqual([true, true]);
});

// What a kill cannot show: that what was acknowledged outlives a loss of power too. The system calls of the program are written down as it makes
// them (strace, Linux); a sync of the log is the point from which SQLite calls a commit durable (sqlite.org/pragma.html#pragma_synchronous).
// Where there is none, or it may not trace, this is left out.
test.skipIf(spawnSync('strace', ['-f', 'true']).status !== 0)(
  'Each change is on the disk before it is acknowledged',
  async () => {
    const own = mkdtempSync(join(folder, 'synced-'));
    const [calls, changes] = [join(own, 'calls.txt'), 6];
    const traced = ['-f', '-qq', '-y', '-e', 'trace=fsync,fdatasync,write,writev,sendto', '-s', '16', '-o', calls];
    const child = spawn('strace', [...traced, process.execPath, program], {
      env: { PATH: process.env.PATH ?? '', PORT: '0', DATA_DIR: own },
      stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
    });
    child.send('go', () => undefined);
    const ended = once(child, 'exit');
    // The program is a child of strace, which lets no signal through; each line begins with its number.
    const end = (signal: NodeJS.Signals) => process.kill(Number.parseInt(readFileSync(calls, 'utf8'), 10), signal);
    onTestFinished(() => void (child.exitCode === null && end('SIGKILL')));
    let told = '';
    for await (const piece of child.stdout!) {
      told += String(piece);
      if (/http:\S+\/\n/.test(told)) break;
    }
    const url = new URL(paths.rooms.new, /http:\S+\//.exec(told)![0]);
    for (let change = 0; change < changes; change += 1) {
      const { document } = parseHTML(await (await fetch(url)).text());
      const fields = { ...formValues(findForm({ document } as never, paths.rooms.new)), name: `Room ${change}` };
      const headers = { 'sec-fetch-site': 'same-origin' };
      const sent = { method: 'POST', redirect: 'manual', headers, body: new URLSearchParams(fields) } as const;
      expect((await fetch(url, sent)).status).toBe(303);
    }
    end('SIGTERM');
    await ended;
    const marks = readFileSync(calls, 'utf8')
      .split('\n')
      .flatMap((line) =>
        /f(data)?sync\(\d+<[^>]*ledger\.sqlite-wal>/.test(line) ? 'S' : line.includes('HTTP/1.1 303') ? 'A' : [],
      );
    expect(marks.filter((one) => one === 'A')).toHaveLength(changes);
    expect(marks.join('')).toMatch(/^S+(AS+)*A?S*$/);
  },
);

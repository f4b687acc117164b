// Runs the tests of hostile input, and those of random plans, with many times the inputs of the suite, from any seed:
// `npm run fuzz -- --runs N --seed S`. One part after the other, each by itself, so that a run that was cut short goes on where it was with
// `--from`.

import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';

const USAGE =
  'Usage: npm run fuzz -- [--runs N] [--seed N] [--only NAME] [--from NAME] [--minutes N]. A run of the suite tries about 20,000 inputs.';
/** About how many inputs the suite tries of its own. */
const OF_THE_SUITE = 20_000;

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '200000' },
    seed: { type: 'string', default: String(Date.now() % 1_000_000_000) },
    only: { type: 'string', default: '' },
    from: { type: 'string', default: '' },
    /** No part is begun after so many; 0 is no limit. */
    minutes: { type: 'string', default: '0' },
  },
});
for (const name of ['runs', 'seed'] as const) {
  if (!/^[1-9]\d{0,8}$/.test(values[name])) throw new Error(`--${name} must be a whole number above 0. ${USAGE}`);
}
if (!/^\d{1,6}$/.test(values.minutes)) throw new Error(`--minutes must be a whole number. ${USAGE}`);
const root = join(import.meta.dirname, '../..');
const all = [
  ...readdirSync(join(root, 'tests/hostile'))
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => `tests/hostile/${name}`),
  'tests/server/plan-json.test.ts',
  ...['planner', 'planner-laws', 'proof', 'what-if'].map((name) => `tests/src/${name}.test.ts`),
].map((file) => ({ file, name: /([^/]*)\.test\.ts$/.exec(file)![1]! }));
const first = all.findIndex(({ name }) => name === values.from);
if (values.from !== '' && first < 0)
  throw new Error(`--from must be one of ${all.map(({ name }) => name).join(', ')}. ${USAGE}`);
const parts = all.slice(Math.max(0, first)).filter(({ name }) => name.includes(values.only));

const times = Math.max(1, Number(values.runs) / OF_THE_SUITE);
process.stdout.write(`${times.toFixed(1)} times the inputs of the suite, from seed ${values.seed}\n`);
const began = performance.now();
for (const { file, name } of parts) {
  const minutes = (performance.now() - began) / 60_000;
  if (Number(values.minutes) > 0 && minutes >= Number(values.minutes)) {
    process.stdout.write(`Its time is over; go on with: --runs ${values.runs} --seed ${values.seed} --from ${name}\n`);
    break;
  }
  const code = await runOf(file);
  if (code !== 0) process.exitCode = 1;
  process.stdout.write(
    `${name} ended with ${code} after ${((performance.now() - began) / 60_000).toFixed(1)} minutes\n`,
  );
}

function runOf(file: string): Promise<number> {
  const run = spawn(
    process.execPath,
    [
      join(root, 'node_modules/vitest/vitest.mjs'),
      'run',
      '--config',
      'tests/vitest.config.ts',
      `--testTimeout=${Math.ceil(6 * 180_000 * times)}`,
      file,
    ],
    {
      cwd: root,
      stdio: 'inherit',
      env: { ...process.env, HOSTILE_TIMES: String(times), HOSTILE_SEED: values.seed },
    },
  );
  return new Promise((resolve) => run.on('exit', (code) => resolve(code ?? 1)));
}

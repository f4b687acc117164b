// Runs the tests of hostile input with many times the inputs of the suite, from any seed: `npm run fuzz -- --runs N --seed S`.

import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { parseArgs } from 'node:util';

const USAGE =
  'Usage: npm run fuzz -- [--runs N] [--seed N] [--only NAME]. A run of the suite tries about 20,000 inputs.';
/** About how many inputs the suite tries of its own. */
const OF_THE_SUITE = 20_000;

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '200000' },
    seed: { type: 'string', default: String(Date.now() % 1_000_000_000) },
    only: { type: 'string', default: '' },
  },
});
for (const name of ['runs', 'seed'] as const) {
  if (!/^[1-9]\d{0,8}$/.test(values[name])) throw new Error(`--${name} must be a whole number above 0. ${USAGE}`);
}
const times = Math.max(1, Number(values.runs) / OF_THE_SUITE);
process.stdout.write(`${times.toFixed(1)} times the inputs of the suite, from seed ${values.seed}\n`);
const root = join(import.meta.dirname, '../..');
const run = spawn(
  process.execPath,
  [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--config',
    'tests/vitest.config.ts',
    `--testTimeout=${Math.ceil(180_000 * times)}`,
    `tests/hostile/${values.only}`,
  ],
  {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, HOSTILE_TIMES: String(times), HOSTILE_SEED: values.seed },
  },
);
run.on('exit', (code) => {
  process.exitCode = code ?? 1;
});

// Judges every page of the ledger, each form sent empty among them, in both colour schemes on a telephone and on a desk, with large and wide
// letters and with forced colours: `npm run sweep`, or a part of it by name: `npm run sweep -- 'dark 360' letters`. Each part stands by itself,
// so that a run that was cut off goes on with the parts it had left. The suite runs the same code (tests/browser/pages.test.ts) on every page
// in one window and on the fewest pages in the others.

import { spawn } from 'node:child_process';
import { join } from 'node:path';

const root = join(import.meta.dirname, '../..');
const PARTS = ['light 360', 'light 1280', 'dark 360', 'dark 1280', 'letters', 'forced colours'];

const asked = process.argv.slice(2);
const unknown = asked.filter((one) => !PARTS.includes(one));
if (unknown.length > 0) throw new Error(`There is no part ${unknown.join(', ')}; the parts are ${PARTS.join(', ')}.`);

const told: string[] = [];
for (const part of asked.length === 0 ? PARTS : asked) {
  const start = performance.now();
  const code = await look(part);
  told.push(
    `${part}: ${code === 0 ? 'nothing found' : 'FAULTS, see above'}, ${Math.round((performance.now() - start) / 1000)} s`,
  );
  console.log(`\n${told.join('\n')}`);
  if (code !== 0) process.exitCode = 1;
}

/** Runs one part and gives what it exits with. */
function look(part: string): Promise<number | null> {
  const vitest = join(root, 'node_modules/vitest/vitest.mjs');
  const run = spawn(
    process.execPath,
    [vitest, 'run', '--config', 'tests/vitest.config.ts', 'tests/browser/pages.test.ts'],
    { cwd: root, stdio: 'inherit', env: { ...process.env, SWEEP: part } },
  );
  return new Promise((done) => run.on('exit', done));
}

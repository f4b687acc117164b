// Judges every page of the ledger, each form sent empty among them, in both colour schemes on a telephone and on a desk, with large and wide
// letters: `npm run sweep`. The suite runs the same code on every page in one window and on the fewest pages in the others.

import { spawn } from 'node:child_process';
import { join } from 'node:path';

const root = join(import.meta.dirname, '../..');
const run = spawn(
  process.execPath,
  [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--config',
    'tests/vitest.config.ts',
    'tests/browser/pages.test.ts',
  ],
  { cwd: root, stdio: 'inherit', env: { ...process.env, SWEEP: 'whole' } },
);
run.on('exit', (code) => {
  process.exitCode = code ?? 1;
});

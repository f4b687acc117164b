import { relative } from 'node:path';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

// In continuous integration the results are also written to a file, from which .ci/run counts them.
const reporters = process.env.CI ? ['default', 'json'] : ['default'];

// Files that take longest, the longest first: begun last, one of them would go on alone while the other worker has nothing left to do.
// The second is begun together with the first, which keeps to one thread, because it compares times of waiting.
const longest = [
  'tests/src/planner.test.ts',
  'tests/server/page-times.test.ts',
  'tests/browser/pages.test.ts',
  'tests/server/pages/bad-input.test.ts',
  'tests/server/planning.test.ts',
  'tests/src/proof.test.ts',
  'tests/src/what-if.test.ts',
  'tests/server/main.test.ts',
  'tests/browser/main-job.test.ts',
  'tests/server/pages/value-choices.test.ts',
  'tests/server/pages/breakdowns.test.ts',
  'tests/server/pages/upgrades.test.ts',
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => {
      const found = longest.indexOf(relative(`${import.meta.dirname}/..`, moduleId));
      return found < 0 ? longest.length : found;
    };
    return (await super.sort(files)).sort((a, b) => place(a) - place(b));
  }
}

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    env: { TZ: 'UTC' },
    testTimeout: 180_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
    // Reading the modules of the server again for each file would take as long as many files do; no test replaces a module.
    isolate: false,
    // Pages that are read into documents are short-lived and many; in a larger young generation far fewer of them are ever copied.
    execArgv: ['--max-semi-space-size=64'],
    sequence: { sequencer: LongestFirst },
    reporters,
    outputFile: { json: 'tests/output/results.json' },
  },
});

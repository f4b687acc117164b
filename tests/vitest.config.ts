import { defineConfig } from 'vitest/config';

// In continuous integration the results are also written to a file, from which .ci/run counts them.
const reporters = process.env.CI ? ['default', 'json'] : ['default'];

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    env: { TZ: 'UTC' },
    testTimeout: 180_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
    reporters,
    outputFile: { json: 'tests/output/results.json' },
  },
});

import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    env: { TZ: 'UTC' },
    testTimeout: 20_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
  },
});

import { defineConfig } from 'vitest/config';

const project = (name: string, include: string[], timeout: number) => ({
  extends: true as const,
  test: { name, include, testTimeout: timeout },
});

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    // By itself Vitest leaves one processor free: of two, half of the time.
    maxWorkers: '100%',
    coverage: {
      provider: 'v8',
      include: ['grammar/src/**/*.ts', 'server/src/**/*.ts'],
      // The entries of the bundles run in processes of their own.
      exclude: ['**/main.ts', '**/main-web.ts', '**/run-git.ts'],
      reporter: ['text-summary', 'json', 'html'],
      // It takes long: one failing test does not throw it away.
      reportOnFailure: true,
      reportsDirectory: '.cache/coverage',
    },
    projects: [
      project('unit', ['tests/unit/**/*.test.ts'], 120_000),
      project('protocol', ['tests/protocol/**/*.test.ts'], 120_000),
      project('fuzz', ['tests/fuzz/**/*.test.ts'], 300_000),
    ],
  },
});

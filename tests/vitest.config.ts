import { defineConfig } from 'vitest/config';

const project = (name: string, include: string[], timeout: number) => ({
  extends: true as const,
  test: { name, include, testTimeout: timeout },
});

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    projects: [
      project('unit', ['tests/unit/**/*.test.ts'], 120_000),
      project('protocol', ['tests/protocol/**/*.test.ts'], 120_000),
      project('fuzz', ['tests/fuzz/**/*.test.ts'], 300_000),
    ],
  },
});

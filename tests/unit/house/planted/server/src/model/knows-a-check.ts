import type { Check } from '#server/checks/check.ts';

export type Wrong = Check;

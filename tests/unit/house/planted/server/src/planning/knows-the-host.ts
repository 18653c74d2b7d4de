import type { Host } from '../analysis/host.ts';

export type Wrong = Host;

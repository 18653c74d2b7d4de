import type { Hover } from '../ide/hover.ts';

export type Wrong = Hover;

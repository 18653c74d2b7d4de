import type { Back } from './comes-back.ts';

export type There = Back | string;

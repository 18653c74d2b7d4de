import type { There } from './goes-round.ts';

export type Back = There | number;

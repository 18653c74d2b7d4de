import type { Helper } from '../../../tests/helper.ts';

export type Wrong = Helper;

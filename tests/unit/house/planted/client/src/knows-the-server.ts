import type { Plan } from '../../server/src/model/plan.ts';

export type Wrong = Plan;

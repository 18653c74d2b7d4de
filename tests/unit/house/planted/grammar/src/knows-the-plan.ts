import type { Plan } from '#server/model/plan.ts';

export type Wrong = Plan;

import type { Plan } from '../model/plan.ts';

export type Wrong = Plan;

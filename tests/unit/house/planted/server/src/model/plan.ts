export type Plan = string;

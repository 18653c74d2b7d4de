export type Helper = string;

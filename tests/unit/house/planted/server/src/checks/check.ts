export type Check = string;

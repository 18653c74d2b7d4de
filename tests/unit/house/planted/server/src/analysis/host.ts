export type Host = string;

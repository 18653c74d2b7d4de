export type Hover = string;

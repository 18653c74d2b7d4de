export type Render = string;

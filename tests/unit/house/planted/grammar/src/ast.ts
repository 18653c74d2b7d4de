export type Ast = string;

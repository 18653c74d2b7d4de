import type { Hover } from 'vscode-languageserver';

export type Wrong = Hover;

import { createConnection } from 'vscode-languageserver/node';

export const wrong = createConnection;

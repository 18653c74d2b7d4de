/** The language server on Node: over standard input and output (`--stdio`), a pipe, a socket, or the editor's own channel. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { localDisk } from './local-disk.ts';
import { startServer } from './server.ts';

startServer(createConnection(ProposedFeatures.all), localDisk);

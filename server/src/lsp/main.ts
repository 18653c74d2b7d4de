/** The language server on Node: over standard input and output (`--stdio`), a pipe, a socket, or the editor's own channel. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { handleReport } from './handle-report.ts';
import { localDisk } from './local-disk.ts';
import { startServer } from './server.ts';

/** The page of codes lies beside the folder of the bundle, in the package as in the tree. */
const page = join(__dirname, '../grammar/CHECKS.md');

const address = existsSync(page) ? pathToFileURL(page).href : undefined;

startServer(createConnection(ProposedFeatures.all), localDisk, address, [handleReport]);

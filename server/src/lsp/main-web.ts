/** The language server as a worker of a browser: messages come and go as messages of the worker. There is no disk. */
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  createConnection,
  ProposedFeatures,
} from 'vscode-languageserver/browser';
import { atOnce } from './late.ts';
import { startServer } from './server.ts';

// What a worker calls its own scope; the types of Node do not know it.
const scope = globalThis as never;
startServer(
  createConnection(ProposedFeatures.all, new BrowserMessageReader(scope), new BrowserMessageWriter(scope)),
  undefined,
  undefined,
  { late: atOnce, textChanged: () => undefined },
);

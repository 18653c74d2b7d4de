/**
 * Lets the server reach files through the editor, so that plans on virtual file systems work too.
 * Two requests of our own beside the language server protocol:
 * `festoon/readFile` { uri } gives { text } or { error }, `festoon/findFiles` { } gives { uris } of all plan files.
 */
import { type Disposable, FileType, Uri, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';

interface FileParams {
  readonly uri: string;
}

export type ReadFileResult = { readonly text: string } | { readonly error: string };

export interface FindFilesResult {
  readonly uris: readonly string[];
}

/** Larger than any plan that the server takes, so that a stray `use` cannot fill the memory. */
const largestFileBytes = 4 * 1024 * 1024;

/** Far more than any display has. */
const mostFiles = 1000;

export function answerFileRequests(client: BaseLanguageClient): Disposable {
  const handlers = [
    client.onRequest('festoon/readFile', (params: FileParams) => readFile(params.uri)),
    client.onRequest('festoon/findFiles', () => findFiles()),
  ];
  return {
    dispose: () =>
      handlers.forEach((handler) => {
        handler.dispose();
      }),
  };
}

async function readFile(address: string): Promise<ReadFileResult> {
  try {
    const uri = Uri.parse(address, true);
    const { size, type } = await workspace.fs.stat(uri);
    if ((type & FileType.File) === 0) return { error: 'not a file' };
    if (size > largestFileBytes) return { error: `larger than ${largestFileBytes} bytes` };
    const bytes = await workspace.fs.readFile(uri);
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch (error) {
    return { error: error instanceof Error ? error.message : String(error) };
  }
}

async function findFiles(): Promise<FindFilesResult> {
  const found = await workspace.findFiles('**/*.festoon', '**/node_modules/**', mostFiles);
  return { uris: found.map((uri) => uri.toString()) };
}

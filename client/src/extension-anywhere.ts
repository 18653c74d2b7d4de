/**
 * The extension wherever it runs. One bundle serves the editor on a machine and the one in a browser, since nearly all of
 * it is the same; what belongs to one of them alone is loaded there alone.
 */
import type { ExtensionContext } from 'vscode';
import { stopClient } from './start-client.ts';

export async function activate(context: ExtensionContext): Promise<void> {
  const here = hasNode() ? await import('./extension.ts') : await import('./extension-web.ts');
  await here.activate(context);
}

export const deactivate = stopClient;

function hasNode(): boolean {
  return typeof process === 'object' && typeof process.versions?.node === 'string';
}

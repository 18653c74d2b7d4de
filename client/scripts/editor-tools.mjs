/**
 * Installs the browser-served VS Code that `npm start -- --editor` and the editor tests use: code-server, and the
 * Node that it wants, both as npm packages. They stay out of package.json because code-server's own install step
 * compiles and downloads; none of what that brings is needed here, so install scripts stay off.
 */
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { at, command, npmCommand, step, Trouble } from './workshop.mjs';

/** code-server 4.139.1 is VS Code 1.139.1 and runs on Node 24. */
const codeServer = '4.139.1';
const node = '24.21.0';

const home = join(process.env.FESTOON_EDITOR_TOOLS ?? at('.cache', 'editor-tools'), `code-server-${codeServer}`);
const nodePackage = `node-linux-${process.arch}`;

export const editorNode = join(home, 'node_modules', nodePackage, 'bin', 'node');
export const editorEntry = join(home, 'node_modules', 'code-server', 'out', 'node', 'entry.js');

/** Everything is installed beside its final place and moved there in one go, so a broken-off run leaves nothing half done. */
export async function ensureEditorTools() {
  if (existsSync(home)) return;
  if (process.platform !== 'linux' || !['x64', 'arm64'].includes(process.arch)) {
    throw new Trouble(
      `The browser-served editor is set up on Linux only (this is ${process.platform} ${process.arch}).\n` +
        'Install dist/festoon.vsix into a desktop VS Code instead: code --install-extension dist/festoon.vsix',
    );
  }
  const partial = `${home}.partial`;
  rmSync(partial, { recursive: true, force: true });
  mkdirSync(partial, { recursive: true });
  writeFileSync(join(partial, 'package.json'), '{ "name": "festoon-editor-tools", "private": true }\n');

  const install = (what, cwd, ...args) => {
    const path = `${join(partial, 'node_modules', nodePackage, 'bin')}:${process.env.PATH}`;
    const npm = npmCommand(['install', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error', ...args]);
    const hint = 'This needs npm and the network once; the result is kept for later runs.';
    return step(`Installing ${what}`, ...npm, { cwd, env: { PATH: path }, hint });
  };
  await install(`Node ${node} for the editor`, partial, `${nodePackage}@${node}`);
  await install(`code-server ${codeServer}`, partial, `code-server@${codeServer}`);
  // Not `npm ci`: the lock file that is shipped inside is out of step with its package.json.
  await install("the editor's own packages", join(partial, 'node_modules/code-server/lib/vscode'), '--omit=dev');
  renameSync(partial, home);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await command(ensureEditorTools);

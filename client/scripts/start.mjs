/**
 * `npm start`: makes the clone ready, builds, checks the sample display in the terminal and packs the extension.
 * With --editor it then opens a plan in a real VS Code. Uses only Node's own modules until it has installed the rest.
 */
import { cpSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { at, command, ensureInstalled, onPath, requireNode, root, run, step, Trouble } from './workshop.mjs';

const help = `npm start -- [--editor] [PLAN]

Installs what is missing, builds, checks the sample display and packs the extension into dist/festoon.vsix.

  PLAN       a plan of your own to check (and open) instead of the sample
  --editor   then open it in VS Code: the desktop one if "code" is on the PATH, else one in the browser,
             served on this machine only. Either runs with a throw-away profile.
  --browser  with --editor: the browser one even if there is a desktop one
  --help     this text
`;

const sample = 'samples/boathouse/plan.festoon';
const node = process.execPath;
const vsix = at('dist', 'festoon.vsix');
const seen = (path) => (path.startsWith(join(root, '/')) ? relative(root, path) : path);

function readArguments() {
  const options = { editor: { type: 'boolean' }, browser: { type: 'boolean' }, help: { type: 'boolean', short: 'h' } };
  try {
    const { values, positionals } = parseArgs({ options, allowPositionals: true });
    if (positionals.length > 1) throw new Error('give one plan at most');
    const [given] = positionals;
    // npm runs us from the root; INIT_CWD is where the person stood.
    const plan = given === undefined ? undefined : resolve(process.env.INIT_CWD ?? '.', given);
    if (plan !== undefined && !existsSync(plan)) throw new Error(`there is no plan ${given}`);
    return { ...values, plan };
  } catch (error) {
    throw new Trouble(`${error.message}\n\n${help}`);
  }
}

/** The plan to show. The sample is opened as a copy, so that trying things out leaves the clone as it was. */
function choosePlan(plan, folder) {
  if (plan !== undefined) return { folder: dirname(plan), plan };
  const copy = join(folder, 'samples');
  cpSync(at('samples'), copy, { recursive: true });
  return { folder: copy, plan: join(copy, relative('samples', sample)) };
}

const canShowWindows = () =>
  process.platform !== 'linux' || process.env.DISPLAY !== undefined || process.env.WAYLAND_DISPLAY !== undefined;

/** A `code` that opens windows on this machine; inside VS Code's own remote terminal it would not take a profile. */
const desktopEditor = () =>
  canShowWindows() && process.env.VSCODE_IPC_HOOK_CLI === undefined ? onPath('code') : undefined;

async function openDesktop(code, { folder, plan }, profile) {
  const own = ['--extensions-dir', join(profile, 'extensions'), '--user-data-dir', join(profile, 'user')];
  if (process.platform === 'linux' && process.getuid() === 0) own.push('--no-sandbox');
  await step('Installing the extension into a throw-away profile', code, [...own, '--install-extension', vsix]);
  console.log(`\nOpening ${basename(plan)} in VS Code. Close its window to end.`);
  const quiet = ['--new-window', '--wait', '--disable-workspace-trust', '--skip-welcome'];
  const { code: exit } = await run(code, [...own, ...quiet, folder, plan], { seconds: 86_400 * 7 });
  return exit;
}

async function openBrowser({ folder, plan }, profile) {
  await step('Making the browser-served editor ready', node, [at('client', 'scripts', 'editor-tools.mjs')]);
  const { installExtension, makeProfile, startEditor, workbenchAddress } = await import('./editor-server.mjs');
  makeProfile(profile);
  await installExtension(profile, vsix);
  const server = await startEditor(profile);
  console.log(`\nThe plan is open at\n\n  ${workbenchAddress(server, folder, { file: plan })}\n`);
  console.log('It is served to this machine only. Press Ctrl-C to end.');
  await server.ended;
  throw new Trouble(`The editor ended by itself.\n${server.log()}`);
}

async function openEditor(given, browserOnly) {
  const profile = mkdtempSync(join(tmpdir(), 'festoon-'));
  process.once('exit', () => rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }));
  const chosen = choosePlan(given, profile);
  const code = browserOnly ? undefined : desktopEditor();
  return code === undefined ? openBrowser(chosen, profile) : openDesktop(code, chosen, profile);
}

await command(async () => {
  const { help: wantsHelp, editor, browser, plan } = readArguments();
  if (wantsHelp) {
    console.log(help);
    return 0;
  }
  requireNode();
  await ensureInstalled();
  await step('Building', node, [at('client', 'scripts', 'build.mjs')]);
  await step('Packing the extension', node, [at('client', 'scripts', 'package.mjs')]);

  const checked = plan ?? at(sample);
  console.log(`\nfestoon check ${seen(checked)}\n`);
  const { code } = await run(node, [at('dist', 'cli.cjs'), 'check', seen(checked)]);
  // Code 1 says that the plan has findings, which were just shown; more than that is a failure of the command.
  if (code > 1) return code;

  console.log(`\nThe extension is packed: ${seen(vsix)}`);
  if (editor || browser) return openEditor(plan, browser);
  console.log(`Install it:     code --install-extension ${seen(vsix)}`);
  console.log('Or look at it:  npm start -- --editor');
  return 0;
});

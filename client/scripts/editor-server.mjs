/** Serves a VS Code workbench on the loopback interface, with a profile of its own. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { editorEntry, editorNode } from './editor-tools.mjs';
import { endGroup, run, start, Trouble, unlessEnding } from './workshop.mjs';

/** A quiet workbench: no welcome page, no look-ups, nothing that moves or asks. */
const quietSettings = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.enableExperiments': false,
  'workbench.welcomePage.walkthroughs.openOnInstall': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'window.commandCenter': false,
  'security.workspace.trust.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'extensions.autoUpdate': false,
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  'chat.disableAIFeatures': true,
  'chat.commandCenter.enabled': false,
  'git.enabled': false,
};

/** Lays an empty profile into `folder`. */
export function makeProfile(folder, settings = {}) {
  const user = join(folder, 'user', 'User');
  mkdirSync(user, { recursive: true });
  mkdirSync(join(folder, 'extensions'), { recursive: true });
  writeFileSync(join(user, 'settings.json'), JSON.stringify({ ...quietSettings, ...settings }, null, 2));
}

// A --config of our own, or code-server writes one into the person's home folder.
const profileArguments = (folder) => [
  ...['--config', join(folder, 'config.yaml')],
  ...['--extensions-dir', join(folder, 'extensions')],
  ...['--user-data-dir', join(folder, 'user')],
];

export async function installExtension(profile, vsix) {
  const args = [editorEntry, ...profileArguments(profile), '--install-extension', vsix, '--force'];
  const { code, output } = await run(editorNode, args, { quiet: true, seconds: 120 });
  if (code !== 0 || !output.includes('successfully installed')) {
    throw new Trouble(`The editor did not take ${vsix} (code ${code}):\n${output}`);
  }
}

const freePort = () =>
  new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });

const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

async function answers(address) {
  try {
    return (await fetch(`${address}/healthz`)).ok;
  } catch {
    return false;
  }
}

/**
 * Starts the workbench and waits until it answers.
 * `testDriver` admits tests that run inside the extension host; it also hides notifications, so it is off otherwise.
 * @returns {Promise<{ address: string, log: () => string, ended: Promise<void>, stop: () => Promise<void> }>}
 */
export async function startEditor(profile, { env = {}, testDriver = false } = {}) {
  const port = await freePort();
  const address = `http://127.0.0.1:${port}`;
  const args = [
    ...[editorEntry, ...profileArguments(profile), '--auth', 'none', '--bind-addr', `127.0.0.1:${port}`],
    ...['--disable-telemetry', '--disable-update-check', '--disable-workspace-trust'],
    ...['--disable-getting-started-override', '--disable-proxy', '--ignore-last-opened'],
    ...['--reconnection-grace-time', '1'],
    ...(testDriver ? ['--vscode-option', 'enable-smoke-test-driver'] : []),
  ];
  // An empty gallery stops the look-ups of extensions on the network.
  const child = start(editorNode, args, { env: { EXTENSIONS_GALLERY: '{}', ...env } });
  let log = '';
  child.stdout.on('data', (bytes) => {
    log += bytes;
  });
  child.stderr.on('data', (bytes) => {
    log += bytes;
  });
  const ended = new Promise((resolve) => child.once('close', () => resolve(unlessEnding())));
  const stop = async () => {
    endGroup(child);
    const timer = setTimeout(() => endGroup(child, 'SIGKILL'), 3000);
    await ended;
    clearTimeout(timer);
    endGroup(child, 'SIGKILL');
  };
  const deadline = Date.now() + 60_000;
  while (!(await answers(address))) {
    if (child.exitCode !== null) throw new Trouble(`The editor ended at once:\n${log}`);
    if (Date.now() > deadline) {
      await stop();
      throw new Trouble(`The editor did not answer within a minute:\n${log}`);
    }
    await pause(50);
  }
  return { address, log: () => log, ended, stop };
}

/**
 * The address that opens `folder`, and `file` in it, in the workbench. A file's URI must carry the server's own
 * host and port: under any other name it opens too, but what the language server says belongs to another document.
 */
export function workbenchAddress(server, folder, { file, line, payload = [] } = {}) {
  const { host } = new URL(server.address);
  const pairs = [...payload];
  if (file !== undefined)
    pairs.push(['openFile', `vscode-remote://${host}${file}${line === undefined ? '' : `:${line}`}`]);
  if (line !== undefined) pairs.push(['gotoLineMode', 'true']);
  const query = new URLSearchParams({ [folder.endsWith('.code-workspace') ? 'workspace' : 'folder']: folder });
  if (pairs.length > 0) query.set('payload', JSON.stringify(pairs));
  return `${server.address}/?${query}`;
}

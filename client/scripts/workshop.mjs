/**
 * What the project's own commands share: where things are, how a program is run and ended,
 * and how a fresh clone is made ready. Uses only Node's own modules.
 */
import { spawn } from 'node:child_process';
import { accessSync, constants, existsSync, mkdirSync, readFileSync, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');
export const at = (...parts) => join(root, ...parts);
export const cacheFolder = at('.cache');

/** An expected trouble, told to the person in plain words and without a stack. */
export class Trouble extends Error {}

/** Runs `main` and turns trouble into one message and exit code 1. */
export async function command(main) {
  try {
    process.exitCode = (await main()) ?? 0;
  } catch (error) {
    console.error(`\n${error instanceof Trouble ? error.message : (error?.stack ?? error)}`);
    process.exitCode = 1;
  }
}

export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > 20 || (major === 20 && minor >= 12)) return;
  throw new Trouble(`Festoon needs Node 20.12 or newer; this is Node ${process.versions.node}.`);
}

const running = new Set();
let ending = false;

/** Once the person has asked us to stop, nothing more is begun: what waits for this goes on waiting. */
export const unlessEnding = () => (ending ? new Promise(() => {}) : undefined);

/** Ends a program that `start` began, and every program that it began in turn (even if it has itself ended by now). */
export function endGroup(child, signal = 'SIGTERM') {
  if (child.pid === undefined) return;
  try {
    if (process.platform === 'win32') child.kill(signal);
    else process.kill(-child.pid, signal);
  } catch {
    // Already gone.
  }
}

/** Asks every program that is still running to end, so that it can clean up; after five seconds it has no choice. */
async function endAll() {
  ending = true;
  for (const child of running) endGroup(child);
  const deadline = Date.now() + 5000;
  while (running.size > 0 && Date.now() < deadline) await new Promise((resolve) => setTimeout(resolve, 50));
  for (const child of running) endGroup(child, 'SIGKILL');
}

process.once('exit', () => {
  for (const child of running) endGroup(child);
});
for (const [signal, code] of [
  ['SIGINT', 130],
  ['SIGTERM', 143],
  ['SIGHUP', 129],
]) {
  process.once(signal, () => endAll().finally(() => process.exit(code)));
}

/** Starts a program in a process group of its own, so that nothing of it is left behind. */
export function start(program, args, { cwd = root, env = {}, stdio = ['ignore', 'pipe', 'pipe'] } = {}) {
  const child = spawn(program, args, {
    cwd,
    env: { ...process.env, ...env },
    stdio,
    detached: process.platform !== 'win32',
  });
  running.add(child);
  child.once('close', () => running.delete(child));
  return child;
}

/**
 * Runs a program to its end. `quiet` keeps its output back and returns it.
 * @returns {Promise<{ code: number, output: string, timedOut: boolean }>} code 127 when it could not be started.
 */
export function run(program, args, { quiet = false, seconds = 600, ...options } = {}) {
  return new Promise((resolve) => {
    const child = start(program, args, {
      ...options,
      stdio: quiet ? ['ignore', 'pipe', 'pipe'] : ['ignore', 'inherit', 'inherit'],
    });
    let output = '';
    let timedOut = false;
    child.stdout?.on('data', (bytes) => (output += bytes));
    child.stderr?.on('data', (bytes) => (output += bytes));
    const timer = setTimeout(() => {
      timedOut = true;
      endGroup(child);
      lastResort = setTimeout(() => endGroup(child, 'SIGKILL'), 5000);
    }, seconds * 1000);
    let lastResort;
    const done = (code) => {
      clearTimeout(timer);
      clearTimeout(lastResort);
      running.delete(child);
      resolve(unlessEnding() ?? { code, output, timedOut });
    };
    child.once('error', (error) => {
      output += String(error);
      done(127);
    });
    child.once('close', (code) => done(code ?? 1));
  });
}

/** Runs one named step quietly; says how long it took, and shows its output only when it fails. */
export async function step(label, program, args, options = {}) {
  const from = Date.now();
  process.stdout.write(`${label} ... `);
  const result = await run(program, args, { quiet: true, ...options });
  const seconds = ((Date.now() - from) / 1000).toFixed(1);
  if (result.code === 0) {
    console.log(`done (${seconds} s)`);
    return result.output;
  }
  console.log(result.timedOut ? `stopped after ${seconds} s` : `failed (${seconds} s)`);
  throw new Trouble(
    `${result.output.trim().split('\n').slice(-60).join('\n')}\n\n${label}: failed.${options.hint ? `\n${options.hint}` : ''}`,
  );
}

/** Runs npm with the npm that started us, if one did. */
export function npmCommand(args) {
  const script = process.env.npm_execpath;
  if (script?.endsWith('.js') && existsSync(script)) return [process.execPath, [script, ...args]];
  return [process.platform === 'win32' ? 'npm.cmd' : 'npm', args];
}

const modified = (path) => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;

/** Installs the packages of package-lock.json unless they stand already. npm writes the marker file last. */
export async function ensureInstalled() {
  const marker = modified(at('node_modules', '.package-lock.json'));
  if (marker !== 0 && marker >= modified(at('package-lock.json'))) return;
  await step('Installing the packages of package-lock.json', ...npmCommand(['ci', '--no-audit', '--no-fund']), {
    hint: "The first run downloads packages with npm: check the network, and npm's proxy and registry settings (npm config list).",
  });
}

/** The full path of a program that a shell would find by this name. */
export function onPath(name) {
  const names = process.platform === 'win32' ? [`${name}.cmd`, `${name}.exe`] : [name];
  const candidates = (process.env.PATH ?? '')
    .split(delimiter)
    .flatMap((folder) => names.map((each) => join(folder, each)));
  return candidates.find((path) => {
    try {
      accessSync(path, constants.X_OK);
      return statSync(path).isFile();
    } catch {
      return false;
    }
  });
}

function isDebian() {
  try {
    return /^ID=debian$/m.test(readFileSync('/etc/os-release', 'utf8'));
  } catch {
    return false;
  }
}

/** The browser that the editor tests drive. Installed with apt-get where that can be done unasked. */
export async function ensureChromium() {
  const found = process.env.CHROMIUM ?? onPath('chromium') ?? onPath('chromium-browser') ?? onPath('google-chrome');
  if (found !== undefined) return found;
  if (!canInstall()) {
    throw new Trouble(
      'The editor tests need a Chromium browser and none was found.\n' +
        'On Debian: sudo apt-get install --no-install-recommends chromium\n' +
        'Elsewhere install Chromium your usual way, or set CHROMIUM to the path of one.',
    );
  }
  await install(
    'chromium',
    'Install Debian\'s package "chromium" by hand, or set CHROMIUM to the path of a Chromium browser.',
  );
  return onPath('chromium');
}

/**
 * Another editor, whose own client some tests drive, and the compiler that makes its parser of plans. Where one of them is
 * not there and cannot be installed, those tests are left out.
 */
export async function ensureNeovim() {
  for (const [program, name] of [
    ['nvim', 'neovim'],
    ['cc', 'build-essential'],
  ]) {
    if (onPath(program) !== undefined) continue;
    if (canInstall()) await install(name, `Install Debian's package "${name}" by hand.`);
    else console.log(`${program} is not here: its tests are left out. On Debian: sudo apt-get install ${name}`);
  }
}

const canInstall = () => isDebian() && process.getuid?.() === 0 && onPath('apt-get') !== undefined;

async function install(name, hint) {
  const env = { DEBIAN_FRONTEND: 'noninteractive' };
  const args = ['install', '-y', '-q', '--no-install-recommends', name];
  await step("Reading Debian's package list", 'apt-get', ['update', '-q'], { env, hint });
  await step(`Installing Debian's package ${name}`, 'apt-get', args, { env, hint });
}

/** A folder for logs, reports and screenshots; ignored by git. */
export function cache(...parts) {
  const folder = join(cacheFolder, ...parts);
  mkdirSync(folder, { recursive: true });
  return folder;
}

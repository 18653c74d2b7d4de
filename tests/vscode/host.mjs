/**
 * Runs in-host/ inside an extension host: always in the served VS Code, and in a desktop one as well if VSCODE_PATH
 * names it. The packed extension is installed; the "extension under development" is a bystander that does nothing.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, cache, command } from '../../client/scripts/workshop.mjs';
import { Checks, openWorkbench, packedExtension, screenshot, waitUntil, withEditor } from './harness.mjs';

const plans = at('tests', 'vscode', 'fixture');
const bystander = at('tests', 'vscode', 'bystander');
const compiled = join(cache('in-host'), 'index.cjs');

const compile = () =>
  build({
    entryPoints: [at('tests', 'vscode', 'in-host', 'index.ts')],
    outfile: compiled,
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['vscode'],
    logLevel: 'warning',
  });

function readResults(checks, where, file) {
  for (const { name, error } of JSON.parse(readFileSync(file, 'utf8'))) {
    const title = `${where}: ${name}`;
    if (error !== undefined) checks.fail(title, error);
    else {
      checks.passed.push(title);
      console.log(`  ok    ${title}`);
    }
  }
}

async function inServedEditor(checks) {
  const results = join(cache('reports'), 'in-host.json');
  rmSync(results, { force: true });
  const options = { plans, testDriver: true, env: { FESTOON_RESULTS: results } };
  await withEditor(options, async ({ server, browser, folder }) => {
    const remote = (path) => `vscode-remote://${new URL(server.address).host}${path}`;
    const payload = [
      ['extensionDevelopmentPath', remote(bystander)],
      ['extensionTestsPath', remote(compiled)],
    ];
    const page = await openWorkbench(browser, workbenchAddress(server, folder, { payload }));
    const said = [];
    page.on('console', (message) => said.push(message.text()));
    try {
      await waitUntil('results of the tests in the extension host', () => existsSync(results), 180);
    } catch (error) {
      await screenshot(page, 'failed-host');
      throw new Error(`${error.message}\n${said.slice(-30).join('\n')}`);
    }
  });
  readResults(checks, 'served', results);
}

async function inDesktopEditor(checks, vscodeExecutablePath) {
  const { runTests } = await import('@vscode/test-electron');
  const profile = mkdtempSync(join(tmpdir(), 'festoon-test-'));
  const results = join(profile, 'results.json');
  const own = ['--user-data-dir', join(profile, 'user'), '--extensions-dir', join(profile, 'extensions')];
  if (process.platform === 'linux' && process.getuid() === 0) own.push('--no-sandbox');
  try {
    spawnSync(vscodeExecutablePath, [...own, '--install-extension', packedExtension], { stdio: 'inherit' });
    const folder = join(profile, 'plans');
    cpSync(plans, folder, { recursive: true });
    const launchArgs = [folder, ...own, '--disable-workspace-trust', '--skip-welcome', '--skip-release-notes'];
    const extensionTestsEnv = { FESTOON_RESULTS: results };
    await runTests({
      vscodeExecutablePath,
      extensionDevelopmentPath: bystander,
      extensionTestsPath: compiled,
      launchArgs,
      extensionTestsEnv,
    })
      // A failed test rejects too; the results say which.
      .catch((error) => {
        if (!existsSync(results)) throw error;
      });
    if (!existsSync(results)) throw new Error('the desktop editor ended without running the tests');
    readResults(checks, 'desktop', results);
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
  }
}

await command(async () => {
  const checks = new Checks('host');
  await compile();
  await inServedEditor(checks).catch((error) => checks.fail('served editor', error));
  const desktop = process.env.VSCODE_PATH;
  if (desktop !== undefined)
    await inDesktopEditor(checks, desktop).catch((error) => checks.fail('desktop editor', error));
  return checks.finish();
});

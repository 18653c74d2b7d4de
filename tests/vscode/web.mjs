/**
 * The extension in a browser without a machine behind it: the workbench runs the packed extension in its web worker
 * host, where there is no Node, and the language server is a worker of the browser too.
 */
import assert from 'node:assert/strict';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, command } from '../../client/scripts/workshop.mjs';
import { Checks, openWorkbench, runCommand, screenshot, seePicture, waitUntil, withEditor } from './harness.mjs';

const plan = 'boathouse/flawed/plan.festoon';
const problem = /eaves sags to [\d.]+ V at pixel 200/;

const settings = {
  // The one kind that is admitted is loaded from `browser` of the manifest; `main` is for machines.
  'remote.extensionKind': { 'festoon.festoon': ['web'] },
  'extensions.webWorker': true,
};

/** Processes that run the server as a program of a machine: in a browser there is none. */
function serverProcesses(folder) {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap((name) => {
      try {
        return readFileSync(`/proc/${name}/cmdline`, 'utf8');
      } catch {
        return []; // It has ended meanwhile.
      }
    })
    .filter((line) => line.includes(join(folder, '..', 'extensions')) && line.includes('server.cjs'));
}

async function tell(checks, { page, folder }) {
  const failures = [];
  page.on('console', (message) => {
    if (message.text().includes("Activating extension 'festoon.festoon' failed")) failures.push(message.text());
  });
  await checks.check('web: what is wrong is underlined, with the parts of the other file known', async () => {
    await page.locator('.squiggly-warning').first().waitFor({ timeout: 60_000 });
    await page.keyboard.press('Control+B');
    assert.deepEqual(failures, []);
  });
  await checks.check('web: no program of a machine does it', () => assert.deepEqual(serverProcesses(folder), []));
  const row = page.locator('.markers-panel .monaco-list-row', { hasText: problem }).first();
  await checks.check('web: the Problems panel names the pixel and the value', async () => {
    await page.keyboard.press('Control+Shift+M');
    await page.locator('.panel input[placeholder^="Filter"]').fill('eaves');
    await row.waitFor();
    await row.dblclick();
    await page.keyboard.press('Control+J');
  });
  await checks.check('web: pointing at the run draws the voltage along it', async () => {
    await seePicture(page, 'run eaves', 'eaves');
    await screenshot(page, '10-web-hover');
    await page.keyboard.press('Escape');
  });
  const hinted = page.locator('.editor-instance .view-line', { hasText: 'run eaves' }).first();
  await checks.check('web: computed values stand beside the run', () =>
    hinted.filter({ hasText: /\d.V.at.200/ }).waitFor(),
  );
  await checks.check('web: the server is started anew, and says the same', async () => {
    await runCommand(page, 'Festoon: Restart Language Server');
    await hinted.filter({ hasText: /\d.V.at.200/ }).waitFor({ timeout: 30_000 });
    await page.locator('.squiggly-warning').first().waitFor();
  });
  await checks.check('web: the power stands in the Explorer', async () => {
    await runCommand(page, 'Explorer: Focus on Festoon Power View');
    const row = page.locator('.pane-body .monaco-list-row[aria-label^="supply quay-power: warning"]');
    await row.filter({ hasText: /supply-overloaded · .*91 %/ }).waitFor();
    await screenshot(page, '10-web-power');
    await page.keyboard.press('Control+B');
  });
  await checks.check('web: the drawing is drawn', async () => {
    await runCommand(page, 'Festoon: Show Drawing');
    const title = page
      .frameLocator('iframe.webview')
      .frameLocator('iframe#active-frame')
      .locator('g.stop > title', { hasText: 'Run eaves: 200 pixels' });
    await title.first().waitFor({ state: 'attached' });
    await screenshot(page, '10-web-drawing');
  });
  await checks.check('web: papers are saved where the person chooses', async () => {
    await page.locator('.editor-instance .view-line', { hasText: 'run eaves' }).first().click();
    await runCommand(page, 'Festoon: Save Papers to Print into a Folder');
    const dialog = page.locator('.quick-input-widget', { hasText: 'Where do the papers go?' });
    await dialog.waitFor();
    await screenshot(page, '10-web-papers');
    await dialog.getByRole('button', { name: 'Save papers here' }).click();
    const report = join(folder, 'boathouse/flawed/report.html');
    await waitUntil('the report', () => existsSync(report) && /eaves/.test(readFileSync(report, 'utf8')), 30);
  });
}

/** Where a machine is at hand the program runs on it; so the look for processes can find one. */
async function tellMachine(checks, { browser, address, folder, setSettings }) {
  setSettings({ 'remote.extensionKind': {} });
  const page = await openWorkbench(browser, address);
  checks.page = page;
  await checks.check('beside a machine the server is a program of it', () =>
    waitUntil('the program', () => serverProcesses(folder).length > 0, 60),
  );
  await page.context().close();
}

await command(async () => {
  const checks = new Checks('web');
  await withEditor({ plans: at('samples'), settings }, async ({ server, browser, folder, setSettings }) => {
    const file = join(folder, plan);
    const line =
      readFileSync(file, 'utf8')
        .split('\n')
        .findIndex((text) => text.startsWith('run eaves')) + 1;
    const address = workbenchAddress(server, folder, { file, line });
    const page = await openWorkbench(browser, address, { width: 1200, height: 800 });
    checks.page = page;
    await tell(checks, { page, folder });
    await page.context().close();
    await tellMachine(checks, { browser, address, folder, setSettings });
  }).catch((error) => checks.fail('the run as a whole', error));
  return checks.finish();
});

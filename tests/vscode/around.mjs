/**
 * What is around a plan in the real workbench: what changed since the last commit, the panel after a reload, the language
 * status, the walkthrough, plans inside Markdown, two folders in one window, files that change on the disk, and the tree of the
 * power in the Explorer.
 */
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, command } from '../../client/scripts/workshop.mjs';
import {
  Checks,
  openFile,
  openWorkbench,
  panelFrame,
  runCommand,
  screenshot,
  waitUntilAsync,
  withEditor,
} from './harness.mjs';

const notes = 'notes.md';
const markdown =
  'First the plan:\n\n```festoon\nrun door  from box.1 {\n  lead  2 m  of three-core-18\n}\n```\n\nlead on\n';

/** A git repository with everything committed. */
function commitAll(folder) {
  const git = (...args) => {
    const own = ['-c', 'user.name=Crew', '-c', 'user.email=crew@example.invalid', '-c', 'init.defaultBranch=main'];
    const { status, stderr } = spawnSync('git', [...own, ...args], { cwd: folder, encoding: 'utf8' });
    assert.equal(status, 0, stderr);
  };
  writeFileSync(join(folder, notes), markdown);
  git('init', '--quiet');
  git('add', '--all');
  git('commit', '--quiet', '--message', 'As it hung last year');
}

async function tellChanges(checks, page) {
  await runCommand(page, 'Festoon: Show What Changed Since the Last Commit');
  const frame = await panelFrame(page);
  await checks.check('a plan as committed has not changed', async () => {
    await frame.getByRole('button', { name: 'What changed', pressed: true }).waitFor();
    await frame.locator('.sheet', { hasText: 'Nothing that Festoon computes has changed' }).waitFor();
  });
  await checks.check('an edit shows what it does in amps and volts, before it is saved', async () => {
    await page.locator('.editor-instance .view-line', { hasText: 'string' }).first().click();
    await page.keyboard.press('Control+H');
    await page.keyboard.type('50 px');
    await page.keyboard.press('Tab');
    await page.keyboard.type('60 px');
    await page.keyboard.press('Control+Alt+Enter');
    await page.keyboard.press('Escape');
    // 50 px x 56.5 mA = 2.83 A at full white before, 60 px x 56.5 mA = 3.39 A now.
    await frame
      .locator('tr', { hasText: /2\.8\d A/ })
      .filter({ hasText: /3\.3\d A|3\.4\d A/ })
      .first()
      .waitFor();
    await screenshot(page, '11-what-changed');
  });
  return frame;
}

async function tellReload(checks, page, frame) {
  await checks.check('the panel comes back with the view that it had', async () => {
    await frame.getByRole('button', { name: 'Places and ways' }).click();
    await frame.getByRole('button', { name: 'Places and ways', pressed: true }).waitFor();
    await page.locator('.editor-instance .view-line', { hasText: 'run door' }).first().click();
    await page.keyboard.press('Control+S');
    await page.locator('.tab.active:not(.dirty)', { hasText: 'plan.festoon' }).first().waitFor();
    // The window's own way to start anew: it writes down first what it had open.
    const loaded = page.waitForEvent('load', { timeout: 60_000 });
    await runCommand(page, 'Developer: Reload Window');
    await loaded;
    await page.locator('.monaco-workbench').waitFor({ timeout: 60_000 });
    const again = await panelFrame(page);
    await again.getByRole('button', { name: 'Places and ways', pressed: true }).waitFor();
    await screenshot(page, '12-after-reload');
  });
}

async function tellStatus(checks, page) {
  await checks.check('the language status tells that the server runs', async () => {
    await page.locator('.editor-instance .view-line', { hasText: 'run door' }).first().click();
    await page.locator('[id="status.languageStatus"]').first().click();
    await page.locator('.monaco-hover', { hasText: 'language server running' }).first().waitFor();
    await screenshot(page, '13-language-status');
    await page.keyboard.press('Escape');
  });
}

async function tellWalkthrough(checks, page) {
  await checks.check('the walkthrough reads as texts, and its first step has a button', async () => {
    await runCommand(page, 'Welcome: Open Walkthrough...');
    const input = page.locator('.quick-input-widget input[type=text]:visible');
    await input.fill('Start with Festoon');
    await page.locator('.quick-input-list .monaco-list-row', { hasText: 'Start with Festoon' }).first().click();
    const tour = page.locator('.gettingStartedContainer');
    await tour.locator('.step-title', { hasText: 'Write a first plan' }).first().waitFor();
    await tour.locator('.step-title', { hasText: 'Check before you wire' }).first().waitFor();
    await tour.locator('button, a.monaco-button', { hasText: 'New Plan' }).first().waitFor();
    assert.doesNotMatch((await tour.textContent()) ?? '', /%walkthrough/);
    await screenshot(page, '14-walkthrough');
  });
}

async function tellMarkdown(checks, browser, address) {
  const page = await openWorkbench(browser, address, { width: 1200, height: 700 });
  checks.page = page;
  await checks.check('a plan inside Markdown has its colours, and the text around it has not', async () => {
    const colourOf = (line) =>
      page
        .locator('.editor-instance .view-line', { hasText: line })
        .first()
        .evaluate((row) => {
          const spans = [...row.querySelectorAll('span span')];
          return getComputedStyle(spans.find(({ textContent }) => /lead/.test(textContent ?? '')) ?? row).color;
        });
    await page.locator('.editor-instance .view-line', { hasText: 'three-core' }).first().waitFor();
    // Colours of embedded languages come a good moment after the text.
    const differs = async () => (await colourOf('three-core')) !== (await colourOf('lead on'));
    await waitUntilAsync('colours inside the block', differs, 40);
    await screenshot(page, '15-markdown');
  });
  await page.context().close();
}

/** One window with two folders, each of which has a plan and parts of its own under the same names. */
async function tellFolders(checks, browser, server, folder) {
  const both = join(folder, '..', 'both.code-workspace');
  const folders = ['first-string', 'five-volts'].map((name) => ({ path: join(folder, name) }));
  writeFileSync(both, JSON.stringify({ folders }));
  const page = await openWorkbench(browser, workbenchAddress(server, both), { width: 1200, height: 700 });
  checks.page = page;
  const hinted = (line) => page.locator('.editor-instance .view-line', { hasText: line }).first();
  await checks.check('two folders in one window: each plan is computed with the parts of its own folder', async () => {
    await openFile(page, 'five-volts/plan.festoon');
    await hinted(/run.wreath.*\d.V.at.90/).waitFor({ timeout: 60_000 });
    await openFile(page, 'first-string/plan.festoon');
    // An earlier check made 60 pixels of the 50.
    await hinted(/run.door.*\d.V.at.60/).waitFor();
    assert.equal(await page.locator('.editor-instance .squiggly-error').count(), 0);
    await screenshot(page, '16-two-folders');
  });
  const parts = join(folder, 'first-string/parts.festoon');
  const before = readFileSync(parts, 'utf8');
  await checks.check('parts that another program changes on the disk are read again', async () => {
    writeFileSync(parts, before.replace('part pixel bullet-12', 'part pixel bullet-13'));
    await page.locator('.editor-instance .squiggly-error').first().waitFor({ timeout: 30_000 });
    await screenshot(page, '17-changed-on-disk');
    writeFileSync(parts, before);
    await page.locator('.editor-instance .squiggly-error').first().waitFor({ state: 'detached', timeout: 30_000 });
  });
  await page.context().close({ runBeforeUnload: false });
}

const flawed = 'boathouse/flawed/plan.festoon';
const POWER_THEMES = ['Default High Contrast', 'Default Dark Modern'];

/** The tree of the power in the Explorer: empty, then of a plan, as it is pointed at and clicked. */
async function tellPower(checks, { browser, address, theme, setSettings }) {
  setSettings({ 'git.enabled': true, 'workbench.colorTheme': theme });
  const page = await openWorkbench(browser, address, { width: 1500, height: 900 });
  checks.page = page;
  const header = page.locator('.pane-header[aria-label^="Festoon Power"]');
  const pane = page.locator('.pane', { has: header });
  // A row by what a screen reader says of it.
  const row = (spoken) => pane.locator(`.monaco-list-row[aria-label^="${spoken}"]`);
  await checks.check(`${theme}: without a plan the view offers to begin one`, async () => {
    await header.click();
    await pane.locator('.monaco-button', { hasText: 'New Plan' }).waitFor({ timeout: 60_000 });
  });
  await checks.check(`${theme}: the view tells loads, what is left and what is wrong, in words`, async () => {
    await page.locator('.pane-header', { hasText: 'plans' }).click();
    await openFile(page, flawed);
    // Both are told of in samples/boathouse/flawed/README.md.
    await row('supply quay-power: warning')
      .filter({ hasText: /supply-overloaded · .*A, 91 % · nothing to spare/ })
      .waitFor({ timeout: 60_000 });
    await row('run eaves: warning')
      .filter({ hasText: /low-voltage · .*A, 10\.25 V at 200/ })
      .waitFor();
    // Above them what is wrong, below them what is not.
    const order = await pane.locator('.monaco-list-row').allTextContents();
    const place = (name) => order.findIndex((text) => text.startsWith(name));
    assert.ok(place('star') < place('eaves') && place('eaves') < place('railing'), order.join('\n'));
    await screenshot(page, `18-power-${theme}`);
  });
  await checks.check(`${theme}: pointing at a row shows what pointing at its word shows`, async () => {
    await row('run eaves').locator('.label-name').hover();
    const hover = page.locator('.monaco-hover', { hasText: 'eaves sags to 10.25' }).first();
    await hover.locator('img').first().waitFor();
    await screenshot(page, `19-power-hover-${theme}`);
    await page.mouse.move(900, 700);
  });
  await checks.check(`${theme}: a click leads to the word`, async () => {
    await row('run eaves').click();
    await page.locator('.statusbar-item', { hasText: 'Ln 46, Col 10 (5 selected)' }).first().waitFor();
  });
  return { page, row };
}

/** Comes last: an editor that is closed keeps what was not saved, and opens it with the next window. */
async function tellPowerEdited(checks, { page, row }) {
  await checks.check('an edit is followed in the view, and what was open in it stays open', async () => {
    await row('supply loft-power').locator('.monaco-tl-twistie').click();
    await row('output 2:').filter({ hasText: 'of 10 A' }).filter({ hasText: 'eaves-middle' }).waitFor();
    await page.locator('.editor-instance .view-line', { hasText: 'feed eaves-middle' }).first().click();
    await page.keyboard.press('Home');
    await page.keyboard.type('# ');
    // Without the feed nothing hangs on the output.
    await row('output 2: free, fuse 10 A').waitFor();
    await screenshot(page, '20-power-edited');
  });
}

await command(async () => {
  const checks = new Checks('around');
  const options = { plans: at('samples'), prepare: commitAll, settings: { 'git.enabled': true } };
  await withEditor(options, async ({ server, browser, folder, setSettings }) => {
    // No file in the address: a workbench that starts anew opens what it had open.
    const page = await openWorkbench(browser, workbenchAddress(server, folder), { width: 1500, height: 900 });
    checks.page = page;
    await openFile(page, 'first-string/plan.festoon');
    await page
      .locator('.editor-instance .view-line', { hasText: /\d.V.at.50/ })
      .first()
      .waitFor({ timeout: 60_000 });
    await page.keyboard.press('Control+B');
    await tellStatus(checks, page);
    const frame = await tellChanges(checks, page);
    await tellReload(checks, page, frame);
    await tellWalkthrough(checks, page);
    await page.context().close({ runBeforeUnload: false });
    await tellMarkdown(checks, browser, workbenchAddress(server, folder, { file: join(folder, notes), line: 1 }));
    await tellFolders(checks, browser, server, folder);
    const address = workbenchAddress(server, folder);
    for (const theme of POWER_THEMES) {
      const shown = await tellPower(checks, { browser, address, theme, setSettings });
      if (theme === POWER_THEMES.at(-1)) await tellPowerEdited(checks, shown);
      await shown.page.context().close({ runBeforeUnload: false });
    }
  }).catch((error) => checks.fail('the run as a whole', error));
  return checks.finish();
});

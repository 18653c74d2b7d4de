/**
 * Drives the real workbench as a person would, with the packed extension: opens the boathouse as it was first drawn,
 * sees what is wrong with the eaves, lets the light bulb mend it, and saves.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, command, run } from '../../client/scripts/workshop.mjs';
import { Checks, openWorkbench, screenshot, seePicture, waitUntil, withEditor } from './harness.mjs';

/** The first warning that samples/boathouse/flawed/README.md tells of: the far end of the eaves. */
const plan = 'boathouse/flawed/plan.festoon';
const element = 'gutter-back';
const problem = /eaves sags to [\d.]+ V at pixel \d+ \(gutter-back\)/;
const offer = /^Inject at eaves/;

const problemRow = (page) => page.locator('.markers-panel .monaco-list-row', { hasText: problem }).first();

/** What the command line says of a plan: the editor must say the same. */
async function commandLine(file) {
  const { code, output } = await run(process.execPath, [at('dist', 'cli.cjs'), 'check', '--format', 'json', file], {
    quiet: true,
  });
  assert.equal(code, 1, output);
  const [{ counts, findings }] = JSON.parse(output).plans;
  return { counts, findings };
}

/** The counts of errors and warnings in the status bar, as a screen reader would read them. */
const editorCounts = (page) => page.locator('[id="status.problems"] a').first().getAttribute('aria-label');
const spoken = ({ error, warning }) =>
  new RegExp(`${error} Errors?.*${warning} Warnings?|Errors: ${error}.*Warnings: ${warning}`, 'i');

async function takeOffer(page) {
  await problemRow(page).dblclick();
  await page.locator('.lightBulbWidget:visible, .monaco-editor [class*=lightbulb]:visible').first().click();
  const fix = page.locator('.action-widget .monaco-list-row', { hasText: offer }).first();
  await fix.waitFor();
  await screenshot(page, '4-light-bulb');
  await fix.click();
  await problemRow(page).waitFor({ state: 'detached' });
}

/** Every line of `before` stands in `after`, in the same order. */
function assertKept(before, after) {
  const lines = after.split('\n');
  let from = 0;
  for (const line of before.split('\n')) {
    const found = lines.indexOf(line, from);
    assert.ok(found >= 0, `gone: ${line}`);
    from = found + 1;
  }
}

async function tell(checks, { page, file }) {
  const before = readFileSync(file, 'utf8');
  const first = await commandLine(file);
  await checks.check('the plan opens as Festoon', async () => {
    await page.locator('.statusbar-item', { hasText: 'Festoon' }).first().waitFor({ timeout: 60_000 });
    // The side bar would take the room that the lines of the plan need.
    await page.keyboard.press('Control+B');
  });
  await checks.check('what is wrong is underlined', async () => {
    await page.locator('.squiggly-warning').first().waitFor({ timeout: 30_000 });
    await page.locator('.squiggly-error').first().waitFor();
  });
  await checks.check('the editor counts what the command line counts', async () => {
    await waitForCounts(page, first.counts);
  });
  const figure = first.findings.map(({ message }) => message.match(/eaves sags to ([\d.]+) V/)?.[1]).find(Boolean);
  const hinted = page
    .locator('.editor-instance .view-line', { hasText: 'run eaves' })
    .first()
    .filter({ hasText: /\d.V.at.\d/ });
  await checks.check('the figure of the warning stands beside the run', () =>
    hinted.filter({ hasText: figure }).waitFor(),
  );
  await screenshot(page, '1-plan');
  await checks.check('pointing at the run draws the voltage along it', async () => {
    await seePicture(page, 'run eaves', 'eaves');
    await screenshot(page, '2-hover');
    await page.keyboard.press('Escape');
  });
  await checks.check('the Problems panel names the pixel, the value and the limit', async () => {
    await page.keyboard.press('Control+Shift+M');
    await page.locator('.panel input[placeholder^="Filter"]').fill('eaves');
    await problemRow(page).waitFor();
    assert.match(await problemRow(page).textContent(), /at pixel 200.*needs 10\.80.V/);
    await screenshot(page, '3-problems');
  });
  await checks.check('the light bulb offers an injection, and the warning goes', async () => {
    await takeOffer(page);
  });
  await checks.check('the computed values follow', async () => {
    await hinted.filter({ hasNotText: figure }).waitFor();
    await screenshot(page, '5-mended');
  });
  await checks.check('nothing is on disk before it is saved', async () => {
    assert.equal(readFileSync(file, 'utf8'), before);
  });
  await checks.check(
    'the saved plan has one more feed, keeps every line, and is otherwise as bad as before',
    async () => {
      await page.keyboard.press('Control+S');
      const after = await waitUntil('the saved plan', () => {
        const text = readFileSync(file, 'utf8');
        return text !== before && text;
      });
      assertKept(before, after);
      const count = (text) => text.match(/^feed .* to eaves/gm)?.length ?? 0;
      assert.equal(count(after), count(before) + 1);
      const last = await commandLine(file);
      const others = ({ findings }) =>
        findings.map(({ code, message }) => `${code} ${message}`).filter((text) => !problem.test(text));
      assert.equal(last.findings.length, first.findings.length - 1);
      assert.deepEqual(others(last), others(first));
      await waitForCounts(page, last.counts);
    },
  );
}

async function waitForCounts(page, counts) {
  const deadline = Date.now() + 15_000;
  let label = await editorCounts(page);
  while (!spoken(counts).test(label ?? '') && Date.now() < deadline) {
    await page.waitForTimeout(100);
    label = await editorCounts(page);
  }
  assert.match(label ?? '', spoken(counts));
}

await command(async () => {
  const checks = new Checks('ui');
  await withEditor({ plans: at('samples') }, async ({ server, browser, folder }) => {
    const file = join(folder, plan);
    const line =
      readFileSync(file, 'utf8')
        .split('\n')
        .findIndex((text) => text.includes(element)) + 1;
    const page = await openWorkbench(browser, workbenchAddress(server, folder, { file, line }), {
      width: 1200,
      height: 800,
    });
    checks.page = page;
    await tell(checks, { page, file });
  }).catch((error) => checks.fail('the run as a whole', error));
  return checks.finish();
});

/**
 * The drawing panel in the real workbench: what is drawn, that a click leads to the line, that an edit redraws in place,
 * that keys and a table do what the mouse does, and that no theme breaks it (axe-core, all four kinds of theme).
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, command } from '../../client/scripts/workshop.mjs';
import { Checks, openWorkbench, panelFrame, runCommand, screenshot, waitUntilAsync, withEditor } from './harness.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const plan = 'boathouse/flawed/plan.festoon';
const WINDOW = { width: 1700, height: 1000 };
const THEMES = [
  ['Default Light Modern', 'vscode-light'],
  ['Default High Contrast', 'vscode-high-contrast'],
  ['Default High Contrast Light', 'vscode-high-contrast-light'],
  ['Default Dark Modern', 'vscode-dark'],
];

const stop = (frame, says) =>
  frame
    .locator('g.stop', {
      has: frame.locator('> title', { hasText: new RegExp(`^${says.replace(/[.[\]]/g, '\\$&')}`) }),
    })
    .first();

async function tell(checks, { page }) {
  await page.locator('.squiggly-warning').first().waitFor({ timeout: 60_000 });
  await page.keyboard.press('Control+B');
  await runCommand(page, 'Festoon: Show Drawing');
  const frame = await panelFrame(page);
  await checks.check('every run is drawn with its feeds', async () => {
    await stop(frame, 'Run eaves: 200 pixels').waitFor();
    await stop(frame, 'Feed eaves-middle from loft-power.2').waitFor();
    await screenshot(page, '6-drawing-wiring');
  });
  await checks.check('what is low says so in words', () =>
    stop(frame, 'Least voltage 10.25 V at pixel 200, LOW').waitFor(),
  );
  await checks.check('a click leads to the line', async () => {
    await stop(frame, 'Feed eaves-middle').locator('text').first().click();
    await page.locator('.editor-instance .view-line', { hasText: 'feed eaves-middle' }).first().waitFor();
    await waitUntilAsync('the mark of the cursor', async () => (await frame.locator('g.stop.here').count()) > 0);
  });
  await checks.check('a run shows the voltage along it for every look', async () => {
    await frame.getByRole('button', { name: 'Run', exact: true }).click();
    await stop(frame, 'full-white at 100 %: from').waitFor();
    await stop(frame, 'blue at 100 %: from').waitFor();
    await screenshot(page, '7-drawing-run');
  });
  await checks.check('the site counts cables on routes', async () => {
    await frame.getByRole('button', { name: 'Places and ways' }).click();
    await stop(frame, 'Route quay to jetty').waitFor();
    await screenshot(page, '8-drawing-site');
  });
  await checks.check('keys walk from thing to thing, and Enter opens', async () => {
    await frame.getByRole('button', { name: 'Wiring' }).click();
    await stop(frame, 'Run eaves').waitFor();
    await frame.locator('g.stop[tabindex="0"]').first().focus();
    await page.keyboard.press('Home');
    const first = await frame.evaluate(() => document.activeElement?.querySelector('title')?.textContent);
    await page.keyboard.press('ArrowDown');
    const second = await frame.evaluate(() => document.activeElement?.querySelector('title')?.textContent);
    assert.match(first ?? '', /^Run eaves/);
    assert.notEqual(second, first);
    await page.keyboard.press('Enter');
    await waitUntilAsync('the focus in the editor', () =>
      page.evaluate(() => document.activeElement?.closest('.monaco-editor') !== null),
    );
  });
  await checks.check('an edit redraws in place', async () => {
    const place = page.locator('.statusbar-item', { hasText: /^Ln \d+, Col \d+/ });
    const before = await place.textContent();
    await page.keyboard.press('Control+End');
    await waitUntilAsync('the end of the plan', async () => (await place.textContent()) !== before);
    await page.keyboard.type('\nrun extra from yard-box.4 {\nstring more 7 px of bullet-12 every 75 mm\n}\n');
    await stop(frame, 'Run extra: 7 pixels').waitFor();
  });
  await checks.check('all of it can be read as a table', async () => {
    await frame.getByRole('button', { name: 'As a table' }).click();
    await frame.locator('td', { hasText: 'Run eaves: 200 pixels' }).first().waitFor();
    assert.ok((await frame.locator('table tr').count()) > 40);
    await frame.getByRole('button', { name: 'As a table' }).click();
  });
}

/** Each theme in a window of its own, as it starts with it. */
async function tellThemes(checks, { browser, address, setSettings }) {
  for (const [theme, kind] of THEMES) {
    setSettings({ 'workbench.colorTheme': theme });
    const page = await openWorkbench(browser, address, WINDOW);
    checks.page = page;
    await checks.check(`axe finds nothing in ${theme}`, async () => {
      await page.locator('.squiggly-warning').first().waitFor({ timeout: 60_000 });
      await page.keyboard.press('Control+B');
      await runCommand(page, 'Festoon: Show Drawing');
      const frame = await panelFrame(page);
      await frame.locator(`body.${kind}`).waitFor();
      await stop(frame, 'Run eaves').waitFor();
      await frame.evaluate(axe);
      const { violations, passes } = await frame.evaluate(() => window.axe.run(document));
      assert.ok(passes.length > 3);
      const told = violations.map(
        ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`,
      );
      assert.deepEqual(told, []);
      await screenshot(page, `9-drawing-${kind}`);
    });
    await page.context().close();
  }
}

await command(async () => {
  const checks = new Checks('drawing');
  await withEditor({ plans: at('samples') }, async ({ server, browser, folder, setSettings }) => {
    const file = join(folder, plan);
    const address = workbenchAddress(server, folder, { file, line: 1 });
    const page = await openWorkbench(browser, address, WINDOW);
    checks.page = page;
    await tell(checks, { page });
    await page.context().close({ runBeforeUnload: false });
    await tellThemes(checks, { browser, address, setSettings });
  }).catch((error) => checks.fail('the run as a whole', error));
  return checks.finish();
});

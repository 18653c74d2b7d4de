/** Drives the real workbench as a person would, with the packed extension. */
import { workbenchAddress } from '../../client/scripts/editor-server.mjs';
import { at, command } from '../../client/scripts/workshop.mjs';
import { Checks, openWorkbench, runCommand, screenshot, withEditor } from './harness.mjs';

await command(async () => {
  const checks = new Checks('ui');
  await withEditor({ plans: at('tests', 'vscode', 'fixture') }, async ({ server, browser, folder }) => {
    const page = await openWorkbench(browser, workbenchAddress(server, folder, { file: `${folder}/plan.festoon` }));
    checks.page = page;
    await checks.check('the plan opens as Festoon', async () => {
      await page.locator('.statusbar-item', { hasText: 'Festoon' }).first().waitFor({ timeout: 30_000 });
      await page.locator('.view-line', { hasText: 'frame-rate' }).waitFor();
    });
    await checks.check('the server can be restarted from the palette', () =>
      runCommand(page, 'Festoon: Restart Language Server'),
    );
    await screenshot(page, 'ui');
  }).catch((error) => checks.fail('the run as a whole', error));
  return checks.finish();
});

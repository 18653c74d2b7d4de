/** Draws client/media/icon.png from icon.svg. Run by hand after changing the drawing: VS Code takes no SVG icon. */
import { readFileSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { at, command, ensureChromium } from './workshop.mjs';

await command(async () => {
  const browser = await chromium.launch({ executablePath: await ensureChromium(), args: ['--no-sandbox'] });
  try {
    const page = await browser.newPage({ viewport: { width: 256, height: 256 } });
    await page.setContent(
      `<style>body { margin: 0 } svg { display: block }</style>${readFileSync(at('client/media/icon.svg'), 'utf8')}`,
    );
    await page.screenshot({ path: at('client/media/icon.png'), omitBackground: true });
  } finally {
    await browser.close();
  }
});

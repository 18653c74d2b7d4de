/** Takes the README's pictures anew: runs the stories and keeps some of their screenshots. Look at them before committing. */
import { copyFileSync, mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { at, cacheFolder, command, ensureChromium, run, Trouble } from '../../client/scripts/workshop.mjs';

const stories = ['ui', 'drawing'];
const kept = { '2-hover': 'editor', '4-light-bulb': 'light-bulb', '5-mended': 'mended', '6-drawing-wiring': 'drawing' };
const largestBytes = 300_000;

await command(async () => {
  const CHROMIUM = await ensureChromium();
  for (const story of stories) {
    const { code } = await run(process.execPath, [at('tests', 'vscode', `${story}.mjs`)], { env: { CHROMIUM } });
    if (code !== 0) throw new Trouble(`The story "${story}" did not come out well, so no picture was changed.`);
  }
  const folder = at('client', 'media', 'screenshots');
  mkdirSync(folder, { recursive: true });
  for (const [shot, name] of Object.entries(kept)) {
    const file = join(cacheFolder, 'shots', `${shot}.png`);
    if (statSync(file).size > largestBytes) throw new Trouble(`${file} is larger than ${largestBytes} bytes`);
    copyFileSync(file, join(folder, `${name}.png`));
    console.log(`client/media/screenshots/${name}.png`);
  }
});

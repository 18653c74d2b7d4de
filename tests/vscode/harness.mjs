/**
 * What the editor tests share: a throw-away profile with the packed extension, a served workbench, a browser, and a
 * list of checks. Every wait has a time limit; every failure leaves a screenshot in .cache/shots.
 */
import { cpSync, existsSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { installExtension, makeProfile, startEditor } from '../../client/scripts/editor-server.mjs';
import { at, cache, Trouble } from '../../client/scripts/workshop.mjs';

/** Settings that make what the browser shows the same from run to run. */
const steadySettings = {
  'workbench.colorTheme': 'Default Dark Modern',
  'workbench.reduceMotion': 'on',
  'editor.cursorBlinking': 'solid',
  'editor.hover.delay': 100,
  'editor.lightbulb.enabled': 'on',
  'editor.minimap.enabled': false,
  'editor.stickyScroll.enabled': false,
  'files.autoSave': 'off',
  'files.hotExit': 'off',
  // biome-ignore lint/suspicious/noTemplateCurlyInString: VS Code fills this in itself
  'window.title': '${activeEditorShort}',
};

/** The extension as it is packed, never the source tree. */
export const packedExtension = at('dist', 'festoon.vsix');

/**
 * Runs `body` with a served workbench that has the packed extension and a copy of the folder `plans` open,
 * and takes everything down again whatever happens. `prepare` may change the copy first.
 */
export async function withEditor({ plans, settings = {}, prepare = () => {}, ...serverOptions }, body) {
  if (!existsSync(packedExtension))
    throw new Trouble('dist/festoon.vsix is not there: npm run build && npm run package');
  const profile = mkdtempSync(join(tmpdir(), 'festoon-test-'));
  process.once('exit', () => rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }));
  const folder = join(profile, 'plans');
  cpSync(plans, folder, { recursive: true });
  prepare(folder);
  makeProfile(profile, { ...steadySettings, ...settings });
  await installExtension(profile, packedExtension);
  const server = await startEditor(profile, serverOptions);
  const browser = await launchBrowser();
  try {
    const setSettings = (changed) => makeProfile(profile, { ...steadySettings, ...settings, ...changed });
    return await body({ server, browser, folder, setSettings });
  } finally {
    await browser.close();
    await server.stop();
  }
}

function launchBrowser() {
  const quiet = ['--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'];
  const args = ['--no-sandbox', ...quiet, '--disable-component-update', '--disable-sync'];
  const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';
  // Signals are the workshop's business: it ends the server first, and Playwright ends the browser on exit.
  const signals = { handleSIGINT: false, handleSIGTERM: false, handleSIGHUP: false };
  return chromium.launch({ executablePath, headless: true, args, ...signals });
}

/** Opens a page on the workbench that can reach this machine and nothing else. */
export async function openWorkbench(browser, address, viewport = { width: 1400, height: 900 }) {
  const context = await browser.newContext({ viewport, permissions: ['clipboard-read', 'clipboard-write'] });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  const elsewhere = ({ protocol, hostname }) =>
    protocol.startsWith('http') && hostname !== '127.0.0.1' && !hostname.endsWith('.localhost');
  await context.route(elsewhere, (route) => route.abort());
  await page.goto(address, { waitUntil: 'domcontentloaded' });
  await page.locator('.monaco-workbench').waitFor({ timeout: 60_000 });
  return page;
}

/** Runs a command by its title from the palette. */
export async function runCommand(page, title) {
  await page.keyboard.press('F1');
  const input = page.locator('.quick-input-widget input[type=text]:visible');
  await input.waitFor();
  await input.fill(`>${title}`);
  await page.locator(focusedRow, { hasText: title }).first().waitFor();
  await page.keyboard.press('Enter');
}

/** The row of a list of choices that Enter takes: rows come and change places while the list is still being searched. */
const focusedRow = '.quick-input-list .monaco-list-row.focused';

/** Opens the file at a path of the folder, such as `first-string/plan.festoon`, as the palette finds it. */
export async function openFile(page, path) {
  const [name, ...folders] = path.split('/').reverse();
  const input = page.locator('.quick-input-widget input[type=text]:visible');
  await page.keyboard.press('F1');
  await input.waitFor();
  await input.fill(path);
  let row = page.locator(focusedRow, { hasText: name });
  for (const folder of folders) row = row.filter({ hasText: folder });
  await row.first().waitFor();
  await page.keyboard.press('Enter');
  await input.waitFor({ state: 'hidden' });
  await page.locator('.tab.active', { hasText: name }).first().waitFor();
}

/**
 * The middle of `text` on the line that contains `line`, for the mouse. Found by text and not by element: as colours
 * come, the spans of a line split and join. The editor writes blanks as non-breaking ones.
 */
export async function pointAt(page, line, text) {
  const lines = page.locator('.editor-instance .monaco-editor .view-lines').first();
  await lines.locator('.view-line', { hasText: line }).first().waitFor();
  const point = await lines.evaluate(
    (root, [wantedLine, wanted]) => {
      const plain = (node) => node.textContent.replaceAll('\u00a0', ' ');
      const row = [...root.querySelectorAll('.view-line')].find((each) => plain(each).includes(wantedLine));
      const start = row === undefined ? -1 : plain(row).indexOf(wanted);
      if (start < 0) return undefined;
      const range = document.createRange();
      const walker = document.createTreeWalker(row, NodeFilter.SHOW_TEXT);
      for (let passed = 0; walker.nextNode(); passed += walker.currentNode.length) {
        const { currentNode: node } = walker;
        const within = (offset) => offset >= passed && offset <= passed + node.length;
        if (within(start)) range.setStart(node, start - passed);
        if (within(start + wanted.length)) range.setEnd(node, start + wanted.length - passed);
      }
      const { x, y, width, height } = range.getBoundingClientRect();
      return { x: x + width / 2, y: y + height / 2 };
    },
    [line, text],
  );
  if (point === undefined) throw new Error(`"${text}" is not in view on a line with "${line}"`);
  return point;
}

/**
 * Points at a name and waits until the hover has drawn its picture. The lines move while panels close and hints come, and
 * a hover goes when the text below the mouse moves: so, as a person would, it looks again where the name is.
 */
export async function seePicture(page, line, text) {
  const picture = page.locator('.monaco-hover:not(.hidden) .hover-contents img').first();
  let size;
  await waitUntilAsync(`the picture in the hover of "${text}"`, async () => {
    const { x, y } = await pointAt(page, line, text);
    await page.mouse.move(x, y);
    // The hover waits for a mouse that has moved and come to rest.
    await page.mouse.move(x + 1, y);
    // Lenses that come late move the lines, and the hover goes while its picture is looked at.
    size = await picture
      .evaluate(
        async (image) => {
          await image.decode();
          return [image.naturalWidth, image.naturalHeight];
        },
        undefined,
        { timeout: 5000 },
      )
      .catch(() => undefined);
    if (size === undefined) await page.mouse.move(1, 1);
    return size !== undefined;
  });
  if (!(size[0] >= 100 && size[1] >= 30)) throw new Error(`the picture is ${size.join(' x ')}`);
}

export const screenshot = (page, name) => page?.screenshot({ path: join(cache('shots'), `${name}.png`) });

/** Collects checks one after the other; a check that fails does not stop the next. */
export class Checks {
  constructor(name) {
    this.name = name;
    this.passed = [];
    this.failed = [];
  }

  /** The page to photograph when a check fails. */
  page = undefined;

  async check(title, body) {
    const from = Date.now();
    try {
      await body();
      this.passed.push(title);
      console.log(`  ok    ${title} (${Date.now() - from} ms)`);
    } catch (error) {
      this.fail(title, error);
      await screenshot(this.page, `failed-${this.name}-${title.replace(/\W+/g, '-')}`)?.catch(() => {});
    }
  }

  fail(title, error) {
    this.failed.push(title);
    console.log(`  FAIL  ${title}\n${String(error?.stack ?? error).replace(/^/gm, '        ')}`);
  }

  /** Writes the counts for tests/run.mjs in one go, and returns the exit code. */
  finish(report = process.argv[2]) {
    const counts = { passed: this.passed.length, failed: this.failed.length };
    if (report !== undefined) {
      writeFileSync(`${report}.part`, JSON.stringify(counts));
      renameSync(`${report}.part`, report);
    }
    console.log(`  ${this.name}: ${counts.passed} of ${counts.passed + counts.failed} checks hold`);
    return counts.failed === 0 && counts.passed > 0 ? 0 : 1;
  }
}

/** Waits until `read()` gives something truthy; for things outside the page, such as files. */
export async function waitUntil(what, read, seconds = 15) {
  const deadline = Date.now() + seconds * 1000;
  for (;;) {
    const value = read();
    if (value) return value;
    if (Date.now() > deadline) throw new Error(`${what}: not within ${seconds} s`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** The document inside the two frames that the workbench puts around a webview. */
export async function panelFrame(page) {
  let found;
  await waitUntilAsync('the drawing panel', async () => {
    for (const frame of page.frames()) {
      if (
        (await frame
          .locator('.bar[role=toolbar]')
          .count()
          .catch(() => 0)) > 0
      )
        found = frame;
    }
    return found !== undefined;
  });
  return found;
}

/** The same for things of the page. */
export async function waitUntilAsync(what, read, seconds = 20) {
  const deadline = Date.now() + seconds * 1000;
  while (!(await read())) {
    if (Date.now() > deadline) throw new Error(`${what}: not within ${seconds} s`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

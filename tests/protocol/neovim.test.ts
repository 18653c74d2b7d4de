import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { DISPLAY } from '../support/display.ts';

/** Another editor's own client (Debian's Neovim 0.7) against the built server. Runs where nvim is installed. */
const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
const SCRIPT = fileURLToPath(new URL('../editors/neovim.lua', import.meta.url));
const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const hasNeovim = spawnSync('nvim', ['--version']).status === 0;

describe.runIf(hasNeovim)('Neovim', () => {
  it('shows findings and hovers of a plan, follows its edits, and has commands of the server carried out', () => {
    if (!existsSync(SERVER)) throw new Error('dist/server.cjs is not built: npm run build');
    const folder = realpathSync(mkdtempSync(join(tmpdir(), 'festoon-nvim-')));
    try {
      writeFileSync(join(folder, 'plan.festoon'), 'use "places.festoon"\nroute shed to roof  3 m\nplace roof\n');
      writeFileSync(join(folder, 'places.festoon'), 'place shed\nplace roof\n');
      writeFileSync(join(folder, 'wanting.festoon'), DISPLAY);
      writeFileSync(join(folder, 'bench.festoon'), BENCH);
      const result = join(folder, 'result.json');
      const env = {
        ...{ FESTOON_NODE: process.execPath, FESTOON_SERVER: SERVER, FESTOON_FOLDER: folder, FESTOON_RESULT: result },
        // A profile of its own, so that nothing of the person's is read or written.
        ...{
          HOME: folder,
          XDG_CONFIG_HOME: folder,
          XDG_DATA_HOME: folder,
          XDG_CACHE_HOME: folder,
          XDG_STATE_HOME: folder,
        },
      };
      spawnSync('nvim', ['--headless', '-u', 'NONE', '-i', 'NONE', '-c', `luafile ${SCRIPT}`], {
        env: { ...process.env, ...env },
        timeout: 100_000,
      });
      const { found, hover, cleared, papers, planned, text } = JSON.parse(readFileSync(result, 'utf8'));
      expect(found).toEqual([{ line: 2, code: 'duplicate-name', source: 'festoon', severity: 1 }]);
      expect(hover).toContain('shed');
      expect(cleared).toBe(true);
      expect(papers).toContain('\n# Cut list\n');
      expect(planned).toMatchObject({ applied: true, steps: [{ subject: 'eaves' }] });
      expect(text).toMatch(/^feed eaves/m);
    } finally {
      rmSync(folder, { recursive: true });
    }
  }, 120_000);
});

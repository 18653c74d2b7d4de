import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Hover, MarkupContent, SemanticTokens } from 'vscode-languageserver';
import { LanguageClient, MODERN, PLAIN } from '../support/language-client.ts';

/** The server as it is packed; `npm test` builds it first. */
const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
const SAMPLE = new URL('../../samples/boathouse/', import.meta.url);

let folder: string;
let outside: string;
beforeEach(() => {
  if (!existsSync(SERVER)) throw new Error('dist/server.cjs is not built: npm run build');
  folder = realpathSync(mkdtempSync(join(tmpdir(), 'festoon-')));
  outside = realpathSync(mkdtempSync(join(tmpdir(), 'festoon-outside-')));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
  rmSync(outside, { recursive: true });
});

const uriIn = (path: string) => pathToFileURL(join(folder, path)).href;

interface Start {
  readonly capabilities?: typeof MODERN;
  readonly root?: string;
  readonly node?: readonly string[];
}

async function started(options: Start = {}): Promise<LanguageClient> {
  const root = options.root ?? pathToFileURL(folder).href;
  return LanguageClient.spawned(process.execPath, [...(options.node ?? []), SERVER, '--stdio'], {
    capabilities: options.capabilities ?? MODERN,
    folders: [root],
    handsOverFiles: false,
  });
}

const PLAN = 'plan "x" {\n  frame-rate 25 fps\n}\nuse "parts/places.festoon"\nroute shed to roof  3 m\n';

describe('the built server over standard input and output', () => {
  it('goes on as it is where the settings of the runtime are fixed', async () => {
    const client = await started({ node: ['--freeze-flags-after-init'] });
    await client.open(uriIn('plan.festoon'), 'plan "x"\nplace shed\nplace shed\n');
    expect(await client.pull(uriIn('plan.festoon'))).toContainEqual(
      expect.objectContaining({ code: 'duplicate-name' }),
    );
    await client.close();
  });

  it('reads used files from the disk, for editors that hand none over', async () => {
    mkdirSync(join(folder, 'parts'));
    writeFileSync(join(folder, 'parts/places.festoon'), 'place shed\nplace roof\n');
    const client = await started();
    await client.open(uriIn('plan.festoon'), PLAN);
    expect(await client.pull(uriIn('plan.festoon'))).toEqual([]);
    const hover = await client.ask<Hover>('textDocument/hover', uriIn('plan.festoon'), {
      position: { line: 4, character: 7 },
    });
    expect((hover.contents as MarkupContent).value).toContain('route to roof');
    await client.close();
  });

  it('leads from the code of a finding to its explanation, in a file that is there', async () => {
    const client = await started({
      capabilities: {
        ...MODERN,
        textDocument: { ...MODERN.textDocument, publishDiagnostics: { codeDescriptionSupport: true } },
      },
    });
    await client.open(uriIn('plan.festoon'), 'place a\nplace a\n');
    const [found] = await client.pull(uriIn('plan.festoon'));
    const [address = '', line = ''] = found?.codeDescription?.href.split('#L') ?? [];
    const page = readFileSync(fileURLToPath(address), 'utf8').split('\n');
    expect(page[Number(line) - 1]).toBe('## duplicate-name');
    await client.close();
  });

  it('finds the plan above an opened file by itself', async () => {
    mkdirSync(join(folder, 'parts'));
    writeFileSync(join(folder, 'plan.festoon'), `${PLAN}place shed\nplace roof\n`);
    const client = await started();
    await client.open(uriIn('parts/places.festoon'), 'route roof to shed  4 m\n');
    expect(await client.pull(uriIn('parts/places.festoon'))).toEqual([]);
    await client.close();
  });

  it('reads nothing outside the folder, also not through links', async () => {
    writeFileSync(join(outside, 'secret.festoon'), 'place shed\nplace roof\n');
    mkdirSync(join(folder, 'parts'));
    symlinkSync(join(outside, 'secret.festoon'), join(folder, 'parts/places.festoon'));
    const client = await started();
    await client.open(uriIn('plan.festoon'), PLAN);
    expect((await client.pull(uriIn('plan.festoon'))).map(({ code }) => code)).toContain('missing-file');
    await client.close();
  });

  it('serves an older client by sending findings, and clears them when the file is closed', async () => {
    const client = await started({ capabilities: PLAIN });
    await client.open(uriIn('plan.festoon'), 'place a\nplace a\n');
    expect((await client.sentFor(uriIn('plan.festoon'), 1)).diagnostics.map(({ code }) => code)).toEqual([
      'duplicate-name',
    ]);
    await client.closeFile(uriIn('plan.festoon'));
    await client.until(() => client.published.at(-1)?.diagnostics.length === 0);
    await client.close();
  });

  it('shows every file of the sample display as sound, whichever is opened', async () => {
    const client = await started({ root: SAMPLE.href });
    const { readdirSync, readFileSync } = await import('node:fs');
    const files = readdirSync(SAMPLE).filter((name) => name.endsWith('.festoon'));
    expect(files.length).toBeGreaterThan(1);
    for (const name of files) {
      const uri = new URL(name, SAMPLE).href;
      await client.open(uri, readFileSync(new URL(name, SAMPLE), 'utf8'));
      expect([name, await client.pull(uri)]).toEqual([name, []]);
      const tokens = await client.ask<SemanticTokens>('textDocument/semanticTokens/full', uri);
      expect(tokens.data.length).toBeGreaterThan(0);
      await client.closeFile(uri);
    }
    await client.close();
  });
});

import { mkdirSync, mkdtempSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { localDisk } from '#server/lsp/local-disk.ts';

/** The server's own way to the disk, for editors that hand no files over: what lies outside of the folder is not there. */
let top = '';
const address = (path: string) => pathToFileURL(join(top, path)).href;
const put = (path: string, bytes: string | Uint8Array) => {
  mkdirSync(join(top, path, '..'), { recursive: true });
  writeFileSync(join(top, path), bytes);
};

beforeAll(() => {
  top = realpathSync(mkdtempSync(join(tmpdir(), 'festoon-disk-')));
  put('display/plan.festoon', 'place shed\n');
  put('display/parts/stock.festoon', '');
  put('display/parts/notes.txt', '');
  put('display/.hidden/x.festoon', '');
  put('display/node_modules/x.festoon', '');
  put('display/1/2/3/4/5/6/7/8/reached.festoon', '');
  put('display/1/2/3/4/5/6/7/8/9/too-deep.festoon', '');
  put('display-of-another/plan.festoon', 'place roof\n');
  put('display/large.txt', new Uint8Array(4 * 1024 * 1024 + 1).fill(32));
  put('display/latin.txt', Uint8Array.of(0xe9));
  symlinkSync(join(top, 'display-of-another/plan.festoon'), join(top, 'display/linked.txt'));
  symlinkSync(join(top, 'display'), join(top, 'by-a-link'));
});
afterAll(() => rmSync(top, { recursive: true }));

describe('reading', () => {
  const read = (path: string, folders = [address('display')]) => localDisk.read(address(path), folders);

  it('takes the top of the disk for a folder as well', async () => {
    expect(await read('display/plan.festoon', ['file:///'])).toBe('place shed\n');
  });

  it('gives the text of a file of the folder, whichever way it is called', async () => {
    expect(await read('display/plan.festoon')).toBe('place shed\n');
    expect(await read('by-a-link/plan.festoon')).toBe('place shed\n');
    expect(await read('display/plan.festoon', ['untitled:x', address('by-a-link')])).toBe('place shed\n');
  });

  it.each([
    ['beside the folder, by the same beginning of its name', 'display-of-another/plan.festoon'],
    ['above it', 'display/../display-of-another/plan.festoon'],
    ['that a link leads out to', 'display/linked.txt'],
    ['that is larger than 4 MB', 'display/large.txt'],
  ])('gives nothing of a file %s', async (_, path) => {
    expect(await read(path)).toBeUndefined();
  });

  it('gives nothing that is no file, and refuses what is no UTF-8 or not there', async () => {
    expect(await localDisk.read('https://example.org/plan.festoon', [address('display')])).toBeUndefined();
    await expect(read('display/latin.txt')).rejects.toThrow();
    await expect(read('display/gone.festoon')).rejects.toThrow(/ENOENT/);
  });
});

it('lists the plans of a folder, down to eight folders below it, without those that belong to programs', async () => {
  const names = (await localDisk.list(address('display'))).map((uri) => uri.slice(address('display').length + 1));
  expect(names.sort()).toEqual(['1/2/3/4/5/6/7/8/reached.festoon', 'parts/stock.festoon', 'plan.festoon']);
  expect(await localDisk.list(address('gone'))).toEqual([]);
  expect(await localDisk.list('untitled:x')).toEqual([]);
});

import { readdirSync, readFileSync } from 'node:fs';
import { Host } from '#server/analysis/host.ts';

/** The sample displays: folders of samples/ with a plan.festoon and the files that it uses. */

const SAMPLES = new URL('../../samples/', import.meta.url);

export interface Display {
  /** As it is called in test names: the path of its main file inside samples/. */
  readonly name: string;
  readonly main: string;
  /** Texts of the main file and of those beside it by URI. */
  readonly files: ReadonlyMap<string, string>;
}

export const STOCK = 'parts/stock.festoon';

/** Every display among the samples, and the stock of parts, in the order of their names. */
export function sampleDisplays(): Display[] {
  const paths = readdirSync(SAMPLES, { recursive: true, encoding: 'utf8' })
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => path.endsWith('.festoon'))
    .sort();
  const mains = paths.filter((path) => path === STOCK || path.endsWith('/plan.festoon'));
  return mains.map((main) => {
    const folder = main.slice(0, main.lastIndexOf('/') + 1);
    const own = paths.filter((path) => path.startsWith(folder) && !path.slice(folder.length).includes('/'));
    return { name: main, main: uriOf(main), files: new Map(own.map((path) => [uriOf(path), textOf(path)])) };
  });
}

export const textOf = (path: string): string => readFileSync(new URL(path, SAMPLES), 'utf8');

/** A host that knows the files of a display and no others. */
export function hostOfDisplay(display: Display): Host {
  const host = new Host(() => ({ missing: true }));
  for (const [uri, text] of display.files) host.setFile(uri, text);
  return host;
}

const uriOf = (path: string): string => `file:///samples/${path}`;

import { readdirSync, readFileSync } from 'node:fs';
import { isHuge } from './is-huge.ts';
import { sampleDisplays } from './samples.ts';

/** A plan of the project with the files beside it, by name in its folder; its own file is `plan.festoon`. */
export interface EveryPlan {
  readonly name: string;
  readonly files: ReadonlyMap<string, string>;
}

const FIXTURES = new URL('../fixtures/', import.meta.url);
const BENCH = readFileSync(new URL('bench.festoon', FIXTURES), 'utf8');

/** Every sample and every plan of the checks, but for those that are large only to be large. */
export function everyPlan(): EveryPlan[] {
  const samples = sampleDisplays()
    .filter(({ main }) => main.endsWith('/plan.festoon'))
    .map(({ name, files }) => ({
      name,
      files: new Map([...files].map(([uri, text]) => [uri.slice(uri.lastIndexOf('/') + 1), text])),
    }));
  const fixtures = readdirSync(new URL('checks/', FIXTURES), { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.festoon'))
    .sort()
    .map((path) => ({ name: path, files: piecesOf(readFileSync(new URL(`checks/${path}`, FIXTURES), 'utf8')) }));
  return [...samples, ...fixtures].filter(({ files }) => [...files.values()].every((text) => !isHuge(text, 5)));
}

function piecesOf(text: string): Map<string, string> {
  const [main = '', ...rest] = text.split(/^(?=#-- )/m);
  const beside = rest.map((part): [string, string] => [/^#-- (\S+)/.exec(part)?.[1] ?? '', part]);
  return new Map([['bench.festoon', BENCH], ['plan.festoon', main], ...beside]);
}

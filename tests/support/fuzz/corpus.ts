import { readdirSync, readFileSync } from 'node:fs';
import { sampleDisplays } from '../samples.ts';

/** Texts to start from: every sample and every fixture, by the name that failures call them. */
export interface Seedling {
  readonly name: string;
  readonly text: string;
}

const FIXTURES = new URL('../../fixtures/', import.meta.url);

export const BENCH = readFileSync(new URL('bench.festoon', FIXTURES), 'utf8');

/** The plans of the checks; where one holds several files, only its main one. */
export function fixtureTexts(): Seedling[] {
  return readdirSync(FIXTURES, { recursive: true, encoding: 'utf8' })
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => path.endsWith('.festoon'))
    .sort()
    .map((name) => ({ name, text: readFileSync(new URL(name, FIXTURES), 'utf8').split(/^#-- /m)[0] ?? '' }));
}

export function sampleTexts(): Seedling[] {
  return sampleDisplays().flatMap(({ files }) => [...files].map(([name, text]) => ({ name, text })));
}

/** Plans of the fixtures with something changed, and what is found in them. */
import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import type { Finding } from '#server/model/finding.ts';
import { analysePlan } from './plans.ts';

/** The text of a plan among the fixtures, such as `checks/no-ground/found-gap-without-ground`. */
export const planOf = (name: string): string =>
  readFileSync(new URL(`../fixtures/${name}.festoon`, import.meta.url), 'utf8');

export const findings = (text: string, code?: string): Finding[] =>
  analysePlan(text).analysis.findings.filter((finding) => code === undefined || finding.code === code);

/** The only finding of a code. */
export function one(text: string, code: string): Finding {
  const found = findings(text, code);
  expect(found.map(({ message }) => message)).toHaveLength(1);
  return found[0] as Finding;
}

/** The text with each edit made, all of which must change something. */
export const edit = (text: string, ...edits: [string | RegExp, string][]): string =>
  edits.reduce((before, [from, to]) => {
    const after = before.replace(from, to);
    expect(after).not.toBe(before);
    return after;
  }, text);

/** A pixel that draws next to nothing, where only its place and its data matter. */
export const FAINT = `part pixel faint {
  voltage  12 V
  red      0.001 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     18 AWG
}
`;

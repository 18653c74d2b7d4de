import type { Declaration } from '#grammar/source.ts';
import type { Finding, Origin } from './finding.ts';

/**
 * Characters by which a line can look like another one to whoever reviews it: marks that turn the direction of writing
 * inside texts and comments, and names that mix letters of scripts whose letters look alike. The two deceits are known
 * from source code (CVE-2021-42574, CVE-2021-42694; Unicode technical standard 39, mixed-script detection).
 */
export function characterFindings(uri: string, declaration: Declaration): Finding[] {
  const { text } = declaration;
  if (/^[\u0000-\u007f]*$/.test(text)) return [];
  const at = (start: number, end: number): Origin => ({ uri, declaration, start, end });
  return [...turnings(declaration, at), ...mixedWords(text, at)];
}

type At = (start: number, end: number) => Origin;

const TURNING = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]+/g;

/** Outside of texts and comments the parser has found them already. */
function turnings({ text, problems }: Declaration, at: At): Finding[] {
  const found: Finding[] = [];
  for (const { index, 0: marks } of text.matchAll(TURNING)) {
    const end = index + marks.length;
    if (problems.some(({ code, span }) => code === 'hidden-character' && span.start < end && span.end > index))
      continue;
    const origin = at(index, end);
    found.push({
      code: 'hidden-character',
      origin,
      message:
        'An invisible mark here turns the direction of writing: the line can read differently from what it says. Take it out.',
      related: [],
      fixes: [{ title: 'Take the invisible character out', edits: [{ origin, text: '' }], preferred: true }],
    });
  }
  return found;
}

/** As tokens are words, and texts and comments are none. */
const WORD = /"[^"\r\n]*"?|#[^\r\n]*|[\p{L}_][\p{L}\p{M}\p{N}_²-]*/gu;

/** Scripts with letters that look like Latin ones. Scripts that are written together with Latin ones are not among them. */
const ALIKE: readonly (readonly [string, RegExp])[] = [
  ['Cyrillic', /\p{Script=Cyrillic}/u],
  ['Greek', /\p{Script=Greek}/u],
  ['Armenian', /\p{Script=Armenian}/u],
  ['Cherokee', /\p{Script=Cherokee}/u],
];
const LATIN = /\p{Script=Latin}/u;
/** Units are written with Greek letters. */
const OHMS = /^[kmM]?\u03a9$/;

function mixedWords(text: string, at: At): Finding[] {
  const found: Finding[] = [];
  for (const { index, 0: word } of text.matchAll(WORD)) {
    if (word.startsWith('"') || word.startsWith('#') || OHMS.test(word.normalize('NFKC'))) continue;
    const scripts = ALIKE.filter(([, script]) => script.test(word)).map(([name]) => name);
    if (LATIN.test(word)) scripts.unshift('Latin');
    if (scripts.length < 2) continue;
    found.push({
      code: 'mixed-scripts',
      origin: at(index, index + word.length),
      message: `"${word}" mixes ${scripts.join(' and ')} letters, some of which look alike. Write it in one script, so that it is the name that it seems to be.`,
      related: [],
      fixes: [],
    });
  }
  return found;
}

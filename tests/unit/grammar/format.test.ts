import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { LEXER } from '#grammar/tokens.ts';
import { seededRandom } from '../../support/random-circuit.ts';
import { sampleDisplays } from '../../support/samples.ts';

/** The formatter changes blanks and blank lines, and nothing else; what it made it leaves alone. */

const texts = sampleDisplays().flatMap(({ files }) => [...files.values()]);

/** Tokens and comments in their order, and the line breaks that end a statement: one each, none inside a brace. */
function meaningOf(text: string): string[] {
  const { tokens, groups } = LEXER.tokenize(text);
  const all = [...tokens, ...(groups['comments'] ?? [])].sort((a, b) => a.startOffset - b.startOffset);
  const images: string[] = [];
  for (const { image } of all) {
    const last = images.at(-1);
    if (/^[\r\n]/.test(image)) {
      if (last !== undefined && last !== '\n' && last !== '{') images.push('\n');
      continue;
    }
    if (image === '}' && last === '\n') images.pop();
    images.push(image.trimEnd());
  }
  if (images.at(-1) === '\n') images.pop();
  return images;
}

function expectSound(text: string): void {
  const formatted = formatText(text);
  expect(meaningOf(formatted)).toEqual(meaningOf(text));
  expect(formatText(formatted)).toBe(formatted);
}

describe('formatting', () => {
  it('leaves nothing of a text of nothing', () => {
    for (const text of ['', '\n', '  \r\n\t\r\n']) expect(formatText(text)).toBe('');
    expect(formatText('\n\n# only this\n\n')).toBe('# only this\n');
  });

  it('puts blanks in the one way', () => {
    const text =
      'place   shed "Shed"\n\n\n\nrun a from box.1 at shed {\n lead 5 m of c # why\n      string b 5 px of d every 75 mm\n\n}\n';
    expect(formatText(text)).toBe(
      'place shed "Shed"\n\nrun a  from box.1  at shed {\n  lead    5 m  of c  # why\n  string  b  5 px  of d  every 75 mm\n}\n',
    );
  });

  it('keeps what people wrote, however they spaced it', () => {
    const random = seededRandom(17);
    const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)] as T;
    for (const text of texts) {
      expectSound(text);
      // Blanks are drawn anew, but not those in comments and texts.
      const shaken = text.replaceAll(/^.*$/gm, (line) => {
        const start = line.replace(/^ */, pick(['', ' ', '\t', '      ']));
        return /[#"]/.test(line) ? start : start.replaceAll(/ {2,}/g, () => pick([' ', '   ', '\t']));
      });
      expectSound(shaken);
      expect(formatText(shaken)).toBe(text);
    }
  });

  it.each(['\r\n', '\n', '\r'])('ends lines with %j where the text does', (newline) => {
    const text = 'place   shed\nplace roof'.replaceAll('\n', newline);
    expect(formatText(text)).toBe(`place shed${newline}place roof${newline}`);
  });

  it('keeps damaged plans too, and their line ends', () => {
    const random = seededRandom(23);
    for (const text of texts) {
      for (let round = 0; round < 20; round++) {
        const start = Math.floor(random() * text.length);
        const damaged = text.slice(0, start) + text.slice(start + Math.floor(random() * 40));
        expectSound(damaged);
        expectSound(damaged.replaceAll('\n', '\r\n'));
        expectSound(damaged.replaceAll('\n', '\r'));
      }
    }
  });
});

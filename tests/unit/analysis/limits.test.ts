import { describe, expect, it } from 'vitest';
import { Host } from '#server/analysis/host.ts';

/** What is too large to be a plan is said by name, and everything else is served. Pixels: the fixtures of too-many-pixels. */
const FOLDER = 'file:///display/';
const MAIN = `${FOLDER}plan.festoon`;

function found(text: string, other: (name: string) => string | undefined = () => undefined) {
  const host = new Host((uri) => {
    const content = other(uri.slice(FOLDER.length));
    return content === undefined ? { missing: true } : { text: content };
  }, FOLDER);
  host.setFile(MAIN, text);
  return host.analyse(MAIN);
}

const codes = (text: string, other?: (name: string) => string | undefined) =>
  found(text, other).findings.map(({ code }) => code);

describe('a limit', () => {
  it('of 50,000 lines a file', () => {
    expect(codes(`place shed\n${'\n'.repeat(49_998)}place shed`)).toEqual(['duplicate-name']);
    expect(codes(`place shed\n${'\n'.repeat(49_999)}place shed`)).toEqual(['too-large']);
  });

  it('of 2 MB a file', () => {
    const text = 'place shed\nplace shed\n';
    expect(codes(text + '#'.repeat(2_000_000 - text.length))).toEqual(['duplicate-name']);
    expect(codes(text + '#'.repeat(2_000_001 - text.length))).toEqual(['too-large']);
  });

  it('of 32 files that use one another', () => {
    const chain = (name: string) => {
      const number = Number(/^(\d+)/.exec(name)?.[1]);
      return number > 40 ? 'place end\n' : `use "${number + 1}.festoon"\nplace p${number}\n`;
    };
    const analysis = found('use "1.festoon"\n', chain);
    expect(analysis.findings.map(({ code }) => code)).toEqual(['file-cycle']);
    expect(analysis.findings[0]?.message).toContain('32');
    expect(analysis.files).toHaveLength(33);
  });

  it('of 1,000 files a plan', () => {
    const uses = (count: number) => Array.from({ length: count }, (_, at) => `use "${at}.festoon"\n`).join('');
    const empty = () => '# nothing\n';
    expect(codes(uses(999), empty)).toEqual([]);
    const analysis = found(uses(1001), empty);
    expect(analysis.findings.map(({ code }) => code)).toEqual(['too-large', 'too-large']);
    expect(analysis.files).toHaveLength(1000);
  });

  it.each([5, 128, 20_000])('of four blocks in one another: %i are told of, and the next line is read', (depth) => {
    const text = `run a {\n${'b {\n'.repeat(depth)}${'}\n'.repeat(depth)}}\nplace shed\nplace shed\n`;
    expect(new Set(codes(text))).toContain('too-deep');
    expect(codes(text)).toContain('duplicate-name');
  });
});

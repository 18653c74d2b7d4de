import { describe, expect, it } from 'vitest';
import { Host } from '#server/analysis/host.ts';

const AT = 'file:///display/';
const FILES = new Map([
  ['one.festoon', 'plan "one"\nuse "parts.festoon"\n'],
  ['two.festoon', 'plan "two"\nuse "parts.festoon"\nuse "gone.festoon"\n'],
  ['three.festoon', 'plan "three"\n'],
  ['parts.festoon', 'place shed\n'],
]);

function started() {
  const host = new Host((uri) => {
    const text = FILES.get(uri.slice(AT.length));
    return text === undefined ? { missing: true } : { text };
  });
  const all = () => ['one', 'two', 'three'].map((name) => host.analyse(`${AT}${name}.festoon`));
  /** Which of the three displays are analysed anew after something. */
  const anew = (change: () => void): string[] => {
    const before = all();
    change();
    return all().flatMap((analysis, index) => (analysis === before[index] ? [] : [analysis.plan.design.title ?? '']));
  };
  return { host, anew };
}

describe('an edit', () => {
  it('makes only those displays anew that the file is part of', () => {
    const { host, anew } = started();
    expect(anew(() => host.setFile(`${AT}three.festoon`, 'plan "three"\nplace yard\n'))).toEqual(['three']);
    expect(anew(() => host.setFile(`${AT}parts.festoon`, 'place roof\n'))).toEqual(['one', 'two']);
    expect(anew(() => host.setFile(`${AT}parts.festoon`, 'place roof\n'))).toEqual([]);
  });

  it('reaches those that looked for the file in vain', () => {
    const { host, anew } = started();
    expect(anew(() => host.setFile(`${AT}gone.festoon`, 'place gate\n'))).toEqual(['two']);
    expect(anew(() => host.setMissing(`${AT}gone.festoon`))).toEqual(['two']);
    expect(anew(() => host.forget(`${AT}parts.festoon`))).toEqual(['one', 'two']);
  });
});

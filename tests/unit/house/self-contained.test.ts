/** Nothing in the project depends on, or speaks of, the machine or the network that it was last worked on. */
import { describe, expect, it } from 'vitest';
import { projectFiles, readText } from './tree.ts';

const hosts = /\b(?:registry|packages|deb|ftp|static|index|files)\.[a-z0-9-]+\.(?:com|dev|io|net|org)\b/i;
const homes = new RegExp(`(?<![\\w.~-])/(?:${['work', 'root', 'home', 'Users'].join('|')})/`);

const textFiles = projectFiles().filter((file) => !/\.(?:png|vsix)$/.test(file));

/** The lines of a text that match, as "file:line". */
function places(pattern: RegExp, file: string, text: string): string[] {
  return text.split('\n').flatMap((line, index) => (pattern.test(line) ? [`${file}:${index + 1}`] : []));
}

const everywhere = (pattern: RegExp) => textFiles.flatMap((file) => places(pattern, file, readText(file)));

describe('the work tree', () => {
  it('is seen', () => {
    expect(textFiles.length).toBeGreaterThan(40);
    expect(textFiles).toContain('package-lock.json');
  });

  it('names no package registry', () => {
    expect(places(hosts, 'planted', `see https://${['registry', 'example', 'org'].join('.')}/left`)).toEqual([
      'planted:1',
    ]);
    expect(everywhere(hosts)).toEqual([]);
  });

  it('names no path of one machine', () => {
    const planted = ['cd ', 'work', 'plan'].join('/');
    expect(places(homes, 'planted', planted)).toEqual(['planted:1']);
    expect(places(homes, 'planted', 'server/src/work/plan.ts')).toEqual([]);
    expect(everywhere(homes)).toEqual([]);
  });

  it('locks packages by content, not by where they came from', () => {
    const lock = readText('package-lock.json');
    expect(lock).toContain('"integrity"');
    expect(lock).not.toContain('"resolved"');
  });

  it('has no conflict marks and no files of a megabyte', () => {
    expect(everywhere(/^(?:<{7}|>{7}) /)).toEqual([]);
    expect(textFiles.filter((file) => readText(file).length > 1_000_000)).toEqual([]);
  });
});

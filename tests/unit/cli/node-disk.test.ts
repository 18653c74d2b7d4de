import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { nodeDisk } from '#server/cli/node-disk.ts';
import { reasonNotWritten, troubleOf } from '#server/cli/plan-text.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'festoon-disk-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const errorOf = (run: () => void): unknown => {
  try {
    run();
  } catch (error) {
    return error;
  }
  throw new Error('it went well');
};

describe('the disk', () => {
  it('makes a folder with all above it, and leaves one that is there', () => {
    const deep = join(folder, 'paper', 'of', 'december');
    nodeDisk.makeFolder(deep);
    nodeDisk.makeFolder(deep);
    nodeDisk.write(join(deep, 'labels.html'), 'x');
    expect(readFileSync(join(deep, 'labels.html'), 'utf8')).toBe('x');
    expect(nodeDisk.stat(deep)).toMatchObject({ kind: 'folder' });
    expect(nodeDisk.list(deep)).toEqual(['labels.html']);
  });

  it('says that a file is in the way, and where a folder is in the way of a file', () => {
    writeFileSync(join(folder, 'paper'), '');
    mkdirSync(join(folder, 'labels.html'));
    const isFile = 'cannot be a folder: a file has that name, or the name of a folder above it';
    for (const path of ['paper', 'paper/deeper'])
      expect(reasonNotWritten(errorOf(() => nodeDisk.makeFolder(join(folder, path))))).toBe(isFile);
    const taken = errorOf(() => nodeDisk.write(join(folder, 'labels.html'), 'x'));
    expect(reasonNotWritten(taken)).toBe('cannot be written: a folder in it has the name of one of the papers');
    // Nothing half done is left.
    expect(readdirSync(folder).sort()).toEqual(['labels.html', 'paper']);
  });

  it('replaces the file that a link leads to, with the rights that it had', () => {
    const plan = join(folder, 'plan.festoon');
    writeFileSync(plan, 'place shed\n', { mode: 0o640 });
    symlinkSync(plan, join(folder, 'link.festoon'));
    nodeDisk.replace(join(folder, 'link.festoon'), 'place barn\n');
    expect(readFileSync(plan, 'utf8')).toBe('place barn\n');
    expect(statSync(plan).mode & 0o777).toBe(0o640);
    expect(nodeDisk.realPath(join(folder, 'link.festoon'))).toBe(nodeDisk.realPath(plan));
  });

  it('knows what is neither a file nor a folder', () => {
    expect(nodeDisk.stat('/dev/null').kind).toBe('other');
  });
});

/** Errors as POSIX names them (IEEE Std 1003.1, errno.h), and what a person is told. */
describe('a trouble of the disk is told in words', () => {
  it.each([
    ['ENOENT', 'cannot be made there'],
    ['EROFS', 'cannot be written: the disk is read-only'],
    ['ENOSPC', 'cannot be written: the disk is full'],
    ['EACCES', 'may not be written: permission is denied'],
    ['EIO', 'cannot be written (EIO)'],
  ])('where it is written: %s', (code, said) => {
    expect(reasonNotWritten(Object.assign(new Error(code), { code }))).toBe(said);
  });

  it.each([
    ['ENOTDIR', 'is not there'],
    ['EPERM', 'may not be read: permission is denied'],
    ['EISDIR', 'is a folder, not a plan'],
    ['ELOOP', 'is a link that leads round in a circle'],
    ['EIO', 'cannot be read (EIO)'],
    [undefined, 'cannot be read (unknown cause)'],
  ])('where it is read: %s', (code, said) => {
    expect(troubleOf(Object.assign(new Error('x'), code === undefined ? {} : { code })).reason).toBe(said);
  });
});

import { describe, expect, it } from 'vitest';
import { folderKeyOf, keyOf, uriOf } from '#server/lsp/uri.ts';

/** Addresses as editors write them; RFC 3986, section 2.1: an octet and its escaped form name the same. */
describe('the key of a file', () => {
  it.each([
    ['file:///display/plan.festoon', 'file:///display/plan%2Efestoon'.replace('%2E', '.')],
    ['file:///display/my plan.festoon', 'file:///display/my%20plan.festoon'],
    ['file:///display/%6dy%20plan.festoon', 'file:///display/my%20plan.festoon'],
    // The letter of a drive is the same large and small (RFC 8089, appendix E.2).
    ['file:///C:/display/plan.festoon', 'file:///c%3A/display/plan.festoon'],
    ['file:///c%3A/display/plan.festoon', 'file:///c%3A/display/plan.festoon'],
    ['untitled:Untitled-1', 'untitled:Untitled-1'],
    ['git:/display/plan.festoon?{"ref":"HEAD"}#top', 'git:///display/plan.festoon?%7B%22ref%22%3A%22HEAD%22%7D#top'],
    ['no address', 'no address'],
    ['', ''],
  ])('of %j is %j', (uri, key) => {
    expect(keyOf(uri)).toBe(key);
    expect(keyOf(key)).toBe(key);
  });

  it('leads back to an address with the same key', () => {
    for (const uri of ['file:///display/my plan.festoon', 'untitled:Untitled-1', 'no address'])
      expect(keyOf(uriOf(keyOf(uri)))).toBe(keyOf(uri));
  });

  it('of a folder ends with one slash', () => {
    for (const uri of ['file:///display', 'file:///display/']) expect(folderKeyOf(uri)).toBe('file:///display/');
  });
});

import { expect, test } from 'vitest';
import { Documents } from '#server/lsp/documents.ts';

/** What the program is told, which sets its memory up for the plans that are open. */
test('how many characters are open is told when a document is opened, changed or closed', () => {
  const told: number[] = [];
  const documents = new Documents((length) => told.push(length));
  documents.set('file:///a.festoon', 1, 'x'.repeat(300));
  documents.set('file:///b.festoon', 1, 'x'.repeat(20));
  documents.change('file:///b.festoon', 2, [{ text: 'x'.repeat(7) }]);
  documents.close('file:///a.festoon');
  documents.close('file:///b.festoon');
  expect(told).toEqual([300, 320, 307, 7, 0]);
});

test('a change of what is not open is passed over', () => {
  const documents = new Documents();
  expect(documents.change('file:///a.festoon', 2, [{ text: 'place shed' }])).toBeUndefined();
  expect(documents.all()).toEqual([]);
});

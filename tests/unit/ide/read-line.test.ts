import { describe, expect, it } from 'vitest';
import type { Statement } from '#grammar/ast.ts';
import { parse } from '#grammar/parser.ts';
import { Declaration } from '#grammar/source.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { entryOf, entryOfPath, readLine } from '#server/ide/read-line.ts';
import { bindStatement } from '#server/model/bind/bind.ts';

/** Every line of every example of the vocabulary, with its entry. */
function* lines(entries: readonly Entry[]): Iterable<{ text: string; entry: Entry }> {
  for (const entry of entries) {
    for (const text of [entry.example, ...entry.phrases.flatMap(() => [])]) yield { text, entry };
    yield* lines(entry.block ?? []);
  }
}

/** Which phrase each word of a line belongs to, by its place in the text. */
function phrasesByOffset(statement: Statement, entry: Entry): Map<number, string> {
  const found = new Map<number, string>();
  for (const { item, role, phrase } of readLine(statement.items, entry).parts) {
    if (role === 'value' && phrase !== undefined) found.set(item.span.start, phrase.key);
  }
  return found;
}

describe('reading a line', () => {
  it('takes every word for what binding takes it for', () => {
    let checked = 0;
    for (const { text, entry } of lines(STATEMENTS)) {
      const declaration = new Declaration(text);
      const [statement] = declaration.statements;
      if (statement === undefined) throw new Error(`no statement in ${text}`);
      const bound = bindStatement({ uri: 'file:///x', declaration, report: () => {} }, statement, entry);
      const phrases = phrasesByOffset(statement, entry);
      for (const [key, given] of Object.entries(bound.fields)) {
        if (given === undefined) continue;
        const flag = entry.phrases.find((phrase) => phrase.key === key)?.value.type === 'flag';
        if (!flag) expect([text, phrases.get(given.origin.start)]).toEqual([text, key]);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(80);
  });

  const read = (text: string) => {
    const [statement] = parse(text).statements;
    const entry = statement === undefined ? undefined : entryOf(statement, STATEMENTS);
    if (statement === undefined || entry === undefined) throw new Error(text);
    return readLine(statement.items, entry);
  };

  it('says what a line waits for where it ends', () => {
    const open = (text: string) => {
      const { open: found } = read(text);
      return found === undefined ? undefined : [found.phrase.key, found.waits];
    };
    expect(open('supply a of')).toEqual(['part', 'value']);
    expect(open('supply a of x')).toBeUndefined();
    expect(open('route shed')).toEqual(['path', 'to']);
    expect(open('route shed to')).toEqual(['path', 'value']);
    expect(open('route shed to roof')).toEqual(['path', 'more']);
    expect(open('route shed to roof 3')).toEqual(['length', 'unit']);
    expect(open('route shed to roof 3 m limit')).toEqual(['limit', 'value']);
  });

  it('takes what does not fit for unknown and goes on', () => {
    expect(read('supply a nonsense of x').parts.map((part) => part.role)).toEqual([
      'keyword',
      'name',
      'unknown',
      'lead',
      'value',
    ]);
  });

  it('finds the entry of nested lines', () => {
    const [run] = parse('run a from b.1 {\n  gap 1 m\n  nonsense\n}').statements;
    const [gap, nonsense] = run?.block?.statements ?? [];
    if (run === undefined || gap === undefined || nonsense === undefined) throw new Error('not parsed');
    expect(entryOfPath([run, gap])?.word).toBe('gap');
    expect(entryOfPath([run, nonsense])).toBeUndefined();
    expect(entryOfPath([gap])).toBeUndefined();
  });
});

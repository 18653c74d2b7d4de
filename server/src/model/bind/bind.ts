import type { Statement } from '#grammar/ast.ts';
import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { type Binding, originOf } from '../binding.ts';
import type { Bound, BoundLine } from '../bound.ts';
import type { Origin } from '../finding.ts';
import { closest } from '../spelling.ts';
import { withArticle } from '../texts.ts';
import { LineBinding } from './line.ts';
import { readName, readPhrase, reportMissing } from './phrases.ts';
import { capital } from './wording.ts';

/** Binds a line to whichever of the entries its first word names; reports and gives nothing when there is none. */
export function bindLine<E extends Entry>(
  ctx: Binding,
  statement: Statement,
  entries: readonly E[],
  where: string,
): BoundLine<E> | undefined {
  const first = statement.items[0];
  if (first?.kind !== 'word') {
    if (first !== undefined && first.kind !== 'stray') {
      ctx.report({
        code: 'unexpected-word',
        origin: originOf(ctx, first.span),
        message: `A line in ${where} starts with a word: ${words(entries)}.`,
      });
    }
    return undefined;
  }
  const second = statement.items[1];
  const pair = second?.kind === 'word' ? `${first.text} ${second.text}` : first.text;
  const entry = entries.find((candidate) => candidate.word === first.text || candidate.word === pair);
  if (entry !== undefined) return bindStatement(ctx, statement, entry) as BoundLine<E>;
  const near = closest(
    first.text,
    entries.map((candidate) => candidate.word),
  );
  ctx.report({
    code: 'unknown-word',
    origin: originOf(ctx, first.nameSpan),
    message: `"${first.text}" is not a word that starts a line in ${where}. ${near === undefined ? `Such words are: ${words(entries)}.` : `Did you mean "${near}"?`}`,
    fixes:
      near === undefined
        ? []
        : [{ title: `Write ${near}`, edits: [{ origin: originOf(ctx, first.nameSpan), text: near }], preferred: true }],
  });
  return undefined;
}

/**
 * Matches the items of a statement to the phrases of its vocabulary entry. Whatever does not fit is reported on its
 * own word and left out; all that fits is kept, so that a line in the middle of being typed still says what it can.
 */
export function bindStatement<E extends Entry>(ctx: Binding, statement: Statement, entry: E): Bound<E> {
  const line = new LineBinding(ctx, statement, entry);
  readName(line);
  while (line.at < line.items.length) readPhrase(line);
  reportMissing(line);
  const whole = line.origin(statement.span);
  const end = sure(line.items.at(-1)).span.end;
  return {
    entry,
    word: entry.word,
    keyword: line.keyword,
    name: line.name,
    fields: line.fields as Bound<E>['fields'],
    said: shared(line.said),
    line: end === whole.end ? whole : line.origin({ start: whole.start, end }),
    whole,
    description: statement.description,
    block: bindBlock(line) as unknown as Bound<E>['block'],
  };
}

function bindBlock(line: LineBinding): readonly Bound<Entry>[] {
  const block = line.statement.block;
  const entries = line.entry.block;
  if (block === undefined) {
    reportMissingLines(line, new Set());
    return NO_LINES;
  }
  if (entries === undefined) {
    line.report(
      { start: block.span.start, end: block.span.start + 1 },
      {
        code: 'unexpected-word',
        message: `${capital(withArticle(line.entry.word))} has no block; everything stands on its line.`,
      },
    );
    return NO_LINES;
  }
  const seen = new Map<string, Origin>();
  const bound: Bound<Entry>[] = [];
  for (const statement of block.statements) {
    const inner = bindLine(line.ctx, statement, entries, `${withArticle(line.entry.word)} block`);
    if (inner === undefined) continue;
    const before = seen.get(inner.word);
    if (before !== undefined && !(line.entry.repeats ?? []).includes(inner.word)) {
      line.report(inner.keyword, {
        code: 'said-twice',
        message: `"${inner.word}" stands twice in this block; the first one holds.`,
        related: [{ origin: before, message: 'First said here.' }],
      });
      continue;
    }
    seen.set(inner.word, inner.keyword);
    bound.push(inner as Bound<Entry>);
  }
  reportMissingLines(line, new Set(seen.keys()));
  return exact(bound);
}

function reportMissingLines(line: LineBinding, seen: ReadonlySet<string>): void {
  const missing = (line.entry.needs ?? []).filter((word) => !seen.has(word));
  if (missing.length === 0) return;
  const example = sure(line.entry.block?.find((entry) => entry.word === missing[0])).example;
  line.report(line.name?.origin ?? line.keyword, {
    code: 'missing-phrase',
    message: `This ${line.entry.word} still needs in its block: ${missing.join(', ')}. For example: ${example}`,
  });
}

const NO_LINES: readonly Bound<Entry>[] = [];

/** Thousands of lines say the same phrases: they share one set. There are as many as ways to write a line. */
function shared(said: ReadonlySet<string>): ReadonlySet<string> {
  const key = [...said].join(' ');
  const before = SAID.get(key);
  if (before === undefined) SAID.set(key, said);
  return before ?? said;
}

const SAID = new Map<string, ReadonlySet<string>>();

function words(entries: readonly Entry[]): string {
  return entries.map((candidate) => candidate.word).join(', ');
}

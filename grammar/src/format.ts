import type { Item, Statement } from './ast.ts';
import { lineStart } from './line-start.ts';
import { newlineOf } from './newline.ts';
import { type Declaration, readSource, type SourceFile } from './source.ts';
import { sure } from './sure.ts';
import { LEXER } from './tokens.ts';
import { STATEMENTS } from './vocabulary.ts';
import type { Entry, Phrase } from './words/entry.ts';

/**
 * The one style. Two spaces per block, one space inside a phrase, two between phrases; in a block the keywords are
 * padded to the width of the longest keyword that the block may have. That width stands in the vocabulary, not in the
 * neighbouring lines, so a changed value changes one line.
 *
 * A declaration with a syntax problem is left exactly as it is. The result has the same tokens and comments as the
 * text, or the text is returned unchanged.
 */
export function formatText(text: string): string {
  const file = readSource('', text);
  const newline = newlineOf(text);
  const formatted = join(
    file,
    file.declarations.flatMap((declaration) => linesOf(file, declaration)),
    newline,
  );
  return sameTokens(text, formatted) ? formatted : text;
}

/** A line of the result, with the offsets in the text of what it was made from. */
interface Line {
  readonly start: number;
  readonly end: number;
  readonly text: string;
  /** Opens or closes a block: no blank line inside next to it. */
  readonly opens: boolean;
  readonly closes: boolean;
  readonly comment: boolean;
}

function linesOf(file: SourceFile, declaration: Declaration): Line[] {
  const base = file.offsets.of(declaration);
  if (declaration.problems.length > 0) return rawLines(declaration.text, base);
  const lines: Line[] = [];
  const blocks: { start: number; end: number }[] = [];
  const visit = (statement: Statement, entries: readonly Entry[], depth: number, width: number) => {
    const entry = entryOf(statement, entries);
    const head = '  '.repeat(depth) + headText(statement, entry, declaration.text, width);
    const last = sure(statement.items.at(-1)).span.end;
    const { block } = statement;
    if (block === undefined) {
      lines.push({
        start: base + statement.span.start,
        end: base + last,
        text: head,
        opens: false,
        closes: false,
        comment: false,
      });
      return;
    }
    const plain = { opens: false, closes: false, comment: false };
    lines.push({
      ...plain,
      start: base + statement.span.start,
      end: base + block.span.start + 1,
      text: `${head} {`,
      opens: true,
    });
    const inner = entry?.block ?? [];
    for (const child of block.statements) visit(child, inner, depth + 1, keywordWidth(inner));
    blocks.push(block.span);
    const brace = base + block.span.end - 1;
    lines.push({ ...plain, start: brace, end: brace + 1, text: `${'  '.repeat(depth)}}`, closes: true });
  };
  for (const statement of declaration.statements) visit(statement, STATEMENTS, 0, 0);
  const comments = sure(LEXER.tokenize(declaration.text).groups['comments']).map((comment): Line => {
    const at = comment.startOffset;
    const depth = blocks.filter((block) => at > block.start && at < block.end).length;
    const text = '  '.repeat(depth) + comment.image.trimEnd();
    return {
      start: base + at,
      end: base + at + comment.image.length,
      text,
      opens: false,
      closes: false,
      comment: true,
    };
  });
  return [...lines, ...comments].sort((a, b) => a.start - b.start);
}

function rawLines(text: string, base: number): Line[] {
  const start = text.search(/\S/);
  if (start < 0) return [];
  const whole = text.trimEnd();
  const from = lineStart(whole, start);
  const raw = whole.slice(from);
  return [{ start: base + from, end: base + whole.length, text: raw, opens: false, closes: false, comment: false }];
}

/** Puts lines together, trailing comments behind the line that they stand on, blank runs made one blank line. */
function join(file: SourceFile, lines: readonly Line[], newline: string): string {
  let result = '';
  let before: Line | undefined;
  for (const line of lines) {
    if (before !== undefined) {
      const breaks = (file.text.slice(before.end, line.start).match(/\r\n|\n|\r/g) ?? []).length;
      if (line.comment && breaks === 0) {
        result += `  ${line.text.trimStart()}`;
        before = { ...line, opens: before.opens };
        continue;
      }
      result += breaks > 1 && !before.opens && !line.closes ? newline + newline : newline;
    }
    result += line.text;
    before = line;
  }
  return before === undefined ? '' : result + newline;
}

function headText(statement: Statement, entry: Entry | undefined, text: string, width: number): string {
  const { items } = statement;
  const keywords = entry?.word.split(' ').length ?? 1;
  const keyword = items
    .slice(0, keywords)
    .map((item) => itemText(item, text))
    .join(' ');
  let result = items.length > keywords ? keyword.padEnd(width) : keyword;
  const named =
    entry !== undefined && entry.name !== 'none' && items[keywords]?.kind === 'word' && !leads(entry, items[keywords]);
  for (let index = keywords; index < items.length; index++) {
    const item = sure(items[index]);
    const first = index === keywords;
    const label = named && index === keywords + 1 && item.kind === 'text';
    const wide = entry !== undefined && !first && !label && startsPhrase(entry, items, index, keywords);
    result += (wide ? '  ' : ' ') + itemText(item, text);
  }
  return result;
}

/** Does a phrase begin with this item? Behind a leading word and inside "… to …" it does not. */
function startsPhrase(entry: Entry, items: readonly Item[], index: number, keywords: number): boolean {
  const [item, before] = [sure(items[index]), sure(items[index - 1])];
  if (index - 1 >= keywords && leads(entry, before) && !isFlag(entry, before)) return false;
  if (item.kind === 'word' && item.text === 'to' && inPath(entry, items, index)) return false;
  if (before.kind === 'word' && before.text === 'to' && index - 1 > keywords) return false;
  if (item.kind === 'word' && before.kind === 'word' && !leads(entry, item) && hasChoices(entry)) return false;
  return !isTight(entry, item);
}

function inPath(entry: Entry, items: readonly Item[], index: number): boolean {
  if (!leads(entry, items[index])) return true;
  for (let at = index - 1; at > 0; at--) {
    const item = items[at];
    if (item?.kind !== 'word') return false;
    if (leads(entry, item) && item.text !== 'to') {
      const next = items[index + 1];
      const phrase = entry.phrases.find((candidate) => candidate.word === item.text);
      return phrase?.value.type === 'path' && next?.kind === 'word' && next.steps.length === 0;
    }
  }
  return false;
}

function leads(entry: Entry, item: Item | undefined): boolean {
  return item?.kind === 'word' && item.steps.length === 0 && entry.phrases.some((phrase) => phrase.word === item.text);
}

function isTight(entry: Entry, item: Item): boolean {
  if (item.kind === 'quantity')
    return entry.phrases.some((phrase) => phrase.word === undefined && phrase.tight === true);
  if (item.kind !== 'word') return false;
  const isCurrency = ({ word, value }: Phrase) =>
    word === undefined && value.type === 'currency' && !leads(entry, item);
  return entry.phrases.some((phrase) => phrase.tight === true && (phrase.word === item.text || isCurrency(phrase)));
}

function isFlag(entry: Entry, item: Item): boolean {
  return (
    item.kind === 'word' && entry.phrases.some((phrase) => phrase.word === item.text && phrase.value.type === 'flag')
  );
}

function hasChoices(entry: Entry): boolean {
  return entry.phrases.some((phrase) => phrase.word === undefined && phrase.value.type === 'choices');
}

function itemText(item: Item, text: string): string {
  switch (item.kind) {
    case 'word':
      return item.text + item.steps.map((step) => stepText(step, text)).join('');
    case 'quantity':
      return item.terms
        .map((term) =>
          text
            .slice(term.span.start, term.span.end)
            .replace(/^(-?[\d.]+)\s*/, '$1 ')
            .trimEnd(),
        )
        .join(' ');
    default:
      return text.slice(item.span.start, item.span.end);
  }
}

function stepText(step: { readonly span: { readonly start: number; readonly end: number } }, text: string): string {
  return text.slice(step.span.start, step.span.end).replace(/\s+/g, '');
}

function entryOf(statement: Statement, entries: readonly Entry[]): Entry | undefined {
  const [first, second] = statement.items;
  if (first?.kind !== 'word') return undefined;
  const pair = second?.kind === 'word' ? `${first.text} ${second.text}` : first.text;
  return entries.find((entry) => entry.word === first.text || entry.word === pair);
}

function keywordWidth(entries: readonly Entry[]): number {
  return Math.max(0, ...entries.map((entry) => entry.word.length));
}

function sameTokens(a: string, b: string): boolean {
  return fingerprint(a) === fingerprint(b);
}

/** Tokens and comments in order, line breaks left out; a comment's trailing blanks do not count. */
function fingerprint(text: string): string {
  const lexed = LEXER.tokenize(text);
  const comments = sure(lexed.groups['comments']);
  const words = lexed.tokens.filter((found) => found.tokenType.name !== 'Newline').map((found) => found.image);
  return `${words.join('\u0001')}\u0002${comments.map((comment) => comment.image.trimEnd()).join('\u0001')}`;
}

import type { Span, Statement } from '#grammar/ast.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';

/** A stretch of lines that can be folded away, in offsets: from somewhere in its first line to somewhere in its last. */
export interface Fold {
  readonly start: number;
  readonly end: number;
  readonly kind: 'block' | 'comment' | 'uses';
}

/** Blocks, rows of comment lines, and rows of `use` lines that take more than one line. */
export function foldsOf(file: SourceFile): Fold[] {
  const folds: Fold[] = [];
  for (const declaration of file.declarations) {
    const base = file.offsets.of(declaration);
    for (const { start, end } of blocksOf(declaration))
      folds.push({ start: base + start, end: base + end, kind: 'block' });
  }
  folds.push(...rows(file.text, /^[^\S\r\n]*#/, 'comment'), ...rows(file.text, /^[^\S\r\n]*use\s/, 'uses'));
  return folds
    .filter((fold) => /[\r\n]/.test(file.text.slice(fold.start, fold.end)))
    .sort((a, b) => a.start - b.start || b.end - a.end);
}

const kept = new WeakMap<Declaration, readonly Span[]>();

/** The blocks of a declaration, with offsets from its start. */
function blocksOf(declaration: Declaration): readonly Span[] {
  let blocks = kept.get(declaration);
  if (blocks === undefined) {
    blocks = spansOf(declaration.statements);
    kept.set(declaration, blocks);
  }
  return blocks;
}

function spansOf(statements: readonly Statement[]): Span[] {
  return statements.flatMap(({ block }) => (block === undefined ? [] : [block.span, ...spansOf(block.statements)]));
}

/** Neighbouring lines that start alike. */
function rows(text: string, start: RegExp, kind: Fold['kind']): Fold[] {
  const found: Fold[] = [];
  let open: { start: number; end: number } | undefined;
  let at = 0;
  for (const line of text.split(/(?<=\r\n|\n|\r(?!\n))/)) {
    const end = at + line.replace(/[\r\n]+$/, '').length;
    if (start.test(line)) open = { start: open?.start ?? at, end };
    else if (open !== undefined) {
      found.push({ ...open, kind });
      open = undefined;
    }
    at += line.length;
  }
  if (open !== undefined) found.push({ ...open, kind });
  return found;
}

import type { Statement } from '#grammar/ast.ts';
import type { SourceFile } from '#grammar/source.ts';

/** A stretch of lines that can be folded away, in offsets: from somewhere in its first line to somewhere in its last. */
export interface Fold {
  readonly start: number;
  readonly end: number;
  readonly kind: 'block' | 'comment' | 'uses';
}

/** Blocks, rows of comment lines, and rows of `use` lines that take more than one line. */
export function foldsOf(file: SourceFile): Fold[] {
  const folds: Fold[] = [];
  const blocks = (statements: readonly Statement[], base: number) => {
    for (const { block } of statements) {
      if (block === undefined) continue;
      folds.push({ start: base + block.span.start, end: base + block.span.end, kind: 'block' });
      blocks(block.statements, base);
    }
  };
  for (const declaration of file.declarations) blocks(declaration.statements, file.offsets.get(declaration) ?? 0);
  folds.push(...rows(file.text, /^[^\S\r\n]*#/, 'comment'), ...rows(file.text, /^[^\S\r\n]*use\s/, 'uses'));
  return folds
    .filter((fold) => /[\r\n]/.test(file.text.slice(fold.start, fold.end)))
    .sort((a, b) => a.start - b.start || b.end - a.end);
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

import { lineStart } from '#grammar/line-start.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { BoundDeclaration } from '../model/declarations.ts';
import type { Finding, Origin } from '../model/finding.ts';

/**
 * A declaration inside the block of another one, such as a feed between the strings of a run. Its keyword ends the block,
 * so the lines behind it are strays and the } closes nothing: three findings, of which none says what to do. They are
 * taken for one that does. As braces pair, a } that closes nothing is that of the last open block before it. `bound` is
 * what each declaration of the file says by itself. Gives the findings that stand for others, and those that they stand
 * for.
 */
export function misplacedIn(
  file: SourceFile,
  bound: readonly BoundDeclaration[],
): { readonly findings: readonly Finding[]; readonly insteadOf: ReadonlySet<Finding> } {
  const told = new Map<number, Finding>();
  const insteadOf = new Set<Finding>();
  const open: { readonly index: number; readonly finding: Finding }[] = [];
  for (let index = 0; index < bound.length; index++) {
    const { findings } = sure(bound[index]);
    // Most declarations have nothing amiss, and a plan has thousands of them.
    if (findings.length === 0) continue;
    for (const finding of findings.filter(isBrace).sort((a, b) => a.origin.start - b.origin.start)) {
      if (finding.code === 'unclosed-block') {
        open.push({ index, finding });
        continue;
      }
      const block = open.pop();
      if (block === undefined || index === block.index || index - block.index > MOST_INNER) continue;
      for (let inner = block.index + 1; inner <= index; inner++) {
        // What stands in a block inside of this one has been told already.
        if (told.has(inner)) continue;
        told.set(inner, misplaced(file.uri, sure(file.declarations[inner]), block.finding.origin));
        for (const stray of sure(bound[inner]).findings) if (stray.code === 'stray-line') insteadOf.add(stray);
      }
      insteadOf.add(block.finding).add(finding);
    }
  }
  return { findings: [...told].sort(([a], [b]) => a - b).map(([, finding]) => finding), insteadOf };
}

/** A block that is not closed, or a } that closes none; a { that opens none has the same code. */
function isBrace({ code, origin: { declaration, start } }: Finding): boolean {
  return code === 'unclosed-block' || (code === 'stray-brace' && declaration.text[start] === '}');
}

/** With more between them, a } that is missing and one too many are rather two slips. */
const MOST_INNER = 4;

function misplaced(uri: string, declaration: Declaration, open: Origin): Finding {
  const { items } = sure(declaration.statements[0]);
  const [{ span }, name] = [sure(items[0]), items[1]];
  const text = declaration.text.slice(span.start, span.end);
  const called = name?.kind === 'word' ? ` ${name.text}` : '';
  const before = open.declaration.text.slice(0, open.start);
  const owner = before.slice(lineStart(before, open.start)).trim().split(/\s+/).slice(0, 2).join(' ');
  return {
    code: 'stray-line',
    origin: { uri, declaration, ...span },
    message: `${text}${called} stands by itself, not in the block of ${owner}. Move it below the }.`,
    related: [{ origin: open, message: 'The block that it stands in.' }],
    fixes: [],
  };
}

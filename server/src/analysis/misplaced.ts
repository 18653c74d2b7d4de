import { lineStart } from '#grammar/line-start.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { BoundDeclaration } from '../model/declarations.ts';
import type { Finding, Origin } from '../model/finding.ts';

/**
 * A declaration inside the block of another one, such as a feed between the strings of a run. Its keyword ends the block,
 * so the lines behind it are strays and the } closes nothing: three findings, of which none says what to do. They are
 * taken for one that does. `bound` is what each declaration of the file says by itself. Gives the findings that stand for
 * others, and those that they stand for.
 */
export function misplacedIn(
  file: SourceFile,
  bound: readonly BoundDeclaration[],
): { readonly findings: readonly Finding[]; readonly insteadOf: ReadonlySet<Finding> } {
  const findings: Finding[] = [];
  const insteadOf = new Set<Finding>();
  for (let index = 0; index < bound.length; index++) {
    const said = sure(bound[index]).findings;
    // Most declarations have nothing amiss, and a plan has thousands of them.
    if (said.length === 0) continue;
    const open = said.findLast(({ code }) => code === 'unclosed-block');
    if (open === undefined) continue;
    const inner = innerOf(bound, index);
    const brace = inner.at(-1)?.findings.find(({ code }) => code === 'stray-brace');
    if (brace === undefined) continue;
    for (const [behind, each] of inner.entries()) {
      findings.push(misplaced(file.uri, sure(file.declarations[index + 1 + behind]), open.origin));
      for (const finding of each.findings) if (finding.code === 'stray-line') insteadOf.add(finding);
    }
    insteadOf.add(open).add(brace);
  }
  return { findings, insteadOf };
}

/** The declarations behind one up to the first that is followed by a stray }: by their braces they stand in its block. */
function innerOf(bound: readonly BoundDeclaration[], index: number): readonly BoundDeclaration[] {
  const behind = bound.slice(index + 1, index + 1 + MOST_INNER);
  const last = behind.findIndex(({ findings }) => findings.some(({ code }) => code === 'stray-brace'));
  return behind.slice(0, last + 1);
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

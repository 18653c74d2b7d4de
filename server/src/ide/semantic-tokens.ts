import type { Item, Statement } from '#grammar/ast.ts';
import type { Declaration } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Origin } from '../model/finding.ts';
import { fileIn } from './file-span.ts';
import { namesOf, type Thing } from './names.ts';

/** What only the plan as a whole can tell about a word: that it is a name, of what, and whether it is declared here. */
export interface SemanticToken {
  readonly start: number;
  readonly end: number;
  readonly type: SemanticType;
  readonly declares: boolean;
}

/** Parts and props are made of (class), places stand still (namespace), the rest is wired (variable, or property inside). */
export const SEMANTIC_TYPES = ['class', 'namespace', 'variable', 'property'] as const;
export type SemanticType = (typeof SEMANTIC_TYPES)[number];

/** Names of a file in the order of its text, or of the part of it that a span touches. */
export function semanticTokensOf(
  analysis: Analysis,
  uri: string,
  span?: { start: number; end: number },
): SemanticToken[] {
  const file = fileIn(analysis, uri);
  if (file === undefined) return [];
  const names = namesOf(analysis);
  const found: SemanticToken[] = [];
  for (const declaration of file.declarations) {
    const base = file.offsets.of(declaration);
    if (span !== undefined && (base > span.end || base + declaration.text.length < span.start)) continue;
    for (const { start, end } of wordSpans(declaration)) {
      const origin: Origin = { uri, declaration, start, end };
      const target = names.targetOf(origin);
      const thing = names.declaredAt(target ?? origin);
      if (thing === undefined || (thing.kind === 'element' && !thing.named && target === undefined)) continue;
      if (thing.kind === 'output' && target === undefined) continue;
      found.push({ start: base + start, end: base + end, type: typeOf(thing), declares: target === undefined });
    }
  }
  return span === undefined ? found : found.filter((token) => token.end >= span.start && token.start <= span.end);
}

function* wordSpans({ statements }: Pick<Declaration, 'statements'>): Iterable<{ start: number; end: number }> {
  for (const statement of statements as readonly Statement[]) {
    for (const item of statement.items) yield* itemSpans(item);
    if (statement.block !== undefined) yield* wordSpans(statement.block);
  }
}

function* itemSpans(item: Item): Iterable<{ start: number; end: number }> {
  if (item.kind !== 'word') return;
  yield item.nameSpan;
  for (const step of item.steps) if (step.kind === 'member') yield { start: step.span.start + 1, end: step.span.end };
}

function typeOf(thing: Thing): SemanticType {
  switch (thing.kind) {
    case 'pixel':
    case 'panel':
    case 'flood':
    case 'cable':
    case 'connector':
    case 'supply-part':
    case 'controller-part':
    case 'prop':
      return 'class';
    case 'place':
      return 'namespace';
    case 'output':
    case 'element':
      return 'property';
    default:
      return 'variable';
  }
}

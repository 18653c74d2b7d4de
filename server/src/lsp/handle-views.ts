import {
  type DocumentLink,
  type DocumentLinkParams,
  type FoldingRange,
  FoldingRangeKind,
  type FoldingRangeParams,
  type InlayHint,
  type InlayHintParams,
  type SelectionRange,
  type SelectionRangeParams,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensParams,
  type SemanticTokensRangeParams,
} from 'vscode-languageserver';
import { spanOf } from '../ide/file-span.ts';
import { type Fold, foldsOf } from '../ide/folding.ts';
import { inlayHintsOf } from '../ide/inlay-hints.ts';
import { linksOf } from '../ide/links.ts';
import { selectionsAt } from '../ide/selection.ts';
import { SEMANTIC_TYPES, type SemanticToken, semanticTokensOf } from '../ide/semantic-tokens.ts';
import type { ServerContext } from './context.ts';
import { type Asked, onFile } from './from-lsp.ts';
import type { Settings } from './settings.ts';

/** How a file is shown: folding, selections, links, colours of names, computed figures at the ends of lines. */
export function handleViews(ctx: ServerContext, settings: Settings): void {
  const { connection, guard } = ctx;
  connection.onFoldingRanges(
    onFile<FoldingRangeParams, FoldingRange[]>(ctx, 'textDocument/foldingRange', [], (asked) =>
      foldsOf(asked.file).flatMap((fold) => toFold(asked, fold)),
    ),
  );
  connection.onSelectionRanges(
    onFile<SelectionRangeParams, SelectionRange[]>(ctx, 'textDocument/selectionRange', [], (asked, { positions }) =>
      positions.map((position) => toSelection(asked, asked.lines.offsetAt(position))),
    ),
  );
  connection.onDocumentLinks(
    onFile<DocumentLinkParams, DocumentLink[]>(ctx, 'textDocument/documentLink', [], ({ to, analysis, key }) =>
      linksOf(analysis, key).map((link) => ({
        range: to.range(analysis, link),
        target: to.address(link.target),
        tooltip: `Open ${link.path}`,
      })),
    ),
  );
  const none: SemanticTokens = { data: [] };
  connection.languages.semanticTokens.on(
    onFile<SemanticTokensParams, SemanticTokens>(ctx, 'textDocument/semanticTokens/full', none, (asked) =>
      toTokens(asked, semanticTokensOf(asked.analysis, asked.key)),
    ),
  );
  connection.languages.semanticTokens.onRange(
    onFile<SemanticTokensRangeParams, SemanticTokens>(
      ctx,
      'textDocument/semanticTokens/range',
      none,
      (asked, { range }) => toTokens(asked, semanticTokensOf(asked.analysis, asked.key, asked.lines.spanOf(range))),
    ),
  );
  connection.languages.inlayHint.on(
    onFile<InlayHintParams, InlayHint[]>(ctx, 'textDocument/inlayHint', [], async (asked, { range }) => {
      const wanted = await settings.hints();
      return inlayHintsOf(asked.analysis, asked.key, asked.lines.spanOf(range))
        .filter((hint) => wanted.has(hint.family))
        .map((hint) => ({
          position: asked.lines.positionAt(hint.offset),
          label: asked.to.traits.leadsFromHints ? [{ value: hint.text }] : hint.text,
          paddingLeft: true,
          data: { uri: asked.key, offset: hint.offset, family: hint.family } satisfies HintData,
        }));
    }),
  );
  connection.languages.inlayHint.resolve((hint, token) =>
    guard.request<InlayHint, InlayHint>('inlayHint/resolve', hint, () => resolvedHint(ctx, hint))(hint, token),
  );
}

interface HintData {
  readonly uri: string;
  readonly offset: number;
  readonly family: string;
}

async function resolvedHint(ctx: ServerContext, hint: InlayHint): Promise<InlayHint> {
  const data = hint.data as HintData | undefined;
  if (data === undefined) return hint;
  const analysis = await ctx.plans.analysisFor(data.uri);
  const span = { start: data.offset, end: data.offset };
  const found = inlayHintsOf(analysis, data.uri, span).find(
    (candidate) => candidate.family === data.family && candidate.offset === data.offset,
  );
  if (found === undefined) return hint;
  const tooltip = ctx.to.markup(found.card(), ctx.to.traits.showsMarkdown);
  const about = found.about === undefined ? undefined : spanOf(analysis, found.about);
  if (!ctx.to.traits.leadsFromHints || about === undefined) return { ...hint, tooltip };
  return { ...hint, tooltip, label: [{ value: found.text, location: ctx.to.location(analysis, about) }] };
}

const FOLD_KINDS = { block: undefined, comment: FoldingRangeKind.Comment, uses: FoldingRangeKind.Imports } as const;

/** The line of the closing brace stays in sight. */
function toFold({ lines, file }: Asked, { start, end, kind }: Fold): FoldingRange[] {
  const startLine = lines.lineOf(start);
  const closed = kind === 'block' && file.text[end - 1] === '}';
  const endLine = lines.lineOf(end) - (closed ? 1 : 0);
  if (endLine <= startLine) return [];
  const folding: FoldingRange = { startLine, endLine };
  if (FOLD_KINDS[kind] !== undefined) folding.kind = FOLD_KINDS[kind];
  return [folding];
}

function toSelection({ lines, file }: Asked, offset: number): SelectionRange {
  let selection: SelectionRange | undefined;
  for (const { start, end } of selectionsAt(file, offset).reverse()) {
    const range = lines.rangeOf(start, end);
    selection = selection === undefined ? { range } : { range, parent: selection };
  }
  return selection ?? { range: lines.rangeOf(offset, offset) };
}

function toTokens({ lines }: Asked, tokens: readonly SemanticToken[]): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const { start, end, type, declares } of tokens) {
    const range = lines.rangeOf(start, end);
    builder.push(
      range.start.line,
      range.start.character,
      range.end.character - range.start.character,
      SEMANTIC_TYPES.indexOf(type),
      declares ? 1 : 0,
    );
  }
  return builder.build();
}

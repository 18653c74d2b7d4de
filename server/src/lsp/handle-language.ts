import {
  type CompletionItem,
  type CompletionList,
  type CompletionParams,
  CompletionTriggerKind,
  type DefinitionParams,
  type Hover,
  type HoverParams,
  type Location,
  type LocationLink,
  type TypeDefinitionParams,
} from 'vscode-languageserver';
import { completeAt } from '../ide/completion/complete.ts';
import { definitionAt, typeDefinitionAt } from '../ide/definition.ts';
import { describeName } from '../ide/describe.ts';
import { hoverAt } from '../ide/hover.ts';
import type { ServerContext } from './context.ts';
import { offsetOf, onFile } from './from-lsp.ts';
import { type CompletionData, toCompletion, toDefinition, toHover } from './to-lsp.ts';

/** What a person asks about a place in the text: hover, completion, definition. */
export function handleLanguage(ctx: ServerContext): void {
  const { connection, guard } = ctx;
  connection.onHover(
    onFile<HoverParams, Hover | null>(ctx, 'textDocument/hover', null, (asked, { position }) => {
      const found = hoverAt(asked.analysis, asked.key, offsetOf(asked, position));
      return found === undefined ? null : toHover(asked.to, asked.analysis, asked.key, found);
    }),
  );
  connection.onDefinition(
    onFile<DefinitionParams, LocationLink[] | Location | null>(
      ctx,
      'textDocument/definition',
      null,
      (asked, { position }) => {
        const found = definitionAt(asked.analysis, asked.key, offsetOf(asked, position));
        return found === undefined ? null : toDefinition(asked.to, asked.analysis, asked.key, found);
      },
    ),
  );
  connection.onTypeDefinition(
    onFile<TypeDefinitionParams, LocationLink[] | Location | null>(
      ctx,
      'textDocument/typeDefinition',
      null,
      (asked, { position }) => {
        const found = typeDefinitionAt(asked.analysis, asked.key, offsetOf(asked, position));
        return found === undefined ? null : toDefinition(asked.to, asked.analysis, asked.key, found);
      },
    ),
  );
  connection.onCompletion(
    onFile<CompletionParams, CompletionList | null>(
      ctx,
      'textDocument/completion',
      null,
      (asked, { position, context }) => {
        const afterBlank =
          context?.triggerKind === CompletionTriggerKind.TriggerCharacter && context.triggerCharacter === ' ';
        const found = completeAt(asked.analysis, asked.key, offsetOf(asked, position), afterBlank);
        if (found === undefined) return null;
        return { isIncomplete: false, items: toCompletion(asked.to, asked.analysis, asked.key, found) };
      },
    ),
  );
  connection.onCompletionResolve((item, token) =>
    guard.request<CompletionItem, CompletionItem>('completionItem/resolve', item, () => resolved(ctx, item))(
      item,
      token,
    ),
  );
}

/** Adds what there is to say about a name; made only for the item that a person looks at. */
async function resolved(ctx: ServerContext, item: CompletionItem): Promise<CompletionItem> {
  const data = item.data as CompletionData | undefined;
  if (data === undefined) return item;
  const analysis = await ctx.plans.analysisFor(data.uri);
  const card = describeName(analysis, data.kind, data.name);
  return card === undefined ? item : { ...item, documentation: ctx.to.markup(card, ctx.to.traits.completesMarkdown) };
}

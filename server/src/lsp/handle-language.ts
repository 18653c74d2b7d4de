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
  type SignatureHelp,
  type SignatureHelpParams,
  type TypeDefinitionParams,
} from 'vscode-languageserver';
import { completeAt } from '../ide/completion/complete.ts';
import { previewCable } from '../ide/completion/preview-cable.ts';
import { completeUsePath } from '../ide/completion/use-path.ts';
import { definitionAt, typeDefinitionAt } from '../ide/definition.ts';
import { describeName } from '../ide/describe.ts';
import { hoverAt } from '../ide/hover.ts';
import { signatureAt } from '../ide/signature.ts';
import type { ServerContext } from './context.ts';
import { offsetOf, onFile } from './from-lsp.ts';
import { type CompletionData, toCompletion, toDefinition, toHover, toSignatureHelp } from './to-lsp.ts';

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
        const offset = offsetOf(asked, position);
        const path = completeUsePath(asked.file, offset, ctx.plans.knownFiles(), ctx.plans.folderOf(asked.key));
        const inPath = context?.triggerCharacter === '"' || context?.triggerCharacter === '/';
        const found = path ?? (inPath ? undefined : completeAt(asked.analysis, asked.key, offset, afterBlank));
        if (found === undefined) return null;
        return { isIncomplete: false, items: toCompletion(asked.to, asked.analysis, asked.key, found) };
      },
    ),
  );
  connection.onSignatureHelp(
    onFile<SignatureHelpParams, SignatureHelp | null>(
      ctx,
      'textDocument/signatureHelp',
      null,
      (asked, { position }) => {
        const found = signatureAt(asked.analysis, asked.key, offsetOf(asked, position));
        return found === undefined ? null : toSignatureHelp(asked.to, found);
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
  const result =
    card === undefined ? { ...item } : { ...item, documentation: ctx.to.markup(card, ctx.to.traits.completesMarkdown) };
  const effect = data.kind === 'cable' ? previewCable(analysis, data.uri, data.start, data.name) : undefined;
  if (effect !== undefined) result.detail = effect;
  return result;
}

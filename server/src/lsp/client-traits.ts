import { type ClientCapabilities, type InitializeParams, MarkupKind } from 'vscode-languageserver';
import type { Encoding } from './line-index.ts';

/** What a client can do, as far as answers depend on it. */
export interface ClientTraits {
  readonly encoding: Encoding;
  /** The client asks for diagnostics; they are then never sent unasked. */
  readonly pullsDiagnostics: boolean;
  readonly refreshesDiagnostics: boolean;
  readonly refreshesInlayHints: boolean;
  readonly refreshesSemanticTokens: boolean;
  readonly registersWatchers: boolean;
  readonly registersConfiguration: boolean;
  readonly showsMarkdown: boolean;
  readonly completesMarkdown: boolean;
  readonly takesSnippets: boolean;
  /** A person may choose whether what is completed replaces the rest of the word. */
  readonly insertsOrReplaces: boolean;
  readonly takesLocationLinks: boolean;
  readonly takesSymbolTrees: boolean;
  readonly takesVersionedEdits: boolean;
  readonly takesChangeAnnotations: boolean;
  readonly createsFiles: boolean;
  /** Makes edits that it has not asked for, as those of a command. */
  readonly appliesEdits: boolean;
  /** Edits may have places to be tabbed through. */
  readonly takesSnippetEdits: boolean;
  readonly leadsFromHints: boolean;
  readonly takesCodeActionLiterals: boolean;
  readonly showsDisabledActions: boolean;
  /** Asks for the edit of an action when a person takes it. */
  readonly resolvesActions: boolean;
  readonly preparesRename: boolean;
  readonly showsRelated: boolean;
  readonly refreshesLenses: boolean;
  readonly renamesFiles: boolean;
  readonly takesLabelOffsets: boolean;
  /** No parameter of a signature may be marked. */
  readonly marksNoParameter: boolean;
  /** Commands of the client's own that it runs when asked to (initialization option `commands`). */
  readonly commands: ReadonlySet<string>;
  /** The scheme of addresses under which the client shows what a code means (initialization option `explains`). */
  readonly explains: string | undefined;
  /** Schemes of documents that are shown and not worked on, as earlier versions are (initialization option `leavesOut`). */
  readonly leavesOut: ReadonlySet<string>;
  readonly showsExplanations: boolean;
  readonly hasFolders: boolean;
  readonly hasConfiguration: boolean;
}

export function traitsOf({
  capabilities,
  initializationOptions,
}: Pick<InitializeParams, 'capabilities' | 'initializationOptions'>): ClientTraits {
  const { textDocument: text, workspace } = capabilities;
  const options: { commands?: unknown; explains?: unknown; leavesOut?: unknown } = initializationOptions ?? {};
  const completion = text?.completion?.completionItem;
  return {
    encoding: encodingOf(capabilities),
    pullsDiagnostics: text?.diagnostic !== undefined,
    refreshesDiagnostics: workspace?.diagnostics?.refreshSupport === true,
    refreshesInlayHints: workspace?.inlayHint?.refreshSupport === true,
    refreshesSemanticTokens: workspace?.semanticTokens?.refreshSupport === true,
    registersWatchers: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
    registersConfiguration: workspace?.didChangeConfiguration?.dynamicRegistration === true,
    showsMarkdown: text?.hover?.contentFormat?.includes(MarkupKind.Markdown) === true,
    completesMarkdown: completion?.documentationFormat?.includes(MarkupKind.Markdown) === true,
    takesSnippets: completion?.snippetSupport === true,
    insertsOrReplaces: completion?.insertReplaceSupport === true,
    takesLocationLinks: text?.definition?.linkSupport === true,
    takesSymbolTrees: text?.documentSymbol?.hierarchicalDocumentSymbolSupport === true,
    takesVersionedEdits: workspace?.workspaceEdit?.documentChanges === true,
    takesChangeAnnotations: workspace?.workspaceEdit?.changeAnnotationSupport !== undefined,
    appliesEdits: workspace?.applyEdit === true,
    createsFiles:
      workspace?.workspaceEdit?.documentChanges === true &&
      workspace.workspaceEdit.resourceOperations?.includes('create') === true,
    takesSnippetEdits:
      workspace?.workspaceEdit?.snippetEditSupport === true && workspace.workspaceEdit.documentChanges === true,
    leadsFromHints: text?.inlayHint?.resolveSupport?.properties.includes('label.location') === true,
    takesCodeActionLiterals: text?.codeAction?.codeActionLiteralSupport !== undefined,
    resolvesActions:
      text?.codeAction?.dataSupport === true && text.codeAction.resolveSupport?.properties.includes('edit') === true,
    showsDisabledActions: text?.codeAction?.disabledSupport === true,
    preparesRename: text?.rename?.prepareSupport === true,
    showsRelated: (text?.publishDiagnostics?.relatedInformation ?? text?.diagnostic?.relatedInformation) === true,
    refreshesLenses: workspace?.codeLens?.refreshSupport === true,
    renamesFiles: workspace?.fileOperations?.willRename === true,
    takesLabelOffsets: text?.signatureHelp?.signatureInformation?.parameterInformation?.labelOffsetSupport === true,
    marksNoParameter: text?.signatureHelp?.signatureInformation?.noActiveParameterSupport === true,
    commands: new Set(Array.isArray(options.commands) ? options.commands : []),
    explains: typeof options.explains === 'string' ? options.explains : undefined,
    leavesOut: new Set(Array.isArray(options.leavesOut) ? options.leavesOut : []),
    showsExplanations: text?.publishDiagnostics?.codeDescriptionSupport === true,
    hasFolders: workspace?.workspaceFolders === true,
    hasConfiguration: workspace?.configuration === true,
  };
}

/** The first encoding of the client's list that we know; UTF-16 where there is no list, as the protocol says. */
function encodingOf({ general }: ClientCapabilities): Encoding {
  const wanted = general?.positionEncodings ?? [];
  return (
    wanted.find(
      (encoding): encoding is Encoding => encoding === 'utf-8' || encoding === 'utf-16' || encoding === 'utf-32',
    ) ?? 'utf-16'
  );
}

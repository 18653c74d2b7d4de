import { CodeActionKind, type ServerCapabilities, TextDocumentSyncKind } from 'vscode-languageserver';
import { SEMANTIC_TYPES } from '../ide/semantic-tokens.ts';
import type { ClientTraits } from './client-traits.ts';

export const FIX_ALL = `${CodeActionKind.SourceFixAll}.festoon`;

/** What the server offers to this client. */
export function capabilitiesFor(traits: ClientTraits): ServerCapabilities {
  return {
    positionEncoding: traits.encoding,
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
    ...(traits.pullsDiagnostics
      ? { diagnosticProvider: { identifier: 'festoon', interFileDependencies: true, workspaceDiagnostics: true } }
      : {}),
    hoverProvider: true,
    completionProvider: { triggerCharacters: ['.', '[', '(', ' '], resolveProvider: true },
    definitionProvider: true,
    typeDefinitionProvider: true,
    referencesProvider: true,
    documentHighlightProvider: true,
    renameProvider: traits.preparesRename ? { prepareProvider: true } : true,
    foldingRangeProvider: true,
    selectionRangeProvider: true,
    documentLinkProvider: { resolveProvider: false },
    semanticTokensProvider: {
      legend: { tokenTypes: [...SEMANTIC_TYPES], tokenModifiers: ['declaration'] },
      full: true,
      range: true,
    },
    inlayHintProvider: { resolveProvider: true },
    documentSymbolProvider: { label: 'Festoon' },
    workspaceSymbolProvider: true,
    codeActionProvider: traits.takesCodeActionLiterals
      ? { codeActionKinds: [CodeActionKind.QuickFix, FIX_ALL] }
      : false,
    documentFormattingProvider: true,
    ...(traits.hasFolders ? { workspace: { workspaceFolders: { supported: true, changeNotifications: true } } } : {}),
  };
}
